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
	out := bandsOf(cat, d, d.Elements, design.StageSelf)
	if d.Driver == nil {
		return out
	}
	return append(out, bandsOf(cat, d.Driver, d.Driver.Elements, design.StageDriver)...)
}

func bandsOf(cat *catalog.Catalog, d *design.Design, elements []design.Element, of design.Stage) (out []Banded) {
	for _, e := range elements {
		if e.Kind != "resistor" || !e.HasValue || e.Role == design.RoleLoad { // a level shifter's load is the stage's
			continue
		}
		b := Banded{Stage: of, Ref: e.Ref, Role: design.Role(e.Told()), Ohms: e.Value, Part: e.Part, Tol: toleranceOf(cat, d, &e)}
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
