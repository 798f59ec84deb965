package source

import (
	"cmp"
	"encoding"
	"errors"
	"math"
	"reflect"
	"slices"
	"sort"
	"strconv"
	"strings"
	"time"

	q "example.org/pinhoist/internal/quantity"
)

// maxErrors is how many errors of one text are gathered; a text that holds more
// is not what it is taken for.
const maxErrors = 1000

// Options say which keys a decoder demands. Without any, none.
type Options struct {
	// RequireAll demands every key tagged need:"R".
	RequireAll bool
	// Require demands more keys: it is asked for each key that is absent. The
	// type is that of the struct of the table, embedded structs counted with it.
	Require func(structType reflect.Type, key string) bool
	// Waive lets keys go that RequireAll demands; path is that of the table.
	Waive func(path string, structType reflect.Type, key string) bool
}

// Decode reads the document into dst, a pointer to a struct, and returns every
// error and warning in the order of the text. What could not be read is left as
// it was, so that after a fatal error dst must not be used.
func Decode(d *Document, dst any, options ...Options) Errors {
	return DecodeTable(d, "", dst, options...)
}

// DecodeTable is Decode for the table at path ("mosfet[2]"). Lists of tables
// then count as lists of points, with at most MaxPoints.
func DecodeTable(d *Document, path string, dst any, options ...Options) Errors {
	v := reflect.ValueOf(dst)
	if v.Kind() != reflect.Pointer || v.IsNil() || v.Elem().Kind() != reflect.Struct {
		panic("source: Decode needs a pointer to a struct")
	}
	dec := &decoder{doc: d, options: options}
	raw, ok := d.lookup(path)
	table, isTable := raw.(map[string]any)
	if !isTable {
		found := "nothing"
		if ok {
			found = describe(raw)
		}
		return Errors{d.Errorf(path, found, "a table")}
	}
	dec.root = path
	dec.table(table, v.Elem(), path != "")
	dec.errs.Sort()
	return dec.errs
}

// decoder gathers the errors of one run.
type decoder struct {
	doc     *Document
	options []Options
	root    string
	trail   []step // from root to what is being read
	errs    Errors
	full    bool
}

// path is where the decoder is; it is put together only when it is wanted.
func (dec *decoder) path(key string) string {
	path := dec.root
	for _, s := range dec.trail {
		if s.index >= 0 {
			path = joinIndex(path, s.index)
		} else {
			path = joinKey(path, s.key)
		}
	}
	if key != "" {
		path = joinKey(path, key)
	}
	return path
}

func (dec *decoder) enter(key string) { dec.trail = append(dec.trail, step{key: key, index: -1}) }
func (dec *decoder) enterIndex(i int) { dec.trail = append(dec.trail, step{index: i}) }
func (dec *decoder) leave()           { dec.trail = dec.trail[:len(dec.trail)-1] }

func (dec *decoder) fail(key, found, expected string) {
	dec.report(key, found, expected, false)
}

func (dec *decoder) report(key, found, expected string, warning bool) {
	if dec.full {
		return
	}
	if len(dec.errs) == maxErrors {
		dec.full = true
		dec.errs = append(dec.errs, Error{File: dec.doc.name,
			Found: "more than " + strconv.Itoa(maxErrors) + " errors", Expected: "a file of the kind asked for"})
		return
	}
	e := dec.doc.Errorf(dec.path(key), found, expected)
	e.Warning = warning
	dec.errs = append(dec.errs, e)
}

// table reads a table into the struct v. nested: its lists are lists of points.
func (dec *decoder) table(table map[string]any, v reflect.Value, nested bool) {
	p := planOf(v.Type())
	known := 0
	for i := range p.fields {
		f := &p.fields[i]
		raw, ok := table[f.key]
		if !ok {
			if dec.required(p.typ, f) {
				dec.fail(f.key, "nothing", f.want)
			}
			continue
		}
		known++
		dec.enter(f.key)
		dec.field(raw, v.FieldByIndex(f.index), f, nested)
		dec.leave()
	}
	if known < len(table) {
		dec.unknown(table, p)
	}
}

func (dec *decoder) required(t reflect.Type, f *fieldPlan) bool {
	for _, o := range dec.options {
		if o.Require != nil && o.Require(t, f.key) {
			return true
		}
		if o.RequireAll && f.need == "R" && (o.Waive == nil || !o.Waive(dec.path(""), t, f.key)) {
			return true
		}
	}
	return false
}

// unknown reports the keys of a table that its struct does not have.
func (dec *decoder) unknown(table map[string]any, p *plan) {
	var keys []string
	for key := range table {
		if _, ok := p.byKey[key]; !ok {
			keys = append(keys, key)
		}
	}
	sort.Strings(keys)
	for _, key := range keys {
		if dec.full {
			return
		}
		switch hint := p.hint(key); {
		case strings.ContainsFunc(key, Unprintable):
			dec.fail(key, "a control character in a key", "a known key")
		case hint != "":
			dec.fail(key, "an unknown key", "a known one: did you mean "+hint+"?")
		case len(p.fields) <= 12:
			dec.fail(key, "an unknown key", "one of "+strings.Join(p.keys(), ", "))
		default:
			dec.fail(key, "an unknown key", "a key of this table")
		}
	}
}

func (p *plan) keys() []string {
	keys := make([]string, len(p.fields))
	for i, f := range p.fields {
		keys[i] = f.key
	}
	return keys
}

// field reads one value into v, the field or the pointer to it.
func (dec *decoder) field(raw any, v reflect.Value, f *fieldPlan, nested bool) {
	if f.pointer {
		v.Set(reflect.New(f.typ))
		v = v.Elem()
	}
	switch f.form {
	case formText:
		dec.text(raw, v, f)
	case formBool:
		dec.bool(raw, v)
	case formInt:
		dec.int(raw, v, f)
	case formFloat:
		dec.float(raw, v, f)
	case formQuantity:
		dec.quantity(raw, v.Addr().Interface().(q.Textual), f)
	case formMoney:
		dec.money(raw, v)
	case formTexts:
		dec.texts(raw, v, f)
	case formTable:
		dec.subTable(raw, v)
	case formTables:
		dec.tables(raw, v, f, nested)
	case formHook:
		dec.hook(raw, v)
	case formUnion:
		dec.union(raw, v)
	}
}

func (dec *decoder) text(raw any, v reflect.Value, f *fieldPlan) {
	s, ok := dec.string(raw, f.want)
	if !ok {
		return
	}
	switch {
	case len(f.words) > 0 && !slices.Contains(f.words, s):
		dec.fail("", QuoteText(s), f.want)
		return
	case s == "" && f.need == "R":
		dec.fail("", "an empty text", "text")
		return
	}
	v.SetString(s)
}

// string returns a text that may be shown.
func (dec *decoder) string(raw any, want string) (string, bool) {
	s, ok := raw.(string)
	if !ok {
		dec.fail("", describe(raw), want)
		return "", false
	}
	if i := strings.IndexFunc(s, Unprintable); i >= 0 {
		r := []rune(s[i:])[0]
		dec.fail("", "a control character (U+"+hex4(r)+") in a text", "printable characters")
		return "", false
	}
	return s, true
}

func hex4(r rune) string {
	s := strings.ToUpper(strconv.FormatInt(int64(r), 16))
	return strings.Repeat("0", max(0, 4-len(s))) + s
}

func (dec *decoder) bool(raw any, v reflect.Value) {
	b, ok := raw.(bool)
	if !ok {
		dec.fail("", describe(raw), "true or false")
		return
	}
	v.SetBool(b)
}

func (dec *decoder) int(raw any, v reflect.Value, f *fieldPlan) {
	n, ok := raw.(int64)
	if !ok || int64(int(n)) != n {
		dec.fail("", describe(raw), f.want)
		return
	}
	if shown := describe(raw); dec.within(float64(n), shown, f) {
		v.SetInt(n)
		dec.span(float64(n), shown, shown, f)
	}
}

func (dec *decoder) float(raw any, v reflect.Value, f *fieldPlan) {
	n, ok := bareNumber(raw)
	if !ok {
		dec.fail("", describe(raw), f.want)
		return
	}
	if shown := describe(raw); dec.within(n, shown, f) {
		v.SetFloat(n)
		dec.span(n, shown, shown, f)
	}
}

func bareNumber(raw any) (float64, bool) {
	switch n := raw.(type) {
	case int64:
		return float64(n), true
	case float64:
		return n, true
	}
	return 0, false
}

func (dec *decoder) quantity(raw any, o q.Textual, f *fieldPlan) {
	if n, ok := bareNumber(raw); ok {
		if !f.bare {
			dec.fail("", describe(raw), "text with a unit such as "+QuoteText(f.dimension().Example()))
			return
		}
		if shown := describe(raw); dec.within(n, shown, f) {
			o.SetSI(n)
			dec.span(n, shown, shown, f)
		}
		return
	}
	s, ok := dec.string(raw, f.want)
	if !ok {
		return
	}
	if err := o.SetText(s); err != nil {
		dec.wrong(s, err)
		return
	}
	if !dec.within(o.SI(), shorten(s), f) {
		o.Clear()
		return
	}
	dec.span(o.SI(), s, o.ExactText(), f)
}

// wrong reports an error of a reader of text.
func (dec *decoder) wrong(found any, err error) {
	var pe *q.ParseError
	var se Error
	switch {
	case errors.As(err, &pe):
		expected := pe.Expected
		if more, ok := strings.CutPrefix(err.Error(), pe.Error()); ok {
			expected += more // what a reader that wraps the error allows besides
		}
		if pe.Hint != "" {
			expected += " (" + pe.Hint + ")"
		}
		dec.fail("", cmp.Or(pe.Found, "an empty text"), expected)
	case errors.As(err, &se):
		dec.fail("", se.Found, se.Expected)
	default:
		dec.fail("", describe(found), err.Error())
	}
}

// within checks a number, as written in shown, against what its key allows.
func (dec *decoder) within(n float64, shown string, f *fieldPlan) bool {
	switch {
	case math.IsNaN(n) || math.IsInf(n, 0):
		dec.fail("", shown, "a finite number")
		return false
	case f.typ == typeCelsius && n < -q.ZeroCelsius:
		dec.fail("", shown, "a temperature above absolute zero, -273.15 C")
		return false
	case f.signed && !f.hasMin:
	case f.hasMin && n < f.min:
		dec.fail("", shown, "at least "+f.minText)
		return false
	case !f.hasMin && n <= 0:
		dec.fail("", shown, "a value above zero")
		return false
	}
	return true
}

// span warns of a number that is not plausible and shows it back: as written,
// as it was taken, and what the slip may be.
func (dec *decoder) span(n float64, written, exact string, f *fieldPlan) {
	s := f.span
	if s == nil || n >= s.low && n <= s.high {
		return
	}
	found := shorten(written)
	if exact != written {
		found += " (" + exact + ")"
	}
	expected := s.lowText + " to " + s.highText + "; it is taken as said"
	if slip := q.Suspicious(written); slip != "" {
		expected += ": " + slip
	}
	dec.report("", found, expected, true)
}

func (dec *decoder) money(raw any, v reflect.Value) {
	const want = "an amount of money, such as 0.38 EUR"
	s, ok := dec.string(raw, want)
	if !ok {
		return
	}
	m, err := q.ParseMoney(s)
	if err != nil {
		dec.wrong(s, err)
		return
	}
	if m.Amount < 0 || math.IsNaN(m.Amount) || math.IsInf(m.Amount, 0) {
		dec.fail("", shorten(s), "an amount that is not negative")
		return
	}
	v.Set(reflect.ValueOf(m))
}

func (dec *decoder) texts(raw any, v reflect.Value, f *fieldPlan) {
	list, ok := entries(raw)
	switch {
	case !ok:
		dec.fail("", describe(raw), `a list of texts such as ["a", "b"]`)
		return
	case list.len() == 0:
		if f.need == "R" {
			dec.fail("", "an empty list", "at least one text")
		}
		return
	}
	texts := make([]string, 0, list.len())
	for i := range list.len() {
		dec.enterIndex(i)
		if s, ok := dec.string(list.at(i), "text"); ok {
			texts = append(texts, s)
		}
		dec.leave()
	}
	v.Set(reflect.ValueOf(texts))
}

func (dec *decoder) subTable(raw any, v reflect.Value) {
	table, ok := raw.(map[string]any)
	if !ok {
		dec.fail("", describe(raw), "a table")
		return
	}
	dec.table(table, v, true)
}

func (dec *decoder) tables(raw any, v reflect.Value, f *fieldPlan, nested bool) {
	list, ok := entries(raw)
	if !ok {
		dec.fail("", describe(raw), "a list of tables")
		return
	}
	n := list.len()
	limit := MaxEntries
	if nested {
		limit = MaxPoints
	}
	switch {
	case n > limit:
		dec.fail("", strconv.Itoa(n)+" entries", "at most "+strconv.Itoa(limit))
		return
	case n == 0:
		if nested {
			dec.fail("", "an empty list", "1 to "+strconv.Itoa(limit)+" entries")
		}
		return
	}
	slice := reflect.MakeSlice(reflect.SliceOf(f.typ), n, n)
	v.Set(slice)
	for i := range n {
		dec.enterIndex(i)
		dec.subTable(list.at(i), slice.Index(i))
		dec.leave()
	}
}

func (dec *decoder) hook(raw any, v reflect.Value) {
	s, ok := dec.string(raw, "text")
	if !ok {
		return
	}
	if err := v.Addr().Interface().(encoding.TextUnmarshaler).UnmarshalText([]byte(s)); err != nil {
		dec.wrong(s, err)
	}
}

func (dec *decoder) union(raw any, v reflect.Value) {
	if s, ok := raw.(string); ok {
		if _, ok := dec.string(s, "text"); !ok {
			return
		}
	}
	if err := v.Addr().Interface().(unionDecoder).DecodeTOML(raw); err != nil {
		dec.wrong(raw, err)
	}
}

// dimension is that of a field that holds a quantity.
func (f *fieldPlan) dimension() *q.Dimension {
	return reflect.New(f.typ).Interface().(q.Textual).Dimension()
}

// describe shows a raw value, shortened.
func describe(raw any) string {
	switch v := raw.(type) {
	case string:
		return QuoteText(shorten(v))
	case bool:
		return strconv.FormatBool(v)
	case int64:
		return strconv.FormatInt(v, 10)
	case float64:
		return formatFloat(v)
	case time.Time:
		return "a date or time"
	case map[string]any:
		return "a table"
	case []map[string]any, []any:
		return "a list"
	}
	return "a value of another kind"
}

// shorten cuts a text that is long for a message.
func shorten(s string) string {
	const most = 40
	if r := []rune(s); len(r) > most {
		return string(r[:most]) + "..."
	}
	return s
}
