package topology

import (
	"math"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/device"
	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/load"
)

// bridge reverses a motor, or the one coil of a latching relay: two N-channel MOSFETs to
// ground, two P-channel ones to the rail, the motor or coil between. A pin drives a
// diagonal: through a resistor with a
// capacitor behind it the gate of a low side and, by a level shifter, that of the
// high side across. The other pin's transistor holds the capacitor down: with both
// pins high nothing is on, and when the direction changes it empties the one
// capacitor at once while the other fills slowly through its resistor. That time,
// at the least by the tolerances of both, is the dead time.
type bridge struct{}

func (bridge) ID() string   { return "bridge" }
func (bridge) Side() string { return "any" }

// DrivesCoils says that a relay's coil may be driven so: one that is reversed.
func (bridge) DrivesCoils() bool { return true }

func (bridge) Owes(l *load.Model) []design.CheckID {
	ids := nMOSFETLow{}.Owes(l)
	return append(ids, design.CapacitorVoltage, design.ShootThrough)
}

// Takes lists the elements of a stage as built that are worked out: r_gate is the
// resistor from pin to drive, r_pullup that of the high side, driver the
// P-channel part, shifter the small transistor that shifts levels and interlocks.
func (bridge) Takes(l *load.Model) []string {
	return takes(l, "r_gate", "r_pulldown", "r_pullup", "gate_clamp", "driver", "shifter", "heat_sink", "insulator")
}

func (bridge) Serves(env *Env, l *load.Model, sw catalog.Part) string {
	m, ok := sw.(*catalog.MOSFET)
	if !ok || m.Channel != "n" || !l.Reversing {
		return WrongPart
	}
	turns := *l
	turns.Reversing = false
	switch why := serveSilicon(&turns); {
	case why != "":
		return why
	case l.Side == "low", l.Side == "high":
		return "a bridge switches both ends of the motor: no side can be asked for"
	case l.Chassis:
		return "the motor is grounded to the chassis: a bridge needs both of its ends"
	}
	return needsSource(&env.Pin)
}

// bridgeStage is one bridge while it is worked out: a low side as the N-channel
// stage, a high side, and what keeps them apart.
type bridgeStage struct {
	mosfetStage
	half           *bridgeHalf // nil: no part can be the high side
	sky            *schottky   // nil: the body diodes carry the winding's current on
	lock           *catalog.MOSFET
	rx, rxg        resistor // of the interlock: drain and gate
	cap            *catalog.Capacitor
	least, longest resistor // of those that fill the capacitor
	vRest          float64  // what the interlock leaves on a drive, V
	leaky          bool     // what the interlock leaks while it is off is not stated
	lockDrive      float64  // gate voltage of the interlock, V at the least
	ends           [2]deadTime
}

// deadTime is one way in which a side must be off before the one across is on.
type deadTime struct {
	off   design.Number // of the one, s at the most
	delay float64       // of the other, s at the least
	what  string
}

// Design lets the body diodes carry the winding's current on, and where one fails at
// that tries Schottky diodes across the switches.
func (t bridge) Design(env *Env, l *load.Model, sw catalog.Part, given *Given, d *design.Design) {
	plugged := env.plugging(l)
	if given.Clamp.Said {
		var sky *schottky
		if len(given.Clamp.Parts) > 0 {
			sky = env.statedSchottky(plugged, &given.Clamp)
		}
		t.halves(sky, false, env, plugged, sw, given, d)
		return
	}
	sky := env.schottkyFor(plugged)
	switch lasts := t.halves(nil, sky != nil, env, plugged, sw, given, d); {
	case sky == nil || !lasts && (d.Verdict == design.Fits || !schottkyHelps(d)):
	case lasts: // with the body diodes it is unproven at the best
		if t.halves(sky, false, env, plugged, sw, given, d); d.Verdict == design.Over {
			t.halves(nil, false, env, plugged, sw, given, d)
		}
	default:
		verdict := d.Verdict
		if t.halves(sky, false, env, plugged, sw, given, d); d.Verdict >= verdict {
			t.halves(nil, false, env, plugged, sw, given, d)
		}
	}
}

// halves takes, of the high sides that serve, the first of the list, and where the
// bridge does not fit with it searches for another. Where quit is set it ends, and says
// so, as soon as a body diode fails for want of an inductance.
func (t bridge) halves(sky *schottky, quit bool, env *Env, l *load.Model, sw catalog.Part, given *Given, d *design.Design) (lasts bool) {
	s := bridgeSearch{t: t, sky: sky, env: env, l: l, sw: sw, d: d}
	if sky != nil && sky.d != nil {
		s.real = sky
	}
	list := env.bridgeHalves(l, given, s.real)
	first := bridgeTrial{given: given}
	if len(list) > 0 {
		first.half = list[0]
	}
	if lasts = t.with(first.half, sky, quit, env, l, sw, given, d); lasts && quit {
		return true
	}
	if first.half == nil || d.Verdict == design.Fits || !otherHelps(d, lasts) {
		return false
	}
	first.verdict, first.cost = d.Verdict, d.Cost.Amount
	s.best, s.last = first, first
	s.among(list)
	s.cooler()
	if s.last != s.best {
		t.with(s.best.half, sky, false, env, l, sw, s.best.given, d)
	}
	return false
}

// otherHelps reports whether another high side may better a design's verdict. Where a
// body diode fails for want of an inductance (lasts), none makes its junction proven.
func otherHelps(d *design.Design, lasts bool) bool {
	for i := range d.Checks {
		c := &d.Checks[i]
		if c.Verdict != d.Verdict {
			continue
		}
		switch c.ID {
		case design.JunctionTemperature:
			if lasts && d.Verdict == design.Unproven {
				return false
			}
		case design.ShootThrough, design.SafeArea, design.PWMFrequency, design.StaysOff:
		case design.GateDrive: // the level shifter's, which is the interlock too
			if c.Stage != design.StageDriver {
				return false
			}
		default:
			return false
		}
	}
	return true
}

func (t bridge) with(half *bridgeHalf, sky *schottky, quit bool, env *Env, l *load.Model, sw catalog.Part, given *Given, d *design.Design) (lasts bool) {
	if lasts = half != nil && half.lasts; lasts && quit {
		return true
	}
	b := bridgeStage{mosfetStage: mosfetStage{stage: begin(env, l, given, d, t.ID(), sw.Base()), p: sw.(*catalog.MOSFET), src: pinSource(&env.Pin, 1)}, half: half, sky: sky}
	b.jammed = env.jammed(l)
	b.alpha, b.hotBracket = device.HotSlope(b.p)
	b.buy("Q1", sw)
	b.buy("Q2", sw)
	b.freewheels(l)
	b.choose()
	if lasts = lasts || b.lasts; lasts && quit {
		return true
	}
	b.pinSide()
	b.staysOff()
	b.pinGateDrive()
	if b.leaky {
		c := &b.d.Checks[len(b.d.Checks)-1]
		b.unsureDrive(c, whatLeaks, "i_dss_max of the level shifter")
		judge(c)
	}
	b.gateVoltage("highest pin supply {stress}, the gate bears {rating}", design.CornerValue{Name: "pin_supply", V: b.vGateMax})
	b.powerChecks()
	b.driveResistors()
	b.capacitors()
	b.shootThrough()
	b.across()
	b.drawBridge()
	b.finish(t.Owes(l))
	return lasts
}

// plugging is the load as a bridge sees it: a motor that is reversed while it runs
// has its own voltage on top of the rail's, and takes twice what it takes jammed.
// Only a coast time that the hardware enforces would spare it. A coil has no voltage of
// its own: what it still carries when it is reversed is no more than what it takes.
func (e *Env) plugging(l *load.Model) *load.Model {
	if l.Kind != job.Motor {
		return l
	}
	key := pluggedKey{l}
	if e.lows != nil {
		if m, ok := e.lows.get(key); ok {
			return m.(*load.Model)
		}
	}
	m := *l
	twice := func(p load.Pulse) load.Pulse {
		if p.Shape == load.NoPulse { // it takes no more to start than to run
			p = load.Pulse{Shape: load.ForEver, Peak: l.IMax, Steady: l.IMax}
		}
		return p.Scaled(2, 1)
	}
	m.Pulse, m.PulseHot, m.HasInrush = twice(l.Pulse), twice(l.PulseHot), true
	if e.lows != nil {
		e.lows.put(key, &m)
	}
	return &m
}

type pluggedKey struct{ l *load.Model }

// freewheels sets what the body diodes of the switches make of the motor's
// current: they carry it from ground to the rail when a diagonal opens.
func (b *bridgeStage) freewheels(l *load.Model) {
	b.clamped = true
	b.vPeak = design.Known(l.VMax)
	if b.half != nil {
		b.opposite, _ = bodyOf(b.half.p)
	}
	if v, ok := bodyDrop(b.p); ok && b.half != nil && b.half.vsd.OK {
		b.vPeak = design.Known(l.VMax + max(v, b.half.vsd.V))
	}
	b.body = true
	if b.sky != nil && b.sky.d != nil {
		b.spared, b.vPeak = true, b.sky.o.VPeak
	}
}

// bodyDrop is what the body diode of a part drops, V at the most.
func bodyDrop(p *catalog.MOSFET) (v float64, ok bool) {
	if p.BodyDiode == nil {
		return 0, false
	}
	return float64(p.BodyDiode.VSD.Or(0)), p.BodyDiode.VSD.Known()
}

// ---- choosing ----

const (
	// leastDelay and mostDelay are between what the resistor may be that fills the
	// capacitor of a drive, ohm: less asks much of the pin, more makes leakage count
	// (common practice, no source).
	leastDelay, mostDelay = 1e3, 47e3
	// mostHold is the most that the resistor of an interlock may be, ohm.
	mostHold = 470.0
	// lockMargin is how much longer than needed the dead time is made where it is
	// chosen.
	lockMargin = 1.05
)

// choose sets the pull-down, then the interlock, then resistor and capacitor of the
// drive, at the bridge's own hottest junctions.
func (b *bridgeStage) choose() {
	b.rpd, b.rg = b.givenOr(b.given.RPulldown, math.Inf(1)), b.givenOr(b.given.RGate, 0)
	if !b.given.RPulldown.Said {
		b.rpd = resistor{nom: 10e3, tol: 0.05}
	}
	if !b.given.RGate.Said {
		b.rg = resistor{nom: leastDelay, tol: 0.05}
	}
	b.interlock()
	hot := b.l.TMax
	ever := hot
	for round := range 5 {
		rpd, rg, c := b.rpd, b.rg, b.cap
		b.pullBridge(hot)
		k := b.interlocks(ever)
		if b.ends, b.vRest = k.apart(b.rg, b.cap); round == 0 || !justApart(&b.ends) {
			b.delay(&k)
			b.ends, b.vRest = k.apart(b.rg, b.cap)
		}
		if round > 0 && b.rpd == rpd && b.rg == rg && b.cap == c {
			break // solved with these already
		}
		b.feed()
		b.solve()
		hot, _ = b.t.hottest(&b.p.Heat)
		ever = b.hottestEver(hot)
	}
	k := b.interlocks(ever)
	b.ends, b.vRest = k.apart(b.rg, b.cap)
	b.lockDrive = k.drive(max(b.rg.lo(), link))
}

// justApart reports whether the sides are apart and by no more than what another
// resistor may add.
func justApart(ends *[2]deadTime) bool {
	return isApart(ends) && (ends[0].delay <= 1.2*ends[0].off.V || ends[1].delay <= 1.2*ends[1].off.V)
}

// hottestEver is the junction that is reversed while it is as hot as it gets, degrees
// Celsius: a threshold falls with heat, and it is then that the sides must be apart.
// Where nothing says how long a reversal or the winding's current lasts, it may be as
// hot as it may ever be.
func (m *mosfetStage) hottestEver(steady float64) float64 {
	top := float64(m.p.TjMax.Or(150))
	if m.plugs || m.lasts || !m.t.worst.OK {
		return top
	}
	return max(steady, min(m.t.worst.V, top))
}

// interlock takes the level shifter's part for the interlock.
func (b *bridgeStage) interlock() {
	if h := b.half; h != nil && h.small != nil {
		b.lock, b.rx, b.rxg, b.least, b.longest = h.small, h.rx, h.rxg, h.least, h.longest
		return
	}
	b.least, b.longest = b.env.upTo(leastDelay), b.env.upTo(mostDelay)
}

// interlockResistors are what the interlock stands behind: a resistor that keeps the
// capacitor's discharge within what it bears, and one that the pin can charge its gate
// through.
func (e *Env) interlockResistors(lock *catalog.MOSFET) (rx, rxg resistor) {
	vmax := float64(e.Pin.SupplyMax)
	i := float64(lock.IDMMax.Or(lock.IDCase25.Or(0)))
	need := 10.0
	if i > 0 {
		need = max(need, vmax/(e.Policy.IPeak*i))
	}
	for rx = e.upTo(need); need < mostHold; rx = e.upTo(need) { // a current for which its on-resistance is stated
		if ron, _, _ := device.OnResistance(lock, 0.95*float64(e.Pin.SupplyMin), e.lockCurrent(rx)); ron.OK {
			break
		}
		need *= 1.5
	}
	return rx, e.upTo(max(100, 2*vmax/max(1e-3, min(float64(e.Pin.PeakMax), finiteLimit(float64(e.Pin.SinkPeakMax))))))
}

// lockAt is the gate voltage from which on a stated on-resistance of an interlock serves
// for a current, V: its own, or where the square law gives twice that current. Infinite
// where none does.
func lockAt(lock *catalog.MOSFET, pt *catalog.RDSPoint, i float64) float64 {
	at := float64(pt.VGS.Or(0))
	if ron, _, found := device.OnResistance(lock, at, i); ron.OK && found == pt {
		return at
	}
	if lock.VGSTh == nil || !lock.VGSTh.Max.Known() || !pt.Max.Known() || float64(pt.Tj.Or(25)) != device.Room {
		return math.Inf(1)
	}
	v := device.DriveFor(lock, 2*i, float64(lock.VGSTh.Max.Value()))
	if !v.OK {
		return math.Inf(1)
	}
	return max(at, v.V)
}

func finiteLimit(v float64) float64 {
	if v <= 0 {
		return math.Inf(1)
	}
	return v
}

// upTo is the next resistor of at least so many ohms at both ends of its tolerance.
func (e *Env) upTo(ohms float64) resistor {
	for _, s := range e.Resistors {
		if v, ok := nextUp(s, ohms/(1-float64(s.Tolerance.Or(0.05)))); ok {
			return fromSeries(s, v)
		}
	}
	return resistor{nom: ohms, tol: 0.05}
}

// thresholds are the least of the low side, at hot degrees Celsius, and of the level
// shifter.
func (b *bridgeStage) thresholds(hot float64) (low, shifter design.Number) {
	low, _, _ = device.Threshold(b.p, hot)
	if b.lock != nil {
		shifter, _, _ = device.Threshold(b.lock, b.half.smallHot)
	}
	return low, shifter
}

// driveLeaks is what leaks into a drive from both gates on it, A.
func (b *bridgeStage) driveLeaks() float64 {
	leak := b.gateLeak()
	if b.lock != nil {
		leak += float64(b.lock.IGSSMax.Or(catalog.BracketIGSSMax))
	}
	return leak
}

// pinLeaks is what leaks into a pin beside: the interlock's gate hangs on it too, A.
func (b *bridgeStage) pinLeaks() float64 {
	if b.lock == nil {
		return b.driveLeaks()
	}
	return b.driveLeaks() + float64(b.lock.IGSSMax.Or(catalog.BracketIGSSMax))
}

// coupled is how far both gates on a drive are lifted through their gate-drain
// capacitance, V: all of that charge comes into the capacitor of the drive. The level
// shifter's is no more than its whole charge.
func (b *bridgeStage) coupled() design.Number {
	if b.lock == nil || b.cap == nil {
		return design.Number{}
	}
	small := known(b.lock.QGDMax)
	if g := b.lock.QGMax; !small.OK && g != nil {
		small = known(g.Q)
	}
	q := addCost(known(b.p.QGDMax), small)
	q.V /= filmLo(b.cap)
	return q
}

// pullBridge takes the largest pull-down that keeps both gates of a drive off.
func (b *bridgeStage) pullBridge(hot float64) {
	if b.given.RPulldown.Said {
		return
	}
	low, shifter := b.thresholds(hot)
	most := bleedCap
	vth := math.Inf(1)
	for _, v := range [...]design.Number{low, shifter} {
		if v.OK {
			vth = min(vth, v.V)
		}
	}
	if !math.IsInf(vth, 1) {
		most = b.bleedFor(vth-b.driveLeaks()*b.rg.hi()-b.coupled().V, 0, b.pinLeaks())
	}
	b.pullUnder(most)
}

// delay takes resistor and capacitor of the drive: of the films of the catalogue
// the one that turns the low side on the quickest with its resistor. A ceramic chip
// promises no capacitance at a voltage. A resistor that is stated gets the least
// capacitor that keeps the sides apart, else the largest.
func (b *bridgeStage) delay(k *interlocking) {
	if b.lock == nil {
		return
	}
	var c *catalog.Capacitor
	rg := b.rg
	if b.given.RGate.Said {
		c = b.statedDelay(k)
	} else {
		c, rg = b.quickestDelay(k)
	}
	b.cap, b.slow = c, 0
	if c != nil {
		b.slow = filmHi(c)
		if q := b.lock.QGMax; q != nil { // the level shifter's gate hangs on the same drive
			b.slow += float64(q.Q.Or(0)) / max(0.5, float64(q.VGS.Or(1)))
		}
	}
	if !b.given.RGate.Said && c != nil {
		b.rg = rg
	}
}

// serving are the films that may be taken, least first.
func (b *bridgeStage) serving() []*catalog.Capacitor {
	films := b.env.films()
	if !b.given.Capacitor.Said {
		return films
	}
	for i, x := range films {
		if x.ID == b.given.Capacitor.ID {
			return films[i : i+1]
		}
	}
	return nil
}

// statedDelay is the capacitor for a resistor that is stated.
func (b *bridgeStage) statedDelay(k *interlocking) (c *catalog.Capacitor) {
	for _, c = range b.serving() {
		if ends, _ := k.apart(b.rg, c); isApart(&ends) {
			break
		}
	}
	return c
}

// quickestDelay tries films from the one on that may be the quickest, and ends where
// none that is left can be quicker.
func (b *bridgeStage) quickestDelay(k *interlocking) (c *catalog.Capacitor, rg resistor) {
	films := b.serving()
	if len(films) == 0 {
		return nil, b.rg
	}
	c, rg = films[len(films)-1], b.longest // the longest there is, and shoot-through says so
	var bounds, from [mostFilms]float64
	n := min(len(films), mostFilms)
	for i, x := range films[:n] {
		bounds[i], from[i] = b.quickest(k, x)
	}
	best, at := math.Inf(1), n
	for range n {
		next := 0
		for i, f := range bounds[:n] {
			if f < bounds[next] {
				next = i
			}
		}
		if math.IsInf(bounds[next], 1) || bounds[next] > best {
			break
		}
		bounds[next] = math.Inf(1)
		x := films[next]
		if r, ok := b.delayResistor(k, x, from[next]); ok {
			if slow := b.slowness(r.hi(), x); slow < best || slow == best && next < at {
				best, at, c, rg = slow, next, x, r
			}
		}
	}
	return c, rg
}

// mostFilms is how many films are tried.
const mostFilms = 32

// slowness is how long a film's edge takes in proportion, behind so many ohms.
func (b *bridgeStage) slowness(ohms float64, c *catalog.Capacitor) float64 {
	return ohms * (b.charge() + filmHi(c)*swing)
}

// quickest is less than the slowness that a film can have, and the resistor that goes
// with it, ohm: it fills no sooner than an empty drive does, and the high side is off no
// sooner than with none left. Infinite where no resistor does.
func (b *bridgeStage) quickest(k *interlocking, c *catalog.Capacitor) (slow, ohms float64) {
	ohms = leastDelay
	if k.known && k.lnLow > 0 {
		off := k.offLeast + k.leastOn*filmHi(c)*k.lnShifter
		ohms = max(ohms, 0.999*lockMargin*off/(filmLo(c)*k.lnLow))
		if ohms < 1.2*leastDelay { // the least one there is needs no margin
			ohms = leastDelay
		}
	}
	if ohms > mostDelay {
		return math.Inf(1), ohms
	}
	return b.slowness(ohms, c), ohms
}

// swing is how far a gate moves while the current changes, V, for the choice alone.
const swing = 0.5

// charge is what an edge of the low side moves, C, for the choice alone.
func (b *bridgeStage) charge() float64 {
	return float64(b.p.QGDMax.Or(0)) + float64(b.p.QGSMax.Or(0))
}

func filmHi(k *catalog.Capacitor) float64 {
	return float64(k.C.Or(0)) * (1 + float64(k.Tolerance.Or(0.2)))
}
func filmLo(k *catalog.Capacitor) float64 {
	return float64(k.C.Or(0)) * (1 - float64(k.Tolerance.Or(0.2)))
}

// delayResistor is the least resistor, from so many ohms on, with which a capacitor
// makes the dead time.
func (b *bridgeStage) delayResistor(k *interlocking, c *catalog.Capacitor, from float64) (resistor, bool) {
	r := b.least
	if from > leastDelay {
		r = resistor{nom: from}
	}
	for k.known && math.IsInf(k.full(r.lo()), 1) && r.nom < mostDelay { // the drive takes too much of the pin's level
		r = b.env.upTo(2 * r.lo())
	}
	ends, _ := k.apart(r, c)
	apart := isApart(&ends) && from <= leastDelay // else it is no value yet
	for range 3 {
		if apart && r.lo() <= leastDelay*1.1 {
			return r, true
		}
		need := leastDelay
		for i := range ends {
			e := &ends[i]
			if !e.off.OK || e.delay <= 0 {
				return r, false
			}
			need = max(need, r.lo()*e.off.V/e.delay*lockMargin)
		}
		if need > mostDelay {
			return r, false
		}
		if apart && r.lo() <= 1.02*need { // no value lies between
			break
		}
		next := b.env.upTo(need)
		if next == r {
			break
		}
		ends, _ = k.apart(next, c)
		now := isApart(&ends)
		if apart && !now {
			break // the one before was just enough
		}
		r, apart = next, now
	}
	return r, apart
}

// interlocking is what the interlock of a drive does.
type interlocking struct {
	known        bool
	ways         [mostWays]lockWay
	n            int
	through      float64 // ohm that its gate's charge comes through, at most
	least        float64 // V of the pin's lowest supply
	leaks        float64 // V that its gate's leakage costs
	out, held    float64 // ohm of pin, at most, and of the pull-down, at least
	gates        float64 // C that the gates on a drive hold, at most
	inside       float64 // ohm in the gate of the low side
	low, shifter float64 // V at which low side and level shifter are on, at least
	vmax         float64 // V of a drive that is full
	lnLow        float64 // time constants until the low side is on, at the most: from an empty drive
	lnShifter    float64 // and until the level shifter is off, at the least: to an empty drive
	leastOn      float64 // ohm, less than which never empty a drive
	offLeast     float64 // s, less than which the high side is not off beside those
	offHigh      float64 // s that the high side takes to turn off behind its level shifter
}

// lockWay is one stated on-resistance of an interlock. Each that its drive gets to is a
// bound: quickly there by a low one, quickly empty by a high one. The least of them
// holds, and no lower drive makes that shorter.
type lockWay struct {
	at     float64 // V at its gate
	charge float64 // C until then, at most
	on     float64 // ohm that empty a drive from then on, at most
}

// mostWays is how many stated on-resistances of an interlock are looked at.
const mostWays = 6

// interlocks works the interlock out with the low side's junction at hot degrees
// Celsius. It has a stated on-resistance when its whole gate charge has come through
// its resistor, at the current that flows when the gate is nearly there.
func (b *bridgeStage) interlocks(hot float64) (k interlocking) {
	x := b.lock
	if k.vmax = float64(b.env.Pin.SupplyMax); x == nil {
		return k
	}
	k = interlocking{vmax: k.vmax, leaks: float64(x.IGSSMax.Or(catalog.BracketIGSSMax)) * b.rxg.hi(), out: float64(b.env.Pin.ROutMax), held: b.rpdLo(), least: float64(b.env.Pin.SupplyMin)}
	low, shifter := b.thresholds(hot)
	gates, ok := b.driveCharge()
	if !ok || !low.OK || !shifter.OK || !b.half.off.OK {
		return k
	}
	rint, _ := device.GateResistance(x)
	k.through = b.rxg.hi() + k.out + rint
	b.lockWays(&k)
	k.known, k.gates, k.low, k.shifter = k.n > 0, gates, low.V, shifter.V
	k.offHigh = b.half.off.V
	k.inside, _ = device.GateResistance(b.p)
	if k.known && k.low < k.vmax && k.shifter > 0 && k.shifter < k.vmax {
		k.lnLow, k.lnShifter = math.Log(k.vmax/(k.vmax-k.low)), math.Log(k.vmax/k.shifter)
		k.leastOn = k.on(math.Inf(1))
		k.offLeast = k.offHigh + k.full(math.Inf(1)) + (k.leastOn+k.inside)*k.gates/k.shifter
	}
	return k
}

// lockWays lists the on-resistances that are stated for the interlock's current under
// its greatest drive. At each its gate is no higher than that.
func (b *bridgeStage) lockWays(k *interlocking) {
	x, i := b.lock, b.env.lockCurrent(b.rx)
	alpha, _ := device.HotSlope(x)
	warm := 1 + alpha*max(0, b.half.smallHot-device.Room)
	for j := range x.RDSOn {
		pt := &x.RDSOn[j]
		at := lockAt(x, pt, i)
		if at >= k.drive(math.Inf(1)) || k.n == len(k.ways) {
			continue
		}
		q := float64(x.QGMax.Q.Value())
		if v := float64(x.QGMax.VGS.Or(0)); v > 0 {
			q *= max(1, at/v)
		}
		k.ways[k.n] = lockWay{at: at, charge: q, on: b.rx.hi() + float64(pt.Max.Value())*warm}
		k.n++
	}
}

// lockCurrent is what the interlock bears at the most, A: the capacitor's.
func (e *Env) lockCurrent(rx resistor) float64 {
	return float64(e.Pin.SupplyMax) / max(rx.lo(), link)
}

// drive is the gate voltage of the interlock, V at the least: the same pin feeds its
// own drive through rg ohms, into an empty capacitor, or for ever where the other pin
// is high too.
func (k *interlocking) drive(rg float64) float64 {
	v, held := k.least, parallel(k.held, rg)
	if !math.IsInf(held, 1) {
		v *= held / (held + k.out)
	}
	return max(0, v-k.leaks)
}

// reach is the time until the interlock's gate is where an on-resistance is stated, s at
// the most; infinite where it never is.
func (k *interlocking) reach(w *lockWay, drive float64) float64 {
	if drive <= w.at {
		return math.Inf(1)
	}
	return w.charge * k.through / (drive - w.at)
}

// full is the shortest of those times, infinite where there is none.
func (k *interlocking) full(rg float64) float64 {
	t, drive := math.Inf(1), k.drive(rg)
	for i := range k.ways[:k.n] {
		t = min(t, k.reach(&k.ways[i], drive))
	}
	return t
}

// on is what holds a drive down in the end, ohm at the most: infinite where nothing does.
func (k *interlocking) on(rg float64) float64 {
	r, drive := math.Inf(1), k.drive(rg)
	for i := range k.ways[:k.n] {
		if w := &k.ways[i]; drive > w.at {
			r = min(r, w.on)
		}
	}
	return r
}

// apart works out both dead times for a resistor and a capacitor. When a pin goes
// high its interlock begins to empty the other drive, and its own drive begins to
// fill, at its least from what the other interlock left on it.
func (k *interlocking) apart(rg resistor, c *catalog.Capacitor) (ends [2]deadTime, rest float64) {
	ends = [2]deadTime{{what: "the high side is off before the low side below it is on"}, {what: "the low side is off before the high side above it is on"}}
	on := k.on(max(rg.lo(), link))
	if !k.known || c == nil || math.IsInf(on, 1) {
		return ends, k.vmax // nothing that is stated holds it down
	}
	rest = k.rest(on, rg)
	ends[0].off, ends[0].delay = addCost(k.empty(k.shifter, rg, c), design.Known(k.offHigh)), k.fill(k.low, rest, rg, c)
	ends[1].off, ends[1].delay = k.empty(k.low, rg, c), k.fill(k.shifter, rest, rg, c)
	return ends, rest
}

// rest is what so many ohms leave on a drive whose pin is high, V.
func (k *interlocking) rest(on float64, rg resistor) float64 {
	if rg.nom <= 0 {
		return k.vmax
	}
	return k.vmax * on / (on + rg.lo())
}

// empty is the time that a drive takes from full to a threshold once the other pin is
// high: until the interlock has an on-resistance, then its capacitor by an exponential,
// the gates on it at the current of the end. It has no end at or under what the
// interlock leaves.
func (k *interlocking) empty(to float64, rg resistor, c *catalog.Capacitor) (t design.Number) {
	drive := k.drive(max(rg.lo(), link))
	for i := range k.ways[:k.n] {
		w := &k.ways[i]
		wait, rest := k.reach(w, drive), k.rest(w.on, rg)
		if math.IsInf(wait, 1) || to <= rest {
			continue
		}
		wait += w.on*filmHi(c)*math.Log((k.vmax-rest)/(to-rest)) + (w.on+k.inside)*k.gates/(to-rest)
		if !t.OK || wait < t.V {
			t = design.Known(wait)
		}
	}
	return t
}

// fill is the time that a drive takes to a threshold at the least.
func (k *interlocking) fill(to, rest float64, rg resistor, c *catalog.Capacitor) float64 {
	if to <= rest || to >= k.vmax {
		return 0
	}
	return rg.lo() * filmLo(c) * math.Log((k.vmax-rest)/(k.vmax-to))
}

func isApart(ends *[2]deadTime) bool {
	for i := range ends {
		if e := &ends[i]; !e.off.OK || !design.AtMost(e.off.V, e.delay) {
			return false
		}
	}
	return true
}

// driveCharge is what the gates on a drive hold, C at the most.
func (b *bridgeStage) driveCharge() (q float64, ok bool) {
	vmax := float64(b.env.Pin.SupplyMax)
	for _, p := range [...]*catalog.MOSFET{b.p, b.lock} {
		g := p.QGMax
		if g == nil || !g.Q.Known() {
			return 0, false
		}
		x := float64(g.Q.Value())
		if v := float64(g.VGS.Or(0)); v > 0 {
			x *= max(1, vmax/v)
		}
		q += x
	}
	return q, true
}

// hottestToAir is the heat resistance of an interlock to the air, K/W at the most (the
// worst of small packages; common practice, no source).
const hottestToAir = 600.0

// feed is what is left of the pin's level behind the resistor of the drive: the
// gates and the interlock, which is off, leak.
func (b *bridgeStage) feed() {
	b.src.lo = float64(b.env.Pin.SupplyMin)
	if b.lock == nil {
		return
	}
	leak := float64(b.lock.IGSSMax.Or(catalog.BracketIGSSMax))
	// With both pins high the interlock holds this drive down, and warms a little.
	vmax := float64(b.env.Pin.SupplyMax)
	i := vmax / max(b.rg.lo(), link)
	off := device.DrainLeakage(b.lock, vmax, b.l.TMax+hottestToAir*i*b.vRest)
	leak += off.V
	b.leaky = !off.OK
	out, k := float64(b.env.Pin.ROutMax), 1.0
	if !b.rpd.absent { // which the level comes through yet
		k = b.rpdLo() / (b.rpdLo() + out)
	}
	b.src.lo = max(0, b.src.lo-leak*(b.rg.hi()/k+out))
}

// ---- checks ----

const (
	byBody     = "the body diodes of the switches carry the winding's current to ground and rail: blocking-voltage and clamp-current judge them"
	noHighSide = "no P-channel MOSFET of the catalogue can be the high side with a level shifter from this pin"
)

// pinSide judges one pin: with both high its interlock is charged, and the other's
// holds its drive down.
func (b *bridgeStage) pinSide() {
	pin := b.env.Pin
	vmax := float64(pin.SupplyMax)
	drive := parallel(b.rpdLo(), max(b.rg.lo(), link))
	steady := vmax / (float64(pin.ROutMin) + drive)
	edge := drive
	if b.lock != nil {
		edge = parallel(drive, b.rxg.lo())
	}
	peak := vmax / (float64(pin.ROutMin) + edge)
	b.pinCurrent(steady, peak, peak, "{V_pin_max}/({R_out} + {R_pulldown} || {R_gate} || {R_interlock}) = {stress}",
		design.Arg{Name: "V_pin_max", V: vmax, Unit: design.V}, design.Arg{Name: "R_out", V: float64(pin.ROutMin), Unit: design.Ohm},
		across("R_pulldown", b.rpdLo()), design.Arg{Name: "R_gate", V: b.rg.lo(), Unit: design.Ohm},
		design.Arg{Name: "R_interlock", V: b.rxg.lo(), Unit: design.Ohm})
	// The other pin takes as much at the same time.
	b.d.Draws = append(b.d.Draws, design.Draw{Rail: b.env.PinRail.Name, A: steady})
	leak := b.pinLeaks()
	b.pinVoltageLow(design.Known(min(leak*finiteOr(b.rpd.hi(), 1/leak), vmax)), "i_gss_max")
}

// staysOff judges a drive at reset and without supply, and while the side across
// switches: its charge comes through the gate-drain capacitance, and the capacitor
// of the drive takes it.
func (b *bridgeStage) staysOff() {
	c := b.check(design.StaysOff, design.V)
	hot, known := b.everHot()
	low, shifter := b.thresholds(hot)
	worst := 0.0
	lift := b.coupled()
	for _, st := range b.offStates() {
		v := st.driven
		if v == 0 {
			v = b.control(st, 0, b.rpdHi(), b.pinLeaks()) + b.driveLeaks()*b.rg.hi()
		}
		if v += lift.V; v >= worst { // the motor's rail may rise in each
			worst, c.Because = v, st.name
		}
	}
	c.Rating = low
	if shifter.OK && (!low.OK || shifter.V < low.V) {
		c.Rating = shifter
	}
	if v := b.vRest + lift.V; lift.OK && v > worst {
		worst, c.Because = v, "the side across switches"
	}
	if c.Stress = design.Known(worst); !lift.OK {
		c.Stress, c.StressEstimate = design.Number{}, c.Stress
		c.Needs("q_gd_max")
	}
	_, _, c.Fallback = device.Threshold(b.p, hot)
	if c.Fallback {
		c.Needs("v_gs_th_slope_max")
	}
	switch {
	case !low.OK:
		c.Rating = design.Number{}
		c.Needs("v_gs_th.min")
	case b.half == nil || !shifter.OK:
		c.Rating = design.Number{}
		c.Needs("v_gs_th.min of the level shifter")
	case !known && !design.AtMost(worst, c.Rating.V):
		c.RatingEstimate, _, _ = device.Threshold(b.p, b.l.TMax)
		c.Rating = design.Number{}
		c.Needs(b.heatLacks())
	}
	capacity := 0.0
	if b.cap != nil {
		capacity = filmLo(b.cap)
	}
	c.Formula = "{V_pin_max} x {R_pulldown}/({R_pulldown} + {R_reset_pull}), leakage x {R_pulldown}, and {Q_gd}/{C_drive} when the rail rises or the side across switches: {stress}; threshold at {T_j} at least {rating}"
	c.SetArgs(design.Arg{Name: "V_pin_max", V: float64(b.env.Pin.SupplyMax), Unit: design.V},
		across("R_pulldown", b.rpdHi()),
		design.Arg{Name: "R_reset_pull", V: float64(b.env.Pin.ResetPullMin), Unit: design.Ohm},
		design.Arg{Name: "Q_gd", V: lift.V * capacity, Unit: design.C},
		design.Arg{Name: "C_drive", V: capacity, Unit: farad},
		design.Arg{Name: "T_j", V: hot, Unit: design.DegC})
	c.SetCorner(design.CornerValue{Name: "pin_supply", V: float64(b.env.Pin.SupplyMax)}, design.CornerValue{Name: "ambient", V: b.l.TMax})
	judge(c)
	b.onlyReversed(c, func(hot float64) {
		if low, shifter := b.thresholds(hot); low.OK && shifter.OK {
			c.RatingEstimate = design.Known(min(low.V, shifter.V))
		}
	})
	b.value(design.VControlReset, worst, design.V)
}

// farad is the unit of a capacitance in a formula.
const farad = design.Unit("F")

// powerChecks are those of the low side and of the bridge as a whole.
func (b *bridgeStage) powerChecks() {
	if b.sky == nil {
		for _, id := range [...]design.CheckID{design.ClampVoltage, design.ClampStandoff, design.ClampEnergy, design.ClampPower} {
			b.na(id, byBody)
		}
	}
	b.na(design.Avalanche, "the body diodes limit the voltage")
	b.blockingPower()
	b.onCurrent()
	b.peaks(b.p)
	b.junction()
	b.secondSink()
	if b.sky == nil {
		b.bodyCurrent()
	} else {
		b.schottkyChecks()
	}
	b.givesBack()
	b.releases()
	b.beyond = b.pinLeaks() - b.gateLeak()
	b.crossings()
	b.bridgePWM()
	b.leaks()
	b.drops()
	if b.half != nil {
		b.beside = b.half.sh.draw
	}
	b.railCurrent()
	b.noIsolation()
	b.fuses()
	b.caution(design.CautionRegeneration)
	if b.l.Kind == job.Motor {
		b.caution(design.CautionCoasts)
	}
}

// peaks is the peak-current check of a part.
func (m *mosfetStage) peaks(p *catalog.MOSFET) {
	fallback := !p.IDMMax.Known()
	idm := known(p.IDMMax)
	if fallback {
		idm = known(p.IDCase25)
	}
	m.peakCurrent(idm, fallback, "i_dm_max")
}

func (b *bridgeStage) blockingPower() { b.blocks(b.p, b.vPeak, b.half, b.spared) }

// blocks judges the rail and a body diode's drop across a switch that is off.
func (s *stage) blocks(p *catalog.MOSFET, peak design.Number, half *bridgeHalf, spared bool) {
	c := s.check(design.BlockingVoltage, design.V)
	c.K, c.Rating = s.pol.FETVoltage(), known(p.VDSMax)
	c.Stress = peak
	if _, ok := bodyDrop(p); !spared && (!ok || half != nil && !half.vsd.OK) {
		c.Stress, c.StressEstimate = design.Number{}, design.Known(s.l.VMax)
		c.Needs("body_diode_max.v_sd")
	}
	if !c.Rating.OK {
		c.Needs("v_ds_max")
	}
	c.Formula = "{V_rail_max} + {V_SD} of the diode = {stress}"
	c.SetArgs(design.Arg{Name: "V_rail_max", V: s.l.VMax, Unit: design.V}, design.Arg{Name: "V_SD", V: peak.V - s.l.VMax, Unit: design.V})
	c.SetCorner(design.CornerValue{Name: "rail", V: s.l.VMax})
	judge(c)
	s.value(design.VPeakOff, firstOf(c.Stress, c.StressEstimate), design.V)
}

// junction is the low side's junction.
func (m *mosfetStage) junction() {
	missing := "r_ds_on at this drive"
	if m.ron.OK {
		missing = "q_gd_max"
		if !m.pSw.OK || !m.tOff.OK {
			m.est, m.t.worst = m.t, design.Number{}
		}
		if _, ok := bodyDrop(m.p); !ok && !m.spared {
			missing = "body_diode_max.v_sd"
			m.est, m.t.worst = m.t, design.Number{}
		}
		if tj := float64(m.p.TjMax.Or(0)); m.plugs && m.t.worst.OK && m.t.worst.V <= tj {
			missing = "load.stall_time"
			m.est, m.t.worst = m.t, design.Number{}
		} else if m.lasts && m.t.worst.OK && m.t.worst.V <= tj {
			missing = "load.inductance"
			m.est, m.t.worst = m.t, design.Number{}
		}
	}
	m.junctionCheck(&m.p.Common, &m.p.Heat, m.t, m.est, missing)
}

// secondSink buys what the other low side needs beside itself, as the first has it.
func (b *bridgeStage) secondSink() {
	if b.d.Choice.HeatSink == "" {
		return
	}
	t := &b.t
	if t.sink == nil || t.sink.ID != b.d.Choice.HeatSink {
		t = &b.est // what the estimate rests on
	}
	b.buy("HS2", t.sink)
	b.element("HS2", design.RoleHeatSink, "heat-sink", t.sink.ID)
	if t.insulator != nil {
		b.buy("INS2", t.insulator)
		b.element("INS2", design.RoleInsulator, "insulator", t.insulator.ID)
	}
}

// bodyCurrent judges the freewheel path: the body diodes carry at first what the
// switches carried. A body diode is the same die as its channel and bears the same
// pulse (common practice, no source).
func (b *bridgeStage) bodyCurrent() {
	c := b.check(design.ClampCurrent, design.A)
	c.K = b.pol.IPeak
	parts := [2]*catalog.MOSFET{b.p, nil}
	if b.half != nil {
		parts[1] = b.half.p
	}
	for _, p := range parts {
		if p == nil {
			continue
		}
		i := known(p.IDMMax)
		if !i.OK {
			i, c.Fallback = known(p.IDCase25), true
			c.Needs("i_dm_max")
		}
		if !c.Rating.OK || i.OK && i.V < c.Rating.V {
			c.Rating = i
		}
	}
	for _, p := range parts {
		if p != nil && (p.BodyDiode == nil || !p.BodyDiode.VSD.Known() || !p.BodyDiode.Qrr.Known()) {
			c.RatingEstimate, c.Rating = c.Rating, design.Number{}
			c.Needs("body_diode_max")
			break
		}
	}
	if b.l.PeakKnown {
		c.Stress, c.EasyStress = design.Known(b.l.PeakCurrent()), b.l.EasyPeak()
		if b.l.PeakAssumed {
			c.Needs(b.l.InrushField())
		}
	} else {
		c.Needs(b.l.InrushField())
	}
	c.Because = "the body diodes are the freewheel path"
	c.Formula = "the body diodes take over {stress}; a pulse of {rating} is stated for their die"
	c.SetCorner(design.CornerValue{Name: "rail", V: b.l.VMax}, design.CornerValue{Name: "ambient", V: b.l.TMin})
	judge(c)
}

// givesBack is the clamp-energy check of a bridge that drives a coil from the pin's own
// supply, which gets back what the coil holds: some millijoules, enough to lift the 100 uF of
// a logic board by volts. Nobody stated what takes that there, and logic bears no more than
// its supply. On other rails, and of a motor, whose winding holds a tenth of that and less, a
// caution tells of it.
func (b *bridgeStage) givesBack() {
	if !b.l.Rail.IsPin || b.l.Kind != job.Coil {
		return
	}
	c := design.Check{Brief: b.env.Brief, ID: design.ClampEnergy, Unit: design.J, K: 1, Source: "the job"}
	if e, ok := b.returned(); ok {
		c.Stress = design.Known(e)
	}
	c.Because = "the pin's own supply gets it back, and logic bears no more than its supply: feed the bridge from another rail"
	c.Formula = "{stress} goes back into the pin's own supply when the winding is switched off; {rating} is taken there"
	c.SetCorner(design.CornerValue{Name: "rail", V: b.l.VMax})
	judge(&c)
	b.worseCheck(&c)
}

// returned is what the winding holds at the most, J.
func (b *bridgeStage) returned() (e float64, ok bool) {
	i := b.l.PeakCurrent()
	return b.l.LMax.V * i * i / 2, b.l.LMax.OK
}

// backRise is what a rail that takes nothing back may rise to of its highest voltage
// (common practice, no source).
const backRise = 1.05

// releases is the release-time check. A motor that is reversed while it turns has as
// much voltage of its own as the rail, and drives its current on against it: only the
// winding's resistance is sure to end it.
func (b *bridgeStage) releases() {
	l := b.l
	decay := design.Number{}
	if l.LMax.OK && l.RMin > 0 && l.ReleaseAt() > 0 {
		i, end := l.PeakCurrent(), min(l.ReleaseAt(), l.PeakCurrent())
		decay = design.Known(l.LMax.V / l.RMin * math.Log(i/end))
		b.value(design.TDecay, decay.V, design.S)
		e, _ := b.returned()
		b.value(design.ETurnoff, e, design.J)
		if l.Kind == job.Coil && l.VMax > 0 { // a motor that turns gives more, nobody knows how much
			b.value(design.CRail, 2*e/(l.VMax*l.VMax*(backRise*backRise-1)), farad)
		}
	}
	within, ok := l.ReleaseWithin.Get()
	if !ok {
		b.na(design.ReleaseTime, "no release time was asked")
		return
	}
	c := b.check(design.ReleaseTime, design.S)
	c.Rating, c.Source = design.Known(float64(within)), "the job"
	mech, stated := l.MechRelease.Get()
	switch {
	case decay.OK && stated && b.ends[0].off.OK:
		off := b.slowOff()
		c.Stress = addCost(design.Known(decay.V+float64(mech)), off)
		b.valueOf(design.TRelease, c.Stress, design.S)
		if !off.OK {
			c.Needs("q_gd_max")
		}
	case !decay.OK:
		c.Needs("load.inductance")
	default:
		c.Needs("load.mechanical_release_time")
	}
	c.Formula = "the current ends in the winding, and what moves comes to rest: {stress}; {rating} is allowed"
	judge(c)
}

// slowOff is the time from a pin that goes low until its diagonal is off, s at most.
func (b *bridgeStage) slowOff() design.Number {
	hot, _ := b.t.hottest(&b.p.Heat)
	low, shifter := b.thresholds(hot)
	if b.cap == nil || !low.OK || !shifter.OK || low.V <= 0 || shifter.V <= 0 || b.half == nil {
		return design.Number{}
	}
	rc, v := (b.rg.hi()+float64(b.env.Pin.ROutMax))*b.slow, float64(b.env.Pin.SupplyMax)
	n := addCost(design.Known(rc*math.Log(max(1, v/low.V))), b.tOff)
	p := addCost(design.Known(rc*math.Log(max(1, v/shifter.V))), b.half.off)
	if !n.OK || !p.OK {
		return design.Number{}
	}
	return design.Known(max(n.V, p.V))
}

// slowOn is the time from a pin that goes high until its diagonal is on, s at most.
func (b *bridgeStage) slowOn() design.Number {
	if b.cap == nil || b.half == nil {
		return design.Number{}
	}
	_, low, _ := device.Threshold(b.p, b.l.TMin)
	_, small, _ := device.Threshold(b.lock, b.l.TMin)
	plateau := device.DriveFor(b.p, b.l.PeakCurrent(), low.V)
	carry := device.DriveFor(b.lock, b.half.sh.draw, small.V)
	if !low.OK || !small.OK || !plateau.OK || !carry.OK || max(plateau.V, carry.V) >= b.vDrive {
		return design.Number{}
	}
	rc := (b.rg.hi() + float64(b.env.Pin.ROutMax)) * b.slow
	n := addCost(design.Known(rc*math.Log(b.vDrive/(b.vDrive-plateau.V))), b.tOn)
	p := addCost(design.Known(rc*math.Log(b.vDrive/(b.vDrive-carry.V))), b.half.on)
	if !n.OK || !p.OK {
		return design.Number{}
	}
	return design.Known(max(n.V, p.V))
}

func (b *bridgeStage) bridgePWM() {
	hot, _ := b.t.hottest(&b.p.Heat)
	on, off := b.slowOn(), b.slowOff()
	b.pwmCheck(on, off, &b.t, "q_gd_max", "r_ds_on at this drive", b.l.Mode == "pwm" && b.endless(hot))
	b.value(design.RGate, b.rg.nom, design.Ohm)
	if !b.rpd.absent {
		b.value(design.RPulldown, b.rpd.nom, design.Ohm)
	}
	b.valueOf(design.TOn, on, design.S)
	b.valueOf(design.TOff, off, design.S)
}

// leaks is what flows through the motor while all is off: what comes in through a
// high side and leaves through the low side across, no more than the lesser.
func (b *bridgeStage) leaks() {
	hot, _ := b.everHot()
	leak := func(hot float64) design.Number {
		return withBelow(device.DrainLeakage(b.p, b.l.VMax, b.l.TMax), heldAt(b.d),
			func(v float64) float64 { return device.ChannelBelow(b.p, v, hot) })
	}
	i := leak(hot)
	if b.half != nil && b.half.leak.OK && (!i.OK || b.half.leak.V < i.V) {
		i = b.half.leak
	}
	if b.sky != nil && b.sky.d != nil { // two of them in series with the motor, beside the switches
		i = addCost(i, b.sky.leak)
	}
	at := len(b.d.Checks)
	b.leakageCheck(i, "i_dss_max")
	if len(b.d.Checks) > at {
		c := &b.d.Checks[at]
		b.onlyReversed(c, func(hot float64) { c.StressEstimate = lesser(i, leak(hot)) })
	}
}

// drops is the on voltage of both switches of a diagonal.
func (b *bridgeStage) drops() {
	hot, _ := b.everHot()
	f := 1 + b.alpha*max(0, hot-device.Room)
	var drop, est design.Number
	if b.ron.OK {
		drop = design.Known(b.l.ILow * b.ron.V * f)
	}
	est = design.Known(b.l.ILow * firstOf(b.ron, b.ronEst) * f)
	if b.half != nil {
		drop, est = addCost(drop, b.half.drop), addCost(est, firstKnown(b.half.drop, b.half.dropEst))
	} else {
		drop, est = design.Number{}, design.Number{}
	}
	if drop.OK {
		est = design.Number{}
	}
	at := len(b.d.Checks)
	b.loadVoltage(drop, est)
	if !drop.OK {
		return
	}
	if len(b.d.Checks) > at {
		c := &b.d.Checks[at]
		b.onlyReversed(c, func(hot float64) {
			cooler := b.l.ILow * b.ron.V * (f - 1 - b.alpha*max(0, hot-device.Room))
			c.RatingEstimate = design.Known(c.Rating.V + max(0, cooler) + b.half.cooler)
		})
	}
	b.value(design.VOn, drop.V, design.V)
	b.value(design.ROn, b.ron.V*f+b.half.ron.V, design.Ohm)
	p := b.l.IHot * b.l.IHot * (b.ron.V*f + b.half.ron.V)
	b.value(design.POn, p, design.W)
	if b.pSw.OK && b.half.pSw.OK {
		b.value(design.PSwitching, b.pSw.V+b.half.pSw.V, design.W)
		if b.t.steady.OK && b.half.steady {
			b.value(design.PTotal, p+b.pSw.V+b.half.pSw.V, design.W)
		}
	}
}

func firstKnown(ns ...design.Number) design.Number {
	for _, n := range ns {
		if n.OK {
			return n
		}
	}
	return design.Number{}
}

func (b *bridgeStage) driveResistors() {
	vmax := float64(b.env.Pin.SupplyMax)
	f := max(b.l.Frequency, b.l.OpsPerSecond)
	stored := 0.0
	if b.cap != nil {
		stored = filmHi(b.cap) * vmax * vmax * f
	}
	b.load("drive resistor", "V^2/R with both pins high", b.rg, vmax*vmax/max(b.rg.lo(), link)+stored, vmax)
	if !b.rpd.absent {
		b.load("pull-down", "V^2/R", b.rpd, vmax*vmax/b.rpd.lo(), vmax)
	}
	if b.lock != nil {
		b.load("interlock resistor", "V^2/R with both pins high, and the capacitor's charge", b.rx, b.vRest*b.vRest/b.rx.lo()+stored, vmax)
		b.load("interlock gate resistor", "charge x voltage x rate", b.rxg, b.gateCharge()*vmax*f, vmax)
	}
}

// capacitors judges the voltage of those at the drives and at the high gates.
func (b *bridgeStage) capacitors() {
	c := b.check(design.CapacitorVoltage, design.V)
	c.K = b.pol.VCapacitor
	c.Formula = "highest pin supply or gate voltage {stress}, the capacitor bears {rating}"
	c.Stress = design.Known(float64(b.env.Pin.SupplyMax))
	if b.cap == nil {
		c.NoSolution, c.Because = true, "no film capacitor of the catalogue makes the dead time"
		judge(c)
		return
	}
	c.Rating, c.Source = known(b.cap.VDCMax), b.cap.Provenance
	if b.half != nil && b.half.cap != nil {
		if r := known(b.half.cap.VDCMax); r.OK && r.V*c.Stress.V < c.Rating.V*b.half.vGate {
			c.Rating, c.Stress, c.Source = r, design.Known(b.half.vGate), b.half.cap.Provenance
		}
	}
	if !c.Rating.OK {
		c.Needs("v_dc_max of the capacitor")
	}
	judge(c)
}

// shootThrough judges that no half of the bridge is ever on at both sides. The
// shortest time to turn on is that of the drive alone: what the gates take on top
// is not counted.
func (b *bridgeStage) shootThrough() {
	c := b.check(design.ShootThrough, design.S)
	c.Formula = "{stress} until a side is off at the most, {rating} until the one across is on at the least: -{R_gate} x {C_drive} x ln(1 - {V_th}/{V_pin_max})"
	steady, _ := b.t.hottest(&b.p.Heat)
	hot := b.hottestEver(steady)
	worst := -1
	for i := range b.ends {
		e := &b.ends[i]
		switch {
		case !e.off.OK:
			worst = i
		case worst < 0 || b.ends[worst].off.OK && e.off.V*b.ends[worst].delay > b.ends[worst].off.V*e.delay:
			worst = i
		}
		if !e.off.OK {
			break
		}
	}
	e := &b.ends[worst]
	c.Stress, c.Rating, c.Because = e.off, design.Known(e.delay), e.what
	capacity := 0.0
	if b.cap != nil {
		capacity = filmLo(b.cap)
	}
	low, shifter := b.thresholds(hot)
	vth := low.V
	if worst == 1 {
		vth = shifter.V
	}
	c.SetArgs(design.Arg{Name: "R_gate", V: b.rg.lo(), Unit: design.Ohm}, design.Arg{Name: "C_drive", V: capacity, Unit: farad},
		design.Arg{Name: "V_th", V: vth, Unit: design.V}, design.Arg{Name: "V_pin_max", V: float64(b.env.Pin.SupplyMax), Unit: design.V})
	c.SetCorner(design.CornerValue{Name: "pin_supply", V: float64(b.env.Pin.SupplyMax)}, design.CornerValue{Name: "ambient", V: b.l.TMax})
	switch {
	case b.half == nil:
		c.NoSolution, c.Because = true, noHighSide
	case b.rg.nom <= 0:
		c.NoSolution, c.Because = true, "without a resistor from pin to drive nothing delays the other side: dead time by the program is none"
	case !e.off.OK:
		// A time that nobody states is no dead time.
		c.NoSolution, c.Because = true, "how long a side takes to turn off is not known: its charge, the interlock's or their thresholds are not stated"
		c.Needs("q_g_max")
	}
	judge(c)
}

// ---- parts and picture ----

// across puts the high side beside the low side: of each check the worse.
func (b *bridgeStage) across() {
	h := b.half
	if h == nil {
		return
	}
	b.d.Half = h.d
	for i := range h.d.Checks {
		c := &h.d.Checks[i]
		if c.Stage == design.StageSelf {
			b.worse(c)
		}
	}
	b.judgeHigh()
	for _, id := range h.d.Cautions {
		b.caution(id)
	}
	b.d.BOM = append(b.d.BOM, h.d.BOM...)
	for _, line := range h.sh.d.BOM {
		switch line.Ref {
		case "R1", "R2": // the drive has its own
			continue
		}
		for _, ref := range highRefs(line.Ref) {
			line.Ref = ref
			b.d.BOM = append(b.d.BOM, line)
		}
	}
	b.buy("Q7", b.lock)
	b.buy("Q8", b.lock)
	b.adoptChecks(h)
	if !b.env.Brief {
		for _, v := range h.d.Values {
			b.d.Values = append(b.d.Values, design.Value{Key: "high." + v.Key, V: v.V, Unit: v.Unit})
		}
	}
}

// judgeHigh is what the high side bears that depends on the low side.
func (b *bridgeStage) judgeHigh() {
	at := len(b.d.Checks)
	v := len(b.d.Values)
	src := b.d.PartSource
	b.d.PartSource = b.half.p.Provenance
	b.blocks(b.half.p, b.vPeak, b.half, b.spared)
	b.d.PartSource = src
	b.d.Values = b.d.Values[:v]
	c := b.d.Checks[at]
	b.d.Checks = b.d.Checks[:at]
	b.worse(&c)
}

// worse keeps the worse of a check of the high side and the one that is there.
func (b *bridgeStage) worse(c *design.Check) {
	switch c.ID {
	case design.ResistorPower:
		keepWorse(&b.worstR.power, *c, &b.worstR.hasPower)
		return
	case design.ResistorVoltage:
		keepWorse(&b.worstR.voltage, *c, &b.worstR.hasVoltage)
		return
	}
	b.worseCheck(c)
}

const (
	byDrive   = "judged with the drive that it hangs on"
	whatLeaks = "what the interlock, the same part as the level shifter, leaks while it is off is not stated"
)

// adoptChecks nests the level shifter's own checks, less those of the drive, whose
// resistors are all it has at its gate, and its aims: the high side's own drive and
// stays-off judge what it drops and leaks.
func (b *bridgeStage) adoptChecks(h *bridgeHalf) {
	for i := range h.sh.d.Checks {
		c := h.sh.d.Checks[i]
		c.Stage = design.StageDriver
		switch c.ID {
		case design.PinCurrent, design.PinVoltage, design.StaysOff, design.ResistorPower, design.ResistorVoltage:
			b.d.NA = append(b.d.NA, design.NotApplicable{ID: c.ID, Stage: design.StageDriver, Why: byDrive})
			continue
		case aims[0].ID, aims[1].ID:
			continue
		case design.GateDrive: // it and the interlock are the same part on the same pin
			c.Rating = design.Known(min(c.Rating.V, min(b.vDrive, b.lockDrive)))
			if b.leaky {
				c.RatingEstimate, c.Rating = c.Rating, design.Number{}
				c.Because = whatLeaks
				c.Needs("i_dss_max")
			}
			judge(&c)
		}
		b.d.Checks = append(b.d.Checks, c)
	}
	for _, n := range h.sh.d.NA {
		n.Stage = design.StageDriver
		b.d.NA = append(b.d.NA, n)
	}
	for _, n := range aims {
		n.Stage = design.StageDriver
		b.d.NA = append(b.d.NA, n)
	}
	b.d.Draws = append(b.d.Draws, h.sh.d.Draws...)
}

// highRefs are the names of both pieces of a level shifter's part.
func highRefs(ref string) [2]string {
	switch ref {
	case "Q1":
		return [2]string{"Q5", "Q6"}
	case "HS1":
		return [2]string{"HS5", "HS6"}
	case "INS1":
		return [2]string{"INS5", "INS6"}
	}
	return [2]string{ref + "a", ref + "b"}
}

// diagonal names the nodes and parts of one direction.
type diagonal struct {
	pin, drive, gate, shift, lockGate, lockDrain string
	high, low                                    string // ends of the motor
	ref                                          int    // 0 or 1
	other                                        string // the pin that interlocks it
}

var diagonals = [2]diagonal{
	{"pin A", "drive A", "gate A", "shift A", "lock A", "hold A", "out A", "out B", 0, "pin B"},
	{"pin B", "drive B", "gate B", "shift B", "lock B", "hold B", "out B", "out A", 1, "pin A"},
}

var bridgeRefs = [2]struct{ pin, n, p, shift, lock, rg, rpd, rx, rxg, c, rgp, rpu, cp, z string }{
	{"PIN A", "Q1", "Q3", "Q5", "Q7", "R1", "R2", "R5", "R6", "C1", "R9", "R10", "C3", "D1"},
	{"PIN B", "Q2", "Q4", "Q6", "Q8", "R3", "R4", "R7", "R8", "C2", "R11", "R12", "C4", "D2"},
}

func (b *bridgeStage) drawBridge() {
	b.d.Choice.Capacitor = ""
	if b.cap != nil {
		b.d.Choice.Capacitor = b.cap.ID
	}
	if !b.env.Brief {
		b.d.Elements = append(b.d.Elements,
			design.Element{Ref: "V1", Role: design.RoleRail, Kind: "rail", Value: b.l.VNom, Unit: design.V, HasValue: true, Nodes: []string{nodeRail, nodeGround}},
			design.Element{Ref: "LOAD", Role: design.RoleLoad, Kind: string(b.l.Kind), Value: b.l.INom, Unit: design.A, HasValue: true, Nodes: []string{"out A", "out B"}})
	}
	for i := range diagonals {
		g, r := &diagonals[i], &bridgeRefs[i]
		key := [2]design.ValueKey{design.RGate, design.RPulldown}
		if i > 0 {
			key = [2]design.ValueKey{}
		}
		if !b.env.Brief {
			b.d.Elements = append(b.d.Elements, design.Element{Ref: r.pin, Role: design.RolePin, Kind: "pin", Value: float64(b.env.Pin.SupplyNom), Unit: design.V, HasValue: true, Nodes: []string{g.pin, nodeGround}})
		}
		b.resistorElement(r.rg, key[0], design.RoleDriveResistor, b.rg, g.pin, g.drive)
		b.resistorElement(r.rpd, key[1], design.RolePullDown, b.rpd, g.pin, nodeGround)
		b.element(r.n, design.RoleSwitch, "mosfet", b.p.ID, g.drive, g.low, nodeGround)
		if b.cap != nil {
			b.buy(r.c, b.cap)
			b.capacitorElement(r.c, b.cap, g.drive, nodeGround)
		}
		if b.half == nil {
			continue
		}
		b.element(r.lock, design.RoleShifter, "mosfet", b.lock.ID, g.lockGate, g.lockDrain, nodeGround)
		b.resistorElement(r.rx, "", design.RoleDriveResistor, b.rx, g.drive, g.lockDrain)
		b.resistorElement(r.rxg, "", design.RoleDriveResistor, b.rxg, g.other, g.lockGate)
		b.drawHigh(g, i)
	}
	b.drawSchottkys()
}

// capacitorElement draws a capacitor.
func (s *stage) capacitorElement(ref string, c *catalog.Capacitor, a, z string) {
	if s.env.Brief {
		return
	}
	s.d.Elements = append(s.d.Elements, design.Element{Ref: ref, Role: design.RoleSnubber, Kind: "capacitor", Part: c.ID, Value: float64(c.C.Or(0)), Unit: farad, HasValue: true, Nodes: []string{a, z}})
}
