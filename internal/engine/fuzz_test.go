package engine_test

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/sheet"
	"example.org/pinhoist/internal/topology"
)

// manyLoads is more than the fuzzer ranks: a job may have thousands, each a
// ranking of its own, and they only make it slow.
const manyLoads = 4

// FuzzRank takes any text as a job through everything that ranks it, on the
// embedded catalogue: no fault, no NaN or infinity in a row or in what is told,
// verdict and headroom agree, and the limiting and one other design can be told
// in full.
func FuzzRank(f *testing.F) {
	for _, pattern := range []string{"jobs/*.toml", "bad/jobs/*.toml"} {
		names, err := filepath.Glob("../../testdata/" + pattern)
		if err != nil || len(names) == 0 {
			f.Fatalf("no seeds in %s: %v", pattern, err)
		}
		for _, n := range names {
			text, err := os.ReadFile(n)
			if err != nil {
				f.Fatal(err)
			}
			// Files made to be too large are the business of the decoder's own target.
			if len(text) < 8<<10 {
				f.Add(text)
			}
		}
	}
	f.Add(job.DemoText())
	cat, err := catalog.Embedded()
	if err != nil {
		f.Fatal(err)
	}
	var ids []string
	for _, t := range topology.All() {
		ids = append(ids, t.ID())
	}
	f.Fuzz(func(t *testing.T, text []byte) { rankText(t, cat, ids, text) })
}

// FuzzRankFigures is FuzzRank on a job that is well formed, with any kind of
// load and any numbers, so that more of them reach the engine.
func FuzzRankFigures(f *testing.F) {
	cat, err := catalog.Embedded()
	if err != nil {
		f.Fatal(err)
	}
	kinds := job.Kinds()
	for i := range kinds {
		f.Add(uint8(i), uint8(i), 12.0, 10.0, 0.5, 60e-3, 0.0, 40.0, 5.0, 20e-3)
	}
	f.Fuzz(func(t *testing.T, kind, mode uint8, volts, spread, amps, henries, tmin, tmax, pin, within float64) {
		k := kinds[int(kind)%len(kinds)].Kind
		var b strings.Builder
		fmt.Fprintf(&b, "schema = 1\n[pin]\nsupply = \"%g V\"\n[environment]\nambient_min = \"%g C\"\nambient_max = \"%g C\"\n", pin, tmin, tmax)
		fmt.Fprintf(&b, "[[load]]\nname = \"x\"\nkind = %q\nsupply = \"%g V\"\nsupply_tolerance = \"%g %%\"\n", k, volts, spread)
		if mode&1 == 0 {
			fmt.Fprintf(&b, "current = \"%g A\"\n", amps)
		}
		if mode&2 == 0 {
			fmt.Fprintf(&b, "inductance = \"%g H\"\n", henries)
		}
		if mode&4 != 0 {
			fmt.Fprintf(&b, "release_within = \"%g s\"\n", within)
		}
		if mode&8 != 0 {
			fmt.Fprintf(&b, "mode = \"pwm\"\npwm_frequency = \"%g Hz\"\n", within*1e5)
		}
		if mode&16 != 0 {
			fmt.Fprintf(&b, "capacitance = \"%g F\"\n", henries)
		}
		if mode&32 != 0 {
			fmt.Fprintf(&b, "stall_current = \"%g A\"\n", amps*5)
		}
		rankText(t, cat, nil, []byte(b.String()))
	})
}

// rankText reads a job, ranks it and tells what came out.
func rankText(t *testing.T, cat *catalog.Catalog, ids []string, text []byte) {
	t.Helper()
	spec, j, errs := job.Read("fuzz", text, ids...)
	if errs.Fatal() || j == nil || len(j.Loads) > manyLoads {
		return
	}
	pol, err := catalog.PolicyByName(j.PolicyName)
	if err != nil {
		return
	}
	in := &engine.Input{Job: j, Spec: spec, Catalog: cat, Policy: pol}
	res, err := engine.Assess(context.Background(), in, engine.Options{Workers: 1})
	if err != nil {
		t.Fatal(err)
	}
	for i := range res.Loads {
		l := &res.Loads[i]
		for k := range l.Rows {
			soundRow(t, &l.Rows[k])
		}
		for _, o := range []engine.Order{engine.ByCost, engine.ByHeadroom, engine.ByHeat, engine.ByParts, engine.BySpeed} {
			if a := engine.Arrange(l.Rows, engine.View{Order: o}); len(a.Rows) != len(l.Rows) {
				t.Errorf("by %s there are %d rows of %d", o, len(a.Rows), len(l.Rows))
			}
		}
	}
	soundText(t, sheet.Shortlist(in, res, sheet.ListOptions{}))
	for i := range res.Loads {
		if rows := res.Loads[i].Rows; len(rows) > 0 {
			tell(t, in, rows[0].Key)
			tell(t, in, rows[len(text)%len(rows)].Key)
		}
	}
}

// tell details a design and tells it in every form.
func tell(t *testing.T, in *engine.Input, key string) {
	t.Helper()
	// Solving fixes may take long for a strange job; cancelled is an answer too.
	ctx, stop := context.WithTimeout(context.Background(), 2*time.Second)
	defer stop()
	det, err := engine.Detail(ctx, in, key)
	if ctx.Err() != nil {
		return
	}
	if err != nil {
		t.Fatalf("%s: %v", key, err)
	}
	soundRow(t, &det.Row)
	for i := range det.Design.Checks {
		c := &det.Design.Checks[i]
		soundNumber(t, key, "headroom of "+c.ID.String(), c.Headroom)
		for _, a := range c.Args() {
			soundNumber(t, key, c.ID.String()+" "+a.Name, design.Known(a.V))
		}
		for _, f := range det.Fixes[i] {
			soundNumber(t, key, "fix "+f.Field, design.Known(f.Value))
		}
	}
	if det.Factor != nil {
		soundNumber(t, key, "load factor", design.Known(det.Factor.Value))
	}
	for _, p := range det.Promises {
		soundNumber(t, key, "promise "+p.Figure, design.Known(p.Value))
	}
	doc := sheet.Sheet(in, det, sheet.SheetOptions{})
	soundText(t, doc.Text(sheet.Width, nil))
	soundText(t, doc.Markdown())
	res := &engine.Result{Policy: in.Policy.Name, Loads: []engine.LoadResult{det.Load}}
	full, err := sheet.JSON(res, sheet.Candidates{det.Load.Name: {det}})
	if err != nil {
		t.Fatalf("%s: %v", key, err)
	}
	// A name from the file may hold any letters, but NaN and Inf as values are no JSON.
	if bytes.ContainsRune(full, 0x1b) {
		t.Errorf("%s: an escape code in the JSON", key)
	}
}

func soundRow(t *testing.T, r *engine.Row) {
	t.Helper()
	soundNumber(t, r.Key, "headroom", r.Headroom)
	soundNumber(t, r.Key, "cost", r.Cost.Amount)
	soundNumber(t, r.Key, "heat", r.Heat)
	soundNumber(t, r.Key, "turn-off", r.TurnOff)
	if h := r.Headroom; h.OK && (h.V < 0 || h.V > design.MaxHeadroom) {
		t.Errorf("%s: headroom %g", r.Key, h.V)
	}
	switch r.Verdict {
	case design.Fits:
		if r.Headroom.OK && r.Headroom.V < 1 {
			t.Errorf("%s fits with headroom %g", r.Key, r.Headroom.V)
		}
	case design.Unproven:
		if r.Headroom.OK {
			t.Errorf("%s is unproven with headroom %g", r.Key, r.Headroom.V)
		}
	default:
		if !r.Headroom.OK || r.Headroom.V >= 1 {
			t.Errorf("%s is %s with headroom %+v", r.Key, r.Verdict, r.Headroom)
		}
	}
}

func soundNumber(t *testing.T, key, what string, n design.Number) {
	t.Helper()
	if n.OK && (math.IsNaN(n.V) || math.IsInf(n.V, 0)) {
		t.Errorf("%s: %s is %g", key, what, n.V)
	}
}

func soundText(t *testing.T, text string) {
	t.Helper()
	if strings.Contains(text, design.NotANumber) {
		t.Errorf("the engine lost a number:\n%s", text)
	}
	for _, c := range text {
		if c < ' ' && c != '\n' || c == 0x7f {
			t.Fatalf("a control character in %q", text)
		}
	}
}
