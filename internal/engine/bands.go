package engine

import (
	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/preferred"
)

// Banded is a resistor of a design with its colours, from the end that is read first.
type Banded struct {
	Ref   string
	Role  design.Role
	Stage design.Stage
	Ohms  float64
	Tol   float64          // a ratio
	Part  string           // the series it is from, "": stated without one
	Bands []preferred.Band // none: it has no colour code
}

// Bands are the resistors of a design in the order of its circuit, those of a coil's
// driver among them.
func Bands(cat *catalog.Catalog, d *design.Design) []Banded {
	var out []Banded
	drivers := map[string]bool{}
	if d.Driver != nil {
		for _, e := range d.Driver.Elements {
			drivers[e.Ref] = true
		}
	}
	for _, e := range d.Elements {
		if e.Kind != "resistor" || !e.HasValue {
			continue
		}
		b := Banded{Ref: e.Ref, Role: e.Role, Ohms: e.Value, Part: e.Part, Tol: toleranceOf(cat, d, &e)}
		if drivers[e.Ref] {
			b.Stage = design.StageDriver
		}
		b.Bands, _ = preferred.Bands(b.Ohms, b.Tol)
		out = append(out, b)
	}
	return out
}

// toleranceOf is what the series of a resistor states, else what was said of one of
// that value.
func toleranceOf(cat *catalog.Catalog, d *design.Design, e *design.Element) float64 {
	for i := range cat.Resistors {
		if r := &cat.Resistors[i]; r.ID == e.Part {
			return float64(r.Tolerance.Or(0))
		}
	}
	for _, x := range [...]*design.Design{d, d.Driver, d.Half} {
		if x == nil {
			continue
		}
		for _, r := range x.Choice.Resistors {
			if r.Key != "" && r.Ohms == e.Value {
				return r.Tol
			}
		}
	}
	return 0
}
