package drawing

import (
	"fmt"
	"math/rand"
	"os"
	"slices"
	"strings"
	"testing"

	"example.org/pinhoist/internal/design"
)

func el(ref string, role design.Role, kind, part string, nodes ...string) design.Element {
	return design.Element{Ref: ref, Role: role, Kind: kind, Part: part, Nodes: nodes}
}

func val(e design.Element, v float64, u design.Unit) design.Element {
	e.Value, e.Unit, e.HasValue = v, u, true
	return e
}

// mosfetStage is the first of the hand-worked stages: pull-down on the pin's
// side of the gate resistor, diode across the load.
func mosfetStage() *design.Design {
	return &design.Design{Load: "vent latch", Part: "n-60v-logic-b", Topology: "x", Elements: []design.Element{
		val(el("V1", design.RoleRail, "rail", "", "rail", "ground"), 12, design.V),
		val(el("PIN", design.RolePin, "pin", "", "pin", "ground"), 5, design.V),
		val(el("LOAD", design.RoleLoad, "solenoid", "", "rail", "switch"), 0.8, design.A),
		el("D1", design.RoleClamp, "diode", "d-100v-3a", "switch", "rail"),
		el("Q1", design.RoleSwitch, "mosfet", "n-60v-logic-b", "gate", "switch", "ground"),
		val(el("R1", design.RoleDriveResistor, "resistor", "r-0w25", "pin", "gate"), 270, design.Ohm),
		val(el("R2", design.RolePullDown, "resistor", "r-0w25", "pin", "ground"), 3900, design.Ohm),
	}}
}

// npnStage has diode and Zener in series across the load, a bleed at the base
// and a heat sink.
func npnStage() *design.Design {
	return &design.Design{Load: "valve", Part: "npn-60v-2a", Topology: "x", Elements: []design.Element{
		val(el("V1", design.RoleRail, "rail", "", "rail", "ground"), 24, design.V),
		val(el("PIN", design.RolePin, "pin", "", "pin", "ground"), 5, design.V),
		val(el("LOAD", design.RoleLoad, "solenoid", "", "rail", "switch"), 0.5, design.A),
		el("D1", design.RoleClamp, "diode", "d-100v-3a", "switch", "clamp"),
		val(el("D2", design.RoleClamp, "zener", "z-18v-1w3", "rail", "clamp"), 18, design.V),
		el("Q1", design.RoleSwitch, "bjt", "npn-60v-2a", "base", "switch", "ground"),
		val(el("R1", design.RoleDriveResistor, "resistor", "r-0w25", "pin", "base"), 232, design.Ohm),
		val(el("R2", design.RolePullDown, "resistor", "r-0w25", "base", "ground"), 1800, design.Ohm),
		el("HS1", design.RoleHeatSink, "heat-sink", "sink-20kw"),
	}}
}

func relayStage() *design.Design {
	drv := npnStage()
	drv.Elements = []design.Element{
		val(el("V1", design.RoleRail, "rail", "", "rail", "ground"), 5, design.V),
		val(el("PIN", design.RolePin, "pin", "", "pin", "ground"), 5, design.V),
		val(el("K1", design.RoleLoad, "relay-coil", "rl-5v-10a", "rail", "switch"), 70, design.Ohm),
		el("D1", design.RoleClamp, "diode", "d-75v-small", "switch", "rail"),
		el("Q1", design.RoleSwitch, "bjt", "npn-40v-small", "base", "switch", "ground"),
		val(el("R1", design.RoleDriveResistor, "resistor", "r-0w25", "pin", "base"), 390, design.Ohm),
		val(el("R2", design.RolePullDown, "resistor", "r-0w25", "base", "ground"), 10000, design.Ohm),
	}
	return &design.Design{Load: "pump", Part: "rl-5v-10a", Topology: "y", Driver: drv, Elements: []design.Element{
		val(el("V1", design.RoleRail, "rail", "", "rail", "ground"), 12, design.V),
		val(el("K1", design.RoleCoil, "relay-coil", "rl-5v-10a", "coil+", "coil-"), 70, design.Ohm),
		el("K1", design.RoleSwitch, "relay-contact", "rl-5v-10a", "rail", "load"),
		val(el("LOAD", design.RoleLoad, "motor", "", "load", "ground"), 2.2, design.A),
		el("D2", design.RoleClamp, "diode", "d-100v-3a", "ground", "load"),
	}}
}

func directStage() *design.Design {
	return &design.Design{Load: "status", Part: "pin", Topology: "x", Elements: []design.Element{
		val(el("PIN", design.RolePin, "pin", "", "pin", "ground"), 5, design.V),
		val(el("R1", design.RoleSeriesResistor, "resistor", "r-0w25", "pin", "load"), 330, design.Ohm),
		val(el("LOAD", design.RoleLoad, "led", "", "load", "ground"), 0.005, design.A),
	}}
}

// crowded has a clamp across the switch, a snubber across the load, a fuse, a
// pull-up and an indicator: everything a low side can have at once.
func crowded() *design.Design {
	d := mosfetStage()
	d.Elements = append(d.Elements[:0:0], d.Elements...)
	d.Elements[0].Nodes = []string{"supply", "ground"}
	d.Elements = append(d.Elements,
		val(el("F1", design.RoleFuse, "fuse", "fuse-2a-slow", "supply", "rail"), 2, design.A),
		el("D2", design.RoleClamp, "tvs", "tvs-24v", "switch", "ground"),
		val(el("R3", design.RoleSnubber, "resistor", "", "rail", "snub"), 100, design.Ohm),
		val(el("C1", design.RoleSnubber, "capacitor", "c-100n", "snub", "switch"), 1e-7, "F"),
		val(el("V2", design.RoleRail, "rail", "", "logic", "ground"), 5, design.V),
		val(el("R4", design.RoleDriveResistor, "resistor", "", "logic", "pin"), 2200, design.Ohm),
		el("D9", design.RoleIndicator, "led", "led-red", "nowhere", "else"),
	)
	return d
}

// pnpStage stands on the high side: emitter on the rail.
func pnpStage() *design.Design {
	return &design.Design{Load: "lamp", Elements: []design.Element{
		val(el("V1", design.RoleRail, "rail", "", "rail", "ground"), 5, design.V),
		val(el("PIN", design.RolePin, "pin", "", "pin", "ground"), 5, design.V),
		el("Q1", design.RoleSwitch, "bjt", "pnp-40v-1a", "base", "load", "rail"),
		val(el("LOAD", design.RoleLoad, "lamp", "", "load", "ground"), 0.1, design.A),
		el("D1", design.RoleClamp, "diode", "d-100v-1a", "ground", "load"),
		val(el("R1", design.RoleDriveResistor, "resistor", "", "pin", "base"), 680, design.Ohm),
		val(el("R2", design.RolePullDown, "resistor", "", "base", "rail"), 10e3, design.Ohm),
	}}
}

// boostedStage is one whose gate hangs on a PNP, which a level shifter pulls on: more than
// one picture holds.
func boostedStage() *design.Design {
	drv := &design.Design{Load: "gate", Topology: "z", Elements: []design.Element{
		val(el("R5", design.RoleDriveResistor, "resistor", "r-0w25", "shift", "driver-control"), 10e3, design.Ohm),
		val(el("R6", design.RolePullDown, "resistor", "r-0w25", "driver-control", "rail"), 10e3, design.Ohm),
		el("Q2", design.RoleShifter, "bjt", "pnp-40v-small", "driver-control", "gate-drive", "rail"),
		val(el("V1", design.RoleRail, "rail", "", "rail", "ground"), 12, design.V),
		val(el("R2", design.RoleLoad, "resistor", "", "gate-drive", "ground"), 1.2e-3, design.A),
		val(el("R3", design.RoleDriveResistor, "resistor", "r-0w25", "pin", "shift-control"), 270, design.Ohm),
		val(el("R4", design.RolePullDown, "resistor", "r-0w25", "pin", "ground"), 2700, design.Ohm),
		el("Q3", design.RoleShifter, "mosfet", "n-60v-small", "shift-control", "shift", "ground"),
		val(el("PIN", design.RolePin, "pin", "", "pin", "ground"), 5, design.V),
	}}
	return &design.Design{Load: "vent latch", Topology: "y", Driver: drv, Elements: []design.Element{
		val(el("V1", design.RoleRail, "rail", "", "rail", "ground"), 12, design.V),
		val(el("LOAD", design.RoleLoad, "solenoid", "", "rail", "switch"), 0.8, design.A),
		el("Q1", design.RoleSwitch, "mosfet", "n-60v-10vgate", "control", "switch", "ground"),
		val(el("R1", design.RoleDriveResistor, "resistor", "r-0w25", "gate-drive", "control"), 1e3, design.Ohm),
		val(el("R2", design.RolePullDown, "resistor", "r-0w25", "gate-drive", "ground"), 10e3, design.Ohm),
		el("D1", design.RoleClamp, "diode", "d-100v-3a", "switch", "rail"),
	}}
}

// Every transistor of a driven gate is drawn, and each element told once.
func TestDrivenGate(t *testing.T) {
	s := sidesOf(boostedStage())
	if len(s) != 2 || s[1].from != "gate-drive" {
		t.Fatalf("%+v", s)
	}
	seen := map[string]int{}
	for _, x := range s {
		if p := makePlan(x.withPin()); !p.holds() || p.pin < 0 && (p.under == nil || p.under.pin < 0) {
			t.Errorf("%s is not drawn whole", x.title)
		}
		for _, e := range x.elems {
			seen[e.Ref]++
		}
	}
	for ref, n := range seen {
		if n != 1 && ref != "V1" { // the supply of both
			t.Errorf("%s stands %d times", ref, n)
		}
	}
	if len(seen) != 13 {
		t.Errorf("%v", seen)
	}
}

func TestPictures(t *testing.T) {
	for _, c := range []struct {
		name string
		d    *design.Design
	}{
		{"mosfet", mosfetStage()}, {"npn", npnStage()}, {"relay", relayStage()},
		{"direct", directStage()}, {"crowded", crowded()}, {"pnp", pnpStage()}, {"boosted", boostedStage()},
	} {
		for _, ascii := range []bool{false, true} {
			file := "testdata/" + c.name + map[bool]string{false: ".txt", true: ".ascii.txt"}[ascii]
			got := Text(c.d, ascii)
			if os.Getenv("UPDATE_PICTURES") != "" {
				if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			if got != string(want) {
				t.Errorf("%s: got\n%s\nwant\n%s", file, got, want)
			}
		}
	}
}

// Every element of any list appears with its reference and value, whatever its
// role and nodes, and the picture stays within its width.
func TestEveryElementAppears(t *testing.T) {
	roles := []design.Role{design.RoleRail, design.RolePin, design.RoleLoad, design.RoleSwitch, design.RoleShifter,
		design.RoleDriveResistor, design.RolePullDown, design.RoleSeriesResistor, design.RoleClamp, design.RoleSnubber,
		design.RoleFuse, design.RoleIndicator, design.RoleHeatSink, design.RoleInsulator, design.RoleCoil, design.RoleContact}
	kinds := map[string]int{"resistor": 2, "diode": 2, "zener": 2, "tvs": 2, "bjt": 3, "mosfet": 3, "rail": 2, "load": 2,
		"pin": 1, "relay-coil": 2, "relay-contact": 2, "heat-sink": 0, "fuse": 2, "toy": 4}
	names := []string{"resistor", "diode", "zener", "tvs", "bjt", "mosfet", "rail", "load", "pin", "relay-coil",
		"relay-contact", "heat-sink", "fuse", "toy"}
	nodes := []string{"pin", "gate", "rail", "switch", "ground", "load", "clamp", "base"}
	rng := rand.New(rand.NewSource(1))
	for round := range 3000 {
		var list []design.Element
		for i := range 1 + rng.Intn(12) {
			kind := names[rng.Intn(len(names))]
			e := el(fmt.Sprintf("X%d_", i), roles[rng.Intn(len(roles))], kind, "")
			for range kinds[kind] {
				e.Nodes = append(e.Nodes, nodes[rng.Intn(len(nodes))])
			}
			if rng.Intn(2) == 0 {
				e = val(e, float64(1+rng.Intn(999)), design.Ohm)
			}
			list = append(list, e)
		}
		for _, base := range [][]design.Element{nil, mosfetStage().Elements, npnStage().Elements} {
			d := &design.Design{Elements: append(append([]design.Element(nil), base...), list...)}
			switch round % 3 {
			case 0:
				d.Driver = &design.Design{Elements: npnStage().Elements}
			case 1:
				d.Driver = boostedStage().Driver
			}
			for _, ascii := range []bool{false, true} {
				checkAll(t, d, Text(d, ascii), ascii)
			}
		}
	}
}

func checkAll(t *testing.T, d *design.Design, got string, ascii bool) {
	t.Helper()
	for i := range d.Elements {
		if want := name(&d.Elements[i]); !strings.Contains(got, want) {
			t.Fatalf("%q is not in\n%s\nof %+v", want, got, d.Elements)
		}
	}
	for _, r := range got {
		if r == '\t' || ascii && r > 126 {
			t.Fatalf("character %q in\n%s", r, got)
		}
	}
}

func TestShort(t *testing.T) {
	for _, c := range []struct {
		v    float64
		u    design.Unit
		want string
	}{
		{270, design.Ohm, "270R"}, {3900, design.Ohm, "3K9"}, {4.7, design.Ohm, "4R7"}, {10e3, design.Ohm, "10K"},
		{2.2e6, design.Ohm, "2M2"}, {0.032, design.Ohm, "32 mohm"}, {0, design.Ohm, "0R"}, {232, design.Ohm, "232R"},
		{12, design.V, "12 V"}, {0.8, design.A, "800 mA"}, {1e-7, "F", "100 nF"}, {999.99, design.Ohm, "1K"},
		{-5, design.DegC, "-5 C"},
	} {
		if got := Short(c.v, c.u); got != c.want {
			t.Errorf("Short(%v, %s) = %q, want %q", c.v, c.u, got, c.want)
		}
	}
}

// Each element of a stage is told with its ends, as it stands in the hand-worked stages.
func TestWords(t *testing.T) {
	for _, tt := range []struct {
		d    *design.Design
		want []string
	}{
		{mosfetStage(), []string{"Q1, switch, mosfet, n-60v-logic-b: gate to gate, drain to switch, source to ground.", "D1, clamp, diode, d-100v-3a: anode to switch, cathode to rail.",
			"R1, drive-resistor of 270 ohm, r-0w25: between pin and gate.", "LOAD, load vent latch, solenoid of 800 mA: between rail and switch.", "V1, rail of 12 V: plus to rail, minus to ground."}},
		{npnStage(), []string{"D2, clamp, zener of 18 V, z-18v-1w3: anode to rail, cathode to clamp.", "HS1, heat-sink, sink-20kw."}},
		{relayStage(), []string{"coil side:", "contact side:", "K1, switch, relay-contact, rl-5v-10a: between rail and load."}},
	} {
		got := Words(tt.d)
		for _, want := range tt.want {
			if !slices.Contains(got, want) {
				t.Errorf("%s: no %q in\n%s", tt.d.Part, want, strings.Join(got, "\n"))
			}
		}
		if n := len(tt.d.Elements); tt.d.Driver == nil && len(got) != n {
			t.Errorf("%s: %d lines for %d elements", tt.d.Part, len(got), n)
		}
	}
}
