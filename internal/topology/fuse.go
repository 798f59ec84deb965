package topology

import (
	"math"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/load"
)

const (
	noFuseFits  = "no fuse of the catalogue serves: add one for this voltage that breaks the rail's fault current and carries the load"
	fuseMissing = "there is no fuse: a short would draw all that the rail gives"
	wireTooThin = "what this fuse lets pass for hours is more than the wire bears: take a thicker wire"
)

// A fuse may pass overload times its rating for an hour or longer before it melts
// (IEC 60127-2, sheets 2, 3 and 5: 2.1 times it opens within minutes), and a wire bears
// overheated times its current until then (IEC 60364-4-43, from memory).
const (
	overload   = 2.1
	overheated = 1.45
)

// endured is to how many pulses the endurance of fuses is published: the last point,
// 22 % of the melting integral, is what the policies' factor stands for.
const endured = 1e5

// owesFuse adds the checks of a fuse where one is asked for.
func owesFuse(l *load.Model, ids []design.CheckID) []design.CheckID {
	if l.FuseAsked {
		ids = append(ids, design.FuseCurrent, design.FuseStart, design.FuseBreaking)
	}
	return ids
}

// fuses chooses the fuse of the load's rail, the cheapest that serves, or judges the one
// that is stated. One is owed on a hazardous rail, and on any that can give more than
// a stated run of wires bears; elsewhere only a stated one is judged.
func (s *stage) fuses() {
	l := s.l
	switch {
	case !l.FuseAsked && s.given.Fuse.ID == "":
		why := "the rail is not hazardous"
		if l.WireLength > 0 && l.Rail.FaultCurrent.Known() {
			why = "the rail is not hazardous, and the wire bears what it can give"
		}
		s.na(design.FuseCurrent, why)
		s.na(design.FuseStart, why)
		s.na(design.FuseBreaking, why)
		return
	case s.given.Fuse.Said && s.given.Fuse.ID == "":
		s.unfused(fuseMissing)
		return
	}
	f := s.chooseFuse()
	if f == nil {
		s.unfused(noFuseFits)
		return
	}
	k := s.fuseChecks(f)
	s.d.Checks = append(s.d.Checks, k[:]...)
	s.buy("F1", f)
	s.fuse, s.d.Choice.Fuse = f, f.ID
	s.valueOf(design.IFuse, known(f.IRated), design.A)
	s.caution(design.CautionFuseWire)
	if s.idles(f) {
		s.caution(design.CautionFuseIdles)
	}
}

// leastShort is the least that a short at the load's end of the wires draws, A: what the
// rail's own would, less for the wires at their hottest.
func (s *stage) leastShort() design.Number {
	fault, ok := s.l.Rail.FaultCurrent.Get()
	if !ok || fault <= 0 || s.l.VMin <= 0 {
		return design.Number{}
	}
	return design.Known(s.l.VMin / (s.l.VMin/float64(fault) + s.l.RWire))
}

// idles reports whether a short may draw less than opens a fuse within minutes.
func (s *stage) idles(f *catalog.Fuse) bool {
	short := s.leastShort()
	return short.OK && short.V < overload*float64(f.IRated.Or(0))
}

// chooseFuse is the fuse that is stated, else the best: the cheapest of those that
// serve, else of those that come nearest; before it any that a short surely opens. nil:
// there is none.
func (s *stage) chooseFuse() (best *catalog.Fuse) {
	var bestV design.Verdict
	bestIdles := false
	for _, f := range s.env.Fuses {
		if s.given.Fuse.Said {
			if f.ID == s.given.Fuse.ID {
				return f
			}
			continue
		}
		k := s.fuseChecks(f)
		v, idles := max(k[0].Verdict, k[1].Verdict, k[2].Verdict), s.idles(f)
		if best == nil || v < bestV || v == bestV && bestIdles && !idles {
			best, bestV, bestIdles = f, v, idles
		}
		if v == design.Fits && !idles {
			break // those behind it cost more
		}
	}
	return best
}

// unfused says that nothing ends a short.
func (s *stage) unfused(why string) {
	for _, id := range [...]design.CheckID{design.FuseCurrent, design.FuseStart, design.FuseBreaking} {
		c := s.check(id, design.A)
		if id == design.FuseStart {
			c.Unit = design.A2s
		}
		c.NoSolution, c.Because, c.Source = true, why, "the catalogue"
		c.Formula = "a fuse for {I} on {V}"
		c.SetArgs(design.Arg{Name: "I", V: s.l.IMax, Unit: design.A}, design.Arg{Name: "V", V: s.l.VNom, Unit: design.V})
		judge(c)
	}
}

// fuseChecks judges one fuse; a figure that it does not state counts as none.
func (s *stage) fuseChecks(f *catalog.Fuse) [3]design.Check {
	l := s.l
	current := design.Check{ID: design.FuseCurrent, Unit: design.A, K: s.pol.IFuse, Source: f.Provenance, Stress: design.Known(l.IMax), Brief: s.env.Brief,
		Formula: "steady {stress}; at {T_air} the fuse is rated {rating}"}
	current.Rating = zeroIfUnknown(&current, fuseRating(f, l.TMax), "fuse.derate.factor")
	current.SetArgs(design.Arg{Name: "T_air", V: l.TMax, Unit: design.DegC})
	current.SetCorner(design.CornerValue{Name: "ambient", V: l.TMax})
	judge(&current)
	if l.WireLength > 0 && !l.Rail.IsPin {
		has := true
		keepWorse(&current, s.fuseOfWire(f), &has)
	}
	start := s.fuseStart(f)
	breaking := design.Check{ID: design.FuseBreaking, Unit: design.A, K: 1, Source: f.Provenance, Stress: known(l.Rail.FaultCurrent), Brief: s.env.Brief,
		Formula: "a short draws {stress}; the fuse breaks {rating}"}
	breaks, figure := s.fuseBreaks(f)
	breaking.Rating = zeroIfUnknown(&breaking, breaks, figure)
	if !breaking.Stress.OK || l.Rail.FaultAssumed {
		breaking.Needs("rail.fault_current")
	}
	judge(&breaking)
	return [3]design.Check{current, start, breaking}
}

// fuseStart asks whether a fuse bears the inrush: one within its rating for ever, else
// by the square that it melts at.
func (s *stage) fuseStart(f *catalog.Fuse) design.Check {
	l := s.l
	c := design.Check{ID: design.FuseStart, Unit: design.A2s, K: s.pol.I2t, Source: f.Provenance, Stress: design.Known(l.Pulse.I2t), Brief: s.env.Brief,
		Formula: "inrush {stress}, the fuse melts from {rating}"}
	rated := fuseRating(f, l.TMax)
	switch {
	case l.HasInrush && l.PeakKnown && rated.OK && design.AtMost(l.InrushRMS(), rated.V):
		c.Unit, c.K, c.Stress, c.Rating = design.A, 1, design.Known(l.InrushRMS()), rated
		c.Formula = "inrush {stress}, the fuse carries {rating} for ever"
	case l.HasInrush && (!l.PeakKnown || l.Pulse.Shape == load.ForEver || l.Pulse.Shape == load.UnknownTime):
		c.Rating = zeroIfUnknown(&c, fuseMelts(f), "fuse.i2t.melt_min")
		c.Stress = design.Number{}
		c.Needs(l.InrushField())
	default:
		c.Rating = zeroIfUnknown(&c, fuseMelts(f), "fuse.i2t.melt_min")
		if life, ok := l.Life.Get(); ok && l.HasInrush && float64(life)*l.OperationsPerYear > endured {
			c.StressEstimate, c.Stress = c.Stress, design.Number{}
			c.Because = "more starts than any fuse's endurance is published for: take one that carries the inrush for ever"
			c.Needs("load.life")
		}
		if l.HasInrush && l.PeakAssumed { // at its easy end there is none, and nothing melts
			c.EasyStress = design.Known(0)
			c.Needs(l.InrushField())
		}
	}
	judge(&c)
	return c
}

// fuseOfWire asks whether the wire bears what the fuse lets pass for long: its rating,
// and on a hazardous rail, whose wires are in reach, what it may let pass for half an
// hour.
func (s *stage) fuseOfWire(f *catalog.Fuse) design.Check {
	c := design.Check{ID: design.FuseCurrent, Unit: design.A, K: 1, Source: "the wire, by tables of its area", Brief: s.env.Brief,
		Stress: known(f.IRated), Rating: design.Known(s.l.WireAmps), Formula: "the fuse is rated {stress}; the wire bears {rating}"}
	if i := c.Stress.V; s.l.Rail.Hazardous {
		c.Stress.V, c.Rating.V = overload*i, overheated*s.l.WireAmps
		c.Formula = "{pass} x {I_fuse} passes for long = {stress}; the wire bears {heat} x {I_wire} = {rating} until then"
		c.SetArgs(design.Arg{Name: "pass", V: overload, Unit: design.One}, design.Arg{Name: "I_fuse", V: i, Unit: design.A},
			design.Arg{Name: "heat", V: overheated, Unit: design.One}, design.Arg{Name: "I_wire", V: s.l.WireAmps, Unit: design.A})
	}
	if judge(&c); c.Verdict != design.Fits {
		c.Because = tooThin(s.l, wireTooThin)
	}
	return c
}

// tooThin is why a run of wires bears too little: as given, or for the air alone.
func tooThin(l *load.Model, why string) string {
	if l.WireTooHot() {
		return load.WireInHotAir
	}
	return why
}

func fuseMelts(f *catalog.Fuse) design.Number {
	if f.I2t == nil {
		return design.Number{}
	}
	return known(f.I2t.MeltMin)
}

// fuseBreaks is the current that a fuse breaks at the rail's voltage, its highest on DC,
// its nominal on AC (whose tolerance the rated voltage of a fuse allows for), and the
// figure that says it.
func (s *stage) fuseBreaks(f *catalog.Fuse) (breaks design.Number, figure string) {
	l := s.l
	of, volts, figure := f.VDCMax, l.VMax, "fuse.i_break.dc"
	if l.Rail.AC {
		of, volts, figure = f.VACMax, l.VNom, "fuse.i_break.ac"
	}
	v, ok := of.Get()
	if !ok || f.IBreak == nil || !design.AtMost(volts, float64(v)) {
		return design.Number{}, figure
	}
	if l.Rail.AC {
		return known(f.IBreak.AC), figure
	}
	return known(f.IBreak.DC), figure
}

func zeroIfUnknown(c *design.Check, n design.Number, figure string) design.Number {
	if n.OK {
		return n
	}
	c.Because = "not stated for this duty"
	c.Needs(figure)
	return design.Known(0)
}

// fuseRating is a fuse's rated current in air at ta, by stairs: the factor of
// the next higher stated temperature.
func fuseRating(f *catalog.Fuse, ta float64) design.Number {
	i, ok := f.IRated.Get()
	if !ok || f.Speed == "resettable" {
		return design.Number{}
	}
	for k := range f.Derate {
		p := &f.Derate[k]
		if t, ok := p.Ta.Get(); ok && p.Factor.Known() && design.AtMost(ta, float64(t)) {
			return design.Known(float64(i) * float64(p.Factor.Value()))
		}
	}
	return design.Number{}
}

// drawFuse puts the chosen fuse between the supply and all else that hangs on the rail.
func (s *stage) drawFuse() {
	if s.env.Brief || s.d.Choice.Fuse == "" {
		return
	}
	f := s.fuse
	for i := range s.d.Elements {
		if e := &s.d.Elements[i]; e.Role == design.RoleRail && len(e.Nodes) > 0 && e.Nodes[0] == nodeRail {
			e.Nodes[0] = nodeFeed
			s.d.Elements = append(s.d.Elements, design.Element{Ref: "F1", Role: design.RoleFuse, Kind: "fuse", Part: f.ID,
				Value: float64(f.IRated.Or(0)), Unit: design.A, HasValue: true, Nodes: []string{nodeFeed, nodeRail}})
			return
		}
	}
}

// tellWire tells the run of wires: its area and gauge, what it may carry, and what it keeps from the load.
func (s *stage) tellWire() {
	l := s.l
	if s.env.Brief || l.WireLength <= 0 {
		return
	}
	area := float64(l.WireArea)
	s.value(design.AWire, area, design.M2)
	s.value(design.WireGauge, math.Round(load.Gauge(area)), design.One)
	if l.WireAmps > 0 {
		s.value(design.IWire, l.WireAmps, design.A)
	}
	s.value(design.VWire, l.ILow*l.RWire, design.V)
}
