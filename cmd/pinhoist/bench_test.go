package main

import (
	"io"
	"strings"
	"testing"

	"example.org/pinhoist/catalog"
)

// BenchmarkRank is the command without the start of the process; the embedded
// catalogue is read each time, as a new process does.
func BenchmarkRank(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		a := &app{in: strings.NewReader(""), out: io.Discard, err: io.Discard}
		sources, err := catalog.EmbeddedSources()
		if err != nil {
			b.Fatal(err)
		}
		catalog.Load(sources)
		if code := a.run([]string{"rank"}); code != exitFits {
			b.Fatal(code)
		}
	}
}
