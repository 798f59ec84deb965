package catalog

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"testing"
)

// kinds are all kinds of part that stand in a file, in the order of a catalogue.
var kinds = []Kind{KindBJT, KindMOSFET, KindRelay, KindSSR, KindModule, KindArray, KindDiode, KindZener, KindTVS,
	KindMOV, KindResistorSeries, KindCapacitor, KindHeatSink, KindInsulator, KindFuse, KindLimiter}

// sampleSources reads the sample files, one of each kind, as strictly as the
// files of the program itself.
func sampleSources(t testing.TB) []Source {
	t.Helper()
	names, err := filepath.Glob("../testdata/parts/*.toml")
	if err != nil || len(names) == 0 {
		t.Fatalf("no sample files: %v", err)
	}
	var out []Source
	for _, n := range names {
		text, err := os.ReadFile(n)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, Source{Name: filepath.Base(n), Text: text, Embedded: true})
	}
	return out
}

// samples loads them.
func samples(t testing.TB) *Catalog {
	t.Helper()
	c, errs := Load(sampleSources(t))
	for _, e := range errs {
		t.Error(e)
	}
	if c == nil {
		t.FailNow()
	}
	return c
}

func TestSamplesHoldEveryKind(t *testing.T) {
	c := samples(t)
	seen := map[Kind]bool{}
	for _, p := range c.Parts() {
		seen[p.Kind()] = true
	}
	for _, k := range kinds {
		if !seen[k] {
			t.Errorf("no sample of the kind %s", k)
		}
		if _, err := os.Stat("../testdata/parts/" + string(k) + ".toml"); err != nil {
			t.Error(err)
		}
	}
}

// packageText is the packages of a catalogue as a file.
func packageText(t testing.TB) Source {
	t.Helper()
	for _, s := range sampleSources(t) {
		if s.Name == "package.toml" {
			return s
		}
	}
	t.Fatal("no package.toml among the samples")
	return Source{}
}

func TestEncodeGivesBackThePart(t *testing.T) {
	for _, p := range samples(t).Parts() {
		t.Run(p.Base().ID, func(t *testing.T) {
			text := Encode(p)
			for _, embedded := range []bool{true, false} {
				c, errs := Load([]Source{packageText(t), {Name: "printed.toml", Text: text, Embedded: embedded}})
				if len(errs) > 0 {
					if !embedded || p.Base().Price != nil {
						t.Fatalf("%v\n%s", errs, text)
					}
					continue // without a price the printed file has no currency, which an embedded one must state
				}
				back, ok := c.Part(p.Base().ID)
				if !ok {
					t.Fatalf("the part is gone:\n%s", text)
				}
				if !reflect.DeepEqual(back, p) {
					t.Errorf("printed and read back:\n%s\ngot  %+v\nwant %+v", text, back, p)
				}
				if !bytes.Equal(Encode(back), text) {
					t.Error("a second printing differs")
				}
			}
		})
	}
}

func TestDigestAndOrderDoNotHangOnTheOrderOfFiles(t *testing.T) {
	sources := sampleSources(t)
	a := samples(t)
	slices.Reverse(sources)
	b, errs := Load(sources)
	if errs != nil {
		t.Fatal(errs)
	}
	if a.Digest != b.Digest || len(a.Digest) != 16 {
		t.Errorf("digests %q and %q, want equal and 16 characters", a.Digest, b.Digest)
	}
	if !reflect.DeepEqual(a.Parts(), b.Parts()) {
		t.Error("the parts differ")
	}
	for i := range sources {
		if sources[i].Name == "zener.toml" {
			sources[i].Text = bytes.Replace(sources[i].Text, []byte("1.3 W\""), []byte("1.31 W\""), 1)
		}
	}
	c, errs := Load(sources)
	if errs.Fatal() {
		t.Fatal(errs)
	}
	if c.Digest == a.Digest {
		t.Error("a changed figure left the digest as it was")
	}
}

func TestPartsAreSortedById(t *testing.T) {
	parts := samples(t).Parts()
	for i := 1; i < len(parts); i++ {
		a, b := parts[i-1], parts[i]
		ka, kb := slices.Index(kinds, a.Kind()), slices.Index(kinds, b.Kind())
		if ka > kb || ka == kb && a.Base().ID >= b.Base().ID {
			t.Errorf("%s %s stands before %s %s", a.Kind(), a.Base().ID, b.Kind(), b.Base().ID)
		}
	}
}

func TestLookup(t *testing.T) {
	c := samples(t)
	var ids []string
	for _, p := range c.Switches() {
		ids = append(ids, p.Base().ID)
	}
	want := []string{"sample-npn", "sample-pnp", "sample-n-logic", "sample-rl-5v", "sample-rl-latch", "sample-rl-reed",
		"sample-ssr-mosfet", "sample-ssr-triac", "sample-mod-mosfet", "sample-mod-relay", "sample-mod-ssr", "sample-array-7"}
	if !slices.Equal(ids, want) {
		t.Errorf("switches %v, want %v", ids, want)
	}
	for _, c := range []*Catalog{c, {BJTs: c.BJTs, Packages: c.Packages}} {
		p, ok := c.Part("sample-npn")
		if !ok || p.Base().Title != "60 V 1 A NPN" {
			t.Errorf("Part gives %v, %v", p, ok)
		}
		if _, ok := c.Part("none"); ok {
			t.Error("a part that is not there was found")
		}
		if pkg := c.PackageOf(p.Base()); pkg == nil || pkg.Name != "TO-220" || !pkg.Tab {
			t.Errorf("package %+v", pkg)
		}
	}
	if pkg := c.PackageOf(&Common{Package: "none"}); pkg != nil {
		t.Errorf("package %+v of a name that is not there", pkg)
	}
}

func TestPartsJSON(t *testing.T) {
	text, err := PartsJSON(samples(t))
	if err != nil {
		t.Fatal(err)
	}
	var d struct {
		Schema int
		Parts  []map[string]any
	}
	if err := json.Unmarshal(text, &d); err != nil {
		t.Fatal(err)
	}
	if d.Schema != 1 || len(d.Parts) != samples(t).Len() {
		t.Fatalf("schema %d, %d parts", d.Schema, len(d.Parts))
	}
	for i, p := range samples(t).Parts() {
		if d.Parts[i]["kind"] != string(p.Kind()) || d.Parts[i]["id"] != p.Base().ID {
			t.Errorf("part %d is %v %v", i, d.Parts[i]["kind"], d.Parts[i]["id"])
		}
	}
	npn := d.Parts[0]
	if npn["v_ceo_max"] != 60.0 || npn["t_j_max"] != 150.0 {
		t.Errorf("v_ceo_max %v, t_j_max %v; want 60 and 150", npn["v_ceo_max"], npn["t_j_max"])
	}
	first := npn["h_fe"].([]any)[0].(map[string]any)
	if first["i_c"] != 0.1 || first["min"] != 60.0 {
		t.Errorf("h_fe[0] is %v", first)
	}
	if !bytes.HasPrefix(text, []byte(`{"schema":1,"parts":[{"kind":"bjt","id":"sample-npn",`)) {
		t.Errorf("begins %.80s", text)
	}
}
