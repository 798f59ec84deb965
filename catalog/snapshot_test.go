package catalog

import (
	"bytes"
	"flag"
	"os"
	"reflect"
	"testing"
)

var update = flag.Bool("update", false, "write "+snapshotName+" anew")

// TestSnapshotIsCurrent holds the snapshot against the TOML files of the
// program: the same texts, and the same parts to the last bit.
func TestSnapshotIsCurrent(t *testing.T) {
	sources, err := EmbeddedSources()
	if err != nil {
		t.Fatal(err)
	}
	want, errs := Load(sources)
	if errs.Fatal() {
		t.Fatal(errs)
	}
	key := snapshotKey(sources)
	if *update {
		if err := os.WriteFile(snapshotName, snapshot(want, key), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	text, err := os.ReadFile(snapshotName)
	if err != nil {
		t.Fatal(err)
	}
	const mend = "run: go test ./catalog -run TestSnapshotIsCurrent -update"
	got, err := readSnapshot(text, key)
	if err != nil {
		t.Fatalf("%s is not of these files; %s", snapshotName, mend)
	}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("%s gives other parts than the files; %s", snapshotName, mend)
	}
}

func TestSnapshotOfEveryKind(t *testing.T) {
	sources := sampleSources(t)
	want, key := samples(t), snapshotKey(sources)
	b := snapshot(want, key)
	got, err := readSnapshot(b, key)
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(got, want) {
		t.Error("the parts differ")
	}
	if again := snapshot(got, key); !bytes.Equal(again, b) {
		t.Error("a second snapshot differs")
	}
	// No damage may end the program, and a cut is always seen.
	for i := range b {
		if c, err := readSnapshot(b[:i], key); err == nil || c != nil {
			t.Fatalf("cut to %d bytes of %d it is still read", i, len(b))
		}
	}
	for i := len(key); i < len(b); i += 7 {
		damaged := bytes.Clone(b)
		damaged[i] ^= 0xff
		readSnapshot(damaged, key)
	}
	sources[0].Text = append(sources[0].Text, '\n')
	if _, err := readSnapshot(b, snapshotKey(sources)); err == nil {
		t.Error("a snapshot of other texts is read")
	}
}

func BenchmarkReadSnapshot(b *testing.B) {
	sources, err := EmbeddedSources()
	if err != nil {
		b.Fatal(err)
	}
	c, errs := Load(sources)
	if errs.Fatal() {
		b.Fatal(errs)
	}
	text := snapshot(c, snapshotKey(sources))
	for b.Loop() {
		sources, _ := EmbeddedSources()
		if _, err := readSnapshot(text, snapshotKey(sources)); err != nil {
			b.Fatal(err)
		}
	}
}
