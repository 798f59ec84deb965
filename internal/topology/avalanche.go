package topology

import (
	"math"

	"example.org/pinhoist/internal/clamp"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/device"
)

const (
	// breakdownSpread is how far above its stated least a drain may break down
	// (common practice, no source); it counts where a higher voltage is the worse.
	breakdownSpread = 1.5

	breaksDown = "the drain breaks down by design and limits the voltage itself"
	byItself   = "no clamp: the switch breaks down and takes the energy itself"
)

// breakdown is a winding that is switched off into the avalanche of its switch.
type breakdown struct {
	on       bool          // the stage does without a clamp
	energy   design.Number // J per opening, with the edge
	time     design.Number // s until the current is zero
	decay    design.Number // s until it lets go
	rare     bool          // not more openings over life than the job grants
	counted  bool          // how many there will be is known
	junction design.Number // degC before the pulse
	bound    float64       // of it, where it is not known
}

// whyNoAvalanche says why a winding cannot be switched off into the switch's own
// breakdown, or "".
func (m *mosfetStage) whyNoAvalanche() string {
	switch l := m.l; {
	case l.AvalancheEvents <= 0:
		return "no clamp and no avalanche events granted"
	case m.p.Avalanche == nil && !m.p.EARMax.Known():
		return "no clamp, and the part states no avalanche rating"
	case l.Mode == "pwm":
		return "no clamp under pwm: the current needs a way on in every off time"
	case l.OpsPerSecond >= ratedSwitching:
		return "no clamp at one opening a second and more"
	case !m.p.VDSMax.Known():
		return "no clamp, and the voltage of breakdown is not stated"
	}
	return ""
}

// letBreakDown decides between the clamp that was chosen and none: a job that
// grants avalanche events takes the better verdict, then the cheaper, which is
// none.
func (m *mosfetStage) letBreakDown() {
	if !m.l.Inductive || m.whyNoAvalanche() != "" || m.given.Clamp.Said && !m.noClamp {
		return
	}
	b := m.breakdown()
	if !m.noClamp {
		a := m.areaOf(m.p.SOA, &m.p.Heat, m.t, false)
		k := m.pol.FETVoltage()
		off, _ := m.longestOff()
		with := max(m.clamp.Verdict, m.blocking(m.clamp, known(m.p.VDSMax), k).Verdict, m.offCrossing(&a, m.clamp, off))
		release := m.releaseBroken(&b)
		if without := max(m.avalancheOf(&b).Verdict, release.Verdict); without > with {
			return
		}
		m.clamp, m.clamped, m.noClamp = nil, false, true
		m.vPeak, m.vPeakEst = design.Number{}, design.Number{}
	}
	m.broken = b
	m.broken.on = true
}

// breakdown works the pulse out: L at its most, R at its least, the highest rail
// and current, and the least voltage of breakdown, which makes both energy and
// time the most.
func (m *mosfetStage) breakdown() breakdown {
	to, ok := m.l.Memo.(*turnOff)
	if !ok {
		return breakdown{}
	}
	l, w := m.l, &to.winding
	b := breakdown{bound: l.TMax}
	i, vds := max(w.IMax, w.IStall), float64(m.p.VDSMax.Or(0))
	if w.LMax.OK {
		r := w.RMin
		if !design.AtMost(i*r, l.VMax) { // a stall that the steady resistance does not explain
			r = 0
		}
		e, t := clamp.AvalancheEnergy(w.LMax.V, r, i, l.VMax, vds)
		if off, _ := m.longestOff(); off.OK && !math.IsInf(e, 0) {
			b.energy, b.time = design.Known(e+0.5*breakdownSpread*vds*i*off.V), design.Known(t)
		}
		if vds > l.VMax {
			end := w.IRelease
			if end <= 0 {
				end = w.IRelease10
			}
			b.decay = design.Known(clamp.DecayTime(w.LMax.V, r, vds-l.VMax, i, end))
		}
	}
	if life, ok := l.Life.Get(); ok {
		b.counted = true
		b.rare = design.AtMost(l.OperationsPerYear*float64(life), l.AvalancheEvents)
	}
	if m.t.worst.OK && m.t.rthKnown {
		b.junction = m.t.worst
		if !b.rare && b.energy.OK {
			b.junction.V += m.t.rth * b.energy.V * l.OpsPerSecond
		}
	}
	return b
}

// avalancheOf is the avalanche check of a breakdown: energy or current, the worse.
func (m *mosfetStage) avalancheOf(b *breakdown) design.Check {
	energy := m.avalancheCheckOf(b, design.J)
	current := m.avalancheCheckOf(b, design.A)
	has := true
	keepWorse(&energy, current, &has)
	return energy
}

// avalancheCheckOf judges one of the two. A single-pulse figure serves where the
// openings over life are no more than the job grants; else the repeated one does,
// and without it nothing proves them.
func (m *mosfetStage) avalancheCheckOf(b *breakdown, unit design.Unit) design.Check {
	c := design.Check{ID: design.Avalanche, Unit: unit, K: m.pol.Energy, Source: m.d.PartSource, Brief: m.env.Brief}
	w := &m.l.Memo.(*turnOff).winding
	t, rated := b.bound, b.junction.OK
	if rated {
		t = b.junction.V
	} else {
		c.Needs("r_ds_on at this drive")
	}
	lim := device.Avalanche(m.p, t)
	if rated && !design.AtMost(t, float64(m.p.TjMax.Or(0))-m.pol.JunctionBelow(float64(m.p.TjMax.Or(0)))) {
		lim.Single.V, lim.Repeated.V, lim.Current.V = 0, 0, 0 // the junction has no room left
	}
	var rating design.Number
	switch {
	case unit == design.A:
		c.Stress, rating = design.Known(max(w.IMax, w.IStall)), lim.Current
		c.Formula = "current when it is switched off {stress}, at a junction of {T_j} {rating} is borne in avalanche"
		if !rating.OK {
			c.Needs("avalanche_max.i_as")
		}
	default:
		c.Stress = b.energy
		c.Formula = "L I^2/2 x V_BR/(V_BR - V_rail), less the winding's own share, and the edge: {stress}; at a junction of {T_j} {rating} is borne"
		m.needsForEnergy(&c)
		rating = m.energyRating(&c, b, lim)
	}
	if c.Because == "" {
		c.Because = byItself
	}
	if rated {
		c.Rating = rating
	} else {
		c.RatingEstimate = rating
	}
	if vds := float64(m.p.VDSMax.Or(0)); design.AtMost(vds, m.l.VMax) {
		c.NoSolution, c.Because = true, "the drain breaks down under the rail: the current never ends"
	}
	c.SetArgs(design.Arg{Name: "T_j", V: t, Unit: design.DegC})
	c.SetCorner(design.CornerValue{Name: "rail", V: m.l.VMax}, design.CornerValue{Name: "load.r", V: w.RMin}, design.CornerValue{Name: "load.l", V: w.LMax.V},
		design.CornerValue{Name: "ambient", V: m.l.TMax})
	judge(&c)
	return c
}

func (m *mosfetStage) needsForEnergy(c *design.Check) {
	if !m.l.Memo.(*turnOff).winding.LMax.OK {
		c.Needs("load.inductance")
	}
	if !m.tOff.OK {
		c.Needs("q_gd_max")
	}
}

// energyRating picks the figure that serves, and says what is missing.
func (m *mosfetStage) energyRating(c *design.Check, b *breakdown, lim device.AvalancheLimits) design.Number {
	if b.rare {
		if !lim.Single.OK {
			c.Needs("avalanche_max.e_as")
		}
		return lim.Single
	}
	if lim.Repeated.OK {
		c.Because = "more openings over life than the job grants: the repeated figure counts"
		return lim.Repeated
	}
	c.Because = "a single-pulse figure never serves a repeated one"
	c.Needs("e_ar_max")
	if !b.counted {
		c.Because = "how often it opens over its life is not stated, and a single-pulse figure never serves a repeated one"
		c.Needs("load.life")
	}
	c.RatingEstimate = lim.Single // what fails once fails again
	return design.Number{}
}

// releaseBroken judges the time until the load lets go; without an asked time the
// check fits.
func (m *mosfetStage) releaseBroken(b *breakdown) design.Check {
	c := design.Check{ID: design.ReleaseTime, Unit: design.S, Source: m.d.PartSource, Brief: m.env.Brief}
	limit, ok := m.l.ReleaseWithin.Get()
	if !ok {
		return c
	}
	c.Rating = design.Known(float64(limit))
	c.Formula = "{t_decay} for the current to fall against the breakdown, and for what moves to move"
	if b.decay.OK {
		c.SetArgs(design.Arg{Name: "t_decay", V: b.decay.V, Unit: design.S})
	} else {
		c.Needs("load.inductance")
	}
	if mech, ok := m.l.MechRelease.Get(); ok && b.decay.OK {
		c.Stress = design.Known(b.decay.V + float64(mech))
	} else if !ok {
		c.StressEstimate = b.decay
		c.Needs("load.mechanical_release_time")
	}
	judge(&c)
	return c
}

// brokenChecks take the place of the clamp's checks.
func (m *mosfetStage) brokenChecks() {
	for _, id := range [...]design.CheckID{design.ClampVoltage, design.ClampStandoff, design.ClampCurrent, design.ClampEnergy, design.ClampPower} {
		m.na(id, byItself)
	}
	if c := m.releaseBroken(&m.broken); m.l.ReleaseWithin.Known() {
		m.d.Checks = append(m.d.Checks, c)
	} else {
		m.na(design.ReleaseTime, "no release time was asked")
	}
	m.valueOf(design.TDecay, m.broken.decay, design.S)
	if mech, ok := m.l.MechRelease.Get(); ok && m.broken.decay.OK {
		m.value(design.TRelease, m.broken.decay.V+float64(mech), design.S)
	}
	m.valueOf(design.ETurnoff, m.broken.energy, design.J)
}

// avalanche makes the avalanche check: the breakdown where there is no clamp, and
// what forbids it where it cannot be.
func (m *mosfetStage) avalanche() {
	if m.broken.on {
		m.d.Checks = append(m.d.Checks, m.avalancheOf(&m.broken))
		return
	}
	m.avalancheCheck(m.whyNoAvalanche())
}
