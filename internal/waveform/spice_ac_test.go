package waveform

import (
	"fmt"
	"math"
)

// acDecks are an output that opens at the zero of a lagging current, with its snubber;
// what a snubber passes; a transformer closed at either end of a half cycle.
func acDecks() (list []struct {
	name, deck string
	want       []number
}) {
	add := func(name, deck string, want ...number) {
		list = append(list, struct {
			name, deck string
			want       []number
		}{name, deck, want})
	}
	for _, c := range []struct {
		name string
		s    Snubber
		pf   float64
	}{
		// 1 A of motor on 230 V + 10 %, power factor 0.7: 146.4 ohm, 475.3 mH at 1.21 A.
		{"snubber-motor", Snubber{357.796, 146.36, 0.4753, 100, 22e-9}, 0.7},
		{"snubber-motor-large", Snubber{357.796, 14.636, 0.04753, 47, 220e-9}, 0.7},
		// A valve of 24 V + 10 %, 0.25 A, power factor 0.5.
		{"snubber-valve", Snubber{37.335, 43.636, 0.24058, 100, 9e-9}, 0.5},
		// A contactor of 230 V, 0.1 A, power factor 0.3.
		{"snubber-contactor", Snubber{357.796, 627.3, 6.349, 220, 90e-9}, 0.3},
	} {
		lag := math.Acos(c.pf)
		step := c.s
		step.V *= math.Sin(lag)
		add(c.name, fmt.Sprintf(`* an output opens at the zero of a current that lags
vac in 0 sin(0 %g 50 0 0 %.6f)
rload in m %g
lload m n %g ic=0
rsn n s %g
csn s 0 %g ic=0
.options reltol=1e-6
.control
set numdgt=8
tran %g 5m 0 %g uic
let slope = deriv(v(n))
meas tran v_peak max v(n)
meas tran slope_most max slope from=%g
echo results
print v_peak slope_most
quit
.endc
.end
`, c.s.V, lag*180/math.Pi, c.s.R, c.s.L, c.s.RS, c.s.C, math.Sqrt(c.s.L*c.s.C)/400, math.Sqrt(c.s.L*c.s.C)/400, math.Sqrt(c.s.L*c.s.C)/40),
			// The bounds that are used, and the law of a step as large as stands there, to
			// which the sine adds a little.
			number{"v_peak", c.s.PeakOnAC(lag, 50), 0, 0.88}, number{"slope_most", c.s.SlopeOnAC(50), 0, 0.6}, number{"slope_most", step.Slope(), 5e-2, 0})
	}
	for _, c := range []struct {
		name string
		s    ContactRC
	}{
		// A magnet of 24 V, 0.4 A and 60 mH at its worst: 0.506 A, 72 mH; 1 uF less a tenth.
		// I*RS is 24 V: the contact opens under the 300 V of a glow, and with 0.5 A near the
		// least that an arc needs.
		{"contact-rc-magnet", ContactRC{25.2, 0.506, 49.8, 72e-3, 47, 0.9e-6}},
		// A relay's coil of 24 V and 20 mA: 0.94 V over its resistor, far under an arc's 12 V.
		{"contact-rc-coil", ContactRC{25.2, 0.022, 1145, 0.8, 47, 90e-9}},
	} {
		released, rings := c.s.Decay(0.1 * c.s.I0)
		if !rings {
			panic("it does not ring")
		}
		add(c.name, fmt.Sprintf(`* a contact opens the current of a winding into a resistor and a capacitor across it
vrail in 0 dc %g
rload in m %g
lload m n %g ic=%g
rsn n s %g
csn s 0 %g ic=0
.options reltol=1e-6
.control
set numdgt=8
tran %g %g 0 %g uic
let i_load = abs(i(lload))
meas tran v_peak max v(n)
meas tran v_capacitor max v(s)
meas tran v_first find v(n) at=%g
meas tran i_after max i_load from=%g
meas tran i_before max i_load from=%g
echo results
print v_peak v_capacitor v_first i_after i_before
quit
.endc
.end
`, c.s.V, c.s.R, c.s.L, c.s.I0, c.s.RS, c.s.C, math.Sqrt(c.s.L*c.s.C)/400, 1.5*released, math.Sqrt(c.s.L*c.s.C)/400, math.Sqrt(c.s.L*c.s.C)/400, released, 0.75*released),
			number{"v_peak", c.s.Peak(), 0, 0.7}, number{"v_capacitor", c.s.Capacitor(), 0, 0.7},
			// It begins with the drop over the resistor; at the bound of its time the current
			// has just come under a tenth, and a quarter earlier it had not.
			number{"v_first", c.s.I0*c.s.RS + c.s.I0/c.s.C*math.Sqrt(c.s.L*c.s.C)/400, 5e-2, 0},
			number{"i_after", 0.1 * c.s.I0, 0, 0.5}, number{"i_before", 0.25 * c.s.I0, 0, 0.45})
	}
	for _, c := range []struct {
		name       string
		v, f, c, l float64
	}{{"snubber-leak", 230, 50, 100e-9, 0}, {"snubber-leak-coil", 253, 52, 110e-9, 6.349}} {
		rms := CapacitorCurrent(c.v, c.f, c.c) * Resonance(c.f, c.l, c.c)
		add(c.name, fmt.Sprintf(`* what a snubber passes while the output is open
vac in 0 dc 0 ac %g
rload in m 600
lload m n %g
rsn n s 100
csn s 0 %g
.control
set numdgt=8
ac lin 1 %g %g
let i_off = mag(i(vac))
echo results
print i_off
quit
.endc
.end
`, c.v, math.Max(c.l, 1e-6), c.c, c.f, c.f), number{"i_off", rms, 0, 0.995})
	}
	// A core of 1.2 Vs, 10 H before and 20 mH after it, 0.5 ohm, on 325.27 V of 50 Hz: its
	// flux is 325.27/(2*pi*50) = 1.03536 Vs of alternation. Closed at a zero of the voltage it
	// goes to twice of it: (2.07073 - 1.2)/20 mH + 2.07073/10 = 43.74 A without resistance;
	// closed at the crest it never saturates: 1.03536/10 = 0.10354 A (closed forms, DERIVED).
	for _, c := range []struct {
		name  string
		phase float64
		want  number
	}{{"transformer-zero", 0, number{"i_peak", 43.74, 0, 0.9}}, {"transformer-crest", 90, number{"i_peak", 0.10354, 1e-2, 0}}} {
		add(c.name, fmt.Sprintf(`* a transformer without load is closed on the mains; v(phi) is its flux
vac in 0 sin(0 325.27 50 0 0 %g)
rwind in a 0.5
bcore a 0 i = v(phi)/10 + (v(phi) > 1.2 ? (v(phi)-1.2)/20m : 0) + (v(phi) < -1.2 ? (v(phi)+1.2)/20m : 0)
bphi 0 phi i = v(a)
cphi phi 0 1 ic=0
rphi phi 0 1g
.options reltol=1e-5
.control
set numdgt=8
tran 10u 40m 0 10u uic
let i_in = -i(vac)
meas tran i_peak max i_in
echo results
print i_peak
quit
.endc
.end
`, c.phase), c.want)
	}
	return list
}
