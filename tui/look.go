package tui

import (
	"context"
	"errors"
	"fmt"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/sheet"
)

// A look is a view over the panes that shows a design in one particular way: swept,
// driven, broken on paper, in margins, beside others. It asks the engine aside; an
// answer to an older question is dropped.

// Looker is whom the views ask, beside Asker.
type Looker interface {
	Sweep(ctx context.Context, in *engine.Input, key string, ask engine.SweepAsk) (*engine.Swept, error)
	Drive(ctx context.Context, in *engine.Input, key string) (*engine.Driven, error)
	Breaks(ctx context.Context, in *engine.Input, key string) ([]engine.Break, error)
}

func (theEngine) Sweep(ctx context.Context, in *engine.Input, key string, ask engine.SweepAsk) (*engine.Swept, error) {
	return engine.Sweep(ctx, in, key, ask)
}

func (theEngine) Drive(ctx context.Context, in *engine.Input, key string) (*engine.Driven, error) {
	return engine.Drive(ctx, in, key)
}

func (theEngine) Breaks(ctx context.Context, in *engine.Input, key string) ([]engine.Break, error) {
	return engine.Breaks(ctx, in, key)
}

// lookedMsg is the answer to question seq of a look.
type lookedMsg struct {
	seq    int
	answer any // *engine.Swept, *engine.Driven, []engine.Break, []*engine.Detailed
	err    error
}

// look is the state of the view that is open.
type look struct {
	key    string // of the design
	input  *engine.Input
	seq    int
	cancel context.CancelFunc
	failed string

	sweep   sweepView
	drive   driveView
	breaks  breakView
	compare compareView
	margins marginView
}

// isLook reports whether a page is a look, and which mode its keys have.
func (k pageKind) isLook() (mode, bool) {
	switch k {
	case pageSweep:
		return modeSweep, true
	case pageDrive:
		return modeDrive, true
	case pageBreaks:
		return modeBreaks, true
	case pageCompare:
		return modeCompare, true
	case pageMargins:
		return modeMargins, true
	}
	return 0, false
}

// openLook opens a view of the design at the cursor.
func (m *Model) openLook(kind pageKind) tea.Cmd {
	m.page.open(kind, nil)
	row := m.parts.row()
	if row == nil || m.input == nil {
		m.page.kind = pageNone
		return nil
	}
	m.look.key, m.look.input = row.Key, m.input
	switch kind {
	case pageSweep:
		m.look.sweep.reset()
		return m.askSweep()
	case pageDrive:
		m.look.drive = driveView{}
		return m.askLook(func(ctx context.Context, ask Looker, in *engine.Input, key string) (any, error) {
			return ask.Drive(ctx, in, key)
		})
	case pageBreaks:
		m.look.breaks = breakView{}
		return m.askLook(func(ctx context.Context, ask Looker, in *engine.Input, key string) (any, error) {
			return ask.Breaks(ctx, in, key)
		})
	case pageCompare:
		m.look.compare = compareView{}
		return m.askCompare()
	}
	m.look.margins = marginView{}
	return nil
}

func (m *Model) askSweep() tea.Cmd { return m.askSweepOf(m.look.sweep.ask()) }

func (m *Model) askSweepOf(of engine.SweepAsk) tea.Cmd {
	return m.askLook(func(ctx context.Context, ask Looker, in *engine.Input, key string) (any, error) {
		return ask.Sweep(ctx, in, key, of)
	})
}

// askLook asks one question of the open view; the one before it is cancelled.
func (m *Model) askLook(what func(context.Context, Looker, *engine.Input, string) (any, error)) tea.Cmd {
	m.endLook()
	asker, ok := m.ask.(Looker)
	if !ok {
		m.look.failed = "there is nobody to ask for this"
		return nil
	}
	ctx, cancel := context.WithCancel(context.Background())
	m.look.cancel, m.look.failed = cancel, ""
	seq, in, key := m.look.seq, m.look.input, m.look.key
	return func() (msg tea.Msg) {
		defer func() {
			if p := recover(); p != nil {
				msg = lookedMsg{seq: seq, err: faultOf(p)}
			}
		}()
		answer, err := what(ctx, asker, in, key)
		return lookedMsg{seq: seq, answer: answer, err: err}
	}
}

// endLook cancels what the view is asking; its answer will be dropped.
func (m *Model) endLook() {
	m.look.seq++
	if m.look.cancel != nil {
		m.look.cancel()
	}
	m.look.cancel = nil
}

// dropLook closes a view of a design whose job has changed under it.
func (m *Model) dropLook() {
	if _, looking := m.page.kind.isLook(); looking {
		m.page.kind = pageNone
	}
	m.endLook()
}

// looked takes an answer, unless it is to an older question.
func (m *Model) looked(msg lookedMsg) {
	if msg.seq != m.look.seq || errors.Is(msg.err, context.Canceled) {
		return
	}
	m.look.cancel = nil
	if msg.err != nil {
		m.look.failed = clean(msg.err.Error())
		return
	}
	switch a := msg.answer.(type) {
	case *engine.Swept:
		m.look.sweep.set(a)
	case *engine.Driven:
		m.look.drive.set(a)
	case []engine.Break:
		m.look.breaks.set(a)
	case []*engine.Detailed:
		m.look.compare.set(a)
	}
}

// lookKey takes one key of a view.
func (m *Model) lookKey(act action) tea.Cmd {
	if act == actClose {
		m.endLook()
		m.page.kind = pageNone
		return m.follow()
	}
	switch m.page.kind {
	case pageSweep:
		if m.look.sweep.Key(act) {
			return m.askSweep()
		}
	case pageDrive:
		m.look.drive.Key(act)
	case pageBreaks:
		if act == actTry {
			return m.buildBreak()
		}
		m.look.breaks.Key(act)
	case pageCompare:
		m.look.compare.Key(act)
	case pageMargins:
		m.look.margins.Key(act, m.design.det)
	}
	return nil
}

// lookView draws the open view on w by h cells.
func (m *Model) lookView(w, h int) []string {
	l := &m.look
	if l.failed != "" {
		return window(wrapAt(" ", l.failed, w), 0, h)
	}
	var lines []string
	switch m.page.kind {
	case pageSweep:
		lines = l.sweep.View(m.st, w, h)
	case pageDrive:
		lines = l.drive.View(m.st, w, h)
	case pageBreaks:
		lines = l.breaks.View(m.st, w, h)
	case pageCompare:
		lines = l.compare.View(m.st, w, h)
	case pageMargins:
		lines = l.margins.View(m.st, m.design.det, w, h)
	}
	if lines == nil {
		lines = []string{" asking ..."}
	}
	for i := range lines {
		lines[i] = clip(lines[i], w)
	}
	return window(lines, 0, h)
}

// build states the design at hand as built in the job, or takes that out again.
func (m *Model) build() tea.Cmd {
	if m.job.spec.Loads[m.load].Built != nil {
		return m.setBuilt(nil, "as built: taken out of the job")
	}
	det := m.design.det
	if det == nil || det.Design == nil {
		m.note = "there is no design to state as built: open one first"
		return nil
	}
	return m.setBuilt(engine.BuiltOf(det.Design), "as built: "+clean(det.Design.Part)+"; "+builtEdits)
}

// builtEdits is what can be done with a stage as built.
const builtEdits = "Job has it, field by field, and undo takes it back"

// buildBreak states the stage with the change at the cursor as built in the job, and
// goes where it can be edited on.
func (m *Model) buildBreak() tea.Cmd {
	v := &m.look.breaks
	if v.at >= len(v.got) {
		return nil
	}
	b := &v.got[v.at]
	if b.Built == nil {
		m.note = "a job cannot state this change: it is on paper alone"
		return nil
	}
	return tea.Batch(m.setBuilt(b.Built, "as built: "+sheet.ChangeText(b)+"; "+builtEdits), m.goTo(placeJob))
}

// setBuilt puts a stage as built into the job, or takes it out; one edit, undone as one.
func (m *Model) setBuilt(built *job.Built, said string) tea.Cmd {
	load := m.load
	m.job.edit(func() bool {
		m.job.spec = job.Clone(m.job.spec)
		if built != nil {
			own := *built // the answer it comes from is not ours to edit
			built = &own
		}
		m.job.spec.Loads[load].Built = built
		m.job.rebuild()
		if built != nil {
			m.job.reveal(fmt.Sprintf("load[%d].built.topology", load))
		}
		return true
	})
	m.say(said)
	return m.question()
}

// offLook says why a view cannot be opened now, "" where it can.
func (m *Model) offLook(act action) string {
	shown := m.design.det != nil && m.design.input == m.input
	switch {
	case act == actBuild && m.load < len(m.job.spec.Loads) && m.job.spec.Loads[m.load].Built != nil:
		return ""
	case m.blocked != "":
		return "mend the job first, " + m.blocked
	case m.waiting:
		return "there is no answer to the job as it stands yet"
	case m.parts.row() == nil:
		return "there is no row"
	case act == actCompare && len(m.parts.compared()) < fewestCompared:
		return "mark another row with m on Parts"
	case act == actBuild && (!shown || m.design.det.Row.Key != m.parts.row().Key):
		return "open a design first"
	case (act == actBands || act == actMargins) && !shown:
		return "there is no design of the job as it stands"
	}
	return ""
}

// titleOf says which design a view is of.
func (l *look) titleOf(kind pageKind) string {
	if _, ok := kind.isLook(); !ok || kind == pageCompare {
		return ""
	}
	_, name, _ := strings.Cut(l.key, "/")
	part, way, _ := strings.Cut(name, "/")
	return ": " + clean(part) + " as " + sheet.UsedAs(way)
}
