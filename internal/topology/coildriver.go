package topology

import (
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
const maxRemembered = 512

// relayMemo remembers, within one run, what several relay designs have in
// common. What it holds is shared and never changed.
type relayMemo struct {
	drivers, menus sync.Map
	nDrivers, nMen atomic.Int32
}

// coilKey is everything that a coil's driver depends on, by value: a part whose
// figures are changed on trial is another coil.
type coilKey struct {
	policy                           *catalog.Policy
	cat                              *catalog.Catalog
	brief                            bool
	name, rail, unpowered            string
	vmin, vnom, vmax, limit          float64
	r, tol, l, operate, release, rth float64
	hasL, hasRth, hasMech, hasWithin bool
	iRelease, iOff, mech, within     float64
	rate, dutyMin, dutyMax, copper   float64
	enforced                         bool
}

func keyOf(e *Env, l *job.Load) coilKey {
	k := coilKey{policy: e.Policy, cat: e.Catalog, brief: e.Brief, name: l.Name, rail: l.Rail.Name, unpowered: l.Unpowered,
		vmin: float64(l.Rail.Min), vnom: float64(l.Rail.Nom), vmax: float64(l.Rail.Max), limit: float64(l.Rail.CurrentMax.Or(-1)),
		r: float64(l.R.Or(-1)), tol: float64(l.Tolerance), operate: float64(l.MustOperate.Value), release: float64(l.MustRelease.Value),
		rth: float64(l.RthCoil.Value), hasRth: l.RthCoil.Known,
		iRelease: float64(l.ReleaseCurrent.Or(-1)), iOff: float64(l.OffCurrent.Value),
		rate: float64(l.Rate), dutyMin: float64(l.DutyMin), dutyMax: float64(l.DutyMax), copper: float64(l.CopperArea), enforced: l.DutyEnforced}
	if v, ok := l.L.Get(); ok {
		k.l, k.hasL = float64(v), true
	}
	if v, ok := l.MechRelease.Get(); ok {
		k.mech, k.hasMech = float64(v), true
	}
	if v, ok := l.ReleaseWithin.Get(); ok {
		k.within, k.hasWithin = float64(v), true
	}
	return k
}

// coilDriver designs the driver of a coil: free, or as given. It is nil where
// nothing can drive it.
func (e *Env) coilDriver(coil *job.Load, given *Given) *design.Design {
	if !coil.R.Known() {
		return nil
	}
	if given.DriverPart != "" || given.Driver != nil {
		return e.givenDriver(e.Model(coil), given)
	}
	if e.Driver == nil {
		return nil
	}
	if e.relays == nil {
		return e.Driver(e.Model(coil))
	}
	key := keyOf(e, coil)
	if d, ok := e.relays.drivers.Load(key); ok {
		return d.(*design.Design)
	}
	d := e.Driver(e.Model(coil))
	if d != nil && e.relays.nDrivers.Add(1) <= maxRemembered {
		e.relays.drivers.Store(key, d)
	}
	return d
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
		if t.ID() == (relay{}).ID() || given.DriverTopology != "" && t.ID() != given.DriverTopology {
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
	return parts
}

type menuKey struct {
	of     *turnOff
	within float64
}

// menuWithin is the clamp menu of a winding that must let go within so many
// seconds, where a relay takes a part of the job's time for itself.
func (e *Env) menuWithin(to *turnOff, within float64) []clamp.Option {
	key := menuKey{to, within}
	if e.relays != nil {
		if m, ok := e.relays.menus.Load(key); ok {
			return m.([]clamp.Option)
		}
	}
	w := to.winding
	w.ReleaseWithin = design.Known(within)
	m := clamp.Menu(&w, e.Policy, e.Clamps)
	if e.relays != nil && e.relays.nMen.Add(1) <= maxRemembered {
		e.relays.menus.Store(key, m)
	}
	return m
}
