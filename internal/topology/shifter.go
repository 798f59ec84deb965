package topology

import (
	"math"
	"slices"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/clamp"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/device"
	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/load"
	q "example.org/pinhoist/internal/quantity"
)

// A high side hangs its load between switch and ground, so that its base or gate
// lives near the rail. A pin cannot go there, unless the rail is its own: what
// pulls it down is a level shifter, a low-side stage of its own whose load is the
// resistance between its output and the rail.

// nodeShift is the output of a level shifter.
const nodeShift = "shift"

// shiftDemand is what a stage asks of its level shifter.
type shiftDemand struct {
	ohms, tol float64 // between its output and the rail: nominal and tolerance
	drop      float64 // the most that it may drop when on, V
	leak      float64 // the most that it may leak when off, A
	peak      float64 // a gate's charge on top of that: A at its peak, 0: none
	length    float64 // s, of a rectangle of it; 0: not known
	drawn     float64 // ohm, of what really stands there; 0: as said
}

// shiftedBy is what a level shifter is asked to carry for a gate: two bounds, of which
// neither is always the closer one, so that a stage as it stands keeps its own.
type shiftedBy int

const (
	bySteady shiftedBy = iota + 1 // the whole rail across the gate resistor, for ever
	byPulse                       // a steady current, and the gate's charge as a pulse
)

// shifter is a level shifter as its stage sees it. It is shared and never changed.
type shifter struct {
	d           *design.Design
	drop        design.Number // V when on, at the most, with the rail at its lowest
	dropTop     design.Number // the same at its highest
	leak        design.Number // A when off, at its own hottest junction
	boot        float64       // A into its output while its rail rises
	bootUnknown bool          // that is not known
	on, off     design.Number // s, of its edges
	draw        float64       // A from the rail when on
	drawn       float64       // ohm, of what really stands at its output; 0: its load
	pulsed      bool          // it is asked for a gate's charge as a pulse
}

// lift is how far what its output takes while the rail rises raises a control that
// ohms hold, V. How fast the rail rises is assumed.
func (sh *shifter) lift(ohms, rail float64) float64 {
	if sh == nil || sh.boot <= 0 {
		return 0
	}
	return raised(sh.boot, ohms, rail)
}

// liftUnknown turns a stays-off check to an estimate where what the output takes while
// the rail rises is not known; calm is the stress without it, V.
func (sh *shifter) liftUnknown(c *design.Check, calm float64) {
	if sh == nil || !sh.bootUnknown {
		return
	}
	c.Stress, c.StressEstimate, c.EasyStress = design.Number{}, design.Known(calm), design.Known(calm)
	c.Needs("c_oss_max of the level shifter")
}

// delays are what the edges of a stage wait for, s: its level shifter, a gate
// that is emptied slowly. The zero one is none.
type delays struct {
	on, off design.Number
	any     bool
}

// delays are the shifter's own edges, which those of its stage wait for.
func (sh *shifter) delays() delays {
	if sh == nil {
		return delays{}
	}
	return delays{on: sh.on, off: sh.off, any: true}
}

// whole adds the delays to the edges of a stage. Where one is not known neither
// is the sum.
func (w *delays) whole(on, off design.Number) (design.Number, design.Number) {
	if !w.any {
		return on, off
	}
	return addCost(on, w.on), addCost(off, w.off)
}

// serveHighSide says why a high-side stage without isolation cannot serve a
// load, or "".
func serveHighSide(l *load.Model) string {
	switch why := serveSilicon(l); {
	case why != "":
		return why
	case l.Side == "low":
		return "the load asks for a switch on the low side"
	}
	return ""
}

// shiftSteps are the drops, V, that a level shifter may be asked to keep under:
// few, so that stages of a run share their shifters.
var shiftSteps = [...]float64{5, 2, 1, 0.5, 0.2, 0.1, 0.05, 0.02}

// dropUnder is the greatest step of at most v, V.
func dropUnder(v float64) float64 {
	for _, s := range shiftSteps {
		if s <= v {
			return s
		}
	}
	return shiftSteps[len(shiftSteps)-1]
}

// leakUnder is the greatest of 1, 2 and 5 times a power of ten of at most a
// current, A.
func leakUnder(i float64) float64 {
	if i <= 1e-9 {
		return 1e-9
	}
	e := math.Pow(10, math.Floor(math.Log10(i)))
	for _, m := range [...]float64{5, 2} {
		if m*e <= i {
			return m * e
		}
	}
	return e
}

// shiftLoad is the resistance that a level shifter pulls down, as a load on the
// stage's rail that is switched as the stage's own is.
func (s *stage) shiftLoad(w shiftDemand) job.Load {
	return shiftLoad(&s.l.Load, &s.l.Rail, w)
}

// shiftLoad is such a resistance on a rail, switched as a load is.
func shiftLoad(of *job.Load, rail *job.Rail, w shiftDemand) job.Load {
	l := job.Load{
		Name: of.Name, Kind: job.Resistive, Rail: *rail,
		Current: q.Amp(float64(rail.Nom) / w.ohms), R: q.Some(q.Ohm(w.ohms)), Tolerance: q.Ratio(w.tol),
		Inrush: job.Figure[q.Ratio]{Value: 1, Known: true, Field: "load.inrush_factor"},
		Side:   "low", Mode: of.Mode, PWMFrequency: of.PWMFrequency, Period: of.Period,
		Rate: of.Rate, Duty: of.Duty, DutyMin: of.DutyMin, DutyMax: of.DutyMax, DutyEnforced: of.DutyEnforced,
		Unpowered: "off", Quantity: of.Quantity,
		OffCurrent: job.Figure[q.Amp]{Value: q.Amp(w.leak), Known: true},
		VoltageMin: job.Figure[q.Volt]{Value: rail.Min - q.Volt(w.drop), Known: true},
	}
	if w.peak > 0 {
		l.InrushCurrent = q.Some(q.Amp(w.peak))
	}
	if w.length > 0 {
		l.InrushTime = q.Some(q.Second(w.length))
	}
	return l
}

// shiftKey is everything that a level shifter depends on, by value.
type shiftKey struct {
	policy           *catalog.Policy
	cat              *catalog.Catalog
	name, rail, mode string
	given            *Given // of a shifter that is stated
	part             string
	bits             [20]uint64
	drawn            float64 // as in shiftDemand: what is remembered holds it
}

func (s *stage) shiftKey(l *job.Load) shiftKey {
	k := shiftKey{policy: s.pol, cat: s.env.Catalog, name: l.Name, rail: l.Rail.Name, mode: l.Mode}
	for i, v := range [len(k.bits)]float64{
		float64(l.Rail.Min), float64(l.Rail.Nom), float64(l.Rail.Max), float64(l.Rail.CurrentMax.Or(-1)),
		float64(l.R.Or(-1)), float64(l.Tolerance), float64(l.OffCurrent.Value), float64(l.VoltageMin.Value),
		float64(l.PWMFrequency), float64(l.Period), float64(l.Rate), float64(l.Duty), float64(l.DutyMin), float64(l.DutyMax),
		flag(l.DutyEnforced), float64(l.Quantity), flag(s.env.Brief), flag(l.Rail.IsPin),
		float64(l.InrushCurrent.Or(-1)), float64(l.InrushTime.Or(-1)),
	} {
		k.bits[i] = math.Float64bits(v)
	}
	return k
}

// shiftedBefore is what a stage asked last, and got.
type shiftedBefore struct {
	asked shiftDemand
	sh    *shifter
}

// shift is the level shifter for a demand: the best verdict, then the cheapest;
// or the one that is stated. Nil where nothing can be one.
func (s *stage) shift(w shiftDemand) *shifter {
	if s.shifted.asked == w {
		return s.shifted.sh
	}
	s.shifted.asked, s.shifted.sh = w, s.shifterFor(w)
	return s.shifted.sh
}

func (s *stage) shifterFor(w shiftDemand) *shifter {
	l := s.shiftLoad(w)
	key := s.shiftKey(&l)
	key.given, key.part, key.drawn = s.given.Driver, s.given.DriverPart, w.drawn
	if s.given.Shifter.Said && s.given.DriverPart == "" {
		key.part = s.given.Shifter.ID
	}
	memo := s.env.shifters
	if memo != nil {
		if sh, ok := memo.get(key); ok {
			return sh.(*shifter)
		}
	}
	m := load.New(&l, s.env.Air, s.env.ledResistor)
	if w.peak > 0 {
		m.Memo = gateCharge{}
	}
	var sh *shifter
	if d := s.env.designShifter(m, key.part, s.given.DriverTopology, key.given); d != nil {
		sh = s.env.asShifter(d, m)
		sh.drawn, sh.pulsed = w.drawn, w.peak > 0
	}
	if memo != nil {
		memo.put(key, sh)
	}
	return sh
}

// shifting are the stages that may be level shifters.
var shifting = [...]Topology{npnLow{}, nMOSFETLow{}}

// designShifter is the level shifter for a load.
func (e *Env) designShifter(m *load.Model, part, topology string, given *Given) *design.Design {
	return e.designAmong(e.transistors, shifting[:], m, part, topology, given)
}

// designAmong takes the best verdict, then the cheapest, then the first, of stages
// around parts that come cheapest first. Those that cannot fit are looked at only
// where no other does, and once a stage fits those that cannot be cheaper are not.
func (e *Env) designAmong(parts []catalog.Part, among []Topology, m *load.Model, part, topology string, given *Given) *design.Design {
	free := given == nil
	if free {
		given = &Given{}
	}
	c := contest{env: e, among: among, m: m, topology: topology, given: given, best: e.borrow(), trial: e.borrow()}
	defer func() { e.giveBack(c.best); e.giveBack(c.trial) }()
	if among[0].Side() == "low" {
		c.reach, c.byPin = shiftReach(e, m), free
	} else if free && !m.Rail.IsPin {
		c.shifter = e.leastShifter(m.VMax)
	}
	for i, sw := range parts {
		if c.beaten(priceOf(sw.Base()) + c.shifter) {
			break // by all that follow too
		}
		if (part == "" || sw.Base().ID == part) && c.mayFit(sw) {
			c.enter(sw, i)
		}
	}
	if c.found && c.best.Verdict == design.Fits {
		return c.best.Clone()
	}
	for i, sw := range parts {
		if (part == "" || sw.Base().ID == part) && !c.mayFit(sw) {
			if !c.strong(sw) {
				i += len(parts)
			}
			c.enter(sw, i)
		}
	}
	if !c.found {
		return nil
	}
	return c.best.Clone()
}

// contest is the search for one stage among several.
type contest struct {
	env         *Env
	among       []Topology
	m           *load.Model
	topology    string // the only one, "" any
	given       *Given
	reach       *Reach  // of a low side, nil for another
	byPin       bool    // the pin drives the stage, whose resistors are all chosen
	shifter     float64 // the least that the level shifter of a high side costs
	best, trial *design.Design
	found       bool
	place       int // of the best: among equals the first is taken
}

// strong reports whether a transistor bears the rail and the current, and can do what
// the load of a low side asks, with the policy's margin.
func (c *contest) strong(sw catalog.Part) bool {
	return c.env.mayShift(c.m, sw) && (c.reach == nil || c.reach.Verdict(sw) == design.Fits)
}

// mayFit reports whether nothing that is seen at once keeps a stage around a part
// from fitting.
func (c *contest) mayFit(sw catalog.Part) bool {
	return c.strong(sw) && c.holdsOff(sw)
}

// holdsOff reports whether a transistor leaks no more than the load tolerates while off.
func (c *contest) holdsOff(sw catalog.Part) bool {
	var leak design.Number
	switch p := sw.(type) {
	case *catalog.BJT:
		leak = device.CollectorLeakage(p, c.m.VMax, c.m.TMax)
	case *catalog.MOSFET:
		leak = device.DrainLeakage(p, c.m.VMax, c.m.TMax)
	}
	return !c.m.OffCurrent.Known || leak.OK && design.AtMost(leak.V, float64(c.m.OffCurrent.Value))
}

func (c *contest) enter(sw catalog.Part, place int) {
	for _, t := range c.among {
		if c.topology != "" && t.ID() != c.topology || c.loses(sw) || t.Serves(c.env, c.m, sw) != "" {
			continue
		}
		t.Design(c.env, c.m, sw, c.given, c.trial)
		if !c.found || c.wins(place) {
			c.best, c.trial, c.found, c.place = c.trial, c.best, true, place
		}
	}
}

// wins reports whether the trial beats the best: by its verdict, then its cost, then
// its place.
func (c *contest) wins(place int) bool {
	a, b := c.trial, c.best
	if a.Verdict != b.Verdict {
		return a.Verdict < b.Verdict
	}
	return cheaper(a.Cost.Amount, b.Cost.Amount) || place < c.place && !cheaper(b.Cost.Amount, a.Cost.Amount)
}

// loses reports whether a stage that fits is there, and one around a part costs no
// less, by its price and those of what it cannot do without.
func (c *contest) loses(sw catalog.Part) bool {
	return c.beaten(priceOf(sw.Base()) + c.env.leastBeside(sw, c.byPin) + c.shifter)
}

// beaten reports whether a stage that fits is there and costs no more than one that
// costs price for each that the load asks for.
func (c *contest) beaten(price float64) bool {
	return c.found && c.best.Verdict == design.Fits && c.best.Cost.Amount.OK &&
		price*float64(max(1, c.m.Quantity)) >= c.best.Cost.Amount.V
}

// leastShifter is the least that a level shifter costs which bears a rail of so many
// volts and which the pin can drive.
func (e *Env) leastShifter(volts float64) float64 {
	least := math.Inf(1)
	for _, sw := range e.transistors {
		price := priceOf(sw.Base())
		if price >= least {
			break
		}
		if p, ok := sw.(*catalog.MOSFET); ok {
			if ron, _, _ := device.OnResistance(p, float64(e.Pin.SupplyMin), 0); !ron.OK {
				continue
			}
		}
		if e.blocks(volts, sw) {
			least = min(least, price+e.leastBeside(sw, true))
		}
	}
	return least
}

// mayShift reports whether a transistor bears the rail and the current with the
// policy's margin: without it its stage is tight at best.
func (e *Env) mayShift(m *load.Model, sw catalog.Part) bool {
	switch p := sw.(type) {
	case *catalog.BJT:
		return e.blocks(m.VMax, sw) && design.AtMost(m.IMax, e.Policy.I*float64(p.ICMax.Or(0)))
	case *catalog.MOSFET:
		return e.blocks(m.VMax, sw) && design.AtMost(m.IMax, e.Policy.I*float64(p.IDCase25.Or(0)))
	}
	return false
}

// blocks reports whether a transistor bears a voltage with the policy's margin.
func (e *Env) blocks(volts float64, sw catalog.Part) bool {
	switch p := sw.(type) {
	case *catalog.BJT:
		return design.AtMost(volts, e.Policy.V*float64(p.VCEOMax.Or(0)))
	case *catalog.MOSFET:
		return design.AtMost(volts, e.Policy.FETVoltage()*float64(p.VDSMax.Or(0)))
	}
	return false
}

// transistorsOf are the transistors of a polarity and a channel, cheapest first,
// those without a price last, then by id.
func transistorsOf(cat *catalog.Catalog, polarity, channel string) []catalog.Part {
	parts := make([]catalog.Part, 0, len(cat.BJTs)+len(cat.MOSFETs))
	for i := range cat.BJTs {
		if cat.BJTs[i].Polarity == polarity {
			parts = append(parts, &cat.BJTs[i])
		}
	}
	for i := range cat.MOSFETs {
		if cat.MOSFETs[i].Channel == channel {
			parts = append(parts, &cat.MOSFETs[i])
		}
	}
	slices.SortFunc(parts, func(a, b catalog.Part) int {
		switch p, r := priceOf(a.Base()), priceOf(b.Base()); {
		case p < r:
			return -1
		case p > r:
			return 1
		case a.Base().ID < b.Base().ID:
			return -1
		}
		return 1
	})
	return parts
}

// asShifter is what a stage needs to know of its level shifter.
func (e *Env) asShifter(d *design.Design, m *load.Model) *shifter {
	sh := &shifter{d: d, drop: valueIn(d, design.VOn), on: valueIn(d, design.TOn), off: valueIn(d, design.TOff), draw: m.IMax}
	sh.dropTop = sh.drop
	hot := valueIn(d, design.TJunction)
	p, _ := e.Catalog.Part(d.Part)
	switch p := p.(type) {
	case *catalog.BJT:
		if hot.OK {
			sh.leak = withBelow(device.CollectorLeakage(p, m.VMax, hot.V), heldAt(d),
				func(v float64) float64 { return device.CollectorBelow(p, v, hot.V) })
		}
	case *catalog.MOSFET:
		ron := valueIn(d, design.ROn).V
		sh.dropTop.V = ron * m.PeakCurrent()
		if m.HasInrush && sh.drop.OK { // a gate is charged through it
			sh.drop.V = ron * m.PeakCurrent()
		}
		if hot.OK {
			sh.leak = withBelow(device.DrainLeakage(p, m.VMax, hot.V), heldAt(d),
				func(v float64) float64 { return device.ChannelBelow(p, v, hot.V) })
		}
		// Its output capacitance charges through what holds its stage off; the little of
		// a bipolar one is no matter.
		sh.bootUnknown = !p.COSSMax.Known()
		sh.boot = coupledEarly * float64(p.COSSMax.Or(0)) * m.VMax / (earlySwing * railRise)
	}
	return sh
}

// ---- in the stage's design ----

const noShifter = "no transistor of the catalogue can shift the level from this pin to this rail"

// withoutShifter says that nothing pulls the stage's control down.
func (s *stage) withoutShifter(why string) {
	c := s.check(design.LoadVoltage, design.V)
	c.Stage, c.NoSolution, c.Because = design.StageDriver, true, why
	c.Stress = design.Known(s.l.VMax)
	c.Formula = "a level at {stress} and nothing that pulls it down"
	judge(c)
}

// adopt nests a level shifter in its stage: its checks decide with the stage's
// own, its parts are bought, its currents count.
func (s *stage) adopt(sh *shifter) {
	d := sh.d
	s.d.Driver, s.d.Choice.Shifter, s.d.Choice.Pulsed = d, d.Part, sh.pulsed
	s.d.Checks, s.d.NA = withoutAims(s.d.Checks, s.d.NA, d, design.StageDriver)
	for _, line := range d.BOM {
		line.Ref = shifterRef(line.Ref)
		s.d.BOM = append(s.d.BOM, line)
	}
	s.d.PinCurrent, s.d.PinSink = d.PinCurrent, d.PinSink
	s.d.Draws = append(s.d.Draws, d.Draws...)
	s.valueOf(design.IPin, valueIn(d, design.IPin), design.A)
	for _, id := range d.Cautions {
		s.caution(id)
	}
	if !s.env.Brief {
		s.d.Driver = drawnShifter(d, sh.drawn)
		for _, v := range d.Values {
			s.d.Values = append(s.d.Values, design.Value{Key: "shifter." + v.Key, V: v.V, Unit: v.Unit})
		}
	}
}

// aims are the checks that only steer the choice of a level shifter: what it may
// drop and leak. The stage judges by its own checks what it does drop and leak.
var aims = [...]design.NotApplicable{
	{ID: design.LoadVoltage, Why: "the drive of the stage judges what the level shifter drops"},
	{ID: design.Leakage, Why: "stays-off of the stage judges what the level shifter leaks"},
}

// withoutAims adds the checks of a level shifter to those of a stage, but its
// aims.
func withoutAims(checks []design.Check, na []design.NotApplicable, d *design.Design, stage design.Stage) ([]design.Check, []design.NotApplicable) {
	for i := range d.Checks {
		if c := &d.Checks[i]; c.ID != aims[0].ID && c.ID != aims[1].ID {
			checks = append(checks, *c)
			checks[len(checks)-1].Stage = stage
		}
	}
	for _, n := range d.NA {
		n.Stage = stage
		na = append(na, n)
	}
	for _, n := range aims {
		n.Stage = stage
		na = append(na, n)
	}
	return checks, na
}

// shifterRef is an element's reference beside those of the stage that it serves.
func shifterRef(ref string) string {
	switch ref {
	case "Q1":
		return "Q2"
	case "HS1":
		return "HS2"
	case "INS1":
		return "INS2"
	}
	return ref
}

// drawnShifter is a level shifter with references of its own and its switch in
// the role of one. The shared design is copied, never changed.
func drawnShifter(d *design.Design, ohms float64) *design.Design {
	c := *d
	c.Elements = append([]design.Element(nil), d.Elements...)
	for i := range c.Elements {
		e := &c.Elements[i]
		e.Ref = shifterRef(e.Ref)
		switch e.Role {
		case design.RoleSwitch:
			e.Role = design.RoleShifter
		case design.RoleLoad: // what its stage has between it and the rail
			e.Ref, e.Kind = "R3", "resistor"
			if rail := railVoltage(d.Elements); e.Value > 0 && rail > 0 {
				e.Value, e.Unit = rail/e.Value, design.Ohm
			}
			if ohms > 0 {
				e.Value = ohms
			}
		}
		e.Nodes = shifterNodes(e.Nodes)
	}
	c.BOM = append([]design.BOMLine(nil), d.BOM...)
	for i := range c.BOM {
		c.BOM[i].Ref = shifterRef(c.BOM[i].Ref)
	}
	c.Checks, c.NA = withoutAims(nil, nil, d, design.StageSelf)
	design.Conclude(&c)
	return &c
}

// railVoltage is the nominal voltage of a circuit's rail, V.
func railVoltage(elems []design.Element) float64 {
	for i := range elems {
		if elems[i].Role == design.RoleRail {
			return elems[i].Value
		}
	}
	return 0
}

// shifterNodes are a shifter's nodes by their names in the whole circuit.
func shifterNodes(nodes []string) []string {
	out := make([]string, len(nodes))
	for i, n := range nodes {
		switch n {
		case nodeControl:
			n = "shift-control"
		case nodeSwitch:
			n = nodeShift
		}
		out[i] = n
	}
	return out
}

// ---- what high sides share ----

// atLowest is atRail at the lowest rail: what it draws there takes the place of what it
// draws at most.
func (e *Env) atLowest(l *load.Model) *load.Model {
	if e.lows == nil {
		return atLowest(l)
	}
	if low, ok := e.lows.get(l); ok {
		return low.(*load.Model)
	}
	low := atLowest(l)
	e.lows.put(l, low)
	return low
}

func atLowest(l *load.Model) *load.Model { return atRail(l, l.VMin) }

// currentAt is the greatest steady current, A, of a load on a rail of v volts between
// its ends: in a straight line between those, and in proportion to the rail for what
// bends over it, a filament.
func currentAt(l *load.Model, v float64) float64 {
	if v <= l.VMin || l.VMax <= l.VMin {
		return l.ILow
	}
	line := l.ILow + (l.IMax-l.ILow)*(v-l.VMin)/(l.VMax-l.VMin)
	return min(max(line, l.ILow*v/l.VMin), max(l.ILow, l.IMax))
}

// railAt is the lowest rail, V, at which currentAt may be i, A, of a load that draws more
// on a higher one.
func railAt(l *load.Model, i float64) float64 {
	lo, hi := l.VMin, l.VMax
	for range 50 {
		if v := (lo + hi) / 2; currentAt(l, v) < i {
			lo = v
		} else {
			hi = v
		}
	}
	return hi
}

// atRail is a load with a rail of v volts as its highest.
func atRail(l *load.Model, v float64) *load.Model {
	low := *l
	ratio, i := v/l.VMax, currentAt(l, v)
	if l.IMax > 0 {
		ratio = i / l.IMax
	}
	low.VMax, low.IMax, low.IHot = v, i, l.IHot*ratio
	peak := ratio
	if i, ok := l.Rail.FaultCurrent.Get(); ok && !l.Rail.FaultAssumed && l.Pulse.Peak >= float64(i) || l.InrushCurrent.Known() {
		peak = 1 // whatever the rail
	}
	for _, p := range [...]*load.Pulse{&low.Pulse, &low.PulseHot} {
		*p = p.Scaled(peak, ratio)
	}
	return &low
}

// groundReferred turns the peak across the switch of a high side into the
// voltage of its switch node to ground, which the winding drives below it.
func (s *stage) groundReferred() {
	for i := range s.d.Values {
		if v := &s.d.Values[i]; v.Key == design.VPeakOff {
			v.V = s.l.VMax - v.V
		}
	}
}

// highElements draws rail and load of a high side, and its clamp.
func (s *stage) highElements() {
	if s.env.Brief {
		return
	}
	s.d.Elements = append(s.d.Elements,
		design.Element{Ref: "V1", Role: design.RoleRail, Kind: "rail", Value: s.l.VNom, Unit: design.V, HasValue: true, Nodes: []string{nodeRail, nodeGround}})
	from := nodeSwitch
	if s.l.RSeries.OK {
		from = "led"
	}
	s.d.Elements = append(s.d.Elements,
		design.Element{Ref: "LOAD", Role: design.RoleLoad, Kind: string(s.l.Kind), Value: s.l.INom, Unit: design.A, HasValue: true, Nodes: []string{from, nodeGround}})
}

// pinElement draws the pin.
func (s *stage) pinElement() {
	if s.env.Brief {
		return
	}
	s.d.Elements = append(s.d.Elements,
		design.Element{Ref: "PIN", Role: design.RolePin, Kind: "pin", Value: float64(s.env.Pin.SupplyNom), Unit: design.V, HasValue: true, Nodes: []string{nodePin, nodeGround}})
}

// serveShifted says why a high-side stage with a level shifter, or with the pin
// itself on its own supply, cannot serve a load, or "".
func serveShifted(env *Env, l *load.Model) string {
	if why := serveHighSide(l); why != "" {
		return why
	}
	if l.Rail.IsPin && env.Pin.SinkMax > 0 {
		return ""
	}
	return needsSource(&env.Pin)
}

// bestDrive designs a high side with a level shifter, or, on the pin's own
// supply, with the pin itself where that is no worse and no dearer.
func bestDrive(env *Env, l *load.Model, given *Given, d *design.Design, make func(direct bool, d *design.Design)) {
	direct, only := firstDrive(env, l, given)
	if make(direct, d); only || d.Verdict == design.Fits {
		return
	}
	shifted := env.borrow()
	defer env.giveBack(shifted)
	make(false, shifted)
	if shifted.Verdict < d.Verdict || shifted.Verdict == d.Verdict && cheaper(shifted.Cost.Amount, d.Cost.Amount) {
		*d, *shifted = *shifted, *d
	}
}

// firstDrive reports whether the pin itself drives a high side in what bestDrive designs
// first, and whether there is nothing else to try.
func firstDrive(env *Env, l *load.Model, given *Given) (direct, only bool) {
	switch {
	case given.Shifter.Said && given.Shifter.ID == "" && given.DriverPart == "":
		return true, true
	case !l.Rail.IsPin || given.Shifter.Said || given.DriverPart != "":
		return false, true
	case needsSource(&env.Pin) != "":
		return true, true
	case env.Pin.SinkMax <= 0:
		return false, true
	}
	return true, false
}

// highState is a way in which a pin that drives a high side by itself, low being
// on, leaves it off.
type highState struct {
	name string
	pull float64 // to the pin's supply, ohm; +Inf: none
	leak float64 // A into the pin
	low  bool    // it drives low, which turns the stage on
}

// highOffStates are the states in which such a stage must be off: the pin high,
// or released where it can only pull down; and at reset. Without the pin's supply
// there is no rail.
func (s *stage) highOffStates() []highState {
	pin := &s.env.Pin
	leak := float64(pin.LeakageMax)
	floating := highState{name: "floating", pull: math.Inf(1), leak: leak}
	off := append(s.highs[:0], highState{name: "pin high", pull: float64(pin.ROutMax)})
	if pin.OpenDrain {
		off[0] = floating
	}
	switch pin.AtReset {
	case "floating", "unknown", "": // pulled up is better
		off = append(off, floating)
	case "pull-up":
		off = append(off, highState{name: "reset, pulled up", pull: math.Inf(1), leak: leak}) // how strongly is not known
	case "low":
		off = append(off, highState{name: "reset, low", low: true})
	}
	return off
}

// raised is what a current makes of a resistance that holds a control node, V;
// without one, whatever the rail gives.
func raised(i, ohms, rail float64) float64 {
	if math.IsInf(ohms, 1) {
		return rail
	}
	return min(i*ohms, rail)
}

const onlyOwnRail = "the pin's high level is not the load's rail: it cannot turn the stage off, whatever is chosen"

// neverDirect closes a check of a stage that a pin drives on another rail.
func (s *stage) neverDirect(c *design.Check) {
	if s.l.Rail.IsPin {
		return
	}
	c.NoSolution, c.Because = true, onlyOwnRail
	if v := s.l.VMax - float64(s.env.Pin.SupplyMin); v > c.Stress.V {
		c.Stress = design.Known(v)
	}
}

const byShifter = "the level shifter's own check judges the pin"

// shifterPin says that the pin is the level shifter's matter.
func (s *stage) shifterPin() {
	s.na(design.PinCurrent, byShifter)
	s.na(design.PinVoltage, byShifter)
}

// sinkVoltage is the pin-voltage check of a stage that hangs between the pin and
// its own supply: no leakage lifts the pin beyond its rails.
func (s *stage) sinkVoltage() {
	c := s.check(design.PinVoltage, design.V)
	c.Stress, c.Rating, c.Source = design.Known(max(0, s.l.VMax-float64(s.env.Pin.SupplyMax))), design.Known(pinBeyond), "the job"
	c.Formula = "the stage pulls the pin to its rail, {stress} above the pin's supply; {rating} above it is allowed"
	c.SetCorner(design.CornerValue{Name: "rail", V: s.l.VMax})
	judge(c)
	s.value(design.VPinMax, c.Stress.V, design.V)
}

// pinSinks judges what a pin sinks that turns a high side on by itself: the
// steady current, and a charging peak (0: none) when it drives either way.
func (s *stage) pinSinks(steady, peak float64, formula string, args ...design.Arg) {
	p := &s.env.Pin
	i, limit, why := steady, float64(p.SinkMax), "sunk"
	if peak > 0 && peak*limit > i*float64(p.SinkPeakMax) {
		i, limit, why = peak, float64(p.SinkPeakMax), "the peak that charges the gate"
	}
	if !p.OpenDrain && peak > 0 && peak*limit > i*float64(p.PeakMax) {
		i, limit, why = peak, float64(p.PeakMax), "the peak that discharges the gate"
	}
	c := s.check(design.PinCurrent, design.A)
	c.Stress, c.Rating, c.Because, c.Source = design.Known(i), design.Known(limit), why, "the job"
	c.Formula = formula
	c.SetArgs(args...)
	c.SetCorner(design.CornerValue{Name: "pin_supply", V: float64(p.SupplyMax)})
	judge(c)
	s.value(design.IPin, max(steady, peak), design.A)
	s.d.PinSink = steady
}

// sinkChecks are those of the pin where it pulls the base down itself.
func (n *pnpStage) sinkChecks() {
	n.pinSinks(n.pinMax(n.rb), 0, "({V_rail_max} - {V_BE_min})/({R_out} + {R_base}) = {stress}",
		design.Arg{Name: "V_rail_max", V: n.src.hi, Unit: design.V}, design.Arg{Name: "V_BE_min", V: n.vbeHot, Unit: design.V},
		design.Arg{Name: "R_out", V: n.src.rMin, Unit: design.Ohm}, design.Arg{Name: "R_base", V: n.rb.lo(), Unit: design.Ohm})
	n.sinkVoltage()
}

// controlDraw counts what the control of a high side takes from the load's rail.
func (s *stage) controlDraw(direct bool, sh *shifter, sunk float64) {
	switch {
	case direct:
		s.beside = sunk
		s.d.Draws = append(s.d.Draws, design.Draw{Rail: s.l.Rail.Name, A: sunk})
	case sh != nil:
		s.beside = sh.draw
	}
}

// keepWorseFrom keeps the worst of the checks from an index on, which are one at several
// rails.
func (s *stage) keepWorseFrom(at int) {
	has := true
	for _, c := range s.d.Checks[at+1:] {
		keepWorse(&s.d.Checks[at], c, &has)
	}
	s.d.Checks = s.d.Checks[:at+1]
}

// shifterChecks nests the level shifter, or says that there is none.
func (s *stage) shifterChecks(direct bool, sh *shifter) {
	switch {
	case direct:
	case sh != nil:
		s.adopt(sh)
	case s.given.Shifter.Said && s.given.Shifter.ID != "":
		s.withoutShifter("the part that is stated cannot be the level shifter")
	default:
		s.withoutShifter(noShifter)
	}
}

// highClamp draws the clamp of a high side: the winding drives its current from
// ground up to the switch node, or, with a clamp across the switch, out of the rail.
func (s *stage) highClamp(o *clamp.Option) {
	if o == nil {
		return
	}
	from := nodeGround
	if o.AtSwitch {
		from = nodeRail
	}
	s.clampElements(o, from, nodeSwitch, nodeSwitch)
}

// restsOn is the answer whose heat sink a stage gets: the estimate where nothing is
// proven.
func restsOn(t, est *temperatures) *temperatures {
	if t.rthKnown {
		return t
	}
	return est
}

// largerSink is the heat sink of the less resistance of two answers for one part, nil
// where both have the same one.
func largerSink(a, b *temperatures) *catalog.HeatSink {
	switch {
	case a.sink == b.sink:
		return nil
	case a.sink == nil || b.sink != nil && b.rth < a.rth:
		return b.sink
	}
	return a.sink
}

// hotter is the worse of two answers for one junction.
func hotter(a, b temperatures) temperatures {
	switch {
	case a.runaway || a.timeless && !b.runaway:
		a.steady.OK = a.steady.OK && b.steady.OK
		return a
	case b.runaway || b.timeless:
		b.steady.OK = a.steady.OK && b.steady.OK
		return b
	case !a.worst.OK || !b.worst.OK:
		if a.worst.OK {
			return b
		}
		return a
	}
	worst, other := a, b
	if b.worst.V > a.worst.V {
		worst, other = b, a
	}
	worst.steady.V, worst.stuckOn.V = max(worst.steady.V, other.steady.V), max(worst.stuckOn.V, other.stuckOn.V)
	return worst
}
