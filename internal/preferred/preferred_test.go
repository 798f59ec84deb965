package preferred

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strconv"
	"testing"
)

// E24: READ from public lists of IEC 60063 (eseries package documentation
// and a public list of the E series).
var wantE24 = []string{
	"1.0", "1.1", "1.2", "1.3", "1.5", "1.6", "1.8", "2.0", "2.2", "2.4", "2.7", "3.0",
	"3.3", "3.6", "3.9", "4.3", "4.7", "5.1", "5.6", "6.2", "6.8", "7.5", "8.2", "9.1",
}

func decadeOfSeries(s Series) []float64 { return slices.Collect(Within(s, 1, 9.99)) }

func TestE24(t *testing.T) {
	var want []float64
	for _, text := range wantE24 {
		v, err := strconv.ParseFloat(text, 64)
		if err != nil {
			t.Fatal(err)
		}
		want = append(want, v)
	}
	if got := decadeOfSeries(E24); !slices.Equal(got, want) {
		t.Errorf("E24 is %v, want %v", got, want)
	}
}

// Where E24 departs from 10^(i/24) in two digits. DERIVED: the formula
// compared with that list.
func TestE24Exceptions(t *testing.T) {
	want := map[float64]float64{2.6: 2.7, 2.9: 3.0, 3.2: 3.3, 3.5: 3.6, 3.8: 3.9, 4.2: 4.3, 4.6: 4.7, 8.3: 8.2}
	got := decadeOfSeries(E24)
	differ := 0
	for i, v := range got {
		computed := math.Round(10*math.Pow(10, float64(i)/24)) / 10
		if computed == v {
			continue
		}
		differ++
		if want[computed] != v {
			t.Errorf("10^(%d/24) is %v and the series says %v, want %v", i, computed, v, want[computed])
		}
	}
	if differ != len(want) {
		t.Errorf("%d exceptions, want %d", differ, len(want))
	}
}

// All 96 values of E96 are 10^(i/96) to two decimals. READ (a public list of
// the E series) and DERIVED (the formula).
func TestE96(t *testing.T) {
	all := decadeOfSeries(E96)
	for i := range 96 {
		want := math.Round(100*math.Pow(10, float64(i)/96)) / 100
		if !slices.Contains(all, want) {
			t.Errorf("E96 lacks %v", want)
		}
	}
	// E24 adds all of its values but six. DERIVED: the lists intersected.
	if want := 96 + 24 - 6; len(all) != want {
		t.Errorf("E96 with E24 has %d values, want %d", len(all), want)
	}
	var shared []float64
	for _, v := range decadeOfSeries(E24) {
		for i := range 96 {
			if math.Round(100*math.Pow(10, float64(i)/96))/100 == v {
				shared = append(shared, v)
			}
		}
	}
	if want := []float64{1.0, 1.1, 1.3, 1.5, 2.0, 7.5}; !slices.Equal(shared, want) {
		t.Errorf("values of both series: %v, want %v", shared, want)
	}
	if !slices.IsSorted(all) {
		t.Error("E96 is not in rising order")
	}
}

// E12, from memory of IEC 60063 (MEMORY); it is every other value of E24 (DERIVED).
func TestE12(t *testing.T) {
	want := []float64{1.0, 1.2, 1.5, 1.8, 2.2, 2.7, 3.3, 3.9, 4.7, 5.6, 6.8, 8.2}
	if got := decadeOfSeries(E12); !slices.Equal(got, want) {
		t.Errorf("E12 is %v, want %v", got, want)
	}
}

// Steps of E24. DERIVED: ratios of neighbours in that list.
func TestE24Steps(t *testing.T) {
	values := slices.Collect(Within(E24, 1, 10))
	if len(values) != 25 {
		t.Fatalf("%d values from 1 to 10, want 25", len(values))
	}
	widest, narrowest := 1, 1
	step := func(i int) float64 { return values[i] / values[i-1] }
	for i := 1; i < len(values); i++ {
		if step(i) > step(widest) {
			widest = i
		}
		if step(i) < step(narrowest) {
			narrowest = i
		}
	}
	if values[widest] != 1.5 || math.Abs(step(widest)-1.154) > 0.0005 {
		t.Errorf("widest step is to %v by %.4f, want 1.5 by 1.154", values[widest], step(widest))
	}
	if values[narrowest] != 1.6 || math.Abs(step(narrowest)-1.067) > 0.0005 {
		t.Errorf("narrowest step is to %v by %.4f, want 1.6 by 1.067", values[narrowest], step(narrowest))
	}
}

func TestNeighbours(t *testing.T) {
	tests := []struct {
		s                 Series
		v                 float64
		down, up, nearest float64
	}{
		{E24, 4700, 4700, 4700, 4700},
		{E96, 4700, 4700, 4700, 4700}, // from E24
		{E96, 4720, 4700, 4750, 4700},
		{E96, 4600, 4530, 4640, 4640},
		{E24, 260.5, 240, 270, 270}, // gate resistor of 247.5 ohm with -5 % parts; DERIVED
		{E12, 9.5, 8.2, 10, 10},
		{E24, 9.2, 9.1, 10, 9.1},
		{E12, 1e6, 1e6, 1e6, 1e6},
		{E24, 0.047, 0.047, 0.047, 0.047},
		{E24, 0.0479, 0.047, 0.051, 0.047},
		{E24, 99, 91, 100, 100},
		{E24, 100e-9, 100e-9, 100e-9, 100e-9},
		{E24, 0.1 + 0.2, 0.3, 0.3, 0.3},
		{E24, 4700 * (1 + 1e-13), 4700, 4700, 4700},
		{E24, 4700 * (1 - 1e-13), 4700, 4700, 4700},
		{E24, 4700 * (1 + 1e-11), 4700, 5100, 4700},
		{E24, 4700 * (1 - 1e-11), 4300, 4700, 4700},
	}
	for _, tt := range tests {
		t.Run(fmt.Sprint(tt.s, " ", tt.v), func(t *testing.T) {
			for _, f := range []struct {
				name string
				f    func(Series, float64) (float64, bool)
				want float64
			}{{"down", NextDown, tt.down}, {"up", NextUp, tt.up}, {"nearest", Nearest, tt.nearest}} {
				if got, ok := f.f(tt.s, tt.v); !ok || got != f.want {
					t.Errorf("%s: %v, %v, want %v", f.name, got, ok, f.want)
				}
			}
		})
	}
}

func TestNoNeighbour(t *testing.T) {
	for _, v := range []float64{0, math.Copysign(0, -1), -1, math.NaN(), math.Inf(1), math.Inf(-1)} {
		for _, f := range []func(Series, float64) (float64, bool){NextUp, NextDown, Nearest} {
			if got, ok := f(E24, v); ok || got != 0 {
				t.Errorf("%v has the neighbour %v", v, got)
			}
		}
	}
	if _, ok := NextUp(E24, 1e300); ok {
		t.Error("a value above 1e300")
	}
	if _, ok := NextDown(E24, 1e-300); ok {
		t.Error("a value below 1e-300")
	}
	if v, ok := NextDown(E24, 1e300); !ok || v != 9.1e18 {
		t.Errorf("below 1e300: %v, want 9.1e18", v)
	}
	if v, ok := NextUp(E24, 5e-324); !ok || v != 1e-18 {
		t.Errorf("above 5e-324: %v, want 1e-18", v)
	}
	if _, ok := NextUp(Series(0), 1); ok {
		t.Error("a series that is none has a value")
	}
	if _, ok := NextUp(Series(9), 1); ok {
		t.Error("a series that is none has a value")
	}
}

// Every value is the float64 nearest to its decimal, so that 4.7 kohm from the
// series is the 4700 of a file.
func TestValuesAreExactDecimals(t *testing.T) {
	for _, s := range []Series{E12, E24, E96} {
		for d := minDecade; d <= maxDecade; d++ {
			for i, m := range tables[s] {
				want, err := strconv.ParseFloat(fmt.Sprintf("%de%d", m, d-2), 64)
				if err != nil {
					t.Fatal(err)
				}
				if got := s.at(place{d, i}); got != want {
					t.Errorf("%v: %v, want %v", s, got, want)
				}
			}
		}
	}
}

// The fast search against a plain walk over all values.
func TestAgainstPlainSearch(t *testing.T) {
	rng := rand.New(rand.NewPCG(60063, 1))
	for _, s := range []Series{E12, E24, E96} {
		all := slices.Collect(Within(s, 0, math.Inf(1)))
		if want := len(tables[s]) * (maxDecade - minDecade + 1); len(all) != want {
			t.Fatalf("%v: %d values, want %d", s, len(all), want)
		}
		for range 2000 {
			v := math.Pow(10, 36*rng.Float64()-18)
			if rng.IntN(4) == 0 {
				v = all[rng.IntN(len(all))] * (1 + 4e-12*(rng.Float64()-0.5))
			}
			up := all[len(all)-1]
			for i := len(all) - 1; i >= 0 && all[i] >= v*(1-tolerance); i-- {
				up = all[i]
			}
			down := all[0]
			for i := 0; i < len(all) && all[i] <= v*(1+tolerance); i++ {
				down = all[i]
			}
			if got, ok := NextUp(s, v); v < all[len(all)-1] && (!ok || got != up) {
				t.Fatalf("%v up from %v: %v, want %v", s, v, got, up)
			}
			if got, ok := NextDown(s, v); v > all[0] && (!ok || got != down) {
				t.Fatalf("%v down from %v: %v, want %v", s, v, got, down)
			}
		}
	}
}

func TestWithin(t *testing.T) {
	tests := []struct {
		lo, hi float64
		want   []float64
	}{
		{220, 270, []float64{220, 240, 270}},
		{221, 239, nil},
		{0.1 + 0.2, 0.33, []float64{0.3, 0.33}},
		{91, 110, []float64{91, 100, 110}},
		{270, 220, nil},
		{math.NaN(), 10, nil},
		{1, math.NaN(), nil},
		{math.Inf(1), math.Inf(1), nil},
		{1, -1, nil},
	}
	for _, tt := range tests {
		if got := slices.Collect(Within(E24, tt.lo, tt.hi)); !slices.Equal(got, tt.want) {
			t.Errorf("from %v to %v: %v, want %v", tt.lo, tt.hi, got, tt.want)
		}
	}
	n := 0
	for range Within(E24, 1, 100) {
		if n++; n == 3 {
			break
		}
	}
	if n != 3 {
		t.Errorf("%d values before the break, want 3", n)
	}
}

func TestParseSeries(t *testing.T) {
	for _, s := range []Series{E12, E24, E96} {
		if got, ok := Parse(s.String()); !ok || got != s {
			t.Errorf("%v reads as %v, %v", s, got, ok)
		}
	}
	for _, name := range []string{"", "E48", "e24", "unknown series"} {
		if s, ok := Parse(name); ok {
			t.Errorf("%q reads as %v", name, s)
		}
	}
}

// The rows marked READ are IEC 60062 as tabulated in an encyclopaedia article; those without
// the mark follow from the same rule (DERIVED).
func TestRKM(t *testing.T) {
	tests := []struct {
		ohms float64
		want string
	}{
		{0.47, "R47"},    // READ
		{4.7, "4R7"},     // READ
		{470, "470R"},    // READ
		{4.7e3, "4K7"},   // READ
		{47e3, "47K"},    // READ
		{47.3e3, "47K3"}, // READ
		{470e3, "470K"},  // READ
		{4.7e6, "4M7"},   // READ
		{0.0047, "4L7"},  // DERIVED from READ: L is a thousandth
		{0.01, "10L"},
		{0.475, "R475"},
		{0.1, "R1"},
		{1, "1R"},
		{10, "10R"},
		{100, "100R"},
		{1000, "1K"},
		{1e6, "1M"},
		{1.1e6, "1M1"},
		{2e9, "2G"},
		{232, "232R"},
		{0, "0R"},
		{-1, "-1 ohm"},
		{1e-4, "0.0001 ohm"},
		{1e12, "1e+12 ohm"},
	}
	for _, tt := range tests {
		if got := RKM(tt.ohms); got != tt.want {
			t.Errorf("RKM(%v) is %q, want %q", tt.ohms, got, tt.want)
		}
	}
}

func TestNoAllocation(t *testing.T) {
	n := testing.AllocsPerRun(100, func() {
		Nearest(E96, 4321)
		NextUp(E24, 4321)
		NextDown(E12, 4321)
	})
	if n != 0 {
		t.Errorf("%v allocations, want none", n)
	}
}

func BenchmarkNextUp(b *testing.B) {
	v := 1.0
	for b.Loop() {
		if v, _ = NextUp(E96, v*1.0371); v > 1e7 {
			v = 1
		}
	}
}

func BenchmarkNearest(b *testing.B) {
	v := 1.0
	for b.Loop() {
		if v *= 1.0371; v > 1e7 {
			v = 1
		}
		Nearest(E96, v)
	}
}

func BenchmarkWithin(b *testing.B) {
	for b.Loop() {
		for range Within(E24, 1e3, 1e4) {
		}
	}
}
