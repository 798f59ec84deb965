package waveform

import "math"

// Charging is a capacitor at zero volts that is switched to a rail through all
// the resistance and inductance of the circle.
type Charging struct {
	V float64 // V, of the rail
	R float64 // ohm, of everything: switch, wires, source, the capacitor's own
	L float64 // H, of the wires
	C float64 // F
}

// Peak returns the greatest current, A, and when it stands, s after switching on.
// With z = (R/2)*sqrt(C/L) it is V*sqrt(C/L)*exp(-z*acos(z)/sqrt(1 - z^2)), and
// V*sqrt(C/L)*(z + sqrt(z^2 - 1))^(-z/sqrt(z^2 - 1)) where z is above 1; V/R at
// once without inductance. +Inf where nothing limits it. Source: the series
// circuit's closed form.
func (c Charging) Peak() (i, t float64) {
	r, l := max(0, c.R), max(0, c.L)
	if !(c.V > 0) || !(c.C > 0) {
		return 0, 0
	}
	direct := c.V / r // +Inf without resistance
	if l == 0 {
		return direct, 0
	}
	wave := math.Sqrt(c.C) / math.Sqrt(l) // one over the wave resistance
	z := r / 2 * wave
	period := math.Sqrt(l) * math.Sqrt(c.C)
	switch {
	case math.IsInf(wave, 1) || z > 1e9:
		// The inductance does not count.
		return direct, 2 * l / r * math.Log(2*z)
	case math.Abs(z-1) < 1e-7:
		return c.V * wave / math.E, period
	case z < 1:
		b := math.Sqrt((1 - z) * (1 + z))
		angle := math.Atan2(b, z)
		return min(direct, c.V*wave*math.Exp(-z*angle/b)), period * angle / b
	}
	b := math.Sqrt((z - 1) * (z + 1))
	turn := math.Log(z + b)
	return min(direct, math.Exp(math.Log(c.V)+math.Log(wave)-z/b*turn)), period * turn / b
}

// Square is the square over time, A2s: C*V^2/(2R), whatever the inductance. +Inf
// without resistance, where the circle rings for ever.
func (c Charging) Square() float64 {
	if !(c.V > 0) || !(c.C > 0) {
		return 0
	}
	if !(c.R > 0) {
		return math.Inf(1)
	}
	return c.C * c.V / c.R * c.V / 2
}

// Energy is what r ohm of the circle take of it, J: their share of C*V^2/2, which
// is lost whatever the resistance.
func (c Charging) Energy(r float64) float64 {
	if !(c.V > 0) || !(c.C > 0) || !(r > 0) {
		return 0
	}
	return c.C * c.V * c.V / 2 * min(1, r/max(r, c.R))
}

// Envelope is the current, A, with steady amperes beside it and a source that
// gives no more than limit amperes (+Inf: whatever is asked): limit until the
// capacitor has risen to V - R*limit, then V/R*exp(-t/RC). Inductance lowers the
// peak and lengthens the end as that of a motor's winding does: the circle is the
// same, with L/R for TauE and RC for TauM.
func (c Charging) Envelope(steady, limit float64) Envelope {
	steady = max(0, steady)
	if !(c.V > 0) || !(c.C > 0) {
		return Decay(steady, steady, 0, 0)
	}
	peak, te := math.Inf(1), 0.0
	if c.R > 0 {
		peak, te = c.V/c.R, max(0, c.L)/c.R
	}
	tau, flat := max(0, c.R)*c.C+2*te, 2*te
	if limit > 0 && limit < peak {
		flat += c.C * max(0, c.V-max(0, c.R)*limit) / limit
		peak = limit
	}
	return Decay(steady+peak, steady, tau, flat)
}
