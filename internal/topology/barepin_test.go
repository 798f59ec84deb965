package topology

import (
	"strings"
	"testing"

	"example.org/pinhoist/internal/design"
)

// A gate that nothing holds down is lifted by the rail that rises: what stays-off says it
// gets to stresses the gate too, and a resistor that is not there is no resistor of 0 ohm.
func TestNoPullDown(t *testing.T) {
	text := "[[rail]]\nname = \"r\"\nvoltage = \"24 V\"\ntolerance = \"10 %\"\n[[load]]\nname = \"m\"\nrail = \"r\"\nkind = \"solenoid\"\ncurrent = \"0.5 A\"\ninductance = \"50 mH\"\n"
	cat := bridgeCatalog(t)
	b := benchOn(t, cat, text)
	sw, _ := cat.Part("n-60v-logic-b")
	d := new(design.Design)
	nMOSFETLow{}.Design(b.env, b.m, sw, &Given{RPulldown: GivenResistor{Said: true, None: true}, RGate: ohms(100), Clamp: GivenClamp{Said: true}}, d)
	off, gate := find(d, design.StaysOff, design.StageSelf), find(d, design.GateVoltage, design.StageSelf)
	if off.Verdict == design.Fits || gate.Stress != off.Stress || gate.Verdict == design.Fits {
		t.Errorf("stays-off %v %s, gate-voltage %v %s", off.Stress, off.Verdict, gate.Stress, gate.Verdict)
	}
	for _, c := range []*design.Check{off, find(d, design.GateDrive, design.StageSelf)} {
		for _, a := range c.Args() {
			if a.Name == "R_pulldown" && !a.Absent {
				t.Errorf("%s: a pull-down of %g ohm that is not there", c.ID, a.V)
			}
		}
	}
	for _, n := range d.NA {
		if n.ID == design.SafeArea && !strings.Contains(n.Why, "avalanche judges it") {
			t.Errorf("safe-area passes an opening that nothing limits: %s", n.Why)
		}
	}
	held := new(design.Design)
	nMOSFETLow{}.Design(b.env, b.m, sw, &Given{}, held)
	if c := find(held, design.GateVoltage, design.StageSelf); c.Verdict != design.Fits || c.Stress.V > 5.25 {
		t.Errorf("with a pull-down: %v %s", c.Stress, c.Verdict)
	}
}
