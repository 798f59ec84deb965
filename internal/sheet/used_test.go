package sheet_test

import (
	"testing"

	"example.org/pinhoist/internal/sheet"
	"example.org/pinhoist/internal/topology"
)

// Every topology says in a line how it works.
func TestUsedHowTellsEveryTopology(t *testing.T) {
	for _, top := range topology.All() {
		if text := sheet.UsedHow(top.ID()); text == "" || len(text) > 72 {
			t.Errorf("%s: %q, %d characters", top.ID(), text, len(text))
		}
	}
}
