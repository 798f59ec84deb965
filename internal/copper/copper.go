// Package copper holds the laws of one material, needed wherever there is a
// winding or a wire. Temperatures are in degrees Celsius.
package copper

import "math"

const (
	// Zero is the intercept of copper's straight-line resistance law, degC below
	// zero (IEC 60028: 1/0.00393 K at 20 C gives 234.45, rounded by the trade).
	Zero = 234.5
	// Resistivity of annealed copper at 20 C, ohm*m (IEC 60028).
	Resistivity = 17.241e-9
)

// Ratio returns the resistance of copper at t over that at tref:
// (234.5 + t)/(234.5 + tref). Valid where both are above -234.5 C; outside it is
// NaN. Source: the linear law of IEC 60028, the form used for the
// rise-by-resistance method of relay standards.
func Ratio(t, tref float64) float64 {
	if !(t > -Zero) || !(tref > -Zero) {
		return math.NaN()
	}
	return (Zero + t) / (Zero + tref)
}
