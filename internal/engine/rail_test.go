package engine_test

import (
	"strings"
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/job"
)

// railCase is a stage that lacks a rail in a job, and what says so.
type railCase struct {
	name, job, key string
	check          design.CheckID
	because        string
}

var railCases = []railCase{
	{"a gate of 10 V on 5 V and 24 V",
		"[[rail]]\nname = \"field\"\nvoltage = \"24 V\"\n[[load]]\nname = \"heater\"\nkind = \"resistive\"\nrail = \"field\"\ncurrent = \"2 A\"\n",
		"heater/n-60v-10vgate-dpak/n-mosfet-boosted", design.GateDrive, "10 to 15 V"},
	// A coil of 12 V picks up from 9 V or so, and all there is are the pin's 5 V.
	{"a coil of 12 V on 5 V",
		"[[rail]]\nname = \"mains\"\nvoltage = \"230 V\"\ntolerance = \"10 %\"\nfrequency = \"50 Hz\"\n[[load]]\nname = \"heater\"\nkind = \"ac-resistive\"\nrail = \"mains\"\ncurrent = \"5 A\"\n",
		"heater/rl-12v-16a/relay", design.CoilPickup, ""},
}

// TestStagesAreOfferedTheRailTheyLack: the fix is the rail that is missing, and with it
// the stage fits.
func TestStagesAreOfferedTheRailTheyLack(t *testing.T) {
	cat, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	pol, err := catalog.PolicyByName("bench")
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range railCases {
		t.Run(r.name, func(t *testing.T) { r.offered(t, cat, pol) })
	}
}

func (r *railCase) offered(t *testing.T, cat *catalog.Catalog, pol *catalog.Policy) {
	spec, j, errs := job.Read("test.toml", []byte("schema = 1\n"+r.job))
	if errs.Fatal() {
		t.Fatal(errs)
	}
	in := &engine.Input{Job: j, Spec: spec, Catalog: cat, Policy: pol}
	det, err := engine.Detail(t.Context(), in, r.key)
	if err != nil {
		t.Fatal(err)
	}
	if det.Design.Verdict != design.Over {
		t.Fatalf("without the rail it is %s", det.Design.Verdict)
	}
	for i := range det.Design.Checks {
		c := &det.Design.Checks[i]
		if c.ID != r.check || c.Verdict != design.Over {
			continue
		}
		if !strings.Contains(c.Because, r.because) {
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
			if det, err := engine.Detail(t.Context(), in, r.key); err != nil || det.Design.Verdict != design.Fits {
				t.Errorf("with it the stage is %v, %v", det, err)
			}
			return
		}
		t.Fatalf("the fixes are %+v", det.Fixes[i])
	}
	t.Fatalf("no %s is over", r.check)
}

// TestHotCoilIsOfferedEconomy: 101 C of a limit of 125 C less 25 K; with 180 ohm before
// the coil 91.9 C, after the whole stage was run again.
func TestHotCoilIsOfferedEconomy(t *testing.T) {
	cat, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	pol, err := catalog.PolicyByName("bench")
	if err != nil {
		t.Fatal(err)
	}
	spec, j, errs := job.Read("test.toml", []byte("schema = 1\n[environment]\nambient_max = \"80 C\"\n[[rail]]\nname = \"logic\"\nvoltage = \"12 V\"\n[[load]]\nname = \"x\"\nkind = \"resistive\"\nsupply = \"24 V\"\ncurrent = \"2 A\"\n"))
	if errs.Fatal() {
		t.Fatal(errs)
	}
	det, err := engine.Detail(t.Context(), &engine.Input{Job: j, Spec: spec, Catalog: cat, Policy: pol}, "x/rl-12v-16a/relay")
	if err != nil {
		t.Fatal(err)
	}
	for i := range det.Design.Checks {
		if c := &det.Design.Checks[i]; c.ID != design.CoilTemperature || c.Verdict != design.Tight {
			continue
		}
		for _, f := range det.Fixes[i] {
			if f.Field == engine.FieldEconomy && strings.HasPrefix(f.To, "180 ohm before the coil") && strings.Contains(f.To, "91.9 C instead of 101 C") {
				return
			}
		}
		t.Fatalf("the fixes are %+v", det.Fixes[i])
	}
	t.Fatal("its coil is not too hot")
}
