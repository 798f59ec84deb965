// Package thermal holds the heat laws of a drive stage: copper against
// temperature, electro-thermal fixed points, Foster networks and heat sinks.
// Every number is float64 in SI, temperatures in degrees Celsius. All of it is
// closed form or a proven bound; nothing here gives a temperature too low.
package thermal

import (
	"math"

	"example.org/pinhoist/internal/copper"
)

// CoilTemperature solves T = ta + rth*v^2/(r*copper.Ratio(T, tref)): the steady
// temperature, degC, of a copper coil of r ohm at tref (degC) under v volts with
// rth K/W to air at ta. With x = 234.5 + T it is the quadratic
// x^2 - (234.5+ta)*x - rth*v^2*(234.5+tref)/r = 0, of which the positive root is
// meant; copper on a fixed voltage is always stable. ok is false for a
// resistance not above zero, a temperature outside the range of copper.Ratio or a result
// that is not finite.
func CoilTemperature(ta, rth, v, r, tref float64) (t float64, ok bool) {
	if !(r > 0) || !(rth >= 0) || !(ta > -copper.Zero) || !(tref > -copper.Zero) {
		return 0, false
	}
	a := copper.Zero + ta
	q := rth * v / r * v * (copper.Zero + tref)
	x := (a + math.Hypot(a, 2*math.Sqrt(q))) / 2
	t = x - copper.Zero
	return t, finite(t)
}

// finite reports whether x is a number that is not infinite.
func finite(x float64) bool { return math.Abs(x) <= math.MaxFloat64 }
