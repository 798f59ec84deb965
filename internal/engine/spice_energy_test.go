package engine_test

import (
	"fmt"
	"math"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/job"
)

// What turning on and off costs a MOSFET, of a part that is all of its worst figures.

// energyTol is how near the engine's energy of an edge must be.
const energyTol = 0.15

// worstPart is the card of a part with threshold vth at the transconductance of its
// least stated gate voltage, with its capacitances: q_gs_max up to the plateau of i
// amperes, q_gd_max over a swing of v volts.
func worstPart(c *corner, p *catalog.MOSFET, vth, i, v float64) {
	at := &p.RDSOn[0]
	for k := range p.RDSOn {
		if p.RDSOn[k].VGS.Or(0) < at.VGS.Or(0) {
			at = &p.RDSOn[k]
		}
	}
	r, id := float64(at.Max.Or(0)), float64(at.ID.Or(0))
	drop := id * r
	kp := id / ((float64(at.VGS.Or(0))-float64(p.VGSTh.Max.Or(0)))*drop - drop*drop/2)
	c.card = fmt.Sprintf("nmos level=1 vto=%s kp=%s", num(vth), num(kp))
	c.cgs, c.cgd = float64(p.QGSMax.Or(0))/(vth+math.Sqrt(2*i/kp)), float64(p.QGDMax.Or(0))/v
	c.rGate, c.channels = float64(p.RGateInt.Or(10)), true
}

// told is a value that the engine tells beside, 0 where it does not.
func (s *subject) told(key design.ValueKey) float64 {
	for _, v := range s.d.Nominal {
		if v.Key == key {
			return v.V
		}
	}
	return 0
}

// energies are the edges whose cost the engine tells.
func (s *subject) energies(p *catalog.MOSFET, tj float64) (cs []corner) {
	s.Helper()
	slope := float64(p.VGSThSlope.Or(0.007))
	swing, i := s.railMax, s.iCold
	if s.inductive {
		swing = s.value(design.VPeakOff)
	}
	const spent = "let p_switch = v(switch)*@m1[id]\n"
	if e := s.told(design.EOn); e > 0 && s.kind != job.Lamp && s.kind != job.LED {
		on := s.start("e-on", "lowest pin, greatest resistors, a cold part of the greatest threshold", least)
		on.pin, on.drive, on.bleed = rises, greatest, least
		on.stop, on.step = edgeAt+4*s.value(design.TOn), s.value(design.TOn)/400
		end := 0.02 * swing
		switch s.kind {
		case job.Capacitive:
			on.load = s.inrush
			i = s.railMax / (s.inrush.r + float64(p.RDSOn[0].Max.Or(0)))
			on.stop, on.step = edgeAt+8*s.inrush.r*s.inrush.c, 1e-6
		case job.Solenoid:
			on.started = s.iCold
		}
		worstPart(&on, p, float64(p.VGSTh.Max.Or(0))+slope*(25-coldest), i, swing)
		measure := spent + fmt.Sprintf("meas tran t_end when v(switch)=%s fall=last\nmeas tran e_on integ p_switch from=%s to=$&t_end", num(end), num(edgeAt))
		if s.kind == job.Capacitive { // all of it: it has no steady current
			measure = spent + fmt.Sprintf("meas tran e_on integ p_switch from=%s to=%s", num(edgeAt), num(on.stop))
		}
		on.wants = []want{{name: "e_on", measure: measure, engine: e, tol: energyTol}}
		if t := s.told(design.TOwnOn); t > 0 {
			on.wants = append(on.wants, want{name: "t_on", engine: t, tol: energyTol,
				measure: fmt.Sprintf("meas tran t_on trig at=%s targ v(switch) val=%s fall=1", num(edgeAt), num(0.05*swing))})
		}
		cs = append(cs, on)
	}
	if e := s.told(design.EOff); e > 0 && (s.kind == job.Resistive || s.kind == job.Solenoid) { // a coil of a few milliamperes charges its own capacitance
		off := s.start("e-off", "greatest resistors, a hot part of the least threshold", greatest)
		off.rOut = float64(s.pin.ROutMax)
		off.pin, off.drive, off.bleed = falls, greatest, greatest
		off.stop, off.step = edgeAt+6*s.value(design.TOff), s.value(design.TOff)/400
		worstPart(&off, p, float64(p.VGSTh.Min.Or(0))-slope*(tj-25), s.iCold, swing)
		off.wants = []want{{name: "e_off", engine: e, tol: energyTol,
			measure: spent + fmt.Sprintf("meas tran t_from when v(switch)=%s rise=1\nmeas tran e_off integ p_switch from=$&t_from to=%s", num(0.02*swing), num(off.stop))}}
		if t := s.told(design.TOwnOff); t > 0 { // to the end of the current, which in a resistance is that of the voltage
			off.wants = append(off.wants, want{name: "t_off", engine: t, tol: energyTol,
				measure: fmt.Sprintf("meas tran t_off trig at=%s targ @m1[id] val=%s fall=last", num(edgeAt), num(0.05*s.iCold))})
		}
		cs = append(cs, off)
	}
	return cs
}
