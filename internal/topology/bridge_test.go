package topology

import (
	"math"
	"slices"
	"strings"
	"sync"
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/load"
	q "example.org/pinhoist/internal/quantity"
)

// bridgeParts are the parts of these calculations: a low side, a high side, and a small
// one that shifts levels and interlocks.
var bridgeParts = workedParts("bridge")

func loadBridge() (*catalog.Catalog, error) { return loadWith(bridgeParts) }

// bridgeOnce is the catalogue with these parts, for tests that do not change it.
var bridgeOnce = sync.OnceValues(loadBridge)

func bridgeCatalog(t testing.TB) *catalog.Catalog {
	t.Helper()
	return catalogWith(t, bridgeParts)
}

// turned is a bridge around turn-n on a catalogue that change may change.
func turned(t testing.TB, text string, given *Given, change func(*catalog.Catalog)) *design.Design {
	t.Helper()
	cat, err := bridgeOnce()
	if change != nil { // on a catalogue of its own
		cat = bridgeCatalog(t)
		change(cat)
	}
	if err != nil {
		t.Fatal(err)
	}
	b := benchOn(t, cat, text)
	sw, _ := cat.Part("turn-n")
	if why := (bridge{}).Serves(b.env, b.m, sw); why != "" {
		t.Fatalf("not served: %s", why)
	}
	d := new(design.Design)
	bridge{}.Design(b.env, b.m, sw, given, d)
	return d
}

// byHandBridge is the bridge of the calculations: 10 kohm and 100 nF at each drive,
// 3.3 kohm at each pin; at each high gate 470 ohm, 47 nF and 560 ohm to turn-s.
func byHandBridge(rg float64, film string) *Given {
	return &Given{RGate: body(rg), RPulldown: body(3300), Capacitor: GivenPart{Said: true, ID: film},
		Clamp: GivenClamp{Said: true}, HalfPart: "turn-p", Half: &Given{RPullup: body(470), RGate: body(560), Capacitor: GivenPart{Said: true, ID: "c-film-47n-250v"},
			Shifter: GivenPart{Said: true, ID: "turn-s"}}}
}

const (
	bridgeAir   = "[environment]\nambient_min = \"0 C\"\nambient_max = \"40 C\"\n"
	bridgeRail  = bridgeAir + "[[rail]]\nname = \"r\"\nvoltage = \"12 V\"\ntolerance = \"10 %\"\ncurrent_max = \"10 A\"\n"
	bridgeMotor = "[[load]]\nname = \"m\"\nkind = \"motor\"\nrail = \"r\"\ncurrent = \"0.5 A\"\nreversing = true\n"
)

// turnMotor is the motor of these calculations.
var turnMotor = workedJob("bridge-motor")

// A motor of 0.5 A on 12 V +-10 % that takes 2 A jammed at 20 C for 0.2 s at the
// most. Running: 0.5*1.1*1.1 = 0.605 A. Jammed and cold: 12/2/1.1*0.92141 = 5.0259
// ohm, 13.2/5.0259 = 2.6264 A; reversed twice as much, 5.2528 A.
func TestWorkedBridge(t *testing.T) {
	d := turned(t, turnMotor, byHandBridge(10e3, "c-film-100n-250v"), nil)
	compare(t, d, []worked{
		// The P-channel part bears less.
		{id: design.OnCurrent, stress: 0.605, rating: 20, verdict: design.Fits},
		{id: design.PeakCurrent, stress: 5.2528, rating: 80, verdict: design.Fits},
		{id: design.ClampCurrent, stress: 5.2528, rating: 80, verdict: design.Fits},
		{id: design.BlockingVoltage, stress: 14.5, rating: 60, verdict: design.Fits},
		// The interlock's gate: 536 ohm 1 % (next above 2*5.25 V/20 mA), with the pin's 40 ohm
		// 581.4 ohm. The same pin meanwhile fills its own empty drive through 9900 ohm, beside
		// 3267 ohm: 4.75*2456.4/2496.4 = 4.67389 V are left, 0.17389 V above what it is stated
		// at: 1 nC*581.4/0.17389 = 3.343 us. Its drain: 10.2 ohm 1 % and 2 ohm*1.1098 = 12.522
		// ohm, which leave 5.25*12.522/9912.5 = 6.632 mV.
		// The level shifter at 40.25 C is off at 0.92374 V; both gates hold 20 nC and 1 nC at 5 V,
		// 22.05 nC at 5.25 V: 12.522*110 nF*ln(5.24337/0.91711) = 2.4014 us, and
		// 12.522*22.05 nC/0.91711 = 0.3011 us.
		// The high side: 62 K/W of 0.06*1.1349*0.605^2 = 24.92 mW, of 0.108*4.4873^2*0.2 s for
		// 600 starts an hour = 72.49 mW, of its diode's 1.3*1.2 mH*5.2528^2/10.8/6 = 0.66 mW and of
		// its edges of 17 and 39 us 0.35 mW keep it at 46.10 C. A jam of 0.2 s meets 0.5 and 1.5 K/W all of it, 60 K/W of 1 s by
		// 0.18127 of it, 12.876 K/W: as hot as it may be 0.108*(4.4873^2 - 0.605^2)*12.876 =
		// 27.49 K, 73.59 C; at that 0.06*1.3110*19.770*12.876 = 20.02 K, 66.13 C. It is then
		// off at 0.7944 V, from 13.2*474.7/(474.7 + 554.4) = 6.0889 V: 474.7*52.7 nF*
		// ln(6.0889/0.7944) = 50.951 us and 474.7*40 nC/0.7944 = 23.903 us.
		// In all 3.343 + 2.703 + 74.854 = 80.900 us.
		// The low side's gate moves by sqrt(2*5.2528*0.03*(4.5 - 2.5)) = 0.7939 V while the current
		// changes: 11 nC + (110 + 0.2) nF*0.7939 V = 98.49 nC through 10.14 kohm at 4.6824 - 2.625
		// - 0.7939 = 1.2635 V, 0.7905 ms, and at the least threshold, 0.90536 V, 1.1031 ms. Half of
		// 14.5 V*5.2528 A, 38.08 W, for both 600 times an hour is 12.02 mW: by the same sum as
		// above (0.03*1.1363 and 0.057 ohm, 1.2 V) it is steady at 43.93 C. One edge meets 0.5*0.6682
		// + 1.5*0.05366 + 60*0.0011025 = 0.4807 K/W: 62.24 C, where it is on at 0.81382 V at the
		// least: 9.9 kohm*90 nF*ln(5.24337/4.43618).
		{id: design.ShootThrough, stress: 80.900e-6, rating: 148.95e-6, verdict: design.Fits},
		// 4.75*3267/3307 = 4.69255; 1 uA and 1 nA at 150 C through 10.1 kohm and 40 ohm beside
		// 3267, and 1 nA through 10.1 kohm yet; the high side gets 4.8550 V
		{id: design.GateDrive, stress: 4.5, rating: 4.68240, verdict: design.Fits},
		// 6.0889 V of 20 V above; 5.25 V below
		{id: design.GateVoltage, stress: 6.0889, rating: 20, verdict: design.Fits},
		// Pulled up at reset, 5.25*3333/23333 = 0.749936; 3 nA*2857 ohm and 2 nA*10.1 kohm are
		// 0.029 mV; the motor's rail rises, 6.3 nC in 90 nF: 70 mV. The low side's threshold is
		// the lower one, 1 - 0.005*18.929.
		{id: design.StaysOff, stress: 0.819965, rating: 0.90536, verdict: design.Fits},
		// 5.25/(15 + 3267 || 9900 || 530.6)
		{id: design.PinCurrent, stress: 11.631e-3, rating: 20e-3, verdict: design.Fits},
		// 80 % of 10.8; 0.495*(0.03*1.1363 + 0.06*1.1351) lost
		{id: design.LoadVoltage, stress: 8.64, rating: 10.7495, verdict: design.Fits},
		{id: design.Leakage, stress: 100e-6, rating: 0.05, verdict: design.Fits},
		// 0.605 + 13.2/554.4
		{id: design.RailCurrent, stress: 0.62881, rating: 10, verdict: design.Fits},
		{id: design.CapacitorVoltage, stress: 6.0889, rating: 250, verdict: design.Fits},
	})
	// 5.25/(15 + 3267 || 9900) of each pin, both at once
	wantNear(t, "of a pin", design.Known(d.PinCurrent), 2.1243e-3, 1e-3)
	second := 0.0
	for _, x := range d.Draws {
		if x.Rail == "pin" {
			second += x.A
		}
	}
	wantNear(t, "of the other pin", design.Known(second), 2.1243e-3, 1e-3)
	if d.Verdict != design.Fits {
		t.Error(show(d))
	}
	switches := 0
	for _, e := range d.Elements {
		if e.Role == design.RoleSwitch {
			switches++
		}
	}
	for _, line := range d.BOM {
		if line.Count != 1 {
			t.Errorf("%d pieces of %s in one line", line.Count, line.Ref)
		}
	}
	if switches != 4 {
		t.Errorf("%d switches", switches)
	}
}

// With 1 kohm and 10 nF the interlock leaves 5.25*12.522/1002.5 = 65.573 mV. A jam heats
// the low side: 0.057*19.770*12.876 = 14.51 K above 43.20 C, 57.71 C; at that
// 0.03*1.2355*19.770 = 0.7328 W*12.876 K/W = 9.435 K, 52.63 C (its edges of 23 us do
// less). It is on at 0.86185 V after 990*9 nF*ln(5.184427/4.38815) = 1.4858 us: long
// before the high side is off.
func TestWorkedBridgeTooQuick(t *testing.T) {
	d := turned(t, turnMotor, byHandBridge(1e3, "c-film-10n-400v"), nil)
	c := find(d, design.ShootThrough, design.StageSelf)
	wantNear(t, "dead time", c.Rating, 1.4858e-6, 1e-3)
	if c.Verdict != design.Over || d.Verdict != design.Over {
		t.Error(show(d))
	}
}

// A pull-down of 10 kohm and a pin pulled up by 20 kohm at reset: 5.25*10100/30100, and
// 6.3 nC in 90 nF when the motor's rail rises.
func TestWorkedBridgePullDown(t *testing.T) {
	g := byHandBridge(10e3, "c-film-100n-250v")
	g.RPulldown = body(10e3)
	d := turned(t, turnMotor, g, nil)
	c := find(d, design.StaysOff, design.StageSelf)
	wantNear(t, "stays-off", c.Stress, 1.8317, 1e-3)
	if c.Verdict != design.Over {
		t.Error(show(d))
	}
}

// 24 V +-10 %: of 26.4 V 1 kohm and 2.7 kohm leave the high gate 26.4*1010/(1010 +
// 2673) = 7.2398 V; 1 kohm and 22 ohm 25.843 V, more than it bears.
func TestWorkedBridge24V(t *testing.T) {
	text := workedJob("bridge-24v")
	g := byHandBridge(10e3, "c-film-470n-250v")
	g.Half.RPullup, g.Half.RGate = body(1000), body(2700)
	d := turned(t, text, g, nil)
	compare(t, d, []worked{
		{id: design.GateVoltage, stress: 7.2398, rating: 20, verdict: design.Fits},
		{id: design.BlockingVoltage, stress: 27.7, rating: 60, verdict: design.Fits},
		// 1.1*1.1*0.5; 80 % of 21.6 V
		{id: design.OnCurrent, stress: 0.605, rating: 20, verdict: design.Fits},
	})
	g.Half.RGate = body(22)
	d = turned(t, text, g, nil)
	c := find(d, design.GateVoltage, design.StageSelf)
	wantNear(t, "gate-voltage", c.Stress, 25.843, 1e-3)
	if c.Verdict != design.Over || d.Verdict != design.Over {
		t.Error(show(d))
	}
}

// A winding of 4 ohm +-10 % at 0 C: 4*0.9*0.92141 = 3.3171 ohm. Reversed while it
// turns its own voltage adds to the rail's: 2*13.2/3.3171 = 7.9588 A.
func TestWorkedBridgePlugging(t *testing.T) {
	text := workedJob("bridge-plugging")
	d := turned(t, text, byHandBridge(10e3, "c-film-100n-250v"), nil)
	compare(t, d, []worked{{id: design.PeakCurrent, stress: 7.9588, rating: 80, verdict: design.Fits}})
}

// Nothing ends the jam, and there is no heat sink: jammed, the high side bears 13.2/5.8832 = 2.2437 A at 40 C; twice
// that for ever, 4.4873^2*0.06*62 = 74.9 K and half as much again by its own heat, it
// does not. How long a reversal lasts is to be stated.
func TestWorkedBridgeJam(t *testing.T) {
	text := workedJob("bridge-jam")
	g := byHandBridge(10e3, "c-film-100n-250v")
	g.HeatSink, g.Half.HeatSink = GivenPart{Said: true}, GivenPart{Said: true}
	d := turned(t, text, g, nil)
	c := find(d, design.JunctionTemperature, design.StageSelf)
	if c.Verdict != design.Unproven || !slices.Contains(c.Figures(), "load.stall_time") {
		t.Error(show(d))
	}
}

// Reversed while it turns, the motor's own voltage stands against the rail's: what the
// winding stores ends in its resistance alone, 1.2 mH/5.0259 ohm*ln(5.2528/0.05) = 238.76
// us*4.6545.
func TestWorkedBridgeDecay(t *testing.T) {
	d := turned(t, turnMotor, byHandBridge(10e3, "c-film-100n-250v"), nil)
	valueNear(t, d, design.TDecay, 1.1113e-3)
	valueNear(t, d, design.ETurnoff, 16.555e-3) // 0.6 mH*5.2528^2: the rail gets it back
	if !slices.Contains(d.Cautions, design.CautionRegeneration) {
		t.Error("nothing is said of what a braked motor gives back")
	}
}

// A winding of 0.5 H: its current of 5.2528 A ends against the lowest rail in 0.6 H*5.2528 A/
// 10.8 V, and the high side's body diode makes 1.3 V*5.2528 A = 6.8286 W of it for half of
// that, 145.91 ms, on 0.5 + 1.5*0.99932 + 60*0.13577 = 10.145 K/W: 69.28 K. Before, 24.6 mW
// at 25 C, 72.49 mW of starts and 1.3 V*0.6 H*27.592 A2/10.8 V/6 s = 332.1 mW of openings and the edges keep
// it at 66.84 C.
func TestWorkedBridgeBodyDiode(t *testing.T) {
	long := workedJob("bridge-long-winding")
	bare := byHandBridge(10e3, "c-film-100n-250v")
	bare.HeatSink, bare.Half.HeatSink = GivenPart{Said: true}, GivenPart{Said: true}
	d := turned(t, long, bare, nil)
	wantNear(t, "junction", find(d, design.JunctionTemperature, design.StageSelf).Stress, 136.11, 1e-3)
	if d.Verdict == design.Fits {
		t.Error(show(d))
	}
	// Nobody knows how long it lasts where the inductance is not stated: for ever it bears
	// 1.2 V*5.2528 A*62 K/W = 391 K not.
	d = turned(t, workedJob("bridge-no-inductance"), bare, nil)
	c := find(d, design.JunctionTemperature, design.StageSelf)
	if c.Verdict != design.Unproven || !slices.Contains(c.Figures(), "load.inductance") {
		t.Error(show(d))
	}
	// Jammed under pwm the diode may carry nearly all of 4.4873 A nearly all of the time: 1.3 V
	// of it beside 60 mohm, on 12.876 K/W: 75 K, which a channel of 1 mohm alone never makes.
	low := func(c *catalog.Catalog) {
		on("turn-p", func(m *catalog.MOSFET) {
			for i := range m.RDSOn {
				m.RDSOn[i].Max = q.Some(q.Ohm(1e-3))
			}
		})(c)
	}
	d = turned(t, turnMotor+"mode = \"pwm\"\npwm_frequency = \"1 Hz\"\n", bare, low)
	if got := find(d, design.JunctionTemperature, design.StageSelf).Stress; !got.OK || got.V < 40+1.3*(4.4873-0.605)*12.876 {
		t.Errorf("jammed under pwm: %v", got)
	}
}

// With 1 uF a drive moves 11 nC + 1100.2 nF*0.7939 V = 884.5 nC: its edges last 7.10 ms at
// 1.2635 V and, at the least threshold, 0.6274 V, 14.30 ms, at half of 14.5 V*5.2528 A. Not one
// a second, 3240 an hour, make 38.08 W*21.39 ms*0.9/s = 733.3 mW; starts make 206.6 mW, the
// diode 3.3 mW, and it is steady at 99.52 C.
func TestWorkedBridgeReversals(t *testing.T) {
	g := byHandBridge(10e3, "c-film-1u-250v")
	g.HeatSink, g.Half.HeatSink = GivenPart{Said: true}, GivenPart{Said: true}
	d := turned(t, workedJob("bridge-reversals"), g, nil)
	for _, a := range find(d, design.StaysOff, design.StageSelf).Args() {
		if a.Name == "T_j" {
			wantNear(t, "steady junction", design.Known(a.V), 99.522, 1e-3)
			return
		}
	}
	t.Error("no junction is told")
}

// Where a body diode is not stated, four Schottky diodes take over the 2*13.2/(2.5*5.0259) =
// 2.1011 A of a motor of 0.8 A jammed: those of 40 V 3 A drop 0.55 V at 3 A, less than a
// body diode's 0.7 V - 2 mV/K of what it is above 25 C; those of 1 A drop 0.9 V. Off, one
// leaks up to 20 mA at 100 C beside the 100 uA of a switch.
func TestBridgeTakesSchottkys(t *testing.T) {
	bare := func(c *catalog.Catalog) {
		on("turn-n", func(m *catalog.MOSFET) { m.BodyDiode = nil })(c)
		on("turn-p", func(m *catalog.MOSFET) { m.BodyDiode = nil })(c)
	}
	g := byHandBridge(10e3, "c-film-100n-250v")
	light := workedJob("bridge-small-stall")
	if d := turned(t, light, g, bare); d.Verdict != design.Unproven {
		t.Error(show(d))
	}
	g.Clamp = GivenClamp{}
	d := turned(t, light, g, bare)
	if d.Verdict != design.Fits || len(d.Choice.Clamp) != 1 {
		t.Fatal(show(d))
	}
	diodes := 0
	for _, e := range d.Elements {
		if e.Role == design.RoleClamp && e.Part == d.Choice.Clamp[0] {
			diodes++
		}
	}
	if diodes != 4 || d.Choice.Clamp[0] != "d-40v-3a-schottky" {
		t.Errorf("%d of %v", diodes, d.Choice.Clamp)
	}
	// As built it says so; across the motor a diode shorts one of its directions.
	if !d.Choice.AtSwitch {
		t.Error("the diodes are told to be across the motor")
	}
	for placed, want := range map[string]string{"load": "clamp_placement", "switch": "", "": ""} {
		got := Untaken(bridge{}, &job.Built{Topology: "bridge", Clamp: "d-40v-3a-schottky", ClampPlacement: placed}, &load.Model{Load: job.Load{Inductive: true}})
		if want == "" && got != "" || !strings.Contains(got, want) {
			t.Errorf("placed at %q: %q", placed, got)
		}
	}
	// Made again as it is it is the same.
	frozen := Freeze(d)
	again := turned(t, light, frozen, bare)
	sameStage(t, "made again", d, again)
	compare(t, d, []worked{{id: design.BlockingVoltage, stress: 13.75, rating: 60, verdict: design.Fits},
		{id: design.Leakage, stress: 20.1e-3, rating: 0.05, verdict: design.Fits}})
	// One that drops as much as the body diode shares with it, and nobody knows how.
	for id, least := range map[string]design.Verdict{"d-40v-1a-schottky": design.Unproven, "d-100v-1a": design.Over, "z-24v-1w3": design.Over} {
		g.Clamp = GivenClamp{Said: true, Parts: []string{id}}
		if d := turned(t, light, g, bare); d.Verdict < least {
			t.Errorf("%s: %s", id, show(d))
		}
	}
}

// The film that bounds choose is as quick as the quickest of trying every one, and where
// none makes the dead time none does; resistors go in steps of up to 10 %.
func TestQuickestDelay(t *testing.T) {
	cat := bridgeCatalog(t)
	made, none := 0, 0
	for _, text := range []string{turnMotor, strings.Replace(turnMotor, "\"12 V\"", "\"36 V\"", 1), "[pin]\nsupply = \"3.3 V\"\n" + turnMotor} {
		bench := benchOn(t, cat, text)
		l := bench.env.plugging(bench.m)
		half := bench.env.bridgeHalves(l, &Given{}, nil)[0]
		if half == nil {
			t.Fatal("no high side")
		}
		for _, sw := range cat.Switches() {
			p, ok := sw.(*catalog.MOSFET)
			if !ok || p.Channel != "n" {
				continue
			}
			b := bridgeStage{mosfetStage: mosfetStage{stage: begin(bench.env, l, &Given{}, new(design.Design), "bridge", p.Base()), p: p, src: pinSource(&bench.env.Pin, 1)}, half: half}
			b.freewheels(l)
			b.rpd = resistor{nom: 3300, tol: 0.05}
			b.interlock()
			k := b.interlocks(60)
			if made%10 == 9 { // a high side that no film waits for
				k.offHigh, k.offLeast = 10, 10
				made++
			}
			best := math.Inf(1)
			for _, c := range b.serving() {
				if r, ok := b.delayResistor(&k, c, leastDelay); ok {
					best = math.Min(best, b.slowness(r.hi(), c))
				}
			}
			c, rg := b.quickestDelay(&k)
			if ends, _ := k.apart(rg, c); !isApart(&ends) {
				none++
				if !math.IsInf(best, 1) {
					t.Errorf("%s: none found, %g is one", p.ID, best)
				}
				continue
			}
			if made++; b.slowness(rg.hi(), c) > 1.1*best {
				t.Errorf("%s: %g with %s, %g is one", p.ID, b.slowness(rg.hi(), c), c.ID, best)
			}
		}
	}
	if made < 50 || none < 5 {
		t.Errorf("only %d made, %d not", made, none)
	}
}

// on changes the figures of a part of a catalogue.
func on(id string, f func(*catalog.MOSFET)) func(*catalog.Catalog) {
	return func(c *catalog.Catalog) {
		p, _ := c.Part(id)
		f(p.(*catalog.MOSFET))
	}
}

// The traps of a bridge: none may ever fit.
func TestHostileBridgesNeverFit(t *testing.T) {
	hand := func(f func(*Given)) *Given {
		g := byHandBridge(10e3, "c-film-100n-250v")
		if f != nil {
			f(g)
		}
		return g
	}
	for _, h := range []struct {
		name   string
		text   string
		given  *Given
		change func(*catalog.Catalog)
		check  design.CheckID
		least  design.Verdict
	}{
		// A pin that is high at reset turns its diagonal on unless the other is high too.
		{name: "pins high at reset", text: "[pin]\nat_reset = \"high\"\n", given: hand(nil), check: design.StaysOff, least: design.Over},
		// 100 kohm take 40 nC/0.9 V*100 kohm = 4.4 ms to empty the gate.
		{name: "high side off by 100 kohm", given: hand(func(g *Given) { g.Half.RPullup, g.Half.RGate = body(100e3), body(100e3) }), check: design.ShootThrough, least: design.Over},
		{name: "no resistor at the drive", given: hand(func(g *Given) { g.RGate = GivenResistor{Said: true, None: true} }), check: design.ShootThrough, least: design.Over},
		{name: "no pull-down at the pins", given: hand(func(g *Given) { g.RPulldown = GivenResistor{Said: true, None: true} }), check: design.StaysOff, least: design.Over},
		// 5.25*3939/23939 = 0.864 V at reset, and 70 mV more when the motor's rail rises: 0.934 V
		// are more than the 0.909 V that the low side is on at.
		{name: "rail that rises on a pin pulled up", given: hand(func(g *Given) { g.RPulldown = body(3900) }), check: design.StaysOff, least: design.Over},
		// 990 ohm into an empty 1 uF beside 3267 ohm leave of 4.75 V behind 80 ohm 4.29 V: too
		// little for an interlock of 4.5 V, until the drive is nearly full.
		{name: "interlock starved by its own drive", text: "[pin]\noutput_resistance_max = \"80 ohm\"\n", given: hand(func(g *Given) { g.RGate, g.Capacitor.ID = body(1e3), "c-film-1u-250v" }), check: design.ShootThrough, least: design.Over},
		{name: "no pull-up at the high gates", given: hand(func(g *Given) { g.Half.RPullup = GivenResistor{Said: true, None: true} }), check: design.ShootThrough, least: design.Over},
		// 5.25 A into diodes of 4 A.
		{name: "body diode too small for the stall", given: hand(nil), change: on("turn-n", func(m *catalog.MOSFET) { m.IDMMax, m.IDCase25 = q.Some(q.Amp(4)), q.Some(q.Amp(4)) }), check: design.ClampCurrent, least: design.Over},
		{name: "high body diode too small for the stall", given: hand(nil), change: on("turn-p", func(m *catalog.MOSFET) { m.IDMMax, m.IDCase25 = q.Some(q.Amp(4)), q.Some(q.Amp(4)) }), check: design.ClampCurrent, least: design.Over},
		{name: "body diode not stated", given: hand(nil), change: on("turn-n", func(m *catalog.MOSFET) { m.BodyDiode = nil }), check: design.ClampCurrent, least: design.Unproven},
		{name: "recovery not stated", given: hand(nil), change: on("turn-p", func(m *catalog.MOSFET) { m.BodyDiode.Qrr = q.Opt[q.Coulomb]{} }), check: design.ClampCurrent, least: design.Unproven},
		{name: "high side's charge not stated", given: hand(nil), change: on("turn-p", func(m *catalog.MOSFET) { m.QGMax = nil }), check: design.ShootThrough, least: design.Over},
		{name: "interlock's charge not stated", given: hand(nil), change: on("turn-s", func(m *catalog.MOSFET) { m.QGMax = nil }), check: design.ShootThrough, least: design.Over},
		{name: "low side's charge not stated", given: hand(nil), change: on("turn-n", func(m *catalog.MOSFET) { m.QGMax = nil }), check: design.ShootThrough, least: design.Over},
		{name: "gate-drain charge not stated", given: hand(nil), change: on("turn-n", func(m *catalog.MOSFET) { m.QGDMax = q.Opt[q.Coulomb]{} }), check: design.StaysOff, least: design.Unproven},
		{name: "high gate-drain charge not stated", given: hand(nil), change: on("turn-p", func(m *catalog.MOSFET) { m.QGDMax = q.Opt[q.Coulomb]{} }), check: design.StaysOff, least: design.Unproven},
		// Off, with the other pin high too, it takes from the drive what it leaks.
		{name: "interlock's leakage not stated", given: hand(nil), change: on("turn-s", func(m *catalog.MOSFET) { m.IDSSMax = nil }), check: design.GateDrive, least: design.Unproven},
		// 200 nC into 42.3 nF are 4.7 V: the side that is off is turned on.
		{name: "high side turned on by the low side", given: hand(nil), change: on("turn-p", func(m *catalog.MOSFET) { m.QGDMax = q.Some(q.Coulomb(200e-9)) }), check: design.StaysOff, least: design.Over},
		{name: "low side turned on by the high side", given: hand(nil), change: on("turn-n", func(m *catalog.MOSFET) { m.QGDMax = q.Some(q.Coulomb(200e-9)) }), check: design.StaysOff, least: design.Over},
		// A shifter that the drive holds at its threshold takes what that is stated at:
		// 5 mA x 494 ohm are 2.5 V.
		{name: "shifter that takes much at its threshold", given: hand(nil), change: on("turn-s", func(m *catalog.MOSFET) { m.VGSTh.ID = q.Some(q.Amp(5e-3)) }), check: design.StaysOff, least: design.Over},
		// Thresholds down to 0.2 V are on in a fifth of the time.
		{name: "low side that is on early", given: hand(nil), change: on("turn-n", func(m *catalog.MOSFET) { m.VGSTh.Min = q.Some(q.Volt(0.3)) }), check: design.ShootThrough, least: design.Over},
		{name: "interlock that is not on", given: hand(nil), text: "[pin]\nsupply = \"3.3 V\"\n", check: design.ShootThrough, least: design.Over},
		{name: "threshold taken for on", given: hand(nil), text: "[pin]\nsupply = \"3.3 V\"\n", check: design.GateDrive, least: design.Unproven},
		{name: "no film capacitor", given: &Given{}, change: func(c *catalog.Catalog) { c.Capacitors = nil }, check: design.ShootThrough, least: design.Over},
		{name: "no high side", given: &Given{HalfPart: "nothing", Half: &Given{}}, check: design.ShootThrough, least: design.Over},
		{name: "pwm of 20 kHz", given: hand(nil), text: "mode", check: design.PWMFrequency, least: design.Over},
		{name: "isolation asked", given: hand(nil), text: "isolation", check: design.Isolation, least: design.Over},
		// Through 1 kohm and 1 uF an edge of 5.3 A at 13 V lasts a millisecond and more.
		{name: "slow edges in a small part", given: hand(func(g *Given) { g.RGate, g.Capacitor.ID = body(10e3), "c-film-1u-250v" }),
			change: on("turn-n", func(m *catalog.MOSFET) {
				m.SOA = []catalog.SOACurve{{T: catalog.PulseTime{T: 1e-3, Set: true}, Points: []catalog.SOAPoint{{V: q.Some(q.Volt(10)), I: q.Some(q.Amp(4))}, {V: q.Some(q.Volt(60)), I: q.Some(q.Amp(0.2))}}}}
			}), check: design.SafeArea, least: design.Unproven},
	} {
		t.Run(h.name, func(t *testing.T) {
			text := turnMotor
			switch h.text {
			case "mode":
				text += "mode = \"pwm\"\npwm_frequency = \"20 kHz\"\n"
			case "isolation":
				text += "isolation = \"basic\"\n"
			default:
				text = h.text + text
			}
			d := turned(t, text, h.given, h.change)
			c := find(d, h.check, design.StageSelf)
			if c == nil || c.Verdict < h.least || d.Verdict == design.Fits {
				t.Errorf("%s: %v, %s", h.check, d.Verdict, verdicts(d))
			}
		})
	}
}

// What a bridge does not serve, and says why.
func TestBridgeRefuses(t *testing.T) {
	cat := bridgeCatalog(t)
	for _, c := range []struct{ text, want string }{
		{turnMotor + "side = \"low\"\n", "both ends"},
		{turnMotor + "ground = \"chassis\"\n", "chassis"},
		{turnMotor + "unpowered = \"on\"\n", "must be on"},
		{strings.Replace(turnMotor, "\"12 V\"", "\"72 V\"", 1), "hazardous"},
		{"[pin]\noutput = \"open-drain\"\n" + turnMotor, "open-drain"},
		{strings.Replace(turnMotor, "reversing = true", "", 1), WrongPart},
	} {
		b := benchOn(t, cat, c.text)
		sw, _ := cat.Part("turn-n")
		if why := (bridge{}).Serves(b.env, b.m, sw); !strings.Contains(why, c.want) || why == "" {
			t.Errorf("%q, want %q", why, c.want)
		}
	}
}

// Bridges out of the embedded catalogue that ought to be: a small gear motor.
func TestBridgesThatFit(t *testing.T) {
	cat := bridgeCatalog(t)
	for _, text := range []string{turnMotor,
		"[pin]\nsupply = \"3.3 V\"\n" + bridgeRail + strings.Replace(bridgeMotor, "0.5 A", "0.1 A", 1) + "stall_current = \"0.4 A\"\nstall_time = \"0.2 s\"\ninductance = \"1 mH\"\n",
		bridgeRail + bridgeMotor + "stall_current = \"1.5 A\"\nstall_time = \"0.1 s\"\ninductance = \"2 mH\"\n",
		// On the pin's own supply: a pin that is high is still to turn a P-channel part on.
		bridgeAir + strings.NewReplacer("\"r\"", "\"pin\"", "0.5 A", "0.1 A").Replace(bridgeMotor) + "stall_current = \"0.3 A\"\nstall_time = \"0.2 s\"\ninductance = \"1 mH\"\n"} {
		b := benchOn(t, cat, text)
		fits := 0
		for _, sw := range cat.Switches() {
			if (bridge{}).Serves(b.env, b.m, sw) != "" {
				continue
			}
			d := new(design.Design)
			bridge{}.Design(b.env, b.m, sw, &Given{}, d)
			if d.Verdict != design.Fits {
				continue
			}
			fits++
			// It is the same stage when it is built again as it is.
			again := new(design.Design)
			bridge{}.Design(b.env, b.m, sw, Freeze(d), again)
			if again.Verdict != d.Verdict || again.Cost.Amount != d.Cost.Amount || find(again, design.ShootThrough, design.StageSelf).Rating != find(d, design.ShootThrough, design.StageSelf).Rating {
				t.Errorf("%s is another stage when it is made again: %s", d.Part, verdicts(again))
			}
		}
		if fits < 3 {
			t.Errorf("only %d bridges fit: %s", fits, text)
		}
	}
}
