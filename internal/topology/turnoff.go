package topology

import (
	"math"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/clamp"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/device"
	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/load"
)

// nothingLimits is why an inductive load without a clamp is over.
const nothingLimits = "nothing limits the voltage when the current is cut"

// windingOf is the load as its clamp sees it.
func windingOf(l *load.Model, brief bool) clamp.Winding {
	w := clamp.Winding{Brief: brief,
		VMin: l.VMin, VNom: l.VNom, VMax: l.VMax,
		IMax: l.IMax, INom: l.INom, IAvMax: l.IMax,
		RMin: l.RMin, RMax: l.RMax, LMin: l.LMin, LMax: l.LMax,
		IRelease: l.ReleaseAt(), IRelease10: 0.1 * l.INom,
		Rate: l.OpsPerSecond, PWM: l.Mode == "pwm", F: l.Frequency,
		DutyMin: float64(l.DutyMin), DutyMax: float64(l.DutyMax),
		AmbientMin: l.TMin, AmbientMax: l.TMax,
	}
	switch l.Kind {
	case job.Solenoid, job.Coil, job.Resistive:
		w.FollowsDuty = true
	}
	if w.LMax.OK { // the clamp stands where the wires leave the board, and takes what they hold too
		w.LMax.V += l.LWire
	}
	if w.RMax < w.RMin {
		w.RMax = w.RMin
	}
	if l.HasInrush {
		w.IStall = l.Pulse.Peak
		switch t := pulseLength(l.Pulse); l.Pulse.Shape {
		case load.Rectangle, load.Decay:
			w.StallTime = t // of constant voltage, which an equal rectangle heats as well
		default: // nothing ends it, or nobody said what does
			w.StallForever = true
		}
	}
	if l.Kind == job.Coil {
		// Must-release is a voltage at 20 C: the current that goes with it in the
		// highest resistance is the least.
		r := l.VNom / l.INom
		if v, ok := l.R.Get(); ok {
			r = float64(v)
		}
		w.IRelease = float64(l.MustRelease.Value) * l.VNom / (r * (1 + float64(l.Tolerance)))
	}
	if t, ok := l.MechRelease.Get(); ok {
		w.Mech = design.Known(float64(t))
	}
	if t, ok := l.ReleaseWithin.Get(); ok {
		w.ReleaseWithin = design.Known(float64(t))
	}
	return w
}

// suppress chooses what limits the voltage at turn-off, for a switch that bears
// rating volts with policy factor k. The choice is the best verdict of clamp,
// blocking voltage and what else the switch makes of a clamp (more, which may be
// nil) together, then the cheapest.
func (s *stage) suppress(rating design.Number, k float64, more func(*clamp.Option) design.Verdict) *clamp.Option {
	s.clamped, s.noClamp = false, false
	if !s.l.Inductive {
		s.vPeak = design.Known(s.l.VMax)
		return nil
	}
	opt := s.pickClamp(rating, k, more)
	if opt == nil {
		s.noClamp = true
		s.vPeak, s.vPeakEst = design.Number{}, design.Number{}
		return nil
	}
	s.clamped = true
	s.vPeak, s.vPeakEst = opt.VPeak, opt.VPeakEstimate
	return opt
}

// evaluated are the checks of an option of the load's menu, and what does not apply.
func (s *stage) evaluated(o *clamp.Option) ([]design.Check, []design.NotApplicable) {
	if !o.Outline() {
		return o.Checks, o.NA
	}
	return clamp.Into(&s.l.Memo.(*turnOff).winding, s.pol, o.Parts, o.AtSwitch, nil, nil)
}

// clampChecks states what suppress chose: its checks, values and parts.
func (s *stage) clampChecks(opt *clamp.Option) {
	switch {
	case !s.l.Inductive:
		for _, id := range [...]design.CheckID{design.ClampVoltage, design.ClampStandoff, design.ClampCurrent, design.ClampEnergy, design.ClampPower, design.ReleaseTime} {
			s.na(id, "the load is not inductive")
		}
		return
	case opt == nil:
		s.unclamped()
		return
	}
	if opt.Outline() {
		s.d.Checks, s.d.NA = clamp.Into(&s.l.Memo.(*turnOff).winding, s.pol, opt.Parts, opt.AtSwitch, s.d.Checks, s.d.NA)
	} else {
		s.d.Checks, s.d.NA = append(s.d.Checks, opt.Checks...), append(s.d.NA, opt.NA...)
	}
	s.value(design.VPeakOff, firstOf(opt.VPeak, opt.VPeakEstimate), design.V)
	s.valueOf(design.TDecay, opt.TDecay, design.S)
	s.valueOf(design.TRelease, opt.TRelease, design.S)
	s.valueOf(design.ETurnoff, opt.ETurnoff, design.J)
	s.valueOf(design.PClamp, opt.PClamp, design.W)
	s.d.Choice.AtSwitch = opt.AtSwitch
	if !s.env.Brief {
		s.d.Choice.Clamp = opt.IDs()
	}
	for i, p := range opt.Parts {
		if p.Kind() != catalog.KindArray { // the diode inside one comes with it
			s.buy(clampRefs[i], p)
		}
	}
}

var clampRefs = [...]string{"D1", "D2", "D3", "D4"}

func (s *stage) pickClamp(rating design.Number, k float64, more func(*clamp.Option) design.Verdict) *clamp.Option {
	to, _ := s.l.Memo.(*turnOff)
	if s.given.Clamp.Said {
		return s.givenClamp(to)
	}
	if to == nil {
		return nil
	}
	var best *clamp.Option
	var bestV, bestOwn design.Verdict
	for i := range to.menu {
		o := &to.menu[i]
		if best != nil && o.Verdict >= bestV {
			break // the menu has the best verdicts first: none after it is better
		}
		own := o.Verdict
		if rating.OK {
			own = max(own, s.blocking(o, rating, k).Verdict)
		}
		v := own
		if more != nil && (best == nil || v <= bestV) {
			v = max(v, more(o))
		}
		// Where what the switch makes of it is no better with any, a sound clamp
		// still comes before a cheap one; the menu has the sounder ones first.
		if best == nil || v < bestV || v == bestV && own < bestOwn {
			best, bestV, bestOwn = o, v, own
		}
	}
	return best
}

func cheaper(a, b design.Number) bool {
	if a.OK != b.OK {
		return a.OK
	}
	return a.OK && a.V < b.V
}

func (s *stage) givenClamp(to *turnOff) *clamp.Option {
	if len(s.given.Clamp.Parts) == 0 {
		return nil
	}
	for i := range to.menu {
		if to.menu[i].AtSwitch == s.given.Clamp.AtSwitch && sameParts(to.menu[i].Parts, s.given.Clamp.Parts) {
			return &to.menu[i]
		}
	}
	var parts []catalog.Part
	for _, id := range s.given.Clamp.Parts {
		p, ok := s.env.Catalog.Part(id)
		if !ok {
			return nil
		}
		parts = append(parts, p)
	}
	o := clamp.Evaluate(&to.winding, s.pol, parts, s.given.Clamp.AtSwitch)
	return &o
}

func sameParts(parts []catalog.Part, ids []string) bool {
	if len(parts) != len(ids) {
		return false
	}
	for i := range parts {
		if parts[i].Base().ID != ids[i] {
			return false
		}
	}
	return true
}

// unclamped says what an inductive load without a clamp leaves open.
func (s *stage) unclamped() {
	why := "no clamp"
	if !s.given.Clamp.Said {
		why = "the catalogue has no clamp that serves: add a diode rated for the load's current"
	}
	for _, id := range [...]design.CheckID{design.ClampVoltage, design.ClampStandoff, design.ClampCurrent, design.ClampEnergy, design.ClampPower} {
		s.na(id, why)
	}
	if !s.l.ReleaseWithin.Known() {
		s.na(design.ReleaseTime, "no release time was asked")
		return
	}
	c := s.check(design.ReleaseTime, design.S)
	c.Rating, c.Source = design.Known(float64(s.l.ReleaseWithin.Value())), "the job"
	c.Because = "without a clamp nothing defines how the current ends"
	c.Formula = "release within {rating}"
	judge(c)
}

// blocking is the blocking-voltage check of a clamp's peak against a rating.
func (s *stage) blocking(o *clamp.Option, rating design.Number, k float64) design.Check {
	c := design.Check{ID: design.BlockingVoltage, Unit: design.V, K: k, Rating: rating, Source: s.d.PartSource, Brief: s.env.Brief}
	clampPeak(&c, o)
	judge(&c)
	return c
}

// clampPeak is a clamp's peak as a stress: proven, or an estimate; one that
// rests on brackets for missing figures is weighed without them too.
func clampPeak(c *design.Check, o *clamp.Option) {
	c.Stress = o.VPeak
	if !o.VPeak.OK {
		c.StressEstimate = o.VPeakEstimate
		c.Needs("clamp voltage")
	}
	if o.VPeakFallback {
		c.EasyStress, c.Fallback = o.VPeakEasy, !o.VPeakEasy.OK
	}
	for _, f := range o.VPeakNeeds {
		c.Needs(f)
	}
}

// blockingCheck makes the blocking-voltage check: the rail and what the clamp
// adds, across the switch.
func (s *stage) blockingCheck(opt *clamp.Option, rating design.Number, k float64, figure string) {
	c := s.check(design.BlockingVoltage, design.V)
	c.K = k
	c.Rating = rating
	if !rating.OK {
		c.Needs(figure)
	}
	c.SetCorner(design.CornerValue{Name: "rail", V: s.l.VMax})
	if s.broken.on {
		c.Stress, c.Because = design.Known(s.l.VMax), breaksDown
		c.Formula = "rail {stress} while off; above {rating} the drain breaks down, which avalanche judges"
		judge(c)
		return
	}
	if s.noClamp {
		c.NoSolution, c.Because = true, nothingLimits
		c.Formula = "no clamp: the voltage rises until something breaks; {rating} is allowed"
		judge(c)
		return
	}
	if opt != nil {
		clampPeak(c, opt)
	} else {
		c.Stress = s.vPeak
	}
	add := firstOf(s.vPeak, s.vPeakEst) - s.l.VMax
	c.Formula = "{V_rail_max} + {V_clamp} = {stress}"
	c.SetArgs(design.Arg{Name: "V_rail_max", V: s.l.VMax, Unit: design.V}, design.Arg{Name: "V_clamp", V: add, Unit: design.V})
	judge(c)
}

// clampElements draws the clamp.
func (s *stage) clampElements(o *clamp.Option, switchNode, railNode, groundNode string) {
	if o == nil || s.env.Brief {
		return
	}
	across := railNode
	if o.AtSwitch {
		across = groundNode
	}
	last := switchNode
	for i, p := range o.Parts {
		next := across
		if i+1 < len(o.Parts) {
			next = "clamp"
		}
		anode, cathode := last, next
		if p.Kind() != catalog.KindDiode { // it breaks down: its cathode faces the current
			anode, cathode = next, last
		}
		s.element(clampRefs[i], design.RoleClamp, string(p.Kind()), p.Base().ID, anode, cathode)
		last = next
	}
}

// crossing is a moment with voltage and current on a switch at once.
type crossing struct {
	v, i float64
	t    design.Number // unknown counts as steady
	what string
}

// lineSteps is how many stairs a load line is taken in: all of them stay within an
// eighth of its greatest power.
const lineSteps = 16

// alongLine adds the edges of a load that is no winding, which move along its load line:
// from nothing across the switch and all of the current to all of the voltage and none.
// Each stair takes the current of its beginning and the voltage of its end, so that no
// point of the line is worse. A load of constant power may draw all of its current at any
// voltage. Logic that falls over an inrush, or software, may cut that off too: it lasts as
// long as the edge, or as the inrush where that ends sooner.
func (s *stage) alongLine(ev []crossing, on, off design.Number) []crossing {
	what, cut := "an edge of the load's own current", inTheInrush
	l := s.l
	if l.Inductive {
		return ev
	}
	if s.letGo {
		what, cut = "the pin lets go, at a reset or without its supply: what holds the stage off ends the load's current by itself", inTheInrushLetGo
	}
	if l.HasInrush {
		t := off
		if p := pulseLength(l.Pulse); p.OK && t.OK {
			// A capacitor charges longest through the greatest resistance of its loop,
			// which the rectangle of the highest peak does not tell.
			t.V = min(t.V, max(p.V, l.Pulse.T))
		}
		ev = s.line(ev, l.PeakCurrent(), t, cut)
	}
	if l.Kind == job.Electronic {
		return append(ev, crossing{l.VMax, l.IMax, longest(on, off), what})
	}
	return s.line(ev, l.IMax, longest(on, off), what)
}

// inTheInrush is the crossing of an inrush that is cut off: at its easy end it is the
// load's own current that is.
const (
	inTheInrush      = "turning off in the inrush"
	inTheInrushLetGo = "the pin lets go in the inrush, at a reset or without its supply: what holds the stage off ends it by itself"
)

// line adds the stairs of a load line that ends at i amperes.
func (s *stage) line(ev []crossing, i float64, t design.Number, what string) []crossing {
	for k := range lineSteps {
		ev = append(ev, crossing{s.l.VMax * float64(k+1) / lineSteps, i * float64(lineSteps-k) / lineSteps, t, what})
	}
	return ev
}

// windingEdges adds the edges of a winding with a clamp: turned off, it drives its current
// on until the clamp takes it, and where it is turned on again before that has ended, the
// switch takes the current over with all of the voltage across it.
func (s *stage) windingEdges(ev []crossing, on, off design.Number) []crossing {
	l := s.l
	if !l.Inductive || !s.clamped {
		return ev
	}
	v, i := firstOf(s.vPeak, s.vPeakEst), l.PeakCurrent()
	what := "turning the winding off into its clamp"
	if s.letGo {
		what = "the pin lets go, at a reset or without its supply: what holds the stage off turns the winding off into its clamp by itself"
	}
	ev = append(ev, crossing{v, i, off, what})
	if l.Mode == "pwm" || l.OpsPerSecond >= ratedSwitching {
		ev = append(ev, crossing{v, i, on, "turning on while the winding's current still flows in its clamp"})
	}
	return ev
}

// edgeRoom is how many crossings a stage has at the most.
const edgeRoom = 4 + 2*lineSteps

// longest is the longer of two times, unknown where either is.
func longest(a, b design.Number) design.Number {
	if !a.OK || !b.OK {
		return design.Number{}
	}
	return design.Known(max(a.V, b.V))
}

const (
	// a MOSFET's crossing shorter and smaller than these is no matter (common
	// practice, no source)
	shortCrossing, smallCrossing = 10e-6, 1e-3
	// secondBreakdown: a bipolar that switches more needs its safe area (common
	// practice, no source)
	secondBreakdown = 30.0
)

// area is what the safe area of a part is judged with.
type area struct {
	curves   []catalog.SOACurve
	bipolar  bool
	tHot     float64 // case and junction, degrees Celsius
	known    bool    // tHot is guaranteed
	soft     bool    // tHot rests on a bound that is no figure
	tEst     float64 // degrees Celsius, typical, where soft
	reversed bool    // it rests on a reversal for ever, of a motor that states no stall time; tEst on a jam
	tjMax    float64
	bear     float64 // W that the case can still carry away
	calm     float64 // degrees Celsius, tHot before the inrush or the jam
	spare    float64 // W, bear at that
	peak     float64 // of what it gives, the policy's share
	open     bool    // nothing but the switch itself limits the voltage of a winding's opening
	missing  string  // the figure without which crossings have no length and no heat
}

// longJam is from how long a jam on, s, the case is taken to be as hot as it makes the
// junction (common practice, no source).
const longJam = 1.0

// jamsLong reports whether a motor may be switched off at the current of a jam that has
// warmed the case.
func (s *stage) jamsLong() bool {
	p := &s.l.PulseHot
	return s.l.Inductive && s.l.HasInrush && (p.Shape == load.ForEver || p.Shape == load.Rectangle && p.Equivalent() >= longJam)
}

func (s *stage) areaOf(curves []catalog.SOACurve, h *catalog.Heat, t temperatures, bipolar bool) area {
	a := area{curves: curves, bipolar: bipolar, missing: "q_gd_max", tjMax: float64(h.TjMax.Or(0)), peak: s.pol.IPeak}
	if bipolar {
		a.missing = "switching_max"
	}
	if a.tHot, a.known = t.hottest(h); t.runaway { // hotter than it may ever be
		a.tHot, a.known = a.tjMax, true
	}
	a.calm = a.tHot
	if a.known && s.jamsLong() { // it may be opened in the jam's heat, which may have no end
		jam := a.tjMax
		if t.worst.OK {
			jam = min(t.worst.V, jam)
		}
		a.tHot = max(a.tHot, jam)
	}
	switch {
	case a.known:
	case bipolar:
		a.missing = "v_ce_sat.max"
	default:
		a.missing = "r_ds_on at this drive"
	}
	if !a.known {
		a.tHot = s.l.TMax
		if t.steady.OK { // without a loss that nobody states
			a.tHot = min(max(a.tHot, t.steady.V, t.jam), a.tjMax)
		}
		a.calm = a.tHot
	}
	rth := t.rth
	if r, ok := h.RthJC.Get(); ok {
		rth = float64(r)
	}
	if rth > 0 && a.known {
		limit := a.tjMax - s.pol.JunctionBelow(a.tjMax)
		a.bear, a.spare = max(0, limit-a.tHot)/rth, max(0, limit-a.calm)/rth
	}
	return a
}

// estimated takes, where the heat is not known, what is estimated of it.
func (a *area) estimated(t *temperatures, h *catalog.Heat) {
	if hot, ok := t.hottest(h); ok && !a.known {
		a.tHot = max(a.tHot, hot)
		a.calm = a.tHot
	}
}

// carrying is the crossing of an inrush that is let through. It is what heats, so that it
// meets the case as it was before.
const carrying = "carrying the inrush"

// before is the area as a crossing finds it.
func (a area) before(e crossing) area {
	if e.what == carrying {
		a.tHot, a.bear = a.calm, a.spare
	}
	return a
}

// applies reports whether a crossing must be judged at all.
func (a *area) applies(e crossing) bool {
	if a.bipolar && e.v > secondBreakdown {
		return true
	}
	if e.v*e.i <= a.bear && !a.bends(e) {
		return false
	}
	return a.bipolar || !e.t.OK || e.t.V >= shortCrossing || e.v*e.i*e.t.V >= smallCrossing
}

// bends reports whether the safe area gives less at a crossing than its power alone
// would: at high voltage and long times a hot spot draws the current together.
func (a *area) bends(e crossing) bool {
	if !e.t.OK || !a.bipolar && e.t.V < shortCrossing {
		return false
	}
	at := device.SafeArea(a.curves, e.v, e.t.V, a.tHot, a.tjMax)
	return at.OK && e.i > a.peak*at.V
}

// crossingCheck judges one crossing.
func (s *stage) crossingCheck(a *area, e crossing) design.Check {
	length := math.Inf(1)
	if e.t.OK {
		length = e.t.V
	}
	c := design.Check{ID: design.SafeArea, Unit: design.A, K: s.pol.IPeak, Source: s.d.PartSource, Because: e.what, Brief: s.env.Brief}
	c.Stress = design.Known(e.i)
	c.Rating = device.SafeArea(a.curves, e.v, length, a.tHot, a.tjMax)
	if s.l.PeakAssumed {
		c.EasyStress = design.Known(min(e.i, s.l.IMax))
		c.Needs(s.l.InrushField())
	}
	switch {
	case !c.Rating.OK:
		c.Needs("soa")
		if e.t.OK { // longer than any stated time, which is then a bound
			c.RatingEstimate = device.SafeAreaBound(a.curves, e.v, a.tHot, a.tjMax)
		}
	case !a.known:
		// What the junction does is not known, and with it neither is what is left of
		// the safe area; at what is known of its heat there is more of it than there is, and
		// for the shortest time that is stated no less than for any other.
		c.RatingEstimate = c.Rating
		if !e.t.OK {
			c.RatingEstimate = device.SafeArea(a.curves, e.v, 0, a.tHot, a.tjMax)
		}
		c.Rating = design.Number{}
		c.Needs(a.missing)
	case !e.t.OK && !design.AtMost(e.i, c.Rating.V):
		// The steady limit would prove a crossing of any length; that it fails says
		// nothing of a short one, unless the shortest that is stated fails too.
		if least := device.SafeArea(a.curves, e.v, 0, a.tHot, a.tjMax); least.OK && !design.AtMost(e.i, least.V) {
			c.Rating = least
			if a.reversed || a.soft {
				c.RatingEstimate = device.SafeArea(a.curves, e.v, 0, a.tEst, a.tjMax)
			}
		} else {
			c.Rating = design.Number{}
		}
		c.Needs(a.missing)
	case a.reversed && e.what != carrying:
		if !design.AtMost(e.i, c.Rating.V) {
			c.RatingEstimate = device.SafeArea(a.curves, e.v, length, a.tEst, a.tjMax)
			c.Needs("load.stall_time")
		}
	case a.soft:
		c.RatingEstimate = device.SafeArea(a.curves, e.v, length, a.tEst, a.tjMax)
	}
	c.Formula = "{stress} at {V} for ever, as nobody knows how long; the safe area gives {rating} with the case at {T_case}"
	c.SetArgs(design.Arg{Name: "V", V: e.v, Unit: design.V}, design.Arg{Name: "T_case", V: a.tHot, Unit: design.DegC})
	if e.t.OK {
		c.Formula = "{stress} at {V} for {t}; the safe area gives {rating} with the case at {T_case}"
		c.SetArgs(design.Arg{Name: "V", V: e.v, Unit: design.V}, design.Arg{Name: "t", V: e.t.V, Unit: design.S}, design.Arg{Name: "T_case", V: a.tHot, Unit: design.DegC})
	}
	c.SetCorner(design.CornerValue{Name: "rail", V: s.l.VMax}, design.CornerValue{Name: "ambient", V: s.l.TMax})
	judge(&c)
	return c
}

// safeArea judges the crossings against the stated safe area: the worst is the
// check.
func (s *stage) safeArea(a area, events []crossing) {
	if s.l.HasInrush && !s.l.PeakKnown {
		c := s.check(design.SafeArea, design.A)
		c.Because = "the inrush is not stated, or stated without a source"
		c.Formula = "how much current crosses the safe area is not known"
		c.Needs(s.l.InrushField())
		judge(c)
		return
	}
	var worst design.Check
	has := false
	for _, e := range events {
		if at := a.before(e); at.applies(e) {
			keepWorse(&worst, s.crossingCheck(&at, e), &has)
		}
	}
	switch {
	case !has && a.open:
		s.na(design.SafeArea, "no clamp limits the voltage of the opening: avalanche judges it; every other crossing is small enough")
		return
	case !has:
		s.na(design.SafeArea, "voltage times current of every crossing stays under what the case can carry away, or it is too short to matter")
		return
	}
	s.d.Checks = append(s.d.Checks, worst)
}

// pulseLength is how long an inrush lasts for the safe area, which is a matter of
// heat and derated to the junction under its steady load: as long as a rectangle of
// its peak that heats no less.
func pulseLength(p load.Pulse) design.Number {
	switch p.Shape {
	case load.Rectangle, load.Decay:
		return design.Known(p.Equivalent())
	}
	return design.Number{}
}

// peakCurrent judges an inrush or stall against the stated pulse current.
func (s *stage) peakCurrent(rating design.Number, fallback bool, figure string) {
	l := s.l
	if !l.HasInrush {
		s.na(design.PeakCurrent, "the load has no inrush")
		return
	}
	c := s.check(design.PeakCurrent, design.A)
	c.K, c.Rating, c.Fallback = s.pol.IPeak, rating, fallback
	if fallback {
		c.Needs(figure)
	}
	if l.PeakKnown {
		c.Stress = design.Known(l.PeakCurrent())
		c.EasyStress = l.EasyPeak()
		if l.PeakAssumed {
			c.Needs(l.InrushField())
		}
	} else {
		c.Needs(l.InrushField())
		c.Because = "the inrush is not stated, or stated without a source"
	}
	c.Formula = "inrush or stall {stress}, a pulse of {rating} is guaranteed"
	if x := l.Limiter; x != nil {
		c.Formula = "inrush through the cold limiter {stress}, a pulse of {rating} is guaranteed; off for {t_off} before each start, it wants {t_cool}"
		if !x.Helps {
			c.Because = "the limiter is still hot when the load starts again, or does not bear the inrush: no help of it is counted"
			c.Needs("load.switching_rate")
			c.Needs("load.duty_max")
		}
		c.SetArgs(design.Arg{Name: "t_off", V: finiteOr(x.Off, 0), Unit: design.S}, design.Arg{Name: "t_cool", V: float64(x.Part.TCool.Or(0)), Unit: design.S})
	}
	air := l.TMin
	if l.Limiter != nil { // whose resistance is least in the hottest air
		air = l.TMax
	}
	c.SetCorner(design.CornerValue{Name: "rail", V: l.VMax}, design.CornerValue{Name: "ambient", V: air})
	judge(c)
	if l.PeakKnown {
		s.value(design.IPeak, l.PeakCurrent(), design.A)
	}
}
