package topology

import (
	"math"
	"strings"
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
)

// Stages of several MOSFETs side by side worked by hand around the part hand-n of
// the other hand calculations: 32 mohm at most from 4.5 V up, rising by a = 0.9/125
// per kelvin, 62 K/W to air, 120 A in a pulse, 11 nC of gate-drain and gate-source
// charge, threshold 1 to 2.5 V, 5 mV/K. Every expected number is DERIVED: the
// circuit's equations, the numbers put in beside them.

// side by side with so many parts.
func parallelStage(t *testing.T, text string, n int, given Given) *design.Design {
	t.Helper()
	given.Parallel = n
	cat := handCatalog(t)
	b := benchOn(t, cat, text)
	sw, _ := cat.Part("hand-n")
	// A pin that lets go ends the load's current slowly, which a safe area has to bear.
	sw.(*catalog.MOSFET).SOA = []catalog.SOACurve{area2(t, 10e-3, 1000, 1000)}
	top := nMOSFETParallel{}
	if why := top.Serves(b.env, b.m, sw); why != "" {
		t.Fatal(why)
	}
	d := new(design.Design)
	top.Design(b.env, b.m, sw, &given, d)
	return d
}

// strongPin is a pin of 100 mA, and 12 V +-10 % of 60 A.
const strongPin = `
[pin]
supply = "5 V"
supply_tolerance = "5 %"
source_current_max = "100 mA"
sink_current_max = "100 mA"
[environment]
ambient_min = "0 C"
ambient_max = "40 C"
[[rail]]
name = "r"
voltage = "12 V"
tolerance = "10 %"
current_max = "60 A"
`

// heaterOf is a resistive load on 12 V, its resistance +-10 %.
func heaterOf(current, more string) string {
	return strongPin + "[[load]]\nname = \"h\"\nkind = \"resistive\"\nrail = \"r\"\ncurrent = \"" + current + "\"\n" + more
}

// heldLow is a job whose pin is low at reset.
func heldLow(text string) string {
	return strings.Replace(text, "[environment]", "at_reset = \"low\"\n[environment]", 1)
}

// bare is a stage without a sink, 3 kohm under 150 ohm a gate, 1 %.
func bare() Given {
	return Given{RPulldown: ohms(3000), RGate: ohms(150), HeatSink: GivenPart{Said: true}}
}

// Two parts and 6 A: 13.2/(2*0.9) = 7.333 A.
func TestWorkedParallelPair(t *testing.T) {
	d := parallelStage(t, workedJob("n-mosfet-parallel-6a"), 2, bare())
	compare(t, d, []worked{
		// the part of 0.7 R takes 7.333/(1 + 0.7)
		{id: design.OnCurrent, stress: 4.3137, rating: 30, verdict: design.Fits},
		// Hottest is a part among two of the greatest resistance (at a common voltage
		// and a given sum of currents R/(R + R2)^2 is greatest at R = R2): 3.667^2*0.032 =
		// 0.4302 W at 25 C, g = 62*0.4302 = 26.67 K, 25 + (40 + g - 25)/(1 - g*a); with a
		// spread of 0.7 the cooler solution is 73.5 C.
		{id: design.JunctionTemperature, stress: 76.58, rating: 150, verdict: design.Fits, headroom: 85 / 36.58},
		// 4.75*2970/(2970 + 40)
		{id: design.GateDrive, stress: 4.5, rating: 4.6869, verdict: design.Fits},
		// two gates: 5.25/(15 + 148.5/2 || 2970) = 5.25/(15 + 72.439)
		{id: design.PinCurrent, stress: 60.04e-3, rating: 0.1, verdict: design.Fits},
		// 5.25*3030/(3030 + 20000); 1 - 5 mV/K*(76.58 - 25)
		{id: design.StaysOff, stress: 0.6907, rating: 0.7421, verdict: design.Fits},
		// 0.8*10.8; 10.8 - 6*0.032*1.3714/2
		{id: design.LoadVoltage, stress: 8.64, rating: 10.668, verdict: design.Fits},
	})
	// 0.032*1.3714/2
	valueNear(t, d, design.ROn, 0.02194)
	if d.Verdict != design.Fits {
		t.Errorf("the stage is %s", d.Verdict)
	}
	if n := len(d.BOM); n != 5 { // two parts, two gate resistors, one pull-down
		t.Errorf("%d lines to buy: %+v", n, d.BOM)
	}
	wantNear(t, "cost", d.Cost.Amount, 2*0.50+3*0.02, 1e-9)
}

// Three parts and 10 A, 12.222 A at the most. The part of 0.7 R is the hottest; the
// two currents and temperatures that belong together, by putting one into the other:
//
//	T1 = 88.8 C, f1 = 1.4592, R1 = 0.7*0.032*f1 = 32.69 mohm
//	T2 = 76.4 C, f2 = 1.3699, R2 = 43.84 mohm
//	V = 12.222/(1/R1 + 2/R2) = 160.4 mV: 4.906 and 3.658 A
//	40 + 62*V^2/R1 = 88.8, 40 + 62*V^2/R2 = 76.4
//
// As warm as each other they are when they are switched on: 12.222/(1 + 2*0.7).
func TestWorkedParallelThree(t *testing.T) {
	d := parallelStage(t, workedJob("n-mosfet-parallel-10a"), 3, bare())
	compare(t, d, []worked{
		{id: design.OnCurrent, stress: 5.0926, rating: 30, verdict: design.Fits},
		{id: design.JunctionTemperature, stress: 88.78, rating: 150, verdict: design.Fits, headroom: 85 / 48.78},
		// three gates: 5.25/(15 + 148.5/3 || 2970) = 5.25/(15 + 48.689)
		{id: design.PinCurrent, stress: 82.43e-3, rating: 0.1, verdict: design.Fits},
		// 5.25*3030/(3030 + 20000); 1 - 5 mV/K*(88.78 - 25): too hot to stay off with 3 kohm
		{id: design.StaysOff, stress: 0.6907, rating: 0.6811, verdict: design.Over},
	})
}

// Four parts and 10 A, in the same way: 66.5 and 59.3 C, 3.835 A and 2.796 A.
func TestWorkedParallelFour(t *testing.T) {
	d := parallelStage(t, workedJob("n-mosfet-parallel-10a"), 4, bare())
	compare(t, d, []worked{
		// 12.222/(1 + 3*0.7)
		{id: design.OnCurrent, stress: 3.9427, rating: 30, verdict: design.Fits},
		{id: design.JunctionTemperature, stress: 66.53, rating: 150, verdict: design.Fits, headroom: 85 / 26.53},
		// 5.25/(15 + 148.5/4 || 2970) = 5.25/(15 + 36.667): four gates are too many
		{id: design.PinCurrent, stress: 101.6e-3, rating: 0.1, verdict: design.Over},
	})
	// 10 % of the current; 4 times 100 uA, where the pin holds the gates down at reset.
	d = parallelStage(t, workedJob("n-mosfet-parallel-10a-low-at-reset"), 4, bare())
	compare(t, d, []worked{{id: design.Leakage, stress: 400e-6, rating: 1, verdict: design.Fits}})
}

// One part makes the edges alone, and each gate has twice the pin's resistance to
// itself: 1.01*150 + 2*40 = 231.5 ohm. 4 A of 12 V are 4.889 A at the most, K =
// 1/(0.032*2) = 15.63 A/V2, plateau at 0 C at most 2.625 + sqrt(2*4.889/K) = 3.416 V:
//
//	on   11 nC*231.5/(4.687 - 3.416) = 2.004 us
//	off  11 nC*231.5/(1 - 5 mV/K*(65.75 - 25)) = 3.198 us
//	0.5*13.2*4.889*5.202 us*1000/s + 20 nC*5.25*1000/s = 168.0 mW in one part
//	0.032*2.444^2 = 191.2 mW at 25 C: 25 + (15 + 62*(0.1912 + 0.1680))/(1 - 62*0.1912*a) = 65.75 C
func TestWorkedParallelEdges(t *testing.T) {
	d := parallelStage(t, workedJob("n-mosfet-parallel-pwm"), 2, bare())
	compare(t, d, []worked{
		// The edges alone: 0.1/5.202 us = 19.22 kHz. Heat ends it before: at 150 C the off edge
		// takes 11 nC*231.5/0.375 = 6.791 us, both 0.5*13.2*4.889*8.795 us + 20 nC*5.25 =
		// 283.9 uJ; (110/62 - 0.1912*1.9)/283.9 uJ.
		{id: design.PWMFrequency, stress: 1000, rating: 4970, verdict: design.Fits},
		{id: design.JunctionTemperature, stress: 65.75, rating: 150, verdict: design.Fits, headroom: 85 / 25.746},
	})
	valueNear(t, d, design.TOn, 2.004e-6)
	valueNear(t, d, design.TOff, 3.198e-6)
	valueNear(t, d, design.PSwitching, 0.16795)
}

// One part bears a pulse alone. A motor of 2 A, stalled at 10 A for 10 ms: from the
// highest rail, 10 % over, 10*1.21/1.0786 = 11.22 A in air of 40 C. Steady 2.42/2 =
// 1.21 A: 0.04685 W at 25 C, 43.29 C. Over it at 150 C 0.032*1.9*(11.22^2 - 1.21^2) =
// 7.563 W; the junction 0.5*(1 - e^-10) + 1.5*(1 - e^-0.5) + 60*(1 - e^-0.01) =
// 1.687 K/W: 56.05 C; with the resistance at that, 4.870 W: 51.51 C.
func TestWorkedParallelPulse(t *testing.T) {
	given := bare()
	given.Clamp = handClamp()
	d := parallelStage(t, workedJob("n-mosfet-parallel-stall"), 2, given)
	compare(t, d, []worked{
		{id: design.JunctionTemperature, stress: 51.51, rating: 150, verdict: design.Fits, headroom: 85 / 11.51},
		// 10*1.21*254.5/234.5: the winding at 0 C, whole in one part
		{id: design.PeakCurrent, stress: 13.132, rating: 120, verdict: design.Fits},
		{id: design.OnCurrent, stress: 2.42 / 1.7, rating: 30, verdict: design.Fits},
	})
}

// A stall that nothing ends is steady, and shared. In air of 40 C 11.22/2 A warm a
// part to 25 + (15 + g)/(1 - g*a) = 165.6 C, g = 62*0.032*5.609^2 = 62.42 K; in air of
// 0 C the winding takes 13.13 A: g = 85.53 K, 25 + (g - 25)/(1 - g*a) = 182.6 C.
func TestWorkedParallelJam(t *testing.T) {
	given := bare()
	given.Clamp = handClamp()
	d := parallelStage(t, workedJob("n-mosfet-parallel-jam"), 2, given)
	compare(t, d, []worked{{id: design.JunctionTemperature, stress: 182.6, rating: 150, verdict: design.Over}})
}

// The split that the stage uses is that of the circuit, wherever it is solved: the
// two branches of a fixed total current, each at its own temperature, by small steps.
func TestSharingAgainstTheCircuit(t *testing.T) {
	const ta, rth, r, a = 40, 62, 0.032, 0.0072
	hot := func(t float64) float64 { return 1 + a*(t-25) }
	for _, n := range []int{2, 3, 4} {
		for _, total := range []float64{2, 6, 9} {
			for _, least := range []float64{leastShare, 0.8, 0.9, 1} {
				t1, t2 := float64(ta), float64(ta)
				for range 4000 {
					r1, r2 := least*r*hot(t1), r*hot(t2)
					v := total / (1/r1 + float64(n-1)/r2)
					t1 += 0.05 * (ta + rth*v*v/r1 - t1)
					t2 += 0.05 * (ta + rth*v*v/r2 - t2)
				}
				s := sideBySide{n: n}
				share := s.share(t1, ta, a)
				exact := hot(t2) / (hot(t2) + least*hot(t1)*float64(n-1))
				if least == leastShare && (share < exact*(1-1e-6) || share > exact*1.003) {
					t.Errorf("%d parts, %g A: share %g, the circuit's is %g", n, total, share, exact)
				}
				// No spread between makes a part warmer than what the stage reckons with.
				loss := s.warming(share)
				if got := r * hot(t1) * math.Pow(loss*total, 2); ta+rth*got < t1*(1-1e-4) {
					t.Errorf("%d parts, %g A, spread %g: %g C by the stage, %g C by the circuit", n, total, least, ta+rth*got, t1)
				}
				if share > s.most()*(1+1e-12) {
					t.Errorf("%d parts, %g A: share %g is more than %g when equally warm", n, total, share, s.most())
				}
			}
		}
	}
}

// The least number that gives the best verdict is taken.
func TestParallelTakesTheFewest(t *testing.T) {
	free := Given{HeatSink: GivenPart{Said: true}}
	for _, tc := range []struct {
		current string
		want    int
		fits    bool
	}{
		// The junction is at 125 C where g = 62*0.032*i^2 makes 15 + g = 100*(1 - g*a): i =
		// 4.99 A of the greatest resistance. Two carry twice of it, 8.17 A of the nominal
		// 12 V; three and four by the circuit of the other test 12.3 and 16.1 A.
		{"3 A", 2, true}, {"8 A", 2, true}, {"8.4 A", 3, true}, {"12.1 A", 3, true},
		{"12.5 A", 4, true}, {"15.8 A", 4, true}, {"16.5 A", 0, false},
	} {
		d := parallelStage(t, heaterOf(tc.current, ""), 0, free)
		if fits := d.Verdict == design.Fits; fits != tc.fits || tc.want != 0 && d.Choice.Parallel != tc.want {
			t.Errorf("%s: %d parts, %s\n%s", tc.current, d.Choice.Parallel, d.Verdict, show(d))
		}
	}
}

// Each part has a sink and an insulator of its own.
func TestParallelSinks(t *testing.T) {
	d := parallelStage(t, heaterOf("20 A", ""), 2, Given{})
	count := map[string]int{}
	for _, l := range d.BOM {
		count[l.Ref] += l.Count
	}
	for _, ref := range []string{"Q1", "Q2", "HS1", "HS2", "INS1", "INS2", "R1", "R2", "R3"} {
		if count[ref] != 1 {
			t.Errorf("%s is bought %d times: %+v", ref, count[ref], d.BOM)
		}
	}
}

// A stage that is frozen stays as it is.
func TestParallelFreeze(t *testing.T) {
	d := parallelStage(t, heaterOf("12 A", ""), 0, Given{HeatSink: GivenPart{Said: true}})
	g := Freeze(d)
	cat := handCatalog(t)
	b := benchOn(t, cat, heaterOf("3 A", ""))
	sw, _ := cat.Part("hand-n")
	again := new(design.Design)
	nMOSFETParallel{}.Design(b.env, b.m, sw, g, again)
	if again.Choice.Parallel != d.Choice.Parallel || again.Cost.Amount != d.Cost.Amount {
		t.Errorf("%d parts of %v became %d of %v", d.Choice.Parallel, d.Cost.Amount, again.Choice.Parallel, again.Cost.Amount)
	}
}

// What must never fit.
func TestHostileParallel(t *testing.T) {
	par := "n-mosfet-parallel"
	hostileNeverFit(t, []hostile{
		// 1.1^0.55*1.1*8 A*15 = 139 A, and the one that is fastest has them all: its 120 A
		// are the limit, though two of them are 240 A.
		{name: "pulse that the sum of ratings would bear", load: "kind = \"lamp\"\ncurrent = \"8 A\"\ncold_ratio = 15", topology: par, part: "n-60v-logic-b", check: design.PeakCurrent, least: design.Over},
		// 5.25/(15 + 100/4) = 131 mA out of a pin of 20 mA.
		{name: "pin that cannot charge the gates", load: heat6, topology: par, part: "n-60v-logic-b", built: `r_gate = "100 ohm"`, check: design.PinCurrent, least: design.Over},
		{name: "gates without resistors", load: heat6, topology: par, part: "n-60v-logic-b", built: `r_gate = "none"`, check: design.PinCurrent, least: design.Over},
		// More parts do not lower a gate's need.
		{name: "10 V gates on a 5 V pin", load: heat6, topology: par, part: "n-60v-10vgate-dpak", check: design.GateDrive, least: design.Unproven},
		{name: "24 V output straight to the gates", pin: `supply = "24 V"`, rail: "24 V ± 5 %", load: heat6, topology: par, part: "n-60v-logic-b", check: design.GateVoltage, least: design.Over},
		{name: "gates without a pull-down", load: heat6, topology: par, part: "n-60v-logic-b", built: `r_pulldown = "none"`, check: design.StaysOff, least: design.Over},
		// 7 A x 1.21/0.92 = 9.2 A whole in one for 5 s: 9.2^2 x 62 mohm = 5 W, hundreds of
		// kelvins in a SOT-23, though four of them would share it.
		{name: "stall that one part bears", load: "kind = \"motor\"\ncurrent = \"1 A\"\nstall_current = \"7 A\"\nstall_time = \"5 s\"", topology: par, part: "n-30v-logic-smd", check: design.JunctionTemperature, least: design.Over},
		{name: "solenoid without a clamp", load: latch, topology: par, part: "n-60v-logic-b", built: `clamp = "none"`, check: design.BlockingVoltage, least: design.Over},
		// Four gates take four times as long to charge from the same pin.
		{name: "20 kHz from a 20 mA pin", load: "kind = \"led\"\ncurrent = \"4 A\"\nmode = \"pwm\"\npwm_frequency = \"20 kHz\"", topology: par, part: "n-60v-logic-c", check: design.PWMFrequency, least: design.Over},
		{name: "leakage not stated", load: heat1, topology: par, part: "n-60v-logic-b", change: asMOSFET(func(m *catalog.MOSFET) { m.IDSSMax = nil }), check: design.Leakage, least: design.Unproven},
	}, nMOSFETParallel{})
}
