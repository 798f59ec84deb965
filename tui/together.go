package tui

import (
	"fmt"
	"slices"
	"strings"

	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/sheet"
)

// togetherItems tells the picks of all loads, and whether pins, groups and rails
// bear them at once.
func togetherItems(res *engine.Result) []pageItem {
	if res == nil {
		return []pageItem{{"", "There is no answer yet."}}
	}
	t := &res.Together
	items := []pageItem{{"", "The cheapest design that fits for every load, so that pins, groups of pins and rails bear all of them at once."}, {}}
	for i := range res.Loads {
		l := &res.Loads[i]
		text := "no pick: no design fits, or not beside the other loads"
		if i < len(t.Pick) && t.Pick[i] != "" {
			text = designName(t.Pick[i])
			if k := slices.IndexFunc(l.Rows, func(r engine.Row) bool { return r.Key == t.Pick[i] }); k >= 0 {
				r := &l.Rows[k]
				text = fmt.Sprintf("%s as %s: %s %s, headroom %s, cost %s", clean(r.Part), usedAs(r), r.Verdict.Sign(), r.Verdict, sheet.Headroom(r.Headroom), sheet.Amount(r.Cost.Amount))
			}
		}
		items = append(items, pageItem{clean(l.Name), text})
	}
	items = append(items, pageItem{})
	for i := range t.Checks {
		c := &t.Checks[i]
		stress, rating, allowed := sheet.Sides(c)
		if allowed == "" || !c.Allowed.OK {
			allowed = rating
		}
		text := fmt.Sprintf("%s of %s, headroom %s", stress, allowed, sheet.Headroom(c.Headroom))
		if c.Because != "" {
			text += "; " + clean(c.Because)
		}
		items = append(items, pageItem{c.Verdict.Sign() + " " + c.Verdict.String() + " " + sheet.ShortCheck(c.ID, c.Stage), text})
	}
	if len(t.Checks) == 0 {
		items = append(items, pageItem{"", "There are no totals to judge: no pick was made."})
	}
	if t.Cost.Amount.OK {
		items = append(items, pageItem{"cost of all", sheet.Amount(t.Cost.Amount) + " " + clean(t.Cost.Currency)})
	}
	if len(t.Types) > 0 {
		items = append(items, pageItem{"switches", clean(strings.Join(t.Types, ", "))})
	}
	return items
}
