package topology

import (
	"math"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/clamp"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/device"
	"example.org/pinhoist/internal/load"
	"example.org/pinhoist/internal/thermal"
)

// arrayStage is one channel of an array between load and ground while it is
// worked out, driven straight from the pin: what limits its input current is
// inside. A load of several stages takes a channel for each, package after
// package; all channels of one package are on at once and warm it together.
//
// What keeps it off is a resistor from its input to ground, for a data sheet says
// how much an input takes at the most and not what it takes at the least.
type arrayStage struct {
	stage
	p        *catalog.Array
	keys     *arrayKeys
	rs, rp   resistor
	clamp    *clamp.Option
	builtIn  bool // the clamp is the array's own diode
	n        int  // channels of one package that are on at once
	packages int

	iIn, iInLeast  design.Number // greatest input current, A
	level, open    float64       // of the input while on, at the least, V; did it take nothing
	vOn, vOnLeast  design.Number // at the greatest current, V
	vDrop          design.Number // at the greatest steady current
	alpha          float64       // of an output that is a resistance, 1/K
	pIn            design.Number // W at the input of one channel
	pClamp, pSw    design.Number // W of one channel
	t, est         temperatures
	offHot, offMax float64 // off level at the junction, and without its heat, V
}

// arrayKeys are what the two kinds of output call things.
type arrayKeys struct {
	series, pull design.ValueKey
	atPin        bool // the pull-down stands at the pin, before what is in series
	drive        design.CheckID
	junctions    float64 // between input and ground
}

var (
	baseKeys = arrayKeys{series: design.RBase, pull: design.RBaseEmitter, drive: design.BaseDrive, junctions: 2}
	gateKeys = arrayKeys{series: design.RGate, pull: design.RPulldown, atPin: true, drive: design.GateDrive}
)

func (a *arrayStage) design(owed []design.CheckID) {
	a.parts()
	a.checks()
	a.draw()
	a.finish(owed)
	a.d.Share = a.share()
}

// roughly chooses all parts alone and tells the on voltage.
func (a *arrayStage) roughly() {
	a.parts()
	a.valueOf(design.VOn, a.dropped(), design.V)
}

// parts chooses all parts.
func (a *arrayStage) parts() {
	channels := 1
	if c := a.p.Channels; c != nil && *c > 1 {
		channels = *c
	}
	stages := max(1, a.l.Quantity)
	a.n, a.packages = min(stages, channels), (stages+channels-1)/channels
	a.buy("U1", a.p)
	a.count("U1")
	if a.keys.drive == design.GateDrive {
		// No data sheet of an array states a hot factor.
		a.alpha = (float64(catalog.BracketRDSOnHotMax(a.p.VOutMax.Or(0))) - 1) / (float64(catalog.BracketRDSOnHotTj) - device.Room)
	}
	a.chooseClamp()
	a.choose()
}

// count makes a line of the bill of materials one a package.
func (a *arrayStage) count(refs ...string) {
	for i := range a.d.BOM {
		for _, r := range refs {
			if a.d.BOM[i].Ref == r {
				a.d.BOM[i].Count = a.packages
			}
		}
	}
}

// ---- the clamp ----

// chooseClamp takes the diodes inside where they are stated, tied to the load's
// rail, and no clamp outside has a better verdict: they cost nothing.
func (a *arrayStage) chooseClamp() {
	own := a.ownClamp()
	g := &a.given.Clamp
	if g.Said {
		switch inside := len(g.Parts) == 1 && g.Parts[0] == a.p.ID; {
		case inside && own != nil:
			a.take(own)
		case inside: // relied on, and not there
			a.clamped, a.noClamp = false, a.l.Inductive
			a.vPeak = design.Number{V: a.l.VMax, OK: !a.l.Inductive}
		default:
			a.clamp = a.suppress(known(a.p.VOutMax), a.kVolts(), nil)
		}
		return
	}
	a.clamp = a.suppress(known(a.p.VOutMax), a.kVolts(), nil)
	if own == nil {
		return
	}
	judged := func(o *clamp.Option) design.Verdict {
		return max(o.Verdict, a.blocking(o, known(a.p.VOutMax), a.kVolts()).Verdict)
	}
	if a.clamp == nil || judged(own) <= judged(a.clamp) {
		a.take(own)
	}
}

// kVolts is the policy's factor on the voltage of the output.
func (a *arrayStage) kVolts() float64 {
	if a.keys.drive == design.GateDrive {
		return a.pol.FETVoltage()
	}
	return a.pol.V
}

func (a *arrayStage) take(own *clamp.Option) {
	a.clamp, a.builtIn, a.clamped, a.noClamp = own, true, true, false
	a.vPeak, a.vPeakEst = own.VPeak, own.VPeakEstimate
}

// ownClamp is the diode inside as a clamp across the load, nil where there is
// nothing to clamp or none is stated.
func (a *arrayStage) ownClamp() *clamp.Option {
	to, _ := a.l.Memo.(*turnOff)
	if to == nil {
		return nil
	}
	d := device.ClampDiode(a.p)
	if d == nil {
		return nil
	}
	o := clamp.Evaluate(&to.winding, a.pol, []catalog.Part{d}, a.given.Clamp.Said && a.given.Clamp.AtSwitch)
	o.Parts, o.Cost = []catalog.Part{a.p}, design.Known(0)
	for i := range o.Checks {
		if c := &o.Checks[i]; c.Because == "" && c.ID != design.ReleaseTime {
			c.Because = "the diode inside the array, its common pin tied to the rail of this load"
		}
	}
	return &o
}

// ---- values ----

// source is what drives the input as a voltage behind a resistance, at the level
// v of the pin behind rOut, with the pull-down rp and what is in series.
func (a *arrayStage) source(v, rOut, series, pull float64) (s, r float64) {
	if a.keys.atPin {
		if math.IsInf(pull, 1) {
			return v, rOut + series
		}
		return v * pull / (pull + rOut), parallel(rOut, pull) + series
	}
	if math.IsInf(pull, 1) {
		return v, rOut + series
	}
	return v * pull / (pull + rOut + series), parallel(rOut+series, pull)
}

func (a *arrayStage) pullLo() float64 { return endOf(a.rp, a.rp.lo()) }
func (a *arrayStage) pullHi() float64 { return endOf(a.rp, a.rp.hi()) }

func endOf(r resistor, at float64) float64 {
	if r.absent {
		return math.Inf(1)
	}
	return at
}

// choose takes no resistor in series, and the largest pull-down that keeps the
// input under its off level in every state in which the pin does not drive.
func (a *arrayStage) choose() {
	a.rs, a.rp = a.givenOr(a.given.series(a.keys), 0), a.givenOr(a.given.pull(a.keys), math.Inf(1))
	if !a.given.series(a.keys).Said {
		a.rs.absent = true
	}
	if a.given.pull(a.keys).Said {
		a.solve()
		return
	}
	a.rp = resistor{nom: 1e3, tol: 0.05}
	for range 4 {
		a.solve()
		before := a.rp
		a.pullDown()
		if a.rp == before {
			return
		}
	}
	a.solve()
}

func (g *Given) series(k *arrayKeys) GivenResistor { return *g.Resistor(k.series) }
func (g *Given) pull(k *arrayKeys) GivenResistor   { return *g.Resistor(k.pull) }

func (a *arrayStage) pullDown() {
	series := a.rs.lo()
	if a.keys.atPin {
		series = 0
	}
	leak := float64(a.p.ILeakMax.Or(0))
	most := a.bleedFor(a.offHot-a.lift(leak), series, leak)
	for _, s := range a.env.Resistors {
		if v, ok := coarseDown(s, most/(1+float64(s.Tolerance.Or(0.05)))); ok && v >= 100 {
			a.rp = fromSeries(s, v)
			return
		}
	}
	for _, s := range a.env.Resistors {
		if v, ok := nextUp(s, 100); ok {
			a.rp = fromSeries(s, v)
			return
		}
	}
}

// lift is how far a leakage lifts the input above the pull-down, V.
func (a *arrayStage) lift(leak float64) float64 {
	if a.keys.atPin {
		return leak * a.rs.hi()
	}
	return 0
}

// solve works out the input, the on voltage and the junction.
func (a *arrayStage) solve() {
	a.input()
	l := a.l
	a.vOn, a.vOnLeast = device.ChannelOn(a.p, l.PeakCurrent())
	a.vDrop, _ = device.ChannelOn(a.p, l.IMax)
	a.losses()
	a.t, a.est = temperatures{}, temperatures{}
	t := temperatures{}
	if v := firstOf(a.vOn, a.vOnLeast); v > 0 {
		h := a.heat(v)
		t = a.junctionHeat(&a.p.Common, &a.p.Heat, func(float64) (heat, bool) { return h, true })
	}
	if a.vOn.OK {
		a.t = t
	} else {
		a.est = t
	}
	hot, _ := a.t.hottest(&a.p.Heat)
	a.off(hot)
}

// input is the level that the input gets at the least, and the most that it takes.
func (a *arrayStage) input() {
	pin := &a.env.Pin
	s, r := a.source(float64(pin.SupplyMin), float64(pin.ROutMax), a.rs.hi(), a.pullLo())
	a.level, a.open = device.InputLevel(a.p, s, r), s
	s, r = a.source(float64(pin.SupplyMax), float64(pin.ROutMin), a.rs.lo(), a.pullHi())
	a.iIn, a.iInLeast = device.InputCurrent(a.p, s)
	if r > 0 && !(a.iIn.OK && a.iIn.V <= s/r) {
		// More cannot flow, whatever the input is like; that proves where it is little.
		if short := s / r; a.iIn.OK || design.AtMost(a.pull()+short, float64(pin.SourceMax)) {
			a.iIn = design.Known(short)
		}
	}
	a.pIn = design.Number{}
	if a.iIn.OK {
		a.pIn = design.Known(a.iIn.V * float64(pin.SupplyMax))
	}
}

// pull is the most that the pull-down takes from the pin, A.
func (a *arrayStage) pull() float64 {
	if a.rp.absent {
		return 0
	}
	r := float64(a.env.Pin.ROutMin) + a.rp.lo()
	if !a.keys.atPin {
		r += a.rs.lo()
	}
	return float64(a.env.Pin.SupplyMax) / r
}

// losses beside conduction: those of the diode inside, and of edges, which no
// data sheet of an array states.
func (a *arrayStage) losses() {
	a.pClamp, a.pSw = design.Known(0), design.Known(0)
	if a.builtIn {
		a.pClamp = a.clamp.PClamp
	}
	if a.l.Mode == "pwm" || a.l.OpsPerSecond >= ratedSwitching {
		a.pSw = design.Number{}
	}
}

// heat of all channels of a package with so much on voltage.
func (a *arrayStage) heat(v float64) heat {
	l, n := a.l, float64(a.n)
	if a.builtIn && !a.pClamp.OK {
		// How long the diode carries the current is not known: it is either in the
		// channel or in the diode.
		v = max(v, float64(a.p.Clamp.VFMax.Or(0)))
	}
	h := heat{cond: conduction{v: n * v}, duty: a.heatDuty(), i: l.IHot, pulse: l.PulseHot}
	if a.alpha > 0 { // what it drops at the greatest current, it drops at most at any other
		h.cond = conduction{w: n * v, alpha: a.alpha}
	}
	h.stuck = n * a.pIn.V
	h.mean = a.inrushAverage(0, n*v*thermal.OnFactor(float64(a.p.TjMax.Or(150)), a.alpha))
	h.extra = h.stuck + n*a.pClamp.V + h.mean
	return h
}

// off is the input voltage at which a channel is off with the junction hot degrees
// Celsius. What is stated carries no temperature. Of a Darlington it holds as far
// as two junctions allow, which conduct from 0.5 V each at 25 C and 2 mV/K less
// above; beyond that it is taken at 25 C and falls like them. That of a MOSFET
// falls as a threshold does.
func (a *arrayStage) off(hot float64) {
	stated := float64(a.p.VInOffMax.Or(0))
	a.offHot, a.offMax = stated, stated
	rise := max(0, hot-device.Room)
	if a.keys.junctions == 0 {
		a.offHot = max(0, stated-float64(catalog.BracketVGSThSlopeMax)*rise)
		return
	}
	fall := a.keys.junctions * device.VBESlope * rise
	two := a.keys.junctions*float64(catalog.BracketVBEOnMin) - fall
	a.offHot = max(0, min(stated, max(two, stated-fall)))
}

// ---- checks ----

func (a *arrayStage) checks() {
	a.pinChecks()
	a.staysOff()
	a.driveCheck()
	a.inputChecks()
	a.clampChecks(a.clamp)
	a.blockingCheck(a.clamp, known(a.p.VOutMax), a.kVolts(), "v_out_max")
	a.onCurrent()
	if a.l.HasInrush || a.l.Inductive {
		a.peakCurrent(known(a.p.IOutMax), false, "")
	}
	a.junction()
	a.crossings()
	a.avalancheCheck("an array states no avalanche rating")
	a.pwmCheck(design.Number{}, design.Number{}, &a.t, "switching times", "", false)
	a.leakageCheck(known(a.p.ILeakMax), "i_leak_max")
	a.drop()
	a.railCurrent()
	a.noIsolation()
	a.fuses()
	a.resistors()
	a.values()
}

func (a *arrayStage) pinChecks() {
	pin := &a.env.Pin
	if i := firstOf(a.iIn, a.iInLeast) + a.pull(); a.iIn.OK {
		a.pinCurrent(i, 0, 0, "input {I_in} and pull-down {I_pull}: {stress}",
			design.Arg{Name: "I_in", V: a.iIn.V, Unit: design.A}, design.Arg{Name: "I_pull", V: a.pull(), Unit: design.A})
	} else {
		c := a.check(design.PinCurrent, design.A)
		c.Rating, c.Source = design.Known(float64(pin.SourceMax)), "the job"
		if a.iInLeast.OK {
			c.StressEstimate = design.Known(i)
		}
		c.Needs("i_in_max")
		c.Because = "what the input takes at this voltage is not stated"
		c.Formula = "at least {I_in} and pull-down {I_pull}, of {rating}"
		c.SetArgs(design.Arg{Name: "I_in", V: a.iInLeast.V, Unit: design.A}, design.Arg{Name: "I_pull", V: a.pull(), Unit: design.A})
		c.SetCorner(design.CornerValue{Name: "pin_supply", V: float64(pin.SupplyMax)})
		judge(c)
		a.d.PinCurrent = i
	}
	lift := known(a.p.ILeakMax)
	if a.rp.absent { // what the input itself leads off is not stated
		lift = design.Number{}
	} else if lift.OK {
		lift.V = min(lift.V*a.rp.hi(), a.l.VMax)
	}
	a.pinLifted(lift, design.Number{}, known(a.p.ILeakMax), "i_leak_max")
}

func (a *arrayStage) staysOff() {
	c := a.check(design.StaysOff, design.V)
	if a.p.VInOffMax.Known() {
		c.Rating = design.Known(a.offHot)
		if a.offMax > a.offHot {
			c.EasyRating = design.Known(a.offMax)
		}
	}
	if !c.Rating.OK || c.EasyRating.OK {
		c.Needs("v_in_off_max")
	}
	leak := known(a.p.ILeakMax)
	if !leak.OK {
		c.Needs("i_leak_max")
	}
	pull := a.pullHi()
	if a.rp.absent {
		pull = a.inputTakes()
	}
	series := a.rs.lo()
	if a.keys.atPin {
		series = 0
	}
	worst := 0.0
	for _, st := range a.offStates() {
		v := st.driven
		if v == 0 {
			v = a.control(st, series, pull, leak.V) + a.lift(leak.V)
		}
		if v >= worst {
			worst, c.Because = v, st.name
		}
	}
	switch {
	case a.rp.absent:
		if !math.IsInf(pull, 1) {
			c.StressEstimate = design.Known(worst)
		}
		c.Needs(string(a.keys.pull))
		c.Because = "nothing but the input itself holds it down, and what that takes at the least is not stated"
	case leak.OK:
		c.Stress = design.Known(worst)
	default:
		c.StressEstimate = design.Known(worst)
		c.Because = "what leaks from the output is not stated"
	}
	c.Formula = "{V_pin_max} x {R_pulldown}/({R_pulldown} + {R_reset_pull}) + leakage x {R_pulldown} = {stress}; off up to {rating}"
	c.SetArgs(design.Arg{Name: "V_pin_max", V: float64(a.env.Pin.SupplyMax), Unit: design.V},
		across("R_pulldown", pull),
		design.Arg{Name: "R_reset_pull", V: float64(a.env.Pin.ResetPullMin), Unit: design.Ohm})
	c.SetCorner(design.CornerValue{Name: "pin_supply", V: float64(a.env.Pin.SupplyMax)}, design.CornerValue{Name: "ambient", V: a.l.TMax})
	judge(c)
	a.value(design.VControlReset, worst, design.V)
}

// inputTakes is the least resistance that an input has as a resistor, ohm, from
// its greatest current: a real one, with junctions in its way, takes less at a
// lower voltage, so that what this lets through an estimate does.
func (a *arrayStage) inputTakes() float64 {
	best := math.Inf(1)
	for i := range a.p.IInMax {
		v, okV := a.p.IInMax[i].VIn.Get()
		c, okI := a.p.IInMax[i].I.Get()
		if okV && okI && c > 0 {
			best = min(best, float64(v)/float64(c))
		}
	}
	return best
}

// driveCheck: the stated input voltage holds for the worst gain, so no overdrive
// is asked of it.
func (a *arrayStage) driveCheck() {
	pin := &a.env.Pin
	c := a.check(a.keys.drive, design.V)
	c.Stress, c.StressEstimate = device.InputNeeded(a.p, a.l.PeakCurrent())
	if !c.Stress.OK {
		c.Needs("v_in_on.max")
	}
	c.Rating = design.Known(a.level)
	if a.l.PeakAssumed {
		c.EasyStress, _ = device.InputNeeded(a.p, a.l.IMax)
		c.Needs(a.l.InrushField())
	}
	if !a.l.PeakKnown {
		c.Stress, c.StressEstimate = design.Number{}, design.Number{}
		c.Needs(a.l.InrushField())
	}
	if c.Stress.OK && !design.AtMost(c.Stress.V, a.level) {
		// An input that takes less than stated gets more, up to all that the pin gives.
		c.RatingEstimate = design.Known(a.open)
		c.Needs("i_in_max")
	}
	c.Formula = "{I_out} needs {stress} at the input; it gets {rating} of {V_pin_min} under its own current"
	c.SetArgs(design.Arg{Name: "I_out", V: a.l.PeakCurrent(), Unit: design.A}, design.Arg{Name: "V_pin_min", V: float64(pin.SupplyMin), Unit: design.V})
	c.SetCorner(design.CornerValue{Name: "pin_supply", V: float64(pin.SupplyMin)}, design.CornerValue{Name: "rail", V: a.l.VMax},
		design.CornerValue{Name: "ambient", V: a.l.TMin})
	judge(c)
}

// inputChecks are the checks of a base or a gate that an input with its own
// resistors does not have.
func (a *arrayStage) inputChecks() {
	if a.keys.drive == design.GateDrive {
		a.na(design.GateVoltage, "the gate is inside: its input is judged up to the voltage at which its current is stated")
		return
	}
	a.na(design.BaseReverse, "the base is inside, behind its own resistor")
	c := a.check(design.Saturation, design.A)
	if a.l.PeakKnown {
		c.Stress = design.Known(a.l.PeakCurrent())
	} else {
		c.Needs(a.l.InrushField())
	}
	if a.l.PeakAssumed {
		c.EasyStress = design.Known(a.l.IMax)
		c.Needs(a.l.InrushField())
	}
	if a.vOn.OK {
		c.Rating = design.Known(a.statedUpTo())
	} else {
		c.Needs("v_on_max")
	}
	c.Formula = "an on voltage is stated up to {rating}; {stress} is carried at the most"
	c.SetCorner(design.CornerValue{Name: "rail", V: a.l.VMax}, design.CornerValue{Name: "ambient", V: a.l.TMin})
	judge(c)
}

// statedUpTo is the greatest current at which an on voltage is stated, A.
func (a *arrayStage) statedUpTo() (most float64) {
	for i := range a.p.VOnMax {
		if a.p.VOnMax[i].V.Known() {
			most = max(most, float64(a.p.VOnMax[i].IOut.Or(0)))
		}
	}
	return most
}

// averaged is the least frequency, Hz, from which the duty of pwm relieves a
// package (a figure for a duty holds for pulses of up to 20 ms; common practice,
// no source).
const averaged = 50.0

// duty is that for which a figure of several channels must be stated.
func (a *arrayStage) duty() float64 {
	if a.l.Mode == "pwm" && a.l.Frequency >= averaged {
		return a.l.DutyHeat
	}
	return 1
}

func (a *arrayStage) onCurrent() {
	c := a.check(design.OnCurrent, design.A)
	c.K, c.Stress = a.pol.I, design.Known(a.l.IMax)
	together(c, a.p, a.n, a.duty())
	c.SetCorner(design.CornerValue{Name: "rail", V: a.l.VMax}, design.CornerValue{Name: "ambient", V: a.l.TMin}, design.CornerValue{Name: "load.r", V: a.l.RMin})
	judge(c)
	a.value(design.IOn, a.l.IMax, design.A)
}

// together fills the rating of an on-current check of n channels on at once.
func together(c *design.Check, p *catalog.Array, n int, duty float64) {
	if c.Rating = device.TogetherCurrent(p, n, duty); !c.Rating.OK {
		c.RatingEstimate = known(p.IOutMax) // it is no more than one alone carries
		c.Needs("i_together_max")
		if !c.RatingEstimate.OK {
			c.Needs("i_out_max")
		}
	}
	c.Formula = "load current {stress} in each of {n} channels on at once, duty {duty}; {rating} each is stated"
	c.SetArgs(design.Arg{Name: "n", V: float64(n), Unit: design.One}, design.Arg{Name: "duty", V: duty, Unit: design.One})
}

func (a *arrayStage) junction() {
	t, est, missing := a.t, a.est, "v_on_max"
	if a.vOn.OK {
		switch {
		case !a.pIn.OK:
			missing = "i_in_max"
		case !a.pSw.OK:
			missing = "switching times"
		}
		if !a.pIn.OK || !a.pSw.OK {
			est, t.worst = a.t, design.Number{}
		}
	}
	a.junctionCheck(&a.p.Common, &a.p.Heat, t, est, missing)
	a.count("HS1", "INS1")
}

// crossings: an array states neither a safe area nor how long its edges take.
func (a *arrayStage) crossings() {
	l := a.l
	var buf [edgeRoom]crossing
	ev := a.windingEdges(buf[:0], design.Number{}, design.Number{})
	if l.HasInrush {
		ev = append(ev, crossing{l.VMax, l.PeakCurrent(), design.Number{}, "turning on into the inrush"})
		if a.vOn.OK {
			ev = append(ev, crossing{a.vOn.V, l.PeakCurrent(), pulseLength(l.Pulse), carrying})
		}
	}
	area := a.areaOf(nil, &a.p.Heat, a.t, a.keys.junctions > 0)
	if !area.known {
		area.missing = "v_on_max"
	}
	a.safeArea(area, a.alongLine(ev, design.Number{}, design.Number{}))
}

// dropped is the on voltage at the greatest steady current, junction hot.
func (a *arrayStage) dropped() design.Number {
	v := a.vDrop
	if v.OK && a.alpha > 0 {
		hot, _ := a.t.hottest(&a.p.Heat)
		v.V *= thermal.OnFactor(hot, a.alpha)
	}
	return v
}

func (a *arrayStage) drop() {
	v, est := a.dropped(), design.Number{}
	if !v.OK {
		_, est = device.ChannelOn(a.p, a.l.IMax)
	}
	a.loadVoltage(v, est)
	a.valueOf(design.VOn, v, design.V)
	if !a.t.steady.OK || !a.pIn.OK {
		return
	}
	h := a.heat(a.vOn.V)
	on := (h.cond.at(h.i, a.t.steady.V) + h.stuck) / float64(a.n)
	a.value(design.POn, on, design.W)
	if a.pSw.OK {
		a.value(design.PTotal, on+a.pClamp.V, design.W)
	}
}

func (a *arrayStage) resistors() {
	vmax := float64(a.env.Pin.SupplyMax)
	if !a.rs.absent {
		i := vmax / max(link, float64(a.env.Pin.ROutMin)+a.rs.lo())
		if a.iIn.OK {
			i = min(i, a.iIn.V+a.pull())
		}
		a.load("input resistor", "I^2 R", a.rs, i*i*a.rs.hi(), i*a.rs.hi())
	}
	if !a.rp.absent {
		a.load("pull-down", "V^2/R", a.rp, vmax*vmax/a.rp.lo(), vmax)
	}
	a.seriesLED(nodeRail)
}

func (a *arrayStage) values() {
	if !a.rs.absent {
		a.value(a.keys.series, a.rs.nom, design.Ohm)
	}
	if !a.rp.absent {
		a.value(a.keys.pull, a.rp.nom, design.Ohm)
	}
	if a.keys.drive == design.GateDrive {
		a.value(design.VGateDrive, a.level, design.V)
	}
}

// ---- the picture ----

func (a *arrayStage) draw() {
	in := nodeControl
	if a.rs.absent { // the pin is the input
		in = nodePin
		a.d.Choice.AddResistor(design.ChosenResistor{Key: a.keys.series, Absent: true})
	} else {
		a.resistorElement("R1", a.keys.series, design.RoleDriveResistor, a.rs, nodePin, in)
	}
	at := in
	if a.keys.atPin {
		at = nodePin
	}
	a.resistorElement("R2", a.keys.pull, design.RolePullDown, a.rp, at, nodeGround)
	a.element("U1", design.RoleSwitch, "array", a.p.ID, in, nodeSwitch, nodeGround)
	a.loadElements()
	if a.builtIn { // its own diode, tied to the rail
		a.element("U1.com", design.RoleClamp, "diode", a.p.ID, nodeSwitch, nodeRail)
		return
	}
	a.clampElements(a.clamp, nodeSwitch, nodeRail, nodeGround)
}

// ---- packages that several loads share ----

// share is what the stage takes of its package.
func (a *arrayStage) share() design.Share {
	s := design.Share{Part: a.p.ID, Channels: a.n, Stages: max(1, a.l.Quantity), I: a.l.IMax, Duty: a.duty(), Copper: float64(a.l.CopperArea)}
	if a.builtIn {
		s.ClampRail = a.l.Rail.Name
	}
	if !a.vOn.OK || !a.pIn.OK || !a.pSw.OK || !a.t.steady.OK {
		return s
	}
	h := a.heat(a.vOn.V)
	top := max(a.t.steady.V, float64(a.p.TjMax.Or(150)))
	steady, stuck := h.duty*h.cond.at(h.i, top)+h.extra, h.cond.at(h.i, top)+h.stuck
	if a.l.DutyEnforced {
		stuck = steady
	}
	if h.pulse.Shape == load.ForEver {
		stuck = max(stuck, h.cond.at(h.pulse.Peak, top)+h.stuck)
	}
	s.Heat = design.Known(max(steady, stuck))
	if a.t.worst.OK {
		s.Rise = max(0, a.t.worst.V-a.t.steady.V)
	}
	return s
}

// Channels is how many stages one piece of a part serves, 0 of one that serves one alone.
func Channels(p catalog.Part) int {
	switch p := p.(type) {
	case *catalog.Array:
		if p.Channels != nil {
			return *p.Channels
		}
	case *catalog.Module:
		if n := boardChannels(p); n > 1 {
			return n
		}
	}
	return 0
}

// PackageChecks judges one package of an array, or one board of a module, that serves
// several stages: what each channel carries with all of them on; of an array, the heat of
// all of them in air of ta degrees Celsius, and that the diodes inside, which share one
// pin, stand on one rail; of a board, that one rail feeds it, and that nothing hazardous
// stands beside other rails. Give it what the stages that may be on at once take of it.
func PackageChecks(cat *catalog.Catalog, pol *catalog.Policy, p catalog.Part, ta float64, uses []design.Share) []design.Check {
	switch p := p.(type) {
	case *catalog.Array:
		return arrayChecks(cat, pol, p, ta, uses)
	case *catalog.Module:
		return boardChecks(pol, p, uses)
	}
	return nil
}

func arrayChecks(cat *catalog.Catalog, pol *catalog.Policy, p *catalog.Array, ta float64, uses []design.Share) []design.Check {
	n, duty, amps, copper := 0, 0.0, 0.0, math.Inf(1)
	heat, rise, rail := design.Known(0), 0.0, ""
	rails := false
	for _, u := range uses {
		n += u.Channels
		duty, amps, copper = max(duty, u.Duty), max(amps, u.I), min(copper, u.Copper)
		rise += u.Rise
		heat.V, heat.OK = heat.V+u.Heat.V, heat.OK && u.Heat.OK
		if u.ClampRail != "" {
			rails = rails || rail != "" && rail != u.ClampRail
			rail = u.ClampRail
		}
	}
	if n == 0 {
		return nil
	}
	out := []design.Check{{ID: design.OnCurrent, Unit: design.A, K: pol.I, Stress: design.Known(amps), Source: p.Provenance}}
	c := &out[0]
	together(c, p, n, duty)
	if p.Channels == nil || n > *p.Channels {
		c.NoSolution, c.Because = true, "more channels than the package has"
	}
	judge(c)
	out = append(out, packageHeat(cat, pol, p, ta, copper, heat, rise))
	if rails {
		c := design.Check{ID: design.ClampVoltage, Unit: design.V, NoSolution: true, Source: p.Provenance,
			Because: "the diodes inside share one pin, which stands on one rail, and the loads on several"}
		c.Formula = "one common pin, several rails"
		judge(&c)
		out = append(out, c)
	}
	return out
}

func packageHeat(cat *catalog.Catalog, pol *catalog.Policy, p *catalog.Array, ta, copper float64, heat design.Number, rise float64) design.Check {
	c := design.Check{ID: design.JunctionTemperature, Unit: design.DegC, Temperature: true, Below: pol.JunctionBelow(float64(p.TjMax.Or(0))), Ambient: design.Known(ta), Source: p.Provenance}
	c.Rating = known(p.TjMax)
	rth, ok := thermal.JunctionToAir(&p.Heat, cat.PackageOf(&p.Common), copper)
	switch {
	case !ok:
		c.Needs("r_th_ja_max")
	case heat.OK:
		c.Stress = design.Known(ta + rth*heat.V + rise)
	default:
		c.Needs("v_on_max")
	}
	c.Formula = "{T_air} + {R_th_JA} x {P} = {stress}"
	c.SetArgs(design.Arg{Name: "T_air", V: ta, Unit: design.DegC}, design.Arg{Name: "R_th_JA", V: rth, Unit: design.KPerW}, design.Arg{Name: "P", V: heat.V, Unit: design.W})
	judge(&c)
	return c
}
