package load

import (
	"math"
	"testing"

	"example.org/pinhoist/internal/job"
	q "example.org/pinhoist/internal/quantity"
)

// The same thing on twice the voltage. DERIVED from each kind's law by hand: V/R
// twice; a filament 2^0.55 = 1.464 and its cold inrush V/R twice, 15 x 2/1.464 =
// 20.49 times the new steady current; an LED of 9 V on 12 V (24 - 9)/(12 - 9) = 5;
// constant power half, and its capacitor's charging peak twice: 5 x 2/0.5 = 20.
func TestHeld(t *testing.T) {
	for _, tt := range []struct {
		kind          job.Kind
		factor        float64
		draw, inrush  float64
		startsAtTwice bool
	}{
		{job.Solenoid, 1, 2, 1, false},
		{job.Motor, 8, 2, 8, true},
		{job.Lamp, 15, math.Pow(2, 0.55), 15 * 2 / math.Pow(2, 0.55), true},
		{job.LED, 1, 5, 1, false},
		{job.Electronic, 5, 0.5, 20, true},
		{job.Signal, 1, 1, 1, false},
	} {
		l := job.Load{Kind: tt.kind, Current: 0.8, Vf: 9, Rail: job.Rail{Nom: 12, Min: 10.8, Max: 13.2}}
		l.Inrush = job.Figure[q.Ratio]{Value: q.Ratio(tt.factor), Known: true}
		l.VoltageMin = job.Figure[q.Volt]{Value: 8.64, Known: true}
		l.MustOperate = job.Figure[q.Ratio]{Value: 0.75, Easy: 0.75, Known: true}
		on := l
		on.Rail = job.Rail{Nom: 24, Min: 21.6, Max: 26.4}
		on.VoltageMin.Value = 17.28
		on.Isolation = job.InsulationBasic
		h := Held(&l, &on)
		if got := float64(h.Current) / 0.8; math.Abs(got/tt.draw-1) > 1e-9 {
			t.Errorf("%s draws %v times, want %v", tt.kind, got, tt.draw)
		}
		if got := float64(h.Inrush.Value); math.Abs(got/tt.inrush-1) > 1e-9 {
			t.Errorf("%s has an inrush of %v, want %v", tt.kind, got, tt.inrush)
		}
		if got := float64(h.Inrush.Value) * float64(h.Current) / (0.8 * tt.factor); tt.startsAtTwice && math.Abs(got-2) > 1e-9 {
			t.Errorf("%s starts with %v times, want twice", tt.kind, got)
		}
		if h.VoltageMin.Value != 8.64 || h.Rail != on.Rail || h.Isolation != on.Isolation {
			t.Errorf("%s: least voltage %v on %v", tt.kind, h.VoltageMin.Value, h.Rail)
		}
		if got := float64(h.MustOperate.Value) * float64(h.Rail.Nom); math.Abs(got-9) > 1e-9 {
			t.Errorf("must operate at %v V, want the 9 V it had", got)
		}
		if l.Current != 0.8 || l.Inrush.Value != q.Ratio(tt.factor) {
			t.Error("the load itself changed")
		}
	}
}
