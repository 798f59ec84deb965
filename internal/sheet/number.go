package sheet

import (
	"math"
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
)

// number prints a quantity rounded in a direction.
func number(v float64, unit design.Unit, dir quantity.Direction) string {
	return quantity.Display(v, string(unit), digitsShown, dir)
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
			return quantity.Display(x.V, string(c.Unit), n, dir)
		case estimate.OK:
			return "about " + quantity.Display(estimate.V, string(c.Unit), n, dir) + " (estimate)"
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
				return number(a.V, a.Unit, quantity.Nearest)
			}
		}
		return name
	})
	return symbols, numbers
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
var cornerUnits = map[string]design.Unit{
	"rail": design.V, "pin_supply": design.V, "ambient": design.DegC, "load.r": design.Ohm, "load.l": "H",
	"load.c": "F", "part.h_fe": design.One, "frequency": design.Hz, "clamp": design.V, "duty": design.One,
}

// cornerText tells a corner: "rail 13.2 V, ambient 0 degC".
func cornerText(c *design.Check) string {
	var words []string
	for _, v := range c.Corner() {
		value := ""
		switch unit, ok := cornerUnits[v.Name]; {
		case v.Name == "duty":
			value = quantity.DisplayPercent(v.V, digitsShown, quantity.Nearest)
		case ok:
			value = number(v.V, unit, quantity.Nearest)
		default:
			value = quantity.DisplayPlain(v.V, digitsShown, quantity.Nearest)
		}
		words = append(words, strings.NewReplacer("_", " ", ".", " ", "part.h_fe", "part h_fe").Replace(v.Name)+" "+value)
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
	cents := math.Ceil(n.V*100 - 1e-6)
	return strconv.FormatFloat(cents/100, 'f', 2, 64)
}

// heat prints a power in two digits, rounded up; a dash where unknown.
func heat(n design.Number) string {
	if !n.OK {
		return "--"
	}
	return quantity.Display(n.V, string(design.W), 2, quantity.Up)
}
