package tui

import (
	"bytes"
	"fmt"
	"maps"
	"slices"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/job"
)

// Session is where a person is, as plain data: enough to come back to it after a
// crash. Edits that could be undone are not in it.
type Session struct {
	Job    string // as edited, a file; as text, so that a person can save it from a broken session
	File   string // it is saved in; "": none
	Disk   []byte // what File held when it was read or written last
	Digest string // of the job as saved or opened; another one than Job's: it was edited

	Raw   map[string]string // texts of fields that cannot be taken, by path
	Aside map[string]string // figures of other kinds of load, by path

	Place, Load int
	Field       string // path of the field at the cursor
	Row         string // key of the design at the cursor
	Chosen      bool   // a person put the cursor there
	View        engine.View
	Cost        string // the filter, as typed
}

// Memory keeps the session and what was shown once. Its methods may be called from any
// goroutine.
type Memory interface {
	// Keep replaces the session that is kept, as a whole.
	Keep(Session) error
	// TourDone notes that the tour was seen.
	TourDone() error
}

// memory is what the screen knows of the keeping of its session.
type memory struct {
	to      Memory            // nil: nothing is kept
	changed bool              // since the last keeping began
	busy    bool              // one is waited for or under way
	failed  string            // what went wrong last
	raw     map[string]string // of a session, to be put back
	disk    []byte            // what stands in the file instead of what was read; nil: nothing else
}

// keepMsg says that it is time to keep the session.
type keepMsg struct{}

// keptMsg is what became of it, and of the file meanwhile.
type keptMsg struct {
	err  error
	file string
	disk []byte // what the file holds now; nil: unknown
	tour bool   // it was of the tour, not of the session
}

// session is where the person is now.
func (m *Model) session() Session {
	s := Session{Job: string(job.Encode(m.job.spec)), File: m.keep.file, Disk: m.keep.disk, Digest: m.first,
		Raw: map[string]string{}, Aside: maps.Clone(m.job.aside),
		Place: int(m.at), Load: m.load, Row: m.parts.selected, Chosen: m.parts.chosen, View: m.parts.view, Cost: m.parts.filter.cost}
	for i := range m.job.fields {
		f := &m.job.fields[i]
		if f.err != "" {
			s.Raw[f.path] = f.text
		}
		if i == m.job.at {
			s.Field = f.path
		}
	}
	return s
}

// takeUp goes on where a session was left. What it holds may be of another version, or
// written by anyone: what makes no sense is passed over, and a job that cannot be read
// leaves the screen as it is.
func (m *Model) takeUp(s *Session) error {
	spec, errs := job.Decode("session", []byte(s.Job))
	if errs.Fatal() || spec == nil || len(spec.Loads) == 0 {
		return fmt.Errorf("its job cannot be read")
	}
	m.keep.file, m.keep.disk, m.first = s.File, s.Disk, s.Digest
	m.job = newJobPane(spec, m.policies, m.st)
	for path, text := range s.Aside {
		if _, ok := job.Get(spec, path); ok {
			m.job.aside[path] = text
		}
	}
	m.load = max(min(s.Load, len(spec.Loads)-1), 0)
	m.job.setLoad(m.load)
	m.memory.raw = s.Raw
	m.job.reveal(s.Field)
	m.at = max(min(place(s.Place), numPlaces-1), 0)
	m.parts.view, m.parts.selected, m.parts.chosen, m.parts.filter.cost = s.View, s.Row, s.Chosen, s.Cost
	if !slices.ContainsFunc(orders, func(o struct {
		order engine.Order
		text  string
	}) bool {
		return o.order == s.View.Order
	}) {
		m.parts.view.Order = engine.ByCost
	}
	what := "the job"
	if s.File != "" {
		what = clean(s.File)
	}
	m.say("back where " + what + " was left; " + m.label(actStart) + " opens another")
	return nil
}

// putBack puts texts that cannot be taken back into their fields. The job without them
// was asked about before, so that the screen has the answer before the last edit.
func (m *Model) putBack() {
	at := ""
	if m.job.at < len(m.job.fields) {
		at = m.job.fields[m.job.at].path
	}
	for _, path := range slices.Sorted(maps.Keys(m.memory.raw)) {
		if m.job.reveal(path) && m.job.fields[m.job.at].hides == nil {
			m.job.take(m.memory.raw[path])
		}
	}
	m.memory.raw = nil
	m.job.focusPath(at)
	if why, bad := m.job.unread(); bad {
		m.blocked, m.edited = why, true
	}
}

// remember asks for the session to be kept in a moment, where there is something to keep
// it with. Until that has happened it is asked for only once.
func (m *Model) remember() tea.Cmd {
	if m.memory.to == nil {
		return nil
	}
	m.memory.changed = true
	if m.memory.busy {
		return nil
	}
	m.memory.busy = true
	return m.keepLater()
}

// keepNow keeps the session in the background, and looks what became of the file.
func (m *Model) keepNow() tea.Cmd {
	m.memory.changed = false
	to, s, store := m.memory.to, m.session(), m.keep.store
	return func() tea.Msg {
		msg := keptMsg{err: to.Keep(s), file: s.File}
		if store != nil && s.File != "" {
			if text, err := store.Read(s.File); err == nil {
				msg.disk = append([]byte{}, text...)
			}
		}
		return msg
	}
}

// kept takes what became of it. A fault is told once, not at every key.
func (m *Model) kept(msg keptMsg) tea.Cmd {
	if msg.tour {
		if msg.err != nil {
			m.note, m.noteGood = "the tour will come again, for that it was seen cannot be kept: "+missing(msg.err), false
		}
		return nil
	}
	m.memory.busy = false
	why := ""
	if msg.err != nil {
		why = missing(msg.err)
	}
	if why != m.memory.failed && why != "" {
		m.note, m.noteGood = "the session cannot be kept: "+why+". A crash would lose what is not saved", false
	}
	m.memory.failed = why
	if m.memory.changed {
		m.memory.changed = false
		return m.remember()
	}
	m.lookedAt(msg.file, msg.disk)
	return nil
}

// lookedAt tells once that the file of the job is not any more what was read of it.
func (m *Model) lookedAt(file string, disk []byte) {
	switch {
	case disk == nil || file != m.keep.file || m.keep.disk == nil:
	case bytes.Equal(disk, m.keep.disk):
		m.memory.disk = nil
	case m.memory.disk == nil || !bytes.Equal(disk, m.memory.disk):
		m.memory.disk = disk
		m.note, m.noteGood = clean(file)+" was changed on the disk by someone else. "+m.label(actStart)+" opens it anew; "+m.label(actSave)+" asks before it writes over it", false
	}
}
