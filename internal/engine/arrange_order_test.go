package engine

import (
	"math/rand/v2"
	"slices"
	"testing"

	"example.org/pinhoist/internal/design"
)

// The quick way to sort gives what the criteria say, with every sort of tie.
func TestQuickOrderIsTheOrder(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 5))
	number := func() design.Number {
		if r.IntN(4) == 0 {
			return design.Number{}
		}
		return design.Known(float64(r.IntN(4)))
	}
	for range 300 {
		rows := make([]Row, 1+r.IntN(30))
		for i := range rows {
			rows[i] = Row{Key: string(rune('a' + r.IntN(26))), Verdict: design.Verdict(r.IntN(4)), Built: r.IntN(6) == 0,
				Headroom: number(), Cost: design.Money{Amount: number()}, Heat: number(), Parts: r.IntN(3), TurnOff: number(), Unproven: r.IntN(3)}
		}
		for _, o := range []Order{ByCost, ByHeadroom, ByHeat, ByParts, BySpeed, ""} {
			got := Arrange(rows, View{Order: o}).Rows
			cs := criteria(o)
			if !slices.IsSortedFunc(got, func(a, b *Row) int { return compare(cs, a, b) }) || len(got) != len(rows) {
				t.Fatalf("order %q: %v", o, got)
			}
		}
	}
}

// The text filter finds each word anywhere in a row, in whatever case, and letters beyond
// ASCII too.
func TestTextFilter(t *testing.T) {
	rows := []Row{{Key: "a", Part: "n-30v-logic-smd", Title: "30 V Logic-level N, Größe Ä", Topology: "n-mosfet-low", Package: "SOT-23"}}
	for text, found := range map[string]bool{
		"": true, "LOGIC": true, "logic sot": true, "level n": true, "30v 30": true, "-smd": true, "GRÖSSE": false, "GRÖßE": true, "ä": true, "logic-smdx": false,
		"sot n-mosfet x": false, "smd 30 v": true, "smd30": false, "µ": false,
	} {
		if got := len(Arrange(rows, View{Text: text}).Rows) == 1; got != found {
			t.Errorf("%q: found %v", text, got)
		}
	}
}

// What takes the fewest figures to prove comes first of what is unproven, and what
// misses by least first of what is over, whatever either costs.
func TestOrderOfWhatDoesNotFit(t *testing.T) {
	cost := func(v float64) design.Money { return design.Money{Amount: design.Known(v)} }
	rows := []Row{
		{Key: "cheap and hopeless", Verdict: design.Over, Cost: cost(0.1), Headroom: design.Known(0.01)},
		{Key: "dear and near", Verdict: design.Over, Cost: cost(5), Headroom: design.Known(0.9)},
		{Key: "cheap and vague", Verdict: design.Unproven, Cost: cost(0.1), Unproven: 4},
		{Key: "dear and nearly known", Verdict: design.Unproven, Cost: cost(5), Unproven: 1},
		{Key: "as well known and cheaper", Verdict: design.Unproven, Cost: cost(4), Unproven: 1},
	}
	var got []string
	for _, r := range Arrange(rows, View{Order: ByCost}).Rows {
		got = append(got, r.Key)
	}
	want := []string{"as well known and cheaper", "dear and nearly known", "cheap and vague", "dear and near", "cheap and hopeless"}
	if !slices.Equal(got, want) {
		t.Errorf("got %q", got)
	}
}
