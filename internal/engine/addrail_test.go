package engine_test

import (
	"context"
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/job"
)

// A motor of 24 V whose stall no gate at 5 V bears: the answer names a rail with which
// something fits, and it does so once the job has it. With such a rail, or where something
// fits, none is named.
func TestRailThatHelps(t *testing.T) {
	const motor = "schema = 1\n[[rail]]\nname = \"v\"\nvoltage = \"24 V\"\n[[load]]\nname = \"m\"\nkind = \"motor\"\nrail = \"v\"\ncurrent = \"2 A\"\nwinding_resistance = \"1.5 ohm\"\ninductance = \"1 mH\"\nstall_time = \"2 s\"\nmode = \"pwm\"\npwm_frequency = \"1 kHz\"\n"
	cat, err := catalog.Embedded()
	if cat == nil {
		t.Fatal(err)
	}
	pol, err := catalog.PolicyByName("bench")
	if err != nil {
		t.Fatal(err)
	}
	answer := func(spec *job.Spec) (*engine.LoadResult, int) {
		j, errs := job.Resolve(spec)
		if errs.Fatal() {
			t.Fatal(errs)
		}
		res, err := engine.Assess(context.Background(), &engine.Input{Job: j, Spec: spec, Catalog: cat, Policy: pol}, engine.Options{})
		if err != nil {
			t.Fatal(err)
		}
		fits := 0
		for _, r := range res.Loads[0].Rows {
			if r.Verdict == design.Fits && r.Topology == "n-mosfet-boosted" {
				fits++
			}
		}
		return &res.Loads[0], fits
	}
	spec, errs := job.Decode("m.toml", []byte(motor))
	if errs.Fatal() {
		t.Fatal(errs)
	}
	before, fits := answer(spec)
	h := before.Helping
	if fits != 0 || h.Fits == 0 || h.Topology != "n-mosfet-boosted" || h.Field != "rail[1].voltage" {
		t.Fatalf("%d fit, helping %+v", fits, h)
	}
	with := job.Clone(spec)
	if err := job.Set(with, h.Field, h.To); err != nil {
		t.Fatal(err)
	}
	if after, n := answer(with); n != h.Fits || after.Helping.Fits != 0 {
		t.Errorf("with it %d fit, %d were promised; then helping %+v", n, h.Fits, after.Helping)
	}
	if res, _ := answer(job.Demo()); res.Helping != (engine.Helping{}) {
		t.Errorf("of a job that has designs: %+v", res.Helping)
	}
}
