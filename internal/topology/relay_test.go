package topology

import (
	"fmt"
	"math"
	"strings"
	"sync"
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/load"
	q "example.org/pinhoist/internal/quantity"
)

// bench is a run on the embedded catalogue with a job given as text.
type bench struct {
	env *Env
	m   *load.Model
}

func newBench(t testing.TB, text string) bench {
	t.Helper()
	cat, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	return benchOn(t, cat, text)
}

func benchOn(t testing.TB, cat *catalog.Catalog, text string) bench {
	t.Helper()
	spec, errs := job.Decode("test.toml", []byte("schema = 1\n"+text))
	if errs.Fatal() {
		t.Fatal(errs)
	}
	j, errs := job.Resolve(spec)
	if errs.Fatal() {
		t.Fatal(errs)
	}
	pol, err := catalog.PolicyByName("bench")
	if err != nil {
		t.Fatal(err)
	}
	e := NewEnv(j, cat, pol)
	e.Driver = func(m *load.Model) *design.Design { return e.givenDriver(m, &Given{}) }
	return bench{env: e, m: e.Model(&j.Loads[0])}
}

func relayByID(t testing.TB, id string) *catalog.Relay {
	t.Helper()
	cat, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	p, ok := cat.Part(id)
	if !ok {
		t.Fatalf("no relay %s", id)
	}
	return catalog.Clone(p).(*catalog.Relay)
}

func (b bench) design(r *catalog.Relay, given *Given) *design.Design {
	d := new(design.Design)
	if given == nil {
		given = &Given{}
	}
	relay{}.Design(b.env, b.m, r, given, d)
	return d
}

func find(d *design.Design, id design.CheckID, stage design.Stage) *design.Check {
	for i := range d.Checks {
		if d.Checks[i].ID == id && d.Checks[i].Stage == stage {
			return &d.Checks[i]
		}
	}
	return nil
}

func show(d *design.Design) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s %s headroom %+v cost %+v\n", d.Key(), d.Verdict, d.Headroom, d.Cost)
	for i := range d.Checks {
		c := &d.Checks[i]
		fmt.Fprintf(&b, "  %-7s %-20s %-9s stress %+v rating %+v est %+v/%+v headroom %+v %s %v\n", c.Stage, c.ID, c.Verdict, c.Stress, c.Rating, c.StressEstimate, c.RatingEstimate, c.Headroom, c.Because, c.Figures())
	}
	for _, n := range d.NA {
		fmt.Fprintf(&b, "  n/a %s %s: %s\n", n.Stage, n.ID, n.Why)
	}
	for _, v := range d.Values {
		fmt.Fprintf(&b, "  %s = %g %s\n", v.Key, v.V, v.Unit)
	}
	for _, e := range d.Elements {
		fmt.Fprintf(&b, "  %s %s %s %s %v\n", e.Ref, e.Role, e.Kind, e.Part, e.Nodes)
	}
	for _, l := range d.BOM {
		fmt.Fprintf(&b, "  bom %+v\n", l)
	}
	fmt.Fprintf(&b, "  cautions %v\n", d.Cautions)
	return b.String()
}

const vent = `
[[rail]]
name = "bench"
voltage = "12 V"
tolerance = "10 %"
current_max = "3 A"
[[load]]
name = "vent latch"
kind = "solenoid"
rail = "bench"
current = "0.8 A"
inductance = "60 mH"
release_within = "40 ms"
mechanical_release_time = "2 ms"
`

func wantNear(t *testing.T, what string, got design.Number, want, rel float64) {
	t.Helper()
	if !got.OK || math.Abs(got.V-want) > rel*math.Abs(want) {
		t.Errorf("%s = %+v, want %g within %g", what, got, want, rel)
	}
}

// relayParts is the embedded catalogue with the relay of these calculations.
var relayParts = sync.OnceValues(func() (*catalog.Catalog, error) { return loadWith(workedParts("relay")) })

// cubeRelay is a 5 V, 70 ohm cube relay with every figure that a check needs.
func cubeRelay() *catalog.Relay {
	cat, err := relayParts()
	if err != nil {
		panic(err)
	}
	p, _ := cat.Part("rl-test")
	return catalog.Clone(p).(*catalog.Relay)
}

func cp(category string, v, i, lr float64) catalog.ContactPoint {
	p := catalog.ContactPoint{V: q.Some(q.Volt(v)), I: q.Some(q.Amp(i)), Category: category}
	if lr > 0 {
		p.LoverR = q.Some(q.Second(lr))
	}
	return p
}

func makes(load string, v, i, t float64) []catalog.MakePoint {
	return []catalog.MakePoint{{Load: load, Supply: "dc", V: q.Some(q.Volt(v)), I: q.Some(q.Amp(i)), T: q.Some(q.Second(t))}}
}

// heater is 2 A on 12 V.
var heater = workedJob("relay-heater")

// The relay of the worked example: coil 5 V 70 ohm +-10 % (23 C), must operate
// 75 %, 60 K/W, on the pin's 5 V +-5 %, driver drop 0.2 V, air to 40 C. Expected:
// by hand, T = 40 + 60*5.25^2/(63*(234.5 + T)/257.5) gives 62.74 C;
// 3.75*(234.5 + 62.74)/257.5 = 4.329 V; 4.75 - 0.2 = 4.55 V. DERIVED.
func TestRelayWorkedExample(t *testing.T) {
	b := newBench(t, heater)
	r := cubeRelay()
	r.TCoilMax = q.None[q.Celsius]()
	s := relayStage{stage: begin(b.env, b.m, &Given{}, new(design.Design), "relay", &r.Common), r: r, c: r.NO}
	c, tCoil := s.temperatureCheck(&b.env.PinRail)
	wantNear(t, "coil", tCoil, 62.74, 0.001)
	wantNear(t, "coil-temperature stress", c.Stress, 62.74, 0.001)
	wantNear(t, "coil-temperature rating", c.Rating, 105, 0.001)
	if c.Verdict != design.Fits {
		t.Errorf("verdict %s", c.Verdict)
	}
	coil := s.coilLoad(&b.env.PinRail, design.Number{})
	m := b.env.Model(&coil)
	st := begin(b.env, m, &Given{}, new(design.Design), "x", &r.Common)
	st.loadVoltage(design.Known(0.2), design.Number{})
	p := find(st.d, design.CoilPickup, design.StageSelf)
	wantNear(t, "coil-pickup stress", p.Stress, 4.329, 0.001)
	wantNear(t, "coil-pickup rating", p.Rating, 4.55, 0.001)
	if p.Verdict != design.Fits {
		t.Errorf("pick-up %s", p.Verdict)
	}
	// The whole design agrees with its parts.
	d := b.design(r, nil)
	wantNear(t, "design's coil", find(d, design.CoilTemperature, design.StageSelf).Stress, 62.74, 0.001)
	wantNear(t, "design's pick-up", find(d, design.CoilPickup, design.StageDriver).Stress, 4.329, 0.001)
}

// What the contact of the same relay bears of a heater of 8 ohm +-10 % on 24 V +-5 %:
// 25.2/7.2 = 3.5 A.
func TestRelayWorkedContact(t *testing.T) {
	d := newBench(t, workedJob("relay-contact")).design(cubeRelay(), nil)
	compare(t, d, []worked{
		{id: design.ContactVoltage, stress: 24, rating: 110, verdict: design.Fits},
		// 10 A are stated at 30 V, the next higher voltage
		{id: design.ContactCurrent, stress: 3.5, rating: 10, verdict: design.Fits, headroom: 8 / 3.5},
		{id: design.ContactCarry, stress: 3.5, rating: 10, verdict: design.Fits},
		// 5 V of 22.8 V are nearer than 0.1 A of 22.8/8.8 = 2.591 A
		{id: design.ContactMinimum, stress: 5, rating: 22.8, verdict: design.Fits},
		// 600 operations an hour are assumed
		{id: design.ContactRate, stress: 600, rating: 1200, verdict: design.Fits},
		// The coil hangs on the pin's 5 V +-5 %: 1.3*5 V
		{id: design.CoilOvervoltage, stress: 5.25, rating: 6.5, verdict: design.Fits},
		// 80 % of 22.8 V; 22.8 - 22.8/7.2*0.1
		{id: design.LoadVoltage, stress: 18.24, rating: 22.4833, verdict: design.Fits},
		{id: design.RailCurrent, stress: 3.5, rating: 10, verdict: design.Fits},
	})
	if d.Verdict != design.Fits {
		t.Error(show(d))
	}
}

// C10 of the published-values list: R20 70 ohm, 5.25 V, 90 K/W, 60 C: 87.97 C by
// hand (DERIVED).
func TestRelayCoilFixedPoint(t *testing.T) {
	b := newBench(t, workedJob("relay-heater-60c"))
	r := cubeRelay()
	r.RCoil = &catalog.CoilResistance{T: q.Some(q.Celsius(20)), Nominal: q.Some(q.Ohm(70)), Tolerance: q.Some(q.Ratio(0))}
	r.RthCoil = q.Some(q.KelvinPerWatt(90))
	s := relayStage{stage: begin(b.env, b.m, &Given{}, new(design.Design), "relay", &r.Common), r: r, c: r.NO}
	_, tCoil := s.temperatureCheck(&b.env.PinRail)
	wantNear(t, "C10", tCoil, 87.97, 0.1/87.97)
}

// verdictOf is one row of the table below: a job, a relay, and what a check must say.
type relayCase struct {
	name    string
	job     string
	change  func(*catalog.Relay)
	id      design.CheckID
	stage   design.Stage
	verdict design.Verdict
	figure  string // that the check must name
	stress  float64
	rating  float64
}

const rail12 = "[[rail]]\nname = \"bench\"\nvoltage = \"12 V\"\ncurrent_max = \"40 A\"\n"

func loadText(kind, rest string) string {
	return rail12 + "[[load]]\nname = \"x\"\nkind = \"" + kind + "\"\nrail = \"bench\"\n" + rest
}

func relayCases() []relayCase {
	lamp := loadText("lamp", "current = \"2 A\"\ncold_ratio = 15\n")
	return []relayCase{
		{name: "AC figures never serve DC: voltage", job: heater, change: func(r *catalog.Relay) { r.NO.VDCMax, r.NO.DC = q.None[q.Volt](), nil },
			id: design.ContactVoltage, verdict: design.Over, figure: "no.v_dc_max", stress: 12, rating: 0},
		{name: "AC figures never serve DC: current", job: heater, change: func(r *catalog.Relay) { r.NO.DC = nil },
			id: design.ContactCurrent, verdict: design.Unproven, figure: "no.dc.i", stress: 2.3333},
		{name: "DC at 48 V past 30 V: next higher is 0.3 A", job: strings.Replace(heater, "12 V", "48 V", 1),
			id: design.ContactCurrent, verdict: design.Unproven, stress: 2.3333, rating: 0.3},
		// log-log at 48 V: 10*exp(-2.698841*ln(48/30)) = 2.813 A, so 4.67 A is over even so
		{name: "DC at 48 V, 4 A: over even typically", job: workedJob("relay-48v"),
			id: design.ContactCurrent, verdict: design.Over, stress: 4.6667, rating: 0.3},
		{name: "lamp on a resistive figure: a tenth", job: lamp, id: design.ContactCurrent, verdict: design.Unproven, figure: "no.dc.i", rating: 1},
		{name: "lamp that welds the contact", job: lamp, change: func(r *catalog.Relay) { r.NO.Make = makes("lamp", 30, 20, 20e-3) },
			id: design.ContactInrush, verdict: design.Over, rating: 20},
		{name: "lamp under its make figure", job: lamp, change: func(r *catalog.Relay) { r.NO.Make = makes("lamp", 30, 60, 20e-3) },
			id: design.ContactInrush, verdict: design.Fits, rating: 60},
		{name: "lamp without a make figure", job: lamp, id: design.ContactInrush, verdict: design.Unproven, figure: "no.make.i", rating: 10},
		{name: "lamp's make figure too short", job: lamp, change: func(r *catalog.Relay) { r.NO.Make = makes("lamp", 30, 60, 10e-3) },
			id: design.ContactInrush, verdict: design.Unproven, figure: "no.make.i", rating: 10},
		{name: "capacitor that welds the contact", job: loadText("capacitive", "current = \"0.5 A\"\ncapacitance = \"470 uF\"\nesr = \"50 mohm\"\n"),
			change: func(r *catalog.Relay) { r.NO.Make = makes("capacitive", 30, 50, 1e-3) }, id: design.ContactInrush, verdict: design.Over, rating: 50},
		{name: "capacitor without a make figure", job: loadText("capacitive", "current = \"0.5 A\"\ncapacitance = \"470 uF\"\nesr = \"50 mohm\"\n"),
			id: design.ContactInrush, verdict: design.Unproven, figure: "no.make.i", rating: 10},
		{name: "capacitor of unknown resistance", job: loadText("capacitive", "current = \"0.5 A\"\ncapacitance = \"470 uF\"\n"),
			id: design.ContactInrush, verdict: design.Unproven, figure: "load.esr"},
		{name: "signal on a power contact", job: workedJob("relay-signal"), id: design.ContactMinimum, verdict: design.Unproven, stress: 0.1, rating: 0.0045},
		{name: "signal on a contact without a stated minimum", job: workedJob("relay-signal"),
			change: func(r *catalog.Relay) { r.NO.Wetting = nil }, id: design.ContactMinimum, verdict: design.Unproven, figure: "no.wetting.i"},
		{name: "signal on a signal contact", job: workedJob("relay-signal"),
			change: func(r *catalog.Relay) {
				r.NO.Wetting = &catalog.Wetting{V: q.Some(q.Volt(5)), I: q.Some(q.Amp(1e-3))}
			}, id: design.ContactMinimum, verdict: design.Fits, stress: 5, rating: 11.4},
		{name: "reed with an inrush", job: workedJob("relay-reed-inrush"),
			change: func(r *catalog.Relay) {
				r.Style, r.NO.DC, r.NO.Make = "reed", []catalog.ContactPoint{cp("DC-1", 24, 0.4, 0)}, makes("capacitive", 24, 0.4, 1e-3)
			},
			id: design.ContactInrush, verdict: design.Over, stress: 3, rating: 0.4},
		{name: "hot coil that will not pick up", job: heater + "[environment]\nambient_max = \"70 C\"\n",
			change: func(r *catalog.Relay) { r.RthCoil = q.Some(q.KelvinPerWatt(90)) }, id: design.CoilPickup, stage: design.StageDriver, verdict: design.Over},
		{name: "coil without a thermal resistance", job: heater, change: func(r *catalog.Relay) { r.RthCoil = q.None[q.KelvinPerWatt]() },
			id: design.CoilPickup, stage: design.StageDriver, verdict: design.Unproven, figure: "r_th_coil_max"},
		{name: "the same for its own temperature", job: heater, change: func(r *catalog.Relay) { r.RthCoil = q.None[q.KelvinPerWatt]() },
			id: design.CoilTemperature, verdict: design.Unproven, figure: "r_th_coil_max"},
		{name: "coil without a must-operate figure", job: heater, change: func(r *catalog.Relay) { r.MustOperate = q.None[q.Ratio]() },
			id: design.CoilPickup, stage: design.StageDriver, verdict: design.Unproven, figure: "must_operate_max"},
		{name: "coil without a must-release figure", job: heater + "release_within = \"50 ms\"\n", change: func(r *catalog.Relay) { r.MustRelease = q.None[q.Ratio]() },
			id: design.ReleaseTime, verdict: design.Unproven, figure: "must_release_min"},
		{name: "coil without a tolerance", job: heater, change: func(r *catalog.Relay) { r.RCoil.Tolerance = q.None[q.Ratio]() },
			id: design.CoilPickup, stage: design.StageDriver, verdict: design.Unproven, figure: "r_coil.tolerance"},
		{name: "coil without an inductance", job: heater + "release_within = \"50 ms\"\n", change: func(r *catalog.Relay) { r.LCoilMax = q.None[q.Henry]() },
			id: design.ReleaseTime, verdict: design.Unproven, figure: "l_coil_max"},
		{name: "air hotter than the relay is made for", job: heater + "[environment]\nambient_max = \"60 C\"\n",
			change: func(r *catalog.Relay) { r.Ambient.Max = q.Some(q.Celsius(55)) }, id: design.CoilTemperature, verdict: design.Over, stress: 60, rating: 55},
		{name: "air colder than the relay is made for", job: heater + "[environment]\nambient_min = \"-20 C\"\n",
			change: func(r *catalog.Relay) { r.Ambient.Min = q.Some(q.Celsius(-10)) }, id: design.CoilTemperature, verdict: design.Over},
		{name: "no rate stated, 600 /h assumed", job: heater, change: func(r *catalog.Relay) { r.NO.RateMax = q.None[q.Rate]() },
			id: design.ContactRate, verdict: design.Unproven, figure: "no.rate_max", stress: 600, rating: 360},
		{name: "pulse-width modulation is not for a contact", job: heater + "mode = \"pwm\"\npwm_frequency = \"500 Hz\"\n",
			id: design.ContactRate, verdict: design.Over, stress: 1.8e6, rating: 1200},
		{name: "the same where no rate is stated", job: heater + "mode = \"pwm\"\npwm_frequency = \"500 Hz\"\n",
			change: func(r *catalog.Relay) { r.NO.RateMax = q.None[q.Rate]() }, id: design.ContactRate, verdict: design.Over, stress: 1.8e6},
		{name: "jammed motor carries its stall for ever", job: workedJob("relay-jammed-motor"),
			id: design.ContactCarry, verdict: design.Over, rating: 10},
		{name: "life of a motor from a resistive figure", job: loadText("motor", "current = \"1 A\"\nstall_current = \"2 A\"\nlife = \"1 years\"\n"),
			change: func(r *catalog.Relay) {
				n := 1e9
				r.NO.Life = []catalog.LifePoint{{V: q.Some(q.Volt(30)), I: q.Some(q.Amp(10)), Category: "DC-1", Operations: &n}}
			}, id: design.ContactLife, verdict: design.Unproven, figure: "no.life.operations"},
		// 600 /h round the clock is 5.256e6 operations a year.
		{name: "life of a heater", job: workedJob("relay-life"), change: func(r *catalog.Relay) {
			n := 1e5
			r.NO.Life = []catalog.LifePoint{{V: q.Some(q.Volt(30)), I: q.Some(q.Amp(10)), Category: "DC-1", Operations: &n}}
		}, id: design.ContactLife, verdict: design.Over, stress: 5.256e6, rating: 1e5},
		{name: "mechanical life caps", job: workedJob("relay-life-mechanical"), change: func(r *catalog.Relay) {
			n := 1e9
			r.NO.Life = []catalog.LifePoint{{V: q.Some(q.Volt(30)), I: q.Some(q.Amp(10)), Category: "DC-1", Operations: &n}}
		}, id: design.ContactLife, verdict: design.Tight, stress: 7.884e6, rating: 1e7},
	}
}

func TestRelayVerdicts(t *testing.T) {
	for _, tc := range relayCases() {
		t.Run(tc.name, func(t *testing.T) {
			b := newBench(t, tc.job)
			r := cubeRelay()
			if tc.change != nil {
				tc.change(r)
			}
			d := b.design(r, nil)
			c := find(d, tc.id, tc.stage)
			if c == nil {
				t.Fatalf("no %s in\n%s", tc.id, show(d))
			}
			if c.Verdict != tc.verdict {
				t.Errorf("%s, want %s: %+v", c.Verdict, tc.verdict, c)
			}
			if d.Verdict < tc.verdict {
				t.Errorf("the design is %s although %s is %s", d.Verdict, tc.id, c.Verdict)
			}
			if tc.stress != 0 {
				wantNear(t, "stress", c.Stress, tc.stress, 1e-4)
			}
			if tc.rating != 0 {
				wantNear(t, "rating", c.Rating, tc.rating, 1e-4)
			}
			if tc.figure != "" && !strings.Contains(strings.Join(c.Figures(), " "), tc.figure) {
				t.Errorf("names %v, want %s", c.Figures(), tc.figure)
			}
		})
	}
}

func TestRelayServes(t *testing.T) {
	with := func(f func(*catalog.Relay)) *catalog.Relay { r := cubeRelay(); f(r); return r }
	mains := "[[rail]]\nname = \"mains\"\nvoltage = \"230 V\"\nfrequency = \"50 Hz\"\n[[load]]\nname = \"x\"\nkind = \"ac-resistive\"\nrail = \"mains\"\ncurrent = \"1 A\"\n"
	for _, tc := range []struct {
		name, job string
		sw        catalog.Part
		why       string
	}{
		{"serves", heater, cubeRelay(), ""},
		{"not a relay", heater, &catalog.BJT{}, WrongPart},
		{"AC load", mains, cubeRelay(), ""},
		{"AC coil", heater, with(func(r *catalog.Relay) { r.CoilFrequency = q.Some(q.Hertz(50)) }), "an AC coil cannot be driven from a DC pin"},
		{"latching with one coil", heater, with(func(r *catalog.Relay) { r.Latching = "one-coil" }), ""},
		{"closes at rest only", heater, with(func(r *catalog.Relay) { r.Form = "spst-nc" }), "its only contact is closed while the logic has no supply"},
		{"closed at rest, asked for", heater + "unpowered = \"on\"\n", with(func(r *catalog.Relay) { r.Form, r.NC = "spst-nc", r.NO }), ""},
		{"closed at rest, without figures", heater + "unpowered = \"on\"\n", cubeRelay(), "no figure of its normally-closed contact"},
		{"no contact figures", heater, with(func(r *catalog.Relay) { r.NO = nil }), "no figure of its normally-open contact"},
		{"must be on without logic supply", heater + "unpowered = \"on\"\n", with(func(r *catalog.Relay) { r.Form = "spst-no" }), "the contact is open while the logic has no supply"},
		{"logic input", loadText("logic-input", ""), cubeRelay(), "a logic input is driven by the pin itself"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			b := newBench(t, tc.job)
			if got := (relay{}).Serves(b.env, b.m, tc.sw); !strings.HasPrefix(got, tc.why) || tc.why == "" && got != "" {
				t.Errorf("%q, want %q", got, tc.why)
			}
		})
	}
}

// Every kind of load on every embedded relay that serves it: all owed checks are
// made or said not to apply, none twice, and every number is finite.
func TestRelayOwesWhatItMakes(t *testing.T) {
	cat, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	jobs := map[string]string{}
	for _, kind := range []string{"resistive", "led", "electronic", "lamp", "motor", "solenoid", "coil"} {
		jobs[kind] = loadText(kind, "current = \"0.3 A\"\nlife = \"5 years\"\noperations_per_year = 1000\nisolation = \"basic\"\n")
	}
	jobs["signal"], jobs["capacitive"] = loadText("signal", ""), loadText("capacitive", "current = \"0.1 A\"\ncapacitance = \"100 uF\"\nesr = \"0.1 ohm\"\n")
	jobs["bare led"] = loadText("led", "current = \"10 mA\"\nseries = \"designed\"\nforward_voltage = \"2 V\"\n")
	jobs["vent"] = vent
	jobs["hazardous"] = "[[rail]]\nname = \"dc\"\nvoltage = \"110 V\"\n[[load]]\nname = \"x\"\nkind = \"solenoid\"\nrail = \"dc\"\ncurrent = \"0.1 A\"\ninductance = \"1 H\"\n"
	for _, kind := range []string{"ac-resistive", "ac-lamp", "ac-motor", "ac-coil", "ac-transformer", "ac-supply"} {
		for _, unpowered := range []string{"off", "on"} {
			jobs[kind+" "+unpowered] = ssrRails + coil12 + "[[load]]\nname = \"x\"\nkind = \"" + kind + "\"\nrail = \"valves\"\ncurrent = \"0.2 A\"\nlife = \"5 years\"\noperations_per_year = 1000\nisolation = \"basic\"\nrelease_within = \"0.2 s\"\nunpowered = \"" + unpowered + "\"\n"
		}
	}
	jobs["ac-resistive mains"] = ssrRails + "[[load]]\nname = \"x\"\nkind = \"ac-resistive\"\nrail = \"mains\"\ncurrent = \"2 A\"\n"
	jobs["closed at rest"] = loadText("solenoid", "current = \"0.3 A\"\ninductance = \"60 mH\"\nunpowered = \"on\"\nrelease_within = \"0.2 s\"\nmechanical_release_time = \"5 ms\"\n")
	fits := map[string]int{}
	for name, text := range jobs {
		b := newBench(t, text)
		for i := range cat.Relays {
			r := &cat.Relays[i]
			if (relay{}).Serves(b.env, b.m, r) != "" {
				continue
			}
			d := b.design(r, nil)
			if d.Verdict == design.Fits {
				fits[name]++
			}
			seen := map[string]bool{}
			note := func(id design.CheckID, st design.Stage) {
				k := st.String() + "/" + id.String()
				if seen[k] {
					t.Errorf("%s on %s: %s twice", name, r.ID, k)
				}
				seen[k] = true
			}
			for k := range d.Checks {
				c := &d.Checks[k]
				note(c.ID, c.Stage)
				if strings.HasPrefix(c.Because, "internal") {
					t.Errorf("%s on %s: %s %s", name, r.ID, c.ID, c.Because)
				}
				if c.Verdict == design.Unproven && len(c.Figures()) == 0 && !c.Fallback && c.Stage == design.StageSelf && !c.RatingEstimate.OK {
					t.Errorf("%s on %s: %s is unproven and names nothing: %+v", name, r.ID, c.ID, c)
				}
			}
			for _, n := range d.NA {
				note(n.ID, n.Stage)
			}
			for _, id := range (relay{}).Owes(b.m) {
				if !seen["/"+id.String()] {
					t.Errorf("%s on %s: owes %s", name, r.ID, id)
				}
			}
		}
	}
	for _, name := range []string{"resistive", "vent", "led", "ac-resistive off", "ac-resistive on", "closed at rest"} {
		if fits[name] == 0 {
			t.Errorf("no embedded relay fits %s", name)
		}
	}
}

// Where the job gives less time, faster clamps are chosen, for coil and load
// together, and the printed total is the sum of its parts.
func TestRelayReleaseTogether(t *testing.T) {
	slow := newBench(t, strings.Replace(vent, "release_within = \"40 ms\"\n", "", 1)).design(cubeRelay(), nil)
	free := valueIn(slow, design.TRelease)
	if !free.OK || find(slow, design.ReleaseTime, design.StageSelf) != nil {
		t.Fatalf("release without a demand: %+v\n%s", free, show(slow))
	}
	for _, ms := range []float64{40, 20, 15} {
		b := newBench(t, strings.Replace(vent, "40 ms", fmt.Sprintf("%g ms", ms), 1))
		d := b.design(cubeRelay(), nil)
		c := find(d, design.ReleaseTime, design.StageSelf)
		if c == nil || c.Verdict != design.Fits || c.Stress.V > ms/1000 {
			t.Errorf("%g ms: %+v", ms, c)
			continue
		}
		sum := valueIn(d.Driver, design.TDecay).V + 5e-3 + valueIn(d, design.TDecay).V + 2e-3
		wantNear(t, "sum", c.Stress, sum, 1e-9)
		if free.V > ms/1000 && !(c.Stress.V < free.V) {
			t.Errorf("%g ms: nothing got faster than %g s", ms, free.V)
		}
	}
	b := newBench(t, strings.Replace(vent, "40 ms", "6 ms", 1))
	if c := find(b.design(cubeRelay(), nil), design.ReleaseTime, design.StageSelf); c == nil || c.Verdict != design.Over {
		t.Errorf("6 ms is less than armature and latch take: %+v", c)
	}
	// Without the load's own time the sum is not known.
	b = newBench(t, strings.Replace(vent, "mechanical_release_time = \"2 ms\"\n", "", 1))
	if c := find(b.design(cubeRelay(), nil), design.ReleaseTime, design.StageSelf); c == nil || c.Verdict != design.Unproven || len(c.Figures()) == 0 {
		t.Errorf("mechanical time not stated: %+v", c)
	}
}

// A diode inside the coil makes it slow whatever stands outside: by hand for
// 0.1 H, R 63*(234.5/257.5) = 57.373 ohm at 0 C, 5.25 V, end 0.5/63 A, 0.2 V:
// (0.1/57.373)*ln((5.25 + 0.2)/(0.45534 + 0.2)) = 3.6924 ms.
func TestRelayCoilDiode(t *testing.T) {
	b := newBench(t, workedJob("relay-release-8ms"))
	r := cubeRelay()
	r.CoilDiode = true
	d := b.design(r, nil)
	c := find(d, design.ReleaseTime, design.StageSelf)
	if c == nil || c.Verdict != design.Over {
		t.Fatalf("%+v", c)
	}
	wantNear(t, "release", c.Stress, 5e-3+3.6924e-3, 1e-4)
	r.CoilDiode = false
	if c := find(b.design(r, nil), design.ReleaseTime, design.StageSelf); c.Verdict != design.Fits {
		t.Errorf("without it a faster clamp helps: %+v", c)
	}
}

func TestRelayRails(t *testing.T) {
	b := newBench(t, heater)
	for _, tc := range []struct {
		id     string
		volts  float64
		shared bool
	}{{"rl-5v-10a", 5.25, false}, {"rl-12v-10a", 12.6, true}} {
		d := b.design(relayByID(t, tc.id), nil)
		if c := find(d, design.CoilOvervoltage, design.StageSelf); math.Abs(c.Stress.V-tc.volts) > 1e-9 {
			t.Errorf("%s hangs on %g V", tc.id, c.Stress.V)
		}
		coil := valueIn(d, design.IHold)
		want := b.m.IMax
		if tc.shared {
			want += coil.V
		}
		wantNear(t, tc.id+" rail current", find(d, design.RailCurrent, design.StageSelf).Stress, want, 1e-12)
	}
}

// Without a stated coil maximum 105 % is believed: a little more is unproven, a
// coil on far too much is over.
func TestRelayCoilOvervoltageWithoutFigure(t *testing.T) {
	b := newBench(t, heater)
	r := cubeRelay()
	r.VCoilMax = nil
	s := relayStage{stage: begin(b.env, b.m, &Given{}, new(design.Design), "relay", &r.Common), r: r, c: r.NO}
	for _, tc := range []struct {
		v    float64
		want design.Verdict
	}{{5.25, design.Fits}, {5.5, design.Unproven}, {12.6, design.Over}} {
		rail := job.Rail{Nom: q.Volt(tc.v), Min: q.Volt(tc.v), Max: q.Volt(tc.v)}
		if c := s.overvoltageCheck(&rail); c.Verdict != tc.want {
			t.Errorf("5 V coil on %g V: %s, want %s", tc.v, c.Verdict, tc.want)
		}
	}
	low := newBench(t, heater+"[pin]\nsupply = \"3.3 V\"\n")
	if d := low.design(r, nil); d.Verdict != design.Over {
		t.Errorf("3.3 V is too little and 12 V too much: %s", d.Verdict)
	}
}

func TestRelayAsBuilt(t *testing.T) {
	b := newBench(t, vent)
	d := b.design(cubeRelay(), &Given{Clamp: GivenClamp{Said: true}})
	if c := find(d, design.ClampVoltage, design.StageSelf); c == nil || c.Verdict != design.Over || d.Verdict != design.Over {
		t.Errorf("a winding with nothing across it: %+v", c)
	}
	b = newBench(t, heater)
	d = b.design(cubeRelay(), &Given{DriverPart: "pin"})
	// 5.25 V on 63 ohm is 83 mA, less what the pin's own resistance takes: far
	// above 20 mA.
	if b.env.Catalog == nil || d.Verdict != design.Over {
		t.Errorf("a cube relay on the bare pin: %s\n%s", d.Verdict, show(d))
	}
	cat, _ := catalog.Embedded()
	part := cat.BJTs[0].ID
	d = b.design(cubeRelay(), &Given{DriverPart: part, DriverTopology: "npn-low"})
	if d.Driver == nil || d.Driver.Part != part || d.Driver.Topology != "npn-low" {
		t.Errorf("driver as built: %+v", d.Driver)
	}
	d = b.design(cubeRelay(), &Given{DriverPart: "no-such-part"})
	if d.Verdict != design.Over || find(d, design.CoilPickup, design.StageDriver) == nil {
		t.Errorf("a driver that does not exist: %s", d.Verdict)
	}
}

func TestRelayHazardous(t *testing.T) {
	text := workedJob("relay-110v")
	cat, _ := catalog.Embedded()
	with := *cat
	with.Fuses = nil
	b := benchOn(t, &with, text)
	d := b.design(cubeRelay(), nil)
	if c := find(d, design.FuseCurrent, design.StageSelf); c == nil || c.Verdict != design.Over || !strings.Contains(c.Because, "fuse") {
		t.Errorf("no fuse in the catalogue: %+v", c)
	}
	// 110 V, OVC II, PD2, IIIa, reinforced: impulse 1.5 kV, one step up 2.5 kV,
	// clearance 1.5 mm, creepage 2*1.5 mm = 3 mm, working 110 of 250 V (ratio 2.27),
	// clearance 8/1.5, creepage 8/3 = 2.67: the working voltage is nearest.
	if c := find(d, design.Isolation, design.StageSelf); c == nil || c.Verdict != design.Fits || c.Stress.V != 110 || c.Rating.V != 250 {
		t.Errorf("isolation %+v", c)
	}
	r := cubeRelay()
	r.Isolation.Creepage = q.None[q.Metre]()
	if c := find(b.design(r, nil), design.Isolation, design.StageSelf); c.Verdict != design.Over {
		t.Errorf("a missing figure on a hazardous rail: %+v", c)
	}
	r.Isolation = nil
	if c := find(b.design(r, nil), design.Isolation, design.StageSelf); c.Verdict != design.Over {
		t.Errorf("no isolation table on a hazardous rail: %+v", c)
	}
	low := newBench(t, heater+"isolation = \"basic\"\n")
	if c := find(low.design(r, nil), design.Isolation, design.StageSelf); c.Verdict != design.Unproven || len(c.Figures()) == 0 {
		t.Errorf("the same on a low rail: %+v", c)
	}
	with.Fuses = []catalog.Fuse{{Common: catalog.Common{ID: "f-test", Provenance: "a test"}, IRated: q.Some(q.Amp(1)), Speed: "slow", VDCMax: q.Some(q.Volt(250)),
		IBreak: &catalog.Breaking{DC: q.Some(q.Amp(100))}, I2t: &catalog.FuseEnergy{MeltMin: q.Some(q.AmpSquaredSec(1))},
		Derate: []catalog.DerateFactor{{Ta: q.Some(q.Celsius(60)), Factor: q.Some(q.Ratio(0.9))}}}}
	d = benchOn(t, &with, text).design(cubeRelay(), nil)
	for _, id := range []design.CheckID{design.FuseCurrent, design.FuseStart, design.FuseBreaking} {
		if c := find(d, id, design.StageSelf); c == nil || c.Verdict != design.Fits {
			t.Errorf("%s with a fuse: %+v", id, c)
		}
	}
}

// A part changed on trial must never meet an answer remembered for what it was.
func TestRelayMemoSeesChanges(t *testing.T) {
	b := newBench(t, heater)
	r := cubeRelay()
	first := find(b.design(r, nil), design.CoilPickup, design.StageDriver).Stress
	r.MustOperate = q.Some(q.Ratio(0.8))
	second := find(b.design(r, nil), design.CoilPickup, design.StageDriver).Stress
	wantNear(t, "pick-up after the change", second, first.V*0.8/0.75, 1e-9)
	again := find(b.design(r, nil), design.CoilPickup, design.StageDriver).Stress
	if again != second {
		t.Errorf("remembered %+v, worked out %+v", again, second)
	}
}

// The least that a relay from a drawer states: nothing panics, nothing fits, and
// every check in doubt names what to look up.
func TestRelayFromTheDrawer(t *testing.T) {
	for _, text := range []string{vent, heater, heater + "life = \"1 years\"\nisolation = \"basic\"\n", loadText("lamp", "current = \"1 A\"\n"), loadText("motor", "current = \"1 A\"\n")} {
		full := cubeRelay()
		r := &catalog.Relay{Common: catalog.Common{ID: "own", Title: "own part", Provenance: "stated by the user", Package: "relay-cube"}, Form: "spst-no",
			VCoil: full.VCoil, RCoil: full.RCoil, MustOperate: full.MustOperate, NO: &catalog.Contact{DC: full.NO.DC}}
		b := newBench(t, text)
		d := b.design(r, nil)
		if d.Verdict < design.Unproven {
			t.Errorf("fits on next to nothing: %s", show(d))
		}
		for i := range d.Checks {
			c := &d.Checks[i]
			if c.Stage == design.StageSelf && c.Verdict == design.Unproven && len(c.Figures()) == 0 {
				t.Errorf("%s is unproven and names nothing", c.ID)
			}
		}
		r.RCoil, r.NO = nil, nil
		if b.design(r, nil).Verdict < design.Unproven {
			t.Error("fits without coil and contact")
		}
	}
}

// A design that is built again as it is must say the same.
func TestRelayFreeze(t *testing.T) {
	for name, text := range map[string]string{"vent": vent, "fast vent": strings.Replace(vent, "40 ms", "15 ms", 1), "heater": heater} {
		b := newBench(t, text)
		for _, id := range []string{"rl-5v-10a", "rl-12v-10a", "rl-5v-reed"} {
			d := b.design(relayByID(t, id), nil)
			again := b.design(relayByID(t, id), Freeze(d))
			if x, y := show(d), show(again); x != y {
				t.Errorf("%s on %s:\n%s\nbut frozen\n%s", name, id, x, y)
			}
		}
	}
}

func BenchmarkRelayRow(b *testing.B) {
	for _, tc := range []struct{ name, text string }{{"vent", vent}, {"heater", heater}} {
		run := newBench(b, tc.text)
		run.env.Brief = true
		cat := run.env.Catalog
		d := new(design.Design)
		for i := range cat.Relays {
			relay{}.Design(run.env, run.m, &cat.Relays[i], &Given{}, d)
		}
		b.Run(tc.name+"/memoised", func(b *testing.B) {
			b.ReportAllocs()
			for i := 0; b.Loop(); i++ {
				relay{}.Design(run.env, run.m, &cat.Relays[i%len(cat.Relays)], &Given{}, d)
			}
		})
		b.Run(tc.name+"/cold", func(b *testing.B) {
			cold := *run.env
			cold.relays = nil
			for i := 0; b.Loop(); i++ {
				relay{}.Design(&cold, run.m, &cat.Relays[i%len(cat.Relays)], &Given{}, d)
			}
		})
	}
}

// A fixed design of a worse relay is never judged better, and one with a figure
// taken away never fits where it did not.
func TestRelayWorseNeverBetter(t *testing.T) {
	cat, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	jobs := map[string]string{"vent": vent, "heater": heater, "lamp": loadText("lamp", "current = \"1 A\"\ncold_ratio = 12\n"),
		"motor":    loadText("motor", "current = \"0.5 A\"\nstall_current = \"3 A\"\nstall_time = \"50 ms\"\nlife = \"2 years\"\noperations_per_year = 5000\n"),
		"isolated": "[[rail]]\nname = \"dc\"\nvoltage = \"48 V\"\ncommon = \"none\"\n[[load]]\nname = \"x\"\nkind = \"resistive\"\nrail = \"dc\"\ncurrent = \"0.2 A\"\nisolation = \"reinforced\"\nlife = \"1 years\"\noperations_per_year = 1000\n"}
	compared := 0
	for name, text := range jobs {
		b := newBench(t, text)
		b.env.Driver = nil // frozen designs bring their own
		free := newBench(t, text)
		for i := range cat.Relays {
			r := &cat.Relays[i]
			if (relay{}).Serves(b.env, b.m, r) != "" {
				continue
			}
			d := free.design(r, nil)
			frozen := Freeze(d)
			for k := range catalog.Figures(r) {
				worse := catalog.Clone(r).(*catalog.Relay)
				f := catalog.Figures(worse)[k]
				if !f.Known() {
					continue
				}
				compared++
				factor := 0.8
				if f.WorseMore {
					factor = 1.25
				}
				f.Scale(factor)
				if got := b.design(worse, frozen); got.Verdict < d.Verdict {
					t.Errorf("%s on %s: %s x %g: %s, was %s", name, r.ID, f.Name, factor, got.Verdict, d.Verdict)
				}
				less := catalog.Clone(r).(*catalog.Relay)
				catalog.Figures(less)[k].Delete()
				if got := b.design(less, frozen); got.Verdict <= design.Tight && got.Verdict < d.Verdict {
					t.Errorf("%s on %s: without %s: %s, was %s", name, r.ID, f.Name, got.Verdict, d.Verdict)
				}
			}
		}
	}
	if compared < 1000 {
		t.Errorf("only %d comparisons", compared)
	}
}
