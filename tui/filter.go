package tui

import (
	"fmt"
	"slices"
	"strconv"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
)

// filterPanel stands above the rows, which follow every change at once.
type filterPanel struct {
	at    int
	cost  string // as typed
	lists [4][]string
}

const (
	filterKind = iota
	filterSide
	filterMount
	filterPackage
	filterIsolated
	filterStock
	filterOver
	filterCost
	numFilters
)

var filterNames = [numFilters]string{"kind", "side", "mount", "package", "isolated", "in stock", "over", "cost at most"}

// hiddenNames are the filters as the engine names them where it says what they hide.
var hiddenNames = [numFilters]string{"kind", "side", "mount", "package", "isolation", "stock", "verdict", "price"}

// open lists the words that the rows have.
func (f *filterPanel) open(p *partsPane) {
	for i, get := range []func(*engine.Row) string{
		func(r *engine.Row) string { return string(r.Kind) },
		func(r *engine.Row) string { return r.Side },
		func(r *engine.Row) string { return r.Mount },
		func(r *engine.Row) string { return r.Package },
	} {
		words := []string{""}
		for k := range p.load.Rows {
			if w := get(&p.load.Rows[k]); w != "" && !(i == filterSide && w == "any") {
				words = append(words, w)
			}
		}
		slices.Sort(words)
		f.lists[i] = slices.Compact(words)
	}
}

// Key takes one key of the panel and reports whether it stays open.
func (f *filterPanel) Key(p *partsPane, act action, k tea.KeyMsg) bool {
	p.note = ""
	switch act {
	case actClose:
		return false
	case actUp:
		f.at = max(f.at-1, 0)
	case actDown:
		f.at = min(f.at+1, numFilters-1)
	case actLeft:
		f.change(p, -1)
	case actRight:
		f.change(p, 1)
	case actClear:
		p.clear()
	case actNone:
		if f.at == filterCost {
			f.typeCost(p, k)
		}
	}
	return true
}

// typeCost takes one key of the cost.
func (f *filterPanel) typeCost(p *partsPane, k tea.KeyMsg) {
	switch {
	case k.Type == tea.KeyBackspace && f.cost != "":
		f.cost = f.cost[:len(f.cost)-1]
	case k.Type == tea.KeyRunes:
		for _, r := range k.Runes {
			if (r >= '0' && r <= '9' || r == '.') && len(f.cost) < costLimit {
				f.cost += string(r)
			}
		}
	}
	f.setCost(p, f.cost)
}

// setCost takes the most that a stage may cost, as typed; "" for any.
func (f *filterPanel) setCost(p *partsPane, text string) {
	f.cost, p.view.MaxCost = text, design.Number{}
	if v, err := strconv.ParseFloat(text, 64); err == nil {
		p.view.MaxCost = design.Known(v)
	}
	p.arrange()
}

// choices are the words that a filter may have, nil where it is typed.
func (f *filterPanel) choices(i int) []string {
	switch i {
	case filterIsolated:
		return []string{"any", "only isolated"}
	case filterStock:
		return []string{"any", "only what is there"}
	case filterOver:
		return []string{"shown", "hidden"}
	case filterCost:
		return nil
	}
	words := make([]string, len(f.lists[i]))
	for k, w := range f.lists[i] {
		words[k] = anyOf(w)
	}
	return words
}

func anyOf(word string) string {
	if word == "" {
		return "any"
	}
	return clean(word)
}

// values are what the filters are set to, as words.
func (f *filterPanel) values(p *partsPane) [numFilters]string {
	v := &p.view
	out := [numFilters]string{filterKind: anyOf(string(v.Kind)), filterSide: anyOf(v.Side), filterMount: anyOf(v.Mount), filterPackage: anyOf(v.Package), filterCost: f.costText()}
	for i, on := range map[int]bool{filterIsolated: v.Isolated, filterStock: v.InStock, filterOver: v.HideOver} {
		out[i] = f.choices(i)[0]
		if on {
			out[i] = f.choices(i)[1]
		}
	}
	return out
}

// hides says how many rows a filter hides, "" for none.
func (f *filterPanel) hides(p *partsPane, i int) string {
	for _, h := range p.shown.Hidden {
		if h.Filter == hiddenNames[i] && h.Count > 0 {
			return fmt.Sprintf("hides %d", h.Count)
		}
	}
	return ""
}

func (f *filterPanel) change(p *partsPane, step int) {
	v := &p.view
	switch f.at {
	case filterKind:
		v.Kind = catalog.Kind(f.next(filterKind, string(v.Kind), step))
	case filterSide:
		v.Side = f.next(filterSide, v.Side, step)
	case filterMount:
		v.Mount = f.next(filterMount, v.Mount, step)
	case filterPackage:
		v.Package = f.next(filterPackage, v.Package, step)
	case filterIsolated:
		v.Isolated = !v.Isolated
	case filterStock:
		v.InStock = !v.InStock
	case filterOver:
		v.HideOver = !v.HideOver
	}
	p.arrange()
}

func (f *filterPanel) next(i int, word string, step int) string {
	words := f.lists[i]
	return words[(max(slices.Index(words, word), 0)+step+len(words))%len(words)]
}

func (f *filterPanel) lines(p *partsPane, w int) []string {
	values := f.values(p)
	half := (numFilters + 1) / 2
	cell := func(i, w int) string {
		mark, value := "   ", values[i]
		if i == f.at {
			mark = " > "
			value = "< " + value + " >"
			if i == filterCost {
				value = "[ " + f.cost + "|"
			}
		}
		s := mark + fit(filterNames[i], 13) + value
		if n := f.hides(p, i); n != "" {
			s = ends(s, n+" ", w)
		}
		s = fit(s, w)
		if i == f.at {
			s = p.st.cursor.Render(s)
		}
		return s
	}
	var lines []string
	for i := range half {
		line := cell(i, w/2)
		if i+half < numFilters {
			line += cell(i+half, w-w/2)
		}
		lines = append(lines, line)
	}
	return append(lines, "")
}

func (f *filterPanel) costText() string {
	switch _, err := strconv.ParseFloat(f.cost, 64); {
	case f.cost == "":
		return "any"
	case err != nil:
		return fmt.Sprintf("%s is no amount: any", f.cost)
	}
	return f.cost
}
