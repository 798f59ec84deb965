package catalog

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestBadFiles loads each malformed file beside the sample parts and compares
// every message with those that its .want file holds. A file is one of a user's
// own; where its name begins with "embedded-", it counts as one of the program.
func TestBadFiles(t *testing.T) {
	files, err := filepath.Glob("../testdata/bad/catalog/*.toml")
	if err != nil {
		t.Fatal(err)
	}
	const least = 35
	if len(files) < least {
		t.Fatalf("%d malformed files, want %d at least", len(files), least)
	}
	base := sampleSources(t)
	for _, f := range files {
		name := filepath.Base(f)
		t.Run(strings.TrimSuffix(name, ".toml"), func(t *testing.T) {
			text, err := os.ReadFile(f)
			if err != nil {
				t.Fatal(err)
			}
			want, err := os.ReadFile(strings.TrimSuffix(f, ".toml") + ".want")
			if err != nil {
				t.Fatal(err)
			}
			if len(bytes.TrimSpace(want)) == 0 {
				t.Error("the .want file is empty: the file is not malformed")
			}
			own := Source{Name: name, Text: text, Embedded: strings.HasPrefix(name, "embedded-")}
			c, errs := Load(append([]Source{own}, base...))
			if got := errs.Error() + "\n"; got != string(want) {
				t.Errorf("got:\n%swant:\n%s", got, want)
			}
			if (c == nil) != errs.Fatal() {
				t.Errorf("a catalogue %v, fatal %v", c != nil, errs.Fatal())
			}
		})
	}
}
