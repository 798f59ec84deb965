package engine

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/load"
	q "example.org/pinhoist/internal/quantity"
	"example.org/pinhoist/internal/topology"
)

// lever is a number of the job that a fix may move, and in which direction.
type lever struct {
	key string // of the load, the rail or a table of the job
	up  bool
}

// levers are the numbers that bear on a check. Which of them helps, and how
// far, is found by solving; one that does not help is not offered.
var levers = map[design.CheckID][]lever{
	design.PinCurrent:          {{"load.current", false}},
	design.StaysOff:            {{"environment.ambient_max", false}},
	design.BaseDrive:           {{"load.current", false}, {"pin.supply", true}},
	design.Saturation:          {{"load.current", false}, {"pin.supply", true}},
	design.GateDrive:           {{"pin.supply", true}, {"load.current", false}, {"load.duty_max", false}},
	design.GateVoltage:         {{"pin.supply", false}},
	design.BlockingVoltage:     {{"rail.voltage", false}},
	design.OnCurrent:           {{"load.current", false}},
	design.PeakCurrent:         {{"load.current", false}, {"load.switching_rate", false}, {"load.duty_max", false}},
	design.JunctionTemperature: {{"load.current", false}, {"environment.ambient_max", false}, {"load.pwm_frequency", false}, {"load.stall_time", false}, {"load.duty_max", false}},
	design.SafeArea:            {{"load.current", false}, {"load.switching_rate", false}, {"load.duty_max", false}, {"rail.voltage", false}, {"environment.ambient_max", false}},
	design.PWMFrequency:        {{"load.pwm_frequency", false}},
	design.ClampCurrent:        {{"load.current", false}, {"environment.ambient_max", false}},
	design.ClampEnergy:         {{"load.inductance", false}, {"load.current", false}},
	design.ClampPower:          {{"load.switching_rate", false}, {"load.pwm_frequency", false}, {"load.inductance", false}},
	design.ReleaseTime:         {{"load.release_within", true}, {"load.inductance", false}},
	design.CoilPickup:          {{"environment.ambient_max", false}, {"rail.tolerance", false}, {"pin.supply_tolerance", false}},
	design.CoilOvervoltage:     {{"environment.ambient_max", false}, {"rail.tolerance", false}, {"pin.supply_tolerance", false}},
	design.CoilTemperature:     {{"environment.ambient_max", false}},
	design.ContactVoltage:      {{"rail.voltage", false}},
	design.ContactCurrent:      {{"load.current", false}, {"rail.voltage", false}},
	design.ContactCarry:        {{"load.current", false}},
	design.ContactInrush:       {{"load.current", false}},
	design.ContactMinimum:      {{"load.current", true}},
	design.ContactRate:         {{"load.switching_rate", false}},
	design.ContactLife:         {{"load.life", false}, {"load.switching_rate", false}, {"load.current", false}},
	design.HoldingCurrent:      {{"load.current", true}},
	design.Commutation:         {{"load.power_factor", true}, {"load.current", false}},
	design.Waveform:            {{"rail.voltage", false}},
	design.SurgeEnergy:         {{"load.current", false}, {"load.inrush_factor", false}},
	design.Leakage:             {{"load.off_current_max", true}, {"environment.ambient_max", false}},
	design.LoadVoltage:         {{"load.voltage_min", false}, {"rail.tolerance", false}, {"load.current", false}}, // a higher rail might burn the load
	design.ResistorPower:       {{"environment.ambient_max", false}},
	design.RailCurrent:         {{"rail.current_max", true}, {"load.wire_area", true}, {"load.current", false}},
}

// fixes fills, for each check that does not fit, the changes after which it was
// seen to fit: values of a stage as built set free, and numbers of the job.
func (b *bench) fixes(out [][]Fix) {
	for i := range b.d.Checks {
		c := &b.d.Checks[i]
		if c.Verdict == design.Fits || b.ctx.Err() != nil {
			continue
		}
		out[i] = append(out[i], b.freed(c)...)
		if b.in.Spec == nil || b.l.Built != nil && b.d.Variant == "" {
			continue
		}
		for _, lv := range levers[c.ID] {
			if f, ok := b.pull(c, lv); ok {
				out[i] = append(out[i], f)
			}
		}
		if f, ok := b.addRail(c); ok {
			out[i] = append(out[i], f)
		}
		if f, ok := b.economise(c); ok {
			out[i] = append(out[i], f)
		}
	}
}

// addRail offers a rail that the job lacks and the topology wants.
func (b *bench) addRail(c *design.Check) (Fix, bool) {
	t, ok := b.t.(railWanting)
	if !ok || b.given.Stated {
		return Fix{}, false
	}
	volts := t.WantsRail(b.env, b.m, b.sw, c)
	if volts == "" {
		return Fix{}, false
	}
	spec := job.Clone(b.in.Spec)
	field := railField(spec)
	if job.Set(spec, field, volts) != nil {
		return Fix{}, false
	}
	d := b.rerun(spec, b.given)
	if d == nil {
		return Fix{}, false
	}
	if k := find(d, c.ID, c.Stage); k != nil && k.Verdict != design.Fits {
		return Fix{}, false
	}
	return Fix{Kind: FixJob, Field: field, To: volts, ThenFails: alsoFails(b.d, d)}, true
}

// economise offers a resistor before a relay's coil, with a capacitor across it, where the
// coil gets too hot and holds on less than it picks up from.
func (b *bench) economise(c *design.Check) (Fix, bool) {
	t, ok := b.t.(interface {
		Economy(*topology.Env, *load.Model, catalog.Part, string, float64) (topology.Economy, bool)
	})
	if !ok || c.ID != design.CoilPickup && c.ID != design.CoilTemperature {
		return Fix{}, false
	}
	// The driver is designed anew for a cooler coil: what it drops is known once it is.
	drop := 0.0
	for range 3 {
		e, ok := t.Economy(b.env, b.m, b.sw, b.d.Choice.CoilRail, drop)
		if !ok {
			return Fix{}, false
		}
		trial := *b.given
		trial.Economy, trial.CoilRail = e.Share, b.d.Choice.CoilRail
		d, mends := b.mends(c, &trial)
		if !mends || d.Driver == nil {
			return Fix{}, false
		}
		if on := valueOf(d.Driver, design.VOn); on.OK && design.AtMost(on.V, drop) {
			return Fix{Kind: FixPart, Field: FieldEconomy, To: economyText(&e, valueOf(b.d, design.TCoil), valueOf(d, design.TCoil)), ThenFails: alsoFails(b.d, d)}, true
		} else if drop = on.V; !on.OK {
			return Fix{}, false
		}
	}
	return Fix{}, false
}

// economyText tells a coil's economy with its numbers.
func economyText(e *topology.Economy, hot, warm design.Number) string {
	say := func(v float64, unit string, dir q.Direction) string { return q.Display(v, unit, 3, dir) }
	text := say(e.Ohms, "ohm", q.Nearest) + " before the coil"
	if e.Farads > 0 {
		text += " and " + say(e.Farads, "F", q.Nearest) + " across that resistor"
	}
	text += ": once pulled in it has at least " + say(e.Holds, "V", q.Down) + ", and " + say(e.Needs, "V", q.Up) + " hold it at its hottest"
	if hot.OK && warm.OK {
		text += ", " + say(warm.V, "C", q.Up) + " instead of " + say(hot.V, "C", q.Up)
	}
	text += "; it draws " + q.DisplayPercent(e.Saved, 2, q.Down) + " less power"
	if e.Pause > 0 {
		text += ", and must be off for " + say(e.Pause, "s", q.Up) + " before it picks up again"
	}
	return text
}

// freed tries what a stage as built states, one thing at a time, as the engine
// would choose it.
func (b *bench) freed(c *design.Check) (out []Fix) {
	g := b.given
	for _, key := range []design.ValueKey{design.RBase, design.RBaseEmitter, design.RGate, design.RPulldown, design.RPullup, design.RSeries, design.RSnubber} {
		if at := g.Resistor(key); at.Said {
			trial := *g
			*trial.Resistor(key) = topology.GivenResistor{}
			if d, ok := b.mends(c, &trial); ok {
				to, has := chosen(d, key)
				out = append(out, Fix{Kind: FixValue, Field: string(key), From: ohmText(at.Ohms, at.None), To: ohmText(to, !has), Value: to, Unit: design.Ohm, ThenFails: alsoFails(b.d, d)})
			}
		}
	}
	if g.Clamp.Said {
		trial := *g
		trial.Clamp = topology.GivenClamp{}
		if d, ok := b.mends(c, &trial); ok && len(d.Choice.Clamp) > 0 {
			out = append(out, Fix{Kind: FixPart, Field: "clamp", From: clampText(g.Clamp.Parts, g.Clamp.AtSwitch), To: clampText(d.Choice.Clamp, d.Choice.AtSwitch), ThenFails: alsoFails(b.d, d)})
		}
	}
	for _, x := range [...]struct {
		field string
		of    func(*topology.Given) *topology.GivenPart
		to    func(*design.Design) string
	}{
		{"shifter", func(g *topology.Given) *topology.GivenPart { return &g.Shifter }, func(d *design.Design) string { return d.Choice.Shifter }},
		{"fuse", func(g *topology.Given) *topology.GivenPart { return &g.Fuse }, func(d *design.Design) string { return d.Choice.Fuse }},
		{"limiter", func(g *topology.Given) *topology.GivenPart { return &g.Limiter }, func(d *design.Design) string { return d.Choice.Limiter }},
		{"snubber", func(g *topology.Given) *topology.GivenPart { return &g.Snubber }, func(d *design.Design) string { return d.Choice.Snubber }},
		{"gate_clamp", func(g *topology.Given) *topology.GivenPart { return &g.GateClamp }, func(d *design.Design) string { return d.Choice.GateClamp }},
	} {
		if !x.of(g).Said {
			continue
		}
		trial := *g
		*x.of(&trial) = topology.GivenPart{}
		if d, ok := b.mends(c, &trial); ok && x.to(d) != x.of(g).ID {
			out = append(out, Fix{Kind: FixPart, Field: x.field, From: orNone(x.of(g).ID), To: orNone(x.to(d)), ThenFails: alsoFails(b.d, d)})
		}
	}
	if g.HeatSink.Said {
		trial := *g
		trial.HeatSink = topology.GivenPart{}
		if d, ok := b.mends(c, &trial); ok && d.Choice.HeatSink != "" {
			out = append(out, Fix{Kind: FixPart, Field: "heat_sink", From: orNone(g.HeatSink.ID), To: d.Choice.HeatSink, ThenFails: alsoFails(b.d, d)})
		}
	}
	return out
}

// mends runs the design with another given, in full, and reports whether the
// check then fits or no longer applies.
func (b *bench) mends(c *design.Check, g *topology.Given) (*design.Design, bool) {
	env := *b.env
	env.Brief = false
	d := b.again(&env, b.m, b.sw, g)
	k := find(d, c.ID, c.Stage)
	return d, k == nil || k.Verdict == design.Fits
}

// pull solves how far one number of the job must go for the check to fit, and
// verifies it by running the whole design again with the text that is offered.
func (b *bench) pull(c *design.Check, lv lever) (Fix, bool) {
	field := b.field(lv.key)
	if field == "" {
		return Fix{}, false
	}
	spec := job.Clone(b.in.Spec)
	from, unit, fromText, ok := b.present(field, lv.key)
	if !ok || from <= 0 && unit != design.DegC {
		return Fix{}, false
	}
	fits := func(v float64, given *topology.Given) bool {
		if b.ctx.Err() != nil || job.SetSI(spec, field, v) != nil {
			return false
		}
		d := b.rerun(spec, given)
		if d == nil {
			return false
		}
		k := find(d, c.ID, c.Stage)
		return k == nil || k.Verdict == design.Fits
	}
	// Temperatures move by kelvins, all else by factors.
	shift := func(f float64) float64 { return from * f }
	if unit == design.DegC {
		shift = func(f float64) float64 { return from + 40*math.Log(f) }
	}
	f, found := b.reach(lv.up, func(f float64, g *topology.Given) bool { return fits(shift(f), g) })
	if !found {
		return Fix{}, false
	}
	value := sensible(shift(f), lv.up)
	if !fits(value, b.given) {
		return Fix{}, false
	}
	text, _ := job.Get(spec, field)
	return Fix{Kind: FixJob, Field: b.told(field, lv.key), From: fromText, To: text, Value: value, Unit: unit, ThenFails: alsoFails(b.d, &b.trial)}, true
}

// reach is the least move after which the check fits. It is looked for with the
// stage as it stands, which is quick; then the stage is designed anew at that
// point, and where it fits sooner, because other values are chosen, the move is
// shortened; where it does not fit there after all, the search is made anew.
func (b *bench) reach(up bool, fits func(float64, *topology.Given) bool) (float64, bool) {
	anew := func(f float64) bool { return fits(f, b.given) }
	as := func(f float64) bool { return fits(f, b.frozen) }
	f, found := 0.0, as(way(up, fixRange))
	if found {
		f, found = edge(up, fixRange, sooner, false, as)
	}
	if !found || !anew(f) {
		if !anew(way(up, fixRange)) {
			return 0, false
		}
		return edge(up, fixRange, sooner, false, anew)
	}
	for step := sooner; ; step *= step {
		near := way(up, max(1, way(up, f)/step))
		if near == 1 || !anew(near) {
			return bisect(near, f, sooner, false, anew), true
		}
		f = near
	}
}

// fixRange is how far a number of the job is moved at the most: a change by more
// than this is another job.
const fixRange = 20.0

// sooner is the first step by which a move is shortened, and how near a limit is
// brought: less than the 1 % that an offered one may be off.
const sooner = 1.008

// sensible rounds to four digits, towards the side that the fix moves to.
func sensible(v float64, up bool) float64 {
	if v == 0 {
		return 0
	}
	s := math.Pow(10, 3-math.Floor(math.Log10(math.Abs(v))))
	r := math.Floor(v * s)
	if up {
		r = math.Ceil(v * s)
	}
	out, err := strconv.ParseFloat(strconv.FormatFloat(r/s, 'g', 4, 64), 64)
	if err != nil {
		return v
	}
	return out
}

// rerun resolves an edited job and designs the same load, part and topology,
// with what is given taken as stated.
func (b *bench) rerun(spec *job.Spec, given *topology.Given) *design.Design {
	j, errs := job.Resolve(spec)
	if j == nil || errs.Fatal() {
		return nil
	}
	i := slices.IndexFunc(j.Loads, func(l job.Load) bool { return l.Name == b.l.Name })
	if i < 0 {
		return nil
	}
	env, fresh := b.env.With(j)
	if fresh {
		env.Driver = b.driver.on(env).design
	}
	m := env.BareModel(&j.Loads[i])
	if b.t.Serves(env, m, b.sw) != "" {
		return nil
	}
	if !given.Clamp.Said {
		m = env.OutlineModel(&j.Loads[i])
	}
	return b.again(env, m, b.sw, given)
}

// field is the path of a lever's key in the job of this load, "" where the job
// has no such thing.
func (b *bench) field(key string) string {
	table, name := cutTable(key)
	switch table {
	case "load":
		return "load[" + strconv.Itoa(b.loadIndex()) + "]." + name
	case "rail":
		if b.l.Rail.IsPin {
			switch name {
			case "voltage":
				return "pin.supply"
			case "tolerance":
				return "pin.supply_tolerance"
			case "current_max":
				return "pin.rail_current_max"
			}
		}
		for i, r := range b.in.Spec.Rails {
			if r.Name == b.l.Rail.Name {
				return "rail[" + strconv.Itoa(i) + "]." + name
			}
		}
		switch name { // an unnamed rail
		case "voltage":
			return "load[" + strconv.Itoa(b.loadIndex()) + "].supply"
		case "tolerance":
			return "load[" + strconv.Itoa(b.loadIndex()) + "].supply_tolerance"
		}
		return ""
	}
	return key
}

// told is a lever's key as a person finds it in the job: an unnamed rail is
// written with its load, the pin's own with the pin.
func (b *bench) told(field, key string) string {
	if table, _ := cutTable(key); table != "rail" {
		return key
	}
	switch table, name := cutTable(field); {
	case table == "pin":
		return field
	case strings.HasPrefix(field, "load["):
		return "load." + name
	}
	return key
}

func (b *bench) loadIndex() int {
	return slices.IndexFunc(b.in.Spec.Loads, func(l job.LoadSpec) bool { return l.Name == b.l.Name })
}

func cutTable(key string) (table, name string) {
	for i := range key {
		if key[i] == '.' {
			return key[:i], key[i+1:]
		}
	}
	return "", key
}

// present is a field's value now: as written, else as resolved.
func (b *bench) present(field, key string) (v float64, u design.Unit, text string, ok bool) {
	v, u, ok = resolved(b, key)
	if !ok {
		return 0, "", "", false
	}
	if text, ok = job.Get(b.in.Spec, field); !ok || text == "" {
		text = job.Default(field)
	}
	// Only what is written, or has a default, can be moved; a load that states
	// its power or resistance has no current to edit.
	if text == "" {
		if _, name := cutTable(key); name == "current" {
			return 0, "", "", false
		}
	}
	return v, u, text, true
}

// resolved is the number behind a lever, SI.
func resolved(b *bench, key string) (float64, design.Unit, bool) {
	l, p, e := b.l, b.in.Job.Pin, b.in.Job.Env
	opt := func(v float64, known bool, u design.Unit) (float64, design.Unit, bool) { return v, u, known }
	switch key {
	case "load.current":
		return float64(l.Current), design.A, true
	case "load.wire_area":
		return opt(float64(l.WireArea), l.WireLength > 0, design.M2)
	case "load.inductance":
		return opt(value(l.L), l.L.Known(), "H")
	case "load.release_within":
		return opt(value(l.ReleaseWithin), l.ReleaseWithin.Known(), design.S)
	case "load.pwm_frequency":
		return float64(l.PWMFrequency), design.Hz, l.Mode == "pwm"
	case "load.switching_rate":
		return float64(l.Rate), "/s", l.Mode == "on-off"
	case "load.duty_max": // what it leaves is time for an inrush limiter to cool
		return float64(l.DutyMax), design.One, l.Mode == "on-off" && b.m.Limitable()
	case "load.stall_time":
		return opt(value(l.StallTime), l.StallTime.Known(), design.S)
	case "load.life":
		return opt(value(l.Life), l.Life.Known(), design.Years)
	case "load.off_current_max":
		return float64(l.OffCurrent.Value), design.A, l.OffCurrent.Known
	case "load.voltage_min":
		return float64(l.VoltageMin.Value), design.V, l.VoltageMin.Known
	case "rail.voltage":
		return float64(l.Rail.Nom), design.V, true
	case "rail.tolerance":
		return float64(l.Rail.Max/l.Rail.Nom) - 1, design.One, true
	case "rail.current_max":
		return opt(value(l.Rail.CurrentMax), l.Rail.CurrentMax.Known(), design.A)
	case "pin.supply":
		return float64(p.SupplyNom), design.V, true
	case "pin.supply_tolerance":
		return float64(p.SupplyMax/p.SupplyNom) - 1, design.One, true
	case "environment.ambient_max":
		return float64(e.AmbientMax), design.DegC, true
	}
	return 0, "", false
}

func value[Q q.Quantity](o q.Opt[Q]) float64 { v, _ := o.Get(); return float64(v) }

// alsoFails lists the checks that fitted before and do not in the new design.
func alsoFails(before, after *design.Design) (ids []design.CheckID) {
	for i := range after.Checks {
		c := &after.Checks[i]
		if c.Verdict == design.Fits {
			continue
		}
		if k := find(before, c.ID, c.Stage); (k == nil || k.Verdict == design.Fits) && !slices.Contains(ids, c.ID) {
			ids = append(ids, c.ID)
		}
	}
	return ids
}

func chosen(d *design.Design, key design.ValueKey) (float64, bool) {
	for _, r := range d.Choice.Resistors {
		if r.Key == key && !r.Absent {
			return r.Ohms, true
		}
	}
	return 0, false
}

func ohmText(v float64, none bool) string {
	if none {
		return "none"
	}
	return q.Exact(q.Ohm(v))
}

func clampText(parts []string, atSwitch bool) string {
	if len(parts) == 0 {
		return "none"
	}
	s := parts[0]
	for _, p := range parts[1:] {
		s += "+" + p
	}
	if atSwitch {
		s += " across the switch"
	}
	return s
}

func orNone(id string) string {
	if id == "" {
		return "none"
	}
	return id
}
