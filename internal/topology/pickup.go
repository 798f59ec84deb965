package topology

import (
	"math"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/load"
	"example.org/pinhoist/internal/thermal"
)

// coilPickup judges whether a coil that was heated at the highest rail picks up
// again, hot, at the lowest, after the drop of its driver: must-operate x
// (234.5 + T coil)/(234.5 + 20), because the current that moves the armature
// does not change with heat and copper's resistance does.
func (s *stage) coilPickup(drop, dropEst design.Number) {
	l := s.l
	c := s.check(design.CoilPickup, design.V)
	wire := l.ILow * l.RWire
	if drop.OK {
		c.Rating = design.Known(l.VMin - drop.V - wire)
	} else {
		c.Needs("on voltage")
	}
	switch {
	case dropEst.OK:
		c.RatingEstimate = design.Known(l.VMin - dropEst.V - wire)
	case !drop.OK: // a bound: no switch drops less than nothing
		c.RatingEstimate = design.Known(l.VMin - wire)
	}
	tCoil, known := coilTemperature(l, float64(l.RthCoil.Value), l.RthCoil.Known)
	if known {
		s.value(design.TCoil, tCoil, design.DegC)
	}
	if known && l.MustOperate.Known {
		c.Stress = design.Known(float64(l.MustOperate.Value) * l.VNom * load.CopperRatio(tCoil))
	}
	if !known {
		c.Needs(l.RthCoil.Field)
	}
	if !l.MustOperate.Known {
		c.Needs(l.MustOperate.Field)
	}
	if l.MustOperate.Assumed || l.RthCoil.Assumed {
		must, rth := l.MustOperate.Value, l.RthCoil.Value
		if l.MustOperate.Assumed {
			must = l.MustOperate.Easy
			c.Needs(l.MustOperate.Field)
		}
		if l.RthCoil.Assumed {
			rth = l.RthCoil.Easy
			c.Needs(l.RthCoil.Field)
		}
		if t, ok := coilTemperature(l, float64(rth), true); ok {
			c.EasyStress = design.Known(float64(must) * l.VNom * load.CopperRatio(t))
		}
	}
	c.Formula = "{V_must_operate} x (234.5 + {T_coil})/254.5 = {stress}; the coil gets {V_rail_min} - {V_on} = {rating}"
	c.SetArgs(design.Arg{Name: "V_must_operate", V: float64(l.MustOperate.Value) * l.VNom, Unit: design.V},
		design.Arg{Name: "T_coil", V: tCoil, Unit: design.DegC}, design.Arg{Name: "V_rail_min", V: l.VMin, Unit: design.V},
		design.Arg{Name: "V_on", V: firstOf(drop, dropEst) + wire, Unit: design.V})
	c.SetCorner(design.CornerValue{Name: "rail", V: l.VMin}, design.CornerValue{Name: "ambient", V: l.TMax}, design.CornerValue{Name: "load.r", V: l.RMin})
	judge(c)
}

// coilTemperature is the steady coil at the highest rail, hottest air and least
// resistance, degrees Celsius.
func coilTemperature(l *load.Model, rth float64, known bool) (float64, bool) {
	if !known {
		return 0, false
	}
	r := l.RMin / load.CopperRatio(l.TMin) // at 20 C, least
	return thermal.CoilTemperature(l.TMax, rth, l.VMax, r, 20)
}

// CoilFloor is the best verdict that any driver can reach for a coil: that of
// its pick-up with no drop at all, which no switch improves, and that of the
// best clamp there is.
func CoilFloor(l *load.Model) design.Verdict {
	var d design.Design
	s := begin(&Env{Brief: true}, l, &Given{}, &d, "", nil)
	s.coilPickup(design.Known(0), design.Number{})
	floor := d.Checks[0].Verdict
	if to, ok := l.Memo.(*turnOff); ok {
		if len(to.menu) == 0 {
			return design.Over
		}
		floor = max(floor, to.menu[0].Verdict)
	}
	return floor
}

// Reach is a bound of the verdict of a transistor's stage for a load, whatever
// is chosen around it: over where its rated current or voltage is under what the
// load alone asks, tight where the policy's share of them is, unproven where no
// on-resistance of a MOSFET is stated at what the pin gives, or where no clamp
// keeps the voltage under the rating. The true verdict is never better.
func Reach(e *Env, l *load.Model, sw catalog.Part) design.Verdict {
	bound := func(rating design.Number, k, demand float64) design.Verdict {
		switch {
		case !rating.OK:
			return design.Fits
		case !design.AtMost(demand, rating.V):
			return design.Over
		case !design.AtMost(demand, k*rating.V):
			return design.Tight
		}
		return design.Fits
	}
	peak := leastPeak(l)
	blocks := func(rating design.Number) design.Verdict {
		return max(bound(rating, e.Policy.V, l.VMax), min(bound(rating, e.Policy.V, peak), design.Unproven))
	}
	switch p := sw.(type) {
	case *catalog.BJT:
		return max(bound(known(p.ICMax), e.Policy.I, l.IMax), blocks(known(p.VCEOMax)))
	case *catalog.MOSFET:
		v := max(bound(known(p.IDCase25), e.Policy.I, l.IMax), blocks(known(p.VDSMax)))
		if v < design.Unproven && !driven(p, float64(e.Pin.SupplyMin)) {
			v = design.Unproven
		}
		return v
	}
	return design.Fits
}

// leastPeak is the lowest proven voltage at turn-off of any clamp of the menu, V;
// the rail's where there is none. With a clamp whose voltage is not proven a
// stage is unproven at best.
func leastPeak(l *load.Model) float64 {
	to, ok := l.Memo.(*turnOff)
	if !ok {
		return l.VMax
	}
	least := math.Inf(1)
	for i := range to.menu {
		if o := &to.menu[i]; o.VPeak.OK {
			least = math.Min(least, o.VPeak.V)
		}
	}
	if math.IsInf(least, 1) {
		return l.VMax
	}
	return least
}

// driven reports whether an on-resistance is stated at a gate voltage of v or less.
func driven(p *catalog.MOSFET, v float64) bool {
	for i := range p.RDSOn {
		if pt := &p.RDSOn[i]; pt.Max.Known() && design.AtMost(float64(pt.VGS.Or(0)), v*(1+1e-9)) {
			return true
		}
	}
	return false
}

// LeastBeside is a bound of what stands beside a switch of a kind in its stage
// for a winding costs, where the verdict is to be floor or better: the cheapest
// clamp of the menu that has such a verdict, the pull-down of a transistor, and
// the base resistor of a bipolar one (that of a gate may be a link).
func LeastBeside(e *Env, l *load.Model, kind catalog.Kind, floor design.Verdict) float64 {
	cost, least := 0.0, math.Inf(1)
	for _, r := range e.Resistors {
		least = math.Min(least, priceOf(r.Base()))
	}
	if math.IsInf(least, 1) {
		least = 0
	}
	switch kind {
	case catalog.KindBJT:
		cost = 2 * least
	case catalog.KindMOSFET:
		cost = least
	}
	to, ok := l.Memo.(*turnOff)
	if !ok {
		return cost
	}
	least = math.Inf(1)
	for i := range to.menu {
		if o := &to.menu[i]; o.Cost.OK && o.Verdict <= floor {
			least = math.Min(least, o.Cost.V)
		}
	}
	if math.IsInf(least, 1) {
		return cost
	}
	return cost + least
}
