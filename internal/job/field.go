package job

import (
	"encoding"
	"encoding/csv"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"

	q "example.org/pinhoist/internal/quantity"
	"example.org/pinhoist/internal/source"
)

// Field is one key of a job, for forms.
type Field struct {
	Key     string
	Options []string // the words it may hold; nil: free
	Unit    string   // of a quantity, as in machine output; else ""
	Example string   // of a quantity, as text
}

// fieldOf is a key of a table and where its struct holds it.
type fieldOf struct {
	Field
	index int
}

// keyTable is the keys of one struct in their order.
type keyTable []fieldOf

func (t keyTable) find(key string) *fieldOf {
	for i := range t {
		if t[i].Key == key {
			return &t[i]
		}
	}
	return nil
}

// The keys of the tables of a job, read from the tags once.
var (
	specKeys   = keysOf[Spec]()
	pinKeys    = keysOf[PinSpec]()
	envKeys    = keysOf[EnvSpec]()
	policyKeys = keysOf[PolicySpec]()
	railKeys   = keysOf[RailSpec]()
	loadKeys   = keysOf[LoadSpec]()
	builtKeys  = keysOf[Built]()
)

func keysOf[T any]() keyTable {
	t := reflect.TypeFor[T]()
	keys := make(keyTable, 0, t.NumField())
	for i := range t.NumField() {
		key, ok := t.Field(i).Tag.Lookup("key")
		if !ok {
			continue
		}
		f := fieldOf{Field: Field{Key: key}, index: i}
		if words := t.Field(i).Tag.Get("of"); words != "" {
			f.Options = strings.Split(words, "|")
		}
		if o, ok := reflect.New(t.Field(i).Type).Interface().(q.Textual); ok {
			f.Unit = o.Unit()
			f.Example, _, _ = strings.Cut(o.Dimension().Example(), ",")
		}
		keys = append(keys, f)
	}
	return keys
}

// Fields returns the keys of a table of a job in their order: "pin",
// "environment", "policy", "rail", "load" or "built".
func Fields(table string) []Field {
	var keys keyTable
	switch table {
	case "pin":
		keys = pinKeys
	case "environment":
		keys = envKeys
	case "policy":
		keys = policyKeys
	case "rail":
		keys = railKeys
	case "load":
		keys = loadKeys
	case "built":
		keys = builtKeys
	}
	fields := make([]Field, 0, len(keys))
	for i := range keys {
		f := keys[i].Field
		switch {
		case f.Key == "built":
			continue
		case table == "load" && f.Key == "kind":
			for k := range kinds {
				f.Options = append(f.Options, string(kinds[k].Kind))
			}
		}
		f.Options = append([]string(nil), f.Options...)
		fields = append(fields, f)
	}
	return fields
}

// Get returns the text of a field, "" where it is not stated, and whether there
// is such a field. A path is that of errors: "pin.supply",
// "environment.ambient_max", "rail[0].voltage", "load[1].built.r_base"; a rail
// or load may be named instead, "load[vent latch].current". A number counts from
// 0 and comes before a name.
func Get(spec *Spec, field string) (text string, ok bool) {
	v, _, _, err := locate(spec, field)
	if err != nil {
		return "", false
	}
	if !v.IsValid() {
		return "", true
	}
	return fieldText(v), true
}

// Set changes a field from its text; "" clears it, and clearing
// "load[0].built" takes the whole table away. The number after the last of the
// rails adds one. It returns an error where there is no such field or the text is
// not of its kind, and leaves the spec as it was. Whether the job is sound is for
// Resolve to say.
func Set(spec *Spec, field, text string) error {
	next := len(spec.Rails)
	if text == "" || !strings.HasPrefix(field, "rail["+strconv.Itoa(next)+"].") {
		return set(spec, field, text)
	}
	spec.Rails = append(spec.Rails[:next:next], RailSpec{Name: freeName(spec)})
	err := set(spec, field, text)
	if err != nil {
		spec.Rails = spec.Rails[:next]
	}
	return err
}

// freeName is a name that no rail of the job has.
func freeName(spec *Spec) string {
	for n := len(spec.Rails) + 1; ; n++ {
		name := "rail " + strconv.Itoa(n)
		if !slices.ContainsFunc(spec.Rails, func(r RailSpec) bool { return r.Name == name }) {
			return name
		}
	}
}

func set(spec *Spec, field, text string) error {
	v, f, load, err := locate(spec, field)
	switch {
	case err != nil:
		return err
	case text == "":
		if v.IsValid() {
			v.SetZero()
		}
		return nil
	case v.IsValid():
		return setText(v, f, text)
	}
	b := &Built{}
	if err := setText(reflect.ValueOf(b).Elem().Field(f.index), f, text); err != nil {
		return err
	}
	load.Built = b
	return nil
}

// SetSI changes a quantity or number from its value in the stored unit. A value
// that is not finite is an error.
func SetSI(spec *Spec, field string, value float64) error {
	if math.IsNaN(value) || math.IsInf(value, 0) {
		return fmt.Errorf("%s: not a finite number", field)
	}
	v, f, load, err := locate(spec, field)
	if err != nil {
		return err
	}
	if !v.IsValid() {
		b := &Built{}
		v = reflect.ValueOf(b).Elem().Field(f.index)
		if err := setSI(v, field, value); err != nil {
			return err
		}
		load.Built = b
		return nil
	}
	return setSI(v, field, value)
}

func setSI(v reflect.Value, field string, value float64) error {
	switch x := v.Addr().Interface().(type) {
	case q.Textual:
		x.SetSI(value)
	case *Element:
		*x = Resistor(q.Ohm(value))
	case **float64:
		*x = &value
	case **int:
		if value != math.Trunc(value) || math.Abs(value) > 1<<31 {
			return fmt.Errorf("%s: not a whole number", field)
		}
		n := int(value)
		*x = &n
	default:
		return fmt.Errorf("%s: not a number", field)
	}
	return nil
}

// locate finds the field at a path. The value is not valid where it is one of a
// [load.built] that is not there; then the load is returned.
func locate(spec *Spec, path string) (reflect.Value, *fieldOf, *LoadSpec, error) {
	v, keys, key, load := table(spec, path)
	f := keys.find(key)
	if f == nil || (load == nil && !v.IsValid()) {
		return v, nil, nil, fmt.Errorf("%s: no such field", path)
	}
	if !v.IsValid() {
		return v, f, load, nil
	}
	return v.Elem().Field(f.index), f, load, nil
}

// scalars are the keys of a job outside its tables.
var scalars = keyTable{*specKeys.find("schema"), *specKeys.find("title")}

// table finds the table of a path: a pointer to its struct, its keys, and the
// key that is left. Of a [load.built] that is not there the value is not valid.
func table(spec *Spec, path string) (v reflect.Value, keys keyTable, key string, load *LoadSpec) {
	name, key := splitPath(path)
	switch name {
	case "":
		return reflect.ValueOf(spec), scalars, key, nil
	case "pin":
		return reflect.ValueOf(&spec.Pin), pinKeys, key, nil
	case "environment":
		return reflect.ValueOf(&spec.Environment), envKeys, key, nil
	case "policy":
		return reflect.ValueOf(&spec.Policy), policyKeys, key, nil
	}
	kind, name := selector(name)
	if kind == "rail" {
		if i := pick(name, len(spec.Rails), func(i int) string { return spec.Rails[i].Name }); i >= 0 {
			return reflect.ValueOf(&spec.Rails[i]), railKeys, key, nil
		}
		return v, nil, key, nil
	}
	i := pick(name, len(spec.Loads), func(i int) string { return spec.Loads[i].Name })
	if kind != "load" || i < 0 {
		return v, nil, key, nil
	}
	load = &spec.Loads[i]
	rest, ok := strings.CutPrefix(key, "built.")
	switch {
	case !ok:
		return reflect.ValueOf(load), loadKeys, key, load
	case load.Built == nil:
		return v, builtKeys, rest, load
	}
	return reflect.ValueOf(load.Built), builtKeys, rest, load
}

// splitPath splits a path into the name of its table, "" where there is none,
// and the key.
func splitPath(path string) (name, key string) {
	if at := strings.LastIndex(path, "]."); at >= 0 {
		return path[:at+1], path[at+2:]
	}
	if at := strings.IndexByte(path, '.'); at >= 0 {
		return path[:at], path[at+1:]
	}
	return "", path
}

// selector splits "load[vent latch]"; the kind is "" where it is no such thing.
func selector(table string) (kind, name string) {
	for _, kind := range [...]string{"rail", "load"} {
		if rest, ok := strings.CutPrefix(table, kind+"["); ok && strings.HasSuffix(rest, "]") {
			return kind, rest[:len(rest)-1]
		}
	}
	return "", ""
}

// pick returns the index that a selector means, or -1.
func pick(name string, n int, nameOf func(int) string) int {
	if i, err := strconv.Atoi(name); err == nil && i >= 0 && i < n {
		return i
	}
	for i := range n {
		if nameOf(i) == name {
			return i
		}
	}
	return -1
}

func fieldText(v reflect.Value) string {
	switch x := v.Addr().Interface().(type) {
	case q.Textual:
		return x.ExactText()
	case *string:
		return *x
	case *bool:
		if *x {
			return "true"
		}
	case **int:
		if *x != nil {
			return strconv.Itoa(**x)
		}
	case **float64:
		if *x != nil {
			return strconv.FormatFloat(**x, 'g', -1, 64)
		}
	case *[]string:
		return joinList(*x)
	case *Element:
		return x.Text()
	}
	return ""
}

func setText(v reflect.Value, f *fieldOf, text string) error {
	if strings.ContainsFunc(text, source.Unprintable) {
		return fmt.Errorf("%s: found a control character, expected printable characters", f.Key)
	}
	var err error
	switch x := v.Addr().Interface().(type) {
	case q.Textual:
		err = x.SetText(text)
	case *string:
		err = f.setWord(x, text)
	case *bool:
		err = setBool(x, text)
	case **int:
		var n int
		if n, err = strconv.Atoi(strings.TrimSpace(text)); err == nil {
			*x = &n
		} else {
			err = fmt.Errorf("found %q, expected a whole number", text)
		}
	case **float64:
		err = setFloat(x, text)
	case *[]string:
		var names []string
		if names, err = splitList(text); err == nil {
			*x = names
		}
	case encoding.TextUnmarshaler:
		err = x.UnmarshalText([]byte(text))
	default:
		err = fmt.Errorf("not a field that can be set")
	}
	if err != nil {
		return fmt.Errorf("%s: %w", f.Key, err)
	}
	return nil
}

func (f *fieldOf) setWord(x *string, text string) error {
	if f.Options == nil {
		*x = text
		return nil
	}
	for _, o := range f.Options {
		if o == text {
			*x = text
			return nil
		}
	}
	return fmt.Errorf("found %q, expected one of %s", text, strings.Join(f.Options, ", "))
}

func setBool(x *bool, text string) error {
	switch text {
	case "true", "yes":
		*x = true
	case "false", "no":
		*x = false
	default:
		return fmt.Errorf("found %q, expected true or false", text)
	}
	return nil
}

func setFloat(x **float64, text string) error {
	n, err := strconv.ParseFloat(strings.TrimSpace(text), 64)
	if err != nil || math.IsNaN(n) || math.IsInf(n, 0) {
		return fmt.Errorf("found %q, expected a number", text)
	}
	*x = &n
	return nil
}

// joinList writes names with commas between them; one that holds a comma or a
// quotation mark is quoted.
func joinList(names []string) string {
	quoted := make([]string, len(names))
	for i, name := range names {
		quoted[i] = name
		if strings.ContainsAny(name, `,"`) || strings.TrimSpace(name) != name {
			quoted[i] = `"` + strings.ReplaceAll(name, `"`, `""`) + `"`
		}
	}
	return strings.Join(quoted, ", ")
}

// splitList reads what joinList writes.
func splitList(text string) ([]string, error) {
	in := csv.NewReader(strings.NewReader(text))
	in.TrimLeadingSpace = true
	names, err := in.Read()
	if err != nil {
		return nil, fmt.Errorf("found %q, expected names with commas between them", text)
	}
	for i := range names {
		names[i] = strings.TrimSpace(names[i])
	}
	return slices.DeleteFunc(names, func(s string) bool { return s == "" }), nil
}
