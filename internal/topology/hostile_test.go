package topology

import (
	"strings"
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	q "example.org/pinhoist/internal/quantity"
)

// The traps of the trade. Each case is a circuit that would burn, weld, stay on
// or half-work, with the physics that says so; none may ever be shown as fitting,
// and the check that says why must be the right one. Numbers in the comments are
// hand calculations (DERIVED) from the figures in the case and the catalogue.

// hostile is one stage and why it must not be called fits.
type hostile struct {
	name     string
	pin      string // keys of [pin]
	air      string // keys of [environment]
	rail     string // "V tolerance", else 12 V 10 %
	load     string // keys of [[load]]
	topology string
	part     string
	built    string             // keys of [load.built]
	coilRail string             // of a relay
	change   func(catalog.Part) // on a copy of the part
	check    design.CheckID     // that says why
	stage    design.Stage
	least    design.Verdict // at least so bad: Unproven or Over (Tight where it is only margin)
	refused  string         // instead of a check: part of the reason for not serving at all
}

func (h *hostile) text() string {
	var b strings.Builder
	if h.pin != "" {
		b.WriteString("[pin]\n" + h.pin + "\n")
	}
	if h.air != "" {
		b.WriteString("[environment]\n" + h.air + "\n")
	}
	v, tol, _ := strings.Cut(h.rail, " ± ")
	if v == "" {
		v, tol = "12 V", "10 %"
	}
	b.WriteString("[[rail]]\nname = \"b\"\nvoltage = \"" + v + "\"\ntolerance = \"" + tol + "\"\n")
	b.WriteString("[[load]]\nname = \"x\"\n")
	if !strings.Contains(h.load, "rail =") {
		b.WriteString("rail = \"b\"\n")
	}
	b.WriteString(h.load + "\n")
	if h.built != "" {
		b.WriteString("[load.built]\ntopology = \"" + h.topology + "\"\npart = \"" + h.part + "\"\n" + h.built + "\n")
	}
	return b.String()
}

// design makes the stage, or says why none is made.
func (h *hostile) design(t *testing.T) (*design.Design, string) {
	t.Helper()
	for _, top := range All() {
		if top.ID() == h.topology {
			return h.with(t, top)
		}
	}
	t.Fatalf("no topology %s", h.topology)
	return nil, ""
}

// with makes the stage with a topology.
func (h *hostile) with(t *testing.T, top Topology) (*design.Design, string) {
	t.Helper()
	cat, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	b := benchOn(t, cat, h.text())
	var sw catalog.Part
	if h.part == catalog.PinID {
		sw = PinPart()
	} else {
		p, ok := cat.Part(h.part)
		if !ok {
			t.Fatalf("no part %s", h.part)
		}
		sw = catalog.Clone(p)
		if h.change != nil {
			h.change(sw)
		}
	}
	if why := top.Serves(b.env, b.m, sw); why != "" {
		return nil, why
	}
	given := &Given{CoilRail: h.coilRail}
	if h.built != "" {
		if why := Untaken(top, b.m.Built, b.m); why != "" {
			return nil, why
		}
		given = FromBuilt(b.m.Built)
		given.CoilRail = h.coilRail
	}
	d := new(design.Design)
	top.Design(b.env, b.m, sw, given, d)
	return d, ""
}

const (
	mos, npn, rel, dir = "n-mosfet-low", "npn-low", "relay", "direct"

	latch = "kind = \"solenoid\"\ncurrent = \"0.3 A\"\ninductance = \"50 mH\""
	heat1 = "kind = \"resistive\"\ncurrent = \"1 A\""
	heat6 = "kind = \"resistive\"\ncurrent = \"6 A\""
)

func asMOSFET(f func(*catalog.MOSFET)) func(catalog.Part) {
	return func(p catalog.Part) { f(p.(*catalog.MOSFET)) }
}

func asRelay(f func(*catalog.Relay)) func(catalog.Part) {
	return func(p catalog.Part) { f(p.(*catalog.Relay)) }
}

func asBJT(f func(*catalog.BJT)) func(catalog.Part) {
	return func(p catalog.Part) { f(p.(*catalog.BJT)) }
}

// gainAtNoVCE takes the saturation points, and the VCE of the gain at 50 mA.
var gainAtNoVCE = asBJT(func(p *catalog.BJT) {
	p.VCESat = nil
	for i := range p.HFE {
		if p.HFE[i].IC.Or(0) == 50e-3 {
			p.HFE[i].VCE = q.Opt[q.Volt]{}
		}
	}
})

var hostiles = []hostile{
	// ---- windings ----
	// L di/dt has no bound when the current is cut: the drain rises until it breaks down.
	{name: "solenoid without a clamp on a MOSFET", load: latch, topology: mos, part: "n-60v-logic-b", built: `clamp = "none"`, check: design.BlockingVoltage, least: design.Over},
	{name: "solenoid without a clamp or inductance", load: "kind = \"solenoid\"\ncurrent = \"0.3 A\"", topology: mos, part: "n-60v-logic-b", built: `clamp = "none"`, check: design.BlockingVoltage, least: design.Over},
	{name: "solenoid without a clamp on an NPN", load: latch, topology: npn, part: "npn-60v-lowsat-1a", built: `clamp = "none"`, check: design.Avalanche, least: design.Over},
	// A heater wound as a coil is a winding too.
	{name: "wound heater without a clamp", load: heat1 + "\ninductance = \"2 mH\"", topology: mos, part: "n-60v-logic-b", built: `clamp = "none"`, check: design.BlockingVoltage, least: design.Over},
	// A diode across the switch points at the rail: the drain still rises without a bound.
	{name: "diode across the switch", load: latch, topology: mos, part: "n-60v-logic-b", built: "clamp = \"d-100v-1a\"\nclamp_placement = \"switch\"", check: design.ClampVoltage, least: design.Over},
	// 12.7 V at most is under the 13.2 V of the highest rail: it conducts while the switch is off.
	{name: "Zener under the rail across the switch", load: latch, topology: mos, part: "n-60v-logic-b", built: "clamp = \"z-12v-1w3\"\nclamp_placement = \"switch\"", check: design.ClampStandoff, least: design.Over},
	// Forward biased by the rail as soon as the load is on: a short circuit.
	{name: "one-way suppressor across the load", load: latch, topology: mos, part: "n-60v-logic-b", built: `clamp = "tvs-24v-600w"`, check: design.ClampStandoff, least: design.Over},
	{name: "Zener alone across the load", load: latch, topology: mos, part: "n-60v-logic-b", built: `clamp = "z-24v-1w3"`, check: design.ClampStandoff, least: design.Over},
	{name: "clamp that nobody knows", load: latch, topology: mos, part: "n-60v-logic-b", built: `clamp = "d-unheard-of"`, check: design.BlockingVoltage, least: design.Over},
	// 59.85 V and a 56 V Zener: 120 V across a 100 V part.
	{name: "Zener too high for the switch", rail: "57 V ± 5 %", load: latch, topology: mos, part: "n-100v-logic-a", built: `clamp = "d-100v-1a+z-56v-1w3"`, check: design.BlockingVoltage, least: design.Over},
	// 3.9 A for ever in a diode that carries 1 A: without an inductance nothing says that it is short.
	{name: "small diode, inductance unknown", load: "kind = \"solenoid\"\ncurrent = \"3 A\"", topology: mos, part: "n-60v-logic-c", built: `clamp = "d-100v-1a"`, check: design.ClampCurrent, least: design.Unproven},
	// tau = L/R = 50 mH/40 ohm: a plain diode lets the current run for ms, 1 ms is asked.
	{name: "plain diode and a release of 1 ms", load: latch + "\nrelease_within = \"1 ms\"\nmechanical_release_time = \"0.5 ms\"", topology: mos, part: "n-60v-logic-b", built: `clamp = "d-100v-1a"`, check: design.ReleaseTime, least: design.Over},
	// While the load is on the diode blocks the whole rail: 59.85 V.
	{name: "40 V Schottky diode on 57 V", rail: "57 V ± 5 %", load: latch, topology: mos, part: "n-100v-logic-a", built: `clamp = "d-40v-1a-schottky"`, check: design.ClampVoltage, least: design.Over},

	// ---- gates ----
	{name: "10 V gate on a 5 V pin", load: heat1, topology: mos, part: "n-60v-10vgate-dpak", check: design.GateDrive, least: design.Unproven},
	// On-resistance from 4.5 V; the pin gives 3.1 V. Vth(max) 2.5 V is where it barely conducts.
	{name: "4.5 V gate on a 3.3 V pin", pin: `supply = "3.3 V"`, load: heat1, topology: mos, part: "n-60v-logic-b", check: design.GateDrive, least: design.Unproven},
	{name: "2.5 V gate on a 1.8 V pin", pin: `supply = "1.8 V"`, load: heat1, topology: mos, part: "n-40v-2v5-sot223", check: design.GateDrive, least: design.Unproven},
	// 24 V on a gate that bears 20 V.
	{name: "24 V output straight to a gate", pin: `supply = "24 V"`, rail: "24 V ± 5 %", load: heat1, topology: mos, part: "n-60v-logic-b", check: design.GateVoltage, least: design.Over},
	// 5.25 V x 10.5k/(10.5k + 20k) = 1.81 V on a gate that conducts from 1 V.
	{name: "idle pull-up against a 10 k pull-down", pin: "at_reset = \"pull-up\"", load: heat1, topology: mos, part: "n-60v-logic-b", built: `r_pulldown = "10k"`, check: design.StaysOff, least: design.Over},
	{name: "gate without a pull-down", load: heat1, topology: mos, part: "n-60v-logic-b", built: `r_pulldown = "none"`, check: design.StaysOff, least: design.Over},
	// Low at reset does not help while the logic has no supply.
	{name: "gate without a pull-down, pin low at reset", pin: `at_reset = "low"`, load: heat1, topology: mos, part: "n-60v-logic-b", built: `r_pulldown = "none"`, check: design.StaysOff, least: design.Over},
	// (1 uA + 0.1 uA) x 1.05 Mohm = 1.16 V.
	{name: "1 Mohm pull-down against the leakage of a pin", pin: `at_reset = "floating"`, load: heat1, topology: mos, part: "n-60v-logic-b", built: `r_pulldown = "1 Mohm"`, check: design.StaysOff, least: design.Over},
	{name: "pin high at reset", pin: `at_reset = "high"`, load: heat1, topology: mos, part: "n-60v-logic-b", check: design.StaysOff, least: design.Over},
	// 5.25 V/15 ohm = 350 mA into the gate's charge.
	{name: "gate without a resistor", load: heat1, topology: mos, part: "n-60v-logic-b", built: `r_gate = "none"`, check: design.PinCurrent, least: design.Over},
	// 0.1 uA of gate leakage x 10.5 Mohm = 1.05 V at the gate, whatever the pin does.
	{name: "gate leakage in 10 Mohm", pin: `at_reset = "low"`, load: heat1, topology: mos, part: "n-60v-logic-b", built: `r_gate = "10 Mohm"`, check: design.StaysOff, least: design.Over},
	// Charge over current: 35 nC through 1.05 Mohm at 0.7 V takes some 50 ms, at 0.5 x 13.2 V x 7.3 A = 48 W:
	// 2.6 J in a junction whose case leads off a hundredth of that.
	{name: "slow edge through 1 Mohm", load: heat6, topology: mos, part: "n-60v-logic-c", built: "r_gate = \"1 Mohm\"\nheat_sink = \"none\"", check: design.JunctionTemperature, least: design.Over},
	{name: "slow edge of unknown charge", load: heat6, topology: mos, part: "n-60v-logic-c", built: `r_gate = "100k"`,
		change: asMOSFET(func(m *catalog.MOSFET) { m.QGDMax = q.Opt[q.Coulomb]{} }), check: design.JunctionTemperature, least: design.Unproven},

	// ---- bases ----
	// (4.75 - 0.9)/10k = 0.4 mA: a gain of a thousand would be needed.
	{name: "10 k to the base of a 0.3 A stage", load: latch, topology: npn, part: "npn-60v-lowsat-1a", built: `r_base = "10k"`, check: design.BaseDrive, least: design.Over},
	// (5.25 - 0.5)/15 ohm = 0.3 A out of a 20 mA pin.
	{name: "base without a resistor", load: latch, topology: npn, part: "npn-60v-lowsat-1a", built: `r_base = "none"`, check: design.PinCurrent, least: design.Over},
	{name: "base without a bleed on a floating pin", pin: `at_reset = "floating"`, load: latch, topology: npn, part: "npn-60v-lowsat-1a", built: `r_base_emitter = "none"`, check: design.StaysOff, least: design.Over},
	// 0.6 V/10 ohm = 60 mA flow past the base.
	{name: "bleed of 10 ohm", load: latch, topology: npn, part: "npn-60v-lowsat-1a", built: `r_base_emitter = "10 ohm"`, check: design.BaseDrive, least: design.Over},
	// 1 mA x 40 = 40 mA, 500 mA is asked.
	{name: "pin of 1 mA and half an ampere", pin: "source_current_max = \"1 mA\"\nsink_current_max = \"1 mA\"", load: "kind = \"resistive\"\ncurrent = \"0.5 A\"", topology: npn, part: "npn-80v-1a5", check: design.BaseDrive, least: design.Over},
	// 15 times 0.1 A is 1.7 A in a 0.2 A transistor, out of saturation.
	{name: "lamp of 0.1 A on a 0.2 A transistor", load: "kind = \"lamp\"\ncurrent = \"0.1 A\"", topology: npn, part: "npn-40v-small", check: design.PeakCurrent, least: design.Unproven},
	{name: "lamp of 0.1 A out of saturation", load: "kind = \"lamp\"\ncurrent = \"0.1 A\"\ncold_ratio = 12", topology: npn, part: "npn-40v-small", check: design.Saturation, least: design.Unproven},
	// Storage of a microsecond and more against a half period of 25 us: a tenth is allowed.
	{name: "bipolar transistor at 50 kHz", load: "kind = \"led\"\ncurrent = \"0.3 A\"\nmode = \"pwm\"\npwm_frequency = \"50 kHz\"", topology: npn, part: "npn-80v-1a5", check: design.PWMFrequency, least: design.Unproven},
	// A gain at a VCE that nobody states bounds no on voltage: it may be 10 V.
	{name: "gain stated at no VCE", load: "kind = \"resistive\"\ncurrent = \"60 mA\"", topology: npn, part: "npn-40v-small", change: gainAtNoVCE, check: design.LoadVoltage, least: design.Unproven},
	{name: "saturation by a gain stated at no VCE", load: "kind = \"resistive\"\ncurrent = \"60 mA\"", topology: npn, part: "npn-40v-small", change: gainAtNoVCE, check: design.Saturation, least: design.Unproven},
	{name: "leakage into the base not stated", load: latch, topology: npn, part: "npn-60v-lowsat-1a",
		change: asBJT(func(p *catalog.BJT) { p.ICBOMax, p.ICEOMax = nil, nil }), check: design.StaysOff, least: design.Unproven},

	// ---- inrush, stall, charge ----
	// 13.2 V/(10 mohm - 10 %) = 1.5 kA.
	{name: "capacitor of 10 mohm", load: "kind = \"capacitive\"\ncurrent = \"0.1 A\"\ncapacitance = \"1 mF\"\nesr = \"10 mohm\"", topology: mos, part: "n-60v-logic-c", check: design.PeakCurrent, least: design.Over},
	{name: "capacitor without a stated ESR", load: "kind = \"capacitive\"\ncurrent = \"0.1 A\"\ncapacitance = \"1 mF\"", topology: mos, part: "n-60v-logic-c", check: design.PeakCurrent, least: design.Unproven},
	{name: "capacitor with an ESR of zero", load: "kind = \"capacitive\"\ncurrent = \"0.1 A\"\ncapacitance = \"1 mF\"\nesr = \"0 ohm\"", topology: mos, part: "n-60v-logic-c", check: design.PeakCurrent, least: design.Unproven},
	{name: "inrush smaller than usual and measured by nobody", load: "kind = \"electronic\"\ncurrent = \"1 A\"\ninrush_factor = 1.2", topology: mos, part: "n-60v-logic-c", check: design.PeakCurrent, least: design.Unproven},
	// No filament has a cold ratio of 1.
	{name: "filament said to have no inrush", load: "kind = \"lamp\"\ncurrent = \"1 A\"\ncold_ratio = 1", topology: mos, part: "n-60v-logic-b", check: design.PeakCurrent, least: design.Unproven},
	// 8 x 1.2 A = 9.7 A for ever in a SOT-23.
	{name: "jammed motor on a small MOSFET", load: "kind = \"motor\"\ncurrent = \"1 A\"", topology: mos, part: "n-30v-logic-smd", check: design.JunctionTemperature, least: design.Unproven},
	// The start lasts 100 ms; the jam lasts until somebody comes: (4.5 A)^2 x 62 mohm x 350 K/W is 440 K before the channel is hot.
	{name: "jam that a start's time does not end", load: "kind = \"motor\"\ncurrent = \"0.5 A\"\nstall_current = \"4 A\"\ninrush_time = \"10 ms\"", topology: mos, part: "n-30v-logic-smd", check: design.JunctionTemperature, least: design.Over},
	// Stalled for 90 ms of every 100 ms: each start is short, the mean is nine tenths of a
	// stall for ever: (2.2 A)^2 x 62 mohm x 0.9 x 350 K/W is 97 K before the channel is hot,
	// and with a loop gain of a half it ends at twice that.
	{name: "motor that does nothing but start", load: "kind = \"motor\"\ncurrent = \"0.1 A\"\nstall_current = \"2 A\"\nstall_time = \"90 ms\"\nmode = \"cycle\"\nperiod = \"100 ms\"", topology: mos, part: "n-30v-logic-smd", check: design.JunctionTemperature, least: design.Over},
	// Switching loss rises with the current: at the stall it is eight times that at the
	// running current, 0.5 x 14 V x 3.4 A x 10 us x 5 kHz = 1.2 W at 95 K/W, on top of i^2 R.
	{name: "chopped stall", load: "kind = \"motor\"\ncurrent = \"0.4 A\"\nstall_current = \"3 A\"\ninductance = \"1 mH\"\nmode = \"pwm\"\npwm_frequency = \"5 kHz\"", topology: mos, part: "n-40v-2v5-sot223", check: design.JunctionTemperature, least: design.Over},
	// 3.6 A of freewheel current for 5 s in a 1 A diode: 30 A x sqrt(10 ms/5 s) = 1.3 A.
	{name: "freewheel diode through a chopped stall", load: "kind = \"motor\"\ncurrent = \"0.4 A\"\nstall_current = \"3 A\"\nstall_time = \"5 s\"\ninductance = \"1 mH\"\nmode = \"pwm\"\npwm_frequency = \"500 Hz\"", topology: mos, part: "n-60v-logic-c", built: `clamp = "d-100v-1a"`, check: design.ClampCurrent, least: design.Over},

	// ---- heat ----
	// i^2 R at a hot 60 V part in a bare TO-220: 62 K/W x 3 W.
	{name: "TO-220 without a sink", load: heat6, topology: mos, part: "n-60v-logic-b", built: `heat_sink = "none"`, check: design.JunctionTemperature, least: design.Over},
	{name: "sink that nobody knows", load: heat6, topology: mos, part: "n-60v-logic-b", built: `heat_sink = "hs-unheard-of"`, check: design.JunctionTemperature, least: design.Over},
	{name: "small part in hot air", air: `ambient_max = "120 C"`, load: heat1, topology: mos, part: "n-30v-logic-smd", check: design.JunctionTemperature, least: design.Tight},
	{name: "air hotter than the junction may be", air: `ambient_max = "160 C"`, load: heat1, topology: mos, part: "n-30v-logic-smd", check: design.JunctionTemperature, least: design.Over},
	// On for 10 s in every 100 s, enforced: the mean is a tenth, the junction has long arrived at the full loss.
	{name: "mean of slow pwm", load: "kind = \"resistive\"\ncurrent = \"1.6 A\"\nmode = \"pwm\"\npwm_frequency = \"0.01 Hz\"\nduty = \"10 %\"\nduty_max = \"10 %\"\nduty_enforced = \"hardware\"", topology: mos, part: "n-30v-logic-smd", check: design.JunctionTemperature, least: design.Over},
	// Software that hangs holds the pin high: 10 % is not believed.
	{name: "duty that only software keeps", load: "kind = \"resistive\"\ncurrent = \"3 A\"\nmode = \"pwm\"\npwm_frequency = \"200 Hz\"\nduty = \"10 %\"", topology: mos, part: "n-30v-logic-smd", check: design.JunctionTemperature, least: design.Over},
	// Edges of microseconds through 270 ohm: 100 kHz leaves 10 us for both and their rest.
	{name: "100 kHz from a 20 mA pin", load: "kind = \"led\"\ncurrent = \"1 A\"\nmode = \"pwm\"\npwm_frequency = \"100 kHz\"", topology: mos, part: "n-60v-logic-c", check: design.PWMFrequency, least: design.Over},
	{name: "greatest junction not stated", load: heat1, topology: mos, part: "n-60v-logic-b", change: asMOSFET(func(m *catalog.MOSFET) { m.TjMax = q.Opt[q.Celsius]{} }), check: design.JunctionTemperature, least: design.Unproven},
	{name: "leakage not stated", load: heat1, topology: mos, part: "n-60v-logic-b", change: asMOSFET(func(m *catalog.MOSFET) { m.IDSSMax = nil }), check: design.Leakage, least: design.Unproven},
	{name: "charge not stated under pwm", load: "kind = \"led\"\ncurrent = \"1 A\"\nmode = \"pwm\"\npwm_frequency = \"1 kHz\"", topology: mos, part: "n-60v-logic-b", change: asMOSFET(func(m *catalog.MOSFET) { m.QGDMax = q.Opt[q.Coulomb]{} }), check: design.PWMFrequency, least: design.Unproven},
	{name: "inrush and no safe area", load: "kind = \"lamp\"\ncurrent = \"2 A\"", topology: mos, part: "n-60v-logic-c", change: asMOSFET(func(m *catalog.MOSFET) { m.SOA = nil }), check: design.SafeArea, least: design.Unproven},

	// ---- the load's side ----
	// 2 x 50 m of 0.25 mm2: 7 ohm, 9 V at 1.2 A.
	{name: "fifty metres of thin wire", load: heat1 + "\nwire_length = \"50 m\"", topology: mos, part: "n-60v-logic-b", check: design.LoadVoltage, least: design.Unproven},
	{name: "isolation asked of a transistor", load: heat1 + "\nisolation = \"basic\"", topology: mos, part: "n-60v-logic-b", check: design.Isolation, least: design.Over},
	{name: "load with one end on the chassis", load: heat1 + "\nground = \"chassis\"", topology: mos, part: "n-60v-logic-b", refused: "chassis"},
	{name: "60 V and a tolerance", rail: "60 V ± 5 %", load: heat1, topology: mos, part: "n-100v-logic-a", refused: "hazardous"},
	{name: "open-drain pin to a gate", pin: `output = "open-drain"`, load: heat1, topology: mos, part: "n-60v-logic-b", refused: "open-drain"},
	{name: "must be on without logic", load: heat1 + "\nunpowered = \"on\"", topology: mos, part: "n-60v-logic-b", refused: "must be on"},

	// ---- as built: what is stated may not be passed over ----
	// (13.2 - 1.8)/9.5 ohm: 1.2 A through a 20 mA LED.
	{name: "bare LED behind 10 ohm", load: "kind = \"led\"\nseries = \"designed\"\ncurrent = \"20 mA\"\nforward_voltage = \"2 V\"", topology: mos, part: "n-60v-logic-b", built: `r_series = "10 ohm"`, refused: "more than 1.2 times"},
	{name: "bare LED without a resistor", load: "kind = \"led\"\nseries = \"designed\"\ncurrent = \"20 mA\"\nforward_voltage = \"2 V\"", topology: npn, part: "npn-40v-small", built: `r_series = "none"`, refused: "more than 1.2 times"},
	{name: "bare LED behind 100 kohm", load: "kind = \"led\"\nseries = \"designed\"\ncurrent = \"20 mA\"\nforward_voltage = \"2 V\"", topology: mos, part: "n-60v-logic-b", built: `r_series = "100k"`, check: design.LoadVoltage, least: design.Over},
	// 10 V^2 x 20 mA = 0.2 W in a body of 0.125 W.
	{name: "LED resistor of unknown body", load: "kind = \"led\"\nseries = \"designed\"\ncurrent = \"20 mA\"\nforward_voltage = \"2 V\"", topology: mos, part: "n-60v-logic-b", built: `r_series = "510 ohm"`, check: design.ResistorPower, least: design.Over},
	{name: "heater behind 1 kohm", load: heat1, topology: mos, part: "n-60v-logic-b", built: `r_series = "1k"`, refused: "r_series"},
	{name: "pull-up to the rail at a gate", load: heat1, topology: mos, part: "n-60v-logic-b", built: `r_pullup = "1k"`, refused: "r_pullup"},
	{name: "snubber that is not worked out", load: latch, topology: mos, part: "n-60v-logic-b", built: "r_snubber = \"10 ohm\"", refused: "r_snubber"},
	{name: "base resistor at a gate", load: heat1, topology: mos, part: "n-60v-logic-b", built: `r_base = "1k"`, refused: "r_base"},
	// A 5 V suppressor across the switch of a 12 V heater conducts for ever.
	{name: "clamp on a load that is no winding", load: heat1, topology: mos, part: "n-60v-logic-b", built: "clamp = \"tvs-5v-600w\"\nclamp_placement = \"switch\"", refused: "inductance"},

	// ---- relays ----
	// The coil is a winding even where the load is none.
	{name: "coil without a diode", load: heat1, topology: rel, part: "rl-12v-10a", built: "driver = \"npn-60v-lowsat-1a\"\nclamp = \"none\"", check: design.BlockingVoltage, stage: design.StageDriver, least: design.Over},
	// (4.75 - 0.9)/105k = 37 uA for a coil of 30 mA and more.
	{name: "coil driver with 100 k to its base", load: heat1, topology: rel, part: "rl-12v-10a", built: "driver = \"npn-60v-lowsat-1a\"\nr_base = \"100k\"", check: design.BaseDrive, stage: design.StageDriver, least: design.Over},
	{name: "coil driver of any part with 100 k to its base", load: heat1, topology: rel, part: "rl-12v-10a", built: `r_base = "100k"`, check: design.BaseDrive, stage: design.StageDriver, least: design.Unproven},
	{name: "coil driver with a suppressor under its rail", load: heat1, topology: rel, part: "rl-12v-10a", coilRail: "b", built: "driver = \"npn-60v-lowsat-1a\"\nclamp = \"tvs-5v-600w\"\nclamp_placement = \"switch\"", check: design.ClampStandoff, stage: design.StageDriver, least: design.Over},
	// 5 V/62 ohm is 80 mA: four times what a pin gives.
	{name: "coil straight on a pin", load: heat1, topology: rel, part: "rl-5v-10a", built: `driver = "pin"`, check: design.PinCurrent, stage: design.StageDriver, least: design.Over},
	{name: "coil that nothing drives", load: heat1, topology: rel, part: "rl-5v-10a", built: `driver = "none"`, check: design.CoilPickup, stage: design.StageDriver, least: design.Over},
	{name: "12 V coil on 5 V", load: heat1, topology: rel, part: "rl-12v-10a", coilRail: "pin", check: design.CoilPickup, stage: design.StageDriver, least: design.Over},
	{name: "5 V coil on 12 V", load: heat1, topology: rel, part: "rl-5v-10a", coilRail: "b", check: design.CoilOvervoltage, least: design.Over},
	// Copper: (234.5 + T)/254.5 raises what a coil needs by a third at 105 C, and the rail may be 20 % down.
	{name: "hot coil on a weak rail", air: `ambient_max = "80 C"`, rail: "12 V ± 20 %", load: heat1, topology: rel, part: "rl-12v-10a", coilRail: "b", check: design.CoilPickup, stage: design.StageDriver, least: design.Over},
	{name: "relay outside its window of air", air: `ambient_max = "100 C"`, load: heat1, topology: rel, part: "rl-12v-10a", check: design.CoilTemperature, least: design.Over},
	{name: "relay in deep cold", air: `ambient_min = "-60 C"`, load: heat1, topology: rel, part: "rl-12v-10a", check: design.CoilTemperature, least: design.Over},
	// An arc on DC has no zero to go out at: 250 V AC says nothing about 12 V DC.
	{name: "contact of AC figures alone", load: heat1, topology: rel, part: "rl-12v-10a", change: asRelay(func(r *catalog.Relay) { r.NO.VDCMax, r.NO.DC = q.Opt[q.Volt]{}, nil }), check: design.ContactVoltage, least: design.Over},
	{name: "10 A contact at 57 V DC", rail: "57 V ± 5 %", load: heat6, topology: rel, part: "rl-12v-10a", check: design.ContactCurrent, least: design.Over},
	// 15 x 4 A welds a 10 A contact.
	{name: "lamp of 4 A on a 10 A contact", load: "kind = \"lamp\"\ncurrent = \"4 A\"", topology: rel, part: "rl-12v-10a", check: design.ContactInrush, least: design.Unproven},
	// 13.2 V/0.09 ohm = 147 A.
	{name: "capacitor on a contact", load: "kind = \"capacitive\"\ncurrent = \"0.5 A\"\ncapacitance = \"1 mF\"\nesr = \"0.1 ohm\"", topology: rel, part: "rl-12v-10a", check: design.ContactInrush, least: design.Over},
	{name: "jammed motor on a contact", load: "kind = \"motor\"\ncurrent = \"1 A\"\nstall_current = \"12 A\"", topology: rel, part: "rl-12v-10a", check: design.ContactCarry, least: design.Over},
	// No film is burnt away by 10 uA.
	{name: "logic level on a power contact", rail: "5 V ± 5 %", load: "kind = \"signal\"\ncurrent = \"10 uA\"\noff_current_max = \"1 uA\"", topology: rel, part: "rl-5v-16a", check: design.ContactMinimum, least: design.Unproven},
	{name: "pwm on a contact", load: "kind = \"led\"\ncurrent = \"1 A\"\nmode = \"pwm\"\npwm_frequency = \"200 Hz\"", topology: rel, part: "rl-12v-10a", check: design.ContactRate, least: design.Over},
	{name: "winding on a contact with nothing across", load: latch, topology: rel, part: "rl-12v-10a", built: `clamp = "none"`, check: design.ClampVoltage, least: design.Over},
	{name: "pin high at reset and a relay", pin: `at_reset = "high"`, load: heat1, topology: rel, part: "rl-12v-10a", check: design.StaysOff, stage: design.StageDriver, least: design.Over},

	// ---- the pin itself ----
	{name: "25 mA LED on a 20 mA pin", load: "kind = \"led\"\nseries = \"designed\"\ncurrent = \"25 mA\"\nforward_voltage = \"2 V\"\nrail = \"pin\"", topology: dir, part: "pin", check: design.PinCurrent, least: design.Over},
	// 20 mA lamp: 15 times as much when cold.
	{name: "lamp on a pin", load: "kind = \"lamp\"\ncurrent = \"20 mA\"\nrail = \"pin\"", topology: dir, part: "pin", check: design.PinCurrent, least: design.Unproven},
	{name: "motor on a pin", load: "kind = \"motor\"\ncurrent = \"15 mA\"\nrail = \"pin\"", topology: dir, part: "pin", check: design.PinCurrent, least: design.Unproven},
	// 5.25 V/20 kohm = 0.26 mA through a load that is to be off.
	{name: "pull-up at reset through the load", pin: `at_reset = "pull-up"`, load: "kind = \"resistive\"\ncurrent = \"1 mA\"\nrail = \"pin\"", topology: dir, part: "pin", check: design.StaysOff, least: design.Unproven},
	// A winding whose diode lifts a floating pin by 0.7 V and more.
	{name: "coil on a pin with a silicon diode", load: "kind = \"coil\"\ncurrent = \"10 mA\"\nrail = \"pin\"", topology: dir, part: "pin", built: `clamp = "d-100v-1a"`, check: design.PinVoltage, least: design.Over},
	{name: "coil on a pin without a diode", load: "kind = \"coil\"\ncurrent = \"10 mA\"\nrail = \"pin\"", topology: dir, part: "pin", built: `clamp = "none"`, check: design.PinVoltage, least: design.Over},
	{name: "capacitor on a pin", load: "kind = \"capacitive\"\ncurrent = \"0 A\"\ncapacitance = \"10 uF\"\nesr = \"1 ohm\"\nrail = \"pin\"", topology: dir, part: "pin", refused: "charging"},
	// 5 V into the input of a 3.3 V circuit feeds it through its input.
	{name: "5 V pin on a 3.3 V input", rail: "3.3 V ± 5 %", load: "kind = \"logic-input\"", topology: dir, part: "pin", refused: "above the input"},
	{name: "3.3 V pin on a 5 V input", pin: `supply = "3.3 V"`, rail: "5 V ± 5 %", load: "kind = \"logic-input\"\ninput_high_min = \"3.5 V\"", topology: dir, part: "pin", check: design.LoadVoltage, least: design.Over},
	{name: "1 Mohm before an input of 1 mA", rail: "5 V ± 5 %", load: "kind = \"logic-input\"", topology: dir, part: "pin", built: `r_series = "1 Mohm"`, check: design.LoadVoltage, least: design.Over},
	{name: "load of 12 V on a pin", load: heat1, topology: dir, part: "pin", refused: "own supply"},
}

func TestHostileStagesNeverFit(t *testing.T) {
	for i := range hostiles {
		h := &hostiles[i]
		t.Run(h.name, func(t *testing.T) {
			d, why := h.design(t)
			h.neverFits(t, d, why)
		})
	}
}

// hostileNeverFit makes each stage with a topology.
func hostileNeverFit(t *testing.T, cases []hostile, top Topology) {
	for i := range cases {
		h := &cases[i]
		t.Run(h.name, func(t *testing.T) {
			d, why := h.with(t, top)
			h.neverFits(t, d, why)
		})
	}
}

// neverFits holds that the stage is refused, or that the right check says why it
// does not fit.
func (h *hostile) neverFits(t *testing.T, d *design.Design, why string) {
	t.Helper()
	if h.refused != "" {
		if !strings.Contains(why, h.refused) {
			t.Fatalf("served, or refused because %q; the reason is %q", why, h.refused)
		}
		return
	}
	if d == nil {
		t.Fatalf("not served: %s", why)
	}
	if d.Verdict == design.Fits {
		t.Errorf("it is shown as fitting")
	}
	c := find(d, h.check, h.stage)
	if c == nil {
		t.Fatalf("no %v check; %s", h.check, verdicts(d))
	}
	if c.Verdict < h.least {
		t.Errorf("%v is %v, at least %v: stress %v rating %v; %s", h.check, c.Verdict, h.least, c.Stress, c.Rating, verdicts(d))
	}
}

// verdicts lists what does not fit.
func verdicts(d *design.Design) string {
	var b strings.Builder
	for i := range d.Checks {
		if c := &d.Checks[i]; c.Verdict != design.Fits {
			b.WriteString(c.ID.String() + " " + c.Verdict.String() + "; ")
		}
	}
	return b.String()
}

// TestTextbookStagesFit: a tool that refuses everything is of no use. Stages that
// every book draws.
func TestTextbookStagesFit(t *testing.T) {
	cases := []hostile{
		{name: "LED strip under pwm", load: "kind = \"led\"\ncurrent = \"2 A\"\nmode = \"pwm\"\npwm_frequency = \"1 kHz\"", topology: mos, part: "n-30v-logic-dpak"},
		{name: "solenoid with a diode", load: latch, topology: mos, part: "n-60v-logic-b", built: `clamp = "d-100v-1a"`},
		{name: "small load on a small NPN", load: "kind = \"resistive\"\ncurrent = \"30 mA\"", topology: npn, part: "npn-40v-small"},
		{name: "relay and a heater", load: heat1, topology: rel, part: "rl-5v-10a"},
		{name: "relay as everybody builds it", load: heat1, topology: rel, part: "rl-5v-10a", built: "driver = \"npn-60v-lowsat-1a\"\nr_base = \"470 ohm\"\nclamp = \"d-100v-1a\""},
		{name: "LED on a pin", load: "kind = \"led\"\nseries = \"designed\"\ncurrent = \"10 mA\"\nforward_voltage = \"2 V\"\nrail = \"pin\"", topology: dir, part: "pin"},
		{name: "LED on a pin as built", load: "kind = \"led\"\nseries = \"designed\"\ncurrent = \"10 mA\"\nforward_voltage = \"2 V\"\nrail = \"pin\"", topology: dir, part: "pin", built: `r_series = "330 ohm"`},
		{name: "servo on a pin", rail: "5 V ± 5 %", load: "kind = \"logic-input\"", topology: dir, part: "pin"},
		{name: "lamp on a big MOSFET", load: "kind = \"lamp\"\ncurrent = \"2 A\"", topology: mos, part: "n-30v-logic-dpak"},
		{name: "motor that may jam", load: "kind = \"motor\"\ncurrent = \"1 A\"", topology: mos, part: "n-30v-logic-a"},
		{name: "3.3 V pin and a 2.5 V gate", pin: `supply = "3.3 V"`, load: heat1, topology: mos, part: "n-40v-2v5-sot223"},
		{name: "48 V solenoid", rail: "48 V ± 10 %", load: "kind = \"solenoid\"\ncurrent = \"0.5 A\"\ninductance = \"50 mH\"", topology: mos, part: "n-100v-logic-a"},
		// 10 kohm do not hold the gate where a rail that rises in 1 ms brings 6 nC*0.5*2 in
		// 0.1 ms, 60 uA, through a winding: 0.6 V of the 0.9 V there are. 4.7 kohm do.
		{name: "gate resistor of 4.7 k, on-off", load: latch, topology: mos, part: "n-60v-logic-b", built: `r_gate = "4.7k"`},
		{name: "slow pwm with a cool part", load: "kind = \"resistive\"\ncurrent = \"3 A\"\nmode = \"pwm\"\npwm_frequency = \"1 Hz\"\nduty = \"10 %\"\nduty_max = \"10 %\"\nduty_enforced = \"hardware\"", topology: mos, part: "n-30v-logic-dpak"},
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
