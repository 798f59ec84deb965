package tui

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/job"
)

// albumSizes are those that a state is kept at, the smallest that is used at last.
var albumSizes = [][2]int{{200, 60}, {120, 40}, {80, 24}, {60, 20}, {40, 10}}

// scene is a state of the screen: what it is opened on, and what is pressed.
type scene struct {
	name    string
	keys    []string
	ask     *fake
	shelf   *shelf
	session *Session
	tour    bool
}

func (s *scene) open(t *testing.T, w, h int, colour bool) *Model {
	t.Helper()
	ask, store := s.ask, s.shelf
	if ask == nil {
		ask = &fake{}
	}
	if store == nil {
		store = &shelf{files: map[string]string{}}
	}
	m := New(Options{Spec: job.Demo(), Catalog: &catalog.Catalog{Currency: "EUR"}, Policies: catalog.Policies(), NoColor: !colour, Asker: ask, Store: store,
		Memory: &diary{}, Session: s.session, Tour: s.tour})
	m.later = func(int) tea.Cmd { return nil }
	m.keepLater = func() tea.Cmd { return func() tea.Msg { return keepMsg{} } }
	send(m, tea.WindowSizeMsg{Width: w, Height: h})
	run(m, m.Init())
	press(m, s.keys...)
	return m
}

// album keeps a state at every size, and with colours at two of them. What colours say
// has to stand there without them.
func album(t *testing.T, s scene) {
	t.Helper()
	var plain, coloured strings.Builder
	for _, size := range albumSizes {
		m := s.open(t, size[0], size[1], false)
		checkSize(t, m, size[0], size[1], s.name)
		fmt.Fprintf(&plain, "==== %d by %d\n%s\n", size[0], size[1], m.View())
		c := s.open(t, size[0], size[1], true)
		checkSize(t, c, size[0], size[1], s.name)
		a, b := strings.Split(m.View(), "\n"), strings.Split(ansi.Strip(c.View()), "\n")
		for i := range a {
			if a[i] != strings.TrimRight(b[i], " ") && !strings.Contains(a[i], "|") { // a field has its cursor there
				t.Errorf("%s at %v: colour is more than colour:\n%s\n%s", s.name, size, a[i], b[i])
			}
		}
		if size[0] == 120 || size[0] == 80 {
			fmt.Fprintf(&coloured, "==== %d by %d\n%s\n", size[0], size[1], c.View())
		}
	}
	golden(t, "album-"+s.name, plain.String())
	golden(t, "album-"+s.name+"-colour", coloured.String())
}

func TestAlbum(t *testing.T) {
	broken := "[[load]]\nname = \"x\"\nkind = \"led\"\ncurent = \"1 A\"\nsupply = \"12 A\"\n"
	hazard := &fake{cautions: []string{design.CautionHazard, design.CautionMoves, design.CautionReset, design.CautionStuck, design.CautionTerminals, design.CautionLimits}}
	left := func() *Session {
		d := &diary{}
		m := keeping(t, d, &shelf{files: map[string]string{}}, nil, &fake{})
		press(m, "down", "ctrl+u", "0.5 AA")
		return d.last()
	}()
	for _, s := range []scene{
		{name: "start", keys: []string{"f8", "down", "down"}},
		{name: "blank", keys: []string{"f8", "down", "enter"}},
		{name: "measured", keys: []string{"f8", "down", "down", "enter", "15 ohm", "down", "down", "down", "down", "down", "down", "down", "down", "down", "down", "down", "12v", "up", "up", "up", "up", "up", "up", "up", "up", "up", "up", "up"}},
		{name: "more", keys: []string{"down", "down", "down", "down", "down", "down", "down", "down", "down", "down", "down", "down", "right", "down", "down", "down"}},
		{name: "broken", keys: []string{"f8", "enter", "b.toml", "enter"}, shelf: &shelf{files: map[string]string{"b.toml": broken}}},
		{name: "lose", keys: []string{"right", "f8", "down", "enter"}},
		{name: "full", keys: []string{"right", "f7", "a.toml", "enter"}, shelf: &shelf{files: map[string]string{}, fails: errors.New("the disk is full")}},
		{name: "back", session: left},
		{name: "words", keys: []string{"tab", "down", "down", "down", "enter", "w"}},
		{name: "help", keys: []string{"tab", "?"}},
		{name: "tour-1", tour: true},
		{name: "tour-3", tour: true, keys: []string{"enter", "enter"}},
		{name: "filters", keys: []string{"tab", "f", "right"}},
		{name: "hazard", ask: hazard, keys: []string{"tab", "enter"}},
		{name: "cautions", ask: hazard, keys: []string{"f2"}},
	} {
		album(t, s)
	}
}
