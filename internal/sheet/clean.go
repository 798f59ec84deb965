package sheet

import (
	"strings"

	"example.org/pinhoist/internal/source"
)

// Clean makes a text fit for a terminal: every control character and every
// character that turns the direction of text is replaced. Only line feeds, which
// the layout sets, stay. Whatever came out of a file passes here before it is
// printed.
func Clean(s string) string {
	lines := strings.Split(s, "\n")
	for i, l := range lines {
		lines[i] = source.Printable(l)
	}
	return strings.Join(lines, "\n")
}

// oneLine is Clean for a text that must not break a line.
func oneLine(s string) string { return source.Printable(s) }
