package source

import (
	"strings"
	"testing"
)

// bench is about as much text as a catalogue has.
var bench = []byte(strings.Repeat(whole[strings.Index(whole, "[[thing]]"):], 200))

func BenchmarkParse(b *testing.B) {
	b.SetBytes(int64(len(bench)))
	for b.Loop() {
		Parse("f", bench)
	}
}

func BenchmarkDecode(b *testing.B) {
	b.SetBytes(int64(len(bench)))
	d, errs := Parse("f", bench)
	if errs != nil {
		b.Fatal(errs)
	}
	for b.Loop() {
		var c crate
		Decode(d, &c)
	}
}

func BenchmarkEncode(b *testing.B) {
	c, _ := read(string(bench))
	for b.Loop() {
		Encode(&c)
	}
}
