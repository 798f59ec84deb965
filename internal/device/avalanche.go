package device

import (
	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
)

// AvalancheLimits are what a MOSFET bears when its drain breaks down, with its
// junction at a given temperature before the pulse.
type AvalancheLimits struct {
	Single   design.Number // J, once
	Repeated design.Number // J, again and again
	Current  design.Number // A, in either case
}

// Avalanche derates the stated figures to a junction of t degrees Celsius before
// the pulse: energy and current both by the share of the temperature rise that is
// left, (tj_max - t)/(tj_max - stated), from 1 to 0.
//
// A short square or triangular pulse heats a junction as V*I*sqrt(length), and its
// length is twice energy over V*I, so the rise goes with sqrt(E*I): with E and I
// each within a share x of the stated pulse it is within x of that pulse's rise.
// (Heat into a half-space; makers' application notes on single-pulse avalanche
// ratings derive the same.) A figure that is not stated is unknown, and so is all
// without t_j_max.
func Avalanche(p *catalog.MOSFET, t float64) AvalancheLimits {
	var a AvalancheLimits
	top, ok := p.TjMax.Get()
	if !ok {
		return a
	}
	stated := Room
	if p.Avalanche != nil {
		stated = tjOf(p.Avalanche.Tj)
	}
	share := 0.0
	if float64(top) > stated {
		share = min(1, max(0, (float64(top)-t)/(float64(top)-stated)))
	}
	if s := p.Avalanche; s != nil {
		if e, ok := s.EAS.Get(); ok {
			a.Single = design.Known(float64(e) * share)
		}
		if i, ok := s.IAS.Get(); ok {
			a.Current = design.Known(float64(i) * share)
		}
	}
	if e, ok := p.EARMax.Get(); ok {
		a.Repeated = design.Known(float64(e) * share)
	}
	return a
}
