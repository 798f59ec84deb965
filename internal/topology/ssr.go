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
			if u, ok := s.withSink(c, h, s.law, cool, sink, limit, rungs); ok && s.heatVerdict(&u) <= want {
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

// ---- the checks of the output ----

func (s *ssrStage) outputChecks() {
	s.waveform()
	s.blockingVoltage()
	s.onCurrent()
	s.peaks()
	s.junctionCheck(&s.p.Common, &s.p.Heat, s.t, temperatures{}, s.heatFigure())
	s.holding()
	s.commutation()
	s.suppressed()
	s.leaks()
	s.drop()
	s.pwm()
	s.railCurrent()
	s.insulation(s.p.Isolation)
	s.fuses()
	s.surgeEnergy()
}

func (s *ssrStage) heatFigure() string {
	switch {
	case s.thyristor && !s.condOK:
		return "v_on_max"
	case !s.condOK:
		return "r_on"
	}
	return "r_th_ja_max"
}

const (
	triacOnDC   = "a thyristor lets go at a zero of its current only: on DC it never turns off"
	mosfetOnAC  = "a MOSFET for DC conducts through its own diode in every other half cycle: it never turns off"
	diodeOnAC   = "on AC a diode conducts in every other half cycle, across a load it is a short; only a varistor is worked out"
	windowNone  = "what its output may switch is not stated"
	frequencyNo = "the frequency is outside what its output is made for"
)

// waveform asks whether the output can turn this supply off at all, and whether its
// voltage and frequency are within what it is made for: of AC the nominal voltage, for
// which makers state it, and the lowest; of DC the highest.
func (s *ssrStage) waveform() {
	l, w := s.l, s.p.VOut
	c := s.check(design.Waveform, design.V)
	c.SetCorner(design.CornerValue{Name: "rail", V: l.VNom}, design.CornerValue{Name: "frequency", V: float64(l.Rail.Frequency)})
	c.Formula = "rail {stress}, its output switches up to {rating}"
	switch {
	case s.shorts:
		c.NoSolution, c.Because = true, diodeOnAC
		c.Stress = design.Known(l.VNom)
	case !l.Rail.AC && s.thyristor:
		c.NoSolution, c.Because = true, triacOnDC
		c.Stress = design.Known(l.VNom)
	case l.Rail.AC && s.p.Output == "mosfet-dc":
		c.NoSolution, c.Because = true, mosfetOnAC
		c.Stress = design.Known(l.VNom)
	case w == nil || !w.Max.Known() || !w.Min.Known():
		c.Stress, c.Rating, c.Because = design.Known(l.VNom), design.Known(0), windowNone
		c.Needs("v_out.max")
	case !design.AtMost(float64(w.Min.Value()), l.VMin):
		c.Stress, c.Rating = design.Known(float64(w.Min.Value())), design.Known(l.VMin)
		c.Formula = "its output works from {stress}; the lowest rail is {rating}"
	default:
		c.Stress, c.Rating = design.Known(l.VNom), known(w.Max)
		if !l.Rail.AC {
			c.Stress.V = l.VMax
			if s.p.Output == "mosfet-ac" { // which stands the crest of what is stated in RMS
				c.Rating.V *= math.Sqrt2
			}
		}
	}
	judge(c)
	if l.Rail.AC && s.p.Output != "mosfet-dc" {
		s.frequency()
	}
}

// frequency is the other half of the waveform check, told where it is worse than the
// first.
func (s *ssrStage) frequency() {
	l, w := s.l, s.p.FOut
	c := design.Check{ID: design.Waveform, Unit: design.Hz, Source: s.d.PartSource, Brief: s.env.Brief}
	switch {
	case w == nil || !w.Min.Known() || !w.Max.Known():
		c.Stress, c.Rating, c.Because = design.Known(l.AC.FMax), design.Known(0), "the frequencies of its output are not stated"
		c.Needs("f_out")
	case !design.AtMost(float64(w.Min.Value()), l.AC.FMin):
		c.Stress, c.Rating, c.Because = design.Known(float64(w.Min.Value())), design.Known(l.AC.FMin), frequencyNo
		c.Formula = "its output works from {stress}; the mains may fall to {rating}"
	default:
		c.Stress, c.Rating = design.Known(l.AC.FMax), known(w.Max)
		c.Formula = "the mains may rise to {stress}; its output works up to {rating}"
		if !design.AtMost(l.AC.FMax, c.Rating.V) {
			c.Because = frequencyNo
		}
	}
	c.SetCorner(design.CornerValue{Name: "frequency", V: l.AC.FMax})
	judge(&c)
	if last := &s.d.Checks[len(s.d.Checks)-1]; c.Verdict > last.Verdict {
		*last = c
	}
}

// blockingVoltage is what stands across the open output: on AC the crest, what a snubber
// lets it swing to, or what a varistor holds.
func (s *ssrStage) blockingVoltage() {
	l := s.l
	if !l.Rail.AC {
		s.blockingCheck(s.clamp, s.blocks(), s.pol.V, "v_out.blocking")
		return
	}
	c := s.check(design.BlockingVoltage, design.V)
	c.K, c.Rating = s.pol.V, s.blocks()
	if !c.Rating.OK {
		c.Needs("v_out.blocking")
	}
	c.Stress = design.Known(l.AC.CrestMax)
	c.Formula = "crest of the highest rail, {stress}"
	if s.held {
		c.Stress.V = max(c.Stress.V, s.snub.peak)
		c.Formula = "crest of the highest rail {V_crest}; what swings around it with the snubber reaches {stress}"
	}
	c.SetArgs(design.Arg{Name: "V_crest", V: l.AC.CrestMax, Unit: design.V})
	switch {
	case s.mov != nil:
		peak := movPeak(s.mov)
		if peak.OK {
			peak.V = max(peak.V, c.Stress.V)
		} else {
			c.Needs("v_c.max")
		}
		c.Stress = peak
		c.Formula = "the varistor holds a transient to {stress}; the output blocks {rating}"
	case !s.thyristor && l.Inductive:
		c.NoSolution, c.Because = true, nothingLimits
		c.Formula = "MOSFETs cut the winding's current at any instant and no varistor holds the voltage; {rating} is allowed"
	}
	c.SetCorner(design.CornerValue{Name: "rail", V: l.VMax})
	judge(c)
	s.vPeak = c.Stress
	s.valueOf(design.VPeakOff, c.Stress, design.V)
	if s.mov == nil && s.l.Rail.Hazardous {
		s.caution(design.CautionTransients)
	}
}

func (s *ssrStage) onCurrent() {
	l := s.l
	c := s.check(design.OnCurrent, design.A)
	c.K, c.Stress = s.pol.I, design.Known(l.IMax)
	var tc float64
	c.Rating, tc = s.outputCurrent(&s.t)
	figure := "i_out_max.i"
	c.Formula = "load current {stress}; without a sink in air of {T} it carries {rating}"
	if s.t.sink != nil {
		figure = "i_out_case_max.i"
		c.Formula = "load current {stress}; with its case at {T} it carries {rating}"
	}
	c.SetArgs(design.Arg{Name: "T", V: tc, Unit: design.DegC})
	if !c.Rating.OK {
		c.Needs(figure)
		c.Because = "no current is stated for a temperature this high"
	}
	c.SetCorner(design.CornerValue{Name: "rail", V: l.VMax}, design.CornerValue{Name: "ambient", V: l.TMax}, design.CornerValue{Name: "load.r", V: l.RMin})
	judge(c)
	s.value(design.IOn, l.IMax, design.A)
	if s.condOK {
		p := s.cond.at(l.IHot, s.hot())
		s.value(design.POn, p, design.W)
		s.value(design.PTotal, p*s.heatDuty(), design.W)
	}
}

// repeats is why a surge is not believed whole.
const repeats = "a surge is stated for once in a while, the load starts again and again: half of it counts"

const transformerZero = "closed at a zero of the voltage, the worst moment for a transformer: half of the surge counts, for it happens at every start"

// peaks judges the inrush by the surge that is stated for its length, and its first half
// cycle by I2t; half of either counts, for the load starts again and again.
func (s *ssrStage) peaks() {
	l := s.l
	if !l.HasInrush && !l.Inductive {
		return
	}
	if !l.HasInrush {
		s.na(design.PeakCurrent, "the load has no inrush")
		return
	}
	length := pulseLength(l.Pulse)
	if length.V *= s.drawnOut(); !length.OK {
		length.V = math.Inf(1)
	}
	surge := device.SSRSurge(s.p, length.V)
	// The crest that it carries for ever it bears at every start, whatever its surge is.
	rating := design.Known(max(device.SSRRepeated*surge.V, s.crestOf(s.bareCurrent())))
	fallback := !surge.OK
	s.peakCurrent(rating, fallback, "surge.i")
	c := &s.d.Checks[len(s.d.Checks)-1]
	c.Formula = "inrush {stress} at its crest, a repeated one of {rating} is guaranteed at this length"
	if c.Because == "" {
		c.Because = repeats
		if l.Kind == job.ACTransformer && device.SSRZeroCross(s.p) {
			c.Because = transformerZero
		}
	}
}

// drawnOut is how much longer than at its highest an inrush that falls may last elsewhere
// in the spread of its load, where a surge is stated for less: a capacitor fills in
// proportion to the resistance in its way, a filament heats by the square of the voltage.
func (s *ssrStage) drawnOut() float64 {
	l := s.l
	if l.Pulse.Shape != load.Decay {
		return 1
	}
	tol, volts, wire := float64(l.Tolerance), l.VMax/max(l.VMin, 1e-9), 1.0
	if l.RWireMin > 0 {
		wire = l.RWire / l.RWireMin
	}
	return (1 + tol) / max(1-tol, 1e-9) * volts * volts * max(1, wire)
}

// bareCurrent is the continuous output current, A: 0 where none is stated.
func (s *ssrStage) bareCurrent() float64 {
	i, _ := s.outputCurrent(&s.t)
	return i.V
}

func (s *stage) crestOf(rms float64) float64 {
	if s.l.Rail.AC {
		return math.Sqrt2 * rms
	}
	return rms
}

// surgeEnergy judges the I2t of the inrush and, where there is a fuse, that which it lets
// pass in a short: the worse is told.
func (s *ssrStage) surgeEnergy() {
	l := s.l
	var worst design.Check
	has := false
	if l.HasInrush {
		keepWorse(&worst, s.inrushSquare(), &has)
	}
	if s.fuse != nil {
		keepWorse(&worst, s.fuseSquare(s.fuse), &has)
	}
	switch {
	case has:
		s.d.Checks = append(s.d.Checks, worst)
	case l.FuseAsked || l.Inductive:
		s.na(design.SurgeEnergy, "the load has no inrush, and there is no fuse")
	}
}

// fuseSquare is what the output takes of a short until its fuse has cleared it, once.
func (s *ssrStage) fuseSquare(f *catalog.Fuse) design.Check {
	c := design.Check{ID: design.SurgeEnergy, Unit: design.A2s, K: s.pol.Energy, Source: s.d.PartSource, Brief: s.env.Brief, Rating: known(s.p.I2tMax)}
	if f.I2t != nil {
		c.Stress = known(f.I2t.ClearMax)
	}
	if !c.Stress.OK {
		c.Needs("fuse.i2t.clear_max")
	}
	if !c.Rating.OK {
		c.Needs("i2t_max")
	}
	c.Formula = "in a short the fuse lets pass {stress} until it has cleared it; the output bears {rating} once"
	c.Because = "a fuse that lets pass more protects the wires, not the output, which then stays on"
	c.SetCorner(design.CornerValue{Name: "rail", V: s.l.VMax})
	judge(&c)
	if c.Verdict == design.Fits {
		c.Because = ""
	}
	return c
}

// protect chooses the fuse that protects the output too, where one is owed and there is
// such a fuse: the best verdict of its own checks and of that, then that of its own, then the cheapest.
func (s *ssrStage) protect() {
	if !s.l.FuseAsked || s.given.Fuse.Said {
		return
	}
	var best *catalog.Fuse
	var bestV, bestOwn design.Verdict
	for i, own := range s.fuseVerdicts() {
		f := s.env.Fuses[i]
		var clear design.Number
		if f.I2t != nil {
			clear = known(f.I2t.ClearMax)
		}
		v := max(own, s.judged(design.SurgeEnergy, clear, known(s.p.I2tMax), s.pol.Energy))
		if best == nil || v < bestV || v == bestV && own < bestOwn {
			best, bestV, bestOwn = f, v, own
		}
		if bestV == design.Fits {
			break
		}
	}
	if best == nil || bestV > design.Unproven {
		return // the wires are protected all the same, by the cheapest
	}
	g := *s.given
	g.Fuse = GivenPart{Said: true, ID: best.ID}
	s.given = &g
}

// fusedKey is a load under a policy.
type fusedKey struct {
	l   *load.Model
	pol *catalog.Policy
}

// fuseVerdicts are those of the own checks of every fuse, which the switch has no part in.
func (s *stage) fuseVerdicts() []design.Verdict {
	key := fusedKey{s.l, s.pol}
	if s.env.fused != nil {
		if v, ok := s.env.fused.get(key); ok {
			return v.([]design.Verdict)
		}
	}
	list := make([]design.Verdict, len(s.env.Fuses))
	for i, f := range s.env.Fuses {
		k := s.fuseChecks(f)
		list[i] = max(k[0].Verdict, k[1].Verdict, k[2].Verdict)
	}
	if s.env.fused != nil {
		s.env.fused.put(key, list)
	}
	return list
}

func (s *ssrStage) inrushSquare() design.Check {
	l := s.l
	c := design.Check{ID: design.SurgeEnergy, Unit: design.A2s, K: s.pol.Energy, Source: s.d.PartSource, Brief: s.env.Brief, Stress: design.Known(s.firstSquare())}
	c.Formula = "I2t of the inrush in its first half cycle {stress}; a repeated one of {rating} is guaranteed"
	if i, ok := s.p.I2tMax.Get(); ok {
		c.Rating = design.Known(device.SSRRepeated * device.SSRRepeated * float64(i))
	} else {
		c.Needs("i2t_max")
	}
	switch {
	case !l.PeakKnown || l.Pulse.Shape == load.UnknownTime:
		c.Stress = design.Number{}
		c.Needs(l.InrushField())
	case l.PeakAssumed:
		c.EasyStress = design.Known(s.crestOf(l.IMax) * s.crestOf(l.IMax) / 2 * s.window())
		c.Needs(l.InrushField())
	}
	c.SetCorner(design.CornerValue{Name: "rail", V: l.VMax})
	judge(&c)
	return c
}

// window is how long I2t is stated for, s: a half cycle (of 50 Hz on DC).
func (s *ssrStage) window() float64 {
	if s.l.Rail.AC {
		return s.l.AC.HalfCycle
	}
	return 10e-3
}

// firstSquare is the inrush's I2t within that time, A2s; a longer one is judged by the
// surge of its length.
func (s *ssrStage) firstSquare() float64 {
	p, w := &s.l.Pulse, s.window()
	switch {
	case s.l.Rail.AC:
		return min(p.I2t, p.Peak*p.Peak/2*w)
	case p.Shape == load.ForEver:
		return p.Peak * p.Peak * w
	}
	return min(p.I2t, p.Peak*p.Peak*w)
}

// rectified is why a zero-cross output may not serve a rectifier with a capacitor behind:
// it fires in a window about the zero of the voltage, where that draws nothing. Makers
// send such loads to outputs that turn on at any instant (common practice, no source).
const rectified = "a rectifier draws nothing about the zero of the voltage, where alone this output fires: it may miss half cycles, or all. Take one that turns on at random, or state a power factor above 0.95 where the supply draws a sine"

// holding asks whether the load takes enough for a thyristor to latch and stay on.
func (s *ssrStage) holding() {
	if !s.thyristor {
		s.na(design.HoldingCurrent, "MOSFETs carry any current, however small")
		return
	}
	l := s.l
	c := s.check(design.HoldingCurrent, design.A)
	c.Stress, c.Fallback = device.SSRHolds(s.p)
	c.Rating = l.LeastCrest()
	switch {
	case !c.Stress.OK:
		c.Needs("i_load_min.hold")
	case c.Fallback:
		c.Because = "what latches it is not stated: twice of what holds it is taken"
		c.Needs("i_load_min.latch")
	}
	if !c.Rating.OK {
		c.Rating = design.Known(0)
	}
	c.Formula = "the output latches from {stress}; the load's least crest is {rating}"
	if l.Rail.AC && s.peaked() && device.SSRZeroCross(s.p) {
		c.Rating, c.RatingEstimate = design.Number{}, c.Rating
		c.Because = rectified
		c.Formula = "the output latches from {stress}, if it fires at all while the load draws current"
		c.Needs("load.power_factor")
	}
	c.SetCorner(design.CornerValue{Name: "rail", V: l.VMin})
	judge(c)
}

func (s *ssrStage) commutation() {
	l := s.l
	if !l.Inductive {
		return
	}
	switch {
	case !s.thyristor:
		s.na(design.Commutation, "MOSFETs are turned off by their drive, not by a zero of the current")
		return
	case !l.Rail.AC:
		s.na(design.Commutation, "on DC there is no zero of the current; waveform judges it")
		return
	case !s.lags():
		s.na(design.Commutation, "the load's power factor is above 0.95")
		return
	}
	c := s.check(design.Commutation, design.VPerS)
	c.K, c.Rating = s.pol.V, device.SSRCommutates(s.p)
	if !c.Rating.OK {
		c.Needs("slope.dv_dt_commutating")
	}
	if l.AC.PFAssumed && l.AC.PFEasy > unlagging {
		c.EasyStress = design.Known(0)
		c.Needs("load.power_factor")
	}
	switch {
	case !s.held:
		c.Because = "no snubber limits the slope of the voltage that comes back"
		c.NoSolution = !c.EasyStress.OK
		c.Formula = "without a snubber the voltage comes back as fast as it likes; {rating} is borne"
	default:
		c.Stress = design.Known(s.snub.slope)
		c.Formula = "a step of {V} into {L} with {R_snubber} and {C_snubber}: {stress}; the output stays off up to {rating}"
		c.SetArgs(design.Arg{Name: "V", V: l.AC.CrestMax, Unit: design.V}, design.Arg{Name: "L", V: l.AC.LMin, Unit: design.H},
			design.Arg{Name: "R_snubber", V: s.snub.r.nom, Unit: design.Ohm}, design.Arg{Name: "C_snubber", V: float64(s.snub.cap.C.Or(0)), Unit: farad})
		c.SetCorner(design.CornerValue{Name: "rail", V: l.VMax}, design.CornerValue{Name: "load.l", V: l.AC.LMin})
	}
	judge(c)
	if u, too := s.tooSteep(c); too {
		has := true
		keepWorse(c, u, &has)
	}
}

// tooSteep tells of a current that ends faster than an output bears, where it states
// how fast that may be: the slope of the voltage in c holds up to there only.
func (s *ssrStage) tooSteep(c *design.Check) (u design.Check, too bool) {
	if s.p.Slope == nil || !s.p.Slope.DIDtC.Known() {
		return u, false
	}
	l := s.l
	u = design.Check{Brief: c.Brief, ID: c.ID, Unit: ampPerSecond, K: c.K, Source: c.Source, EasyStress: c.EasyStress,
		Stress: design.Known(2 * math.Pi * l.AC.FMax * math.Sqrt2 * l.IMax), Rating: design.Known(float64(s.p.Slope.DIDtC.Value()))}
	if u.EasyStress.OK {
		u.Needs("load.power_factor")
	}
	u.Because = "the current ends faster than the slope of the voltage is stated for"
	u.Formula = "the current ends with {stress}; the output lets go up to {rating}"
	u.SetCorner(design.CornerValue{Name: "rail", V: l.VMax}, design.CornerValue{Name: "frequency", V: l.AC.FMax})
	judge(&u)
	return u, u.Verdict != design.Fits
}

// ampPerSecond is the unit of a current's slope.
const ampPerSecond = design.Unit("A/s")

// suppressed are the checks of what stands across load or output.
func (s *ssrStage) suppressed() {
	l := s.l
	if s.held {
		s.snubberChecks(&s.snub, s.outputHigh(), s.outputLow())
	}
	if s.mov != nil {
		s.d.Choice.Clamp = []string{s.mov.ID}
		s.d.Choice.AtSwitch = true
		s.buy("RV1", s.mov)
	}
	switch {
	case !l.Rail.AC:
		if l.Inductive {
			s.clampChecks(s.clamp)
			s.lateRelease()
		}
		return
	case !l.Inductive:
		if s.mov != nil {
			s.d.Checks = append(s.d.Checks, s.varistorChecks(s.mov, s.snub.rise)[0])
		}
		return
	}
	s.acRelease()
	const zero = "a thyristor lets go at a zero of its current: nothing is left in the winding"
	if s.thyristor || s.mov == nil {
		why := zero
		if !s.thyristor {
			why = "there is no varistor"
		}
		for _, id := range [...]design.CheckID{design.ClampVoltage, design.ClampStandoff, design.ClampCurrent, design.ClampEnergy, design.ClampPower} {
			if id != design.ClampStandoff || s.mov == nil {
				s.na(id, why)
			}
		}
		if s.mov != nil { // it takes nothing of the winding, and stands on the mains
			s.d.Checks = append(s.d.Checks, s.varistorChecks(s.mov, s.snub.rise)[0])
		}
		return
	}
	s.na(design.ClampVoltage, "a varistor's own voltage is judged by blocking-voltage")
	k := s.varistorChecks(s.mov, s.snub.rise)
	s.d.Checks = append(s.d.Checks, k[:]...)
}

// movRepeated is what counts of a varistor's energy for one pulse where a winding gives it
// one at every opening (makers' curves of pulse life at a millisecond, from memory): each
// wears it.
const movRepeated = 0.1

// varistorChecks judges a varistor across the output that takes a winding's current: the
// supply goes on feeding it until the current is gone. A snubber beside it resonates with
// the load: rise times the rail stand across both.
func (s *stage) varistorChecks(m *catalog.MOV, rise float64) [4]design.Check {
	l := s.l
	peak := s.crestOf(l.IMax)
	if l.HasInrush {
		peak = max(peak, l.PeakCurrent())
	}
	make1 := func(id design.CheckID, unit design.Unit) design.Check {
		return design.Check{ID: id, Unit: unit, Source: m.Provenance, Brief: s.env.Brief}
	}
	off := make1(design.ClampStandoff, design.V)
	off.Stress, off.Rating = design.Known(l.VMax*math.Max(1, rise)), known(m.VACMax)
	off.Formula = "{stress} RMS across the open output; the varistor is for {rating}"
	amps := make1(design.ClampCurrent, design.A)
	amps.Stress = design.Known(peak)
	if m.VC != nil {
		amps.Rating = known(m.VC.I)
	}
	amps.Formula = "the winding drives {stress} through it; its voltage is stated at {rating}"
	energy := make1(design.ClampEnergy, design.J)
	energy.K, energy.RatingEstimate = s.pol.Energy, known(m.EMax)
	if e := energy.RatingEstimate; e.OK {
		energy.Rating = design.Known(movRepeated * e.V)
	}
	energy.Formula = "L I^2/2 and what the supply adds = {stress}; at every opening it takes {rating}, a tenth of what it takes once"
	watts := make1(design.ClampPower, design.W)
	watts.K, watts.Rating = s.pol.P, known(m.PAvMax)
	if !watts.Rating.OK {
		watts.Needs("p_av_max")
	}
	watts.Formula = "{stress} on average at {rate} operations a second; it sheds {rating}"
	watts.SetArgs(design.Arg{Name: "rate", V: l.OpsPerSecond, Unit: design.One})
	if hold := holdsFrom(m); hold > l.AC.CrestMax && l.AC.LMax > 0 {
		e := l.AC.LMax * peak * peak / 2 * hold / (hold - l.AC.CrestMax)
		energy.Stress, watts.Stress = design.Known(e), design.Known(e*l.OpsPerSecond)
	} else {
		energy.Because = "the winding's inductance, or a voltage above the crest at which the varistor holds, is not known"
		energy.Needs("load.inductance")
		watts.Needs("load.inductance")
	}
	out := [4]design.Check{off, amps, energy, watts}
	for i := range out {
		out[i].SetCorner(design.CornerValue{Name: "rail", V: l.VMax})
		judge(&out[i])
	}
	return out
}

func holdsFrom(m *catalog.MOV) float64 {
	if m.V1mA == nil {
		return 0
	}
	return float64(m.V1mA.Min.Or(0))
}

// lateRelease adds the output's own time of turning off to what the clamp takes.
func (s *ssrStage) lateRelease() {
	for i := range s.d.Checks {
		c := &s.d.Checks[i]
		if c.ID != design.ReleaseTime || c.Stage != design.StageSelf {
			continue
		}
		if c.Stress.OK && s.tOff.OK {
			c.Stress.V += s.tOff.V
		} else {
			c.Stress = design.Number{}
		}
		if c.StressEstimate.OK {
			c.StressEstimate.V += s.tOff.V
		}
		if !s.tOff.OK {
			c.Needs("time_max.off")
		}
		judge(c)
	}
}

// acRelease: the current is gone when the output has turned off; what moves follows.
func (s *ssrStage) acRelease() {
	l := s.l
	total := addCost(s.tOff, mechanical(l))
	s.valueOf(design.TDecay, s.tOff, design.S)
	s.valueOf(design.TRelease, total, design.S)
	within, ok := l.ReleaseWithin.Get()
	if !ok {
		s.na(design.ReleaseTime, "no release time was asked")
		return
	}
	c := s.check(design.ReleaseTime, design.S)
	c.Stress, c.Rating, c.Source = total, design.Known(float64(within)), "the job"
	if !s.tOff.OK {
		c.Needs("time_max.off")
	}
	if !l.MechRelease.Known() {
		c.Needs("load.mechanical_release_time")
	}
	c.Formula = "the output turns off within {t_off}, what moves follows: {stress}; within {rating}"
	c.SetArgs(design.Arg{Name: "t_off", V: s.tOff.V, Unit: design.S})
	c.SetCorner(design.CornerValue{Name: "frequency", V: l.AC.FMin})
	judge(c)
}

func mechanical(l *load.Model) design.Number {
	if t, ok := l.MechRelease.Get(); ok {
		return design.Known(float64(t))
	}
	return design.Number{}
}

// leaks is the leakage check, with what passes a snubber and a varistor.
func (s *ssrStage) leaks() {
	s.leak = s.ownLeak(s.hot())
	if s.held {
		s.leak.V += s.snub.leak
	}
	if s.mov != nil {
		s.leak.V += standby
	}
	if !s.leak.OK {
		s.leak.V = 0
	}
	s.leakageCheck(s.leak, "i_leak_max.max")
	if n := len(s.d.Checks); s.held && n > 0 && s.d.Checks[n-1].ID == design.Leakage {
		c := &s.d.Checks[n-1]
		c.Formula = "the output's own and {I_snubber} of the snubber, {stress}; the load tolerates {rating}"
		c.SetArgs(design.Arg{Name: "I_snubber", V: s.snub.leak, Unit: design.A})
	}
}

// drop is the on voltage at the lowest rail.
func (s *ssrStage) drop() {
	var drop design.Number
	switch {
	case s.thyristor && s.condOK:
		drop = design.Known(s.cond.v)
	case s.condOK:
		r := s.cond.r * thermal.OnFactor(s.hot(), s.cond.alpha)
		drop = design.Known(s.l.ILow * r)
		s.value(design.ROn, r, design.Ohm)
	}
	s.loadVoltage(drop, design.Number{})
	s.valueOf(design.VOn, drop, design.V)
	s.seriesLED(s.outputLow())
}

// pwm: a thyristor follows its drive by half cycles.
func (s *ssrStage) pwm() {
	s.valueOf(design.TOn, s.tOn, design.S)
	s.valueOf(design.TOff, s.tOff, design.S)
	s.pwmCheck(s.tOn, s.tOff, &s.t, "time_max", "v_on", false)
	if s.l.Mode != "pwm" || !s.thyristor {
		return
	}
	c := &s.d.Checks[len(s.d.Checks)-1]
	c.Because = "a thyristor lets go at zeros of its current only: it counts half cycles, no shorter pulses"
	if device.SSRZeroCross(s.p) {
		c.Because = "it closes and opens at zeros alone: it counts half cycles, no shorter pulses"
	}
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
