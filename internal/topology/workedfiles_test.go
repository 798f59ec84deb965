package topology

import (
	"bytes"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/job"
)

// The inputs of what is worked by hand stand in files, one for each job and one for the
// parts of each circuit: a job's name begins with the topology that it is worked for. The
// working stands beside the numbers that it leads to, in the tests that name the file.
const workedFiles = "../../testdata/worked"

// partsWorked starts the name of a file of parts.
const partsWorked = "parts-"

// workedJob is a job of these files, without its line of the schema, which benchOn sets
// before: a table may stand before it and keys of its load behind it.
func workedJob(name string) string {
	return strings.Replace(workedFile(name), "\nschema = 1\n", "\n", 1)
}

// workedParts are the parts of these files for a circuit.
func workedParts(of string) string { return workedFile(partsWorked + of) }

// workedFile is read while the tests start, where nobody takes an error.
func workedFile(name string) string {
	text, err := os.ReadFile(filepath.Join(workedFiles, name+".toml"))
	if err != nil {
		panic(err)
	}
	return string(text)
}

// loadWith is the embedded catalogue with more texts.
func loadWith(texts ...string) (*catalog.Catalog, error) {
	sources, err := catalog.EmbeddedSources()
	if err != nil {
		return nil, err
	}
	for i, text := range texts {
		sources = append(sources, catalog.Source{Name: "hand" + string(rune('a'+i)) + ".toml", Text: []byte(text)})
	}
	cat, errs := catalog.Load(sources)
	if errs.Fatal() {
		return nil, errs
	}
	return cat, nil
}

// catalogWith is loadWith, for one test.
func catalogWith(t testing.TB, texts ...string) *catalog.Catalog {
	t.Helper()
	cat, err := loadWith(texts...)
	if err != nil {
		t.Fatal(err)
	}
	return cat
}

// Each topology has at least six jobs worked by hand, each of which says what it is, is
// read without a word against it, and is used.
func TestWorkedFiles(t *testing.T) {
	const least = 6
	files, err := filepath.Glob(filepath.Join(workedFiles, "*.toml"))
	if err != nil {
		t.Fatal(err)
	}
	tests, err := filepath.Glob("*_test.go")
	if err != nil {
		t.Fatal(err)
	}
	var code []byte
	for _, name := range tests {
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		code = append(code, text...)
	}
	sources, err := catalog.EmbeddedSources()
	if err != nil {
		t.Fatal(err)
	}
	count := map[string]int{}
	for _, file := range files {
		name := strings.TrimSuffix(filepath.Base(file), ".toml")
		text := workedFile(name)
		if !strings.HasPrefix(text, "# ") {
			t.Errorf("%s does not say what it is", name)
		}
		said, isPart := strings.CutPrefix(name, partsWorked)
		use := `"` + said + `"`
		if isPart {
			use = "workedParts(" + use + ")"
		}
		if !bytes.Contains(code, []byte(use)) {
			t.Errorf("%s is used by no test", name)
		}
		if isPart {
			sources = append(sources, catalog.Source{Name: name, Text: []byte(text)})
			continue
		}
		spec, errs := job.Decode(name, []byte(text))
		if len(errs) > 0 {
			t.Error(errs)
			continue
		}
		j, errs := job.Resolve(spec)
		if len(errs) > 0 {
			t.Error(errs)
			continue
		}
		if len(j.Loads) != 1 {
			t.Errorf("%s has %d loads", name, len(j.Loads))
		}
		of := slices.IndexFunc(All(), func(top Topology) bool { return strings.HasPrefix(name, top.ID()+"-") })
		if of < 0 {
			t.Errorf("%s begins with no topology", name)
			continue
		}
		count[All()[of].ID()]++
	}
	if _, errs := catalog.Load(sources); len(errs) > 0 {
		t.Error(errs)
	}
	for _, top := range All() {
		if count[top.ID()] < least {
			t.Errorf("%s has %d jobs worked by hand, and is to have %d", top.ID(), count[top.ID()], least)
		}
	}
}
