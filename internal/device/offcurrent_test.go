package device

import (
	"math"
	"testing"

	"example.org/pinhoist/catalog"
	q "example.org/pinhoist/internal/quantity"
)

// DERIVED: a channel of 250 uA at 1 V - 5 mV/K*25 K = 0.875 V, 50 C, falls by a decade
// in 0.15 V*323/298 = 0.16258 V; a collector of 0.2 A takes 20 uA at 0.5 V, 25 C, and a
// decade less 60 mV lower.
func TestOffCurrent(t *testing.T) {
	m := &catalog.MOSFET{VGSTh: &catalog.Threshold{ID: q.Some(q.Amp(250e-6)), Min: q.Some(q.Volt(1)), Max: q.Some(q.Volt(2))}, VGSThSlope: q.Some(q.VoltPerKelvin(5e-3))}
	p := &catalog.BJT{Polarity: "npn", ICMax: q.Some(q.Amp(0.2))}
	for _, c := range []struct {
		name      string
		got, want float64
	}{
		{"at the threshold", ChannelBelow(m, 0.875, 50), 250e-6},
		{"above it", ChannelBelow(m, 2, 50), 250e-6},
		{"a decade under it", ChannelBelow(m, 0.875-0.16258, 50), 25e-6},
		{"nothing on the gate", ChannelBelow(m, 0, 50), 0},
		{"margin for a hundredth", ChannelMargin(m, 2.5e-6, 50), 0.32517},
		{"no margin", ChannelMargin(m, 1e-3, 50), 0},
		{"a base at its limit", CollectorBelow(p, 0.5, 25), 20e-6},
		{"a decade under it", CollectorBelow(p, 0.44, 25), 2e-6},
		{"margin of a base", BaseMargin(p, 2e-6, 25), 0.06},
	} {
		if math.Abs(c.got-c.want) > 1e-4*math.Max(c.want, 1e-9) {
			t.Errorf("%s: %g, want %g", c.name, c.got, c.want)
		}
	}
}
