package waveform

import "math"

// Snubber is a resistor RS and a capacitor C in series across a switch that opens at a
// zero of the current through a load of R and L in series, ohm, H, F: the supply, V
// volts at that instant, then stands as a step before load and snubber. RS, C and L are
// above 0, R is 0 or more.
type Snubber struct{ V, R, L, RS, C float64 }

// The voltage over the switch is v = RS*i + q/C. With a = (R + RS)/(2L) and
// w^2 = 1/(LC) - a^2 its slope is V/(wL)*exp(-a*t)*(A*sin(wt) + B*cos(wt)),
// A = 1/C - RS*a, B = RS*w; where w^2 < 0 the sine and cosine are hyperbolic.
// Source: the linear network; no approximation but the step itself.
func (s Snubber) law() (a, w float64, over bool, A, B float64) {
	a = (s.R + s.RS) / (2 * s.L)
	w0 := 1 / (s.L * s.C)
	d := w0 - a*a
	if math.Abs(d) < 1e-8*w0 { // critical: as near as makes no difference
		d = 1e-8 * w0
	}
	over = d < 0
	w = math.Sqrt(math.Abs(d))
	return a, w, over, 1/s.C - s.RS*a, s.RS * w
}

// Slope is the steepest slope of the voltage over the switch, V/s.
func (s Snubber) Slope() float64 {
	a, w, over, A, B := s.law()
	at := func(t float64) float64 {
		sin, cos := circular(w*t, over)
		return s.V / (w * s.L) * math.Exp(-a*t) * (A*sin + B*cos)
	}
	first := at(0)
	t := 0.0
	if over {
		// tanh(wt) = (wA - aB)/(aA - wB)
		if n, d := w*A-a*B, a*A-w*B; n > 0 && d > n {
			t = math.Atanh(n/d) / w
		}
	} else if n := w*A - a*B; n > 0 {
		t = math.Atan2(n, a*A+w*B) / w
	}
	return max(first, at(t))
}

// Peak is the greatest voltage over the switch, V: at least that of the supply, which
// it settles at.
func (s Snubber) Peak() float64 {
	a, w, over, A, B := s.law()
	t := math.Inf(1)
	if !over {
		t = math.Atan2(B, -A) / w
	} else if A < 0 && B < -A {
		t = math.Atanh(-B/A) / w
	}
	if math.IsInf(t, 1) {
		return s.V
	}
	sin, cos := circular(w*t, over)
	v := s.V + math.Exp(-a*t)*s.V*((s.RS/(w*s.L)-a/w)*sin-cos)
	return max(s.V, v)
}

// SlopeOnAC bounds the steepest slope where V is the crest of a sine of f hertz, however
// the current lagged it: that of a step of V*sin(lag), and twice the sine's own slope,
// w*V*cos(lag), which the network at the most doubles.
func (s Snubber) SlopeOnAC(f float64) float64 { return math.Hypot(s.Slope(), 4*math.Pi*f*s.V) }

// PeakOnAC bounds the greatest voltage over the switch where V is the crest of a sine of
// f hertz and the current that has ended lagged it by lag radians, 0 to pi/2: the supply
// then stands at V*sin(lag) and goes on to its crest, while what swings around it, as
// much as the step at the most, dies out with exp(-a*t). The sum is bounded in slices of
// the way to the crest, by the supply at the end and the swing at the start of each.
func (s Snubber) PeakOnAC(lag, f float64) float64 {
	const slices = 8
	a, _, _, _, _ := s.law()
	step := s.V * math.Sin(lag)
	swing := (s.Peak()/s.V - 1) * step
	// The first peak has lost some of its swing already: it is that of a time no later
	// than half a turn of the undamped network.
	top, before := s.V, math.Pi*math.Sqrt(s.L*s.C)
	for k := range slices {
		from := (math.Pi/2 - lag) * float64(k) / slices
		to := (math.Pi/2 - lag) * float64(k+1) / slices
		left := math.Exp(-a * max(0, from/(2*math.Pi*f)-2*before))
		top = max(top, s.V*math.Sin(lag+to)+swing*left)
	}
	return top * Resonance(f, s.L, s.C)
}

// Resonance is how much more a capacitor of c farad takes on a sine of f hertz with l
// henry in series than without, at the most: 1/(1 - w^2*l*c). Near and past the
// resonance of the two it is 20, which nothing bears, for what damps it is not known.
func Resonance(f, l, c float64) float64 {
	w := 2 * math.Pi * f
	if x := w * w * l * c; x < 0.95 {
		return 1 / (1 - x)
	}
	return 20
}

func circular(x float64, hyperbolic bool) (sin, cos float64) {
	if hyperbolic {
		return math.Sinh(x), math.Cosh(x)
	}
	return math.Sincos(x)
}

// CapacitorCurrent is what a capacitor of c farad passes on AC of v volts RMS and f
// hertz, A RMS: 2*pi*f*C*V. A resistor in series makes it less.
func CapacitorCurrent(v, f, c float64) float64 { return 2 * math.Pi * f * c * v }
