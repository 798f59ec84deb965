package device

import (
	"math"
	"testing"

	"example.org/pinhoist/catalog"
	q "example.org/pinhoist/internal/quantity"
)

// Hot factors by other laws: the line from 1 at 25 C to the stated factor is not
// under them in between.
func TestHotSlopeBoundsOtherLaws(t *testing.T) {
	power := func(n float64) func(float64) float64 {
		return func(t float64) float64 { return math.Pow((t+273.15)/298.15, n) }
	}
	for _, tc := range []struct {
		name   string
		law    func(t float64) float64
		factor float64 // at 150 C
		at125  float64
	}{
		// Power laws through class factors (from memory, DERIVED): exponents 1.516 and 1.980.
		{"1.7 at 150 C", power(1.516), 1.7, 1.55},
		{"2.0 at 150 C", power(1.980), 2.0, 1.77},
		// R25*(1 + 0.8 %)^(T - 25): the form of Infineon, MOSFET Power Losses Calculation
		// Using the Data-Sheet Parameters, quoted in an engineering forum (READ, DERIVED).
		{"0.8 %/K compound", func(t float64) float64 { return math.Pow(1.008, t-25) }, 2.707, 2.218},
	} {
		if got := tc.law(150); !near(got, tc.factor, 1e-3) {
			t.Errorf("%s: the law gives %g at 150 C", tc.name, got)
		}
		if got := tc.law(125); !near(got, tc.at125, 4e-3) {
			t.Errorf("%s: the law gives %g at 125 C", tc.name, got)
		}
		alpha, _ := HotSlope(&catalog.MOSFET{RDSOnHot: hotFactor(150, tc.law(150))})
		for k := 25.0; k <= 150; k += 5 {
			if line := 1 + alpha*(k-25); line < tc.law(k)*(1-1e-12) {
				t.Errorf("%s: %g at %g C, the law gives %g", tc.name, line, k, tc.law(k))
			}
		}
	}
}

// Delays of the gate, R*Ciss*ln(...) (formulas of TMOS Power MOSFET Transistor Device
// Data, Motorola, READ + DERIVED): 100 ohm, 500 pF, 5 V, plateau 3 V: 45.8 ns on, 25.5
// ns off. The charge up to the plateau, 500 pF*3 V, is moved at the plateau's current:
// the edge so found holds the delay too.
func TestEdgesHoldTheDelay(t *testing.T) {
	if d := 100 * 500e-12 * math.Log(5/(5-3.0)); !near(d, 45.8e-9, 1e-3) {
		t.Errorf("delay on %g", d)
	}
	if d := 100 * 500e-12 * math.Log(5/3.0); !near(d, 25.5e-9, 2e-3) {
		t.Errorf("delay off %g", d)
	}
	p := charged(3, 1e-15)
	p.QGSMax = q.Some(q.Coulomb(500e-12 * 3))
	on, off := Edges(p, 5, 100, 0, 25, 25)
	if on.V < 45.8e-9 || off.V < 25.5e-9 {
		t.Errorf("edges %g and %g s", on.V, off.V)
	}
}
