// Package catalog holds the part types, their decoding and lint, the derating
// policies and the embedded catalogue of generic parameter sets.
package catalog

import q "example.org/pinhoist/internal/quantity"

// Kind is a kind of part: the name of its array of tables in a file.
type Kind string

// The kinds.
const (
	KindBJT            Kind = "bjt"
	KindMOSFET         Kind = "mosfet"
	KindRelay          Kind = "relay"
	KindSSR            Kind = "ssr"
	KindModule         Kind = "module"
	KindArray          Kind = "array"
	KindDiode          Kind = "diode"
	KindZener          Kind = "zener"
	KindTVS            Kind = "tvs"
	KindMOV            Kind = "mov"
	KindResistorSeries Kind = "resistor-series"
	KindCapacitor      Kind = "capacitor"
	KindHeatSink       Kind = "heat-sink"
	KindInsulator      Kind = "insulator"
	KindFuse           Kind = "fuse"
	KindLimiter        Kind = "limiter"
	KindPin            Kind = "pin" // the reserved part of the topology direct
)

// PinID is the reserved part id of the topology direct.
const PinID = "pin"

// Catalog is a decoded, linted set of parts. It is never changed after loading.
type Catalog struct {
	Currency   string
	Digest     string // of the decoded parts, sorted by kind and id: the same for any order of files
	Packages   []Package
	BJTs       []BJT
	MOSFETs    []MOSFET
	Relays     []Relay
	SSRs       []SSR
	Modules    []Module
	Arrays     []Array
	Diodes     []Diode
	Zeners     []Zener
	TVSs       []TVS
	MOVs       []MOV
	Resistors  []ResistorSeries
	Capacitors []Capacitor
	HeatSinks  []HeatSink
	Insulators []Insulator
	Fuses      []Fuse
	Limiters   []Limiter

	byID map[string]Part // nil when made by hand
}

// Part is any part of a catalogue.
type Part interface {
	Base() *Common
	Kind() Kind
}

// Base returns what every kind states.
func (c *Common) Base() *Common { return c }

// Kind returns the kind.
func (*BJT) Kind() Kind { return KindBJT }

// Kind returns the kind.
func (*MOSFET) Kind() Kind { return KindMOSFET }

// Kind returns the kind.
func (*Relay) Kind() Kind { return KindRelay }

// Kind returns the kind.
func (*SSR) Kind() Kind { return KindSSR }

// Kind returns the kind.
func (*Module) Kind() Kind { return KindModule }

// Kind returns the kind.
func (*Array) Kind() Kind { return KindArray }

// Kind returns the kind.
func (*Diode) Kind() Kind { return KindDiode }

// Kind returns the kind.
func (*Zener) Kind() Kind { return KindZener }

// Kind returns the kind.
func (*TVS) Kind() Kind { return KindTVS }

// Kind returns the kind.
func (*MOV) Kind() Kind { return KindMOV }

// Kind returns the kind.
func (*ResistorSeries) Kind() Kind { return KindResistorSeries }

// Kind returns the kind.
func (*Capacitor) Kind() Kind { return KindCapacitor }

// Kind returns the kind.
func (*HeatSink) Kind() Kind { return KindHeatSink }

// Kind returns the kind.
func (*Insulator) Kind() Kind { return KindInsulator }

// Kind returns the kind.
func (*Fuse) Kind() Kind { return KindFuse }

// Kind returns the kind.
func (*Limiter) Kind() Kind { return KindLimiter }

// Policy is a named set of derating factors; every class of checks.md.
type Policy struct {
	Name          string
	Source        string
	FromMemory    bool
	V             float64
	VGate         float64
	I             float64
	IPeak         float64
	P             float64
	TjBelow       float64 // K below the maximum
	PResistor     float64
	VResistor     float64
	VCapacitor    float64
	IContact      float64
	InrushContact float64
	Life          float64
	Energy        float64
	Overdrive     float64 // of the base, at least 1
	I2t           float64
	IFuse         float64

	LookUp    string   // the table to hold factors from memory against
	FromBench []string // classes that the source does not have: bench's factors

	// What a table sets apart from its class; 0: as the class. The methods below
	// answer.
	VFET, VDiode, IDiode, ISurgeDiode float64
	TjLimit                           q.Opt[q.Celsius] // no junction may be hotter
}

func orClass(v, class float64) float64 {
	if v == 0 {
		return class
	}
	return v
}

// FETVoltage is the factor on the drain voltage of a MOSFET.
func (p *Policy) FETVoltage() float64 { return orClass(p.VFET, p.V) }

// DiodeVoltage is the factor on the reverse voltage of a diode.
func (p *Policy) DiodeVoltage() float64 { return orClass(p.VDiode, p.V) }

// DiodeCurrent is the factor on the average current of a diode under pwm.
func (p *Policy) DiodeCurrent() float64 { return orClass(p.IDiode, p.I) }

// DiodeSurge is the factor on the surge current of a diode that takes single
// decays; 1 where the policy has none.
func (p *Policy) DiodeSurge() float64 { return orClass(p.ISurgeDiode, 1) }

// JunctionBelow is how far, in kelvin, the junction of a part that bears tjMax
// degrees Celsius must stay under that.
func (p *Policy) JunctionBelow(tjMax float64) float64 {
	if t, ok := p.TjLimit.Get(); ok {
		return max(p.TjBelow, tjMax-float64(t))
	}
	return p.TjBelow
}
