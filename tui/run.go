package tui

import (
	"io"
	"os"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/job"
)

// Options are what the screen opens on.
type Options struct {
	Spec       *job.Spec // the job to begin with; not changed
	Catalog    *catalog.Catalog
	Policy     *catalog.Policy   // in place of the one that the job names; nil: the job's
	Policies   []*catalog.Policy // to choose from; nil: those that come with the program
	Topologies []string          // ids, for a stage as built

	Store Store  // where jobs are saved; nil: nowhere
	File  string // of the job; "": it has none yet
	Text  []byte // what File held when it was read

	Keys    Keys // of a person's own; nil: none
	ASCII   bool // no character outside ASCII
	NoColor bool // no styling at all: signs and words say everything

	Asker Asker     // nil: the engine
	In    io.Reader // nil: standard input
	Out   io.Writer // nil: standard output
}

// Run opens the screen and returns when the person leaves it. An error is an
// internal fault, or a terminal that cannot be used.
func Run(opt Options) error {
	if opt.Policies == nil {
		opt.Policies = catalog.Policies()
	}
	if opt.In == nil {
		opt.In = os.Stdin
	}
	if opt.Out == nil {
		opt.Out = os.Stdout
	}
	m := New(opt)
	defer m.stop()
	_, err := tea.NewProgram(m, tea.WithAltScreen(), tea.WithInput(opt.In), tea.WithOutput(opt.Out)).Run()
	if m.fault != nil {
		return m.fault
	}
	return err
}
