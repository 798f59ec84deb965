package sheet

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/quantity"
)

// digitsShown is the significant digits of a number on a sheet; numbers that
// would contradict each other get more.
const (
	digitsShown = 4
	digitsMost  = 12
	// digitsArgs is one more for what goes into a formula, so that a reader who
	// works it out again comes to the number shown.
	digitsArgs = 5
)

// number prints a quantity rounded in a direction.
func number(v float64, unit design.Unit, dir quantity.Direction) string {
	return display(v, unit, digitsShown, dir)
}

// destroyed is a temperature, degrees Celsius, that no part of a stage is still one at:
// solder, plastic and junctions are gone long before. The laws of heat end well below it,
// so that a greater number would tell nothing.
const destroyed = 500

// display prints a quantity in n digits, and of a temperature beyond all limits just that.
func display(v float64, unit design.Unit, n int, dir quantity.Direction) string {
	if unit == design.DegC && v > destroyed {
		return "beyond " + quantity.Display(destroyed, string(unit), n, quantity.Nearest)
	}
	return quantity.Display(v, string(unit), n, dir)
}

// Headroom prints a headroom, always rounded down: below 1 never as 1.00. An
// unknown one is a dash.
func Headroom(n design.Number) string {
	if !n.OK || math.IsNaN(n.V) {
		return "--"
	}
	switch h := n.V; {
	case h >= 100:
		return strconv.FormatFloat(math.Floor(h), 'f', 0, 64)
	case h >= 10:
		return strconv.FormatFloat(math.Floor(h*10)/10, 'f', 1, 64)
	case h < 1:
		return strconv.FormatFloat(min(math.Floor(h*100), 99)/100, 'f', 2, 64)
	default:
		return strconv.FormatFloat(math.Floor(h*100)/100, 'f', 2, 64)
	}
}

// sides is a check's numbers in text. Estimates and unknown numbers are said.
type sides struct{ stress, rating, allowed string }

// sidesOf rounds stress up and what is allowed down, with as many digits as it
// takes that the printed numbers say the same as the verdict.
func sidesOf(c *design.Check) sides {
	n := digitsShown
	for n < digitsMost && !agree(c, n) {
		n++
	}
	say := func(x, estimate design.Number, dir quantity.Direction) string {
		switch {
		case x.OK:
			return display(x.V, c.Unit, n, dir)
		case estimate.OK:
			return "about " + display(estimate.V, c.Unit, n, dir)
		}
		return "unknown"
	}
	none := design.Number{}
	s := sides{
		stress: say(c.Stress, c.StressEstimate, quantity.Up),
		rating: say(c.Rating, c.RatingEstimate, quantity.Down),
	}
	if c.Allowed.OK {
		s.allowed = say(c.Allowed, none, quantity.Down)
	}
	return s
}

// agree reports whether stress and limits rounded to n digits compare as the
// verdict says.
func agree(c *design.Check, n int) bool {
	if !c.Stress.OK || !c.Rating.OK || !c.Allowed.OK {
		return true
	}
	stress := round(c.Stress.V, n, quantity.Up)
	rating := round(c.Rating.V, n, quantity.Down)
	allowed := round(c.Allowed.V, n, quantity.Down)
	switch c.Verdict {
	case design.Fits:
		return stress <= allowed
	case design.Tight:
		return stress <= rating && stress > allowed
	}
	return true
}

func round(v float64, n int, dir quantity.Direction) float64 {
	x, err := strconv.ParseFloat(quantity.DisplayPlain(v, n, dir), 64)
	if err != nil {
		return v
	}
	return x
}

// Formula renders a formula twice: in symbols, and with the numbers put in.
func Formula(c *design.Check) (symbols, numbers string) {
	s := sidesOf(c)
	symbols = substitute(c.Formula, func(name string) string { return name })
	numbers = substitute(c.Formula, func(name string) string {
		switch name {
		case "stress":
			return s.stress
		case "rating":
			return s.rating
		case "allowed":
			return s.allowed
		}
		for _, a := range c.Args() {
			if a.Name == name {
				return argText(c, &a, s)
			}
		}
		return name
	})
	return symbols, numbers
}

// argText prints a formula's number; one that is a side of the check as that
// side is printed, so that one number has one text.
func argText(c *design.Check, a *design.Arg, s sides) string {
	if a.Absent {
		return a.Name + " (none)"
	}
	if a.Unit == c.Unit {
		switch {
		case c.Stress.OK && a.V == c.Stress.V:
			return s.stress
		case c.Rating.OK && a.V == c.Rating.V:
			return s.rating
		}
	}
	if math.IsNaN(a.V) || math.IsInf(a.V, 0) {
		return "unknown"
	}
	return display(a.V, a.Unit, digitsArgs, quantity.Nearest)
}

// substitute replaces every {name} of a formula.
func substitute(formula string, by func(name string) string) string {
	var b strings.Builder
	for {
		before, rest, ok := strings.Cut(formula, "{")
		b.WriteString(before)
		if !ok {
			return b.String()
		}
		name, after, ok := strings.Cut(rest, "}")
		if !ok {
			b.WriteString("{" + rest)
			return b.String()
		}
		b.WriteString(by(name))
		formula = after
	}
}

// cornerUnits are the units of the quantities a corner can name.
var cornerUnits = []struct {
	name string
	unit design.Unit
}{
	{"rail", design.V}, {"pin_supply", design.V}, {"gate_rail", design.V}, {"clamp", design.V}, {"ambient", design.DegC}, {"frequency", design.Hz},
	{"resistor", design.Ohm}, {".r", design.Ohm}, {".l", "H"}, {".c", "F"},
}

// cornerUnit finds the unit by the whole name or by its end; bare numbers have
// none.
func cornerUnit(name string) design.Unit {
	for _, u := range cornerUnits {
		if name == u.name || u.name[0] == '.' && strings.HasSuffix(name, u.name) {
			return u.unit
		}
	}
	return design.One
}

// neverZero are the quantities of a corner that no load, part or use has as 0.
var neverZero = []string{"load.r", "load.l", "load.c", "part.h_fe", "frequency"}

// cornerText tells a corner: "rail 13.2 V, ambient 0 degC".
func cornerText(c *design.Check) string {
	var words []string
	for _, v := range c.Corner() {
		if v.V == 0 && slices.Contains(neverZero, v.Name) {
			continue // not known, or of no matter here
		}
		value := ""
		if v.Name == "duty" {
			value = quantity.DisplayPercent(v.V, digitsShown, quantity.Nearest)
		} else {
			value = number(v.V, cornerUnit(v.Name), quantity.Nearest)
		}
		words = append(words, strings.NewReplacer("part.", "", "pin_supply", "pin supply", "gate_rail", "gate rail", ".", " ").Replace(v.Name)+" "+value)
	}
	return strings.Join(words, ", ")
}

// money prints an amount, rounded up to a hundredth of the currency.
func money(n design.Number, currency string) string {
	if !n.OK {
		return "unknown"
	}
	return strings.TrimSpace(amount(n) + " " + currency)
}

// amount is money without its currency, a dash where unknown.
func amount(n design.Number) string {
	if !n.OK {
		return "--"
	}
	cents := max(math.Ceil(n.V*100-1e-6), 0)
	return strconv.FormatFloat(math.Abs(cents/100), 'f', 2, 64)
}

// exactAmount takes an amount of money to a millionth, which is above the noise
// of adding prices and below any of them.
func exactAmount(n design.Number) design.Number {
	n.V = math.Round(n.V*1e6) / 1e6
	return n
}

// heat prints a power in two digits, rounded up; a dash where unknown.
func heat(n design.Number) string {
	if !n.OK {
		return "--"
	}
	return quantity.Display(n.V, string(design.W), 2, quantity.Up)
}
