package preferred

import (
	"strings"
	"testing"
)

// Yellow violet red gold is the example of tnlab.org's summary of IEC 60062 (READ),
// with the digits black to white 0 to 9 and the tolerances brown 1 %, red 2 %, gold
// 5 %, silver 10 %. The other rows are DERIVED from those by hand; gold and silver as
// factors of a tenth and a hundredth are from MEMORY.
func TestBands(t *testing.T) {
	for _, tt := range []struct {
		ohms, tol float64
		want      string
	}{
		{4700, 0.05, "yellow violet red gold"},
		{270, 0.05, "red violet brown gold"},
		{1e6, 0.10, "brown black green silver"},
		{4700, 0.01, "yellow violet black brown brown"},
		{280, 0.01, "red grey black black brown"},
		{2.49e3, 0.01, "red yellow white brown brown"},
		{249, 0.05, "red yellow white black gold"}, // two digits do not tell it
		{4.7, 0.05, "yellow violet gold gold"},
		{0.47, 0.05, "yellow violet silver gold"},
		{1.5, 0.02, "brown green black silver red"},
		{10, 0.05, "brown black black gold"},
		{99, 0.05, "white white black gold"},
		{1234, 0.01, ""}, // four digits
		{100, 0.03, ""},  // no such tolerance
		{0, 0.05, ""},
		{-10, 0.05, ""},
	} {
		bands, ok := Bands(tt.ohms, tt.tol)
		words := make([]string, len(bands))
		for i, b := range bands {
			words[i] = string(b)
		}
		if got := strings.Join(words, " "); got != tt.want || ok != (tt.want != "") {
			t.Errorf("%v ohm, %v: %q %v, want %q", tt.ohms, tt.tol, got, ok, tt.want)
		}
	}
}

// Every value of every series is told by bands, and reads back as itself.
func TestBandsReadBack(t *testing.T) {
	digit := map[Band]float64{}
	for i, b := range digitBands {
		digit[b] = float64(i)
	}
	power := func(b Band) float64 {
		if b == Gold {
			return 0.1
		}
		f := 1.0
		for range int(digit[b]) {
			f *= 10
		}
		return f
	}
	for _, s := range []struct {
		name string
		tol  float64
	}{{"E12", 0.05}, {"E24", 0.05}, {"E96", 0.01}} {
		series, ok := Parse(s.name)
		if !ok {
			t.Fatal(s.name)
		}
		n := 0
		for v := range Within(series, 1, 1e6) {
			n++
			bands, ok := Bands(v, s.tol)
			if !ok {
				t.Errorf("%s: %v has none", s.name, v)
				continue
			}
			read := 0.0
			for _, b := range bands[:len(bands)-2] {
				read = 10*read + digit[b]
			}
			f := power(bands[len(bands)-2])
			if bands[len(bands)-2] == Silver {
				f = 0.01
			}
			if read *= f; read/v-1 > 1e-9 || v/read-1 > 1e-9 {
				t.Errorf("%s: %v reads as %v (%v)", s.name, v, read, bands)
			}
		}
		if n < 30 {
			t.Errorf("%s: only %d values", s.name, n)
		}
	}
}
