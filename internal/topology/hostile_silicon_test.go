package topology

import (
	"math"
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/job"
	q "example.org/pinhoist/internal/quantity"
)

// Traps of the stages of two and more transistors. Numbers in the comments are hand
// calculations (DERIVED) from the figures in the case and the catalogue.

const (
	pnpUp, pUp, boostedLow, side, darl = "pnp-high", "p-mosfet-high", "n-mosfet-boosted", "n-mosfet-parallel", "darlington-low"

	heat50m = "kind = \"resistive\"\ncurrent = \"50 mA\""
	heat200 = "kind = \"resistive\"\ncurrent = \"0.2 A\""
	gate15  = "\n[[rail]]\nname = \"g\"\nvoltage = \"15 V\"\ntolerance = \"10 %\""
)

func TestHostileSiliconNeverFits(t *testing.T) {
	cases := []hostile{
		// 1.3 nF of a big shifter take 0.5*1.3 nF*26.4 V/0.1 ms = 172 uA while the rail rises in
		// 1 ms: 0.8 V across 4.7 kohm, and a warm base conducts from 0.44 V.
		{name: "big shifter below a PNP", rail: "24 V ± 10 %", load: heat200, topology: pnpUp, part: "pnp-60v-lowsat-1a",
			built: "r_base_emitter = \"4.7 kohm\"\nshifter = \"n-60v-logic-d\"", check: design.StaysOff, least: design.Unproven},
		// 0.5*260 pF*13.2 V/0.1 ms = 17 uA, and of the gate itself 0.5*4.6 nC/0.1 ms = 23 uA:
		// 0.93 V across 23.1 kohm, and the gate conducts from 0.92 V.
		{name: "big shifter below a P-channel gate", load: heat200, topology: pUp, part: "p-60v-logic-smd",
			built: "r_pullup = \"22 kohm\"\nshifter = \"n-55v-logic-a\"", check: design.StaysOff, least: design.Unproven},
		// 4.6 nC*0.5/0.1 ms*49.35 kohm = 1.1 V of the 0.9 V there are.
		{name: "rail rises under a weak pull-up", load: heat200, topology: pUp, part: "p-60v-logic-smd",
			built: "r_pullup = \"47 kohm\"", check: design.StaysOff, least: design.Unproven},
		{name: "24 V on a gate of 20 V", rail: "24 V ± 10 %", load: heat200, topology: pUp, part: "p-60v-logic-sot223",
			built: "r_gate = \"none\"\nr_pullup = \"10 kohm\"\ngate_clamp = \"none\"", check: design.GateVoltage, least: design.Over},
		// 26.4 V - 11 V through a link: nothing limits the current of the Zener.
		{name: "gate Zener without a resistor", rail: "24 V ± 10 %", load: heat200, topology: pUp, part: "p-60v-logic-sot223",
			built: "r_gate = \"none\"\nr_pullup = \"10 kohm\"\ngate_clamp = \"z-12v-0w5\"", check: design.GateVoltage, least: design.Over},
		// 15.6 V + 13 mV/K*dT + the slope times 12.7 mA is above 80 % of 20 V.
		{name: "15 V gate Zener and its own tolerance", rail: "24 V ± 10 %", load: heat200, topology: pUp, part: "p-60v-logic-sot223",
			built: "r_gate = \"1 kohm\"\nr_pullup = \"10 kohm\"\ngate_clamp = \"z-15v-0w5\"", check: design.GateVoltage, least: design.Tight},
		{name: "P-channel gate on a 5 V pin, 12 V rail", load: heat200, topology: pUp, part: "p-60v-logic-smd",
			built: "shifter = \"none\"", check: design.StaysOff, least: design.Over},
		{name: "PNP base on a 5 V pin, 12 V rail", load: heat200, topology: pnpUp, part: "pnp-60v-lowsat-1a",
			built: "shifter = \"none\"", check: design.PinVoltage, least: design.Over},
		{name: "PNP without a bleed", load: heat200, topology: pnpUp, part: "pnp-60v-lowsat-1a",
			built: "r_base_emitter = \"none\"", check: design.StaysOff, least: design.Over},
		// 48 V*1.1 squared over 470 ohm is 5.9 W.
		{name: "gate resistor of 470 ohm at 48 V", rail: "48 V ± 10 %", load: heat200, topology: pUp, part: "p-100v-logic-dpak",
			built: "r_gate = \"470 ohm\"\nr_pullup = \"10 kohm\"\ngate_clamp = \"z-12v-0w5\"", check: design.ResistorPower, least: design.Over},
		{name: "P-channel stage from a pin that is low at reset", pin: `at_reset = "low"`, load: heat50m + "\nrail = \"pin\"", topology: pUp, part: "p-20v-2v5-smd",
			built: "shifter = \"none\"", check: design.StaysOff, least: design.Over},
		// 15 V*1.1 = 16.5 V, of 20 V 80 % are 16 V.
		{name: "boosted gate from 15 V of 10 %", rail: "24 V ± 10 %", load: heat1 + gate15, topology: boostedLow, part: "n-55v-10vgate",
			check: design.GateVoltage, least: design.Tight},
		{name: "boosted by one transistor, and off without the logic", load: heat1, topology: boostedLow, part: "n-55v-10vgate",
			built: "r_pullup = \"1 kohm\"\nshifter = \"n-60v-small\"", check: design.StaysOff, least: design.Over},
		// A strong driver and no resistor at the gates: they are tied together.
		{name: "gates side by side without resistors", pin: `peak_current_max = "10 A"`, load: heat6, topology: side, part: "n-60v-logic-b",
			built: "r_gate = \"none\"", check: design.GateVoltage, least: design.Unproven},
		{name: "seven channels of 0.3 A", load: latch + "\nquantity = 7", topology: darl, part: "array-7x-darlington", check: design.OnCurrent, least: design.Over},
		{name: "Darlington on 5 V", rail: "5 V ± 5 %", load: latch, topology: darl, part: "npn-60v-darl-500ma", check: design.LoadVoltage, least: design.Unproven},
		// 10 nC and more through 470 kohm take milliseconds. 53.5 V*0.9 A are 48 W, of the 55 W
		// that 1.5 K/W carry away; but of 2.3 A at 35 V and 0.1 A at 100 V 0.65 A are left at 53.5 V.
		{name: "winding let go slowly where the safe area bends", rail: "48 V ± 10 %", load: "kind = \"solenoid\"\ncurrent = \"0.6 A\"\ninductance = \"50 mH\"",
			topology: mos, part: "n-100v-logic-a", built: "r_gate = \"470 kohm\"\nr_pulldown = \"1 kohm\"", change: asMOSFET(bentArea), check: design.SafeArea, least: design.Over},
		// A heater's edge moves along its load line: 0.778 A at 33.6 V, two thirds of 50.4 V and a
		// third of 2.333 A, where 10 A at 10 V that fall with the square leave 0.886 A at 25 C and
		// 0.77 A at 42 C. All of it is 29 W at the most, of the 55 W that 1.5 K/W carry away.
		{name: "heater switched slowly where the safe area bends", rail: "48 V ± 5 %", load: "kind = \"resistive\"\ncurrent = \"2 A\"",
			topology: mos, part: "n-100v-logic-a", built: "r_gate = \"470 kohm\"\nr_pulldown = \"1 kohm\"", change: asMOSFET(steepArea), check: design.SafeArea, least: design.Over},
		// Under pwm a drive of 4.75 V*0.99/(0.99 + 0.04) = 4.566 V is 0.56 V above the plateau of a
		// part that conducts from 3.6 V + 5 mV/K*25 K in the cold and 0.28 V later carries 0.8 A: 10 nC
		// through 12.2 kohm take 0.22 ms to turn on, and the winding's current has not ended
		// meanwhile. Off, the gate is emptied by 2.1 V and more, in 0.06 ms. Of 1 A at 40 V and
		// 0.1 A at 100 V 0.47 A are left at 53.85 V for so long, of a tenth of a millisecond 3 A.
		{name: "winding taken over slowly while its diode conducts", rail: "48 V ± 10 %", load: "kind = \"solenoid\"\ncurrent = \"0.6 A\"\ninductance = \"50 mH\"\nmode = \"pwm\"\npwm_frequency = \"100 Hz\"",
			topology: mos, part: "n-100v-logic-a", built: "r_gate = \"12 kohm\"\nr_pulldown = \"1 kohm\"\nresistor_tolerance = \"1 %\"", change: asMOSFET(slowToTurnOn), check: design.SafeArea, least: design.Over},
		// A lamp of 0.3 A takes 15 times that at first, 5.08 A from 50.4 V. Cut off then by a
		// pull-up of a few kilohm in 0.1 ms, half of it stands at 25.2 V, where 10 A at 10 V that
		// fall with the square leave 1.57 A, and 1.26 A of them are allowed.
		{name: "lamp cut off slowly in its inrush", rail: "48 V ± 5 %", load: "kind = \"lamp\"\ncurrent = \"0.3 A\"\ninrush_factor = 15\ninrush_source = \"measured\"",
			topology: pUp, part: "p-100v-logic-dpak", change: asMOSFET(steepArea), check: design.SafeArea, least: design.Over},
		// 60 m of 0.75 mm2 are 0.0172 ohm mm2/m*60 m/0.75 mm2 of solid copper at 20 C, stranded and at
		// 40 C 1.725 ohm. 13.2 W on them want i*(10.8 V - i*1.725 ohm) = 13.2 W: 1.66 A, and not
		// 13.2 W/10.8 V = 1.22 A. Without a sink the part carries 2.064 A, 1.65 A of them allowed.
		{name: "supply of constant power behind long wires", load: "kind = \"electronic\"\ncurrent = \"1 A\"\nvoltage_min = \"5 V\"\nwire_length = \"30 m\"\nwire_area = \"0.75 mm2\"\ninrush_factor = 1\ninrush_source = \"measured\"",
			topology: mos, part: "n-30v-logic-smd", check: design.OnCurrent, least: design.Tight},
		// Nobody knows what the transistor drops. A supply of 3.96 W draws 0.367 A of 10.8 V, but
		// 0.566 A of the 7 V that it lives with, and 0.4 A of the 0.5 A stated are allowed.
		{name: "supply of constant power behind a drop that nobody knows", load: "kind = \"electronic\"\ncurrent = \"0.3 A\"\nvoltage_min = \"7 V\"\ninrush_factor = 1\ninrush_source = \"measured\"",
			topology: npn, part: "npn-80v-500ma", change: asBJT(func(p *catalog.BJT) { p.VCESat = nil }), check: design.OnCurrent, least: design.Over},
		{name: "heater on a bipolar of no safe area at 48 V", rail: "48 V ± 5 %", load: "kind = \"resistive\"\ncurrent = \"50 mA\"",
			topology: npn, part: "npn-80v-500ma", change: asBJT(func(p *catalog.BJT) { p.SOA = nil }), check: design.SafeArea, least: design.Unproven},
		// 13.2 V*28 A/6 over an edge of 4.8 us, half and half of voltage and current, are 0.29 mJ,
		// 2.3 W at 8 kHz: 180 K at 80 K/W. Charging 11 uF loses 0.96 mJ in all.
		{name: "capacitor charged anew by every period", load: "kind = \"capacitive\"\ncurrent = \"0.1 A\"\ncapacitance = \"10 uF\"\nesr = \"0.5 ohm\"\nmode = \"pwm\"\npwm_frequency = \"8 kHz\"",
			topology: mos, part: "n-30v-logic-dpak", built: `heat_sink = "none"`, check: design.JunctionTemperature, least: design.Over},
		// 13.2 V*29 A/6 over 4 us are 0.26 mJ, or a share of the 96 uJ that charging 1.1 uF
		// loses: 0.5 W at least of 10 kHz, 62 K at 125 K/W beside the rest.
		{name: "capacitor switched ten thousand times a second", load: "kind = \"capacitive\"\ncurrent = \"0.1 A\"\ncapacitance = \"1 uF\"\nesr = \"0.5 ohm\"\nmode = \"pwm\"\npwm_frequency = \"10 kHz\"",
			topology: mos, part: "n-30v-logic-so8", check: design.JunctionTemperature, least: design.Tight},
		// 24 V*20 A/6 over 5.6 us are 0.45 mJ, 2.2 W at 5 kHz: 180 K at 80 K/W.
		{name: "inrush of a microsecond in every period", rail: "24 V ± 5 %", load: "kind = \"resistive\"\ncurrent = \"0.2 A\"\ninrush_current = \"20 A\"\ninrush_time = \"1 us\"\nmode = \"pwm\"\npwm_frequency = \"5 kHz\"",
			topology: mos, part: "n-40v-logic-dpak", built: `heat_sink = "none"`, check: design.JunctionTemperature, least: design.Over},
	}
	for i := range cases {
		h := &cases[i]
		t.Run(h.name, func(t *testing.T) {
			d, why := h.design(t)
			h.neverFits(t, d, why)
		})
	}
}

// A low pin that is pulled up at reset leaves 5.25 V*3.939/(3.939 + 20) = 0.86385 V on
// the shifter's gate, and 0.1 uA*(3.291 kohm + 272.7 ohm) 0.36 mV: under its threshold at
// 40 C of 1 V - 4 mV/K*15 K = 0.94 V, where it may take 250 uA. At 0.15 V*313/298 a decade
// it still takes 250 uA*10^-(0.07579/0.15755) = 82.58 uA; it leaks 5 uA, and so does the
// PNP: across 27.27 kohm the 92.58 uA make 2.5247 V, where a base conducts from 0.47 V.
// The load tolerates 10 uA.
func TestShifterHeldUnderItsThreshold(t *testing.T) {
	h := hostile{load: `kind = "signal"`, topology: pnpUp, part: "pnp-45v-100ma-smd"}
	cat, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	b := benchOn(t, cat, h.text())
	sw, _ := cat.Part(h.part)
	build := func(pull float64) *design.Design {
		d := new(design.Design)
		given := &Given{RBaseEmitter: body(27e3), Shifter: GivenPart{Said: true, ID: "n-60v-small-smd"}, DriverPart: "n-60v-small-smd", DriverTopology: "n-mosfet-low",
			Driver: &Given{RGate: body(270), RPulldown: body(pull)}}
		pnpHigh{}.Design(b.env, b.m, sw, given, d)
		return d
	}
	d := build(3900)
	c := find(d, design.StaysOff, design.StageSelf)
	wantNear(t, "shifter", find(d, design.StaysOff, design.StageDriver).EasyStress, 0.86421, 1e-4)
	wantNear(t, "stays-off", c.EasyStress, 92.58e-6*27.27e3, 1e-3)
	if c.Verdict != design.Over {
		t.Error(show(d))
	}
	// 1 kohm leaves 5.25 V*1.01/21.01 = 0.25238 V, which is 250 uA*10^-4.3641 = 10.8 nA.
	d = build(1000)
	wantNear(t, "stays-off, held well", find(d, design.StaysOff, design.StageSelf).EasyStress, 10.0108e-6*27.27e3, 1e-3)
}

// Whatever fits, what a level shifter takes near its threshold does not turn its stage
// on: by the usual 0.1 V a decade of a channel, worked out here again.
func TestNoShifterLeavesHalfOn(t *testing.T) {
	cat, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	fits := 0
	for _, load := range []string{`kind = "signal"`, heat200, heat1, latch} {
		for _, rail := range []string{"12 V ± 10 %", "24 V ± 25 %"} {
			for _, id := range []string{pnpUp, pUp} {
				h := hostile{rail: rail, load: load}
				b := benchOn(t, cat, h.text())
				top := highTopology(id)
				for _, sw := range cat.Switches() {
					if top.Serves(b.env, b.m, sw) != "" {
						continue
					}
					d := new(design.Design)
					top.Design(b.env, b.m, sw, &Given{}, d)
					if d.Verdict != design.Fits || d.Driver == nil {
						continue
					}
					fits++
					halfOn(t, cat, d)
				}
			}
		}
	}
	if fits < 40 {
		t.Errorf("only %d designs fit", fits)
	}
}

func halfOn(t *testing.T, cat *catalog.Catalog, d *design.Design) {
	t.Helper()
	sh, _ := cat.Part(d.Driver.Part)
	m, ok := sh.(*catalog.MOSFET)
	if !ok {
		return
	}
	c := find(d, design.StaysOff, design.StageDriver)
	held := firstOf(c.EasyStress, c.Stress)
	i := float64(m.VGSTh.ID.Value()) * math.Pow(10, (held-c.Rating.V)/0.1)
	ohms := valueIn(d, design.RPullup)
	if !ohms.OK {
		ohms = valueIn(d, design.RBaseEmitter)
	}
	if limit := find(d, design.StaysOff, design.StageSelf).Rating.V; i*ohms.V > limit {
		t.Errorf("%s with %s: %g A x %g ohm is above %g V", d.Part, d.Driver.Part, i, ohms.V, limit)
	}
}

// A Zener of 5.1 V has a soft knee: at the lowest rail little flows in it, and a quarter
// of its least voltage may lack: 0.75*(4.84 V - 1.2 mV/K*dT), 3.63 V at most. The
// resistors would leave 8.05 V*1.8/(1.8 + 1.2) = 4.8 V.
func TestSoftKneeOfAGateZener(t *testing.T) {
	h := hostile{rail: "11.5 V ± 30 %", load: heat1, topology: pUp, part: "p-20v-1v8-smd",
		built: "r_gate = \"1.2 kohm\"\nr_pullup = \"1.8 kohm\"\ngate_clamp = \"z-5v1-0w5\""}
	d, why := h.design(t)
	if d == nil {
		t.Fatal(why)
	}
	if c := find(d, design.GateDrive, design.StageSelf); c.Rating.V > 3.63 || c.Rating.V < 3.4 {
		t.Errorf("the gate is sure of %v", c.Rating)
	}
}

func TestTextbookSiliconFits(t *testing.T) {
	const sig = `kind = "signal"`
	cases := []hostile{
		{name: "P-channel with 4.7 k and a small MOSFET", load: heat1, topology: pUp, part: "p-60v-logic-dpak", built: "r_pullup = \"4.7 kohm\"\nr_gate = \"1 kohm\"\nshifter = \"n-60v-small\""},
		{name: "P-channel on 24 V, the rail halved", rail: "24 V ± 10 %", load: heat1, topology: pUp, part: "p-60v-logic-dpak", built: "r_pullup = \"4.7 kohm\"\nr_gate = \"4.7 kohm\"\ngate_clamp = \"none\""},
		{name: "P-channel with 22 k and an NPN", load: heat200, topology: pUp, part: "p-60v-logic-smd", built: "r_pullup = \"22 kohm\"\nr_gate = \"1 kohm\"\nshifter = \"npn-40v-small\""},
		{name: "P-channel at 1 kHz", load: heat1 + "\nmode = \"pwm\"\npwm_frequency = \"1 kHz\"", topology: pUp, part: "p-60v-logic-dpak"},
		{name: "P-channel on the pin's own rail", load: heat50m + "\nrail = \"pin\"", topology: pUp, part: "p-20v-2v5-smd", built: "shifter = \"none\""},
		{name: "PNP on the pin's own rail", load: heat50m + "\nrail = \"pin\"", topology: pnpUp, part: "pnp-40v-small", built: "shifter = \"none\""},
		{name: "PNP for a signal", load: sig, topology: pnpUp, part: "pnp-40v-small"},
		{name: "NPN for a signal", load: sig, topology: npn, part: "npn-40v-small"},
		{name: "MOSFET for a signal", load: sig, topology: mos, part: "n-60v-small"},
		{name: "boosted, two transistors", rail: "12 V ± 5 %", load: heat1, topology: boostedLow, part: "n-55v-10vgate"},
		{name: "boosted at 1 kHz", rail: "12 V ± 5 %", load: heat1 + "\nmode = \"pwm\"\npwm_frequency = \"1 kHz\"", topology: boostedLow, part: "n-55v-10vgate"},
		{name: "two side by side", load: heat6, topology: side, part: "n-60v-logic-c"},
	}
	for i := range cases {
		h := &cases[i]
		t.Run(h.name, func(t *testing.T) {
			d, why := h.design(t)
			if d == nil {
				t.Fatalf("not served: %s", why)
			}
			if d.Verdict != design.Fits {
				t.Errorf("%v: %s", d.Verdict, verdicts(d))
			}
		})
	}
}

// bentArea is a safe area that falls steeply above 35 V, whatever the time.
func bentArea(p *catalog.MOSFET) {
	for k := range p.SOA {
		points := make([]catalog.SOAPoint, 2)
		points[0].V.SetSI(35)
		points[0].I.SetSI(2.3)
		points[1].V.SetSI(100)
		points[1].I.SetSI(0.1)
		p.SOA[k].Points = points
	}
}

// steepArea is one that falls with the square of the voltage from 10 A at 10 V,
// whatever the time.
func steepArea(p *catalog.MOSFET) {
	for k := range p.SOA {
		points := make([]catalog.SOAPoint, 2)
		points[0].V.SetSI(10)
		points[0].I.SetSI(10)
		points[1].V.SetSI(100)
		points[1].I.SetSI(0.1)
		p.SOA[k].Points = points
	}
}

// A motor that jams for ever is switched off in the heat of its jam: the threshold that a
// low pin has to stay under is that of the hot junction, and so are leakage and edges.
func TestThresholdInTheHeatOfAJam(t *testing.T) {
	at := func(stall string) (tj, threshold, worst float64) {
		b := newBench(t, "[[rail]]\nname = \"bench\"\nvoltage = \"12 V\"\ntolerance = \"5 %\"\n[[load]]\nname = \"m\"\nkind = \"motor\"\nrail = \"bench\"\ncurrent = \"0.5 A\"\ninductance = \"2 mH\"\n"+stall)
		d := new(design.Design)
		nMOSFETLow{}.Design(b.env, b.m, partOf(t, b.env.Catalog, "n-60v-logic-smd"), &Given{}, d)
		for i := range d.Checks {
			if c := &d.Checks[i]; c.ID == design.StaysOff {
				for _, a := range c.Args() {
					if a.Name == "T_j" {
						tj = a.V
					}
				}
				threshold = c.Rating.V
			}
		}
		return tj, threshold, valueIn(d, design.TJunction).V
	}
	calm, cool, _ := at("stall_current = \"0.7 A\"\nstall_time = \"100 us\"\n")
	jam, low, worst := at("stall_current = \"0.7 A\"\n")
	if jam <= calm+5 || math.Abs(jam-worst) > 0.01 || low >= cool {
		t.Errorf("threshold %g V at %g C, jammed %g V at %g C of %g C", cool, calm, low, jam, worst)
	}
}

// slowToTurnOn is a part whose plateau may be just under a pin's drive and is far above
// zero, with a safe area that bends for a millisecond and not for a tenth of it.
func slowToTurnOn(p *catalog.MOSFET) {
	p.VGSTh.Min.SetSI(2.5)
	p.VGSTh.Max.SetSI(3.6)
	p.VGSThSlope.SetSI(5e-3)
	p.QGDMax.SetSI(6e-9)
	p.QGSMax.SetSI(4e-9)
	p.RDSOn = p.RDSOn[:1]
	p.RDSOn[0].VGS.SetSI(4.5)
	p.RDSOn[0].ID.SetSI(8)
	p.RDSOn[0].Max.SetSI(55e-3)
	curve := func(t float64, vi ...float64) (c catalog.SOACurve) {
		c.T.T = q.Second(t)
		for k := 0; k < len(vi); k += 2 {
			var pt catalog.SOAPoint
			pt.V.SetSI(vi[k])
			pt.I.SetSI(vi[k+1])
			c.Points = append(c.Points, pt)
		}
		return c
	}
	p.SOA = []catalog.SOACurve{curve(100e-6, 10, 30, 100, 4), curve(1e-3, 10, 20, 40, 1, 100, 0.1)}
}

// A Darlington that drops 1.3 V of 4.75 V leaves 3.45 V, on which 5 V*0.5 A*1.1 = 2.75 W are 0.797 A
// and not the 0.579 A that 4.75 V would drive.
func TestConstantPowerBehindADrop(t *testing.T) {
	h := hostile{rail: "5 V ± 5 %", load: "kind = \"electronic\"\ncurrent = \"0.5 A\"\nvoltage_min = \"3 V\"\ninrush_factor = 1\ninrush_source = \"measured\"", topology: darl, part: "npn-100v-darl-5a"}
	d, why := h.design(t)
	if d == nil {
		t.Fatal(why)
	}
	wantNear(t, "on voltage", valueIn(d, design.VOn), 1.3, 1e-3)
	wantNear(t, "carries", valueIn(d, design.IOn), 0.7971, 1e-4)
	wantNear(t, "on-current", find(d, design.OnCurrent, design.StageSelf).Stress, 0.7971, 1e-4)
}

// A suppressor of 5 V across a gate that wants 10 V leaves it some 7 V, a diode either
// nothing or 0.4 V: what stands there and is no Zener is not worked out, and was taken for
// nothing at all, with a gate drive that it does not leave. Likewise all else that a stage
// as built calls what it is not.
func TestStagesOfTheWrongThings(t *testing.T) {
	cat, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	for _, b := range []job.Built{
		{GateClamp: "tvs-5v-400w"}, {GateClamp: "d-40v-1a-schottky"}, {GateClamp: "z-12v-0w5+d-100v-1a"}, {GateClamp: "pin"},
		{HeatSink: "r-one-watt"}, {Insulator: "hs-25"}, {Snubber: "d-100v-1a"}, {Fuse: "r-one-watt"}, {Limiter: "d-100v-1a"}, {Clamp: "d-no-such"},
	} {
		if Unheld(&b, cat) == "" {
			t.Errorf("taken as said: %+v", b)
		}
	}
	for _, b := range []job.Built{{GateClamp: "z-12v-0w5"}, {GateClamp: "none"}, {HeatSink: "hs-25"}, {Fuse: "fuse-blade-2a"}, {Clamp: "d-100v-1a+z-24v-1w3"}, {}} {
		if why := Unheld(&b, cat); why != "" {
			t.Errorf("%+v: %s", b, why)
		}
	}
}
