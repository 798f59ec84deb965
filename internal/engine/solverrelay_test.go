package engine_test

import (
	"math"
	"slices"
	"sync/atomic"
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/load"
	q "example.org/pinhoist/internal/quantity"
)

// bothPoles are two closing poles in series: they do what is stated for both, and what one does.
func bothPoles(p *catalog.Relay) *catalog.Contact {
	c := *p.Series
	c.AC, c.DC, c.Make = slices.Concat(c.AC, p.NO.AC), slices.Concat(c.DC, p.NO.DC), slices.Concat(c.Make, p.NO.Make)
	if !c.VACMax.Known() {
		c.VACMax = p.NO.VACMax
	}
	return &c
}

// checkContacts asks of the contact that a fitting relay closes what its stated figures
// say, by arithmetic of its own. No contact is believed beyond its own figure of the
// load's category or, for want of one, the trade's share of its resistive one.
func checkContacts(fail func(string, ...any), m *load.Model, p *catalog.Relay, d *design.Design) {
	c := p.NO
	if m.Unpowered == "on" || c == nil {
		c = p.NC
	}
	if d.Choice.Poles == job.PolesSeries {
		c = bothPoles(p)
	}
	if c == nil {
		fail("no such contact is stated")
		return
	}
	ac, v := m.Rail.AC, float64(m.Rail.Nom)
	points, most, crest := c.DC, float64(c.VDCMax.Or(0)), 1.0
	if ac {
		points, most, crest = c.AC, float64(c.VACMax.Or(0)), math.Sqrt2
	}
	if v > most*(1+1e-9) {
		fail("%.3g V on a contact of %.3g V", v, most)
	}
	at := func(category string) (i float64) { // the most that is stated at this voltage or more
		for _, x := range points {
			if x.Category == category && float64(x.V.Value()) >= v*(1-1e-9) {
				i = math.Max(i, float64(x.I.Value()))
			}
		}
		return i
	}
	i := contactCurrent(m, d)
	if i > float64(c.ICarry.Value())*1.001 {
		fail("carries %.3g A of %.3g A", i, float64(c.ICarry.Value()))
	}
	own, share := contactUse(m, d)
	resistive := at(map[bool]string{true: "AC-1", false: "DC-1"}[ac])
	if allowed := math.Max(at(own), share*resistive); i > allowed*1.001 {
		fail("breaks %.3g A, %s of %.3g A", i, own, allowed)
	}
	if m.HasInrush {
		// A category's own make, or a make figure of any load; a resistive figure's crest.
		makes := math.Max(crest*resistive, math.Max(10*crest*at("AC-15"), 6*crest*at("AC-3")))
		for _, x := range c.Make {
			if (x.Supply == "ac") == ac && float64(x.V.Value()) >= v*(1-1e-9) {
				makes = math.Max(makes, float64(x.I.Value()))
			}
		}
		if peak := m.PeakCurrent(); peak > makes*1.001 {
			fail("makes %.3g A of %.3g A", peak, makes)
		}
	}
	if w := c.Wetting; w != nil {
		ohms, emf := theLoad(m, m.VMin, false, m.TMax)
		if least := (m.VMin - emf) / ohms; m.Kind != job.ACSupply && m.Kind != job.Electronic && least < float64(w.I.Value())*(1-1e-3) {
			fail("at least %.3g A through a contact that wants %.3g A", least, float64(w.I.Value()))
		}
	}
	if r, ok := c.RateMax.Get(); ok && m.OpsPerSecond > float64(r)*(1+1e-9) {
		fail("%.3g operations a second of %.3g", m.OpsPerSecond, float64(r))
	}
	for _, e := range d.Elements {
		if off := 2 * math.Pi * float64(m.Rail.Frequency) * e.Value * m.VMax; e.Kind == "capacitor" && ac && m.OffCurrent.Known && off > float64(m.OffCurrent.Value)*1.001 {
			fail("%.3g A through its snubber, the load tolerates %.3g A", off, float64(m.OffCurrent.Value))
		}
	}
}

// contactCurrent is the most that the load draws, A.
func contactCurrent(m *load.Model, d *design.Design) float64 {
	if m.Kind == job.ACSupply || m.Kind == job.Electronic {
		return float64(m.Current) * m.VNom * (1 + float64(m.Tolerance)) / m.VMin
	}
	ohms, emf := theLoad(m, m.VMax, true, m.TMin)
	for _, e := range d.Elements { // a bare LED's resistor, at its least
		if e.Role == design.RoleSeriesResistor {
			ohms += e.Value * 0.95
		}
	}
	return math.Max(0, (m.VMax-emf)/ohms)
}

// contactUse is the category of a load and what of a resistive figure the trade lets it
// have: a winding on DC whose clamp takes its energy counts as a resistance.
func contactUse(m *load.Model, d *design.Design) (category string, share float64) {
	onDC := 0.16
	if m.VNom > 48 {
		onDC = 0.1
	}
	switch {
	case m.Kind == job.ACLamp:
		return "AC-5b", 0.1
	case m.Kind == job.ACMotor:
		return "AC-3", 0.2
	case m.Rail.AC && m.Inductive:
		return "AC-15", 0.3
	case m.Rail.AC:
		return "AC-1", 1
	case m.Kind == job.Lamp:
		return "DC-6", 0.1
	case m.Inductive && len(d.Choice.Clamp) > 0 && m.Kind != job.Motor:
		return "DC-13", 1
	case m.Kind == job.Motor:
		return "DC-5", onDC
	case m.Inductive:
		return "DC-13", onDC
	}
	return "DC-1", 1
}

// The judge of contacts sees one that bears a ten-thousandth of what fits.
func TestContactJudgeSeesAFault(t *testing.T) {
	var looked atomic.Int64
	pairs(t, 29, func(t testing.TB, g gen, s *study) {
		rl, ok := s.sw.(*catalog.Relay)
		if !ok || s.d.Verdict != design.Fits {
			return
		}
		looked.Add(1)
		p := catalog.Clone(rl).(*catalog.Relay)
		for _, c := range []*catalog.Contact{p.NO, p.NC, p.Series} {
			if c == nil {
				continue
			}
			c.ICarry = q.Some(c.ICarry.Value() / 1e4)
			for _, list := range [][]catalog.ContactPoint{c.AC, c.DC} {
				for k := range list {
					list[k].I = q.Some(list[k].I.Value() / 1e4)
				}
			}
		}
		seen := 0
		checkContacts(func(string, ...any) { seen++ }, s.m, p, s.d)
		if seen < 2 {
			t.Errorf("%s\nits contact bears a ten-thousandth, and only %d things are wrong", s, seen)
		}
	})
	if looked.Load() < int64(pairCount(t)/50) {
		t.Errorf("only %d relays that fit were looked at", looked.Load())
	}
}
