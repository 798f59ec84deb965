package tui

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"os"
	"slices"
	"strconv"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/sheet"
)

// Plain is the screen as lines: it asks, a person answers, and nothing that was said
// is ever written over or set side by side, so that a screen reader can follow and a
// script can hold the conversation. It is the same Model, asked in order: the same
// fields, answers, files and undo. It ends at the end of the input.
func Plain(opt Options) error {
	p := newPlain(opt)
	defer p.m.stop()
	p.run(p.m.Init())
	p.hello()
	for !p.over {
		line, ok := p.ask("> ")
		if !ok {
			if text := p.m.unsaved(); text != "" {
				p.say("%s", text)
			}
			break
		}
		p.command(line)
		if p.m.fault != nil {
			return p.m.fault
		}
	}
	return p.failed
}

// plainColumns is the width of what is said in lines.
const plainColumns = sheet.Width

// plain is one conversation.
type plain struct {
	m      *Model
	in     *bufio.Scanner
	out    io.Writer
	failed error // writing did
	over   bool
	shown  int    // rows that were listed last
	warned string // ids of the cautions that were said last
}

func newPlain(opt Options) *plain {
	if opt.Policies == nil {
		opt.Policies = catalog.Policies()
	}
	if opt.In == nil {
		opt.In = os.Stdin
	}
	if opt.Out == nil {
		opt.Out = os.Stdout
	}
	opt.NoColor, opt.Tour, opt.Session, opt.Memory = true, false, nil, nil
	m := New(opt)
	m.table = slices.Clone(m.table)
	for i := range m.table { // what says a key on the screen says a word here
		if word := inLines[m.table[i].act]; word != "" {
			m.table[i].label = word
		}
	}
	m.later = func(int) tea.Cmd { return nil } // nobody waits for less than the answer
	m.width, m.height = threePanes, 60         // a screen that shows everything, which nobody looks at
	m.rects = Layout(m.width, m.height, m.at)
	p := &plain{m: m, in: bufio.NewScanner(opt.In), out: opt.Out}
	p.in.Buffer(nil, 1<<20)
	return p
}

// run does what the Model asks for, at once.
func (p *plain) run(cmd tea.Cmd) {
	if cmd == nil {
		return
	}
	switch msg := cmd().(type) {
	case nil:
	case tea.BatchMsg:
		for _, c := range msg {
			p.run(c)
		}
	case tea.QuitMsg:
		p.over = true
	default:
		_, next := p.m.Update(msg)
		p.run(next)
	}
}

func (p *plain) write(text string) {
	if p.m.opt.ASCII {
		text = toASCII.Replace(text)
	}
	if _, err := io.WriteString(p.out, text); err != nil && p.failed == nil {
		p.failed, p.over = err, true
	}
}

// say writes one paragraph.
func (p *plain) say(format string, args ...any) {
	text := clean(fmt.Sprintf(format, args...))
	p.write(strings.Join(wrap(text, plainColumns), "\n") + "\n")
}

// ask writes a prompt and reads the answer; false at the end of the input.
func (p *plain) ask(prompt string) (string, bool) {
	p.write(prompt)
	if p.failed != nil || !p.in.Scan() {
		p.write("\n")
		return "", false
	}
	return strings.TrimSpace(p.in.Text()), true
}

func (p *plain) yes(question string) bool {
	line, ok := p.ask(question + " y or n: ")
	return ok && strings.HasPrefix(strings.ToLower(line), "y")
}

// plainCommand is one thing that can be said.
type plainCommand struct {
	word, args, help string
	do               func(p *plain, rest string)
}

// plainCommands in the order of use. A command may be cut short where one letter or
// more tell it from those before it.
func plainCommands() []plainCommand {
	return []plainCommand{
		{"job", "", "go through the job, field by field; Enter keeps a field", (*plain).form},
		{"fields", "", "list the fields of the job with their numbers", (*plain).fields},
		{"set", "FIELD VALUE", "change one field, by its number or name: set 2 0.5 A", (*plain).set},
		{"list", "[COUNT]", "list the parts that can switch the load, the best first", (*plain).list},
		{"more", "", "list the next ones", (*plain).more},
		{"why", "[NUMBER]", "say why a part fits or not: what decides, with its numbers", (*plain).why},
		{"checks", "[NUMBER]", "every check of it in a line, with its margin", (*plain).checks},
		{"fixes", "[NUMBER]", "what would make it fit, to be tried", (*plain).fixes},
		{"sheet", "[NUMBER] [FILE]", "the whole stage: circuit, values, checks; into a file where one is named", (*plain).sheet},
		{"circuit", "[NUMBER]", "the circuit, element by element", (*plain).circuit},
		{"bands", "[NUMBER]", "the colours of its resistors", (*plain).bands},
		{"drive", "[NUMBER]", "whether what the pin gives is enough for its gate or base", (*plain).drive},
		{"what-if", "[QUANTITY] [FACTOR]", "where verdicts of the part at hand change as one quantity moves", (*plain).whatIf},
		{"break", "[NUMBER]", "leave out or change one element on paper; it can be built so", (*plain).breakIt},
		{"build", "[NUMBER]", "state a stage as built in the job, to give it your own values; build none takes it out", (*plain).build},
		{"compare", "NUMBER NUMBER", "two to four of them, what differs first", (*plain).compare},
		{"copy", "[NUMBER]", "the name of a part to the clipboard of the terminal; copy sheet for its sheet", (*plain).copy},
		{"part", "[KIND]", "type in a part of your own, and see what it can do", (*plain).part},
		{"find", "WORDS", "list only parts with these words; find alone takes that back", (*plain).find},
		{"filter", "[NAME VALUE]", "list only some: filter kind relay, filter cost 0.5; filter none takes all back", (*plain).filter},
		{"frontier", "", "list only those that nothing beats in cost and headroom both", (*plain).frontier},
		{"order", "WORD", "order by cost, headroom, heat, parts or turn-off", (*plain).order},
		{"unserved", "", "parts that no stage can use for this load, and why", (*plain).unserved},
		{"cautions", "", "what to beware of", (*plain).cautions},
		{"load", "[NUMBER]", "go to another load; add, copy and remove are said so: load add", (*plain).load},
		{"supply", "add or remove", "add a supply for this load, or take one out of the job", (*plain).supply},
		{"together", "", "the picks of all loads at once", (*plain).together},
		{"undo", "", "take the last change back", (*plain).undo},
		{"redo", "", "do it again", (*plain).redo},
		{"save", "[FILE]", "save the job", (*plain).save},
		{"open", "[FILE or NUMBER]", "another job: a file, an empty one, one from a measurement, a built-in one", (*plain).openJob},
		{"words", "[WORD]", "what the words mean, with their equations", (*plain).words},
		{"help", "", "this list; also ?", (*plain).help},
		{"quit", "", "leave", (*plain).quit},
	}
}

// inLines is what is said for each thing that a key does. Those without a word are ways
// around a screen, which a conversation has no use for, or answers to a question.
var inLines = map[action]string{
	actKill: "quit", actQuit: "quit", actHelp: "help", actWords: "words", actCautions: "cautions", actNextLoad: "load", actEnter: "job", actClear: "set",
	actRestore: "undo", actUndo: "undo", actRedo: "redo", actAddLoad: "load", actCopyLoad: "load", actRemoveLoad: "load", actAddRail: "supply", actRemoveRail: "supply",
	actOpen: "why", actOrder: "order", actFilters: "filter", actText: "find", actNotServed: "unserved", actExpand: "checks", actSave: "save", actSaveAs: "save",
	actFixes: "fixes", actTry: "fixes", actPlot: "frontier", actCopy: "copy", actExport: "sheet", actTogether: "together", actStart: "open", actOwn: "part", actSaveOwn: "part",
	actSweep: "what-if", actDrive: "drive", actBreaks: "break", actCompare: "compare", actMark: "compare", actMargins: "checks", actBands: "bands", actBuild: "build",
	actWider: "what-if", actNarrower: "what-if", actField: "set",
	actNext: "", actBack: "", actUp: "", actDown: "", actPageUp: "", actPageDown: "", actTop: "", actBottom: "", actLeft: "", actRight: "", actSection: "", actSectionBack: "",
	actNextPart: "", actPrevPart: "", actClose: "", actYes: "", actNo: "",
	actTour: "", actTourNext: "", actTourBack: "", // help tells the commands in their order of use
}

func (p *plain) command(line string) {
	word, rest, _ := strings.Cut(line, " ")
	word, rest = strings.ToLower(word), strings.TrimSpace(rest)
	switch {
	case word == "":
		return
	case word == "?":
		word = "help"
	}
	if _, err := strconv.Atoi(word); err == nil { // a number alone asks why
		word, rest = "why", line
	}
	for _, c := range plainCommands() {
		if strings.HasPrefix(c.word, word) {
			c.do(p, rest)
			return
		}
	}
	for i := range p.m.job.fields {
		if f := &p.m.job.fields[i]; rest != "" && (f.key == word || f.label == word) {
			p.say("A field is changed with set: set %s %s.", word, rest)
			return
		}
	}
	p.say("There is no command %s. help lists those that there are.", word)
}

func (p *plain) hello() {
	title := p.m.job.spec.Title
	if title == "" {
		title = "a job without a title"
	}
	p.say("pinhoist in lines: %s.", title)
	p.where()
	p.state()
	if p.m.note != "" {
		p.say("%s", p.m.note)
	}
	p.say("Say what is to be done: job changes the job, list lists the parts, why 1 asks why, sheet 1 tells the stage, save saves, help lists everything, quit leaves.")
}

// where says which load is at hand.
func (p *plain) where() {
	n := len(p.m.job.spec.Loads)
	if n == 0 {
		p.say("The job has no load.")
		return
	}
	l := &p.m.job.spec.Loads[p.m.load]
	p.say("Load %d of %d: %s, %s.", p.m.load+1, n, l.Name, l.Kind)
}

// state says how the shortlist stands.
func (p *plain) state() {
	m := p.m
	switch {
	case m.failed != "":
		p.say("! %s", m.failed)
	case m.blocked != "":
		p.say("! There is no shortlist: %s.", m.blocked)
	case m.parts.load == nil:
		p.say("There is no answer.")
	default:
		p.say("%s.", m.parts.tally())
		p.warn()
	}
	for _, b := range m.job.problems {
		if b.warning {
			p.say("! %s: %s", b.path, b.text)
		}
	}
}

// warn says what to beware of, and says it anew once that is another list.
func (p *plain) warn() {
	list := p.m.cautions()
	ids := ""
	for _, c := range list {
		ids += c.ID + " "
	}
	if ids == p.warned {
		if len(list) > 0 {
			p.say("The %d cautions stand.", len(list))
		}
		return
	}
	p.warned = ids
	for _, c := range list {
		p.say("! %s", inWords(c.Text))
	}
}

func (p *plain) help(string) {
	for _, c := range plainCommands() {
		p.say("%s: %s.", strings.TrimSpace(c.word+" "+c.args), c.help)
	}
	p.say("A command may be cut short: l for list. A number alone asks why.")
}

func (p *plain) fieldLine(i int) string {
	f := &p.m.job.fields[i]
	text := f.text
	if f.hides != nil {
		text = p.m.job.moreText(f)
	} else if usual := inForce(f, p.m.job.taken, p.m.load); text == "" && usual != "" {
		text = "not stated, taken as " + usual
	} else if text == "" {
		text = "not stated"
	}
	return fmt.Sprintf("%d, %s, %s: %s", i+1, f.group, f.label, text)
}

func (p *plain) fields(string) {
	for i := range p.m.job.fields {
		p.say("%s", p.fieldLine(i))
	}
}

// form goes through the fields. A change of one may change which others there are.
func (p *plain) form(string) {
	p.say("Enter keeps a field, - empties it, . ends.")
	for i := 0; i < len(p.m.job.fields); i++ {
		f := p.m.job.fields[i]
		p.say("%s", p.fieldLine(i))
		if f.hint != "" {
			p.say("  %s.", f.hint)
		}
		if f.options != nil {
			p.say("  One of %s.", strings.Join(f.options, ", "))
		}
		line, ok := p.ask(f.label + ": ")
		if !ok || line == "." {
			break
		}
		if line != "" && !p.put(i, line) {
			i-- // asked again
		}
	}
	p.where()
	p.state()
}

// put changes one field and reports whether it was taken.
func (p *plain) put(i int, text string) bool {
	j := p.m.job
	if text == "-" {
		text = ""
	}
	f := &j.fields[i]
	if f.hides != nil {
		i := slices.IndexFunc(f.options, func(o string) bool { return text != "" && strings.HasPrefix(o, text) })
		if i < 0 {
			p.say("x found %q, expected one of %s", text, strings.Join(f.options, ", "))
			return false
		}
		j.showMore(f, f.options[i])
		return true
	}
	if f.options != nil && text != "" {
		at := slices.IndexFunc(f.options, func(o string) bool { return strings.HasPrefix(strings.ToLower(o), strings.ToLower(text)) })
		if exact := slices.Index(f.options, text); exact >= 0 {
			at = exact
		}
		if at < 0 {
			p.say("x found %s, expected one of %s", text, strings.Join(f.options, ", "))
			return false
		}
		text = f.options[at]
	}
	before, path := j.state(), f.path
	j.focus(i)
	if j.put(text) {
		j.history.note(before, "")
	}
	at := slices.IndexFunc(j.fields, func(f field) bool { return f.path == path })
	if at < 0 {
		return true
	}
	if why := j.fields[at].err; why != "" {
		p.say("x %s", why)
		j.restore(before)
		j.history.past = j.history.past[:len(j.history.past)-1]
		return false
	}
	p.run(p.m.question())
	for _, b := range j.problemsOf(&j.fields[at]) {
		p.say("! %s", b.text)
	}
	return true
}

func (p *plain) set(rest string) {
	name, value, _ := strings.Cut(rest, " ")
	value = strings.TrimSpace(value)
	for i := range p.m.job.fields { // it may stand behind its group's line
		if f := &p.m.job.fields[i]; slices.Contains(f.hides, name) {
			p.m.job.showMore(f, moreShown)
			break
		}
	}
	at := -1
	if n, err := strconv.Atoi(name); err == nil {
		at = n - 1
	} else {
		for i := range p.m.job.fields {
			f := &p.m.job.fields[i]
			if f.key == name || f.path == name {
				at = i
				break
			}
			if v, ok := strings.CutPrefix(rest, f.label+" "); ok && at < 0 {
				at, value = i, strings.TrimSpace(v)
			}
		}
	}
	if at < 0 || at >= len(p.m.job.fields) || value == "" {
		p.say("Say which field and what: set 2 0.5 A. fields lists them; set 2 - empties one.")
		return
	}
	if p.put(at, value) {
		p.say("%s", p.fieldLine(min(at, len(p.m.job.fields)-1)))
		p.state()
	}
}

// pageRows is how many rows are listed at once.
const pageRows = 10

func (p *plain) list(rest string) {
	p.shown = 0
	p.rows(rest)
}

func (p *plain) more(rest string) { p.rows(rest) }

func (p *plain) rows(rest string) {
	rows := p.m.parts.shown.Rows
	count := pageRows
	if n, err := strconv.Atoi(rest); err == nil && n > 0 {
		count = n
	}
	shown := &p.m.parts.shown
	if len(rows) == 0 && shown.Total == 0 || p.m.blocked != "" {
		p.state()
		return
	}
	to := min(p.shown+count, len(rows))
	for i := p.shown; i < to; i++ {
		p.say("%s", p.rowLine(i))
	}
	p.shown = to
	rest = "that is all"
	if to < len(rows) {
		rest = "more lists on"
	}
	p.say("%d of %d, %s; %s.", to, len(rows), orders[p.m.parts.orderIndex()].text, rest)
	for _, h := range shown.Hidden {
		p.say("%d are hidden by %s.", h.Count, h.Filter)
	}
}

func (p *plain) rowLine(i int) string {
	r := p.m.parts.shown.Rows[i]
	text := fmt.Sprintf("%d. %s as %s: %s", i+1, r.Part, usedAs(r), r.Verdict)
	if r.Headroom.OK {
		text += ", headroom " + sheet.Headroom(r.Headroom)
	}
	if w := runsOut(r); w != "" {
		text += ", runs out first " + w
	}
	if r.Cost.Amount.OK {
		text += ", cost " + strings.TrimSpace(sheet.Amount(r.Cost.Amount)) + " " + r.Cost.Currency
	}
	text += ", heat " + sheet.Heat(r.Heat)
	if r.Frontier {
		text += ", nothing is cheaper with as much headroom"
	}
	return text
}

// open asks for the design of a row, by its number in the list or the part's id; the
// first one where none is said.
func (p *plain) open(name string) *engine.Detailed {
	parts := p.m.parts
	if p.m.blocked != "" || p.m.failed != "" || parts.load == nil {
		p.state()
		return nil
	}
	at := 0
	if n, err := strconv.Atoi(name); err == nil {
		at = n - 1
	} else if name != "" {
		at = slices.IndexFunc(parts.shown.Rows, func(r *engine.Row) bool { return r.Part == name })
	} else if i := parts.index(); i >= 0 {
		at = i
	}
	if at < 0 || at >= len(parts.shown.Rows) {
		p.say("There is no row %s; list lists them.", name)
		return nil
	}
	parts.selected, parts.chosen = parts.shown.Rows[at].Key, true
	p.run(p.m.follow())
	det := p.m.design.det
	if det == nil || det.Row.Key != parts.selected {
		p.say("! %s", p.m.design.failed)
		return nil
	}
	r := &det.Row
	text := fmt.Sprintf("%s as %s: %s", r.Part, usedAs(r), r.Verdict)
	if r.Headroom.OK {
		text += ", headroom " + sheet.Headroom(r.Headroom)
	}
	p.say("%s; %s.", text, p.m.design.summary(unbroken))
	return det
}

func (p *plain) checks(name string) { p.tell(name, true) }

// why tells what decides: the limiting check and whatever does not fit.
func (p *plain) why(name string) { p.tell(name, false) }

func (p *plain) tell(name string, every bool) {
	det := p.open(name)
	if det == nil {
		return
	}
	d := det.Design
	facts := checkFacts(chapters(sheet.Sheet(p.m.design.input, det, sheet.SheetOptions{ASCII: p.m.opt.ASCII}).Blocks))
	for n, i := range sheet.Ordered(d) {
		c := &d.Checks[i]
		decides := i == d.Limiting || c.Verdict != 0
		if !every && !decides {
			continue
		}
		stress, rating, _ := sheet.Sides(c)
		text := fmt.Sprintf("%s: %s, %s demanded of %s", c.Verdict, c.ID, stress, rating)
		if c.Stage.String() != "" {
			text = fmt.Sprintf("%s: %s of the driver, %s demanded of %s", c.Verdict, c.ID, stress, rating)
		}
		if c.Headroom.OK {
			text += ", headroom " + sheet.Headroom(c.Headroom)
		}
		p.say("%s.", text)
		if decides && n < len(facts) {
			for _, f := range facts[n] {
				if f.Label == "" { // it goes on
					p.say("  %s", f.Text)
					continue
				}
				p.say("  %s: %s", f.Label, f.Text)
			}
		}
	}
	for _, w := range sheet.WantedFigures(det) {
		p.say("Missing: %s %s; %s would do for %s.", w.Figure, w.What, w.Suffices, w.Leaves)
	}
}

func (p *plain) fixes(name string) {
	det := p.open(name)
	if det == nil {
		return
	}
	fixes := fixesOf(det, p.m.job.spec, p.m.load, p.m.parts.helping())
	if len(fixes.fixes) == 0 {
		p.say("Nothing that one change would mend.")
		return
	}
	for i := range fixes.fixes {
		t := &fixes.fixes[i]
		p.say("%d. %s: %s.", i+1, t.check, inWords(t.text()))
	}
	line, ok := p.ask("Try which one? Enter tries none: ")
	n, err := strconv.Atoi(line)
	if !ok || err != nil || n < 1 || n > len(fixes.fixes) {
		return
	}
	t := &fixes.fixes[n-1]
	if t.path == "" {
		p.say("This one is not a field of the job.")
		return
	}
	if t.state != "" { // no value of it was found
		_, key, _ := strings.Cut(t.path, ".")
		p.say("It is stated with set %s and its value; set %s - empties it.", key, key)
		return
	}
	if err := p.m.job.try(t); err != nil {
		p.say("x not tried: %s", err)
		return
	}
	p.run(p.m.question())
	p.say("Tried; undo takes it back.")
	p.state()
}

func (p *plain) sheet(rest string) {
	name, file, _ := strings.Cut(rest, " ")
	if _, err := strconv.Atoi(name); err != nil && strings.ContainsAny(name, "./") {
		name, file = "", rest // a file alone
	}
	if p.open(name) == nil {
		return
	}
	if file = strings.TrimSpace(file); file == "" {
		doc := sheet.Sheet(p.m.design.input, p.m.design.det, sheet.SheetOptions{Told: true})
		p.write(doc.Linear(plainColumns))
		return
	}
	if p.m.keep.store == nil {
		p.say("There is nowhere to save to.")
		return
	}
	p.run(p.m.saveSheet(file))
	p.settle()
}

// settle asks what a wish to write leaves open, and says what became of it.
func (p *plain) settle() {
	for p.m.keep.doubt != "" {
		act := actNo
		if p.yes(fmt.Sprintf("%s: %s. Write over it?", clean(p.m.keep.asked.name), p.m.keep.doubt)) {
			act = actYes
		}
		p.m.note = ""
		p.run(p.m.doubtKey(act))
	}
	p.said()
}

// said passes on what the Model has to say.
func (p *plain) said() {
	if p.m.note != "" {
		p.say("%s.", p.m.note)
	}
	p.m.note = ""
}

func (p *plain) save(name string) {
	if name != "" && p.m.keep.store != nil {
		if why, bad := p.m.job.unread(); bad {
			p.say("x not saved: %s", why)
			return
		}
		var known []byte
		if name == p.m.keep.file {
			known = p.m.keep.disk
		}
		p.run(p.m.saveAs(name, known))
		p.settle()
		return
	}
	p.run(p.m.save())
	if p.m.keep.naming != nameNone {
		p.m.keep.naming = nameNone
		if line, ok := p.ask("save in file: "); ok && line != "" {
			p.run(p.m.saveAs(line, nil))
		}
	}
	p.settle()
}

func (p *plain) find(words string) {
	p.m.parts.setText(words)
	p.list("")
}

func (p *plain) order(word string) {
	for _, o := range orders {
		if word != "" && strings.HasPrefix(string(o.order), word) {
			p.m.parts.view.Order = o.order
			p.m.parts.arrange()
			p.list("")
			return
		}
	}
	p.say("Order by cost, headroom, heat, parts or turn-off.")
}

func (p *plain) items(list []pageItem) {
	for _, it := range list {
		switch {
		case it.label != "":
			p.say("%s: %s", it.label, it.text)
		case it.text != "":
			p.say("%s", it.text)
		}
	}
}

func (p *plain) unserved(string) { p.items(notServedItems(p.m.loadResult())) }
func (p *plain) cautions(string) { p.items(p.m.cautionItems()) }

// words explains the terms in what was said, or all of them.
func (p *plain) words(said string) {
	list := sheet.Terms()
	if said != "" {
		if list = sheet.TermsIn(said); len(list) == 0 {
			p.say("%s is none of the words that are explained; words alone tells them all.", said)
			return
		}
	}
	for _, t := range list {
		p.say("%s: %s", t.Name, t.Text)
		if t.Equation != "" {
			p.say("  %s", t.Equation)
		}
	}
}

func (p *plain) together(string) {
	if why := p.m.off(actTogether); why != "" {
		p.say("Not now: %s.", why)
		return
	}
	p.items(togetherItems(p.m.result))
}

func (p *plain) load(rest string) {
	acts := map[string]action{"add": actAddLoad, "copy": actCopyLoad, "remove": actRemoveLoad}
	act, edits := acts[rest]
	n, err := strconv.Atoi(rest)
	switch {
	case edits && p.m.off(act) != "":
		p.say("Not now: %s.", p.m.off(act))
		return
	case edits:
		p.m.job.Key(act, tea.KeyMsg{})
		p.run(tea.Batch(p.m.showLoad(p.m.job.load), p.m.question()))
	case err == nil && n >= 1 && n <= len(p.m.job.spec.Loads):
		p.m.job.setLoad(n - 1)
		p.run(p.m.showLoad(n - 1))
	case rest == "":
		p.run(p.m.nextLoad())
	default:
		p.say("Say load and a number of 1 to %d, or load add, load copy, load remove.", len(p.m.job.spec.Loads))
		return
	}
	p.shown = 0
	p.where()
	p.state()
}

func (p *plain) undo(string) { p.step(actUndo) }
func (p *plain) redo(string) { p.step(actRedo) }

func (p *plain) step(act action) {
	if why := p.m.off(act); why != "" {
		p.say("Not now: %s.", why)
		return
	}
	p.m.job.Key(act, tea.KeyMsg{})
	p.run(tea.Batch(p.m.showLoad(p.m.job.load), p.m.question()))
	p.where()
	p.state()
}

func (p *plain) quit(string) {
	if text := p.m.unsaved(); text != "" && !p.yes(text+" Leave?") {
		return
	}
	p.over = true
}

// part asks for a part of one's own.
func (p *plain) part(kind string) {
	k := catalog.Kind(kind)
	if kind == "" {
		p.say("Kinds: %s.", kindList())
		line, ok := p.ask("kind: ")
		if !ok || line == "" {
			return
		}
		k = catalog.Kind(line)
	}
	d := catalog.NewDraft(k)
	if d == nil {
		p.say("x found %s, expected one of %s", k, kindList())
		return
	}
	d.Texts["stocked"] = "true"
	if p.fill(d) {
		p.keepPart(d)
	}
}

func kindList() string {
	words := make([]string, len(ownKinds))
	for i, k := range ownKinds {
		words[i] = string(k)
	}
	return strings.Join(words, ", ")
}

// fill asks for the figures of a draft: those that are needed first, then those that
// the job at hand leaves unproven, as often as a person wants. It reports whether the
// draft came to something.
func (p *plain) fill(d *catalog.Draft) bool {
	p.say("Enter leaves a figure out, . ends the questions. Type what the data sheet guarantees, with its unit, never a typical figure.")
	first, _ := d.Asks()
	if !p.askAll(d, first) {
		return p.judge(d) != nil
	}
	for {
		cat := p.judge(d)
		if cat == nil {
			return false
		}
		if !p.yes("Further figures?") {
			return true
		}
		_, more := d.Asks()
		if !p.askAll(d, more) {
			return p.judge(d) != nil
		}
	}
}

// askAll goes through a list of asks; false where a person ended it.
func (p *plain) askAll(d *catalog.Draft, list []catalog.Ask) bool {
	done := map[string]bool{}
	for i := 0; i < len(list); i++ {
		a := list[i]
		if done[a.Key] {
			continue
		}
		p.say("%s: %s%s", a.Label, a.What, whereText(a.Where))
		if words := d.Options(a.Key); words != nil {
			p.say("  One of %s.", strings.Join(words, ", "))
		}
		prompt := a.Key
		if had := d.Texts[a.Key]; had != "" {
			prompt += " [" + clean(had) + "]"
		}
		line, ok := p.ask(prompt + ": ")
		switch {
		case !ok || line == ".":
			return false
		case line != "":
			had := d.Texts[a.Key]
			d.Texts[a.Key] = line
			if why := p.wrong(d, a.Key); why != "" {
				p.say("x %s", why)
				d.Texts[a.Key] = had
				i--
				continue
			}
			if a.When == "" && d.Options(a.Key) != nil { // other figures may be asked now
				first, more := d.Asks()
				if slices.ContainsFunc(first, func(x catalog.Ask) bool { return x.Key == list[0].Key }) {
					more = first
				}
				done, i, list = withKeys(done, list[:i+1]), -1, more
				continue
			}
		}
		done[a.Key] = true
	}
	return true
}

func withKeys(done map[string]bool, list []catalog.Ask) map[string]bool {
	for _, a := range list {
		done[a.Key] = true
	}
	return done
}

// wrong is what is wrong with one figure of a draft, "" where nothing is.
func (p *plain) wrong(d *catalog.Draft, key string) string {
	o := ownForm{draft: withReplaces(d)}
	_, o.errs = catalog.Extend(p.m.opt.Catalog, catalog.Source{Name: "form", Text: o.draft.File(p.m.opt.Catalog.Currency)})
	f := ownField{Ask: catalog.Ask{Key: key}}
	why, warning := o.wrong(&f)
	if warning {
		p.say("! %s", why)
		return ""
	}
	return why
}

func withReplaces(d *catalog.Draft) *catalog.Draft {
	return &catalog.Draft{Kind: d.Kind, Texts: d.Texts, Replaces: true}
}

// judge says how a draft does for the load at hand; nil where it cannot be read.
func (p *plain) judge(d *catalog.Draft) *catalog.Catalog {
	o := &ownForm{draft: withReplaces(d)}
	o.fields = nil
	msg := judgeOwn(context.Background(), p.m.ask, p.m.opt.Catalog, o.draft, p.m.input, p.m.loadName(), 0)().(ownMsg)
	o.cat, o.errs, o.own = msg.cat, msg.errs, msg.own
	switch {
	case msg.err != nil:
		p.say("! %s", msg.err)
		return nil
	case o.cat == nil:
		p.say("x %s", o.firstError())
		return nil
	case o.own == nil || o.own.Load == nil:
		p.say("It can be read; it is not judged: %s.", p.m.blocked)
		return o.cat
	}
	p.say("%s for %s:", d.ID(), msg.load)
	for _, text := range sheet.OwnVerdicts(o.own, d.ID()) {
		p.say("  %s.", text)
	}
	for i, w := range sheet.WantedFigures(o.own.Best) {
		if i == 0 {
			p.say("Unproven without these, the most decisive first:")
		}
		p.say("  %s %s; %s would do for %s.", w.Figure, w.What, w.Suffices, w.Leaves)
	}
	return o.cat
}

// keepPart offers to save a draft, and takes it into the shortlist.
func (p *plain) keepPart(d *catalog.Draft) {
	cat, errs := catalog.Extend(p.m.opt.Catalog, catalog.Source{Name: "form", Text: withReplaces(d).File(p.m.opt.Catalog.Currency)})
	if cat == nil {
		p.say("x %s", errs.Error())
		return
	}
	if p.m.opt.OwnStore != nil && p.m.opt.OwnFile != "" && p.yes("Save it in "+clean(p.m.opt.OwnFile)+"?") {
		_, there := p.m.opt.Catalog.Part(d.ID())
		save := &catalog.Draft{Kind: d.Kind, Texts: d.Texts, Replaces: there}
		doubt, err := PutPart(p.m.opt.OwnStore, p.m.opt.OwnFile, p.m.opt.Catalog.Currency, save, false)
		if doubt != "" && p.yes(upper(doubt)+". Write over it?") {
			doubt, err = PutPart(p.m.opt.OwnStore, p.m.opt.OwnFile, p.m.opt.Catalog.Currency, save, true)
		}
		switch {
		case err != nil:
			p.say("x not saved: %s", err)
		case doubt != "":
			p.say("Not saved.")
		default:
			p.say("Saved.")
		}
	}
	p.m.opt.Catalog = cat
	p.run(p.m.question())
	p.say("It is in the list now: find %s shows it.", d.ID())
}

func upper(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

// NewPart asks in lines for a part of one's own of the draft's kind, judges it for the
// job that opt holds, and offers to save it.
func NewPart(opt Options, d *catalog.Draft) error {
	p := newPlain(opt)
	defer p.m.stop()
	p.run(p.m.Init())
	p.said()
	if p.fill(d) {
		p.keepPart(d)
	}
	return p.failed
}
