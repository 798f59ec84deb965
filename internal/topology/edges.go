package topology

import (
	"math"

	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/device"
	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/waveform"
)

// met is the load as an edge meets it: its kind and the voltage that changes, V.
func (s *stage) met() (device.EdgeLoad, float64) {
	if s.l.Inductive {
		return device.Clamped, firstOf(s.vPeak, s.vPeakEst, design.Known(s.l.VMax))
	}
	return device.Ohmic, s.l.VMax
}

// tellEnergies tells what turning on and off costs the switch, J, beside what is
// judged: losses count straight edges with all of current and voltage.
func (s *stage) tellEnergies(on, off float64) {
	s.tell(design.Value{Key: design.EOn, V: on, Unit: design.J}, design.Value{Key: design.EOff, V: off, Unit: design.J})
}

// tellTimes tells how long turning on and off takes one part, s, beside what is judged:
// bounds count charges, thresholds and currents of several.
func (s *stage) tellTimes(on, off float64) {
	s.tell(design.Value{Key: design.TOwnOn, V: on, Unit: design.S}, design.Value{Key: design.TOwnOff, V: off, Unit: design.S})
}

func (s *stage) tell(values ...design.Value) {
	for _, e := range values {
		if e.V > 0 && !math.IsInf(e.V, 1) {
			s.d.Nominal = append(s.d.Nominal, e)
		}
	}
}

// edgeEnergies are those of a MOSFET with the worst charges and thresholds of its
// class, without what its driver's own edges add.
func (m *mosfetStage) edgeEnergies() {
	if m.env.Brief || !m.ron.OK {
		return
	}
	l := m.l
	hot, _ := m.t.hottest(&m.p.Heat)
	inside, _ := device.GateResistance(m.p)
	drive := device.Drive{V: m.vDrive, Low: m.src.low, Up: m.rg.hi() + m.src.up + inside, Down: m.rg.hi() + m.src.down + inside}
	kind, v := m.met()
	first := l.PeakCurrent()
	if kind == device.Clamped {
		first = l.IMax
	}
	on, _, ok := device.OwnEdges(m.p, drive, first, hot, l.TMin)
	_, off, okOff := device.OwnEdges(m.p, drive, l.IMax, hot, l.TMin)
	if !ok || !okOff {
		return
	}
	switch eOff := device.EdgeEnergy(kind, v, l.IMax, off); {
	case l.Kind == job.Capacitive:
		m.tellEnergies(m.chargeEnergy(on), 0)
	case kind == device.Clamped && l.Mode != "pwm": // a winding starts from no current
		m.tellEnergies(0, eOff)
		m.tellTimes(0, off.Whole())
	case kind == device.Clamped:
		m.tellEnergies(device.EdgeEnergy(kind, v, l.IMax, on), eOff)
		m.tellTimes(on.Whole(), off.Whole())
	default:
		m.tellEnergies(device.EdgeEnergy(kind, v, l.PeakCurrent(), on), eOff)
		m.tellTimes(on.Whole(), off.Whole())
	}
}

// chargeEnergy is what charging a capacitor costs the switch, J: its share of the
// circle's loss, by its resistance, and the edge before that, in which the current
// rises to its peak through the rest of the circle as through any resistance; no more
// than all that is lost. Turning off costs nothing: the capacitor keeps the voltage from the switch.
// 0 where the circle's resistance is not known.
func (m *mosfetStage) chargeEnergy(on device.Edge) float64 {
	l := m.l
	esr, ok := l.ESR.Get()
	if !ok {
		return 0
	}
	c := waveform.Charging{V: l.VMax, R: float64(esr)*(1-float64(l.Tolerance)) + l.RWireMin + m.ron.V, C: float64(l.C.Or(0)) * (1 + float64(l.Tolerance))}
	if x := l.Limiter; x != nil && x.Helps {
		c.R += x.Cold
	}
	whole := c.Energy(c.R)
	return min(whole, c.Energy(m.ron.V)+device.EdgeEnergy(device.Ohmic, l.VMax, l.VMax/c.R, on))
}

// edgeEnergies are those of a bipolar with its stated times as straight slopes, without
// storage.
func (n *npnStage) edgeEnergies() {
	if n.env.Brief || !n.tOn.OK || !n.tFall.OK || n.l.Kind == job.Capacitive {
		return
	}
	kind, v := n.met()
	on, off := device.StraightEnergy(kind, v, firstOf(n.vOn), n.l.IMax, n.tOn.V, n.tFall.V)
	if kind == device.Clamped && n.l.Mode != "pwm" {
		on = 0
	}
	n.tellEnergies(on, off)
}
