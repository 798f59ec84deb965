package engine

import (
	"cmp"
	"context"
	"math"
	"runtime"
	"slices"
	"strings"
	"sync"
	"sync/atomic"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/load"
	"example.org/pinhoist/internal/topology"
)

// run is one question being answered.
type run struct {
	in         *Input
	env        *topology.Env
	topologies []topology.Topology
	switches   []catalog.Part // sorted by kind and id, the pin first
	models     []*load.Model  // beside loads
	loads      []*job.Load    // sorted by name
}

func newRun(in *Input, brief bool) *run {
	r := &run{in: in, topologies: in.Topologies}
	if r.topologies == nil {
		r.topologies = topology.All()
	}
	r.env = r.newEnv(in.Job, brief)
	r.switches = append([]catalog.Part{topology.PinPart()}, sorted(in.Catalog.Switches())...)
	for i := range in.Job.Loads {
		r.loads = append(r.loads, &in.Job.Loads[i])
	}
	slices.SortFunc(r.loads, func(a, b *job.Load) int { return strings.Compare(a.Name, b.Name) })
	return r
}

// sorted puts switches, which come kind by kind, in the order of their ids, for
// a catalogue that was not loaded but put together in some other order.
func sorted(switches []catalog.Part) []catalog.Part {
	byID := func(a, b catalog.Part) int { return strings.Compare(a.Base().ID, b.Base().ID) }
	for i, j := 0, 0; i < len(switches); i = j {
		for j < len(switches) && switches[j].Kind() == switches[i].Kind() {
			j++
		}
		slices.SortFunc(switches[i:j], byID)
	}
	return switches
}

func (r *run) newEnv(j *job.Job, brief bool) *topology.Env {
	env := topology.NewEnv(j, r.in.Catalog, r.in.Policy)
	env.Brief = brief
	env.Driver = newDriver(env, r.topologies).design
	return env
}

// Assess makes a row of every design of the job. A cancelled call returns the
// context's error and no rows. The bytes do not depend on the order of the
// catalogue or loads, nor on the number of workers.
func Assess(ctx context.Context, in *Input, opt Options) (*Result, error) {
	r := newRun(in, true)
	for _, l := range r.loads {
		r.models = append(r.models, r.env.Model(l))
	}
	slots := make([][]slot, len(r.loads))
	for i := range slots {
		slots[i] = make([]slot, len(r.switches))
	}
	if err := r.fill(ctx, slots, opt.Workers); err != nil {
		return nil, err
	}
	res := &Result{CatalogDigest: in.Catalog.Digest, JobDigest: in.Job.Digest, Policy: in.Policy.Name, Note: noteOf(in.Policy)}
	for i, l := range r.loads {
		res.Loads = append(res.Loads, r.collect(l, r.models[i], slots[i]))
	}
	res.Together = together(ctx, in, res.Loads)
	return res, nil
}

// slot is what one switch gives for one load.
type slot struct {
	rows      []Row
	notServed []NotServed
}

// block is how many switches a worker takes at a time.
const block = 16

func (r *run) fill(ctx context.Context, slots [][]slot, workers int) error {
	if workers <= 0 {
		workers = runtime.GOMAXPROCS(0)
	}
	var next atomic.Int64
	total := int64(len(r.loads) * len(r.switches))
	var wg sync.WaitGroup
	var fault atomic.Pointer[any]
	for range workers {
		wg.Go(func() {
			// A fault of the engine is the caller's to see, not a worker's to die of.
			defer func() {
				if x := recover(); x != nil {
					fault.CompareAndSwap(nil, &x)
				}
			}()
			var room scratch
			for {
				from := next.Add(block) - block
				if from >= total {
					return
				}
				for k := from; k < min(from+block, total); k++ {
					if ctx.Err() != nil {
						return
					}
					l, s := int(k)/len(r.switches), int(k)%len(r.switches)
					slots[l][s] = r.assess(r.models[l], r.switches[s], &room)
				}
			}
		})
	}
	wg.Wait()
	if x := fault.Load(); x != nil {
		panic(*x)
	}
	return ctx.Err()
}

// scratch is what a worker writes over for each switch.
type scratch struct {
	d    design.Design
	rows []Row
}

// assess makes the rows of one switch for one load.
func (r *run) assess(m *load.Model, sw catalog.Part, room *scratch) (s slot) {
	known, rows := false, room.rows[:0]
	for _, t := range r.topologies {
		switch why := t.Serves(r.env, m, sw); why {
		case "":
			known = true
			t.Design(r.env, m, sw, &topology.Given{}, &room.d)
			rows = append(rows, r.row(&room.d, t, sw))
		case topology.WrongPart:
		default:
			known = true
			s.notServed = append(s.notServed, NotServed{Part: sw.Base().ID, Topology: t.ID(), Why: why})
		}
	}
	s.rows, room.rows = slices.Clone(rows), rows
	if !known {
		s.notServed = append(s.notServed, NotServed{Part: sw.Base().ID, Why: "no topology of this version uses this kind of part"})
	}
	return s
}

func (r *run) row(d *design.Design, t topology.Topology, sw catalog.Part) Row {
	c, side := sw.Base(), topology.Of(t, sw).Side()
	row := Row{Key: d.Key(), Part: d.Part, Title: c.Title, Topology: d.Topology, Variant: d.Variant,
		Kind: sw.Kind(), Package: c.Package, Side: side, Isolated: side == "any" && sw.Kind() != catalog.KindPin,
		Stock: -1, Stocked: c.Stocked, Verdict: d.Verdict, Headroom: d.Headroom, Cost: d.Cost, Built: d.Variant == topology.BuiltVariant}
	// Copies of their own, and nil where empty: d may be a scratch that was used before.
	row.Cost.Missing = append([]string(nil), d.Cost.Missing...)
	row.PinSource, row.PinSink, row.Draws = d.PinCurrent, d.PinSink, append([]design.Draw(nil), d.Draws...)
	row.Pins = d.Pins
	if c.Stock != nil {
		row.Stock = *c.Stock
	}
	if p := r.in.Catalog.PackageOf(c); p != nil {
		row.Mount = p.Mount
	}
	for i := range d.Checks {
		if d.Checks[i].Verdict == design.Unproven {
			row.Unproven++
		}
	}
	if d.Limiting >= 0 {
		k := &d.Checks[d.Limiting]
		row.Limiting = &Limit{k.ID, k.Stage}
	}
	for _, v := range d.Values {
		switch v.Key {
		case design.PTotal:
			row.Heat = design.Known(v.V)
		case design.LifeYears:
			row.Life = design.Known(v.V)
		case design.TRelease:
			row.TurnOff = design.Known(v.V)
		case design.TDecay:
			if !row.TurnOff.OK {
				row.TurnOff = design.Known(v.V)
			}
		}
	}
	for _, b := range d.BOM {
		row.Parts += b.Count
	}
	if row.Built || row.Verdict == design.Fits {
		row.Share = d.Share
		if d.Driver != nil && row.Share.Channels == 0 {
			row.Share = d.Driver.Share
		}
		row.Uses = usesOf(r.in.Catalog, d.BOM)
	}
	return row
}

// collect puts the slots of a load together, the stage as built first.
func (r *run) collect(l *job.Load, m *load.Model, slots []slot) LoadResult {
	out := LoadResult{Name: l.Name, Assumed: l.Assumed, Built: l.Built != nil}
	for _, id := range topology.LoadCautions(r.env, m) {
		text := design.CautionText(id)
		if id == design.CautionMemory {
			text += " " + r.in.Policy.LookUp + "."
		}
		out.Cautions = append(out.Cautions, job.Caution{ID: id, Text: text})
	}
	n := 0
	for i := range slots {
		n += len(slots[i].rows)
	}
	out.Rows = make([]Row, 0, n+1)
	for i := range slots {
		out.Rows = append(out.Rows, slots[i].rows...)
		out.NotServed = append(out.NotServed, slots[i].notServed...)
	}
	if l.Built != nil {
		r.built(l, m, &out)
	}
	sortRows(out.Rows, ByCost)
	markFrontier(out.Rows)
	out.Helping = r.helping(l, m, out.Rows)
	return out
}

// built adds the stage as built: a row, or why it cannot be one.
func (r *run) built(l *job.Load, m *load.Model, out *LoadResult) {
	t, sw, why := r.find(l.Built.Part, l.Built.Topology)
	if why == "" {
		why = t.Serves(r.env, m, sw)
	}
	if why == "" {
		why = topology.Untaken(topology.Of(t, sw), l.Built, m)
	}
	if why == "" {
		why = topology.Unheld(l.Built, r.in.Catalog)
	}
	if why != "" {
		out.NotServed = append(out.NotServed, NotServed{Part: l.Built.Part, Topology: l.Built.Topology, Why: "as built: " + why})
		return
	}
	var d design.Design
	t.Design(r.env, m, sw, topology.FromBuilt(l.Built), &d)
	out.Rows = append(out.Rows, r.row(&d, t, sw))
}

// find looks up a switch and a topology by their ids.
func (r *run) find(part, topo string) (t topology.Topology, sw catalog.Part, why string) {
	for _, x := range r.topologies {
		if x.ID() == topo {
			t = x
		}
	}
	for _, x := range r.switches {
		if x.Base().ID == part {
			sw = x
		}
	}
	switch {
	case t == nil:
		return nil, nil, "no topology " + topo + " in this version"
	case sw == nil:
		return nil, nil, "no switch " + part + " in the catalogue"
	}
	return t, sw, ""
}

// TopologyIDs lists the topologies of this version.
func TopologyIDs() []string {
	var ids []string
	for _, t := range topology.All() {
		ids = append(ids, t.ID())
	}
	return ids
}

// markFrontier marks the rows that fit and that no other row that fits beats on
// cost and headroom both. A row without a cost is never on it.
func markFrontier(rows []Row) {
	var fit []int
	for i := range rows {
		rows[i].Frontier = false
		if rows[i].Verdict == design.Fits && rows[i].Cost.Amount.OK && rows[i].Headroom.OK {
			fit = append(fit, i)
		}
	}
	slices.SortStableFunc(fit, func(a, b int) int {
		return cmp.Or(cmp.Compare(rows[a].Cost.Amount.V, rows[b].Cost.Amount.V), -cmp.Compare(rows[a].Headroom.V, rows[b].Headroom.V))
	})
	best := math.Inf(-1)
	for _, i := range fit {
		if rows[i].Headroom.V > best {
			rows[i].Frontier, best = true, rows[i].Headroom.V
		}
	}
}
