package drawing

import (
	"strings"
	"testing"

	"example.org/pinhoist/internal/design"
)

// fourSwitches is a motor between four switches, with something at one gate.
func fourSwitches() *design.Design {
	q := func(ref, part, gate, drain, source string) design.Element {
		return design.Element{Ref: ref, Role: design.RoleSwitch, Kind: "mosfet", Part: part, Nodes: []string{gate, drain, source}}
	}
	return &design.Design{Load: "gate motor", Elements: []design.Element{
		{Ref: "V1", Role: design.RoleRail, Kind: "rail", Value: 12, Unit: design.V, HasValue: true, Nodes: []string{"rail", "ground"}},
		{Ref: "LOAD", Role: design.RoleLoad, Kind: "motor", Value: 1, Unit: design.A, HasValue: true, Nodes: []string{"out A", "out B"}},
		{Ref: "PIN A", Role: design.RolePin, Kind: "pin", Value: 5, Unit: design.V, HasValue: true, Nodes: []string{"pin A", "ground"}},
		{Ref: "R1", Role: design.RoleDriveResistor, Kind: "resistor", Value: 1000, Unit: design.Ohm, HasValue: true, Nodes: []string{"pin A", "drive A"}},
		q("Q1", "n-part", "drive A", "out B", "ground"), q("Q2", "n-part", "drive B", "out A", "ground"),
		q("Q3", "p-part", "gate A", "out A", "rail"), q("Q4", "p-part", "gate B", "out B", "rail"),
	}}
}

// The four switches stand at four corners with the motor between, those to the rail
// above; each has its part and the name of its control; what finds no place is
// listed with its nodes.
func TestFourCorners(t *testing.T) {
	for _, ascii := range []bool{false, true} {
		picture := Text(fourSwitches(), ascii)
		t.Log("\n" + picture)
		rows := strings.Split(picture, "\n")
		row := func(word string) int {
			for i, r := range rows {
				if strings.Contains(r, word) {
					return i
				}
			}
			t.Fatalf("no %q in the picture", word)
			return 0
		}
		for _, words := range [][]string{{"Q3", "Q4"}, {"Q2", "Q1"}, {"gate A", "gate B"}, {"drive B", "drive A"}} {
			if r := rows[row(words[0])]; !strings.Contains(r, words[1]) || strings.Index(r, words[0]) > strings.Index(r, words[1]) {
				t.Errorf("%v do not stand side by side: %q", words, r)
			}
		}
		if !(row("V1 12 V") < row("Q3") && row("Q3") < row("gate motor") && row("gate motor") < row("Q2") && row("Q2") < row("ground")) {
			t.Error("not from the rail by the motor to ground")
		}
		if r := rows[row("R1 1K")]; !strings.Contains(r, "pin A - drive A") {
			t.Errorf("what finds no place is not listed: %q", r)
		}
		for _, r := range picture {
			if ascii && r > 126 {
				t.Fatalf("%q in an ASCII picture", r)
			}
		}
		if w := width(rows); w > maxWidth {
			t.Errorf("%d columns", w)
		}
	}
	// Three switches are no bridge.
	d := fourSwitches()
	d.Elements = d.Elements[:len(d.Elements)-1]
	if p := makePlan(d.Elements); p.corners != nil {
		t.Error("three switches were taken for four")
	}
}
