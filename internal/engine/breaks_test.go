package engine_test

import (
	"context"
	"slices"
	"testing"

	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/source"
	"example.org/pinhoist/internal/topology"
)

func breakOf(t *testing.T, in *engine.Input, key, element string, how engine.Change) *engine.Break {
	t.Helper()
	all, err := engine.Breaks(context.Background(), in, key)
	if err != nil {
		t.Fatal(err)
	}
	for i := range all {
		if all[i].Element == element && all[i].Change == how {
			return &all[i]
		}
	}
	t.Fatalf("%s has no %s %s among %d", key, element, how, len(all))
	return nil
}

func verdictOf(d *design.Design, id design.CheckID) design.Verdict {
	for i := range d.Checks {
		if d.Checks[i].ID == id && d.Checks[i].Stage == design.StageSelf {
			return d.Checks[i].Verdict
		}
	}
	return design.Fits
}

// What every engineer expects of each change, by what it is there for (common
// practice, no source): nothing limits the voltage of a winding without a clamp; a
// diode the wrong way round shorts the rail; without its pull-down a gate floats with
// its pin; a large base resistor starves a base; a small gate resistor overloads a pin.
func TestBreaks(t *testing.T) {
	in := sweepInput(t)
	mosfet, npn := bestOf(t, in, "n-mosfet-low"), bestOf(t, in, "npn-low")
	for _, tt := range []struct {
		key, element string
		how          engine.Change
		check        design.CheckID
		least        design.Verdict
	}{
		{mosfet, "clamp", engine.LeftOut, design.Avalanche, design.Over},
		{npn, "clamp", engine.LeftOut, design.Avalanche, design.Over},
		{mosfet, "r_pulldown", engine.LeftOut, design.StaysOff, design.Unproven},
		{npn, "r_base", engine.TenTimes, design.BaseDrive, design.Over},
		{npn, "r_base", engine.LeftOut, design.PinCurrent, design.Over},
		{npn, "r_base_emitter", engine.LeftOut, design.StaysOff, design.Unproven},
		{mosfet, "r_gate", engine.ATenth, design.PinCurrent, design.Over},
	} {
		x := breakOf(t, in, tt.key, tt.element, tt.how)
		if v := verdictOf(x.Design, tt.check); v < tt.least {
			t.Errorf("%s, %s %s: %s is %s, want at least %s", tt.key, tt.element, tt.how, tt.check, v, tt.least)
		}
		if !slices.ContainsFunc(x.Worse, func(w engine.Worse) bool { return x.Design.Checks[w.Check].ID == tt.check }) {
			t.Errorf("%s, %s %s: %s is not told as worse", tt.key, tt.element, tt.how, tt.check)
		}
	}
}

// A diode the wrong way round is over wherever there is one, and never told as less
// bad than none at all.
func TestDiodeReversed(t *testing.T) {
	in := sweepInput(t, "load[0].release_within", "")
	ctx := context.Background()
	res, err := engine.Assess(ctx, in, engine.Options{})
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for i, r := range res.Loads[0].Rows {
		if i%5 != 0 {
			continue
		}
		all, err := engine.Breaks(ctx, in, r.Key)
		if err != nil {
			t.Fatal(err)
		}
		for _, x := range all {
			if x.Change == engine.Reversed {
				n++
				if x.Design.Verdict != design.Over || len(x.Worse) == 0 {
					t.Errorf("%s with its diode reversed: %s", r.Key, x.Design.Verdict)
				}
			}
		}
	}
	if n < 10 {
		t.Errorf("only %d diodes", n)
	}
}

// A stage stated as built is the stage, whatever its topology; and stated as built with a
// change it is what the change on paper says, wherever a job can hold that.
func TestBuiltOfADesign(t *testing.T) {
	ctx := context.Background()
	held, passed := map[string]int{}, map[string]int{}
	for _, b := range job.BuiltIns() {
		in := *sweepInput(t)
		in.Spec = b.Spec
		var errs source.Errors
		if in.Job, errs = job.Resolve(b.Spec); in.Job == nil || errs.Fatal() {
			t.Fatal(errs)
		}
		res, err := engine.Assess(ctx, &in, engine.Options{})
		if err != nil {
			t.Fatal(err)
		}
		for i := range res.Loads {
			seen := map[string]bool{}
			for _, r := range res.Loads[i].Rows {
				like := r.Topology + r.Verdict.String()
				if seen[like] {
					continue
				}
				seen[like] = true
				det, err := engine.Detail(ctx, &in, r.Key)
				if err != nil {
					t.Fatal(err)
				}
				sameBuilt(t, &in, i, &r, "as it is", engine.BuiltOf(det.Design), det.Design)
				all, err := engine.Breaks(ctx, &in, r.Key)
				if err != nil {
					t.Fatal(err)
				}
				for k := range all {
					x := &all[k]
					if x.Built == nil {
						passed[r.Topology]++
						continue
					}
					held[r.Topology]++
					sameBuilt(t, &in, i, &r, x.Element+" "+string(x.Change), x.Built, x.Design)
				}
			}
		}
	}
	for _, topo := range []string{"npn-low", "n-mosfet-low", "n-mosfet-parallel", "relay", "ssr"} {
		if held[topo] < 5 {
			t.Errorf("%s: of its changes a job holds %d, and not %d", topo, held[topo], passed[topo])
		}
	}
}

// sameBuilt judges a load with a stage as built and holds every check against want.
func sameBuilt(t *testing.T, in *engine.Input, i int, r *engine.Row, what string, built *job.Built, want *design.Design) {
	t.Helper()
	spec := job.Clone(in.Spec)
	spec.Loads[i].Built = built
	again, resolved, errs := job.Read("built", job.Encode(spec)) // as its file holds it
	if resolved == nil || errs.Fatal() {
		t.Fatalf("%s, %s: %v", r.Key, what, errs)
	}
	with := *in
	with.Job, with.Spec = resolved, again
	det, err := engine.Detail(context.Background(), &with, spec.Loads[i].Name+"/"+r.Part+"/"+r.Topology+"/"+topology.BuiltVariant)
	if err != nil {
		t.Errorf("%s, %s: %v", r.Key, what, err)
		return
	}
	for k := range want.Checks {
		c := &want.Checks[k]
		if c.ID == design.ResistorPower || c.ID == design.ResistorVoltage {
			continue // a job does not say of which series a resistor is
		}
		got := design.Fits // what does not apply
		for n := range det.Design.Checks {
			if x := &det.Design.Checks[n]; x.ID == c.ID && x.Stage == c.Stage {
				got = x.Verdict
			}
		}
		if got != c.Verdict {
			t.Errorf("%s, %s: %s %s is %s, want %s", r.Key, what, c.Stage, c.ID, got, c.Verdict)
		}
	}
}

// A link in place of the resistor of a solid-state relay's LED, on a pin without a
// resistance of its own, has an answer of its own, and it is over.
func TestLEDWithoutResistor(t *testing.T) {
	in := sweepInput(t, "pin.output_resistance_max", "0 ohm", "pin.output_resistance_min", "0 ohm")
	res, err := engine.Assess(context.Background(), in, engine.Options{})
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for _, r := range res.Loads[0].Rows {
		if r.Topology != "ssr" {
			continue
		}
		all, err := engine.Breaks(context.Background(), in, r.Key)
		if err != nil {
			t.Fatal(err)
		}
		for _, x := range all {
			if x.Element != "r_gate" || x.Change != engine.LeftOut {
				continue
			}
			n++
			if x.Design.Verdict != design.Over {
				t.Errorf("%s without %s: %s", r.Key, x.Was, x.Design.Verdict)
			}
			for i := range x.Design.Checks {
				if x.Design.Checks[i].Because == design.NotANumber {
					t.Errorf("%s: %s is %s", r.Key, x.Design.Checks[i].ID, design.NotANumber)
				}
			}
		}
	}
	if n == 0 {
		t.Error("no LED was looked at")
	}
}
