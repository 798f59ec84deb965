package engine

import (
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/load"
)

// Swing is what a load draws from end to end of what the job leaves open: its supply,
// its tolerance and, of a winding, its temperature.
type Swing struct {
	Nominal       float64       // at the nominal supply, 20 C, A
	Most, Least   float64       // steady, A
	VMost, VLeast float64       // the supply at those ends, V; AC: RMS
	R             design.Number // of a winding at 20 C, ohm
	TCold, THot   float64       // of a winding at those ends, degrees Celsius; 0 and 0: none
	Start         design.Number // the crest of its start, or of a motor that is held, A; unknown where it is none or nobody knows
}

// SwingOf works out what a load of a job draws: the same figures that its checks take.
// It is not known (false) where the load draws nothing by itself: a capacitor, a level,
// a bare LED whose resistor is still to be chosen.
func SwingOf(j *job.Job, index int) (Swing, bool) {
	if j == nil || index < 0 || index >= len(j.Loads) {
		return Swing{}, false
	}
	l := &j.Loads[index]
	switch {
	case l.Kind == job.Capacitive, l.Kind == job.Signal, l.Kind == job.LogicInput, l.VfDesigned, l.Current <= 0:
		return Swing{}, false
	}
	m := load.New(l, j.Env, nil)
	s := Swing{Nominal: m.INom, Most: m.IMax, Least: m.IMin, VMost: m.VMax, VLeast: m.VMin}
	if peak := m.PeakCurrent(); m.HasInrush && m.PeakKnown && peak > m.IMax {
		s.Start = design.Known(peak)
	}
	switch l.Kind {
	case job.Electronic, job.ACSupply: // of constant power: most at the lowest supply
		s.VMost, s.VLeast = m.VMin, m.VMax
	case job.Solenoid, job.Coil:
		s.R = design.Known(m.VNom / m.INom)
		if r, ok := l.R.Get(); ok {
			s.R = design.Known(float64(r))
		}
		s.TCold, s.THot = m.TMin, m.TMax+load.WindingRise
	}
	return s, true
}
