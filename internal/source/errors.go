// Package source reads and writes the TOML texts of the project: parts, jobs
// and policies. A Document keeps the place of every key, a decoder driven by
// struct tags gathers all errors of a file at once, each with its place, and an
// encoder prints a value back by the same tags.
//
// Tags understood on a struct field:
//
//	key    its name in a file; a field without it is ignored, an embedded
//	       struct without it is flattened
//	need   "R" required (see Options), anything else optional
//	span   plausible values "low..high"; outside is a warning
//	min    the least value allowed, normally "0"; without it a number must be
//	       above zero (temperatures and V/K may have any sign)
//	of     a fixed set of words, "a|b|c"
//	worse  kept for Walk only: "less" or "more"
package source

import (
	"cmp"
	"slices"
	"strconv"
	"strings"
	"unicode"
)

// Error is one thing wrong with a text, and where.
type Error struct {
	File     string // name of the text
	Line     int    // from 1; 0: the whole file
	Column   int    // in characters, from 1
	Key      string // path of the key, "mosfet[2].r_ds_on[0].max"; may be empty
	Found    string // what stands there
	Expected string // what should
	Warning  bool   // plausible no, wrong not proven
}

// Error returns "file:line:column: key: found X, expected Y" on one line, with
// "warning:" before the key of a warning. It holds no control characters.
func (e Error) Error() string {
	var b strings.Builder
	b.WriteString(e.File)
	if e.Line > 0 {
		b.WriteString(":" + strconv.Itoa(e.Line) + ":" + strconv.Itoa(e.Column))
	}
	b.WriteString(": ")
	if e.Warning {
		b.WriteString("warning: ")
	}
	if e.Key != "" {
		b.WriteString(e.Key + ": ")
	}
	b.WriteString("found " + e.Found + ", expected " + e.Expected)
	return Printable(b.String())
}

// Errors is what is wrong with one or more texts.
type Errors []Error

// Error returns the errors, one a line.
func (es Errors) Error() string {
	lines := make([]string, len(es))
	for i, e := range es {
		lines[i] = e.Error()
	}
	return strings.Join(lines, "\n")
}

// Fatal reports whether any of them is more than a warning.
func (es Errors) Fatal() bool {
	return slices.ContainsFunc(es, func(e Error) bool { return !e.Warning })
}

// Sort orders them by file, line, column and key, and keeps the order of those
// that agree in all.
func (es Errors) Sort() {
	slices.SortStableFunc(es, func(a, b Error) int {
		return cmp.Or(
			cmp.Compare(a.File, b.File),
			cmp.Compare(a.Line, b.Line),
			cmp.Compare(a.Column, b.Column),
			cmp.Compare(a.Key, b.Key),
		)
	})
}

// Printable returns s with every control character and every character that
// turns the direction of text replaced, so that it may be sent to a terminal.
func Printable(s string) string {
	if !strings.ContainsFunc(s, Unprintable) {
		return s
	}
	return strings.Map(func(r rune) rune {
		if Unprintable(r) {
			return unicode.ReplacementChar
		}
		return r
	}, s)
}

// Unprintable reports whether r is a control character, a line or paragraph
// separator or one that turns the direction of text: none may stand in a text
// of a file, because it could reach a terminal.
func Unprintable(r rune) bool {
	switch {
	case r >= 0x20 && r < 0x7f:
		return false
	case unicode.IsControl(r), r == 0x2028, r == 0x2029, r == 0x200e, r == 0x200f, r == 0x061c:
		return true
	case r >= 0x202a && r <= 0x202e, r >= 0x2066 && r <= 0x2069, r == 0xfeff:
		return true
	}
	return false
}
