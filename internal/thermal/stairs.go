package thermal

import "math"

// Stair is one step of a power that falls: T seconds (+Inf: for ever), Top watts
// at most in it, Mean watts on average at most. The power is taken not to rise
// within the step.
type Stair struct{ T, Top, Mean float64 }

// StairRise returns an upper bound of the junction's greatest rise, K, above
// ambient under a power in falling stairs, from a cold start: the Foster network
// from junction to case, and rthCA K/W from case to air with CaseTau. Without
// rungs shortness earns no credit: rthCA, the whole way, times the greatest power.
//
// A step leaves no more heat behind than its mean power would, since a power that
// falls has spent more of its energy early, where more of it has gone again; and
// within the step no rung is above what the top power makes of it before the
// step's energy is spent. Source: superposition of exponential responses.
func StairRise(rungs []Rung, steps []Stair, rthCA float64) float64 {
	if len(rungs) == 0 {
		top := 0.0
		for _, s := range steps {
			top = max(top, s.Top)
		}
		return top * rthCA
	}
	var rungBuf [9]Rung
	all := append(append(rungBuf[:0], rungs...), Rung{rthCA, CaseTau})
	var buf [9]float64
	state := append(buf[:0], make([]float64, len(all))...)
	peak := 0.0
	for _, s := range steps {
		if !(s.T > 0) {
			continue
		}
		within, ahead, short := 0.0, 0.0, s.T
		if s.Mean < s.Top && !math.IsInf(s.T, 1) {
			short *= max(0, s.Mean) / s.Top
		}
		for i := range state {
			ahead += max(state[i], s.Top*all[i].R)
		}
		if ahead <= peak {
			return peak // the powers fall: nothing that is to come heats more
		}
		for i, r := range all {
			full := charge(s.T, r.Tau)
			c := full
			if short < s.T {
				c = charge(short, r.Tau)
			}
			within += max(state[i], s.Top*r.R*c+state[i]*(1-c))
			state[i] += full * (s.Mean*r.R - state[i])
		}
		peak = max(peak, within)
	}
	return peak
}

// SinkStairs is the part of StairRise that is a sink's own, K: rise is how far it
// would warm in the end above what it is, at so many watts more, and never falls. It
// goes there with CaseTau. A sink's rise grows more slowly than its power, so that
// the mean of a step still bounds what the step leaves.
func SinkStairs(steps []Stair, rise func(p float64) float64) float64 {
	state, peak := 0.0, 0.0
	for _, s := range steps {
		if !(s.T > 0) {
			continue
		}
		full := charge(s.T, CaseTau)
		peak = max(peak, state, rise(s.Top)*full+state*(1-full))
		state += full * (rise(s.Mean) - state)
	}
	return peak
}

// SinkShare is how much of its way a sink has gone after t seconds, with CaseTau.
func SinkShare(t float64) float64 { return charge(t, CaseTau) }

// SinkTrainShare is the same at the end of pulses of tp seconds every period seconds.
func SinkTrainShare(tp, period float64) float64 {
	if tp >= period {
		return 1
	}
	return trainShare(tp, period, CaseTau)
}
