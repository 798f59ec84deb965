package job_test

import (
	"testing"

	"example.org/pinhoist/internal/job"
)

func TestBuiltInJobsAreSound(t *testing.T) {
	seen := map[string]bool{}
	for _, b := range job.BuiltIns() {
		if b.Name == "" || b.Spec.Title == "" || seen[b.Name] || seen[b.Spec.Title] {
			t.Errorf("%q, %q: no name or title of its own", b.Name, b.Spec.Title)
		}
		seen[b.Name], seen[b.Spec.Title] = true, true
		if _, _, errs := job.Read(b.Name, b.Text); len(errs) > 0 { // warnings too
			t.Errorf("%s: %v", b.Name, errs)
		}
	}
	if len(seen) < 2*5 {
		t.Errorf("only %d built-in jobs", len(seen)/2)
	}
}

// A blank job lacks the load's figures and nothing else.
func TestBlankJobAsksForTheLoad(t *testing.T) {
	_, errs := job.Resolve(job.Blank())
	if len(errs) == 0 {
		t.Fatal("a blank job is complete")
	}
	for _, e := range errs {
		if e.Warning || e.Key != "load[0].current" && e.Key != "load[0].supply" && e.Key != "load[0].rail" {
			t.Errorf("%v", e)
		}
	}
}
