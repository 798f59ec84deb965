package waveform

import (
	"math"
	"testing"
)

// Sources named in the tables below and how each value was obtained: READ in the
// source, DERIVED by arithmetic on the formula shown, SIMULATED with ngspice 39,
// MEMORY.

// row is one published or hand-calculated value.
type row struct {
	id       string
	got      float64
	want     float64
	tol      float64 // relative
	source   string
	obtained string
}

func check(t *testing.T, rows []row) {
	t.Helper()
	for _, r := range rows {
		if !(math.Abs(r.got-r.want) <= r.tol*math.Abs(r.want)) {
			t.Errorf("%s: got %.8g, want %.8g within %.2g (%s; %s)", r.id, r.got, r.want, r.tol, r.source, r.obtained)
		}
	}
}

// within holds published ranges: got from lo to hi.
type within struct {
	id          string
	got, lo, hi float64
	source      string
	obtained    string
}

func checkWithin(t *testing.T, rows []within) {
	t.Helper()
	for _, r := range rows {
		if !(r.got >= r.lo && r.got <= r.hi) {
			t.Errorf("%s: got %.6g, published %g to %g (%s; %s)", r.id, r.got, r.lo, r.hi, r.source, r.obtained)
		}
	}
}

// integrate is the independent solver of these tests: Runge-Kutta of fourth order
// with n equal steps, telling each point.
func integrate(y []float64, dt float64, n int, slope func(y, dy []float64), each func(t float64, y []float64)) {
	m := len(y)
	k := make([][]float64, 4)
	for i := range k {
		k[i] = make([]float64, m)
	}
	tmp := make([]float64, m)
	at := func(from []float64, h float64) []float64 {
		for i := range tmp {
			tmp[i] = y[i] + h*from[i]
		}
		return tmp
	}
	each(0, y)
	for s := 1; s <= n; s++ {
		slope(y, k[0])
		slope(at(k[0], dt/2), k[1])
		slope(at(k[1], dt/2), k[2])
		slope(at(k[2], dt), k[3])
		for i := range y {
			y[i] += dt / 6 * (k[0][i] + 2*k[1][i] + 2*k[2][i] + k[3][i])
		}
		each(float64(s)*dt, y)
	}
}

// Pulses of known shape, as fuse makers tabulate their squares over time.
func TestSquareOverTime(t *testing.T) {
	const guide = "Fuse guide, Littelfuse, 2017, chart 1"
	above := func(e Envelope) float64 { _, s := e.Above(0); return s }
	// A linear and a parabolic decay in stairs, each of the mean over its length.
	check(t, []row{
		{"W15 square wave", above(Rectangle(30, 2e-3, 0)), 30 * 30 * 2e-3, 1e-12, guide, "READ"},
		{"W15 exponential", above(Decay(30, 0, 2e-3, 0)), 0.5 * 30 * 30 * 2e-3, 1e-6, guide, "READ"},
		{"W16 capacitor start", above(Decay(30, 0, 2e-3, 0)), 0.90, 1e-3, guide + "; 30 A, 2 ms", "DERIVED"},
		{"W16 nominal melting for 10,000 starts", above(Decay(30, 0, 2e-3, 0)) / 0.29, 3.10, 2e-3, guide + ", 29 % from chart 2", "READ + DERIVED"},
	})
}

// Envelopes stay above the current that they stand for, whatever its figures, and
// their means hold its integrals.
func TestDecayIsABound(t *testing.T) {
	for _, tau := range []float64{1e-9, 1e-3, 1, 1e6} {
		for _, steady := range []float64{0, 1, 9.99} {
			e := Decay(10, steady, tau, 0.3*tau)
			if e.Peak() != 10 {
				t.Errorf("peak %g", e.Peak())
			}
			for k := 0; k < 2000; k++ {
				s := tau * float64(k) * 0.01
				truth := steady + (10-steady)*math.Exp(-max(0, s-0.3*tau)/tau)
				if e.At(s) < truth*(1-1e-12) {
					t.Fatalf("tau %g, at %g: %g under %g", tau, s, e.At(s), truth)
				}
			}
			charge, square := e.Above(steady)
			x := 10 - steady
			if want := x * tau * 1.3; charge < want*(1-3e-4) || charge > want*1.001 {
				t.Errorf("charge %g, want %g", charge, want)
			}
			if want := 2*steady*x*tau*1.3 + x*x*tau*0.8; square < want*(1-3e-4) || square > want*1.001 {
				t.Errorf("square %g, want %g", square, want)
			}
		}
	}
}

// Nothing is ever not a number, nor below zero, with constants twelve decades
// apart, at zero and at the largest figures that a job may state.
func TestNeverNaN(t *testing.T) {
	ends := []float64{0, 1e-15, 1e-9, 1e-3, 1, 1e3, 1e9}
	good := func(what string, inf bool, vs ...float64) {
		t.Helper()
		for _, v := range vs {
			if math.IsNaN(v) || v < 0 || math.IsInf(v, 0) && !inf {
				t.Errorf("%s: %g", what, v)
			}
		}
	}
	stairs := func(what string, e Envelope) {
		t.Helper()
		if e.N < 1 || e.N > MaxSteps || !math.IsInf(e.Steps[e.N-1].T, 1) {
			t.Errorf("%s: %d steps", what, e.N)
		}
		last := math.Inf(1)
		for _, s := range e.Steps[:e.N] {
			good(what, true, s.T, s.I, s.Mean, s.Square)
			if s.I > last || s.Mean > s.I*(1+1e-12) || !(s.Square <= s.I*s.I*(1+1e-12)) {
				t.Errorf("%s: step %+v after %g", what, s, last)
			}
			last = s.I
		}
		c, q := e.Above(1)
		good(what, true, c, q, e.Equivalent(1), e.Peak(), e.Steady(), e.At(1e-3))
	}
	for _, a := range ends {
		for _, b := range ends {
			for _, c := range ends {
				stairs("decay", Decay(a, b, c, a))
				stairs("rectangle", Rectangle(a, b, c))
				for _, d := range ends {
					k := Charging{V: a, R: b, L: c, C: d}
					i, at := k.Peak()
					good("capacitor", true, i, at, k.Square(), k.Energy(b/2))
					if b > 0 && i > a/b*(1+1e-12) {
						t.Errorf("%+v: peak %g", k, i)
					}
					stairs("capacitor", k.Envelope(1, b))
					f := NewFilament(a, 1+b, c)
					stairs("filament", f.Envelope(12, d))
					good("filament", true, timeTo(f, 1.5), f.Tau)
				}
			}
		}
	}
	for _, r := range ends[1:] {
		for _, l := range ends[1:] {
			for _, f := range ends[1:] {
				for _, v := range ends {
					for _, vd := range ends {
						w := Chopped{V: v, R: r, L: l, VD: vd, F: f}
						for _, d := range []float64{0, 1e-12, 0.3, 1 - 1e-12, 1} {
							k := w.At(d)
							good("chopped", false, k.Max, k.Min, k.Mean, k.Switch, k.Diode)
							if k.Min > k.Max*(1+1e-12) || k.Mean > k.Max*(1+1e-9) || k.Max > v/r*(1+1e-9) {
								t.Errorf("%+v at %g: %+v", w, d, k)
							}
						}
						_, i := w.WorstDiode(0, 1)
						_, p := w.WorstRipple(0.2, 0.9)
						good("chopped", false, i, p)
					}
				}
			}
		}
	}
	for _, q := range ends {
		for _, s := range ends {
			for _, r := range append(ends, math.Inf(1)) {
				for _, c := range ends {
					good("coupled", true, Coupled(q, s, r, c))
				}
			}
			good("wire", false, PairInductance(q, s), LeastInductance(q), FieldEnergy(q, s))
			good("flicker", false, FilamentFlicker(q))
			good("band", true, LeastFrequency(q, s, 0.1))
		}
	}
}
