package load

import "testing"

// A cold limiter in other air, B = 3600 K: exp(3600*(1/313.15 - 1/298.15)) =
// exp(-0.57836) = 0.5608 at 40 C, exp(3600*(1/273.15 - 1/298.15)) = exp(1.10513) = 3.0196
// at 0 C (DERIVED).
func TestColdLimiter(t *testing.T) {
	want(t, "in air of 40 C", coldLimiter(40), 0.5608, 1e-3)
	want(t, "in air of 0 C", coldLimiter(0), 3.0196, 1e-3)
	want(t, "in air of 25 C", coldLimiter(25), 1, 1e-12)
}
