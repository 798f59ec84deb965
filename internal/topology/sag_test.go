package topology

import (
	"fmt"
	"math"
	"reflect"
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/load"
)

// A stage that is come near to by a rough way is the one that is made whole from the
// beginning: the same parts, the same verdicts, a current as near as both come to rest. What
// it carries is never less than its own drop makes the load draw.
func TestRoughWaysLeadToTheWholeStage(t *testing.T) {
	cat, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	type limitable interface {
		unlimited(env *Env, l *load.Model, sw catalog.Part, given *Given, d *design.Design)
	}
	const job = "[[rail]]\nname = \"r\"\nvoltage = \"%s\"\ntolerance = \"10 %%\"\n[[load]]\nname = \"it\"\nkind = \"electronic\"\nrail = \"r\"\ncurrent = \"%s\"\n%s"
	fits := map[string]int{}
	for _, volts := range []string{"3.3 V", "5 V", "12 V", "24 V", "36 V"} {
		for _, amps := range []string{"50 mA", "0.5 A", "3 A", "5 A", "8 A", "11 A"} {
			for _, more := range []string{"unpowered = \"any\"\n", "voltage_min = \"2 V\"\ninrush_factor = 1\ninrush_source = \"measured\"\n"} {
				b := benchOn(t, cat, fmt.Sprintf(job, volts, amps, more))
				for _, top := range All() {
					whole, ok := top.(limitable)
					for _, sw := range cat.Switches() {
						if !ok || top.Serves(b.env, b.m, sw) != "" {
							continue
						}
						var got, want design.Design
						top.Design(b.env, b.m, sw, &Given{}, &got)
						b.env.sagging(b.m, &want, func(l *load.Model, d *design.Design) { whole.unlimited(b.env, l, sw, &Given{}, d) })
						if got.Verdict == design.Fits {
							fits[top.ID()]++
						}
						at := fmt.Sprintf("%s of %s, %s, %q", got.Key(), volts, amps, more)
						drawn := drawnBy(b.m, &got)
						if i := valueIn(&got, design.IOn).V; i < drawn*(1-1e-8) {
							t.Errorf("%s: carries %.9g A, draws %.9g A", at, i, drawn)
						}
						asGood(t, at, &got, &want, drawn)
					}
				}
			}
		}
	}
	for _, id := range []string{npn, darl, mos, "n-mosfet-boosted", "n-mosfet-parallel", pnpHi, pHi} {
		if fits[id] < 10 {
			t.Errorf("only %d of %s fit", fits[id], id)
		}
	}
}

// drawnBy is what the drop of a stage makes a load of constant power draw, A.
func drawnBy(l *load.Model, d *design.Design) float64 {
	drop, bears := valueIn(d, design.VOn), l.VMin-float64(l.VoltageMin.Value)
	if !drop.OK || drop.V > bears {
		drop.V = bears
	}
	return l.Sagging(drop.V).IMax
}

// asGood holds two ways to one stage against each other: what is chosen, its verdicts, and the
// current where it comes to rest at what its drop draws.
func asGood(t *testing.T, at string, got, want *design.Design, drawn float64) {
	t.Helper()
	if !reflect.DeepEqual(got.Choice, want.Choice) || got.Cost.Amount != want.Cost.Amount || len(got.Checks) != len(want.Checks) {
		t.Errorf("%s: another stage\n%s\n%s", at, show(want), show(got))
		return
	}
	for i := range got.Checks {
		if x, y := &got.Checks[i], &want.Checks[i]; x.ID != y.ID || x.Verdict != y.Verdict {
			t.Errorf("%s: %s %s is %v of %v, %s, and was %v of %v, %s", at, x.Stage, x.ID, x.Stress, x.Rating, x.Verdict, y.Stress, y.Rating, y.Verdict)
		}
	}
	if x, y := valueIn(got, design.IOn).V, valueIn(want, design.IOn).V; x < drawn*(1+1e-5) && math.Abs(x-y) > 1e-5*y {
		t.Errorf("%s: carries %.9g A and not %.9g A", at, x, y)
	}
}
