package topology

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/load"
	q "example.org/pinhoist/internal/quantity"
)

// bench is a run on the embedded catalogue with a job given as text.
type bench struct {
	env *Env
	m   *load.Model
}

func newBench(t testing.TB, text string) bench {
	t.Helper()
	cat, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	return benchOn(t, cat, text)
}

func benchOn(t testing.TB, cat *catalog.Catalog, text string) bench {
	t.Helper()
	spec, errs := job.Decode("test.toml", []byte("schema = 1\n"+text))
	if errs.Fatal() {
		t.Fatal(errs)
	}
	j, errs := job.Resolve(spec)
	if errs.Fatal() {
		t.Fatal(errs)
	}
	pol, err := catalog.PolicyByName("bench")
	if err != nil {
		t.Fatal(err)
	}
	e := NewEnv(j, cat, pol)
	e.Driver = func(m *load.Model) *design.Design { return e.givenDriver(m, &Given{}) }
	return bench{env: e, m: e.Model(&j.Loads[0])}
}

func relayByID(t testing.TB, id string) *catalog.Relay {
	t.Helper()
	cat, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	p, ok := cat.Part(id)
	if !ok {
		t.Fatalf("no relay %s", id)
	}
	return catalog.Clone(p).(*catalog.Relay)
}

func (b bench) design(r *catalog.Relay, given *Given) *design.Design {
	d := new(design.Design)
	if given == nil {
		given = &Given{}
	}
	relay{}.Design(b.env, b.m, r, given, d)
	return d
}

func find(d *design.Design, id design.CheckID, stage design.Stage) *design.Check {
	for i := range d.Checks {
		if d.Checks[i].ID == id && d.Checks[i].Stage == stage {
			return &d.Checks[i]
		}
	}
	return nil
}

func show(d *design.Design) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s %s headroom %+v cost %+v\n", d.Key(), d.Verdict, d.Headroom, d.Cost)
	for i := range d.Checks {
		c := &d.Checks[i]
		fmt.Fprintf(&b, "  %-7s %-20s %-9s stress %+v rating %+v est %+v/%+v headroom %+v %s %v\n", c.Stage, c.ID, c.Verdict, c.Stress, c.Rating, c.StressEstimate, c.RatingEstimate, c.Headroom, c.Because, c.Figures())
	}
	for _, n := range d.NA {
		fmt.Fprintf(&b, "  n/a %s %s: %s\n", n.Stage, n.ID, n.Why)
	}
	for _, v := range d.Values {
		fmt.Fprintf(&b, "  %s = %g %s\n", v.Key, v.V, v.Unit)
	}
	for _, e := range d.Elements {
		fmt.Fprintf(&b, "  %s %s %s %s %v\n", e.Ref, e.Role, e.Kind, e.Part, e.Nodes)
	}
	for _, l := range d.BOM {
		fmt.Fprintf(&b, "  bom %+v\n", l)
	}
	fmt.Fprintf(&b, "  cautions %v\n", d.Cautions)
	return b.String()
}

const vent = `
[[rail]]
name = "bench"
voltage = "12 V"
tolerance = "10 %"
current_max = "3 A"
[[load]]
name = "vent latch"
kind = "solenoid"
rail = "bench"
current = "0.8 A"
inductance = "60 mH"
release_within = "40 ms"
mechanical_release_time = "2 ms"
`

func TestRelayLook(t *testing.T) {
	b := newBench(t, vent)
	for _, id := range []string{"rl-5v-10a", "rl-12v-10a"} {
		t.Log(show(b.design(relayByID(t, id), nil)))
	}
	_ = math.Pi
	_ = q.Volt(0)
}
