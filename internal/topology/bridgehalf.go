package topology

import (
	"math"
	"slices"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/device"
	"example.org/pinhoist/internal/load"
)

// bridgeHalf is the high side of a bridge, the same for every low side of a load:
// a P-channel MOSFET with its pull-up, a capacitor that takes what the side below
// it injects, a gate clamp where the rail asks for one, and its level shifter. It is
// shared and never changed.
type bridgeHalf struct {
	d             *design.Design // of both pieces; the level shifter apart
	p             *catalog.MOSFET
	sh            *shifter
	small         *catalog.MOSFET // the level shifter's part, nil: it is none
	smallHot      float64         // degrees Celsius of its junction
	cap           *catalog.Capacitor
	vsd           design.Number
	vGate         float64       // the most between gate and source, V
	on, off       design.Number // s from its level shifter on
	ron           design.Number // hot, ohm
	drop, dropEst design.Number
	cooler        float64 // V less in a jam for ever, where drop is that of a reversal for ever
	leak          design.Number
	pSw           design.Number
	steady        bool
	lasts         bool // its body diode fails for want of an inductance

	rpu, rg        resistor
	rx, rxg        resistor // of the interlock: drain and gate
	least, longest resistor // of those that fill a drive's capacitor
	zener          *catalog.Zener
}

type halfKey struct {
	l     *load.Model
	given *Given
	part  string
	brief bool
	sky   *catalog.Diode
	sink  *catalog.HeatSink // the first of sinks
	sinks int
}

// bridgeHalves are the high sides for a load, or the one that is stated, the best
// first; none where nothing can be one. Where sinks are given each is on the first that
// fits it, or left out.
func (e *Env) bridgeHalves(l *load.Model, given *Given, sky *schottky, sinks ...*catalog.HeatSink) (list []*bridgeHalf) {
	g, part := given.Half, given.HalfPart
	if given.Stated && g == nil {
		part = given.DriverPart
		if given.RPullup.Said || given.Shifter.Said || given.GateClamp.Said || given.HeatSink.Said || given.Insulator.Said {
			g = &Given{RPullup: given.RPullup, Shifter: given.Shifter, GateClamp: given.GateClamp, HeatSink: given.HeatSink, Insulator: given.Insulator}
		}
	}
	key := halfKey{l, g, part, e.Brief, nil, nil, len(sinks)}
	if len(sinks) > 0 {
		key.sink = sinks[0]
	}
	if sky != nil {
		key.sky = sky.d
	}
	if e.shifters != nil {
		if h, ok := e.shifters.get(key); ok {
			return h.([]*bridgeHalf)
		}
	}
	if g == nil {
		g = &Given{}
	}
	for _, p := range e.uppers {
		m, ok := p.(*catalog.MOSFET)
		if !ok || part != "" && m.ID != part {
			continue
		}
		on := g
		if len(sinks) > 0 {
			i := slices.IndexFunc(sinks, func(s *catalog.HeatSink) bool { return slices.Contains(s.Fits, m.Package) })
			if i < 0 {
				continue
			}
			on = g.onSink(sinks[i])
		}
		h := e.makeHalf(l, m, on, sky)
		if h == nil {
			continue
		}
		list = append(list, h)
	}
	slices.SortStableFunc(list, func(a, b *bridgeHalf) int {
		switch {
		case a.before(b):
			return -1
		case b.before(a):
			return 1
		}
		return 0
	})
	if e.shifters != nil {
		e.shifters.put(key, list)
	}
	return list
}

// leastBridge is the least that all of a bridge costs but its low sides, for a load that is
// no motor: of the high sides that serve one with its level shifters, two interlocks like
// those, a capacitor and a resistor at each drive. What has no price counts as nothing.
func (e *Env) leastBridge(l *load.Model) float64 {
	least := math.Inf(1)
	for _, h := range e.bridgeHalves(l, &Given{}, nil) {
		cost := 0.0
		if h.d.Cost.Amount.OK {
			cost = h.d.Cost.Amount.V
		}
		if p := h.small.Price; p != nil {
			cost += 2 * p.Amount
		}
		least = min(least, cost)
	}
	if math.IsInf(least, 1) {
		return 0
	}
	return least + 2*leastPrice(e.films(), func(*catalog.Capacitor) float64 { return 0 }) + 2*e.leastResistor
}

// before orders high sides: by verdict, of those that are over the one that lacks the
// least, by cost.
func (h *bridgeHalf) before(o *bridgeHalf) bool {
	a, b := h.d, o.d
	switch {
	case a.Verdict != b.Verdict:
		return a.Verdict < b.Verdict
	case a.Verdict == design.Over && a.Headroom.OK && b.Headroom.OK && a.Headroom.V != b.Headroom.V:
		return a.Headroom.V > b.Headroom.V
	}
	return cheaper(a.Cost.Amount, b.Cost.Amount)
}

// quickest keeps, of the high sides better than a verdict, the one of each interlock
// that is off the soonest.
func quickest(list []*bridgeHalf, verdict design.Verdict) (quick []*bridgeHalf) {
next:
	for _, h := range list {
		if h.d.Verdict >= verdict {
			break
		}
		for i, q := range quick {
			if q.small == h.small {
				if cheaper(h.off, q.off) {
					quick[i] = h
				}
				continue next
			}
		}
		quick = append(quick, h)
	}
	return quick
}

// diodeFigures are the worst of a body diode, or of several: drop, V, recovered
// charge, C, and time, s.
type diodeFigures struct{ v, qrr, trr float64 }

// bodyOf are those of a part; ok is false where one is not stated.
func bodyOf(p *catalog.MOSFET) (f diodeFigures, ok bool) {
	d := p.BodyDiode
	if d == nil {
		return f, false
	}
	f = diodeFigures{v: float64(d.VSD.Or(0)), qrr: float64(d.Qrr.Or(0)), trr: float64(d.Trr.Or(0))}
	return f, d.VSD.Known() && d.Qrr.Known() && d.Trr.Known()
}

func (f diodeFigures) worse(g diodeFigures) diodeFigures {
	return diodeFigures{v: max(f.v, g.v), qrr: max(f.qrr, g.qrr), trr: max(f.trr, g.trr)}
}

// bodiesMost are the worst that the catalogue's N-channel MOSFETs state: a high side
// is made before its low side is known.
func (e *Env) bodiesMost() (most diodeFigures) {
	for i := range e.Catalog.MOSFETs {
		if p := &e.Catalog.MOSFETs[i]; p.Channel == "n" {
			f, _ := bodyOf(p)
			most = most.worse(f)
		}
	}
	return most
}

// films are the film capacitors for a drive, least first.
func (e *Env) films() []*catalog.Capacitor {
	if e.film != nil {
		return e.film
	}
	return filmsOf(e.Catalog)
}

// filmsOf are the capacitors that keep their value at a voltage: films. Those of a
// safety class are made for the mains and are dearer.
func filmsOf(cat *catalog.Catalog) []*catalog.Capacitor {
	var list []*catalog.Capacitor
	for i := range cat.Capacitors {
		c := &cat.Capacitors[i]
		if c.Dielectric == "film" && c.C.Known() && c.Tolerance.Known() && c.VDCMax.Known() && c.SafetyClass == "" {
			list = append(list, c)
		}
	}
	slices.SortStableFunc(list, func(a, b *catalog.Capacitor) int {
		switch x, y := a.C.Value(), b.C.Value(); {
		case x < y:
			return -1
		case x > y:
			return 1
		case priceOf(a.Base()) < priceOf(b.Base()):
			return -1
		case priceOf(a.Base()) > priceOf(b.Base()):
			return 1
		case a.ID < b.ID:
			return -1
		}
		return 1
	})
	return list
}

// halfPull is the pull-up of a high side, ohm, by the highest rail: small, for what
// it takes to empty the gate is what the other side has to wait (common practice,
// no source).
func halfPull(rail float64) float64 {
	switch {
	case rail <= 16:
		return 470
	case rail <= 32:
		return 1000
	}
	return 2200
}

// bears is the first series of resistors whose body bears so many watts, with the
// policy's share, at a value; the strongest where none does.
func (e *Env) bears(ohms, watts, ta float64) *catalog.ResistorSeries {
	var best *catalog.ResistorSeries
	most := 0.0
	for _, s := range e.Resistors {
		p := resistorPower(s, ta)
		if !p.OK || !inRange(s, ohms) {
			continue
		}
		if tol := float64(s.Tolerance.Or(0.05)); design.AtMost(watts/(1-tol), e.Policy.PResistor*p.V) {
			return s
		}
		if p.V > most {
			best, most = s, p.V
		}
	}
	return best
}

// makeHalf is the high side with a part; nil where nothing shifts its level.
func (e *Env) makeHalf(l *load.Model, p *catalog.MOSFET, given *Given, sky *schottky) *bridgeHalf {
	g := *given
	g.DriverTopology = nMOSFETLow{}.ID() // its gate hangs on the drive, which feeds no base
	if !g.RPullup.Said {
		// Of the first body that bears what it gets: at the most all that the gate may.
		v := halfPull(l.VMax)
		volts := min(l.VMax, e.Policy.VGate*float64(p.VGSMax.Or(0)))
		if r := e.bears(v, volts*volts/v, l.TMax); r != nil {
			g.RPullup = GivenResistor{Said: true, Ohms: v, Tol: float64(r.Tolerance.Or(0.05)), Series: r.ID}
		}
	}
	h := &bridgeHalf{d: new(design.Design), p: p}
	m := pmosStage{mosfetStage: mosfetStage{stage: begin(e, l, &g, h.d, bridge{}.ID(), p.Base()), p: p}}
	m.buy("Q3", p)
	m.buy("Q4", p)
	m.alpha, m.hotBracket = device.HotSlope(p)
	m.ends[0].l, m.ends[1].l = l, e.atLowest(l)
	m.jammed = e.jammed(l)
	m.clamped, m.body = true, true
	m.opposite = e.bodiesMost()
	m.vPeak = design.Known(l.VMax + m.opposite.v)
	if sky != nil {
		m.spared, m.vPeak = true, sky.o.VPeak
	}
	m.choose()
	if m.sh == nil || m.sh.d == nil {
		return nil
	}
	part, _ := e.Catalog.Part(m.sh.d.Part)
	if h.small, _ = part.(*catalog.MOSFET); h.small == nil {
		return nil
	}
	h.interlock(&m)
	h.least, h.longest = e.upTo(leastDelay), e.upTo(mostDelay)
	h.barelyOff(&m)
	h.hold(&m)
	m.bothEnds()
	if !given.RPullup.Said && m.rpd.series != nil { // a smaller body may do
		if r := e.bears(m.rpd.nom, m.src.hi*m.src.hi/m.rpd.nom, l.TMax); r != nil {
			m.rpd = fromSeries(r, m.rpd.nom)
			g.RPullup.Tol, g.RPullup.Series = m.rpd.tol, r.ID
			g.Shifter = GivenPart{Said: true, ID: part.Base().ID} // the interlock is made for it
			m.choose()
			h.barelyOff(&m)
			h.hold(&m)
			m.bothEnds()
		}
	}
	h.checks(&m)
	h.facts(&m)
	h.d.Driver = h.sh.d
	return h
}

// interlock chooses the resistors of the interlock, whose part is the level shifter's.
func (h *bridgeHalf) interlock(m *pmosStage) {
	h.rx, h.rxg = m.env.interlockResistors(h.small)
	for _, r := range [...]struct {
		key   design.ValueKey
		given GivenResistor
		to    *resistor
	}{{design.RLock, m.given.RLock, &h.rx}, {design.RLockGate, m.given.RLockGate, &h.rxg}} {
		if r.given.Said {
			*r.to = m.env.stated(r.given, 0)
		}
		h.d.Choice.AddResistor(chosen(r.key, *r.to))
	}
}

// barelyOff takes the level shifter to be held at its least threshold while it is
// off: its gate hangs on the drive, which only keeps below that.
func (h *bridgeHalf) barelyOff(m *pmosStage) {
	if m.sh == nil {
		return
	}
	sh := *m.sh
	hot, top := valueIn(sh.d, design.TJunction), float64(h.small.TjMax.Or(150))
	if h.smallHot = min(hot.V, top); !hot.OK { // beyond that its own check is over
		h.smallHot = top
	}
	vth, _, _ := device.Threshold(h.small, h.smallHot)
	sh.leak = withBelow(device.DrainLeakage(h.small, m.l.VMax, h.smallHot), vth,
		func(v float64) float64 { return device.ChannelBelow(h.small, v, h.smallHot) })
	m.sh, h.sh = &sh, &sh
}

// hold chooses the capacitor from gate to source: it takes the charge that comes
// through the gate-drain capacitance when the side below turns on.
func (h *bridgeHalf) hold(m *pmosStage) {
	for range 2 {
		hot, _ := m.t.hottest(&m.p.Heat)
		vth, _, _ := device.Threshold(m.p, hot)
		qgd, ok := m.p.QGDMax.Get()
		room := (vth.V - m.heldUp()) * 0.9
		need := float64(qgd) + shifterStores(h.small, m.l.VMax)
		list := m.env.films()
		given := m.given.Capacitor
		h.cap = nil
		for _, c := range list {
			if given.Said && c.ID != given.ID {
				continue
			}
			h.cap = c
			if ok && vth.OK && room > 0 && filmLo(c)*room >= need {
				break
			}
		}
		if h.cap == nil {
			return
		}
		m.slow = filmHi(h.cap)
		m.enter(0)
		m.solve()
	}
}

// heldUp is how far leakage lifts the gate of the high side, V.
func (m *pmosStage) heldUp() float64 {
	leak := m.gateLeak()
	if m.sh != nil && m.sh.leak.OK {
		leak += m.sh.leak.V
	}
	return raised(leak, m.rpdHi(), m.l.VMax)
}

// checks are those of the high side by itself.
func (h *bridgeHalf) checks(m *pmosStage) {
	m.staysOff()
	h.injected(&m.d.Checks[len(m.d.Checks)-1], m)
	m.drives()
	m.limits()
	m.onCurrent()
	m.peaks(m.p)
	m.junction()
	m.crossings()
	m.networkResistors()
	m.value(design.RGate, m.rg.nom, design.Ohm)
	if !m.rpd.absent {
		m.value(design.RPullup, m.rpd.nom, design.Ohm)
	}
	if m.d.Choice.HeatSink != "" {
		t := &m.t
		if t.sink == nil || t.sink.ID != m.d.Choice.HeatSink {
			t = &m.est
		}
		m.rename("HS1", "HS3")
		m.rename("INS1", "INS3")
		m.buy("HS4", t.sink)
		m.element("HS4", design.RoleHeatSink, "heat-sink", t.sink.ID)
		if t.insulator != nil {
			m.buy("INS4", t.insulator)
			m.element("INS4", design.RoleInsulator, "insulator", t.insulator.ID)
		}
	}
	h.parts(m)
	m.resistorChecks()
	design.Conclude(m.d)
	for i := range m.sh.d.Checks {
		switch c := &m.sh.d.Checks[i]; c.ID {
		case design.PinCurrent, design.PinVoltage, design.StaysOff: // of a drive that it does not have here
		case aims[0].ID, aims[1].ID: // they only steer its choice
		default:
			m.d.Verdict = max(m.d.Verdict, c.Verdict)
		}
	}
	m.cost()
	if m.d.Cost.Amount.OK && m.sh.d.Cost.Amount.OK {
		m.d.Cost.Amount.V += 2 * m.sh.d.Cost.Amount.V
	}
}

// rename changes an element's reference in what is bought and drawn.
func (s *stage) rename(from, to string) {
	for i := range s.d.BOM {
		if s.d.BOM[i].Ref == from {
			s.d.BOM[i].Ref = to
		}
	}
	for i := range s.d.Elements {
		if s.d.Elements[i].Ref == from {
			s.d.Elements[i].Ref = to
		}
	}
}

// injected adds what the side below injects to the stays-off check.
func (h *bridgeHalf) injected(c *design.Check, m *pmosStage) {
	// The same charge comes when the rail rises: the capacitor takes it, however quickly.
	if c.EasyStress.OK {
		c.Stress, c.EasyStress = c.EasyStress, design.Number{}
	}
	qgd, ok := m.p.QGDMax.Get()
	if !ok || h.cap == nil {
		c.StressEstimate = firstKnown(c.Stress, c.StressEstimate)
		c.Stress = design.Number{}
		c.Needs("q_gd_max of the high side")
		judge(c)
		return
	}
	v := (float64(qgd) + shifterStores(h.small, m.l.VMax)) / filmLo(h.cap)
	for _, n := range [...]*design.Number{&c.Stress, &c.StressEstimate} {
		if n.OK {
			n.V += v
		}
	}
	c.Because = "the side below switches"
	c.Formula = "leakage x {R_pullup}, and gate-drain charge into the capacitor from gate to source: {stress}; threshold at {T_j} at least {rating}"
	judge(c)
	m.onlyReversed(c, func(hot float64) { c.RatingEstimate, _, _ = device.Threshold(m.p, hot) })
}

// shifterStores is what the output of a level shifter takes while the rail rises to so
// many volts, C.
func shifterStores(small *catalog.MOSFET, v float64) float64 {
	return float64(small.COSSMax.Or(0)) * v
}

// parts buys what stands at both high gates.
func (h *bridgeHalf) parts(m *pmosStage) {
	h.rpu, h.rg, h.zener = m.rpd, m.rg, m.zener
	for i := range bridgeRefs {
		r := &bridgeRefs[i]
		key := [2]design.ValueKey{design.RGate, design.RPullup}
		if i > 0 {
			key = [2]design.ValueKey{}
		}
		m.resistorElement(r.rgp, key[0], design.RoleDriveResistor, m.rg, diagonals[i].shift, diagonals[i].gate)
		m.resistorElement(r.rpu, key[1], design.RolePullDown, m.rpd, diagonals[i].gate, nodeRail)
		if h.cap != nil {
			m.buy(r.cp, h.cap)
			m.capacitorElement(r.cp, h.cap, diagonals[i].gate, nodeRail)
			m.d.Choice.Capacitor = h.cap.ID
		}
		if m.zener != nil {
			m.buy(r.z, m.zener)
			m.d.Choice.GateClamp = m.zener.ID
			m.element(r.z, design.RoleClamp, string(catalog.KindZener), m.zener.ID, diagonals[i].gate, nodeRail)
		}
	}
	m.d.Choice.Shifter, m.d.Choice.Pulsed = m.sh.d.Part, m.sh.pulsed
}

// facts are what the bridge as a whole needs to know.
func (h *bridgeHalf) facts(m *pmosStage) {
	if v, ok := bodyDrop(h.p); ok {
		h.vsd = design.Known(v)
	}
	h.vGate = m.vGateMax
	hot, _ := m.t.hottest(&m.p.Heat)
	ever, _ := m.everHot()
	f := 1 + m.alpha*max(0, ever-device.Room)
	if m.ron.OK {
		h.cooler = m.ends[1].l.ILow * m.ron.V * m.alpha * max(0, ever-max(hot, device.Room))
		h.ron = design.Known(m.ron.V * f)
		h.drop = design.Known(m.ends[1].l.ILow * m.ron.V * f)
	} else if m.ronEst.OK {
		h.dropEst = design.Known(m.ends[1].l.ILow * m.ronEst.V * f)
	}
	h.leak = withBelow(device.DrainLeakage(h.p, m.l.VMax, m.l.TMax), heldAt(m.d),
		func(v float64) float64 { return device.ChannelBelow(h.p, v, ever) })
	h.pSw, h.steady, h.lasts = m.pSw, m.t.steady.OK, m.lasts
	h.on = m.tOn
	h.off = h.turnsOff(m, m.hottestEver(hot))
}

// shifterOutput is what the output of a level shifter and a gate clamp add to a high
// gate, F at the most (common practice, no source).
const shifterOutput = 1e-9

// turnsOff is how long the pull-up takes until nothing flows any more, s: all of the
// gate's charge at the least current, and the capacitor from gate to source by an
// exponential, from the highest gate voltage down to the least threshold.
func (h *bridgeHalf) turnsOff(m *pmosStage, hot float64) design.Number {
	vth, _, _ := device.Threshold(m.p, hot)
	g := m.p.QGMax
	if !vth.OK || vth.V <= 0 || g == nil || !g.Q.Known() || m.rpd.absent {
		return design.Number{}
	}
	q := float64(g.Q.Value())
	if v := float64(g.VGS.Or(0)); v > 0 {
		q *= max(1, m.vGateMax/v)
	}
	c := shifterOutput
	if h.cap != nil {
		c += filmHi(h.cap)
	}
	rint, _ := device.GateResistance(m.p)
	return design.Known(m.rpdHi()*c*math.Log(max(1, m.vGateMax/vth.V)) + (m.rpdHi()+rint)*q/vth.V)
}

// drawHigh draws one high side: its switch and level shifter, beside what it has
// drawn itself.
func (b *bridgeStage) drawHigh(g *diagonal, i int) {
	if b.env.Brief {
		return
	}
	h, r := b.half, &bridgeRefs[i]
	b.element(r.p, design.RoleSwitch, "mosfet", h.p.ID, g.gate, g.high, nodeRail)
	b.element(r.shift, design.RoleShifter, "mosfet", h.small.ID, g.drive, g.shift, nodeGround)
	if i == 0 {
		b.d.Elements = append(b.d.Elements, h.d.Elements...)
	}
}

// ---- a motor that is reversed ----

// jammed is a load whose motor is reversed with nothing stated that ends its jam, as
// it heats a part: jammed for ever, not reversed for ever. Nil for any other.
func (e *Env) jammed(l *load.Model) *load.Model {
	if l.PulseHot.Shape != load.ForEver {
		return nil
	}
	key := jammedKey{l}
	if e.lows != nil {
		if m, ok := e.lows.get(key); ok {
			return m.(*load.Model)
		}
	}
	m := *l
	m.Pulse, m.PulseHot = l.Pulse.Scaled(0.5, 1), l.PulseHot.Scaled(0.5, 1)
	if e.lows != nil {
		e.lows.put(key, &m)
	}
	return &m
}

type jammedKey struct{ l *load.Model }

// warmPlugged works the junction out for a motor that is reversed while it turns, and
// for its body diode when that current opens.
func (m *mosfetStage) warmPlugged() {
	m.warmReversed()
	m.openEnded()
}

// warmReversed works the junction out for a motor that is reversed while it turns.
// How long that lasts its stall time bounds; where none is stated the part must bear
// it for ever, or nobody knows.
func (m *mosfetStage) warmReversed() {
	m.plugs = false
	m.warm()
	tj := float64(m.p.TjMax.Or(0))
	if t := firstKnown(m.t.worst, m.est.worst); m.jammed == nil || t.OK && t.V <= tj-m.pol.JunctionBelow(tj) {
		return
	}
	whole := m.l
	m.l = m.jammed
	m.warm()
	m.l, m.plugs = whole, true
	hot, _ := m.t.hottest(&m.p.Heat)
	m.edges(hot)
}

// everHot is the junction that leakage, drops and staying off are judged at, degrees
// Celsius: the hottest steady one, and where nobody knows how long a reversal heats it the
// greatest that it may have.
func (m *mosfetStage) everHot() (hot float64, known bool) {
	if hot, known = m.t.hottest(&m.p.Heat); known && m.plugs {
		hot = float64(m.p.TjMax.Or(150))
	}
	return hot, known
}

// onlyReversed makes a check that fails an unproven one where it fails only by a reversal
// that lasts for ever, as a motor's without a stated stall time: estimate fills in what a
// jam for ever makes of it, at so many degrees Celsius.
func (m *mosfetStage) onlyReversed(c *design.Check, estimate func(hot float64)) {
	if m.jammed == nil || c.Verdict <= design.Tight || !c.Stress.OK || !c.Rating.OK {
		return
	}
	if hot, known := m.jamHot(); known {
		estimate(hot)
		c.Needs("load.stall_time")
		judge(c)
	}
}

// jamHot is the hottest steady junction of a motor that is reversed with nothing stated
// that ends its jam, jammed for ever, degrees Celsius.
func (m *mosfetStage) jamHot() (hot float64, known bool) {
	if !m.plugs { // m.t is that of the reversal
		whole, own, t, est, on, off, sw := m.l, m.given, m.t, m.est, m.tOn, m.tOff, m.pSw
		defer func() { m.l, m.given, m.t, m.est, m.tOn, m.tOff, m.pSw = whole, own, t, est, on, off, sw }()
		with := *own // on the sink that it has
		if with.HeatSink = (GivenPart{Said: true}); m.t.sink != nil {
			with.HeatSink.ID = m.t.sink.ID
		}
		m.l, m.given = m.jammed, &with
		m.warm()
	}
	return m.t.hottest(&m.p.Heat)
}

// ---- what capacitors at gates and body diodes do to a stage ----

// slowed adds what a capacitor at the gate makes of the edges, with the junction at
// hot degrees Celsius: while the current changes the gate moves by the square law's
// sqrt(2I/K), and the capacitor with it, at the least current of the edge.
func (m *mosfetStage) slowed(hot, rint float64) {
	if m.slow <= 0 {
		return
	}
	low, _, _ := device.Threshold(m.p, hot)
	_, cold, _ := device.Threshold(m.p, m.l.TMin)
	plateau := device.DriveFor(m.p, m.l.PeakCurrent(), cold.V)
	if !low.OK || low.V <= 0 || !cold.OK || !plateau.OK || plateau.V >= m.vDrive {
		m.tOn, m.tOff = design.Number{}, design.Number{}
		return
	}
	q := m.slow * (plateau.V - cold.V)
	m.tOn = addCost(m.tOn, design.Known(q*(m.rg.hi()+m.src.up+rint)/(m.vDrive-plateau.V)))
	m.tOff = addCost(m.tOff, design.Known(q*(m.rg.hi()+m.src.down+rint)/low.V))
}

// bodyHeat is what a body diode makes of the winding's current that it carries on,
// W on average: all of it for ever at the most; less where the inductance says how
// little charge an opening leaves.
func (m *mosfetStage) bodyHeat() float64 {
	v := m.ownDrop()
	if !m.body || v <= 0 {
		return 0
	}
	all := v * m.l.IHot
	if m.l.Mode == "pwm" || !m.l.LMax.OK || m.l.VMin <= 0 {
		return all
	}
	i := m.l.PeakCurrent()
	return min(all, v*m.l.LMax.V*i*i/m.l.VMin*m.l.OpsPerSecond)
}

// slowEdges is what edges cost beyond pSw, W on average, where they are slow (of a
// bridge always, behind its capacitors): each may meet the greatest current, and they
// count at any rate.
func (m *mosfetStage) slowEdges(pSw design.Number, slow bool) float64 {
	if !m.body && !slow || m.l.Mode == "pwm" || !m.tOn.OK || !m.tOff.OK {
		return 0
	}
	p := 0.5 * firstOf(m.vPeak, m.vPeakEst, design.Known(m.l.VMax)) * m.l.PeakCurrent() * (m.tOn.V + m.tOff.V) * m.l.OpsPerSecond
	return max(0, p-pSw.V)
}

// across is the body diode across, which recovers at each edge of pwm; ok is false where
// none does, for a Schottky stores no charge, or its figures are not stated.
func (m *mosfetStage) across() (d diodeFigures, ok bool) {
	if !m.recovers() {
		return d, false
	}
	d, ok = bodyOf(m.p)
	return d.worse(m.opposite), ok
}

func (m *mosfetStage) recovers() bool { return m.body && !m.spared && m.l.Mode == "pwm" }

// recovering adds to the losses p of the edges at f hertz and v volts, the stored charge
// of the body diode across among them, the load's current while that recovers. Unknown
// where it is not stated.
func (m *mosfetStage) recovering(p, v, f float64) design.Number {
	if !m.recovers() {
		return design.Known(p)
	}
	d, ok := m.across()
	if !ok {
		return design.Number{}
	}
	return design.Known(p + v*f*m.l.IMax*d.trr)
}

// bodyPulse adds what the body diode makes of the greatest current when a diagonal
// opens. With the motor at rest it ends against the rail, at the least in a straight
// line; while the motor is reversed, in the winding's resistance, which is as long as
// half of that line: no pulse heats more than all of it for that time. Under pwm it may carry all of a
// jam's current for nearly all of the time. Where the inductance is not stated nobody
// knows how long it lasts.
func (m *mosfetStage) bodyPulse(h *heat) {
	v, i := m.ownDrop(), m.l.PeakCurrent()
	if v <= 0 {
		return
	}
	if m.l.Mode == "pwm" {
		h.back = v
	}
	if m.l.LMax.OK && m.l.VMin > 0 {
		h.backP, h.backT = v*i, m.l.LMax.V*i/(2*m.l.VMin)
	}
}

// ownDrop is what this part's body diode drops while it carries the winding's current,
// V; 0 where a Schottky diode does.
func (m *mosfetStage) ownDrop() float64 {
	if m.spared {
		return 0
	}
	v, _ := bodyDrop(m.p)
	return v
}

// openEnded says whether a body diode would get too hot if the winding's current had
// no end, while nothing says that it has one.
func (m *mosfetStage) openEnded() {
	t := firstKnown(m.t.steady, m.est.steady)
	m.lasts = !m.l.LMax.OK && t.OK && m.ownDrop() > 0 &&
		t.V+max(m.t.rth, m.est.rth)*m.ownDrop()*m.l.PeakCurrent() > float64(m.p.TjMax.Or(150))-m.pol.JunctionBelow(float64(m.p.TjMax.Or(150)))
}
