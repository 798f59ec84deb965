package tui

import (
	"math/rand/v2"
	"strings"
	"testing"

	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
)

// However coarse the grid, nothing that does not fit is drawn above the limit, and a
// cell that several designs share never shows a better verdict than its worst one.
func TestThePlotNeverFlatters(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 3))
	for range 300 {
		var rows []*engine.Row
		for range 1 + r.IntN(40) {
			headroom := r.Float64() * 1.2
			if r.IntN(4) == 0 {
				headroom = []float64{0, 0.999999, 1, 1.000001, 900}[r.IntN(5)]
			}
			v := design.Fits
			if headroom < 1 {
				v = []design.Verdict{design.Tight, design.Over}[r.IntN(2)]
			}
			row := fakeRow("p", "npn-low", v, headroom, design.BaseDrive, 0.1+10*r.Float64())
			row.Frontier = v == design.Fits && r.IntN(2) == 0
			rows = append(rows, &row)
		}
		rows = plotted(rows)
		g := newPlotGrid(rows, 10+r.IntN(60), 5+r.IntN(30))
		worst := map[int]design.Verdict{}
		for i := range rows {
			y, x := g.row(rows[i].Headroom.V), g.column(rows[i].Cost.Amount.V)
			if y < 0 || y >= g.h || (rows[i].Verdict == design.Fits) != (y < g.limit) || y == g.limit {
				t.Fatalf("headroom %g on line %d of %d, the limit on %d", rows[i].Headroom.V, y, g.h, g.limit)
			}
			g.put(rows[i], "", state{})
			worst[y*g.w+x] = max(worst[y*g.w+x], rows[i].Verdict)
		}
		for at, v := range worst {
			if c := g.cells[at]; c.verdict != v || c.sign != v.Sign() && !(c.sign == "*" && v == design.Fits) {
				t.Fatalf("a cell shows %q of %v, its worst is %v", c.sign, c.verdict, v)
			}
		}
	}
}

func TestThePlotOpensADesign(t *testing.T) {
	m := open(t, &fake{}, 80, 24)
	press(m, "tab", "v", "right")
	part := m.parts.row().Part
	must(t, m, "> "+part)
	press(m, "enter")
	if m.at != placeDesign || m.design.det == nil || m.design.det.Row.Part != part {
		t.Error("Enter does not open what is at the cursor")
	}
	// An old answer shows no verdict.
	m = open(t, &fake{}, 80, 24)
	press(m, "down", "x", "tab", "v")
	for _, l := range strings.Split(m.View(), "\n")[3:15] {
		if strings.ContainsAny(l, "+*~") && !strings.Contains(l, "limit") {
			t.Errorf("an old answer is drawn as %q", l)
		}
	}
}
