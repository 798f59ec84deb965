package engine_test

import (
	"fmt"
	"math"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
)

// darlingtonCards are two transistors of which the first drives the second, so that
// both together show vbe and vce at ic and ib with forward gain bf: each has the root
// of it, the second stands in its active region with half of vbe or what vce leaves,
// the first is saturated. With the two equal resistors of rBE beside them, whose
// currents cancel where the halves are equal,
//
//	ib2 = (ic + ib)/(1 + sqrt(bf)), ic1 = ib2 - ib, ic2 = sqrt(bf)*ib2
func darlingtonCards(ic, ib, vce, vbe, bf float64) (first, second string) {
	beta := math.Sqrt(bf)
	ib2 := (ic + ib) / (1 + beta)
	vbe2 := math.Min(vbe/2, vce-0.1)
	first = bipolarCard(ib2-ib, ib, vce-vbe2, vbe-vbe2, beta)
	second = fmt.Sprintf("npn is=%s bf=%s br=10", num(beta*ib2*math.Exp(-vbe2/thermalVoltage)), num(beta))
	return first, second
}

// channel is what a deck needs to know of a channel of an array.
type channel struct {
	takes   float64 // A, at its input
	on, out float64 // V, at the input from which it is on; at its output then
	leak    float64 // A, from its output into its input
}

// channelAt is the channel of an array at a load current of i and an input of v, by
// stairs: what it needs, takes and drops at the most.
func channelAt(p *catalog.Array, i, v float64) channel {
	c := channel{takes: math.NaN(), on: math.NaN(), out: math.NaN()}
	for k := len(p.VInOn) - 1; k >= 0; k-- {
		if float64(p.VInOn[k].IOut.Or(0)) >= i {
			c.on = float64(p.VInOn[k].Max.Or(0))
		}
	}
	for k := len(p.VOnMax) - 1; k >= 0; k-- {
		if float64(p.VOnMax[k].IOut.Or(0)) >= i {
			c.out = float64(p.VOnMax[k].V.Or(0))
		}
	}
	for k := len(p.IInMax) - 1; k >= 0; k-- {
		if float64(p.IInMax[k].VIn.Or(0)) >= v {
			c.takes = float64(p.IInMax[k].I.Or(0))
		}
	}
	return c
}

// channels are the corners of an array.
func (s *subject) channels(p *catalog.Array) []corner {
	s.at(design.OnCurrent, "rail", s.railMax)
	needs := design.BaseDrive
	if p.Output == "n-mosfet" {
		needs = design.GateDrive
	}
	on := s.start("drive", "lowest pin, an input that takes the most, highest load", least)
	on.drive, on.bleed = greatest, least
	on.channel = channelAt(p, s.iCold, on.vPin)
	if p.Output == "n-mosfet" { // a resistance, 2.5 times as much at 150 C, on the chord
		on.channel.out *= 1 + 1.5*(s.value(design.TJunction)-25)/125
	}
	on.wants = []want{
		{name: "v_in", measure: find("v_in", "v(pin)"), engine: s.check(needs).Rating.V, tol: circuitTol},
		{name: "v_on", measure: find("v_on", "v(switch)"), engine: s.value(design.VOn), tol: circuitTol},
		{name: "i_on", measure: find("i_on", s.cold.current()), engine: s.value(design.IOn) * s.afterDrop(), tol: circuitTol},
	}
	pin := s.start("pin", "highest pin, least resistors, an input that takes the most", greatest)
	pin.channel = channelAt(p, s.iCold, pin.vPin)
	pin.wants = []want{{name: "i_pin", measure: find("i_pin", "(-i(vpin))"), engine: s.value(design.IPin), bound: true, least: 1 - circuitTol}}

	off := s.reset()
	off.bleed = greatest
	off.channel = channel{on: float64(p.VInOffMax.Or(0)), leak: float64(p.ILeakMax.Or(0))}
	off.wants = []want{
		{name: "v_in", measure: find("v_in", "v(pin)"), engine: s.value(design.VControlReset), tol: circuitTol},
		{name: "v_switch", measure: find("v_switch", "v(switch)"), engine: s.railMax, tol: circuitTol}, // it is off
	}
	return append([]corner{on, pin, off}, s.turnOff(func(c *corner) { c.channel = on.channel }, nil)...)
}

// fullCurrent is the part of a winding's current that a switch with so much on
// voltage leaves: the engine takes a turn-off from the whole. Only a Darlington's is
// worth telling.
func (s *subject) fullCurrent() float64 {
	if s.d.Topology != "darlington-low" {
		return 1
	}
	return s.afterDrop()
}

// array writes a channel: its input takes a current, its output shows a voltage where
// the input is over its level.
func (w *writer) array(n []string) {
	c := &w.c.channel
	w.line("iin %s 0 dc %s", n[0], num(c.takes))
	if c.leak > 0 {
		w.line("ileakage %s %s dc %s", n[1], n[0], num(c.leak))
	}
	w.line("schannel %s channel %s 0 channelswitch", n[1], n[0])
	w.line("von channel %s dc %s", n[2], num(c.out))
	w.model("channelswitch", fmt.Sprintf("sw(vt=%s vh=0 ron=1m roff=1e9)", num(c.on)))
}

// insideCard is the diode inside an array at one end of its spread: through its
// stated voltage at its stated current, or the least of any diode at i.
func insideCard(p *catalog.Array, e end, i float64) string {
	at := forward{i, leastForward}
	if e == greatest {
		at = forward{float64(p.Clamp.IMax.Or(0)), float64(p.Clamp.VFMax.Or(0))}
	}
	const n = 2 // with 1 the saturation current would be under the simulator's least
	return fmt.Sprintf("d is=%s n=%d", num(at.i*math.Exp(-at.v/(n*thermalVoltage))), n)
}
