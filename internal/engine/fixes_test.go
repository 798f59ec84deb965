package engine_test

import (
	"context"
	"math"
	"strconv"
	"strings"
	"testing"

	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/topology"
)

// TestFixesMend is property 7: every offered change of the job makes its check
// fit when the whole question is asked again with the text that is offered, and
// a change that is one per cent smaller does not.
func TestFixesMend(t *testing.T) {
	tried, limits := 0, 0
	pairs(t, 7, func(_ gen, s *study) {
		if s.d.Verdict == design.Fits || tried > pairCount(t) {
			return
		}
		det, err := engine.Detail(context.Background(), s.in, s.d.Key())
		if err != nil {
			t.Fatal(err)
		}
		for i, fixes := range det.Fixes {
			c := &det.Design.Checks[i]
			for _, f := range fixes {
				if f.Kind != engine.FixJob {
					continue
				}
				tried++
				path := pathOf(s.in, f.Field)
				if path == "" {
					t.Errorf("%s\n%s offers %s, which the job does not have", s, c.ID, f.Field)
					continue
				}
				if v := mended(t, s, c, func(spec *job.Spec) error { return job.Set(spec, path, f.To) }); v != design.Fits {
					t.Errorf("%s\n%s: with %s %s it is %s", s, c.ID, f.Field, f.To, v)
					continue
				}
				// One per cent back towards where it was.
				before := siOf(t, s.in, f.Field)
				if math.IsNaN(before) || math.Abs(f.Value-before) < 0.03*math.Abs(before) {
					continue
				}
				back := f.Value + math.Copysign(0.01*math.Abs(f.Value), before-f.Value)
				if strings.Contains(f.Field, "ambient") {
					back = f.Value + math.Copysign(math.Max(0.5, 0.01*math.Abs(f.Value)), before-f.Value)
				}
				limits++
				if v := mended(t, s, c, func(spec *job.Spec) error { return job.SetSI(spec, path, back) }); v == design.Fits {
					t.Errorf("%s\n%s: %s %s is offered, and %g already mends it", s, c.ID, f.Field, f.To, back)
				}
			}
		}
	})
	if tried < pairCount(t)/10 || limits == 0 {
		t.Errorf("only %d fixes and %d limits were tried", tried, limits)
	}
}

// pathOf is where a fix's key stands in the job of a study with one load.
func pathOf(in *engine.Input, field string) string {
	table, key, _ := strings.Cut(field, ".")
	switch table {
	case "load":
		return "load[0]." + key
	case "rail":
		for i, r := range in.Spec.Rails {
			if r.Name == in.Job.Loads[0].Rail.Name {
				return "rail[" + strconv.Itoa(i) + "]." + key
			}
		}
		return ""
	}
	return field
}

// siOf is the number behind a text of the job, NaN where nothing is stated. The
// number is read off what Resolve makes of it, for the keys that fixes move.
func siOf(t *testing.T, in *engine.Input, field string) float64 {
	t.Helper()
	l, p := in.Job.Loads[0], in.Job.Pin
	switch _, key, _ := strings.Cut(field, "."); {
	case field == "load.current":
		return float64(l.Current)
	case field == "load.inductance":
		return float64(l.L.Or(0))
	case field == "load.release_within":
		return float64(l.ReleaseWithin.Or(0))
	case field == "load.pwm_frequency":
		return float64(l.PWMFrequency)
	case field == "load.switching_rate":
		return float64(l.Rate)
	case field == "environment.ambient_max":
		return float64(in.Job.Env.AmbientMax)
	case field == "pin.supply":
		return float64(p.SupplyNom)
	case strings.HasPrefix(field, "rail.") && key == "voltage":
		return float64(l.Rail.Nom)
	}
	return math.NaN()
}

// mended is the verdict of a check after an edit; a check that no longer applies
// is mended.
func mended(t *testing.T, s *study, c *design.Check, edit func(*job.Spec) error) design.Verdict {
	t.Helper()
	spec := job.Clone(s.in.Spec)
	if err := edit(spec); err != nil {
		t.Fatal(err)
	}
	j, errs := job.Resolve(spec)
	if errs.Fatal() {
		return design.Over
	}
	in := *s.in
	in.Job, in.Spec = j, spec
	env := engine.EnvFor(&in, false)
	m := env.Model(&j.Loads[0])
	if s.t.Serves(env, m, s.sw) != "" {
		return design.Over
	}
	var d design.Design
	s.t.Design(env, m, s.sw, &topology.Given{}, &d)
	if k := checkOf(&d, c.ID, c.Stage); k != nil {
		return k.Verdict
	}
	return design.Fits
}
