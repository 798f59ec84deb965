package load

import (
	"math"

	"example.org/pinhoist/internal/copper"
	"example.org/pinhoist/internal/waveform"
)

// wire fills what the run of wires to the load adds, out and back.
func (m *Model) wire() {
	a := float64(m.WireArea)
	if a <= 0 {
		return
	}
	solid := 2 * float64(m.WireLength) * copper.Resistivity / a
	m.RWire, m.RWireMin = solid*stranding*CopperRatio(m.TMax), solid*CopperRatio(m.TMin)
	m.LWire, m.LWireMin = waveform.PairInductance(float64(m.WireLength), a), waveform.LeastInductance(float64(m.WireLength))
}

// conductor is what a wire of an area, m2, may carry, A.
type conductor struct{ area, amps float64 }

// Current of a wire. On its own in open chassis wiring, by gauge (tables of wire gauge;
// the source stands in the test), of which two wires together carry 0.9 (a bundle of
// two: ECSS-Q-ST-30-11C, table of bundle factors). In a cord of mains much less, by the
// least area for a rated current (IEC 60335-1, table of nominal areas, from memory).
var (
	chassis = []conductor{
		{gauge(30), 0.86}, {gauge(28), 1.4}, {gauge(26), 2.2}, {gauge(24), 3.5}, {gauge(22), 7},
		{gauge(20), 11}, {gauge(18), 16}, {gauge(14), 32}, {gauge(10), 55},
	}
	cord = []conductor{{0.5e-6, 3}, {0.75e-6, 6}, {1e-6, 10}, {1.5e-6, 16}, {2.5e-6, 25}, {4e-6, 32}, {6e-6, 40}}
)

// bundleOfTwo is what is left of a wire's current where another is beside it.
const bundleOfTwo = 0.9

// gauge is the area of an American wire gauge, m2: d = 0.127 mm * 92^((36 - n)/39).
func gauge(n float64) float64 {
	d := 0.127e-3 * math.Pow(92, (36-n)/39)
	return math.Pi / 4 * d * d
}

// Gauge is the American wire gauge of an area, m2, as a number that need not be whole:
// the thinner the wire, the higher. The area is more than 0.
func Gauge(area float64) float64 {
	d := math.Sqrt(4 * area / math.Pi)
	return 36 - 39*math.Log(d/0.127e-3)/math.Log(92)
}

// WireBears is what a run of two wires of that area, m2, may carry, A: the table's
// greatest that is not thicker. On a hazardous rail it is a cord, and bears the lesser of
// both tables. 0: thinner than they go.
func WireBears(area float64, hazardous bool) float64 {
	bears := bundleOfTwo * stairs(chassis, area)
	if hazardous {
		bears = min(bears, stairs(cord, area))
	}
	return bears
}

func stairs(table []conductor, area float64) float64 {
	amps := 0.0
	for _, c := range table {
		if area >= c.area*(1-1e-9) {
			amps = c.amps
		}
	}
	return amps
}

// The tables are taken to be of air up to tableAir, degrees Celsius, and PVC around a
// wire may get to pvcMax (common practice, no source).
const (
	tableAir = 40.0
	pvcMax   = 70.0
)

// WireInHotAir says why a wire bears nothing in air of pvcMax.
const WireInHotAir = "the air is as hot as the PVC around a wire may get, 70 C, and no area helps: take cooler air for the run"

// WireTooHot reports whether the run of wires bears nothing for the air alone.
func (m *Model) WireTooHot() bool { return m.WireLength > 0 && m.TMax >= pvcMax }

// inHotAir is the share of its table's current that a wire bears in air of ta, degrees
// Celsius: what heats grows with the square of the current.
func inHotAir(ta float64) float64 {
	if ta <= tableAir {
		return 1
	}
	return math.Sqrt(max(0, pvcMax-ta) / (pvcMax - tableAir))
}

// fusing decides whether a fuse is owed: on a hazardous rail always, else where a short
// draws more than a stated run of wires bears; the logic's own supply is its board's.
func (m *Model) fusing() {
	if m.WireLength > 0 && !m.Rail.IsPin {
		m.WireAmps = WireBears(float64(m.WireArea), m.Rail.Hazardous) * inHotAir(m.TMax)
		if fault, ok := m.Rail.FaultCurrent.Get(); ok && float64(fault) > m.WireAmps {
			m.FuseAsked = true
		}
	}
	m.FuseAsked = m.FuseAsked || m.Rail.Hazardous
}
