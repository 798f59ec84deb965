package load

import (
	"math"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/job"
	q "example.org/pinhoist/internal/quantity"
	"example.org/pinhoist/internal/waveform"
)

// Limiter is an inrush limiter in the way of a load.
type Limiter struct {
	waveform.Limiter
	Part   *catalog.Limiter
	Energy float64 // J, what one inrush brings to it beyond the steady current, at most
	Steady float64 // A, what it carries at most
	Off    float64 // s, how long the load is off before each start, at least
	Helps  bool    // it is cold at each start, bears the inrush, and so limits it
}

// Limitable reports whether a limiter may stand in the way of the load: it has an
// inrush that the resistance of its way limits, it is not switched quickly, and its
// current needs no way on when it is cut.
func (m *Model) Limitable() bool {
	if !m.HasInrush || m.Inductive || m.Rail.AC || m.Mode == "pwm" {
		return false
	}
	switch m.Kind {
	case job.Lamp:
		return m.PeakKnown && m.Filament.R > 0
	case job.Capacitive:
		return m.C.Known() && !m.InrushCurrent.Known()
	}
	return false
}

// OffTime is how long, s, the load is off between two starts at the least: what the
// greatest duty leaves of the time between them.
func (m *Model) OffTime() float64 {
	if m.OpsPerSecond <= 0 {
		return math.Inf(1)
	}
	return max(0, 1-m.DutyHeat) / m.OpsPerSecond
}

// unstated stands for a resistance that nobody states, ohm: it leaves a load nothing.
const unstated = 1e9

// steepest is the greatest B of inrush limiters, K: R goes with exp(B/T) (common
// practice, no source: 2500 to 3600 K).
const steepest = 3600.0

// coldLimiter is the ratio of a cold limiter's resistance in air of t degrees Celsius
// to that at 25 C, for the steepest of them: the least in hotter air, the most in
// colder. Source: R = R25*exp(B*(1/T - 1/T25)), T in kelvin.
func coldLimiter(t float64) float64 {
	const rated = q.ZeroCelsius + float64(catalog.DefaultTj)
	return math.Exp(steepest * (1/(t+q.ZeroCelsius) - 1/rated))
}

// Limited is the load with a limiter in its way. A limiter that is not cold at each
// start, or does not bear the inrush, is credited with no limit; that it may draw an
// inrush out counts all the same.
func (m *Model) Limited(p *catalog.Limiter) *Model {
	n := *m
	x := &Limiter{Part: p, Steady: m.IMax, Off: m.OffTime()}
	n.Limiter = x
	x.Start, x.ColdMost = unstated, unstated
	if p.R25 != nil && p.R25.Max.Known() {
		x.Cold = float64(p.R25.Min.Or(0)) * min(1, coldLimiter(m.TMax))
		x.Start = float64(p.R25.Max.Or(0))
		x.ColdMost = float64(p.R25.Max.Or(0)) * max(1, coldLimiter(m.TMin))
	}
	x.Hot, x.Rated = float64(p.RHotMax.Or(0)), float64(p.IMax.Or(0))
	x.EMax = float64(p.EMax.Or(0)) * waveform.LimiterRoom(m.TMax)
	switch m.Kind { // a limiter in colder air is brought to 25 C first, which is not counted
	case job.Lamp:
		_, square := m.Filament.Heating(m.IMax)
		x.Energy = x.Start * square
	case job.Capacitive:
		// The steady current adds to what the limiter drops while the charge flows.
		c := m.capacitance()
		x.Energy = c*m.VMax*m.VMax/2 + m.IMax*x.Start*c*m.VMax
	}
	cool, ok := p.TCool.Get()
	x.Helps = ok && p.Type == "ntc" && x.Off >= float64(cool) && x.Least(x.Energy) > 0
	n.inrush()
	return &n
}

// limits is the limiter that counts in an inrush, nil where there is none.
func (m *Model) limits() *Limiter {
	if m.Limiter == nil || !m.Limiter.Helps {
		return nil
	}
	return m.Limiter
}

func (m *Model) capacitance() float64 { return float64(m.C.Or(0)) * (1 + float64(m.Tolerance)) }

// limitedCharge is a capacitor through its own series resistance, which may be
// unknown, the wires and a limiter. The inductance of the wires, which a limiter is
// reckoned without, may keep the peak lower still: at each charge the current is then no
// more than it would be without the limiter.
func (m *Model) limitedCharge(x *Limiter) {
	c, esr := m.capacitance(), float64(m.ESR.Or(0))
	loop := waveform.Charging{V: m.VMax, R: esr*(1-float64(m.Tolerance)) + m.RWireMin, C: c}
	run := loop.Through(x.Limiter, m.IMax, x.Energy-c*m.VMax*m.VMax/2)
	m.PeakKnown = true
	m.Pulse = falling(&run, m.IMax)
	if free, ok := m.freeCharge(); ok && free.Peak < m.Pulse.Peak {
		m.Pulse = free
	}
	m.Pulse.T = max(m.Pulse.T, (esr*(1+float64(m.Tolerance))+m.RWire+x.ColdMost)*c)
	m.PulseHot = m.Pulse
}
