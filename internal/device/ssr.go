package device

import (
	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
)

const (
	// SSRRepeated is what a repeated inrush may be of a solid-state relay's surge, which
	// is stated for once in a while: makers draw a second, lower line of about half for
	// inrushes that come again (common practice, no source). Its square goes with it.
	SSRRepeated = 0.5
	// LEDOff is the share of an input LED's least forward voltage under which next to
	// nothing flows through it, hot too (common practice, no source: its current falls
	// by ten for some 0.12 V, its voltage by 2 mV/K).
	LEDOff = 0.6
	// ledSlope is how far a forward voltage falls, V/K.
	ledSlope = 2e-3
)

// SSRThyristor reports whether an output lets go at a zero of its current only.
func SSRThyristor(p *catalog.SSR) bool { return p.Output == "triac" || p.Output == "scr-pair" }

// SSRZeroCross reports whether an output waits for a zero of its voltage. A thyristor
// that does not say counts as one that does, which is slower.
func SSRZeroCross(p *catalog.SSR) bool {
	return SSRThyristor(p) && (p.ZeroCross == nil || *p.ZeroCross)
}

// SSRBare is the output current without a sink in air of ta, A: the figure of the next
// higher stated temperature; unknown past the last.
func SSRBare(p *catalog.SSR, ta float64) (i design.Number) {
	for k := range p.IOutMax {
		pt := &p.IOutMax[k]
		if t, ok := pt.Ta.Get(); ok && pt.I.Known() && design.AtMost(ta, float64(t)) {
			return known(pt.I.Get())
		}
	}
	return i
}

// SSRAtCase is the output current on a sink with the case at tc, A, likewise.
func SSRAtCase(p *catalog.SSR, tc float64) (i design.Number) {
	for k := range p.IOutCase {
		pt := &p.IOutCase[k]
		if t, ok := pt.Tc.Get(); ok && pt.I.Known() && design.AtMost(tc, float64(t)) {
			return known(pt.I.Get())
		}
	}
	return i
}

// SSRRated is the greatest output current that is stated at all, A RMS.
func SSRRated(p *catalog.SSR) float64 {
	i := 0.0
	for k := range p.IOutMax {
		i = max(i, float64(p.IOutMax[k].I.Or(0)))
	}
	for k := range p.IOutCase {
		i = max(i, float64(p.IOutCase[k].I.Or(0)))
	}
	return i
}

// SSRSurge is the surge, A at its crest, stated for no less than t seconds.
func SSRSurge(p *catalog.SSR, t float64) (i design.Number) {
	for k := range p.Surge {
		pt := &p.Surge[k]
		if at, ok := pt.T.Get(); ok && pt.I.Known() && design.AtMost(t, float64(at)) {
			if v := float64(pt.I.Value()); !i.OK || v > i.V {
				i = design.Known(v)
			}
		}
	}
	return i
}

// SSRLeakage is the guaranteed off current of an output, A, at v (RMS on AC) and
// junction temperature t: stairs in both; unknown past them.
func SSRLeakage(p *catalog.SSR, v, t float64) (i design.Number) {
	for k := range p.ILeakMax {
		pt := &p.ILeakMax[k]
		at := float64(pt.V.Or(0))
		if design.AtMost(v, at) {
			at = v
		}
		i = leakStair(i, at, tjOf(pt.Tj), float64(pt.Max.Or(0)), pt.Max.Known(), v, t)
	}
	return i
}

// SSROnResistance is the on-resistance at 25 C of a MOSFET output at i amperes, the
// greatest of the figures stated at no less, and its slope, 1/K: by the greatest hot
// figure beside it, else the bracket of a MOSFET's.
func SSROnResistance(p *catalog.SSR, i float64) (r design.Number, alpha float64, bracket bool) {
	for k := range p.ROn {
		pt := &p.ROn[k]
		if !pt.Max.Known() || !design.AtMost(i, float64(pt.ID.Or(0))) || tjOf(pt.Tj) > Room {
			continue
		}
		if v := float64(pt.Max.Value()); !r.OK || v < r.V {
			r = design.Known(v)
		}
	}
	if !r.OK {
		return r, 0, false
	}
	hot := false
	for k := range p.ROn {
		pt := &p.ROn[k]
		if t := tjOf(pt.Tj); t > Room && pt.Max.Known() && design.AtMost(i, float64(pt.ID.Or(0))) {
			alpha, hot = max(alpha, (float64(pt.Max.Value())/r.V-1)/(t-Room)), true
		}
	}
	if hot {
		return r, alpha, false
	}
	blocking := catalog.BracketRDSOnHotKnee + 1
	if p.VOut != nil && p.VOut.Blocking.Known() {
		blocking = p.VOut.Blocking.Value()
	}
	return r, (float64(catalog.BracketRDSOnHotMax(blocking)) - 1) / (float64(catalog.BracketRDSOnHotTj) - Room), true
}

// SSRHolds is the least current, A, at which an output stays on: the greatest of what
// holds it and what latches it, which where it is not stated is a multiple of the other
// (bracket).
func SSRHolds(p *catalog.SSR) (i design.Number, fallback bool) {
	if p.ILoadMin == nil {
		return i, false
	}
	hold, latch := known(p.ILoadMin.Hold.Get()), known(p.ILoadMin.Latch.Get())
	switch {
	case !hold.OK:
		return hold, false
	case !latch.OK:
		return design.Known(float64(catalog.BracketLatchOfHold) * hold.V), true
	}
	return design.Known(max(hold.V, latch.V)), false
}

// SSRCommutates is the slope, V/s, of the voltage that comes back which an output bears
// just after its current has ended.
func SSRCommutates(p *catalog.SSR) (v design.Number) {
	if p.Slope == nil {
		return v
	}
	return known(p.Slope.DVDtC.Get())
}

// SSRInput is the current of a voltage input at v volts, A: the figure of the next
// higher stated voltage; unknown past the last.
func SSRInput(p *catalog.SSR, v float64) (i design.Number) {
	for k := range p.IIn {
		pt := &p.IIn[k]
		if at, ok := pt.V.Get(); ok && pt.Max.Known() && design.AtMost(v, float64(at)) {
			return known(pt.Max.Get())
		}
	}
	return i
}

// SSRLED is the forward voltage of an input's LED, V: the greatest in air of cold and
// the least with the junction hot, degrees Celsius.
func SSRLED(p *catalog.SSR, cold, hot float64) (most, least design.Number) {
	most, least = known(p.VFMax.Get()), known(p.VFMin.Get())
	most.V += ledSlope * max(0, Room-cold)
	least.V = max(0, least.V-ledSlope*max(0, hot-Room))
	return most, least
}

// SSROffVoltage is the voltage under which an input is off, V.
func SSROffVoltage(p *catalog.SSR) design.Number {
	if p.Input == "led" {
		v := known(p.VFMin.Get())
		v.V *= LEDOff
		return v
	}
	if p.VIn == nil {
		return design.Number{}
	}
	return known(p.VIn.OffMax.Get())
}
