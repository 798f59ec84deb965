package source

import (
	"bytes"
	"encoding"
	"math"
	"reflect"
	"strconv"
	"strings"

	q "example.org/pinhoist/internal/quantity"
)

// tomlSource is a type that gives its own value for a file: a string, bool,
// number or nothing (nil).
type tomlSource interface{ EncodeTOML() any }

// Encode prints a struct, or a pointer to one, as TOML by the tags of its
// fields. Quantities are printed exactly: decoding the text gives the same value
// back. What is absent or empty, and false, is left out.
func Encode(v any) []byte {
	var e encoder
	e.table("", reflect.Indirect(reflect.ValueOf(v)), true)
	return bytes.TrimLeft(e.Bytes(), "\n")
}

type encoder struct{ bytes.Buffer }

// table prints the keys of a table and then the tables inside it, as TOML wants
// it. top: named things get a table each.
func (e *encoder) table(path string, v reflect.Value, top bool) {
	p := planOf(v.Type())
	for i := range p.fields {
		f := &p.fields[i]
		fv, ok := f.present(v)
		if !ok || f.separate(fv, top) {
			continue
		}
		e.WriteString(keyText(f.key) + " = ")
		e.value(fv, f, true)
		e.WriteByte('\n')
	}
	for i := range p.fields {
		f := &p.fields[i]
		fv, ok := f.present(v)
		if !ok || !f.separate(fv, top) {
			continue
		}
		path := joinKey(path, f.key)
		if f.form == formTable {
			e.WriteString("\n[" + path + "]\n")
			e.table(path, fv, false)
			continue
		}
		for i := range fv.Len() {
			e.WriteString("\n[[" + path + "]]\n")
			e.table(path, fv.Index(i), false)
		}
	}
}

// present returns the value of the field in its struct, without the pointer,
// and whether there is anything to print.
func (f *fieldPlan) present(v reflect.Value) (reflect.Value, bool) {
	v = v.FieldByIndex(f.index)
	if f.pointer {
		if v.IsNil() {
			return v, false
		}
		return v.Elem(), true
	}
	switch f.form {
	case formTexts, formTables:
		return v, v.Len() > 0
	case formTable:
		return v, keysPresent(v) > 0
	}
	return v, !v.IsZero()
}

// keysPresent is how many keys a table would hold.
func keysPresent(v reflect.Value) int {
	n := 0
	p := planOf(v.Type())
	for i := range p.fields {
		if _, ok := p.fields[i].present(v); ok {
			n++
		}
	}
	return n
}

// inlineKeys is how many keys of a table stand on one line: as many as one reads and
// edits there.
const inlineKeys = 6

// separate reports whether a field gets a table of its own instead of standing
// on the line of its key: at the top every table does, and a list of things that
// have a name; below, a table that holds tables or lists, or many keys.
func (f *fieldPlan) separate(v reflect.Value, top bool) bool {
	switch f.form {
	case formTable:
		return top || !planOf(f.typ).flat() || keysPresent(v) > inlineKeys
	case formTables:
		return top && planOf(f.typ).named()
	}
	return false
}

// flat reports whether a struct has no tables inside.
func (p *plan) flat() bool {
	for i := range p.fields {
		if f := p.fields[i].form; f == formTable || f == formTables {
			return false
		}
	}
	return true
}

// named reports whether a struct is a thing with an identity of its own.
func (p *plan) named() bool {
	for _, key := range []string{"id", "name"} {
		if i, ok := p.byKey[key]; ok && p.fields[i].form == formText {
			return true
		}
	}
	return false
}

// value prints a value on the line of its key; a list of tables at the outside
// gets a line for each.
func (e *encoder) value(v reflect.Value, f *fieldPlan, outside bool) {
	switch f.form {
	case formTable:
		e.inline(v)
	case formTables:
		e.list(v, outside)
	case formTexts:
		e.texts(v.Interface().([]string))
	default:
		e.WriteString(scalarText(v, f))
	}
}

func (e *encoder) inline(v reflect.Value) {
	p := planOf(v.Type())
	sep := "{ "
	for i := range p.fields {
		f := &p.fields[i]
		fv, ok := f.present(v)
		if !ok {
			continue
		}
		e.WriteString(sep + keyText(f.key) + " = ")
		e.value(fv, f, false)
		sep = ", "
	}
	if sep == "{ " {
		e.WriteString("{}")
		return
	}
	e.WriteString(" }")
}

func (e *encoder) list(v reflect.Value, outside bool) {
	split := outside && v.Len() > 1
	e.WriteByte('[')
	for i := range v.Len() {
		switch {
		case split:
			e.WriteString("\n  ")
		case i > 0:
			e.WriteString(", ")
		}
		e.inline(v.Index(i))
		if split {
			e.WriteByte(',')
		}
	}
	if split {
		e.WriteByte('\n')
	}
	e.WriteByte(']')
}

func (e *encoder) texts(list []string) {
	e.WriteByte('[')
	for i, s := range list {
		if i > 0 {
			e.WriteString(", ")
		}
		e.WriteString(QuoteText(s))
	}
	e.WriteByte(']')
}

// scalarText is the TOML text of a single value.
func scalarText(v reflect.Value, f *fieldPlan) string {
	switch f.form {
	case formText:
		return QuoteText(v.String())
	case formBool:
		return strconv.FormatBool(v.Bool())
	case formInt:
		return strconv.FormatInt(v.Int(), 10)
	case formFloat:
		return formatFloat(v.Float())
	case formMoney:
		return QuoteText(v.Interface().(q.Money).String())
	case formQuantity:
		return quantityText(addressable(v).Interface().(q.Textual), f)
	}
	return ownText(v)
}

// quantityText is the exact text, without quotation marks where it is a bare
// number.
func quantityText(o q.Textual, f *fieldPlan) string {
	text := o.ExactText()
	if f.bare && isNumber(text) {
		return text
	}
	return QuoteText(text)
}

// isNumber reports whether a text is a TOML number.
func isNumber(s string) bool {
	return s != "" && strings.Trim(s, "0123456789.-") == "" && s[len(s)-1] != '.'
}

// ownText is the text of a type that prints itself.
func ownText(v reflect.Value) string {
	switch x := addressable(v).Interface().(type) {
	case tomlSource:
		return rawText(x.EncodeTOML())
	case encoding.TextMarshaler:
		text, err := x.MarshalText()
		if err != nil {
			return QuoteText("")
		}
		return QuoteText(string(text))
	}
	panic("source: " + v.Type().String() + " has no text of its own")
}

func rawText(v any) string {
	switch v := v.(type) {
	case bool:
		return strconv.FormatBool(v)
	case int:
		return strconv.Itoa(v)
	case float64:
		return formatFloat(v)
	case string:
		return QuoteText(v)
	}
	return QuoteText("")
}

// addressable returns a pointer to v, to a copy where v has no address.
func addressable(v reflect.Value) reflect.Value {
	if v.CanAddr() {
		return v.Addr()
	}
	p := reflect.New(v.Type())
	p.Elem().Set(v)
	return p
}

// formatFloat is the shortest TOML number that gives v back.
func formatFloat(v float64) string {
	if a := math.Abs(v); a != 0 && (a < 1e-6 || a >= 1e15) {
		return strconv.FormatFloat(v, 'e', -1, 64)
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}

// keyText is a key as it stands in a file.
func keyText(key string) string {
	if isBareKey(key) {
		return key
	}
	return QuoteText(key)
}

// QuoteText is a TOML basic string.
func QuoteText(s string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range s {
		switch {
		case r == '"' || r == '\\':
			b.WriteByte('\\')
			b.WriteRune(r)
		case r > 0xffff && Unprintable(r):
			b.WriteString(`\U` + strings.Repeat("0", 8-len(hex4(r))) + hex4(r))
		case Unprintable(r):
			b.WriteString(`\u` + hex4(r))
		default:
			b.WriteRune(r)
		}
	}
	b.WriteByte('"')
	return b.String()
}
