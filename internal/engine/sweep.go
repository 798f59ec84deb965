package engine

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/load"
	q "example.org/pinhoist/internal/quantity"
	"example.org/pinhoist/internal/topology"
)

// Sweepable is a quantity of a design that a sweep may move.
type Sweepable struct {
	// Field is the path of a key of the job ("rail[0].voltage", "load[1].current",
	// "environment.ambient_max"), or a resistor of the stage ("r_gate",
	// "driver.r_base").
	Field string
	Now   float64 // SI
	Unit  design.Unit
	Own   bool // it is the supply of the load itself
}

// SweepAsk says what is moved and how far.
type SweepAsk struct {
	Field  string  // of a Sweepable; "": the first one
	Span   float64 // a factor above 1 each way; 0: 2. Temperatures move by 20 K each way at 2, duties through all there is
	Points int     // of the grid, at least 2; 0: 61. Where verdicts change does not depend on it
}

// Swept is what a sweep finds, in the order of the quantity.
type Swept struct {
	Can       []Sweepable // every quantity of the design that may be asked for
	Of        Sweepable
	Span      float64
	Here      SweepPoint   // at the value that the job or the stage has
	Points    []SweepPoint // of the grid, and both sides of each crossing
	Crossings []Crossing
}

// SweepPoint is the stage at one value.
type SweepPoint struct {
	X        float64
	Out      string // why there is no such stage there; "": there is
	Verdict  design.Verdict
	Headroom design.Number
	Limiting *Limit
	Marks    []Mark // every check, in the order of its design
}

// Mark is a check at one point of a sweep.
type Mark struct {
	ID       design.CheckID
	Stage    design.Stage
	Verdict  design.Verdict
	Headroom design.Number
}

// Crossing is a place where the verdict of a check changes. The stage was made at
// both sides, which are neighbours among the values that can be printed: four
// digits, a tenth of a kelvin, a tenth of a per cent.
type Crossing struct {
	ID            design.CheckID
	Stage         design.Stage
	Ends          bool    // there is no such stage on one side: no check changes
	Low, High     float64 // SI
	Before, After design.Verdict
	Out           string // why there is none on one side; "": there is
	// The design's own verdict, which another check may decide.
	DesignBefore, DesignAfter design.Verdict
}

// Changes reports whether the verdict of the design changes there.
func (c *Crossing) Changes() bool { return c.Ends || c.DesignBefore != c.DesignAfter }

// Sweep holds a stage as it stands, every value as chosen, moves one quantity and
// says which verdict changes where. A load stays the same thing on another rail or
// pin (load.Held); its own current scales as for the load factor. The places are
// solved; a change and back again between two neighbours of the grid is not seen.
// A cancelled call returns the context's error. A key that names no design is a
// *NoSuchDesign, a quantity that the design does not have an error.
func Sweep(ctx context.Context, in *Input, key string, ask SweepAsk) (*Swept, error) {
	r := newRun(in, false)
	b, err := r.bench(ctx, key)
	if err != nil {
		return nil, err
	}
	b.brief(r)
	s := &sweep{b: b, at: map[float64]*SweepPoint{}}
	out := &Swept{Can: b.sweepables(), Span: ask.Span}
	if len(out.Can) == 0 {
		return nil, fmt.Errorf("nothing of %s can be moved", key)
	}
	i := 0
	if ask.Field != "" {
		i = slices.IndexFunc(out.Can, func(c Sweepable) bool { return c.Field == ask.Field })
	}
	if i < 0 {
		return nil, fmt.Errorf("%s has no %s that could be moved", key, ask.Field)
	}
	if !(out.Span > 1) {
		out.Span = 2
	}
	s.of, out.Of = out.Can[i], out.Can[i]
	s.design = b.mover(s.of)
	n := ask.Points
	if n < 2 {
		n = 61
	}
	out.Here = *s.point(s.of.Now)
	grid := s.grid(out.Span, n)
	for k := 1; k < len(grid); k++ {
		s.between(grid[k-1], grid[k])
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	slices.SortStableFunc(s.found, func(a, b Crossing) int {
		return cmp.Or(cmp.Compare(a.Low, b.Low), cmp.Compare(a.Stage, b.Stage), cmp.Compare(a.ID, b.ID))
	})
	out.Crossings = s.found
	for _, c := range s.found {
		grid = append(grid, c.Low, c.High)
	}
	slices.Sort(grid)
	for _, x := range slices.Compact(grid) {
		out.Points = append(out.Points, *s.point(x))
	}
	return out, nil
}

// sweepables lists what of the design can be moved, the rails first.
func (b *bench) sweepables() (out []Sweepable) {
	add := func(field string, now float64, u design.Unit) {
		if field != "" && (now > 0 || u == design.DegC) {
			out = append(out, Sweepable{Field: field, Now: now, Unit: u})
		}
	}
	i, j := b.loadIndex(), b.in.Job
	if b.in.Spec != nil && i >= 0 {
		of := "load[" + strconv.Itoa(i) + "]."
		add(b.field("rail.voltage"), float64(b.l.Rail.Nom), design.V)
		for k := range out {
			out[k].Own = true
		}
		if !b.l.Rail.IsPin {
			add("pin.supply", float64(j.Pin.SupplyNom), design.V)
		}
		for k, r := range j.Rails {
			if k < len(b.in.Spec.Rails) && r.Name != b.l.Rail.Name && b.uses(r.Name) {
				add("rail["+strconv.Itoa(k)+"].voltage", float64(r.Nom), design.V)
			}
		}
		add(of+"current", float64(b.l.Current), design.A)
		add("environment.ambient_max", float64(j.Env.AmbientMax), design.DegC)
		if b.l.Mode == "pwm" {
			add(of+"pwm_frequency", float64(b.l.PWMFrequency), design.Hz)
		}
		switch {
		case b.l.Mode == "on-off":
		case b.l.DutyEnforced:
			add(of+"duty", float64(b.l.Duty), design.One)
		default: // what software promises counts for nothing
			add(of+"duty_max", float64(b.l.DutyMax), design.One)
		}
	}
	for _, r := range b.d.Choice.Resistors {
		if r.Key != "" && !r.Absent && b.frozen.Resistor(r.Key) != nil {
			add(string(r.Key), r.Ohms, design.Ohm)
		}
	}
	if b.d.Driver != nil {
		for _, r := range b.d.Driver.Choice.Resistors {
			if r.Key != "" && !r.Absent && b.frozen.Driver.Resistor(r.Key) != nil {
				add(ofDriver+string(r.Key), r.Ohms, design.Ohm)
			}
		}
	}
	return out
}

const ofDriver = "driver."

// uses reports whether the stage takes current from a rail beside its load's.
func (b *bench) uses(rail string) bool {
	return b.d.Choice.CoilRail == rail || slices.ContainsFunc(b.d.Draws, func(d design.Draw) bool { return d.Rail == rail })
}

// mover makes the stage at a value of a quantity: the design, or why there is none.
func (b *bench) mover(of Sweepable) func(x float64) (*design.Design, string) {
	switch table, name := cutTable(of.Field); {
	case of.Unit == design.Ohm:
		key, driver := strings.CutPrefix(of.Field, ofDriver)
		return func(x float64) (*design.Design, string) {
			g := *b.frozen
			to := &g
			if driver {
				drv := *g.Driver
				g.Driver, to = &drv, &drv
			}
			to.Resistor(design.ValueKey(key)).Ohms = x
			return b.again(b.env, b.m, b.sw, &g), ""
		}
	case name == "current":
		return func(x float64) (*design.Design, string) {
			l := b.l.Scaled(x / of.Now)
			return b.again(b.env, b.env.BareModel(&l), b.sw, b.frozen), ""
		}
	case of.Unit == design.V:
		return func(x float64) (*design.Design, string) { return b.supplied(of.Field, x) }
	case name == "duty" || name == "duty_max":
		return func(x float64) (*design.Design, string) { return b.onFor(table, name, x) }
	}
	return func(x float64) (*design.Design, string) {
		spec := job.Clone(b.in.Spec)
		if err := job.SetSI(spec, of.Field, x); err != nil {
			return nil, err.Error()
		}
		return b.rerunHeld(spec, nil)
	}
}

// supplied is the stage with another voltage on a rail or the pin, the load being
// the same thing as before.
func (b *bench) supplied(field string, x float64) (*design.Design, string) {
	spec := job.Clone(b.in.Spec)
	if err := job.SetSI(spec, field, x); err != nil {
		return nil, err.Error()
	}
	// Figures stated at the old voltage would contradict one another at the new one:
	// what the load takes there is told by load.Held, from the job as it was.
	for i := range spec.Loads {
		l, was := &spec.Loads[i], &b.in.Job.Loads[i]
		if !l.Current.Known() || l.Resistance.Known() || l.Power.Known() {
			l.Current.SetSI(float64(was.Current))
			l.Resistance, l.Power = q.None[q.Ohm](), q.None[q.Watt]()
		}
		if l.Name == b.l.Name {
			l.VoltageMin, l.InputHighMin = q.None[q.Volt](), q.None[q.Volt]()
		}
	}
	return b.rerunHeld(spec, load.Held)
}

// onFor is the stage with the load on for another share of the time, the other ends
// of its duty following where they stood in the way.
func (b *bench) onFor(table, name string, x float64) (*design.Design, string) {
	spec := job.Clone(b.in.Spec)
	l := &spec.Loads[b.loadIndex()]
	move := func(key string, now float64, to float64) error {
		if now == to {
			return nil
		}
		return job.SetSI(spec, table+"."+key, to)
	}
	least := min(float64(b.l.DutyMin), x)
	duty, most := min(float64(b.l.Duty), x), x
	if name == "duty" {
		duty, most = x, max(float64(b.l.DutyMax), x)
	}
	if err := cmp.Or(move("duty_min", float64(l.DutyMin.Or(-1)), least), move("duty", float64(l.Duty.Or(-1)), duty), move("duty_max", float64(l.DutyMax.Or(-1)), most)); err != nil {
		return nil, err.Error()
	}
	return b.rerunHeld(spec, nil)
}

// rerunHeld makes the stage as it stands for an edited job, or says why there is
// none. held turns the load as it was and as the job has it into the one meant.
func (b *bench) rerunHeld(spec *job.Spec, held func(was, is *job.Load) job.Load) (*design.Design, string) {
	j, errs := job.Resolve(spec)
	if j == nil || errs.Fatal() {
		for _, e := range errs {
			if !e.Warning {
				return nil, e.Key + ": found " + e.Found + ", expected " + e.Expected
			}
		}
		return nil, "the job has an error"
	}
	i := slices.IndexFunc(j.Loads, func(l job.Load) bool { return l.Name == b.l.Name })
	if i < 0 {
		return nil, "the job has no such load"
	}
	l := &j.Loads[i]
	if held != nil {
		h := held(b.l, l)
		l = &h
	}
	env, fresh := b.env.With(j)
	if fresh {
		env.Driver = b.driver.on(env).design
	}
	m := env.BareModel(l)
	if why := b.t.Serves(env, m, b.sw); why != "" {
		if why == topology.WrongPart {
			why = b.sw.Base().ID + " is not a part for it"
		}
		return nil, why
	}
	return b.again(env, m, b.sw, b.frozen), ""
}

// sweep is one sweep being made. Whatever was worked out is kept.
type sweep struct {
	b      *bench
	of     Sweepable
	design func(x float64) (*design.Design, string)
	at     map[float64]*SweepPoint
	found  []Crossing
}

// point is the stage at x.
func (s *sweep) point(x float64) *SweepPoint {
	if p := s.at[x]; p != nil {
		return p
	}
	p := &SweepPoint{X: x}
	s.at[x] = p
	if s.b.ctx.Err() != nil {
		return p
	}
	d, why := s.design(x)
	if d == nil {
		p.Out = why
		return p
	}
	p.Verdict, p.Headroom = d.Verdict, d.Headroom
	if d.Limiting >= 0 {
		p.Limiting = &Limit{d.Checks[d.Limiting].ID, d.Checks[d.Limiting].Stage}
	}
	p.Marks = make([]Mark, len(d.Checks))
	for i := range d.Checks {
		c := &d.Checks[i]
		p.Marks[i] = Mark{c.ID, c.Stage, c.Verdict, c.Headroom}
	}
	return p
}

// Mark is a check there: one that does not apply fits.
func (p *SweepPoint) Mark(id design.CheckID, st design.Stage) Mark {
	for _, m := range p.Marks {
		if m.ID == id && m.Stage == st {
			return m
		}
	}
	return Mark{ID: id, Stage: st}
}

// grid is the values looked at first, each one that can be printed: by equal
// factors, temperatures and duties by equal steps.
func (s *sweep) grid(span float64, n int) []float64 {
	now := s.of.Now
	low, high := now/span, now*span
	even := false
	switch s.of.Unit {
	case design.DegC:
		w := 20 * math.Log2(span)
		low, high, even = max(now-w, float64(s.b.in.Job.Env.AmbientMin)), now+w, true
	case design.One:
		low, high, even = 0.01, 1, true
	}
	out := make([]float64, 0, n)
	for i := range n {
		share := float64(i) / float64(n-1)
		x := low * math.Pow(high/low, share)
		if even {
			x = low + (high-low)*share
		}
		out = append(out, s.printable(x))
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// printable is the nearest value that prints in full.
func (s *sweep) printable(x float64) float64 {
	switch s.of.Unit {
	case design.DegC:
		return math.Round(x*10) / 10
	case design.One:
		return math.Round(x*1000) / 1000
	}
	return printable(x)
}

// printable is x with the digits that a sheet prints.
func printable(x float64) float64 {
	v, err := strconv.ParseFloat(strconv.FormatFloat(x, 'g', sweepDigits, 64), 64)
	if err != nil {
		return x
	}
	return v
}

// sweepDigits is how exactly a place is solved: what a sheet prints.
const sweepDigits = 4

// between finds every change between two values. Each check is followed by itself;
// a part of the way on which it is the same at both ends is left.
func (s *sweep) between(low, high float64) {
	a, b := s.point(low), s.point(high)
	if s.b.ctx.Err() != nil {
		return
	}
	if (a.Out == "") != (b.Out == "") {
		s.end(low, high)
		return
	}
	seen := map[Limit]bool{}
	for _, p := range [...]*SweepPoint{a, b} {
		for _, m := range p.Marks {
			if k := (Limit{m.ID, m.Stage}); !seen[k] {
				seen[k] = true
				s.follow(k, low, high)
			}
		}
	}
}

// middle is a value between two that can be printed, if there is one.
func (s *sweep) middle(low, high float64) (float64, bool) {
	mid := s.printable((low + high) / 2)
	return mid, mid > low && mid < high
}

func (s *sweep) follow(k Limit, low, high float64) {
	a, b := s.point(low), s.point(high)
	before, after := a.Mark(k.ID, k.Stage).Verdict, b.Mark(k.ID, k.Stage).Verdict
	if before == after || s.b.ctx.Err() != nil {
		return
	}
	if mid, ok := s.middle(low, high); ok {
		if s.point(mid).Out == "" {
			s.follow(k, low, mid)
			s.follow(k, mid, high)
		}
		return
	}
	s.found = append(s.found, Crossing{ID: k.ID, Stage: k.Stage, Low: low, High: high, Before: before, After: after, DesignBefore: a.Verdict, DesignAfter: b.Verdict})
}

// end finds where there is no such stage any more, and what changes before.
func (s *sweep) end(low, high float64) {
	from, to := low, high
	for s.b.ctx.Err() == nil {
		mid, ok := s.middle(from, to)
		if !ok {
			break
		}
		if (s.point(mid).Out == "") == (s.point(from).Out == "") {
			from = mid
		} else {
			to = mid
		}
	}
	a, b := s.point(from), s.point(to)
	s.found = append(s.found, Crossing{Ends: true, Low: from, High: to, Before: a.Verdict, After: b.Verdict, Out: a.Out + b.Out, DesignBefore: a.Verdict, DesignAfter: b.Verdict})
	if a.Out == "" && from > low {
		s.between(low, from)
	}
	if b.Out == "" && to < high {
		s.between(to, high)
	}
}
