package catalog

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"

	"example.org/pinhoist/internal/source"
)

// own is a file of one's own with as little as it may hold.
func own(body string) Source { return Source{Name: "own.toml", Text: []byte("schema = 1\n" + body)} }

const ownNPN = `[[bjt]]
id = "mine"
polarity = "npn"
v_ceo_max = "40 V"
i_c_max = "1 A"
`

func TestPartOfOnesOwnIsFilled(t *testing.T) {
	c, errs := Load(append(sampleSources(t), own(ownNPN)))
	if errs != nil {
		t.Fatal(errs)
	}
	p, ok := c.Part("mine")
	if !ok {
		t.Fatal("the part is not there")
	}
	b := p.Base()
	// SOT-23 has the highest r_th_ja_max of the sample packages: 400 K/W.
	if b.Title != "own part" || b.Provenance != "stated by the user" || b.Package != "SOT-23" {
		t.Errorf("title %q, provenance %q, package %q", b.Title, b.Provenance, b.Package)
	}
	if b.Price != nil || b.Stock != nil {
		t.Errorf("price %v, stock %v: unknown must not become a number", b.Price, b.Stock)
	}
}

func TestOwnFileAlone(t *testing.T) {
	c, errs := Load([]Source{own(ownNPN)})
	if errs != nil {
		t.Fatal(errs)
	}
	if p, _ := c.Part("mine"); p.Base().Package != "" || c.PackageOf(p.Base()) != nil {
		t.Error("a package came from nowhere")
	}
	if c.Currency != "" {
		t.Errorf("currency %q", c.Currency)
	}
}

func TestReplaces(t *testing.T) {
	body := strings.Replace(ownNPN, `"mine"`, `"sample-npn"`, 1) + "replaces = true\n"
	for range 2 {
		sources := append(sampleSources(t), own(body))
		slices.Reverse(sources)
		c, errs := Load(sources)
		if errs != nil {
			t.Fatal(errs)
		}
		p, _ := c.Part("sample-npn")
		if got := p.(*BJT).VCEOMax.Value(); got != 40 {
			t.Errorf("v_ceo_max %v, want that of the part that replaces, 40 V", got)
		}
		if n := len(c.BJTs); n != len(samples(t).BJTs) {
			t.Errorf("%d bipolar transistors", n)
		}
	}
}

// TestErrorsDoNotHangOnTheOrderOfFiles gives two files that clash in each order.
func TestErrorsDoNotHangOnTheOrderOfFiles(t *testing.T) {
	a, b := own(ownNPN), own(ownNPN)
	a.Name, b.Name = "a.toml", "b.toml"
	const want = `b.toml:3:1: bjt[0].id: found "mine", which a.toml has already, expected another id`
	for _, s := range [][]Source{{a, b}, {b, a}} {
		if got := Lint(s).Error(); got != want {
			t.Errorf("got  %s\nwant %s", got, want)
		}
	}
}

func TestTooMuch(t *testing.T) {
	many := func(n, from int) string {
		var b strings.Builder
		for i := range n {
			fmt.Fprintf(&b, "[[bjt]]\nid = \"n%d\"\npolarity = \"npn\"\nv_ceo_max = \"40 V\"\ni_c_max = \"1 A\"\n", from+i)
		}
		return b.String()
	}
	second := own(many(2, MaxParts-1))
	second.Name = "own2.toml"
	for _, tc := range []struct {
		name    string
		sources []Source
		want    string
	}{
		{"32 MiB", []Source{own(strings.Repeat("#\n", 16<<20))},
			"own.toml: found 33554443 bytes, expected at most 33554432 (32 MiB)"},
		{"parts of one kind", []Source{own(many(MaxParts+1, 0))},
			"own.toml:100002:3: bjt: found more than 20000 entries, expected at most 20000"},
		{"parts of two files", []Source{own(many(MaxParts-1, 0)), second},
			"own2.toml:7:3: bjt[1]: found 20001 parts in all files, expected at most 20000"},
		{"deep arrays", []Source{own("a = " + strings.Repeat("[", 100000))},
			"own.toml:2:13: found tables and arrays nested deeper than 8, expected at most 8 levels"},
		{"deep tables", []Source{own("a = " + strings.Repeat("{a=", 100000))},
			"own.toml:2:29: found tables and arrays nested deeper than 8, expected at most 8 levels"},
		{"deep keys", []Source{own(strings.Repeat("a.", 100000) + "a = 1")},
			"own.toml:2:1: found tables and arrays nested deeper than 8, expected at most 8 levels"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			c, errs := Load(tc.sources)
			if c != nil || errs.Error() != tc.want {
				t.Errorf("got  %.400s\nwant %s", errs, tc.want)
			}
		})
	}
}

// TestMostParts proves that a full catalogue loads.
func TestMostParts(t *testing.T) {
	c, errs := Load([]Source{packageText(t), own(generated(t, 1000))})
	if errs != nil {
		t.Fatal(errs[:min(len(errs), 5)])
	}
	if c.Len() != 1000 {
		t.Errorf("%d parts", c.Len())
	}
}

// generated is n parts as one file: the samples that fill the most memory, under
// ids of their own.
func generated(t testing.TB, n int) string {
	t.Helper()
	var bodies []string
	for _, id := range []string{"sample-npn", "sample-n-logic", "sample-rl-5v"} {
		p, _ := samples(t).Part(id)
		_, body, _ := strings.Cut(string(Encode(p)), "\n\n")
		bodies = append(bodies, strings.Replace(body, `"`+id+`"`, `"ID"`, 1))
	}
	var b strings.Builder
	b.WriteString("currency = \"EUR\"\n\n")
	for i := range n {
		b.WriteString(strings.Replace(bodies[i%len(bodies)], `"ID"`, fmt.Sprintf(`"p%d"`, i), 1) + "\n")
	}
	return b.String()
}

// TestMemoryOfAPart holds a decoded part, with every key stated, to 6 KiB: the
// heap after a collection with the catalogue less that without.
func TestMemoryOfAPart(t *testing.T) {
	const n, most = 2000, 6 << 10
	sources := []Source{packageText(t), own(generated(t, n))}
	heap := func() uint64 {
		runtime.GC()
		runtime.GC()
		var m runtime.MemStats
		runtime.ReadMemStats(&m)
		return m.HeapAlloc
	}
	before := heap()
	c, errs := Load(sources)
	if errs != nil {
		t.Fatal(errs[0])
	}
	after := heap()
	each := (after - before) / n
	t.Logf("%d bytes a part", each)
	if after < before || each > most {
		t.Errorf("%d bytes a part, want at most %d", each, most)
	}
	runtime.KeepAlive(c)
	runtime.KeepAlive(sources)
}

func BenchmarkLoadEmbedded(b *testing.B) {
	sources, err := EmbeddedSources()
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		Load(sources)
	}
}

// FuzzCatalog holds that no text ends the program, that what is said about it
// can be shown, and that what loads can be printed and read back.
func FuzzCatalog(f *testing.F) {
	for _, s := range sampleSources(f) {
		f.Add(s.Text, true)
	}
	f.Add([]byte("schema = 1\n"+ownNPN), false)
	f.Add([]byte("schema = 1\n[[relay]]\nid = \"a\"\n[relay.no]\ndc = [{}]\n"), false)
	f.Add([]byte("schema = 1\n[[mosfet]]\nr_ds_on = [{ v_gs = \"1 V\" }]\nsoa = [{ t = \"dc\", points = [{}] }]\n"), true)
	bad, err := filepath.Glob("../testdata/bad/catalog/*.toml")
	if err != nil || len(bad) == 0 {
		f.Fatalf("no malformed files: %v", err)
	}
	for _, n := range bad {
		text, err := os.ReadFile(n)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(text, false)
	}
	packages := packageText(f)
	f.Fuzz(func(t *testing.T, text []byte, embedded bool) {
		c, errs := Load([]Source{packages, {Name: "fuzz.toml", Text: text, Embedded: embedded}})
		for _, e := range errs {
			if strings.ContainsFunc(e.Error(), source.Unprintable) || e.Found == "" || e.Expected == "" {
				t.Errorf("a message that cannot be shown: %q", e.Error())
			}
			if strings.Contains(e.Expected, "NaN") {
				t.Errorf("a message with a number that is none: %q", e.Error())
			}
		}
		if (c == nil) != errs.Fatal() {
			t.Fatalf("a catalogue %v, errors %v", c != nil, errs)
		}
		if c == nil {
			return
		}
		if _, err := PartsJSON(c); err != nil {
			t.Error(err)
		}
		for _, p := range c.Parts() {
			printed := Encode(p)
			again, errs := Load([]Source{packages, {Name: "printed.toml", Text: printed}})
			if errs.Fatal() {
				// A package of the text itself, or a package named by no file, is not in the printed file.
				if len(c.Packages) == len(packageNames(packages)) {
					t.Fatalf("%v\n%s", errs, printed)
				}
				continue
			}
			back, ok := again.Part(p.Base().ID)
			if !ok || !bytes.Equal(Encode(back), printed) {
				t.Fatalf("printed and read back:\n%s\nagain:\n%s", printed, Encode(back))
			}
		}
	})
}

// packageNames are the packages of a file.
func packageNames(s Source) []Package {
	c, _ := Load([]Source{s})
	return c.Packages
}
