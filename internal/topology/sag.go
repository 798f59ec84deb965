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
	// sagEnough is how much more a stage may drop than it was made for, sagOver how much
	// less, of the rail: so near is the current then.
	sagEnough, sagOver = 1e-9, 1e-6
	// sagNear of the rail is how far a rough way may be off, and sagTries how often the
	// stage is made for what it told, before that counts for nothing.
	sagNear, sagTries = 1e-3, 3
)

// sagging makes a stage, and again for the current that a load of constant power draws
// with what the stage drops, until it drops what it was made for. A stage as it stands
// comes to the same end from any beginning. One that drops more than the load bears, or
// nobody knows how much, is made for what the load bears: that it is no more,
// load-voltage asks.
func (e *Env) sagging(l *load.Model, d *design.Design, make func(l *load.Model, d *design.Design)) {
	e.saggingFrom(l, d, nil, make)
}

// roughly is a way, quicker than making a stage, to tell what it drops. It returns the share
// of its resistance that its own heat adds, and whether the stage that is made is sure to be
// the same: where several are tried one after another, it tells of the first.
type roughly func(l *load.Model, d *design.Design) (warms float64, sure bool)

// saggingFrom is sagging that begins with a rough way; nil: there is none. A stage may choose
// other values for more current, and drop less with a heat sink: where it does not come to
// rest near what the rough way told, all begins anew without that. Where the stage may be
// another it has to fit as well, for of those that are tried the first that fits is taken.
func (e *Env) saggingFrom(l *load.Model, d *design.Design, rough roughly, make func(l *load.Model, d *design.Design)) {
	if !l.ConstantPower() {
		make(l, d)
		return
	}
	bears := l.VMin
	if l.VoltageMin.Known {
		bears = max(0, l.VMin-float64(l.VoltageMin.Value))
	}
	warms, sure, whole := 0.0, true, rough == nil
	if whole {
		make(l, d)
	} else {
		warms, sure = rough(l, d)
	}
	lost, before, was, most := 0.0, math.NaN(), math.NaN(), 0.0
	for round := range sagRounds {
		v := valueIn(d, design.VOn)
		if !v.OK || v.V > bears {
			v = design.Known(bears)
		}
		over := lost - v.V
		if whole && (sure || d.Verdict == design.Fits) && -sagEnough*l.VMin <= over && over <= sagOver*l.VMin {
			return
		}
		next := v.V
		if on := valueIn(d, design.ROn); round == 0 && on.OK && next < bears { // a first guess
			next = l.OhmicDrop(next, warms)
		}
		astray := whole && (!sure || round == sagTries || math.Abs(over) > sagNear*l.VMin) || !whole && next >= bears && (!sure || v.V < bears)
		if rough != nil && astray {
			e.sagging(l, d, make)
			return
		}
		most = max(most, v.V)
		if k := (v.V - was) / (lost - before); k > 0 && k < 0.9 { // the line through both rounds
			next = lost + (v.V-lost)/(1-k)
		}
		if round == sagRounds-1 {
			next = most * sagSpare
		}
		before, was, lost = lost, v.V, min(next, bears)
		m := l.Sagging(lost)
		if m == nil {
			if !whole {
				make(l, d)
			}
			return
		}
		if m.Inductive && !m.Rail.AC {
			to := &turnOff{winding: windingOf(m, e.Brief)}
			to.menu = clamp.Menu(&to.winding, e.Policy, e.Clamps)
			m.Memo = to
		}
		make(m, d)
		whole = true
	}
}
