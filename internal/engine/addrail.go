package engine

import (
	"slices"
	"strconv"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/load"
	"example.org/pinhoist/internal/topology"
)

// railWanting is a topology that may want a rail which the job lacks.
type railWanting interface {
	WantsRail(*topology.Env, *load.Model, catalog.Part, *design.Check) string
}

// Helping is a rail that a job lacks and with which parts fit, where none does without.
type Helping struct {
	Field, To string // the field of the job that adds it, and its voltage; "": there is none
	Topology  string // whose designs fit then
	Fits      int    // how many of them
}

// helping tries the rail that a topology wants for its gates.
func (r *run) helping(l *job.Load, m *load.Model, rows []Row) Helping {
	if r.in.Spec == nil || l.Built != nil || slices.ContainsFunc(rows, func(row Row) bool { return row.Verdict <= design.Tight }) {
		return Helping{}
	}
	for _, t := range r.topologies {
		wants, ok := t.(railWanting)
		if !ok {
			continue
		}
		volts := wants.WantsRail(r.env, m, nil, &design.Check{ID: design.GateDrive})
		if volts == "" {
			continue
		}
		h := Helping{Field: railField(r.in.Spec), To: volts, Topology: t.ID()}
		if h.Fits = r.with(t, l.Name, h.Field, volts); h.Fits > 0 {
			return h
		}
	}
	return Helping{}
}

// railField is the field of a job that adds a rail to it.
func railField(spec *job.Spec) string { return "rail[" + strconv.Itoa(len(spec.Rails)) + "].voltage" }

// with counts the designs of a topology that fit a load when a field of the job is set so.
func (r *run) with(t topology.Topology, name, field, to string) (fits int) {
	in := *r.in
	in.Spec = job.Clone(r.in.Spec)
	if job.Set(in.Spec, field, to) != nil {
		return 0
	}
	j, errs := job.Resolve(in.Spec)
	if errs.Fatal() {
		return 0
	}
	in.Job = j
	other := newRun(&in, true)
	var d design.Design
	for _, l := range other.loads {
		if l.Name != name {
			continue
		}
		m := other.env.Model(l)
		for _, sw := range other.switches {
			if t.Serves(other.env, m, sw) != "" {
				continue
			}
			if t.Design(other.env, m, sw, &topology.Given{}, &d); d.Verdict == design.Fits {
				fits++
			}
		}
	}
	return fits
}
