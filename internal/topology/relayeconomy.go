package topology

import (
	"math"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/copper"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/device"
	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/load"
	"example.org/pinhoist/internal/preferred"
	"example.org/pinhoist/internal/thermal"
)

// Coil economy: once it has pulled in, a coil needs less than to pull in. A resistor before
// it leaves it what holds it, and a capacitor across that resistor gives it all of the rail
// for the time that it takes to pull in. Nothing but the parts themselves lowers it, no
// software that may hang.

// Economy is such a pair and what it does.
type Economy struct {
	Ohms, Farads float64 // of E12, with 5 % and 20 %; no capacitor: 0
	Holds, Needs float64 // V over the coil on the lowest rail, the hottest it may get: at the least, and what holds it
	Share        float64 // of the rail that the coil gets at the most, which is what heats it
	Pause        float64 // s that the capacitor takes to be empty again: five time constants
	Saved        float64 // share of the nominal power that is not drawn
}

const (
	economyOhms   = 0.05 // tolerances
	economyFarads = 0.2
	// economyLeast is how much of the coil's resistance a resistor must be to be worth it,
	// and economyMost the largest capacitor, F (both common practice, no source).
	economyLeast = 0.1
	economyMost  = 4.7e-3
	// economySteps is how often the resistor is enlarged; it settles in three or four.
	economySteps = 8
)

// Economy works the pair out for a relay's coil on a rail of that name, whose driver drops so
// many volts. ok is false where the relay states no hold_min, or its pick-up allows none.
func (relay) Economy(env *Env, l *load.Model, sw catalog.Part, on string, drop float64) (e Economy, ok bool) {
	r, is := sw.(*catalog.Relay)
	if !is || latches(r) || r.TimeMax == nil || !r.TimeMax.Operate.Known() || !r.HoldMin.Known() {
		return e, false
	}
	var rail *job.Rail
	for i := range env.Common {
		if env.Common[i].Name == on {
			rail = &env.Common[i]
		}
	}
	rth, ref := known(r.RthCoil), device.CoilRef(r)
	cold, _, _ := device.CoilResistance(r, l.TMin)
	stated, nominal, _ := device.CoilResistance(r, ref)
	if rail == nil || !rth.OK || !cold.OK {
		return e, false
	}
	volts := float64(rail.Min) - drop
	hot, _ := device.CoilTemperatureMax(r)
	// The resistor for a coil at its limit leaves it cooler, and that lets the resistor be
	// larger: each step holds a coil as hot as the step before leaves it.
	for range economySteps {
		least, _, most := device.CoilResistance(r, hot)
		e.Needs = float64(r.HoldMin.Value()) * float64(r.VCoil.Value()) * copper.Ratio(hot, ref)
		// volts*R/(R + Re) >= needs, of the coil of least resistance.
		ohms, fits := preferred.NextDown(preferred.E12, least.V*(volts/e.Needs-1)/(1+economyOhms))
		if !fits || ohms < economyLeast*least.V {
			return Economy{}, false
		}
		e.Ohms = ohms
		e.Holds = volts * least.V / (least.V + ohms*(1+economyOhms))
		e.Share = most.V / (most.V + ohms*(1-economyOhms))
		t, steady := thermal.CoilTemperature(l.TMax, rth.V*e.Share*e.Share, float64(rail.Max), stated.V, ref)
		if !steady || t >= hot {
			break
		}
		hot = t
	}
	pick := device.PickUp(r, hot)
	if !pick.OK || !design.AtMost(pick.V, volts) {
		return Economy{}, false
	}
	re := e.Ohms * (1 + economyOhms)
	// While the capacitor charges the coil has volts*(1 - a*(1 - exp(-t/tau))), a = Re/(Re + R).
	a, beside := re/(re+cold.V), re*cold.V/(re+cold.V)
	x := (1 - pick.V/volts) / a
	if x <= 0 {
		return Economy{}, false
	}
	if x < 1 { // else it would pick up through the resistor too
		tau := -pulseMargin * float64(r.TimeMax.Operate.Value()) / math.Log(1-x)
		farads, fits := preferred.NextUp(preferred.E12, tau/beside/(1-economyFarads))
		if e.Farads = farads; !fits || farads > economyMost {
			return Economy{}, false
		}
	}
	e.Pause = 5 * re * e.Farads * (1 + economyFarads)
	if !emptied(l, e.Pause) {
		return Economy{}, false
	}
	e.Saved = e.Ohms / (nominal.V + e.Ohms)
	return e, true
}

// emptied reports whether a coil is off for so many seconds between two operations: as
// long as its load where a duty is stated, else less than the time between them at least.
func emptied(l *load.Model, pause float64) bool {
	if l.DutyHeat < 1 {
		return pause <= l.OffTime()
	}
	return pause*l.OpsPerSecond < 1
}

// heated is the share of a coil's steady heat that it has with what economy is on trial.
func (s *relayStage) heated() float64 {
	if s.given.Economy <= 0 {
		return 1
	}
	return s.given.Economy * s.given.Economy
}
