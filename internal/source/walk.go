package source

import (
	"reflect"

	q "example.org/pinhoist/internal/quantity"
)

// Field is one number of a struct: a quantity, int or float64 with a key,
// stated or not.
type Field struct {
	Path  string        // "r_ds_on[0].max"
	Key   string        // "max"
	Value reflect.Value // the field itself: Opt, *int, *float64, int, float64

	plan *fieldPlan
}

// Walk calls f for every number of the struct that v points to, in the order of
// its fields, also inside its tables and lists; absent tables are not entered.
func Walk(v any, f func(Field)) {
	rv := reflect.ValueOf(v)
	if rv.Kind() != reflect.Pointer || rv.IsNil() {
		panic("source: Walk needs a pointer to a struct")
	}
	walk("", rv.Elem(), f)
}

func walk(path string, v reflect.Value, f func(Field)) {
	p := planOf(v.Type())
	for i := range p.fields {
		fp := &p.fields[i]
		fv := v.FieldByIndex(fp.index)
		switch fp.form {
		case formInt, formFloat, formQuantity:
			f(Field{Path: joinKey(path, fp.key), Key: fp.key, Value: fv, plan: fp})
		case formTable:
			if !fp.pointer {
				walk(joinKey(path, fp.key), fv, f)
			} else if !fv.IsNil() {
				walk(joinKey(path, fp.key), fv.Elem(), f)
			}
		case formTables:
			for i := range fv.Len() {
				walk(joinIndex(joinKey(path, fp.key), i), fv.Index(i), f)
			}
		}
	}
}

// Need is the tag of that name: "R", "r", "o" or "".
func (f Field) Need() string { return f.plan.need }

// Worse is the tag of that name: "less", "more" or "" for a condition or a
// typical figure.
func (f Field) Worse() string { return f.plan.tag.Get("worse") }

// Span is the plausible values in SI, both ends allowed; ok: there are any.
func (f Field) Span() (low, high float64, ok bool) {
	if s := f.plan.span; s != nil {
		return s.low, s.high, true
	}
	return 0, 0, false
}

// Min is the least value, stated in the tag of that name; ok false: it must be
// above zero, or may have any sign (Signed).
func (f Field) Min() (least float64, ok bool) { return f.plan.min, f.plan.hasMin }

// Signed reports whether the field may be negative.
func (f Field) Signed() bool { return f.plan.signed }

// textual is the quantity of the field; ok false: a bare int or float64.
func (f Field) textual() (q.Textual, bool) {
	if f.plan.form != formQuantity {
		return nil, false
	}
	v := f.Value
	if f.plan.pointer {
		if v.IsNil() {
			return nil, false
		}
		v = v.Elem()
	}
	return v.Addr().Interface().(q.Textual), true
}

// Known reports whether the number is there.
func (f Field) Known() bool {
	if f.plan.pointer && f.Value.IsNil() {
		return false
	}
	if o, ok := f.textual(); ok {
		return o.Known()
	}
	return true
}

// SI is the number in its stored unit; 0 where it is absent (look at Known).
func (f Field) SI() float64 {
	if !f.Known() {
		return 0
	}
	if o, ok := f.textual(); ok {
		return o.SI()
	}
	v := reflect.Indirect(f.Value)
	if v.CanInt() {
		return float64(v.Int())
	}
	return v.Float()
}

// Unit is the unit of SI: "" for a bare int or float64.
func (f Field) Unit() string {
	if f.plan.form != formQuantity {
		return ""
	}
	return f.plan.dimension().Unit()
}

// SetSI states the number. An int takes its whole part.
func (f Field) SetSI(v float64) {
	target := f.Value
	if f.plan.pointer {
		target.Set(reflect.New(f.plan.typ)) // never write through a shared pointer
		target = target.Elem()
	}
	switch f.plan.form {
	case formQuantity:
		target.Addr().Interface().(q.Textual).SetSI(v)
	case formInt:
		target.SetInt(int64(v))
	default:
		target.SetFloat(v)
	}
}

// Clear makes the number absent; an int or float64 that cannot be becomes 0.
func (f Field) Clear() { f.Value.SetZero() }
