package waveform

import (
	"math"
	"testing"
)

// What Heating bounds, against filaments heated in small steps by sources of every
// kind: a whole rail, through a loop, of a limited current, switched on and off. What
// counts is what any stretch of time brings above the lit current.
func TestHeatingBoundsEverySource(t *testing.T) {
	f := NewFilament(12, 15, 0.1) // 1 A at 12 V
	charge, square := f.Heating(1)
	// By hand: 5*tau*(15^(1/6) - 1) = 5*tau*0.57042.
	check(t, []row{
		{"square", square, 5 * f.Tau * 0.57042, 1e-4, "integral of u^-1.2", "DERIVED"},
		{"charge", charge, 5 * f.Tau * 0.57042 / 2, 1e-4, "half of it", "DERIVED"},
	})
	for name, source := range map[string]func(s, r float64) float64{
		"rail":       func(_, r float64) float64 { return 12 / r },
		"loop":       func(_, r float64) float64 { return 12 / (r + 0.3) },
		"5 A":        func(_, r float64) float64 { return min(5, 12/r) },
		"1.5 A":      func(_, r float64) float64 { return min(1.5, 12/r) },
		"half, fast": func(s, r float64) float64 { return 12 / r * float64(int(s/1e-4)%2) },
		"half, slow": func(s, r float64) float64 { return 12 / r * float64(1-int(s/10e-3)%2) },
	} {
		u, q, sq, mostQ, most := math.Pow(15, -1/1.2), 0.0, 0.0, 0.0, 0.0
		const dt = 5e-6
		for s := 0.0; s < 0.5; s += dt {
			r := 12 * math.Pow(u, 1.2)
			i := source(s, r)
			u += (i*i*r/12 - math.Pow(u, 4)) / f.Tau * dt
			q, sq = max(0, q+(i-1)*dt), max(0, sq+(i*i-1)*dt)
			mostQ, most = max(mostQ, q), max(most, sq)
		}
		if mostQ > charge || most > square {
			t.Errorf("%s: %g A s of %g, %g A2s of %g", name, mostQ, charge, most, square)
		}
		if name == "rail" && most < square/2 {
			t.Errorf("the bound %g is far above %g", square, most)
		}
	}
}
