package design

import "slices"

// Clone is a copy that shares no list with d, for a design whose lists are room
// to be used again. The parts of a check are shared: nobody changes them.
func (d *Design) Clone() *Design {
	c := *d
	c.Checks, c.NA, c.Values, c.Nominal = slices.Clone(d.Checks), slices.Clone(d.NA), slices.Clone(d.Values), slices.Clone(d.Nominal)
	c.Elements, c.BOM, c.Cautions, c.Draws = slices.Clone(d.Elements), slices.Clone(d.BOM), slices.Clone(d.Cautions), slices.Clone(d.Draws)
	return &c
}
