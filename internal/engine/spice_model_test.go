package engine_test

import (
	"fmt"
	"math"

	"example.org/pinhoist/catalog"
)

// Model cards of the simulator, made from a part's own figures at one end of
// its spread. The figures are looked up here, in the catalogue, and not through
// the laws of the engine, so that both can be wrong in different ways only.

// thermalVoltage is kT/q at the simulator's 27 C, V.
const thermalVoltage = 1.380649e-23 * 300.15 / 1.602176634e-19

// copper is R(t)/R(from) of copper (IEC 60028: 234.5 C below zero extrapolated).
func copper(t, from float64) float64 { return (234.5 + t) / (234.5 + from) }

// slope of a base-emitter voltage, V/K (junction theory, near 0.65 V).
const slopeVBE = 2e-3

// bipolarCard is a Gummel-Poon card whose transistor shows vbe and vce at ic and
// ib, with forward gain bf: in saturation
//
//	IC = F - R - R/BR, IB = F/BF + R/BR, F = IS*exp(VBE/VT), R = IS*exp(VBC/VT)
//
// so that R, F and then IS and RC follow (the Ebers-Moll equations in transport
// form, from memory; the simulator shows the fitted figures, so they hold).
func bipolarCard(ic, ib, vce, vbe, bf float64) string {
	const br = 10.0
	rev := (ib - ic/bf) / (1/br + (1+1/br)/bf)
	fwd := ic + rev*(1+1/br)
	is := fwd * math.Exp(-vbe/thermalVoltage)
	rc := (vce - thermalVoltage*math.Log(fwd/rev)) / ic
	return fmt.Sprintf("npn is=%s bf=%s br=%g rc=%s", num(is), num(bf), br, num(rc))
}

// bipolarOffCard is a transistor that conducts a ten thousandth of ic at vbe.
func bipolarOffCard(ic, vbe, bf float64) string {
	return fmt.Sprintf("npn is=%s bf=%s br=10", num(1e-4*ic*math.Exp(-vbe/thermalVoltage)), num(bf))
}

// saturation is the least stated on voltage of a point with no less collector
// current, whose forced gain ib meets, and the base current that it asks for.
func saturation(p *catalog.BJT, ic, ib float64) (vce, need float64) {
	vce = math.Inf(1)
	for _, s := range p.VCESat {
		beta := float64(s.IC.Or(0)) / float64(s.IB.Or(1))
		if v := float64(s.Max.Or(1000)); float64(s.IC.Or(0)) >= ic && ic/beta <= ib && v < vce {
			vce, need = v, ic/beta
		}
	}
	return vce, need
}

// vbeOn is the greatest stated base-emitter voltage at the next higher current,
// brought to t.
func vbeOn(p *catalog.BJT, ic, t float64) float64 {
	at, v := math.Inf(1), math.NaN()
	for _, s := range p.VBESat {
		if i := float64(s.IC.Or(0)); i >= ic && i < at {
			at, v = i, float64(s.Max.Or(0))-junctions(p)*slopeVBE*(t-float64(s.Tj.Or(25)))
		}
	}
	return v
}

// vbeOff is the base-emitter voltage that turns on no part of the set, at t.
func vbeOff(p *catalog.BJT, t float64) float64 {
	return float64(p.VBEOnMin.Or(0.5)) - junctions(p)*slopeVBE*(t-25)
}

// junctions between base and emitter.
func junctions(p *catalog.BJT) float64 {
	if *p.Darlington {
		return 2
	}
	return 1
}

// baseLeak is the collector-base leakage at v and t by stairs, A.
func baseLeak(p *catalog.BJT, v, t float64) float64 {
	best := math.Inf(1)
	for _, l := range p.ICBOMax {
		if float64(l.VCB.Or(0)) >= v && float64(l.Tj.Or(25)) >= t {
			best = math.Min(best, float64(l.Max.Or(1)))
		}
	}
	return best
}

// onPoint is the stated on-resistance that serves a gate voltage: the least
// maximum stated at 25 C and at no more than v.
func onPoint(p *catalog.MOSFET, v float64) (vgs, id, r float64) {
	r = math.Inf(1)
	for _, s := range p.RDSOn {
		if g := float64(s.VGS.Or(1000)); g <= v && float64(s.Tj.Or(25)) == 25 && float64(s.Max.Or(1e9)) < r {
			vgs, id, r = g, float64(s.ID.Or(0)), float64(s.Max.Or(0))
		}
	}
	return vgs, id, r
}

// hotFactor is on-resistance at t over that at 25 C, on the chord to the stated
// factor.
func hotFactor(p *catalog.MOSFET, t float64) float64 {
	h := p.RDSOnHot
	return 1 + (float64(h.Factor.Or(1))-1)*math.Max(0, t-25)/(float64(h.Tj.Or(25))-25)
}

// mosfetCard is a Shichman-Hodges (LEVEL 1) card with threshold vth that shows r
// at vgs and id: id = K*((vgs - vth)*v - v*v/2) with v = id*r.
func mosfetCard(vgs, id, r, vth float64) string {
	v := id * r
	k := id / ((vgs-vth)*v - v*v/2)
	return fmt.Sprintf("nmos level=1 vto=%s kp=%s", num(vth), num(k))
}

// end is one end of a spread.
type end bool

const (
	least    end = false
	greatest end = true
)

func (e end) of(lo, hi float64) float64 {
	if e == greatest {
		return hi
	}
	return lo
}

type forward struct{ i, v float64 }

// forwards are the stated points of one end of a diode's spread, by current.
func forwards(d *catalog.Diode, e end) (ps []forward) {
	for _, p := range d.VF {
		o := p.Min
		if e == greatest {
			o = p.Max
		}
		if v, ok := o.Get(); ok {
			ps = append(ps, forward{float64(p.I.Or(0)), float64(v)})
		}
	}
	return ps
}

// leastForward is what no diode falls short of where the part states no least
// (common practice, no source), V.
const leastForward = 0.2

// diodeCard is a diode at one end of its spread. The greatest passes through the
// two stated points around i. The least passes, at i, through the figure stated
// at no more than i, with the slope of those two: the least that is promised.
func diodeCard(d *catalog.Diode, e end, i float64) string {
	ps := forwards(d, e)
	at, slope := forward{i, leastForward}, thermalVoltage
	if len(ps) > 1 {
		k := 1
		for k < len(ps)-1 && ps[k].i < i {
			k++
		}
		a, b := ps[k-1], ps[k]
		slope = (b.v - a.v) / math.Log(b.i/a.i)
		if e == greatest {
			at = a
		} else if a.i <= i {
			at.v = a.v
		}
		if e == least && b.i <= i {
			at.v = b.v
		}
	}
	return fmt.Sprintf("d is=%s n=%s", num(at.i*math.Exp(-at.v/slope)), num(slope/thermalVoltage))
}

// breakdownCard is a diode that breaks down: v at i, and rs ohm above that. Its
// knee is made sharp: the exponential part takes 0.1 of a real junction's.
func breakdownCard(v, i, rs float64) string {
	return fmt.Sprintf("d is=1e-14 bv=%s ibv=%s nbv=0.1 rs=%s", num(v-rs*i), num(i), num(rs))
}

// zenerCard is a Zener at one end of its window and of its temperatures, for a
// current that ends (least) at i.
func zenerCard(z *catalog.Zener, e end, i, tMin float64) string {
	drift := float64(z.TCMax.Or(0)) * math.Max(float64(z.TjMax.Or(25))-25, 25-tMin)
	if e == greatest {
		return breakdownCard(float64(z.VZ.Max.Or(0))+drift, float64(z.VZ.I.Or(0)), float64(z.ZZMax.Or(0)))
	}
	return breakdownCard(float64(z.VZ.Min.Or(0))-drift, i, 0)
}

// suppressorCard is a TVS: greatest on the line from v_br.max to v_c; least at
// v_br.min, or at the stand-off voltage where it must conduct less than its test
// current.
func suppressorCard(s *catalog.TVS, e end, i float64) string {
	i0 := float64(s.VBR.I.Or(0))
	if e == greatest {
		v0 := float64(s.VBR.Max.Or(0))
		return breakdownCard(v0, i0, (float64(s.VC.Max.Or(0))-v0)/(float64(s.VC.I.Or(0))-i0))
	}
	if i >= i0 {
		return breakdownCard(float64(s.VBR.Min.Or(0)), i, 0)
	}
	return breakdownCard(float64(s.VRWM.Or(0)), i, 0)
}

// num prints a number for a deck.
func num(v float64) string { return fmt.Sprintf("%.6g", v) }
