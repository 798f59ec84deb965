package tui

import (
	"math"
	"strings"

	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/sheet"
)

// marginView draws all checks of a design as bars against their limits, with a cursor
// that tells the numbers of one. As everywhere a bar that crosses its | is safe.
type marginView struct{ at int }

// Key takes one key.
func (v *marginView) Key(act action, det *engine.Detailed) {
	n := 0
	if det != nil {
		n = len(det.Design.Checks)
	}
	v.at = within(moved(v.at, 10, act), n)
}

// marginTop is the headroom at the right end of a bar; more is drawn there.
const marginTop = 3.0

// View draws it on w by h cells.
func (v *marginView) View(st *styles, det *engine.Detailed, w, h int) []string {
	if det == nil || len(det.Design.Checks) == 0 {
		return []string{" There is no design."}
	}
	d := det.Design
	order := sheet.Ordered(d)
	v.at = within(v.at, len(order))
	foot := v.reading(st, &d.Checks[order[v.at]], w, max(h-4, 1)/2)
	list := max(h-len(foot)-1, 1)
	top := follow(v.at-list/2, v.at, len(order), list)
	const lead = 3 + 14 + 1 + 10 + 1 + 5 + 1
	bar := max(w-lead-2, 6)
	limit := int(math.Round(float64(bar) / marginTop))
	out := []string{blank(lead) + fit("0", limit) + "|1" + fitRight("3 or more", bar-limit-1)}
	for i := top; i < min(top+list, len(order)); i++ {
		c := &d.Checks[order[i]]
		mark, name := "   ", fit(sheet.ShortCheck(c.ID, c.Stage), 14)
		if i == v.at {
			mark, name = " > ", st.cursor.Render(name)
		}
		paint := st.verdict[c.Verdict]
		out = append(out, clip(mark+name+" "+paint.Render(fit(verdictText(c.Verdict), 10))+" "+fitRight(sheet.Headroom(c.Headroom), 5)+" "+paint.Render(marginBar(c, bar, limit)), w))
	}
	return append(window(out, 0, h-len(foot)), foot...)
}

// marginBar is a bar of a check: it crosses the limit where the check fits, and never
// where it does not. Dots stand where nothing is proven.
func marginBar(c *design.Check, w, limit int) string {
	if c.Verdict == design.Unproven || !c.Headroom.OK && c.Verdict != design.Fits {
		return strings.Repeat(".", limit) + "|"
	}
	if !c.Headroom.OK {
		return strings.Repeat("#", limit) + "|#"
	}
	h := c.Headroom.V
	if h < 1 || c.Verdict > design.Fits {
		n := max(min(int(h*float64(limit)), limit-1), 0)
		return strings.Repeat("#", n) + blank(limit-n) + "|"
	}
	n := int(math.Round((math.Min(h, marginTop) - 1) / (marginTop - 1) * float64(w-limit-1)))
	return strings.Repeat("#", limit) + "|" + strings.Repeat("#", max(n, 1))
}

// reading tells the numbers of a check on at most h lines.
func (v *marginView) reading(st *styles, c *design.Check, w, h int) []string {
	stress, rating, allowed := sheet.Sides(c)
	text := stress + " demanded, " + rating + " guaranteed"
	if allowed != "" {
		text += ", " + allowed + " allowed"
	}
	if c.NoSolution {
		text = "there is no solution"
	}
	var out []string
	for _, l := range wrap(sheet.ShortCheck(c.ID, c.Stage)+": "+sheet.CheckQuestion(c.ID), w-2) {
		out = append(out, " "+st.head.Render(l))
	}
	out = append(out, wrapAt("   ", text, w)...)
	symbols, numbers := sheet.Formula(c)
	for _, l := range []string{symbols, numbers} {
		if l != "" {
			out = append(out, wrapAt("   ", clean(l), w)...)
		}
	}
	if c.Because != "" {
		out = append(out, wrapAt("   ", clean(c.Because), w)...)
	}
	if c.Source != "" {
		out = append(out, wrapAt("   ", "by: "+clean(c.Source), w)...)
	}
	return out[:min(len(out), max(h, 1))]
}
