package thermal

import (
	"math"
	"math/rand"
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/copper"
	q "example.org/pinhoist/internal/quantity"
)

// row is one published or hand-calculated value.
type row struct {
	id       string
	got      float64
	want     float64
	tol      float64 // relative, unless abs
	abs      bool
	source   string
	obtained string // READ, DERIVED, SIMULATED, MEMORY
}

func check(t *testing.T, rows []row) {
	t.Helper()
	for _, r := range rows {
		tol := r.tol
		if !r.abs {
			tol *= math.Abs(r.want)
		}
		if !(math.Abs(r.got-r.want) <= tol) {
			t.Errorf("%s: got %.8g, want %.8g within %.2g (%s; %s)", r.id, r.got, r.want, tol, r.source, r.obtained)
		}
	}
}

func fixed(t *testing.T, ta, rth, p0, alpha, tref, extra float64) float64 {
	t.Helper()
	v, ok := FixedPoint(ta, rth, p0, alpha, tref, extra)
	if !ok {
		t.Errorf("FixedPoint(%g, %g, %g, %g, %g, %g) has no solution", ta, rth, p0, alpha, tref, extra)
	}
	return v
}

func coil(t *testing.T, ta, rth, v, r, tref float64) float64 {
	t.Helper()
	x, ok := CoilTemperature(ta, rth, v, r, tref)
	if !ok {
		t.Errorf("CoilTemperature(%g, %g, %g, %g, %g) has no solution", ta, rth, v, r, tref)
	}
	return x
}

func TestCopperAndCoils(t *testing.T) {
	const (
		te  = "Temperature Considerations for DC Relays, TE Connectivity, eqn 1"
		kil = "High Voltage Relay Application Notes, Kilovac, pull-in at high or low temperatures"
		bab = "Relay News, Babcock, sections 1.0 and 2.0"
	)
	hot := coil(t, 60, 90, 5.25, 70, 20)
	check(t, []row{
		{"C01 slope at 20 C", copper.Ratio(21, 20) - 1, 0.003929, 5e-4, false, te + " prints 0.003929", "READ + DERIVED"},
		{"C01 slope at 23 C", copper.Ratio(24, 23) - 1, 0.003883, 5e-4, false, "1/(234.5 + T0)", "DERIVED"},
		{"C01 slope at 25 C", copper.Ratio(26, 25) - 1, 0.003854, 5e-4, false, kil + " prints 0.003853", "READ + DERIVED"},
		{"C02 coil at 125 C", 320 * copper.Ratio(125, 25), 443.3, 1e-3, false, bab, "READ + DERIVED"},
		{"C03 pick-up at 125 C", 13 * copper.Ratio(125, 25), 18.0, 5e-3, false, bab, "READ + DERIVED"},
		{"C04 pick-up at 85 C", 16 * copper.Ratio(85, 25), 19.7, 3e-3, false, kil, "READ + DERIVED"},
		{"C04 pick-up at 100 C", 16 * copper.Ratio(100, 25), 20.6, 3e-3, false, kil, "READ + DERIVED"},
		{"C05 pick-up at -25 C", 16 * copper.Ratio(-25, 25), 12.9, 3e-3, false, kil, "READ + DERIVED"},
		{"C06 rail just enough", 16 * copper.Ratio(89.9, 25), 20, 2e-3, false, kil + "; limit temperature by the linear law", "READ + DERIVED"},
		{"C07 coil resistance", 90 * copper.Ratio(85, 20), 113.0, 3e-3, false, te + ", example's inputs", "READ + DERIVED"},
		{"C07 coil pick-up", 6.5 * copper.Ratio(85, 20), 8.16, 3e-3, false, te + ", example's inputs", "READ + DERIVED"},
		{"C09 rise by resistance", 70 * copper.Ratio(60.5+25, 23), 87, 2e-3, false, "method of IEC 61810-1", "DERIVED"},
		{"C10 self-heated coil", hot, 87.97, 0.1, true, "T = Ta + Rth*V^2/R(T), by hand", "DERIVED"},
		{"C10 its resistance", 70 * copper.Ratio(hot, 20), 88.69, 1e-3, false, "by hand", "DERIVED"},
		{"C10 its power", 5.25 * 5.25 / (70 * copper.Ratio(hot, 20)), 0.3108, 1e-3, false, "by hand", "DERIVED"},
		{"C11 hot re-start", 3.75 * copper.Ratio(hot, 23), 4.696, 1e-3, false, "V23*(234.5 + T)/257.5, by hand", "DERIVED"},
		{"C11 cold start", 3.75 * copper.Ratio(60, 23), 4.289, 1e-3, false, "by hand", "DERIVED"},
		{"C12 ratio from 23 C", copper.Ratio(85, 23), 1.2408, 1e-3, false, "(234.5 + 85)/257.5, by hand", "DERIVED"},
		{"5 V coil, 60 K/W, 63 ohm at 23 C", coil(t, 40, 60, 5.25, 63, 23), 62.74, 1e-3, false,
			"fixed point of T = 40 + 60*5.25^2/(63*(234.5 + T)/257.5), by hand", "DERIVED"},
	})
}

func TestHeatPublished(t *testing.T) {
	const (
		sedra14  = "Sedra and Smith, Microelectronic Circuits, Examples 14.4 and 14.5 (open companion)"
		boyl     = "Boylestad and Nashelsky, Electronic Devices and Circuit Theory, Example 12.18 (open companion)"
		kakani   = "Kakani and Bhandari, Electronic Devices and Circuits, Example 6.1 (open companion)"
		jacob67  = "Jacob, Power Electronics: Principles and Applications, Example 6.7 (open companion)"
		jacob69  = "Jacob, Power Electronics: Principles and Applications, Example 6.9 (open companion)"
		closed   = "closed form, linear electro-thermal feedback"
		trench30 = "a maker's data sheet, 30 V P-channel in SOT-23, rev. 6, 2011"
	)
	i6 := 28 / (6 + 0.286)
	_, runaway := FixedPoint(40, 62, 5.186*5.186*0.1, 0.006, 25, 0)
	_, stable := FixedPoint(40, 62, 5.184*5.184*0.1, 0.006, 25, 0)
	check(t, []row{
		{"H01 Tj at 1 W", fixed(t, 25, 62.5, 1, 0, 25, 0), 87.5, 2e-3, false, sedra14, "READ + DERIVED"},
		{"H01 1.6 W at 50 C", fixed(t, 50, 62.5, 1.6, 0, 25, 0), 150, 2e-3, false, sedra14, "READ + DERIVED"},
		{"H02 Tj on the sink of 4 K/W, 13.1 W", fixed(t, 50, 3.12+0.5+4, 13.1, 0, 25, 0), 150, 1e-2, false, sedra14, "READ + DERIVED"},
		{"H02 endless sink, 32.05 W", fixed(t, 50, 3.12, 32.05, 0, 25, 0), 150, 2e-3, false, sedra14, "READ + DERIVED"},
		{"H05 Tj on the sink of 1.5 K/W with insulator, 61.5 W", fixed(t, 40, 0.5+0.6+1.5, 61.5, 0, 25, 0), 200, 1e-2, false, boyl, "READ + DERIVED"},
		{"H30 Tj at 2 A", fixed(t, 40, 62, 4*0.1, 0.006, 25, 0), 71.76, 2e-3, false, closed, "DERIVED"},
		{"H30 without feedback", fixed(t, 40, 62, 4*0.1*(1+0.006*15), 0, 25, 0), 67.0, 2e-3, false, closed, "DERIVED"},
		{"H31 Tj at 3 A", fixed(t, 40, 62, 9*0.1, 0.006, 25, 0), 131.4, 2e-3, false, closed, "DERIVED"},
		{"H32 just over the runaway current", b2f(runaway), 0, 0, true, closed + ", 5.185 A", "DERIVED"},
		{"H32 just under it", b2f(stable), 1, 0, true, closed + ", 5.185 A", "DERIVED"},
		{"H33 Tj at 3.184 A", fixed(t, 40, 62, 3.184*3.184*0.1, 0.006, 25, 0), 150, 2e-3, false, closed, "DERIVED"},
		{"H35 Tj", fixed(t, 25, 10, 2, 0, 25, 0), 45, 2e-3, false, kakani, "READ + DERIVED"},
		{"M01 hot factor at 125 C", OnFactor(125, (75.0/50-1)/(125-25)), 1.50, 5e-3, false, trench30, "READ + DERIVED"},
		{"M06 Tj of the worked stage", fixed(t, 40, 62, 0.4*i6*i6*0.286, 0, 25, 0), 180.7, 2e-3, false, jacob67, "READ + DERIVED"},
		{"M32 what a 197 A part dissipates bare", fixed(t, 40, 62, 1.77, 0, 25, 0), 150, 5e-3, false, "a maker's data sheet, 100 V 2.8 mohm; arithmetic", "READ + DERIVED"},
		{"M34 Tj of the high-side stage on a sink of 44.9 K/W", fixed(t, 40, 3.7+44.9, 2.26, 0, 25, 0), 150, 2e-3, false, jacob69, "READ + DERIVED"},
		{"solenoid on a 32 mohm MOSFET", fixed(t, 40, 62, 0.9065*0.9065*0.032, (1.9-1)/(150-25.0), 25, 0), 41.83, 1e-3, false,
			"T = (40 + g*(1 - 25a))/(1 - g*a), by hand", "DERIVED"},
	})
}

func b2f(b bool) float64 {
	if b {
		return 1
	}
	return 0
}

var (
	published = []Rung{{0.003454, 13.68748}, {0.17246, 72.1e-6}, {0.786312, 1.227e-3}, {1.368218, 7.178e-3}}
	invented  = []Rung{{0.5, 1e-3}, {1.5, 20e-3}, {8, 0.5}, {52, 30}}
)

func TestFosterPublished(t *testing.T) {
	const (
		sheet = "a maker's data sheet, 30 V logic-level in TO-220, figure 11"
		deck  = "closed form; general circuit simulator, ngspice 39, within 0.05 %"
		sum   = "superposition"
	)
	z := func(t float64) float64 { return Zth(published, t) }
	w := func(t float64) float64 { return Zth(invented, t) }
	// A pulse is a step that is taken back 10 ms later; a train is their sum.
	train := func(n int, at float64) (rise float64) {
		for k := range n {
			rise += 20 * (w(at-0.1*float64(k)) - w(at-0.1*float64(k)-10e-3))
		}
		return rise
	}
	end := func(n int) float64 { return train(n, 0.1*float64(n-1)+10e-3) }
	before := func(n int) float64 { return train(n, 0.1*float64(n)) }
	check(t, []row{
		{"H25 sum", z(math.Inf(1)), 2.330, 2e-3, false, sheet, "READ inputs, DERIVED"},
		{"H25 10 us", z(10e-6), 0.0306, 2e-3, false, sheet, "READ inputs, DERIVED"},
		{"H25 0.1 ms", z(0.1e-3), 0.2098, 2e-3, false, sheet, "READ inputs, DERIVED"},
		{"H25 1 ms", z(1e-3), 0.7886, 2e-3, false, sheet, "READ inputs, DERIVED"},
		{"H25 10 ms", z(10e-3), 1.987, 2e-3, false, sheet, "READ inputs, DERIVED"},
		{"H25 0.1 s", z(0.1), 2.327, 2e-3, false, sheet, "READ inputs, DERIVED"},
		{"H26 1 ms", w(1e-3), 0.40693, 2e-3, false, deck, "DERIVED + SIMULATED"},
		{"H26 5 ms", w(5e-3), 0.91670, 2e-3, false, deck, "DERIVED + SIMULATED"},
		{"H26 10 ms", w(10e-3), 1.26592, 2e-3, false, deck, "DERIVED + SIMULATED"},
		{"H26 0.1 s", w(0.1), 3.61309, 2e-3, false, deck, "DERIVED + SIMULATED"},
		{"H26 1 s", w(1), 10.6221, 2e-3, false, deck, "DERIVED + SIMULATED"},
		{"H26 10 s", w(10), 24.7404, 2e-3, false, deck, "DERIVED + SIMULATED"},
		{"H27 end of pulse 1", end(1), 25.318, 2e-3, false, deck, "DERIVED + SIMULATED"},
		{"H27 end of pulse 2", end(2), 28.337, 2e-3, false, deck, "DERIVED + SIMULATED"},
		{"H27 end of pulse 10", end(10), 40.411, 2e-3, false, deck, "DERIVED + SIMULATED"},
		{"H27 before pulse 2", before(1), 3.1230, 2e-3, false, deck, "DERIVED + SIMULATED"},
		{"H27 before pulse 11", before(10), 16.160, 2e-3, false, deck, "DERIVED + SIMULATED"},
		{"H28 steady peak", PulseTrain(invented, 20, 10e-3, 0.1), 143.52, 2e-3, false, sum, "DERIVED"},
		{"H28 mean", 0.1 * 20 * w(math.Inf(1)), 124.0, 2e-3, false, sum, "DERIVED"},
		{"H29 hand estimate above it", 20 * (0.1*62 + 0.9*w(10e-3)), 146.8, 2e-3, false, "D*Rth + (1 - D)*Z(tp)", "DERIVED"},
	})
	if p := PulseTrain(invented, 20, 10e-3, 0.1); math.Abs(p-end(5000)) > 1e-6*p {
		t.Errorf("the steady peak %g is not the limit of the train %g", p, end(5000))
	}
}

func TestSinks(t *testing.T) {
	s := func(id string, price float64, points ...float64) *catalog.HeatSink {
		h := &catalog.HeatSink{Fits: []string{"TO-220"}}
		h.ID = id
		if price > 0 {
			h.Price = &q.Money{Amount: price, Currency: "EUR"}
		}
		for i := 0; i < len(points); i += 2 {
			h.RSA = append(h.RSA, catalog.SinkPoint{P: q.Some(q.Watt(points[i])), Max: q.Some(q.KelvinPerWatt(points[i+1]))})
		}
		return h
	}
	one := s("a", 1, 2, 13, 5, 11)
	rise := func(p float64) float64 { v, _ := SinkRise(one, p); return v }
	check(t, []row{
		{"below the first point: its rise", rise(1), 26, 0, true, "2 W * 13 K/W: less power is no hotter", "DERIVED"},
		{"at the first point", rise(2), 26, 0, true, "by hand", "DERIVED"},
		{"between: next lower power", rise(3), 39, 1e-12, true, "3 W * 13 K/W", "DERIVED"},
		{"between, near the next: its rise", rise(4.9), 55, 1e-12, true, "5 W * 11 K/W is under 4.9 W * 13 K/W", "DERIVED"},
		{"past the last", rise(10), 110, 1e-12, true, "10 W * 11 K/W", "DERIVED"},
	})
	if _, ok := SinkRise(s("none", 0), 3); ok {
		t.Error("a sink without figures has a rise")
	}
}

func TestJunctionToAir(t *testing.T) {
	pkg := &catalog.Package{RthJA: q.Some(q.KelvinPerWatt(80))}
	h := &catalog.Heat{}
	if _, ok := JunctionToAir(h, nil, 1); ok {
		t.Error("nothing stated, yet a resistance")
	}
	if r, ok := JunctionToAir(h, pkg, 0); !ok || r != 80 {
		t.Errorf("package: %g %v", r, ok)
	}
	h.RthJA = q.Some(q.KelvinPerWatt(62))
	h.RthJACu = []catalog.CopperPoint{{Area: q.Some(q.SquareMetre(1e-4)), Max: q.Some(q.KelvinPerWatt(50))},
		{Area: q.Some(q.SquareMetre(6e-4)), Max: q.Some(q.KelvinPerWatt(40))}}
	for _, c := range []struct{ area, want float64 }{{0, 62}, {0.9e-4, 62}, {1e-4, 50}, {5e-4, 50}, {7e-4, 40}} {
		if r, _ := JunctionToAir(h, pkg, c.area); r != c.want {
			t.Errorf("copper %g m2: %g K/W, want %g", c.area, r, c.want)
		}
	}
}

// decades draws numbers far apart.
func decades(r *rand.Rand) float64 { return math.Pow(10, r.Float64()*24-12) }

func TestNeverNaN(t *testing.T) {
	r := rand.New(rand.NewSource(1))
	for n := 0; n < 20000; n++ {
		a, b, c, d, e := decades(r), decades(r), decades(r), decades(r), decades(r)
		if v, ok := FixedPoint(a, b, c, d, 25, e); ok && !finite(v) {
			t.Fatalf("FixedPoint(%g %g %g %g %g) = %g", a, b, c, d, e, v)
		}
		if v, ok := CoilTemperature(25, a, b, c, 20); ok && (!finite(v) || v < 25-1e-9) {
			t.Fatalf("CoilTemperature(%g %g %g) = %g", a, b, c, v)
		}
		rungs := []Rung{{a, b}, {c, d}}
		for _, v := range []float64{Zth(rungs, e), PulseTrain(rungs, 1, a, b), TrainRise(rungs, 1, d, c, e), StepRise(rungs, 1, e, a)} {
			if !finite(v) || v < 0 {
				t.Fatalf("%g %g %g %g %g gave %g", a, b, c, d, e, v)
			}
		}
	}
}

func TestFixedPointSolvesItsEquation(t *testing.T) {
	r := rand.New(rand.NewSource(2))
	for n := 0; n < 5000; n++ {
		ta, rth, p0, alpha, extra := r.Float64()*120-40, r.Float64()*100, r.Float64()*3, r.Float64()*0.02, r.Float64()
		v, ok := FixedPoint(ta, rth, p0, alpha, 25, extra)
		if ok != (rth*p0*alpha < 1) {
			t.Fatalf("gain %g, ok %v", rth*p0*alpha, ok)
		}
		if !ok {
			continue
		}
		again := ta + rth*(p0*OnFactor(v, alpha)+extra)
		if math.Abs(again-v) > 1e-6*(math.Abs(v)+1)/(1-rth*p0*alpha) {
			t.Fatalf("T = %g, the right side gives %g", v, again)
		}
	}
}

func TestInvalidInputsHaveNoSolution(t *testing.T) {
	nan := math.NaN()
	for _, c := range [][6]float64{{nan, 1, 1, 0, 25, 0}, {25, nan, 1, 0, 25, 0}, {25, 1, -1, 0, 25, 0}, {25, 1, 1, -0.1, 25, 0}, {25, 1, 1, 0, 25, math.Inf(1)}, {25, -1, 1, 0, 25, 0}} {
		if v, ok := FixedPoint(c[0], c[1], c[2], c[3], c[4], c[5]); ok {
			t.Errorf("FixedPoint%v = %g", c, v)
		}
	}
	if _, ok := CoilTemperature(25, 60, 5, 0, 20); ok {
		t.Error("a coil of no resistance has a temperature")
	}
	if !math.IsNaN(copper.Ratio(-300, 20)) {
		t.Error("out of range without a NaN")
	}
}

// A sink of 6 K/W from 1 W and 5 K/W from 3 W, 2 K/W before it, in air of 25 C. By hand: at
// 2 W it is the lesser of 6*2 and 5*3 K warmer than the air; at 2.7 W 15 K, at 4 W 20 K. A
// loss of 2 W that grows by 0.5 % per kelvin settles at x = 16*(1 + 0.005*x), at 17.391 K:
// the other figure would say (4 + 15)/(1 - 0.02) = 19.39 K.
func TestOnSink(t *testing.T) {
	s := &catalog.HeatSink{RSA: []catalog.SinkPoint{{P: q.Some(q.Watt(1)), Max: q.Some(q.KelvinPerWatt(6))}, {P: q.Some(q.Watt(3)), Max: q.Some(q.KelvinPerWatt(5))}}}
	for _, c := range []struct{ p0, alpha, beside, share, want, power float64 }{
		{2, 0, 0, 1, 25 + 4 + 12, 2},
		{2.7, 0, 0, 1, 25 + 5.4 + 15, 2.7},
		{3, 0, 1, 1, 25 + 6 + 20, 4}, // what is beside warms the sink alone here
		{4, 0, 0, 0.5, 25 + 8 + 10, 4},
		{2, 0.005, 0, 1, 25 + 16/0.92, 2 * (1 + 0.005*16/0.92)},
	} {
		got, p, ok := OnSink(s, 25, 2, c.p0, c.alpha, c.beside, c.share)
		if !ok || math.Abs(got-c.want) > 1e-9 || math.Abs(p-c.power) > 1e-9 {
			t.Errorf("%+v: %g C at %g W, %v", c, got, p, ok)
		}
	}
	if _, _, ok := OnSink(s, 25, 2, 40, 0.005, 0, 1); ok { // (2 + 5)*40*0.005 = 1.4
		t.Error("a loss that feeds itself settles")
	}
	// More power never cools, on the way through both points.
	before := 0.0
	for p := 0.01; p < 8; p += 0.01 {
		now, _, ok := OnSink(s, 25, 2, p, 0.004, 0, 1)
		if !ok || now < before {
			t.Fatalf("%g W: %g C after %g C", p, now, before)
		}
		before = now
	}
}

// A rise goes back to the power that makes it, on every piece of the sink's law: of 6 K/W
// from 1 W and 5 K/W from 3 W, behind 2 K/W, 7 K leave 0.5 W (the sink at its 6 K), 16 K
// 2 W (12 K of the sink), 20.4 K 2.7 W (15 K, what 3 W make) and 28 K 4 W (20 K).
func TestSinkCarries(t *testing.T) {
	s := &catalog.HeatSink{RSA: []catalog.SinkPoint{{P: q.Some(q.Watt(1)), Max: q.Some(q.KelvinPerWatt(6))}, {P: q.Some(q.Watt(3)), Max: q.Some(q.KelvinPerWatt(5))}}}
	for _, c := range []struct{ rise, want float64 }{{7, 0.5}, {16, 2}, {20.4, 2.7}, {28, 4}, {5, 0}} {
		if got := SinkCarries(s, 2, c.rise); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%g K: %g W, want %g", c.rise, got, c.want)
		}
	}
	for rise := 6.1; rise < 60; rise += 0.1 {
		p := SinkCarries(s, 2, rise)
		at, _ := SinkRise(s, p)
		above, _ := SinkRise(s, p*1.0001)
		if 2*p+at > rise+1e-9 || 2*p*1.0001+above <= rise {
			t.Fatalf("%g K: %g W is not the greatest", rise, p)
		}
	}
	if p := SinkCarries(&catalog.HeatSink{}, 2, 10); p != 0 {
		t.Errorf("a sink without points carries %g W", p)
	}
	if p := SinkCarries(s, 0, 12); p != 2 {
		t.Errorf("with nothing before the sink: %g W", p)
	}
}

// Of 3 K/W to the case and rungs of 1 and 1.8 K/W, 2.8 in all, each gets 3/2.8 of its own;
// of 2 K/W to the case they stay. One of 5 s counts as one of CaseTau.
func TestNetworkAgainstItsSum(t *testing.T) {
	h := &catalog.Heat{RthJC: q.Some(q.KelvinPerWatt(3)), FosterJC: []catalog.FosterRung{
		{R: q.Some(q.KelvinPerWatt(1)), Tau: q.Some(q.Second(1e-3))}, {R: q.Some(q.KelvinPerWatt(1.8)), Tau: q.Some(q.Second(5))}}}
	for rjc, want := range map[float64][2]float64{3: {3 / 2.8, 1.8 * 3 / 2.8}, 2: {1, 1.8}} {
		h.RthJC = q.Some(q.KelvinPerWatt(rjc))
		got := AppendRungs(nil, h)
		if len(got) != 2 || math.Abs(got[0].R-want[0]) > 1e-12 || math.Abs(got[1].R-want[1]) > 1e-12 || got[0].Tau != 1e-3 || got[1].Tau != CaseTau {
			t.Errorf("%g K/W to the case: %v, want %v", rjc, got, want)
		}
	}
}
