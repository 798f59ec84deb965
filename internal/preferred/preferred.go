// Package preferred holds the preferred values of IEC 60063 for resistors and
// capacitors, and the RKM code of IEC 60062 that drawings write them in.
package preferred

import (
	"iter"
	"math"
)

// Series is a series of preferred values.
type Series uint8

// The series. E12 is every other value of E24; E96 here holds E24 too, as what
// is sold as E96 does.
const (
	E12 Series = iota + 1
	E24
	E96
)

// String is the name of the series.
func (s Series) String() string {
	switch s {
	case E12:
		return "E12"
	case E24:
		return "E24"
	case E96:
		return "E96"
	}
	return "unknown series"
}

// Parse finds a series by its name.
func Parse(name string) (Series, bool) {
	for s := E12; s <= E96; s++ {
		if s.String() == name {
			return s, true
		}
	}
	return 0, false
}

// The values of one decade, times 100. E24 is not 10^(i/24) rounded: eight of its
// values are older than the rule.
var (
	e24 = []uint16{
		100, 110, 120, 130, 150, 160, 180, 200, 220, 240, 270, 300,
		330, 360, 390, 430, 470, 510, 560, 620, 680, 750, 820, 910,
	}
	e96 = []uint16{
		100, 102, 105, 107, 110, 113, 115, 118, 121, 124, 127, 130,
		133, 137, 140, 143, 147, 150, 154, 158, 162, 165, 169, 174,
		178, 182, 187, 191, 196, 200, 205, 210, 215, 221, 226, 232,
		237, 243, 249, 255, 261, 267, 274, 280, 287, 294, 301, 309,
		316, 324, 332, 340, 348, 357, 365, 374, 383, 392, 402, 412,
		422, 432, 442, 453, 464, 475, 487, 499, 511, 523, 536, 549,
		562, 576, 590, 604, 619, 634, 649, 665, 681, 698, 715, 732,
		750, 768, 787, 806, 825, 845, 866, 887, 909, 931, 953, 976,
	}
	tables = [...][]uint16{E12: everyOther(e24), E24: e24, E96: union(e24, e96)}
)

func everyOther(t []uint16) []uint16 {
	var out []uint16
	for i := 0; i < len(t); i += 2 {
		out = append(out, t[i])
	}
	return out
}

// union merges two sorted tables.
func union(a, b []uint16) []uint16 {
	var out []uint16
	for len(a) > 0 || len(b) > 0 {
		switch {
		case len(b) == 0 || len(a) > 0 && a[0] < b[0]:
			out, a = append(out, a[0]), a[1:]
		case len(a) == 0 || b[0] < a[0]:
			out, b = append(out, b[0]), b[1:]
		default:
			out, a, b = append(out, a[0]), a[1:], b[1:]
		}
	}
	return out
}

// The decades that are served: values from 1e-18 to 9.76e18.
const (
	minDecade = -18
	maxDecade = 18
)

// tolerance is the relative difference within which a number is a value of the
// series: 12 significant digits.
const tolerance = 1e-12

// place is a value of a series: its decade and its index in the table.
type place struct{ decade, index int }

// at is the float64 nearest to the decimal value. Both operands are exact, so
// one division or multiplication rounds once.
func (s Series) at(p place) float64 {
	m := float64(tables[s][p.index])
	if p.decade >= 2 {
		return m * powersOf10[p.decade-2]
	}
	return m / powersOf10[2-p.decade]
}

// powersOf10 are exact: 5^22 is the largest power of 5 in 53 bits.
var powersOf10 = [...]float64{
	1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10,
	1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20,
}

// decadeOf is the largest d with 10^d <= v, within rounding.
func decadeOf(v float64) int {
	const log10of2 = 0.30102999566398119521
	_, e := math.Frexp(v)
	d := int(math.Floor(float64(e-1) * log10of2)) // never above, at most one below
	if d < minDecade-1 || d > maxDecade {
		return d
	}
	if v >= pow10(d+1) {
		d++
	}
	return d
}

// pow10 is 10^d for d within the table.
func pow10(d int) float64 {
	if d >= 0 {
		return powersOf10[d]
	}
	return 1 / powersOf10[-d]
}

// valid reports whether v can have neighbours in the series at all.
func (s Series) valid(v float64) bool {
	return s >= E12 && s <= E96 && v > 0 && !math.IsInf(v, 1)
}

// ceil is the place of the least value >= v, or false above the last one.
func (s Series) ceil(v float64) (place, bool) {
	v *= 1 - tolerance
	d := decadeOf(v)
	if d < minDecade {
		return place{minDecade, 0}, true
	}
	if d > maxDecade {
		return place{}, false
	}
	t := tables[s]
	m := v / pow10(d) * 100
	lo, hi := 0, len(t)
	for lo < hi {
		mid := int(uint(lo+hi) >> 1)
		if float64(t[mid]) < m {
			lo = mid + 1
		} else {
			hi = mid
		}
	}
	p := place{d, lo}
	if lo == len(t) {
		p = place{d + 1, 0}
	}
	return p, p.decade <= maxDecade
}

// next is the place after p, or false after the last.
func (s Series) next(p place) (place, bool) {
	if p.index++; p.index == len(tables[s]) {
		p = place{p.decade + 1, 0}
	}
	return p, p.decade <= maxDecade
}

// previous is the place before p, or false before the first.
func (s Series) previous(p place) (place, bool) {
	if p.index--; p.index < 0 {
		p = place{p.decade - 1, len(tables[s]) - 1}
	}
	return p, p.decade >= minDecade
}

// last is the place of the greatest value.
func (s Series) last() place { return place{maxDecade, len(tables[s]) - 1} }

// NextUp is the least value of the series that is at least v; v itself where it
// is one, to 12 significant digits. ok is false where there is none: v is not
// positive and finite, or above the last decade served (1e18).
func NextUp(s Series, v float64) (value float64, ok bool) {
	if !s.valid(v) {
		return 0, false
	}
	p, ok := s.ceil(v)
	if !ok {
		return 0, false
	}
	return s.at(p), true
}

// NextDown is the greatest value of the series that is at most v; v itself where
// it is one, to 12 significant digits. ok is false where there is none: v is not
// positive and finite, or below the first decade served (1e-18).
func NextDown(s Series, v float64) (value float64, ok bool) {
	if !s.valid(v) {
		return 0, false
	}
	p, ok := s.ceil(v)
	if !ok {
		return s.at(s.last()), true
	}
	if value = s.at(p); value <= v*(1+tolerance) {
		return value, true
	}
	if p, ok = s.previous(p); !ok {
		return 0, false
	}
	return s.at(p), true
}

// Nearest is the value of the series nearest to v by ratio, the lower of two
// equally near ones. ok is false where v is not positive and finite.
func Nearest(s Series, v float64) (value float64, ok bool) {
	up, okUp := NextUp(s, v)
	down, okDown := NextDown(s, v)
	switch {
	case !okUp:
		return down, okDown
	case !okDown:
		return up, true
	case up/v < v/down:
		return up, true
	}
	return down, true
}

// Within yields the values of the series from lo to hi in rising order, both
// ends included to 12 significant digits. An end beyond the decades served is
// taken as their end; lo of 0 or less begins with the first value.
func Within(s Series, lo, hi float64) iter.Seq[float64] {
	return func(yield func(float64) bool) {
		if s < E12 || s > E96 || math.IsNaN(lo) || math.IsNaN(hi) {
			return
		}
		p, ok := place{minDecade, 0}, true
		if lo > 0 {
			if math.IsInf(lo, 1) {
				return
			}
			p, ok = s.ceil(lo)
		}
		for limit := hi * (1 + tolerance); ok; p, ok = s.next(p) {
			if v := s.at(p); v > limit || !yield(v) {
				return
			}
		}
	}
}
