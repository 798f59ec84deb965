package drawing

import (
	"math"
	"strconv"
	"strings"

	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/preferred"
	"example.org/pinhoist/internal/quantity"
)

// shortDigits is the significant digits of a value in a picture.
const shortDigits = 4

// Short prints a value in few characters: resistances by the letter code of IEC
// 60062 ("3K9"), the rest with an SI prefix ("1.2 mA"). At most four significant
// digits: it is for a picture, not for a calculation.
func Short(v float64, unit design.Unit) string {
	if unit == design.Ohm && v >= 0 && !math.IsInf(v, 0) {
		four, err := strconv.ParseFloat(strconv.FormatFloat(v, 'e', shortDigits-1, 64), 64)
		if err == nil && (four == 0 || four >= 0.1 && four < 1e12) {
			return preferred.RKM(four)
		}
	}
	return quantity.Display(v, string(unit), shortDigits, quantity.Nearest)
}

// value is an element's value in text, "" where it has none.
func value(e *design.Element) string {
	if !e.HasValue {
		return ""
	}
	return Short(e.Value, e.Unit)
}

// name is reference and value on one line.
func name(e *design.Element) string {
	return strings.TrimSpace(e.Ref + " " + value(e))
}

// label is what stands beside a symbol: reference and value, then the part. A
// resistor's series is for the bill of materials. A load has its name instead.
func (p *plan) label(e *design.Element, compact bool) []string {
	if compact {
		return []string{e.Ref}
	}
	if e.Role == design.RoleLoad && e.Part == "" && p.load != "" && p.load != e.Ref {
		return []string{name(e), p.load}
	}
	if e.Part == "" || e.Kind == "resistor" || e.Part == e.Ref {
		return []string{name(e)}
	}
	return []string{name(e), e.Part}
}

// inline is an element in the control line.
func inline(e *design.Element, compact bool) string {
	if compact {
		return e.Ref
	}
	if e.Kind != "resistor" && e.Part != "" && e.Part != e.Ref {
		return name(e) + " " + e.Part
	}
	return name(e)
}

func width(lines []string) int {
	w := 0
	for _, l := range lines {
		w = max(w, len([]rune(l)))
	}
	return w
}
