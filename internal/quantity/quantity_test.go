package quantity

import (
	"encoding/json"
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
)

// texts is the one list of texts with units: it feeds the tests of parsing,
// printing and the round trip, and the seeds of the fuzz target. The numbers are
// the meaning of the text by the SI prefixes and IEC 60062, worked by hand.
var texts = []struct {
	d     *Dimension
	text  string
	want  float64
	exact string // printed form; "" where it is the text itself
}{
	{dimVolt, "12 V", 12, ""},
	{dimVolt, "12V", 12, "12 V"},
	{dimVolt, "  12 V ", 12, "12 V"},
	{dimVolt, "0 V", 0, ""},
	{dimVolt, "-5 V", -5, ""},
	{dimVolt, "\u22125 V", -5, "-5 V"},
	{dimVolt, "+5 V", 5, "5 V"},
	{dimVolt, "3.3\u00a0V", 3.3, "3.3 V"},
	{dimVolt, ".5 V", 0.5, "500 mV"},
	{dimVolt, "0.35 V", 0.35, "350 mV"},
	{dimVolt, "4 kV", 4000, ""},
	{dimVolt, "1e3 V", 1000, "1 kV"},
	{dimVolt, "1E+3 V", 1000, "1 kV"},
	{dimVolt, "1e308 V", 1e308, ""},
	{dimVolt, "5e-324 V", 5e-324, ""},
	{dimAmp, "20 mA", 20e-3, ""},
	{dimAmp, "1 uA", 1e-6, ""},
	{dimAmp, "1 \u00b5A", 1e-6, "1 uA"},
	{dimAmp, "1 \u03bcA", 1e-6, "1 uA"},
	{dimAmp, "50 nA", 50e-9, ""},
	{dimAmp, "1.5 kA", 1500, ""},
	{dimOhm, "4k7", 4700, "4.7 kohm"},
	{dimOhm, "4K7", 4700, "4.7 kohm"},
	{dimOhm, "R47", 0.47, "470 mohm"},
	{dimOhm, "4R7", 4.7, "4.7 ohm"},
	{dimOhm, "470R", 470, "470 ohm"},
	{dimOhm, "0R", 0, "0 ohm"},
	{dimOhm, "47K3", 47300, "47.3 kohm"},
	{dimOhm, "10k", 10000, "10 kohm"},
	{dimOhm, "4.7k", 4700, "4.7 kohm"},
	{dimOhm, "4M7", 4.7e6, "4.7 Mohm"},
	{dimOhm, "1M", 1e6, "1 Mohm"},
	{dimOhm, "4L7", 4.7e-3, "4.7 mohm"},
	{dimOhm, "4.7 kohm", 4700, ""},
	{dimOhm, "10 mohm", 0.01, ""},
	{dimOhm, "10 Mohm", 1e7, ""},
	{dimOhm, "4.7 k\u03a9", 4700, "4.7 kohm"},
	{dimOhm, "4.7 k\u2126", 4700, "4.7 kohm"},
	{dimOhm, "1 Gohm", 1e9, ""},
	{dimWatt, "0.25 W", 0.25, "250 mW"},
	{dimSecond, "30 ms", 30e-3, ""},
	{dimSecond, "5 ns", 5e-9, ""},
	{dimSecond, "2 min", 120, "120 s"},
	{dimSecond, "1.5 h", 5400, "5400 s"},
	{dimSecond, "0.1 min", 6, "6 s"},
	{dimHenry, "60 mH", 60e-3, ""},
	{dimHenry, "60 MH", 60e6, ""},
	{dimFarad, "100 nF", 100e-9, ""},
	{dimFarad, "4n7", 4.7e-9, "4.7 nF"},
	{dimFarad, "p47", 0.47e-12, "0.47 pF"},
	{dimFarad, "100n", 100e-9, "100 nF"},
	{dimFarad, "2u2", 2.2e-6, "2.2 uF"},
	{dimFarad, "2\u00b52", 2.2e-6, "2.2 uF"},
	{dimCoulomb, "9 nC", 9e-9, ""},
	{dimCoulomb, "1 C", 1, ""},
	{dimJoule, "3 mJ", 3e-3, ""},
	{dimKelvin, "10 K", 10, ""},
	{dimCelsius, "40 C", 40, ""},
	{dimCelsius, "-40 C", -40, ""},
	{dimCelsius, "41.9 degC", 41.9, "41.9 C"},
	{dimCelsius, "25 \u00b0C", 25, "25 C"},
	{dimCelsius, "0.5 C", 0.5, ""},
	{dimKelvinPerWatt, "62 K/W", 62, ""},
	{dimKelvinPerWatt, "62 C/W", 62, "62 K/W"},
	{dimHertz, "500 Hz", 500, ""},
	{dimHertz, "20 kHz", 20e3, ""},
	{dimRate, "600 /h", 600.0 / 3600, ""},
	{dimRate, "600/h", 600.0 / 3600, "600 /h"},
	{dimRate, "10 /min", 600.0 / 3600, "600 /h"},
	{dimRate, "2 /s", 2, "7200 /h"},
	{dimRate, "0 /h", 0, ""},
	{dimRatio, "10 %", 0.1, ""},
	{dimRatio, "30%", 0.3, "30 %"},
	{dimRatio, "0.3", 0.3, "30 %"},
	{dimRatio, "100 %", 1, ""},
	{dimRatio, "0 %", 0, ""},
	{dimRatio, "12", 12, ""},
	{dimRatio, "150", 150, ""},
	{dimRatio, "0.1 %", 0.001, ""},
	{dimMetre, "8 mm", 8e-3, ""},
	{dimMetre, "2.5 m", 2.5, ""},
	{dimMetre, "35 um", 35e-6, ""},
	{dimMetre, "2 cm", 0.02, "20 mm"},
	{dimSquareMetre, "1.5 mm2", 1.5e-6, ""},
	{dimSquareMetre, "6 cm2", 6e-4, "600 mm2"},
	{dimSquareMetre, "1.5 mm\u00b2", 1.5e-6, "1.5 mm2"},
	{dimSquareMetre, "2 m2", 2, ""},
	{dimSquareMetre, "1 km2", 1e6, "1000000 m2"},
	{dimAmpSquaredSec, "32 A2s", 32, ""},
	{dimAmpSquaredSec, "0.5 A2s", 0.5, ""},
	{dimVoltPerSecond, "200 V/us", 200e6, ""},
	{dimVoltPerSecond, "200 V/\u00b5s", 200e6, "200 V/us"},
	{dimVoltPerSecond, "1 kV/us", 1e9, "1000 V/us"},
	{dimVoltPerSecond, "3 V/s", 3, ""},
	{dimAmpPerSecond, "5 A/ms", 5e3, ""},
	{dimVoltPerKelvin, "5 mV/K", 5e-3, ""},
	{dimYear, "10 years", 10, ""},
	{dimYear, "1 year", 1, ""},
	{dimYear, "0.5 years", 0.5, ""},
}

func TestParse(t *testing.T) {
	for _, tt := range texts {
		got, err := tt.d.Parse(tt.text)
		if err != nil {
			t.Errorf("%s %q: %v", tt.d.name, tt.text, err)
			continue
		}
		if got != tt.want {
			t.Errorf("%s %q is %v, want %v", tt.d.name, tt.text, got, tt.want)
		}
	}
}

func TestExact(t *testing.T) {
	for _, tt := range texts {
		want := tt.exact
		if want == "" {
			want = tt.text
		}
		if got := tt.d.Exact(tt.want); got != want {
			t.Errorf("%s %v prints as %q, want %q", tt.d.name, tt.want, got, want)
		}
	}
}

// Texts that are refused, with a part of the message that is owed.
var refused = []struct {
	d    *Dimension
	text string
	want string
}{
	{dimVolt, "", "empty"},
	{dimVolt, "   ", "empty"},
	{dimVolt, "4,7 V", "decimal point"},
	{dimVolt, "1,000 V", "decimal point"},
	{dimVolt, "12", "the unit is missing"},
	{dimVolt, "V", "begin with a number"},
	{dimVolt, "NaN V", "begin with a number"},
	{dimVolt, "Inf V", "begin with a number"},
	{dimVolt, "-inf V", "begin with a number"},
	{dimVolt, "0x10 V", "not a unit"},
	{dimVolt, "1_000 V", "without separators"},
	{dimVolt, "1'000 V", "without separators"},
	{dimVolt, "1.2.3 V", "one decimal point"},
	{dimVolt, "12. V", "follow the decimal point"},
	{dimVolt, "- 5 V", "begin with a number"},
	{dimVolt, "--5 V", "begin with a number"},
	{dimVolt, "1e V", "not a unit"},
	{dimVolt, "1e309 V", "too large"},
	{dimVolt, "1e300 GV", "too large"},
	{dimVolt, "-1e309 V", "too large"},
	{dimVolt, "1e99999999999999999999 V", "too large"},
	{dimVolt, "1e-99999999999999999999 V", "too small"},
	{dimVolt, "1e-400 V", "too small"},
	{dimVolt, "12 v", "write V"},
	{dimVolt, "12 A", "unit of a current"},
	{dimVolt, "12 V 3", "not a unit"},
	{dimVolt, "12 m V", "not a unit"},
	{dimVolt, "4V7", "not a unit"},
	{dimVolt, "12\tV", "not a unit"},
	{dimVolt, "12 \x00V", "not a unit"},
	{dimVolt, strings.Repeat("1", 200) + " V", "too long"},
	{dimOhm, "4.7 Ohm", "write ohm"},
	{dimOhm, "4.7 KOHM", "write kohm"},
	{dimOhm, "4k7k", "not a unit"},
	{dimOhm, "4m7", "not a unit"},
	{dimOhm, "-4k7", "not a unit"},
	{dimOhm, "4.7k7", "not a unit"},
	{dimOhm, "R", "begin with a number"},
	{dimOhm, "10 k", "write 10k"},
	{dimOhm, "4,7k", "decimal point"},
	{dimFarad, "4k7", "not a unit"},
	{dimFarad, "4M7", "not a unit"},
	{dimCelsius, "300 K", "kelvin is for differences"},
	{dimCelsius, "9 nC", "unit of a charge"},
	{dimKelvin, "10 C", "difference is in kelvin: 10 K"},
	{dimKelvin, "10 \u00b0C", "difference is in kelvin: 10 K"},
	{dimKelvin, "10 degC", "difference is in kelvin: 10 K"},
	{dimCoulomb, "40 degC", "unit of a temperature"},
	{dimRate, "600", "/h"},
	{dimRate, "1e309 /h", ""},
	{dimRate, "1e999 /h", "too large"},
	{dimRate, "-1e999 /h", "too large"},
	{dimRate, "1e-999 /h", "too small"},
	{dimRate, "1e-330 /h", "too small"},
	{dimRatio, "12 V", "unit of a voltage"},
	{dimRatio, "12 mm/m", "not a unit"},
	{dimAmpSquaredSec, "32 kA2s", "not a unit"},
	{dimSecond, "1 H", "write h"},
}

func TestRefused(t *testing.T) {
	for _, tt := range refused {
		v, err := tt.d.Parse(tt.text)
		if tt.text == "1e309 /h" { // 1e309/3600 is below the largest float64
			if err != nil || v != 1e308/360 {
				t.Errorf("%q is %v, %v", tt.text, v, err)
			}
			continue
		}
		var pe *ParseError
		if !errors.As(err, &pe) {
			t.Errorf("%s %q: %v, %v, want a ParseError", tt.d.name, tt.text, v, err)
			continue
		}
		if v != 0 || !strings.Contains(pe.Hint, tt.want) {
			t.Errorf("%s %q: %v, hint %q, want %q in it", tt.d.name, tt.text, v, pe.Hint, tt.want)
		}
		if len(pe.Found) > 50 || !strings.HasPrefix(pe.Expected, tt.d.name) {
			t.Errorf("%q: found %q, expected %q", tt.text, pe.Found, pe.Expected)
		}
		if strings.ContainsAny(err.Error(), "\x00\t\n") {
			t.Errorf("%q: control characters in %q", tt.text, err.Error())
		}
	}
}

func TestErrorText(t *testing.T) {
	_, err := Parse[Volt]("4,7 V")
	want := `found "4,7 V", expected a voltage, such as 12 V: write a decimal point, not a comma`
	if err == nil || err.Error() != want {
		t.Errorf("%v, want %s", err, want)
	}
}

// Hints must be the same on every run although units stand in a map.
func TestHintIsStable(t *testing.T) {
	_, first := Parse[Volt]("12 Mv")
	for range 50 {
		if _, err := Parse[Volt]("12 Mv"); err.Error() != first.Error() {
			t.Fatalf("%v, then %v", first, err)
		}
	}
}

func TestSuspicious(t *testing.T) {
	tests := []struct{ text, want string }{
		{"60 MH", "60 MH is 60000000 H; milli is a small m"},
		{"10 mohm", "10 mohm is 0.01 ohm; mega is a capital M"},
		{"10 Mohm", "10 Mohm is 10000000 ohm; milli is a small m"},
		{"5 MA", "5 MA is 5000000 A; milli is a small m"},
		{"12 V", ""},
		{"4k7", ""},
		{"8 m", ""},
		{"30 min", ""},
		{"4,7 mV", ""},
		{"", ""},
		{"1e305 MV", ""},
		{strings.Repeat("1", 200) + " MV", ""},
	}
	for _, tt := range tests {
		if got := Suspicious(tt.text); got != tt.want {
			t.Errorf("Suspicious(%q) is %q, want %q", tt.text, got, tt.want)
		}
	}
}

// edges are numbers at the ends of the format.
var edges = []float64{
	0, math.Copysign(0, -1), math.MaxFloat64, -math.MaxFloat64, math.SmallestNonzeroFloat64,
	-math.SmallestNonzeroFloat64, 0x1p-1022, 0x1p-1022 - 0x1p-1074, 1e308, 1e-308, 1, -1, 0.1, 0.1 + 0.2, 1.0 / 3,
	999.9999999999999, 1e21, 1e22, 1e23, 1e-5, 123456789, 9007199254740993, 600.0 / 3600,
}

// Exact and Parse are inverse for every finite number of every dimension: at the
// edges, for random bit patterns and for numbers of everyday size.
func TestRoundTrip(t *testing.T) {
	rng := rand.New(rand.NewPCG(2024, 754))
	numbers := slices.Clone(edges)
	for range 3000 {
		if v := math.Float64frombits(rng.Uint64()); isFinite(v) {
			numbers = append(numbers, v)
		}
		numbers = append(numbers, math.Round(1000*rng.Float64())*math.Pow10(rng.IntN(20)-14))
		numbers = append(numbers, (rng.Float64()-0.5)*math.Pow10(rng.IntN(30)-15))
	}
	for _, d := range dimensions {
		for _, v := range numbers {
			checkRoundTrip(t, d, v)
		}
	}
}

func checkRoundTrip(t *testing.T, d *Dimension, v float64) {
	t.Helper()
	text := d.Exact(v)
	back, err := d.Parse(text)
	if err != nil {
		t.Fatalf("%s %v prints as %q: %v", d.name, v, text, err)
	}
	if math.Float64bits(back) != math.Float64bits(v) {
		t.Fatalf("%s %v (%x) prints as %q, which is %v", d.name, v, math.Float64bits(v), text, back)
	}
}

func TestNotFinite(t *testing.T) {
	for _, v := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		texts := []string{
			Exact(Volt(v)), Exact(Rate(v)), Display(v, "V", 3, Up), DisplayPlain(v, 3, Down),
			DisplayPercent(v, 3, Nearest), Money{v, "EUR"}.Display(),
		}
		for i, got := range texts {
			if !strings.HasPrefix(got, "?") {
				t.Errorf("%d: %v prints as %q", i, v, got)
			}
		}
		o := Some(Volt(12))
		if o.SetSI(v); o.Known() {
			t.Errorf("%v is known", v)
		}
		if b, err := Some(Volt(v)).MarshalText(); err == nil {
			t.Errorf("%v has the text %q", v, b)
		}
		if b, err := (Money{v, "EUR"}).MarshalText(); err == nil {
			t.Errorf("%v has the text %q", v, b)
		}
	}
}

// Every unit is reached by one dimension only, but for C, which the key decides;
// and every printed form is one that is read.
func TestUnits(t *testing.T) {
	owner := map[string]*Dimension{}
	for _, d := range dimensions {
		for u := range d.units {
			if other := owner[u]; other != nil && u != "C" {
				t.Errorf("%q is of both %s and %s", u, other.name, d.name)
			}
			owner[u] = d
		}
		for i, f := range d.print {
			if _, ok := d.units[f.unit]; !ok {
				t.Errorf("%s: printed form %q is not read", d.name, f.unit)
			}
			if i > 0 && f.exp >= d.print[i-1].exp {
				t.Errorf("%s: printed forms are not in falling order", d.name)
			}
		}
		if _, err := d.Parse(strings.Split(d.Example(), ",")[0]); err != nil {
			t.Errorf("%s: its example is refused: %v", d.name, err)
		}
		if d.Bare() != (d == dimRatio) {
			t.Errorf("%s: Bare is %v", d.name, d.Bare())
		}
	}
	if len(dimensions) != 22 {
		t.Errorf("%d dimensions, want 22", len(dimensions))
	}
}

// opts is an absent figure of each type.
func opts() []Textual {
	return []Textual{
		new(Opt[Volt]), new(Opt[Amp]), new(Opt[Ohm]), new(Opt[Watt]), new(Opt[Second]), new(Opt[Henry]),
		new(Opt[Farad]), new(Opt[Coulomb]), new(Opt[Joule]), new(Opt[Kelvin]), new(Opt[Celsius]),
		new(Opt[KelvinPerWatt]), new(Opt[Hertz]), new(Opt[Rate]), new(Opt[Ratio]), new(Opt[Metre]),
		new(Opt[SquareMetre]), new(Opt[AmpSquaredSec]), new(Opt[VoltPerSecond]), new(Opt[AmpPerSecond]),
		new(Opt[VoltPerKelvin]), new(Opt[Year]),
	}
}

func TestTextual(t *testing.T) {
	units := []string{
		"V", "A", "ohm", "W", "s", "H", "F", "C", "J", "K", "degC", "K/W", "Hz", "/s", "1", "m", "m2", "A2s", "V/s",
		"A/s", "V/K", "years",
	}
	for i, o := range opts() {
		if o.Unit() != units[i] {
			t.Errorf("unit %q, want %q", o.Unit(), units[i])
		}
		if o.Known() || o.ExactText() != "" {
			t.Errorf("%s: an absent figure is known", o.Unit())
		}
		o.SetSI(0)
		if !o.Known() || o.SI() != 0 {
			t.Errorf("%s: 0 is not known", o.Unit())
		}
		o.SetSI(1.0 / 3)
		text := o.ExactText()
		o.Clear()
		if err := o.SetText(text); err != nil || o.SI() != 1.0/3 {
			t.Errorf("%s: %q sets %v, %v", o.Unit(), text, o.SI(), err)
		}
		for _, bad := range []string{"", "1,5", "1 furlong"} {
			if err := o.SetText(bad); err == nil || o.SI() != 1.0/3 {
				t.Errorf("%s: %q sets %v, %v", o.Unit(), bad, o.SI(), err)
			}
		}
		o.Clear()
		if o.Known() {
			t.Errorf("%s: known after Clear", o.Unit())
		}
	}
}

func TestAbsentValuePanics(t *testing.T) {
	defer func() {
		if recover() == nil {
			t.Error("an absent figure was used as a number")
		}
	}()
	None[Volt]().SI()
}

func TestOpt(t *testing.T) {
	if v, ok := Some(Volt(5)).Get(); v != 5 || !ok {
		t.Errorf("Get is %v, %v", v, ok)
	}
	if v, ok := None[Volt]().Get(); v != 0 || ok {
		t.Errorf("Get is %v, %v", v, ok)
	}
	if got := None[Volt]().Or(3); got != 3 {
		t.Errorf("Or is %v", got)
	}
	if got := Some(Volt(0)).Or(3); got != 0 {
		t.Errorf("Or is %v", got)
	}
	if got := None[Volt]().String() + Some(Ohm(4700)).String(); got != "-4.7 kohm" {
		t.Errorf("texts are %q", got)
	}
}

func TestJSON(t *testing.T) {
	type part struct {
		V     Opt[Volt] `json:"v,omitzero"`
		R     Opt[Rate] `json:"r,omitzero"`
		Price Money     `json:"price,omitzero"`
	}
	for _, p := range []part{
		{},
		{V: Some(Volt(0))},
		{V: Some(Volt(1.0 / 3)), R: Some(Rate(1.0 / 7)), Price: Money{0.38, "EUR"}},
	} {
		b, err := json.Marshal(p)
		if err != nil {
			t.Fatal(err)
		}
		var back part
		if err := json.Unmarshal(b, &back); err != nil || back != p {
			t.Errorf("%s reads as %v, %v", b, back, err)
		}
	}
	var p part
	if err := json.Unmarshal([]byte(`{"v":""}`), &p); err == nil {
		t.Error("an empty text is a voltage")
	}
	if b, err := None[Volt]().MarshalText(); err == nil {
		t.Errorf("an absent figure has the text %q", b)
	}
	if b, err := (Money{}).MarshalText(); err == nil {
		t.Errorf("an absent price has the text %q", b)
	}
}

func TestMoney(t *testing.T) {
	tests := []struct {
		text           string
		want           Money
		exact, display string
	}{
		{"0.38 EUR", Money{0.38, "EUR"}, "0.38 EUR", "0.38 EUR"},
		{"0.38EUR", Money{0.38, "EUR"}, "0.38 EUR", "0.38 EUR"},
		{"1.2 USD", Money{1.2, "USD"}, "1.2 USD", "1.20 USD"},
		{"0 EUR", Money{0, "EUR"}, "0 EUR", "0.00 EUR"},
		{"0.004 EUR", Money{0.004, "EUR"}, "0.004 EUR", "0.004 EUR"},
		{"12 CHF", Money{12, "CHF"}, "12 CHF", "12.00 CHF"},
		{"1e300 EUR", Money{1e300, "EUR"}, "1e+300 EUR", ""},
	}
	for _, tt := range tests {
		got, err := ParseMoney(tt.text)
		if err != nil || got != tt.want || got.String() != tt.exact {
			t.Errorf("%q is %v, %v, want %v", tt.text, got, err, tt.want)
		}
		if tt.display != "" && got.Display() != tt.display {
			t.Errorf("%q displays as %q, want %q", tt.text, got.Display(), tt.display)
		}
	}
	for _, text := range []string{
		"", "0.38", "EUR", "-1 EUR", "0,38 EUR", "1 eur", "1 EURO", "1 EU", "NaN EUR", "1e400 EUR", "1e-400 EUR",
		"-0 EUR", "1 E\u00dcR", strings.Repeat("1", 200) + " EUR",
	} {
		m, err := ParseMoney(text)
		var pe *ParseError
		if !errors.As(err, &pe) || m.Known() {
			t.Errorf("%q is %v, %v, want a ParseError", text, m, err)
		}
	}
	rng := rand.New(rand.NewPCG(4217, 1))
	for range 3000 {
		v := math.Abs(math.Float64frombits(rng.Uint64()))
		if !isFinite(v) {
			continue
		}
		m := Money{v, "EUR"}
		if back, err := ParseMoney(m.String()); err != nil || back != m {
			t.Fatalf("%q reads as %v, %v", m.String(), back, err)
		}
	}
	if got := (Money{}).String() + (Money{}).Display(); got != "--" {
		t.Errorf("no amount prints as %q", got)
	}
}

func FuzzParse(f *testing.F) {
	index := func(d *Dimension) uint8 { return uint8(slices.Index(dimensions, d)) }
	for _, tt := range texts {
		f.Add(index(tt.d), tt.text)
	}
	for _, tt := range refused {
		f.Add(index(tt.d), tt.text)
	}
	f.Fuzz(func(t *testing.T, which uint8, text string) {
		d := dimensions[int(which)%len(dimensions)]
		Suspicious(text)
		if m, err := ParseMoney(text); err == nil {
			if back, err := ParseMoney(m.String()); err != nil || back != m {
				t.Errorf("%q is %v, which reads as %v, %v", text, m, back, err)
			}
		}
		v, err := d.Parse(text)
		if err != nil {
			if err.Error() == "" || v != 0 {
				t.Errorf("%q: %v with %q", text, v, err)
			}
			return
		}
		if !isFinite(v) {
			t.Fatalf("%q is %v", text, v)
		}
		checkRoundTrip(t, d, v)
	})
}

func BenchmarkParse(b *testing.B) {
	for b.Loop() {
		if _, err := Parse[Ohm]("4.7 kohm"); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkExact(b *testing.B) {
	for b.Loop() {
		Exact(Ohm(4700))
	}
}

func BenchmarkDisplay(b *testing.B) {
	for b.Loop() {
		Display(4712.3456, "ohm", 3, Up)
	}
}

// An absent quantity is not a zero, whatever the sign of the zero.
func TestOptZero(t *testing.T) {
	for _, v := range []Volt{0, Volt(math.Copysign(0, -1))} {
		o := Some(v)
		if got, ok := o.Get(); !ok || got != 0 || math.Signbit(float64(got)) || o != Some(Volt(0)) {
			t.Errorf("Some(%v) is %v, %v", v, got, ok)
		}
	}
	if o := None[Volt](); o.Known() || o == Some(Volt(0)) || o.Or(3) != 3 {
		t.Errorf("None is %v", o)
	}
	if o := Some(Volt(math.NaN())); !o.Known() || o.Value() == o.Value() {
		t.Errorf("a quantity that is no number is %v", o)
	}
}
