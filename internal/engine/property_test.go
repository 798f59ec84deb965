package engine_test

import (
	"math"
	"reflect"
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
)

// finiteAll walks everything a value holds and fails on a number that is none.
func finiteAll(t *testing.T, what string, v reflect.Value, path string) {
	t.Helper()
	switch v.Kind() {
	case reflect.Float64:
		if f := v.Float(); math.IsNaN(f) || math.IsInf(f, 0) {
			t.Errorf("%s: %s is %v", what, path, f)
		}
	case reflect.Pointer, reflect.Interface:
		if !v.IsNil() {
			finiteAll(t, what, v.Elem(), path)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			finiteAll(t, what, v.Field(i), path+"."+v.Type().Field(i).Name)
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			finiteAll(t, what, v.Index(i), path)
		}
	}
}

func TestNoNumberOfADesignIsNone(t *testing.T) {
	pairs(t, 11, pairCount(t), func(g gen, s *study) {
		finiteAll(t, s.String(), reflect.ValueOf(s.d), "design")
		for i := range s.d.Checks {
			if c := &s.d.Checks[i]; c.Because == design.NotANumber {
				t.Errorf("%s: %s", s, toldCheck(c))
			}
		}
	})
}

// Property 1: with more stress and all else as it is, no check gets better.
func TestMoreStressNeverImprovesAVerdict(t *testing.T) {
	pairs(t, 1, pairCount(t), func(g gen, s *study) {
		for i := range s.d.Checks {
			before := s.d.Checks[i]
			for range 4 {
				c := before
				by := g.between(1e-6, 10)
				c.Stress.V += by * math.Abs(c.Stress.V)
				if g.chance(0.3) {
					c.StressEstimate.V += by * math.Abs(c.StressEstimate.V)
				}
				if g.chance(0.3) {
					c.EasyStress.V += by * math.Abs(c.EasyStress.V)
				}
				design.Judge(&c)
				if c.Verdict < before.Verdict {
					t.Errorf("%s\nstress up by %g improves it:\n%s\n%s", s, by, toldCheck(&before), toldCheck(&c))
				}
				if c.Headroom.OK && before.Headroom.OK && c.Headroom.V > before.Headroom.V*(1+1e-12) {
					t.Errorf("%s\nstress up by %g raises the headroom:\n%s\n%s", s, by, toldCheck(&before), toldCheck(&c))
				}
			}
		}
	})
}

// worse are the checks that are better in b than in a.
func better(a, b *design.Design) (names []string) {
	for i := range b.Checks {
		c := &b.Checks[i]
		if k := checkOf(a, c.ID, c.Stage); k != nil && c.Verdict < k.Verdict {
			names = append(names, "\n  "+toldCheck(k)+"\n  -> "+toldCheck(c))
		}
	}
	return names
}

// Property 2: a worse guaranteed figure never improves the verdict of a stage
// as it stands; without the figure it is never brought to fits or tight.
func TestAWorseFigureNeverImprovesTheStage(t *testing.T) {
	changed := 0
	pairs(t, 2, pairCount(t), func(g gen, s *study) {
		if s.sw.Kind() == catalog.KindPin {
			return
		}
		part := catalog.Clone(s.sw)
		was := s.again(part)
		if was.Verdict != s.d.Verdict {
			t.Errorf("%s\nfrozen it is %s, chosen it was %s", s, was.Verdict, s.d.Verdict)
		}
		for _, fig := range catalog.Figures(part) {
			by := 1 + g.between(1e-3, 3)
			if fig.Unit == "degC" {
				by = 1 + g.between(1e-3, 0.2)
			}
			if !fig.WorseMore {
				by = 1 / by
			}
			fig.Scale(by)
			d := s.again(part)
			if d.Verdict < was.Verdict {
				t.Errorf("%s\n%s times %g brings %s to %s:%v", s, fig.Name, by, was.Verdict, d.Verdict, better(was, d))
			}
			if d.Verdict != was.Verdict {
				changed++
			}
			fig.Delete()
			d = s.again(part)
			if d.Verdict <= design.Tight && d.Verdict < was.Verdict {
				t.Errorf("%s\nwithout %s it is %s, with it %s:%v", s, fig.Name, d.Verdict, was.Verdict, better(was, d))
			}
			fig.Scale(1)
		}
	})
	if changed == 0 {
		t.Error("no worse figure ever changed a verdict: the test shows nothing")
	}
}

// Property 3: typical figures are shown and never carry a fit.
func TestTypicalFiguresCarryNoFit(t *testing.T) {
	pairs(t, 3, pairCount(t), func(g gen, s *study) {
		if s.sw.Kind() == catalog.KindPin {
			return
		}
		part := catalog.Clone(s.sw)
		figs := catalog.Typicals(part)
		was := s.again(part)
		for range 3 {
			by := g.between(0.1, 10)
			for _, fig := range figs {
				fig.Scale(by)
			}
			d := s.again(part)
			if (d.Verdict <= design.Tight || was.Verdict <= design.Tight) && d.Verdict != was.Verdict {
				t.Errorf("%s\ntypical figures times %g bring %s to %s", s, by, was.Verdict, d.Verdict)
			}
			for i := range d.Checks {
				c := &d.Checks[i]
				if k := checkOf(was, c.ID, c.Stage); k == nil || (k.Verdict <= design.Tight || c.Verdict <= design.Tight) && k.Verdict != c.Verdict {
					t.Errorf("%s\ntypical figures times %g:\n%s\n%s", s, by, toldCheck(k), toldCheck(c))
				}
			}
		}
		for _, fig := range figs {
			fig.Scale(1)
		}
	})
}
