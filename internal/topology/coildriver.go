package topology

import (
	"math"
	"slices"
	"sync"
	"sync/atomic"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/clamp"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/load"
)

// maxRemembered bounds what a run remembers of coils and menus. Past it, an
// answer is worked out again; it is the same answer.
const maxRemembered = 2048

// relayMemo remembers, within one run, what several relay designs have in
// common. What it holds is shared and never changed.
type relayMemo struct {
	drivers, models, menus, built bounded
}

// bounded is a map that takes so many entries and then no more.
type bounded struct {
	m sync.Map
	n atomic.Int32
}

func (b *bounded) get(key any) (any, bool) { return b.m.Load(key) }

func (b *bounded) put(key, v any) {
	if b.n.Add(1) <= maxRemembered {
		b.m.Store(key, v)
	}
}

// coilKey is everything that a coil's driver depends on, by value: a part whose
// figures are changed on trial is another coil. Numbers are kept as bits, which
// hash in one go.
type coilKey struct {
	policy                *catalog.Policy
	cat                   *catalog.Catalog
	name, rail, unpowered string
	bits                  [26]uint64
}

// builtCoil is a coil with a driver that is given whole.
type builtCoil struct {
	coil  coilKey
	given *Given
}

func keyOf(e *Env, l *job.Load) coilKey {
	k := coilKey{policy: e.Policy, cat: e.Catalog, name: l.Name, rail: l.Rail.Name, unpowered: l.Unpowered}
	// Quantities are never negative: -1 says that one is not stated.
	for i, v := range [len(k.bits)]float64{
		float64(l.Rail.Min), float64(l.Rail.Nom), float64(l.Rail.Max), float64(l.Rail.CurrentMax.Or(-1)),
		float64(l.R.Or(-1)), float64(l.Tolerance), float64(l.L.Or(-1)), float64(l.MustOperate.Value), float64(l.MustRelease.Value),
		float64(l.RthCoil.Value), flag(l.RthCoil.Known), flag(l.MustOperate.Known), flag(l.MustRelease.Known),
		float64(l.ReleaseCurrent.Or(-1)), float64(l.OffCurrent.Value), float64(l.MechRelease.Or(-1)), float64(l.ReleaseWithin.Or(-1)),
		float64(l.Rate), float64(l.Duty), float64(l.DutyMin), float64(l.DutyMax), float64(l.CopperArea), flag(l.DutyEnforced), flag(e.Brief), flag(l.Reversing), float64(l.Quantity),
	} {
		k.bits[i] = math.Float64bits(v)
	}
	return k
}

func flag(b bool) float64 {
	if b {
		return 1
	}
	return 0
}

// coilDriver designs the driver of a coil: free, or as given. It is nil where
// nothing can drive it.
func (e *Env) coilDriver(coil *job.Load, given *Given) *design.Design {
	if !coil.R.Known() {
		return nil
	}
	free := given.DriverPart == "" && given.DriverTopology == "" && given.Driver == nil
	if free && e.Driver == nil {
		return nil
	}
	memo := e.relays
	if memo == nil {
		memo = new(relayMemo)
	}
	var key any = keyOf(e, coil)
	if free {
		if d, ok := memo.drivers.get(key); ok {
			return d.(*design.Design)
		}
	}
	if !free && given.Driver != nil && given.Driver.Clamp.Said { // no menu is needed
		built := builtCoil{key.(coilKey), given}
		if d, ok := memo.built.get(built); ok {
			return d.(*design.Design)
		}
		d := e.givenDriver(e.BareModel(coil), given)
		if d != nil {
			memo.built.put(built, d)
		}
		return d
	}
	m, ok := memo.models.get(key)
	if !ok {
		m = e.OutlineModel(coil)
		memo.models.put(key, m)
	}
	if !free {
		return e.givenDriver(m.(*load.Model), given)
	}
	d := e.Driver(m.(*load.Model))
	if d != nil {
		memo.drivers.put(key, d)
	}
	return d
}

// DrivesCoils reports whether a relay's coil may be driven by a topology.
func DrivesCoils(t Topology) bool {
	d, ok := t.(interface{ DrivesCoils() bool })
	return ok && d.DrivesCoils()
}

// givenDriver designs the driver that is stated: a part, a topology, or both;
// where one is not said, the best verdict, then the cheapest.
func (e *Env) givenDriver(m *load.Model, given *Given) *design.Design {
	var best *design.Design
	values := given.Driver
	if values == nil {
		values = &Given{}
	}
	for _, t := range All() {
		if !DrivesCoils(t) || given.DriverTopology != "" && t.ID() != given.DriverTopology || !takesAll(t, m, values) {
			continue
		}
		for _, sw := range e.switches(given.DriverPart) {
			if t.Serves(e, m, sw) != "" {
				continue
			}
			d := new(design.Design)
			t.Design(e, m, sw, values, d)
			if best == nil || d.Verdict < best.Verdict || d.Verdict == best.Verdict && cheaper(d.Cost.Amount, best.Cost.Amount) {
				best = d
			}
		}
	}
	return best
}

// takesAll reports whether a topology has a place for every resistor that is said
// to be there: a base resistor says that the driver is a bipolar transistor.
func takesAll(t Topology, m *load.Model, g *Given) bool {
	says, ok := t.(interface{ Takes(*load.Model) []string })
	if !ok {
		return true
	}
	keys := says.Takes(m)
	for _, k := range g.resistors() {
		if !slices.Contains(keys, k) {
			return false
		}
	}
	return true
}

// switches are the parts that may drive a coil: the one of that id, or all.
func (e *Env) switches(id string) []catalog.Part {
	if id == catalog.PinID {
		return []catalog.Part{PinPart()}
	}
	if id != "" {
		if p, ok := e.Catalog.Part(id); ok {
			return []catalog.Part{p}
		}
		return nil
	}
	parts := make([]catalog.Part, 0, 1+len(e.Catalog.BJTs)+len(e.Catalog.MOSFETs))
	parts = append(parts, PinPart())
	for i := range e.Catalog.BJTs {
		parts = append(parts, &e.Catalog.BJTs[i])
	}
	for i := range e.Catalog.MOSFETs {
		parts = append(parts, &e.Catalog.MOSFETs[i])
	}
	for i := range e.Catalog.Arrays {
		parts = append(parts, &e.Catalog.Arrays[i])
	}
	return parts
}

type menuKey struct {
	of     *turnOff
	within float64
}

// menuWithin is the clamp menu of a winding that must let go within so many
// seconds, where a relay takes a part of the job's time for itself.
func (e *Env) menuWithin(to *turnOff, within float64) []clamp.Option {
	within = coarser(within)
	key := menuKey{to, within}
	if e.relays != nil {
		if m, ok := e.relays.menus.get(key); ok {
			return m.([]clamp.Option)
		}
	}
	w := to.winding
	w.ReleaseWithin = design.Known(within)
	m := clamp.Outlines(&w, e.Policy, e.Clamps)
	if e.relays != nil {
		e.relays.menus.put(key, m)
	}
	return m
}

// coarser is a time on a grid of 24 steps a decade, at or under t: relays that
// leave nearly the same time share a menu, and none is promised more than it has.
func coarser(t float64) float64 {
	if t <= 0 {
		return t
	}
	const steps = 24
	return min(t, math.Pow(10, math.Floor(math.Log10(t)*steps)/steps))
}
