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

// Each file says what it is, is read without a word against it, and is used.
func TestWorkedFiles(t *testing.T) {
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
	for _, file := range files {
		name := strings.TrimSuffix(filepath.Base(file), ".toml")
		text := workedFile(name)
		if !strings.HasPrefix(text, "# ") {
			t.Errorf("%s does not say what it is", name)
		}
		said, isPart := strings.CutPrefix(name, partsWorked)
		if !bytes.Contains(code, []byte(`"`+said+`"`)) {
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
		}
		if len(j.Loads) != 1 {
			t.Errorf("%s has %d loads", name, len(j.Loads))
		}
		if !slices.ContainsFunc(All(), func(top Topology) bool { return strings.HasPrefix(name, top.ID()+"-") }) {
			t.Errorf("%s begins with no topology", name)
		}
	}
	if _, errs := catalog.Load(sources); len(errs) > 0 {
		t.Error(errs)
	}
}
