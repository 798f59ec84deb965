package topology

import (
	"math"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/preferred"
)

// resistor is a resistance in a stage with its spread: chosen from a series, or
// as stated. A series resistor that is a link has 0 ohm, a parallel one that is
// absent has +Inf.
type resistor struct {
	nom, tol float64
	series   *catalog.ResistorSeries // nil: stated, or none
	absent   bool
}

func (r resistor) lo() float64 { return r.nom * (1 - r.tol) }
func (r resistor) hi() float64 { return r.nom * (1 + r.tol) }

func fromSeries(s *catalog.ResistorSeries, nom float64) resistor {
	return resistor{nom: nom, tol: float64(s.Tolerance.Or(0.05)), series: s}
}

// stated is a resistor as given; absentAs is what "none" means for it.
func (e *Env) stated(g GivenResistor, absentAs float64) resistor {
	if g.None {
		return resistor{nom: absentAs, absent: true}
	}
	r := resistor{nom: g.Ohms, tol: g.Tol}
	for _, s := range e.Resistors {
		if s.ID == g.Series {
			r.series = s
		}
	}
	return r
}

// parallel is two resistances side by side.
func parallel(a, b float64) float64 {
	if math.IsInf(a, 1) {
		return b
	}
	if math.IsInf(b, 1) {
		return a
	}
	if a+b == 0 {
		return 0
	}
	return a * b / (a + b)
}

// ladders are the preferred series that a catalogue series holds, coarsest
// first: a value of a coarser series is easier to come by.
func ladders(s *catalog.ResistorSeries) []preferred.Series {
	switch s.Series {
	case "E12":
		return e12
	case "E24":
		return e24
	}
	return e96
}

var (
	e12 = []preferred.Series{preferred.E12}
	e24 = []preferred.Series{preferred.E12, preferred.E24}
	e96 = []preferred.Series{preferred.E12, preferred.E24, preferred.E96}
)

func inRange(s *catalog.ResistorSeries, v float64) bool {
	return s.Range != nil && v >= float64(s.Range.Min.Or(0)) && v <= float64(s.Range.Max.Or(0))
}

// nextUp is the least value of the series at or above v, nextDown the greatest
// at or below, over all its ladders.
func nextUp(s *catalog.ResistorSeries, v float64) (float64, bool) {
	best := math.Inf(1)
	if s.Range != nil {
		v = max(v, float64(s.Range.Min.Or(0)))
	}
	for _, l := range ladders(s) {
		if x, ok := preferred.NextUp(l, v); ok && x < best && inRange(s, x) {
			best = x
		}
	}
	return best, !math.IsInf(best, 1)
}

// coarseDown is the greatest value at or below v on the series' coarsest ladder.
func coarseDown(s *catalog.ResistorSeries, v float64) (float64, bool) {
	if s.Range != nil {
		v = min(v, float64(s.Range.Max.Or(0)))
	}
	x, ok := preferred.NextDown(ladders(s)[0], v)
	return x, ok && inRange(s, x)
}

// smallest is the least value of the series in [lo, hi], from the coarsest ladder
// that has one.
func smallest(s *catalog.ResistorSeries, lo, hi float64) (float64, bool) {
	if s.Range != nil {
		lo = max(lo, float64(s.Range.Min.Or(0)))
	}
	for _, l := range ladders(s) {
		if x, ok := preferred.NextUp(l, lo); ok && x <= hi && inRange(s, x) {
			return x, true
		}
	}
	return 0, false
}

// largest is the greatest value of the series in [lo, hi], from the coarsest
// ladder that has one.
func largest(s *catalog.ResistorSeries, lo, hi float64) (float64, bool) {
	for _, l := range ladders(s) {
		if x, ok := largestOn(l, s, lo, hi); ok {
			return x, true
		}
	}
	return 0, false
}

// finest is the greatest value of the series in [lo, hi], on whatever ladder.
func finest(s *catalog.ResistorSeries, lo, hi float64) (best float64, found bool) {
	for _, l := range ladders(s) {
		if x, ok := largestOn(l, s, lo, hi); ok && x > best {
			best, found = x, true
		}
	}
	return best, found
}

// largestOn is the greatest value in [lo, hi] that one ladder of the series has.
func largestOn(l preferred.Series, s *catalog.ResistorSeries, lo, hi float64) (float64, bool) {
	if !(hi > 0) || math.IsInf(hi, 1) {
		return 0, false
	}
	if s.Range != nil {
		hi = min(hi, float64(s.Range.Max.Or(0)))
	}
	x, ok := preferred.NextDown(l, hi)
	return x, ok && x >= lo && inRange(s, x)
}

// within is the value of the series in [lo, hi] nearest to their geometric
// middle, from the coarsest ladder that has one.
func within(s *catalog.ResistorSeries, lo, hi float64) (float64, bool) {
	if !(lo <= hi) || !(hi > 0) || math.IsInf(hi, 1) {
		return 0, false
	}
	lo = max(lo, math.SmallestNonzeroFloat64)
	if s.Range != nil {
		lo, hi = max(lo, float64(s.Range.Min.Or(0))), min(hi, float64(s.Range.Max.Or(0)))
	}
	if !(lo <= hi) {
		return 0, false
	}
	mid := math.Sqrt(lo * hi)
	for _, l := range ladders(s) {
		up, okUp := preferred.NextUp(l, mid)
		down, okDown := preferred.NextDown(l, mid)
		okUp, okDown = okUp && up <= hi, okDown && down >= lo
		switch {
		case okUp && okDown:
			if up/mid < mid/down {
				return up, true
			}
			return down, true
		case okUp:
			return up, true
		case okDown:
			return down, true
		}
	}
	return 0, false
}
