package topology

import (
	"math"
	"slices"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/clamp"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/device"
	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/load"
	"example.org/pinhoist/internal/thermal"
)

// ssr is a solid-state relay: its output, a triac, a pair of thyristors or MOSFETs,
// stands in the load's circuit, its input on the pin or on a driver of its own. Nothing
// but light passes between the two.
type ssr struct{}

func (ssr) ID() string   { return "ssr" }
func (ssr) Side() string { return "any" }

func (ssr) Owes(l *load.Model) []design.CheckID {
	ids := []design.CheckID{
		design.PinCurrent, design.PinVoltage, design.StaysOff, design.GateDrive, design.GateVoltage,
		design.BlockingVoltage, design.OnCurrent, design.JunctionTemperature, design.HoldingCurrent, design.Waveform,
		design.Leakage, design.LoadVoltage, design.ResistorPower, design.ResistorVoltage, design.RailCurrent,
	}
	if l.Kind == job.Coil {
		ids[11] = design.CoilPickup
	}
	if l.HasInrush || l.Inductive {
		ids = append(ids, design.PeakCurrent)
	}
	if l.HasInrush || l.Inductive || l.FuseAsked {
		ids = append(ids, design.SurgeEnergy)
	}
	if l.Inductive {
		ids = append(ids, design.Commutation, design.ClampVoltage, design.ClampStandoff, design.ClampCurrent, design.ClampEnergy, design.ClampPower, design.ReleaseTime)
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
func (ssr) Takes(l *load.Model) []string {
	keys := []string{"r_gate", "r_pulldown", "driver", "heat_sink", "insulator"}
	if l.Rail.AC {
		keys = append(keys, "r_snubber", "snubber", "clamp")
	}
	return takes(l, keys...)
}

func (ssr) Serves(env *Env, l *load.Model, sw catalog.Part) string {
	p, ok := sw.(*catalog.SSR)
	if !ok {
		return WrongPart
	}
	if why := serveOutput(l); why != "" {
		return why
	}
	if p.Input != "voltage" && p.Input != "led" {
		return "what its input is, a voltage or an LED, is not stated"
	}
	if env.Pin.OpenDrain {
		if env.Pin.SinkMax <= 0 {
			return "the pin sinks no current"
		}
		return ""
	}
	return needsSource(&env.Pin)
}

// serveOutput says why no solid-state output can serve the load, or "".
func serveOutput(l *load.Model) string {
	switch {
	case l.Kind == job.LogicInput:
		return "a logic input is driven by the pin itself"
	case l.Reversing:
		return "a motor that reverses needs a bridge"
	case l.Unpowered == "on":
		return "the output is open while the logic has no supply, and the load must be on"
	}
	return ""
}

// ssrStage is one stage while it is worked out.
type ssrStage struct {
	stage
	p         *catalog.SSR
	ref       string // of its output in the circuit
	thyristor bool
	feed      ssrFeed
	fed       bool

	clamp *clamp.Option // of a winding on DC
	mov   *catalog.MOV  // across the output
	snub  snubber
	held  bool // there is a snubber
	// shorts says that what is stated across output or load on AC is no varistor.
	shorts bool

	cond   conduction
	condOK bool
	ron    design.Number
	pulse  load.Pulse // as heat meets it
	ac     alternating
	t      temperatures
	tOn    design.Number
	tOff   design.Number
	leak   design.Number // of output, snubber and varistor together
}

func (t ssr) Design(env *Env, l *load.Model, sw catalog.Part, given *Given, d *design.Design) {
	env.sagging(l, d, func(l *load.Model, d *design.Design) { t.steady(env, l, sw, given, d) })
}

// steady is Design for a load that draws what it does.
func (t ssr) steady(env *Env, l *load.Model, sw catalog.Part, given *Given, d *design.Design) {
	s := ssrStage{stage: begin(env, l, given, d, t.ID(), sw.Base()), p: sw.(*catalog.SSR), ref: "K1"}
	s.buy("K1", sw)
	s.feeds()
	s.output()
	s.inputChecks()
	s.inputPower()
	s.outputChecks()
	s.drawInput()
	s.drawOutput()
	s.finish(t.Owes(l))
}

// ---- choosing ----

// output chooses what stands at the output, and works out its heat.
func (s *ssrStage) output() {
	s.thyristor = device.SSRThyristor(s.p)
	s.times()
	s.across()
	s.protect()
	s.warms()
	s.cool()
}

// times are how long turning on and off takes at the most: a thyristor lets go at the
// next zero of its current, and one that waits for a zero of the voltage turns on there.
func (s *ssrStage) times() {
	if t := s.p.TimeMax; t != nil {
		s.tOn, s.tOff = known(t.On), known(t.Off)
	}
	if !s.l.Rail.AC || !s.thyristor {
		return
	}
	half := s.l.AC.HalfCycle
	if s.tOff.OK {
		s.tOff.V = max(s.tOff.V, half)
	}
	if s.tOn.OK && device.SSRZeroCross(s.p) {
		s.tOn.V = max(s.tOn.V, half)
	}
}

// across chooses what stands across output or load: on DC the clamp of a winding; on AC
// a snubber where a thyristor lets go of a current that lags, and a varistor where
// MOSFETs cut it.
func (s *ssrStage) across() {
	l := s.l
	s.vPeak = design.Known(l.VMax)
	if l.Rail.AC {
		s.vPeak = design.Known(l.AC.CrestMax)
		s.chooseSnubber()
		s.chooseVaristor()
		return
	}
	s.clamp = s.suppress(s.blocks(), s.pol.V, nil)
}

func (s *ssrStage) blocks() design.Number {
	if s.p.VOut == nil {
		return design.Number{}
	}
	return known(s.p.VOut.Blocking)
}

// unlagging is the power factor above which the voltage that comes back has no step
// that matters.
const unlagging = 0.95

func (s *ssrStage) lags() bool { return s.l.Inductive && s.l.AC.PF <= unlagging }

// chooseSnubber takes the best verdict of what a snubber decides, then the least
// capacitance, which leaks least.
func (s *ssrStage) chooseSnubber() {
	if s.given.Snubber.Said {
		if s.given.Snubber.ID != "" {
			s.snub, s.held = s.givenSnubber()
		}
		return
	}
	menu, _ := s.l.Memo.(*snubbers)
	if !s.thyristor || !s.lags() || menu == nil {
		return
	}
	if s.given.RSnubber.Said { // its capacitor is not: every one with that resistance
		r, with := resistor{absent: true}, &snubbers{}
		if !s.given.RSnubber.None {
			r = s.env.stated(s.given.RSnubber, 0)
		}
		for i := range menu.options {
			if x := &menu.options[i]; i == 0 || x.cap != menu.options[i-1].cap {
				with.options = append(with.options, snubberOf(x.cap, r, s.l))
			}
		}
		menu = with
	}
	best, floor := design.Over+1, s.snubberVerdict(&snubber{peak: s.l.AC.CrestMax})
	for i := range menu.options {
		x := &menu.options[i]
		if v := s.snubberVerdict(x); v < best {
			s.snub, s.held, best = *x, true, v
			if v <= floor {
				return // none does better than no slope and no leakage at all
			}
		}
	}
}

func (s *ssrStage) snubberVerdict(x *snubber) design.Verdict {
	slope := s.judged(design.Commutation, design.Known(x.slope), device.SSRCommutates(s.p), s.pol.V)
	peak := s.judged(design.BlockingVoltage, design.Known(x.peak), s.blocks(), s.pol.V)
	leak := s.ownLeak(s.l.TMax)
	leak.V += x.leak
	if x.cap != nil {
		peak = max(peak, s.snubberVolts(x).Verdict)
	}
	if !s.l.OffCurrent.Known {
		return max(slope, peak)
	}
	return max(slope, peak, s.judged(design.Leakage, leak, design.Known(float64(s.l.OffCurrent.Value)), 1))
}

// ownLeak is that of the output by itself, A: of a thyristor, whose leakage goes with
// the mains, at the nominal rail and then with the rail; of MOSFETs at the crest.
func (s *ssrStage) ownLeak(hot float64) design.Number {
	l := s.l
	switch {
	case l.Rail.AC && s.thyristor:
		i := device.SSRLeakage(s.p, l.VNom, hot)
		i.V *= l.VMax / l.VNom
		return i
	case l.Rail.AC:
		return device.SSRLeakage(s.p, l.AC.CrestMax, hot)
	}
	return device.SSRLeakage(s.p, l.VMax, hot)
}

// hot is the junction, as hot as it may get where nothing says how hot it gets.
func (s *ssrStage) hot() float64 { return s.hotOf(&s.t) }

// standby bounds what a varistor passes below the voltage of its 1 mA, A.
const standby = 1e-3

// chooseVaristor: MOSFETs that cut a winding's current need one; thyristors on the mains
// get one where it keeps transients within what they block and its standby current is
// no matter to the load.
func (s *ssrStage) chooseVaristor() {
	l := s.l
	if s.given.Clamp.Said {
		if len(s.given.Clamp.Parts) == 1 {
			if p, ok := s.env.Catalog.Part(s.given.Clamp.Parts[0]); ok {
				s.mov, _ = p.(*catalog.MOV)
			}
		}
		s.shorts = s.mov == nil && len(s.given.Clamp.Parts) > 0
		return
	}
	needed := !s.thyristor && l.Inductive
	if !needed && !(s.thyristor && l.Rail.Hazardous) {
		return
	}
	best := design.Over + 1
	for _, m := range s.env.movs {
		if v, ok := m.VACMax.Get(); !ok || !design.AtMost(l.VMax, float64(v)) {
			continue
		}
		if !needed {
			leak := s.ownLeak(l.TMax)
			leak.V += s.snub.leak + standby
			if l.OffCurrent.Known && s.judged(design.Leakage, leak, design.Known(float64(l.OffCurrent.Value)), 1) != design.Fits ||
				s.judged(design.BlockingVoltage, movPeak(m), s.blocks(), s.pol.V) != design.Fits {
				continue
			}
			s.mov = m
			return
		}
		k := s.varistorChecks(m, s.snub.rise)
		v := s.judged(design.BlockingVoltage, movPeak(m), s.blocks(), s.pol.V)
		for i := range k {
			v = max(v, k[i].Verdict)
		}
		if v < best {
			s.mov, best = m, v
		}
	}
}

func movPeak(m *catalog.MOV) design.Number {
	if m.VC == nil {
		return design.Number{}
	}
	return known(m.VC.Max)
}

// warms sets what the output loses, steady and in an inrush.
func (s *ssrStage) warms() {
	l := s.l
	s.pulse = l.PulseHot
	if s.thyristor {
		v, ok := s.p.VOnMax.Get()
		s.cond, s.condOK = conduction{v: float64(v)}, ok && v > 0
	} else {
		r, alpha, _ := device.SSROnResistance(s.p, l.IMax)
		s.ron, s.cond, s.condOK = r, conduction{r: r.V, alpha: alpha}, r.OK
	}
	if !l.Rail.AC {
		return
	}
	s.waves()
	if rated := device.SSRRated(s.p); s.thyristor && s.condOK && rated > 0 {
		// Beyond the rated crest the on voltage rises, no faster than with the current:
		// v*i/i_rated bounds it.
		p := &s.pulse
		p.Peak = max(p.Peak, p.Peak*p.Peak/(math.Sqrt2*rated))
	}
}

// supplyCrest is the crest of what a supply that charges a capacitor draws, over its RMS
// (common practice, no source: loads of that sort are rated by a crest factor of 3).
const supplyCrest = 3.0

// peaked reports whether the load is a supply that draws its current near the crests, for
// nobody says that it draws a sine. A power factor of 1 is also what the job has where
// nobody told any.
func (s *ssrStage) peaked() bool {
	return s.l.Kind == job.ACSupply && (s.l.AC.PFAssumed || s.l.AC.PF < unlagging || s.l.AC.PF == 1)
}

// waves are how the output's loss pulses with the mains: with the current in a thyristor's
// voltage, with its square in a MOSFET's resistance.
func (s *ssrStage) waves() {
	half, crest, wave := s.l.AC.HalfCycle, math.Sqrt2, thermal.HalfSines
	peaked := s.peaked()
	if peaked {
		crest = supplyCrest
	}
	over := crest
	if !s.thyristor {
		over, wave = crest*crest, thermal.SineSquared
	}
	s.ac = alternating{steady: wave(half), start: wave(half), over: over}
	if !peaked {
		return
	}
	s.ac.steady = thermal.Peaked(half, 1/over)
	if rated := device.SSRRated(s.p); s.thyristor && rated > 0 {
		s.ac.over *= max(1, crest*s.l.IHot/(math.Sqrt2*rated)) // its on voltage rises too
	}
}

// law is what warms the output.
func (s *ssrStage) law(float64) (heat, bool) {
	l := s.l
	h := heat{cond: s.cond, duty: s.heatDuty(), i: l.IHot, pulse: s.pulse, ac: s.ac}
	if !l.Rail.AC && l.OpsPerSecond >= ratedSwitching && s.tOn.OK && s.tOff.OK {
		// Straight edges with all of current and voltage.
		h.extra = 0.5 * firstOf(s.vPeak, s.vPeakEst) * l.IHot * (s.tOn.V + s.tOff.V) * l.OpsPerSecond
	}
	return h, true
}

// cool solves the junction: bare where junction and stated current allow it, else with
// the first sink that does both; else as well as it goes.
func (s *ssrStage) cool() {
	if !s.condOK {
		return
	}
	s.pads = true
	c, h := &s.p.Common, &s.p.Heat
	s.t = s.junctionHeat(c, h, s.law)
	if s.given.HeatSink.Said || !s.t.rthKnown || s.heatVerdict(&s.t) == design.Fits {
		return
	}
	top := float64(h.TjMax.Or(0))
	for _, want := range [...]design.Verdict{design.Fits, design.Tight} {
		if want >= s.heatVerdict(&s.t) {
			return
		}
		limit := top
		if want == design.Fits {
			limit -= s.pol.JunctionBelow(top)
		}
		cool, rungs := s.inAir(s.law), s.network(h)
		for _, sink := range s.env.Sinks {
			if u, ok := s.withSink(c, h, s.law, &cool, sink, limit, rungs); ok && s.heatVerdict(&u) <= want {
				s.t = u
				return
			}
		}
	}
}

// heatVerdict is that of junction and output current together.
func (s *ssrStage) heatVerdict(t *temperatures) design.Verdict {
	i, _ := s.outputCurrent(t)
	top := known(s.p.TjMax)
	j := design.Check{Temperature: true, Below: s.pol.JunctionBelow(top.V), Ambient: design.Known(s.l.TMax), Stress: t.worst, Rating: top, Brief: true}
	judge(&j)
	return max(j.Verdict, s.judged(design.OnCurrent, design.Known(s.l.IMax), i, s.pol.I))
}

// outputCurrent is what the output may carry: bare by the air, on a sink by its case.
func (s *ssrStage) outputCurrent(t *temperatures) (i design.Number, tc float64) {
	if t.sink == nil {
		return device.SSRBare(s.p, s.l.TMax), s.l.TMax
	}
	tc = s.l.TMax + s.cond.at(s.l.IHot, s.hotOf(t))*max(0, t.rth-float64(s.p.RthJC.Or(0)))
	return device.SSRAtCase(s.p, tc), tc
}

func (s *ssrStage) hotOf(t *temperatures) float64 {
	h, _ := t.hottest(&s.p.Heat)
	return h
}

// ---- drawing ----

// outputHigh and outputLow are the nodes of the output: on the rail's side, unless the
// load asks for the low side.
func (s *ssrStage) outputHigh() string {
	if s.l.Side == "low" {
		return "load"
	}
	return nodeRail
}

func (s *ssrStage) outputLow() string {
	if s.l.Side == "low" {
		return s.loadGround()
	}
	return "load"
}

func (s *ssrStage) loadGround() string {
	if s.l.Rail.CommonPin {
		return nodeGround
	}
	return "load-ground"
}

func (s *ssrStage) drawOutput() {
	if s.env.Brief {
		return
	}
	l, ground := s.l, s.loadGround()
	plus, minus := "load", ground
	if l.Side == "low" {
		plus, minus = nodeRail, "load"
	}
	from := plus
	if l.RSeries.OK {
		from = "led"
		for i := range s.d.Elements {
			if e := &s.d.Elements[i]; e.Role == design.RoleSeriesResistor && slices.Contains(e.Nodes, "led") {
				e.Nodes = []string{plus, "led"}
			}
		}
	}
	s.d.Elements = append(s.d.Elements,
		design.Element{Ref: "V2", Role: design.RoleRail, Kind: "rail", Value: l.VNom, Unit: design.V, HasValue: true, Nodes: []string{nodeRail, ground}})
	s.element(s.ref, design.RoleSwitch, "ssr-output", s.p.ID, s.outputHigh(), s.outputLow())
	s.d.Elements = append(s.d.Elements,
		design.Element{Ref: "LOAD", Role: design.RoleLoad, Kind: string(l.Kind), Value: l.INom, Unit: design.A, HasValue: true, Nodes: []string{from, minus}})
	if s.mov != nil {
		s.element("RV1", design.RoleClamp, "mov", s.mov.ID, s.outputHigh(), s.outputLow())
	}
	if s.clamp != nil {
		at := len(s.d.Elements)
		s.clampElements(s.clamp, minus, plus, ground)
		for i := range s.d.Elements[at:] {
			s.d.Elements[at+i].Ref = loadClampRefs[i]
		}
	}
	s.d.Driver = s.drawnInput(s.d.Driver)
}

// drawnInput is the driver with the input in place of its load. The shared design is
// copied, never changed.
func (s *ssrStage) drawnInput(d *design.Design) *design.Design {
	if d == nil {
		return nil
	}
	c := *d
	c.Elements = slices.Clone(d.Elements)
	for i := range c.Elements {
		if e := &c.Elements[i]; e.Role == design.RoleLoad && len(e.Nodes) == 2 {
			*e = design.Element{Ref: "K1", Role: design.RoleLoad, Kind: "ssr-input", Part: s.p.ID, Nodes: slices.Clone(e.Nodes)}
		}
	}
	return &c
}
