package engine_test

import (
	"context"
	"slices"
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/job"
)

// A MOSFET that is stated at 10 V alone is not proven on a pin of 5 V: between its
// threshold and 10 V nobody guarantees anything. With a line at 4.5 V it is.
func TestOwnPartStatedAtTenVolts(t *testing.T) {
	base, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	d := catalog.NewDraft(catalog.KindMOSFET)
	for key, text := range map[string]string{"id": "drawer-10v", "channel": "n", "v_ds_max": "60 V", "v_gs_max": "20 V", "i_d_case25_max": "30 A",
		"v_gs_th.min": "2 V", "v_gs_th.max": "4 V", "v_gs_th.i_d": "250 uA", "r_ds_on[0].v_gs": "10 V", "r_ds_on[0].i_d": "15 A", "r_ds_on[0].max": "40 mohm"} {
		d.Texts[key] = text
	}
	ask := func() *engine.Own {
		cat, errs := catalog.Extend(base, catalog.Source{Name: "own", Text: d.File(base.Currency)})
		if cat == nil {
			t.Fatal(errs)
		}
		policy, _ := catalog.PolicyByName("bench")
		spec, j, jerrs := job.Read("demo", job.DemoText())
		if jerrs.Fatal() {
			t.Fatal(jerrs)
		}
		own, err := engine.AssessOwn(context.Background(), &engine.Input{Job: j, Spec: spec, Catalog: cat, Policy: policy}, j.Loads[0].Name, d.ID())
		if err != nil || own.Best == nil {
			t.Fatalf("%+v, %v", own, err)
		}
		return own
	}
	low := func(own *engine.Own) *engine.Row {
		i := slices.IndexFunc(own.Rows, func(r *engine.Row) bool { return r.Topology == "n-mosfet-low" })
		return own.Rows[i]
	}
	if r := low(ask()); r.Verdict != design.Unproven && r.Verdict != design.Over {
		t.Errorf("stated at 10 V alone it is %v on a pin of 5 V", r.Verdict)
	}
	own := ask()
	if own.Place < 1 || own.Load.Rows[own.Place-1].Part != "drawer-10v" || len(own.Best.Missing) == 0 {
		t.Errorf("place %d, missing %v", own.Place, own.Best.Missing)
	}
	for key, text := range map[string]string{"r_ds_on[1].v_gs": "4.5 V", "r_ds_on[1].i_d": "10 A", "r_ds_on[1].max": "55 mohm", "v_gs_th.min": "1 V", "v_gs_th.max": "2.5 V",
		"q_gd_max": "6 nC", "i_dss_max[0].v_ds": "60 V", "i_dss_max[0].t_j": "150 C", "i_dss_max[0].max": "250 uA", "t_j_max": "175 C", "r_th_jc_max": "2.5 K/W", "r_th_ja_max": "62 K/W",
		"soa[0].t": "10 ms", "soa[0].points[0].v": "1.4 V", "soa[0].points[0].i": "20 A", "soa[0].points[1].v": "60 V", "soa[0].points[1].i": "0.4 A", "package": "TO-220"} {
		d.Texts[key] = text
	}
	if r := low(ask()); r.Verdict != design.Fits {
		t.Errorf("with all its figures it is %v, limited by %+v", r.Verdict, r.Limiting)
	}
}
