package tui

import (
	"context"
	"fmt"
	"slices"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/sheet"
)

// comparedLeast is the columns of a design that give way last: a part's id, mostly.
const comparedLeast = 20

// The fewest and the most designs that stand side by side.
const (
	fewestCompared = 2
	mostCompared   = 4
)

// mark marks the design at the cursor for comparing, or takes the mark away.
func (p *partsPane) mark() {
	r := p.row()
	if r == nil {
		return
	}
	if i := slices.Index(p.marked, r.Key); i >= 0 {
		p.marked = slices.Delete(p.marked, i, i+1)
		return
	}
	p.marked = slices.DeleteFunc(p.marked, func(k string) bool {
		return !slices.ContainsFunc(p.load.Rows, func(r engine.Row) bool { return r.Key == k })
	})
	if len(p.marked) == mostCompared {
		p.note = fmt.Sprintf("%d are marked, and no more stand side by side: m on one of them takes its mark away", mostCompared)
		return
	}
	p.marked = append(p.marked, r.Key)
}

// compared are the keys that would stand side by side: what is marked and still
// there, and the row at the cursor where only one is.
func (p *partsPane) compared() []string {
	var keys []string
	if p.load == nil {
		return nil
	}
	for _, k := range p.marked {
		if slices.ContainsFunc(p.load.Rows, func(r engine.Row) bool { return r.Key == k }) {
			keys = append(keys, k)
		}
	}
	if r := p.row(); r != nil && len(keys) < fewestCompared && !slices.Contains(keys, r.Key) {
		keys = append(keys, r.Key)
	}
	return keys
}

func (m *Model) askCompare() tea.Cmd {
	keys := m.parts.compared()
	ask := m.ask
	return m.askLook(func(ctx context.Context, _ Looker, in *engine.Input, _ string) (any, error) {
		var out []*engine.Detailed
		for _, k := range keys {
			d, err := ask.Detail(ctx, in, k)
			if err != nil {
				return nil, err
			}
			out = append(out, d)
		}
		return out, nil
	})
}

// compareView shows two to four designs side by side, what differs first.
type compareView struct {
	got           []*engine.Detailed
	differ, alike []comparedRow
	top, h, n     int
}

// comparedRow is one line of it: a text for each design, "" where it has none.
type comparedRow struct {
	label string
	cells []string
	of    []design.Verdict
	paint bool
}

func (v *compareView) set(got []*engine.Detailed) {
	*v = compareView{got: got}
	for _, r := range comparedRows(got) {
		same := true
		for _, c := range r.cells {
			same = same && c == r.cells[0]
		}
		if same {
			v.alike = append(v.alike, r)
		} else {
			v.differ = append(v.differ, r)
		}
	}
}

// comparedRows are the lines: what a shortlist tells, the checks, the values.
func comparedRows(got []*engine.Detailed) []comparedRow {
	var out []comparedRow
	add := func(label string, cell func(*engine.Detailed) string) {
		r := comparedRow{label: label}
		any := false
		for _, d := range got {
			c := cell(d)
			any = any || c != ""
			r.cells = append(r.cells, c)
		}
		if any {
			out = append(out, r)
		}
	}
	r := comparedRow{label: "verdict", paint: true}
	for _, d := range got {
		r.cells, r.of = append(r.cells, verdictText(d.Design.Verdict)), append(r.of, d.Design.Verdict)
	}
	out = append(out, r)
	add("used as", func(d *engine.Detailed) string { return usedAs(&d.Row) })
	add("room", func(d *engine.Detailed) string { return sheet.Headroom(d.Design.Headroom) })
	add("runs out", func(d *engine.Detailed) string { return runsOut(&d.Row) })
	add("fits up to", func(d *engine.Detailed) string {
		if d.Factor == nil {
			return ""
		}
		return sheet.Headroom(design.Known(d.Factor.Value)) + " x load"
	})
	add("cost", func(d *engine.Detailed) string {
		return strings.TrimSpace(sheet.Amount(d.Design.Cost.Amount) + " " + clean(d.Design.Cost.Currency))
	})
	add("heat", func(d *engine.Detailed) string { return sheet.Heat(d.Row.Heat) })
	add("pieces", func(d *engine.Detailed) string { return fmt.Sprint(d.Row.Parts) })
	add("turn-off", func(d *engine.Detailed) string { return sheet.AtMost(d.Row.TurnOff, design.S) })
	add("package", func(d *engine.Detailed) string { return clean(d.Row.Package) })
	add("side", func(d *engine.Detailed) string { return clean(d.Row.Side) })
	add("isolated", func(d *engine.Detailed) string {
		if d.Row.Isolated {
			return "yes"
		}
		return "no"
	})
	checks(got, &out)
	values(got, &out)
	return out
}

// checks adds a line for each check that any of the designs has.
func checks(got []*engine.Detailed, out *[]comparedRow) {
	var ids []engine.Limit
	for _, d := range got {
		for i := range d.Design.Checks {
			k := engine.Limit{ID: d.Design.Checks[i].ID, Stage: d.Design.Checks[i].Stage}
			if !slices.Contains(ids, k) {
				ids = append(ids, k)
			}
		}
	}
	slices.SortStableFunc(ids, func(a, b engine.Limit) int {
		if a.Stage != b.Stage {
			return int(a.Stage) - int(b.Stage)
		}
		return int(a.ID) - int(b.ID)
	})
	for _, k := range ids {
		r := comparedRow{label: sheet.ShortCheck(k.ID, k.Stage), paint: true}
		for _, d := range got {
			cell, v := "", design.Fits
			for i := range d.Design.Checks {
				if c := &d.Design.Checks[i]; c.ID == k.ID && c.Stage == k.Stage {
					cell, v = c.Verdict.Sign()+" "+sheet.Headroom(c.Headroom), c.Verdict
				}
			}
			r.cells, r.of = append(r.cells, cell), append(r.of, v)
		}
		*out = append(*out, r)
	}
}

// values adds a line for each value that any of the designs has.
func values(got []*engine.Detailed, out *[]comparedRow) {
	var keys []design.ValueKey
	for _, d := range got {
		for _, x := range d.Design.Values {
			if !slices.Contains(keys, x.Key) {
				keys = append(keys, x.Key)
			}
		}
	}
	for _, k := range keys {
		r := comparedRow{label: sheet.ValueText(k)}
		if r.label == "" {
			r.label = string(k)
		}
		for _, d := range got {
			cell := ""
			for _, x := range d.Design.Values {
				if x.Key == k {
					cell = sheet.ValueNumber(&x)
				}
			}
			r.cells = append(r.cells, cell)
		}
		*out = append(*out, r)
	}
}

// Key takes one key.
func (v *compareView) Key(act action) {
	v.top = scrolled(moved(v.top, v.h-1, act), v.n, v.h)
}

// View draws it on w by h cells; nil before there is an answer.
func (v *compareView) View(st *styles, w, h int) []string {
	if len(v.got) == 0 {
		return nil
	}
	label := 0
	for _, list := range [][]comparedRow{v.differ, v.alike} {
		for i := range list {
			label = max(label, width(list[i].label))
		}
	}
	label = min(label, max(w-2-len(v.got)*(comparedLeast+1), 14))
	column := max((w-label-2)/len(v.got)-1, 6)
	row := func(r *comparedRow) string {
		line := " " + fit(r.label, label)
		for i, c := range r.cells {
			if c == "" {
				c = "-"
			}
			cell := fit(clean(c), column)
			if r.paint && r.cells[i] != "" {
				cell = st.verdict[r.of[i]].Render(cell)
			}
			line += " " + cell
		}
		return clip(strings.TrimRight(line, " "), w)
	}
	head := comparedRow{label: ""}
	for _, d := range v.got {
		head.cells = append(head.cells, clean(d.Row.Part))
	}
	var lines []string
	lines = append(lines, " "+st.head.Render("what differs"))
	for i := range v.differ {
		lines = append(lines, row(&v.differ[i]))
	}
	lines = append(lines, " "+st.head.Render("what is alike"))
	for i := range v.alike {
		r := v.alike[i]
		lines = append(lines, row(&r))
	}
	v.n, v.h = len(lines), max(h-1, 1)
	v.top = scrolled(v.top, v.n, v.h)
	out := append([]string{st.cursor.Render(row(&head))}, window(lines, v.top, v.h)...)
	if rest := v.n - v.top - v.h; rest > 0 && h > 2 {
		moreBelow(st, out, rest, w, false)
	}
	return out
}
