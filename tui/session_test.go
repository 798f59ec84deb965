package tui

import (
	"errors"
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/job"
)

// diary is a memory that counts.
type diary struct {
	sessions []Session
	tours    int
	fails    error
}

func (d *diary) Keep(s Session) error {
	if d.fails != nil {
		return d.fails
	}
	d.sessions = append(d.sessions, s)
	return nil
}

func (d *diary) TourDone() error { d.tours++; return d.fails }

// keeping is a screen whose session is kept after every key.
func keeping(t *testing.T, d *diary, s *shelf, session *Session, ask Asker) *Model {
	t.Helper()
	m := New(Options{Spec: job.Demo(), Catalog: &catalog.Catalog{Currency: "EUR"}, Policies: catalog.Policies(), NoColor: true, Asker: ask, Store: s, Memory: d, Session: session})
	m.later = func(int) tea.Cmd { return nil }
	m.keepLater = func() tea.Cmd { return func() tea.Msg { return keepMsg{} } }
	run(m, m.Init())
	send(m, tea.WindowSizeMsg{Width: 80, Height: 24})
	return m
}

func (d *diary) last() *Session { return &d.sessions[len(d.sessions)-1] }

// Killed at any moment, the screen comes back to what was on it.
func TestComesBackWhereItWasLeft(t *testing.T) {
	for _, keys := range [][]string{
		{}, {"down", "ctrl+u", "500 mA"}, {"down", "x"}, {"right"}, {"tab", "down", "down"}, {"tab", "down", "enter"}, {"tab", "o", "o", "/", "mosfet", "enter"},
		{"ctrl+o", "down", "ctrl+u", "400 mA"}, {"right", "ctrl+s", "a.toml", "enter"}, {"right", "ctrl+s", "a.toml", "enter", "down", "ctrl+u", "400 mA"}, {"tab", "f", "right"},
	} {
		d, s := &diary{}, &shelf{files: map[string]string{}}
		m := keeping(t, d, s, nil, &fake{})
		press(m, keys...)
		m.parts.filtering, m.parts.typing = false, false
		n := keeping(t, &diary{}, s, d.last(), &fake{})
		if n.note == "" {
			t.Errorf("%v: it is not said", keys)
		}
		n.note, m.note = "", ""
		if got, want := withoutKeys(n), withoutKeys(m); got != want {
			t.Errorf("%v: came back as\n%s\nleft as\n%s", keys, got, want)
		}
		if got, want := n.session(), m.session(); !reflect.DeepEqual(got, want) {
			t.Errorf("%v: the session is\n%+v\nwas\n%+v", keys, got, want)
		}
	}
}

// withoutKeys is the screen without its last lines: edits of before cannot be undone.
func withoutKeys(m *Model) string {
	lines := strings.Split(m.View(), "\n")
	return strings.Join(lines[:len(lines)-2], "\n")
}

// The same after anything at all.
func TestSessionRoundTrips(t *testing.T) {
	for seed := range uint64(40) {
		r := rand.New(rand.NewPCG(seed, 11))
		d, s := &diary{}, &shelf{files: map[string]string{}}
		m := keeping(t, d, s, nil, &fake{})
		for range 60 {
			send(m, anyKey(r, m))
		}
		if m.left {
			continue
		}
		want := m.session()
		n := keeping(t, &diary{}, s, &want, &fake{})
		if got := n.session(); !reflect.DeepEqual(got, want) {
			got.Job, want.Job, got.Disk, want.Disk = "", "", nil, nil // told below, as text
			t.Errorf("seed %d: came back as\n%+v\n%s\nleft as\n%+v\n%s", seed, got, n.session().Job, want, m.session().Job)
		}
		if n.edited != m.edited {
			t.Errorf("seed %d: edited %v, was %v", seed, n.edited, m.edited)
		}
	}
}

// Whatever a session holds, the screen opens.
func TestStrangeSessions(t *testing.T) {
	good := string(job.DemoText())
	for name, s := range map[string]Session{
		"nothing":       {},
		"no job":        {Job: "x = "},
		"no load":       {Job: "title = \"x\""},
		"places beyond": {Job: good, Place: 99, Load: 99, Field: "none", Row: "gone"},
		"places before": {Job: good, Place: -3, Load: -1},
		"odd texts":     {Job: good, Raw: map[string]string{"none": "x", "more.pin": "x", "load[0].current": "\x1b[31m"}, Aside: map[string]string{"load[9].esr": "x"}},
		"odd view":      {Job: good, View: engine.View{Order: "sideways"}},
	} {
		m := keeping(t, &diary{}, &shelf{files: map[string]string{}}, &s, &fake{})
		if m.fault != nil || m.load >= len(m.job.spec.Loads) || m.at >= numPlaces {
			t.Errorf("%s: %v, load %d, place %d", name, m.fault, m.load, m.at)
		}
		checkSize(t, m, 80, 24, name)
		press(m, "tab", "down", "enter", "ctrl+z")
	}
}

// A session that cannot be kept is told once, and nothing else changes.
func TestSessionThatCannotBeKept(t *testing.T) {
	d := &diary{fails: errors.New("the disk is full")}
	m := keeping(t, d, &shelf{files: map[string]string{}}, nil, &fake{})
	must(t, m, "the session cannot be kept: the disk is full")
	press(m, "down", "down")
	mustNot(t, m, "the disk is full")
	d.fails = nil
	press(m, "down")
	d.fails = errors.New("the disk is full")
	press(m, "down")
	must(t, m, "the disk is full") // again
}

// A file that somebody else changed is told of once.
func TestFileChangesOnDisk(t *testing.T) {
	d, s := &diary{}, &shelf{files: map[string]string{}}
	m := keeping(t, d, s, nil, &fake{})
	press(m, "right", "ctrl+s", "a.toml", "enter", "down")
	mustNot(t, m, "changed on the disk")
	s.files["a.toml"] += "\n"
	press(m, "down")
	must(t, m, "a.toml was changed on the disk by someone else", "opens it anew")
	press(m, "down")
	mustNot(t, m, "changed on the disk")
	press(m, "ctrl+s")
	must(t, m, "changed by someone else meanwhile. Write over it?")
	press(m, "n")
	s.files["a.toml"] += "\n"
	press(m, "down")
	must(t, m, "changed on the disk")
	n := keeping(t, &diary{}, s, d.last(), &fake{})
	must(t, n, "changed on the disk") // at once, of a session that comes back
}

// One keeping is under way at a time, and the last one holds what was typed last.
func TestKeepingIsNotRepeated(t *testing.T) {
	d := &diary{}
	m := keeping(t, d, &shelf{files: map[string]string{}}, nil, &fake{})
	asked := 0
	m.keepLater = func() tea.Cmd { asked++; return nil }
	before := len(d.sessions)
	press(m, "down", "ctrl+u", "0.25A")
	if asked != 1 {
		t.Errorf("asked %d times for a keeping", asked)
	}
	m.keepLater = func() tea.Cmd { return func() tea.Msg { return keepMsg{} } }
	run(m, m.keepNow())
	if len(d.sessions) == before || m.memory.busy {
		t.Error("nothing was kept")
	}
	spec, _ := job.Decode("x", []byte(d.last().Job))
	if got := spec.Loads[0].Current.ExactText(); got != "250 mA" {
		t.Errorf("kept with %s", got)
	}
}
