package sheet

import (
	"encoding/csv"
	"slices"
	"strings"

	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
)

// Swept tells a sweep: what is moved, what the stage is where it stands, and each
// place where a verdict changes.
func Swept(res *engine.Result, row *engine.Row, s *engine.Swept) *Doc {
	say := func(x float64) string { return Solved(x, s.Of.Unit) }
	d := &Doc{Title: "What if: " + s.Of.Field + " of " + row.Key + ", policy " + res.Policy}
	if text := policyText(res); text != "" {
		d.para(text)
	}
	d.para(MovedName(&s.Of) + ", from " + say(s.Points[0].X) + " to " + say(s.Points[len(s.Points)-1].X) + "; now it is " + say(s.Of.Now) + ", and the stage " +
		verdictText(s.Here.Verdict, res.Policy) + ". Every part stays as it is, and the load stays the same thing.")
	if len(s.Crossings) == 0 {
		d.para("No verdict changes between these ends.")
		return d
	}
	t := &Table{Head: []string{"last", "first", "check", "its verdict", "the stage"}, Right: []bool{true, true, false, false, false}}
	change := func(a, b design.Verdict) string {
		return a.Sign() + " " + a.String() + " to " + b.Sign() + " " + b.String()
	}
	for i := range s.Crossings {
		c := &s.Crossings[i]
		cells := []string{say(c.Low), say(c.High), checkTitle(c.ID, c.Stage), change(c.Before, c.After), ""}
		switch {
		case c.Ends:
			cells[2], cells[3] = "", "no such stage on one side: "+c.Out
		case c.Changes():
			cells[4] = c.DesignBefore.Sign() + " to " + c.DesignAfter.Sign()
		}
		t.Rows = append(t.Rows, cells)
	}
	d.table(t)
	d.para("Each line is solved: the last value that prints in full before the change and the first after it, the stage made at both.")
	return d
}

// sweptHead is the first line of the CSV of a sweep: a line is the stage at one value.
var sweptHead = []string{"key", "field", "unit", "value", "verdict", "headroom", "limiting", "limiting_stage", "changed", "no_stage"}

// SweptCSV is Swept as CSV, numbers in SI (temperatures in degC, fractions as ratios): a
// line for each value of the grid and for both sides of each change, in order. changed
// lists the checks whose verdict changed since the line before, as "id was>is", with the
// stage in front of one of the driver's.
func SweptCSV(key string, s *engine.Swept) (string, error) {
	var b strings.Builder
	w := csv.NewWriter(&b)
	if err := w.Write(sweptHead); err != nil {
		return "", err
	}
	for i := range s.Points {
		p := &s.Points[i]
		verdict, limiting, stage := "", "", ""
		if p.Out == "" {
			verdict = p.Verdict.String()
		}
		if p.Limiting != nil {
			limiting, stage = p.Limiting.ID.String(), p.Limiting.Stage.String()
		}
		cells := []string{key, s.Of.Field, string(s.Of.Unit), csvNumber(design.Known(p.X)), verdict, csvNumber(p.Headroom), limiting, stage, changedAt(s, p.X), p.Out}
		for k := range cells {
			cells[k] = oneLine(cells[k])
		}
		if err := w.Write(cells); err != nil {
			return "", err
		}
	}
	w.Flush()
	return b.String(), w.Error()
}

// changedAt lists the checks that have another verdict from a value on.
func changedAt(s *engine.Swept, x float64) string {
	var words []string
	for i := range s.Crossings {
		c := &s.Crossings[i]
		if c.Ends || c.High != x {
			continue
		}
		words = append(words, strings.TrimSpace(c.Stage.String()+" "+c.ID.String())+" "+c.Before.String()+">"+c.After.String())
	}
	return strings.Join(words, "; ")
}

type jsonSwept struct {
	Schema        int            `json:"schema"`
	Tool          string         `json:"tool"`
	CatalogDigest string         `json:"catalog_digest"`
	JobDigest     string         `json:"job_digest"`
	Policy        string         `json:"policy"`
	PolicyNote    jsonPolicy     `json:"policy_note"`
	Key           string         `json:"key"`
	Field         string         `json:"field"`
	Unit          string         `json:"unit"`
	Now           float64        `json:"now"`
	Points        []jsonSweptAt  `json:"points"`
	Changes       []jsonCrossing `json:"changes"`
}

// jsonSweptAt is the stage at one value; its verdict is null where there is no such stage.
type jsonSweptAt struct {
	Value    float64     `json:"value"`
	Verdict  *string     `json:"verdict"`
	Headroom num         `json:"headroom"`
	Limiting *jsonLimit  `json:"limiting"`
	Checks   []jsonSwing `json:"checks"`
	NoStage  string      `json:"no_stage"`
}

type jsonSwing struct {
	ID       string `json:"id"`
	Stage    string `json:"stage"`
	Verdict  string `json:"verdict"`
	Headroom num    `json:"headroom"`
}

// jsonCrossing is a place of change; its check is null where the stage itself ends.
type jsonCrossing struct {
	Low     float64    `json:"low"`
	High    float64    `json:"high"`
	Check   *jsonLimit `json:"check"`
	Verdict *jsonTurn  `json:"verdict"`
	Design  jsonTurn   `json:"design_verdict"`
	NoStage string     `json:"no_stage"`
}

// jsonTurn is a verdict on both sides of a change, null on a side without a stage.
type jsonTurn struct {
	Before *string `json:"before"`
	After  *string `json:"after"`
}

// SweptJSON is Swept as one JSON object, numbers in SI (temperatures in degC, fractions as
// ratios), null where unknown: the stage at each value of the grid and on both sides of
// each change, and the changes, each between the last value before and the first after.
func SweptJSON(res *engine.Result, key string, s *engine.Swept) ([]byte, error) {
	out := jsonSwept{Schema: schemaVersion, Tool: toolName, CatalogDigest: res.CatalogDigest, JobDigest: res.JobDigest, Policy: res.Policy,
		PolicyNote: jsonPolicyOf(&res.Note), Key: key, Field: s.Of.Field, Unit: string(s.Of.Unit), Now: s.Of.Now, Points: []jsonSweptAt{}, Changes: []jsonCrossing{}}
	for i := range s.Points {
		p := &s.Points[i]
		at := jsonSweptAt{Value: p.X, Verdict: verdictAt(s, p.X), Headroom: num(p.Headroom), Checks: []jsonSwing{}, NoStage: p.Out}
		if p.Limiting != nil {
			at.Limiting = &jsonLimit{p.Limiting.ID.String(), p.Limiting.Stage.String()}
		}
		for _, m := range p.Marks {
			at.Checks = append(at.Checks, jsonSwing{m.ID.String(), m.Stage.String(), m.Verdict.String(), num(m.Headroom)})
		}
		out.Points = append(out.Points, at)
	}
	for i := range s.Crossings {
		c := &s.Crossings[i]
		x := jsonCrossing{Low: c.Low, High: c.High, NoStage: c.Out, Design: jsonTurn{verdictAt(s, c.Low), verdictAt(s, c.High)}}
		if !c.Ends {
			before, after := c.Before.String(), c.After.String()
			x.Check, x.Verdict = &jsonLimit{c.ID.String(), c.Stage.String()}, &jsonTurn{&before, &after}
		}
		out.Changes = append(out.Changes, x)
	}
	return encode(out)
}

// verdictAt is the verdict of the stage at a value of its sweep, nil where there is none.
func verdictAt(s *engine.Swept, x float64) *string {
	i := slices.IndexFunc(s.Points, func(p engine.SweepPoint) bool { return p.X == x })
	if i < 0 || s.Points[i].Out != "" {
		return nil
	}
	word := s.Points[i].Verdict.String()
	return &word
}
