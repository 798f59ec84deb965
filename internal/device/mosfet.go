package device

import (
	"math"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	q "example.org/pinhoist/internal/quantity"
)

// Room is the temperature that data-sheet figures hold at, degrees Celsius.
const Room = float64(catalog.DefaultTj)

// tjOf is a point's junction temperature, Room where it does not say.
func tjOf(o q.Opt[q.Celsius]) float64 { return float64(o.Or(catalog.DefaultTj)) }

// Threshold of a MOSFET at junction temperature t, degrees Celsius: the least
// and greatest gate voltage, V, at which it barely conducts. It falls with heat
// by at most the stated slope (bracket 7 mV/K).
func Threshold(p *catalog.MOSFET, t float64) (vmin, vmax design.Number, fallback bool) {
	if p.VGSTh == nil {
		return design.Number{}, design.Number{}, false
	}
	slope, ok := p.VGSThSlope.Get()
	s := float64(slope)
	if !ok {
		s, fallback = float64(catalog.BracketVGSThSlopeMax), true
	}
	shift := s * (t - tjOf(p.VGSTh.Tj))
	if v, ok := p.VGSTh.Min.Get(); ok {
		vmin = design.Known(float64(v) - max(0, shift))
	}
	if v, ok := p.VGSTh.Max.Get(); ok {
		vmax = design.Known(float64(v) - min(0, shift))
	}
	return vmin, vmax, fallback
}

// lowestDrive is the stated on-resistance maximum at the least gate voltage.
func lowestDrive(p *catalog.MOSFET) (point *catalog.RDSPoint) {
	for i := range p.RDSOn {
		r := &p.RDSOn[i]
		if r.Max.Known() && r.VGS.Known() && (point == nil || r.VGS.Value() < point.VGS.Value()) {
			point = r
		}
	}
	return point
}

// SquareLaw is the current, A, that a worst part carries at gate voltage v with
// threshold vth: K = 1/(RDS(on)max*(VGS - Vth(max))) at the lowest stated
// drive, I = K*(v - vth)^2/2 (Shichman-Hodges square law; the on-resistance of
// the ohmic region fixes K). Zero at or under the threshold, unknown without
// the figures.
func SquareLaw(p *catalog.MOSFET, v, vth float64) design.Number {
	k := transconductance(p)
	if !k.OK {
		return k
	}
	over := max(0, v-vth)
	return design.Known(k.V * over * over / 2)
}

// transconductance is K of the square law, A/V2.
func transconductance(p *catalog.MOSFET) design.Number {
	pt := lowestDrive(p)
	if pt == nil || p.VGSTh == nil || !p.VGSTh.Max.Known() {
		return design.Number{}
	}
	over := float64(pt.VGS.Value() - p.VGSTh.Max.Value())
	if over <= 0 || pt.Max.Value() <= 0 {
		return design.Number{}
	}
	return design.Known(1 / (float64(pt.Max.Value()) * over))
}

// DriveFor is the gate voltage at which the square law with threshold vth
// carries i, V.
func DriveFor(p *catalog.MOSFET, i, vth float64) design.Number {
	k := transconductance(p)
	if !k.OK {
		return k
	}
	return design.Known(vth + math.Sqrt(2*i/k.V))
}

// OnResistance is the guaranteed on-resistance at 25 C, ohm, with vgs on the
// gate at current i: the least of the stated maxima at no higher gate voltage.
// A figure stated at a lower current serves only where the square law at
// Vth(max) gives at least twice i. The estimate beside it is the worst part's
// resistance carried on below the lowest stated drive, R*(V1 - Vth)/(v - Vth).
func OnResistance(p *catalog.MOSFET, vgs, i float64) (r, estimate design.Number, point *catalog.RDSPoint) {
	for k := range p.RDSOn {
		pt := &p.RDSOn[k]
		if !pt.Max.Known() || tjOf(pt.Tj) != Room || float64(pt.VGS.Value()) > vgs*(1+1e-12) || !Carries(p, pt, vgs, i) {
			continue
		}
		if m := float64(pt.Max.Value()); !r.OK || m < r.V {
			r, point = design.Known(m), pt
		}
	}
	if r.OK {
		return r, design.Number{}, point
	}
	low := lowestDrive(p)
	if low == nil || p.VGSTh == nil || !p.VGSTh.Max.Known() {
		return r, design.Number{}, nil
	}
	vth := float64(p.VGSTh.Max.Value())
	if vgs > vth {
		scale := max(1, (float64(low.VGS.Value())-vth)/(vgs-vth))
		estimate = design.Known(float64(low.Max.Value()) * scale)
	}
	return r, estimate, nil
}

// Carries reports whether an on-resistance point serves current i at gate voltage
// vgs: it is stated at no lower current, or the square law at Vth(max) gives at
// least twice i.
func Carries(p *catalog.MOSFET, pt *catalog.RDSPoint, vgs, i float64) bool {
	if i <= float64(pt.ID.Value()) {
		return true
	}
	if p.VGSTh == nil || !p.VGSTh.Max.Known() {
		return false
	}
	sat := SquareLaw(p, vgs, float64(p.VGSTh.Max.Value()))
	return sat.OK && sat.V >= 2*i
}

// hotEnough is from which temperature on, degrees Celsius, a hot factor tells the curve
// beyond it (common practice, no source).
const hotEnough = 100.0

// HotSlope is the linear rise of on-resistance with the junction, 1/K: from 1
// at 25 C to the stated factor. The true curve is convex, so the chord is safe up to
// its end. One that ends under the bracket's temperature is led on to there by the power
// of the absolute temperature that it makes, as mobility goes; one that ends before
// hotEnough tells nothing of the heat, and is the bracket's where that rises faster.
func HotSlope(p *catalog.MOSFET) (alpha float64, fallback bool) {
	const top = float64(catalog.BracketRDSOnHotTj)
	bracket := (float64(catalog.BracketRDSOnHotMax(p.VDSMax.Or(0))) - 1) / (top - Room)
	h := p.RDSOnHot
	if h == nil || !h.Factor.Known() || !h.Tj.Known() || float64(h.Tj.Value()) <= Room {
		return bracket, true
	}
	factor, end := float64(h.Factor.Value()), float64(h.Tj.Value())
	alpha = (factor - 1) / (end - Room)
	kelvin := func(t float64) float64 { return (t + q.ZeroCelsius) / (Room + q.ZeroCelsius) }
	switch {
	case end >= top || factor < 1:
	case end < hotEnough:
		return max(alpha, bracket), alpha < bracket
	default:
		alpha = max(alpha, (math.Pow(factor, math.Log(kelvin(top))/math.Log(kelvin(end)))-1)/(top-Room))
	}
	return alpha, false
}

// Edges are the longest current and voltage edges of a MOSFET driven through a
// resistance, s, each with the plateau that is worse for it: between Vth(min)
// at the hot junction and Vth(max) + sqrt(2I/K).
//
//	t = (Qgd + Qgs) * R/(Vdrive - Vplateau)   turning on
//	t = (Qgd + Qgs) * R/Vplateau              turning off
//
// (charge over current, as in makers' application notes on switching by gate
// charge). The whole charge stands in for Qgs where only that is stated. Unknown without
// guaranteed charges, or where the plateau is not under the drive.
func Edges(p *catalog.MOSFET, vdrive, r, i, tHot, tCold float64) (on, off design.Number) {
	qgd, ok := p.QGDMax.Get()
	if !ok {
		return on, off
	}
	charge := float64(qgd)
	if qgs, ok := p.QGSMax.Get(); ok {
		charge += float64(qgs)
	} else if p.QGMax != nil { // no part of the charge is more than the whole
		charge += float64(p.QGMax.Q.Or(0))
	} else {
		return on, off
	}
	vmin, _, _ := Threshold(p, tHot)
	_, vmax, _ := Threshold(p, tCold)
	if !vmin.OK || !vmax.OK {
		return on, off
	}
	if vpl := DriveFor(p, i, vmax.V); vpl.OK && vpl.V < vdrive {
		on = design.Known(charge * r / (vdrive - vpl.V))
	}
	if vmin.V > 0 {
		off = design.Known(charge * r / vmin.V)
	}
	return on, off
}

// OffCharge is what a gate gives off at the most while its part turns off, C: all that
// comes through the gate-drain capacitance; of what stands between gate and source, with
// slow farad beside, what goes with the way from the plateau to the threshold,
//
//	sqrt(2*I/K), K = 1/(R*(V - Vth(min)))
//
// by the square law of a part with the greatest on-resistance, hot, at the lowest stated
// drive V and the least threshold. The gate-source charge is stated up to a plateau that no
// part of the class has under its least threshold. Edges counts all of it. Unknown without
// guaranteed charges and thresholds. Source: charge over voltage, as in makers' application
// notes on switching by gate charge.
func OffCharge(p *catalog.MOSFET, i, tHot, slow float64) design.Number {
	qgd, ok := p.QGDMax.Get()
	least, _, _ := Threshold(p, tHot)
	room, _, _ := Threshold(p, Room)
	pt := lowestDrive(p)
	if !ok || !least.OK || !room.OK || pt == nil || least.V <= 0 || float64(pt.VGS.Value()) <= least.V {
		return design.Number{}
	}
	slope, _ := HotSlope(p)
	way := math.Sqrt(2 * i * float64(pt.Max.Value()) * (1 + slope*max(0, tHot-Room)) * (float64(pt.VGS.Value()) - least.V))
	gs, ok := p.QGSMax.Get()
	if !ok {
		if p.QGMax == nil || !p.QGMax.Q.Known() {
			return design.Number{}
		}
		gs = p.QGMax.Q.Value() // no part of the charge is more than the whole
	}
	return design.Known(float64(qgd) + float64(gs)*min(1, way/room.V) + slow*way)
}

// Endless reports whether an edge has no end by the figures that bound it: the
// plateau of turning on is not under the drive, or the threshold is not above
// zero. Unlike a charge that nobody states, this is a finding.
func Endless(p *catalog.MOSFET, vdrive, i, tHot, tCold float64) bool {
	vmin, _, _ := Threshold(p, tHot)
	_, vmax, _ := Threshold(p, tCold)
	if vmin.OK && vmin.V <= 0 {
		return true
	}
	vpl := DriveFor(p, i, vmax.V)
	return vmax.OK && vpl.OK && vpl.V >= vdrive
}

// GateResistance is the gate's own resistance at most, ohm (bracket 10 ohm).
func GateResistance(p *catalog.MOSFET) (r float64, fallback bool) {
	if v, ok := p.RGateInt.Get(); ok {
		return float64(v), false
	}
	return float64(catalog.BracketRGateInternalMax), true
}

// DrainLeakage is the guaranteed off-state drain current, A, at v and junction
// temperature t: stairs in both, the least of the figures stated at no lower
// voltage and no lower temperature; unknown past them.
func DrainLeakage(p *catalog.MOSFET, v, t float64) (i design.Number) {
	for k := range p.IDSSMax {
		pt := &p.IDSSMax[k]
		i = leakStair(i, float64(pt.VDS.Or(0)), tjOf(pt.Tj), float64(pt.Max.Or(0)), pt.Max.Known(), v, t)
	}
	return i
}

func leakStair(best design.Number, pv, pt, pi float64, known bool, v, t float64) design.Number {
	if known && pv >= v && pt >= t && (!best.OK || pi < best.V) {
		return design.Known(pi)
	}
	return best
}
