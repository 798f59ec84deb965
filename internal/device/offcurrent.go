package device

import (
	"math"

	"example.org/pinhoist/catalog"
	q "example.org/pinhoist/internal/quantity"
)

// A threshold is no edge. A MOSFET takes its threshold's test current at its least
// threshold, and a tenth of it for so much less on the gate; a bipolar transistor
// takes a small share of its greatest current at its least on voltage, and less by
// the exponential law of its junction. Both steps grow with absolute temperature
// (common practice, no source; the ideal limit of either is 0.06 V a decade at 25 C).
const (
	channelDecade  = 0.15 // V at 25 C
	junctionDecade = 0.06 // V at 25 C
	onShare        = 1e-4 // of the greatest collector current
	thresholdAmps  = 1e-3 // of a threshold whose test current is not stated, A
)

func decade(at25, t float64) float64 { return at25 * (t + q.ZeroCelsius) / (Room + q.ZeroCelsius) }

// barely is what a MOSFET takes at its least threshold, A.
func barely(p *catalog.MOSFET) float64 {
	if p.VGSTh == nil {
		return thresholdAmps
	}
	if i, ok := p.VGSTh.ID.Get(); ok {
		return float64(i)
	}
	return thresholdAmps
}

// ChannelBelow is what a MOSFET takes at the most with v between gate and source, A,
// beyond what it takes with nothing there, at junction temperature t, degrees
// Celsius. v is not above its least threshold: there its test current flows.
func ChannelBelow(p *catalog.MOSFET, v, t float64) float64 {
	vth, _, _ := Threshold(p, t)
	if !vth.OK || v <= 0 {
		return 0
	}
	return below(barely(p), v, vth.V, decade(channelDecade, t))
}

// ChannelMargin is how far under its least threshold a gate must stay, V, for the
// channel to take no more than i, A, at junction temperature t.
func ChannelMargin(p *catalog.MOSFET, i, t float64) float64 {
	return margin(barely(p), i, decade(channelDecade, t))
}

// CollectorBelow is what a bipolar transistor takes at the most with v between base
// and emitter, A, at junction temperature t, degrees Celsius. v is not above its
// least on voltage.
func CollectorBelow(p *catalog.BJT, v, t float64) float64 {
	on := VBEOnMin(p, t)
	if v <= 0 {
		return 0
	}
	return below(onShare*float64(p.ICMax.Or(0)), v, on, collectorDecade(p, t))
}

// BaseMargin is how far under its least on voltage a base must stay, V, for the
// collector to take no more than i, A, at junction temperature t.
func BaseMargin(p *catalog.BJT, i, t float64) float64 {
	return margin(onShare*float64(p.ICMax.Or(0)), i, collectorDecade(p, t))
}

func collectorDecade(p *catalog.BJT, t float64) float64 {
	if IsDarlington(p) {
		return 2 * decade(junctionDecade, t)
	}
	return decade(junctionDecade, t)
}

// below is never less at a hotter junction, whose on is less.
func below(at, v, on, step float64) float64 {
	if v >= on {
		return at
	}
	return at * (math.Pow(10, (v-on)/step) - math.Pow(10, -on/step))
}

func margin(at, i, step float64) float64 {
	if i <= 0 || i >= at {
		return 0
	}
	return step * math.Log10(at/i)
}
