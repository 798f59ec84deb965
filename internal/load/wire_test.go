package load

import (
	"math"
	"testing"

	"example.org/pinhoist/internal/job"
	q "example.org/pinhoist/internal/quantity"
)

// American gauges, d = 0.127 mm * 92^((36 - n)/39): 10, 14, 18, 20, 24 and 30 are 2.588,
// 1.628, 1.024, 0.8118, 0.5106 and 0.2546 mm (the formula, and a table of HyperPhysics,
// Georgia State University: READ + DERIVED, 0.1 %).
func TestGaugePublished(t *testing.T) {
	for _, tc := range []struct{ n, mm float64 }{{10, 2.588}, {14, 1.628}, {18, 1.024}, {20, 0.8118}, {24, 0.5106}, {30, 0.2546}} {
		want(t, "diameter", math.Sqrt(4*gauge(tc.n)/math.Pi)*1e3, tc.mm, 1e-3)
		want(t, "gauge", Gauge(math.Pi/4*tc.mm*tc.mm*1e-6), tc.n, 1e-3)
	}
}

// What chassis wiring carries, a wire by itself: HyperPhysics after the Handbook of
// Electronic Tables and Formulas (READ). Two wires in a bundle, 0.9 of it:
// ECSS-Q-ST-30-11C, table 6-41 as transcribed (READ). Between two gauges it is that of
// the thinner. Cords of mains, from memory of IEC 60335-1's table of nominal areas: 3 A
// for 0.5 mm2, 6 A for 0.75, 10 A for 1, 16 A for 1.5, 25 A for 2.5.
func TestWireBearsPublished(t *testing.T) {
	for _, tc := range []struct{ awg, amps float64 }{
		{10, 55}, {14, 32}, {18, 16}, {20, 11}, {22, 7}, {24, 3.5}, {26, 2.2}, {28, 1.4}, {30, 0.86},
	} {
		d := 0.127e-3 * math.Pow(92, (36-tc.awg)/39)
		area := math.Pi / 4 * d * d
		want(t, "chassis", WireBears(area, false), 0.9*tc.amps, 1e-9)
		if thicker := WireBears(area*1.1, false); thicker != 0.9*tc.amps {
			t.Errorf("a little over gauge %g: %g A", tc.awg, thicker)
		}
		if thinner := WireBears(area*0.99, false); thinner >= 0.9*tc.amps {
			t.Errorf("a little under gauge %g: %g A", tc.awg, thinner)
		}
	}
	for _, tc := range []struct{ mm2, amps float64 }{{0.25, 0}, {0.5, 3}, {0.75, 6}, {1, 10}, {1.5, 14.4}, {2.5, 25}} {
		want(t, "cord", WireBears(tc.mm2*1e-6, true), tc.amps, 1e-9) // 1.5 mm2 is between gauges 14 and 18: 16 A by 0.9, less than a cord's
	}
}

// A fuse is asked for on a hazardous rail, and where a short draws more than the run of
// wires bears: 0.5 mm2 is under gauge 20 (0.518 mm2), so that it is taken for gauge 22:
// 7 A by 0.9 is 6.3 A (DERIVED).
func TestFuseAsked(t *testing.T) {
	for _, tc := range []struct {
		volts, length, fault float64
		asked                bool
	}{{12, 0, 30, false}, {12, 2, 6.3, false}, {12, 2, 6.4, true}, {12, 2, 0, false}, {110, 0, 0, true}, {110, 2, 1, true}} {
		l := job.Load{Kind: job.Resistive, Current: 1, Rail: rail(tc.volts, 0), WireLength: q.Metre(tc.length), WireArea: 0.5e-6}
		l.Rail.Hazardous = tc.volts > 60
		if tc.fault > 0 {
			l.Rail.FaultCurrent = q.Some(q.Amp(tc.fault))
		}
		if m := New(&l, air(20, 20), noResistor); m.FuseAsked != tc.asked {
			t.Errorf("%+v: asked %v", tc, m.FuseAsked)
		}
	}
}
