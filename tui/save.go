package tui

import (
	"bytes"
	"errors"
	"io/fs"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/pinhoist/internal/job"
)

// Store is where jobs are kept. Write replaces a file as a whole or leaves it as
// it was.
type Store interface {
	// Read returns what a file holds, an error that is fs.ErrNotExist where there
	// is none.
	Read(name string) ([]byte, error)
	Write(name string, text []byte) error
	// Comments reports whether a text holds remarks that a job written anew loses.
	Comments(text []byte) bool
}

// keeper is what is known of the file of the job.
type keeper struct {
	store  Store
	file   string // "": none yet
	disk   []byte // what it held when it was read or written last; nil: never seen
	naming naming // what the name that is being typed is for
	asking naming // what the name that was typed last was for
	name   string // as typed
	doubt  string // what speaks against writing; "": nothing is asked
	asked  order  // what waits for the answer
}

// naming is what a name is for.
type naming uint8

const (
	nameNone  naming = iota // no name is being typed
	nameSave                // of the file to save the job in
	nameSheet               // of the file for the sheet of a design
	nameOpen                // of a job to open
)

// order is one wish to write, with all it needs by value.
type order struct {
	name        string
	digest      string // of the job that the text is; "": it is a sheet
	text, known []byte
}

// savedMsg is what became of an order.
type savedMsg struct {
	order
	doubts []string // it was not written, for these reasons
	err    error
}

// write does an order in the background. Unless sure it first looks what would be
// lost.
func write(store Store, o order, sure bool) tea.Cmd {
	return func() tea.Msg {
		old, err := store.Read(o.name)
		there := err == nil
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			return savedMsg{order: o, err: err}
		}
		if there && !sure {
			if doubts := doubtsOf(store, old, &o); len(doubts) > 0 {
				return savedMsg{order: o, doubts: doubts}
			}
		}
		return savedMsg{order: o, err: store.Write(o.name, o.text)}
	}
}

// doubtsOf says what would be lost of a file that is there.
func doubtsOf(store Store, old []byte, o *order) []string {
	var doubts []string
	switch {
	case o.known == nil:
		doubts = append(doubts, "it is there already")
	case !bytes.Equal(old, o.known):
		doubts = append(doubts, "it was changed by someone else meanwhile")
	}
	if o.digest != "" && store.Comments(old) {
		doubts = append(doubts, "its comments will be gone")
	}
	return doubts
}

// save writes the job to its file, or asks for a name.
func (m *Model) save() tea.Cmd {
	m.leaving, m.wanted = false, nil
	if _, bad := m.job.unread(); bad || m.keep.store == nil || m.keep.file == "" {
		m.saveUnder()
		return nil
	}
	return m.saveAs(m.keep.file, m.keep.disk)
}

// saveUnder asks for the name of a file to save the job in.
func (m *Model) saveUnder() {
	switch why, bad := m.job.unread(); {
	case m.keep.store == nil:
		m.note = "there is nowhere to save to"
		return
	case bad:
		m.note = "not saved: " + why + "; mend it or undo it first"
		return
	}
	m.askName(nameSave, m.keep.file)
}

// askName asks for the name of a file; what was typed for the same purpose before stands
// there where there is nothing better to offer.
func (m *Model) askName(what naming, offer string) {
	if what == nameOpen || m.keep.asking != what || offer != "" {
		m.keep.name = offer
	}
	m.keep.naming, m.keep.asking = what, what
}

func (m *Model) saveAs(name string, known []byte) tea.Cmd {
	o := order{name: name, digest: job.Digest(m.job.spec), text: job.Encode(m.job.spec), known: known}
	return write(m.keep.store, o, false)
}

// saved takes what became of an order.
func (m *Model) saved(msg savedMsg) {
	m.noteGood = false
	switch {
	case msg.err != nil:
		m.note = "not saved in " + clean(msg.name) + ": " + missing(msg.err)
		if msg.digest != "" {
			m.note += ". Nothing is lost; " + m.label(actSaveAs) + " saves it elsewhere"
		}
	case len(msg.doubts) > 0:
		m.keep.doubt, m.keep.asked = strings.Join(msg.doubts, ", and "), msg.order
	case msg.digest == "":
		m.say("the sheet is in " + clean(msg.name))
	default:
		m.keep.file, m.keep.disk = msg.name, msg.text
		m.first = msg.digest
		m.edited = job.Digest(m.job.spec) != m.first
		m.say("saved in " + clean(msg.name))
	}
}

// nameKey takes one key of the name of a file.
func (m *Model) nameKey(act action, k tea.KeyMsg) tea.Cmd {
	q := &m.keep
	switch act {
	case actClose:
		q.naming = nameNone
	case actEnter:
		name := strings.TrimSpace(q.name)
		if name == "" {
			return nil
		}
		was := q.naming
		q.naming = nameNone
		switch {
		case was == nameSheet:
			return m.saveSheet(name)
		case was == nameOpen:
			return readJob(q.store, name)
		case name == q.file:
			return m.saveAs(name, q.disk)
		}
		return m.saveAs(name, nil)
	case actClear:
		q.name = ""
	case actNone:
		q.name = typedInto(q.name, k, nameLimit)
	}
	return nil
}

// doubtKey takes the answer to a doubt.
func (m *Model) doubtKey(act action) tea.Cmd {
	o := m.keep.asked
	switch act {
	case actYes:
		m.keep.doubt, m.keep.asked = "", order{}
		return write(m.keep.store, o, true)
	case actNo:
		m.keep.doubt, m.keep.asked = "", order{}
		m.note = "not saved"
	}
	return nil
}

// typedInto is a text of one line after a key was typed at its end.
func typedInto(text string, k tea.KeyMsg, limit int) string {
	runes := []rune(text)
	switch k.Type {
	case tea.KeyBackspace:
		if len(runes) > 0 {
			return string(runes[:len(runes)-1])
		}
	case tea.KeySpace:
		if len(runes) < limit {
			return text + " "
		}
	case tea.KeyRunes:
		if more := oneLine(string(k.Runes)); !k.Alt && len(runes)+len([]rune(more)) <= limit {
			return text + more
		}
	}
	return text
}

// oneLine is a text, pasted perhaps, as it goes into one line: an end of a line is a
// blank, and at its end nothing.
func oneLine(text string) string {
	return clean(strings.NewReplacer("\r\n", " ", "\n", " ", "\r", " ", "\t", " ").Replace(strings.TrimRight(text, "\r\n")))
}

// missing is an error of a file in words.
func missing(err error) string {
	if errors.Is(err, fs.ErrNotExist) {
		return "there is no such file or folder"
	}
	return clean(err.Error())
}

func (q *keeper) prompt() string {
	switch q.naming {
	case nameSheet:
		return "sheet into file: "
	case nameOpen:
		return "open file: "
	}
	return "save in file: "
}
