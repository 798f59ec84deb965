package engine

import (
	"cmp"
	"context"
	"math"
	"slices"
	"strings"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/topology"
)

// Wish is what the picks of all loads together must keep, beside fitting and the
// totals of pins, groups and rails. The zero Wish asks nothing.
type Wish struct {
	// Types is the greatest number of types of switching part, 0: any number. A
	// type is a part id of a transistor, relay, module or array, whether it
	// switches a load or drives a relay's coil; the pin itself is none. Diodes,
	// resistors, sinks and other helpers are counted apart.
	Types int
	// Stocked asks that every part of every stage is in stock, in the number that
	// is needed, or in the drawer.
	Stocked bool
	// Headroom that every stage must have, at least; 0: fitting is enough.
	Headroom float64
}

// Together is one design for each load, and what they ask of pins and rails
// with all loads on unless they exclude one another. A stage as built is taken
// as it is.
type Together struct {
	Wish    Wish
	Pick    []string // keys, in the order of the loads; "" where nothing fits
	Checks  []design.Check
	Verdict design.Verdict
	Cost    design.Money
	Types   []string // switching parts of the pick, by id
	Helpers int      // further types of part in it
	// Packages are those of arrays that several loads share; their price counts once,
	// but for stages as built, which are taken to share them.
	Packages []Package
	// Proven says that no pick is cheaper: the search was finished.
	Proven bool
	// Unmet says what cannot be kept, nil where the pick keeps all. With a wish
	// that cannot be kept there is no pick.
	Unmet *Unmet
	Trade []Trade
}

// Served is how many loads the pick has a design for.
func (t *Together) Served() int {
	n := 0
	for _, key := range t.Pick {
		if key != "" {
			n++
		}
	}
	return n
}

// Trade is the cheapest pick for a number of types of switching part. Numbers
// that save nothing over a smaller one are left out.
type Trade struct {
	Types  int
	Cost   design.Money
	Parts  []string
	Pick   []string
	Proven bool
}

// picker picks a row for each load.
type picker struct {
	ctx    context.Context
	in     *Input
	loads  []asked
	wish   Wish
	totals []total
	pack   bool          // some loads could share a package
	alone  map[*Row]bool // rows of boards that share none; never ranged over
	cuts   []cut
	left   int // work that may still be done
}

// cut is a total that a pick passed, over the loads that were on then.
type cut struct {
	total int
	on    []int
}

// briefWork is what Assess may spend on a pick whose totals do not fit at once;
// some tens of milliseconds.
const briefWork = 1 << 23

// together picks the cheapest design of each load where that keeps the totals,
// else looks for a pick that does, without going far.
func together(ctx context.Context, in *Input, loads []LoadResult) Together {
	p := newPicker(ctx, in, loads, Wish{}, briefWork)
	a := p.solve(query{limit: unlimited})
	if a.pick == nil {
		a = p.solve(query{limit: unlimited, free: true})
		t := p.tell(loads, a)
		t.Proven = false
		return t
	}
	return p.tell(loads, a)
}

// Combine picks one design for each load of a result, the cheapest of all picks
// that keep the wish and the totals of pins, groups and rails: exactly, by branch
// and bound, with what each number of types would cost, and where nothing keeps
// them why. Of picks that cost the same a fixed one is told. It asks no design
// anew. A cancelled call returns the context's error.
func Combine(ctx context.Context, in *Input, res *Result, w Wish) (Together, error) {
	p := newPicker(ctx, in, res.Loads, w, searchWork)
	a := p.solve(query{limit: p.types(), stocked: w.Stocked, headroom: w.Headroom})
	var t Together
	switch {
	case a.pick != nil:
		t = p.tell(res.Loads, a)
	case w == (Wish{}):
		// The cheapest, with the checks that it fails.
		t = p.tell(res.Loads, p.solve(query{limit: unlimited, free: true}))
		t.Unmet = p.unmet(a)
	default:
		t = Together{Pick: make([]string, len(res.Loads)), Verdict: design.Over, Unmet: p.unmet(a)}
	}
	t.Wish = w
	t.Trade = p.trade()
	return t, ctx.Err()
}

func (p *picker) types() int {
	if p.wish.Types <= 0 {
		return unlimited
	}
	return p.wish.Types
}

// worthSharing bounds the boards that the search shares among loads: a channel's share of
// the price is at most so many times the cheapest stage that its load could have alone. A
// dearer one would pay by saving a type of part at the most, and the search for that
// grows with every board that any load could share.
const worthSharing = 1.5

// keepAlone marks the boards of a load that are not shared.
func (p *picker) keepAlone(rows []*Row) {
	least := math.Inf(1)
	for _, r := range rows {
		if r.Cost.Amount.OK {
			least = min(least, r.Cost.Amount.V)
		}
	}
	for _, r := range rows {
		part, ok := p.in.Catalog.Part(r.Share.Part)
		if !ok || part.Kind() != catalog.KindModule {
			continue
		}
		price, n := part.Base().Price, topology.Channels(part)
		if price == nil || n == 0 || !r.Cost.Amount.OK || r.Cost.Amount.V-price.Amount+price.Amount*float64(r.Share.Channels)/float64(n) > worthSharing*least {
			if p.alone == nil {
				p.alone = map[*Row]bool{}
			}
			p.alone[r] = true
		}
	}
}

func newPicker(ctx context.Context, in *Input, loads []LoadResult, w Wish, work int) *picker {
	p := &picker{ctx: ctx, in: in, wish: w, left: work}
	for i := range loads {
		a := asked{rows: candidates(&loads[i])}
		if len(a.rows) == 0 {
			continue
		}
		for k := range in.Job.Loads {
			if in.Job.Loads[k].Name == loads[i].Name {
				a.load = &in.Job.Loads[k]
			}
		}
		p.loads = append(p.loads, a)
		p.keepAlone(a.rows)
	}
	slices.SortFunc(p.loads, func(a, b asked) int { return strings.Compare(a.load.Name, b.load.Name) })
	p.totals = totalsOf(in.Job, p.loads)
	p.pack = p.sharing()
	return p
}

// candidates are the rows that may be picked: the stage as built, else what fits.
func candidates(l *LoadResult) (rows []*Row) {
	for i := range l.Rows {
		switch r := &l.Rows[i]; {
		case r.Built:
			return []*Row{r}
		case r.Verdict == design.Fits:
			rows = append(rows, r)
		}
	}
	return rows
}

// A cost is counted in millionths of a currency unit, so that sums are exact; one
// without a price costs more than everything that has one.
const (
	costScale   = 1e6
	mostCost    = 1e6 // of one stage, in currency units; what costs more counts as this
	withoutCost = int64(1e15)
)

func costOfRow(r *Row) int64 {
	if !r.Cost.Amount.OK {
		return withoutCost
	}
	return int64(math.Round(min(r.Cost.Amount.V, mostCost) * costScale))
}

// tell turns an answer into what is told of it.
func (p *picker) tell(loads []LoadResult, a answer) Together {
	t := Together{Pick: make([]string, len(loads)), Proven: a.proven}
	for i := range loads {
		k := slices.IndexFunc(p.loads, func(x asked) bool { return x.load.Name == loads[i].Name })
		if k >= 0 && a.pick != nil {
			t.Pick[i] = a.pick[k].Key
		}
	}
	if len(a.pick) == 0 {
		return t
	}
	t.Cost, t.Types, t.Helpers = p.sums(a.pick)
	p.judge(&t, a.pick)
	if p.pack {
		t.Packages, _ = p.packages(a.pick)
	}
	for _, x := range p.builtPackages(a.pick) {
		for i := range x.Checks {
			t.Verdict = max(t.Verdict, x.Checks[i].Verdict)
		}
		t.Packages = append(t.Packages, x)
	}
	return t
}

// sums are a pick's cost, its switching parts and how many further types of part
// it has.
func (p *picker) sums(pick []*Row) (cost design.Money, types []string, helpers int) {
	cost = design.Money{Amount: design.Known(0), Currency: p.in.Catalog.Currency}
	var other []string
	micro := int64(0)
	for _, r := range pick {
		micro += costOfRow(r)
		if !r.Cost.Amount.OK {
			cost.Amount = design.Number{}
			cost.Missing = append(cost.Missing, r.Cost.Missing...)
		}
		for _, u := range r.Uses {
			if u.Switch {
				types = append(types, u.Part)
			} else {
				other = append(other, u.Part)
			}
		}
	}
	if p.pack {
		_, saved := p.packages(pick)
		micro -= saved
	}
	if cost.Amount.OK {
		cost.Amount.V = float64(micro) / costScale
	}
	slices.Sort(types)
	slices.Sort(other)
	slices.Sort(cost.Missing)
	cost.Missing = slices.Compact(cost.Missing)
	return cost, slices.Compact(types), len(slices.Compact(other))
}

// judge adds the checks of the totals: all pins, the worst group, each rail with
// a limit.
func (p *picker) judge(t *Together, pick []*Row) {
	worst, where, limit := -1.0, "", 0.0
	add := func(id design.CheckID, stress, rating float64, because string) {
		c := design.Check{ID: id, Unit: design.A, Stress: design.Known(stress), Rating: design.Known(rating), Because: because, Source: "the job",
			Formula: "sum of what is on at once {stress}, the limit is {rating}"}
		design.Judge(&c)
		t.Checks = append(t.Checks, c)
		t.Verdict = max(t.Verdict, c.Verdict)
	}
	group := func() {
		if worst >= 0 {
			add(design.GroupTotal, worst, limit, where)
		}
		worst = -1
	}
	for k := range p.totals {
		x := &p.totals[k]
		sum, _ := x.demand(p.loads, pick)
		switch {
		case x.id == design.GroupTotal:
			if sum > worst {
				worst, where, limit = sum, x.name, x.limit
			}
			continue
		case x.id == design.RailCurrent:
			group()
		}
		if x.stock == "" {
			add(x.id, sum, x.limit, x.name)
		}
	}
	group()
}

// trade is the table of the number of types against cost, other wishes kept.
func (p *picker) trade() (table []Trade) {
	if len(p.loads) < 2 {
		return nil
	}
	q := query{limit: unlimited, stocked: p.wish.Stocked, headroom: p.wish.Headroom}
	least := p.solve(q)
	if least.pick == nil {
		return nil
	}
	_, most, _ := p.sums(least.pick)
	n, ok := p.fewest(q)
	if !ok {
		return nil
	}
	q.floor = least.cost
	for below := int64(noBound); n <= len(most); n++ {
		q.limit, q.below = n, below
		a := p.solve(q)
		if a.pick == nil {
			if !a.proven {
				break
			}
			continue
		}
		below = a.cost
		cost, parts, _ := p.sums(a.pick)
		row := Trade{Types: n, Cost: cost, Parts: parts, Proven: a.proven}
		for _, r := range a.pick {
			row.Pick = append(row.Pick, r.Key)
		}
		table = append(table, row)
		if a.cost <= least.cost {
			break
		}
	}
	return table
}

// isSwitch reports whether a part is of a kind that switches.
func isSwitch(k catalog.Kind) bool {
	switch k {
	case catalog.KindBJT, catalog.KindMOSFET, catalog.KindRelay, catalog.KindSSR, catalog.KindModule, catalog.KindArray:
		return true
	}
	return false
}

// usesOf is what a row takes from the drawer, by id.
func usesOf(cat *catalog.Catalog, bom []design.BOMLine) []Use {
	uses := make([]Use, 0, len(bom))
	for _, b := range bom {
		if k := slices.IndexFunc(uses, func(u Use) bool { return u.Part == b.Part }); k >= 0 {
			uses[k].Count += b.Count
			continue
		}
		u := Use{Part: b.Part, Count: b.Count}
		if part, ok := cat.Part(b.Part); ok {
			u.Switch = isSwitch(part.Kind())
		}
		uses = append(uses, u)
	}
	slices.SortFunc(uses, func(a, b Use) int { return cmp.Compare(a.Part, b.Part) })
	return uses
}
