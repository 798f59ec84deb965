package sheet

import (
	"strings"
	"testing"

	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/quantity"
)

// TestBeyondLimits: a temperature at which no part is one any more is told as that, with
// no number that would mean something.
func TestBeyondLimits(t *testing.T) {
	for v, want := range map[float64]string{
		150:  "150 C",
		500:  "500 C",
		4012: "beyond 500 C",
	} {
		if got := number(v, design.DegC, quantity.Up); got != want {
			t.Errorf("%g: %q, want %q", v, got, want)
		}
	}
	if got := number(4012, design.V, quantity.Up); strings.Contains(got, "beyond") {
		t.Errorf("a voltage is told as %q", got)
	}
	c := design.Check{ID: design.JunctionTemperature, Unit: design.DegC, Temperature: true, Below: 25,
		Ambient: design.Known(40), Stress: design.Known(4012), Rating: design.Known(150), Formula: "T = {stress} of {rating}"}
	design.Judge(&c)
	if _, numbers := Formula(&c); numbers != "T = beyond 500 C of 150 C" || c.Verdict != design.Over {
		t.Errorf("%s: %s", c.Verdict, numbers)
	}
}
