package topology

import (
	"strings"
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/job"
	q "example.org/pinhoist/internal/quantity"
)

// ssrParts are the solid-state relays of these calculations: a triac on a face for a sink,
// with a voltage as its input, and what differs from it; the sink of a catalogue's example:
// 10 A, 1.2 V, 1.3 + 0.1 + 1 K/W.
var ssrParts = workedParts("ssr")

const ssrRails = `
[pin]
supply = "5 V"
supply_tolerance = "5 %"
[environment]
ambient_min = "0 C"
ambient_max = "40 C"
[[rail]]
name = "valves"
voltage = "24 V"
tolerance = "10 %"
frequency = "50 Hz"
[[rail]]
name = "mains"
voltage = "230 V"
tolerance = "10 %"
frequency = "50 Hz"
`

func ssrStageOf(t testing.TB, text, id string, given *Given) *design.Design {
	t.Helper()
	if given == nil {
		given = &Given{}
	}
	d, _ := handStage(t, catalogWith(t, ssrParts), text, "ssr", id, given)
	return d
}

// A valve of 24 V AC, 0.25 A, power factor 0.5, on a triac with its input on the pin.
//
// Input: 1 V holds it off: R <= 1 V*20 kohm/(5.25 - 1) = 4.706 kohm, 3.9 kohm of 1 %
// (E12). It takes 15 mA (the figure at 6 V) and 5.25 V/3.861 kohm = 1.360 mA: 16.36 mA
// of 20. That leaves 4.75 - 40*16.36 mA = 4.0956 V of the 4 V it wants; pulled up at
// reset 5.25*3.939/23.939 = 0.86386 V.
// Load: 26.4 V, 0.25*1.1*1.1 = 0.3025 A, Z = 87.273 ohm, R = 43.636, X = 75.580 ohm,
// 0.24058 H, and 0.29404 H at the least current. A step of 37.335 V with 99 to 101 ohm
// and 9 nF, in small steps: 0.78545 V/us. On the sine from 60 degrees of it on, in small
// steps, 64.1 V at its peak, of which the bound may be 5 % more. The snubber passes
// 2*pi*52*11 nF*26.4 V = 94.88 uA, the triac 2 mA*26.4/24.
// Inrush: 10*sqrt(2)*0.3025 = 4.2780 A for 50 ms, of half of 120 A (at 100 ms); its first
// half cycle, at 47 Hz, 4.278^2/2*10.638 ms = 0.09735 A2s of a quarter of 312.
// Least crest: sqrt(2)*0.25*0.9*0.9 = 0.28638 A. Heat: 1.6 V*0.3025 A*10 K/W = 4.84 K, and
// the inrush on top of it, below.
// (All DERIVED; the step by small steps of the network.)
func TestSSRWorkedValve(t *testing.T) {
	d := ssrStageOf(t, workedJob("ssr-valve"), "hand-triac", nil)
	compare(t, d, []worked{
		{id: design.PinCurrent, stress: 16.360e-3, rating: 20e-3, verdict: design.Fits},
		{id: design.GateDrive, stress: 4, rating: 4.0956, verdict: design.Fits},
		{id: design.GateVoltage, stress: 5.25, rating: 32, verdict: design.Fits},
		{id: design.StaysOff, stress: 0.86386, rating: 1, verdict: design.Fits},
		{id: design.OnCurrent, stress: 0.3025, rating: 4, verdict: design.Fits},
		{id: design.PeakCurrent, stress: 4.2780, rating: 60, verdict: design.Fits},
		{id: design.SurgeEnergy, stress: 0.09735, rating: 78, verdict: design.Fits},
		{id: design.HoldingCurrent, stress: 80e-3, rating: 0.28638, verdict: design.Fits},
		{id: design.Commutation, stress: 0.78545e6, rating: 5e6, verdict: design.Fits},
		{id: design.Waveform, stress: 24, rating: 280, verdict: design.Fits},
		{id: design.Leakage, stress: 94.88e-6 + 2.2e-3, rating: 12.5e-3, verdict: design.Fits},
		{id: design.LoadVoltage, stress: 19, rating: 20, verdict: design.Fits},
		{id: design.CapacitorVoltage, stress: 26.4, rating: 200, verdict: design.Fits},
		{id: design.ReleaseTime, stress: 30.638e-3, rating: 40e-3, verdict: design.Fits},
	})
	if c := find(d, design.BlockingVoltage, design.StageSelf); c.Stress.V < 64.1 || c.Stress.V > 1.05*64.1 || c.Verdict != design.Fits {
		t.Error(show(d))
	}
	valueNear(t, d, design.RPulldown, 3900)
	valueNear(t, d, design.CSnubber, 10e-9)
	valueNear(t, d, design.RSnubber, 100)
	if d.Verdict != design.Fits || d.Driver != nil || d.Choice.HeatSink != "" {
		t.Error(show(d))
	}
	// Its junction: 1.6 V*0.3025 A = 0.484 W on 10 K/W, 44.84 C by its bound, the RMS: half
	// sines have 0.9 of it on average, which is more than their ripple, 9.128 K/W in all, is.
	// Its inrush: 6.8448 W at its crest for 50 ms, half sines of 10.638 ms whose crest takes
	// 0.3688 of them, 3.923 ms, for what swings above the mean, less the 0.9*0.484 = 0.43575 W
	// of before. On 0.2 K/W of 1 ms 0.63662 + 0.36338*(1 - exp(-3.923)) = 0.99281 of the crest
	// less all of before: 1.272 K. On 0.8 K/W of 0.1 s, (1 - exp(-0.5)) = 0.39347, 0.63662*
	// 0.39347 + 0.36338*(1 - exp(-0.03923)) = 0.26447 and 0.39347: 1.3110 K. On 9 K/W of 1 s
	// 0.032471 and 0.048771: 1.8091 K. 4.392 K in all (DERIVED).
	c := find(d, design.JunctionTemperature, design.StageSelf)
	wantNear(t, "junction", c.Stress, 40+4.84+4.392, 1e-3)
}

// An LED as input, on the pin: 0.6*1 V holds it off: 0.6*20/(5.25 - 0.6) = 2.5806 kohm,
// 2.2 kohm across it (E12). In its way: at the least (4.75 - 1.45)/(10 mA + 1.45/2.178
// kohm) - 40 = 269.4 ohm, at the most of the pin (5.25 - 0.8)/20 mA - 15 = 207.5 ohm:
// 220 ohm. It gets (4.75 - 1.45)/(222.2 + 40) - 1.45/2178 = 11.920 mA at the least, 1.45 V
// being 1.4 V at 0 C; the pin gives (5.25 - 0.8)/(217.8 + 15) = 19.115 mA at the most, 0.8 V
// being 1 V at 125 C, of which 19.115 - 0.8/2.222 = 18.755 mA are the LED's (DERIVED).
func TestSSRWorkedLED(t *testing.T) {
	d := ssrStageOf(t, workedJob("ssr-heater"), "hand-led", nil)
	compare(t, d, []worked{
		{id: design.GateDrive, stress: 10e-3, rating: 11.920e-3, verdict: design.Fits},
		{id: design.PinCurrent, stress: 19.115e-3, rating: 20e-3, verdict: design.Fits},
		{id: design.GateVoltage, stress: 18.755e-3, rating: 50e-3, verdict: design.Fits},
	})
	valueNear(t, d, design.RGate, 220)
	valueNear(t, d, design.RPulldown, 2200)
	// 5.25 V through 20 kohm and 217.8 ohm onto 2.222 kohm: 0.51977 V (DERIVED).
	c := find(d, design.StaysOff, design.StageSelf)
	wantNear(t, "off", c.Stress, 5.25*2222/(20000+217.8+2222), 1e-3)
	if d.Driver != nil || d.Verdict != design.Fits {
		t.Error(show(d))
	}
	// A pin of 8 mA cannot: a driver on its supply does.
	d = ssrStageOf(t, workedJob("ssr-heater-weak-pin"), "hand-led", nil)
	if d.Driver == nil || d.Verdict != design.Fits || find(d, design.PinCurrent, design.StageDriver) == nil {
		t.Error(show(d))
	}
}

// An open drain sinks the LED's current from the pin's own supply: nothing pulls it up, so
// that 0.6 V over 1 uA of leakage let the resistor across it be the largest there is, and
// 100 kohm at its cap. The LED then gets (4.75 - 1.45)/(R + 40) - 1.45/99 kohm at the least.
func TestSSROpenDrain(t *testing.T) {
	open := workedJob("ssr-heater-open-drain")
	d := ssrStageOf(t, open, "hand-led", nil)
	if d.Verdict != design.Fits || d.Driver != nil || d.PinSink == 0 || d.PinCurrent != 0 {
		t.Fatal(show(d))
	}
	r := find(d, design.GateDrive, design.StageSelf)
	var rs float64
	for _, v := range d.Values {
		if v.Key == design.RGate {
			rs = v.V
		}
	}
	if want := (4.75-1.45)/(rs*1.01+40) - 1.45/99e3; want < 10e-3 {
		t.Errorf("%g ohm give %g A", rs, want)
	} else {
		wantNear(t, "LED", r.Rating, want, 1e-3)
	}
	// Low at reset it is on.
	d = ssrStageOf(t, strings.Replace(open, "[pin]\n", "[pin]\nat_reset = \"low\"\n", 1), "hand-led", nil)
	if c := find(d, design.StaysOff, design.StageSelf); c.Verdict != design.Over {
		t.Error(show(d))
	}
}

// An input of 24 V from a pin of 5 V: a driver on a rail of 24 V, and over without one.
func TestSSRDriver(t *testing.T) {
	d := ssrStageOf(t, workedJob("ssr-heater"), "hand-24v-in", nil)
	if c := find(d, design.GateDrive, design.StageSelf); d.Verdict != design.Over || c.Verdict != design.Over {
		t.Error(show(d))
	}
	d = ssrStageOf(t, workedJob("ssr-heater-panel-rail"), "hand-24v-in", nil)
	if d.Verdict != design.Fits || d.Driver == nil || d.Choice.CoilRail != "panel" {
		t.Fatal(show(d))
	}
	// 24 V - 5 % = 22.8 V less what the driver drops, at least 18 V; 25.2 V of 30 V.
	c := find(d, design.GateDrive, design.StageSelf)
	if c.Rating.V > 22.8 || c.Rating.V < 22 {
		t.Errorf("the input gets %g V", c.Rating.V)
	}
	wantNear(t, "most", find(d, design.GateVoltage, design.StageSelf).Stress, 25.2, 1e-9)
	// Frozen it is the same again.
	again := ssrStageOf(t, workedJob("ssr-heater-panel-rail"), "hand-24v-in", Freeze(d))
	if again.Verdict != d.Verdict || again.Headroom != d.Headroom || again.Cost.Amount != d.Cost.Amount {
		t.Errorf("%s\n%s", show(d), show(again))
	}
}

// A catalogue of solid-state relays works its sink out: 10 A, 1.2 V (12 W), 1.3, 0.1 and
// 1.0 K/W, junction 100 C: air of 71.2 C at the most, case then 84.4 C (READ + DERIVED).
func TestSSRSinkPublished(t *testing.T) {
	at := func(air string) *design.Design {
		text := strings.Replace(workedJob("ssr-published-sink"), "ambient_max = \"71.2 C\"", "ambient_max = \""+air+"\"", 1)
		b := benchOn(t, catalogWith(t, ssrParts), text)
		pol, err := catalog.PolicyByName("none")
		if err != nil {
			t.Fatal(err)
		}
		b.env.Policy = pol
		sw, _ := b.env.Catalog.Part("hand-sink")
		d := new(design.Design)
		ssr{}.Design(b.env, b.m, sw, &Given{}, d)
		return d
	}
	d := at("71.2 C")
	wantNear(t, "junction", find(d, design.JunctionTemperature, design.StageSelf).Stress, 100, 1e-9)
	if c := find(d, design.OnCurrent, design.StageSelf); c.Verdict != design.Fits || c.Rating.V != 10 {
		t.Error(show(d))
	}
	if c := find(d, design.JunctionTemperature, design.StageSelf); c.Verdict != design.Fits {
		t.Error(show(d))
	}
	if c := find(at("71.3 C"), design.JunctionTemperature, design.StageSelf); c.Verdict != design.Over {
		t.Errorf("at 71.3 C it is %s", c.Verdict)
	}
}

// An input of a maker's 25 A relay: 13 mA at 5 V, on from 4 V: a pin that holds 4.2 V at
// 20 mA gives it 4.75 - 40*13 mA = 4.23 V (READ + DERIVED). Here without a resistor across
// it, and the figure at 5 V for all of the supply.
func TestSSRInputPublished(t *testing.T) {
	cat := catalogWith(t, ssrParts)
	b := benchOn(t, cat, workedJob("ssr-heater"))
	sw, _ := cat.Part("hand-triac")
	p := catalog.Clone(sw).(*catalog.SSR)
	p.IIn = []catalog.InputCurrent{{V: q.Some(q.Volt(6)), Max: q.Some(q.Amp(13e-3))}}
	d := new(design.Design)
	ssr{}.Design(b.env, b.m, p, &Given{DriverPart: catalog.PinID, RPulldown: GivenResistor{Said: true, None: true}}, d)
	wantNear(t, "at the input", find(d, design.GateDrive, design.StageSelf).Rating, 4.23, 1e-9)
	// And with nothing across it a pull-up at reset turns it on.
	if c := find(d, design.StaysOff, design.StageSelf); c.Verdict != design.Over {
		t.Errorf("stays off: %s", c.Verdict)
	}
}

// A stage as built: a snubber of 100 nF and 100 ohm is usual (MEMORY), and leaks at 230 V
// 2*pi*52*110 nF*253 V = 9.093 mA, and 1/(1 - (2*pi*52)^2*0.65077 H*110 nF) = 1.0077 times
// that in series with the motor at its least (DERIVED); without one the commutation is over.
func TestSSRAsBuilt(t *testing.T) {
	text := workedJob("ssr-motor-as-built")
	cat := catalogWith(t, ssrParts)
	built := func(text string) *design.Design {
		b := benchOn(t, cat, text)
		sw, _ := cat.Part("hand-triac")
		if why := Untaken(ssr{}, b.m.Built, b.m); why != "" {
			t.Fatal(why)
		}
		d := new(design.Design)
		ssr{}.Design(b.env, b.m, sw, FromBuilt(b.m.Built), d)
		return d
	}
	d := built(text)
	if c := find(d, design.Commutation, design.StageSelf); c.Verdict != design.Fits {
		t.Error(show(d))
	}
	c := find(d, design.Leakage, design.StageSelf)
	wantNear(t, "leakage", c.Stress, 1.0077*9.093e-3+2e-3*253/230, 1e-3)
	d = built(strings.Replace(text, "r_snubber = \"100 ohm\"\nsnubber = \"c-x2-100n\"", "snubber = \"none\"", 1))
	if c := find(d, design.Commutation, design.StageSelf); c.Verdict != design.Over || !c.NoSolution {
		t.Error(show(d))
	}
	// A resistance without its capacitor: the least capacitor that serves with it.
	d = built(strings.Replace(text, "r_snubber = \"100 ohm\"\nsnubber = \"c-x2-100n\"", "r_snubber = \"330 ohm\"", 1))
	if c := find(d, design.Commutation, design.StageSelf); c.Verdict > design.Tight || d.Choice.Snubber == "" {
		t.Error(show(d))
	}
	valueNear(t, d, design.RSnubber, 330)
	d = built(strings.Replace(text, "c-x2-100n", "c-film-100n-250v", 1))
	if c := find(d, design.CapacitorVoltage, design.StageSelf); c.Verdict != design.Over {
		t.Error(show(d))
	}
}

// BenchmarkSSRRow is one row of the catalogue, memoised.
func BenchmarkSSRRow(b *testing.B) {
	bench := newBench(b, ssrRails+"[[load]]\nname = \"m\"\nkind = \"ac-motor\"\nrail = \"mains\"\ncurrent = \"1 A\"\n")
	bench.env.Brief = true
	cat := bench.env.Catalog
	for i := range cat.SSRs {
		p := &cat.SSRs[i]
		if ssr.Serves(ssr{}, bench.env, bench.m, p) != "" {
			continue
		}
		b.Run(p.ID, func(b *testing.B) {
			b.ReportAllocs()
			d := new(design.Design)
			for b.Loop() {
				ssr{}.Design(bench.env, bench.m, p, &Given{}, d)
			}
		})
	}
}

// On DC no snubber is worked out: one that is stated is told, not passed over.
func TestSSRTakesNoSnubberOnDC(t *testing.T) {
	text := ssrRails + "[[load]]\nname = \"h\"\nkind = \"resistive\"\nsupply = \"24 V\"\ncurrent = \"1 A\"\n[load.built]\ntopology = \"ssr\"\npart = \"ssr-dc-60v-3a-5v\"\nr_snubber = \"100 ohm\"\nsnubber = \"c-x2-100n\"\n"
	b := newBench(t, text)
	if why := Untaken(ssr{}, b.m.Built, b.m); !strings.Contains(why, "snubber") {
		t.Errorf("%q", why)
	}
	// A capacitor by its value has nothing to be judged by.
	if why := Untaken(ssr{}, &job.Built{Topology: "ssr", Part: "x", CSnubber: "100 nF"}, b.m); !strings.Contains(why, "built.snubber") {
		t.Errorf("a value alone: %q", why)
	}
}

// A face that is not isolated, on a hazardous rail: over, with a pad under it too.
func TestSSRLiveFace(t *testing.T) {
	cat := catalogWith(t, ssrParts)
	b := benchOn(t, cat, ssrRails+"[[load]]\nname = \"h\"\nkind = \"ac-resistive\"\nrail = \"mains\"\ncurrent = \"8 A\"\n")
	sw, _ := cat.Part("hand-triac")
	for _, tab := range []string{"isolated", "output"} {
		p := catalog.Clone(sw).(*catalog.SSR)
		p.TabIs = tab
		d := new(design.Design)
		ssr{}.Design(b.env, b.m, p, &Given{}, d)
		c := find(d, design.HeatSinkLive, design.StageSelf)
		if d.Choice.HeatSink == "" || (tab == "isolated") != (c == nil) || c != nil && c.Verdict != design.Over {
			t.Errorf("%s: %s", tab, show(d))
		}
	}
}

// A sink by makers' figures: 1 W/A (an estimate, READ), 20 A, 40 C, junction 115 C, 1.02
// K/W and 0.10 K/W of pad: 2.63 K/W at the most (DERIVED). One of 2.6 K/W keeps it under
// 115 C, one of 2.7 K/W does not.
func TestSSRSinkByWattPerAmpere(t *testing.T) {
	parts := func(rsa string) string {
		return strings.Replace(workedParts("ssr-20a"), `"2.6 K/W"`, `"`+rsa+`"`, 1)
	}
	for rsa, want := range map[string]design.Verdict{"2.6 K/W": design.Fits, "2.7 K/W": design.Over} {
		b := benchOn(t, catalogWith(t, parts(rsa)), workedJob("ssr-20a"))
		pol, err := catalog.PolicyByName("none")
		if err != nil {
			t.Fatal(err)
		}
		b.env.Policy = pol
		sw, _ := b.env.Catalog.Part("hand-20a")
		d := new(design.Design)
		ssr{}.Design(b.env, b.m, sw, &Given{}, d)
		if c := find(d, design.JunctionTemperature, design.StageSelf); c.Verdict != want {
			t.Errorf("%s: %s\n%s", rsa, c.Verdict, show(d))
		}
	}
}
