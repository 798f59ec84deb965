package sheet

import (
	"encoding/csv"
	"strings"
	"testing"

	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/job"
)

func handRows() []engine.Row {
	row := func(part, topology string, v design.Verdict, h float64, limit design.CheckID, cost, heat float64) engine.Row {
		r := engine.Row{Key: "vent latch/" + part + "/" + topology, Part: part, Title: part, Topology: topology, Verdict: v,
			Limiting: &engine.Limit{ID: limit}, Cost: design.Money{Amount: design.Known(cost), Currency: "EUR"}, Heat: design.Known(heat), Parts: 4}
		if v != design.Unproven {
			r.Headroom = design.Known(h)
		}
		return r
	}
	rows := []engine.Row{
		row("npn-40v-small", "npn-low", design.Over, 0.31, design.OnCurrent, 0.12, 0.9),
		row("n-60v-logic-b", "n-mosfet-low", design.Fits, 1.319, design.JunctionTemperature, 0.42, 0.031),
		row("n-55v-logic-a", "n-mosfet-low", design.Fits, 1.0004, design.BlockingVoltage, 0.38, 0.2),
		row("npn-80v-lowsat-4a-flat", "npn-low", design.Tight, 0.9996, design.JunctionTemperature, 0.36, 1.234),
		row("n-100v-10vgate", "n-mosfet-low", design.Unproven, 0, design.GateDrive, 0.55, 0.4),
		row("rl-5v-10a", "relay", design.Over, 0.22, design.ContactLife, 1.90, 0.5),
	}
	rows[0].Built, rows[0].Variant = true, "built"
	rows[1].Frontier = true
	rows[4].Cost.Amount = design.Number{}
	rows[5].Limiting.Stage = design.StageDriver
	return rows
}

func handList(t *testing.T, o ListOptions) *list {
	t.Helper()
	in := handInput(t)
	load := &engine.LoadResult{Name: "vent latch", Rows: handRows(), Assumed: []job.Assumed{{Field: "voltage_min", Value: "10.2 V"}},
		Cautions:  []job.Caution{{ID: "stored", Text: "stored energy 41 mJ each opening; the pin floats at reset"}},
		NotServed: []engine.NotServed{{Part: "p1", Why: "a PNP cannot stand on the low side"}, {Part: "p2", Why: "a PNP cannot stand on the low side"}, {Part: "p3", Why: "no AC output here"}}}
	o.Width = Width
	return &list{res: &engine.Result{Policy: "bench"}, load: load, job: loadOf(in.Job, "vent latch"), opt: o, place: "load 1 of 1", policy: "bench",
		shown: engine.Arranged{Rows: pointers(load.Rows), Total: len(load.Rows), Hidden: []engine.Hidden{{Filter: "kind", Count: 12}}}}
}

func pointers(rows []engine.Row) (out []*engine.Row) {
	for i := range rows {
		out = append(out, &rows[i])
	}
	return out
}

func TestShortlistGolden(t *testing.T) {
	var b strings.Builder
	handList(t, ListOptions{Hint: "pinhoist sheet job.toml"}).text(&b)
	golden(t, "testdata/shortlist.txt", b.String())
	for _, l := range strings.Split(b.String(), "\n") {
		if len([]rune(l)) > Width {
			t.Errorf("wider than %d: %q", Width, l)
		}
	}
}

// A colour changes no character and no column.
func TestPaintKeepsTheTable(t *testing.T) {
	var plain, painted strings.Builder
	handList(t, ListOptions{}).text(&plain)
	l := handList(t, ListOptions{Paint: func(v design.Verdict, s string) string { return "<" + s + ">" }})
	l.text(&painted)
	if got := strings.NewReplacer("<", "", ">", "").Replace(painted.String()); got != plain.String() {
		t.Errorf("painted\n%s\nplain\n%s", got, plain.String())
	}
	if painted.String() == plain.String() {
		t.Error("nothing was painted")
	}
}

func TestRefusedIsCounted(t *testing.T) {
	l := handList(t, ListOptions{})
	if got := l.refused(); got != "" {
		t.Errorf("nothing is hidden, and %q is told", got)
	}
	l.over = refusedRows(handRows(), engine.View{HideOver: true})
	if got, want := l.refused(), "Over and not shown (--all shows them), by what fails worst: 1 drv life."; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
	if got, want := l.notServed(), "No design at all with 2 parts (a PNP cannot stand on the low side); p3 (no AC output here)."; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
	if got, want := l.counts(), "6 designs tried: 2 fit, 1 tight, 1 unproven, 2 over."; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}

func TestCSVRow(t *testing.T) {
	rows := handRows()
	for i := range rows {
		cells := csvRow("a \"b\", c\x1b", &rows[i])
		if len(cells) != len(csvHead) {
			t.Fatalf("%d cells, %d heads", len(cells), len(csvHead))
		}
		var b strings.Builder
		w := csv.NewWriter(&b)
		if err := w.Write(cells); err != nil {
			t.Fatal(err)
		}
		w.Flush()
		back, err := csv.NewReader(strings.NewReader(b.String())).Read()
		if err != nil || back[0] != "a \"b\", c\ufffd" {
			t.Errorf("%q %v", back, err)
		}
	}
	if got := csvRow("x", &rows[4]); got[7] != "" || got[11] != "" {
		t.Errorf("unknown numbers print as %q and %q", got[7], got[11])
	}
}

// A contact that lasts days fits, for no life was asked: the list says so all the same,
// of what it shows and does not refuse anyway.
func TestWornContactsAreTold(t *testing.T) {
	l := handList(t, ListOptions{})
	for i, years := range []float64{0.01, 13.6 / 365, 0.001, 1, 0.5, 0.2} { // over, fits, fits, tight, unproven, over
		l.load.Rows[i].Life = design.Known(years)
	}
	got := l.wornOut()
	for _, want := range []string{"n-60v-logic-b 13 days", "n-55v-logic-a less than a day", "n-100v-10vgate 182 days", "load.life"} {
		if !strings.Contains(got, want) {
			t.Errorf("no %q in %q", want, got)
		}
	}
	for _, not := range []string{"npn-40v-small", "npn-80v", "rl-5v-10a"} {
		if strings.Contains(got, not) {
			t.Errorf("%s in %q", not, got)
		}
	}
	if got := handList(t, ListOptions{}).wornOut(); got != "" {
		t.Errorf("with no life known: %q", got)
	}
}
