package topology

import (
	"math"
	"slices"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/load"
	"example.org/pinhoist/internal/thermal"
	"example.org/pinhoist/internal/waveform"
)

// ratedSwitching is the switching rate, operations per second, from which switching
// losses count outside PWM.
const ratedSwitching = 1.0

// recoveryLoss is what the recovery of a freewheel diode costs the switch that ends
// its current of i amperes at f hertz, W: for trr seconds it carries the load's
// current and the diode's on top of it, a triangle of the load's current at most, at
// the whole voltage: 1.5*v*i*trr*f. (A diode that is forced off faster than in the
// test of its own time may swing further for a shorter time; that the swing is no more
// than the current which ends is common practice, no source.)
func recoveryLoss(v, i, trr, f float64) float64 { return 1.5 * v * i * trr * f }

// conduction is the loss of a closed switch: (r*i^2 + w*i)*(1 + alpha*(T - 25)) + v*i. A
// resistance that is known by the voltage which it drops at some greater current is w.
type conduction struct{ r, w, alpha, v float64 }

func (c conduction) at(i, t float64) float64 {
	return c.cool(i)*thermal.OnFactor(t, c.alpha) + c.v*i
}

// cool is what of it goes with the temperature, at 25 C, W.
func (c conduction) cool(i float64) float64 { return c.r*i*i + c.w*i }

// heat is everything that warms a junction.
type heat struct {
	cond  conduction
	duty  float64 // of conduction in the steady state
	i     float64 // steady current at the hottest air, A
	extra float64 // beside conduction: base drive, switching, inrush average, W
	stuck float64 // extra with the pin stuck high, W
	sw    float64 // switching loss per ampere under pwm, V: an inrush or a stall is chopped too
	idle  float64 // switching loss under pwm whatever the current, W
	back  float64 // V that a body diode drops under pwm, beside sw: it does not go with the frequency
	edges float64 // what of extra goes with the frequency of pwm, W
	mean  float64 // what of extra repeated inrushes add on average, W
	pulse load.Pulse
	ac    alternating

	edgeP, edgeT float64 // one slow edge: W for s
	backP, backT float64 // a body diode that carries a winding's current on: W for s; not known: 0
}

// alternating is how conduction pulses with the mains: steady and in an inrush. On DC
// it is empty.
type alternating struct {
	steady, start thermal.Wave
	over          float64 // the crest of steady over the conduction that RMS amperes make
}

func (a *alternating) is() bool { return a.steady.Half > 0 }

// temperatures of a junction with its thermal path.
type temperatures struct {
	worst, steady, stuckOn design.Number
	mean                   design.Number // steady without the ripple of the mains
	runaway, timeless      bool          // no steady temperature; an inrush whose length nobody stated
	sink                   *catalog.HeatSink
	insulator              *catalog.Insulator
	rth                    float64 // junction to air, whole
	rthKnown               bool
	lacks                  bool    // a loss that nobody knows: it may be hotter
	flat                   bool    // a pulse, an edge or a crest counts whole, for no network is stated
	rigid                  float64 // junction to sink, K/W
	jam                    float64 // degrees Celsius that a jam keeps which nothing ends; 0: there is none
}

// on is the sink of the way that t was solved for.
func (t *temperatures) on() onSink { return onSink{sink: t.sink, rigid: t.rigid} }

// path is the way of heat from a junction to the air, with what an inrush and an
// edge meet on it, worked out once.
type path struct {
	rth       float64 // whole, K/W
	rungs     int     // of the network, which the stage holds
	caseToAir float64 // K/W; the whole way where no network is stated
	toCase    float64 // K/W; the whole way where that is not stated
	tjMax     float64 // degC

	// A sink's resistance falls with its power, so that what a pulse adds depends on
	// what the sink carries before it: rth is a bound from the least power on, and what
	// is solved goes by the sink's own rise.
	sink     *catalog.HeatSink
	rigid    float64 // rth without the sink, K/W
	rigidAir float64 // caseToAir without the sink, K/W

	units   [2]unit // the last two that were asked for
	pulse   load.Pulse
	step    float64 // K/W for the length of the inrush as a rectangle
	square  float64 // K/ohm of its square above the steady one
	linear  float64 // K/V of its current above the steady one
	freely  float64 // K/ohm of the square of what a filament would take without a limit
	squared bool    // square, linear and freely are worked out
	lined   bool
	freed   bool
}

// onSink is a sink and what stands before it.
type onSink struct {
	sink  *catalog.HeatSink
	rigid float64 // K/W from junction to sink
}

// pathOf is a way; before is another of the same network, whose units hold here too.
func pathOf(h *catalog.Heat, rth float64, on onSink, rungs []thermal.Rung, p *load.Pulse, before *path) path {
	w := path{rth: rth, rungs: len(rungs), sink: on.sink, rigid: on.rigid, toCase: rth, tjMax: float64(h.TjMax.Or(150)), pulse: *p}
	if before.rungs == w.rungs {
		w.units = before.units
	}
	if w.sink == nil {
		w.rigid = rth
	}
	w.caseToAir, w.rigidAir = rth, w.rigid
	if rjc, ok := h.RthJC.Get(); ok {
		w.toCase = min(rth, float64(rjc))
		if len(rungs) > 0 {
			// What the network has, the rest has not: a worse figure to the case only
			// moves heat to where it is felt sooner.
			jc := thermal.Zth(rungs, math.Inf(1))
			w.caseToAir, w.rigidAir = max(0, rth-jc), max(0, w.rigid-jc)
		}
	}
	if p.Shape == load.Rectangle || p.Run != nil {
		w.step = w.unit(rungs, p.Equivalent()).rise(w.caseToAir)
	}
	return w
}

// unit is what a watt does to a network in so many seconds: its own rise, K/W, and how
// much of its way a case has gone. Without a network shortness earns no credit.
type unit struct{ t, zth, share float64 }

func (u *unit) rise(caseToAir float64) float64 { return u.zth + caseToAir*u.share }

// unit is remembered for the last two lengths: that of the inrush, and that of an edge.
func (w *path) unit(rungs []thermal.Rung, t float64) *unit {
	for i := range w.units {
		if u := &w.units[i]; u.t == t && t > 0 {
			return u
		}
	}
	u := unit{t: t, share: 1}
	if len(rungs) > 0 {
		u.zth, u.share = thermal.Zth(rungs, t), thermal.SinkShare(t)
	}
	w.units[0], w.units[1] = u, w.units[0]
	return &w.units[0]
}

// level is a steady junction: its temperature, the power that keeps it, and how much of
// its rise is the sink's.
type level struct{ t, p, sink float64 }

// carries is what the way carries away at a rise of so many kelvin, W at the least: a
// sink more than its resistance at a lesser power says.
func (w *path) carries(rise float64) float64 {
	if w.sink == nil || rise <= 0 {
		return rise / w.rth
	}
	return thermal.SinkCarries(w.sink, w.rigid, rise)
}

// after is how far p watts more heat the junction in t seconds above a level, K. The
// sink goes from where it is to its rise at all of the power: a junction that was
// hotter before is never cooler then.
func (w *path) after(rungs []thermal.Rung, from level, p, t float64) float64 {
	u := w.unit(rungs, t)
	rise := p * u.rise(w.rigidAir)
	if w.sink == nil || p <= 0 {
		return rise
	}
	return rise + u.share*w.sinkAbove(from, p)
}

// sinkAbove is how far the sink warms in the end above a level with p watts more, K.
func (w *path) sinkAbove(from level, p float64) float64 {
	rise, _ := thermal.SinkRise(w.sink, from.p+p)
	return max(0, rise-from.sink)
}

// way is pathOf, remembered for the last two ways of the stage: bare, and with a
// sink.
func (s *stage) way(h *catalog.Heat, rth float64, on onSink, rungs []thermal.Rung, p *load.Pulse) *path {
	for i := range s.ways {
		if w := &s.ways[i]; w.tjMax != 0 && w.rth == rth && w.sink == on.sink && w.pulse == *p && w.rungs == len(rungs) {
			return w
		}
	}
	s.ways[0], s.ways[1] = pathOf(h, rth, on, rungs, p, &s.ways[0]), s.ways[0]
	return &s.ways[0]
}

// network is a part's thermal network, in the stage's own room where it has enough.
func (s *stage) network(h *catalog.Heat) []thermal.Rung {
	rungs := thermal.AppendRungs(s.rungs[:0], h)
	if len(rungs) > len(s.rungs) {
		s.more = slices.Clone(rungs)
	}
	return rungs
}

// known is the network again.
func (s *stage) known(w *path) []thermal.Rung {
	if w.rungs > len(s.rungs) {
		return s.more
	}
	return s.rungs[:w.rungs]
}

// falls is how far an inrush that falls heats the junction above a level, K, in a
// resistance r and a voltage v: by its stairs.
func (w *path) falls(rungs []thermal.Rung, from level, r, v float64) float64 {
	rise := 0.0
	if r > 0 {
		if !w.squared {
			w.square, w.squared = w.stairs(w.pulse.Run, rungs, squared, meanSquare), true
		}
		rise += r * w.square
	}
	if v > 0 {
		if !w.lined {
			w.linear, w.lined = w.stairs(w.pulse.Run, rungs, func(i float64) float64 { return i }, func(s *waveform.Step) float64 { return s.Mean }), true
		}
		rise += v * w.linear
	}
	if w.sink != nil {
		var buf [waveform.MaxSteps]thermal.Stair
		steps := w.steps(w.pulse.Run, &buf, func(i float64) float64 { return r*i*i + v*i }, func(s *waveform.Step) float64 { return r*s.Square + v*s.Mean })
		rise += thermal.SinkStairs(steps, func(p float64) float64 { return w.sinkAbove(from, p) })
	}
	return rise
}

// fallsFreely is falls of a filament that something limits, in a resistance r, by what
// it would take without the limit. With r the filament's resistance over that when lit
// and i its current over the lit one, dr goes with (i^2*r - r^(10/3))*dt, so that the
// square above the steady one which passes while it heats by dr, (i^2 - 1)*dt, grows
// with i as far as it is lit, and its time falls: with less current at each r less heat
// comes, and all of it is older when the filament gets to where it is.
func (w *path) fallsFreely(rungs []thermal.Rung, from level, r float64) float64 {
	if !w.freed {
		w.freely, w.freed = w.stairs(w.pulse.Free, rungs, squared, meanSquare), true
	}
	rise := r * w.freely
	if w.sink != nil {
		var buf [waveform.MaxSteps]thermal.Stair
		steps := w.steps(w.pulse.Free, &buf, func(i float64) float64 { return r * i * i }, func(s *waveform.Step) float64 { return r * s.Square })
		rise += thermal.SinkStairs(steps, func(p float64) float64 { return w.sinkAbove(from, p) })
	}
	return rise
}

func squared(i float64) float64           { return i * i }
func meanSquare(s *waveform.Step) float64 { return s.Square }

// stairs is the rise of what is above the steady current, without a sink's own.
func (w *path) stairs(run *waveform.Envelope, rungs []thermal.Rung, top func(float64) float64, mean func(*waveform.Step) float64) float64 {
	var buf [waveform.MaxSteps]thermal.Stair
	return thermal.StairRise(rungs, w.steps(run, &buf, top, mean), w.rigidAir)
}

// steps is an inrush above the steady current; it never falls under that which it
// settles at.
func (w *path) steps(run *waveform.Envelope, buf *[waveform.MaxSteps]thermal.Stair, top func(float64) float64, mean func(*waveform.Step) float64) []thermal.Stair {
	p := &w.pulse
	for k := range run.Steps[:run.N] {
		st := &run.Steps[k]
		base, length := top(p.Steady), st.T
		if k == run.N-1 {
			base = max(base, top(p.Settled))
			if p.Tail > 0 {
				length = p.Tail
			}
		}
		buf[k] = thermal.Stair{T: length, Top: max(0, top(st.I)-base), Mean: max(0, mean(st)-base)}
	}
	return buf[:run.N]
}

// hottest is the steady junction for thresholds and leakage, degrees Celsius: that of a
// jam which nothing ends too, out of which the stage is switched off.
// It is never above the greatest allowed: a junction that is, fails its own
// check. known is false where no temperature is guaranteed; the greatest allowed
// is then the bound.
func (t *temperatures) hottest(h *catalog.Heat) (hot float64, known bool) {
	top := float64(h.TjMax.Or(150))
	if t.steady.OK && !t.lacks {
		return min(max(t.steady.V, t.jam), top), true
	}
	return top, false
}

// law is what warms a junction that is hot degrees Celsius: edges get slower as a
// threshold falls. Where it says false a loss is not known at that temperature,
// and the heat is without it.
type law func(hot float64) (heat, bool)

// start is what warms a junction at the temperature of the air, the least of its loop.
// known is what the law said.
type start struct {
	heat  heat
	known bool
}

// inAir is the law at the hottest air.
func (s *stage) inAir(of law) start {
	ht, known := of(s.l.TMax)
	return start{heat: ht, known: known}
}

// junctionHeat solves the junction at the hottest air, without a sink if that
// fits, else with the cheapest catalogue sink that does.
func (s *stage) junctionHeat(c *catalog.Common, h *catalog.Heat, of law) temperatures {
	rja, ok := thermal.JunctionToAir(h, s.env.Catalog.PackageOf(c), float64(s.l.CopperArea))
	if !ok {
		return temperatures{}
	}
	rungs := s.network(h)
	cool := s.inAir(of)
	bare := s.solveHeat(&cool.heat, s.way(h, rja, onSink{}, rungs, &cool.heat.pulse))
	bare.lacks = !cool.known
	if s.given.HeatSink.Said {
		if t, ok := s.withGivenSink(c, h, of, &cool, rungs); ok {
			return t
		}
		return s.settle(h, of, &cool, bare, onSink{}, rungs)
	}
	limit := float64(h.TjMax.Or(0)) - s.pol.JunctionBelow(float64(h.TjMax.Or(0)))
	fits := func(t *temperatures) bool { return t.worst.OK && t.worst.V <= limit }
	if !h.TjMax.Known() {
		return s.settle(h, of, &cool, bare, onSink{}, rungs)
	}
	t := temperatures{}
	hopeless := bare.worst.OK && !fits(&bare) // without a sink: its loss only grows from there
	if !hopeless {
		if t = s.settle(h, of, &cool, bare, onSink{}, rungs); fits(&t) {
			return t
		}
	}
	for _, sink := range s.env.Sinks {
		if u, ok := s.withSink(c, h, of, &cool, sink, limit, rungs); ok && fits(&u) {
			return u
		}
	}
	if hopeless {
		return s.settle(h, of, &cool, bare, onSink{}, rungs)
	}
	return t
}

// estimatedHeat is junctionHeat for an estimate beside t, which has the sink that
// the stage gets.
func (s *stage) estimatedHeat(c *catalog.Common, h *catalog.Heat, of law, t temperatures) temperatures {
	if t.sink != nil {
		cool := s.inAir(of)
		if u, ok := s.withSink(c, h, of, &cool, t.sink, math.Inf(1), s.network(h)); ok {
			return u
		}
	}
	return s.junctionHeat(c, h, of)
}

// heatDuty is the share of time in which the load is on, as far as heat believes it.
func (s *stage) heatDuty() float64 {
	if s.l.OnPeriod() > 0 {
		return s.l.DutyHeat
	}
	return 1
}

// settleStep is the first step, K, by which the search of settle goes beyond
// what the loss gives; each next one is twice as long.
const settleStep = 0.05

// settled is how near, K, the answer of settle is to the temperature that its own
// loss keeps.
const settled = 1e-6

// settle solves the junction where the loss depends on it: the least temperature
// that its own loss keeps, reached from the air up, as a part warms when it is
// switched on. The answer is never under that temperature: the search upwards
// ends where the loss at a temperature gives no more than it, and from there
// each round comes closer from above; where two rounds tell where they lead, that
// is tried, and taken if it is above too. Where the loss has no bound on the way up,
// there is no steady temperature. t is the junction that from makes.
func (s *stage) settle(h *catalog.Heat, of law, from *start, t temperatures, on onSink, rungs []thermal.Rung) temperatures {
	hot, top, step := s.l.TMax, float64(h.TjMax.Or(150)), settleStep
	ht, rth := from.heat, t.rth
	if !from.known {
		return t
	}
	way, known := s.way(h, rth, on, rungs, &ht.pulse), true
	var leads lead
	now, ok := t.hottest(h)
	for hot < top && ok && now > hot {
		hot = min(max(now, leads.to(hot, now))+step, top)
		step *= 2
		next, known := of(hot)
		if !known {
			return temperatures{rth: rth, rthKnown: true, runaway: true}
		}
		if next == ht {
			return t
		}
		ht, t = next, s.solveHeat(&next, way)
		now, ok = t.hottest(h)
	}
	for range 60 {
		if !ok || hot-now < settled {
			break
		}
		next := now
		if to := leads.to(hot, now) + settled/2; to < now {
			next = to
		}
		if ht, known = of(next); !known {
			break
		}
		u := s.solveHeat(&ht, way)
		then, is := u.hottest(h)
		if next < now && (!is || then > next) { // that was too far
			if ht, known = of(now); !known {
				break
			}
			next, u = now, s.solveHeat(&ht, way)
			then, is = u.hottest(h)
		}
		hot, t, now, ok = next, u, then, is
	}
	return t
}

// lead follows rounds of a search for the temperature that its own loss keeps.
type lead struct {
	hot, now float64
	any      bool
}

// to is where the straight line through this round and the one before keeps itself,
// degC: the loss at hot gives now. With no round before, or a line that is no nearer
// to it, that is now.
func (p *lead) to(hot, now float64) float64 {
	before := *p
	*p = lead{hot, now, true}
	if !before.any || before.hot == hot {
		return now
	}
	k := (now - before.now) / (hot - before.hot)
	if !(k > 0 && k < 0.9) {
		return now
	}
	return now + (now-hot)*k/(1-k)
}

// withGivenSink is settle with the sink that is stated; ok is false where there is
// none, or it cannot be mounted.
func (s *stage) withGivenSink(c *catalog.Common, h *catalog.Heat, of law, cool *start, rungs []thermal.Rung) (temperatures, bool) {
	for _, sink := range s.env.Sinks {
		if sink.ID == s.given.HeatSink.ID {
			if u, ok := s.withSink(c, h, of, cool, sink, math.Inf(1), rungs); ok {
				return u, true
			}
		}
	}
	return temperatures{}, false
}

// withSink is settle with a sink. cool is what warms the junction in air, as if it
// got no hotter, the least of the loop: at more, a sink is no worse. Where that
// alone takes the junction above limit, ok is false.
func (s *stage) withSink(c *catalog.Common, h *catalog.Heat, of law, air *start, sink *catalog.HeatSink, limit float64, rungs []thermal.Rung) (temperatures, bool) {
	rjc, ok := h.RthJC.Get()
	if !ok || !slices.Contains(sink.Fits, c.Package) {
		return temperatures{}, false
	}
	ins, rcs := s.joint(c, h)
	cool := &air.heat
	power := max(cool.cond.at(cool.i, s.l.TMax)*cool.duty+cool.extra, cool.cond.at(cool.i, s.l.TMax)+cool.stuck)
	if cool.pulse.Shape == load.ForEver {
		power = max(power, cool.cond.at(cool.pulse.Peak, s.l.TMax)+cool.stuck+(cool.sw+cool.back)*cool.pulse.Peak)
	}
	rsa, ok := thermal.SinkResistance(sink, power)
	if !ok {
		return temperatures{}, false
	}
	on := onSink{sink: sink, rigid: float64(rjc) + rcs}
	way := s.way(h, on.rigid+rsa, on, rungs, &cool.pulse)
	t := s.solveAt(s.l.TMax, cool, way)
	if !t.worst.OK || t.worst.V <= limit {
		t = s.orCold(t, cool, way)
	}
	if t.worst.OK && t.worst.V > limit {
		return temperatures{}, false
	}
	t.lacks = !air.known
	t = s.settle(h, of, air, t, on, rungs)
	t.sink, t.rigid, t.insulator = sink, on.rigid, ins
	return t, true
}

// joint is what stands between case and sink: an insulator where the metal is
// live and the catalogue has one (a pad on an isolated face, where the stage wants one),
// else the bare, dry joint.
func (s *stage) joint(c *catalog.Common, h *catalog.Heat) (*catalog.Insulator, float64) {
	if (h.TabIs != "isolated" || s.pads) && !(s.given.Insulator.Said && s.given.Insulator.ID == "") {
		for _, ins := range s.env.Insulators {
			if slices.Contains(ins.Fits, c.Package) && (s.given.Insulator.ID == "" || s.given.Insulator.ID == ins.ID) {
				if r, ok := ins.RCS.Get(); ok {
					return ins, float64(r)
				}
			}
		}
	}
	return nil, float64(catalog.BracketRCSDry)
}

// coldMatters is the rise, K, from which a winding in cold air may heat its
// switch more than in hot air: copper falls by up to 1/(234.5 - 40) per kelvin,
// its loss in the switch by twice of it, so that under 97 K of rise the air
// counts for more.
const coldMatters = 90.0

// solveHeat is the electro-thermal fixed point at the hottest air, and where a
// colder winding may be worse, at the coldest too.
func (s *stage) solveHeat(ht *heat, way *path) temperatures {
	return s.orCold(s.solveAt(s.l.TMax, ht, way), ht, way)
}

// orCold is what the coldest air makes of the junction at the hottest: never cooler.
func (s *stage) orCold(t temperatures, ht *heat, way *path) temperatures {
	l := s.l
	if t.runaway || !t.steady.OK || max(t.steady.V, t.worst.V)-l.TMax < coldMatters || l.IMax <= ht.i && l.Pulse.Peak <= ht.pulse.Peak {
		return t
	}
	cold := *ht
	cold.i, cold.pulse = max(ht.i, l.IMax), l.Pulse
	if ht.ac.is() {
		cold.pulse = ht.pulse // is that of the coldest winding already
	}
	u := s.solveAt(l.TMin, &cold, way)
	if u.runaway {
		return u
	}
	t.jam = max(t.jam, u.jam)
	t.steady.V, t.stuckOn.V, t.mean.V = max(t.steady.V, u.steady.V), max(t.stuckOn.V, u.stuckOn.V), max(t.mean.V, u.mean.V)
	if t.worst.OK {
		t.worst.V = max(t.worst.V, u.worst.V)
	}
	return t
}

// solveAt is the junction in air of ta, steady and stuck on, with the inrush or
// stall on top.
func (s *stage) solveAt(ta float64, ht *heat, way *path) temperatures {
	t := temperatures{rth: way.rth, rthKnown: true}
	jam, jams := level{}, false
	bounded := !ht.ac.is() && (ht.pulse.Shape == load.Rectangle || ht.pulse.Shape == load.Decay)
	if bounded || ht.pulse.Shape == load.ForEver {
		jam, jams = s.jamAt(ta, ht, way)
	}
	steady, ok := way.keeps(ta, way.rigid, ht.duty*ht.cond.cool(ht.i), ht.cond.alpha, ht.duty*ht.cond.v*ht.i+ht.extra)
	if jams && bounded && (!ok || jam.t < steady.t) {
		steady, ok = jam, true
	}
	stuck, held := way.keeps(ta, way.rigid, ht.cond.cool(ht.i), ht.cond.alpha, ht.cond.v*ht.i+ht.stuck)
	if t.runaway = !ok || !held; t.runaway {
		return t
	}
	t.stuckOn = design.Known(stuck.t)
	if stuck.t > steady.t && !s.l.DutyEnforced {
		steady = stuck
	}
	if way.sink != nil {
		steady.sink, _ = thermal.SinkRise(way.sink, steady.p)
	}
	if ht.ac.is() {
		t.mean = design.Known(steady.t)
	}
	if short := s.l.DutyEnforced && ht.duty < 1 && s.l.OnPeriod() > 0; short || ht.ac.is() {
		duty := 1.0
		if short {
			duty = ht.duty
		}
		top, ok := s.ripple(ta, ht, duty, way)
		if t.runaway = !ok; t.runaway {
			return t
		}
		if top.t > steady.t {
			steady = top
		}
		if ht.ac.is() && !short {
			t.stuckOn.V = max(t.stuckOn.V, top.t)
		}
	}
	t.steady = design.Known(steady.t)
	t.worst = t.steady
	switch ht.pulse.Shape {
	case load.ForEver:
		if t.runaway = !jams; t.runaway {
			t.worst, t.jam = design.Number{}, math.Inf(1)
			return t
		}
		t.jam = jam.t
		t.worst = design.Known(max(t.worst.V, jam.t))
	case load.UnknownTime:
		t.timeless, t.worst = true, design.Number{}
	case load.Rectangle, load.Decay:
		top := s.pulseTop(ht, steady, way)
		if jams {
			top = min(top, jam.t)
		}
		t.worst = design.Known(max(t.worst.V, top))
	}
	if t.worst.OK && ht.edgeT > 0 {
		t.worst.V = max(t.worst.V, t.steady.V+s.edgeRise(ht, steady, way))
	}
	t.flat = way.rungs == 0 && t.worst.OK && ht.pulse.Shape != load.ForEver && t.worst.V > firstOf(t.mean, t.steady)
	if t.worst.OK && ht.backT > 0 {
		t.worst.V = max(t.worst.V, t.steady.V+way.after(s.known(way), steady, ht.backP, ht.backT))
	}
	return t
}

// jamAt is the junction that an inrush or a stall keeps if it never ends: however long
// it lasts and however often it comes again, it heats no more. False where it has no
// bound.
func (s *stage) jamAt(ta float64, ht *heat, way *path) (level, bool) {
	i := max(ht.pulse.Peak, ht.i)
	beside := max(ht.stuck, ht.extra-ht.mean) + (ht.sw+ht.back)*i
	return way.keeps(ta, way.rigid, ht.cond.cool(i), ht.cond.alpha, ht.cond.v*i+beside)
}

// keeps is the steady junction of a loss of p0 watts at 25 C and beside more that does
// not go with the temperature, without the sink's part of it; ok is false for thermal runaway.
func (w *path) keeps(ta, rth, p0, alpha, beside float64) (level, bool) {
	if w.sink == nil {
		t, ok := thermal.FixedPoint(ta, rth, p0, alpha, design0, beside)
		return level{t: t}, ok
	}
	t, p, ok := thermal.OnSink(w.sink, ta+rth*beside, rth, p0, alpha, beside, 1)
	return level{t: t, p: p}, ok
}

// leastEnds works frequencyEnds out at the highest rail and, where that is worked out too,
// at the lowest, where a load of constant power draws more. At enough Hz the edges end it:
// one that is more is no nearer to the truth than that.
func (s *stage) leastEnds(h *catalog.Heat, t *temperatures, hot, enough float64, of law) {
	s.frequencyEnds(h, t, hot, enough, of)
	if s.low == nil {
		return
	}
	high, ends, calm := s.l, s.ends, s.endsCalm
	s.l = s.low
	s.frequencyEnds(h, t, hot, enough, of)
	s.l = high
	s.ends, s.endsCalm = lesser(s.ends, ends), lesser(s.endsCalm, calm)
}

// lesser is the lesser of two numbers, unknown where one is.
func lesser(a, b design.Number) design.Number {
	if !a.OK || !b.OK {
		return design.Number{}
	}
	return design.Known(min(a.V, b.V))
}

// frequencyEnds works out at which frequency of pwm the junction gets to the greatest
// that the part bears: with the inrush or stall, and without. It is never above the
// truth, and not under the job's own where the junction is solved at it. hot is the
// steady junction.
func (s *stage) frequencyEnds(h *catalog.Heat, t *temperatures, hot, enough float64, of law) {
	l := s.l
	s.ends, s.endsCalm = design.Number{}, design.Number{}
	now, ok := of(hot)
	if !ok || !t.steady.OK || !t.worst.OK || t.rth <= 0 || now.edges <= 0 {
		return
	}
	top, f := float64(h.TjMax.Or(150)), l.Frequency
	way := s.way(h, t.rth, t.on(), s.network(h), &now.pulse)
	p := &now.pulse
	if p.Shape == load.ForEver {
		s.endsCalm = s.frequencyAt(top, enough, t, way, 0, of)
		jam := way.carries(top-l.TMax) - now.cond.at(p.Peak, top) - now.stuck - (now.sw+now.back)*p.Peak - now.idle
		s.ends = design.Known(min(s.endsCalm.V, max(0, f*(1+jam/(now.sw*p.Peak+now.idle)))))
	} else {
		over := now.sw * max(0, p.Peak-p.Steady) * way.step / t.rth // W, of an inrush that is chopped
		s.ends = s.frequencyAt(top-max(0, t.worst.V-t.steady.V), enough, t, way, over, of)
		if s.endsCalm = s.ends; t.worst.V > t.steady.V {
			s.endsCalm = s.frequencyAt(top, enough, t, way, 0, of)
		}
	}
	if t.worst.V <= top {
		s.ends.V, s.endsCalm.V = max(s.ends.V, f), max(s.endsCalm.V, f)
	}
}

// frequencySteps is at how many temperatures the balance of loss and cooling is tried.
const frequencySteps = 3

// frequencyAt is a frequency, Hz, at which some junction up to top degrees Celsius
// keeps itself: the greatest of a few, or the first that is enough. over is what else grows
// with it, W at the job's own frequency.
func (s *stage) frequencyAt(top, enough float64, t *temperatures, way *path, over float64, of law) design.Number {
	l, best := s.l, 0.0
	from := l.TMax
	if t.steady.V < top {
		from = t.steady.V
	}
	eff, period := 0.0, l.OnPeriod()
	for k := 1; k <= frequencySteps && best < enough; k++ {
		hot := from + (top-from)*float64(k)/frequencySteps
		there, ok := of(hot)
		if !ok {
			break
		}
		loss := there.duty * there.cond.at(there.i, hot)
		if l.DutyEnforced && there.duty < 1 {
			if eff == 0 {
				eff = thermal.TrainRise(s.known(way), 1, there.duty*period, period, way.caseToAir) / t.rth
			}
			loss = max(loss, eff*there.cond.at(there.i*s.choppedMost(), hot))
		}
		spare := way.carries(hot-l.TMax) - loss - there.extra
		best = max(best, l.Frequency*(1+spare/(there.edges+over)))
	}
	return design.Known(best)
}

// shortEdge is how long an edge may be, s, for which the case of a part without a Foster
// network keeps its own time constant (common practice, no source).
const shortEdge = 1e-3

// edgeRise is how far one slow edge heats the junction above a level, K. A part without
// a Foster network gets no credit for its shortness but in its case.
func (s *stage) edgeRise(ht *heat, from level, way *path) float64 {
	if way.rungs == 0 && ht.edgeT < shortEdge {
		return thermal.StepRise([]thermal.Rung{{R: way.toCase}}, ht.edgeP, ht.edgeT, way.rth-way.toCase)
	}
	return way.after(s.known(way), from, ht.edgeP, ht.edgeT)
}

// ripple is the junction at the end of the on time of slow pwm, or of a cycle, whose
// duty the hardware enforces, and on AC at the worst of a half cycle: the mean loss hides
// how hot it gets until then. A part without a Foster network gets no credit for short on
// times. Nothing on the way is hotter than this, so that the on-resistance here bounds all
// of it.
func (s *stage) ripple(ta float64, ht *heat, duty float64, way *path) (level, bool) {
	period := s.l.OnPeriod()
	on := duty * period
	eff, share := s.rippled(ht, on, period, way)
	i := ht.i * s.choppedMost()
	p0, v := ht.cond.cool(i), ht.cond.v*i
	if way.sink == nil {
		extra := v
		if eff > 0 {
			extra += ht.extra * way.rth / eff
		}
		t, ok := thermal.FixedPoint(ta, eff, p0, ht.cond.alpha, design0, extra)
		return level{t: t}, ok
	}
	idle := 0.0 // what the sink keeps between the on times
	if ht.extra > 0 && share < 1 {
		idle, _ = thermal.SinkRise(way.sink, ht.extra)
		idle *= 1 - share
	}
	t, p, ok := thermal.OnSink(way.sink, ta+eff*v+way.rigid*ht.extra+idle, eff, p0, ht.cond.alpha, v+ht.extra, share)
	rise, _ := thermal.SinkRise(way.sink, p)
	return level{t: t, p: p, sink: share*rise + idle}, ok
}

// rippled is how far a watt of conduction takes the junction at the worst moment of on
// times of so many seconds, K, and what share of its way it takes a sink.
func (s *stage) rippled(ht *heat, on, period float64, way *path) (eff, share float64) {
	if !ht.ac.is() {
		share = 1
		if way.rungs > 0 {
			share = thermal.SinkTrainShare(on, period)
		}
		return thermal.TrainRise(s.known(way), 1, on, period, way.rigidAir), share
	}
	var room [1]thermal.Rung
	rungs, toAir := s.fast(way, &room)
	w, ever := &ht.ac.steady, on >= period || way.rungs == 0
	of := func(tau float64) float64 {
		if ever {
			return ht.ac.over * w.Steady(tau)
		}
		return ht.ac.over * w.Train(on, period, tau)
	}
	for _, r := range rungs {
		eff += r.R * of(r.Tau)
	}
	share = of(thermal.CaseTau)
	return eff + toAir*share, share
}

// fast is the network with the way that it leaves to the air, and without one the way to
// the case, as if it held no heat, and the rest, whose case keeps its own time constant
// within a half cycle of the mains.
func (s *stage) fast(way *path, room *[1]thermal.Rung) (rungs []thermal.Rung, toAir float64) {
	if way.rungs > 0 {
		return s.known(way), way.rigidAir
	}
	room[0] = thermal.Rung{R: min(way.toCase, way.rigid)}
	return room[:], way.rigid - room[0].R
}

// design0 is where conduction figures hold, degrees Celsius.
const design0 = thermal.OnResistanceBase

// pulseTop is the junction's highest temperature in an inrush that meets the
// part at its steady temperature: the on-resistance is first taken at the
// greatest junction, then at the temperature so found, which is still above the
// true one.
func (s *stage) pulseTop(ht *heat, steady level, way *path) float64 {
	at := max(way.tjMax, steady.t)
	top := s.riseAt(ht, at, steady, way)
	if top < at {
		top = s.riseAt(ht, top, steady, way)
	}
	return top
}

func (s *stage) riseAt(ht *heat, t float64, steady level, way *path) float64 {
	p := &ht.pulse
	if ht.ac.is() {
		return steady.t + s.acRise(ht, t, steady, way)
	}
	chopped := (ht.sw + ht.back) * max(0, p.Peak-p.Steady)
	over := max(0, ht.cond.at(p.Peak, t)-ht.cond.at(p.Steady, t)) + chopped
	// No pulse of that peak and that energy heats more than their rectangle.
	var rise float64
	if way.sink == nil {
		rise = over * way.step
	} else {
		rise = way.after(s.known(way), steady, over, p.Equivalent())
	}
	if p.Run != nil && way.rungs > 0 {
		hot := thermal.OnFactor(t, ht.cond.alpha)
		r, v := ht.cond.r*hot, ht.cond.w*hot+ht.cond.v+ht.sw+ht.back
		rise = min(rise, way.falls(s.known(way), steady, r, v))
		if p.Free != nil && v == 0 {
			rise = min(rise, way.fallsFreely(s.known(way), steady, r))
		}
	}
	return steady.t + rise
}

// acRise is how far an inrush of half sines heats the junction above a level, K: on every
// rung the lesser of all its crest and of its mean with what one half sine adds, both less
// the steady loss that the level is made of. Without a network its length earns no credit.
func (s *stage) acRise(ht *heat, t float64, from level, way *path) float64 {
	var room [1]thermal.Rung
	rungs, toAir := s.fast(way, &room)
	w, length := &ht.ac.start, ht.pulse.T
	if way.rungs == 0 {
		length = math.Inf(1)
	}
	crest, now := ht.cond.at(ht.pulse.Peak, t), ht.ac.over*ht.ac.steady.Mean*ht.cond.at(ht.i, t)
	of := func(tau float64) float64 { // W, of a rung's own resistance
		return max(0, crest*w.Burst(length, tau)-now*thermal.Share(length, tau))
	}
	rise := 0.0
	for _, r := range rungs {
		rise += r.R * of(r.Tau)
	}
	rise += toAir * of(thermal.CaseTau)
	share := thermal.Share(length, thermal.CaseTau)
	if way.sink == nil || share <= 0 {
		return rise
	}
	// The sink goes so far as a constant power would take it that gets there by itself.
	return rise + share*way.sinkAbove(from, of(thermal.CaseTau)/share)
}

// junctionCheck states the junction temperature, buys the sink and says what
// the tab needs.
func (s *stage) junctionCheck(c *catalog.Common, h *catalog.Heat, t, est temperatures, missing string) {
	k := s.check(design.JunctionTemperature, design.DegC)
	k.Temperature, k.Below, k.Ambient = true, s.pol.JunctionBelow(float64(h.TjMax.Or(0))), design.Known(s.l.TMax)
	k.Stress = t.worst
	if !t.worst.OK && est.worst.OK {
		k.StressEstimate = est.worst
	}
	switch {
	case t.runaway:
		k.NoSolution, k.Because = true, "no steady temperature: the loss grows faster with heat than the part can shed"
	case !t.worst.OK && est.runaway:
		k.NoSolution, k.Because = true, "no steady temperature even by the estimate: the loss grows faster with heat than the part can shed"
		k.Needs(missing)
	case t.timeless:
		k.Because = "the length of the inrush was not stated"
		k.Needs("load.inrush_time")
	case !t.worst.OK:
		k.Needs(missing)
	}
	s.assumedPulse(k, t)
	if t.flat && !k.StressEstimate.OK {
		k.StressEstimate = design.Known(firstOf(t.mean, t.steady))
		k.Needs("foster_jc")
	}
	if v, ok := h.TjMax.Get(); ok {
		k.Rating = design.Known(float64(v))
	}
	k.Formula = "{T_air} + {R_th_JA} x losses = {stress}"
	rth := t.rth
	if !t.rthKnown {
		rth = est.rth
	}
	air, way := design.Arg{Name: "T_air", V: s.l.TMax, Unit: design.DegC}, design.Arg{Name: "R_th_JA", V: rth, Unit: design.KPerW}
	k.SetArgs(air, way)
	if t.worst.OK && rth > 0 {
		steady := firstOf(t.mean, t.steady)
		k.Formula = "{T_air} + {R_th_JA} x {losses} + {pulses} = {stress}"
		k.SetArgs(air, way, design.Arg{Name: "losses", V: (steady - s.l.TMax) / rth, Unit: design.W}, design.Arg{Name: "pulses", V: t.worst.V - steady, Unit: "K"})
	}
	k.SetCorner(design.CornerValue{Name: "ambient", V: s.l.TMax}, design.CornerValue{Name: "rail", V: s.l.VMax}, design.CornerValue{Name: "duty", V: s.l.DutyHeat})
	judge(k)
	s.valueOf(design.TJunction, t.worst, design.DegC)
	s.valueOf(design.TStuckOn, t.stuckOn, design.DegC)
	surface := s.surface(h, &t)
	s.touched(surface)
	if !t.steady.OK && !t.runaway && est.sink != nil {
		t = est // what the estimate rests on is bought too
	}
	if t.sink == nil {
		s.na(design.HeatSinkLive, "no heat sink")
		return
	}
	s.buy("HS1", t.sink)
	s.d.Choice.HeatSink = t.sink.ID
	s.element("HS1", design.RoleHeatSink, "heat-sink", t.sink.ID)
	s.value(design.HeatsinkRth, t.rth-float64(h.RthJC.Or(0)), design.KPerW)
	if !surface.OK {
		s.caution(design.CautionHot)
	}
	s.tab(h, t)
}

// surface bounds how hot a part is on its outside, degrees Celsius: no hotter than its
// junction, and on a sink than that is where the heat leaves the case for it. A jam
// without end is steady.
func (s *stage) surface(h *catalog.Heat, t *temperatures) design.Number {
	if t.sink == nil || !t.worst.OK || !t.steady.OK || t.rth <= 0 || s.l.HasInrush && s.l.PulseHot.Shape == load.ForEver {
		return t.worst
	}
	steady := math.Max(t.steady.V, t.stuckOn.V)
	toAir := math.Max(0, t.rth-float64(h.RthJC.Or(0)))
	return design.Known(s.l.TMax + (steady-s.l.TMax)*toAir/t.rth)
}

// hotToTouch, degrees Celsius, is above what a part is said to be hot: bare metal of 70 C
// burns after a second (EN 563, figure 2), of 55 to 58 C after ten (IEC 62368-1, table 38,
// TS1, from memory), where plastic may have 77 C; what can be touched is cooler than the
// junction or winding.
const hotToTouch = 60.0

// assumedPulse names what to state where an inrush or a stall decides the junction
// and is assumed, in its height or its length, for the kind of load: at its easy end
// there is none.
func (s *stage) assumedPulse(k *design.Check, t temperatures) {
	l := s.l
	if !l.HasInrush || !t.worst.OK || !t.steady.OK || t.worst.V <= t.steady.V {
		return
	}
	if l.PulseHot.Shape == load.ForEver {
		k.Needs("load.stall_time")
	}
	if l.PeakAssumed {
		k.Needs(l.InrushField())
	}
	if l.TimeAssumed {
		k.Needs("load.inrush_time")
	}
	if l.PeakAssumed || l.TimeAssumed {
		k.EasyStress = t.steady
	}
}

// tab judges the voltage of the metal that a sink touches.
func (s *stage) tab(h *catalog.Heat, t temperatures) {
	volts := firstOf(s.vPeak, s.vPeakEst, design.Known(s.l.VMax))
	switch {
	case h.TabIs == "isolated":
		if t.insulator != nil { // a pad, for the heat alone
			s.buy("INS1", t.insulator)
			s.d.Choice.Insulator = t.insulator.ID
			s.element("INS1", design.RoleInsulator, "insulator", t.insulator.ID)
		}
		s.na(design.HeatSinkLive, "the tab is isolated")
	case s.l.Rail.Hazardous:
		c := s.check(design.HeatSinkLive, design.V)
		c.NoSolution, c.Because, c.Stress = true, "the metal is at the potential of a hazardous rail, and a pad under it is no insulation that one may touch: take a part whose face is isolated", design.Known(volts)
		c.Formula = "sink at {stress}"
		judge(c)
		s.caution(design.CautionTabLive)
	case t.insulator != nil:
		s.buy("INS1", t.insulator)
		s.d.Choice.Insulator = t.insulator.ID
		s.element("INS1", design.RoleInsulator, "insulator", t.insulator.ID)
		c := s.check(design.HeatSinkLive, design.V)
		c.Stress, c.Source = design.Known(volts), t.insulator.Provenance
		if v, ok := t.insulator.VDielectric.Get(); ok {
			c.Rating = design.Known(float64(v))
		}
		c.Formula = "tab at {stress}, insulator holds {rating}"
		judge(c)
	default:
		s.na(design.HeatSinkLive, "the tab is live and the rail is not hazardous: keep it from touching anything")
		s.caution(design.CautionTabLive)
	}
}
