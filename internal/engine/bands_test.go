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

// Those of a coil's driver and of a level shifter are among them, each once.
func TestBandsOfDrivers(t *testing.T) {
	in := sweepInput(t)
	for part, want := range map[string]int{"rl-12v-16a/relay": 2, "rl-12v-16a-latch1/relay": 12, "p-30v-logic-dpak/p-mosfet-high": 4} {
		det, err := engine.Detail(context.Background(), in, in.Job.Loads[0].Name+"/"+part)
		if err != nil {
			t.Fatal(err)
		}
		seen := map[string]bool{}
		for _, b := range engine.Bands(in.Catalog, det.Design) {
			if seen[b.Ref] || b.Part == "" {
				t.Errorf("%s: %s of %q again", part, b.Ref, b.Part)
			}
			seen[b.Ref] = true
		}
		if len(seen) != want {
			t.Errorf("%s: %v, want %d", part, seen, want)
		}
	}
}
