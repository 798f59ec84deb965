package engine_test

import (
	"math"
	"slices"
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/job"
)

// A stage as built that charges a capacitor of 2.2 mF through its own 30 mohm, 978 A for
// an instant, is over, and a limiter is offered; with it written in, the stage fits. By
// hand: topology's TestLimiterOfACapacitor.
func TestFixOffersALimiter(t *testing.T) {
	cat, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	pol, err := catalog.PolicyByName("bench")
	if err != nil {
		t.Fatal(err)
	}
	detail := func(rests, built string) *engine.Detailed {
		text := "schema = 1\n[[rail]]\nname = \"r\"\nvoltage = \"24 V\"\ntolerance = \"10 %\"\n[[load]]\nname = \"x\"\nrail = \"r\"\nkind = \"capacitive\"\ncurrent = \"0.2 A\"\ncapacitance = \"2.2 mF\"\nesr = \"30 mohm\"\n" + rests + built
		spec, errs := job.Decode("x.toml", []byte(text))
		if errs.Fatal() {
			t.Fatal(errs)
		}
		j, errs := job.Resolve(spec)
		if errs.Fatal() {
			t.Fatal(errs)
		}
		key := "x/n-60v-logic-so8/n-mosfet-low"
		if built != "" {
			key += "/built"
		}
		return detailOf(t, &engine.Input{Job: j, Spec: spec, Catalog: cat, Policy: pol}, key)
	}
	of := func(limiter string) *engine.Detailed {
		return detail("switching_rate = \"6 /h\"\nduty_max = \"50 %\"\n", "[load.built]\ntopology = \"n-mosfet-low\"\npart = \"n-60v-logic-so8\"\n"+limiter)
	}
	bare := of("")
	if bare.Design.Verdict != design.Over {
		t.Fatalf("without a limiter it is %v", bare.Design.Verdict)
	}
	for i := range bare.Design.Checks {
		c := &bare.Design.Checks[i]
		if c.Verdict == design.Fits {
			continue
		}
		if !slices.ContainsFunc(bare.Fixes[i], func(f engine.Fix) bool {
			return f.Kind == engine.FixPart && f.Field == "limiter" && f.From == "none" && f.To == "ntc-10r-3a"
		}) {
			t.Errorf("%s is %v and offers %+v", c.ID, c.Verdict, bare.Fixes[i])
		}
	}
	if d := of("limiter = \"ntc-10r-3a\"\n").Design; d.Verdict != design.Fits || d.Choice.Limiter != "ntc-10r-3a" {
		t.Errorf("with it: %v, %q", d.Verdict, d.Choice.Limiter)
	}
	// 60 /h leave 30 s for cooling; 60 s, which the quickest limiter wants whose inrush the
	// safe area bears when the pin lets go in it, are left by 30 /h.
	quick := detail("switching_rate = \"60 /h\"\nduty_max = \"50 %\"\n", "")
	i := slices.IndexFunc(quick.Design.Checks, func(c design.Check) bool { return c.ID == design.PeakCurrent })
	if i < 0 || quick.Design.Checks[i].Verdict == design.Fits || quick.Design.Choice.Limiter != "" {
		t.Fatalf("with 30 s to cool: %v, %q", quick.Design.Verdict, quick.Design.Choice.Limiter)
	}
	if !slices.ContainsFunc(quick.Fixes[i], func(f engine.Fix) bool {
		return f.Kind == engine.FixJob && f.Field == "load.switching_rate" && math.Abs(f.Value*3600-30) < 0.4
	}) {
		t.Errorf("fixes %+v", quick.Fixes[i])
	}
	// 2 /h and for ever on leave no time; 50 s of 1800 s are 2.78 % of it.
	long := detail("switching_rate = \"2 /h\"\n", "")
	for _, id := range []design.CheckID{design.PeakCurrent, design.JunctionTemperature} {
		i = slices.IndexFunc(long.Design.Checks, func(c design.Check) bool { return c.ID == id })
		if i < 0 || long.Design.Checks[i].Verdict == design.Fits {
			t.Fatalf("%s, for ever on: %v", id, long.Design.Verdict)
		}
		if !slices.ContainsFunc(long.Fixes[i], func(f engine.Fix) bool {
			return f.Kind == engine.FixJob && f.Field == "load.duty_max" && f.Value < 0.9723 && f.Value > 0.96
		}) {
			t.Errorf("%s: fixes %+v", id, long.Fixes[i])
		}
	}
}
