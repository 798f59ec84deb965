// Package tui is the screen: three places in one line, Job, Parts and Design. It
// lays out, routes keys and asks the engine; it computes nothing of a circuit.
//
// Messages, who sends them and who takes them:
//
//	tea.WindowSizeMsg  the toolkit   Model.resize: the one place sizes are set
//	tea.KeyMsg         the toolkit   Model.key: split, looked up, given to the mode at hand
//	tea.MouseMsg       the toolkit   Model.mouse: only where it was asked for
//	assessedMsg        assess        Model.assessed: a shortlist, dropped if its seq is old
//	detailedMsg        detail        Model.detailed: a design, dropped if its seq is old
//	savedMsg           write         Model.saved: what became of a wish to save
//	copiedMsg          copyText      Model.copied: what became of a wish to copy
//	openedMsg          readJob       Model.opened: what became of a wish to open a file
//	keepMsg            a clock       Model.keepNow: it is time to keep the session
//	keptMsg            keepNow       Model.kept: what became of that, and of the job's file
//	lookedMsg          askLook       Model.looked: what a view asked for, dropped if its seq is old
//	ownMsg             judgeOwn      Model.judged: a part of one's own, dropped if its seq is old
//	ownSavedMsg        writeOwn      Model.ownSaved: what became of a wish to save that part
//	slowMsg            later         Model.Update: the shortlist shown is marked as old
//
// Panes get keys from the Model and answer with plain values; no pane knows
// another one. A command holds copies of all it needs.
package tui

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/muesli/termenv"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/job"
)

// assessedMsg is the answer to question seq.
type assessedMsg struct {
	seq    int
	result *engine.Result
	err    error
}

// detailedMsg is the answer to question seq about one design.
type detailedMsg struct {
	seq      int
	key      string
	detailed *engine.Detailed
	err      error
}

// slowMsg says that question seq has waited for a while.
type slowMsg struct{ seq int }

// Model is the whole screen. It routes and lays out only.
type Model struct {
	opt Options
	ask Asker
	st  *styles

	table []binding // the keys in force

	width, height int
	rects         Rects
	at            place
	leaving       bool
	keep          keeper
	told          map[string]bool // cautions that were told in full
	note          string          // told until the next key
	noteGood      bool            // it is no warning
	page          page
	fixes         fixList   // while its page is open
	starts        startList // while its page is open
	wanted        *opening  // what would take the place of unsaved edits; nil: nothing is asked
	look          look      // the view of a design that is or was open

	job    *jobPane
	parts  *partsPane
	design *designPane
	own    ownForm

	policies []string // that a job may name

	load   int
	first  string // digest of the job when the program began
	edited bool

	input   *engine.Input // of the newest question; nil while the job has an error
	seq     int
	cancel  context.CancelFunc
	waiting bool
	slow    bool
	blocked string // why there is no newer question
	failed  string // what the engine said to the newest question
	result  *engine.Result

	detailSeq    int
	detailCancel context.CancelFunc
	detailFor    string // key that the newest question about a design is for
	detailInput  *engine.Input

	later func(seq int) tea.Cmd // a clock; tests have none

	tour      tour
	memory    memory
	keepLater func() tea.Cmd // a clock; tests have none
	left      bool           // the person left; else the session is still wanted

	fault error // an internal one, which ends the program
}

// New makes a screen. Options.Spec is not changed.
func New(opt Options) *Model {
	profile := termenv.ANSI
	switch {
	case opt.NoColor:
		profile = termenv.Ascii
	case opt.Colours >= 1<<24:
		profile = termenv.TrueColor
	case opt.Colours >= 256:
		profile = termenv.ANSI256
	}
	m := &Model{told: map[string]bool{}, keep: keeper{store: opt.Store, file: opt.File, disk: opt.Text}, opt: opt, ask: opt.Asker, st: newStyles(profile, opt.Ground), later: later, table: bindings}
	if own, wrong := rebind(opt.Keys); len(wrong) == 0 {
		m.table = own
	} else {
		m.note = "own keys not taken, " + wrong[0]
	}
	if m.ask == nil {
		m.ask = theEngine{}
	}
	spec := job.Clone(opt.Spec)
	policies := make([]string, 0, len(opt.Policies)+1)
	for _, p := range opt.Policies {
		policies = append(policies, p.Name)
	}
	if p := opt.Policy; p != nil {
		spec.Policy.Name = p.Name
		if !slices.Contains(policies, p.Name) {
			policies = append(policies, p.Name)
		}
	}
	m.first = job.Digest(spec)
	m.policies = policies
	m.job = newJobPane(spec, policies, m.st)
	currency := ""
	if opt.Catalog != nil {
		currency = opt.Catalog.Currency
	}
	m.parts = newPartsPane(m.ask, currency, m.st)
	m.parts.fixKey = m.labelIn(modeDesign, actFixes)
	m.design = newDesignPane(opt.ASCII, m.st)
	m.memory.to, m.keepLater = opt.Memory, keepLater
	if opt.Session != nil {
		if err := m.takeUp(opt.Session); err != nil {
			m.note = "the last session is not taken up: " + err.Error()
		}
	}
	m.tour.on = opt.Tour && opt.Session == nil
	if opt.Note != "" {
		m.note, m.noteGood = clean(opt.Note), false
	}
	return m
}

// Init asks the first question.
func (m *Model) Init() tea.Cmd {
	cmd := m.question()
	if m.memory.raw != nil {
		m.putBack()
	}
	return tea.Batch(cmd, m.remember())
}

// Update takes one message. A fault of our own ends the program in order.
func (m *Model) Update(msg tea.Msg) (_ tea.Model, cmd tea.Cmd) {
	defer func() {
		if p := recover(); p != nil {
			m.fault, cmd = faultOf(p), tea.Quit
		}
	}()
	if m.fault != nil {
		return m, tea.Quit
	}
	switch msg := msg.(type) {
	case tea.WindowSizeMsg:
		m.width, m.height = max(msg.Width, 0), max(msg.Height, 0)
		return m, m.relayout()
	case tea.KeyMsg:
		cmd := m.keys(msg)
		return m, tea.Batch(cmd, m.remember())
	case tea.MouseMsg:
		cmd := m.mouse(msg)
		return m, tea.Batch(cmd, m.remember())
	case assessedMsg:
		return m, m.assessed(msg)
	case detailedMsg:
		m.detailed(msg)
	case lookedMsg:
		m.looked(msg)
	case savedMsg:
		m.saved(msg)
	case ownMsg:
		return m, m.judged(msg)
	case ownSavedMsg:
		return m, m.ownSaved(msg)
	case copiedMsg:
		m.copied(msg)
	case keepMsg:
		return m, m.keepNow()
	case keptMsg:
		return m, m.kept(msg)
	case openedMsg:
		return m, m.opened(msg)
	case slowMsg:
		m.slow = m.slow || msg.seq == m.seq && m.waiting
	}
	return m, nil
}

// relayout gives every pane its place.
func (m *Model) relayout() tea.Cmd {
	m.rects = Layout(m.width, m.height, m.at)
	if r := m.rects.Panes[placeDesign]; !r.Empty() {
		m.design.setSize(r.W, r.H)
	}
	return m.follow()
}

// mode is what keys mean now.
func (m *Model) mode() mode {
	look, looking := m.page.kind.isLook()
	switch {
	case m.leaving:
		return modeLeave
	case m.tour.on:
		return modeTour
	case m.keep.doubt != "":
		return modeDoubt
	case m.wanted != nil:
		return modeLose
	case m.keep.naming != nameNone:
		return modeName
	case m.own.doubt != "":
		return modeOwnDoubt
	case m.page.kind == pageOwn:
		return modeOwn
	case m.page.kind == pageFixes:
		return modeFixes
	case m.page.kind == pagePlot:
		return modePlot
	case m.page.kind == pageStart:
		return modeStart
	case looking:
		return look
	case m.page.kind != pageNone:
		return modePage
	case m.at == placeParts && m.parts.typing:
		return modeText
	case m.at == placeParts && m.parts.filtering:
		return modeFilter
	case m.at == placeParts:
		return modeParts
	case m.at == placeDesign:
		return modeDesign
	}
	return modeJob
}

// keys routes what was pressed. Keys that came glued together are taken one by
// one until one of them opens a field: the rest is typed into it.
func (m *Model) keys(k tea.KeyMsg) tea.Cmd {
	if m.mode().typing() || m.at == placeParts && m.mode() == modeFilter {
		return m.key(k)
	}
	var cmds []tea.Cmd
	keys := glued(k)
	for i, one := range keys {
		if i > 0 && m.mode().typing() {
			rest := tea.KeyMsg{Type: tea.KeyRunes, Runes: k.Runes[i:]}
			cmds = append(cmds, m.key(rest))
			break
		}
		cmds = append(cmds, m.key(one))
	}
	return tea.Batch(cmds...)
}

func (m *Model) key(k tea.KeyMsg) tea.Cmd {
	at := m.mode()
	b, bound := bindingFor(m.table, at, k)
	return m.press(at, b, bound, k)
}

// press does what a key means; not bound, it is for whoever is typed into.
func (m *Model) press(at mode, b binding, bound bool, k tea.KeyMsg) tea.Cmd {
	m.note, m.noteGood, m.parts.refused = "", false, ""
	if bound && m.off(b.act) != "" {
		why := b.help + ": " + m.off(b.act)
		if m.at == placeParts {
			m.parts.refused = why
		} else {
			m.note = why
		}
		return nil
	}
	if !bound && k.Paste && !at.typing() {
		return nil
	}
	if at == modeTour {
		return m.tourKey(b.act, k)
	}
	if cmd, done := m.common(b.act); done {
		return cmd
	}
	switch at {
	case modeLeave:
		return m.leaveKey(b.act)
	case modeName:
		return m.nameKey(b.act, k)
	case modeDoubt:
		return m.doubtKey(b.act)
	case modePlot:
		if b.act == actClose {
			m.page.kind = pageNone
			return nil
		}
		m.parts.plotMove(b.act)
		return m.follow()
	case modeFixes:
		return m.fixKey(b.act)
	case modeStart:
		return m.startKey(b.act)
	case modeLose:
		return m.loseKey(b.act)
	case modeSweep, modeDrive, modeBreaks, modeCompare, modeMargins:
		return m.lookKey(b.act)
	case modeOwn:
		return m.ownKey(b.act, k)
	case modeOwnDoubt:
		return m.ownDoubtKey(b.act)
	case modePage:
		if b.act == actTour {
			return m.startTour()
		}
		if !m.page.Key(b.act) {
			m.page.close()
		}
	case modeJob:
		changed := m.job.Key(b.act, k)
		if m.job.said != "" {
			m.say(m.job.said)
			m.job.said = ""
		}
		if changed {
			if m.load != m.job.load {
				return tea.Batch(m.showLoad(m.job.load), m.question())
			}
			return m.question()
		}
	case modeText:
		m.parts.TextKey(b.act, k)
		return m.follow()
	case modeFilter:
		m.parts.filtering = m.parts.filter.Key(m.parts, b.act, k)
		return m.follow()
	case modeParts:
		m.parts.Key(b.act)
		return m.follow()
	case modeDesign:
		return m.designKey(b.act)
	}
	return nil
}

// fixKey takes one key of the page of fixes.
func (m *Model) fixKey(act action) tea.Cmd {
	if act == actClose {
		m.page.kind = pageNone
		return nil
	}
	if n := m.fixes.at; n < len(m.fixes.fixes) && (act == actField || act == actTry && m.fixes.fixes[n].state != "") {
		t := &m.fixes.fixes[n]
		switch {
		case t.path == "":
			m.note = "this one is not a field of the job"
			return nil
		case !m.job.reveal(t.path):
			m.note = "the field comes with the change: Enter puts it into the job"
			return nil
		}
		m.page.kind = pageNone
		if t.state != "" {
			m.say("here " + labelOf(clean(t.path)) + " is stated")
			return m.goTo(placeJob)
		}
		m.say("here the fix is " + clean(t.fix.To))
		return m.goTo(placeJob)
	}
	try := m.fixes.Key(act)
	m.page.items = m.fixes.items()
	m.page.show = m.fixes.at + 2 // below the preface
	if !try {
		return nil
	}
	t := &m.fixes.fixes[m.fixes.at]
	if t.path == "" {
		m.note = "this one is not a field of the job"
		return nil
	}
	m.page.kind = pageNone
	if err := m.job.try(t); err != nil {
		m.note = "not tried: " + clean(err.Error())
		return nil
	}
	did := "tried " + labelOf(clean(t.path)) + " = " + clean(t.fix.To)
	if strings.HasPrefix(t.fix.Field, "rail[") && t.fix.From == "" {
		did = "added a supply of " + clean(t.fix.To) + " to the job"
	}
	m.say(did + "; " + m.label(actUndo) + " on Job takes it back")
	return m.question()
}

func (m *Model) designKey(act action) tea.Cmd {
	switch act {
	case actNextPart:
		m.parts.Key(actDown)
	case actPrevPart:
		m.parts.Key(actUp)
	case actNone:
		return nil
	default:
		m.design.Key(act)
		return nil
	}
	return m.follow()
}

// common takes the keys that mean the same in every place.
func (m *Model) common(act action) (cmd tea.Cmd, done bool) {
	switch act {
	case actKill:
		if m.leaving {
			return m.leave(), true
		}
		fallthrough
	case actQuit:
		if m.unsaved() != "" {
			m.leaving = true
			return nil, true
		}
		return m.leave(), true
	case actSave:
		return m.save(), true
	case actSaveAs:
		m.saveUnder()
	case actStart:
		m.openStart()
	case actNext:
		return m.goTo((m.at + 1) % numPlaces), true
	case actOpen:
		m.parts.chosen = true
		m.page.kind = pageNone
		m.design.toTop()
		return m.goTo(placeDesign), true
	case actBack:
		if m.at > placeJob {
			if m.at-1 == placeJob && m.blocked != "" {
				m.job.toFault()
			}
			return m.goTo(m.at - 1), true
		}
		return nil, true
	case actHelp:
		m.page.openOver(pageHelp, m.helpItems())
	case actWords:
		m.openWords()
	case actCautions:
		m.page.openOver(pageCautions, m.cautionItems())
	case actOwn:
		return m.openOwn(), true
	case actCopy:
		return m.copy(), true
	case actExport:
		m.export()
	case actPlot:
		m.page.open(pagePlot, nil)
	case actSweep:
		return m.openLook(pageSweep), true
	case actDrive:
		return m.openLook(pageDrive), true
	case actBreaks:
		return m.openLook(pageBreaks), true
	case actCompare:
		return m.openLook(pageCompare), true
	case actMargins:
		return m.openLook(pageMargins), true
	case actBands:
		m.page.open(pageBands, bandItems(m.st, engine.Bands(m.opt.Catalog, m.design.det.Design)))
	case actBuild:
		return m.build(), true
	case actTogether:
		m.page.open(pageTogether, togetherItems(m.result))
	case actFixes:
		m.fixes = fixesOf(m.design.det, m.job.spec, m.load, m.parts.helping())
		m.page.open(pageFixes, m.fixes.items())
	case actNotServed:
		m.page.open(pageNotServed, notServedItems(m.loadResult()))
	case actNextLoad:
		return m.nextLoad(), true
	default:
		return nil, false
	}
	return nil, true
}

func (m *Model) leaveKey(act action) tea.Cmd {
	switch act {
	case actYes:
		return m.leave()
	case actNo:
		m.leaving = false
	}
	return nil
}

// unsaved says what leaving loses, "" for nothing.
func (m *Model) unsaved() string {
	switch {
	case m.edited:
		return "The job was edited and is not saved."
	case m.own.edited():
		return "The part of your own is not saved."
	}
	return ""
}

// say tells what was done, until the next key.
func (m *Model) say(text string) { m.note, m.noteGood = text, true }

func (m *Model) leave() tea.Cmd {
	m.left = true
	m.stop()
	return tea.Quit
}

// stop cancels what is being asked.
func (m *Model) stop() {
	if m.cancel != nil {
		m.cancel()
	}
	if m.detailCancel != nil {
		m.detailCancel()
	}
	m.endLook()
	if m.own.cancel != nil {
		m.own.cancel()
	}
}

func (m *Model) goTo(p place) tea.Cmd {
	m.at = p
	return m.relayout()
}

func (m *Model) nextLoad() tea.Cmd {
	next := (m.load + 1) % max(len(m.job.spec.Loads), 1)
	m.job.setLoad(next)
	return m.showLoad(next)
}

// showLoad follows the form to another load.
func (m *Model) showLoad(i int) tea.Cmd {
	m.load = i
	m.parts.selected, m.parts.chosen, m.parts.note = "", false, ""
	m.parts.setResult(m.loadResult())
	return m.follow()
}

// off says why an action does not work now, "" where it does.
func (m *Model) off(act action) string {
	switch act {
	case actTogether:
		switch {
		case len(m.job.spec.Loads) < 2:
			return "the job has one load"
		case m.blocked != "":
			return "mend the job first, " + m.blocked
		case m.waiting:
			return "there is no answer to the job as it stands yet"
		}
	case actNextLoad:
		if len(m.job.spec.Loads) < 2 {
			return "the job has one load"
		}
	case actCopy, actExport:
		switch {
		case m.opt.Out == nil && act == actCopy:
			return "there is no terminal to copy to"
		case m.keep.store == nil && act == actExport:
			return "there is nowhere to save to"
		case m.at == placeParts && m.parts.row() == nil:
			return "there is no row"
		case m.at == placeDesign && (m.design.det == nil || m.design.input != m.input || m.blocked != ""):
			return "there is no design of the job as it stands"
		}
	case actUndo:
		if len(m.job.history.past) == 0 {
			return "nothing was edited"
		}
	case actTour:
		if m.page.kind != pageHelp {
			return "it begins on the page of keys"
		}
	case actRedo:
		if len(m.job.history.future) == 0 {
			return "nothing was undone"
		}
	case actRemoveLoad:
		if len(m.job.spec.Loads) < 2 {
			return "the job has one load"
		}
	case actRemoveRail:
		if m.job.railHere() < 0 {
			return "no supply of the job is at the cursor: go to a field of one"
		}
	case actSweep, actDrive, actBreaks, actCompare, actBuild, actBands, actMargins:
		return m.offLook(act)
	case actOpen, actNextPart, actPrevPart:
		if _, looking := m.page.kind.isLook(); looking {
			return "" // another quantity
		}
		if m.blocked != "" {
			return "mend the job first, " + m.blocked
		}
		if m.parts.row() == nil {
			return "there is no row"
		}
	case actFixes:
		switch {
		case m.blocked != "":
			return "mend the job first, " + m.blocked
		case m.design.det == nil || m.design.input != m.input:
			return "there is no answer to the job as it stands yet"
		case m.design.det.Design.Verdict == design.Fits:
			return "the design fits"
		}
	case actMark:
		if m.parts.row() == nil {
			return "there is no row"
		}
	case actFilters, actText, actOrder, actPlot, actNotServed:
		if m.parts.load == nil {
			return "there is no shortlist yet"
		}
	case actClear:
		if mode := m.mode(); (mode == modeParts || mode == modeFilter) && !m.parts.filtered() {
			return "no filter is set"
		}
	}
	return ""
}

// question asks for the shortlist of the job as it stands. The question before
// it is cancelled, and its answer will be dropped.
func (m *Model) question() tea.Cmd {
	m.seq++
	m.dropLook()
	if m.cancel != nil {
		m.cancel()
	}
	m.cancel, m.waiting, m.slow, m.failed = nil, false, false, ""
	m.edited = job.Digest(m.job.spec) != m.first
	in, why := m.read()
	m.input, m.blocked = in, why
	if in == nil {
		return nil
	}
	ctx, cancel := context.WithCancel(context.Background())
	m.cancel, m.waiting = cancel, true
	return tea.Batch(assess(ctx, m.ask, in, m.seq), m.later(m.seq))
}

// read turns the form into a question, or says why it is none.
func (m *Model) read() (*engine.Input, string) {
	unread, bad := m.job.unread()
	spec, j, errs := job.Read("form", job.Encode(m.job.spec), m.opt.Topologies...)
	m.job.problems = nil // also while one text cannot be read: the others are told as they are
	for _, e := range errs {
		b := problem{path: e.Key, text: found(e), warning: e.Warning}
		m.job.problems = append(m.job.problems, m.job.placed(b))
	}
	if bad {
		m.edited = true
		return nil, unread
	}
	m.job.taken = j
	if errs.Fatal() || j == nil {
		m.job.taken = nil
		return nil, m.job.firstError()
	}
	p := m.policy(j.PolicyName)
	if p == nil {
		return nil, fmt.Sprintf("there is no policy %q", j.PolicyName)
	}
	return &engine.Input{Job: j, Spec: spec, Catalog: m.opt.Catalog, Policy: p}, ""
}

func (m *Model) policy(name string) *catalog.Policy {
	if p := m.opt.Policy; p != nil && p.Name == name {
		return p
	}
	for _, p := range m.opt.Policies {
		if p.Name == name {
			return p
		}
	}
	return nil
}

// assessed takes an answer, unless it is to an older question.
func (m *Model) assessed(msg assessedMsg) tea.Cmd {
	if msg.seq != m.seq {
		return nil
	}
	m.waiting, m.slow = false, false
	switch {
	case errors.Is(msg.err, context.Canceled):
		return nil
	case msg.err != nil:
		m.failed = clean(msg.err.Error())
		m.result = nil
		m.parts.setResult(nil)
		m.design.fail(m.failed)
		return nil
	case m.input.Job.Digest != msg.result.JobDigest && msg.result.JobDigest != "":
		m.failed = "internal fault: an answer to another job"
		m.result = nil
		m.parts.setResult(nil)
		return nil
	}
	m.result = msg.result
	m.parts.setResult(m.loadResult())
	return m.follow()
}

// loadResult is the answer for the load at hand, nil where there is none.
func (m *Model) loadResult() *engine.LoadResult {
	if m.result == nil || m.load >= len(m.job.spec.Loads) {
		return nil
	}
	for i := range m.result.Loads {
		if m.result.Loads[i].Name == m.job.spec.Loads[m.load].Name {
			return &m.result.Loads[i]
		}
	}
	return nil
}

// follow asks for the design at the cursor where Design is on the screen and
// shows another one, or one of an older job.
func (m *Model) follow() tea.Cmd {
	if !m.rects.Shows(placeDesign) || m.input == nil || m.failed != "" {
		return nil
	}
	row := m.parts.row()
	if row == nil {
		m.detailFor = ""
		if m.parts.load != nil {
			m.design.fail("no row is listed")
		}
		return nil
	}
	if row.Key == m.detailFor && m.detailInput == m.input {
		return nil
	}
	if m.detailCancel != nil {
		m.detailCancel()
	}
	ctx, cancel := context.WithCancel(context.Background())
	m.detailSeq++
	m.detailCancel, m.detailFor, m.detailInput = cancel, row.Key, m.input
	return detail(ctx, m.ask, m.input, row.Key, m.detailSeq)
}

// detailed takes a design, unless it was asked before another one.
func (m *Model) detailed(msg detailedMsg) {
	if msg.seq != m.detailSeq || msg.key != m.detailFor {
		return
	}
	switch {
	case errors.Is(msg.err, context.Canceled):
	case msg.err != nil:
		m.design.fail(clean(msg.err.Error()))
	default:
		m.design.set(m.detailInput, msg.detailed)
	}
}

// stateOfParts says how the shortlist on screen stands to the job.
func (m *Model) stateOfParts() state {
	return state{old: m.blocked != "" || m.slow, why: m.blocked, failed: m.failed}
}

// stateOfDesign says how the design on screen stands to the job.
func (m *Model) stateOfDesign() state {
	s := m.stateOfParts()
	s.old = s.old || m.design.det != nil && m.design.input != m.input && m.slow
	return s
}

// cautions of the load at hand, and of the design where it is on the screen.
func (m *Model) cautions() []job.Caution {
	var list []job.Caution
	if l := m.loadResult(); l != nil {
		list = append(list, l.Cautions...)
	}
	det := m.design.det
	if det == nil || !m.rects.Shows(placeDesign) {
		return list
	}
	for _, id := range det.Design.Cautions {
		if !slices.ContainsFunc(list, func(c job.Caution) bool { return c.ID == id }) {
			list = append(list, job.Caution{ID: id, Text: cautionText(id)})
		}
	}
	slices.SortStableFunc(list, func(a, b job.Caution) int { return cautionOrder(a.ID) - cautionOrder(b.ID) })
	return list
}

func (m *Model) cautionItems() []pageItem {
	var items []pageItem
	if m.blocked != "" && m.result != nil {
		items = append(items, pageItem{"", "These are of the job before the last edit; " + m.blocked + "."}, pageItem{})
	}
	for _, c := range m.cautions() {
		items = append(items, pageItem{"! " + cautionName(c.ID), inWords(clean(c.Text))})
	}
	if len(items) == 0 {
		return []pageItem{{"", "There is no answer yet, so nothing is known to beware of."}}
	}
	return items
}

// View draws the screen: never more lines than it has, never a line too wide.
func (m *Model) View() (out string) {
	defer func() {
		if p := recover(); p != nil {
			m.fault = faultOf(p)
			out = clip(m.fault.Error(), m.width)
		}
	}()
	if m.width == 0 || m.height == 0 {
		return ""
	}
	lines := m.draw()
	lines = lines[:min(len(lines), m.height)]
	for i := range lines {
		if m.opt.ASCII {
			lines[i] = toASCII.Replace(lines[i])
		}
		w := m.width
		if i == len(lines)-1 {
			w = max(w-lastCell, 1)
		}
		lines[i] = strings.TrimRight(clip(lines[i], w), " ")
	}
	return strings.Join(lines, "\n")
}

var toASCII = strings.NewReplacer("─", "-", "━", "=", "│", "|", "µ", "u", "Ω", "ohm")
