package tui

import (
	"strings"

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
	pageSweep
	pageDrive
	pageBreaks
	pageCompare
	pageMargins
	pageBands
	pageOwn
)

var pageNames = [...]string{"", "Keys", "Words", "Cautions", "Not served", "Fixes", "Cost against headroom", "All loads together", "Start from", "Not opened",
	"What if", "Is the drive enough", "Broken on paper", "Side by side", "Margins", "Resistor bands", "A part of your own"}

// page is a text over the panes. It keeps what it says, not how it is wrapped.
type page struct {
	kind  pageKind
	items []pageItem
	top   int
	show  int // an item that must be seen; 0: none
	h     int
	ends  []int // the last line of each item, as wrapped last
	under *page // what it lies over, to come back to; nil: the panes
}

// pageItem is a paragraph, behind a label or without.
type pageItem struct{ label, text string }

func (p *page) open(kind pageKind, items []pageItem) {
	*p = page{kind: kind, items: items}
}

// openOver is open for a page that gives way to the one it lies over.
func (p *page) openOver(kind pageKind, items []pageItem) {
	for u := p; u != nil; u = u.under {
		if u.kind == kind {
			*p = *u // it is open below
			return
		}
	}
	was := *p
	*p = page{kind: kind, items: items}
	if was.kind != pageNone {
		p.under = &was
	}
}

// close gives way to what the page lies over.
func (p *page) close() {
	if p.under != nil {
		*p = *p.under
		return
	}
	p.kind = pageNone
}

// seen reports whether an item was on the screen to its end, as drawn last. The last line
// may be covered by what is said of the rest.
func (p *page) seen(i int) bool {
	last := p.top + p.h - 1
	if n := len(p.ends); n > 0 && p.ends[n-1] > last {
		last--
	}
	return i < len(p.ends) && p.ends[i] <= last
}

// Key takes one key and reports whether the page stays open.
func (p *page) Key(act action) bool {
	if act == actClose {
		return false
	}
	p.top = max(moved(p.top, p.h-1, act), 0)
	return true
}

func (p *page) lines(st *styles, w int) (out []string, from, to int) {
	label := 0
	for _, it := range p.items {
		label = max(label, width(it.label))
	}
	label = min(label, w/3)
	p.ends = p.ends[:0]
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
		p.ends = append(p.ends, len(out)-1)
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
		moreBelow(st, out, rest, w, false)
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
		items = append(items, pageItem{"", name}, pageItem{" ", clean(n.Why)}) // the reason set in
	}
	return items
}
