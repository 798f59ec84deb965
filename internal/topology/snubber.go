package topology

import (
	"math"
	"slices"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/load"
	"example.org/pinhoist/internal/waveform"
)

// snubbers is what may stand across a switch of a load on AC, worked out once a load: it
// depends on the load and on nothing of the switch.
type snubbers struct{ options []snubber }

// snubber is a resistor and a capacitor in series across a switch.
type snubber struct {
	cap         *catalog.Capacitor
	r           resistor
	slope, peak float64       // V/s and V over the switch, at the most
	rise        float64       // how much more than the rail its capacitor takes with the load's inductance, 1 or more
	leak        float64       // A RMS, at the most
	energy      float64       // J that the resistor takes of each closing, at the most
	cost        design.Number // of one
}

// snubberOhms are the resistances that are tried: under them a closing switch meets the
// capacitor's discharge nearly whole, over them the resistor passes the step on (common
// practice, no source: 100 ohm and 100 nF are usual).
var snubberOhms = [...]float64{100, 150, 220, 330, 47, 68, 470}

// snubbersFor works out every capacitor of the catalogue that bears the rail with every
// resistance, the least capacitance first.
func (e *Env) snubbersFor(m *load.Model) *snubbers {
	x := &snubbers{}
	for _, c := range e.acFilm {
		if !snubs(c, m) {
			continue
		}
		for _, ohms := range snubberOhms {
			r, ok := e.snubberResistor(ohms, m)
			if !ok {
				continue
			}
			if o := snubberOf(c, r, m); !c.DVDtMax.Known() || design.AtMost(o.discharged(m.AC.CrestMax*o.rise), float64(c.DVDtMax.Value())) {
				x.options = append(x.options, o)
			}
		}
	}
	return x
}

// snubs reports whether a capacitor may stand across a switch on that rail: it bears its
// volts, and on a hazardous one it is of class X.
func snubs(c *catalog.Capacitor, m *load.Model) bool {
	v, ok := c.VACMax.Get()
	return ok && design.AtMost(m.VMax, float64(v)) && (!m.Rail.Hazardous || c.SafetyClass != "")
}

// snubberResistor is the first series, stocked and cheap ones first, that bears the
// crest over it when the switch closes.
func (e *Env) snubberResistor(ohms float64, m *load.Model) (resistor, bool) {
	for _, s := range e.Resistors {
		if v, ok := s.VMax.Get(); !ok || !design.AtMost(m.AC.CrestMax, e.Policy.VResistor*float64(v)) {
			continue
		}
		if p := resistorPower(s, m.TMax); !p.OK || p.V < leastSnubberPower {
			continue
		}
		if v, ok := coarseDown(s, ohms); ok && v > ohms*0.9 {
			return fromSeries(s, v), true
		}
	}
	return resistor{}, false
}

// leastSnubberPower, W, is what a resistor of a snubber should bear at the least (common
// practice, no source): carbon film of an eighth of a watt does not outlive its pulses.
const leastSnubberPower = 0.2

// snubberOf works one out for a load: the steepest slope
// with the least inductance and capacitance; the peak at either end of what it hangs on.
func snubberOf(c *catalog.Capacitor, r resistor, m *load.Model) snubber {
	tol := float64(c.Tolerance.Or(0))
	least, most := float64(c.C.Or(0))*(1-tol), float64(c.C.Or(0))*(1+tol)
	rise := waveform.Resonance(m.AC.FMax, m.AC.LMax, most)
	crest := m.AC.CrestMax * rise
	s := snubber{cap: c, r: r, peak: crest, rise: rise,
		leak:   waveform.CapacitorCurrent(m.VMax, m.AC.FMax, most) * rise,
		energy: most * crest * crest / 2,
		cost:   priceNumber(&c.Common)}
	if r.series != nil {
		s.cost = addCost(s.cost, priceNumber(&r.series.Common))
	}
	if m.AC.LMin <= 0 || least <= 0 || r.lo() <= 0 {
		return s
	}
	for _, ohms := range [...]float64{r.lo(), r.hi()} {
		for _, l := range [...]float64{m.AC.LMin, m.AC.LMax} {
			w := waveform.Snubber{V: m.AC.CrestMax, R: m.AC.R, L: l, RS: ohms, C: least}
			s.slope, s.peak = max(s.slope, w.SlopeOnAC(m.AC.FMax)), max(s.peak, w.PeakOnAC(math.Acos(m.AC.PF), m.AC.FNom))
		}
	}
	return s
}

func priceNumber(c *catalog.Common) design.Number {
	if c.Price == nil {
		return design.Number{}
	}
	return design.Known(c.Price.Amount)
}

// acFilmOf are the film capacitors that state an AC voltage, the least first, then by
// price and id.
func acFilmOf(cat *catalog.Catalog) []*catalog.Capacitor {
	var list []*catalog.Capacitor
	for i := range cat.Capacitors {
		if c := &cat.Capacitors[i]; c.Dielectric == "film" && c.VACMax.Known() && c.C.Known() {
			list = append(list, c)
		}
	}
	byThrift(list)
	slices.SortStableFunc(list, func(a, b *catalog.Capacitor) int {
		switch x, y := a.C.Value(), b.C.Value(); {
		case x < y:
			return -1
		case x > y:
			return 1
		}
		return 0
	})
	return list
}

// given is the snubber that is stated; ok is false where it is not, or not in the
// catalogue.
func (s *stage) givenSnubber() (x snubber, ok bool) {
	p, held := s.env.Catalog.Part(s.given.Snubber.ID)
	c, is := p.(*catalog.Capacitor)
	if !held || !is {
		return snubber{}, false
	}
	r := resistor{absent: true}
	if s.given.RSnubber.Said {
		r = s.env.stated(s.given.RSnubber, 0)
	}
	return snubberOf(c, r, s.l), true
}

// snubberVolts judges the voltage of a snubber's capacitor on AC: that of the highest rail,
// and more where the load's inductance resonates with it, as a large winding's does.
func (s *stage) snubberVolts(x *snubber) design.Check {
	l, c := s.l, x.cap
	k := design.Check{Brief: s.env.Brief, ID: design.CapacitorVoltage, Unit: design.V, K: s.pol.VCapacitor, Source: c.Provenance,
		Stress: design.Known(l.VMax * x.rise), Rating: known(c.VACMax)}
	if !k.Rating.OK {
		k.Rating, k.Because = design.Known(0), "not stated for AC"
		k.Needs("v_ac_max")
	}
	k.Formula = "snubber: {stress} RMS across it, it bears {rating}"
	if x.rise > 1 {
		k.Formula = "snubber: {V} and the load's {L} in resonance with it make {stress} RMS across it, it bears {rating}"
		k.SetArgs(design.Arg{Name: "V", V: l.VMax, Unit: design.V}, design.Arg{Name: "L", V: l.AC.LMax, Unit: design.H})
	}
	if c.SafetyClass != "" {
		k.K = 1 // its voltage is that of a mains, tolerance and all
	}
	if l.Rail.Hazardous && c.SafetyClass == "" {
		k.Rating = design.Known(0)
		k.Because = "across the mains a capacitor of class X is wanted: another one may burn when it fails"
		k.Needs("safety_class")
	}
	k.SetCorner(design.CornerValue{Name: "rail", V: l.VMax})
	judge(&k)
	return k
}

// snubberChecks judges and buys a snubber: its capacitor at the highest rail, its
// resistor with what it loses and bears.
func (s *stage) snubberChecks(x *snubber, a, b string) {
	l := s.l
	crest := l.AC.CrestMax * x.rise
	s.worstOfCapacitor(s.snubberVolts(x), x, crest)
	power := x.leak*x.leak*x.r.hi() + x.energy*l.OpsPerSecond
	s.load("snubber", "I^2 R and C V^2/2 of each closing", x.r, power, crest)
	s.snubberParts(x, a, b)
}

// discharged is how fast a snubber's capacitor loses volts when the switch closes, V/s.
func (x *snubber) discharged(volts float64) float64 {
	return volts / (max(x.r.lo(), link) * x.least())
}

// worstOfCapacitor is capacitor-voltage as the worse of what a snubber's capacitor bears
// and of how fast it is discharged from volts when the switch closes: no resistor, no
// limit.
func (s *stage) worstOfCapacitor(voltage design.Check, x *snubber, volts float64) {
	k := design.Check{Brief: s.env.Brief, ID: design.CapacitorVoltage, Unit: design.VPerS, K: 1, Source: x.cap.Provenance,
		Stress: design.Known(x.discharged(volts)), Rating: known(x.cap.DVDtMax)}
	if !k.Rating.OK {
		k.Needs("dv_dt_max")
	}
	k.Formula = "snubber: closing discharges {V} through {R}, {V}/({R}*{C}) = {stress}; it bears {rating}"
	k.SetArgs(design.Arg{Name: "V", V: volts, Unit: design.V}, design.Arg{Name: "R", V: x.r.lo(), Unit: design.Ohm}, design.Arg{Name: "C", V: x.least(), Unit: farad})
	k.SetCorner(design.CornerValue{Name: "rail", V: s.l.VMax})
	judge(&k)
	if k.Verdict > voltage.Verdict { // its headroom says nothing of the voltage's
		voltage = k
	}
	s.d.Checks = append(s.d.Checks, voltage)
}

// snubberParts buys a snubber and draws it.
func (s *stage) snubberParts(x *snubber, a, b string) {
	c := x.cap
	s.value(design.CSnubber, float64(c.C.Or(0)), farad)
	if !x.r.absent {
		s.value(design.RSnubber, x.r.nom, design.Ohm)
	}
	s.d.Choice.Snubber = c.ID
	s.buy("C1", c)
	s.resistorElement("RS1", design.RSnubber, design.RoleSnubber, x.r, a, "snubber")
	if !s.env.Brief {
		from := "snubber"
		if x.r.absent {
			from = a
		}
		s.d.Elements = append(s.d.Elements, design.Element{Ref: "C1", Role: design.RoleSnubber, Kind: "capacitor", Part: c.ID, Value: float64(c.C.Or(0)), Unit: farad, HasValue: true, Nodes: []string{from, b}})
	}
}
