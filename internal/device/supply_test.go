package device

import (
	"math"
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
)

// Whatever figure can be stated on a part answers, once stated, the law that wanted
// it, with the number stated. The laws are proved elsewhere; here the figure must
// get to the right place (DERIVED: what is put in comes out).
func TestSupply(t *testing.T) {
	at := Condition{IMax: 1, ISteady: 0.8, IBase: 10e-3, VDrive: 4.7, VMax: 13.2, VPeak: 30, T: 60}
	number := func(v float64, ok bool) design.Number { return design.Number{V: v, OK: ok} }
	type reader func(p catalog.Part) design.Number
	fet := func(read func(*catalog.MOSFET) design.Number) reader {
		return func(p catalog.Part) design.Number { return read(p.(*catalog.MOSFET)) }
	}
	npn := func(read func(*catalog.BJT) design.Number) reader {
		return func(p catalog.Part) design.Number { return read(p.(*catalog.BJT)) }
	}
	mosfet := func() catalog.Part { return &catalog.MOSFET{VGSTh: threshold(1, 2)} }
	bjt := func() catalog.Part { return &catalog.BJT{} }
	for _, tc := range []struct {
		part   func() catalog.Part
		figure string
		v      float64
		atMost bool
		read   reader
		want   float64
	}{
		{mosfet, "r_ds_on at this drive", 0.05, true, fet(func(p *catalog.MOSFET) design.Number { r, _, _ := OnResistance(p, 4.7, 1); return r }), 0.05},
		{mosfet, "i_dss_max", 1e-6, true, fet(func(p *catalog.MOSFET) design.Number { return DrainLeakage(p, 13.2, 60) }), 1e-6},
		{mosfet, "q_gd_max", 5e-9, true, fet(func(p *catalog.MOSFET) design.Number { v, ok := p.QGDMax.Get(); return number(float64(v), ok) }), 5e-9},
		{mosfet, "v_gs_th_slope_max", 4e-3, true, fet(func(p *catalog.MOSFET) design.Number { v, _, b := Threshold(p, 125); return number(v.V, !b) }), 0.6},
		{mosfet, "i_dm_max", 20, false, fet(func(p *catalog.MOSFET) design.Number { v, ok := p.IDMMax.Get(); return number(float64(v), ok) }), 20},
		{mosfet, "soa", 3, false, fet(func(p *catalog.MOSFET) design.Number { return SafeArea(p.SOA, 30, 1, 25, 150) }), 3},
		{bjt, "v_be_sat.max", 0.9, true, npn(func(p *catalog.BJT) design.Number { return VBEMax(p, 1, 25) }), 0.9},
		{bjt, "r_be_internal_max", 9e3, true, npn(func(p *catalog.BJT) design.Number { r := InnerBleed(p).Most; return number(r, !math.IsInf(r, 1)) }), 9e3},
		{bjt, "r_be_internal_min", 5e3, false, npn(func(p *catalog.BJT) design.Number { r := InnerBleed(p).Least; return number(r, !math.IsInf(r, 1)) }), 5e3},
		{bjt, "h_fe.min", 80, false, npn(func(p *catalog.BJT) design.Number { return BaseCurrent(p, 1, 25).Base }), 1.0 / 80},
		{bjt, "v_ce_sat.max", 0.3, true, npn(func(p *catalog.BJT) (v design.Number) {
			SaturationPoints(p, 1, func(s SaturationPoint) { v = number(s.V, near(s.Need, 10e-3, 1e-9)) })
			return v
		}), 0.3},
		{bjt, "i_cbo_max", 1e-6, true, npn(func(p *catalog.BJT) design.Number { return BaseLeakage(p, 30, 60) }), 1e-6},
		{bjt, "i_cm_max", 3, false, npn(func(p *catalog.BJT) design.Number { v, ok := p.ICMMax.Get(); return number(float64(v), ok) }), 3},
		{bjt, "i_b_max", 0.2, false, npn(func(p *catalog.BJT) design.Number { v, ok := p.IBMax.Get(); return number(float64(v), ok) }), 0.2},
		{bjt, "v_ebo_max", 5, false, npn(func(p *catalog.BJT) design.Number { v, ok := p.VEBOMax.Get(); return number(float64(v), ok) }), 5},
		{bjt, "soa", 0.5, false, npn(func(p *catalog.BJT) design.Number { return SafeArea(p.SOA, 30, 1, 25, 150) }), 0.5},
	} {
		p := tc.part()
		if before := tc.read(p); before.OK {
			t.Errorf("%s is there before it was stated: %+v", tc.figure, before)
		}
		s, ok := Supply(p, tc.figure, at)
		if !ok || s.AtMost != tc.atMost || !(s.Low <= tc.v && tc.v <= s.High) {
			t.Errorf("%s: %+v %v", tc.figure, s, ok)
			continue
		}
		s.To(tc.v)
		wantNumber(t, tc.figure, tc.read(p), tc.want, 1e-9)
		// Stated again, the new number counts, also where it is worse.
		s.To(s.Low)
		s.To(tc.v)
		wantNumber(t, tc.figure+" again", tc.read(p), tc.want, 1e-9)
	}
	if _, ok := Supply(mosfet(), "no such figure", at); ok {
		t.Error("a figure that does not exist was supplied")
	}
	if _, ok := Supply(&catalog.Diode{}, "v_f", at); ok {
		t.Error("a diode was supplied")
	}
}
