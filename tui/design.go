package tui

import (
	"fmt"
	"slices"
	"strings"

	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/sheet"
)

// designPane tells the design at the cursor of Parts in full. Its lines are made
// when the design or the width changes, not on every key.
type designPane struct {
	st    *styles
	ascii bool

	input  *engine.Input    // what the design was asked about
	det    *engine.Detailed // nil: none yet
	failed string
	every  bool // every check in full

	w, h     int
	lines    []docLine
	sections []section
	top      int
	jumped   int // the section that s went to, which may begin below the first line
	shift    int // columns that pictures are shifted to the left
}

// docLine is a line of the document; a picture is not wrapped, but shifted.
type docLine struct {
	text    string
	picture bool
}

type section struct {
	name string
	line int
}

func newDesignPane(ascii bool, st *styles) *designPane {
	return &designPane{st: st, ascii: ascii}
}

// set shows a design. The place in the text stays where it is the same design.
func (p *designPane) set(in *engine.Input, det *engine.Detailed) {
	if p.det == nil || det == nil || p.det.Row.Key != det.Row.Key {
		p.toTop()
	}
	p.input, p.det, p.failed = in, det, ""
	p.build()
}

// toTop goes to where the text begins.
func (p *designPane) toTop() { p.top, p.jumped, p.shift = 0, 0, 0 }

// fail shows why there is no design.
func (p *designPane) fail(why string) {
	p.det, p.failed = nil, why
	p.build()
}

// setSize is called when the layout changes.
func (p *designPane) setSize(w, h int) {
	p.h = max(h-designHead, 1)
	if w == p.w {
		return
	}
	p.w = w
	name, below := "", 0 // another width wraps anew: what is read stays in its section
	if len(p.sections) > 0 {
		s := p.sections[p.here()]
		name, below = s.name, p.top-s.line
	}
	p.build()
	for i, s := range p.sections {
		if s.name != name {
			continue
		}
		last := len(p.lines) - 1
		if i+1 < len(p.sections) {
			last = p.sections[i+1].line - 1
		}
		p.top = scrolled(min(s.line+below, last), len(p.lines), p.h)
	}
}

// designHead is the lines above the text: what it is, what it rests on, sections.
const designHead = 4

// Key takes one key.
func (p *designPane) Key(act action) {
	switch act {
	case actSection:
		p.jump(1)
	case actSectionBack:
		p.jump(-1)
	case actExpand:
		p.every = !p.every
		p.build()
	case actLeft, actRight:
		p.aside(act)
	}
	p.top = scrolled(moved(p.top, p.h-1, act), len(p.lines), p.h)
}

// aside shifts a picture that is wider than the pane while it is on the screen; where none
// is, the sections lie side by side.
func (p *designPane) aside(act action) {
	wide := widest(p.lines[p.top:min(p.top+p.h, len(p.lines))], p.w)
	switch {
	case wide == 0 && act == actLeft:
		p.jump(-1)
	case wide == 0:
		p.jump(1)
	case act == actLeft:
		p.shift = max(p.shift-shiftStep, 0)
	default:
		p.shift = min(p.shift+shiftStep, wide)
	}
}

const shiftStep = 8

// widest is how far pictures of some lines reach beyond w columns.
func widest(lines []docLine, w int) int {
	n := 0
	for _, l := range lines {
		if l.picture {
			n = max(n, width(l.text)-w+2)
		}
	}
	return max(n, 0)
}

// here is the section at hand: the one that s went to while its place is on the screen,
// for the last ones cannot begin at the first line, else the one of the first line.
func (p *designPane) here() int {
	if j := p.jumped; j > 0 && j < len(p.sections) && p.top == scrolled(p.sections[j].line, len(p.lines), p.h) {
		return j
	}
	at := 0
	for i := range p.sections {
		if p.sections[i].line <= p.top {
			at = i
		}
	}
	return at
}

func (p *designPane) jump(step int) {
	if len(p.sections) == 0 {
		return
	}
	here, n := p.here(), len(p.sections)
	to := (here + step + n) % n // round again
	if step < 0 && p.top > p.sections[here].line {
		to = here
	}
	p.top, p.jumped = p.sections[to].line, to
}

// View draws the design on w by h cells.
func (p *designPane) View(w, h int, s state) []string {
	if p.det == nil {
		text := p.failed
		switch {
		case text != "":
		case s.why != "":
			text = "no design: " + s.why
		default:
			text = "no design yet"
		}
		return window(wrapAt(" ", text, w), 0, h)
	}
	out := p.head(w, s)
	if h < designHead+4 {
		out = out[:1]
	}
	body := h - len(out)
	p.top = scrolled(p.top, len(p.lines), body)
	for i := p.top; i < p.top+body; i++ {
		line := ""
		if i < len(p.lines) {
			line = p.shown(&p.lines[i])
		}
		out = append(out, line)
	}
	return window(out, 0, h)
}

func (p *designPane) shown(l *docLine) string {
	if !l.picture || p.shift == 0 {
		return l.text
	}
	runes := []rune(l.text)
	return string(runes[min(p.shift, len(runes)):])
}

// position says which lines are on the screen.
func (p *designPane) position() string {
	if p.det == nil || len(p.lines) == 0 {
		return ""
	}
	last := min(p.top+p.h, len(p.lines))
	return fmt.Sprintf("lines %d-%d of %d", min(p.top+1, last), last, len(p.lines))
}

func (p *designPane) head(w int, s state) []string {
	r, d := &p.det.Row, p.det.Design
	verdict := d.Verdict.Sign() + " " + d.Verdict.String()
	if s.old {
		verdict = "was " + d.Verdict.String() + ", before the last edit"
	}
	paint := p.st.verdict[d.Verdict]
	if s.old {
		paint = p.st.dim
	} else {
		verdict += "  " + sheet.Headroom(d.Headroom) + "  " + sheet.Bar(d.Verdict, d.Headroom)
	}
	name := clean(r.Part) + " as " + usedAs(r)
	facts := []string{strings.TrimSpace(sheet.Amount(d.Cost.Amount) + " " + clean(d.Cost.Currency)), "heat " + sheet.Heat(r.Heat), fmt.Sprintf("%d pieces", r.Parts)}
	return []string{
		clip(" "+p.st.title.Render(name)+"   "+paint.Render(verdict), w),
		" " + titled(r, facts, w-2),
		clip(" "+p.summary(w-2), w),
		p.sectionLine(w),
	}
}

// summary says in a line of w columns what the verdict rests on.
func (p *designPane) summary(w int) string {
	d := p.det.Design
	switch d.Verdict {
	case design.Fits:
		return p.room(w)
	case design.Tight:
		return "inside the ratings, without the margin that is asked: " + p.namesOf(design.Tight)
	case design.Unproven:
		return "not everything is guaranteed: " + p.namesOf(design.Unproven)
	}
	return "it would fail: " + p.namesOf(design.Over)
}

// room says of a design that fits what runs out first, and how much more load it bears;
// on a narrow screen in fewer words, for no number is cut.
func (p *designPane) room(w int) string {
	first := ""
	if p.det.Design.Limiting >= 0 {
		first = p.limiting()
	}
	line := func(fit, runs, upTo, stops, end string) string {
		text := fit
		if first != "" {
			text += "; " + first + runs
		}
		if f := p.det.Factor; f != nil {
			text += "; " + upTo + sheet.Headroom(design.Known(f.Value)) + " times the load"
			// What stops it by then need not be what has least room now.
			if stop := sheet.ShortCheck(f.Check, f.Stage); stop != first {
				text += stops + stop + end
			}
		}
		return text
	}
	text := line("every check fits", " runs out first", "fits up to ", ", then ", " stops it")
	if width(text) > w {
		text = line("every check fits", " runs out first", "to ", " (", ")")
	}
	if width(text) > w {
		text = line("all fit", " first", "to ", " (", ")")
	}
	return text
}

func (p *designPane) limiting() string {
	c := &p.det.Design.Checks[p.det.Design.Limiting]
	return sheet.ShortCheck(c.ID, c.Stage)
}

func (p *designPane) namesOf(v design.Verdict) string {
	d := p.det.Design
	var names []string
	for _, i := range sheet.Ordered(d) {
		if c := &d.Checks[i]; c.Verdict == v {
			names = append(names, sheet.ShortCheck(c.ID, c.Stage))
		}
	}
	return strings.Join(names, ", ")
}

// sectionLine lists the sections around the one at hand.
func (p *designPane) sectionLine(w int) string {
	at := p.here()
	from := 0
	for from < at && p.sectionsWidth(from, at) > w-2 {
		from++
	}
	line := " "
	for i := from; i < len(p.sections); i++ {
		name := p.sections[i].name
		if i == at {
			name = p.st.head.Render("[" + name + "]")
		} else {
			name = p.st.dim.Render(" " + name + " ")
		}
		if width(line)+width(name) > w {
			break
		}
		line += name
	}
	return line
}

func (p *designPane) sectionsWidth(from, to int) int {
	n := 0
	for i := from; i <= to; i++ {
		n += width(p.sections[i].name) + 2
	}
	return n
}

// build makes the lines: checks first, then what else the sheet tells.
func (p *designPane) build() {
	p.lines, p.sections = nil, nil
	if p.det == nil || p.w == 0 {
		return
	}
	doc := sheet.Sheet(p.input, p.det, sheet.SheetOptions{ASCII: p.ascii})
	parts := chapters(doc.Blocks)
	p.checks(parts)
	for _, name := range sectionOrder {
		p.chapter(parts, name)
		if name[0] == "Bill of materials" {
			p.whatTheyAre()
		}
	}
	for i := range parts {
		if !slices.ContainsFunc(sectionOrder, func(n [2]string) bool { return n[0] == parts[i].heading }) && parts[i].heading != checksHeading {
			p.chapter(parts, [2]string{parts[i].heading, strings.ToLower(parts[i].heading)})
		}
	}
	p.top = scrolled(p.top, len(p.lines), p.h)
	p.shift = min(p.shift, widest(p.lines, p.w))
}

// Headings of the sheet that the screen looks for.
const (
	checksHeading  = "Checks"
	circuitHeading = "Circuit"
	valuesHeading  = "Values"
)

// withoutNames tells values by what they are: on the screen nobody asks for the names
// that files and machine output have for them.
func withoutNames(blocks []sheet.Block) []sheet.Block {
	out := slices.Clone(blocks)
	for i := range out {
		t := out[i].Table
		if t == nil {
			continue
		}
		short := sheet.Table{Head: t.Head[1:], Right: t.Right[1:]}
		for _, r := range t.Rows {
			what := r[2]
			if strings.HasPrefix(r[0], "driver.") {
				what += ", of the driver"
			}
			short.Rows = append(short.Rows, []string{r[1], what})
		}
		out[i].Table = &short
	}
	return out
}

// whatTheyAre says what each part of the bill is, for it is bought by that.
func (p *designPane) whatTheyAre() {
	if p.input.Catalog == nil {
		return
	}
	var facts []sheet.Fact
	for _, l := range p.det.Design.BOM {
		if part, ok := p.input.Catalog.Part(l.Part); ok && part.Base().Title != "" {
			facts = append(facts, sheet.Fact{Label: l.Ref, Text: part.Base().Title})
		}
	}
	p.facts(facts, 2)
}

// sectionOrder is the order of the screen, most decisive first, and what each is
// called there. A heading of the sheet that is not here comes last.
var sectionOrder = [][2]string{
	{"Missing figures", "missing"},
	{circuitHeading, "circuit"},
	{valuesHeading, "values"},
	{"Bill of materials", "bill"},
	{"What a meter should read", "meter"},
	{"Load factor", "load factor"},
	{"Your part must promise", "promises"},
	{"Cautions", "cautions"},
	{"If something fails", "if it fails"},
	{"Assumed", "assumed"},
	{"Not applicable", "not owed"},
	{"Job", "job"},
	{"What this sheet cannot know", "unknown"},
}

type chapter struct {
	heading string
	blocks  []sheet.Block
}

// chapters parts a document at its headings; what stands before the first has none.
func chapters(blocks []sheet.Block) []chapter {
	out := []chapter{{}}
	for _, b := range blocks {
		if b.Heading != "" {
			out = append(out, chapter{heading: b.Heading})
			continue
		}
		last := &out[len(out)-1]
		last.blocks = append(last.blocks, b)
	}
	return out[1:]
}

func (p *designPane) chapter(parts []chapter, name [2]string) {
	for i := range parts {
		if parts[i].heading == name[0] && name[0] != "" {
			p.begin(parts[i].heading, name[1])
			if name[0] == valuesHeading {
				p.blocks(withoutNames(parts[i].blocks))
				continue
			}
			p.blocks(parts[i].blocks)
		}
	}
}

func (p *designPane) begin(title, name string) {
	if len(p.lines) > 0 {
		p.say("")
	}
	p.sections = append(p.sections, section{name, len(p.lines)})
	p.say(" " + p.st.head.Render(clip(title, p.w-1)))
}

func (p *designPane) say(lines ...string) {
	for _, l := range lines {
		p.lines = append(p.lines, docLine{text: clip(l, p.w)})
	}
}

// checks lists every check in a line, and in full those that decide: the limiting
// one and whatever does not fit.
func (p *designPane) checks(parts []chapter) {
	d := p.det.Design
	if len(d.Checks) == 0 {
		return
	}
	facts := checkFacts(parts)
	p.begin("Checks: demanded of allowed, each at its worst corner", "checks")
	for n, i := range sheet.Ordered(d) {
		c := &d.Checks[i]
		p.say(p.checkLine(c, i == d.Limiting))
		if n < len(facts) && (p.every || i == d.Limiting || c.Verdict != design.Fits) {
			p.facts(facts[n], 4)
		}
	}
	if !p.every {
		p.say(" " + p.st.dim.Render("e shows every check in full"))
	}
}

// checkFacts gives the facts of each check in the order they are told: a check
// begins with its title.
func checkFacts(parts []chapter) [][]sheet.Fact {
	var out [][]sheet.Fact
	for i := range parts {
		if parts[i].heading != checksHeading {
			continue
		}
		for _, b := range parts[i].blocks {
			switch {
			case b.Sub != "":
				out = append(out, nil)
			case len(b.Facts) > 0 && len(out) > 0:
				out[len(out)-1] = append(out[len(out)-1], b.Facts...)
			}
		}
	}
	return out
}

func (p *designPane) checkLine(c *design.Check, limiting bool) string {
	stress, rating, allowed := sheet.Sides(c)
	text := stress + " of " + allowed
	switch {
	case allowed == "" || !c.Allowed.OK:
		text = stress + " of " + rating
	case c.Verdict == design.Tight:
		text = stress + " of " + allowed + " allowed, " + rating + " rated"
	}
	style := p.st.verdict[c.Verdict]
	line := "  " + style.Render(fit(c.Verdict.Sign()+" "+c.Verdict.String(), 10)) + " " +
		fit(sheet.ShortCheck(c.ID, c.Stage), checkColumns(p.w)) + " " + fitRight(sheet.Headroom(c.Headroom), 5) + " " +
		style.Render(sheet.Bar(c.Verdict, c.Headroom)) + "  " + text
	if c.Verdict == design.Fits && !limiting && c.Headroom.OK && c.Headroom.V < nearOne { // it is no lack of room
		near := map[design.Sort]string{design.Set: chosenSo, design.Proof: metIsEnough}[c.ID.Sort()]
		if near != "" && width(line+near) <= p.w {
			return line + near
		}
	}
	const first = "; runs out first" // the head says it too
	if limiting && c.Verdict <= design.Tight && width(line+first) <= p.w {
		line += first
	}
	return line
}

// chosenSo stands behind what a value was chosen for, metIsEnough behind what is met or
// not, with no more to gain.
const (
	chosenSo    = "; chosen so"
	metIsEnough = "; met is enough"
)

// nearOne is the headroom below which a check that is met by a choice says so.
const nearOne = 1.2

// checkColumns is the room for a check's name.
func checkColumns(w int) int {
	if w < 60 {
		return 12
	}
	return 16
}

func (p *designPane) blocks(blocks []sheet.Block) {
	for i := range blocks {
		b := &blocks[i]
		switch {
		case b.Sub != "":
			p.say(wrapAt(" ", inWords(clean(b.Sub)), p.w)...)
		case b.Para != "":
			p.say(wrapAt(" ", inWords(clean(b.Para)), p.w)...)
		case b.Pre != "":
			for _, l := range strings.Split(strings.TrimRight(sheet.Clean(b.Pre), "\n"), "\n") {
				p.lines = append(p.lines, docLine{text: " " + l, picture: true})
			}
		case b.Table != nil:
			p.table(b.Table)
		}
		for _, it := range b.Items {
			p.hang(" - ", inWords(clean(it)))
		}
		p.facts(b.Facts, 2)
	}
}

// hang writes a text behind a label, its further lines under its first.
func (p *designPane) hang(label, text string) {
	indent := width(label)
	for i, l := range wrap(text, p.w-indent) {
		if i > 0 {
			label = blank(indent)
		}
		p.say(label + l)
	}
}

func (p *designPane) facts(facts []sheet.Fact, indent int) {
	w := 0
	for _, f := range facts {
		w = max(w, width(f.Label))
	}
	for _, f := range facts {
		p.hang(blank(indent)+p.st.dim.Render(fit(clean(f.Label), w))+"  ", inWords(clean(f.Text)))
	}
}

// lastColumn is the least room for the last column of a table: with less its text
// goes below the row.
const lastColumn = 24

// table lays a table out; the last column takes what is left and is wrapped.
func (p *designPane) table(t *sheet.Table) {
	n := len(t.Head)
	if n == 0 {
		return
	}
	widths := make([]int, n)
	for i := range n {
		widths[i] = width(clean(t.Head[i]))
		for _, r := range t.Rows {
			widths[i] = max(widths[i], width(inWords(clean(r[i]))))
		}
	}
	room := p.w - 2
	for i := range n - 1 {
		widths[i] = min(widths[i], max(room/2, 8))
		room -= widths[i] + 2
	}
	narrow := room < lastColumn
	if right := n - 1; !narrow {
		widths[right] = min(widths[right], room)
	}
	p.tableRow(t, t.Head, widths, narrow, true)
	for _, r := range t.Rows {
		p.tableRow(t, r, widths, narrow, false)
	}
}

func (p *designPane) tableRow(t *sheet.Table, cells []string, widths []int, narrow, head bool) {
	n := len(cells)
	var b strings.Builder
	b.WriteString("  ")
	for i := range n - 1 {
		cell := fit(inWords(clean(cells[i])), widths[i])
		if t.Right != nil && t.Right[i] {
			cell = fitRight(clean(cells[i]), widths[i])
		}
		b.WriteString(cell + "  ")
	}
	line, last := b.String(), inWords(clean(cells[n-1]))
	paint := func(s string) string {
		if head {
			return p.st.dim.Render(s)
		}
		return s
	}
	switch {
	case narrow && head:
		p.say(paint(line))
	case narrow:
		p.say(line)
		p.hang("      ", last)
	case t.Right != nil && t.Right[n-1]:
		p.say(paint(line + fitRight(last, widths[n-1])))
	default:
		for i, l := range wrap(last, widths[n-1]) {
			if i > 0 {
				line = blank(width(line))
			}
			p.say(paint(line + l))
		}
	}
}
