package device

import (
	"math"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
)

// SafeArea is the guaranteed current, A, at voltage v for time t (infinite:
// steady), with the case at tCase and the greatest junction tjMax, degrees
// Celsius. Limits are stated at a 25 C case and scale with
// (Tj max - T case)/(Tj max - 25); in voltage they are drawn log-log, in time
// the next longer curve holds. Under the first stated voltage its current
// holds; past the last there is none.
func SafeArea(curves []catalog.SOACurve, v, t, tCase, tjMax float64) design.Number {
	var best *catalog.SOACurve
	bestT := math.Inf(1)
	for k := range curves {
		ct := float64(curves[k].T.T)
		if curves[k].T.DC {
			ct = math.Inf(1)
		}
		if ct >= t && (best == nil || ct < bestT) {
			best, bestT = &curves[k], ct
		}
	}
	if best == nil || tjMax <= Room {
		return design.Number{}
	}
	i := onCurve(best.Points, v)
	if !i.OK {
		return i
	}
	derate := min(1, max(0, (tjMax-tCase)/(tjMax-Room)))
	return design.Known(i.V * derate)
}

// SafeAreaBound is the current, A, of the longest stated time: a bound from above
// for any longer one, for which nothing is guaranteed.
func SafeAreaBound(curves []catalog.SOACurve, v, tCase, tjMax float64) design.Number {
	longest := 0.0
	for k := range curves {
		if curves[k].T.DC {
			longest = math.Inf(1)
		}
		longest = max(longest, float64(curves[k].T.T))
	}
	return SafeArea(curves, v, longest, tCase, tjMax)
}

func onCurve(pts []catalog.SOAPoint, v float64) design.Number {
	for k := range pts {
		pv, pi := float64(pts[k].V.Or(0)), float64(pts[k].I.Or(0))
		if v > pv*(1+1e-12) {
			continue
		}
		if k == 0 || v >= pv {
			return design.Known(pi)
		}
		v0, i0 := float64(pts[k-1].V.Or(0)), float64(pts[k-1].I.Or(0))
		return design.Known(i0 * math.Pow(v/v0, math.Log(pi/i0)/math.Log(pv/v0)))
	}
	return design.Number{}
}
