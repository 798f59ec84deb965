package tui

import (
	"fmt"
	"testing"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/pinhoist/catalog"
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
