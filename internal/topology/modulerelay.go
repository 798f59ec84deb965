package topology

import (
	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/device"
	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/load"
)

// moduleRelay is a module with a relay: its contact is judged as that of a relay by
// itself, its coil by the supply that the board states and, beyond that, by what no
// driver could mend. Its time_max is that of the board, from its input to its contact.
type moduleRelay struct{ module }

func (moduleRelay) Owes(l *load.Model) []design.CheckID {
	ids := append(relay{}.Owes(l), design.PinCurrent, design.PinVoltage, design.StaysOff, design.GateDrive, design.GateVoltage)
	if l.Kind != job.Coil { // which owes it already: the worse of both is told
		ids = append(ids, design.CoilPickup)
	}
	return ids
}

// Takes lists the elements of a stage as built that are worked out.
func (moduleRelay) Takes(l *load.Model) []string {
	if l.Inductive {
		return takes(l, "r_pulldown", "r_snubber", "snubber")
	}
	return takes(l, "r_pulldown")
}

func (moduleRelay) Serves(_ *Env, l *load.Model, sw catalog.Part) string {
	r := sw.(*catalog.Module).Relay
	switch {
	case r.CoilFrequency.Or(0) > 0:
		return "an AC coil cannot be driven from a DC supply"
	case r.Latching != "" && r.Latching != "none":
		return "a latching relay on a module takes pulses that its input does not tell apart: state it as a relay by itself"
	}
	return serveContact(l, r)
}

// moduleRelayStage is one stage while it is worked out.
type moduleRelayStage struct {
	relayStage
	b      board
	inside catalog.Relay
}

func (t moduleRelay) Design(env *Env, l *load.Model, sw catalog.Part, given *Given, d *design.Design) {
	env.sagging(l, d, func(l *load.Model, d *design.Design) { t.steady(env, l, sw, given, d) })
}

// steady is Design for a load that draws what it does.
func (t moduleRelay) steady(env *Env, l *load.Model, sw catalog.Part, given *Given, d *design.Design) {
	s := moduleRelayStage{relayStage: relayStage{stage: begin(env, l, given, d, t.ID(), sw.Base()), board: true}}
	s.b = onBoard(&s.stage, sw.(*catalog.Module))
	s.inside = *s.b.mod.Relay
	s.inside.Common = s.b.mod.Common
	s.r = &s.inside
	s.contact()
	s.to, _ = s.l.Memo.(*turnOff)
	s.acrossContactDC()
	pickup := s.pickupOn()
	s.plans(&pickup)
	s.acrossContact()
	s.fuses()
	s.b.inputChecks(true, s.b.overdriven)
	s.coilOnBoard()
	s.contactChecks()
	s.b.shared(design.ContactCarry, s.pol.IContact)
	s.loadChecks()
	s.b.worseCheck(&pickup)
	s.b.ownRail()
	s.b.inputParts()
	s.boardHeat()
	s.b.drawBoard()
	if !env.Brief {
		s.drawContact("U1.out")
	}
	if s.nc {
		s.caution(design.CautionClosed)
	}
	s.finish(t.Owes(l))
	d.Share = s.b.share()
}

// plans chooses the clamp of the load, with what the board leaves of the time.
func (s *moduleRelayStage) plans(pickup *design.Check) {
	coil := coilChoice{rail: s.b.rail, verdict: pickup.Verdict, cost: design.Known(0), stays: s.nc && pickup.Verdict == design.Over}
	if t := s.r.TimeMax; t != nil && !coil.stays {
		if coil.time = known(t.Release); s.nc {
			coil.time = known(t.Operate)
		}
	}
	within, judged := s.l.ReleaseWithin.Get()
	if !judged {
		s.plan = s.planWith(coil, design.Number{})
		return
	}
	s.plan = s.planWith(coil, s.leaves(float64(within), design.Known(coil.time.V+s.arcs())))
}

// pickupOn is the coil-pickup check: the board works from its stated supply on; and where
// the hot coil would not pick up from the lowest rail though nothing dropped before it,
// no board makes it.
func (s *moduleRelayStage) pickupOn() design.Check {
	rail := s.b.rail
	c := s.boardCheck(design.CoilPickup)
	if w := s.b.mod.VSupply; w != nil {
		c.Stress = known(w.Min)
	}
	if !c.Stress.OK {
		c.Needs("v_supply")
	}
	c.Rating = design.Known(float64(rail.Min))
	c.Formula = "the module works from {stress}; its rail gives {rating}"
	if !s.b.inRange {
		c.Because = noBoardRail
	}
	c.SetCorner(design.CornerValue{Name: "rail", V: float64(rail.Min)}, design.CornerValue{Name: "ambient", V: s.l.TMax})
	judge(&c)
	_, hot := s.temperatureCheck(rail)
	if !hot.OK {
		return c
	}
	coil := s.boardCheck(design.CoilPickup)
	coil.Stress, coil.Rating = device.PickUp(s.r, hot.V), design.Known(float64(rail.Min))
	coil.Formula = "its coil, heated to {T_coil}, needs {stress}; the rail gives {rating} before its driver drops anything"
	coil.SetArgs(design.Arg{Name: "T_coil", V: hot.V, Unit: design.DegC})
	coil.SetCorner(design.CornerValue{Name: "rail", V: float64(rail.Min)}, design.CornerValue{Name: "ambient", V: s.l.TMax})
	judge(&coil)
	if coil.Verdict > c.Verdict {
		return coil
	}
	return c
}

func (s *moduleRelayStage) boardCheck(id design.CheckID) design.Check {
	return design.Check{ID: id, Unit: design.V, Brief: s.env.Brief, Source: s.d.PartSource}
}

const noBoardRail = "no rail of the job is within the supply that the module works with: add one"

// coilOnBoard makes the checks of coil and times.
func (s *moduleRelayStage) coilOnBoard() {
	s.coilChecks()
	c := s.boardCheck(design.CoilOvervoltage)
	if w := s.b.mod.VSupply; w != nil {
		c.Rating = known(w.Max)
	}
	if !c.Rating.OK {
		c.Needs("v_supply")
	}
	c.Stress = design.Known(float64(s.b.rail.Max))
	c.Formula = "its rail gives up to {stress}; the module works up to {rating}"
	if !s.b.inRange {
		c.Because = noBoardRail
	}
	c.SetCorner(design.CornerValue{Name: "rail", V: float64(s.b.rail.Max)})
	if judge(&c); c.Verdict != design.Fits { // a window has no margin to report
		s.b.worseCheck(&c)
	}
}

// boardHeat is what contact and board turn into heat, W.
func (s *moduleRelayStage) boardHeat() {
	r, _ := device.ContactResistance(s.c)
	s.value(design.PTotal, s.l.IHot*s.l.IHot*r+float64(s.b.rail.Max)*s.b.takes, design.W)
}
