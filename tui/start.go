package tui

import (
	"fmt"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/source"
)

// opening is a job that takes the place of the one on the screen.
type opening struct {
	spec  *job.Spec
	file  string // "": it is in none yet
	text  []byte // what the file held
	field string // the field that is to be filled in first; "": the first one
	said  string // told once it is there
}

// startList is the page of what a job can start from.
type startList struct {
	entries []startEntry
	at      int
}

// startEntry is one line of it.
type startEntry struct {
	label, text string
	ask         bool // for the name of a file
	open        opening
}

// measuredPath is the field that a measured coil is typed into.
const measuredPath = "load[0].resistance"

// startPoints lists what a job can start from.
func startPoints() startList {
	measured := job.Blank()
	measured.Loads[0].Name, measured.Loads[0].Kind = "coil", string(job.Solenoid)
	l := startList{entries: []startEntry{
		{label: "a file", text: "a job that was saved, by its name", ask: true},
		{label: "nothing", text: "an empty job: a load on a supply, its figures to be stated", open: opening{spec: job.Blank(), said: "an empty job: state what the load takes"}},
		{label: "a measurement", text: "a coil whose resistance was measured and whose voltage is on its label",
			open: opening{spec: measured, field: measuredPath, said: "type what the meter read, such as 15 ohm, and the label's voltage below"}},
	}}
	for _, b := range job.BuiltIns() {
		l.entries = append(l.entries, startEntry{label: b.Name, text: clean(b.Spec.Title) + ": " + kindsOf(b.Spec),
			open: opening{spec: b.Spec, said: "the built-in job " + b.Name}})
	}
	return l
}

// kindsOf says what the loads of a job are.
func kindsOf(spec *job.Spec) string {
	var words []string
	for i := range spec.Loads {
		info, _ := job.Info(job.Kind(spec.Loads[i].Kind))
		words = append(words, clean(spec.Loads[i].Name)+" ("+info.Text+")")
	}
	return strings.Join(words, "; ")
}

func (l *startList) items() []pageItem {
	items := []pageItem{{"", "What shall the job start from? Enter opens it; what is not saved is asked for first."}, {}}
	for i := range l.entries {
		label := "  "
		if i == l.at {
			label = "> "
		}
		items = append(items, pageItem{label + l.entries[i].label, l.entries[i].text})
	}
	return items
}

// openStart shows the page.
func (m *Model) openStart() {
	m.starts = startPoints()
	m.page.open(pageStart, m.starts.items())
}

// startKey takes one key of the page.
func (m *Model) startKey(act action) tea.Cmd {
	l := &m.starts
	l.at = within(moved(l.at, len(l.entries), act), len(l.entries))
	switch act {
	case actClose:
		m.page.kind = pageNone
		return nil
	case actEnter:
		m.page.kind = pageNone
		e := &l.entries[l.at]
		if !e.ask {
			return m.wantOpen(e.open)
		}
		if m.keep.store == nil {
			m.note = "there are no files to open"
			return nil
		}
		m.askName(nameOpen, m.keep.file) // for one that was changed meanwhile
		return nil
	}
	m.page.items = l.items()
	m.page.show = l.at + 2 // below the preface
	return nil
}

// wantOpen opens a job, and asks first where edits would be lost.
func (m *Model) wantOpen(o opening) tea.Cmd {
	if m.edited {
		m.wanted = &o
		return nil
	}
	return m.adopt(o)
}

// loseKey takes the answer to the question before an edited job gives way to another.
func (m *Model) loseKey(act action) tea.Cmd {
	o := m.wanted
	m.wanted = nil
	switch act {
	case actYes:
		return m.adopt(*o)
	case actNo:
	default:
		m.wanted = o
	}
	return nil
}

// adopt puts another job on the screen.
func (m *Model) adopt(o opening) tea.Cmd {
	m.stop()
	m.keep.file, m.keep.disk = o.file, o.text
	spec := job.Clone(o.spec)
	m.first = job.Digest(spec)
	m.job = newJobPane(spec, m.policies, m.st)
	m.load, m.result, m.told = 0, nil, map[string]bool{}
	m.parts.selected, m.parts.chosen, m.parts.note = "", false, ""
	m.parts.setResult(nil)
	m.design.fail("")
	m.detailFor, m.detailInput = "", nil
	m.wanted, m.page.kind, m.at = nil, pageNone, placeJob
	m.job.focusPath(o.field)
	m.say(o.said)
	return tea.Batch(m.relayout(), m.question())
}

// focusPath moves the cursor to a field; it stays where there is none.
func (p *jobPane) focusPath(path string) {
	for i := range p.fields {
		if p.fields[i].path == path {
			p.focus(i)
		}
	}
}

// openedMsg is what became of a wish to open a file.
type openedMsg struct {
	name string
	text []byte
	err  error
}

// readJob reads a file in the background.
func readJob(store Store, name string) tea.Cmd {
	return func() tea.Msg {
		text, err := store.Read(name)
		return openedMsg{name, text, err}
	}
}

// opened takes a file that was read. One that cannot be read whole is not opened:
// saved again it would lose what was not understood.
func (m *Model) opened(msg openedMsg) tea.Cmd {
	if msg.err != nil {
		m.note = "not opened, " + clean(msg.name) + ": " + missing(msg.err)
		return nil
	}
	spec, errs := job.Decode(msg.name, msg.text)
	if errs.Fatal() || spec == nil {
		m.page.open(pageErrors, errorItems(msg.name, errs))
		return nil
	}
	if len(spec.Loads) == 0 { // the form is of a load
		spec.Loads = job.Blank().Loads
	}
	o := opening{spec: spec, file: msg.name, text: msg.text, said: "opened " + clean(msg.name)}
	if m.edited && msg.name == m.keep.file {
		o.said = "opened " + clean(msg.name) + " anew"
	}
	return m.wantOpen(o)
}

// errorItems tells what is wrong with a file, a line each.
func errorItems(name string, errs source.Errors) []pageItem {
	items := []pageItem{{"", fmt.Sprintf("%s was not opened: it holds what cannot be read, and would lose it when it is saved. Mend it and open it again.", clean(name))}, {}}
	for _, e := range errs {
		if !e.Warning {
			items = append(items, pageItem{"x", clean(e.Error())})
		}
	}
	return items
}
