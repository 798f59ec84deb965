package topology

import (
	"math"

	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/device"
)

// A pin may let go of its stage while the load is on: at a reset, or when its supply goes
// and the load's rail stays. What holds the stage off is then all that turns it off, and
// does so slower than the pin. Of that rare edge counts what one is enough for: the safe
// area, and the energy of a breakdown. Losses that repeat are those of a pin that drives.

// letsGo is from which side a pin drives a gate that it may let go of.
type letsGo uint8

const (
	keepsHold  letsGo = iota // another stage drives the gate, or what holds it off always empties it
	letsGoLow                // its pull-down then holds the gate to ground
	letsGoHigh               // its pull-up then holds the gate to the pin's own rail
)

// longestOff is how long a MOSFET takes to turn off at the most, s, be the pin driving or
// let go. An edge that has no end then is no edge: the load stays on, which stays-off says.
func (m *mosfetStage) longestOff() (off design.Number, released bool) {
	off = m.tOff
	if m.src.letsGo == keepsHold || !off.OK {
		return off, false
	}
	hot, known := m.everHot()
	if !known { // how slow is not known either, and nothing passes by it
		return off, false
	}
	vth, _, _ := device.Threshold(m.p, hot)
	charge := device.OffCharge(m.p, m.l.PeakCurrent(), hot, m.slow)
	if !vth.OK {
		return off, false
	}
	if !charge.OK { // what it gives off is not known, so neither is how long that takes
		return design.Number{}, false
	}
	inside, _ := device.GateResistance(m.p)
	slower := func(hold, left float64) {
		if left >= vth.V || math.IsInf(hold, 1) {
			return
		}
		if t := charge.V * (float64(m.side.parts())*hold + m.rg.hi() + inside) / (vth.V - left); t > off.V {
			off, released = design.Known(t), true
		}
	}
	leak := m.gatesLeak() + m.beyond
	if m.src.letsGo == letsGoHigh {
		for _, st := range m.highOffStates() {
			if math.IsInf(st.pull, 1) {
				slower(m.rpdHi(), raised(m.gateLeak()+st.leak, m.rpdHi(), m.l.VMax)+m.gateLeak()*m.rg.hi())
			}
		}
		return off, released
	}
	for _, st := range m.offStates() {
		if st.driven == 0 {
			slower(parallel(m.rpdHi(), st.pull), m.control(st, 0, m.rpdHi(), leak)+leak*m.rg.hi())
		}
	}
	return off, released
}

// quickPulls are what is tried for a pull-down that turns off quicker, ohm.
var quickPulls = [...]float64{4.7e3, 2.2e3, leastPull}

// quicker takes a smaller pull-down where the safe area fails only for what the pin lets
// go of, and not with that one. It takes of the drive, which has to serve as before.
func (m *mosfetStage) quicker() {
	if m.given.RPulldown.Said || m.src.letsGo != letsGoLow {
		return
	}
	off, released := m.longestOff()
	if !released || m.bearsOff(off) {
		return
	}
	rpd, rg, point := m.rpd, m.rg, m.point
	try := func(most float64) bool {
		m.pullUnder(most * (1 + rpd.tol))
		off, _ := m.longestOff()
		return m.rpd.nom < rpd.nom && m.bearsOff(off)
	}
	if try(leastPull) { // else none does
		for _, most := range quickPulls {
			if !try(most) {
				continue
			}
			if !m.given.RGate.Said {
				m.gateResistor()
			}
			m.solve()
			if off, _ := m.longestOff(); m.point == point && m.bearsOff(off) {
				return
			}
		}
		m.rpd, m.rg = rpd, rg
		m.solve()
		return
	}
	m.rpd, m.rg = rpd, rg
}

// bearsOff reports whether the safe area bears turning off in so long. It stops at the
// first crossing that does not fit; where all of the voltage and current at once fit, so
// does every point of a load line.
func (m *mosfetStage) bearsOff(off design.Number) bool {
	a := m.areaOf(m.p.SOA, &m.p.Heat, m.t, false)
	a.estimated(&m.est, &m.p.Heat)
	fits := func(e crossing) bool {
		at := a.before(e)
		if !at.applies(e) {
			return true
		}
		c := m.crossingCheck(&at, e)
		return c.Verdict == design.Fits
	}
	l := m.l
	if !l.Inductive && fits(crossing{l.VMax, max(l.IMax, l.PeakCurrent()), longest(m.tOn, off), ""}) {
		return true
	}
	var buf [edgeRoom]crossing
	ev := m.alongLine(m.windingEdges(buf[:0], m.tOn, off), m.tOn, off)
	if n := len(ev); n > 0 && !fits(ev[n/2]) {
		return false
	}
	for _, e := range ev {
		if !fits(e) {
			return false
		}
	}
	return true
}

// longestFall is the same of a bipolar's fall, s: what empties its base is then its bleed
// alone, less what leaks into the base and what a pull-up still brings.
func (n *npnStage) longestFall() (fall design.Number, released bool) {
	out := n.emptyingAlone()
	if !n.tFall.OK || out <= 0 {
		return n.tFall, false
	}
	_, _, t := device.SwitchingTimes(n.p, n.l.PeakCurrent(), max(firstOf(n.ibMin), firstOf(n.ibMax)), out)
	if t.OK && t.V <= n.tFall.V {
		return n.tFall, false
	}
	return t, true
}

// emptyingAlone is the least current that empties the base once the pin has let go, A; 0
// where nothing does, which stays-off says, or where the pin never empties it.
func (n *npnStage) emptyingAlone() float64 {
	bleed, least := n.bleedHi(), math.Inf(1)
	if n.feed().open || math.IsInf(bleed, 1) {
		return 0
	}
	empties := func(up, rb, leak float64) {
		least = min(least, device.BaseTurnOff(n.vbeHot, up, rb, bleed, n.rin())-leak)
	}
	if n.src.words != nil { // a high side on the pin's own rail
		for _, st := range n.highOffStates() {
			if math.IsInf(st.pull, 1) {
				empties(0, math.Inf(1), st.leak)
			}
		}
	} else {
		for _, st := range n.offStates() {
			switch {
			case st.driven > 0:
			case math.IsInf(st.pull, 1):
				empties(0, math.Inf(1), st.leak)
			default:
				empties(float64(n.env.Pin.SupplyMax), n.rb.lo()+st.pull, st.leak)
			}
		}
	}
	return max(0, finiteOr(least, 0))
}
