package engine_test

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
)

// ---- MOSFETs side by side ----

// leastOfMax is the on-resistance of a part at the least as a share of the stated
// maximum, as the trade reckons with it (common practice, no source).
const leastOfMax = 0.7

// warm is what a switch is that heats itself: a resistance that rises with its own
// temperature, which its own loss makes.
type warm struct {
	r     map[string]float64 // ohm at 25 C, by reference
	alpha float64            // 1/K
	rth   float64            // K/W to the air
	air   float64            // C
}

// sideBySide writes one of several switches, or one that heats itself. It says
// whether it did.
func (w *writer) sideBySide(e *design.Element, n []string) bool {
	c := w.c
	ref := strings.ToLower(e.Ref)
	switch {
	case c.warm != nil:
		h := c.warm
		// The simulator's temperatures are volts on a node, its powers amperes into it.
		w.line("b%s %s %s i=v(%s,%s)/(%s*max(1,1+%s*(v(t_%s)-25)))", ref, n[1], n[2], n[1], n[2], num(h.r[e.Ref]), num(h.alpha), ref)
		w.line("bheat%s 0 t_%s i=v(%s,%s)*v(%s,%s)/(%s*max(1,1+%s*(v(t_%s)-25)))", ref, ref, n[1], n[2], n[1], n[2], num(h.r[e.Ref]), num(h.alpha), ref)
		w.line("rheat%s t_%s air %s", ref, ref, num(h.rth))
		w.line("rgate%s %s 0 1g", ref, n[0])
		if e.Ref == "Q1" {
			w.line("vair air 0 dc %s", num(h.air))
		}
	case w.d.Topology == "n-mosfet-parallel":
		card, ok := c.cards[e.Ref]
		if !ok {
			card = c.card
		}
		gate := n[0]
		if c.rGate > 0 {
			gate = "gate" + ref
			w.line("rgate%s %s %s %s", ref, n[0], gate, num(c.rGate))
		}
		w.line("vdrain%s %s d%s dc 0", ref, n[1], ref) // measures the current
		w.line("m%s d%s %s %s %s switched%s w=1u l=1u", ref, ref, gate, n[2], n[2], ref)
		if c.cgs > 0 {
			w.line("cgs%s %s %s %s", ref, gate, n[2], num(c.cgs))
			w.line("cgd%s %s %s %s", ref, gate, n[1], num(c.cgd))
		}
		if c.gateLeak > 0 {
			w.line("igss%s %s %s dc %s", ref, n[1], gate, num(c.gateLeak))
		}
		w.model("switched"+ref, card)
	default:
		return false
	}
	return true
}

// parts are the references of the switches.
func (s *subject) parts() (refs []string) {
	for _, e := range s.d.Elements {
		if e.Role == design.RoleSwitch {
			refs = append(refs, e.Ref)
		}
	}
	return refs
}

func (s *subject) parallel(p *catalog.MOSFET) []corner {
	refs := s.parts()
	n := float64(len(refs))
	if n < 2 {
		s.Fatalf("%s: %v", s.d.Key(), refs)
	}
	vgs, id, r := onPoint(p, s.value(design.VGateDrive))
	vth := float64(p.VGSTh.Max.Or(0))
	tj := s.arg(design.StaysOff, "T_j")
	vthOff := float64(p.VGSTh.Min.Or(0)) - float64(p.VGSThSlope.Or(0.007))*(tj-25)
	at := s.value(design.VGateDrive)
	hot := hotFactor(p, tj)

	// All of the greatest resistance, hot: the drop.
	on := s.start("drive", "lowest pin, all of the greatest resistance, hot, lowest rail", least)
	on.drive, on.bleed, on.rail = greatest, least, s.railMin
	on.card = mosfetCard(at, s.iCold*s.railMin/s.railMax/n, r*hot, vth)
	on.wants = []want{
		{name: "v_gate", measure: find("v_gate", "v(control)"), engine: at, tol: circuitTol},
		{name: "v_on", measure: find("v_on", "v(switch)"), engine: s.value(design.VOn), bound: true, least: 1 - deviceTol},
	}

	// One of the least resistance beside others of the greatest, as warm as each other.
	share := s.start("share", "highest rail, one part of 0.7 of the others' resistance, all equally warm", least)
	share.drive, share.bleed = greatest, least
	share.card = mosfetCard(at, s.iCold/n, r, vth)
	share.cards = map[string]string{"Q1": mosfetCard(at, s.iCold/n, leastOfMax*r, vth)}
	share.wants = []want{{name: "i_first", measure: find("i_first", "i(vdrainq1)"), engine: s.check(design.OnCurrent).Stress.V * s.afterDrop(), tol: circuitTol}}

	charge := s.start("pin", "highest pin, least resistors: the peak that charges all gates", greatest)
	charge.pin, charge.drive, charge.bleed = rises, least, least
	charge.cgs, charge.cgd = float64(p.QGSMax.Or(0))/vthOff, float64(p.QGDMax.Or(0))/s.railMax
	charge.card = mosfetCard(vgs, id, r*hot, vth)
	charge.stop, charge.step = edgeAt+2e-6, 1e-9
	charge.wants = []want{{name: "i_pin", measure: "let i_source = -i(vpin)\nmeas tran i_pin max i_source", engine: s.value(design.IPin), tol: circuitTol}}

	off := s.reset()
	off.drive, off.bleed = greatest, greatest
	off.card = mosfetCard(vgs, id, r, vthOff)
	if off.pin == floats {
		off.gateLeak = float64(p.IGSSMax.Or(0))
	}
	if strings.Contains(s.check(design.StaysOff).Because, "the rail rises") {
		s.rising(&off, p)
		off.wants[0].measure = "meas tran v_control max v(gateq1)"
	}

	cs := append(s.heatOf(p, r), on, share, charge, off)
	return append(cs, s.turnOff(func(c *corner) {
		c.drive, c.bleed = greatest, greatest
		c.card = mosfetCard(vgs, id, r, vthOff)
		c.rGate = float64(p.RGateInt.Or(10))
		c.cgs, c.cgd = float64(p.QGSMax.Or(0))/vthOff, float64(p.QGDMax.Or(0))/s.value(design.VPeakOff)
	}, nil)...)
}

// rising lets the rail rise in 1 ms while the gate-drain capacitance is what it is
// where the drain is not far above the gate: half of the charge in a tenth of the
// swing (common practice, no source).
func (s *subject) rising(c *corner, p *catalog.MOSFET) {
	c.railRise = 1e-3
	c.cgs, c.cgd = 1e-15, 0.5*float64(p.QGDMax.Or(0))/(0.1*c.rail)
	c.rGate = float64(p.RGateInt.Or(10))
	c.stop, c.step = edgeAt+c.railRise, 1e-6
	s.rings(c)
}

// rings makes the first number of a rising rail a bound where the load is a winding: the
// engine counts the most that it rings.
func (s *subject) rings(c *corner) {
	if s.cold.l > 0 && len(c.wants) > 0 {
		c.wants[0].bound, c.wants[0].least, c.wants[0].tol = true, 0.5, 0
	}
}

// heatOf are the two spreads between which the hottest part is found: all of the
// greatest resistance, and one of the least. The hotter of them is what the engine
// reckons with.
func (s *subject) heatOf(p *catalog.MOSFET, r float64) []corner {
	hot := p.RDSOnHot
	h := warm{air: hottest, alpha: (float64(hot.Factor.Or(1)) - 1) / (float64(hot.Tj.Or(150)) - 25), rth: s.arg(design.JunctionTemperature, "R_th_JA")}
	var cs []corner
	for i, name := range []string{"alike", "unlike"} {
		c := s.start(name, "highest rail, the junctions heat themselves: "+[]string{"all of the greatest resistance", "one of 0.7 of the others'"}[i], greatest)
		if s.inductive { // its winding is as warm as the air
			c.load.r *= copper(hottest, coldest)
		}
		w := h
		w.r = map[string]float64{}
		for _, ref := range s.parts() {
			w.r[ref] = r
		}
		if i == 1 {
			w.r["Q1"] *= leastOfMax
		}
		c.warm = &w
		// Of two the alike are hotter, of more the unlike.
		got := want{name: "t_first", measure: find("t_first", "v(t_q1)"), engine: s.value(design.TStuckOn), bound: true, least: 1 - circuitTol}
		if (i == 0) != (len(s.parts()) == 2) {
			got.least = 0.7
		}
		c.wants = []want{got}
		cs = append(cs, c)
	}
	return cs
}

// ---- boosted gates ----

// gateDriver writes the transistors and resistors that drive a boosted gate. What
// stands for the stage among them, and rail and pin, are written already.
func (w *writer) gateDriver() {
	if w.d.Driver == nil || w.d.Topology == "relay" {
		return
	}
	for i := range w.d.Driver.Elements {
		e := &w.d.Driver.Elements[i]
		n := make([]string, len(e.Nodes))
		for k := range e.Nodes {
			n[k] = node(e.Nodes[k])
		}
		ref := strings.ToLower(e.Ref)
		switch e.Role {
		case design.RoleDriveResistor, design.RolePullDown:
			at := w.c.drive
			if e.Role == design.RolePullDown {
				at = w.c.bleed
			}
			w.line("r%s %s %s %s", e.Ref, n[0], n[1], num(e.Value*at.of(1-driverTol, 1+driverTol)))
		case design.RoleShifter:
			card, ok := w.c.cards[e.Ref]
			switch {
			case !ok:
				w.t.Fatalf("no card for %s", e.Ref)
			case card == "": // off: what it leaks stands in the corner
				continue
			case e.Kind == "bjt":
				w.line("q%s %s %s %s driver%s", ref, n[1], n[0], n[2], ref)
			default:
				w.line("m%s %s %s %s %s driver%s w=1u l=1u", ref, n[1], n[0], n[2], n[2], ref)
			}
			w.model("driver"+ref, card)
		case design.RolePin:
			if !slices.ContainsFunc(w.d.Elements, func(e design.Element) bool { return e.Role == design.RolePin }) {
				w.pin(n[0])
			}
		}
	}
}

// driverTol is the tolerance of the resistors that the engine chooses, all of one
// per cent.
const driverTol = 0.01

// driverCards are the transistors that drive the gate, each as its figures at the
// currents that the engine reckons with say.
func (s *subject) driverCards() map[string]string {
	cards := map[string]string{}
	for _, e := range s.d.Driver.Elements {
		if e.Role != design.RoleShifter {
			continue
		}
		p, _ := s.cat.Part(e.Part)
		b, ok := p.(*catalog.BJT)
		if !ok {
			s.Fatalf("%s: %s is no bipolar transistor", s.d.Key(), e.Part)
		}
		prefix := design.ValueKey("shifter.")
		if b.Polarity == "pnp" {
			prefix = "driver."
		}
		ic := math.Max(s.valueOr(prefix+design.IPeak, 0), s.value(prefix+design.IOn))
		vce, need := saturation(b, ic, s.value(prefix+design.IBase))
		if math.IsInf(vce, 1) {
			s.Fatalf("%s: %s is not in a stated saturation at %g A", s.d.Key(), e.Part, ic)
		}
		hfe := math.Inf(1) // the least stated: the gain at the greatest current
		for _, h := range b.HFE {
			if float64(h.IC.Or(0)) >= ic && h.Min.Known() {
				hfe = float64(h.Min.Or(0))
				break
			}
		}
		card := bipolarCard(ic, need, vce, vbeOn(b, ic, coldest), math.Max(hfe, ic/need*1.5))
		if b.Polarity == "pnp" {
			card = "pnp" + strings.TrimPrefix(card, "npn")
		}
		cards[e.Ref] = card
	}
	return cards
}

func (s *subject) valueOr(key design.ValueKey, or float64) float64 {
	if i := slices.IndexFunc(s.d.Values, func(v design.Value) bool { return v.Key == key }); i >= 0 {
		return s.d.Values[i].V
	}
	return or
}

// inverts reports whether one transistor takes the gate down.
func (s *subject) inverts() bool {
	return s.has("R7")
}

// has reports whether there is an element of that reference.
func (s *subject) has(ref string) bool {
	return slices.ContainsFunc(s.d.Elements, func(e design.Element) bool { return e.Ref == ref })
}

func (s *subject) boosted(p *catalog.MOSFET) []corner {
	vgs, id, r := onPoint(p, s.value(design.VGateDrive))
	vth := float64(p.VGSTh.Max.Or(0))
	tj := s.arg(design.StaysOff, "T_j")
	vthOff := float64(p.VGSTh.Min.Or(0)) - float64(p.VGSThSlope.Or(0.007))*(tj-25)
	hot := hotFactor(p, tj)
	lo, hi := s.gateRail()
	cards := s.driverCards()
	one := s.inverts()

	// Lifted: from the lowest rail, what the driver drops is a bound.
	on := s.start("drive", "lowest pin and gate rail, hot, lowest rail", least)
	on.drive, on.bleed, on.rail, on.gateRail, on.cards = greatest, least, s.railMin, lo, cards
	on.card = mosfetCard(s.value(design.VGateDrive), s.iCold*s.railMin/s.railMax, r*hot, vth)
	if !s.has("V2") { // the gate's rail is the load's own
		on.rail = lo
	}
	if one { // a low pin lifts the gate
		on.vPin = 0
	}
	lost := want{name: "v_lost", measure: fmt.Sprintf("let v_lost = %s-v(control)", num(lo)), engine: lo - s.value(design.VGateDrive), bound: true, least: 0.05}
	on.wants = []want{lost, {name: "v_on", measure: find("v_on", "v(switch)"), engine: s.value(design.VOn), bound: true, least: 1 - deviceTol}}

	// Taken down, in the state that the engine names.
	off := s.start("off", "the gate taken down: "+s.check(design.StaysOff).Because, greatest)
	off.drive, off.bleed, off.gateRail, off.cards = least, greatest, hi, cards
	off.card = mosfetCard(vgs, id, r, vthOff)
	if !s.has("V2") {
		off.rail = hi
	}
	s.rising(&off, p)
	off.wants = []want{{name: "v_gate", measure: "meas tran v_gate max v(gate)", engine: s.value(design.VControlReset), tol: circuitTol}}
	switch because := s.check(design.StaysOff).Because; {
	case strings.Contains(because, "the gate's is absent"):
		off.vPin, off.gateRail = 0, 0
	case one: // what the driver leaves of it is less than its figure at more current
		off.vPin, off.drive = float64(s.pin.SupplyMin), greatest
		off.wants[0].bound, off.wants[0].least = true, 0.02
	default: // as at reset: through the pull-up, what the lifter leaks flowing in
		off.drive = greatest
		s.rings(&off)
		off.vPin, off.rOut = float64(s.pin.SupplyMax), float64(s.pin.ResetPullMin)
		lifter, _ := s.cat.Part(s.d.Driver.Part)
		off.lines = append(off.lines, fmt.Sprintf("ilifter gate-rail gate-drive dc %s", num(baseLeak(lifter.(*catalog.BJT), hi, s.value("driver."+design.TJunction)))))
		if !s.has("V2") {
			off.lines[0] = strings.Replace(off.lines[0], "gate-rail", "rail", 1)
		}
	}

	cs := []corner{on, off}
	edge := func(name, why string, pin pinState, level float64, word string, engine, own float64) corner {
		c := s.start(name, why, least)
		c.pin, c.drive, c.bleed, c.gateRail, c.cards = pin, greatest, greatest, lo, cards
		if pin == falls == one { // what lifts the gate
			c.card = mosfetCard(vgs, id, r, vth)
		} else {
			c.card = mosfetCard(vgs, id, r, vthOff)
		}
		c.rGate = float64(p.RGateInt.Or(10))
		c.cgs, c.cgd = float64(p.QGSMax.Or(0))/vthOff, float64(p.QGDMax.Or(0))/s.railMax
		if !s.has("V2") {
			c.rail = lo
		}
		c.stop, c.step = edgeAt+2*engine, engine/4000
		// Charge over current is a bound of the edge, and the driver's own edges are
		// counted with it whole, which the simulator's transistors, that store nothing,
		// do not take: the least is a part of the gate's own.
		c.wants = []want{{name: "t_edge", engine: engine, bound: true, least: 0.2 * own / engine,
			measure: fmt.Sprintf("meas tran t_edge trig v(switch) val=%s %s=1 targ v(switch) val=%s %s=1", num(c.rail*(1-level)), word, num(c.rail*level), word)}}
		return c
	}
	rise, fall := rises, falls
	if one {
		rise, fall = falls, rises
	}
	if !s.inductive {
		on, off := s.value(design.TOn), s.value(design.TOff)
		drOn, drOff := s.driverValue(design.TOn), s.driverValue(design.TOff)
		if one {
			drOn, drOff = drOff, drOn
		}
		cs = append(cs, edge("on", "the drain falls, weakest part", rise, 0.1, "fall", on, on-drOn),
			edge("off-edge", "the drain rises, threshold at its least", fall, 0.9, "rise", off, off-drOff))
	}
	return append(cs, s.turnOff(func(c *corner) {
		c.drive, c.bleed, c.gateRail, c.cards = greatest, greatest, hi, cards
		c.card = mosfetCard(vgs, id, r, vthOff)
		c.rGate = float64(p.RGateInt.Or(10))
		c.cgs, c.cgd = float64(p.QGSMax.Or(0))/vthOff, float64(p.QGDMax.Or(0))/s.value(design.VPeakOff)
	}, nil)...)
}

// driverValue is a value of the gate's driver.
func (s *subject) driverValue(key design.ValueKey) float64 {
	s.Helper()
	for _, v := range s.d.Driver.Values {
		if v.Key == key {
			return v.V
		}
	}
	s.Fatalf("%s: the driver has no %s", s.d.Key(), key)
	return 0
}

// gateRail is the rail of the gate at both its ends, V.
func (s *subject) gateRail() (lo, hi float64) {
	for _, c := range []design.CheckID{design.GateDrive, design.GateVoltage} {
		v := s.cornerOf(c, "gate_rail")
		if c == design.GateDrive {
			lo = v
		} else {
			hi = v
		}
	}
	return lo, hi
}
