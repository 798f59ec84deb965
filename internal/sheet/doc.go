// Package sheet tells a design and a shortlist: as text for a terminal, as
// Markdown, as JSON and as CSV. It puts numbers into words and formulas, rounds
// them away from safety and knows nothing of how they were found.
package sheet

import (
	"strings"
)

// Doc is a text in parts, before it is laid out: one telling for every form.
type Doc struct {
	Title  string
	Blocks []Block
}

// Block is one part of a Doc. Exactly one of its groups is filled.
type Block struct {
	Heading string // a section begins
	Sub     string // a part of a section begins
	Mark    Mark   // of a Sub that tells a verdict

	Para  string
	Pre   string   // as it stands, in a fixed pitch
	Items []string // a list
	Facts []Fact
	Table *Table
}

// Mark says whether a Sub tells a verdict, to be coloured where there is colour.
type Mark int8

// The marks are the verdicts, one higher; 0 is none.
const NoMark Mark = 0

// Fact is a label and what it says.
type Fact struct {
	Label, Text string
	Code        bool // a formula: in a fixed pitch, nothing in it is markup
}

// Table is a table with a head.
type Table struct {
	Head  []string
	Rows  [][]string
	Right []bool // columns set to the right
}

func (d *Doc) add(b Block)          { d.Blocks = append(d.Blocks, b) }
func (d *Doc) heading(s string)     { d.add(Block{Heading: s}) }
func (d *Doc) para(s string)        { d.add(Block{Para: s}) }
func (d *Doc) items(s ...string)    { d.add(Block{Items: s}) }
func (d *Doc) facts(f ...Fact)      { d.add(Block{Facts: f}) }
func (d *Doc) table(t *Table)       { d.add(Block{Table: t}) }
func (d *Doc) sub(s string, m Mark) { d.add(Block{Sub: s, Mark: m}) }

// Width is the columns of a text sheet.
const Width = 80

// Text lays the document out for a terminal, at most width columns wide but for
// pictures. paint, where not nil, colours a line that tells a verdict.
func (d *Doc) Text(width int, paint Paint) string {
	if width < 40 {
		width = 40
	}
	var b strings.Builder
	if d.Title != "" {
		b.WriteString(strings.Join(wrap(oneLine(d.Title), width), "\n") + "\n")
	}
	for _, k := range d.Blocks {
		k.text(&b, width, paint)
	}
	return b.String()
}

func (k *Block) text(b *strings.Builder, width int, paint Paint) {
	switch {
	case k.Heading != "":
		h := oneLine(k.Heading)
		b.WriteString("\n" + strings.ToUpper(h) + "\n" + strings.Repeat("-", min(len([]rune(h)), width)) + "\n")
	case k.Sub != "":
		b.WriteString("\n")
		for _, l := range wrap(oneLine(k.Sub), width) {
			b.WriteString(paint.line(k.Mark, l) + "\n")
		}
	case k.Para != "":
		b.WriteString(strings.Join(wrap(oneLine(k.Para), width), "\n") + "\n")
	case k.Pre != "":
		b.WriteString(strings.TrimRight(Clean(k.Pre), "\n") + "\n")
	case k.Table != nil:
		k.Table.text(b, width)
	}
	for _, it := range k.Items {
		hang(b, "- ", it, width)
	}
	label := 0
	for _, f := range k.Facts {
		label = max(label, len([]rune(f.Label)))
	}
	for _, f := range k.Facts {
		hang(b, "  "+pad(oneLine(f.Label), label, false)+"  ", f.Text, width)
	}
}

// hang writes a text behind a label, its further lines under its first.
func hang(b *strings.Builder, label, text string, width int) {
	indent := len([]rune(label))
	for i, l := range wrap(oneLine(text), max(width-indent, 20)) {
		if i > 0 {
			label = strings.Repeat(" ", indent)
		}
		b.WriteString(strings.TrimRight(label+l, " ") + "\n")
	}
}

func pad(s string, n int, right bool) string {
	k := n - len([]rune(s))
	if k <= 0 {
		return s
	}
	if right {
		return strings.Repeat(" ", k) + s
	}
	return s + strings.Repeat(" ", k)
}

const (
	tableGap   = 2
	tableLeft  = 2  // blanks before the first column
	leastWidth = 10 // no column is made narrower than this
)

// text sets the table; where it is too wide its widest columns are made narrower
// and their cells wrap.
func (t *Table) text(b *strings.Builder, width int) {
	widths := t.widths()
	if len(widths) == 0 {
		return
	}
	fit(widths, width-tableLeft-tableGap*(len(widths)-1))
	t.textRow(b, t.Head, widths)
	for _, row := range t.Rows {
		t.textRow(b, row, widths)
	}
}

// fit takes from the widest column, the last of equals, until all together are
// at most room wide or none can give.
func fit(widths []int, room int) {
	for {
		sum, widest := 0, 0
		for i, w := range widths {
			sum += w
			if w >= widths[widest] {
				widest = i
			}
		}
		if sum <= room || widths[widest] <= leastWidth {
			return
		}
		widths[widest]--
	}
}

func (t *Table) textRow(b *strings.Builder, row []string, widths []int) {
	cells := make([][]string, len(widths))
	height := 1
	for i, w := range widths {
		cells[i] = wrap(cellAt(row, i), w)
		height = max(height, len(cells[i]))
	}
	for y := range height {
		line := strings.Repeat(" ", tableLeft)
		for i, w := range widths {
			part := ""
			if y < len(cells[i]) {
				part = cells[i][y]
			}
			line += pad(part, w, t.right(i)) + strings.Repeat(" ", tableGap)
		}
		b.WriteString(strings.TrimRight(line, " ") + "\n")
	}
}

func (t *Table) widths() []int {
	w := make([]int, len(t.Head))
	for _, row := range append([][]string{t.Head}, t.Rows...) {
		for i := range w {
			w[i] = max(w[i], len([]rune(cellAt(row, i))))
		}
	}
	return w
}

func (t *Table) right(i int) bool { return i < len(t.Right) && t.Right[i] }

func cellAt(row []string, i int) string {
	if i < len(row) {
		return oneLine(row[i])
	}
	return ""
}

// Markdown lays the document out as Markdown, with every character of a file's
// text escaped that would be markup.
func (d *Doc) Markdown() string {
	var b strings.Builder
	if d.Title != "" {
		b.WriteString("# " + escape(d.Title) + "\n")
	}
	for _, k := range d.Blocks {
		k.markdown(&b)
	}
	return b.String()
}

func (k *Block) markdown(b *strings.Builder) {
	b.WriteString("\n")
	switch {
	case k.Heading != "":
		b.WriteString("## " + escape(k.Heading) + "\n")
	case k.Sub != "":
		b.WriteString("### " + escape(k.Sub) + "\n")
	case k.Para != "":
		b.WriteString(escape(k.Para) + "\n")
	case k.Pre != "":
		b.WriteString("```text\n" + strings.TrimRight(strings.ReplaceAll(Clean(k.Pre), "```", "'''"), "\n") + "\n```\n")
	case k.Table != nil:
		k.Table.markdown(b)
	}
	for _, it := range k.Items {
		b.WriteString("- " + escape(it) + "\n")
	}
	for _, f := range k.Facts {
		text := escape(f.Text)
		if f.Code {
			text = "`" + strings.ReplaceAll(oneLine(f.Text), "`", "'") + "`"
		}
		label := f.Label
		if label == "" {
			label = "in numbers" // a list has no column that could stay empty
		}
		b.WriteString("- **" + escape(label) + ":** " + text + "\n")
	}
}

func (t *Table) markdown(b *strings.Builder) {
	if len(t.Head) == 0 {
		return
	}
	row := func(cells []string) {
		b.WriteString("|")
		for i := range t.Head {
			b.WriteString(" " + escape(cellAt(cells, i)) + " |")
		}
		b.WriteString("\n")
	}
	row(t.Head)
	b.WriteString("|")
	for i := range t.Head {
		if t.right(i) {
			b.WriteString(" ---: |")
		} else {
			b.WriteString(" --- |")
		}
	}
	b.WriteString("\n")
	for _, r := range t.Rows {
		row(r)
	}
}

var escaper = strings.NewReplacer(`\`, `\\`, "`", "\\`", "*", `\*`, "_", `\_`, "[", `\[`, "]", `\]`,
	"<", "&lt;", ">", "&gt;", "|", `\|`, "#", `\#`, "~", `\~`)

func escape(s string) string { return escaper.Replace(oneLine(s)) }
