package engine

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/job"
	q "example.org/pinhoist/internal/quantity"
	"example.org/pinhoist/internal/topology"
)

// puzzle is a small job whose answer for each load is made up, so that every pick
// can be tried.
type puzzle struct {
	in  *Input
	res *Result
}

func randomPuzzle(r *rand.Rand) *puzzle {
	cat := &catalog.Catalog{Currency: "EUR"}
	switches := 2 + r.IntN(4)
	stock := func(c *catalog.Common) {
		switch r.IntN(4) {
		case 0:
			n := r.IntN(4)
			c.Stock = &n
		case 1, 2:
			c.Stocked = true
		}
	}
	for n := range switches {
		cat.MOSFETs = append(cat.MOSFETs, catalog.MOSFET{Common: catalog.Common{ID: fmt.Sprintf("sw-%d", n)}})
		stock(&cat.MOSFETs[n].Common)
	}
	for n := range 3 {
		cat.Diodes = append(cat.Diodes, catalog.Diode{Common: catalog.Common{ID: fmt.Sprintf("d-%d", n)}})
		stock(&cat.Diodes[n].Common)
	}
	for n := range 2 {
		three := 3
		a := catalog.Array{Common: catalog.Common{ID: fmt.Sprintf("sw-array-%d", n), Price: &q.Money{Amount: 0.4 + 0.3*float64(n), Currency: "EUR"}}, Channels: &three,
			IOutMax: q.Some(q.Amp(1)), Heat: catalog.Heat{TjMax: q.Some(q.Celsius(150)), RthJA: q.Some(q.KelvinPerWatt(80))}}
		for on := 1; on <= 3; on++ {
			on := on
			a.Together = append(a.Together, catalog.TogetherPoint{On: &on, Duty: q.Some(q.Ratio(1)), I: q.Some(q.Amp(1.2 - 0.3*float64(on)))})
		}
		cat.Arrays = append(cat.Arrays, a)
		stock(&cat.Arrays[n].Common)
	}
	j := &job.Job{Env: job.Environment{PartsMax: 40}, Pin: job.Pin{TotalMax: q.Amp(0.03 + 0.2*r.Float64()), GroupMax: q.Amp(0.03 + 0.2*r.Float64()), RailMax: 10}}
	j.Rails = []job.Rail{{Name: "a", CurrentMax: q.Some(q.Amp(0.5 + 3*r.Float64()))}, {Name: "b"}}
	pz := &puzzle{in: &Input{Job: j, Catalog: cat, Policy: &catalog.Policy{Name: "bench", I: 0.8, TjBelow: 25}}, res: &Result{}}
	loads := 1 + r.IntN(6)
	for i := range loads {
		l := job.Load{Name: string(rune('p' + i)), Quantity: 1 + r.IntN(2), Rail: j.Rails[r.IntN(2)]}
		if r.IntN(4) == 0 {
			l.PinGroup = "G"
		}
		j.Loads = append(j.Loads, l)
	}
	for range r.IntN(4) {
		a, b := r.IntN(loads), r.IntN(loads)
		if a != b && !slices.Contains(j.Loads[a].ExclusiveWith, j.Loads[b].Name) {
			j.Loads[a].ExclusiveWith = append(j.Loads[a].ExclusiveWith, j.Loads[b].Name)
			j.Loads[b].ExclusiveWith = append(j.Loads[b].ExclusiveWith, j.Loads[a].Name)
		}
	}
	for i := range loads {
		l := &j.Loads[i]
		lr := LoadResult{Name: l.Name}
		for n := range 1 + r.IntN(5) {
			row := Row{Key: fmt.Sprintf("%s/%d", l.Name, n), Verdict: design.Fits, Cost: design.Money{Amount: design.Known(float64(r.IntN(30)) / 20 * float64(l.Quantity))},
				Headroom: design.Known(1 + float64(r.IntN(10))/10), PinSource: []float64{0.001, 0.01, 0.02}[r.IntN(3)], PinSink: 0.001,
				Draws: []design.Draw{{Rail: l.Rail.Name, A: 0.1 + r.Float64()/2}}}
			if r.IntN(12) == 0 {
				row.Cost.Amount = design.Number{}
			}
			if r.IntN(12) == 0 {
				row.Headroom = design.Number{}
			}
			bom := []design.BOMLine{{Part: fmt.Sprintf("sw-%d", r.IntN(switches)), Count: l.Quantity}}
			for range r.IntN(3) {
				bom = append(bom, design.BOMLine{Part: fmt.Sprintf("d-%d", r.IntN(3)), Count: l.Quantity})
			}
			if r.IntN(3) == 0 { // a relay with its transistor
				bom = append(bom, design.BOMLine{Part: fmt.Sprintf("sw-%d", r.IntN(switches)), Count: l.Quantity})
			}
			if r.IntN(15) == 0 {
				bom = nil
			}
			if r.IntN(3) == 0 { // channels of an array, one a stage
				a := r.IntN(2)
				row.Share = design.Share{Part: cat.Arrays[a].ID, Channels: l.Quantity, Stages: l.Quantity, I: 0.1 + 0.5*r.Float64(), Duty: 1,
					Heat: design.Known(r.Float64() * 0.6), Copper: 0}
				if r.IntN(2) == 0 {
					row.Share.ClampRail = l.Rail.Name
				}
				bom = []design.BOMLine{{Part: cat.Arrays[a].ID, Count: 1}}
				if row.Cost.Amount.OK {
					row.Cost.Amount.V += cat.Arrays[a].Price.Amount
				}
			}
			if r.IntN(15) == 0 {
				row.Verdict = design.Tight
			}
			row.Uses = usesOf(cat, bom)
			lr.Rows = append(lr.Rows, row)
		}
		sortRows(lr.Rows, ByCost)
		if r.IntN(10) == 0 {
			lr.Rows[len(lr.Rows)-1].Built = true
			lr.Rows[len(lr.Rows)-1].Verdict = design.Over
			sortRows(lr.Rows, ByCost)
		}
		pz.res.Loads = append(pz.res.Loads, lr)
	}
	return pz
}

// open are the places of the loads that have anything to pick.
func (z *puzzle) open() (at []int) {
	for i := range z.res.Loads {
		if len(z.rows(i)) > 0 {
			at = append(at, i)
		}
	}
	return at
}

func (z *puzzle) rows(i int) (rows []*Row) {
	for k := range z.res.Loads[i].Rows {
		r := &z.res.Loads[i].Rows[k]
		if r.Built {
			return []*Row{r}
		}
		if r.Verdict == design.Fits {
			rows = append(rows, r)
		}
	}
	return rows
}

// noTypes asks the judge for a pick without any switching part.
const noTypes = -1

// limits are those of the totals; other numbers make them wider.
type limits struct {
	pins, group, rail float64
	wide              string // a group that has another limit
	of                float64
}

func (z *puzzle) limits() limits {
	a, _ := z.in.Job.Rails[0].CurrentMax.Get()
	return limits{pins: float64(z.in.Job.Pin.TotalMax), group: float64(z.in.Job.Pin.GroupMax), rail: float64(a)}
}

// try is every pick, one after another: the cheapest that keeps everything,
// worked out in the plainest way.
func (z *puzzle) try(w Wish, lim limits) (best int64, found bool) {
	at := z.open()
	pick := make([]*Row, len(at))
	best = math.MaxInt64
	var down func(n int)
	down = func(n int) {
		if n == len(at) {
			if cost := z.cost(pick); cost < best && z.keeps(at, pick, w, lim) {
				best, found = cost, true
			}
			return
		}
		for _, r := range z.rows(at[n]) {
			pick[n] = r
			down(n + 1)
		}
	}
	down(0)
	return best, found
}

func (z *puzzle) cost(pick []*Row) (sum int64) {
	for a := range z.in.Catalog.Arrays {
		rows := z.onArray(pick, a)
		sum -= int64(len(rows)-z.bins(a, rows)) * int64(math.Round(z.in.Catalog.Arrays[a].Price.Amount*1e6))
	}
	for _, r := range pick {
		if !r.Cost.Amount.OK {
			sum += withoutCost
			continue
		}
		sum += int64(math.Round(r.Cost.Amount.V * 1e6))
	}
	return sum
}

// onArray are the rows of a pick that take channels of an array.
func (z *puzzle) onArray(pick []*Row, a int) (rows []*Row) {
	for _, r := range pick {
		if !r.Built && r.Cost.Amount.OK && r.Share.Part == z.in.Catalog.Arrays[a].ID {
			rows = append(rows, r)
		}
	}
	return rows
}

// bins is the least number of packages, of every way to put rows into some.
func (z *puzzle) bins(a int, rows []*Row) int {
	best := len(rows)
	var in [][]design.Share
	var down func(n int)
	down = func(n int) {
		if n == len(rows) {
			best = min(best, len(in))
			return
		}
		for k := range in {
			in[k] = append(in[k], rows[n].Share)
			if z.shareable(a, in[k]) {
				down(n + 1)
			}
			in[k] = in[k][:len(in[k])-1]
		}
		in = append(in, []design.Share{rows[n].Share})
		down(n + 1)
		in = in[:len(in)-1]
	}
	down(0)
	return best
}

func (z *puzzle) shareable(a int, uses []design.Share) bool {
	for _, c := range topology.PackageChecks(z.in.Catalog, z.in.Policy, &z.in.Catalog.Arrays[a], 40, uses) {
		if c.Verdict != design.Fits {
			return false
		}
	}
	return true
}

func (z *puzzle) keeps(at []int, pick []*Row, w Wish, lim limits) bool {
	types, parts := map[string]bool{}, map[string]int{}
	for _, r := range pick {
		if !r.Built && w.Headroom > 0 && r.Headroom.OK && r.Headroom.V < w.Headroom-1e-12 {
			return false
		}
		for _, u := range r.Uses {
			if strings.HasPrefix(u.Part, "sw-") {
				types[u.Part] = true
			}
			if !r.Built {
				parts[u.Part] += u.Count
			}
			if c := z.common(u.Part); w.Stocked && !r.Built && !(c.Stock != nil && *c.Stock >= u.Count || c.Stock == nil && c.Stocked) {
				return false
			}
		}
	}
	if w.Types > 0 && len(types) > w.Types || w.Types == noTypes && len(types) > 0 {
		return false
	}
	for a := range z.in.Catalog.Arrays {
		rows := z.onArray(pick, a)
		parts[z.in.Catalog.Arrays[a].ID] -= len(rows) - z.bins(a, rows)
	}
	for id, n := range parts {
		if c := z.common(id); w.Stocked && c.Stock != nil && n > *c.Stock {
			return false
		}
	}
	return z.currents(at, pick, lim)
}

func (z *puzzle) common(id string) *catalog.Common {
	p, _ := z.in.Catalog.Part(id)
	return p.Base()
}

// currents adds up every set of loads that may be on together.
func (z *puzzle) currents(at []int, pick []*Row, lim limits) bool {
	loads := z.in.Job.Loads
	for set := range 1 << len(at) {
		pins, rail := 0.0, 0.0
		groups := map[string]float64{}
		pin, allowed := 0, true
		for n, i := range at {
			on := set>>n&1 == 1
			for _, other := range loads[i].ExclusiveWith {
				k := slices.IndexFunc(at, func(x int) bool { return loads[x].Name == other })
				allowed = allowed && (!on || k < 0 || set>>k&1 == 0)
			}
			for range loads[i].Quantity {
				name := loads[i].PinGroup
				if name == "" {
					name = "pins " + string(rune('A'+pin/5))
					pin++
				}
				if !on {
					continue
				}
				a := max(pick[n].PinSource, pick[n].PinSink)
				pins += a
				groups[name] += a
				for _, d := range pick[n].Draws {
					if d.Rail == "a" {
						rail += d.A
					}
				}
			}
		}
		if !allowed {
			continue
		}
		const eps = 1 + 1e-11
		if pins > lim.pins*eps || rail > lim.rail*eps {
			return false
		}
		for name, a := range groups {
			most := lim.group
			if name == lim.wide {
				most = lim.of
			}
			if a > most*eps {
				return false
			}
		}
	}
	return true
}

func randomWish(r *rand.Rand) (w Wish) {
	if r.IntN(2) == 0 {
		w.Types = 1 + r.IntN(3)
	}
	w.Stocked = r.IntN(4) == 0
	if r.IntN(3) == 0 {
		w.Headroom = 1 + float64(r.IntN(10))/10
	}
	return w
}

func combine(t *testing.T, z *puzzle, w Wish) Together {
	t.Helper()
	got, err := Combine(context.Background(), z.in, z.res, w)
	if err != nil {
		t.Fatal(err)
	}
	return got
}

// TestCombineIsExact proves the picks, the table and what would do against trying
// every pick.
func TestCombineIsExact(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 4))
	tally := map[string]int{}
	for n := range 1000 {
		z := randomPuzzle(r)
		w := randomWish(r)
		got := combine(t, z, w)
		want, found := z.try(w, z.limits())
		if found != (got.Unmet == nil) {
			t.Fatalf("case %d: wish %+v: unmet %+v, want found %v", n, w, got.Unmet, found)
		}
		if !found {
			tally["unmet by "+string(got.Unmet.Breaks)]++
			z.checkUnmet(t, w, got.Unmet, tally)
			continue
		}
		tally["met"]++
		worst := design.Fits // of what stages as built share, which nobody chose
		for _, k := range got.Packages {
			tally["packages"]++
			for _, c := range k.Checks {
				if k.Built {
					worst = max(worst, c.Verdict)
				} else if c.Verdict != design.Fits {
					t.Fatalf("case %d: package %+v", n, k)
				}
			}
		}
		pick := z.picked(t, got.Pick)
		if cost := z.cost(pick); cost != want || !got.Proven || got.Cost.Amount.OK && int64(math.Round(got.Cost.Amount.V*1e6)) != want {
			t.Fatalf("case %d: wish %+v: pick %v costs %d, proven %v, want %d", n, w, got.Pick, cost, got.Proven, want)
		}
		if !z.keeps(z.open(), pick, w, z.limits()) {
			t.Fatalf("case %d: the pick %v does not keep wish and totals", n, got.Pick)
		}
		if len(pick) > 0 && got.Verdict != worst {
			t.Fatalf("case %d: verdict %s", n, got.Verdict)
		}
		z.checkTrade(t, w, got.Trade, tally)
		if w == (Wish{}) { // the quick way says the same
			if brief := together(context.Background(), z.in, z.res.Loads); !slices.Equal(brief.Pick, got.Pick) || !brief.Proven {
				t.Fatalf("case %d: in brief %v, proven %v, in full %v", n, brief.Pick, brief.Proven, got.Pick)
			}
		}
	}
	t.Log(tally)
	for _, key := range []string{"met", "unmet by types", "unmet by headroom", "unmet by stocked", "unmet by pin-total", "unmet by rail-current", "unmet by group-total",
		"relax types", "relax headroom", "relax stocked", "relax pin-total", "relax rail-current", "relax group-total", "both", "rows of tables", "packages"} {
		if tally[key] < 5 {
			t.Errorf("%q came up %d times", key, tally[key])
		}
	}
}

func (z *puzzle) picked(t *testing.T, keys []string) (pick []*Row) {
	t.Helper()
	for _, i := range z.open() {
		for _, r := range z.rows(i) {
			if r.Key == keys[i] {
				pick = append(pick, r)
			}
		}
	}
	if len(pick) != len(z.open()) {
		t.Fatalf("pick %v, want one of each of %v", keys, z.open())
	}
	return pick
}

func (z *puzzle) checkTrade(t *testing.T, w Wish, table []Trade, tally map[string]int) {
	t.Helper()
	if len(z.open()) < 2 {
		return
	}
	w.Types = 0
	last := int64(math.MaxInt64)
	at := 0
	for n := 0; n <= 8; n++ {
		if w.Types = n; n == 0 {
			w.Types = noTypes
		}
		want, found := z.try(w, z.limits())
		if !found || want >= last {
			continue
		}
		last = want
		if at == len(table) {
			t.Fatalf("the table has no row for %d types: %+v", n, table)
		}
		row := table[at]
		at++
		if cost := z.cost(z.keyed(row.Pick)); row.Types != n || cost != want || len(row.Parts) > n || !row.Proven {
			t.Fatalf("row %+v costs %d, want %d types for %d", row, cost, n, want)
		}
		tally["rows of tables"]++
	}
	if at != len(table) {
		t.Fatalf("the table has rows too many: %+v", table)
	}
}

func (z *puzzle) keyed(keys []string) (pick []*Row) {
	for i := range z.res.Loads {
		for k := range z.res.Loads[i].Rows {
			if r := &z.res.Loads[i].Rows[k]; slices.Contains(keys, r.Key) {
				pick = append(pick, r)
			}
		}
	}
	return pick
}

// checkUnmet proves that each relaxation does and that nothing less would.
func (z *puzzle) checkUnmet(t *testing.T, w Wish, u *Unmet, tally map[string]int) {
	t.Helper()
	if !u.Proven {
		t.Fatal("a small case was not finished")
	}
	told := map[Bound]bool{}
	can := func(w Wish, lim limits) bool { _, ok := z.try(w, lim); return ok }
	for _, x := range u.Relax {
		told[x.Bound] = true
		tally["relax "+string(x.Bound)]++
		wide, short, lim := w, w, z.limits()
		less := lim
		switch x.Bound {
		case BoundTypes:
			wide.Types, short.Types = int(x.To), int(x.To)-1
		case BoundHeadroom:
			wide.Headroom, short.Headroom = x.To, x.To+1e-6
		case BoundStocked:
			z.checkStock(t, w, x.Parts)
			continue
		case "pin-total":
			lim.pins, less.pins = x.To, x.To/(1+2e-4)
		case "rail-current":
			if x.Where != "rail a" {
				t.Fatalf("relax %+v", x)
			}
			lim.rail, less.rail = x.To, x.To/(1+2e-4)
		case "group-total": // of one group, others stay
			lim.wide, lim.of = x.Where, x.To
			less.wide, less.of = x.Where, x.To/(1+2e-4)
		}
		if !can(wide, lim) {
			t.Fatalf("%+v does not do", x)
		}
		if can(short, less) {
			t.Fatalf("less than %+v would do", x)
		}
	}
	// What is not told does not do by itself.
	if free := w; w.Types > 0 {
		if free.Types = 0; !told[BoundTypes] && can(free, z.limits()) {
			t.Fatal("more types would do")
		}
	}
	if free := w; w.Headroom > 0 {
		if free.Headroom = 0; !told[BoundHeadroom] && can(free, z.limits()) {
			t.Fatal("less headroom would do")
		}
	}
	if free := w; w.Stocked {
		if free.Stocked = false; !told[BoundStocked] && can(free, z.limits()) {
			t.Fatal("parts to get would do")
		}
	}
	lim := z.limits()
	lim.pins = math.Inf(1)
	if !told["pin-total"] && can(w, lim) {
		t.Fatal("more for all pins would do")
	}
	lim = z.limits()
	lim.rail = math.Inf(1)
	if !told["rail-current"] && can(w, lim) {
		t.Fatal("more from the rail would do")
	}
	if len(u.Relax) == 0 {
		tally["both"]++
		if len(u.Both) < 1 {
			t.Fatal("nothing is said to do")
		}
	}
}

// checkStock proves that those parts would do and that no smaller number would.
func (z *puzzle) checkStock(t *testing.T, w Wish, parts []string) {
	t.Helper()
	var all []*catalog.Common
	for _, p := range z.in.Catalog.Parts() {
		all = append(all, p.Base())
	}
	with := func(ids []string) bool {
		saved := make([]catalog.Common, len(all))
		for i, c := range all {
			saved[i] = *c
			if slices.Contains(ids, c.ID) {
				c.Stock, c.Stocked = nil, true
			}
		}
		_, ok := z.try(w, z.limits())
		for i, c := range all {
			*c = saved[i]
		}
		return ok
	}
	if !with(parts) {
		t.Fatalf("with %v in stock it does not do", parts)
	}
	for set := range 1 << len(all) {
		var ids []string
		for i := range all {
			if set>>i&1 == 1 {
				ids = append(ids, all[i].ID)
			}
		}
		if len(ids) < len(parts) && with(ids) {
			t.Fatalf("%v would do, told %v", ids, parts)
		}
	}
}

// TestCombineIsTheSameForAnyOrder: the order of loads in the job and in the
// answer changes nothing.
func TestCombineIsTheSameForAnyOrder(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 5))
	for range 300 {
		z := randomPuzzle(r)
		w := randomWish(r)
		first := combine(t, z, w)
		slices.Reverse(z.in.Job.Loads)
		second := combine(t, z, w)
		if !reflect.DeepEqual(first, second) {
			t.Fatalf("%+v\nbecame %+v", first, second)
		}
	}
}
