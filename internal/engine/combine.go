package engine

import (
	"cmp"
	"slices"
	"strings"

	"example.org/pinhoist/internal/design"
)

// query is one question about a pick.
type query struct {
	limit    int // of types, or unlimited
	stocked  bool
	headroom float64
	free     bool            // the totals do not count
	drop     int             // place of a total that does not count, one higher; 0: none
	least    map[int]float64 // other limits for totals, by place; never ranged over
	below    int64           // the cost to stay under, 0: none
	floor    int64           // no pick that keeps the totals costs less
	any      bool            // any pick will do, whatever its cost
	// What is made least instead of the cost: the number of types of switching
	// part, or of parts that are not in stock.
	fewestTypes, fewestMissing bool
	// Of parts not in stock: those to get, and those that are not to be got.
	got, kept []string
}

// answer is what a query found.
type answer struct {
	pick   []*Row // beside the loads asked; nil: none
	cost   int64
	proven bool
}

// solve finds the pick. Totals are looked at only once a pick passes one: what
// was on then becomes a limit line, and the search is made again. Every search
// but the last is thus a question with fewer limits, so the first answer that
// keeps all of them is the cheapest there is.
func (p *picker) solve(q query) answer {
	totals := p.totals
	if q.stocked {
		totals = totals[:len(totals):len(totals)]
		for _, t := range p.stockOf() {
			if !q.fewestMissing || slices.Contains(q.kept, t.stock) {
				totals = append(totals, t)
			}
		}
	}
	cuts := make([]cut, 0, len(p.cuts))
	if !q.free {
		for _, c := range p.cuts {
			if c.total != q.drop-1 {
				cuts = append(cuts, c)
			}
		}
	}
	below := q.below
	if below == 0 {
		below = noBound
	}
	if len(p.loads) == 0 {
		return answer{pick: []*Row{}, proven: true}
	}
	if a := p.first(&q, totals, cuts); a.pick != nil {
		return a
	}
	for {
		m, rows, k := p.menu(q, totals, cuts)
		m.floor = q.floor
		if q.any {
			below, m.floor = int64(len(cuts))*wholeShare+1, noBound
		}
		out := p.choose(m, below)
		if k != nil && k.cut {
			out.proven = false
		}
		if out.pick == nil {
			return answer{proven: out.proven}
		}
		a := answer{cost: out.cost, proven: out.proven}
		if q.any {
			a.cost = 0
		}
		for i, k := range out.pick {
			a.pick = append(a.pick, rows[i][m.options[i][k].row])
		}
		if q.free {
			return a
		}
		fresh := p.passed(q, totals, cuts, a.pick)
		if len(fresh) == 0 {
			return a
		}
		cuts = append(cuts, fresh...)
		for _, c := range fresh {
			if c.total < len(p.totals) {
				p.cuts = append(p.cuts, c)
			}
		}
	}
}

// first is each load's first row, where nothing but the totals could forbid it:
// rows stand in the order of their cost.
func (p *picker) first(q *query, totals []total, cuts []cut) (a answer) {
	if p.pack || q.limit != unlimited || q.stocked || q.headroom > 0 || q.fewestTypes || q.below != 0 || len(cuts) > 0 {
		return a
	}
	pick := make([]*Row, len(p.loads))
	cost := int64(0)
	for i := range p.loads {
		pick[i] = p.loads[i].rows[0]
		cost += costOfRow(pick[i])
	}
	if !q.free && len(p.passed(*q, totals, nil, pick)) > 0 {
		return a
	}
	return answer{pick: pick, cost: cost, proven: true}
}

// choose is the search with what work is left.
func (p *picker) choose(m *menu, below int64) outcome {
	out := chooseWithin(m, below, p.left, func() bool { return p.ctx.Err() != nil })
	p.left -= out.work
	return out
}

// passed lists the totals that a pick passes, those not yet among the cuts.
func (p *picker) passed(q query, totals []total, cuts []cut, pick []*Row) (fresh []cut) {
	for k := range totals {
		if k == q.drop-1 {
			continue
		}
		sum, on := totals[k].demand(p.loads, pick)
		if design.AtMost(sum, q.limitOf(totals, k)) {
			continue
		}
		c := cut{k, on}
		if !slices.ContainsFunc(cuts, func(o cut) bool { return o.total == k && slices.Equal(o.on, on) }) {
			fresh = append(fresh, c)
		}
	}
	return fresh
}

func (q *query) limitOf(totals []total, k int) float64 {
	if v, ok := q.least[k]; ok {
		return v
	}
	return totals[k].limit
}

// allowed are the rows of a load that a query lets through. A stage as built is
// taken as it is.
func (p *picker) allowed(a *asked, q *query) []*Row {
	var rows []*Row
	for _, r := range a.rows {
		if !r.Built {
			if q.headroom > 0 && r.Headroom.OK && !design.AtMost(q.headroom, r.Headroom.V) {
				continue
			}
			if q.stocked && slices.ContainsFunc(p.missing(r), func(id string) bool { return !q.fewestMissing || slices.Contains(q.kept, id) }) {
				continue
			}
		}
		rows = append(rows, r)
	}
	return rows
}

// missing lists the parts of a row that are not in stock in the number that it
// takes.
func (p *picker) missing(r *Row) (ids []string) {
	for _, u := range r.Uses {
		if n, there := pieces(p.in.Catalog, u.Part); !there || n >= 0 && n < u.Count {
			ids = append(ids, u.Part)
		}
	}
	return ids
}

// menu makes the choice of a query, with the rows that it is about. What another
// option of the load equals or beats in cost, in kinds and in every total that
// counts is left out.
func (p *picker) menu(q query, totals []total, cuts []cut) (*menu, [][]*Row, *packing) {
	m := &menu{limit: q.limit}
	if q.fewestTypes {
		m.limit = unlimited
	}
	rows, kept := make([][]*Row, len(p.loads)), make([][]weighed, len(p.loads))
	counted := q.limit != unlimited || q.fewestTypes
	priced := !q.any && !q.fewestTypes && !q.fewestMissing
	k := kindIndex{of: map[string]int{}}
	used := usedTotals(cuts)
	lines := make([]limitLine, len(cuts))
	for n := range lines {
		lines[n].limit = q.limitOf(totals, cuts[n].total)
	}
	for i := range p.loads {
		rows[i] = p.allowed(&p.loads[i], &q)
		all := make([]weighed, len(rows[i]))
		for n, r := range rows[i] {
			w := &all[n]
			w.row = n
			if priced {
				w.cost = costOfRow(r)
			}
			if counted {
				for _, u := range r.Uses {
					if u.Switch {
						w.kinds = append(w.kinds, k.add(m, u.Part, kind{counted: true, open: one(q.fewestTypes)}))
					}
				}
			}
			if q.fewestMissing && !r.Built {
				for _, id := range p.missing(r) {
					if !slices.Contains(q.got, id) {
						w.kinds = append(w.kinds, k.add(m, "stock/"+id, kind{open: 1}))
					}
				}
			}
			if price, ok := p.shares(r); ok && p.pack {
				w.shared = true
				if priced {
					w.cost -= price
					m.besideMost += price
					w.kinds = append(w.kinds, k.add(m, "package/"+r.Share.Part, kind{open: price}))
				}
			}
			slices.Sort(w.kinds)
			for _, t := range used {
				w.uses = append(w.uses, totals[t].of(i, r))
			}
			if q.any {
				for n := range lines {
					if _, on := slices.BinarySearch(cuts[n].on, i); on {
						w.cost += shareOf(totals[cuts[n].total].of(i, r), lines[n].limit)
					}
				}
			}
		}
		kept[i] = undominated(all)
	}
	if counted && len(used) > 0 { // without totals the search is short anyway
		k.leaveOut(m, kept)
	}
	for i, all := range kept {
		options := make([]option, len(all))
		for n, w := range all {
			options[n] = option{cost: w.cost, kinds: w.kinds, row: w.row}
		}
		m.options = append(m.options, options)
		for n := range lines {
			lines[n].use = append(lines[n].use, usesIn(&cuts[n], used, i, all))
		}
	}
	m.caps = lines
	return m, rows, p.packMenu(m, rows, &q, priced)
}

// packMenu adds the packages beyond the first of each part to a menu.
func (p *picker) packMenu(m *menu, rows [][]*Row, q *query, priced bool) *packing {
	if !p.pack {
		return nil
	}
	pk := p.packing(*q)
	pick := make([]*Row, len(rows))
	m.beside = func(places []int) int64 {
		for i, n := range places {
			if pick[i] = nil; n >= 0 {
				pick[i] = rows[i][m.options[i][n].row]
			}
		}
		extra := pk.beside(pick)
		if extra > 0 && !priced {
			return 0
		}
		return extra
	}
	return pk
}

// wholeShare is the whole of a total, where a query asks for any pick that keeps them:
// what a pick takes of all totals together is then its cost, so that a search that
// finds none knows early that there is none.
const wholeShare = 1_000_000

// shareOf is what a use takes of a limit, never more than it does.
func shareOf(use, limit float64) int64 {
	switch {
	case use <= 0:
		return 0
	case use >= 2*limit: // alone more than there is
		return 2 * wholeShare
	}
	return int64(use / limit * wholeShare)
}

func one(yes bool) int64 {
	if yes {
		return 1
	}
	return 0
}

// usedTotals are the totals that the cuts are about.
func usedTotals(cuts []cut) []int {
	var used []int
	for _, c := range cuts {
		if !slices.Contains(used, c.total) {
			used = append(used, c.total)
		}
	}
	slices.Sort(used)
	return used
}

// usesIn is what each kept option of load i adds to a cut.
func usesIn(c *cut, used []int, i int, kept []weighed) []float64 {
	use := make([]float64, len(kept))
	if _, on := slices.BinarySearch(c.on, i); !on {
		return use
	}
	t := slices.Index(used, c.total)
	for n := range kept {
		use[n] = kept[n].uses[t]
	}
	return use
}

// kindIndex numbers the kinds of a menu.
type kindIndex struct{ of map[string]int }

func (x *kindIndex) add(m *menu, id string, k kind) int {
	n, ok := x.of[id]
	if !ok {
		n = len(m.kinds)
		x.of[id] = n
		m.kinds = append(m.kinds, k)
	}
	return n
}

// leaveOut drops the options of every counted kind that another kind can stand in
// for: wherever an option needs the one, the load has an option with the other in its
// place, and no further kind, that costs no more and uses no more of any total. What a
// pick has of the one can all be traded then, for no more kinds and no more cost.
func (x *kindIndex) leaveOut(m *menu, kept [][]weighed) {
	ids := make([]string, len(m.kinds))
	for id, n := range x.of {
		ids[n] = id
	}
	var order []int
	users := make([][]int, len(m.kinds)) // of each kind, the loads that could use it
	for i, options := range kept {
		for n := range options {
			for _, k := range options[n].kinds {
				if u := users[k]; len(u) == 0 || u[len(u)-1] != i {
					users[k] = append(u, i)
				}
			}
		}
	}
	for k := range m.kinds {
		if m.kinds[k].counted {
			order = append(order, k)
		}
	}
	// Of two that can stand in for one another the first by name stays.
	slices.SortFunc(order, func(a, b int) int { return strings.Compare(ids[b], ids[a]) })
	for _, gone := range order {
		for _, other := range order {
			if other != gone && m.kinds[other].open <= m.kinds[gone].open && standsIn(kept, users[gone], other, gone) {
				for _, i := range users[gone] {
					kept[i] = slices.DeleteFunc(kept[i], func(w weighed) bool { return slices.Contains(w.kinds, gone) })
				}
				break
			}
		}
	}
}

// standsIn reports whether every option that needs kind gone, and there is one, has one
// with kind other in its place.
func standsIn(kept [][]weighed, loads []int, other, gone int) bool {
	any := false
	for _, i := range loads {
		for n := range kept[i] {
			w := &kept[i][n]
			if !slices.Contains(w.kinds, gone) {
				continue
			}
			any = true
			swapped := *w
			swapped.kinds = slices.Clone(w.kinds)
			swapped.kinds[slices.Index(swapped.kinds, gone)] = other
			slices.Sort(swapped.kinds)
			if w.shared || !slices.ContainsFunc(kept[i], func(k weighed) bool { return k.cost <= w.cost && !slices.Contains(k.kinds, gone) && k.beats(&swapped) }) {
				return false
			}
		}
	}
	return any
}

// weighed is an option with what it uses of each total that counts.
type weighed struct {
	cost  int64
	kinds []int
	uses  []float64
	row   int
	// shared says that it takes channels of a package that others may share, so that
	// what it costs depends on them.
	shared bool
}

// undominated leaves out what another option equals or beats in everything, the
// cheapest first.
func undominated(all []weighed) []weighed {
	slices.SortStableFunc(all, func(a, b weighed) int { return cmp.Or(cmp.Compare(a.cost, b.cost), len(a.kinds)-len(b.kinds)) })
	kept := all[:0]
	for _, w := range all {
		if !slices.ContainsFunc(kept, func(k weighed) bool { return k.beats(&w) }) {
			kept = append(kept, w)
		}
	}
	return kept
}

// beats reports whether one that costs no more needs no other kind and uses no
// more of any total.
func (k *weighed) beats(w *weighed) bool {
	if k.shared {
		return false
	}
	for n, u := range k.uses {
		if u > w.uses[n] {
			return false
		}
	}
	at := 0
	for _, kind := range k.kinds {
		for at < len(w.kinds) && w.kinds[at] < kind {
			at++
		}
		if at == len(w.kinds) || w.kinds[at] != kind {
			return false
		}
	}
	return true
}

// fewest is the least number of types of switching part of any pick; ok is false
// where there is no pick, or none was found.
func (p *picker) fewest(q query) (n int, ok bool) {
	q.fewestTypes, q.below = true, 0
	a := p.solve(q)
	if a.pick == nil {
		return 0, false
	}
	return int(a.cost), a.proven
}
