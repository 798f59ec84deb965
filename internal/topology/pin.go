package topology

import (
	"math"

	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/load"
)

// Nodes of a low-side stage.
const (
	nodePin     = "pin"
	nodeControl = "control"
	nodeRail    = "rail"
	nodeFeed    = "feed" // of the rail, before its fuse
	nodeSwitch  = "switch"
	nodeGround  = "ground"
)

// pinUndershoot is how far a driven pin may swing under its ground while its
// edge rings, V (common practice, no source).
const pinUndershoot = 0.3

// resetState is a way in which the pin does not drive.
type resetState struct {
	name   string
	pull   float64 // resistance of a pull-up to the pin's highest supply; +Inf: none
	leak   float64 // leakage flowing out, A
	driven float64 // V, where the pin drives by itself at reset
}

// offStates are the states in which the load must be off besides a driven low:
// at reset, as the job says or the worse of floating and pulled up, and with
// the pin's supply absent, when the pin is open with its leakage flowing out.
func (s *stage) offStates() []resetState {
	p := s.env.Pin
	leak := float64(p.LeakageMax)
	floating := resetState{name: "reset, floating", pull: math.Inf(1), leak: leak}
	pulled := resetState{name: "reset, pulled up", pull: float64(p.ResetPullMin)}
	off := s.off[:0] // in the stage, so that nothing is allocated
	switch p.AtReset {
	case "floating":
		off = append(off, floating)
	case "pull-up":
		off = append(off, pulled)
	case "low":
	case "high":
		off = append(off, resetState{name: "reset, high", pull: float64(p.ROutMin), driven: float64(p.SupplyMax)})
	default:
		off = append(off, floating, pulled)
	}
	return append(off, resetState{name: "no pin supply", pull: math.Inf(1), leak: leak})
}

// control is the voltage on a control node that reaches the pin through series
// ohms and ground through bleed ohms, with extra amperes of leakage into it.
func (s *stage) control(st resetState, series, bleed, extra float64) float64 {
	vmax := float64(s.env.Pin.SupplyMax)
	v := (st.leak + extra) * bleed
	if math.IsInf(bleed, 1) {
		v = vmax // nothing holds the node: leakage lifts it to whatever it likes
	}
	if !math.IsInf(st.pull, 1) {
		up := vmax
		if !math.IsInf(bleed, 1) {
			up = vmax * bleed / (bleed + series + st.pull)
		}
		v = up + extra*parallel(bleed, series+st.pull)
	}
	return v
}

// bleedFor is the greatest bleed, ohm at the upper end of its tolerance, that
// keeps the control node at or under vth in every off state.
func (s *stage) bleedFor(vth, series, extra float64) float64 {
	vmax := float64(s.env.Pin.SupplyMax)
	r := bleedCap
	for _, st := range s.offStates() {
		if leak := st.leak + extra; leak > 0 && math.IsInf(st.pull, 1) {
			r = min(r, vth/leak)
		}
		if !math.IsInf(st.pull, 1) && vth < vmax {
			// vmax*r/(r + series + pull) + extra*r <= vth, with the leakage's own
			// parallel path left out, which is safe
			r = min(r, bleedRoot(vmax, vth, series+st.pull, extra))
		}
	}
	return max(0, r)
}

// bleedRoot solves vmax*r/(r + p) + e*r = vth for r.
func bleedRoot(vmax, vth, p, e float64) float64 {
	if vth <= 0 {
		return 0
	}
	if e <= 0 {
		return vth * p / (vmax - vth)
	}
	b := vmax + e*p - vth
	return (-b + math.Sqrt(b*b+4*e*vth*p)) / (2 * e)
}

// bleedCap is the greatest pull-down used, ohm: above it dirt and damp on a
// board count (common practice, no source).
const bleedCap = 100e3

// needsSource says why a stage that is turned on by a high pin cannot be driven.
func needsSource(p *job.Pin) string {
	if p.OpenDrain {
		return "an open-drain pin cannot source the drive that this stage needs"
	}
	if p.SourceMax <= 0 {
		return "the pin sources no current"
	}
	return ""
}

// pinVoltageLow is the pin-voltage check of a stage that hangs between pin and
// ground: only leakage lifts the pin while it has no supply. Where it is not
// known, figure would say it.
func (s *stage) pinVoltageLow(volts design.Number, figure string) {
	s.pinLifted(volts, design.Number{}, design.Number{}, figure)
}

// pinLifted is pinVoltageLow with so much leakage, A, that lifts the pin: where that
// is beyond its rails it flows into its clamps. Where the leakage is that of a
// junction whose heat is only bounded, cooler is what it lifts the pin to by an
// estimate, V.
func (s *stage) pinLifted(volts, cooler, leak design.Number, figure string) {
	c := s.check(design.PinVoltage, design.V)
	c.Stress, c.StressEstimate, c.Rating = volts, cooler, design.Known(pinBeyond)
	c.Formula = "leakage lifts the pin without supply to {stress}; {rating} above its rail is allowed"
	if into := float64(s.env.Pin.InjectionMax); volts.OK && leak.OK && volts.V > pinBeyond && design.AtMost(leak.V, into) {
		c.Unit, c.Stress, c.StressEstimate, c.Rating = design.A, leak, design.Number{}, design.Known(into)
		c.Because = "leakage lifts the pin without supply beyond its rail: it flows into the pin's clamps"
		c.Formula = "at most {stress} into the clamps of the pin; {rating} is allowed"
	}
	if !volts.OK || cooler.OK && volts.V > pinBeyond {
		c.Needs(figure)
	}
	c.Source = "the job"
	c.SetCorner(design.CornerValue{Name: "rail", V: s.l.VMax}, design.CornerValue{Name: "pin_supply", V: 0})
	judge(c)
	s.valueOf(design.VPinMax, volts, design.V)
}

// pinBeyond is how far a pin that floats or has no supply may go beyond its rails, V.
const pinBeyond = 0.3

// pinCurrent judges what the pin gives: the steady current, and a charging peak
// (0: none), each direction against its own limit; the one with less headroom
// is shown.
func (s *stage) pinCurrent(steady, peak, sinkPeak float64, formula string, args ...design.Arg) {
	p := s.env.Pin
	type demand struct {
		i, limit float64
		because  string
	}
	demands := [...]demand{
		{steady, float64(p.SourceMax), ""},
		{peak, float64(p.PeakMax), "the peak that charges the gate"},
		{sinkPeak, float64(p.SinkPeakMax), "the peak that discharges the gate"},
	}
	w := demands[0]
	for _, x := range demands[1:] {
		if x.i > 0 && x.i*w.limit > w.i*x.limit {
			w = x
		}
	}
	c := s.check(design.PinCurrent, design.A)
	c.Stress, c.Rating, c.Because, c.Source = design.Known(w.i), design.Known(w.limit), w.because, "the job"
	c.Formula = formula
	c.SetArgs(args...)
	c.SetCorner(design.CornerValue{Name: "pin_supply", V: float64(p.SupplyMax)})
	judge(c)
	s.value(design.IPin, max(steady, peak), design.A)
	s.d.PinCurrent = steady
}

// servesInput says why a low-side stage that a high pin turns on cannot serve a
// load, or "".
func servesInput(env *Env, l *load.Model) string {
	if why := serveLowSide(l); why != "" {
		return why
	}
	return needsSource(&env.Pin)
}

// serveLowSide says why a low-side stage without isolation cannot serve a load,
// or "".
func serveLowSide(l *load.Model) string {
	switch why := serveSilicon(l); {
	case why != "":
		return why
	case l.Side == "high":
		return "the load asks for a switch on the high side"
	case l.Chassis:
		return "the load is grounded to the chassis: a low-side switch cannot interrupt it"
	}
	return ""
}

// serveSilicon says why no stage of transistors alone can serve a load, or "".
func serveSilicon(l *load.Model) string {
	switch {
	case l.Rail.AC:
		return "no topology of this version serves an AC load"
	case l.Rail.Hazardous:
		return "the rail is hazardous: only a stage with galvanic separation may switch it"
	case !l.Rail.CommonPin:
		return "the rail does not share the pin's common: only an isolated stage can switch it"
	case l.Kind == job.LogicInput:
		return "a logic input is driven by the pin itself"
	case l.Reversing:
		return "a motor that reverses needs a bridge"
	case l.Unpowered == "on":
		return "this stage is off while the logic has no supply, and the load must be on"
	}
	return ""
}
