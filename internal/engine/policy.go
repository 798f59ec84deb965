package engine

import (
	"context"
	"slices"
	"strings"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/topology"
)

// PolicyNote is what must be said of a policy wherever its factors are used.
type PolicyNote struct {
	Source     string
	FromMemory bool     // nobody held the factors against the source
	LookUp     string   // the table to do so with
	FromBench  []string // classes that the source does not have: bench's factors
}

func noteOf(p *catalog.Policy) PolicyNote {
	return PolicyNote{Source: p.Source, FromMemory: p.FromMemory, LookUp: p.LookUp, FromBench: p.FromBench}
}

// Refusal is what a policy refuses by itself for one load: parts that have no
// design that fits with it, and one that fits by the stated limits alone.
type Refusal struct {
	Load  string
	Parts []string // by id
	Built bool     // the stage as built is refused so
}

// Refused asks again, with no margin at all, for the parts of a result that do
// not fit, and lists for each load those that the policy alone refuses. Under
// the stated limits themselves there are none. A cancelled call returns the
// context's error.
func Refused(ctx context.Context, in *Input, res *Result) ([]Refusal, error) {
	bare, err := catalog.PolicyByName("none")
	if err != nil {
		return nil, err
	}
	free := *in
	free.Policy = bare
	r := newRun(&free, true)
	var out []Refusal
	for i := range res.Loads {
		l := r.load(res.Loads[i].Name)
		if l < 0 {
			continue
		}
		f, err := r.refused(ctx, &res.Loads[i], l)
		if err != nil {
			return nil, err
		}
		if len(f.Parts) > 0 || f.Built {
			out = append(out, f)
		}
	}
	return out, nil
}

// load is the place of a load of that name, -1 where there is none.
func (r *run) load(name string) int {
	for i, l := range r.loads {
		if l.Name == name {
			return i
		}
	}
	return -1
}

// refused asks for one load.
func (r *run) refused(ctx context.Context, res *LoadResult, place int) (Refusal, error) {
	out := Refusal{Load: res.Name}
	m := r.env.Model(r.loads[place])
	var fit, not []string
	for i := range res.Rows {
		switch row := &res.Rows[i]; {
		case row.Built:
		case row.Verdict == design.Fits:
			fit = append(fit, row.Part)
		default:
			not = append(not, row.Part)
		}
	}
	var room scratch
	for _, sw := range r.switches {
		id := sw.Base().ID
		if !slices.Contains(not, id) || slices.Contains(fit, id) {
			continue
		}
		if err := ctx.Err(); err != nil {
			return out, err
		}
		if slices.ContainsFunc(r.assess(m, sw, &room).rows, func(r Row) bool { return r.Verdict == design.Fits }) {
			out.Parts = append(out.Parts, id)
		}
	}
	slices.SortFunc(out.Parts, strings.Compare)
	for i := range res.Rows {
		if row := &res.Rows[i]; row.Built && row.Verdict != design.Fits {
			out.Built = r.builtFits(place)
		}
	}
	return out, nil
}

// builtFits reports whether a load's stage as built fits.
func (r *run) builtFits(place int) bool {
	l := r.loads[place]
	t, sw, why := r.find(l.Built.Part, l.Built.Topology)
	if why != "" {
		return false
	}
	var d design.Design
	t.Design(r.env, r.env.Model(l), sw, topology.FromBuilt(l.Built), &d)
	return d.Verdict == design.Fits
}
