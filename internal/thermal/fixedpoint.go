package thermal

// OnResistanceBase is the temperature, degC, at which an on-resistance is stated.
const OnResistanceBase = 25.0

// OnFactor returns the on-resistance factor at t, degC, for a slope alpha, 1/K:
// linear from 1 at 25 C and never below 1, so that cold earns no credit.
func OnFactor(t, alpha float64) float64 {
	return max(1, 1+alpha*(t-OnResistanceBase))
}

// FixedPoint solves T = ta + rth*(p0*max(1, 1+alpha*(T-tref)) + extra): the
// steady temperature, degC, of a part whose loss is p0 watts at tref degC,
// grows by alpha per kelvin above it (alpha >= 0; no credit below), and has
// extra watts beside. The loop gain is rth*p0*alpha; at 1 and above there is no
// steady temperature (thermal runaway) and ok is false, as it is for inputs out
// of range or not finite. Source: linear feedback, T = (ta + rth*(p0*(1 -
// alpha*tref) + extra))/(1 - gain).
func FixedPoint(ta, rth, p0, alpha, tref, extra float64) (t float64, ok bool) {
	if !(rth >= 0) || !(p0 >= 0) || !(alpha >= 0) || !finite(extra) {
		return 0, false
	}
	gain := rth * p0 * alpha
	if !(gain < 1) {
		return 0, false
	}
	t = ta + rth*(p0+extra)
	if t > tref {
		// Written as the distance from tref, which loses least to rounding.
		t = tref + (t-tref)/(1-gain)
	}
	return t, finite(t)
}
