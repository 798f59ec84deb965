package thermal_test

import (
	"math"
	"math/rand"
	"testing"

	"example.org/pinhoist/internal/thermal"
)

// Shares of the crest's rise that a rung reaches, by hand. At 50 Hz a half cycle is 10 ms
// and 2*omega is 628.32 rad/s; k1 = 1/sqrt(1 + (628.32*tau)^2), k2 the same at twice that.
//
// sin^2, exact: (1 + k1)/2. At 0.3 ms 628.32*tau = 0.1885: k1 = 0.98270, so 0.99135; at
// 5 ms 3.1416: k1 = 0.30331, so 0.65166; at 0.1 s 62.832: k1 = 0.015914, so 0.50796.
//
// |sin|, m = 0.63662: m*(1 + 2/3*k1 + 1/3*k2). At 5 ms k2 = 1/sqrt(1 + 6.2832^2) =
// 0.15718: 0.63662*(1 + 0.20221 + 0.05239) = 0.79870; at 0.1 s k2 = 0.0079575: 0.63662*(1 +
// 0.010609 + 0.002653) = 0.64506; at 0.3 ms it would be more than the crest: 1.
//
// A shape not known of a mean of 1/3 at its crest for 3.333 ms in 10: at 5 ms
// (1 - exp(-0.66667))/(1 - exp(-2)) = 0.48658/0.86466 = 0.56274.
func TestWaveByHand(t *testing.T) {
	const half = 10e-3
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"sin^2, 0.3 ms", thermal.SineSquared(half).Steady(0.3e-3), 0.99135},
		{"sin^2, 5 ms", thermal.SineSquared(half).Steady(5e-3), 0.65166},
		{"sin^2, 0.1 s", thermal.SineSquared(half).Steady(0.1), 0.50796},
		{"|sin|, 0.3 ms", thermal.HalfSines(half).Steady(0.3e-3), 1},
		{"|sin|, 5 ms", thermal.HalfSines(half).Steady(5e-3), 0.79870},
		{"|sin|, 0.1 s", thermal.HalfSines(half).Steady(0.1), 0.64506},
		{"not known, 5 ms", thermal.Peaked(half, 1.0/3).Steady(5e-3), 0.56274},
		{"no heat capacity", thermal.SineSquared(half).Steady(0), 1},
		{"not known, no heat capacity", thermal.Peaked(half, 0.2).Steady(0), 1},
	} {
		if math.Abs(c.got-c.want) > 2e-5 {
			t.Errorf("%s: %.6f, want %.6f", c.what, c.got, c.want)
		}
	}
}

// shapes are the waves with what they stand for, of the crest at x half cycles.
var shapes = []struct {
	what string
	of   func(half float64) thermal.Wave
	at   func(x float64) float64
}{
	{"|sin|", thermal.HalfSines, func(x float64) float64 { return math.Abs(math.Sin(math.Pi * x)) }},
	{"sin^2", thermal.SineSquared, func(x float64) float64 { s := math.Sin(math.Pi * x); return s * s }},
	{"a third", func(half float64) thermal.Wave { return thermal.Peaked(half, 1.0/3) }, func(x float64) float64 {
		if math.Mod(x, 1) < 1.0/3 {
			return 1
		}
		return 0
	}},
	{"a narrow sine", func(half float64) thermal.Wave { return thermal.Peaked(half, 2/math.Pi/4) }, func(x float64) float64 {
		if x = math.Mod(x, 1); x < 0.25 {
			return math.Sin(math.Pi * x * 4)
		}
		return 0
	}},
}

// The shares are never under an integration of the wave, for rungs from far faster to
// far slower than a half cycle, for waves that begin anywhere, for ever, in one burst and
// in trains of bursts; and for ever they are not far above it.
func TestWaveAgainstIntegration(t *testing.T) {
	const half, steps = 10e-3, 420 // steps to a half cycle
	rng := rand.New(rand.NewSource(5))
	for _, s := range shapes {
		w, loosest := s.of(half), 0.0
		for range 60 {
			tau := half * math.Pow(10, rng.Float64()*4-2.5)
			from, on, period := rng.Float64(), 0.3+3*rng.Float64(), 0.0
			period = on + 4*rng.Float64() // in half cycles
			dt := half / steps
			q := math.Exp(-dt / tau)
			// One burst from cold, and the wave for ever after it.
			state, burst, ever := 0.0, 0.0, 0.0
			n := int(steps * (12*tau/half + 3))
			for k := range n {
				x := float64(k) / steps
				state = state*q + s.at(from+x)*(1-q)
				if x < on {
					burst = max(burst, state)
				}
				if k > n-2*steps {
					ever = max(ever, state)
				}
			}
			// Bursts again and again out of the wave that goes on.
			train, each := 0.0, int(period*steps)
			state = 0
			for k := range each * (int(12*tau/half/period) + 4) {
				p := 0.0
				if k%each < int(on*steps) {
					p = s.at(from + float64(k)/steps)
				}
				state = state*q + p*(1-q)
				train = max(train, state)
			}
			const close = 1 + 2e-3 // of the integration's steps
			for _, c := range []struct {
				what         string
				truth, bound float64
			}{{"for ever", ever, w.Steady(tau)}, {"one burst", burst, w.Burst(on*half, tau)}, {"a train", train, w.Train(on*half, period*half, tau)}} {
				if c.truth > c.bound*close {
					t.Errorf("%s, tau %g s, %s of %g half cycles in %g: %g, bound %g", s.what, tau, c.what, on, period, c.truth, c.bound)
				}
				if c.what == "for ever" {
					loosest = max(loosest, c.bound/c.truth)
				}
			}
		}
		if loosest > 1.25 {
			t.Errorf("%s for ever: up to %g times the truth", s.what, loosest)
		}
	}
}

// 0.6 of the crest, which a train of half sines was once taken for, is no bound for a
// rung that is faster than a half cycle: 0.3 ms gets to all but the crest.
func TestFastRungMeetsTheCrest(t *testing.T) {
	for _, s := range shapes[:2] {
		if share := s.of(10e-3).Burst(0.1, 0.3e-3); share < 0.98 {
			t.Errorf("%s: %g", s.what, share)
		}
	}
}

func TestWaveFallsWithTau(t *testing.T) {
	for _, s := range shapes {
		w := s.of(10e-3)
		ever, burst, train := 2.0, 2.0, 2.0
		for tau := 1e-6; tau < 1e3; tau *= 1.2 {
			e, b, r := w.Steady(tau), w.Burst(25e-3, tau), w.Train(25e-3, 90e-3, tau)
			if e > ever || b > burst || r > train*(1+1e-12) {
				t.Fatalf("%s: a slower rung of %g s is hotter: %g %g %g after %g %g %g", s.what, tau, e, b, r, ever, burst, train)
			}
			ever, burst, train = e, b, r
		}
		if math.Abs(ever-w.Mean) > 1e-3 {
			t.Errorf("%s: a slow rung sees %g, the mean is %g", s.what, ever, w.Mean)
		}
	}
}
