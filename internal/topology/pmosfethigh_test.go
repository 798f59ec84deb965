package topology

import (
	"strings"
	"testing"

	"example.org/pinhoist/internal/design"
)

// byHandN is the level shifter of the calculations: the N-channel MOSFET of
// handParts behind 390 ohm, with a pull-down of 1 kohm: while off it gets
// 5.25*1010/21010 = 0.2524 V at the most, too little to take any current.
func byHandN(g Given) *Given {
	g.Shifter, g.DriverPart, g.DriverTopology = GivenPart{Said: true, ID: "hand-n"}, "hand-n", "n-mosfet-low"
	g.Driver = &Given{RGate: body(390), RPulldown: body(1000)}
	return &g
}

var (
	heaterP12 = workedJob("p-mosfet-high-heater-12v")
	heaterP24 = workedJob("p-mosfet-high-heater-24v")
)

// A heater of 12 ohm +-10 % on 12 V +-10 %: 13.2/10.8 = 1.2222 A, at the lowest
// rail 1 A. Pull-up 4.7 kohm, gate resistor 1 kohm.
func TestWorkedPMOSFETHigh(t *testing.T) {
	d := highStage(t, pMOSFETHigh{}, heaterP12, "hand-p", byHandN(Given{RPullup: body(4700), RGate: body(1000)}))
	compare(t, d, []worked{
		{id: design.OnCurrent, stress: 1.2222, rating: 20, verdict: design.Fits},
		// The shifter drops 10.8/990*0.032*1.108 = 0.39 mV; (10.8 - 0.00039)*4653/(4653 + 1010),
		// less 0.1 uA*1010.
		{id: design.GateDrive, stress: 4.5, rating: 8.8734, verdict: design.Fits},
		// 13.2*4747/(4747 + 990)
		{id: design.GateVoltage, stress: 10.922, rating: 20, verdict: design.Fits},
		// Steady: at the highest rail the gate gets 10.85 V: 40 mohm at 1.2222 A, 44.159 C. At
		// 12.171 V it gets just under 10 V: 60 mohm at 12.171/10.8 = 1.1270 A: g = 62*0.06*1.1270^2
		// = 4.7246, a = 0.8/125, T = (40 + g*(1 - 25a))/(1 - g*a) = 45.340 C. An edge of 84.56 us
		// at half of 13.2 V*1.1270 A on 0.5 K/W of 1 ms, 1.5 K/W of 20 ms and 60 K/W of 1 s heats
		// by 7.438*(0.04054 + 0.00633 + 0.00507) = 0.386 K.
		{id: design.JunctionTemperature, stress: 45.726, rating: 150, verdict: design.Fits},
		// (0.1 uA + 100 uA of the shifter)*4747, and while the rail rises in 1 ms half of the 10 nC in
		// the first tenth of it, 50 uA*4747; 1 - 5 mV/K*(45.340 - 25)
		{id: design.StaysOff, stress: 0.71252, rating: 0.89830, verdict: design.Fits},
		{id: design.BlockingVoltage, stress: 13.2, rating: 60, verdict: design.Fits},
		// 80 % of 10.8; 10.8 - 1*0.06*(1 + 0.0064*20.340)
		{id: design.LoadVoltage, stress: 8.64, rating: 10.7322, verdict: design.Fits},
		// 1.2222 + 13.2/990
		{id: design.RailCurrent, stress: 1.23556, rating: 3, verdict: design.Fits},
		// 100 uA, and 250 uA/10^((0.89830 - 0.47517)/0.16023) that the gate, held at (100.1 uA)*4747,
		// still makes flow at 45.3 C
		{id: design.Leakage, stress: 100.57e-6, rating: 0.1, verdict: design.Fits},
	})
	// On: 16 nC through 4747 || 1010 = 832.8 ohm. The plateau is 2.625 V + sqrt(2I*0.06*2):
	// at the lowest rail 3.1149 V, 2.314 us; and the shifter's 11 nC*433.9/(4.5655 - 2.6663) = 2.513 us.
	valueNear(t, d, design.TOn, 4.827e-6)
	// Off: 16 nC*4747/0.89830 = 84.55 us; before it (40 nC*1.0922 - 16 nC)*4747/0.89830 = 146.3 us;
	// and the shifter's 11 nC*433.9/0.925 = 5.160 us.
	valueNear(t, d, design.TOff, 236.04e-6)
	if d.Verdict != design.Fits {
		t.Error(show(d))
	}
	for _, e := range d.Elements {
		if e.Ref == "Q1" && strings.Join(e.Nodes, " ") != "control switch rail" {
			t.Errorf("the source is not on the rail, and the body diode conducts: %v", e.Nodes)
		}
	}
}

// The same with 2 A: at 12.171 V 60 mohm and 12.171/5.4 = 2.2539 A, g = 62*0.06*2.2539^2 =
// 18.898, (40 + g*0.84)/(1 - g*0.0064) = 63.561 C. Its gate, off from 1 - 5 mV/K*38.561, takes
// 16 nC*4747/0.80719 = 94.09 us, at half of 13.2 V*2.2539 A, 14.876 W, on 0.5*0.08980 + 1.5*
// 0.0046937 + 60*0.00009409 = 0.057587 K/W: 0.857 K.
func TestWorkedPMOSFETHighTwoAmperes(t *testing.T) {
	d := highStage(t, pMOSFETHigh{}, workedJob("p-mosfet-high-heater-2a"), "hand-p", byHandN(Given{RPullup: body(4700), RGate: body(1000)}))
	compare(t, d, []worked{
		{id: design.OnCurrent, stress: 2.4444, rating: 20, verdict: design.Fits},
		{id: design.JunctionTemperature, stress: 64.418, rating: 150, verdict: design.Fits, headroom: 85 / 24.418},
		// (100.1 uA + 50 uA)*4747
		{id: design.StaysOff, stress: 0.71252, rating: 0.80719, verdict: design.Fits},
		// 10.8 - 2*0.06*(1 + 0.0064*38.561)
		{id: design.LoadVoltage, stress: 8.64, rating: 10.6504, verdict: design.Fits},
		// 2.4444 + 13.2/990
		{id: design.RailCurrent, stress: 2.45778, rating: 3, verdict: design.Fits},
	})
	// The plateau is 2.625 V + sqrt(2*2*0.06*2) = 3.3178 V: 16 nC*832.8/(8.8734 - 3.3178) =
	// 2.398 us, and the shifter's 2.513 us.
	valueNear(t, d, design.TOn, 4.9115e-6)
	if d.Verdict != design.Fits {
		t.Error(show(d))
	}
}

// The same in air of 85 C, 1 A: (85 + 4.7246*0.84)/(1 - 4.7246*0.0064) = 91.742 C, where the
// gate is off from 1 - 5 mV/K*66.742 = 0.66629 V. The shifter, off with 0.25238 V, conducts from
// 0.7 V there, and a decade is 0.15 V*358.15/298.15 = 0.18019 V: 250 uA/10^(0.44762/0.18019) less
// 250 uA/10^(0.7/0.18019), 0.787 uA beside its 100 uA. What leaks leaves the gate 100.887 uA*4747 =
// 0.47891 V; the rail that rises in the assumed 1 ms adds 50 uA and 0.066 uA of the shifter's 1 pF:
// more than the gate bears, and nobody says so.
// An edge of 16 nC*4747/0.66629 = 113.99 us on 0.069231 K/W at 7.438 W is 0.515 K, ten of both
// a minute on average 62*7.438*118.8 us/6 s = 0.009 K.
func TestWorkedPMOSFETHighInHotAir(t *testing.T) {
	d := highStage(t, pMOSFETHigh{}, workedJob("p-mosfet-high-heater-hot-air"), "hand-p", byHandN(Given{RPullup: body(4700), RGate: body(1000)}))
	compare(t, d, []worked{
		{id: design.JunctionTemperature, stress: 92.267, rating: 150, verdict: design.Fits, headroom: 40 / 7.267},
		{id: design.StaysOff, stress: 0.71658, rating: 0.66629, verdict: design.Unproven},
		// The shifter drops 0.5 mV of 10.8 V; 4653/(4653 + 1010) of it, less 0.1 uA*1010
		{id: design.GateDrive, stress: 4.5, rating: 8.8733, verdict: design.Fits},
		// 10.8 - 0.06*(1 + 0.0064*66.742)
		{id: design.LoadVoltage, stress: 8.64, rating: 10.7144, verdict: design.Fits},
	})
	wantNear(t, "stays-off, without what the rising rail adds", find(d, design.StaysOff, design.StageSelf).EasyStress, 0.47891, 1e-4)
}

// A winding with a diode across it: 13.2/(24*0.9*234.5/254.5) = 0.66323 A at 0 C; at 40 C and
// 12.171 V 12.171/23.298 = 0.52242 A in 60 mohm, 41.120 C.
func TestWorkedPMOSFETHighSolenoid(t *testing.T) {
	d := highStage(t, pMOSFETHigh{}, workedJob("p-mosfet-high-solenoid"), "hand-p", byHandN(Given{RPullup: body(4700), RGate: body(1000), Clamp: handClamp()}))
	compare(t, d, []worked{
		{id: design.OnCurrent, stress: 0.66323, rating: 20, verdict: design.Fits},
		// 13.2 + 1.3
		{id: design.BlockingVoltage, stress: 14.5, rating: 60, verdict: design.Fits},
		{id: design.ClampVoltage, stress: 13.2, rating: 100, verdict: design.Fits},
		// 0.85*12 V; 10.8 - 0.54265*0.06*(1 + 0.0064*16.120)
		{id: design.LoadVoltage, stress: 10.2, rating: 10.7641, verdict: design.Fits},
		// 0.66323 + 13.2/990
		{id: design.RailCurrent, stress: 0.67656, rating: 3, verdict: design.Fits},
	})
	valueNear(t, d, design.VPeakOff, -1.3)
	// (60 mH/19.902)*ln((0.66323*19.902 + 0.45)/(0.05*19.902 + 0.45))
	valueNear(t, d, design.TDecay, 6.7696e-3)
}

// What the shifter leaks holds the gate half on across 10 kohm: 100.1 uA*10.1 kohm.
func TestWorkedPMOSFETHighPullUpTooLarge(t *testing.T) {
	d := highStage(t, pMOSFETHigh{}, heaterP12, "hand-p", byHandN(Given{RPullup: body(10e3), RGate: body(1000)}))
	c := find(d, design.StaysOff, design.StageSelf)
	wantNear(t, "stays-off, without what the rising rail adds", c.EasyStress, 1.01101, 1e-3)
	if c.Verdict != design.Over || d.Verdict != design.Over {
		t.Error(show(d))
	}
}

// 24 V +-10 % and a gate of 20 V: with 100 ohm below the pull-up the gate gets
// 26.4*10.1/(10.1 + 0.099) = 26.14 V; with 10 kohm the half.
func TestWorkedPMOSFETHighDivider(t *testing.T) {
	d := highStage(t, pMOSFETHigh{}, heaterP24, "hand-p", byHandN(Given{RPullup: body(10e3), RGate: body(100), GateClamp: GivenPart{Said: true}}))
	c := find(d, design.GateVoltage, design.StageSelf)
	wantNear(t, "gate-voltage", c.Stress, 26.144, 1e-3)
	if c.Verdict != design.Over || d.Verdict != design.Over {
		t.Error(show(d))
	}
	d = highStage(t, pMOSFETHigh{}, heaterP24, "hand-p", byHandN(Given{RPullup: body(4700), RGate: body(4700)}))
	compare(t, d, []worked{
		// 26.4*4747/(4747 + 4653)
		{id: design.GateVoltage, stress: 13.332, rating: 20, verdict: design.Fits},
		// 21.6*4653/(4653 + 4747), less the shifter's 21.6/4653*0.032*1.108 = 0.16 mV of it and 0.1 uA*4747
		{id: design.GateDrive, stress: 4.5, rating: 10.6912, verdict: design.Fits},
	})
}

// A Zener across the pull-up: (26.4 - 13.8)/2178 = 5.785 mA at most; 15.6 V*5.785 mA
// heats it by 27.07 K over 40 C, so 13 mV/K*42.07 K = 0.547 V are added: 16.147 V, more
// than 80 % of 20 V. One of 12 V gets 6.887 mA, 26.24 K: 12.7 + 9.6 mV/K*41.24 K.
func TestWorkedPMOSFETHighZener(t *testing.T) {
	g := Given{RPullup: body(4700), RGate: body(2200), GateClamp: GivenPart{Said: true, ID: "z-15v-0w5"}}
	d := highStage(t, pMOSFETHigh{}, heaterP24, "hand-p", byHandN(g))
	compare(t, d, []worked{{id: design.GateVoltage, stress: 16.147, rating: 20, verdict: design.Tight}})
	g.GateClamp.ID = "z-12v-0w5"
	d = highStage(t, pMOSFETHigh{}, heaterP24, "hand-p", byHandN(g))
	compare(t, d, []worked{
		{id: design.GateVoltage, stress: 13.096, rating: 20, verdict: design.Fits},
		// The divider leaves 21.6*4653/(4653 + 2222) = 14.62 V, so the Zener decides: (11.4 - 0.396)*0.95,
		// less 0.1 uA*2222.
		{id: design.GateDrive, stress: 4.5, rating: 10.4537, verdict: design.Fits},
	})
	for _, e := range d.Elements {
		if e.Part == "z-12v-0w5" && strings.Join(e.Nodes, " ") != "control rail" {
			t.Errorf("the Zener stands wrong: %v", e.Nodes)
		}
	}
	if d.Choice.GateClamp != "z-12v-0w5" {
		t.Error("the gate clamp is not kept")
	}
}

// A Zener with no more than 100 ohm before it takes (26.4 - 11.4)/99 = 152 mA: 1.9 W of
// 0.5 W. It burns, and limits nothing: 26.4*4747/(4747 + 99).
func TestWorkedPMOSFETHighZenerBurns(t *testing.T) {
	d := highStage(t, pMOSFETHigh{}, heaterP24, "hand-p", byHandN(Given{RPullup: body(4700), RGate: body(100), GateClamp: GivenPart{Said: true, ID: "z-12v-0w5"}}))
	c := find(d, design.GateVoltage, design.StageSelf)
	wantNear(t, "gate-voltage", c.Stress, 25.861, 1e-3)
	if c.Verdict != design.Over {
		t.Error(show(d))
	}
}

// On the pin's own supply: a heater of 50 ohm +-10 % takes 5.25/45 = 116.7 mA. Gate
// resistor 270 ohm, pull-up 10 kohm on the pin's side of it.
func TestWorkedPMOSFETHighDirect(t *testing.T) {
	text := workedJob("p-mosfet-high-direct")
	d := highStage(t, pMOSFETHigh{}, text, "hand-p", &Given{RPullup: body(10e3), RGate: body(270), Shifter: GivenPart{Said: true}})
	compare(t, d, []worked{
		// 4.75*9900/(9900 + 40), less 0.1 uA*272.7
		{id: design.GateDrive, stress: 4.5, rating: 4.7308, verdict: design.Fits},
		{id: design.GateVoltage, stress: 5.25, rating: 20, verdict: design.Fits},
		// 5.25/(15 + 267.3 || 9900) = 5.25/(15 + 260.27)
		{id: design.PinCurrent, stress: 19.072e-3, rating: 20e-3, verdict: design.Fits},
		// floating: (1 uA + 0.1 uA)*10100 + 0.1 uA*272.7, and 50 uA*(10100 + 272.7) while the rail
		// rises; at 40.06 C 1 - 5 mV/K*15.06
		{id: design.StaysOff, stress: 0.52977, rating: 0.92472, verdict: design.Fits},
	})
	// 5.25/(15 + 9900)
	wantNear(t, "sunk by the pin", design.Known(d.PinSink), 0.52950e-3, 1e-3)
	if d.Driver != nil || d.Verdict != design.Fits {
		t.Error(show(d))
	}
}

// The charge of a gate is no steady current of its level shifter. 13.2 V, 100 ohm and 2.7
// kohm of 5 % each: steadily 13.2*105/(2565 + 105) = 0.5191 V across 95 ohm, 5.464 mA; while
// the gate charges 13.2/95 = 138.9 mA, which a transistor of 200 mA bears for so long, its
// gain being enough for it. 47 ohm ask for 295.6 mA, which it does not bear.
func TestGateChargeIsNoSteadyCurrent(t *testing.T) {
	text := workedJob("p-mosfet-high-gate-charge")
	of := func(gate float64) *design.Design {
		g := &Given{Stated: true, RGate: GivenResistor{Said: true, Ohms: gate, Tol: 0.05}, RPullup: GivenResistor{Said: true, Ohms: 2700, Tol: 0.05}, Shifter: GivenPart{Said: true, ID: "npn-40v-small"}}
		d, _ := designOf(t, text, pMOSFETHigh{}, "p-40v-logic-dpak", g)
		return d
	}
	d := of(100)
	if d.Verdict != design.Fits {
		t.Fatalf("100 ohm: %v, %s", d.Verdict, show(d))
	}
	wantNear(t, "steady current of the shifter", find(d, design.OnCurrent, design.StageDriver).Stress, 5.464e-3, 1e-3)
	wantNear(t, "its peak", find(d, design.PeakCurrent, design.StageDriver).Stress, 138.9e-3, 1e-3)
	for _, e := range d.Driver.Elements {
		if e.Ref == "R3" && e.Value != 100 {
			t.Errorf("the drawing has %g ohm at the gate", e.Value)
		}
	}
	if d = of(47); d.Verdict < design.Unproven {
		t.Errorf("47 ohm: %v", d.Verdict)
	}
}
