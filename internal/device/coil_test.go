package device

import (
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/copper"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/job"
	q "example.org/pinhoist/internal/quantity"
)

func coilOf(v, r, tref, tol, operate, release float64) *catalog.Relay {
	return &catalog.Relay{VCoil: q.Some(q.Volt(v)), MustOperate: q.Some(q.Ratio(operate)), MustRelease: q.Some(q.Ratio(release)),
		RCoil: &catalog.CoilResistance{T: q.Some(q.Celsius(tref)), Nominal: q.Some(q.Ohm(r)), Tolerance: q.Some(q.Ratio(tol))}}
}

func TestCoilCopperPublished(t *testing.T) {
	for _, tc := range []struct {
		name, source, how string
		r                 *catalog.Relay
		t                 float64
		resistance        float64
		pickup            float64
		rel               float64
	}{
		{"C02, C03", "Relay News, coil resistance and pick-up, Babcock", "READ + DERIVED", coilOf(13, 320, 25, 0, 1, 0), 125, 443.3, 18.0, 0.002},
		{"C04 at 85 C", "High Voltage Relay Application Notes, Kilovac", "READ + DERIVED", coilOf(16, 100, 25, 0, 1, 0), 85, none, 19.7, 0.003},
		{"C04 at 100 C", "High Voltage Relay Application Notes, Kilovac", "READ + DERIVED", coilOf(16, 100, 25, 0, 1, 0), 100, none, 20.6, 0.003},
		{"C05 at -25 C", "High Voltage Relay Application Notes, Kilovac", "READ + DERIVED", coilOf(16, 100, 25, 0, 1, 0), -25, none, 12.9, 0.003},
		{"C07", "Temperature Considerations for DC Relays, TE Connectivity", "READ + DERIVED", coilOf(6.5, 90, 20, 0, 1, 0), 85, 113.0, 8.16, 0.003},
		{"C11 hot", "by hand: 3.75*(234.5 + 87.97)/257.5", "DERIVED", coilOf(5, 70, 23, 0, 0.75, 0.1), 87.97, none, 4.696, 0.001},
		{"C11 cold start at 60 C", "by hand: 3.75*294.5/257.5", "DERIVED", coilOf(5, 70, 23, 0, 0.75, 0.1), 60, none, 4.289, 0.001},
		{"C12", "by hand: 319.5/257.5 = 1.2408", "DERIVED", coilOf(1, 100, 23, 0, 1, 0), 85, 124.08, 1.2408, 0.0002},
		{"worked coil at 62.74 C", "by hand: 3.75*(234.5 + 62.74)/257.5", "DERIVED", coilOf(5, 70, 23, 0.1, 0.75, 0.1), 62.74, none, 4.329, 0.001},
	} {
		t.Run(tc.name, func(t *testing.T) {
			_, nominal, _ := CoilResistance(tc.r, tc.t)
			if tc.resistance == tc.resistance {
				wantNumber(t, "resistance", nominal, tc.resistance, tc.rel)
			}
			wantNumber(t, "pick-up", PickUp(tc.r, tc.t), tc.pickup, tc.rel)
		})
	}
	// C01: slope 1/(234.5 + t_ref) at three reference temperatures. Source: TE
	// Connectivity (20 C) and Kilovac (25 C), READ + DERIVED.
	for _, tc := range []struct{ tref, alpha float64 }{{20, 0.003929}, {23, 0.003883}, {25, 0.003854}} {
		if got := copper.Ratio(tc.tref+1, tc.tref) - 1; !near(got, tc.alpha, 0.0005) {
			t.Errorf("slope from %g C = %g, want %g", tc.tref, got, tc.alpha)
		}
	}
	// C06: a 20 V rail is enough at 85 C and not at 100 C (Kilovac).
	r := coilOf(16, 100, 25, 0, 1, 0)
	if !(PickUp(r, 85).V < 20 && PickUp(r, 100).V > 20) {
		t.Error("20 V must be enough at 85 C and not at 100 C")
	}
}

// Nominal currents and powers of published coils, at the coil's own temperature.
func TestCoilClasses(t *testing.T) {
	for _, tc := range []struct {
		name, source    string
		v, r, tol       float64
		current, power  float64
		operate, pickup float64
		rel             float64
	}{
		{"C15", "signal relay data sheet", 5, 167, 0.1, 29.9e-3, 0.150, 0.80, 4.0, 0.005},
		{"C16", "signal relay data sheet", 5, 125, 0.1, 40e-3, 0.200, 0.75, 3.75, 0.005},
		{"C17", "signal relay data sheet, cube guide", 5, 70, 0.1, 71.4e-3, 0.357, 0.75, 3.75, 0.005},
		{"C20", "automotive 25 A data sheet", 12, 75, 0, 160e-3, 1.92, 8.0 / 12, 8, 0.005},
		{"C21 a", "automotive 20 A list page", 12, 220, 0, 54.5e-3, 0.655, 0.65, 7.8, 0.005},
		{"C21 b", "automotive 20 A list page", 12, 160, 0, 75e-3, 0.900, 0.65, 7.8, 0.005},
		{"C22", "class figure, about 10 mA in a reference text", 5, 500, 0.1, 10e-3, 0.05, 0.75, 3.75, 0.005},
	} {
		t.Run(tc.name, func(t *testing.T) {
			r := coilOf(tc.v, tc.r, 23, tc.tol, tc.operate, 0.1)
			_, nominal, _ := CoilResistance(r, 23)
			if i := tc.v / nominal.V; !near(i, tc.current, tc.rel) || !near(tc.v*i, tc.power, tc.rel) {
				t.Errorf("%g A, %g W", i, tc.v*i)
			}
			wantNumber(t, "pick-up", PickUp(r, 23), tc.pickup, 1e-9)
		})
	}
	// C18: 83.3 mA from the highest rail and the least coil (by hand, DERIVED).
	least, _, _ := CoilResistance(coilOf(5, 70, 23, 0.1, 0.75, 0.1), 23)
	if i := 5.25 / least.V; !near(i, 83.3e-3, 0.001) {
		t.Errorf("C18: %g A", i)
	}
	// C22: 11.7 mA, so a 20 mA pin drives that reed alone.
	least, _, _ = CoilResistance(coilOf(5, 500, 23, 0.1, 0.75, 0.1), 23)
	if i := 5.25 / least.V; !near(i, 11.7e-3, 0.005) {
		t.Errorf("C22: %g A", i)
	}
	// C13: must operate at 80 % at most, must release at 10 % at least (technical
	// guide for general-purpose relays, Omron, READ).
	r := coilOf(24, 600, 23, 0.15, 0.8, 0.1)
	wantNumber(t, "C13 operate", PickUp(r, 23), 19.2, 1e-12)
	wantNumber(t, "C13 release", MustRelease(r), 2.4, 1e-12)
}

func TestCoilVoltageStairs(t *testing.T) {
	r := coilOf(12, 100, 23, 0.1, 0.75, 0.1)
	v, fb := CoilVoltageMax(r, 40)
	wantNumber(t, "bracket 105 %", v, 12.6, 1e-12)
	if !fb {
		t.Error("a bracket must say so")
	}
	r.VCoilMax = []catalog.CoilMaxPoint{{Ta: q.Some(q.Celsius(40)), Max: q.Some(q.Ratio(1.3))}, {Ta: q.Some(q.Celsius(70)), Max: q.Some(q.Ratio(1.1))}}
	for _, tc := range []struct{ ta, want float64 }{{25, 15.6}, {40, 15.6}, {40.1, 13.2}, {70, 13.2}, {71, none}} {
		v, fb := CoilVoltageMax(r, tc.ta)
		wantNumber(t, "stairs", v, tc.want, 1e-12)
		if fb {
			t.Error("stated, yet a fallback")
		}
	}
}

// The coil as a load must say the same as the relay: same resistance, same
// operate and release volts, whatever rail it hangs on.
func TestCoilLoad(t *testing.T) {
	r := coilOf(5, 70, 23, 0.1, 0.75, 0.1)
	r.LCoilMax, r.RthCoil = q.Some(q.Henry(0.1)), q.Some(q.KelvinPerWatt(60))
	r.TimeMax = &catalog.RelayTimes{Operate: q.Some(q.Second(10e-3)), Release: q.Some(q.Second(5e-3))}
	rail := job.Rail{Name: "six", Nom: 6, Min: 5.7, Max: 6.3, CommonPin: true}
	l := CoilLoad(r, &job.Load{Name: "fan", Mode: "on-off", Unpowered: "off"}, CoilDemand{Rail: rail, ReleaseWithin: design.Known(12e-3)})
	r20 := 70 * 254.5 / 257.5
	if l.Kind != job.Coil || !l.Inductive || l.Name != "fan" {
		t.Errorf("%+v", l)
	}
	for _, tc := range []struct {
		what      string
		got, want float64
	}{
		{"R at 20 C", float64(l.R.Value()), r20},
		{"current", float64(l.Current), 6 / r20},
		{"must operate, V at 23 C", float64(l.MustOperate.Value) * 6 * 257.5 / 254.5, 3.75},
		{"must release, V at 23 C", float64(l.MustRelease.Value) * 6 * 257.5 / 254.5, 0.5},
		{"release current of the least coil", float64(l.ReleaseCurrent.Value()), 0.5 / 63},
		{"off current of the greatest coil", float64(l.OffCurrent.Value), 0.5 / 77},
		{"L", float64(l.L.Value()), 0.1},
		{"r_th", float64(l.RthCoil.Value), 60},
		{"within", float64(l.ReleaseWithin.Value()), 12e-3},
		{"armature", float64(l.MechRelease.Value()), 5e-3},
	} {
		if !near(tc.got, tc.want, 1e-12) {
			t.Errorf("%s = %g, want %g", tc.what, tc.got, tc.want)
		}
	}
	r.RthCoil, r.LCoilMax, r.TimeMax = q.None[q.KelvinPerWatt](), q.None[q.Henry](), nil
	l = CoilLoad(r, &job.Load{}, CoilDemand{Rail: rail})
	if l.RthCoil.Known || l.L.Known() || l.MechRelease.Known() || l.ReleaseWithin.Known() {
		t.Error("a figure that the part does not state must stay unknown")
	}
}
