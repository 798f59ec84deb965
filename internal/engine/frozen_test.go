package engine_test

import (
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/topology"
)

// A motor that needs a heat sink at the highest rail and none at the lowest.
const reversedMotor = `
[pin]
supply = "3.3 V"
supply_tolerance = "10 %"
at_reset = "pull-up"
[environment]
ambient_max = "38 C"
[[rail]]
name = "main"
voltage = "24 V"
tolerance = "10.6 %"
[[load]]
name = "it"
kind = "motor"
rail = "main"
current = "45 mA"
tolerance = "25 %"
inductance = "2.6 H"
stall_current = "330 mA"
mode = "pwm"
pwm_frequency = "9 Hz"
duty_max = "75 %"
duty_enforced = "hardware"
reversing = true
`

// Every stage that is made again as it stands comes to the same verdicts: what was
// chosen is all held, also at the end of a rail where less would do.
func TestStagesAsTheyStandKeepTheirVerdicts(t *testing.T) {
	stages, fit := 0, 0
	// A jam of half a second, and one that nothing ends, in whose heat hardly any fits.
	for _, text := range []string{reversedMotor, reversedMotor + "stall_time = \"0.5 s\"\n"} {
		n, ok := keepsVerdicts(t, text)
		stages, fit = stages+n, fit+ok
	}
	if stages < 100 || fit == 0 {
		t.Errorf("%d of %d stages fit: the test shows little", fit, stages)
	}
}

// keepsVerdicts makes every stage of a job again as it stands: how many there are, and
// how many of them fit.
func keepsVerdicts(t *testing.T, text string) (stages, fit int) {
	t.Helper()
	spec, j, errs := job.Read("motor.toml", []byte(text))
	if errs.Fatal() {
		t.Fatal(errs)
	}
	pol, err := catalog.PolicyByName("bench")
	if err != nil {
		t.Fatal(err)
	}
	in := &engine.Input{Job: j, Spec: spec, Catalog: embedded(t), Policy: pol}
	env := engine.EnvFor(in, false)
	m := env.Model(&in.Job.Loads[0])
	for _, sw := range in.Catalog.Switches() {
		for _, topo := range topology.All() {
			if topo.Serves(env, m, sw) != "" {
				continue
			}
			d, again := new(design.Design), new(design.Design)
			topo.Design(env, m, sw, &topology.Given{}, d)
			topo.Design(env, m, sw, topology.Freeze(d), again)
			stages++
			if d.Verdict == design.Fits {
				fit++
			}
			for i := range d.Checks {
				c := &d.Checks[i]
				if k := checkOf(again, c.ID, c.Stage); k == nil || k.Verdict != c.Verdict {
					t.Errorf("%s\nchosen: %s\nfrozen: %s", d.Key(), toldCheck(c), toldCheck(k))
				}
			}
		}
	}
	return stages, fit
}
