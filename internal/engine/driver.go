package engine

import (
	"math"
	"slices"
	"strings"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/load"
	"example.org/pinhoist/internal/topology"
)

// driver designs what drives a relay's coil, depth one: the best verdict, then
// the cheapest, then by key.
type driver struct {
	env        *topology.Env
	topologies []topology.Topology
	switches   []catalog.Part // the pin, then by price, unknown last, then id
}

func newDriver(env *topology.Env, all []topology.Topology) *driver {
	dr := &driver{env: env, switches: append([]catalog.Part{topology.PinPart()}, env.Catalog.Switches()...)}
	for _, t := range all {
		if n, ok := t.(interface{ Nested() bool }); !ok || !n.Nested() {
			dr.topologies = append(dr.topologies, t)
		}
	}
	slices.SortFunc(dr.switches[1:], func(a, b catalog.Part) int {
		if p, q := price(a), price(b); p != q {
			if p < q {
				return -1
			}
			return 1
		}
		return strings.Compare(a.Base().ID, b.Base().ID)
	})
	return dr
}

// on is the driver designer in another environment of the same catalogue.
func (dr *driver) on(env *topology.Env) *driver {
	n := *dr
	n.env = env
	return &n
}

func price(p catalog.Part) float64 {
	if c := p.Base(); c.Price != nil {
		return c.Price.Amount
	}
	if p.Kind() == catalog.KindPin {
		return 0
	}
	return math.Inf(1)
}

// design goes through the switches from the cheapest on. Once the best stage so
// far has the best verdict possible for this coil, the search ends at the first
// switch whose stage cannot be cheaper: all after it cost more. Switches that
// cannot reach that verdict are looked at only where no other does.
func (dr *driver) design(coil *load.Model) *design.Design {
	s := search{dr: dr, coil: coil, best: new(design.Design), trial: new(design.Design), floor: topology.CoilFloor(coil)}
	s.besideFET = topology.LeastBeside(dr.env, coil, catalog.KindMOSFET, s.floor)
	s.besideBJT = topology.LeastBeside(dr.env, coil, catalog.KindBJT, s.floor)
	s.through(func(v design.Verdict) bool { return v <= s.floor })
	if !s.found || s.best.Verdict > s.floor {
		s.through(func(v design.Verdict) bool { return v > s.floor && (!s.found || v <= s.best.Verdict) })
	}
	if !s.found {
		return nil
	}
	return s.best
}

// costSlack covers the rounding of sums of prices: equal costs are no reason to
// pass a switch over.
const costSlack = 1 + 1e-9

// search is one search for a driver.
type search struct {
	dr          *driver
	coil        *load.Model
	best, trial *design.Design
	found       bool
	floor       design.Verdict
	// What stands beside a MOSFET, and beside a bipolar transistor, costs at least
	// this much; a bipolar one needs more.
	besideFET, besideBJT float64
}

// limit is the cost above which a stage is of no use: there is one that nothing
// can beat but by its cost.
func (s *search) limit() float64 {
	if s.found && s.best.Verdict <= s.floor && s.best.Cost.Amount.OK {
		return s.best.Cost.Amount.V * costSlack
	}
	return math.Inf(1)
}

// through designs the switches whose reach is worth it.
func (s *search) through(worth func(reach design.Verdict) bool) {
	for _, sw := range s.dr.switches {
		if limit := s.limit(); price(sw)+s.besideFET > limit {
			break // it and all that follow cost more
		} else if sw.Kind() == catalog.KindBJT && price(sw)+s.besideBJT > limit {
			continue
		}
		if !worth(topology.Reach(s.dr.env, s.coil, sw)) {
			continue
		}
		for _, t := range s.dr.topologies {
			if t.Serves(s.dr.env, s.coil, sw) != "" {
				continue
			}
			t.Design(s.dr.env, s.coil, sw, &topology.Given{}, s.trial)
			if !s.found || better(s.trial, s.best) {
				s.best, s.trial, s.found = s.trial, s.best, true
			}
		}
	}
}

func better(a, b *design.Design) bool {
	if a.Verdict != b.Verdict {
		return a.Verdict < b.Verdict
	}
	if x := unknownLast(a.Cost.Amount, b.Cost.Amount); x != 0 {
		return x < 0
	}
	return strings.Compare(a.Key(), b.Key()) < 0
}
