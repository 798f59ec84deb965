package topology

import (
	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
)

// What stands across a contact on AC. An arc ends at the next zero of the current and
// the contact's figure for inductive loads is stated without anything across it: a
// snubber is taken for the contact's sake and for what is near it, where it costs
// nothing else.

// glow is the voltage, V, that a snubber keeps between opening contacts, under the
// 320 V or so that a glow discharge in air starts from (a capacitor maker's note on
// contact protection).
const glow = 300.0

// acrossContact chooses the snubber of a winding on AC: the least capacitance that takes
// the energy of the winding within what the contact bears while it opens, a glow's
// C >= (I/300 V)^2 L at the most, and that neither leaks more than the load tolerates nor
// discharges more into the contact than that may make.
func (s *relayStage) acrossContact() {
	if !s.l.Rail.AC {
		return
	}
	s.vPeak = design.Known(s.l.AC.CrestMax)
	if s.given.Clamp.Said && len(s.given.Clamp.Parts) == 1 {
		if p, ok := s.env.Catalog.Part(s.given.Clamp.Parts[0]); ok {
			s.mov, _ = p.(*catalog.MOV)
		}
	}
	if s.given.Snubber.Said {
		if s.given.Snubber.ID != "" {
			s.snub, s.held = s.givenSnubber()
		}
		return
	}
	menu, _ := s.l.Memo.(*snubbers)
	if menu == nil || !s.l.Inductive || !s.l.OffCurrent.Known || s.l.AC.LMax <= 0 {
		return
	}
	crest := s.crestOf(s.l.IMax)
	gap := s.bears()
	if gap <= 0 {
		return
	}
	needed := crest * crest / (gap * gap) * s.l.AC.LMax
	rating := s.makes().Rating
	for i := range menu.options {
		x := &menu.options[i]
		if x.least() < needed || !rating.OK ||
			s.judged(design.Leakage, design.Known(x.leak), design.Known(float64(s.l.OffCurrent.Value)), 1) != design.Fits ||
			s.judged(design.ContactInrush, design.Known(s.l.PeakCurrent()+s.l.AC.CrestMax*x.rise/x.r.lo()), rating, s.pol.InrushContact) != design.Fits ||
			s.snubberVolts(x).Verdict != design.Fits {
			continue
		}
		s.snub, s.held = *x, true
		return
	}
}

// least is the least capacitance, F.
func (x *snubber) least() float64 {
	return float64(x.cap.C.Or(0)) * (1 - float64(x.cap.Tolerance.Or(0)))
}

// discharge is what a snubber sends into the closing contact, A: the crest that its
// capacitor takes over its resistor, or without one over nothing but the contact.
func (s *relayStage) discharge() float64 {
	if !s.held {
		return 0
	}
	v := s.l.VMax
	if s.l.Rail.AC {
		v = s.l.AC.CrestMax * s.snub.rise
	}
	return v / max(s.snub.r.lo(), link)
}

// acrossChecks are the checks of what stands across a contact on AC.
func (s *relayStage) acrossChecks() {
	l := s.l
	if s.held {
		a, b := s.contactNodes()
		s.snubberChecks(&s.snub, a, b)
	}
	if s.held || s.mov != nil {
		leak := s.snub.leak
		if s.mov != nil {
			leak += standby
		}
		s.leakageCheck(design.Known(leak), "")
	}
	if !l.Inductive {
		for _, id := range [...]design.CheckID{design.ClampVoltage, design.ClampStandoff, design.ClampCurrent, design.ClampEnergy, design.ClampPower} {
			s.na(id, "the load is not inductive")
		}
		return
	}
	if s.given.Clamp.Said && len(s.given.Clamp.Parts) > 0 && s.mov == nil {
		c := s.check(design.ClampStandoff, design.V)
		c.NoSolution, c.Stress = true, design.Known(l.AC.CrestMax)
		c.Because = "on AC a varistor or a snubber may stand across a contact: a diode conducts in every other half cycle"
		c.Formula = "{stress} of either sign stands across it"
		judge(c)
		for _, id := range [...]design.CheckID{design.ClampVoltage, design.ClampCurrent, design.ClampEnergy, design.ClampPower} {
			s.na(id, "what is stated is no varistor")
		}
		return
	}
	if s.mov == nil {
		for _, id := range [...]design.CheckID{design.ClampVoltage, design.ClampStandoff, design.ClampCurrent, design.ClampEnergy, design.ClampPower} {
			s.na(id, "on AC the arc ends at the next zero of the current; the contact's figure for such loads holds with nothing across it")
		}
		return
	}
	s.d.Choice.Clamp, s.d.Choice.AtSwitch = []string{s.mov.ID}, true
	s.buy("RV1", s.mov)
	s.na(design.ClampVoltage, "a varistor has no reverse voltage of its own to judge")
	k := s.varistorChecks(s.mov, s.snub.rise)
	s.d.Checks = append(s.d.Checks, k[:]...)
}

// contactNodes are the nodes of the contact: on the rail's side, unless the load asks
// for the low side.
func (s *relayStage) contactNodes() (a, b string) {
	ground := nodeGround
	if !s.l.Rail.CommonPin {
		ground = "load-ground"
	}
	if s.l.Side == "low" {
		return "load", ground
	}
	return nodeRail, "load"
}

// drawAcross places a varistor across the contact.
func (s *relayStage) drawAcross(a, b string) {
	if s.mov != nil {
		s.element("RV1", design.RoleClamp, "mov", s.mov.ID, a, b)
	}
}
