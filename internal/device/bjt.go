package device

import (
	"math"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
)

// Constants of silicon.
const (
	// VBESlope is how the voltage of one base-emitter junction falls with heat, V/K
	// (junction theory gives 2.1 mV/K at 0.65 V). A Darlington has two in series.
	VBESlope = float64(catalog.BracketVBESlope)
	// GainSlope is how current gain falls in the cold, per kelvin of the gain at
	// the point's temperature; no credit above it (common practice, no source). That
	// of a Darlington is a product of two and falls as their product does.
	GainSlope = 0.005
)

// IsDarlington reports whether a part is two transistors in one.
func IsDarlington(p *catalog.BJT) bool { return p.Darlington != nil && *p.Darlington }

// vbeSlope is how the voltage between a part's base and its emitter falls with
// heat, V/K.
func vbeSlope(p *catalog.BJT) float64 {
	if IsDarlington(p) {
		return 2 * VBESlope
	}
	return VBESlope
}

// Gain is a guaranteed (and typical) current gain at a collector current.
type Gain struct {
	Base    design.Number // base current that is guaranteed to be enough, A
	Typical design.Number // the same with typical gain
	VCE     float64       // the VCE at which that gain is stated, V: a bound of the on voltage; 0: not stated
	HFE     float64       // the gain used, after temperature
}

// BaseCurrent is the base current, A, that is enough for collector current ic
// at junction temperature t. Gain minima are interpolated log-log between
// stated points; below the first the base current of that point is enough for
// any smaller current; above the last nothing is guaranteed.
func BaseCurrent(p *catalog.BJT, ic, t float64) (g Gain) {
	var lo, hi *catalog.HFEPoint
	for k := range p.HFE {
		pt := &p.HFE[k]
		if !pt.Min.Known() || !pt.IC.Known() || tjOf(pt.Tj) > Room {
			continue
		}
		if float64(pt.IC.Value()) <= ic {
			lo = pt
			continue
		}
		hi = pt
		break
	}
	typ := typicalGain(p, ic)
	if typ > 0 {
		g.Typical = design.Known(ic / typ)
	}
	switch {
	case hi == nil && (lo == nil || float64(lo.IC.Value()) < ic*(1-1e-12)):
		return g
	case lo == nil: // below the first point
		g.HFE = float64(hi.Min.Value()) * coldGain(p, hi, t)
		g.Base = design.Known(float64(hi.IC.Value()) / g.HFE)
		g.VCE = statedAt(hi)
	case hi == nil:
		g.HFE = float64(lo.Min.Value()) * coldGain(p, lo, t)
		g.Base, g.VCE = design.Known(ic/g.HFE), statedAt(lo)
	default:
		i1, i2 := float64(lo.IC.Value()), float64(hi.IC.Value())
		h1, h2 := float64(lo.Min.Value())*coldGain(p, lo, t), float64(hi.Min.Value())*coldGain(p, hi, t)
		g.HFE = h1 * math.Pow(ic/i1, math.Log(h2/h1)/math.Log(i2/i1))
		g.Base, g.VCE = design.Known(ic/g.HFE), max(statedAt(lo), statedAt(hi))
		if statedAt(lo) == 0 || statedAt(hi) == 0 {
			g.VCE = 0 // a gain at an unknown voltage bounds nothing
		}
	}
	return g
}

// statedAt is the VCE at which a gain is stated, V; 0 where it does not say.
func statedAt(pt *catalog.HFEPoint) float64 { return float64(pt.VCE.Or(0)) }

// coldGain is the factor on a gain point at junction temperature t.
func coldGain(p *catalog.BJT, pt *catalog.HFEPoint, t float64) float64 {
	f := max(0.05, 1+GainSlope*min(0, t-tjOf(pt.Tj)))
	if IsDarlington(p) {
		f *= f
	}
	return f
}

// typicalGain is the typical gain of the nearest stated point, 0 without one.
func typicalGain(p *catalog.BJT, ic float64) (h float64) {
	for k := range p.HFE {
		pt := &p.HFE[k]
		if !pt.Typ.Known() {
			continue
		}
		h = float64(pt.Typ.Value())
		if float64(pt.IC.Or(0)) >= ic {
			return h
		}
	}
	return h
}

// SaturationPoint is a stated saturation voltage that may serve a current.
type SaturationPoint struct {
	Need float64 // base current at which it is guaranteed for the load's current, A
	V    float64 // the voltage, V
	Beta float64 // its forced gain
}

// SaturationPoints calls f with every stated saturation point with no less
// collector current than ic: its voltage is guaranteed once the base gets ic
// over its forced gain.
func SaturationPoints(p *catalog.BJT, ic float64, f func(SaturationPoint)) {
	for k := range p.VCESat {
		pt := &p.VCESat[k]
		if !pt.Max.Known() || float64(pt.IC.Or(0)) < ic*(1-1e-12) || pt.IB.Or(0) <= 0 {
			continue
		}
		beta := float64(pt.IC.Value()) / float64(pt.IB.Value())
		f(SaturationPoint{Need: ic / beta, V: float64(pt.Max.Value()), Beta: beta})
	}
}

// TypicalSaturation is the typical saturation voltage at the next higher stated
// current, V.
func TypicalSaturation(p *catalog.BJT, ic float64) (v design.Number) {
	for k := range p.VCESat {
		pt := &p.VCESat[k]
		if pt.Typ.Known() && float64(pt.IC.Or(0)) >= ic*(1-1e-12) && (!v.OK || float64(pt.Typ.Value()) < v.V) {
			v = design.Known(float64(pt.Typ.Value()))
		}
	}
	return v
}

// VBEMax is the greatest base-emitter voltage when on, V, at collector current
// ic and junction temperature t: the figure stated at the next higher current.
func VBEMax(p *catalog.BJT, ic, t float64) (v design.Number) {
	at := math.Inf(1)
	for k := range p.VBESat {
		pt := &p.VBESat[k]
		i := float64(pt.IC.Or(0))
		if !pt.Max.Known() || i < ic*(1-1e-12) || i > at {
			continue
		}
		m := float64(pt.Max.Value()) - vbeSlope(p)*(t-tjOf(pt.Tj))
		if i < at || m > v.V {
			at, v = i, design.Known(m)
		}
	}
	return v
}

// VBEOnMin is the base-emitter voltage, V, under which a transistor is off at
// junction temperature t (bracket 0.5 V at 25 C, -2 mV/K, twice both of a
// Darlington).
func VBEOnMin(p *catalog.BJT, t float64) float64 {
	return float64(p.VBEOnMin.Or(catalog.BracketVBEOnMinOf(IsDarlington(p)))) - vbeSlope(p)*(t-Room)
}

// BleedInside is the resistor inside a transistor from base to emitter, ohm; +Inf in
// all is none.
type BleedInside struct {
	Least float64 // what it takes from the base is no more than this takes
	Most  float64 // it holds the base at least as this does; +Inf where that is not stated
	Plain float64 // the figure that guarantees nothing, for an estimate; the nearest end where it is not stated
}

// InnerBleed is that of a part. Its least is as stated, else the bracket under the
// plain figure, which stands as far under the most; gains and saturation points are
// stated with it inside, so that taking its current from the base as well is a bound.
// Its most is never guessed.
func InnerBleed(p *catalog.BJT) BleedInside {
	const low = float64(catalog.BracketRBEInternalLeast)
	b := BleedInside{math.Inf(1), math.Inf(1), math.Inf(1)}
	least, okLeast := p.RBEIntMin.Get()
	most, okMost := p.RBEIntMax.Get()
	if okLeast {
		b.Least, b.Plain = float64(least), float64(least)
	}
	if okMost {
		b.Most, b.Plain = float64(most), float64(most)
	}
	if plain, ok := p.RBEInternal.Get(); ok {
		b.Plain = float64(plain)
	}
	switch {
	case okLeast:
	case p.RBEInternal.Known():
		b.Least = b.Plain * low
	case okMost:
		b.Least = b.Most * low / (2 - low)
	}
	return b
}

// CollectorLeakage is the guaranteed off-state collector current, A, at v and
// junction temperature t, with the base held under its on voltage: i_cbo where
// stated, else i_ceo. Stairs in both. A Darlington that does not state what resistor
// it has inside at the most has a second base that nothing holds: what leaks into it is
// amplified, whatever holds the first, so that only its i_ceo counts.
func CollectorLeakage(p *catalog.BJT, v, t float64) (i design.Number) {
	if !IsDarlington(p) || p.RBEIntMax.Known() {
		i = BaseLeakage(p, v, t)
	}
	for k := range p.ICEOMax {
		pt := &p.ICEOMax[k]
		i = leakStair(i, float64(pt.VCE.Or(0)), tjOf(pt.Tj), float64(pt.Max.Or(0)), pt.Max.Known(), v, t)
	}
	return i
}

// BaseLeakage is the collector-base leakage that flows into the base resistor,
// A: stated, else unknown.
func BaseLeakage(p *catalog.BJT, v, t float64) (i design.Number) {
	for k := range p.ICBOMax {
		pt := &p.ICBOMax[k]
		i = leakStair(i, float64(pt.VCB.Or(0)), tjOf(pt.Tj), float64(pt.Max.Or(0)), pt.Max.Known(), v, t)
	}
	return i
}

// EndlessStorage reports whether a part states its switching times for a collector
// current of ic, A, and its least gain does not saturate it in their test: the bound of
// its storage grows as the gain falls, and there it has none.
func EndlessStorage(p *catalog.BJT, ic float64) bool {
	s := p.Switching
	if s == nil || ic > float64(s.IC.Or(0))*(1+1e-12) || s.Ts.Or(0) <= 0 {
		return false
	}
	h := BaseCurrent(p, float64(s.IC.Value()), Room).HFE
	return h > 0 && !StorageConstant(float64(s.Ts.Value()), float64(s.IB1.Or(0)), float64(s.IB2.Or(0)), float64(s.IC.Value()), h).OK
}

// SwitchingTimes are a bipolar's longest turn-on and turn-off times, s, with
// base currents ib1 and ib2 at any collector current up to ic. Storage is the bound
// of charge control (StorageConstant, Storage) whatever the collector current. A
// Darlington has two charges, the second of which nothing outside empties: its
// storage is not under what is stated either, scaled with the base currents. Delay
// and rise scale with a smaller ib1, the fall with a smaller ib2. Unknown when the
// collector current is above the stated one, and where the least gain does not
// saturate the part in the test of its own times.
func SwitchingTimes(p *catalog.BJT, ic, ib1, ib2 float64) (on, off, fall design.Number) {
	s := p.Switching
	if s == nil || ib2 <= 0 || ib1 <= 0 || ic > float64(s.IC.Or(0))*(1+1e-12) {
		return on, off, fall
	}
	b1, b2, ts := float64(s.IB1.Value()), float64(s.IB2.Value()), float64(s.Ts.Value())
	on = design.Known((float64(s.Td.Value()) + float64(s.Tr.Value())) * max(1, b1/ib1))
	slower := max(1, b2/ib2)
	fall = design.Known(float64(s.Tf.Value()) * slower)
	stored := 0.0
	if ts > 0 {
		tau := StorageConstant(ts, b1, b2, float64(s.IC.Value()), BaseCurrent(p, float64(s.IC.Value()), Room).HFE)
		if !tau.OK {
			return on, off, fall
		}
		stored = Storage(tau.V, ib1, ib2, 0)
	}
	if IsDarlington(p) {
		stored = max(stored, ts*max(1, ib1/b1)*slower)
	}
	return on, design.Known(stored + fall.V), fall
}
