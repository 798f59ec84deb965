package source

import (
	"bytes"
	"encoding"
	"encoding/json"
	"math"
	"reflect"

	q "example.org/pinhoist/internal/quantity"
)

// JSON returns a struct, or a pointer to one, as one JSON object with the keys
// and the nesting of its TOML, in the order of the struct. Quantities are
// numbers in their stored unit (SI, temperatures in degrees Celsius, fractions
// as ratios), money is {"amount","currency"}. What is absent or empty, and
// false, is left out; what is not finite is null.
func JSON(v any) json.RawMessage {
	var w jsonWriter
	w.object(reflect.Indirect(reflect.ValueOf(v)))
	return w.Bytes()
}

type jsonWriter struct{ bytes.Buffer }

func (w *jsonWriter) object(v reflect.Value) {
	p := planOf(v.Type())
	w.WriteByte('{')
	first := true
	for i := range p.fields {
		f := &p.fields[i]
		fv, ok := f.present(v)
		if !ok {
			continue
		}
		if !first {
			w.WriteByte(',')
		}
		first = false
		w.any(f.key)
		w.WriteByte(':')
		w.value(fv, f)
	}
	w.WriteByte('}')
}

func (w *jsonWriter) value(v reflect.Value, f *fieldPlan) {
	switch f.form {
	case formTable:
		w.object(v)
	case formTables:
		w.WriteByte('[')
		for i := range v.Len() {
			if i > 0 {
				w.WriteByte(',')
			}
			w.object(v.Index(i))
		}
		w.WriteByte(']')
	case formQuantity:
		w.number(addressable(v).Interface().(q.Textual).SI())
	case formFloat:
		w.number(v.Float())
	case formMoney:
		w.money(v.Interface().(q.Money))
	case formHook, formUnion:
		w.any(ownJSON(v))
	default:
		w.any(v.Interface())
	}
}

func (w *jsonWriter) money(m q.Money) {
	w.WriteString(`{"amount":`)
	w.number(m.Amount)
	w.WriteString(`,"currency":`)
	w.any(m.Currency)
	w.WriteByte('}')
}

func (w *jsonWriter) number(v float64) {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		w.WriteString("null")
		return
	}
	w.any(v)
}

// any writes a value that the JSON library knows; one that it cannot write is
// null. Markup characters are not escaped: it is no web page.
func (w *jsonWriter) any(v any) {
	if x, ok := v.(float64); ok && (math.IsNaN(x) || math.IsInf(x, 0)) {
		v = nil
	}
	at := w.Len()
	enc := json.NewEncoder(&w.Buffer)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(v); err != nil {
		w.Truncate(at)
		w.WriteString("null")
		return
	}
	w.Truncate(w.Len() - 1) // the line break that Encode adds
}

// ownJSON is the value of a type that prints itself.
func ownJSON(v reflect.Value) any {
	switch x := addressable(v).Interface().(type) {
	case jsonSource:
		return x.SourceJSON()
	case tomlSource:
		return x.EncodeTOML()
	case encoding.TextMarshaler:
		text, err := x.MarshalText()
		if err != nil {
			return nil
		}
		return string(text)
	}
	panic("source: " + v.Type().String() + " has no JSON of its own")
}
