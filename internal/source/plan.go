package source

import (
	"encoding"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"sync"

	q "example.org/pinhoist/internal/quantity"
)

// form is what a field is in a file.
type form uint8

const (
	formText     form = iota // string
	formBool                 // bool
	formInt                  // int
	formFloat                // float64
	formQuantity             // Opt of a quantity
	formMoney                // Money
	formTexts                // []string
	formTable                // struct
	formTables               // []struct
	formHook                 // UnmarshalText
	formUnion                // DecodeTOML
)

// unionDecoder is a type that may be written in more than one way: it gets the
// raw TOML value (string, int64, float64, bool, map[string]any, []any, ...).
type unionDecoder interface{ DecodeTOML(value any) error }

// jsonSource is a type that gives its own value for JSON.
type jsonSource interface{ SourceJSON() any }

// fieldPlan is what there is to know about one key of a struct.
type fieldPlan struct {
	key     string
	tag     reflect.StructTag
	index   []int
	form    form
	pointer bool         // the field is a pointer to the type
	typ     reflect.Type // without the pointer; the element of a list
	need    string
	words   []string
	bare    bool    // a bare number is allowed: no dimension
	signed  bool    // may be negative
	min     float64 // the least value, when hasMin; else above zero
	hasMin  bool
	minText string
	span    *spanPlan
	want    string // what it is, for a message
}

// spanPlan is the plausible values of a key, in SI and as written.
type spanPlan struct {
	low, high         float64
	lowText, highText string
}

// plan is what there is to know about a struct.
type plan struct {
	typ    reflect.Type
	fields []fieldPlan
	byKey  map[string]int
}

// plans caches one constant plan for each type.
var plans sync.Map // reflect.Type to *plan

var (
	typeUnion   = reflect.TypeFor[unionDecoder]()
	typeTextual = reflect.TypeFor[q.Textual]()
	typeHook    = reflect.TypeFor[encoding.TextUnmarshaler]()
	typeMoney   = reflect.TypeFor[q.Money]()
	typeRatio   = reflect.TypeFor[q.Opt[q.Ratio]]()
	typeCelsius = reflect.TypeFor[q.Opt[q.Celsius]]()
	typeSlope   = reflect.TypeFor[q.Opt[q.VoltPerKelvin]]()
)

// planOf returns the plan of a struct type. A type or tag that the package does
// not know is a fault of the program, found by the first test that decodes it:
// it panics.
func planOf(t reflect.Type) *plan {
	if p, ok := plans.Load(t); ok {
		return p.(*plan)
	}
	p := &plan{typ: t, byKey: map[string]int{}}
	p.add(t, nil)
	for i, f := range p.fields {
		if _, ok := p.byKey[f.key]; ok {
			panic(fmt.Sprintf("source: %s has the key %q twice", t, f.key))
		}
		p.byKey[f.key] = i
	}
	stored, _ := plans.LoadOrStore(t, p)
	return stored.(*plan)
}

// add appends the fields of t, found from the outer struct by index.
func (p *plan) add(t reflect.Type, index []int) {
	for i := range t.NumField() {
		sf := t.Field(i)
		path := append(append([]int(nil), index...), i)
		key, ok := sf.Tag.Lookup("key")
		switch {
		case ok && sf.IsExported():
			p.fields = append(p.fields, planField(t, sf, key, path))
		case sf.Anonymous && sf.Type.Kind() == reflect.Struct:
			p.add(sf.Type, path)
		}
	}
}

func planField(owner reflect.Type, sf reflect.StructField, key string, index []int) fieldPlan {
	f := fieldPlan{key: key, tag: sf.Tag, index: index, typ: sf.Type, need: sf.Tag.Get("need")}
	if f.typ.Kind() == reflect.Pointer {
		f.pointer = true
		f.typ = f.typ.Elem()
	}
	if !f.setForm() {
		panic(fmt.Sprintf("source: %s.%s: a field of type %s has no form in a file", owner, sf.Name, sf.Type))
	}
	if words := sf.Tag.Get("of"); words != "" {
		f.words = strings.Split(words, "|")
	}
	f.setLimits(owner, sf)
	f.want = f.wanted()
	return f
}

func (f *fieldPlan) setForm() bool {
	ptr := reflect.PointerTo(f.typ)
	switch {
	case f.typ == typeMoney:
		f.form = formMoney
	case ptr.Implements(typeUnion):
		f.form = formUnion
	case ptr.Implements(typeTextual):
		f.form = formQuantity
		f.bare = f.typ == typeRatio
		f.signed = f.typ == typeCelsius || f.typ == typeSlope
	case ptr.Implements(typeHook):
		f.form = formHook
	case f.typ == reflect.TypeFor[string]():
		f.form = formText
	case f.typ == reflect.TypeFor[bool]():
		f.form = formBool
	case f.typ == reflect.TypeFor[int]():
		f.form, f.bare = formInt, true
	case f.typ == reflect.TypeFor[float64]():
		f.form, f.bare = formFloat, true
	case f.typ.Kind() == reflect.Struct:
		f.form = formTable
	case f.typ.Kind() == reflect.Slice && !f.pointer:
		return f.setList()
	default:
		return false
	}
	return true
}

func (f *fieldPlan) setList() bool {
	f.typ = f.typ.Elem()
	switch {
	case f.typ == reflect.TypeFor[string]():
		f.form = formTexts
	case f.typ.Kind() == reflect.Struct:
		f.form = formTables
	default:
		return false
	}
	return true
}

// wanted says what a field is, for a message.
func (f *fieldPlan) wanted() string {
	switch f.form {
	case formText:
		if len(f.words) > 0 {
			return "one of " + strings.Join(f.words, ", ")
		}
		return "text in quotation marks"
	case formBool:
		return "true or false"
	case formInt:
		return "a whole number"
	case formFloat:
		return "a number"
	case formQuantity:
		d := f.dimension()
		return d.Name() + ", such as " + d.Example()
	case formMoney:
		return "an amount of money, such as 0.38 EUR"
	case formTexts:
		return "a list of texts"
	case formTable:
		return "a table"
	case formTables:
		return "a list of tables"
	}
	return "a value"
}

// setLimits reads the tags min and span.
func (f *fieldPlan) setLimits(owner reflect.Type, sf reflect.StructField) {
	if s := sf.Tag.Get("min"); s != "" {
		v, ok := f.number(s)
		if !ok {
			panic(fmt.Sprintf("source: %s.%s: cannot read min %q", owner, sf.Name, s))
		}
		f.min, f.hasMin, f.minText = v, true, s
	}
	if s := sf.Tag.Get("span"); s != "" {
		low, high, _ := strings.Cut(s, "..")
		a, okA := f.number(low)
		b, okB := f.number(high)
		if !okA || !okB || a > b {
			panic(fmt.Sprintf("source: %s.%s: cannot read span %q", owner, sf.Name, s))
		}
		f.span = &spanPlan{a, b, low, high}
	}
}

// number reads a value of a tag: text as the field has it, or a bare number,
// which is in SI.
func (f *fieldPlan) number(s string) (float64, bool) {
	if f.form == formQuantity {
		o := reflect.New(f.typ).Interface().(q.Textual)
		if o.SetText(s) == nil {
			return o.SI(), true
		}
	}
	v, err := strconv.ParseFloat(s, 64)
	return v, err == nil && !math.IsNaN(v) && !math.IsInf(v, 0)
}

// hint returns a known key that an unknown one may have meant, or "".
func (p *plan) hint(key string) string {
	plain := plainKey(key)
	for _, f := range p.fields {
		if plainKey(f.key) == plain {
			return f.key
		}
	}
	best, bestAt := "", allowedSlips(key)+1
	for _, f := range p.fields {
		if d := distance(key, f.key, bestAt); d < bestAt {
			best, bestAt = f.key, d
		}
	}
	if best == "" {
		best = p.within(key)
	}
	return best
}

// within is the key whose every word stands in a longer one, whole or begun: current in
// nominal_current, pwm_frequency in pwm_freq. Of several the one of the most words.
func (p *plan) within(key string) (best string) {
	words, most := strings.Split(key, "_"), 0
	for _, f := range p.fields {
		parts := strings.Split(f.key, "_")
		if len(parts) > most && !slices.ContainsFunc(parts, func(w string) bool {
			return !slices.ContainsFunc(words, func(said string) bool {
				return said == w || len(said) >= 3 && strings.HasPrefix(w, said)
			})
		}) {
			best, most = f.key, len(parts)
		}
	}
	return best
}

// plainKey is a key without the things that are easily mixed up.
func plainKey(s string) string {
	return strings.NewReplacer("_", "", "-", "", " ", "", ".", "").Replace(strings.ToLower(s))
}

// allowedSlips is how many letters may differ for a key to be a likely slip.
func allowedSlips(key string) int {
	switch {
	case len(key) < 3:
		return 0
	case len(key) < 6:
		return 1
	}
	return 2
}

// distance is the number of letters to add, drop, change or swap with their
// neighbour to turn a into b; limit or more is returned as limit.
func distance(a, b string, limit int) int {
	if len(a)-len(b) >= limit || len(b)-len(a) >= limit {
		return limit
	}
	var rows [3][]int
	for i := range rows {
		rows[i] = make([]int, len(b)+1)
	}
	for j := range rows[1] {
		rows[1][j] = j
	}
	for i := 1; i <= len(a); i++ {
		row, above, twoAbove := rows[2], rows[1], rows[0]
		row[0] = i
		for j := 1; j <= len(b); j++ {
			cost := 1
			if a[i-1] == b[j-1] {
				cost = 0
			}
			row[j] = min(above[j]+1, row[j-1]+1, above[j-1]+cost)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], twoAbove[j-2]+1)
			}
		}
		rows[0], rows[1], rows[2] = above, row, twoAbove
	}
	return min(rows[1][len(b)], limit)
}
