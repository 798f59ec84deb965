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
