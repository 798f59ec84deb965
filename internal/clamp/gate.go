package clamp

import (
	"math"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
)

// gateKnee is how much of its least voltage a Zener may lack below its test current;
// under kneeSharp volts it breaks down by tunnelling and its knee is soft (common
// practice, no source).
const (
	gateKnee, softKnee = 0.05, 0.25
	kneeSharp          = 6.0
)

// GateClamp is what a Zener between gate and source makes of a gate voltage.
type GateClamp struct {
	Low, High design.Number // V: under Low it takes nothing, above High it lets nothing
	Bears     bool          // its power is within the share of what it bears, so that High holds
	Needs     string        // a figure that is missing
}

// AtGate works out a Zener as a gate clamp that takes at most i amperes, in air
// from tMin to tMax degrees Celsius, with the policy's share of its power. Its
// junction is at most so much hotter than the air as the power makes it, and its
// temperature coefficient has either sign. Below its test current its knee counts.
func AtGate(z *catalog.Zener, i, tMin, tMax, share float64) (g GateClamp) {
	v := newZener(z)
	if !v.ok {
		g.Needs = "gate clamp: v_z"
		return g
	}
	pMax, ok := z.PMax.Get()
	if !ok {
		g.Needs = "gate clamp: p_max"
	}
	toAir := worstToAir
	if r, ok := z.RthJA.Get(); ok {
		toAir = float64(r)
	}
	power := v.high(i, 0) * max(0, i)
	hot := tMax + power*toAir
	top := float64(z.TjMax.Or(hottestJunction))
	dt := max(math.Abs(min(hot, top)-statedAt), math.Abs(statedAt-tMin))
	derated := float64(pMax) * max(0, min(1, (top-tMax)/(top-statedAt)))
	g.Bears = ok && design.AtMost(power, share*derated) && hot <= top
	g.High = design.Known(v.high(i, dt))
	knee := gateKnee
	if v.low(0) < kneeSharp {
		knee = softKnee
	}
	g.Low = design.Known(v.low(dt) * (1 - knee))
	return g
}
