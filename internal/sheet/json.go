package sheet

import (
	"bytes"
	"encoding/json"
	"math"

	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
)

// schemaVersion is the version of the JSON's form.
const schemaVersion = 1

// toolName names the program in its JSON.
const toolName = "pinhoist"

// Candidates gives the designs in full that the JSON of a load holds, in order.
type Candidates map[string][]*engine.Detailed // by load name; never ranged over

// JSON tells a result in full: one object, numbers in SI (temperatures in degC,
// fractions as ratios), null where unknown. The same answer gives the same
// bytes. The loads are those of res; each load's candidates those given.
func JSON(res *engine.Result, full Candidates) ([]byte, error) {
	out := jsonResult{Schema: schemaVersion, Tool: toolName, CatalogDigest: res.CatalogDigest, JobDigest: res.JobDigest,
		Policy: res.Policy, PolicyNote: jsonPolicyOf(&res.Note), Loads: []jsonLoad{}, Together: jsonTogetherOf(&res.Together)}
	for i := range res.Loads {
		l := &res.Loads[i]
		out.Loads = append(out.Loads, jsonLoadOf(l, full[l.Name]))
	}
	return encode(out)
}

// encode is JSON with an indent of two and no HTML escapes.
func encode(v any) ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	if err := e.Encode(v); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

type jsonResult struct {
	Schema        int          `json:"schema"`
	Tool          string       `json:"tool"`
	CatalogDigest string       `json:"catalog_digest"`
	JobDigest     string       `json:"job_digest"`
	Policy        string       `json:"policy"`
	PolicyNote    jsonPolicy   `json:"policy_note"`
	Loads         []jsonLoad   `json:"loads"`
	Together      jsonTogether `json:"together"`
}

type jsonLoad struct {
	Name       string          `json:"name"`
	Assumed    []jsonAssumed   `json:"assumed"`
	Cautions   []jsonCaution   `json:"cautions"`
	Candidates []jsonCandidate `json:"candidates"`
	NotServed  []jsonNotServed `json:"not_served"`
}

type jsonAssumed struct {
	Field string `json:"field"`
	Value string `json:"value"`
	Why   string `json:"why"`
}

type jsonCaution struct {
	ID   string `json:"id"`
	Text string `json:"text"`
}

type jsonNotServed struct {
	Part     string `json:"part"`
	Topology string `json:"topology"`
	Why      string `json:"why"`
}

// num is a number that may be unknown; what is not finite is unknown too.
type num design.Number

func (n num) MarshalJSON() ([]byte, error) {
	if !n.OK || math.IsNaN(n.V) || math.IsInf(n.V, 0) {
		return []byte("null"), nil
	}
	return json.Marshal(n.V)
}

func known(v float64) num { return num{V: v, OK: true} }

type jsonLimit struct {
	ID    string `json:"id"`
	Stage string `json:"stage"`
}

type jsonCost struct {
	Amount   num      `json:"amount"`
	Currency string   `json:"currency"`
	Missing  []string `json:"missing_prices"`
}

type jsonValue struct {
	Value num    `json:"value"`
	Unit  string `json:"unit"`
}

type jsonArg struct {
	Name  string `json:"name"`
	Value num    `json:"value"`
	Unit  string `json:"unit"`
}

type jsonFormula struct {
	Text string    `json:"text"`
	Args []jsonArg `json:"args"`
}

type jsonFix struct {
	Kind      string   `json:"kind"`
	Field     string   `json:"field"`
	From      string   `json:"from"`
	To        string   `json:"to"`
	Value     num      `json:"value"`
	Unit      string   `json:"unit"`
	ThenFails []string `json:"then_fails"`
}

type jsonCheck struct {
	ID             string         `json:"id"`
	Stage          string         `json:"stage"`
	Stress         num            `json:"stress"`
	StressEstimate num            `json:"stress_estimate"`
	Rating         num            `json:"rating"`
	RatingEstimate num            `json:"rating_estimate"`
	Allowed        num            `json:"allowed"`
	Unit           string         `json:"unit"`
	Headroom       num            `json:"headroom"`
	Verdict        string         `json:"verdict"`
	Corner         map[string]num `json:"corner"`
	Formula        jsonFormula    `json:"formula"`
	Because        string         `json:"because"`
	Fix            []jsonFix      `json:"fix"`
	Source         string         `json:"source"`
	Assumed        []string       `json:"assumed"`
}

type jsonNotApplicable struct {
	ID    string `json:"id"`
	Stage string `json:"stage"`
	Why   string `json:"why"`
}

type jsonSuffice struct {
	Op    string `json:"op"`
	Value num    `json:"value"`
	Unit  string `json:"unit"`
}

type jsonMissing struct {
	Figure  string       `json:"figure"`
	Check   string       `json:"check"`
	Stage   string       `json:"stage"`
	Suffice *jsonSuffice `json:"would_suffice"`
}

type jsonFactor struct {
	Value num    `json:"value"`
	Check string `json:"check"`
	Stage string `json:"stage"`
}

type jsonPromise struct {
	Figure    string `json:"figure"`
	AtLeast   *num   `json:"at_least,omitempty"`
	AtMost    *num   `json:"at_most,omitempty"`
	Unit      string `json:"unit"`
	Condition string `json:"condition"`
	Check     string `json:"check"`
	Stage     string `json:"stage"`
}

type jsonElement struct {
	Ref   string   `json:"ref"`
	Role  string   `json:"role"`
	Kind  string   `json:"kind"`
	Part  string   `json:"part"`
	Value num      `json:"value"`
	Unit  string   `json:"unit"`
	Nodes []string `json:"nodes"`
}

type jsonBOM struct {
	Ref       string `json:"ref"`
	Part      string `json:"part"`
	Count     int    `json:"count"`
	UnitPrice num    `json:"unit_price"`
}

type jsonCandidate struct {
	Key           string                        `json:"key"`
	Part          string                        `json:"part"`
	Topology      string                        `json:"topology"`
	Variant       string                        `json:"variant"`
	Verdict       string                        `json:"verdict"`
	Headroom      num                           `json:"headroom"`
	Limiting      *jsonLimit                    `json:"limiting"`
	Frontier      bool                          `json:"frontier"`
	Cost          jsonCost                      `json:"cost"`
	Values        map[design.ValueKey]jsonValue `json:"values"`
	Checks        []jsonCheck                   `json:"checks"`
	NotApplicable []jsonNotApplicable           `json:"not_applicable"`
	Missing       []jsonMissing                 `json:"missing"`
	Nominal       map[design.ValueKey]jsonValue `json:"nominal"`
	Cautions      []string                      `json:"cautions"`
	LoadFactor    *jsonFactor                   `json:"load_factor"`
	Promise       []jsonPromise                 `json:"promise"`
	Elements      []jsonElement                 `json:"elements"`
	BOM           []jsonBOM                     `json:"bom"`
	Driver        *jsonCandidate                `json:"driver"`
}

func jsonLoadOf(l *engine.LoadResult, full []*engine.Detailed) jsonLoad {
	out := jsonLoad{Name: l.Name, Assumed: []jsonAssumed{}, Cautions: []jsonCaution{}, Candidates: []jsonCandidate{}, NotServed: []jsonNotServed{}}
	for _, a := range l.Assumed {
		out.Assumed = append(out.Assumed, jsonAssumed(a))
	}
	for _, c := range l.Cautions {
		out.Cautions = append(out.Cautions, jsonCaution(c))
	}
	for _, d := range full {
		out.Candidates = append(out.Candidates, jsonCandidateOf(d))
	}
	for _, n := range l.NotServed {
		out.NotServed = append(out.NotServed, jsonNotServed(n))
	}
	return out
}

func jsonCandidateOf(d *engine.Detailed) jsonCandidate {
	c := jsonDesign(d.Design, d.Fixes)
	c.Frontier = d.Row.Frontier
	for i := range d.Missing {
		c.Missing = append(c.Missing, jsonMissingOf(&d.Missing[i]))
	}
	for i := range d.Promises {
		c.Promise = append(c.Promise, jsonPromiseOf(&d.Promises[i]))
	}
	if f := d.Factor; f != nil {
		c.LoadFactor = &jsonFactor{known(f.Value), f.Check.String(), f.Stage.String()}
	}
	return c
}

// jsonDesign tells a design without what is solved for it alone.
func jsonDesign(d *design.Design, fixes [][]engine.Fix) jsonCandidate {
	c := jsonCandidate{Key: d.Key(), Part: d.Part, Topology: d.Topology, Variant: d.Variant, Verdict: d.Verdict.String(),
		Headroom: num(d.Headroom), Cost: jsonCost{num(exactAmount(d.Cost.Amount)), d.Cost.Currency, texts(d.Cost.Missing)},
		Values: jsonValues(d.Values), Nominal: jsonValues(d.Nominal), Cautions: texts(d.Cautions),
		Checks: []jsonCheck{}, NotApplicable: []jsonNotApplicable{}, Missing: []jsonMissing{}, Promise: []jsonPromise{},
		Elements: []jsonElement{}, BOM: []jsonBOM{}}
	if d.Limiting >= 0 && d.Limiting < len(d.Checks) {
		l := &d.Checks[d.Limiting]
		c.Limiting = &jsonLimit{l.ID.String(), l.Stage.String()}
	}
	for i := range d.Checks {
		var f []engine.Fix
		if i < len(fixes) {
			f = fixes[i]
		}
		c.Checks = append(c.Checks, jsonCheckOf(&d.Checks[i], f))
	}
	for _, n := range d.NA {
		c.NotApplicable = append(c.NotApplicable, jsonNotApplicable{n.ID.String(), n.Stage.String(), n.Why})
	}
	for i := range d.Elements {
		e := &d.Elements[i]
		c.Elements = append(c.Elements, jsonElement{e.Ref, string(e.Role), e.Kind, e.Part, num{e.Value, e.HasValue}, string(e.Unit), texts(e.Nodes)})
	}
	for _, b := range d.BOM {
		c.BOM = append(c.BOM, jsonBOM{b.Ref, b.Part, b.Count, num(b.UnitPrice)})
	}
	if d.Driver != nil {
		drv := jsonDesign(d.Driver, nil)
		c.Driver = &drv
	}
	return c
}

func jsonCheckOf(c *design.Check, fixes []engine.Fix) jsonCheck {
	out := jsonCheck{ID: c.ID.String(), Stage: c.Stage.String(), Stress: num(c.Stress), StressEstimate: num(c.StressEstimate),
		Rating: num(c.Rating), RatingEstimate: num(c.RatingEstimate), Allowed: num(c.Allowed), Unit: string(c.Unit),
		Headroom: num(c.Headroom), Verdict: c.Verdict.String(), Corner: map[string]num{},
		Formula: jsonFormula{c.Formula, []jsonArg{}}, Because: c.Because, Fix: []jsonFix{}, Source: c.Source, Assumed: texts(c.Figures())}
	for _, v := range c.Corner() {
		out.Corner[v.Name] = known(v.V)
	}
	for _, a := range c.Args() {
		out.Formula.Args = append(out.Formula.Args, jsonArg{a.Name, num{V: a.V, OK: !a.Absent}, string(a.Unit)})
	}
	for i := range fixes {
		out.Fix = append(out.Fix, jsonFixOf(&fixes[i]))
	}
	return out
}

func jsonFixOf(f *engine.Fix) jsonFix {
	out := jsonFix{Kind: string(f.Kind), Field: f.Field, From: f.From, To: f.To, Unit: string(f.Unit), ThenFails: []string{}}
	if f.Kind != engine.FixPart {
		out.Value = known(f.Value)
	}
	for _, id := range f.ThenFails {
		out.ThenFails = append(out.ThenFails, id.String())
	}
	return out
}

func jsonMissingOf(m *engine.Missing) jsonMissing {
	out := jsonMissing{Figure: m.Figure, Check: m.Check.String(), Stage: m.Stage.String()}
	if m.Op != "" {
		out.Suffice = &jsonSuffice{m.Op, known(m.Value), string(m.Unit)}
	}
	return out
}

func jsonPromiseOf(p *engine.Promise) jsonPromise {
	v := known(p.Value)
	out := jsonPromise{Figure: p.Figure, Unit: string(p.Unit), Condition: p.Condition, Check: p.Check.String(), Stage: p.Stage.String()}
	if p.AtMost {
		out.AtMost = &v
	} else {
		out.AtLeast = &v
	}
	return out
}

func jsonValues(values []design.Value) map[design.ValueKey]jsonValue {
	out := make(map[design.ValueKey]jsonValue, len(values))
	for _, v := range values {
		out[v.Key] = jsonValue{known(v.V), string(v.Unit)}
	}
	return out
}

// texts is a list that is never null.
func texts(s []string) []string {
	if s == nil {
		return []string{}
	}
	return s
}
