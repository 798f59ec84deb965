package topology

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	q "example.org/pinhoist/internal/quantity"
)

const (
	pnpHi, pHi = "pnp-high", "p-mosfet-high"
	rail24     = "24 V ± 10 %"
	pinLoad    = "kind = \"resistive\"\nrail = \"pin\"\ncurrent = "
)

func highTopology(id string) Topology {
	if id == pnpHi {
		return pnpHigh{}
	}
	return pMOSFETHigh{}
}

// The traps of the high side. Numbers are DERIVED from the figures in the case
// and the catalogue.
var highHostiles = []hostile{
	// ---- the pin that cannot reach the rail ----
	// 13.2 V at the source and 4.75 V at the gate: 8.45 V keep it on for ever.
	{name: "P-channel on 12 V straight from a 5 V pin", load: heat1, topology: pHi, part: "p-30v-logic-so8", built: `shifter = "none"`, check: design.StaysOff, least: design.Over},
	{name: "the same with a pull-up", load: heat1, topology: pHi, part: "p-30v-logic-so8", built: "shifter = \"none\"\nr_pullup = \"10k\"", check: design.StaysOff, least: design.Over},
	{name: "10 V gate on 12 V straight from a 5 V pin", load: heat1, topology: pHi, part: "p-55v-10vgate", built: `shifter = "none"`, check: design.StaysOff, least: design.Over},
	{name: "PNP on 12 V straight from a 5 V pin", load: "kind = \"resistive\"\ncurrent = \"50 mA\"", topology: pnpHi, part: "pnp-60v-lowsat-3a-smd", built: `shifter = "none"`, check: design.StaysOff, least: design.Over},
	// 5.25 V of one supply and 4.75 V of another are not one rail.
	{name: "another 5 V straight from a 5 V pin", rail: "5 V ± 5 %", load: heat1, topology: pHi, part: "p-30v-2v5-smd", built: `shifter = "none"`, check: design.StaysOff, least: design.Over},
	{name: "PNP on another 5 V straight from the pin", rail: "5 V ± 5 %", load: "kind = \"resistive\"\ncurrent = \"50 mA\"", topology: pnpHi, part: "pnp-60v-lowsat-3a-smd", built: `shifter = "none"`, check: design.StaysOff, least: design.Over},
	// On its own supply low is on: a pin that is low at reset starts the load.
	{name: "straight from a pin that is low at reset", pin: `at_reset = "low"`, load: pinLoad + `"100 mA"`, topology: pHi, part: "p-30v-2v5-smd", built: `shifter = "none"`, check: design.StaysOff, least: design.Over},
	{name: "PNP straight from a pin that is low at reset", pin: `at_reset = "low"`, load: pinLoad + `"50 mA"`, topology: pnpHi, part: "pnp-60v-lowsat-3a-smd", built: `shifter = "none"`, check: design.StaysOff, least: design.Over},
	// 3.3 A needs some 100 mA of base current from a pin of 20 mA.
	{name: "PNP of 2 A straight from the pin", load: pinLoad + `"2 A"`, topology: pnpHi, part: "pnp-60v-lowsat-3a-smd", built: `shifter = "none"`, check: design.BaseDrive, least: design.Tight},
	{name: "open-drain pin and 12 V", pin: `output = "open-drain"`, load: heat1, topology: pHi, part: "p-30v-logic-so8", refused: "open-drain"},
	{name: "must be on without logic", load: heat1 + "\nunpowered = \"on\"", topology: pHi, part: "p-30v-logic-so8", refused: "must be on"},
	{name: "low side asked", load: heat1 + "\nside = \"low\"", topology: pHi, part: "p-30v-logic-so8", refused: "low side"},
	{name: "72 V", rail: "72 V ± 5 %", load: heat1, topology: pHi, part: "p-200v-10vgate", refused: "hazardous"},
	{name: "logic input", rail: "5 V ± 5 %", load: "kind = \"logic-input\"", topology: pnpHi, part: "pnp-40v-small", refused: "logic input"},
	// The shifter needs its pin low at reset: driven high there it is on.
	{name: "pin high at reset", pin: `at_reset = "high"`, load: heat1, topology: pHi, part: "p-30v-logic-so8", check: design.StaysOff, stage: design.StageDriver, least: design.Over},

	// ---- the gate ----
	// 26.4*10.5/(10.5 + 0.095) = 26.2 V on a gate of 20 V.
	{name: "24 V on a gate of 20 V", rail: rail24, load: heat1, topology: pHi, part: "p-40v-logic-dpak", built: "gate_clamp = \"none\"\nr_pullup = \"10k\"\nr_gate = \"100 ohm\"", check: design.GateVoltage, least: design.Over},
	{name: "24 V on a gate of 20 V by a link", rail: rail24, load: heat1, topology: pHi, part: "p-40v-logic-dpak", built: "gate_clamp = \"none\"\nr_pullup = \"10k\"\nr_gate = \"none\"", check: design.GateVoltage, least: design.Over},
	{name: "12 V on a gate of 8 V", rail: "12 V ± 10 %", load: heat1, topology: pHi, part: "p-20v-1v8-smd", built: "gate_clamp = \"none\"\nr_pullup = \"10k\"\nr_gate = \"1k\"", check: design.GateVoltage, least: design.Over},
	{name: "divider without its upper half", rail: rail24, load: heat1, topology: pHi, part: "p-40v-logic-dpak", built: "r_pullup = \"none\"\nr_gate = \"10k\"\ngate_clamp = \"none\"", check: design.GateVoltage, least: design.Over},
	{name: "gate clamp of 36 V", rail: "48 V ± 10 %", load: heat1, topology: pHi, part: "p-60v-logic-dpak", built: "gate_clamp = \"z-36v-1w3\"\nr_pullup = \"10k\"\nr_gate = \"2.2k\"", check: design.GateVoltage, least: design.Over},
	// (26.4 - 11.4)/95 = 158 mA: 2 W in half a watt.
	{name: "gate clamp that burns", rail: rail24, load: heat1, topology: pHi, part: "p-40v-logic-dpak", built: "gate_clamp = \"z-12v-0w5\"\nr_pullup = \"10k\"\nr_gate = \"100 ohm\"", check: design.GateVoltage, least: design.Over},
	{name: "a rectifier as gate clamp", rail: rail24, load: heat1, topology: pHi, part: "p-40v-logic-dpak", built: "gate_clamp = \"d-100v-1a\"\nr_pullup = \"10k\"\nr_gate = \"100 ohm\"", check: design.GateVoltage, least: design.Over},
	// 5.1 V on a gate that is on at 10 V: under its greatest threshold and a bit.
	{name: "gate clamp under the drive", rail: rail24, load: heat6, topology: pHi, part: "p-55v-10vgate", built: "gate_clamp = \"z-5v1-0w5\"", check: design.GateDrive, least: design.Over},
	// Threshold 2 to 4 V, on at 10 V: 5 V is no drive for 6 A.
	{name: "threshold taken for on", rail: "5 V ± 5 %", load: heat6, topology: pHi, part: "p-55v-10vgate", check: design.GateDrive, least: design.Over},
	{name: "3.3 V rail and a 4.5 V gate", rail: "3.3 V ± 5 %", load: heat1, topology: pHi, part: "p-30v-logic-so8", check: design.GateDrive, least: design.Unproven},
	// 12 V less 10 % less the shifter is above 10 V; less 20 % it is not.
	{name: "weak 12 V and a 10 V gate", rail: "12 V ± 20 %", load: heat6, topology: pHi, part: "p-55v-10vgate", check: design.GateDrive, least: design.Unproven},
	{name: "gate resistor as large as the pull-up", load: heat6, topology: pHi, part: "p-55v-10vgate", built: "r_pullup = \"10k\"\nr_gate = \"10k\"", check: design.GateDrive, least: design.Unproven},

	// ---- what holds it off ----
	{name: "no pull-up", load: heat1, topology: pHi, part: "p-30v-logic-so8", built: `r_pullup = "none"`, check: design.StaysOff, least: design.Over},
	// 0.1 uA + 5 uA (MOSFET, 55 C) or 5 uA (bipolar, 100 C) across 1.05 Mohm: 5.4 V.
	{name: "pull-up of 1 Mohm", load: heat1, topology: pHi, part: "p-30v-logic-so8", built: `r_pullup = "1 Mohm"`, check: design.StaysOff, least: design.Over},
	{name: "no resistor from base to emitter", load: heat1, topology: pnpHi, part: "pnp-60v-lowsat-3a-smd", built: `r_base_emitter = "none"`, check: design.StaysOff, least: design.Over},
	{name: "base-emitter resistor of 1 Mohm", load: heat1, topology: pnpHi, part: "pnp-60v-lowsat-3a-smd", built: `r_base_emitter = "1 Mohm"`, check: design.StaysOff, least: design.Over},
	// A shifter that leaks 0.5 mA when warm, 10 kohm: 5 V.
	{name: "leaky transistor and 10 kohm", load: "kind = \"resistive\"\ncurrent = \"0.5 A\"", topology: pnpHi, part: "pnp-60v-lowsat-3a-smd", built: `r_base_emitter = "10k"`,
		change: asBJT(func(p *catalog.BJT) {
			for i := range p.ICBOMax {
				p.ICBOMax[i].Max = q.Some(q.Amp(0.5e-3))
			}
		}), check: design.StaysOff, least: design.Over},
	{name: "leakage not stated", load: "kind = \"resistive\"\ncurrent = \"0.5 A\"", topology: pnpHi, part: "pnp-60v-lowsat-3a-smd", change: asBJT(func(p *catalog.BJT) { p.ICBOMax, p.ICEOMax = nil, nil }), check: design.StaysOff, least: design.Unproven},

	// ---- the level shifter ----
	// A base resistor of 100 ohm on 26.4 V draws 0.27 A from a transistor of 0.2 A.
	{name: "small shifter for a large base", rail: rail24, load: heat1, topology: pnpHi, part: "pnp-100v-3a", built: "shifter = \"npn-40v-small\"\nr_base = \"100 ohm\"", check: design.OnCurrent, stage: design.StageDriver, least: design.Over},
	{name: "40 V shifter on 48 V", rail: "48 V ± 10 %", load: heat1, topology: pHi, part: "p-100v-logic-dpak", built: `shifter = "npn-40v-small"`, check: design.BlockingVoltage, stage: design.StageDriver, least: design.Over},
	{name: "shifter of the wrong kind", load: heat1, topology: pHi, part: "p-30v-logic-so8", built: `shifter = "pnp-40v-small"`, check: design.LoadVoltage, stage: design.StageDriver, least: design.Over},
	{name: "shifter that is on at 10 V", load: heat1, topology: pHi, part: "p-30v-logic-so8", built: `shifter = "n-400v-10vgate"`, check: design.GateDrive, stage: design.StageDriver, least: design.Unproven},
	// Nobody knows how warm it gets, nor then what it leaks into the base.
	{name: "shifter whose leakage is not known", load: heat1, topology: pnpHi, part: "pnp-60v-lowsat-3a-smd", built: `shifter = "n-400v-10vgate"`, check: design.Leakage, least: design.Unproven},
	{name: "link at the base", load: heat1, topology: pnpHi, part: "pnp-60v-lowsat-3a-smd", built: `r_base = "none"`, check: design.BaseDrive, least: design.Over},
	// (26.4 - 0.4)^2/95 = 7.1 W.
	{name: "base resistor on 24 V in a small body", rail: rail24, load: heat1, topology: pnpHi, part: "pnp-60v-lowsat-3a-smd", built: `r_base = "100 ohm"`, check: design.ResistorPower, least: design.Over},

	// ---- base drive ----
	{name: "100 k to the base", load: heat1, topology: pnpHi, part: "pnp-60v-lowsat-3a-smd", built: `r_base = "100k"`, check: design.BaseDrive, least: design.Over},
	{name: "a 0.2 A part for 1 A", load: heat1, topology: pnpHi, part: "pnp-40v-small", check: design.OnCurrent, least: design.Over},
	// 15 x 1 A in a transistor of 3 A.
	{name: "lamp of 1 A on a PNP", load: "kind = \"lamp\"\ncurrent = \"1 A\"", topology: pnpHi, part: "pnp-60v-lowsat-3a-smd", check: design.PeakCurrent, least: design.Unproven},
	{name: "cold gain", air: `ambient_min = "-40 C"`, load: "kind = \"resistive\"\ncurrent = \"0.5 A\"", topology: pnpHi, part: "pnp-100v-3a", built: `r_base = "390 ohm"`, check: design.BaseDrive, least: design.Tight},

	// ---- turning off ----
	{name: "winding without a clamp", load: latch + "\n", topology: pHi, part: "p-60v-logic-sot223", built: `clamp = "none"`, check: design.BlockingVoltage, least: design.Over},
	{name: "winding without a clamp on a PNP", load: latch, topology: pnpHi, part: "pnp-60v-lowsat-3a-smd", built: `clamp = "none"`, check: design.BlockingVoltage, least: design.Over},
	{name: "diode across the switch", load: latch, topology: pHi, part: "p-60v-logic-sot223", built: "clamp = \"d-100v-1a\"\nclamp_placement = \"switch\"", check: design.ClampVoltage, least: design.Over},
	{name: "suppressor under the rail across the switch", load: latch, topology: pHi, part: "p-60v-logic-sot223", built: "clamp = \"tvs-5v-600w\"\nclamp_placement = \"switch\"", check: design.ClampStandoff, least: design.Over},
	{name: "36 V part for 36 V and its clamp", rail: "36 V ± 10 %", load: latch, topology: pHi, part: "p-40v-logic-dpak", check: design.BlockingVoltage, least: design.Tight},
	// 80 nC through 47 kohm at 1 V: 4 ms; 20 kHz leaves 5 us for both edges.
	{name: "slow pull-up under pwm", load: "kind = \"led\"\ncurrent = \"1 A\"\nmode = \"pwm\"\npwm_frequency = \"20 kHz\"", topology: pHi, part: "p-40v-logic-dpak", built: "r_pullup = \"47k\"\nr_gate = \"4.7k\"", check: design.PWMFrequency, least: design.Over},
	{name: "slow pull-up at 500 Hz", load: "kind = \"led\"\ncurrent = \"3 A\"\nmode = \"pwm\"\npwm_frequency = \"500 Hz\"", topology: pHi, part: "p-30v-logic-so8", built: "r_pullup = \"10k\"\nr_gate = \"1k\"", check: design.PWMFrequency, least: design.Over},
	{name: "slow bleed under pwm", load: "kind = \"resistive\"\ncurrent = \"0.4 A\"\nmode = \"pwm\"\npwm_frequency = \"10 kHz\"", topology: pnpHi, part: "pnp-60v-lowsat-3a-smd", built: `r_base_emitter = "2.2k"`, check: design.PWMFrequency, least: design.Over},
	{name: "charge not stated under pwm", load: "kind = \"led\"\ncurrent = \"1 A\"\nmode = \"pwm\"\npwm_frequency = \"200 Hz\"", topology: pHi, part: "p-40v-logic-dpak", change: asMOSFET(func(m *catalog.MOSFET) { m.QGDMax = q.Opt[q.Coulomb]{} }), check: design.PWMFrequency, least: design.Unproven},
	{name: "whole charge not stated under pwm", load: "kind = \"led\"\ncurrent = \"1 A\"\nmode = \"pwm\"\npwm_frequency = \"200 Hz\"", topology: pHi, part: "p-40v-logic-dpak", change: asMOSFET(func(m *catalog.MOSFET) { m.QGMax = nil }), check: design.PWMFrequency, least: design.Unproven},

	// ---- heat ----
	// 0.15 A^2 x 10 ohm x 1.7 x 350 K/W.
	{name: "small P-channel with too much", load: "kind = \"resistive\"\ncurrent = \"0.15 A\"", topology: pHi, part: "p-50v-small-smd", check: design.JunctionTemperature, least: design.Tight},
	{name: "jammed motor on a small P-channel", load: "kind = \"motor\"\ncurrent = \"0.5 A\"\nstall_current = \"4 A\"", topology: pHi, part: "p-60v-logic-smd", check: design.JunctionTemperature, least: design.Over},
	{name: "6 A in a tiny P-channel", load: heat6, topology: pHi, part: "p-30v-2v5-smd", check: design.JunctionTemperature, least: design.Over},
	{name: "isolation asked", load: heat1 + "\nisolation = \"basic\"", topology: pHi, part: "p-30v-logic-so8", check: design.Isolation, least: design.Over},
	{name: "stated pull-down", load: heat1, topology: pHi, part: "p-30v-logic-so8", built: `r_pulldown = "10k"`, refused: "r_pulldown"},
	{name: "stated gate resistor at a base", load: heat1, topology: pnpHi, part: "pnp-60v-lowsat-3a-smd", built: `r_gate = "100 ohm"`, refused: "r_gate"},
}

func TestHostileHighSidesNeverFit(t *testing.T) {
	for i := range highHostiles {
		h := &highHostiles[i]
		t.Run(h.name, func(t *testing.T) {
			d, why := h.with(t, highTopology(h.topology))
			h.neverFits(t, d, why)
		})
	}
}

// High sides that every book draws.
func TestTextbookHighSidesFit(t *testing.T) {
	cases := []hostile{
		{name: "heater", load: heat1, topology: pHi, part: "p-30v-logic-so8"},
		{name: "heater with one end on the chassis", load: heat1 + "\nground = \"chassis\"", topology: pHi, part: "p-30v-logic-so8"},
		{name: "as everybody builds it", load: heat1, topology: pHi, part: "p-30v-logic-so8", built: "shifter = \"npn-45v-100ma\"\nr_pullup = \"4.7k\"\nr_gate = \"1k\""},
		{name: "24 V heater", rail: rail24, load: heat1, topology: pHi, part: "p-40v-logic-dpak"},
		{name: "24 V and a 10 V gate", rail: rail24, load: heat6, topology: pHi, part: "p-55v-10vgate"},
		{name: "48 V and a 10 V gate", rail: "48 V ± 10 %", load: heat1, topology: pHi, part: "p-100v-10vgate"},
		{name: "a rail that swings by half, with a Zener", rail: "24 V ± 40 %", load: heat1, topology: pHi, part: "p-55v-10vgate"},
		{name: "solenoid", load: latch, topology: pHi, part: "p-60v-logic-sot223"},
		{name: "solenoid with a diode as built", load: latch, topology: pHi, part: "p-60v-logic-sot223", built: `clamp = "d-100v-1a"`},
		{name: "12 V from a 3.3 V pin", pin: `supply = "3.3 V"`, load: heat1, topology: pHi, part: "p-30v-logic-so8"},
		{name: "5 V and a 2.5 V gate", rail: "5 V ± 5 %", load: heat1, topology: pHi, part: "p-30v-2v5-smd"},
		{name: "straight from the pin", load: pinLoad + `"0.2 A"`, topology: pHi, part: "p-30v-2v5-smd", built: `shifter = "none"`},
		{name: "straight from an open-drain pin", pin: `output = "open-drain"`, load: pinLoad + `"0.2 A"`, topology: pHi, part: "p-30v-2v5-smd"},
		{name: "LED strip under pwm", load: "kind = \"led\"\ncurrent = \"1 A\"\nmode = \"pwm\"\npwm_frequency = \"200 Hz\"", topology: pHi, part: "p-30v-logic-so8"},
		{name: "lamp", load: "kind = \"lamp\"\ncurrent = \"1 A\"", topology: pHi, part: "p-30v-logic-dpak"},
		{name: "heater on a PNP", load: "kind = \"resistive\"\ncurrent = \"0.5 A\"", topology: pnpHi, part: "pnp-60v-lowsat-3a-smd"},
		{name: "solenoid on a PNP", load: latch, topology: pnpHi, part: "pnp-60v-lowsat-3a-smd"},
		{name: "small load on a small PNP", load: "kind = \"resistive\"\ncurrent = \"30 mA\"", topology: pnpHi, part: "pnp-40v-small"},
		{name: "small load on a small PNP as built", load: "kind = \"resistive\"\ncurrent = \"30 mA\"", topology: pnpHi, part: "pnp-40v-small", built: "shifter = \"npn-45v-100ma\"\nr_base = \"4.7k\"\nr_base_emitter = \"10k\""},
		{name: "24 V relay coil on a PNP", rail: rail24, load: "kind = \"coil\"\ncurrent = \"30 mA\"\ninductance = \"1 H\"\nmust_operate = \"70 %\"\nr_th_coil = \"60 K/W\"", topology: pnpHi, part: "pnp-60v-600ma"},
		{name: "PNP straight from the pin", load: pinLoad + `"50 mA"`, topology: pnpHi, part: "pnp-60v-lowsat-1a", built: `shifter = "none"`},
		{name: "LED dimmed by a PNP", load: "kind = \"led\"\ncurrent = \"20 mA\"\nforward_voltage = \"6 V\"\nseries = \"inside\"\nmode = \"pwm\"\npwm_frequency = \"200 Hz\"", topology: pnpHi, part: "pnp-40v-small"},
	}
	for i := range cases {
		h := &cases[i]
		t.Run(h.name, func(t *testing.T) {
			d, why := h.with(t, highTopology(h.topology))
			if d == nil {
				t.Fatalf("not served: %s", why)
			}
			if d.Verdict != design.Fits {
				t.Errorf("%v: %s", d.Verdict, verdicts(d))
			}
		})
	}
}

// highDesign is a stage as it is designed anew from a Given.
func highDesign(top Topology, b bench, sw catalog.Part, given *Given) *design.Design {
	d := new(design.Design)
	top.Design(b.env, b.m, sw, given, d)
	return d
}

// What a high side chose builds the same stage again: level shifter, gate clamp
// and every resistor are kept.
func TestFrozenHighSides(t *testing.T) {
	const pwm = "\nmode = \"pwm\"\npwm_frequency = \"500 Hz\""
	cat, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	for _, h := range []hostile{
		{load: heat1, topology: pHi, part: "p-30v-logic-so8"},
		{rail: "24 V ± 40 %", load: heat1, topology: pHi, part: "p-55v-10vgate"},
		{load: latch, topology: pHi, part: "p-60v-logic-sot223"},
		{load: "kind = \"led\"\ncurrent = \"1 A\"" + pwm, topology: pHi, part: "p-30v-logic-so8"},
		{load: pinLoad + `"0.2 A"`, topology: pHi, part: "p-30v-2v5-smd"},
		{load: "kind = \"resistive\"\ncurrent = \"0.5 A\"", topology: pnpHi, part: "pnp-60v-lowsat-3a-smd"},
		{load: latch + pwm, topology: pnpHi, part: "pnp-60v-lowsat-3a-smd"},
		{load: pinLoad + `"50 mA"`, topology: pnpHi, part: "pnp-60v-lowsat-1a"},
		{load: "kind = \"led\"\nseries = \"designed\"\ncurrent = \"20 mA\"\nforward_voltage = \"2 V\"", topology: pnpHi, part: "pnp-40v-small"},
	} {
		b := benchOn(t, cat, h.text())
		sw, _ := cat.Part(h.part)
		top := highTopology(h.topology)
		d := highDesign(top, b, sw, &Given{})
		again := highDesign(top, b, sw, Freeze(d))
		if len(again.Checks) != len(d.Checks) || again.Cost.Amount != d.Cost.Amount || again.Choice.Shifter != d.Choice.Shifter || again.Choice.GateClamp != d.Choice.GateClamp {
			t.Errorf("%s: another stage\n%s\n%s", d.Key(), show(d), show(again))
			continue
		}
		for i := range d.Checks {
			x, y := &d.Checks[i], &again.Checks[i]
			if x.ID != y.ID || x.Verdict != y.Verdict || x.Stress != y.Stress || x.Rating != y.Rating {
				t.Errorf("%s: %s %s was %v of %v, is %v of %v", d.Key(), x.Stage, x.ID, x.Stress, x.Rating, y.Stress, y.Rating)
			}
		}
		brief := *b.env
		brief.Brief = true
		short := new(design.Design)
		top.Design(&brief, b.m, sw, &Given{}, short)
		if short.Verdict != d.Verdict || short.Headroom != d.Headroom || short.Cost.Amount != d.Cost.Amount || len(short.BOM) != len(d.BOM) {
			t.Errorf("%s: in short %v %v %v, in full %v %v %v", d.Key(), short.Verdict, short.Headroom, short.Cost.Amount, d.Verdict, d.Headroom, d.Cost.Amount)
		}
	}
}

// Figures far from what anybody builds give a verdict, never a number that is none.
func TestStrangeHighSides(t *testing.T) {
	cat, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	r := rand.New(rand.NewPCG(1, 7))
	pick := func(of ...string) string { return of[r.IntN(len(of))] }
	decades := func(lo, hi float64) float64 { return lo * math.Pow(hi/lo, r.Float64()) }
	var parts []catalog.Part
	for _, sw := range cat.Switches() {
		for _, top := range []Topology{pnpHigh{}, pMOSFETHigh{}} {
			b := benchOn(t, cat, "[[load]]\nname = \"x\"\nkind = \"resistive\"\nsupply = \"12 V\"\ncurrent = \"1 A\"\n")
			if top.Serves(b.env, b.m, sw) == "" {
				parts = append(parts, sw)
			}
		}
		if testing.Short() && len(parts) > 4 {
			break
		}
	}
	if len(parts) == 0 {
		t.Fatal("no part to try")
	}
	designs := 0
	for range 300 {
		rail := "rail = \"b\"\n"
		if r.IntN(5) == 0 {
			rail = "rail = \"pin\"\n"
		}
		text := fmt.Sprintf("[pin]\nsupply = \"%g V\"\nsupply_tolerance = \"%s\"\nsource_current_max = \"%g A\"\nat_reset = \"%s\"\nleakage_max = \"%g A\"\n",
			decades(0.9, 30), pick("0 %", "5 %", "50 %", "99 %"), decades(1e-6, 1), pick("unknown", "floating", "pull-up", "low", "high"), decades(1e-12, 1e-3)) +
			fmt.Sprintf("[[rail]]\nname = \"b\"\nvoltage = \"%g V\"\ntolerance = \"%s\"\n", decades(0.5, 59), pick("0 %", "10 %", "60 %", "100 %")) +
			"[[load]]\nname = \"x\"\nkind = \"" + pick("resistive", "solenoid", "motor", "lamp", "electronic", "led") + "\"\n" + rail +
			fmt.Sprintf("current = \"%g A\"\n", decades(1e-6, 1e3))
		if r.IntN(3) == 0 {
			text += fmt.Sprintf("mode = \"pwm\"\npwm_frequency = \"%g Hz\"\n", decades(0.01, 1e6))
		}
		b, ok := strangeBench(t, cat, text)
		if !ok {
			continue
		}
		for range 3 {
			sw := parts[r.IntN(len(parts))]
			for _, top := range []Topology{pnpHigh{}, pMOSFETHigh{}} {
				if top.Serves(b.env, b.m, sw) != "" {
					continue
				}
				designs++
				given := &Given{}
				if r.IntN(3) == 0 {
					given.RPullup = GivenResistor{Said: true, Ohms: decades(1e-3, 1e9), Tol: 0.05}
					given.RGate = GivenResistor{Said: true, None: r.IntN(3) == 0, Ohms: decades(1e-3, 1e9)}
					given.RBase = GivenResistor{Said: true, None: r.IntN(3) == 0, Ohms: decades(1e-3, 1e9), Tol: 0.2}
					given.RBaseEmitter = GivenResistor{Said: true, None: r.IntN(3) == 0, Ohms: decades(1e-3, 1e9), Tol: 0.2}
				}
				d := highDesign(top, b, sw, given)
				allNumbers(t, d, text)
			}
		}
	}
	if designs < 200 {
		t.Errorf("only %d designs", designs)
	}
}

// A high side hangs on the load's own rail: what drives it and what it carries move
// together, over the steps of its figures. No rail within the spread is worse than what
// the whole spread is told.
func TestHighSidesBetweenTheEndsOfTheirRail(t *testing.T) {
	cat, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	heater := func(rail, ohms string) string {
		return "[environment]\nambient_min = \"0 C\"\n[[rail]]\nname = \"r\"\n" + rail + "[[load]]\nname = \"h\"\nkind = \"resistive\"\nrail = \"r\"\ntolerance = \"0 %\"\nresistance = \"" + ohms + " ohm\"\n"
	}
	fits := 0
	for _, sw := range cat.Switches() {
		top, amps := Topology(nil), []q.Opt[q.Amp]{}
		switch p := sw.(type) { // a heater whose current passes a stated one
		case *catalog.BJT:
			for k := range p.VCESat {
				amps = append(amps, p.VCESat[k].IC)
			}
			top = pnpHigh{}
		case *catalog.MOSFET:
			for k := range p.RDSOn {
				amps = append(amps, q.Some(p.RDSOn[k].ID.Or(1)/4))
			}
			top = pMOSFETHigh{}
		}
		for _, amp := range amps {
			ohms := strconv.FormatFloat(12/float64(amp.Or(1)), 'g', 6, 64)
			if b := benchOn(t, cat, heater("voltage = \"12 V\"\n", ohms)); top.Serves(b.env, b.m, sw) != "" {
				continue
			}
			b := benchOn(t, cat, heater("voltage = \"12 V\"\ntolerance = \"18 %\"\n", ohms))
			as := Freeze(highDesign(top, b, sw, &Given{}))
			whole := highDesign(top, b, sw, as)
			if whole.Verdict == design.Fits {
				fits++
			}
			for k := range 37 {
				v := 12 * (0.82 + 0.01*float64(k))
				at := highDesign(top, benchOn(t, cat, heater(fmt.Sprintf("voltage = \"%.9g V\"\ntolerance = \"0 %%\"\n", v), ohms)), sw, as)
				for _, id := range []design.CheckID{design.BaseDrive, design.GateDrive, design.Saturation, design.JunctionTemperature, design.LoadVoltage} {
					c, w := find(at, id, design.StageSelf), find(whole, id, design.StageSelf)
					if c == nil && w == nil {
						continue
					}
					worse := w.Verdict <= design.Tight && c.Verdict > w.Verdict
					switch known := c.Stress.OK && w.Stress.OK && c.Rating.OK && w.Rating.OK; {
					case !known || id == design.Saturation:
					case id == design.JunctionTemperature:
						worse = worse || c.Stress.V > w.Stress.V+0.05
					case id == design.LoadVoltage:
						worse = worse || c.Rating.V < w.Rating.V*(1-1e-6)
					default:
						worse = worse || c.Headroom.V < w.Headroom.V*(1-1e-6)
					}
					if worse {
						t.Errorf("%s, %s ohm at %.4g V: %s is %s, stress %v of %v; over the whole spread %s, %v of %v", sw.Base().ID, ohms, v, c.ID, c.Verdict, c.Stress, c.Rating, w.Verdict, w.Stress, w.Rating)
					}
				}
			}
		}
	}
	if fits < 5 {
		t.Errorf("only %d stages fit", fits)
	}
}
