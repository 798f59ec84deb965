package engine

import (
	"slices"
	"strconv"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/job"
)

// pinsInGroup is how many pins share a group limit.
const pinsInGroup = 5

// maxExclusive bounds the exact search for what may be on at once; with more
// loads that exclude one another all count as on, which is never too little.
const maxExclusive = 20

// asked is a load that has something to pick from.
type asked struct {
	load *job.Load
	rows []*Row // that may be picked, best first
}

func (a *asked) stages() float64 { return float64(max(1, a.load.Quantity)) }

// pins is how many pins the load takes: a motor that is reversed has two for each
// stage, and braking may drive both.
func (a *asked) pins() int {
	n := max(1, a.load.Quantity)
	if a.load.Reversing {
		n *= 2
	}
	return n
}

// pinCurrent is what one stage of a row asks of its pins, A: one of two pins counts as
// if both were on, in the group of the first.
func pinCurrent(r *Row) float64 { return max(r.PinSource, r.PinSink) * float64(max(1, r.Pins)) }

// total is a sum over all loads that has a limit.
type total struct {
	id      design.CheckID
	name    string // "rail bench", "pins A"
	limit   float64
	unit    design.Unit
	stock   string // the part that there are so many of, "" where it is no such total
	members []int  // places of the loads that can take part
	use     func(place int, r *Row) float64
}

// of is the total's use by a load, 0 where it takes no part.
func (t *total) of(place int, r *Row) float64 {
	if t.members != nil {
		if _, in := slices.BinarySearch(t.members, place); !in {
			return 0
		}
	}
	return t.use(place, r)
}

// totalsOf lists the sums that all loads together must keep: of the pins, of
// each group of pins, of each rail that has a limit.
func totalsOf(j *job.Job, loads []asked) []total {
	all := []total{{id: design.PinTotal, limit: float64(j.Pin.TotalMax), unit: design.A,
		use: func(i int, r *Row) float64 { return pinCurrent(r) * float64(loads[i].pins()) }}}
	all = append(all, groupsOf(j, loads)...)
	for _, rail := range append([]job.Rail{j.Pin.Rail()}, j.Rails...) {
		limit, ok := rail.CurrentMax.Get()
		if !ok {
			continue
		}
		all = append(all, total{id: design.RailCurrent, name: "rail " + rail.Name, limit: float64(limit), unit: design.A,
			use: func(i int, r *Row) float64 {
				sum := 0.0
				for _, x := range r.Draws {
					if x.Rail == rail.Name {
						sum += x.A
					}
				}
				if rail.IsPin {
					sum += r.PinSource
				}
				return sum * loads[i].stages()
			}})
	}
	return all
}

// groupsOf are the groups of pins. Pins fill groups of five in the order of the
// loads' names, so that the order of the file does not matter, unless a load
// names its group.
func groupsOf(j *job.Job, loads []asked) []total {
	type group struct {
		name string
		at   []int
		n    []float64
	}
	var groups []*group
	named := map[string]*group{} // never ranged over
	add := func(name string, place int) {
		g := named[name]
		if g == nil {
			g = &group{name: name}
			named[name] = g
			groups = append(groups, g)
		}
		if k := len(g.at); k > 0 && g.at[k-1] == place {
			g.n[k-1]++
			return
		}
		g.at, g.n = append(g.at, place), append(g.n, 1)
	}
	pin := 0
	for i := range loads {
		for range loads[i].pins() {
			if name := loads[i].load.PinGroup; name != "" {
				add(name, i)
				continue
			}
			add("pins "+groupName(pin/pinsInGroup), i)
			pin++
		}
	}
	var all []total
	for _, g := range groups {
		all = append(all, total{id: design.GroupTotal, name: g.name, limit: float64(j.Pin.GroupMax), unit: design.A, members: g.at,
			use: func(i int, r *Row) float64 {
				k, _ := slices.BinarySearch(g.at, i)
				return pinCurrent(r) * g.n[k]
			}})
	}
	return all
}

// groupName is A to Z, then A2 and so on.
func groupName(n int) string {
	name := string(rune('A' + n%26))
	if n >= 26 {
		name += strconv.Itoa(n/26 + 1)
	}
	return name
}

// stockOf lists the parts of which there are only so many and of which more
// could be asked.
func (p *picker) stockOf() []total {
	cat, loads := p.in.Catalog, p.loads
	most := map[string]int{} // never ranged over
	var ids []string
	for i := range loads {
		of := map[string]int{} // never ranged over
		var here []string
		for _, r := range loads[i].rows {
			if r.Built { // it takes nothing from the drawer any more
				continue
			}
			for _, u := range r.Uses {
				if n, there := pieces(cat, u.Part); !there || n < 0 {
					continue
				}
				if of[u.Part] == 0 {
					here = append(here, u.Part)
				}
				of[u.Part] = max(of[u.Part], u.Count)
			}
		}
		for _, id := range here {
			if most[id] == 0 {
				ids = append(ids, id)
			}
			most[id] += of[id]
		}
	}
	slices.Sort(ids)
	var all []total
	for _, id := range ids {
		if n, _ := pieces(cat, id); most[id] > n {
			all = append(all, total{name: "stock of " + id, limit: float64(n), unit: design.One, stock: id,
				use: func(_ int, r *Row) float64 { return float64(p.counted(r, id)) }})
		}
	}
	return all
}

// taken is how many pieces of a part a row takes from the drawer.
func taken(r *Row, id string) int {
	n := 0
	if r.Built {
		return n
	}
	for _, u := range r.Uses {
		if u.Part == id {
			n += u.Count
		}
	}
	return n
}

// counted is taken without a package that may be shared: how many of those there
// are is a question of its own.
func (p *picker) counted(r *Row, id string) int {
	if p.pack && r.Share.Part == id {
		if _, ok := p.shares(r); ok {
			return 0
		}
	}
	return taken(r, id)
}

// pieces is how many of a part there are (-1: enough), and whether there are any:
// those in stock, or in the drawer without a number. A series of resistors in
// stock means each of its values.
func pieces(cat *catalog.Catalog, id string) (n int, there bool) {
	p, ok := cat.Part(id)
	if !ok {
		return 0, false
	}
	c := p.Base()
	switch {
	case c.Stock == nil:
		return -1, c.Stocked
	case p.Kind() == catalog.KindResistorSeries:
		return -1, *c.Stock > 0 || c.Stocked
	}
	return *c.Stock, *c.Stock > 0
}

// demand is the greatest sum of a total over what may be on at once, and who is
// on then: all loads, but of those that exclude one another only such as may be
// on together. What is used up counts for all.
func (t *total) demand(loads []asked, pick []*Row) (sum float64, on []int) {
	var bound []int
	for i := range loads {
		if t.stock != "" || len(loads[i].load.ExclusiveWith) == 0 {
			on = append(on, i)
		} else if t.of(i, pick[i]) > 0 {
			bound = append(bound, i)
		}
	}
	if len(bound) > maxExclusive {
		on = append(on, bound...)
	} else {
		_, best := exclusiveMost(loads, bound, nil, func(i int) float64 { return t.of(i, pick[i]) })
		on = append(on, best...)
	}
	slices.Sort(on)
	for _, i := range on {
		sum += t.of(i, pick[i])
	}
	return sum, on
}

// exclusiveMost is the greatest sum over loads that may be on together with
// those that are on.
func exclusiveMost(loads []asked, rest, on []int, of func(int) float64) (float64, []int) {
	if len(rest) == 0 {
		return 0, nil
	}
	i := rest[0]
	best, set := exclusiveMost(loads, rest[1:], on, of)
	for _, o := range on {
		if slices.Contains(loads[o].load.ExclusiveWith, loads[i].load.Name) {
			return best, set
		}
	}
	with, also := exclusiveMost(loads, rest[1:], append(on[:len(on):len(on)], i), of)
	if with += of(i); with > best {
		return with, append([]int{i}, also...)
	}
	return best, set
}
