package preferred

import (
	"math"
	"strconv"
	"strings"
)

// RKM is a resistance in the code of IEC 60062, where a letter stands for the
// point: "4K7", "470R", "R47", "1M". It is for drawings. Values below 1 ohm are
// written with R in front down to 0.1 ohm, below that in thousandths with L.
// The digits are the fewest that give the same float64. What the code cannot
// write (negative, not finite, below 0.001 or from 1e12 ohm) is given in plain
// ohms; 0 is "0R".
func RKM(ohms float64) string {
	if ohms == 0 {
		return "0R"
	}
	if !(ohms >= 1e-3 && ohms < 1e12) {
		return strconv.FormatFloat(ohms, 'g', -1, 64) + " ohm"
	}
	mantissa, e, _ := strings.Cut(strconv.FormatFloat(ohms, 'e', -1, 64), "e")
	exp, _ := strconv.Atoi(e)
	digits := strings.Replace(mantissa, ".", "", 1)
	if exp == -1 {
		return "R" + digits
	}
	group := int(math.Floor(float64(exp) / 3))
	before := exp - 3*group + 1
	if len(digits) < before {
		digits += strings.Repeat("0", before-len(digits))
	}
	return digits[:before] + string("LRKMG"[group+1]) + digits[before:]
}
