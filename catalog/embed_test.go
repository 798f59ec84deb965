package catalog

import "testing"

// TestEmbeddedLint proves that the catalogue of the program loads without an
// error and without a warning.
func TestEmbeddedLint(t *testing.T) {
	sources, err := EmbeddedSources()
	if err != nil {
		t.Fatal(err)
	}
	if len(sources) == 0 {
		t.Fatal("no embedded file")
	}
	for _, e := range Lint(sources) {
		t.Error(e)
	}
}
