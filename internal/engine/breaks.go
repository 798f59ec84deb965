package engine

import (
	"context"
	"slices"
	"strings"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/job"
	q "example.org/pinhoist/internal/quantity"
	"example.org/pinhoist/internal/topology"
)

// Change is what is done to an element of a stage on paper.
type Change string

// The changes.
const (
	LeftOut  Change = "left out" // a series part is a link then
	Reversed Change = "reversed"
	TenTimes Change = "ten times"
	ATenth   Change = "a tenth"
)

// Break is a design with one element changed and all else as it stands.
type Break struct {
	Element string // as a stage as built states it: "clamp", "r_gate", "driver.r_base", "heat_sink"
	Was     string // what it is in the design, as text
	Change  Change
	Design  *design.Design
	Worse   []Worse // checks whose verdict is worse than in the design, worst first, in its order
	Better  []Worse
	Built   *job.Built // the changed stage as a job states it; nil: none can
}

// Worse is a check of a changed design that has another verdict than before.
type Worse struct {
	Check  int // index into Design.Checks
	Before design.Verdict
}

// Breaks changes every element of a design, one at a time. A key that names no
// design is a *NoSuchDesign.
func Breaks(ctx context.Context, in *Input, key string) ([]Break, error) {
	r := newRun(in, false)
	b, err := r.bench(ctx, key)
	if err != nil {
		return nil, err
	}
	b.frozen = topology.Freeze(b.d)
	k := breaker{b: b}
	k.stage("", b.d, func(g *topology.Given) *topology.Given { return g })
	if b.d.Driver != nil {
		k.stage(ofDriver, b.d.Driver, func(g *topology.Given) *topology.Given {
			drv := *g.Driver
			g.Driver = &drv
			return &drv
		})
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	for i := range k.out {
		k.out[i].Built = k.out[i].built(b.d)
	}
	return k.out, nil
}

type breaker struct {
	b   *bench
	out []Break
}

// stage changes each element of the stage itself or of its coil's driver.
func (k *breaker) stage(prefix string, d *design.Design, of func(*topology.Given) *topology.Given) {
	c := &d.Choice
	if len(c.Clamp) > 0 {
		was := clampText(c.Clamp, c.AtSwitch)
		k.try(Break{Element: prefix + "clamp", Was: was, Change: LeftOut}, func(g *topology.Given) { of(g).Clamp.Parts = nil })
		if k.diode(c) {
			k.reverse(prefix, was, of)
		}
	}
	for _, r := range c.Resistors {
		if r.Key == "" || r.Absent || topology.Freeze(d).Resistor(r.Key) == nil {
			continue
		}
		base := Break{Element: prefix + string(r.Key), Was: ohmText(r.Ohms, false)}
		for _, how := range [...]Change{LeftOut, TenTimes, ATenth} {
			base.Change = how
			k.try(base, func(g *topology.Given) {
				to := of(g).Resistor(r.Key)
				switch how {
				case LeftOut:
					*to = topology.GivenResistor{Said: true, None: true}
				case TenTimes:
					to.Ohms *= 10
				case ATenth:
					to.Ohms /= 10
				}
			})
		}
	}
	for _, p := range [...]struct {
		name, id string
		of       func(*topology.Given) *topology.GivenPart
	}{
		{"gate_clamp", c.GateClamp, func(g *topology.Given) *topology.GivenPart { return &g.GateClamp }},
		{"snubber", c.Snubber, func(g *topology.Given) *topology.GivenPart { return &g.Snubber }},
		{"insulator", c.Insulator, func(g *topology.Given) *topology.GivenPart { return &g.Insulator }},
		{"heat_sink", c.HeatSink, func(g *topology.Given) *topology.GivenPart { return &g.HeatSink }},
		{"fuse", c.Fuse, func(g *topology.Given) *topology.GivenPart { return &g.Fuse }},
		{"limiter", c.Limiter, func(g *topology.Given) *topology.GivenPart { return &g.Limiter }},
	} {
		if p.id != "" {
			k.try(Break{Element: prefix + p.name, Was: p.id, Change: LeftOut}, func(g *topology.Given) { p.of(of(g)).ID = "" })
		}
	}
}

// diode reports whether the clamp is one plain diode across the load.
func (k *breaker) diode(c *design.Choice) bool {
	if len(c.Clamp) != 1 || c.AtSwitch {
		return false
	}
	p, ok := k.b.in.Catalog.Part(c.Clamp[0])
	return ok && p.Kind() == catalog.KindDiode
}

// try makes the stage with something changed and keeps what the checks then say.
func (k *breaker) try(x Break, change func(*topology.Given)) {
	if k.b.ctx.Err() != nil {
		return
	}
	g := *k.b.frozen
	change(&g)
	x.Design = new(design.Design)
	k.b.t.Design(k.b.env, k.b.m, k.b.sw, &g, x.Design)
	k.add(x)
}

func (k *breaker) add(x Break) {
	for i := range x.Design.Checks {
		c := &x.Design.Checks[i]
		before := design.Fits // what did not apply before
		if was := find(k.b.d, c.ID, c.Stage); was != nil {
			before = was.Verdict
		}
		switch {
		case c.Verdict > before:
			x.Worse = append(x.Worse, Worse{i, before})
		case c.Verdict < before:
			x.Better = append(x.Better, Worse{i, before})
		}
	}
	slices.SortStableFunc(x.Worse, func(a, b Worse) int {
		return int(x.Design.Checks[b.Check].Verdict) - int(x.Design.Checks[a.Check].Verdict)
	})
	k.out = append(k.out, x)
}

// reverse turns the diode across the load round. The winding then has no way for its
// current, as without one; and while the switch is on the diode conducts from the
// rail through the switch, with nothing that limits its current.
func (k *breaker) reverse(prefix, was string, of func(*topology.Given) *topology.Given) {
	k.try(Break{Element: prefix + "clamp", Was: was, Change: Reversed}, func(g *topology.Given) { of(g).Clamp.Parts = nil })
	if len(k.out) == 0 || k.out[len(k.out)-1].Change != Reversed {
		return
	}
	x := k.out[len(k.out)-1]
	k.out = k.out[:len(k.out)-1]
	st := design.StageSelf
	if prefix != "" {
		st = design.StageDriver
	}
	x.Worse, x.Better = nil, nil
	short := func(id design.CheckID, unit design.Unit, because string) {
		c := find(x.Design, id, st)
		if c == nil {
			x.Design.Checks = append(x.Design.Checks, design.Check{ID: id, Stage: st, Unit: unit})
			c = &x.Design.Checks[len(x.Design.Checks)-1]
		}
		c.NoSolution, c.Because, c.Formula, c.Source = true, because, "", "its circuit"
		c.Stress, c.StressEstimate, c.EasyStress, c.EasyRating = design.Number{}, design.Number{}, design.Number{}, design.Number{}
		c.SetArgs()
		design.Judge(c)
	}
	const why = "the diode conducts from the rail through the switch whenever that is on: nothing limits the current"
	short(design.OnCurrent, design.A, why)
	short(design.ClampCurrent, design.A, why)
	design.Conclude(x.Design)
	k.add(x)
}

// built states the design that was broken, d, as a stage as built with the change made.
// Nil where a job cannot hold it: a diode the wrong way round, what is no key of a job,
// and what a part is designed around that a job names alone.
func (x *Break) built(d *design.Design) *job.Built {
	coil := drivesCoil(d)
	element, driver := strings.CutPrefix(x.Element, ofDriver)
	switch {
	case x.Change == Reversed, driver && !coil, d.Driver != nil && !coil:
		return nil
	case coil && len(d.Choice.Clamp) > 0 && (driver || element == "clamp"):
		return nil // of two windings with a clamp each a job holds the load's, and "none" of both
	}
	b := BuiltOf(d)
	if element == "clamp" {
		b.Clamp, b.ClampPlacement = orNone(""), ""
		return b
	}
	if to := b.Resistor(element); to != nil {
		broken := x.Design
		if driver {
			broken = broken.Driver
		}
		for _, r := range broken.Choice.Resistors {
			if string(r.Key) == element {
				*to = builtResistor(&r)
				return b
			}
		}
		return nil
	}
	to := map[string]*string{"gate_clamp": &b.GateClamp, "snubber": &b.Snubber, "insulator": &b.Insulator, "heat_sink": &b.HeatSink, "fuse": &b.Fuse, "limiter": &b.Limiter}[element]
	if to == nil || driver {
		return nil
	}
	*to = orNone("")
	return b
}

// drivesCoil reports whether the driver of a stage is that of a relay's coil, whose
// resistors and clamp a job can state.
func drivesCoil(d *design.Design) bool { return d.Topology == "relay" && d.Driver != nil }

func builtResistor(r *design.ChosenResistor) job.Element {
	if r.Absent {
		return job.Element{Said: true, None: true}
	}
	return job.Resistor(q.Ohm(r.Ohms))
}

// BuiltOf states a design as a stage as built: every value as chosen, to be edited. Of
// a relay the drive resistors are those of its coil's driver, and so is the clamp where
// the load has none; where both have one, a job holds the load's alone. What shifts a
// level is told by its part.
func BuiltOf(d *design.Design) *job.Built {
	c := &d.Choice
	b := &job.Built{Topology: d.Topology, Part: d.Part, HeatSink: orNone(c.HeatSink), Fuse: orNone(c.Fuse)}
	stateResistors(b, c)
	coil := drivesCoil(d)
	switch {
	case coil:
		stateResistors(b, &d.Driver.Choice)
		b.Driver = d.Driver.Part
	case d.Topology == "ssr" && d.Driver != nil:
		b.Driver = d.Driver.Part
	case d.Topology == "ssr":
		b.Driver = catalog.PinID
	}
	switch clamped := c; {
	case coil && len(c.Clamp) == 0 && len(d.Driver.Choice.Clamp) > 0:
		clamped = &d.Driver.Choice
		fallthrough
	case len(c.Clamp) > 0:
		b.Clamp, b.ClampPlacement = strings.Join(clamped.Clamp, "+"), "load"
		if clamped.AtSwitch {
			b.ClampPlacement = "switch"
		}
	default:
		b.Clamp = "none"
	}
	b.Insulator, b.Shifter, b.GateClamp, b.Snubber, b.Limiter = c.Insulator, c.Shifter, c.GateClamp, c.Snubber, c.Limiter
	if c.Poles != job.PolesOne {
		b.Poles = c.Poles
	}
	if !coil && d.Driver != nil && d.Driver.Choice.Shifter != "" { // a high side that lifts a gate
		b.Driver, b.Shifter = d.Driver.Part, d.Driver.Choice.Shifter
	}
	return b
}

// stateResistors states the resistors of a choice, of which a job holds one tolerance.
func stateResistors(b *job.Built, c *design.Choice) {
	for _, r := range c.Resistors {
		to := b.Resistor(string(r.Key))
		if to == nil {
			continue
		}
		*to = builtResistor(&r)
		if !r.Absent && r.Tol > 0 {
			b.ResistorTolerance.SetSI(max(float64(b.ResistorTolerance.Or(0)), r.Tol))
		}
	}
}
