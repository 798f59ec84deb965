package catalog

import (
	"cmp"
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"

	q "example.org/pinhoist/internal/quantity"
	"example.org/pinhoist/internal/source"
)

// Draft is a part of one's own while it is written: texts as people type them, by
// the key of its ask. What is empty is not stated.
type Draft struct {
	Kind     Kind
	Texts    map[string]string
	Replaces bool // it takes the id of a part that comes with the program
}

// NewDraft is an empty draft. It is nil for a kind that a file does not hold.
func NewDraft(k Kind) *Draft {
	if first, _ := Asks(k); first == nil {
		return nil
	}
	return &Draft{Kind: k, Texts: map[string]string{}}
}

// ID is the id as typed.
func (d *Draft) ID() string { return strings.TrimSpace(d.Texts["id"]) }

// Asks lists what is asked of this draft, by what it states already: first what a
// verdict needs, then what may be missing for a proof.
func (d *Draft) Asks() (first, more []Ask) {
	first, more = Asks(d.Kind)
	off := func(a Ask) bool { return !d.asked(a.When) }
	return slices.DeleteFunc(first, off), slices.DeleteFunc(more, off)
}

// asked reports whether the conditions of an ask hold.
func (d *Draft) asked(when string) bool {
	if when == "" {
		return true
	}
	for _, c := range strings.Split(when, "&") {
		key, words, not := c, "", false
		if key, words, not = strings.Cut(c, "!="); !not {
			key, words, _ = strings.Cut(c, "=")
		}
		if slices.Contains(strings.Split(words, "|"), strings.TrimSpace(d.Texts[key])) == not {
			return false
		}
	}
	return true
}

// Options lists the words that may stand for a key of this kind, nil where it is a
// figure or a text.
func (d *Draft) Options(key string) []string {
	f, ok := leafOf(d.Kind, key)
	switch {
	case !ok:
		return nil
	case f.bool:
		return []string{"true", "false"}
	}
	return f.words
}

// leaf is what there is to know about the value of a key.
type leaf struct {
	words []string
	bool  bool
	bare  bool // a plain number
	list  bool // of texts
	money bool
	need  string
}

// leafOf finds a key of an ask in the type of its kind.
func leafOf(k Kind, key string) (leaf, bool) {
	t, ok := kindTypes[k]
	if !ok {
		return leaf{}, false
	}
	steps := strings.Split(key, ".")
	for i, step := range steps {
		name, _, _ := strings.Cut(step, "[")
		f, ok := fieldOf(t, name)
		if !ok {
			return leaf{}, false
		}
		t = f.Type
		for t.Kind() == reflect.Pointer || t.Kind() == reflect.Slice && t.Elem().Kind() != reflect.String {
			t = t.Elem()
		}
		if i < len(steps)-1 {
			continue
		}
		l := leaf{need: f.Tag.Get("need"), bool: t.Kind() == reflect.Bool, list: t.Kind() == reflect.Slice,
			bare: t.Kind() == reflect.Int || t.Kind() == reflect.Float64, money: f.Tag.Get("key") == "price"}
		if of := f.Tag.Get("of"); of != "" {
			l.words = strings.Split(of, "|")
		}
		return l, true
	}
	return leaf{}, false
}

// fieldOf finds the field of a key, those of embedded structs too.
func fieldOf(t reflect.Type, key string) (reflect.StructField, bool) {
	if t.Kind() != reflect.Struct {
		return reflect.StructField{}, false
	}
	for _, f := range reflect.VisibleFields(t) {
		if f.Tag.Get("key") == key {
			return f, true
		}
	}
	return reflect.StructField{}, false
}

var kindTypes = map[Kind]reflect.Type{
	KindBJT: reflect.TypeFor[BJT](), KindMOSFET: reflect.TypeFor[MOSFET](), KindRelay: reflect.TypeFor[Relay](), KindSSR: reflect.TypeFor[SSR](),
	KindModule: reflect.TypeFor[Module](), KindArray: reflect.TypeFor[Array](), KindDiode: reflect.TypeFor[Diode](), KindZener: reflect.TypeFor[Zener](),
	KindTVS: reflect.TypeFor[TVS](), KindMOV: reflect.TypeFor[MOV](), KindResistorSeries: reflect.TypeFor[ResistorSeries](),
	KindCapacitor: reflect.TypeFor[Capacitor](), KindHeatSink: reflect.TypeFor[HeatSink](), KindInsulator: reflect.TypeFor[Insulator](),
	KindFuse: reflect.TypeFor[Fuse](), KindLimiter: reflect.TypeFor[Limiter](),
}

// commentColumns is the width to which remarks are wrapped.
const commentColumns = 78

// Table is the draft as one commented table of a catalogue file: what is stated, and
// behind it, as remarks to be filled in, what is not. Prices without a currency get
// the one given.
func (d *Draft) Table(currency string) string {
	first, more := d.Asks()
	var said, unsaid strings.Builder
	fmt.Fprintf(&said, "[[%s]]\n", d.Kind)
	if d.Replaces {
		said.WriteString("replaces = true\n")
	}
	for _, group := range grouped(append(first, more...)) {
		var stated []Ask
		for _, a := range group {
			if d.stated(a.Key) {
				stated = append(stated, a)
			}
		}
		b, mark := &said, ""
		list := group
		if len(stated) > 0 {
			list = stated
		} else {
			b, mark = &unsaid, "# "
		}
		remark(b, list)
		key, value := d.line(list, currency)
		fmt.Fprintf(b, "%s%s = %s\n", mark, key, value)
	}
	if unsaid.Len() > 0 {
		said.WriteString("\n# Not stated. Take away the # of a line once its figure is in it.\n" + unsaid.String())
	}
	return said.String()
}

func (d *Draft) stated(key string) bool { return strings.TrimSpace(d.Texts[key]) != "" }

// grouped puts the asks of one list, which is one line of the file, together.
func grouped(asks []Ask) [][]Ask {
	var out [][]Ask
	at := map[string]int{}
	for _, a := range asks {
		line := lineOf(a.Key)
		i, ok := at[line]
		if !ok || line == a.Key {
			i = len(out)
			at[line] = i
			out = append(out, nil)
		}
		out[i] = append(out[i], a)
	}
	return out
}

// lineOf is the key of the line that holds a key: a list and all that is in it
// stand in one.
func lineOf(key string) string {
	line, _, _ := strings.Cut(key, "[")
	return line
}

// remark writes what the figures of a line are.
func remark(b *strings.Builder, list []Ask) {
	text := ""
	for i, a := range list {
		if i > 0 {
			text += " "
		}
		text += a.What
	}
	if list[0].Where != "" {
		text += " See " + list[0].Where + "."
	}
	line := "#"
	for _, word := range strings.Fields(text) {
		if len(line)+1+len(word) > commentColumns {
			b.WriteString(line + "\n")
			line = "#"
		}
		line += " " + word
	}
	b.WriteString(line + "\n")
}

// node is a value on its way into the file.
type node struct {
	key   string
	value string // of a leaf
	index int    // in a list; -1: none
	under []*node
}

// line is the key and the value of one line.
func (d *Draft) line(list []Ask, currency string) (key, value string) {
	key = lineOf(list[0].Key)
	if key == list[0].Key {
		return key, d.value(key, currency)
	}
	root := &node{index: -1}
	for _, a := range list {
		at := root
		rest := strings.TrimPrefix(a.Key, key)
		for _, step := range strings.Split(strings.ReplaceAll(rest, "[", ".["), ".") {
			if step != "" {
				at = at.child(step)
			}
		}
		at.value = d.value(a.Key, currency)
	}
	if key == "r_ds_on" || strings.HasSuffix(key, ".r_ds_on") { // people type the best line first
		slices.SortStableFunc(root.under, func(a, b *node) int { return cmp.Compare(a.gateVoltage(), b.gateVoltage()) })
	}
	return key, root.text()
}

// gateVoltage is that of a line of on-resistance, 0 where none can be read.
func (n *node) gateVoltage() float64 {
	var v q.Opt[q.Volt]
	for _, c := range n.under {
		if text, err := strconv.Unquote(c.value); c.key == "v_gs" && err == nil && v.SetText(text) == nil {
			return v.SI()
		}
	}
	return 0
}

func (n *node) child(step string) *node {
	for _, c := range n.under {
		if c.key == step {
			return c
		}
	}
	c := &node{key: step, index: -1}
	if i, err := strconv.Atoi(strings.Trim(step, "[]")); err == nil && strings.HasPrefix(step, "[") {
		c.index = i
	}
	n.under = append(n.under, c)
	return c
}

func (n *node) text() string {
	if len(n.under) == 0 {
		return n.value
	}
	parts := make([]string, len(n.under))
	for i, c := range n.under {
		parts[i] = c.text()
		if c.index < 0 {
			parts[i] = c.key + " = " + parts[i]
		}
	}
	if n.under[0].index >= 0 {
		return "[" + strings.Join(parts, ", ") + "]"
	}
	return "{ " + strings.Join(parts, ", ") + " }"
}

// value is what was typed for a key as TOML. What cannot be that kind of value stays
// a text, for the decoder to say so.
func (d *Draft) value(key, currency string) string {
	said := strings.TrimSpace(d.Texts[key])
	l, _ := leafOf(d.Kind, key)
	_, err := strconv.ParseFloat(said, 64)
	number := err == nil && !strings.ContainsAny(said, "xXnN_pP")
	switch {
	case said == "":
		return `""`
	case l.bool && (said == "true" || said == "false"), l.bare && number && !strings.HasPrefix(said, "."):
		return strings.TrimPrefix(said, "+")
	case l.list:
		var texts []string
		for _, t := range strings.Split(said, ",") {
			if t = strings.TrimSpace(t); t != "" {
				texts = append(texts, source.QuoteText(t))
			}
		}
		return "[" + strings.Join(texts, ", ") + "]"
	case l.money && number && currency != "":
		said += " " + currency
	}
	return source.QuoteText(said)
}

// File is the draft as a whole file.
func (d *Draft) File(currency string) []byte {
	return []byte(fileHead(currency) + "\n" + d.Table(currency))
}

func fileHead(currency string) string {
	head := fmt.Sprintf("# Parts of one's own: what their data sheets guarantee, maxima and minima only.\nschema = %d\n", Schema)
	if currency != "" {
		head += "currency = " + source.QuoteText(currency) + "\n"
	}
	return head
}

// ErrThere is the answer to a wish to put a part where one of its id is already.
var ErrThere = errors.New("there is a part of this id in the file")

// Put returns a catalogue file with the draft in it, its other parts and remarks as
// they were; an empty text is a file to begin. A part of that id that is in the file
// already is ErrThere, or is replaced where replace is set.
func (d *Draft) Put(name string, text []byte, currency string, replace bool) ([]byte, error) {
	if len(strings.TrimSpace(string(text))) == 0 {
		return d.File(currency), nil
	}
	doc, errs := source.Parse(name, text)
	if doc == nil {
		return nil, errs
	}
	var f file
	source.Decode(doc, &f) // only the ids are wanted
	place := -1
	var starts []int
	each(&f, func(p Part, path string) {
		line, _ := doc.Place(path)
		starts = append(starts, line)
		if p.Base().ID == d.ID() {
			place = line
		}
	})
	for i := range f.Packages {
		line, _ := doc.Place(pathOf("package", i, ""))
		starts = append(starts, line)
	}
	body := strings.TrimPrefix(string(text), "\ufeff")
	if place < 0 {
		return []byte(strings.TrimRight(body, "\n") + "\n\n" + d.Table(currency)), nil
	}
	if !replace {
		return nil, ErrThere
	}
	lines := strings.SplitAfter(body, "\n")
	if !strings.HasPrefix(strings.TrimSpace(lines[place-1]), "[[") {
		return nil, fmt.Errorf("line %d: the part is not a table of its own; change it by hand", place)
	}
	end := len(lines) // the line, from 0, where what comes next begins
	for _, s := range starts {
		if s > place && s-1 < end {
			end = s - 1
		}
	}
	if end < len(lines) { // remarks above the next part are its own
		for end > place && isRemark(lines[end-1]) {
			end--
		}
	}
	out := strings.Join(lines[:place-1], "") + d.Table(currency)
	if rest := strings.Join(lines[end:], ""); rest != "" {
		out += "\n" + rest
	}
	return []byte(out), nil
}

func isRemark(line string) bool {
	line = strings.TrimSpace(line)
	return line == "" || strings.HasPrefix(line, "#")
}

// Extend is a catalogue with the parts of one more file, and everything wrong with
// that file. The catalogue is nil where an error is more than a warning. It is what
// Load of all files gives, but for a part that is in the catalogue already: it may be
// taken the place of with replaces = true, wherever it came from.
func Extend(base *Catalog, s Source) (*Catalog, source.Errors) {
	l := &loader{currency: base.Currency, pkgs: slices.Clone(base.Packages)}
	l.read(s)
	l.countParts()
	l.currencies()
	l.packages()
	l.ownDefaults()
	l.merge()
	replaced := map[string]bool{}
	for _, e := range l.entries {
		id := e.part.Base().ID
		if _, there := base.Part(id); there && id != "" {
			if !e.part.Base().Replaces {
				l.bad(e, "id", strconv.Quote(id)+", which the catalogue has already", "another id, or replaces = true")
			}
			replaced[id] = true
		}
	}
	l.lint()
	if n := len(l.entries) + base.Len() - len(replaced); n > MaxParts {
		l.errs = append(l.errs, source.Error{File: s.Name, Found: strconv.Itoa(n) + " parts in all files", Expected: "at most " + strconv.Itoa(MaxParts)})
	}
	l.errs.Sort()
	if l.errs.Fatal() {
		return nil, l.errs
	}
	for _, p := range base.Parts() {
		if !replaced[p.Base().ID] {
			l.entries = append(l.entries, &entry{part: p})
		}
	}
	return l.catalog(), l.errs
}
