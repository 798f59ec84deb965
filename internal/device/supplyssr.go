package device

import (
	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	q "example.org/pinhoist/internal/quantity"
)

// supplySSR states a missing figure of a solid-state relay as the load would need it.
func supplySSR(p *catalog.SSR, figure string, at Condition) (Supplied, bool) {
	volts, hot := q.Some(q.Volt(max(at.VMax, at.VPeak))), q.Some(q.Celsius(at.T))
	switch figure {
	case "i_leak_max.max":
		return atMost(design.A, 1e-9, 1, func(v float64) {
			p.ILeakMax = []catalog.SSRLeak{{V: volts, Tj: hot, Max: q.Some(q.Amp(v))}}
		})
	case "surge.i":
		return atLeast(design.A, 1e-2, 1e5, func(v float64) {
			p.Surge = []catalog.SurgePoint{{T: q.Some(anyLength), I: q.Some(q.Amp(v))}}
		})
	case "i2t_max":
		return atLeast(design.A2s, 1e-6, 1e6, func(v float64) { p.I2tMax = q.Some(q.AmpSquaredSec(v)) })
	case "i_load_min.hold":
		return atMost(design.A, 1e-6, 100, func(v float64) { p.ILoadMin = &catalog.LoadMinimum{Hold: q.Some(q.Amp(v))} })
	case "i_load_min.latch":
		return atMost(design.A, 1e-6, 100, func(v float64) {
			m := catalog.LoadMinimum{}
			if p.ILoadMin != nil {
				m = *p.ILoadMin
			}
			m.Latch = q.Some(q.Amp(v))
			p.ILoadMin = &m
		})
	case "slope.dv_dt_commutating":
		return atLeast(design.VPerS, 1, 1e12, func(v float64) {
			s := catalog.Slopes{}
			if p.Slope != nil {
				s = *p.Slope
			}
			s.DVDtC = q.Some(q.VoltPerSecond(v))
			p.Slope = &s
		})
	case "i_out_max.i":
		return atLeast(design.A, 1e-3, 1e4, func(v float64) {
			p.IOutMax = []catalog.AmbientCurrent{{Ta: q.Some(anyAmbient), I: q.Some(q.Amp(v))}}
		})
	case "i_out_case_max.i":
		return atLeast(design.A, 1e-3, 1e4, func(v float64) {
			p.IOutCase = []catalog.CaseCurrent{{Tc: q.Some(anyAmbient), I: q.Some(q.Amp(v))}}
		})
	case "v_on_max":
		return atMost(design.V, 1e-3, 10, func(v float64) { p.VOnMax = q.Some(q.Volt(v)) })
	case "r_on":
		return atMost(design.Ohm, 1e-4, 1e3, func(v float64) {
			p.ROn = []catalog.OnResistance{{ID: q.Some(q.Amp(at.IMax)), Max: q.Some(q.Ohm(v))}}
		})
	case "time_max.off":
		return atMost(design.S, 1e-7, 1, func(v float64) {
			t := catalog.SSRTimes{}
			if p.TimeMax != nil {
				t = *p.TimeMax
			}
			t.Off = q.Some(q.Second(v))
			p.TimeMax = &t
		})
	}
	return Supplied{}, false
}
