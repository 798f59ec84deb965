// Package waveform holds the laws of current against time: a filament, a motor
// and a capacitor that are switched on, a winding under pulse-width modulation,
// the wires between. Each is a closed form, or is solved in a bounded number of
// steps; none is below the truth where a bound is promised, and none is ever not
// a number. Numbers are SI.
package waveform

import "math"

// MaxSteps is how many steps an envelope has at most.
const MaxSteps = 28

// Step is one step of a current that falls in stairs.
type Step struct {
	T      float64 // s, how long, at least as long as in truth; +Inf in the last
	I      float64 // A, the greatest current in it, which is that at its start
	Mean   float64 // A, of the current over the step, at least
	Square float64 // A2, of the current's square over the step, at least
}

// Envelope is a current after switching on: stairs that fall and are nowhere
// below the current itself. The last step never ends: it is what the current
// settles at, or a hair above.
type Envelope struct {
	Steps [MaxSteps]Step
	N     int
}

// Peak is the greatest current, A.
func (e *Envelope) Peak() float64 {
	if e.N == 0 {
		return 0
	}
	return e.Steps[0].I
}

// Steady is what the current settles at, A.
func (e *Envelope) Steady() float64 {
	if e.N == 0 {
		return 0
	}
	return e.Steps[e.N-1].I
}

// Above returns the charge, C, and the square over time, A2s, of what is above a
// steady current: of the integral of i - steady and of i^2 - steady^2. The last,
// endless step does not count.
func (e *Envelope) Above(steady float64) (charge, square float64) {
	for _, s := range e.Steps[:max(0, e.N-1)] {
		charge += max(0, s.Mean-steady) * s.T
		square += max(0, s.Square-steady*steady) * s.T
	}
	return charge, square
}

// At is the envelope t seconds after switching on, A.
func (e *Envelope) At(t float64) float64 {
	for _, s := range e.Steps[:e.N] {
		if t < s.T {
			return s.I
		}
		t -= s.T
	}
	return e.Steady()
}

// Under is the envelope of a current that is never above i either, A.
func (e *Envelope) Under(i float64) {
	for k := range e.Steps[:e.N] {
		s := &e.Steps[k]
		s.I, s.Mean, s.Square = min(s.I, i), min(s.Mean, i), min(s.Square, i*i)
	}
}

// Equivalent is the length, s, of a rectangle of the peak current that holds at
// least the energy above a steady current, in a resistance and in a constant
// voltage: the longer of the two. No pulse of that peak and that energy heats
// more than the rectangle does: what a body still has of a pulse's heat falls
// with its age, so that the latest energy counts most.
func (e *Envelope) Equivalent(steady float64) float64 {
	p := e.Peak()
	if p <= steady {
		return 0
	}
	charge, square := e.Above(steady)
	return max(quotient(charge, p-steady), quotient(square, p*p-steady*steady))
}

// quotient is a/b, 0 where there is nothing to share out.
func quotient(a, b float64) float64 {
	if a == 0 || b <= 0 {
		return 0
	}
	return a / b
}

func (e *Envelope) add(s Step) {
	if !(s.T > 0) || e.N == MaxSteps {
		return
	}
	e.Steps[e.N] = s
	e.N++
}

// end adds the endless step.
func (e *Envelope) end(i float64) {
	if e.N == MaxSteps { // never: steps are counted out below
		e.N--
	}
	e.add(Step{T: math.Inf(1), I: i, Mean: i, Square: i * i})
}

// Rectangle is a peak for t seconds, then a steady current. A t of +Inf never
// ends.
func Rectangle(peak, t, steady float64) (e Envelope) {
	if peak > steady && !math.IsInf(t, 1) {
		e.add(Step{T: t, I: peak, Mean: peak, Square: peak * peak})
		e.end(steady)
		return e
	}
	e.end(max(peak, steady))
	return e
}

// A decay is cut into fineSteps steps of fineStep time constants, where it heats,
// and coarseSteps of coarseStep; what is left at their end, a five-thousandth of the
// excess, stays for ever in the envelope. A peak that lasts no time lasts instant
// seconds.
const (
	fineSteps, coarseSteps = 18, 7
	fineStep, coarseStep   = 0.15, 0.83
	instant                = 1e-15
)

// Decay is steady + (peak - steady)*exp(-t/tau), held at its peak for flat
// seconds first.
func Decay(peak, steady, tau, flat float64) (e Envelope) {
	x := peak - steady
	if !(x > 0) {
		e.end(steady)
		return e
	}
	if math.IsInf(tau, 1) || math.IsInf(flat, 1) || math.IsInf(peak, 1) {
		e.end(peak)
		return e
	}
	if !(tau > 0) {
		flat = max(flat, instant)
	}
	e.add(Step{T: flat, I: peak, Mean: peak, Square: peak * peak})
	if !(tau > 0) {
		e.end(steady)
		return e
	}
	for k := 0; k < fineSteps+coarseSteps; k++ {
		step := fineStep
		if k >= fineSteps {
			step = coarseStep
		}
		// The means of x*exp(-s) and of its square over the step.
		fall := -math.Expm1(-step)
		mean, square := x*fall/step, x*x*fall*(2-fall)/(2*step)
		e.add(Step{T: step * tau, I: steady + x, Mean: steady + mean, Square: steady*steady + 2*steady*mean + square})
		x *= 1 - fall
	}
	e.end(steady + x)
	return e
}
