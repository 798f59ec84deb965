package engine

import (
	"math"
	"slices"
)

// A menu is a choice to be made: one option for each load, so that the sum of
// costs is least, no more than limit kinds of part are used, and no cap is
// passed. It knows nothing of electricity.
type menu struct {
	options [][]option // of each load, the first preferred among equals
	kinds   []kind
	limit   int // at most so many counted kinds; unlimited: any number
	caps    []limitLine
	// beside is what a choice costs on top, never less with one more load in it;
	// negative: the choice is not allowed. A place of -1 is a load without a choice
	// yet. nil: nothing.
	beside     func(places []int) int64
	besideMost int64 // it never is more
	floor      int64 // a choice of no more than this will do: nothing cheaper is wanted
}

const unlimited = -1

// option is one way to serve a load.
type option struct {
	cost  int64
	kinds []int // kinds of part that it needs, rising, each once
	row   int   // the caller's own number
}

// kind is a kind of part.
type kind struct {
	counted bool  // it counts towards the limit
	open    int64 // what it costs once, however many options use it
}

// limitLine is a sum over the options chosen that must stay within a limit. No
// use is negative.
type limitLine struct {
	use   [][]float64 // of each load's options
	limit float64
}

// outcome is the answer to a menu.
type outcome struct {
	pick   []int // of each load, the place of its option; nil: none exists, or none was found
	cost   int64
	proven bool // nothing is cheaper; without a pick: there is none
	work   int  // options looked at, to compare searches
}

// searchWork bounds a search, in options looked at: some seconds. It is a count
// and no clock, so that an answer is the same on every machine.
const searchWork = 1 << 30

// choose finds the cheapest choice by branch and bound over the kinds of part
// and, where a limit line binds, over the options of each load.
//
// The bound is that of Lagrange: every load's "exactly one option" is bought
// with a price u, every limit line with a price mu. What is left falls apart into
// the kinds, each of which is worth what the loads would save with it; the best
// of them within the limit are taken. For any prices that is at most the cost of
// every choice that is still possible (an option of several undecided kinds gives
// each of them an equal share of what it saves, so with all of them taken it
// counts once), so a branch whose bound is not under the best choice known can
// hold nothing cheaper. Prices are raised along the subgradient.
//
// below is a cost that the answer must stay under; the cost of a choice that is
// known already makes the search short. The answer is nil where none is.
func choose(m *menu, below int64) outcome {
	return chooseWithin(m, below, searchWork, func() bool { return false })
}

// chooseWithin is choose with so much work to do, ended early where cancelled
// says so.
func chooseWithin(m *menu, below int64, work int, cancelled func() bool) outcome {
	c := newChooser(m, below)
	if c == nil {
		return outcome{proven: true}
	}
	c.left, c.cancelled = work, cancelled
	c.search(c.root())
	return outcome{pick: c.best, cost: c.bestCost, proven: c.left > 0, work: work - max(0, c.left)}
}

// noBound is a cost above all choices.
const noBound = math.MaxInt64

// chooser is a search under way.
type chooser struct {
	m    *menu
	left int // work that may still be done; none: the search is ended
	// cancelled reports whether nobody waits any more.
	cancelled func() bool

	at       []int // of each load, the first of its options in opts; one more at the end
	opts     []opt
	lines    []line
	unit     int64 // every cost is a multiple of it
	state    []state
	free     int // counted kinds that may still be included
	base     int64
	best     []int
	bound    int64 // the cost to stay under
	bestCost int64

	places []int // room for a choice

	// Room for one bound.
	worth    []float64 // of each kind
	saves    []float64
	savesOf  []int
	touched  []int
	entries  []entry
	ranked   []int
	grad     []float64
	gradLine []float64
	taken    []bool
}

// opt is an option on its way: its place among its load's options.
type opt struct {
	cost  float64
	kinds []int
	place int
	open  int  // undecided kinds that it needs
	live  bool // it may still be chosen
}

// line is a limit line, scaled to a limit of 1.
type line struct{ use []float64 }

type state int8

const (
	undecided state = iota
	included
	excluded
)

// entry is what one load would save with one kind.
type entry struct {
	kind, load, opt int
	save            float64
}

// prices are the multipliers of a bound.
type prices struct{ u, mu []float64 }

func (p *prices) clone() prices { return prices{slices.Clone(p.u), slices.Clone(p.mu)} }

func newChooser(m *menu, below int64) *chooser {
	c := &chooser{m: m, free: m.limit}
	if m.limit == unlimited {
		c.free = len(m.kinds)
	}
	most := int64(0)
	for _, options := range m.options {
		c.at = append(c.at, len(c.opts))
		top := int64(0)
		for k := range options {
			o := &options[k]
			c.unit = gcd(c.unit, o.cost)
			top = max(top, o.cost)
			c.opts = append(c.opts, opt{cost: float64(o.cost), kinds: o.kinds, place: k})
		}
		if len(options) == 0 {
			return nil
		}
		most += top
	}
	c.at = append(c.at, len(c.opts))
	for _, k := range m.kinds {
		c.unit = gcd(c.unit, k.open)
		most += k.open
	}
	c.unit = max(c.unit, 1)
	most += m.besideMost
	c.bound = min(below, most+c.unit)
	c.state = make([]state, len(m.kinds))
	for i := range m.caps {
		c.addLine(&m.caps[i])
	}
	c.worth, c.saves, c.savesOf = make([]float64, len(m.kinds)), make([]float64, len(m.kinds)), make([]int, len(m.kinds))
	c.taken = make([]bool, len(m.kinds))
	c.grad, c.gradLine = make([]float64, len(m.options)), make([]float64, len(c.lines))
	return c
}

// addLine scales a limit line to 1. One of limit 0 lets nothing through that
// uses it.
func (c *chooser) addLine(l *limitLine) {
	s := line{use: make([]float64, 0, len(c.opts))}
	for _, of := range l.use {
		for _, v := range of {
			switch {
			case l.limit > 0:
				v /= l.limit
			case v > 0:
				v = 2 // never
			}
			s.use = append(s.use, v)
		}
	}
	c.lines = append(c.lines, s)
}

func gcd(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	if a < 0 {
		return -a
	}
	return a
}

// within reports whether a scaled sum keeps its line, at twelve digits as every
// comparison of the program.
func within(sum float64) bool { return sum <= 1+1e-12 }

// root is the prices to begin with: what each load pays for its second-best
// option, so that having the best is worth something.
func (c *chooser) root() prices {
	p := prices{u: make([]float64, len(c.m.options)), mu: make([]float64, len(c.lines))}
	for i := range p.u {
		a, b := math.Inf(1), math.Inf(1)
		for _, o := range c.opts[c.at[i]:c.at[i+1]] {
			switch {
			case o.cost < a:
				a, b = o.cost, a
			case o.cost < b:
				b = o.cost
			}
		}
		p.u[i] = a
		if !math.IsInf(b, 1) {
			p.u[i] = b
		}
	}
	return p
}

// search looks through everything that the decisions so far leave.
func (c *chooser) search(p prices) {
	if c.cancelled() {
		c.left = 0
	}
	if c.left <= 0 || !c.prepare() {
		return
	}
	if !c.open() {
		c.leaf(&p)
		return
	}
	rounds := 30
	if c.base == 0 && c.isRoot() {
		rounds = 200
	}
	worst := c.ascend(&p, rounds)
	if c.left <= 0 || c.hopeless(worst) {
		return
	}
	undo := c.fix(worst)
	defer c.undo(undo)
	k := c.branch()
	if k < 0 { // all that was open is decided now: what remains is smaller
		c.search(p)
		return
	}
	c.decide(k, included)
	c.search(p.clone())
	c.undecide(k)
	if c.left <= 0 {
		return
	}
	c.decide(k, excluded)
	c.search(p)
	c.undecide(k)
}

func (c *chooser) isRoot() bool {
	return !slices.ContainsFunc(c.state, func(s state) bool { return s != undecided })
}

func (c *chooser) decide(k int, s state) {
	c.state[k] = s
	if s == included {
		c.base += c.m.kinds[k].open
		if c.m.kinds[k].counted {
			c.free--
		}
	}
}

func (c *chooser) undecide(k int) {
	if c.state[k] == included {
		c.base -= c.m.kinds[k].open
		if c.m.kinds[k].counted {
			c.free++
		}
	}
	c.state[k] = undecided
}

func (c *chooser) undo(kinds []int) {
	for _, k := range kinds {
		c.undecide(k)
	}
}

// limited reports whether the number of kinds matters.
func (c *chooser) limited() bool { return c.m.limit != unlimited }

// prepare marks the options that may still be chosen. It is false where a load
// has none.
func (c *chooser) prepare() bool {
	c.left -= len(c.opts)
	for i := range c.m.options {
		some := false
		for n := c.at[i]; n < c.at[i+1]; n++ {
			o := &c.opts[n]
			o.live, o.open = true, 0
			counted := 0
			for _, k := range o.kinds {
				switch c.state[k] {
				case excluded:
					o.live = false
				case undecided:
					o.open++
					if c.m.kinds[k].counted {
						counted++
					}
				}
			}
			if c.limited() && counted > c.free {
				o.live = false
			}
			some = some || o.live
		}
		if !some {
			return false
		}
	}
	return true
}

// open reports whether a live option waits for a decision.
func (c *chooser) open() bool {
	return slices.ContainsFunc(c.opts, func(o opt) bool { return o.live && o.open > 0 })
}

// hopeless reports whether nothing at or above a bound is under the cost to stay
// under. Costs are whole multiples of the unit, so the bound is raised to one. Once a
// choice will do, everything is.
func (c *chooser) hopeless(lower float64) bool {
	u := float64(c.unit)
	if c.best != nil && c.bestCost <= c.m.floor {
		return true
	}
	return math.Ceil((lower-1e-7*math.Abs(lower)-1e-3)/u)*u >= float64(c.bound)
}

// ascend raises the prices for some rounds, leaves the best of them in p with
// the worth of each kind at them, and returns the bound.
func (c *chooser) ascend(p *prices, rounds int) float64 {
	best, bestPrices := math.Inf(-1), p.clone()
	theta, stale := 1.0, 0
	for range rounds {
		v := c.lagrange(p)
		if v > best {
			best, stale = v, 0
			copy(bestPrices.u, p.u)
			copy(bestPrices.mu, p.mu)
		} else if stale++; stale >= 4 {
			theta, stale = theta/2, 0
		}
		c.guess(p)
		if c.left <= 0 || c.hopeless(best) || theta < 1e-3 || !c.step(p, theta, v) {
			break
		}
	}
	*p = bestPrices
	c.lagrange(p)
	return best
}

// priced is the cost of option n with what the limit lines charge for it.
func (c *chooser) priced(n int, mu []float64) float64 {
	v := c.opts[n].cost
	for k := range c.lines {
		v += mu[k] * c.lines[k].use[n]
	}
	return v
}

// lagrange is the bound at prices p, with its subgradient in grad and gradLine,
// the worth of each kind in worth and the kinds taken in ranked.
func (c *chooser) lagrange(p *prices) float64 {
	c.left -= len(c.opts)
	for k := range c.worth {
		c.worth[k], c.taken[k] = float64(c.m.kinds[k].open), false
	}
	c.entries = c.entries[:0]
	sum := float64(c.base)
	for k := range c.lines {
		sum -= p.mu[k]
		c.gradLine[k] = -1
	}
	for i := range p.u {
		sum += c.lagrangeOf(i, p)
	}
	sum += c.take()
	for _, e := range c.entries {
		if c.taken[e.kind] {
			share := 1 / float64(c.opts[e.opt].open)
			c.grad[e.load] -= share
			for k := range c.lines {
				c.gradLine[k] += share * c.lines[k].use[e.opt]
			}
		}
	}
	return sum
}

// lagrangeOf adds one load: what it pays, less what an option that needs no
// decision saves; what others would save is put down to their kinds.
func (c *chooser) lagrangeOf(i int, p *prices) float64 {
	freeAt, free := -1, p.u[i]
	c.touched = c.touched[:0]
	for n := c.at[i]; n < c.at[i+1]; n++ {
		o := &c.opts[n]
		if !o.live {
			continue
		}
		v := c.priced(n, p.mu)
		if o.open == 0 {
			if v < free {
				free, freeAt = v, n
			}
			continue
		}
		save := (v - p.u[i]) / float64(o.open)
		if save >= 0 {
			continue
		}
		for _, k := range o.kinds {
			if c.state[k] == undecided && save < c.saves[k] {
				if c.saves[k] == 0 {
					c.touched = append(c.touched, k)
				}
				c.saves[k], c.savesOf[k] = save, n
			}
		}
	}
	for _, k := range c.touched {
		c.worth[k] += c.saves[k]
		c.entries = append(c.entries, entry{k, i, c.savesOf[k], c.saves[k]})
		c.saves[k] = 0
	}
	c.grad[i] = 1
	if freeAt >= 0 {
		c.grad[i] = 0
		for k := range c.lines {
			c.gradLine[k] += c.lines[k].use[freeAt]
		}
	}
	return free
}

// take marks the kinds that the relaxed problem takes, those of negative worth
// and of the counted ones only the best that the limit leaves, and returns what
// they are worth together. ranked holds the counted ones, best first.
func (c *chooser) take() float64 {
	c.ranked = c.ranked[:0]
	sum := 0.0
	for k, w := range c.worth {
		if c.state[k] != undecided || w >= 0 {
			continue
		}
		if c.limited() && c.m.kinds[k].counted {
			c.ranked = append(c.ranked, k)
			continue
		}
		c.taken[k] = true
		sum += w
	}
	slices.SortFunc(c.ranked, func(a, b int) int {
		switch {
		case c.worth[a] < c.worth[b]:
			return -1
		case c.worth[a] > c.worth[b]:
			return 1
		}
		return a - b
	})
	for _, k := range c.ranked[:min(c.free, len(c.ranked))] {
		c.taken[k] = true
		sum += c.worth[k]
	}
	return sum
}

// step moves the prices along the subgradient, towards the cost to stay under.
// It is false where there is nowhere to go.
func (c *chooser) step(p *prices, theta, value float64) bool {
	norm := 0.0
	for _, g := range c.grad {
		norm += g * g
	}
	for k, g := range c.gradLine {
		if g > 0 || p.mu[k] > 0 {
			norm += g * g
		}
	}
	gap := float64(c.bound) - value
	if norm < 1e-9 || gap <= 0 { // what is left is rounding
		return false
	}
	t := theta * gap / norm
	// Prices far above all costs prove no more and lose digits.
	most := float64(c.bound)
	for i, g := range c.grad {
		p.u[i] = min(max(p.u[i]+t*g, -most), 4*most)
	}
	for k, g := range c.gradLine {
		p.mu[k] = min(max(0, p.mu[k]+t*g), 1e3*most)
	}
	return true
}

// guess makes a choice of the kinds that the relaxed problem took and keeps it
// where it is the cheapest so far.
func (c *chooser) guess(p *prices) {
	pick := make([]int, 0, len(p.u))
	for i := range p.u {
		best, at := math.Inf(1), -1
		for n := c.at[i]; n < c.at[i+1]; n++ {
			if v := c.priced(n, p.mu); c.opts[n].live && v < best && c.isTaken(n) {
				best, at = v, n
			}
		}
		if at < 0 {
			return
		}
		pick = append(pick, at)
	}
	if len(c.lines) > 0 {
		c.mend(pick)
	}
	c.offer(pick)
}

func (c *chooser) isTaken(n int) bool {
	for _, k := range c.opts[n].kinds {
		if c.state[k] != included && !c.taken[k] {
			return false
		}
	}
	return true
}

// mend trades options of the kinds taken until no line is passed, the least cost
// for each part of the excess first, then takes back what turned out not to be
// needed.
func (c *chooser) mend(pick []int) {
	sums := make([]float64, len(c.lines))
	for k := range sums {
		sums[k] = c.sum(k, pick)
	}
	trade := func(i, n int) {
		for k := range sums {
			sums[k] += c.lines[k].use[n] - c.lines[k].use[pick[i]]
		}
		pick[i] = n
	}
	for range 4 * len(pick) {
		over := c.excess(sums, 0, 0)
		if over == 0 {
			break
		}
		at, to, least := -1, -1, math.Inf(1)
		for i, have := range pick {
			for n := c.at[i]; n < c.at[i+1]; n++ {
				if n == have || !c.opts[n].live || !c.isTaken(n) {
					continue
				}
				gain := over - c.excess(sums, have, n)
				if gain <= 1e-9 {
					continue
				}
				if r := (c.opts[n].cost - c.opts[have].cost) / gain; r < least {
					at, to, least = i, n, r
				}
			}
		}
		if at < 0 {
			return
		}
		trade(at, to)
	}
	for i := range pick {
		for n := c.at[i]; n < c.at[i+1]; n++ {
			if have := pick[i]; c.opts[n].live && c.opts[n].cost < c.opts[have].cost && c.isTaken(n) && c.excess(sums, have, n) == 0 {
				trade(i, n)
			}
		}
	}
}

func (c *chooser) sum(k int, pick []int) float64 {
	sum := 0.0
	for _, n := range pick {
		sum += c.lines[k].use[n]
	}
	return sum
}

// excess is what the lines are passed by, all together, at the sums given with
// option n in the place of option have.
func (c *chooser) excess(sums []float64, have, n int) float64 {
	over := 0.0
	for k, sum := range sums {
		if sum += c.lines[k].use[n] - c.lines[k].use[have]; !within(sum) {
			over += sum - 1
		}
	}
	c.left--
	return over
}

// keeps reports whether a choice keeps every limit line.
func (c *chooser) keeps(pick []int) bool {
	for k := range c.lines {
		if !within(c.sum(k, pick)) {
			return false
		}
	}
	return true
}

// offer keeps a choice where it is possible and the cheapest so far.
func (c *chooser) offer(pick []int) {
	cost, counted := int64(0), 0
	used := make([]bool, len(c.m.kinds))
	for i, n := range pick {
		cost += c.m.options[i][c.opts[n].place].cost
		for _, k := range c.opts[n].kinds {
			if used[k] {
				continue
			}
			used[k] = true
			cost += c.m.kinds[k].open
			if c.m.kinds[k].counted {
				counted++
			}
		}
	}
	if extra := c.beside(pick); extra < 0 {
		return
	} else if extra > 0 {
		cost += extra
	}
	if cost >= c.bound || c.limited() && counted > c.m.limit || !c.keeps(pick) {
		return
	}
	c.bound, c.bestCost = cost, cost
	c.best = c.best[:0]
	for _, n := range pick {
		c.best = append(c.best, c.opts[n].place)
	}
}

// beside is what the menu adds to the cost of a choice, in whole or, with places
// of -1, in part; negative: it is not allowed.
func (c *chooser) beside(pick []int) int64 {
	if c.m.beside == nil {
		return 0
	}
	c.places = c.places[:0]
	for _, n := range pick {
		if n >= 0 {
			n = c.opts[n].place
		}
		c.places = append(c.places, n)
	}
	c.left -= len(pick)
	return c.m.beside(c.places)
}

// fix decides the kinds that can be only one way in anything cheaper: a kind
// taken that would cost too much to lose, one left that would cost too much to
// take. It returns what it decided.
func (c *chooser) fix(lower float64) (decided []int) {
	if !c.limited() {
		for k, w := range c.worth {
			if c.state[k] != undecided {
				continue
			}
			if s := state(included); c.hopeless(lower + math.Abs(w)) {
				if w >= 0 {
					s = excluded
				}
				c.decide(k, s)
				decided = append(decided, k)
			}
		}
		return decided
	}
	free := c.free // as it was for the bound
	last, next := 0.0, 0.0
	if free > 0 && len(c.ranked) >= free {
		last = c.worth[c.ranked[free-1]]
	}
	if len(c.ranked) > free {
		next = c.worth[c.ranked[free]]
	}
	for k, w := range c.worth {
		if c.state[k] != undecided {
			continue
		}
		counted := c.m.kinds[k].counted
		switch {
		case c.taken[k] && counted && c.hopeless(lower-w+min(next, 0)),
			c.taken[k] && !counted && c.hopeless(lower-w):
			c.decide(k, included)
		case !c.taken[k] && counted && c.hopeless(lower+w-last),
			!c.taken[k] && !counted && c.hopeless(lower+w):
			c.decide(k, excluded)
		default:
			continue
		}
		decided = append(decided, k)
	}
	return decided
}

// branch is the kind to decide next: of those taken, else of all, the one worth
// most among those that a live option waits for.
func (c *chooser) branch() int {
	waiting := make([]bool, len(c.m.kinds))
	for n := range c.opts {
		if o := &c.opts[n]; o.live && o.open > 0 {
			for _, k := range o.kinds {
				waiting[k] = true
			}
		}
	}
	best := -1
	for k, w := range c.worth {
		if c.state[k] != undecided || !waiting[k] {
			continue
		}
		if best < 0 || c.taken[k] && !c.taken[best] || c.taken[k] == c.taken[best] && w < c.worth[best] {
			best = k
		}
	}
	return best
}
