package sheet

import (
	"strings"
	"unicode/utf8"

	"example.org/pinhoist/internal/quantity"
)

// Words parts a text at blanks for lines of at most width characters. A number stays with
// its unit, for "0.5" at the end of a line and "A" on the next is read twice; only where
// both together are longer than a line are they parted.
func Words(s string, width int) []string {
	fields := strings.Fields(s)
	out := fields[:0]
	for i := 0; i < len(fields); i++ {
		word := fields[i]
		if i+1 < len(fields) && isNumber(word) && quantity.IsUnit(strings.TrimRight(fields[i+1], ".,;:)]")) &&
			utf8.RuneCountInString(word)+1+utf8.RuneCountInString(fields[i+1]) <= width {
			i++
			word += " " + fields[i]
		}
		out = append(out, word)
	}
	return out
}

// isNumber reports whether a word is a number, a sign or a bracket before it aside.
func isNumber(word string) bool {
	word = strings.TrimLeft(word, "([+-")
	return word != "" && strings.Trim(word, "0123456789.,") == "" && strings.ContainsAny(word[:1], "0123456789.")
}

// wrap breaks a text at blanks into lines of at most width characters; a longer
// word is broken where it must be. An empty text is one empty line.
func wrap(s string, width int) []string {
	var lines []string
	line := ""
	n := 0
	for _, w := range Words(s, width) {
		r := []rune(w)
		if n > 0 && n+1+len(r) <= width {
			line += " " + w
			n += 1 + len(r)
			continue
		}
		if n > 0 {
			lines = append(lines, line)
		}
		for len(r) > width {
			lines = append(lines, string(r[:width]))
			r = r[width:]
		}
		line, n = string(r), len(r)
	}
	return append(lines, line)
}
