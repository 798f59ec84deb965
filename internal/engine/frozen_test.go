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
	spec, j, errs := job.Read("motor.toml", []byte(reversedMotor))
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
	stages, fit := 0, 0
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
	if fit == 0 {
		t.Errorf("none of %d stages fits: the test shows little", stages)
	}
}
