package sheet

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"slices"
	"strconv"
	"strings"

	"example.org/pinhoist/catalog"
)

// PartsOf is a catalogue with the parts of one kind alone; "" is all of them.
func PartsOf(c *catalog.Catalog, kind catalog.Kind) []catalog.Part {
	var out []catalog.Part
	for _, p := range c.Parts() {
		if kind == "" || p.Kind() == kind {
			out = append(out, p)
		}
	}
	return out
}

var partsHead = []string{"id", "kind", "title", "package", "price", "currency", "stock", "provenance"}

// PartsText tells parts as a table for each kind.
func PartsText(parts []catalog.Part, width int) string {
	d := &Doc{}
	var t *Table
	var kind catalog.Kind
	for _, p := range parts {
		b := p.Base()
		if t == nil || p.Kind() != kind {
			kind = p.Kind()
			t = &Table{Head: []string{"id", "price", "title"}, Right: []bool{false, true, false}}
			d.heading(string(kind))
			d.table(t)
		}
		price := "--"
		if b.Price != nil {
			price = strconv.FormatFloat(b.Price.Amount, 'f', 2, 64)
		}
		t.Rows = append(t.Rows, []string{b.ID, price, b.Title})
	}
	d.heading("all")
	d.para(count(len(parts), "part") + ", generic sets of figures, not products. --format json has every figure.")
	return strings.TrimPrefix(d.Text(width, nil), "\n")
}

// PartsCSV tells parts one a line.
func PartsCSV(parts []catalog.Part) (string, error) {
	var b strings.Builder
	w := csv.NewWriter(&b)
	if err := w.Write(partsHead); err != nil {
		return "", err
	}
	for _, p := range parts {
		c := p.Base()
		price, currency, stock := "", "", ""
		if c.Price != nil {
			price, currency = strconv.FormatFloat(c.Price.Amount, 'g', -1, 64), c.Price.Currency
		}
		if c.Stock != nil {
			stock = strconv.Itoa(*c.Stock)
		}
		cells := []string{c.ID, string(p.Kind()), c.Title, c.Package, price, currency, stock, c.Provenance}
		for i := range cells {
			cells[i] = oneLine(cells[i])
		}
		if err := w.Write(cells); err != nil {
			return "", err
		}
	}
	w.Flush()
	return b.String(), w.Error()
}

// PartsJSON tells the parts of one kind, or all of them, for other programs.
func PartsJSON(c *catalog.Catalog, kind catalog.Kind) ([]byte, error) {
	text, err := catalog.PartsJSON(c)
	if err != nil || kind == "" {
		return append(text, '\n'), err
	}
	var d struct {
		Schema int               `json:"schema"`
		Parts  []json.RawMessage `json:"parts"`
	}
	if err := json.Unmarshal(text, &d); err != nil {
		return nil, err
	}
	prefix := []byte(`{"kind":"` + string(kind) + `"`)
	d.Parts = slices.DeleteFunc(d.Parts, func(p json.RawMessage) bool { return !bytes.HasPrefix(p, prefix) })
	text, err = json.Marshal(d)
	return append(text, '\n'), err
}
