package tui

import (
	"fmt"
	"io"
	"os"
	"os/signal"
	"syscall"

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

	Memory   Memory   // keeps the session; nil: nobody
	Tour     bool     // it was not seen yet
	Note     string   // told first; "": nothing
	Session  *Session // that was left midway, to go on with in place of Spec; nil: none
	OwnFile  string   // where parts of one's own are saved; "": nowhere
	OwnStore Store

	Keys    Keys   // of a person's own; nil: none
	ASCII   bool   // no character outside ASCII
	Colours int    // that the terminal has; less than 256: the sixteen
	Ground  Ground // what it writes on
	Mouse   bool   // it may be used, too
	NoColor bool   // no styling at all: signs and words say everything

	Asker Asker     // nil: the engine
	In    io.Reader // nil: standard input
	Out   io.Writer // nil: standard output
}

// Run opens the screen and returns when the person leaves it, or when something else
// ends it: then left is false, and the session as it stood is kept. An error is an
// internal fault, or a terminal that cannot be used.
func Run(opt Options) (left bool, err error) {
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
	how := []tea.ProgramOption{tea.WithAltScreen(), tea.WithInput(opt.In), tea.WithOutput(opt.Out)}
	if opt.Mouse {
		how = append(how, tea.WithMouseCellMotion())
	}
	program := tea.NewProgram(m, how...)
	defer quitWhen(program, syscall.SIGHUP)()
	_, err = program.Run()
	// After a fault the session that was kept before it is the better one.
	if !m.left && m.fault == nil && m.memory.to != nil {
		if kept := m.memory.to.Keep(m.session()); kept != nil && err == nil {
			err = fmt.Errorf("the session was not kept: %w", kept)
		}
	}
	if m.fault != nil {
		err = m.fault
	}
	return m.left, err
}

// quitWhen ends a program in order by a signal that the toolkit leaves to the system,
// which would end it on the spot: a window that is closed must not cost what was typed
// last. What it returns gives the signal back.
func quitWhen(program *tea.Program, by os.Signal) (stop func()) {
	came, over := make(chan os.Signal, 1), make(chan struct{})
	signal.Notify(came, by)
	go func() {
		select {
		case <-came:
			program.Quit()
		case <-over:
		}
	}()
	return func() {
		signal.Stop(came)
		close(over)
	}
}
