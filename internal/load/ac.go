package load

import (
	"math"

	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/job"
)

// How far the frequency of a public supply may stray, as ratios (EN 50160, from memory:
// 50 Hz + 4 % - 6 % all of the time).
const (
	frequencyLow  = 0.06
	frequencyHigh = 0.04
)

// Alternating is what a load on an AC rail adds: the rail's crests and frequencies, and
// the load as a resistance and an inductance in series. Currents of the model are RMS;
// the peak and the steady current of its pulses are crests.
type Alternating struct {
	CrestMin, CrestNom, CrestMax float64 // V, of the rail at its ends
	FMin, FNom, FMax             float64 // Hz
	HalfCycle                    float64 // s, the longest

	PF, PFEasy float64 // power factor, and at its easy end
	PFAssumed  bool

	// Z, R and X are the load at its greatest current, ohm; L is what makes X, H, at the
	// most and at the least: stated with its spread, else X of the power factor over the
	// currents of the load. 0: it has none.
	Z, R, X    float64
	LMin, LMax float64
	LStated    bool
}

// alternate fills what an AC rail adds.
func (m *Model) alternate() {
	if !m.Rail.AC {
		return
	}
	a := &m.AC
	a.CrestMin, a.CrestNom, a.CrestMax = math.Sqrt2*m.VMin, math.Sqrt2*m.VNom, math.Sqrt2*m.VMax
	a.FNom = float64(m.Rail.Frequency)
	a.FMin, a.FMax = a.FNom*(1-frequencyLow), a.FNom*(1+frequencyHigh)
	if a.FMin > 0 {
		a.HalfCycle = 1 / (2 * a.FMin)
	}
	pf := &m.PowerFactor
	a.PF, a.PFEasy, a.PFAssumed = float64(pf.Value), float64(pf.Easy), pf.Assumed
	if a.PF <= 0 || a.PF > 1 {
		a.PF, a.PFEasy = 1, 1
	}
	if m.IMax <= 0 {
		return
	}
	a.Z = m.VMax / m.IMax
	a.R, a.X = a.Z*a.PF, a.Z*lag(a.PF)
	if m.Kind == job.ACSupply { // its power factor is one of distortion: its current has no lag
		a.R, a.X = a.Z, 0
	}
	if m.LMax.OK {
		// A stated inductance makes the current lag, whatever power factor is told.
		a.LMin, a.LMax, a.LStated = m.LMin.V, m.LMax.V, true
		if x := 2 * math.Pi * a.FMax * a.LMax; a.R > 0 {
			a.PF = min(a.PF, a.R/math.Hypot(a.R, x))
		}
		return
	}
	if !m.Inductive || a.FMin <= 0 {
		return
	}
	w := 2 * math.Pi * a.FNom
	a.LMin = a.X / w
	if m.IMin > 0 {
		a.LMax = m.VMin / m.IMin * lag(a.PF) / w
	}
}

// lag is the reactance of an impedance of 1 with that power factor.
func lag(pf float64) float64 { return math.Sqrt(max(0, 1-pf*pf)) }

// crest is a steady current as a pulse meets it: its crest on AC, A.
func (m *Model) crest(rms float64) float64 {
	if m.Rail.AC {
		return math.Sqrt2 * rms
	}
	return rms
}

// acPulse is an inrush of that crest for t seconds. Its square over time is that of so
// many whole half sines, ip^2*t/2 each, and never more than that of the crest all the
// time, where it is shorter than they are.
func (m *Model) acPulse(peak, t float64) Pulse {
	steady := m.crest(m.IMax)
	p := Pulse{Shape: Rectangle, Peak: peak, T: t, Steady: steady, Charge: max(0, peak-steady) * t}
	p.I2t = peak * peak * t
	if h := m.AC.HalfCycle; h > 0 {
		p.I2t = min(p.I2t, peak*peak/2*h*math.Ceil(t/h*(1-1e-12)))
	}
	return p
}

// InrushRMS is the RMS current of the inrush while it lasts, A: its crest over the root
// of two where it lasts a half cycle or longer, its crest where it is shorter.
func (m *Model) InrushRMS() float64 {
	if !m.HasInrush {
		return m.IMax
	}
	if m.Rail.AC && m.Pulse.T >= 0.5/max(m.AC.FMax, 1e-9) {
		return m.Pulse.Peak / math.Sqrt2
	}
	return m.Pulse.Peak
}

// LeastCrest is the least crest of the load's steady current, A: at the lowest rail,
// least draw. Unknown where it draws none.
func (m *Model) LeastCrest() design.Number {
	if m.IMin <= 0 {
		return design.Number{}
	}
	return design.Known(m.crest(m.IMin))
}
