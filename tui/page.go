package tui

import (
	"fmt"
	"strings"

	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
)

// pageKind is a page that lies over the panes.
type pageKind uint8

const (
	pageNone pageKind = iota
	pageHelp
	pageWords
	pageCautions
	pageNotServed
	pageFixes
	pagePlot
	pageTogether
	pageStart
	pageErrors
)

var pageNames = [...]string{"", "Keys", "Words", "Cautions", "Not served", "Fixes", "Cost against headroom", "All loads together", "Start from", "Not opened"}

// page is a text over the panes. It keeps what it says, not how it is wrapped.
type page struct {
	kind  pageKind
	items []pageItem
	top   int
	show  int // an item that must be seen; 0: none
	h     int
}

// pageItem is a paragraph, behind a label or without.
type pageItem struct{ label, text string }

func (p *page) open(kind pageKind, items []pageItem) {
	p.kind, p.items, p.top, p.show = kind, items, 0, 0
}

// Key takes one key and reports whether the page stays open.
func (p *page) Key(act action) bool {
	switch act {
	case actClose:
		return false
	case actUp:
		p.top--
	case actDown:
		p.top++
	case actPageUp:
		p.top -= max(p.h-1, 1)
	case actPageDown:
		p.top += max(p.h-1, 1)
	case actTop:
		p.top = 0
	case actBottom:
		p.top = 1 << 20
	}
	p.top = max(p.top, 0)
	return true
}

func (p *page) lines(st *styles, w int) (out []string, from, to int) {
	label := 0
	for _, it := range p.items {
		label = max(label, width(it.label))
	}
	label = min(label, w/3)
	for n, it := range p.items {
		if n == p.show {
			from = len(out)
		}
		lead := " "
		if it.label != "" {
			lead += fit(it.label, label) + "  "
		}
		for i, l := range wrap(it.text, w-width(lead)-1) {
			if i > 0 {
				lead = blank(width(lead))
			} else {
				lead = st.key.Render(lead)
			}
			out = append(out, strings.TrimRight(lead+l, " "))
		}
		if n == p.show {
			to = len(out) - 1
		}
	}
	return out, from, to
}

func (p *page) View(st *styles, w, h int) []string {
	lines, from, to := p.lines(st, w)
	p.h = h
	if p.show > 0 {
		p.top = follow(p.top, to, len(lines), h-1) // the last line may say that there is more
		p.top = follow(p.top, from, len(lines), h-1)
	}
	p.top = scrolled(p.top, len(lines), h)
	out := window(lines, p.top, h)
	if rest := len(lines) - p.top - h; rest > 0 && h > 1 {
		note := fmt.Sprintf(" %d more below", rest)
		out[h-1] = fit(out[h-1], w-width(note)) + st.dim.Render(note)
	}
	return out
}

// cautionName is a caution in two or three words.
func cautionName(id string) string { return strings.ReplaceAll(clean(id), "-", " ") }

func notServedItems(load *engine.LoadResult) []pageItem {
	if load == nil || len(load.NotServed) == 0 {
		return []pageItem{{"", "Every switch of the catalogue has a design for this load."}}
	}
	var items []pageItem
	for _, n := range load.NotServed {
		name := clean(n.Part)
		if n.Topology != "" {
			name += " as " + clean(n.Topology)
		}
		items = append(items, pageItem{"", name + ": " + clean(n.Why)})
	}
	return items
}

// wordItems is the glossary.
func wordItems() []pageItem {
	sign := func(v design.Verdict) string { return v.Sign() + " " + v.String() }
	return []pageItem{
		{sign(design.Fits), "What the job demands at its worst stays within what is allowed, and every figure in it is guaranteed."},
		{sign(design.Tight), "Inside the bare ratings, but without the margin that the derating policy asks."},
		{sign(design.Unproven), "Nothing says that it fails, but a figure that would prove it is not guaranteed. The design says which one to look up. Never a pass."},
		{sign(design.Over), "It would fail at its worst corner."},
		{"", ""},
		{"headroom", "Allowed over demanded, the least of a design's checks: 1.30 is 30 % to spare. Called room in the table. The bar crosses its | where it is safe; dots stand where nothing is proven."},
		{"check", "One comparison of a demand with a guarantee: a current with a rating, a junction with its limit."},
		{"corner", "The worst combination of everything that may vary: supply high or low, air hot or cold, resistance at an end of its tolerance."},
		{"rating", "What the data sheet guarantees the part to bear or give."},
		{"allowed", "The rating with the margin of the policy taken off."},
		{"policy", "A named set of margins. With none, bare ratings are judged and a fit has no margin."},
		{"runs out", "The check with the least headroom: what stops this design first."},
		{"load factor", "How many times the load's current the stage bears as it stands, until the first check stops fitting."},
		{"promises", "The figures your own part must guarantee for the verdict to hold. The catalogue is generic; the part in your hand is not."},
		{"frontier", "The designs, marked *, that no other one beats in both cost and headroom."},
		{"estimate", "A figure from typical values or between two guaranteed ones. It may doom a design, never pass it."},
		{"assumed", "A figure that you did not state and that is usual for this kind of load. State it if you know it."},
		{"clamp", "What takes over the current of a winding when the switch opens: a diode, a Zener, a suppressor."},
		{"release", "From opening the switch until the load has let go: the current must die and the armature move."},
		{"pull-down", "The resistor that keeps the stage off while the pin floats: at reset, or without its supply."},
		{"forced gain", "Load current over base current. A transistor is saturated, and cool, only while it stays small."},
		{"on-resistance", "Of a MOSFET, guaranteed at a stated gate voltage only. The threshold is where it barely begins to conduct, not where it is on."},
		{"side", "low: the switch stands between load and ground; high: between supply and load."},
		{"topology", "How a part is used: straight from the pin, as low-side transistor, as relay with its driver."},
	}
}
