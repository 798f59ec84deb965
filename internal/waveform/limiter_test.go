package waveform

import (
	"math"
	"math/rand"
	"testing"
)

// A thermistor as a thing: R = Cold*exp(B*(1/T - 1/298 K)), whose heat capacity
// takes EMax to the temperature at which it has half of Hot. It charges a
// capacitor; its true current is never above V over the rest and the least
// resistance of the law.
func TestLimiterIsABound(t *testing.T) {
	rng := rand.New(rand.NewSource(3))
	helped := 0
	for range 200 {
		b := 2500 + 1500*rng.Float64()
		top := 400 + 80*rng.Float64() // K
		l := Limiter{Cold: 1 + 9*rng.Float64(), EMax: 5 + 50*rng.Float64()}
		end := l.Cold * math.Exp(b*(1/top-1/298.0))
		l.Hot = 2 * end
		v := 12 + 36*rng.Float64()
		c := l.EMax * math.Pow(10, -2*rng.Float64()) / (v * v / 2)
		rest := 0.02 + 0.1*rng.Float64()
		least := l.Least(c * v * v / 2)
		if least > l.Cold/2 {
			helped++
		}
		bound := v / (rest + least)
		capacity := l.EMax / (top - 298)
		y := []float64{0, 298}
		r := func(temp float64) float64 { return l.Cold * math.Exp(b*(1/temp-1/298.0)) }
		peak := 0.0
		slope := func(y, dy []float64) {
			i := (v - y[0]) / (rest + r(y[1]))
			dy[0], dy[1] = i/c, i*i*r(y[1])/capacity
		}
		integrate(y, 6*l.Cold*c/3000, 3000, slope, func(_ float64, y []float64) {
			peak = max(peak, (v-y[0])/(rest+r(y[1])))
		})
		if peak > bound*(1+1e-9) {
			t.Errorf("%+v, %g uF on %g V: %g A above %g A", l, c*1e6, v, peak, bound)
		}
	}
	if helped < 50 {
		t.Errorf("it helps in %d cases", helped)
	}
	check(t, []row{
		// By hand: 4 ohm cold, 0.2 ohm hot, 30 J; 3 J are a tenth, counted twice:
		// 4*(0.1/4)^0.2 = 4*0.47818 = 1.9127 ohm.
		{"3 J of 30", Limiter{Cold: 4, Hot: 0.2, EMax: 30}.Least(3), 1.9127, 1e-4, "by hand", "DERIVED"},
		{"no energy", Limiter{Cold: 4, Hot: 0.2, EMax: 30}.Least(0), 4, 1e-12, "by hand", "DERIVED"},
		{"more than it bears", Limiter{Cold: 4, Hot: 0.2, EMax: 30}.Least(31), 0, 1e-12, "by hand", "DERIVED"},
	})
}

// From 25 C to 100 K above it in a straight line: 0.85 of the energy at 40 C.
//
// Warm: 1.2 ohm cold, 60 mohm at 9 A, so 4.86 W there. On 21.6 V with 3 ohm:
// i^2*3 - 21.6*i + 4.86 = 0 has 6.9675 A and 0.2325 A; a cold start with 21.6/4.2 =
// 5.14 A gets past the lesser, and 4.86/6.9675 = 0.6975 V are kept. In air of 0 C
// 6.075 W: 6.9067 A, 0.8796 V. With 12.5 ohm what it keeps cold, 21.6*1.2/13.7 =
// 1.892 V, is less than 4.86/1.462. With 100 ohm there is no root: 21.6*1.2/101.2.
// As usual at 4.5 A: 0.06*2^1.3 = 0.14773 ohm, 0.6648 V.
func TestLimiterInOtherAirAndWarm(t *testing.T) {
	l := Limiter{Cold: 0.8, ColdMost: 1.2, Hot: 0.06, Rated: 9, EMax: 60}
	check(t, []row{
		{"energy in air of 40 C", LimiterRoom(40), 0.85, 1e-12, "by hand", "DERIVED"},
		{"energy in air of 0 C", LimiterRoom(0), 1, 1e-12, "by hand", "DERIVED"},
		{"kept from 3 ohm", l.Kept(21.6, 3, 25), 0.6975, 1e-3, "by hand", "DERIVED"},
		{"kept from 3 ohm in the cold", l.Kept(21.6, 3, 0), 0.8796, 1e-3, "by hand", "DERIVED"},
		{"kept from 12.5 ohm", l.Kept(21.6, 12.5, 25), 1.892, 1e-3, "by hand", "DERIVED"},
		{"kept from 100 ohm", l.Kept(21.6, 100, 25), 0.25613, 1e-3, "by hand", "DERIVED"},
		{"kept as usual", l.UsualKept(4.5), 0.6648, 1e-3, "by hand", "DERIVED"},
	})
}

// A charge through a limiter that does not change is the charge of a capacitor: 24 V,
// 1 ohm and 3 ohm, 1 mF: 6 A, C*V = 24 mC and C*V^2/(2*4) = 72 mA2s beyond the steady
// 0.5 A and its cross term 2*0.5*24 mC = 24 mA2s. One that its energy warms lets more
// through, of the same charge.
func TestChargeThroughALimiter(t *testing.T) {
	c := Charging{V: 24, R: 1, C: 1e-3}
	still := c.Through(Limiter{Cold: 3, Hot: 6, EMax: 100}, 0.5, 0)
	charge, square := still.Above(0.5)
	warm := c.Through(Limiter{Cold: 3, Hot: 0.2, EMax: 1}, 0.5, 0.1)
	q2, s2 := warm.Above(0.5)
	check(t, []row{
		{"peak", still.Peak(), 6.5, 1e-9, "by hand", "DERIVED"},
		{"charge", charge, 24e-3, 2e-3, "by hand", "DERIVED"},
		{"square", square, 96e-3, 2e-3, "by hand", "DERIVED"},
		{"charge of a warm one", q2, 24e-3, 2e-3, "by hand", "DERIVED"},
	})
	if !(warm.Peak() > still.Peak()) || !(s2 > square) {
		t.Errorf("a limiter that warms: %g A and %g A2s, one that does not %g and %g", warm.Peak(), s2, still.Peak(), square)
	}
	// 0.288 J are more than it bears. The most flows in the fourth step, from exp(-0.15) =
	// 0.86071 of the rail to exp(-0.2), which brings 0.288*(1 - exp(-0.4)) = 0.09495 J: twice
	// of 0.2 is a share of 0.9495, 3*(0.1/3)^0.9495 = 0.11875 ohm, 24*0.86071/1.11875 A.
	broken := c.Through(Limiter{Cold: 3, Hot: 0.2, EMax: 0.2}, 0, 0)
	check(t, []row{{"one that breaks", broken.Peak(), 18.4645, 1e-4, "by hand", "DERIVED"}})
	nothing := Charging{V: 24, C: 1e-3}.Through(Limiter{Cold: 3, Hot: 0.2, EMax: 0.2}, 0, 0)
	if p := nothing.Peak(); !math.IsInf(p, 1) {
		t.Errorf("nothing limits, and the peak is %g A", p)
	}
}

// Filaments of every size through thermistors as things: the current is nowhere above
// the bound, which helps in many cases and is never above that without a limiter.
func TestFilamentThroughALimiterIsABound(t *testing.T) {
	rng := rand.New(rand.NewSource(5))
	helped := 0
	for range 100 {
		b := 2500 + 1100*rng.Float64()
		top := 400 + 80*rng.Float64() // K
		v, amps := 12+12*rng.Float64(), 0.5+3*rng.Float64()
		f := NewFilament(v/amps, 8+8*rng.Float64(), 0.05+0.4*rng.Float64())
		start := f.R * math.Pow(10, -1+rng.Float64())
		l := Limiter{Cold: start * (0.6 + 0.4*rng.Float64()), EMax: 5 + 55*rng.Float64()}
		l.Start = start
		law := func(temp float64) float64 { return start * math.Exp(b*(1/temp-1/298.0)) }
		l.Hot = 2 * law(top)
		l.Hot = min(l.Hot, 2*l.Cold*math.Exp(b*(1/top-1/298.0)))
		bound := f.Through(v, 0.05, l)
		bare := v / (f.R/f.Ratio + 0.05)
		if bound > bare*(1+1e-9) {
			t.Errorf("%+v %+v: %g A with it, %g A without", f, l, bound, bare)
		}
		if bound < 0.7*bare {
			helped++
		}
		capacity := l.EMax / (top - 298)
		from := []float64{l.Cold / start, 1}[rng.Intn(2)] // of any resistance that it may have
		y := []float64{1 / f.Ratio, 298}
		peak := 0.0
		slope := func(y, dy []float64) {
			rn := from * law(y[1])
			i := v / (f.R*y[0] + 0.05 + rn)
			gain := i * i * f.R * y[0] / (v * v / f.R)
			dy[0] = 1.2 * math.Sqrt(math.Cbrt(y[0])) * (gain - loss(y[0])) / f.Tau
			dy[1] = i * i * rn / capacity
		}
		integrate(y, 20*f.Tau, 20000, slope, func(_ float64, y []float64) {
			peak = max(peak, v/(f.R*y[0]+0.05+from*law(y[1])))
		})
		if peak > bound*(1+1e-6) {
			t.Errorf("%+v %+v: %g A above the bound of %g A", f, l, peak, bound)
		}
	}
	if helped < 30 {
		t.Errorf("it helps in %d cases", helped)
	}
}
