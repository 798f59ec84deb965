// Package design is the plain data of an answer: checks, verdicts, elements and
// the bill of materials. It knows nothing of how a number was found.
package design

import (
	"slices"
	"strings"
)

// Number is a number that may be unknown. A Go zero is an unknown number.
type Number struct {
	V  float64
	OK bool
}

// Known is a number that is known.
func Known(v float64) Number { return Number{v, true} }

// Verdict is the outcome of a check or a design, best first.
type Verdict uint8

// The verdicts.
const (
	Fits Verdict = iota
	Tight
	Unproven
	Over
)

var verdictNames = [...]string{"fits", "tight", "unproven", "over"}
var verdictSigns = [...]string{"+", "~", "?", "x"}

// String returns the verdict's word.
func (v Verdict) String() string { return verdictNames[v] }

// Sign returns the one-character sign that stands before the word.
func (v Verdict) Sign() string { return verdictSigns[v] }

// Unit is the SI unit of a check or value, as printed.
type Unit string

// The units.
const (
	V       Unit = "V"
	A       Unit = "A"
	Ohm     Unit = "ohm"
	W       Unit = "W"
	S       Unit = "s"
	Hz      Unit = "Hz"
	J       Unit = "J"
	H       Unit = "H"
	C       Unit = "C"
	DegC    Unit = "degC"
	KPerW   Unit = "K/W"
	PerHour Unit = "/h"
	One     Unit = "1"
	A2s     Unit = "A2s"
	Years   Unit = "years"
	Metres  Unit = "m"
	M2      Unit = "m2"
	Ops     Unit = "operations"
	VPerS   Unit = "V/s"
)

// Arg is one number of a formula, under its symbol.
type Arg struct {
	Name   string
	V      float64
	Unit   Unit
	Absent bool // a part that is left out has no value
}

// CornerValue is the value one independent quantity took at a check's corner.
type CornerValue struct {
	Name string // rail, pin_supply, ambient, load.r, load.l, part.h_fe, resistor, duty, frequency, clamp
	V    float64
}

// Check is one comparison of a demand with what is guaranteed. Safe means
// stress <= rating. Judge fills the last group.
type Check struct {
	ID    CheckID
	Stage Stage

	Stress, StressEstimate Number
	Rating, RatingEstimate Number
	K                      float64 // allowed = K x rating; 0 means 1
	Below                  float64 // temperatures: allowed = rating - Below
	Ambient                Number  // temperatures: headroom counts from here
	Temperature            bool
	NoSolution             bool // runaway, empty window, nothing limits the voltage
	// EasyStress and EasyRating are the sides with assumed figures of the load
	// at their easy end, where there are such.
	EasyStress, EasyRating Number
	// Fallback says that a missing figure was replaced by its bracket: a
	// failure is then unproven.
	Fallback bool

	Unit    Unit
	Because string // constant text: why it is as it is, where the numbers do not say
	Formula string // constant text with {symbol} places for args and = signs
	Source  string // whose promise the rating (or stress) is
	// Brief leaves out what only a telling needs: arguments, corner and figures.
	Brief   bool
	figures []string // missing or assumed figures that would decide it
	args    []Arg
	corner  []CornerValue

	Allowed  Number
	Headroom Number // 0 to 1000
	Verdict  Verdict
}

// SetArgs stores the formula's numbers.
func (c *Check) SetArgs(args ...Arg) {
	if !c.Brief {
		c.args = append([]Arg(nil), args...)
	}
}

// Args returns the formula's numbers.
func (c *Check) Args() []Arg { return c.args }

// SetCorner stores the corner. A resistance, an inductance, a gain or a frequency
// of 0 is one that is not known or does not apply: it is left out.
func (c *Check) SetCorner(cv ...CornerValue) {
	if c.Brief {
		return
	}
	c.corner = nil
	for _, v := range cv {
		switch v.Name {
		case "load.r", "load.l", "part.h_fe", "frequency", "resistor", "clamp":
			if v.V == 0 {
				continue
			}
		}
		c.corner = append(c.corner, v)
	}
}

// Corner returns the corner.
func (c *Check) Corner() []CornerValue { return c.corner }

// Needs records a figure that is missing, or was assumed, and would decide the check.
func (c *Check) Needs(figure string) {
	if c.Brief {
		return
	}
	for _, f := range c.figures {
		if f == figure {
			return
		}
	}
	c.figures = append(c.figures[:len(c.figures):len(c.figures)], figure) // a copy of the check has its own
}

// Figures returns the missing or assumed figures that would decide the check.
func (c *Check) Figures() []string { return c.figures }

// Stage says whose check it is.
type Stage uint8

// The stages: the design itself, or the driver of its relay coil.
const (
	StageSelf Stage = iota
	StageDriver
)

// String returns "" or "driver".
func (s Stage) String() string {
	if s == StageDriver {
		return "driver"
	}
	return ""
}

// Value is one value of a design under its contract name (values.go).
type Value struct {
	Key  ValueKey
	V    float64
	Unit Unit
}

// Draw is a steady current taken from a rail, A.
type Draw struct {
	Rail string
	A    float64
}

// Share is what a stage takes of a package of an array, whose other channels may
// serve other loads. The zero Share takes of none.
type Share struct {
	Part     string
	Channels int     // of one package, on at once: no more than it has
	Stages   int     // of the load, a channel each, in as many packages as they need
	I        float64 // A, of each channel, steady, at the most
	Duty     float64 // a ratio, for which a figure of several channels must be stated
	Heat     Number  // W, of its channels of one package, at the worst
	Rise     float64 // K, of an inrush on top of that
	Copper   float64 // m2, granted under the package
	// ClampRail is the rail that the common pin of the diodes inside is tied to; "":
	// they are not used.
	ClampRail string

	// Of a board: the rail that feeds its driver, that of the load, and whether the load
	// must be kept apart from what stands on other rails.
	Feed, Rail string
	Apart      bool
}

// Of is the share of n channels of the stage: of those that stand in one package.
func (s Share) Of(n int) Share {
	if s.Channels > 0 {
		f := float64(n) / float64(s.Channels)
		s.Heat.V, s.Rise = f*s.Heat.V, f*s.Rise
	}
	s.Channels = n
	return s
}

// Role is what an element is for.
type Role string

// The roles.
const (
	RoleRail           Role = "rail"
	RolePin            Role = "pin"
	RoleLoad           Role = "load"
	RoleSwitch         Role = "switch"
	RoleShifter        Role = "shifter"
	RoleDriveResistor  Role = "drive-resistor"
	RolePullDown       Role = "pull-down"
	RoleSeriesResistor Role = "series-resistor"
	RoleClamp          Role = "clamp"
	RoleSnubber        Role = "snubber"
	RoleFuse           Role = "fuse"
	RoleIndicator      Role = "indicator"
	RoleHeatSink       Role = "heat-sink"
	RoleInsulator      Role = "insulator"
	RoleLimiter        Role = "limiter"
	RoleCoil           Role = "coil"
	RoleContact        Role = "contact"
)

// Element is one element of the circuit. Nodes are in the order of its kind:
// resistor a,b; diode and Zener anode,cathode; tvs a,b; bjt base,collector,emitter;
// mosfet gate,drain,source; array (a channel of it) and module input,output,ground; rail +,-;
// load +,-; coil a,b; contact common,open.
type Element struct {
	Ref      string
	Role     Role
	Kind     string // resistor, diode, zener, tvs, mov, bjt, mosfet, array, relay-coil, relay-contact, relay-contact-nc, ssr-input, ssr-output, rail, pin, load, heat-sink, insulator, fuse
	Part     string // id, where it is a part of the catalogue
	Value    float64
	Unit     Unit
	HasValue bool
	Nodes    []string // pin, control, base, gate, switch, rail, load, ground, coil, ...
}

// BOMLine is one line of the bill of materials.
type BOMLine struct {
	Ref       string
	Part      string
	Count     int
	UnitPrice Number
}

// Money is the cost of a stage; unknown where a line has no price.
type Money struct {
	Amount   Number
	Currency string
	Missing  []string // parts without a price
}

// NotApplicable is a check that the topology lists as not applying, and why.
type NotApplicable struct {
	ID    CheckID
	Stage Stage
	Why   string
}

// Design is one topology around one part for one load, every value chosen.
type Design struct {
	Load, Part, Topology, Variant string
	PartSource                    string // the part's provenance

	Checks   []Check
	NA       []NotApplicable
	Values   []Value
	Nominal  []Value // beside, never used for a verdict
	Elements []Element
	BOM      []BOMLine
	Cost     Money
	Cautions []string // ids, beside those of the load
	Driver   *Design  // of a relay's coil
	Half     *Design  // of a bridge: its high side

	Choice Choice // every value chosen, to build the same stage again

	Share Share // what the stage takes of a package that others may share

	Draws []Draw // what the stage takes steadily from its rails, beside what passes through the pin

	// PinCurrent is the steady worst current this stage takes from its pin (source
	// and sink).
	PinCurrent, PinSink float64
	Pins                int // that one stage takes, where it is more than one; 0 is one

	Verdict  Verdict
	Headroom Number
	Limiting int // index into Checks, -1: none
}

// Key is the design's identity: load/part/topology[/variant].
func (d *Design) Key() string {
	k := d.Load + "/" + d.Part + "/" + d.Topology
	if d.Variant != "" {
		k += "/" + d.Variant
	}
	return k
}

// Told is the role in words: what keeps a high side off pulls up.
func (e *Element) Told() string {
	if e.Role == RolePullDown && slices.ContainsFunc(e.Nodes, func(n string) bool { return strings.HasSuffix(n, "rail") }) {
		return "pull-up"
	}
	return string(e.Role)
}

// Shifted reports whether the driver is a level shifter, a part of the stage's own
// circuit: what drives a coil is a circuit by itself, whatever is in it.
func (d *Design) Shifted() bool {
	if d.Driver == nil || has(d.Elements, RoleCoil) {
		return false
	}
	return has(d.Driver.Elements, RoleShifter)
}

func has(elements []Element, r Role) bool {
	return slices.ContainsFunc(elements, func(e Element) bool { return e.Role == r })
}

// Choice is what a design chose, or was given: enough to make the same stage
// again with another load, part or policy.
type Choice struct {
	Resistors [maxResistors]ChosenResistor
	Clamp     []string // part ids, from the switch on; empty: none
	AtSwitch  bool
	HeatSink  string // part id, "": none
	Insulator string
	Limiter   string // of the inrush: part id, "": none
	Fuse      string // of the load's rail: part id, "": none
	CoilRail  string // of a relay: the rail that feeds its coil; of a module: its driver
	Shifter   string // of a high side: the level shifter's part id, "": the pin itself
	GateClamp string // part id, "": none
	Pulsed    bool   // of a P-channel high side: its level shifter is asked for the gate's charge as a pulse
	Parallel  int    // switches side by side; 0: one
	Capacitor string // part id, at the drive of a bridge
	Snubber   string // part id of its capacitor, "": none
	Poles     string // of a relay: "one", or "series" or "parallel" of its two; "" of all else
}

const maxResistors = 4

// ChosenResistor is one resistor of a stage.
type ChosenResistor struct {
	Key    ValueKey // "": none
	Ohms   float64
	Part   string // the series it is from, "": stated without one
	Tol    float64
	Absent bool
}

// AddResistor records a resistor.
func (c *Choice) AddResistor(r ChosenResistor) {
	for i := range c.Resistors {
		if c.Resistors[i].Key == "" {
			c.Resistors[i] = r
			return
		}
	}
}
