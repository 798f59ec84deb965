package topology

import (
	"math"
	"strings"
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/device"
	q "example.org/pinhoist/internal/quantity"
)

// By hand, a pin that lets go of the stage of TestWorkedMOSFET while it is on (DERIVED).
// At a reset its pull-up stays, 20 kohm to 5.25 V, against 3.939 kohm:
//
//	left on the gate 5.25*3939/23939 = 0.8639 V, and what leaks lifts it by less than a millivolt
//	threshold at 41.83 C 0.9159 V: what empties the gate is 0.0520 V
//	in its way 3939 || 20000 = 3291, and 1.01*270 = 273 ohm
//	way of the gate sqrt(2*1.0612*0.032*1.1212*(4.5 - 0.9159)) = 0.5224 V
//	charge 0.01 nC + 10.99 nC*0.5224 V/1 V = 5.751 nC
//	5.751 nC*3564 ohm/0.0520 V = 394 us
//
// A pin that drives low takes 3.76 us, a hundredth.
func TestWorkedLetGo(t *testing.T) {
	d := unclamped(t, handAvalanche(t, 0.1, 20, 0), workedJob("n-mosfet-low-avalanche"))
	valueNear(t, d, design.TOff, 3.7556e-6)
	// Of the energy of a breakdown 43.894 mJ come from the winding (TestWorkedAvalanche).
	c := find(d, design.Avalanche, design.StageSelf)
	edge := (c.Stress.V - 43.894e-3) / (0.5 * 1.5 * 60 * 1.0612)
	if math.Abs(edge/394e-6-1) > 0.01 {
		t.Errorf("the edge lasts %g s, want 394 us", edge)
	}
	// Low at reset, the pin's supply may still go: nothing pulls up then, and 1 uA and
	// what leaks lift 4.3 mV. 5.751 nC*(3939 + 273)/(0.9159 - 0.0048) = 26.6 us.
	d = unclamped(t, handAvalanche(t, 0.1, 20, 0), heldLow(workedJob("n-mosfet-low-avalanche")))
	c = find(d, design.Avalanche, design.StageSelf)
	edge = (c.Stress.V - 43.894e-3) / (0.5 * 1.5 * 60 * 1.0612)
	if math.Abs(edge/26.6e-6-1) > 0.01 {
		t.Errorf("the edge lasts %g s, want 26.6 us", edge)
	}
}

// A safe area that bears the driven edge and not the slow one: 4 A of 12 V with a winding
// of 5 mH into a diode, 14.5 V and 5.3 A, 77 W where the case carries 25 to 40 W away. What
// the area gives up to 10 us is far more than for 1 ms. It must not fit with a pull-down
// that takes 0.4 ms, whatever the driven edge, and it says why.
func TestLetGoFailsTheSafeArea(t *testing.T) {
	cat := handCatalog(t)
	p, _ := cat.Part("hand-n")
	p.(*catalog.MOSFET).SOA = []catalog.SOACurve{area2(t, 10e-6, 60, 60), area2(t, 1e-3, 4, 4)}
	text := strings.NewReplacer(`"0.8 A"`, `"4 A"`, `"60 mH"`, `"5 mH"`, `current_max = "3 A"`, `current_max = "9 A"`).Replace(handSolenoid)
	d, _ := handStage(t, cat, text, "n-mosfet-low", "hand-n", &Given{RPulldown: ohms(3000), RGate: ohms(270), Clamp: handClamp(), HeatSink: GivenPart{Said: true}})
	c := find(d, design.SafeArea, design.StageSelf)
	if c == nil || c.Verdict < design.Over || !strings.Contains(c.Because, "lets go") {
		t.Errorf("safe area %+v\n%s", c, show(d))
	}
	// With a charge that nobody states nobody knows how slow it is, and only an area that
	// bears it for ever would do.
	m := p.(*catalog.MOSFET)
	m.QGSMax, m.QGMax = q.Opt[q.Coulomb]{}, nil
	d, _ = handStage(t, cat, text, "n-mosfet-low", "hand-n", &Given{RPulldown: ohms(3000), RGate: ohms(270), Clamp: handClamp(), HeatSink: GivenPart{Said: true}})
	if c := find(d, design.SafeArea, design.StageSelf); c == nil || c.Verdict < design.Unproven {
		t.Errorf("no charge: safe area %+v\n%s", c, show(d))
	}
}

func area2(t *testing.T, s, at1, at60 float64) catalog.SOACurve {
	t.Helper()
	point := func(v, i float64) catalog.SOAPoint {
		return catalog.SOAPoint{V: q.Some(q.Volt(v)), I: q.Some(q.Amp(i))}
	}
	return catalog.SOACurve{T: catalog.PulseTime{T: q.Second(s), Set: true}, Points: []catalog.SOAPoint{point(1, at1), point(60, at60)}}
}

// What empties a base that the pin let go of (DERIVED): 0.6 V on a bleed of 10 kohm are 60
// uA, less 1 uA that the pin leaks. Pulled up by 20 kohm and 1 kohm from 5.25 V, 0.6/10k -
// (5.25 - 0.6)/21k is under nothing: it stays on. A bleed of 2 kohm: 300 - 221.4 uA = 78.6 uA.
func TestEmptyingAlone(t *testing.T) {
	n := npnStage{stage: stage{env: handEnv(t, "r-one-watt")}, p: &catalog.BJT{}, rb: resistor{nom: 1e3}, rbe: resistor{nom: 10e3}, vbeHot: 0.60}
	n.env.Pin.AtReset = "low" // nothing but its supply lets go
	wantNear(t, "floating", design.Known(n.emptyingAlone()), 59e-6, 1e-3)
	n.env.Pin.AtReset = "pull-up"
	wantNear(t, "pulled up, 10 kohm", design.Known(n.emptyingAlone()+1), 1, 1e-9)
	n.rbe.nom = 2e3
	wantNear(t, "pulled up, 2 kohm", design.Known(n.emptyingAlone()), 78.57e-6, 1e-3)
	n.rbe.absent = true
	wantNear(t, "no bleed", design.Known(n.emptyingAlone()+1), 1, 1e-9)
}

// More current, a greater capacitor and a hotter junction never make the charge less.
func TestOffCharge(t *testing.T) {
	p, _ := handCatalog(t).Part("hand-n")
	m := p.(*catalog.MOSFET)
	last := 0.0
	for _, x := range []struct{ i, hot, slow float64 }{{0.5, 25, 0}, {1, 25, 0}, {1, 80, 0}, {1, 80, 1e-9}, {50, 80, 1e-9}} {
		c := device.OffCharge(m, x.i, x.hot, x.slow)
		if !c.OK || c.V <= last {
			t.Errorf("%+v: %v after %g", x, c, last)
		}
		last = c.V
	}
}

// Where nobody knows how hot the junction is, a bound of the slow edge is no estimate that
// could make a failure certain: at 3.3 V no on-resistance is stated, and the safe area stays
// unproven, not over.
func TestLetGoOfAnUnknownJunction(t *testing.T) {
	cat := handCatalog(t)
	p, _ := cat.Part("hand-n")
	p.(*catalog.MOSFET).SOA = []catalog.SOACurve{area2(t, 10e-6, 60, 60), area2(t, 1e-3, 4, 4)}
	text := strings.NewReplacer(`"5 V"`, `"3.3 V"`, `"0.8 A"`, `"4 A"`, `"60 mH"`, `"5 mH"`, `current_max = "3 A"`, `current_max = "9 A"`).Replace(handSolenoid)
	d, _ := handStage(t, cat, text, "n-mosfet-low", "hand-n", &Given{RPulldown: ohms(3000), RGate: ohms(270), Clamp: handClamp(), HeatSink: GivenPart{Said: true}})
	if c := find(d, design.SafeArea, design.StageSelf); c != nil && (c.Verdict != design.Unproven || strings.Contains(c.Because, "lets go")) || d.Verdict == design.Fits {
		t.Errorf("safe area %+v\n%s", c, show(d))
	}
}
