package waveform

import (
	"math"
	"testing"
)

func TestWires(t *testing.T) {
	const line = "two-wire line with internal inductance, mu0/pi*(ln(d/r) + 1/4)"
	check(t, []row{
		// By hand: radius of 0.25 mm2 is 0.28209 mm; d = 20 r: ln 20 = 2.9957; 0.4 uH/m *
		// 3.2457 = 1.2983 uH/m.
		{"1 m of 0.25 mm2", PairInductance(1, 0.25e-6), 1.2983e-6, 1e-4, line, "DERIVED"},
		// Touching wires: ln 2 + 0.25 = 0.94315, 0.37726 uH/m.
		{"touching", PairInductanceAt(1, 1e-3, 0), 0.37726e-6, 1e-4, line, "DERIVED"},
		{"10 m", PairInductance(10, 0.25e-6), 12.983e-6, 1e-4, line, "DERIVED"},
		{"10 m at 5 A", FieldEnergy(PairInductance(10, 0.25e-6), 5), 162.3e-6, 1e-3, "l*i^2/2", "DERIVED"},
	})
	if PairInductance(0, 1e-6) != 0 || PairInductance(1, 0) != 0 {
		t.Error("no run, no inductance")
	}
}

// The magnetic constant puts two wires of 1 m, 1 m apart, at 0.4 uH times
// ln(d/r): the old definition of the ampere, 2e-7 N/m, is half of mu0/(2 pi) per
// ampere squared (from memory).
func TestMagneticConstant(t *testing.T) {
	if got := mu0 / (2 * math.Pi); math.Abs(got-2e-7) > 1e-15 {
		t.Errorf("%g", got)
	}
}

func TestCoupled(t *testing.T) {
	check(t, []row{
		// By hand: 8 nC in 100 us are 80 uA; through 3.9 kohm 0.312 V.
		{"resistance alone", Coupled(8e-9, 100e-6, 3.9e3, 0), 0.312, 1e-9, "by hand", "DERIVED"},
		// With 1 nF: r*c = 3.9 us, over long before.
		{"with 1 nF", Coupled(8e-9, 100e-6, 3.9e3, 1e-9), 0.312, 1e-9, "by hand", "DERIVED"},
		// In no time: the charge in the capacitance, 8 V.
		{"at once", Coupled(8e-9, 0, 3.9e3, 1e-9), 8, 1e-9, "by hand", "DERIVED"},
		// As long as the time constant: 8*(1 - 1/e) = 5.0570 V.
		{"one time constant", Coupled(8e-9, 3.9e-6, 3.9e3, 1e-9), 5.0570, 1e-4, "by hand", "DERIVED"},
		{"no resistance at all", Coupled(8e-9, 1e-6, math.Inf(1), 2e-9), 4, 1e-9, "by hand", "DERIVED"},
	})
	// Against an integration of the ramp.
	for _, tc := range []struct{ q, t, r, c float64 }{{8e-9, 1e-6, 10e3, 1e-9}, {20e-9, 1e-5, 1e3, 3e-9}, {1e-9, 1e-3, 1e5, 1e-9}} {
		y := []float64{0}
		top := 0.0
		integrate(y, tc.t/20000, 20000, func(y, dy []float64) { dy[0] = (tc.q/tc.t - y[0]/tc.r) / tc.c }, func(_ float64, y []float64) { top = max(top, y[0]) })
		check(t, []row{{"ramp", Coupled(tc.q, tc.t, tc.r, tc.c), top, 1e-6, "Runge-Kutta of this test", "SIMULATED"}})
		if Coupled(tc.q, tc.t, tc.r, 0) < top*(1-1e-9) {
			t.Error("the bound without capacitance is under the truth")
		}
	}
}

func TestFlicker(t *testing.T) {
	const ieee = "IEEE Std 1789-2015"
	check(t, []row{
		{"low risk at full swing", LowFlicker, 1250, 1e-9, ieee, "MEMORY"},
		{"no effect at full swing", FlickerFree, 3000, 2e-3, ieee, "MEMORY"},
		// By hand: tau 0.2 s: sqrt(100*8.5/2/0.08/0.2) = sqrt(26562.5) = 162.98 Hz; its
		// light then swings by 100*8.5/(2*162.98*0.2) = 13.04 %, and 0.08*162.98 = 13.04.
		{"a lamp", FilamentFlicker(0.2), 162.98, 1e-4, ieee + ", by hand", "DERIVED"},
		{"a thread that holds no heat", FilamentFlicker(0), 1250, 1e-9, ieee, "MEMORY"},
	})
}

// Wires as near as may be, three radii apart: 0.4 uH/m*arcosh(1.5) = 0.4*0.962424 =
// 0.38497 uH/m; never above that of a run as it usually is. A capacitor of 110 uF on 13.2 V
// at the end of 5 m, 1.92485 uH, and 0.22081 ohm: z = 0.110405*sqrt(110/1.92485) = 0.83462,
// sqrt(1 - z^2) = 0.55083, the angle 0.58336: 13.2*7.5596*exp(-0.88391) = 41.23 A, of 59.78.
func TestLeastInductanceOfARun(t *testing.T) {
	peak, _ := Charging{V: 13.2, R: 0.22081, L: LeastInductance(5), C: 110e-6}.Peak()
	check(t, []row{
		{"1 m", LeastInductance(1), 0.38497e-6, 1e-4, "by hand", "DERIVED"},
		{"peak through 5 m", peak, 41.23, 1e-3, "by hand", "DERIVED"},
		{"none", LeastInductance(-1), 0, 0, "by hand", "DERIVED"},
	})
	for _, area := range []float64{0.05e-6, 0.25e-6, 6e-6} {
		if LeastInductance(10) > PairInductance(10, area) {
			t.Errorf("%g m2: the least is above the usual", area)
		}
	}
	e := Decay(10, 1, 1e-3, 0)
	e.Under(4)
	if e.Peak() != 4 || e.Steps[0].Mean > 4 || e.Steps[0].Square > 16 || math.Abs(e.Steady()-1) > 0.01 {
		t.Errorf("cut at 4 A: %+v, ends at %g", e.Steps[0], e.Steady())
	}
}
