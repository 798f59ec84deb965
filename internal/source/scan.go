package source

import (
	"strconv"
	"strings"
	"unicode/utf8"
)

// Limits of a text. They keep a hostile file from taking the memory, the stack
// or the patience of whoever opens it.
const (
	MaxBytes   = 32 << 20 // of one text
	MaxNesting = 8        // tables and arrays inside one another
	MaxEntries = 20000    // of one array at the top of a file
	MaxPoints  = 64       // of a list of points inside a part
	MaxKeys    = 1000     // of one table
)

// fault is where and why the scanner stopped.
type fault struct {
	at       int // byte offset
	key      string
	found    string
	expected string
	limit    bool // a limit of ours; otherwise the library words the error
}

// keyPart is one part of a dotted key.
type keyPart struct {
	name string
	at   int
}

// scanner finds the place of each key. It knows just enough TOML to follow
// keys, tables and the borders of values; what a value is, and whether the text
// is right, is for the TOML library. It never nests deeper than MaxNesting.
type scanner struct {
	text   string
	pos    int
	index  map[string]int // path to byte offset; nil: only check the limits
	arrays map[string]int // path of an array of tables to how many it has
	counts map[string]int // name of an array of tables at the top to how many
	below  int            // headers below the last one at the top
	base   string         // path of the current table
	depth  int            // nesting of the current table
	keys   int            // of the current table, so far
	top    int            // keys and plain tables at the top of the text, so far
	parts  []keyPart      // scratch
	open   string         // path of the innermost key that is not done with; index only
}

// newIndexer is a scanner that keeps places.
func newIndexer(text string) *scanner {
	return &scanner{text: text, counts: map[string]int{}, index: map[string]int{}, arrays: map[string]int{}}
}

// run scans the whole text, or up to the first thing that is not TOML.
func (s *scanner) run() *fault {
	for {
		end := s.pos
		s.skipBlank()
		if s.index != nil && strings.Contains(s.text[end:s.pos], "\n") {
			s.open = ""
		}
		if s.pos >= len(s.text) {
			return nil
		}
		var f *fault
		if s.text[s.pos] == '[' {
			f = s.header()
		} else {
			f = s.statement()
		}
		if f == nil {
			f = s.endOfLine()
		}
		if f != nil {
			return f
		}
	}
}

// statement scans a key and its value on a line of their own.
func (s *scanner) statement() *fault {
	start := s.pos
	if s.depth == 0 {
		s.top++
	}
	if s.keys++; s.keys > MaxKeys || s.top > MaxKeys {
		return tooManyKeys(start)
	}
	return s.keyValue(s.base, s.depth)
}

func tooManyKeys(at int) *fault {
	return &fault{at: at, limit: true,
		found:    "more than " + strconv.Itoa(MaxKeys) + " keys in one table",
		expected: "at most " + strconv.Itoa(MaxKeys)}
}

// notClosed is a text without its closing quotation mark.
func (s *scanner) notClosed(quote string) *fault {
	return &fault{at: s.pos, found: "a text that is not closed", expected: "its closing " + quote}
}

func (s *scanner) stop() *fault { return &fault{at: s.pos} }

func (s *scanner) tooDeep(at int) *fault {
	return &fault{at: at, limit: true,
		found:    "tables and arrays nested deeper than " + strconv.Itoa(MaxNesting),
		expected: "at most " + strconv.Itoa(MaxNesting) + " levels"}
}

func tooMany(at int, key string) *fault {
	return &fault{at: at, key: key, limit: true,
		found:    "more than " + strconv.Itoa(MaxEntries) + " entries",
		expected: "at most " + strconv.Itoa(MaxEntries)}
}

// at reports whether the byte at the position is c.
func (s *scanner) at(c byte) bool { return s.pos < len(s.text) && s.text[s.pos] == c }

func (s *scanner) skipSpace() {
	for s.pos < len(s.text) && (s.text[s.pos] == ' ' || s.text[s.pos] == '\t') {
		s.pos++
	}
}

// skipBlank skips white space, line breaks and comments.
func (s *scanner) skipBlank() {
	for s.pos < len(s.text) {
		switch s.text[s.pos] {
		case ' ', '\t', '\n', '\r':
			s.pos++
		case '#':
			s.skipComment()
		default:
			return
		}
	}
}

func (s *scanner) skipComment() {
	n := strings.IndexByte(s.text[s.pos:], '\n')
	if n < 0 {
		n = len(s.text) - s.pos
	}
	s.pos += n
}

// endOfLine skips what may follow a value or a header.
func (s *scanner) endOfLine() *fault {
	s.skipSpace()
	if s.pos >= len(s.text) {
		return nil
	}
	switch s.text[s.pos] {
	case '\n', '\r', '#':
		return nil
	}
	return s.stop()
}

// header scans "[a.b]" or "[[a.b]]".
func (s *scanner) header() *fault {
	s.pos++
	double := s.at('[')
	if double {
		s.pos++
	}
	start := s.pos
	if f := s.key(); f != nil {
		return f
	}
	s.keys = 0
	s.depth = len(s.parts)
	switch {
	case double:
		s.depth++
	case s.depth == 1:
		if s.top++; s.top > MaxKeys {
			return tooManyKeys(start)
		}
	}
	if s.depth > MaxNesting {
		return s.tooDeep(start)
	}
	name := s.parts[0].name
	if len(s.parts) > 1 {
		s.below++
	} else if s.below = 0; double {
		s.counts[name]++
	}
	if s.counts[name] > MaxEntries || s.below > MaxEntries {
		return tooMany(start, joinKey("", name))
	}
	if s.index != nil {
		s.base = s.headerPath(double)
		s.open = s.base
	}
	if !s.at(']') {
		return s.stop()
	}
	s.pos++
	if double {
		if !s.at(']') {
			return s.stop()
		}
		s.pos++
	}
	return nil
}

// headerPath records the parts of a header and returns the path of its table:
// a part that is an array of tables stands for its last table.
func (s *scanner) headerPath(double bool) string {
	path := ""
	for i, p := range s.parts {
		path = joinKey(path, p.name)
		s.record(path, p.at)
		if double && i == len(s.parts)-1 {
			s.arrays[path]++
		}
		if n := s.arrays[path]; n > 0 {
			path = joinIndex(path, n-1)
			s.record(path, p.at)
		}
	}
	return path
}

// keyValue scans "key = value" into the table at base.
func (s *scanner) keyValue(base string, depth int) *fault {
	start := s.pos
	if f := s.key(); f != nil {
		return f
	}
	depth += len(s.parts) - 1
	if depth > MaxNesting {
		return s.tooDeep(start)
	}
	if s.index != nil {
		for _, p := range s.parts {
			base = joinKey(base, p.name)
			s.record(base, p.at)
		}
		s.open = base
	}
	if !s.at('=') {
		return s.stop()
	}
	s.pos++
	s.skipSpace()
	return s.value(base, depth)
}

// record keeps the first place of a path.
func (s *scanner) record(path string, at int) {
	if _, ok := s.index[path]; !ok {
		s.index[path] = at
	}
}

// key scans a dotted key into s.parts and the space after it.
func (s *scanner) key() *fault {
	s.parts = s.parts[:0]
	for {
		s.skipSpace()
		at := s.pos
		name, f := s.keyName()
		if f != nil {
			return f
		}
		s.parts = append(s.parts, keyPart{name, at})
		if len(s.parts) > MaxNesting+1 {
			return s.tooDeep(s.parts[0].at)
		}
		s.skipSpace()
		if !s.at('.') {
			return nil
		}
		s.pos++
	}
}

func (s *scanner) keyName() (string, *fault) {
	if s.pos >= len(s.text) {
		return "", s.stop()
	}
	start := s.pos
	switch c := s.text[s.pos]; c {
	case '"', '\'':
		if f := s.line(c); f != nil {
			return "", f
		}
		name := s.text[start+1 : s.pos-1]
		if c == '"' {
			name = unescape(name)
		}
		return name, nil
	}
	for s.pos < len(s.text) && isBare(s.text[s.pos]) {
		s.pos++
	}
	if s.pos == start {
		return "", s.stop()
	}
	return s.text[start:s.pos], nil
}

// value scans one value.
func (s *scanner) value(path string, depth int) *fault {
	if s.pos >= len(s.text) {
		return s.stop()
	}
	switch c := s.text[s.pos]; c {
	case '"', '\'':
		if s.triple(s.pos, c) {
			return s.lines(c)
		}
		return s.line(c)
	case '[':
		return s.array(path, depth+1)
	case '{':
		return s.inlineTable(path, depth+1)
	}
	return s.bare()
}

// bare scans a number, a truth value or a date.
func (s *scanner) bare() *fault {
	n := strings.IndexAny(s.text[s.pos:], ",]}#\r\n")
	if n < 0 {
		n = len(s.text) - s.pos
	}
	if n == 0 {
		return s.stop()
	}
	s.pos += n
	return nil
}

func (s *scanner) array(path string, depth int) *fault {
	start := s.pos
	if depth > MaxNesting {
		return s.tooDeep(start)
	}
	s.pos++
	for n := 0; ; n++ {
		s.skipBlank()
		if s.at(']') {
			s.pos++
			return nil
		}
		if n == MaxEntries {
			return tooMany(start, path)
		}
		element := path
		if s.index != nil {
			element = joinIndex(path, n)
			s.record(element, s.pos)
		}
		if f := s.value(element, depth); f != nil {
			return f
		}
		s.skipBlank()
		if s.at(',') {
			s.pos++
		} else if !s.at(']') {
			return s.stop()
		}
	}
}

func (s *scanner) inlineTable(path string, depth int) *fault {
	if depth > MaxNesting {
		return s.tooDeep(s.pos)
	}
	s.pos++
	for n := 0; ; n++ {
		s.skipBlank()
		if n == MaxKeys {
			return tooManyKeys(s.pos)
		}
		if s.at('}') {
			s.pos++
			s.open = path
			return nil
		}
		if f := s.keyValue(path, depth); f != nil {
			return f
		}
		s.skipBlank()
		if s.at(',') {
			s.pos++
		} else if !s.at('}') {
			return s.stop()
		}
	}
}

// line scans a text in single quotation marks of the kind given.
func (s *scanner) line(quote byte) *fault {
	for i := s.pos + 1; i < len(s.text); i++ {
		switch c := s.text[i]; {
		case c == quote:
			s.pos = i + 1
			return nil
		case c == '\n':
			return s.stop()
		case c == '\\' && quote == '"':
			i++
		}
	}
	return s.notClosed(string(quote))
}

// lines scans a text in triple quotation marks; up to two more may end it.
func (s *scanner) lines(quote byte) *fault {
	for i := s.pos + 3; i < len(s.text); i++ {
		switch c := s.text[i]; {
		case c == '\\' && quote == '"':
			i++
		case s.triple(i, quote):
			s.pos = i + 3
			for n := 0; n < 2 && s.at(quote); n++ {
				s.pos++
			}
			return nil
		}
	}
	return s.notClosed(strings.Repeat(string(quote), 3))
}

// triple reports whether three quotation marks of the kind given stand at i.
func (s *scanner) triple(i int, quote byte) bool {
	return i+2 < len(s.text) && s.text[i] == quote && s.text[i+1] == quote && s.text[i+2] == quote
}

func isBare(c byte) bool {
	return c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9' || c == '_' || c == '-'
}

// unescape resolves the escapes of a quoted key; one that TOML does not know is
// left as it is, for the library refuses the text.
func unescape(s string) string {
	if !strings.Contains(s, `\`) {
		return s
	}
	simple := map[byte]byte{'b': 8, 't': 9, 'n': 10, 'f': 12, 'r': 13, 'e': 27, '"': '"', '\\': '\\'}
	digits := map[byte]int{'x': 2, 'u': 4, 'U': 8}
	var b strings.Builder
	for i := 0; i < len(s); i++ {
		if s[i] != '\\' || i+1 == len(s) {
			b.WriteByte(s[i])
			continue
		}
		c := s[i+1]
		if r, ok := simple[c]; ok {
			b.WriteByte(r)
			i++
			continue
		}
		n := digits[c]
		if n == 0 || i+2+n > len(s) {
			b.WriteByte(s[i])
			continue
		}
		r, err := strconv.ParseUint(s[i+2:i+2+n], 16, 32)
		if err != nil || !utf8.ValidRune(rune(r)) {
			b.WriteByte(s[i])
			continue
		}
		b.WriteRune(rune(r))
		i += 1 + n
	}
	return b.String()
}

// joinKey is the path of a key of the table at path.
func joinKey(path, key string) string {
	if !isBareKey(key) {
		key = QuoteText(key)
	}
	if path == "" {
		return key
	}
	return path + "." + key
}

// joinIndex is the path of an element of the array at path.
func joinIndex(path string, i int) string {
	return path + "[" + strconv.Itoa(i) + "]"
}

func isBareKey(s string) bool {
	for i := 0; i < len(s); i++ {
		if !isBare(s[i]) {
			return false
		}
	}
	return s != ""
}

// parentPath drops the last step of a path; "" has none.
func parentPath(path string) string {
	steps := splitPath(path)
	if len(steps) == 0 {
		return ""
	}
	return path[:steps[len(steps)-1].start]
}

// step is one key or index of a path.
type step struct {
	start int // where it starts in the path, with its dot or bracket
	key   string
	index int // -1: a key
}

// splitPath takes a path apart; what is not a path gives the steps before the
// fault.
func splitPath(path string) []step {
	var steps []step
	for i := 0; i < len(path); {
		start := i
		if path[i] == '[' {
			end := strings.IndexByte(path[i:], ']')
			if end < 0 {
				return steps
			}
			n, err := strconv.Atoi(path[i+1 : i+end])
			if err != nil || n < 0 {
				return steps
			}
			steps = append(steps, step{start, "", n})
			i += end + 1
			continue
		}
		if path[i] == '.' {
			i++
		}
		s := scanner{text: path, pos: i}
		name, f := s.keyName()
		if f != nil {
			return steps
		}
		steps = append(steps, step{start, name, -1})
		i = s.pos
	}
	return steps
}
