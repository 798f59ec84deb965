// Package thermal holds the heat laws of a drive stage: copper against
// temperature, electro-thermal fixed points, Foster networks and heat sinks.
// Every number is float64 in SI, temperatures in degrees Celsius. All of it is
// closed form or a proven bound; nothing here gives a temperature too low.
package thermal

import "math"

// copperZero is the intercept of copper's straight-line resistance law, degC
// below zero (IEC 60028: 1/0.00393 K at 20 C gives 234.45, rounded by the trade).
const copperZero = 234.5

// Copper returns the resistance of a copper winding at t over that at tref, both
// in degC: (234.5 + t)/(234.5 + tref). Valid where both are above -234.5 C;
// outside it is NaN. Source: the linear law of IEC 60028, the form used for the
// rise-by-resistance method of relay standards.
func Copper(t, tref float64) float64 {
	if !(t > -copperZero) || !(tref > -copperZero) {
		return math.NaN()
	}
	return (copperZero + t) / (copperZero + tref)
}

// CoilTemperature solves T = ta + rth*v^2/(r*Copper(T, tref)): the steady
// temperature, degC, of a copper coil of r ohm at tref (degC) under v volts with
// rth K/W to air at ta. With x = 234.5 + T it is the quadratic
// x^2 - (234.5+ta)*x - rth*v^2*(234.5+tref)/r = 0, of which the positive root is
// meant; copper on a fixed voltage is always stable. ok is false for a
// resistance not above zero, a temperature outside Copper's range or a result
// that is not finite.
func CoilTemperature(ta, rth, v, r, tref float64) (t float64, ok bool) {
	if !(r > 0) || !(rth >= 0) || !(ta > -copperZero) || !(tref > -copperZero) {
		return 0, false
	}
	a := copperZero + ta
	q := rth * v / r * v * (copperZero + tref)
	x := (a + math.Hypot(a, 2*math.Sqrt(q))) / 2
	t = x - copperZero
	return t, finite(t)
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }
