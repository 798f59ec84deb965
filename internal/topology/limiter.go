package topology

import (
	"cmp"
	"slices"
	"sync"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/load"
)

// limits are the limiters that may stand in the way of a load, worked out once, when
// the first stage wants one.
type limits struct {
	once  sync.Once
	cold  []*load.Model // smallest first, each bearing the load
	quick bool          // with some that would serve, were the load off for long enough
}

// limitersOf are the catalogue's limiters, the smallest first: least resistance when
// cold, then the cheapest, then by id.
func limitersOf(cat *catalog.Catalog) []*catalog.Limiter {
	out := make([]*catalog.Limiter, 0, len(cat.Limiters))
	for i := range cat.Limiters {
		if p := &cat.Limiters[i]; p.Type == "ntc" && p.R25 != nil {
			out = append(out, p)
		}
	}
	slices.SortFunc(out, func(a, b *catalog.Limiter) int {
		return cmp.Or(cmp.Compare(float64(a.R25.Min.Or(0)), float64(b.R25.Min.Or(0))), cmp.Compare(priceOf(&a.Common), priceOf(&b.Common)), cmp.Compare(a.ID, b.ID))
	})
	return out
}

// fill works out what each limiter makes of the load, and keeps those that bear it.
func (e *Env) fill(to *limits, l *load.Model) {
	for _, p := range limitersOf(e.Catalog) {
		m := l.Limited(p)
		s := stage{env: e, l: m, pol: e.Policy}
		steady, energy := s.limiterCurrent(), s.limiterEnergy()
		if steady.Verdict != design.Fits || energy.Verdict != design.Fits || !s.leavesEnough() {
			continue
		}
		if !m.Limiter.Helps {
			to.quick = to.quick || m.Limiter.Cold > 0 && m.Limiter.Off < float64(p.TCool.Or(0))
			continue
		}
		if !l.PeakKnown || m.PeakCurrent() < l.PeakCurrent() {
			to.cold = append(to.cold, m)
		}
	}
}

// leavesEnough reports whether a warm limiter leaves the load its least voltage, with
// no drop elsewhere.
func (s *stage) leavesEnough() bool {
	l := s.l
	return !l.VoltageMin.Known || design.AtMost(float64(l.VoltageMin.Value), l.VMin-s.limiterKeeps())
}

// limiterKeeps is the greatest voltage that the stage's limiter keeps from the load
// at the lowest rail, V; 0 without one.
func (s *stage) limiterKeeps() float64 {
	l := s.l
	if l.Limiter == nil || l.IMin <= 0 {
		return 0
	}
	return l.Limiter.KeptBetween(l.VMin, l.VMin/max(l.IMin, l.ILow), l.VMin/l.IMin, l.TMin)
}

// mendable are the checks that a smaller inrush may mend.
func mendable(id design.CheckID) bool {
	switch id {
	case design.PeakCurrent, design.SafeArea, design.JunctionTemperature, design.GateDrive, design.Saturation, design.BaseDrive, design.PinCurrent:
		return true
	}
	return false
}

// overByInrush reports whether a stage may be over or unproven for its inrush alone.
func overByInrush(d *design.Design) bool {
	if d.Verdict <= design.Tight {
		return false
	}
	for i := range d.Checks {
		if c := &d.Checks[i]; c.Verdict > design.Tight && !mendable(c.ID) {
			return false
		}
	}
	return true
}

// limited makes a stage, one that bears what its own drop makes a load of constant power
// draw, begun with a rough way as saggingFrom is, and where its load's inrush alone keeps it
// from fitting, with the smallest limiter that mends it.
func (e *Env) limited(l *load.Model, given *Given, d *design.Design, rough roughly, make func(l *load.Model, d *design.Design)) {
	if given.Limiter.Said {
		if p, ok := e.Catalog.Part(given.Limiter.ID); ok && given.Limiter.ID != "" {
			if lim, ok := p.(*catalog.Limiter); ok && l.Limitable() {
				l = l.Limited(lim)
			}
		}
		e.saggingFrom(l, d, rough, make)
		return
	}
	e.saggingFrom(l, d, rough, make)
	to, ok := l.Memo.(*limits)
	if !ok || !overByInrush(d) {
		return
	}
	to.once.Do(func() { e.fill(to, l) })
	if !mended(to.cold, d, make) && to.quick {
		tellCooling(d)
	}
}

// mended puts the smallest limiter of a list into a stage that mends it, and reports
// whether one does.
func mended(cold []*load.Model, d *design.Design, make func(l *load.Model, d *design.Design)) bool {
	if len(cold) == 0 {
		return false
	}
	least := cold[0]
	for _, m := range cold {
		if m.PeakCurrent() < least.PeakCurrent() {
			least = m
		}
	}
	var trial design.Design
	if make(least, &trial); trial.Verdict > design.Tight { // no other limits more
		return false
	}
	for _, m := range cold {
		if m == least {
			break
		}
		var first design.Design
		if make(m, &first); first.Verdict <= trial.Verdict {
			*d = first
			return true
		}
	}
	*d = trial
	return true
}

// tellCooling says that a limiter might help, were there time for it to cool.
func tellCooling(d *design.Design) {
	for i := range d.Checks {
		if c := &d.Checks[i]; c.ID == design.PeakCurrent && c.Verdict > design.Tight && c.Because == "" {
			c.Because = "an inrush limiter that is warm does not limit: one may mend this where switching_rate and duty_max leave it time to cool"
		}
	}
}

// limiterCurrent is the on-current check of a limiter.
func (s *stage) limiterCurrent() design.Check {
	x := s.l.Limiter
	c := design.Check{ID: design.OnCurrent, Unit: design.A, K: s.pol.I, Stress: design.Known(x.Steady), Source: x.Part.Provenance, Brief: s.env.Brief}
	if v := known(x.Part.IMax); s.l.TMax <= limiterAir {
		c.Rating = v
	} else {
		c.RatingEstimate, c.Because = v, "what the limiter carries is stated for air of up to 65 C (common practice, no source)"
		c.Needs("limiter i_max at this air")
	}
	c.Formula = "load current {stress} through the inrush limiter, which carries {rating}"
	c.SetCorner(design.CornerValue{Name: "rail", V: s.l.VMax}, design.CornerValue{Name: "ambient", V: s.l.TMax})
	judge(&c)
	return c
}

// limiterAir is the hottest air, degrees Celsius, in which a limiter carries its rated
// current (common practice, no source).
const limiterAir = 65.0

// limiterEnergy is the peak-current check of what one inrush brings to a limiter.
func (s *stage) limiterEnergy() design.Check {
	x := s.l.Limiter
	c := design.Check{ID: design.PeakCurrent, Unit: design.J, K: s.pol.Energy, Stress: design.Known(x.Energy), Source: x.Part.Provenance, Brief: s.env.Brief}
	if x.Part.EMax.Known() {
		c.Rating = design.Known(x.EMax)
	} else {
		c.Needs("limiter e_max")
	}
	if r := x.Part.R25; r == nil || !r.Max.Known() {
		c.Stress = design.Number{}
		c.Needs("limiter r_25")
	}
	c.Formula = "one inrush brings {stress} to the limiter, it bears {rating}, from {T_air} on"
	c.SetArgs(design.Arg{Name: "T_air", V: s.l.TMax, Unit: design.DegC})
	c.SetCorner(design.CornerValue{Name: "rail", V: s.l.VMax}, design.CornerValue{Name: "ambient", V: s.l.TMax})
	judge(&c)
	return c
}

// limiter states what the limiter of the stage is asked, buys and draws it. Of its own
// checks and those of the switch under the same name the worse is told.
func (s *stage) limiter() {
	x := s.l.Limiter
	if x == nil {
		return
	}
	for _, own := range [...]design.Check{s.limiterCurrent(), s.limiterEnergy()} {
		i := slices.IndexFunc(s.d.Checks, func(c design.Check) bool { return c.ID == own.ID && c.Stage == design.StageSelf })
		if i < 0 {
			s.d.Checks = append(s.d.Checks, own)
			continue
		}
		has := true
		keepWorse(&s.d.Checks[i], own, &has)
	}
	s.buy("NTC1", x.Part)
	s.d.Choice.Limiter = x.Part.ID
	s.caution(design.CautionLimiter)
	s.caution(design.CautionHot)
	for i := range s.d.Elements {
		if e := &s.d.Elements[i]; e.Role == design.RoleLoad && e.Ref == "LOAD" {
			from, cold := e.Nodes[0], float64(x.Part.R25.Min.Or(0)+x.Part.R25.Max.Or(0))/2
			e.Nodes = []string{"limited", e.Nodes[1]}
			s.d.Elements = append(s.d.Elements, design.Element{Ref: "NTC1", Role: design.RoleLimiter, Kind: string(catalog.KindLimiter), Part: x.Part.ID,
				Value: cold, Unit: design.Ohm, HasValue: true, Nodes: []string{from, "limited"}})
			break
		}
	}
}
