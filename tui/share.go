package tui

import (
	"fmt"
	"io"
	"strings"
	"unicode"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"

	"example.org/pinhoist/internal/sheet"
)

// copiedMsg is what became of a wish to copy.
type copiedMsg struct {
	what string
	err  error
}

// copyText gives a text to the terminal's clipboard. A terminal does not say whether
// it took it. The sequence is one write, so that it never ends up inside a frame.
func copyText(out io.Writer, text, what string) tea.Cmd {
	return func() tea.Msg {
		_, err := io.WriteString(out, ansi.SetSystemClipboard(text))
		return copiedMsg{what, err}
	}
}

func (m *Model) copied(msg copiedMsg) {
	if msg.err != nil {
		m.note, m.noteGood = "not copied: "+clean(msg.err.Error()), false
		return
	}
	m.say("copied, if the terminal allows it: " + msg.what)
}

// copy gives what is at hand to the clipboard: on Parts the id of the part, on
// Design the sheet.
func (m *Model) copy() tea.Cmd {
	if m.at == placeParts {
		part := clean(m.parts.row().Part)
		return copyText(m.opt.Out, part, part)
	}
	text := m.sheetText(false)
	what := fmt.Sprintf("the sheet of %s, %d lines", clean(m.design.det.Row.Part), strings.Count(text, "\n"))
	return copyText(m.opt.Out, text, what)
}

// sheetText is the sheet of the design at hand.
func (m *Model) sheetText(markdown bool) string {
	doc := sheet.Sheet(m.design.input, m.design.det, sheet.SheetOptions{ASCII: m.opt.ASCII})
	if markdown {
		return doc.Markdown()
	}
	return doc.Text(sheet.Width, nil)
}

// export asks for the name of a file for the sheet, and offers one of load and part.
func (m *Model) export() {
	m.askName(nameSheet, fileName(m.loadName(), m.design.det.Row.Part)+".txt")
}

// fileName makes a name of words that every system takes as a file's: what is neither a
// letter nor a digit becomes a hyphen.
func fileName(words ...string) string {
	parts := strings.FieldsFunc(strings.Join(words, "-"), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
	name := strings.Join(parts, "-")
	if name == "" {
		return "sheet"
	}
	return ansi.Truncate(name, fileNameLimit, "")
}

// fileNameLimit is the columns of a name that is offered, fewer than any system takes.
const fileNameLimit = 60

// saveSheet writes the sheet of the design at hand, as Markdown where the name says so.
func (m *Model) saveSheet(name string) tea.Cmd {
	text := m.sheetText(strings.HasSuffix(strings.ToLower(name), ".md"))
	return write(m.keep.store, order{name: name, text: []byte(text)}, false)
}
