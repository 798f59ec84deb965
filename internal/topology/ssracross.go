package topology

import (
	"math"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/load"
)

// What stands across a solid-state relay's output or its load: clamps, varistors, snubbers.

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
