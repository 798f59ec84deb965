package topology

import (
	"slices"
	"strings"
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	q "example.org/pinhoist/internal/quantity"
)

const hazard110 = "[[rail]]\nname = \"dc\"\nvoltage = \"110 V\"\ncurrent_max = \"20 A\"\nfault_current = \"50 A\"\n[[load]]\nname = \"x\"\nrail = \"dc\"\nkind = \"resistive\"\ncurrent = \"0.1 A\"\n"

// A relay with 1.5 mm asked for reinforced insulation, and what else is not enough.
// 110 V, category III: 2.5 kV, one step up 4 kV, 3 mm; creepage of 125 V twice 1.5 mm
// (IEC 60664-1 Tables F.1, F.2 and F.5, READ).
func TestInsulationTraps(t *testing.T) {
	for _, r := range []struct {
		what  string
		spoil func(*catalog.Isolation)
		want  design.Verdict
	}{
		{"8 mm", func(*catalog.Isolation) {}, design.Fits},
		{"3 mm", func(i *catalog.Isolation) { i.Clearance, i.Creepage = q.Some(q.Metre(3e-3)), q.Some(q.Metre(3e-3)) }, design.Fits},
		{"1.5 mm", func(i *catalog.Isolation) { i.Clearance = q.Some(q.Metre(1.5e-3)) }, design.Over},
		{"1.5 mm of creepage", func(i *catalog.Isolation) { i.Creepage = q.Some(q.Metre(1.5e-3)) }, design.Over},
		{"basic", func(i *catalog.Isolation) { i.Insulation = "basic" }, design.Over},
		{"2.5 kV of impulse", func(i *catalog.Isolation) { i.VImpulse = q.Some(q.Volt(2500)) }, design.Over},
		{"no impulse, a dielectric test of 5 kV", func(i *catalog.Isolation) { i.VImpulse, i.VDielectric = q.None[q.Volt](), q.Some(q.Volt(5000)) }, design.Over},
		{"no clearance", func(i *catalog.Isolation) { i.Clearance = q.None[q.Metre]() }, design.Over},
		{"no creepage", func(i *catalog.Isolation) { i.Creepage = q.None[q.Metre]() }, design.Over},
		{"no working voltage", func(i *catalog.Isolation) { i.VWorking = q.None[q.Volt]() }, design.Over},
		{"no grade", func(i *catalog.Isolation) { i.Insulation = "" }, design.Over},
	} {
		p := cubeRelay()
		iso := *p.Isolation
		p.Isolation = &iso
		r.spoil(p.Isolation)
		d := newBench(t, hazard110+"overvoltage_category = \"III\"\n").design(p, nil)
		if c := find(d, design.Isolation, design.StageSelf); c == nil || c.Verdict != r.want || r.want == design.Over && d.Verdict != design.Over {
			t.Errorf("%s: %+v", r.what, c)
		}
	}
}

// Every stage on a hazardous rail defers to who may work on it, and says where it ends.
func TestHazardIsTold(t *testing.T) {
	d := newBench(t, hazard110).design(cubeRelay(), nil)
	for _, id := range []string{design.CautionHazard, design.CautionTerminals, design.CautionWiresUnsaid} {
		if !slices.Contains(d.Cautions, id) {
			t.Errorf("%s is not told: %v", id, d.Cautions)
		}
	}
	if slices.Contains(d.Cautions, design.CautionFuse) {
		t.Error("a fuse is owed here, and the caution says that the rail is not hazardous")
	}
	for _, id := range []string{design.CautionHazard, design.CautionTerminals} {
		if text := design.CautionText(id); !strings.Contains(text, "qualified person") || !strings.Contains(text, "local code") {
			t.Errorf("%s: %s", id, text)
		}
	}
	if d := newBench(t, hazard110+"wire_length = \"2 m\"\nwire_area = \"1 mm2\"\n").design(cubeRelay(), nil); slices.Contains(d.Cautions, design.CautionWiresUnsaid) {
		t.Error("wires that were stated are said not to be")
	}
}

// Wires that bear a fuse in a room do not bear it in a hot enclosure: 0.75 mm2 is 6 A on a
// cord up to 40 C, and in 65 C sqrt(5/30) of it, 2.45 A; none in 70 C.
func TestWiresInHotAir(t *testing.T) {
	text := strings.Replace(hazard110, "\"0.1 A\"", "\"2 A\"", 1) + "wire_length = \"2 m\"\nwire_area = \"0.75 mm2\"\n"
	for _, r := range []struct {
		rise string
		want float64
		fuse bool
	}{{"0 K", 6, true}, {"25 K", 2.449489743, false}, {"30 K", 0, false}} {
		b := newBench(t, "[environment]\nenclosure_rise = \""+r.rise+"\"\n"+text)
		wantNear(t, "bears with "+r.rise, design.Known(b.m.WireAmps), r.want, 1e-6)
		c := find(b.design(cubeRelay(), nil), design.FuseCurrent, design.StageSelf)
		if c == nil || (c.Verdict == design.Fits) != r.fuse {
			t.Errorf("%s: %+v", r.rise, c)
		}
	}
}
