package engine

import (
	"math"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
)

const (
	// solveRange is how far a solved factor is looked for, each way.
	solveRange = 1000.0
	// solveStep is the first step of a search; each next one is its own square,
	// up to solveLeap.
	solveStep, solveLeap = 1.1, 2.5
	// solveWidth is how near the two ends of a solved factor are brought, a ratio.
	solveWidth = 1 + 5e-4
)

// edge finds the factor, from 1 outwards (up, or down where !up) to far, at
// which ok first changes from what it is at 1, to within width, and returns the
// end that is ok. found is false where nothing changes; a change and back again
// between two steps of the search is not seen.
func edge(up bool, limit, width float64, okAt1 bool, ok func(f float64) bool) (f float64, found bool) {
	return edgeFrom(1, up, limit, width, okAt1, ok)
}

// edgeNear is edge with a guess of where it is, which spares the search where it
// is good; a guess not between 1 and limit is none.
func edgeNear(guess float64, up bool, limit, width float64, okAt1 bool, ok func(f float64) bool) (f float64, found bool) {
	w := math.Sqrt(width)
	near, far := guess/w, guess*w
	if !(near > 1 && far < limit) {
		return edge(up, limit, width, okAt1, ok)
	}
	at := func(f float64) bool { return ok(way(up, f)) }
	if at(near) != okAt1 {
		return way(up, bisect(1, near, width, okAt1, at)), true
	}
	if at(far) == okAt1 {
		return edgeFrom(far, up, limit, width, okAt1, ok)
	}
	if okAt1 {
		return way(up, near), true
	}
	return way(up, far), true
}

// edgeFrom is edge from a factor on at which ok is known to be as at 1.
func edgeFrom(near float64, up bool, limit, width float64, okAt1 bool, ok func(f float64) bool) (f float64, found bool) {
	step := solveStep
	for near < limit {
		far := min(near*step, limit)
		if ok(way(up, far)) != okAt1 {
			return way(up, bisect(near, far, width, okAt1, func(f float64) bool { return ok(way(up, f)) })), true
		}
		near, step = far, min(step*step, solveLeap)
	}
	return 0, false
}

// way turns a factor above 1 into the move meant.
func way(up bool, f float64) float64 {
	if up {
		return f
	}
	return 1 / f
}

// bisect narrows a change of ok between near and far, both above 0, until their
// ratio is within width, and returns the end that is ok.
func bisect(near, far, width float64, okNear bool, ok func(float64) bool) float64 {
	for max(far/near, near/far) > width {
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
	at := func(f float64) *design.Design {
		l := b.l.Scaled(f)
		return b.again(b.env, b.env.BareModel(&l), b.sw, b.frozen)
	}
	ok := func(f float64) bool { return b.ctx.Err() == nil && at(f).Verdict == design.Fits }
	fits := b.d.Verdict == design.Fits
	f, found := edge(fits, solveRange, solveWidth, fits, ok)
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
	fits := b.d.Verdict == design.Fits
	ok := func() bool { return b.ctx.Err() == nil && b.again(b.env, b.m, clone, b.frozen).Verdict == design.Fits }
	for _, fig := range catalog.Figures(clone) {
		up := fig.WorseMore == fits
		// A figure that does not matter even at the end of the range costs one
		// trial, with all its points at once.
		fig.Scale(extreme(up))
		changed := ok() != fits
		fig.Scale(1)
		if !changed {
			continue
		}
		told := false
		for i := range fig.Len() {
			if p, found := b.promise(&fig, i, up, fits, ok); found {
				out, told = append(out, p), true
			}
		}
		if !told { // only the points together decide
			if p, found := b.promise(&fig, -1, up, fits, ok); found {
				out = append(out, p)
			}
		}
	}
	return out
}

// promise solves one point of a figure, or all its points together (-1: the
// first is told).
func (b *bench) promise(fig *catalog.Figure, point int, up, fits bool, ok func() bool) (Promise, bool) {
	scale := func(f float64) {
		if point < 0 {
			fig.Scale(f)
		} else {
			fig.ScalePoint(point, f)
		}
	}
	defer scale(1)
	i := max(point, 0)
	here := design.Known(fig.At(i))
	if scale(extreme(up)); ok() == fits {
		return Promise{}, false
	}
	f, found := edgeNear(b.room(fits), up, solveRange, solveWidth, fits, func(f float64) bool { scale(f); return ok() })
	if !found {
		return Promise{}, false
	}
	scale(f * beyond(up, fits))
	ok()
	id, st := limiting(&b.trial)
	if !fits {
		id, st = limiting(b.d)
	}
	scale(f)
	return Promise{Here: here, Figure: fig.Name, AtMost: fig.WorseMore, Value: fig.At(i), Unit: design.Unit(fig.Unit),
		Condition: fig.Condition(i), Check: id, Stage: st}, true
}

// room is how far a figure may be expected to go: the headroom of the check that
// stops the trial, or what that of the design as it stands lacks. Most stresses
// and ratings are in proportion to a figure. 0 says nothing.
func (b *bench) room(fits bool) float64 {
	of := b.d
	if fits {
		of = &b.trial
	}
	id, st := limiting(of)
	if c := find(b.d, id, st); of.Limiting >= 0 && c != nil && c.Headroom.OK && c.Headroom.V > 0 {
		return max(c.Headroom.V, 1/c.Headroom.V)
	}
	return 0
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
