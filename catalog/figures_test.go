package catalog

import (
	"math"
	"reflect"
	"slices"
	"testing"

	q "example.org/pinhoist/internal/quantity"
)

func names(fs []Figure) []string {
	var out []string
	for _, f := range fs {
		out = append(out, f.Name)
	}
	return out
}

func figure(t *testing.T, fs []Figure, name string) Figure {
	t.Helper()
	for _, f := range fs {
		if f.Name == name {
			return f
		}
	}
	t.Fatalf("no figure %s in %v", name, names(fs))
	return Figure{}
}

func sample(t *testing.T, id string) Part {
	t.Helper()
	p, ok := samples(t).Part(id)
	if !ok {
		t.Fatalf("no sample %s", id)
	}
	return p
}

func TestFigureNames(t *testing.T) {
	// Read off the sample files by hand.
	want := map[string][]string{
		"sample-n-logic": {"t_j_max", "r_th_ja_max", "r_th_jc_max", "foster_jc.r", "foster_jc.tau", "v_ds_max", "v_gs_max",
			"v_gs_th.min", "v_gs_th.max", "v_gs_th_slope_max", "r_ds_on.max", "r_ds_on_hot_max.factor", "i_d_case25_max",
			"i_d_ambient25_max", "i_dm_max", "i_dss_max.max", "i_gss_max", "q_g_max.q", "q_gd_max", "q_gs_max", "c_oss_max",
			"r_gate_internal_max", "body_diode_max.v_sd", "body_diode_max.t_rr", "body_diode_max.q_rr",
			"avalanche_max.e_as", "avalanche_max.i_as", "e_ar_max", "soa.points.i"},
		"sample-rl-reed": {"r_coil.tolerance", "must_operate_max", "must_release_min", "ambient.min", "ambient.max",
			"no.i_carry_max", "no.v_dc_max", "no.dc.i"},
		"sample-mod-relay": {"i_together_max.i", "v_supply.min", "v_supply.max", "i_supply_max", "i_in_on.min", "i_in_off_max",
			"v_in_drop.min", "v_in_drop.max", "r_in.min", "r_in.max", "relay.r_coil.tolerance", "relay.must_operate_max",
			"relay.must_release_min", "relay.ambient.min", "relay.ambient.max", "relay.isolation.v_dielectric",
			"relay.no.i_carry_max", "relay.no.v_ac_max", "relay.no.v_dc_max", "relay.no.ac.i", "relay.no.dc.i"},
	}
	for id, w := range want {
		if got := names(Figures(sample(t, id))); !slices.Equal(got, w) {
			t.Errorf("%s:\ngot  %v\nwant %v", id, got, w)
		}
	}
	wantTyp := []string{"v_gs_th.typ", "r_ds_on.typ", "charge_typ.q_g", "charge_typ.q_gd", "charge_typ.q_gs",
		"charge_typ.v_plateau", "capacitance_typ.c_iss", "capacitance_typ.c_oss", "capacitance_typ.c_rss"}
	if got := names(Typicals(sample(t, "sample-n-logic"))); !slices.Equal(got, wantTyp) {
		t.Errorf("typical: got %v, want %v", got, wantTyp)
	}
}

func TestFigureDirectionAndCondition(t *testing.T) {
	for _, tc := range []struct {
		id, name  string
		more      bool
		value     float64
		unit      string
		condition string
	}{
		{"sample-n-logic", "r_ds_on.max", true, 32e-3, "ohm", "stated at 4.5 V or less"},
		{"sample-n-logic", "v_ds_max", false, 60, "V", ""},
		{"sample-n-logic", "t_j_max", false, 150, "degC", ""},
		{"sample-n-logic", "soa.points.i", false, 60, "A", "stated at 100 us, 10 V"},
		{"sample-n-logic", "i_dss_max.max", true, 1e-6, "A", "stated at 60 V or more"},
		{"sample-npn", "v_ce_sat.max", true, 0.6, "V", "stated at 500 mA, 25 mA"},
		{"sample-npn", "h_fe.min", false, 60, "1", "stated at 100 mA, 1 V, 25 C"},
		{"sample-rl-5v", "life_mechanical_min", false, 1e7, "1", ""},
		{"sample-rl-5v", "no.dc.i", false, 10, "A", "stated at 30 V, DC-1"},
		{"sample-rl-5v", "no.rate_max", false, 600.0 / 3600, "/s", ""},
		{"sample-rl-5v", "v_coil_max.max", false, 1.3, "1", "stated at 40 C or more"},
		{"sample-mod-relay", "v_supply.min", true, 4.75, "V", ""},
	} {
		f := figure(t, Figures(sample(t, tc.id)), tc.name)
		if f.WorseMore != tc.more || math.Abs(f.Get()-tc.value) > 1e-12 || f.Unit != tc.unit || f.Condition(0) != tc.condition {
			t.Errorf("%s %s: worse more %v, %g %s, %q; want %v, %g %s, %q", tc.id, tc.name,
				f.WorseMore, f.Get(), f.Unit, f.Condition(0), tc.more, tc.value, tc.unit, tc.condition)
		}
	}
}

func TestScaleAndDelete(t *testing.T) {
	for _, p := range samples(t).Parts() {
		original := Clone(p)
		work := Clone(p)
		all := append(Figures(work), Typicals(work)...)
		seen := map[string]bool{}
		for _, f := range all {
			id := p.Base().ID + " " + f.Name
			if seen[f.Name] {
				t.Errorf("%s is listed twice", id)
			}
			seen[f.Name] = true
			before := make([]float64, f.Len())
			for i := range before {
				before[i] = f.At(i)
			}
			f.Scale(1.25)
			for i, b := range before {
				want := b * 1.25
				if f.Unit == "degC" {
					want = (b+273.15)*1.25 - 273.15
				}
				if math.Abs(f.At(i)-want) > 1e-9*math.Abs(want) {
					t.Errorf("%s: point %d is %g after Scale(1.25), want %g", id, i, f.At(i), want)
				}
			}
			if before[0] != 0 && reflect.DeepEqual(work, original) {
				t.Errorf("%s: Scale did not reach the part", id)
			}
			f.Scale(1)
			if !reflect.DeepEqual(work, original) {
				t.Errorf("%s: Scale(1) does not restore the part", id)
			}
			f.Delete()
			if f.Known() || !math.IsNaN(f.Get()) {
				t.Errorf("%s is still there after Delete", id)
			}
			if slices.Contains(names(append(Figures(work), Typicals(work)...)), f.Name) {
				t.Errorf("%s is still listed after Delete", id)
			}
			f.Scale(1)
			if !reflect.DeepEqual(work, original) {
				t.Errorf("%s: Scale(1) after Delete does not restore the part", id)
			}
		}
		if !reflect.DeepEqual(p, original) {
			t.Errorf("%s: work on a clone changed the original", p.Base().ID)
		}
	}
}

// TestDeleteBreaksNoRule proves that what is left after Delete is a sound part:
// read back as a part of one's own, nothing is wrong with it but keys that even
// such a part needs.
func TestDeleteBreaksNoRule(t *testing.T) {
	for _, p := range samples(t).Parts() {
		for i := range Figures(p) {
			work := Clone(p)
			f := Figures(work)[i]
			f.Delete()
			_, errs := Load([]Source{packageText(t), {Name: "own.toml", Text: Encode(work)}})
			for _, e := range errs {
				if e.Found != "nothing" {
					t.Errorf("%s without %s: %v", p.Base().ID, f.Name, e)
				}
			}
		}
	}
}

func TestScaleDoesNotAllocate(t *testing.T) {
	for _, p := range samples(t).Parts() {
		for _, f := range Figures(Clone(p)) {
			if n := testing.AllocsPerRun(20, func() { f.Delete(); f.Scale(0.9); f.Scale(1) }); n != 0 {
				t.Errorf("%s %s: %g allocations", p.Base().ID, f.Name, n)
			}
		}
	}
}

func TestCloneSharesNothing(t *testing.T) {
	p := sample(t, "sample-rl-5v").(*Relay)
	c := Clone(p).(*Relay)
	c.NO.DC[0].I = q.Some(q.Amp(1))
	c.RCoil.Nominal = q.Some(q.Ohm(1))
	*c.LifeMech = 1
	c.Price.Amount = 9
	if !reflect.DeepEqual(p, sample(t, "sample-rl-5v")) {
		t.Error("changing the clone changed the original")
	}
}

func BenchmarkFigures(b *testing.B) {
	p, _ := samples(b).Part("sample-n-logic")
	for b.Loop() {
		Figures(p)
	}
}

func BenchmarkClone(b *testing.B) {
	p, _ := samples(b).Part("sample-n-logic")
	for b.Loop() {
		Clone(p)
	}
}
