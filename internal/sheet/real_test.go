package sheet

import (
	"context"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/job"
)

// realDesigns details the first design of every topology and verdict for every
// load of the sample jobs.
func realDesigns(t *testing.T, each func(in *engine.Input, det *engine.Detailed)) {
	t.Helper()
	cat, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	files, err := filepath.Glob("../../testdata/jobs/*.toml")
	if err != nil || len(files) == 0 {
		t.Fatal("no jobs", err)
	}
	tried := 0
	for _, f := range files {
		text, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		_, j, errs := job.Read(f, text)
		if errs.Fatal() {
			t.Fatal(errs)
		}
		p, err := catalog.PolicyByName(j.PolicyName)
		if err != nil {
			t.Fatal(err)
		}
		in := &engine.Input{Job: j, Catalog: cat, Policy: p}
		res, err := engine.Assess(context.Background(), in, engine.Options{})
		if err != nil {
			t.Fatal(err)
		}
		for _, l := range res.Loads {
			seen := map[string]bool{}
			for _, r := range l.Rows {
				if kind := r.Topology + r.Verdict.String() + r.Variant; seen[kind] {
					continue
				} else {
					seen[kind] = true
				}
				det, err := engine.Detail(context.Background(), in, r.Key)
				if err != nil {
					t.Fatal(r.Key, err)
				}
				tried++
				each(in, det)
			}
		}
	}
	if tried < 10 {
		t.Fatalf("only %d designs were told", tried)
	}
}

// Sheets of real designs: every place of every formula has its number, no line
// but a picture's is too wide, printed numbers agree with their verdict, and
// every element is in the picture.
func TestRealSheets(t *testing.T) {
	realDesigns(t, func(in *engine.Input, det *engine.Detailed) {
		key := det.Design.Key()
		for i := range det.Design.Checks {
			checkFormula(t, key, &det.Design.Checks[i])
		}
		text := Sheet(in, det, SheetOptions{ASCII: true}).Text(Width, nil)
		for _, l := range strings.Split(text, "\n") {
			if len([]rune(l)) > Width {
				t.Errorf("%s: wider than %d: %q", key, Width, l)
			}
			if strings.Contains(l, "NaN") || strings.Contains(l, "Inf") {
				t.Errorf("%s: %q", key, l)
			}
		}
		for _, e := range det.Design.Elements {
			if !strings.Contains(text, e.Ref) {
				t.Errorf("%s: %s is not told", key, e.Ref)
			}
		}
	})
}

func checkFormula(t *testing.T, key string, c *design.Check) {
	t.Helper()
	known := map[string]bool{"stress": true, "rating": true, "allowed": true}
	for _, a := range c.Args() {
		known[a.Name] = true
	}
	substitute(c.Formula, func(name string) string {
		if !known[name] {
			t.Errorf("%s: %s: the formula %q has no number for %s", key, c.ID, c.Formula, name)
		}
		return name
	})
	if c.Stress.OK && c.Rating.OK && c.Unit == design.A {
		agreeInText(t, c)
	}
	h := Headroom(c.Headroom)
	if h == "--" {
		return
	}
	v, err := strconv.ParseFloat(h, 64)
	if err != nil || (c.Verdict == design.Fits) != (v >= 1) {
		t.Errorf("%s: %s is %s with headroom %s", key, c.ID, c.Verdict, h)
	}
}
