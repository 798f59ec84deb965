package topology

import (
	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/device"
	"example.org/pinhoist/internal/load"
)

// moduleSSR is a module with solid-state relays: an output is judged as that of one by
// itself, on a board to which no sink is fixed; its input by what the board states. Its
// time_max is that of the board.
type moduleSSR struct{ module }

func (moduleSSR) Owes(l *load.Model) []design.CheckID { return ssr{}.Owes(l) }

// Takes lists the elements of a stage as built that are worked out.
func (moduleSSR) Takes(l *load.Model) []string {
	keys := []string{"r_pulldown"}
	if l.Rail.AC {
		keys = append(keys, "r_snubber", "snubber", "clamp")
	}
	return takes(l, keys...)
}

func (moduleSSR) Serves(_ *Env, l *load.Model, _ catalog.Part) string { return serveOutput(l) }

// moduleSSRStage is one stage while it is worked out.
type moduleSSRStage struct {
	ssrStage
	b      board
	inside catalog.SSR
}

func (t moduleSSR) Design(env *Env, l *load.Model, sw catalog.Part, given *Given, d *design.Design) {
	env.sagging(l, d, func(l *load.Model, d *design.Design) { t.steady(env, l, sw, given, d) })
}

// steady is Design for a load that draws what it does.
func (t moduleSSR) steady(env *Env, l *load.Model, sw catalog.Part, given *Given, d *design.Design) {
	g := *given
	g.HeatSink = GivenPart{Said: true}
	s := moduleSSRStage{ssrStage: ssrStage{stage: begin(env, l, &g, d, t.ID(), sw.Base()), ref: "U1.out"}}
	s.b = onBoard(&s.stage, sw.(*catalog.Module))
	s.inside = *s.b.mod.SSR
	s.inside.Common = s.b.mod.Common
	s.p = &s.inside
	s.output()
	s.b.inputChecks(true, s.b.window)
	s.outputChecks()
	s.b.hot = s.cooled()
	s.b.shared(design.OnCurrent, s.pol.I)
	s.b.ownRail()
	s.b.inputParts()
	s.b.drawBoard()
	s.drawOutput()
	s.finish(t.Owes(l))
	d.Share = s.b.share()
}

// cooled is what the air leaves of the output's greatest current, a ratio.
func (s *moduleSSRStage) cooled() float64 {
	most := 0.0
	for _, p := range s.p.IOutMax {
		most = max(most, float64(p.I.Or(0)))
	}
	if bare := device.SSRBare(s.p, s.l.TMax); bare.OK && most > 0 {
		return min(1, bare.V/most)
	}
	return 0
}
