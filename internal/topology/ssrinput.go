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

// nodeInput is the upper terminal of an input behind its resistor; nodeLogic the pin's
// own supply, where an open drain pulls the lower one down.
const (
	nodeInput = "input"
	nodeLogic = "logic"
)

// ssrFeed is one way to feed the input of a solid-state relay: the pin itself, which
// sources its current, or, an open drain, sinks it from the pin's own supply; or a rail
// with a driver between the input and ground. A resistor across the input, r_pulldown,
// takes what leaks; an LED has another in its way, r_gate.
type ssrFeed struct {
	rail   *job.Rail      // nil: the pin itself
	driver *design.Design // of a rail: nil where nothing can drive it
	rs, rd resistor

	// What the input gets: volts over a voltage input, amperes through an LED, at the
	// least and at the most; total is what is taken of pin or rail, A at the most.
	least, most, total design.Number
	off                float64 // V over it in the worst off state
	offWhy             string
	verdict            design.Verdict
	cost               design.Number
}

// heldUp is what a driver of an input may drop at the most, V: stages of a run share it.
const heldUp = 0.5

// feeds chooses how the input is fed: the pin itself where it can, else a driver on the
// rails that share its common, in their order. The best verdict is taken, then the
// cheapest, then the first.
func (s *ssrStage) feeds() {
	direct := s.pinMost() > 0
	switch g := s.given; {
	case g.DriverPart == catalog.PinID, g.RPulldown.Said && !g.Stated && g.Driver == nil && g.DriverPart == "":
		s.take(s.onPin())
		return
	case g.DriverPart != "" || g.DriverTopology != "" || g.Driver != nil:
		direct = false
	}
	if direct {
		s.take(s.onPin())
		if s.feed.verdict == design.Fits {
			return // no driver is cheaper than none
		}
	}
	for i := range s.env.Common {
		r := &s.env.Common[i]
		if s.given.CoilRail != "" && s.given.CoilRail != r.Name {
			continue
		}
		s.take(s.onRail(r))
	}
}

func (s *ssrStage) take(f ssrFeed) {
	if !s.fed || f.verdict < s.feed.verdict || f.verdict == s.feed.verdict && cheaper(f.cost, s.feed.cost) {
		s.feed, s.fed = f, true
	}
}

// sinks reports whether the pin takes the input's current in: it is on with the pin low.
func (s *ssrStage) sinks() bool { return s.env.Pin.OpenDrain }

// pinMost is what the pin may give, or take, A.
func (s *ssrStage) pinMost() float64 {
	if s.sinks() {
		return float64(s.env.Pin.SinkMax)
	}
	return float64(s.env.Pin.SourceMax)
}

// pinOff are the states of the pin in which the input is to be off, with the voltage
// over it, V: held low, or of an open drain, left open. The supply of that is the pin's
// own, so that nothing flows without it.
func (s *ssrStage) pinOff(f *ssrFeed) (volts float64, why string) {
	if !s.sinks() {
		for _, st := range s.offStates() {
			if v := s.control(st, f.rs.lo(), f.rd.hi(), 0); v >= volts {
				volts, why = v, st.name
			}
		}
		return volts, why
	}
	pin := &s.env.Pin
	volts, why = float64(pin.LeakageMax)*finiteOr(f.rd.hi(), 1e12), "what leaks into the open pin"
	if pin.AtReset == "low" {
		volts, why = float64(pin.SupplyMax), "reset, low"
	}
	return min(volts, float64(pin.SupplyMax)), why
}

func (s *ssrStage) led() bool { return s.p.Input == "led" }

// acrossFor is the resistor across the input: as stated, else the largest that keeps it
// under its off voltage while the pin does not drive it.
func (s *ssrStage) acrossFor() resistor {
	if s.given.RPulldown.Said {
		return s.env.stated(s.given.RPulldown, math.Inf(1))
	}
	off := device.SSROffVoltage(s.p)
	if !off.OK || off.V <= 0 {
		return resistor{nom: math.Inf(1), absent: true}
	}
	most := s.bleedFor(off.V, 0, 0)
	if s.sinks() {
		most = min(bleedCap, off.V/max(float64(s.env.Pin.LeakageMax), 1e-12))
	}
	for _, r := range s.env.Resistors {
		if v, ok := largest(r, 0, most/(1+float64(r.Tolerance.Or(0)))); ok {
			return fromSeries(r, v)
		}
	}
	return resistor{nom: math.Inf(1), absent: true}
}

// sheds reports whether a resistor of a series bears so many watts with the policy's
// margin; one that does not say is as good as any.
func (s *stage) sheds(r *catalog.ResistorSeries, watts float64) bool {
	p := resistorPower(r, s.l.TMax)
	return !p.OK || design.AtMost(watts, s.pol.PResistor*p.V)
}

// hotLED is the temperature, degrees Celsius, at which an input's LED drops least.
func (s *ssrStage) hotLED() float64 { return float64(s.p.TjMax.Or(125)) }

// seriesFor is the resistor in the way of an LED, of a source that gives lo to hi volts
// through rMin to rMax ohm and bears most amperes: it gives the LED no less than turns it
// on, and no more than it bears.
func (s *ssrStage) seriesFor(lo, hi, rMin, rMax, most float64, rd resistor) resistor {
	if !s.led() {
		return resistor{absent: true}
	}
	if s.given.RGate.Said {
		return s.env.stated(s.given.RGate, link)
	}
	up, down := device.SSRLED(s.p, s.l.TMin, s.hotLED())
	on, top := float64(s.p.IFOnMin.Or(0)), s.pol.I*float64(s.p.IFMax.Or(0))
	greatest := (lo-up.V)/(on+up.V/rd.lo()) - rMax
	least := (hi-down.V)/min(most, top+down.V/rd.hi()) - rMin
	for _, r := range s.env.Resistors {
		tol := float64(r.Tolerance.Or(0))
		v, ok := within(r, max(least, 1)/(1-tol), greatest/(1+tol))
		if i := (hi - down.V) / (v*(1-tol) + rMin); ok && s.sheds(r, i*i*v*(1+tol)) {
			return fromSeries(r, v)
		}
	}
	for _, r := range s.env.Resistors { // none does both: what the pin bears first
		if v, ok := nextUp(r, max(least, 1)/(1-float64(r.Tolerance.Or(0)))); ok {
			return fromSeries(r, v)
		}
	}
	return resistor{nom: link, absent: true}
}

// gets fills what the input gets from a source of lo to hi volts through rMin to rMax.
func (s *ssrStage) gets(f *ssrFeed, lo, hi, rMin, rMax float64) {
	if s.led() {
		up, down := device.SSRLED(s.p, s.l.TMin, s.hotLED())
		if up.OK {
			f.least = design.Known(max(0, (lo-up.V)/(f.rs.hi()+rMax)-up.V/f.rd.lo()))
		}
		if down.OK {
			all := max(0, (hi-down.V)/max(link, f.rs.lo()+rMin))
			f.most, f.total = design.Known(max(0, all-down.V/f.rd.hi())), design.Known(all)
		}
		return
	}
	f.most = design.Known(hi)
	i := device.SSRInput(s.p, hi)
	if !i.OK {
		return
	}
	beside := hi / f.rd.lo()
	f.total = design.Known(i.V + beside)
	f.least = design.Known(lo - rMax*f.total.V)
}

// onPin feeds the input from the pin itself.
func (s *ssrStage) onPin() (f ssrFeed) {
	pin := &s.env.Pin
	f.rd = s.acrossFor()
	lo, hi, rMin, rMax := float64(pin.SupplyMin), float64(pin.SupplyMax), float64(pin.ROutMin), float64(pin.ROutMax)
	f.rs = s.seriesFor(lo, hi, rMin, rMax, s.pinMost(), f.rd)
	s.gets(&f, lo, hi, rMin, rMax)
	f.off, f.offWhy = s.pinOff(&f)
	pinI := s.judged(design.PinCurrent, f.total, design.Known(s.pinMost()), 1)
	f.verdict = max(pinI, s.inputVerdict(&f))
	f.cost = s.ownCost(&f)
	return f
}

// onRail feeds the input from a rail, with a driver that pulls its lower end down.
func (s *ssrStage) onRail(r *job.Rail) (f ssrFeed) {
	f.rail = r
	f.rd = s.acrossFor()
	f.rs = s.seriesFor(float64(r.Min)-heldUp, float64(r.Max), 0, 0, math.Inf(1), f.rd)
	s.gets(&f, float64(r.Min)-heldUp, float64(r.Max), 0, 0)
	f.verdict, f.cost = design.Over, design.Number{}
	need := s.needed(&f)
	if !f.total.OK || !need.OK || !design.AtMost(need.V, float64(r.Min)) {
		f.least = design.Number{}
		return f
	}
	f.driver = s.drives(&f, r, need.V)
	if f.driver == nil {
		return f
	}
	lo := float64(r.Min)
	if v := valueIn(f.driver, design.VLoad); v.OK {
		lo = v.V
	} else {
		lo -= heldUp
	}
	s.gets(&f, lo, float64(r.Max), 0, 0)
	f.off, f.offWhy = 0, "what leaks through the driver"
	if leak := valueIn(f.driver, design.IOff); leak.OK {
		f.off = leak.V * finiteOr(f.rd.hi(), 1e12)
	}
	f.verdict = max(f.driver.Verdict, s.inputVerdict(&f))
	f.cost = addCost(s.ownCost(&f), f.driver.Cost.Amount)
	return f
}

// needed is the least voltage between rail and driver that turns the input on, V.
func (s *ssrStage) needed(f *ssrFeed) design.Number {
	if !s.led() {
		if s.p.VIn == nil {
			return design.Number{}
		}
		return known(s.p.VIn.OnMin)
	}
	up, _ := device.SSRLED(s.p, s.l.TMin, s.hotLED())
	if !up.OK || !s.p.IFOnMin.Known() {
		return design.Number{}
	}
	return design.Known(up.V + (float64(s.p.IFOnMin.Value())+up.V/f.rd.lo())*f.rs.hi())
}

// ownCost is what stands at the input beside its driver.
func (s *ssrStage) ownCost(f *ssrFeed) design.Number {
	c := design.Known(0)
	for _, r := range [...]resistor{f.rs, f.rd} {
		if r.series != nil {
			c = addCost(c, priceNumber(&r.series.Common))
		}
	}
	return c
}

// drives is the driver of an input that takes so much of a rail and needs so many volts.
func (s *ssrStage) drives(f *ssrFeed, r *job.Rail, need float64) *design.Design {
	l := s.l
	off := device.SSROffVoltage(s.p)
	j := job.Load{
		Name: l.Name, Kind: job.Signal, Rail: *r, Current: q.Amp(f.total.V),
		Inrush: job.Figure[q.Ratio]{Value: 1, Known: true, Field: "load.inrush_factor"},
		Side:   "low", Mode: "on-off", Rate: l.Rate, Duty: l.Duty, DutyMin: l.DutyMin, DutyMax: l.DutyMax,
		Unpowered: l.Unpowered, Quantity: l.Quantity,
		OffCurrent: job.Figure[q.Amp]{Value: q.Amp(off.V / finiteOr(f.rd.hi(), 1e12)), Known: true},
		VoltageMin: job.Figure[q.Volt]{Value: q.Volt(need), Known: true},
	}
	given, part := s.given.Driver, s.given.DriverPart
	key := s.inputKey(&j)
	key.given, key.part = given, part
	memo := s.env.shifters
	if memo != nil {
		if d, ok := memo.get(key); ok {
			return d.(*design.Design)
		}
	}
	d := s.env.designShifter(load.New(&j, s.env.Air, s.env.ledResistor), part, s.given.DriverTopology, given)
	if memo != nil {
		memo.put(key, d)
	}
	return d
}

// inputKey is the key of an input's driver among the level shifters of the run.
func (s *ssrStage) inputKey(l *job.Load) shiftKey {
	k := s.shiftKey(l)
	k.mode = "input"
	k.bits[len(k.bits)-1] = math.Float64bits(float64(l.Current))
	return k
}

// judged is the verdict of a demand alone, before its check is made.
func (s *stage) judged(id design.CheckID, stress, rating design.Number, k float64) design.Verdict {
	c := design.Check{ID: id, Stress: stress, Rating: rating, K: k, Brief: true}
	judge(&c)
	return c.Verdict
}

// inputVerdict is that of the input's own checks.
func (s *ssrStage) inputVerdict(f *ssrFeed) design.Verdict {
	need, top, k := s.turnsOn(), s.bears(), s.bearsK()
	return max(s.judged(design.GateDrive, need, f.least, 1), s.judged(design.GateVoltage, f.most, top, k),
		s.judged(design.StaysOff, design.Known(f.off), device.SSROffVoltage(s.p), 1))
}

func (s *ssrStage) turnsOn() design.Number {
	switch {
	case s.led():
		return known(s.p.IFOnMin)
	case s.p.VIn == nil:
		return design.Number{}
	}
	return known(s.p.VIn.OnMin)
}

func (s *ssrStage) bears() design.Number {
	switch {
	case s.led():
		return known(s.p.IFMax)
	case s.p.VIn == nil:
		return design.Number{}
	}
	return known(s.p.VIn.Max)
}

// bearsK: an LED's current is an absolute maximum; a voltage input states the window in
// which it works.
func (s *ssrStage) bearsK() float64 {
	if s.led() {
		return s.pol.I
	}
	return 1
}

// ---- the checks of the input ----

func (s *ssrStage) inputChecks() {
	f := &s.feed
	unit, onKey, topKey := design.V, "v_in.on_min", "v_in.max"
	if s.led() {
		unit, onKey, topKey = design.A, "i_f_on_min", "i_f_max"
	}
	s.inputDrive(f, unit, onKey)
	c := s.check(design.GateVoltage, unit)
	c.K, c.Stress, c.Rating = s.bearsK(), f.most, s.bears()
	if !c.Stress.OK {
		c.Needs("v_f_min")
	}
	if !c.Rating.OK {
		c.Needs(topKey)
	}
	c.Formula = "the input gets {stress} at the most; it bears {rating}"
	c.SetCorner(s.feedCorner(false))
	judge(c)
	s.inputOff(f)
	if f.rail != nil {
		s.na(design.PinCurrent, inputDriven)
		s.na(design.PinVoltage, inputDriven)
		s.driverOf(f)
		return
	}
	s.pinGives(f)
	s.pinVoltageLow(design.Known(0), "")
}

const inputDriven = "the driver of the input judges it"

// feedCorner is the end of the supply of the input.
func (s *ssrStage) feedCorner(low bool) design.CornerValue {
	f, pin := &s.feed, &s.env.Pin
	name, lo, hi := "pin_supply", float64(pin.SupplyMin), float64(pin.SupplyMax)
	if f.rail != nil {
		name, lo, hi = "rail", float64(f.rail.Min), float64(f.rail.Max)
	}
	if low {
		return design.CornerValue{Name: name, V: lo}
	}
	return design.CornerValue{Name: name, V: hi}
}

func (s *ssrStage) inputDrive(f *ssrFeed, unit design.Unit, figure string) {
	c := s.check(design.GateDrive, unit)
	c.Stress, c.Rating = s.turnsOn(), f.least
	if !c.Stress.OK {
		c.Needs(figure)
	}
	switch {
	case f.rail != nil && f.driver == nil:
		c.NoSolution, c.Because = true, "no switch of the catalogue can drive this input from the rails that share the pin's common"
	case !c.Rating.OK && s.led():
		c.Needs("v_f_max")
	case !c.Rating.OK:
		c.Needs("i_in.max")
		c.Because = "what the input takes at this voltage is not stated"
	}
	c.Formula = "{V_supply} less {R_out}, or what its driver drops, leaves the input {rating}; on from {stress}"
	if s.led() {
		c.Formula = "({V_supply} - {V_F})/({R_out} + {R_series}) less {R_across} = {rating}; on from {stress}"
	}
	up, _ := device.SSRLED(s.p, s.l.TMin, s.hotLED())
	out := 0.0
	if f.rail == nil {
		out = float64(s.env.Pin.ROutMax)
	}
	c.SetArgs(design.Arg{Name: "V_supply", V: s.feedCorner(true).V, Unit: design.V}, design.Arg{Name: "V_F", V: up.V, Unit: design.V}, design.Arg{Name: "R_out", V: out, Unit: design.Ohm},
		design.Arg{Name: "R_series", V: f.rs.hi(), Unit: design.Ohm}, across("R_across", f.rd.lo()))
	c.SetCorner(s.feedCorner(true), design.CornerValue{Name: "ambient", V: s.l.TMin})
	judge(c)
	if unit == design.V {
		s.valueOf(design.VGateDrive, f.least, design.V)
	}
}

// inputOff: the resistor across the input takes what leaks, and divides a pull-up.
func (s *ssrStage) inputOff(f *ssrFeed) {
	c := s.check(design.StaysOff, design.V)
	c.Stress, c.Rating, c.Because = design.Known(f.off), device.SSROffVoltage(s.p), f.offWhy
	if f.rail != nil && f.driver != nil && !valueIn(f.driver, design.IOff).OK {
		c.Stress = design.Number{}
		c.Needs("driver leakage")
	}
	if !c.Rating.OK {
		figure := "v_in.off_max"
		if s.led() {
			figure = "v_f_min"
		}
		c.Needs(figure)
	}
	c.Formula = "{stress} at the input while it is not driven; under {rating} it is off"
	if s.led() {
		c.Formula = "{stress} at the input's LED while it is not driven; under {share} of its least forward voltage, {rating}, it is off"
		c.SetArgs(design.Arg{Name: "share", V: device.LEDOff, Unit: design.One})
	}
	c.SetCorner(s.feedCorner(false), design.CornerValue{Name: "ambient", V: s.l.TMax})
	judge(c)
	s.value(design.VControlReset, f.off, design.V)
}

// pinGives is the pin-current check of an input on the pin itself.
func (s *ssrStage) pinGives(f *ssrFeed) {
	pin := &s.env.Pin
	c := s.check(design.PinCurrent, design.A)
	c.Stress, c.Rating, c.Source = f.total, design.Known(s.pinMost()), "the job"
	if !f.total.OK {
		figure := "i_in.max"
		if s.led() {
			figure = "v_f_min"
		}
		c.Needs(figure)
	}
	c.Formula = "the input and the resistor across it take {stress} of the pin at {V_pin_max}"
	if s.sinks() {
		c.Formula = "the pin takes {stress} in, of the input and the resistor across it at {V_pin_max}"
	}
	c.SetArgs(design.Arg{Name: "V_pin_max", V: float64(pin.SupplyMax), Unit: design.V})
	c.SetCorner(design.CornerValue{Name: "pin_supply", V: float64(pin.SupplyMax)})
	judge(c)
	s.valueOf(design.IPin, f.total, design.A)
	if s.sinks() {
		s.d.PinSink = f.total.V
		s.d.Draws = append(s.d.Draws, design.Draw{Rail: s.env.PinRail.Name, A: f.total.V})
	} else {
		s.d.PinCurrent = f.total.V
	}
}

// driverOf takes the driver's checks, parts and draws into the design.
func (s *ssrStage) driverOf(f *ssrFeed) {
	s.d.Choice.CoilRail = f.rail.Name
	d := f.driver
	if d == nil {
		return
	}
	s.d.Driver = d
	s.touched(valueIn(d, design.TTouch))
	for i := range d.Checks {
		s.d.Checks = append(s.d.Checks, d.Checks[i])
		s.d.Checks[len(s.d.Checks)-1].Stage = design.StageDriver
	}
	for _, n := range d.NA {
		n.Stage = design.StageDriver
		s.d.NA = append(s.d.NA, n)
	}
	s.d.BOM = append(s.d.BOM, d.BOM...)
	s.d.PinCurrent, s.d.PinSink = d.PinCurrent, d.PinSink
	s.d.Draws = append(s.d.Draws, d.Draws...)
	if f.rail.Name == s.l.Rail.Name {
		s.beside = f.total.V
	}
	s.valueOf(design.IPin, valueIn(d, design.IPin), design.A)
	for _, id := range d.Cautions {
		if !slices.Contains(inputQuiet[:], id) {
			s.caution(id)
		}
	}
}

// inputQuiet are cautions of the driver that say nothing of an input.
var inputQuiet = [...]string{design.CautionFuse, design.CautionRailUnknown}

// drawInput places the input with its resistors: on the pin, or, where a rail feeds it,
// as the load of its driver, which is drawn by itself.
func (s *ssrStage) drawInput() {
	f := &s.feed
	top, bottom, refs := nodePin, nodeGround, [2]string{"R1", "R2"}
	if f.rail != nil { // R1 to R4 are the driver's
		top, bottom, refs = "input+", "input-", [2]string{"R5", "R6"}
	}
	if f.rail == nil && s.sinks() {
		top, bottom = nodeLogic, nodePin
	}
	at := top
	if !f.rs.absent || s.given.RGate.Said {
		s.resistorElement(refs[0], design.RGate, design.RoleSeriesResistor, f.rs, top, nodeInput)
		if !f.rs.absent {
			at = nodeInput
		}
	} else if s.led() {
		s.d.Choice.AddResistor(design.ChosenResistor{Key: design.RGate, Absent: true})
	}
	s.resistorElement(refs[1], design.RPulldown, design.RolePullDown, f.rd, at, bottom)
	if !f.rs.absent {
		s.value(design.RGate, f.rs.nom, design.Ohm)
	}
	if !f.rd.absent {
		s.value(design.RPulldown, f.rd.nom, design.Ohm)
	}
	if s.env.Brief {
		return
	}
	if f.rail == nil {
		s.d.Elements = append(s.d.Elements, design.Element{Ref: "PIN", Role: design.RolePin, Kind: "pin", Value: float64(s.env.Pin.SupplyNom), Unit: design.V, HasValue: true, Nodes: []string{nodePin, nodeGround}})
	}
	if top == nodeLogic {
		s.d.Elements = append(s.d.Elements, design.Element{Ref: "V1", Role: design.RoleRail, Kind: "rail", Value: float64(s.env.Pin.SupplyNom), Unit: design.V, HasValue: true, Nodes: []string{nodeLogic, nodeGround}})
	}
	s.element("K1", design.RoleCoil, "ssr-input", s.p.ID, at, bottom)
}

// inputPower loads the resistors of the input.
func (s *ssrStage) inputPower() {
	f := &s.feed
	hi := s.feedCorner(false).V
	if !f.rs.absent && f.total.OK {
		s.load("input resistor", "I^2 R", f.rs, f.total.V*f.total.V*f.rs.hi(), hi)
	}
	if !f.rd.absent {
		v := hi
		if s.led() {
			up, _ := device.SSRLED(s.p, s.l.TMin, s.hotLED())
			v = min(hi, up.V)
		}
		s.load("across the input", "V^2/R", f.rd, v*v/f.rd.lo(), v)
	}
}
