package topology

import (
	"math"
	"slices"
	"strings"
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
)

// A load on a latching relay of two coils, worked by hand. The coil is 12 V, 360 ohm at
// 23 C, and picks up from 8.4 V; pulses of 0.36 s at the most, 600 of them an hour and one
// more, leave 0.36/6 + 0.36/10 = 0.096 of its steady heat: 55 K/W count as 5.28 K/W.
var latchVerdicts = []struct {
	name, rail, load, part string
	check                  design.CheckID
	stage                  design.Stage
	want                   design.Verdict
	trap                   bool
	why                    string
}{
	{"heater that may be either", coil12, "unpowered = \"any\"\n", "rl-12v-16a-latch2", design.ContactCurrent, design.StageSelf, design.Fits, false, "2.44 A of 0.8*16 A"},
	{"heater that must be off without the logic", coil12, "", "rl-12v-16a-latch2", design.StaysOff, design.StageSelf, design.Over, true, "it stays on where it was on"},
	{"heater that must be on without the logic", coil12, atRest, "rl-12v-16a-latch2", design.StaysOff, design.StageSelf, design.Over, true, "it stays off where it was off"},
	{"a load that does harm while it stays on", coil12, "unpowered = \"any\"\nstuck_on = \"harmful\"\n", "rl-12v-16a-latch2", design.StaysOff, design.StageSelf, design.Over, true, "a broken wire or a lost supply leaves it on"},
	{"pulses leave the coil cool", coil12, "unpowered = \"any\"\n", "rl-12v-16a-latch2", design.CoilPickup, design.StageDriver, design.Fits, false, "40 + 5.28*12.6^2/348 = 42.4 C: 9.03 V of 11.4 V less a drop"},
	{"rail of 20 %", strings.Replace(coil12, "5 %", "20 %", 1), "unpowered = \"any\"\n", "rl-12v-16a-latch2", design.CoilPickup, design.StageDriver, design.Fits, false, "43.1 C: 9.06 V of 9.6 V less a drop"},
	{"rail of 25 % that sags", strings.Replace(coil12, "5 %", "25 %", 1), "unpowered = \"any\"\n", "rl-12v-16a-latch2", design.CoilPickup, design.StageDriver, design.Over, true, "9.06 V of 9 V"},
	{"the program hangs in a pulse", coil12, "unpowered = \"any\"\n", "rl-12v-16a-latch2", design.CoilTemperature, design.StageSelf, design.Fits, false, "for ever: 40 + 55*12.6^2/(324*298/257.5) = 63.3 C of 100 C"},
	{"12 V coils on 24 V", coil24, "unpowered = \"any\"\n", "rl-12v-16a-latch2", design.CoilOvervoltage, design.StageSelf, design.Over, true, "25.2 V of 18 V"},
	{"release within 60 ms", coil12, "unpowered = \"any\"\nrelease_within = \"60 ms\"\n", "rl-12v-16a-latch2", design.ReleaseTime, design.StageSelf, design.Fits, false, "12 ms*1.36 of the reset coil and 10.6 ms of arc"},
	{"release within 20 ms", coil12, "unpowered = \"any\"\nrelease_within = \"20 ms\"\n", "rl-12v-16a-latch2", design.ReleaseTime, design.StageSelf, design.Over, true, "27 ms"},
	{"5 V coils on the pin's own supply", "", "unpowered = \"any\"\n", "rl-5v-16a-latch2", design.CoilPickup, design.StageDriver, design.Fits, false, "42.4 C: 3.5*276.9/257.5 = 3.76 V of 4.75 V less a drop"},
}

func latchDesign(t *testing.T, cat *catalog.Catalog, rail, load, part string) *design.Design {
	t.Helper()
	b := benchOn(t, cat, ssrRails+rail+"[[load]]\nname = \"x\"\n"+on24+amps(acHeater, "2 A")+load)
	sw := partOf(t, cat, part)
	if why := (relay{}).Serves(b.env, b.m, sw); why != "" {
		t.Fatal(why)
	}
	d, given := new(design.Design), &Given{}
	if rail != "" {
		given.CoilRail = "logic"
	}
	relay{}.Design(b.env, b.m, sw, given, d)
	for _, id := range Of(relay{}, sw).Owes(b.m) {
		if find(d, id, design.StageSelf) == nil && !slices.ContainsFunc(d.NA, func(n design.NotApplicable) bool { return n.ID == id }) {
			t.Errorf("owes %s", id)
		}
	}
	return d
}

func TestLatchingVerdicts(t *testing.T) {
	cat, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range latchVerdicts {
		t.Run(r.name+", "+r.check.String(), func(t *testing.T) {
			d := latchDesign(t, cat, r.rail, r.load, r.part)
			c := find(d, r.check, r.stage)
			if c == nil {
				t.Fatalf("%s was not made\n%s", r.check, show(d))
			}
			if c.Verdict != r.want {
				t.Errorf("%s, want %s (%s)\n%s", c.Verdict, r.want, r.why, show(d))
			}
			if r.trap && d.Verdict <= design.Tight {
				t.Errorf("a trap, and the design is %s", d.Verdict)
			}
		})
	}
}

// Two coils are two drivers on two pins, for a pulse: three times 12 ms, later by
// ln(1 - 9.03/11.1)/ln(1 - 0.7) = 1.39 on the lowest rail, less 0.3 V of a transistor.
func TestLatchingRelayIsDrivenTwice(t *testing.T) {
	cat, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	d := latchDesign(t, cat, coil12, "unpowered = \"any\"\n", "rl-12v-16a-latch2")
	if d.Verdict != design.Fits || d.Pins != 2 || !slices.Contains(d.Cautions, design.CautionLatching) {
		t.Errorf("%s on %d pins\n%s", d.Verdict, d.Pins, show(d))
	}
	if pulse := valueIn(d, design.TPulse); !pulse.OK || math.Abs(pulse.V-50e-3) > 0.5e-3 {
		t.Errorf("a pulse of %v", pulse)
	}
	own := partOf(t, cat, "rl-12v-16a-latch2").Base().Price.Amount
	if want := own + 2*d.Driver.Cost.Amount.V; math.Abs(d.Cost.Amount.V-want) > 1e-9 {
		t.Errorf("costs %v, want %v", d.Cost.Amount.V, want)
	}
	for _, line := range d.BOM {
		if want := map[bool]int{true: 1, false: 2}[line.Ref == "K1"]; line.Count != want {
			t.Errorf("%s of %s", line.Ref, line.Part)
		}
	}
}
