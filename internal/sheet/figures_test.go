package sheet

import (
	"strings"
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/quantity"
)

// Every guaranteed figure that a switch of the built-in catalogue states has its
// words, so that the shopping list can be read without knowing the symbols.
func TestFigureWordsAreComplete(t *testing.T) {
	cat, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for _, p := range cat.Switches() {
		for _, f := range catalog.Figures(p) {
			n++
			if FigureText(f.Name) == "" {
				t.Errorf("%s: %s has no words", p.Base().ID, f.Name)
			}
		}
	}
	if n < 100 {
		t.Fatalf("only %d figures", n)
	}
	if got := FigureText("nc.i_carry_max"); !strings.HasSuffix(got, "(resting contact)") {
		t.Errorf("the resting contact is told as %q", got)
	}
	if got := FigureText("series.r_contact_max"); !strings.HasSuffix(got, "(each of two poles)") {
		t.Errorf("the resistance of one of two poles is told as %q", got)
	}
	// What a check names when a whole table, or a part of it, is not stated.
	for _, f := range []string{"r_ds_on at this drive", "soa", "i_dss_max", "q_g_max", "switching_max", "foster_jc", "v_in_drop", "relay.r_coil.nominal"} {
		if FigureText(f) == "" {
			t.Errorf("%s has no words", f)
		}
	}
}

// Figures print in the unit of a data sheet and never look better than they are:
// a least value is rounded up, a greatest down.
func TestFigureNumber(t *testing.T) {
	for _, c := range []struct {
		figure string
		v      float64
		unit   design.Unit
		dir    quantity.Direction
		want   string
	}{
		{"must_operate_max", 0.75369, design.One, quantity.Down, "75.36 %"},
		{"v_coil_max.max", 1.05001, design.One, quantity.Up, "105.1 %"},
		{"h_fe.min", 84.361, design.One, quantity.Up, "84.37"},
		{"t_j_max", 86.51, design.DegC, quantity.Up, "86.6 C"},
		{"t_j_max", 86, design.DegC, quantity.Up, "86 C"},
		{"ambient.min", -0.02985, design.DegC, quantity.Down, "-0.1 C"},
		{"ambient.max", -0.02985, design.DegC, quantity.Up, "0 C"},
		{"v_ds_max", 29.261, design.V, quantity.Up, "29.27 V"},
	} {
		if got := figureNumber(c.figure, c.v, c.unit, c.dir); got != c.want {
			t.Errorf("%s %g: %q, want %q", c.figure, c.v, got, c.want)
		}
	}
}

// A figure is asked for once, with the hardest demand that any check makes, and
// one that was assumed for the load is named as a key of the load.
func TestWanted(t *testing.T) {
	det := &engine.Detailed{
		Load: engine.LoadResult{Assumed: []job.Assumed{{Field: "voltage_min"}}},
		Missing: []engine.Missing{
			{Figure: "r_ds_on.max", Check: design.GateDrive, Op: "<=", Value: 100, Unit: design.Ohm},
			{Figure: "r_ds_on.max", Check: design.JunctionTemperature, Op: "<=", Value: 0.0482, Unit: design.Ohm},
			{Figure: "soa", Check: design.SafeArea, Op: ">=", Value: 2, Unit: design.A},
			{Figure: "soa", Check: design.SafeArea, Stage: design.StageDriver, Op: ">=", Value: 1, Unit: design.A},
			{Figure: "voltage_min", Check: design.LoadVoltage, Op: ">=", Value: 1, Unit: design.V},
			{Figure: "voltage_min", Check: design.Leakage},
		},
	}
	want := []string{
		"r_ds_on.max: at most 48.2 mohm: gate-drive, junction-temperature",
		"soa: at least 2 A: safe-area, driver: safe-area",
		"load.voltage_min: no single value alone: load-voltage, leakage",
	}
	for i, w := range wanted(det) {
		if got := w.figure + ": " + w.suffices + ": " + strings.Join(w.checks, ", "); i >= len(want) || got != want[i] {
			t.Errorf("%q, want %q", got, want[min(i, len(want)-1)])
		}
	}
}

// A formula without an answer shows no zero for what is not known; one with an
// answer keeps a zero that is a value.
func TestHollowFormula(t *testing.T) {
	c := design.Check{Formula: "{T} + {R} x losses = {stress}"}
	c.SetArgs(design.Arg{Name: "T", V: 40}, design.Arg{Name: "R"})
	if !hollow(&c) {
		t.Error("an unknown resistance is told as 0 K/W")
	}
	c.Stress = design.Known(55)
	if hollow(&c) {
		t.Error("an answered formula is left out")
	}
	c.SetCorner(design.CornerValue{Name: "rail", V: 0}, design.CornerValue{Name: "part.h_fe"}, design.CornerValue{Name: "load.l"})
	if got := cornerText(&c); got != "rail 0 V" {
		t.Errorf("corner %q", got)
	}
}

// Where nothing but refused designs is left, those that fail by least are shown,
// and no more than a few.
func TestNearest(t *testing.T) {
	l := handList(t, ListOptions{View: engine.View{HideOver: true}})
	l.shown = engine.Arranged{}
	for _, h := range []float64{0.1, 0.9, 0.3, 0.5, 0.2, 0.7, 0.05} {
		l.over = append(l.over, &engine.Row{Part: "p", Verdict: design.Over, Headroom: design.Known(h)})
	}
	l.showNearest()
	if len(l.shown.Rows) != nearest || l.shown.Rows[0].Headroom.V != 0.9 || l.shown.Rows[nearest-1].Headroom.V != 0.2 {
		t.Errorf("shown %v", l.shown.Rows)
	}
}

// What stands between the first design and a fit is told only where nothing fits.
func TestAdvice(t *testing.T) {
	det := handDetailed()
	det.Design.Checks[4].Verdict = design.Over
	asked := 0
	o := ListOptions{Detail: func(string) *engine.Detailed { asked++; return det }}
	l := handList(t, o)
	if got := l.advice(); got != nil || asked > 0 {
		t.Errorf("advice %q where a design fits", got)
	}
	l.load.Rows = []engine.Row{{Part: "n-60v-logic-x", Verdict: design.Over}}
	l.shown.Rows = []*engine.Row{&l.load.Rows[0]}
	want := "What mends release-time of n-60v-logic-x: another part, clamp: d-100v-3a + z-18v-5w instead of d-100v-3a; but then blocking-voltage fails."
	if got := l.advice(); len(got) != 1 || got[0] != want {
		t.Errorf("advice %q, want %q", got, want)
	}
	det.Fixes[4] = nil
	if got := l.advice(); len(got) != 1 || !strings.HasPrefix(got[0], "No single change") {
		t.Errorf("advice %q", got)
	}
	l.load.Rows[0].Verdict = design.Unproven
	if got, want := l.advice(), "To prove n-60v-logic-x state i_dss_max."; len(got) != 1 || got[0] != want {
		t.Errorf("advice %q, want %q", got, want)
	}
}

func TestExactAmount(t *testing.T) {
	price := 0.05 // three prices that do not add up exactly in binary
	sum := price + 0.02 + 0.02
	if got := exactAmount(design.Known(sum)).V; got != 0.09 {
		t.Errorf("%g", got)
	}
}

// What decides a load's start and was stated stands on its sheet, as it was written, and
// what was not stated does not.
func TestSheetTellsWhatWasStated(t *testing.T) {
	spec, errs := job.Decode("m.toml", []byte("schema = 1\n[[load]]\nname = \"m\"\nkind = \"motor\"\nsupply = \"24 V\"\ncurrent = \"2 A\"\nwinding_resistance = \"1.5 ohm\"\nstall_time = \"2s\"\nduty = \"50 %\"\n"))
	if errs.Fatal() {
		t.Fatal(errs)
	}
	if got, want := alsoStated(spec, "m"), "winding resistance 1.5 ohm, stall time 2 s, duty 50 %"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	if got := alsoStated(spec, "another") + alsoStated(nil, "m"); got != "" {
		t.Errorf("of no such load %q", got)
	}
}
