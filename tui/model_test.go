package tui

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/job"
)

func golden(t *testing.T, name, got string) {
	t.Helper()
	file := filepath.Join("testdata", name+".txt")
	got += "\n"
	if os.Getenv("UPDATE_SCREENS") != "" {
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

// The screens, read by eye.
func TestScreens(t *testing.T) {
	places := [numPlaces][]string{{}, {"tab"}, {"tab", "enter"}}
	for _, size := range [][2]int{{80, 24}, {120, 40}, {200, 60}} {
		for p, keys := range places {
			m := open(t, &fake{}, size[0], size[1])
			press(m, keys...)
			golden(t, fmt.Sprintf("%s-%dx%d", strings.ToLower(place(p).String()), size[0], size[1]), m.View())
		}
	}
	for name, keys := range map[string][]string{
		"filters":  {"tab", "f", "right"},
		"error":    {"down", "backspace"},
		"old":      {"down", "backspace", "tab"},
		"unproven": {"tab", "down", "down", "down", "enter"},
		"over":     {"tab", "end", "enter"},
		"leave":    {"right", "esc"},
		"words":    {"tab", "w"},
		"plot":     {"tab", "v", "right"},
		"fixes":    {"tab", "end", "enter", "x"},
		"together": {"ctrl+o", "f4"},
		"save":     {"right", "ctrl+s", "a.toml"},
		"help":     {"f1"},
		"cautions": {"f2"},
	} {
		m := open(t, &fake{}, 80, 24)
		press(m, keys...)
		golden(t, "case-"+name, m.View())
	}
}

// states are ways to get into every state of the screen.
var states = [][]string{{"tab", "enter", "i", "down", "+"}, {"tab", "enter", "d", "right"}, {"tab", "enter", "t", "down"}, {"tab", "m", "down", "m", "="}, {"tab", "enter", "m", "end"}, {"tab", "enter", "r"}, {"tab", "enter", "ctrl+b", "esc", "esc"},
	{}, {"down", "backspace"}, {"down", "x"}, {"right", "esc"}, {"tab"}, {"tab", "f"}, {"tab", "f", "right", "right"}, {"tab", "/", "zzz"},
	{"tab", "n"}, {"tab", "v", "right"}, {"tab", "end", "enter", "x"}, {"ctrl+o", "f4"}, {"right", "ctrl+s", "a"}, {"tab", "enter"}, {"tab", "end", "enter", "e", "end"}, {"tab", "enter", "right", "right"}, {"f1"}, {"f2"}, {"tab", "w", "end"}, {"down", "x", "tab"}}

func checkSize(t *testing.T, m *Model, w, h int, what any) {
	t.Helper()
	view := m.View()
	lines := strings.Split(view, "\n")
	if len(lines) > h {
		t.Errorf("%v at %dx%d: %d lines", what, w, h, len(lines))
	}
	for _, l := range lines {
		if width(l) > w {
			t.Errorf("%v at %dx%d: a line is %d wide: %q", what, w, h, width(l), l)
		}
	}
}

func TestViewFits(t *testing.T) {
	sizes := [][2]int{{1, 1}, {2, 1}, {20, 5}, {39, 24}, {40, 10}, {41, 11}, {60, 20}, {79, 23}, {80, 24}, {100, 15}, {119, 40}, {120, 40}, {150, 12}, {199, 60}, {200, 60}, {300, 90}}
	for _, keys := range states {
		m := open(t, &fake{}, 80, 24)
		press(m, keys...)
		for _, s := range sizes {
			send(m, tea.WindowSizeMsg{Width: s[0], Height: s[1]})
			checkSize(t, m, s[0], s[1], keys)
		}
		if m.fault != nil {
			t.Errorf("%v: %v", keys, m.fault)
		}
	}
}

// With colours the widths are the same, and signs stand beside the colours.
func TestColours(t *testing.T) {
	m := New(Options{Spec: job.Demo(), Catalog: &catalog.Catalog{}, Policies: catalog.Policies(), Asker: &fake{}})
	m.later = func(int) tea.Cmd { return nil }
	run(m, m.Init())
	for _, s := range [][2]int{{60, 20}, {80, 24}, {120, 40}, {200, 60}} {
		send(m, tea.WindowSizeMsg{Width: s[0], Height: s[1]})
		checkSize(t, m, s[0], s[1], "colour")
		press(m, "tab")
		checkSize(t, m, s[0], s[1], "colour")
		press(m, "tab")
		checkSize(t, m, s[0], s[1], "colour")
		press(m, "tab")
	}
	press(m, "tab")
	view := m.View()
	if !strings.Contains(view, "\x1b[32m+ fits") || !strings.Contains(view, "\x1b[31mx over") {
		t.Errorf("verdicts are not coloured:\n%q", view)
	}
}

// In plain ASCII nothing else is drawn.
func TestASCII(t *testing.T) {
	for _, keys := range states {
		m := open(t, &fake{}, 120, 40)
		m.opt.ASCII, m.design.ascii = true, true
		press(m, keys...)
		for _, r := range m.View() {
			if r > 126 || r < 32 && r != '\n' {
				t.Fatalf("%v: drew %q", keys, r)
			}
		}
	}
}

// Before the size is known there is nothing to draw, and nothing breaks.
func TestViewBeforeSize(t *testing.T) {
	m := New(Options{Spec: job.Demo(), Catalog: &catalog.Catalog{}, Policies: catalog.Policies(), Asker: &fake{}})
	if v := m.View(); v != "" {
		t.Errorf("drew %q", v)
	}
	press(m, "down", "tab", "j", "enter")
	send(m, tea.WindowSizeMsg{Width: -3, Height: -1})
	if m.fault != nil {
		t.Error(m.fault)
	}
}

func TestLateAnswersAreDropped(t *testing.T) {
	ask := &fake{}
	m := open(t, ask, 80, 24)
	press(m, "down")
	_, slow := m.Update(runeKey('1')) // 800 mA1 cannot be read: no question
	if slow != nil {
		t.Fatal("asked about a text that cannot be read")
	}
	press(m, "ctrl+u")
	_, first := m.Update(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune("0.5A")})
	_, second := m.Update(tea.KeyMsg{Type: tea.KeyCtrlR})
	ask.gone = map[string]bool{"n-55v-a": true}
	run(m, second)
	current := m.result
	if len(m.parts.shown.Rows) != 4 {
		t.Fatalf("%d rows, want the 4 of the newest answer", len(m.parts.shown.Rows))
	}
	ask.gone = nil
	run(m, first)
	if m.result != current || len(m.parts.shown.Rows) != 4 {
		t.Error("an answer to an older question was taken")
	}
	// Even one that came through before it was cancelled.
	send(m, assessedMsg{seq: m.seq - 1, result: &engine.Result{}})
	if m.result != current {
		t.Error("an answer with an older seq was taken")
	}
}

// A newer question cancels the one before it.
func TestStaleContextIsCancelled(t *testing.T) {
	var seen []context.Context
	ask := &holding{fake: &fake{}, seen: &seen}
	m := open(t, ask, 80, 24)
	press(m, "down", "ctrl+u", "1A")
	if len(seen) < 2 {
		t.Fatalf("%d questions", len(seen))
	}
	for i, ctx := range seen {
		if i < len(seen)-1 && ctx.Err() == nil {
			t.Errorf("question %d was not cancelled", i)
		}
	}
	if seen[len(seen)-1].Err() != nil {
		t.Error("the newest question was cancelled")
	}
}

type holding struct {
	*fake
	seen *[]context.Context
}

func (h *holding) Assess(ctx context.Context, in *engine.Input) (*engine.Result, error) {
	*h.seen = append(*h.seen, ctx)
	return h.fake.Assess(ctx, in)
}

func TestLateDesignsAreDropped(t *testing.T) {
	m := open(t, &fake{}, 80, 24)
	press(m, "tab")
	_, first := m.Update(tea.KeyMsg{Type: tea.KeyEnter})
	_, second := m.Update(runeKey(']'))
	run(m, second)
	run(m, first)
	if got := m.design.det.Row.Part; got != "n-60v-b" {
		t.Errorf("shows %s, want the design of the newest question", got)
	}
}

// An answer holds the digest of its job: one to another job is never shown.
func TestAnswerToAnotherJob(t *testing.T) {
	m := open(t, &fake{}, 80, 24)
	send(m, assessedMsg{seq: m.seq, result: &engine.Result{JobDigest: "of something else"}})
	press(m, "tab")
	mustNot(t, m, "+ fits")
	must(t, m, "answer to another job")
}

func TestGluedKeys(t *testing.T) {
	m := open(t, &fake{}, 80, 24)
	press(m, "tab")
	send(m, tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune("jjj")})
	if m.parts.index() != 3 {
		t.Errorf("jjj went to row %d, want 3", m.parts.index())
	}
	send(m, tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune("g/npn")})
	if m.parts.view.Text != "npn" || !m.parts.typing {
		t.Errorf("g/npn gave the text %q", m.parts.view.Text)
	}
	send(m, tea.KeyMsg{Type: tea.KeyEnter})
	send(m, tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune("qq"), Paste: true})
	if m.leaving || m.at != placeParts {
		t.Error("what was pasted was taken as commands")
	}
	m = open(t, &fake{}, 80, 24)
	press(m, "down", "ctrl+u")
	send(m, tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune("650mA"), Paste: true})
	if got := m.job.spec.Loads[0].Current.ExactText(); got != "650 mA" {
		t.Errorf("pasted 650mA gave %s", got)
	}
}

func TestSelectionFollowsIdentity(t *testing.T) {
	ask := &fake{}
	m := open(t, ask, 120, 40)
	press(m, "tab", "down", "down") // npn-80v-4a
	if got := m.parts.row().Part; got != "npn-80v-4a" {
		t.Fatalf("at %s", got)
	}
	press(m, "o") // by headroom: the order changes
	if got := m.parts.row().Part; got != "npn-80v-4a" {
		t.Errorf("after another order at %s", got)
	}
	press(m, "/", "n-")
	press(m, "enter")
	if got := m.parts.row().Part; got != "npn-80v-4a" {
		t.Errorf("after a filter that it passes at %s", got)
	}
	press(m, "c")
	ask.gone = map[string]bool{"n-60v-b": true}
	press(m, "shift+tab", "down", "ctrl+u", "0.7A", "tab")
	if got := m.parts.row().Part; got != "npn-80v-4a" {
		t.Errorf("after an edit at %s", got)
	}
	ask.gone["npn-80v-4a"] = true
	press(m, "shift+tab", "ctrl+u", "0.6A", "tab")
	if m.parts.index() != 0 {
		t.Errorf("the design is gone: row %d, want the first", m.parts.index())
	}
	if !strings.Contains(m.parts.note, "npn-80v-4a") {
		t.Errorf("does not say so: %q", m.parts.note)
	}
}

// Until the person moves the cursor it stays on the first row.
func TestCursorStaysOnTheFirstRow(t *testing.T) {
	ask := &fake{gone: map[string]bool{"n-55v-a": true}}
	m := open(t, ask, 80, 24)
	ask.gone = nil
	press(m, "down", "ctrl+u", "0.7A")
	if got := m.parts.row().Part; got != "n-55v-a" || m.parts.note != "" {
		t.Errorf("at %s, note %q", got, m.parts.note)
	}
}

func TestFieldsAreCheckedWhileTyping(t *testing.T) {
	ask := &fake{}
	m := open(t, ask, 80, 24)
	press(m, "down", "ctrl+u", "0,5 A")
	must(t, m, `x found "0,5 A"`, "no shortlist: current cannot be read")
	if got := m.job.spec.Loads[0].Current; got.Known() {
		t.Errorf("took %v", got)
	}
	press(m, "tab")
	mustNot(t, m, "+ fits")
	must(t, m, "(fits)", "the answer before the last edit")
	press(m, "enter")
	if m.at != placeParts {
		t.Error("opened a design of a job with an error")
	}
	must(t, m, "mend the job first")
	press(m, "esc", "ctrl+r", "tab")
	must(t, m, "+ fits")
	if m.edited {
		t.Error("the job is as it was, and counts as edited")
	}
}

func TestContradictionsAreToldAtTheirField(t *testing.T) {
	m := open(t, &fake{}, 80, 24)
	toField(t, m, "environment.ambient_min")
	press(m, "60 C")
	must(t, m, "at most ambient_max, 40 C", "no shortlist")
	press(m, "ctrl+u")
	mustNot(t, m, "no shortlist")
}

// A figure with the prefix of the wrong case is taken as said, and shown back.
func TestSlipOfCaseIsWarned(t *testing.T) {
	m := open(t, &fake{}, 80, 24)
	toField(t, m, "load[0].inductance")
	press(m, "ctrl+u", "60 MH")
	must(t, m, "! found")
}

func TestUnitsAsPeopleTypeThem(t *testing.T) {
	tests := []struct{ path, typed, want string }{
		{"rail[0].voltage", "24v", "24 V"},
		{"load[0].current", "0.5A", "500 mA"},
		{"load[0].current", "500 ma", "500 mA"},
		{"load[0].inductance", "80mh", "80 mH"},
		{"load[0].resistance", "4k7", "4.7 kohm"},
		{"load[0].release_within", "15 MS", ""}, // mega is no milli
		{"load[0].inductance", "80mH", "80 mH"},
		{"load[0].resistance", "15R", "15 ohm"},
		{"load[0].switching_rate", "900 /h", "900 /h"},
		{"environment.ambient_max", "45 C", "45 C"},
		{"rail[0].tolerance", "5%", "5 %"},
	}
	for _, tt := range tests {
		m := open(t, &fake{}, 80, 24)
		toField(t, m, tt.path)
		press(m, "ctrl+u", tt.typed)
		got, _ := job.Get(m.job.spec, tt.path)
		if got != tt.want {
			_, bad := m.job.unread()
			t.Errorf("%s: typed %q, holds %q, want %q (unread %v)", tt.path, tt.typed, got, tt.want, bad)
		}
	}
}

func TestKindShowsItsFields(t *testing.T) {
	has := func(m *Model, key string) bool {
		for i := range m.job.fields {
			if m.job.fields[i].key == key {
				return true
			}
		}
		return false
	}
	m := open(t, &fake{}, 80, 24)
	if !has(m, "inductance") || has(m, "stall_current") || has(m, "pwm_frequency") {
		t.Error("a solenoid has the wrong fields")
	}
	press(m, "m") // motor
	if m.job.spec.Loads[0].Kind != "motor" || !has(m, "stall_current") {
		t.Errorf("m gave %q", m.job.spec.Loads[0].Kind)
	}
	press(m, "r") // resistive: no winding
	if has(m, "inductance") || m.job.spec.Loads[0].Inductance.Known() {
		t.Error("a heater kept the inductance of the solenoid")
	}
	press(m, "s") // solenoid again, or signal
	for m.job.spec.Loads[0].Kind != "solenoid" {
		press(m, "s")
	}
	if got := m.job.spec.Loads[0].Inductance.ExactText(); got != "60 mH" || m.edited {
		t.Errorf("the inductance did not come back: %q, edited %v", got, m.edited)
	}
	toField(t, m, "load[0].mode")
	press(m, "p")
	if !has(m, "pwm_frequency") || has(m, "switching_rate") {
		t.Error("pwm has the wrong fields")
	}
	must(t, m, "no shortlist")
	toField(t, m, "load[0].pwm_frequency")
	press(m, "500 Hz")
	mustNot(t, m, "no shortlist")
}

// Kinds of load on AC have their figures in the form, and those of DC are gone.
func TestACKindsAreEditable(t *testing.T) {
	spec := &job.Spec{Rails: []job.RailSpec{{Name: "r"}}, Loads: []job.LoadSpec{{Name: "x", Rail: "r"}}}
	for _, c := range []struct {
		kind       job.Kind
		has, hasNo []string
	}{
		{job.ACResistive, []string{"frequency", "resistance", "off_current_max"}, []string{"power_factor", "inductance", "inrush_time"}},
		{job.ACLamp, []string{"frequency", "cold_ratio", "inrush_time"}, []string{"inductance"}},
		{job.ACMotor, []string{"frequency", "power_factor", "inductance", "inrush_factor", "inrush_time", "inrush_source", "off_current_max", "release_within"}, []string{"stall_current", "resistance"}},
		{job.ACCoil, []string{"frequency", "power_factor", "inductance", "inrush_factor", "inrush_time", "mechanical_release_time", "off_current_max"}, []string{"must_operate"}},
		{job.ACTransformer, []string{"frequency", "power_factor", "inrush_factor", "inrush_time", "inrush_source"}, []string{"release_within"}},
		{job.ACSupply, []string{"frequency", "power", "power_factor", "inrush_factor", "off_current_max"}, []string{"inductance"}},
		{job.Solenoid, []string{"inductance"}, []string{"frequency", "power_factor", "inrush_time", "off_current_max"}},
	} {
		spec.Loads[0].Kind = string(c.kind)
		keys := map[string]bool{}
		for _, f := range fieldsOf(spec, 0, nil) {
			keys[f.key] = true
		}
		for _, k := range c.has {
			if !keys[k] {
				t.Errorf("%s has no field for %s", c.kind, k)
			}
		}
		for _, k := range c.hasNo {
			if keys[k] {
				t.Errorf("%s has a field for %s", c.kind, k)
			}
		}
	}
}

func TestAssumedAndDefaultAreSaid(t *testing.T) {
	m := open(t, &fake{}, 80, 46)
	must(t, m, "(600 /h, assumed)", "(5 V, default)", "(40 C, default)")
}

// Whatever a job states is on the form, so that nothing is in force unseen.
func TestStatedKeysAreShown(t *testing.T) {
	spec := job.Demo()
	for path, text := range map[string]string{"load[0].life": "10 years", "load[0].side": "low", "pin.leakage_max": "2 uA", "load[0].stuck_on": "harmful",
		"load[0].built.topology": "npn-low", "load[0].built.part": "npn-80v-4a"} {
		if err := job.Set(spec, path, text); err != nil {
			t.Fatal(err)
		}
	}
	m := openOn(t, spec, &fake{}, 80, 60)
	must(t, m, "life asked", "10 years", "side", "leaks", "2 uA", "stuck on is", "harmful", "as built", "npn-80v-4a")
}

func TestLeaving(t *testing.T) {
	quits := func(m *Model, keys ...string) bool {
		for i, k := range keys {
			if i < len(keys)-1 {
				press(m, k)
				continue
			}
			msg := tea.KeyMsg{Type: named[k]}
			if _, ok := named[k]; !ok {
				msg = runeKey([]rune(k)[0])
			}
			if _, cmd := m.Update(msg); cmd != nil {
				_, quit := cmd().(tea.QuitMsg)
				return quit
			}
		}
		return false
	}
	tests := []struct {
		name string
		keys []string
		want bool
	}{
		{"esc of an unedited job", []string{"esc"}, true},
		{"q is text on Job", []string{"down", "q"}, false},
		{"q on Parts", []string{"tab", "q"}, true},
		{"q on Design", []string{"tab", "enter", "q"}, true},
		{"esc of an edited job asks", []string{"right", "esc"}, false},
		{"and n stays", []string{"right", "esc", "n"}, false},
		{"and y leaves", []string{"right", "esc", "y"}, true},
		{"ctrl+c of an edited job asks", []string{"right", "ctrl+c"}, false},
		{"and once more leaves", []string{"right", "ctrl+c", "ctrl+c"}, true},
		{"ctrl+c of an unedited job", []string{"ctrl+c"}, true},
		{"ctrl+c in a filter", []string{"tab", "/", "ctrl+c"}, true},
		{"esc on Parts goes back", []string{"tab", "esc"}, false},
	}
	for _, tt := range tests {
		if got := quits(open(t, &fake{}, 80, 24), tt.keys...); got != tt.want {
			t.Errorf("%s: leaves %v, want %v", tt.name, got, tt.want)
		}
	}
}

func TestCautionsAreAlwaysThere(t *testing.T) {
	for _, keys := range states {
		m := open(t, &fake{}, 80, 24)
		press(m, keys...)
		lines := strings.Split(m.View(), "\n")
		if !strings.Contains(lines[1], "stored energy") {
			t.Errorf("%v: the line under the title is %q", keys, lines[1])
		}
	}
	m := open(t, &fake{}, 80, 24)
	press(m, "tab", "enter")
	must(t, m, "hot surface") // of the design
	press(m, "f2")
	must(t, m, "Never break the clamp", "above 60 C on its")
}

// A disabled key says why and does nothing.
func TestDeadKeySaysWhy(t *testing.T) {
	m := open(t, &fake{}, 80, 24)
	press(m, "tab", "c")
	must(t, m, "no filter is set")
}

// A slow answer marks what is on the screen as old.
func TestSlowAnswer(t *testing.T) {
	m := open(t, &fake{}, 80, 24)
	press(m, "down", "ctrl+u")
	_, cmd := m.Update(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune("0.5A")})
	press(m, "tab")
	must(t, m, "+ fits")
	send(m, slowMsg{seq: m.seq - 1})
	must(t, m, "+ fits")
	send(m, slowMsg{seq: m.seq})
	mustNot(t, m, "+ fits")
	must(t, m, "(fits)", "asking again")
	run(m, cmd)
	must(t, m, "+ fits")
}

// What fails inside is told in a line and never taken for an answer.
func TestEngineFails(t *testing.T) {
	ask := &fake{}
	m := open(t, ask, 80, 24)
	ask.err = errors.New("no\x1b[31m good")
	press(m, "down", "ctrl+u", "0.5A", "tab")
	mustNot(t, m, "+ fits", "\x1b")
	must(t, m, "good")
	p := &panicking{fake: &fake{}}
	m = open(t, p, 80, 24)
	press(m, "tab")
	must(t, m, "internal fault")
	mustNot(t, m, "+ fits")
}

type panicking struct{ *fake }

func (p *panicking) Assess(context.Context, *engine.Input) (*engine.Result, error) { panic("oh") }

// Text of files never reaches the terminal as control sequences.
func TestHostileText(t *testing.T) {
	spec := job.Demo()
	spec.Title = "a\x1b[2Jb"
	m := openOn(t, spec, &fake{}, 80, 24)
	mustNot(t, m, "\x1b")
}

func TestSeveralLoads(t *testing.T) {
	spec := job.Demo()
	two := job.Clone(spec).Loads[0]
	two.Name, two.Kind = "fan", "motor"
	spec.Loads = append(spec.Loads, two)
	m := openOn(t, spec, &fake{}, 80, 24)
	must(t, m, "load 1 of 2: vent latch")
	press(m, "f3")
	must(t, m, "load 2 of 2: fan", "stall current")
	if m.parts.load.Name != "fan" {
		t.Errorf("parts of %s", m.parts.load.Name)
	}
}

func TestFilters(t *testing.T) {
	m := open(t, &fake{}, 80, 24)
	press(m, "tab", "f", "right") // the first kind: bjt
	if len(m.parts.shown.Rows) != 1 || m.parts.shown.Rows[0].Part != "npn-80v-4a" {
		t.Errorf("%d rows", len(m.parts.shown.Rows))
	}
	must(t, m, "4 by kind")
	press(m, "c", "up", "down", "down", "down", "down", "down", "down", "right") // over: hidden
	for _, r := range m.parts.shown.Rows {
		if r.Verdict == design.Over {
			t.Error("over is shown")
		}
	}
	press(m, "down", "0.40")
	if n := len(m.parts.shown.Rows); n != 2 {
		t.Errorf("%d rows of at most 0.40, want 2", n)
	}
	press(m, "esc")
	if m.at != placeParts || m.parts.filtering {
		t.Error("esc did not close the panel alone")
	}
}

// The real engine on the real catalogue: what the screen shows is what it says.
func TestRealEngine(t *testing.T) {
	cat, err := catalog.Embedded()
	if cat == nil {
		t.Fatal(err)
	}
	m := New(Options{Spec: job.Demo(), Catalog: cat, Policies: catalog.Policies(), NoColor: true})
	m.later = func(int) tea.Cmd { return nil }
	run(m, m.Init())
	if m.failed != "" || m.result == nil {
		t.Fatal(m.failed)
	}
	for _, s := range [][2]int{{60, 20}, {80, 24}, {120, 40}, {200, 60}} {
		send(m, tea.WindowSizeMsg{Width: s[0], Height: s[1]})
		press(m, "tab", "home")
		for range 4 {
			press(m, "enter")
			checkSize(t, m, s[0], s[1], m.parts.selected)
			if got, want := m.design.det.Row.Verdict, m.parts.row().Verdict; got != want {
				t.Errorf("%s: the design says %v, its row %v", m.parts.selected, got, want)
			}
			press(m, "e", "end")
			checkSize(t, m, s[0], s[1], m.parts.selected)
			press(m, "esc", "pgdown", "pgdown")
		}
		press(m, "esc")
	}
	for _, kind := range job.Kinds() {
		m.job.focus(0)
		m.job.put(string(kind.Kind))
		run(m, m.question())
		for p := range numPlaces {
			run(m, m.goTo(p))
			checkSize(t, m, m.width, m.height, kind.Kind)
		}
		if m.fault != nil || m.failed != "" {
			t.Fatalf("%s: %v %s", kind.Kind, m.fault, m.failed)
		}
	}
}

func BenchmarkView(b *testing.B) {
	cat, _ := catalog.Embedded()
	m := New(Options{Spec: job.Demo(), Catalog: cat, Policies: catalog.Policies()})
	m.later = func(int) tea.Cmd { return nil }
	run(m, m.Init())
	send(m, tea.WindowSizeMsg{Width: 200, Height: 60})
	for b.Loop() {
		m.View()
	}
}

// On another width the design that is read stays in its section.
func TestSectionStaysOnAnotherWidth(t *testing.T) {
	m := open(t, &fake{}, 80, 24)
	press(m, "tab", "enter", "s", "s")
	name := m.design.sections[m.design.here()].name
	for _, w := range []int{60, 41, 119, 80} {
		send(m, tea.WindowSizeMsg{Width: w, Height: 14})
		m.View()
		if got := m.design.sections[m.design.here()].name; got != name {
			t.Errorf("%d columns: in %s, was in %s", w, got, name)
		}
	}
}
