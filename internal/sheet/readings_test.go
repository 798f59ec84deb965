package sheet

import (
	"slices"
	"strings"
	"testing"

	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/job"
)

// Readings are bounds of what holds: there are none of a design that is not proven, on AC
// or on a rail that hurts, and each is rounded to its safe side.
func TestReadings(t *testing.T) {
	j := func() *job.Job {
		return &job.Job{Loads: []job.Load{{Name: "latch", Rail: job.Rail{Nom: 12, Min: 10.8, Max: 13.2}}}}
	}
	det := func(v design.Verdict) *engine.Detailed {
		return &engine.Detailed{Design: &design.Design{Load: "latch", Verdict: v, Values: []design.Value{
			{Key: design.VGateDrive, V: 4.67891, Unit: design.V}, {Key: design.VOn, V: 0.0648301, Unit: design.V}, {Key: design.IOff, V: 24.2611e-6, Unit: design.A}}}}
	}
	want := []string{"10.8 V to 13.2 V", "at least 4.678 V", "at most 64.84 mV, on a supply of 10.8 V", "at most 24.27 uA"}
	var got []string
	for _, f := range readings(j(), det(design.Fits)) {
		if !strings.Contains(f.Label, "load on, through it") {
			got = append(got, f.Text)
		}
	}
	if !slices.Equal(got, want) {
		t.Errorf("got %q", got)
	}
	for name, none := range map[string][]Fact{
		"unproven": readings(j(), det(design.Unproven)), "over": readings(j(), det(design.Over)),
		"no job": readings(nil, det(design.Fits)), "no design": readings(j(), nil),
		"AC":        readings(&job.Job{Loads: []job.Load{{Name: "latch", Rail: job.Rail{Nom: 24, AC: true}}}}, det(design.Fits)),
		"hazardous": readings(&job.Job{Loads: []job.Load{{Name: "latch", Rail: job.Rail{Nom: 110, Hazardous: true}}}}, det(design.Fits)),
		"another":   readings(&job.Job{Loads: []job.Load{{Name: "pump"}}}, det(design.Fits)),
	} {
		if none != nil {
			t.Errorf("%s: %v", name, none)
		}
	}
}
