package engine_test

import (
	"fmt"
	"math"
	"strings"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/job"
)

// A module: its input is a voltage and a resistance that conduct one way, its switch a
// MOSFET at the lowest gate voltage that the board's own driver gives.

// opto is the input of a module in a deck.
type opto struct {
	drop, r, rail float64 // V, ohm, and V of its supply
	low           bool    // it hangs on its supply
	gate          float64 // V that its driver gives
}

// board writes a module.
func (w *writer) board(n []string) {
	m := w.c.opto
	from, to := n[0], "0"
	if m.low {
		w.line("vboard board 0 dc %s", num(m.rail))
		from, to = "board", n[0]
	}
	w.line("vsense %s in1 dc 0", from)
	w.line("vdrop in1 in2 dc %s", num(m.drop))
	w.line("rin in2 in3 %s", num(m.r))
	w.line("din in3 %s oneway", to)
	w.model("oneway", "d is=1e-12 n=0.01")
	switch w.c.pin {
	case falls:
		w.line("vgate gate 0 pwl(0 %s %s %s %s 0)", num(m.gate), num(edgeAt), num(m.gate), fmt.Sprint(edgeAt+edge))
	case pulled, floats:
		w.line("vgate gate 0 dc 0")
	default:
		w.line("vgate gate 0 dc %s", num(m.gate))
	}
	w.line("m1 %s gate %s %s switched w=1u l=1u", n[1], n[2], n[2])
	w.model("switched", w.c.card)
}

// onBoard are the corners of a module.
func (s *subject) onBoard(m *catalog.Module) []corner {
	vgs := math.Inf(1)
	for _, x := range m.MOSFET.RDSOn {
		vgs = math.Min(vgs, float64(x.VGS.Or(1000)))
	}
	_, id, r := onPoint(m.MOSFET, vgs)
	hot := (s.value(design.ROn) - r) / r // of its loss, as the engine has it
	at := 25 + hot/(hotFactor(m.MOSFET, 26)-1)
	low := m.InputTo == "supply"
	weakest := opto{drop: float64(m.VInDrop.Max.Or(0)), r: float64(m.RIn.Max.Or(0)), low: low, gate: vgs, rail: float64(s.pin.SupplyMin)}
	strongest := opto{drop: float64(m.VInDrop.Min.Or(0)), r: float64(m.RIn.Min.Or(0)), low: low, gate: vgs, rail: float64(s.pin.SupplyMax)}
	card := mosfetCard(vgs, id, r*hotFactor(m.MOSFET, at), float64(m.MOSFET.VGSTh.Max.Or(0)))

	on := s.start("drive", "lowest pin, weakest input, lowest rail, highest load, hot", least)
	on.rail, on.bleed, on.card, on.opto = s.railMin, least, card, &weakest
	most := s.start("pin", "highest pin, strongest input", greatest)
	most.card, most.opto, most.bleed = card, &strongest, greatest
	if low {
		on.vPin, most.vPin = 0, 0
	}
	on.wants = []want{
		{name: "i_in", measure: find("i_in", "i(vsense)"), engine: s.check(design.GateDrive).Rating.V, tol: circuitTol},
		{name: "v_on", measure: find("v_on", "v(switch)"), engine: s.value(design.VOn), bound: true, least: 1 - deviceTol},
	}
	if s.kind == job.Resistive {
		on.wants = append(on.wants, want{name: "v_load", measure: find("v_load", "(v(rail)-v(switch))"), engine: s.value(design.VLoad), tol: circuitTol})
	}
	in := want{name: "i_in", measure: find("i_in", "i(vsense)"), engine: s.check(design.PinCurrent).Stress.V, bound: true, least: 0.8}
	if driven := s.check(design.GateVoltage); driven.Unit == design.A {
		in.engine, in.bound, in.tol = driven.Stress.V, false, circuitTol
	}
	most.wants = []want{
		in,
		{name: "i_on", measure: find("i_on", s.cold.current()), engine: s.value(design.IOn) * s.afterDrop(), tol: circuitTol},
	}
	cs := []corner{on, most}
	if strings.Contains(s.check(design.StaysOff).Because, "pulled up") {
		off := s.start("reset", "pulled up at reset, strongest input of which 0.8 is left", greatest)
		weak := strongest
		weak.drop *= 0.8
		off.pin, off.rOut, off.bleed, off.card, off.opto = pulled, float64(s.pin.ResetPullMin), greatest, card, &weak
		off.wants = []want{{name: "i_in", measure: find("i_in", "i(vsense)"), engine: s.check(design.StaysOff).Stress.V, tol: circuitTol}}
		cs = append(cs, off)
	}
	return append(cs, s.turnOff(func(c *corner) {
		c.card, c.opto, c.bleed = card, &strongest, greatest
	}, nil)...)
}
