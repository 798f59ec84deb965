package sheet

import (
	"encoding/json"
	"math"
	"math/rand"
	"os"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/quantity"
)

// handDesign is a MOSFET stage for the demo's latch with numbers from a hand
// calculation: 13.2 V over 15 ohm less 10 % and cold is 1.0612 A.
func handDesign() *design.Design {
	d := &design.Design{Load: "vent latch", Part: "n-60v-logic-x", Topology: "n-mosfet-low", PartSource: "typical of its class, from memory"}
	on := design.Check{ID: design.OnCurrent, Stress: design.Known(1.0612), Rating: design.Known(30), K: 0.8, Unit: design.A,
		Formula: "{V_rail}/{R_load} = {stress} <= {allowed}", Source: "the part's i_d_case25_max"}
	on.SetArgs(design.Arg{Name: "V_rail", V: 13.2, Unit: design.V}, design.Arg{Name: "R_load", V: 12.439, Unit: design.Ohm})
	on.SetCorner(design.CornerValue{Name: "rail", V: 13.2}, design.CornerValue{Name: "ambient", V: 0}, design.CornerValue{Name: "load.r", V: 12.439})
	gate := design.Check{ID: design.GateDrive, Stress: design.Known(4.5), Rating: design.Known(4.7013), Unit: design.V,
		Formula: "{V_supply} * {R_pulldown}/({R_pulldown} + {R_out}) = {rating} against {stress}"}
	gate.SetArgs(design.Arg{Name: "V_supply", V: 4.75, Unit: design.V}, design.Arg{Name: "R_pulldown", V: 3861, Unit: design.Ohm}, design.Arg{Name: "R_out", V: 40, Unit: design.Ohm})
	hot := design.Check{ID: design.JunctionTemperature, Stress: design.Known(41.83), Rating: design.Known(150), Below: 25,
		Temperature: true, Ambient: design.Known(40), Unit: design.DegC}
	block := design.Check{ID: design.BlockingVoltage, Stress: design.Known(14.5), Rating: design.Known(60), K: 0.8, Unit: design.V}
	life := design.Check{ID: design.ReleaseTime, Stress: design.Known(0.015), Rating: design.Known(0.020), Unit: design.S, Because: "the current dies slowly through a diode"}
	d.Checks = []design.Check{on, gate, hot, block, life}
	for i := range d.Checks {
		design.Judge(&d.Checks[i])
	}
	design.Conclude(d)
	d.NA = []design.NotApplicable{{ID: design.SafeArea, Why: "15.4 W is under what the case bears"}}
	d.Values = []design.Value{{Key: design.RGate, V: 270, Unit: design.Ohm}, {Key: design.RPulldown, V: 3900, Unit: design.Ohm}, {Key: design.TJunction, V: 41.83, Unit: design.DegC}}
	d.Elements = []design.Element{
		{Ref: "V1", Role: design.RoleRail, Kind: "rail", Value: 12, Unit: design.V, HasValue: true, Nodes: []string{"rail", "ground"}},
		{Ref: "PIN", Role: design.RolePin, Kind: "pin", Value: 5, Unit: design.V, HasValue: true, Nodes: []string{"pin", "ground"}},
		{Ref: "LOAD", Role: design.RoleLoad, Kind: "solenoid", Value: 0.8, Unit: design.A, HasValue: true, Nodes: []string{"rail", "switch"}},
		{Ref: "D1", Role: design.RoleClamp, Kind: "diode", Part: "d-100v-3a", Nodes: []string{"switch", "rail"}},
		{Ref: "Q1", Role: design.RoleSwitch, Kind: "mosfet", Part: "n-60v-logic-x", Nodes: []string{"gate", "switch", "ground"}},
		{Ref: "R1", Role: design.RoleDriveResistor, Kind: "resistor", Part: "r-quarter-watt", Value: 270, Unit: design.Ohm, HasValue: true, Nodes: []string{"pin", "gate"}},
		{Ref: "R2", Role: design.RolePullDown, Kind: "resistor", Part: "r-quarter-watt", Value: 3900, Unit: design.Ohm, HasValue: true, Nodes: []string{"pin", "ground"}},
	}
	d.BOM = []design.BOMLine{{Ref: "Q1", Part: "n-60v-logic-x", Count: 1, UnitPrice: design.Known(0.42)}, {Ref: "D1", Part: "d-100v-3a", Count: 1, UnitPrice: design.Known(0.08)},
		{Ref: "R1, R2", Part: "r-quarter-watt", Count: 2, UnitPrice: design.Known(0.01)}}
	d.Cost = design.Money{Amount: design.Known(0.52), Currency: "EUR"}
	return d
}

func handInput(t *testing.T) *engine.Input {
	t.Helper()
	_, j, errs := job.Read("demo", job.DemoText())
	if errs.Fatal() {
		t.Fatal(errs)
	}
	p, err := catalog.PolicyByName("bench")
	if err != nil {
		t.Fatal(err)
	}
	return &engine.Input{Job: j, Policy: p}
}

func handDetailed() *engine.Detailed {
	d := handDesign()
	return &engine.Detailed{
		Row:    engine.Row{Key: d.Key(), Part: d.Part, Title: "60 V logic-level N-MOSFET", Topology: d.Topology, Verdict: d.Verdict, Headroom: d.Headroom},
		Design: d,
		Load: engine.LoadResult{Name: "vent latch", Assumed: []job.Assumed{{Field: "voltage_min", Value: "10.2 V", Why: "usual for its kind"}},
			Cautions: []job.Caution{{ID: "stored-energy", Text: "The coil stores energy; without its clamp the spark is painful."}}},
		Fixes:   [][]engine.Fix{nil, nil, nil, nil, {{Kind: engine.FixPart, Field: "clamp", From: "d-100v-3a", To: "d-100v-3a + z-18v-5w", ThenFails: []design.CheckID{design.BlockingVoltage}}}},
		Missing: []engine.Missing{{Figure: "i_dss_max", Check: design.Leakage, Op: "<=", Value: 0.04, Unit: design.A}},
		Factor:  &engine.LoadFactor{Value: 1.987, Check: design.ReleaseTime},
		Promises: []engine.Promise{{Figure: "r_ds_on", AtMost: true, Value: 0.1104, Unit: design.Ohm, Condition: "stated at 4.5 V or less", Check: design.GateDrive},
			{Figure: "v_ds_max", Value: 18.125, Unit: design.V, Check: design.BlockingVoltage}},
	}
}

func golden(t *testing.T, file, got string) {
	t.Helper()
	if os.Getenv("UPDATE_SHEETS") != "" {
		if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if got != string(want) {
		t.Errorf("%s differs; got\n%s", file, got)
	}
}

// The whole sheet of one hand-made design, read by eye.
func TestSheetGolden(t *testing.T) {
	doc := Sheet(handInput(t), handDetailed(), SheetOptions{})
	text := doc.Text(Width, nil)
	golden(t, "testdata/sheet.txt", text)
	golden(t, "testdata/sheet.md", doc.Markdown())
	for _, l := range strings.Split(text, "\n") {
		if len([]rune(l)) > Width {
			t.Errorf("wider than %d: %q", Width, l)
		}
	}
}

func TestFormula(t *testing.T) {
	d := handDesign()
	symbols, numbers := Formula(&d.Checks[0])
	if want := "V_rail/R_load = stress <= allowed"; symbols != want {
		t.Errorf("symbols %q, want %q", symbols, want)
	}
	// 13.2/12.439 = 1.0612 to five digits, shown up to four: 1.062; 0.8 x 30 = 24.
	if want := "13.2 V/12.439 ohm = 1.062 A <= 24 A"; numbers != want {
		t.Errorf("numbers %q, want %q", numbers, want)
	}
	for _, odd := range []string{"", "no places", "{", "}", "{unclosed", "{stress", "a}b{stress}"} {
		c := design.Check{Formula: odd}
		Formula(&c)
	}
}

// Printed headrooms never contradict the verdict, and printed numbers never
// contradict each other, however close they lie.
func TestPrintedNumbersAgreeWithVerdict(t *testing.T) {
	rng := rand.New(rand.NewSource(7))
	n := 0
	for range 60000 {
		rating := math.Pow(10, rng.Float64()*12-6)
		k := []float64{0, 0.6, 0.7, 0.8, 1}[rng.Intn(5)]
		allowed := rating
		if k != 0 {
			allowed = k * rating
		}
		near := []float64{0, 1e-13, -1e-13, 1e-11, -1e-11, 1e-9, -1e-9, 1e-7, -1e-7, 1e-5, -1e-5, 1e-3, -1e-3, 0.2, -0.2}[rng.Intn(15)]
		at := []float64{allowed, rating}[rng.Intn(2)]
		c := design.Check{ID: design.OnCurrent, Stress: design.Known(at * (1 + near)), Rating: design.Known(rating), K: k, Unit: design.A}
		design.Judge(&c)
		n++
		agreeInText(t, &c)
		if t.Failed() {
			t.Fatalf("%+v", c)
		}
	}
	if n == 0 {
		t.Fatal("nothing was tried")
	}
}

func agreeInText(t *testing.T, c *design.Check) {
	t.Helper()
	if h := Headroom(c.Headroom); h != "--" {
		v, err := strconv.ParseFloat(h, 64)
		if err != nil {
			t.Fatal(err)
		}
		if (c.Verdict == design.Fits) != (v >= 1) {
			t.Errorf("headroom prints %s beside %s", h, c.Verdict)
		}
		if v > c.Headroom.V+1e-12 {
			t.Errorf("headroom %g prints %s", c.Headroom.V, h)
		}
	}
	s := sidesOf(c)
	stress, rating, allowed := back(t, s.stress), back(t, s.rating), back(t, s.allowed)
	switch c.Verdict {
	case design.Fits:
		if stress > allowed*(1+1e-11) {
			t.Errorf("fits prints %s against %s allowed", s.stress, s.allowed)
		}
	case design.Tight:
		if stress > rating*(1+1e-11) || s.stress == s.allowed || stress < allowed {
			t.Errorf("tight prints %s, %s guaranteed, %s allowed", s.stress, s.rating, s.allowed)
		}
	case design.Over:
		if stress <= rating*(1-1e-11) {
			t.Errorf("over prints %s, %s guaranteed", s.stress, s.rating)
		}
	}
}

func back(t *testing.T, text string) float64 {
	t.Helper()
	v, err := quantity.Parse[quantity.Amp](text)
	if err != nil {
		t.Fatalf("%q: %v", text, err)
	}
	return float64(v)
}

func TestHeadroom(t *testing.T) {
	for _, c := range []struct {
		n    design.Number
		want string
	}{
		{design.Number{}, "--"}, {design.Known(0), "0.00"}, {design.Known(0.9999999), "0.99"}, {design.Known(math.Nextafter(1, 0)), "0.99"},
		{design.Known(1), "1.00"}, {design.Known(1.319), "1.31"}, {design.Known(12.99), "12.9"}, {design.Known(999.9), "999"}, {design.Known(1000), "1000"},
	} {
		if got := Headroom(c.n); got != c.want {
			t.Errorf("Headroom(%v) = %q, want %q", c.n, got, c.want)
		}
	}
}

// A bar crosses its limit exactly where the design fits.
func TestBar(t *testing.T) {
	for v := design.Fits; v <= design.Over; v++ {
		for _, h := range []design.Number{{}, design.Known(0), design.Known(0.3), design.Known(0.99), design.Known(1), design.Known(1.3), design.Known(900)} {
			bar := Bar(v, h)
			if len(bar) != barBelow+1+barAbove || bar[barBelow] != '|' {
				t.Fatalf("bar %q of %v %v", bar, v, h)
			}
			if crosses := bar[barBelow+1] == '#'; crosses != (v == design.Fits && h.OK && h.V >= 1) {
				t.Errorf("bar %q of %v %v", bar, v, h)
			}
		}
	}
}

// What came out of a file cannot steer a terminal, whatever form it is told in.
func TestNoControlSequences(t *testing.T) {
	const bad = "\x1b[31mred\x07\u009b2J\u202eback\r\n## x | y"
	in, det := handInput(t), handDetailed()
	in.Job.Title = bad
	in.Job.Loads[0].Name, in.Job.Loads[0].Rail.Name = bad, bad
	in.Policy = &catalog.Policy{Name: bad, Source: bad}
	d := det.Design
	d.Load, d.Part, d.PartSource, d.Variant = bad, bad, bad, bad
	det.Row.Title, det.Row.Part, det.Row.Key = bad, bad, bad
	d.Elements[2].Ref, d.Elements[4].Part, d.BOM[0].Part = bad, bad, bad
	d.Checks[0].Source, d.Checks[0].Because, d.Checks[0].Formula = bad, bad, bad
	d.Checks[0].Needs(bad)
	d.NA[0].Why, d.Cost.Missing = bad, []string{bad}
	det.Load.Name, det.Load.Assumed[0].Why, det.Load.Cautions[0].Text = bad, bad, bad
	det.Fixes[4][0].To, det.Missing[0].Figure, det.Promises[0].Condition = bad, bad, bad
	doc := Sheet(in, det, SheetOptions{})
	for form, text := range map[string]string{"text": doc.Text(Width, nil), "markdown": doc.Markdown()} {
		for _, r := range text {
			if r != '\n' && (r < ' ' || r >= 0x7f && r < 0xa0 || r == 0x202e) {
				t.Errorf("%s holds %q", form, r)
			}
		}
		if strings.Contains(text, "\n## x") {
			t.Errorf("%s: a file's text makes a heading", form)
		}
	}
}

// The JSON has the keys of its form at every level, no number that is not one,
// and the same bytes on every run.
func TestJSON(t *testing.T) {
	det := handDetailed()
	det.Design.Driver = handDesign()
	det.Design.Checks[0].StressEstimate = design.Known(math.Inf(1))
	res := &engine.Result{CatalogDigest: "c", JobDigest: "j", Policy: "bench", Loads: []engine.LoadResult{det.Load}}
	full := Candidates{"vent latch": {det}}
	first, err := JSON(res, full)
	if err != nil {
		t.Fatal(err)
	}
	again, err := JSON(res, full)
	if err != nil || string(again) != string(first) {
		t.Fatal("two runs differ", err)
	}
	var top map[string]any
	if err := json.Unmarshal(first, &top); err != nil {
		t.Fatal(err)
	}
	wantKeys(t, "top", top, "schema", "tool", "catalog_digest", "job_digest", "policy", "policy_note", "loads", "together")
	load := top["loads"].([]any)[0].(map[string]any)
	wantKeys(t, "load", load, "name", "assumed", "cautions", "candidates", "not_served")
	c := load["candidates"].([]any)[0].(map[string]any)
	candidate := []string{"key", "part", "topology", "variant", "verdict", "headroom", "limiting", "frontier", "cost", "values", "checks",
		"not_applicable", "missing", "nominal", "cautions", "load_factor", "promise", "elements", "bom", "driver"}
	wantKeys(t, "candidate", c, candidate...)
	wantKeys(t, "driver", c["driver"].(map[string]any), candidate...)
	check := c["checks"].([]any)[0].(map[string]any)
	wantKeys(t, "check", check, "id", "stage", "stress", "stress_estimate", "rating", "rating_estimate", "allowed", "unit", "headroom",
		"verdict", "corner", "formula", "because", "fix", "source", "assumed")
	if check["stress_estimate"] != nil {
		t.Error("infinity is not null")
	}
	if got := check["corner"].(map[string]any)["rail"]; got != 13.2 {
		t.Errorf("corner rail %v", got)
	}
	promise := c["promise"].([]any)
	wantKeys(t, "promise at most", promise[0].(map[string]any), "figure", "at_most", "unit", "condition", "check", "stage")
	wantKeys(t, "promise at least", promise[1].(map[string]any), "figure", "at_least", "unit", "condition", "check", "stage")
}

func wantKeys(t *testing.T, what string, m map[string]any, want ...string) {
	t.Helper()
	var got []string
	for k := range m {
		got = append(got, k)
	}
	slices.Sort(got)
	slices.Sort(want)
	if !reflect.DeepEqual(got, want) {
		t.Errorf("%s has %v, want %v", what, got, want)
	}
}

// Every check and every value has its words, so that no row of a sheet is empty.
func TestWordsAreComplete(t *testing.T) {
	for _, id := range design.CheckIDs() {
		if w := ShortCheck(id, design.StageSelf); w == "" || len(w) > 10 {
			t.Errorf("%s: short name %q", id, w)
		}
		if CheckQuestion(id) == "" {
			t.Errorf("%s: no words", id)
		}
	}
	for _, k := range []design.ValueKey{design.RBase, design.IPin, design.VOn, design.TDecay, design.LifeYears, "shifter.r_base"} {
		if ValueText(k) == "" {
			t.Errorf("%s: no words", k)
		}
	}
}

func TestAmount(t *testing.T) {
	for _, c := range []struct {
		n    design.Number
		want string
	}{{design.Number{}, "--"}, {design.Known(0), "0.00"}, {design.Known(0.31000000000000005), "0.31"}, {design.Known(0.301), "0.31"}, {design.Known(12), "12.00"}} {
		if got := amount(c.n); got != c.want {
			t.Errorf("amount(%v) = %q, want %q", c.n, got, c.want)
		}
	}
}

func TestQuote(t *testing.T) {
	for in, want := range map[string]string{"pump": "pump", "vent latch": "'vent latch'", "": "''", "it's": `'it'\''s'`, "$(x)": "'$(x)'"} {
		if got := Quote(in); got != want {
			t.Errorf("Quote(%q) = %s, want %s", in, got, want)
		}
	}
}

// A load that was described by its resistance or power is told with that.
func TestStatedAs(t *testing.T) {
	for text, want := range map[string]string{
		"resistance = \"15 ohm\"":                      "; resistance stated: 15 ohm",
		"power = \"9.6 W\"":                            "; power stated: 9.6 W",
		"current = \"0.8 A\"\nresistance = \"15 ohm\"": "",
	} {
		spec, _, errs := job.Read("j", []byte("[[load]]\nname = \"coil\"\nkind = \"solenoid\"\nsupply = \"12 V\"\n"+text+"\n"))
		if errs.Fatal() {
			t.Fatal(errs)
		}
		if got := statedAs(spec, "coil"); got != want {
			t.Errorf("%s: %q", text, got)
		}
		if got := statedAs(spec, "other"); got != "" {
			t.Errorf("another load: %q", got)
		}
	}
}
