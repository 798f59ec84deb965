package device

import (
	"strings"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	q "example.org/pinhoist/internal/quantity"
)

const (
	// anyAmbient is an ambient, degrees Celsius, that no job reaches: a coil figure
	// stated there serves every air.
	anyAmbient q.Celsius = 300
	// anyLength is an L/R or a pulse, s, longer than any that is not for ever.
	anyLength q.Second = 1e6
)

func supplyRelay(p *catalog.Relay, figure string, at Condition) (Supplied, bool) {
	switch figure {
	case "r_th_coil_max":
		return atMost(design.KPerW, 1, 1000, func(v float64) { p.RthCoil = q.Some(q.KelvinPerWatt(v)) })
	case "t_coil_max":
		return atLeast(design.DegC, 20, 300, func(v float64) { p.TCoilMax = q.Some(q.Celsius(v)) })
	case "l_coil_max":
		return atMost("H", 1e-4, 100, func(v float64) { p.LCoilMax = q.Some(q.Henry(v)) })
	case "v_coil_max.max":
		return atLeast(design.One, 0.1, 10, func(v float64) {
			p.VCoilMax = []catalog.CoilMaxPoint{{Ta: q.Some(anyAmbient), Max: q.Some(q.Ratio(v))}}
		})
	case "time_max.release":
		return atMost(design.S, 1e-5, 1, func(v float64) {
			t := catalog.RelayTimes{}
			if p.TimeMax != nil {
				t = *p.TimeMax
			}
			t.Release = q.Some(q.Second(v))
			p.TimeMax = &t
		})
	}
	if key, ok := strings.CutPrefix(figure, "isolation."); ok {
		return supplyIsolation(p, key)
	}
	if key, ok := strings.CutPrefix(figure, "no."); ok && p.NO != nil {
		return supplyContact(p.NO, key, at)
	}
	if key, ok := strings.CutPrefix(figure, "series."); ok && p.Series != nil {
		return supplyContact(p.Series, key, at)
	}
	return Supplied{}, false
}

func supplyIsolation(p *catalog.Relay, key string) (Supplied, bool) {
	i := p.Isolation
	if i == nil {
		return Supplied{}, false // a grade is no number: the whole table is missing
	}
	switch key {
	case "v_working_max":
		return atLeast(design.V, 1, 1e5, func(v float64) { i.VWorking = q.Some(q.Volt(v)) })
	case "v_impulse":
		return atLeast(design.V, 1, 1e6, func(v float64) { i.VImpulse = q.Some(q.Volt(v)) })
	case "clearance":
		return atLeast(design.Metres, 1e-5, 1, func(v float64) { i.Clearance = q.Some(q.Metre(v)) })
	case "creepage":
		return atLeast(design.Metres, 1e-5, 1, func(v float64) { i.Creepage = q.Some(q.Metre(v)) })
	}
	return Supplied{}, false
}

// supplyContact states a contact figure as the load would need it: of every
// category and kind at once, since only that of the load is read, at the highest
// voltage of the contact and for any length.
func supplyContact(c *catalog.Contact, key string, at Condition) (Supplied, bool) {
	volts := q.Some(q.Volt(max(at.VMax, at.VPeak)))
	switch key {
	case "i_carry_max":
		return atLeast(design.A, 1e-3, 1e4, func(v float64) { c.ICarry = q.Some(q.Amp(v)) })
	case "v_dc_max":
		return atLeast(design.V, 1, 1e4, func(v float64) { c.VDCMax = q.Some(q.Volt(v)) })
	case keyDC:
		return supplyDC(c, volts)
	case keyMake:
		base := c.Make[:len(c.Make):len(c.Make)]
		return atLeast(design.A, 1e-3, 1e5, func(v float64) {
			c.Make = base
			for _, load := range [...]string{"lamp", "capacitive", "motor", "inductive", "resistive"} {
				c.Make = append(c.Make, catalog.MakePoint{Load: load, Supply: "dc", V: volts, I: q.Some(q.Amp(v)), T: q.Some(anyLength)})
			}
		})
	case keyLife:
		return atLeast(design.Ops, 1, 1e12, func(v float64) {
			c.Life = nil
			for _, cat := range [...]string{catDCResistive, catDCSeries, catDCLamp, catDCInductive} {
				n := v
				c.Life = append(c.Life, catalog.LifePoint{V: volts, I: q.Some(q.Amp(at.ISteady)), Category: cat, LoverR: q.Some(anyLength), Operations: &n})
			}
		})
	case "wetting.i":
		return atMost(design.A, 1e-9, 100, func(v float64) { c.Wetting = wettingWith(c.Wetting, q.Some(q.Amp(v)), q.None[q.Volt]()) })
	case "wetting.v":
		return atMost(design.V, 1e-6, 1000, func(v float64) { c.Wetting = wettingWith(c.Wetting, q.None[q.Amp](), q.Some(q.Volt(v))) })
	case "rate_max":
		return atLeast(design.PerHour, 1, 1e6, func(v float64) { c.RateMax = q.Some(q.Rate(v / 3600)) })
	case "r_contact_max":
		return atMost(design.Ohm, 1e-5, 10, func(v float64) { c.RContact = q.Some(q.Ohm(v)) })
	}
	return Supplied{}, false
}

// supplyDC states the figure of the load's own category; a resistive one that is
// there already stays, so that only what was missing is promised.
func supplyDC(c *catalog.Contact, volts q.Opt[q.Volt]) (Supplied, bool) {
	base := c.DC[:len(c.DC):len(c.DC)]
	return atLeast(design.A, 1e-3, 1e4, func(v float64) {
		c.DC = base
		for _, cat := range [...]string{catDCResistive, catDCShunt, catDCSeries, catDCLamp, catDCInductive} {
			c.DC = append(c.DC, catalog.ContactPoint{V: volts, I: q.Some(q.Amp(v)), Category: cat, LoverR: q.Some(anyLength)})
		}
	})
}

// wettingWith is a stated minimum with one side changed.
func wettingWith(w *catalog.Wetting, i q.Opt[q.Amp], v q.Opt[q.Volt]) *catalog.Wetting {
	n := catalog.Wetting{}
	if w != nil {
		n = *w
	}
	if i.Known() {
		n.I = i
	}
	if v.Known() {
		n.V = v
	}
	return &n
}
