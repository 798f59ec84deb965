package sheet

import (
	"encoding/csv"
	"strconv"
	"strings"

	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/quantity"
)

// Clamps tells every clamp that a design could have, with what each gains and
// costs.
func Clamps(res *engine.Result, row *engine.Row, rows []engine.ClampRow) *Doc {
	d := &Doc{Title: "Clamps of " + row.Key + ", policy " + res.Policy}
	if text := policyText(res); text != "" {
		d.para(text)
	}
	if len(rows) == 0 {
		d.para("Nothing inductive is switched: there is nothing to clamp.")
		return d
	}
	for _, st := range [...]design.Stage{design.StageSelf, design.StageDriver} {
		for _, at := range [...]engine.Placement{engine.AcrossLoad, engine.AcrossSwitch, engine.NoClamp} {
			var of []engine.ClampRow
			for _, r := range rows {
				if r.Stage == st && r.Placement == at {
					of = append(of, r)
				}
			}
			if len(of) > 0 {
				d.heading(clampHeading(st, at))
				d.table(clampTable(of))
			}
		}
	}
	d.para("*: what the design has. Each row is the whole design with that clamp, all else as it stands: its verdict, or what runs out first. " +
		"Peak: the voltage at the switch. Decay: until the current lets go; release: with what moves. Energy: what the clamp, or the switch that breaks down, " +
		"takes per opening. The lower the peak, the longer the current lasts.")
	for i := range rows {
		if rows[i].RC.OK {
			d.para("The resistor and the capacitor across the contact are the old rule of thumb, C = I^2/10 uF and R = V/(10*I^(1 + 50/V)) ohm, " +
				"with as much capacitance as keeps the contact under 300 V and the slope under 1 V/us. They spare the contact; its figure for windings is not bettered by them.")
			break
		}
	}
	return d
}

func clampHeading(st design.Stage, at engine.Placement) string {
	whose := map[design.Stage]string{design.StageSelf: "load", design.StageDriver: "relay's coil"}[st]
	switch at {
	case engine.AcrossLoad:
		return "Across the " + whose
	case engine.AcrossSwitch:
		return "Across the switch of the " + whose
	}
	return "Nothing across the " + whose
}

func clampTable(rows []engine.ClampRow) *Table {
	t := &Table{Head: []string{"clamp", "verdict", "peak", "decay", "release", "energy", "power", "cost"},
		Right: []bool{false, false, true, true, true, true, true, true}}
	for i := range rows {
		r := &rows[i]
		name := strings.Join(r.Parts, " + ")
		if len(r.Parts) == 0 {
			name = "none"
		}
		if r.RC.OK {
			name = inUnit(r.RC, design.Ohm) + " + " + name
		}
		if r.Chosen {
			name += " *"
		}
		verdict := r.Verdict.Sign() + " " + r.Verdict.String()
		if r.Verdict != design.Fits && r.Limiting != nil {
			verdict = r.Verdict.Sign() + " " + ShortCheck(r.Limiting.ID, r.Limiting.Stage)
		}
		t.Rows = append(t.Rows, []string{name, verdict, inUnit(r.VPeak, design.V), inUnit(r.TDecay, design.S), inUnit(r.TRelease, design.S),
			inUnit(r.Energy, design.J), inUnit(r.Power, design.W), amount(r.Cost.Amount)})
	}
	return t
}

// inUnit prints a figure of which more is worse, rounded up; a dash where unknown.
func inUnit(n design.Number, u design.Unit) string {
	if !n.OK {
		return "--"
	}
	return quantity.Display(n.V, string(u), 3, quantity.Up)
}

// clampHead is the first line of the CSV of clamps.
var clampHead = []string{"key", "stage", "clamp", "across", "chosen", "verdict", "turn_off_verdict", "limiting", "limiting_stage", "headroom",
	"v_peak_off", "t_decay", "t_release", "e_turnoff", "p_clamp", "cost", "design_cost", "currency", "r_snubber"}

// ClampsCSV is Clamps as CSV, numbers in SI.
func ClampsCSV(key string, rows []engine.ClampRow) (string, error) {
	var b strings.Builder
	w := csv.NewWriter(&b)
	if err := w.Write(clampHead); err != nil {
		return "", err
	}
	for i := range rows {
		r := &rows[i]
		limiting, stage := "", ""
		if r.Limiting != nil {
			limiting, stage = r.Limiting.ID.String(), r.Limiting.Stage.String()
		}
		cells := []string{key, r.Stage.String(), strings.Join(r.Parts, "+"), string(r.Placement), strconv.FormatBool(r.Chosen), r.Verdict.String(),
			r.TurnOff.String(), limiting, stage, csvNumber(r.Headroom), csvNumber(r.VPeak), csvNumber(r.TDecay), csvNumber(r.TRelease),
			csvNumber(r.Energy), csvNumber(r.Power), csvNumber(r.Cost.Amount), csvNumber(exactAmount(r.Whole.Amount)), r.Whole.Currency, csvNumber(r.RC)}
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

type jsonClamps struct {
	Schema        int         `json:"schema"`
	Tool          string      `json:"tool"`
	CatalogDigest string      `json:"catalog_digest"`
	JobDigest     string      `json:"job_digest"`
	Policy        string      `json:"policy"`
	PolicyNote    jsonPolicy  `json:"policy_note"`
	Key           string      `json:"key"`
	Clamps        []jsonClamp `json:"clamps"`
}

type jsonClamp struct {
	Stage    string     `json:"stage"`
	Parts    []string   `json:"parts"`
	Across   string     `json:"across"`
	RC       num        `json:"r_snubber"`
	Chosen   bool       `json:"chosen"`
	Verdict  string     `json:"verdict"`
	TurnOff  string     `json:"turn_off_verdict"`
	Limiting *jsonLimit `json:"limiting"`
	Headroom num        `json:"headroom"`
	VPeak    num        `json:"v_peak_off"`
	TDecay   num        `json:"t_decay"`
	TRelease num        `json:"t_release"`
	Energy   num        `json:"e_turnoff"`
	Power    num        `json:"p_clamp"`
	Cost     jsonCost   `json:"cost"`
	Whole    jsonCost   `json:"design_cost"`
}

// ClampsJSON is Clamps as one JSON object, numbers in SI, null where unknown.
func ClampsJSON(res *engine.Result, key string, rows []engine.ClampRow) ([]byte, error) {
	out := jsonClamps{Schema: schemaVersion, Tool: toolName, CatalogDigest: res.CatalogDigest, JobDigest: res.JobDigest, Policy: res.Policy,
		PolicyNote: jsonPolicyOf(&res.Note), Key: key, Clamps: []jsonClamp{}}
	for i := range rows {
		r := &rows[i]
		j := jsonClamp{Stage: r.Stage.String(), Parts: texts(r.Parts), Across: string(r.Placement), RC: num(r.RC), Chosen: r.Chosen, Verdict: r.Verdict.String(),
			TurnOff: r.TurnOff.String(), Headroom: num(r.Headroom), VPeak: num(r.VPeak), TDecay: num(r.TDecay), TRelease: num(r.TRelease),
			Energy: num(r.Energy), Power: num(r.Power), Cost: jsonCostOf(&r.Cost), Whole: jsonCostOf(&r.Whole)}
		if r.Limiting != nil {
			j.Limiting = &jsonLimit{r.Limiting.ID.String(), r.Limiting.Stage.String()}
		}
		out.Clamps = append(out.Clamps, j)
	}
	return encode(out)
}
