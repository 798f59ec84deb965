package catalog

import (
	"embed"
	"io/fs"
	"sync"
)

//go:embed data
var data embed.FS

// embedded is read once, from the snapshot when it belongs to the texts: it
// never changes.
var embedded = sync.OnceValues(func() (*Catalog, error) {
	sources, err := EmbeddedSources()
	if err != nil {
		return nil, err
	}
	if b, err := data.ReadFile(snapshotName); err == nil {
		if c, err := readSnapshot(b, snapshotKey(sources)); err == nil {
			return c, nil
		}
	}
	c, errs := Load(sources)
	if errs.Fatal() {
		return nil, errs
	}
	return c, nil
})

// Embedded is the catalogue that comes with the program. It must not be changed.
func Embedded() (*Catalog, error) { return embedded() }

// EmbeddedSources are the files of the embedded catalogue, to be loaded together
// with files of one's own.
func EmbeddedSources() ([]Source, error) {
	names, err := fs.Glob(data, "data/*.toml")
	if err != nil {
		return nil, err
	}
	out := make([]Source, len(names))
	for i, n := range names {
		text, err := fs.ReadFile(data, n)
		if err != nil {
			return nil, err
		}
		out[i] = Source{Name: n, Text: text, Embedded: true}
	}
	return out, nil
}
