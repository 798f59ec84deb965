package thermal

import "math"

// Wave is the shape of a power that an AC current makes in an output: it pulses once in
// each half cycle of the mains, so at twice its frequency, and everything here is a share
// of its crest. A Wave of no half cycle is no wave: a constant power.
//
// A rung of a time constant far above the half cycle sees the mean, one far under it the
// crest. In between its ripple is bounded by the Fourier series of the shape: the n-th
// harmonic of 2f passes a rung of Tau by 1/sqrt(1 + (n*2*omega*Tau)^2), and all above the
// first together by no more than the second does. What starts at any moment of the wave
// is bounded by the energy: of the wave's, no span gets more than the mean over it and
// the swing of the integral of wave less mean, as if that came last and at the crest.
type Wave struct {
	Half  float64 // s, between two zeros of the current
	Mean  float64 // of the crest
	First float64 // amplitude of the first harmonic, of the crest; 0: the shape is not known
	Rest  float64 // of all above together
	Swing float64 // how much of a half cycle the crest takes for the swing above the mean
}

// HalfSines is the power of a sine's current in a constant voltage, |sin|. Its Fourier
// series is 2/pi*(1 - 2*sum(cos(2nx)/(4n^2 - 1))), where the sum of all 1/(4n^2 - 1) is
// 1/2 and its first term 1/3 (any textbook of analysis). The crest's excess over the mean
// m = 2/pi takes the swing 2*cos(asin(m))/pi - m*(1 - 2*asin(m)/pi) of a half cycle.
func HalfSines(half float64) Wave {
	const m = 2 / math.Pi
	a := math.Asin(m)
	return Wave{Half: half, Mean: m, First: m * 2 / 3, Rest: m / 3, Swing: (2*math.Cos(a)/math.Pi - m*(1-2*a/math.Pi)) / (1 - m)}
}

// SineSquared is the power of a sine's current in a resistance, (1 - cos(2x))/2: one
// harmonic, whose swing is that of sin(2x)/2.
func SineSquared(half float64) Wave {
	return Wave{Half: half, Mean: 0.5, First: 0.5, Swing: 1 / math.Pi}
}

// Peaked is a power of any shape with that mean: worst at its crest for that share of
// each half cycle, and at nothing for the rest.
func Peaked(half, mean float64) Wave { return Wave{Half: half, Mean: mean, Swing: mean} }

// Steady returns what a rung of that Tau, s, reaches at the most of its crest's own rise
// once the wave has gone on for long.
func (w Wave) Steady(tau float64) float64 {
	if w.First == 0 {
		return max(w.Mean, trainShare(w.Mean*w.Half, w.Half, tau))
	}
	x := 2 * math.Pi * tau / w.Half
	return min(1, w.Mean+w.First/math.Hypot(1, x)+w.Rest/math.Hypot(1, 2*x))
}

// Burst returns the same of a cold rung within t seconds of a wave that begins at any of
// its moments.
func (w Wave) Burst(t, tau float64) float64 { return w.within(charge(t, tau), tau) }

// Train returns the same in the steady state of bursts of tp seconds every period
// seconds. An output may begin and end a burst anywhere in a half cycle, and one that
// waits for a zero makes it that much longer: tp grows by one.
func (w Wave) Train(tp, period, tau float64) float64 {
	if tp += w.Half; tp >= period {
		return w.Steady(tau)
	}
	return w.within(trainShare(tp, period, tau), tau)
}

// within bounds a rung that a constant crest would take to so much of its rise.
func (w Wave) within(crest, tau float64) float64 {
	return min(crest, w.Mean*crest+(1-w.Mean)*charge(w.Swing*w.Half, tau))
}
