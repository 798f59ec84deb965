package sheet

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/job"
)

// ListOptions are how a shortlist is told.
type ListOptions struct {
	Width int // columns, at least 60; 0: 80
	Paint Paint
	View  engine.View
	Max   int    // rows of a load that are shown, 0: all
	Hint  string // what to type for a sheet; part and load are put behind it
	// Refused is what the policy alone refuses, of each load.
	Refused []engine.Refusal
	// Detail tells a design in full by its key, nil where it cannot; nil: what
	// would make the first design fit is not told.
	Detail func(key string) *engine.Detailed
}

// list is one load's answer on its way to a shortlist.
type list struct {
	res    *engine.Result
	load   *engine.LoadResult
	job    *job.Load // nil: unknown
	shown  engine.Arranged
	over   []*engine.Row // what the view would show but for its verdict
	opt    ListOptions
	place  string // "load 1 of 2"
	policy string
	brief  bool // the table is too wide for full words
	heat   bool // there is room for the heat
	near   bool // nothing but designs that are over is left: the nearest are shown
}

// lists arranges every load of a result.
func lists(in *engine.Input, res *engine.Result, o ListOptions) []*list {
	if o.Width == 0 {
		o.Width = Width
	}
	o.Width = max(o.Width, 60)
	out := make([]*list, len(res.Loads))
	for i := range res.Loads {
		l := &res.Loads[i]
		out[i] = &list{res: res, load: l, job: loadOf(in.Job, l.Name), shown: engine.Arrange(l.Rows, o.View), opt: o,
			over: refusedRows(l.Rows, o.View), place: fmt.Sprintf("load %d of %d", i+1, len(res.Loads)), policy: res.Policy}
	}
	return out
}

// refusedRows are the rows that a view hides for their verdict alone.
func refusedRows(rows []engine.Row, view engine.View) []*engine.Row {
	if !view.HideOver {
		return nil
	}
	view.HideOver = false
	return slices.DeleteFunc(engine.Arrange(rows, view).Rows, func(r *engine.Row) bool { return r.Verdict != design.Over || r.Built })
}

// nearest is how many refused designs are shown where there is nothing else.
const nearest = 5

// showNearest puts the refused designs that fail by least into an empty list, so
// that a person sees what stands in the way. Other programs get the empty list.
func (l *list) showNearest() {
	if len(l.shown.Rows) > 0 || len(l.over) == 0 {
		return
	}
	rows := slices.Clone(l.over)
	slices.SortStableFunc(rows, func(a, b *engine.Row) int { return cmp.Compare(b.Headroom.V, a.Headroom.V) })
	l.shown.Rows, l.near = rows[:min(nearest, len(rows))], true
}

// Shortlist tells the answer for a job as text: for each load a table of the
// designs the view shows, what it leaves out and why, what was assumed and what
// to beware of.
func Shortlist(in *engine.Input, res *engine.Result, o ListOptions) string {
	var b strings.Builder
	title := "pinhoist"
	if in.Job != nil && in.Job.Title != "" {
		title = oneLine(in.Job.Title)
	}
	b.WriteString(strings.Join(wrap(title+", policy "+oneLine(res.Policy), max(o.Width, Width)), "\n") + "\n")
	if text := policyText(res); text != "" {
		hang(&b, "", text, max(o.Width, Width))
	}
	for _, l := range lists(in, res, o) {
		l.text(&b)
	}
	if d := together(in, res); len(d.Blocks) > 0 {
		b.WriteString("\n")
		d.plain(&b, max(o.Width, Width))
	}
	return b.String()
}

func (l *list) text(b *strings.Builder) {
	head := l.place + ": " + l.load.Name
	if l.job != nil {
		head += ": " + LoadText(l.job) + "; " + RailText(&l.job.Rail) + "; " + useText(l.job)
	}
	b.WriteString("\n" + strings.Join(wrap(oneLine(head), l.opt.Width), "\n") + "\n")
	for _, c := range l.load.Cautions {
		hang(b, "! ", c.Text, l.opt.Width)
	}
	b.WriteString("\n")
	l.showNearest()
	if len(l.shown.Rows) == 0 {
		b.WriteString("  no design to show\n")
	} else {
		if l.near {
			b.WriteString(nearestText + "\n")
		}
		l.table(b)
	}
	b.WriteString("\n")
	for _, n := range l.notes() {
		hang(b, "", n, l.opt.Width)
	}
	if hint := l.hint(); hint != "" {
		b.WriteString("Any of them in full:\n  " + oneLine(hint) + "\n")
	}
}

const nearestText = "No design fits or could be proven to. Those that fail by least:"

// hint is what to type for the first design, in one line that can be copied.
func (l *list) hint() string {
	if l.opt.Hint == "" || len(l.shown.Rows) == 0 {
		return ""
	}
	text := l.opt.Hint
	if len(l.res.Loads) > 1 {
		text += " --load " + Quote(l.load.Name)
	}
	r := l.shown.Rows[0]
	text += " --part " + r.Part
	if slices.ContainsFunc(l.load.Rows, func(o engine.Row) bool { return o.Part == r.Part && o.Topology != r.Topology }) {
		text += " --topology " + r.Topology
	}
	if r.Built {
		text += " --variant " + r.Variant
	}
	return text
}

func (l *list) rows() []*engine.Row {
	if l.opt.Max > 0 && len(l.shown.Rows) > l.opt.Max {
		return l.shown.Rows[:l.opt.Max]
	}
	return l.shown.Rows
}

// column is one column of the table; cells wider than most are cut.
type column struct {
	head  string
	right bool
	most  int
	cell  func(*engine.Row) string
}

func (l *list) columns() []column {
	return []column{
		{"", false, 1, marker},
		{"part", false, 26, func(r *engine.Row) string { return r.Part }},
		{"used as", false, 14, l.usedAs},
		{"verdict", false, 10, func(r *engine.Row) string { return r.Verdict.Sign() + " " + r.Verdict.String() }},
		{"room", true, 5, func(r *engine.Row) string { return Headroom(r.Headroom) }},
		{"0   |1+", false, 7, func(r *engine.Row) string { return Bar(r.Verdict, r.Headroom) }},
		{"runs out", false, 14, runsOut},
		{"cost", true, 8, func(r *engine.Row) string { return amount(r.Cost.Amount) }},
		{"W", true, 6, func(r *engine.Row) string { return watts(r.Heat) }},
	}
}

func marker(r *engine.Row) string {
	switch {
	case r.Built:
		return "b"
	case r.Frontier:
		return "*"
	}
	return ""
}

// usedAs is the topology; where room is short without its side, which the rest
// of its name implies.
func (l *list) usedAs(r *engine.Row) string {
	s := UsedAs(r.Topology)
	if l.brief {
		s = strings.TrimSuffix(strings.TrimSuffix(s, " low"), " high")
	}
	if r.Variant != "" && !r.Built {
		s += " " + r.Variant
	}
	return s
}

func runsOut(r *engine.Row) string {
	if r.Limiting == nil {
		return ""
	}
	return ShortCheck(r.Limiting.ID, r.Limiting.Stage)
}

// watts prints a power, rounded up.
func watts(n design.Number) string {
	if !n.OK {
		return "--"
	}
	places := 2
	if n.V >= 10 {
		places = 0
	}
	scale := math.Pow10(places)
	return strconv.FormatFloat(math.Ceil(n.V*scale-1e-9)/scale, 'f', places, 64)
}

// table writes the rows. Where the width does not bear all, words are
// shortened, then columns at the right end are left out.
func (l *list) table(b *strings.Builder) {
	cols := l.columns()
	cells, widths := l.cells(cols)
	if total(widths) > l.opt.Width {
		l.brief = true
		cells, widths = l.cells(cols)
	}
	for len(cols) > 6 && total(widths[:len(cols)]) > l.opt.Width {
		cols = cols[:len(cols)-1]
	}
	l.heat = cols[len(cols)-1].head == "W"
	head := make([]string, len(cols))
	for i, c := range cols {
		head[i] = c.head
	}
	b.WriteString(l.row(cols, widths, head, nil) + "\n")
	for r := range cells {
		b.WriteString(l.row(cols, widths, cells[r], l.rows()[r]) + "\n")
	}
}

// cells are the texts of the table and the width of each column.
func (l *list) cells(cols []column) (cells [][]string, widths []int) {
	widths = make([]int, len(cols))
	for i, c := range cols {
		widths[i] = max(len([]rune(c.head)), 1)
	}
	for r := range l.rows() {
		row := make([]string, len(cols))
		for i, c := range cols {
			row[i] = cut(oneLine(c.cell(l.rows()[r])), c.most)
			widths[i] = max(widths[i], len([]rune(row[i])))
		}
		cells = append(cells, row)
	}
	return cells, widths
}

func total(widths []int) int {
	n := len(widths) - 1
	for _, w := range widths {
		n += w
	}
	return n
}

func (l *list) row(cols []column, widths []int, cells []string, r *engine.Row) string {
	var parts []string
	for i := range cols {
		s := pad(cells[i], widths[i], cols[i].right)
		if r != nil && cols[i].head == "verdict" {
			s = l.opt.Paint.do(r.Verdict, s)
		}
		parts = append(parts, s)
	}
	return strings.TrimRight(strings.Join(parts, " "), " ")
}

// cut shortens a text that is too long, with a mark.
func cut(s string, n int) string {
	r := []rune(s)
	if len(r) <= n {
		return s
	}
	return string(r[:n-1]) + "~"
}

// notes are the lines below a table.
func (l *list) notes() []string {
	notes := []string{l.counts()}
	notes = append(notes, l.advice()...)
	if why := l.refused(); why != "" {
		notes = append(notes, why)
	}
	if why := l.refusedByPolicy(); why != "" {
		notes = append(notes, why)
	}
	if why := l.notServed(); why != "" {
		notes = append(notes, why)
	}
	if why := l.wornOut(); why != "" {
		notes = append(notes, why)
	}
	for _, h := range l.shown.Hidden {
		if h.Count > 0 && h.Filter != "verdict" {
			notes = append(notes, fmt.Sprintf("Hidden by %s: %d.", h.Filter, h.Count))
		}
	}
	notes = append(notes, l.legend()...)
	if text := assumedText(l.load.Assumed); text != "" {
		notes = append(notes, "Assumed: "+text+".")
	}
	return notes
}

// Quote sets a name into quotes where a shell would split it.
func Quote(s string) string {
	plain := s != ""
	for _, r := range s {
		plain = plain && (r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || strings.ContainsRune("-_.,+/", r))
	}
	if plain {
		return s
	}
	return "'" + strings.ReplaceAll(s, "'", `'\''`) + "'"
}

// counts says how many designs there are of each verdict.
func (l *list) counts() string {
	var n [design.Over + 1]int
	for i := range l.load.Rows {
		n[l.load.Rows[i].Verdict]++
	}
	var words []string
	for v := design.Fits; v <= design.Over; v++ {
		words = append(words, fmt.Sprintf("%d %s", n[v], plural(v, n[v])))
	}
	text := fmt.Sprintf("%s tried: %s.", count(len(l.load.Rows), "design"), strings.Join(words, ", "))
	if len(l.load.Rows) == 0 {
		return "No design could be tried."
	}
	if k := len(l.shown.Rows) - len(l.rows()); k > 0 {
		text += fmt.Sprintf(" %d more are not shown (--all shows them).", k)
	}
	return text
}

// plural is a verdict behind a number: 1 fits, 2 fit.
func plural(v design.Verdict, n int) string {
	if v == design.Fits && n != 1 {
		return "fit"
	}
	return v.String()
}

// tally counts words and tells them, the most frequent first.
type tally struct {
	words []string
	n     []int
}

func (t *tally) add(w string) {
	if i := slices.Index(t.words, w); i >= 0 {
		t.n[i]++
		return
	}
	t.words, t.n = append(t.words, w), append(t.n, 1)
}

func (t *tally) lines() []string {
	order := make([]int, len(t.words))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		if t.n[a] != t.n[b] {
			return t.n[b] - t.n[a]
		}
		return strings.Compare(t.words[a], t.words[b])
	})
	out := make([]string, len(order))
	for i, k := range order {
		out[i] = strconv.Itoa(t.n[k]) + " " + t.words[k]
	}
	return out
}

// StopsAt counts the rows that do not fit by the check that keeps each from it, the
// commonest first: "109 safe area".
func StopsAt(rows []engine.Row) []string {
	var t tally
	for i := range rows {
		if r := &rows[i]; r.Verdict != design.Fits && r.Limiting != nil {
			t.add(runsOut(r))
		}
	}
	return t.lines()
}

// wornOut names the contacts in the table that last less than a year at the job's rate:
// no check asks for a life that the job does not, and a row that fits would hide it.
func (l *list) wornOut() string {
	var worn []string
	for _, r := range l.rows() {
		if r.Life.OK && r.Life.V < 1 && r.Verdict != design.Over {
			worn = append(worn, r.Part+" "+days(r.Life.V))
		}
	}
	if len(worn) == 0 {
		return ""
	}
	slices.Sort(worn)
	worn = slices.Compact(worn)
	return "Contacts that wear out in less than a year at this rate: " + strings.Join(worn, ", ") + ". State load.life to have it judged, or switching_rate if it is less."
}

// days is a time of less than a year, rounded down.
func days(years float64) string {
	if d := int(years * 365); d >= 1 {
		return count(d, "day")
	}
	return "less than a day"
}

// refused says why designs are over, when they are not shown.
func (l *list) refused() string {
	var t tally
	for i := range l.over {
		t.add(runsOut(l.over[i]))
	}
	if len(t.words) == 0 {
		return ""
	}
	head := "Over and not shown (--all shows them)"
	if l.near {
		head = "Over (--all shows them)"
	}
	return head + ", by what fails worst: " + strings.Join(t.lines(), ", ") + "."
}

// notServed says which switches no topology can use, and why: one by its id,
// more by their number.
func (l *list) notServed() string {
	var whys []string
	parts := map[string][]string{} // never ranged over
	for _, n := range l.load.NotServed {
		if !slices.Contains(whys, n.Why) {
			whys = append(whys, n.Why)
		}
		parts[n.Why] = append(parts[n.Why], n.Part)
	}
	if len(whys) == 0 {
		return ""
	}
	slices.SortStableFunc(whys, func(a, b string) int {
		return cmp.Or(cmp.Compare(len(parts[b]), len(parts[a])), strings.Compare(a, b))
	})
	var words []string
	for _, why := range whys {
		who := count(len(parts[why]), "part")
		if len(parts[why]) == 1 {
			who = parts[why][0]
		}
		words = append(words, who+" ("+why+")")
	}
	return "No design at all with " + strings.Join(words, "; ") + "."
}

// nearestOf is how many unproven rows are looked at for the one that wants the
// fewest figures.
const nearestOf = 5

// nearest is the first row, or of the first unproven ones that which wants the
// fewest figures.
func (l *list) nearest() (*engine.Row, *engine.Detailed) {
	r := l.shown.Rows[0]
	det := l.opt.Detail(r.Key)
	for i := 1; i < min(nearestOf, len(l.shown.Rows)); i++ {
		x := l.shown.Rows[i]
		if det == nil || r.Verdict != design.Unproven || x.Verdict != design.Unproven {
			break
		}
		if d := l.opt.Detail(x.Key); d != nil && len(wanted(d)) < len(wanted(det)) {
			r, det = x, d
		}
	}
	return r, det
}

// HelpingText says how many designs fit once a rail is added to a job.
func HelpingText(h engine.Helping) string {
	return "with a supply of " + h.To + " added " + HelpingCount(h.Fits)
}

// HelpingCount counts the designs that fit then.
func HelpingCount(n int) string {
	if n == 1 {
		return "1 design fits"
	}
	return fmt.Sprintf("%d designs fit", n)
}

// advice says, where nothing fits, what stands between the first design and a
// fit: the figures to state, or changes that were seen to mend what fails.
func (l *list) advice() []string {
	if l.opt.Detail == nil || len(l.shown.Rows) == 0 || slices.ContainsFunc(l.load.Rows, func(r engine.Row) bool { return r.Verdict == design.Fits }) {
		return nil
	}
	r, det := l.nearest()
	if det == nil {
		return nil
	}
	var notes []string
	if h := l.load.Helping; h.Fits > 0 {
		notes = append(notes, "With a supply of "+h.To+" added to the job "+HelpingCount(h.Fits)+", used as "+UsedAs(h.Topology)+".")
	}
	if w := wanted(det); r.Verdict == design.Unproven && len(w) > 0 {
		var figures []string
		for _, f := range w {
			figures = append(figures, f.figure)
		}
		notes = append(notes, "To prove "+r.Part+" state "+strings.Join(figures, ", ")+".")
	}
	var unmended []string
	for i := range det.Design.Checks {
		c := &det.Design.Checks[i]
		if c.Verdict != r.Verdict || i >= len(det.Fixes) {
			continue
		}
		for k := range det.Fixes[i] {
			notes = append(notes, "What mends "+checkTitle(c.ID, c.Stage)+" of "+r.Part+": "+FixText(&det.Fixes[i][k])+".")
		}
		if r.Verdict == design.Over && len(det.Fixes[i]) == 0 {
			unmended = append(unmended, checkTitle(c.ID, c.Stage))
		}
	}
	if len(unmended) > 0 {
		notes = append(notes, "No single change was found that mends "+strings.Join(unmended, ", ")+" of "+r.Part+".")
	}
	return notes
}

// legend explains only the signs that the table shows.
func (l *list) legend() []string {
	var notes []string
	any := func(is func(*engine.Row) bool) bool {
		return slices.ContainsFunc(l.rows(), is)
	}
	if c := l.currency(); c != "" {
		text := "cost: the whole stage, " + c + "."
		if l.job != nil && l.job.Quantity > 1 {
			text = fmt.Sprintf("cost: all %d stages, %s.", l.job.Quantity, c)
		}
		if l.heat {
			text += " W: its heat at worst."
		}
		notes = append(notes, text)
	}
	if any(func(r *engine.Row) bool { return r.Built }) {
		notes = append(notes, "b: as built.")
	}
	if any(func(r *engine.Row) bool { return r.Frontier && !r.Built }) {
		notes = append(notes, "*: nothing that fits is both cheaper and roomier.")
	}
	if any(func(r *engine.Row) bool { return r.Headroom.OK }) {
		notes = append(notes, "room: what is allowed over what is demanded, at the check that runs out first; from 1.00 it fits.")
	}
	driver := func(r *engine.Row) bool { return r.Limiting != nil && r.Limiting.Stage == design.StageDriver }
	if slices.ContainsFunc(l.rows(), driver) || slices.ContainsFunc(l.over, driver) {
		notes = append(notes, "drv: a check of the stage that drives the relay's coil.")
	}
	if l.policy == noMargin {
		notes = append(notes, "Policy none: a fit has no margin.")
	}
	if any(func(r *engine.Row) bool { return r.Verdict == design.Tight }) {
		notes = append(notes, "~ tight: inside the ratings, short of the margin of policy "+l.policy+".")
	}
	if any(func(r *engine.Row) bool { return r.Verdict == design.Unproven }) {
		notes = append(notes, "? unproven: nothing says that it fails, but a figure is missing or only typical; its sheet says which.")
	}
	return notes
}

func (l *list) currency() string {
	for i := range l.rows() {
		if c := l.rows()[i].Cost.Currency; c != "" {
			return c
		}
	}
	return ""
}

func assumedText(list []job.Assumed) string {
	var words []string
	for _, a := range list {
		words = append(words, a.Field+" "+a.Value)
	}
	return strings.Join(words, ", ")
}

// ShortlistMarkdown is Shortlist as Markdown.
func ShortlistMarkdown(in *engine.Input, res *engine.Result, o ListOptions) string {
	d := &Doc{Title: "Shortlist"}
	if in.Job != nil && in.Job.Title != "" {
		d.Title = in.Job.Title
	}
	if text := policyText(res); text != "" {
		d.para(text)
	}
	for _, l := range lists(in, res, o) {
		d.heading(l.place + ": " + l.load.Name)
		if l.job != nil {
			d.para(LoadText(l.job) + "; " + RailText(&l.job.Rail) + "; " + useText(l.job) + ".")
		}
		var cautions []string
		for _, c := range l.load.Cautions {
			cautions = append(cautions, "! "+c.Text)
		}
		if len(cautions) > 0 {
			d.items(cautions...)
		}
		l.showNearest()
		if l.near {
			d.para(nearestText)
		}
		l.heat = true
		d.table(l.markdownTable())
		d.items(l.notes()...)
	}
	if t := together(in, res); len(t.Blocks) > 0 {
		d.heading("Together")
		d.Blocks = append(d.Blocks, t.Blocks...)
	}
	return d.Markdown()
}

func (l *list) markdownTable() *Table {
	t := &Table{}
	cols := slices.DeleteFunc(l.columns(), func(c column) bool { return strings.HasPrefix(c.head, "0") })
	for _, c := range cols {
		t.Head = append(t.Head, c.head)
		t.Right = append(t.Right, c.right)
	}
	for i := range l.rows() {
		var cells []string
		for _, c := range cols {
			cells = append(cells, c.cell(l.rows()[i]))
		}
		t.Rows = append(t.Rows, cells)
	}
	return t
}
