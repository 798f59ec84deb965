package engine_test

import (
	"context"
	"testing"

	"example.org/pinhoist/internal/engine"
)

// Every resistor that is chosen around a part of the catalogue has a colour code, for
// it is a preferred value of a series with a usual tolerance.
func TestChosenResistorsHaveBands(t *testing.T) {
	ctx := context.Background()
	in := sweepInput(t)
	res, err := engine.Assess(ctx, in, engine.Options{})
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for i, r := range res.Loads[0].Rows {
		if i%11 != 0 {
			continue
		}
		det, err := engine.Detail(ctx, in, r.Key)
		if err != nil {
			t.Fatal(err)
		}
		for _, b := range engine.Bands(in.Catalog, det.Design) {
			if b.Ohms == 0 { // a link, where no value would do
				continue
			}
			n++
			if len(b.Bands) < 4 || b.Tol <= 0 {
				t.Errorf("%s: %s of %v ohm and %v from %q has no colours", r.Key, b.Ref, b.Ohms, b.Tol, b.Part)
			}
		}
	}
	if n < 30 {
		t.Errorf("only %d resistors", n)
	}
}
