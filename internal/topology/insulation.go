package topology

import (
	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/device"
)

// insulation judges what separates a stage's input from its load: the figure that has
// the least reserve.
func (s *stage) insulation(i *catalog.Isolation) {
	l := s.l
	if !l.IsolationAsked {
		s.na(design.Isolation, "no isolation was asked")
		return
	}
	need := device.InsulationFor(l.VNom, l.OvervoltageCategory, l.PollutionDegree, l.MaterialGroup, l.Isolation)
	f := device.WorstInsulation(i, l.Isolation, need)
	c := s.check(design.Isolation, f.Unit)
	c.Stress, c.Rating = f.Need, f.Have
	if !f.Need.OK {
		c.Because = "the demand is past the tables of distances"
	}
	if !f.Have.OK {
		c.Because = "not stated"
		c.Needs(f.Key)
	}
	if l.Rail.Hazardous && (!f.Have.OK || !f.Need.OK) {
		c.Rating = design.Known(0)
		if !f.Need.OK {
			c.NoSolution = true
		}
	}
	c.Formula = isolationFormula(f.Key)
	c.SetCorner(design.CornerValue{Name: "rail", V: l.VNom})
	judge(c)
}

func isolationFormula(key string) string {
	switch key {
	case "isolation.insulation":
		return "grade asked {stress}, grade stated {rating} (1 functional, 2 basic, 3 reinforced)"
	case "isolation.v_impulse":
		return "impulse voltage of the system and category {stress}, stated {rating}"
	case "isolation.clearance":
		return "clearance needed {stress}, stated {rating}"
	case "isolation.creepage":
		return "creepage needed {stress}, stated {rating}"
	case "isolation.v_dielectric":
		return "nominal rail {stress}, dielectric test voltage {rating}"
	}
	return "working voltage {stress}, stated {rating}"
}
