package load

import (
	"math"
	"testing"

	"example.org/pinhoist/internal/job"
	q "example.org/pinhoist/internal/quantity"
)

// What a filament makes of a cold start by other laws than the factor of 15, as the
// ratio of its resistance at 2800 K to that at 300 K. With the load's usual spread
// of 10 % the start is not under any of them, also on a rail 10 % high, where a
// cold filament of nominal resistance takes 10 % more.
func TestLampStartBounds(t *testing.T) {
	for _, tc := range []struct {
		law   string
		ratio float64
	}{
		// OpenStax, University Physics vol. 2, section 9.3 (READ): 0.0045 /K from 20 C.
		{"linear law", (1 + 0.0045*(2800-293.15)) / (1 + 0.0045*(300-293.15))},
		// The usual fit (DERIVED): 14.6.
		{"(T/300 K)^1.2", math.Pow(2800.0/300, 1.2)},
		// Jones and Langmuir 1927 as in the CRC Handbook (MEMORY, three points READ),
		// between 73.91 and 92.04 uohm*cm at 2500 and 3000 K: 15.0.
		{"table", (73.91 + (92.04-73.91)*0.6) / 5.65},
		// An encyclopaedia's lamp of 100 W and 120 V: 144 ohm lit, 9.5 ohm cold (READ).
		{"a lamp", 144 / 9.5},
		// Desai and others, J. Phys. Chem. Ref. Data 13, 1069 (1984), as quoted in public
		// code (READ + DERIVED): 15.8.
		{"polynomial", tungsten(2800) / tungsten(300)},
	} {
		for _, tol := range []float64{0, 0.1} {
			l := job.Load{Kind: job.Lamp, Current: 1, Tolerance: 0.1, Inrush: factor(15, true), Rail: rail(12, tol)}
			m := New(&l, air(0, 40), noResistor)
			if least := tc.ratio * (1 + tol); m.Pulse.Peak < least*0.999 {
				t.Errorf("%s, rail +%g: starts at %g A, the filament takes %g A", tc.law, tol, m.Pulse.Peak, least)
			}
		}
	}
	// The polynomial at its printed points (READ).
	for _, tc := range []struct{ k, rho float64 }{{300, 5.470}, {1000, 24.49}, {2000, 57.40}, {3000, 94.13}} {
		want(t, "tungsten", tungsten(tc.k), tc.rho, 1e-3)
	}
}

// tungsten is its resistivity at k kelvin, uohm*cm.
func tungsten(k float64) float64 {
	return -0.9680 + k*(1.9274e-2+k*(7.8260e-6+k*(-1.8517e-9+k*2.0790e-13)))
}

// The charge that a stated peak brings is that of the greatest capacitor: 1 mF +20 %
// on 13.2 V are 15.84 mC, over 50 A 0.3168 ms and 0.396 A2s (DERIVED).
func TestCapacitorStatedPeak(t *testing.T) {
	l := job.Load{Kind: job.Capacitive, Current: 1e-9, Tolerance: 0.2, C: q.Some(q.Farad(1e-3)), InrushCurrent: q.Some(q.Amp(50)), Rail: rail(12, 0.1)}
	m := New(&l, air(20, 20), noResistor)
	want(t, "charge", m.Pulse.Peak*m.Pulse.T, 15.84e-3, 1e-9)
	want(t, "square over time", m.Pulse.I2t, 0.396, 1e-9)
}

// What a decay adds to the square of the steady current, against a sum of small
// steps (DERIVED): 2 A steady, 20 A more at first, 5 ms.
func TestAboveSteady(t *testing.T) {
	sum := 0.0
	const dt = 1e-6
	for s := dt / 2; s < 0.15; s += dt {
		i := 2 + 20*math.Exp(-s/5e-3)
		sum += (i*i - 4) * dt
	}
	want(t, "square over time", aboveSteady(2, 20, 5e-3), sum, 1e-6)
}

// A load of constant power, 12 V*1 A*1.1 = 13.2 W, on a rail of 10.8 V and wires of r ohm:
// i*(10.8 - r*i) = 13.2. 30 m of 0.75 mm2 out and back, stranded (1.16) and at 40 C:
// 0.017241*60/0.75*1.16*274.5/254.5 = 1.7257 ohm, and i = (10.8 - sqrt(116.64 -
// 91.12))/3.4514 = 1.6654 A. 1 V less in the stage: (9.8 - sqrt(96.04 - 91.12))/3.4514 =
// 2.1968 A; 2 V less and 4*13.2 W*1.7257 ohm = 91.12 V2 are above 8.8 V squared, 77.44: the
// supply breaks down to all that the wires let through. That is the most where it nearly
// holds, with wires of 77.44/(4*13.2) = 1.4667 ohm, which colder ones have: 8.8/1.4667 =
// 4*13.2/8.8 = 6 A.
func TestConstantPowerOnWires(t *testing.T) {
	l := job.Load{Kind: job.Electronic, Current: 1, Tolerance: 0.1, Rail: rail(12, 0.1), WireLength: 30, WireArea: 0.75e-6}
	m := New(&l, air(0, 40), noResistor)
	want(t, "wires", m.RWire, 1.7257, 1e-4)
	want(t, "on its wires", m.IMax, 1.6654, 2e-4)
	want(t, "for the drop", m.ILow, 1.6654, 2e-4)
	want(t, "with a drop", m.Sagging(1).IMax, 2.1968, 1e-3)
	want(t, "broken down", m.Sagging(2).IMax, 6, 1e-4)
	if m.Sagging(10.8) != nil {
		t.Error("a load without a voltage draws something")
	}
	l.Kind = job.Resistive
	if New(&l, air(0, 40), noResistor).Sagging(1) != nil {
		t.Error("a resistance draws more for a drop")
	}
}

// 81 mW of 5 V - 5 % are 17.05 mA, which 40 ohm drop 0.68211 V of; with them in the way
// i*(4.75 V - i*40 ohm) = 81 mW, i = (4.75 - sqrt(22.5625 - 12.96))/80 = 20.640 mA and 0.8256 V.
// Where its own heat makes a fifth of the 40 ohm, they come to rest at 21.825 mA: (21.825/17.053)^2
// is 1.638, 32 ohm/(1 - 0.2*1.638) are 47.59 ohm, 47.59 ohm*21.825 mA are 1.0387 V, and
// 21.825 mA*(4.75 V - 1.0387 V) are 81.00 mW.
func TestOhmicDrop(t *testing.T) {
	l := job.Load{Kind: job.Electronic, Current: 0.0162, Rail: rail(5, 0.05)}
	m := New(&l, air(0, 40), noResistor)
	want(t, "alone", m.IMax*40, 0.68211, 1e-4)
	want(t, "in its way", m.OhmicDrop(m.IMax*40, 0), 0.8256, 2e-4)
	want(t, "warmed by itself", m.OhmicDrop(m.IMax*40, 0.2), 1.0387, 1e-4)
	want(t, "more than it leaves", m.OhmicDrop(2, 0), 2, 1e-9) // 117 ohm: 4*81 mW*117 ohm are 38 V2
}

// A motor that is said to draw 9 A when it starts and 2 A when it is held, at 0.5 A of 12 V
// +-10 %: a start of 18 times 0.5 A*1.1*1.1 = 0.605 A is 10.89 A, whatever the winding. With 2 A
// alone it is 2 A*1.1*1.1*254.5/234.5 at 0 C, 2.6264 A.
func TestMotorOfTwoStarts(t *testing.T) {
	l := job.Load{Kind: job.Motor, Current: 0.5, Tolerance: 0.1, StallCurrent: q.Some(q.Amp(2)), Inrush: factor(4, false), Rail: rail(12, 0.1)}
	want(t, "stalled", New(&l, air(0, 40), noResistor).Pulse.Peak, 2.6264, 1e-4)
	l.Inrush, l.InrushCurrent, l.StartMore = factor(18, false), q.Some(q.Amp(9)), true
	want(t, "started", New(&l, air(0, 40), noResistor).Pulse.Peak, 10.89, 1e-4)
}

// Where the wires let no more through than the motor takes when it runs, it has no inrush,
// and nothing is left of one for a fuse to bear: 9 V over 1.5 ohm of wires is 6 A.
func TestMotorOnItsWires(t *testing.T) {
	l := job.Load{Kind: job.Motor, Current: 6.4, StallCurrent: q.Some(q.Amp(46)), StallTime: q.Some(q.Second(4)), Inrush: factor(46/6.4, false), Rail: rail(9, 0), WireLength: 30, WireArea: 0.75e-6}
	if m := New(&l, air(0, 40), noResistor); m.HasInrush || m.Pulse != (Pulse{}) || m.PulseHot != (Pulse{}) {
		t.Errorf("an inrush of %+v through %g ohm", m.Pulse, m.RWireMin)
	}
}

// 1 mF +20 % on 13.2 V are 15.84 mC. At 1 A they take 15.84 ms, and not the microsecond that
// somebody states.
func TestCapacitorWantsItsCharge(t *testing.T) {
	l := job.Load{Kind: job.Capacitive, Current: 1e-9, Tolerance: 0.2, C: q.Some(q.Farad(1e-3)), InrushCurrent: q.Some(q.Amp(1)), InrushTime: q.Some(q.Second(1e-6)), Rail: rail(12, 0.1)}
	want(t, "length", New(&l, air(20, 20), noResistor).Pulse.T, 15.84e-3, 1e-9)
}
