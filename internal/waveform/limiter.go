package waveform

import "math"

// Limiter is a resistance that starts cold and falls as it takes energy (NTC).
// With heat its resistance falls as exp(-B/T) does, faster than in a straight line
// of its logarithm, but never under what it has at the end.
type Limiter struct {
	Cold     float64 // ohm, the least before the start
	Start    float64 // ohm, the greatest before the same start, at 25 C: all energy counts from there
	ColdMost float64 // ohm, the greatest, in the coldest air
	Hot      float64 // ohm, the greatest when it carries its rated current
	EMax     float64 // J, the energy of one pulse that it bears, which takes it there
	Rated    float64 // A, at which Hot holds
}

// hotSpread is how far under its greatest the hot resistance may be (common
// practice, no source: half).
const hotSpread = 2

// LimiterRoom is the share of its energy that a limiter bears in air of t degrees
// Celsius: from 25 C to the least temperature of a warm one in a straight line.
func LimiterRoom(t float64) float64 { return min(1, max(0, 1-(t-ratedAir)/coolest)) }

// Least is the resistance, ohm, that it has at the least while it takes joules:
// Cold*(Hot/2/Cold)^(joules/EMax), of a logarithm that falls in a straight line;
// exp(-B/T) falls steepest at first, so twice the share of the energy counts.
// Zero past EMax, and without figures.
func (l Limiter) Least(joules float64) float64 {
	if !(l.Cold > 0) || !(l.EMax > 0) || !(joules <= l.EMax) {
		return 0
	}
	share := min(1, max(0, 2*joules/l.EMax))
	end := min(l.Cold, max(0, l.Hot)/hotSpread)
	if end <= 0 {
		return 0
	}
	return l.Cold * math.Exp(share*math.Log(end/l.Cold))
}

// coolest is how far above the air a limiter is at the least when it carries its
// rated current, K (common practice, no source: 150 to 200 K), and ratedAir the air,
// degrees Celsius, in which that is stated.
const coolest, ratedAir = 100.0, 25.0

// Kept is the greatest voltage that it keeps from a load of r ohm at v volts and air
// of t degrees Celsius, once it is warm. What it sheds rises with its temperature and
// that with its current, so at less than its rated current it sheds no more than at
// that, P = Rated^2*Hot, and in colder air (1 + (25 - t)/100) times as much at most.
// Of v = i*r + P/i the greater root is the current that it settles at: P/i is kept.
// Where a start from cold does not get past the lesser root, nothing warms it, and it
// keeps what it does cold: v*ColdMost/(r + ColdMost).
func (l Limiter) Kept(v, r, t float64) float64 {
	if !(v > 0) || !(l.ColdMost > 0) {
		return 0
	}
	cold := v * l.ColdMost / (r + l.ColdMost)
	p := l.Rated * l.Rated * l.Hot * (1 + max(0, ratedAir-t)/coolest)
	root := v*v - 4*r*p
	if !(root > 0) || !(r > 0) || !(p > 0) { // without figures of a warm one it counts as cold
		return cold
	}
	low, high := (v-math.Sqrt(root))/(2*r), (v+math.Sqrt(root))/(2*r)
	if v/(r+l.ColdMost) <= low {
		return cold
	}
	return min(cold, p/high)
}

// KeptBetween is Kept at the most for a load between two resistances, ohm: what is cold
// keeps most from the least of them, what is warm from the greatest. Where even the
// greatest warms it, they all do.
func (l Limiter) KeptBetween(v, least, most, t float64) float64 {
	if !(v > 0) || !(l.ColdMost > 0) || !(least > 0) {
		return l.Kept(v, most, t)
	}
	kept := l.Kept(v, most, t)
	if cold := v * l.ColdMost / (most + l.ColdMost); kept < cold {
		return kept
	}
	return v * l.ColdMost / (least + l.ColdMost)
}

// usualFall is the power of the current with which a warm limiter's resistance falls
// (1.3 to 1.5, from memory).
const usualFall = 1.3

// UsualKept is Kept as it usually is, V, at i amperes: Hot*(Rated/i)^1.3*i.
func (l Limiter) UsualKept(i float64) float64 {
	if !(i > 0) || !(l.Hot > 0) {
		return 0
	}
	return min(l.ColdMost, l.Hot*math.Pow(l.Rated/i, usualFall)) * i
}

// A charge through a limiter goes in throughFine steps of fineThrough, in the logarithm of
// the voltage that is left to charge, while the current is greatest, then in steps of
// coarseThrough; the last leaves a thousandth of it.
const (
	throughFine                = 10
	fineThrough, coarseThrough = 0.05, 0.4
)

// Through is the current, A, that charges the capacitor through a limiter as well,
// with steady amperes beside it: at each charge the least resistance that the limiter
// may have then, all energy lost so far, and beside joules more, taken to be its own.
// A true limiter has more: each part of the charge then flows later and slower and
// heats what it passes no more at any time. Without a bound on the current it is at
// infinity.
func (c Charging) Through(l Limiter, steady, beside float64) (e Envelope) {
	steady = max(0, steady)
	if !(c.V > 0) || !(c.C > 0) {
		return Decay(steady, steady, 0, 0)
	}
	whole, left := c.C*c.V*c.V/2, 1.0
	for k := 0; k < MaxSteps-2; k++ {
		step := fineThrough
		if k >= throughFine {
			step = coarseThrough
		}
		next := left * math.Exp(-step)
		r := max(0, c.R) + l.Least(whole*(1-next*next)+beside)
		if !(r > 0) {
			return Decay(math.Inf(1), steady, 0, 0)
		}
		t := r * c.C * step
		mean, square := c.V*(left-next)*c.C/t, c.V*c.V/r*c.C/2*(left*left-next*next)/t
		e.add(Step{T: t, I: steady + c.V*left/r, Mean: steady + mean, Square: steady*steady + 2*steady*mean + square})
		left = next
	}
	for k := e.N - 2; k >= 0; k-- { // a limiter that gives way makes no stair that rises
		e.Steps[k].I = max(e.Steps[k].I, e.Steps[k+1].I)
	}
	r := max(0, c.R) + l.Least(whole+beside)
	if !(r > 0) {
		return Decay(math.Inf(1), steady, 0, 0)
	}
	last := steady + c.V*left/r
	e.end(last)
	for k := range e.Steps[:e.N] {
		e.Steps[k].I = max(e.Steps[k].I, last)
	}
	return e
}

// throughSteps is how many steps a start through a limiter is followed at the most,
// and throughPart how far each goes.
const throughSteps, throughPart = 600, 0.02

// Through is the greatest current, A, of the filament switched on cold to v volts
// through loop ohm at the least and a limiter. It is followed in time: the filament
// heated by the least current, that through the limiter's greatest resistance at the start, and
// the limiter by the greatest, so that neither resistance is under what is taken.
// What is left when the filament stands still, or the steps are used up, counts
// without the limiter.
func (f Filament) Through(v, loop float64, l Limiter) float64 {
	if !(f.R > 0) || !(v > 0) {
		return 0
	}
	loop = max(0, loop)
	r, taken, top := 1/max(1, f.Ratio), 0.0, 0.0
	w := start{x: (loop + l.Start) / f.R}
	slope := func(r float64) float64 {
		return resistancePower * math.Sqrt(math.Cbrt(r)) * (w.gain(r) - loss(r)) / f.Tau
	}
	for k := 0; k < throughSteps && f.Tau > 0 && taken < l.EMax; k++ {
		i := v / (f.R*r + loop + l.Least(taken))
		top = max(top, i)
		s := slope(r)
		if s*f.Tau < 1e-3 {
			break
		}
		dt := min(throughPart*r/s, throughPart*l.EMax/(i*i*l.Start))
		s = min(s, slope(r+s*dt))
		taken += i * i * l.Start * dt
		// The limiter at the end of the step with the filament at its start.
		top = max(top, v/(f.R*r+loop+l.Least(taken)))
		r += max(0, s) * dt
	}
	return max(top, v/(f.R*r+loop))
}
