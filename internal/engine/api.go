// Package engine assesses every design of a job, details one, and arranges the
// answer. It knows no topology, does no input or output, holds no globals and
// reads no clock.
package engine

import (
	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/topology"
)

// Input is what every question is about. None of it is changed.
type Input struct {
	Job     *job.Job
	Spec    *job.Spec // the job as written, for fixes that edit it; nil: none are offered
	Catalog *catalog.Catalog
	Policy  *catalog.Policy
	// Topologies are those to try, in that order; nil: all of this version.
	Topologies []topology.Topology
}

// Options of Assess. They never change an answer.
type Options struct {
	Workers int // 0: one per core
}

// Limit names the check that runs out first.
type Limit struct {
	ID    design.CheckID
	Stage design.Stage
}

// Row is one design in short: the projection of its detail.
type Row struct {
	Key, Part, Title, Topology, Variant string
	Kind                                catalog.Kind
	Package                             string
	Mount                               string
	Side                                string // low, high, any
	Isolated                            bool
	Stock                               int // -1: unknown
	Stocked                             bool
	Verdict                             design.Verdict
	Headroom                            design.Number
	Limiting                            *Limit
	Unproven                            int // checks that are
	Cost                                design.Money
	Heat                                design.Number // p_total, W
	Parts                               int           // pieces in the bill of materials
	TurnOff                             design.Number // t_release, else t_decay, s
	Life                                design.Number // of a contact at the job's rate, years
	Built                               bool
	Frontier                            bool          // on the cost-headroom frontier of what fits
	PinSource, PinSink                  float64       // steady, of one pin, A
	Pins                                int           // of one stage, where it is more than one
	Draws                               []design.Draw // of one stage, from its rails
	Share                               design.Share  // of a package of an array, by the switch or what drives its coil
	Uses                                []Use         // what is bought for it, by id; kept where it fits or is built
}

// Use is a part of a stage and how many of it its load takes.
type Use struct {
	Part   string
	Count  int
	Switch bool // it is of a kind that switches
}

// NotServed is a switch that no topology can use for the load.
type NotServed struct{ Part, Topology, Why string }

// LoadResult is the answer for one load.
type LoadResult struct {
	Name      string
	Assumed   []job.Assumed
	Cautions  []job.Caution
	Built     bool  // the job states the stage as built
	Rows      []Row // ranked by cost: Arrange orders otherwise
	NotServed []NotServed
	Helping   Helping // a rail with which some part fits, where none does without
}

// Result is the answer for a job. It holds the digests of what it was asked.
type Result struct {
	CatalogDigest, JobDigest, Policy string
	Note                             PolicyNote
	Loads                            []LoadResult
	Together                         Together
}

// AllFit reports whether every load has a design that fits: for a load as
// built, the built one.
func (r *Result) AllFit() bool {
	for i := range r.Loads {
		if !r.Loads[i].fits() {
			return false
		}
	}
	return true
}

func (l *LoadResult) fits() bool {
	any := false
	for i := range l.Rows {
		fits := l.Rows[i].Verdict == design.Fits
		if l.Rows[i].Built {
			return fits
		}
		any = any || fits
	}
	return any && !l.Built
}

// FixKind is a job edit, a part or a value.
type FixKind string

// The kinds of fix.
const (
	FixJob   FixKind = "job"
	FixPart  FixKind = "part"
	FixValue FixKind = "value"
)

// FieldEconomy is the field of a fix that lowers a relay's coil once it has pulled in: no
// key of a job, but parts to put in, told in To.
const FieldEconomy = "coil economy"

// Fix is a change after which the check was seen to fit, by running again.
type Fix struct {
	Kind      FixKind
	Field     string // "load.current", "environment.ambient_max", "clamp", "r_base"
	From      string // as text with unit, exact
	To        string
	Value     float64 // SI, 0 for a part
	Unit      design.Unit
	ThenFails []design.CheckID // other checks that fail with it
}

// Missing is a figure that a data sheet must give, and what would suffice.
type Missing struct {
	Figure string
	Check  design.CheckID
	Stage  design.Stage
	Op     string // "<=" or ">="; "" where no value alone suffices
	Value  float64
	Unit   design.Unit
}

// Promise is a guaranteed figure the verdict rests on, with the value at which
// the verdict changes.
type Promise struct {
	Figure    string
	AtMost    bool // else at least
	Value     float64
	Unit      design.Unit
	Here      design.Number // what this part states there
	Condition string        // "stated at 4.5 V or less"
	Check     design.CheckID
	Stage     design.Stage
}

// LoadFactor is the multiple of the load current at which the stage as built
// first stops fitting.
type LoadFactor struct {
	Value float64
	Check design.CheckID
	Stage design.Stage
}

// Detailed is one design with everything solved for it.
type Detailed struct {
	Row      Row
	Design   *design.Design
	Load     LoadResult // without rows
	Fixes    [][]Fix    // beside Design.Checks
	Missing  []Missing  // most decisive first
	Factor   *LoadFactor
	Promises []Promise
}

// Order is a criterion to rank by.
type Order string

// The orders.
const (
	ByCost     Order = "cost"
	ByHeadroom Order = "headroom"
	ByHeat     Order = "heat"
	ByParts    Order = "parts"
	BySpeed    Order = "turn-off"
)

// View is how a result is looked at: order and filters. The zero View shows
// everything by cost.
type View struct {
	Order    Order
	Kind     catalog.Kind // "": any
	Side     string
	Mount    string
	Package  string
	Isolated bool // only isolated
	InStock  bool // only stock above zero or stocked
	MaxCost  design.Number
	Text     string // every word must be in part, title or topology
	HideOver bool
}

// Hidden is how many rows one filter hides by itself.
type Hidden struct {
	Filter string
	Count  int
}

// Arranged is a view of one load's rows. They are those of the answer, not copies of
// them, and are not to be changed.
type Arranged struct {
	Rows   []*Row
	Hidden []Hidden
	Total  int // rows before filters
}
