package tui

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"slices"
	"strings"

	"github.com/charmbracelet/bubbles/textinput"
	tea "github.com/charmbracelet/bubbletea"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/sheet"
	"example.org/pinhoist/internal/source"
)

// ownForm is the form for a part of one's own: the few figures that a verdict needs
// first, then what may be missing for a proof. Every change is judged aside, for the
// load at hand and beside all other parts.
type ownForm struct {
	st       *styles
	draft    *catalog.Draft // nil: never opened
	fields   []ownField
	at       int
	input    textinput.Model
	top      int
	height   int
	packages []string
	typed    typing
	saved    string // the table as it was saved last, or as it began

	seq     int
	cancel  context.CancelFunc
	waiting bool
	wanted  bool   // it is to be saved once it is judged
	for_    string // the load that the answer is for
	cat     *catalog.Catalog
	own     *engine.Own
	errs    source.Errors
	failed  string
	doubt   string // what speaks against writing; "": nothing is asked
}

// ownField is one line of the form. The first one is the kind.
type ownField struct {
	catalog.Ask
	more    bool // not among the figures that are needed first
	options []string
}

// ownKinds in the order of the choice: what switches first.
var ownKinds = []catalog.Kind{catalog.KindMOSFET, catalog.KindBJT, catalog.KindRelay, catalog.KindSSR, catalog.KindModule, catalog.KindArray,
	catalog.KindDiode, catalog.KindZener, catalog.KindTVS, catalog.KindMOV, catalog.KindResistorSeries, catalog.KindCapacitor, catalog.KindHeatSink,
	catalog.KindInsulator, catalog.KindFuse, catalog.KindLimiter}

// kindKey stands for the kind of the part.
const kindKey = "kind"

// ownMsg is the answer to question seq about the draft.
type ownMsg struct {
	seq  int
	load string
	cat  *catalog.Catalog // with the draft; nil: the draft has an error
	errs source.Errors
	own  *engine.Own
	err  error
}

// ownSavedMsg is what became of a wish to save the draft.
type ownSavedMsg struct {
	table, doubt string
	err          error
}

// begin makes an empty draft of a kind; a name that was given stays.
func (o *ownForm) begin(k catalog.Kind) {
	id := ""
	if o.draft != nil {
		id = o.draft.Texts["id"]
	}
	o.draft = catalog.NewDraft(k)
	o.draft.Texts["id"] = id
	if id == "" {
		o.draft.Texts["id"] = "my-" + string(k)
	}
	o.draft.Texts["stocked"] = "true"
	o.saved = o.draft.Table("")
	o.input = textinput.New()
	o.input.CharLimit = fieldLimit
	o.input.KeyMap.Paste.SetEnabled(false)
	o.input.Focus()
	o.rebuild()
	o.focus(0)
}

// rebuild lists the fields anew; the cursor stays with its field.
func (o *ownForm) rebuild() {
	key := ""
	if o.at < len(o.fields) {
		key = o.fields[o.at].Key
	}
	kinds := make([]string, len(ownKinds))
	for i, k := range ownKinds {
		kinds[i] = string(k)
	}
	o.fields = []ownField{{Ask: catalog.Ask{Key: kindKey, Label: "kind", What: "What sort of part it is.", Where: ""}, options: kinds}}
	first, more := o.draft.Asks()
	for i, a := range append(first, more...) {
		f := ownField{Ask: a, more: i >= len(first), options: o.draft.Options(a.Key)}
		if a.Key == "package" {
			f.options = o.packages
		}
		o.fields = append(o.fields, f)
	}
	o.at = min(o.at, len(o.fields)-1)
	for i := range o.fields {
		if o.fields[i].Key == key {
			o.at = i
		}
	}
}

func (o *ownForm) text(f *ownField) string {
	if f.Key == kindKey {
		return string(o.draft.Kind)
	}
	return o.draft.Texts[f.Key]
}

func (o *ownForm) focus(i int) {
	o.at = max(min(i, len(o.fields)-1), 0)
	o.input.SetValue(o.text(&o.fields[o.at]))
	o.input.CursorEnd()
}

// edited reports whether something was typed since it was saved.
func (o *ownForm) edited() bool { return o.draft != nil && o.draft.Table("") != o.saved }

// key takes one key and reports whether the draft changed.
func (o *ownForm) key(act action, k tea.KeyMsg) bool {
	if act != actNone {
		o.typed = ""
	}
	f := &o.fields[o.at]
	switch act {
	case actUp:
		o.focus(o.at - 1)
	case actDown, actEnter:
		o.focus(o.at + 1)
	case actPageUp:
		o.focus(o.at - max(o.height-1, 1))
	case actPageDown:
		o.focus(o.at + max(o.height-1, 1))
	case actClear:
		if f.Key == kindKey { // all of it
			o.draft.Texts["id"] = ""
			o.begin(o.draft.Kind)
			return true
		}
		return o.put("")
	case actLeft, actRight:
		if f.options != nil {
			step := 1
			if act == actLeft {
				step = -1
			}
			return o.choose(step)
		}
		o.input, _ = o.input.Update(k)
	case actNone:
		if f.options != nil {
			return o.letter(k)
		}
		o.input, _ = o.input.Update(k)
		if text := o.input.Value(); text != o.text(f) {
			o.draft.Texts[f.Key] = text
			return true
		}
	}
	return false
}

func (o *ownForm) put(text string) bool {
	f := &o.fields[o.at]
	if o.text(f) == text {
		return false
	}
	if f.Key == kindKey {
		o.begin(catalog.Kind(text))
		return true
	}
	o.draft.Texts[f.Key] = text
	o.rebuild() // what is asked depends on it
	o.focus(o.at)
	return true
}

func (o *ownForm) choose(step int) bool {
	f := &o.fields[o.at]
	return o.put(beside(f.options, slices.Index(f.options, o.text(f)), step))
}

// letter goes to the next choice that begins with the letter typed.
func (o *ownForm) letter(k tea.KeyMsg) bool {
	f := &o.fields[o.at]
	switch {
	case k.Type == tea.KeyBackspace || k.Type == tea.KeyDelete:
		o.typed = ""
		return f.Key != kindKey && o.put("")
	case k.Type == tea.KeySpace && o.typed == "":
		return o.choose(1)
	case k.Type != tea.KeyRunes || k.Alt || len(k.Runes) == 0:
		return false
	}
	changed := false
	for _, r := range k.Runes {
		if word, ok := o.typed.chosen(f.options, slices.Index(f.options, o.text(f)), r); ok {
			changed = o.put(word) || changed
			f = &o.fields[o.at]
		}
	}
	return changed
}

// openOwn opens the form over the panes.
func (m *Model) openOwn() tea.Cmd {
	o := &m.own
	o.st = m.st
	o.packages = nil
	for i := range m.opt.Catalog.Packages {
		o.packages = append(o.packages, m.opt.Catalog.Packages[i].Name)
	}
	if o.draft == nil {
		o.begin(ownKinds[0])
	}
	m.page.open(pageOwn, nil)
	return m.askOwn()
}

// askOwn asks for the draft as it stands; the question before it is cancelled.
func (m *Model) askOwn() tea.Cmd {
	o := &m.own
	o.seq++
	if o.cancel != nil {
		o.cancel()
	}
	ctx, cancel := context.WithCancel(context.Background())
	o.cancel, o.waiting = cancel, true
	draft := &catalog.Draft{Kind: o.draft.Kind, Texts: maps.Clone(o.draft.Texts), Replaces: true} // saving asks about its id
	return judgeOwn(ctx, m.ask, m.opt.Catalog, draft, m.input, m.loadName(), o.seq)
}

func (m *Model) loadName() string {
	if m.load < len(m.job.spec.Loads) {
		return m.job.spec.Loads[m.load].Name
	}
	return ""
}

// judgeOwn puts a draft beside the catalogue and asks. in is nil while the job has an
// error: then the draft is only read.
func judgeOwn(ctx context.Context, ask Asker, base *catalog.Catalog, d *catalog.Draft, in *engine.Input, load string, seq int) tea.Cmd {
	return func() (msg tea.Msg) {
		defer func() {
			if p := recover(); p != nil {
				msg = ownMsg{seq: seq, err: faultOf(p)}
			}
		}()
		cat, errs := catalog.Extend(base, catalog.Source{Name: "form", Text: d.File(base.Currency)})
		out := ownMsg{seq: seq, load: load, cat: cat, errs: errs}
		if cat == nil || in == nil {
			return out
		}
		with := *in
		with.Catalog = cat
		out.own, out.err = ask.Own(ctx, &with, load, d.ID())
		return out
	}
}

// judged takes an answer, unless it is to an older question.
func (m *Model) judged(msg ownMsg) tea.Cmd {
	o := &m.own
	if msg.seq != o.seq {
		return nil
	}
	o.waiting = false
	o.cat, o.errs, o.own, o.for_, o.failed = msg.cat, msg.errs, msg.own, msg.load, ""
	if msg.err != nil && !errors.Is(msg.err, context.Canceled) {
		o.failed = clean(msg.err.Error())
	}
	if o.wanted {
		o.wanted, m.note, m.noteGood = false, "", false
		return m.saveOwn(false)
	}
	return nil
}

// ownKey takes one key of the form.
func (m *Model) ownKey(act action, k tea.KeyMsg) tea.Cmd {
	m.own.wanted = false
	switch act {
	case actClose:
		m.page.kind = pageNone
		if m.own.edited() {
			m.say("the part is kept until the program ends; " + m.labelIn(m.mode(), actOwn) + " opens it again")
		}
		return nil
	case actSaveOwn:
		return m.saveOwn(false)
	}
	if m.own.key(act, k) {
		return m.askOwn()
	}
	return nil
}

// ownDoubtKey takes the answer to a doubt about its id.
func (m *Model) ownDoubtKey(act action) tea.Cmd {
	switch act {
	case actYes:
		m.own.doubt = ""
		return m.saveOwn(true)
	case actNo:
		m.own.doubt = ""
		m.note = "not saved; another id can be typed"
	}
	return nil
}

// saveOwn writes the draft into the person's own catalogue.
func (m *Model) saveOwn(sure bool) tea.Cmd {
	o := &m.own
	switch {
	case m.opt.OwnStore == nil || m.opt.OwnFile == "":
		m.note = "not saved: there is nowhere to save to"
		return nil
	case o.waiting:
		o.wanted = true
		m.say("it is saved as soon as it is judged")
		return nil
	case o.cat == nil:
		m.note = "not saved: " + o.firstError()
		return nil
	}
	d := &catalog.Draft{Kind: o.draft.Kind, Texts: maps.Clone(o.draft.Texts)}
	_, d.Replaces = m.opt.Catalog.Part(d.ID())
	return writeOwn(m.opt.OwnStore, m.opt.OwnFile, m.opt.Catalog.Currency, d, sure)
}

// writeOwn puts a draft into a file of parts. Unless sure it first looks whether its
// id is taken.
func writeOwn(store Store, name, currency string, d *catalog.Draft, sure bool) tea.Cmd {
	return func() tea.Msg {
		doubt, err := PutPart(store, name, currency, d, sure)
		plain := *d
		plain.Replaces = false
		return ownSavedMsg{table: plain.Table(""), doubt: doubt, err: err}
	}
}

// PutPart puts a part of one's own into a file of parts. Unless sure it looks first
// whether its id is taken: then it says so and writes nothing.
func PutPart(store Store, name, currency string, d *catalog.Draft, sure bool) (doubt string, err error) {
	old, err := store.Read(name)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return "", err
	}
	text, err := d.Put(name, old, currency, sure)
	switch {
	case errors.Is(err, catalog.ErrThere):
		return "there is a part of this id in it", nil
	case err != nil:
		return "", err
	case d.Replaces && !sure:
		return "the catalogue has a part of this id, and yours would take its place", nil
	}
	return "", store.Write(name, text)
}

// ownSaved takes what became of a wish to save the draft: it joins the catalogue, and
// the cursor goes to it.
func (m *Model) ownSaved(msg ownSavedMsg) tea.Cmd {
	o := &m.own
	switch {
	case msg.err != nil:
		m.note, m.noteGood = "not saved, "+clean(m.opt.OwnFile)+": "+clean(msg.err.Error()), false
		return nil
	case msg.doubt != "":
		o.doubt = msg.doubt
		return nil
	}
	o.saved = msg.table
	m.say(fmt.Sprintf("%s is saved in %s", clean(o.draft.ID()), clean(m.opt.OwnFile)))
	if o.cat == nil || o.draft.Table("") != msg.table {
		return nil // it was typed on meanwhile
	}
	m.opt.Catalog = o.cat
	m.page.kind = pageNone
	if o.own != nil && len(o.own.Rows) > 0 {
		m.parts.selected, m.parts.chosen = o.own.Rows[0].Key, true
	}
	return tea.Batch(m.goTo(placeParts), m.question())
}

// firstError is the first thing wrong with the draft that is more than a figure not
// given yet, else what is still needed.
func (o *ownForm) firstError() string {
	for _, e := range o.errs {
		if !e.Warning && e.Found != "nothing" {
			return o.keyOf(e.Key) + ": found " + e.Found + ", expected " + e.Expected
		}
	}
	return "still needed: " + strings.Join(o.needed(), "; ")
}

// keyOf is the key of an error without its table.
func (o *ownForm) keyOf(key string) string {
	return strings.TrimPrefix(key, fmt.Sprintf("%s[0].", o.draft.Kind))
}

// needed lists the labels of what must still be given, in the order of the form.
func (o *ownForm) needed() []string {
	var at []int
	var others []string
	for _, e := range o.errs {
		if e.Warning || e.Found != "nothing" {
			continue
		}
		key := o.keyOf(e.Key)
		i := slices.IndexFunc(o.fields, func(f ownField) bool { return f.Key == key })
		if i < 0 { // of a table, its first field stands for it
			i = slices.IndexFunc(o.fields, func(f ownField) bool {
				return strings.HasPrefix(f.Key, key+".") || strings.HasPrefix(f.Key, key+"[")
			})
		}
		switch {
		case i >= 0 && !slices.Contains(at, i):
			at = append(at, i)
		case i < 0 && !slices.Contains(others, key):
			others = append(others, key)
		}
	}
	slices.Sort(at)
	out := make([]string, len(at), len(at)+len(others))
	for n, i := range at {
		out[n] = o.fields[i].Label
		if i > 0 && strings.HasPrefix(out[n], "and ") { // it goes on from the field before
			out[n] = o.fields[i-1].Label + " " + out[n]
		}
	}
	return append(out, others...)
}

// wrong is what is wrong with a field, "" where nothing is or nothing is given yet.
func (o *ownForm) wrong(f *ownField) (text string, warning bool) {
	for _, e := range o.errs {
		if o.keyOf(e.Key) == f.Key && e.Found != "nothing" {
			return "found " + e.Found + ", expected " + e.Expected, e.Warning
		}
	}
	return "", false
}

const ownBeside = 110 // columns from which form and answer stand side by side

// View draws the form on w by h cells.
func (o *ownForm) View(w, h int, blocked string) []string {
	if w >= ownBeside {
		left := w * 9 / 20
		form := o.form(left, h)
		answer := o.answer(w-left-1, h, blocked)
		for i := range form {
			form[i] = fit(form[i], left) + " " + answer[i]
		}
		return form
	}
	top := h // the answer has what it needs, up to nine twentieths
	if h >= 10 {
		top = max(h*11/20, h-len(o.answerLines(w, blocked, waysShown)))
	}
	return append(o.form(w, top), o.answer(w, h-top, blocked)...)
}

// form draws the fields, and of the one at the cursor what it is.
func (o *ownForm) form(w, h int) []string {
	f := &o.fields[o.at]
	foot := wrapAt(" ", f.What+whereText(f.Where), w)
	if text, warning := o.wrong(f); text != "" {
		sign := "x "
		if warning {
			sign = "! "
		}
		style := o.st.verdict[3]
		if warning {
			style = o.st.caution
		}
		for _, l := range wrapAt(" ", sign+clean(text), w) {
			foot = append(foot, style.Render(l))
		}
	}
	foot = foot[:min(len(foot), max(h-2, 0))]
	body := max(h-len(foot), 0)
	var lines []string
	at := 0
	for i := range o.fields {
		switch {
		case i == 0:
			lines = append(lines, " "+o.st.head.Render(clip("needed first", w-1)))
		case o.fields[i].more && !o.fields[i-1].more:
			lines = append(lines, " "+o.st.head.Render(clip("what may be missing for a proof", w-1)))
		}
		if i == o.at {
			at = len(lines)
		}
		lines = append(lines, o.row(&o.fields[i], w, i == o.at))
	}
	o.height = body
	if at == 1 {
		o.top = 0
	}
	o.top = follow(o.top, at, len(lines), body)
	out := window(lines, o.top, body)
	if below := len(lines) - o.top - body; below > 0 && body > 1 {
		moreBelow(o.st, out, below, w, true)
	}
	return append(out, foot...)
}

func whereText(where string) string {
	if where == "" {
		return ""
	}
	return " Look for: " + where + "."
}

func (o *ownForm) row(f *ownField, w int, here bool) string {
	mark, label := "   ", fit(f.Label, ownLabel)
	if here {
		mark, label = " > ", o.st.cursor.Render(label)
	}
	if text, warning := o.wrong(f); text != "" && !warning {
		mark = mark[:1] + "x" + mark[2:]
	}
	room := max(w-len(mark)-ownLabel-2, 1)
	text := clean(o.text(f))
	switch {
	case f.options != nil && here:
		text = "< " + clip(text, room-4) + " >"
	case here:
		text = "[ " + typedText(&o.input, o.st, room)
	default:
		text = "  " + clip(text, room)
	}
	return mark + label + text
}

// ownLabel is the columns of a label of the form.
const ownLabel = 22

// answer says how the part does for the load at hand, on h lines.
func (o *ownForm) answer(w, h int, blocked string) []string {
	if h <= 0 {
		return nil
	}
	lines := o.answerLines(w, blocked, waysShown)
	if len(lines) > h { // what is missing for a proof is told before a third way to use it
		lines = o.answerLines(w, blocked, waysShown-1)
	}
	out := window(lines, 0, h)
	if rest := len(lines) - h; rest > 0 && h > 1 {
		out[h-1] = o.st.dim.Render(clip(fmt.Sprintf(" and %d more lines: a larger window shows them", rest+1), w))
	}
	return out
}

// waysShown is how many ways to use the part are told, where there is room.
const waysShown = 3

// answerLines is the whole answer, with so many of the ways to use the part.
func (o *ownForm) answerLines(w int, blocked string, ways int) []string {
	var lines []string
	say := func(text string) { lines = append(lines, wrapAt(" ", text, w)...) }
	lines = append(lines, " "+o.st.head.Render(clip("your part for "+clean(o.for_), w-1)))
	switch {
	case o.failed != "":
		say("! " + o.failed)
	case o.cat == nil && o.waiting && o.errs == nil:
		say("reading ...")
	case o.cat == nil && len(o.needed()) > 0:
		say("Not judged yet. Still needed: " + strings.Join(o.needed(), "; ") + ".")
	case o.cat == nil:
		say("Not judged: " + clean(o.firstError()) + ".")
	case blocked != "":
		say("Not judged: mend the job first, " + blocked + ".")
	case o.own == nil || o.own.Load == nil:
		say("judging ...")
	default:
		lines = append(lines, o.verdicts(w, ways)...)
	}
	return lines
}

func (o *ownForm) verdicts(w, ways int) []string {
	var lines []string
	for i, text := range sheet.OwnVerdicts(o.own, o.draft.ID()) {
		for _, l := range wrapAt(" ", text, w) {
			if i < len(o.own.Rows) {
				l = o.st.verdict[o.own.Rows[i].Verdict].Render(l)
			}
			lines = append(lines, l)
		}
		if rest := len(o.own.Rows) - i - 1; rest > 0 && (i+1 >= ways || i == 1 && len(o.own.Rows) > waysShown) {
			more := fmt.Sprintf(" and %d more ways", rest)
			if rest == 1 {
				more = " and one more way"
			}
			lines = append(lines, more)
			break
		}
	}
	wanted := sheet.WantedFigures(o.own.Best)
	if len(wanted) == 0 {
		return append(lines, o.beside(w)...)
	}
	lines = append(lines, " Unproven without these, the most decisive first:")
	for _, f := range wanted {
		for i, l := range wrap(inWords(wantedText(o.labelOf(f.Figure), &f)), w-3) {
			lead := " - "
			if i > 0 {
				lead = "   "
			}
			lines = append(lines, lead+clean(l))
		}
	}
	return append(lines, o.beside(w)...)
}

// labelOf is what the form calls a figure by its key, "" where it has none.
func (o *ownForm) labelOf(key string) string {
	for i := range o.fields {
		if f := &o.fields[i]; f.Key == key {
			return f.Label
		}
	}
	return ""
}

// wantedText says in words which figure is wanted, what would do, and what it leaves
// unproven. label is its name on the screen, "" for none.
func wantedText(label string, f *sheet.Wanted) string {
	switch {
	case strings.HasPrefix(f.Figure, "load."):
		label = labelOf(f.Figure) + ", on Job"
	case label == "" && f.What != "":
		label = f.What + " (" + f.Figure + ")"
	case label == "":
		label = f.Figure
	}
	if f.Alone {
		return label + ": " + f.Suffices + " would do for " + f.Leaves
	}
	return label + "; unproven without it: " + f.Leaves
}

// beside shows the rows around the best one of this part.
func (o *ownForm) beside(w int) []string {
	if o.own.Place == 0 {
		return nil
	}
	lines := []string{" Beside the others:"}
	rows := o.own.Load.Rows
	from := max(o.own.Place-3, 0)
	for i := from; i < min(from+5, len(rows)); i++ {
		r := &rows[i]
		mark := "   "
		if i == o.own.Place-1 {
			mark = " > "
		}
		text := fmt.Sprintf("%s %s %s %s", fit(clean(r.Part), 22), fit(usedAs(r), usedLong), fit(r.Verdict.Sign()+" "+r.Verdict.String(), 10), fitRight(sheet.Headroom(r.Headroom), 5))
		lines = append(lines, clip(mark+o.st.verdict[r.Verdict].Render(text)+" "+sheet.Amount(r.Cost.Amount), w))
	}
	return lines
}
