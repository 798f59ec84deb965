package engine

import (
	"cmp"
	"math"
	"slices"
	"strings"
	"sync"

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
	singles    []priced // the pin, then transistors by price, unknown last, then id
	arrays     []priced // which may serve several coils, in the same order
	scratch    *sync.Pool
}

// priced is a switch with its price, +Inf where that is not known.
type priced struct {
	part  catalog.Part
	price float64
}

func newDriver(env *topology.Env, all []topology.Topology) *driver {
	dr := &driver{env: env, scratch: &sync.Pool{New: func() any { return new(design.Design) }}, singles: []priced{{topology.PinPart(), 0}}}
	for _, t := range all {
		if topology.DrivesCoils(t) {
			dr.topologies = append(dr.topologies, t)
		}
	}
	for _, sw := range env.Catalog.Switches() {
		switch x := (priced{sw, price(sw)}); sw.Kind() {
		case catalog.KindBJT, catalog.KindMOSFET:
			dr.singles = append(dr.singles, x)
		case catalog.KindArray:
			dr.arrays = append(dr.arrays, x)
		}
	}
	slices.SortFunc(dr.singles[1:], byPrice)
	slices.SortFunc(dr.arrays, byPrice)
	return dr
}

func byPrice(a, b priced) int {
	return cmp.Or(cmp.Compare(a.price, b.price), strings.Compare(a.part.Base().ID, b.part.Base().ID))
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
	return math.Inf(1)
}

// design goes through the switches from the cheapest on. Once the best stage so
// far has the best verdict possible for this coil, the search ends at the first
// switch whose stage cannot be cheaper: all after it cost more. Switches that
// cannot reach that verdict are looked at only where no other does.
func (dr *driver) design(coil *load.Model) *design.Design {
	s := search{dr: dr, coil: coil, reach: topology.NewReach(dr.env, coil)}
	s.best, s.trial = dr.scratch.Get().(*design.Design), dr.scratch.Get().(*design.Design)
	defer func() { dr.scratch.Put(s.best); dr.scratch.Put(s.trial) }()
	floor := s.reach.Floor
	s.through(func(v design.Verdict) bool { return v <= floor })
	if !s.found || s.best.Verdict > floor {
		s.through(func(v design.Verdict) bool { return v > floor && (!s.found || v <= s.best.Verdict) })
	}
	if !s.found {
		return nil
	}
	return s.best.Clone()
}

// costSlack covers the rounding of sums of prices: equal costs are no reason to
// pass a switch over.
const costSlack = 1 + 1e-9

// search is one search for a driver.
type search struct {
	dr          *driver
	coil        *load.Model
	reach       *topology.Reach
	best, trial *design.Design
	found       bool
}

// limit is the cost above which a stage is of no use: there is one that nothing
// can beat but by its cost. Where nothing can be better than over, the first is
// as good as any.
func (s *search) limit() float64 {
	if s.found && s.reach.Floor == design.Over {
		return math.Inf(-1)
	}
	if s.found && s.best.Verdict <= s.reach.Floor && s.best.Cost.Amount.OK {
		return s.best.Cost.Amount.V * costSlack
	}
	return math.Inf(1)
}

// through designs the switches whose reach is worth it.
func (s *search) through(worth func(reach design.Verdict) bool) {
	least := s.reach.Least()
	for i := range s.dr.singles {
		sw := &s.dr.singles[i]
		if sw.price+least > s.limit() {
			break // it and all that follow cost more
		}
		s.try(sw, worth)
	}
	for i := range s.dr.arrays {
		s.try(&s.dr.arrays[i], worth)
	}
}

func (s *search) try(sw *priced, worth func(reach design.Verdict) bool) {
	if s.reach.Cost(sw.part, sw.price) > s.limit() || !worth(s.reach.Verdict(sw.part)) {
		return
	}
	for _, t := range s.dr.topologies {
		if t.Serves(s.dr.env, s.coil, sw.part) != "" {
			continue
		}
		t.Design(s.dr.env, s.coil, sw.part, &topology.Given{}, s.trial)
		if !s.found || better(s.trial, s.best) {
			s.best, s.trial, s.found = s.trial, s.best, true
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
