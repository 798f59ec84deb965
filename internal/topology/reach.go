package topology

import (
	"math"
	"slices"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/clamp"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/device"
	"example.org/pinhoist/internal/load"
	"example.org/pinhoist/internal/thermal"
)

// Reach is what a coil, or the load of a level shifter, asks of any low-side
// driver, worked out once, so that a switch which cannot do it is passed over
// without a stage designed around it. Its answers are bounds: the true verdict is
// never better, the true cost never less.
type Reach struct {
	// Floor is the best verdict that any driver can reach: that of the coil's
	// pick-up with no drop at all, which no switch improves, and of the best clamp.
	Floor design.Verdict

	env       *Env
	l         *load.Model
	menu      []clamp.Option
	peak      float64        // load current that must be carried, A
	drop      float64        // the most that the switch may drop for the coil to pick up, V
	dropFails design.Verdict // the best verdict with more

	// Least cost of what stands beside one switch and its clamp, by its kind.
	besideFET, besideBJT, besidePair float64
	cheapest                         float64 // of the clamps that are no worse than the floor
	bridge                           float64 // of what stands beside both low sides of a bridge, for a coil that is reversed
}

// NewReach works the bounds out for a coil.
func NewReach(e *Env, coil *load.Model) *Reach {
	b := &Reach{env: e, l: coil, peak: coil.PeakCurrent(), drop: math.Inf(1), dropFails: design.Over}
	var d design.Design
	s := begin(&Env{Brief: true}, coil, &Given{}, &d, "", nil)
	s.coilPickup(design.Known(0), design.Number{})
	c := &d.Checks[0]
	b.Floor = c.Verdict
	if c.Stress.OK {
		b.drop = c.Rating.V - c.Stress.V
	}
	if c.EasyStress.OK {
		b.dropFails = design.Unproven
	}
	if to, ok := coil.Memo.(*turnOff); ok && !coil.Reversing { // the diodes of a bridge are its clamp
		b.menu = to.menu
		if len(b.menu) == 0 {
			b.Floor = design.Over
		} else {
			b.Floor = max(b.Floor, b.menu[0].Verdict)
		}
	}
	b.beside()
	if coil.Reversing {
		b.bridge = e.leastBridge(coil)
		if coil.Rail.IsPin { // which nobody knows to take back what the coil holds
			b.Floor = max(b.Floor, design.Unproven)
		}
	}
	return b
}

// shiftReach is the reach of a level shifter for a resistance: no coil has to pick
// up, and what it may drop is asked of it.
func shiftReach(e *Env, m *load.Model) *Reach {
	b := &Reach{env: e, l: m, peak: m.PeakCurrent(), drop: math.Inf(1), dropFails: design.Over}
	if _, ok := m.Memo.(gateCharge); ok { // it need not be in saturation for that
		b.peak = m.IMax
	}
	if m.VoltageMin.Known && !m.VoltageMin.Assumed {
		b.drop = m.VMin - float64(m.VoltageMin.Value)
	}
	return b
}

// beside adds up the pull-down of a transistor and what stands in its control
// line: the resistor of a base, that of a gate where a link would overload the
// pin. A Darlington may hold itself off.
func (b *Reach) beside() {
	least := b.env.leastResistor
	b.besidePair, b.besideBJT, b.besideFET = least, 2*least, least
	if b.env.gateNeedsResistor() {
		b.besideFET += least
	}
	b.cheapest = b.clampCost(design.Number{})
}

// clampCost is the cheapest clamp of the menu that is no worse than the floor
// and keeps the voltage under a rating, where that is known.
func (b *Reach) clampCost(rating design.Number) float64 {
	least := math.Inf(1)
	for i := range b.menu {
		o := &b.menu[i]
		switch {
		case o.Verdict > b.Floor || !o.Cost.OK || o.Cost.V >= least:
		case o.VPeak.OK && bound(rating, max(b.env.Policy.V, b.env.Policy.FETVoltage()), o.VPeak.V) > b.Floor:
		default:
			least = o.Cost.V
		}
	}
	if math.IsInf(least, 1) {
		return 0
	}
	return least
}

// Least is the least cost of a stage around a single transistor of any kind,
// without the transistor.
func (b *Reach) Least() float64 {
	if b.l.Reversing {
		return b.bridge * b.each()
	}
	return (min(b.besidePair, b.besideFET) + b.cheapest) * b.each()
}

// Cost is the least cost of a stage around a switch of that price whose verdict
// is no worse than the floor.
func (b *Reach) Cost(sw catalog.Part, price float64) float64 {
	if b.l.Reversing {
		return (2*price + b.bridge) * b.each()
	}
	switch p := sw.(type) {
	case *catalog.BJT:
		beside := b.besideBJT
		if p.Darlington != nil && *p.Darlington {
			beside = b.besidePair
		}
		return (price + beside + b.clampCost(known(p.VCEOMax))) * b.each()
	case *catalog.MOSFET:
		return (price + b.besideFET + b.clampCost(known(p.VDSMax))) * b.each()
	}
	return price // an array may serve several stages, with clamps of its own
}

// each is how many stages the load asks for.
func (b *Reach) each() float64 { return float64(max(1, b.l.Quantity)) }

// Verdict is the best that a stage around a switch can come to: over where its
// rated current or voltage is under what the load alone asks, tight where the
// policy's share of them is, unproven where no on-resistance of a MOSFET is
// stated at what the pin gives or where no clamp keeps the voltage under the
// rating; over where it drops too much for the coil, or gets too hot without a
// sink and none fits.
func (b *Reach) Verdict(sw catalog.Part) design.Verdict {
	switch p := sw.(type) {
	case *catalog.BJT:
		return b.bipolar(p)
	case *catalog.MOSFET:
		return b.mosfet(p)
	}
	return design.Fits
}

func (b *Reach) bipolar(p *catalog.BJT) design.Verdict {
	v := bound(known(p.ICMax), b.env.Policy.I, b.l.IMax)
	if v = max(v, b.blocks(known(p.VCEOMax))); v > b.Floor {
		return v
	}
	gain := device.BaseCurrent(p, b.peak, b.l.TMin)
	least := math.Inf(1)
	if gain.VCE > 0 {
		least = gain.VCE
	}
	device.SaturationPoints(p, b.peak, func(pt device.SaturationPoint) { least = min(least, pt.V) })
	if b.dropsTooMuch(least) { // what is typical of it may still do
		v = max(v, design.Unproven)
	}
	if b.starved(p, &gain) {
		v = max(v, design.Tight)
	}
	return v
}

// starved reports whether no base resistor gives the base what the policy asks
// for, or none without overloading the pin.
func (b *Reach) starved(p *catalog.BJT, gain *device.Gain) bool {
	vbe := device.VBEMax(p, b.peak, b.l.TMin)
	if !gain.Base.OK || !vbe.OK {
		return true
	}
	pin := &b.env.Pin
	most := (float64(pin.SupplyMin) - vbe.V) / (float64(pin.ROutMax) + float64(p.RBInternal.Or(0)))
	return !design.AtMost(b.env.Policy.Overdrive*gain.Base.V, min(most, float64(pin.SourceMax)))
}

func (b *Reach) mosfet(p *catalog.MOSFET) design.Verdict {
	v := bound(known(p.IDCase25), b.env.Policy.I, b.l.IMax)
	if v = max(v, b.blocks(known(p.VDSMax))); v > b.Floor {
		return v
	}
	ron, _, _ := device.OnResistance(p, float64(b.env.Pin.SupplyMin), b.peak)
	if !ron.OK {
		return max(v, design.Unproven)
	}
	alpha, _ := device.HotSlope(p)
	r := ron.V * (1 + alpha*max(0, b.l.TMax-device.Room)) // it is no cooler than the air
	if b.dropsTooMuch(b.l.ILow * r) {
		v = max(v, b.dropFails)
	}
	return max(v, b.heats(&p.Common, &p.Heat, b.l.IHot*b.l.IHot*r))
}

// heats is the best verdict on the junction of a part that loses w watts at the
// least and that no heat sink of the catalogue fits.
func (b *Reach) heats(c *catalog.Common, h *catalog.Heat, w float64) design.Verdict {
	limit, ok := h.TjMax.Get()
	if b.l.Mode == "pwm" || !ok {
		return design.Fits
	}
	rth, ok := thermal.JunctionToAir(h, b.env.Catalog.PackageOf(c), float64(b.l.CopperArea))
	if !ok || b.l.TMax+rth*w <= float64(limit)-b.env.Policy.JunctionBelow(float64(limit)) {
		return design.Fits
	}
	for _, s := range b.env.Sinks {
		if slices.Contains(s.Fits, c.Package) {
			return design.Fits
		}
	}
	if b.l.TMax+rth*w <= float64(limit)*(1+1e-12) {
		return design.Tight
	}
	return design.Over
}

func (b *Reach) dropsTooMuch(v float64) bool { return v > b.drop && !design.AtMost(v, b.drop) }

// blocks is the best verdict of clamp and blocking voltage together.
func (b *Reach) blocks(rating design.Number) design.Verdict {
	v := bound(rating, max(b.env.Policy.V, b.env.Policy.FETVoltage()), b.l.VMax)
	if len(b.menu) == 0 || !rating.OK || v > design.Unproven {
		return v
	}
	best := design.Over
	for i := range b.menu {
		o := &b.menu[i]
		if o.Verdict >= best { // the menu has the best verdicts first
			break
		}
		with := design.Unproven
		if o.VPeak.OK {
			with = bound(rating, max(b.env.Policy.V, b.env.Policy.FETVoltage()), o.VPeak.V)
			if o.VPeakEasy.OK {
				with = min(with, design.Unproven)
			}
		}
		best = min(best, max(o.Verdict, with))
	}
	return max(v, best)
}

func bound(rating design.Number, k, demand float64) design.Verdict {
	switch {
	case !rating.OK:
		return design.Fits
	case !design.AtMost(demand, rating.V):
		return design.Over
	case !design.AtMost(demand, k*rating.V):
		return design.Tight
	}
	return design.Fits
}
