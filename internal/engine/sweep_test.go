package engine_test

import (
	"context"
	"errors"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/job"
)

func sweepInput(t testing.TB, edits ...string) *engine.Input {
	t.Helper()
	spec := job.Demo()
	for i := 0; i < len(edits); i += 2 {
		if err := job.Set(spec, edits[i], edits[i+1]); err != nil {
			t.Fatal(err)
		}
	}
	j, errs := job.Resolve(spec)
	if j == nil || errs.Fatal() {
		t.Fatal(errs)
	}
	cat, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	return &engine.Input{Job: j, Spec: spec, Catalog: cat, Policy: catalog.Policies()[0]}
}

// bestOf is the key of the first row of a topology.
func bestOf(t testing.TB, in *engine.Input, topo string) string {
	t.Helper()
	res, err := engine.Assess(context.Background(), in, engine.Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range res.Loads[0].Rows {
		if r.Topology == topo {
			return r.Key
		}
	}
	t.Fatalf("no row of %s", topo)
	return ""
}

// Where the load's current alone moves, the place at which a stage that fits stops
// fitting is the load factor, which is solved in another way.
func TestSweepMeetsTheLoadFactor(t *testing.T) {
	in := sweepInput(t)
	met := 0
	for _, topo := range []string{"n-mosfet-low", "npn-low", "p-mosfet-high"} {
		key := bestOf(t, in, topo)
		det, err := engine.Detail(context.Background(), in, key)
		if err != nil {
			t.Fatal(err)
		}
		s, err := engine.Sweep(context.Background(), in, key, engine.SweepAsk{Field: "load[0].current", Span: 8})
		if err != nil {
			t.Fatal(err)
		}
		if det.Design.Verdict != design.Fits || det.Factor == nil {
			continue
		}
		for _, c := range s.Crossings {
			if c.Low > s.Of.Now && c.Changes() {
				if want := det.Factor.Value * s.Of.Now; c.Low > want*1.001 || c.High < want*0.999 || c.ID != det.Factor.Check {
					t.Errorf("%s: %v to %v by %s, the load factor says %v by %s", key, c.Low, c.High, c.ID, want, det.Factor.Check)
				}
				met++
				break
			}
		}
	}
	if met < 2 {
		t.Errorf("met the factor of %d stages", met)
	}
}

// Every place is told by two neighbours among what can be printed, and made anew at
// each of them the check has the verdict that is told. A grid of other points finds
// the same places.
func TestSweepCrossingsAreSolved(t *testing.T) {
	in := sweepInput(t, "load[0].mode", "pwm", "load[0].pwm_frequency", "500 Hz", "load[0].switching_rate", "")
	n := 0
	for _, topo := range []string{"n-mosfet-low", "npn-low", "relay", "p-mosfet-high"} {
		key := bestOf(t, in, topo)
		first, err := engine.Sweep(context.Background(), in, key, engine.SweepAsk{Span: 2})
		if err != nil {
			t.Fatal(err)
		}
		for _, q := range first.Can {
			fine, err := engine.Sweep(context.Background(), in, key, engine.SweepAsk{Field: q.Field, Span: 2, Points: 41})
			if err != nil {
				t.Fatal(err)
			}
			rough, err := engine.Sweep(context.Background(), in, key, engine.SweepAsk{Field: q.Field, Span: 2, Points: 14})
			if err != nil {
				t.Fatal(err)
			}
			for _, c := range fine.Crossings {
				n++
				step := (c.High - c.Low) / math.Max(math.Abs(c.High), 1e-30)
				if !(c.Low < c.High) || step > 1.01e-3 && q.Unit != design.DegC && q.Unit != design.One {
					t.Errorf("%s of %s: solved no nearer than %v to %v", q.Field, key, c.Low, c.High)
				}
				if q.Unit == design.V && !c.Ends { // by itself: a sweep of two points, the place alone
					if a, b := verdictAt(t, in, key, q, c.Low, c), verdictAt(t, in, key, q, c.High, c); a != c.Before || b != c.After {
						t.Errorf("%s of %s at %v to %v: told %v to %v, made anew %v to %v", q.Field, key, c.Low, c.High, c.Before, c.After, a, b)
					}
				}
			}
			for _, c := range rough.Crossings {
				found := false
				for _, f := range fine.Crossings {
					found = found || f == c
				}
				if !found {
					t.Errorf("%s of %s: a rough grid finds %+v, a fine one does not", q.Field, key, c)
				}
			}
		}
	}
	if n < 20 {
		t.Errorf("only %d crossings", n)
	}
}

// verdictAt asks for a span whose end is x.
func verdictAt(t *testing.T, in *engine.Input, key string, q engine.Sweepable, x float64, c engine.Crossing) design.Verdict {
	t.Helper()
	span := x / q.Now
	if span < 1 {
		span = 1 / span
	}
	s, err := engine.Sweep(context.Background(), in, key, engine.SweepAsk{Field: q.Field, Span: span, Points: 2})
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range s.Points {
		if math.Abs(p.X/x-1) < 1e-9 {
			return p.Mark(c.ID, c.Stage).Verdict
		}
	}
	t.Fatalf("%v is no end of %v", x, s.Points)
	return 0
}

// The load stays the same thing on another rail: by Ohm's law a solenoid takes twice
// the current at twice the voltage, so that its check has half the room.
func TestSweepHoldsTheLoad(t *testing.T) {
	in := sweepInput(t)
	key := bestOf(t, in, "n-mosfet-low")
	s, err := engine.Sweep(context.Background(), in, key, engine.SweepAsk{Field: "rail[0].voltage", Span: 2, Points: 2})
	if err != nil {
		t.Fatal(err)
	}
	at12 := s.Here.Mark(design.OnCurrent, design.StageSelf).Headroom
	at24 := s.Points[len(s.Points)-1].Mark(design.OnCurrent, design.StageSelf).Headroom
	if !at12.OK || !at24.OK || math.Abs(at12.V/at24.V-2) > 0.01 {
		t.Errorf("twice the voltage: on-current has room %v of %v, want half", at24, at12)
	}
}

func TestSweepSaysWhatItCannot(t *testing.T) {
	in := sweepInput(t)
	key := bestOf(t, in, "n-mosfet-low")
	if _, err := engine.Sweep(context.Background(), in, key, engine.SweepAsk{Field: "r_base"}); err == nil || !strings.Contains(err.Error(), "r_base") {
		t.Errorf("r_base of a MOSFET: %v", err)
	}
	var none *engine.NoSuchDesign
	if _, err := engine.Sweep(context.Background(), in, "nothing/of/this", engine.SweepAsk{}); !errors.As(err, &none) {
		t.Errorf("no design: %v", err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := engine.Sweep(ctx, in, key, engine.SweepAsk{}); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: %v", err)
	}
	// Above the touch limits no such stage serves, and that is told.
	s, err := engine.Sweep(context.Background(), in, key, engine.SweepAsk{Field: "rail[0].voltage", Span: 10})
	if err != nil {
		t.Fatal(err)
	}
	last := s.Crossings[len(s.Crossings)-1]
	// 60 V DC at the highest: 60/1.1 = 54.54 V nominal.
	if !last.Ends || last.Low != 54.54 || last.High != 54.55 || last.Out == "" {
		t.Errorf("the end: %+v", last)
	}
}

// At the value that a job or stage has, a sweep of any quantity says what the row says,
// and no change on paper comes to a number that is none.
func TestSweepBeginsAtTheStage(t *testing.T) {
	ctx := context.Background()
	files, err := filepath.Glob("../../testdata/jobs/*.toml")
	if err != nil {
		t.Fatal(err)
	}
	sweeps, breaks := 0, 0
	for _, name := range files {
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		spec, j, errs := job.Read(name, text, engine.TopologyIDs()...)
		if errs.Fatal() || j == nil {
			continue
		}
		in := sweepInput(t)
		in.Spec, in.Job = spec, j
		res, err := engine.Assess(ctx, in, engine.Options{})
		if err != nil {
			t.Fatal(err)
		}
		for _, l := range res.Loads {
			for i := 0; i < len(l.Rows); i += 83 {
				r := &l.Rows[i]
				first, err := engine.Sweep(ctx, in, r.Key, engine.SweepAsk{Points: 2})
				if err != nil {
					t.Fatal(err)
				}
				for _, q := range first.Can {
					sweeps++
					s, err := engine.Sweep(ctx, in, r.Key, engine.SweepAsk{Field: q.Field, Points: 5})
					if err != nil {
						t.Fatal(err)
					}
					if h := s.Here.Headroom; s.Here.Out != "" || s.Here.Verdict != r.Verdict || h.OK != r.Headroom.OK || h.OK && math.Abs(h.V-r.Headroom.V) > 1e-6*r.Headroom.V {
						t.Errorf("%s, %s of %s: %s %v %q, the row says %s %v", name, q.Field, r.Key, s.Here.Verdict, h, s.Here.Out, r.Verdict, r.Headroom)
					}
				}
				all, err := engine.Breaks(ctx, in, r.Key)
				if err != nil {
					t.Fatal(err)
				}
				for _, x := range all {
					breaks++
					for k := range x.Design.Checks {
						if c := &x.Design.Checks[k]; c.Because == design.NotANumber {
							t.Errorf("%s, %s %s of %s: %s is %s", name, x.Element, x.Change, r.Key, c.ID, c.Because)
						}
					}
				}
			}
		}
	}
	if sweeps < 200 || breaks < 200 {
		t.Errorf("only %d sweeps and %d changes", sweeps, breaks)
	}
}
