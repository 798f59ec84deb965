package quantity

import (
	"math"
	"math/big"
	"strconv"
	"strings"
)

// maxText is the longest text that is read as a quantity, in bytes.
const maxText = 128

// ParseError says why a text is not a quantity.
type ParseError struct {
	Found    string // the text, cut if it is very long
	Expected string // "a voltage, such as 12 V"
	Hint     string // what to do about it; may be empty
}

// Error is the whole message in one line, control characters escaped.
func (e *ParseError) Error() string {
	s := "found " + strconv.Quote(e.Found) + ", expected " + e.Expected
	if e.Hint != "" {
		s += ": " + e.Hint
	}
	return s
}

// Parse reads a number, an optional space, a prefix and a unit ("4.7 kohm"), or
// the RKM code of IEC 60062 for resistances and capacitances ("4k7"). Prefixes
// are p n u m k M G and their case counts. The result is the float64 nearest to
// the decimal written. Errors are of type *ParseError.
func Parse[Q Quantity](text string) (Q, error) {
	var q Q
	v, err := q.Dimension().Parse(text)
	return Q(v), err
}

// Parse reads a text of this dimension and returns the number in its stored
// unit, always finite. Errors are of type *ParseError.
func (d *Dimension) Parse(text string) (float64, error) {
	if len(text) > maxText {
		return 0, d.fail(text, "the text is too long")
	}
	t := tidy(text)
	n, unit, hint := splitNumber(t)
	if hint == "" {
		sc, ok := d.units[unit]
		if ok {
			return d.value(text, n, sc)
		}
		hint = d.unitHint(n, unit)
	}
	if d.code != noCode {
		if n, sc, ok := d.code.parse(t); ok {
			return d.value(text, n, sc)
		}
	}
	return 0, d.fail(text, hint)
}

func (d *Dimension) fail(text, hint string) *ParseError {
	if len(text) > 40 {
		text = strings.ToValidUTF8(text[:40], "") + "..."
	}
	return &ParseError{Found: text, Expected: d.name + ", such as " + d.example, Hint: hint}
}

// value scales a number, and refuses what a float64 cannot hold.
func (d *Dimension) value(text string, n decimal, sc scale) (float64, error) {
	v := n.scaled(sc)
	switch {
	case math.IsInf(v, 0):
		return 0, d.fail(text, "the number is too large")
	case v == 0 && !n.isZero():
		return 0, d.fail(text, "the number is too small to be told from zero")
	}
	return v, nil
}

// tidy trims spaces and replaces the characters that look like a space or a
// minus: no-break spaces U+00A0 and U+202F, minus U+2212.
func tidy(text string) string {
	for i := 0; i < len(text); i++ {
		if text[i] >= 0x80 {
			text = lookalikes.Replace(text)
			break
		}
	}
	return strings.Trim(text, " ")
}

var lookalikes = strings.NewReplacer("\u00a0", " ", "\u202f", " ", "\u2212", "-")

// decimal is a decimal number as text: sign, digits with at most one point, and
// a power of ten.
type decimal struct {
	neg    bool
	digits string
	exp    int
}

// expLimit bounds powers of ten: far beyond a float64 with maxText digits.
const expLimit = 9999

// splitNumber cuts a text into its number and its unit; hint says what is wrong
// with the number, or is empty.
func splitNumber(t string) (n decimal, unit, hint string) {
	if t == "" {
		return n, "", "the text is empty"
	}
	i := 0
	if t[0] == '-' || t[0] == '+' {
		n.neg = t[0] == '-'
		i++
	}
	start := i
	i = skipDigits(t, i)
	whole, fraction := i-start, 0
	if i < len(t) && t[i] == '.' {
		j := skipDigits(t, i+1)
		fraction = j - i - 1
		if fraction == 0 {
			return n, "", "a digit must follow the decimal point"
		}
		i = j
	}
	if whole+fraction == 0 {
		return n, "", "it must begin with a number"
	}
	n.digits = t[start:i]
	n.exp, i = exponent(t, i)
	rest := t[i:]
	switch {
	case strings.HasPrefix(rest, ","):
		return n, "", "write a decimal point, not a comma"
	case strings.HasPrefix(rest, "."):
		return n, "", "a number has one decimal point"
	case strings.HasPrefix(rest, "_"), strings.HasPrefix(rest, "'"):
		return n, "", "write the digits of a number without separators"
	}
	return n, strings.TrimLeft(rest, " "), ""
}

func skipDigits(t string, i int) int {
	for i < len(t) && t[i] >= '0' && t[i] <= '9' {
		i++
	}
	return i
}

// exponent reads e-12 at t[i:], and returns 0 and i where there is none.
func exponent(t string, i int) (exp, end int) {
	if i >= len(t) || t[i] != 'e' && t[i] != 'E' {
		return 0, i
	}
	j := i + 1
	if j < len(t) && (t[j] == '-' || t[j] == '+') {
		j++
	}
	end = skipDigits(t, j)
	if end == j {
		return 0, i
	}
	exp, err := strconv.Atoi(t[i+1 : end])
	if err != nil || exp > expLimit || exp < -expLimit {
		exp = expLimit
		if t[i+1] == '-' {
			exp = -expLimit
		}
	}
	return exp, end
}

func (n decimal) isZero() bool { return strings.Trim(n.digits, "0.") == "" }

// scaled is the float64 nearest to the number times the scale. The power of ten
// goes into the decimal text before it is converted, so that "60 mH" is 60e-3
// to the last bit.
func (n decimal) scaled(sc scale) float64 {
	if sc.num != sc.den && !n.isZero() {
		return n.scaledRational(sc)
	}
	var room [maxText + 16]byte
	b := room[:0]
	if n.neg {
		b = append(b, '-')
	}
	b = append(b, n.digits...)
	b = append(b, 'e')
	b = strconv.AppendInt(b, int64(n.exp+sc.exp), 10)
	v, _ := strconv.ParseFloat(string(b), 64) // an overflow is an infinity
	return v
}

// scaledRational is scaled for units that are no power of ten (hours).
func (n decimal) scaledRational(sc scale) float64 {
	exp := n.exp + sc.exp
	sign := 1.0
	if n.neg {
		sign = -1
	}
	if exp > 2*maxFloatExp {
		return math.Inf(int(sign))
	}
	if exp < -2*maxFloatExp {
		return 0
	}
	r, ok := new(big.Rat).SetString(n.digits + "e" + strconv.Itoa(exp))
	if !ok {
		return math.Inf(1)
	}
	r.Mul(r, big.NewRat(sc.num, sc.den))
	v, _ := r.Float64()
	return sign * v
}

// maxFloatExp is above the decimal exponent of any float64.
const maxFloatExp = 330

// unitHint says what is wrong with a unit.
func (d *Dimension) unitHint(n decimal, unit string) string {
	switch {
	case unit == "" && d == dimRate:
		return "say per what: " + n.text() + " /h, /min or /s"
	case unit == "":
		return "the unit is missing"
	case strings.Contains(unit, ","):
		return "write a decimal point, not a comma"
	case d == dimCelsius && unit == "K":
		return "kelvin is for differences; a temperature is in degrees Celsius, 0 C being 273.15 K"
	case d == dimKelvin && (unit == "C" || unit == "degC" || unit == "\u00b0C"):
		return "degrees Celsius are for temperatures; a difference is in kelvin: " + n.text() + " K"
	}
	if _, ok := d.code.power(unit); ok {
		return "write " + n.text() + unit + ", or the unit in full"
	}
	if s, ok := foldedUnit(d, unit); ok {
		return "the case of letters counts: write " + s
	}
	for _, other := range dimensions {
		if _, ok := other.units[unit]; ok {
			return strconv.Quote(unit) + " is the unit of " + other.name
		}
	}
	return strconv.Quote(unit) + " is not a unit of it"
}

// text is the number as it was written.
func (n decimal) text() string {
	s := n.digits
	if n.neg {
		s = "-" + s
	}
	if n.exp != 0 {
		s += "e" + strconv.Itoa(n.exp)
	}
	return s
}

// foldedUnit finds the spelling that differs from unit only in case. Of several
// (mV and MV from Mv) it takes the one that sorts first, so that a message does
// not change from run to run.
func foldedUnit(d *Dimension, unit string) (string, bool) {
	best := ""
	for s := range d.units {
		if strings.EqualFold(s, unit) && (best == "" || s < best) {
			best = s
		}
	}
	return best, best != ""
}

// power is the power of ten of a letter that stands for the point.
func (c letterCode) power(letter string) (int, bool) {
	letters := [...]map[string]int{
		noCode:        nil,
		resistorCode:  resistorLetters,
		capacitorCode: capacitorLetters,
	}
	exp, ok := letters[c][letter]
	return exp, ok
}

// The letters of IEC 60062, k and r in both cases; L is a thousandth of an ohm,
// for which m would be read as mega by many.
var (
	resistorLetters  = map[string]int{"L": -3, "R": 0, "r": 0, "K": 3, "k": 3, "M": 6, "G": 9}
	capacitorLetters = map[string]int{"p": -12, "n": -9, "u": -6, "m": -3}
)

// parse reads an RKM code: digits around one letter ("4k7", "R47", "470R"), or a
// decimal number with the letter behind it ("4.7k"), which is not in IEC 60062
// but is common on circuit diagrams.
func (c letterCode) parse(t string) (decimal, scale, bool) {
	t = micro.Replace(t)
	i := 0
	for i < len(t) && (t[i] == '.' || t[i] >= '0' && t[i] <= '9') {
		i++
	}
	if i == len(t) {
		return decimal{}, scale{}, false
	}
	exp, ok := c.power(t[i : i+1])
	before, after := t[:i], t[i+1:]
	if !ok || before+after == "" || skipDigits(after, 0) != len(after) {
		return decimal{}, scale{}, false
	}
	digits := before
	switch {
	case strings.Contains(before, "."):
		if after != "" || strings.Count(before, ".") != 1 || strings.HasSuffix(before, ".") {
			return decimal{}, scale{}, false
		}
	case after != "":
		digits = before + "." + after
	}
	return decimal{digits: digits}, scale{exp, 1, 1}, true
}

var micro = strings.NewReplacer("\u00b5", "u", "\u03bc", "u")

// Suspicious returns what a text says where its prefix may be a slip of case,
// mega for milli or milli for mega ("60 MH is 60000000 H; milli is a small m"),
// and "" where it cannot be one. The text is taken as said all the same; it is
// for the caller to ask only about values outside their plausible span.
func Suspicious(text string) string {
	t := tidy(text)
	if len(t) > maxText {
		return ""
	}
	n, unit, hint := splitNumber(t)
	if hint != "" || len(unit) < 2 || unit[0] != 'M' && unit[0] != 'm' {
		return ""
	}
	for _, d := range dimensions {
		sc, ok := d.units[unit]
		base, okBase := d.units[unit[1:]]
		if !ok || !okBase || sc.exp == base.exp {
			continue
		}
		v := n.scaled(scale{sc.exp - base.exp, 1, 1})
		if math.IsInf(v, 0) {
			return ""
		}
		s := t + " is " + plainNumber(v) + " " + unit[1:]
		if unit[0] == 'M' {
			return s + "; milli is a small m"
		}
		return s + "; mega is a capital M"
	}
	return ""
}

// plainNumber writes a number without a prefix, with a power of ten only where
// the zeros would be too many to count.
func plainNumber(v float64) string {
	if a := math.Abs(v); a != 0 && (a < 1e-9 || a >= 1e15) {
		return strconv.FormatFloat(v, 'e', -1, 64)
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}
