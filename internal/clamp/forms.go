// Package clamp works out everything that happens when a winding is switched
// off: the voltage that the clamp lets through, how long the current lasts, what
// the clamp must absorb, and the checks on it. Numbers are float64 in SI.
package clamp

import "math"

// The closed forms below follow from L*di/dt = -(V + R*i): a winding of l henry
// and r ohm whose current falls against a constant voltage V. All of them hold
// for r = 0, where the logarithms become straight lines, and take that limit
// without cancellation.

// DecayTime returns the time, s, in which the current of a winding falls from i0
// to i1 amperes against v volts across it: (l/r)*ln((i0*r + v)/(i1*r + v)). Zero
// where i0 is not above i1; +Inf where nothing makes it fall that far.
func DecayTime(l, r, v, i0, i1 float64) float64 {
	if !(i0 > i1) {
		return 0
	}
	end := v + r*i1
	if end <= 0 {
		return math.Inf(1)
	}
	step := (i0 - i1) / end
	return l * step * logOver(r*step)
}

// logOver is ln(1 + x)/x, 1 at x = 0.
func logOver(x float64) float64 {
	if x < 1e-9 {
		return 1 - x/2
	}
	return math.Log1p(x) / x
}

// ClampCharge returns the charge, C, that a winding drives through its clamp
// until the current, i0 at first, is zero: the integral of i over time,
// (l/r)*(i0 - (v/r)*ln(1 + i0*r/v)).
func ClampCharge(l, r, v, i0 float64) float64 {
	if i0 <= 0 {
		return 0
	}
	if v <= 0 {
		return l * i0 / r
	}
	x := r * i0 / v
	return l * i0 / v * i0 * chargeShape(x)
}

// chargeShape is (x - ln(1 + x))/x^2, 1/2 at x = 0.
func chargeShape(x float64) float64 {
	if x < 1e-3 {
		return 0.5 - x*(1.0/3-x*(0.25-x*(0.2-x/6)))
	}
	return (x - math.Log1p(x)) / x / x
}

// ClampEnergy returns the energy, J, that a clamp of v volts across a winding
// takes until the current is zero: v times ClampCharge. The rest of l*i0^2/2
// heats the winding. It rises with v, l and i0 and falls with r.
func ClampEnergy(l, r, v, i0 float64) float64 { return v * ClampCharge(l, r, v, i0) }

// SwitchClampEnergy returns the energy, J, that a clamp of vc volts across the
// switch takes until the current is zero, with the rail vs still feeding the
// winding: vc times the charge against vc - vs. It exceeds l*i0^2/2 where the
// winding's resistance is small. While i0*r <= vs, a lower vc means more energy.
// +Inf where vc is not above vs: the current never ends.
func SwitchClampEnergy(l, r, vc, vs, i0 float64) float64 {
	if !(vc > vs) {
		return math.Inf(1)
	}
	return vc * ClampCharge(l, r, vc-vs, i0)
}

// AvalancheEnergy returns the energy, J, that a switch takes which breaks down at
// vbr volts with a winding and the rail vs above it, and how long it lasts, s.
// With r = 0 it is (l*i^2/2)*vbr/(vbr - vs) in l*i/(vbr - vs); the winding's own
// resistance makes both less. +Inf where vbr is not above vs. A lower vbr means
// more energy, so the guaranteed least is meant: the stated maximum of the switch.
func AvalancheEnergy(l, r, i, vs, vbr float64) (energy, duration float64) {
	if !(vbr > vs) {
		return math.Inf(1), math.Inf(1)
	}
	return SwitchClampEnergy(l, r, vbr, vs, i), DecayTime(l, r, vbr-vs, i, 0)
}

// FreewheelAverage returns an upper bound, A, of the average current of a
// freewheel diode for any duty from dutyMin to dutyMax, and the duty where it
// stands.
//
// Where the current does not follow the duty (a motor at constant torque), the
// winding carries at most i whenever the switch is off: (1 - dutyMin)*i.
//
// Where it does (a winding on a voltage, i = duty*imax with no back-EMF), the
// mean current is duty*imax. It rises concave while the switch is on and falls
// convex while it is off, between the same two ends, so its mean while off is
// not above its mean over all, and the diode's average is at most
// duty*(1 - duty)*imax, greatest at a duty of one half. Diode voltage, and a
// current that reaches zero, only lessen it.
func FreewheelAverage(imax, dutyMin, dutyMax float64, followsDuty bool) (i, duty float64) {
	if !followsDuty {
		return imax * (1 - dutyMin), dutyMin
	}
	d := min(max(0.5, dutyMin), dutyMax)
	return imax * d * (1 - d), d
}
