package waveform

import "math"

// Start is a motor on a voltage from standstill, against a constant torque.
type Start struct {
	Stall, Run float64 // A, held and running
	TauM       float64 // s, mechanical: MechanicalTime
	TauE       float64 // s, electrical: inductance over resistance; 0: none
}

// MechanicalTime is a motor's mechanical time constant, s: r*j/k^2, with its
// winding r, ohm, the inertia j of all that turns, kg m2, and its constant k,
// V s/rad or N m/A. Source: torque k*i turns j, voltage k*speed opposes the rail.
func MechanicalTime(r, j, k float64) float64 {
	if !(k > 0) || !(r > 0) || !(j > 0) {
		return 0
	}
	return r * (j / k) / k
}

// Envelope is the motor's current, A. Without inductance it is
// run + (stall - run)*exp(-t/TauM). Inductance delays the start until the
// current carries the torque, TauE*ln(stall/(stall - run)), and what follows
// stays under the same decay held for 2*TauE and lengthened to TauM + 2*TauE,
// whatever the two constants are, also where the shaft swings. A motor that
// cannot turn stays at its stall current.
func (m Start) Envelope() Envelope {
	if !(m.Run < m.Stall) {
		return Rectangle(m.Stall, math.Inf(1), m.Stall)
	}
	te := max(0, m.TauE)
	flat := 2 * te
	if m.Run > 0 && te > 0 {
		flat -= te * math.Log1p(-m.Run/m.Stall)
	}
	return Decay(m.Stall, m.Run, m.TauM+2*te, flat)
}
