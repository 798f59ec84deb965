package waveform

import (
	"math"
	"math/rand"
	"testing"
)

func TestChoppedPublished(t *testing.T) {
	const closed, book, osx = "closed form", "Kuphaldt, vol. I DC, chapter RC and L/R time constants, table", "OpenStax, University Physics vol. 2, section 14.4"
	w := Chopped{V: 12, R: 15, L: 60e-3, F: 500}
	k := w.At(0.3)
	slow := Chopped{V: 12, R: 15, L: 60e-3, F: 100}.At(0.5)
	flat := Chopped{V: 12, R: 15, L: 60e3, F: 500}
	straight := func(v, d, f, l float64) float64 { return v * d * (1 - d) / (f * l) }
	// A winding in its first, endlessly long period rises and falls as published.
	rise := Chopped{V: 2, R: 4, L: 4, F: 1e-6}
	check(t, []row{
		{"R22 greatest", k.Max, 283.2e-3, 5e-4, closed, "DERIVED"},
		{"R22 least", k.Min, 199.6e-3, 5e-4, closed, "DERIVED"},
		{"R22 ripple", k.Ripple(), 83.63e-3, 5e-4, closed, "DERIVED"},
		{"R22 mean", k.Mean, 240e-3, 1e-9, closed, "DERIVED"},
		{"R23 straight line", straight(12, 0.3, 500, 60e-3), 84.0e-3, 1e-3, closed, "DERIVED"},
		{"R23 how far it is above", straight(12, 0.3, 500, 60e-3)/k.Ripple() - 1, 0.004, 0.15, closed, "DERIVED"},
		{"R24 exact", slow.Ripple(), 443.7e-3, 5e-4, closed, "DERIVED"},
		{"R24 greatest", slow.Max, 621.8e-3, 5e-4, closed, "DERIVED"},
		{"R24 least", slow.Min, 178.2e-3, 5e-4, closed, "DERIVED"},
		{"R24 straight line", straight(12, 0.5, 100, 60e-3), 500e-3, 1e-9, closed, "DERIVED"},
		// R21, of a current that does not follow the duty; one that does has the duty in it.
		{"R21 freewheel, following", flat.At(0.3).Diode, 0.3 * 0.7 * 0.8, 1e-4, closed + ", (1 - D) of the winding's 0.24 A", "DERIVED"},
		{"R21 as a share of the winding", flat.At(0.3).Diode / flat.At(0.3).Mean * 0.8, 0.56, 1e-4, closed, "DERIVED"},
		{"E04 RL, at its end", rise.At(0.999999).Max, 0.5, 1e-3, osx, "READ + DERIVED"},
		{"E04 RL at two time constants", Chopped{V: 2, R: 4, L: 4, F: 1.0 / 2000}.At(2.0 / 2000).Max, 0.43, 6e-3, osx, "READ + DERIVED"},
		{"E10 winding of 120 V after one L/R", Chopped{V: 120, R: 10, L: 40e-3, F: 1}.At(4e-3).Max, 7.59, 1e-3, "Bird, ch. 17, Example 8 (open companion)", "READ + DERIVED"},
		{"R12 coil after 3.046 ms", Chopped{V: 12, R: 160.99, L: 0.4, F: 1}.At(3.046e-3).Max, 52.5e-3, 5e-3, "closed form; deck of a relay coil, ngspice 39", "DERIVED + SIMULATED"},
		// R10, R11: the charge of one opening, at one per second; from the energy that
		// the clamp takes there over its voltage.
		{"R10 clamp energy of a diode", chargeOf(74.54e-3, 160, 0.4, 0.75) * 0.75, 0.115e-3, 1e-2, closed, "DERIVED"},
		{"R11 clamp energy of a diode and Zener", chargeOf(74.54e-3, 160, 0.4, 24.93) * 24.93, 0.849e-3, 1e-3, closed, "DERIVED"},
		{"R11 simulated", chargeOf(74.54e-3, 160, 0.4, 24.93) * 24.93, 0.848675e-3, 2e-3, "deck of a relay coil with a Zener, ngspice 39", "SIMULATED"},
		{"R10 simulated", chargeOf(74.54e-3, 160, 0.4, 0.72) * 0.72, 0.110583e-3, 1e-2, "deck of a relay coil, ngspice 39", "SIMULATED"},
		{"S17 diode on the demo solenoid", chargeOf(0.8, 15, 60e-3, 0.8) * 0.8, 2.09e-3, 3e-3, closed, "DERIVED"},
		{"S17 24.8 V", chargeOf(0.8, 15, 60e-3, 24.8) * 24.8, 14.63e-3, 3e-3, closed, "DERIVED"},
	})
	if !k.Continuous || !slow.Continuous {
		t.Error("the current does not stop in these examples")
	}
	_ = book
}

// chargeOf is what the diode passes of one opening, with all the time it takes:
// the diode's mean at a frequency so low that the current ends, over the frequency.
func chargeOf(i, r, l, vd float64) float64 {
	f := 1e-3
	return Chopped{V: i * r, R: r, L: l, VD: vd, F: f}.At(0.5).Diode / f
}

// chop integrates periods until they repeat and tells the means of the last.
func chop(w Chopped, d float64) (k Cycle) {
	const n = 2000
	i := 0.0
	a := w.R / w.F / w.L
	periods := int(min(2000, 14/a)) + 3
	dt := 1 / w.F / n
	// Exact over each little step, with the diode that ends at zero: the sum is what
	// is tested here, not the exponential.
	on := int(math.Round(d * n))
	q := math.Exp(-dt * w.R / w.L)
	for p := 0; p < periods; p++ {
		k = Cycle{Max: i, Min: i}
		for s := 0; s < n; s++ {
			to := w.V / w.R
			if s >= on {
				to = -w.VD / w.R
			}
			next := max(0, to+(i-to)*q)
			m := (i + next) / 2 / n
			if s < on {
				k.Switch += m
			} else {
				k.Diode += m
			}
			i = next
			k.Max, k.Min = max(k.Max, i), min(k.Min, i)
		}
		k.Mean = k.Switch + k.Diode
	}
	return k
}

// Continuous or not, the closed form is what repeated periods come to.
func TestChoppedAgainstPeriods(t *testing.T) {
	rng := rand.New(rand.NewSource(7))
	stopped := 0
	for n := 0; n < 120; n++ {
		w := Chopped{V: 12, R: 10, VD: rng.Float64() * 3, F: 1000}
		w.L = w.R / w.F / math.Pow(10, rng.Float64()*3-2)
		d := float64(1+rng.Intn(199)) / 200
		if n%5 == 0 {
			w.VD *= 20
		}
		got, want := w.At(d), chop(w, d)
		for _, r := range []row{
			{"max", got.Max, want.Max, 2e-3, "", ""}, {"switch", got.Switch, want.Switch, 2e-3, "", ""},
			{"diode", got.Diode, want.Diode, 2e-3, "", ""}, {"mean", got.Mean, want.Mean, 2e-3, "", ""},
		} {
			if math.Abs(r.got-r.want) > r.tol*r.want+1e-6 {
				t.Errorf("%+v at %g: %s %g, period by period %g", w, d, r.id, r.got, r.want)
			}
		}
		if !got.Continuous {
			stopped++
		}
	}
	if stopped < 20 {
		t.Errorf("only %d of the examples stop", stopped)
	}
}

// The worst duty found is that of a dense scan; the bound that asks for no
// inductance, D(1 - D)V/R, is never under the exact mean, so the two never
// contradict: what passes by the bound passes exactly.
func TestWorstDuty(t *testing.T) {
	rng := rand.New(rand.NewSource(8))
	for n := 0; n < 120; n++ {
		w := Chopped{V: 12, R: 15, VD: rng.Float64() * 2, F: 500, L: math.Pow(10, rng.Float64()*5-4)}
		lo, hi := rng.Float64(), rng.Float64()
		if lo > hi {
			lo, hi = hi, lo
		}
		var diode, ripple float64
		for k := 0; k <= 4000; k++ {
			d := lo + (hi-lo)*float64(k)/4000
			c := w.At(d)
			diode, ripple = max(diode, c.Diode), max(ripple, c.Ripple())
			if b := w.V / w.R * d * (1 - d); c.Diode > b*(1+1e-9) {
				t.Fatalf("%+v at %g: %g above the bound %g", w, d, c.Diode, b)
			}
		}
		if _, i := w.WorstDiode(lo, hi); i < diode || i > diode*1.001+1e-12 {
			t.Errorf("%+v, %g to %g: %g, a scan finds %g", w, lo, hi, i, diode)
		}
		if _, i := w.WorstRipple(lo, hi); i < ripple || i > ripple*1.001+1e-12 {
			t.Errorf("%+v, %g to %g: ripple %g, a scan finds %g", w, lo, hi, i, ripple)
		}
		// The lower end of the band: at that frequency the swing is at most the share,
		// at any duty.
		f := LeastFrequency(w.R, w.L, 0.2)
		if _, i := (Chopped{V: w.V, R: w.R, L: w.L, F: f}).WorstRipple(0, 1); i > 0.2*w.V/w.R*(1+1e-3) {
			t.Errorf("%g Hz: swing %g", f, i)
		}
	}
	// An interior maximum, by hand: an endless winding's diode carries most at one
	// half, a quarter of V/R; a range that leaves one half out has it at its end.
	w := Chopped{V: 12, R: 12, L: 1e6, F: 1e3}
	for _, tc := range []struct{ lo, hi, at, i float64 }{{0, 1, 0.5, 0.25}, {0.2, 0.4, 0.4, 0.24}, {0.7, 0.9, 0.7, 0.21}} {
		d, i := w.WorstDiode(tc.lo, tc.hi)
		if math.Abs(d-tc.at) > 1e-2 || math.Abs(i-tc.i) > 1e-3 {
			t.Errorf("%g to %g: %g A at %g", tc.lo, tc.hi, i, d)
		}
	}
}

// The mean current of an ideal freewheel diode grows with the inductance, up to
// duty*(1 - duty)*V/R: the greatest inductance of a load is its worst.
func TestDiodeGrowsWithInductance(t *testing.T) {
	for _, d := range []float64{0.01, 0.3, 0.5, 0.9} {
		last := 0.0
		for _, l := range []float64{1e-5, 1e-4, 1e-3, 1e-2, 0.1, 1} {
			c := Chopped{V: 12, R: 10, L: l, F: 1e3}
			i := c.At(d).Diode
			if i < last || i > d*(1-d)*1.2*(1+1e-12) {
				t.Errorf("duty %g, %g H: %g A after %g A", d, l, i, last)
			}
			last = i
		}
	}
}
