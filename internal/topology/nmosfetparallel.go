package topology

import (
	"cmp"
	"math"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/device"
	"example.org/pinhoist/internal/load"
	"example.org/pinhoist/internal/thermal"
)

// nMOSFETParallel is two to four N-channel MOSFETs of one kind side by side
// between load and ground, a gate resistor each, one pull-down for all of them on
// the pin's side. They share what is steady; one of them bears alone what is not:
// an edge, a pulse.
type nMOSFETParallel struct{}

func (nMOSFETParallel) ID() string   { return "n-mosfet-parallel" }
func (nMOSFETParallel) Side() string { return "low" }

func (nMOSFETParallel) Owes(l *load.Model) []design.CheckID { return nMOSFETLow{}.Owes(l) }

// Takes lists the elements of a stage as built that are worked out.
func (nMOSFETParallel) Takes(l *load.Model) []string { return nMOSFETLow{}.Takes(l) }

func (nMOSFETParallel) Serves(env *Env, l *load.Model, sw catalog.Part) string {
	return servesGate(env, l, sw)
}

// fewestParallel and mostParallel are how many stand side by side.
const fewestParallel, mostParallel = 2, 4

// Design takes the least number that gives the best verdict.
func (t nMOSFETParallel) Design(env *Env, l *load.Model, sw catalog.Part, given *Given, d *design.Design) {
	env.limited(l, given, d, func(l *load.Model, d *design.Design) (warms float64, sure bool) {
		n := cmp.Or(given.Parallel, fewestParallel)
		m := mosfetStage{stage: begin(env, l, given, d, t.ID(), sw.Base()), p: sw.(*catalog.MOSFET), side: sideBySide{n: n, part: new(load.Model)}, src: pinSource(&env.Pin, n)}
		m.parts()
		m.drops()
		alone := m.side.peak(l) == l.PeakCurrent() // then more of them are driven no better
		return m.ownHeat(), given.Parallel > 0 || alone && !m.ron.OK
	}, func(l *load.Model, d *design.Design) { t.unlimited(env, l, sw, given, d) })
}

// unlimited is Design for a load as it is, with the limiter that stands in its way.
func (t nMOSFETParallel) unlimited(env *Env, l *load.Model, sw catalog.Part, given *Given, d *design.Design) {
	room := new(load.Model)
	if given.Parallel > 0 {
		t.of(given.Parallel, room, env, l, sw, given, d)
		return
	}
	best, verdict := fewestParallel, design.Over
	n := fewestParallel
	for ; n <= mostParallel; n++ {
		t.of(n, room, env, l, sw, given, d)
		if n == fewestParallel || d.Verdict < verdict {
			best, verdict = n, d.Verdict
		}
		if d.Verdict == design.Fits || !moreHelp(d, sw.(*catalog.MOSFET), l, n+1) {
			break
		}
	}
	if n = min(n, mostParallel); n != best {
		t.of(best, room, env, l, sw, given, d)
	}
}

// coolerMatters is the steady rise, K, under which a cooler junction changes little.
const coolerMatters = 20.0

// moreHelp reports whether more parts may better a design's verdict: not where a
// check of the worst verdict does not come from what the parts share, nor where the
// most of them would still not do.
func moreHelp(d *design.Design, p *catalog.MOSFET, l *load.Model, n int) bool {
	most := sideBySide{n: mostParallel}
	steady := valueIn(d, design.TStuckOn) // what they share
	for i := range d.Checks {
		c := &d.Checks[i]
		if c.Verdict != d.Verdict {
			continue
		}
		switch c.ID {
		case design.OnCurrent:
			if c.Rating.OK && !design.AtMost(l.IMax*most.most(), c.Rating.V) {
				return false
			}
		case design.GateDrive: // where a figure is stated at this drive, for less current
			if lowestServing(p, c.Rating.V, 0) > c.Rating.V || most.peak(l) == l.PeakCurrent() {
				return false
			}
		case design.JunctionTemperature: // a pulse is not shared
			if steady.OK && c.Allowed.OK && design.AtMost(steady.V, c.Allowed.V) {
				return false
			}
		case design.SafeArea, design.StaysOff: // of a cooler junction
			if steady.OK && steady.V-l.TMax < coolerMatters {
				return false
			}
		case design.LoadVoltage, design.CoilPickup:
		default:
			return false
		}
	}
	return n <= mostParallel
}

// of designs the stage of n parts; room is for the load as the hottest part sees it.
func (t nMOSFETParallel) of(n int, room *load.Model, env *Env, l *load.Model, sw catalog.Part, given *Given, d *design.Design) {
	m := mosfetStage{stage: begin(env, l, given, d, t.ID(), sw.Base()), p: sw.(*catalog.MOSFET), side: sideBySide{n: n, part: room}, src: pinSource(&env.Pin, n)}
	m.parts()
	m.pinChecks()
	m.staysOff()
	m.pinGateDrive()
	m.checks()
	m.mayRing()
	m.others()
	m.drawParallel()
	m.finish(t.Owes(l))
}

// parallelRefs are the names of parts side by side, the first as where it is alone.
var parallelRefs = [mostParallel]struct{ q, r, node, sink, insulator string }{
	{"Q1", "R1", nodeControl, "HS1", "INS1"},
	{"Q2", "R3", nodeControl + "-2", "HS2", "INS2"},
	{"Q3", "R4", nodeControl + "-3", "HS3", "INS3"},
	{"Q4", "R5", nodeControl + "-4", "HS4", "INS4"},
}

// others buys what each of the other parts needs beside itself: a heat sink, an
// insulator, as the first has got them.
func (m *mosfetStage) others() {
	if m.d.Choice.HeatSink == "" {
		return
	}
	t := &m.t
	if t.sink == nil || t.sink.ID != m.d.Choice.HeatSink {
		t = &m.est // what the estimate rests on
	}
	for _, ref := range parallelRefs[1:m.side.parts()] {
		m.buy(ref.sink, t.sink)
		m.element(ref.sink, design.RoleHeatSink, "heat-sink", t.sink.ID)
		if t.insulator != nil {
			m.buy(ref.insulator, t.insulator)
			m.element(ref.insulator, design.RoleInsulator, "insulator", t.insulator.ID)
		}
	}
}

func (m *mosfetStage) drawParallel() {
	m.draw()
	for _, ref := range parallelRefs[1:m.side.parts()] {
		m.resistorElement(ref.r, "", design.RoleDriveResistor, m.rg, nodePin, ref.node)
		m.element(ref.q, design.RoleSwitch, "mosfet", m.p.ID, ref.node, nodeSwitch, nodeGround)
	}
}

// leastShare is the on-resistance of a part at the least, as a share of the stated
// maximum of its kind (common practice, no source).
const leastShare = 0.7

// leastGate is the gate resistor, ohm, under which parts side by side may ring
// against each other (common practice, no source).
const leastGate = 4.7

// mayRing leaves the gate voltage open where the gates have too little between them.
func (m *mosfetStage) mayRing() {
	if m.rg.nom >= leastGate {
		return
	}
	for i := range m.d.Checks {
		if c := &m.d.Checks[i]; c.ID == design.GateVoltage && c.Stage == design.StageSelf {
			c.Stress, c.StressEstimate = design.Number{}, c.Stress
			c.Because = "gates side by side with less than 4.7 ohm each may ring against each other: how far is not known"
			c.Needs(string(design.RGate))
			judge(c)
		}
	}
}

// sideBySide is how many parts share a stage's current, and how. Its zero value
// is one part alone.
type sideBySide struct {
	n    int
	part *load.Model // the load as the hottest part sees it
}

func (s *sideBySide) parts() int { return max(1, s.n) }

func (s *sideBySide) arg() design.Arg {
	return design.Arg{Name: "n", V: float64(s.parts()), Unit: design.One}
}

// most is the greatest share of a steady current that one part takes while all are
// equally warm, as they are when they are switched on: that of least resistance
// among others of the greatest, 1/(1 + 0.7*(n - 1)).
func (s *sideBySide) most() float64 {
	return 1 / (1 + leastShare*float64(s.parts()-1))
}

// peak is the greatest current that one part must carry, A: its share of what is
// steady, a jammed motor's current that nothing ends among it, and the whole of a
// pulse.
func (s *sideBySide) peak(l *load.Model) float64 {
	if s.parts() > 1 && (!l.HasInrush || l.Pulse.Shape == load.ForEver) {
		return l.PeakCurrent() * s.most()
	}
	return l.PeakCurrent()
}

// gateResistor is the gate resistor of each part, ohm, where one alone would need
// so much.
func (s *sideBySide) gateResistor(need float64) float64 {
	if s.parts() == 1 {
		return need
	}
	return max(leastGate, float64(s.n)*need)
}

// warming is the current of one part of the greatest on-resistance that warms as
// much as the hottest of all parts does, as a share of the load's. Which one that
// is: among two it is hottest where all have the greatest on-resistance, 1/n;
// among more it is the one of least resistance, which takes share of the current,
// sqrt(0.7)*share. (Its loss at a common voltage V is V^2/R; R/(R + R_others/(n -
// 1))^2 has its maximum where R is that of all others together.)
func (s *sideBySide) warming(share float64) float64 {
	return max(1/float64(s.n), math.Sqrt(leastShare)*share)
}

// share is the part of the current that the part of least resistance takes when it
// is hot degrees Celsius in air of ta. The others are cooler: at the same voltage
// their losses are as its resistance to theirs, and so are their rises,
//
//	(T - ta)*f(T) = (hot - ta)*0.7*f(hot)    f(T) = 1 + alpha*(T - 25), at least 1
func (s *sideBySide) share(hot, ta, alpha float64) float64 {
	mine := leastShare * thermal.OnFactor(hot, alpha)
	others := 1.0
	below := device.Room - ta
	if above := max(0, hot-ta)*mine - below; above > 0 { // the root of the square above 25 C
		b := 1 + alpha*below
		others += alpha * 2 * above / (b + math.Sqrt(b*b+4*alpha*above))
	}
	return others / (others + mine*float64(s.n-1))
}

// hottest is the load as the hottest part sees it in the steady state, all of them
// equally warm.
func (s *sideBySide) hottest(l *load.Model) *load.Model {
	if s.parts() == 1 {
		return l
	}
	*s.part = *l
	f := s.warming(s.most())
	s.part.IMax, s.part.IHot = f*l.IMax, f*l.IHot
	scalePulse(&s.part.Pulse, f)
	scalePulse(&s.part.PulseHot, f)
	return s.part
}

// shared is what warms the hottest part, at hot degrees Celsius, of the heat that
// the whole current would make in one.
func (s *sideBySide) shared(h *heat, hot, ta, alpha float64) {
	if s.parts() == 1 {
		return
	}
	h.i *= s.warming(s.share(hot, ta, alpha))
	f := s.warming(s.most())
	scalePulse(&h.pulse, f)
	if h.pulse.Shape == load.ForEver {
		h.sw /= f // its edges are not shared
	}
}

// scalePulse leaves a pulse whole, which one part bears alone, and scales what is
// steady: that which follows it, and a stall that nothing ends.
func scalePulse(p *load.Pulse, f float64) {
	p.Steady *= f
	if p.Shape == load.ForEver {
		p.Peak *= f
	}
}
