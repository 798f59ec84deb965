package engine_test

import (
	"context"
	"slices"
	"testing"

	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/job"
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

// A stage stated as built is the stage; with its clamp or a resistor stated otherwise
// it is what leaving that out or changing it on paper says.
func TestBuiltOfADesign(t *testing.T) {
	ctx := context.Background()
	in := sweepInput(t)
	for _, topo := range []string{"n-mosfet-low", "npn-low"} {
		key := bestOf(t, in, topo)
		det, err := engine.Detail(ctx, in, key)
		if err != nil {
			t.Fatal(err)
		}
		again := func(edit func(*job.Built)) *design.Design {
			spec := job.Clone(in.Spec)
			spec.Loads[0].Built = engine.BuiltOf(det.Design)
			edit(spec.Loads[0].Built)
			j, errs := job.Resolve(spec)
			if j == nil || errs.Fatal() {
				t.Fatal(errs)
			}
			with := *in
			with.Job, with.Spec = j, spec
			d, err := engine.Detail(ctx, &with, key+"/built")
			if err != nil {
				t.Fatal(err)
			}
			return d.Design
		}
		same := func(what string, d, want *design.Design) {
			t.Helper()
			if d.Verdict < want.Verdict {
				t.Errorf("%s, %s: %s, want %s", key, what, d.Verdict, want.Verdict)
			}
			for i := range want.Checks {
				c := &want.Checks[i]
				if c.ID == design.ResistorPower || c.ID == design.ResistorVoltage {
					continue // a job does not say of which series a resistor is
				}
				if verdictOf(d, c.ID) != c.Verdict {
					t.Errorf("%s, %s: %s is %s, want %s", key, what, c.ID, verdictOf(d, c.ID), c.Verdict)
				}
			}
		}
		same("as it is", again(func(*job.Built) {}), det.Design)
		same("no clamp", again(func(b *job.Built) { b.Clamp, b.ClampPlacement = "none", "" }), breakOf(t, in, key, "clamp", engine.LeftOut).Design)
		if topo == "npn-low" {
			same("base resistor ten times", again(func(b *job.Built) { b.RBase.R *= 10 }), breakOf(t, in, key, "r_base", engine.TenTimes).Design)
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
