package thermal

import (
	"math"

	"example.org/pinhoist/catalog"
)

// Rung is one rung of a Foster network: R in K/W, Tau in s. A Tau of 0 is a
// resistance without heat capacity.
type Rung struct{ R, Tau float64 }

// AppendRungs returns the Foster network, junction to case, that a part states, or nil,
// in room that the caller has: rungs is empty. Where the steady figure beside it is more,
// all of it is scaled to that: the worse of the two is believed. A rung slower than
// CaseTau earns no more than the way behind it.
func AppendRungs(rungs []Rung, h *catalog.Heat) []Rung {
	if len(h.FosterJC) == 0 {
		return nil
	}
	sum := 0.0
	for i := range h.FosterJC {
		r, okR := h.FosterJC[i].R.Get()
		tau, okT := h.FosterJC[i].Tau.Get()
		if !okR || !okT {
			return nil // half a network earns no credit
		}
		rungs = append(rungs, Rung{float64(r), min(float64(tau), CaseTau)})
		sum += float64(r)
	}
	if rjc, ok := h.RthJC.Get(); ok && float64(rjc) > sum && sum > 0 {
		for i := range rungs {
			rungs[i].R *= float64(rjc) / sum
		}
	}
	return rungs
}

// CaseTau is the time constant, s, given to the way from case to air. Package
// metal, leads and board make it 2 s for the smallest moulded bodies and up to
// minutes for a sink; 1 s is below all of them, so it heats too fast and is on
// the safe side (common practice, no source).
const CaseTau = 1.0

// Zth returns the thermal impedance, K/W, of a Foster network after t seconds of
// constant power: the sum of R*(1 - exp(-t/Tau)). A t of +Inf gives the sum of R.
func Zth(rungs []Rung, t float64) float64 {
	z := 0.0
	for _, r := range rungs {
		z += r.R * charge(t, r.Tau)
	}
	return z
}

// charge is 1 - exp(-t/tau), with tau 0 a step.
func charge(t, tau float64) float64 {
	if t <= 0 {
		return 0
	}
	if tau <= 0 || math.IsInf(t, 1) {
		return 1
	}
	return -math.Expm1(-t / tau)
}

// Share is how much of its way a rung of that Tau has gone after t seconds of constant
// power.
func Share(t, tau float64) float64 { return charge(t, tau) }

// PulseTrain returns the peak rise, K, in the periodic steady state of pulses of
// p watts, tp seconds long, every period seconds: p times the sum of
// R*(1 - exp(-tp/Tau))/(1 - exp(-period/Tau)). A tp of period and above is
// constant power. Source: superposition, geometric series.
func PulseTrain(rungs []Rung, p, tp, period float64) float64 {
	if tp >= period {
		return p * Zth(rungs, math.Inf(1))
	}
	z := 0.0
	for _, r := range rungs {
		z += r.R * trainShare(tp, period, r.Tau)
	}
	return p * z
}

// trainShare is (1 - exp(-tp/tau))/(1 - exp(-period/tau)), which tends to the
// duty for a tau far above the period.
func trainShare(tp, period, tau float64) float64 {
	if tp <= 0 {
		return 0
	}
	whole := charge(period, tau)
	if whole == 0 {
		return tp / period
	}
	return max(charge(tp, tau)/whole, tp/period)
}

// StepRise returns the junction's rise, K, above ambient after t seconds of p
// watts from cold: the Foster network junction to case, and rthCA K/W from case
// to air with CaseTau. Without a network (no rungs) shortness earns no credit:
// p*rthCA, with rthCA then the whole way from junction to air.
func StepRise(rungs []Rung, p, t, rthCA float64) float64 {
	if len(rungs) == 0 {
		return p * rthCA
	}
	return p * (Zth(rungs, t) + rthCA*charge(t, CaseTau))
}

// TrainRise returns the peak rise, K, of the junction above ambient in the steady
// state of pulses of p watts, tp seconds long, every period seconds. Without
// rungs shortness earns no credit: p*rthCA, as in StepRise.
func TrainRise(rungs []Rung, p, tp, period, rthCA float64) float64 {
	if len(rungs) == 0 || tp >= period {
		return p * (Zth(rungs, math.Inf(1)) + rthCA)
	}
	return PulseTrain(rungs, p, tp, period) + p*rthCA*trainShare(tp, period, CaseTau)
}
