package topology

import (
	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/device"
	"example.org/pinhoist/internal/load"
)

// darlingtonLow is a Darlington transistor between load and ground, or a channel
// of an array of them. A single one is the stage of any NPN transistor, with two
// junctions between base and emitter: it takes little base current, wants some
// 2 V at its base, and drops about a volt for ever. A channel has the resistors
// of its input inside (array.go).
type darlingtonLow struct{}

func (darlingtonLow) ID() string   { return "darlington-low" }
func (darlingtonLow) Side() string { return "low" }

// DrivesCoils says that a relay's coil may be driven so.
func (darlingtonLow) DrivesCoils() bool { return true }

func (darlingtonLow) Owes(l *load.Model) []design.CheckID { return npnLow{}.Owes(l) }

// Takes lists the elements of a stage as built that are worked out.
func (darlingtonLow) Takes(l *load.Model) []string { return npnLow{}.Takes(l) }

func (darlingtonLow) Serves(env *Env, l *load.Model, sw catalog.Part) string {
	switch p := sw.(type) {
	case *catalog.BJT:
		if p.Polarity != "npn" || !device.IsDarlington(p) {
			return WrongPart
		}
	case *catalog.Array:
		if p.Output != "darlington" {
			return WrongPart
		}
	default:
		return WrongPart
	}
	return servesInput(env, l)
}

func (t darlingtonLow) Design(env *Env, l *load.Model, sw catalog.Part, given *Given, d *design.Design) {
	env.limited(l, given, d, func(l *load.Model, d *design.Design) (warms float64, sure bool) {
		s := begin(env, l, given, d, t.ID(), sw.Base())
		if p, ok := sw.(*catalog.Array); ok {
			a := arrayStage{stage: s, p: p, keys: &baseKeys}
			a.roughly()
			return 0, true
		}
		n := npnStage{stage: s, p: sw.(*catalog.BJT)}
		n.lowSideRoughly()
		return 0, true
	}, func(l *load.Model, d *design.Design) { t.unlimited(env, l, sw, given, d) })
}

// unlimited is Design for a load as it is, with the limiter that stands in its way.
func (t darlingtonLow) unlimited(env *Env, l *load.Model, sw catalog.Part, given *Given, d *design.Design) {
	s := begin(env, l, given, d, t.ID(), sw.Base())
	if p, ok := sw.(*catalog.Array); ok {
		a := arrayStage{stage: s, p: p, keys: &baseKeys}
		a.design(t.Owes(l))
		return
	}
	n := npnStage{stage: s, p: sw.(*catalog.BJT)}
	n.lowSide(t.Owes(l))
}
