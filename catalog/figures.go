package catalog

import (
	"math"
	"reflect"
	"strconv"
	"strings"

	q "example.org/pinhoist/internal/quantity"
)

// number is a stated number of a part that can be read and changed.
type number interface {
	Known() bool
	SI() float64
	SetSI(float64)
	Clear()
	Unit() string
}

// Figure is one guaranteed (or typical) figure of a part, ready to be made
// better, worse or absent. A point list is one figure for each of its columns:
// its points move together. A figure belongs to the part that it was taken
// from and changes it; take it from a Clone.
type Figure struct {
	// Name is the key without the number of the point: "r_ds_on.max",
	// "v_gs_th.min", "soa.points.i".
	Name string
	// Unit is the unit in machine output: "V", "degC", "1".
	Unit string
	// WorseMore tells that more is worse; else less is. It is meaningless for a
	// typical figure.
	WorseMore bool

	points []point
	box    reflect.Value // what is removed with the figure; invalid: the numbers alone
	saved  reflect.Value // what the box held
}

// point is one number of a figure.
type point struct {
	n      number
	base   float64
	holder reflect.Value // the struct that holds it: its conditions
	above  reflect.Value // the struct around that one
}

// Len is the number of points; 1 for a plain figure.
func (f Figure) Len() int { return len(f.points) }

// Known reports whether the figure is there: false after Delete.
func (f Figure) Known() bool {
	return !f.removed() && f.points[0].n.Known()
}

// Get is the first point, in SI (temperatures in degrees Celsius); NaN after
// Delete.
func (f Figure) Get() float64 { return f.At(0) }

// At is point i, in SI (temperatures in degrees Celsius); NaN after Delete.
func (f Figure) At(i int) float64 {
	if f.removed() || !f.points[i].n.Known() {
		return math.NaN()
	}
	return f.points[i].n.SI()
}

// Scale sets every point to factor times what it was when the figure was taken,
// temperatures on the absolute scale, so that a factor above 1 always means
// more. Scale(1) restores the figure, also after Delete. It does not allocate.
func (f Figure) Scale(factor float64) {
	if f.removed() {
		f.box.Set(f.saved)
	}
	offset := 0.0
	if f.Unit == "degC" {
		offset = q.ZeroCelsius
	}
	for i := range f.points {
		p := &f.points[i]
		if factor == 1 {
			p.n.SetSI(p.base)
			continue
		}
		p.n.SetSI((p.base+offset)*factor - offset)
	}
}

// ScalePoint is Scale for point i alone: the others stay as they are. Like Scale
// it does not allocate, and a factor of 1 restores the point.
func (f Figure) ScalePoint(i int, factor float64) {
	if f.removed() {
		f.box.Set(f.saved)
	}
	p := &f.points[i]
	if factor == 1 {
		p.n.SetSI(p.base)
		return
	}
	offset := 0.0
	if f.Unit == "degC" {
		offset = q.ZeroCelsius
	}
	p.n.SetSI((p.base+offset)*factor - offset)
}

// Delete makes the figure absent. Where a point or table of the file format
// cannot be without the number, the whole list or table goes, but for a table
// that the part itself cannot be without (v_gs_th, r_coil), in which the number
// alone goes.
func (f Figure) Delete() {
	if f.box.IsValid() {
		f.box.SetZero()
		return
	}
	for i := range f.points {
		f.points[i].n.Clear()
	}
}

func (f Figure) removed() bool { return f.box.IsValid() && f.box.IsZero() }

// Condition says under what the figure of point i is stated, as a buyer reads
// it: "stated at 4.5 V or less"; empty where there is no condition.
func (f Figure) Condition(i int) string {
	h := f.points[i].holder
	if isPart(h.Type()) {
		return ""
	}
	words := conditions(h)
	if above := f.points[i].above; above.IsValid() && !isPart(above.Type()) {
		words = append(conditions(above), words...)
	}
	if len(words) == 0 {
		return ""
	}
	return "stated at " + strings.Join(words, ", ")
}

// conditions are the condition texts of one struct. Where the type says with
// the tag "at" which condition decides and which side of it serves, that one
// stands alone.
func conditions(h reflect.Value) []string {
	var deciding, all []string
	for j := range h.NumField() {
		t := h.Type().Field(j).Tag
		text, ok := conditionText(t, h.Field(j))
		if !ok {
			continue
		}
		if at := t.Get("at"); at != "" {
			deciding = append(deciding, text+" "+at)
		}
		all = append(all, text)
	}
	if len(deciding) > 0 {
		return deciding
	}
	return all
}

// conditionText is the text of a field when it is a condition: a text, or a
// quantity that is neither guaranteed nor typical.
func conditionText(t reflect.StructTag, v reflect.Value) (string, bool) {
	if t.Get("worse") != "" || t.Get("key") == "typ" || t.Get("key") == "" {
		return "", false
	}
	if v.Kind() == reflect.String {
		return v.String(), v.String() != ""
	}
	if x, ok := v.Addr().Interface().(*PulseTime); ok {
		return x.String(), x.Set
	}
	x, ok := v.Addr().Interface().(interface {
		Known() bool
		ExactText() string
	})
	if !ok || !x.Known() {
		return "", false
	}
	return x.ExactText(), true
}

// Figures lists every guaranteed figure that the part states, in the order of
// its keys.
func Figures(p Part) []Figure {
	return collect(p, func(path string, t reflect.StructTag) bool { return t.Get("worse") != "" })
}

// Typicals lists every typical figure that the part states, in the order of its
// keys. They are shown and never carry a verdict.
func Typicals(p Part) []Figure {
	return collect(p, func(path string, t reflect.StructTag) bool {
		for s := range strings.SplitSeq(path, ".") {
			if s == "typ" || strings.HasSuffix(s, "_typ") {
				return true
			}
		}
		return false
	})
}

// collector gathers numbers into figures by their name.
type collector struct {
	want   func(name string, t reflect.StructTag) bool
	out    []Figure
	byName map[string]int
}

func collect(p Part, want func(string, reflect.StructTag) bool) []Figure {
	c := &collector{want: want, byName: map[string]int{}}
	v := reflect.ValueOf(p).Elem()
	c.structure(v, v, "", reflect.Value{}, reflect.Value{})
	return c.out
}

// structure visits the fields of a struct, v or one embedded in holder. Box is
// what goes with a number that its struct cannot be without.
func (c *collector) structure(v, holder reflect.Value, prefix string, box, above reflect.Value) {
	t := v.Type()
	for i := range t.NumField() {
		f := t.Field(i)
		if f.Anonymous {
			c.structure(v.Field(i), holder, prefix, box, above)
			continue
		}
		key := f.Tag.Get("key")
		if key == "" {
			continue
		}
		c.field(v.Field(i), f, prefix+key, box, holder, above)
	}
}

func (c *collector) field(v reflect.Value, f reflect.StructField, name string, box, holder, above reflect.Value) {
	if n, ok := asNumber(v); ok {
		if n.Known() && c.want(name, f.Tag) {
			c.add(name, f, n, box, point{n: n, base: n.SI(), holder: holder, above: above})
		}
		return
	}
	switch v.Kind() {
	case reflect.Pointer:
		if v.Type().Elem().Kind() == reflect.Struct && !v.IsNil() && !isMoney(v) {
			c.structure(v.Elem(), v.Elem(), name+".", outer(box, v, f), holder)
		}
	case reflect.Slice:
		if v.Type().Elem().Kind() == reflect.Struct {
			for i := range v.Len() {
				c.structure(v.Index(i), v.Index(i), name+".", outer(box, v, f), holder)
			}
		}
	}
}

// outer keeps the outermost list or table. The tables of a module are parts in
// their own right; a contact table, and a table that its part cannot be without,
// stay when a number in them goes.
func outer(box, inner reflect.Value, f reflect.StructField) reflect.Value {
	table := inner.Kind() == reflect.Pointer
	switch {
	case isPart(inner.Type()), isContact(inner.Type()):
		return reflect.Value{}
	case box.IsValid():
		return box
	case table && f.Tag.Get("need") == "R":
		return reflect.Value{}
	}
	return inner
}

// isPart tells a whole part, or a pointer to one.
func isPart(t reflect.Type) bool {
	if t.Kind() != reflect.Pointer {
		t = reflect.PointerTo(t)
	}
	return t.Implements(reflect.TypeFor[Part]())
}

// isContact tells a contact table: each of its figures may be left out alone in
// a part of one's own.
func isContact(t reflect.Type) bool { return t == reflect.TypeFor[*Contact]() }

func isMoney(v reflect.Value) bool { return v.Type() == reflect.TypeFor[*q.Money]() }

func (c *collector) add(name string, f reflect.StructField, n number, box reflect.Value, p point) {
	i, ok := c.byName[name]
	if !ok {
		i = len(c.out)
		c.byName[name] = i
		fig := Figure{Name: name, Unit: n.Unit(), WorseMore: f.Tag.Get("worse") == "more"}
		if box.IsValid() && f.Tag.Get("need") == "R" {
			fig.box = box
			fig.saved = reflect.New(box.Type()).Elem()
			fig.saved.Set(box)
		}
		c.out = append(c.out, fig)
	}
	c.out[i].points = append(c.out[i].points, p)
}

// asNumber is the field as a number, when it is one.
func asNumber(v reflect.Value) (number, bool) {
	if !v.CanAddr() {
		return nil, false
	}
	if n, ok := v.Addr().Interface().(number); ok {
		return n, true
	}
	if p, ok := v.Addr().Interface().(**float64); ok {
		return &bare{at: p, cell: *p}, true
	}
	return nil, false
}

// bare is a dimensionless number that may be absent.
type bare struct {
	at   **float64
	cell *float64
}

// Known reports whether the number is there.
func (b *bare) Known() bool { return *b.at != nil }

// SI is the number.
func (b *bare) SI() float64 { return **b.at }

// SetSI sets the number.
func (b *bare) SetSI(v float64) {
	*b.cell = v
	*b.at = b.cell
}

// Clear makes the number absent.
func (b *bare) Clear() { *b.at = nil }

// Unit is that of a number without a dimension.
func (b *bare) Unit() string { return "1" }

// pathOf joins a list, a number and a key.
func pathOf(list string, i int, key string) string {
	s := list + "[" + strconv.Itoa(i) + "]"
	if key == "" {
		return s
	}
	return s + "." + key
}
