package topology

import (
	"math"
	"slices"
	"strings"
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
)

// Stages with a boosted gate worked by hand. Every expected number is DERIVED: the
// circuit's equations, the numbers put in beside them. Parts are invented for the
// purpose: a MOSFET that needs 10 V (18 mohm at most, rising by a = 0.9/125 per
// kelvin, 62 K/W, 20 + 12 nC, threshold 2 to 4 V, 5 mV/K) and a PNP transistor (0.4
// V at a forced gain of 10). The NPN transistor is the one of the other calculations
// (0.35 V at a forced gain of 50).
var boostedParts = workedParts("boosted")

func boostedCatalog(t testing.TB) *catalog.Catalog {
	t.Helper()
	return catalogWith(t, handParts, boostedParts)
}

func boosted(t *testing.T, text, id string, given Given) *design.Design {
	t.Helper()
	cat := boostedCatalog(t)
	b := benchOn(t, cat, text)
	sw, ok := cat.Part(id)
	if !ok {
		t.Fatalf("no part %s", id)
	}
	top := nMOSFETBoosted{}
	if why := top.Serves(b.env, b.m, sw); why != "" {
		t.Fatal(why)
	}
	d := new(design.Design)
	top.Design(b.env, b.m, sw, &given, d)
	return d
}

// one and two transistors, their resistors stated; no sink.
func oneTransistor() Given {
	return Given{DriverPart: "hand-npn", RPullup: ohms(2200), RPulldown: ohms(100e3), RGate: ohms(220), HeatSink: GivenPart{Said: true}}
}

func twoTransistors() Given {
	return Given{DriverPart: "hand-pnp-small", RPulldown: GivenResistor{Said: true, Ohms: 1000, Tol: 0.01, Series: "r-half-watt"}, RGate: ohms(220), HeatSink: GivenPart{Said: true}}
}

// 4 A of 12 V +-10 %, the resistance +-10 %: 13.2/(3*0.9) = 4.889 A. The gate's rail
// is the load's own. The junction of both stages: 0.018*4.889^2 = 0.4302 W, g = 26.67
// K, 25 + (15 + g)/(1 - g*a) = 76.58 C. One edge, the driver's own included, of half of
// 13.2 V*4.889 A = 32.27 W heats by the case, 60 K/W of 1 s: what the junction does by
// itself takes 100 s here.
func withEdge(d *design.Design, steady float64) float64 {
	return steady + 32.27*60*math.Max(valueIn(d, design.TOn).V, valueIn(d, design.TOff).V)
}

// One transistor: 2200 ohm lift the gate, 13.2/2178 + 13.2/217.8 = 66.7 mA have to be
// taken in saturation, 0.35 V. (A pin that is low at reset: what the transistor lets
// through with its base lifted is not worked here.)
func TestWorkedBoostedInverting(t *testing.T) {
	d := boosted(t, workedJob("n-mosfet-boosted-heater-inverting"), "hand-10v", oneTransistor())
	compare(t, d, []worked{
		{id: design.OnCurrent, stress: 4.8889, rating: 40, verdict: design.Fits},
		// 10.8*99000/(99000 + 2222)
		{id: design.GateDrive, stress: 10, rating: 10.563, verdict: design.Fits},
		{id: design.GateVoltage, stress: 13.2, rating: 20, verdict: design.Fits},
		// 0.35 V for any current up to 1 A; while the rail rises half of 20 nC come within a
		// tenth of 1 ms, 100 uA, in 222.2 ohm; 2 - 5 mV/K*(76.58 - 25)
		{id: design.StaysOff, stress: 0.3722, rating: 1.7421, verdict: design.Fits},
		{id: design.JunctionTemperature, stress: withEdge(d, 76.58), rating: 150, verdict: design.Fits, headroom: 85 / (withEdge(d, 76.58) - 40)},
		// 13.2^2/2178 in a quarter watt
		{id: design.ResistorPower, stress: 0.080, rating: 0.25, verdict: design.Fits},
		// the load's and 13.2/2178 of the pull-up
		{id: design.RailCurrent, stress: 4.8889 + 6.0606e-3, rating: 60, verdict: design.Fits},
	})
	// K = 1/(0.018*6) = 9.259 A/V2, plateau at 0 C 4.125 + sqrt(2*4.889/K) = 5.153 V:
	// 32 nC*(2222 + 222.2)/(10.563 - 5.153), after the transistor is off; and
	// 32 nC*222.2/(1.7421 - 0.35), after it is on.
	edgeNear(t, d, design.TOn, design.TOff, 14.457e-6)
	edgeNear(t, d, design.TOff, design.TOn, 5.1077e-6)
	if d.Verdict != design.Fits {
		t.Errorf("the stage is %s\n%s", d.Verdict, show(d))
	}
}

// edgeNear holds an edge of the stage less the driver's own.
func edgeNear(t *testing.T, d *design.Design, key, driver design.ValueKey, want float64) {
	t.Helper()
	if d.Driver == nil {
		t.Fatal("no driver")
	}
	all, late := valueIn(d, key), valueIn(d.Driver, driver)
	if !late.OK {
		t.Errorf("the driver has no %s", driver)
	}
	wantNear(t, string(key), design.Known(all.V-late.V), want, 1e-3)
}

// Two transistors: the PNP carries 13.2/990 of the pull-down and 13.2/217.8 of the
// gate, 73.9 mA, with 0.4 V; off, its 1 nA and the gate's leave nothing worth naming.
func TestWorkedBoosted(t *testing.T) {
	d := boosted(t, workedJob("n-mosfet-boosted-heater"), "hand-10v", twoTransistors())
	compare(t, d, []worked{
		// 10.8 - 0.4
		{id: design.GateDrive, stress: 10, rating: 10.4, verdict: design.Fits},
		{id: design.GateVoltage, stress: 13.2, rating: 20, verdict: design.Fits},
		// 2 nA*1010 + 1 nA*222.2, and while the rail rises 100 uA*(1010 + 222.2)
		{id: design.StaysOff, stress: 0.12322, rating: 1.7421, verdict: design.Fits},
		{id: design.JunctionTemperature, stress: withEdge(d, 76.58), rating: 150, verdict: design.Fits, headroom: 85 / (withEdge(d, 76.58) - 40)},
	})
	// 32 nC*222.2/(10.4 - 5.153); 32 nC*(222.2 + 1010)/1.7421
	edgeNear(t, d, design.TOn, design.TOn, 1.3552e-6)
	edgeNear(t, d, design.TOff, design.TOff, 22.634e-6)
	if c := find(d, design.PeakCurrent, design.StageDriver); c == nil {
		t.Error("no peak-current of the driver")
	} else {
		wantNear(t, "peak of the driver", c.Stress, 73.94e-3, 1e-3)
	}
	// The load, 13.2/990 of the pull-down, and what the PNP's base takes besides: at
	// least a tenth of 73.9 mA, at most twice that.
	c := find(d, design.RailCurrent, design.StageSelf)
	if base := c.Stress.V - 4.8889 - 13.333e-3; base < 7.39e-3 || base > 15e-3 {
		t.Errorf("the rail gives %g A besides load and pull-down", base)
	}
	if d.Verdict != design.Fits {
		t.Errorf("the stage is %s\n%s", d.Verdict, show(d))
	}
	for _, id := range []design.CheckID{design.StaysOff, design.BaseDrive, design.Saturation, design.PinCurrent} {
		n := 0
		for i := range d.Checks {
			if d.Checks[i].ID == id && d.Checks[i].Stage == design.StageDriver {
				n++
			}
		}
		if n != 1 {
			t.Errorf("%s of the driver stands there %d times", id, n)
		}
	}
}

// Under pwm the slow pull-up costs: with 2200 ohm both edges, the transistor's own
// included, at 2 kHz. 0.5*13.2*4.889*(t_on + t_off)*2000/s, 50 nC*13.2/10 of gate charge
// at 13.2 V: the values that the stage tells hang together by these, and the junction is
// that of their sum, 25 + (15 + 62*(0.4302 + p))/(1 - 26.67*a).
func TestWorkedBoostedSlowPullUp(t *testing.T) {
	d := boosted(t, workedJob("n-mosfet-boosted-pwm-2khz"), "hand-10v", oneTransistor())
	on, off := valueIn(d, design.TOn).V, valueIn(d, design.TOff).V
	if on < 14.4e-6 || on > 20e-6 {
		t.Errorf("on in %g s", on)
	}
	p := 0.5*13.2*4.8889*(on+off)*2000 + 50e-9*13.2/10*13.2*2000
	valueNear(t, d, design.PSwitching, p)
	compare(t, d, []worked{
		// Heat ends it before the edges do: 25 + (15 + 62*(0.4302 + p*f/2000))/(1 - 26.67*a) is
		// 150 C at 2000*((125*(1 - 26.67*a) - 15)/62 - 0.4302)/p.
		{id: design.PWMFrequency, stress: 2000, rating: 2000 * ((125*(1-26.674*0.0072)-15)/62 - 0.43022) / p, verdict: design.Over},
		{id: design.JunctionTemperature, stress: 25 + (15+62*(0.43022+p))/(1-26.674*0.0072), rating: 150, verdict: find(d, design.JunctionTemperature, design.StageSelf).Verdict},
	})
	// The pull-up alone makes 14.46 us: at 5 kHz more than a tenth of the period is gone
	// in both edges as soon as they take 20 us.
	d = boosted(t, workedJob("n-mosfet-boosted-pwm-5khz"), "hand-10v", oneTransistor())
	if c := find(d, design.PWMFrequency, design.StageSelf); c.Verdict == design.Fits {
		t.Errorf("5 kHz fits: %+v", c)
	}
}

// What the gate's rail gives at its lowest and highest decides.
func TestWorkedBoostedRails(t *testing.T) {
	for _, tc := range []struct {
		name, job     string
		drive, gate   float64
		driveV, gateV design.Verdict
	}{
		{"11.5 V", "n-mosfet-boosted-gate-rail-11v5", 11.5*0.98 - 0.4, 11.73, design.Fits, design.Fits},
		// 9.8 - 0.4 is under the 10 V at which the on-resistance is stated.
		{"10 V", "n-mosfet-boosted-gate-rail-10v", 9.4, 10.2, design.Unproven, design.Fits},
		// 16.5 V on a gate of 20 V, of which the policy allows 16.
		{"15 V, loose", "n-mosfet-boosted-gate-rail-15v", 13.1, 16.5, design.Fits, design.Tight},
	} {
		t.Run(tc.name, func(t *testing.T) {
			d := boosted(t, workedJob(tc.job), "hand-10v", twoTransistors())
			compare(t, d, []worked{
				{id: design.GateDrive, stress: 10, rating: tc.drive, verdict: tc.driveV},
				{id: design.GateVoltage, stress: tc.gate, rating: 20, verdict: tc.gateV},
			})
		})
	}
}

// A gate that needs 10 V on a pin of 3.3 V: nothing else makes this part fit.
func TestBoostedServesLowPins(t *testing.T) {
	for _, pin := range []string{"3.3 V", "1.8 V"} {
		text := strings.Replace(heaterOf("4 A", ""), "supply = \"5 V\"", "supply = \""+pin+"\"", 1)
		if d := boosted(t, text, "hand-10v", Given{}); d.Verdict != design.Fits {
			t.Errorf("%s pin: %s", pin, show(d))
		}
	}
}

// Which of the two is taken: the one that the load allows, and where it allows both
// the one of fewer parts.
func TestBoostedForms(t *testing.T) {
	for _, tc := range []struct {
		unpowered string
		one       bool
	}{{"off", false}, {"any", true}, {"on", true}} {
		d := boosted(t, heaterOf("4 A", "unpowered = \""+tc.unpowered+"\"\n"), "hand-10v", Given{})
		if _, has := resistorIn(d, design.RPullup); has != tc.one || d.Verdict != design.Fits {
			t.Errorf("unpowered %s: one transistor %v\n%s", tc.unpowered, has, show(d))
		}
	}
}

func resistorIn(d *design.Design, key design.ValueKey) (float64, bool) {
	for _, r := range d.Choice.Resistors {
		if r.Key == key && !r.Absent {
			return r.Ohms, true
		}
	}
	return 0, false
}

// A stage that is frozen is the same stage.
func TestBoostedFreeze(t *testing.T) {
	for _, unpowered := range []string{"off", "any"} {
		text := heaterOf("4 A", "unpowered = \""+unpowered+"\"\n")
		d := boosted(t, text, "hand-10v", Given{})
		again := boosted(t, text, "hand-10v", *Freeze(d))
		if show(again) != show(d) {
			t.Errorf("unpowered %s: frozen it is\n%s\nand was\n%s", unpowered, show(again), show(d))
		}
	}
}

// What must never fit.
func TestHostileBoosted(t *testing.T) {
	const boo = "n-mosfet-boosted"
	const any = heat1 + "\nunpowered = \"any\""
	hostileNeverFit(t, []hostile{
		// 24 V on a gate of 20 V; no other rail but the pin's 5 V.
		{name: "24 V on the gate", rail: "24 V ± 5 %", load: heat1, topology: boo, part: "n-60v-10vgate-dpak", check: design.GateDrive, least: design.Over},
		{name: "24 V on the gate, one transistor", rail: "24 V ± 5 %", load: any, topology: boo, part: "n-60v-10vgate-dpak", check: design.GateDrive, least: design.Over},
		{name: "no rail but 5 V", rail: "5 V ± 5 %", load: heat1, topology: boo, part: "n-60v-logic-b", check: design.GateDrive, least: design.Over},
		// A 2.5 V gate bears 12 V: 13.2 V is too much.
		{name: "12 V on a gate of 12 V", load: heat1, topology: boo, part: "n-30v-2v5-smd", check: design.GateVoltage, least: design.Over},
		// 9.6 V less what the driver drops: under the 10 V of the figure, whatever the threshold.
		{name: "12 V battery nearly flat", rail: "12 V ± 20 %", load: heat1, topology: boo, part: "n-60v-10vgate-dpak", check: design.GateDrive, least: design.Unproven},
		// With the pin low, floating or dead the pull-up lifts the gate.
		{name: "one transistor and a load that must be off", load: heat1, topology: boo, part: "n-60v-10vgate-dpak", built: "r_pullup = \"2.2k\"", check: design.StaysOff, least: design.Over},
		{name: "one transistor, stated, and a load that must be off", load: heat1, topology: boo, part: "n-60v-10vgate-dpak", built: "shifter = \"npn-40v-small\"", check: design.StaysOff, least: design.Over},
		// Nothing takes the gate down: leakage lifts it as far as the rail.
		{name: "gate without a pull-down", load: heat1, topology: boo, part: "n-60v-10vgate-dpak", built: "r_pulldown = \"none\"", check: design.StaysOff, least: design.Over},
		// Nothing lifts it.
		{name: "gate without a pull-up", load: any, topology: boo, part: "n-60v-10vgate-dpak", built: "r_pullup = \"none\"", check: design.GateDrive, least: design.Over},
		// 10.8 x 2.2/(2.2 + 10) = 1.9 V.
		{name: "pull-down that eats the drive", load: any, topology: boo, part: "n-60v-10vgate-dpak", built: "r_pullup = \"10k\"\nr_pulldown = \"2.2k\"", check: design.GateDrive, least: design.Over},
		// 13.2 V/15 ohm = 0.9 A out of a small PNP, out of saturation.
		{name: "gate straight on the driver", load: heat1, topology: boo, part: "n-60v-10vgate-dpak", built: "r_gate = \"none\"\ndriver = \"pnp-40v-small\"", check: design.PeakCurrent, stage: design.StageDriver, least: design.Over},
		// Through 100 kohm the gate takes a millisecond to fall.
		{name: "slow pull-down at 5 kHz", load: "kind = \"led\"\ncurrent = \"1 A\"\nmode = \"pwm\"\npwm_frequency = \"5 kHz\"", topology: boo, part: "n-60v-10vgate-dpak", built: "r_pulldown = \"100k\"", check: design.PWMFrequency, least: design.Over},
		// Storage of a transistor and a pull-down besides.
		{name: "100 kHz", load: "kind = \"led\"\ncurrent = \"1 A\"\nmode = \"pwm\"\npwm_frequency = \"100 kHz\"", topology: boo, part: "n-60v-10vgate-dpak", check: design.PWMFrequency, least: design.Unproven},
		// A pin that is high at reset turns both transistors on.
		{name: "pin high at reset", pin: `at_reset = "high"`, load: heat1, topology: boo, part: "n-60v-10vgate-dpak", check: design.StaysOff, stage: design.StageDriver, least: design.Over},
		{name: "solenoid without a clamp", load: latch, topology: boo, part: "n-60v-10vgate-dpak", built: `clamp = "none"`, check: design.BlockingVoltage, least: design.Over},
		{name: "driver that nobody knows", load: heat1, topology: boo, part: "n-60v-10vgate-dpak", built: `driver = "q-unheard-of"`, check: design.StaysOff, least: design.Over},
		{name: "driver that is a relay", load: any, topology: boo, part: "n-60v-10vgate-dpak", built: `driver = "rl-5v-10a"`, check: design.LoadVoltage, stage: design.StageDriver, least: design.Over},
		{name: "base resistor that has no place", load: heat1, topology: boo, part: "n-60v-10vgate-dpak", built: `r_base = "1k"`, refused: "r_base"},
		{name: "open-drain pin", pin: `output = "open-drain"`, load: heat1, topology: boo, part: "n-60v-10vgate-dpak", refused: "open-drain"},
		{name: "high side", load: heat1 + "\nside = \"high\"", topology: boo, part: "n-60v-10vgate-dpak", refused: "high side"},
		// The gate's rail is the pin's own, which is not there when the load must be on.
		{name: "on without the logic from the pin's own 12 V", pin: `supply = "12 V"`, rail: "24 V ± 5 %", load: heat1 + "\nunpowered = \"on\"", topology: boo, part: "n-60v-10vgate-dpak", check: design.GateDrive, least: design.Over},
	}, nMOSFETBoosted{})
}

// A gate under one transistor whose own rail is absent is held by its pull-down
// alone: without one, leakage lifts it as far as it likes while the load has its rail.
func TestBoostedGateWithoutItsRail(t *testing.T) {
	text := strings.Replace(heaterOf("1 A", "unpowered = \"any\"\n"), "[[load]]", "[[rail]]\nname = \"field\"\nvoltage = \"24 V\"\n[[load]]", 1)
	text = strings.Replace(text, "rail = \"r\"", "rail = \"field\"", 1)
	given := oneTransistor()
	given.RPulldown = GivenResistor{Said: true, None: true}
	d := boosted(t, text, "hand-10v", given)
	if c := find(d, design.StaysOff, design.StageSelf); c.Verdict != design.Over {
		t.Errorf("stays-off %+v", c)
	}
	// 100 uA in 100 kohm are 10 V: a rail that rises in 1 ms turns it on, and what is
	// assumed is to be stated. Chosen freely the pull-down is under 2 V/100 uA.
	if c := find(boosted(t, text, "hand-10v", oneTransistor()), design.StaysOff, design.StageSelf); c.Verdict != design.Unproven {
		t.Errorf("with 100 kohm: stays-off %+v", c)
	}
	free := boosted(t, text, "hand-10v", Given{})
	if r, _ := resistorIn(free, design.RPulldown); r > 20e3 || free.Verdict != design.Fits {
		t.Errorf("with %g ohm: %s", r, show(free))
	}
}

// What nobody promises of the driver proves nothing of the gate: without a
// base-emitter voltage the PNP's drive is not known, nor what it drops, and neither
// the on-resistance nor the heat of the switch is guaranteed.
func TestBoostedByAnUnknownDriver(t *testing.T) {
	cat := boostedCatalog(t)
	b := benchOn(t, cat, heaterOf("4 A", ""))
	p, _ := cat.Part("hand-pnp-small")
	p.(*catalog.BJT).VBESat = nil
	sw, _ := cat.Part("hand-10v")
	given := twoTransistors()
	d := new(design.Design)
	nMOSFETBoosted{}.Design(b.env, b.m, sw, &given, d)
	for _, id := range []design.CheckID{design.GateDrive, design.JunctionTemperature, design.LoadVoltage} {
		if c := find(d, id, design.StageSelf); c == nil || c.Verdict != design.Unproven {
			t.Errorf("%s: %+v", id, c)
		}
	}
	if c := find(d, design.BaseDrive, design.StageDriver); c == nil || c.Verdict != design.Unproven {
		t.Errorf("base-drive of the driver: %+v", c)
	}
}

// The check says what to add where no rail may lift the gate.
func TestBoostedNamesTheRail(t *testing.T) {
	text := strings.Replace(heaterOf("1 A", ""), "voltage = \"12 V\"", "voltage = \"24 V\"", 1)
	d := boosted(t, text, "hand-10v", Given{})
	c := find(d, design.GateDrive, design.StageSelf)
	if c == nil || c.Verdict != design.Over || !strings.Contains(c.Because, "add a rail of 10 to 15 V") {
		t.Errorf("gate-drive %+v", c)
	}
}

// A gate that one transistor takes down is up without the pin: the load is on at reset.
func TestOneTransistorIsOnAtReset(t *testing.T) {
	text := heldLow(heaterOf("4 A", "unpowered = \"any\"\n"))
	for _, tc := range []struct {
		what  string
		d     *design.Design
		warns bool
	}{
		{"one transistor", boosted(t, text, "hand-10v", oneTransistor()), true},
		{"one transistor, the pin high at reset", boosted(t, strings.Replace(text, `at_reset = "low"`, `at_reset = "high"`, 1), "hand-10v", oneTransistor()), false},
		{"two transistors", boosted(t, heldLow(heaterOf("4 A", "unpowered = \"off\"\n")), "hand-10v", Given{}), false},
	} {
		if got := slices.Contains(tc.d.Cautions, design.CautionInverted); got != tc.warns {
			t.Errorf("%s: warns %v, cautions %v", tc.what, got, tc.d.Cautions)
		}
	}
}
