package tui

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/sheet"
)

// The plot shows the rows of the shortlist as points: cost to the right, on a scale
// of equal factors, headroom upwards. A heavy line is the limit: what fits stands
// above it, what does not stands below, however coarse the grid.

// The headroom at the upper edge is the most there is, within these ends; more than
// the highest is drawn there.
const (
	plotTopLeast = 1.5
	plotTopMost  = 4.0
)

// plotFrame is the columns left of the grid, for the scale.
const plotFrame = 8

// plotted are the rows that have a place, in the order of cost, the dearest last.
func plotted(rows []*engine.Row) []*engine.Row {
	var out []*engine.Row
	for _, r := range rows {
		if r.Headroom.OK && r.Cost.Amount.OK && r.Cost.Amount.V > 0 {
			out = append(out, r)
		}
	}
	slices.SortStableFunc(out, func(a, b *engine.Row) int {
		return cmp.Or(cmp.Compare(a.Cost.Amount.V, b.Cost.Amount.V), cmp.Compare(a.Headroom.V, b.Headroom.V), strings.Compare(a.Key, b.Key))
	})
	return out
}

// plotMove goes to a neighbour in cost or in headroom.
func (p *partsPane) plotMove(act action) {
	rows := plotted(p.shown.Rows)
	step := 1
	switch act {
	case actUp, actDown:
		slices.SortStableFunc(rows, func(a, b *engine.Row) int {
			return cmp.Or(cmp.Compare(a.Headroom.V, b.Headroom.V), strings.Compare(a.Key, b.Key))
		})
		if act == actDown {
			step = -1
		}
	case actLeft:
		step = -1
	case actRight:
	default:
		return
	}
	if len(rows) == 0 {
		return
	}
	at := slices.IndexFunc(rows, func(r *engine.Row) bool { return r.Key == p.selected })
	if at < 0 {
		step = 0
	}
	p.selected, p.chosen = rows[max(min(at+step, len(rows)-1), 0)].Key, true
}

// plot draws the rows on w by h cells.
func (p *partsPane) plot(w, h int, s state) []string {
	if p.load == nil {
		return window(wrapAt(" ", p.nothing(s), w), 0, h)
	}
	rows := plotted(p.shown.Rows)
	foot := p.plotFoot(rows, w, s)
	gw, gh := w-plotFrame-2, h-len(foot)-2 // two lines for the scale of cost
	if len(rows) == 0 || gw < 10 || gh < 5 {
		return window(foot, 0, h)
	}
	g := newPlotGrid(rows, gw, gh)
	for i := range rows {
		g.put(rows[i], p.selected, s)
	}
	out := make([]string, 0, h)
	for y := range gh {
		out = append(out, g.label(y)+g.line(y, p.st, s))
	}
	out = append(out, g.costLine(), clip(blank(plotFrame)+p.st.dim.Render("cost of the stage "+clean(p.currency)+", by equal factors"), w))
	return window(append(out, foot...), 0, h)
}

// plotFoot reads the point at the cursor off, and says what has no place.
func (p *partsPane) plotFoot(rows []*engine.Row, w int, s state) []string {
	lines := []string{""}
	if r := p.row(); r != nil {
		verdict := verdictWord(r, s)
		text := fmt.Sprintf("> %s as %s: %s, headroom %s (%s), cost %s", clean(r.Part), usedAs(r), verdict,
			sheet.Headroom(r.Headroom), runsOut(r), sheet.Amount(r.Cost.Amount))
		if !r.Headroom.OK {
			text = fmt.Sprintf("> %s as %s: %s, without headroom: not drawn", clean(r.Part), usedAs(r), verdict)
		}
		lines = append(lines, wrapAt(" ", text, w)...)
	}
	text := fmt.Sprintf("%d drawn, %d without headroom or price are not", len(rows), len(p.shown.Rows)-len(rows))
	if hidden := p.shown.Total - len(p.shown.Rows); hidden > 0 {
		text += fmt.Sprintf(", %d hidden by filters", hidden)
	}
	text += ".  * is the frontier, + fits, ~ tight, x over, @ the cursor"
	for _, l := range wrapAt(" ", text, w) {
		lines = append(lines, p.st.dim.Render(l))
	}
	return lines
}

type plotCell struct {
	sign    string
	verdict design.Verdict
}

type plotGrid struct {
	w, h, limit int     // the limit is a row of its own
	low, high   float64 // cost
	top         float64 // headroom
	beyond      bool    // there is more than top
	cells       []plotCell
}

func newPlotGrid(rows []*engine.Row, w, h int) *plotGrid {
	g := &plotGrid{w: w, h: h, limit: h * 2 / 3, cells: make([]plotCell, w*h)}
	g.low, g.high = rows[0].Cost.Amount.V, rows[len(rows)-1].Cost.Amount.V
	if g.high <= g.low {
		g.low, g.high = g.low/2, g.high*2
	}
	most := 0.0
	for i := range rows {
		most = max(most, rows[i].Headroom.V)
	}
	g.top, g.beyond = min(max(math.Ceil(most*10)/10, plotTopLeast), plotTopMost), most > plotTopMost
	return g
}

func (g *plotGrid) column(cost float64) int {
	x := math.Log(cost/g.low) / math.Log(g.high/g.low)
	return max(min(int(math.Round(x*float64(g.w-1))), g.w-1), 0)
}

// row is above the limit for a headroom of at least 1, below it for less.
func (g *plotGrid) row(headroom float64) int {
	if headroom >= 1 {
		part := min((headroom-1)/(g.top-1), 1)
		return g.limit - 1 - int(math.Round(part*float64(g.limit-1)))
	}
	below := g.h - g.limit - 1
	return g.limit + 1 + int(math.Round((1-max(headroom, 0))*float64(below-1)))
}

// put marks a row. Of several in one place the worst verdict shows, a point of the
// frontier among those that fit, and the cursor above all.
func (g *plotGrid) put(r *engine.Row, selected string, s state) {
	c := &g.cells[g.row(r.Headroom.V)*g.w+g.column(r.Cost.Amount.V)]
	sign := r.Verdict.Sign()
	if s.old {
		sign = "."
	}
	switch {
	case r.Key == selected:
		c.sign, c.verdict = "@", r.Verdict
	case c.sign == "@":
	case c.sign == "" || r.Verdict > c.verdict:
		c.sign, c.verdict = sign, r.Verdict
	}
	if r.Frontier && !s.old && c.sign != "@" && r.Verdict == design.Fits && c.verdict == design.Fits {
		c.sign = "*"
	}
}

func (g *plotGrid) label(y int) string {
	text := ""
	switch y {
	case 0:
		text = fmt.Sprintf("%.1f", g.top)
		if g.beyond {
			text += "+"
		}
	case g.limit:
		text = "limit 1"
	case g.h - 1:
		text = "0"
	}
	return fitRight(text, plotFrame-1) + " "
}

func (g *plotGrid) line(y int, st *styles, s state) string {
	if y == g.limit {
		return strings.Repeat("━", g.w)
	}
	var b strings.Builder
	for x := range g.w {
		c := &g.cells[y*g.w+x]
		switch {
		case c.sign == "":
			b.WriteByte(' ')
		case s.old:
			b.WriteString(st.dim.Render(c.sign))
		default:
			b.WriteString(st.verdict[c.verdict].Render(c.sign))
		}
	}
	return b.String()
}

func (g *plotGrid) costLine() string {
	low, high := sheet.Amount(design.Known(g.low)), sheet.Amount(design.Known(g.high))
	return blank(plotFrame) + low + blank(g.w-width(low)-width(high)) + high
}
