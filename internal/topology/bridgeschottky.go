package topology

import (
	"math"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/clamp"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/load"
)

// schottky is a Schottky diode that stands across each switch of a bridge and carries
// the winding's current on, so that no body diode has to. What it bears is what a diode
// across the load does: it stands off the rail, and takes over the motor's current,
// which ends in the winding.
type schottky struct {
	d    *catalog.Diode // nil: what is stated is no Schottky diode
	o    clamp.Option
	leak design.Number // A, of one
}

type schottkyKey struct{ l *load.Model }

// schottkyFor is the cheapest Schottky diode that is rated for a motor, nil where none
// is.
func (e *Env) schottkyFor(l *load.Model) *schottky {
	key := schottkyKey{l}
	if e.lows != nil {
		if s, ok := e.lows.get(key); ok {
			return s.(*schottky)
		}
	}
	var found *schottky
	for _, d := range e.Clamps.Diodes {
		if d.Technology != "schottky" {
			continue
		}
		if s := e.asSchottky(l, d); s.o.Verdict == design.Fits && s.drop(l) <= bodyLeast {
			found = s
			break
		}
	}
	if e.lows != nil {
		e.lows.put(key, found)
	}
	return found
}

// asSchottky works a diode out as one of four.
func (e *Env) asSchottky(l *load.Model, d *catalog.Diode) *schottky {
	w := windingOf(l, e.Brief)
	w.ReleaseWithin = design.Number{} // the bridge's own matter
	return &schottky{d: d, o: clamp.Evaluate(&w, e.Policy, []catalog.Part{d}, false), leak: leaksBack(d, l.VMax, l.TMax)}
}

// statedSchottky is the part that is stated to stand across each switch.
// What is stated across a relay's coil is across the coil, and shorts one of its directions.
func (e *Env) statedSchottky(l *load.Model, c *GivenClamp) *schottky {
	if across := l.Kind == job.Coil && !c.AtSwitch; len(c.Parts) == 1 && !across {
		p, _ := e.Catalog.Part(c.Parts[0])
		if d, ok := p.(*catalog.Diode); ok && d.Technology == "schottky" {
			return e.asSchottky(l, d)
		}
	}
	return &schottky{}
}

// warmBy is how much hotter than the air a Schottky may be that has just carried a
// current, K, for its leakage (common practice, no source).
const warmBy = 40.0

// leaksBack is the reverse leakage of a diode at v volts, A at the most: the least
// figure stated at no less and hot enough.
func leaksBack(d *catalog.Diode, v, air float64) (i design.Number) {
	for k := range d.IRMax {
		p := &d.IRMax[k]
		if max, ok := p.Max.Get(); ok && float64(p.V.Or(0)) >= v && float64(p.Tj.Or(25)) >= air+warmBy && (!i.OK || float64(max) < i.V) {
			i = design.Known(float64(max))
		}
	}
	return i
}

// drop is what it drops at the motor's greatest current, V at the most; infinite where
// that is not stated.
func (s *schottky) drop(l *load.Model) float64 {
	if s.d == nil || !s.o.VPeak.OK {
		return math.Inf(1)
	}
	return s.o.VPeak.V - l.VMax
}

// bodyLeast is what no body diode drops less than at the currents of a load, V at 25 C,
// and bodyFalls how much less it is per kelvin (common practice, no source): under that
// a Schottky diode beside it takes the current.
const bodyLeast, bodyFalls = 0.7, 2e-3

// schottkyHelps reports whether a design fails by what its body diodes do alone.
func schottkyHelps(d *design.Design) bool {
	helps := false
	for i := range d.Checks {
		c := &d.Checks[i]
		if c.Verdict != d.Verdict {
			continue
		}
		switch c.ID {
		case design.ClampCurrent, design.JunctionTemperature, design.BlockingVoltage, design.PWMFrequency:
			helps = true
		case design.LoadVoltage, design.ReleaseTime: // unproven as they may be, they stay so
			return false
		default:
			return false
		}
	}
	return helps
}

// schottkyChecks are those of one of the four diodes, the release of the motor apart.
func (b *bridgeStage) schottkyChecks() {
	if b.sky.d == nil {
		c := b.check(design.ClampCurrent, design.A)
		c.NoSolution, c.Because = true, "only a single Schottky diode takes the current from a body diode"
		if b.l.Kind == job.Coil {
			c.Because = "a diode across a coil that is reversed shorts one of its directions; one Schottky diode across each switch does not"
		}
		c.Stress = design.Known(b.l.PeakCurrent())
		c.Formula = "{stress} when a diagonal opens, and no diode for it"
		judge(c)
		for _, id := range [...]design.CheckID{design.ClampVoltage, design.ClampStandoff, design.ClampEnergy, design.ClampPower} {
			b.na(id, "no Schottky diode")
		}
		return
	}
	for i := range b.sky.o.Checks {
		c := b.sky.o.Checks[i]
		switch c.ID {
		case design.ReleaseTime:
			continue
		case design.ClampCurrent:
			hot := max(b.hottestEver(b.l.TMax), b.l.TMax)
			if most := bodyLeast - bodyFalls*max(0, hot-25); c.Verdict <= design.Tight && b.sky.drop(b.l) > most {
				c.RatingEstimate, c.Rating = c.Rating, design.Number{}
				c.Because = "it drops as much as a hot body diode, which then carries a part of the current"
				c.Needs("v_f at this current")
				judge(&c)
			}
		}
		b.d.Checks = append(b.d.Checks, c)
	}
	for _, n := range b.sky.o.NA {
		if n.ID != design.ReleaseTime {
			b.d.NA = append(b.d.NA, n)
		}
	}
	b.valueOf(design.PClamp, b.sky.o.PClamp, design.W)
	for _, ref := range schottkyRefs {
		b.buy(ref, b.sky.d)
	}
	if !b.env.Brief {
		b.d.Choice.Clamp, b.d.Choice.AtSwitch = []string{b.sky.d.ID}, true
	}
}

var schottkyRefs = [...]string{"D11", "D12", "D13", "D14"}

// drawSchottkys draws one across each switch: from ground to an end of the motor, and
// from there to the rail.
func (b *bridgeStage) drawSchottkys() {
	if b.sky == nil || b.sky.d == nil || b.env.Brief {
		return
	}
	for i, g := range diagonals {
		b.element(schottkyRefs[2*i], design.RoleClamp, string(catalog.KindDiode), b.sky.d.ID, nodeGround, g.high)
		b.element(schottkyRefs[2*i+1], design.RoleClamp, string(catalog.KindDiode), b.sky.d.ID, g.high, nodeRail)
	}
}
