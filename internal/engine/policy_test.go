package engine_test

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/job"
)

// TestRefusedByThePolicyAlone: the parts told are those, and all of those, that
// have a design that fits by the stated limits and none under the policy.
func TestRefusedByThePolicyAlone(t *testing.T) {
	ctx := context.Background()
	r := rand.New(rand.NewPCG(4, 8))
	none, err := catalog.PolicyByName("none")
	if err != nil {
		t.Fatal(err)
	}
	told := map[string]int{}
	for range max(10, engine.Trials()/8) {
		in, ok := engine.RandomInput(r)
		if !ok {
			continue
		}
		bare := *in
		bare.Policy = none
		free, err := engine.Assess(ctx, &bare, engine.Options{})
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range catalog.Policies() {
			with := *in
			with.Policy = p
			res, err := engine.Assess(ctx, &with, engine.Options{})
			if err != nil {
				t.Fatal(err)
			}
			got, err := engine.Refused(ctx, &with, res)
			if err != nil {
				t.Fatal(err)
			}
			for i := range res.Loads {
				want := without(fitting(&free.Loads[i]), fitting(&res.Loads[i]))
				at := slices.IndexFunc(got, func(f engine.Refusal) bool { return f.Load == res.Loads[i].Name })
				var parts []string
				if at >= 0 {
					parts = got[at].Parts
				}
				if !slices.Equal(parts, want) {
					t.Fatalf("policy %s refuses %v of %s, want %v", p.Name, parts, res.Loads[i].Name, want)
				}
				told[p.Name] += len(parts)
			}
		}
	}
	for _, p := range catalog.Policies() {
		if (told[p.Name] == 0) != (p == none) {
			t.Errorf("policy %s refused %d parts in all", p.Name, told[p.Name])
		}
	}
}

// fitting are the parts that have a design that fits, as built aside, sorted.
func fitting(l *engine.LoadResult) (parts []string) {
	for i := range l.Rows {
		if r := &l.Rows[i]; !r.Built && r.Verdict == design.Fits {
			parts = append(parts, r.Part)
		}
	}
	slices.Sort(parts)
	return slices.Compact(parts)
}

func without(all, these []string) (rest []string) {
	for _, s := range all {
		if !slices.Contains(these, s) {
			rest = append(rest, s)
		}
	}
	return rest
}

// TestRefusedAsBuilt: a stage as built that only the policy refuses is told so.
func TestRefusedAsBuilt(t *testing.T) {
	// 12 V +- 10 % with a diode is 14.5 V at most on a transistor for 16 V: within its
	// rating, beyond 80 % of it, 12.8 V.
	const text = `schema = 1
[[load]]
name = "latch"
kind = "resistive"
supply = "12 V"
supply_tolerance = "10 %"
current = "0.1 A"
[load.built]
topology = "n-mosfet-low"
part = "it"
`
	const part = `schema = 1
currency = "EUR"
[[mosfet]]
id = "it"
title = "16 V N-channel"
provenance = "made up for this test"
package = "TO-220"
channel = "n"
t_j_max = "150 C"
r_th_ja_max = "62 K/W"
r_th_jc_max = "3 K/W"
v_ds_max = "16 V"
v_gs_max = "12 V"
v_gs_th = { i_d = "250 uA", min = "1 V", typ = "1.5 V", max = "2 V" }
v_gs_th_slope_max = "4 mV/K"
r_ds_on = [{ v_gs = "4.5 V", i_d = "5 A", t_j = "25 C", max = "30 mohm" }]
r_ds_on_hot_max = { t_j = "150 C", factor = 1.8 }
i_d_case25_max = "20 A"
i_dss_max = [{ v_ds = "16 V", t_j = "125 C", max = "100 uA" }]
q_gd_max = "8 nC"
`
	sources, err := catalog.EmbeddedSources()
	if err != nil {
		t.Fatal(err)
	}
	cat, errs := catalog.Load(append(sources, catalog.Source{Name: "it.toml", Text: []byte(part)}))
	if errs.Fatal() {
		t.Fatal(errs)
	}
	spec, j, jerrs := job.Read("built.toml", []byte(text), engine.TopologyIDs()...)
	if jerrs.Fatal() {
		t.Fatal(jerrs)
	}
	for _, p := range catalog.Policies() {
		in := &engine.Input{Job: j, Spec: spec, Catalog: cat, Policy: p}
		res, err := engine.Assess(context.Background(), in, engine.Options{})
		if err != nil {
			t.Fatal(err)
		}
		got, err := engine.Refused(context.Background(), in, res)
		if err != nil {
			t.Fatal(err)
		}
		built := len(got) == 1 && got[0].Built
		if built != (p.Name != "none") {
			t.Errorf("policy %s: refused as built %v, row %+v", p.Name, built, res.Loads[0].Rows[0])
		}
	}
}

// TestPoliciesFromMemorySaySo: wherever a load is told, so is that the factors are
// from memory, with the table.
func TestPoliciesFromMemorySaySo(t *testing.T) {
	spec := job.Demo()
	j, errs := job.Resolve(spec)
	if errs.Fatal() {
		t.Fatal(errs)
	}
	cat, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range catalog.Policies() {
		res, err := engine.Assess(context.Background(), &engine.Input{Job: j, Spec: spec, Catalog: cat, Policy: p}, engine.Options{})
		if err != nil {
			t.Fatal(err)
		}
		if res.Note.FromMemory != p.FromMemory || res.Note.LookUp != p.LookUp {
			t.Errorf("%s: note %+v", p.Name, res.Note)
		}
		said := slices.ContainsFunc(res.Loads[0].Cautions, func(c job.Caution) bool {
			return c.ID == design.CautionMemory && strings.Contains(c.Text, p.LookUp)
		})
		if said != p.FromMemory {
			t.Errorf("%s: caution said %v, from memory %v", p.Name, said, p.FromMemory)
		}
	}
}

// TestFactorsReachTheirChecks: what is allowed of a rating is the policy's own
// factor of it, in every check that has a class.
func TestFactorsReachTheirChecks(t *testing.T) {
	spec := job.Demo()
	j, errs := job.Resolve(spec)
	if errs.Fatal() {
		t.Fatal(errs)
	}
	cat, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range catalog.Policies() {
		in := &engine.Input{Job: j, Spec: spec, Catalog: cat, Policy: p}
		seen := map[design.CheckID]bool{}
		for _, key := range []string{"n-60v-logic-b/n-mosfet-low", "npn-60v-3a-smd/npn-low", "rl-5v-10a/relay"} {
			d := detailOf(t, in, "vent latch/"+key).Design
			mosfet := d.Topology == "n-mosfet-low"
			for i := range d.Checks {
				c := &d.Checks[i]
				if c.Stage != design.StageSelf || !c.Rating.OK {
					continue
				}
				factor := map[design.CheckID]float64{design.OnCurrent: p.I, design.GateVoltage: p.VGate, design.BaseReverse: p.V, design.BlockingVoltage: p.V,
					design.ClampVoltage: p.DiodeVoltage(), design.ClampPower: p.P, design.ClampEnergy: p.Energy, design.ResistorPower: p.PResistor,
					design.ResistorVoltage: p.VResistor, design.ContactCurrent: p.IContact, design.ContactCarry: p.IContact, design.BaseDrive: 1 / p.Overdrive}[c.ID]
				if c.ID == design.BlockingVoltage && mosfet {
					factor = p.FETVoltage()
				}
				want := factor * c.Rating.V
				if c.ID == design.JunctionTemperature {
					want = c.Rating.V - p.JunctionBelow(c.Rating.V)
				} else if factor == 0 {
					continue
				}
				seen[c.ID] = true
				if math.Abs(c.Allowed.V-want) > 1e-9*math.Abs(want) {
					t.Errorf("policy %s: %s of %s allows %g of %g, want %g", p.Name, c.ID, key, c.Allowed.V, c.Rating.V, want)
				}
			}
		}
		for _, id := range []design.CheckID{design.OnCurrent, design.GateVoltage, design.BaseReverse, design.BlockingVoltage, design.ClampVoltage, design.ResistorPower,
			design.ResistorVoltage, design.ContactCurrent, design.ContactCarry, design.BaseDrive, design.JunctionTemperature} {
			if !seen[id] {
				t.Errorf("policy %s: %s was not looked at", p.Name, id)
			}
		}
	}
}
