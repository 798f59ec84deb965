package device

import (
	"math"
	"testing"

	"example.org/pinhoist/catalog"
	q "example.org/pinhoist/internal/quantity"
)

// Storage by charge control (standard theory, from memory; DERIVED):
// ts = tau*ln((IB1 + IB2)/(IC/h + IB2)). A part that stores longest has so much gain
// that IC/h is nothing; its stated time gives tau, and at other base currents the
// bound is never under what theory gives, whatever the collector current and gain.
func TestStorageBoundsChargeControl(t *testing.T) {
	const ic, b1, b2, tau = 0.5, 50e-3, 50e-3, 1e-6
	ts := tau * math.Log((b1+b2)/b2)
	second := func(v float64) q.Opt[q.Second] { return q.Some(q.Second(v)) }
	p := &catalog.BJT{Switching: &catalog.BJTSwitching{Td: second(1e-9), Tr: second(1e-9), Ts: second(ts), Tf: second(1e-9),
		IC: q.Some(q.Amp(ic)), IB1: q.Some(q.Amp(b1)), IB2: q.Some(q.Amp(b2))},
		HFE: []catalog.HFEPoint{{IC: q.Some(q.Amp(ic)), VCE: q.Some(q.Volt(1)), Tj: q.Some(q.Celsius(25)), Min: q.Some(q.Ratio(50))}}}
	for _, i := range []float64{1e-3, 0.05, 0.5} {
		for _, ib1 := range []float64{2e-3, 10e-3, 50e-3, 200e-3} {
			for _, ib2 := range []float64{0.5e-3, 5e-3, 50e-3, 500e-3} {
				_, off, fall := SwitchingTimes(p, i, ib1, ib2)
				for _, h := range []float64{50, 200, 1e6} {
					if ib1 < i/h {
						continue // not saturated
					}
					theory := tau * math.Log((ib1+ib2)/(i/h+ib2))
					if got := off.V - fall.V; !off.OK || got < theory*(1-1e-12) {
						t.Errorf("%g A, %g and %g A in the base, gain %g: %g s, theory %g s", i, ib1, ib2, h, got, theory)
					}
				}
			}
		}
	}
}
