package load

import (
	"math"

	"example.org/pinhoist/internal/job"
	q "example.org/pinhoist/internal/quantity"
)

// Held is the same thing on another rail: what draws 0.8 A at 12 V takes what its
// law gives at the new voltage. A job states a load at its rail's nominal voltage,
// so that a new rail alone would mean another load. What is stated or assumed in
// volts or amperes of the load itself (least voltage, off current, release) stays;
// what is a share of the nominal voltage is restated. on is the load as the edited
// job has it: its rail and what follows from a rail (isolation) are taken.
//
// The laws are those of Model: V/R, a filament's (V/Vn)^0.55, an LED's
// (V - Vf)/(Vn - Vf), constant power, a constant current of a signal.
func Held(l, on *job.Load) job.Load {
	h := *l
	h.Rail, h.Isolation, h.IsolationAsked = on.Rail, on.Isolation, on.IsolationAsked
	was, is := float64(l.Rail.Nom), float64(on.Rail.Nom)
	if was <= 0 || is <= 0 || was == is {
		return h
	}
	f := is / was
	draw, start := f, 1.0 // of the steady current; of the inrush as a factor on it
	switch l.Kind {
	case job.Lamp, job.ACLamp:
		draw = math.Pow(f, lampVoltageExponent)
		start = f / draw // a cold filament takes V/R
	case job.LED:
		// Under its forward voltage nothing flows; the least there is keeps the law whole.
		draw = max(1e-6, (is-float64(l.Vf))/(was-float64(l.Vf)))
	case job.Electronic, job.ACSupply:
		draw = 1 / f
		start = f / draw // its capacitor is charged from V
	case job.Signal, job.LogicInput:
		draw = 1
	}
	h.Current *= q.Amp(draw)
	scale := func(o q.Opt[q.Amp]) q.Opt[q.Amp] {
		if v, ok := o.Get(); ok {
			return q.Some(v * q.Amp(f))
		}
		return o
	}
	h.StallCurrent, h.InrushCurrent = scale(l.StallCurrent), scale(l.InrushCurrent)
	if l.Inrush.Known && l.Inrush.Value > 1 {
		h.Inrush.Value = q.Ratio(max(1, float64(l.Inrush.Value)*start))
	}
	h.MustOperate.Value, h.MustOperate.Easy = l.MustOperate.Value/q.Ratio(f), l.MustOperate.Easy/q.Ratio(f)
	h.MustRelease.Value, h.MustRelease.Easy = l.MustRelease.Value/q.Ratio(f), l.MustRelease.Easy/q.Ratio(f)
	if !l.ReleaseCurrent.Known() { // a tenth of what it drew
		h.ReleaseCurrent = q.Some(q.Amp(0.1) * l.Current)
	}
	return h
}
