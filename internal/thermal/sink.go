package thermal

import (
	"math"

	"example.org/pinhoist/catalog"
)

// JunctionToAir returns the thermal resistance, K/W, from junction to still air
// of a part without a sink, at its worst mounting: its own figure, else that of
// its package (pkg may be nil). Copper granted under the part, m2, lets the
// figure of the largest stated area not above it count. ok is false where nothing
// is stated.
func JunctionToAir(h *catalog.Heat, pkg *catalog.Package, copper float64) (r float64, ok bool) {
	if v, known := h.RthJA.Get(); known {
		r, ok = float64(v), true
	} else if pkg != nil {
		if v, known := pkg.RthJA.Get(); known {
			r, ok = float64(v), true
		}
	}
	best := 0.0
	for i := range h.RthJACu {
		area, okA := h.RthJACu[i].Area.Get()
		most, okM := h.RthJACu[i].Max.Get()
		if okA && okM && float64(area) <= copper && float64(area) > best {
			best, r, ok = float64(area), float64(most), true
		}
	}
	return r, ok
}

// SinkRise returns the rise, K, of a sink above still air that its figures
// guarantee not to be exceeded at p watts. Resistance falls with power, so the
// figure of the next lower stated power holds (stairs); and a sink is never
// hotter at less power, so the rise at the next higher stated power bounds it
// too, which is all there is below the first point. ok is false without points.
func SinkRise(s *catalog.HeatSink, p float64) (rise float64, ok bool) {
	rise = math.Inf(1)
	for i := range s.RSA {
		at, okP := s.RSA[i].P.Get()
		r, okR := s.RSA[i].Max.Get()
		if !okP || !okR {
			continue
		}
		rise = min(rise, float64(r)*max(p, float64(at)))
		ok = true
	}
	return rise, ok
}

// SinkResistance returns SinkRise over p: the thermal resistance, K/W, that the
// sink guarantees at p watts or more. Where the power follows the temperature,
// ask at the least power of the loop, that at ambient: at the real one the
// resistance is not greater. ok is false without points or without power.
func SinkResistance(s *catalog.HeatSink, p float64) (r float64, ok bool) {
	rise, ok := SinkRise(s, p)
	if !ok || !(p > 0) {
		return 0, false
	}
	return rise / p, true
}

// SinkCarries returns the power, W, that leaves through rth K/W and then the sink at a
// rise of so many kelvin over the air: the greatest p with rth*p + SinkRise(p) <= rise,
// and zero without points or where no power is that cool. rth and rise are above zero.
//
// SinkRise is the least of max(r*p, r*pk) over the sink's points, so that the greatest p
// is the greatest of theirs, and each piece is a straight line.
func SinkCarries(s *catalog.HeatSink, rth, rise float64) float64 {
	best := 0.0
	for i := range s.RSA {
		at, okP := s.RSA[i].P.Get()
		most, okR := s.RSA[i].Max.Get()
		if !okP || !okR {
			continue
		}
		r, pk := float64(most), float64(at)
		p := (rise - r*pk) / rth // the sink as hot as at its point
		if !(p <= pk) {
			p = rise / (rth + r)
		}
		best = max(best, p)
	}
	return best
}

// OnSink solves T = ta + rth*p0*f(T) + share*S(p0*f(T) + beside), with f the factor
// of OnFactor for alpha and S the rise of SinkRise: the least temperature, degC, that
// a junction keeps whose heat goes through rth K/W to a sink, which gets beside watts
// more and is share of the way to its end. p is the power, W, in the sink there. No
// input that warms the junction more ever lowers T. ok is false for thermal runaway,
// for inputs out of range and without points.
//
// S is the least of max(r*P, r*Pk) over the sink's points. The least fixed point of
// the least of rising laws is the least of theirs, and each piece is a straight line.
func OnSink(s *catalog.HeatSink, ta, rth, p0, alpha, beside, share float64) (t, p float64, ok bool) {
	t = math.Inf(1)
	for i := range s.RSA {
		at, okP := s.RSA[i].P.Get()
		most, okR := s.RSA[i].Max.Get()
		if !okP || !okR {
			continue
		}
		r, pk := share*float64(most), float64(at)
		u, is := FixedPoint(ta+r*pk, rth, p0, alpha, OnResistanceBase, 0)
		if !is || p0*OnFactor(u, alpha)+beside > pk { // above its point the sink follows the power
			if u, is = FixedPoint(ta+r*beside, rth+r, p0, alpha, OnResistanceBase, 0); !is {
				continue
			}
		}
		t, ok = min(t, u), true
	}
	if !ok {
		return 0, 0, false
	}
	return t, p0*OnFactor(t, alpha) + beside, true
}
