package topology

import (
	"math"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/load"
	"example.org/pinhoist/internal/preferred"
	"example.org/pinhoist/internal/waveform"
)

// A resistor and a capacitor across a contact on DC, which a stage as built may have in
// place of a clamp, or beside one. They let the voltage rise slowly enough for the
// contact to get out of its way; the contact's own figure for such loads, stated with
// nothing across it, is not bettered by them.

// filmSelf is the time constant, s, of what a film capacitor loses by itself in the
// heat: 1,000 s and more when cold (common practice, no source).
const filmSelf = 100.0

// acrossContactDC takes what is stated.
func (s *relayStage) acrossContactDC() {
	if s.l.Rail.AC || !s.given.Snubber.Said || s.given.Snubber.ID == "" || s.to == nil {
		return
	}
	p, _ := s.env.Catalog.Part(s.given.Snubber.ID)
	c, ok := p.(*catalog.Capacitor)
	if !ok {
		return
	}
	r := resistor{absent: true}
	if s.given.RSnubber.Said {
		r = s.env.stated(s.given.RSnubber, 0)
	}
	most := float64(c.C.Or(0)) * (1 + float64(c.Tolerance.Or(0)))
	s.snub = snubber{cap: c, r: r, leak: most * s.l.VMax / filmSelf, energy: most * s.l.VMax * s.l.VMax / 2, cost: priceNumber(&c.Common)}
	s.held = true
}

// swing is the loop that the opening contact leaves, as the worst of its ends bounds it:
// the most that the winding holds, the least capacitance, the most resistance before it.
func (s *relayStage) swing() (c waveform.ContactRC, ok bool) {
	w := &s.to.winding
	c = waveform.ContactRC{V: s.l.VMax, I0: max(w.IMax, w.IStall), R: w.RMin, L: w.LMax.V, RS: s.snub.r.hi(), C: s.snub.least()}
	return c, w.LMax.OK && w.LMin.OK && c.L > 0 && w.LMin.V > 0 && c.C > 0
}

// bears is the voltage, V, that the contact may see while it opens: that of a glow, or the
// greatest that it is stated to switch, the crest on AC, where that is less. The gap of a
// reed does not bear the 300 V that a power contact's does.
func (s *relayStage) bears() float64 {
	return min(glow, max(float64(s.c.VDCMax.Or(0)), math.Sqrt2*float64(s.c.VACMax.Or(0))))
}

// swingCheck judges the energy that swings over into the capacitor: at the voltage that
// the contact bears it may hold no more.
func (s *relayStage) swingCheck() design.Check {
	c := design.Check{Brief: s.env.Brief, ID: design.ClampEnergy, Unit: design.J, K: s.pol.Energy, Source: s.snub.cap.Provenance}
	x, ok := s.swing()
	c.Formula = "L*I^2/2 + C*V^2/2 = {stress} swings into {C}; it stays under {V_open} over the contact up to {rating}"
	room := s.bears() - x.V
	if x.C <= 0 || room <= 0 {
		c.NoSolution, c.Because = true, "the rail alone is at the voltage that the contact bears while it opens"
	} else {
		resistance := 1.0
		if ok {
			resistance += x.RS * x.RS * x.C / s.to.winding.LMin.V
		}
		c.Rating = design.Known(x.C * room * room / 2 / resistance)
	}
	if ok {
		c.Stress = design.Known(x.Energy())
	} else {
		c.Needs("load.inductance")
	}
	c.SetArgs(design.Arg{Name: "C", V: x.C, Unit: farad}, design.Arg{Name: "V_open", V: s.bears(), Unit: design.V})
	c.SetCorner(design.CornerValue{Name: "rail", V: x.V}, design.CornerValue{Name: "load.l", V: x.L})
	judge(&c)
	return c
}

// loadDecay is how long the current of a load on DC goes on once the contact is open, s.
func (s *relayStage) loadDecay(p *relayPlan) design.Number {
	if p.clamp != nil {
		return p.clamp.TDecay
	}
	if !s.held {
		return design.Number{}
	}
	x, ok := s.swing()
	if !ok {
		return design.Number{}
	}
	let := s.to.winding.IRelease
	if let <= 0 {
		let = s.to.winding.IRelease10
	}
	x.RS = s.snub.r.lo()
	t, rings := x.Decay(let)
	if !rings {
		return design.Number{}
	}
	return design.Known(t)
}

// rcChecks are the checks of what is stated across a contact on DC: of its parts, and
// where nothing else limits the voltage of that too.
func (s *relayStage) rcChecks() {
	x, c := &s.snub, s.snub.cap
	most := float64(c.C.Or(0)) * (1 + float64(c.Tolerance.Or(0)))
	var volts, energy design.Number // over the capacitor; into the resistor, each opening and closing
	across := s.l.VMax              // over the resistor
	if o := s.plan.clamp; o != nil {
		volts = o.VPeak
		if volts.OK {
			energy, across = design.Known(most*volts.V*volts.V), max(across, volts.V)
		}
	} else {
		for _, id := range [...]design.CheckID{design.ClampVoltage, design.ClampStandoff, design.ClampCurrent, design.ClampPower} {
			s.na(id, "a resistor and a capacitor across the contact take the place of a clamp")
		}
		s.d.Checks = append(s.d.Checks, s.swingCheck())
		if w, ok := s.swing(); ok {
			volts, energy = design.Known(w.Capacitor()), design.Known(w.Energy()+x.energy)
			across = max(across, w.RS*math.Sqrt(2*w.Energy()/s.to.winding.LMin.V))
			s.value(design.VPeakOff, w.Peak(), design.V)
			s.value(design.ETurnoff, w.Energy(), design.J)
		}
		s.valueOf(design.TDecay, s.loadDecay(&s.plan), design.S)
	}
	k := design.Check{Brief: s.env.Brief, ID: design.CapacitorVoltage, Unit: design.V, K: s.pol.VCapacitor, Source: c.Provenance,
		Stress: volts, Rating: known(c.VDCMax)}
	if !volts.OK {
		k.Needs("load.inductance")
	}
	if !k.Rating.OK {
		k.Rating, k.Because = design.Known(0), "not stated"
		k.Needs("v_dc_max")
	}
	k.Formula = "snubber: it swings to {stress} at the most, and bears {rating}"
	if c.Dielectric != "film" {
		k.NoSolution, k.Because = true, "what swings changes its sign, and a snubber is pulsed: a film capacitor is wanted"
	}
	k.SetCorner(design.CornerValue{Name: "rail", V: s.l.VMax})
	judge(&k)
	s.worstOfCapacitor(k, x, s.l.VMax)
	power := energy
	power.V *= s.l.OpsPerSecond
	s.loadOf("snubber", "what the opening frees and C V^2/2 of each closing", x.r, power, across, "load.inductance")
	a, b := s.contactNodes()
	s.snubberParts(x, a, b)
	s.leakageCheck(design.Known(x.leak), "")
}

// ContactRC is the resistor and the film capacitor that the old rule of thumb puts across
// a contact which opens a load on DC, larger where the contact asks for it: the winding
// stays under the voltage of a glow, (I/300 V)^2 L, and the voltage rises by no more than
// 1 V/us, I*1 us/V (a capacitor maker's note on contact protection). ok is false on AC,
// for a load that is no winding or states no inductance, and where the catalogue holds
// no such capacitor.
func ContactRC(e *Env, m *load.Model) (c *catalog.Capacitor, ohms float64, ok bool) {
	to, is := m.Memo.(*turnOff)
	if !is || m.Rail.AC || !to.winding.LMax.OK {
		return nil, 0, false
	}
	w := &to.winding
	farads, r := waveform.ClassicRC(m.VNom, m.INom)
	room := glow - m.VMax
	if room <= 0 {
		return nil, 0, false
	}
	farads = max(farads, w.IMax*w.IMax*w.LMax.V/(room*room), w.IMax*1e-6)
	ohms, ok = preferred.NextUp(preferred.E12, r)
	if !ok {
		return nil, 0, false
	}
	for _, c := range e.film {
		if design.AtMost(farads, float64(c.C.Value())*(1-float64(c.Tolerance.Value()))) && design.AtMost(m.VMax, float64(c.VDCMax.Value())) {
			return c, ohms, true
		}
	}
	return nil, 0, false
}
