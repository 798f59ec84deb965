// Package quantity holds the typed SI quantities of the project and their text.
//
// Every type is a float64 in the SI base unit named beside it (temperatures in
// degrees Celsius, fractions as ratios), so that two different quantities
// cannot be mixed by mistake. Opt adds whether a figure was stated at all: a Go
// zero is never a value.
package quantity

import "math"

// The quantities. The unit is the one that the number is in.
type (
	Volt          float64 // V
	Amp           float64 // A
	Ohm           float64 // ohm
	Watt          float64 // W
	Second        float64 // s
	Henry         float64 // H
	Farad         float64 // F
	Coulomb       float64 // C
	Joule         float64 // J
	Kelvin        float64 // K, a difference of temperatures
	Celsius       float64 // degree Celsius, a temperature
	KelvinPerWatt float64 // K/W
	Hertz         float64 // Hz
	Rate          float64 // operations per second; text is per hour
	Ratio         float64 // 1; text is per cent, or a bare number
	Metre         float64 // m
	SquareMetre   float64 // m2
	AmpSquaredSec float64 // A2s
	VoltPerSecond float64 // V/s
	AmpPerSecond  float64 // A/s
	VoltPerKelvin float64 // V/K
	Year          float64 // years
)

// ZeroCelsius is 0 C on the absolute scale, K, the only place where the two meet.
const ZeroCelsius = 273.15

// Quantity is any of the types above.
type Quantity interface {
	~float64
	Dimension() *Dimension
}

// Opt is a quantity that may be absent. It takes no more room than a number,
// since a catalogue holds a hundred of them for each part.
type Opt[Q Quantity] struct {
	bits uint64 // of the number, a zero with its sign set; 0: absent
}

// zeroBits stand for a quantity of 0.
const zeroBits = 1 << 63

// Some is a quantity that is there.
func Some[Q Quantity](v Q) Opt[Q] {
	if v == 0 {
		return Opt[Q]{zeroBits}
	}
	return Opt[Q]{math.Float64bits(float64(v))}
}

// None is a quantity that is absent.
func None[Q Quantity]() Opt[Q] { return Opt[Q]{} }

// Get returns the quantity and whether it is there.
func (o Opt[Q]) Get() (Q, bool) { return o.number(), o.Known() }

func (o Opt[Q]) number() Q {
	if o.bits == zeroBits {
		return 0
	}
	return Q(math.Float64frombits(o.bits))
}

// Known reports whether the quantity is there.
func (o Opt[Q]) Known() bool { return o.bits != 0 }

// Or returns the quantity, or def where it is absent.
func (o Opt[Q]) Or(def Q) Q {
	if o.Known() {
		return o.number()
	}
	return def
}

// Value returns the quantity of an Opt that the caller knows to be there; it is
// for figures that decoding has proved present. An absent one panics, which is
// an internal fault.
func (o Opt[Q]) Value() Q {
	if !o.Known() {
		panic("quantity: an absent figure was used as a value")
	}
	return o.number()
}

// Money is an amount in one currency.
type Money struct {
	Amount   float64
	Currency string // ISO 4217, three capital letters
}
