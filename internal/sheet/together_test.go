package sheet

import (
	"encoding/json"
	"strings"
	"testing"

	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/job"
)

// pairOf is an answer for two loads, made up.
func pairOf(t engine.Together) (*engine.Input, *engine.Result) {
	in := &engine.Input{Job: &job.Job{Loads: []job.Load{{Name: "fan"}, {Name: "lamp"}}}}
	row := func(load, part string, cost float64) engine.LoadResult {
		return engine.LoadResult{Name: load, Rows: []engine.Row{{Key: load + "/" + part + "/n-mosfet-low", Part: part, Topology: "n-mosfet-low",
			Headroom: design.Known(1.5), Cost: design.Money{Amount: design.Known(cost), Currency: "EUR"}}}}
	}
	return in, &engine.Result{Loads: []engine.LoadResult{row("fan", "n-a", 0.4), row("lamp", "n-b", 0.3)}, Together: t}
}

func checkOf(id design.CheckID, stress, rating float64, because string) design.Check {
	c := design.Check{ID: id, Unit: design.A, Stress: design.Known(stress), Rating: design.Known(rating), Because: because}
	design.Judge(&c)
	return c
}

func plainText(in *engine.Input, res *engine.Result) string {
	var b strings.Builder
	together(in, res).plain(&b, 80)
	return b.String()
}

func TestTogetherText(t *testing.T) {
	picked := engine.Together{Pick: []string{"fan/n-a/n-mosfet-low", "lamp/n-b/n-mosfet-low"}, Proven: true,
		Cost: design.Money{Amount: design.Known(0.7), Currency: "EUR"}, Types: []string{"n-a", "n-b"}, Helpers: 3,
		Checks: []design.Check{checkOf(design.PinTotal, 0.03, 0.2, ""), checkOf(design.RailCurrent, 1.2346, 2, "rail bench")},
		Trade: []engine.Trade{{Types: 1, Cost: design.Money{Amount: design.Known(0.9)}, Parts: []string{"n-a"}, Proven: true},
			{Types: 2, Cost: design.Money{Amount: design.Known(0.7)}, Parts: []string{"n-a", "n-b"}}},
		Packages: []engine.Package{{Part: "array-x", Loads: []string{"fan", "lamp"}, Checks: []design.Check{checkOf(design.OnCurrent, 0.1, 0.25, "")}}}}
	got := plainText(pairOf(picked))
	want := `Together, all on at once unless they exclude one another, the cheapest pick:
  load  part  used as       verdict  room  cost
  fan   n-a   n-mosfet low  + fits   1.50  0.40
  lamp  n-b   n-mosfet low  + fits   1.50  0.30
0.70 EUR; 2 types of switching part (n-a, n-b), 3 types of helper. Nothing that
keeps all of this is cheaper.
+ fits: pin-total, 30 mA of 200 mA
+ fits: rail-current (rail bench), 1.235 A of 2 A
+ one array-x serves fan and lamp, with all its channels on: on-current, room
2.50; its price counts once
Types of switching part against cost, other wishes kept; a number that saves
nothing is left out:
  types          cost  switching parts
      1          0.90  n-a
      2  0.70 or less  n-a, n-b
A type is a transistor, relay, module or array by its id, also one that drives a
relay's coil; diodes, resistors, sinks and other helpers are counted apart.
`
	if got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
	picked.Proven = false
	if got := plainText(pairOf(picked)); !strings.Contains(got, "something cheaper may exist") {
		t.Errorf("an unfinished search is told as finished:\n%s", got)
	}
}

func TestUnmetText(t *testing.T) {
	unmet := engine.Together{Pick: []string{"", ""}, Verdict: design.Over, Wish: engine.Wish{Types: 1, Stocked: true, Headroom: 1.5},
		Unmet: &engine.Unmet{Breaks: engine.BoundTypes, Proven: true, Relax: []engine.Relax{
			{Bound: engine.BoundTypes, From: 1, To: 3}, {Bound: engine.BoundHeadroom, From: 1.5, To: 1.4079}, {Bound: engine.BoundStocked, Parts: []string{"d-a", "n-c"}},
			{Bound: "rail-current", Where: "rail bench", From: 2, To: 2.3999, Unit: design.A}}}}
	got := plainText(pairOf(unmet))
	// A headroom is rounded down, what is lacking up.
	want := `Together, with at most 1 type of switching part and only parts in stock or in
the drawer and a headroom of at least 1.5:
x over: nothing keeps all of this; what breaks it: types.
With 3 types of switching part instead of 1 it can be done.
With a headroom of 1.40 instead of 1.5 it can be done.
With d-a, n-c in stock it can be done.
rail-current (rail bench) lacks 400 mA: with 2.4 A instead of 2 A it can be
done.
`
	if got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
	unmet.Unmet = &engine.Unmet{Breaks: engine.BoundHeadroom, Loads: []string{"fan"}, Both: []engine.Bound{engine.BoundTypes, engine.BoundHeadroom}}
	got = plainText(pairOf(unmet))
	for _, s := range []string{"? unproven: nothing was found", "leaves nothing for fan", "without the limit of types and the headroom wished for"} {
		if !strings.Contains(strings.ReplaceAll(got, "\n", " "), s) {
			t.Errorf("%q is not in\n%s", s, got)
		}
	}
	in, res := pairOf(unmet)
	text, err := JSON(res, nil)
	if err != nil {
		t.Fatal(err)
	}
	var top struct {
		Together map[string]any `json:"together"`
	}
	if err := json.Unmarshal(text, &top); err != nil {
		t.Fatal(err)
	}
	wantKeys(t, "together", top.Together, "pick", "checks", "verdict", "proven", "cost", "types", "helpers", "wish", "unmet", "trade", "packages")
	if len(top.Together["pick"].([]any)) != 0 || top.Together["verdict"] != "over" {
		t.Errorf("%v", top.Together)
	}
	_ = in
}

// One stage alone has nothing to be picked with.
func TestOneStageIsNotTold(t *testing.T) {
	in := &engine.Input{Job: &job.Job{Loads: []job.Load{{Name: "fan"}}}}
	_, res := pairOf(engine.Together{Pick: []string{"fan/n-a/n-mosfet-low"}, Checks: []design.Check{checkOf(design.PinTotal, 0.01, 0.2, "")}})
	res.Loads = res.Loads[:1]
	if d := together(in, res); len(d.Blocks) > 0 {
		t.Errorf("%+v", d)
	}
}

func TestPolicyText(t *testing.T) {
	res := &engine.Result{Policy: "p", Note: engine.PolicyNote{Source: "factors of a table", FromMemory: true, LookUp: "table 4", FromBench: []string{"life", "energy"}}}
	want := "Policy p: factors of a table (from memory; look them up before anything depends on them: table 4); bench's for what it does not have: life, energy."
	if got := policyText(res); got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
	if got := policyText(&engine.Result{Policy: "bench", Note: engine.PolicyNote{Source: "ours"}}); got != "" {
		t.Errorf("%q", got)
	}
	l := &list{load: &engine.LoadResult{Name: "fan"}, policy: "p", opt: ListOptions{Refused: []engine.Refusal{{Load: "fan", Parts: []string{"a", "b", "c", "d", "e", "f", "g", "h", "i", "j"}, Built: true}}}}
	want = "Refused by policy p alone, within the stated limits: 10 parts: a, b, c, d, e, f, g, h and 2 more parts. The stage as built is refused by the policy alone."
	if got := l.refusedByPolicy(); got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
}

func TestClampTexts(t *testing.T) {
	rows := []engine.ClampRow{
		{Parts: []string{"d-a", "z-b"}, Placement: engine.AcrossLoad, Chosen: true, VPeak: design.Known(23.456), TDecay: design.Known(6.3123e-3),
			TRelease: design.Known(8.3123e-3), Energy: design.Known(22.51e-3), Power: design.Known(3.7411e-3), Cost: design.Money{Amount: design.Known(0.14), Currency: "EUR"}},
		{Parts: []string{"c-a"}, RC: design.Known(47), Placement: engine.AcrossSwitch},
		{Placement: engine.NoClamp, Verdict: design.Over, Limiting: &engine.Limit{ID: design.Avalanche}, Cost: design.Money{Amount: design.Known(0)}},
	}
	res := &engine.Result{Policy: "bench"}
	text := Clamps(res, &engine.Row{Key: "fan/n-a/n-mosfet-low"}, rows).Text(Width, nil)
	for _, s := range []string{"Clamps of fan/n-a/n-mosfet-low, policy bench", "d-a + z-b", "23.5 V", "6.32 ms", "8.32 ms", "22.6 mJ", "3.75 mW", "0.14", "ACROSS THE LOAD", "47 ohm + c-a", "old rule of thumb", "NOTHING ACROSS THE LOAD", "none ", "x avalanche"} {
		if !strings.Contains(text, s) {
			t.Errorf("%q is not in\n%s", s, text)
		}
	}
	csv, err := ClampsCSV("fan/n-a/n-mosfet-low", rows)
	if want := "fan/n-a/n-mosfet-low,,d-a+z-b,load,true,fits,fits,,,,23.456,0.0063123,0.0083123,0.02251,0.0037411,0.14,,,\n"; err != nil || !strings.Contains(csv, want) {
		t.Errorf("%v\n%s", err, csv)
	}
	raw, err := ClampsJSON(res, "fan/n-a/n-mosfet-low", rows)
	var out struct {
		Clamps []map[string]any `json:"clamps"`
	}
	if err != nil || json.Unmarshal(raw, &out) != nil || len(out.Clamps) != 3 || out.Clamps[1]["r_snubber"] != 47.0 || out.Clamps[2]["v_peak_off"] != nil || out.Clamps[0]["chosen"] != true {
		t.Errorf("%v\n%s", err, raw)
	}
	if text := Clamps(res, &engine.Row{}, nil).Text(Width, nil); !strings.Contains(text, "nothing to clamp") {
		t.Errorf("%s", text)
	}
}
