package catalog

import (
	"math"
	"reflect"
	"strconv"
	"strings"

	q "example.org/pinhoist/internal/quantity"
	"example.org/pinhoist/internal/source"
)

// checker applies the rules that hold between the keys of one part. The rules
// of one key alone (unit, sign, span, words) are those of the decoder.
type checker struct {
	doc      *source.Document
	embedded bool
	pkgs     map[string]*Package
	base     string // path of the part, or of a table inside it
	errs     source.Errors
}

func newChecker(doc *source.Document, embedded bool, pkgs map[string]*Package) *checker {
	return &checker{doc: doc, embedded: embedded, pkgs: pkgs}
}

// part applies every rule to a part.
func (c *checker) part(p Part) {
	c.common(p)
	c.rules(p)
}

func (c *checker) rules(p Part) {
	c.windows(reflect.ValueOf(p).Elem(), "")
	switch p := p.(type) {
	case *BJT:
		c.bjt(p)
	case *MOSFET:
		c.mosfet(p)
	case *Relay:
		c.relay(p)
	case *SSR:
		c.ssr(p)
	case *Module:
		c.module(p)
	case *Array:
		c.array(p)
	case *Diode:
		c.diode(p)
	case *Zener:
		c.zener(p)
	case *TVS:
		c.tvs(p)
	case *MOV:
		c.mov(p)
	case *ResistorSeries:
		c.resistor(p)
	case *Capacitor:
		c.capacitor(p)
	case *HeatSink:
		c.heatSink(p)
	case *Insulator:
		c.fits(p.Fits)
	case *Fuse:
		c.fuse(p)
	case *Limiter:
		c.limiter(p)
	}
}

// inside applies rules to a table of the part.
func (c *checker) inside(key string, rules func()) {
	old := c.base
	c.base = c.path(key)
	rules()
	c.base = old
}

func (c *checker) path(key string) string {
	if key == "" {
		return c.base
	}
	return c.base + "." + key
}

func (c *checker) bad(key, found, expected string) {
	c.errs = append(c.errs, c.doc.Errorf(c.path(key), found, expected))
}

func (c *checker) warn(key, found, expected string) {
	c.errs = append(c.errs, c.doc.Warnf(c.path(key), found, expected))
}

// missing reports a key that other keys make necessary.
func (c *checker) missing(key, because string) { c.bad(key, "nothing", "this key: "+because) }

// ---- comparisons; an absent figure is never compared ----

// slack is the part by which two figures may differ and still be equal.
const slack = 1e-9

// over reports whether a is above b by more than rounding.
func over(a, b float64) bool { return a > b+slack*math.Abs(b) }

func both(a, b q.Textual) bool { return a.Known() && b.Known() }

// atLeast demands v >= bound.
func (c *checker) atLeast(key string, v q.Textual, name string, bound q.Textual) {
	if both(v, bound) && over(bound.SI(), v.SI()) {
		c.bad(key, v.ExactText(), "at least "+name+", "+bound.ExactText())
	}
}

// atMost demands v <= bound.
func (c *checker) atMost(key string, v q.Textual, name string, bound q.Textual) {
	if both(v, bound) && over(v.SI(), bound.SI()) {
		c.bad(key, v.ExactText(), "at most "+name+", "+bound.ExactText())
	}
}

// above demands v > bound.
func (c *checker) above(key string, v q.Textual, name string, bound q.Textual) {
	if both(v, bound) && !over(v.SI(), bound.SI()) {
		c.bad(key, v.ExactText(), "more than "+name+", "+bound.ExactText())
	}
}

// below demands v < bound.
func (c *checker) below(key string, v q.Textual, name string, bound q.Textual) {
	if both(v, bound) && !over(bound.SI(), v.SI()) {
		c.bad(key, v.ExactText(), "less than "+name+", "+bound.ExactText())
	}
}

// bracketMost refuses an embedded part whose figure is above the bracket that
// stands in for it elsewhere.
func (c *checker) bracketMost(key string, v q.Textual, bracket float64) {
	if c.embedded && v.Known() && over(v.SI(), bracket) {
		c.bad(key, v.ExactText(), "at most the bracket, "+shown(bracket, v)+": a part that states none counts as that")
	}
}

// bracketLeast is bracketMost for figures of which less is worse.
func (c *checker) bracketLeast(key string, v q.Textual, bracket float64) {
	if c.embedded && v.Known() && over(bracket, v.SI()) {
		c.bad(key, v.ExactText(), "at least the bracket, "+shown(bracket, v)+": a part that states none counts as that")
	}
}

// shown is a computed number in the unit of v.
func shown(x float64, like q.Textual) string {
	return q.Display(x, like.Unit(), 4, q.Nearest)
}

// ---- point lists ----

// list is a point list as the rules see it: the number of points, and the
// figure of a key in point i.
type list struct {
	name string
	n    int
	x    string                // the key that the list is sorted by
	at   func(i int) q.Textual // the figure of x
	like func(i, j int) bool   // the other conditions of i and j agree; nil: there are none
	set  func(i, j int) bool   // i and j belong to one sorted run; nil: all do
	y    func(i int) q.Textual // the guaranteed figure; nil: none
	yKey string                // its key
}

func (l *list) run(i, j int) bool   { return l.set == nil || l.set(i, j) }
func (l *list) alike(i, j int) bool { return l.run(i, j) && (l.like == nil || l.like(i, j)) }

// sorted demands points sorted by x, no two with the same conditions.
func (c *checker) sorted(l list) {
	for i := 1; i < l.n; i++ {
		for j := i - 1; j >= 0; j-- {
			if !l.run(i, j) || !both(l.at(i), l.at(j)) {
				continue
			}
			switch a, b := l.at(j), l.at(i); {
			case over(a.SI(), b.SI()):
				c.bad(pathOf(l.name, i, l.x), b.ExactText()+" after "+a.ExactText(), "points sorted by "+l.x+", least first")
			case !over(b.SI(), a.SI()) && l.alike(i, j):
				c.bad(pathOf(l.name, i, l.x), b.ExactText()+" again", "each condition once")
			case !over(b.SI(), a.SI()):
				continue // the same x under another condition: look further back
			}
			break
		}
	}
}

// trend demands that y falls (or rises) while x rises, other conditions equal.
func (c *checker) trend(l list, rises bool) {
	c.sorted(l)
	for i := 1; i < l.n; i++ {
		for j := i - 1; j >= 0; j-- {
			if !l.alike(i, j) || !both(l.at(i), l.at(j)) || !both(l.y(i), l.y(j)) || !over(l.at(i).SI(), l.at(j).SI()) {
				continue
			}
			c.step(l.name, i, l.yKey, l.x, l.y(j), l.y(i), l.at(j), rises)
			break
		}
	}
}

// step compares the figures of two points, from lower x to higher.
func (c *checker) step(name string, i int, yKey, x string, from, to, at q.Textual, rises bool) {
	switch {
	case rises && over(from.SI(), to.SI()):
		c.bad(pathOf(name, i, yKey), to.ExactText(), "at least "+from.ExactText()+", that at "+at.ExactText()+": it rises with "+x)
	case !rises && over(to.SI(), from.SI()):
		c.bad(pathOf(name, i, yKey), to.ExactText(), "at most "+from.ExactText()+", that at "+at.ExactText()+": it falls with "+x)
	}
}

// same reports whether two conditions agree; an absent temperature is 25 C.
func same[Q q.Quantity](a, b q.Opt[Q]) bool {
	if !a.Known() || !b.Known() {
		return a.Known() == b.Known()
	}
	return a.Value() == b.Value()
}

func sameTj(a, b q.Opt[q.Celsius]) bool { return a.Or(DefaultTj) == b.Or(DefaultTj) }

// ---- rules of every kind ----

// common checks what every part states.
func (c *checker) common(p Part) {
	b := p.Base()
	c.id(b.ID)
	c.text("title", b.Title, MaxTitle)
	if b.Package != "" && c.pkgs[b.Package] == nil {
		c.bad("package", strconv.Quote(b.Package), "the name of a [[package]]"+c.nearPackage(b.Package))
	}
	if b.Stock != nil && *b.Stock < 0 {
		c.bad("stock", strconv.Itoa(*b.Stock), "at least 0")
	}
}

func (c *checker) nearPackage(name string) string {
	for n := range c.pkgs {
		if strings.EqualFold(n, name) {
			return ": did you mean " + n + "?"
		}
	}
	return ""
}

// MaxID is the length of an id.
const MaxID = 60

func (c *checker) id(id string) {
	const want = "at most 60 of a-z, 0-9 and -, a letter or digit first"
	if id == "" {
		return
	}
	for i, r := range id {
		if (r < 'a' || r > 'z') && (r < '0' || r > '9') && (r != '-' || i == 0) {
			c.bad("id", strconv.Quote(id), want)
			return
		}
	}
	if len(id) > MaxID {
		c.bad("id", strconv.Itoa(len(id))+" characters", want)
	}
}

func (c *checker) text(key, s string, most int) {
	if n := len([]rune(s)); n > most {
		c.bad(key, strconv.Itoa(n)+" characters", "at most "+strconv.Itoa(most))
	}
}

// windows demands min <= typ <= max in every table that has them.
func (c *checker) windows(v reflect.Value, key string) {
	t := v.Type()
	var min, typ, max q.Textual
	for i := range t.NumField() {
		f := t.Field(i)
		if f.Anonymous {
			continue // what every part states, and heat, have no windows
		}
		name := f.Tag.Get("key")
		switch fv := v.Field(i); fv.Kind() {
		case reflect.Pointer:
			if !fv.IsNil() && fv.Elem().Kind() == reflect.Struct && !isPart(fv.Type()) && fv.Type() != reflect.TypeFor[*q.Money]() {
				c.windows(fv.Elem(), joined(key, name))
			}
		case reflect.Slice:
			if fv.Type().Elem().Kind() == reflect.Struct {
				for j := range fv.Len() {
					c.windows(fv.Index(j), pathOf(joined(key, name), j, ""))
				}
			}
		case reflect.Struct:
			o, _ := fv.Addr().Interface().(q.Textual)
			switch {
			case o == nil:
			case name == "min":
				min = o
			case name == "typ":
				typ = o
			case name == "max":
				max = o
			}
		}
	}
	c.window(key, min, typ, max)
}

func joined(a, b string) string {
	if a == "" {
		return b
	}
	return a + "." + b
}

func (c *checker) window(key string, min, typ, max q.Textual) {
	if min != nil && max != nil {
		c.atLeast(joined(key, "max"), max, "min", min)
	}
	if typ != nil && min != nil {
		c.atLeast(joined(key, "typ"), typ, "min", min)
	}
	if typ != nil && max != nil {
		c.atMost(joined(key, "typ"), typ, "max", max)
	}
}

// heat checks the thermal figures of a semiconductor.
func (c *checker) heat(p Part, h *Heat) {
	c.above("r_th_ja_max", &h.RthJA, "r_th_jc_max", &h.RthJC)
	if pkg := c.pkgs[p.Base().Package]; pkg != nil {
		c.bracketMost("r_th_ja_max", &h.RthJA, float64(pkg.RthJA.Or(q.KelvinPerWatt(math.Inf(1)))))
	}
	cu := h.RthJACu
	c.trend(list{name: "r_th_ja_copper", n: len(cu), x: "area", yKey: "max",
		at: func(i int) q.Textual { return &cu[i].Area }, y: func(i int) q.Textual { return &cu[i].Max }}, false)
	for i := range cu {
		c.atMost(pathOf("r_th_ja_copper", i, "max"), &cu[i].Max, "r_th_ja_max", &h.RthJA)
		c.above(pathOf("r_th_ja_copper", i, "max"), &cu[i].Max, "r_th_jc_max", &h.RthJC)
	}
	c.foster(h)
}

// fosterTolerance is how far the rungs may add up from r_th_jc_max.
const fosterTolerance = 0.10

// foster demands rungs in the order of their time, which add up to the steady
// resistance.
func (c *checker) foster(h *Heat) {
	f := h.FosterJC
	c.sorted(list{name: "foster_jc", n: len(f), x: "tau", at: func(i int) q.Textual { return &f[i].Tau }})
	if len(f) == 0 || !h.RthJC.Known() {
		return
	}
	sum := 0.0
	for i := range f {
		if !f[i].R.Known() {
			return
		}
		sum += f[i].R.SI()
	}
	if r := h.RthJC.SI(); over(math.Abs(sum-r), fosterTolerance*r) {
		c.bad("foster_jc", "rungs that add up to "+shown(sum, &h.RthJC), "within 10 % of r_th_jc_max, "+h.RthJC.ExactText())
	}
}

// cold warns of a condition hotter than the part may be.
func (c *checker) conditionTj(key string, t q.Opt[q.Celsius], h *Heat) {
	at := t.Or(DefaultTj)
	if over(float64(at), float64(h.TjMax.Or(q.Celsius(math.Inf(1))))) {
		c.warn(key, q.Exact(at), "at most t_j_max, "+h.TjMax.ExactText())
	}
}

// safeArea demands curves that fall with voltage and with time.
func (c *checker) safeArea(soa []SOACurve, vMax q.Opt[q.Volt], vKey string) {
	for i := range soa {
		p := soa[i].Points
		name := pathOf("soa", i, "points")
		c.trend(list{name: name, n: len(p), x: "v", yKey: "i",
			at: func(j int) q.Textual { return &p[j].V }, y: func(j int) q.Textual { return &p[j].I }}, false)
		if n := len(p); n > 0 && both(&p[n-1].V, &vMax) && over(p[n-1].V.SI(), vMax.SI()) {
			c.warn(pathOf(name, n-1, "v"), p[n-1].V.ExactText(), "at most "+vKey+", "+vMax.ExactText())
		}
		if i == 0 || !soa[i].T.Set || !soa[i-1].T.Set {
			continue
		}
		if !longer(soa[i].T, soa[i-1].T) {
			c.bad(pathOf("soa", i, "t"), soa[i].T.String()+" after "+soa[i-1].T.String(), "curves sorted by t, shortest first, dc last")
			continue
		}
		c.fallsWithTime(soa, i)
	}
}

func longer(a, b PulseTime) bool { return !b.DC && (a.DC || a.T > b.T) }

// fallsWithTime compares curve i with the one for a shorter time before it, at
// the corners of both.
func (c *checker) fallsWithTime(soa []SOACurve, i int) {
	short, long := soa[i-1], soa[i]
	for j := range long.Points {
		p := &long.Points[j]
		if at, ok := curveAt(short.Points, p.V); ok && p.I.Known() && over(p.I.SI(), at) {
			c.bad(pathOf(pathOf("soa", i, "points"), j, "i"), p.I.ExactText(),
				"at most "+shown(at, &p.I)+", that for "+short.T.String()+" at "+p.V.ExactText()+": it falls with time")
			return
		}
	}
	for j := range short.Points {
		p := &short.Points[j]
		if at, ok := curveAt(long.Points, p.V); ok && p.I.Known() && over(at, p.I.SI()) {
			c.bad(pathOf("soa", i, "points"), shown(at, &p.I)+" at "+p.V.ExactText(),
				"at most "+p.I.ExactText()+", that for "+short.T.String()+": it falls with time")
			return
		}
	}
}

// curveAt is the current of a safe-area curve at a voltage, a straight line
// between points on logarithmic scales; false outside its points.
func curveAt(p []SOAPoint, v q.Opt[q.Volt]) (float64, bool) {
	for i := range p {
		if !both(&p[i].V, &p[i].I) || !v.Known() {
			return 0, false
		}
		if p[i].V.SI() == v.SI() {
			return p[i].I.SI(), true
		}
		if i > 0 && p[i-1].V.SI() < v.SI() && v.SI() < p[i].V.SI() {
			f := math.Log(v.SI()/p[i-1].V.SI()) / math.Log(p[i].V.SI()/p[i-1].V.SI())
			return p[i-1].I.SI() * math.Pow(p[i].I.SI()/p[i-1].I.SI(), f), true
		}
	}
	return 0, false
}

// leak demands that leakage rises with voltage and with temperature.
func (c *checker) leak(name, x string, n int, v func(int) q.Textual, t func(int) q.Opt[q.Celsius], i func(int) q.Textual, h *Heat) {
	c.trend(list{name: name, n: n, x: x, yKey: "max", at: v, y: i,
		like: func(a, b int) bool { return sameTj(t(a), t(b)) }}, true)
	for a := range n {
		c.conditionTj(pathOf(name, a, "t_j"), t(a), h)
		for b := range a {
			if both(v(a), v(b)) && v(a).SI() == v(b).SI() && both(i(a), i(b)) {
				c.hotter(name, a, b, t, i)
			}
		}
	}
}

// hotter compares two points that differ in temperature alone.
func (c *checker) hotter(name string, a, b int, t func(int) q.Opt[q.Celsius], y func(int) q.Textual) {
	ta, tb := t(a).Or(DefaultTj), t(b).Or(DefaultTj)
	if ta < tb {
		a, b, ta, tb = b, a, tb, ta
	}
	if ta > tb && over(y(b).SI(), y(a).SI()) {
		c.bad(pathOf(name, a, "max"), y(a).ExactText(), "at least "+y(b).ExactText()+", that at a lower t_j: it rises with t_j")
	}
}

// fits demands packages that exist.
func (c *checker) fits(names []string) {
	if names != nil && len(names) == 0 {
		c.bad("fits", "an empty list", "the names of packages")
	}
	for i, n := range names {
		if c.pkgs[n] == nil {
			c.bad(pathOf("fits", i, ""), strconv.Quote(n), "the name of a [[package]]"+c.nearPackage(n))
		}
	}
}

// voltages demands one of v_ac_max and v_dc_max.
func (c *checker) voltages(ac, dc q.Opt[q.Volt]) {
	if !ac.Known() && !dc.Known() {
		c.missing("v_ac_max", "it or v_dc_max must be there")
	}
}
