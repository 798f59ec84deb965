package engine

import (
	"cmp"
	"math"
	"slices"
)

// leaf looks through what is left where every kind is decided: one option of
// each load, kept apart only by the limit lines.
func (c *chooser) leaf(p *prices) {
	if len(c.lines) == 0 && c.m.beside == nil {
		pick := make([]int, 0, len(p.u))
		for i := range p.u {
			best := -1
			for n := c.at[i]; n < c.at[i+1]; n++ {
				if c.opts[n].live && (best < 0 || c.opts[n].cost < c.opts[best].cost) {
					best = n
				}
			}
			pick = append(pick, best)
		}
		c.offer(pick)
		return
	}
	if worst := c.ascend(p, 60); c.left <= 0 || c.hopeless(worst) {
		return
	}
	d := c.newDescent(p)
	for i := range d.pick {
		d.pick[i] = -1
	}
	d.down(0, d.start)
}

// descent is a search over the options of one load after another, at fixed
// prices of the limit lines.
type descent struct {
	c     *chooser
	order []int   // loads, those that decide most first
	opts  [][]int // of each load, its live options, the cheapest at these prices first
	cost  []float64
	rest  []float64   // least priced cost of the loads from here on, less what the lines give
	least [][]float64 // of each line: least use of the loads from here on
	sums  []float64
	pick  []int
	start float64
}

func (c *chooser) newDescent(p *prices) *descent {
	n := len(p.u)
	d := &descent{c: c, cost: make([]float64, len(c.opts)), opts: make([][]int, n), sums: make([]float64, len(c.lines)),
		pick: make([]int, n), start: float64(c.base)}
	for _, mu := range p.mu {
		d.start -= mu
	}
	spread := make([]float64, n)
	for i := range n {
		for k := c.at[i]; k < c.at[i+1]; k++ {
			if c.opts[k].live {
				d.cost[k] = c.priced(k, p.mu)
				d.opts[i] = append(d.opts[i], k)
			}
		}
		slices.SortFunc(d.opts[i], func(a, b int) int { return cmp.Or(cmp.Compare(d.cost[a], d.cost[b]), a-b) })
		spread[i] = math.Inf(1)
		if len(d.opts[i]) > 1 {
			spread[i] = d.cost[d.opts[i][1]] - d.cost[d.opts[i][0]]
		}
		d.order = append(d.order, i)
	}
	slices.SortStableFunc(d.order, func(a, b int) int { return cmp.Compare(spread[b], spread[a]) })
	d.rest = make([]float64, n+1)
	d.least = make([][]float64, len(c.lines))
	for k := range d.least {
		d.least[k] = make([]float64, n+1)
	}
	for at := n - 1; at >= 0; at-- {
		i := d.order[at]
		d.rest[at] = d.rest[at+1] + d.cost[d.opts[i][0]]
		for k := range d.least {
			low := math.Inf(1)
			for _, o := range d.opts[i] {
				low = min(low, c.lines[k].use[o])
			}
			d.least[k][at] = d.least[k][at+1] + low
		}
	}
	return d
}

// down tries the options of the load at a place of the order, with so much spent.
func (d *descent) down(at int, spent float64) {
	c := d.c
	if at == len(d.order) {
		c.offer(d.pick)
		return
	}
	i := d.order[at]
	for _, n := range d.opts[i] {
		c.left--
		if c.left <= 0 || c.hopeless(spent+d.cost[n]+d.rest[at+1]) {
			return // those behind it cost more still
		}
		if !d.room(at, n) {
			continue
		}
		for k := range d.sums {
			d.sums[k] += c.lines[k].use[n]
		}
		d.pick[i] = n
		if extra := c.beside(d.pick); extra >= 0 && !c.hopeless(spent+d.cost[n]+d.rest[at+1]+float64(extra)) {
			d.down(at+1, spent+d.cost[n])
		}
		d.pick[i] = -1
		for k := range d.sums {
			d.sums[k] -= c.lines[k].use[n]
		}
	}
}

// room reports whether no line is passed for certain with option n.
func (d *descent) room(at, n int) bool {
	for k := range d.sums {
		if d.sums[k]+d.c.lines[k].use[n]+d.least[k][at+1] > 1+1e-9 {
			return false
		}
	}
	return true
}
