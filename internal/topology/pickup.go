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

// Hopeless reports whether a transistor is over for a load whatever its stage:
// its rated current or voltage is under what the load alone asks.
func Hopeless(l *load.Model, sw catalog.Part) bool {
	below := func(n design.Number, demand float64) bool { return n.OK && !design.AtMost(demand, n.V) }
	switch p := sw.(type) {
	case *catalog.BJT:
		return below(known(p.ICMax), l.IMax) || below(known(p.VCEOMax), l.VMax)
	case *catalog.MOSFET:
		return below(known(p.IDCase25), l.IMax) || below(known(p.VDSMax), l.VMax)
	}
	return false
}

// LeastCost is a bound of what a stage around a transistor, or the pin itself,
// costs for a winding: the switch, the cheapest clamp of the menu, and for a
// transistor its drive resistor and its pull-down. A switch without a price
// costs more than any other.
func LeastCost(e *Env, l *load.Model, sw catalog.Part) float64 {
	cost := 0.0
	if sw.Kind() != catalog.KindPin {
		cost = priceOf(sw.Base())
		least := math.Inf(1)
		for _, r := range e.Resistors {
			least = math.Min(least, priceOf(r.Base()))
		}
		if !math.IsInf(least, 1) {
			cost += 2 * least
		}
	}
	if to, ok := l.Memo.(*turnOff); ok {
		least := math.Inf(1)
		for i := range to.menu {
			if o := &to.menu[i]; o.Cost.OK {
				least = math.Min(least, o.Cost.V)
			}
		}
		if !math.IsInf(least, 1) {
			cost += least
		}
	}
	return cost
}
