package engine_test

import (
	"context"
	"math/rand/v2"
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/job"
)

// TestEveryDesignDrawsItsLoad: the total of a rail is a sum over what the designs
// say that they draw, so each says at least the current of its load, whatever its
// topology: what a pin sources itself counts as the pin's.
func TestEveryDesignDrawsItsLoad(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 7))
	seen := map[string]int{}
	for range engine.Trials() {
		in, ok := engine.RandomInput(r)
		if !ok {
			continue
		}
		res, err := engine.Assess(context.Background(), in, engine.Options{})
		if err != nil {
			t.Fatal(err)
		}
		env := engine.EnvFor(in, true)
		for i := range res.Loads {
			l := &in.Job.Loads[0]
			for k := range in.Job.Loads {
				if in.Job.Loads[k].Name == res.Loads[i].Name {
					l = &in.Job.Loads[k]
				}
			}
			m := env.Model(l)
			for n := range res.Loads[i].Rows {
				row := &res.Loads[i].Rows[n]
				sum := 0.0
				for _, d := range row.Draws {
					if d.Rail == l.Rail.Name {
						sum += d.A
					}
				}
				if l.Rail.IsPin {
					sum += row.PinSource
				}
				if !design.AtMost(m.IMax, sum) && row.Verdict == design.Fits {
					t.Fatalf("%s draws %g A of its load's %g A", row.Key, sum, m.IMax)
				}
				seen[row.Topology]++
			}
		}
	}
	t.Log(seen)
	for _, id := range engine.TopologyIDs() {
		if id == "relay" && seen[id] == 0 {
			t.Errorf("no design of %s was looked at", id)
		}
	}
}

// A load that asks for three stages pays for three of every part, whatever its
// topology: the coil driver of a relay too. A part that serves several stages at
// once (an array) may be bought less often.
func TestQuantityCountsEveryPart(t *testing.T) {
	for _, l := range [][]string{{"resistive", ""}, {"solenoid", "inductance = \"60 mH\"\n"}} {
		spec, errs := job.Decode("three.toml", []byte("schema = 1\n[[rail]]\nname = \"main\"\nvoltage = \"12 V\"\n[[load]]\nname = \"it\"\nquantity = 3\nkind = \""+l[0]+
			"\"\nrail = \"main\"\ncurrent = \"0.3 A\"\n"+l[1]))
		j, more := job.Resolve(spec)
		cat, err := catalog.Embedded()
		if errs.Fatal() || more.Fatal() || err != nil {
			t.Fatal(errs, more, err)
		}
		pol, err := catalog.PolicyByName("bench")
		if err != nil {
			t.Fatal(err)
		}
		in := &engine.Input{Job: j, Spec: spec, Catalog: cat, Policy: pol}
		res, err := engine.Assess(t.Context(), in, engine.Options{})
		if err != nil {
			t.Fatal(err)
		}
		seen := map[string]bool{}
		for i := range res.Loads[0].Rows {
			r := &res.Loads[0].Rows[i]
			if r.Kind == catalog.KindArray || seen[r.Topology] {
				continue
			}
			seen[r.Topology] = true
			for _, line := range detailOf(t, in, r.Key).Design.BOM {
				if p, ok := in.Catalog.Part(line.Part); ok && p.Kind() == catalog.KindArray {
					continue
				}
				if line.Count%3 != 0 || line.Count == 0 {
					t.Errorf("%s: %d of %s %s", r.Key, line.Count, line.Ref, line.Part)
				}
			}
		}
		if len(seen) < 4 {
			t.Errorf("only %v were tried", seen)
		}
	}
}
