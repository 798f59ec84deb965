package device

import (
	"math"
	"math/rand"
	"testing"

	"example.org/pinhoist/catalog"
	q "example.org/pinhoist/internal/quantity"
)

// lawRow is one published or hand-calculated value with its source and how it was
// obtained.
type lawRow struct {
	id        string
	got, want float64
	tol       float64 // relative
	source    string
	obtained  string
}

func lawRows(t *testing.T, rows []lawRow) {
	t.Helper()
	for _, r := range rows {
		if !(math.Abs(r.got-r.want) <= r.tol*math.Abs(r.want)) {
			t.Errorf("%s: got %.8g, want %.8g within %.2g (%s; %s)", r.id, r.got, r.want, r.tol, r.source, r.obtained)
		}
	}
}

func TestGateIntervalsPublished(t *testing.T) {
	const (
		tmos   = "TMOS Power MOSFET Transistor Device Data, Motorola, Power MOSFET switching"
		jacob  = "Jacob, Power Electronics: Principles and Applications, Example 6.10 (open companion)"
		closed = "closed form"
		n3     = "deck of a MOSFET with a clamped winding, ngspice 39"
		n4     = "deck of a P-channel high side with a level shifter, ngspice 39"
	)
	g := Gate{V: 5, R: 100, Plateau: 3}
	// A square-law part: 245 ohm, Cgs 1 nF, Cgd 100 pF, threshold 2 V, K 4 A/V2, 2 A, 5
	// V, swing 24.7 V: plateau 3 V.
	sq := Gate{V: 5, R: 245, Plateau: 3}
	const c, cgd, swing = 1.1e-9, 100e-12, 24.7
	on := Edge{Delay: sq.Rise(c, 0, 2), Current: sq.Rise(c, 2, 3), Voltage: sq.Charge(cgd * swing)}
	off := Edge{Delay: sq.Fall(c, 5, 3), Current: sq.Fall(c, 3, 2), Voltage: sq.Discharge(cgd * swing)}
	// The high side's gate: 660 pF behind a pull-up of 4.7 kohm, 11.986 V on it; plateau
	// 2.5 + sqrt(2*2/2.5) = 3.765 V at 2 A. Its NPN lets go 0.747 us after the pin, the
	// drain is at 90 % after 60 pF*2.4 V more.
	hs := Gate{V: 24, R: 4.7e3, Plateau: 2.5 + math.Sqrt(1.6)}
	onRes, offRes := StraightEnergy(Ohmic, 220, 2, 80, 1e-6, 3e-6)
	sixth, _ := StraightEnergy(Ohmic, 24, 0, 2, 100e-9, 0)
	half, _ := StraightEnergy(Clamped, 24, 0, 2, 200e-9, 0)
	lawRows(t, []lawRow{
		{"M12 44 nC with 40 mA", Gate{V: 8, R: 100, Plateau: 4}.Charge(44e-9), 1.10e-6, 1e-9, jacob, "READ + DERIVED"},
		{"M14 rise", g.Charge(10e-9), 500e-9, 1e-9, tmos, "READ + DERIVED"},
		{"M14 fall", g.Discharge(10e-9), 333e-9, 2e-3, tmos, "READ + DERIVED"},
		{"M15 delay on", g.Rise(500e-12, 0, 3), 45.8e-9, 1e-3, tmos, "READ + DERIVED"},
		{"M15 delay off", g.Fall(500e-12, 5, 3), 25.5e-9, 2e-3, tmos, "READ + DERIVED"},
		{"M16 delay to threshold", on.Delay, 137.7e-9, 1e-3, closed, "DERIVED"},
		{"M16 current rise", on.Current, 109.3e-9, 1e-3, closed, "DERIVED"},
		{"M16 voltage fall", on.Voltage, 302.6e-9, 1e-3, closed, "DERIVED"},
		{"M16 delay off", off.Delay, 137.7e-9, 1e-3, closed, "DERIVED"},
		{"M16 voltage rise", off.Voltage, 201.7e-9, 1e-3, closed, "DERIVED"},
		{"M16 current fall", off.Current, 109.3e-9, 1e-3, closed, "DERIVED"},
		{"M16 drain 21.6 to 2.4 V, simulated", sq.Charge(cgd * 19.2), 235.44e-9, 5e-3, n3, "SIMULATED"},
		{"M16 drain 2.4 to 21.6 V, simulated", sq.Discharge(cgd * 19.2), 156.96e-9, 5e-3, n3, "SIMULATED"},
		{"M17 on, square law", EdgeEnergy(Clamped, swing, 2, on), 9.46e-6, 3e-2, closed, "DERIVED"},
		{"M17 off, square law", EdgeEnergy(Clamped, swing, 2, off), 6.60e-6, 3e-2, closed, "DERIVED"},
		{"M17 on, simulated", EdgeEnergy(Clamped, swing, 2, on), 9.57526e-6, 4e-2, n3, "SIMULATED"},
		{"M17 off, simulated", EdgeEnergy(Clamped, swing, 2, off), 6.67312e-6, 4e-2, n3, "SIMULATED"},
		{"M18 24 V, 2 A, 100 ns each, 20 kHz", 20e3 * half, 96e-3, 1e-9, "standard", "DERIVED"},
		{"M19 200 pF, 48 V, 100 kHz", CapacitanceLoss(200e-12, 48, 100e3), 23.0e-3, 2e-3, "standard", "DERIVED"},
		{"M20 gate power", GateLoss(44e-9, 10, 100e3), 44e-3, 1e-9, "standard", "DERIVED"},
		{"B26 rise, each", onRes, 2.987e-3, 1e-3, "Bimbhra, Power Electronics, Example 2.2 (open companion)", "READ + DERIVED"},
		{"B26 rise at 5 kHz", 5e3 * onRes, 14.93, 1e-3, "Bimbhra, Power Electronics, Example 2.2 (open companion)", "READ + DERIVED"},
		{"B27 fall at 5 kHz", 5e3 * offRes, 43.6, 1e-3, "Bimbhra, Power Electronics, Example 2.3 (open companion)", "READ inputs, DERIVED"},
		{"B27 storage at 5 kHz", 5e3 * 80 * 2 * 3e-6, 2.4, 1e-9, "Bimbhra, Power Electronics, Example 2.3 (open companion)", "READ inputs, DERIVED"},
		{"a sixth, without an on voltage", sixth, 0.8e-6, 1e-9, "integral of v*(1-x)*i*x", "DERIVED"},
		{"high side, pull-up to 90 %, simulated", 0.7471e-6 + hs.Fall(660e-12, 11.986, hs.Plateau) + hs.Discharge(60e-12*2.4), 4.61e-6, 3e-2, n4, "SIMULATED"},
	})
}

// Both laws against sums in little steps, which know nothing of the closed forms:
// straight slopes; and a square-law part whose gate gets a steady current, its own
// capacitance and that to the drain in its way.
func TestEdgeEnergies(t *testing.T) {
	clamped, ohmic := 0.0, 0.0
	const n = 100000
	for k := 0; k < n; k++ {
		x := (float64(k) + 0.5) / n
		ohmic += 24 * (1 - x) * 2 * x * 1e-6 / n
		clamped += 24 * 2 * x * 1e-6 / n
	}
	straight, _ := StraightEnergy(Ohmic, 24, 0, 2, 1e-6, 0)
	half, _ := StraightEnergy(Clamped, 24, 0, 2, 1e-6, 0)
	const tCurrent, tVoltage = 0.4e-6, 0.6e-6
	winding, resistance := 0.0, 0.0
	for k := 0; k < n; k++ {
		x := (float64(k) + 0.5) / n
		i, v := 2*x*x, 24*(1-x*x)
		resistance += i * v * (tCurrent + 2*x*tVoltage) / n
		winding += (i*24*tCurrent + 2*24*(1-x)*tVoltage) / n
	}
	e := Edge{Delay: 1, Current: tCurrent, Voltage: tVoltage}
	lawRows(t, []lawRow{
		{"straight, resistance", straight, ohmic, 1e-6, "sum of this test", "SIMULATED"},
		{"straight, winding", half, clamped, 1e-6, "sum of this test", "SIMULATED"},
		{"square law, resistance", EdgeEnergy(Ohmic, 24, 2, e), resistance, 1e-6, "sum of this test", "SIMULATED"},
		{"square law, winding", EdgeEnergy(Clamped, 24, 2, e), winding, 1e-6, "sum of this test", "SIMULATED"},
	})
}

// OwnEdges tells apart what Edges bounds as two sums, none above it: a part of 2 V, K = 4
// A/V2, plateau 3 V at 2 A, 3.3 nC to there, 1.1 nF, and 2.47 nC, as the deck of M16.
func TestOwnEdges(t *testing.T) {
	p := &catalog.MOSFET{
		VGSTh:  &catalog.Threshold{Min: q.Some(q.Volt(2)), Max: q.Some(q.Volt(2))},
		RDSOn:  []catalog.RDSPoint{{VGS: q.Some(q.Volt(4.5)), ID: q.Some(q.Amp(2)), Max: q.Some(q.Ohm(0.1))}}, // K = 4 A/V2
		QGDMax: q.Some(q.Coulomb(2.47e-9)), QGSMax: q.Some(q.Coulomb(3.3e-9)),
		VGSThSlope: q.Some(q.VoltPerKelvin(0)),
	}
	on, off, ok := OwnEdges(p, Drive{V: 5, Up: 245, Down: 245}, 2, 25, 25)
	if !ok {
		t.Fatal("unknown")
	}
	sumOn, sumOff := Edges(p, 5, 245, 2, 25, 25)
	const closed = "closed form, as M16"
	lawRows(t, []lawRow{
		{"delay on", on.Delay, 137.7e-9, 1e-3, closed, "DERIVED"},
		{"current rises", on.Current, 109.3e-9, 1e-3, closed, "DERIVED"},
		{"voltage falls", on.Voltage, 302.6e-9, 1e-3, closed, "DERIVED"},
		{"delay off", off.Delay, 137.7e-9, 1e-3, closed, "DERIVED"},
		{"voltage rises", off.Voltage, 201.7e-9, 1e-3, closed, "DERIVED"},
		{"current falls", off.Current, 109.3e-9, 1e-3, closed, "DERIVED"},
	})
	if on.Current+on.Voltage > sumOn.V || off.Current+off.Voltage > sumOff.V {
		t.Errorf("%+v above %g, or %+v above %g", on, sumOn.V, off, sumOff.V)
	}
	// 1 V left on the gate: 2.47 nC*100 ohm/(3 - 1) V = 123.5 ns, 110 ns*ln(4/2) = 76.25 ns,
	// 110 ns*ln(2/1) = 76.25 ns.
	_, off, _ = OwnEdges(p, Drive{V: 5, Low: 1, Up: 245, Down: 100}, 2, 25, 25)
	lawRows(t, []lawRow{
		{"voltage rises, 1 V left", off.Voltage, 123.5e-9, 1e-3, "by hand", "DERIVED"},
		{"delay, 1 V left", off.Delay, 76.25e-9, 1e-3, "by hand", "DERIVED"},
		{"current falls, 1 V left", off.Current, 76.25e-9, 1e-3, "by hand", "DERIVED"},
	})
	for what, d := range map[string]Drive{"under its plateau": {V: 2.9, Up: 1, Down: 1}, "never off": {V: 5, Low: 2, Up: 1, Down: 1}} {
		if _, _, ok := OwnEdges(p, d, 2, 25, 25); ok {
			t.Errorf("an edge %s has an end", what)
		}
	}
	p.QGDMax = q.None[q.Coulomb]()
	if _, _, ok := OwnEdges(p, Drive{V: 5, Up: 245, Down: 245}, 2, 25, 25); ok {
		t.Error("known without its charge")
	}
}

// Charge control (standard theory, from memory). A part that just meets its stated
// storage time at its test condition, with any gain from the least one up, never
// stores longer than the bound at another condition.
func TestStorageBound(t *testing.T) {
	rng := rand.New(rand.NewSource(2))
	for range 500 {
		ic := 0.1 + rng.Float64()
		b1, b2 := ic/(5+rng.Float64()*15), ic/(5+rng.Float64()*15)
		hmin := 1.2 * ic / b1 * (1 + rng.Float64()*5)
		const ts = 1e-6
		bound := StorageConstant(ts, b1, b2, ic, hmin)
		if !bound.OK {
			t.Fatal("unknown")
		}
		h := hmin * math.Pow(10, rng.Float64()*2)
		tau := ts / math.Log((b1+b2)/(b2+ic/h)) // this part's own constant
		ib1, ib2 := b1*math.Pow(10, rng.Float64()*2-1), b2*math.Pow(10, rng.Float64()*2-1.5)
		i := ic * rng.Float64()
		if ib1 <= i/h {
			continue
		}
		// Its stored charge, step by step: dq/dt = -ib2 - q/tau from tau*(ib1 - i/h) above
		// the edge of saturation, where the collector takes i/h.
		theory := 0.0
		charge := tau * (ib1 - i/h)
		const n = 20000
		dt := Storage(bound.V, ib1, ib2, 0) / n
		for charge > 0 && theory < 2*dt*n {
			charge -= dt * (ib2 + i/h + charge/tau)
			theory += dt
		}
		if got := Storage(bound.V, ib1, ib2, 0); got < theory*(1-1e-3) {
			t.Errorf("bound %g, theory %g", got, theory)
		}
		if own := Storage(tau, ib1, ib2, i/h); math.Abs(own-theory) > 2e-3*theory+2*dt {
			t.Errorf("closed form %g, step by step %g", own, theory)
		}
	}
	lawRows(t, []lawRow{
		// By hand: 1 us with 50 mA on and off at 0.5 A and a gain of 40: ln(100/62.5) =
		// 0.47000, tau 2.1277 us; with 20 mA on and 2 mA off: 2.1277*ln(11) = 5.1019 us.
		{"constant", StorageConstant(1e-6, 50e-3, 50e-3, 0.5, 40).V, 2.1277e-6, 1e-4, "by hand", "DERIVED"},
		{"storage", Storage(2.1277e-6, 20e-3, 2e-3, 0), 5.1019e-6, 1e-4, "by hand", "DERIVED"},
		// 0.7 V behind 510 ohm and 10 kohm, the relay deck's base: 1.4425 mA.
		{"empties", BaseTurnOff(0.7, 0, 510, 10e3, 0), 1.4425e-3, 1e-3, "0.7/510 + 0.7/10k", "DERIVED"},
		// A driver that only reaches 0.4 V: (0.7 - 0.4)/510 + 0.7/10k = 658.2 uA.
		{"with a low level", BaseTurnOff(0.7, 0.4, 510, 10e3, 0), 658.2e-6, 1e-3, "by hand", "DERIVED"},
		{"without a bleed", BaseTurnOff(0.7, 0, 700, math.Inf(1), 0), 1e-3, 1e-9, "by hand", "DERIVED"},
	})
	if StorageConstant(1e-6, 10e-3, 10e-3, 1, 50).OK {
		t.Error("a part that is not saturated at its test condition has no storage constant")
	}
}

// Nothing is not a number, with figures twelve decades apart.
func TestEdgesNeverNaN(t *testing.T) {
	ends := []float64{0, 1e-12, 1e-6, 1, 1e6}
	for _, a := range ends {
		for _, b := range ends {
			for _, c := range ends {
				g := Gate{V: a, R: b, Plateau: c}
				for _, d := range ends {
					vs := []float64{g.Charge(d), g.Discharge(d), g.Rise(d, 0, c), g.Fall(d, a, c), Storage(a, b, c, d), StorageConstant(a, b, c, d, 1).V, EdgeEnergy(Ohmic, a, b, Edge{Current: c, Voltage: d})}
					if b > 0 && d > 0 {
						vs = append(vs, BaseTurnOff(a, c, b, d, c))
					}
					for _, v := range vs {
						if math.IsNaN(v) || v < 0 {
							t.Fatalf("%g %g %g %g: %v", a, b, c, d, vs)
						}
					}
				}
			}
		}
	}
}

// The test in which a data sheet states a storage time saturates the part well, mostly with
// a tenth or a twentieth of the collector current into and out of the base (class figures,
// from MEMORY): a part that it barely saturates would have a constant of many times the
// time. With a forced gain of two thirds of the least gain it is 1/ln(2/(1 + 2/3)) = 5.5
// of it (DERIVED).
func TestStorageTestsSaturate(t *testing.T) {
	cat, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	checked := 0
	for i := range cat.BJTs {
		p := &cat.BJTs[i]
		s := p.Switching
		if s == nil {
			continue
		}
		checked++
		ic, ts := float64(s.IC.Value()), float64(s.Ts.Value())
		tau := StorageConstant(ts, float64(s.IB1.Value()), float64(s.IB2.Value()), ic, BaseCurrent(p, ic, Room).HFE)
		if !tau.OK || tau.V > 5.5*ts {
			t.Errorf("%s: a constant of %g times the storage time", p.ID, tau.V/ts)
		}
	}
	if checked < 40 {
		t.Errorf("%d parts", checked)
	}
}
