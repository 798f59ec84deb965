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

// Whole is all of an edge, from the drive's step to its end, s.
func (e Edge) Whole() float64 { return e.Delay + e.Current + e.Voltage }

// Drive is what moves a gate: the voltage V of turning on and what is left of it Low
// when off, and all resistance in the way of either, ohm.
type Drive struct {
	V, Low, Up, Down float64
}

// OwnEdges are the edges, delay, current and voltage apart, of a part of the class
// whose charges and thresholds are the worst: turning on with the greatest threshold
// at tCold, off with the least at tHot. The gate's capacitance is q_gs_max up to the
// plateau. Edges has bounds of the same, whatever the part is between. Unknown
// without guaranteed charges, or where an edge has no end.
func OwnEdges(p *catalog.MOSFET, d Drive, i, tHot, tCold float64) (on, off Edge, ok bool) {
	qgd, okGD := p.QGDMax.Get()
	qgs, okGS := p.QGSMax.Get()
	least, _, _ := Threshold(p, tHot)
	_, most, _ := Threshold(p, tCold)
	if !okGD || !okGS || !least.OK || !most.OK || least.V <= d.Low {
		return on, off, false
	}
	high, low := DriveFor(p, i, most.V), DriveFor(p, i, least.V)
	if !high.OK || !low.OK || high.V >= d.V || low.V >= d.V {
		return on, off, false
	}
	g := Gate{V: d.V, R: d.Up, Plateau: high.V}
	c := float64(qgs) / high.V
	on = Edge{Delay: g.Rise(c, 0, most.V), Current: g.Rise(c, most.V, high.V), Voltage: g.Charge(float64(qgd))}
	// Off, all voltages count from what is left.
	h := Gate{V: d.V - d.Low, R: d.Down, Plateau: low.V - d.Low}
	c = float64(qgs) / low.V
	off = Edge{Delay: h.Fall(c, h.V, h.Plateau), Current: h.Fall(c, h.Plateau, least.V-d.Low), Voltage: h.Discharge(float64(qgd))}
	return on, off, true
}

// EdgeLoad is a load as an edge meets it.
type EdgeLoad uint8

// The loads of an edge.
const (
	Clamped EdgeLoad = iota // a winding with its diode: voltage and current change one after the other
	Ohmic                   // a resistance: they change together
)

// EdgeEnergy is what an edge costs a MOSFET, J, at v volts and i amperes: its current
// goes with the square of the gate voltage above the threshold, and the voltage falls
// with the charge that comes through the gate-drain capacitance. Clamped the voltage
// stays while the current rises, then falls straight: v*i*(tCurrent/3 + tVoltage/2).
// In a resistance both change at once: with x the gate's way from threshold to
// plateau, i*x^2 and v*(1 - x^2), charge in proportion to dx and to 2x*dx, whose
// integrals are v*i*(2*tCurrent/15 + tVoltage/6). The gate moves through its few
// tenths of a volt with a steady current.
func EdgeEnergy(kind EdgeLoad, v, i float64, e Edge) float64 {
	if kind == Ohmic {
		return v * i * (2*e.Current/15 + e.Voltage/6)
	}
	return v * i * (e.Current/3 + e.Voltage/2)
}

// StraightEnergy is the same of straight slopes, as a bipolar's stated times are taken,
// with an on voltage: v*i*t/2 clamped; in a resistance i*t*(v/6 + von/3) of a current
// that rises and i*t/6*(v - von) of one that falls, as printed in textbooks of power
// electronics.
func StraightEnergy(kind EdgeLoad, v, von, i, tOn, tOff float64) (on, off float64) {
	if kind == Ohmic {
		return i * tOn * (v/6 + von/3), i * tOff / 6 * (v - von)
	}
	return v * i * tOn / 2, v * i * tOff / 2
}

// CapacitanceLoss is what an output capacitance of c farad costs at f hertz, W:
// c*v^2*f/2.
func CapacitanceLoss(c, v, f float64) float64 { return c * v * v * f / 2 }

// GateLoss is what a gate that takes q coulomb costs its drive at f hertz, W: q*v*f,
// half of it lost in the resistors on each edge.
func GateLoss(q, v, f float64) float64 { return q * v * f }

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
