package engine_test

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/job"
)

// Four loads that each state a channel of the array in the drawer. A heater of 0.2 A takes
// 12.6 V/(60 ohm*0.9) = 0.2333 A: alone that is within 0.5 A, with four on for ever a channel
// carries 0.19 A. Of 50 mA nobody minds, and nine do not go into seven.
func TestBuiltStagesShareTheirArray(t *testing.T) {
	cat, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	for _, tc := range []struct {
		amps string
		n    int
		want design.Verdict
		list int
	}{{"50 mA", 4, design.Fits, 1}, {"0.2 A", 4, design.Over, 1}, {"50 mA", 1, design.Fits, 0}, {"20 mA", 9, design.Fits, 2}} {
		var b strings.Builder
		b.WriteString("schema = 1\n[pin]\ntotal_current_max = \"1 A\"\ngroup_current_max = \"1 A\"\n[[rail]]\nname = \"b\"\nvoltage = \"12 V\"\n")
		for i := range tc.n {
			fmt.Fprintf(&b, "[[load]]\nname = \"l%d\"\nkind = \"resistive\"\nrail = \"b\"\ncurrent = %q\n[load.built]\ntopology = \"darlington-low\"\npart = \"array-7x-darlington\"\n", i, tc.amps)
		}
		spec, j, errs := job.Read("built.toml", []byte(b.String()), engine.TopologyIDs()...)
		if errs.Fatal() {
			t.Fatal(errs)
		}
		in := &engine.Input{Job: j, Spec: spec, Catalog: cat, Policy: benchPolicy(t)}
		res, err := engine.Assess(context.Background(), in, engine.Options{})
		if err != nil {
			t.Fatal(err)
		}
		got, err := engine.Combine(context.Background(), in, res, engine.Wish{})
		if err != nil {
			t.Fatal(err)
		}
		if len(got.Packages) != tc.list || got.Verdict != tc.want {
			t.Errorf("%d of %s: %d packages, %s: %+v", tc.n, tc.amps, len(got.Packages), got.Verdict, got.Packages)
		}
	}
}
