package waveform

import "math"

// A filament is a resistance that rises with its temperature as T^1.2 (the usual
// fit of tungsten; published tables give 15.0 to 15.8 between 300 K and 2800 K,
// the fit 14.6), that takes v^2/R from the rail and gives its heat away as T^4.
// Its heat capacity counts as constant, that of its hot end: tungsten holds less
// when cold (132 J/kg K at 300 K, some 200 at 2800 K, from memory), so that a
// true start is over sooner than this one.
const (
	resistancePower = 1.2
	radiationPower  = 4 / resistancePower // of the resistance: R^(10/3)
)

// Settled is how far above its steady value, as a ratio, a lamp's current may
// still be when it counts as settled (common practice, no source: a definition).
const Settled = 1.1

// Filament is a filament at one rail voltage.
type Filament struct {
	R     float64 // ohm, lit at that rail with nothing in series
	Ratio float64 // its resistance lit over cold, 1 and more
	Tau   float64 // s, its heat when lit over its power when lit
}

// NewFilament is the filament of r ohm lit and ratio times less cold, whose
// current is within Settled of its steady value settle seconds after switching on.
//
// Without series resistance the time to a temperature is a series: with u the
// temperature over that when lit, du/dt = (u^-1.2 - u^4)/tau, so
// t/tau = sum over k of u^(2.2 + 5.2k)/(2.2 + 5.2k), from the cold u on.
func NewFilament(r, ratio, settle float64) Filament {
	f := Filament{R: r, Ratio: max(1, ratio)}
	share := settleTime(f.Ratio)
	if share <= 0 || !(settle > 0) {
		return f
	}
	f.Tau = settle / share
	return f
}

// settleTime is the time to settle of a filament with tau = 1. One that starts
// near its steady current settles half way there, in logarithms.
func settleTime(ratio float64) float64 {
	end := min(Settled, math.Sqrt(ratio))
	return heating(end) - heating(ratio)
}

// heating is the time, in tau, from absolute zero until the current, without
// series resistance, is over times the steady one.
func heating(over float64) float64 {
	u := math.Pow(over, -1/resistancePower)
	return series(u, 1+resistancePower)
}

// series is the sum over k of u^(a + 5.2k)/(a + 5.2k), for u under 1.
func series(u, a float64) float64 {
	const b = 4 + resistancePower
	p, q, sum := math.Pow(u, a), math.Pow(u, b), 0.0
	for k := 0; k < 4000; k++ {
		d := p / a
		sum += d
		if d <= 1e-16*sum {
			break
		}
		p *= q
		a += b
	}
	return sum
}

// UsualSettle is the time, s, in which a lamp of i amperes settles, where nobody
// states it. A wire that glows at a given temperature has a diameter that goes
// with i^(2/3), and its heat over its radiation goes with the diameter. The
// factor is twice what fits a lamp of 100 W and 120 V, which settles in 0.10 s
// (published); 500 W and 120 V are then 0.57 s (published: 0.5 s).
func UsualSettle(i float64) float64 { return 0.22 * math.Cbrt(i*i) }

// filamentSteps is how many steps an envelope has, filamentParts what each is
// cut into for its means, and filamentEnd how near the last comes to the end.
const (
	filamentSteps = 26
	filamentParts = 3
	filamentEnd   = 1.004
)

// start is a filament with loop resistance, in units of its lit resistance: r is
// its own, s = r + x that of the circle, the current 1/s, time in tau.
type start struct{ x float64 }

// gain is the power that the filament takes, in units of that when lit.
func (f start) gain(r float64) float64 { return r / (r + f.x) / (r + f.x) }

// loss is what it gives away.
func loss(r float64) float64 { return r * r * r * math.Cbrt(r) }

// end is the resistance at which it settles: gain = loss, r^(7/3)*(r + x)^2 = 1.
func (f start) end() float64 {
	lo, hi := 0.0, 1.0
	for range 200 {
		r := (lo + hi) / 2
		if r == lo || r == hi {
			break
		}
		if r*r*math.Cbrt(r)*(r+f.x)*(r+f.x) < 1 {
			lo = r
		} else {
			hi = r
		}
	}
	return lo
}

// longest is a time, in tau, not less than that from a to b, where the filament
// rises: dr/dt = 1.2*r^(1/6)*(gain - loss). The first factor is least at a, the
// loss greatest at b, and the gain, which rises to r = x and falls from there,
// least at one of the two. Where that is far from what both ends do, the way is
// halved.
func (f start) longest(a, b float64, depth int) float64 {
	ga, gb, lb := f.gain(a), f.gain(b), loss(b)
	net := min(ga, gb) - lb
	least := min(ga-loss(a), gb-lb)
	if mid := (a + b) / 2; depth > 0 && mid > a && mid < b && net < 0.7*least {
		return f.longest(a, mid, depth-1) + f.longest(mid, b, depth-1)
	}
	if net <= 0 {
		return math.Inf(1)
	}
	return (b - a) / (resistancePower * math.Sqrt(math.Cbrt(a)) * net)
}

// Envelope is the current, A, of the filament switched on cold to v volts through
// loop ohm.
func (f Filament) Envelope(v, loop float64) (e Envelope) {
	if !(f.R > 0) || !(v > 0) {
		e.end(0)
		return e
	}
	w := start{x: max(0, loop) / f.R}
	unit := v / f.R
	cold := 1 / f.Ratio
	hot := w.end()
	first, last := cold+w.x, (hot+w.x)/filamentEnd
	if !(first < last) || !(f.Tau > 0) {
		if !(f.Tau > 0) { // no heat to fill: lit at once
			first = max(first, hot+w.x)
		}
		e.end(unit / first)
		return e
	}
	ratio := math.Pow(last/first, 1.0/(filamentSteps*filamentParts))
	s := first
	for k := 0; k < filamentSteps; k++ {
		step := Step{I: unit / s}
		charge, square := 0.0, 0.0
		for j := 0; j < filamentParts; j++ {
			next := s * ratio
			if k == filamentSteps-1 && j == filamentParts-1 {
				next = last
			}
			i, dt := unit/s, f.Tau*w.longest(max(cold, s-w.x), next-w.x, 8)
			step.T += dt
			charge += i * dt
			square += i * i * dt
			s = next
		}
		step.Mean, step.Square = step.I, step.I*step.I
		if step.T > 0 && !math.IsInf(step.T, 1) {
			step.Mean, step.Square = charge/step.T, square/step.T
		}
		e.add(step)
		if math.IsInf(step.T, 1) {
			return e
		}
	}
	e.end(unit / last)
	return e
}

// Heating returns the charge, A s, and the square over time, A2s, that a filament
// takes above its lit current of i amperes until it is lit, whatever the source: one
// that is switched on and off, or that gives less than it asks, takes longer for the
// same. With u the temperature over that when lit and c = current over i,
// c^2*u^1.2*dt = Tau*du + u^4*dt, and since u^4 is not above u^1.2,
// (c^2 - 1)*dt <= Tau*u^-1.2*du, whose integral is 5*Tau*(Ratio^(1/6) - 1); and c - 1
// is at most half of c^2 - 1.
func (f Filament) Heating(i float64) (charge, square float64) {
	share := 5 * f.Tau * max(0, math.Pow(f.Ratio, 1.0/6)-1)
	return i * share / 2, i * i * share
}

// Chopped is the factor on the square of the lit current, on average over a
// period, at any duty, of a filament that is switched at hz hertz and never cold:
// at most (1 + 3/(hz*Tau))^0.4. What it takes, i^2*r, it gives away as u^4; in an
// off time it cools by du/dt = -u^4/Tau from its greatest u, which is 1 at most, so
// that no u of a period is under u/(1 + 3*u^3/(hz*Tau))^(1/3), and i^2 on average
// is at most u^4 over the least resistance. Never above the square of the cold
// ratio.
func (f Filament) Chopped(hz float64) float64 {
	cold := f.Ratio * f.Ratio
	if !(f.Tau > 0) || !(hz > 0) {
		return cold
	}
	return min(cold, math.Pow(1+3/hz/f.Tau, 0.4))
}
