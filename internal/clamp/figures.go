package clamp

import (
	"math"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
)

const (
	// statedAt is the temperature, degC, of a figure that states none.
	statedAt = 25.0
	// hopefulForward is a forward voltage, V, that the least of a silicon diode
	// hardly exceeds; with it a bracket's failure is tried again (common practice,
	// no source).
	hopefulForward = 1.0
	// hottestJunction is the junction, degC, taken for a part that states no
	// maximum (common practice, no source).
	hottestJunction = 200.0
	// worstToAir is the resistance, K/W, from junction to air taken for a clamp
	// that states none: the smallest surface-mount bodies on least copper
	// (published class figures reach 400 K/W).
	worstToAir = 600.0
	// averageFrequency is the frequency, Hz, below which an average current is
	// not believed: i_f_av is stated for half waves of the mains.
	averageFrequency = 50.0
	// slowRectifier is the pwm frequency, Hz, above which a rectifier must state
	// its recovery.
	slowRectifier = 1000.0
)

// forwardMax returns the guaranteed greatest forward voltage at i, by stairs: the
// figure of the next higher stated current. Past the last one nothing is
// guaranteed; the estimate is then v*i/i_last, since the ratio of voltage to
// current of a diode falls as the current rises. Forward voltage falls with
// temperature by some 2 mV/K, which is not applied: the stated 25 C figure is
// taken for a diode that carries its current.
func forwardMax(d *catalog.Diode, i float64) (v, estimate design.Number) {
	at, last := math.Inf(1), -1.0
	for k := range d.VF {
		p, okI := d.VF[k].I.Get()
		max, okV := d.VF[k].Max.Get()
		if !okI || !okV {
			continue
		}
		pi, pv := float64(p), float64(max)
		if pi > last {
			last, estimate = pi, design.Known(pv*i/pi)
		}
		if design.AtMost(i, pi) && (pi < at || pi == at && pv > v.V) {
			at, v = pi, design.Known(pv)
		}
	}
	if v.OK {
		return v, design.Number{}
	}
	return v, estimate
}

// forwardMin returns the least forward voltage at i: the figure of the nearest
// stated current that is not higher, else the bracket of all diodes, and whether it is stated.
func forwardMin(d *catalog.Diode, i float64) (v float64, stated bool) {
	at := -1.0
	for k := range d.VF {
		p, okI := d.VF[k].I.Get()
		min, okV := d.VF[k].Min.Get()
		if !okI || !okV || !design.AtMost(float64(p), i) {
			continue
		}
		pi, pv := float64(p), float64(min)
		if pi > at || pi == at && pv < v {
			at, v, stated = pi, pv, true
		}
	}
	if !stated {
		return float64(catalog.BracketDiodeVFMin), false
	}
	return v, true
}

// averageAt returns the average forward current that a diode bears in air of ta:
// the figure of the next higher stated temperature. Above the last there is none.
func averageAt(d *catalog.Diode, ta float64) design.Number {
	at, found := math.Inf(1), design.Number{}
	for k := range d.IFAV {
		t, okT := d.IFAV[k].Ta.Get()
		i, okI := d.IFAV[k].I.Get()
		if okT && okI && design.AtMost(ta, float64(t)) && float64(t) < at {
			at, found = float64(t), design.Known(float64(i))
		}
	}
	return found
}

// surgeAt returns the surge current that a diode bears for t seconds: the figure
// of the next longer stated time; past the last one it falls with 1/sqrt(t), down
// to the continuous current. An unknown t takes the last figure: a motor's own
// time constant is far under the 10 ms of a surge figure (common practice, no
// source).
func surgeAt(d *catalog.Diode, t, continuous design.Number) design.Number {
	at, found := math.Inf(1), design.Number{}
	last, lastI := 0.0, 0.0
	for k := range d.IFSM {
		pt, okT := d.IFSM[k].T.Get()
		pi, okI := d.IFSM[k].I.Get()
		if !okT || !okI {
			continue
		}
		if float64(pt) > last {
			last, lastI = float64(pt), float64(pi)
		}
		if t.OK && design.AtMost(t.V, float64(pt)) && float64(pt) < at {
			at, found = float64(pt), design.Known(float64(pi))
		}
	}
	switch {
	case last == 0:
		return design.Number{}
	case found.OK:
		return found
	}
	i := lastI
	if t.OK {
		i = lastI * math.Sqrt(last/t.V)
	}
	if continuous.OK {
		i = max(i, continuous.V)
	}
	return design.Known(i)
}

// pulseAt returns the pulse power for t seconds: the figure of the next longer
// stated time; past the last one it falls with sqrt(t_last/t), as heat that
// spreads into a solid does.
func pulseAt(points []catalog.PulsePower, t float64) design.Number {
	at, found := math.Inf(1), design.Number{}
	last, lastP := 0.0, 0.0
	for k := range points {
		pt, okT := points[k].T.Get()
		pp, okP := points[k].P.Get()
		if !okT || !okP {
			continue
		}
		if float64(pt) > last {
			last, lastP = float64(pt), float64(pp)
		}
		if design.AtMost(t, float64(pt)) && float64(pt) < at {
			at, found = float64(pt), design.Known(float64(pp))
		}
	}
	if found.OK || last == 0 {
		return found
	}
	return design.Known(lastP * math.Sqrt(last/t))
}

// zener is a Zener's window over the temperatures its junction may take.
type zener struct {
	max, min float64 // V, as stated
	test     float64 // A, where stated
	tc       float64 // V/K, magnitude
	zz       design.Number
	stated   bool // tc is stated
	ok       bool
}

func newZener(z *catalog.Zener) (n zener) {
	if z.VZ == nil {
		return n
	}
	i, okI := z.VZ.I.Get()
	lo, okL := z.VZ.Min.Get()
	hi, okH := z.VZ.Max.Get()
	if !okI || !okL || !okH {
		return n
	}
	n = zener{max: float64(hi), min: float64(lo), test: float64(i), ok: true}
	tc, stated := z.TCMax.Get()
	n.tc, n.stated = float64(tc), stated
	if !stated {
		n.tc = float64(catalog.BracketZenerTC) * n.max
	}
	if zz, ok := z.ZZMax.Get(); ok {
		n.zz = design.Known(float64(zz))
	}
	return n
}

// high is the greatest voltage at i with the junction dt kelvin away from 25 C:
// max + z_z*(i - i_test) + tc*dt. Without a z_z it is what the bracket rises above max;
// no current under the test current earns credit.
func (n *zener) high(i, dt float64) float64 {
	v := n.max
	if n.zz.OK {
		v += n.zz.V * max(0, i-n.test)
	} else {
		v += n.bracketRise(i)
	}
	return v + n.tc*dt
}

// bracketRise is the rise of a Zener that states no z_z, V: 10 % by its test current, and
// in proportion above, which no part of the class exceeds at any current.
func (n *zener) bracketRise(i float64) float64 {
	return n.max * float64(catalog.BracketZenerRise) * max(1, i/n.test)
}

// low is the least voltage with the junction dt kelvin away from 25 C. The knee
// below the test current counts as sharp.
func (n *zener) low(dt float64) float64 { return max(0, n.min-n.tc*dt) }

// suppressorMax returns the greatest voltage of a TVS at i: v_br.max up to its
// test current, then the line from there to v_c. Past v_c's current nothing is
// guaranteed; the estimate is the same line carried on.
func suppressorMax(s *catalog.TVS, i float64) (v, estimate design.Number) {
	if s.VBR == nil || s.VC == nil {
		return
	}
	i0, ok0 := s.VBR.I.Get()
	v0, ok1 := s.VBR.Max.Get()
	i1, ok2 := s.VC.I.Get()
	v1, ok3 := s.VC.Max.Get()
	if !ok0 || !ok1 || !ok2 || !ok3 || !(i1 > i0) {
		return
	}
	at := float64(v0)
	if i > float64(i0) {
		at += float64(v1-v0) * (i - float64(i0)) / float64(i1-i0)
	}
	if design.AtMost(i, float64(i1)) {
		return design.Known(at), design.Number{}
	}
	return design.Number{}, design.Known(at)
}

// suppressorMin returns the least voltage of a TVS that carries i or more:
// v_br.min from its test current up, else the stand-off voltage.
func suppressorMin(s *catalog.TVS, i float64) design.Number {
	if s.VBR != nil {
		at, okI := s.VBR.I.Get()
		v, okV := s.VBR.Min.Get()
		if okI && okV && design.AtMost(float64(at), i) {
			return design.Known(float64(v))
		}
	}
	if v, ok := s.VRWM.Get(); ok {
		return design.Known(float64(v))
	}
	return design.Number{}
}
