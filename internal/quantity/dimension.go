package quantity

import "strings"

// Dimension describes how one kind of quantity is written: its units, their
// prefixes and the form it is printed in. There is one for each type, made once
// and never changed.
type Dimension struct {
	name    string
	unit    string
	example string
	code    letterCode
	print   []form
	units   map[string]scale
}

// Unit is the unit of the stored number in machine output ("V", "K/W", "degC").
// A rate is stored per second, so its unit is "/s" although its text is "/h".
func (d *Dimension) Unit() string { return d.unit }

// Name is what the quantity is called in a sentence ("a voltage").
func (d *Dimension) Name() string { return d.name }

// Example is a text that the quantity may have ("12 V").
func (d *Dimension) Example() string { return d.example }

// Bare reports whether a number without a unit is a value (ratios only).
func (d *Dimension) Bare() bool { _, ok := d.units[""]; return ok }

// scale is what one unit is worth in the stored unit: 10^exp * num/den.
type scale struct {
	exp      int
	num, den int64
}

// form is a unit that values are printed in, and 10^exp of the stored unit.
type form struct {
	unit string
	exp  int
}

// letterCode is the RKM code of IEC 60062 that a quantity may be written in.
type letterCode uint8

const (
	noCode letterCode = iota
	resistorCode
	capacitorCode
)

// prefix is a decimal prefix, in every spelling that is read.
type prefix struct {
	spellings []string
	exp       int
}

// The prefixes. The micro sign is U+00B5, the Greek letter U+03BC.
var prefixes = []prefix{
	{[]string{"p"}, -12}, {[]string{"n"}, -9}, {[]string{"u", "\u00b5", "\u03bc"}, -6}, {[]string{"m"}, -3},
	{[]string{""}, 0}, {[]string{"k"}, 3}, {[]string{"M"}, 6}, {[]string{"G"}, 9},
}

// centi is for lengths and areas only.
var centi = prefix{[]string{"c"}, -2}

// unitTable collects the spellings of one dimension.
type unitTable map[string]scale

// plain adds units that take no prefix.
func (t unitTable) plain(exp int, spellings ...string) unitTable {
	for _, s := range spellings {
		t[s] = scale{exp, 1, 1}
	}
	return t
}

// times adds a unit that is num/den of the stored one.
func (t unitTable) times(num, den int64, spellings ...string) unitTable {
	for _, s := range spellings {
		t[s] = scale{0, num, den}
	}
	return t
}

// prefixed adds every prefix before each spelling; the prefix counts power
// times (2 for areas: the prefix is inside the square).
func (t unitTable) prefixed(power, exp int, spellings ...string) unitTable {
	for _, p := range prefixes {
		t.withPrefix(p, power, exp, spellings...)
	}
	return t
}

func (t unitTable) withPrefix(p prefix, power, exp int, spellings ...string) unitTable {
	for _, ps := range p.spellings {
		for _, s := range spellings {
			t[ps+s] = scale{p.exp*power + exp, 1, 1}
		}
	}
	return t
}

// perTime adds unit/s, unit/ms, unit/us and unit/ns.
func (t unitTable) perTime(unit string) unitTable {
	t.prefixed(1, 0, unit+"/s").prefixed(1, 3, unit+"/ms").prefixed(1, 9, unit+"/ns")
	return t.prefixed(1, 6, unit+"/us", unit+"/\u00b5s", unit+"/\u03bcs")
}

// forms lists print forms, largest first: a unit with each of the prefixes
// named in letters ("" is the bare unit, written "-").
func forms(unit, letters string) []form {
	var fs []form
	for i := len(prefixes) - 1; i >= 0; i-- {
		p := prefixes[i]
		s := p.spellings[0]
		if s == "" && strings.Contains(letters, "-") || s != "" && strings.Contains(letters, s) {
			fs = append(fs, form{s + unit, p.exp})
		}
	}
	return fs
}

const everyPrefix = "pnum-kMG"

var (
	dimVolt = &Dimension{
		name: "a voltage", unit: "V", example: "12 V",
		print: forms("V", everyPrefix), units: unitTable{}.prefixed(1, 0, "V"),
	}
	dimAmp = &Dimension{
		name: "a current", unit: "A", example: "20 mA",
		print: forms("A", everyPrefix), units: unitTable{}.prefixed(1, 0, "A"),
	}
	// The two signs are the Greek letter U+03A9 and the ohm sign U+2126.
	dimOhm = &Dimension{
		name: "a resistance", unit: "ohm", example: "4.7 kohm", code: resistorCode,
		print: forms("ohm", everyPrefix), units: unitTable{}.prefixed(1, 0, "ohm", "\u03a9", "\u2126"),
	}
	dimWatt = &Dimension{
		name: "a power", unit: "W", example: "0.25 W",
		print: forms("W", everyPrefix), units: unitTable{}.prefixed(1, 0, "W"),
	}
	dimSecond = &Dimension{
		name: "a time", unit: "s", example: "30 ms",
		print: forms("s", "pnum-"),
		units: unitTable{}.prefixed(1, 0, "s").times(60, 1, "min").times(3600, 1, "h"),
	}
	dimHenry = &Dimension{
		name: "an inductance", unit: "H", example: "60 mH",
		print: forms("H", everyPrefix), units: unitTable{}.prefixed(1, 0, "H"),
	}
	dimFarad = &Dimension{
		name: "a capacitance", unit: "F", example: "100 nF", code: capacitorCode,
		print: forms("F", everyPrefix), units: unitTable{}.prefixed(1, 0, "F"),
	}
	dimCoulomb = &Dimension{
		name: "a charge", unit: "C", example: "9 nC",
		print: forms("C", everyPrefix), units: unitTable{}.prefixed(1, 0, "C"),
	}
	dimJoule = &Dimension{
		name: "an energy", unit: "J", example: "3 mJ",
		print: forms("J", everyPrefix), units: unitTable{}.prefixed(1, 0, "J"),
	}
	dimKelvin = &Dimension{
		name: "a temperature difference", unit: "K", example: "10 K",
		print: forms("K", "m-"), units: unitTable{}.prefixed(1, 0, "K"),
	}
	dimCelsius = &Dimension{
		name: "a temperature", unit: "degC", example: "40 C",
		print: forms("C", "-"), units: unitTable{}.plain(0, "C", "degC", "\u00b0C"),
	}
	dimKelvinPerWatt = &Dimension{
		name: "a thermal resistance", unit: "K/W", example: "62 K/W",
		print: forms("K/W", "m-"),
		units: unitTable{}.prefixed(1, 0, "K/W").plain(0, "C/W", "degC/W", "\u00b0C/W"),
	}
	dimHertz = &Dimension{
		name: "a frequency", unit: "Hz", example: "500 Hz",
		print: forms("Hz", everyPrefix), units: unitTable{}.prefixed(1, 0, "Hz"),
	}
	dimRate = &Dimension{
		name: "a rate of operations", unit: "/s", example: "600 /h",
		print: forms("/h", "-"),
		units: unitTable{}.times(1, 3600, "/h").times(1, 60, "/min").plain(0, "/s"),
	}
	dimRatio = &Dimension{
		name: "a ratio", unit: "1", example: "10 %, or a bare number",
		print: bareForm, units: unitTable{}.plain(-2, "%").plain(0, ""),
	}
	dimMetre = &Dimension{
		name: "a length", unit: "m", example: "8 mm",
		print: forms("m", "num-"),
		units: unitTable{}.prefixed(1, 0, "m").withPrefix(centi, 1, 0, "m"),
	}
	dimSquareMetre = &Dimension{
		name: "an area", unit: "m2", example: "1.5 mm2",
		print: []form{{"m2", 0}, {"mm2", -6}},
		units: unitTable{}.prefixed(2, 0, "m2", "m\u00b2").withPrefix(centi, 2, 0, "m2", "m\u00b2"),
	}
	// No prefix: whether that of kA2s is squared is not agreed on.
	dimAmpSquaredSec = &Dimension{
		name: "a melting integral", unit: "A2s", example: "32 A2s",
		print: forms("A2s", "-"), units: unitTable{}.plain(0, "A2s", "A\u00b2s"),
	}
	dimVoltPerSecond = &Dimension{
		name: "a voltage slope", unit: "V/s", example: "200 V/us",
		print: []form{{"V/us", 6}, {"V/ms", 3}, {"V/s", 0}}, units: unitTable{}.perTime("V"),
	}
	dimAmpPerSecond = &Dimension{
		name: "a current slope", unit: "A/s", example: "5 A/ms",
		print: []form{{"A/us", 6}, {"A/ms", 3}, {"A/s", 0}}, units: unitTable{}.perTime("A"),
	}
	dimVoltPerKelvin = &Dimension{
		name: "a voltage per kelvin", unit: "V/K", example: "5 mV/K",
		print: forms("V/K", "um-"), units: unitTable{}.prefixed(1, 0, "V/K"),
	}
	dimYear = &Dimension{
		name: "a number of years", unit: "years", example: "10 years",
		print: forms("years", "-"), units: unitTable{}.plain(0, "years", "year"),
	}
)

// dimensions is every dimension in a fixed order, for guessing what a text of
// another dimension was. Celsius stands before Coulomb: "40 C" is more often
// a temperature.
var dimensions = []*Dimension{
	dimVolt, dimAmp, dimOhm, dimWatt, dimSecond, dimHenry, dimFarad, dimCelsius, dimCoulomb, dimJoule, dimKelvin,
	dimKelvinPerWatt, dimHertz, dimRate, dimMetre, dimSquareMetre, dimAmpSquaredSec, dimVoltPerSecond,
	dimAmpPerSecond, dimVoltPerKelvin, dimYear, dimRatio,
}

// IsUnit reports whether a word is a unit that some quantity is written with.
func IsUnit(word string) bool {
	if word == "" {
		return false
	}
	for _, d := range dimensions {
		if _, ok := d.units[word]; ok {
			return true
		}
	}
	return false
}

// Dimension returns how the quantity is written.
func (Volt) Dimension() *Dimension { return dimVolt }

// Dimension returns how the quantity is written.
func (Amp) Dimension() *Dimension { return dimAmp }

// Dimension returns how the quantity is written.
func (Ohm) Dimension() *Dimension { return dimOhm }

// Dimension returns how the quantity is written.
func (Watt) Dimension() *Dimension { return dimWatt }

// Dimension returns how the quantity is written.
func (Second) Dimension() *Dimension { return dimSecond }

// Dimension returns how the quantity is written.
func (Henry) Dimension() *Dimension { return dimHenry }

// Dimension returns how the quantity is written.
func (Farad) Dimension() *Dimension { return dimFarad }

// Dimension returns how the quantity is written.
func (Coulomb) Dimension() *Dimension { return dimCoulomb }

// Dimension returns how the quantity is written.
func (Joule) Dimension() *Dimension { return dimJoule }

// Dimension returns how the quantity is written.
func (Kelvin) Dimension() *Dimension { return dimKelvin }

// Dimension returns how the quantity is written.
func (Celsius) Dimension() *Dimension { return dimCelsius }

// Dimension returns how the quantity is written.
func (KelvinPerWatt) Dimension() *Dimension { return dimKelvinPerWatt }

// Dimension returns how the quantity is written.
func (Hertz) Dimension() *Dimension { return dimHertz }

// Dimension returns how the quantity is written.
func (Rate) Dimension() *Dimension { return dimRate }

// Dimension returns how the quantity is written.
func (Ratio) Dimension() *Dimension { return dimRatio }

// Dimension returns how the quantity is written.
func (Metre) Dimension() *Dimension { return dimMetre }

// Dimension returns how the quantity is written.
func (SquareMetre) Dimension() *Dimension { return dimSquareMetre }

// Dimension returns how the quantity is written.
func (AmpSquaredSec) Dimension() *Dimension { return dimAmpSquaredSec }

// Dimension returns how the quantity is written.
func (VoltPerSecond) Dimension() *Dimension { return dimVoltPerSecond }

// Dimension returns how the quantity is written.
func (AmpPerSecond) Dimension() *Dimension { return dimAmpPerSecond }

// Dimension returns how the quantity is written.
func (VoltPerKelvin) Dimension() *Dimension { return dimVoltPerKelvin }

// Dimension returns how the quantity is written.
func (Year) Dimension() *Dimension { return dimYear }

// Dimension returns how the quantity is written.
