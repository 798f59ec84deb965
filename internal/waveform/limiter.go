package waveform

import "math"

// Limiter is a resistance that starts cold and falls as it takes energy (NTC).
// With heat its resistance falls as exp(-B/T) does, faster than in a straight line
// of its logarithm, but never under what it has at the end.
type Limiter struct {
	Cold float64 // ohm, the least at 25 C
	Hot  float64 // ohm, the greatest when it carries its rated current
	EMax float64 // J, the energy of one pulse that it bears, which takes it there
}

// hotSpread is how far under its greatest the hot resistance may be (common
// practice, no source: half).
const hotSpread = 2

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
