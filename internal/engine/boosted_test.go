package engine_test

import (
	"strings"
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/job"
)

// A gate of 10 V on a job of 5 V and 24 V: the fix is the rail that is missing, and
// with it the stage fits.
func TestBoostedGateIsOfferedARail(t *testing.T) {
	text := "schema = 1\n[[rail]]\nname = \"field\"\nvoltage = \"24 V\"\n[[load]]\nname = \"heater\"\nkind = \"resistive\"\nrail = \"field\"\ncurrent = \"2 A\"\n"
	spec, j, errs := job.Read("test.toml", []byte(text))
	if errs.Fatal() {
		t.Fatal(errs)
	}
	cat, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	pol, err := catalog.PolicyByName("bench")
	if err != nil {
		t.Fatal(err)
	}
	in := &engine.Input{Job: j, Spec: spec, Catalog: cat, Policy: pol}
	const key = "heater/n-60v-10vgate-dpak/n-mosfet-boosted"
	det, err := engine.Detail(t.Context(), in, key)
	if err != nil {
		t.Fatal(err)
	}
	if det.Design.Verdict != design.Over {
		t.Fatalf("without a rail for the gate it is %s", det.Design.Verdict)
	}
	for i := range det.Design.Checks {
		c := &det.Design.Checks[i]
		if c.ID != design.GateDrive || c.Stage != design.StageSelf {
			continue
		}
		if !strings.Contains(c.Because, "10 to 15 V") {
			t.Errorf("it says %q", c.Because)
		}
		for _, f := range det.Fixes[i] {
			if f.Field != "rail[1].voltage" {
				continue
			}
			if err := job.Set(spec, f.Field, f.To); err != nil {
				t.Fatal(err)
			}
			again, errs := job.Resolve(spec)
			if errs.Fatal() {
				t.Fatal(errs)
			}
			in.Job = again
			det, err := engine.Detail(t.Context(), in, key)
			if err != nil || det.Design.Verdict != design.Fits {
				t.Errorf("with it the stage is %v, %v", det, err)
			}
			return
		}
		t.Fatalf("the fixes are %+v", det.Fixes[i])
	}
}
