package waveform

import (
	"math"
	"math/rand"
	"testing"
)

const ngspice = "deck of a capacitor behind a switch, ngspice 39"

func TestCapacitorPublished(t *testing.T) {
	const closed, halliday = "closed form of the series circuit", "Kuphaldt, vol. I DC, chapter RC and L/R time constants"
	over := Charging{V: 12, R: 0.1, L: 1e-6, C: 1e-3}
	under := Charging{V: 12, R: 0.1, L: 10e-6, C: 1e-3}
	io, to := over.Peak()
	iu, tu := under.Peak()
	rc := Charging{V: 15, R: 10e3, C: 100e-6}
	i0, _ := rc.Peak()
	at := func(s float64) float64 { return i0 * math.Exp(-s/(rc.R*rc.C)) }
	e := rc.Envelope(0, math.Inf(1))
	charge, _ := e.Above(0)
	check(t, []row{
		{"E16 peak", io, 100.17, 2e-4, closed, "DERIVED"},
		{"E16 its moment", to, 26.64e-6, 5e-4, closed, "DERIVED"},
		{"E16 without inductance", over.V / over.R, 120, 1e-12, closed, "DERIVED"},
		{"E16 peak, simulated", io, 100.19, 1e-3, ngspice, "SIMULATED"},
		{"E16 moment, simulated", to, 26.6e-6, 3e-3, ngspice, "SIMULATED"},
		{"E17 peak", iu, 65.56, 2e-4, closed, "DERIVED"},
		{"E17 its moment", tu, 120.9e-6, 5e-4, closed, "DERIVED"},
		{"E17 peak, simulated", iu, 65.55565, 1e-3, ngspice, "SIMULATED"},
		{"E17 moment, simulated", tu, 121.1e-6, 3e-3, ngspice, "SIMULATED"},
		{"E18 switch of 50 mohm", over.Energy(0.05), 36.0e-3, 1e-9, closed, "DERIVED"},
		{"E18 the whole circle", over.Energy(0.1), 72e-3, 1e-9, closed, "DERIVED"},
		{"E18 square over time", over.Square(), 0.720, 1e-9, closed, "DERIVED"},
		{"E18 switch, simulated", under.Energy(0.05), 36.0060e-3, 1e-3, ngspice, "SIMULATED"},
		{"E18 square, simulated", under.Square(), 0.720121, 1e-3, ngspice, "SIMULATED"},
		{"L17 1000 uF at 24 V", Charging{V: 24, R: 1, C: 1e-3}.Energy(1), 0.288, 1e-9, "closed form", "DERIVED"},
		{"L17 whatever the resistance", Charging{V: 24, R: 0.01, C: 1e-3}.Energy(0.01), 0.288, 1e-9, "closed form", "DERIVED"},
		{"E01 current at first", i0, 1.5e-3, 1e-9, halliday, "READ + DERIVED"},
		{"E01 current after 7.25 s", at(7.25), 1.065e-6, 1e-3, halliday, "READ + DERIVED"},
		{"E01 charge, to 15 V", charge / 100e-6, 15, 1e-3, halliday, "READ + DERIVED"},
		{"E01 voltage after 2.0 s", 15 - at(2)*10e3, 12.970, 1e-4, halliday, "READ + DERIVED"},
	})
}

// ring integrates the circle.
func ring(c Charging, until float64, n int, each func(t, i, v float64)) {
	y := []float64{0, 0}
	slope := func(y, dy []float64) {
		dy[0] = (c.V - c.R*y[0] - y[1]) / c.L
		dy[1] = y[0] / c.C
	}
	integrate(y, until/float64(n), n, slope, func(t float64, y []float64) { each(t, y[0], y[1]) })
}

// Peak, overshoot and square are those of an integration; the envelope is nowhere
// under the current.
func TestCapacitorAgainstIntegration(t *testing.T) {
	rng := rand.New(rand.NewSource(6))
	for n := 0; n < 40; n++ {
		c := Charging{V: 10, C: 1}
		z := math.Pow(10, rng.Float64()*2.4-1) // damping
		c.L = math.Pow(10, rng.Float64()*2-1)
		c.R = 2 * z * math.Sqrt(c.L/c.C)
		if n == 0 {
			c.R = 2 * math.Sqrt(c.L/c.C) // where it just does not ring
		}
		e := c.Envelope(0, math.Inf(1))
		until := 14 * max(c.R*c.C, c.L/c.R)
		var peak, at, top, square, last, before float64
		steps := int(min(2e5, max(20000, 100*until/min(c.L/c.R, math.Sqrt(c.L*c.C)))))
		ring(c, until, steps, func(s, i, v float64) {
			if i > peak {
				peak, at = i, s
			}
			top = max(top, v)
			square += (i*i + last*last) / 2 * (s - before)
			last, before = i, s
			if e.At(s) < math.Abs(i)*(1-1e-6) {
				t.Fatalf("%+v: at %g s %g under %g", c, s, e.At(s), i)
			}
		})
		i, when := c.Peak()
		check(t, []row{
			{"peak", i, peak, 1e-4, "Runge-Kutta of this test", "SIMULATED"},
			{"moment", when, at, 2e-2, "Runge-Kutta of this test", "SIMULATED"},
			{"square", c.Square(), square, 3e-3, "Runge-Kutta of this test", "SIMULATED"},
		})
	}
}

// A supply that gives no more than it gives. 1 mF on 12 V through 0.1 ohm from a
// source of 3 A: it rises at 3 A to 11.7 V in 3.9 ms, then decays with 0.1 ms; the
// charge is 12 mC, the square 9*3.9 ms + 9*0.05 ms = 0.03555 A2s (DERIVED).
func TestCapacitorFromALimitedSource(t *testing.T) {
	e := Charging{V: 12, R: 0.1, C: 1e-3}.Envelope(0, 3)
	charge, square := e.Above(0)
	check(t, []row{
		{"peak", e.Peak(), 3, 1e-12, "by hand", "DERIVED"},
		{"charge", charge, 12e-3, 1e-3, "by hand", "DERIVED"},
		{"square", square, 0.03555, 1e-3, "by hand", "DERIVED"},
		{"how long at its limit", e.Steps[0].T, 3.9e-3, 2e-2, "by hand", "DERIVED"},
	})
	// A source that gives more than the circle lets through changes nothing.
	a, b := (Charging{V: 12, R: 0.1, C: 1e-3}).Envelope(1, 500), (Charging{V: 12, R: 0.1, C: 1e-3}).Envelope(1, math.Inf(1))
	if a != b {
		t.Errorf("%+v, %+v", a, b)
	}
	// No resistance anywhere, and a source that gives no end: no peak is known.
	if e := (Charging{V: 12, C: 1e-3}).Envelope(0, math.Inf(1)); !math.IsInf(e.Peak(), 1) {
		t.Errorf("%+v", e)
	}
}
