package device

import (
	"math"
	"testing"

	"example.org/pinhoist/catalog"
	q "example.org/pinhoist/internal/quantity"
)

// By hand: 100 mJ and 20 A at 25 C, 5 mJ repeated, 150 C at most. At 75 C the share
// is (150 - 75)/(150 - 25) = 0.6: 60 mJ, 12 A, 3 mJ. At 150 C nothing is left.
func TestAvalancheIsDerated(t *testing.T) {
	p := &catalog.MOSFET{EARMax: q.Some(q.Joule(5e-3)), Avalanche: &catalog.Avalanche{EAS: q.Some(q.Joule(0.1)), IAS: q.Some(q.Amp(20))}}
	p.TjMax = q.Some(q.Celsius(150))
	for _, tc := range []struct{ t, share float64 }{{25, 1}, {0, 1}, {75, 0.6}, {137.5, 0.1}, {150, 0}, {200, 0}} {
		a := Avalanche(p, tc.t)
		for what, pair := range map[string][2]float64{"single": {a.Single.V, 0.1}, "current": {a.Current.V, 20}, "repeated": {a.Repeated.V, 5e-3}} {
			if math.Abs(pair[0]-tc.share*pair[1]) > 1e-12 {
				t.Errorf("%s at %g C: %g, want %g", what, tc.t, pair[0], tc.share*pair[1])
			}
		}
	}
	// Stated at 100 C: nothing above the stated figure below that, half of it at 125 C.
	p.Avalanche.Tj = q.Some(q.Celsius(100))
	if a := Avalanche(p, 25); a.Single.V != 0.1 {
		t.Errorf("%g J", a.Single.V)
	}
	if a := Avalanche(p, 125); math.Abs(a.Single.V-0.05) > 1e-12 || math.Abs(a.Current.V-10) > 1e-12 {
		t.Errorf("%+v", a)
	}
	// Missing figures stay unknown, and without t_j_max everything is.
	bare := &catalog.MOSFET{}
	bare.TjMax = q.Some(q.Celsius(150))
	if a := Avalanche(bare, 25); a.Single.OK || a.Current.OK || a.Repeated.OK {
		t.Errorf("%+v", a)
	}
	p.TjMax = q.None[q.Celsius]()
	if a := Avalanche(p, 25); a.Single.OK || a.Current.OK || a.Repeated.OK {
		t.Errorf("%+v", a)
	}
}

// The derating is safe by the heat of a short pulse: whatever the inductance, a
// pulse within both derated figures heats by no more than the share of the stated
// pulse's own rise. Rise ~ V*I*sqrt(t), t = 2E/(V*I).
func TestAvalancheDeratingIsSafe(t *testing.T) {
	rise := func(e, i float64) float64 { return math.Sqrt(e * i) }
	for _, share := range []float64{0.05, 0.3, 0.6, 0.95} {
		for _, e := range []float64{0.01, 0.5, 1} {
			for _, i := range []float64{0.01, 0.5, 1} {
				if got := rise(share*e, share*i); got > share*rise(1, 1)*(1+1e-12) {
					t.Errorf("share %g: E %g, I %g of the derated figures heat %g of the whole", share, e, i, got)
				}
			}
		}
	}
}
