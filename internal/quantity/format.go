package quantity

import (
	"math"
	"math/big"
	"strconv"
	"strings"
)

// notFinite is printed for NaN and infinities. No text is read back as one.
const notFinite = "?"

// Exact is the text of a quantity for files: an engineering prefix and the
// fewest digits from which Parse gives back the same bits, for every finite
// value. What is not finite prints as "?", which Parse refuses.
func Exact[Q Quantity](v Q) string { return v.Dimension().Exact(float64(v)) }

// Exact is the text of a number in the dimension's stored unit; see the function
// of the same name.
func (d *Dimension) Exact(v float64) string {
	switch {
	case !isFinite(v):
		return notFinite
	case d == dimRate && v != 0:
		return d.exactRate(v)
	case d == dimRatio && math.Abs(v) > 1:
		return d.write(newDigits(v, -1), bareForm)
	case d == dimRatio:
		return d.write(newDigits(v, -1), percentForm)
	}
	return d.write(newDigits(v, -1), d.print)
}

func isFinite(v float64) bool { return !math.IsInf(v, 0) && !math.IsNaN(v) }

// exactRate prints per hour a number stored per second. The product needs not
// be a float64, so digits are added until the text reads back as v.
func (d *Dimension) exactRate(v float64) string {
	perHour := new(big.Float).SetPrec(128).SetFloat64(v)
	perHour.Mul(perHour, big.NewFloat(3600))
	for n := 0; ; n++ {
		text := d.write(cutDigits(perHour.Text('e', n)), d.print)
		if back, err := d.Parse(text); err == nil && math.Float64bits(back) == math.Float64bits(v) {
			return text
		}
		if n > 40 {
			panic("quantity: a rate has no exact text")
		}
	}
}

// digits is a decimal number: the sign, its significant digits without zeros at
// the end, and the power of ten of the first.
type digits struct {
	neg bool
	ds  string
	exp int
}

// newDigits are n significant digits of a finite number, or with n = -1 the
// shortest that give it back.
func newDigits(v float64, n int) digits {
	if n > 0 {
		n--
	}
	return cutDigits(strconv.FormatFloat(v, 'e', n, 64))
}

// cutDigits reads the form -d.ddde-dd.
func cutDigits(s string) digits {
	var x digits
	if s[0] == '-' {
		x.neg, s = true, s[1:]
	}
	m, e, _ := strings.Cut(s, "e")
	x.exp, _ = strconv.Atoi(e)
	x.ds = strings.TrimRight(strings.Replace(m, ".", "", 1), "0")
	if x.ds == "" {
		x.ds, x.exp = "0", 0
	}
	return x
}

func (x digits) isZero() bool { return x.ds == "0" }

// The forms of a ratio: per cent up to 1, a bare number above.
var (
	bareForm    = []form{{"", 0}}
	percentForm = []form{{"%", -2}}
)

// Beyond these many zeros a number is written with a power of ten.
const (
	zerosBehind = 8
	zerosBefore = 3
)

// write prints x in the largest of the forms that is not above it, or with a
// power of ten where even the last form does not suit. The form of the stored
// unit has the power 0.
func (d *Dimension) write(x digits, fs []form) string {
	f := fs[len(fs)-1]
	for _, g := range fs {
		if x.exp >= g.exp || x.isZero() && g.exp == 0 {
			f = g
			break
		}
	}
	shift := x.exp - f.exp
	if x.isZero() {
		shift = 0
	}
	number := ""
	if shift > zerosBehind || shift < -zerosBefore {
		f = d.base()
		number = x.scientific()
	} else {
		number = x.plain(shift)
	}
	if d == dimYear && number == "1" {
		return "1 year"
	}
	if f.unit == "" {
		return number
	}
	return number + " " + f.unit
}

// base is the form without a power of ten; every dimension has one.
func (d *Dimension) base() form {
	for _, f := range d.print {
		if f.exp == 0 {
			return f
		}
	}
	return form{d.unit, 0}
}

// plain writes the digits with the first at 10^exp.
func (x digits) plain(exp int) string {
	var s string
	switch n := len(x.ds); {
	case exp < 0:
		s = "0." + strings.Repeat("0", -exp-1) + x.ds
	case exp+1 >= n:
		s = x.ds + strings.Repeat("0", exp+1-n)
	default:
		s = x.ds[:exp+1] + "." + x.ds[exp+1:]
	}
	if x.neg {
		return "-" + s
	}
	return s
}

// scientific writes the digits as d.ddde-dd.
func (x digits) scientific() string {
	return x.plain(0) + "e" + strconv.Itoa(x.exp)
}

// Direction is how a displayed number may depart from the true one.
type Direction uint8

// The directions. Up and Down are along the number line, whatever the sign.
const (
	Nearest Direction = iota
	Up
	Down
)

// noiseDigits is the number of significant digits above the noise of binary
// arithmetic: 0.1 + 0.2 is 0.3 to them.
const noiseDigits = 12

// Display is the text of a number for people: an engineering prefix and at most
// n significant digits (1 to 12), rounded in the direction given, without zeros
// at the end. The number is first taken to 12 significant digits, so what is
// exact there is not moved. unit is that of Dimension.Unit ("/s" is shown per
// hour; "1" is shown bare); any other is written behind the plain number. What
// is not finite prints as "?".
func Display(v float64, unit string, n int, dir Direction) string {
	if !isFinite(v) {
		return notFinite
	}
	if unit == dimRatio.unit || unit == "" {
		return DisplayPlain(v, n, dir)
	}
	if unit == dimRate.unit {
		v *= 3600
	}
	for _, d := range dimensions {
		if d.unit == unit {
			return d.write(rounded(v, n, dir), d.print)
		}
	}
	return DisplayPlain(v, n, dir) + " " + unit
}

// Show is Display of a typed quantity.
func Show[Q Quantity](v Q, n int, dir Direction) string {
	return Display(float64(v), v.Dimension().unit, n, dir)
}

// DisplayPlain is Display of a bare number, such as a headroom: "1.31".
func DisplayPlain(v float64, n int, dir Direction) string {
	if !isFinite(v) {
		return notFinite
	}
	return dimRatio.write(rounded(v, n, dir), bareForm)
}

// DisplayPercent is Display of a ratio in per cent: 0.305 is "30.5 %".
func DisplayPercent(v float64, n int, dir Direction) string {
	if !isFinite(v) {
		return notFinite
	}
	x := rounded(v, n, dir)
	if !x.isZero() {
		x.exp += 2
	}
	return dimRatio.write(x, bareForm) + " %"
}

// rounded takes a finite number to n significant digits.
func rounded(v float64, n int, dir Direction) digits {
	n = min(max(n, 1), noiseDigits)
	if v == 0 {
		return digits{ds: "0"}
	}
	if dir == Nearest {
		return newDigits(v, n)
	}
	x := newDigits(v, noiseDigits)
	if len(x.ds) <= n {
		return x
	}
	away := (dir == Up) != x.neg
	x.ds = x.ds[:n]
	if away {
		x = x.increment()
	}
	x.ds = strings.TrimRight(x.ds, "0")
	return x
}

// increment adds one to the last digit.
func (x digits) increment() digits {
	b := []byte(x.ds)
	for i := len(b) - 1; i >= 0; i-- {
		if b[i] < '9' {
			b[i]++
			x.ds = string(b)
			return x
		}
		b[i] = '0'
	}
	x.ds = "1"
	x.exp++
	return x
}
