package topology

import (
	"math"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/clamp"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/load"
	q "example.org/pinhoist/internal/quantity"
)

// direct is the load on the pin itself: from the pin to ground, or, with a pin
// that only sinks or a switch asked on the low side, from the pin's supply to
// the pin.
type direct struct{}

func (direct) ID() string   { return "direct" }
func (direct) Side() string { return "any" }

// DrivesCoils says that a relay's coil may be driven so.
func (direct) DrivesCoils() bool { return true }

func (direct) Owes(l *load.Model) []design.CheckID {
	ids := []design.CheckID{design.PinCurrent, design.PinVoltage, design.StaysOff, design.Leakage,
		design.LoadVoltage, design.ResistorPower, design.ResistorVoltage, design.RailCurrent}
	if l.Kind == job.Coil {
		ids[4] = design.CoilPickup
	}
	if l.Inductive {
		ids = append(ids, design.ClampVoltage, design.ClampStandoff, design.ClampCurrent, design.ClampEnergy, design.ClampPower, design.ReleaseTime)
	}
	if l.IsolationAsked {
		ids = append(ids, design.Isolation)
	}
	if l.Mode == "pwm" {
		ids = append(ids, design.PWMFrequency)
	}
	return owesFuse(l, ids)
}

// Takes lists the elements of a stage as built that are worked out.
func (direct) Takes(l *load.Model) []string { return takes(l, "r_series") }

func (direct) Serves(env *Env, l *load.Model, sw catalog.Part) string {
	if sw.Kind() != catalog.KindPin {
		return WrongPart
	}
	sinking := sinks(env, l)
	switch {
	case l.Rail.AC:
		return "no topology of this version serves an AC load"
	case l.Rail.Hazardous:
		return "the rail is hazardous: only a stage with galvanic separation may switch it"
	case l.Kind == job.LogicInput:
		if !l.Rail.CommonPin {
			return "the input does not share the pin's common"
		}
		if env.Pin.SupplyNom-q.Volt(l.VNom) > pinBeyond {
			return "the pin's high level is above the input's own supply, which would be fed through the input"
		}
		if env.Pin.OpenDrain {
			return "an open-drain pin gives no high level by itself"
		}
		return ""
	case !l.Rail.IsPin:
		return "the load is not on the pin's own supply"
	case l.Reversing:
		return "a motor that reverses needs a bridge"
	case l.Unpowered == "on":
		return "a pin without supply drives nothing, and the load must be on"
	case l.Kind == job.Capacitive:
		return "a capacitor on a bare pin has nothing that limits its charging current"
	case sinking && l.Chassis:
		return "the load is grounded to the chassis: a pin that sinks cannot switch it"
	case sinking && env.Pin.SinkMax <= 0:
		return "the pin sinks no current"
	case sinking && env.Pin.AtReset == "low":
		return "the pin is low at reset, which turns a load on that it sinks"
	case !sinking && env.Pin.SourceMax <= 0:
		return "the pin sources no current"
	}
	return ""
}

// sinks reports whether the pin switches the load's low side.
func sinks(env *Env, l *load.Model) bool {
	return l.Kind != job.LogicInput && (env.Pin.OpenDrain || l.Side == "low")
}

// pinPart is the reserved part of this topology.
type pinPart struct{ catalog.Common }

// Kind returns the kind.
func (*pinPart) Kind() catalog.Kind { return catalog.KindPin }

// PinPart is the reserved part `pin`.
func PinPart() catalog.Part {
	return &pinPart{catalog.Common{ID: catalog.PinID, Title: "the pin itself", Provenance: "the job"}}
}

type directStage struct {
	stage
	sink  bool
	clamp *clamp.Option
	iMax  float64 // through the pin, its own resistance counted, A
	rs    resistor
}

func (t direct) Design(env *Env, l *load.Model, sw catalog.Part, given *Given, d *design.Design) {
	env.sagging(l, d, func(l *load.Model, d *design.Design) { t.steady(env, l, sw, given, d) })
}

// steady is Design for a load that draws what it does.
func (t direct) steady(env *Env, l *load.Model, sw catalog.Part, given *Given, d *design.Design) {
	s := directStage{stage: begin(env, l, given, d, t.ID(), sw.Base()), sink: sinks(env, l)}
	s.rs = resistor{absent: true}
	if given.RSeries.Said && !s.l.RSeries.OK { // that of a bare LED is in the load already
		s.rs = s.env.stated(given.RSeries, 0)
	}
	s.clamp = s.suppressDirect()
	s.current()
	s.checks()
	s.draw()
	s.finish(t.Owes(l))
}

// suppressDirect chooses a clamp across the load: what it lets the pin swing
// beyond its rails while it floats counts too.
func (s *directStage) suppressDirect() *clamp.Option {
	if !s.l.Inductive {
		return s.suppress(design.Number{}, 1, nil)
	}
	return s.suppress(design.Known(s.l.VMax+pinBeyond), 1, nil)
}

// current is the load's greatest with the pin's least resistance in series.
func (s *directStage) current() {
	l := s.l
	peak := l.PeakCurrent()
	s.iMax = peak
	if peak > 0 && s.ohmic() {
		s.iMax = l.VMax / (l.VMax/peak + float64(s.env.Pin.ROutMin) + s.rs.lo())
	}
}

// ohmic: a load whose current a series resistance reduces.
func (s *directStage) ohmic() bool {
	switch s.l.Kind {
	case job.Electronic, job.Signal, job.LogicInput:
		return false
	}
	return true
}

func (s *directStage) checks() {
	s.clampChecks(s.clamp)
	s.pin()
	s.pinVoltage()
	s.staysOff()
	s.off()
	s.drop()
	s.pwm()
	s.railCurrent()
	s.noIsolation()
	s.fuses()
	feed := nodePin
	if s.sink {
		feed = nodeRail
	}
	s.seriesLED(feed)
	if !s.rs.absent {
		s.load("series resistor", "I^2 R", s.rs, s.iMax*s.iMax*s.rs.hi(), s.iMax*s.rs.hi())
	}
}

func (s *directStage) pin() {
	p := s.env.Pin
	limit, why := float64(p.SourceMax), "sourced"
	if s.sink {
		limit, why = float64(p.SinkMax), "sunk"
	}
	c := s.check(design.PinCurrent, design.A)
	c.Rating, c.Source, c.Because = design.Known(limit), "the job", why
	if s.l.PeakKnown {
		c.Stress = design.Known(s.iMax)
		if s.l.PeakAssumed {
			c.EasyStress = s.l.EasyPeak()
			c.Needs(s.l.InrushField())
		}
	} else {
		c.Needs(s.l.InrushField())
	}
	volts, name, ohms := p.SupplyMax, "V_pin_max", float64(p.ROutMin)
	if s.l.ConstantPower() { // the less it gets
		volts, name, ohms = p.SupplyMin, "V_pin_min", float64(p.ROutMax)
	}
	c.Formula = "load at {" + name + "} through {R_out}: {stress}"
	c.SetArgs(design.Arg{Name: name, V: float64(volts), Unit: design.V}, design.Arg{Name: "R_out", V: ohms, Unit: design.Ohm})
	c.SetCorner(design.CornerValue{Name: "pin_supply", V: float64(volts)}, design.CornerValue{Name: "ambient", V: s.l.TMin})
	judge(c)
	s.value(design.IPin, s.iMax, design.A)
	s.value(design.IOn, s.iMax, design.A)
	if s.sink {
		s.d.PinSink = s.iMax
	} else {
		s.d.PinCurrent, s.sourced = s.iMax, true
	}
}

// pinVoltage: driven, the pin's resistance judges itself by pin-current. A reset
// while a winding is on leaves the pin floating with the clamp's voltage on it.
func (s *directStage) pinVoltage() {
	c := s.check(design.PinVoltage, design.V)
	c.Rating, c.Source = design.Known(pinBeyond), "the job"
	c.SetCorner(design.CornerValue{Name: "rail", V: s.l.VMax})
	switch {
	case s.noClamp:
		c.NoSolution, c.Because = true, nothingLimits
		c.Formula = "no clamp: the pin is driven beyond its rails"
	case !s.l.Inductive:
		c.Stress = design.Known(0)
		c.Formula = "the load drives nothing into the pin"
	default:
		// A clamp across the switch holds its own voltage, whatever the rail: it is
		// farthest beyond the lowest.
		rail := s.l.VMax
		if s.clamp.AtSwitch {
			rail = s.l.VMin
		}
		if s.vPeak.OK {
			c.Stress = design.Known(s.vPeak.V - rail)
		} else {
			c.Needs("clamp voltage")
			c.StressEstimate = s.vPeakEst
			if c.StressEstimate.OK {
				c.StressEstimate.V -= rail
			}
		}
		if i := float64(s.env.Pin.InjectionMax); s.iMax <= i {
			c.Stress, c.Rating, c.Unit = design.Known(s.iMax), design.Known(i), design.A
		}
		c.Because = "a reset while the winding is on leaves the pin floating on its clamp"
		c.Formula = "the clamp takes the floating pin {stress} beyond its rail; {rating} is allowed"
	}
	judge(c)
}

// staysOff is the load's own current while the pin does not drive it.
func (s *directStage) staysOff() {
	l := s.l
	p := s.env.Pin
	c := s.check(design.StaysOff, design.A)
	c.Rating = s.offCurrent(c)
	if l.OffCurrent.Assumed {
		c.EasyRating = design.Known(float64(l.OffCurrent.Easy))
		c.Needs(l.OffCurrent.Field)
	}
	worst := 0.0
	for _, st := range s.offStates() {
		i := st.leak
		switch {
		case s.sink && !math.IsInf(st.pull, 1):
			i = float64(p.LeakageMax) // pulled up is off
		case st.driven > 0:
			i = s.iMax
			if s.sink {
				i = 0
			}
		case !math.IsInf(st.pull, 1):
			i = float64(p.SupplyMax) / (st.pull + s.loadOhms())
		}
		if i >= worst {
			worst, c.Because = i, st.name
		}
	}
	c.Stress = design.Known(worst)
	c.Formula = "the load's current while the pin does not drive: {stress}; it tolerates {rating}"
	c.SetCorner(design.CornerValue{Name: "pin_supply", V: float64(p.SupplyMax)})
	if l.Kind == job.LogicInput {
		s.d.Checks = s.d.Checks[:len(s.d.Checks)-1]
		s.na(design.StaysOff, "what an undriven input does is the input's own business")
		return
	}
	judge(c)
}

// loadOhms is the load's least resistance as the pull-up sees it.
func (s *directStage) loadOhms() float64 {
	if s.l.RMin > 0 {
		return s.l.RMin
	}
	return 0
}

func (s *directStage) off() {
	if s.l.Kind == job.LogicInput {
		s.na(design.Leakage, "a logic input is driven both ways")
		return
	}
	s.leakageCheck(design.Known(float64(s.env.Pin.LeakageMax)), "pin.leakage_max")
}

func (s *directStage) drop() {
	l, p := s.l, s.env.Pin
	if l.Kind == job.LogicInput {
		c := s.check(design.LoadVoltage, design.V)
		c.Stress = design.Known(float64(l.InputHighMin.Value))
		if l.InputHighMin.Assumed {
			c.EasyStress = design.Known(float64(l.InputHighMin.Easy))
			c.Needs(l.InputHighMin.Field)
		}
		c.Rating = design.Known(float64(p.SupplyMin) - l.IMax*(float64(p.ROutMax)+s.rs.hi()))
		c.Source = "the job"
		c.Formula = "{V_pin_min} - {I} x {R_out} = {rating}; the input needs {stress}"
		c.SetArgs(design.Arg{Name: "V_pin_min", V: float64(p.SupplyMin), Unit: design.V}, design.Arg{Name: "I", V: l.IMax, Unit: design.A}, design.Arg{Name: "R_out", V: float64(p.ROutMax) + s.rs.hi(), Unit: design.Ohm})
		c.SetCorner(design.CornerValue{Name: "pin_supply", V: float64(p.SupplyMin)})
		judge(c)
		return
	}
	lost := l.ILow * (float64(p.ROutMax) + s.rs.hi())
	s.loadVoltage(design.Known(lost), design.Number{})
	s.value(design.VOn, lost, design.V)
}

func (s *directStage) pwm() {
	if s.l.Mode == "pwm" {
		s.na(design.PWMFrequency, "a pin's own edges are far faster than any PWM it makes")
	}
}

func (s *directStage) draw() {
	from, to := nodePin, nodeGround
	if s.sink {
		from, to = nodeRail, nodePin
	}
	if s.given.RSeries.Said && !s.l.RSeries.OK {
		s.resistorElement("R1", design.RSeries, design.RoleSeriesResistor, s.rs, from, "series")
	}
	if s.env.Brief {
		return
	}
	if s.l.RSeries.OK {
		from = "led"
	}
	if !s.rs.absent {
		from = "series"
	}
	s.d.Elements = append(s.d.Elements,
		design.Element{Ref: "PIN", Role: design.RolePin, Kind: "pin", Value: float64(s.env.Pin.SupplyNom), Unit: design.V, HasValue: true, Nodes: []string{nodePin, nodeGround}},
		design.Element{Ref: "V1", Role: design.RoleRail, Kind: "rail", Value: s.l.VNom, Unit: design.V, HasValue: true, Nodes: []string{nodeRail, nodeGround}},
		design.Element{Ref: "LOAD", Role: design.RoleLoad, Kind: string(s.l.Kind), Value: s.l.INom, Unit: design.A, HasValue: true, Nodes: []string{from, to}})
	if s.clamp == nil {
		return
	}
	// Current flows from `from` to `to` through the load: the clamp's anode is on
	// the node that the winding pulls under (or over) its supply.
	if s.sink {
		s.clampElements(s.clamp, nodePin, nodeRail, nodeGround)
	} else {
		s.clampElements(s.clamp, nodeGround, nodePin, nodeGround)
	}
}
