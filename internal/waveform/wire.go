package waveform

import "math"

// mu0 is the magnetic constant, H/m.
const mu0 = 4e-7 * math.Pi

// usualSpacing is how far apart, in diameters of the copper, the two wires of a
// run stand where nobody says: loose in a loom (common practice, no source).
// Wires that go separate ways have two or three times the inductance.
const usualSpacing = 10

// PairInductance is the inductance, H, of a run of two wires, length metres one
// way, of area square metres of copper each: (mu0/pi)*length*(ln(d/r) + 1/4), with
// the distance d between them and their radius r. Source: the two-wire line, with
// the field inside the copper. A run without copper has none worth telling: 0.
func PairInductance(length, area float64) float64 {
	if !(length > 0) || !(area > 0) {
		return 0
	}
	return PairInductanceAt(length, math.Sqrt(area/math.Pi), 2*usualSpacing*math.Sqrt(area/math.Pi))
}

// PairInductanceAt is PairInductance for a radius and a distance between centres,
// m; wires cannot stand nearer than touching.
func PairInductanceAt(length, radius, distance float64) float64 {
	return mu0 / math.Pi * length * (math.Log(max(2, distance/radius)) + 0.25)
}

// closest is how near the two wires of a run stand, in radii of the copper from centre
// to centre: insulation of half a radius on each (common practice, no source).
const closest = 3

// LeastInductance is the inductance, H, of a run of two wires of that length at the
// least: (mu0/pi)*length*arcosh(d/2r), wires that stand as near as their insulation
// lets them and whose current has gone to the surface. Source: the two-wire line at
// high frequency.
func LeastInductance(length float64) float64 {
	return mu0 / math.Pi * max(0, length) * math.Acosh(closest/2.0)
}

// FieldEnergy is what the run holds at i amperes, J: l*i^2/2.
func FieldEnergy(l, i float64) float64 { return l * i * i / 2 }
