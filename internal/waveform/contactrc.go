package waveform

import "math"

// ContactRC is a resistor RS and a capacitor C in series across a contact that opens a
// current I0 through R and L in series from a DC supply of V volts (ohm, henry, farad,
// ampere, all above 0). While the contact was closed it held the capacitor empty.
type ContactRC struct{ V, I0, R, L, RS, C float64 }

// Energy is what the winding's current and the capacitor's way to the supply hold when
// the contact opens, J: L*I0^2/2 + C*V^2/2. From there on it only falls: the rest of
// the loop is resistance.
func (c ContactRC) Energy() float64 { return (c.L*c.I0*c.I0 + c.C*c.V*c.V) / 2 }

// Peak bounds the voltage over the contact, V. With E the energy, C*(vC - V)^2 + L*i^2 is
// at most 2E, and the contact sees vC + RS*i: at most V + sqrt(2E*(1/C + RS^2/L)), by the
// inequality of Cauchy and Schwarz.
func (c ContactRC) Peak() float64 {
	return c.V + math.Sqrt(2*c.Energy()*(1/c.C+c.RS*c.RS/c.L))
}

// Capacitor bounds the voltage over the capacitor alone, V.
func (c ContactRC) Capacitor() float64 { return c.V + math.Sqrt(2*c.Energy()/c.C) }

// Decay bounds the time after which the current stays under i1, s: its envelope falls
// with exp(-a*t), a = (R + RS)/(2L). Where the loop does not ring (a^2*L*C >= 1) ok is
// false: the slower of its two exponentials then decides, and is not bounded here.
func (c ContactRC) Decay(i1 float64) (t float64, ok bool) {
	a := (c.R + c.RS) / (2 * c.L)
	d := 1/(c.L*c.C) - a*a
	if d <= 0 || i1 <= 0 {
		return 0, false
	}
	w := math.Sqrt(d)
	// i = exp(-a*t)*(I0*cos(wt) + B*sin(wt)); its slope at the start is
	// (V - (R + RS)*I0)/L = w*B - a*I0.
	b := ((c.V-(c.R+c.RS)*c.I0)/c.L + a*c.I0) / w
	return max(0, math.Log(math.Hypot(c.I0, b)/i1)/a), true
}

// ClassicRC is the old rule of thumb for what to put across a contact on DC that opens
// i ampere at v volts: C = i^2/10 microfarad and R = v/(10*i^(1 + 50/v)) ohm (C. C.
// Bates, from memory; v and i above 0). Another form of it is in circulation, with the
// exponent as a factor; this is the one usually credited to him.
func ClassicRC(v, i float64) (farad, ohm float64) {
	return i * i / 10 * 1e-6, v / (10 * math.Pow(i, 1+50/v))
}
