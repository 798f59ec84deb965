package waveform

import (
	"math"
	"math/rand"
	"testing"
)

// A motor's start without load: 12 V, 1.2 ohm, 1.5 mH, 2e-5 kg m2, 0.025 V s/rad.
func TestMotorStartPublished(t *testing.T) {
	const standard, bodine = "formulas standard", "Bodine Electric, Motor Constants, 2015"
	tau := MechanicalTime(1.2, 2e-5, 0.025)
	m := Start{Stall: 12 / 1.2, TauM: tau}
	// Without load the integral of (stall*exp(-t/tau))^2.
	square := m.Stall * m.Stall * tau / 2
	loss := 1.2 * square
	omega := 12 / 0.025
	// The mechanical constant is the time to 63.2 % of the no-load speed, the
	// electrical one that to 63.2 % of the stall current with the shaft locked: both
	// read off the integration.
	var speedAt, currentAt float64
	spin(12, 1.2, 1e-6, 2e-5, 0.025, 0, 0.2, 400000, func(s, i, w float64) {
		if speedAt == 0 && w >= 0.632121*omega {
			speedAt = s
		}
	})
	spin(12, 1.2, 1.5e-3, 1e6, 0.025, 0, 0.01, 100000, func(s, i, w float64) {
		if currentAt == 0 && i >= 0.632121*10 {
			currentAt = s
		}
	})
	check(t, []row{
		{"E19 mechanical", tau, 38.4e-3, 1e-9, standard, "DERIVED"},
		{"E19 electrical", 1.5e-3 / 1.2, 1.25e-3, 1e-9, standard, "DERIVED"},
		{"E19 stall", m.Envelope().top(), 10, 1e-12, standard, "DERIVED"},
		{"E19 no-load speed, rpm", omega * 60 / (2 * math.Pi), 4584, 1e-3, standard, "DERIVED"},
		{"E20 loss in the circle", loss, 2.304, 1e-9, "closed form", "DERIVED"},
		{"E20 energy of the rotor", 0.5 * 2e-5 * omega * omega, loss, 1e-9, "closed form", "DERIVED"},
		{"E21 mechanical constant", speedAt, tau, 2e-3, bodine, "READ"},
		{"E21 electrical constant", currentAt, 1.25e-3, 2e-3, bodine, "READ"},
	})
}

func (e Envelope) top() float64 { return e.Peak() }

// spin integrates a motor from standstill against a constant torque of run
// amperes, which does not turn it backwards.
func spin(v, r, l, j, k, run, until float64, n int, each func(t, i, w float64)) {
	y := []float64{0, 0}
	slope := func(y, dy []float64) {
		dy[0] = (v - r*y[0] - k*y[1]) / l
		torque := k * (y[0] - run)
		if y[1] <= 0 && torque < 0 {
			torque = 0
		}
		dy[1] = torque / j
	}
	integrate(y, until/float64(n), n, slope, func(t float64, y []float64) { each(t, y[0], y[1]) })
}

// The envelope is nowhere under the motor's current, whatever the two constants.
func TestMotorStartIsABound(t *testing.T) {
	rng := rand.New(rand.NewSource(5))
	for n := 0; n < 40; n++ {
		const r, k = 1.0, 1.0 // so tau_e = l, tau_m = j
		l, j := math.Pow(10, rng.Float64()*4-3), math.Pow(10, rng.Float64()*2-1)
		run := 0.0
		if n%2 == 1 {
			run = rng.Float64() * 9
		}
		e := Start{Stall: 10, Run: run, TauM: j, TauE: l}.Envelope()
		until := 10 * (j + l)
		steps := int(min(100000, max(10000, 20*until/min(l, j))))
		spin(10, r, l, j, k, run, until, steps, func(s, i, w float64) {
			if a := e.At(s); a < math.Abs(i)*(1-1e-6)-1e-9 {
				t.Fatalf("L/R %g, mechanical %g, run %g: at %g s %g under %g", l, j, run, s, a, i)
			}
		})
	}
	// A motor that cannot turn stays where it is.
	if e := (Start{Stall: 3, Run: 3, TauM: 1}).Envelope(); e.N != 1 || e.Steady() != 3 {
		t.Errorf("%+v", e)
	}
}

// Small gear motors (makers' data, READ): stall 0.36 A against 0.10 to 0.12 A when
// running; the rule of keeping to a quarter of stall.
func TestGearMotors(t *testing.T) {
	const sheet = "Micro metal gearmotors, data sheet rev. 2.0, May 2018, and a plastic gearmotor's page"
	e := Start{Stall: 0.36, Run: 0.12, TauM: 20e-3}.Envelope()
	f := Start{Stall: 0.36, Run: 0.10, TauM: 20e-3}.Envelope()
	g := Start{Stall: 0.36, Run: 0.02, TauM: 20e-3}.Envelope()
	check(t, []row{
		{"L07 stall over running", e.Peak() / e.Steady(), 3.0, 2e-3, sheet, "READ + DERIVED"},
		{"L07 stall over running", f.Peak() / f.Steady(), 3.6, 2e-3, sheet, "READ + DERIVED"},
		{"L07 stall over no load", g.Peak() / g.Steady(), 18, 5e-3, sheet, "READ + DERIVED"},
	})
}
