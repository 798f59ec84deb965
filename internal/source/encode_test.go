package source

import (
	"math"
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"

	q "example.org/pinhoist/internal/quantity"
)

// encoded is what Encode must print of the text whole, written by hand: the
// order of the struct, exact texts, tables after the keys.
const encoded = `schema = 1
title = "All \"forms\" # no comment"
tags = ["one", "two"]

[setting]
low = "-40 C"
factor = 0.5

[[thing]]
id = "a"
price = "0.3 EUR"
stock = 0
own = true
kind = "npn"
sure = false
v_ds_max = "60 V"
l_coil = "60 mH"
slope = "-2 mV/K"
leak = "0 A"
gain = 120
life = 10000000
points = [
  { i = "1 A", max = "10 mohm" },
  { i = "2 A" },
]
window = { min = "1 V", max = "2.5 V" }
curves = [
  { t = "10 ms", points = [{ i = "1 A" }, { i = "3 A" }] },
  { t = "dc", points = [{ i = "7 A" }] },
]
fits = ["TO-220"]
r = "4.7 kohm"

[thing.no]
carry = "10 A"
ac = [{ i = "3 A" }]

[[thing]]
id = "b"
kind = "pnp"
sure = true
v_ds_max = "100 V"
points = [
  { i = "1.5 A" },
  { i = "2.5 A" },
]
r = false
`

func TestEncode(t *testing.T) {
	c, errs := read(whole)
	if errs != nil {
		t.Fatal(errs)
	}
	if got := string(Encode(&c)); got != encoded {
		t.Errorf("got:\n%s", got)
	}
	if got := string(Encode(crate{})); got != "" {
		t.Errorf("nothing gave %q", got)
	}
	if got := string(Encode(window{Min: q.Some(q.Volt(1))})); got != "min = \"1 V\"\n" {
		t.Errorf("got %q", got)
	}
}

// TestRoundTrip prints random values and reads them back: the same value comes
// out, and the same text.
func TestRoundTrip(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 500 {
		c := randomCrate(r)
		text := Encode(&c)
		back, errs := read(string(text))
		if errs.Fatal() {
			t.Fatalf("%s\n%s", errs, text)
		}
		if !reflect.DeepEqual(back, c) {
			t.Fatalf("got\n%s\nwant\n%s", Encode(&back), text)
		}
	}
}

func randomCrate(r *rand.Rand) crate {
	number := func() float64 { return math.Exp(r.Float64()*40 - 20) }
	maybe := func() bool { return r.IntN(2) == 0 }
	texts := []string{"a", `"`, `\`, "", "# x", "ä µ Ω", "'''", "a\\u0041", " ", "=[]{}"}
	text := func() string { return texts[r.IntN(len(texts))] }
	points := func() []point {
		var ps []point
		for range r.IntN(4) {
			p := point{I: q.Some(q.Amp(number()))}
			if maybe() {
				p.Max = q.Some(q.Ohm(number()))
			}
			ps = append(ps, p)
		}
		return ps
	}
	c := crate{Title: text()}
	if maybe() {
		n := 1 + r.IntN(1000)
		c.Schema = &n
	}
	if maybe() {
		c.Setting = setting{Low: q.Some(q.Celsius(r.Float64()*300 - 200)), Factor: number()}
	}
	for range r.IntN(3) {
		c.Tags = append(c.Tags, text())
	}
	for range r.IntN(4) {
		b, life := maybe(), number()
		th := thing{
			common: common{ID: text(), Own: maybe(), Price: &q.Money{Amount: number(), Currency: "EUR"}},
			Kind:   []string{"", "npn", "pnp"}[r.IntN(3)], Sure: &b, Life: &life,
			VMax: q.Some(q.Volt(number())), Slope: q.Some(q.VoltPerKelvin(number() - 1)),
			Gain: q.Some(q.Ratio(number())), Points: points(), Fits: c.Tags,
			R: element{Said: true, None: true},
		}
		if maybe() {
			th.R = element{Said: true, R: q.Ohm(number())}
			th.NO = &contact{Carry: q.Some(q.Amp(number())), AC: points()}
			th.Window = &window{}
		}
		if ps := points(); ps != nil {
			th.Curves = []curve{{length{dc: true}, ps}, {length{t: q.Second(number())}, ps}}
		}
		c.Things = append(c.Things, th)
	}
	return c
}

func TestJSON(t *testing.T) {
	c, errs := read(whole)
	if errs != nil {
		t.Fatal(errs)
	}
	want := strings.Join([]string{
		`{"schema":1,"title":"All \"forms\" # no comment","setting":{"low":-40,"factor":0.5},"thing":[`,
		`{"id":"a","price":{"amount":0.3,"currency":"EUR"},"stock":0,"own":true,"kind":"npn","sure":false,`,
		`"v_ds_max":60,"l_coil":0.06,"slope":-0.002,"leak":0,"gain":120,"life":10000000,`,
		`"points":[{"i":1,"max":0.01},{"i":2}],"window":{"min":1,"max":2.5},`,
		`"curves":[{"t":0.01,"points":[{"i":1},{"i":3}]},{"t":"dc","points":[{"i":7}]}],"fits":["TO-220"],`,
		`"no":{"carry":10,"ac":[{"i":3}]},"r":"4.7 kohm"},`,
		`{"id":"b","kind":"pnp","sure":true,"v_ds_max":100,"points":[{"i":1.5},{"i":2.5}],"r":false}],`,
		`"tags":["one","two"]}`,
	}, "")
	if got := string(JSON(&c)); got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
	nan := math.NaN()
	if got := string(JSON(thing{Life: &nan})); got != `{"life":null}` {
		t.Errorf("got %s", got)
	}
	if got := string(JSON(common{ID: "<&\x1b>"})); got != `{"id":"<&\u001b>"}` {
		t.Errorf("got %s", got)
	}
}

func TestWalk(t *testing.T) {
	c, errs := read("[setting]\nlow = \"5 C\"\n[[thing]]\nstock = 3\nv_ds_max = \"60 V\"\ngain = 9\npoints = [{ i = \"1 A\" }]\n")
	if errs.Fatal() {
		t.Fatal(errs)
	}
	var got []string
	Walk(&c, func(f Field) {
		s := f.Path
		if f.Known() {
			s += "=" + formatFloat(f.SI()) + f.Unit()
		}
		got = append(got, s)
	})
	want := []string{"schema", "setting.low=5degC", "setting.factor=0", "thing[0].stock=3", "thing[0].v_ds_max=60V",
		"thing[0].l_coil", "thing[0].slope", "thing[0].leak", "thing[0].gain=91", "thing[0].life",
		"thing[0].points[0].i=1A", "thing[0].points[0].max"}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("got  %v\nwant %v", got, want)
	}
}

func TestWalkSet(t *testing.T) {
	c, _ := read(whole)
	stock := c.Things[0].Stock
	Walk(&c, func(f Field) {
		switch f.Path {
		case "thing[0].v_ds_max":
			low, high, ok := f.Span()
			if f.Need() != "R" || f.Worse() != "less" || low != 8 || high != 2000 || !ok || f.Signed() {
				t.Errorf("%s: wrong tags", f.Path)
			}
			f.SetSI(50)
		case "thing[0].leak":
			if least, ok := f.Min(); least != 0 || !ok || f.Need() != "" {
				t.Errorf("%s: wrong tags", f.Path)
			}
			f.Clear()
		case "thing[0].slope":
			if _, ok := f.Min(); ok || !f.Signed() {
				t.Errorf("%s: wrong tags", f.Path)
			}
		case "thing[0].stock":
			f.SetSI(7)
		case "thing[0].life", "thing[1].stock", "schema":
			f.Clear()
		case "thing[0].points[1].max":
			f.SetSI(0.5)
		}
	})
	a := c.Things[0]
	if a.VMax.Or(0) != 50 || a.Leak.Known() || *a.Stock != 7 || a.Life != nil || c.Schema != nil || a.Points[1].Max.Or(0) != 0.5 {
		t.Errorf("got %s", JSON(&c))
	}
	if *stock != 0 {
		t.Error("a value was changed behind a pointer that others may share")
	}
}

// TestPlanRefuses proves that a mistake in a tag cannot pass unseen.
func TestPlanRefuses(t *testing.T) {
	tests := []struct {
		name string
		v    any
	}{
		{"a key twice", struct {
			A string `key:"a"`
			B string `key:"a"`
		}{}},
		{"a type without form", struct {
			A chan int `key:"a"`
		}{}},
		{"a quantity that cannot be absent", struct {
			A q.Volt `key:"a"`
		}{}},
		{"span in another unit", struct {
			A q.Opt[q.Volt] `key:"a" span:"1 A..2 A"`
		}{}},
		{"span upside down", struct {
			A q.Opt[q.Volt] `key:"a" span:"2 V..1 V"`
		}{}},
		{"min", struct {
			A *int `key:"a" min:"none"`
		}{}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			defer func() {
				if recover() == nil {
					t.Error("it was accepted")
				}
			}()
			planOf(reflect.TypeOf(tt.v))
		})
	}
}
