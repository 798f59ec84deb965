package catalog

import (
	"example.org/pinhoist/internal/source"
)

// Encode is the part as a catalogue file of its own: exact, so that decoding it
// gives the same part. Its package is not in it.
func Encode(p Part) []byte {
	f := file{Schema: new(int)}
	*f.Schema = Schema
	if m := p.Base().Price; m != nil {
		f.Currency = m.Currency
	}
	switch p := p.(type) {
	case *BJT:
		f.BJTs = []BJT{*p}
	case *MOSFET:
		f.MOSFETs = []MOSFET{*p}
	case *Relay:
		f.Relays = []Relay{*p}
	case *SSR:
		f.SSRs = []SSR{*p}
	case *Module:
		f.Modules = []Module{*p}
	case *Array:
		f.Arrays = []Array{*p}
	case *Diode:
		f.Diodes = []Diode{*p}
	case *Zener:
		f.Zeners = []Zener{*p}
	case *TVS:
		f.TVSs = []TVS{*p}
	case *MOV:
		f.MOVs = []MOV{*p}
	case *ResistorSeries:
		f.Resistors = []ResistorSeries{*p}
	case *Capacitor:
		f.Capacitors = []Capacitor{*p}
	case *HeatSink:
		f.HeatSinks = []HeatSink{*p}
	case *Insulator:
		f.Insulators = []Insulator{*p}
	case *Fuse:
		f.Fuses = []Fuse{*p}
	case *Limiter:
		f.Limiters = []Limiter{*p}
	}
	return source.Encode(&f)
}
