package sheet

import "strings"

// Linear lays the document out to be read from the first word to the last, by a screen
// reader or aloud: at most width columns, nothing set beside anything else, no rules. A
// row of a table is a sentence that names its columns.
func (d *Doc) Linear(width int) string {
	var b strings.Builder
	say := func(text string) { hang(&b, "", text, max(width, 40)) }
	if d.Title != "" {
		say(d.Title)
	}
	for i := range d.Blocks {
		k := &d.Blocks[i]
		switch {
		case k.Heading != "":
			say("")
			say("Section: " + k.Heading + ".")
		case k.Sub != "":
			say("")
			say(k.Sub)
		case k.Para != "":
			say(k.Para)
		case k.Pre != "":
			b.WriteString(strings.TrimRight(Clean(k.Pre), "\n") + "\n")
		case k.Table != nil:
			for _, row := range k.Table.Rows {
				say(k.Table.sentence(row))
			}
		}
		for _, it := range k.Items {
			say(it)
		}
		for _, f := range k.Facts {
			if f.Label == "" { // it goes on
				say(f.Text)
				continue
			}
			say(f.Label + ": " + f.Text)
		}
	}
	return b.String()
}

// sentence is a row with the names of its columns, empty cells left out.
func (t *Table) sentence(row []string) string {
	var parts []string
	for i := range t.Head {
		cell, head := cellAt(row, i), oneLine(t.Head[i])
		switch {
		case cell == "":
		case head == "":
			parts = append(parts, cell)
		default:
			parts = append(parts, head+": "+cell)
		}
	}
	return strings.Join(parts, ", ") + "."
}
