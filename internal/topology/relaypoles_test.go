package topology

import (
	"math"
	"strings"
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/job"
)

func polesDesign(t *testing.T, cat *catalog.Catalog, load, part string, given *Given) *design.Design {
	t.Helper()
	b := benchOn(t, cat, ssrRails+coil12+"[[load]]\nname = \"x\"\n"+load)
	sw := partOf(t, cat, part)
	if why := (relay{}).Serves(b.env, b.m, sw); why != "" {
		t.Fatal(why)
	}
	d := new(design.Design)
	relay{}.Design(b.env, b.m, sw, given, d)
	return d
}

// contactsOf are the nodes of the contacts in a design.
func contactsOf(d *design.Design) (nodes []string) {
	for i := range d.Elements {
		if e := &d.Elements[i]; strings.HasPrefix(e.Kind, "relay-contact") {
			nodes = append(nodes, strings.Join(e.Nodes, " "))
		}
	}
	return nodes
}

// A heater of 0.6 A on 110 V DC: 0.6*1.05/0.9 = 0.7 A. One pole of rl-12v-8a-2c switches
// 0.3 A there, both in series 1 A, four fifths of which are allowed; at 24 V one pole does.
// Side by side two are what one is. Without figures for both a stage as built that has
// them in series is believed to switch what one does, through two contacts.
func TestPolesOfARelay(t *testing.T) {
	cat, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	high, low := dc110+amps(dcHeat, "0.6 A"), "supply = \"24 V\"\nsupply_tolerance = \"5 %\"\n"+amps(dcHeat, "2 A")
	stated := func(poles string) *Given { return &Given{Stated: true, Poles: poles} }
	for _, r := range []struct {
		name, load, part string
		given            *Given
		poles            string
		current          design.Verdict
		ohms             float64
		contacts         string
	}{
		{"one does", low, "rl-12v-8a-2c", &Given{}, job.PolesOne, design.Fits, 0.1, "a b"},
		{"one does not", high, "rl-12v-8a-2c", &Given{}, job.PolesSeries, design.Fits, 0.2, "a m, m b"},
		{"one, as built", high, "rl-12v-8a-2c", stated(job.PolesOne), job.PolesOne, design.Over, 0.1, "a b"},
		{"both, as built", high, "rl-12v-8a-2c", stated(job.PolesSeries), job.PolesSeries, design.Fits, 0.2, "a m, m b"},
		{"side by side, as built", high, "rl-12v-8a-2c", stated(job.PolesParallel), job.PolesParallel, design.Over, 0.1, "a b, a b"},
		{"side by side where one does", low, "rl-12v-8a-2c", stated(job.PolesParallel), job.PolesParallel, design.Fits, 0.1, "a b, a b"},
		{"no figures for both", high, "rl-12v-10a-plug", &Given{}, job.PolesOne, design.Over, 0.1, "a b"},
		{"no figures for both, as built", high, "rl-12v-10a-plug", stated(job.PolesSeries), job.PolesSeries, design.Over, 0.2, "a m, m b"},
		{"resting contacts have none", low + "unpowered = \"on\"\n", "rl-12v-8a-2c", stated(job.PolesSeries), job.PolesSeries, design.Fits, 0.2, "a m, m b"},
	} {
		t.Run(r.name, func(t *testing.T) {
			d := polesDesign(t, cat, r.load, r.part, r.given)
			if d.Choice.Poles != r.poles {
				t.Errorf("poles: %q, want %q", d.Choice.Poles, r.poles)
			}
			if c := find(d, design.ContactCurrent, design.StageSelf); c == nil || c.Verdict != r.current {
				t.Errorf("contact-current, want %s\n%s", r.current, show(d))
			}
			if ron := valueIn(d, design.ROn); !ron.OK || math.Abs(ron.V-r.ohms) > 1e-9 {
				t.Errorf("r_on %v, want %v", ron, r.ohms)
			}
			got := strings.Join(contactsOf(d), ", ")
			for from, to := range map[string]string{"rail": "a", "load": "b", "poles": "m"} {
				got = strings.ReplaceAll(got, from, to)
			}
			if got != r.contacts {
				t.Errorf("contacts %q, want %q", got, r.contacts)
			}
		})
	}
}

// What is stated for both adds to what one of them does: on AC, and for what a lamp
// takes at its start, of which nothing is stated for both, two in series still do what one would.
func TestTwoPolesDoWhatOneDoes(t *testing.T) {
	cat, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	given := &Given{Stated: true, Poles: job.PolesSeries}
	lamp := func(volts string) string {
		return "kind = \"lamp\"\nsupply = \"" + volts + "\"\npower = \"15 W\"\ninrush_current = \"10 A\"\ninrush_time = \"10 ms\"\ninrush_source = \"measured\"\n"
	}
	for name, load := range map[string]string{
		"AC":                                on24 + amps(acHeater, "2 A"),
		"a lamp on 24 V":                    lamp("24 V"),
		"a heater that one pole switches":   "supply = \"24 V\"\nsupply_tolerance = \"5 %\"\n" + amps(dcHeat, "2 A"),
		"a heater that only both do, 110 V": dc110 + amps(dcHeat, "0.6 A"),
	} {
		t.Run(name, func(t *testing.T) {
			d := polesDesign(t, cat, load, "rl-12v-8a-2c", given)
			for _, id := range []design.CheckID{design.ContactVoltage, design.ContactCurrent, design.ContactInrush, design.ContactCarry} {
				if c := find(d, id, design.StageSelf); c != nil && c.Verdict != design.Fits {
					t.Errorf("%s\n%s", id, show(d))
				}
			}
		})
	}
	// A lamp on 48 V is another matter: the last pole to close makes it alone.
	d := polesDesign(t, cat, lamp("48 V"), "rl-12v-8a-2c", given)
	if c := find(d, design.ContactInrush, design.StageSelf); c == nil || c.Verdict <= design.Tight {
		t.Errorf("a lamp on 48 V\n%s", show(d))
	}
}

// A relay of one pole has no two to put anywhere, nor has a transistor.
func TestPolesThatAreNotThere(t *testing.T) {
	cat, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	b := benchOn(t, cat, ssrRails+coil12+"[[load]]\nname = \"x\"\n"+dc110+amps(dcHeat, "0.6 A"))
	for part, want := range map[string]string{"rl-12v-16a": "has one", "rl-12v-8a-2c": ""} {
		if got := Unheld(&job.Built{Topology: "relay", Part: part, Poles: job.PolesSeries}, cat); want == "" && got != "" || !strings.Contains(got, want) {
			t.Errorf("%s: %q, want %q", part, got, want)
		}
	}
	if got := Untaken(nMOSFETLow{}, &job.Built{Poles: job.PolesParallel}, b.m); !strings.Contains(got, "built.poles") {
		t.Errorf("a MOSFET with two poles: %q", got)
	}
}
