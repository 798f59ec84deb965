package catalog

import "testing"

// TestVaristorsPublished: a varistor for mains of 230 to 240 V, 14 mm, is 275 V AC, 387
// to 473 V at 1 mA, 710 V at 50 A, 4.5 kA once and 75 to 115 J (class figures, MEMORY).
// One for the mains is chosen with its voltage at 1 mA at least at the crest of what it
// stands (makers' terminology, READ: 10 % above the working crest).
func TestVaristorsPublished(t *testing.T) {
	c := embeddedCatalog(t)
	found := false
	for i := range c.MOVs {
		p := &c.MOVs[i]
		if p.VACMax.Value() != 275 || p.Package != "disc-14mm" {
			continue
		}
		found = true
		for _, f := range []struct {
			what            string
			got, least, top float64
		}{
			{"v_1ma.min", float64(p.V1mA.Min.Value()), 387, 390}, {"v_1ma.max", float64(p.V1mA.Max.Value()), 470, 473},
			{"v_c.max", float64(p.VC.Max.Value()), 710, 710}, {"v_c.i", float64(p.VC.I.Value()), 50, 50},
			{"e_max", float64(p.EMax.Value()), 75, 115}, {"i_surge_max", float64(p.ISurgeMax.Value()), 4500, 4500},
		} {
			if f.got < f.least || f.got > f.top {
				t.Errorf("%s: %s = %g, want %g to %g", p.ID, f.what, f.got, f.least, f.top)
			}
		}
	}
	if !found {
		t.Error("no varistor of 275 V and 14 mm")
	}
}

// TestCataloguesACHelpers counts what AC stages need of helpers.
func TestCataloguesACHelpers(t *testing.T) {
	c := embeddedCatalog(t)
	x2 := 0
	for i := range c.Capacitors {
		if c.Capacitors[i].SafetyClass == "X2" {
			x2++
		}
	}
	if x2 < 8 || len(c.MOVs) < 6 {
		t.Errorf("%d capacitors of class X2, %d varistors", x2, len(c.MOVs))
	}
}
