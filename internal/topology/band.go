package topology

import (
	"math"

	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/waveform"
)

const (
	// rippleShare is how much of its steady current the current of a winding under pwm
	// may swing by (common practice, no source).
	rippleShare = 0.2
	// audibleLow and audibleHigh are the ends of hearing, Hz.
	audibleLow, audibleHigh = 20.0, 20e3
	// longRun is the length of wires, m, from which a clamp's place matters (common
	// practice, no source).
	longRun = 1.0
)

// band tells what pwm below its upper end does to the load: how far the current swings
// at the worst duty of its range, and from which frequency a winding smooths its current
// or a light does not flicker. None of it is judged.
func (s *stage) band() {
	l := s.l
	if l.Mode != "pwm" {
		return
	}
	least, caution := 0.0, design.CautionFlicker
	switch {
	case l.Inductive:
		if !l.LMin.OK || l.LMin.V <= 0 || l.RMin <= 0 || l.IMax <= 0 {
			break
		}
		c := waveform.Chopped{V: l.VMax, R: l.RMin, L: l.LMin.V, F: l.Frequency, VD: max(0, firstOf(s.vPeak, s.vPeakEst)-l.VMax)}
		_, swing := c.WorstRipple(float64(l.DutyMin), float64(l.DutyMax))
		s.value(design.IRipple, swing, design.A)
		least, caution = waveform.LeastFrequency(l.RMin, l.LMin.V, rippleShare*l.IMax*l.RMin/l.VMax), design.CautionRipple
	case l.Kind == job.Lamp:
		least = waveform.FilamentFlicker(l.Filament.Tau)
	case l.Kind == job.LED:
		least = waveform.LowFlicker
	}
	if least > 0 && !math.IsInf(least, 1) {
		s.d.Nominal = append(s.d.Nominal, design.Value{Key: design.FPWMMin, V: least, Unit: design.Hz})
		if l.Frequency < least {
			s.caution(caution)
		}
	}
	if l.Inductive && l.Frequency >= audibleLow && l.Frequency <= audibleHigh {
		s.caution(design.CautionAudible)
	}
}

// farClamp tells what long wires hold when the load is switched off, and where a clamp
// must stand that takes it too.
func (s *stage) farClamp() {
	l := s.l
	if float64(l.WireLength) < longRun || l.LWire <= 0 || s.d.Choice.AtSwitch {
		return
	}
	switch {
	case l.Inductive && s.clamped:
		s.caution(design.CautionFarClamp)
	case !l.Inductive:
		s.caution(design.CautionWires)
	default:
		return
	}
	s.d.Nominal = append(s.d.Nominal, design.Value{Key: design.EWire, V: waveform.FieldEnergy(l.LWire, l.IMax), Unit: design.J})
}
