package topology

import (
	"cmp"
	"math"
	"slices"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/load"
	"example.org/pinhoist/internal/thermal"
)

// bridgeSearch looks for helpers with which a bridge is better: another high side, and
// larger heat sinks than the junctions ask for. What a high side takes to turn off the
// low side waits for, behind the resistor and the capacitor of its drive, and the hotter
// either is the lower are their thresholds and the slower the edges: a bridge that does
// not fit with the cheapest helpers may fit with better ones.
type bridgeSearch struct {
	t          bridge
	env        *Env
	l          *load.Model
	sw         catalog.Part
	sky, real  *schottky // real: one that is a diode
	d          *design.Design
	best, last bridgeTrial
}

// bridgeTrial is a choice of helpers, and what came of it.
type bridgeTrial struct {
	half    *bridgeHalf
	given   *Given
	verdict design.Verdict
	cost    design.Number
}

// try makes the bridge with other helpers.
func (s *bridgeSearch) try(h *bridgeHalf, given *Given) {
	if h == s.last.half && given == s.last.given {
		return
	}
	s.t.with(h, s.sky, false, s.env, s.l, s.sw, given, s.d)
	s.last = bridgeTrial{h, given, s.d.Verdict, s.d.Cost.Amount}
	switch {
	case s.last.verdict != s.best.verdict:
		if s.last.verdict < s.best.verdict {
			s.best = s.last
		}
	case s.last.verdict < design.Over && cheaper(s.last.cost, s.best.cost):
		s.best = s.last
	}
}

// among tries the high sides of a list: where the quickest of each interlock is no
// better, no other is.
func (s *bridgeSearch) among(list []*bridgeHalf) {
	before := s.best
	other := lockFails(s.d)
	for _, h := range quickest(list, s.best.verdict) {
		s.try(h, s.best.given)
	}
	if other && s.best == before {
		for _, h := range list {
			if h.d.Verdict < s.best.verdict && h.small != before.half.small {
				s.try(h, s.best.given)
			}
		}
	}
	if s.best.verdict == before.verdict {
		return
	}
	for _, h := range list {
		if h.d.Verdict < s.best.verdict || h.d.Verdict == s.best.verdict && cheaper(h.d.Cost.Amount, s.best.half.d.Cost.Amount) {
			s.try(h, s.best.given)
		}
	}
}

// lockFails reports whether the part that shifts levels and interlocks is at fault.
func lockFails(d *design.Design) bool {
	for i := range d.Checks {
		if c := &d.Checks[i]; c.Stage == design.StageDriver && c.Verdict == d.Verdict {
			return true
		}
	}
	return false
}

// nearly is the headroom under which no larger sink is tried: it moves thresholds, edges
// and a safe area by less (common practice, no source).
const nearly = 0.25

// cooler tries the coolest sinks there are, at both sides; where they help, it goes
// from the cheapest on to the first that does as well.
func (s *bridgeSearch) cooler() {
	given := s.best.given
	if s.best.verdict == design.Fits || given.Half != nil || given.HalfPart != "" || given.HeatSink.Said {
		return
	}
	if s.last != s.best {
		s.try(s.best.half, given)
	}
	for i := range s.d.Checks {
		if c := &s.d.Checks[i]; c.Verdict == s.d.Verdict && c.Headroom.OK && c.Headroom.V < nearly {
			return
		}
	}
	before := s.best
	pkg := s.sw.Base().Package
	low := given
	cool := s.env.cool
	if i := slices.IndexFunc(cool, func(x *catalog.HeatSink) bool { return slices.Contains(x.Fits, pkg) }); i >= 0 {
		low = given.onSink(cool[i])
	}
	s.try(s.best.half, low)
	list := s.env.bridgeHalves(s.l, given, s.real, cool...)
	for _, h := range list {
		if h.d.Verdict >= s.best.verdict {
			break
		}
		if s.try(h, given); low != given && s.last.verdict > h.d.Verdict {
			s.try(h, low)
		}
	}
	if s.best.verdict == before.verdict {
		s.best = before
		return
	}
	for _, h := range list {
		if cheaper(h.d.Cost.Amount, s.best.half.d.Cost.Amount) {
			s.try(h, s.best.given)
		}
	}
	if s.best.given != given {
		for _, sink := range s.env.Sinks {
			if slices.Contains(sink.Fits, pkg) {
				s.try(s.best.half, given.onSink(sink))
			}
		}
	}
	p := s.best.half.p
	for _, sink := range s.env.Sinks {
		if slices.Contains(sink.Fits, p.Package) {
			for _, h := range s.env.bridgeHalves(s.l, given, s.real, sink) {
				if h.p == p {
					s.try(h, s.best.given)
				}
			}
		}
	}
}

// onSink is given with a heat sink.
func (g *Given) onSink(sink *catalog.HeatSink) *Given {
	on := *g
	on.HeatSink = GivenPart{Said: true, ID: sink.ID}
	return &on
}

// coolest sorts heat sinks by their resistance at a watt, the least first.
func coolest(sinks []*catalog.HeatSink) []*catalog.HeatSink {
	at := func(s *catalog.HeatSink) float64 {
		if r, ok := thermal.SinkResistance(s, 1); ok {
			return r
		}
		return math.Inf(1)
	}
	sorted := slices.Clone(sinks)
	slices.SortStableFunc(sorted, func(a, b *catalog.HeatSink) int { return cmp.Compare(at(a), at(b)) })
	return sorted
}
