package thermal_test

import (
	"math"
	"math/rand"
	"testing"

	"example.org/pinhoist/internal/thermal"
	"example.org/pinhoist/internal/waveform"
)

// convolve is the truth of these tests: the junction's rise under a power against
// time, rung by rung, by small exact steps.
func convolve(rungs []thermal.Rung, rthCA float64, power func(t float64) float64, until float64, n int) float64 {
	all := append(append([]thermal.Rung{}, rungs...), thermal.Rung{R: rthCA, Tau: thermal.CaseTau})
	state := make([]float64, len(all))
	peak, dt := 0.0, until/float64(n)
	for k := 0; k < n; k++ {
		p := power((float64(k) + 0.5) * dt)
		sum := 0.0
		for i, r := range all {
			q := math.Exp(-dt / r.Tau)
			state[i] = state[i]*q + p*r.R*(1-q)
			sum += state[i]
		}
		peak = max(peak, sum)
	}
	return peak
}

func stairsOf(e *waveform.Envelope, r, steady float64) []thermal.Stair {
	var s []thermal.Stair
	for _, x := range e.Steps[:e.N] {
		s = append(s, thermal.Stair{T: x.T, Top: r * (x.I*x.I - steady*steady), Mean: r * (x.Square - steady*steady)})
	}
	return s
}

func someRungs(rng *rand.Rand) []thermal.Rung {
	var rungs []thermal.Rung
	for k := 1 + rng.Intn(4); k > 0; k-- {
		rungs = append(rungs, thermal.Rung{R: math.Pow(10, rng.Float64()*2-1), Tau: math.Pow(10, rng.Float64()*5-5)})
	}
	return rungs
}

// The cheap bound, power and energy as a rectangle, and the stairs are both over
// the truth, so that they never contradict: where the cheap one passes, the truth
// passes. Exponential currents and filaments, random networks.
func TestPulseBoundsAgainstIntegration(t *testing.T) {
	rng := rand.New(rand.NewSource(9))
	worst := 0.0
	for n := 0; n < 120; n++ {
		rungs := someRungs(rng)
		rca := math.Pow(10, rng.Float64()*2)
		tau := math.Pow(10, rng.Float64()*4-3.5)
		var e waveform.Envelope
		var truth float64
		const r = 0.03
		if n%2 == 0 {
			e = waveform.Decay(10, 1, tau, 0)
			power := func(s float64) float64 { i := 1 + 9*math.Exp(-s/tau); return r * (i*i - 1) }
			truth = convolve(rungs, rca, power, 8*tau, 20000)
		} else {
			f := waveform.NewFilament(12, 15, tau)
			e = f.Envelope(12, 0)
			// The power against time, from the closed form of the time to a current.
			u := make([]float64, 0, 4001)
			const dt = 1.0 / 2000
			for x, k := math.Pow(15, -1/1.2), 0; k <= 4000; k++ {
				u = append(u, x)
				for j := 0; j < 20; j++ {
					x += (math.Pow(x, -1.2) - math.Pow(x, 4)) * dt / 20
				}
			}
			power := func(s float64) float64 {
				i := math.Pow(u[min(4000, int(s/f.Tau/dt))], -1.2)
				return r * max(0, i*i-1)
			}
			truth = convolve(rungs, rca, power, 1.9*f.Tau, 20000)
		}
		charge, square := e.Above(1)
		_ = charge
		stairs := thermal.StairRise(rungs, stairsOf(&e, r, 1), rca)
		top := r * (e.Peak()*e.Peak() - 1)
		cheap := thermal.StepRise(rungs, top, r*square/top, rca)
		if stairs < truth*(1-2e-3) {
			t.Errorf("stairs %g under %g: %v, tau %g", stairs, truth, rungs, tau)
		}
		if cheap < truth*(1-2e-3) {
			t.Errorf("cheap %g under %g: %v, tau %g", cheap, truth, rungs, tau)
		}
		worst = max(worst, stairs/truth)
		if stairs > truth*1.35 {
			t.Errorf("stairs %g far above %g: %v %g, tau %g, filament %v", stairs, truth, rungs, rca, tau, n%2 == 1)
		}
	}
	t.Logf("stairs at most %g of the truth", worst)
}

// By hand, on the ladder 0.5, 1.5, 8, 52 K/W with 1 ms, 20 ms, 0.5 s, 30 s, whose
// published step responses are 0.91670 K/W at 5 ms and 1.26592 K/W at 10 ms: 20 W
// for 10 ms is 25.318 K; the same in two stairs of 5 ms is the same; without a
// network no shortness counts.
func TestStairsByHand(t *testing.T) {
	ladder := []thermal.Rung{{R: 0.5, Tau: 1e-3}, {R: 1.5, Tau: 20e-3}, {R: 8, Tau: 0.5}, {R: 52, Tau: 30}}
	for _, tc := range []struct {
		what  string
		got   float64
		want  float64
		slack float64
	}{
		{"one stair", thermal.StairRise(ladder, []thermal.Stair{{T: 10e-3, Top: 20, Mean: 20}, {T: math.Inf(1)}}, 0), 25.318, 1e-4},
		{"two stairs", thermal.StairRise(ladder, []thermal.Stair{{T: 5e-3, Top: 20, Mean: 20}, {T: 5e-3, Top: 20, Mean: 20}, {T: math.Inf(1)}}, 0), 25.318, 1e-4},
		{"5 ms", thermal.StairRise(ladder, []thermal.Stair{{T: 5e-3, Top: 20, Mean: 20}}, 0), 18.334, 1e-4},
		{"as a rectangle of 0.2 J", thermal.StepRise(ladder, 20, 0.2/20, 0), 25.318, 1e-4},
		{"for ever", thermal.StairRise(ladder, []thermal.Stair{{T: math.Inf(1), Top: 1, Mean: 1}}, 8), 70, 1e-9},
		{"no network", thermal.StairRise(nil, []thermal.Stair{{T: 1e-6, Top: 3, Mean: 3}, {T: 1, Top: 2, Mean: 2}}, 62), 186, 1e-9},
		{"no network, no pulse", thermal.StepRise(nil, 3, 1e-9/3, 62), 186, 1e-9},
		{"nothing", thermal.StepRise(ladder, 0, 0, 62), 0, 1e-9},
	} {
		if math.Abs(tc.got-tc.want) > tc.slack*math.Max(1e-9, tc.want) {
			t.Errorf("%s: %g, want %g", tc.what, tc.got, tc.want)
		}
	}
}

func BenchmarkStairRise(b *testing.B) {
	e := waveform.NewFilament(12, 15, 0.1).Envelope(12, 0)
	rungs := []thermal.Rung{{R: 0.5, Tau: 1e-3}, {R: 1.5, Tau: 20e-3}, {R: 8, Tau: 0.5}}
	s := stairsOf(&e, 0.03, 1)
	b.ReportAllocs()
	for range b.N {
		thermal.StairRise(rungs, s, 60)
	}
}

func BenchmarkFilament(b *testing.B) {
	f := waveform.NewFilament(12, 15, 0.1)
	for range b.N {
		f.Envelope(12, 0.2)
	}
}
