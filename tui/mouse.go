package tui

import (
	"slices"

	tea "github.com/charmbracelet/bubbletea"
)

// The mouse does nothing that keys do not do, and is off until it is asked for: while a
// program listens to it, most terminals select text only with Shift held.

// wheelLines is how far one notch of the wheel goes.
const wheelLines = 3

// mouse takes one event: the wheel moves as the arrows do, a click goes to what is there,
// and on the row where the cursor is already it opens the design.
func (m *Model) mouse(e tea.MouseMsg) tea.Cmd {
	if e.Action != tea.MouseActionPress {
		return nil
	}
	switch e.Button {
	case tea.MouseButtonWheelUp:
		return m.wheel(actUp)
	case tea.MouseButtonWheelDown:
		return m.wheel(actDown)
	case tea.MouseButtonLeft:
		return m.click(e.X, e.Y)
	}
	return nil
}

func (m *Model) wheel(act action) tea.Cmd {
	at := m.mode()
	i := slices.IndexFunc(m.table, func(b binding) bool { return b.mode == at && b.act == act })
	if i < 0 {
		return nil
	}
	var cmds []tea.Cmd
	for range wheelLines {
		cmds = append(cmds, m.press(at, m.table[i], true, tea.KeyMsg{}))
	}
	return tea.Batch(cmds...)
}

// click goes to the pane there, and in it to the row or field. What lies over the panes is
// for keys alone.
func (m *Model) click(x, y int) tea.Cmd {
	switch m.mode() {
	case modeJob, modeParts, modeDesign:
	default:
		return nil
	}
	for p := range numPlaces {
		r := m.rects.Panes[p]
		if x < r.X || x >= r.X+r.W || y < r.Y || y >= r.Y+r.H {
			continue
		}
		var cmd tea.Cmd
		if p != m.at {
			cmd = m.goTo(p)
		}
		m.note, m.noteGood = "", false
		switch p {
		case placeJob:
			m.job.click(y - r.Y)
		case placeParts:
			if m.parts.click(y-r.Y) && cmd == nil {
				at := slices.IndexFunc(m.table, func(b binding) bool { return b.mode == modeParts && b.act == actOpen })
				return m.press(modeParts, m.table[at], true, tea.KeyMsg{})
			}
			return tea.Batch(cmd, m.follow())
		}
		return cmd
	}
	return nil
}

// click moves the cursor to the field on a line of the pane as drawn last.
func (p *jobPane) click(line int) {
	if line += p.top; line >= 0 && line < len(p.lineOf) && line-p.top < p.height && p.lineOf[line] >= 0 {
		p.history.typing = ""
		p.focus(p.lineOf[line])
	}
}

// click moves the cursor to the row on a line of the pane as drawn last, and reports
// whether it was there already.
func (p *partsPane) click(line int) bool {
	i := line - p.above + p.top
	if line < p.above || line >= p.above+p.height || i >= len(p.shown.Rows) {
		return false
	}
	was := p.selected
	p.selected, p.chosen, p.note = p.shown.Rows[i].Key, true, ""
	return was == p.selected
}
