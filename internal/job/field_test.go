package job

import (
	"math"
	"reflect"
	"strings"
	"testing"

	q "example.org/pinhoist/internal/quantity"
)

// example returns a job with something in every place that a path can name.
func example() *Spec {
	spec := Demo()
	spec.Loads = append(spec.Loads, LoadSpec{Name: "fan [left]", Kind: "motor", Rail: "bench",
		Current: q.Some(q.Amp(0.2)), ExclusiveWith: []string{"vent latch"}})
	spec.Loads[0].Built = &Built{Topology: "npn-low", Part: "npn-40v-small", RBase: Resistor(10e3), Clamp: "none"}
	return spec
}

func TestGet(t *testing.T) {
	for _, tt := range []struct {
		field, want string
		ok          bool
	}{
		{"title", "Greenhouse bench", true},
		{"schema", "1", true},
		{"pin.supply", "", true},
		{"policy.name", "bench", true},
		{"environment.ambient_max", "", true},
		{"rail[bench].voltage", "12 V", true},
		{"rail[0].tolerance", "10 %", true},
		{"load[0].current", "800 mA", true},
		{"load[vent latch].current", "800 mA", true},
		{"load[fan [left]].current", "200 mA", true},
		{"load[1].exclusive_with", "vent latch", true},
		{"load[0].built.r_base", "10 kohm", true},
		{"load[0].built.r_gate", "", true},
		{"load[1].built.r_base", "", true},
		{"load[0].quantity", "", true},
		{"load[0].reversing", "", true},
		{"load[2].current", "", false},
		{"load[nobody].current", "", false},
		{"load[0].curent", "", false},
		{"load[1].built.r_bass", "", false},
		{"rail[9].voltage", "", false},
		{"pin.", "", false},
		{"pin", "", false},
		{"rail", "", false},
		{"load", "", false},
		{"load[0]", "", false},
		{"load.current", "", false},
		{"motor[0].current", "", false},
		{"", "", false},
		{"].", "", false},
		{"load[-1].current", "", false},
	} {
		got, ok := Get(example(), tt.field)
		if got != tt.want || ok != tt.ok {
			t.Errorf("Get %q: %q, %v, want %q, %v", tt.field, got, ok, tt.want, tt.ok)
		}
	}
}

func TestSet(t *testing.T) {
	for _, tt := range []struct {
		field, text, want string
		refused           bool
	}{
		{"pin.supply", "3.3 V", "3.3 V", false},
		{"environment.ambient_max", "55C", "55 C", false},
		{"rail[bench].voltage", "24V", "24 V", false},
		{"rail[bench].name", "battery", "", false}, // the path names the old one
		{"load[vent latch].current", "1.2 A", "1.2 A", false},
		{"load[0].kind", "motor", "motor", false},
		{"load[0].side", "low", "low", false},
		{"load[0].side", "left", "", true},
		{"load[0].duty", "45 %", "45 %", false},
		{"load[0].current", "0,8 A", "", true},
		{"load[0].current", "12 V", "", true},
		{"load[0].current", "", "", false},
		{"load[0].quantity", "3", "3", false},
		{"load[0].quantity", "3.5", "", true},
		{"load[0].operations_per_year", "1e6", "1e+06", false},
		{"load[0].operations_per_year", "NaN", "", true},
		{"load[0].reversing", "yes", "true", false},
		{"load[0].reversing", "perhaps", "", true},
		{"load[0].exclusive_with", `a, "b, c", d `, `a, "b, c", d`, false},
		{"load[0].exclusive_with", `"a`, "", true},
		{"load[0].built.r_base", "4k7", "4.7 kohm", false},
		{"load[0].built.r_base", "none", "none", false},
		{"load[0].built.r_base", "", "", false},
		{"load[0].built.r_base", "ten", "", true},
		{"load[1].built.topology", "relay", "relay", false},
		{"load[1].built.r_base", "ten", "", true},
		{"load[1].built.r_base", "", "", false},
		{"load[0].name", "bell\a", "", true},
		{"load[0].nothing", "1", "", true},
		{"load[0].built", "npn-low", "", true},
		{"title", "My bench", "My bench", false},
	} {
		spec := example()
		before := string(Encode(spec))
		err := Set(spec, tt.field, tt.text)
		if (err != nil) != tt.refused {
			t.Errorf("Set %q to %q: error %v, want one: %v", tt.field, tt.text, err, tt.refused)
			continue
		}
		if err != nil {
			if after := string(Encode(spec)); after != before {
				t.Errorf("Set %q to %q was refused and changed the job:\n%s", tt.field, tt.text, after)
			}
			continue
		}
		if got, _ := Get(spec, tt.field); got != tt.want {
			t.Errorf("Set %q to %q: reads back %q, want %q", tt.field, tt.text, got, tt.want)
		}
	}
}

// TestSetBuiltAway: clearing the table takes the whole stage away.
func TestSetBuiltAway(t *testing.T) {
	spec := example()
	if err := Set(spec, "load[vent latch].built", ""); err != nil || spec.Loads[0].Built != nil {
		t.Errorf("built is still there: %v", err)
	}
}

func TestSetSI(t *testing.T) {
	for _, tt := range []struct {
		field   string
		v       float64
		want    string
		refused bool
	}{
		{"load[0].current", 0.65, "650 mA", false},
		{"environment.ambient_max", 35.5, "35.5 C", false},
		{"load[0].built.r_base", 220, "220 ohm", false},
		{"load[1].built.r_base", 220, "220 ohm", false},
		{"load[0].quantity", 2, "2", false},
		{"load[0].operations_per_year", 1000, "1000", false},
		{"load[0].switching_rate", 1. / 6, "600 /h", false},
		{"load[0].quantity", 2.5, "", true},
		{"load[0].name", 2, "", true},
		{"load[1].built.part", 2, "", true},
		{"load[0].current", math.NaN(), "", true},
		{"load[0].current", math.Inf(1), "", true},
		{"load[7].current", 1, "", true},
	} {
		spec := example()
		before := string(Encode(spec))
		if err := SetSI(spec, tt.field, tt.v); (err != nil) != tt.refused {
			t.Errorf("SetSI %q to %v: error %v, want one: %v", tt.field, tt.v, err, tt.refused)
			continue
		}
		if tt.refused {
			if string(Encode(spec)) != before {
				t.Errorf("SetSI %q to %v was refused and changed the job", tt.field, tt.v)
			}
			continue
		}
		if got, _ := Get(spec, tt.field); got != tt.want {
			t.Errorf("SetSI %q to %v: reads back %q, want %q", tt.field, tt.v, got, tt.want)
		}
	}
}

// TestEveryField sets every field of every table to a word or an example of its
// own, reads it back, and clears it.
func TestEveryField(t *testing.T) {
	n := 0
	for _, table := range []struct{ name, path string }{
		{"pin", "pin"}, {"environment", "environment"}, {"policy", "policy"}, {"rail", "rail[0]"},
		{"load", "load[0]"}, {"built", "load[0].built"},
	} {
		for _, f := range Fields(table.name) {
			spec := example()
			path := table.path + "." + f.Key
			text := f.Example
			switch {
			case len(f.Options) > 0:
				text = f.Options[len(f.Options)-1]
			case text == "":
				text = "true"
				if Set(spec, path, text) != nil {
					text = "7"
				}
			}
			if err := Set(spec, path, text); err != nil {
				if text != "7" || Set(spec, path, "7 ohm") != nil {
					t.Errorf("%s = %q: %v", path, text, err)
					continue
				}
				text = "7 ohm"
			}
			got, ok := Get(spec, path)
			if path == "load[0].power" {
				text = "250 mW" // for 0.25 W
			}
			if got != text || !ok {
				t.Errorf("%s reads back %q, want %q", path, got, text)
			}
			if err := Set(spec, path, ""); err != nil {
				t.Errorf("%s: clearing: %v", path, err)
			}
			if got, _ := Get(spec, path); got != "" {
				t.Errorf("%s was cleared and reads %q", path, got)
			}
			n++
		}
	}
	if n < 90 {
		t.Errorf("only %d fields", n)
	}
	if f := Fields("load"); !reflect.DeepEqual(f[1].Options, kindNames()) {
		t.Errorf("kinds to choose from: %v", f[1].Options)
	}
	if Fields("nothing") == nil || len(Fields("nothing")) != 0 {
		t.Error("fields of no table")
	}
}

func kindNames() []string {
	var names []string
	for _, k := range Kinds() {
		names = append(names, string(k.Kind))
	}
	return names
}

// TestClone: changing every field of a copy leaves the first as it was.
func TestClone(t *testing.T) {
	spec := example()
	for _, f := range []string{"quantity", "operations_per_year", "avalanche_events", "pollution_degree"} {
		if err := SetSI(spec, "load[0]."+f, 2); err != nil {
			t.Fatal(err)
		}
	}
	before := string(Encode(spec))
	c := Clone(spec)
	if got := string(Encode(c)); got != before {
		t.Fatalf("the copy differs:\n%s", got)
	}
	*c.Schema = 9
	c.Rails[0].Name = "z"
	l := &c.Loads[0]
	*l.Quantity, *l.OperationsPerYear, *l.AvalancheEvents, *l.PollutionDegree = 9, 9, 9, 9
	l.Built.Part = "z"
	c.Loads[1].ExclusiveWith[0] = "z"
	c.Loads[1].Name = "z"
	if after := string(Encode(spec)); after != before {
		t.Errorf("the first changed with its copy:\n%s", after)
	}
}

// TestDigest: the same job has one digest however it is written; another has another.
func TestDigest(t *testing.T) {
	a, errs := Decode("a", []byte(strings.ReplaceAll(string(DemoText()), `"0.8 A"`, `"800 mA"`)))
	if errs.Fatal() {
		t.Fatal(errs)
	}
	if Digest(a) != Digest(Demo()) {
		t.Error("the digest depends on how a figure is written")
	}
	if err := Set(a, "load[0].current", "0.81 A"); err != nil {
		t.Fatal(err)
	}
	if Digest(a) == Digest(Demo()) {
		t.Error("another job has the same digest")
	}
}

func BenchmarkSetSI(b *testing.B) {
	spec := Demo()
	b.ReportAllocs()
	for b.Loop() {
		if err := SetSI(spec, "load[vent latch].current", 0.7); err != nil {
			b.Fatal(err)
		}
	}
}

// TestDefault: stating a default changes nothing but what is told as assumed.
func TestDefault(t *testing.T) {
	for _, tt := range []struct{ field, want string }{
		{"pin.supply", "5 V"},
		{"pin.reset_pull_min", "20 kohm"},
		{"pin.peak_current_max", ""},
		{"environment.ambient_max", "40 C"},
		{"policy.name", "bench"},
		{"rail[bench].tolerance", "5 %"},
		{"load[3].switching_rate", "600 /h"},
		{"load[vent latch].duty_max", "100 %"},
		{"load[0].built.resistor_tolerance", "5 %"},
		{"load[0].current", ""},
		{"load[0].colour", ""},
	} {
		if got := Default(tt.field); got != tt.want {
			t.Errorf("%s: %q, want %q", tt.field, got, tt.want)
		}
	}
	want, _ := Resolve(Demo())
	for _, table := range []string{"pin", "environment", "rail", "load"} {
		for _, f := range Fields(table) {
			path := table + "." + f.Key
			if table == "rail" || table == "load" {
				path = table + "[0]." + f.Key
			}
			spec := Demo()
			if text, _ := Get(spec, path); text != "" || Default(path) == "" || f.Key == "supply_tolerance" && table == "load" {
				continue
			}
			if err := Set(spec, path, Default(path)); err != nil {
				t.Fatal(err)
			}
			got, errs := Resolve(spec)
			if errs.Fatal() {
				t.Fatal(errs)
			}
			got.Loads[0].RateAssumed, got.Loads[0].Assumed = true, want.Loads[0].Assumed
			if !reflect.DeepEqual(got, want) {
				t.Errorf("%s = %s is not the default", path, Default(path))
			}
		}
	}
}
