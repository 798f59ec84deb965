package tui

import (
	"fmt"
	"slices"
	"strings"

	"github.com/charmbracelet/bubbles/textinput"
	tea "github.com/charmbracelet/bubbletea"

	"example.org/pinhoist/internal/job"
)

// jobPane is the form of the job. Printable keys go into the field at the
// cursor; what cannot be taken is told below its field and leaves the job as it
// was.
type jobPane struct {
	st       *styles
	spec     *job.Spec // as edited
	start    *job.Spec // as it was when the program began
	load     int
	policies []string

	fields []field
	at     int // the field at the cursor
	input  textinput.Model
	top    int   // first line shown
	height int   // lines of the last view, for paging
	lineOf []int // the field of each line of the whole form, -1 for none
	typed  typing

	history  history
	more     map[string]bool   // groups whose figures behind their line are shown
	aside    map[string]string // figures of other kinds of load, by path, while the kind is another
	taken    *job.Job          // what the job comes to; nil where it has an error
	problems []problem
	swings   swings
	said     string // of the last edit, where its field does not show it; "": nothing
}

// problem is one thing wrong with the job, or a warning.
type problem struct {
	path, text string
	warning    bool
}

func newJobPane(spec *job.Spec, policies []string, st *styles) *jobPane {
	p := &jobPane{st: st, spec: spec, start: job.Clone(spec), policies: policies, aside: map[string]string{}, more: map[string]bool{}}
	p.input = textinput.New()
	p.input.CharLimit = fieldLimit
	p.input.KeyMap.Paste.SetEnabled(false) // the clipboard is the terminal's: it pastes by typing
	p.input.Focus()
	p.rebuild()
	p.focus(0)
	return p
}

// rebuild lists the fields anew; the cursor and texts that are not taken stay
// with their fields.
func (p *jobPane) rebuild() {
	old, path := p.fields, ""
	if p.at < len(old) {
		path = old[p.at].path
	}
	p.fields = fieldsOf(p.spec, p.load, p.more)
	for i := range p.fields {
		f := &p.fields[i]
		if f.path == "policy.name" {
			f.options = slices.Clone(p.policies)
		}
		for k := range old {
			if old[k].path == f.path && old[k].err != "" {
				f.text, f.err = old[k].text, old[k].err
			}
		}
	}
	p.at = min(p.at, len(p.fields)-1)
	for i := range p.fields {
		if p.fields[i].path == path {
			p.at = i
		}
	}
}

// setLoad shows another load of the job.
func (p *jobPane) setLoad(i int) {
	p.load, p.top = i, 0
	p.fields = nil
	p.rebuild()
	p.focus(0)
}

func (p *jobPane) focus(i int) {
	p.at = max(min(i, len(p.fields)-1), 0)
	p.input.SetValue(p.fields[p.at].text)
	p.input.CursorEnd()
}

// Key takes one key and reports whether the job, or what is typed of it, changed.
// Every change can be undone.
func (p *jobPane) Key(act action, k tea.KeyMsg) bool {
	switch act {
	case actUndo:
		return p.undo()
	case actRedo:
		return p.redo()
	case actAddLoad:
		return p.addLoad()
	case actCopyLoad:
		return p.copyLoad()
	case actRemoveLoad:
		return p.removeLoad()
	case actAddRail:
		return p.addRail()
	case actRemoveRail:
		return p.removeRail()
	}
	f := &p.fields[p.at]
	if f.hides != nil {
		p.moreKey(f, act, k)
		return false
	}
	before, path, typed := p.state(), f.path, act == actNone && !f.choice()
	changed := p.fieldKey(f, act, k)
	switch {
	case changed && typed:
		p.history.note(before, path)
	case changed:
		p.history.note(before, "")
	case !typed:
		p.history.typing = "" // the cursor went elsewhere
	}
	return changed
}

// moreKey takes one key of a line that shows and hides figures.
func (p *jobPane) moreKey(f *field, act action, k tea.KeyMsg) {
	p.history.typing = ""
	switch act {
	case actLeft, actRight:
		p.showMore(f, otherWord(f))
	case actNone:
		if k.Type == tea.KeySpace {
			p.showMore(f, otherWord(f))
		}
	case actClear, actRestore:
	default:
		p.fieldKey(f, act, k)
	}
}

func otherWord(f *field) string {
	if f.text == moreShown {
		return moreHidden
	}
	return moreShown
}

func (p *jobPane) fieldKey(f *field, act action, k tea.KeyMsg) bool {
	if act != actNone {
		p.typed = ""
	}
	switch act {
	case actUp:
		p.focus(p.at - 1)
	case actDown, actEnter:
		p.focus(p.at + 1)
	case actPageUp:
		p.focus(p.at - max(p.height/2, 1))
	case actPageDown:
		p.focus(p.at + max(p.height/2, 1))
	case actClear:
		return p.put("")
	case actRestore:
		return p.put(p.original(f))
	case actLeft, actRight:
		if f.choice() {
			return p.choose(act)
		}
		p.input, _ = p.input.Update(k)
	case actNone:
		if f.choice() {
			return p.letter(k)
		}
		p.input, _ = p.input.Update(k)
		if text := p.input.Value(); text != f.text {
			return p.take(text)
		}
	}
	return false
}

// original is the text of a field when the program began.
func (p *jobPane) original(f *field) string {
	if text, ok := p.aside[f.path]; ok {
		return text
	}
	path := f.path
	if rest, ok := strings.CutPrefix(path, fmt.Sprintf("load[%d].", p.load)); ok {
		// Loads may have come and gone: the one meant is the one of that name.
		name := p.spec.Loads[p.load].Name
		i := slices.IndexFunc(p.start.Loads, func(l job.LoadSpec) bool { return l.Name == name })
		if f.key == "name" {
			i = -1
			if len(p.start.Loads) == len(p.spec.Loads) {
				i = p.load
			}
		}
		if i < 0 {
			return f.text // it was not there
		}
		path = fmt.Sprintf("load[%d].%s", i, rest)
	}
	text, _ := job.Get(p.start, path)
	return text
}

// put replaces the whole text of the field at the cursor.
func (p *jobPane) put(text string) bool {
	changed := p.fields[p.at].text != text
	if changed {
		p.take(text)
	}
	p.focus(p.at)
	return changed
}

// take puts a text into the job if it can be taken, else keeps it with the reason.
func (p *jobPane) take(text string) bool {
	f := &p.fields[p.at]
	f.text, f.err = text, ""
	before, was := p.kind(), ""
	if f.key == "name" {
		was, _ = job.Get(p.spec, f.path)
	}
	said := strings.TrimSpace(text)
	if f.group == groupRail && f.key == "rail" {
		p.feed(said)
		p.rebuild()
		return true
	}
	if f.path == presetPath {
		if said != ownPin && said != "" {
			_ = job.SetPinPreset(p.spec, said) // the choices are those there are
		}
		p.rebuild()
		p.fields[p.at].text = said
		return true
	}
	if f.key == "name" {
		if f.err = p.noName(f.path, said); f.err != "" {
			return true
		}
	}
	err := job.Set(p.spec, f.path, said)
	if err != nil && job.Set(p.spec, f.path, mended(said, f.unit)) == nil {
		err = nil
	}
	if err != nil {
		f.err = strings.TrimPrefix(err.Error(), f.key+": ")
		if whole := withUnit(said, f.unit); whole != "" && job.Set(job.Clone(p.spec), f.path, whole) == nil {
			f.err = fmt.Sprintf("found %q, expected its unit too: %s", said, whole)
		}
		return true
	}
	switch f.key {
	case "kind":
		p.setAside(before, p.kind())
	case "name":
		if strings.HasPrefix(f.path, "rail[") {
			p.railRenamed(was, said)
			p.rebuild()
			p.fields[p.at].text = text
		} else {
			p.renamed(was, said)
		}
		return true
	case "mode", "series", "output", "at_reset":
	default:
		return true // the other fields stay as they are
	}
	p.rebuild()
	p.fields[p.at].text = text
	return true
}

func (p *jobPane) kind() string {
	if p.load >= len(p.spec.Loads) {
		return ""
	}
	return p.spec.Loads[p.load].Kind
}

// setAside takes the figures that say nothing for the new kind of load out of the
// job, and puts those back in that were taken out before.
func (p *jobPane) setAside(before, after string) {
	was, known := job.Info(job.Kind(before))
	is, ok := job.Info(job.Kind(after))
	if !known || !ok || before == after {
		return
	}
	for i := range ofKind {
		key := ofKind[i].key
		path := fmt.Sprintf("load[%d].%s", p.load, key)
		text, _ := job.Get(p.spec, path)
		switch {
		case matters(key, was) && !matters(key, is) && text != "":
			p.aside[path] = text
			_ = job.Set(p.spec, path, "") // emptying a field that is there cannot fail
		case matters(key, is) && text == "" && p.aside[path] != "":
			_ = job.Set(p.spec, path, p.aside[path]) // it was taken before
			delete(p.aside, path)
		}
	}
}

// shown is the text of a choice, the default where nothing is stated.
func (p *jobPane) shown(f *field) string {
	if f.text != "" {
		return f.text
	}
	word, _, _ := strings.Cut(inForce(f, p.taken, p.load), ",")
	return word
}

func (p *jobPane) choose(act action) bool {
	f := &p.fields[p.at]
	step := 1
	if act == actLeft {
		step = -1
	}
	return p.put(beside(f.options, slices.Index(f.options, p.shown(f)), step))
}

// letter goes to the next choice that begins with the letter typed.
func (p *jobPane) letter(k tea.KeyMsg) bool {
	f := &p.fields[p.at]
	switch {
	case k.Type == tea.KeyBackspace || k.Type == tea.KeyDelete:
		p.typed = ""
		return p.put("")
	case k.Type == tea.KeySpace && p.typed == "":
		return p.choose(actRight)
	case k.Type != tea.KeyRunes || k.Alt:
		return false
	}
	changed := false
	for _, r := range k.Runes {
		if word, ok := p.typed.chosen(f.options, slices.Index(f.options, p.shown(f)), r); ok {
			changed = p.put(word) || changed
			f = &p.fields[p.at]
		}
	}
	return changed
}

const labelColumns = 18

// View draws the form on w by h cells. answer is a line that tells how the
// shortlist stands, "" for none.
func (p *jobPane) View(w, h int, focused bool, answer string) []string {
	most := 2
	if h >= 30 {
		most = 5
	}
	foot := p.footLines(w, most, focused, answer)
	if h < len(foot)+4 {
		foot = foot[:0]
	}
	body := h - len(foot)
	p.height = body
	lines, first, last := p.lines(w, focused)
	p.top = follow(p.top, min(last+1, len(lines)-1), len(lines), body) // with what stands beside it
	p.top = follow(p.top, max(first-1, 0), len(lines), body)
	p.top = follow(p.top, last, len(lines), body)
	p.top = follow(p.top, first, len(lines), body)
	out := window(lines, p.top, body)
	if above, below := p.top, len(lines)-p.top-body; (above > 0 || below > 0) && body > 1 {
		p.arrows(out, w, above, below)
	}
	return append(out, foot...)
}

// arrows marks that the form goes on above or below.
func (p *jobPane) arrows(out []string, w, above, below int) {
	mark := func(i int, s string) {
		if i < 0 || i >= len(out) {
			return
		}
		for _, note := range []string{s, " more"} { // no figure is cut for it
			if text := noted(p.st, out[i], note, w); text != "" {
				out[i] = text
				return
			}
		}
	}
	if above > 0 {
		mark(0, "  more above")
	}
	if below > 0 {
		mark(len(out)-1, "  more below")
	}
}

// manyOptions is from how many on it is said how many choices a field has.
const manyOptions = 5

// footLines say where the value at the cursor comes from and what the field asks, on two
// lines, or on more where there are most; then the answer.
func (p *jobPane) footLines(w, most int, focused bool, answer string) []string {
	hint, why := "", ""
	if focused {
		f := &p.fields[p.at]
		hint, why = f.hint, p.whyHere()
		if info, ok := job.Info(job.Kind(f.text)); ok && f.key == "kind" {
			hint = info.Text // a narrow pane has no room for it beside the word
		}
		if at := slices.Index(f.options, p.shown(f)); len(f.options) > manyOptions && at >= 0 {
			hint += fmt.Sprintf(": %d of %d, or type the word", at+1, len(f.options))
		}
	}
	var lines []string
	if why != "" {
		lines = wrap(why, w-2)
	}
	lines = append(lines, wrap(hint, w-2)...)
	if len(lines) > most {
		lines = []string{why, hint}
	}
	for i := range lines {
		lines[i] = " " + p.st.dim.Render(clip(lines[i], w-2))
	}
	if len(lines) < 2 {
		lines = slices.Insert(lines, 0, "")
	}
	if answer != "" {
		lines = append(lines, " "+answer)
	}
	return lines
}

// lines draws the whole form and says from which line to which the field at the
// cursor goes, its message included.
func (p *jobPane) lines(w int, focused bool) (lines []string, first, last int) {
	p.lineOf = p.lineOf[:0]
	mark := func(field int) {
		for len(p.lineOf) < len(lines) {
			p.lineOf = append(p.lineOf, field)
		}
	}
	for _, b := range p.stray() {
		lines = append(lines, p.message(b, w, 1)...)
	}
	group := ""
	for i := range p.fields {
		f := &p.fields[i]
		mark(i - 1)
		start := len(lines)
		if f.group != group {
			group = f.group
			lines = append(lines, " "+p.st.head.Render(clip(p.heading(group), w-1)))
		}
		row := len(lines)
		mark(-1)
		lines = append(lines, p.row(f, w, focused && i == p.at))
		for _, b := range p.problemsOf(f) {
			lines = append(lines, p.message(b, w, 5)...)
		}
		if f.key == "power" && f.group == groupLoad {
			if line := p.draws(w); line != "" {
				lines = append(lines, line)
			}
		}
		if i == p.at {
			first, last = row, len(lines)-1
			if start < row && i == 0 {
				first = 0
			}
		}
	}
	mark(len(p.fields) - 1)
	return lines, first, last
}

func (p *jobPane) heading(group string) string {
	if group != groupLoad || p.load >= len(p.spec.Loads) {
		return group
	}
	return "load: " + clean(p.spec.Loads[p.load].Name)
}

// problemsOf lists what is wrong with a field.
func (p *jobPane) problemsOf(f *field) []problem {
	if f.err != "" {
		return []problem{{path: f.path, text: f.err}}
	}
	var out []problem
	for _, b := range p.problems {
		if b.path == f.path {
			out = append(out, b)
		}
	}
	return out
}

// stray lists what is wrong with keys that have no field here.
func (p *jobPane) stray() []problem {
	var out []problem
	for _, b := range p.problems {
		if slices.ContainsFunc(p.fields, func(f field) bool { return f.path == b.path }) {
			continue
		}
		out = append(out, problem{path: b.path, text: b.path + ": " + b.text, warning: b.warning})
	}
	return out
}

func (p *jobPane) message(b problem, w, indent int) []string {
	sign, style := "x ", p.st.verdict[3]
	if b.warning {
		sign, style = "! ", p.st.caution
	}
	var lines []string
	for i, l := range wrap(clean(b.text), w-indent-3) {
		if i > 0 {
			sign = "  "
		}
		lines = append(lines, blank(indent)+style.Render(sign+l))
	}
	return lines
}

func (p *jobPane) row(f *field, w int, here bool) string {
	mark := "   "
	label := fit(f.label, labelColumns)
	if here {
		mark, label = " > ", p.st.cursor.Render(label)
	}
	room := max(w-len(mark)-labelColumns-2, 1)
	return mark + label + p.value(f, room, here)
}

// value draws what a field holds, two columns of frame included.
func (p *jobPane) value(f *field, room int, here bool) string {
	usual := ""
	if text := inForce(f, p.taken, p.load); f.text == "" && text != "" {
		usual = bracketed(text, room)
		if here {
			usual = bracketed(text, room-3) // beside the cursor, or between the arrows
		}
	}
	switch {
	case f.choice():
		return p.choiceText(f, usual, room, here)
	case here:
		text := typedText(&p.input, p.st, room)
		if usual != "" {
			text += p.st.dim.Render(clip(" "+usual, room-1))
		}
		return "[ " + text
	case f.text == "":
		return "  " + p.st.dim.Render(clip(usual, room))
	}
	return "  " + clip(clean(f.text), room)
}

// bracketed is what is in force without having been stated, on w columns: where it comes
// from is told even where the rest has to be cut.
func bracketed(text string, w int) string {
	at := strings.LastIndex(text, ", ")
	if width(text)+2 <= w || at < 0 {
		return "(" + text + ")"
	}
	return "(" + clip(text[:at], w-2-width(text[at:])) + text[at:] + ")"
}

func (p *jobPane) choiceText(f *field, usual string, room int, here bool) string {
	text := clean(f.text)
	if f.hides != nil {
		text = p.moreText(f)
	}
	if text == "" {
		text = usual
	}
	if here {
		text = "< " + clip(text, room-2) + " >"
	} else {
		text = "  " + clip(text, room)
		if f.text == "" {
			text = p.st.dim.Render(text)
		}
	}
	if info, ok := job.Info(job.Kind(f.text)); ok && f.key == "kind" && width(text)+3 < room {
		text += p.st.dim.Render(clip("  "+info.Text, room+2-width(text)))
	}
	return text
}

// typedText draws the text of a field with the cursor in it.
func typedText(input *textinput.Model, st *styles, room int) string {
	runes := []rune(input.Value())
	at := min(input.Position(), len(runes))
	room = max(room-2, 2)
	from := 0
	if at >= room {
		from = at - room + 1
	}
	before := clean(string(runes[from:at]))
	after := runes[at:]
	if !st.colour {
		return clip(before+"|"+clean(string(after)), room+1)
	}
	under := " "
	if len(after) > 0 {
		under, after = clean(string(after[:1])), after[1:]
	}
	return before + st.typing.Render(under) + clip(clean(string(after)), max(room-width(before)-1, 0))
}

// unread says which text cannot be taken, and why.
func (p *jobPane) unread() (string, bool) {
	for i := range p.fields {
		if f := &p.fields[i]; f.err != "" {
			return f.label + " cannot be read", true
		}
	}
	return "", false
}

// toFault moves the cursor to the first field with something wrong, where there is one.
func (p *jobPane) toFault() {
	for i := range p.fields {
		if p.fields[i].err != "" {
			p.focus(i)
			return
		}
	}
	for _, b := range p.problems {
		if !b.warning && p.reveal(b.path) {
			return
		}
	}
}

// elsewhere names a place of the job that is not on the form now: a field of another
// load by that load's name.
func (p *jobPane) elsewhere(path string) string {
	var i int
	if n, _ := fmt.Sscanf(path, "load[%d].", &i); n == 1 && i < len(p.spec.Loads) {
		return labelOf(path) + " of " + clean(p.spec.Loads[i].Name)
	}
	return path
}

// firstError names what is wrong with the job as it stands.
func (p *jobPane) firstError() string {
	for _, b := range p.problems {
		if b.warning {
			continue
		}
		for i := range p.fields {
			if p.fields[i].path == b.path {
				return p.fields[i].label + ": " + b.text
			}
		}
		return p.elsewhere(b.path) + ": " + b.text
	}
	return "the job has an error"
}
