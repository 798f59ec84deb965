package tui

import (
	"fmt"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/sheet"
)

func TestAFixIsTriedAndTakenBack(t *testing.T) {
	m := open(t, &fake{}, 80, 24)
	press(m, "tab", "enter", "x")
	must(t, m, "the design fits") // a dead key says why
	press(m, "esc", "end", "enter", "x")
	must(t, m, "Fixes", "> x life", "170 mA instead of 800 mA", "done by hand")
	press(m, "down", "enter")
	if got := m.job.spec.Rails[0].Voltage.ExactText(); got != "9 V" || m.page.kind != pageNone {
		t.Errorf("the rail is at %s", got)
	}
	must(t, m, "tried voltage of its supply = 9 V")
	if m.at != placeDesign || m.parts.row().Part != "rl-5v-10a" {
		t.Error("the design at hand is another one")
	}
	press(m, "esc", "esc", "ctrl+z")
	if m.edited {
		t.Error("taken back, the job is not as it was")
	}
}

// What no field of the job holds is told, and changes nothing.
func TestAFixBesideTheJob(t *testing.T) {
	m := open(t, &fake{}, 80, 24)
	press(m, "tab", "end", "enter", "x", "end", "enter")
	must(t, m, "not a field of the job")
	if m.edited || m.page.kind != pageFixes {
		t.Error("it edited the job, or left the page")
	}
}

func TestWhereAFixGoes(t *testing.T) {
	spec := job.Demo()
	inline := job.Clone(spec)
	inline.Loads[0].Rail = ""
	built := job.Clone(spec)
	built.Loads[0].Built = &job.Built{}
	for _, c := range []struct {
		spec              *job.Spec
		kind              engine.FixKind
		field, to, expect string
	}{
		{spec, engine.FixJob, "load.current", "1 A", "load[0].current"},
		{spec, engine.FixJob, "environment.ambient_max", "30 C", "environment.ambient_max"},
		{spec, engine.FixJob, "pin.supply", "5 V", "pin.supply"},
		{spec, engine.FixJob, "rail[1].voltage", "5 V", "rail[1].voltage"},
		{spec, engine.FixJob, "rail[7].voltage", "5 V", ""},
		{spec, engine.FixJob, "load.nothing", "5 V", ""},
		{spec, engine.FixJob, "load.current", "", ""},
		{spec, engine.FixValue, "r_base", "1k", ""},
		{built, engine.FixPart, "clamp", "d-1 across the switch", ""},
		{built, engine.FixValue, "r_base", "1k", "load[0].built.r_base"},
		{inline, engine.FixJob, "rail.voltage", "5 V", ""},
		{inline, engine.FixJob, "load.supply", "5 V", "load[0].supply"},
	} {
		if got := fixPath(&engine.Fix{Kind: c.kind, Field: c.field, To: c.to}, c.spec, 0); got != c.expect {
			t.Errorf("%s goes to %q, want %q", c.field, got, c.expect)
		}
	}
}

// A fix of the real engine does what it says: after it the check fits.
func TestARealFixFits(t *testing.T) {
	cat, err := catalog.Embedded()
	if cat == nil {
		t.Fatal(err)
	}
	m := New(Options{Spec: job.Demo(), Catalog: cat, Policies: catalog.Policies(), NoColor: true})
	m.later = func(int) tea.Cmd { return nil }
	run(m, m.Init())
	send(m, tea.WindowSizeMsg{Width: 80, Height: 24})
	press(m, "tab")
	tried := 0
	for i := range m.parts.shown.Rows {
		r := m.parts.shown.Rows[i]
		if r.Verdict != design.Tight && r.Verdict != design.Over || tried == 4 {
			continue
		}
		m.parts.selected, m.parts.chosen = r.Key, true
		run(m, m.goTo(placeDesign))
		list := fixesOf(m.design.det, m.job.spec, 0, engine.Helping{})
		for k := range list.fixes {
			f := &list.fixes[k]
			if f.path == "" || len(f.fix.ThenFails) > 0 {
				continue
			}
			if err := m.job.try(f); err != nil {
				t.Fatalf("%s: %s: %v", r.Key, f.path, err)
			}
			run(m, m.question())
			for j := range m.design.det.Design.Checks {
				c := &m.design.det.Design.Checks[j]
				if strings.HasSuffix(f.check, " "+sheet.ShortCheck(c.ID, c.Stage)) && c.Verdict != design.Fits {
					t.Errorf("%s: after %s = %s, %s is %v", r.Key, f.path, f.fix.To, c.ID, c.Verdict)
				}
			}
			m.job.undo()
			run(m, m.question())
			tried++
			break
		}
	}
	if tried == 0 {
		t.Error("no design of the demo job has a fix that can be tried")
	}
}

// A fix leads to its field, also to one that stands behind the line for more, and there
// it can be tried by hand.
func TestFixLeadsToItsField(t *testing.T) {
	m := open(t, &fake{}, 80, 24)
	press(m, "tab", "end", "enter", "x", "tab")
	must(t, m, "[Job]", "> current", "here the fix is 170 mA")
	if m.edited {
		t.Error("it was tried")
	}
	press(m, "tab", "tab", "x", "end", "tab")
	must(t, m, "not a field of the job")
	for _, path := range []string{"load[0].wire_area", "pin.group_current_max", "rail[0].fault_current", "rail[0].common"} {
		if !m.job.reveal(path) || m.job.fields[m.job.at].path != path {
			t.Errorf("%s is not found", path)
		}
	}
	if m.job.reveal("load[0].stall_current") {
		t.Error("found a field of a motor")
	}
}

// Of a design that is not proven, what the job can state comes before what would have to
// change; of one that is over it comes after.
func TestWhatIsToBeStatedComesFirst(t *testing.T) {
	spec := job.Demo()
	current := engine.Fix{Kind: engine.FixJob, Field: "load.current", From: "800 mA", To: "600 mA"}
	det := &engine.Detailed{
		Design:  &design.Design{Verdict: design.Unproven, Checks: []design.Check{{ID: design.SafeArea, Verdict: design.Unproven}}},
		Fixes:   [][]engine.Fix{{current}},
		Missing: []engine.Missing{{Figure: "load.inductance", Check: design.SafeArea}, {Figure: "soa", Check: design.SafeArea}},
	}
	l := fixesOf(det, spec, 0, engine.Helping{})
	if len(l.fixes) != 3 || l.fixes[0].path != "load[0].inductance" || l.fixes[1].fix.To != "600 mA" {
		t.Errorf("unproven: %+v", l.fixes)
	}
	items := l.items()
	if !strings.HasPrefix(items[0].text, "What is not stated comes first") || !strings.Contains(items[len(items)-1].text, "enter your own part") {
		t.Errorf("%q", items)
	}
	det.Design.Verdict = design.Over
	if l := fixesOf(det, spec, 0, engine.Helping{}); l.fixes[0].fix.To != "600 mA" {
		t.Errorf("over: %+v", l.fixes)
	}
}

// A gate that the pin drives too little may be driven as boosted: the fixes say so, and
// not of one that is already, nor of one that is driven enough.
func TestFixesTellAnotherWay(t *testing.T) {
	told := func(topology string, v design.Verdict) string {
		d := &design.Design{Part: "drawer", Topology: topology, Checks: []design.Check{{ID: design.GateDrive, Verdict: v}}}
		l := fixList{other: otherWay(d)}
		return fmt.Sprint(l.items())
	}
	for _, c := range []struct {
		topology string
		v        design.Verdict
		want     bool
	}{
		{"n-mosfet-low", design.Over, true}, {"n-mosfet-parallel", design.Unproven, true},
		{"n-mosfet-low", design.Fits, false}, {"n-mosfet-boosted", design.Over, false}, {"p-mosfet-high", design.Over, false},
	} {
		if got := strings.Contains(told(c.topology, c.v), "Used as boosted it gets more: Esc twice, / and drawer"); got != c.want {
			t.Errorf("%s, gate drive %s: told %v", c.topology, c.v, got)
		}
	}
}
