package engine

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// everyChoice is the judge of choose: every choice there is, one after another.
func everyChoice(m *menu) (best int64, found bool) {
	pick := make([]int, len(m.options))
	var down func(i int)
	best = math.MaxInt64
	down = func(i int) {
		if i == len(m.options) {
			if cost, ok := costOf(m, pick); ok && cost < best {
				best, found = cost, true
			}
			return
		}
		for k := range m.options[i] {
			pick[i] = k
			down(i + 1)
		}
	}
	down(0)
	return best, found
}

// costOf adds a choice up; ok is false where it breaks a limit.
func costOf(m *menu, pick []int) (cost int64, ok bool) {
	used := map[int]bool{}
	counted := 0
	for i, k := range pick {
		o := &m.options[i][k]
		cost += o.cost
		for _, kind := range o.kinds {
			if !used[kind] {
				used[kind] = true
				cost += m.kinds[kind].open
				if m.kinds[kind].counted {
					counted++
				}
			}
		}
	}
	if m.limit != unlimited && counted > m.limit {
		return 0, false
	}
	for _, l := range m.caps {
		sum := 0.0
		for i, k := range pick {
			sum += l.use[i][k]
		}
		if sum > l.limit*(1+1e-12) {
			return 0, false
		}
	}
	if m.beside != nil {
		extra := m.beside(pick)
		if extra < 0 {
			return 0, false
		}
		cost += extra
	}
	return cost, true
}

// randomMenu is a small choice: prices on a coarse grid, so that many choices
// cost the same, options of none to three kinds, now and then limits that bind.
func randomMenu(r *rand.Rand) *menu {
	m := &menu{limit: unlimited}
	for range 1 + r.IntN(6) {
		m.kinds = append(m.kinds, kind{counted: r.IntN(5) > 0, open: []int64{0, 0, 0, 5, 20}[r.IntN(5)]})
	}
	if r.IntN(4) > 0 {
		m.limit = r.IntN(4)
	}
	loads := 1 + r.IntN(6)
	for range loads {
		var of []option
		for range 1 + r.IntN(5) {
			o := option{cost: int64(r.IntN(30)) * []int64{1, 5}[r.IntN(2)]}
			for range []int{0, 1, 1, 1, 1, 2, 2, 3}[r.IntN(8)] {
				if k := r.IntN(len(m.kinds)); !slices.Contains(o.kinds, k) {
					o.kinds = append(o.kinds, k)
				}
			}
			slices.Sort(o.kinds)
			of = append(of, o)
		}
		m.options = append(m.options, of)
	}
	for range r.IntN(4) {
		l := limitLine{limit: []float64{0, 0.1, 0.2, 0.5, 1}[r.IntN(5)]}
		for i := range m.options {
			var use []float64
			for range m.options[i] {
				use = append(use, []float64{0, 0.02, 0.05, 0.1, 0.3, r.Float64()}[r.IntN(6)])
			}
			l.use = append(l.use, use)
		}
		m.caps = append(m.caps, l)
	}
	if r.IntN(3) == 0 { // packages of two, and at most so many of them
		m.beside, m.besideMost = packagesOf(m, 1+r.IntN(3)), int64(len(m.options))*10
	}
	return m
}

// TestChooseIsExact proves the search against trying everything.
func TestChooseIsExact(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 1))
	feasible, limited, capped := 0, 0, 0
	for n := range 20000 {
		m := randomMenu(r)
		want, found := everyChoice(m)
		got := choose(m, noBound)
		if !got.proven {
			t.Fatalf("case %d: a small choice was not finished", n)
		}
		if (got.pick != nil) != found {
			t.Fatalf("case %d: found %v, want %v\n%+v", n, got.pick, found, m)
		}
		if !found {
			continue
		}
		cost, ok := costOf(m, got.pick)
		if !ok || cost != want || got.cost != want {
			t.Fatalf("case %d: pick %v costs %d (told %d, allowed %v), the cheapest %d\n%+v", n, got.pick, cost, got.cost, ok, want, m)
		}
		feasible++
		// With the answer's cost as the cost to stay under there is nothing.
		if again := choose(m, want); again.pick != nil || !again.proven {
			t.Fatalf("case %d: found %d under the least %d", n, again.cost, want)
		}
		free := *m
		free.limit, free.caps = unlimited, nil
		if less, _ := everyChoice(&free); less < want {
			if m.limit != unlimited {
				limited++
			}
			if len(m.caps) > 0 {
				capped++
			}
		}
	}
	if feasible < 5000 || limited < 1000 || capped < 1000 {
		t.Errorf("the cases hardly bind: %d have an answer, %d with a limit, %d with a cap that cost something", feasible, limited, capped)
	}
}

// packagesOf charges 10 for every package of kind 0 after the first, two loads a
// package, and forbids more than most packages.
func packagesOf(m *menu, most int) func([]int) int64 {
	return func(places []int) int64 {
		n := 0
		for i, k := range places {
			if k >= 0 && slices.Contains(m.options[i][k].kinds, 0) {
				n++
			}
		}
		packages := (n + 1) / 2
		if packages > most {
			return -1
		}
		return int64(max(0, packages-1)) * 10
	}
}
