package sheet

import (
	"reflect"
	"testing"
)

func TestWrap(t *testing.T) {
	for _, c := range []struct {
		text  string
		width int
		want  []string
	}{
		{"a bb ccc abcdefghijkl d", 5, []string{"a bb", "ccc", "abcde", "fghij", "kl d"}},
		{"", 5, []string{""}},
		// A number and its unit stay together, whatever stands around them.
		{"such as 0.5 A", 12, []string{"such as", "0.5 A"}},
		{"at most (12 mV), then", 11, []string{"at most", "(12 mV),", "then"}},
		{"below -40 C; above", 9, []string{"below", "-40 C;", "above"}},
		{"about 50 %.", 8, []string{"about", "50 %."}},
		{"its 600 /h", 7, []string{"its", "600 /h"}},
		{"from 1.5 mm2 on", 9, []string{"from", "1.5 mm2", "on"}},
		// What is no unit is a word like any other.
		{"such as 16 pins", 10, []string{"such as 16", "pins"}},
		{"the line 3 Above", 10, []string{"the line 3", "Above"}},
		{"a part A V", 8, []string{"a part A", "V"}},
		// Longer than a line, they are parted rather than broken within.
		{"12.345 kohm", 6, []string{"12.345", "kohm"}},
	} {
		if got := wrap(c.text, c.width); !reflect.DeepEqual(got, c.want) {
			t.Errorf("wrap(%q, %d) = %q, want %q", c.text, c.width, got, c.want)
		}
	}
}
