package tui

import (
	"math/rand/v2"
	"os"
	"strconv"
	"testing"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/pinhoist/internal/job"
)

func TestUndoAndRedo(t *testing.T) {
	m := open(t, &fake{}, 80, 24)
	start := job.Digest(m.job.spec)
	press(m, "down", "ctrl+u", "0.5A") // emptying is one edit, what is typed then another
	press(m, "ctrl+z")
	if m.job.spec.Loads[0].Current.Known() {
		t.Error("what was typed is still there after one undo")
	}
	press(m, "ctrl+z")
	if job.Digest(m.job.spec) != start || m.edited {
		t.Error("two undone edits did not give the first job")
	}
	press(m, "ctrl+z") // nothing more
	press(m, "ctrl+y", "ctrl+y")
	if got := m.job.spec.Loads[0].Current.ExactText(); got != "500 mA" {
		t.Errorf("redone, the current is %q", got)
	}
	press(m, "x") // cannot be read
	must(t, m, "no shortlist")
	press(m, "ctrl+z")
	mustNot(t, m, "no shortlist")
	press(m, "ctrl+z", "2A")
	if len(m.job.history.future) != 0 {
		t.Error("a new edit left something to redo")
	}
}

// A kind takes its figures along when it is undone.
func TestUndoOfAKind(t *testing.T) {
	m := open(t, &fake{}, 80, 24)
	press(m, "r") // resistive: the inductance is set aside
	press(m, "ctrl+z")
	if l := m.job.spec.Loads[0]; l.Kind != "solenoid" || l.Inductance.ExactText() != "60 mH" || m.edited {
		t.Errorf("%s with %s", l.Kind, l.Inductance.ExactText())
	}
}

func TestLoadsAreAddedCopiedAndRemoved(t *testing.T) {
	m := open(t, &fake{}, 80, 24)
	press(m, "ctrl+o")
	must(t, m, "load 2 of 2: vent latch 2")
	if m.job.spec.Loads[1].Current != m.job.spec.Loads[0].Current || m.parts.load == nil {
		t.Error("the copy is no copy, or has no shortlist")
	}
	press(m, "ctrl+n")
	must(t, m, "load 3 of 3: load 3", "no shortlist")
	press(m, "ctrl+x", "ctrl+x")
	must(t, m, "load 1 of 1: vent latch")
	press(m, "ctrl+x")
	if len(m.job.spec.Loads) != 1 {
		t.Error("the last load was removed")
	}
	press(m, "ctrl+z", "ctrl+z", "ctrl+z", "ctrl+z")
	if len(m.job.spec.Loads) != 1 || m.edited {
		t.Errorf("all undone: %d loads, edited %v", len(m.job.spec.Loads), m.edited)
	}
}

// The others go on naming a load that has another name, and forget one that is gone.
func TestRenamedAndRemovedLoadsAreFollowed(t *testing.T) {
	m := open(t, &fake{}, 80, 24)
	press(m, "ctrl+o")
	m.job.spec.Loads[0].ExclusiveWith = []string{"vent latch 2"}
	toField(t, m, "load[1].name")
	press(m, "tab", "down", "shift+tab", "b")
	if got := m.job.spec.Loads[0].ExclusiveWith; len(got) != 1 || got[0] != "vent latch 2b" {
		t.Errorf("after another name %q", got)
	}
	press(m, "ctrl+x")
	if got := m.job.spec.Loads[0].ExclusiveWith; len(got) != 0 {
		t.Errorf("after it is gone %q", got)
	}
}

// Ctrl+R gives a field what its own load had, wherever that load stands now.
func TestRestoreFollowsTheLoad(t *testing.T) {
	spec := job.Demo()
	fan := job.Clone(spec).Loads[0]
	fan.Name = "fan"
	if err := fan.Current.SetText("0.2 A"); err != nil {
		t.Fatal(err)
	}
	spec.Loads = append(spec.Loads, fan)
	m := openOn(t, spec, &fake{}, 80, 24)
	press(m, "ctrl+x", "down", "ctrl+u", "ctrl+r")
	if got := m.job.spec.Loads[0]; got.Name != "fan" || got.Current.ExactText() != "200 mA" {
		t.Errorf("%s got %s", got.Name, got.Current.ExactText())
	}
	press(m, "ctrl+o", "down", "ctrl+u", "ctrl+r") // a new load has nothing to go back to
	if got := m.job.spec.Loads[1]; got.Current.Known() {
		t.Errorf("%s got %s", got.Name, got.Current.ExactText())
	}
}

// anyKey is one key out of all that are bound, letters and texts among them.
func anyKey(r *rand.Rand) tea.KeyMsg {
	switch r.IntN(4) {
	case 0:
		texts := []string{"0.5A", "12 V", "x", "60mH", " ", "4k7", "-", "µ", "500 Hz", "a b"}
		return tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(texts[r.IntN(len(texts))]), Paste: r.IntN(2) == 0}
	case 1:
		return runeKey(rune('!' + r.IntN('~'-'!')))
	}
	kinds := []tea.KeyType{tea.KeyUp, tea.KeyDown, tea.KeyDown, tea.KeyLeft, tea.KeyRight, tea.KeyEnter, tea.KeyTab, tea.KeyShiftTab, tea.KeyEscape,
		tea.KeyF1, tea.KeyF2, tea.KeyF3, tea.KeyF4, tea.KeyF5, tea.KeyF7, tea.KeyF8, tea.KeyPgUp, tea.KeyPgDown, tea.KeyHome, tea.KeyEnd, tea.KeyCtrlU, tea.KeyCtrlR, tea.KeyCtrlZ, tea.KeyCtrlY,
		tea.KeyCtrlN, tea.KeyCtrlO, tea.KeyCtrlX, tea.KeyCtrlT, tea.KeyCtrlB, tea.KeyCtrlK, tea.KeyCtrlL, tea.KeyCtrlS, tea.KeyBackspace, tea.KeyDelete, tea.KeySpace}
	return tea.KeyMsg{Type: kinds[r.IntN(len(kinds))]}
}

// Whatever is pressed at whatever size: no panic, nothing wider or taller than the
// screen, the cursor on a row that is there, and all undone is the job as it was.
func TestRandomEvents(t *testing.T) {
	const events = 200
	sessions := uint64(25)
	if text := os.Getenv("PINHOIST_SCREEN_SESSIONS"); text != "" {
		n, err := strconv.ParseUint(text, 10, 32)
		if err != nil {
			t.Fatal(err)
		}
		sessions = n
	}
	for seed := range sessions {
		r := rand.New(rand.NewPCG(seed, 7))
		m := open(t, &fake{gone: map[string]bool{}}, 80, 24)
		w, h := 80, 24
		for n := range events {
			switch r.IntN(20) {
			case 0:
				w, h = 1+r.IntN(220), 1+r.IntN(70)
				send(m, tea.WindowSizeMsg{Width: w, Height: h})
			case 1:
				gone := m.ask.(*fake).gone
				gone["n-60v-b"] = !gone["n-60v-b"]
			default:
				send(m, anyKey(r))
			}
			checkSize(t, m, w, h, [2]any{seed, n})
			if m.fault != nil {
				t.Fatalf("seed %d, event %d: %v", seed, n, m.fault)
			}
			if len(m.parts.shown.Rows) > 0 && m.parts.row() == nil {
				t.Fatalf("seed %d, event %d: the cursor is on no row", seed, n)
			}
			if m.load >= len(m.job.spec.Loads) || m.load != m.job.load {
				t.Fatalf("seed %d, event %d: at load %d of %d, the form at %d", seed, n, m.load, len(m.job.spec.Loads), m.job.load)
			}
		}
		for m.job.undo() {
		}
		if got := job.Digest(m.job.spec); got != job.Digest(m.job.start) {
			t.Fatalf("seed %d: all undone is another job:\n%s", seed, job.Encode(m.job.spec))
		}
	}
}
