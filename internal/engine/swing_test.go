package engine_test

import (
	"math"
	"testing"

	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/job"
)

// A coil that reads 15 ohm with 12 V on its label: 12/15 = 0.8 A. By hand, with copper
// as (234.5 + T)/(234.5 + 20), 10 % of tolerance, 12 V +- 5 % and air of 0 to 40 C:
// cold 15 x 0.9 x 234.5/254.5 = 12.439 ohm, 12.6 V over it 1.0129 A; hot, 80 K above
// 40 C, 15 x 1.1 x 354.5/254.5 = 22.983 ohm, 11.4 V over it 0.49602 A.
func TestSwingOfAMeasuredCoil(t *testing.T) {
	spec := job.Blank()
	for path, text := range map[string]string{"load[0].kind": "solenoid", "load[0].supply": "12 V", "load[0].resistance": "15 ohm"} {
		if err := job.Set(spec, path, text); err != nil {
			t.Fatal(err)
		}
	}
	j, errs := job.Resolve(spec)
	if errs.Fatal() {
		t.Fatal(errs)
	}
	s, ok := engine.SwingOf(j, 0)
	for what, v := range map[string][2]float64{"nominal": {s.Nominal, 0.8}, "most": {s.Most, 1.0129}, "least": {s.Least, 0.49602}, "cold": {s.TCold, 0}, "hot": {s.THot, 120}, "R": {s.R.V, 15}} {
		if !ok || math.Abs(v[0]-v[1]) > 1e-4*math.Max(v[1], 1) {
			t.Errorf("%s is %v, want %v", what, v[0], v[1])
		}
	}
}

// Whatever the kind, the nominal current lies between the ends, and the ends are those of
// the supply; what draws nothing by itself says so.
func TestSwingOfEveryKind(t *testing.T) {
	known := 0
	for _, info := range job.Kinds() {
		spec := &job.Spec{Rails: []job.RailSpec{{Name: "r"}}, Loads: []job.LoadSpec{{Name: "x", Kind: string(info.Kind), Rail: "r"}}}
		for path, text := range map[string]string{"rail[0].voltage": "24 V", "load[0].current": "1 A"} {
			if err := job.Set(spec, path, text); err != nil {
				t.Fatal(err)
			}
		}
		if info.AC {
			_ = job.Set(spec, "rail[0].frequency", "50 Hz")
		}
		if info.Kind == job.Capacitive {
			_ = job.Set(spec, "load[0].capacitance", "100 uF")
		}
		j, errs := job.Resolve(spec)
		if errs.Fatal() {
			t.Fatal(info.Kind, errs)
		}
		s, ok := engine.SwingOf(j, 0)
		if !ok {
			continue
		}
		known++
		if !(s.Least < s.Nominal && s.Nominal < s.Most) || s.VMost == s.VLeast || math.IsInf(s.Most, 0) {
			t.Errorf("%s: %+v", info.Kind, s)
		}
	}
	if want := len(job.Kinds()) - 3; known != want {
		t.Errorf("%d kinds swing, want %d", known, want)
	}
	if _, ok := engine.SwingOf(nil, 0); ok {
		t.Error("no job, and it swings")
	}
}

// A motor of 24 V, 5 % and 1.5 ohm, held: 25.2 V over 1.5 ohm less 10 %, and cold, 0 C by 20 C,
// 234.5/254.5 of that: 25.2/(1.35*0.92141) = 20.26 A. A resistance has no start.
func TestSwingTellsTheStart(t *testing.T) {
	for kind, want := range map[string]float64{"motor": 20.259, "resistive": 0} {
		spec := job.Blank()
		for _, set := range [][2]string{{"kind", kind}, {"supply", "24 V"}, {"current", "2 A"}} {
			if err := job.Set(spec, "load[0]."+set[0], set[1]); err != nil {
				t.Fatal(err)
			}
		}
		if kind == "motor" {
			if err := job.Set(spec, "load[0].winding_resistance", "1.5 ohm"); err != nil {
				t.Fatal(err)
			}
		}
		j, errs := job.Resolve(spec)
		if errs.Fatal() {
			t.Fatal(errs)
		}
		s, ok := engine.SwingOf(j, 0)
		if !ok || s.Start.OK != (want > 0) || math.Abs(s.Start.V-want) > 2e-3*want {
			t.Errorf("%s: start %+v, want %g", kind, s.Start, want)
		}
	}
}
