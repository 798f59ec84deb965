package topology

import (
	"math"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/clamp"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/device"
	"example.org/pinhoist/internal/load"
)

// npnLow is an NPN transistor between load and ground, saturated by the pin
// through a base resistor, with a bleed from base to emitter.
type npnLow struct{}

func (npnLow) ID() string   { return "npn-low" }
func (npnLow) Side() string { return "low" }

// DrivesCoils says that a relay's coil may be driven so.
func (npnLow) DrivesCoils() bool { return true }

func (npnLow) Owes(l *load.Model) []design.CheckID {
	return append(owesSilicon(l), design.BaseDrive, design.Saturation, design.BaseReverse)
}

// Takes lists the elements of a stage as built that are worked out.
func (npnLow) Takes(l *load.Model) []string {
	return takes(l, "r_base", "r_base_emitter", "heat_sink", "insulator", "limiter")
}

func (npnLow) Serves(env *Env, l *load.Model, sw catalog.Part) string {
	p, ok := sw.(*catalog.BJT)
	if !ok || p.Polarity != "npn" || device.IsDarlington(p) {
		return WrongPart
	}
	return servesInput(env, l)
}

// npnStage is one NPN stage while it is worked out.
type npnStage struct {
	stage
	p       *catalog.BJT
	src     baseSource // what feeds the base; the zero one is the pin
	rb, rbe resistor
	clamp   *clamp.Option

	gain             device.Gain
	vbeMax           design.Number // on, coldest
	ibMin            design.Number // what the base gets at the least, A
	ibMax            design.Number // at the most
	vbeHot           float64       // base-emitter voltage at the least, hot junction
	vOn              design.Number // guaranteed on voltage
	vOnEst           design.Number
	vOnBound         bool          // by the gain's VCE only
	satNeed          design.Number // base current of the saturation point that serves
	satMet           bool
	t, est           temperatures
	tOn, tOff, tFall design.Number
	late             delays // that the edges wait for
	pBase            design.Number
	pSw              design.Number
}

func (t npnLow) Design(env *Env, l *load.Model, sw catalog.Part, given *Given, d *design.Design) {
	env.limited(l, given, d, func(l *load.Model, d *design.Design) (warms float64, sure bool) {
		n := npnStage{stage: begin(env, l, given, d, t.ID(), sw.Base()), p: sw.(*catalog.BJT)}
		n.lowSideRoughly()
		return 0, true
	}, func(l *load.Model, d *design.Design) { t.unlimited(env, l, sw, given, d) })
}

// unlimited is Design for a load as it is, with the limiter that stands in its way.
func (t npnLow) unlimited(env *Env, l *load.Model, sw catalog.Part, given *Given, d *design.Design) {
	n := npnStage{stage: begin(env, l, given, d, t.ID(), sw.Base()), p: sw.(*catalog.BJT)}
	n.lowSide(t.Owes(l))
}

// lowSide is the whole stage between load and ground.
func (n *npnStage) lowSide(owed []design.CheckID) {
	n.lowSideParts()
	n.checks()
	n.draw()
	n.finish(owed)
}

// lowSideRoughly chooses the parts of that stage alone and tells its on voltage.
func (n *npnStage) lowSideRoughly() {
	n.lowSideParts()
	n.valueOf(design.VOn, n.vOn, design.V)
}

// lowSideParts chooses all parts of that stage.
func (n *npnStage) lowSideParts() {
	n.buy("Q1", n.p)
	n.clamp = n.suppress(known(n.p.VCEOMax), n.pol.V, nil)
	n.aim()
	n.choose()
	n.reclamp()
}

// baseSource is what feeds a base through its resistor.
type baseSource struct {
	lo, hi     float64 // its level at the least and at the most, V
	rMin, rMax float64 // its own resistance, ohm
	most       float64 // what it bears, A
	open       bool    // off, it is open and empties no base
	words      *baseWords
}

// baseWords are the formulas of the checks that a base and its source share.
type baseWords struct {
	lo, hi, corner string // its level at both ends, and the corner that it is
	drive, most    string
}

var pinWords = baseWords{
	lo: "V_pin_min", hi: "V_pin_max", corner: "pin_supply",
	drive: "{I_C}/{h_FE} = {stress}; base gets ({V_pin_min} - {V_BE_max})/({R_out} + {R_base}) - {V_BE_max}/{R_BE} = {rating}",
	most:  "({V_pin_max} - {V_BE_min})/({R_out} + {R_base}) = {stress}; the base bears {rating}",
}

// feed is what feeds the base.
func (n *npnStage) feed() baseSource {
	if n.src.words != nil {
		return n.src
	}
	pin := &n.env.Pin
	return baseSource{lo: float64(pin.SupplyMin), hi: float64(pin.SupplyMax), rMin: float64(pin.ROutMin), rMax: float64(pin.ROutMax),
		most: float64(pin.SourceMax), words: &pinWords}
}

// aim sets what the load's greatest current asks of the part.
func (n *npnStage) aim() {
	n.gain = device.BaseCurrent(n.p, n.carried(), n.l.TMin)
	n.vbeMax = device.VBEMax(n.p, n.l.PeakCurrent(), n.l.TMin)
}

// gateCharge is the Memo of a load whose inrush is the charge of a gate behind a
// resistor.
type gateCharge struct{}

// charges reports whether the inrush is a gate's charge: microjoules, which the stage
// need not carry in saturation with a base to spare, for falling short makes an edge
// slower and nothing hot. Its gain has to be enough for it, and its rating.
func (n *npnStage) charges() bool {
	_, ok := n.l.Memo.(gateCharge)
	return ok
}

// carried is the greatest current that must be carried in saturation, A.
func (n *npnStage) carried() float64 {
	if n.charges() {
		return n.l.IMax
	}
	return n.l.PeakCurrent()
}

func (n *npnStage) rin() float64 { return float64(n.p.RBInternal.Or(0)) }

// bleedLo and bleedHi are the base-emitter resistance with the part's own, each at one
// end of its spread.
func (n *npnStage) bleedLo() float64 { return n.bleed(n.rbe.lo(), device.InnerBleed(n.p).Least) }
func (n *npnStage) bleedHi() float64 { return n.bleed(n.rbe.hi(), device.InnerBleed(n.p).Most) }

func (n *npnStage) bleed(r, own float64) float64 {
	if n.rbe.absent {
		r = math.Inf(1)
	}
	return parallel(r, own)
}

// bleedPlain is bleedHi with the part's own as it is stated without a guarantee: what
// that holds off is an estimate. It reports whether nothing better is stated.
func (n *npnStage) bleedPlain() (r float64, only bool) {
	own := device.InnerBleed(n.p)
	return n.bleed(n.rbe.hi(), own.Plain), math.IsInf(own.Most, 1) && !math.IsInf(own.Plain, 1)
}

// reclamp chooses the clamp again and, where that matters, the resistors.
func (n *npnStage) reclamp() {
	if n.otherClamp() {
		n.choose()
	}
}

// otherClamp chooses the clamp again, now that the junction is known and with it
// what the safe area makes of each peak. It reports whether another one makes
// other switching losses.
func (n *npnStage) otherClamp() bool {
	if n.clamp == nil || n.given.Clamp.Said {
		return false
	}
	a := n.area()
	before := n.clamp
	fall, _ := n.longestFall()
	n.clamp = n.suppress(known(n.p.VCEOMax), n.pol.V, func(o *clamp.Option) design.Verdict {
		return n.offCrossing(&a, o, fall)
	})
	return n.clamp != before && n.l.Mode == "pwm"
}

// choose sets the bleed, the largest that keeps the base under its on voltage,
// and the base resistor; each depends a little on the other and both on the
// junction, so a few rounds are made. Whatever comes out is then judged.
func (n *npnStage) choose() {
	n.rb, n.rbe = n.givenOr(n.given.RBase, 0), n.givenOr(n.given.RBaseEmitter, math.Inf(1))
	if !n.given.RBaseEmitter.Said {
		n.rbe = resistor{nom: 2.2e3, tol: 0.01}
	}
	hot := n.l.TMax
	for round := range 5 {
		rb, rbe := n.rb, n.rbe
		n.vbeHot = device.VBEOnMin(n.p, hot)
		if !n.given.RBase.Said {
			n.baseResistor()
		}
		if !n.given.RBaseEmitter.Said {
			n.bleedResistor(hot)
			if !n.given.RBase.Said {
				n.baseResistor()
			}
		}
		if round > 0 && n.rb == rb && n.rbe == rbe {
			return // solved with these already
		}
		n.solve()
		now, _ := n.t.hottest(&n.p.Heat)
		if now == hot {
			return
		}
		hot = now
	}
}

// window is the base resistor's: hi keeps need amperes in the base at the
// lowest high level, coldest and greatest VBE, less what the bleed takes; lo
// keeps the pin and the base within their limits at the other ends.
func (n *npnStage) window(need float64) (lo, hi float64) {
	src := n.feed()
	most := src.most
	if ib, ok := n.baseLimit(); ok {
		most = min(most, ib)
	}
	lo = (src.hi-n.vbeHot)/most - src.rMin
	if !n.vbeMax.OK {
		return lo, math.Inf(-1)
	}
	hi = (src.lo-n.vbeMax.V)/(need+n.vbeMax.V/n.bleedLo()) - src.rMax - n.rin()
	return lo, hi
}

// baseLimit is the greatest base current, A (bracket a tenth of i_c_max, a
// hundredth of a Darlington's).
func (n *npnStage) baseLimit() (float64, bool) {
	if v, ok := n.p.IBMax.Get(); ok {
		return float64(v), true
	}
	if v, ok := n.p.ICMax.Get(); ok {
		return float64(v) * float64(catalog.BracketIBMaxOf(device.IsDarlington(n.p))), true
	}
	return 0, false
}

// baseResistor meets base drive and a stated saturation point if any value
// does, else base drive alone, else gives the most that the pin bears.
func (n *npnStage) baseResistor() {
	if n.gain.Base.OK {
		drive := n.pol.Overdrive * n.gain.Base.V
		if n.charges() {
			drive = max(drive, device.BaseCurrent(n.p, n.l.PeakCurrent(), n.l.TMin).Base.V)
		}
		if sat := n.easiestSaturation(); sat.OK && n.pickBase(max(drive, sat.V)) {
			return
		}
		if n.pickBase(drive) {
			return
		}
	}
	lo, _ := n.window(0)
	found := false
	for _, s := range n.env.Resistors {
		v, ok := nextUp(s, lo/(1-float64(s.Tolerance.Or(0.05))))
		if !ok {
			continue
		}
		r := fromSeries(s, v)
		if fits := n.basePowerFits(r); fits || !found {
			n.rb, found = r, true
			if fits {
				return
			}
		}
	}
	if found {
		return
	}
	n.rb = resistor{nom: max(lo, 0), tol: 0.05}
}

func (n *npnStage) pickBase(need float64) bool {
	lo, hi := n.window(need)
	return n.pickFrom(lo, hi, within)
}

// pickFrom takes the base resistor that pick finds in a window from the first
// series whose body bears it; where none does, from the first that has one.
func (n *npnStage) pickFrom(lo, hi float64, pick func(s *catalog.ResistorSeries, lo, hi float64) (float64, bool)) bool {
	found := false
	for _, s := range n.env.Resistors {
		tol := float64(s.Tolerance.Or(0.05))
		v, ok := pick(s, lo/(1-tol), hi/(1+tol))
		if !ok {
			continue
		}
		r := fromSeries(s, v)
		if n.basePowerFits(r) {
			n.rb = r
			return true
		}
		if !found {
			n.rb, found = r, true
		}
	}
	return found
}

func (n *npnStage) basePowerFits(r resistor) bool {
	i := n.pinMax(r)
	p := resistorPower(r.series, n.l.TMax)
	return p.OK && i*i*r.hi() <= n.pol.PResistor*p.V
}

func (n *npnStage) pinMax(rb resistor) float64 {
	src := n.feed()
	return max(0, (src.hi-n.vbeHot)/(src.rMin+rb.lo()))
}

// easiestSaturation is the least base current at which a stated saturation
// voltage is guaranteed for the load's greatest current.
func (n *npnStage) easiestSaturation() (need design.Number) {
	device.SaturationPoints(n.p, n.carried(), func(p device.SaturationPoint) {
		if !need.OK || p.Need < need.V {
			need = design.Known(p.Need)
		}
	})
	return need
}

func (n *npnStage) bleedResistor(hot float64) {
	n.bleedUnder(n.bleedFor(n.vbeHot-n.offMargin(hot), n.rb.lo(), firstOf(n.baseLeak(hot))))
}

// bleedUnder takes the largest bleed of at most so many ohms with the part's own.
func (n *npnStage) bleedUnder(most float64) {
	if own := device.InnerBleed(n.p).Most; !math.IsInf(own, 1) {
		switch {
		case most < own:
			most = most * own / (own - most)
		case device.IsDarlington(n.p): // what it has does
			n.rbe = resistor{nom: math.Inf(1), absent: true}
			return
		}
	}
	for _, s := range n.env.Resistors {
		if v, ok := coarseDown(s, most/(1+float64(s.Tolerance.Or(0.05)))); ok && v >= 10 {
			n.rbe = fromSeries(s, v)
			return
		}
	}
	for _, s := range n.env.Resistors {
		if v, ok := nextUp(s, 100); ok {
			n.rbe = fromSeries(s, v)
			return
		}
	}
}

// baseLeak is the collector-base leakage at the hot junction: stated, else the
// collector-emitter leakage, which is never less.
func (n *npnStage) baseLeak(hot float64) design.Number {
	if i := device.BaseLeakage(n.p, n.l.VMax, hot); i.OK {
		return i
	}
	return device.CollectorLeakage(n.p, n.l.VMax, hot)
}

// solve works out base currents, on voltage, edges and junction.
func (n *npnStage) solve() {
	n.drive()
	n.rest()
}

// rest works out edges and junction with what the base gets.
func (n *npnStage) rest() {
	n.baseHeat()
	n.t, n.est = temperatures{}, temperatures{}
	if n.vOn.OK && n.pBase.OK {
		n.t = n.junctionHeat(&n.p.Common, &n.p.Heat, func(hot float64) (heat, bool) { return n.warm(hot, n.vOn.V) })
	}
	// An estimate is wanted only where no figure of saturation holds.
	if v := firstOf(n.vOnEst, n.vOn); v > 0 && n.pBase.OK && !n.satMet {
		n.est = n.estimatedHeat(&n.p.Common, &n.p.Heat, func(hot float64) (heat, bool) { return n.warm(hot, v) }, n.t)
	}
	hot, _ := n.t.hottest(&n.p.Heat)
	n.at(hot)
}

// drive works out the least base current and the on voltage that it gives.
func (n *npnStage) drive() {
	src := n.feed()
	n.ibMin = design.Number{}
	if n.vbeMax.OK {
		n.ibMin = n.baseGets(&src, n.bleedLo())
	}
	n.onVoltage()
}

// baseGets is the least base current with a bleed of so many ohms, A, where the
// greatest base-emitter voltage is known.
func (n *npnStage) baseGets(src *baseSource, bleed float64) design.Number {
	return design.Known(max(0, (src.lo-n.vbeMax.V)/(src.rMax+n.rb.hi()+n.rin())-n.vbeMax.V/bleed))
}

// at works out what depends on the junction, degrees Celsius: the least
// base-emitter voltage, the most that the base gets with it, and the edges.
func (n *npnStage) at(hot float64) {
	n.vbeHot = device.VBEOnMin(n.p, hot)
	n.ibMax = design.Known(max(0, n.pinMax(n.rb)-n.vbeHot/n.bleedHi()))
	n.edges()
}

// warm is the law of the stage's heat with so much on voltage.
func (n *npnStage) warm(hot, vOn float64) (heat, bool) {
	n.at(hot)
	return n.heat(vOn), n.pSw.OK
}

// heatEnds works out where heat ends the frequency of pwm; not where the on voltage
// is only a bound and no figure.
func (n *npnStage) heatEnds() {
	if n.l.Mode != "pwm" || !n.satMet || !n.pBase.OK || !n.pSw.OK {
		return
	}
	hot, _ := n.t.hottest(&n.p.Heat)
	n.at(hot)
	enough := edgesEnd(n.late.whole(n.tOn, n.tOff))
	n.leastEnds(&n.p.Heat, &n.t, hot, enough, func(hot float64) (heat, bool) { return n.warm(hot, n.vOn.V) })
	n.at(hot)
}

// onVoltage by either of its two routes: a stated saturation point that the
// base current meets; else the VCE at which the gain is stated, a bound.
func (n *npnStage) onVoltage() {
	n.vOn, n.vOnEst, n.satNeed, n.satMet, n.vOnBound = design.Number{}, design.Number{}, design.Number{}, false, false
	peak := n.carried()
	device.SaturationPoints(n.p, peak, func(p device.SaturationPoint) {
		met := n.ibMin.OK && design.AtMost(p.Need, n.ibMin.V)
		switch {
		case met && (!n.satMet || p.V < n.vOn.V):
			n.vOn, n.satNeed, n.satMet = design.Known(p.V), design.Known(p.Need), true
		case !met && !n.satMet && (!n.satNeed.OK || p.Need < n.satNeed.V):
			n.satNeed = design.Known(p.Need)
		}
	})
	if n.satMet {
		return
	}
	n.vOnEst = n.easyOnVoltage(peak)
	if n.gain.Base.OK && n.ibMin.OK && design.AtMost(n.gain.Base.V, n.ibMin.V) && n.gain.VCE > 0 {
		n.vOn, n.vOnBound = design.Known(n.gain.VCE), true
	}
}

// easyOnVoltage is the on voltage that a base which meets no stated point may still give
// at so many amperes: the typical one, and no less than what more drive guarantees. Else
// a stage would look better for being driven less.
func (n *npnStage) easyOnVoltage(ic float64) design.Number {
	least := design.Number{}
	device.SaturationPoints(n.p, ic, func(p device.SaturationPoint) {
		if !least.OK || p.V < least.V {
			least = design.Known(p.V)
		}
	})
	typical := device.TypicalSaturation(n.p, ic)
	if !least.OK || typical.OK && typical.V > least.V {
		return typical
	}
	return least
}

// baseHeat is what the base dissipates at the hottest air, W.
func (n *npnStage) baseHeat() {
	src := n.feed()
	v := device.VBEMax(n.p, n.l.PeakCurrent(), n.l.TMax)
	if !v.OK {
		n.pBase = design.Number{}
		return
	}
	n.pBase = design.Known(mostInto(src.hi, src.rMin+n.rb.lo()+n.rin(), n.bleedHi(), min(n.vbeHot, v.V), v.V))
}

// mostInto is the most that something between lo and hi volts takes, W, from a source
// of v volts behind r ohms with a bleed of so many ohms across it: u*((v - u)/r -
// u/bleed), greatest at u = v/2/(1 + r/bleed).
func mostInto(v, r, bleed, lo, hi float64) float64 {
	u := min(hi, max(lo, v/2/(1+r/bleed)))
	return u * max(0, (v-u)/r-u/bleed)
}

// emptying is the least current that empties the base, A.
func (n *npnStage) emptying() float64 {
	rb, bleed := math.Inf(1), n.bleedHi()
	if src := n.feed(); !src.open {
		rb = n.rb.hi() + src.rMax
	} else if math.IsInf(bleed, 1) {
		return 0
	}
	return device.BaseTurnOff(n.vbeHot, 0, rb, bleed, n.rin())
}

func (n *npnStage) edges() {
	l := n.l
	// The base is emptied through its resistor, where its source pulls it down, and
	// the bleed. Storage is longest where most is stored: with the greatest base
	// current.
	most := max(firstOf(n.ibMin), firstOf(n.ibMax))
	off := n.emptying()
	_, n.tOff, n.tFall = device.SwitchingTimes(n.p, l.PeakCurrent(), most, off)
	n.tOn, _, _ = device.SwitchingTimes(n.p, l.PeakCurrent(), firstOf(n.ibMin), off)
	n.pSw = design.Known(0)
	f := l.Frequency
	if l.Mode != "pwm" {
		f = l.OpsPerSecond
		if f < ratedSwitching {
			return
		}
	}
	if !n.tOn.OK || !n.tFall.OK {
		n.pSw = design.Number{}
		return
	}
	v := firstOf(n.vPeak, n.vPeakEst, design.Known(l.VMax))
	p := 0.5*v*l.IMax*(n.tOn.V+n.tFall.V)*f + n.wireEnergy(known(n.p.VCEOMax), l.IMax*math.Sqrt(n.choppedMost()))*f
	if n.clamp != nil && l.Mode == "pwm" {
		if !n.clamp.Recovery.OK {
			n.pSw = design.Number{}
			return
		}
		p += recoveryLoss(v, l.IMax, n.clamp.Recovery.V, f)
	}
	n.pSw = design.Known(p)
}

func (n *npnStage) heat(vOn float64) heat {
	h := heat{cond: conduction{v: vOn}, duty: n.heatDuty(), i: n.l.IHot, pulse: n.l.PulseHot}
	h.sw = n.chopping(n.pSw)
	mean := n.inrushAverage(0, vOn)
	h.edges = n.pSw.V + n.choppedEdges(n.pSw) + n.inrushEdges(n.tOn, n.tFall, n.pSw, known(n.p.VCEOMax))
	h.extra, h.mean = n.pBase.V+h.edges+mean, mean
	if n.inrushEachPeriod() {
		h.edges += mean
	}
	h.stuck = n.pBase.V
	return h
}

func (n *npnStage) checks() {
	n.pinChecks()
	n.staysOff()
	n.baseDrive()
	n.driveValues()
	n.saturation()
	n.baseReverse()
	n.partChecks()
	n.drop(n.vOn, n.easyDrop())
	n.railCurrent()
	n.noIsolation()
	n.fuses()
	n.resistors()
	n.values()
}

// partChecks are those of the transistor alone, whatever feeds its base.
func (n *npnStage) partChecks() {
	n.clampChecks(n.clamp)
	n.blockingCheck(n.clamp, known(n.p.VCEOMax), n.pol.V, "v_ceo_max")
	n.onCurrent()
	icm, fallback := known(n.p.ICMMax), false
	if !icm.OK {
		icm, fallback = known(n.p.ICMax), true
	}
	if n.l.HasInrush || n.l.Inductive {
		n.peakCurrent(icm, fallback, "i_cm_max")
	}
	n.junction()
	n.crossings()
	n.avalancheCheck("a bipolar transistor has no avalanche rating")
	n.heatEnds()
	on, off := n.late.whole(n.tOn, n.tOff)
	n.pwmCheck(on, off, &n.t, "switching_max", "v_ce_sat.max", n.l.Mode == "pwm" && !n.tOff.OK && device.EndlessStorage(n.p, n.l.PeakCurrent()))
	n.leakage()
}

func (n *npnStage) leakage() {
	hot, _ := n.t.hottest(&n.p.Heat)
	figure := "i_cbo_max"
	if device.IsDarlington(n.p) && !n.p.RBEIntMax.Known() { // that of its second base says nothing
		figure = "i_ceo_max"
	}
	n.leakageCheck(withBelow(device.CollectorLeakage(n.p, n.l.VMax, n.l.TMax), heldAt(n.d),
		func(v float64) float64 { return device.CollectorBelow(n.p, v, hot) }), figure)
}

func (n *npnStage) pinChecks() {
	pin := n.env.Pin
	n.pinCurrent(n.pinMax(n.rb), 0, 0, "({V_pin_max} - {V_BE_min})/({R_out} + {R_base}) = {stress}",
		design.Arg{Name: "V_pin_max", V: float64(pin.SupplyMax), Unit: design.V}, design.Arg{Name: "V_BE_min", V: n.vbeHot, Unit: design.V},
		design.Arg{Name: "R_out", V: float64(pin.ROutMin), Unit: design.Ohm}, design.Arg{Name: "R_base", V: n.rb.lo(), Unit: design.Ohm})
	hot, known := n.t.hottest(&n.p.Heat)
	leak := n.baseLeak(hot)
	lift := n.lift(leak, n.bleedHi())
	plain, only := n.bleedPlain()
	cooler, figure := design.Number{}, "i_cbo_max"
	switch {
	case n.vOnBound: // the junction rests on a bound of the on voltage that is no figure
		hot, _ = n.est.hottest(&n.p.Heat)
		cooler = n.lift(n.baseLeak(hot), plain)
	case !known:
		cooler = n.lift(n.baseLeak(n.l.TMax), plain)
	case only:
		cooler, figure = n.lift(leak, plain), "r_be_internal_max"
	}
	n.pinLifted(lift, cooler, leak, figure)
}

// lift is how far a leakage lifts the base above its bleed, V.
func (n *npnStage) lift(leak design.Number, bleed float64) design.Number {
	if leak.OK {
		leak.V = min(leak.V*finiteOr(bleed, 1e9), n.l.VMax)
	}
	return leak
}

func (n *npnStage) staysOff() {
	c, leak, hot := n.offCheck()
	worst := n.offStress(c, leak, func(bleed float64) (worst float64, why string) {
		for _, st := range n.offStates() {
			v := st.driven
			if v == 0 {
				v = n.control(st, n.rb.lo(), bleed, firstOf(leak))
			}
			if v >= worst {
				worst, why = v, st.name
			}
		}
		return worst, why
	})
	c.Formula = "{V_pin_max} x {R_BE}/({R_BE} + {R_base} + {R_reset_pull}), or leakage x {R_BE}: {stress}; base at {T_j} conducts from {rating}"
	c.SetArgs(design.Arg{Name: "V_pin_max", V: float64(n.env.Pin.SupplyMax), Unit: design.V},
		across("R_BE", n.bleedHi()), design.Arg{Name: "R_base", V: n.rb.lo(), Unit: design.Ohm},
		design.Arg{Name: "R_reset_pull", V: float64(n.env.Pin.ResetPullMin), Unit: design.Ohm}, design.Arg{Name: "T_j", V: hot, Unit: design.DegC})
	c.SetCorner(design.CornerValue{Name: "pin_supply", V: float64(n.env.Pin.SupplyMax)}, design.CornerValue{Name: "ambient", V: n.l.TMax})
	judge(c)
	n.value(design.VControlReset, worst, design.V)
}

// offCheck starts the stays-off check at the hottest junction, degrees Celsius,
// with what leaks into the base there, A.
func (n *npnStage) offCheck() (c *design.Check, leak design.Number, hot float64) {
	c = n.check(design.StaysOff, design.V)
	hot, _ = n.t.hottest(&n.p.Heat)
	c.Rating = design.Known(device.VBEOnMin(n.p, hot))
	leak = device.BaseLeakage(n.p, n.l.VMax, hot)
	if !leak.OK {
		if leak = device.CollectorLeakage(n.p, n.l.VMax, hot); leak.OK {
			c.Fallback = true
		}
		c.Needs("i_cbo_max")
	}
	return c, leak, hot
}

// offStress fills in to what the base rises at the most, V, with that leakage; at says
// it of a bleed, and in which state. It returns what it is at the most.
func (n *npnStage) offStress(c *design.Check, leak design.Number, at func(bleed float64) (float64, string)) (worst float64) {
	worst, c.Because = at(n.bleedHi())
	if leak.OK {
		c.Stress = design.Known(worst)
	} else {
		c.StressEstimate = design.Known(worst)
		c.Because = "the leakage from collector to base at this temperature is not stated"
	}
	if plain, only := n.bleedPlain(); only {
		v, _ := at(plain)
		c.StressEstimate = design.Known(v)
		c.Needs("r_be_internal_max")
	}
	if n.vOnBound && !design.AtMost(worst, c.Rating.V) {
		// The junction rests on a bound of the on voltage that is no figure.
		cool, _ := n.est.hottest(&n.p.Heat)
		c.RatingEstimate = design.Known(device.VBEOnMin(n.p, cool))
		c.Needs("v_ce_sat.max")
	}
	if _, known := n.t.hottest(&n.p.Heat); !known && !design.AtMost(worst, c.Rating.V) {
		c.Rating, c.RatingEstimate = design.Number{}, design.Known(device.VBEOnMin(n.p, n.l.TMax))
		c.Needs("v_ce_sat.max")
	}
	return worst
}

// driveCheck fills what base-drive and saturation share.
func (n *npnStage) driveCheck(id design.CheckID) *design.Check {
	c := n.check(id, design.A)
	c.Rating = n.ibMin
	src := n.feed()
	if !n.ibMin.OK {
		c.Needs("v_be_sat.max")
	} else if own := device.InnerBleed(n.p); !n.p.RBEIntMin.Known() && !math.IsInf(own.Least, 1) {
		c.RatingEstimate = n.baseGets(&src, n.bleed(n.rbe.lo(), own.Plain))
		c.Needs("r_be_internal_min")
	}
	if n.l.PeakAssumed {
		c.Needs(n.l.InrushField())
	}
	c.SetCorner(design.CornerValue{Name: src.words.corner, V: src.lo}, design.CornerValue{Name: "rail", V: n.l.VMax},
		design.CornerValue{Name: "ambient", V: n.l.TMin}, design.CornerValue{Name: "resistor", V: n.rb.hi()}, design.CornerValue{Name: "part.h_fe", V: n.gain.HFE})
	return c
}

func (n *npnStage) baseDrive() {
	c := n.driveCheck(design.BaseDrive)
	c.K = 1 / n.pol.Overdrive
	if n.l.PeakKnown {
		c.Stress = n.gain.Base
		c.StressEstimate = n.gain.Typical
		if n.l.PeakAssumed {
			c.EasyStress = device.BaseCurrent(n.p, n.l.IMax, n.l.TMin).Base
		}
	} else {
		c.Needs(n.l.InrushField())
	}
	if !n.gain.Base.OK {
		c.Needs("h_fe.min")
	}
	switch {
	case !n.gain.Base.OK:
		c.Formula = "no gain is stated at {I_C}"
		c.SetArgs(n.driveArgs()[:1]...)
	case !n.ibMin.OK:
		c.Formula = "{I_C}/{h_FE} = {stress}; no base-emitter voltage is stated at this current"
		c.SetArgs(n.driveArgs()[:2]...)
	default:
		c.Formula = n.feed().words.drive
		c.SetArgs(n.driveArgs()...)
	}
	judge(c)
	n.gainFor(c)
	n.upperEnd(c)
}

// gainFor replaces the check by that of a gate's charge, which the gain has to be
// enough for, where that is worse.
func (n *npnStage) gainFor(c *design.Check) {
	if !n.charges() {
		return
	}
	u := *c
	u.K, u.Stress, u.StressEstimate, u.EasyStress = 1, device.BaseCurrent(n.p, n.l.PeakCurrent(), n.l.TMin).Base, design.Number{}, design.Number{}
	u.Because = "the charge of the gate, for which the gain must be enough"
	if !u.Stress.OK {
		u.Needs("h_fe.min")
	}
	u.Formula = "base current for {I_charge} at the least gain {stress}; the base gets {rating}"
	u.SetArgs(design.Arg{Name: "I_charge", V: n.l.PeakCurrent(), Unit: design.A})
	judge(&u)
	has := true
	keepWorse(c, u, &has)
}

// driveValues tells what the base gets.
func (n *npnStage) driveValues() {
	n.valueOf(design.IBase, n.ibMin, design.A)
	if n.ibMin.OK && n.ibMin.V > 0 {
		n.value(design.ForcedBeta, n.carried()/n.ibMin.V, design.One)
	}
}

// upperEnd replaces the check by its other end where the base gets more than it
// bears and that is worse.
func (n *npnStage) upperEnd(c *design.Check) {
	limit, ok := n.baseLimit()
	if !ok || !n.ibMax.OK {
		return
	}
	u := *c
	u.Stress, u.StressEstimate, u.EasyStress, u.K = n.ibMax, design.Number{}, design.Number{}, 1
	u.Rating = design.Known(limit)
	u.Fallback = !n.p.IBMax.Known()
	if u.Fallback {
		u.Needs("i_b_max")
	}
	u.Because = "the most that the base gets"
	src := n.feed()
	u.Formula = src.words.most
	u.SetArgs(design.Arg{Name: src.words.hi, V: src.hi, Unit: design.V}, design.Arg{Name: "V_BE_min", V: n.vbeHot, Unit: design.V},
		design.Arg{Name: "R_out", V: src.rMin, Unit: design.Ohm}, design.Arg{Name: "R_base", V: n.rb.lo(), Unit: design.Ohm})
	judge(&u)
	if u.Verdict > c.Verdict {
		*c = u
	}
}

// noArgs stands for arguments that a brief run does not keep.
var noArgs [7]design.Arg

func (n *npnStage) driveArgs() []design.Arg {
	if n.env.Brief {
		return noArgs[:]
	}
	src := n.feed()
	return []design.Arg{{Name: "I_C", V: n.carried(), Unit: design.A}, {Name: "h_FE", V: n.gain.HFE, Unit: design.One},
		{Name: src.words.lo, V: src.lo, Unit: design.V}, {Name: "V_BE_max", V: n.vbeMax.V, Unit: design.V},
		{Name: "R_out", V: src.rMax, Unit: design.Ohm}, {Name: "R_base", V: n.rb.hi(), Unit: design.Ohm},
		across("R_BE", n.bleedLo())}
}

func (n *npnStage) saturation() {
	c := n.driveCheck(design.Saturation)
	switch {
	case n.satMet:
		c.Stress = n.satNeed
		c.Formula = "{I_C} over the forced gain of a stated saturation point = {stress}; the base gets {rating}"
	case n.vOnBound:
		c.Stress = n.gain.Base
		c.Because = "by current gain alone: the on voltage is only bounded by the VCE at which that gain is stated"
		c.Formula = "{I_C}/{h_FE} = {stress}; the base gets {rating}"
	default:
		c.Stress = n.satNeed
		if n.gain.Base.OK && n.gain.VCE > 0 && (!c.Stress.OK || n.gain.Base.V < c.Stress.V) {
			c.Stress = n.gain.Base
		}
		c.StressEstimate = n.gain.Typical
		if n.l.PeakAssumed {
			c.EasyStress = device.BaseCurrent(n.p, n.l.IMax, n.l.TMin).Base
		}
		if !n.satNeed.OK {
			c.Needs("v_ce_sat.max")
		}
		c.Because = "not driven into saturation by guaranteed figures; surviving a current out of saturation is never a pass"
		c.Formula = "{I_C} needs {stress} in the base; it gets {rating}"
	}
	if !n.l.PeakKnown {
		c.Stress, c.StressEstimate = design.Number{}, design.Number{}
		c.Needs(n.l.InrushField())
	}
	c.SetArgs(n.driveArgs()[:2]...)
	judge(c)
}

func (n *npnStage) baseReverse() {
	c := n.check(design.BaseReverse, design.V)
	c.K, c.Stress, c.Rating = n.pol.V, design.Known(pinUndershoot), known(n.p.VEBOMax)
	if !c.Rating.OK {
		c.Rating, c.Fallback = design.Known(float64(catalog.BracketVEBOMax)), true
		c.Needs("v_ebo_max")
	}
	c.Formula = "a pin that rings {stress} under ground; the base bears {rating}"
	judge(c)
}

func (n *npnStage) onCurrent() {
	c := n.check(design.OnCurrent, design.A)
	c.K, c.Stress, c.Rating = n.pol.I, design.Known(n.l.IMax), known(n.p.ICMax)
	if !c.Rating.OK {
		c.Needs("i_c_max")
	}
	c.Formula = "load current {stress} at the highest rail and least resistance; {rating} is stated"
	c.SetCorner(design.CornerValue{Name: "rail", V: n.l.VMax}, design.CornerValue{Name: "ambient", V: n.l.TMin}, design.CornerValue{Name: "load.r", V: n.l.RMin})
	judge(c)
	n.value(design.IOn, n.l.IMax, design.A)
}

func (n *npnStage) junction() {
	t, est, missing := n.t, n.est, "v_ce_sat.max"
	if n.vOn.OK {
		missing = "v_be_sat.max"
		switch {
		case n.pBase.OK && !n.pSw.OK:
			est, t.worst, missing = n.t, design.Number{}, "switching_max"
		case !n.vOnBound:
			est = temperatures{}
		}
	}
	n.junctionCheck(&n.p.Common, &n.p.Heat, t, est, missing)
	if n.vOnBound && est.worst.OK {
		// The bound is not a figure: where it alone fails and a typical saturation
		// voltage passes, the check is unproven.
		for i := range n.d.Checks {
			if c := &n.d.Checks[i]; c.ID == design.JunctionTemperature && c.Verdict > design.Tight {
				c.StressEstimate, c.NoSolution = est.worst, false
				c.Needs("v_ce_sat.max")
				judge(c)
			}
		}
	} else if !t.worst.OK && est.worst.OK {
		for i := range n.d.Checks {
			if c := &n.d.Checks[i]; c.ID == design.JunctionTemperature && !t.runaway {
				c.StressEstimate = est.worst
				judge(c)
			}
		}
	}
}

func (n *npnStage) crossings() {
	l := n.l
	var buf [edgeRoom]crossing
	ev := buf[:0]
	if n.charges() && l.VMax <= secondBreakdown {
		// Its resistor takes the rest: most is lost at half of both.
		n.safeArea(n.area(), append(ev, crossing{l.VMax / 2, l.PeakCurrent() / 2, pulseLength(l.Pulse), "charging the gate through its resistor"}))
		return
	}
	fall, released := n.longestFall()
	n.letGo = released
	ev = n.windingEdges(ev, n.tOn, fall)
	if l.HasInrush {
		ev = append(ev, crossing{l.VMax, l.PeakCurrent(), n.tOn, "turning on into the inrush"})
		if n.vOn.OK {
			ev = append(ev, crossing{n.vOn.V, l.PeakCurrent(), pulseLength(l.Pulse), carrying})
		}
	}
	ev = n.alongLine(ev, n.tOn, fall)
	n.safeArea(n.area(), ev)
}

// area is the safe area at the stage's junction. Where its heat rests on the
// voltage at which the gain is stated, what a typical saturation voltage gives
// stands beside it.
func (n *npnStage) area() area {
	a := n.areaOf(n.p.SOA, &n.p.Heat, n.t, true)
	a.estimated(&n.est, &n.p.Heat)
	if n.vOnBound && a.known {
		a.soft, a.tEst = true, n.l.TMax
		if t, ok := n.est.hottest(&n.p.Heat); ok {
			a.tEst = t
		}
	}
	return a
}

// easyDrop is the estimate beside the on voltage: none beside a stated one.
func (n *npnStage) easyDrop() design.Number {
	if n.satMet {
		return design.Number{}
	}
	return n.vOnEst
}

// drop judges what is left for the load when lost volts are lost in the stage, by an
// estimate as few as easy.
func (n *npnStage) drop(lost, easy design.Number) {
	n.loadVoltage(lost, easy)
	n.valueOf(design.VOn, n.vOn, design.V)
	if n.vOn.OK && n.pBase.OK {
		on := n.vOn.V*n.l.IHot + n.pBase.V
		n.value(design.POn, on, design.W)
		n.valueOf(design.EnergyInrush, n.inrushEnergy(0, n.vOn.V), design.J)
		if n.pSw.OK {
			n.value(design.PSwitching, n.pSw.V, design.W)
			n.value(design.PTotal, on+n.pSw.V+n.inrushEdges(n.tOn, n.tFall, n.pSw, known(n.p.VCEOMax))+n.inrushAverage(0, n.vOn.V), design.W)
		}
	}
}

func (n *npnStage) resistors() {
	n.baseResistors()
	n.seriesLED(nodeRail)
}

// baseResistors judges the resistor of the base and its bleed.
func (n *npnStage) baseResistors() {
	i := n.pinMax(n.rb)
	n.load("base resistor", "I^2 R", n.rb, i*i*n.rb.hi(), i*n.rb.hi())
	if !n.rbe.absent {
		// The base is never above what its source drives into the bleed alone.
		bleed := n.rbe.hi()
		src := n.feed()
		v := src.hi * bleed / (bleed + n.rb.lo() + src.rMin)
		if n.vbeMax.OK {
			v = min(v, n.vbeMax.V)
		}
		n.load("base-emitter resistor", "V^2/R", n.rbe, v*v/n.rbe.lo(), v)
	}
}

func (n *npnStage) values() {
	n.value(design.RBase, n.rb.nom, design.Ohm)
	if !n.rbe.absent {
		n.value(design.RBaseEmitter, n.rbe.nom, design.Ohm)
	}
	on, off := n.late.whole(n.tOn, n.tOff)
	n.valueOf(design.TOn, on, design.S)
	n.valueOf(design.TOff, off, design.S)
	n.edgeEnergies()
}

func (n *npnStage) draw() {
	n.resistorElement("R1", design.RBase, design.RoleDriveResistor, n.rb, nodePin, nodeControl)
	n.resistorElement("R2", design.RBaseEmitter, design.RolePullDown, n.rbe, nodeControl, nodeGround)
	n.element("Q1", design.RoleSwitch, "bjt", n.p.ID, nodeControl, nodeSwitch, nodeGround)
	n.loadElements()
	n.clampElements(n.clamp, nodeSwitch, nodeRail, nodeGround)
}
