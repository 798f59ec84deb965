package topology

import (
	"math"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/device"
	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/load"
)

// What an inrush, and a short until its fuse opens, do to a solid-state relay's output.

// repeats is why a surge is not believed whole.
const repeats = "a surge is stated for once in a while, the load starts again and again: half of it counts"

const transformerZero = "closed at a zero of the voltage, the worst moment for a transformer: half of the surge counts, for it happens at every start"

// peaks judges the inrush by the surge that is stated for its length, and its first half
// cycle by I2t; half of either counts, for the load starts again and again.
func (s *ssrStage) peaks() {
	l := s.l
	if !l.HasInrush && !l.Inductive {
		return
	}
	if !l.HasInrush {
		s.na(design.PeakCurrent, "the load has no inrush")
		return
	}
	length := pulseLength(l.Pulse)
	if length.V *= s.drawnOut(); !length.OK {
		length.V = math.Inf(1)
	}
	surge := device.SSRSurge(s.p, length.V)
	// The crest that it carries for ever it bears at every start, whatever its surge is.
	rating := design.Known(max(device.SSRRepeated*surge.V, s.crestOf(s.bareCurrent())))
	fallback := !surge.OK
	s.peakCurrent(rating, fallback, "surge.i")
	c := &s.d.Checks[len(s.d.Checks)-1]
	c.Formula = "inrush {stress} at its crest, a repeated one of {rating} is guaranteed at this length"
	if c.Because == "" {
		c.Because = repeats
		if l.Kind == job.ACTransformer && device.SSRZeroCross(s.p) {
			c.Because = transformerZero
		}
	}
}

// drawnOut is how much longer than at its highest an inrush that falls may last elsewhere
// in the spread of its load, where a surge is stated for less: a capacitor fills in
// proportion to the resistance in its way, a filament heats by the square of the voltage.
func (s *ssrStage) drawnOut() float64 {
	l := s.l
	if l.Pulse.Shape != load.Decay {
		return 1
	}
	tol, volts, wire := float64(l.Tolerance), l.VMax/max(l.VMin, 1e-9), 1.0
	if l.RWireMin > 0 {
		wire = l.RWire / l.RWireMin
	}
	return (1 + tol) / max(1-tol, 1e-9) * volts * volts * max(1, wire)
}

// bareCurrent is the continuous output current, A: 0 where none is stated.
func (s *ssrStage) bareCurrent() float64 {
	i, _ := s.outputCurrent(&s.t)
	return i.V
}

func (s *stage) crestOf(rms float64) float64 {
	if s.l.Rail.AC {
		return math.Sqrt2 * rms
	}
	return rms
}

// surgeEnergy judges the I2t of the inrush and, where there is a fuse, that which it lets
// pass in a short: the worse is told.
func (s *ssrStage) surgeEnergy() {
	l := s.l
	var worst design.Check
	has := false
	if l.HasInrush {
		keepWorse(&worst, s.inrushSquare(), &has)
	}
	if s.fuse != nil {
		keepWorse(&worst, s.fuseSquare(s.fuse), &has)
	}
	switch {
	case has:
		s.d.Checks = append(s.d.Checks, worst)
	case l.FuseAsked || l.Inductive:
		s.na(design.SurgeEnergy, "the load has no inrush, and there is no fuse")
	}
}

// fuseSquare is what the output takes of a short until its fuse has cleared it, once. What
// a fuse lets pass is stated for a short that melts it at once: one that draws so little
// that it may last longer than a half cycle heats the fuse's ends too, and nothing tells
// what passes then. A short that the output carries for ever needs no fuse.
func (s *ssrStage) fuseSquare(f *catalog.Fuse) design.Check {
	c := design.Check{ID: design.SurgeEnergy, Unit: design.A2s, K: s.pol.Energy, Source: s.d.PartSource, Brief: s.env.Brief, Rating: known(s.p.I2tMax)}
	if most, bare, carries := s.carriesShort(); carries {
		c.Unit, c.K, c.Stress, c.Rating = design.A, s.pol.I, most, bare
		c.Formula = "a short draws {stress}; the output carries {rating} for ever"
		c.SetCorner(design.CornerValue{Name: "ambient", V: s.l.TMax})
		judge(&c)
		return c
	}
	if f.I2t != nil {
		c.Stress = known(f.I2t.ClearMax)
	}
	if !c.Stress.OK {
		c.Needs("fuse.i2t.clear_max")
	}
	if !c.Rating.OK {
		c.Needs("i2t_max")
	}
	c.Formula = "in a short the fuse lets pass {stress} until it has cleared it; the output bears {rating} once"
	c.Because = "a fuse that lets pass more protects the wires, not the output, which then stays on"
	switch {
	case !c.Stress.OK:
	case s.meltsAtOnce(c.Stress.V, s.leastShort()):
		if s.l.Rail.FaultAssumed { // that it melts so soon rests on it
			c.Needs("rail.fault_current")
		}
	default:
		c.StressEstimate, c.Stress = c.Stress, design.Number{}
		c.Because = "a short here may draw too little to melt the fuse within a half cycle: what it lets pass then is stated nowhere"
		c.Needs("rail.fault_current")
	}
	c.SetCorner(design.CornerValue{Name: "rail", V: s.l.VMax})
	judge(&c)
	if c.Verdict == design.Fits {
		c.Because = ""
	}
	return c
}

// carriesShort reports whether the output carries all that a short draws, A, without a sink.
func (s *ssrStage) carriesShort() (most, bare design.Number, carries bool) {
	most, bare = known(s.l.Rail.FaultCurrent), device.SSRBare(s.p, s.l.TMax)
	return most, bare, most.OK && bare.OK && design.AtMost(most.V, s.pol.I*bare.V)
}

// meltsAtOnce reports whether a short, A, surely melts a fuse within a half cycle, one that
// has cleared by so many A2s.
func (s *ssrStage) meltsAtOnce(clear float64, short design.Number) bool {
	return short.OK && short.V*short.V*s.window() >= clear
}

// protect chooses the fuse that protects the output too, where one is owed and there is
// such a fuse: the best verdict of its own checks and of that, then that of its own, then
// one that a short opens, then the cheapest.
func (s *ssrStage) protect() {
	if !s.l.FuseAsked || s.given.Fuse.Said {
		return
	}
	var best *catalog.Fuse
	var bestV, bestOwn design.Verdict
	bestIdles := false
	short := s.leastShort()
	_, _, carries := s.carriesShort()
	for i, own := range s.fuseVerdicts() {
		if best != nil && own > bestV {
			continue // it can be no better
		}
		f := s.env.Fuses[i]
		v, idles := own, s.idles(f)
		if !carries {
			var clear design.Number
			if f.I2t != nil {
				clear = known(f.I2t.ClearMax)
			}
			if v = max(v, s.judged(design.SurgeEnergy, clear, known(s.p.I2tMax), s.pol.Energy)); !s.meltsAtOnce(clear.V, short) {
				v = max(v, design.Unproven)
			}
		}
		if best == nil || v < bestV || v == bestV && (own < bestOwn || own == bestOwn && bestIdles && !idles) {
			best, bestV, bestOwn, bestIdles = f, v, own, idles
		}
		if bestV == design.Fits && !bestIdles {
			break
		}
	}
	if best == nil || bestV > design.Unproven {
		return // the wires are protected all the same, by the cheapest
	}
	g := *s.given
	g.Fuse = GivenPart{Said: true, ID: best.ID}
	s.given = &g
}

// fusedKey is a load under a policy.
type fusedKey struct {
	l   *load.Model
	pol *catalog.Policy
}

// fuseVerdicts are those of the own checks of every fuse, which the switch has no part in.
func (s *stage) fuseVerdicts() []design.Verdict {
	key := fusedKey{s.l, s.pol}
	if s.env.fused != nil {
		if v, ok := s.env.fused.get(key); ok {
			return v.([]design.Verdict)
		}
	}
	list := make([]design.Verdict, len(s.env.Fuses))
	for i, f := range s.env.Fuses {
		k := s.fuseChecks(f)
		list[i] = max(k[0].Verdict, k[1].Verdict, k[2].Verdict)
	}
	if s.env.fused != nil {
		s.env.fused.put(key, list)
	}
	return list
}

func (s *ssrStage) inrushSquare() design.Check {
	l := s.l
	c := design.Check{ID: design.SurgeEnergy, Unit: design.A2s, K: s.pol.Energy, Source: s.d.PartSource, Brief: s.env.Brief, Stress: design.Known(s.firstSquare())}
	c.Formula = "I2t of the inrush in its first half cycle {stress}; a repeated one of {rating} is guaranteed"
	if i, ok := s.p.I2tMax.Get(); ok {
		c.Rating = design.Known(device.SSRRepeated * device.SSRRepeated * float64(i))
	} else {
		c.Needs("i2t_max")
	}
	switch {
	case !l.PeakKnown || l.Pulse.Shape == load.UnknownTime:
		c.Stress = design.Number{}
		c.Needs(l.InrushField())
	case l.PeakAssumed:
		c.EasyStress = design.Known(s.crestOf(l.IMax) * s.crestOf(l.IMax) / 2 * s.window())
		c.Needs(l.InrushField())
	}
	c.SetCorner(design.CornerValue{Name: "rail", V: l.VMax})
	judge(&c)
	return c
}

// window is how long I2t is stated for, s: a half cycle (of 50 Hz on DC).
func (s *ssrStage) window() float64 {
	if s.l.Rail.AC {
		return s.l.AC.HalfCycle
	}
	return 10e-3
}

// firstSquare is the inrush's I2t within that time, A2s; a longer one is judged by the
// surge of its length.
func (s *ssrStage) firstSquare() float64 {
	p, w := &s.l.Pulse, s.window()
	switch {
	case s.l.Rail.AC:
		return min(p.I2t, p.Peak*p.Peak/2*w)
	case p.Shape == load.ForEver:
		return p.Peak * p.Peak * w
	}
	return min(p.I2t, p.Peak*p.Peak*w)
}
