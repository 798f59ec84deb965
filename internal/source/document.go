package source

import (
	"fmt"
	"sort"
	"strconv"
	"strings"
	"sync"
	"unicode/utf8"

	"github.com/BurntSushi/toml"
)

// Document is a TOML text that has been read, with the place of each key. It is
// never changed after Parse and may be used by several goroutines.
type Document struct {
	name string
	text string
	tree map[string]any

	locate sync.Once // places are wanted only when something is wrong
	lines  []int     // byte offset of the start of each line
	index  map[string]int
}

// Parse reads a TOML text; name is shown in errors. Text that is too large, not
// UTF-8, nested too deep or not TOML is reported alone, without a document.
func Parse(name string, text []byte) (*Document, Errors) {
	d := &Document{name: name}
	if len(text) > MaxBytes {
		return nil, Errors{{File: name,
			Found: strconv.Itoa(len(text)) + " bytes", Expected: "at most " + strconv.Itoa(MaxBytes) + " (32 MiB)"}}
	}
	d.text = strings.TrimPrefix(string(text), "\ufeff")
	if at := invalidUTF8(d.text); at >= 0 {
		return nil, Errors{d.errorAt(at, "", fmt.Sprintf("the byte 0x%02x", d.text[at]), "text in UTF-8")}
	}
	s := scanner{text: d.text, counts: map[string]int{}}
	f := s.run()
	if f != nil && f.limit {
		return nil, Errors{d.errorAt(f.at, f.key, f.found, f.expected)}
	}
	rest := d.text
	if f != nil {
		// The scanner does not understand the text past here, so that its nesting
		// is not known to be bounded: the library, which is to word the error,
		// gets to see a little more, never all of it.
		rest = d.text[:min(len(d.text), f.at+4096)]
		for !utf8.ValidString(rest) {
			rest = rest[:len(rest)-1]
		}
	}
	tree, err := decodeTOML(rest)
	switch {
	case f != nil && f.found != "" && (err == nil || syntaxPlace(err) >= f.at):
		s := newIndexer(d.text)
		s.run()
		return nil, Errors{d.errorAt(f.at, s.open, f.found, f.expected)}
	case err != nil:
		return nil, Errors{d.syntaxError(err)}
	case f != nil:
		return nil, Errors{d.errorAt(f.at, "", "something that is not TOML", "a key and its value")}
	}
	d.tree = tree
	return d, nil
}

// decodeTOML parses a text with the library. A panic inside it becomes an
// error, because no text may end the program.
func decodeTOML(text string) (tree map[string]any, err error) {
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("something that the TOML reader cannot read")
		}
	}()
	var v any // into anything else the library copies the tree
	if _, err := toml.Decode(text, &v); err != nil {
		return nil, err
	}
	tree, _ = v.(map[string]any)
	return tree, nil
}

// invalidUTF8 returns the offset of the first byte that is not UTF-8, or -1.
func invalidUTF8(s string) int {
	if utf8.ValidString(s) {
		return -1
	}
	for i, r := range s {
		if r == utf8.RuneError {
			if _, n := utf8.DecodeRuneInString(s[i:]); n == 1 {
				return i
			}
		}
	}
	return -1
}

// Name is the name given to Parse.
func (d *Document) Name() string { return d.name }

// Has reports whether the text states the key at path.
func (d *Document) Has(path string) bool {
	_, ok := d.lookup(path)
	return ok
}

// Place returns the line and column, both from 1, of the key or array element
// at path ("mosfet[2].r_ds_on[0].max"), or of the nearest parent that the text
// has. The place of the whole text is 1, 1.
func (d *Document) Place(path string) (line, col int) {
	d.locate.Do(d.buildIndex)
	for path != "" {
		if at, ok := d.index[path]; ok {
			return d.position(at)
		}
		path = parentPath(path)
	}
	return 1, 1
}

// Errorf returns an error at the place of path.
func (d *Document) Errorf(path, found, expected string) Error {
	line, col := d.Place(path)
	return Error{File: d.name, Line: line, Column: col, Key: path, Found: found, Expected: expected}
}

// Warnf returns a warning at the place of path.
func (d *Document) Warnf(path, found, expected string) Error {
	e := d.Errorf(path, found, expected)
	e.Warning = true
	return e
}

func (d *Document) buildIndex() {
	s := newIndexer(d.text)
	s.run() // what it could not follow has no place
	d.index = s.index
	d.lines = lineStarts(d.text)
}

func lineStarts(text string) []int {
	starts := make([]int, 1, strings.Count(text, "\n")+1)
	for i := 0; i < len(text); i++ {
		if text[i] == '\n' {
			starts = append(starts, i+1)
		}
	}
	return starts
}

// position is the line and column of a byte offset.
func (d *Document) position(at int) (line, col int) {
	for at > 0 && at < len(d.text) && !utf8.RuneStart(d.text[at]) {
		at-- // the library may point into a character
	}
	line = sort.SearchInts(d.lines, at+1)
	return line, utf8.RuneCountInString(d.text[d.lines[line-1]:at]) + 1
}

// errorAt is an error at a byte offset of a text that gave no document.
func (d *Document) errorAt(at int, key, found, expected string) Error {
	if d.lines == nil {
		d.lines = lineStarts(d.text)
	}
	line, col := d.position(min(max(at, 0), len(d.text)))
	return Error{File: d.name, Line: line, Column: col, Key: key, Found: found, Expected: expected}
}

// lookup finds the raw value at path.
func (d *Document) lookup(path string) (any, bool) {
	var v any = d.tree
	for _, s := range splitPath(path) {
		if s.index < 0 {
			table, ok := v.(map[string]any)
			if !ok {
				return nil, false
			}
			if v, ok = table[s.key]; !ok {
				return nil, false
			}
			continue
		}
		list, ok := entries(v)
		if !ok || s.index >= list.len() {
			return nil, false
		}
		v = list.at(s.index)
	}
	return v, true
}

// array is a TOML array in either of the forms that the library gives.
type array struct {
	tables []map[string]any
	values []any
}

func entries(v any) (array, bool) {
	switch v := v.(type) {
	case []map[string]any:
		return array{tables: v}, true
	case []any:
		return array{values: v}, true
	}
	return array{}, false
}

func (a array) len() int { return len(a.tables) + len(a.values) }

func (a array) at(i int) any {
	if a.tables != nil {
		return a.tables[i]
	}
	return a.values[i]
}
