package topology

import (
	"math"
	"slices"
	"sync"
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	q "example.org/pinhoist/internal/quantity"
)

// Darlington stages worked by hand. Parts and loads are invented; every number
// expected here is DERIVED: arithmetic on the stated inputs, written out beside
// it, with copper R(T) = R(20 C)*(234.5 + T)/254.5. The pin is the default one: 5 V
// +-5 %, 15 to 40 ohm, 20 mA, at reset perhaps pulled up with 20 kohm.

// loadedDarlingtons is the embedded catalogue with the parts of the hand
// calculations.
var loadedDarlingtons = sync.OnceValues(func() (*catalog.Catalog, error) {
	return loadWith(handParts, workedParts("darlington"), workedParts("array"))
})

func darlingtonCatalog(t testing.TB) *catalog.Catalog {
	t.Helper()
	cat, err := loadedDarlingtons()
	if err != nil {
		t.Fatal(err)
	}
	return cat
}

// darlingtonStage is a stage around a part of the embedded catalogue, of the hand
// calculations, or of this file.
func darlingtonStage(t testing.TB, of Topology, text, id string, given *Given, change func(catalog.Part)) (*design.Design, bench) {
	t.Helper()
	cat := darlingtonCatalog(t)
	sw, ok := cat.Part(id)
	if !ok {
		t.Fatalf("no part %s", id)
	}
	if change != nil {
		sw = catalog.Clone(sw)
		change(sw)
	}
	b := benchOn(t, cat, text)
	if why := of.Serves(b.env, b.m, sw); why != "" {
		t.Fatalf("%s is not served: %s", id, why)
	}
	if given == nil {
		given = &Given{}
	}
	d := new(design.Design)
	of.Design(b.env, b.m, sw, given, d)
	return d, b
}

// A solenoid of 24 ohm +-10 % on 12 V +-5 %, 0 to 40 C.
func TestWorkedDarlington(t *testing.T) {
	given := &Given{RBase: ohms(560), RBaseEmitter: ohms(3300), Clamp: handClamp()}
	d, _ := darlingtonStage(t, darlingtonLow{}, workedJob("darlington-low-solenoid"), "hand-darl", given, nil)
	compare(t, d, []worked{
		// 12.6/(24*0.9*234.5/254.5)
		{id: design.OnCurrent, stress: 0.63308, rating: 4, verdict: design.Fits},
		// Under the first point its base current is enough, 1 A/1000; both gains lose
		// 0.5 %/K in the cold: 1000*0.875^2 = 765.6, 1.3061 mA. The base: VBE 1.9 V + 2*2
		// mV/K*25 K = 2.0 V; bleed 3267 || 5600 = 2063.3: 2.75/(40 + 565.6) - 2.0/2063.3
		{id: design.BaseDrive, stress: 1.3061e-3, rating: 3.5716e-3, verdict: design.Fits, headroom: 1.3673},
		// 0.63308/250
		{id: design.Saturation, stress: 2.5323e-3, rating: 3.5716e-3, verdict: design.Fits},
		// 12.6/(21.6*274.5/254.5) = 0.54083 A; bleed 3333 || 10400 = 2524.1; base 1.84 V*(3.41/569.4 -
		// 1.84/2524.1) = 9.678 mW: 40 + 62*(1.1*0.54083 + 0.009678)
		{id: design.JunctionTemperature, stress: 77.485, rating: 150, verdict: design.Fits, headroom: 85 / 37.485},
		// 1.0 - 4 mV/K*(77.485 - 25) = 0.79006 V: (5.25 - 0.79006)/(15 + 554.4)
		{id: design.PinCurrent, stress: 7.8327e-3, rating: 20e-3, verdict: design.Fits},
		// 5.25*2524.1/(2524.1 + 554.4 + 20000)
		{id: design.StaysOff, stress: 0.57419, rating: 0.79006, verdict: design.Fits},
		{id: design.BlockingVoltage, stress: 13.9, rating: 80, verdict: design.Fits},
		// 0.85*12 V; 11.4 - 1.1
		{id: design.LoadVoltage, stress: 10.2, rating: 10.3, verdict: design.Fits},
	})
	valueNear(t, d, design.VOn, 1.1)
	valueNear(t, d, design.ForcedBeta, 0.63308/3.5716e-3)
	if d.Verdict != design.Fits || d.Topology != "darlington-low" {
		t.Errorf("the stage is %s\n%s", d.Verdict, show(d))
	}
}

// With 1 kohm the base gets 2.75/(40 + 1010) - 2.0/2063.3 = 1.650 mA: less than the
// 2.532 mA of the saturation point, so that only the 3 V of the gain bound the on
// voltage, and 8.4 V are left of the 10.2 V that the solenoid wants: typically 0.8
// V would do.
func TestWorkedDarlingtonByGainAlone(t *testing.T) {
	given := &Given{RBase: ohms(1000), RBaseEmitter: ohms(3300), Clamp: handClamp()}
	d, _ := darlingtonStage(t, darlingtonLow{}, workedJob("darlington-low-solenoid"), "hand-darl", given, nil)
	compare(t, d, []worked{
		// 1.3061 mA of 1.650 mA/2
		{id: design.BaseDrive, stress: 1.3061e-3, rating: 1.6497e-3, verdict: design.Tight, headroom: 1.6497 / 2 / 1.3061},
		{id: design.LoadVoltage, stress: 10.2, rating: 8.4, verdict: design.Unproven},
	})
	valueNear(t, d, design.VOn, 3)
}

// What the engine chooses by itself keeps the window of the base and holds it off.
func TestDarlingtonChosenFreely(t *testing.T) {
	d, _ := darlingtonStage(t, darlingtonLow{}, workedJob("darlington-low-solenoid"), "hand-darl", nil, nil)
	if d.Verdict != design.Fits {
		t.Fatal(show(d))
	}
	var rb, rbe design.ChosenResistor
	for _, r := range d.Choice.Resistors {
		switch r.Key {
		case design.RBase:
			rb = r
		case design.RBaseEmitter:
			rbe = r
		}
	}
	if rb.Part == "" || rbe.Part == "" || rbe.Absent {
		t.Fatalf("base %+v, bleed %+v", rb, rbe)
	}
	hi, lo := rb.Ohms*(1+rb.Tol), rb.Ohms*(1-rb.Tol)
	own := func(r, r0 float64) float64 { return r * r0 / (r + r0) }
	if i := (4.75-2)/(40+hi) - 2/own(rbe.Ohms*(1-rbe.Tol), 5600); i < 2.6122e-3 || i < 2.5323e-3 {
		t.Errorf("the base gets %g A", i) // twice 1.3061 mA, and the saturation point
	}
	if i := (5.25 - 0.78) / (15 + lo); i > 20e-3 {
		t.Errorf("the pin gives %g A", i)
	}
	if b := own(rbe.Ohms*(1+rbe.Tol), 10400); 5.25*b/(b+lo+20000) > 0.791 {
		t.Errorf("a bleed of %g ohm", rbe.Ohms)
	}
}

// A pin that floats leaks 1 uA: 10 mV across the 10.4 kohm that are inside at the most,
// which hold the base alone. A part that has none inside, or does not say how much at
// the most, needs a resistor beside it.
func TestDarlingtonHoldsItselfOff(t *testing.T) {
	text := workedJob("darlington-low-floating-pin")
	bleed := func(change func(catalog.Part)) design.ChosenResistor {
		d, _ := darlingtonStage(t, darlingtonLow{}, text, "hand-darl", nil, change)
		if d.Verdict != design.Fits {
			t.Errorf("%s", show(d))
		}
		for _, r := range d.Choice.Resistors {
			if r.Key == design.RBaseEmitter {
				return r
			}
		}
		t.Fatal("no choice of a bleed")
		return design.ChosenResistor{}
	}
	if r := bleed(nil); !r.Absent {
		t.Errorf("%g ohm beside the resistor inside", r.Ohms)
	}
	for name, change := range map[string]func(*catalog.BJT){"none": nothingInside, "plain": plainInside} {
		if r := bleed(asBJT(change)); r.Absent {
			t.Errorf("%s: nothing holds the base", name)
		}
	}
	// The stage is made again as it is.
	d, b := darlingtonStage(t, darlingtonLow{}, text, "hand-darl", nil, nil)
	sw, _ := b.env.Catalog.Part("hand-darl")
	again := new(design.Design)
	darlingtonLow{}.Design(b.env, b.m, sw, Freeze(d), again)
	if again.Verdict != d.Verdict || again.Choice.Resistors != d.Choice.Resistors {
		t.Errorf("made again: %s", show(again))
	}
}

// nothingInside takes a part's own resistor away, plainInside what guarantees it.
func nothingInside(p *catalog.BJT) {
	plainInside(p)
	p.RBEInternal = q.Opt[q.Ohm]{}
}

func plainInside(p *catalog.BJT) { p.RBEIntMin, p.RBEIntMax = q.Opt[q.Ohm]{}, q.Opt[q.Ohm]{} }

// "8 kohm" with neither end of its spread is a typical figure: nobody knows that it
// holds the base, and the base may lose to it what 5.6 kohm take.
func TestInnerResistorWithoutItsSpread(t *testing.T) {
	text := workedJob("darlington-low-floating-pin")
	none := GivenResistor{Said: true, None: true}
	stage := func(rb float64, rbe GivenResistor, change func(*catalog.BJT)) *design.Design {
		d, _ := darlingtonStage(t, darlingtonLow{}, text, "hand-darl", &Given{RBase: ohms(rb), RBaseEmitter: rbe}, asBJT(change))
		return d
	}
	wants := func(d *design.Design, id design.CheckID, v design.Verdict, figure string) *design.Check {
		t.Helper()
		c := find(d, id, design.StageSelf)
		if c == nil || c.Verdict != v || !slices.Contains(c.Figures(), figure) {
			t.Errorf("%s is not %s for want of %s\n%s", id, v, figure, show(d))
		}
		return c
	}
	if d := stage(470, none, func(*catalog.BJT) {}); d.Verdict != design.Fits {
		t.Fatal(show(d))
	}
	// Typically 8 mV hold it off; by guarantee nothing does.
	d := stage(470, none, plainInside)
	wants(d, design.StaysOff, design.Unproven, "r_be_internal_max")
	// 2 mA hot through 8 kohm are more than 0.8 V even typically.
	d = stage(470, none, func(p *catalog.BJT) {
		plainInside(p)
		p.ICBOMax[0].Max = q.Some(q.Amp(2e-3))
	})
	wants(d, design.StaysOff, design.Over, "r_be_internal_max")
	// What leaks into a second base that nothing holds for sure is i_ceo.
	d = stage(470, ohms(1000), func(p *catalog.BJT) {
		plainInside(p)
		p.ICEOMax = nil
	})
	wants(d, design.Leakage, design.Unproven, "i_ceo_max")
	// Rated 0.4667 A under the first point: 1.3061 mA. (4.75 - 2)/(40 + 1717) - 2/5600 =
	// 1.208 mA are too little, the 1.315 mA that 8 kohm leave would do (DERIVED).
	d = stage(1700, none, plainInside)
	c := wants(d, design.BaseDrive, design.Unproven, "r_be_internal_min")
	wantNear(t, "base", c.Rating, 1.2080e-3, 1e-3)
	wantNear(t, "base, typically", c.RatingEstimate, 1.3152e-3, 1e-3)
}

// 1.1 V are lost for ever. Of 4.75 V that leaves 3.65 V.
func TestDarlingtonDropOn5V(t *testing.T) {
	cases := []struct {
		name, job string
		check     design.CheckID
		need      float64
		verdict   design.Verdict
	}{
		// 80 % of the lowest rail is assumed: 3.8 V. State what the load needs.
		{"resistive", "darlington-low-5v-heater", design.LoadVoltage, 3.8, design.Unproven},
		{"that needs 4.5 V", "darlington-low-5v-heater-4v5", design.LoadVoltage, 4.5, design.Over},
		{"that needs 3.6 V", "darlington-low-5v-heater-3v6", design.LoadVoltage, 3.6, design.Fits},
		// A coil that picks up with 75 % cold, 20 K/W at 5.25^2/(25*0.9*...) W: 3.75 V hot and more.
		{"relay coil", "darlington-low-5v-coil", design.CoilPickup, 0, design.Over},
	}
	for _, tc := range cases {
		d, _ := darlingtonStage(t, darlingtonLow{}, workedJob(tc.job), "hand-darl", nil, nil)
		c := find(d, tc.check, design.StageSelf)
		if c == nil || c.Verdict != tc.verdict || d.Verdict < tc.verdict {
			t.Errorf("%s: %s", tc.name, show(d))
			continue
		}
		wantNear(t, tc.name+": left", c.Rating, 3.65, 1e-9)
		if tc.need > 0 {
			wantNear(t, tc.name+": needed", c.Stress, tc.need, 1e-9)
		} else if c.Stress.V < 3.75 {
			t.Errorf("%s: %g V", tc.name, c.Stress.V)
		}
	}
}

// What must never be called fits.
func TestDarlingtonNeverFits(t *testing.T) {
	heater := func(pin, more string) string {
		return "[pin]\n" + pin + rail12 + "[[load]]\nname = \"x\"\nkind = \"resistive\"\nrail = \"bench\"\ncurrent = \"0.4 A\"\n" + more
	}
	leaky := func(inside bool) func(catalog.Part) {
		return asBJT(func(p *catalog.BJT) {
			if !inside {
				nothingInside(p)
			}
			p.ICBOMax[0].Max, p.ICEOMax[0].Max = q.Some(q.Amp(2e-3)), q.Some(q.Amp(50e-3))
		})
	}
	none := GivenResistor{Said: true, None: true}
	cases := []struct {
		name   string
		text   string
		given  Given
		change func(catalog.Part)
		check  design.CheckID
		least  design.Verdict
	}{
		// 2 mA hot through nothing but the 10.4 kohm inside are 21 V; the base conducts from 0.8 V.
		{"no resistor at the base, leakage hot", heater("at_reset = \"floating\"\n", ""), Given{RBaseEmitter: none}, leaky(true), design.StaysOff, design.Over},
		{"no resistor inside or outside", heater("at_reset = \"low\"\n", ""), Given{RBaseEmitter: none}, leaky(false), design.StaysOff, design.Over},
		// Nothing holds the second base, whatever stands at the first: 50 mA against a tenth of 0.4 A.
		{"second base floats", heater("at_reset = \"low\"\n", ""), Given{RBaseEmitter: ohms(220)}, leaky(false), design.Leakage, design.Unproven},
		{"second base floats, i_ceo not stated", heater("at_reset = \"low\"\n", ""), Given{}, asBJT(func(p *catalog.BJT) {
			nothingInside(p)
			p.ICEOMax = nil
		}), design.Leakage, design.Unproven},
		// 3.135 V less 2.0 V at the base, through 40 ohm and the least that keeps the pin
		// within 20 mA, 115 ohm: 7 mA, less the bleed's: what the pin gives is little, but enough.
		// At 1.71 V nothing flows into a base that wants 2.0 V.
		{"1.8 V pin", heater("supply = \"1.8 V\"\n", ""), Given{}, nil, design.BaseDrive, design.Over},
		// (4.75 - 2)/100 kohm: 27 uA.
		{"100 kohm to the base", heater("", ""), Given{RBase: GivenResistor{Said: true, Ohms: 100e3, Tol: 0.05}}, nil, design.BaseDrive, design.Over},
		{"base without a resistor", heater("", ""), Given{RBase: none}, nil, design.PinCurrent, design.Over},
		// Storage of 4 us and more, through a resistor that empties the base slowly: 20 kHz leave 5 us of 50.
		{"20 kHz", heater("", "mode = \"pwm\"\npwm_frequency = \"20 kHz\"\n"), Given{}, nil, design.PWMFrequency, design.Over},
		// 1.1 V x 2.9 A x 62 K/W without a sink.
		{"3 A without a sink", rail12 + "[[load]]\nname = \"x\"\nkind = \"resistive\"\nrail = \"bench\"\ncurrent = \"2 A\"\n", Given{HeatSink: GivenPart{Said: true}}, nil, design.JunctionTemperature, design.Over},
		{"pin high at reset", heater("at_reset = \"high\"\n", ""), Given{}, nil, design.StaysOff, design.Over},
		{"winding and no clamp", rail12 + "[[load]]\nname = \"x\"\nkind = \"solenoid\"\nrail = \"bench\"\ncurrent = \"0.4 A\"\n", Given{Clamp: GivenClamp{Said: true}}, nil, design.BlockingVoltage, design.Over},
		// 15 times 0.4 A: more than the part ever carries.
		{"lamp", rail12 + "[[load]]\nname = \"x\"\nkind = \"lamp\"\nrail = \"bench\"\ncurrent = \"0.4 A\"\n", Given{}, nil, design.PeakCurrent, design.Unproven},
	}
	for _, tc := range cases {
		t.Run(tc.name, func(t *testing.T) {
			d, _ := darlingtonStage(t, darlingtonLow{}, tc.text, "hand-darl", &tc.given, tc.change)
			c := find(d, tc.check, design.StageSelf)
			if c == nil || c.Verdict < tc.least || d.Verdict < tc.least {
				t.Errorf("%s", show(d))
			}
		})
	}
}

// A 3.3 V pin still drives half an ampere: 3.135 V less 2.0 V.
func TestDarlingtonOn3V3(t *testing.T) {
	text := "[pin]\nsupply = \"3.3 V\"\n" + rail12 + "[[load]]\nname = \"x\"\nkind = \"resistive\"\nrail = \"bench\"\ncurrent = \"0.4 A\"\n"
	d, _ := darlingtonStage(t, darlingtonLow{}, text, "hand-darl", nil, nil)
	if d.Verdict != design.Fits {
		t.Error(show(d))
	}
}

// Each of the two stages takes its own kind of part, and of the embedded
// catalogue every Darlington serves some load.
func TestDarlingtonsAndTheirStage(t *testing.T) {
	cat, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	b := benchOn(t, cat, "[pin]\nat_reset = \"floating\"\n"+rail12+"[[load]]\nname = \"x\"\nkind = \"resistive\"\nrail = \"bench\"\ncurrent = \"0.1 A\"\n")
	singles, channels := 0, 0
	for _, sw := range cat.Switches() {
		one, many := npnLow{}.Serves(b.env, b.m, sw), darlingtonLow{}.Serves(b.env, b.m, sw)
		if one == "" && many == "" {
			t.Errorf("%s serves both", sw.Base().ID)
		}
		if many != "" {
			continue
		}
		d := new(design.Design)
		darlingtonLow{}.Design(b.env, b.m, sw, &Given{}, d)
		if d.Verdict != design.Fits {
			t.Errorf("%s", show(d))
		}
		if sw.Kind() == catalog.KindArray {
			channels++
		} else {
			singles++
		}
	}
	if singles < 6 || channels < 2 {
		t.Errorf("%d single Darlingtons, %d arrays", singles, channels)
	}
}

// The laws of two junctions: twice the slope, and both gains fall in the cold.
func TestTwoJunctions(t *testing.T) {
	d, _ := darlingtonStage(t, darlingtonLow{}, workedJob("darlington-low-solenoid"), "hand-darl", &Given{RBase: ohms(560), RBaseEmitter: ohms(3300), Clamp: handClamp()}, nil)
	for _, a := range find(d, design.BaseDrive, design.StageSelf).Args() {
		switch a.Name {
		case "V_BE_max":
			wantNear(t, "VBE at 0 C", design.Known(a.V), 2.0, 1e-9) // 1.9 V + 25 K*4 mV/K
		case "h_FE":
			wantNear(t, "gain at 0 C", design.Known(a.V), 1000*0.875*0.875, 1e-9)
		}
	}
	if math.Abs(find(d, design.StaysOff, design.StageSelf).Rating.V-(1.0-0.004*(77.485-25))) > 1e-4 {
		t.Error(show(d))
	}
}
