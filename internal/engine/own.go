package engine

import (
	"context"
	"slices"

	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/topology"
)

// Own is how one part of a catalogue does for one load of a job, beside all others.
type Own struct {
	Load      *LoadResult      // the answer for the load, of all parts
	Rows      []*Row           // the designs around this part, the best first, then the plainest
	Designs   []*design.Design // of each row, with its checks
	Place     int              // of the first of them among all rows by cost, from 1; 0: none
	Best      *Detailed        // the first of them; nil: none
	NotServed []NotServed      // why no topology uses it
	UsedIn    int              // designs around other parts that take it as a helper
}

// AssessOwn asks for the load of that name and picks out the part. An unknown load or
// part has no rows.
func AssessOwn(ctx context.Context, in *Input, load, part string) (*Own, error) {
	res, err := Assess(ctx, in, Options{})
	if err != nil {
		return nil, err
	}
	own := &Own{}
	for i := range res.Loads {
		if res.Loads[i].Name == load {
			own.Load = &res.Loads[i]
		}
	}
	if own.Load == nil {
		return own, nil
	}
	for i := range own.Load.Rows {
		r := &own.Load.Rows[i]
		if r.Part == part {
			own.Rows = append(own.Rows, r)
		} else if slices.ContainsFunc(r.Uses, func(u Use) bool { return u.Part == part }) {
			own.UsedIn++
		}
	}
	for _, n := range own.Load.NotServed {
		if n.Part == part {
			own.NotServed = append(own.NotServed, n)
		}
	}
	if len(own.Rows) == 0 {
		return own, nil
	}
	// Behind the best the ways stand from the plainest on, as the topologies are listed.
	all := topology.All()
	place := func(r *Row) int {
		return slices.IndexFunc(all, func(t topology.Topology) bool { return t.ID() == r.Topology })
	}
	slices.SortStableFunc(own.Rows[1:], func(a, b *Row) int { return place(a) - place(b) })
	own.Place = 1 + slices.IndexFunc(own.Load.Rows, func(r Row) bool { return r.Key == own.Rows[0].Key })
	for r, i := newRun(in, false), 0; i < len(own.Rows); i++ {
		b, err := r.bench(ctx, own.Rows[i].Key)
		if err != nil {
			return own, err
		}
		own.Designs = append(own.Designs, b.d)
	}
	own.Best, err = Detail(ctx, in, own.Rows[0].Key)
	return own, err
}
