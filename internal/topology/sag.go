package topology

import (
	"math"

	"example.org/pinhoist/internal/clamp"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/load"
)

const (
	// sagRounds is how often a stage is made again at the most for what it drops; one
	// that has not come to rest by then, as its values change with it, is taken to drop
	// sagSpare of the most that it did.
	sagRounds, sagSpare = 12, 1.05
	// sagEnough is how near what it drops comes to what it was made for, of the rail: so
	// near is the current then.
	sagEnough = 1e-9
)

// sagging makes a stage, and again for the current that a load of constant power draws
// with what the stage drops, until it drops what it was made for. A stage as it stands
// comes to the same end from any beginning. One that drops more than the load bears, or
// nobody knows how much, is made for what the load bears: that it is no more,
// load-voltage asks.
func (e *Env) sagging(l *load.Model, d *design.Design, make func(l *load.Model, d *design.Design)) {
	make(l, d)
	if !l.ConstantPower() {
		return
	}
	bears := l.VMin
	if l.VoltageMin.Known {
		bears = max(0, l.VMin-float64(l.VoltageMin.Value))
	}
	lost, before, was, most := 0.0, math.NaN(), math.NaN(), 0.0
	for round := range sagRounds {
		v := valueIn(d, design.VOn)
		if !v.OK || v.V > bears {
			v = design.Known(bears)
		}
		if math.Abs(v.V-lost) <= sagEnough*l.VMin {
			return
		}
		most = max(most, v.V)
		next := v.V
		if on := valueIn(d, design.ROn); round == 0 && on.OK && next < bears { // a first guess
			next = l.OhmicDrop(next)
		}
		if k := (v.V - was) / (lost - before); k > 0 && k < 0.9 { // the line through both rounds
			next = lost + (v.V-lost)/(1-k)
		}
		if round == sagRounds-1 {
			next = most * sagSpare
		}
		before, was, lost = lost, v.V, min(next, bears)
		m := l.Sagging(lost)
		if m == nil {
			return
		}
		if m.Inductive && !m.Rail.AC {
			to := &turnOff{winding: windingOf(m, e.Brief)}
			to.menu = clamp.Menu(&to.winding, e.Policy, e.Clamps)
			m.Memo = to
		}
		make(m, d)
	}
}
