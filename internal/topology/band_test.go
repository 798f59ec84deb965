package topology

import (
	"slices"
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	q "example.org/pinhoist/internal/quantity"
)

// A rail that rises in 1 ms: half of 6 nC comes in the first tenth of it, through a
// winding at up to twice the pace: 60 uA. The solenoid's stage of 3.9 kohm and 270 ohm, its
// pin pulled up: 0.8639 V and 60 uA*(272.7 + 3939 || 20000) = 0.2138 V are over the 0.9159
// V of the threshold, but only by the rise that is assumed. With 2.7 kohm 0.6300 + 0.1603 V
// are under it.
func TestWorkedBoot(t *testing.T) {
	cat := handCatalog(t)
	sw, _ := cat.Part("hand-n")
	sw.(*catalog.MOSFET).QGDMax = q.Some(q.Coulomb(6e-9))
	for _, tc := range []struct {
		down, stress float64
		verdict      design.Verdict
	}{{3900, 1.07771, design.Unproven}, {2700, 0.79030, design.Fits}} {
		d, _ := handStage(t, cat, handSolenoid, "n-mosfet-low", "hand-n", &Given{RPulldown: ohms(tc.down), RGate: ohms(270), Clamp: handClamp()})
		compare(t, d, []worked{{id: design.StaysOff, stress: tc.stress, rating: 0.9159, verdict: tc.verdict}})
	}
	// The engine's own choice counts it.
	d, _ := handStage(t, cat, handSolenoid, "n-mosfet-low", "hand-n", &Given{})
	if c := find(d, design.StaysOff, design.StageSelf); c.Verdict != design.Fits {
		t.Errorf("chosen: %+v", c)
	}
	// Nobody states the gate-drain charge: the whole of it is a bound, 20 nC are 200 uA.
	sw.(*catalog.MOSFET).QGDMax = q.None[q.Coulomb]()
	d, _ = handStage(t, cat, handSolenoid, "n-mosfet-low", "hand-n", &Given{RPulldown: ohms(3300), RGate: ohms(270), Clamp: handClamp()})
	compare(t, d, []worked{{id: design.StaysOff, stress: 0.74993 + 200e-6*(272.7+2856.9), rating: 0.9159, verdict: design.Unproven}})
}

// A heater of 4 A in a cycle that hardware holds to 30 %: 0.032*4.889^2 = 0.7649 W at 25 C.
// Seen from the junction the on time counts as
//
//	10 s  0.5 + 1.5 + 60*(1 - e^-3)/(1 - e^-10) = 59.015 K/W, 45.14 K
//	2 s   0.5 + 1.5 + 60*(1 - e^-0.6)/(1 - e^-2) = 33.308 K/W, 25.48 K
//
// and the junction is 25 + (15 + g)/(1 - g*0.0072). Held by software alone it may stay
// on: 62 K/W.
func TestWorkedCycle(t *testing.T) {
	for _, tc := range []struct {
		mode string
		want float64
	}{
		{"period = \"10 s\"\nduty_enforced = \"hardware\"\n", 114.10},
		{"period = \"2 s\"\nduty_enforced = \"hardware\"\n", 74.570},
		{"period = \"2 s\"\n", 119.79},
	} {
		given := bare()
		d, _ := handStage(t, handCatalog(t), heaterOf("4 A", "mode = \"cycle\"\nduty = \"30 %\"\n"+tc.mode), "n-mosfet-low", "hand-n", &given)
		compare(t, d, []worked{{id: design.JunctionTemperature, stress: tc.want, rating: 150, verdict: find(d, design.JunctionTemperature, design.StageSelf).Verdict}})
	}
}

// What pwm does to the load is told and not judged.
func TestBand(t *testing.T) {
	for _, tc := range []struct {
		name, load   string
		least        float64 // Hz; 0: none
		ripple       float64 // A; 0: none
		wanted, none []string
	}{
		// 13.2 V and 12.439 ohm, 48 mH at the least: 12.439/(4*0.048*0.2) = 323.9 Hz. At 1 kHz
		// the swing is at one half V/R*tanh(R/(4*F*L)) = 1.0612*tanh(0.06479) = 68.66 mA with
		// an ideal diode; with one of 1.3 V (V + VD)/V times that: 75.4 mA.
		{"solenoid", handSolenoid + "mode = \"pwm\"\npwm_frequency = \"1 kHz\"\n", 323.9, 75.4e-3, []string{design.CautionAudible}, []string{design.CautionRipple, design.CautionFarClamp}},
		{"slow solenoid at the end of 3 m", handSolenoid + "mode = \"pwm\"\npwm_frequency = \"200 Hz\"\nwire_length = \"3 m\"\n", 323.9, 0, []string{design.CautionAudible, design.CautionRipple, design.CautionFarClamp}, nil},
		// 100 %/0.08 per cent and hertz.
		{"led", strongPin + "[[load]]\nname = \"l\"\nkind = \"led\"\nrail = \"r\"\ncurrent = \"1 A\"\nmode = \"pwm\"\npwm_frequency = \"200 Hz\"\n", 1250, 0, []string{design.CautionFlicker}, []string{design.CautionAudible}},
		{"led, fast", strongPin + "[[load]]\nname = \"l\"\nkind = \"led\"\nrail = \"r\"\ncurrent = \"1 A\"\nmode = \"pwm\"\npwm_frequency = \"2 kHz\"\n", 1250, 0, nil, []string{design.CautionFlicker}},
		{"on and off", handSolenoid, 0, 0, nil, []string{design.CautionAudible, design.CautionRipple}},
	} {
		d, _ := handStage(t, handCatalog(t), tc.load, "n-mosfet-low", "hand-n", &Given{Clamp: GivenClamp{}})
		least := 0.0
		for _, v := range d.Nominal {
			if v.Key == design.FPWMMin {
				least = v.V
			}
		}
		if tc.least > 0 || least > 0 {
			wantNear(t, tc.name+": lower end", design.Known(least), tc.least, 1e-3)
		}
		if ripple := valueIn(d, design.IRipple); tc.ripple > 0 && (ripple.V < 0.9*tc.ripple || ripple.V > 1.05*tc.ripple) {
			t.Errorf("%s: ripple %g A, by hand %g", tc.name, ripple.V, tc.ripple)
		}
		for _, id := range tc.wanted {
			if !slices.Contains(d.Cautions, id) {
				t.Errorf("%s: no caution %s in %v", tc.name, id, d.Cautions)
			}
		}
		for _, id := range tc.none {
			if slices.Contains(d.Cautions, id) {
				t.Errorf("%s: caution %s", tc.name, id)
			}
		}
	}
}

// A sink carries more away the hotter it is: where heat ends the frequency of pwm, less
// current never ends it sooner for the sink being cooler now.
func TestLessCurrentEndsNoFrequencySooner(t *testing.T) {
	last := 0.0
	for _, amps := range []string{"3 A", "2.5 A", "2 A", "1.5 A"} {
		text := "[[rail]]\nname = \"r\"\nvoltage = \"12 V\"\n[[load]]\nname = \"x\"\nrail = \"r\"\nkind = \"led\"\ncurrent = \"" + amps + "\"\nmode = \"pwm\"\npwm_frequency = \"500 Hz\"\n"
		d, _ := designOf(t, text, nMOSFETLow{}, "n-60v-2v5-dpak", &Given{HeatSink: GivenPart{Said: true, ID: "hs-dpak-25"}, RGate: ohms(1e3), RPulldown: ohms(10e3)})
		f := valueIn(d, design.FPWMMax)
		t.Logf("%s %v %v", amps, f, d.Choice.HeatSink)
		if !f.OK || f.V < last {
			t.Errorf("%s: %v Hz, more current %g", amps, f, last)
		}
		last = f.V
	}
}
