package topology

import (
	"math"
	"slices"
	"strings"
	"sync"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/clamp"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/load"
)

// Env is what every design of a run may draw on. It is never changed once the
// run has started.
type Env struct {
	Pin     job.Pin
	Air     job.Environment
	PinRail job.Rail
	Common  []job.Rail // the rails that share the pin's common, in order, then the pin's own supply
	Policy  *catalog.Policy
	Catalog *catalog.Catalog

	Resistors  []*catalog.ResistorSeries // in stock first, then by price, then by id
	Sinks      []*catalog.HeatSink       // likewise
	Fuses      []*catalog.Fuse           // likewise
	Insulators []*catalog.Insulator      // likewise
	Clamps     *clamp.Helpers

	// Driver designs the stage of a relay's coil: the best verdict, then the
	// cheapest, then by key. The answer is shared and must not be changed.
	Driver func(coil *load.Model) *design.Design

	// relays remembers coil drivers and clamp menus for relay designs of this run;
	// nil remembers nothing.
	relays *relayMemo

	cool          []*catalog.HeatSink  // Sinks, the least resistance first
	acFilm        []*catalog.Capacitor // that may be snubbers on AC, least first
	movs          []*catalog.MOV       // in stock first, then by price, then by id
	film          []*catalog.Capacitor // that keep their value at a voltage, least first
	transistors   []catalog.Part       // that may be level shifters, cheapest first
	uppers        []catalog.Part       // that may lift a gate, cheapest first
	leastResistor float64              // the lowest price of a resistor, 0 where none is known
	shifters      *bounded             // level shifters of this run, by shiftKey; nil remembers nothing
	lows          *bounded             // loads at their lowest rail, by load; nil remembers nothing
	fused         *bounded             // verdicts of every fuse for a load, by load and policy; nil remembers nothing
	scratch       *sync.Pool           // of *design.Design

	// Brief leaves out what no row shows: elements and nominal values.
	Brief bool
}

// NewEnv sorts the helpers once for a run.
func NewEnv(j *job.Job, cat *catalog.Catalog, pol *catalog.Policy) *Env {
	e := &Env{relays: new(relayMemo), Pin: j.Pin, Air: j.Env, PinRail: j.Pin.Rail(), Policy: pol, Catalog: cat}
	e.commonRails(j)
	for i := range cat.Resistors {
		e.Resistors = append(e.Resistors, &cat.Resistors[i])
	}
	for i := range cat.HeatSinks {
		e.Sinks = append(e.Sinks, &cat.HeatSinks[i])
	}
	for i := range cat.Insulators {
		e.Insulators = append(e.Insulators, &cat.Insulators[i])
	}
	byThrift(e.Resistors)
	byThrift(e.Sinks)
	e.cool = coolest(e.Sinks)
	for i := range cat.Fuses {
		e.Fuses = append(e.Fuses, &cat.Fuses[i])
	}
	byThrift(e.Fuses)
	byThrift(e.Insulators)
	e.Clamps = clamp.NewHelpers(cat)
	e.film, e.acFilm = filmsOf(cat), acFilmOf(cat)
	for i := range cat.MOVs {
		e.movs = append(e.movs, &cat.MOVs[i])
	}
	byThrift(e.movs)
	e.transistors, e.uppers, e.shifters, e.lows = transistorsOf(cat, "npn", "n"), transistorsOf(cat, "pnp", "p"), new(bounded), new(bounded)
	e.fused = new(bounded)
	e.scratch = &sync.Pool{New: func() any { return new(design.Design) }}
	e.leastResistor = leastPrice(e.Resistors, func(*catalog.ResistorSeries) float64 { return 0 })
	return e
}

// borrow is a design to write a trial in, which giveBack takes again: what is kept
// of it is cloned first.
func (e *Env) borrow() *design.Design {
	if e.scratch == nil {
		return new(design.Design)
	}
	return e.scratch.Get().(*design.Design)
}

func (e *Env) giveBack(d *design.Design) {
	if e.scratch != nil {
		e.scratch.Put(d)
	}
}

// byThrift sorts parts: those in the drawer first, then by price (unknown
// last), then by id.
func byThrift[P catalog.Part](parts []P) {
	slices.SortFunc(parts, func(a, b P) int {
		x, y := a.Base(), b.Base()
		if x.Stocked != y.Stocked {
			if x.Stocked {
				return -1
			}
			return 1
		}
		if p, q := priceOf(x), priceOf(y); p != q {
			if p < q {
				return -1
			}
			return 1
		}
		return strings.Compare(x.ID, y.ID)
	})
}

// leastPrice is the lowest price that is known among parts, each with what stands
// beside it, 0 where none is.
func leastPrice[P catalog.Part](parts []P, beside func(P) float64) float64 {
	least := math.Inf(1)
	for _, p := range parts {
		least = min(least, priceOf(p.Base())+beside(p))
	}
	if math.IsInf(least, 1) {
		return 0
	}
	return least
}

// leastBeside is the lowest price of the resistors that a transistor cannot do
// without: at its base and across it, or across its gate; before the gate too where
// the pin drives it and a link would overload that.
func (e *Env) leastBeside(sw catalog.Part, byPin bool) float64 {
	switch p := sw.(type) {
	case *catalog.BJT:
		if !p.RBEIntMax.Known() {
			return 2 * e.leastResistor
		}
	case *catalog.MOSFET:
		if byPin && e.gateNeedsResistor() {
			return 2 * e.leastResistor
		}
	}
	return e.leastResistor
}

// gateNeedsResistor reports whether a gate right on the pin overloads it.
func (e *Env) gateNeedsResistor() bool {
	most := min(float64(e.Pin.PeakMax), float64(e.Pin.SinkPeakMax))
	return most > 0 && float64(e.Pin.SupplyMax)/most > float64(e.Pin.ROutMin)
}

func priceOf(c *catalog.Common) float64 {
	if c.Price == nil {
		return math.Inf(1)
	}
	return c.Price.Amount
}

// Model works a load out for this run and does once what depends on the load
// alone: its clamp menu.
func (e *Env) Model(l *job.Load) *load.Model {
	m := e.BareModel(l)
	if to, ok := m.Memo.(*turnOff); ok {
		to.menu = clamp.Menu(&to.winding, e.Policy, e.Clamps)
	}
	return m
}

// OutlineModel is Model for a load that meets few switches, as a coil does: the
// clamps of its menu are without checks, of which only those of the chosen one
// are wanted.
func (e *Env) OutlineModel(l *job.Load) *load.Model {
	m := e.BareModel(l)
	if to, ok := m.Memo.(*turnOff); ok {
		to.menu = clamp.Outlines(&to.winding, e.Policy, e.Clamps)
	}
	return m
}

// BareModel is Model without the clamp menu, for a stage whose clamp is given.
func (e *Env) BareModel(l *job.Load) *load.Model {
	m := load.New(l, e.Air, e.ledResistor)
	if m.Inductive && !m.Rail.AC { // what stands across a winding on AC is no clamp of this menu
		m.Memo = &turnOff{winding: windingOf(m, e.Brief)}
	} else if m.Inductive {
		m.Memo = e.snubbersFor(m)
	} else if m.Limitable() {
		m.Memo = new(limits)
	}
	return m
}

// link is what stands for a series resistor that is not there, ohm: with it the
// current is absurd, and every check says so.
const link = 1e-3

// withSeries is a bare LED with the series resistor that is stated.
func (e *Env) withSeries(l *load.Model, g GivenResistor) *load.Model {
	r := link
	if !g.None {
		r = max(link, g.Ohms)
	}
	m := load.New(&l.Load, l.Ambient, func(float64) (float64, float64) { return r, g.Tol })
	if m.Inductive {
		to := &turnOff{winding: windingOf(m, e.Brief)}
		to.menu = clamp.Menu(&to.winding, e.Policy, e.Clamps)
		m.Memo = to
	}
	return m
}

// turnOff is what a load's winding does at turn-off, worked out once per load.
type turnOff struct {
	winding clamp.Winding
	menu    []clamp.Option
}

// ledResistor picks a bare LED's series resistor: the next value that does not
// exceed its nominal current.
func (e *Env) ledResistor(ohms float64) (r, tol float64) {
	for _, s := range e.Resistors {
		if v, ok := nextUp(s, ohms); ok {
			return v, float64(s.Tolerance.Or(0.05))
		}
	}
	return ohms, 0.05
}

// With is the environment of an edited job: the same catalogue and policy, the
// sorted helpers kept. What is remembered of coils is kept too where the edit
// does not touch what a coil sees; else the driver of coils is the caller's to
// set, and fresh says so.
func (e *Env) With(j *job.Job) (n *Env, fresh bool) {
	c := *e
	n = &c
	n.Pin, n.Air, n.PinRail = j.Pin, j.Env, j.Pin.Rail()
	n.Common = nil
	n.commonRails(j)
	if n.Pin == e.Pin && n.Air == e.Air && slices.Equal(n.Common, e.Common) {
		return n, false
	}
	n.Driver, n.relays, n.shifters = nil, new(relayMemo), new(bounded)
	return n, true
}

func (e *Env) commonRails(j *job.Job) {
	for _, r := range j.Rails {
		if r.CommonPin && !r.AC && !r.Hazardous {
			e.Common = append(e.Common, r)
		}
	}
	e.Common = append(e.Common, e.PinRail)
}
