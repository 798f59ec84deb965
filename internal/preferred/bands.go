package preferred

import (
	"math"
	"strconv"
)

// Band is a colour of the resistor code of IEC 60062.
type Band string

// The colours: of the digits 0 to 9, then those of small factors alone.
const (
	Black  Band = "black"
	Brown  Band = "brown"
	Red    Band = "red"
	Orange Band = "orange"
	Yellow Band = "yellow"
	Green  Band = "green"
	Blue   Band = "blue"
	Violet Band = "violet"
	Grey   Band = "grey"
	White  Band = "white"
	Gold   Band = "gold"
	Silver Band = "silver"
	Pink   Band = "pink"
)

var digitBands = [...]Band{Black, Brown, Red, Orange, Yellow, Green, Blue, Violet, Grey, White}

// toleranceBands are the colours of tolerances (IEC 60062, from memory but for the
// first three, which a test names a source for); 20 % has none.
var toleranceBands = [...]struct {
	tol  float64
	band Band
}{
	{0.05, Gold}, {0.01, Brown}, {0.02, Red}, {0.10, Silver}, {0.005, Green}, {0.0025, Blue}, {0.001, Violet},
}

// Bands are the colours on a resistor, from the end that is read first: two digits,
// or three where its tolerance is 2 % or less or two do not tell its value, then the
// power of ten, then the tolerance. ohms is 0.001 to 99 G; tol is a ratio. ok is false
// for a value that needs more digits, and for a tolerance without a colour.
func Bands(ohms, tol float64) (bands []Band, ok bool) {
	var last Band
	for _, t := range toleranceBands {
		if math.Abs(t.tol-tol) < 1e-9 {
			last = t.band
		}
	}
	if last == "" || !(ohms > 0) || math.IsInf(ohms, 1) {
		return nil, false
	}
	n := 2
	if tol < 0.021 || !exactly(ohms, 2) {
		n = 3
	}
	if !exactly(ohms, n) {
		return nil, false
	}
	text := strconv.FormatFloat(ohms, 'e', n-1, 64) // d.dde+xx
	exp, err := strconv.Atoi(text[n+2:])
	if err != nil {
		return nil, false
	}
	for _, c := range text[:n+1] {
		if c != '.' {
			bands = append(bands, digitBands[c-'0'])
		}
	}
	var factor Band
	switch power := exp - (n - 1); {
	case power >= 0 && power <= 9:
		factor = digitBands[power]
	case power == -1:
		factor = Gold
	case power == -2:
		factor = Silver
	case power == -3:
		factor = Pink
	default:
		return nil, false
	}
	return append(bands, factor, last), true
}

// exactly reports whether n digits tell a value, but for the noise of arithmetic.
func exactly(v float64, n int) bool {
	r, err := strconv.ParseFloat(strconv.FormatFloat(v, 'e', n-1, 64), 64)
	return err == nil && math.Abs(r/v-1) < 1e-9
}
