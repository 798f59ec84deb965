package sheet

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/quantity"
)

// typesCounted says what counts as a type.
const typesCounted = "A type is a transistor, relay, module or array by its id, also one that drives a relay's coil; diodes, resistors, sinks and other helpers are counted apart."

// together tells the picks of all loads: each, what they cost and ask of pins and
// rails at once, what other numbers of types would cost, and what cannot be kept.
// It is empty where one stage alone is asked for and nothing is wished.
func together(in *engine.Input, res *engine.Result) *Doc {
	d := &Doc{}
	t := &res.Together
	stages := 0
	if in.Job != nil {
		for i := range in.Job.Loads {
			stages += max(1, in.Job.Loads[i].Quantity)
		}
	}
	wished := t.Wish != engine.Wish{}
	if stages < 2 && !wished || len(t.Checks) == 0 && t.Unmet == nil {
		return d
	}
	title := "Together, all on at once unless they exclude one another"
	if wished {
		title = "Together, with " + wishText(&t.Wish)
	}
	if t.Unmet != nil {
		d.para(title + ":")
		d.items(unmetTexts(t.Unmet)...)
	}
	if len(t.Checks) > 0 {
		d.pickBlocks(t, res, title)
	}
	if len(t.Trade) > 0 {
		d.para("Types of switching part against cost, other wishes kept; a number that saves nothing is left out:")
		d.table(tradeTable(t))
		d.para(typesCounted)
	}
	return d
}

func (d *Doc) pickBlocks(t *engine.Together, res *engine.Result, title string) {
	if len(res.Loads) > 1 || t.Wish != (engine.Wish{}) {
		if t.Unmet == nil {
			d.para(title + ", the cheapest pick" + unserved(res, t) + ":")
		} else {
			d.para("The cheapest pick, totals aside:")
		}
		d.table(pickTable(res, t))
		text := fmt.Sprintf("%s; %s of switching part (%s), %s of helper.", money(t.Cost.Amount, t.Cost.Currency), count(len(t.Types), "type"),
			orNone(t.Types), count(t.Helpers, "type"))
		switch {
		case t.Unmet != nil:
		case t.Proven:
			text += " Nothing that keeps all of this is cheaper."
			if unserved(res, t) != "" {
				text += " Loads that nothing serves cost and draw nothing here."
			}
		default:
			text += " The search was ended by its bound: something cheaper may exist."
		}
		d.para(text)
	} else {
		d.para(title + ":")
	}
	var notes []string
	for i := range t.Checks {
		c := &t.Checks[i]
		words := c.Verdict.Sign() + " " + c.Verdict.String() + ": " + c.ID.String()
		if c.Because != "" {
			words += " (" + oneLine(c.Because) + ")"
		}
		notes = append(notes, words+", "+quantity.Display(c.Stress.V, "A", 4, quantity.Up)+" of "+quantity.Display(c.Rating.V, "A", 4, quantity.Down))
	}
	for i := range t.Packages {
		notes = append(notes, packageText(&t.Packages[i]))
	}
	d.items(notes...)
}

// unserved says of how many loads a pick is, where some have no design that fits.
func unserved(res *engine.Result, t *engine.Together) string {
	if n := t.Served(); n < len(res.Loads) {
		return fmt.Sprintf(" of %d of %s (nothing serves the others)", n, count(len(res.Loads), "load"))
	}
	return ""
}

// packageText says which loads share a package, and the check of it that has the
// least room.
func packageText(k *engine.Package) string {
	least, verdict := -1, design.Fits
	for i := range k.Checks {
		c := &k.Checks[i]
		worse := least < 0 || c.Verdict > verdict || c.Verdict == verdict && c.Headroom.OK && !(c.Headroom.V >= k.Checks[least].Headroom.V)
		if verdict = max(verdict, c.Verdict); worse && (c.Headroom.OK || c.Verdict > design.Tight) {
			least = i
		}
	}
	text := verdict.Sign() + " one " + k.Part + " serves " + strings.Join(k.Loads, " and ")
	if least >= 0 {
		c := &k.Checks[least]
		text += ", with all its channels on: " + c.ID.String()
		if verdict > design.Fits {
			text += " " + verdict.String()
		}
		if c.Headroom.OK {
			text += ", room " + Headroom(c.Headroom)
		}
	}
	if k.Built {
		return text + "; as built, they are taken to share it"
	}
	return text + "; its price counts once"
}

// plain is the telling below a shortlist: its lists without bullets, since each
// line begins with a sign.
func (d *Doc) plain(b *strings.Builder, width int) {
	for i := range d.Blocks {
		k := d.Blocks[i]
		items := k.Items
		k.Items = nil
		k.text(b, width, nil)
		for _, it := range items {
			hang(b, "", it, width)
		}
	}
}

func orNone(ids []string) string {
	if len(ids) == 0 {
		return "none"
	}
	return strings.Join(ids, ", ")
}

// pickTable has a row for each load.
func pickTable(res *engine.Result, t *engine.Together) *Table {
	tab := &Table{Head: []string{"load", "part", "used as", "verdict", "room", "cost"}, Right: []bool{false, false, false, false, true, true}}
	for i := range res.Loads {
		l := &res.Loads[i]
		k := slices.IndexFunc(l.Rows, func(r engine.Row) bool { return r.Key == t.Pick[i] })
		if k < 0 {
			tab.Rows = append(tab.Rows, []string{l.Name, "--", "nothing fits", "", "", ""})
			continue
		}
		r := &l.Rows[k]
		how := UsedAs(r.Topology)
		if r.Built {
			how += ", as built"
		}
		tab.Rows = append(tab.Rows, []string{l.Name, r.Part, how, r.Verdict.Sign() + " " + r.Verdict.String(), Headroom(r.Headroom), amount(r.Cost.Amount)})
	}
	return tab
}

func wishText(w *engine.Wish) string {
	var words []string
	if w.Types > 0 {
		words = append(words, "at most "+count(w.Types, "type")+" of switching part")
	}
	if w.Stocked {
		words = append(words, "only parts in stock or in the drawer")
	}
	if w.Headroom > 0 {
		words = append(words, "a headroom of at least "+strconv.FormatFloat(w.Headroom, 'f', -1, 64))
	}
	return strings.Join(words, " and ")
}

func tradeTable(t *engine.Together) *Table {
	tab := &Table{Head: []string{"types", "cost", "switching parts"}, Right: []bool{true, true, false}}
	for _, row := range t.Trade {
		cost := amount(row.Cost.Amount)
		if !row.Proven {
			cost += " or less"
		}
		tab.Rows = append(tab.Rows, []string{strconv.Itoa(row.Types), cost, orNone(row.Parts)})
	}
	return tab
}

// unmetTexts say what breaks and what would do.
func unmetTexts(u *engine.Unmet) []string {
	head := "x over: nothing keeps all of this; "
	if !u.Proven {
		head = "? unproven: nothing was found that keeps all of this before the search was ended; "
	}
	lines := []string{head + breaksText(u)}
	for i := range u.Relax {
		lines = append(lines, relaxText(&u.Relax[i]))
	}
	if len(u.Relax) == 0 && len(u.Both) > 0 {
		var words []string
		for _, b := range u.Both {
			words = append(words, boundText(b))
		}
		lines = append(lines, "No one of them is enough to give way: it can be done without "+strings.Join(words, " and ")+".")
	}
	return lines
}

func boundText(b engine.Bound) string {
	switch b {
	case engine.BoundTypes:
		return "the limit of types"
	case engine.BoundStocked:
		return "the wish for stock"
	case engine.BoundHeadroom:
		return "the headroom wished for"
	}
	return "the limits of " + string(b)
}

func breaksText(u *engine.Unmet) string {
	text := "what breaks it: " + string(u.Breaks)
	if u.Where != "" {
		text += " (" + u.Where + ")"
	}
	if len(u.Loads) > 0 {
		text += ", which leaves nothing for " + strings.Join(u.Loads, ", ")
	}
	return text + "."
}

// relaxText says the least that one bound has to give.
func relaxText(r *engine.Relax) string {
	switch r.Bound {
	case engine.BoundTypes:
		return fmt.Sprintf("With %s of switching part instead of %g it can be done.", count(int(r.To), "type"), r.From)
	case engine.BoundHeadroom:
		return fmt.Sprintf("With a headroom of %s instead of %s it can be done.", Headroom(design.Known(r.To)), strconv.FormatFloat(r.From, 'f', -1, 64))
	case engine.BoundStocked:
		return "With " + strings.Join(r.Parts, ", ") + " in stock it can be done."
	}
	what := string(r.Bound)
	if r.Where != "" {
		what += " (" + r.Where + ")"
	}
	return fmt.Sprintf("%s lacks %s: with %s instead of %s it can be done.", what, quantity.Display(r.To-r.From, string(r.Unit), 2, quantity.Up),
		quantity.Display(r.To, string(r.Unit), 4, quantity.Up), quantity.Display(r.From, string(r.Unit), 4, quantity.Down))
}

// ---- JSON ----

// jsonTogether has the pick and its checks, as ever; the rest was added.
type jsonTogether struct {
	Pick    []string    `json:"pick"`
	Checks  []jsonCheck `json:"checks"`
	Verdict string      `json:"verdict"`
	Proven  bool        `json:"proven"`
	Cost    jsonCost    `json:"cost"`
	Types   []string    `json:"types"`
	Helpers int         `json:"helpers"`
	Wish    jsonWish    `json:"wish"`
	Unmet   *jsonUnmet  `json:"unmet"`
	Trade   []jsonTrade `json:"trade"`
	// Packages are those that several loads share.
	Packages []jsonPackage `json:"packages"`
}

type jsonPackage struct {
	Part   string      `json:"part"`
	Loads  []string    `json:"loads"`
	Checks []jsonCheck `json:"checks"`
}

type jsonWish struct {
	Types    *int `json:"types"`
	Stocked  bool `json:"stocked"`
	Headroom num  `json:"headroom"`
}

type jsonUnmet struct {
	Breaks string      `json:"breaks"`
	Where  string      `json:"where"`
	Loads  []string    `json:"loads"`
	Proven bool        `json:"proven"`
	Relax  []jsonRelax `json:"relax"`
	Both   []string    `json:"both"`
}

type jsonRelax struct {
	Bound string   `json:"bound"`
	Where string   `json:"where"`
	From  num      `json:"from"`
	To    num      `json:"to"`
	Unit  string   `json:"unit"`
	Parts []string `json:"parts"`
}

type jsonTrade struct {
	Types  int      `json:"types"`
	Cost   jsonCost `json:"cost"`
	Parts  []string `json:"parts"`
	Pick   []string `json:"pick"`
	Proven bool     `json:"proven"`
}

func jsonTogetherOf(t *engine.Together) jsonTogether {
	out := jsonTogether{Pick: []string{}, Checks: []jsonCheck{}, Verdict: t.Verdict.String(), Proven: t.Proven, Cost: jsonCostOf(&t.Cost),
		Types: texts(t.Types), Helpers: t.Helpers, Trade: []jsonTrade{}, Packages: []jsonPackage{}, Wish: jsonWish{Stocked: t.Wish.Stocked}}
	if t.Wish.Types > 0 {
		out.Wish.Types = &t.Wish.Types
	}
	if t.Wish.Headroom > 0 {
		out.Wish.Headroom = known(t.Wish.Headroom)
	}
	for _, key := range t.Pick {
		if key != "" {
			out.Pick = append(out.Pick, key)
		}
	}
	for i := range t.Checks {
		out.Checks = append(out.Checks, jsonCheckOf(&t.Checks[i], nil))
	}
	if t.Unmet != nil {
		out.Unmet = jsonUnmetOf(t.Unmet)
	}
	for _, k := range t.Packages {
		j := jsonPackage{Part: k.Part, Loads: texts(k.Loads), Checks: []jsonCheck{}}
		for i := range k.Checks {
			j.Checks = append(j.Checks, jsonCheckOf(&k.Checks[i], nil))
		}
		out.Packages = append(out.Packages, j)
	}
	for i := range t.Trade {
		row := &t.Trade[i]
		out.Trade = append(out.Trade, jsonTrade{row.Types, jsonCostOf(&row.Cost), texts(row.Parts), texts(row.Pick), row.Proven})
	}
	return out
}

func jsonCostOf(m *design.Money) jsonCost {
	return jsonCost{num(exactAmount(m.Amount)), m.Currency, texts(m.Missing)}
}

func jsonUnmetOf(u *engine.Unmet) *jsonUnmet {
	out := &jsonUnmet{Breaks: string(u.Breaks), Where: u.Where, Loads: texts(u.Loads), Proven: u.Proven, Relax: []jsonRelax{}, Both: []string{}}
	for _, r := range u.Relax {
		j := jsonRelax{Bound: string(r.Bound), Where: r.Where, From: known(r.From), To: known(r.To), Unit: string(r.Unit), Parts: texts(r.Parts)}
		if r.Bound == engine.BoundStocked {
			j.From = num{}
		}
		out.Relax = append(out.Relax, j)
	}
	for _, b := range u.Both {
		out.Both = append(out.Both, string(b))
	}
	return out
}
