package quantity

import (
	"math"
	"math/big"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"
)

// The expected texts are rounded by hand.
func TestDisplay(t *testing.T) {
	tests := []struct {
		v    float64
		unit string
		n    int
		dir  Direction
		want string
	}{
		{0.0123456, "A", 3, Nearest, "12.3 mA"},
		{0.0123456, "A", 3, Up, "12.4 mA"},
		{0.0123456, "A", 3, Down, "12.3 mA"},
		{-0.0123456, "A", 3, Up, "-12.3 mA"},
		{-0.0123456, "A", 3, Down, "-12.4 mA"},
		{12, "V", 3, Up, "12 V"},
		{12, "V", 3, Down, "12 V"},
		{0.1 + 0.2, "V", 2, Up, "300 mV"},
		{0.3, "V", 2, Down, "300 mV"},
		{12 * 1.1, "V", 3, Up, "13.2 V"},
		{12.0001, "V", 3, Up, "12.1 V"},
		{999.96, "ohm", 3, Nearest, "1 kohm"},
		{999.96, "ohm", 3, Up, "1 kohm"},
		{999.96, "ohm", 3, Down, "999 ohm"},
		{123456, "ohm", 2, Up, "130 kohm"},
		{123456, "ohm", 2, Down, "120 kohm"},
		{123.4, "V", 2, Down, "120 V"},
		{9.99e9, "ohm", 2, Up, "10 Gohm"},
		{2.2e-9, "F", 3, Nearest, "2.2 nF"},
		{41.8312, "degC", 3, Nearest, "41.8 C"},
		{41.8312, "degC", 4, Up, "41.84 C"},
		{-40.26, "degC", 3, Nearest, "-40.3 C"},
		{0.05, "degC", 3, Nearest, "0.05 C"},
		{0, "V", 3, Up, "0 V"},
		{math.Copysign(0, -1), "V", 3, Up, "0 V"},
		{1.2395, "1", 3, Down, "1.23"},
		{0.00012, "1", 3, Down, "1.2e-4"},
		{1234.5, "1", 6, Down, "1234.5"},
		{600.0 / 3600, "/s", 3, Nearest, "600 /h"},
		{600, "/h", 3, Nearest, "600 /h"},
		{100000, "operations", 3, Down, "100000 operations"},
		{62.04, "K/W", 3, Nearest, "62 K/W"},
		{1.5e-6, "m2", 3, Nearest, "1.5 mm2"},
		{200e6, "V/s", 3, Nearest, "200 V/us"},
		{1, "years", 3, Nearest, "1 year"},
		{5400, "s", 3, Nearest, "5400 s"},
		{1e-15, "F", 3, Nearest, "0.001 pF"},
		{1e-16, "F", 3, Nearest, "1e-16 F"},
		{1.23456, "V", 0, Down, "1 V"},
		{1.0 / 3, "V", 99, Nearest, "333.333333333 mV"},
	}
	for _, tt := range tests {
		if got := Display(tt.v, tt.unit, tt.n, tt.dir); got != tt.want {
			t.Errorf("Display(%v, %q, %d, %d) is %q, want %q", tt.v, tt.unit, tt.n, tt.dir, got, tt.want)
		}
	}
	if got := Show(Ohm(4712), 2, Up); got != "4.8 kohm" {
		t.Errorf("Show is %q", got)
	}
}

func TestDisplayPlain(t *testing.T) {
	tests := []struct {
		v    float64
		n    int
		dir  Direction
		want string
	}{
		{1.319, 3, Down, "1.31"},
		{1.311, 3, Up, "1.32"},
		{0.9999999, 3, Down, "0.999"},
		{0.9999999, 3, Up, "1"},
		{0.9999999999999, 3, Down, "1"}, // 1 to 12 digits
		{1000, 3, Down, "1000"},
		{12.345, 3, Down, "12.3"},
		{0, 3, Down, "0"},
	}
	for _, tt := range tests {
		if got := DisplayPlain(tt.v, tt.n, tt.dir); got != tt.want {
			t.Errorf("DisplayPlain(%v, %d, %d) is %q, want %q", tt.v, tt.n, tt.dir, got, tt.want)
		}
	}
}

func TestDisplayPercent(t *testing.T) {
	tests := []struct {
		v    float64
		dir  Direction
		want string
	}{
		{0.3, Nearest, "30 %"},
		{0.3051, Down, "30.5 %"},
		{0.3051, Up, "30.6 %"},
		{1, Up, "100 %"},
		{0, Up, "0 %"},
		{12.5, Nearest, "1250 %"},
	}
	for _, tt := range tests {
		if got := DisplayPercent(tt.v, 3, tt.dir); got != tt.want {
			t.Errorf("DisplayPercent(%v, %d) is %q, want %q", tt.v, tt.dir, got, tt.want)
		}
	}
}

// A number shown upwards is never below the true one, one shown downwards never
// above it, and neither is a whole unit of the last digit away. The true number
// is the one at 12 significant digits.
func TestDisplayDirection(t *testing.T) {
	rng := rand.New(rand.NewPCG(12, 3))
	for range 20000 {
		n := 1 + rng.IntN(6)
		v := (rng.Float64() - 0.5) * math.Pow10(rng.IntN(24)-12)
		if rng.IntN(3) == 0 { // numbers that are exact in few digits
			v = float64(rng.IntN(2000)-1000) * math.Pow10(rng.IntN(12)-8)
		}
		if v == 0 {
			continue
		}
		truth := rat(t, newDigits(v, noiseDigits).scientific())
		unit := rat(t, "1e"+strconv.Itoa(newDigits(v, noiseDigits).exp-n+1))
		for _, dir := range []Direction{Up, Down, Nearest} {
			shown := readShown(t, Display(v, "V", n, dir))
			miss := new(big.Rat).Sub(shown, truth)
			if dir == Up && miss.Sign() < 0 || dir == Down && miss.Sign() > 0 {
				t.Fatalf("%v with %d digits, direction %d, shows %q", v, n, dir, Display(v, "V", n, dir))
			}
			if miss.Abs(miss).Cmp(unit) >= 0 {
				t.Fatalf("%v with %d digits, direction %d, is a digit off: %q", v, n, dir, Display(v, "V", n, dir))
			}
		}
	}
}

// readShown is the decimal number of a shown voltage, without any rounding.
func readShown(t *testing.T, text string) *big.Rat {
	t.Helper()
	number, unit, ok := strings.Cut(text, " ")
	exp := map[string]string{"pV": "e-12", "nV": "e-9", "uV": "e-6", "mV": "e-3", "V": "", "kV": "e3", "MV": "e6", "GV": "e9"}
	e, known := exp[unit]
	if !ok || !known {
		t.Fatalf("no voltage: %q", text)
	}
	return rat(t, number+e)
}

func rat(t *testing.T, text string) *big.Rat {
	t.Helper()
	r, ok := new(big.Rat).SetString(text)
	if !ok {
		t.Fatalf("no number: %q", text)
	}
	return r
}
