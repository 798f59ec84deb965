package tui

import (
	"fmt"
	"slices"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/quantity"
	"example.org/pinhoist/internal/sheet"
)

// partsPane is the shortlist of one load: order, filters and a cursor that stays
// with its design whatever becomes of the rows around it.
type partsPane struct {
	st       *styles
	ask      Asker
	currency string

	load     *engine.LoadResult // nil: no answer yet
	longest  int                // columns of its longest id
	shown    engine.Arranged
	view     engine.View
	selected string // key of the design at the cursor
	chosen   bool   // the person put the cursor there; else it stays on the first row
	top      int
	height   int // rows of the last view, for paging
	above    int // lines above the first row of the last view
	note     string
	fixKey   string   // on Design, shows what would help
	stops    []string // where nothing fits: at which checks designs stop, the commonest first
	refused  string   // why the last key did nothing; until the next one
	marked   []string // keys of the designs to stand side by side

	filtering bool
	filter    filterPanel
	typing    bool // the text filter has the keys
}

func newPartsPane(ask Asker, currency string, st *styles) *partsPane {
	return &partsPane{st: st, ask: ask, currency: currency, view: engine.View{Order: engine.ByCost}}
}

// setResult takes a new answer. The order, the filters and the design at the
// cursor stay.
func (p *partsPane) setResult(load *engine.LoadResult) {
	p.load, p.longest, p.stops = load, 0, nil
	if load != nil {
		p.longest, p.stops = longestPart(load.Rows), stopsOf(load.Rows)
	}
	// A load may have got another name; its designs are the same ones.
	if _, name, ok := strings.Cut(p.selected, "/"); ok && load != nil {
		p.selected = load.Name + "/" + name
	}
	p.arrange()
}

// arrange orders and filters the rows. A cursor that the person moved stays with
// its design; where that is gone, it goes to the first row and says so.
func (p *partsPane) arrange() {
	p.shown = engine.Arranged{}
	if p.load == nil {
		return
	}
	p.shown = p.ask.Arrange(p.load.Rows, p.view)
	if len(p.shown.Rows) == 0 || p.chosen && p.index() >= 0 {
		return
	}
	if p.chosen {
		p.note = "first row: " + designName(p.selected) + " is not listed now"
	}
	p.selected, p.top, p.chosen = p.shown.Rows[0].Key, 0, false
}

// designName is a key without its load.
func designName(key string) string {
	if _, name, ok := strings.Cut(key, "/"); ok {
		return clean(name)
	}
	return clean(key)
}

// index is the place of the cursor among the rows, -1 where there is none.
func (p *partsPane) index() int {
	return slices.IndexFunc(p.shown.Rows, func(r *engine.Row) bool { return r.Key == p.selected })
}

// row is the row at the cursor, nil where there is none.
func (p *partsPane) row() *engine.Row {
	if i := p.index(); i >= 0 {
		return p.shown.Rows[i]
	}
	return nil
}

func (p *partsPane) move(by int) {
	if n := len(p.shown.Rows); n > 0 {
		p.chosen = true
		p.selected = p.shown.Rows[max(min(p.index()+by, n-1), 0)].Key
	}
}

var orders = []struct {
	order engine.Order
	text  string
}{
	{engine.ByCost, "by verdict, then cost"},
	{engine.ByHeadroom, "by headroom, most first"},
	{engine.ByHeat, "by heat, least first"},
	{engine.ByParts, "by number of parts, fewest first"},
	{engine.BySpeed, "by turn-off, fastest first"},
}

func (p *partsPane) orderIndex() int {
	for i := range orders {
		if orders[i].order == p.view.Order {
			return i
		}
	}
	return 0
}

// Key takes one key of the rows.
func (p *partsPane) Key(act action) {
	p.note = ""
	switch act {
	case actUp:
		p.move(-1)
	case actDown:
		p.move(1)
	case actPageUp:
		p.move(-max(p.height-1, 1))
	case actPageDown:
		p.move(max(p.height-1, 1))
	case actTop:
		p.move(-len(p.shown.Rows))
	case actBottom:
		p.move(len(p.shown.Rows))
	case actOrder:
		p.view.Order = orders[(p.orderIndex()+1)%len(orders)].order
		p.arrange()
	case actFilters:
		p.filtering = true
		p.filter.open(p)
	case actText:
		p.typing = true
	case actClear:
		p.clear()
	case actMark:
		p.mark()
	}
}

func (p *partsPane) clear() {
	p.view = engine.View{Order: p.view.Order}
	p.filter.cost = ""
	p.arrange()
}

// filtered reports whether any filter is set.
func (p *partsPane) filtered() bool {
	bare := engine.View{Order: p.view.Order}
	return p.view != bare
}

// TextKey takes one key of the text filter.
func (p *partsPane) TextKey(act action, k tea.KeyMsg) {
	switch act {
	case actUp, actDown:
		p.Key(act)
	case actEnter:
		p.typing = false
	case actClose:
		p.typing = false
		p.setText("")
	case actNone:
		p.textKey(k)
	}
}

func (p *partsPane) textKey(k tea.KeyMsg) {
	if k.Type == tea.KeyCtrlU {
		p.setText("")
		return
	}
	if text := typedInto(p.view.Text, k, textLimit); text != p.view.Text {
		p.setText(text)
	}
}

func (p *partsPane) setText(text string) {
	p.note = ""
	p.view.Text = text
	p.arrange()
}

// state is how the answer on screen stands to the job.
type state struct {
	old    bool   // it is of the job before the last edit
	why    string // why there is no newer one
	failed string // what the engine said
}

// View draws the shortlist on w by h cells.
func (p *partsPane) View(w, h int, s state) []string {
	if p.load == nil {
		return window(wrapAt(" ", p.nothing(s), w), 0, h)
	}
	var head []string
	if s.old && s.why != "" {
		head = append(head, " "+p.st.caution.Render(clip("! the answer before the last edit; "+s.why+" (Esc goes there)", w-1)))
	}
	if p.filtering {
		head = append(head, p.filter.lines(p, w)...)
	}
	cols := columnsFor(w, p.longest) // of all rows: a filter moves no column
	head = append(head, p.headLine(cols))
	foot := p.footLines(w)
	if h < len(head)+len(foot)+3 {
		foot = foot[len(foot)-1:]
	}
	if h < len(head)+len(foot)+1 {
		head, foot = head[:min(len(head), max(h-1, 0))], nil
	}
	body := max(h-len(head)-len(foot), 0)
	p.above = len(head)
	return window(append(append(head, p.rows(cols, body, s)...), foot...), 0, h)
}

func (p *partsPane) nothing(s state) string {
	switch {
	case s.failed != "":
		return s.failed
	case s.why != "":
		return "no shortlist: " + s.why + " (Esc goes to the field)"
	}
	return "designing a stage around every part ..."
}

func wrapAt(indent, text string, w int) []string {
	lines := wrap(text, w-len(indent))
	for i := range lines {
		lines[i] = indent + lines[i]
	}
	return lines
}

// column is one column of the table.
type column struct {
	head  string
	w     int
	right bool
	cell  func(*engine.Row) string
}

// The columns in the order shown; those with the highest drop go first where the
// pane is narrow. What is to spare goes to the part's id, then to how it is used.
// The bar keeps its place in every row.
func columnsFor(w, longest int) []column {
	type sized struct {
		column
		drop int
	}
	all := []sized{
		{column{"part", 14, false, func(r *engine.Row) string { return clean(r.Part) }}, 0},
		{column{"used as", usedShort, false, usedAs}, 4},
		{column{"verdict", 10, false, nil}, 0},
		{column{"room", 5, true, func(r *engine.Row) string { return sheet.Headroom(r.Headroom) }}, 1},
		{column{"0   |1+", 7, false, func(r *engine.Row) string { return sheet.Bar(r.Verdict, r.Headroom) }}, 5},
		{column{"runs out", 12, false, runsOut}, 2},
		{column{"cost", 5, true, func(r *engine.Row) string { return sheet.Amount(r.Cost.Amount) }}, 3},
		{column{"heat", 7, true, func(r *engine.Row) string { return sheet.Heat(r.Heat) }}, 6},
		{column{"pieces", 6, true, func(r *engine.Row) string { return fmt.Sprint(r.Parts) }}, 7},
		{column{"turn-off", 8, true, seconds}, 8},
	}
	partMore := max(longest-all[0].w, 0)
	total := func(most int) int {
		n := 3 - 1 + 1 // marks, no blank before the first, one free at the right end
		for _, c := range all {
			if c.drop <= most {
				n += c.w + 1
			}
		}
		if most > 5 { // columns beyond the bar come only when ids are whole
			n += partMore
		}
		return n
	}
	most := 8
	for most > 0 && total(most) > w {
		most--
	}
	var out []column
	for _, c := range all {
		if c.drop <= most {
			out = append(out, c.column)
		}
	}
	spare := w - total(min(most, 5)) - (total(most) - total(min(most, 5)))
	if most > 5 {
		spare += partMore
	}
	grow := min(max(spare, 0), partMore)
	out[0].w += grow
	if most >= 4 && spare-grow >= usedLong-usedShort {
		out[1].w = usedLong
	}
	return out
}

// Columns of how a part is used: with the side, and without the usual one.
const (
	usedShort = 8
	usedLong  = 12
)

func longestPart(rows []engine.Row) int {
	n := 0
	for i := range rows {
		n = max(n, width(rows[i].Part))
	}
	return n
}

func usedAs(r *engine.Row) string {
	s := sheet.UsedAs(r.Topology)
	if r.Variant != "" {
		s += " " + clean(r.Variant)
	}
	return s
}

// usedBriefly is usedAs for a narrow column: the side goes, which the part's own id
// tells.
func usedBriefly(used string) string {
	for _, side := range []string{" low", " high"} {
		used = strings.TrimSuffix(used, side)
	}
	if used == "darlington" {
		return "npn darl"
	}
	return used
}

func runsOut(r *engine.Row) string {
	if r.Limiting == nil {
		return ""
	}
	return sheet.ShortCheck(r.Limiting.ID, r.Limiting.Stage)
}

func seconds(r *engine.Row) string {
	if !r.TurnOff.OK {
		return "--"
	}
	return quantity.Display(r.TurnOff.V, "s", 2, quantity.Up)
}

func (p *partsPane) headLine(cols []column) string {
	cells := make([]string, len(cols))
	for i, c := range cols {
		cells[i] = fit(c.head, c.w)
		if c.right {
			cells[i] = fitRight(c.head, c.w)
		}
	}
	return "   " + p.st.dim.Render(strings.TrimRight(strings.Join(cells, " "), " "))
}

// rows draws the rows that are seen, and only those.
func (p *partsPane) rows(cols []column, h int, s state) []string {
	p.height = h
	if len(p.shown.Rows) == 0 {
		return window([]string{"   " + p.empty()}, 0, h)
	}
	p.top = follow(p.top, max(p.index(), 0), len(p.shown.Rows), h)
	out := make([]string, h)
	for i := range out {
		if at := p.top + i; at < len(p.shown.Rows) {
			out[i] = p.rowLine(cols, p.shown.Rows[at], s)
		}
	}
	return out
}

func (p *partsPane) empty() string {
	if p.filtered() {
		return "no row passes the filters (c clears them)"
	}
	return "no topology of this version serves this load (n says why)"
}

func (p *partsPane) rowLine(cols []column, r *engine.Row, s state) string {
	here := r.Key == p.selected
	verdict := p.st.verdict[r.Verdict]
	if s.old {
		verdict = p.st.dim
	}
	var b strings.Builder
	lead := marks(r, here)
	if slices.Contains(p.marked, r.Key) {
		lead = lead[:1] + "m " // in place of the frontier's sign
	}
	b.WriteString(lead)
	for i, c := range cols {
		cell := ""
		switch {
		case c.head == "verdict":
			cell = verdict.Render(fit(verdictWord(r, s), c.w))
		case c.head == "part":
			cell = fitMiddle(c.cell(r), c.w)
		case c.head == "used as" && c.w < usedLong:
			cell = fit(usedBriefly(c.cell(r)), c.w)
		case c.right:
			cell = fitRight(c.cell(r), c.w)
		default:
			cell = fit(c.cell(r), c.w)
		}
		if strings.Contains(c.head, "|") {
			if s.old { // nothing crosses the limit that is not known to be safe
				cell = fit("    |", c.w)
			}
			cell = verdict.Render(cell)
		} else if here && i == 0 {
			cell = p.st.cursor.Render(cell)
		}
		if i > 0 {
			b.WriteByte(' ')
		}
		b.WriteString(cell)
	}
	return b.String()
}

// verdictWord is the verdict with its sign; of an old answer it stands in brackets
// and without.
func verdictWord(r *engine.Row, s state) string {
	if s.old {
		return "(" + r.Verdict.String() + ")"
	}
	return r.Verdict.Sign() + " " + r.Verdict.String()
}

func marks(r *engine.Row, here bool) string {
	cursor, mark := " ", " "
	if here {
		cursor = ">"
	}
	switch {
	case r.Built:
		mark = "b"
	case r.Frontier:
		mark = "*"
	}
	return cursor + mark + " "
}

// footLines say what stands at the cursor, and how the rows are looked at.
func (p *partsPane) footLines(w int) []string {
	lines := []string{"", "", ""}
	if r := p.row(); r != nil {
		used := usedAs(r) + ": " + sheet.UsedHow(r.Topology)
		if part := clean(r.Part); width(part) > columnsFor(w, p.longest)[0].w { // its row cuts it
			used = part + " as " + used
		}
		lines[0] = " " + p.st.dim.Render(clip(used, w-1))
		lines[1] = " " + p.about(r, w-2)
	}
	lines[2] = " " + p.st.dim.Render(clip(p.viewText(w-2), w-1))
	if way := p.wayOut(w - 2); way != "" {
		lines[0] = " " + p.st.caution.Render(way)
	}
	switch {
	case p.typing:
		lines[2] = " " + clip("text: "+p.view.Text+"|", w-1)
	case p.refused != "":
		lines[0] = " " + p.st.caution.Render(clip("! "+p.refused, w-1))
	case p.note != "":
		lines[0] = " " + p.st.caution.Render(clip("! "+p.note, w-1))
	}
	return lines
}

func (p *partsPane) about(r *engine.Row, w int) string {
	facts := []string{"heat " + sheet.Heat(r.Heat), fmt.Sprintf("%d pieces", r.Parts)}
	if r.TurnOff.OK {
		facts = append(facts, "off in "+seconds(r))
	}
	return titled(r, facts, w)
}

// titled is what a part is, and facts of its stage, on w columns. Where all have no room
// the title gives way: a long one says more than anyone asks here, the facts stand nowhere
// else on a narrow screen.
func titled(r *engine.Row, facts []string, w int) string {
	title, tail := strings.Join(titleWords(r), ", "), ", "+strings.Join(facts, ", ")
	if room := w - width(tail); room >= 12 {
		return clip(title, room) + tail
	}
	return clip(title+tail, w)
}

// titleWords is what a part is, and its package unless the title says it.
func titleWords(r *engine.Row) []string {
	words := []string{clean(r.Title)}
	if r.Package != "" && !strings.Contains(strings.ToLower(r.Title), strings.ToLower(r.Package)) {
		words = append(words, clean(r.Package))
	}
	return words
}

func (p *partsPane) viewText(w int) string {
	text := orders[p.orderIndex()].text
	if p.view.Text != "" {
		text += `, with "` + clean(p.view.Text) + `"`
	}
	var hidden []string
	for _, h := range p.shown.Hidden {
		if h.Count > 0 {
			hidden = append(hidden, fmt.Sprintf("%d by %s", h.Count, clean(h.Filter)))
		}
	}
	if len(hidden) > 0 {
		text += ".  Hidden: " + strings.Join(hidden, ", ")
	}
	legend := "* frontier"
	if slices.ContainsFunc(p.shown.Rows, func(r *engine.Row) bool { return r.Built }) {
		legend = "* frontier  b as built"
	}
	if p.currency != "" {
		legend += "  cost in " + clean(p.currency)
	}
	if width(text)+1+width(legend) > w && len(hidden) > 0 {
		return text // what is hidden is told whole
	}
	return ends(text, legend, w)
}

// position says which rows are on the screen.
func (p *partsPane) position() string {
	n := len(p.shown.Rows)
	if n == 0 {
		return ""
	}
	text := fmt.Sprintf("%d of %d", p.index()+1, n)
	if hidden := p.shown.Total - n; hidden > 0 {
		text += fmt.Sprintf(", %d hidden", hidden)
	}
	return text
}

// tally counts the verdicts of all rows and names the first that fits.
func (p *partsPane) tally() string {
	if p.load == nil {
		return ""
	}
	var n [4]int
	best := ""
	for i := range p.load.Rows {
		r := &p.load.Rows[i]
		n[r.Verdict]++
		if r.Verdict == 0 && best == "" && r.Cost.Amount.OK { // a stage as built may have no price
			best = "; cheapest " + clean(r.Part)
		}
	}
	if len(p.stops) > 0 {
		best = "; most stop at " + strings.TrimLeft(p.stops[0], "0123456789 ")
	}
	return fmt.Sprintf("+ %d fit  ~ %d tight  ? %d unproven  x %d over%s", n[0], n[1], n[2], n[3], best)
}

// stopsOf says of rows none of which fits or is tight at which checks they stop, the
// commonest first; it is counted once for an answer, not for every frame.
func stopsOf(rows []engine.Row) []string {
	if slices.ContainsFunc(rows, func(r engine.Row) bool { return r.Verdict <= design.Tight }) {
		return nil
	}
	return sheet.StopsAt(rows)
}

// helping is a rail with which something fits, where nothing does.
func (p *partsPane) helping() engine.Helping {
	if p.load == nil {
		return engine.Helping{}
	}
	return p.load.Helping
}

// wayOut says on w columns why nothing fits and what to do about it, "" where something
// does.
func (p *partsPane) wayOut(w int) string {
	stops := p.stops
	if h := p.helping(); h.Fits > 0 && len(stops) > 0 {
		why := "! nothing fits; " + sheet.HelpingText(h)
		for _, way := range []string{": open a design, then " + p.fixKey, ": Enter, then " + p.fixKey, ""} {
			if width(why+way) <= w {
				return why + way
			}
		}
	}
	for n := min(len(stops), 2); n > 0; n-- {
		why := "! nothing fits: " + strings.Replace(stops[0], " ", " stop at ", 1)
		if n > 1 {
			why += ", " + strings.Replace(stops[1], " ", " at ", 1)
		}
		for _, way := range []string{". Open one, then " + p.fixKey + " tells what would help", "; open one, then " + p.fixKey, ""} {
			if width(why+way) <= w {
				return why + way
			}
		}
	}
	if len(stops) > 0 {
		return clip("! nothing fits", w)
	}
	return ""
}
