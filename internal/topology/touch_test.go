package topology

import (
	"slices"
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	q "example.org/pinhoist/internal/quantity"
)

// TestTouch: how hot a surface is that fingers find, and that it is told from 60 C on.
func TestTouch(t *testing.T) {
	cat, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	// 15 A of a heater: 18.33 A and 1.6 V at the most, 29.3 W; of 1.02 K/W to the case, the
	// rest of the way is the sink's and the pad's.
	b := benchOn(t, cat, ssrRails+"[[load]]\nname = \"x\"\n"+onMains+amps(acHeater, "15 A"))
	sw, _ := cat.Part("ssr-panel-25a-zc")
	d := new(design.Design)
	ssr{}.Design(b.env, b.m, sw, &Given{}, d)
	const watts = 15 * 1.1 / 0.9 * 1.6
	sink := valueIn(d, design.HeatsinkRth)
	if got, want := valueIn(d, design.TTouch), 40+watts*sink.V; !sink.OK || !got.OK || got.V < want*0.999 || got.V > want*1.001 {
		t.Errorf("a sink of %v K/W is at %v C, want %.1f\n%s", sink, got, want, show(d))
	}
	// 2 A on the same: bare, 10 K/W: 40 + 2.444*1.6*10 = 79.1 C of all of it.
	d = new(design.Design)
	b = benchOn(t, cat, ssrRails+"[[load]]\nname = \"x\"\n"+onMains+amps(acHeater, "2 A"))
	ssr{}.Design(b.env, b.m, sw, &Given{}, d)
	if got := valueIn(d, design.TTouch); !got.OK || got.V < 79.1 || got.V > 85 || !slices.Contains(d.Cautions, design.CautionHot) {
		t.Errorf("bare it is at %v C, cautions %v", got, d.Cautions)
	}
}

// TestResistorSurface: one that bears 0.6 W in air of 70 C and none in 155 C is 85 K above
// its air with all of it: 40 C + 0.3/0.6*85 K.
func TestResistorSurface(t *testing.T) {
	r := catalog.ResistorSeries{PMax: q.Some(q.Watt(0.6)), Derate: &catalog.Derate{Full: q.Some(q.Celsius(70)), Zero: q.Some(q.Celsius(155))}}
	if got := resistorSurface(&r, 40, 0.3); !got.OK || got.V < 82.4999 || got.V > 82.5001 {
		t.Errorf("%v, want 82.5", got)
	}
	if got := resistorSurface(&catalog.ResistorSeries{}, 40, 0.3); got.OK {
		t.Errorf("of a series that states nothing: %v", got)
	}
}
