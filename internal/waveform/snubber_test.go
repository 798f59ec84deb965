package waveform

import (
	"math"
	"testing"
)

// Leakage of a snubber at 230 V, 50 Hz: 10, 22, 47, 100, 220 nF pass 0.723, 1.590, 3.396,
// 7.226, 15.90 mA (DERIVED, 0.5 %). A maker of controllers states 2.1 mA at 120 V and
// 4.3 mA at 240 V, 60 Hz, of its RC outputs (READ): 46.4 and 47.5 nF, a part of 47 nF.
func TestSnubberLeakagePublished(t *testing.T) {
	for _, r := range []struct{ c, mA float64 }{{10e-9, 0.723}, {22e-9, 1.590}, {47e-9, 3.396}, {100e-9, 7.226}, {220e-9, 15.90}} {
		if got := 1e3 * CapacitorCurrent(230, 50, r.c); math.Abs(got-r.mA) > 5e-3*r.mA {
			t.Errorf("%g F: %g mA, want %g", r.c, got, r.mA)
		}
	}
	for _, r := range []struct{ v, mA float64 }{{120, 2.1}, {240, 4.3}} {
		if got := 1e3 * CapacitorCurrent(r.v, 60, 47e-9); math.Abs(got-r.mA) > 0.03*r.mA {
			t.Errorf("%g V: %g mA, want %g", r.v, got, r.mA)
		}
	}
}

// steps runs the network in small steps: the slow, obvious way.
func steps(s Snubber) (slope, peak float64) {
	w0 := 1 / math.Sqrt(s.L*s.C)
	dt := math.Min(1/w0, s.L/(s.R+s.RS)) / 4000
	i, q := 0.0, 0.0
	v := 0.0
	for n := 0; n < 400000; n++ {
		// midpoint
		di := (s.V - (s.R+s.RS)*i - q/s.C) / s.L
		im, qm := i+di*dt/2, q+i*dt/2
		dm := (s.V - (s.R+s.RS)*im - qm/s.C) / s.L
		i, q = i+dm*dt, q+im*dt
		now := s.RS*i + q/s.C
		slope = math.Max(slope, (now-v)/dt)
		peak = math.Max(peak, now)
		v = now
		if float64(n)*dt > 12/w0+12*s.RS*s.C {
			break
		}
	}
	return slope, peak
}

// The closed forms against the network in small steps, under- and overdamped, with the
// steepest slope at once and later.
func TestSnubberLaw(t *testing.T) {
	for _, s := range []Snubber{
		{325, 125, 0.5, 100, 100e-9}, // a motor of 1 A
		{325, 10, 0.05, 100, 100e-9}, // one of 10 A
		{325, 10, 0.005, 47, 47e-9},  //
		{34, 60, 0.2, 47, 22e-9},     // a valve of 24 V
		{325, 2, 0.001, 470, 1e-6},   // overdamped
		{325, 0, 0.002, 2000, 1e-6},  // overdamped, overshooting
		{325, 5, 0.01, 447.2, 47e-9}, // near critical
	} {
		slope, peak := steps(s)
		if got := s.Slope(); math.Abs(got-slope) > 5e-3*slope {
			t.Errorf("%+v: slope %g, in steps %g", s, got, slope)
		}
		if got := s.Peak(); math.Abs(got-math.Max(peak, s.V)) > 2e-3*peak {
			t.Errorf("%+v: peak %g, in steps %g", s, got, peak)
		}
	}
	// With next to no resistance it swings to twice the step at V/sqrt(LC) (closed form):
	// 325 V, 10 mH, 100 nF: 325/31.623e-6 = 10.28 V/us.
	s := Snubber{325, 0, 0.01, 1e-3, 100e-9}
	if math.Abs(s.Peak()-650) > 0.1 || math.Abs(s.Slope()-10.277e6) > 1e4 {
		t.Errorf("%g V, %g V/s", s.Peak(), s.Slope())
	}
	// No capacitor to speak of: what the resistor drops at once, RS/L*V.
	s = Snubber{325, 0, 0.01, 1000, 1e-3}
	if math.Abs(s.Slope()-32.5e6) > 1e5 {
		t.Errorf("%g V/s", s.Slope())
	}
}

// The peak on a sine against the network in small steps: never under it, and no more
// than 12 % over.
func TestSnubberPeakOnAC(t *testing.T) {
	for _, c := range []struct {
		s      Snubber
		pf, hz float64
	}{
		{s: Snubber{358, 125, 0.5, 100, 9e-9}, pf: 0.6, hz: 50},
		{s: Snubber{358, 146, 0.475, 470, 135e-9}, pf: 0.7, hz: 50},
		{s: Snubber{37.335, 43.64, 0.24058, 99, 9e-9}, pf: 0.5, hz: 50},
		{s: Snubber{186, 20, 0.1, 47, 200e-9}, pf: 0.3, hz: 60},
		{s: Snubber{358, 40, 0.01, 220, 400e-9}, pf: 0.9, hz: 50},
	} {
		lag := math.Acos(c.pf)
		peak, i, q := 0.0, 0.0, 0.0
		dt := math.Sqrt(c.s.L*c.s.C) / 2000
		u := func(x float64) float64 { return c.s.V * math.Sin(lag+2*math.Pi*c.hz*x) }
		for x := 0.0; x < 0.25/c.hz; x += dt {
			di := (u(x) - (c.s.R+c.s.RS)*i - q/c.s.C) / c.s.L
			im, qm := i+di*dt/2, q+i*dt/2
			dm := (u(x+dt/2) - (c.s.R+c.s.RS)*im - qm/c.s.C) / c.s.L
			i, q = i+dm*dt, q+im*dt
			peak = math.Max(peak, c.s.RS*i+q/c.s.C)
		}
		peak = math.Max(peak, c.s.V)
		if got := c.s.PeakOnAC(lag, c.hz); got < peak*(1-1e-6) || got > 1.12*peak {
			t.Errorf("%+v, power factor %g: %g V, in steps %g", c.s, c.pf, got, peak)
		}
	}
}
