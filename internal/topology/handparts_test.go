package topology

import (
	"testing"

	"example.org/pinhoist/catalog"
)

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
