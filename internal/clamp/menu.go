package clamp

import (
	"cmp"
	"math"
	"slices"
	"sync"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	q "example.org/pinhoist/internal/quantity"
)

// Helpers is the clamp parts of a catalogue, each kind cheapest first, those
// without a price last, then by id.
type Helpers struct {
	Diodes []*catalog.Diode
	Zeners []*catalog.Zener
	TVSs   []*catalog.TVS

	room sync.Pool // of *menu, so that a run makes few
}

// NewHelpers sorts the clamp parts of a catalogue.
func NewHelpers(c *catalog.Catalog) *Helpers {
	h := &Helpers{}
	for i := range c.Diodes {
		h.Diodes = append(h.Diodes, &c.Diodes[i])
	}
	for i := range c.Zeners {
		h.Zeners = append(h.Zeners, &c.Zeners[i])
	}
	for i := range c.TVSs {
		h.TVSs = append(h.TVSs, &c.TVSs[i])
	}
	slices.SortFunc(h.Diodes, func(a, b *catalog.Diode) int { return byPrice(&a.Common, &b.Common) })
	slices.SortFunc(h.Zeners, func(a, b *catalog.Zener) int { return byPrice(&a.Common, &b.Common) })
	slices.SortFunc(h.TVSs, func(a, b *catalog.TVS) int { return byPrice(&a.Common, &b.Common) })
	return h
}

func byPrice(a, b *catalog.Common) int {
	return cmp.Or(cmp.Compare(priceOf(a), priceOf(b)), cmp.Compare(a.ID, b.ID))
}

func priceOf(c *catalog.Common) float64 {
	if c.Price == nil {
		return math.Inf(1)
	}
	return c.Price.Amount
}

// candidate is an option in short.
type candidate struct {
	parts    [2]catalog.Part
	n        int
	o        Option  // without parts and checks
	failing  int     // checks that do not fit
	cost     float64 // +Inf unknown
	peak     float64 // +Inf unknown
	recovery float64 // s; 0 where it does not matter, +Inf unknown
}

// Menu returns the clamps worth a look for a winding, the best verdict first,
// then the fewest checks that do not fit, then the cheapest, then the lowest
// peak, then by key. One that another before
// it equals or beats in peak voltage (and, under pwm, in recovery) is left out,
// so that a switch that bears less still finds the best clamp under its limit.
// In series with a Zener or TVS stands the cheapest diode that fits there.
func Menu(w *Winding, pol *catalog.Policy, h *Helpers) []Option {
	options := Outlines(w, pol, h)
	for i := range options {
		options[i] = Evaluate(w, pol, options[i].Parts, options[i].AtSwitch)
	}
	return options
}

// Outlines is Menu with options that hold no checks: for a winding that meets
// few switches, since of all the options only one is chosen.
func Outlines(w *Winding, pol *catalog.Policy, h *Helpers) []Option {
	brief := *w
	brief.Brief = true
	m, ok := h.room.Get().(*menu)
	if !ok {
		m = new(menu)
	}
	defer h.room.Put(m)
	*m = menu{w: &brief, pol: pol, found: m.found[:0], order: m.order, scratch: Option{Checks: m.scratch.Checks[:0], NA: m.scratch.NA[:0]}}
	bench := bench{w: m.w}
	for _, d := range h.Diodes {
		low := m.w.VMax
		if v, _ := forwardMax(d, bench.peak()); v.OK {
			low += v.V
		}
		if !m.pointless(priceOf(&d.Common), low) {
			m.try(false, d, nil)
		}
	}
	m.cheapestDiode = math.Inf(1)
	if len(h.Diodes) > 0 {
		m.cheapestDiode = priceOf(&h.Diodes[0].Common)
	}
	for _, z := range h.Zeners {
		low, bears := 0.0, math.Inf(1)
		if z.VZ != nil && z.VZ.Min.Known() {
			bears = float64(z.VZ.Min.Value())
			low = leastShare * bears
		}
		m.breaker(h.Diodes, z, low, bears, false)
	}
	for _, s := range h.TVSs {
		low := 0.0
		if s.VBR != nil {
			low = leastShare * float64(s.VBR.Min.Or(0))
		}
		m.breaker(h.Diodes, s, low, float64(s.VRWM.Or(q.Volt(math.Inf(1)))), s.Direction == "bi")
	}
	return m.options()
}

// Outline reports whether an option is without its checks.
func (o *Option) Outline() bool { return len(o.Checks)+len(o.NA) == 0 }

// leastShare of its least stated voltage is what a breakdown part still has when
// its drift pulls it down by 0.1 %/K over 200 K.
const leastShare = 0.8

// breaker tries a Zener or TVS that never clamps under low volts and stands off
// so many, unless an option that fits is cheaper and lower already, or it would
// conduct all the time where something better is there: across the switch, and
// across the load, there in series with a diode, or alone where it blocks both ways.
func (m *menu) breaker(diodes []*catalog.Diode, p catalog.Part, low, bears float64, both bool) {
	cost := priceOf(p.Base())
	conducts := m.hopeful() && !design.AtMost(m.w.VMax, bears)
	if !conducts && !m.pointless(cost, low) {
		m.try(true, p, nil)
	}
	if both && !conducts && !m.pointless(cost, m.w.VMax+low) {
		m.try(false, p, nil)
	}
	if !m.pointless(cost+m.cheapestDiode, m.w.VMax+low) {
		m.inSeries(diodes, p)
	}
}

// pointless reports whether an option that fits beats whatever costs at least
// cost and peaks at least at low.
func (m *menu) pointless(cost, low float64) bool {
	for i := range m.found {
		f := &m.found[i]
		if f.o.Verdict == design.Fits && f.cost <= cost && f.peak <= low && f.recovery == 0 {
			return true
		}
	}
	return false
}

// hopeful reports whether anything found so far is better than over.
func (m *menu) hopeful() bool {
	for i := range m.found {
		if m.found[i].o.Verdict < design.Over {
			return true
		}
	}
	return false
}

type menu struct {
	w       *Winding
	pol     *catalog.Policy
	scratch Option
	parts   [2]catalog.Part // of scratch
	found   []candidate
	order   []*candidate // room

	cheapestDiode float64
	series        *catalog.Diode // what stands in series so far
	seriesVerdict design.Verdict
}

// assess works one arrangement out in the scratch option.
func (m *menu) assess(atSwitch bool, a, b catalog.Part) candidate {
	c := candidate{parts: [2]catalog.Part{a, b}, n: 1}
	if b != nil {
		c.n = 2
	}
	o := &m.scratch
	m.parts = c.parts
	*o = Option{Parts: m.parts[:c.n], AtSwitch: atSwitch, Checks: o.Checks[:0], NA: o.NA[:0]}
	evaluate(m.w, m.pol, o)
	for i := range o.Checks {
		if o.Checks[i].Verdict != design.Fits {
			c.failing++
		}
	}
	c.cost, c.peak = orInf(o.Cost), orInf(o.VPeak)
	if m.w.PWM {
		c.recovery = orInf(o.Recovery)
	}
	c.o = *o
	c.o.Parts, c.o.Checks, c.o.NA = nil, nil, nil
	return c
}

func (m *menu) try(atSwitch bool, a, b catalog.Part) {
	m.add(m.assess(atSwitch, a, b))
}

// add keeps a candidate, unless one that fits is both cheaper and no worse for a
// switch, or it is over and another is not.
func (m *menu) add(c candidate) {
	if c.o.Verdict == design.Over && m.hopeful() {
		return
	}
	for i := range m.found {
		f := &m.found[i]
		if f.o.Verdict == design.Fits && f.cost < c.cost && f.peak <= c.peak && f.recovery <= c.recovery {
			return
		}
	}
	m.found = append(m.found, c)
}

// inSeries pairs a breakdown part with a diode: the first whose own checks fit,
// or the best of them where none does. What a diode must bear in series depends
// on the rail and the load's current, hardly on the part that it stands with, so
// the diode found with the first is tried alone with the others, and all of
// them again only where it does not do.
func (m *menu) inSeries(diodes []*catalog.Diode, breaker catalog.Part) {
	if m.series != nil {
		c := m.assess(false, m.series, breaker)
		if m.diodeVerdict() <= m.seriesVerdict {
			m.add(c)
			return
		}
	}
	var best candidate
	bestDiode := design.Over + 1
	for _, d := range diodes {
		c := m.assess(false, d, breaker)
		v := m.diodeVerdict()
		if v < bestDiode {
			best, bestDiode = c, v
			m.series, m.seriesVerdict = d, v
		}
		if v == design.Fits {
			break
		}
	}
	if bestDiode <= design.Over {
		m.add(best)
	}
}

// diodeVerdict is the worst of the scratch option's checks of its diode.
func (m *menu) diodeVerdict() design.Verdict {
	v := design.Fits
	for i := range m.scratch.Checks {
		if id := m.scratch.Checks[i].ID; id == design.ClampVoltage || id == design.ClampCurrent {
			v = max(v, m.scratch.Checks[i].Verdict)
		}
	}
	if !m.scratch.VPeak.OK {
		v = max(v, design.Unproven)
	}
	return v
}

func orInf(n design.Number) float64 {
	if !n.OK || math.IsNaN(n.V) {
		return math.Inf(1)
	}
	return n.V
}

func (m *menu) options() []Option {
	m.order = m.order[:0] // a candidate is too large to be moved about
	for i := range m.found {
		m.order = append(m.order, &m.found[i])
	}
	slices.SortFunc(m.order, compare)
	kept := m.order[:0]
	for _, c := range m.order {
		if c.o.Verdict == design.Over && len(kept) > 0 && kept[0].o.Verdict < design.Over {
			break
		}
		if !beaten(kept, c) {
			kept = append(kept, c)
		}
	}
	options := make([]Option, len(kept))
	for i, c := range kept {
		options[i] = c.o
		options[i].Parts = append([]catalog.Part(nil), c.parts[:c.n]...)
	}
	return options
}

// beaten reports whether one of those before c is no worse in what a switch cares for.
func beaten(before []*candidate, c *candidate) bool {
	for i := range before {
		if before[i].peak <= c.peak && before[i].recovery <= c.recovery {
			return true
		}
	}
	return false
}

func compare(a, b *candidate) int {
	switch {
	case a.o.Verdict != b.o.Verdict:
		return cmp.Compare(a.o.Verdict, b.o.Verdict)
	case a.failing != b.failing:
		return cmp.Compare(a.failing, b.failing)
	case a.cost != b.cost:
		return cmp.Compare(a.cost, b.cost)
	case a.peak != b.peak:
		return cmp.Compare(a.peak, b.peak)
	case a.recovery != b.recovery:
		return cmp.Compare(a.recovery, b.recovery)
	}
	return cmp.Compare(key(a.parts[:a.n], a.o.AtSwitch), key(b.parts[:b.n], b.o.AtSwitch))
}
