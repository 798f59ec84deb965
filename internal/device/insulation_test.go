package device

import (
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/job"
	q "example.org/pinhoist/internal/quantity"
)

// Source of all rows: public study notes that transcribe IEC 60664-1:2020, Tables
// F.1, F.2 and F.5, and the design note of an open board-layout library that
// quotes the same tables.
func TestImpulsePublished(t *testing.T) {
	for _, tc := range []struct {
		id, how  string
		v        float64
		category string
		want     float64
	}{
		{"I01", "READ", 300, "I", 1500}, {"I01", "READ", 300, "II", 2500}, {"I01", "READ", 300, "III", 4000}, {"I01", "READ", 300, "IV", 6000},
		{"I01", "READ", 230, "II", 2500},
		{"I02", "READ", 50, "II", 500}, {"I02", "READ", 50, "III", 800}, {"I02", "READ", 100, "II", 800}, {"I02", "READ", 100, "III", 1500},
		{"I02", "READ", 150, "II", 1500}, {"I02", "READ", 150, "III", 2500},
	} {
		wantNumber(t, tc.id+" category "+tc.category, ImpulseVoltage(tc.v, tc.category, 0), tc.want, 0)
	}
	wantNumber(t, "no such category", ImpulseVoltage(230, "V", 0), none, 0)
	wantNumber(t, "past the table", ImpulseVoltage(1001, "II", 0), none, 0)
}

func TestClearancePublished(t *testing.T) {
	for _, tc := range []struct{ kv, mm float64 }{{0.8, 0.2}, {1.5, 0.5}, {2.5, 1.5}, {4, 3}, {6, 5.5}, {8, 8}} { // I03, READ
		wantNumber(t, "I03", Clearance(tc.kv*1000, 2), tc.mm/1000, 1e-12)
	}
	wantNumber(t, "pollution degree 4", Clearance(2500, 4), none, 0)
}

func TestCreepagePublished(t *testing.T) {
	for _, tc := range []struct {
		id, group string
		v, mm     float64
	}{
		{"I04", "IIIa", 50, 1.20}, {"I04", "IIIa", 100, 1.40}, {"I04", "IIIa", 125, 1.50}, {"I04", "IIIa", 160, 1.60},
		{"I04", "IIIa", 200, 2.00}, {"I04", "IIIa", 250, 2.50}, {"I04", "IIIa", 320, 3.20}, {"I04", "IIIa", 400, 4.00},
		{"I05", "I", 50, 0.60}, {"I05", "I", 100, 0.71}, {"I05", "I", 250, 1.25}, {"I05", "I", 400, 2.00},
		{"I05", "II", 50, 0.85}, {"I05", "II", 100, 1.00}, {"I05", "II", 250, 1.80}, {"I05", "II", 400, 2.80},
		{"next row up", "IIIa", 230, 2.50},
	} {
		wantNumber(t, tc.id+" group "+tc.group, Creepage(tc.v, 2, tc.group), tc.mm/1000, 1e-12)
	}
	wantNumber(t, "no such group", Creepage(230, 2, "IV"), none, 0)
}

func TestInsulationPublished(t *testing.T) {
	for _, tc := range []struct {
		id, how             string
		category            string
		grade               job.Insulation
		impulse             float64
		clearance, creepage float64 // mm
	}{
		{"I06", "READ", "II", job.InsulationBasic, 2500, 1.5, 2.5},
		{"I07", "DERIVED from I01, I03, I04", "III", job.InsulationBasic, 4000, 3.0, 3.0},
		{"I09", "READ + DERIVED", "II", job.InsulationReinforced, 4000, 3.0, 5.0},
		{"I09", "READ + DERIVED", "III", job.InsulationReinforced, 6000, 5.5, 5.5},
	} {
		d := InsulationFor(230, tc.category, 2, "IIIa", tc.grade)
		wantNumber(t, tc.id+" impulse", d.Impulse, tc.impulse, 0)
		wantNumber(t, tc.id+" clearance", d.Clearance, tc.clearance/1000, 1e-12)
		wantNumber(t, tc.id+" creepage", d.Creepage, tc.creepage/1000, 1e-12)
	}
}

// The tables rise down every column and from group I to III.
func TestInsulationTablesRise(t *testing.T) {
	for k := 1; k < len(creepageRows); k++ {
		a, b := &creepageRows[k-1], &creepageRows[k]
		for g := range 3 {
			if b.v <= a.v || b.pd1 < a.pd1 || b.pd2[g] < a.pd2[g] || b.pd3[g] < a.pd3[g] || b.pd2[g] < b.pd1 || b.pd3[g] < b.pd2[g] ||
				g > 0 && (b.pd2[g] < b.pd2[g-1] || b.pd3[g] < b.pd3[g-1]) {
				t.Errorf("creepage row %g V, group %d", b.v, g+1)
			}
		}
	}
	for k := 1; k < len(clearanceRows); k++ {
		for p := range 3 {
			if clearanceRows[k].v <= clearanceRows[k-1].v || clearanceRows[k].mm[p] < clearanceRows[k-1].mm[p] {
				t.Errorf("clearance row %g V", clearanceRows[k].v)
			}
		}
	}
	for k := range impulseRows {
		for c := range 4 {
			found := false
			for _, s := range impulseSteps {
				found = found || s == impulseRows[k].impulse[c]
			}
			if !found || c > 0 && impulseRows[k].impulse[c] <= impulseRows[k].impulse[c-1] {
				t.Errorf("impulse row %g V", impulseRows[k].v)
			}
		}
	}
}

func TestWorstInsulation(t *testing.T) {
	need := InsulationFor(230, "II", 2, "IIIa", job.InsulationReinforced) // 4 kV, 3 mm, 5 mm
	full := catalog.Isolation{Insulation: "reinforced", VWorking: q.Some(q.Volt(250)), VImpulse: q.Some(q.Volt(8000)),
		Clearance: q.Some(q.Metre(8e-3)), Creepage: q.Some(q.Metre(8e-3)), VDielectric: q.Some(q.Volt(4000))}
	narrow := full
	narrow.Creepage = q.Some(q.Metre(4.9e-3))
	silent := full
	silent.VImpulse = q.None[q.Volt]()
	weak := full
	weak.Insulation = "basic"
	bare := catalog.Isolation{Insulation: "functional", VDielectric: q.Some(q.Volt(500))}
	for _, tc := range []struct {
		name  string
		i     *catalog.Isolation
		asked job.Insulation
		key   string
		have  design.Number
	}{
		{"all stated: the working voltage is nearest", &full, job.InsulationReinforced, "isolation.v_working_max", design.Known(250)},
		{"creepage short by 0.1 mm", &narrow, job.InsulationReinforced, "isolation.creepage", design.Known(4.9e-3)},
		{"one missing", &silent, job.InsulationReinforced, "isolation.v_impulse", design.Number{}},
		{"grade too low", &weak, job.InsulationReinforced, "isolation.insulation", design.Known(float64(job.InsulationBasic))},
		{"functional by dielectric alone", &bare, job.InsulationFunctional, "isolation.v_dielectric", design.Known(500)},
		{"nothing stated", nil, job.InsulationBasic, "isolation.v_working_max", design.Number{}},
	} {
		f := WorstInsulation(tc.i, tc.asked, need)
		if f.Key != tc.key || f.Have != tc.have {
			t.Errorf("%s: %+v", tc.name, f)
		}
	}
}
