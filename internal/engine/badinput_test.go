package engine_test

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/topology"
)

// fewParts is the embedded catalogue with a handful of each kind of switch, so
// that many odd jobs can be asked.
func fewParts(t *testing.T) *catalog.Catalog {
	t.Helper()
	sources, err := catalog.EmbeddedSources()
	if err != nil {
		t.Fatal(err)
	}
	c, errs := catalog.Load(sources)
	if errs.Fatal() {
		t.Fatal(errs)
	}
	c.BJTs, c.MOSFETs, c.Relays = sparse(c.BJTs, 12), sparse(c.MOSFETs, 14), sparse(c.Relays, 12)
	c.SSRs, c.Modules, c.Arrays = sparse(c.SSRs, 8), sparse(c.Modules, 8), sparse(c.Arrays, 2)
	return c
}

// sparse keeps every nth.
func sparse[T any](all []T, n int) (kept []T) {
	for i := 0; i < len(all); i += n {
		kept = append(kept, all[i])
	}
	return kept
}

// oddBases are loads whose keys are then bent.
var oddBases = []struct{ name, text string }{
	{"solenoid", "kind = \"solenoid\"\ncurrent = \"0.8 A\"\ninductance = \"60 mH\"\nrelease_within = \"20 ms\"\nmechanical_release_time = \"2 ms\"\n"},
	{"solenoid under pwm", "kind = \"solenoid\"\ncurrent = \"0.8 A\"\ninductance = \"60 mH\"\nmode = \"pwm\"\npwm_frequency = \"1 kHz\"\n"},
	{"motor", "kind = \"motor\"\ncurrent = \"0.6 A\"\nstall_current = \"3 A\"\nstall_time = \"1 s\"\ninductance = \"2 mH\"\n"},
	{"motor under pwm", "kind = \"motor\"\ncurrent = \"0.6 A\"\nwinding_resistance = \"4 ohm\"\nstall_time = \"1 s\"\ninductance = \"2 mH\"\nmode = \"pwm\"\npwm_frequency = \"2 kHz\"\n"},
	{"motor that reverses", "kind = \"motor\"\ncurrent = \"0.6 A\"\nstall_current = \"3 A\"\nstall_time = \"1 s\"\ninductance = \"2 mH\"\nreversing = true\n"},
	{"lamp", "kind = \"lamp\"\ncurrent = \"0.4 A\"\n"},
	{"capacitor", "kind = \"capacitive\"\ncurrent = \"0.1 A\"\ncapacitance = \"470 uF\"\nesr = \"50 mohm\"\n"},
	{"strip under pwm", "kind = \"led\"\ncurrent = \"0.5 A\"\nmode = \"pwm\"\npwm_frequency = \"500 Hz\"\n"},
	{"coil", "kind = \"coil\"\nresistance = \"160 ohm\"\ninductance = \"0.3 H\"\n"},
	{"heater in cycles", "kind = \"resistive\"\ncurrent = \"1 A\"\nmode = \"cycle\"\nperiod = \"20 s\"\nduty_max = \"50 %\"\n"},
	{"supply", "kind = \"electronic\"\npower = \"6 W\"\n"},
	{"stop", "kind = \"solenoid\"\ncurrent = \"0.5 A\"\ninductance = \"20 mH\"\navalanche_events = 20\noperations_per_year = 2\nlife = \"10 years\"\n"},
}

// bends are values at and beyond the ends of what is plausible, by key.
var bends = []struct {
	key    string
	values []string
}{
	{"current", []string{"\"0 A\"", "\"1 pA\"", "\"1e6 A\""}},
	{"inductance", []string{"\"1 pH\"", "\"1e6 H\""}},
	{"tolerance", []string{"\"0 %\"", "\"99.9 %\"", "\"100 %\""}},
	{"tolerance_l", []string{"\"0 %\"", "\"100 %\""}},
	{"capacitance", []string{"\"1 fF\"", "\"1e6 F\""}},
	{"esr", []string{"\"0 ohm\"", "\"1e9 ohm\""}},
	{"inrush_factor", []string{"1", "1e9"}},
	{"inrush_current", []string{"\"1 pA\"", "\"1e9 A\""}},
	{"inrush_time", []string{"\"1 ps\"", "\"1e9 s\""}},
	{"cold_ratio", []string{"1", "1e6"}},
	{"stall_current", []string{"\"1 pA\"", "\"1e9 A\""}},
	{"winding_resistance", []string{"\"1 nohm\"", "\"1e9 ohm\""}},
	{"stall_time", []string{"\"1 ps\"", "\"1e9 s\""}},
	{"pwm_frequency", []string{"\"1e-6 Hz\"", "\"1e12 Hz\""}},
	{"period", []string{"\"1 ps\"", "\"1e9 s\""}},
	{"switching_rate", []string{"\"1e-9 /h\"", "\"1e12 /h\""}},
	{"duty", []string{"\"0 %\"", "\"100 %\""}},
	{"duty_min", []string{"\"0 %\"", "\"100 %\""}},
	{"duty_max", []string{"\"0 %\"", "\"100 %\""}},
	{"duty_enforced", []string{"\"hardware\""}},
	{"release_within", []string{"\"1 ps\"", "\"1e9 s\""}},
	{"mechanical_release_time", []string{"\"0 s\"", "\"1e9 s\""}},
	{"release_current", []string{"\"1 pA\"", "\"1e6 A\""}},
	{"off_current_max", []string{"\"1 fA\"", "\"1e6 A\""}},
	{"voltage_min", []string{"\"1 nV\"", "\"1e6 V\""}},
	{"life", []string{"\"1e-9 years\"", "\"1e9 years\""}},
	{"operations_per_year", []string{"0", "1e-9", "1e18"}},
	{"quantity", []string{"1000"}},
	{"wire_length", []string{"\"0 m\"", "\"1e9 m\""}},
	{"wire_area", []string{"\"1e-6 mm2\"", "\"1e6 mm2\""}},
	{"copper_area", []string{"\"0 mm2\"", "\"1e9 mm2\""}},
	{"avalanche_events", []string{"0", "1e-9", "1e18"}},
	{"supply_tolerance", []string{"\"0 %\"", "\"100 %\"", "\"99.999 %\""}},
	{"supply", []string{"\"1 mV\"", "\"59 V\"", "\"600 V\""}},
	{"reversing", []string{"true"}},
}

// bent is a base with one key set, in place of what it says.
func bent(base, key, value string) string {
	var b strings.Builder
	b.WriteString("schema = 1\n[[load]]\nname = \"x\"\n")
	done := false
	for _, line := range strings.SplitAfter("supply = \"12 V\"\nsupply_tolerance = \"10 %\"\n"+base, "\n") {
		if k, _, _ := strings.Cut(line, " "); k == key {
			line, done = key+" = "+value+"\n", true
		}
		b.WriteString(line)
	}
	if !done {
		fmt.Fprintf(&b, "%s = %s\n", key, value)
	}
	return b.String()
}

// askOdd asks everything of a job, or finds it refused with a place and a reason.
// Whatever is odd about it: verdicts with reasons, no number that is none, and an
// end to it.
func askOdd(t *testing.T, cat *catalog.Catalog, name, text string) (refused bool) {
	t.Helper()
	spec, j, errs := job.Read("odd.toml", []byte(text), engine.TopologyIDs()...)
	if errs.Fatal() {
		for _, e := range errs {
			if e.Error() == "" {
				t.Errorf("%s: refused without a reason", name)
			}
		}
		return true
	}
	from := time.Now()
	for _, policy := range []string{"bench", "ecss"} {
		pol, err := catalog.PolicyByName(policy)
		if err != nil {
			t.Fatal(err)
		}
		in := &engine.Input{Job: j, Spec: spec, Catalog: cat, Policy: pol}
		res, err := engine.Assess(context.Background(), in, engine.Options{})
		if err != nil {
			t.Fatal(err)
		}
		for i := range res.Loads {
			for k := range res.Loads[i].Rows {
				oddRow(t, name, &res.Loads[i].Rows[k])
			}
		}
		oddDesigns(t, name, in)
	}
	if took := time.Since(from); took > 20*time.Second {
		t.Errorf("%s took %v", name, took)
	}
	return false
}

func oddRow(t *testing.T, name string, r *engine.Row) {
	t.Helper()
	for _, n := range []design.Number{r.Headroom, r.Cost.Amount, r.Heat, r.TurnOff, design.Known(r.PinSource), design.Known(r.PinSink)} {
		if math.IsNaN(n.V) || math.IsInf(n.V, 0) {
			t.Errorf("%s: %+v", name, r)
		}
	}
	if r.Verdict != design.Fits && r.Limiting == nil {
		t.Errorf("%s: %s is %s and nothing limits it", name, r.Key, r.Verdict)
	}
	for _, d := range r.Draws {
		if math.IsNaN(d.A) || math.IsInf(d.A, 0) {
			t.Errorf("%s: %s draws %g A", name, r.Key, d.A)
		}
	}
}

// oddDesigns makes every design in full.
func oddDesigns(t *testing.T, name string, in *engine.Input) {
	t.Helper()
	env := engine.EnvFor(in, false)
	m := env.Model(&in.Job.Loads[0])
	switches := append([]catalog.Part{topology.PinPart()}, in.Catalog.Switches()...)
	var d design.Design
	for _, top := range topology.All() {
		for _, sw := range switches {
			if top.Serves(env, m, sw) != "" {
				continue
			}
			top.Design(env, m, sw, &topology.Given{}, &d)
			for i := range d.Checks {
				oddCheck(t, name+": "+d.Key(), &d.Checks[i])
			}
			for _, v := range slices.Concat(d.Values, d.Nominal) {
				if math.IsNaN(v.V) || math.IsInf(v.V, 0) {
					t.Errorf("%s: %s: %s is %g", name, d.Key(), v.Key, v.V)
				}
			}
			for _, e := range d.Elements {
				if math.IsNaN(e.Value) || math.IsInf(e.Value, 0) {
					t.Errorf("%s: %s: element %s is %g", name, d.Key(), e.Ref, e.Value)
				}
			}
		}
	}
}

func oddCheck(t *testing.T, name string, c *design.Check) {
	t.Helper()
	for _, n := range []design.Number{c.Stress, c.StressEstimate, c.Rating, c.RatingEstimate, c.Allowed, c.Headroom} {
		if math.IsNaN(n.V) || math.IsInf(n.V, 0) {
			t.Errorf("%s: %s holds %g: %+v", name, c.ID, n.V, c)
		}
	}
	if c.Because == design.NotANumber {
		t.Errorf("%s: %s: %s", name, c.ID, c.Because)
	}
	if strings.HasPrefix(c.Because, "internal:") {
		t.Errorf("%s: %s: %s", name, c.ID, c.Because)
	}
	if c.Formula == "" && c.Because == "" {
		t.Errorf("%s: %s is %s and gives no reason", name, c.ID, c.Verdict)
	}
	// An estimate beside the guarantee is a reason of its own.
	if c.Verdict == design.Unproven && len(c.Figures()) == 0 && c.Because == "" && !c.StressEstimate.OK && !c.RatingEstimate.OK {
		t.Errorf("%s: %s is unproven and says not what is missing: %+v", name, c.ID, c)
	}
	for _, a := range c.Args() {
		if math.IsNaN(a.V) || math.IsInf(a.V, 0) {
			t.Errorf("%s: %s: argument %s is %g", name, c.ID, a.Name, a.V)
		}
	}
	for _, v := range c.Corner() {
		if math.IsNaN(v.V) || math.IsInf(v.V, 0) {
			t.Errorf("%s: %s: corner %s is %g", name, c.ID, v.Name, v.V)
		}
	}
}

// TestOddLoads bends every key of a load to and beyond what is plausible.
func TestOddLoads(t *testing.T) {
	cat := fewParts(t)
	asked, refused := 0, 0
	for n, base := range oddBases {
		for k, b := range bends {
			if testing.Short() && (n+k)%7 != 0 {
				continue
			}
			for _, v := range b.values {
				if askOdd(t, cat, fmt.Sprintf("%s, %s = %s", base.name, b.key, v), bent(base.text, b.key, v)) {
					refused++
				} else {
					asked++
				}
			}
		}
	}
	if asked < refused {
		t.Errorf("%d asked, %d refused: the values are too odd to test anything", asked, refused)
	}
	t.Logf("%d asked, %d refused", asked, refused)
}

// TestOddTimes sets time constants twelve decades and more apart.
func TestOddTimes(t *testing.T) {
	cat := fewParts(t)
	for _, text := range []string{
		// L/R of 1 ns and 1000 s against periods of 1 us and 10 s
		"kind = \"solenoid\"\ncurrent = \"1 A\"\ninductance = \"12 nH\"\nmode = \"pwm\"\npwm_frequency = \"0.1 Hz\"\n",
		"kind = \"solenoid\"\ncurrent = \"1 A\"\ninductance = \"12000 H\"\nmode = \"pwm\"\npwm_frequency = \"1 MHz\"\n",
		"kind = \"motor\"\ncurrent = \"1 A\"\nstall_current = \"10 A\"\nstall_time = \"1 us\"\ninductance = \"1 kH\"\n",
		"kind = \"motor\"\ncurrent = \"1 A\"\nstall_current = \"10 A\"\nstall_time = \"1 ns\"\ninductance = \"1 nH\"\nmode = \"cycle\"\nperiod = \"1e6 s\"\n",
		"kind = \"capacitive\"\ncurrent = \"0 A\"\ncapacitance = \"1 pF\"\nesr = \"1 mohm\"\nmode = \"cycle\"\nperiod = \"1e6 s\"\n",
		"kind = \"capacitive\"\ncurrent = \"0 A\"\ncapacitance = \"1000 F\"\nesr = \"1 kohm\"\nmode = \"pwm\"\npwm_frequency = \"1 MHz\"\n",
		"kind = \"lamp\"\ncurrent = \"1 A\"\ninrush_time = \"1 ns\"\nmode = \"cycle\"\nperiod = \"1e5 s\"\n",
		"kind = \"lamp\"\ncurrent = \"1 A\"\ninrush_time = \"1e5 s\"\nmode = \"pwm\"\npwm_frequency = \"100 kHz\"\n",
		"kind = \"resistive\"\ncurrent = \"1 A\"\nmode = \"cycle\"\nperiod = \"1 ns\"\n",
		"kind = \"resistive\"\ncurrent = \"1 A\"\nmode = \"cycle\"\nperiod = \"1e9 s\"\nduty_max = \"0 %\"\nduty_enforced = \"hardware\"\nduty = \"0 %\"\n",
		"kind = \"solenoid\"\ncurrent = \"1 A\"\ninductance = \"1 nH\"\nrelease_within = \"1000 s\"\nmechanical_release_time = \"1 ns\"\navalanche_events = 1e12\nlife = \"1e6 years\"\noperations_per_year = 1e6\n",
	} {
		askOdd(t, cat, text, bent(text, "side", "\"any\""))
	}
}

// TestOddDuties: nothing but off, nothing but on, and no room between.
func TestOddDuties(t *testing.T) {
	cat := fewParts(t)
	for _, base := range oddBases {
		for _, duty := range []string{"0 %", "1e-9 %", "50 %", "99.9999999 %", "100 %"} {
			for _, enforced := range []string{"software", "hardware"} {
				text := bent(base.text, "duty_enforced", fmt.Sprintf("%q", enforced)) + fmt.Sprintf("duty = %q\nduty_min = %q\n", duty, duty)
				if !strings.Contains(base.text, "duty_max") {
					text += fmt.Sprintf("duty_max = %q\n", duty)
				}
				askOdd(t, cat, base.name+" at "+duty, text)
			}
		}
	}
}

// TestOddPinsAndAir bends the pin, its air and a rail.
func TestOddPinsAndAir(t *testing.T) {
	cat := fewParts(t)
	for _, head := range []string{
		"[pin]\nsupply_tolerance = \"100 %\"\n", "[pin]\nsupply = \"1 mV\"\n", "[pin]\nsupply = \"1e3 V\"\n", "[pin]\noutput_resistance_max = \"1e12 ohm\"\n",
		"[pin]\noutput_resistance_max = \"0 ohm\"\noutput_resistance_min = \"0 ohm\"\n", "[pin]\nsource_current_max = \"0 A\"\nsink_current_max = \"0 A\"\n",
		"[pin]\nsource_current_max = \"1e9 A\"\n", "[pin]\nleakage_max = \"1e3 A\"\n", "[pin]\nreset_pull_min = \"1 nohm\"\n", "[pin]\nreset_pull_min = \"1e15 ohm\"\n",
		"[pin]\npeak_current_max = \"1 pA\"\n", "[pin]\ntotal_current_max = \"1 pA\"\ngroup_current_max = \"1 pA\"\nrail_current_max = \"1 pA\"\n",
		"[environment]\nambient_min = \"-273 C\"\n", "[environment]\nambient_max = \"1e6 C\"\n", "[environment]\nenclosure_rise = \"1e6 K\"\n",
		"[environment]\nambient_min = \"125 C\"\nambient_max = \"125 C\"\n",
		"[pin]\noutput = \"open-drain\"\nsupply = \"1.8 V\"\n",
	} {
		for _, base := range oddBases {
			text := strings.Replace(bent(base.text, "side", "\"any\""), "schema = 1\n", "schema = 1\n"+head, 1)
			askOdd(t, cat, head+base.name, text)
		}
	}
}

// TestOddJobsReachEveryTopology: the loads that are bent, with the few parts that they
// are bent for, are served by every topology, so that none is left out of it.
func TestOddJobsReachEveryTopology(t *testing.T) {
	cat := fewParts(t)
	served := map[string]bool{}
	bases := []string{"kind = \"signal\"\nrail = \"pin\"\n", "kind = \"ac-resistive\"\ncurrent = \"0.5 A\"\nfrequency = \"50 Hz\"\nisolation = \"none\"\n"}
	for _, base := range oddBases {
		bases = append(bases, base.text)
	}
	for _, base := range bases {
		text := bent(base, "side", "\"any\"")
		if strings.Contains(base, "rail =") {
			text = "schema = 1\n[[load]]\nname = \"x\"\n" + base
		}
		spec, j, errs := job.Read("odd.toml", []byte(text), engine.TopologyIDs()...)
		if errs.Fatal() {
			t.Fatalf("%s: %v", base, errs)
		}
		env := engine.EnvFor(&engine.Input{Job: j, Spec: spec, Catalog: cat, Policy: benchPolicy(t)}, true)
		m := env.BareModel(&j.Loads[0])
		for _, top := range topology.All() {
			for _, sw := range append([]catalog.Part{topology.PinPart()}, cat.Switches()...) {
				served[top.ID()] = served[top.ID()] || top.Serves(env, m, sw) == ""
			}
		}
	}
	for _, id := range engine.TopologyIDs() {
		if !served[id] {
			t.Errorf("no odd load is served by %s", id)
		}
	}
}

func benchPolicy(t *testing.T) *catalog.Policy {
	t.Helper()
	pol, err := catalog.PolicyByName("bench")
	if err != nil {
		t.Fatal(err)
	}
	return pol
}

// TestClampUnderTheRail: as built, a clamp that breaks down below the rail, or in
// the wrong direction, never fits, and says why, whatever switches the winding.
func TestClampUnderTheRail(t *testing.T) {
	for _, sw := range []string{"n-60v-logic-b/n-mosfet-low", "npn-60v-lowsat-2a/npn-low", "npn-60v-darl-500ma/darlington-low", "n-55v-10vgate/n-mosfet-boosted",
		"n-60v-logic-b/n-mosfet-parallel", "pnp-60v-lowsat-3a-smd/pnp-high", "p-60v-logic-dpak/p-mosfet-high", "mod-mosfet-3v3-60v/module"} {
		t.Run(sw, func(t *testing.T) { clampsUnderTheRail(t, sw) })
	}
}

func clampsUnderTheRail(t *testing.T, sw string) {
	part, top, _ := strings.Cut(sw, "/")
	cat, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	pol := benchPolicy(t)
	for _, tc := range []struct{ clamp, placement, why string }{
		{"z-5v1-1w3", "switch", "conducts all the time"},
		{"tvs-5v-400w", "switch", "conducts all the time"},
		{"d-100v-1a", "switch", "wrong direction"},
		{"z-24v-1w3", "load", "a diode in series is missing"},
		{"none", "load", "nothing limits the voltage"},
	} {
		for _, l := range []string{"\"1 nH\"", "\"60 mH\"", "\"1 kH\""} {
			text := bent(oddBases[0].text, "inductance", l) + fmt.Sprintf("[load.built]\ntopology = %q\npart = %q\nclamp = %q\n", top, part, tc.clamp)
			if tc.clamp != "none" {
				text += fmt.Sprintf("clamp_placement = %q\n", tc.placement)
			}
			spec, j, errs := job.Read("built.toml", []byte(text), engine.TopologyIDs()...)
			if errs.Fatal() {
				t.Fatal(errs)
			}
			in := &engine.Input{Job: j, Spec: spec, Catalog: cat, Policy: pol}
			det, err := engine.Detail(context.Background(), in, "x/"+sw+"/built")
			if err != nil {
				t.Fatal(err)
			}
			said := false
			for i := range det.Design.Checks {
				c := &det.Design.Checks[i]
				oddCheck(t, tc.clamp, c)
				said = said || c.Verdict == design.Over && strings.Contains(c.Because, tc.why)
			}
			if det.Design.Verdict != design.Over || !said {
				t.Errorf("%s across the %s with %s is %s, %q is not said", tc.clamp, tc.placement, l, det.Design.Verdict, tc.why)
			}
		}
	}
}
