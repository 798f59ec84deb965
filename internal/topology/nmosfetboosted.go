package topology

import (
	"math"
	"strings"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/device"
	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/load"
	q "example.org/pinhoist/internal/quantity"
)

// nMOSFETBoosted is an N-channel MOSFET between load and ground whose gate gets
// more than the pin has: it is driven from a rail of 10 to 15 V. Two transistors
// make it, so that off stays off: the pin turns a level shifter on, that turns a
// high side on, that lifts the gate; a pull-down takes it down again. One
// transistor does for a load that need not be off without the logic: a pull-up
// lifts the gate, the transistor takes it down, and a high pin is off.
type nMOSFETBoosted struct{}

func (nMOSFETBoosted) ID() string   { return "n-mosfet-boosted" }
func (nMOSFETBoosted) Side() string { return "low" }

func (nMOSFETBoosted) Owes(l *load.Model) []design.CheckID { return nMOSFETLow{}.Owes(l) }

// Takes lists the elements of a stage as built that are worked out. A driver that
// is stated lifts the gate, and a shifter beside it turns it on; a shifter or a
// pull-up without a driver belongs to the one transistor that takes the gate down.
func (nMOSFETBoosted) Takes(l *load.Model) []string {
	return takes(l, "r_gate", "r_pulldown", "r_pullup", "driver", "shifter", "heat_sink", "insulator", "limiter")
}

func (nMOSFETBoosted) Serves(env *Env, l *load.Model, sw catalog.Part) string {
	m, ok := sw.(*catalog.MOSFET)
	if !ok || m.Channel != "n" {
		return WrongPart
	}
	if l.Unpowered == "on" { // with one transistor the stage is
		lenient := *l
		lenient.Unpowered = "any"
		l = &lenient
	}
	return servesInput(env, l)
}

const (
	// boostLow and boostHigh are between what a rail must be to lift a gate, V.
	boostLow, boostHigh = 10.0, 15.0
	// boostUsual is the usual rail for a gate, V.
	boostUsual = 12.0
)

// lifts reports whether a rail may lift the gate of a load's switch. The pin's own
// supply is not there while the logic has none, when some loads must be on.
func lifts(r *job.Rail, l *load.Model) bool {
	return design.AtMost(boostLow, float64(r.Nom)) && design.AtMost(float64(r.Nom), boostHigh) && !(r.IsPin && l.Unpowered == "on")
}

// WantsRail is the voltage of a rail that a check wants and the job lacks, "" where there
// is none.
func (nMOSFETBoosted) WantsRail(env *Env, l *load.Model, _ catalog.Part, c *design.Check) string {
	if c.ID != design.GateDrive || c.Stage != design.StageSelf {
		return ""
	}
	for i := range env.Common {
		if lifts(&env.Common[i], l) {
			return ""
		}
	}
	return "12 V"
}

const noGateRail = "no rail of 10 to 15 V shares the pin's common: add a rail of 10 to 15 V"

// gateWay is one way to lift a gate.
type gateWay struct {
	rail      *job.Rail
	inverting bool // with one transistor
	none      bool // no rail of the job may: this is the nearest
}

// Design takes the best verdict, then the cheapest, of the ways to lift the gate.
// The first of them, with one transistor where the load allows it, needs the fewest
// parts: where it fits no other is looked at.
func (t nMOSFETBoosted) Design(env *Env, l *load.Model, sw catalog.Part, given *Given, d *design.Design) {
	env.limited(l, given, d, func(l *load.Model, d *design.Design) (warms float64, sure bool) {
		var room [4]gateWay
		ways := t.ways(room[:0], env, l, given)
		b := boostedStage{mosfetStage: mosfetStage{stage: begin(env, l, given, d, t.ID(), sw.Base()), p: sw.(*catalog.MOSFET)}, way: ways[0]}
		b.parts()
		b.drops()
		return b.ownHeat(), len(ways) == 1
	}, func(l *load.Model, d *design.Design) { t.unlimited(env, l, sw, given, d) })
}

// unlimited is Design for a load as it is, with the limiter that stands in its way.
func (t nMOSFETBoosted) unlimited(env *Env, l *load.Model, sw catalog.Part, given *Given, d *design.Design) {
	var room [4]gateWay
	ways := t.ways(room[:0], env, l, given)
	best := 0
	var verdict design.Verdict
	var cost design.Number
	for i := range ways {
		t.by(ways[i], env, l, sw, given, d)
		if d.Verdict == design.Fits {
			return
		}
		if i == 0 || d.Verdict < verdict || d.Verdict == verdict && cheaper(d.Cost.Amount, cost) {
			best, verdict, cost = i, d.Verdict, d.Cost.Amount
		}
	}
	if best != len(ways)-1 {
		t.by(ways[best], env, l, sw, given, d)
	}
}

// ways are the ways to lift the gate that job, load and what is given leave, one at
// least: from each rail that may, with one transistor and with two.
func (t nMOSFETBoosted) ways(ways []gateWay, env *Env, l *load.Model, given *Given) []gateWay {
	one, two := t.forms(env, l, given)
	add := func(w gateWay) {
		if w.inverting = true; one {
			ways = append(ways, w)
		}
		if w.inverting = false; two {
			ways = append(ways, w)
		}
	}
	nearest := -1
	for i := range env.Common {
		r := &env.Common[i]
		if given.CoilRail != "" && given.CoilRail != r.Name {
			continue
		}
		if lifts(r, l) {
			add(gateWay{rail: r})
		}
		if nearest < 0 || math.Abs(float64(r.Nom)-boostUsual) < math.Abs(float64(env.Common[nearest].Nom)-boostUsual) {
			nearest = i
		}
	}
	if len(ways) == 0 {
		add(gateWay{rail: &env.Common[max(nearest, 0)], none: true})
	}
	return ways
}

// forms says whether one transistor, and whether two, may lift the gate.
func (nMOSFETBoosted) forms(env *Env, l *load.Model, given *Given) (one, two bool) {
	switch {
	case given.DriverTopology != "":
		two = given.DriverTopology == pnpHigh{}.ID() || given.DriverTopology == pMOSFETHigh{}.ID()
		return !two, two
	case given.DriverPart != "":
		two = pullsUp(env, given.DriverPart)
		return !two, two
	case given.Stated && (given.Shifter.Said || given.RPullup.Said):
		return true, false
	}
	return l.Unpowered != "off", l.Unpowered != "on"
}

// pullsUp reports whether a part is one that stands at a rail.
func pullsUp(env *Env, id string) bool {
	p, _ := env.Catalog.Part(id)
	switch p := p.(type) {
	case *catalog.BJT:
		return p.Polarity == "pnp"
	case *catalog.MOSFET:
		return p.Channel == "p"
	}
	return false
}

// boostedStage is one stage while it is worked out.
type boostedStage struct {
	mosfetStage
	way  gateWay
	rpu  resistor    // lifts the gate where one transistor takes it down
	gate *gateDriver // nil: nothing drives it
}

// parts chooses all parts, and works the junction out.
func (b *boostedStage) parts() {
	b.d.Choice.CoilRail = b.way.rail.Name
	b.buy("Q1", b.p)
	b.alpha, b.hotBracket = device.HotSlope(b.p)
	b.clamp = b.suppress(known(b.p.VDSMax), b.pol.FETVoltage(), nil)
	b.choose()
	if b.otherClamp() {
		b.choose()
	}
}

func (t nMOSFETBoosted) by(w gateWay, env *Env, l *load.Model, sw catalog.Part, given *Given, d *design.Design) {
	b := boostedStage{mosfetStage: mosfetStage{stage: begin(env, l, given, d, t.ID(), sw.Base()), p: sw.(*catalog.MOSFET)}, way: w}
	b.parts()
	b.staysOff()
	b.lifted()
	b.gateVoltage("highest gate rail {stress}, the gate bears {rating}", design.CornerValue{Name: "gate_rail", V: b.vGateMax})
	b.countDraws()
	b.partChecks()
	b.gateResistors()
	b.values()
	b.adopt()
	b.draw()
	b.finish(t.Owes(l))
}

// ---- choosing ----

// The resistors of a boosted gate are few, so that stages of a run share their
// drivers.
var (
	boostGates  = [...]float64{100, 220, 470, 1000}
	boostPulls  = [...]float64{470, 1000, 2200, 4700, 10000}
	boostBleeds = [...]float64{4.7e3, 10e3, 22e3, 47e3, 100e3}
)

const (
	// edgeLongest is how long an edge may take where nothing asks for less, s, and
	// edgeEnergy how much it may lose, J: half of what matters for heat.
	edgeLongest, edgeEnergy = 50e-6, smallCrossing / 2
	// edgeShare of a period is what each edge may take under pwm: both together are
	// then a quarter of the limit.
	edgeShare = 0.0125
	// boostDrop is the most that the driver may drop where the gate can do with it, V.
	boostDrop = 0.5
	// lowShare of the threshold is what the driver may leave on the gate when off.
	lowShare = 0.5
	// boostLeak of the rail is what the driver's leakage may take off the drive by the
	// pull-up.
	boostLeak = 0.01
)

// choose sets pull-up or pull-down and gate resistor by the edges that the load
// wants, then the driver. All depend a little on the junction.
func (b *boostedStage) choose() {
	hot := b.l.TMax
	for range 4 {
		rg, rpd, rpu := b.rg, b.rpd, b.rpu
		b.resistorsFor(hot)
		if b.src.driver && b.rg == rg && b.rpd == rpd && b.rpu == rpu {
			return
		}
		b.drive(hot)
		b.solve()
		hot, _ = b.t.hottest(&b.p.Heat)
	}
}

// resistorsFor chooses the resistors for a junction of hot degrees Celsius.
func (b *boostedStage) resistorsFor(hot float64) {
	vmin, vmax := float64(b.way.rail.Min), float64(b.way.rail.Max)
	vth, _, _ := device.Threshold(b.p, hot)
	up, down := b.wanted(vmin, vth)
	if b.rg = b.givenOr(b.given.RGate, 0); !b.given.RGate.Said {
		b.rg = b.few(boostGates[:], min(up, down)/4, 0)
	}
	b.rpd = b.givenOr(b.given.RPulldown, math.Inf(1))
	if b.way.inverting {
		if !b.given.RPulldown.Said {
			boot := b.bootCurrent()
			if b.gateRailNode() == nodeRail { // it is there before the drain rises
				boot = 0
			}
			b.rpd = b.few(boostBleeds[:], b.mostPull(vth, boot, b.gateLeak()), vmax)
		}
		if b.rpu = b.givenOr(b.given.RPullup, math.Inf(1)); !b.given.RPullup.Said {
			most := up - b.rg.nom
			if need := lowestServing(b.p, vmin, b.l.PeakCurrent()); need < vmin { // what the two leave
				most = min(most, b.rpd.lo()*((1-boostLeak)*vmin/need-1)/1.01)
			}
			b.rpu = b.few(boostPulls[:], most, vmax)
		}
		return
	}
	if !b.given.RPulldown.Said {
		b.rpd = b.few(boostPulls[:], min(down-b.rg.nom, b.mostPull(vth, b.bootCurrent(), b.gateLeak()+shifterLeak)), vmax)
	}
}

// wanted is the resistance through which the gate is lifted, and taken down, in the
// time that there is, ohm.
func (b *boostedStage) wanted(vmin float64, vth design.Number) (up, down float64) {
	charge := float64(b.p.QGDMax.Or(0)) + float64(b.p.QGSMax.Or(0))
	if charge <= 0 {
		return math.Inf(1), math.Inf(1)
	}
	t := edgeLongest
	if p := 0.5 * b.l.VMax * b.l.PeakCurrent(); p > 0 {
		t = min(t, edgeEnergy/p)
	}
	if f := b.l.Frequency; f > 0 {
		t = min(t, edgeShare/f)
	}
	_, cold, _ := device.Threshold(b.p, b.l.TMin)
	plateau := device.DriveFor(b.p, b.l.PeakCurrent(), cold.V)
	return t * max(0.1*vmin, vmin-firstOf(plateau, cold)) / charge, t * max(0.1, vth.V) / charge
}

// mostPull is the greatest pull-down that keeps leakage, and what a rising rail
// couples into the gate, under the threshold, ohm.
func (b *boostedStage) mostPull(vth design.Number, boot, leak float64) float64 {
	if vth.OK && boot+leak > 0 {
		return min(bleedCap, max(0, vth.V-boot*b.gateSeries())/(boot+leak))
	}
	return bleedCap
}

// few is the greatest of a few values that is at most want, else the least, in the
// first series whose body bears volts across it for ever; where no body does, the
// next value.
func (b *boostedStage) few(values []float64, want, volts float64) resistor {
	i := len(values) - 1
	for i > 0 && values[i] > want {
		i--
	}
	for _, v := range values[i:] {
		for _, s := range b.env.Resistors {
			r := fromSeries(s, v)
			if p := resistorPower(s, b.l.TMax); inRange(s, v) && p.OK && design.AtMost(volts*volts/r.lo(), b.pol.PResistor*p.V) {
				return r
			}
		}
	}
	return resistor{nom: values[len(values)-1], tol: 0.05}
}

// drive designs what drives the gate, and sets what the gate gets from it. Where
// nobody knows what the driver drops or leaks, that is an estimate.
func (b *boostedStage) drive(hot float64) {
	rail := b.way.rail
	vth, _, _ := device.Threshold(b.p, hot)
	b.src = gateSource{lo: float64(rail.Min), hi: float64(rail.Max), driver: true}
	switch {
	case b.way.none:
	case b.way.inverting:
		b.gate = b.puller(vth)
	default:
		b.gate = b.lifter(vth)
	}
	var sh shifter
	if b.gate != nil {
		sh = b.gate.shifter
	}
	b.src.unsure = b.gate == nil || b.way.inverting && !sh.leak.OK || !b.way.inverting && !sh.drop.OK
	if !b.way.inverting {
		b.src.lo = max(0, b.src.lo-sh.drop.V)
		b.src.down = b.rpdHi()
		b.src.lateOn, b.src.lateOff = sh.on, sh.off
		return
	}
	b.src.series, b.src.up = b.rpu.hi(), b.rpu.hi()
	b.src.low, b.src.lateOn, b.src.lateOff = sh.dropTop.V, sh.off, sh.on
	if b.rpu.absent { // nothing lifts the gate
		b.src.lo, b.src.series, b.src.up = 0, 0, 0
	}
	b.src.lo = max(0, b.src.lo-sh.leak.V*b.src.series)
}

// gateDriver is what drives a boosted gate: a level shifter by itself, or a high
// side with one. It is shared and never changed.
type gateDriver struct {
	shifter
	checks []design.Check // its own and its level shifter's, of each id the worse
	na     []design.NotApplicable
}

// gateKey is everything that a gate's driver depends on, by value.
type gateKey struct {
	shiftKey
	lifts        bool
	peak, length float64
}

// gateDriverFor remembers the drivers of a run.
func (e *Env) gateDriverFor(key gateKey, l *job.Load, make func(*load.Model) *design.Design) *gateDriver {
	if e.shifters != nil {
		if g, ok := e.shifters.get(key); ok {
			return g.(*gateDriver)
		}
	}
	m := load.New(l, e.Air, e.ledResistor)
	var g *gateDriver
	if d := make(m); d != nil {
		g = &gateDriver{shifter: *e.asShifter(d, m)}
		g.gather(d)
	}
	if e.shifters != nil {
		e.shifters.put(key, g)
	}
	return g
}

const byGate = "what the driver drops and leaks is judged with the gate: its drive, and its off state"

// gather takes the worse of each check of a driver and of its level shifter. What is
// asked of their on voltage and leakage only steers the choice of their parts.
func (g *gateDriver) gather(d *design.Design) {
	for _, n := range aims {
		g.na = append(g.na, design.NotApplicable{ID: n.ID, Stage: design.StageDriver, Why: byGate})
	}
	for i := range d.Checks {
		c := &d.Checks[i]
		if (c.ID == aims[0].ID || c.ID == aims[1].ID) && !c.NoSolution {
			continue
		}
		at := 0
		for at < len(g.checks) && g.checks[at].ID != c.ID {
			at++
		}
		if at == len(g.checks) {
			g.checks = append(g.checks, *c)
			g.checks[at].Stage = design.StageDriver
			continue
		}
		has := true
		keepWorse(&g.checks[at], *c, &has)
		g.checks[at].Stage = design.StageDriver
	}
	for _, n := range d.NA {
		n.Stage = design.StageDriver
		if !g.has(n.ID) {
			g.na = append(g.na, n)
		}
	}
}

func (g *gateDriver) has(id design.CheckID) bool {
	for i := range g.checks {
		if g.checks[i].ID == id {
			return true
		}
	}
	for i := range g.na {
		if g.na[i].ID == id {
			return true
		}
	}
	return false
}

// stated is the part that is stated for the driver, and how it is built.
func (b *boostedStage) stated(l *job.Load) gateKey {
	key := gateKey{shiftKey: b.shiftKey(l), lifts: !b.way.inverting, peak: float64(l.InrushCurrent.Or(0)), length: float64(l.InrushTime.Or(-1))}
	key.given, key.part = b.given.Driver, b.given.DriverPart
	if key.given == nil && b.given.Stated && b.given.Shifter.Said {
		if b.way.inverting {
			if key.part == "" {
				key.part = b.given.Shifter.ID
			}
		} else {
			key.given = &Given{Shifter: b.given.Shifter, Stated: true}
		}
	}
	return key
}

// gateLoad is what a gate's driver works against: pull, the resistor that takes the
// gate the other way, and the gate's charge. That passes as a pulse of the greatest
// current that lasts twice as long as it would need.
func (b *boostedStage) gateLoad(pull resistor, drop, leak float64) job.Load {
	vmax := b.src.hi
	ohms := max(finiteOr(pull.nom, bleedCap), link)
	l := shiftLoad(&b.l.Load, b.way.rail, shiftDemand{ohms: ohms, tol: pull.tol, drop: dropUnder(drop), leak: leakUnder(leak)})
	rg := max(b.rg.lo(), link)
	l.InrushCurrent = q.Some(q.Amp(vmax/rg + vmax/(ohms*(1-pull.tol))))
	if charge := b.gateCharge(); charge > 0 {
		l.InrushTime = q.Some(q.Second(stepUp(2 * charge * rg / vmax)))
	}
	return l
}

// puller is the one transistor that takes the gate down, against the pull-up.
func (b *boostedStage) puller(vth design.Number) *gateDriver {
	rail := b.way.rail
	leak := boostLeak * float64(rail.Min) / max(1, finiteOr(b.rpu.hi(), 1))
	l := b.gateLoad(b.rpu, lowShare*vth.V*float64(rail.Min)/max(float64(rail.Max), 1e-3), leak)
	key := b.stated(&l)
	return b.env.gateDriverFor(key, &l, func(m *load.Model) *design.Design {
		return b.env.designShifter(m, key.part, b.given.DriverTopology, key.given)
	})
}

// lifting are the stages that may lift a gate, always with a level shifter: off is
// then a low pin. A bipolar one is tried first: what takes a P-channel gate up again
// is a pull-up, and slow.
var lifting = [...]Topology{shiftedPNP{}, shiftedPMOSFET{}}

type (
	shiftedPNP     struct{ pnpHigh }
	shiftedPMOSFET struct{ pMOSFETHigh }
)

func (t shiftedPNP) Design(env *Env, l *load.Model, sw catalog.Part, given *Given, d *design.Design) {
	t.design(env, l, sw, given, false, d)
}

func (t shiftedPMOSFET) Design(env *Env, l *load.Model, sw catalog.Part, given *Given, d *design.Design) {
	t.design(env, l, sw, given, false, d)
}

// lifter is the high side that lifts the gate, with the level shifter that turns
// it on, against the pull-down.
func (b *boostedStage) lifter(vth design.Number) *gateDriver {
	vmin := float64(b.way.rail.Min)
	drop, leak := boostDrop, 0.0
	if need := lowestServing(b.p, vmin, b.l.PeakCurrent()); need < vmin {
		drop = min(drop, vmin-need)
	}
	if !b.rpd.absent {
		leak = vth.V/max(b.rpd.hi(), link) - b.gateLeak()
	}
	l := b.gateLoad(b.rpd, drop, leak)
	l.Side = "high"
	key := b.stated(&l)
	return b.env.gateDriverFor(key, &l, func(m *load.Model) (best *design.Design) {
		for i := range lifting {
			d := b.env.designAmong(b.env.uppers, lifting[i:i+1], m, key.part, b.given.DriverTopology, key.given)
			if d != nil && (best == nil || d.Verdict < best.Verdict) {
				best = d
			}
			if best != nil && best.Verdict == design.Fits {
				break
			}
		}
		return best
	})
}

// stepUp is the least of 1, 2 and 5 times a power of ten that is not under t.
func stepUp(t float64) float64 {
	e := math.Pow(10, math.Floor(math.Log10(t)))
	for _, m := range [...]float64{1, 2, 5} {
		if t <= m*e {
			return m * e
		}
	}
	return 10 * e
}

// ---- checks ----

const byDriver = "the gate driver's own check judges the pin"

// staysOff judges what the driver leaves on the gate when it is off, and when the
// gate's rail is not there.
func (b *boostedStage) staysOff() {
	b.na(design.PinCurrent, byDriver)
	b.na(design.PinVoltage, byDriver)
	c := b.check(design.StaysOff, design.V)
	leak := b.gateLeak()
	known := b.gate != nil
	var off, lift, calm float64
	if b.way.inverting {
		off, lift = b.src.low+leak*b.rg.hi(), b.bootLift(0)
		c.Because = "the pin high, and the load's rail rises in 1 ms as assumed"
		known = known && b.gate.dropTop.OK
		idle := raised(leak, b.rpdHi(), b.src.hi) + leak*b.rg.hi()
		if up := b.bootLift(b.rpdHi()); b.gateRailNode() != nodeRail && idle+up > off+lift {
			calm, off, lift = off, idle, up
			c.Because = "the load's rail rises, in 1 ms as assumed, while the gate's is absent"
		}
	} else {
		if b.gate != nil {
			leak += b.gate.leak.V
			known = b.gate.leak.OK
		}
		off, lift = raised(leak, b.rpdHi(), b.src.hi)+b.gateLeak()*b.rg.hi(), b.bootLift(b.rpdHi())
		c.Because = "the driver off, whose own stays-off judges the pin, and the load's rail rises in 1 ms as assumed"
	}
	if lift > 0 { // how fast the rail rises is assumed; the slowest rise lifts nothing
		c.EasyStress = design.Known(max(calm, off))
	}
	off += lift
	hot := b.underThreshold(c, off)
	if !known {
		c.Stress, c.StressEstimate, c.EasyStress = design.Number{}, c.Stress, design.Number{}
		c.Needs("what the driver leaves on the gate")
	}
	if b.way.inverting && b.l.Unpowered == "any" && b.env.Pin.AtReset != "high" {
		b.caution(design.CautionInverted)
	}
	if b.way.inverting && b.l.Unpowered == "off" {
		c.NoSolution, c.Because = true, "one transistor holds the gate down only while the pin is high: the load must be off without the logic"
	}
	c.Formula = "{V_driver}, or leakage x {R_pulldown}, and {I_boot} x ({R_pulldown} + {R_gate}) while the rail rises: {stress}; threshold at {T_j} at least {rating}"
	c.SetArgs(design.Arg{Name: "V_driver", V: b.src.low, Unit: design.V}, design.Arg{Name: "I_boot", V: b.bootCurrent(), Unit: design.A},
		design.Arg{Name: "R_gate", V: b.gateSeries(), Unit: design.Ohm}, across("R_pulldown", b.rpdHi()),
		design.Arg{Name: "T_j", V: hot, Unit: design.DegC})
	c.SetCorner(design.CornerValue{Name: "gate_rail", V: b.src.hi}, design.CornerValue{Name: "ambient", V: b.l.TMax})
	judge(c)
	b.value(design.VControlReset, off, design.V)
}

// lifted is the gate-drive check.
func (b *boostedStage) lifted() {
	vmin := float64(b.way.rail.Min)
	corner := design.CornerValue{Name: "gate_rail", V: vmin}
	if b.way.inverting {
		leak := 0.0
		if b.gate != nil {
			leak = b.gate.leak.V
		}
		b.gateDrive("({V_gate_rail_min} - {I_leak} x {R_pullup}) x {R_pulldown}/({R_pulldown} + {R_pullup}) = {rating}; on-resistance is stated from {stress}", corner,
			design.Arg{Name: "V_gate_rail_min", V: vmin, Unit: design.V}, design.Arg{Name: "I_leak", V: leak, Unit: design.A},
			across("R_pullup", b.rpu.hi()), across("R_pulldown", b.rpdLo()))
	} else {
		drop := 0.0
		if b.gate != nil {
			drop = b.gate.drop.V
		}
		b.gateDrive("{V_gate_rail_min} - {V_driver} = {rating}; on-resistance is stated from {stress}", corner,
			design.Arg{Name: "V_gate_rail_min", V: vmin, Unit: design.V}, design.Arg{Name: "V_driver", V: drop, Unit: design.V})
	}
	c := &b.d.Checks[len(b.d.Checks)-1]
	switch {
	case b.way.none:
		c.NoSolution, c.Because = true, noGateRail
	case !b.src.unsure:
		return
	default:
		b.unsureDrive(c, "what the driver leaves of the gate's rail is not known", "what the driver leaves of the gate's rail")
	}
	judge(c)
}

// countDraws adds what the driver takes from the load's own rail.
func (b *boostedStage) countDraws() {
	if b.gate == nil {
		return
	}
	for _, x := range b.gate.d.Draws {
		if x.Rail == b.l.Rail.Name {
			b.beside += x.A
		}
	}
}

// gateResistors judges the resistors at the gate.
func (b *boostedStage) gateResistors() {
	b.resistors()
	if v := b.src.hi; b.way.inverting && !b.rpu.absent {
		b.load("pull-up", "V^2/R", b.rpu, v*v/b.rpu.lo(), v)
		b.value(design.RPullup, b.rpu.nom, design.Ohm)
	}
}

const (
	noLifter = "no transistors of the catalogue can lift the gate from this rail"
	noPuller = "no transistor of the catalogue can take the gate down from this rail"
)

// adopt nests the driver in its stage: its checks decide with the stage's own, its
// parts are bought, its currents count.
func (b *boostedStage) adopt() {
	if b.way.none {
		return // gate-drive says so
	}
	if b.gate == nil {
		c := b.check(design.LoadVoltage, design.V)
		c.Stage, c.NoSolution, c.Because = design.StageDriver, true, noLifter
		if b.way.inverting {
			c.Because = noPuller
		}
		c.Stress = design.Known(b.src.hi)
		c.Formula = "a gate rail of {stress} and nothing that drives the gate"
		judge(c)
		return
	}
	d := b.gate.d
	b.d.Driver, b.d.Choice.Shifter = d, d.Part
	b.d.Checks = append(b.d.Checks, b.gate.checks...)
	b.d.NA = append(b.d.NA, b.gate.na...)
	for _, line := range d.BOM {
		line.Ref = boostRef(line.Ref)
		b.d.BOM = append(b.d.BOM, line)
	}
	b.d.PinCurrent, b.d.PinSink = d.PinCurrent, d.PinSink
	b.d.Draws = append(b.d.Draws, d.Draws...)
	b.valueOf(design.IPin, valueIn(d, design.IPin), design.A)
	for _, id := range d.Cautions {
		b.caution(id)
	}
	if b.env.Brief {
		return
	}
	b.d.Driver = b.drawnDriver(d)
	for _, v := range d.Values { // those of a lifter's own level shifter say so already
		switch {
		case strings.HasPrefix(string(v.Key), "shifter."):
		case b.way.inverting:
			v.Key = "shifter." + v.Key
		default:
			v.Key = "driver." + v.Key
		}
		b.d.Values = append(b.d.Values, v)
	}
}

// ---- the circuit ----

// Nodes of a boosted gate.
const (
	nodeGate     = "gate-drive"
	nodeGateRail = "gate-rail"
)

// boostRef is an element's reference beside those of the stage that it serves.
func boostRef(ref string) string {
	switch ref {
	case "Q1":
		return "Q2"
	case "Q2":
		return "Q3"
	case "R1":
		return "R3"
	case "R2":
		return "R4"
	case "R3":
		return "R5"
	case "R4":
		return "R6"
	case "HS1":
		return "HS2"
	case "HS2":
		return "HS3"
	case "INS1":
		return "INS2"
	case "INS2":
		return "INS3"
	}
	return ref
}

// gateRailNode is the node of the rail that lifts the gate.
func (b *boostedStage) gateRailNode() string {
	if b.way.rail.Name == b.l.Rail.Name {
		return nodeRail
	}
	return nodeGateRail
}

func (b *boostedStage) draw() {
	b.resistorElement("R1", design.RGate, design.RoleDriveResistor, b.rg, nodeGate, nodeControl)
	b.resistorElement("R2", design.RPulldown, design.RolePullDown, b.rpd, nodeGate, nodeGround)
	if b.way.inverting {
		b.resistorElement("R7", design.RPullup, design.RoleDriveResistor, b.rpu, b.gateRailNode(), nodeGate)
	}
	if rail := b.gateRailNode(); rail != nodeRail && !b.env.Brief {
		b.d.Elements = append(b.d.Elements, design.Element{Ref: "V2", Role: design.RoleRail, Kind: "rail", Value: float64(b.way.rail.Nom), Unit: design.V, HasValue: true, Nodes: []string{rail, nodeGround}})
	}
	b.drawPower()
}

// drawnDriver is the driver with references and nodes of its own in the whole
// circuit, its level shifter beside it, and the gate's own resistor in place of its
// load. The shared design is copied, never changed.
func (b *boostedStage) drawnDriver(d *design.Design) *design.Design {
	c := *d
	c.BOM = append([]design.BOMLine(nil), d.BOM...)
	for i := range c.BOM {
		c.BOM[i].Ref = boostRef(c.BOM[i].Ref)
	}
	c.Elements = nil
	for i := range d.Elements {
		e := b.drawn(&d.Elements[i])
		switch {
		case e.Role == design.RoleSwitch:
			e.Role = design.RoleShifter
		case e.Role == design.RoleLoad && b.way.inverting:
			e.Ref, e.Kind = "R7", "resistor"
		case e.Role == design.RoleLoad:
			e.Ref, e.Kind = "R2", "resistor"
		}
		c.Elements = append(c.Elements, e)
	}
	if d.Driver == nil {
		return &c
	}
	for i := range d.Driver.Elements {
		if e := b.drawn(&d.Driver.Elements[i]); e.Role != design.RoleLoad && e.Role != design.RoleRail {
			c.Elements = append(c.Elements, e)
		}
	}
	return &c
}

// drawn is a copy of a driver's element by its names in the whole circuit.
func (b *boostedStage) drawn(from *design.Element) design.Element {
	e := *from
	e.Ref = boostRef(e.Ref)
	e.Nodes = append([]string(nil), from.Nodes...)
	for k, n := range e.Nodes {
		switch n {
		case nodeControl:
			e.Nodes[k] = "driver-control"
		case nodeSwitch:
			e.Nodes[k] = nodeGate
		case nodeRail:
			e.Nodes[k] = b.gateRailNode()
		}
	}
	if e.Role == design.RoleRail && e.Nodes[0] == nodeGateRail {
		e.Ref = "V2"
	}
	return e
}
