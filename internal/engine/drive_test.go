package engine_test

import (
	"context"
	"math"
	"testing"

	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
)

// At the drive that a stage gives, the curve says what the check of that stage says,
// for every stage of the catalogue with a gate or base of its own.
func TestDriveAgreesWithItsCheck(t *testing.T) {
	ctx := context.Background()
	seen := map[bool]int{}
	for _, edits := range [][]string{{}, {"pin.supply", "3.3 V"}, {"load[0].current", "3 A"}} {
		in := sweepInput(t, edits...)
		res, err := engine.Assess(ctx, in, engine.Options{})
		if err != nil {
			t.Fatal(err)
		}
		for i, r := range res.Loads[0].Rows {
			switch r.Topology {
			case "n-mosfet-low", "npn-low", "darlington-low", "n-mosfet-parallel":
			default:
				if i%7 != 0 {
					continue
				}
			}
			d, err := engine.Drive(ctx, in, r.Key)
			if err != nil || !d.Given.OK {
				continue
			}
			if d.Check.Because == "the most that the base gets" || d.Check.Because == "the charge of the gate, for which the gain must be enough" {
				continue // its other end decided
			}
			seen[d.Gate]++
			want, got := d.Check.Verdict, verdictOfDrive(d, d.Given.V)
			if got != want {
				t.Errorf("%v %s: at %v the curve says %s, the check %s (I %v, stress %v, rating %v)", edits, r.Key, d.Given.V, got, want, d.I, d.Check.Stress, d.Check.Rating)
			}
			for k := 1; k < len(d.Curve); k++ {
				if a, b := d.Curve[k-1], d.Curve[k]; b.Verdict > a.Verdict {
					t.Errorf("%s: more drive is worse at %v", r.Key, b.X)
				}
			}
		}
	}
	if seen[true] < 40 || seen[false] < 40 {
		t.Errorf("only %d gates and %d bases", seen[true], seen[false])
	}
}

func verdictOfDrive(d *engine.Driven, x float64) design.Verdict {
	v := d.Curve[0].Verdict
	for _, e := range d.Edges {
		if x >= e.High*(1-1e-9) {
			v = e.After
		}
	}
	return v
}

// By hand: a MOSFET stated at 4.5 V for its current is proven from 4.5 V on and not
// at the digit below, whatever its threshold.
func TestDriveIsProvenFromAStatedPoint(t *testing.T) {
	in := sweepInput(t)
	d, err := engine.Drive(context.Background(), in, "vent latch/n-60v-logic-smd/n-mosfet-low")
	if err != nil {
		t.Fatal(err)
	}
	last := d.Edges[len(d.Edges)-1]
	if last.After != design.Fits || math.Abs(last.High-d.Stated[0].X) > 1e-9 || last.Low >= last.High {
		t.Errorf("proven from %+v on, the lowest stated point is %+v", last, d.Stated[0])
	}
	if !d.VthMin.OK || !(d.VthMin.V < d.VthMax.V && d.VthMax.V < d.Stated[0].X) {
		t.Errorf("threshold %v to %v", d.VthMin, d.VthMax)
	}
	for _, s := range d.Curve {
		if s.X < d.VthMax.V && s.Verdict != design.Over {
			t.Errorf("under the greatest threshold at %v V: %s", s.X, s.Verdict)
		}
	}
}
