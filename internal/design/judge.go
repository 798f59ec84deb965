package design

import "math"

// comparisonEps is the relative width of one unit in the twelfth significant
// digit: two numbers that agree to twelve digits are equal, so that
// 12*(1 + 0.1) is not above 13.2.
const comparisonEps = 1e-12

// MaxHeadroom caps headroom, so that it is always a finite number.
const MaxHeadroom = 1000.0

// NotANumber is the cause of a verdict where the engine itself failed.
const NotANumber = "internal: not a number"

// AtMost reports whether a <= b at twelve significant digits.
func AtMost(a, b float64) bool {
	if math.IsInf(a, 0) || math.IsInf(b, 0) {
		return a <= b
	}
	return a <= b || a-b <= comparisonEps*max(math.Abs(a), math.Abs(b))
}

// Judge turns a check's numbers into its allowed value, headroom and verdict.
// It is the only code that does so. In this order:
//
//	NaN or Inf                                                over
//	no solution                                               over
//	proven stress <= allowed = k*rating (rating - below)      fits
//	proven stress <= rating                                   tight
//	stress or rating unknown, no known estimate contradicts   unproven
//	an estimate passes                                        unproven
//	an assumed figure of the load at its easy end passes,
//	or the failure rests on a bracket for a missing figure    unproven
//	otherwise                                                 over
//
// A temperature whose allowed value is not above the ambient is over.
func Judge(c *Check) {
	c.Allowed, c.Headroom = Number{}, Number{}
	if !finite(c.Stress, c.StressEstimate, c.Rating, c.RatingEstimate, c.EasyStress, c.EasyRating, c.Ambient, Number{c.K, true}, Number{c.Below, true}) {
		c.Verdict, c.Because = Over, NotANumber
		c.Stress, c.StressEstimate, c.Rating, c.RatingEstimate, c.EasyStress, c.EasyRating = Number{}, Number{}, Number{}, Number{}, Number{}, Number{}
		c.Headroom = Known(0)
		return
	}
	if c.Rating.OK {
		c.Allowed = Known(c.allow(c.Rating.V))
	}
	if c.NoSolution {
		c.Verdict, c.Headroom = Over, Known(0)
		return
	}
	c.Verdict = c.verdict()
	switch c.Verdict {
	case Fits, Tight:
		c.Headroom = c.headroom(c.Stress, c.Allowed)
	case Over:
		c.Headroom = c.headroom(firstKnown(c.Stress, c.StressEstimate), firstKnown(c.Allowed, c.allowedEstimate()))
	}
}

func (c *Check) verdict() Verdict {
	if c.Temperature && c.Ambient.OK && c.Allowed.OK && c.Allowed.V <= c.Ambient.V {
		return Over
	}
	if c.Stress.OK && c.Rating.OK {
		switch {
		case AtMost(c.Stress.V, c.Allowed.V):
			return Fits
		case AtMost(c.Stress.V, c.Rating.V):
			return Tight
		}
	} else if !c.contradicted() {
		return Unproven
	}
	if passes(c.StressEstimate, c.Rating) || passes(c.Stress, c.RatingEstimate) {
		return Unproven
	}
	if (c.EasyStress.OK || c.EasyRating.OK) &&
		passes(firstKnown(c.EasyStress, c.Stress, c.StressEstimate), firstKnown(c.EasyRating, c.Rating, c.RatingEstimate)) {
		return Unproven
	}
	if c.Fallback && !c.contradicted() {
		return Unproven
	}
	return Over
}

// contradicted reports whether an estimate that is known fails.
func (c *Check) contradicted() bool {
	stress, rating := firstKnown(c.Stress, c.StressEstimate), firstKnown(c.Rating, c.RatingEstimate)
	if c.StressEstimate.OK && rating.OK && !AtMost(c.StressEstimate.V, rating.V) {
		return true
	}
	return c.RatingEstimate.OK && stress.OK && !AtMost(stress.V, c.RatingEstimate.V)
}

func (c *Check) allow(rating float64) float64 {
	if c.Temperature {
		return rating - c.Below
	}
	if c.K == 0 {
		return rating
	}
	return min(rating, c.K*rating) // a policy only makes a verdict worse
}

func (c *Check) allowedEstimate() Number {
	if !c.RatingEstimate.OK {
		return Number{}
	}
	return Known(c.allow(c.RatingEstimate.V))
}

// headroom is allowed / stress, for temperatures of the rise above the ambient
// used, from 0 to MaxHeadroom; unknown where nothing is demanded. It agrees
// with the verdict: at least 1 where the check fits, under 1 where not.
func (c *Check) headroom(stress, allowed Number) Number {
	if c.Temperature && c.Ambient.OK && allowed.OK && allowed.V <= c.Ambient.V {
		return Known(0)
	}
	if !stress.OK || !allowed.OK {
		return Number{}
	}
	s, a := stress.V, allowed.V
	if c.Temperature && c.Ambient.OK {
		s, a = s-c.Ambient.V, a-c.Ambient.V
	}
	if s <= 0 && c.Verdict == Fits {
		return Number{}
	}
	if s <= 0 || a <= 0 {
		return Known(0)
	}
	h := min(a/s, MaxHeadroom)
	if c.Verdict == Fits {
		h = max(h, 1)
	} else {
		h = min(h, math.Nextafter(1, 0))
	}
	return Known(h)
}

func passes(stress, rating Number) bool {
	return stress.OK && rating.OK && AtMost(stress.V, rating.V)
}

func firstKnown(ns ...Number) Number {
	for _, n := range ns {
		if n.OK {
			return n
		}
	}
	return Number{}
}

func finite(ns ...Number) bool {
	for _, n := range ns {
		if n.OK && (math.IsNaN(n.V) || math.IsInf(n.V, 0)) {
			return false
		}
	}
	return true
}

// Conclude judges a design from its checks: the worst verdict; the headroom,
// which is the least over margin checks and over every check that does not
// fit, null where the design is unproven; and the limiting check, the one with
// the least headroom among the checks of the worst verdict (in a design that
// fits, among its margin checks), then the first of the id list.
func Conclude(d *Design) {
	d.Verdict, d.Headroom, d.Limiting = Fits, Number{}, -1
	for i := range d.Checks {
		d.Verdict = max(d.Verdict, d.Checks[i].Verdict)
	}
	for i := range d.Checks {
		c := &d.Checks[i]
		if c.Headroom.OK && (c.ID.Sort() == Margin || c.Verdict != Fits) && (!d.Headroom.OK || c.Headroom.V < d.Headroom.V) {
			d.Headroom = c.Headroom
		}
		if c.Verdict != d.Verdict || d.Verdict == Fits && c.ID.Sort() != Margin {
			continue
		}
		if d.Limiting < 0 || runsOutBefore(c, &d.Checks[d.Limiting]) {
			d.Limiting = i
		}
	}
	if d.Verdict == Unproven {
		d.Headroom = Number{}
	}
}

func runsOutBefore(a, b *Check) bool {
	if a.Headroom.OK != b.Headroom.OK {
		return a.Headroom.OK
	}
	if a.Headroom.OK && a.Headroom.V != b.Headroom.V {
		return a.Headroom.V < b.Headroom.V
	}
	if a.ID != b.ID {
		return a.ID < b.ID
	}
	return a.Stage < b.Stage
}

// Complete adds an unproven check for every check that is owed and was neither
// made nor said not to apply: a topology cannot forget one in silence.
func Complete(d *Design, owed []CheckID) {
	for _, id := range owed {
		if !d.has(id) {
			d.Checks = append(d.Checks, Check{ID: id, Verdict: Unproven, Because: "internal: owed by the topology and not made", Unit: One})
		}
	}
}

func (d *Design) has(id CheckID) bool {
	for i := range d.Checks {
		if d.Checks[i].ID == id && d.Checks[i].Stage == StageSelf {
			return true
		}
	}
	for i := range d.NA {
		if d.NA[i].ID == id && d.NA[i].Stage == StageSelf {
			return true
		}
	}
	return false
}
