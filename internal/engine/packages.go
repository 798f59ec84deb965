package engine

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/topology"
)

// Package is one package of an array, or one board of a module, that several loads share.
type Package struct {
	Part   string
	Loads  []string
	Checks []design.Check // with all of its channels on
	Built  bool           // of stages as built, which are taken to share it
}

// packing finds how few packages several loads need that take channels of one
// array or one kind of board. The channels of a load stay in one package; all that share one count as
// on at once. A load that needs more than one package shares none of them.
type packing struct {
	p    *picker
	most map[string]int // packages that there are, by part; never ranged over
	memo map[string]int // packages needed, by part and rows; never ranged over
	fits map[string]bool
	work int // of a search
	cut  bool
}

// packWork bounds the search of one packing; beyond it the best found so far is
// taken, which may be a package more than needed.
const packWork = 20000

// shares reports whether a row takes channels of a package that others may share,
// and what one package costs.
func (p *picker) shares(r *Row) (each int64, ok bool) {
	s := &r.Share
	if s.Part == "" || r.Built || p.alone[r] || !r.Cost.Amount.OK {
		return 0, false
	}
	part, found := p.in.Catalog.Part(s.Part)
	if !found {
		return 0, false
	}
	price, n := part.Base().Price, topology.Channels(part)
	if n == 0 || s.Stages > n || price == nil || taken(r, s.Part) != 1 {
		return 0, false
	}
	return int64(math.Round(min(price.Amount, mostCost) * costScale)), true
}

// sharing reports whether two loads could share a package at all.
func (p *picker) sharing() bool {
	seen := map[string]int{} // by part, one above the place of the load; never ranged over
	for i := range p.loads {
		for _, r := range p.loads[i].rows {
			if _, ok := p.shares(r); !ok {
				continue
			}
			if n := seen[r.Share.Part]; n != 0 && n != i+1 {
				return true
			}
			seen[r.Share.Part] = i + 1
		}
	}
	return false
}

// shared is a row with its load's place.
type shared struct {
	place int
	row   *Row
}

// byPart sorts what a pick shares by part; nil rows are loads without a pick.
func (p *picker) byPart(pick []*Row) (parts []string, of map[string][]shared) {
	of = map[string][]shared{} // never ranged over
	for i, r := range pick {
		if r == nil {
			continue
		}
		if _, ok := p.shares(r); ok {
			id := r.Share.Part
			if of[id] == nil {
				parts = append(parts, id)
			}
			of[id] = append(of[id], shared{i, r})
		}
	}
	slices.Sort(parts)
	return parts, of
}

// beside is what the packages of a pick cost beyond the first of each part;
// negative where there are not so many.
func (k *packing) beside(pick []*Row) int64 {
	sum := int64(0)
	parts, of := k.p.byPart(pick)
	for _, id := range parts {
		n := k.needs(id, of[id])
		if most, limited := k.most[id]; limited && n+k.unshared(id, pick) > most {
			return -1
		}
		price, _ := k.p.shares(of[id][0].row)
		sum += price * int64(n-1)
	}
	return sum
}

// unshared is how many packages of a part go to loads that share none.
func (k *packing) unshared(id string, pick []*Row) int {
	n := 0
	for _, r := range pick {
		if r != nil {
			n += k.p.counted(r, id)
		}
	}
	return n
}

// short is the first part of which a pick takes more packages than there are.
func (k *packing) short(pick []*Row, got []string) string {
	parts, of := k.p.byPart(pick)
	for _, id := range parts {
		if most, limited := k.most[id]; limited && k.needs(id, of[id])+k.unshared(id, pick) > most && !slices.Contains(got, id) {
			return id
		}
	}
	return ""
}

// needs is the number of packages for those rows.
func (k *packing) needs(id string, rows []shared) int {
	if len(rows) == 1 {
		return 1
	}
	key := keyOf(id, rows)
	n, ok := k.memo[key]
	if !ok {
		n = len(k.pack(id, rows))
		k.memo[key] = n
	}
	return n
}

func keyOf(id string, rows []shared) string {
	var b strings.Builder
	b.WriteString(id)
	for _, s := range rows {
		fmt.Fprintf(&b, "/%d:%p", s.place, s.row)
	}
	return b.String()
}

// pack distributes rows over as few packages as can be.
func (k *packing) pack(id string, rows []shared) (bins [][]shared) {
	part, _ := k.p.in.Catalog.Part(id)
	channels := topology.Channels(part)
	order := slices.Clone(rows)
	slices.SortStableFunc(order, func(a, b shared) int { return b.row.Share.Channels - a.row.Share.Channels })
	for _, s := range order { // each by itself: it fits so
		bins = append(bins, []shared{s})
	}
	least := 0
	for _, s := range rows {
		least += s.row.Share.Channels
	}
	least = (least + channels - 1) / channels
	k.work = packWork
	var down func(n int, open [][]shared)
	down = func(n int, open [][]shared) {
		k.work--
		if len(open) >= len(bins) || len(bins) == least || k.work < 0 {
			return
		}
		if n == len(order) {
			bins = nil
			for _, o := range open {
				bins = append(bins, slices.Clone(o))
			}
			return
		}
		for i := range open {
			before := open[i]
			if with := append(before[:len(before):len(before)], order[n]); k.together(part, with) {
				open[i] = with
				down(n+1, open)
				open[i] = before
			}
		}
		down(n+1, append(open[:len(open):len(open)], []shared{order[n]}))
	}
	down(0, nil)
	k.cut = k.cut || k.work < 0
	return bins
}

// together reports whether rows can share one package.
func (k *packing) together(part catalog.Part, rows []shared) bool {
	key := keyOf(part.Base().ID, rows)
	ok, known := k.fits[key]
	if !known {
		ok = true
		for _, c := range k.p.checksOf(part, rows) {
			ok = ok && c.Verdict == design.Fits
		}
		k.fits[key] = ok
	}
	return ok
}

func (p *picker) checksOf(part catalog.Part, rows []shared) []design.Check {
	uses := make([]design.Share, len(rows))
	for i, s := range rows {
		uses[i] = s.row.Share
	}
	return topology.PackageChecks(p.in.Catalog, p.in.Policy, part, float64(p.in.Job.Env.PartsMax), uses)
}

// packages lists the packages that a pick shares, and how many fewer there are
// than if nobody shared, in millionths of a currency unit.
func (p *picker) packages(pick []*Row) (list []Package, saved int64) {
	k := p.packing(query{})
	parts, of := p.byPart(pick)
	for _, id := range parts {
		bins := k.pack(id, of[id])
		price, _ := p.shares(of[id][0].row)
		saved += price * int64(len(of[id])-len(bins))
		part, _ := p.in.Catalog.Part(id)
		for _, b := range bins {
			if len(b) < 2 {
				continue
			}
			one := Package{Part: id, Checks: p.checksOf(part, b)}
			for _, s := range b {
				one.Loads = append(one.Loads, p.loads[s.place].load.Name)
			}
			slices.Sort(one.Loads)
			list = append(list, one)
		}
	}
	return list, saved
}

// builtPackages are the packages of stages as built. Several loads that state one kind of
// array or board are taken to share one, as far as its channels go: that is what it is
// bought for, and what is worst for it. Nothing is saved by that.
func (p *picker) builtPackages(pick []*Row) (list []Package) {
	of := map[string][]shared{} // never ranged over
	var ids []string
	for i, r := range pick {
		if r == nil || !r.Built || r.Share.Part == "" {
			continue
		}
		if of[r.Share.Part] == nil {
			ids = append(ids, r.Share.Part)
		}
		of[r.Share.Part] = append(of[r.Share.Part], shared{i, r})
	}
	slices.Sort(ids)
	for _, id := range ids {
		part, found := p.in.Catalog.Part(id)
		if !found {
			continue
		}
		var bin []shared
		taken := 0
		close := func() {
			if len(bin) > 1 {
				one := Package{Part: id, Checks: p.checksOf(part, bin), Built: true}
				for _, s := range bin {
					one.Loads = append(one.Loads, p.loads[s.place].load.Name)
				}
				slices.Sort(one.Loads)
				list = append(list, one)
			}
			bin, taken = nil, 0
		}
		for _, s := range of[id] {
			if taken+s.row.Share.Channels > topology.Channels(part) {
				close()
			}
			bin, taken = append(bin, s), taken+s.row.Share.Channels
		}
		close()
	}
	return list
}

// packing of a query: where only what is in stock may be used, there are only so
// many packages.
func (p *picker) packing(q query) *packing {
	k := &packing{p: p, most: map[string]int{}, memo: map[string]int{}, fits: map[string]bool{}}
	if !q.stocked {
		return k
	}
	for _, part := range p.in.Catalog.Switches() {
		id := part.Base().ID
		if topology.Channels(part) == 0 {
			continue
		}
		n, there := pieces(p.in.Catalog, id)
		if q.fewestMissing && !slices.Contains(q.kept, id) {
			continue
		}
		if there && n >= 0 {
			k.most[id] = n
		}
	}
	return k
}
