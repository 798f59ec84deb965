package source

import (
	"cmp"
	"errors"
	"fmt"
	"regexp"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/BurntSushi/toml"
)

var (
	expectedGot   = regexp.MustCompile(`(?s)^expected (.+?),? but (?:found|got) (.+?)(?: instead)?$`)
	unexpectedEnd = regexp.MustCompile(`(?s)^unexpected EOF(?:; expected (.+))?$`)
	definedTwice  = regexp.MustCompile(`(?s)^Key '(.*)' (?:(has already been defined)|was already created)`)
	controlRune   = regexp.MustCompile(`control characters: '0x([0-9a-f]+)'`)
	badNumber     = regexp.MustCompile(`(?s)^Invalid (?:integer|float) "(.+)": (.+)$`)
	badEscape     = regexp.MustCompile(`(?s)^invalid escape in string '(.+)'$`)
	outOfRange    = regexp.MustCompile(`(?s)^(.+) is out of (?:range for|the safe) (.+)`)
)

// syntaxError words an error of the TOML library as ours: what was found, what
// was expected, and where.
func (d *Document) syntaxError(err error) Error {
	var pe toml.ParseError
	if !errors.As(err, &pe) {
		return Error{File: d.name, Found: err.Error(), Expected: "valid TOML"}
	}
	at := min(max(pe.Position.Start, 0), len(d.text))
	end := min(at+max(pe.Position.Len, 1), len(d.text))
	// The library names neither the element of a list nor the key whose value is
	// followed by something else, so the scanner is asked where it was.
	s := newIndexer(d.text[:end])
	s.run()
	found, expected := d.wordSyntax(pe.Message, s, at)
	return d.errorAt(d.mark(at, pe.Message), s.open, found, expected)
}

// syntaxPlace is the byte offset of an error of the library.
func syntaxPlace(err error) int {
	var pe toml.ParseError
	if errors.As(err, &pe) {
		return pe.Position.Start
	}
	return 0
}

// mark moves the place that the library gives onto the character that it means:
// it counts from the space before it.
func (d *Document) mark(at int, message string) int {
	if controlRune.MatchString(message) {
		if n := strings.IndexFunc(d.text[at:], func(r rune) bool { return r != '\n' && r != '\t' && unicode.IsControl(r) }); n >= 0 {
			return at + n
		}
	}
	for at+1 < len(d.text) && (d.text[at] == ' ' || d.text[at] == '\t') {
		at++
	}
	return at
}

func (d *Document) wordSyntax(msg string, s *scanner, at int) (found, expected string) {
	if m := definedTwice.FindStringSubmatch(msg); m != nil {
		if first, ok := s.index[s.open]; ok && first < at && m[2] != "" {
			line := strings.Count(d.text[:first], "\n") + 1
			return "this key a second time", fmt.Sprintf("each key once; it stands on line %d already", line)
		}
		return fmt.Sprintf("the key %q again, in another form", m[1]), "each key once"
	}
	if m := controlRune.FindStringSubmatch(msg); m != nil {
		return "a control character (0x" + m[1] + ")", "printable text"
	}
	if m := unexpectedEnd.FindStringSubmatch(msg); m != nil {
		return "the end of the text", cmp.Or(m[1], "more of it")
	}
	if m := expectedGot.FindStringSubmatch(msg); m != nil {
		return foundText(m[2]), m[1] + valueHint(m[2], d.text[:at])
	}
	switch {
	case strings.Contains(msg, "NULL bytes"):
		return "a zero byte", "text in UTF-8"
	case strings.Contains(msg, "strings cannot contain newlines"):
		return "a line break inside a text", "its closing quotation mark on the same line"
	}
	if m := badEscape.FindStringSubmatch(msg); m != nil {
		return "the escape " + m[1] + " in a text", `one that TOML has (a backslash is written \\)`
	}
	if m := badNumber.FindStringSubmatch(msg); m != nil {
		return "the number " + m[1], "a number as TOML has it: " + m[2]
	}
	if m := outOfRange.FindStringSubmatch(msg); m != nil {
		return m[1], "a number within the range of " + m[2]
	}
	return msg, "valid TOML"
}

// foundText names what the library found; the end of the text is a zero to it.
func foundText(s string) string {
	switch s {
	case `'\x00'`, "EOF", "end of file":
		return "the end of the text"
	case `'\n'`:
		return "the end of the line"
	}
	return s
}

// valueHint says what most often is meant by a value that is none or runs on;
// before is the text up to it.
func valueHint(found, before string) string {
	line := before[strings.LastIndexByte(before, '\n')+1:]
	r, _ := utf8.DecodeRuneInString(strings.Trim(found, `'"`))
	switch {
	case !strings.Contains(line, "="):
		return ""
	case r == ',':
		return " (a decimal point, not a comma)"
	case unicode.IsLetter(r), unicode.IsDigit(r), r == '%':
		return ` (a value with a unit is text in quotation marks: "12 V")`
	}
	return ""
}
