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
				Headroom: number(), Cost: design.Money{Amount: number()}, Heat: number(), Parts: r.IntN(3), TurnOff: number()}
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
