package device

import (
	"math"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
)

// ChannelOn is the on voltage of one channel of an array, V, at so many amperes:
// the figure stated at the next higher current. Past the last one nothing is
// guaranteed; least is then that of the last, under which it cannot be.
func ChannelOn(p *catalog.Array, i float64) (v, least design.Number) {
	at, last := math.Inf(1), -1.0
	for k := range p.VOnMax {
		pi, okI := p.VOnMax[k].IOut.Get()
		pv, okV := p.VOnMax[k].V.Get()
		if !okI || !okV {
			continue
		}
		if x := float64(pi); design.AtMost(i, x) && x < at {
			at, v = x, design.Known(float64(pv))
		} else if x > last {
			last, least = x, design.Known(float64(pv))
		}
	}
	if v.OK {
		return v, design.Number{}
	}
	return v, least
}

// InputNeeded is the input voltage, V, with which one channel of an array carries
// so many amperes: the figure stated at the next higher current. Below it stands
// what a channel may do with: on the straight line between the stated points,
// which begins at no current with the voltage that keeps a channel off.
func InputNeeded(p *catalog.Array, i float64) (v, estimate design.Number) {
	loI, loV := 0.0, float64(p.VInOffMax.Or(0))
	for k := range p.VInOn {
		pi, okI := p.VInOn[k].IOut.Get()
		pv, okV := p.VInOn[k].Max.Get()
		if !okI || !okV {
			continue
		}
		hiI, hiV := float64(pi), float64(pv)
		if !design.AtMost(i, hiI) {
			loI, loV = hiI, hiV
			continue
		}
		if hiI > loI {
			estimate = design.Known(loV + (hiV-loV)*(i-loI)/(hiI-loI))
		}
		return design.Known(hiV), estimate
	}
	if loI > 0 { // past the last point it needs no less
		estimate = design.Known(loV)
	}
	return design.Number{}, estimate
}

// InputCurrent is the most that the input of one channel takes, A, at v volts:
// the figure stated at the next higher voltage. Past the last one nothing is
// guaranteed; least is then that of the last: it may well take as much.
func InputCurrent(p *catalog.Array, v float64) (i, least design.Number) {
	for k := range p.IInMax {
		pv, okV := p.IInMax[k].VIn.Get()
		pi, okI := p.IInMax[k].I.Get()
		if !okV || !okI {
			continue
		}
		if design.AtMost(v, float64(pv)) {
			return design.Known(float64(pi)), design.Number{}
		}
		least = design.Known(float64(pi))
	}
	return design.Number{}, least
}

// InputLevel is the least voltage at the input of one channel, V, that a source
// of s volts behind r ohms gives it. At the stated voltage of a point the input
// takes no more than that point's current, and no more at any lower one; so
// where the source gives as much there, the input does not stay below:
//
//	max over the points of min(v, s - i*r)
//
// Zero where no input current is stated and the source has a resistance.
func InputLevel(p *catalog.Array, s, r float64) float64 {
	if r <= 0 {
		return s
	}
	best := 0.0
	for k := range p.IInMax {
		v, okV := p.IInMax[k].VIn.Get()
		i, okI := p.IInMax[k].I.Get()
		if okV && okI {
			best = max(best, min(float64(v), s-float64(i)*r))
		}
	}
	return best
}

// TogetherCurrent is what each of n channels that are on at once may carry, A, at
// that duty: the greatest of the figures stated for no fewer channels and no
// shorter duty. One channel alone carries i_out_max where no figure is stated for
// it. Nothing carries more than that; without any figure nothing is guaranteed.
func TogetherCurrent(p *catalog.Array, n int, duty float64) design.Number {
	most, ok := p.IOutMax.Get()
	if !ok || len(p.Together) == 0 {
		return design.Number{}
	}
	i, alone := togetherPoint(p.Together, n, duty)
	i.V = min(i.V, float64(most))
	if alone {
		return design.Known(float64(most))
	}
	return i
}

// BoardCurrent is what each of n channels of a module that are on at once may carry, A,
// at that duty, beside what one alone carries: the greatest of the figures stated for no
// fewer channels and no shorter duty.
func BoardCurrent(m *catalog.Module, n int, duty float64) design.Number {
	i, _ := togetherPoint(m.Together, n, duty)
	return i
}

// togetherPoint is the greatest of the figures stated for no fewer channels than n and
// no shorter duty; alone says that n is one channel and that no figure is stated for it.
func togetherPoint(points []catalog.TogetherPoint, n int, duty float64) (i design.Number, alone bool) {
	alone = n == 1
	for k := range points {
		pt := &points[k]
		amp, okI := pt.I.Get()
		d, okD := pt.Duty.Get()
		if pt.On == nil || !okI || !okD {
			continue
		}
		if *pt.On == 1 {
			alone = false
		}
		if *pt.On >= n && design.AtMost(duty, float64(d)) {
			i = design.Known(max(i.V, float64(amp)))
		}
	}
	return i, alone
}

// ClampDiode is the diode that an array has from each output to a common pin, as
// a diode of the catalogue: it bears its stated current for ever, blocks what the
// output blocks, and states no recovery, no surge and no least voltage. Nil where
// the part does not state one.
func ClampDiode(p *catalog.Array) *catalog.Diode {
	if p.Clamp == nil {
		return nil
	}
	i, ok := p.Clamp.IMax.Get()
	if !ok {
		return nil
	}
	d := &catalog.Diode{Common: catalog.Common{ID: p.ID, Title: p.Title, Provenance: p.Provenance, Package: p.Package},
		Heat: p.Heat, Technology: "rectifier", VRRMMax: p.VOutMax}
	d.IFAV = []catalog.AmbientCurrent{{Ta: p.TjMax, I: p.Clamp.IMax}}
	if v, ok := p.Clamp.VFMax.Get(); ok {
		d.VF = make([]catalog.ForwardPoint, 1)
		d.VF[0].I.SetSI(float64(i))
		d.VF[0].Max.SetSI(float64(v))
	}
	return d
}
