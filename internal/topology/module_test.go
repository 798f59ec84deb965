package topology

import (
	"strings"
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	q "example.org/pinhoist/internal/quantity"
)

var (
	moduleParts  = workedParts("module")
	moduleHeater = workedJob("module-heater")
)

// moduleStageOf is a module in a job; why says why it is none.
func moduleStageOf(t testing.TB, text, id string, change func(*catalog.Module)) (d *design.Design, why string) {
	t.Helper()
	cat := catalogWith(t, moduleParts)
	b := benchOn(t, cat, text)
	sw, ok := cat.Part(id)
	if !ok {
		t.Fatalf("no part %s", id)
	}
	if change != nil {
		sw = catalog.Clone(sw)
		change(sw.(*catalog.Module))
	}
	return asked(t, module{}, &b, sw, "")
}

func handModuleStage(t testing.TB, text, id string, change func(*catalog.Module)) *design.Design {
	t.Helper()
	d, why := moduleStageOf(t, text, id, change)
	if d == nil {
		t.Fatalf("not served: %s", why)
	}
	return d
}

// A heater of 6 ohm +-10 % on 12 V +-10 %: 2.4444 A. The pin's own pull-up of 20 kohm
// would give the input (5.25 - 0.8*1)/20320 = 219 uA at reset; 10 kohm beside it still
// 137 uA; 4.7 kohm +1 %: 5.25*4747/24747 = 1.00706 V behind 3836.4 ohm, and
// (1.00706 - 0.8)/(3836.4 + 320) = 49.82 uA.
func TestWorkedModule(t *testing.T) {
	d := handModuleStage(t, moduleHeater, "hand-high", nil)
	compare(t, d, []worked{
		{id: design.StaysOff, stress: 49.82e-6, rating: 100e-6, verdict: design.Fits},
		// (4.75*4653/4693 - 1.4)/(40 || 4653 + 340)
		{id: design.GateDrive, stress: 3e-3, rating: 8.7171e-3, verdict: design.Fits},
		// 14 mA as stated, more than (5.25 - 1)/335; and 5.25/(15 + 4653)
		{id: design.PinCurrent, stress: 15.125e-3, rating: 20e-3, verdict: design.Fits},
		// (5.25 - 1)/(15 + 320) into an input of up to 14 mA; its driver's 13.2 of 26.4 V are
		// further off
		{id: design.GateVoltage, stress: 12.687e-3, rating: 14e-3, verdict: design.Fits},
		{id: design.OnCurrent, stress: 2.4444, rating: 30, verdict: design.Fits},
		// 62*2.4444^2*0.03 = 11.114 K; (40 + 11.114*0.82)/(1 - 11.114*0.0072)
		{id: design.JunctionTemperature, stress: 53.386, rating: 150, verdict: design.Fits},
		{id: design.BlockingVoltage, stress: 13.2, rating: 60, verdict: design.Fits},
		// 80 % of 10.8; 10.8 - 2*0.03*1.20438
		{id: design.LoadVoltage, stress: 8.64, rating: 10.72774, verdict: design.Fits},
		// 2.4444 A and 10 mA of its driver on the same rail
		{id: design.RailCurrent, stress: 2.45444, rating: 3, verdict: design.Fits},
	})
	valueNear(t, d, design.RPulldown, 4700)
	if d.Verdict != design.Fits {
		t.Error(show(d))
	}
}

// Opto and indicator in series drop up to 4 V: a 3.3 V pin gives nothing, one of 5 V
// (4.75*r - 4)/(r' + 340) with its pull-down: under 2 mA, so it is over too.
func TestWorkedModuleIndicator(t *testing.T) {
	d := handModuleStage(t, workedJob("module-heater-3v3"), "hand-indicator", nil)
	c := find(d, design.GateDrive, design.StageSelf)
	wantNear(t, "input", c.Rating, 0, 1e-3)
	if c.Verdict != design.Over || d.Verdict != design.Over {
		t.Error(show(d))
	}
	// From 5 V, at reset (5.25 - 0.8*2.6)/(20320) = 156 uA; 10 kohm keep it off:
	// 5.25*10100/30100 = 1.7616 V is under 2.08. (4.75*9900/9940 - 4)/(39.84 + 340).
	d = handModuleStage(t, moduleHeater, "hand-indicator", nil)
	compare(t, d, []worked{
		{id: design.GateDrive, stress: 2e-3, rating: 1.9242e-3, verdict: design.Over},
		{id: design.StaysOff, stress: 1e-6, rating: 100e-6, verdict: design.Fits},
	})
}

// On with a low pin, its input on the pin's own supply: (4.75 - 1.4)/(40 + 1050).
func TestWorkedModuleLow(t *testing.T) {
	d := handModuleStage(t, moduleHeater, "hand-low", nil)
	compare(t, d, []worked{
		{id: design.GateDrive, stress: 2e-3, rating: 3.0734e-3, verdict: design.Fits},
		// 5 mA as stated, more than (5.25 - 1)/(15 + 950)
		{id: design.PinCurrent, stress: 5e-3, rating: 20e-3, verdict: design.Fits},
		// Pin and module have one supply: what leaks.
		{id: design.StaysOff, stress: 1e-6, rating: 100e-6, verdict: design.Fits},
		{id: design.GateVoltage, stress: 5.25, rating: 5.25, verdict: design.Fits},
	})
	wantNear(t, "sunk", design.Known(d.PinSink), 5e-3, 1e-3)
}

// On with a low pin, its input on 12 V: a 5 V pin that is high lets (13.2 - 4.75 - 0.8)/
// 2100 = 3.643 mA flow; without its supply its clamps take (13.2 - 0.8)/2100 = 5.905 mA.
func TestWorkedModuleLowFromTwelveVolts(t *testing.T) {
	d := handModuleStage(t, moduleHeater, "hand-low-12", nil)
	compare(t, d, []worked{
		{id: design.StaysOff, stress: 5.9048e-3, rating: 100e-6, verdict: design.Over},
		{id: design.PinVoltage, stress: 12.4, rating: 0.3, verdict: design.Over},
	})
	// A pin of 24 V +-10 % turns it off while it has its supply; without, not.
	d = handModuleStage(t, workedJob("module-heater-24v-pin"), "hand-low-12", nil)
	if c := find(d, design.StaysOff, design.StageSelf); c.Verdict != design.Over || !strings.Contains(c.Because, "no pin supply") {
		t.Error(show(d))
	}
}

// A driver that works from 5 V to 26.4 V, on 36 V +-5 %: 37.8 V.
func TestWorkedModuleWindow(t *testing.T) {
	text := workedJob("module-36v")
	d := handModuleStage(t, text, "hand-high", nil)
	// The pin's own 4.75 V are nearer: they are too low.
	compare(t, d, []worked{{id: design.GateVoltage, stress: 5, rating: 4.75, verdict: design.Over}})
	d = handModuleStage(t, text, "hand-high", func(m *catalog.Module) { m.VSupply.Min = q.Some(q.Volt(30)); m.VSupply.Max = q.Some(q.Volt(37)) })
	compare(t, d, []worked{{id: design.GateVoltage, stress: 37.8, rating: 37, verdict: design.Over}})
}

// A solenoid gets a clamp outside: 13.2 V and 1.3 V; its crossing of 14.5 V*0.53 A is
// under what the case carries away.
func TestWorkedModuleSolenoid(t *testing.T) {
	d := handModuleStage(t, workedJob("module-solenoid"), "hand-high", nil)
	if len(d.Choice.Clamp) == 0 || d.Verdict != design.Fits {
		t.Error(show(d))
	}
}

// The heater in air of 85 C: (85 + 11.114*0.82)/(1 - 11.114*0.0072) = 102.30 C.
func TestWorkedModuleInHotAir(t *testing.T) {
	d := handModuleStage(t, workedJob("module-heater-hot-air"), "hand-high", nil)
	compare(t, d, []worked{
		{id: design.JunctionTemperature, stress: 102.300, rating: 150, verdict: design.Fits, headroom: 40 / 17.300},
		// 10.8 - 2*0.03*(1 + 0.0072*77.300)
		{id: design.LoadVoltage, stress: 8.64, rating: 10.7066, verdict: design.Fits},
		// The input knows nothing of the air.
		{id: design.GateDrive, stress: 3e-3, rating: 8.7171e-3, verdict: design.Fits},
	})
}

// A motor that jams for ever with 5 A: at 40 C 5*1.21*254.5/274.5 = 5.6092 A, g = 62*0.03*5.6092^2
// = 58.52 and (40 + g*0.82)/(1 - g*0.0072) = 152.1 C; at 0 C its winding takes 5*1.21*254.5/234.5 =
// 6.5660 A: g = 80.19, 155.58 C.
func TestWorkedModuleJam(t *testing.T) {
	d := handModuleStage(t, workedJob("module-jam"), "hand-high", nil)
	compare(t, d, []worked{
		{id: design.JunctionTemperature, stress: 155.58, rating: 150, verdict: design.Over},
		{id: design.PeakCurrent, stress: 6.5660, rating: 100, verdict: design.Fits},
	})
}

// The traps of modules: none may ever fit.
func TestHostileModulesNeverFit(t *testing.T) {
	built := "[load.built]\ntopology = \"module\"\npart = \"hand-high\"\n"
	latch12 := workedJob("module-solenoid")
	for _, h := range []struct {
		name, text, part string
		change           func(*catalog.Module)
		check            design.CheckID
		least            design.Verdict
		refused          string
	}{
		{name: "opto and indicator on 3.3 V", text: "[pin]\nsupply = \"3.3 V\"\n" + moduleHeater, part: "hand-indicator", check: design.GateDrive, least: design.Over},
		{name: "1.8 V pin", text: "[pin]\nsupply = \"1.8 V\"\n" + moduleHeater, part: "hand-high", check: design.GateDrive, least: design.Over},
		{name: "low on 12 V, pin without supply", text: moduleHeater, part: "hand-low-12", check: design.StaysOff, least: design.Over},
		{name: "low on 5 V, pin of 3.3 V", text: "[pin]\nsupply = \"3.3 V\"\n" + strings.Replace(moduleHeater, "[[rail]]\n", "[[rail]]\nname = \"five\"\nvoltage = \"5 V\"\n[[rail]]\n", 1), part: "hand-low", check: design.StaysOff, least: design.Over},
		{name: "low, pin low at reset", text: "[pin]\nat_reset = \"low\"\n" + strings.Replace(moduleHeater, "[[rail]]\n", "[[rail]]\nname = \"five\"\nvoltage = \"5 V\"\n[[rail]]\n", 1), part: "hand-low", check: design.StaysOff, least: design.Over},
		{name: "pin high at reset", text: "[pin]\nat_reset = \"high\"\n" + moduleHeater, part: "hand-high", check: design.StaysOff, least: design.Over},
		{name: "no pull-down and a pull-up at reset", text: moduleHeater + built + "r_pulldown = \"none\"\n", part: "hand-high", check: design.StaysOff, least: design.Over},
		{name: "pull-down of 10 ohm", text: moduleHeater + built + "r_pulldown = \"10 ohm\"\n", part: "hand-high", check: design.PinCurrent, least: design.Over},
		{name: "winding without a clamp", text: latch12 + built + "clamp = \"none\"\n", part: "hand-high", check: design.BlockingVoltage, least: design.Over},
		{name: "pwm", text: moduleHeater + "mode = \"pwm\"\npwm_frequency = \"1 kHz\"\n", part: "hand-high", check: design.PWMFrequency, least: design.Unproven},
		{name: "on-resistance of no use", text: moduleHeater, part: "hand-high", change: func(m *catalog.Module) {
			m.MOSFET.RDSOn[0].ID, m.MOSFET.RDSOn[0].Max = q.Some(q.Amp(0.1)), q.Some(q.Ohm(2))
		}, check: design.GateDrive, least: design.Unproven},
		{name: "isolation asked", text: moduleHeater + "isolation = \"basic\"\n", part: "hand-high", check: design.Isolation, least: design.Over},
		{name: "jammed motor", text: highPin + "[[load]]\nname = \"m\"\nkind = \"motor\"\nrail = \"r\"\ncurrent = \"1 A\"\nstall_current = \"9 A\"\n", part: "hand-high", check: design.JunctionTemperature, least: design.Over},
		{name: "off current not stated", text: moduleHeater, part: "hand-high", change: func(m *catalog.Module) { m.IInOffMax = q.Opt[q.Amp]{} }, check: design.StaysOff, least: design.Unproven},
		// (26.4 - 1)/(320 + 15) = 76 mA into an opto-coupler of 14 mA: a strong pin of 24 V
		// gives that, and burns it.
		{name: "input for 5 V on a strong pin of 24 V", text: "[pin]\nsupply = \"24 V\"\nsupply_tolerance = \"10 %\"\nat_reset = \"low\"\nsource_current_max = \"0.2 A\"\npeak_current_max = \"0.5 A\"\n" + moduleHeater, part: "hand-high", check: design.GateVoltage, least: design.Over},
		{name: "input's greatest current not stated", text: moduleHeater, part: "hand-high", change: func(m *catalog.Module) { m.IInOn.Max = q.Opt[q.Amp]{} }, check: design.GateVoltage, least: design.Unproven},
		// Its driver hangs on the pin's 5 V and its load on 12 V: without the 5 V nothing that
		// is stated holds its gate.
		{name: "driver without its rail", text: moduleHeater, part: "hand-low", change: func(m *catalog.Module) { m.OffUnfed = false }, check: design.StaysOff, least: design.Unproven},
		{name: "drop not stated", text: moduleHeater, part: "hand-high", change: func(m *catalog.Module) { m.VInDrop = nil }, check: design.GateDrive, least: design.Unproven},
		// What nobody says the input drops or resists at the most is not nothing.
		{name: "most of the drop not stated", text: moduleHeater, part: "hand-high", change: func(m *catalog.Module) { m.VInDrop = &catalog.VoltWindow{Min: m.VInDrop.Min} }, check: design.GateDrive, least: design.Unproven},
		{name: "most of the input's resistance not stated", text: moduleHeater, part: "hand-high", change: func(m *catalog.Module) { m.RIn = &catalog.OhmSpread{Min: m.RIn.Min} }, check: design.GateDrive, least: design.Unproven},
		{name: "supply not stated", text: moduleHeater, part: "hand-high", change: func(m *catalog.Module) { m.VSupply = nil }, check: design.GateVoltage, least: design.Unproven},
		{name: "driver that asks for more than its rail", text: moduleHeater, part: "hand-high", change: func(m *catalog.Module) { m.ISupplyMax = q.Some(q.Amp(1)) }, check: design.RailCurrent, least: design.Over},
		{name: "high side asked", text: moduleHeater + "side = \"high\"\n", part: "hand-high", refused: "high side"},
		{name: "open-drain pin", text: "[pin]\noutput = \"open-drain\"\n" + moduleHeater, part: "hand-high", refused: "open-drain"},
		{name: "input and level that contradict", text: moduleHeater, part: "hand-odd", refused: "one of the two is wrong"},
		{name: "nothing on it", text: moduleHeater, part: "hand-high", change: func(m *catalog.Module) { m.MOSFET = nil }, refused: "not stated"},
		{name: "72 V", text: strings.Replace(moduleHeater, "\"12 V\"", "\"72 V\"", 1), part: "hand-high", refused: "hazardous"},
	} {
		t.Run(h.name, func(t *testing.T) {
			d, why := moduleStageOf(t, h.text, h.part, h.change)
			if d == nil || h.refused != "" {
				if h.refused == "" || !strings.Contains(why, h.refused) {
					t.Errorf("not served: %q", why)
				}
				return
			}
			c := find(d, h.check, design.StageSelf)
			if c == nil || c.Verdict < h.least || d.Verdict == design.Fits {
				t.Errorf("%s: %v, %s", h.check, d.Verdict, verdicts(d))
			}
		})
	}
}

// Modules of the embedded catalogue from the pins that they are made for.
func TestModulesThatFit(t *testing.T) {
	for _, c := range []struct{ pin, part string }{
		{"", "mod-mosfet-3v3-30v"}, {"supply = \"3.3 V\"\n", "mod-mosfet-3v3-30v"}, {"supply = \"3.3 V\"\n", "mod-mosfet-3v3-60v"},
		{"", "mod-mosfet-5v-low"}, {"output = \"open-drain\"\n", "mod-mosfet-5v-low"},
		{"supply = \"24 V\"\nsupply_tolerance = \"10 %\"\nat_reset = \"low\"\n", "mod-mosfet-24v-60v"},
	} {
		d := handModuleStage(t, "[pin]\n"+c.pin+moduleHeater, c.part, nil)
		if d.Verdict != design.Fits {
			t.Errorf("%s on %q: %v %s", c.part, c.pin, d.Verdict, verdicts(d))
		}
	}
	for _, c := range []struct{ pin, part string }{
		{"supply = \"3.3 V\"\n", "mod-mosfet-5v-indicator"}, {"", "mod-mosfet-12v-low"}, {"", "mod-mosfet-24v-60v"},
	} {
		if d := handModuleStage(t, "[pin]\n"+c.pin+moduleHeater, c.part, nil); d.Verdict != design.Over {
			t.Errorf("%s on %q: %v %s", c.part, c.pin, d.Verdict, verdicts(d))
		}
	}
}
