package sheet

import (
	"slices"
	"strings"
	"testing"

	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
)

func TestOwnVerdicts(t *testing.T) {
	rows := handRows()
	load := &engine.LoadResult{Name: "vent latch", Rows: rows}
	for _, tt := range []struct {
		own  engine.Own
		want []string
	}{
		{engine.Own{Load: load}, []string{"no stage takes mine: others do it for less, or nothing needs one"}},
		{engine.Own{Load: load, UsedIn: 3}, []string{"a helper in 3 of 6 stages"}},
		{engine.Own{Load: load, NotServed: []engine.NotServed{{Part: "mine", Why: "its coil is for\x1b AC"}}}, []string{"not served: its coil is for\ufffd AC"}},
		{engine.Own{Load: load, Place: 4, Rows: []*engine.Row{{Topology: "n-mosfet-low", Verdict: design.Unproven, Limiting: &engine.Limit{ID: design.GateDrive}}}},
			[]string{"? unproven as n-mosfet low; place 4 of 6 by verdict and cost"}},
		{engine.Own{Load: load, Place: 1, Rows: []*engine.Row{
			{Topology: "npn-low", Headroom: design.Known(1.25), Limiting: &engine.Limit{ID: design.BaseDrive}},
			{Topology: "relay", Verdict: design.Over, Headroom: design.Known(0.2), Limiting: &engine.Limit{ID: design.ContactCurrent}}}},
			[]string{"+ fits as npn low, headroom 1.25, runs out first: base drive; place 1 of 6 by verdict and cost",
				"x over as relay, headroom 0.20, runs out first: contact A"}},
	} {
		if got := OwnVerdicts(&tt.own, "mine"); !slices.Equal(got, tt.want) {
			t.Errorf("got  %q\nwant %q", got, tt.want)
		}
	}
	if WantedFigures(nil) != nil {
		t.Error("nothing wants something")
	}
	det := handDetailed()
	det.Missing = []engine.Missing{{Figure: "q_gd_max", Check: design.StaysOff, Op: "<=", Value: 6e-9, Unit: design.C}, {Figure: "q_gd_max", Check: design.SafeArea}}
	want := []Wanted{{"q_gd_max", "gate to drain charge", "no single value alone", "stays-off, safe-area", false}}
	if got := WantedFigures(det); !slices.Equal(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
}

// What is not proven of a part is named; a gate that its figures do not promise to drive
// stands first, with its numbers.
func TestNotProven(t *testing.T) {
	check := func(id design.CheckID, v design.Verdict) design.Check {
		return design.Check{ID: id, Verdict: v, Unit: design.V, Stress: design.Known(10), Rating: design.Known(4.7)}
	}
	d := &design.Design{Checks: []design.Check{check(design.StaysOff, design.Unproven), check(design.PinCurrent, design.Fits),
		check(design.JunctionTemperature, design.Unproven), check(design.GateDrive, design.Unproven)}}
	if got, want := notProven(d), "gate drive (10 V demanded, 4.7 V given), stays off, junction"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	d.Checks = append(d.Checks, check(design.SafeArea, design.Unproven), check(design.Leakage, design.Unproven))
	if got := notProven(d); !strings.HasSuffix(got, ", 2 more") {
		t.Errorf("%q", got)
	}
}
