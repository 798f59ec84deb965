package catalog

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"example.org/pinhoist/internal/source"
)

// Source is one catalogue file.
type Source struct {
	Name     string // shown in errors
	Text     []byte
	Embedded bool // of the program itself: every required key must be there
}

// file is a catalogue file as written.
type file struct {
	Schema     *int             `key:"schema" need:"R"`
	Currency   string           `key:"currency" need:"R"`
	Packages   []Package        `key:"package"`
	BJTs       []BJT            `key:"bjt"`
	MOSFETs    []MOSFET         `key:"mosfet"`
	Relays     []Relay          `key:"relay"`
	SSRs       []SSR            `key:"ssr"`
	Modules    []Module         `key:"module"`
	Arrays     []Array          `key:"array"`
	Diodes     []Diode          `key:"diode"`
	Zeners     []Zener          `key:"zener"`
	TVSs       []TVS            `key:"tvs"`
	MOVs       []MOV            `key:"mov"`
	Resistors  []ResistorSeries `key:"resistor-series"`
	Capacitors []Capacitor      `key:"capacitor"`
	HeatSinks  []HeatSink       `key:"heat-sink"`
	Insulators []Insulator      `key:"insulator"`
	Fuses      []Fuse           `key:"fuse"`
	Limiters   []Limiter        `key:"limiter"`
}

// entry is a part and where it was written.
type entry struct {
	part Part
	path string
	in   *reading
}

// reading is one source while it is read.
type reading struct {
	source Source
	doc    *source.Document
	file   file
	errs   source.Errors // of decoding
}

// Load decodes, checks and merges catalogue files. The catalogue is nil when an
// error is more than a warning; the errors are those of all files at once, in
// the order of file, line and column. Neither depends on the order of sources.
//
// An id stands once in all files; a part may take that of an embedded one when
// it says replaces = true. One currency serves all prices.
func Load(sources []Source) (*Catalog, source.Errors) {
	l := &loader{}
	for _, s := range inOrder(sources) {
		l.read(s)
	}
	l.countParts()
	l.currencies()
	l.packages()
	l.ownDefaults()
	l.merge()
	l.lint()
	l.errs.Sort()
	if l.errs.Fatal() {
		return nil, l.errs
	}
	return l.catalog(), l.errs
}

// Lint is every error and warning that loading the sources gives.
func Lint(sources []Source) source.Errors {
	_, errs := Load(sources)
	return errs
}

// inOrder puts embedded sources first, then by name: what is said about a
// clash of two files must not hang on the order of arguments.
func inOrder(sources []Source) []Source {
	s := slices.Clone(sources)
	slices.SortStableFunc(s, func(a, b Source) int {
		if a.Embedded != b.Embedded {
			if a.Embedded {
				return -1
			}
			return 1
		}
		return cmp.Compare(a.Name, b.Name)
	})
	return s
}

type loader struct {
	readings []*reading
	entries  []*entry
	currency string
	pkgs     []Package
	byName   map[string]*Package
	errs     source.Errors
}

// read parses and decodes one source.
func (l *loader) read(s Source) {
	doc, errs := source.Parse(s.Name, s.Text)
	if doc == nil {
		l.errs = append(l.errs, errs...)
		return
	}
	r := &reading{source: s, doc: doc}
	r.errs = append(errs, source.Decode(doc, &r.file, source.Options{RequireAll: true, Waive: waives(s.Embedded)})...)
	l.errs = append(l.errs, r.errs...)
	if v := r.file.Schema; v != nil && *v != Schema {
		l.errs = append(l.errs, doc.Errorf("schema", strconv.Itoa(*v), "1, the newest that is understood"))
	}
	l.readings = append(l.readings, r)
	each(&r.file, func(p Part, path string) { l.entries = append(l.entries, &entry{p, path, r}) })
}

// each visits every part of a file in the order of kinds.
func each(f *file, visit func(p Part, path string)) {
	visitAll(KindBJT, f.BJTs, visit)
	visitAll(KindMOSFET, f.MOSFETs, visit)
	visitAll(KindRelay, f.Relays, visit)
	visitAll(KindSSR, f.SSRs, visit)
	visitAll(KindModule, f.Modules, visit)
	visitAll(KindArray, f.Arrays, visit)
	visitAll(KindDiode, f.Diodes, visit)
	visitAll(KindZener, f.Zeners, visit)
	visitAll(KindTVS, f.TVSs, visit)
	visitAll(KindMOV, f.MOVs, visit)
	visitAll(KindResistorSeries, f.Resistors, visit)
	visitAll(KindCapacitor, f.Capacitors, visit)
	visitAll(KindHeatSink, f.HeatSinks, visit)
	visitAll(KindInsulator, f.Insulators, visit)
	visitAll(KindFuse, f.Fuses, visit)
	visitAll(KindLimiter, f.Limiters, visit)
}

func visitAll[T any, P interface {
	*T
	Part
}](k Kind, parts []T, visit func(Part, string)) {
	for i := range parts {
		visit(P(&parts[i]), pathOf(string(k), i, ""))
	}
}

// commonKeys are what every kind states. The tables inside a module do without
// them; a part of one's own needs the id alone.
var commonKeys = map[string]bool{"id": true, "title": true, "provenance": true, "package": true}

// leastKeys are the required keys that a part of one's own needs too, for the
// kinds that have such a list. All else of them lists itself as missing.
var leastKeys = map[reflect.Type]map[string]bool{
	reflect.TypeFor[BJT]():     {"polarity": true, "v_ceo_max": true, "i_c_max": true},
	reflect.TypeFor[MOSFET]():  {"channel": true, "v_ds_max": true, "v_gs_max": true, "v_gs_th": true, "r_ds_on": true},
	reflect.TypeFor[Relay]():   {"form": true, "v_coil": true, "r_coil": true, "must_operate_max": true},
	reflect.TypeFor[Contact](): {},
	reflect.TypeFor[file]():    {"schema": true},
}

// waives tells the decoder which of the keys marked as required may be absent.
func waives(embedded bool) func(string, reflect.Type, string) bool {
	return func(path string, t reflect.Type, key string) bool {
		switch {
		case isPart(t) && commonKeys[key]:
			nested := strings.Contains(path, ".")
			return nested || !embedded && key != "id"
		case embedded:
			return false
		case isPart(t) && key == "t_j_max":
			return true
		}
		least, ok := leastKeys[t]
		return ok && !least[key]
	}
}

func (l *loader) bad(e *entry, key, found, expected string) {
	l.errs = append(l.errs, e.in.doc.Errorf(e.path+"."+key, found, expected))
}

// failed reports whether decoding found fault with a key or what is below it.
func (r *reading) failed(path string) bool {
	for _, e := range r.errs {
		if !e.Warning && covers(path, e.Key) {
			return true
		}
	}
	return false
}

// covers reports whether path is key or a parent of it.
func covers(path, key string) bool {
	if len(key) < len(path) || key[:len(path)] != path {
		return false
	}
	return len(key) == len(path) || key[len(path)] == '.' || key[len(path)] == '['
}

// countParts refuses more parts than a run may hold.
func (l *loader) countParts() {
	if len(l.entries) <= MaxParts {
		return
	}
	e := l.entries[MaxParts]
	l.errs = append(l.errs, e.in.doc.Errorf(e.path, strconv.Itoa(len(l.entries))+" parts in all files",
		"at most "+strconv.Itoa(MaxParts)))
	l.entries = l.entries[:MaxParts]
}

// currencies demands one currency of all files and prices: two amounts of
// different money cannot be added or compared.
func (l *loader) currencies() {
	for _, r := range l.readings {
		c := r.file.Currency
		switch {
		case c == "":
		case !isCurrency(c):
			l.errs = append(l.errs, r.doc.Errorf("currency", strconv.Quote(c), "three capital letters, such as EUR"))
		case l.currency == "":
			l.currency = c
		case c != l.currency:
			l.errs = append(l.errs, r.doc.Errorf("currency", strconv.Quote(c), strconv.Quote(l.currency)+", the currency of this run"))
		}
	}
	for _, e := range l.entries {
		p := e.part.Base().Price
		switch {
		case p == nil || p.Currency == "":
		case l.currency == "":
			l.currency = p.Currency
		case p.Currency != l.currency:
			l.bad(e, "price", p.String(), "an amount in "+l.currency+", the currency of this run")
		}
	}
}

func isCurrency(s string) bool {
	if len(s) != 3 {
		return false
	}
	for _, c := range []byte(s) {
		if c < 'A' || c > 'Z' {
			return false
		}
	}
	return true
}

// packages gathers the packages of all files. The same one may stand in several
// files, so that a file of one's own can serve alone too; two that differ may
// not share a name.
func (l *loader) packages() {
	for _, r := range l.readings {
		for i := range r.file.Packages {
			p := &r.file.Packages[i]
			j := slices.IndexFunc(l.pkgs, func(o Package) bool { return o.Name == p.Name })
			switch {
			case p.Name == "":
			case j < 0:
				l.pkgs = append(l.pkgs, *p)
			case !reflect.DeepEqual(l.pkgs[j], *p):
				l.errs = append(l.errs, r.doc.Errorf(pathOf("package", i, "name"), strconv.Quote(p.Name)+" again",
					"the same keys as where it stands first, or another name"))
			}
		}
	}
	slices.SortFunc(l.pkgs, func(a, b Package) int { return cmp.Compare(a.Name, b.Name) })
	l.byName = make(map[string]*Package, len(l.pkgs))
	for i := range l.pkgs {
		l.byName[l.pkgs[i].Name] = &l.pkgs[i]
	}
}

// Texts of a part of one's own that does not say.
const (
	OwnTitle      = "own part"
	OwnProvenance = "stated by the user"
)

// ownDefaults fills what a part of one's own leaves out. Its package is the one
// that sheds the least heat.
func (l *loader) ownDefaults() {
	worst := ""
	for i := range l.pkgs {
		if worst == "" || l.pkgs[i].RthJA.Or(0) > l.byName[worst].RthJA.Or(0) {
			worst = l.pkgs[i].Name
		}
	}
	for _, e := range l.entries {
		if e.in.source.Embedded {
			continue
		}
		c := e.part.Base()
		c.Title = cmp.Or(c.Title, OwnTitle)
		c.Provenance = cmp.Or(c.Provenance, OwnProvenance)
		if !e.in.failed(e.path + ".package") {
			c.Package = cmp.Or(c.Package, worst)
		}
	}
}

// merge keeps one part of each id.
func (l *loader) merge() {
	first := make(map[string]*entry, len(l.entries))
	gone := map[*entry]bool{}
	for _, e := range l.entries {
		id := e.part.Base().ID
		old, ok := first[id]
		switch {
		case id == "":
		case id == PinID:
			l.bad(e, "id", strconv.Quote(id), "another id: this one is reserved")
		case !ok:
			first[id] = e
		case e.part.Base().Replaces && old.in.source.Embedded && !e.in.source.Embedded:
			gone[old] = true
			first[id] = e
		default:
			l.bad(e, "id", strconv.Quote(id)+", which "+old.in.source.Name+" has already", l.uniqueID(old))
		}
	}
	l.entries = slices.DeleteFunc(l.entries, func(e *entry) bool { return gone[e] })
}

func (l *loader) uniqueID(old *entry) string {
	if old.in.source.Embedded {
		return "another id, or replaces = true"
	}
	return "another id"
}

// lint applies the rules across keys. A rule is silent where decoding found
// fault with the key already.
func (l *loader) lint() {
	for _, r := range l.readings {
		c := newChecker(r.doc, r.source.Embedded, l.byName)
		for i := range r.file.Packages {
			c.base = pathOf("package", i, "")
			c.text("name", r.file.Packages[i].Name, MaxTitle)
		}
		l.keep(r, c.errs)
	}
	var c *checker
	for i, e := range l.entries {
		if i == 0 || l.entries[i-1].in != e.in {
			c = newChecker(e.in.doc, e.in.source.Embedded, l.byName)
		}
		c.base, c.errs = e.path, c.errs[:0]
		c.part(e.part)
		l.keep(e.in, c.errs)
	}
}

func (l *loader) keep(r *reading, errs source.Errors) {
	for _, e := range errs {
		if !r.failed(e.Key) {
			l.errs = append(l.errs, e)
		}
	}
}

// catalog puts the parts in order.
func (l *loader) catalog() *Catalog {
	c := &Catalog{Currency: l.currency, Packages: l.pkgs}
	slices.SortFunc(l.entries, func(a, b *entry) int { return cmp.Compare(a.part.Base().ID, b.part.Base().ID) })
	for _, e := range l.entries {
		c.add(e.part)
	}
	c.index()
	c.Digest = c.digest()
	return c
}

func (c *Catalog) add(p Part) {
	switch p := p.(type) {
	case *BJT:
		c.BJTs = append(c.BJTs, *p)
	case *MOSFET:
		c.MOSFETs = append(c.MOSFETs, *p)
	case *Relay:
		c.Relays = append(c.Relays, *p)
	case *SSR:
		c.SSRs = append(c.SSRs, *p)
	case *Module:
		c.Modules = append(c.Modules, *p)
	case *Array:
		c.Arrays = append(c.Arrays, *p)
	case *Diode:
		c.Diodes = append(c.Diodes, *p)
	case *Zener:
		c.Zeners = append(c.Zeners, *p)
	case *TVS:
		c.TVSs = append(c.TVSs, *p)
	case *MOV:
		c.MOVs = append(c.MOVs, *p)
	case *ResistorSeries:
		c.Resistors = append(c.Resistors, *p)
	case *Capacitor:
		c.Capacitors = append(c.Capacitors, *p)
	case *HeatSink:
		c.HeatSinks = append(c.HeatSinks, *p)
	case *Insulator:
		c.Insulators = append(c.Insulators, *p)
	case *Fuse:
		c.Fuses = append(c.Fuses, *p)
	case *Limiter:
		c.Limiters = append(c.Limiters, *p)
	}
}

// digest is 16 hexadecimal digits over the exact text of every part, in order.
func (c *Catalog) digest() string {
	h := sha256.New()
	h.Write([]byte(c.Currency + "\n"))
	for i := range c.Packages {
		h.Write(source.Encode(&c.Packages[i]))
	}
	for _, p := range c.Parts() {
		h.Write([]byte("[[" + string(p.Kind()) + "]]\n"))
		h.Write(source.Encode(p))
	}
	return hex.EncodeToString(h.Sum(nil))[:16]
}
