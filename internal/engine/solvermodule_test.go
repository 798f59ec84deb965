package engine_test

import (
	"math"
	"sync/atomic"
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/job"
	q "example.org/pinhoist/internal/quantity"
)

// checkModule judges a module that fits again, by arithmetic of its own from what its
// board and the switch on it state.
func checkModule(t testing.TB, s *study, mod *catalog.Module) {
	t.Helper()
	fail := failing(t, s)
	moduleInput(fail, s, mod)
	switch {
	case mod.Relay != nil:
		checkContacts(fail, s.m, mod.Relay, s.d)
	case mod.SSR != nil:
		out := *mod.SSR
		out.Common = mod.Common
		ssrOutput(fail, s.in, s.m, &out, s.d)
	case mod.MOSFET != nil:
		i := contactCurrent(s.m, s.d)
		if limit := float64(mod.MOSFET.IDCase25.Value()); i > limit*1.001 {
			fail("carries %.3g A of %.3g A", i, limit)
		}
		if limit := float64(mod.MOSFET.VDSMax.Value()); s.m.VMax > limit {
			fail("%.3g V on %.3g V", s.m.VMax, limit)
		}
	}
}

// moduleInput asks whether the input gets what turns it on, no more than it takes and the
// pin gives, and next to nothing while it is off.
func moduleInput(fail func(string, ...any), s *study, mod *catalog.Module) {
	pin := &s.in.Job.Pin
	toGround := mod.InputTo == "ground"
	lo, hi, limit := float64(pin.SupplyMin), float64(pin.SupplyMax), float64(pin.SourceMax)
	if !toGround { // it hangs on the board's supply, and the pin sinks its current
		limit = float64(pin.SinkMax)
		for _, r := range append([]job.Rail{s.env.PinRail}, s.env.Common...) {
			if r.Name == s.d.Choice.CoilRail {
				lo, hi = float64(r.Min), float64(r.Max)
			}
		}
	}
	down, most := math.Inf(1), math.Inf(1) // the pull-down at its least and its most
	for _, e := range s.d.Elements {
		if e.Role != design.RolePullDown || e.Kind != "resistor" {
			continue
		}
		for _, r := range s.in.Catalog.Resistors {
			if r.ID == e.Part {
				down, most = e.Value*(1-float64(r.Tolerance.Value())), e.Value*(1+float64(r.Tolerance.Value()))
			}
		}
	}
	// amps is what v volts behind r ohm and a pull-down drive into the input.
	amps := func(v, r, pull, drop, in float64) float64 {
		if !math.IsInf(pull, 1) && toGround {
			v, r = v*pull/(pull+r), r*pull/(pull+r)
		}
		return math.Max(0, v-drop) / math.Max(r+in, 1e-9)
	}
	if i := amps(lo, float64(pin.ROutMax), down, float64(mod.VInDrop.Max.Value()), float64(mod.RIn.Max.Value())); i < float64(mod.IInOn.Min.Value())*(1-1e-6) {
		fail("its input gets %.3g A, on from %.3g A", i, float64(mod.IInOn.Min.Value()))
	}
	strong := amps(hi, float64(pin.ROutMin), math.Inf(1), float64(mod.VInDrop.Min.Value()), float64(mod.RIn.Min.Value()))
	if strong > limit*1.001 || strong > float64(mod.IInOn.Max.Value())*1.001 {
		fail("its input gets %.3g A, takes %.3g A, the pin %.3g A", strong, float64(mod.IInOn.Max.Value()), limit)
	}
	if toGround && (pin.AtReset == "pull-up" || pin.AtReset == "unknown") {
		if i := amps(hi, float64(pin.ResetPullMin), most, 0.8*float64(mod.VInDrop.Min.Value()), float64(mod.RIn.Min.Value())); i > float64(mod.IInOffMax.Value())*(1+1e-6) {
			fail("pulled up at reset %.3g A, off up to %.3g A", i, float64(mod.IInOffMax.Value()))
		}
	}
}

// The judge of modules sees an input that wants a thousand times as much.
func TestModuleJudgeSeesAFault(t *testing.T) {
	var looked atomic.Int64
	pairs(t, 39, func(t testing.TB, g gen, s *study) {
		mod, ok := s.sw.(*catalog.Module)
		if !ok || s.d.Verdict != design.Fits {
			return
		}
		looked.Add(1)
		p := catalog.Clone(mod).(*catalog.Module)
		p.IInOn.Min = q.Some(1e3 * p.IInOn.Min.Value())
		seen := 0
		moduleInput(func(string, ...any) { seen++ }, s, p)
		if seen == 0 {
			t.Errorf("%s\nits input wants a thousand times as much, and nothing is wrong", s)
		}
	})
	if looked.Load() == 0 && pairCount(t) >= plainPairs { // of a few pairs none may be
		t.Error("no module that fits was looked at")
	}
}
