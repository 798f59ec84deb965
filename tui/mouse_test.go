package tui

import (
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
)

// at is where a text stands on the screen.
func at(t *testing.T, m *Model, text string) (x, y int) {
	t.Helper()
	for y, line := range strings.Split(m.View(), "\n") {
		if i := strings.Index(line, text); i >= 0 {
			return width(line[:i]), y
		}
	}
	t.Fatalf("%q is not on the screen:\n%s", text, m.View())
	return 0, 0
}

func clickOn(t *testing.T, m *Model, text string) {
	t.Helper()
	x, y := at(t, m, text)
	send(m, tea.MouseMsg{X: x, Y: y, Button: tea.MouseButtonLeft, Action: tea.MouseActionPress})
	send(m, tea.MouseMsg{X: x, Y: y, Button: tea.MouseButtonLeft, Action: tea.MouseActionRelease})
}

// A click goes to the row or the field where it is, a second one opens the row, and the
// wheel moves as the arrows do.
func TestMouse(t *testing.T) {
	for _, size := range [][2]int{{80, 24}, {120, 40}, {200, 60}} {
		m := open(t, &fake{}, size[0], size[1])
		if size[0] < twoPanes {
			press(m, "tab")
		}
		clickOn(t, m, "npn-80v-4a")
		if r := m.parts.row(); m.at != placeParts || r == nil || r.Part != "npn-80v-4a" {
			t.Fatalf("%v: at %s, %+v", size, m.at, r)
		}
		clickOn(t, m, "npn-80v-4a")
		if m.at != placeDesign || m.design.det == nil || m.design.det.Row.Part != "npn-80v-4a" {
			t.Fatalf("%v: a second click left %s", size, m.at)
		}
		press(m, "esc", "esc")
		clickOn(t, m, "inductance")
		if f := m.job.fields[m.job.at]; f.key != "inductance" {
			t.Errorf("%v: at field %s", size, f.path)
		}
		send(m, tea.MouseMsg{X: 5, Y: 9, Button: tea.MouseButtonWheelDown, Action: tea.MouseActionPress})
		was := m.job.at
		send(m, tea.MouseMsg{X: 5, Y: 9, Button: tea.MouseButtonWheelUp, Action: tea.MouseActionPress})
		if was-m.job.at != wheelLines || m.edited {
			t.Errorf("%v: the wheel moved by %d", size, was-m.job.at)
		}
		if size[0] >= twoPanes {
			continue
		}
		for _, field := range []string{"hottest air", "power"} { // below the fold, and above it again
			toField(t, m, map[string]string{"hottest air": "environment.ambient_max", "power": "load[0].kind"}[field])
			m.View()
			clickOn(t, m, field)
			if got := m.job.fields[m.job.at].label; !strings.Contains(got, field) {
				t.Errorf("clicked on %s, at %s", field, got)
			}
		}
		press(m, "f2")
		clickOn(t, m, "Cautions") // what lies over the panes is for keys
		if m.page.kind != pageCautions {
			t.Error("a click closed a page")
		}
	}
}
