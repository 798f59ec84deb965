package device

import (
	"math"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
)

// Gate is a MOSFET's gate as its edges see it: V on the drive, through R in all,
// and the plateau V at which the load's current flows.
type Gate struct {
	V, R, Plateau float64
}

// Charge is the time, s, in which the drive brings q coulomb to the gate when its
// voltage is at the plateau, where the current is least: q*R/(V - Plateau). While
// the gate is under the plateau more flows, so for charge that comes before it
// this is a bound. +Inf where the plateau is not under the drive. Source: charge
// over current, makers' application notes on switching by gate charge.
func (g Gate) Charge(q float64) float64 { return chargeTime(q, g.R, g.V-g.Plateau) }

// Discharge is the same while the gate is pulled to zero: q*R/Plateau, which is
// exact for the charge of the plateau and, for what lies over it, a bound.
func (g Gate) Discharge(q float64) float64 { return chargeTime(q, g.R, g.Plateau) }

func chargeTime(q, r, v float64) float64 {
	switch {
	case !(q > 0) || !(r > 0):
		return 0
	case !(v > 0):
		return math.Inf(1)
	}
	return q / v * r
}

// Rise is the time, s, in which a gate of c farad rises from a to b volts:
// R*c*ln((V - a)/(V - b)); +Inf where it never gets there. Source: RC charging.
func (g Gate) Rise(c, a, b float64) float64 {
	if b <= a || !(c > 0) {
		return 0
	}
	if !(b < g.V) {
		return math.Inf(1)
	}
	return g.R * c * math.Log((g.V-a)/(g.V-b))
}

// Fall is the time, s, in which it falls from a to b volts with the drive at
// zero: R*c*ln(a/b); +Inf to zero.
func (g Gate) Fall(c, a, b float64) float64 {
	if b >= a || !(c > 0) {
		return 0
	}
	if !(b > 0) {
		return math.Inf(1)
	}
	return g.R * c * math.Log(a/b)
}

// Edge is one switching edge, s.
type Edge struct {
	Delay   float64 // before anything moves
	Current float64 // the current rises or falls, the voltage still there
	Voltage float64 // the voltage falls or rises, the current still there
}

// Whole is the edge with its delay, s.
func (e Edge) Whole() float64 { return e.Delay + e.Current + e.Voltage }

// Crossing is how long voltage and current are there at once, s.
func (e Edge) Crossing() float64 { return e.Current + e.Voltage }

// GateEdges are the longest edges of a MOSFET, delay, current and voltage apart,
// by guaranteed charges; Edges has them as two sums. Charge to the threshold and
// from there to the plateau is not told apart in q_gs_max, so all of it counts
// once as delay and once as current. Unknown as in Edges.
func GateEdges(p *catalog.MOSFET, vdrive, r, i, tHot, tCold float64) (on, off Edge, ok bool) {
	qgd, okGD := p.QGDMax.Get()
	vmin, _, _ := Threshold(p, tHot)
	_, vmax, _ := Threshold(p, tCold)
	if !okGD || !vmin.OK || !vmax.OK || !(vmin.V > 0) {
		return on, off, false
	}
	qgs := 0.0
	if v, ok := p.QGSMax.Get(); ok {
		qgs = float64(v)
	} else if p.QGMax != nil && p.QGMax.Q.Known() {
		qgs = float64(p.QGMax.Q.Value())
	} else {
		return on, off, false
	}
	vpl := DriveFor(p, i, vmax.V)
	if !vpl.OK || vpl.V >= vdrive {
		return on, off, false
	}
	g := Gate{V: vdrive, R: r, Plateau: vpl.V}
	on = Edge{Delay: g.Charge(qgs), Current: g.Charge(qgs), Voltage: g.Charge(float64(qgd))}
	h := Gate{V: vdrive, R: r, Plateau: vmin.V}
	// What lies over the plateau is the rest of the whole charge.
	over := qgs
	if p.QGMax != nil {
		over = max(over, float64(p.QGMax.Q.Or(0))-qgs-float64(qgd))
	}
	off = Edge{Delay: h.Discharge(over), Current: h.Discharge(qgs), Voltage: h.Discharge(float64(qgd))}
	return on, off, true
}

// EdgeLoad is a load as an edge meets it.
type EdgeLoad uint8

// The loads of an edge.
const (
	Clamped   EdgeLoad = iota // a winding with its diode: voltage and current change one after the other
	Ohmic                     // a resistance: they change together
	Capacitor                 // a capacitor that is charged: the voltage falls as it fills
)

// EdgeEnergy is what an edge costs the switch, J, with straight slopes, v volts
// and i amperes and t seconds of crossing: v*i*t/2 clamped, v*i*t/6 in a
// resistance. A capacitor's charge through the switch is no edge: what it costs is
// half of C*V^2 by the switch's share of the circle, and its edge counts as
// clamped. A square-law part's own edges cost 7 to 16 % less than the straight
// ones. Source: integrals of straight slopes.
func EdgeEnergy(kind EdgeLoad, v, i, t float64) float64 {
	if kind == Ohmic {
		return v * i * t / 6
	}
	return v * i * t / 2
}

// OhmicEdgeEnergy is EdgeEnergy in a resistance with an on voltage: rising
// current i*t*(v/6 + von/3), falling i*t/6*(v - von), as printed in textbooks of
// power electronics.
func OhmicEdgeEnergy(v, von, i, t float64) (on, off float64) {
	return i * t * (v/6 + von/3), i * t / 6 * (v - von)
}

// SquareEdgeEnergy is the clamped energy of a current that rises (or falls) with
// the square of a gate voltage above its threshold, and a voltage that then falls
// straight: v*i*(tCurrent/3 + tVoltage/2), J, where the gate moves straight
// through its few tenths of a volt. What a square-law part really takes.
func SquareEdgeEnergy(v, i float64, e Edge) float64 {
	return v * i * (e.Current/3 + e.Voltage/2)
}

// CapacitanceLoss is what an output capacitance of c farad costs at f hertz, W:
// c*v^2*f/2.
func CapacitanceLoss(c, v, f float64) float64 { return c * v * v * f / 2 }

// GateLoss is what a gate costs its drive at f hertz: the power, W, q*v*f, half of
// it lost in the resistors on each edge, and the mean current, A.
func GateLoss(q, v, f float64) (power, current float64) { return q * v * f, q * f }

// LargestFrequency is the pwm frequency, Hz, at which edges of t seconds take a
// tenth of the shorter of on and off time at a duty: 0.1*min(D, 1 - D)/t. Zero at
// a duty of 0 or 1, where nothing is switched, +Inf without edges.
func LargestFrequency(t, duty float64) float64 {
	d := min(duty, 1-duty)
	if !(t > 0) {
		return math.Inf(1)
	}
	return 0.1 * max(0, d) / t
}

// LeastGateResistor is the gate resistor, ohm, that keeps the charging peak at i
// from v volts with rout ohm in the drive already: v/i - rout, not under zero.
func LeastGateResistor(v, i, rout float64) float64 { return max(0, v/i-rout) }

// Sharing is how two resistances side by side share i amperes.
func Sharing(i, r1, r2 float64) (i1, i2 float64) {
	if !(r1+r2 > 0) {
		return i / 2, i / 2
	}
	return i * (r2 / (r1 + r2)), i * (r1 / (r1 + r2))
}

// BaseTurnOff is the least current that empties a base, A, with vbe volts on it:
// through the base resistor to a driver at vlow, and through the bleed from base
// to emitter, with r ohm inside the part first. An absent bleed is +Inf.
func BaseTurnOff(vbe, vlow, rb, bleed, inside float64) float64 {
	out := 1 / rb
	if !math.IsInf(bleed, 1) {
		out += 1 / bleed
	}
	v := vbe - vlow/(1+rb/bleed)
	if v <= 0 || out <= 0 {
		return 0
	}
	if math.IsInf(out, 1) {
		if inside <= 0 {
			return math.Inf(1)
		}
		return v / inside
	}
	return v / (1/out + max(0, inside))
}

// StorageConstant is the storage time constant, s, of a part whose storage time
// ts is stated with base currents ib1 on and ib2 off at collector current ic, and
// whose gain there is h at least: ts/ln((ib1 + ib2)/(ib2 + ic/h)), charge control.
// The least gain makes it longest. Unknown where the part would not be saturated
// at its own test condition.
func StorageConstant(ts, ib1, ib2, ic, h float64) design.Number {
	if !(ts > 0) || !(h > 0) || !(ib2 > 0) {
		return design.Number{}
	}
	l := math.Log((ib1 + ib2) / (ib2 + ic/h))
	if !(l > 0) {
		return design.Number{}
	}
	return design.Known(ts / l)
}

// Storage is the storage time, s, by charge control with a constant tau:
// tau*ln((ib1 + ib2)/(ib2 + edge)), where edge is the base current at the edge of
// saturation (0: the bound for any collector current and gain). +Inf where nothing
// empties the base.
func Storage(tau, ib1, ib2, edge float64) float64 {
	if ib1 <= edge || !(tau > 0) {
		return 0
	}
	if ib2+edge <= 0 {
		return math.Inf(1)
	}
	return tau * math.Log1p((ib1-edge)/(ib2+edge))
}
