package topology

import (
	"math"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/clamp"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/device"
	"example.org/pinhoist/internal/load"
)

// pMOSFETHigh is a P-channel MOSFET between rail and load. A pull-up from gate
// to source holds it off; a level shifter pulls the gate down through the gate
// resistor, and the two divide the rail where the gate bears less; where no
// divider does at both ends of the rail, a Zener stands across the pull-up. On
// the pin's own supply the pin drives the gate itself, and low is then on.
type pMOSFETHigh struct{}

func (pMOSFETHigh) ID() string   { return "p-mosfet-high" }
func (pMOSFETHigh) Side() string { return "high" }

func (pMOSFETHigh) Owes(l *load.Model) []design.CheckID { return nMOSFETLow{}.Owes(l) }

// Takes lists the elements of a stage as built that are worked out.
func (pMOSFETHigh) Takes(l *load.Model) []string {
	return takes(l, "r_gate", "r_pullup", "gate_clamp", "shifter", "heat_sink", "insulator", "limiter")
}

func (pMOSFETHigh) Serves(env *Env, l *load.Model, sw catalog.Part) string {
	m, ok := sw.(*catalog.MOSFET)
	if !ok || m.Channel != "p" {
		return WrongPart
	}
	return serveShifted(env, l)
}

// pmosStage is one P-channel stage while it is worked out: the N-channel one
// upside down, its pull-down a pull-up. Its gate lives on the load's own rail, so
// that what holds at its highest and at its lowest is worked out apart.
type pmosStage struct {
	mosfetStage
	ends    [2]gateEnd // the rail at its highest, at its lowest
	between gateEnd    // at a step that is worse than both
	direct  bool       // the pin itself drives the gate
	allow   float64    // the drop that the level shifter is asked to keep under, V
	sh      *shifter   // nil: none
	zener   *catalog.Zener
	zenerX  string // an id that is stated as gate clamp and is no Zener
	limit   clamp.GateClamp
}

// gateEnd is the load's rail at one end of its spread.
type gateEnd struct {
	l           *load.Model
	vDrive      float64
	ron, ronEst design.Number
	point       *catalog.RDSPoint
}

func (t pMOSFETHigh) Design(env *Env, l *load.Model, sw catalog.Part, given *Given, d *design.Design) {
	env.limited(l, given, d, func(l *load.Model, d *design.Design) (warms float64, sure bool) {
		direct, only := firstDrive(env, l, given)
		m := pmosStage{mosfetStage: mosfetStage{stage: begin(env, l, given, d, t.ID(), sw.Base()), p: sw.(*catalog.MOSFET)}, direct: direct}
		m.parts()
		m.drops()
		return m.ownHeat(), only
	}, func(l *load.Model, d *design.Design) { t.unlimited(env, l, sw, given, d) })
}

// unlimited is Design for a load as it is, with the limiter that stands in its way.
func (t pMOSFETHigh) unlimited(env *Env, l *load.Model, sw catalog.Part, given *Given, d *design.Design) {
	bestDrive(env, l, given, d, func(direct bool, d *design.Design) { t.design(env, l, sw, given, direct, d) })
}

func (t pMOSFETHigh) design(env *Env, l *load.Model, sw catalog.Part, given *Given, direct bool, d *design.Design) {
	m := pmosStage{mosfetStage: mosfetStage{stage: begin(env, l, given, d, t.ID(), sw.Base()), p: sw.(*catalog.MOSFET)}, direct: direct}
	m.parts()
	m.checks()
	m.draw()
	m.finish(t.Owes(l))
}

// parts chooses all parts and works the stage out at both ends of the rail.
func (m *pmosStage) parts() {
	m.buy("Q1", m.p)
	m.alpha, m.hotBracket = device.HotSlope(m.p)
	m.ends[0].l, m.ends[1].l = m.l, m.env.atLowest(m.l)
	m.clamp = m.suppress(known(m.p.VDSMax), m.pol.FETVoltage(), nil)
	m.choose()
	if m.otherClamp() {
		m.choose()
	}
	m.bothEnds()
	m.low = m.ends[1].l
}

// ---- the network at the gate ----

const (
	// shiftAmps is what a level shifter is asked to carry where nothing speaks for
	// more, shiftAmpsMost at most for a better drive, shiftAmpsPWM for quick edges, A
	// (common practice, no source).
	shiftAmps, shiftAmpsMost, shiftAmpsPWM = 10e-3, 25e-3, 50e-3
	// slowestEdge is the longest turn-off that a pull-up is chosen for, s, where
	// nothing else limits it (common practice, no source).
	slowestEdge = 300e-6
)

// choose sets pull-up, gate resistor, gate clamp and level shifter.
func (m *pmosStage) choose() {
	m.rpd, m.rg = m.givenOr(m.given.RPullup, math.Inf(1)), m.givenOr(m.given.RGate, 0)
	if !m.given.RPullup.Said {
		m.rpd = resistor{nom: 10e3, tol: 0.05}
	}
	m.sh, m.zener, m.zenerX = nil, nil, ""
	hot := m.ends[0].l.TMax
	for round := range 4 {
		up, gate, sh, zener := m.rpd, m.rg, m.sh, m.zener
		m.network(hot)
		if !m.direct {
			m.sh = m.levelShifter(hot)
		}
		if round > 0 && m.rpd == up && m.rg == gate && m.sh == sh && m.zener == zener {
			return // the stage is the same, and so is its junction
		}
		m.enter(0)
		m.solve()
		now, _ := m.t.hottest(&m.p.Heat)
		if now == hot {
			return
		}
		hot = now
	}
}

// network chooses what stands at the gate for a junction of hot degrees Celsius.
func (m *pmosStage) network(hot float64) {
	vth, _, _ := device.Threshold(m.p, hot)
	if m.direct {
		if !m.given.RPullup.Said {
			most := bleedCap
			if vth.OK {
				most = min(most, m.heldBy(vth, m.gateLeak()+float64(m.env.Pin.LeakageMax), m.gateSeries()))
			}
			if m.env.Pin.OpenDrain {
				most = min(most, m.quickPullUp(vth, hot))
			}
			m.pullUnder(max(0, most))
		}
		if !m.given.RGate.Said {
			m.gateResistor()
		}
		return
	}
	high, low := m.ends[0].l.VMax, m.ends[1].l.VMax
	limit := m.pol.VGate * float64(m.p.VGSMax.Or(0))
	most := limit / high
	up := m.pullUpMost(vth, hot)
	need := m.wanted(limit, up)
	m.allow = dropUnder(min(shiftShare*low, (low-need)/4))
	// The gate gets this share of the rail at least, and at most.
	least := need / max(low-m.allow, 1e-3)
	if !m.given.RPullup.Said {
		m.pullUp(up, vth, least, most)
	}
	m.pickZener(least, most, need)
	if !m.given.RGate.Said {
		m.pickGate(least, most)
	}
}

// wanted is the gate voltage that the network is made for: the highest at which
// an on-resistance is stated that the rail gives, within what the gate bears and
// without much current in the level shifter; else the lowest that serves. Where
// none serves, the lowest that is stated, or nearly all there is.
func (m *pmosStage) wanted(limit, up float64) float64 {
	low, i := m.ends[1].l.VMax, m.ends[1].l.PeakCurrent()
	top := min(limit, low)
	best := lowestAbove(m.p, 0, i)
	none := best > limit || best >= low
	if none {
		best = (1 - shiftShare) * top
	}
	for k := range m.p.RDSOn {
		pt := &m.p.RDSOn[k]
		g := float64(pt.VGS.Or(0))
		if !pt.Max.Known() || g > limit || g >= low {
			continue
		}
		if none {
			best = min(best, g)
			continue
		}
		if g <= best || !device.Carries(m.p, pt, g, i) {
			continue
		}
		share := (low-dropUnder(min(shiftShare*low, (low-g)/4)))/g - 1
		if share*up >= m.ends[0].l.VMax/shiftAmpsMost {
			best = g
		}
	}
	return best
}

// quickPullUp is the greatest pull-up that still turns the part off in time, ohm:
// in time for its pwm, and where the case cannot carry away what an edge makes,
// before that is much.
func (m *pmosStage) quickPullUp(vth design.Number, hot float64) float64 {
	q := m.charge()
	if !q.OK || !vth.OK || vth.V <= 0 || q.V <= 0 {
		return bleedCap
	}
	l := m.ends[0].l
	t, watts := slowestEdge, l.VMax*l.PeakCurrent()
	if bear := m.bears(hot); watts > bear {
		t = max(shortCrossing, min(slowestEdge, smallCrossing/watts))
	}
	if l.Mode == "pwm" && l.Frequency > 0 {
		t = min(t, 0.1/l.Frequency/3) // a third of what both edges may take
		if g := m.p.QGMax; g != nil {
			q.V = max(q.V, float64(g.Q.Or(0)))
		}
	}
	return t * vth.V / q.V
}

// bears is what the case can carry away beside the steady loss, W.
func (m *pmosStage) bears(hot float64) float64 {
	r, ok := m.p.RthJC.Get()
	if !ok || r <= 0 {
		return 0
	}
	return max(0, float64(m.p.TjMax.Or(0))-m.pol.TjBelow-hot) / float64(r)
}

// charge is what an edge moves, C.
func (m *pmosStage) charge() design.Number {
	gd, gs := known(m.p.QGDMax), known(m.p.QGSMax)
	if !gs.OK && m.p.QGMax != nil {
		gs = known(m.p.QGMax.Q)
	}
	return addCost(gd, gs)
}

// leakMost is the greatest pull-up that leakage cannot lift the gate across, ohm.
func (m *pmosStage) leakMost(vth design.Number) float64 {
	if !vth.OK {
		return bleedCap
	}
	leak := m.gateLeak() + shifterLeak
	if m.sh != nil && m.sh.leak.OK {
		leak = m.gateLeak() + max(m.sh.leak.V, shifterLeak/2) + m.sh.boot
	}
	hot, _ := m.t.hottest(&m.p.Heat)
	vth.V -= m.offMargin(vth.V, hot)
	return min(bleedCap, m.heldBy(vth, leak, m.gateSeries()-m.rg.hi()))
}

// heldBy is the greatest resistance that holds the gate under its threshold while
// it carries a leakage, and while the rail rises what the gate's own charge makes
// flow, A; that flows through so many ohms before it.
func (m *pmosStage) heldBy(vth design.Number, leak, series float64) float64 {
	boot := m.bootCurrent()
	return max(0, vth.V-boot*series) / (leak + boot)
}

// pullUpMost is the greatest pull-up that holds the gate and turns the part off
// in time; or the one that is stated, ohm.
func (m *pmosStage) pullUpMost(vth design.Number, hot float64) float64 {
	if m.given.RPullup.Said {
		return min(m.rpdLo(), bleedCap)
	}
	return min(m.leakMost(vth), m.quickPullUp(vth, hot))
}

// pullUp takes the largest pull-up of at most so many ohms, in a body that bears
// its voltage; it is not so small that the gate resistor below it would overload
// a level shifter.
func (m *pmosStage) pullUp(ohms float64, vth design.Number, least, most float64) {
	// The gate resistor is at most this share of the pull-up.
	amps := shiftAmps
	if m.l.Mode == "pwm" {
		amps = shiftAmpsPWM
	}
	if share := 1/least - 1; share > 0 {
		ohms = max(ohms, m.ends[0].l.VMax/amps/share)
	}
	ohms = min(ohms, m.leakMost(vth))
	vgs := min(1, most) * m.ends[0].l.VMax
	for i, s := range m.env.Resistors {
		tol := float64(s.Tolerance.Or(0.05))
		v, ok := coarseDown(s, ohms/(1+tol))
		if !ok {
			continue
		}
		r := fromSeries(s, v)
		if p := resistorPower(s, m.l.TMax); i == 0 || p.OK && design.AtMost(vgs*vgs/r.lo(), m.pol.PResistor*p.V) {
			m.rpd = r
			if p.OK && design.AtMost(vgs*vgs/r.lo(), m.pol.PResistor*p.V) {
				return
			}
		}
	}
	if m.rpd.series == nil {
		m.pullUnder(0)
	}
}

// pickZener chooses the gate clamp: none where a divider serves at both ends of
// the rail, else the cheapest Zener that lets through what is needed and no more.
func (m *pmosStage) pickZener(least, most, need float64) {
	m.zener, m.zenerX, m.limit = nil, "", clamp.GateClamp{}
	l := m.ends[0].l
	amps := shiftAmps
	if m.given.RGate.Said && m.rg.lo() > 0 {
		amps = l.VMax / m.rg.lo()
	}
	if g := m.given.GateClamp; g.Said {
		for _, z := range m.env.Clamps.Zeners {
			if z.ID == g.ID {
				m.zener = z
			}
		}
		if m.zener == nil {
			m.zenerX = g.ID
		}
		return
	}
	tol := 0.02 // of both resistors
	if m.given.RGate.Said || m.given.RPullup.Said {
		tol = 0.1
	}
	if most >= 1 || least*(1+tol) <= most && !(m.given.RGate.Said && m.overDivided()) {
		return
	}
	serves := need
	if !m.given.RGate.Said {
		serves = lowestAbove(m.p, 0, m.ends[1].l.PeakCurrent())
	}
	for _, need := range [...]float64{need, serves} { // the drive that is wanted, else the least that serves
		for _, z := range m.env.Clamps.Zeners {
			g := clamp.AtGate(z, amps, l.TMin, l.TMax, m.pol.P)
			if g.Bears && g.High.V <= most*l.VMax && g.Low.V >= need {
				m.zener = z
				return
			}
		}
	}
}

// overDivided reports whether the resistors that are stated leave the gate more
// than it bears.
func (m *pmosStage) overDivided() bool {
	return !design.AtMost(m.ends[0].l.VMax*m.divided(m.rpdHi(), m.rg.lo()), m.pol.VGate*float64(m.p.VGSMax.Or(0)))
}

// divided is the share of the rail that a pull-up and a gate resistor leave
// between gate and source.
func (m *pmosStage) divided(up, gate float64) float64 {
	if math.IsInf(up, 1) {
		return 1
	}
	return up / (up + gate)
}

// pickGate takes the gate resistor: the smallest that keeps the gate under its
// limit and the level shifter at little current, as long as enough is left.
func (m *pmosStage) pickGate(least, most float64) {
	up := m.rpd
	lo, hi := 0.0, math.Inf(1)
	if most < 1 && m.zener == nil {
		lo = up.hi() * (1/most - 1)
	}
	if least > 0 && !m.rpd.absent {
		hi = up.lo() * (1/least - 1)
	}
	wish := max(lo, m.ends[0].l.VMax/shiftAmps)
	vmax := m.ends[0].l.VMax
	found := false
	for _, s := range m.env.Resistors {
		tol := float64(s.Tolerance.Or(0.05))
		v, ok := smallest(s, wish/(1-tol), hi/(1+tol))
		if !ok {
			v, ok = largest(s, lo/(1-tol), hi/(1+tol))
		}
		if !ok {
			continue
		}
		r := fromSeries(s, v)
		p := resistorPower(s, m.l.TMax)
		if fits := p.OK && design.AtMost(m.gateResistorPower(r, vmax), m.pol.PResistor*p.V); fits || !found {
			m.rg, found = r, true
			if fits {
				return
			}
		}
	}
	if found {
		return
	}
	for _, s := range m.env.Resistors {
		if v, ok := nextUp(s, wish); ok {
			m.rg = fromSeries(s, v)
			return
		}
	}
}

// gateResistorPower is what a gate resistor dissipates at the highest rail while
// the stage is on, W: what the gate does not take falls across it.
func (m *pmosStage) gateResistorPower(r resistor, rail float64) float64 {
	if m.direct || r.lo() <= 0 {
		return 0
	}
	v := m.gateResistorVolts(r, rail)
	return v * v / r.lo()
}

// gateResistorVolts is what falls across a gate resistor meanwhile, V.
func (m *pmosStage) gateResistorVolts(r resistor, rail float64) float64 {
	v := rail * (1 - m.divided(m.rpdLo(), r.hi()))
	if m.limit.High.OK || m.zener != nil {
		low := 0.0
		if m.limit.Low.OK {
			low = m.limit.Low.V
		}
		v = max(v, rail-low)
	}
	return v
}

// levelShifter is the level shifter of the stage. The whole rail across the gate
// resistor for ever is a bound of what it carries; where none fits by that, the
// current that stays and the charge of the gate are told apart.
func (m *pmosStage) levelShifter(hot float64) *shifter {
	w := m.demand(hot)
	r, rail := m.rg, m.ends[0].l.VMax
	var sh *shifter
	if m.given.Shifted != byPulse || r.lo() <= 0 {
		sh = m.shift(w)
	}
	if sh != nil && sh.d.Verdict == design.Fits || m.given.Shifted == bySteady || r.lo() <= 0 {
		return sh
	}
	amps := m.gateResistorVolts(r, rail) / r.lo()
	w.ohms = min(bleedCap, max(w.ohms, rail/max(amps*(1-w.tol), 1e-12)))
	w.peak, w.drawn = rail/r.lo(), r.nom
	if g := m.p.QGMax; g != nil {
		charge := float64(g.Q.Or(0))
		if at := float64(g.VGS.Or(0)); at > 0 { // past the plateau it grows less than the voltage does
			charge *= max(1, rail/at)
		}
		w.length = stepUp(2 * charge * r.hi() / rail)
	}
	if pulsed := m.shift(w); pulsed != nil && (sh == nil || pulsed.d.Verdict < sh.d.Verdict) {
		return pulsed
	}
	return sh
}

// demand is what the stage asks of its level shifter: the current of the gate
// resistor with the whole rail across it, as when the gate is still empty; a link
// leaves it the pull-up.
func (m *pmosStage) demand(hot float64) shiftDemand {
	r := m.rg
	if r.nom <= 0 {
		r = m.rpd
	}
	vth, _, _ := device.Threshold(m.p, hot)
	// What a rising rail makes flow out of the gate is not left for it.
	boot := m.bootCurrent()
	leak := (vth.V-boot*(m.gateSeries()-m.rg.hi()))/m.rpdHi() - boot - m.gateLeak()
	ohms := r.nom
	if math.IsInf(ohms, 1) {
		ohms = bleedCap
	}
	low := m.ends[1].l
	need := lowestAbove(m.p, 0, low.PeakCurrent())
	drop := dropUnder(min(shiftShare*low.VMax, low.VMax-need/m.divided(m.rpdLo(), m.rg.hi())))
	return shiftDemand{ohms: max(ohms, link), tol: r.tol, drop: drop, leak: leakUnder(leak)}
}

// enter sets the stage to one end of the rail, with what the gate gets there.
func (m *pmosStage) enter(i int) {
	e := &m.ends[i]
	m.l = e.l
	v := e.l.VMax
	pin := &m.env.Pin
	if m.direct {
		out := float64(pin.ROutMax)
		m.src = gateSource{lo: v, hi: v, series: out, up: out, down: out, letsGo: letsGoHigh}
		if pin.OpenDrain {
			m.src.down = min(m.rpdHi(), openGate)
		}
		return
	}
	drop := m.allow
	switch {
	case m.sh == nil:
	case i == 0:
		drop = m.sh.dropTop.V
	default:
		drop = m.sh.drop.V
	}
	m.limitGate()
	gate := m.rg.hi()
	if m.rg.nom <= 0 {
		gate = 0
	}
	m.src = gateSource{lo: (v - drop) * m.divided(m.rpdLo(), gate), hi: m.ends[0].l.VMax * m.divided(m.rpdHi(), m.rg.lo()), unsure: m.sh != nil && !m.sh.drop.OK}
	// What charges the gate is both resistors side by side; with a link, as much as
	// the level shifter is sure to carry beside the pull-up.
	charging := parallel(m.rpdHi(), gate)
	if gate == 0 {
		charging = min(m.rpdHi(), openGate)
	}
	m.src.up, m.src.down = charging-m.rg.hi(), min(m.rpdHi(), openGate)-m.rg.hi()
	if m.limit.High.OK && m.limit.Bears {
		m.src.hi = min(m.src.hi, m.limit.High.V)
	}
	if m.limit.Low.OK {
		m.src.lo = min(m.src.lo, m.limit.Low.V)
	}
}

// openGate stands for a pull-up that is not there, ohm: nothing empties the gate.
const openGate = 1e9

// limitGate works the gate clamp out: it takes at most what the gate resistor
// lets through at the highest rail.
func (m *pmosStage) limitGate() {
	m.limit = clamp.GateClamp{}
	if m.zener == nil || m.zener.VZ == nil {
		return
	}
	l := m.ends[0].l
	amps := max(0, l.VMax-float64(m.zener.VZ.Min.Or(0)))
	if r := m.rg.lo(); r > 0 {
		amps /= r
	} else if amps > 0 {
		amps = l.VMax / link
	}
	m.limit = clamp.AtGate(m.zener, amps, l.TMin, l.TMax, m.pol.P)
}

// ---- both ends of the rail ----

func (m *pmosStage) keep(i int) {
	e := &m.ends[i]
	e.vDrive, e.ron, e.ronEst, e.point = m.vDrive, m.ron, m.ronEst, m.point
}

func (m *pmosStage) take(i int) {
	e := &m.ends[i]
	m.vDrive, m.ron, m.ronEst, m.point = e.vDrive, e.ron, e.ronEst, e.point
}

// bothEnds works the stage out at both ends of the rail. Where the lower one has
// the same on-resistance and nothing is lost in the edges, the higher decides. Where
// it has another, the rail is worst just under where the gate gets to the voltage at
// which the lesser one is stated. Where each would have another sink, both get the
// larger one.
func (m *pmosStage) bothEnds() {
	m.keep(0)
	t, est, on, off, sw := m.t, m.est, m.tOn, m.tOff, m.pSw
	m.enter(1)
	m.level()
	m.keep(1)
	same := m.ron == m.ends[0].ron && m.ron.OK
	low := func() {
		m.enter(1)
		if m.solve(); !same {
			on, sw := m.tOn, m.pSw // they have no step
			m.l = m.underStep()
			m.solve()
			m.tOn, m.pSw = on, sw
		}
	}
	if same && m.l.Mode != "pwm" && m.l.OpsPerSecond < ratedSwitching {
		m.t, m.est = t, est
		hot, _ := t.hottest(&m.p.Heat)
		m.edges(hot)
	} else {
		plugs, lasts := m.plugs, m.lasts
		low()
		if sink := largerSink(restsOn(&t, &est), restsOn(&m.t, &m.est)); sink != nil {
			own, with := m.given, *m.given
			with.HeatSink = GivenPart{Said: true, ID: sink.ID}
			m.given = &with
			m.enter(0)
			m.solve()
			t, est, on, off, sw, plugs, lasts = m.t, m.est, m.tOn, m.tOff, m.pSw, m.plugs, m.lasts
			low()
			m.given = own
		}
		m.t, m.est = hotter(t, m.t), hotter(est, m.est)
		m.plugs, m.lasts = m.plugs || plugs, m.lasts || lasts
	}
	m.tOn, m.tOff, m.pSw = longer(on, m.tOn), longer(off, m.tOff), longer(sw, m.pSw)
	worse := &m.ends[1]
	if gap := m.gap(); gap != nil {
		t, est, on, off, sw, plugs, lasts := m.t, m.est, m.tOn, m.tOff, m.pSw, m.plugs, m.lasts
		m.enter(1)
		m.l, m.vDrive, m.ron, m.ronEst, m.point = gap.l, gap.vDrive, gap.ron, gap.ronEst, gap.point
		m.heated()
		m.t, m.est = hotter(t, m.t), hotter(est, m.est)
		m.plugs, m.lasts = m.plugs || plugs, m.lasts || lasts
		m.tOn, m.tOff, m.pSw = longer(on, m.tOn), longer(off, m.tOff), longer(sw, m.pSw)
		worse = gap
	}
	m.enter(0)
	if m.ends[0].ron.OK {
		m.vDrive, m.ron, m.ronEst, m.point = worse.vDrive, worse.ron, worse.ronEst, worse.point
	} else {
		m.take(0)
	}
	if m.direct {
		return
	}
	m.late = m.sh.delays()
	if d := m.emptying(); d.OK && m.late.any {
		m.late.off = addCost(m.late.off, d)
	} else if m.l.Mode == "pwm" {
		m.late = delays{any: true}
	}
}

// steps calls f with what the gate gets at the rails between both ends where another
// on-resistance comes to serve or ceases to: the gate has not quite got to its voltage,
// or the load has just passed the current that it is stated at, or serves for.
func (m *pmosStage) steps(f func(e gateEnd)) {
	hi, lo := &m.ends[0], &m.ends[1]
	from, to, span := lo.l.PeakCurrent(), hi.l.PeakCurrent(), hi.l.VMax-lo.l.VMax
	for k := range m.p.RDSOn {
		pt := &m.p.RDSOn[k]
		v, i := float64(pt.VGS.Or(0)), float64(pt.ID.Or(0))
		shares := [...]float64{(v-lo.vDrive)/(hi.vDrive-lo.vDrive) - 1e-9, 0, 0}
		for n, i := range [...]float64{i, device.SquareLaw(m.p, v, thresholdMax(m.p)).V / 2} { // or twice that, by the law
			if i >= from && i < to {
				shares[n+1] = (railAt(hi.l, i*(1+1e-9)/to*hi.l.IMax) - lo.l.VMax) / span
			}
		}
		for _, share := range shares {
			if !(share > 0) || !(share < 1) { // nor is it a number
				continue
			}
			e := gateEnd{l: atRail(hi.l, lo.l.VMax+share*span), vDrive: lo.vDrive + share*(hi.vDrive-lo.vDrive)}
			e.ron, e.ronEst, e.point = device.OnResistance(m.p, e.vDrive, e.l.PeakCurrent())
			if m.src.unsure && e.ron.OK {
				e.ron, e.ronEst, e.point = design.Number{}, e.ron, nil
			}
			f(e)
		}
	}
}

// gap is the step at which the on-resistance is more than at both ends, or not stated
// where it is at both; nil where there is none.
func (m *pmosStage) gap() *gateEnd {
	a, b := m.ends[0].ron, m.ends[1].ron
	if !a.OK || !b.OK {
		return nil
	}
	most, found := max(a.V, b.V), false
	m.steps(func(e gateEnd) {
		if known := !found || m.between.ron.OK; known && (!e.ron.OK || e.ron.V > most) {
			m.between, found, most = e, true, e.ron.V
		}
	})
	if !found {
		return nil
	}
	return &m.between
}

// underStep is the load at the highest rail at which the gate has not yet got the
// on-resistance of the highest.
func (m *pmosStage) underStep() *load.Model {
	hi, lo := &m.ends[0], &m.ends[1]
	v := hi.l.VMax
	if hi.point != nil && hi.vDrive > lo.vDrive {
		share := (float64(hi.point.VGS.Or(0)) - lo.vDrive) / (hi.vDrive - lo.vDrive)
		v = lo.l.VMax + min(1, max(0, share))*(v-lo.l.VMax)
	}
	return atRail(hi.l, v)
}

// longer is the greater of two numbers, unknown where one is.
func longer(a, b design.Number) design.Number {
	if !a.OK || !b.OK {
		return design.Number{}
	}
	return design.Known(max(a.V, b.V))
}

// emptying is how long the pull-up takes until the gate is down to its plateau
// and the edge begins, s: the charge above the edge's own at the least current of
// the pull-up. Beyond its stated voltage a gate charges in a straight line.
func (m *pmosStage) emptying() design.Number {
	g, edge := m.p.QGMax, m.charge()
	hot, _ := m.t.hottest(&m.p.Heat)
	vth, _, _ := device.Threshold(m.p, hot)
	if g == nil || !g.Q.Known() || !edge.OK || !vth.OK || vth.V <= 0 {
		return design.Number{}
	}
	q := float64(g.Q.Value())
	if v := float64(g.VGS.Or(0)); v > 0 {
		q *= max(1, m.vGateMax/v)
	}
	return design.Known(max(0, q-edge.V) * min(m.rpdHi(), openGate) / vth.V)
}

// ---- checks ----

func (m *pmosStage) checks() {
	if m.direct {
		m.pinDrives()
	} else {
		m.shifterPin()
	}
	m.staysOff()
	m.drives()
	m.limits()
	m.controlDraw(m.direct, m.sh, m.steadySink())
	m.partChecks()
	m.groundReferred()
	m.networkResistors()
	m.seriesLED(nodeSwitch)
	m.value(design.RGate, m.rg.nom, design.Ohm)
	if !m.rpd.absent {
		m.value(design.RPullup, m.rpd.nom, design.Ohm)
	}
	m.edgeValues()
	m.shifterChecks(m.direct, m.sh)
}

// steadySink is what the pin sinks from the pull-up, A.
func (m *pmosStage) steadySink() float64 {
	if m.rpd.absent {
		return 0
	}
	return m.l.VMax / (float64(m.env.Pin.ROutMin) + m.rpd.lo())
}

// pinDrives are the checks of a pin that drives the gate itself.
func (m *pmosStage) pinDrives() {
	pin := &m.env.Pin
	steady := m.steadySink()
	peak := m.l.VMax / (float64(pin.ROutMin) + parallel(m.rg.lo(), m.rpdLo()))
	m.pinSinks(steady, peak, "{V_rail_max}/({R_out} + {R_gate} || {R_pullup}) = {stress}",
		design.Arg{Name: "V_rail_max", V: m.l.VMax, Unit: design.V}, design.Arg{Name: "R_out", V: float64(pin.ROutMin), Unit: design.Ohm},
		design.Arg{Name: "R_gate", V: m.rg.lo(), Unit: design.Ohm}, across("R_pullup", m.rpdLo()))
	m.sinkVoltage()
}

func (m *pmosStage) staysOff() {
	c := m.check(design.StaysOff, design.V)
	worst, lift, boot := 0.0, 0.0, m.bootCurrent()
	if m.direct {
		worst, c.Because = m.liftByPin()
		lift = m.bootLift(m.rpdHi())
		c.Formula = "leakage of pin and gate x {R_pullup}, and {I_boot} x ({R_pullup} + {R_gate}) while the rail rises: {stress}; threshold at {T_j} at least {rating}"
	} else {
		leak := m.gateLeak()
		if m.sh != nil && m.sh.leak.OK {
			leak += m.sh.leak.V
		}
		worst = raised(leak, m.rpdHi(), m.l.VMax)
		lift = m.bootLift(m.rpdHi() - m.rg.hi()) // the gate resistor is not between them
		lift += m.sh.lift(m.rpdHi(), m.l.VMax)
		c.Because = "the level shifter is off: its own stays-off judges the pin"
		c.Formula = "leakage of level shifter and gate x {R_pullup}, and {I_boot} x {R_pullup} while the rail rises: {stress}; threshold at {T_j} at least {rating}"
		if m.sh != nil {
			boot += m.sh.boot
		}
	}
	calm := worst
	if lift > 0 {
		// How fast the rail rises is assumed; the slowest rise lifts nothing.
		c.Because, c.EasyStress = "the rail rises, in 1 ms as assumed, while nothing drives the stage", design.Known(worst)
		worst = min(worst+lift, max(worst, m.l.VMax))
	}
	hot := m.underThreshold(c, worst)
	if !m.direct {
		m.sh.liftUnknown(c, calm)
	}
	if !m.direct && m.sh != nil && !m.sh.leak.OK {
		c.Stress, c.EasyStress, c.StressEstimate = design.Number{}, design.Number{}, design.Known(worst)
		c.Needs("leakage of the level shifter")
	}
	if m.direct {
		m.neverDirect(c)
	}
	c.SetArgs(across("R_pullup", m.rpdHi()), design.Arg{Name: "T_j", V: hot, Unit: design.DegC},
		design.Arg{Name: "I_boot", V: boot, Unit: design.A}, design.Arg{Name: "R_gate", V: m.rg.hi(), Unit: design.Ohm})
	c.SetCorner(design.CornerValue{Name: "rail", V: m.l.VMax}, design.CornerValue{Name: "ambient", V: m.l.TMax})
	judge(c)
	m.value(design.VControlReset, firstOf(c.Stress, c.StressEstimate), design.V)
}

// liftByPin is how far below its source the pin leaves the gate when the stage is
// to be off, V at the most.
func (m *pmosStage) liftByPin() (worst float64, why string) {
	for _, st := range m.highOffStates() {
		v := 0.0
		switch {
		case st.low: // driven low is on
			v = m.l.VMax
		case math.IsInf(st.pull, 1):
			v = raised(m.gateLeak()+st.leak, m.rpdHi(), m.l.VMax)
		}
		v += m.gateLeak() * m.rg.hi()
		if v >= worst {
			worst, why = v, st.name
		}
	}
	return worst, why
}

// drives is the gate-drive check at both ends of the rail and at the steps between, of
// which it keeps the worst.
func (m *pmosStage) drives() {
	at, v := len(m.d.Checks), len(m.d.Values)
	kept := gateEnd{vDrive: m.vDrive, ron: m.ron, ronEst: m.ronEst, point: m.point}
	for i := range m.ends {
		m.enter(i)
		m.take(i)
		m.d.Values = m.d.Values[:v] // told once, of the lower end
		m.gateDriveAt()
	}
	told := len(m.d.Values)
	m.steps(func(e gateEnd) {
		m.l, m.vDrive, m.ron, m.ronEst, m.point = e.l, e.vDrive, e.ron, e.ronEst, e.point
		m.gateDriveAt()
		m.d.Values = m.d.Values[:told]
	})
	m.keepWorseFrom(at)
	m.enter(0)
	m.vDrive, m.ron, m.ronEst, m.point = kept.vDrive, kept.ron, kept.ronEst, kept.point
}

func (m *pmosStage) gateDriveAt() {
	v := m.l.VMax
	corner := design.CornerValue{Name: "rail", V: v}
	if m.direct {
		m.gateDrive("{V_rail} x {R_pullup}/({R_pullup} + {R_out}) = {rating}; on-resistance is stated from {stress}", corner,
			design.Arg{Name: "V_rail", V: v, Unit: design.V}, across("R_pullup", m.rpdLo()),
			design.Arg{Name: "R_out", V: m.src.series, Unit: design.Ohm})
		return
	}
	drop := m.allow
	if m.sh != nil {
		drop = m.sh.drop.V
	}
	m.gateDrive("({V_rail} - {V_shifter}) x {R_pullup}/({R_pullup} + {R_gate}), or what the gate clamp leaves, = {rating}; on-resistance is stated from {stress}", corner,
		design.Arg{Name: "V_rail", V: v, Unit: design.V}, design.Arg{Name: "V_shifter", V: drop, Unit: design.V},
		across("R_pullup", m.rpdLo()), design.Arg{Name: "R_gate", V: m.rg.hi(), Unit: design.Ohm})
	if m.src.unsure {
		c := &m.d.Checks[len(m.d.Checks)-1]
		m.unsureDrive(c, "what the level shifter drops is not known", "on voltage of the level shifter")
		judge(c)
	}
}

// limits is the gate-voltage check: the highest rail, divided or clamped.
func (m *pmosStage) limits() {
	m.vGateMax = m.src.hi
	formula := "highest rail {stress}, the gate bears {rating}"
	if !m.direct {
		formula = "of the highest rail the gate gets {stress}; it bears {rating}"
	}
	m.gateVoltage(formula, design.CornerValue{Name: "rail", V: m.l.VMax})
	c := &m.d.Checks[len(m.d.Checks)-1]
	switch {
	case m.zenerX != "":
		c.Because = "the gate clamp that is stated is no Zener of the catalogue: it limits nothing"
	case m.zener != nil && m.limit.Needs != "":
		c.Needs(m.limit.Needs)
		c.StressEstimate, c.Stress = m.limit.High, design.Number{}
		judge(c)
	case m.zener != nil && !m.limit.Bears:
		c.Because = "the gate clamp does not bear what the gate resistor lets through: it limits nothing"
	}
}

// networkResistors judges pull-up and gate resistor.
func (m *pmosStage) networkResistors() {
	vgs, v := m.vGateMax, m.l.VMax
	f := max(m.l.Frequency, m.l.OpsPerSecond)
	edges := 0.0
	if g := m.p.QGMax; g != nil {
		edges = float64(g.Q.Or(0)) * vgs * f
	}
	m.load("gate resistor", "V^2/R, and charge x voltage x rate", m.rg, m.gateResistorPower(m.rg, v)+edges, v)
	if !m.rpd.absent {
		m.load("pull-up", "V^2/R", m.rpd, vgs*vgs/m.rpd.lo(), v)
	}
}

func (m *pmosStage) draw() {
	if m.direct {
		m.pinElement()
		m.resistorElement("R3", design.RGate, design.RoleDriveResistor, m.rg, nodePin, nodeControl)
		m.resistorElement("R4", design.RPullup, design.RolePullDown, m.rpd, nodePin, nodeRail)
	} else {
		m.resistorElement("R3", design.RGate, design.RoleDriveResistor, m.rg, nodeShift, nodeControl)
		m.resistorElement("R4", design.RPullup, design.RolePullDown, m.rpd, nodeControl, nodeRail)
	}
	if m.zener != nil {
		m.buy("D5", m.zener)
		m.d.Choice.GateClamp = m.zener.ID
		m.element("D5", design.RoleClamp, string(catalog.KindZener), m.zener.ID, nodeControl, nodeRail)
	}
	m.element("Q1", design.RoleSwitch, "mosfet", m.p.ID, nodeControl, nodeSwitch, nodeRail)
	m.highElements()
	m.highClamp(m.clamp)
}
