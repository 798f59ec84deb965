package tui

import (
	"io"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/pinhoist/catalog"
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
	press(m, "ctrl+o") // a name that ends in a number goes on with the next
	must(t, m, "load 4 of 4: load 4", "no shortlist")
	press(m, "ctrl+x", "ctrl+x", "ctrl+x")
	must(t, m, "load 1 of 1: vent latch")
	press(m, "ctrl+x")
	if len(m.job.spec.Loads) != 1 {
		t.Error("the last load was removed")
	}
	press(m, "ctrl+z", "ctrl+z", "ctrl+z", "ctrl+z", "ctrl+z", "ctrl+z")
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

// anyKey is one key: mostly one that means something where the screen is, else any other
// key, letter or text.
func anyKey(r *rand.Rand, m *Model) tea.KeyMsg {
	if r.IntN(3) > 0 {
		wander := r.IntN(3) == 0 // on, into and out of things: else most keys are pressed in the first page that opens
		var here []string
		for i := range m.table {
			b := &m.table[i]
			on := slices.Contains([]action{actNext, actOpen, actClose, actNo}, b.act)
			if b.mode == m.mode() && (on || !wander) {
				here = append(here, b.keys[0])
			}
		}
		return keyNamed(here[r.IntN(len(here))])
	}
	switch r.IntN(3) {
	case 0:
		texts := []string{"0.5A", "12 V", "x", "60mH", " ", "4k7", "-", "µ", "500 Hz", "a b", "my-part", "40 mohm", "n", "10 V", "0"}
		return tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(texts[r.IntN(len(texts))]), Paste: r.IntN(2) == 0}
	case 1:
		return runeKey(rune('!' + r.IntN('~'-'!')))
	}
	return tea.KeyMsg{Type: tea.KeyType(r.IntN(110) - 80)}
}

// keyNamed is the key that the toolkit names so.
func keyNamed(name string) tea.KeyMsg {
	if runes := []rune(name); len(runes) == 1 {
		return runeKey(runes[0])
	}
	for t := tea.KeyType(-100); t < 128; t++ {
		if k := (tea.KeyMsg{Type: t}); k.String() == name {
			return k
		}
	}
	panic("no key " + name)
}

// beginRandom brings a screen into a state to go on from at random: one of those that have
// a picture, a save over remarks, or a part of one's own that is there already.
func beginRandom(t *testing.T, m *Model, store *shelf, n int) {
	switch n %= len(states) + 2; {
	case n < len(states):
		press(m, states[n]...)
	case n == len(states):
		store.files["a"] = "# a remark\n"
		press(m, "right", "ctrl+s", "a", "enter")
	default:
		press(m, "f6")
		for _, f := range drawerFigures {
			typeOwn(t, m, f[0], f[1])
		}
		press(m, "ctrl+s", "tab", "a", "ctrl+s")
	}
}

// Whatever is pressed at whatever size, in every place and view: no panic, nothing wider
// or taller than the screen, the cursor on a row that is there, and all undone is the job
// as it was.
func TestRandomEvents(t *testing.T) {
	const events = 200
	sessions := uint64(60)
	if text := os.Getenv("PINHOIST_SCREEN_SESSIONS"); text != "" {
		n, err := strconv.ParseUint(text, 10, 32)
		if err != nil {
			t.Fatal(err)
		}
		sessions = n
	}
	var seen [numModes]int
	for seed := range sessions {
		r := rand.New(rand.NewPCG(seed, 7))
		store := &shelf{files: map[string]string{}}
		m := New(Options{Spec: job.Demo(), Catalog: &catalog.Catalog{Currency: "EUR"}, Policies: catalog.Policies(), NoColor: seed%2 == 0, Colours: 256,
			Asker: &fake{gone: map[string]bool{}}, Store: store, OwnStore: store, OwnFile: "own.toml", Out: io.Discard, Tour: seed%10 == 9})
		m.later = func(int) tea.Cmd { return nil }
		run(m, m.Init())
		w, h := 80, 24
		send(m, tea.WindowSizeMsg{Width: w, Height: h})
		if !m.tour.on {
			beginRandom(t, m, store, int(seed))
		}
		for n := range events {
			seen[m.mode()]++
			switch r.IntN(20) {
			case 0:
				w, h = 1+r.IntN(220), 1+r.IntN(70)
				send(m, tea.WindowSizeMsg{Width: w, Height: h})
			case 2:
				send(m, tea.MouseMsg{X: r.IntN(w), Y: r.IntN(h), Button: tea.MouseButton(r.IntN(6)), Action: tea.MouseAction(r.IntN(3))})
			case 1:
				gone := m.ask.(*fake).gone
				gone["n-60v-b"] = !gone["n-60v-b"]
			default:
				send(m, anyKey(r, m))
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
	for at, n := range seen {
		if n == 0 {
			t.Errorf("no event met %s: they are not random enough", modeNames[at])
		}
	}
}

// What is wrong with another load than the one on the form is told by its name.
func TestErrorOfAnotherLoadIsNamed(t *testing.T) {
	m := open(t, &fake{}, 120, 40)
	press(m, "ctrl+n") // states no current yet
	m.job.setLoad(0)
	if got := m.job.firstError(); !strings.HasPrefix(got, "current of load 2: to be stated") {
		t.Errorf("got %q", got)
	}
}
