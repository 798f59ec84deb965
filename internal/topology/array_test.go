package topology

import (
	"strconv"
	"strings"
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	q "example.org/pinhoist/internal/quantity"
)

// A coil of 360 ohm +-10 % on 12 V +-5 %, from outside.
func handCoils(n int) string {
	return strings.Replace(workedJob("darlington-low-array-coil"), "quantity = 1", "quantity = "+strconv.Itoa(n), 1)
}

func pulled() *Given { return &Given{RBaseEmitter: ohms(1200)} }

// One channel, a pull-down of 1.2 kohm.
func TestWorkedArray(t *testing.T) {
	d, _ := darlingtonStage(t, darlingtonLow{}, handCoils(1), "hand-array", pulled(), nil)
	compare(t, d, []worked{
		// 12.6/(324*234.5/254.5); one of several points serves one channel
		{id: design.OnCurrent, stress: 42.206e-3, rating: 0.45, verdict: design.Fits, headroom: 0.8 * 0.45 / 42.206e-3},
		// 4.75*1188/1228 = 4.5953 V behind 40 || 1188 = 38.697 ohm. Of the stated points 3.85 V
		// and 4.5953 - 2.3 mA*38.697 = 4.5063 V the better
		{id: design.BaseDrive, stress: 2.4, rating: 4.5063, verdict: design.Fits},
		{id: design.Saturation, stress: 42.206e-3, rating: 0.35, verdict: design.Fits},
		// 2.3 mA + 5.25/(15 + 1188)
		{id: design.PinCurrent, stress: 6.6641e-3, rating: 20e-3, verdict: design.Fits},
		// 100 uA*1212
		{id: design.PinVoltage, stress: 0.1212, rating: 0.3, verdict: design.Fits},
		// 5.25*1212/21212 + 100 uA*(1212 || 20000)
		{id: design.StaysOff, stress: 0.41425, rating: 0.5, verdict: design.Fits},
		// The diode inside: 12.6 + 2
		{id: design.BlockingVoltage, stress: 14.6, rating: 50, verdict: design.Fits, headroom: 40 / 14.6},
		{id: design.ClampVoltage, stress: 12.6, rating: 50, verdict: design.Fits},
		{id: design.ClampCurrent, stress: 42.206e-3, rating: 0.35, verdict: design.Fits},
		// 12.6/(324*274.5/254.5) = 36.055 mA, in the channel or, as no inductance says how long,
		// in the diode; the input 5.25 V*2.3 mA = 12.075 mW: 40 + 80*(2*0.036055 + 0.012075)
		{id: design.JunctionTemperature, stress: 46.735, rating: 150, verdict: design.Fits, headroom: 85 / 6.735},
		{id: design.Leakage, stress: 100e-6, rating: 0.05 * 12.0 / 360, verdict: design.Fits},
	})
	// 11.4 - 1.1
	wantNear(t, "coil gets", find(d, design.CoilPickup, design.StageSelf).Rating, 10.3, 1e-9)
	// 14.6 V*42.2 mA = 0.62 W is under (125 - 46.7)/35 = 2.2 W
	for _, id := range []design.CheckID{design.SafeArea, design.ClampEnergy, design.ClampPower, design.BaseReverse, design.Avalanche, design.PeakCurrent} {
		if !notApplicable(d, id) {
			t.Errorf("%s applies", id)
		}
	}
	wantNear(t, "steady pin current", design.Known(d.PinCurrent), 6.6641e-3, 1e-3)
	if d.Verdict != design.Fits {
		t.Errorf("the stage is %s\n%s", d.Verdict, show(d))
	}
}

// Seven coils warm one package; eight need two.
func TestWorkedArrayPackage(t *testing.T) {
	for _, tc := range []struct {
		n        int
		packages int
		hot      float64
	}{
		{1, 1, 46.735},
		// 40 + 80*7*(2*0.036055 + 0.012075)
		{7, 1, 87.144},
		{8, 2, 87.144}, // the first package is full
		{14, 2, 87.144},
		{15, 3, 87.144},
	} {
		d, _ := darlingtonStage(t, darlingtonLow{}, handCoils(tc.n), "hand-array", pulled(), nil)
		rating := 0.45
		if tc.n > 1 {
			rating = 0.15
		}
		compare(t, d, []worked{
			{id: design.OnCurrent, stress: 42.206e-3, rating: rating, verdict: design.Fits},
			{id: design.JunctionTemperature, stress: tc.hot, rating: 150, verdict: design.Fits},
		})
		arrays, resistors := 0, 0
		for _, l := range d.BOM {
			if l.Part == "hand-array" {
				arrays += l.Count
			} else {
				resistors += l.Count
			}
		}
		if arrays != tc.packages || resistors != tc.n {
			t.Errorf("%d coils: %d packages, %d resistors", tc.n, arrays, resistors)
		}
		want := 0.5*float64(tc.packages) + float64(tc.n)*float64(0.02)
		if d.Cost.Amount.V < 0.5*float64(tc.packages) || d.Cost.Amount.V > want+0.1*float64(tc.n) {
			t.Errorf("%d coils cost %g", tc.n, d.Cost.Amount.V)
		}
		if s := d.Share; s.Part != "hand-array" || s.Channels != min(tc.n, 7) || s.Stages != tc.n || s.ClampRail != "r" {
			t.Errorf("%d coils take %+v", tc.n, s)
		}
	}
}

// Heaters of 70 ohm: 12.6/(70*0.9) = 0.2 A each. One channel bears it, seven do not;
// half of the time at 200 Hz they do.
func TestWorkedArrayTogether(t *testing.T) {
	heaters := func(n, more string) string {
		return strings.Replace(workedJob("darlington-low-array-heater"), "quantity = 1", "quantity = "+n, 1) + more
	}
	const half = "mode = \"pwm\"\nduty_max = \"50 %\"\nduty_enforced = \"hardware\"\nduty = \"50 %\"\npwm_frequency = "
	for _, tc := range []struct {
		name, text string
		rating     float64
		verdict    design.Verdict
	}{
		{"one", heaters("1", ""), 0.45, design.Fits},
		{"seven", heaters("7", ""), 0.15, design.Over},
		{"seven, half of the time", heaters("7", half+"\"200 Hz\"\n"), 0.25, design.Fits}, // 0.2 of 0.8*0.25
		{"seven, in slow turns", heaters("7", half+"\"1 Hz\"\n"), 0.15, design.Over},
		{"two", heaters("2", ""), 0.15, design.Over}, // nothing between 1 and 7 is stated
	} {
		d, _ := darlingtonStage(t, darlingtonLow{}, tc.text, "hand-array", pulled(), nil)
		c := find(d, design.OnCurrent, design.StageSelf)
		wantNear(t, tc.name+" carry", c.Stress, 0.2, 1e-9)
		wantNear(t, tc.name+" may carry", c.Rating, tc.rating, 1e-9)
		if c.Verdict != tc.verdict || d.Verdict < tc.verdict {
			t.Errorf("%s: %s", tc.name, show(d))
		}
	}
	// Without a figure for several only a bound is left: unproven, and over past it.
	noTable := func(p catalog.Part) { p.(*catalog.Array).Together = nil }
	d, _ := darlingtonStage(t, darlingtonLow{}, heaters("7", ""), "hand-array", pulled(), noTable)
	if c := find(d, design.OnCurrent, design.StageSelf); c.Verdict != design.Unproven || c.Rating.OK {
		t.Errorf("no figure of several: %s", show(d))
	}
}

// The diode inside counts only where it is stated, and only up to its current.
func TestArrayClamps(t *testing.T) {
	noClamp := func(p catalog.Part) { p.(*catalog.Array).Clamp = nil }
	small := func(p catalog.Part) { p.(*catalog.Array).Clamp.IMax = q.Some(q.Amp(20e-3)) }
	ids := func(d *design.Design) (out []string) {
		for _, l := range d.BOM {
			out = append(out, l.Ref)
		}
		return out
	}
	inside, _ := darlingtonStage(t, darlingtonLow{}, handCoils(1), "hand-array", nil, nil)
	if len(inside.Choice.Clamp) != 1 || inside.Choice.Clamp[0] != "hand-array" || len(ids(inside)) != 2 {
		t.Errorf("the diode inside is not used: %s", show(inside))
	}
	drawn := false
	for _, e := range inside.Elements {
		drawn = drawn || e.Role == design.RoleClamp && e.Kind == "diode" && e.Part == "hand-array" && e.Nodes[0] == nodeSwitch && e.Nodes[1] == nodeRail
	}
	if !drawn {
		t.Error("its way to the rail is not drawn")
	}
	for name, change := range map[string]func(catalog.Part){"not stated": noClamp, "too small": small} {
		d, _ := darlingtonStage(t, darlingtonLow{}, handCoils(1), "hand-array", nil, change)
		if len(d.Choice.Clamp) != 1 || d.Choice.Clamp[0] == "hand-array" || d.Verdict != design.Fits || len(ids(d)) != 3 {
			t.Errorf("%s: %s", name, show(d))
		}
	}
	// As built: left open, or relied on where it is not stated.
	for _, tc := range []struct {
		name   string
		clamp  GivenClamp
		change func(catalog.Part)
	}{
		{"common pin left open", GivenClamp{Said: true}, nil},
		{"a diode that is not stated", GivenClamp{Said: true, Parts: []string{"hand-array"}}, noClamp},
		{"the diode inside across the switch", GivenClamp{Said: true, Parts: []string{"hand-array"}, AtSwitch: true}, nil},
	} {
		d, _ := darlingtonStage(t, darlingtonLow{}, handCoils(1), "hand-array", &Given{Clamp: tc.clamp}, tc.change)
		if d.Verdict != design.Over {
			t.Errorf("%s: %s", tc.name, show(d))
		}
	}
	built := &Given{RBaseEmitter: ohms(1200), Clamp: GivenClamp{Said: true, Parts: []string{"hand-array"}}}
	if d, _ := darlingtonStage(t, darlingtonLow{}, handCoils(1), "hand-array", built, nil); d.Verdict != design.Fits {
		t.Errorf("as built: %s", show(d))
	}
	// Made again as it is.
	d, b := darlingtonStage(t, darlingtonLow{}, handCoils(7), "hand-array", nil, nil)
	sw, _ := b.env.Catalog.Part("hand-array")
	again := new(design.Design)
	darlingtonLow{}.Design(b.env, b.m, sw, Freeze(d), again)
	if show(again) != show(d) {
		t.Errorf("made again:\n%s\nfirst:\n%s", show(again), show(d))
	}
}

// A 3.3 V pin gives the input 3.135*1188/1228 = 3.0329 V less 1.35 mA*38.697 ohm =
// 2.9806 V at the least: enough for the 2.4 V of 200 mA, perhaps for the 3 V of 300
// mA, and not for 3.85 V. A 1.8 V pin gives 1.65 V.
func TestArrayInputLevel(t *testing.T) {
	load := func(volts, amps string) string {
		return strings.NewReplacer(`"3.3 V"`, `"`+volts+`"`, `"170 mA"`, `"`+amps+`"`).Replace(workedJob("darlington-low-array-3v3"))
	}
	raised := func(v float64) func(catalog.Part) {
		return func(p catalog.Part) {
			for i := range p.(*catalog.Array).VInOn {
				p.(*catalog.Array).VInOn[i].Max = q.Some(q.Volt(v))
			}
		}
	}
	const v33, v18 = "3.3 V", "1.8 V"
	for _, tc := range []struct {
		name, text string
		change     func(catalog.Part)
		level      float64
		verdict    design.Verdict
	}{
		{"3.3 V for 180 mA", load(v33, "170 mA"), nil, 2.9806, design.Fits},
		{"3.3 V for 250 mA", load(v33, "250 mA"), nil, 2.9806, design.Unproven},
		{"3.3 V where 3.85 V are needed", load(v33, "250 mA"), raised(3.85), 2.9806, design.Over},
		// 1.71*1188/1228 = 1.6543 - 1.35 mA*38.697
		{"1.8 V for 250 mA", load(v18, "250 mA"), nil, 1.6021, design.Over},
		{"1.8 V for 20 mA", load(v18, "20 mA"), nil, 1.6021, design.Unproven},
	} {
		d, _ := darlingtonStage(t, darlingtonLow{}, tc.text, "hand-array", pulled(), tc.change)
		c := find(d, design.BaseDrive, design.StageSelf)
		wantNear(t, tc.name+": level", c.Rating, tc.level, 1e-4)
		if c.Verdict != tc.verdict || d.Verdict < tc.verdict {
			t.Errorf("%s: %s", tc.name, show(d))
		}
	}
	// A pin above the highest voltage at which the input current is stated: nobody
	// says what it takes there.
	d, _ := darlingtonStage(t, darlingtonLow{}, load("9 V", "20 mA"), "hand-array", nil, nil)
	if c := find(d, design.PinCurrent, design.StageSelf); c.Verdict != design.Unproven || d.Verdict < design.Unproven {
		t.Errorf("9 V: %s", show(d))
	}
	// 10 kohm in series bound it: 9.45 V/9.5 kohm is less than a milliampere.
	d, _ = darlingtonStage(t, darlingtonLow{}, load("9 V", "20 mA"), "hand-array",
		&Given{RBase: GivenResistor{Said: true, Ohms: 10e3, Tol: 0.05, Series: "r-quarter-watt"}, RBaseEmitter: ohms(1200)}, nil)
	if c := find(d, design.PinCurrent, design.StageSelf); c.Verdict != design.Fits {
		t.Errorf("10 kohm: %s", show(d))
	}
}

// Eight MOSFET channels, one heater of 120 ohm +-10 %: 12.6/108 = 0.11667 A.
func TestWorkedArrayMOSFET(t *testing.T) {
	text := workedJob("n-mosfet-low-array-heater")
	d, _ := darlingtonStage(t, nMOSFETLow{}, text, "hand-array-mos", &Given{RPulldown: ohms(1200)}, nil)
	compare(t, d, []worked{
		{id: design.OnCurrent, stress: 0.11667, rating: 0.5, verdict: design.Fits},
		// 4.5953 - 0.25 mA*38.697
		{id: design.GateDrive, stress: 2.5, rating: 4.5856, verdict: design.Fits},
		// 0.25 mA + 5.25/1203
		{id: design.PinCurrent, stress: 4.6141e-3, rating: 20e-3, verdict: design.Fits},
		// 0.6 V at 0.2 A, at 25 C; the hot factor 2.5 at 150 C: g = 80*0.6*0.11667 = 5.6, a =
		// 1.5/125, input 80*5.25*0.25 mA = 0.105 K: (40.105 + g*(1 - 25a))/(1 - g*a)
		{id: design.JunctionTemperature, stress: 47.197, rating: 150, verdict: design.Fits},
		// 5.25*1212/21212 + 10 uA*1142.7; 0.6 - 7 mV/K*(47.197 - 25)
		{id: design.StaysOff, stress: 0.31140, rating: 0.44462, verdict: design.Fits},
		// 0.8*11.4; 11.4 - 0.6*(1 + a*22.197)
		{id: design.LoadVoltage, stress: 9.12, rating: 10.640, verdict: design.Fits},
	})
	if !notApplicable(d, design.GateVoltage) || d.Verdict != design.Fits || d.Topology != "n-mosfet-low" {
		t.Errorf("%s", show(d))
	}
	// Two kinds of output, two stages.
	b := benchOn(t, darlingtonCatalog(t), text)
	for _, id := range []string{"array-7x-darlington", "array-8x-mosfet"} {
		sw, _ := b.env.Catalog.Part(id)
		dar, mos := darlingtonLow{}.Serves(b.env, b.m, sw) == "", nMOSFETLow{}.Serves(b.env, b.m, sw) == ""
		if dar == mos || dar != (sw.(*catalog.Array).Output == "darlington") {
			t.Errorf("%s: %v %v", id, dar, mos)
		}
		if (nMOSFETParallel{}).Serves(b.env, b.m, sw) == "" || (npnLow{}).Serves(b.env, b.m, sw) == "" {
			t.Errorf("%s serves a stage of single transistors", id)
		}
	}
}

// A motor on a MOSFET channel that jams: 12.6/12*0.17 A, through copper in air of 40 C,
// 274.5/254.5 times as much: 0.16549 A. 0.6 V is stated at 0.2 A, so that no less current
// drops more, however little the motor draws when it runs. g = 48*running, then
// (40.105 + 0.7*g)/(1 - 0.012*g) running; 48*(0.16549 - running)*2.5 above it at first, and
// again with 1 + 0.012*(T - 25) for 2.5.
//
//	 2.1 mA  40.224; + 19.607 = 59.831; + 48*0.16339*1.41798 = 51.345
//	21 mA    41.310; + 17.339 = 58.649; + 48*0.14449*1.40379 = 51.046
//
// Both took the channel hotter than it gets; a jam for ever is (40.105 + 0.7*7.94352)/
// (1 - 0.012*7.94352) = 50.477, and no jam of a second heats more than that.
func TestWorkedArrayJam(t *testing.T) {
	for _, tc := range []struct {
		running string
		hot     float64
	}{{"2 mA", 50.477}, {"20 mA", 50.477}} {
		text := strings.Replace(workedJob("n-mosfet-low-array-jam"), `"2 mA"`, `"`+tc.running+`"`, 1)
		d, _ := darlingtonStage(t, nMOSFETLow{}, text, "hand-array-mos", &Given{RPulldown: ohms(1200)}, nil)
		compare(t, d, []worked{{id: design.JunctionTemperature, stress: tc.hot, rating: 150, verdict: design.Fits}})
	}
}

// What must never be called fits.
func TestArrayNeverFits(t *testing.T) {
	load := func(pin, rail, body string) string {
		return "[pin]\n" + pin + "[[rail]]\nname = \"r\"\nvoltage = \"" + rail + "\"\ntolerance = \"5 %\"\n[[load]]\nname = \"x\"\nrail = \"r\"\n" + body + "\n"
	}
	const coil = "kind = \"coil\"\nresistance = \"360 ohm\"\nmust_operate = \"75 %\"\nr_th_coil = \"20 K/W\"\n"
	array := func(f func(*catalog.Array)) func(catalog.Part) {
		return func(p catalog.Part) { f(p.(*catalog.Array)) }
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
		// 4.75 V less 1.3 V at 200 mA: 3.45 V.
		{"drop on a 5 V load", load("", "5 V", "kind = \"resistive\"\ncurrent = \"0.15 A\"\nvoltage_min = \"4 V\""), Given{}, nil, design.LoadVoltage, design.Over},
		// 5.25 V through 20 kohm turns an input on that nothing pulls down.
		{"no pull-down, pull-up at reset", load("at_reset = \"pull-up\"\n", "12 V", coil), Given{RBaseEmitter: none}, nil, design.StaysOff, design.Over},
		{"no pull-down, floating", load("at_reset = \"floating\"\n", "12 V", coil), Given{RBaseEmitter: none}, nil, design.StaysOff, design.Unproven},
		// 5.25*10.5/30.5 = 1.8 V.
		{"10 kohm pull-down", load("", "12 V", coil), Given{RBaseEmitter: GivenResistor{Said: true, Ohms: 10e3, Tol: 0.05}}, nil, design.StaysOff, design.Over},
		{"off level not stated", load("", "12 V", coil), Given{}, array(func(p *catalog.Array) { p.VInOffMax = q.Opt[q.Volt]{} }), design.StaysOff, design.Unproven},
		{"leakage not stated", load("", "12 V", coil), Given{}, array(func(p *catalog.Array) { p.ILeakMax = q.Opt[q.Amp]{} }), design.Leakage, design.Unproven},
		// 48 V + 5 % + 2 V: 52.4 V on a 50 V part.
		{"48 V coil on a 50 V part", load("", "48 V", "kind = \"coil\"\nresistance = \"5 kohm\"\nmust_operate = \"75 %\"\nr_th_coil = \"20 K/W\"\n"), Given{}, nil, design.BlockingVoltage, design.Over},
		// 6 times 80 mA at the least and 15 by the rule, past 350 mA.
		{"lamp", load("", "12 V", "kind = \"lamp\"\ncurrent = \"0.1 A\""), Given{}, nil, design.PeakCurrent, design.Unproven},
		{"lamp that is measured", load("", "12 V", "kind = \"lamp\"\ncurrent = \"0.1 A\"\ncold_ratio = 10\ninrush_source = \"measured\""), Given{}, nil, design.PeakCurrent, design.Over},
		{"400 mA, on voltage not stated there", load("", "12 V", "kind = \"resistive\"\ncurrent = \"0.34 A\""), Given{}, nil, design.JunctionTemperature, design.Unproven},
		{"600 mA", load("", "12 V", "kind = \"resistive\"\ncurrent = \"0.6 A\""), Given{}, nil, design.OnCurrent, design.Over},
		{"pwm", load("", "12 V", "kind = \"led\"\ncurrent = \"0.1 A\"\nmode = \"pwm\"\npwm_frequency = \"1 kHz\""), Given{}, nil, design.PWMFrequency, design.Unproven},
		// 0.18 A x 1.3 V x 7 x 80 K/W: 131 K.
		{"seven at once", load("", "12 V", "kind = \"resistive\"\ncurrent = \"0.17 A\"\nquantity = 7"), Given{}, nil, design.JunctionTemperature, design.Over},
		// 15.2 V x 0.35 A: no safe area is stated.
		{"solenoid of 0.3 A", load("", "12 V", "kind = \"solenoid\"\ncurrent = \"0.3 A\"\ninductance = \"50 mH\""), Given{}, nil, design.SafeArea, design.Unproven},
		{"pin high at reset", load("at_reset = \"high\"\n", "12 V", coil), Given{}, nil, design.StaysOff, design.Over},
		// The pull-down alone takes 5.25 V/1.2 kohm.
		{"pin of 4 mA", load("source_current_max = \"4 mA\"\nsink_current_max = \"4 mA\"\n", "12 V", coil), Given{}, nil, design.PinCurrent, design.Over},
		// No figure of the input: neither what it takes nor what it gets.
		{"input current not stated", load("", "12 V", coil), Given{}, array(func(p *catalog.Array) { p.IInMax = nil }), design.BaseDrive, design.Unproven},
		{"greatest junction not stated", load("", "12 V", coil), Given{}, array(func(p *catalog.Array) { p.TjMax = q.Opt[q.Celsius]{} }), design.JunctionTemperature, design.Unproven},
		{"100 kohm before the input", load("", "12 V", coil), Given{RBase: GivenResistor{Said: true, Ohms: 100e3, Tol: 0.05}, RBaseEmitter: ohms(1200)}, nil, design.BaseDrive, design.Over},
	}
	for _, tc := range cases {
		t.Run(tc.name, func(t *testing.T) {
			d, _ := darlingtonStage(t, darlingtonLow{}, tc.text, "hand-array", &tc.given, tc.change)
			c := find(d, tc.check, design.StageSelf)
			if c == nil || c.Verdict < tc.least || d.Verdict < tc.least {
				t.Errorf("%s", show(d))
			}
		})
	}
}

// Loads that share a package: three coils on 12 V, and heaters of 0.11 A on the
// other four channels.
func TestWorkedSharedPackage(t *testing.T) {
	coils, b := darlingtonStage(t, darlingtonLow{}, handCoils(3), "hand-array", pulled(), nil)
	heaters, _ := darlingtonStage(t, darlingtonLow{}, strings.NewReplacer("70 ohm", "127.27 ohm", "quantity = 1", "quantity = 4").Replace(workedJob("darlington-low-array-heater")), "hand-array", pulled(), nil)
	p, _ := b.env.Catalog.Part("hand-array")
	ask := func(uses ...design.Share) []design.Check {
		return PackageChecks(b.env.Catalog, b.env.Policy, p, 40, uses)
	}
	// Coils 2*0.036055 + 0.012075 = 0.084186 W each, heaters 1.3*0.11000 + 0.012075 =
	// 0.155078 W: 40 + 80*(3*0.084186 + 4*0.155078) = 109.83 C.
	out := ask(coils.Share, heaters.Share)
	if len(out) != 2 || out[0].ID != design.OnCurrent || out[1].ID != design.JunctionTemperature {
		t.Fatalf("%+v", out)
	}
	wantNear(t, "greatest current", out[0].Stress, 0.11, 1e-4)
	wantNear(t, "with seven on", out[0].Rating, 0.15, 1e-9)
	wantNear(t, "junction", out[1].Stress, 109.83, 1e-4)
	if out[0].Verdict != design.Fits || out[1].Verdict != design.Fits {
		t.Errorf("%v %v", out[0].Verdict, out[1].Verdict)
	}
	// Five heaters and three coils do not find room.
	more := heaters.Share
	more.Channels = 5
	if out := ask(coils.Share, more); out[0].Verdict != design.Over {
		t.Errorf("8 of 7 channels: %v", out[0].Verdict)
	}
	// One common pin stands on one rail.
	other := coils.Share
	other.ClampRail = "another"
	if out := ask(coils.Share, other); len(out) != 3 || out[2].Verdict != design.Over {
		t.Errorf("two rails: %+v", out)
	}
	// Unknown heat is no heat that is known to be little.
	unknown := heaters.Share
	unknown.Heat = design.Number{}
	if out := ask(coils.Share, unknown); out[1].Verdict != design.Unproven {
		t.Errorf("unknown heat: %v", out[1].Verdict)
	}
	if out := ask(); out != nil {
		t.Errorf("nothing: %+v", out)
	}
}
