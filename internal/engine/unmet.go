package engine

import (
	"math"
	"slices"

	"example.org/pinhoist/internal/design"
)

// Bound is something that all picks together must keep.
type Bound string

// The bounds: the wishes, and the totals under the names of their checks.
const (
	BoundTypes    Bound = "types"
	BoundStocked  Bound = "stocked"
	BoundHeadroom Bound = "headroom"
)

// Unmet says why nothing keeps a wish and the totals at once.
type Unmet struct {
	// Breaks is the first of headroom, stock, totals and types, in that order, that
	// leaves nothing once those before it are kept.
	Breaks Bound
	Where  string   // of a total: which
	Loads  []string // those that it leaves nothing for by itself
	// Relax lists what would do, each by itself: the least that a bound has to give.
	Relax []Relax
	// Both lists bounds that only together would do, where none does by itself.
	Both []Bound
	// Proven says that there is no pick; else the search was ended first.
	Proven bool
}

// Relax is the least that a bound has to give, the others kept.
type Relax struct {
	Bound    Bound
	Where    string  // of a total: which
	From, To float64 // types, headroom, or the limit of a total
	Unit     design.Unit
	Parts    []string // of stock: the fewest types of part to get
}

// unmet looks for what stands in the way.
func (p *picker) unmet(a answer) *Unmet {
	u := &Unmet{Proven: a.proven}
	q := query{limit: p.types(), stocked: p.wish.Stocked, headroom: p.wish.Headroom, any: true}
	p.breaks(u, q)
	p.relaxTypes(u, q)
	p.relaxHeadroom(u, q)
	p.relaxStock(u, q)
	p.relaxTotals(u, q)
	if len(u.Relax) == 0 {
		p.both(u, q)
	}
	return u
}

func (p *picker) possible(q query) bool {
	q.any = true
	return p.solve(q).pick != nil
}

// breaks adds the bounds one by one.
func (p *picker) breaks(u *Unmet, q query) {
	step := query{limit: unlimited, free: true, any: true}
	if step.headroom = q.headroom; !p.possible(step) {
		u.Breaks, u.Loads = BoundHeadroom, p.without(step)
		return
	}
	step.stocked = q.stocked
	if u.Loads = p.without(step); len(u.Loads) > 0 {
		u.Breaks = BoundStocked
		return
	}
	// Pieces of a part are counted with the totals: without those first.
	if step.free = false; !p.possible(step) {
		u.Breaks, u.Where = p.total(step)
		return
	}
	u.Breaks = BoundTypes
}

// without lists the loads that a query leaves nothing for.
func (p *picker) without(q query) (names []string) {
	for i := range p.loads {
		if len(p.allowed(&p.loads[i], &q)) == 0 {
			names = append(names, p.loads[i].load.Name)
		}
	}
	return names
}

// total finds the total that is in the way: the first that does alone, else the
// first without which it would do; else none is named.
func (p *picker) total(q query) (Bound, string) {
	for k := range p.totals {
		alone := q
		alone.free = true
		if !p.keepsAlone(alone, k) {
			return Bound(p.totals[k].id.String()), p.totals[k].name
		}
	}
	for k := range p.totals {
		q.drop = k + 1
		if p.possible(q) {
			return Bound(p.totals[k].id.String()), p.totals[k].name
		}
	}
	if q.stocked {
		return BoundStocked, ""
	}
	return Bound(design.PinTotal.String()), ""
}

// keepsAlone reports whether a pick keeps total k where no other counts: each
// load takes what asks least of it.
func (p *picker) keepsAlone(q query, k int) bool {
	t := &p.totals[k]
	pick := make([]*Row, len(p.loads))
	for i := range p.loads {
		for _, r := range p.allowed(&p.loads[i], &q) {
			if pick[i] == nil || t.of(i, r) < t.of(i, pick[i]) {
				pick[i] = r
			}
		}
	}
	sum, _ := t.demand(p.loads, pick)
	return design.AtMost(sum, t.limit)
}

func (p *picker) relaxTypes(u *Unmet, q query) {
	if q.limit == unlimited {
		return
	}
	free := q
	free.limit, free.any = unlimited, false
	if n, ok := p.fewest(free); ok && n > q.limit {
		u.Relax = append(u.Relax, Relax{Bound: BoundTypes, From: float64(q.limit), To: float64(n), Unit: design.One})
	}
}

// relaxHeadroom looks for the greatest headroom that something still has.
func (p *picker) relaxHeadroom(u *Unmet, q query) {
	if q.headroom <= 0 {
		return
	}
	var steps []float64
	for i := range p.loads {
		for _, r := range p.loads[i].rows {
			if !r.Built && r.Headroom.OK && r.Headroom.V < q.headroom {
				steps = append(steps, r.Headroom.V)
			}
		}
	}
	slices.Sort(steps)
	steps = slices.Compact(steps)
	at := func(n int) bool { q.headroom = steps[n]; return p.possible(q) }
	from := q.headroom
	if len(steps) == 0 || !at(0) {
		return
	}
	lo, hi := 0, len(steps) // lo is possible, hi is not
	for hi-lo > 1 {
		if mid := (lo + hi) / 2; at(mid) {
			lo = mid
		} else {
			hi = mid
		}
	}
	u.Relax = append(u.Relax, Relax{Bound: BoundHeadroom, From: from, To: steps[lo], Unit: design.One})
}

// relaxStock looks for the fewest types of part to get.
func (p *picker) relaxStock(u *Unmet, q query) {
	if !q.stocked {
		return
	}
	q.fewestMissing, q.any = true, false
	if parts := p.toGet(q, nil); len(parts) > 0 {
		u.Relax = append(u.Relax, Relax{Bound: BoundStocked, To: float64(len(parts)), Unit: design.One, Parts: parts})
	}
}

// toGet is the fewest types of part that must be got, fewer than best has (nil:
// any number). A part of which there are only so many either is got or keeps its
// number: where a pick takes more, both are tried.
func (p *picker) toGet(q query, best []string) []string {
	a := p.solve(q)
	if a.pick == nil || best != nil && int(a.cost)+len(q.got) >= len(best) {
		return best
	}
	parts := slices.Clone(q.got)
	for _, r := range a.pick {
		if !r.Built {
			parts = append(parts, p.missing(r)...)
		}
	}
	slices.Sort(parts)
	parts = slices.Compact(parts)
	over := p.short(a.pick, parts)
	if over == "" {
		return parts
	}
	with, without := q, q
	with.got = append(slices.Clone(q.got), over)
	without.kept = append(slices.Clone(q.kept), over)
	return p.toGet(without, p.toGet(with, best))
}

// short is the first part of which a pick takes more than there are, beside those
// that are got.
func (p *picker) short(pick []*Row, got []string) string {
	for _, t := range p.stockOf() {
		if sum, _ := t.demand(p.loads, pick); sum > t.limit && !slices.Contains(got, t.stock) {
			return t.stock
		}
	}
	if p.pack {
		return p.packing(query{stocked: true}).short(pick, got)
	}
	return ""
}

// totalWidth is how near the least limit of a total is solved, a ratio.
const totalWidth = 1 + 1e-4

// relaxTotals looks, for each total that has ever been passed, for the least
// limit with which all else can be kept.
func (p *picker) relaxTotals(u *Unmet, q query) {
	for k := range p.totals {
		t := &p.totals[k]
		if !slices.ContainsFunc(p.cuts, func(c cut) bool { return c.total == k }) {
			continue
		}
		drop := q
		drop.drop = k + 1
		a := p.solve(drop)
		if a.pick == nil {
			continue
		}
		lo := t.limit
		hi, _ := t.demand(p.loads, a.pick)
		for lo > 0 && hi/lo > totalWidth || lo <= 0 && hi > 0 {
			mid := math.Sqrt(lo * hi)
			if lo <= 0 {
				mid = hi / 2
			}
			try := q
			try.least = map[int]float64{k: mid}
			a := p.solve(try)
			if a.pick == nil {
				if lo = mid; lo <= 0 {
					break
				}
				continue
			}
			hi, _ = t.demand(p.loads, a.pick)
		}
		if hi > t.limit {
			u.Relax = append(u.Relax, Relax{Bound: Bound(t.id.String()), Where: t.name, From: t.limit, To: hi, Unit: t.unit})
		}
	}
}

// both looks for two bounds that would do together, all totals being one.
func (p *picker) both(u *Unmet, q query) {
	const totals Bound = "totals"
	var names []Bound
	for _, b := range []struct {
		name Bound
		on   bool
	}{{BoundTypes, q.limit != unlimited}, {BoundHeadroom, q.headroom > 0}, {BoundStocked, q.stocked}, {totals, true}} {
		if b.on {
			names = append(names, b.name)
		}
	}
	without := func(drop ...Bound) bool {
		x := q
		for _, b := range drop {
			switch b {
			case BoundTypes:
				x.limit = unlimited
			case BoundHeadroom:
				x.headroom = 0
			case BoundStocked:
				x.stocked = false
			case totals:
				x.free = true
			}
		}
		return p.possible(x)
	}
	for _, a := range names {
		if without(a) {
			u.Both = []Bound{a}
			return
		}
	}
	for i, a := range names {
		for _, b := range names[i+1:] {
			if without(a, b) {
				u.Both = []Bound{a, b}
				return
			}
		}
	}
	u.Both = names
}
