package device

import (
	"math"
	"testing"

	"example.org/pinhoist/catalog"
	q "example.org/pinhoist/internal/quantity"
)

// A seven-channel Darlington array of the 50 V class; figures of the class, from
// memory: 2.4 V for 0.2 A and 3 V for 0.3 A, 1.35 mA at 3.85 V, 1.1 V at 0.1 A and 1.3
// V at 0.2 A, 2 V at 0.35 A in the diode.
func classArray() *catalog.Array {
	on := func(n int) *int { return &n }
	return &catalog.Array{
		Common: catalog.Common{ID: "x"}, Heat: catalog.Heat{TjMax: q.Some(q.Celsius(150))},
		VOutMax: q.Some(q.Volt(50)), IOutMax: q.Some(q.Amp(0.5)), VInOffMax: q.Some(q.Volt(0.5)),
		VInOn:  []catalog.ArrayInput{{IOut: q.Some(q.Amp(0.2)), Max: q.Some(q.Volt(2.4))}, {IOut: q.Some(q.Amp(0.3)), Max: q.Some(q.Volt(3))}},
		IInMax: []catalog.ArrayInputCurrent{{VIn: q.Some(q.Volt(3.85)), I: q.Some(q.Amp(1.35e-3))}, {VIn: q.Some(q.Volt(5.5)), I: q.Some(q.Amp(2.3e-3))}},
		VOnMax: []catalog.ArrayOn{{IOut: q.Some(q.Amp(0.1)), V: q.Some(q.Volt(1.1))}, {IOut: q.Some(q.Amp(0.2)), V: q.Some(q.Volt(1.3))}},
		Together: []catalog.TogetherPoint{
			{On: on(2), Duty: q.Some(q.Ratio(1)), I: q.Some(q.Amp(0.3))},
			{On: on(7), Duty: q.Some(q.Ratio(0.5)), I: q.Some(q.Amp(0.2))},
			{On: on(7), Duty: q.Some(q.Ratio(1)), I: q.Some(q.Amp(0.1))},
		},
		Clamp: &catalog.ArrayClamp{VFMax: q.Some(q.Volt(2)), IMax: q.Some(q.Amp(0.35))},
	}
}

// Everything by stairs, DERIVED from the points above.
func TestArrayStairs(t *testing.T) {
	p := classArray()
	for _, tc := range []struct{ i, v float64 }{{0, 1.1}, {0.1, 1.1}, {0.11, 1.3}, {0.2, 1.3}} {
		v, _ := ChannelOn(p, tc.i)
		wantNumber(t, "on voltage", v, tc.v, 1e-12)
	}
	v, least := ChannelOn(p, 0.25)
	isUnknown(t, "on voltage past the last point", v.OK)
	wantNumber(t, "at least", least, 1.3, 1e-12)

	// 0.1 A: 2.4 V; half way from 0.5 V at nothing it may do with 1.45 V.
	v, est := InputNeeded(p, 0.1)
	wantNumber(t, "input for 0.1 A", v, 2.4, 1e-12)
	wantNumber(t, "perhaps", est, 1.45, 1e-9)
	v, est = InputNeeded(p, 0.25)
	wantNumber(t, "input for 0.25 A", v, 3, 1e-12)
	wantNumber(t, "perhaps", est, 2.7, 1e-9)
	v, est = InputNeeded(p, 0.31)
	isUnknown(t, "input past the last point", v.OK)
	wantNumber(t, "no less than", est, 3, 1e-12)

	i, _ := InputCurrent(p, 4)
	wantNumber(t, "input current at 4 V", i, 2.3e-3, 1e-12)
	i, least = InputCurrent(p, 6)
	isUnknown(t, "input current past the last point", i.OK)
	wantNumber(t, "perhaps no less than", least, 2.3e-3, 1e-12)
}

// What an input gets: at 3.85 V it takes 1.35 mA at the most, at 5.5 V 2.3 mA. From
// 4.75 V behind 40 ohm it gets 4.75 - 0.092 = 4.658 V; behind 500 ohm 3.6 V by the
// second point, but 3.85 V by the first, for there 0.9 V/500 ohm = 1.8 mA would flow;
// behind 1 kohm 4.75 - 1.35 = 3.4 V (DERIVED).
func TestInputLevel(t *testing.T) {
	p := classArray()
	for _, tc := range []struct{ s, r, want float64 }{{4.75, 40, 4.658}, {4.75, 500, 3.85}, {4.75, 1000, 3.4}, {4.75, 0, 4.75}, {12, 40, 5.5}} {
		if got := InputLevel(p, tc.s, tc.r); !near(got, tc.want, 1e-9) {
			t.Errorf("%g V behind %g ohm: %g V, want %g", tc.s, tc.r, got, tc.want)
		}
	}
	if got := InputLevel(&catalog.Array{}, 5, 40); got != 0 {
		t.Errorf("%g V where no input current is stated", got)
	}
}

func TestTogetherCurrent(t *testing.T) {
	p := classArray()
	for _, tc := range []struct {
		n          int
		duty, want float64
	}{{1, 1, 0.5}, {2, 1, 0.3}, {2, 0.5, 0.3}, {3, 1, 0.1}, {3, 0.5, 0.2}, {7, 0.3, 0.2}, {7, 0.51, 0.1}} {
		wantNumber(t, "current", TogetherCurrent(p, tc.n, tc.duty), tc.want, 1e-12)
	}
	isUnknown(t, "more channels than stated", TogetherCurrent(p, 8, 1).OK)
	p.Together = append([]catalog.TogetherPoint{{On: new(int), Duty: q.Some(q.Ratio(1)), I: q.Some(q.Amp(0.4))}}, p.Together...)
	*p.Together[0].On = 1
	wantNumber(t, "one, stated", TogetherCurrent(p, 1, 1), 0.4, 1e-12)
	p.Together = nil
	isUnknown(t, "nothing stated", TogetherCurrent(p, 1, 1).OK)
}

func TestClampDiodeOfAnArray(t *testing.T) {
	p := classArray()
	d := ClampDiode(p)
	if d.ID != "x" || d.VRRMMax.Value() != 50 || d.IFAV[0].I.Value() != 0.35 || d.VF[0].Max.Value() != 2 || d.VF[0].Min.Known() || d.TrrMax.Known() || d.Technology != "rectifier" {
		t.Errorf("%+v", d)
	}
	if p.Clamp = nil; ClampDiode(p) != nil {
		t.Error("a diode that nobody stated")
	}
}

// Two junctions: the base-emitter voltage falls by 4 mV/K, and the gain in the cold
// with the square of one transistor's. A published family (from memory) goes down to
// about a third at -55 C; 0.6*0.6 = 0.36.
func TestDarlingtonAgainstTemperature(t *testing.T) {
	p := publishedDarlington()
	wantNumber(t, "VBE at -15 C", VBEMax(p, 4, -15), 2.5+0.16, 1e-9)
	if v := VBEOnMin(p, 100); !near(v, 1-0.3, 1e-9) {
		t.Errorf("conducts from %g V at 100 C", v)
	}
	wantNumber(t, "base at 4 A, -55 C", BaseCurrent(p, 4, -55).Base, 4e-3/0.36, 1e-9)
	// What leaks: i_cbo where a resistor inside is guaranteed to hold the second base, else i_ceo.
	leak := func(r q.Opt[q.Ohm]) *catalog.BJT {
		b := *p
		b.RBEInternal, b.RBEIntMax = q.Some(q.Ohm(8e3)), r
		b.ICBOMax = []catalog.LeakCB{{VCB: q.Some(q.Volt(80)), Tj: q.Some(q.Celsius(150)), Max: q.Some(q.Amp(2e-3))}}
		b.ICEOMax = []catalog.LeakCE{{VCE: q.Some(q.Volt(80)), Tj: q.Some(q.Celsius(150)), Max: q.Some(q.Amp(20e-3))}}
		return &b
	}
	wantNumber(t, "held", CollectorLeakage(leak(q.Some(q.Ohm(10.4e3))), 24, 100), 2e-3, 1e-12)
	wantNumber(t, "not held", CollectorLeakage(leak(q.Opt[q.Ohm]{}), 24, 100), 20e-3, 1e-12)
}

// The resistor inside by what is stated of it, with the bracket of 30 % (DERIVED).
func TestInnerBleed(t *testing.T) {
	inf := math.Inf(1)
	k := func(v float64) (o q.Opt[q.Ohm]) {
		if v > 0 {
			o = q.Some(q.Ohm(v))
		}
		return o
	}
	for _, tc := range []struct {
		min, plain, max float64
		want            BleedInside
	}{
		{0, 0, 0, BleedInside{inf, inf, inf}},
		{7e3, 10e3, 13e3, BleedInside{Least: 7e3, Plain: 10e3, Most: 13e3}},
		{0, 10e3, 0, BleedInside{Least: 7e3, Plain: 10e3, Most: inf}},
		{0, 10e3, 14e3, BleedInside{Least: 7e3, Plain: 10e3, Most: 14e3}},
		{6e3, 0, 0, BleedInside{Least: 6e3, Plain: 6e3, Most: inf}},
		{0, 0, 13e3, BleedInside{Least: 7e3, Plain: 13e3, Most: 13e3}},
	} {
		got := InnerBleed(&catalog.BJT{RBEIntMin: k(tc.min), RBEInternal: k(tc.plain), RBEIntMax: k(tc.max)})
		same := func(a, b float64) bool { return a == b || near(a, b, 1e-9) }
		if !same(got.Least, tc.want.Least) || !same(got.Plain, tc.want.Plain) || !same(got.Most, tc.want.Most) {
			t.Errorf("%g/%g/%g ohm: %+v, want %+v", tc.min, tc.plain, tc.max, got, tc.want)
		}
	}
}
