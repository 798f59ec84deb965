package topology

import (
	"math"

	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/device"
	"example.org/pinhoist/internal/thermal"
)

// The checks of a solid-state relay's output.

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
