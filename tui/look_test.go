package tui

import (
	"fmt"
	"go/parser"
	"go/token"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/job"
)

// lookKeys are ways into each view, and to a place in it.
var lookKeys = map[string][]string{
	"what-if": {"tab", "enter", "i", "down"},
	"drive":   {"tab", "enter", "d"},
	"broken":  {"tab", "enter", "t", "down", "down"},
	"compare": {"tab", "m", "down", "down", "m", "down", "m", "="},
	"margins": {"tab", "enter", "m", "down"},
	"bands":   {"tab", "enter", "r"},
}

// openColour is open with colours.
func openColour(t *testing.T, ask Asker, w, h int) *Model {
	t.Helper()
	m := New(Options{Spec: job.Demo(), Catalog: &catalog.Catalog{Currency: "EUR"}, Policies: catalog.Policies(), Asker: ask, Store: &shelf{files: map[string]string{}}})
	m.later = func(int) tea.Cmd { return nil }
	run(m, m.Init())
	send(m, tea.WindowSizeMsg{Width: w, Height: h})
	return m
}

// The views, read by eye, at each size with and without colours.
func TestLookScreens(t *testing.T) {
	for name, keys := range lookKeys {
		for _, size := range [][2]int{{60, 20}, {80, 24}, {120, 40}, {200, 60}} {
			m := open(t, &fake{}, size[0], size[1])
			press(m, keys...)
			golden(t, fmt.Sprintf("look-%s-%dx%d", name, size[0], size[1]), m.View())
			checkSize(t, m, size[0], size[1], name)
			m = openColour(t, &fake{}, size[0], size[1])
			press(m, keys...)
			golden(t, fmt.Sprintf("look-%s-%dx%d-colour", name, size[0], size[1]), m.View())
			checkSize(t, m, size[0], size[1], name)
		}
	}
}

func TestLooksFitAnySize(t *testing.T) {
	for name, keys := range lookKeys {
		m := open(t, &fake{}, 80, 24)
		press(m, keys...)
		for w := 1; w <= 210; w += 11 {
			for h := 1; h <= 62; h += 4 {
				send(m, tea.WindowSizeMsg{Width: w, Height: h})
				checkSize(t, m, w, h, name)
				press(m, "left", "down", "right")
			}
		}
		if m.fault != nil {
			t.Errorf("%s: %v", name, m.fault)
		}
	}
}

// An answer to a question before the newest is dropped, and so is one to a view that
// was closed; both are cancelled.
func TestLateLooksAreDropped(t *testing.T) {
	m := open(t, &fake{}, 80, 24)
	press(m, "tab", "enter")
	_, first := m.Update(runeKey('i'))
	_, second := m.Update(runeKey('d'))
	if second != nil {
		t.Fatal("d opened another view inside this one")
	}
	run(m, first)
	_, slow := m.Update(runeKey('n'))
	_, fast := m.Update(runeKey('+')) // of the first quantity still, for the other has no answer yet
	run(m, fast)
	want := m.look.sweep.got
	run(m, slow)
	if m.look.sweep.got != want {
		t.Error("an answer to an older question was taken")
	}
	send(m, lookedMsg{seq: m.look.seq - 1, answer: &engine.Swept{}})
	if m.look.sweep.got != want {
		t.Error("an answer with an older seq was taken")
	}
	_, left := m.Update(runeKey('n'))
	press(m, "esc")
	run(m, left)
	if m.page.kind != pageNone || m.look.sweep.got != want || m.fault != nil {
		t.Error("an answer to a view that was closed was taken")
	}
}

// The cursor of a sweep stands on every place of change, on its last value before and
// its first after.
func TestSweepCursor(t *testing.T) {
	m := open(t, &fake{}, 80, 24)
	press(m, "tab", "enter", "i")
	must(t, m, "> at 12 V: + fits, room 1.05")
	press(m, "down")
	must(t, m, "> at 12.48 V: + fits", "> 12.48 V   12.6 V")
	press(m, "down")
	must(t, m, "> at 12.6 V: ~ tight, room 0.99")
	press(m, "end")
	must(t, m, "24 V: no such stage: the rail is hazardous")
	press(m, "n")
	must(t, m, "hottest air (2 of 3): now 40 C")
	press(m, "p", "p")
	must(t, m, "gate resistor (3 of 3): now 270 ohm")
	press(m, "esc", "i") // the same quantity again
	must(t, m, "gate resistor (3 of 3): now 270 ohm")
}

func TestDriveCursor(t *testing.T) {
	m := open(t, &fake{}, 80, 24)
	press(m, "tab", "enter", "d")
	must(t, m, "> 4.7 V: + proven, on-resistance at most 55 mohm")
	press(m, "up", "left")
	must(t, m, "> 4.4 V: ? unproven, on-resistance about", "not guaranteed")
	press(m, "home")
	must(t, m, "x impossible")
}

// A stage stated as built is one edit of the job; what it was before comes back whole.
func TestBuiltIsAnEdit(t *testing.T) {
	m := open(t, &fake{}, 80, 24)
	before := job.Digest(m.job.spec)
	press(m, "ctrl+b")
	if m.job.spec.Loads[0].Built != nil {
		t.Fatal("built what is not on the screen")
	}
	press(m, "tab", "enter", "ctrl+b")
	b := m.job.spec.Loads[0].Built
	if b == nil || b.Part != "n-55v-a" || b.Topology != "n-mosfet-low" || b.RGate.R != 270 || b.Clamp != "none" {
		t.Fatalf("built %+v", b)
	}
	press(m, "esc", "esc")
	toField(t, m, "load[0].built.r_gate")
	press(m, "ctrl+u", "2k7")
	if got := m.job.spec.Loads[0].Built.RGate.R; got != 2700 {
		t.Errorf("typed 2k7, holds %v", got)
	}
	press(m, "ctrl+z", "ctrl+z", "ctrl+z")
	if m.job.spec.Loads[0].Built != nil || job.Digest(m.job.spec) != before {
		t.Error("undone, and not as it was")
	}
}

// A change on paper goes into the job as built where a job can state it, to be judged and
// edited there, and is taken back as one edit. The answer it came from stays as it was.
func TestBreakIsBuilt(t *testing.T) {
	m := open(t, &fake{}, 120, 40)
	before := job.Digest(m.job.spec)
	press(m, "tab", "t", "down", "enter")
	must(t, m, "a job cannot state this change")
	if m.job.spec.Loads[0].Built != nil || m.page.kind != pageBreaks {
		t.Error("a diode reversed is in the job, or the view is closed")
	}
	asked := m.ask.(*fake).assessed
	answer := m.look.breaks.got[0].Built
	press(m, "up", "enter")
	b := m.job.spec.Loads[0].Built
	if b == nil || b.Clamp != "none" || b.Part != "n-55v-a" || m.mode() != modeJob || m.ask.(*fake).assessed != asked+1 {
		t.Fatalf("built %+v, mode %d", b, m.mode())
	}
	must(t, m, "as built: no clamp", "> used as")
	toField(t, m, "load[0].built.clamp")
	press(m, "ctrl+u", "d-1a-fast")
	if m.job.spec.Loads[0].Built.Clamp != "d-1a-fast" || answer.Clamp != "none" {
		t.Errorf("typed: %q; the answer has %q", m.job.spec.Loads[0].Built.Clamp, answer.Clamp)
	}
	press(m, "ctrl+z", "ctrl+z", "ctrl+z")
	if job.Digest(m.job.spec) != before || m.edited {
		t.Error("undone, and another job")
	}
}

// Two to four are compared, by identity; a fifth mark is refused and said.
func TestMarks(t *testing.T) {
	ask := &fake{}
	m := open(t, ask, 80, 24)
	press(m, "tab", "=")
	if m.page.kind != pageNone {
		t.Error("one design stands side by side with nothing")
	}
	press(m, "m", "down", "m", "down", "m", "down", "m", "down", "m")
	must(t, m, "no more stand side by side")
	press(m, "=")
	if n := len(m.look.compare.got); n != mostCompared {
		t.Errorf("%d side by side", n)
	}
	press(m, "esc")
	ask.gone = map[string]bool{"n-60v-b": true}
	press(m, "esc", "down", "ctrl+u", "0.7A", "tab", "=")
	if n := len(m.look.compare.got); n != mostCompared-1 {
		t.Errorf("one is gone: %d side by side", n)
	}
}

// The screen computes nothing electrical: no package of physics is imported but
// through the engine's front and what tells an answer.
func TestImportsNoPhysics(t *testing.T) {
	files, err := filepath.Glob("*.go")
	if err != nil || len(files) < 20 {
		t.Fatalf("%d files, %v", len(files), err)
	}
	const house = `"example.org/pinhoist/`
	allowed := []string{"catalog", "internal/design", "internal/engine", "internal/job", "internal/quantity", "internal/sheet", "internal/source"}
	for _, name := range files {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		f, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.ImportsOnly)
		if err != nil {
			t.Fatal(err)
		}
		for _, i := range f.Imports {
			if path, ours := strings.CutPrefix(i.Path.Value, house); ours && !slices.Contains(allowed, strings.TrimSuffix(path, `"`)) {
				t.Errorf("%s imports %s", name, i.Path.Value)
			}
		}
	}
}
