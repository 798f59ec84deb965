package engine_test

import (
	"fmt"
	"math"
	"strings"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/device"
	"example.org/pinhoist/internal/job"
)

// High sides: the switch hangs between rail and load, a level shifter or the pin
// pulls its control down.

// highSide are the corners of a high side.
func (s *subject) highSide() []corner {
	part, _ := s.cat.Part(s.d.Part)
	var cs []corner
	switch p := part.(type) {
	case *catalog.BJT:
		cs = s.highBipolar(p)
	case *catalog.MOSFET:
		cs = s.highMOSFET(p)
	}
	for i := range cs {
		if cs[i].cards == nil && s.d.Driver != nil {
			cs[i].cards = map[string]string{"Q2": s.shifterCard()}
		}
	}
	return cs
}

// upside turns a card of an N type into that of a P type.
func upside(card string) string {
	card = strings.Replace(card, "npn ", "pnp ", 1)
	if strings.HasPrefix(card, "nmos ") {
		card = strings.Replace(strings.Replace(card, "nmos ", "pmos ", 1), "vto=", "vto=-", 1)
	}
	return card
}

// shifterCard is the level shifter with the drop and the current that the engine
// reckons with.
func (s *subject) shifterCard() string {
	d := s.d.Driver
	i, drop := s.value("shifter."+design.IOn), s.value("shifter."+design.VOn)
	p, _ := s.cat.Part(d.Part)
	switch p := p.(type) {
	case *catalog.BJT:
		hfe := math.NaN()
		for _, c := range d.Checks {
			for _, v := range c.Corner() {
				if v.Name == "part.h_fe" {
					hfe = v.V
				}
			}
		}
		_, need := saturation(p, i, s.value("shifter."+design.IBase))
		return bipolarCard(i, need, drop, vbeOn(p, i, coldest), hfe)
	case *catalog.MOSFET:
		vth := float64(p.VGSTh.Max.Or(0))
		return mosfetCard(s.value("shifter."+design.VGateDrive), i*s.railMin/s.railMax, drop/(i*s.railMin/s.railMax), vth)
	}
	s.Fatalf("no card for the level shifter %s", d.Part)
	return ""
}

// atRail is a load at the lowest rail, whose current is that of a resistance.
func (s *subject) atRail(v float64) float64 { return s.iCold * v / s.railMax }

// highOff is the stage off: the switch and what pulls its control leak.
func (s *subject) highOff(card string, leak float64) corner {
	off := s.start("reset", "nothing pulls the control down, junction hot", greatest)
	off.drive, off.bleed, off.card = greatest, greatest, card
	off.lines = []string{fmt.Sprintf("iown control 0 dc %s", num(leak))}
	if s.d.Driver != nil {
		off.pin, off.leak = floats, float64(s.pin.LeakageMax)
		off.cards = map[string]string{"Q2": ""}
		off.lines = append(off.lines, fmt.Sprintf("ishift shift 0 dc %s", num(s.shifterLeak())))
	} else {
		off.pin, off.leak = floats, -float64(s.pin.LeakageMax)
	}
	off.wants = []want{{name: "v_control", measure: find("v_control", "(v(rail)-v(control))"), engine: s.calmReset(), tol: circuitTol}}
	return off
}

// calmReset is the control while off and while its rail does not rise, V: a deck
// that stands still has no such rise.
func (s *subject) calmReset() float64 {
	if c := s.check(design.StaysOff); c.EasyStress.OK {
		return c.EasyStress.V
	}
	return s.value(design.VControlReset)
}

// shifterLeak is what the level shifter leaks at its own hottest junction, A.
func (s *subject) shifterLeak() float64 {
	hot := s.value("shifter." + design.TJunction)
	held := s.value("shifter." + design.VControlReset)
	for _, c := range s.d.Driver.Checks {
		if c.ID == design.StaysOff && c.EasyStress.OK {
			held = c.EasyStress.V
		}
	}
	p, _ := s.cat.Part(s.d.Driver.Part)
	switch p := p.(type) {
	case *catalog.BJT:
		return baseLeak(p, s.railMax, hot) + device.CollectorBelow(p, held, hot)
	case *catalog.MOSFET:
		best := math.Inf(1)
		for _, l := range p.IDSSMax {
			if float64(l.VDS.Or(0)) >= s.railMax && float64(l.Tj.Or(25)) >= hot {
				best = math.Min(best, float64(l.Max.Or(1)))
			}
		}
		return best + device.ChannelBelow(p, held, hot)
	}
	return math.NaN()
}

func (s *subject) highBipolar(p *catalog.BJT) []corner {
	tj := s.arg(design.StaysOff, "T_j")
	s.at(design.OnCurrent, "rail", s.railMax)
	// What the engine says of the base and of the drop holds at the lowest rail.
	low := s.atRail(s.railMin)
	vce, need := saturation(p, low, s.value(design.IBase))
	vceTop, needTop := saturation(p, s.iCold, s.value(design.IBase))
	if math.IsInf(vce, 1) || math.IsInf(vceTop, 1) {
		s.Fatalf("%s: not driven into a stated saturation: take another part", s.d.Key())
	}
	weakest := upside(bipolarCard(low, need, vce, vbeOn(p, low, coldest), 300))
	on := s.start("drive", "lowest rail and pin, weakest part, cold, highest load", least)
	on.rail, on.drive, on.bleed, on.card = s.railMin, greatest, least, weakest
	on.wants = []want{
		{name: "i_base", measure: find("i_base", "(-i(vbase))"), engine: s.value(design.IBase), tol: circuitTol},
		{name: "v_on", measure: find("v_on", "(v(rail)-v(switch))"), engine: s.value(design.VOn), bound: true, least: 1 - deviceTol},
		{name: "v_load", measure: find("v_load", "v(switch)"), engine: s.value(design.VLoad), tol: circuitTol},
	}
	// At the highest rail the stage takes the load, the base and the bleed from it.
	most := s.start("most", "highest rail, least resistors, junction hot", greatest)
	most.drive, most.bleed, most.card = least, greatest, upside(bipolarCard(s.iCold, needTop, vceTop, vbeOff(p, tj), 300))
	most.wants = []want{
		{name: "i_on", measure: find("i_on", s.cold.current()), engine: s.value(design.IOn) * s.afterDrop(), tol: circuitTol},
		{name: "i_rail", measure: find("i_rail", "(-i(vrail))"), engine: s.check(design.RailCurrent).Stress.V, bound: true, least: 0.9},
	}
	cs := []corner{on, most, s.highOff(upside(bipolarOffCard(s.iCold, vbeOff(p, tj), 100)), baseLeak(p, s.railMax, tj))}
	return append(cs, s.highTurnOff(func(c *corner) {
		c.drive, c.bleed, c.card = greatest, greatest, most.card
	})...)
}

func (s *subject) highMOSFET(p *catalog.MOSFET) []corner {
	tj := s.arg(design.StaysOff, "T_j")
	s.at(design.OnCurrent, "rail", s.railMax)
	vth := float64(p.VGSTh.Max.Or(0))
	vthOff := float64(p.VGSTh.Min.Or(0)) - float64(p.VGSThSlope.Or(0.007))*(tj-25)
	drive := s.value(design.VGateDrive)
	_, _, r := onPoint(p, drive)
	low := s.atRail(s.railMin)
	weakest := upside(mosfetCard(drive, low, r*hotFactor(p, tj), vth))
	on := s.start("drive", "lowest rail and pin, weakest part, hot, highest load", least)
	on.rail, on.drive, on.bleed, on.card = s.railMin, greatest, least, weakest
	on.lines = []string{fmt.Sprintf("igss control 0 dc %s", num(-float64(p.IGSSMax.Or(0))))}
	if s.d.Driver == nil { // low is on
		on.vPin = 0
	}
	on.wants = []want{
		{name: "v_gate", measure: find("v_gate", "(v(rail)-v(control))"), engine: drive, tol: circuitTol},
		{name: "v_on", measure: find("v_on", "(v(rail)-v(switch))"), engine: s.value(design.VOn), bound: true, least: 1 - deviceTol},
		{name: "v_load", measure: find("v_load", "v(switch)"), engine: s.value(design.VLoad), tol: circuitTol},
	}
	most := s.start("most", "highest rail, least gate resistor, greatest pull-up", greatest)
	most.drive, most.bleed, most.card = least, greatest, weakest
	if s.d.Driver == nil {
		most.vPin = 0
	}
	most.wants = []want{
		{name: "v_gate", measure: find("v_gate", "(v(rail)-v(control))"), engine: s.check(design.GateVoltage).Stress.V, bound: true, least: 0.95},
		{name: "i_on", measure: find("i_on", s.cold.current()), engine: s.value(design.IOn) * s.afterDrop(), tol: circuitTol},
	}
	strong := upside(mosfetCard(drive, low, r, vthOff))
	off := s.highOff(strong, float64(p.IGSSMax.Or(0)))
	if strings.Contains(s.check(design.StaysOff).Because, "the rail rises") {
		s.rising(&off, p)
		off.wants[0].engine = s.value(design.VControlReset)
		off.wants[0].measure = "let v_down = v(rail)-v(gate)\nmeas tran v_control max v_down"
	}
	cs := []corner{on, most, off}
	// The pull-up alone empties the gate.
	edge := s.start("edge", "the gate is emptied, junction hot", greatest)
	edge.pin, edge.drive, edge.bleed, edge.card = falls, greatest, greatest, strong
	if s.d.Driver == nil {
		edge.pin = rises // low is on
	}
	edge.rOut = float64(s.pin.ROutMax)
	edge.rGate = float64(p.RGateInt.Or(10))
	edge.cgs, edge.cgd = float64(p.QGSMax.Or(0))/vthOff, float64(p.QGDMax.Or(0))/s.railMax
	t := s.value(design.TOff)
	edge.stop, edge.step = edgeAt+1.5*t, t/2000
	edge.load.l = 0
	edge.wants = []want{{name: "t_off", engine: t, bound: true, least: 0.1,
		measure: fmt.Sprintf("meas tran t_off trig at=%g targ v(switch) val=%s fall=1", edgeAt, num(0.1*s.railMax))}}
	if s.d.Driver == nil { // what comes before the edge is not the engine's matter here
		edge.wants[0].measure = fmt.Sprintf("meas tran t_off trig v(switch) val=%s fall=1 targ v(switch) val=%s fall=1", num(0.9*s.railMax), num(0.1*s.railMax))
	}
	if s.kind == job.Resistive {
		cs = append(cs, edge)
	}
	return append(cs, s.highTurnOff(func(c *corner) {
		c.drive, c.bleed, c.card, c.rGate = greatest, greatest, strong, edge.rGate
		c.cgs, c.cgd = edge.cgs, edge.cgd
	})...)
}

// highTurnOff are the corners of a winding that a high side switches off: its node
// goes below ground by what its clamp takes.
func (s *subject) highTurnOff(stage func(*corner)) []corner {
	if !s.inductive {
		return nil
	}
	s.at(design.BlockingVoltage, "rail", s.railMax)
	peak := s.start("peak", "highest rail, coldest winding, greatest clamp", greatest)
	peak.rOut, peak.pin = float64(s.pin.ROutMax), falls
	slow := s.value(design.TOff)
	peak.stop, peak.step = edgeAt+2*slow+60e-6, (2*slow+60e-6)/4000
	stage(&peak)
	peak.wants = []want{{name: "v_across", measure: fmt.Sprintf("let v_a = v(rail)-v(switch)\nmeas tran v_across max v_a from=%g", edgeAt), engine: s.check(design.BlockingVoltage).Stress.V, bound: true, least: 1 - circuitTol},
		{name: "v_below", measure: fmt.Sprintf("let v_b = -v(switch)\nmeas tran v_below max v_b from=%g", edgeAt), engine: -s.value(design.VPeakOff), bound: true, least: 0.6}}
	c := peak
	c.name, c.why, c.clamp = "decay", "highest rail, coldest winding, greatest inductance, least clamp", least
	t := s.value(design.TDecay)
	c.stop, c.step = edgeAt+slow+1.2*t, t/4000
	c.wants = []want{{name: "t_decay", engine: t, bound: true, least: (1 - circuitTol) * s.fullCurrent(),
		measure: fmt.Sprintf("meas tran t_decay trig v(switch) val=0 fall=1 targ i(lload) val=%s fall=1", num(s.iEnd))}}
	return []corner{peak, c}
}
