package engine

import (
	"math"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/topology"
)

const (
	// solveRange is how far a solved factor is looked for, each way.
	solveRange = 1000.0
	// solveStep is the first step of a search, and what it grows by.
	solveStep = 1.08
	// solveSteps halvings bring a bracket of one step to under 1e-5.
	solveSteps = 14
)

// edge finds the factor, from 1 outwards (up, or down where !up), at which ok
// first changes from what it is at 1, and returns the last factor on the side
// asked for: where want is true the last that is ok, else the first that is.
// found is false where nothing changes within the range.
func edge(up bool, okAt1 bool, ok func(f float64) bool) (f float64, found bool) {
	near, step := 1.0, solveStep
	for {
		far := near * step
		if !up {
			far = near / step
		}
		if far > solveRange || far < 1/solveRange {
			return 0, false
		}
		if ok(far) != okAt1 {
			return bisect(near, far, okAt1, ok), true
		}
		near, step = far, math.Min(step*solveStep, 1.6)
	}
}

// bisect narrows a change of ok between near and far, both above 0, and returns
// the end that is ok.
func bisect(near, far float64, okNear bool, ok func(float64) bool) float64 {
	for range solveSteps {
		mid := math.Sqrt(near * far)
		if ok(mid) == okNear {
			near = mid
		} else {
			far = mid
		}
	}
	if okNear {
		return near
	}
	return far
}

// loadFactor is the multiple of the load current at which the stage as it
// stands first stops fitting. A stage that does not fit at 1 is followed
// downwards to where it does. The check is the one that stops it.
func (b *bench) loadFactor() *LoadFactor {
	frozen := topology.Freeze(b.d)
	at := func(f float64) *design.Design {
		l := b.l.Scaled(f)
		return b.again(b.env, b.env.BareModel(&l), b.sw, frozen)
	}
	ok := func(f float64) bool { return b.ctx.Err() == nil && at(f).Verdict == design.Fits }
	fits := b.d.Verdict == design.Fits
	f, found := edge(fits, fits, ok)
	if !found {
		return nil
	}
	// Just beyond the edge something stops it: that is the check to name.
	id, st := limiting(at(f * (1 + 1e-3)))
	return &LoadFactor{Value: f, Check: id, Stage: st}
}

// promises lists the guaranteed figures that the verdict rests on, each with
// the value at which it changes: in a design that fits how much worse the
// figure may be, in another how much better it must be, all else as it stands.
func (b *bench) promises() []Promise {
	var out []Promise
	clone := catalog.Clone(b.sw)
	frozen := topology.Freeze(b.d)
	fits := b.d.Verdict == design.Fits
	ok := func() bool { return b.ctx.Err() == nil && b.again(b.env, b.m, clone, frozen).Verdict == design.Fits }
	for _, fig := range catalog.Figures(clone) {
		up := fig.WorseMore == fits
		// A figure that does not matter even at the end of the range costs one trial.
		fig.Scale(extreme(up))
		if changed := ok() != fits; !changed {
			fig.Scale(1)
			continue
		}
		f, found := edge(up, fits, func(f float64) bool { fig.Scale(f); return ok() })
		if found {
			fig.Scale(f * beyond(up, fits))
			ok()
			id, st := limiting(&b.trial)
			if !fits {
				id, st = limiting(b.d)
			}
			fig.Scale(f)
			i := governing(&fig)
			out = append(out, Promise{Figure: fig.Name, AtMost: fig.WorseMore, Value: fig.At(i), Unit: design.Unit(fig.Unit),
				Condition: fig.Condition(i), Check: id, Stage: st})
		}
		fig.Scale(1)
	}
	return out
}

func extreme(up bool) float64 {
	if up {
		return solveRange * 0.9
	}
	return 1 / (solveRange * 0.9)
}

func beyond(up, fits bool) float64 {
	if up == fits {
		return 1 + 1e-3
	}
	return 1 - 1e-3
}

// governing is the point of a list that a promise is told for: the first.
func governing(*catalog.Figure) int { return 0 }
