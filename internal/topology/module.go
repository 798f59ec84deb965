package topology

import (
	"math"
	"slices"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/device"
	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/load"
	q "example.org/pinhoist/internal/quantity"
)

// module is a switch bought with its driver on it: between load and ground, its
// input on the pin, its driver fed by a rail. What stands inside is judged by its
// own figures; what its driver does by those of the module.
type module struct{}

func (module) ID() string   { return "module" }
func (module) Side() string { return "low" }

func (module) Owes(l *load.Model) []design.CheckID { return nMOSFETLow{}.Owes(l) }

// Takes lists the elements of a stage as built that are worked out.
func (module) Takes(l *load.Model) []string { return takes(l, "r_pulldown", "limiter") }

func (module) Serves(env *Env, l *load.Model, sw catalog.Part) string {
	m, ok := sw.(*catalog.Module)
	if !ok {
		return WrongPart
	}
	if m.Switch != "n-mosfet" || m.MOSFET == nil {
		return "this version works out modules with a MOSFET on them, and no " + m.Switch + " modules"
	}
	if why := serveLowSide(l); why != "" {
		return why
	}
	switch pin := &env.Pin; {
	case m.InputTo == "ground" && m.Active != "high", m.InputTo == "supply" && m.Active != "low":
		return "its input takes current when the pin is " + map[string]string{"ground": "high", "supply": "low"}[m.InputTo] + ", and it is said to be on at the other level: one of the two is wrong"
	case m.InputTo == "ground":
		return needsSource(pin)
	case pin.SinkMax <= 0:
		return "the pin sinks no current"
	}
	return ""
}

// moduleStage is one stage while it is worked out.
type moduleStage struct {
	mosfetStage
	mod     *catalog.Module
	inside  catalog.MOSFET
	rail    *job.Rail // that feeds the driver
	inRange bool      // it is one that the module works with
	takes   float64   // of it, A
}

func (t module) Design(env *Env, l *load.Model, sw catalog.Part, given *Given, d *design.Design) {
	env.limited(l, given, d, func(l *load.Model, d *design.Design) { t.unlimited(env, l, sw, given, d) })
}

// unlimited is Design for a load as it is, with the limiter that stands in its way.
func (t module) unlimited(env *Env, l *load.Model, sw catalog.Part, given *Given, d *design.Design) {
	m := moduleStage{mosfetStage: mosfetStage{stage: begin(env, l, given, d, t.ID(), sw.Base())}, mod: sw.(*catalog.Module)}
	m.open()
	m.buy("U1", sw)
	m.feed()
	m.alpha, m.hotBracket = device.HotSlope(m.p)
	m.clamp = m.suppress(known(m.p.VDSMax), env.Policy.FETVoltage(), nil)
	m.solve()
	m.otherClamp()
	m.pullDownInput()
	m.inputCurrent()
	m.inputOff()
	m.driven()
	m.window()
	m.partChecks()
	m.untimed()
	m.ownRail()
	if !m.rpd.absent {
		v := float64(env.Pin.SupplyMax)
		m.load("pull-down", "V^2/R", m.rpd, v*v/m.rpd.lo(), v)
		m.value(design.RPulldown, m.rpd.nom, design.Ohm)
	}
	m.seriesLED(nodeRail)
	m.drawModule()
	m.finish(t.Owes(l))
}

// open takes the MOSFET out of its module: its own driver gives at least the lowest
// gate voltage at which an on-resistance is stated. How quickly it does so nobody
// states: charges that would time it are put away.
func (m *moduleStage) open() {
	m.inside = *m.mod.MOSFET
	m.p = &m.inside
	m.inside.Common = m.mod.Common
	m.inside.QGDMax, m.inside.QGMax = q.Opt[q.Coulomb]{}, nil
	low := math.Inf(1)
	for i := range m.inside.RDSOn {
		if pt := &m.inside.RDSOn[i]; pt.Max.Known() {
			low = math.Min(low, float64(pt.VGS.Or(0)))
		}
	}
	m.src = gateSource{lo: finiteOr(low, 0), hi: finiteOr(low, 0)}
	m.rpd = resistor{nom: math.Inf(1), absent: true}
}

// feed chooses the rail of the driver: the first within the module's window, the
// load's own before others; else the one that is nearest to it.
func (m *moduleStage) feed() {
	w := m.mod.VSupply
	lo, hi := 0.0, math.Inf(1)
	if w != nil {
		lo, hi = float64(w.Min.Or(0)), float64(w.Max.Or(0))
	}
	held := m.given.CoilRail // of a stage as it stands
	if held != m.env.PinRail.Name && !slices.ContainsFunc(m.env.Common, func(r job.Rail) bool { return r.Name == held }) {
		held = ""
	}
	far := math.Inf(1)
	try := func(r *job.Rail) {
		if m.inRange || held != "" && held != r.Name {
			return
		}
		in := design.AtMost(lo, float64(r.Min)) && design.AtMost(float64(r.Max), hi)
		if d := math.Max(lo-float64(r.Min), float64(r.Max)-hi); in || d < far {
			m.rail, far, m.inRange = r, d, in
		}
	}
	// An input that hangs on the supply is off for sure only on the pin's own.
	if m.mod.InputTo == "supply" {
		try(&m.env.PinRail)
	}
	for i := range m.env.Common {
		if r := &m.env.Common[i]; r.Name == m.l.Rail.Name {
			try(r)
		}
	}
	for i := range m.env.Common {
		try(&m.env.Common[i])
	}
	if m.rail != nil { // a stage as it stands keeps it
		m.d.Choice.CoilRail = m.rail.Name
	}
	m.takes = float64(m.mod.ISupplyMax.Or(0))
}

// ---- the input ----

// dropMin and dropMax are what the input drops beside its resistor, V.
func (m *moduleStage) dropMin() float64 { return windowOr(m.mod.VInDrop, true) }
func (m *moduleStage) dropMax() float64 { return windowOr(m.mod.VInDrop, false) }

func windowOr(w *catalog.VoltWindow, low bool) float64 {
	switch {
	case w == nil:
		return 0
	case low:
		return float64(w.Min.Or(0))
	}
	return float64(w.Max.Or(0))
}

// rIn is the resistance in the way of its current, ohm.
func (m *moduleStage) rIn(low bool) float64 {
	r := m.mod.RIn
	switch {
	case r == nil:
		return 0
	case low:
		return float64(r.Min.Or(0))
	}
	return float64(r.Max.Or(0))
}

// low reports whether the input is on with the pin low.
func (m *moduleStage) low() bool { return m.mod.InputTo == "supply" }

// source is the supply of the input's current, V at the least and at the most.
func (m *moduleStage) source() (lo, hi float64) {
	if m.low() {
		return float64(m.rail.Min), float64(m.rail.Max)
	}
	return float64(m.env.Pin.SupplyMin), float64(m.env.Pin.SupplyMax)
}

// through is the current of an input with v volts at it and r ohm in its way, A.
func through(v, drop, r float64) float64 { return math.Max(0, v-drop) / math.Max(r, link) }

// onCurrents are what the input gets when it is on, A at the least and at the most;
// the pin's own resistance is in its way, and a pull-down beside it.
func (m *moduleStage) onCurrents() (least, most float64) {
	pin := &m.env.Pin
	lo, hi := m.source()
	out := float64(pin.ROutMax)
	if !m.low() && !m.rpd.absent {
		lo *= m.rpd.lo() / (m.rpd.lo() + out)
		out = parallel(out, m.rpd.lo())
	}
	least = through(lo, m.dropMax(), out+m.rIn(false))
	most = through(hi, m.dropMin(), float64(pin.ROutMin)+m.rIn(true))
	return least, most
}

// smallDrop is what is left of an input's least drop where next to nothing flows
// through it (common practice, no source).
const smallDrop = 0.8

// pullDownInput gives an input to ground a pull-down where the pin's own pull-up at
// reset would turn it on: the largest that does.
func (m *moduleStage) pullDownInput() {
	if m.given.RPulldown.Said {
		m.rpd = m.env.stated(m.given.RPulldown, math.Inf(1))
		return
	}
	if m.low() || m.offInput() <= float64(m.mod.IInOffMax.Or(0)) {
		return
	}
	for _, ohms := range [...]float64{10e3, 4.7e3, 2.2e3, 1e3, 470} {
		for _, s := range m.env.Resistors {
			if v, ok := coarseDown(s, ohms); ok {
				m.rpd = fromSeries(s, v)
				break
			}
		}
		if m.offInput() <= float64(m.mod.IInOffMax.Or(0)) {
			return
		}
	}
}

// offInput is the most that flows in the input in its off states, A.
func (m *moduleStage) offInput() float64 {
	worst, _ := m.offInputs()
	return worst
}

func (m *moduleStage) offInputs() (worst float64, why string) {
	keep := func(i float64, state string) {
		if i >= worst {
			worst, why = i, state
		}
	}
	if m.low() {
		m.offHigh(keep)
	} else {
		m.offLow(keep)
	}
	return worst, why
}

// offLow are the off states of an input to ground: all that comes is what leaks out
// of the pin, or what its pull-up gives.
func (m *moduleStage) offLow(keep func(float64, string)) {
	drop, r := smallDrop*m.dropMin(), m.rIn(true)
	for _, st := range m.offStates() {
		switch {
		case st.driven > 0:
			keep(through(st.driven, m.dropMin(), r), st.name)
		case math.IsInf(st.pull, 1):
			keep(st.leak, st.name)
		default:
			v, out := float64(m.env.Pin.SupplyMax), st.pull
			if !m.rpd.absent {
				v *= m.rpd.hi() / (m.rpd.hi() + out)
				out = parallel(out, m.rpd.hi())
			}
			keep(through(v, drop, out+r), st.name)
		}
	}
}

// offHigh are the off states of an input that hangs on the module's supply: a pin
// that is high, or open, or has no supply. The lower the pin's own supply, the more
// flows into it.
func (m *moduleStage) offHigh(keep func(float64, string)) {
	pin := &m.env.Pin
	_, hi := m.source()
	drop, r := smallDrop*m.dropMin(), m.rIn(true)
	own := m.rail.IsPin
	switch {
	case own: // pin and module at one voltage: nothing flows
		keep(float64(pin.LeakageMax), "leakage")
	case pin.OpenDrain:
		keep(float64(pin.LeakageMax), "leakage")
		keep(through(hi-float64(pin.OpenDrainVMax), drop, r), "more than the open drain bears")
	default:
		keep(through(hi-float64(pin.SupplyMin), drop, r), "the pin is high, and its supply lower than the module's")
	}
	if pin.AtReset == "low" {
		keep(through(hi, m.dropMin(), r), "reset, low")
	}
	if !own { // without its supply the pin's clamps hang on a dead rail
		keep(through(hi, drop, r), "no pin supply: the input's current flows through the pin's clamps")
	}
}

// inputCurrent judges what the pin gives or takes.
func (m *moduleStage) inputCurrent() {
	pin := &m.env.Pin
	_, most := m.onCurrents()
	if w := m.mod.IInOn; w != nil {
		most = math.Max(most, float64(w.Max.Or(0)))
	}
	_, hi := m.source()
	args := [...]design.Arg{{Name: "V", V: hi, Unit: design.V}, {Name: "V_drop", V: m.dropMin(), Unit: design.V},
		{Name: "R_in", V: m.rIn(true), Unit: design.Ohm}, {Name: "R_out", V: float64(pin.ROutMin), Unit: design.Ohm}}
	if m.low() {
		m.pinSinks(most, 0, "the more of ({V} - {V_drop})/({R_in} + {R_out}) and what is stated: {stress}", args[:]...)
	} else {
		if !m.rpd.absent {
			most += float64(pin.SupplyMax) / (float64(pin.ROutMin) + m.rpd.lo())
		}
		m.pinCurrent(most, 0, 0, "the more of ({V} - {V_drop})/({R_in} + {R_out}) and what is stated, and the pull-down: {stress}", args[:]...)
	}
	m.inputVoltage()
}

// inputVoltage is the pin-voltage check: an input that hangs on a higher supply lifts
// a pin that is open or has no supply of its own.
func (m *moduleStage) inputVoltage() {
	if !m.low() || m.rail.IsPin {
		m.pinVoltageLow(design.Known(0), "")
		return
	}
	_, hi := m.source()
	lifted := math.Max(0, hi-smallDrop*m.dropMin())
	i := through(lifted, 0, m.rIn(true))
	m.pinLifted(design.Known(lifted), design.Number{}, design.Known(i), "v_in_drop")
	if c := &m.d.Checks[len(m.d.Checks)-1]; c.Unit == design.V && c.Verdict != design.Fits {
		c.Because = "the input's current flows into the clamps of a pin without supply, and more than they bear"
	}
}

// inputOff is the stays-off check of an input.
func (m *moduleStage) inputOff() {
	c := m.check(design.StaysOff, design.A)
	worst, why := m.offInputs()
	c.Stress, c.Because = design.Known(worst), why
	c.Rating = known(m.mod.IInOffMax)
	if !c.Rating.OK {
		c.Needs("i_in_off_max")
	}
	if m.mod.VInDrop == nil || m.mod.RIn == nil {
		c.Stress, c.StressEstimate = design.Number{}, design.Number{}
		c.Needs("v_in_drop")
	}
	if m.rail.Name != m.l.Rail.Name && !m.mod.OffUnfed { // nothing said holds its gate then
		c.Rating, c.RatingEstimate = design.Number{}, c.Rating
		c.Because = "its driver hangs on another rail than the load: whether it is off while that one is absent is not stated"
		c.Needs("off_unsupplied")
	}
	_, hi := m.source()
	c.Formula = "at most {stress} flows in the input from {V} less {V_drop} through {R_in} and what is before it; up to {rating} it stays off"
	c.SetArgs(design.Arg{Name: "V", V: hi, Unit: design.V}, design.Arg{Name: "V_drop", V: smallDrop * m.dropMin(), Unit: design.V}, design.Arg{Name: "R_in", V: m.rIn(true), Unit: design.Ohm})
	c.SetCorner(design.CornerValue{Name: "pin_supply", V: float64(m.env.Pin.SupplyMin)}, design.CornerValue{Name: "rail", V: float64(m.rail.Max)})
	judge(c)
}

// driven is the gate-drive check: the input current that turns it on for sure
// against what the pin gives at its lowest.
func (m *moduleStage) driven() {
	c := m.check(design.GateDrive, design.A)
	least, _ := m.onCurrents()
	if w := m.mod.IInOn; w != nil {
		c.Stress = known(w.Min)
	}
	if !c.Stress.OK {
		c.Needs("i_in_on.min")
	}
	c.Rating = design.Known(least)
	if w := m.mod.VInDrop; w == nil || !w.Max.Known() {
		c.Rating = design.Number{}
		c.Needs("v_in_drop")
	}
	if r := m.mod.RIn; r == nil || !r.Max.Known() {
		c.Rating = design.Number{}
		c.Needs("r_in")
	}
	c.Formula = "({V} - {V_drop})/({R_in} + {R_out}) = {rating}; on from {stress}"
	lo, _ := m.source()
	c.SetArgs(design.Arg{Name: "V", V: lo, Unit: design.V}, design.Arg{Name: "V_drop", V: m.dropMax(), Unit: design.V},
		design.Arg{Name: "R_in", V: m.rIn(false), Unit: design.Ohm}, design.Arg{Name: "R_out", V: float64(m.env.Pin.ROutMax), Unit: design.Ohm})
	c.SetCorner(design.CornerValue{Name: "pin_supply", V: float64(m.env.Pin.SupplyMin)}, design.CornerValue{Name: "rail", V: float64(m.rail.Min)})
	if m.ron.OK || m.mod.IInOn == nil {
		judge(c)
		return
	}
	// What its own driver gives is no drive for this current.
	c.Stress, c.StressEstimate = design.Number{}, c.Stress
	c.Because = "no on-resistance is stated for this current"
	c.Needs("r_ds_on")
	judge(c)
}

// window is the gate-voltage check: a rail within what the module works with.
func (m *moduleStage) window() {
	c := m.check(design.GateVoltage, design.V)
	w := m.mod.VSupply
	if w == nil || !w.Min.Known() || !w.Max.Known() {
		c.Needs("v_supply")
		c.Formula = "the supply that its driver works with is not stated"
		judge(c)
		return
	}
	c.Stress, c.Rating = design.Known(float64(m.rail.Max)), known(w.Max)
	c.Formula = "its driver hangs on a rail of at most {stress}, it works up to {rating}"
	if lo := known(w.Min); float64(m.rail.Min) < lo.V && (m.inRange || !design.AtMost(lo.V, float64(m.rail.Min))) {
		c.Stress, c.Rating = lo, design.Known(float64(m.rail.Min))
		c.Formula = "its driver works from {stress}, the rail gives {rating}"
	}
	if !m.inRange {
		c.Because = "no rail of the job is within the supply that the module works with: add one"
	}
	c.SetCorner(design.CornerValue{Name: "rail", V: float64(m.rail.Max)})
	judge(c)
	m.overdriven()
}

// overdriven is the other half of the gate-voltage check: an input that gets more
// from this pin than it is stated to take is driven beyond what anybody promised.
func (m *moduleStage) overdriven() {
	_, most := m.onCurrents()
	c := design.Check{ID: design.GateVoltage, Unit: design.A, Brief: m.env.Brief, Source: m.mod.Provenance, Stress: design.Known(most)}
	if w := m.mod.IInOn; w != nil {
		c.Rating = known(w.Max)
	}
	if !c.Rating.OK {
		c.Needs("i_in_on.max")
	}
	_, hi := m.source()
	c.Because = "a pin of a higher supply gives its input more than it is made for"
	c.Formula = "({V} - {V_drop})/({R_in} + {R_out}) = {stress} at the most; its input takes up to {rating}"
	c.SetArgs(design.Arg{Name: "V", V: hi, Unit: design.V}, design.Arg{Name: "V_drop", V: m.dropMin(), Unit: design.V},
		design.Arg{Name: "R_in", V: m.rIn(true), Unit: design.Ohm}, design.Arg{Name: "R_out", V: float64(m.env.Pin.ROutMin), Unit: design.Ohm})
	c.SetCorner(design.CornerValue{Name: "pin_supply", V: float64(m.env.Pin.SupplyMax)})
	judge(&c)
	m.worseCheck(&c)
}

// untimed says of checks that wait for times that no key of a module states.
func (m *moduleStage) untimed() {
	for i := range m.d.Checks {
		c := &m.d.Checks[i]
		if c.Verdict == design.Unproven && (c.ID == design.SafeArea || c.ID == design.PWMFrequency) {
			c.Because = "how long the module takes to switch is not stated"
		}
	}
}

// ownRail counts what the driver takes from its rail, and judges the worse of both
// rails.
func (m *moduleStage) ownRail() {
	m.d.Draws = append(m.d.Draws, design.Draw{Rail: m.rail.Name, A: m.takes})
	limit, ok := m.rail.CurrentMax.Get()
	if !ok {
		m.caution(design.CautionRailUnknown)
		return
	}
	sum := m.takes
	if m.rail.Name == m.l.Rail.Name || m.rail.IsPin && m.l.Rail.IsPin {
		sum += m.l.IMax
	}
	c := design.Check{ID: design.RailCurrent, Unit: design.A, Brief: m.env.Brief, Source: "the job",
		Stress: design.Known(sum), Rating: design.Known(float64(limit)), Because: "its driver hangs on this rail",
		Formula: "with its driver {stress} of what the rail gives, {rating}"}
	if !m.mod.ISupplyMax.Known() {
		c.Stress = design.Number{}
		c.Needs("i_supply_max")
	}
	judge(&c)
	m.worseCheck(&c)
}

// worseCheck keeps the worse of a check and the one that is there.
func (s *stage) worseCheck(c *design.Check) {
	for i := range s.d.Checks {
		if k := &s.d.Checks[i]; k.ID == c.ID && k.Stage == c.Stage {
			has := true
			keepWorse(k, *c, &has)
			return
		}
	}
	for i := range s.d.NA {
		if n := &s.d.NA[i]; n.ID == c.ID && n.Stage == c.Stage {
			s.d.NA = append(s.d.NA[:i], s.d.NA[i+1:]...)
			break
		}
	}
	s.d.Checks = append(s.d.Checks, *c)
}

func (m *moduleStage) drawModule() {
	m.resistorElement("R2", design.RPulldown, design.RolePullDown, m.rpd, nodePin, nodeGround)
	m.element("U1", design.RoleSwitch, string(catalog.KindModule), m.mod.ID, nodePin, nodeSwitch, nodeGround)
	if !m.env.Brief && m.rail.Name != m.l.Rail.Name {
		m.d.Elements = append(m.d.Elements, design.Element{Ref: "V2", Role: design.RoleRail, Kind: "rail", Value: float64(m.rail.Nom), Unit: design.V, HasValue: true, Nodes: []string{"module supply", nodeGround}})
	}
	m.loadElements()
	m.clampElements(m.clamp, nodeSwitch, nodeRail, nodeGround)
}
