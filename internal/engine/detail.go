package engine

import (
	"context"
	"fmt"
	"strings"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/load"
	"example.org/pinhoist/internal/topology"
)

// NoSuchDesign is the error of a key that names no design of the job.
type NoSuchDesign struct{ Key, Why string }

// Error says which design, and why there is none.
func (e *NoSuchDesign) Error() string { return fmt.Sprintf("no design %s: %s", e.Key, e.Why) }

// bench is one design under study: made once, then made again with something
// changed.
type bench struct {
	ctx    context.Context
	in     *Input
	env    *topology.Env
	all    []topology.Topology
	l      *job.Load
	m      *load.Model
	t      topology.Topology
	sw     catalog.Part
	given  *topology.Given // as asked: empty, or as built
	d      *design.Design
	frozen *topology.Given // every value as d has it
	driver *driver
	trial  design.Design // scratch of the trials
}

// Detail makes one design again with checks, fixes, load factor, missing
// figures and promises. A key that names no design is a *NoSuchDesign.
func Detail(ctx context.Context, in *Input, key string) (*Detailed, error) {
	r := newRun(in, false)
	b, err := r.bench(ctx, key)
	if err != nil {
		return nil, err
	}
	out := &Detailed{Row: r.row(b.d, b.t, b.sw), Design: b.d, Fixes: make([][]Fix, len(b.d.Checks))}
	out.Load = r.collectHead(b.l, b.m)
	b.brief(r)
	out.Factor = b.loadFactor()
	out.Promises = b.promises()
	out.Missing = b.missing()
	b.fixes(out.Fixes)
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	return out, nil
}

func (r *run) collectHead(l *job.Load, m *load.Model) LoadResult {
	return r.collect(&job.Load{Name: l.Name, Assumed: l.Assumed}, m, nil)
}

// bench finds the design of a key and makes it in full.
func (r *run) bench(ctx context.Context, key string) (*bench, error) {
	b := &bench{ctx: ctx, in: r.in, env: r.env, all: r.topologies}
	rest := ""
	for _, l := range r.loads {
		if after, ok := strings.CutPrefix(key, l.Name+"/"); ok {
			b.l, rest = l, after
		}
	}
	parts := strings.Split(rest, "/")
	if b.l == nil || len(parts) < 2 || len(parts) > 3 {
		return nil, &NoSuchDesign{key, "it names no load of the job, or not load/part/topology"}
	}
	var why string
	if b.t, b.sw, why = r.find(parts[0], parts[1]); why != "" {
		return nil, &NoSuchDesign{key, why}
	}
	b.m = r.env.Model(b.l)
	b.given = &topology.Given{}
	if len(parts) == 3 {
		built := b.l.Built
		if parts[2] != topology.BuiltVariant || built == nil || built.Part != parts[0] || built.Topology != parts[1] {
			return nil, &NoSuchDesign{key, "the job states no such stage as built"}
		}
		b.given = topology.FromBuilt(built)
	}
	why = b.t.Serves(r.env, b.m, b.sw)
	if why == "" && b.given.Stated {
		why = topology.Untaken(topology.Of(b.t, b.sw), b.l.Built, b.m)
	}
	if why == "" && b.given.Stated {
		why = topology.Unheld(b.l.Built, r.in.Catalog)
	}
	if why != "" {
		if why == topology.WrongPart {
			why = b.sw.Base().ID + " is not a part for " + b.t.ID()
		}
		return nil, &NoSuchDesign{key, why}
	}
	b.d = new(design.Design)
	b.t.Design(b.env, b.m, b.sw, b.given, b.d)
	return b, nil
}

// brief makes further trials cheap: they need no elements.
func (b *bench) brief(r *run) {
	b.env = r.newEnv(b.in.Job, true)
	b.driver = newDriver(b.env, r.topologies)
	b.frozen = topology.Freeze(b.d)
}

// again makes the stage as it stands for another model or part.
func (b *bench) again(env *topology.Env, m *load.Model, sw catalog.Part, given *topology.Given) *design.Design {
	b.t.Design(env, m, sw, given, &b.trial)
	return &b.trial
}

// find is the check of an id and stage in a design, nil if it is not there.
func find(d *design.Design, id design.CheckID, st design.Stage) *design.Check {
	for i := range d.Checks {
		if d.Checks[i].ID == id && d.Checks[i].Stage == st {
			return &d.Checks[i]
		}
	}
	return nil
}

func limiting(d *design.Design) (design.CheckID, design.Stage) {
	if d.Limiting < 0 {
		return 0, design.StageSelf
	}
	return d.Checks[d.Limiting].ID, d.Checks[d.Limiting].Stage
}
