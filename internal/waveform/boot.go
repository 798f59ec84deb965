package waveform

import "math"

// Coupled is how far, V, a charge of q coulomb that comes through the gate-drain
// capacitance within t seconds lifts a gate that r ohm hold, with c farad from
// gate to source: (q/t)*r*(1 - exp(-t/(r*c))). Without r it is q/c, at once; a
// c of 0 is the bound (q/t)*r. +Inf where nothing holds the gate. Source: a
// constant current into a resistance and a capacitance.
func Coupled(q, t, r, c float64) float64 {
	if !(q > 0) {
		return 0
	}
	whole := math.Inf(1)
	if c > 0 {
		whole = q / c
	}
	switch {
	case math.IsInf(r, 1) || !(t > 0):
		return whole
	case !(r > 0):
		return 0
	case !(c > 0):
		return q / t * r
	}
	x := t / r / c
	if x == 0 {
		return whole
	}
	return min(whole, whole*-math.Expm1(-x)/x)
}
