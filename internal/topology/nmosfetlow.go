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
	"example.org/pinhoist/internal/waveform"
)

// nMOSFETLow is an N-channel MOSFET between load and ground, its gate on the
// pin through a resistor, a pull-down on the pin's side of that resistor.
type nMOSFETLow struct{}

func (nMOSFETLow) ID() string   { return "n-mosfet-low" }
func (nMOSFETLow) Side() string { return "low" }

// DrivesCoils says that a relay's coil may be driven so.
func (nMOSFETLow) DrivesCoils() bool { return true }

func (nMOSFETLow) Owes(l *load.Model) []design.CheckID {
	ids := owesSilicon(l)
	ids = append(ids, design.GateDrive, design.GateVoltage)
	return ids
}

// owesSilicon is what every low-side transistor stage owes.
func owesSilicon(l *load.Model) []design.CheckID {
	ids := []design.CheckID{
		design.PinCurrent, design.PinVoltage, design.StaysOff,
		design.BlockingVoltage, design.OnCurrent, design.JunctionTemperature,
		design.Leakage, design.LoadVoltage, design.ResistorPower, design.ResistorVoltage, design.RailCurrent, design.SafeArea,
	}
	if l.Kind == job.Coil {
		ids[7] = design.CoilPickup
	}
	if l.HasInrush || l.Inductive {
		ids = append(ids, design.PeakCurrent)
	}
	if l.Inductive {
		ids = append(ids, design.Avalanche, design.ClampVoltage, design.ClampStandoff, design.ClampCurrent, design.ClampEnergy, design.ClampPower, design.ReleaseTime)
	}
	if l.IsolationAsked {
		ids = append(ids, design.Isolation)
	}
	if l.Mode == "pwm" {
		ids = append(ids, design.PWMFrequency)
	}
	return owesFuse(l, ids)
}

// Takes lists the elements of a stage as built that are worked out.
func (nMOSFETLow) Takes(l *load.Model) []string {
	return takes(l, "r_gate", "r_pulldown", "heat_sink", "insulator", "limiter")
}

func (nMOSFETLow) Serves(env *Env, l *load.Model, sw catalog.Part) string {
	if a, ok := sw.(*catalog.Array); ok && a.Output == "n-mosfet" { // a channel of it (array.go)
		return servesInput(env, l)
	}
	return servesGate(env, l, sw)
}

// servesGate says why a single N-channel MOSFET on the pin cannot serve a load, or
// that the switch is none.
func servesGate(env *Env, l *load.Model, sw catalog.Part) string {
	if m, ok := sw.(*catalog.MOSFET); !ok || m.Channel != "n" {
		return WrongPart
	}
	return servesInput(env, l)
}

// gateSource is what drives a gate through its resistor.
type gateSource struct {
	lo, hi   float64 // its level at the lowest and at the highest supply, V
	series   float64 // between its level and the pull-down, ohm at most
	up, down float64 // what charges and discharges the gate, beside its resistor, ohm at most
	low      float64 // what it leaves on the gate when it is off, V at most
	letsGo   letsGo

	unsure          bool // its level is an estimate
	driver          bool // a stage of its own, whose edges come before those of the gate
	lateOn, lateOff design.Number
}

// pinSource is the pin as it drives so many gates side by side: each of them has
// so many times the pin's resistance to itself.
func pinSource(pin *job.Pin, gates int) gateSource {
	out := float64(pin.ROutMax)
	each := float64(gates) * out
	return gateSource{lo: float64(pin.SupplyMin), hi: float64(pin.SupplyMax), series: out, up: each, down: each, letsGo: letsGoLow}
}

// mosfetStage is one stage of a MOSFET, or of several side by side, between load
// and ground while it is worked out.
type mosfetStage struct {
	stage
	p          *catalog.MOSFET
	side       sideBySide
	src        gateSource
	rg, rpd    resistor
	clamp      *clamp.Option
	vDrive     float64 // gate voltage at the least, V
	vGateMax   float64
	ron        design.Number // guaranteed at 25 C, at the drive and current
	ronEst     design.Number
	point      *catalog.RDSPoint
	alpha      float64
	hotBracket bool
	t, est     temperatures
	tOn, tOff  design.Number
	pSw        design.Number // average switching loss, unknown where an edge is
	late       delays        // that the edges wait for
	beyond     float64       // what else leaks into the pin beside the gates, A
	slow       float64       // F that stand at the gate beside its own, at most
	body       bool          // body diodes carry the current of a winding on: this part's is one of them
	opposite   diodeFigures  // the worst of a body diode in the same half, which this part forces off
	spared     bool          // Schottky diodes across the switches do instead
	lasts      bool          // how long a body diode carries the winding's current matters, and is not known
	jammed     *load.Model   // of a motor that is reversed: as it heats when it is jammed
	plugs      bool          // how long it heats while it is reversed is not known
}

func (t nMOSFETLow) Design(env *Env, l *load.Model, sw catalog.Part, given *Given, d *design.Design) {
	env.limited(l, given, d, func(l *load.Model, d *design.Design) (warms float64, sure bool) {
		if p, ok := sw.(*catalog.Array); ok {
			a := arrayStage{stage: begin(env, l, given, d, t.ID(), sw.Base()), p: p, keys: &gateKeys}
			a.roughly()
			return 0, true
		}
		m := mosfetStage{stage: begin(env, l, given, d, t.ID(), sw.Base()), p: sw.(*catalog.MOSFET), src: pinSource(&env.Pin, 1)}
		m.parts()
		m.drops()
		return m.ownHeat(), true
	}, func(l *load.Model, d *design.Design) { t.unlimited(env, l, sw, given, d) })
}

// unlimited is Design for a load as it is, with the limiter that stands in its way.
func (t nMOSFETLow) unlimited(env *Env, l *load.Model, sw catalog.Part, given *Given, d *design.Design) {
	if p, ok := sw.(*catalog.Array); ok {
		a := arrayStage{stage: begin(env, l, given, d, t.ID(), sw.Base()), p: p, keys: &gateKeys}
		a.design(t.Owes(l))
		return
	}
	m := mosfetStage{stage: begin(env, l, given, d, t.ID(), sw.Base()), p: sw.(*catalog.MOSFET), src: pinSource(&env.Pin, 1)}
	m.parts()
	m.pinChecks()
	m.staysOff()
	m.pinGateDrive()
	m.checks()
	m.draw()
	m.finish(t.Owes(l))
}

// parts chooses all parts of a stage on the pin, and works the junction out.
func (m *mosfetStage) parts() {
	m.d.Choice.Parallel = m.side.n
	for i := range m.side.parts() {
		m.buy(parallelRefs[i].q, m.p)
	}
	m.alpha, m.hotBracket = device.HotSlope(m.p)
	m.clamp = m.suppress(known(m.p.VDSMax), m.pol.FETVoltage(), nil)
	m.choose()
	m.reclamp()
}

// choose sets pull-down and gate resistor: the pull-down first, the largest
// that keeps the stage off at its own hottest junction, then the smallest gate
// resistor that keeps the edge within the pin.
func (m *mosfetStage) choose() {
	m.rpd, m.rg = m.givenOr(m.given.RPulldown, math.Inf(1)), m.givenOr(m.given.RGate, 0)
	if !m.given.RPulldown.Said {
		m.rpd = resistor{nom: 10e3, tol: 0.05}
	}
	m.solve()
	for range 4 {
		rpd, rg := m.rpd, m.rg
		if !m.given.RPulldown.Said {
			m.pullDown()
		}
		if !m.given.RGate.Said {
			m.gateResistor()
		}
		if m.rpd == rpd && m.rg == rg {
			return // solved with these already
		}
		m.solve()
	}
}

// reclamp chooses the clamp again and, where that matters, the resistors.
func (m *mosfetStage) reclamp() {
	m.quicker()
	if m.otherClamp() {
		m.choose()
		m.quicker()
	}
}

// otherClamp chooses the clamp again, now that the junction is known and with it
// what the safe area makes of each peak. It reports whether another one makes
// other switching losses.
func (m *mosfetStage) otherClamp() bool {
	if m.clamp == nil || m.given.Clamp.Said {
		return false
	}
	a := m.areaOf(m.p.SOA, &m.p.Heat, m.t, false)
	before := m.clamp
	off, _ := m.longestOff()
	m.clamp = m.suppress(known(m.p.VDSMax), m.pol.FETVoltage(), func(o *clamp.Option) design.Verdict {
		return m.offCrossing(&a, o, off)
	})
	return m.clamp != before && m.l.Mode == "pwm"
}

// offCrossing is the verdict of the safe area on turning off into a clamp.
func (s *stage) offCrossing(a *area, o *clamp.Option, t design.Number) design.Verdict {
	e := crossing{v: firstOf(o.VPeak, o.VPeakEstimate), i: s.l.IMax, t: t}
	if s.l.HasInrush {
		e.i = s.l.PeakCurrent()
	}
	if !a.applies(e) {
		return design.Fits
	}
	c := s.crossingCheck(a, e)
	return c.Verdict
}

// givenOr is a resistor as stated; where it is not, the zero resistor.
func (s *stage) givenOr(g GivenResistor, absentAs float64) resistor {
	if !g.Said {
		return resistor{}
	}
	return s.env.stated(g, absentAs)
}

func (m *mosfetStage) pullDown() {
	hot, _ := m.t.hottest(&m.p.Heat)
	vth, _, _ := device.Threshold(m.p, hot)
	most := bleedCap
	if vth.OK {
		most = m.bleedFor(vth.V-m.offMargin(vth.V, hot), 0, m.gatesLeak())
		if boot := m.bootCurrent(); boot > 0 {
			n := float64(m.side.parts())
			// One that no rail could lift may be so small that the pin cannot drive it: then
			// stays-off says what the assumed rise leaves open, and all else is judged as it is.
			if held := m.bleedFor(max(0, vth.V-boot*m.gateSeries()), 0, n*(boot+m.gateLeak())); held >= leastPull {
				most = min(most, held)
			}
		}
	}
	m.pullUnder(most)
}

// pullUnder takes the largest resistor of at most so many ohms to hold the gate.
func (m *mosfetStage) pullUnder(most float64) {
	for _, s := range m.env.Resistors {
		tol := float64(s.Tolerance.Or(0.05))
		if v, ok := coarseDown(s, most/(1+tol)); ok {
			m.rpd = fromSeries(s, v)
			return
		}
	}
	// No value is small enough: the smallest there is, and stays-off will say so.
	for _, s := range m.env.Resistors {
		if v, ok := nextUp(s, 100); ok {
			m.rpd = fromSeries(s, v)
			return
		}
	}
}

func (m *mosfetStage) gateLeak() float64 {
	return float64(m.p.IGSSMax.Or(catalog.BracketIGSSMax))
}

// gatesLeak is what all gates leak together, A.
func (m *mosfetStage) gatesLeak() float64 { return float64(m.side.parts()) * m.gateLeak() }

// gateResistor: supply/(Rout + Rg || Rpd) within the peak limits of the pin,
// both with their tolerances. Gates side by side share the pin.
func (m *mosfetStage) gateResistor() {
	pin := m.env.Pin
	limit := min(float64(pin.PeakMax), float64(pin.SinkPeakMax))
	if limit <= 0 {
		limit = float64(pin.PeakMax)
	}
	need := 0.0
	if x := float64(pin.SupplyMax)/limit - float64(pin.ROutMin); x > 0 {
		need = math.Inf(1)
		if g := 1/x - 1/m.rpd.lo(); g > 0 {
			need = 1 / g
		}
	}
	need = m.side.gateResistor(need)
	for _, s := range m.env.Resistors {
		tol := float64(s.Tolerance.Or(0.05))
		if v, ok := nextUp(s, need/(1-tol)); ok {
			m.rg = fromSeries(s, v)
			return
		}
	}
	m.rg = resistor{nom: 0, absent: true}
}

// solve works out drive, on-resistance, edges and junction for the resistors.
func (m *mosfetStage) solve() {
	m.level()
	m.heated()
}

// heated works out edges and junction as the stage stands.
func (m *mosfetStage) heated() {
	if m.body {
		m.warmPlugged()
		return
	}
	m.warm()
}

// level works out drive and on-resistance.
func (m *mosfetStage) level() {
	m.vDrive = m.src.lo
	if !m.rpd.absent && m.src.series > 0 {
		m.vDrive *= m.rpd.lo() / (m.rpd.lo() + m.src.series)
	}
	// What the gate leaks flows through its resistor.
	m.vDrive = max(0, m.vDrive-m.gateLeak()*m.rg.hi())
	m.vGateMax = m.src.hi
	m.ron, m.ronEst, m.point = device.OnResistance(m.p, m.vDrive, m.side.peak(m.l))
	if m.src.unsure && m.ron.OK { // what the gate gets is an estimate, and so is this
		m.ron, m.ronEst, m.point = design.Number{}, m.ron, nil
	}
}

// warm works out edges and junction.
func (m *mosfetStage) warm() {
	m.t, m.est = temperatures{}, temperatures{}
	if ron := firstOf(m.ron, m.ronEst); ron > 0 {
		whole := m.l
		m.l = m.side.hottest(whole)
		t := m.junctionHeat(&m.p.Common, &m.p.Heat, func(hot float64) (heat, bool) { return m.law(hot, ron, whole) })
		m.l = whole
		if m.ron.OK {
			m.t = t
		} else {
			m.est = t
		}
	}
	hot, _ := m.t.hottest(&m.p.Heat)
	m.edges(hot)
}

// law is what warms the hottest part at hot degrees Celsius; whole is the load of all
// parts.
func (m *mosfetStage) law(hot, ron float64, whole *load.Model) (heat, bool) {
	part := m.l
	m.l = whole // one part makes the edges alone
	m.edges(hot)
	h := m.heat(ron, m.pSw)
	m.l = part
	m.side.shared(&h, hot, whole.TMax, m.alpha)
	return h, m.pSw.OK
}

// heatEnds works out where heat ends the frequency of pwm.
func (m *mosfetStage) heatEnds(hot float64) {
	if m.l.Mode != "pwm" || !m.ron.OK || !m.pSw.OK {
		return
	}
	m.edges(hot)
	enough := edgesEnd(m.late.whole(m.tOn, m.tOff))
	whole := m.l
	m.l = m.side.hottest(whole)
	m.leastEnds(&m.p.Heat, &m.t, hot, enough, func(hot float64) (heat, bool) {
		if m.side.parts() == 1 { // at whichever rail
			return m.law(hot, m.ron.V, m.l)
		}
		return m.law(hot, m.ron.V, whole)
	})
	m.l = whole
	m.edges(hot)
}

// edges at a junction of hot degrees Celsius, and the switching loss they make.
func (m *mosfetStage) edges(hot float64) {
	rint, _ := device.GateResistance(m.p)
	m.tOn, m.tOff = device.Edges(m.p, m.vDrive, 1, m.l.PeakCurrent(), hot, m.l.TMin) // an ohm; they go with it
	m.tOn.V *= m.rg.hi() + m.src.up + rint
	m.tOff.V *= m.rg.hi() + m.src.down + rint
	if m.src.down != m.src.up || m.src.low > 0 {
		m.tOff = m.above(m.tOff, hot)
	}
	if m.src.driver {
		m.tOn, m.tOff = addCost(m.tOn, m.src.lateOn), addCost(m.tOff, m.src.lateOff)
	}
	m.slowed(hot, rint)
	m.pSw = design.Known(0)
	f := m.l.Frequency
	if m.l.Mode != "pwm" {
		f = m.l.OpsPerSecond
		if f < ratedSwitching {
			return
		}
	}
	if !m.tOn.OK || !m.tOff.OK {
		m.pSw = design.Number{}
		return
	}
	m.pSw = m.switching(f)
}

// above is the length of the turn-off edge to a gate that does not go down to
// zero: what empties it is the plateau less what is left. Unknown, for it has no
// end, where the least threshold is not above that.
func (m *mosfetStage) above(off design.Number, hot float64) design.Number {
	vth, _, _ := device.Threshold(m.p, hot)
	if !off.OK || vth.V <= m.src.low {
		return design.Number{}
	}
	return design.Known(off.V * vth.V / (vth.V - m.src.low))
}

// switching is the average loss of the edges at f, W: half of voltage times
// current over both edges (the triangle rule, 7 to 16 % above a square-law
// part's own edges), the output capacitance, the gate and the recovery of the
// freewheel diode.
func (m *mosfetStage) switching(f float64) design.Number {
	v := firstOf(m.vPeak, m.vPeakEst, design.Known(m.l.VMax))
	if m.p.QGMax == nil && m.l.Mode == "pwm" {
		return design.Number{}
	}
	if !m.p.COSSMax.Known() && f >= 20e3 && v >= 60 {
		return design.Number{}
	}
	p := 0.5*v*m.l.IMax*(m.tOn.V+m.tOff.V)*f + m.idleEdges(v, f) + m.wireEnergy(known(m.p.VDSMax), m.l.IMax*math.Sqrt(m.choppedMost()))*f // which choppedEdges takes as many times again
	if m.clamp != nil && m.l.Mode == "pwm" {
		if !m.clamp.Recovery.OK {
			return design.Number{}
		}
		p += recoveryLoss(v, m.l.IMax, m.clamp.Recovery.V, f)
	}
	return m.recovering(p, v, f)
}

// idleEdges is what of the loss of edges at f does not go with the current, W: what the
// output capacitance holds at v, the gate, and the charge that a body diode across is
// stated to store.
func (m *mosfetStage) idleEdges(v, f float64) float64 {
	p := device.GateLoss(m.gateCharge(), m.vGateMax, f)
	if c, ok := m.p.COSSMax.Get(); ok {
		p += device.CapacitanceLoss(float64(c)*float64(m.side.parts()), v, f)
	}
	if d, ok := m.across(); ok {
		p += v * f * d.qrr
	}
	return p
}

// byCurrent is what of a loss of edges under pwm goes with the current.
func (m *mosfetStage) byCurrent(pSw design.Number) design.Number {
	if m.l.Mode == "pwm" && pSw.OK {
		pSw.V = max(0, pSw.V-m.idleEdges(firstOf(m.vPeak, m.vPeakEst, design.Known(m.l.VMax)), m.l.Frequency))
	}
	return pSw
}

// wireEnergy is what the wires of a load without a clamp leave in the switch that cuts i
// amperes, J: it takes what they hold and what the rail adds meanwhile, L*i^2/2*V/(V -
// V_rail) with V the rated voltage, under which it does not break down. With less of an
// edge the voltage stays lower, for longer.
func (s *stage) wireEnergy(rating design.Number, i float64) float64 {
	l := s.l
	if l.Inductive || l.LWire <= 0 {
		return 0
	}
	e := waveform.FieldEnergy(l.LWire, i)
	if v := rating.V; rating.OK && v > l.VMax {
		e *= v / (v - l.VMax)
	}
	return e
}

// gateCharge is what the gate takes, C; 0 where it is not stated. A driver goes far
// above the voltage at which it is stated, and past the plateau the charge grows
// less than the voltage does.
func (m *mosfetStage) gateCharge() float64 {
	g := m.p.QGMax
	if g == nil {
		return 0
	}
	q := float64(g.Q.Or(0))
	if at := float64(g.VGS.Or(0)); m.src.driver && at > 0 {
		q *= max(1, m.src.hi/at)
	}
	return q
}

func (m *mosfetStage) heat(ron float64, pSw design.Number) heat {
	h := heat{cond: conduction{r: ron, alpha: m.alpha}, duty: m.heatDuty(), i: m.l.IHot, pulse: m.l.PulseHot}
	byCurrent := m.byCurrent(pSw)
	h.sw, h.idle = m.chopping(byCurrent), pSw.V-byCurrent.V
	h.edgeP, h.edgeT = m.slowEdge()
	if m.body {
		m.bodyPulse(&h)
	}
	mean, again := m.inrushAverage(m.hottestOn(ron), 0), m.inrushEdges(m.tOn, m.tOff, byCurrent, known(m.p.VDSMax))
	slow := m.slowEdges(pSw, h.edgeT > 0)
	if slow > 0 { // at the greatest current, as those are
		again = 0
	}
	h.edges = pSw.V + m.choppedEdges(pSw) + again
	h.extra, h.mean = h.edges+m.bodyHeat()+slow+mean, mean
	if m.inrushEachPeriod() {
		h.edges += mean
	}
	return h
}

// hottestOn is an on-resistance at the greatest junction, ohm.
func (m *mosfetStage) hottestOn(ron float64) float64 {
	return ron * (1 + m.alpha*max(0, float64(m.p.TjMax.Or(150))-device.Room))
}

// chopping is the switching loss per ampere of load current under pwm, V, of so much
// that goes with the current: what is lost in an edge rises with it, so a stall or an
// inrush that is chopped loses more than the steady current does.
func (s *stage) chopping(pSw design.Number) float64 {
	if s.l.Mode != "pwm" || !pSw.OK || s.l.IMax <= 0 {
		return 0
	}
	return pSw.V / s.l.IMax
}

// motorStarts is how often a motor under pwm starts or jams, per second: the
// edges of its pwm do not start it anew (600 /h, as for any load of which
// nothing is said; common practice, no source).
const motorStarts = 600.0 / 3600

// slowGate is the gate resistor, ohm, from which an edge may heat the junction
// by itself, so that its charge must be known (common practice, no source).
const slowGate = 10e3

// slowEdge is the loss of one edge of the load's greatest current, W on average,
// and how long it lasts, s; nothing where it is too short and small to matter.
func (m *mosfetStage) slowEdge() (p, t float64) {
	if !m.tOn.OK && !m.tOff.OK {
		return 0, 0
	}
	t = max(m.tOn.V, m.tOff.V)
	p = 0.5 * firstOf(m.vPeak, m.vPeakEst, design.Known(m.l.VMax)) * m.l.PeakCurrent()
	if t < shortCrossing && p*t < smallCrossing {
		return 0, 0
	}
	return p, t
}

// inrushAverage is what repeated inrushes add to the mean loss, W, in a
// resistance r and a voltage v: never more than the peak for ever.
func (s *stage) inrushAverage(r, v float64) float64 {
	l := s.l
	if !l.HasInrush {
		return 0
	}
	if l.Filament.R > 0 && l.Mode == "pwm" {
		return s.choppedLamp(r, v)
	}
	rate := max(l.OpsPerSecond, l.Frequency)
	if l.Kind == job.Motor && l.Mode == "pwm" {
		rate = motorStarts
	}
	e, p := s.inrushEnergy(r, v), &l.PulseHot
	return min(rate*e.V, r*p.Peak*p.Peak+v*max(0, p.Peak-p.Steady))
}

// inrushEachPeriod reports whether each period of pwm starts the load anew.
func (s *stage) inrushEachPeriod() bool {
	l := s.l
	return l.HasInrush && l.Mode == "pwm" && l.Kind != job.Motor && l.Filament.R <= 0
}

// inrushEdges is what the edges of repeated inrushes cost beyond those at the steady
// current, W: in a winding straight slopes at the peak, as those of the steady current;
// else no more than V*I/4 at any time, which a source of V/I ohm can give at the most; of
// a capacitor no more than charging it loses in all. A motor's edges under pwm meet the greater
// current for as long as its starts last. A lamp under pwm has choppedEdges.
func (s *stage) inrushEdges(on, off, pSw, rating design.Number) float64 {
	l := s.l
	p := &l.PulseHot
	over := p.Peak - p.Steady
	if !l.HasInrush || !pSw.OK || over <= 0 || p.Shape != load.Rectangle && p.Shape != load.Decay {
		return 0
	}
	switch {
	case l.Mode != "pwm":
	case l.Kind == job.Motor:
		return s.chopping(pSw) * min(over, motorStarts*p.Charge)
	case l.Filament.R > 0:
		return 0
	}
	rate := max(l.OpsPerSecond, l.Frequency)
	if rate < ratedSwitching || !on.OK || !off.OK {
		return 0
	}
	kind, v := s.met()
	e := 0.5 * v * over * (on.V + off.V)
	if kind == device.Ohmic {
		e /= 2
	}
	if l.Kind == job.Capacitive && l.C.Known() {
		e = min(e, 0.5*float64(l.C.Value())*(1+float64(l.Tolerance))*l.VMax*l.VMax)
	}
	// It may be cut before it is over, and its wires hold the more.
	return rate * (e + s.wireEnergy(rating, p.Peak) - s.wireEnergy(rating, p.Steady))
}

// inrushEnergy is what one inrush leaves in a resistance r and a voltage v beyond the
// steady current, J at most; 0 and unknown where it has no end, or its length is not
// stated.
func (s *stage) inrushEnergy(r, v float64) design.Number {
	p := &s.l.PulseHot
	if !s.l.HasInrush || p.Shape != load.Rectangle && p.Shape != load.Decay {
		return design.Number{}
	}
	return design.Known(r*p.I2t + v*p.Charge)
}

// choppedLamp is what a filament that pwm never lets go cold takes beyond its lit
// current at the duty, W on average in a resistance r and a voltage v. Of the mean of a
// current in the on time and of its square: the first is at most the root of duty and
// second.
func (s *stage) choppedLamp(r, v float64) float64 {
	l := s.l
	k, duty := l.Filament.Chopped(l.Frequency), l.DutyHeat
	return l.IMax * (r*l.IMax*max(0, k-duty) + v*max(0, math.Sqrt(duty*k)-duty))
}

// choppedEdges is what edges under pwm cost beyond those at the lit current, W.
func (s *stage) choppedEdges(pSw design.Number) float64 {
	if !pSw.OK {
		return 0
	}
	return pSw.V * (s.choppedMost() - 1)
}

// choppedMost is how many times its lit current a lamp takes at the most in the on
// times of pwm: at a small duty it is nearly cold. Its heat keeps it at u^4 =
// duty*u^-1.2 at the least, before it cools in a period. 1 for any other load.
func (s *stage) choppedMost() float64 {
	l := s.l
	if l.Filament.R <= 0 || l.Mode != "pwm" {
		return 1
	}
	most, d := l.Filament.Ratio, float64(l.DutyMin)
	if l.DutyEnforced {
		d = l.DutyHeat
	}
	if d > 0 {
		most = min(most, l.Filament.Chopped(l.Frequency)*math.Pow(d, -1.2/5.2))
	}
	return max(1, most)
}

func known[Q q.Quantity](o q.Opt[Q]) design.Number {
	if v, ok := o.Get(); ok {
		return design.Known(float64(v))
	}
	return design.Number{}
}

// checks are those that do not depend on what drives the gate, but for its level.
func (m *mosfetStage) checks() {
	m.gateVoltage("highest pin supply {stress}, the gate bears {rating}", design.CornerValue{Name: "pin_supply", V: m.vGateMax})
	m.partChecks()
	m.resistors()
	m.values()
}

// partChecks are those of the part and its load alone.
func (m *mosfetStage) partChecks() {
	m.letBreakDown()
	if m.broken.on {
		m.brokenChecks()
	} else {
		m.clampChecks(m.clamp)
	}
	m.blockingCheck(m.clamp, known(m.p.VDSMax), m.pol.FETVoltage(), "v_ds_max")
	m.onCurrent()
	fallback := !m.p.IDMMax.Known()
	idm := known(m.p.IDMMax)
	if fallback {
		idm = known(m.p.IDCase25)
	}
	if m.l.HasInrush || m.l.Inductive {
		m.peakCurrent(idm, fallback, "i_dm_max")
	}
	missing := "r_ds_on at this drive"
	if m.ron.OK {
		missing = "q_gd_max"
		if !m.pSw.OK || !m.tOff.OK && max(m.rg.hi(), m.rg.hi()+m.src.down-m.src.up) > slowGate {
			m.est, m.t.worst = m.t, design.Number{}
		}
	}
	m.junctionCheck(&m.p.Common, &m.p.Heat, m.t, m.est, missing)
	m.crossings()
	m.avalanche()
	m.pwm()
	m.leakage()
	m.drop()
	m.railCurrent()
	m.noIsolation()
	m.fuses()
}

func (m *mosfetStage) pinChecks() {
	pin := m.env.Pin
	vmax := float64(pin.SupplyMax)
	steady := 0.0
	if !m.rpd.absent {
		steady = vmax / (float64(pin.ROutMin) + m.rpd.lo())
	}
	peak := vmax / (float64(pin.ROutMin) + parallel(m.rg.lo()/float64(m.side.parts()), m.rpdLo()))
	formula := "{V_pin_max}/({R_out} + {R_gate} || {R_pulldown}) = {stress}"
	args := [...]design.Arg{{Name: "V_pin_max", V: vmax, Unit: design.V}, {Name: "R_out", V: float64(pin.ROutMin), Unit: design.Ohm},
		{Name: "R_gate", V: m.rg.lo(), Unit: design.Ohm}, across("R_pulldown", m.rpdLo()), m.side.arg()}
	used := args[:4]
	if m.side.parts() > 1 {
		formula, used = "{V_pin_max}/({R_out} + {R_gate}/{n} || {R_pulldown}) = {stress}", args[:]
	}
	m.pinCurrent(steady, peak, peak, formula, used...)
	leak := m.gatesLeak()
	m.pinVoltageLow(design.Known(min(leak*finiteOr(m.rpd.hi(), 1/leak), vmax)), "i_gss_max")
}

// across is the argument of a resistor that may be absent: no value then, and not 0 ohm.
func across(name string, ohms float64) design.Arg {
	return design.Arg{Name: name, V: finiteOr(ohms, 0), Unit: design.Ohm, Absent: math.IsInf(ohms, 1)}
}

func finiteOr(v, def float64) float64 {
	if math.IsInf(v, 0) || math.IsNaN(v) {
		return def
	}
	return v
}

func (m *mosfetStage) rpdLo() float64 {
	if m.rpd.absent {
		return math.Inf(1)
	}
	return m.rpd.lo()
}

func (m *mosfetStage) rpdHi() float64 {
	if m.rpd.absent {
		return math.Inf(1)
	}
	return m.rpd.hi()
}

func (m *mosfetStage) staysOff() {
	c := m.check(design.StaysOff, design.V)
	worst := 0.0
	boot, pulldown := m.bootCurrent(), m.rpdHi()
	atBoot, calm := false, 0.0
	for _, st := range m.offStates() {
		v, lift := st.driven, 0.0
		if v == 0 {
			v = m.control(st, 0, pulldown, m.gatesLeak()) + m.gateLeak()*m.rg.hi()
		}
		pull := st.pull
		if st.driven > 0 { // through the pin's own resistance, the more of it the less it holds
			pull = float64(m.env.Pin.ROutMax)
		}
		if hold := parallel(pulldown, pull); boot > 0 {
			// While the rail rises the gates' own charge flows through what holds them.
			lift = m.bootLift(float64(m.side.parts()) * hold)
		}
		calm = max(calm, v)
		if v+lift >= worst {
			worst, atBoot, c.Because = v+lift, lift > 0, st.name
		}
	}
	if atBoot {
		// How fast the rail rises is assumed; the slowest rise lifts nothing.
		c.Because, c.EasyStress = risesWhile[c.Because], design.Known(calm)
	}
	hot := m.underThreshold(c, worst)
	c.Formula = "{V_pin_max} x {R_pulldown}/({R_pulldown} + {R_reset_pull}), or leakage x {R_pulldown}, and {I_boot} x ({R_pulldown} + {R_gate}) while the rail rises: {stress}; threshold at {T_j} at least {rating}"
	c.SetArgs(design.Arg{Name: "I_boot", V: boot, Unit: design.A}, design.Arg{Name: "R_gate", V: m.gateSeries(), Unit: design.Ohm},
		design.Arg{Name: "V_pin_max", V: float64(m.env.Pin.SupplyMax), Unit: design.V},
		across("R_pulldown", m.rpdHi()),
		design.Arg{Name: "R_reset_pull", V: float64(m.env.Pin.ResetPullMin), Unit: design.Ohm},
		design.Arg{Name: "T_j", V: hot, Unit: design.DegC})
	c.SetCorner(design.CornerValue{Name: "pin_supply", V: float64(m.env.Pin.SupplyMax)}, design.CornerValue{Name: "ambient", V: m.l.TMax})
	judge(c)
	m.value(design.VControlReset, worst, design.V)
}

// leastPull is the smallest pull-down, ohm, that is taken for the sake of a rising rail:
// the highest output resistance of a usual pin takes 4 % of the drive with it (common
// practice, no source).
const leastPull = 1e3

// railRise is how long a load's rail takes to rise, s, and coupledEarly and earlySwing
// what part of the gate-drain charge comes in what part of that: the capacitance is
// greatest where the drain is not far above the gate (common practice, no source).
const (
	railRise     = 1e-3
	coupledEarly = 0.5
	earlySwing   = 0.1
)

// risesWhile tells an off state while the load's rail rises.
var risesWhile = map[string]string{
	"reset, floating":  "the rail rises, in 1 ms as assumed, while the pin floats at reset",
	"reset, pulled up": "the rail rises, in 1 ms as assumed, while the pin is pulled up at reset",
	"reset, high":      "the rail rises, in 1 ms as assumed, while the pin is high at reset",
	"no pin supply":    "the rail rises, in 1 ms as assumed, while the pin has no supply",
}

// couples reports whether it is known what the drain couples into the gate.
func (m *mosfetStage) couples() bool {
	return m.p.QGDMax.Known() || m.p.QGMax != nil && m.p.QGMax.Q.Known()
}

// bootCurrent is what flows out of a gate while the load's rail rises, A, by its
// gate-drain charge, or the whole charge; 0 where neither is stated (couples). The gate's
// own capacitance to ground, which would take some of it, has no guaranteed least.
func (m *mosfetStage) bootCurrent() float64 {
	q := float64(m.p.QGDMax.Or(0))
	if g := m.p.QGMax; q == 0 && g != nil { // no part of the charge is more than the whole
		q = float64(g.Q.Or(0))
	}
	if m.l.Inductive {
		// A winding rings with that capacitance: a rail that rises in a straight line makes
		// the drain rise up to twice as fast, v' = slope*(1 - cos(w*t)).
		q *= 2
	}
	return coupledEarly * q / (earlySwing * railRise)
}

// bootLift is how far the rising rail lifts a gate that hold ohms hold, V.
func (m *mosfetStage) bootLift(hold float64) float64 {
	const t = earlySwing * railRise
	return min(m.l.VMax, waveform.Coupled(m.bootCurrent()*t, t, m.gateSeries()+hold, 0))
}

// gateSeries is the resistance of a gate to its pull-down, ohm at most.
func (m *mosfetStage) gateSeries() float64 {
	inside, _ := device.GateResistance(m.p)
	return inside + m.rg.hi()
}

// underThreshold makes a stays-off check of the highest gate voltage while off, V,
// against the least threshold at the hottest steady junction, which it returns,
// degrees Celsius.
func (m *mosfetStage) underThreshold(c *design.Check, worst float64) (hot float64) {
	hot, known := m.everHot()
	vth, _, slopeBracket := device.Threshold(m.p, hot)
	c.Stress, c.Rating, c.Fallback = design.Known(worst), vth, slopeBracket
	if slopeBracket {
		c.Needs("v_gs_th_slope_max")
	}
	if !vth.OK {
		c.Needs("v_gs_th.min")
	}
	if !m.couples() {
		// How far a rising rail lifts the gate is not known; it is no less than all else does.
		c.Stress, c.StressEstimate, c.EasyStress = design.Number{}, c.Stress, c.Stress
		c.Needs("q_gd_max")
	}
	if !known && vth.OK && !design.AtMost(worst, vth.V) {
		// The bound at the greatest junction is no figure: what the junction really
		// does is not known.
		c.Rating = design.Number{}
		c.RatingEstimate, _, _ = device.Threshold(m.p, m.l.TMax)
		c.Needs(m.heatLacks())
	}
	return hot
}

// heatLacks is the figure for want of which nobody knows how hot the junction gets.
func (m *mosfetStage) heatLacks() string {
	if m.t.lacks {
		return "q_gd_max"
	}
	return "r_ds_on at this drive"
}

// pinGateDrive is the gate-drive check of a gate on the pin.
func (m *mosfetStage) pinGateDrive() {
	m.gateDrive("{V_pin_min} x {R_pulldown}/({R_pulldown} + {R_out}) = {rating}; on-resistance is stated from {stress}",
		design.CornerValue{Name: "pin_supply", V: float64(m.env.Pin.SupplyMin)},
		design.Arg{Name: "V_pin_min", V: float64(m.env.Pin.SupplyMin), Unit: design.V},
		across("R_pulldown", m.rpdLo()),
		design.Arg{Name: "R_out", V: float64(m.env.Pin.ROutMax), Unit: design.Ohm})
}

// gateDrive: is the drive enough? It fits where an on-resistance maximum is stated
// at or under the drive the gate really gets, for a current that the part carries
// there.
func (m *mosfetStage) gateDrive(formula string, supply design.CornerValue, args ...design.Arg) {
	c := m.check(design.GateDrive, design.V)
	c.Rating = design.Known(m.vDrive)
	peak := m.side.peak(m.l)
	switch {
	case m.point != nil:
		c.Stress = design.Known(lowestServing(m.p, m.vDrive, peak))
	default:
		c.Stress, c.StressEstimate = unservedGate(m.p, m.vDrive, peak, m.l.TMin)
		c.Needs("r_ds_on at this drive")
		if m.l.PeakAssumed {
			if _, _, pt := device.OnResistance(m.p, m.vDrive, m.l.IMax*m.side.most()); pt != nil {
				c.EasyStress = design.Known(float64(pt.VGS.Value()))
				c.Needs(m.l.InrushField())
			}
		}
		c.Because = "no on-resistance is guaranteed at this drive and current; the threshold is where it barely conducts"
	}
	if !m.l.PeakKnown {
		c.Stress, c.StressEstimate = design.Number{}, design.Number{}
		c.Needs(m.l.InrushField())
	}
	c.Formula = formula
	c.SetArgs(args...)
	c.SetCorner(supply, design.CornerValue{Name: "ambient", V: m.l.TMin})
	judge(c)
	m.value(design.VGateDrive, m.vDrive, design.V)
}

// unsureDrive makes the rating of a gate-drive check an estimate: what the gate gets
// rests on what nobody states.
func (m *mosfetStage) unsureDrive(c *design.Check, why, missing string) {
	c.RatingEstimate, c.Rating = c.Rating, design.Number{}
	if need := lowestServing(m.p, m.vDrive, m.side.peak(m.l)); !math.IsInf(need, 1) {
		c.Stress, c.StressEstimate = design.Known(need), design.Number{}
	}
	c.Because = why
	c.Needs(missing)
}

// unservedGate is what a part needs whose on-resistance is not stated at drive v: the
// lowest stated gate voltage that would serve, and by estimate the one at which the
// square law at the coldest threshold carries i.
func unservedGate(p *catalog.MOSFET, v, i, cold float64) (stress, estimate design.Number) {
	stress = design.Known(lowestAbove(p, v, i))
	_, vth, _ := device.Threshold(p, cold)
	if vth.OK {
		estimate = device.DriveFor(p, i, vth.V)
		if !estimate.OK { // under the threshold nothing flows
			estimate = vth
		}
	}
	return stress, estimate
}

// GateDemand is what the gate-drive check asks of a part that carries i amperes, with
// v volts at its gate and its junction at cold degrees Celsius at the least.
func GateDemand(p *catalog.MOSFET, v, i, cold float64) (stress, estimate design.Number) {
	if _, _, pt := device.OnResistance(p, v, i); pt != nil {
		return design.Known(lowestServing(p, v, i)), design.Number{}
	}
	return unservedGate(p, v, i, cold)
}

// lowestServing is the lowest stated gate voltage whose figure serves at drive v.
func lowestServing(p *catalog.MOSFET, v, i float64) float64 {
	low := math.Inf(1)
	for k := range p.RDSOn {
		pt := &p.RDSOn[k]
		g := float64(pt.VGS.Or(0))
		if pt.Max.Known() && g <= v*(1+1e-12) && g < low && device.Carries(p, pt, v, i) {
			low = g
		}
	}
	return low
}

// lowestAbove is the lowest stated gate voltage that would serve, were the
// drive there: above v where none at v does.
func lowestAbove(p *catalog.MOSFET, v, i float64) float64 {
	low := math.Inf(1)
	top := 0.0
	for k := range p.RDSOn {
		pt := &p.RDSOn[k]
		if !pt.Max.Known() {
			continue
		}
		g := float64(pt.VGS.Or(0))
		top = max(top, g)
		if device.Carries(p, pt, g, i) && g < low && g > v {
			low = g
		}
	}
	if math.IsInf(low, 1) {
		// No stated point carries this current: the square law says what would.
		if x := device.DriveFor(p, 2*i, float64(thresholdMax(p))); x.OK {
			low = max(x.V, math.Nextafter(v, math.Inf(1)))
		} else {
			low = max(top, v*1.5)
		}
	}
	return low
}

func thresholdMax(p *catalog.MOSFET) float64 {
	if p.VGSTh == nil {
		return 0
	}
	return float64(p.VGSTh.Max.Or(0))
}

// gateVoltage judges the highest voltage on the gate.
func (m *mosfetStage) gateVoltage(formula string, supply design.CornerValue) {
	c := m.check(design.GateVoltage, design.V)
	c.K, c.Stress, c.Rating = m.pol.VGate, design.Known(m.vGateMax), known(m.p.VGSMax)
	if !c.Rating.OK {
		c.Needs("v_gs_max")
	}
	c.Formula = formula
	if v := valueIn(m.d, design.VControlReset); v.OK && v.V > m.vGateMax { // nothing holds it down
		c.Stress, c.EasyStress = v, design.Known(m.vGateMax)
		c.Formula = "the gate is lifted to {stress} where nothing holds it down, it bears {rating}"
		c.Because = "stays-off tells what lifts it"
	}
	c.SetCorner(supply)
	judge(c)
}

func (m *mosfetStage) onCurrent() {
	c := m.check(design.OnCurrent, design.A)
	c.K, c.Stress, c.Rating = m.pol.I, design.Known(m.l.IMax*m.side.most()), known(m.p.IDCase25)
	c.Because = "the headline current holds at a cold case; the junction check is the real limit"
	if a, ok := m.p.IDAmbient25.Get(); ok && m.t.sink == nil {
		tj := float64(m.p.TjMax.Or(0))
		bare := float64(a) * math.Sqrt(max(0, (tj-m.l.TMax)/(tj-device.Room)))
		switch {
		case tj <= device.Room: // what is left of it in hotter air is not known
			c.Rating = design.Number{}
			c.Needs("t_j_max")
		case !c.Rating.OK || bare < c.Rating.V:
			c.Rating, c.Because = design.Known(bare), "without a heat sink, at the hottest air"
		}
	}
	if !c.Rating.OK {
		c.Needs("i_d_case25_max")
	}
	c.Formula = "load current {stress} at the highest rail and least resistance; {rating} is stated"
	if m.side.parts() > 1 {
		c.Formula = "{I_load}/(1 + {spread} x ({n} - 1)) = {stress} in the part of least resistance; {rating} is stated"
		c.SetArgs(design.Arg{Name: "I_load", V: m.l.IMax, Unit: design.A}, design.Arg{Name: "spread", V: leastShare, Unit: design.One}, m.side.arg())
	}
	c.SetCorner(design.CornerValue{Name: "rail", V: m.l.VMax}, design.CornerValue{Name: "ambient", V: m.l.TMin}, design.CornerValue{Name: "load.r", V: m.l.RMin})
	judge(c)
	m.value(design.IOn, m.l.IMax, design.A)
}

func (m *mosfetStage) crossings() {
	l := m.l
	var buf [edgeRoom]crossing
	off, released := m.longestOff()
	m.letGo = released
	ev := m.windingEdges(buf[:0], m.tOn, off)
	if l.HasInrush {
		ev = append(ev, crossing{l.VMax, l.PeakCurrent(), m.tOn, "turning on into the inrush"})
		if m.ron.OK {
			carried := m.side.peak(l)
			ev = append(ev, crossing{carried * m.ron.V * (1 + m.alpha*(float64(m.p.TjMax.Or(150))-device.Room)), carried, pulseLength(l.Pulse), carrying})
		}
	}
	a := m.areaOf(m.p.SOA, &m.p.Heat, m.t, false)
	a.open = l.Inductive && !m.clamped
	a.estimated(&m.est, &m.p.Heat)
	ev = m.alongLine(ev, m.tOn, off)
	if m.plugs {
		a.reversed, a.tEst = true, a.tHot
		a.tHot, a.bear = a.tjMax, 0
	}
	at := len(m.d.Checks)
	m.safeArea(a, ev)
	if !a.reversed && m.jammed != nil && len(m.d.Checks) > at && m.d.Checks[at].Verdict > design.Tight {
		if a.tEst, a.reversed = m.jamHot(); a.reversed {
			m.d.Checks = m.d.Checks[:at]
			m.safeArea(a, ev)
		}
	}
}

func (m *mosfetStage) pwm() {
	hot, _ := m.t.hottest(&m.p.Heat)
	m.heatEnds(hot)
	on, off := m.late.whole(m.tOn, m.tOff)
	m.pwmCheck(on, off, &m.t, "q_gd_max", "r_ds_on at this drive", m.l.Mode == "pwm" && m.endless(hot))
}

// endless reports whether an edge has no end by the figures that bound it.
func (m *mosfetStage) endless(hot float64) bool {
	if vth, _, _ := device.Threshold(m.p, hot); vth.OK && vth.V <= m.src.low {
		return true
	}
	return device.Endless(m.p, m.vDrive, m.l.PeakCurrent(), hot, m.l.TMin)
}

func (m *mosfetStage) leakage() {
	hot, _ := m.t.hottest(&m.p.Heat)
	m.leakageCheck(withBelow(m.drainLeak(), heldAt(m.d),
		func(v float64) float64 { return device.ChannelBelow(m.p, v, hot) * float64(m.side.parts()) }), "i_dss_max")
}

// offCurrent is what the load tolerates while off, A; a check that rests on it
// is told what to state.
func (s *stage) offCurrent(c *design.Check) design.Number {
	if !s.l.OffCurrent.Known {
		c.Needs("load.off_current_max")
		return design.Number{}
	}
	return design.Known(float64(s.l.OffCurrent.Value))
}

// leakageCheck judges what flows through the load while the stage is off.
func (s *stage) leakageCheck(i design.Number, figure string) {
	if !s.l.OffCurrent.Known && s.l.Kind == job.Capacitive {
		s.na(design.Leakage, "a capacitor has no off current to keep under")
		return
	}
	c := s.check(design.Leakage, design.A)
	c.Stress = i
	if !i.OK {
		c.Needs(figure)
	}
	c.Rating = s.offCurrent(c)
	if s.l.OffCurrent.Assumed {
		c.EasyRating = design.Known(float64(s.l.OffCurrent.Easy))
		c.Needs(s.l.OffCurrent.Field)
	}
	c.Formula = "leakage {stress}, the load tolerates {rating}"
	c.SetCorner(design.CornerValue{Name: "rail", V: s.l.VMax}, design.CornerValue{Name: "ambient", V: s.l.TMax})
	judge(c)
	s.valueOf(design.IOff, i, design.A)
}

// hotFactor is what the parts together make of the on-resistance of one at 25 C, junction
// hot.
func (m *mosfetStage) hotFactor() float64 {
	hot, _ := m.t.hottest(&m.p.Heat)
	return (1 + m.alpha*max(0, hot-device.Room)) / float64(m.side.parts())
}

// ownHeat is the share of the on-resistance, junction hot, that the part's own steady heat
// adds; none where it is as hot as it may get already, which is all that counts.
func (m *mosfetStage) ownHeat() float64 {
	hot, _ := m.t.hottest(&m.p.Heat)
	if hot >= float64(m.p.TjMax.Or(150)) {
		return 0
	}
	return m.alpha * max(0, hot-max(m.l.TMax, device.Room)) / (1 + m.alpha*max(0, hot-device.Room))
}

// drops tells the on voltage at the lowest rail and the on-resistance, junction hot, where
// they are known.
func (m *mosfetStage) drops() {
	if m.ron.OK {
		m.value(design.VOn, m.l.ILow*m.ron.V*m.hotFactor(), design.V)
		m.value(design.ROn, m.ron.V*m.hotFactor(), design.Ohm)
	}
}

// drop is the on voltage at the lowest rail, junction hot.
func (m *mosfetStage) drop() {
	f := m.hotFactor()
	var drop, est design.Number
	if m.ron.OK {
		drop = design.Known(m.l.ILow * m.ron.V * f)
	} else if m.ronEst.OK {
		est = design.Known(m.l.ILow * m.ronEst.V * f)
	} else if vth := thresholdMax(m.p); vth > 0 && m.vDrive <= vth && lowestServing(m.p, math.Inf(1), 0) < math.Inf(1) {
		est = design.Known(m.l.VMin) // a part of the greatest threshold does not conduct at all
	}
	m.loadVoltage(drop, est)
	if m.ron.OK {
		m.drops()
		m.value(design.POn, m.l.IHot*m.l.IHot*m.ron.V*f, design.W)
		m.valueOf(design.EnergyInrush, m.inrushEnergy(m.hottestOn(m.ron.V), 0), design.J)
		m.valueOf(design.PSwitching, m.pSw, design.W)
		if m.pSw.OK && m.t.steady.OK {
			_, length := m.slowEdge()
			slow, again := m.slowEdges(m.pSw, length > 0), m.inrushEdges(m.tOn, m.tOff, m.byCurrent(m.pSw), known(m.p.VDSMax))
			m.value(design.PTotal, m.l.IHot*m.l.IHot*m.ron.V*f+m.pSw.V+max(slow, again)+m.inrushAverage(m.hottestOn(m.ron.V), 0), design.W)
		}
	}
}

func (m *mosfetStage) resistors() {
	vmax := m.vGateMax
	f := max(m.l.Frequency, m.l.OpsPerSecond)
	// All of the gate's charge energy, both edges, at the highest drive.
	power := design.Known(device.GateLoss(m.gateCharge(), vmax, f))
	if m.p.QGMax == nil && m.l.Mode == "pwm" {
		power = design.Number{}
	}
	m.loadOf("gate resistor", "charge x voltage x rate", m.rg, power, vmax, "q_g_max")
	if !m.rpd.absent {
		m.load("pull-down", "V^2/R", m.rpd, vmax*vmax/m.rpd.lo(), vmax)
	}
	m.seriesLED(nodeRail)
}

// seriesLED judges the resistor of a bare LED, which stands between the node that
// feeds it and the LED.
func (s *stage) seriesLED(feed string) {
	l := s.l
	if !l.RSeries.OK {
		return
	}
	r := resistor{nom: l.RSeries.V, tol: l.RSeriesTol}
	i := l.IMax
	key, chosen := design.ValueKey(""), s.env.Resistors
	if s.given.RSeries.Said { // as stated: its body is not known
		key, chosen = design.RSeries, nil
	}
	for _, series := range chosen {
		c := design.Check{K: s.pol.PResistor, Stress: design.Known(i * i * r.hi()), Rating: resistorPower(series, l.TMax)}
		judge(&c)
		if inRange(series, r.nom) && float64(series.Tolerance.Or(1)) <= l.RSeriesTol && (r.series == nil || c.Verdict == design.Fits) {
			r.series = series
			if c.Verdict == design.Fits {
				break
			}
		}
	}
	s.load("LED resistor", "I^2 R", r, i*i*r.hi(), i*r.hi())
	s.value(design.RSeries, r.nom, design.Ohm)
	s.resistorElement("R9", key, design.RoleSeriesResistor, r, feed, "led")
}

func (m *mosfetStage) values() {
	m.value(design.RGate, m.rg.nom, design.Ohm)
	if !m.rpd.absent {
		m.value(design.RPulldown, m.rpd.nom, design.Ohm)
	}
	m.edgeValues()
}

// edgeValues tells how long it takes to switch.
func (m *mosfetStage) edgeValues() {
	on, off := m.late.whole(m.tOn, m.tOff)
	m.valueOf(design.TOn, on, design.S)
	m.valueOf(design.TOff, off, design.S)
	m.edgeEnergies()
}

func (m *mosfetStage) draw() {
	m.resistorElement("R1", design.RGate, design.RoleDriveResistor, m.rg, nodePin, nodeControl)
	m.resistorElement("R2", design.RPulldown, design.RolePullDown, m.rpd, nodePin, nodeGround)
	m.drawPower()
}

// drawPower draws switch, load and clamp.
func (m *mosfetStage) drawPower() {
	m.element("Q1", design.RoleSwitch, "mosfet", m.p.ID, nodeControl, nodeSwitch, nodeGround)
	m.loadElements()
	m.clampElements(m.clamp, nodeSwitch, nodeRail, nodeGround)
}

// loadElements draws pin, rail and load of a low-side stage.
func (s *stage) loadElements() {
	if s.env.Brief {
		return
	}
	s.d.Elements = append(s.d.Elements,
		design.Element{Ref: "PIN", Role: design.RolePin, Kind: "pin", Value: float64(s.env.Pin.SupplyNom), Unit: design.V, HasValue: true, Nodes: []string{nodePin, nodeGround}},
		design.Element{Ref: "V1", Role: design.RoleRail, Kind: "rail", Value: s.l.VNom, Unit: design.V, HasValue: true, Nodes: []string{nodeRail, nodeGround}},
	)
	from := nodeRail
	if s.l.RSeries.OK {
		from = "led"
	}
	s.d.Elements = append(s.d.Elements,
		design.Element{Ref: "LOAD", Role: design.RoleLoad, Kind: string(s.l.Kind), Value: s.l.INom, Unit: design.A, HasValue: true, Nodes: []string{from, nodeSwitch}})
}
