package waveform

import "math"

// Chopped is a winding that is switched at F hertz, its current running on
// through a diode while the switch is off.
type Chopped struct {
	V  float64 // V, of the rail less what the switch drops
	R  float64 // ohm, of the winding; above 0
	L  float64 // H; above 0
	VD float64 // V, of the diode; 0: ideal
	F  float64 // Hz; above 0
}

// Cycle is the steady state at one duty, A.
type Cycle struct {
	Max, Min   float64
	Mean       float64 // of the winding
	Switch     float64 // mean of the switch
	Diode      float64 // mean of the diode
	Continuous bool    // the current never stops
}

// Ripple is how far the current swings, A.
func (c Cycle) Ripple() float64 { return c.Max - c.Min }

// At returns the steady state at a duty from 0 to 1. While on, the current goes
// to V/R with L/R; while off, to -VD/R, and ends at zero where it gets there.
// Source: the two exponentials, equal at both ends of a period.
func (c Chopped) At(duty float64) Cycle {
	d := min(1, max(0, duty))
	top, low := c.V/c.R, max(0, c.VD)/c.R
	if !(c.V > 0) || d == 0 {
		return Cycle{}
	}
	if d == 1 {
		return Cycle{Max: top, Min: top, Mean: top, Switch: top, Continuous: true}
	}
	a := c.R / c.F / c.L // periods in L/R
	on, off, all := -math.Expm1(-d*a), -math.Expm1(-(1-d)*a), -math.Expm1(-a)
	if a == 0 { // it never moves
		i := max(0, d*top-(1-d)*low)
		return Cycle{Max: i, Min: i, Mean: i, Switch: d * i, Diode: (1 - d) * i, Continuous: i > 0}
	}
	if math.IsInf(a, 1) {
		return Cycle{Max: top, Mean: d * top, Switch: d * top}
	}
	var k Cycle
	k.Max = (top*on - low*(1-on)*off) / all
	k.Min = k.Max*(1-off) - low*off
	if k.Continuous = k.Min > 0; k.Continuous {
		swing := (top + low) * on * off / all
		k.Switch = top*d - swing/a
		k.Diode = max(0, swing/a-low*(1-d))
	} else {
		k.Min, k.Max = 0, top*on
		k.Switch = top * excess(d*a) / a
		k.Diode = ended(k.Max, low) / a
	}
	k.Switch = min(max(0, k.Switch), d*k.Max)
	k.Diode = min(k.Diode, (1-d)*k.Max)
	k.Mean = k.Switch + k.Diode
	return k
}

// excess is x - 1 + exp(-x), without cancellation.
func excess(x float64) float64 {
	if x < 1e-4 {
		return x * x / 2 * (1 - x/3)
	}
	return x + math.Expm1(-x)
}

// ended is the integral, in units of L/R, of a current that falls from i to zero
// on its way to -low: i - low*ln(1 + i/low).
func ended(i, low float64) float64 {
	if low == 0 {
		return i
	}
	x := i / low
	if x < 1e-4 {
		return i * x / 2 * (1 - 2*x/3)
	}
	return i - low*math.Log1p(x)
}

// scan is into how many parts a range of duty is cut before its best part is
// searched.
const scan = 8

// WorstDiode returns the duty from lo to hi at which the diode's mean current is
// greatest, and that current, A, with what a duty between the tried ones may add.
// The mean is never above duty*(1 - duty)*V/R, its value for an endless L.
func (c Chopped) WorstDiode(lo, hi float64) (duty, amps float64) {
	f := func(d float64) float64 { return c.At(d).Diode }
	duty, amps = most(f, lo, hi)
	// Found to a part in 1e4 of its greatest: where it is flat, nothing is lost.
	return duty, min(amps*(1+1e-4), c.diodeBound(lo, hi))
}

// diodeBound is the bound of WorstDiode that asks for no inductance.
func (c Chopped) diodeBound(lo, hi float64) float64 {
	d := min(max(0.5, lo), hi)
	return c.V / c.R * d * (1 - d)
}

// WorstRipple returns the duty from lo to hi at which the swing is greatest, and
// that swing, A. With an ideal diode it is greatest at one half.
func (c Chopped) WorstRipple(lo, hi float64) (duty, amps float64) {
	duty, amps = most(func(d float64) float64 { return c.At(d).Ripple() }, lo, hi)
	return duty, min(amps*(1+1e-4), c.V/c.R)
}

// most searches the greatest value of a function with one hill: a scan, then the
// golden section.
func most(f func(float64) float64, lo, hi float64) (at, value float64) {
	lo, hi = min(1, max(0, lo)), min(1, max(0, hi))
	if hi < lo {
		lo, hi = hi, lo
	}
	best, step := 0, (hi-lo)/scan
	for k := 0; k <= scan; k++ {
		d := lo + step*float64(k)
		if k == scan {
			d = hi
		}
		if v := f(d); k == 0 || v > value {
			best, at, value = k, d, v
		}
	}
	a, b := lo+step*float64(max(0, best-1)), lo+step*float64(min(scan, best+1))
	golden := (math.Sqrt(5) - 1) / 2
	x, y := b-golden*(b-a), a+golden*(b-a)
	fx, fy := f(x), f(y)
	for range 24 {
		if fx > fy {
			b, y, fy = y, x, fx
			x = b - golden*(b-a)
			fx = f(x)
		} else {
			a, x, fx = x, y, fy
			y = a + golden*(b-a)
			fy = f(y)
		}
	}
	if fx > value {
		at, value = x, fx
	}
	if fy > value {
		at, value = y, fy
	}
	return at, value
}

// LeastFrequency is the pwm frequency, Hz, above which the current swings by no
// more than share of V/R at any duty: from the straight line V*D*(1 - D)/(F*L),
// at one half, which is never below the exact swing.
func LeastFrequency(r, l, share float64) float64 {
	if !(l > 0) || !(share > 0) {
		return math.Inf(1)
	}
	return r / l / 4 / share
}
