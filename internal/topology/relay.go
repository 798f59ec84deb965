package topology

import (
	"math"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/clamp"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/device"
	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/load"
	q "example.org/pinhoist/internal/quantity"
	"example.org/pinhoist/internal/thermal"
)

// relay is a relay with a DC coil whose contact stands in the load's circuit: the
// normally-open one, or the normally-closed one where the load must be on while the
// logic has no supply. Its coil is a load of kind coil: the driver is a design of
// its own, nested, and its checks decide with the relay's own.
type relay struct{}

func (relay) ID() string   { return "relay" }
func (relay) Side() string { return "any" }

func (relay) Owes(l *load.Model) []design.CheckID {
	ids := []design.CheckID{
		design.ReleaseTime, design.CoilOvervoltage, design.CoilTemperature,
		design.ContactVoltage, design.ContactCurrent, design.ContactCarry, design.ContactInrush, design.ContactMinimum, design.ContactRate,
		design.LoadVoltage, design.ResistorPower, design.ResistorVoltage, design.RailCurrent,
	}
	if l.Kind == job.Coil {
		ids[9] = design.CoilPickup
	}
	if l.Inductive {
		ids = append(ids, design.ClampVoltage, design.ClampStandoff, design.ClampCurrent, design.ClampEnergy, design.ClampPower)
	}
	if l.Life.Known() {
		ids = append(ids, design.ContactLife)
	}
	if l.IsolationAsked {
		ids = append(ids, design.Isolation)
	}
	return owesFuse(l, ids)
}

// Takes lists the elements of a stage as built that are worked out.
func (relay) Takes(l *load.Model) []string {
	keys := append(takes(l, "poles", "driver", "r_base", "r_base_emitter", "r_gate", "r_pulldown", "fuse"), "clamp")
	if l.Inductive {
		keys = append(keys, "r_snubber", "snubber")
	}
	return keys
}

// asBuilt gives the coil's driver what is stated of it: the drive resistors are
// its own, the relay has none; a clamp is the coil's where the load owes none,
// and "none" is said of both.
func asBuilt(given *Given, l *load.Model) *Given {
	if !given.Stated || given.Driver != nil {
		return given
	}
	g := *given
	d := &Given{RBase: g.RBase, RBaseEmitter: g.RBaseEmitter, RGate: g.RGate, RPulldown: g.RPulldown}
	if !l.Inductive || len(g.Clamp.Parts) == 0 {
		d.Clamp = g.Clamp
	}
	if !l.Inductive {
		g.Clamp = GivenClamp{}
	}
	if d.RBase.Said || d.RBaseEmitter.Said || d.RGate.Said || d.RPulldown.Said || d.Clamp.Said {
		g.Driver = d
	}
	return &g
}

func (relay) Serves(env *Env, l *load.Model, sw catalog.Part) string {
	r, ok := sw.(*catalog.Relay)
	if !ok {
		return WrongPart
	}
	switch {
	case r.CoilFrequency.Or(0) > 0:
		return "an AC coil cannot be driven from a DC pin, and on DC it would burn: take the same relay with a DC coil, or make its coil a load of kind ac-coil on its own AC rail, which a relay or a solid-state relay here then switches"
	case r.Latching == oneCoil && r.CoilDiode:
		return "a diode inside its one coil shorts the current of one direction: no pulse that way moves it, and what gives it burns"
	case r.Latching == oneCoil && needsSource(&env.Pin) != "":
		return "a latching relay with one coil needs a bridge: " + needsSource(&env.Pin)
	}
	return serveContact(l, r)
}

// serveContact says why no contact of a relay can serve the load, or "".
func serveContact(l *load.Model, r *catalog.Relay) string {
	switch {
	case l.Kind == job.LogicInput:
		return "a logic input is driven by the pin itself"
	case l.Reversing:
		return "a motor that reverses needs a bridge"
	case closedAtRest(l, r) && l.Unpowered == "off":
		return "its only contact is closed while the logic has no supply, and the load must be off"
	case closedAtRest(l, r) && opensOnly(r):
		return "the contact is open while the logic has no supply, and the load must be on"
	case closedAtRest(l, r) && r.NC == nil:
		return "no figure of its normally-closed contact is stated, and that of the other is never taken for it"
	case !closedAtRest(l, r) && r.NO == nil:
		return "no figure of its normally-open contact is stated"
	}
	return ""
}

// closedAtRest reports whether the contact in use is the normally-closed one.
func closedAtRest(l *load.Model, r *catalog.Relay) bool {
	return !latches(r) && (l.Unpowered == "on" || r.Form == "spst-nc")
}

// opensOnly reports whether a relay has no contact that is closed at rest.
func opensOnly(r *catalog.Relay) bool { return r.Form == "spst-no" || r.Form == "dpst-no" }

// contact picks the contact in use.
func (s *relayStage) contact() {
	s.c, s.side = s.r.NO, "no."
	if s.nc = closedAtRest(s.l, s.r); s.nc {
		s.c, s.side = s.r.NC, "nc."
	}
	if s.c == nil {
		s.c = &catalog.Contact{}
	}
	if s.poles = s.given.Poles; s.poles == "" {
		s.poles = job.PolesOne
	}
	s.d.Choice.Poles, s.passes = s.poles, 1
	if s.poles != job.PolesSeries {
		return
	}
	s.passes = 2
	if s.r.Series != nil && !s.nc { // else they are believed to be no better than one
		s.c, s.side = device.InSeries(s.r), "series."
	}
}

// contactResistance is what the load's current passes, ohm at the most; fallback where
// that of the contact is not stated.
func (s *relayStage) contactResistance() (r float64, fallback bool) {
	r, fallback = device.ContactResistance(s.c)
	return s.passes * r, fallback
}

// relayStage is one relay stage while it is worked out.
type relayStage struct {
	stage
	r      *catalog.Relay
	c      *catalog.Contact
	nc     bool         // the contact in use is closed at rest: the coil is driven while the load is off
	side   string       // prefix of the figures of the contact in use
	poles  string       // one, or both in series or side by side
	passes float64      // contacts of those figures that the current passes
	to     *turnOff     // of the load's winding on DC; nil: not inductive, or on AC
	rails  []coilChoice // the coil on every rail that may feed it, without its driver
	room   [4]coilChoice
	plan   relayPlan

	latching bool // it stays where a pulse put it

	board bool // it stands on a module, whose driver and coil nobody sees: its times are the board's

	snub snubber // across the contact
	held bool    // there is a snubber
	mov  *catalog.MOV
}

// relayPlan is the pair of choices that depend on one another: the coil with
// its driver, and the clamp of the load.
type relayPlan struct {
	coil    coilChoice
	clamp   *clamp.Option
	current design.Check // contact-current with that clamp
	release design.Check // release-time of both together
	total   design.Number
	verdict design.Verdict
	cost    design.Number
}

// coilChoice is the coil on one rail with the driver designed for it.
type coilChoice struct {
	rail        *job.Rail
	driver      *design.Design // nil: no switch of the catalogue can drive it
	own         design.Verdict // of coil-overvoltage and coil-temperature
	decay, time design.Number  // s: current to must-release, and with the armature
	verdict     design.Verdict
	cost        design.Number
	hopeless    bool // the rail is far from the coil's voltage
	stays       bool // a contact closed at rest: hot, on the lowest rail, the coil does not pick up
}

func (t relay) Design(env *Env, l *load.Model, sw catalog.Part, given *Given, d *design.Design) {
	env.sagging(l, d, func(l *load.Model, d *design.Design) { t.poles(env, l, sw, given, d) })
}

// poles takes one pole, and both in series where that does not do and the part states
// figures for both: without them nothing says what the second is good for, for two poles do
// not open together. Side by side they are no better than one, which makes and breaks all.
func (t relay) poles(env *Env, l *load.Model, sw catalog.Part, given *Given, d *design.Design) {
	r := sw.(*catalog.Relay)
	if t.steady(env, l, sw, given, d); d.Verdict == design.Fits || given.Poles != "" || r.Series == nil || closedAtRest(l, r) {
		return
	}
	with, both := *given, env.borrow()
	defer env.giveBack(both)
	with.Poles = job.PolesSeries
	if t.steady(env, l, sw, &with, both); both.Verdict < d.Verdict {
		*d, *both = *both, *d
	}
}

// steady is Design for a load that draws what it does.
func (t relay) steady(env *Env, l *load.Model, sw catalog.Part, given *Given, d *design.Design) {
	given = asBuilt(given, l)
	s := relayStage{stage: begin(env, l, given, d, t.ID(), sw.Base()), r: sw.(*catalog.Relay)}
	s.latching = latches(s.r)
	s.contact()
	s.to, _ = s.l.Memo.(*turnOff)
	s.buy("K1", sw)
	s.acrossContactDC()
	s.coils()
	s.choose()
	s.acrossContact()
	s.fuses()
	s.coilChecks()
	s.contactChecks()
	s.loadChecks()
	s.driverChecks()
	s.staysLatched()
	s.draw()
	s.finish(t.Of(sw).Owes(l))
}

// ---- choosing ----

// releaseShares are the parts of the time left for currents to fall that the
// coil's may take, tried in turn where the cheapest clamps are too slow.
var releaseShares = [...]float64{0.5, 0.25, 0.75}

func (s *relayStage) choose() {
	within, judged := s.l.ReleaseWithin.Get()
	if s.frozen() || !judged {
		s.plan = s.planFor(design.Number{}, design.Number{})
		return
	}
	if s.nc || s.latching { // it opens when a coil is driven: no clamp has a part in that
		free := s.chooseCoil(design.Number{})
		s.plan = s.planWith(free, s.leaves(float64(within), free.time))
		return
	}
	if s.to == nil {
		s.plan = s.planFor(design.Known(max(leastWithin, float64(within)-s.arcs())), design.Number{})
		return
	}
	// The coil's cheapest clamp first; the load's gets what that leaves.
	free := s.chooseCoil(design.Number{})
	s.plan = s.planWith(free, s.leaves(float64(within), free.time))
	if s.plan.verdict == design.Fits {
		return
	}
	if s.unhurried(free) >= s.plan.verdict {
		return // time is not what stands in the way
	}
	slack := float64(within) - float64(s.l.MechRelease.Or(0)) - s.armature()
	if slack <= 0 {
		return
	}
	for _, share := range releaseShares {
		coil := s.armature() + slack*share
		p := s.planFor(design.Known(coil), design.Known(float64(within)-coil))
		if p.verdict < s.plan.verdict || p.verdict == s.plan.verdict && cheaper(p.cost, s.plan.cost) {
			s.plan = p
		}
		if s.plan.verdict == design.Fits {
			return
		}
	}
}

// frozen reports whether both clamps are given: there is nothing to share out.
func (s *relayStage) frozen() bool {
	return s.given.Driver != nil && s.given.Driver.Clamp.Said && (s.given.Clamp.Said || s.to == nil)
}

// unhurried is the best verdict of coil and contact with all the time in the
// world: no share of the time can be better.
func (s *relayStage) unhurried(free coilChoice) design.Verdict {
	duty := s.duty()
	o := s.loadClamp(duty, design.Number{})
	if o == nil {
		return design.Over
	}
	duty.Clamp = s.carried(o)
	return max(free.verdict, s.currentCheck(duty).Verdict, o.Unhurried)
}

// leastWithin stands for "no time left", s: a demand that nothing meets.
const leastWithin = 1e-9

func (s *relayStage) leaves(within float64, taken design.Number) design.Number {
	return design.Known(max(leastWithin, within-taken.V))
}

// arcs is how long a load on AC goes on after its contact opened, s: the arc ends at
// the next zero of the current, and what moves follows.
func (s *relayStage) arcs() float64 {
	if !s.l.Rail.AC {
		return 0
	}
	t := s.l.AC.HalfCycle
	if s.l.Inductive {
		t += float64(s.l.MechRelease.Or(0))
	}
	return t
}

// armature is the relay's own time without a clamp to open the contact, s: of
// releasing, or of operating where the contact is closed at rest.
func (s *relayStage) armature() float64 {
	if s.r.TimeMax == nil {
		return 0
	}
	if s.nc || s.latching {
		return float64(s.r.TimeMax.Operate.Or(0))
	}
	return float64(s.r.TimeMax.Release.Or(0))
}

func (s *relayStage) planFor(coilWithin, loadWithin design.Number) relayPlan {
	return s.planWith(s.chooseCoil(coilWithin), loadWithin)
}

func (s *relayStage) planWith(coil coilChoice, loadWithin design.Number) relayPlan {
	p := relayPlan{coil: coil, cost: coil.cost}
	duty := s.duty()
	if s.to != nil {
		p.clamp = s.loadClamp(duty, loadWithin)
		duty.Clamp = s.carried(p.clamp)
	}
	p.current = s.currentCheck(duty)
	p.total = s.releaseTotal(&p)
	p.verdict = max(coil.verdict, p.current.Verdict)
	if s.l.ReleaseWithin.Known() {
		p.release = s.releaseCheck(&p)
		p.verdict = max(p.verdict, p.release.Verdict)
	}
	if o := p.clamp; o != nil {
		p.verdict = max(p.verdict, o.Unhurried)
		p.cost = addCost(p.cost, o.Cost)
	} else if s.held {
		p.verdict = max(p.verdict, s.swingCheck().Verdict)
	} else if s.to != nil {
		p.verdict = design.Over
	}
	return p
}

func addCost(a, b design.Number) design.Number {
	if !a.OK || !b.OK {
		return design.Number{}
	}
	return design.Known(a.V + b.V)
}

func (s *relayStage) duty() device.ContactDuty {
	d := device.ContactDuty{Kind: s.l.Kind, AC: s.l.Rail.AC, V: s.l.VNom, Inductive: s.l.Inductive,
		OffMains: s.l.Rail.AC && device.OffMains(float64(s.l.Rail.Frequency))}
	if s.to != nil && s.l.LMax.OK && s.to.winding.RMin > 0 {
		d.LoverR = design.Known(s.l.LMax.V / s.to.winding.RMin)
	}
	return d
}

// carried is the highest voltage of the load's clamp, V, where it is proven.
func (s *relayStage) carried(o *clamp.Option) design.Number {
	if o == nil || !o.VPeak.OK {
		return design.Number{}
	}
	return design.Known(max(0, o.VPeak.V-s.l.VMax))
}

// loadClamp picks the clamp across the load: the best verdict of clamp and
// contact together, then the cheapest.
func (s *relayStage) loadClamp(duty device.ContactDuty, within design.Number) *clamp.Option {
	if s.to == nil {
		return nil
	}
	if s.given.Clamp.Said {
		return s.givenClamp(s.to)
	}
	menu := s.to.menu
	if within.OK {
		menu = s.env.menuWithin(s.to, within.V)
	}
	var best *clamp.Option
	var bestV design.Verdict
	for i := range menu {
		o := &menu[i]
		if o.AtSwitch {
			continue
		}
		duty.Clamp = s.carried(o)
		c := s.currentCheck(duty)
		v := max(o.Verdict, c.Verdict)
		if best == nil || v < bestV || v == bestV && cheaper(o.Cost, best.Cost) {
			best, bestV = o, v
		}
	}
	return best
}

// coils works the coil out on every rail that may feed it: those that share the
// pin's common in their order, then the pin's own supply; as built, the one that
// is stated.
func (s *relayStage) coils() {
	s.rails = s.room[:0]
	for i := range s.env.Common {
		if name := s.given.CoilRail; name == "" || name == s.env.Common[i].Name {
			s.rails = append(s.rails, s.coilOn(&s.env.Common[i]))
		}
	}
}

// chooseCoil designs the coil's driver on every rail that may feed it and keeps
// the best verdict, then the cheapest, then the first. Rails far from the coil's
// voltage are looked at only where there is no other, and then the nearest.
func (s *relayStage) chooseCoil(within design.Number) coilChoice {
	best := -1
	for i := range s.rails {
		c := &s.rails[i]
		if c.hopeless {
			continue
		}
		s.drive(c, within)
		if best < 0 || c.verdict < s.rails[best].verdict || c.verdict == s.rails[best].verdict && cheaper(c.cost, s.rails[best].cost) {
			best = i
		}
	}
	if best < 0 {
		if best = s.nearestRail(); best < 0 {
			return coilChoice{verdict: design.Over}
		}
		s.drive(&s.rails[best], within)
	}
	return s.rails[best]
}

// nearestRail is the rail whose voltage is nearest to the coil's, -1 without one.
func (s *relayStage) nearestRail() int {
	best, nearest := -1, math.Inf(1)
	for i := range s.rails {
		if far := math.Abs(float64(s.rails[i].rail.Nom - s.r.VCoil.Or(0))); far < nearest {
			best, nearest = i, far
		}
	}
	return best
}

// coilOn works the coil out on one rail, without its driver.
func (s *relayStage) coilOn(rail *job.Rail) coilChoice {
	over := s.overvoltageCheck(rail)
	temp, _ := s.temperatureCheck(rail)
	cold := device.PickUp(s.r, s.l.TMax)
	return coilChoice{rail: rail, own: max(over.Verdict, temp.Verdict),
		hopeless: over.Verdict == design.Over || cold.OK && !design.AtMost(cold.V, float64(rail.Min))}
}

// WantsRail is the voltage of a rail that a coil wants and the job lacks: its own.
func (relay) WantsRail(env *Env, _ *load.Model, sw catalog.Part, c *design.Check) string {
	r, ok := sw.(*catalog.Relay)
	if !ok || !r.VCoil.Known() || c.ID != design.CoilPickup && c.ID != design.CoilOvervoltage && c.ID != design.CoilTemperature {
		return ""
	}
	for i := range env.Common {
		if env.Common[i].Nom == r.VCoil.Value() {
			return ""
		}
	}
	return q.Exact(r.VCoil.Value())
}

// coilLoad is the coil as a load on a rail.
func (s *relayStage) coilLoad(rail *job.Rail, within design.Number) job.Load {
	if s.r.CoilDiode { // a diode inside decides, whatever the driver's clamp
		within = design.Number{}
	}
	l := device.CoilLoad(s.r, &s.l.Load, device.CoilDemand{Rail: *rail, ReleaseWithin: within})
	if l.Mode == "pwm" {
		l.Mode = "on-off" // no armature follows; contact-rate judges that
	}
	if s.latching {
		s.pulsed(&l)
	}
	l.RthCoil.Value *= q.KelvinPerWatt(s.heated())
	if s.nc { // driven while the load is off, and at rest without the logic
		l.Unpowered = "off"
		l.Duty, l.DutyMin, l.DutyMax = 1-l.Duty, 1-l.DutyMax, 1-l.DutyMin
	}
	return l
}

// drive designs the driver of a coil that must let go within so many seconds.
// The release-time of the driver only steers the choice of its clamp: the relay
// judges the time of coil and load together.
func (s *relayStage) drive(c *coilChoice, within design.Number) {
	l := s.coilLoad(c.rail, within)
	c.driver = s.env.coilDriver(&l, s.given)
	c.verdict = c.own
	c.decay, c.time, c.stays = design.Number{}, design.Number{}, false
	if c.driver == nil {
		c.verdict, c.cost = design.Over, design.Number{}
		if !l.R.Known() {
			c.verdict = max(c.own, design.Unproven)
		}
		return
	}
	for i := range c.driver.Checks {
		if c.driver.Checks[i].ID != design.ReleaseTime {
			c.verdict = max(c.verdict, c.driver.Checks[i].Verdict)
		}
	}
	c.cost = c.driver.Cost.Amount
	c.cost.V *= float64(s.drivers())
	c.decay = valueIn(c.driver, design.TDecay)
	if s.r.CoilDiode {
		c.decay = s.builtInDecay(c.rail, l.ReleaseCurrent)
	}
	if s.nc || s.latching {
		c.time, c.stays = s.operates(c.driver)
		return
	}
	if !l.MustRelease.Known { // nothing says at what current the armature leaves
		c.decay = design.Number{}
	}
	if c.decay.OK && s.r.TimeMax != nil && s.r.TimeMax.Release.Known() {
		c.time = design.Known(c.decay.V + s.armature())
	}
}

// operates bounds how long a driven coil takes to open the contact that is closed at
// rest, s. The stated time is of the nominal voltage and a cold coil. A hot coil on
// a low rail reaches its pick-up current later: the rise to a share x of the final
// current takes L/R*ln(1/(1 - x)), and all of the time, the armature's too, is taken to
// grow with it (common practice, no source). It never opens where the coil does not
// pick up.
func (s *relayStage) operates(d *design.Design) (t design.Number, never bool) {
	for i := range d.Checks {
		c := &d.Checks[i]
		if c.ID != design.CoilPickup || !c.Stress.OK || !c.Rating.OK {
			continue
		}
		if c.Rating.V <= c.Stress.V {
			return design.Number{}, true
		}
		stated := float64(s.r.MustOperate.Or(0))
		if s.r.TimeMax == nil || !s.r.TimeMax.Operate.Known() || stated <= 0 || stated >= 1 {
			return design.Number{}, false
		}
		late := math.Log(1-c.Stress.V/c.Rating.V) / math.Log(1-stated)
		return design.Known(float64(s.r.TimeMax.Operate.Value()) * max(1, late)), false
	}
	return design.Number{}, false
}

// builtInDecay is the decay of a coil with a diode of its own inside: it has no
// figures, so the least forward voltage of any diode is believed.
func (s *relayStage) builtInDecay(rail *job.Rail, letGo q.Opt[q.Amp]) design.Number {
	h, ok := s.r.LCoilMax.Get()
	least, _, _ := device.CoilResistance(s.r, s.l.TMin)
	end, okEnd := letGo.Get()
	if !ok || !least.OK || !okEnd || least.V <= 0 {
		return design.Number{}
	}
	t := clamp.DecayTime(float64(h), least.V, float64(catalog.BracketDiodeVFMin), float64(rail.Max)/least.V, float64(end))
	if math.IsInf(t, 0) || math.IsNaN(t) {
		return design.Number{}
	}
	return design.Known(t)
}

func valueIn(d *design.Design, key design.ValueKey) design.Number {
	for i := range d.Values {
		if d.Values[i].Key == key {
			return design.Known(d.Values[i].V)
		}
	}
	return design.Number{}
}

// ---- the coil ----

func (s *relayStage) overvoltageCheck(rail *job.Rail) design.Check {
	c := design.Check{Brief: s.env.Brief, ID: design.CoilOvervoltage, Unit: design.V, K: 1, Source: s.d.PartSource, Stress: design.Known(float64(rail.Max))}
	c.Rating, c.Fallback = device.CoilVoltageMax(s.r, s.l.TMax)
	switch {
	case c.Fallback:
		c.Because = "no coil maximum is stated: 105 % of nominal is believed"
		c.RatingEstimate = design.Known(coilBound * float64(s.r.VCoil.Or(0)))
		c.Needs("v_coil_max.max")
	case !c.Rating.OK:
		c.Because = "no coil maximum is stated for air this hot"
		c.Needs("v_coil_max.max")
	}
	c.Formula = "highest coil rail {stress}; at {T_air} the coil bears {rating}"
	c.SetArgs(design.Arg{Name: "T_air", V: s.l.TMax, Unit: design.DegC})
	c.SetCorner(design.CornerValue{Name: "rail", V: float64(rail.Max)}, design.CornerValue{Name: "ambient", V: s.l.TMax})
	judge(&c)
	return c
}

// coilBound is the voltage, as a ratio of the nominal, that no coil bears for
// long whatever it states (common practice, no source). It is a bound for saying
// "over" where no maximum is stated; it never makes a pass.
const coilBound = 2.5

// temperatureCheck is the worst of three: the winding, and the air against both
// ends of the window that the relay is made for.
func (s *relayStage) temperatureCheck(rail *job.Rail) (design.Check, design.Number) {
	w, t := s.windingTemperature(rail)
	judge(&w)
	worst, has := w, true
	hot := design.Check{Brief: s.env.Brief, ID: design.CoilTemperature, Unit: design.DegC, K: 1, Source: s.d.PartSource, Stress: design.Known(s.l.TMax),
		Formula: "hottest air {stress}; the relay is made for at most {rating}"}
	cold := design.Check{Brief: s.env.Brief, ID: design.CoilTemperature, Unit: design.DegC, K: 1, Source: s.d.PartSource, Rating: design.Known(s.l.TMin),
		Formula: "the relay is made for air from {stress} up; the coldest is {rating}"}
	if a := s.r.Ambient; a != nil {
		hot.Rating, cold.Stress = known(a.Max), known(a.Min)
	}
	if !hot.Rating.OK {
		hot.Needs("ambient.max")
	}
	if !cold.Stress.OK {
		cold.Needs("ambient.min")
	}
	hot.SetCorner(design.CornerValue{Name: "ambient", V: s.l.TMax})
	cold.SetCorner(design.CornerValue{Name: "ambient", V: s.l.TMin})
	judge(&hot)
	judge(&cold)
	// The window has no margin to report: it counts only where it does not hold.
	if hot.Verdict != design.Fits {
		keepWorse(&worst, hot, &has)
	}
	if cold.Verdict != design.Fits {
		keepWorse(&worst, cold, &has)
	}
	return worst, t
}

func (s *relayStage) windingTemperature(rail *job.Rail) (design.Check, design.Number) {
	c := design.Check{Brief: s.env.Brief, ID: design.CoilTemperature, Unit: design.DegC, Temperature: true, Below: s.pol.TjBelow, Ambient: design.Known(s.l.TMax), Source: s.d.PartSource}
	limit, fallback := device.CoilTemperatureMax(s.r)
	c.Rating, c.Fallback = design.Known(limit), fallback
	if fallback {
		c.Because = "no coil maximum is stated: 105 C is believed"
		c.Needs("t_coil_max")
	}
	c.Formula = "T = {T_air} + {R_th}*{V_rail_max}^2/({R_coil}*(234.5 + T)/(234.5 + {T_ref})) = {stress}"
	tref := device.CoilRef(s.r)
	least, _, _ := device.CoilResistance(s.r, tref)
	rth := known(s.r.RthCoil)
	rth.V *= s.heated()
	c.SetArgs(design.Arg{Name: "T_air", V: s.l.TMax, Unit: design.DegC}, design.Arg{Name: "R_th", V: rth.V, Unit: design.KPerW},
		design.Arg{Name: "V_rail_max", V: float64(rail.Max), Unit: design.V}, design.Arg{Name: "R_coil", V: least.V, Unit: design.Ohm}, design.Arg{Name: "T_ref", V: tref, Unit: design.DegC})
	c.SetCorner(design.CornerValue{Name: "rail", V: float64(rail.Max)}, design.CornerValue{Name: "ambient", V: s.l.TMax}, design.CornerValue{Name: "coil.r", V: least.V})
	if !rth.OK || !least.OK {
		if !rth.OK {
			c.Needs("r_th_coil_max")
		}
		if !least.OK {
			c.Needs("r_coil.tolerance")
		}
		return c, design.Number{}
	}
	t, ok := thermal.CoilTemperature(s.l.TMax, rth.V, float64(rail.Max), least.V, tref)
	if !ok {
		c.NoSolution, c.Because = true, "no steady temperature of the coil"
		return c, design.Number{}
	}
	c.Stress = design.Known(t)
	return c, c.Stress
}

const noCoilRail = "no rail feeds the coil"

func (s *relayStage) coilChecks() {
	if rail := s.plan.coil.rail; rail != nil {
		temp, t := s.temperatureCheck(rail)
		s.d.Checks = append(s.d.Checks, s.overvoltageCheck(rail), temp)
		s.valueOf(design.TCoil, t, design.DegC)
		s.touched(t)
	} else {
		s.na(design.CoilOvervoltage, noCoilRail)
		s.na(design.CoilTemperature, noCoilRail)
	}
	if s.l.ReleaseWithin.Known() {
		s.d.Checks = append(s.d.Checks, s.plan.release)
	} else {
		s.na(design.ReleaseTime, "no release time was asked")
	}
	s.valueOf(design.TRelease, s.plan.total, design.S)
}

// releaseTotal is the coil's decay and armature, then the load's own decay and
// what moves in it, s.
func (s *relayStage) releaseTotal(p *relayPlan) design.Number {
	t := p.coil.time
	if !t.OK {
		return t
	}
	if s.l.Rail.AC {
		if s.l.Inductive && !s.l.MechRelease.Known() {
			return design.Number{}
		}
		return design.Known(t.V + s.arcs())
	}
	if !s.l.Inductive {
		return t
	}
	decay := s.loadDecay(p)
	if !decay.OK || !s.l.MechRelease.Known() {
		return design.Number{}
	}
	return design.Known(t.V + decay.V + float64(s.l.MechRelease.Value()))
}

func (s *relayStage) releaseCheck(p *relayPlan) design.Check {
	c := design.Check{Brief: s.env.Brief, ID: design.ReleaseTime, Unit: design.S, K: 1, Source: s.d.PartSource, Rating: design.Known(float64(s.l.ReleaseWithin.Value())), Stress: p.total}
	loadTime := s.arcs()
	if s.l.Rail.AC {
		if s.l.Inductive && !s.l.MechRelease.Known() {
			c.Needs("load.mechanical_release_time")
		}
	} else if s.l.Inductive {
		if decay := s.loadDecay(p); decay.OK {
			loadTime = decay.V
		} else {
			c.Needs("load.inductance")
		}
		if !s.l.MechRelease.Known() {
			c.Needs("load.mechanical_release_time")
		}
		loadTime += float64(s.l.MechRelease.Or(0))
	}
	s.releaseNeeds(&c, p)
	switch {
	case s.board || c.Stress.OK || len(c.Figures()) > 0:
	case p.coil.driver == nil:
		c.Because = noDriver
	default:
		c.Because = "what the driver leaves of the rail for the coil is not known"
	}
	c.Formula = "coil decay {t_coil} + armature {t_relay} + load {t_load} = {stress}"
	c.SetArgs(design.Arg{Name: "t_coil", V: p.coil.decay.V, Unit: design.S}, design.Arg{Name: "t_relay", V: s.armature(), Unit: design.S}, design.Arg{Name: "t_load", V: loadTime, Unit: design.S})
	if s.board {
		c.Formula = "from input to contact {t_relay}, then the load {t_load}: {stress}"
		c.SetArgs(design.Arg{Name: "t_relay", V: p.coil.time.V, Unit: design.S}, design.Arg{Name: "t_load", V: loadTime, Unit: design.S})
	} else if s.latching {
		c.Formula = "a reset pulse turns the load off: it opens the contact within {t_relay}, then the load {t_load}: {stress}"
		c.SetArgs(design.Arg{Name: "t_relay", V: p.coil.time.V, Unit: design.S}, design.Arg{Name: "t_load", V: loadTime, Unit: design.S})
	} else if s.nc {
		c.Formula = "the coil is driven to turn the load off: it opens the contact within {t_relay}, then the load {t_load}: {stress}"
		c.SetArgs(design.Arg{Name: "t_relay", V: p.coil.time.V, Unit: design.S}, design.Arg{Name: "t_load", V: loadTime, Unit: design.S})
	}
	if p.coil.stays {
		c.NoSolution, c.Because = true, "hot, on the lowest rail, the coil does not pick up: the load stays on"
	}
	if rail := p.coil.rail; rail != nil && !s.board && (s.nc || s.latching) { // a hot coil is driven
		c.SetCorner(design.CornerValue{Name: "rail", V: float64(rail.Min)}, design.CornerValue{Name: "ambient", V: s.l.TMax})
	} else {
		c.SetCorner(design.CornerValue{Name: "rail", V: s.l.VMax}, design.CornerValue{Name: "ambient", V: s.l.TMin})
	}
	judge(&c)
	return c
}

// releaseNeeds names the figures of the relay that release-time lacks.
func (s *relayStage) releaseNeeds(c *design.Check, p *relayPlan) {
	if s.board {
		if s.r.TimeMax == nil {
			c.Needs("time_max")
		}
		return
	}
	if s.nc || s.latching {
		if t := s.r.TimeMax; t == nil || !t.Operate.Known() {
			c.Needs("time_max.operate")
		}
		if !s.r.MustOperate.Known() {
			c.Needs("must_operate_max")
		}
		if !s.r.RthCoil.Known() { // its pick-up is not known then
			c.Needs("r_th_coil_max")
		}
		dropNeeds(c, p.coil.driver)
		return
	}
	if !s.r.LCoilMax.Known() {
		c.Needs("l_coil_max")
	}
	if s.r.TimeMax == nil {
		c.Needs("time_max.release")
	}
	if !s.r.MustRelease.Known() {
		c.Needs("must_release_min")
	}
	if s.r.CoilDiode {
		c.Because = "the coil has a diode inside: no faster clamp helps"
	}
}

// dropNeeds names what is not known of the driver's drop, which makes a coil late.
func dropNeeds(c *design.Check, d *design.Design) {
	if c.Stress.OK || d == nil {
		return
	}
	for i := range d.Checks {
		if k := &d.Checks[i]; k.ID == design.CoilPickup {
			for _, figure := range k.Figures() {
				c.Needs(figure)
			}
		}
	}
}

// ---- the contact ----

func (s *relayStage) contactChecks() {
	s.contactVoltage()
	s.d.Checks = append(s.d.Checks, s.plan.current)
	s.contactCarry()
	s.contactInrush()
	s.contactMinimum()
	s.contactRate()
	s.contactLife()
	s.insulation(s.r.Isolation)
	s.value(design.IOn, s.l.IMax, design.A)
}

func (s *relayStage) contactVoltage() {
	c := s.check(design.ContactVoltage, design.V)
	c.Stress, c.Rating = design.Known(s.l.VNom), device.ContactVoltage(s.c, s.l.Rail.AC)
	if !c.Rating.OK {
		c.Rating, c.Because = design.Known(0), "not stated for this supply; a figure for the other never serves"
		key := "v_dc_max"
		if s.l.Rail.AC {
			key = "v_ac_max"
		}
		c.Needs(s.side + key)
	}
	c.Formula = "nominal rail {stress}, the contact switches up to {rating}"
	c.SetCorner(design.CornerValue{Name: "rail", V: s.l.VNom})
	judge(c)
}

func (s *relayStage) currentCheck(duty device.ContactDuty) design.Check {
	f := device.SwitchingCurrent(s.c, duty)
	c := design.Check{Brief: s.env.Brief, ID: design.ContactCurrent, Unit: design.A, K: s.pol.IContact, Source: s.d.PartSource,
		Stress: design.Known(s.l.IMax), Rating: f.Rating, RatingEstimate: f.Estimate, EasyRating: f.Easy, Because: f.Because}
	if f.Figure != "" {
		c.Needs(s.side + f.Figure)
	}
	if f.LoadKey != "" {
		c.Needs(f.LoadKey)
	}
	c.Formula = currentFormula(f.Category)
	v := duty.V
	if duty.Clamp.OK && f.Category != "DC-13" && duty.Inductive {
		v += duty.Clamp.V
	}
	c.SetArgs(design.Arg{Name: "V", V: v, Unit: design.V})
	if f.Category == "DC-13" && !duty.LoverR.OK {
		p := s.l.VNom * s.l.INom
		c.Formula = "steady {stress}; category DC-13 at {V} or more, for the L/R of the load, which nobody stated: the category's magnet of {P} has {L_R}"
		c.SetArgs(design.Arg{Name: "V", V: v, Unit: design.V}, design.Arg{Name: "P", V: p, Unit: design.W}, design.Arg{Name: "L_R", V: device.MagnetTimeConstant(p), Unit: design.S})
	}
	c.SetCorner(design.CornerValue{Name: "rail", V: s.l.VMax}, design.CornerValue{Name: "ambient", V: s.l.TMin}, design.CornerValue{Name: "load.r", V: s.l.RMin})
	judge(&c)
	return c
}

// currentFormula is the formula of contact-current by the category used.
func currentFormula(category string) string {
	switch category {
	case "DC-1":
		return "steady {stress}; category DC-1 at {V} or more: {rating}"
	case "DC-3":
		return "steady {stress}; category DC-3 at {V} or more: {rating}"
	case "DC-5":
		return "steady {stress}; category DC-5 at {V} or more: {rating}"
	case "DC-6":
		return "steady {stress}; category DC-6 at {V} or more: {rating}"
	case "AC-1":
		return "steady {stress}; category AC-1 at {V} or more: {rating}"
	case "AC-3":
		return "steady {stress}; category AC-3 at {V} or more: {rating}"
	case "AC-5b":
		return "steady {stress}; category AC-5b at {V} or more: {rating}"
	case "AC-15":
		return "steady {stress}; category AC-15 at {V} or more: {rating}"
	case "DC-13":
		return "steady {stress}; category DC-13 at {V} or more: {rating}"
	}
	return "steady {stress}; the contact's figure at {V} or more: {rating}"
}

// contactCarry judges what the closed contact carries: the steady current and
// the mean of the inrushes, and a jammed motor's current for ever.
func (s *relayStage) contactCarry() {
	l := s.l
	c := s.check(design.ContactCarry, design.A)
	c.K, c.Rating = s.pol.IContact, device.Carry(s.c)
	if !c.Rating.OK {
		c.Needs(s.side + "i_carry_max")
	}
	rms := l.IMax
	c.Formula = "RMS current {stress}, the closed contact carries {rating}"
	if l.HasInrush && l.PeakKnown {
		switch l.Pulse.Shape {
		case load.ForEver:
			rms = max(rms, l.InrushRMS())
			c.Because = "a jammed motor stays jammed: its stall current is carried for ever"
		case load.Rectangle, load.Decay:
			mean := math.Sqrt(l.IMax*l.IMax + l.Pulse.I2t*max(l.OpsPerSecond, l.Frequency))
			most := l.InrushRMS()
			if l.Rail.AC { // again and again it is no more than sines of that crest
				most = l.Pulse.Peak / math.Sqrt2
			}
			rms = max(rms, min(mean, max(l.IMax, most)))
		}
		if l.PeakAssumed && rms > l.IMax {
			c.EasyStress = design.Known(l.IMax)
			c.Needs(l.InrushField())
		}
	}
	c.Stress = design.Known(rms)
	c.SetCorner(design.CornerValue{Name: "rail", V: l.VMax}, design.CornerValue{Name: "ambient", V: l.TMin})
	judge(c)
}

func (s *relayStage) contactInrush() {
	l := s.l
	if !l.HasInrush && l.PeakKnown && !s.held {
		s.na(design.ContactInrush, "the load has no inrush")
		return
	}
	f := s.makes()
	c := s.check(design.ContactInrush, design.A)
	c.K, c.Rating, c.RatingEstimate, c.Fallback, c.Because = s.pol.InrushContact, f.Rating, f.Estimate, f.Fallback, f.Because
	if f.Figure != "" {
		c.Needs(s.side + f.Figure)
	}
	if l.PeakKnown {
		c.Stress, c.EasyStress = design.Known(l.PeakCurrent()+s.discharge()), l.EasyPeak()
		if c.EasyStress.OK {
			c.EasyStress.V += s.discharge()
		}
		s.value(design.IPeak, l.PeakCurrent(), design.A)
	} else {
		c.Because = "the inrush is not stated, or stated without a source"
		c.Needs(l.InrushField())
	}
	if l.PeakAssumed {
		c.Needs(l.InrushField())
	}
	c.Formula = "inrush {stress} when the contact closes; it may make {rating}"
	if s.held {
		c.Formula = "inrush {I_load} and {I_snubber} of the snubber's discharge when the contact closes: {stress}; it may make {rating}"
		c.SetArgs(design.Arg{Name: "I_load", V: l.PeakCurrent(), Unit: design.A}, design.Arg{Name: "I_snubber", V: s.discharge(), Unit: design.A})
	}
	c.SetCorner(design.CornerValue{Name: "rail", V: l.VMax}, design.CornerValue{Name: "ambient", V: l.TMin})
	judge(c)
}

// makes is what the contact may close on.
func (s *relayStage) makes() device.ContactFigure {
	return device.MakeCurrent(s.c, s.duty(), makeTime(s.l.Pulse))
}

// makeTime is how long an inrush lasts for a make figure, s: a rectangle's
// length; of a decay its time constant, a rectangle of which heats the contact
// twice as much as the decay does; else without end.
func makeTime(p load.Pulse) float64 {
	if p.Shape == load.Rectangle || p.Shape == load.Decay {
		return p.T
	}
	return math.Inf(1)
}

// contactMinimum judges whether the load is enough to keep the contact clean. A
// stated minimum is a recommendation, so that short of it is unproven.
func (s *relayStage) contactMinimum() {
	l := s.l
	needV, needI := device.MinimumLoad(s.c)
	if !needV.OK && !needI.OK {
		if l.IMin >= device.MinimumCurrent && l.VMin >= device.MinimumVoltage {
			s.na(design.ContactMinimum, "the load has 0.1 A and 5 V or more")
			return
		}
		c := s.check(design.ContactMinimum, design.A)
		c.Rating = design.Known(l.IMin)
		c.Because = "under 0.1 A or 5 V a contact needs a stated minimum load"
		c.Needs(s.side + "wetting.i")
		c.Formula = "the load's least current is {rating}; the contact's least is not stated"
		c.SetCorner(design.CornerValue{Name: "rail", V: l.VMin})
		judge(c)
		return
	}
	c := s.check(design.ContactMinimum, design.A)
	c.Stress, c.Rating = needI, design.Known(l.IMin)
	c.Formula = "the contact wants {stress} or more to stay clean; the load's least is {rating}"
	if needV.OK && (!needI.OK || needV.V*l.IMin > needI.V*l.VMin) {
		c.Unit, c.Stress, c.Rating = design.V, needV, design.Known(l.VMin)
	}
	// Short of a recommendation is not proof of failure.
	c.Fallback = true
	if !design.AtMost(c.Stress.V, c.Rating.V) {
		c.Because = "less than the recommended minimum load: the contact may not stay clean"
		if c.Unit == design.V {
			c.Needs(s.side + "wetting.v")
		} else {
			c.Needs(s.side + "wetting.i")
		}
	}
	c.SetCorner(design.CornerValue{Name: "rail", V: l.VMin})
	judge(c)
}

func (s *relayStage) contactRate() {
	c := s.check(design.ContactRate, design.PerHour)
	c.Stress = design.Known(max(s.l.OpsPerSecond, s.l.Frequency) * 3600)
	c.Rating, c.RatingEstimate, c.Fallback = device.ContactRate(s.r, s.c)
	if c.Fallback {
		c.Because = "no switching rate is stated: 360 /h is believed"
		c.Needs(s.side + "rate_max")
	}
	c.Formula = "{stress} operations an hour; the contact is made for {rating}"
	c.SetCorner(design.CornerValue{Name: "frequency", V: s.l.Frequency})
	judge(c)
}

func (s *relayStage) contactLife() {
	l := s.l
	f := device.ContactLife(s.c, s.duty(), l.IMax)
	if n := s.r.LifeMech; n != nil && f.Rating.OK {
		f.Rating.V = min(f.Rating.V, *n)
	}
	if f.Rating.OK {
		s.value(design.ContactLifeOps, f.Rating.V, design.Ops)
		if l.OperationsPerYear > 0 {
			years := f.Rating.V / l.OperationsPerYear
			s.value(design.LifeYears, years, design.Years)
			if years < 1 {
				s.caution(design.CautionLife)
			}
		}
	}
	life, asked := l.Life.Get()
	if !asked {
		return
	}
	c := s.check(design.ContactLife, design.Ops)
	c.K, c.Stress, c.Rating, c.RatingEstimate = s.pol.Life, design.Known(float64(life)*l.OperationsPerYear), f.Rating, f.Estimate
	if !f.Rating.OK {
		c.Because = "no life is stated for this kind of load and current"
		c.Needs(s.side + f.Figure)
	}
	c.Formula = "{years} x {per_year} = {stress}; the contact lasts {rating}"
	c.SetArgs(design.Arg{Name: "years", V: float64(life), Unit: design.Years}, design.Arg{Name: "per_year", V: l.OperationsPerYear, Unit: design.Ops})
	c.SetCorner(design.CornerValue{Name: "rail", V: l.VMax})
	judge(c)
}

// ---- the load's side ----

func (s *relayStage) loadChecks() {
	s.clampChecks()
	r, fallback := s.contactResistance()
	drop := s.l.ILow * r
	if s.fuse != nil {
		drop += s.l.ILow * float64(s.fuse.RCold.Or(0))
	}
	before := len(s.d.Checks)
	s.loadVoltage(design.Known(drop), design.Number{})
	if len(s.d.Checks) > before && fallback {
		c := &s.d.Checks[len(s.d.Checks)-1]
		c.Fallback = true
		if c.Verdict > design.Tight {
			c.Needs(s.side + "r_contact_max")
		}
		judge(c)
	}
	s.value(design.VOn, drop, design.V)
	s.value(design.ROn, r, design.Ohm)
	s.value(design.POn, s.l.IHot*s.l.IHot*r, design.W)
	s.seriesLED(nodeRail)
	s.loadRailCurrent()
}

func (s *relayStage) clampChecks() {
	if s.l.Rail.AC {
		s.acrossChecks()
		return
	}
	if !s.l.Inductive {
		for _, id := range [...]design.CheckID{design.ClampVoltage, design.ClampStandoff, design.ClampCurrent, design.ClampEnergy, design.ClampPower} {
			s.na(id, "the load is not inductive")
		}
		return
	}
	o := s.plan.clamp
	if s.held {
		s.rcChecks()
		if o == nil {
			return
		}
	}
	if o == nil {
		c := s.check(design.ClampVoltage, design.V)
		c.NoSolution, c.Because, c.Stress = true, nothingLimits, design.Known(s.l.VMax)
		c.Formula = "no clamp across the load: the contact draws an arc at whatever voltage that takes"
		judge(c)
		for _, id := range [...]design.CheckID{design.ClampStandoff, design.ClampCurrent, design.ClampEnergy, design.ClampPower} {
			s.na(id, "there is no clamp")
		}
		return
	}
	checks, na := s.evaluated(o)
	for i := range checks {
		if checks[i].ID != design.ReleaseTime {
			s.d.Checks = append(s.d.Checks, checks[i])
		}
	}
	for _, n := range na {
		if n.ID != design.ReleaseTime {
			s.d.NA = append(s.d.NA, n)
		}
	}
	s.d.Choice.AtSwitch = o.AtSwitch
	if !s.env.Brief {
		s.d.Choice.Clamp = o.IDs()
	}
	s.valueOf(design.TDecay, o.TDecay, design.S)
	s.valueOf(design.ETurnoff, o.ETurnoff, design.J)
	s.valueOf(design.PClamp, o.PClamp, design.W)
	s.valueOf(design.VPeakOff, o.VPeak, design.V)
	for i, p := range o.Parts {
		s.buy(loadClampRefs[i], p)
	}
}

// loadClampRefs leave D1 to D4 to the driver of the coil.
var loadClampRefs = [...]string{"D5", "D6", "D7", "D8"}

// loadRailCurrent judges the load's rail; the coil counts with it where both
// hang on one, and so does what its driver takes beside it.
func (s *relayStage) loadRailCurrent() {
	defer s.wireCurrent()
	s.d.Draws = append(s.d.Draws, design.Draw{Rail: s.l.Rail.Name, A: s.l.IMax})
	limit, ok := s.l.Rail.CurrentMax.Get()
	if !ok {
		s.na(design.RailCurrent, "what the rail can give was not stated")
		s.caution(design.CautionRailUnknown)
		return
	}
	coil := 0.0
	if k := &s.plan.coil; k.driver != nil && (*k.rail == s.l.Rail || k.rail.IsPin && s.l.Rail.IsPin) {
		coil = valueIn(k.driver, design.IOn).V
	}
	c := s.check(design.RailCurrent, design.A)
	c.Formula = "load {I_load} and coil {I_coil} on this rail = {stress}; it gives {rating}"
	if all := s.driverDraws(s.l.Rail.Name); all > coil*(1+1e-9) {
		coil = all
		c.Formula = "load {I_load}, coil and driver {I_coil} on this rail = {stress}; it gives {rating}"
	}
	c.Stress, c.Rating, c.Source = design.Known(s.l.IMax+coil), design.Known(float64(limit)), "the job"
	c.SetArgs(design.Arg{Name: "I_load", V: s.l.IMax, Unit: design.A}, design.Arg{Name: "I_coil", V: coil, Unit: design.A})
	c.SetCorner(design.CornerValue{Name: "rail", V: s.l.VMax}, design.CornerValue{Name: "ambient", V: s.l.TMin})
	judge(c)
}

// driverDraws is what the coil and its driver take from the rail of that name, A.
func (s *relayStage) driverDraws(rail string) (sum float64) {
	d := s.plan.coil.driver
	if d == nil {
		return 0
	}
	for _, x := range d.Draws {
		if x.Rail == rail {
			sum += x.A
		}
	}
	return sum
}

// ---- the driver ----

// driverRelease is why a coil's driver has no release-time of its own.
const driverRelease = "the relay's own release-time judges coil and load together"

const noDriver = "no switch of the catalogue can drive this coil from the pin"

func (s *relayStage) driverChecks() {
	k := &s.plan.coil
	if k.driver == nil {
		c := s.check(design.CoilPickup, design.V)
		c.Stage, c.NoSolution, c.Because = design.StageDriver, true, noDriver
		if least, _, _ := device.CoilResistance(s.r, s.l.TMin); !least.OK && k.rail != nil {
			c.NoSolution, c.Because = false, "the coil's resistance is not stated with its tolerance: no driver can be designed"
			c.Needs("r_coil.nominal")
			c.Needs("r_coil.tolerance")
		}
		c.Stress = device.PickUp(s.r, s.l.TMax)
		c.Formula = "the coil needs {stress} and nothing drives it"
		judge(c)
		return
	}
	d := k.driver
	s.d.Driver = d
	s.touched(valueIn(d, design.TTouch))
	s.d.Choice.CoilRail = k.rail.Name
	s.adoptDriver(d)
	s.d.NA = append(s.d.NA, design.NotApplicable{ID: design.ReleaseTime, Stage: design.StageDriver, Why: driverRelease})
	s.buyDrivers(d)
	s.d.PinCurrent, s.d.PinSink = d.PinCurrent, d.PinSink
	s.d.Draws = append(s.d.Draws, d.Draws...)
	coil := valueIn(d, design.IOn)
	if !s.latching { // nothing keeps that on
		s.valueOf(design.IHold, coil, design.A)
	}
	s.valueOf(design.IPin, valueIn(d, design.IPin), design.A)
	s.totalHeat(d, coil)
	for _, id := range d.Cautions {
		if id != design.CautionFuse { // of the coil's rail; the load's own tells its own
			s.caution(id)
		}
	}
	s.caution(design.CautionStored)
	if s.nc {
		s.caution(design.CautionClosed)
	}
}

// adoptDriver tells the driver's checks and what does not apply to it as the driver's. Where
// that has a driver of its own, a level shifter, the worse of a check stands for both.
func (s *relayStage) adoptDriver(d *design.Design) {
	for i := range d.Checks {
		c := &d.Checks[i]
		if c.ID == design.ReleaseTime || c.Stage != design.StageSelf {
			continue
		}
		s.d.Checks = append(s.d.Checks, *c)
		s.d.Checks[len(s.d.Checks)-1].Stage = design.StageDriver
	}
	for _, n := range d.NA {
		if n.ID != design.ReleaseTime && n.Stage == design.StageSelf {
			n.Stage = design.StageDriver
			s.d.NA = append(s.d.NA, n)
		}
	}
	for i := range d.Checks {
		if c := &d.Checks[i]; c.Stage != design.StageSelf {
			s.worseCheck(c)
		}
	}
}

// totalHeat is what contact, coil and driver turn into heat, W.
func (s *relayStage) totalHeat(d *design.Design, coil design.Number) {
	r, _ := s.contactResistance()
	p := s.l.IHot * s.l.IHot * r
	if s.latching { // a coil is on for a pulse only, and so is its driver
		s.value(design.PTotal, p+s.pulseShare()*(float64(s.plan.coil.rail.Max)*coil.V+valueIn(d, design.PTotal).V), design.W)
		return
	}
	p += float64(s.plan.coil.rail.Max) * coil.V
	s.value(design.PTotal, p+valueIn(d, design.PTotal).V, design.W)
}

// draw places contact, coil, load and clamp. The contact stands on the rail's
// side unless the load asks for the low side.
func (s *relayStage) draw() {
	if s.env.Brief {
		return
	}
	s.d.Driver = drawnDriver(s.d.Driver, s.r)
	s.drawContact("K1", s.coilElement(design.RoleCoil, "coil+", "coil-"))
}

// drawContact places contact, load and clamp, after what drives the contact.
func (s *relayStage) drawContact(ref string, drives ...design.Element) {
	l := s.l
	ground := nodeGround
	if !l.Rail.CommonPin {
		ground = "load-ground"
	}
	s.d.Elements = append(s.d.Elements,
		design.Element{Ref: "V2", Role: design.RoleRail, Kind: "rail", Value: l.VNom, Unit: design.V, HasValue: true, Nodes: []string{nodeRail, ground}})
	s.d.Elements = append(s.d.Elements, drives...)
	plus, minus := "load", ground
	contactA, contactB := nodeRail, "load"
	if l.Side == "low" {
		plus, minus = nodeRail, "load"
		contactA, contactB = "load", ground
	}
	kind := "relay-contact"
	if s.nc {
		kind = "relay-contact-nc"
	}
	switch s.poles {
	case job.PolesSeries:
		s.element(ref, design.RoleSwitch, kind, s.r.ID, contactA, "poles")
		s.element(ref, design.RoleSwitch, kind, s.r.ID, "poles", contactB)
	case job.PolesParallel:
		s.element(ref, design.RoleSwitch, kind, s.r.ID, contactA, contactB)
		fallthrough
	default:
		s.element(ref, design.RoleSwitch, kind, s.r.ID, contactA, contactB)
	}
	s.drawAcross(contactA, contactB)
	from := plus
	if l.RSeries.OK {
		from = "led"
		s.moveSeriesResistor(plus)
	}
	s.d.Elements = append(s.d.Elements, design.Element{Ref: "LOAD", Role: design.RoleLoad, Kind: string(l.Kind), Value: l.INom, Unit: design.A, HasValue: true, Nodes: []string{from, minus}})
	s.drawClamp(minus, plus, ground)
}

// moveSeriesResistor hangs a bare LED's resistor on the node that feeds it.
func (s *relayStage) moveSeriesResistor(from string) {
	for i := range s.d.Elements {
		if e := &s.d.Elements[i]; e.Role == design.RoleSeriesResistor {
			e.Nodes = []string{from, "led"}
		}
	}
}

func (s *relayStage) drawClamp(minus, plus, ground string) {
	o := s.plan.clamp
	if o == nil {
		return
	}
	at := len(s.d.Elements)
	s.clampElements(o, minus, plus, ground)
	for i := range s.d.Elements[at:] {
		s.d.Elements[at+i].Ref = loadClampRefs[i]
	}
}

func (s *relayStage) coilElement(role design.Role, a, b string) design.Element {
	return coilElement(s.r, role, a, b)
}

func coilElement(r *catalog.Relay, role design.Role, a, b string) design.Element {
	_, nominal, _ := device.CoilResistance(r, device.CoilRef(r))
	return design.Element{Ref: "K1", Role: role, Kind: "relay-coil", Part: r.ID, Value: nominal.V, Unit: design.Ohm, HasValue: nominal.OK, Nodes: []string{a, b}}
}

// drawnDriver is the driver with the relay's coil in place of its load and
// without the release-time that steered its clamp. The shared design is copied,
// never changed.
func drawnDriver(d *design.Design, r *catalog.Relay) *design.Design {
	if d == nil {
		return nil
	}
	c := *d
	c.Elements = append([]design.Element(nil), d.Elements...)
	for i := range c.Elements {
		if e := &c.Elements[i]; e.Role == design.RoleLoad && len(e.Nodes) == 2 {
			*e = coilElement(r, design.RoleLoad, e.Nodes[0], e.Nodes[1])
		}
	}
	c.Checks, c.NA = nil, nil
	for i := range d.Checks {
		if d.Checks[i].ID != design.ReleaseTime {
			c.Checks = append(c.Checks, d.Checks[i])
		}
	}
	for _, n := range d.NA {
		if n.ID != design.ReleaseTime {
			c.NA = append(c.NA, n)
		}
	}
	c.NA = append(c.NA, design.NotApplicable{ID: design.ReleaseTime, Why: driverRelease})
	design.Conclude(&c)
	return &c
}
