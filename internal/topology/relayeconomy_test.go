package topology

import (
	"testing"

	"example.org/pinhoist/catalog"
)

// TestCoilEconomy: a coil of 12 V and 360 ohm that picks up from 70 % and holds from 50 %,
// in air of 80 C on 12 V + 5 % - 5 %, its driver without a drop. By hand: copper of 91.9 C
// has 1.2676 times its 23 C, 324 ohm at the least 410.7 ohm; 6 V become 7.605 V; 11.4 V
// through 180 ohm + 5 % leave it 7.81 V, and 220 ohm would leave 7.29 V. The capacitor is
// followed in small steps.
func TestCoilEconomy(t *testing.T) {
	cat, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	b := benchOn(t, cat, workedJob("relay-coil-economy"))
	sw, _ := cat.Part("rl-12v-16a")
	e, ok := relay{}.Economy(b.env, b.m, sw, "logic", 0)
	if !ok || e.Ohms != 180 {
		t.Fatalf("%+v, %v: want 180 ohm", e, ok)
	}
	const ratio = (234.5 + 91.9) / (234.5 + 23)
	if need, holds := 6*ratio, 11.4*324*ratio/(324*ratio+189); e.Needs < need*0.995 || e.Needs > need*1.005 || e.Holds < holds*0.995 || e.Holds > holds*1.005 || e.Needs > e.Holds {
		t.Errorf("%+v: want %.3f V of %.3f V", e, holds, need)
	}
	// At the lowest rail the coldest coil, of least resistance, still has what the hottest
	// picks up from, three times its 12 ms of operating after it was switched on.
	cold, c, v := 324*(234.5+0)/(234.5+23), 0.8*e.Farads, 0.0
	const step = 1e-6
	for range int(36e-3 / step) {
		v += step / c * ((11.4-v)/cold - v/(1.05*e.Ohms))
	}
	if picks := 8.4 * ratio; 11.4-v < picks*0.999 {
		t.Errorf("after 36 ms %.3f V of %.3f V to pick up", 11.4-v, picks)
	}
	// What the capacitor must be rid of before it helps again.
	for range int(e.Pause / step) {
		v -= step / (1.2 * e.Farads) * v / (1.05 * e.Ohms)
	}
	if v > 0.1 {
		t.Errorf("%.2f V are left in it after %v s", v, e.Pause)
	}
	// 5 * 189 ohm * 2.2 mF * 1.2 are 2.495 s: too long for an operation every second, and for the
	// 2.4 s that six seconds leave of which it is on for 60 %, not for the 3 s of half of them.
	for _, c := range []struct {
		rate, duty float64
		want       bool
	}{{1, 1, false}, {1. / 6, 0.6, false}, {1. / 6, 0.5, true}, {1. / 6, 1, true}} {
		m := *b.m
		m.OpsPerSecond, m.DutyHeat = c.rate, c.duty
		if _, ok := (relay{}).Economy(b.env, &m, sw, "logic", 0); ok != c.want {
			t.Errorf("%g a second, on for %g of it, empty after %g s: offered is %v", c.rate, c.duty, e.Pause, ok)
		}
	}
	if e, ok := (relay{}).Economy(b.env, b.m, sw, "logic", 1); ok {
		t.Errorf("with 1 V less than it picks up from: %+v", e)
	}
	bare := *sw.(*catalog.Relay)
	bare.HoldMin = catalog.Relay{}.HoldMin
	if e, ok := (relay{}).Economy(b.env, b.m, &bare, "logic", 0); ok {
		t.Errorf("of a relay that states nothing that holds it: %+v", e)
	}
}
