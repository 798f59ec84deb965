package sheet

import (
	"encoding/csv"
	"strconv"
	"strings"

	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
)

// csvHead names the columns of the shortlist's CSV. Numbers are SI; an unknown
// one is an empty field.
var csvHead = []string{"load", "key", "part", "title", "topology", "variant", "verdict", "headroom", "limiting",
	"limiting_stage", "frontier", "cost", "currency", "heat_w", "parts", "turn_off_s", "package", "mount"}

// CSV tells the designs that a view shows, one a line.
func CSV(in *engine.Input, res *engine.Result, o ListOptions) (string, error) {
	var b strings.Builder
	w := csv.NewWriter(&b)
	if err := w.Write(csvHead); err != nil {
		return "", err
	}
	for _, l := range lists(in, res, o) {
		for i := range l.rows() {
			if err := w.Write(csvRow(l.load.Name, l.rows()[i])); err != nil {
				return "", err
			}
		}
	}
	w.Flush()
	return b.String(), w.Error()
}

func csvRow(load string, r *engine.Row) []string {
	limiting, stage := "", ""
	if r.Limiting != nil {
		limiting, stage = r.Limiting.ID.String(), r.Limiting.Stage.String()
	}
	cells := []string{load, r.Key, r.Part, r.Title, r.Topology, r.Variant, r.Verdict.String(), csvNumber(r.Headroom), limiting,
		stage, strconv.FormatBool(r.Frontier), csvNumber(exactAmount(r.Cost.Amount)), r.Cost.Currency, csvNumber(twelve(r.Heat)),
		strconv.Itoa(r.Parts), csvNumber(r.TurnOff), r.Package, r.Mount}
	for i := range cells {
		cells[i] = oneLine(cells[i])
	}
	return cells
}

// twelve takes a number to twelve digits, without the noise of adding up.
func twelve(n design.Number) design.Number {
	n.V, _ = strconv.ParseFloat(strconv.FormatFloat(n.V, 'g', 12, 64), 64)
	return n
}

func csvNumber(n design.Number) string {
	if !n.OK {
		return ""
	}
	return strconv.FormatFloat(n.V, 'g', -1, 64)
}
