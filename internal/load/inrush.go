package load

import (
	"math"

	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/waveform"
)

// PulseShape is how an inrush runs in time.
type PulseShape uint8

// The shapes.
const (
	NoPulse     PulseShape = iota
	Rectangle              // Peak for T
	Decay                  // falls from Peak to Steady along Run
	ForEver                // Peak without end: a jammed motor
	UnknownTime            // a peak whose length nobody stated
)

// Pulse is an inrush at its worst corner.
type Pulse struct {
	Shape  PulseShape
	Peak   float64 // A
	T      float64 // s: length of a rectangle; of a decay as long as brings twice its square
	Steady float64 // A, what a decay ends at
	I2t    float64 // A2s of the pulse above steady, infinite shapes excluded
	Charge float64 // A s above steady, likewise

	Run     *waveform.Envelope // of a decay: the current in time, at least; shared, never changed
	Settled float64            // A, what Run ends at in truth
	Tail    float64            // s: the last of Run, a decay with this constant, lasts no longer; 0: for ever

	// Of a filament that something limits: the current in time were it not so, nil for
	// any other. A resistance that the current passes is never hotter with the limit.
	Free *waveform.Envelope
}

// Scaled is the pulse with so many times the current, steady one apart.
func (p Pulse) Scaled(peak, steady float64) Pulse {
	p.Peak, p.Steady, p.Settled = p.Peak*peak, p.Steady*steady, p.Settled*steady
	p.I2t, p.Charge = p.I2t*peak*peak, p.Charge*peak
	if peak != 1 {
		p.Run, p.Free = scaled(p.Run, peak), scaled(p.Free, peak)
	}
	return p
}

// scaled is an envelope with so many times the current.
func scaled(run *waveform.Envelope, by float64) *waveform.Envelope {
	if run == nil {
		return nil
	}
	out := *run
	for k := range out.Steps[:out.N] {
		s := &out.Steps[k]
		s.I, s.Mean, s.Square = s.I*by, s.Mean*by, s.Square*by*by
	}
	return &out
}

// Equivalent is the length, s, of a rectangle of the peak that heats no less than
// the inrush does beyond its steady current; 0 where its length is not known.
func (p *Pulse) Equivalent() float64 {
	switch {
	case p.Run != nil:
		return p.Run.Equivalent(p.Steady)
	case p.Shape == Rectangle:
		return p.T
	}
	return 0
}

// falling is an inrush that runs as an envelope does.
func falling(run *waveform.Envelope, steady float64) Pulse {
	p := Pulse{Shape: Decay, Peak: run.Peak(), Steady: steady, Run: run, Settled: steady}
	p.Charge, p.I2t = run.Above(steady)
	if p.Peak > steady {
		p.T = 2 * p.I2t / (p.Peak*p.Peak - steady*steady)
	}
	return p
}

func (m *Model) inrush() {
	m.PeakKnown = !m.InrushShort
	switch m.Kind {
	case job.Motor:
		m.stall()
		return
	case job.Capacitive:
		m.charge()
		return
	}
	if i, ok := m.InrushCurrent.Get(); ok {
		m.HasInrush = float64(i) > m.crest(m.IMax)
		m.PeakAssumed = m.HasInrush && m.Kind == job.ACSupply && m.Inrush.Assumed
		m.Pulse = m.timed(float64(i))
	} else if f := float64(m.Inrush.Value); m.Inrush.Known && f > 1 {
		m.HasInrush, m.PeakAssumed = true, m.Inrush.Assumed
		m.Pulse = m.timed(f * m.crest(m.IMax)) // factors of RMS give a peak (AC)
	}
	if m.InrushShort {
		// Less than usual, and nobody said who measured it: there is an inrush, its
		// size is not known.
		m.HasInrush, m.PeakAssumed = true, false
		m.Pulse = m.timed(max(m.Pulse.Peak, m.crest(m.IMax)))
	}
	m.PulseHot = m.Pulse
	if !m.HasInrush {
		m.Pulse, m.PulseHot = Pulse{}, Pulse{}
	}
}

func (m *Model) timed(peak float64) Pulse {
	if m.Kind == job.Lamp && peak > m.IMax {
		return m.cold(peak)
	}
	if t, ok := m.InrushTime.Get(); ok {
		if m.Rail.AC {
			m.TimeAssumed = m.InrushTimeAssumed
			return m.acPulse(peak, float64(t))
		}
		return rectangle(peak, float64(t), m.IMax)
	}
	return Pulse{Shape: UnknownTime, Peak: peak, Steady: m.crest(m.IMax)}
}

func rectangle(peak, t, steady float64) Pulse {
	return Pulse{Shape: Rectangle, Peak: peak, T: t, Steady: steady, I2t: peak * peak * t, Charge: max(0, peak-steady) * t}
}

// fault is the greatest current, A, that the rail is stated to give; +Inf where it
// is not, or taken for its kind.
func (m *Model) fault() float64 {
	if i, ok := m.Rail.FaultCurrent.Get(); ok && !m.Rail.FaultAssumed && i > 0 {
		return float64(i)
	}
	return math.Inf(1)
}

// cold is a filament that starts with peak amperes where nothing else limits it. What
// its run is credited with is the resistance of the wires, the least, and a stated
// fault current of the rail; never the switch's own on-resistance.
func (m *Model) cold(peak float64) Pulse {
	settle := waveform.UsualSettle(m.IMax)
	m.TimeAssumed = true
	if t, ok := m.InrushTime.Get(); ok {
		settle, m.TimeAssumed = float64(t), false
	}
	f := waveform.NewFilament(m.VMax/m.IMax, peak/m.IMax, settle)
	m.Filament = f
	top := min(peak, max(m.fault(), m.IMax))
	if x := m.limits(); x != nil {
		top = min(top, max(f.Through(m.VMax, m.RWireMin, x.Limiter), m.IMax))
	}
	var free *waveform.Envelope
	if m.Frequency == 0 {
		run := f.Envelope(m.VMax, m.RWireMin)
		if top == peak && m.Limiter == nil {
			return falling(&run, m.IMax)
		}
		free = &run
	}
	// Switched on and off while it heats, by a source that gives no more than top, or
	// through a limiter that nobody can count on and that may slow it down all the same:
	// what it takes whatever the way.
	top = min(top, m.VMax/(f.R/f.Ratio+m.RWireMin))
	charge, square := f.Heating(m.IMax)
	length := 0.0
	if over := top - m.IMax; over > 0 {
		length = max(charge/over, square/(top*top-m.IMax*m.IMax))
	}
	run := waveform.Rectangle(top, length, m.IMax)
	p := falling(&run, m.IMax)
	p.Free = free
	return p
}

// decay is a current that falls to the steady one with tau.
func (m *Model) decay(peak, tau float64) Pulse {
	run := waveform.Decay(peak, m.IMax, tau, 0)
	p := falling(&run, m.IMax)
	if over := peak - m.IMax; over > 0 && !math.IsInf(tau, 1) {
		p.I2t, p.Charge, p.Tail = aboveSteady(m.IMax, over, tau), over*tau, tau
	}
	return p
}

// aboveSteady is the integral of (s + e*exp(-t/tau))^2 - s^2 over all time, A2s.
func aboveSteady(s, e, tau float64) float64 { return 2*s*e*tau + e*e*tau/2 }

// stall is a motor's start: the stall current at the highest rail, winding
// cold, until stall_time, else for ever: how soon it would run by itself says nothing of
// a jam.
func (m *Model) stall() {
	tol := float64(m.Tolerance)
	at := func(t, wires float64) float64 {
		r := m.VMax / (float64(m.Inrush.Value) * m.IMax)
		if w, ok := m.WindingR.Get(); ok {
			r = float64(w) * (1 - tol) * CopperRatio(t)
		} else if i, ok := m.StallCurrent.Get(); ok {
			r = m.VNom / float64(i) / (1 + tol) * CopperRatio(t)
		} else if i, ok := m.InrushCurrent.Get(); ok {
			r = m.VMax / float64(i)
		}
		if m.StartMore {
			r = min(r, m.VMax/(float64(m.Inrush.Value)*m.IMax))
		}
		return m.VMax / (r + wires)
	}
	peak := func(t, steady float64) float64 {
		return max(steady, min(at(t, m.RWireMin), m.fault()))
	}
	_, hasR := m.WindingR.Get()
	_, hasS := m.StallCurrent.Get()
	_, hasI := m.InrushCurrent.Get()
	m.PeakAssumed = !hasR && !hasS && !hasI && m.Inrush.Assumed
	cold, hot := peak(m.TMin, m.IMax), peak(float64(m.Ambient.AmbientMax), m.IHot)
	if t, ok := m.StallTime.Get(); ok { // the time of a start, inrush_time, ends no jam
		m.Pulse, m.PulseHot = rectangle(cold, float64(t), m.IMax), rectangle(hot, float64(t), m.IHot)
	} else {
		m.Pulse = Pulse{Shape: ForEver, Peak: cold, Steady: m.IMax}
		m.PulseHot = Pulse{Shape: ForEver, Peak: hot, Steady: m.IHot}
	}
	if m.HasInrush = m.Pulse.Peak > m.IMax; !m.HasInrush { // its wires let no more through
		m.Pulse, m.PulseHot = Pulse{}, Pulse{}
	}
	m.RMin = m.VMax / max(m.IMax, at(m.TMin, 0)) // what limits the current of its winding
}

// softened is the share of its peak without inductance under which the wires' own counts
// in a charging current.
const softened = 0.99

// charge is a capacitor through its own series resistance and the wires, the
// least resistance of the loop: it makes the highest peak and the most energy, and no
// greater one heats more at any moment (a charge through a times the resistance is a
// times as slow, its heat at the time a*t no more than that of this one at t). A
// stated fault current of the rail limits it, and makes it last longer; so does the
// inductance of the wires, at the least.
func (m *Model) charge() {
	m.HasInrush = true
	if x := m.limits(); x != nil {
		m.limitedCharge(x)
		return
	}
	c := m.capacitance()
	if i, ok := m.InrushCurrent.Get(); ok {
		peak := float64(i)
		if t, ok := m.InrushTime.Get(); ok {
			// All of its charge has to come, however short it is said to be.
			m.Pulse = rectangle(peak, max(float64(t), c*m.VMax/peak), m.IMax)
		} else {
			// A decay from the stated peak that brings all of the charge.
			m.Pulse = m.decay(peak, c*m.VMax/max(0, peak-m.IMax))
			m.Pulse.T = c * m.VMax / peak
		}
		m.PulseHot = m.Pulse
		return
	}
	var ok bool
	if m.Pulse, ok = m.freeCharge(); !ok {
		m.PeakKnown = false
		m.Pulse = Pulse{Shape: UnknownTime, Peak: m.IMax, Steady: m.IMax}
	}
	m.PulseHot = m.Pulse
}

// freeCharge is the charge of a capacitor through what is always in its way; false where
// its own resistance is not known.
func (m *Model) freeCharge() (p Pulse, ok bool) {
	c, esr := m.capacitance(), float64(m.ESR.Or(0))
	r := esr * (1 - float64(m.Tolerance))
	if r <= 0 {
		return Pulse{}, false
	}
	loop := waveform.Charging{V: m.VMax, R: r + m.RWireMin, L: m.LWireMin, C: c}
	top := loop.V / loop.R
	peak, _ := loop.Peak()
	switch {
	case m.fault() < top:
		loop.L = 0
		run := loop.Envelope(m.IMax, m.fault())
		p = falling(&run, m.IMax)
		p.Tail = loop.R * c
	case peak < softened*top:
		run := loop.Envelope(m.IMax, math.Inf(1))
		run.Under(peak + m.IMax)
		p = falling(&run, m.IMax)
		p.Charge, p.I2t = c*loop.V, 2*m.IMax*c*loop.V+loop.Square()
		p.T = 2 * p.I2t / (p.Peak*p.Peak - m.IMax*m.IMax)
	default:
		p = m.decay(top+m.IMax, loop.R*c)
	}
	// The greatest resistance makes the length.
	p.T = max(p.T, (esr*(1+float64(m.Tolerance))+m.RWire)*c)
	return p, true
}
