package load

import (
	"math"
	"testing"

	"example.org/pinhoist/internal/job"
	q "example.org/pinhoist/internal/quantity"
)

// acRail is a rail with a tolerance and a frequency.
func acRail(v, tol, f float64) job.Rail {
	r := rail(v, tol)
	r.AC, r.Frequency, r.CommonPin = true, q.Hertz(f), false
	return r
}

func pf(v float64, assumed bool) job.Figure[q.Ratio] {
	return job.Figure[q.Ratio]{Value: q.Ratio(v), Known: true, Assumed: assumed, Easy: 1}
}

// A rail of 230 V, 10 %, 50 Hz: crest 230*sqrt(2) = 325.27 V, 357.796 V at the most
// (DERIVED); 47 to 52 Hz (EN 50160, from memory), half a cycle at 47 Hz 10.638 ms.
// A motor of 1 A, power factor 0.6, 10 %: 1.21 A at the most; Z = 253/1.21 = 209.09 ohm,
// R = 125.45, X = 167.27 ohm, L = 167.27/(2*pi*50) = 0.53245 H; at the least current,
// 0.81 A on 207 V: 255.56 ohm*0.8/(2*pi*50) = 0.65077 H (DERIVED).
func TestAlternatingByHand(t *testing.T) {
	l := job.Load{Kind: job.ACMotor, Current: 1, Tolerance: 0.1, Inductive: true, PowerFactor: pf(0.6, true), Inrush: factor(7, true), InrushTime: q.Some(q.Second(1)), InrushTimeAssumed: true, Rail: acRail(230, 0.1, 50)}
	m := New(&l, air(0, 40), noResistor)
	a := m.AC
	want(t, "crest", a.CrestNom, 325.27, 1e-5)
	want(t, "greatest crest", a.CrestMax, 357.796, 1e-5)
	want(t, "least frequency", a.FMin, 47, 1e-9)
	want(t, "greatest frequency", a.FMax, 52, 1e-9)
	want(t, "half a cycle", a.HalfCycle, 10.638e-3, 1e-4)
	want(t, "resistance", a.R, 125.45, 1e-4)
	want(t, "reactance", a.X, 167.27, 1e-4)
	want(t, "least inductance", a.LMin, 0.53245, 1e-4)
	want(t, "greatest inductance", a.LMax, 0.65077, 1e-4)
	if !a.PFAssumed || a.PFEasy != 1 || !m.PeakAssumed || !m.TimeAssumed {
		t.Errorf("%+v: the figures of the kind are assumed", a)
	}
	// 7 times RMS give a crest of 7*sqrt(2)*1.21 = 11.978 A; its RMS is 8.47 A, for 1 s
	// in whole half cycles of 10.638 ms, 94.0: 8.47^2*1.0 = 71.74 A2s (DERIVED).
	want(t, "inrush crest", m.Pulse.Peak, 11.978, 1e-4)
	want(t, "inrush RMS", m.InrushRMS(), 8.47, 1e-9)
	want(t, "inrush square", m.Pulse.I2t, 71.74, 1e-3)
	want(t, "easy end", m.EasyPeak().V, math.Sqrt2*1.21, 1e-9)

	// A stated inductance is taken as stated: 0.5 H and 20 %.
	l.L, l.ToleranceL = q.Some(q.Henry(0.5)), 0.2
	m = New(&l, air(0, 40), noResistor)
	want(t, "stated, least", m.AC.LMin, 0.4, 1e-9)
	want(t, "stated, most", m.AC.LMax, 0.6, 1e-9)
	// And makes the current lag more than its power factor says: R of 125.45 ohm and
	// 2*pi*52*0.6 = 196.04 ohm: 125.45/232.74 = 0.5390 (DERIVED).
	want(t, "power factor", m.AC.PF, 0.5390, 1e-3)
}

// The square of a surge of one half sine over time is ip^2*t/2: a maker's table has
// 239 A and 285 A2s at 50 Hz, 250 A and 259 A2s at 60 Hz for a relay of 25 A, 597 A and
// 1779 A2s, 625 A and 1621 A2s for one of 40 A (READ, 0.6 %). Here a transformer's first
// half cycle; the frequency is taken as it is, without the tolerance of a public supply,
// by a length that is just a half cycle of the lowest.
func TestHalfSinePublished(t *testing.T) {
	for _, tc := range []struct{ f, peak, square float64 }{{50, 239, 285}, {60, 250, 259}, {50, 597, 1779}, {60, 625, 1621}} {
		// 1/(2*f) is a half cycle of f/0.94*0.94.
		l := job.Load{Kind: job.ACTransformer, Current: 1, Inductive: true, PowerFactor: pf(0.8, true), InrushCurrent: q.Some(q.Amp(tc.peak)), InrushTime: q.Some(q.Second(1 / (2 * tc.f))), Rail: acRail(230, 0, tc.f/0.94)}
		m := New(&l, air(20, 20), noResistor)
		want(t, "square over time", m.Pulse.I2t, tc.square, 6e-3)
	}
}

// A supply's inrush: the crest of the highest rail over 5 ohm for 1 ms (common practice,
// no source): 253*sqrt(2)/5 = 71.56 A, shorter than a half cycle: never more than
// 71.56^2*1 ms = 5.121 A2s (DERIVED). A typical sheet has 60 A at 230 V (MEMORY).
func TestSupplyInrush(t *testing.T) {
	l := job.Load{Kind: job.ACSupply, Current: 0.2, PowerFactor: pf(1, false), Inrush: factor(60, true), InrushCurrent: q.Some(q.Amp(71.56)), InrushTime: q.Some(q.Second(1e-3)), Rail: acRail(230, 0.1, 50)}
	m := New(&l, air(20, 20), noResistor)
	want(t, "square over time", m.Pulse.I2t, 5.121, 1e-3)
	want(t, "as heat", m.InrushRMS(), 71.56, 1e-9)
	if !m.PeakAssumed || m.AC.X != 0 || m.AC.LMax != 0 {
		t.Errorf("%+v", m)
	}
}

// A lamp of 100 W and 120 V, 15.2 times: 17.9 A at the crest, 12.6 A RMS (encyclopaedia,
// READ + DERIVED).
func TestLampInrushRMS(t *testing.T) {
	l := job.Load{Kind: job.ACLamp, Current: q.Amp(100.0 / 120), PowerFactor: pf(1, false), Inrush: factor(144/9.5, false), InrushTime: q.Some(q.Second(0.1)), Rail: acRail(120, 0, 60)}
	m := New(&l, air(20, 20), noResistor)
	want(t, "RMS", m.InrushRMS(), 12.6, 4e-3)
	want(t, "least crest", m.LeastCrest().V, math.Sqrt2*100/120, 1e-9)
}

// Without an inrush the peak is the crest of the steady current: 10 A, 14.14 A.
func TestSteadyCrest(t *testing.T) {
	l := job.Load{Kind: job.ACResistive, Current: 10, PowerFactor: pf(1, false), Inrush: factor(1, false), Rail: acRail(230, 0, 50)}
	m := New(&l, air(20, 20), noResistor)
	want(t, "peak", m.PeakCurrent(), 14.142, 1e-4)
	if m.HasInrush || m.InrushRMS() != m.IMax {
		t.Errorf("%+v", m.Pulse)
	}
}

// What is assumed for the kinds of load on AC against published multiples of the steady
// current: a maker of relay boards has solenoids 10 to 20, motors 5 to 10, incandescent
// lamps 10 to 15, transformers 5 to 15 (READ); others lamps 12 to 18 (READ), toroids 10 to
// 40 (MEMORY), control transformers and magnets 3 to 10 for 30 to 50 ms (READ), locked
// rotors 5 to 6 and up to 10 (READ). A mains supply: 60 A at 230 V (MEMORY).
func TestACKindsPublished(t *testing.T) {
	for _, r := range []struct {
		kind             job.Kind
		least, most      float64
		shortest, longer float64
	}{
		{job.ACLamp, 10, 18, 0.05, 1},
		{job.ACMotor, 5, 10, 0.5, 2},
		{job.ACCoil, 3, 20, 0.03, 0.1},
		{job.ACTransformer, 5, 40, 0.008, 0.02},
	} {
		k, ok := job.Info(r.kind)
		if f := float64(k.Factor); !ok || f < r.least || f > r.most || float64(k.InrushTime) < r.shortest || float64(k.InrushTime) > r.longer {
			t.Errorf("%s: %g times for %g s, published %g to %g", r.kind, f, float64(k.InrushTime), r.least, r.most)
		}
	}
	_, j, errs := job.Read("supply.toml", []byte("schema = 1\n[[load]]\nname = \"x\"\nkind = \"ac-supply\"\nsupply = \"230 V\"\nsupply_tolerance = \"0 %\"\nfrequency = \"50 Hz\"\npower = \"60 W\"\n"))
	if errs.Fatal() {
		t.Fatal(errs)
	}
	m := New(&j.Loads[0], j.Env, noResistor)
	if m.Pulse.Peak < 60 || m.Pulse.Peak > 70 {
		t.Errorf("a supply's inrush of %g A", m.Pulse.Peak)
	}
	// Locked rotor by code letter: 50 hp, 460 V, code G, 376.5 A on 65 A: 5.79 times (READ +
	// DERIVED); the 7 of the kind is over it.
	k, _ := job.Info(job.ACMotor)
	if rotor := 6.0 * 50 * 1000 / (math.Sqrt(3) * 460); math.Abs(rotor-376.5) > 0.1 || rotor/65 > float64(k.Factor) {
		t.Errorf("%g A", rotor)
	}
}
