package source

import (
	"errors"
	"strings"

	q "example.org/pinhoist/internal/quantity"
)

// crate is a small stand-in for a file of parts: every form of field.
type crate struct {
	Schema  *int     `key:"schema"`
	Title   string   `key:"title"`
	Setting setting  `key:"setting"`
	Things  []thing  `key:"thing"`
	Tags    []string `key:"tags"`
}

type setting struct {
	Low    q.Opt[q.Celsius] `key:"low" span:"-60 C..60 C"`
	Factor float64          `key:"factor" min:"0"`
}

type common struct {
	ID    string   `key:"id" need:"R"`
	Price *q.Money `key:"price"`
	Stock *int     `key:"stock" min:"0"`
	Own   bool     `key:"own"`
}

type thing struct {
	common
	Kind   string                 `key:"kind" need:"R" of:"npn|pnp"`
	Sure   *bool                  `key:"sure" need:"R"`
	VMax   q.Opt[q.Volt]          `key:"v_ds_max" need:"R" worse:"less" span:"8 V..2 kV"`
	Coil   q.Opt[q.Henry]         `key:"l_coil" worse:"more" span:"1 nH..1 kH"`
	Slope  q.Opt[q.VoltPerKelvin] `key:"slope"`
	Leak   q.Opt[q.Amp]           `key:"leak" min:"0"`
	Gain   q.Opt[q.Ratio]         `key:"gain" span:"5..50000"`
	Life   *float64               `key:"life"`
	Points []point                `key:"points"`
	Window *window                `key:"window"`
	Curves []curve                `key:"curves"`
	Fits   []string               `key:"fits"`
	NO     *contact               `key:"no"`
	R      element                `key:"r"`
}

type point struct {
	I   q.Opt[q.Amp] `key:"i" need:"R"`
	Max q.Opt[q.Ohm] `key:"max" worse:"more"`
}

type window struct {
	Min q.Opt[q.Volt] `key:"min" need:"R"`
	Max q.Opt[q.Volt] `key:"max" need:"R"`
}

type curve struct {
	T      length  `key:"t" need:"R"`
	Points []point `key:"points" need:"R"`
}

type contact struct {
	Carry q.Opt[q.Amp] `key:"carry"`
	AC    []point      `key:"ac"`
}

// length prints itself, a time or "dc".
type length struct {
	t  q.Second
	dc bool
}

func (l *length) UnmarshalText(text []byte) error {
	if string(text) == "dc" {
		l.dc = true
		return nil
	}
	var o q.Opt[q.Second]
	if err := o.SetText(string(text)); err != nil {
		return errorsWrap{err}
	}
	l.t = o.Value()
	return nil
}

type errorsWrap struct{ error }

func (e errorsWrap) Error() string { return e.error.Error() + ", or dc" }
func (e errorsWrap) Unwrap() error { return e.error }

func (l *length) MarshalText() ([]byte, error) {
	if l.dc {
		return []byte("dc"), nil
	}
	return []byte(q.Exact(l.t)), nil
}

func (l *length) SourceJSON() any {
	if l.dc {
		return "dc"
	}
	return float64(l.t)
}

// element is written as false, a number of ohms or a text.
type element struct {
	Said, None bool
	R          q.Ohm
}

func (e *element) DecodeTOML(value any) error {
	switch v := value.(type) {
	case bool:
		if v {
			return errors.New("false, or a resistance")
		}
		*e = element{Said: true, None: true}
		return nil
	case string:
		r, err := q.Parse[q.Ohm](v)
		if err != nil {
			return err
		}
		*e = element{Said: true, R: r}
		return nil
	}
	return errors.New("false, or a resistance")
}

func (e *element) EncodeTOML() any {
	if e.None {
		return false
	}
	return q.Exact(e.R)
}

// read parses and decodes a text as the file "f".
func read(text string, options ...Options) (crate, Errors) {
	var c crate
	d, errs := Parse("f", []byte(text))
	if errs != nil {
		return c, errs
	}
	return c, Decode(d, &c, options...)
}

// lines joins lines of a text, so that tables of tests keep their line numbers
// plain.
func lines(s ...string) string { return strings.Join(s, "\n") + "\n" }

// whole is a text with every form of field.
const whole = `schema = 1
title = "All \"forms\" # no comment"
tags = [
  'one', # a comment ]
  "two",
]

[setting]
low = "-40 C"
factor = 0.5

[[thing]]
id = "a"
price = "0.30 EUR"
stock = 0
own = true
kind = "npn"
sure = false
v_ds_max = "60 V"
l_coil = "60 mH"
slope = "-2 mV/K"
leak = "0 A"
gain = 120
life = 1e7
fits = ["TO-220"]
r = "4k7"
points = [{ i = "1 A", max = "10 mohm" },
          { i = "2 A" }]
window = { min = "1 V", max = "2.5 V" }
curves = [{ t = "10 ms", points = [{ i = "1 A" }, { i = "3 A" }] }, { t = "dc", points = [{ i = "7 A" }] }]

[thing.no]
carry = "10 A"
ac = [{ i = "3 A" }]

[[thing]]
id = "b"
kind = "pnp"
sure = true
v_ds_max = "0.1 kV"
r = false
[[thing.points]]
i = "1.5 A"
[[thing.points]]
i = "2.5 A"
`
