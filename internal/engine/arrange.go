package engine

import (
	"cmp"
	"slices"
	"strings"
	"unicode/utf8"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
)

// criterion compares two rows by one thing, best first.
type criterion func(a, b *Row) int

func unknownLast(a, b design.Number) int {
	switch {
	case a.OK && b.OK:
		return cmp.Compare(a.V, b.V)
	case a.OK:
		return -1
	case b.OK:
		return 1
	}
	return 0
}

func byCost(a, b *Row) int { return unknownLast(a.Cost.Amount, b.Cost.Amount) }
func byHeadroom(a, b *Row) int {
	if a.Headroom.OK && b.Headroom.OK {
		return cmp.Compare(b.Headroom.V, a.Headroom.V)
	}
	return unknownLast(a.Headroom, b.Headroom)
}
func byHeat(a, b *Row) int  { return unknownLast(a.Heat, b.Heat) }
func byParts(a, b *Row) int { return cmp.Compare(a.Parts, b.Parts) }
func bySpeed(a, b *Row) int { return unknownLast(a.TurnOff, b.TurnOff) }

// byDoubts brings what is unproven in the fewest checks first: it takes the fewest
// figures to prove it.
func byDoubts(a, b *Row) int {
	if a.Verdict != design.Unproven || b.Verdict != design.Unproven {
		return 0
	}
	return cmp.Compare(a.Unproven, b.Unproven)
}

// byMiss brings what misses by least first. What a stage costs that would burn is of
// no use to anybody.
func byMiss(a, b *Row) int {
	if a.Verdict != design.Over || b.Verdict != design.Over {
		return 0
	}
	return byHeadroom(a, b)
}

// criteria of an order: the built stage first, then the verdict, then of what is
// unproven the fewest doubts, then the named one, then the others, last the key. By
// cost, what is over stands by how far it is.
func criteria(o Order) []criterion {
	named := map[Order]criterion{ByCost: byCost, ByHeadroom: byHeadroom, ByHeat: byHeat, ByParts: byParts, BySpeed: bySpeed}[o]
	if named == nil {
		named, o = byCost, ByCost
	}
	miss := criterion(func(a, b *Row) int { return 0 })
	if o == ByCost {
		miss = byMiss
	}
	return []criterion{
		func(a, b *Row) int { return boolFirst(a.Built, b.Built) },
		func(a, b *Row) int { return cmp.Compare(a.Verdict, b.Verdict) },
		byDoubts, miss, named, byCost, byHeadroom, byHeat, byParts, bySpeed,
		func(a, b *Row) int { return strings.Compare(a.Key, b.Key) },
	}
}

func boolFirst(a, b bool) int {
	switch {
	case a == b:
		return 0
	case a:
		return -1
	}
	return 1
}

// compare goes from one criterion to the next while two rows are equal.
func compare(cs []criterion, a, b *Row) int {
	for _, c := range cs {
		if x := c(a, b); x != 0 {
			return x
		}
	}
	return 0
}

// doubtBits hold how many checks of a design are unproven.
const doubtBits = 16

// sortPointers sorts as sortRows does. Each key of an order is on the screen of
// somebody who waits: what decides nearly always is gathered in one place first.
func sortPointers(rows []*Row, o Order) {
	type item struct {
		class   int // the built stage first, then the verdict, then doubts
		unknown bool
		v       float64 // least first
		row     *Row
	}
	items := make([]item, len(rows))
	for i, r := range rows {
		it := &items[i]
		it.row = r
		it.class = int(r.Verdict) << doubtBits
		if r.Verdict == design.Unproven {
			it.class += r.Unproven
		}
		if r.Built {
			it.class -= 1 << (2 * doubtBits)
		}
		n := r.Cost.Amount
		of := o
		if of != ByHeat && of != ByParts && of != BySpeed && r.Verdict == design.Over {
			of = ByHeadroom
		}
		switch of {
		case ByHeadroom:
			n = r.Headroom
			n.V = -n.V
		case ByHeat:
			n = r.Heat
		case ByParts:
			n = design.Known(float64(r.Parts))
		case BySpeed:
			n = r.TurnOff
		}
		it.v, it.unknown = n.V, !n.OK
	}
	cs := criteria(o)
	slices.SortFunc(items, func(a, b item) int {
		switch {
		case a.class != b.class:
			return cmp.Compare(a.class, b.class)
		case a.unknown != b.unknown:
			return boolFirst(b.unknown, a.unknown)
		case !a.unknown && a.v != b.v:
			return cmp.Compare(a.v, b.v)
		}
		return compare(cs, a.row, b.row)
	})
	for i := range items {
		rows[i] = items[i].row
	}
}

// sortRows sorts the rows by their places: they are too large to be handed about.
func sortRows(rows []Row, o Order) {
	cs := criteria(o)
	order := make([]int32, len(rows)) // which row comes where: a row is long
	for i := range order {
		order[i] = int32(i)
	}
	slices.SortFunc(order, func(a, b int32) int { return compare(cs, &rows[a], &rows[b]) })
	for i := range order { // along each ring of places
		if order[i] < 0 {
			continue
		}
		first, at := rows[i], i
		for {
			from := int(order[at])
			order[at] = -1
			if from == i {
				break
			}
			rows[at], at = rows[from], from
		}
		rows[at] = first
	}
}

// Arrange orders and filters rows; no physics. Every filter says how many rows
// it hides that no other filter hides with it counted first: the counts add up
// to what is missing.
func Arrange(rows []Row, view View) Arranged {
	out := Arranged{Total: len(rows), Rows: make([]*Row, 0, len(rows))}
	filters := view.filters()
	counts := make([]int, len(filters))
	for i := range rows {
		hidden := false
		for f := range filters {
			if !filters[f].keep(&rows[i]) {
				counts[f]++
				hidden = true
				break
			}
		}
		if !hidden {
			out.Rows = append(out.Rows, &rows[i])
		}
	}
	for f := range filters {
		if counts[f] > 0 {
			out.Hidden = append(out.Hidden, Hidden{filters[f].name, counts[f]})
		}
	}
	sortPointers(out.Rows, view.Order)
	return out
}

// holds reports whether a text holds a word, which is in lower case. It is asked of every
// row at each key that is typed, so that it makes no text of its own where it need not.
func holds(text, word string) bool {
	for i := range len(word) {
		if word[i] >= utf8.RuneSelf {
			return strings.Contains(strings.ToLower(text), word)
		}
	}
	for i := 0; i+len(word) <= len(text); i++ {
		k := 0
		for k < len(word) && lower(text[i+k]) == word[k] {
			k++
		}
		if k == len(word) {
			return true
		}
	}
	return false
}

func lower(c byte) byte {
	if 'A' <= c && c <= 'Z' {
		c += 'a' - 'A'
	}
	return c
}

type filter struct {
	name string
	keep func(*Row) bool
}

func (v *View) filters() (fs []filter) {
	add := func(on bool, name string, keep func(*Row) bool) {
		if on {
			fs = append(fs, filter{name, keep})
		}
	}
	add(v.Kind != "", "kind", func(r *Row) bool { return r.Kind == v.Kind })
	add(v.Side != "", "side", func(r *Row) bool { return r.Side == v.Side || r.Side == "any" })
	add(v.Isolated, "isolation", func(r *Row) bool { return r.Isolated })
	add(v.Mount != "", "mount", func(r *Row) bool { return r.Mount == v.Mount })
	add(v.Package != "", "package", func(r *Row) bool { return strings.EqualFold(r.Package, v.Package) })
	add(v.InStock, "stock", func(r *Row) bool { return r.Stocked || r.Stock > 0 || r.Kind == catalog.KindPin })
	add(v.MaxCost.OK, "price", func(r *Row) bool { return r.Cost.Amount.OK && r.Cost.Amount.V <= v.MaxCost.V })
	if words := strings.Fields(strings.ToLower(v.Text)); len(words) > 0 {
		add(true, "text", func(r *Row) bool {
			for _, w := range words {
				if !holds(r.Part, w) && !holds(r.Title, w) && !holds(r.Topology, w) && !holds(r.Package, w) {
					return false
				}
			}
			return true
		})
	}
	add(v.HideOver, "verdict", func(r *Row) bool { return r.Verdict != design.Over || r.Built })
	return fs
}
