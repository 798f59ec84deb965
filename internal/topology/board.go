package topology

import (
	"math"
	"slices"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/device"
	"example.org/pinhoist/internal/job"
)

// board is what modules of every kind have in common: an input on the pin, a driver on
// a rail, and channels that several stages may take.
type board struct {
	*stage
	mod     *catalog.Module
	rail    *job.Rail // that feeds the driver, or the coil
	supply  *job.Rail // that its input hangs on: the same, or with a separate coil supply the pin's own
	inRange bool      // the rail is one that the module works with
	takes   float64   // of it, A, for one channel
	rpd     resistor  // at the input

	// hot is what the air leaves of i_together_max, which is stated for the air of the
	// output's own greatest current; 1 where that does not fall with it.
	hot float64

	n, packages int // channels of one board that are on at once, and how many boards
}

// onBoard begins the board of a stage: as many as its channels serve.
func onBoard(s *stage, mod *catalog.Module) board {
	b := board{stage: s, mod: mod, rpd: resistor{nom: math.Inf(1), absent: true}, hot: 1}
	channels, stages := boardChannels(mod), max(1, s.l.Quantity)
	b.n, b.packages = min(stages, channels), (stages+channels-1)/channels
	s.buy("U1", mod)
	s.d.BOM[len(s.d.BOM)-1].Count = b.packages
	b.feed()
	return b
}

// boardChannels is how many channels a module has; one that does not say has one.
func boardChannels(mod *catalog.Module) int {
	if c := mod.Channels; c != nil && *c > 1 {
		return *c
	}
	return 1
}

// serveInput says why the pin cannot drive the input of a module, or "".
func serveInput(env *Env, m *catalog.Module) string {
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

// inputChecks are the checks of the input. drives says that what is driven inside
// carries the load; window makes the check of the rail that feeds the driver, which of a
// relay is told as that of its coil.
func (b *board) inputChecks(drives bool, window func()) {
	b.pullDownInput()
	b.inputCurrent()
	b.inputOff()
	b.driven(drives)
	window()
	if b.low() {
		b.caution(design.CautionActiveLow)
	}
	if b.low() && b.mod.SeparateCoil {
		b.caution(design.CautionJumper)
	}
}

// inputParts are the resistor at the input, its load, and its place.
func (b *board) inputParts() {
	if !b.rpd.absent {
		v := float64(b.env.Pin.SupplyMax)
		b.load("pull-down", "V^2/R", b.rpd, v*v/b.rpd.lo(), v)
		b.value(design.RPulldown, b.rpd.nom, design.Ohm)
	}
	b.resistorElement("R2", design.RPulldown, design.RolePullDown, b.rpd, nodePin, nodeGround)
}

// shared judges what a channel carries, A, with as many of its board on at once as the
// load takes: as id, where that is worse than what a channel carries alone.
func (b *board) shared(id design.CheckID, k float64) {
	if b.n < 2 {
		return
	}
	c := design.Check{ID: id, Unit: design.A, K: k, Brief: b.env.Brief, Source: b.mod.Provenance, Stress: design.Known(b.l.IMax)}
	boardTogether(&c, b.mod, b.n, 1)
	c.Rating.V *= b.hot
	judge(&c)
	b.worseCheck(&c)
}

// boardTogether fills the rating of a check of n channels of a board on at once.
func boardTogether(c *design.Check, mod *catalog.Module, n int, duty float64) {
	if c.Rating = device.BoardCurrent(mod, n, duty); !c.Rating.OK {
		c.Needs("i_together_max")
	}
	c.Formula = "load current {stress} in each of {n} channels of the board on at once; {rating} each is stated"
	c.SetArgs(design.Arg{Name: "n", V: float64(n), Unit: design.One})
}

// boardChecks judges one board that several stages take channels of.
func boardChecks(pol *catalog.Policy, m *catalog.Module, uses []design.Share) []design.Check {
	n, amps, feed, rail := 0, 0.0, "", ""
	feeds, rails, apart := false, false, false
	for i, u := range uses {
		n, amps, apart = n+u.Channels, max(amps, u.I), apart || u.Apart
		feeds, rails = feeds || i > 0 && u.Feed != feed, rails || i > 0 && u.Rail != rail
		feed, rail = u.Feed, u.Rail
	}
	if n == 0 {
		return nil
	}
	id, k := design.OnCurrent, pol.I
	if m.Relay != nil {
		id, k = design.ContactCarry, pol.IContact
	}
	c := design.Check{ID: id, Unit: design.A, K: k, Stress: design.Known(amps), Source: m.Provenance}
	if n > 1 {
		boardTogether(&c, m, n, 1)
	} else {
		c.Rating = c.Stress // one alone is judged by its own checks
		c.Formula = "one channel of {stress}"
	}
	if n > boardChannels(m) {
		c.NoSolution, c.Because = true, "more channels than the board has"
	}
	judge(&c)
	out := []design.Check{c}
	fail := func(id design.CheckID, because, formula string) {
		c := design.Check{ID: id, Unit: design.V, NoSolution: true, Source: m.Provenance, Because: because, Formula: formula}
		judge(&c)
		out = append(out, c)
	}
	if feeds {
		fail(design.GateVoltage, "all channels of a board hang on one supply, and the stages on several rails", "one supply, several rails")
	}
	if rails && apart {
		fail(design.Isolation, "what separates the channels of a board from one another is not stated: nothing hazardous or isolated shares it with another rail", "one board, several rails")
	}
	return out
}

// share is what the stage takes of its board.
func (b *board) share() design.Share {
	return design.Share{Part: b.mod.ID, Channels: b.n, Stages: max(1, b.l.Quantity), I: b.l.IMax / max(b.hot, 1e-9), Duty: 1,
		Feed: b.rail.Name, Rail: b.l.Rail.Name, Apart: b.l.Rail.Hazardous || b.l.IsolationAsked}
}

// feed chooses the rail of the driver: the first within the module's window, the
// load's own before others; else the one that is nearest to it.
func (b *board) feed() {
	w := b.mod.VSupply
	lo, hi := 0.0, math.Inf(1)
	if w != nil {
		lo, hi = float64(w.Min.Or(0)), float64(w.Max.Or(0))
	}
	held := b.given.CoilRail // of a stage as it stands
	if held != b.env.PinRail.Name && !slices.ContainsFunc(b.env.Common, func(r job.Rail) bool { return r.Name == held }) {
		held = ""
	}
	far := math.Inf(1)
	try := func(r *job.Rail) {
		if b.inRange || held != "" && held != r.Name {
			return
		}
		in := design.AtMost(lo, float64(r.Min)) && design.AtMost(float64(r.Max), hi)
		if d := max(lo-float64(r.Min), float64(r.Max)-hi); in || d < far {
			b.rail, far, b.inRange = r, d, in
		}
	}
	// An input that hangs on the supply is off for sure only on the pin's own.
	if b.mod.InputTo == "supply" && !b.mod.SeparateCoil {
		try(&b.env.PinRail)
	}
	for i := range b.env.Common {
		if r := &b.env.Common[i]; r.Name == b.l.Rail.Name {
			try(r)
		}
	}
	for i := range b.env.Common {
		try(&b.env.Common[i])
	}
	if b.rail != nil { // a stage as it stands keeps it
		b.d.Choice.CoilRail = b.rail.Name
	}
	if b.supply = b.rail; b.mod.SeparateCoil { // an input to ground has no supply
		b.supply = &b.env.PinRail
	}
	b.takes = float64(b.mod.ISupplyMax.Or(0))
}

// ---- the input ----

// dropMin and dropMax are what the input drops beside its resistor, V.
func (b *board) dropMin() float64 { return windowOr(b.mod.VInDrop, true) }
func (b *board) dropMax() float64 { return windowOr(b.mod.VInDrop, false) }

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
func (b *board) rIn(low bool) float64 {
	r := b.mod.RIn
	switch {
	case r == nil:
		return 0
	case low:
		return float64(r.Min.Or(0))
	}
	return float64(r.Max.Or(0))
}

// low reports whether the input is on with the pin low.
func (b *board) low() bool { return b.mod.InputTo == "supply" }

// source is the supply of the input's current, V at the least and at the most.
func (b *board) source() (lo, hi float64) {
	if b.low() {
		return float64(b.supply.Min), float64(b.supply.Max)
	}
	return float64(b.env.Pin.SupplyMin), float64(b.env.Pin.SupplyMax)
}

// through is the current of an input with v volts at it and r ohm in its way, A.
func through(v, drop, r float64) float64 { return max(0, v-drop) / max(r, link) }

// onCurrents are what the input gets when it is on, A at the least and at the most;
// the pin's own resistance is in its way, and a pull-down beside it.
func (b *board) onCurrents() (least, most float64) {
	pin := &b.env.Pin
	lo, hi := b.source()
	out := float64(pin.ROutMax)
	if !b.low() && !b.rpd.absent {
		lo *= b.rpd.lo() / (b.rpd.lo() + out)
		out = parallel(out, b.rpd.lo())
	}
	least = through(lo, b.dropMax(), out+b.rIn(false))
	most = through(hi, b.dropMin(), float64(pin.ROutMin)+b.rIn(true))
	return least, most
}

// smallDrop is what is left of an input's least drop where next to nothing flows
// through it (common practice, no source).
const smallDrop = 0.8

// pullDownInput gives an input to ground a pull-down where the pin's own pull-up at
// reset would turn it on: the largest that does.
func (b *board) pullDownInput() {
	if b.given.RPulldown.Said {
		b.rpd = b.env.stated(b.given.RPulldown, math.Inf(1))
		return
	}
	if b.low() || b.offInput() <= float64(b.mod.IInOffMax.Or(0)) {
		return
	}
	for _, ohms := range [...]float64{10e3, 4.7e3, 2.2e3, 1e3, 470} {
		for _, s := range b.env.Resistors {
			if v, ok := coarseDown(s, ohms); ok {
				b.rpd = fromSeries(s, v)
				break
			}
		}
		if b.offInput() <= float64(b.mod.IInOffMax.Or(0)) {
			return
		}
	}
}

// offInput is the most that flows in the input in its off states, A.
func (b *board) offInput() float64 {
	worst, _ := b.offInputs()
	return worst
}

func (b *board) offInputs() (worst float64, why string) {
	keep := func(i float64, state string) {
		if i >= worst {
			worst, why = i, state
		}
	}
	if b.low() {
		b.offHigh(keep)
	} else {
		b.offLow(keep)
	}
	return worst, why
}

// offLow are the off states of an input to ground: all that comes is what leaks out
// of the pin, or what its pull-up gives.
func (b *board) offLow(keep func(float64, string)) {
	drop, r := smallDrop*b.dropMin(), b.rIn(true)
	for _, st := range b.offStates() {
		switch {
		case st.driven > 0:
			keep(through(st.driven, b.dropMin(), r), st.name)
		case math.IsInf(st.pull, 1):
			keep(st.leak, st.name)
		default:
			v, out := float64(b.env.Pin.SupplyMax), st.pull
			if !b.rpd.absent {
				v *= b.rpd.hi() / (b.rpd.hi() + out)
				out = parallel(out, b.rpd.hi())
			}
			keep(through(v, drop, out+r), st.name)
		}
	}
}

// offHigh are the off states of an input that hangs on the module's supply: a pin
// that is high, or open, or has no supply. The lower the pin's own supply, the more
// flows into it.
func (b *board) offHigh(keep func(float64, string)) {
	pin := &b.env.Pin
	_, hi := b.source()
	drop, r := smallDrop*b.dropMin(), b.rIn(true)
	own := b.supply.IsPin
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
		keep(through(hi, b.dropMin(), r), "reset, low")
	}
	if !b.rpd.absent { // as built: it pulls the wrong way
		keep(through(hi, drop, r+b.rpd.lo()), "the pull-down turns it on while the pin floats")
	}
	if !own { // without its supply the pin's clamps hang on a dead rail
		keep(through(hi, drop, r), "no pin supply: the input's current flows through the pin's clamps")
	}
}

// inputCurrent judges what the pin gives or takes.
func (b *board) inputCurrent() {
	pin := &b.env.Pin
	_, most := b.onCurrents()
	if w := b.mod.IInOn; w != nil {
		most = max(most, float64(w.Max.Or(0)))
	}
	_, hi := b.source()
	args := [...]design.Arg{{Name: "V", V: hi, Unit: design.V}, {Name: "V_drop", V: b.dropMin(), Unit: design.V},
		{Name: "R_in", V: b.rIn(true), Unit: design.Ohm}, {Name: "R_out", V: float64(pin.ROutMin), Unit: design.Ohm}}
	if b.low() {
		b.pinSinks(most, 0, "the more of ({V} - {V_drop})/({R_in} + {R_out}) and what is stated: {stress}", args[:]...)
		if b.mod.SeparateCoil {
			b.d.Draws = append(b.d.Draws, design.Draw{Rail: b.supply.Name, A: most})
		}
	} else {
		if !b.rpd.absent {
			most += float64(pin.SupplyMax) / (float64(pin.ROutMin) + b.rpd.lo())
		}
		b.pinCurrent(most, 0, 0, "the more of ({V} - {V_drop})/({R_in} + {R_out}) and what is stated, and the pull-down: {stress}", args[:]...)
	}
	b.inputVoltage()
}

// inputVoltage is the pin-voltage check: an input that hangs on a higher supply lifts
// a pin that is open or has no supply of its own.
func (b *board) inputVoltage() {
	if !b.low() || b.supply.IsPin {
		b.pinVoltageLow(design.Known(0), "")
		return
	}
	_, hi := b.source()
	lifted := max(0, hi-smallDrop*b.dropMin())
	i := through(lifted, 0, b.rIn(true))
	b.pinLifted(design.Known(lifted), design.Number{}, design.Known(i), "v_in_drop")
	if c := &b.d.Checks[len(b.d.Checks)-1]; c.Unit == design.V && c.Verdict != design.Fits {
		c.Because = "the input's current flows into the clamps of a pin without supply, and more than they bear"
	}
}

// inputOff is the stays-off check of an input.
func (b *board) inputOff() {
	c := b.check(design.StaysOff, design.A)
	worst, why := b.offInputs()
	c.Stress, c.Because = design.Known(worst), why
	c.Rating = known(b.mod.IInOffMax)
	if !c.Rating.OK {
		c.Needs("i_in_off_max")
	}
	if b.mod.VInDrop == nil || b.mod.RIn == nil {
		c.Stress, c.StressEstimate = design.Number{}, design.Number{}
		c.Needs("v_in_drop")
	}
	if b.mod.MOSFET != nil && b.rail.Name != b.l.Rail.Name && !b.mod.OffUnfed { // nothing said holds its gate then
		c.Rating, c.RatingEstimate = design.Number{}, c.Rating
		c.Because = "its driver hangs on another rail than the load: whether it is off while that one is absent is not stated"
		c.Needs("off_unsupplied")
	}
	_, hi := b.source()
	c.Formula = "at most {stress} flows in the input from {V} less {V_drop} through {R_in} and what is before it; up to {rating} it stays off"
	c.SetArgs(design.Arg{Name: "V", V: hi, Unit: design.V}, design.Arg{Name: "V_drop", V: smallDrop * b.dropMin(), Unit: design.V}, design.Arg{Name: "R_in", V: b.rIn(true), Unit: design.Ohm})
	c.SetCorner(design.CornerValue{Name: "pin_supply", V: float64(b.env.Pin.SupplyMin)}, design.CornerValue{Name: "rail", V: float64(b.supply.Max)})
	judge(c)
}

// driven is the gate-drive check: the input current that turns it on for sure
// against what the pin gives at its lowest. drives says that what is driven inside
// carries the load.
func (b *board) driven(drives bool) {
	c := b.check(design.GateDrive, design.A)
	least, _ := b.onCurrents()
	if w := b.mod.IInOn; w != nil {
		c.Stress = known(w.Min)
	}
	if !c.Stress.OK {
		c.Needs("i_in_on.min")
	}
	c.Rating = design.Known(least)
	if w := b.mod.VInDrop; w == nil || !w.Max.Known() {
		c.Rating = design.Number{}
		c.Needs("v_in_drop")
	}
	if r := b.mod.RIn; r == nil || !r.Max.Known() {
		c.Rating = design.Number{}
		c.Needs("r_in")
	}
	c.Formula = "({V} - {V_drop})/({R_in} + {R_out}) = {rating}; on from {stress}"
	lo, _ := b.source()
	c.SetArgs(design.Arg{Name: "V", V: lo, Unit: design.V}, design.Arg{Name: "V_drop", V: b.dropMax(), Unit: design.V},
		design.Arg{Name: "R_in", V: b.rIn(false), Unit: design.Ohm}, design.Arg{Name: "R_out", V: float64(b.env.Pin.ROutMax), Unit: design.Ohm})
	c.SetCorner(design.CornerValue{Name: "pin_supply", V: float64(b.env.Pin.SupplyMin)}, design.CornerValue{Name: "rail", V: float64(b.supply.Min)})
	if drives || b.mod.IInOn == nil {
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
func (b *board) window() {
	c := b.check(design.GateVoltage, design.V)
	w := b.mod.VSupply
	if w == nil || !w.Min.Known() || !w.Max.Known() {
		c.Needs("v_supply")
		c.Formula = "the supply that its driver works with is not stated"
		judge(c)
		return
	}
	c.Stress, c.Rating = design.Known(float64(b.rail.Max)), known(w.Max)
	c.Formula = "its driver hangs on a rail of at most {stress}, it works up to {rating}"
	if lo := known(w.Min); float64(b.rail.Min) < lo.V && (b.inRange || !design.AtMost(lo.V, float64(b.rail.Min))) {
		c.Stress, c.Rating = lo, design.Known(float64(b.rail.Min))
		c.Formula = "its driver works from {stress}, the rail gives {rating}"
	}
	if !b.inRange {
		c.Because = "no rail of the job is within the supply that the module works with: add one"
	}
	c.SetCorner(design.CornerValue{Name: "rail", V: float64(b.rail.Max)})
	judge(c)
	b.overdriven()
}

// overdriven is the other half of the gate-voltage check: an input that gets more
// from this pin than it is stated to take is driven beyond what anybody promised.
func (b *board) overdriven() {
	_, most := b.onCurrents()
	c := design.Check{ID: design.GateVoltage, Unit: design.A, Brief: b.env.Brief, Source: b.mod.Provenance, Stress: design.Known(most)}
	if w := b.mod.IInOn; w != nil {
		c.Rating = known(w.Max)
	}
	if !c.Rating.OK {
		c.Needs("i_in_on.max")
	}
	_, hi := b.source()
	c.Because = "a pin of a higher supply gives its input more than it is made for"
	c.Formula = "({V} - {V_drop})/({R_in} + {R_out}) = {stress} at the most; its input takes up to {rating}"
	c.SetArgs(design.Arg{Name: "V", V: hi, Unit: design.V}, design.Arg{Name: "V_drop", V: b.dropMin(), Unit: design.V},
		design.Arg{Name: "R_in", V: b.rIn(true), Unit: design.Ohm}, design.Arg{Name: "R_out", V: float64(b.env.Pin.ROutMin), Unit: design.Ohm})
	c.SetCorner(design.CornerValue{Name: "pin_supply", V: float64(b.env.Pin.SupplyMax)})
	judge(&c)
	b.worseCheck(&c)
}

// ownRail counts what the driver takes from its rail, and judges the worse of both
// rails.
func (b *board) ownRail() {
	b.d.Draws = append(b.d.Draws, design.Draw{Rail: b.rail.Name, A: b.takes})
	limit, ok := b.rail.CurrentMax.Get()
	if !ok {
		b.caution(design.CautionRailUnknown)
		return
	}
	sum := b.takes
	if b.rail.Name == b.l.Rail.Name || b.rail.IsPin && b.l.Rail.IsPin {
		sum += b.l.IMax
	}
	c := design.Check{ID: design.RailCurrent, Unit: design.A, Brief: b.env.Brief, Source: "the job",
		Stress: design.Known(sum), Rating: design.Known(float64(limit)), Because: "its driver hangs on this rail",
		Formula: "with its driver {stress} of what the rail gives, {rating}"}
	if !b.mod.ISupplyMax.Known() {
		c.Stress = design.Number{}
		c.Needs("i_supply_max")
	}
	judge(&c)
	b.worseCheck(&c)
}

// drawBoard draws the input side of a board whose output has no common with it: its
// supply, its driver between that and ground, its input on the pin.
func (b *board) drawBoard() {
	if b.env.Brief {
		return
	}
	pin := &b.env.Pin
	b.d.Elements = append(b.d.Elements,
		design.Element{Ref: "PIN", Role: design.RolePin, Kind: "pin", Value: float64(pin.SupplyNom), Unit: design.V, HasValue: true, Nodes: []string{nodePin, nodeGround}},
		design.Element{Ref: "V1", Role: design.RoleRail, Kind: "rail", Value: float64(b.rail.Nom), Unit: design.V, HasValue: true, Nodes: []string{nodeLogic, nodeGround}})
	b.element("U1", design.RoleCoil, string(catalog.KindModule), b.mod.ID, nodePin, nodeLogic, nodeGround)
}
