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
		design.Leakage, design.LoadVoltage, design.ResistorPower, design.ResistorVoltage, design.RailCurrent,
	}
	if l.Kind == job.Coil {
		ids[7] = design.CoilPickup
	}
	if l.HasInrush || l.Inductive {
		ids = append(ids, design.PeakCurrent, design.SafeArea)
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
	return ids
}

// Takes lists the elements of a stage as built that are worked out.
func (nMOSFETLow) Takes(l *load.Model) []string {
	return takes(l, "r_gate", "r_pulldown", "heat_sink", "insulator")
}

func (nMOSFETLow) Serves(env *Env, l *load.Model, sw catalog.Part) string {
	m, ok := sw.(*catalog.MOSFET)
	if !ok || m.Channel != "n" {
		return WrongPart
	}
	if why := serveLowSide(l); why != "" {
		return why
	}
	return needsSource(&env.Pin)
}

// mosfetStage is one MOSFET stage while it is worked out.
type mosfetStage struct {
	stage
	p          *catalog.MOSFET
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
}

func (t nMOSFETLow) Design(env *Env, l *load.Model, sw catalog.Part, given *Given, d *design.Design) {
	m := mosfetStage{stage: begin(env, l, given, d, t.ID(), sw.Base()), p: sw.(*catalog.MOSFET)}
	m.buy("Q1", sw)
	m.alpha, m.hotBracket = device.HotSlope(m.p)
	vds, _ := m.p.VDSMax.Get()
	m.clamp = m.suppress(known(m.p.VDSMax), env.Policy.V, nil)
	m.choose()
	m.reclamp()
	m.checks(float64(vds))
	m.draw()
	m.finish(t.Owes(l))
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

// reclamp chooses the clamp again, now that the junction is known and with it
// what the safe area makes of each peak.
func (m *mosfetStage) reclamp() {
	if m.clamp == nil || m.given.Clamp.Said {
		return
	}
	a := m.areaOf(m.p.SOA, &m.p.Heat, m.t, false)
	before := m.clamp
	m.clamp = m.suppress(known(m.p.VDSMax), m.pol.V, func(o *clamp.Option) design.Verdict {
		return m.offCrossing(&a, o, m.tOff)
	})
	if m.clamp != before && m.l.Mode == "pwm" {
		m.choose()
	}
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
		most = m.bleedFor(vth.V, 0, m.gateLeak())
	}
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

// gateResistor: supply/(Rout + Rg || Rpd) within the peak limits of the pin,
// both with their tolerances.
func (m *mosfetStage) gateResistor() {
	pin := m.env.Pin
	limit := math.Min(float64(pin.PeakMax), float64(pin.SinkPeakMax))
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
	pin := m.env.Pin
	m.vDrive = float64(pin.SupplyMin)
	if !m.rpd.absent {
		m.vDrive *= m.rpd.lo() / (m.rpd.lo() + float64(pin.ROutMax))
	}
	// What the gate leaks flows through its resistor.
	m.vDrive = math.Max(0, m.vDrive-m.gateLeak()*m.rg.hi())
	m.vGateMax = float64(pin.SupplyMax)
	peak := m.l.PeakCurrent()
	m.ron, m.ronEst, m.point = device.OnResistance(m.p, m.vDrive, peak)
	m.t, m.est = temperatures{}, temperatures{}
	if ron := firstOf(m.ron, m.ronEst); ron > 0 {
		t := m.junctionHeat(&m.p.Common, &m.p.Heat, func(hot float64) (heat, bool) {
			m.edges(hot)
			return m.heat(ron, m.pSw), m.pSw.OK
		})
		if m.ron.OK {
			m.t = t
		} else {
			m.est = t
		}
	}
	hot, _ := m.t.hottest(&m.p.Heat)
	m.edges(hot)
}

// edges at a junction of hot degrees Celsius, and the switching loss they make.
func (m *mosfetStage) edges(hot float64) {
	rint, _ := device.GateResistance(m.p)
	r := m.rg.hi() + float64(m.env.Pin.ROutMax) + rint
	m.tOn, m.tOff = device.Edges(m.p, m.vDrive, r, m.l.PeakCurrent(), hot, m.l.TMin)
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

// switching is the average loss of the edges at f, W: half of voltage times
// current over both edges (the triangle rule, 7 to 16 % above a square-law
// part's own edges), the output capacitance, the gate and the recovery of the
// freewheel diode.
func (m *mosfetStage) switching(f float64) design.Number {
	v := firstOf(m.vPeak, design.Known(m.l.VMax))
	p := 0.5 * v * m.l.IMax * (m.tOn.V + m.tOff.V) * f
	if c, ok := m.p.COSSMax.Get(); ok {
		p += 0.5 * float64(c) * v * v * f
	} else if f >= 20e3 && v >= 60 {
		return design.Number{}
	}
	if g := m.p.QGMax; g != nil {
		p += float64(g.Q.Or(0)) * m.vGateMax * f
	}
	if m.clamp != nil && m.l.Mode == "pwm" {
		if !m.clamp.Recovery.OK {
			return design.Number{}
		}
		p += v * m.l.IMax * m.clamp.Recovery.V * f
	}
	return design.Known(p)
}

func (m *mosfetStage) heat(ron float64, pSw design.Number) heat {
	h := heat{cond: conduction{r: ron, alpha: m.alpha}, duty: m.l.DutyHeat, i: m.l.IHot, pulse: m.l.PulseHot}
	if m.l.Mode != "pwm" {
		h.duty = 1
	}
	h.sw = m.chopping(pSw)
	h.edgeP, h.edgeT = m.slowEdge()
	h.extra = pSw.V + m.inrushAverage(ron*(1+m.alpha*math.Max(0, float64(m.p.TjMax.Or(150))-25)), 0)
	return h
}

// chopping is the switching loss per ampere of load current under pwm, V: what
// is lost in an edge rises with the current, so a stall or an inrush that is
// chopped loses more than the steady current does.
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
	t = math.Max(m.tOn.V, m.tOff.V)
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
	rate := math.Max(l.OpsPerSecond, l.Frequency)
	if l.Kind == job.Motor && l.Mode == "pwm" {
		rate = motorStarts
	}
	p := l.PulseHot
	if p.Shape == load.Rectangle || p.Shape == load.Decay {
		over := math.Max(0, p.Peak-p.Steady)
		return math.Min(rate*(r*p.I2t+v*over*p.T), r*p.Peak*p.Peak+v*over)
	}
	return 0
}

func known[Q q.Quantity](o q.Opt[Q]) design.Number {
	if v, ok := o.Get(); ok {
		return design.Known(float64(v))
	}
	return design.Number{}
}

func (m *mosfetStage) checks(vds float64) {
	m.pinChecks()
	m.staysOff()
	m.gateDrive()
	m.gateVoltage()
	m.clampChecks(m.clamp)
	m.blockingCheck(m.clamp, known(m.p.VDSMax), m.pol.V, "v_ds_max")
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
		if !m.pSw.OK || !m.tOff.OK && m.rg.hi() > slowGate {
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
	m.noFuse()
	m.resistors()
	m.values()
}

func (m *mosfetStage) pinChecks() {
	pin := m.env.Pin
	vmax := float64(pin.SupplyMax)
	steady := 0.0
	if !m.rpd.absent {
		steady = vmax / (float64(pin.ROutMin) + m.rpd.lo())
	}
	peak := vmax / (float64(pin.ROutMin) + parallel(m.rg.lo(), m.rpdLo()))
	m.pinCurrent(steady, peak, peak, "{V_pin_max}/({R_out} + {R_gate} || {R_pulldown}) = {stress}",
		design.Arg{Name: "V_pin_max", V: vmax, Unit: design.V}, design.Arg{Name: "R_out", V: float64(pin.ROutMin), Unit: design.Ohm},
		design.Arg{Name: "R_gate", V: m.rg.lo(), Unit: design.Ohm}, design.Arg{Name: "R_pulldown", V: finiteOr(m.rpdLo(), 0), Unit: design.Ohm})
	m.pinVoltageLow(design.Known(math.Min(m.gateLeak()*finiteOr(m.rpd.hi(), 1/m.gateLeak()), vmax)), "i_gss_max")
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
	hot, known := m.t.hottest(&m.p.Heat)
	vth, _, slopeBracket := device.Threshold(m.p, hot)
	c.Rating, c.Fallback = vth, slopeBracket
	if slopeBracket {
		c.Needs("v_gs_th_slope_max")
	}
	if !vth.OK {
		c.Needs("v_gs_th.min")
	}
	worst := 0.0
	for _, st := range m.offStates() {
		v := st.driven
		if v == 0 {
			extra := 0.0
			if math.IsInf(st.pull, 1) {
				extra = m.gateLeak()
			}
			v = m.control(st, 0, m.rpdHi(), extra) + m.gateLeak()*m.rg.hi()
		}
		if v >= worst {
			worst, c.Because = v, st.name
		}
	}
	c.Stress = design.Known(worst)
	if !known && vth.OK && !design.AtMost(worst, vth.V) {
		// The bound at the greatest junction is no figure: what the junction really
		// does is not known.
		c.Rating = design.Number{}
		c.RatingEstimate, _, _ = device.Threshold(m.p, m.l.TMax)
		c.Needs("r_ds_on at this drive")
	}
	c.Formula = "{V_pin_max} x {R_pulldown}/({R_pulldown} + {R_reset_pull}), or leakage x {R_pulldown}: {stress}; threshold at {T_j} at least {rating}"
	c.SetArgs(design.Arg{Name: "V_pin_max", V: float64(m.env.Pin.SupplyMax), Unit: design.V},
		design.Arg{Name: "R_pulldown", V: finiteOr(m.rpdHi(), 0), Unit: design.Ohm},
		design.Arg{Name: "R_reset_pull", V: float64(m.env.Pin.ResetPullMin), Unit: design.Ohm},
		design.Arg{Name: "T_j", V: hot, Unit: design.DegC})
	c.SetCorner(design.CornerValue{Name: "pin_supply", V: float64(m.env.Pin.SupplyMax)}, design.CornerValue{Name: "ambient", V: m.l.TMax})
	judge(c)
	m.value(design.VControlReset, worst, design.V)
}

// gateDrive: is logic-level drive enough? It fits where an on-resistance
// maximum is stated at or under the drive the pin really gives, for a current
// that the part carries there.
func (m *mosfetStage) gateDrive() {
	c := m.check(design.GateDrive, design.V)
	c.Rating = design.Known(m.vDrive)
	peak := m.l.PeakCurrent()
	switch {
	case m.point != nil:
		c.Stress = design.Known(lowestServing(m.p, m.vDrive, peak))
	default:
		c.Stress = design.Known(lowestAbove(m.p, m.vDrive, peak))
		c.Needs("r_ds_on at this drive")
		_, vth, _ := device.Threshold(m.p, m.l.TMin)
		if vth.OK {
			c.StressEstimate = device.DriveFor(m.p, peak, vth.V)
			if !c.StressEstimate.OK { // under the threshold nothing flows
				c.StressEstimate = vth
			}
		}
		if m.l.PeakAssumed {
			if _, _, pt := device.OnResistance(m.p, m.vDrive, m.l.IMax); pt != nil {
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
	c.Formula = "{V_pin_min} x {R_pulldown}/({R_pulldown} + {R_out}) = {rating}; on-resistance is stated from {stress}"
	c.SetArgs(design.Arg{Name: "V_pin_min", V: float64(m.env.Pin.SupplyMin), Unit: design.V},
		design.Arg{Name: "R_pulldown", V: finiteOr(m.rpdLo(), 0), Unit: design.Ohm},
		design.Arg{Name: "R_out", V: float64(m.env.Pin.ROutMax), Unit: design.Ohm})
	c.SetCorner(design.CornerValue{Name: "pin_supply", V: float64(m.env.Pin.SupplyMin)}, design.CornerValue{Name: "ambient", V: m.l.TMin})
	judge(c)
	m.value(design.VGateDrive, m.vDrive, design.V)
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
		top = math.Max(top, g)
		if device.Carries(p, pt, g, i) && g < low && g > v {
			low = g
		}
	}
	if math.IsInf(low, 1) {
		// No stated point carries this current: the square law says what would.
		if x := device.DriveFor(p, 2*i, float64(thresholdMax(p))); x.OK {
			low = math.Max(x.V, math.Nextafter(v, math.Inf(1)))
		} else {
			low = math.Max(top, v*1.5)
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

func (m *mosfetStage) gateVoltage() {
	c := m.check(design.GateVoltage, design.V)
	c.K, c.Stress, c.Rating = m.pol.VGate, design.Known(m.vGateMax), known(m.p.VGSMax)
	if !c.Rating.OK {
		c.Needs("v_gs_max")
	}
	c.Formula = "highest pin supply {stress}, the gate bears {rating}"
	c.SetCorner(design.CornerValue{Name: "pin_supply", V: m.vGateMax})
	judge(c)
}

func (m *mosfetStage) onCurrent() {
	c := m.check(design.OnCurrent, design.A)
	c.K, c.Stress, c.Rating = m.pol.I, design.Known(m.l.IMax), known(m.p.IDCase25)
	c.Because = "the headline current holds at a cold case; the junction check is the real limit"
	if a, ok := m.p.IDAmbient25.Get(); ok && m.t.sink == nil {
		tj := float64(m.p.TjMax.Or(0))
		bare := float64(a) * math.Sqrt(math.Max(0, (tj-m.l.TMax)/(tj-device.Room)))
		if !c.Rating.OK || bare < c.Rating.V {
			c.Rating, c.Because = design.Known(bare), "without a heat sink, at the hottest air"
		}
	}
	if !c.Rating.OK {
		c.Needs("i_d_case25_max")
	}
	c.Formula = "load current {stress} at the highest rail and least resistance; {rating} is stated"
	c.SetCorner(design.CornerValue{Name: "rail", V: m.l.VMax}, design.CornerValue{Name: "ambient", V: m.l.TMin}, design.CornerValue{Name: "load.r", V: m.l.RMin})
	judge(c)
	m.value(design.IOn, m.l.IMax, design.A)
}

func (m *mosfetStage) crossings() {
	l := m.l
	if !l.HasInrush && !l.Inductive {
		return
	}
	var buf [3]crossing
	ev := buf[:0]
	if l.Inductive && m.clamped {
		ev = append(ev, crossing{firstOf(m.vPeak, m.vPeakEst), l.PeakCurrent(), m.tOff, "turning the winding off into its clamp"})
	}
	if l.HasInrush {
		ev = append(ev, crossing{l.VMax, l.PeakCurrent(), m.tOn, "turning on into the inrush"})
		if m.ron.OK {
			ev = append(ev, crossing{l.PeakCurrent() * m.ron.V * (1 + m.alpha*(float64(m.p.TjMax.Or(150))-device.Room)), l.PeakCurrent(), pulseLength(l.Pulse), "carrying the inrush"})
		}
	}
	m.safeArea(m.areaOf(m.p.SOA, &m.p.Heat, m.t, false), ev)
}

// avalanche: with a clamp that keeps the drain under its rating it does not
// apply; without one nothing limits the voltage, unless the job grants
// avalanche events and the part guarantees them.
func (m *mosfetStage) avalanche() {
	if !m.l.Inductive {
		return
	}
	if !m.noClamp {
		m.na(design.Avalanche, "the clamp limits the voltage")
		return
	}
	c := m.check(design.Avalanche, design.J)
	c.K = m.pol.Energy
	c.NoSolution, c.Because = true, nothingLimits
	c.Formula = "no clamp and no avalanche events granted"
	judge(c)
}

func (m *mosfetStage) pwm() {
	if m.l.Mode != "pwm" {
		return
	}
	c := m.check(design.PWMFrequency, design.Hz)
	c.Stress = design.Known(m.l.Frequency)
	if m.tOn.OK && m.tOff.OK {
		c.Rating = design.Known(0.1 / (m.tOn.V + m.tOff.V))
		m.value(design.FPWMMax, c.Rating.V, design.Hz)
	} else {
		c.Needs("q_gd_max")
		if hot, _ := m.t.hottest(&m.p.Heat); device.Endless(m.p, m.vDrive, m.l.PeakCurrent(), hot, m.l.TMin) {
			c.Rating, c.Because = design.Known(0), "an edge has no end: the plateau is not under the drive, or the hot threshold not above zero"
		}
	}
	c.Formula = "0.1/({t_on} + {t_off}) = {rating}"
	c.SetArgs(design.Arg{Name: "t_on", V: m.tOn.V, Unit: design.S}, design.Arg{Name: "t_off", V: m.tOff.V, Unit: design.S})
	c.SetCorner(design.CornerValue{Name: "frequency", V: m.l.Frequency})
	judge(c)
}

func (m *mosfetStage) leakage() {
	i := device.DrainLeakage(m.p, m.l.VMax, m.l.TMax)
	m.leakageCheck(i, "i_dss_max")
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

// drop is the on voltage at the lowest rail, junction hot.
func (m *mosfetStage) drop() {
	hot, _ := m.t.hottest(&m.p.Heat)
	f := 1 + m.alpha*math.Max(0, hot-device.Room)
	var drop, est design.Number
	if m.ron.OK {
		drop = design.Known(m.l.ILow * m.ron.V * f)
	} else if m.ronEst.OK {
		est = design.Known(m.l.ILow * m.ronEst.V * f)
	}
	m.loadVoltage(drop, est)
	if m.ron.OK {
		m.value(design.VOn, drop.V, design.V)
		m.value(design.ROn, m.ron.V*f, design.Ohm)
		m.value(design.POn, m.l.IHot*m.l.IHot*m.ron.V*f, design.W)
		m.valueOf(design.PSwitching, m.pSw, design.W)
		if m.pSw.OK && m.t.steady.OK {
			m.value(design.PTotal, m.l.IHot*m.l.IHot*m.ron.V*f+m.pSw.V, design.W)
		}
	}
}

func (m *mosfetStage) resistors() {
	vmax := float64(m.env.Pin.SupplyMax)
	f := math.Max(m.l.Frequency, m.l.OpsPerSecond)
	q := 0.0
	if g := m.p.QGMax; g != nil {
		q = float64(g.Q.Or(0))
	}
	// All of the gate's charge energy, both edges, at the highest drive.
	m.load("gate resistor", "charge x voltage x rate", m.rg, q*vmax*f, vmax)
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
	m.valueOf(design.TOn, m.tOn, design.S)
	m.valueOf(design.TOff, m.tOff, design.S)
}

func (m *mosfetStage) draw() {
	m.resistorElement("R1", design.RGate, design.RoleDriveResistor, m.rg, nodePin, nodeControl)
	m.resistorElement("R2", design.RPulldown, design.RolePullDown, m.rpd, nodePin, nodeGround)
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
