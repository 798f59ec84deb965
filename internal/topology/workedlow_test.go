package topology

import (
	"strings"
	"testing"

	"example.org/pinhoist/internal/design"
)

// Heaters behind the parts of TestWorkedMOSFET and TestWorkedNPN, worked by hand: every
// expected number is DERIVED, arithmetic on the stated inputs written out beside it. Used
// in all: 13.2 V is the highest rail, a heater's resistance is 10 % off, resistors 1 %.

// lowHand is the stage of a heater with two resistors.
func lowHand(t *testing.T, name string, a, b float64) *design.Design {
	t.Helper()
	text := workedJob(name)
	if topology := "npn-low"; strings.HasPrefix(name, topology) {
		d, _ := handStage(t, handCatalog(t), text, topology, "hand-npn", &Given{RBase: ohms(a), RBaseEmitter: ohms(b)})
		return d
	}
	d, _ := handStage(t, handCatalog(t), text, "n-mosfet-low", "hand-n", &Given{RGate: ohms(a), RPulldown: ohms(b)})
	return d
}

// 13.2/(24*0.9) = 0.61111 A.
func TestWorkedNPNHeater(t *testing.T) {
	compare(t, lowHand(t, "npn-low-heater", 232, 1800), []worked{
		{id: design.OnCurrent, stress: 0.61111, rating: 2, verdict: design.Fits},
		// Gain 150 at 0.5 A and 120 at 1 A: 150*1.22222^(ln 0.8/ln 2) = 140.61, at 0 C less
		// 12.5 %: 123.04. (4.75 - 1.05)/(40 + 234.32) - 1.05/1782, half of it allowed.
		{id: design.BaseDrive, stress: 4.9669e-3, rating: 12.8987e-3, verdict: design.Fits, headroom: 12.8987 / 2 / 4.9669},
		// 0.61111/50
		{id: design.Saturation, stress: 12.2222e-3, rating: 12.8987e-3, verdict: design.Fits},
		// The base at 40 C: 0.97*((5.25 - 0.97)/244.68 - 0.97/1818) = 16.450 mW;
		// 40 + 62*(0.35*0.61111 + 0.01645)
		{id: design.JunctionTemperature, stress: 54.281, rating: 150, verdict: design.Fits, headroom: 85 / 14.281},
		// 5.25*1818/(1818 + 229.68 + 20000); 0.5 - 2 mV/K*29.281
		{id: design.StaysOff, stress: 0.43290, rating: 0.44144, verdict: design.Fits},
		// (5.25 - 0.44144)/(15 + 229.68)
		{id: design.PinCurrent, stress: 19.652e-3, rating: 20e-3, verdict: design.Fits},
		{id: design.BlockingVoltage, stress: 13.2, rating: 60, verdict: design.Fits},
		// 0.8*10.8; 10.8 - 0.35
		{id: design.LoadVoltage, stress: 8.64, rating: 10.45, verdict: design.Fits},
	})
}

// 13.2/(60*0.9) = 0.24444 A, below the first stated gain: what is enough for 0.5 A is, 0.5 A
// over 150 less 12.5 %. The base gets (4.75 - 1.05)/(40 + 474.7) - 1.05/1782 = 6.5994 mA, and
// half of that is not 3.8095 mA.
func TestWorkedNPNBelowItsFirstGain(t *testing.T) {
	compare(t, lowHand(t, "npn-low-heater-below-gain", 470, 1800), []worked{
		{id: design.BaseDrive, stress: 3.8095e-3, rating: 6.5994e-3, verdict: design.Tight, headroom: 6.5994 / 2 / 3.8095},
		// 0.24444/50
		{id: design.Saturation, stress: 4.8889e-3, rating: 6.5994e-3, verdict: design.Fits},
	})
}

// From 3.3 V +-5 %, 13.2/(40*0.9) = 0.36667 A.
func TestWorkedNPNFrom3V3(t *testing.T) {
	compare(t, lowHand(t, "npn-low-heater-3v3", 150, 1800), []worked{
		// (3.135 - 1.05)/(40 + 151.5) - 1.05/1782
		{id: design.BaseDrive, stress: 3.8095e-3, rating: 10.2985e-3, verdict: design.Fits, headroom: 10.2985 / 2 / 3.8095},
		// 0.36667/50
		{id: design.Saturation, stress: 7.3333e-3, rating: 10.2985e-3, verdict: design.Fits},
		// 0.97*((3.465 - 0.97)/163.5 - 0.97/1818) = 14.285 mW; 40 + 62*(0.35*0.36667 + 0.014285)
		{id: design.JunctionTemperature, stress: 48.842, rating: 150, verdict: design.Fits},
		// 3.465*1818/(1818 + 148.5 + 20000); 0.5 - 2 mV/K*23.842
		{id: design.StaysOff, stress: 0.28677, rating: 0.45232, verdict: design.Fits},
		// (3.465 - 0.45232)/163.5
		{id: design.PinCurrent, stress: 18.426e-3, rating: 20e-3, verdict: design.Fits},
	})
}

// In air of 85 C the bleed that holds at 40 C does not: 0.88*((5.25 - 0.88)/244.68 - 0.88/1818) =
// 15.291 mW, 85 + 62*(0.35*0.61111 + 0.015291) = 99.21 C, and a base conducts from 0.5 - 2 mV/K*74.21.
func TestWorkedNPNInHotAir(t *testing.T) {
	compare(t, lowHand(t, "npn-low-heater-hot-air", 232, 1800), []worked{
		{id: design.JunctionTemperature, stress: 99.209, rating: 150, verdict: design.Fits, headroom: 40 / 14.209},
		{id: design.StaysOff, stress: 0.43290, rating: 0.35158, verdict: design.Over, headroom: 0.35158 / 0.43290},
	})
}

// 13.2/10.8 = 1.2222 A, beyond the last gain that is stated: nothing proves the drive. It
// is within what the part carries.
func TestWorkedNPNBeyondItsLastGain(t *testing.T) {
	d := lowHand(t, "npn-low-heater-beyond-gain", 232, 1800)
	compare(t, d, []worked{{id: design.OnCurrent, stress: 1.2222, rating: 2, verdict: design.Fits, headroom: 1.6 / 1.2222}})
	for _, id := range []design.CheckID{design.BaseDrive, design.Saturation} {
		if c := find(d, id, design.StageSelf); c.Verdict != design.Unproven || c.Stress.OK {
			t.Errorf("%s is %s, stress %v", id, c.Verdict, c.Stress)
		}
	}
}

// 13.2/(6*0.9) = 2.4444 A in 32 mohm that rise by a = 0.9/125 per kelvin: g = 62*0.032*2.4444^2 =
// 11.855 K, (40 + g*(1 - 25a))/(1 - g*a) = 54.361 C.
func TestWorkedMOSFETHeater(t *testing.T) {
	compare(t, lowHand(t, "n-mosfet-low-heater", 300, 3300), []worked{
		{id: design.OnCurrent, stress: 2.4444, rating: 30, verdict: design.Fits},
		// 4.75*3267/(3267 + 40)
		{id: design.GateDrive, stress: 4.5, rating: 4.6925, verdict: design.Fits},
		// 5.25/(15 + 297*3267/3564)
		{id: design.PinCurrent, stress: 18.277e-3, rating: 20e-3, verdict: design.Fits},
		// 5.25*3333/23333; 1 - 5 mV/K*29.361
		{id: design.StaysOff, stress: 0.74996, rating: 0.85320, verdict: design.Fits},
		{id: design.JunctionTemperature, stress: 54.361, rating: 150, verdict: design.Fits, headroom: 85 / 14.361},
		{id: design.BlockingVoltage, stress: 13.2, rating: 60, verdict: design.Fits},
		// 0.8*10.8; 10.8 - 2 A*32 mohm*(1 + a*29.361)
		{id: design.LoadVoltage, stress: 8.64, rating: 10.7225, verdict: design.Fits},
	})
}

// In air of 85 C: (85 + 11.855*0.82)/(1 - 11.855*a) = 103.56 C, and a threshold of 1 - 5 mV/K*78.56.
func TestWorkedMOSFETInHotAir(t *testing.T) {
	compare(t, lowHand(t, "n-mosfet-low-heater-hot-air", 300, 3300), []worked{
		{id: design.JunctionTemperature, stress: 103.56, rating: 150, verdict: design.Fits, headroom: 40 / 18.561},
		{id: design.StaysOff, stress: 0.74996, rating: 0.60720, verdict: design.Over},
	})
}

// A pin of 3.3 V leaves 3.135*3267/3307 = 3.0971 V, and the on-resistance is stated from 4.5 V.
// The square law of the worst part: K = 1/(0.032*(4.5 - 2.5)) = 15.625 A/V2; cold it conducts from
// 2.5 + 5 mV/K*25 = 2.625 V. For 2.4444 A it wants sqrt(2*2.4444/K) = 0.55936 V more: no. For
// 0.61111 A 0.27968 V: perhaps, and nobody says so.
func TestWorkedMOSFETFrom3V3(t *testing.T) {
	for _, tc := range []struct {
		job      string
		estimate float64
		verdict  design.Verdict
	}{{"n-mosfet-low-heater-3v3", 3.1844, design.Over}, {"n-mosfet-low-small-heater-3v3", 2.9047, design.Unproven}} {
		d := lowHand(t, tc.job, 300, 3300)
		compare(t, d, []worked{{id: design.GateDrive, stress: 4.5, rating: 3.0971, verdict: tc.verdict}})
		wantNear(t, tc.job+" by the square law", find(d, design.GateDrive, design.StageSelf).StressEstimate, tc.estimate, 1e-3)
	}
}
