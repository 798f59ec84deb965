package topology

import (
	"strings"
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
)

// High sides worked by hand. Parts and loads are invented for the purpose; every
// number expected is DERIVED: arithmetic on the stated inputs, written beside it.
// The pin is the default one (5 V +-5 %, 15 to 40 ohm, 20 mA), the policy bench,
// the air 0 to 40 C; resistors are of 1 %.

// highParts are the parts of these calculations, beside those of handParts.
var highParts = workedParts("high")

// highPin is the rail of these calculations.
const highPin = `
[environment]
ambient_min = "0 C"
ambient_max = "40 C"
[[rail]]
name = "r"
voltage = "12 V"
tolerance = "10 %"
current_max = "3 A"
[[rail]]
name = "f"
voltage = "24 V"
tolerance = "10 %"
current_max = "3 A"
`

func highCatalog(t testing.TB) *catalog.Catalog {
	t.Helper()
	return catalogWith(t, handParts, highParts)
}

// highStage is a high side around a part.
func highStage(t testing.TB, top Topology, text, id string, given *Given) *design.Design {
	t.Helper()
	cat := highCatalog(t)
	b := benchOn(t, cat, text)
	sw, ok := cat.Part(id)
	if !ok {
		t.Fatalf("no part %s", id)
	}
	if why := top.Serves(b.env, b.m, sw); why != "" {
		t.Fatalf("%s is not served: %s", id, why)
	}
	if given == nil {
		given = FromBuilt(b.m.Built)
		if why := Untaken(top, b.m.Built, b.m); why != "" {
			t.Fatal(why)
		}
	}
	d := new(design.Design)
	top.Design(b.env, b.m, sw, given, d)
	return d
}

// body is a resistor of 1 % in a body that bears a watt.
func body(v float64) GivenResistor {
	return GivenResistor{Said: true, Ohms: v, Tol: 0.01, Series: "r-one-watt"}
}

// byHandNPN is the level shifter of the calculations: the NPN transistor of
// handParts behind 390 ohm, with a bleed of 1.2 kohm. While off its base gets
// 5.25*1212/(1212 + 20386) = 0.2946 V at the most; at 40.6 C it conducts from 0.4687 V,
// 0.1 mA/A*2 A, and takes 200 uA/10^(0.1741/0.06315) = 0.351 uA there.
func byHandNPN(g Given) *Given {
	g.Shifter, g.DriverPart, g.DriverTopology = GivenPart{Said: true, ID: "hand-npn"}, "hand-npn", "npn-low"
	g.Driver = &Given{RBase: body(390), RBaseEmitter: body(1200)}
	return &g
}

// A heater of 24 ohm +-10 % on 12 V +-10 %: 13.2/21.6 = 0.6111 A, at the lowest
// rail 0.5 A. Base resistor 470 ohm, bleed 1 kohm.
func TestWorkedPNPHigh(t *testing.T) {
	d := highStage(t, pnpHigh{}, workedJob("pnp-high-heater"), "hand-pnp", byHandNPN(Given{RBase: body(470), RBaseEmitter: body(1000)}))
	compare(t, d, []worked{
		{id: design.OnCurrent, stress: 0.61111, rating: 2, verdict: design.Fits},
		// Gain log-log at 0.6111 A: 100*(1.2222)^(ln 0.8/ln 2) = 93.744, at 0 C 82.026. At the
		// highest rail (13.2 - 0.35 - 1.05)/474.7 - 1.05/990; half of it over 7.450 mA is 1.597,
		// at the lowest (18.741 mA against 5.714 mA) 1.640.
		{id: design.BaseDrive, stress: 7.4504e-3, rating: 23.797e-3, verdict: design.Fits, headroom: 1.5970},
		// Forced gain 50: 0.5/50 against (10.8 - 0.35 - 1.05)/474.7 - 1.05/990 at the lowest
		// rail is 1.874, at the highest 12.222 against 23.797 mA 1.947.
		{id: design.Saturation, stress: 10e-3, rating: 18.741e-3, verdict: design.Fits, headroom: 1.8741},
		// 40 + 62*(0.4*0.6111 + 0.97*((13.2 - 0.97)/465.3 - 0.97/1010))
		{id: design.JunctionTemperature, stress: 56.679, rating: 150, verdict: design.Fits},
		// (100 uA + 0.352 uA of the shifter)*1010; 0.5 - 2 mV/K*(56.679 - 25)
		{id: design.StaysOff, stress: 0.10136, rating: 0.43664, verdict: design.Fits},
		{id: design.BlockingVoltage, stress: 13.2, rating: 60, verdict: design.Fits},
		// 80 % of 10.8 V; 10.8 - 0.4
		{id: design.LoadVoltage, stress: 8.64, rating: 10.4, verdict: design.Fits},
		// 0.6111 + 13.2/465.3
		{id: design.RailCurrent, stress: 0.63948, rating: 3, verdict: design.Fits},
		// ((13.2 - 0.43664)/465.3)^2*474.7
		{id: design.ResistorPower, stress: 0.35718, rating: 1, verdict: design.Fits},
		{id: design.Leakage, stress: 100e-6, rating: 50e-3, verdict: design.Fits},
	})
	// The shifter: 13.2/465.3 over the forced gain 50; (4.75 - 1.05)/(40 + 393.9) - 1.05/1188.
	c := find(d, design.Saturation, design.StageDriver)
	wantNear(t, "saturation of the level shifter", c.Stress, 0.56738e-3, 1e-3)
	wantNear(t, "its base", c.Rating, 7.6432e-3, 1e-3)
	if d.Driver == nil || d.Choice.Shifter != "hand-npn" || d.Verdict != design.Fits {
		t.Error(show(d))
	}
	for _, e := range d.Elements {
		if e.Ref == "Q1" && strings.Join(e.Nodes, " ") != "control switch rail" {
			t.Errorf("the emitter is not on the rail: %v", e.Nodes)
		}
	}
}

// The transistor's own leakage of 100 uA across 10 kohm, and the shifter's:
// 100.35 uA*10.1 kohm = 1.0136 V.
func TestWorkedPNPHighBleedTooLarge(t *testing.T) {
	d := highStage(t, pnpHigh{}, workedJob("pnp-high-heater"), "hand-pnp", byHandNPN(Given{RBase: body(470), RBaseEmitter: body(10e3)}))
	c := find(d, design.StaysOff, design.StageSelf)
	wantNear(t, "stays-off", c.Stress, 1.0136, 1e-3)
	if c.Verdict != design.Over || d.Verdict != design.Over {
		t.Error(show(d))
	}
}

// Without a bleed nothing carries the leakage but the base: the stage conducts.
func TestWorkedPNPHighWithoutBleed(t *testing.T) {
	d := highStage(t, pnpHigh{}, workedJob("pnp-high-no-bleed"), "hand-pnp", nil)
	c := find(d, design.StaysOff, design.StageSelf)
	wantNear(t, "stays-off", c.Stress, 13.2, 1e-9)
	if c.Verdict != design.Over {
		t.Error(show(d))
	}
}

// On the pin's own supply the pin sinks the base current: a heater of 100 ohm +-10 %
// takes 5.25/90 = 58.33 mA. Base resistor 240 ohm, bleed 1 kohm.
func TestWorkedPNPHighDirect(t *testing.T) {
	text := workedJob("pnp-high-direct")
	d := highStage(t, pnpHigh{}, text, "hand-pnp", &Given{RBase: body(240), RBaseEmitter: body(1000), Shifter: GivenPart{Said: true}})
	compare(t, d, []worked{
		{id: design.OnCurrent, stress: 58.333e-3, rating: 2, verdict: design.Fits},
		// Below the first gain point that point's base current: 0.5/87.5. At the lowest supply
		// (4.75 - 1.05)/(40 + 242.4) - 1.05/990.
		{id: design.BaseDrive, stress: 5.7143e-3, rating: 12.041e-3, verdict: design.Fits, headroom: 1.0536},
		// 40 + 62*(0.4*58.33 mA + 0.97*((5.25 - 0.97)/(15 + 237.6) - 0.97/1010))
		{id: design.JunctionTemperature, stress: 42.408, rating: 150, verdict: design.Fits},
		// (5.25 - 0.46518)/(15 + 237.6)
		{id: design.PinCurrent, stress: 18.942e-3, rating: 20e-3, verdict: design.Fits},
		// floating: (1 uA + 100 uA)*1010; 0.5 - 2 mV/K*(42.408 - 25)
		{id: design.StaysOff, stress: 0.10201, rating: 0.46518, verdict: design.Fits},
		// 58.333 + 18.942 mA of 400 mA
		{id: design.RailCurrent, stress: 77.275e-3, rating: 0.4, verdict: design.Fits},
	})
	wantNear(t, "sunk by the pin", design.Known(d.PinSink), 18.942e-3, 1e-3)
	if d.Driver != nil || d.PinCurrent != 0 || d.Verdict != design.Fits {
		t.Error(show(d))
	}
}

// Constant power is the most current at the lowest rail, and the more for what the stage
// drops: 0.4 V leave 10.4 V, on which 6 W*1.1 are 0.63462 A. The base gets least there too:
// 18.741 mA. The gain is 100 at 0.5 A and 80 at 1 A, between them 100*1.26923^(ln 0.8/ln 2) =
// 92.614, at 0 C less 12.5 %: 7.831 mA, and half of 18.741 mA over it is 1.1966.
func TestWorkedPNPHighConstantPower(t *testing.T) {
	text := workedJob("pnp-high-constant-power")
	d := highStage(t, pnpHigh{}, text, "hand-pnp", byHandNPN(Given{RBase: body(470), RBaseEmitter: body(1000)}))
	compare(t, d, []worked{
		{id: design.BaseDrive, stress: 7.8312e-3, rating: 18.741e-3, verdict: design.Fits, headroom: 1.1966},
		// 0.63462/50
		{id: design.Saturation, stress: 12.692e-3, rating: 18.741e-3, verdict: design.Fits},
	})
}

// A winding with a diode across it: 13.2 + 1.3 V across the switch, whose node goes
// 1.3 V below ground. 13.2/(24*0.9*234.5/254.5) = 0.6632 A.
func TestWorkedPNPHighWinding(t *testing.T) {
	text := workedJob("pnp-high-winding")
	d := highStage(t, pnpHigh{}, text, "hand-pnp", byHandNPN(Given{RBase: body(470), RBaseEmitter: body(1000), Clamp: handClamp()}))
	compare(t, d, []worked{
		{id: design.OnCurrent, stress: 0.66323, rating: 2, verdict: design.Fits},
		{id: design.BlockingVoltage, stress: 14.5, rating: 60, verdict: design.Fits},
		{id: design.ClampVoltage, stress: 13.2, rating: 100, verdict: design.Fits},
	})
	valueNear(t, d, design.VPeakOff, -1.3)
	for _, e := range d.Elements {
		if e.Ref == "D1" && strings.Join(e.Nodes, " ") != "ground switch" {
			t.Errorf("the diode stands wrong: %v", e.Nodes)
		}
	}
}

// A heater of 60 ohm +-10 % on 24 V +-10 %: 26.4/54 = 0.48889 A, at the lowest rail 0.4 A.
// Base resistor 1.5 kohm, bleed 1 kohm.
func TestWorkedPNPHigh24V(t *testing.T) {
	d := highStage(t, pnpHigh{}, workedJob("pnp-high-heater-24v"), "hand-pnp", byHandNPN(Given{RBase: body(1500), RBaseEmitter: body(1000)}))
	compare(t, d, []worked{
		{id: design.OnCurrent, stress: 0.48889, rating: 2, verdict: design.Fits},
		// Below the first gain point that point's base current, 0.5/87.5, whatever the rail: at
		// the lowest (21.6 - 0.35 - 1.05)/1515 - 1.05/990 are left, of which half count.
		{id: design.BaseDrive, stress: 5.7143e-3, rating: 12.2727e-3, verdict: design.Fits, headroom: 1.0739},
		// 0.4/50 against that is 1.534; at the highest rail 9.778 mA against 15.441 mA 1.579
		{id: design.Saturation, stress: 8e-3, rating: 12.2727e-3, verdict: design.Fits, headroom: 1.5341},
		// 40 + 62*(0.4*0.48889 + 0.97*((26.4 - 0.97)/1485 - 0.97/1010))
		{id: design.JunctionTemperature, stress: 53.097, rating: 150, verdict: design.Fits, headroom: 85 / 13.097},
		// (100 uA + 0.345 uA of the shifter)*1010; 0.5 - 2 mV/K*28.097
		{id: design.StaysOff, stress: 0.10135, rating: 0.44381, verdict: design.Fits},
		{id: design.BlockingVoltage, stress: 26.4, rating: 60, verdict: design.Fits, headroom: 48 / 26.4},
		// 80 % of 21.6 V; 21.6 - 0.4
		{id: design.LoadVoltage, stress: 17.28, rating: 21.2, verdict: design.Fits},
		// 0.48889 + 26.4/1485
		{id: design.RailCurrent, stress: 0.50667, rating: 3, verdict: design.Fits},
		// ((26.4 - 0.44381)/1485)^2*1515
		{id: design.ResistorPower, stress: 0.46285, rating: 1, verdict: design.Fits},
	})
	if d.Verdict != design.Fits {
		t.Error(show(d))
	}
}

// The stage of TestWorkedPNPHigh in air of 85 C: its base drops 0.88 V, 40 + 45 K warmer,
// and takes 0.88*((13.2 - 0.88)/465.3 - 0.88/1010) = 22.534 mW: 85 + 62*(0.4*0.6111 +
// 0.022534). In the cold its drive is what it was.
func TestWorkedPNPHighInHotAir(t *testing.T) {
	d := highStage(t, pnpHigh{}, workedJob("pnp-high-heater-hot-air"), "hand-pnp", byHandNPN(Given{RBase: body(470), RBaseEmitter: body(1000)}))
	compare(t, d, []worked{
		{id: design.JunctionTemperature, stress: 101.553, rating: 150, verdict: design.Fits, headroom: 40 / 16.553},
		{id: design.BaseDrive, stress: 7.4504e-3, rating: 23.797e-3, verdict: design.Fits, headroom: 1.5970},
	})
	// 0.5 - 2 mV/K*76.553
	wantNear(t, "conducts from", find(d, design.StaysOff, design.StageSelf).Rating, 0.34689, 1e-3)
}
