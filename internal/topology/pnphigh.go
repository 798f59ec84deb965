package topology

import (
	"math"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/device"
	"example.org/pinhoist/internal/load"
)

// pnpHigh is a PNP transistor between rail and load. A level shifter pulls its
// base down through the base resistor; on the pin's own supply the pin does it
// itself, and low is then on. A resistor from base to emitter holds it off.
type pnpHigh struct{}

func (pnpHigh) ID() string   { return "pnp-high" }
func (pnpHigh) Side() string { return "high" }

func (pnpHigh) Owes(l *load.Model) []design.CheckID { return npnLow{}.Owes(l) }

// Takes lists the elements of a stage as built that are worked out.
func (pnpHigh) Takes(l *load.Model) []string {
	return takes(l, "r_base", "r_base_emitter", "shifter", "heat_sink", "insulator", "limiter")
}

func (pnpHigh) Serves(env *Env, l *load.Model, sw catalog.Part) string {
	p, ok := sw.(*catalog.BJT)
	if !ok || p.Polarity != "pnp" {
		return WrongPart
	}
	return serveShifted(env, l)
}

// pnpStage is one PNP stage while it is worked out: the NPN one upside down. Its
// base lives on the load's own rail, so that what holds at its highest and at its
// lowest is worked out apart.
type pnpStage struct {
	npnStage
	ends   []railEnd  // the rail at its highest, at its lowest, at steps between
	room   [4]railEnd // of ends
	direct bool       // the pin itself drives the base
	allow  float64    // the drop that the level shifter is asked to keep under, V
	sh     *shifter   // nil: none
}

// railEnd is the load's rail at one end of its spread, or at a step within.
type railEnd struct {
	l      *load.Model
	gain   device.Gain
	vbeMax design.Number
	sat    design.Number // base current of the easiest saturation point
	on     baseState
}

// baseState is what the base gets at one end, and the on voltage that this makes.
type baseState struct {
	ibMin, vOn, vOnEst, satNeed design.Number
	satMet, vOnBound            bool
}

func (n *npnStage) baseState() baseState {
	return baseState{n.ibMin, n.vOn, n.vOnEst, n.satNeed, n.satMet, n.vOnBound}
}

func (n *npnStage) setBaseState(b *baseState) {
	n.ibMin, n.vOn, n.vOnEst, n.satNeed, n.satMet, n.vOnBound = b.ibMin, b.vOn, b.vOnEst, b.satNeed, b.satMet, b.vOnBound
}

func (t pnpHigh) Design(env *Env, l *load.Model, sw catalog.Part, given *Given, d *design.Design) {
	env.limited(l, given, d, func(l *load.Model, d *design.Design) (warms float64, sure bool) {
		direct, only := firstDrive(env, l, given)
		n := pnpStage{npnStage: npnStage{stage: begin(env, l, given, d, t.ID(), sw.Base()), p: sw.(*catalog.BJT)}, direct: direct}
		n.parts()
		worst, _, _ := n.leastLeft()
		n.valueOf(design.VOn, n.ends[worst].on.vOn, design.V)
		return 0, only
	}, func(l *load.Model, d *design.Design) { t.unlimited(env, l, sw, given, d) })
}

// unlimited is Design for a load as it is, with the limiter that stands in its way.
func (t pnpHigh) unlimited(env *Env, l *load.Model, sw catalog.Part, given *Given, d *design.Design) {
	bestDrive(env, l, given, d, func(direct bool, d *design.Design) { t.design(env, l, sw, given, direct, d) })
}

func (t pnpHigh) design(env *Env, l *load.Model, sw catalog.Part, given *Given, direct bool, d *design.Design) {
	n := pnpStage{npnStage: npnStage{stage: begin(env, l, given, d, t.ID(), sw.Base()), p: sw.(*catalog.BJT)}, direct: direct}
	n.parts()
	n.checks()
	n.draw()
	n.finish(t.Owes(l))
}

// parts chooses all parts and works the stage out at both ends of the rail.
func (n *pnpStage) parts() {
	n.buy("Q1", n.p)
	n.clamp = n.suppress(known(n.p.VCEOMax), n.pol.V, nil)
	n.ends = append(n.room[:0], railEnd{l: n.l}, railEnd{l: n.env.atLowest(n.l)})
	n.addSteps()
	for i := range n.ends {
		e := &n.ends[i]
		n.l = e.l
		n.aim()
		e.gain, e.vbeMax, e.sat = n.gain, n.vbeMax, n.easiestSaturation()
	}
	n.choose()
	if n.otherClamp() {
		n.choose()
	}
	n.bothEnds()
	n.low = n.ends[1].l
}

var (
	shiftWords = baseWords{
		lo: "V_drive_min", hi: "V_rail_max", corner: "rail",
		drive: "{I_C}/{h_FE} = {stress}; base gets ({V_drive_min} - {V_BE_max})/({R_out} + {R_base}) - {V_BE_max}/{R_BE} = {rating}, V_drive being the rail less what the level shifter drops",
		most:  "({V_rail_max} - {V_BE_min})/({R_out} + {R_base}) = {stress}; the base bears {rating}",
	}
	sinkWords = baseWords{
		lo: "V_rail_min", hi: "V_rail_max", corner: "rail",
		drive: "{I_C}/{h_FE} = {stress}; base gets ({V_rail_min} - {V_BE_max})/({R_out} + {R_base}) - {V_BE_max}/{R_BE} = {rating}",
		most:  shiftWords.most,
	}
)

// addSteps adds the rails at which the load's current has just passed one that a figure of
// saturation is stated at: the next figure asks for more, and the base gets less there
// than at the highest.
func (n *pnpStage) addSteps() {
	whole := n.l
	hi := n.carried()
	n.l = n.ends[1].l
	lo := n.carried()
	n.l = whole
	step := func(ic float64) {
		if !(ic >= lo) || !(ic < hi) || whole.IMax <= 0 {
			return
		}
		v := railAt(whole, min(1, ic/hi*(1+1e-9))*whole.IMax)
		for i := range n.ends {
			if math.Abs(n.ends[i].l.VMax-v) <= 1e-9*v {
				return
			}
		}
		n.ends = append(n.ends, railEnd{l: atRail(whole, v)})
	}
	for k := range n.p.VCESat {
		step(float64(n.p.VCESat[k].IC.Or(0)))
	}
	for k := range n.p.VBESat {
		step(float64(n.p.VBESat[k].IC.Or(0)))
	}
}

// use sets the stage to one end of the rail.
func (n *pnpStage) use(i int) {
	e := &n.ends[i]
	n.l, n.gain, n.vbeMax = e.l, e.gain, e.vbeMax
	v := e.l.VMax
	if n.direct {
		pin := &n.env.Pin
		n.src = baseSource{lo: v, hi: v, rMin: float64(pin.ROutMin), rMax: float64(pin.ROutMax), most: float64(pin.SinkMax), open: pin.OpenDrain, words: &sinkWords}
		return
	}
	n.src = baseSource{lo: v - n.dropAt(i), hi: v, most: math.Inf(1), open: true, words: &shiftWords}
	if n.rb.lo() < link { // none, as built
		n.src.rMin, n.src.rMax = link, link
	}
}

// dropAt is what the level shifter drops at an end of the rail, V.
func (n *pnpStage) dropAt(i int) float64 {
	switch {
	case n.sh == nil:
		return n.allow
	case i == 0:
		return n.sh.dropTop.V
	case i > 1:
		return max(n.sh.drop.V, n.sh.dropTop.V)
	}
	return n.sh.drop.V
}

// enter is use with what was worked out for that end.
func (n *pnpStage) enter(i int) {
	n.use(i)
	n.setBaseState(&n.ends[i].on)
}

// driven works out what the base gets at one end. Where nobody knows what the
// level shifter drops, that is not known.
func (n *pnpStage) driven(i int) {
	n.use(i)
	if !n.direct && (n.sh == nil || !n.sh.drop.OK) {
		n.vbeMax = design.Number{}
	}
	n.npnStage.drive()
	n.ends[i].on = n.baseState()
}

// choose sets bleed, base resistor and level shifter. The base resistor is the
// largest that does: what the base takes beyond its need comes from the load's
// rail and is lost in it.
func (n *pnpStage) choose() {
	n.rb, n.rbe = n.givenOr(n.given.RBase, 0), n.givenOr(n.given.RBaseEmitter, math.Inf(1))
	n.sh, n.allow = nil, dropUnder(shiftShare*n.ends[1].l.VMax)
	hot := n.ends[0].l.TMax
	for round := range 5 {
		n.use(0)
		n.vbeHot = device.VBEOnMin(n.p, hot)
		sh, base, bleed := n.sh, n.rb, n.rbe
		n.sh = nil // values are chosen for what is asked of it
		if !n.given.RBaseEmitter.Said {
			n.bleedUnder(n.bleedMost(hot, sh))
		}
		if !n.given.RBase.Said {
			n.baseResistor()
		}
		if !n.direct {
			n.sh = n.shift(n.demand(hot))
		}
		if round > 0 && n.sh == sh && n.rb == base && n.rbe == bleed {
			return // the stage is the same, and so is its junction
		}
		n.use(0)
		n.driven(0)
		n.rest()
		now, _ := n.t.hottest(&n.p.Heat)
		if now == hot {
			return
		}
		hot = now
	}
}

const (
	// shiftShare of the lowest rail is what a level shifter may drop (common
	// practice, no source).
	shiftShare = 0.05
	// shifterLeak is what a bleed leaves for a level shifter that is not chosen yet, A.
	shifterLeak = 20e-6
	// A base that nothing but its bleed empties wants a part of its drive there:
	// so much on-off, so much under pwm (common practice, no source).
	bleedShare, bleedSharePWM = 0.1, 0.25
)

// bleedMost is the greatest bleed, ohm at the upper end of its tolerance, that
// keeps the base off and empties it in time.
func (n *pnpStage) bleedMost(hot float64, sh *shifter) float64 {
	leak := firstOf(n.baseLeak(hot))
	switch {
	case n.direct:
		leak += float64(n.env.Pin.LeakageMax)
	case sh != nil && sh.leak.OK:
		leak += max(sh.leak.V, shifterLeak/2) + sh.boot
	default:
		leak += shifterLeak
	}
	most := bleedCap
	if leak > 0 {
		most = min(most, (n.vbeHot-n.offMargin(hot))/leak)
	}
	if need := n.pol.Overdrive * n.gain.Base.V; n.src.open && need > 0 {
		share := bleedShare
		if n.l.Mode == "pwm" {
			share = bleedSharePWM
		}
		most = min(most, n.vbeHot/(share*need))
	}
	return most
}

// baseResistor meets base drive and a stated saturation point at both ends of
// the rail if any value does, else base drive alone, else gives the most that
// base and source bear.
func (n *pnpStage) baseResistor() {
	both, drive := math.Inf(1), math.Inf(1)
	for i := len(n.ends) - 1; i >= 0; i-- {
		n.use(i)
		e := &n.ends[i]
		need := n.pol.Overdrive * e.gain.Base.V
		if _, hi := n.window(need); e.gain.Base.OK {
			drive = min(drive, hi)
		} else {
			drive = math.Inf(-1)
		}
		if _, hi := n.window(max(need, e.sat.V)); e.sat.OK {
			both = min(both, hi)
		} else {
			both = math.Inf(-1)
		}
	}
	lo, _ := n.window(0)
	if n.pickLargest(lo, min(both, drive)) || n.pickLargest(lo, drive) {
		return
	}
	for _, s := range n.env.Resistors {
		if v, ok := nextUp(s, max(lo, 1)/(1-float64(s.Tolerance.Or(0.05)))); ok {
			n.rb = fromSeries(s, v)
			return
		}
	}
	n.rb = resistor{nom: max(lo, 1), tol: 0.05}
}

// pickLargest takes the largest value of a window, from a fine ladder where no
// body bears those of the coarse ones.
func (n *pnpStage) pickLargest(lo, hi float64) bool {
	if !n.pickFrom(lo, hi, largest) {
		return false
	}
	if coarse := n.rb; !n.basePowerFits(coarse) {
		if n.pickFrom(lo, hi, finest); !n.basePowerFits(n.rb) {
			n.rb = coarse
		}
	}
	return true
}

// demand is what the stage asks of its level shifter.
func (n *pnpStage) demand(hot float64) shiftDemand {
	drop := n.allow
	if n.given.RBase.Said { // what the stated resistor leaves at the lowest rail
		n.use(1)
		need := n.pol.Overdrive*n.gain.Base.V + n.vbeMax.V/n.bleedLo()
		drop = dropUnder(n.l.VMax - n.vbeMax.V - need*(n.rb.hi()+n.rin()))
		n.use(0)
	}
	return shiftDemand{ohms: max(n.rb.nom, link), tol: n.rb.tol, drop: drop,
		leak: leakUnder(n.vbeHot/n.bleedHi() - firstOf(n.baseLeak(hot)))}
}

// bothEnds works the stage out at both ends of the rail and at its steps. Where the on
// voltage is worse at one that is not the highest, its heat counts too, and all get the
// larger heat sink.
func (n *pnpStage) bothEnds() {
	high, worst := &n.ends[0].on, 0
	edges := n.l.Mode == "pwm" || n.l.OpsPerSecond >= ratedSwitching // slow ones warm at the lowest
	var room [4]int
	warm := room[:0]
	for i := 1; i < len(n.ends); i++ {
		n.driven(i)
		on := &n.ends[i].on
		if worseOn(on, high) || i == 1 && edges {
			warm = append(warm, i)
		}
		if worseOn(on, &n.ends[worst].on) {
			worst = i
		}
	}
	n.enter(0)
	if t, est, sink := n.warmAt(warm); sink == nil {
		n.t, n.est = t, est
	} else {
		own, with := n.given, *n.given
		with.HeatSink = GivenPart{Said: true, ID: sink.ID}
		n.given = &with
		n.enter(0)
		n.rest()
		n.t, n.est, _ = n.warmAt(warm)
		n.given = own
	}
	n.enter(0)
	if worst > 0 { // what the heat rests on
		n.setBaseState(&n.ends[worst].on)
	}
	for i := range n.ends { // what turns it on slowest
		if least := n.ends[i].on.ibMin; i == 0 || !least.OK || n.ibMin.OK && least.V < n.ibMin.V {
			n.ibMin = least
		}
	}
	hot, _ := n.t.hottest(&n.p.Heat)
	n.at(hot)
	n.late = n.sh.delays()
}

// worseOn reports whether a has a greater on voltage than b, or none that is known.
func worseOn(a, b *baseState) bool { return b.vOn.OK && (!a.vOn.OK || a.vOn.V > b.vOn.V) }

// warmAt is the hottest junction of the highest rail, which the stage stands at, and of
// the ends listed. sink is the largest that one of them wants where not all want it.
func (n *pnpStage) warmAt(ends []int) (t, est temperatures, sink *catalog.HeatSink) {
	t, est = n.t, n.est
	first := *restsOn(&t, &est)
	largest := first
	for _, i := range ends {
		n.enter(i)
		n.rest()
		now := restsOn(&n.t, &n.est)
		if s := largerSink(&largest, now); s != nil {
			if sink = s; s == now.sink {
				largest = *now
			}
		}
		t, est = hotter(t, n.t), hotter(est, n.est)
	}
	return t, est, sink
}

func (n *pnpStage) checks() {
	if n.direct {
		n.sinkChecks()
		n.baseReverse()
	} else {
		n.shifterPin()
		n.na(design.BaseReverse, "off, nothing drives the base beyond its emitter")
	}
	n.staysOff()
	kept := n.baseState()
	at := len(n.d.Checks)
	for i := range n.ends {
		n.enter(i)
		n.baseDrive()
	}
	n.keepWorseFrom(at)
	at = len(n.d.Checks)
	for i := range n.ends {
		n.enter(i)
		n.saturation()
	}
	n.keepWorseFrom(at)
	n.enter(1) // what is told of the drive is that of the lowest rail
	n.driveValues()
	n.use(0)
	n.setBaseState(&kept)
	n.partChecks()
	n.groundReferred()
	n.onVoltageLeft(&kept)
	n.controlDraw(n.direct, n.sh, n.pinMax(n.rb))
	n.railCurrent()
	n.noIsolation()
	n.fuses()
	n.baseResistors()
	n.seriesLED(nodeSwitch)
	n.values()
	n.shifterChecks(n.direct, n.sh)
}

// onVoltageLeft judges what is left for the load where that is least.
func (n *pnpStage) onVoltageLeft(kept *baseState) {
	worst, most, easy := n.leastLeft()
	n.setBaseState(&n.ends[worst].on)
	n.drop(most, easy)
	n.setBaseState(kept)
}

// leastLeft is the end at which least is left for the load, and what is lost there, which
// may be easy by an estimate: the lowest rail, or a step of the on voltage, which is told
// against the lowest.
func (n *pnpStage) leastLeft() (worst int, most, easy design.Number) {
	worst, most = 1, design.Known(math.Inf(-1))
	met := true
	for i := 1; i < len(n.ends); i++ {
		e := &n.ends[i]
		beside := (e.l.VMax - n.l.VMin) - (e.l.IMax-n.l.ILow)*n.l.RWire
		lost, least := e.on.vOn, e.on.vOn
		if !e.on.satMet {
			met, least = false, e.on.vOnEst
		}
		lost.V -= beside
		if most.OK && (!lost.OK || lost.V > most.V) {
			worst, most = i, lost
		}
		if least.V -= beside; least.OK && (!easy.OK || least.V > easy.V) {
			easy = least
		}
	}
	if met {
		easy = design.Number{}
	}
	return worst, most, easy
}

func (n *pnpStage) staysOff() {
	c, leak, hot := n.offCheck()
	bleed := n.bleedHi()
	if n.direct {
		n.offStress(c, leak, func(bleed float64) (float64, string) { return n.liftByPin(leak.V, bleed) })
		n.neverDirect(c)
		c.Formula = "leakage of pin and transistor x {R_BE}: {stress}; base at {T_j} conducts from {rating}"
	} else {
		lift := leak.V
		if n.sh != nil && n.sh.leak.OK {
			lift += n.sh.leak.V
		}
		n.offStress(c, leak, func(bleed float64) (float64, string) { return raised(lift, bleed, n.l.VMax), "" })
		if up := n.sh.lift(bleed, n.l.VMax); up > 0 && c.Stress.OK && c.Stress.V < n.l.VMax {
			// How fast the rail rises is assumed; the slowest rise lifts nothing.
			c.EasyStress, c.Stress.V = c.Stress, min(c.Stress.V+up, n.l.VMax)
		}
		n.sh.liftUnknown(c, raised(lift, bleed, n.l.VMax))
		if n.sh != nil && !n.sh.leak.OK {
			c.Stress, c.EasyStress, c.StressEstimate = design.Number{}, design.Number{}, design.Known(raised(lift, bleed, n.l.VMax))
			c.Needs("leakage of the level shifter")
		}
		c.Because = "the level shifter is off: its own stays-off judges the pin"
		if c.EasyStress.OK {
			c.Because = "the rail rises, in 1 ms as assumed, while the level shifter is off"
		}
		c.Formula = "leakage of level shifter and transistor, and what the level shifter's output takes while the rail rises, x {R_BE}: {stress}; base at {T_j} conducts from {rating}"
	}
	c.SetArgs(across("R_BE", bleed), design.Arg{Name: "T_j", V: hot, Unit: design.DegC})
	c.SetCorner(design.CornerValue{Name: "rail", V: n.l.VMax}, design.CornerValue{Name: "ambient", V: n.l.TMax})
	judge(c)
	n.value(design.VControlReset, firstOf(c.Stress, c.StressEstimate), design.V)
}

// liftByPin is how far below its rail the pin leaves the base when the stage is
// to be off, V at the most.
func (n *pnpStage) liftByPin(leak, bleed float64) (worst float64, why string) {
	pin := &n.env.Pin
	for _, st := range n.highOffStates() {
		v := 0.0
		switch {
		case st.low: // driven low is on
			v = n.l.VMax
			if !math.IsInf(bleed, 1) {
				v = n.l.VMax * bleed / (bleed + n.rb.lo() + float64(pin.ROutMin))
			}
		case math.IsInf(st.pull, 1):
			v = raised(leak+st.leak, bleed, n.l.VMax)
		default:
			v = leak * parallel(bleed, n.rb.hi()+st.pull)
		}
		if v >= worst {
			worst, why = v, st.name
		}
	}
	return worst, why
}

func (n *pnpStage) draw() {
	from := nodeShift
	if n.direct {
		from = nodePin
		n.pinElement()
	}
	n.resistorElement("R3", design.RBase, design.RoleDriveResistor, n.rb, from, nodeControl)
	n.resistorElement("R4", design.RBaseEmitter, design.RolePullDown, n.rbe, nodeControl, nodeRail)
	n.element("Q1", design.RoleSwitch, "bjt", n.p.ID, nodeControl, nodeSwitch, nodeRail)
	n.highElements()
	n.highClamp(n.clamp)
}
