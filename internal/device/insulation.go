package device

import (
	"math"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/job"
)

// Insulation distances follow IEC 60664-1:2020, up to 2000 m above sea level,
// inhomogeneous field. Rows that published notes quote are named in the tests;
// the rest of each table is from memory.

// impulseRows is the rated impulse voltage, V, by the voltage line to neutral, V,
// and overvoltage category I to IV (Table F.1).
var impulseRows = [...]struct {
	v       float64
	impulse [4]float64
}{
	{50, [4]float64{330, 500, 800, 1500}},
	{100, [4]float64{500, 800, 1500, 2500}},
	{150, [4]float64{800, 1500, 2500, 4000}},
	{300, [4]float64{1500, 2500, 4000, 6000}},
	{600, [4]float64{2500, 4000, 6000, 8000}},
	{1000, [4]float64{4000, 6000, 8000, 12000}},
}

// impulseSteps is the preferred series of impulse voltages, V.
var impulseSteps = [...]float64{330, 500, 800, 1500, 2500, 4000, 6000, 8000, 12000}

// clearanceRows is the least clearance, mm, for pollution degrees 1 to 3 by the
// impulse voltage, V (Table F.2, case A).
var clearanceRows = [...]struct {
	v  float64
	mm [3]float64
}{
	{330, [3]float64{0.01, 0.2, 0.8}}, {500, [3]float64{0.04, 0.2, 0.8}}, {800, [3]float64{0.1, 0.2, 0.8}},
	{1500, [3]float64{0.5, 0.5, 0.8}}, {2500, [3]float64{1.5, 1.5, 1.5}}, {4000, [3]float64{3, 3, 3}},
	{6000, [3]float64{5.5, 5.5, 5.5}}, {8000, [3]float64{8, 8, 8}}, {12000, [3]float64{14, 14, 14}},
}

// creepageRows is the least creepage, mm, by working voltage, V RMS: pollution
// degree 1, then degrees 2 and 3 for material groups I, II and III (Table F.5).
var creepageRows = [...]struct {
	v, pd1   float64
	pd2, pd3 [3]float64
}{
	{10, 0.08, [3]float64{0.40, 0.40, 0.40}, [3]float64{1.00, 1.00, 1.00}},
	{12.5, 0.09, [3]float64{0.42, 0.42, 0.42}, [3]float64{1.05, 1.05, 1.05}},
	{16, 0.10, [3]float64{0.45, 0.45, 0.45}, [3]float64{1.10, 1.10, 1.10}},
	{20, 0.11, [3]float64{0.48, 0.48, 0.48}, [3]float64{1.20, 1.20, 1.20}},
	{25, 0.125, [3]float64{0.50, 0.50, 0.50}, [3]float64{1.25, 1.25, 1.25}},
	{32, 0.14, [3]float64{0.53, 0.53, 0.53}, [3]float64{1.30, 1.30, 1.30}},
	{40, 0.16, [3]float64{0.56, 0.80, 1.10}, [3]float64{1.40, 1.60, 1.80}},
	{50, 0.18, [3]float64{0.60, 0.85, 1.20}, [3]float64{1.50, 1.70, 1.90}},
	{63, 0.20, [3]float64{0.63, 0.90, 1.25}, [3]float64{1.60, 1.80, 2.00}},
	{80, 0.22, [3]float64{0.67, 0.95, 1.30}, [3]float64{1.70, 1.90, 2.10}},
	{100, 0.25, [3]float64{0.71, 1.00, 1.40}, [3]float64{1.80, 2.00, 2.20}},
	{125, 0.28, [3]float64{0.75, 1.05, 1.50}, [3]float64{1.90, 2.10, 2.40}},
	{160, 0.32, [3]float64{0.80, 1.10, 1.60}, [3]float64{2.00, 2.20, 2.50}},
	{200, 0.42, [3]float64{1.00, 1.40, 2.00}, [3]float64{2.50, 2.80, 3.20}},
	{250, 0.56, [3]float64{1.25, 1.80, 2.50}, [3]float64{3.20, 3.60, 4.00}},
	{320, 0.75, [3]float64{1.60, 2.20, 3.20}, [3]float64{4.00, 4.50, 5.00}},
	{400, 1.0, [3]float64{2.00, 2.80, 4.00}, [3]float64{5.00, 5.60, 6.30}},
	{500, 1.3, [3]float64{2.50, 3.60, 5.00}, [3]float64{6.30, 7.10, 8.00}},
	{630, 1.8, [3]float64{3.20, 4.50, 6.30}, [3]float64{8.00, 9.00, 10.0}},
	{800, 2.4, [3]float64{4.00, 5.60, 8.00}, [3]float64{10.0, 11.0, 12.5}},
	{1000, 3.2, [3]float64{5.00, 7.10, 10.0}, [3]float64{12.5, 14.0, 16.0}},
}

// InsulationDemand is what insulation between the pin's side and the load must
// bear. Lengths are in metres.
type InsulationDemand struct {
	Working   float64       // V RMS or DC: the nominal rail
	Impulse   design.Number // V
	Clearance design.Number // m
	Creepage  design.Number // m
}

// InsulationFor is the demand of a grade on a circuit of nominal voltage v (V
// RMS, or DC), overvoltage category I to IV, pollution degree 1 to 3 and
// material group I, II, IIIa or IIIb. Reinforced insulation takes the next step
// of impulse voltage and twice the creepage; a creepage is never less than its
// clearance. Past the tables, or for a word they do not have, a figure is unknown.
func InsulationFor(v float64, category string, pollution int, group string, grade job.Insulation) InsulationDemand {
	d := InsulationDemand{Working: v}
	steps := 0
	if grade == job.InsulationReinforced {
		steps = 1
	}
	d.Impulse = ImpulseVoltage(v, category, steps)
	if d.Impulse.OK {
		d.Clearance = Clearance(d.Impulse.V, pollution)
	}
	d.Creepage = Creepage(v, pollution, group)
	if d.Creepage.OK && steps > 0 {
		d.Creepage.V *= 2
	}
	if d.Creepage.OK && d.Clearance.OK {
		d.Creepage.V = max(d.Creepage.V, d.Clearance.V)
	}
	return d
}

// ImpulseVoltage is the rated impulse voltage, V, of a supply of v volts line to
// neutral in an overvoltage category, so many steps of the preferred series up.
func ImpulseVoltage(v float64, category string, steps int) design.Number {
	col := -1
	for k, name := range [...]string{"I", "II", "III", "IV"} {
		if name == category {
			col = k
		}
	}
	if col < 0 {
		return design.Number{}
	}
	for k := range impulseRows {
		if !design.AtMost(v, impulseRows[k].v) {
			continue
		}
		for n := range impulseSteps {
			if impulseSteps[n] == impulseRows[k].impulse[col] && n+steps < len(impulseSteps) {
				return design.Known(impulseSteps[n+steps])
			}
		}
		break
	}
	return design.Number{}
}

// Clearance is the least clearance, m, for an impulse voltage, V, and a pollution
// degree of 1 to 3.
func Clearance(impulse float64, pollution int) design.Number {
	if pollution < 1 || pollution > 3 {
		return design.Number{}
	}
	for k := range clearanceRows {
		if design.AtMost(impulse, clearanceRows[k].v) {
			return design.Known(clearanceRows[k].mm[pollution-1] / 1000)
		}
	}
	return design.Number{}
}

// Creepage is the least creepage of basic insulation, m, for a working voltage, V
// RMS (the next row up), a pollution degree of 1 to 3 and a material group.
func Creepage(v float64, pollution int, group string) design.Number {
	col := -1
	switch group {
	case "I":
		col = 0
	case "II":
		col = 1
	case "IIIa", "IIIb":
		col = 2
	}
	if col < 0 || group == "IIIb" && pollution == 3 && v > 630 {
		return design.Number{}
	}
	for k := range creepageRows {
		r := &creepageRows[k]
		if !design.AtMost(v, r.v) {
			continue
		}
		switch pollution {
		case 1:
			return design.Known(r.pd1 / 1000)
		case 2:
			return design.Known(r.pd2[col] / 1000)
		case 3:
			return design.Known(r.pd3[col] / 1000)
		}
		break
	}
	return design.Number{}
}

// GradeOf is the grade that a part states.
func GradeOf(i *catalog.Isolation) job.Insulation {
	if i == nil {
		return job.InsulationNone
	}
	switch i.Insulation {
	case "functional":
		return job.InsulationFunctional
	case "basic":
		return job.InsulationBasic
	case "reinforced":
		return job.InsulationReinforced
	}
	return job.InsulationNone
}

// InsulationFigure is one of the figures that insulation is judged by.
type InsulationFigure struct {
	Key          string // of the part: "isolation.clearance"
	Unit         design.Unit
	Need, Have   design.Number
	GradeAsGrade bool // Need and Have are grades
}

// WorstInsulation is the figure with the least reserve of what a part states
// against a demand; one that is not stated comes before any that is. A grade
// under the one asked for comes first of all.
func WorstInsulation(i *catalog.Isolation, asked job.Insulation, d InsulationDemand) InsulationFigure {
	if i == nil {
		return InsulationFigure{Key: "isolation.v_working_max", Unit: design.V, Need: design.Known(d.Working)}
	}
	if GradeOf(i) < asked {
		return InsulationFigure{Key: "isolation.insulation", Unit: design.One, GradeAsGrade: true,
			Need: design.Known(float64(asked)), Have: design.Known(float64(GradeOf(i)))}
	}
	working := InsulationFigure{Key: "isolation.v_working_max", Unit: design.V, Need: design.Known(d.Working), Have: known(i.VWorking.Get())}
	if asked <= job.InsulationFunctional {
		if !working.Have.OK && i.VDielectric.Known() {
			working.Key, working.Have = "isolation.v_dielectric", known(i.VDielectric.Get())
		}
		return working
	}
	worst := working
	for _, f := range [...]InsulationFigure{
		{Key: "isolation.v_impulse", Unit: design.V, Need: d.Impulse, Have: known(i.VImpulse.Get())},
		{Key: "isolation.clearance", Unit: design.Metres, Need: d.Clearance, Have: known(i.Clearance.Get())},
		{Key: "isolation.creepage", Unit: design.Metres, Need: d.Creepage, Have: known(i.Creepage.Get())},
	} {
		if f.reserve() < worst.reserve() {
			worst = f
		}
	}
	return worst
}

// reserve orders figures: what is unknown has none at all.
func (f *InsulationFigure) reserve() float64 {
	if !f.Need.OK || !f.Have.OK {
		return -1
	}
	if f.Need.V <= 0 {
		return math.Inf(1)
	}
	return f.Have.V / f.Need.V
}
