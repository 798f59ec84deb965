package thermal

import (
	"math"
	"slices"
)

const (
	// peakTolerance is how far PeakRise may lie above the true peak, relative,
	// before it stops refining.
	peakTolerance = 5e-3
	// maxSplits bounds the work of PeakRise; the answer is a bound at any number.
	maxSplits = 96
)

// PeakRise returns an upper bound, some 0.5 % high at most, of the junction's
// greatest rise, K, above ambient under a power that is a sum of exponentials
// from t = 0.
//
// Junction to case answers by the Foster network, from a junction at the case's
// temperature. Case to air (rthCA, K/W) has the steady terms' full rise from the
// first moment, because the case may still be hot from the run before, and
// answers the decaying terms with CaseTau. Without rungs shortness earns no
// credit: rthCA, the whole way from junction to air, times the greatest power.
//
// Method: the response of a rung to one term starts at zero, rises, and falls
// once, at a time known in closed form. Between those times all responses are
// monotone, so the sum of their larger ends bounds an interval; intervals are
// halved, the highest bound first, until the bound meets a value really reached.
// Source: superposition of exponential responses.
func PeakRise(rungs []Rung, terms []ExpTerm, rthCA float64) float64 {
	if len(rungs) == 0 {
		p := 0.0
		for _, t := range terms {
			p += max(t.P, 0)
		}
		return p * rthCA
	}
	var rungBuf [9]Rung
	w := peakWork{terms: terms, rungs: append(append(rungBuf[:0], rungs...), Rung{rthCA, CaseTau})}
	w.steady = len(w.rungs) - 1
	base := 0.0
	for _, t := range terms {
		if math.IsInf(t.Tau, 1) {
			base += t.P * rthCA
		}
	}
	return base + w.peak()
}

// peakWork holds the responses of every rung to every term.
type peakWork struct {
	terms  []ExpTerm
	rungs  []Rung // the last one is the case
	steady int    // index of the rung that does not answer steady terms here
}

// point is a moment with the value of every response.
type point struct {
	t    float64
	each []float64
	sum  float64
}

// span is an interval between two points, by index.
type span struct {
	from, to int
	bound    float64
}

func (w *peakWork) peak() float64 {
	n := len(w.terms) * len(w.rungs)
	var cutBuf [32]float64
	cuts := w.cuts(cutBuf[:0])
	var flatBuf [1024]float64
	flat := flatBuf[:0]
	var pointBuf [64]point
	var spanBuf [64]span
	points, spans := pointBuf[:0], spanBuf[:0]
	reached := 0.0
	for i, t := range cuts {
		points, flat = w.add(points, flat, n, t)
		reached = max(reached, points[i].sum)
		if i > 0 {
			spans = append(spans, newSpan(points, i-1, i))
		}
	}
	for split := 0; ; split++ {
		worst := 0
		for i := range spans {
			if spans[i].bound > spans[worst].bound {
				worst = i
			}
		}
		s := spans[worst]
		mid := middle(points[s.from].t, points[s.to].t)
		if split == maxSplits || s.bound <= reached*(1+peakTolerance) || !(mid > points[s.from].t && mid < points[s.to].t) {
			return max(s.bound, reached)
		}
		m := len(points)
		points, flat = w.add(points, flat, n, mid)
		reached = max(reached, points[m].sum)
		spans[worst] = newSpan(points, s.from, m)
		spans = append(spans, newSpan(points, m, s.to))
	}
}

// add works a point out, its n responses in flat where they still fit.
func (w *peakWork) add(points []point, flat []float64, n int, t float64) ([]point, []float64) {
	if len(flat)+n > cap(flat) {
		flat = make([]float64, 0, 32*n)
	}
	p := point{t: t, each: flat[len(flat) : len(flat)+n : len(flat)+n]}
	w.at(&p)
	return append(points, p), flat[:len(flat)+n]
}

// cuts lists 0, the times of every response's peak in order, and +Inf.
func (w *peakWork) cuts(cuts []float64) []float64 {
	cuts = append(cuts, 0)
	for _, t := range w.terms {
		for _, r := range w.rungs {
			if top := peakTime(t.Tau, r.Tau); top > 0 && !math.IsInf(top, 1) {
				cuts = append(cuts, top)
			}
		}
	}
	slices.Sort(cuts)
	return append(slices.Compact(cuts), math.Inf(1))
}

// peakTime is when the response of a rung rho to a term tau is highest: tau*rho/
// (tau - rho)*ln(tau/rho), rho where they are equal, +Inf for a steady term, 0
// where either has no length.
func peakTime(tau, rho float64) float64 {
	switch {
	case math.IsInf(tau, 1):
		return math.Inf(1)
	case tau <= 0 || rho <= 0:
		return 0
	case math.Abs(tau-rho) <= 1e-6*rho:
		return rho
	}
	d := tau/rho - 1
	return tau * math.Log1p(d) / d
}

// at fills a point. A response is a*tau/(tau - rho)*(exp(-t/tau) - exp(-t/rho))
// with a = P*R, and its limits for equal constants, a steady term, a rung without
// capacity and an endless time.
func (w *peakWork) at(p *point) {
	var expBuf [9]float64
	rungExp := expBuf[:0]
	for _, r := range w.rungs {
		rungExp = append(rungExp, decay(p.t, r.Tau))
	}
	k := 0
	for _, term := range w.terms {
		termExp := decay(p.t, term.Tau)
		for i, r := range w.rungs {
			v := term.P * r.R * w.shape(p.t, term.Tau, r.Tau, termExp, rungExp[i])
			if i == w.steady && math.IsInf(term.Tau, 1) {
				v = 0
			}
			p.each[k] = v
			p.sum += v
			k++
		}
	}
}

// decay is exp(-t/tau), 1 for an endless tau, 0 for none.
func decay(t, tau float64) float64 {
	switch {
	case math.IsInf(tau, 1) || t == 0 && tau > 0:
		return 1
	case tau <= 0:
		return 0
	}
	return math.Exp(-t / tau)
}

// shape is a response for one kelvin of P*R.
func (w *peakWork) shape(t, tau, rho, termExp, rungExp float64) float64 {
	switch {
	case tau <= 0:
		return 0 // a term that lasts no time carries no energy
	case math.IsInf(tau, 1):
		return 1 - rungExp
	case rho <= 0:
		return termExp
	case math.IsInf(t, 1):
		return 0
	}
	x := t/rho - t/tau
	if math.Abs(x) < 1e-3 {
		return t / rho * termExp * (1 - x/2 + x*x/6)
	}
	return tau / (tau - rho) * (termExp - rungExp)
}

// middle cuts an interval; an endless one is cut at four times its start.
func middle(from, to float64) float64 {
	if math.IsInf(to, 1) {
		if from == 0 {
			return 1
		}
		return 4 * from
	}
	return (from + to) / 2
}

func newSpan(points []point, from, to int) span {
	b := 0.0
	a, z := points[from].each, points[to].each
	for i := range a {
		b += max(a[i], z[i])
	}
	return span{from, to, b}
}
