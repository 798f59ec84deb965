package house

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/load"
	"example.org/pinhoist/internal/topology"
)

// conditions are the words of the table of owed checks: when a load makes a
// topology owe a check. "chosen" and "driver" are no matter of the load: the
// design says so, or the driver of the coil owes it.
var conditions = map[string]func(*load.Model) bool{
	"o":         func(*load.Model) bool { return true },
	"-":         func(*load.Model) bool { return false },
	"driver":    func(*load.Model) bool { return false },
	"chosen":    func(*load.Model) bool { return false },
	"inductive": func(l *load.Model) bool { return l.Inductive },
	"peak":      func(l *load.Model) bool { return l.HasInrush || l.Inductive },
	"coil":      func(l *load.Model) bool { return l.Kind == job.Coil },
	"no coil":   func(l *load.Model) bool { return l.Kind != job.Coil },
	"isolation": func(l *load.Model) bool { return l.IsolationAsked },
	"pwm":       func(l *load.Model) bool { return l.Mode == "pwm" },
	"life":      func(l *load.Model) bool { return l.Life.Known() },
	"fuse":      func(l *load.Model) bool { return l.FuseAsked },
	"surge":     func(l *load.Model) bool { return l.HasInrush || l.Inductive || l.FuseAsked },
}

// owedTable is the guide's table: topology, check, condition.
func owedTable(t *testing.T) map[string]map[design.CheckID]string {
	t.Helper()
	rows := tableRows(t, read(t, "DEVELOPERS.md"), "## Which check each topology owes")
	head := rows[0]
	out := map[string]map[design.CheckID]string{}
	seen := map[design.CheckID]bool{}
	for _, row := range rows[1:] {
		if len(row) != len(head) {
			t.Fatalf("a row of the table of owed checks has %d cells: %q", len(row), row)
		}
		for _, name := range codes(row[0]) {
			id, ok := design.CheckByName(name)
			if !ok {
				t.Fatalf("there is no check %q", name)
			}
			if seen[id] {
				t.Errorf("%s stands twice", name)
			}
			seen[id] = true
			for i, word := range row[1:] {
				topo := strings.Trim(head[i+1], "`")
				if out[topo] == nil {
					out[topo] = map[design.CheckID]string{}
				}
				if conditions[word] == nil {
					t.Fatalf("%s of %s: %q is no condition", name, topo, word)
				}
				out[topo][id] = word
			}
		}
	}
	for _, id := range design.CheckIDs() {
		if !seen[id] {
			t.Errorf("%s has no row in the table of owed checks", id)
		}
	}
	return out
}

// sampleLoads are loads of every kind in every mode that changes what is owed.
func sampleLoads(t *testing.T, each func(env *topology.Env, l *load.Model)) {
	t.Helper()
	cat, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	pol, err := catalog.PolicyByName("bench")
	if err != nil {
		t.Fatal(err)
	}
	for _, k := range job.Kinds() {
		for _, extra := range []string{"", "isolation = \"basic\"\n", "mode = \"pwm\"\npwm_frequency = \"100 Hz\"\n", "life = \"5 years\"\n", "inductance = \"1 mH\"\n", "inrush_factor = 4\ninrush_time = \"1 ms\"\n", "stall_current = \"0.5 A\"\n", "reversing = true\n"} {
			for _, rail := range []string{"rail = \"pin\"\n", "supply = \"12 V\"\n", "supply = \"110 V\"\n", "supply = \"230 V\"\nsupply_tolerance = \"10 %\"\nfrequency = \"50 Hz\"\n"} {
				base := fmt.Sprintf("schema = 1\n[[load]]\nname = \"x\"\nkind = %q\n%s%s", k.Kind, rail, extra)
				for _, more := range []string{"current = \"10 mA\"\n", "current = \"10 mA\"\ncapacitance = \"1 uF\"\nesr = \"1 ohm\"\n", "capacitance = \"1 uF\"\nesr = \"1 ohm\"\n", ""} {
					_, j, errs := job.Read("owes.toml", []byte(base+more))
					if errs.Fatal() {
						continue
					}
					env := topology.NewEnv(j, cat, pol)
					each(env, env.BareModel(&j.Loads[0]))
					break
				}
			}
		}
	}
}

// column is the column of a topology with a switch: a module with something else than a
// MOSFET on it has one of its own, and so has a relay that latches.
func column(x topology.Topology, p catalog.Part) string {
	if m, ok := p.(*catalog.Module); ok && x.ID() == "module" && m.Switch != "n-mosfet" {
		return x.ID() + " " + m.Switch
	}
	if r, ok := p.(*catalog.Relay); ok && x.ID() == "relay" && r.Latching != "" && r.Latching != "none" {
		return x.ID() + " latching"
	}
	return x.ID()
}

// What each topology says it owes is what the guide's table says, for every
// kind of load that it serves with some part of the catalogue.
func TestTopologiesOweWhatTheGuideSays(t *testing.T) {
	table := owedTable(t)
	all := topology.All()
	columns := map[string]bool{}
	used := map[string]bool{}
	compared := 0
	sampleLoads(t, func(env *topology.Env, l *load.Model) {
		parts := append([]catalog.Part{topology.PinPart()}, env.Catalog.Switches()...)
		for _, x := range all {
			done := map[string]bool{} // columns of this load
			for _, p := range parts {
				name := column(x, p)
				if done[name] || x.Serves(env, l, p) != "" {
					continue
				}
				done[name], columns[name] = true, true
				compared++
				owes := topology.Of(x, p).Owes(l)
				for _, id := range design.CheckIDs() {
					word := table[name][id]
					if conditions[word] == nil {
						t.Fatalf("%s has no column", name)
					}
					want := conditions[word](l)
					if want {
						used[name+" "+word] = true
					}
					if got := slices.Contains(owes, id); got != want {
						t.Errorf("%s for a %s (%s, %g V): owes %s is %v, the guide says %q", name, l.Kind, l.Mode, l.VNom, id, got, word)
					}
				}
				if distinct := slices.Compact(slices.Sorted(slices.Values(owes))); len(distinct) != len(owes) {
					t.Errorf("%s owes a check twice: %v", name, owes)
				}
			}
		}
	})
	for name := range table {
		if !columns[name] {
			t.Errorf("the column %s is of no topology that serves a sample load", name)
		}
	}
	for _, x := range all {
		if table[x.ID()] == nil {
			t.Errorf("%s has no column", x.ID())
		}
	}
	if compared < 100 {
		t.Fatalf("only %d loads compared", compared)
	}
	// A condition that no sample ever meets proves nothing.
	for _, w := range []string{"direct inductive", "npn-low peak", "npn-low pwm", "n-mosfet-low coil", "relay life", "relay isolation", "relay fuse", "relay coil", "module relay no coil", "module relay inductive", "module ssr peak"} {
		if !used[w] {
			t.Errorf("no sample load meets %q", w)
		}
	}
}
