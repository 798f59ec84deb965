package topology

import (
	"math"
	"slices"
	"strings"
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	q "example.org/pinhoist/internal/quantity"
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
	{"one coil on a bridge", coil12, "unpowered = \"any\"\n", "rl-12v-16a-latch1", design.CoilPickup, design.StageDriver, design.Fits, false, "9.03 V of 11.4 V less 0.63 V of two switches"},
	{"one coil on a rail of 21 %, which takes better switches", strings.Replace(coil12, "5 %", "21 %", 1), "unpowered = \"any\"\n", "rl-12v-16a-latch1", design.CoilPickup, design.StageDriver, design.Fits, false, "9.06 V of 9.48 V less 10 ohm of the P-channel one, which 32 mA heat little"},
	{"one coil on a rail of 25 % that sags", strings.Replace(coil12, "5 %", "25 %", 1), "unpowered = \"any\"\n", "rl-12v-16a-latch1", design.CoilPickup, design.StageDriver, design.Over, true, "9.06 V of 9 V"},
	{"one coil, a load that must be off without the logic", coil12, "", "rl-12v-16a-latch1", design.StaysOff, design.StageSelf, design.Over, true, "it stays on where it was on"},
	{"one coil, the bridge's gates at reset", coil12, "unpowered = \"any\"\n", "rl-12v-16a-latch1", design.StaysOff, design.StageDriver, design.Fits, false, "a pull-up of 20 kohm against 3.9 kohm: 0.86 V, and 44 mV of the gate-drain charge"},
	{"one coil, both switches of a side", coil12, "unpowered = \"any\"\n", "rl-12v-16a-latch1", design.ShootThrough, design.StageDriver, design.Fits, false, "17.2 us of 10.6 kohm x 9 nF x 0.19"},
	{"12 V coil of one on 24 V", coil24, "unpowered = \"any\"\n", "rl-12v-16a-latch1", design.CoilOvervoltage, design.StageSelf, design.Over, true, "25.2 V of 18 V"},
	{"one coil, release within 20 ms", coil12, "unpowered = \"any\"\nrelease_within = \"20 ms\"\n", "rl-12v-16a-latch1", design.ReleaseTime, design.StageSelf, design.Over, true, "12 ms*ln(1 - 9.03/10.77)/ln(1 - 0.7) = 18.2 ms, and 10.6 ms of arc"},
	{"one 5 V coil on the pin's own supply", "", "unpowered = \"any\"\n", "rl-5v-16a-latch1", design.CoilPickup, design.StageDriver, design.Fits, false, "3.76 V of 4.75 V less two switches"},
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

// One coil is one bridge on two pins, whose eight transistors are bought once, and what
// it drops counts: the coil is later than with a transistor alone, three times
// 12 ms*ln(1 - 9.03/10.77)/ln(1 - 0.7) = 54.5 ms.
func TestOneCoilIsDrivenBothWays(t *testing.T) {
	cat, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	d := latchDesign(t, cat, coil12, "unpowered = \"any\"\n", "rl-12v-16a-latch1")
	if d.Verdict != design.Fits || d.Pins != 2 || d.Driver == nil || d.Driver.Topology != (bridge{}).ID() {
		t.Fatalf("%s on %d pins\n%s", d.Verdict, d.Pins, show(d))
	}
	if pulse := valueIn(d, design.TPulse); !pulse.OK || math.Abs(pulse.V-54.5e-3) > 0.5e-3 {
		t.Errorf("a pulse of %v", pulse)
	}
	own := partOf(t, cat, "rl-12v-16a-latch1").Base().Price.Amount
	if want := own + d.Driver.Cost.Amount.V; math.Abs(d.Cost.Amount.V-want) > 1e-9 {
		t.Errorf("costs %v, want %v", d.Cost.Amount.V, want)
	}
	seen := map[string]bool{}
	transistors := 0
	for _, line := range d.BOM {
		if seen[line.Ref] || line.Count != 1 {
			t.Errorf("%d of %s", line.Count, line.Ref)
		}
		if seen[line.Ref] = true; strings.HasPrefix(line.Ref, "Q") {
			transistors++
		}
	}
	if transistors != 8 {
		t.Errorf("%d transistors", transistors)
	}
	for _, id := range d.Cautions {
		if id == design.CautionCoasts {
			t.Error("a coil does not coast")
		}
	}
}

// A bridge takes from the coil's rail what its level shifters take beside the coil: the
// rail that feeds the load too has to give all of it.
func TestOneCoilOnTheRailOfItsLoad(t *testing.T) {
	cat, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	b := benchOn(t, cat, coil12+"[[load]]\nname = \"x\"\nrail = \"logic\"\nunpowered = \"any\"\n"+amps(dcHeat, "1 A"))
	d := new(design.Design)
	relay{}.Design(b.env, b.m, partOf(t, cat, "rl-12v-16a-latch1"), &Given{}, d)
	own, driver := find(d, design.RailCurrent, design.StageSelf), find(d, design.RailCurrent, design.StageDriver)
	if own == nil || driver == nil || math.Abs(own.Stress.V-b.m.IMax-driver.Stress.V) > 1e-6 || driver.Stress.V <= valueIn(d.Driver, design.IOn).V {
		t.Errorf("of the rail:\n%s", show(d))
	}
	sum := 0.0
	for _, x := range d.Draws {
		if x.Rail == "logic" {
			sum += x.A
		}
	}
	if own != nil && math.Abs(sum-own.Stress.V) > 1e-6 {
		t.Errorf("%v A with all loads together, %v alone", sum, own.Stress.V)
	}
}

// What a coil holds goes back into its rail, through the diodes of the bridge. 5 V at 5 %
// on 50.7 ohm at 0 C and 0.56 H: 2.99 mJ, which lift 2.1 mF from 5.25 V by 5 %.
func TestOneCoilGivesItsEnergyBack(t *testing.T) {
	cat, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	d := latchDesign(t, cat, "", "unpowered = \"any\"\n", "rl-5v-16a-latch1")
	c, e := valueIn(d.Driver, design.CRail), valueIn(d.Driver, design.ETurnoff)
	if !c.OK || math.Abs(0.5*c.V*5.25*5.25*(1.05*1.05-1)-e.V) > 1e-9 || math.Abs(c.V-2.1e-3) > 0.1e-3 {
		t.Errorf("%v for %v\n%s", c, e, show(d))
	}
}

// A latching relay may state no voltage that lets go: its magnet holds it, and what leaks
// through a bridge moves it no more than a tenth of its current would.
func TestLatchingRelayLetsGoAtNoVoltage(t *testing.T) {
	cat, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	for _, id := range []string{"rl-12v-16a-latch1", "rl-12v-16a-latch2"} {
		b := benchOn(t, cat, ssrRails+coil12+"[[load]]\nname = \"x\"\n"+on24+amps(acHeater, "2 A")+"unpowered = \"any\"\n")
		part := *partOf(t, cat, id).(*catalog.Relay)
		part.MustRelease = q.None[q.Ratio]()
		d := new(design.Design)
		relay{}.Design(b.env, b.m, &part, &Given{}, d)
		c := find(d, design.Leakage, design.StageDriver)
		if d.Verdict != design.Fits || c == nil || math.Abs(c.Rating.V-0.1*12/355.8) > 1e-5 {
			t.Errorf("%s\n%s", id, show(d))
		}
	}
}

// How hot pulses leave a coil: 0.36 s of them at 600 an hour and one more are 0.096 of its
// steady heat, two of a stated 0.3 s 0.136; without a time to operate it may be all of it.
// What holds the duty of the load says nothing of them.
func TestHeatOfPulses(t *testing.T) {
	cat, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range []struct {
		name, load string
		bend       func(*catalog.Relay)
		share      float64
	}{
		{"as stated", "", func(*catalog.Relay) {}, 0.36/6 + 0.036},
		{"long pulses", "", func(r *catalog.Relay) { r.PulseMin = q.Some(q.Second(0.3)) }, 0.6/6 + 0.036},
		{"no time to operate", "", func(r *catalog.Relay) { r.TimeMax = nil }, 1},
		{"the load's duty kept by hardware", "mode = \"cycle\"\nduty = \"10 %\"\nperiod = \"6 s\"\nduty_enforced = \"hardware\"\n", func(*catalog.Relay) {}, 0.36/6 + 0.036},
	} {
		t.Run(r.name, func(t *testing.T) {
			b := benchOn(t, cat, ssrRails+coil12+"[[load]]\nname = \"x\"\n"+on24+amps(acHeater, "2 A")+"unpowered = \"any\"\n"+r.load)
			part := *partOf(t, cat, "rl-12v-16a-latch1").(*catalog.Relay)
			r.bend(&part)
			s := relayStage{stage: begin(b.env, b.m, &Given{}, new(design.Design), "", &part.Common), r: &part, latching: true}
			if got := s.pulseShare(); math.Abs(got-r.share) > 1e-9 {
				t.Errorf("%v of its heat, want %v", got, r.share)
			}
			if coil := s.coilLoad(&b.env.Common[0], design.Number{}); coil.DutyEnforced || coil.DutyMax != 1 {
				t.Errorf("its driver is judged at %v, enforced %v", coil.DutyMax, coil.DutyEnforced)
			}
		})
	}
}

// A snubber across the contact has a name beside the bridge's capacitors.
func TestOneCoilBesideASnubber(t *testing.T) {
	cat, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	b := benchOn(t, cat, ssrRails+coil12+"[[load]]\nname = \"x\"\n"+on24+amps(acCoil, "0.2 A")+"unpowered = \"any\"\n")
	d := new(design.Design)
	relay{}.Design(b.env, b.m, partOf(t, cat, "rl-12v-16a-latch1"), &Given{}, d)
	names := map[string]int{}
	for _, line := range d.BOM {
		names[line.Ref]++
	}
	if names["C1"] != 1 || names["C11"] != 1 {
		t.Errorf("%v\n%s", names, show(d))
	}
}

// What stands across a coil that is reversed shorts one of its directions, and a pin that
// cannot lift a gate drives no bridge.
func TestOneCoilRefusals(t *testing.T) {
	cat, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	b := benchOn(t, cat, ssrRails+coil12+"[[load]]\nname = \"x\"\n"+on24+amps(acHeater, "2 A")+"unpowered = \"any\"\n")
	d := new(design.Design)
	relay{}.Design(b.env, b.m, partOf(t, cat, "rl-12v-16a-latch1"), &Given{Stated: true, Clamp: GivenClamp{Said: true, Parts: []string{"d-1000v-1a"}}}, d)
	if c := find(d, design.ClampCurrent, design.StageDriver); c == nil || c.Verdict != design.Over || d.Verdict != design.Over {
		t.Errorf("a diode across the coil\n%s", show(d))
	}
	// A Schottky diode may stand across each switch, and shorts the coil as any other does.
	for _, at := range []bool{false, true} {
		relay{}.Design(b.env, b.m, partOf(t, cat, "rl-12v-16a-latch1"), &Given{Stated: true, Clamp: GivenClamp{Said: true, Parts: []string{"d-100v-1a-schottky-smd"}, AtSwitch: at}}, d)
		if c := find(d, design.ClampCurrent, design.StageDriver); c == nil || (c.Verdict == design.Fits) != at || (d.Verdict == design.Fits) != at {
			t.Errorf("a Schottky diode, across the switches %v\n%s", at, show(d))
		} else if at && !d.Driver.Choice.AtSwitch {
			t.Error("it is told to be across the coil")
		}
	}
	inside := *partOf(t, cat, "rl-12v-16a-latch1").(*catalog.Relay)
	inside.CoilDiode = true
	if why := (relay{}).Serves(b.env, b.m, &inside); !strings.Contains(why, "shorts") {
		t.Errorf("with a diode inside the coil: %q", why)
	}
	b.env.Pin.OpenDrain = true
	if why := (relay{}).Serves(b.env, b.m, partOf(t, cat, "rl-12v-16a-latch1")); !strings.Contains(why, "open-drain") {
		t.Errorf("on an open-drain pin: %q", why)
	}
}

// The pin's own supply would get back what the coil of a bridge holds,
// 0.56 H*(5.25 V/51.9 ohm)^2/2 = 2.9 mJ at 0 C, and nobody said what takes it there.
func TestOneCoilOnThePinsSupply(t *testing.T) {
	cat, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	d := latchDesign(t, cat, "", "unpowered = \"any\"\n", "rl-5v-16a-latch1")
	c := find(d, design.ClampEnergy, design.StageDriver)
	if c == nil || c.Verdict != design.Unproven || c.Because == "" || math.Abs(c.Stress.V-2.9e-3) > 0.1e-3 {
		t.Errorf("%+v\n%s", c, show(d))
	}
	if d.Verdict != design.Unproven {
		t.Errorf("%s", d.Verdict)
	}
	// A rail of its own is asked nothing of the kind.
	d = latchDesign(t, cat, strings.Replace(coil12, "12 V", "5 V", 1), "unpowered = \"any\"\n", "rl-5v-16a-latch1")
	if d.Verdict != design.Fits {
		t.Errorf("%s\n%s", d.Verdict, show(d))
	}
}
