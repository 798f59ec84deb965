package engine_test

import (
	"fmt"
	"maps"
	"math"
	"strings"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
)

// A bridge is written whole: four switches, two level shifters, the interlock of both
// drives. Its ends of a spread are told by reference, for one drive is to be slow while
// the other is quick.

// turning is what a deck of a bridge has of its own.
type turning struct {
	pins   [2]pinState
	ends   map[string]end // of resistors and capacitors, by reference; else the least
	gates  bool           // ideal sources stand for what drives the gates of one diagonal
	bodies string         // card of the body diodes; "": none
	cgd    map[string]float64
}

// bridgeElement writes an element of a bridge, and says whether it did.
func (w *writer) bridgeElement(e *design.Element) bool {
	c := w.c.turning
	if c == nil {
		return false
	}
	n := make([]string, len(e.Nodes))
	for i := range e.Nodes {
		n[i] = node(e.Nodes[i])
	}
	ref := strings.ToLower(strings.ReplaceAll(e.Ref, " ", ""))
	switch e.Role {
	case design.RolePin:
		w.bridgePin(n[0], c.pins[e.Ref[len(e.Ref)-1]-'A'])
	case design.RoleDriveResistor, design.RolePullDown:
		w.line("r%s %s %s %s", ref, n[0], n[1], num(w.bodied(e, c.ends[e.Ref])))
	case design.RoleSnubber:
		p, _ := w.cat.Part(e.Part)
		tol := float64(p.(*catalog.Capacitor).Tolerance.Or(0))
		w.line("c%s %s %s %s", ref, n[0], n[1], num(e.Value*c.ends[e.Ref].of(1-tol, 1+tol)))
	case design.RoleSwitch, design.RoleShifter:
		w.bridgeSwitch(e, ref, n)
	default:
		return false
	}
	return true
}

// bodied is a resistor at one end of the tolerance of its body.
func (w *writer) bodied(e *design.Element, at end) float64 {
	p, ok := w.cat.Part(e.Part)
	r, is := p.(*catalog.ResistorSeries)
	if !ok || !is {
		w.t.Fatalf("%s: %s has no body", w.d.Key(), e.Ref)
	}
	tol := float64(r.Tolerance.Or(1))
	return e.Value * at.of(1-tol, 1+tol)
}

func (w *writer) bridgePin(n string, does pinState) {
	c := w.c
	src := "v" + n
	switch does {
	case driven, pulled:
		w.line("%s s_%s 0 dc %s", src, n, num(c.vPin))
	case falls:
		w.line("%s s_%s 0 pwl(0 %s %s %s %s 0)", src, n, num(c.vPin), num(edgeAt), num(c.vPin), fmt.Sprint(edgeAt+edge))
	case rises:
		w.line("%s s_%s 0 pwl(0 0 %s 0 %s %s)", src, n, num(edgeAt), fmt.Sprint(edgeAt+edge), num(c.vPin))
	case floats: // here: low for good
		w.line("%s s_%s 0 dc 0", src, n)
	}
	w.line("rout_%s s_%s %s %s", n, n, n, num(c.rOut))
}

// bridgeSwitch writes one transistor, its body diode, and what couples its drain to
// its gate.
func (w *writer) bridgeSwitch(e *design.Element, ref string, n []string) {
	c := w.c
	card, ok := c.cards[e.Ref]
	if !ok {
		w.t.Fatalf("%s: no card for %s", w.d.Key(), e.Ref)
	}
	gate := n[0]
	if c.turning.gates && e.Role == design.RoleSwitch { // what drives it stands aside
		gate = "g_" + ref
		low, high := 0.0, c.vPin
		if strings.HasPrefix(card, "pmos") {
			low, high = c.rail, 0
		}
		if e.Ref == "Q1" || e.Ref == "Q3" { // the diagonal that opens
			w.line("v%s %s 0 pwl(0 %s %s %s %s %s)", ref, gate, num(high), num(edgeAt), num(high), fmt.Sprint(edgeAt+1e-6), num(low))
		} else {
			w.line("v%s %s 0 dc %s", ref, gate, num(low))
		}
	}
	w.line("m%s %s %s %s %s is%s w=1u l=1u", ref, n[1], gate, n[2], n[2], ref)
	w.model("is"+ref, card)
	if q := c.turning.cgd[e.Ref]; q > 0 {
		w.line("cgd%s %s %s %s", ref, n[0], n[1], num(q))
	}
	if c.turning.bodies != "" && e.Role == design.RoleSwitch {
		a, k := n[2], n[1]
		if strings.HasPrefix(card, "pmos") {
			a, k = k, a
		}
		w.line("dbody%s %s %s body", ref, a, k)
		if e.Ref == "Q1" {
			w.model("body", c.turning.bodies)
		}
	}
}

// element is the element of a reference.
func (s *subject) element(ref string) *design.Element {
	for i := range s.d.Elements {
		if s.d.Elements[i].Ref == ref {
			return &s.d.Elements[i]
		}
	}
	s.Fatalf("%s has no %s", s.d.Key(), ref)
	return nil
}

func (s *subject) mosfetOf(ref string) *catalog.MOSFET {
	p, _ := s.cat.Part(s.element(ref).Part)
	return p.(*catalog.MOSFET)
}

// thresholdAt is the least threshold of a part at t.
func thresholdAt(p *catalog.MOSFET, t float64) float64 {
	return float64(p.VGSTh.Min.Or(0)) - float64(p.VGSThSlope.Or(0.007))*(t-25)
}

// cardAt is a part at a threshold and at its stated resistance for a drive, at t.
func cardAt(p *catalog.MOSFET, drive, vth, t float64) string {
	vgs, id, r := onPoint(p, drive)
	card := mosfetCard(vgs, id, r*hotFactor(p, t), vth)
	if p.Channel == "p" {
		card = upside(card)
	}
	return card
}

// cardsOf are cards of all eight transistors: low sides, high sides, level shifters,
// interlocks.
func cardsOf(n, p, shift, lock string) map[string]string {
	return map[string]string{"Q1": n, "Q2": n, "Q3": p, "Q4": p, "Q5": shift, "Q6": shift, "Q7": lock, "Q8": lock}
}

// bridge are the corners of a bridge.
func (s *subject) bridge() []corner {
	n, p, small := s.mosfetOf("Q1"), s.mosfetOf("Q3"), s.mosfetOf("Q5")
	hotN := s.arg(design.StaysOff, "T_j")
	hotP := math.NaN()
	for i := range s.d.Half.Checks {
		c := &s.d.Half.Checks[i]
		for _, a := range c.Args() {
			if c.ID == design.StaysOff && a.Name == "T_j" {
				hotP = a.V
			}
		}
	}
	if s.element("Q3").Part == s.element("Q1").Part || math.IsNaN(hotP) {
		s.Fatalf("%s: no high side", s.d.Key())
	}
	drive, high := s.value(design.VGateDrive), s.value("high."+design.VGateDrive)
	most := func(p *catalog.MOSFET) float64 { return float64(p.VGSTh.Max.Or(0)) }
	weak := cardsOf(cardAt(n, drive, most(n), hotN), cardAt(p, high, most(p), hotP), cardAt(small, drive, most(small), hottest), cardAt(small, drive, most(small), hottest))
	// What is early to be on and late to be off has the least threshold.
	early := cardsOf(cardAt(n, drive, thresholdAt(n, hotN), hotN), cardAt(p, high, thresholdAt(p, hotP), hotP),
		cardAt(small, drive, thresholdAt(small, hottest), hottest), weak["Q7"])
	cs := []corner{s.bridgeOn(weak, n, p, small, hotN, hotP), s.bridgeTurns(early, n, p, small), s.bridgeFreed(early), s.bridgeRises(weak, n, small)}
	return append(cs, s.bridgeOpens(weak, n, p)...)
}

// bridgeOn is one diagonal on, at its weakest.
func (s *subject) bridgeOn(cards map[string]string, n, p, small *catalog.MOSFET, hotN, hotP float64) corner {
	low := float64(s.motor.Current) * s.railMin / float64(s.motor.Rail.Nom) * (1 + float64(s.motor.Tolerance))
	c := s.start("drive", "one diagonal on: lowest rail and pin, weakest parts, hot", least)
	// What is promised at the stated gate voltage is all that is promised at the one
	// delivered: the weakest parts show it there.
	at := func(p *catalog.MOSFET, drive, t float64) string {
		_, _, r := onPoint(p, drive)
		card := mosfetCard(drive, low, r*hotFactor(p, t), float64(p.VGSTh.Max.Or(0)))
		if p.Channel == "p" {
			return upside(card)
		}
		return card
	}
	cards = maps.Clone(cards)
	cards["Q1"], cards["Q3"] = at(n, s.value(design.VGateDrive), hotN), at(p, s.value("high."+design.VGateDrive), hotP)
	c.rail, c.load, c.cards = s.railMin, electrical{r: s.railMin / low}, cards
	c.turning = &turning{pins: [2]pinState{driven, floats}, ends: map[string]end{"R1": greatest, "R9": greatest}}
	leak := math.Inf(1)
	for _, l := range small.IDSSMax {
		if float64(l.VDS.Or(0)) >= float64(s.pin.SupplyMax) && float64(l.Tj.Or(25)) > hottest {
			leak = math.Min(leak, float64(l.Max.Or(1)))
		}
	}
	leak += 2*float64(small.IGSSMax.Or(0)) + float64(n.IGSSMax.Or(0))
	c.lines = []string{"ileak drive_A 0 dc " + num(leak)}
	c.wants = []want{
		{name: "v_gate", measure: find("v_gate", "v(drive_A)"), engine: s.value(design.VGateDrive), tol: circuitTol},
		{name: "v_gate_high", measure: find("v_gate_high", "(v(rail)-v(gate_A))"), engine: s.value("high." + design.VGateDrive), tol: circuitTol},
		{name: "v_on", measure: find("v_on", "(v(rail)-v(out_A)+v(out_B))"), engine: s.value(design.VOn), bound: true, least: 1 - deviceTol},
		{name: "v_load", measure: find("v_load", "(v(out_A)-v(out_B))"), engine: s.value(design.VLoad), tol: circuitTol},
	}
	return c
}

// bridgeTurns reverses a jammed motor: one pin falls as the other rises. The side that
// is to be off is as slow as may be, the one across as quick.
func (s *subject) bridgeTurns(cards map[string]string, n, p, small *catalog.MOSFET) corner {
	c := s.start("turns", "one pin falls as the other rises: the high side is off late, the low side below it on early", greatest)
	c.cards = cards
	c.turning = &turning{pins: [2]pinState{falls, rises}, ends: map[string]end{"C1": greatest, "R5": greatest, "R6": greatest, "R10": greatest, "C3": greatest, "R4": greatest}}
	full := func(p *catalog.MOSFET) float64 { return float64(p.QGMax.Q.Or(0)) / float64(p.QGMax.VGS.Or(1)) }
	c.lines = []string{
		"cgates drive_A 0 " + num(full(n)+full(small)), "chigh gate_A rail " + num(full(p)), "clock lock_A 0 " + num(full(small))}
	off, on := s.check(design.ShootThrough).Stress.V, s.check(design.ShootThrough).Rating.V
	hot := math.NaN()
	for i := range s.d.Half.Checks {
		if k := &s.d.Half.Checks[i]; k.ID == design.JunctionTemperature {
			hot = k.Stress.V
		}
	}
	c.stop, c.step = edgeAt+1.3*on, on/4000
	c.wants = []want{
		{name: "t_off", engine: off, bound: true, least: 0.4,
			measure: fmt.Sprintf("let v_h = v(rail)-v(gate_A)\nmeas tran t_off trig at=%g targ v_h val=%s fall=1", edgeAt, num(thresholdAt(p, hot)))},
		// The shortest time is that of a drive that the interlock held down before; this one
		// was empty. As a rate, for the engine's is a bound from below.
		{name: "f_on", engine: 1 / on, bound: true, least: 0.7, measure: s.turnsOn() + "\nlet f_on = 1/t_on"},
		// Were both sides of a half on together, the rail would give tens of amperes.
		{name: "i_rail", engine: s.value(design.IPeak), bound: true, least: 0.3, measure: "let i_r = -i(vrail)\nmeas tran i_rail max i_r"},
	}
	return c
}

// turnsOn measures when the low side of the second drive is on at the least.
func (s *subject) turnsOn() string {
	return fmt.Sprintf("meas tran t_on trig at=%g targ v(drive_B) val=%s rise=1", edgeAt, num(s.arg(design.ShootThrough, "V_th")))
}

// bridgeFreed lets one drive go: both pins were high, and one falls.
func (s *subject) bridgeFreed(cards map[string]string) corner {
	c := s.start("freed", "both pins were high and one falls: the quickest turn-on", greatest)
	c.cards = cards
	// What the interlock leaves is most where it is slow.
	c.turning = &turning{pins: [2]pinState{falls, driven}, ends: map[string]end{"R7": greatest, "R4": greatest}}
	on := s.check(design.ShootThrough).Rating.V
	c.stop, c.step = edgeAt+1.3*on, on/4000
	c.wants = []want{{name: "t_on", engine: on, tol: circuitTol, measure: s.turnsOn()}}
	return c
}

// bridgeRises is the motor's rail coming up while both pins are pulled up at reset.
func (s *subject) bridgeRises(cards map[string]string, n, small *catalog.MOSFET) corner {
	c := s.start("rises", "the rail comes up while both pins are pulled up at reset, and the outputs with it", greatest)
	c.rOut, c.railRise, c.cards = float64(s.pin.ResetPullMin), 10e-6, cards
	share := func(p *catalog.MOSFET) float64 { return float64(p.QGDMax.Or(0)) / s.railMax }
	c.turning = &turning{pins: [2]pinState{pulled, pulled}, ends: map[string]end{"R1": greatest, "R2": greatest, "R3": greatest, "R4": greatest},
		cgd: map[string]float64{"Q1": share(n), "Q2": share(n), "Q5": share(small), "Q6": share(small)}}
	c.lines = []string{"rupA rail out_A 1", "rupB rail out_B 1"}
	c.stop, c.step = edgeAt+30e-6, 20e-9
	c.wants = []want{{name: "v_control", measure: "meas tran v_control max v(drive_A)", engine: s.value(design.VControlReset), bound: true, least: 1 - circuitTol}}
	return c
}

// bridgeOpens opens a diagonal while the motor is being reversed: its own voltage is
// that of the rail, and drives its current on through the other diagonal's body diodes.
func (s *subject) bridgeOpens(cards map[string]string, n, p *catalog.MOSFET) []corner {
	i := s.value(design.IPeak)
	body := func(v float64) string {
		return fmt.Sprintf("d is=%s n=1", num(i*math.Exp(-v/thermalVoltage)))
	}
	drop := math.Max(float64(n.BodyDiode.VSD.Or(0)), float64(p.BodyDiode.VSD.Or(0)))
	c := s.start("opens", "a diagonal opens while the motor is reversed, greatest body diodes", greatest)
	c.cards, c.load = cards, s.cold
	c.load.v = -s.railMax
	c.turning = &turning{pins: [2]pinState{driven, floats}, gates: true, bodies: body(drop)}
	c.lines = []string{"rironA out_A 0 10k", "rironB out_B 0 10k"} // without them nothing holds the outputs in the end
	t := s.value(design.TDecay)
	c.stop, c.step = edgeAt+20e-6, 5e-9
	c.wants = []want{
		{name: "i_peak", measure: "meas tran i_peak max i(lload)", engine: i, bound: true, least: 0.9},
		{name: "v_peak", measure: "meas tran v_peak max v(out_B)", engine: s.value(design.VPeakOff), bound: true, least: 1 - circuitTol},
	}
	d := c
	d.name, d.why = "decay", "the same, least body diodes"
	own := *c.turning
	own.bodies = body(leastForward)
	d.turning = &own
	d.stop, d.step = edgeAt+1.02*t, t/4000
	d.wants = []want{{name: "t_decay", engine: t, bound: true, least: 0.7,
		measure: fmt.Sprintf("meas tran t_decay trig at=%g targ i(lload) val=%s fall=1", edgeAt, num(s.iEnd))}}
	return []corner{c, d}
}
