package catalog

import (
	"errors"
	"os"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"

	q "example.org/pinhoist/internal/quantity"
	"example.org/pinhoist/internal/source"
)

// Every key that a form asks for is one that a file may hold, and stands once.
func TestAskedKeysExist(t *testing.T) {
	for kind := range kindTypes {
		first, more := Asks(kind)
		if len(first) < 3 {
			t.Errorf("%s: %d figures are asked first", kind, len(first))
		}
		seen := map[string]bool{}
		for _, a := range append(first, more...) {
			if _, ok := leafOf(kind, a.Key); !ok {
				t.Errorf("%s: a file has no key %s", kind, a.Key)
			}
			if seen[a.Key+a.When] {
				t.Errorf("%s: %s is asked twice", kind, a.Key)
			}
			seen[a.Key+a.When] = true
			if len(a.Label) == 0 || len(a.Label) > 20 || !strings.HasSuffix(a.What, ".") ||
				a.Where == "" && !slices.Contains([]string{"id", "price", "stocked"}, a.Key) {
				t.Errorf("%s: %s is told badly: %+v", kind, a.Key, a)
			}
			for _, c := range strings.Split(a.When, "&") {
				key, words, conditional := strings.Cut(c, "=")
				l, ok := leafOf(kind, strings.TrimSuffix(key, "!"))
				for _, w := range strings.Split(words, "|") {
					if conditional && (!ok || !slices.Contains(l.words, w)) {
						t.Errorf("%s: %s is asked when %s", kind, a.Key, a.When)
					}
				}
			}
		}
	}
	if len(asks) != len(kindTypes) {
		t.Errorf("%d kinds have asks, want %d", len(asks), len(kindTypes))
	}
	if first, _ := Asks("valve"); first != nil || NewDraft("valve") != nil {
		t.Error("a kind that there is not has asks")
	}
}

// What a part of one's own must state is asked first, and every figure that a proof
// may want can be given.
func TestAsksSuffice(t *testing.T) {
	for kind, typ := range kindTypes {
		first, more := Asks(kind)
		asked := func(list []Ask, key string) bool {
			return slices.ContainsFunc(list, func(a Ask) bool {
				return a.Key == key || strings.HasPrefix(a.Key, key+".") || strings.HasPrefix(a.Key, key+"[")
			})
		}
		for _, f := range reflect.VisibleFields(typ) {
			key, need := f.Tag.Get("key"), f.Tag.Get("need")
			must := need == "R" && !commonKeys[key] && key != "t_j_max"
			if least, ok := leastKeys[typ]; ok {
				must = must && least[key]
			}
			switch {
			case must && !asked(first, key):
				t.Errorf("%s: %s must be stated and is not asked first", kind, key)
			case (need == "R" || need == "r") && key != "provenance" && !asked(first, key) && !asked(more, key):
				if kind == KindRelay && key == "isolation" || key == "nc" {
					continue
				}
				t.Errorf("%s: %s may be wanted for a proof and is not asked", kind, key)
			}
		}
	}
}

// textAt is what a part states at a key, as it would be typed.
func textAt(v reflect.Value, key string) string {
	for _, step := range strings.Split(strings.ReplaceAll(key, "[", ".["), ".") {
		for v.Kind() == reflect.Pointer {
			if v.IsNil() {
				return ""
			}
			v = v.Elem()
		}
		if i, err := strconv.Atoi(strings.Trim(step, "[]")); err == nil {
			if i >= v.Len() {
				return ""
			}
			v = v.Index(i)
			continue
		}
		f, ok := fieldOf(v.Type(), step)
		if !ok {
			return ""
		}
		v = v.FieldByIndex(f.Index)
	}
	if v.Kind() == reflect.Pointer {
		if v.IsNil() {
			return ""
		}
		if m, ok := v.Interface().(*q.Money); ok {
			return m.String()
		}
		v = v.Elem()
	}
	switch x := v.Addr().Interface().(type) {
	case q.Textual:
		return x.ExactText()
	case *PulseTime:
		return x.String()
	case *string:
		return *x
	case *[]string:
		return strings.Join(*x, ", ")
	case *bool:
		return strconv.FormatBool(*x)
	case *int:
		return strconv.Itoa(*x)
	case *float64:
		return strconv.FormatFloat(*x, 'g', -1, 64)
	}
	return ""
}

// What is typed from a data sheet comes back from the file as the same figures, for
// every sample of every kind.
func TestDraftIsTheFile(t *testing.T) {
	var sources []Source
	for kind := range kindTypes {
		text, err := os.ReadFile("../testdata/parts/" + string(kind) + ".toml")
		if err != nil {
			t.Fatal(err)
		}
		sources = append(sources, Source{Name: string(kind), Text: text})
	}
	text, err := os.ReadFile("../testdata/parts/package.toml")
	if err != nil {
		t.Fatal(err)
	}
	packages := Source{Name: "package", Text: text}
	all, errs := Load(append(sources, packages))
	if errs.Fatal() {
		t.Fatal(errs)
	}
	embedded, err := Embedded()
	if err != nil {
		t.Fatal(err)
	}
	samples := &Catalog{Currency: "EUR", Packages: all.Packages}
	program := &Catalog{Currency: embedded.Currency, Packages: embedded.Packages}
	seen := map[Kind]int{}
	for i, p := range append(all.Parts(), embedded.Parts()...) {
		base := samples
		if i >= all.Len() {
			base = program
		}
		d := NewDraft(p.Kind())
		for range 3 { // some asks depend on the answers to others
			first, more := d.Asks()
			for _, a := range append(first, more...) {
				d.Texts[a.Key] = textAt(reflect.ValueOf(p), a.Key)
			}
		}
		got, errs := Extend(base, Source{Name: "own", Text: d.File("EUR")})
		if d.ID() == "sample-d-fast" { // its first point has a least voltage alone
			continue
		}
		if errs.Fatal() {
			t.Errorf("%s: %v\n%s", d.ID(), errs, d.File("EUR"))
			continue
		}
		again, ok := got.Part(d.ID())
		if !ok {
			t.Errorf("%s is not there", d.ID())
			continue
		}
		first, more := d.Asks()
		for _, a := range append(first, more...) {
			if have := textAt(reflect.ValueOf(again), a.Key); have != d.Texts[a.Key] {
				t.Errorf("%s: %s is %q, typed %q", d.ID(), a.Key, have, d.Texts[a.Key])
			}
		}
		seen[p.Kind()]++
	}
	for kind := range kindTypes {
		if seen[kind] == 0 {
			t.Errorf("no sample of kind %s", kind)
		}
	}
}

// drawerFET is a MOSFET as its owner types it.
func drawerFET() *Draft {
	d := NewDraft(KindMOSFET)
	for key, text := range map[string]string{"id": "drawer-60v", "channel": "n", "v_ds_max": "60 V", "v_gs_max": "20 V", "v_gs_th.min": "2 V",
		"v_gs_th.max": "4 V", "v_gs_th.i_d": "250 uA", "r_ds_on[0].v_gs": "10 V", "r_ds_on[0].i_d": "20 A", "r_ds_on[0].max": "28 mohm", "price": "0.7", "stocked": "true"} {
		d.Texts[key] = text
	}
	return d
}

func TestDraftTable(t *testing.T) {
	d := drawerFET()
	text := string(d.File("EUR"))
	for _, want := range []string{"[[mosfet]]\n", "id = \"drawer-60v\"\n", "r_ds_on = [{ v_gs = \"10 V\", i_d = \"20 A\", max = \"28 mohm\" }]\n",
		"v_gs_th.min = \"2 V\"\n", "price = \"0.7 EUR\"\n", "stocked = true\n", "# q_gd_max = \"\"\n", "# i_dss_max = [{ v_ds = \"\", t_j = \"\", max = \"\" }]\n",
		"# What it blocks from drain to source. See the absolute maximum ratings, VDS\n# or VDSS.\n"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not in\n%s", want, text)
		}
	}
	// Hostile texts stay texts, and what is no figure is told by the decoder.
	d.Texts["v_ds_max"] = "60 V\"\nreplaces = true\n#"
	_, errs := Load([]Source{{Name: "own", Text: d.File("EUR")}})
	if !errs.Fatal() || !strings.Contains(errs.Error(), "v_ds_max") {
		t.Errorf("said %v", errs)
	}
}

// A file keeps its other parts and remarks; a part of the id is not written over
// unasked, and then alone.
func TestPut(t *testing.T) {
	d := drawerFET()
	text, err := d.Put("own", nil, "EUR", false)
	if err != nil {
		t.Fatal(err)
	}
	other := NewDraft(KindHeatSink)
	other.Texts["id"], other.Texts["fits"], other.Texts["r_th_sa_max[0].p"], other.Texts["r_th_sa_max[0].max"] = "drawer-sink", "TO-220", "5 W", "11 K/W"
	text = append(text, "\n# mine: bought at the fair\n"...)
	if text, err = other.Put("own", text, "EUR", false); err != nil {
		t.Fatal(err)
	}
	if _, err := d.Put("own", text, "EUR", false); !errors.Is(err, ErrThere) {
		t.Errorf("said %v", err)
	}
	d.Texts["v_ds_max"] = "55 V"
	if text, err = d.Put("own", text, "EUR", true); err != nil {
		t.Fatal(err)
	}
	base, _ := Embedded()
	c, errs := Extend(base, Source{Name: "own", Text: text})
	if errs.Fatal() {
		t.Fatalf("%v\n%s", errs, text)
	}
	p, _ := c.Part("drawer-60v")
	if m, ok := p.(*MOSFET); !ok || m.VDSMax.Value() != 55 || strings.Count(string(text), "drawer-60v") != 1 {
		t.Errorf("the part is %+v in\n%s", p, text)
	}
	if _, ok := c.Part("drawer-sink"); !ok || !strings.Contains(string(text), "bought at the fair") {
		t.Errorf("something else is gone:\n%s", text)
	}
	if _, err := d.Put("own", []byte("schema = "), "EUR", true); err == nil {
		t.Error("wrote into a file that cannot be read")
	}
}

// Extend is Load of everything at once.
func TestExtendIsLoad(t *testing.T) {
	base, err := Embedded()
	if err != nil {
		t.Fatal(err)
	}
	own := Source{Name: "own", Text: drawerFET().File("EUR")}
	got, errs := Extend(base, own)
	if errs.Fatal() {
		t.Fatal(errs)
	}
	sources, err := EmbeddedSources()
	if err != nil {
		t.Fatal(err)
	}
	want, wantErrs := Load(append(sources, own))
	if want == nil || got.Digest != want.Digest || got.Len() != base.Len()+1 || !slices.EqualFunc(errs, wantErrs, func(a, b source.Error) bool { return a.Error() == b.Error() }) {
		t.Errorf("differs: %v, %v", errs, wantErrs)
	}
	if _, ok := base.Part("drawer-60v"); ok {
		t.Error("the catalogue that was given is changed")
	}
	// An id of the program is taken only where that is said.
	d := drawerFET()
	d.Texts["id"] = base.MOSFETs[0].ID
	if c, errs := Extend(base, Source{Name: "own", Text: d.File("EUR")}); c != nil || !strings.Contains(errs.Error(), "replaces = true") {
		t.Errorf("said %v", errs)
	}
	d.Replaces = true
	c, errs := Extend(base, Source{Name: "own", Text: d.File("EUR")})
	if errs.Fatal() || c.Len() != base.Len() {
		t.Errorf("said %v", errs)
	}
}
