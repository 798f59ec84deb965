package tui

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/source"
)

// sample is a text that a key of a load can be set to.
func sample(f *job.Field) string {
	switch {
	case f.Key == "exclusive_with":
		return "other"
	case f.Key == "reversing":
		return "yes"
	case f.Key == "quantity" || f.Key == "pollution_degree":
		return "2"
	case f.Key == "operations_per_year" || f.Key == "avalanche_events":
		return "100"
	case len(f.Options) > 0:
		return f.Options[len(f.Options)-1]
	case f.Example != "":
		return f.Example
	}
	return "x"
}

// A key is on the form for every kind of load that it says something for, at once or
// behind the line for more, and for no other; what the reader of jobs makes of it
// decides.
func TestEveryKeyIsOnTheFormWhereItMatters(t *testing.T) {
	ofAnotherKind := 0
	for _, info := range job.Kinds() {
		for _, key := range job.Fields("load") {
			if slices.Contains([]string{"kind", "name", "rail", "supply", "supply_tolerance", "frequency", "current", "resistance", "power"}, key.Key) {
				continue // told apart by other tests
			}
			spec := &job.Spec{Rails: []job.RailSpec{{Name: "r"}}, Loads: []job.LoadSpec{{Name: "x", Kind: string(info.Kind), Rail: "r", Mode: "pwm"}, {Name: "other", Kind: "resistive", Rail: "r"}}}
			for path, text := range map[string]string{"rail[0].voltage": "24 V", "load[0].current": "1 A", "load[0].pwm_frequency": "100 Hz", "load[0].life": "1 years", "load[0].isolation": "basic"} {
				if err := job.Set(spec, path, text); err != nil {
					t.Fatal(err)
				}
			}
			if key.Key == "period" || key.Key == "switching_rate" {
				spec.Loads[0].Mode = map[string]string{"period": "cycle", "switching_rate": "on-off"}[key.Key]
			}
			if info.AC {
				_ = job.Set(spec, "rail[0].frequency", "50 Hz")
			}
			path := "load[0]." + key.Key
			shown := slices.ContainsFunc(fieldsOf(spec, 0, map[string]bool{groupLoad: true}), func(f field) bool { return f.path == path })
			if err := job.Set(spec, path, sample(&key)); err != nil {
				t.Fatal(err)
			}
			stated := slices.ContainsFunc(fieldsOf(spec, 0, nil), func(f field) bool { return f.path == path })
			_, errs := job.Resolve(spec)
			unused := slices.ContainsFunc(errs, func(e source.Error) bool {
				return e.Key == path && (strings.Contains(e.Expected, "it is not used") || strings.Contains(e.Expected, "no other kind"))
			})
			if unused {
				ofAnotherKind++
			}
			if unused && shown {
				t.Errorf("%s: %s has a field, and the reader of jobs has no use for it", info.Kind, key.Key)
			}
			if !unused && !stated {
				t.Errorf("%s: %s is stated, in force, and out of sight", info.Kind, key.Key)
			}
		}
	}
	if ofAnotherKind < 50 {
		t.Errorf("only %d keys of another kind: the test has lost its subject", ofAnotherKind)
	}
}

// Every key of pin, rail, environment and policy has a field with words of its own.
func TestEveryKeyHasWords(t *testing.T) {
	for _, table := range []string{"pin", "rail", "environment", "policy", "load", "built"} {
		for _, f := range job.Fields(table) {
			if label, hint := describe(table, f.Key); hint == "" || len(label) > labelColumns-1 {
				t.Errorf("%s.%s: label %q, hint %q", table, f.Key, label, hint)
			}
		}
	}
	m := open(t, &fake{}, 80, 200)
	for _, group := range []string{groupPin, groupRail, groupLoad} {
		toField(t, m, morePath+group)
		press(m, "right")
	}
	for _, table := range []string{"pin", "environment", "policy", "rail"} {
		for _, key := range job.Fields(table) {
			at := table
			if table == "rail" {
				at = "rail[0]"
			}
			path := at + "." + key.Key
			if path == "pin.open_drain_voltage_max" || path == "rail[0].frequency" {
				continue // of an open drain, of AC
			}
			toField(t, m, path)
		}
	}
	if m.edited || len(m.job.history.past) > 0 {
		t.Error("to show figures is an edit")
	}
}

func TestMoreSaysWhatIsHidden(t *testing.T) {
	m := open(t, &fake{}, 80, 60)
	must(t, m, "hidden, 3 assumed") // least voltage and off current of a solenoid
	toField(t, m, morePath+groupLoad)
	press(m, "right")
	toField(t, m, "load[0].off_current_max")
	must(t, m, "5 % of the nominal current, assumed", "assumed: not stated; common practice for this kind of load")
	toField(t, m, "pin.supply")
	must(t, m, "the default is taken")
}

func TestSupplies(t *testing.T) {
	m := open(t, &fake{}, 80, 60)
	toField(t, m, "load[0].rail")
	press(m, "i") // its own
	if l := m.job.spec.Loads[0]; l.Rail != "" || l.Supply.ExactText() != "12 V" {
		t.Errorf("its own supply: rail %q, %s", l.Rail, l.Supply.ExactText())
	}
	must(t, m, "another supply: bench")
	press(m, "b")
	if l := m.job.spec.Loads[0]; l.Rail != "bench" || l.Supply.Known() || m.edited {
		t.Errorf("back on the bench: rail %q, edited %v", l.Rail, m.edited)
	}
	press(m, "ctrl+l")
	if r := m.job.spec.Rails; len(r) != 2 || m.job.spec.Loads[0].Rail != r[1].Name || r[1].Voltage != r[0].Voltage {
		t.Fatalf("%v", r)
	}
	press(m, "ctrl+u", "coils")
	if got := m.job.spec.Loads[0].Rail; got != "coils" || m.blocked != "" {
		t.Errorf("renamed: fed from %q, %s", got, m.blocked)
	}
	for range 8 {
		press(m, "ctrl+z")
	}
	if m.edited {
		t.Error("undone, and another job")
	}
}

// A supply that is taken out leaves its voltage to the loads that hang on it, says what
// it does not leave them, and comes back whole. One that no load hangs on goes alone.
func TestSupplyRemoved(t *testing.T) {
	m := open(t, &fake{}, 120, 60)
	was := job.Digest(m.job.spec)
	toField(t, m, "load[0].current")
	press(m, "ctrl+g")
	if len(m.job.spec.Rails) != 1 || m.edited {
		t.Fatal("a supply was removed from a field of the load")
	}
	must(t, m, "no supply of the job is at the cursor")
	press(m, "ctrl+o") // a second load on it
	toField(t, m, "rail[0].current_max")
	press(m, "ctrl+k") // empties what stands behind the cursor, as everywhere in a line
	if len(m.job.spec.Rails) != 1 {
		t.Fatal("a key of a text field removed a supply")
	}
	press(m, "ctrl+u", "3A", "ctrl+g")
	for _, l := range m.job.spec.Loads {
		if l.Rail != "" || l.Supply.ExactText() != "12 V" {
			t.Errorf("%s: rail %q, supply %s", l.Name, l.Rail, l.Supply.ExactText())
		}
	}
	if len(m.job.spec.Rails) != 0 || m.blocked != "" {
		t.Errorf("%d supplies, %s", len(m.job.spec.Rails), m.blocked)
	}
	must(t, m, "bench is taken out", "vent latch, vent latch 2, without can give 3 A")
	press(m, "ctrl+z")
	if r := m.job.spec.Rails; len(r) != 1 || r[0].CurrentMax.ExactText() != "3 A" || m.job.spec.Loads[1].Rail != "bench" {
		t.Errorf("undone: %+v", r)
	}
	press(m, "ctrl+l") // another one, that the second load is fed from; then it is not
	toField(t, m, "load[1].rail")
	press(m, "b")
	other := m.job.spec.Rails[1].Name
	toField(t, m, "rail[1].voltage")
	press(m, "x", "ctrl+g") // with a text that cannot be read
	if len(m.job.spec.Rails) != 1 || m.job.spec.Loads[1].Rail != "bench" || m.blocked != "" {
		t.Errorf("rails %+v, %s", m.job.spec.Rails, m.blocked)
	}
	must(t, m, other+" is taken out; undo")
	for range 12 {
		press(m, "ctrl+z")
	}
	if job.Digest(m.job.spec) != was || m.edited {
		t.Error("undone, and another job")
	}
}

// Every filter says how many rows it hides, and together they say of all that are gone.
func TestFiltersSayWhatTheyHide(t *testing.T) {
	m := open(t, &fake{}, 120, 40)
	press(m, "tab", "f", "right") // the first kind
	must(t, m, "hides ")
	for _, c := range []struct {
		at   int
		keys []string
	}{{filterIsolated, []string{"right"}}, {filterStock, []string{"right"}}, {filterOver, []string{"right"}}, {filterCost, []string{"0.37"}}, {filterSide, nil}, {filterMount, nil}, {filterPackage, nil}, {filterKind, []string{"right"}}} {
		press(m, "c")
		for m.parts.filter.at > 0 {
			press(m, "up")
		}
		for m.parts.filter.at < c.at {
			press(m, "down")
		}
		press(m, c.keys...)
		hidden := m.parts.shown.Total - len(m.parts.shown.Rows)
		if c.keys == nil {
			continue // all rows of the fake are alike there
		}
		if hidden == 0 || len(m.parts.shown.Hidden) != 1 || m.parts.shown.Hidden[0].Filter != hiddenNames[c.at] {
			t.Errorf("%s: %d hidden, told as %v", filterNames[c.at], hidden, m.parts.shown.Hidden)
			continue
		}
		line := ""
		for _, l := range strings.Split(m.View(), "\n") {
			if strings.Contains(l, " > "+filterNames[c.at]) || strings.Contains(l, filterNames[c.at]+" ") && strings.Contains(l, "hides") {
				line = l
			}
		}
		if !strings.Contains(line, fmt.Sprintf("hides %d", hidden)) {
			t.Errorf("%s: %q does not say that it hides %d", filterNames[c.at], line, hidden)
		}
	}
	press(m, "c")
	mustNot(t, m, "hides")
}
