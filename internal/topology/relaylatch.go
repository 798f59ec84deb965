package topology

import (
	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/load"
	q "example.org/pinhoist/internal/quantity"
)

// A latching relay with two coils: one sets it, one resets it, each for a pulse and each
// on a driver and a pin of its own. With one coil, current in one direction sets it and in
// the other resets it: a bridge drives it, from a pin for each direction. Without a pulse
// it stays where it is, with the logic or without: nobody knows where until the first one.

const (
	oneCoil   = "one-coil"
	twoCoil   = "two-coil"
	latchPins = 2
)

func latches(r *catalog.Relay) bool { return r.Latching == oneCoil || r.Latching == twoCoil }

// Of is the topology of a relay: one that latches owes stays-off itself, which no driver
// of its coils can answer for.
func (t relay) Of(sw catalog.Part) Topology {
	if r, ok := sw.(*catalog.Relay); ok && latches(r) {
		return relayLatching{t}
	}
	return t
}

type relayLatching struct{ relay }

func (t relayLatching) Of(catalog.Part) Topology { return t }

func (t relayLatching) Owes(l *load.Model) []design.CheckID {
	return append(t.relay.Owes(l), design.StaysOff)
}

// Pulses, common practice without a source: one lasts at least three times as long as a
// hot coil on the lowest rail takes to operate; a winding warms with a time constant of
// no less than ten seconds.
const (
	pulseMargin = 3.0
	coilTau     = 10.0
)

// stillAt is the part of its nominal current that surely moves no latching relay, whose
// magnet holds it: many state no voltage that lets go, for there is none (common practice,
// no source).
const stillAt = 0.1

// pulse is how long a pulse has to be, s: as stated, and no less than a margin over the
// longest time of operating.
func (s *relayStage) pulse(operates float64) float64 {
	return max(float64(s.r.PulseMin.Or(0)), pulseMargin*operates)
}

// pulsesEach is how many pulses an operation is: one sets the relay, one resets it, and
// two coils are wound on one bobbin.
const pulsesEach = 2

// pulseShare is the share of its steady heat that a coil has from pulses alone: what it
// keeps of all at the job's rate, and one more. All of it where nobody stated how long it
// takes to operate, for a pulse may then be of any length.
func (s *relayStage) pulseShare() float64 {
	if s.armature() <= 0 {
		return 1
	}
	// Ten times the stated time for both: no coil that picks up at all is later than that.
	t := s.pulse(10 * s.armature())
	each := max(pulsesEach*float64(s.r.PulseMin.Or(0)), t)
	return min(1, each*s.l.OpsPerSecond+t/coilTau)
}

// pulsed makes the load of one coil that of a pulse: it picks up as hot as pulses leave
// it. Its temperature and its driver are judged as if software held it on for ever, which
// software may: hardware that keeps the duty of the load ends no pulse.
func (s *relayStage) pulsed(l *job.Load) {
	l.Reversing = s.r.Latching == oneCoil
	if r := l.R.Or(0); !l.OffCurrent.Known && r > 0 && s.r.VCoil.Known() {
		l.OffCurrent.Value, l.OffCurrent.Known = q.Amp(stillAt*float64(s.r.VCoil.Value())/float64(r)), true
	}
	l.Unpowered, l.ReleaseWithin = "off", q.Opt[q.Second]{}
	l.RthCoil.Value *= q.KelvinPerWatt(s.pulseShare())
	l.Duty, l.DutyMin, l.DutyMax, l.DutyEnforced = 1, 0, 1, false
}

// drivers is how many of them the relay has: one for each coil.
func (s *relayStage) drivers() int {
	if s.r.Latching == twoCoil {
		return 2
	}
	return 1
}

// buyDrivers buys what drives the coil, once for each coil. A bridge has capacitors
// beside that of a snubber across the contact.
func (s *relayStage) buyDrivers(d *design.Design) {
	if s.r.Latching == oneCoil {
		s.rename("C1", "C11")
	}
	at := len(s.d.BOM)
	s.d.BOM = append(s.d.BOM, d.BOM...)
	for i := range s.d.BOM[at:] {
		s.d.BOM[at+i].Count *= s.drivers()
	}
	if s.latching {
		s.d.Pins = latchPins
	}
}

// staysLatched is the stays-off check of a latching relay: without the logic, and until
// its first pulse, it stands where it stood. No part of the stage can mend that.
func (s *relayStage) staysLatched() {
	if !s.latching {
		return
	}
	s.caution(design.CautionLatching)
	if t := s.plan.coil.time; t.OK {
		s.value(design.TPulse, s.pulse(t.V), design.S)
	}
	l := s.l
	if l.Unpowered == "any" && !l.StuckOnHarmful {
		s.na(design.StaysOff, "the load may be on or off without the logic, as the job says; it stays as it was")
		return
	}
	c := s.check(design.StaysOff, design.One)
	c.NoSolution, c.Stress, c.Rating = true, design.Known(1), design.Known(0)
	switch {
	case l.Unpowered == "off":
		c.Because = "it stays where it was: without the logic, and until the first reset pulse, a load that must be off may be on"
	case l.Unpowered == "on":
		c.Because = "it stays where it was: without the logic a load that must be on may be off"
	default:
		c.Because = "it stays where it was, and a load that stays on does harm"
	}
	c.Formula = "of the two places in which a latching contact may stand at power-up, {stress} is wrong"
	judge(c)
}
