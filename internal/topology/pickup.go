package topology

import (
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
		s.touched(design.Known(tCoil))
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
