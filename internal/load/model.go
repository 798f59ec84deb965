// Package load works out a load at its corners: what it draws, cold and hot, at
// the highest and the lowest rail, when it starts and when it is switched off.
// Numbers are SI (degrees Celsius for temperatures). The load current is taken
// with no drop in the stage, a bound on the safe side.
package load

import (
	"math"

	"example.org/pinhoist/internal/copper"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/job"
	q "example.org/pinhoist/internal/quantity"
	"example.org/pinhoist/internal/waveform"
)

const (
	// refTemp is where the quantities of a load hold, degrees Celsius.
	refTemp = 20.0
	// lampVoltageExponent of a filament's current, I ~ V^0.55 (common practice, no source).
	lampVoltageExponent = 0.55
	// stranding is how much more than solid copper of its nominal area a flexible
	// wire may have: IEC 60228 class 5, 39.0 ohm/km for 0.5 mm2 (1.131) to 7.98
	// ohm/km for 2.5 mm2 (1.157).
	stranding = 1.16
	// WindingRise is how much hotter than the air a solenoid's winding may run, K,
	// for its least current only (common practice, no source).
	WindingRise = 80.0
)

// CopperRatio is R(t)/R(20 C) of copper.
func CopperRatio(t float64) float64 { return copper.Ratio(t, refTemp) }

// Model is one load worked out at every corner. It is never changed once made.
type Model struct {
	job.Load
	Ambient job.Environment

	VMin, VNom, VMax float64 // the rail, V (AC: RMS)
	TMin, TMax       float64 // air at the parts: least, and greatest with the enclosure

	INom float64 // nominal rail, 20 C
	IMax float64 // V+ Q+ A-: highest rail, least resistance, just started cold
	IHot float64 // V+ Q+ A+: started at the hottest air, for heat; a load may stand outside the enclosure
	ILow float64 // V- Q+ A-: lowest rail, greatest draw, for the drop
	IMin float64 // V- Q- : least steady current

	RMin float64 // winding or load resistance that goes with IMax; 0 where the law is not V/R
	RMax float64 // greatest, hot

	LMin, LMax design.Number

	Pulse       Pulse // at V+ Q-(resistance) A-; on AC its currents are crests
	PulseHot    Pulse // at A+, for heat
	PeakKnown   bool  // false: a capacitor without esr, a short factor without source
	PeakAssumed bool  // the inrush is assumed for its kind
	HasInrush   bool  // factor over 1, stall, capacitor
	TimeAssumed bool  // the length of the inrush is assumed for its kind

	AC Alternating // what an AC rail adds; zero on DC

	Filament waveform.Filament // of a lamp on DC, at the highest rail; R 0: none
	Limiter  *Limiter          // of the inrush, in the way of the load; nil: none

	RWire      float64       // out and back, hottest, ohm
	RWireMin   float64       // the same at the least: solid copper, coldest
	LWire      float64       // H, of the run, as it usually is
	LWireMin   float64       // H, of the run at the least
	WireAmps   float64       // A that a stated run of wires may carry; 0: there is none, or it is too thin
	FuseAsked  bool          // the rail is hazardous, or gives more than the wires bear
	RSeries    design.Number // led, designed: the chosen resistor
	RSeriesTol float64

	DutyHeat     float64 // what heat believes: duty if hardware enforces it, else duty_max
	Frequency    float64 // of pwm, else 0
	OpsPerSecond float64

	// Memo holds what an upper layer worked out once for this load.
	Memo any
}

// New works a load out. ledResistor picks the series resistor of a bare LED
// from the resistance that gives its nominal current, and says its tolerance.
func New(l *job.Load, env job.Environment, ledResistor func(ohms float64) (r, tol float64)) *Model {
	m := &Model{Load: *l, Ambient: env,
		VMin: float64(l.Rail.Min), VNom: float64(l.Rail.Nom), VMax: float64(l.Rail.Max),
		TMin: float64(env.AmbientMin), TMax: float64(env.PartsMax),
		INom: float64(l.Current), OpsPerSecond: float64(l.Rate),
	}
	if l.Mode == "pwm" {
		m.Frequency = float64(l.PWMFrequency)
	}
	m.DutyHeat = float64(l.DutyMax)
	if l.DutyEnforced {
		m.DutyHeat = float64(l.Duty)
	}
	m.wire()
	m.fusing()
	m.steady(ledResistor)
	m.inductance()
	m.alternate()
	m.inrush()
	return m
}

func (m *Model) steady(ledResistor func(float64) (float64, float64)) {
	tol, i := float64(m.Tolerance), m.INom
	ratio := func(v float64) float64 { return v / m.VNom }
	switch m.Kind {
	case job.Resistive, job.ACResistive:
		m.ohmic(tol, 1, 1, 1)
	case job.Solenoid, job.Coil:
		m.ohmic(tol, CopperRatio(m.TMin), CopperRatio(float64(m.Ambient.AmbientMax)), CopperRatio(m.TMax+WindingRise))
	case job.LED:
		m.led(tol, ledResistor)
	case job.Electronic, job.ACSupply:
		m.IMax, m.IMin = m.powered(0), i*m.VNom*(1-tol)/m.VMax
		m.IHot, m.ILow = m.IMax, m.IMax
	case job.Lamp, job.ACLamp:
		at := func(v float64) float64 { return i * math.Pow(ratio(v), lampVoltageExponent) }
		m.IMax, m.ILow, m.IMin = at(m.VMax)*(1+tol), at(m.VMin)*(1+tol), at(m.VMin)*(1-tol)
		m.IHot = m.IMax
	case job.Signal, job.LogicInput:
		m.IMax, m.IHot, m.ILow, m.IMin = i*(1+tol), i*(1+tol), i*(1+tol), i*(1-tol)
	default: // motor, capacitive, the other AC kinds: I*V/Vn
		m.IMax, m.ILow, m.IMin = i*ratio(m.VMax)*(1+tol), i*ratio(m.VMin)*(1+tol), i*ratio(m.VMin)*(1-tol)
		m.IHot = m.IMax
	}
}

// ConstantPower reports whether the load draws the more the less voltage it gets.
func (m *Model) ConstantPower() bool { return m.Kind == job.Electronic || m.Kind == job.ACSupply }

// powered is what a load of constant power draws at the worst of its rail and wires, A,
// with lost volts dropped on the way beside them: p = i*(v - i*r). At the lowest rail and
// the most resistance that is the most; where no current makes that power there, the supply
// breaks down, and it is what the wires let through: the more the higher the rail and the
// less the resistance, up to where it holds again, v*v = 4*p*r.
func (m *Model) powered(lost float64) float64 {
	p, v, r := m.INom*m.VNom*(1+float64(m.Tolerance)), m.VMin-lost, m.RWire
	if v*v < 4*p*r {
		r = max(m.RWireMin, v*v/(4*p))
		return max(v, min(m.VMax, 2*math.Sqrt(p*r))) / r
	}
	return 2 * p / (v + math.Sqrt(v*v-4*p*r))
}

// OhmicDrop is what a resistance drops, V, beside the wires of a load of constant power
// that drops so many volts at what the load draws of the lowest rail without it. Of the
// resistance warms, 0 to 1, is what its own heat adds there, as the square of the current
// times itself.
func (m *Model) OhmicDrop(volts, warms float64) float64 {
	p, v, cool := m.INom*m.VNom*(1+float64(m.Tolerance)), m.VMin, volts/m.IMax*(1-warms)
	r, drop := volts/m.IMax, volts
	for range 20 {
		x := v*v - 4*p*(m.RWire+r)
		if x <= 0 {
			break
		}
		i := 2 * p / (v + math.Sqrt(x))
		was := drop
		drop = r * i
		left := 1 - warms*i*i/(m.IMax*m.IMax)
		if math.Abs(drop-was) <= 1e-12*v || left <= 0 {
			break
		}
		r = cool / left
	}
	return drop
}

// Sagging is a load of constant power with lost volts dropped in the stage, under the
// lowest rail: it draws more for that. Any other load draws less, and nil is returned.
func (m *Model) Sagging(lost float64) *Model {
	if !m.ConstantPower() || !(lost < m.VMin) || m.IMax <= 0 {
		return nil
	}
	s := *m
	s.IMax = m.powered(lost)
	s.IHot, s.ILow = s.IMax, s.IMax
	for _, p := range [...]*Pulse{&s.Pulse, &s.PulseHot} {
		*p = p.Scaled(1, s.IMax/m.IMax)
		p.Peak = max(p.Peak, p.Steady)
	}
	s.alternate()
	return &s
}

// ohmic fills the currents of a V/R load: cold, hot and hottest are the
// resistance ratios to 20 C.
func (m *Model) ohmic(tol, cold, hot, hottest float64) {
	r := m.VNom / m.INom
	if v, ok := m.R.Get(); ok {
		r = float64(v)
	}
	m.RMin, m.RMax = r*(1-tol)*cold, r*(1+tol)*hottest
	m.IMax, m.ILow = m.VMax/m.RMin, m.VMin/m.RMin
	m.IHot = m.VMax / (r * (1 - tol) * hot)
	m.IMin = m.VMin / m.RMax
}

func (m *Model) led(tol float64, resistor func(float64) (float64, float64)) {
	vf := float64(m.Vf)
	if !m.VfDesigned {
		span := m.VNom - vf
		at := func(v, s float64) float64 { return max(0, m.INom*s*(v-vf)/span) }
		m.IMax, m.ILow, m.IMin = at(m.VMax, 1+tol), at(m.VMin, 1+tol), at(m.VMin, 1-tol)
		m.IHot = m.IMax
		return
	}
	const vfSpread = 0.1
	r, rtol := resistor((m.VNom - vf) / m.INom)
	m.RSeries, m.RSeriesTol = design.Known(r), rtol
	at := func(v, f, rt float64) float64 { return max(0, (v-vf*f)/(r*rt)) }
	m.IMax, m.ILow, m.IMin = at(m.VMax, 1-vfSpread, 1-rtol), at(m.VMin, 1-vfSpread, 1-rtol), at(m.VMin, 1+vfSpread, 1+rtol)
	m.IHot = m.IMax
}

func (m *Model) inductance() {
	l, ok := m.L.Get()
	if !ok {
		return
	}
	t := float64(m.ToleranceL)
	m.LMin, m.LMax = design.Known(float64(l)*(1-t)), design.Known(float64(l)*(1+t))
}

// OnPeriod is the time, s, in which the load is switched on and off once, of pwm and
// of a cycle; 0 where it may be on for ever.
func (m *Model) OnPeriod() float64 {
	switch {
	case m.Mode == "pwm" && m.Frequency > 0:
		return 1 / m.Frequency
	case m.Mode == "cycle":
		return float64(m.Period)
	}
	return 0
}

// PeakCurrent is the greatest current of the load, steady or inrush, A: on AC a crest.
func (m *Model) PeakCurrent() float64 {
	if m.HasInrush {
		return max(m.Pulse.Peak, m.crest(m.IMax))
	}
	return m.crest(m.IMax)
}

// ReleaseAt is the current at which the armature leaves: stated, else 10 % of
// nominal (common practice, no source), A.
func (m *Model) ReleaseAt() float64 { return float64(m.ReleaseCurrent.Or(q.Amp(0.1 * m.INom))) }

// EasyPeak is the peak with an assumed inrush at its easy end, 1.
func (m *Model) EasyPeak() design.Number {
	if !m.PeakAssumed {
		return design.Number{}
	}
	return design.Known(m.crest(m.IMax))
}

// InrushField is the key that would settle an assumed inrush.
func (m *Model) InrushField() string {
	switch m.Kind {
	case job.Motor:
		return "load.stall_current"
	case job.Lamp:
		return "load.cold_ratio"
	case job.Capacitive:
		return "load.esr"
	}
	return "load.inrush_factor"
}

// LeastCurrent is the least steady current of an LED load with drop volts lost
// in the stage at the lowest rail, A.
func (m *Model) LeastCurrent(drop float64) float64 {
	vf := float64(m.Vf)
	if m.VfDesigned {
		const vfSpread = 0.1
		return max(0, (m.VMin-drop-vf*(1+vfSpread))/(m.RSeries.V*(1+m.RSeriesTol)))
	}
	return max(0, m.INom*(1-float64(m.Tolerance))*(m.VMin-drop-vf)/(m.VNom-vf))
}
