package catalog

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	q "example.org/pinhoist/internal/quantity"
)

// These tests hold the embedded parameter sets against published figures of
// their classes. The sets are generic and from memory, so they need not be
// equal to any of them: within a factor of 2 of the published range is what
// "typical of its class" means here. Rows of factor 1 are limits that makers or
// standards state as such.

// How a published figure was obtained.
const (
	read    = "READ"    // seen in the named source
	derived = "DERIVED" // arithmetic from figures that were read
	memory  = "MEMORY"  // well known, not read again
)

// classRow is one published figure and what the catalogue states for it.
type classRow struct {
	name   string
	source string
	how    string
	low    float64 // published, in SI units (degC, ratios)
	high   float64
	factor float64 // 0: 2
	get    func(*Catalog) []classFigure
}

// classFigure is a stated figure of a part.
type classFigure struct {
	id string
	v  float64
}

func TestClassFigures(t *testing.T) {
	c := embeddedCatalog(t)
	for _, r := range classRows() {
		t.Run(r.name, func(t *testing.T) {
			factor := r.factor
			if factor == 0 {
				factor = 2
			}
			const rounding = 1e-9
			low, high := r.low/factor*(1-rounding), r.high*factor*(1+rounding)
			got := r.get(c)
			if len(got) == 0 {
				t.Fatalf("no part states it; %s (%s)", r.source, r.how)
			}
			for _, s := range got {
				if !(s.v >= low && s.v <= high) {
					t.Errorf("%s: %.4g, want %.4g to %.4g within a factor of %g; %s (%s)", s.id, s.v, r.low, r.high, factor, r.source, r.how)
				}
			}
		})
	}
}

func embeddedCatalog(t *testing.T) *Catalog {
	t.Helper()
	c, err := Embedded()
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// ---- selection ----

// si adds a figure where it is stated.
func si[Q q.Quantity](out []classFigure, id string, o q.Opt[Q]) []classFigure {
	if v, ok := o.Get(); ok {
		out = append(out, classFigure{id, float64(v)})
	}
	return out
}

// classOf collects a figure over the parts that a filter takes.
func classOf[T any](parts func(*Catalog) []T, take func(*T) bool, get func([]classFigure, *T) []classFigure) func(*Catalog) []classFigure {
	return func(c *Catalog) []classFigure {
		var out []classFigure
		list := parts(c)
		for i := range list {
			if take(&list[i]) {
				out = get(out, &list[i])
			}
		}
		return out
	}
}

func bjts(take func(*BJT) bool, get func([]classFigure, *BJT) []classFigure) func(*Catalog) []classFigure {
	return classOf(func(c *Catalog) []BJT { return c.BJTs }, take, get)
}

func mosfets(take func(*MOSFET) bool, get func([]classFigure, *MOSFET) []classFigure) func(*Catalog) []classFigure {
	return classOf(func(c *Catalog) []MOSFET { return c.MOSFETs }, take, get)
}

func relays(take func(*Relay) bool, get func([]classFigure, *Relay) []classFigure) func(*Catalog) []classFigure {
	return classOf(func(c *Catalog) []Relay { return c.Relays }, take, get)
}

func diodes(take func(*Diode) bool, get func([]classFigure, *Diode) []classFigure) func(*Catalog) []classFigure {
	return classOf(func(c *Catalog) []Diode { return c.Diodes }, take, get)
}

func zeners(take func(*Zener) bool, get func([]classFigure, *Zener) []classFigure) func(*Catalog) []classFigure {
	return classOf(func(c *Catalog) []Zener { return c.Zeners }, take, get)
}

func tvss(take func(*TVS) bool, get func([]classFigure, *TVS) []classFigure) func(*Catalog) []classFigure {
	return classOf(func(c *Catalog) []TVS { return c.TVSs }, take, get)
}

func insulators(prefix string) func(*Catalog) []classFigure {
	return classOf(func(c *Catalog) []Insulator { return c.Insulators },
		func(p *Insulator) bool { return strings.HasPrefix(p.ID, prefix) && slices.Contains(p.Fits, "TO-220") },
		func(out []classFigure, p *Insulator) []classFigure { return si(out, p.ID, p.RCS) })
}

// packaged is the worst thermal resistance of a package by name.
func packaged(name string) func(*Catalog) []classFigure {
	return classOf(func(c *Catalog) []Package { return c.Packages },
		func(p *Package) bool { return p.Name == name },
		func(out []classFigure, p *Package) []classFigure { return si(out, p.Name, p.RthJA) })
}

// relayIDs selects relays by id.
func relayIDs(ids ...string) func(*Relay) bool {
	return func(p *Relay) bool { return slices.Contains(ids, p.ID) }
}

// inPackage selects relays by package.
func inPackage(names ...string) func(*Relay) bool {
	return func(p *Relay) bool { return slices.Contains(names, p.Package) }
}

func coilOhm(out []classFigure, p *Relay) []classFigure { return si(out, p.ID, p.RCoil.Nominal) }
func operate(out []classFigure, p *Relay) []classFigure { return si(out, p.ID, p.TimeMax.Operate) }
func release(out []classFigure, p *Relay) []classFigure { return si(out, p.ID, p.TimeMax.Release) }
func bounce(out []classFigure, p *Relay) []classFigure  { return si(out, p.ID, p.TimeMax.Bounce) }
func mechanical(out []classFigure, p *Relay) []classFigure {
	if p.LifeMech != nil {
		out = append(out, classFigure{p.ID, *p.LifeMech})
	}
	return out
}
func unloadedRate(out []classFigure, p *Relay) []classFigure { return si(out, p.ID, p.RateUnloaded) }
func loadedRate(out []classFigure, p *Relay) []classFigure   { return si(out, p.ID, p.NO.RateMax) }
func wettingAmp(out []classFigure, p *Relay) []classFigure   { return si(out, p.ID, p.NO.Wetting.I) }

// dc is the current of the normally open contact at the next higher stated
// voltage of a DC category.
func dc(category string, v float64) func([]classFigure, *Relay) []classFigure {
	return func(out []classFigure, p *Relay) []classFigure { return contactAt(out, p, p.NO.DC, category, v) }
}

// ac is the same on AC.
func ac(category string, v float64) func([]classFigure, *Relay) []classFigure {
	return func(out []classFigure, p *Relay) []classFigure { return contactAt(out, p, p.NO.AC, category, v) }
}

func contactAt(out []classFigure, p *Relay, points []ContactPoint, category string, v float64) []classFigure {
	for i := range points {
		if points[i].Category == category && float64(points[i].V.Value()) >= v {
			return si(out, p.ID, points[i].I)
		}
	}
	return out
}

// makeAt is the inrush that the normally open contact may close on.
func makeAt(load, supply string) func([]classFigure, *Relay) []classFigure {
	return func(out []classFigure, p *Relay) []classFigure {
		for i := range p.NO.Make {
			if m := &p.NO.Make[i]; m.Load == load && m.Supply == supply {
				return si(out, p.ID, m.I)
			}
		}
		return out
	}
}

// lifeAt is the life at the next higher stated current of a category.
func lifeAt(category string, i float64) func([]classFigure, *Relay) []classFigure {
	return func(out []classFigure, p *Relay) []classFigure {
		for k := range p.NO.Life {
			if l := &p.NO.Life[k]; l.Category == category && float64(l.I.Value()) >= i {
				return append(out, classFigure{p.ID, *l.Operations})
			}
		}
		return out
	}
}

func mosIn(pkg string) func(*MOSFET) bool { return func(p *MOSFET) bool { return p.Package == pkg } }

func mosVolts(low, high q.Volt) func(*MOSFET) bool {
	return func(p *MOSFET) bool { v := p.VDSMax.Value(); return v >= low && v <= high }
}

func mosID(id string) func(*MOSFET) bool { return func(p *MOSFET) bool { return p.ID == id } }

// hotRise is the rise of on-resistance from 25 C to a temperature, as a part,
// on the straight line to the stated factor.
func hotRise(tj float64) func([]classFigure, *MOSFET) []classFigure {
	return func(out []classFigure, p *MOSFET) []classFigure {
		h := p.RDSOnHot
		return append(out, classFigure{p.ID, float64(h.Factor.Value()-1) * (tj - 25) / float64(h.Tj.Value()-25)})
	}
}

// copperAt is the thermal resistance on so much copper.
func copperAt(area float64) func([]classFigure, *MOSFET) []classFigure {
	return func(out []classFigure, p *MOSFET) []classFigure {
		for i := range p.RthJACu {
			if math.Abs(float64(p.RthJACu[i].Area.Value())-area) < 1e-9 {
				return si(out, p.ID, p.RthJACu[i].Max)
			}
		}
		return out
	}
}

// pulseFraction is the part of r_th_jc_max that a pulse of length t reaches.
func pulseFraction(h *Heat, t float64) float64 {
	sum, now := 0.0, 0.0
	for _, f := range h.FosterJC {
		sum += float64(f.R.Value())
		now += float64(f.R.Value()) * -math.Expm1(-t/float64(f.Tau.Value()))
	}
	return now / sum
}

// headline is the stated case current over that of the junction at its limit
// with the hot on-resistance.
func headline(p *MOSFET) float64 {
	r := p.RDSOn[len(p.RDSOn)-1].Max.Value()
	hot := float64(r) * float64(p.RDSOnHot.Factor.Value())
	return float64(p.IDCase25.Value()) / math.Sqrt(float64(p.TjMax.Value()-25)/(float64(p.RthJC.Value())*hot))
}

func technology(word string, amp, volt float64) func(*Diode) bool {
	return func(p *Diode) bool {
		return p.Technology == word && (amp == 0 || nominal(p) == amp) && (volt == 0 || float64(p.VRRMMax.Value()) == volt)
	}
}

// nominal is a diode's average current at the lowest stated ambient.
func nominal(p *Diode) float64 { return float64(p.IFAV[0].I.Value()) }

// forward is the greatest forward voltage at a current.
func forward(i float64) func([]classFigure, *Diode) []classFigure {
	return func(out []classFigure, p *Diode) []classFigure {
		for k := range p.VF {
			if float64(p.VF[k].I.Value()) == i {
				return si(out, p.ID, p.VF[k].Max)
			}
		}
		return out
	}
}

// reverse is the leakage at a junction temperature.
func reverse(tj float64) func([]classFigure, *Diode) []classFigure {
	return func(out []classFigure, p *Diode) []classFigure {
		for k := range p.IRMax {
			if float64(p.IRMax[k].Tj.Or(25)) == tj {
				return si(out, p.ID, p.IRMax[k].Max)
			}
		}
		return out
	}
}

func surge(out []classFigure, p *Diode) []classFigure    { return si(out, p.ID, p.IFSM[0].I) }
func recovery(out []classFigure, p *Diode) []classFigure { return si(out, p.ID, p.TrrMax) }

// holds selects Zeners whose window holds a voltage.
func holds(v q.Volt) func(*Zener) bool {
	return func(p *Zener) bool { return p.VZ.Min.Value() <= v && v <= p.VZ.Max.Value() }
}

// drift is the temperature coefficient of a Zener as a part of its voltage.
func drift(out []classFigure, p *Zener) []classFigure {
	mid := (p.VZ.Min.Value() + p.VZ.Max.Value()) / 2
	return append(out, classFigure{p.ID, float64(p.TCMax.Value()) / float64(mid)})
}

func zenerMin(out []classFigure, p *Zener) []classFigure { return si(out, p.ID, p.VZ.Min) }
func zenerMax(out []classFigure, p *Zener) []classFigure { return si(out, p.ID, p.VZ.Max) }

func tvsOf(p1ms, rwm float64) func(*TVS) bool {
	return func(p *TVS) bool { return pulseAt(p, 1e-3) == p1ms && (rwm == 0 || float64(p.VRWM.Value()) == rwm) }
}

func pulseAt(p *TVS, t float64) float64 {
	for i := range p.Pulse {
		if math.Abs(float64(p.Pulse[i].T.Value())-t) < 1e-9 {
			return float64(p.Pulse[i].P.Value())
		}
	}
	return math.NaN()
}

func anyBJT(*BJT) bool       { return true }
func anyMOSFET(*MOSFET) bool { return true }
func anyRelay(*Relay) bool   { return true }
func anyTVS(*TVS) bool       { return true }

func darlington(p *BJT) bool { return p.Darlington != nil && *p.Darlington }

func lowSaturation(p *BJT) bool { return strings.Contains(p.ID, "lowsat") }

// forcedGain is the greatest forced gain at which saturation is promised.
func forcedGain(out []classFigure, p *BJT) []classFigure {
	most := 0.0
	for i := range p.VCESat {
		if p.VCESat[i].Max.Known() {
			most = max(most, float64(p.VCESat[i].IC.Value())/float64(p.VCESat[i].IB.Value()))
		}
	}
	return append(out, classFigure{p.ID, most})
}

// ---- rows ----

func classRows() []classRow {
	var out []classRow
	for _, group := range [][]classRow{heatRows(), transistorRows(), highSideRows(), darlingtonRows(), coilRows(), contactRows(), lifeRows(), isolationRows(), diodeRows(), clampRows(), inrushRows()} {
		out = append(out, group...)
	}
	return out
}

func heatRows() []classRow {
	an994 := "AN-994, International Rectifier, Table 1: maxima "
	h25 := "a maker's data sheet, 30 V logic-level in TO-220, figure 11: rungs 0.003454, 0.17246, 0.786312, 1.368218 K/W of 13.68748 s, 72.1 us, 1.227 ms, 7.178 ms"
	fosterAt := func(t float64) func(*Catalog) []classFigure {
		return mosfets(mosIn("TO-220"), func(out []classFigure, p *MOSFET) []classFigure {
			return append(out, classFigure{p.ID, pulseFraction(&p.Heat, t)})
		})
	}
	rja := func(out []classFigure, p *MOSFET) []classFigure { return si(out, p.ID, p.RthJA) }
	rjc := func(out []classFigure, p *MOSFET) []classFigure { return si(out, p.ID, p.RthJC) }
	return []classRow{
		{name: "TO-220 to air", source: "two data sheets, 50 A TO-220 and 28 A isolated TO-220: 62 and 62.5 K/W at most", how: read, low: 62, high: 62.5, get: packaged("TO-220")},
		{name: "TO-220 MOSFET to air", source: "the same two data sheets", how: read, low: 62, high: 62.5, get: mosfets(mosIn("TO-220"), rja)},
		{name: "DPAK, least copper", source: an994 + "on the minimum area 77.3 K/W", how: read, low: 77.3, high: 77.3, get: packaged("DPAK")},
		{name: "D2PAK, least copper", source: an994 + "on the minimum area 47.7 K/W", how: read, low: 47.7, high: 47.7, get: packaged("D2PAK")},
		{name: "D2PAK MOSFET to air", source: "a maker's data sheet, 100 V 2.8 mohm in TO-263: 62 K/W on least copper; AN-994: 47.7 K/W", how: read, low: 47.7, high: 62, get: mosfets(mosIn("D2PAK"), rja)},
		{name: "D2PAK MOSFET on 6 cm2", source: an994 + "on 1 square inch 23.3 K/W", how: read, low: 23.3, high: 23.3, get: mosfets(mosIn("D2PAK"), copperAt(6e-4))},
		{name: "SOT-223, least copper", source: an994 + "on the minimum area 86.0 K/W", how: read, low: 86, high: 86, get: packaged("SOT-223")},
		{name: "SOT-23, least copper", source: an994 + "on the minimum area 343 K/W; a thyristor data sheet, Table 6: 400 K/W", how: read, low: 343, high: 400, get: packaged("SOT-23")},
		{name: "SOT-23 MOSFET on 6 cm2", source: an994 + "on 1 square inch 230 K/W", how: read, low: 230, high: 230, get: mosfets(mosIn("SOT-23"), copperAt(6e-4))},
		{name: "SOT-223 MOSFET on 6 cm2", source: an994 + "on 1 square inch 60 K/W", how: read, low: 60, high: 60, get: mosfets(mosIn("SOT-223"), copperAt(6e-4))},
		{name: "DPAK MOSFET on 6 cm2", source: an994 + "on 1 square inch 26.3 K/W", how: read, low: 26.3, high: 26.3, get: mosfets(mosIn("DPAK"), copperAt(6e-4))},
		{name: "SOT-23 MOSFET to lead", source: "a maker's data sheet, 30 V P-channel in SOT-23, rev. 6, 2011: 63 typical, 80 K/W at most", how: read, low: 63, high: 80, get: mosfets(mosIn("SOT-23"), rjc)},
		{name: "TO-92 to air", source: "a maker's triac data sheet, 2002, and a thyristor data sheet: 150 K/W; a TO-92 Darlington data sheet, 2019: 200 K/W", how: read, low: 150, high: 200, get: packaged("TO-92")},
		{name: "TO-92 to case", source: "a TO-92 Darlington data sheet, 2019: 60 K/W to lead, 80 K/W to case", how: read, low: 60, high: 80,
			get: bjts(func(p *BJT) bool { return p.Package == "TO-92" }, func(out []classFigure, p *BJT) []classFigure { return si(out, p.ID, p.RthJC) })},
		{name: "TO-247 to air", source: "thermal table of a linear-regulator maker: 45 K/W; 40 K/W usual for MOSFETs is from memory", how: read, low: 40, high: 45, get: packaged("TO-247")},
		{name: "TO-220 MOSFET, pulse of 0.1 ms", source: h25, how: derived, low: 0.0900, high: 0.0900, get: fosterAt(1e-4)},
		{name: "TO-220 MOSFET, pulse of 1 ms", source: h25, how: derived, low: 0.3385, high: 0.3385, get: fosterAt(1e-3)},
		{name: "TO-220 MOSFET, pulse of 10 ms", source: h25, how: derived, low: 0.8528, high: 0.8528, get: fosterAt(10e-3)},
		{name: "soft pad, TO-220", source: "class figure: silicone pad 1.0 to 2.0 K/W", how: memory, low: 1, high: 2, get: insulators("pad")},
		{name: "greased mica, TO-220", source: "class figure: 1.0 to 1.6 K/W", how: memory, low: 1, high: 1.6, get: insulators("mica")},
	}
}

func transistorRows() []classRow {
	jacob := "Jacob, Power Electronics: Principles and Applications, Example 6.7: 0.11 ohm of a 100 V process rises by 2.6"
	return []classRow{
		{name: "forced gain of small-signal and power types", source: "data-sheet practice: 10, sometimes 20", how: memory, low: 10, high: 20, factor: 1,
			get: bjts(func(p *BJT) bool { return !lowSaturation(p) && !darlington(p) }, forcedGain)},
		{name: "forced gain of low-saturation types", source: "data-sheet practice: 50 to 100", how: memory, low: 50, high: 100, factor: 1, get: bjts(lowSaturation, forcedGain)},
		{name: "power at a cold case is 1/r_th_jc", source: "three data sheets: 1.92 K/W, 0.52 W/K; 3.23 K/W, 0.32 W/K; 1.0 K/W, 1.0 W/K: product about 1", how: derived, low: 0.95, high: 1.04, factor: 1,
			get: bjts(anyBJT, func(out []classFigure, p *BJT) []classFigure {
				return append(out, classFigure{p.ID, float64(p.PTotCase25.Value()) * float64(p.RthJC.Value()) / float64(p.TjMax.Value()-25)})
			})},
		{name: "hot resistance of SOT-23 at 125 C", source: "a maker's data sheet, 30 V P-channel in SOT-23, rev. 6, 2011: 50 to 75 mohm from 25 to 125 C, a rise of 0.50", how: read, low: 0.5, high: 0.5,
			get: mosfets(func(p *MOSFET) bool { return p.Package == "SOT-23" && p.VDSMax.Value() <= 30 }, hotRise(125))},
		{name: "hot resistance up to 60 V at 150 C", source: "class figure: 1.6 to 1.8", how: memory, low: 0.6, high: 0.8, get: mosfets(mosVolts(0, 60), hotRise(150))},
		{name: "hot resistance at 100 V, 150 C", source: "class figure: 2.0 to 2.2", how: memory, low: 1.0, high: 1.2, get: mosfets(mosVolts(100, 100), hotRise(150))},
		{name: "hot resistance at 100 V, published example", source: jacob, how: read, low: 1.6, high: 1.6, get: mosfets(mosVolts(100, 100), hotRise(150))},
		{name: "hot resistance at 500 V, 150 C", source: "class figure: 2.5 to 2.7", how: memory, low: 1.5, high: 1.7, get: mosfets(mosVolts(400, 600), hotRise(150))},
		{name: "on-resistance at 4.5 V over that at 10 V, SOT-23", source: "the 30 V SOT-23 data sheet: 60 and 50 mohm, threshold 1.3 V at most", how: derived, low: 1.2, high: 1.2,
			get: mosfets(func(p *MOSFET) bool { return p.Package == "SOT-23" }, func(out []classFigure, p *MOSFET) []classFigure {
				var low, high float64
				for _, r := range p.RDSOn {
					switch r.VGS.Value() {
					case 4.5:
						low = float64(r.Max.Value())
					case 10:
						high = float64(r.Max.Value())
					}
				}
				if low > 0 && high > 0 {
					out = append(out, classFigure{p.ID, low / high})
				}
				return out
			})},
		{name: "threshold slope", source: "class figure: 5 to 7 mV/K for power parts", how: memory, low: 5e-3, high: 7e-3,
			get: mosfets(anyMOSFET, func(out []classFigure, p *MOSFET) []classFigure { return si(out, p.ID, p.VGSThSlope) })},
		{name: "headline current against the junction", source: "a maker's data sheet, 100 V 2.8 mohm: 197 A, 0.5 K/W, 175 C, hot factor 2.2 from memory; 197/sqrt(150/(0.5*2.8e-3*2.2)) = 0.89", how: derived, low: 0.89, high: 0.89,
			get: mosfets(anyMOSFET, func(out []classFigure, p *MOSFET) []classFigure { return append(out, classFigure{p.ID, headline(p)}) })},
		{name: "avalanche energy of an old 100 V chip", source: "a maker's data sheet, 100 V 5.6 A: 4.8 mH at 25 V gives 100.4 mJ; the rating 100 mJ is from memory", how: derived, low: 0.100, high: 0.1004,
			get: mosfets(mosID("n-100v-10vgate"), func(out []classFigure, p *MOSFET) []classFigure { return si(out, p.ID, p.Avalanche.EAS) })},
	}
}

func pnpIDs(ids ...string) func(*BJT) bool {
	return func(p *BJT) bool { return p.Polarity == "pnp" && slices.Contains(ids, p.ID) }
}

// onResistanceAt is the greatest on-resistance stated at a gate voltage.
func onResistanceAt(v q.Volt) func([]classFigure, *MOSFET) []classFigure {
	return func(out []classFigure, p *MOSFET) []classFigure {
		for _, r := range p.RDSOn {
			if r.VGS.Value() == v {
				return si(out, p.ID, r.Max)
			}
		}
		return out
	}
}

// highSideRows are PNP transistors and P-channel MOSFETs.
func highSideRows() []classRow {
	sot := "a maker's data sheet, 30 V P-channel in SOT-23, rev. 6, 2011: "
	tiny := mosID("p-30v-2v5-smd")
	small, power := pnpIDs("pnp-40v-small", "pnp-40v-small-smd"), pnpIDs("pnp-100v-3a")
	vce, vbe := func(p *BJT) []SatPoint { return p.VCESat }, func(p *BJT) []SatPoint { return p.VBESat }
	hot := func(out []classFigure, p *MOSFET) []classFigure {
		return append(out, classFigure{p.ID, float64(p.RDSOn[len(p.RDSOn)-1].Max.Value()) * float64(p.RDSOnHot.Factor.Value())})
	}
	whole := func(out []classFigure, p *MOSFET) []classFigure { return si(out, p.ID, p.QGMax.Q) }
	return []classRow{
		{name: "30 V P-channel in SOT-23, at 10 V", source: sot + "50 mohm", how: read, low: 50e-3, high: 50e-3, get: mosfets(tiny, onResistanceAt(10))},
		{name: "30 V P-channel in SOT-23, at 4.5 V", source: sot + "60 mohm", how: read, low: 60e-3, high: 60e-3, get: mosfets(tiny, onResistanceAt(4.5))},
		{name: "30 V P-channel in SOT-23, at 2.5 V", source: sot + "85 mohm", how: read, low: 85e-3, high: 85e-3, get: mosfets(tiny, onResistanceAt(2.5))},
		{name: "its threshold, least", source: sot + "0.5 to 1.3 V", how: read, low: 0.5, high: 0.5, factor: 1.2, get: mosfets(tiny, func(out []classFigure, p *MOSFET) []classFigure { return si(out, p.ID, p.VGSTh.Min) })},
		{name: "its threshold, greatest", source: sot + "0.5 to 1.3 V", how: read, low: 1.3, high: 1.3, factor: 1.2, get: mosfets(tiny, func(out []classFigure, p *MOSFET) []classFigure { return si(out, p.ID, p.VGSTh.Max) })},
		{name: "100 V P-channel in TO-220, hot", source: "Jacob, Power Electronics: Principles and Applications, Example 6.9: 0.57 ohm in a 28 V high side", how: read, low: 0.57, high: 0.57, get: mosfets(mosID("p-100v-10vgate"), hot)},
		{name: "55 V P-channel in TO-220, at 10 V", source: "class figure: 60 mohm", how: memory, low: 60e-3, high: 60e-3, get: mosfets(mosID("p-55v-10vgate"), onResistanceAt(10))},
		{name: "55 V P-channel in TO-220, gate charge", source: "class figure: 63 nC", how: memory, low: 63e-9, high: 63e-9, get: mosfets(mosID("p-55v-10vgate"), whole)},
		{name: "100 V 14 A P-channel, gate charge", source: "class figure: 58 nC", how: memory, low: 58e-9, high: 58e-9, get: mosfets(mosID("p-100v-10vgate"), whole)},
		{name: "200 V P-channel in TO-220, at 10 V", source: "class figure: 0.5 ohm", how: memory, low: 0.5, high: 0.5, get: mosfets(mosID("p-200v-10vgate"), onResistanceAt(10))},
		{name: "50 V small P-channel, at 5 V", source: "class figure: 10 ohm", how: memory, low: 10, high: 10, get: mosfets(mosID("p-50v-small-smd"), onResistanceAt(5))},
		{name: "P-channel resistance over that of an N-channel, 100 V", source: "class figure: 2 to 3 times, for holes move slower than electrons by that", how: memory, low: 2, high: 3,
			get: func(c *Catalog) []classFigure {
				p, n := onResistanceAt(10)(nil, mosfetByID(c, "p-100v-10vgate")), onResistanceAt(10)(nil, mosfetByID(c, "n-100v-10vgate"))
				return []classFigure{{p[0].id, p[0].v / n[0].v}}
			}},
		{name: "small PNP, least gain at 10 mA", source: "class figure: 100", how: memory, low: 100, high: 100, get: bjts(small, gainFrom(10e-3))},
		{name: "small PNP, saturation at 10 mA", source: "class figure: 0.25 V with 1 mA", how: memory, low: 0.25, high: 0.25, get: bjts(small, saturatedAt(10e-3, vce))},
		{name: "small PNP, base at 10 mA", source: "class figure: 0.85 V with 1 mA", how: memory, low: 0.85, high: 0.85, get: bjts(small, saturatedAt(10e-3, vbe))},
		{name: "3 A PNP, least gain at 1 A", source: "class figure: 25", how: memory, low: 25, high: 25, get: bjts(power, gainFrom(1))},
		{name: "3 A PNP, saturation at 3 A", source: "class figure: 1.2 V with 375 mA", how: memory, low: 1.2, high: 1.2, get: bjts(power, saturatedAt(3, vce))},
		{name: "3 A PNP, base at 3 A", source: "class figure: 1.8 V", how: memory, low: 1.8, high: 1.8, get: bjts(power, saturatedAt(3, vbe))},
	}
}

func mosfetByID(c *Catalog, id string) *MOSFET {
	p, _ := c.Part(id)
	m, _ := p.(*MOSFET)
	return m
}

// darlingtonOf selects Darlingtons that carry from low to high amperes.
func darlingtonOf(low, high q.Amp) func(*BJT) bool {
	return func(p *BJT) bool { return darlington(p) && p.ICMax.Value() >= low && p.ICMax.Value() <= high }
}

// gainFrom is the least current gain at the next higher stated collector current.
func gainFrom(i q.Amp) func([]classFigure, *BJT) []classFigure {
	return func(out []classFigure, p *BJT) []classFigure {
		for k := range p.HFE {
			if p.HFE[k].IC.Value() >= i {
				return si(out, p.ID, p.HFE[k].Min)
			}
		}
		return out
	}
}

// saturatedAt is a saturation voltage at the next higher stated collector current.
func saturatedAt(i q.Amp, of func(*BJT) []SatPoint) func([]classFigure, *BJT) []classFigure {
	return func(out []classFigure, p *BJT) []classFigure {
		for _, s := range of(p) {
			if s.IC.Value() >= i {
				return si(out, p.ID, s.Max)
			}
		}
		return out
	}
}

func arrays(output string, get func([]classFigure, *Array) []classFigure) func(*Catalog) []classFigure {
	return classOf(func(c *Catalog) []Array { return c.Arrays }, func(p *Array) bool { return p.Output == output }, get)
}

func darlingtonRows() []classRow {
	b21 := "a maker's data sheet, complementary power Darlingtons of 4 A, 80 to 100 V: "
	seven := func(get func([]classFigure, *Array) []classFigure) func(*Catalog) []classFigure {
		return classOf(func(c *Catalog) []Array { return c.Arrays }, func(p *Array) bool { return *p.Channels == 7 }, get)
	}
	onAt := func(i q.Amp) func([]classFigure, *Array) []classFigure {
		return func(out []classFigure, p *Array) []classFigure {
			for k := range p.VOnMax {
				if p.VOnMax[k].IOut.Value() >= i {
					return si(out, p.ID, p.VOnMax[k].V)
				}
			}
			return out
		}
	}
	inputAt := func(i q.Amp) func([]classFigure, *Array) []classFigure {
		return func(out []classFigure, p *Array) []classFigure {
			for k := range p.VInOn {
				if p.VInOn[k].IOut.Value() >= i {
					return si(out, p.ID, p.VInOn[k].Max)
				}
			}
			return out
		}
	}
	all := func(p *Array) *TogetherPoint { return &p.Together[len(p.Together)-1] }
	power := darlingtonOf(4, 10)
	vce, vbe := func(p *BJT) []SatPoint { return p.VCESat }, func(p *BJT) []SatPoint { return p.VBESat }
	return []classRow{
		{name: "power Darlington, least gain at 1 A", source: b21 + "500", how: read, low: 500, high: 500, get: bjts(power, gainFrom(1))},
		{name: "power Darlington, least gain at 4 A", source: b21 + "1000", how: read, low: 1000, high: 1000, get: bjts(darlingtonOf(8, 10), gainFrom(4))},
		{name: "power Darlington, saturation at 4 A", source: b21 + "2.0 V with 16 mA", how: read, low: 2, high: 2, get: bjts(power, saturatedAt(4, vce))},
		{name: "power Darlington, base at 4 A", source: b21 + "VBE(on) 2.5 V", how: read, low: 2.5, high: 2.5, get: bjts(power, saturatedAt(4, vbe))},
		{name: "power Darlington, forced gain", source: b21 + "4 A with 16 mA and 6 A with 30 mA: 250 and 200", how: derived, low: 200, high: 250, get: bjts(power, forcedGain)},
		{name: "power Darlington, resistors inside", source: b21 + "8 kohm and 120 ohm in series", how: derived, low: 8120, high: 8120,
			get: bjts(power, func(out []classFigure, p *BJT) []classFigure { return si(out, p.ID, p.RBEInternal) })},
		{name: "resistor inside a Darlington, spread", source: "class figure: 30 % either way, as transistors with resistors state it", how: memory, low: 0.7, high: 1.3, factor: 1,
			get: bjts(darlington, func(out []classFigure, p *BJT) []classFigure {
				r := float64(p.RBEInternal.Value())
				return append(out, classFigure{p.ID, float64(p.RBEIntMin.Value()) / r}, classFigure{p.ID, float64(p.RBEIntMax.Value()) / r})
			})},
		{name: "small Darlington, least gain at 0.5 A", source: "class figure: 2000", how: memory, low: 2000, high: 2000, get: bjts(darlingtonOf(0.5, 1), gainFrom(0.5))},
		{name: "small Darlington, saturation at 0.5 A", source: "class figure: 1.3 V with 0.5 mA", how: memory, low: 1.3, high: 1.3, get: bjts(darlingtonOf(0.5, 1), saturatedAt(0.5, vce))},
		{name: "two junctions begin to conduct", source: "class figure: 1.0 to 1.2 V at 25 C", how: memory, low: 1, high: 1.2, factor: 1,
			get: bjts(darlington, func(out []classFigure, p *BJT) []classFigure { return si(out, p.ID, p.VBEOnMin) })},
		{name: "7 channels, on voltage at 0.1 A", source: "class figure: 1.1 V", how: memory, low: 1.1, high: 1.1, get: seven(onAt(0.1))},
		{name: "7 channels, on voltage at 0.35 A", source: "class figure: 1.6 V", how: memory, low: 1.6, high: 1.6, get: seven(onAt(0.35))},
		{name: "7 channels, input for 0.2 A", source: "class figure: 2.4 V", how: memory, low: 2.4, high: 2.4, get: seven(inputAt(0.2))},
		{name: "7 channels, input for 0.3 A", source: "class figure: 3 V", how: memory, low: 3, high: 3, get: seven(inputAt(0.3))},
		{name: "7 channels, input current at 3.85 V", source: "class figure: 1.35 mA", how: memory, low: 1.35e-3, high: 1.35e-3,
			get: seven(func(out []classFigure, p *Array) []classFigure { return si(out, p.ID, p.IInMax[0].I) })},
		{name: "7 channels, diode inside", source: "class figure: 2 V at 0.35 A", how: memory, low: 2, high: 2,
			get: seven(func(out []classFigure, p *Array) []classFigure { return si(out, p.ID, p.Clamp.VFMax) })},
		{name: "7 channels, all on for ever", source: "class figure: 0.1 to 0.15 A each in air of 70 C", how: memory, low: 0.1, high: 0.15,
			get: seven(func(out []classFigure, p *Array) []classFigure { return si(out, p.ID, all(p).I) })},
		{name: "MOSFET channels, on-resistance", source: "class figure: 1.5 to 3 ohm", how: memory, low: 1.5, high: 3,
			get: arrays("n-mosfet", func(out []classFigure, p *Array) []classFigure {
				last := p.VOnMax[len(p.VOnMax)-1]
				return append(out, classFigure{p.ID, float64(last.V.Value()) / float64(last.IOut.Value())})
			})},
		// What each of n channels carries for ever keeps the junction under its limit in air of 70 C.
		{name: "all channels on, heat in air of 70 C", source: "n x i x v_on x r_th_ja, with the hot factor 2.5 of a MOSFET: at most the 80 K to 150 C, and not far under", how: derived, low: 40, high: 80, factor: 1,
			get: classOf(func(c *Catalog) []Array { return c.Arrays }, func(*Array) bool { return true }, func(out []classFigure, p *Array) []classFigure {
				t := all(p)
				v := onAt(t.I.Value())(nil, p)[0].v
				if p.Output == "n-mosfet" {
					v = float64(t.I.Value()) * v / float64(p.VOnMax[slices.IndexFunc(p.VOnMax, func(o ArrayOn) bool { return o.IOut.Value() >= t.I.Value() })].IOut.Value()) * 2.5
				}
				return append(out, classFigure{p.ID, float64(*t.On) * float64(t.I.Value()) * v * float64(p.RthJA.Value())})
			})},
	}
}

func coilRows() []classRow {
	sig := "data sheet, 1-2 A signal relay"
	automotive := "data sheet of a 25 A plug-in relay and list pages of 20 A board and 30 A lamp relays, automotive: "
	return []classRow{
		{name: "must operate", source: "technical guide for general-purpose relays, Omron: 80 % at most", how: read, low: 0.5, high: 0.8, factor: 1,
			get: relays(anyRelay, func(out []classFigure, p *Relay) []classFigure { return si(out, p.ID, p.MustOperate) })},
		{name: "must release", source: "the same guide: 10 % at least; automotive list pages: 4 to 5 %", how: read, low: 0.04, high: 0.10,
			get: relays(anyRelay, func(out []classFigure, p *Relay) []classFigure { return si(out, p.ID, p.MustRelease) })},
		{name: "coil tolerance", source: sig + ": 10 %; technical guide, Omron: 15 %", how: read, low: 0.10, high: 0.15, factor: 1,
			get: relays(anyRelay, func(out []classFigure, p *Relay) []classFigure { return si(out, p.ID, p.RCoil.Tolerance) })},
		{name: "automotive must operate", source: automotive + "54 to 67 %", how: read, low: 0.54, high: 0.67, factor: 1,
			get: relays(inPackage("relay-auto-plug", "relay-auto-board"), func(out []classFigure, p *Relay) []classFigure { return si(out, p.ID, p.MustOperate) })},
		{name: "signal coil of 0.15 W, 5 V", source: sig + ": 167 ohm", how: read, low: 167, high: 167, get: relays(relayIDs("rl-5v-2a-sens"), coilOhm)},
		{name: "its must operate", source: sig + ": 80 % for the most sensitive coil", how: read, low: 0.8, high: 0.8, factor: 1,
			get: relays(relayIDs("rl-5v-2a-sens"), func(out []classFigure, p *Relay) []classFigure { return si(out, p.ID, p.MustOperate) })},
		{name: "signal coil of 0.20 W, 5 V", source: sig + ": 125 ohm", how: read, low: 125, high: 125, get: relays(relayIDs("rl-5v-2a"), coilOhm)},
		{name: "cube coil of 0.36 W, 5 V", source: "component guide for a 5 V 10 A cube relay, 2025: 70 ohm", how: read, low: 70, high: 70, get: relays(relayIDs("rl-5v-10a"), coilOhm)},
		{name: "automotive plug-in coil, 12 V", source: "data sheet, 25 A automotive plug-in relay: 75 ohm", how: read, low: 75, high: 75, get: relays(relayIDs("rl-12v-auto-30a", "rl-12v-auto-40a"), coilOhm)},
		{name: "automotive board coil, 12 V", source: "list page, 20 A automotive board relays: 160 and 220 ohm", how: read, low: 160, high: 220, get: relays(relayIDs("rl-12v-auto-20a"), coilOhm)},
		{name: "reed coil current, 5 V", source: "encyclopedia article on reed relays: about 10 mA", how: read, low: 10e-3, high: 10e-3,
			get: relays(func(p *Relay) bool { return p.Style == "reed" && p.VCoil.Value() == 5 }, func(out []classFigure, p *Relay) []classFigure {
				return append(out, classFigure{p.ID, float64(p.VCoil.Value()) / float64(p.RCoil.Nominal.Value())})
			})},
		{name: "signal operate time", source: sig + ": 4 ms", how: read, low: 4e-3, high: 4e-3, get: relays(inPackage("relay-signal"), operate)},
		{name: "signal release time", source: sig + ": 3 ms", how: read, low: 3e-3, high: 3e-3, get: relays(inPackage("relay-signal"), release)},
		{name: "power operate time", source: "specification of a module with 5 A board relays: 10 ms", how: read, low: 10e-3, high: 10e-3, get: relays(inPackage("relay-slim", "relay-cube", "relay-power"), operate)},
		{name: "power release time", source: "the same: 5 ms", how: read, low: 5e-3, high: 5e-3, get: relays(inPackage("relay-slim", "relay-cube", "relay-power"), release)},
		{name: "automotive operate time", source: automotive + "10 ms", how: read, low: 10e-3, high: 10e-3, get: relays(inPackage("relay-auto-plug", "relay-auto-board"), operate)},
		{name: "automotive release time", source: automotive + "7 and 10 ms", how: read, low: 7e-3, high: 10e-3, get: relays(inPackage("relay-auto-plug", "relay-auto-board"), release)},
		{name: "signal bounce", source: "class figure: 1 to 3 ms", how: memory, low: 1e-3, high: 3e-3, get: relays(inPackage("relay-signal"), bounce)},
		{name: "power bounce", source: "class figure: 1 to 10 ms", how: memory, low: 1e-3, high: 10e-3, get: relays(inPackage("relay-cube", "relay-power", "relay-30a", "relay-plug"), bounce)},
		{name: "reed bounce", source: "class figure: 0.2 to 0.5 ms", how: memory, low: 0.2e-3, high: 0.5e-3, get: relays(inPackage("relay-reed"), bounce)},
		{name: "coil time constant", source: "forum answer quoting a relay data sheet, elektroda.com 1062919: 12 V, 275 ohm, 2.29 H pulled in, 1.15 H released: 8.3 and 4.2 ms", how: derived, low: 4.2e-3, high: 8.3e-3,
			get: relays(inPackage("relay-slim", "relay-cube", "relay-power", "relay-30a", "relay-auto-plug", "relay-auto-board", "relay-plug"), func(out []classFigure, p *Relay) []classFigure {
				return append(out, classFigure{p.ID, float64(p.LCoilMax.Value()) / float64(p.RCoil.Nominal.Value())})
			})},
	}
}

func contactRows() []classRow {
	om := "ratings table of an enclosed 10 A switch, Omron: "
	cube := relayIDs("rl-5v-10a", "rl-12v-10a", "rl-24v-10a")
	return []classRow{
		{name: "10 A, resistive, 250 V AC", source: om + "10 A", how: read, low: 10, high: 10, get: relays(cube, ac("AC-1", 250))},
		{name: "10 A, resistive, 30 V DC", source: om + "6 A; cube relay sheets print 10 A", how: read, low: 6, high: 10, get: relays(cube, dc("DC-1", 30))},
		{name: "10 A, resistive, 60 V DC", source: om + "6 A at 30 V and 0.5 A at 125 V, straight on logarithmic scales: 1.80 A", how: derived, low: 1.8, high: 1.8, get: relays(cube, dc("DC-1", 60))},
		{name: "10 A, resistive, 110 V DC", source: "frequently asked questions on relay rating, Janus Elevator Products: not above 0.5 A; a 5 A relay sheet: 0.4 A", how: read, low: 0.3, high: 0.5, get: relays(cube, dc("DC-1", 110))},
		{name: "10 A, inductive of 7 ms, 30 V DC", source: om + "5 A", how: read, low: 5, high: 5, get: relays(cube, dc("DC-13", 30))},
		{name: "10 A, inductive of 7 ms, 110 V DC", source: om + "0.05 A at 125 V", how: read, low: 0.05, high: 0.05, get: relays(cube, dc("DC-13", 110))},
		{name: "10 A, lamp, 30 V DC", source: om + "1.5 A", how: read, low: 1.5, high: 1.5, get: relays(cube, dc("DC-6", 30))},
		{name: "10 A, lamp, 110 V DC", source: om + "0.4 A at 125 V", how: read, low: 0.4, high: 0.4, get: relays(cube, dc("DC-6", 110))},
		{name: "10 A, lamp, 250 V AC", source: om + "1.25 A", how: read, low: 1.25, high: 1.25, get: relays(cube, ac("AC-5b", 250))},
		{name: "10 A, motor, 30 V DC", source: om + "2.5 A", how: read, low: 2.5, high: 2.5, get: relays(cube, dc("DC-5", 30))},
		{name: "10 A, motor, 250 V AC", source: om + "1.5 A", how: read, low: 1.5, high: 1.5, get: relays(cube, ac("AC-3", 250))},
		{name: "10 A, lamp inrush, DC", source: om + "15 A normally open, 30 A normally closed", how: read, low: 15, high: 30, get: relays(cube, makeAt("lamp", "dc"))},
		{name: "8 A, resistive, 24 V DC", source: "motor protection relay, instruction manual, section 2.5.7, GE: 6 A", how: read, low: 6, high: 6, get: relays(relayIDs("rl-12v-8a-2c"), dc("DC-1", 24))},
		{name: "8 A, resistive, 48 V DC", source: "the same: 1.6 A", how: read, low: 1.6, high: 1.6, get: relays(relayIDs("rl-12v-8a-2c"), dc("DC-1", 48))},
		{name: "8 A, resistive, 125 V DC", source: "the same: 0.4 A", how: read, low: 0.4, high: 0.4, get: relays(relayIDs("rl-12v-8a-2c"), dc("DC-1", 125))},
		{name: "5 A, 48 V DC", source: "feeder protection relay, product guide, Tables 10 and 12, ABB: 1 A", how: read, low: 1, high: 1, get: relays(inPackage("relay-slim"), dc("DC-1", 48))},
		{name: "5 A, 110 V DC", source: "the same: 0.25 A", how: read, low: 0.25, high: 0.25, get: relays(inPackage("relay-slim"), dc("DC-1", 110))},
		{name: "lamp inrush over the steady lamp current, automotive", source: "MIL-R-5757J, 4.6.20.3: lamp test makes 12 times the steady current", how: read, low: 12, high: 12,
			get: relays(inPackage("relay-auto-plug", "relay-auto-board"), func(out []classFigure, p *Relay) []classFigure {
				steady, peak := dc("DC-6", 12)(nil, p), makeAt("lamp", "dc")(nil, p)
				if len(steady) == 1 && len(peak) == 1 {
					out = append(out, classFigure{p.ID, peak[0].v / steady[0].v})
				}
				return out
			})},
		{name: "least current, 2 A signal", source: "data sheet, 1-2 A signal relay: 1 mA at 5 V", how: read, low: 1e-3, high: 1e-3, get: relays(relayIDs("rl-5v-2a", "rl-12v-2a", "rl-24v-2a"), wettingAmp)},
		{name: "least current, gold", source: "class figure: 10 uA at 10 mV", how: memory, low: 10e-6, high: 10e-6, get: relays(relayIDs("rl-5v-1a-pin", "rl-5v-1a-sens"), wettingAmp)},
		{name: "least current, 10 A", source: "frequently asked questions on relay rating, Janus Elevator Products: 10 mA", how: read, low: 10e-3, high: 10e-3, get: relays(inPackage("relay-cube"), wettingAmp)},
		{name: "least current, 30 A", source: "list page, 30 A relay with AC coil: 100 mA", how: read, low: 0.1, high: 0.1, get: relays(inPackage("relay-30a"), wettingAmp)},
		{name: "least current, automotive", source: "list page, 20 A automotive board relays: 1 A", how: read, low: 1, high: 1, get: relays(inPackage("relay-auto-plug", "relay-auto-board"), wettingAmp)},
	}
}

func lifeRows() []classRow {
	ge := "PLC I/O manual GFK-1504N, Appendix B, GE Fanuc, output relay of 2 A: "
	slim := inPackage("relay-slim")
	small := "data sheet, 1-2 A signal relay: "
	board := "specification of a module with 5 A board relays: "
	car := "list page, 20 A automotive board relays: "
	perHour := 1.0 / 3600
	return []classRow{
		{name: "life at 250 V AC, 2 A", source: ge + "180 000", how: read, low: 180e3, high: 180e3, get: relays(slim, lifeAt("AC-1", 2))},
		{name: "life at 250 V AC, 1 A", source: ge + "500 000", how: read, low: 500e3, high: 500e3, get: relays(slim, lifeAt("AC-1", 1))},
		{name: "life at 30 V DC, 2 A", source: ge + "200 000", how: read, low: 200e3, high: 200e3, get: relays(slim, lifeAt("DC-1", 2))},
		{name: "life at 30 V DC, 0.7 A", source: ge + "1 000 000", how: read, low: 1e6, high: 1e6, get: relays(slim, lifeAt("DC-1", 0.7))},
		{name: "life at 30 V DC, inductive, 0.7 A", source: ge + "200 000", how: read, low: 200e3, high: 200e3, get: relays(slim, lifeAt("DC-13", 0.7))},
		{name: "life at 30 V DC, inductive, 0.25 A", source: ge + "500 000", how: read, low: 500e3, high: 500e3, get: relays(slim, lifeAt("DC-13", 0.25))},
		{name: "signal, mechanical life", source: small + "10 million", how: read, low: 1e7, high: 1e7, get: relays(inPackage("relay-signal"), mechanical)},
		{name: "signal, unloaded rate", source: small + "300 per minute", how: read, low: 18000 * perHour, high: 18000 * perHour, get: relays(inPackage("relay-signal"), unloadedRate)},
		{name: "signal, loaded rate", source: small + "30 per minute", how: read, low: 1800 * perHour, high: 1800 * perHour, get: relays(inPackage("relay-signal"), loadedRate)},
		{name: "signal, life at its rating", source: small + "100 000", how: read, low: 1e5, high: 1e5, get: relays(relayIDs("rl-5v-2a", "rl-12v-2a", "rl-24v-2a"), lifeAt("DC-1", 2))},
		{name: "5 A, mechanical life", source: board + "20 million", how: read, low: 2e7, high: 2e7, get: relays(slim, mechanical)},
		{name: "5 A, unloaded rate", source: board + "180 per minute", how: read, low: 10800 * perHour, high: 10800 * perHour, get: relays(slim, unloadedRate)},
		{name: "5 A, loaded rate", source: board + "20 per minute", how: read, low: 1200 * perHour, high: 1200 * perHour, get: relays(slim, loadedRate)},
		{name: "5 A, life on DC", source: board + "100 000", how: read, low: 1e5, high: 1e5, get: relays(slim, lifeAt("DC-1", 5))},
		{name: "5 A, life on AC", source: board + "50 000", how: read, low: 5e4, high: 5e4, get: relays(slim, lifeAt("AC-1", 5))},
		{name: "automotive, mechanical life", source: car + "10 million", how: read, low: 1e7, high: 1e7, get: relays(inPackage("relay-auto-board", "relay-auto-plug"), mechanical)},
		{name: "automotive, unloaded rate", source: car + "120 per minute", how: read, low: 7200 * perHour, high: 7200 * perHour, get: relays(inPackage("relay-auto-board", "relay-auto-plug"), unloadedRate)},
		{name: "automotive, loaded rate", source: car + "1 s on, 9 s off", how: derived, low: 360 * perHour, high: 360 * perHour, get: relays(inPackage("relay-auto-board", "relay-auto-plug"), loadedRate)},
		{name: "automotive, life at its rating", source: car + "100 000", how: read, low: 1e5, high: 1e5, get: relays(relayIDs("rl-12v-auto-20a"), lifeAt("DC-1", 20))},
	}
}

func isolationRows() []classRow {
	grade := func(word string) func(*Relay) bool {
		return func(p *Relay) bool { return p.Isolation.Insulation == word && p.Isolation.VWorking.Value() >= 230 }
	}
	clearance := func(out []classFigure, p *Relay) []classFigure { return si(out, p.ID, p.Isolation.Clearance) }
	creepage := func(out []classFigure, p *Relay) []classFigure { return si(out, p.ID, p.Isolation.Creepage) }
	impulse := func(out []classFigure, p *Relay) []classFigure { return si(out, p.ID, p.Isolation.VImpulse) }
	iec := "IEC 60664-1:2020, 230 V, overvoltage category II, pollution degree 2, material group IIIa, as transcribed in public design notes: "
	return []classRow{ // the high ends are ours: nothing of this size has more
		{name: "basic, clearance", source: iec + "1.5 mm at least", how: read, low: 1.5e-3, high: 10e-3, factor: 1, get: relays(grade("basic"), clearance)},
		{name: "basic, creepage", source: iec + "2.5 mm at least", how: read, low: 2.5e-3, high: 10e-3, factor: 1, get: relays(grade("basic"), creepage)},
		{name: "basic, impulse", source: iec + "2.5 kV at least", how: read, low: 2500, high: 6000, factor: 1, get: relays(grade("basic"), impulse)},
		{name: "reinforced, clearance", source: iec + "3.0 mm, category III 5.5 mm at least", how: derived, low: 5.5e-3, high: 10e-3, factor: 1, get: relays(grade("reinforced"), clearance)},
		{name: "reinforced, creepage", source: iec + "twice basic, 5.0 mm; category III 5.5 mm at least", how: derived, low: 5.5e-3, high: 10e-3, factor: 1, get: relays(grade("reinforced"), creepage)},
		{name: "reinforced, impulse", source: iec + "one step up, 4 kV; category III 6 kV at least", how: derived, low: 6000, high: 12000, factor: 1, get: relays(grade("reinforced"), impulse)},
	}
}

func diodeRows() []classRow {
	rect := "three data sheets, 1 A rectifier: "
	schottky := "three data sheets, 1 A 40 V Schottky: "
	six := "class figure, axial 6 A rectifier: "
	signal := "class figure, 0.5 W small-signal diode: "
	one := technology("rectifier", 1, 0)
	s40 := technology("schottky", 1, 40)
	tiny := technology("fast", 0.2, 75)
	return []classRow{
		{name: "1 A rectifier, forward voltage", source: rect + "1.0 to 1.1 V at most at 1 A", how: read, low: 1.0, high: 1.1, factor: 1, get: diodes(one, forward(1))},
		{name: "1 A rectifier, surge", source: rect + "30 A for 8.3 ms", how: read, low: 30, high: 30, get: diodes(one, surge)},
		{name: "1 A rectifier, leakage cold", source: rect + "5 uA", how: read, low: 5e-6, high: 5e-6, get: diodes(one, reverse(25))},
		{name: "1 A rectifier, leakage at 125 C", source: rect + "50 to 250 uA", how: read, low: 50e-6, high: 250e-6, get: diodes(one, reverse(125))},
		{name: "1 A rectifier, heat", source: rect + "45 to 100 K/W", how: read, low: 45, high: 100, get: diodes(one, func(out []classFigure, p *Diode) []classFigure { return si(out, p.ID, p.RthJA) })},
		{name: "1 A rectifier, recovery", source: "class figure: about 2 us", how: memory, low: 2e-6, high: 2e-6, get: diodes(one, recovery)},
		{name: "6 A rectifier, forward voltage at 6 A", source: six + "0.9 to 1 V", how: memory, low: 0.9, high: 1, get: diodes(technology("rectifier", 5.7, 0), forward(6))},
		{name: "6 A rectifier, forward voltage in a surge", source: six + "1.3 to 1.4 V at 100 A", how: memory, low: 1.3, high: 1.4, get: diodes(technology("rectifier", 5.7, 0), forward(100))},
		{name: "6 A rectifier, surge", source: six + "400 A for 8.3 ms", how: memory, low: 350, high: 400, get: diodes(technology("rectifier", 5.7, 0), surge)},
		{name: "1 A 40 V Schottky, forward voltage at 1 A", source: schottky + "0.6 V at most, surface mount 0.45 V", how: read, low: 0.45, high: 0.6, get: diodes(s40, forward(1))},
		{name: "1 A 40 V Schottky, forward voltage at 3 A", source: schottky + "0.9 V, surface mount 0.75 V", how: read, low: 0.75, high: 0.9, get: diodes(s40, forward(3))},
		{name: "1 A 40 V Schottky, leakage cold", source: schottky + "1 mA", how: read, low: 1e-3, high: 1e-3, get: diodes(s40, reverse(25))},
		{name: "1 A 40 V Schottky, leakage at 100 C", source: schottky + "6 mA", how: read, low: 6e-3, high: 6e-3, get: diodes(s40, reverse(100))},
		{name: "1 A 40 V Schottky, leakage at 125 C", source: schottky + "10 to 12 mA", how: read, low: 10e-3, high: 12e-3, get: diodes(s40, reverse(125))},
		{name: "1 A 40 V Schottky, surge", source: schottky + "25 to 35 A", how: read, low: 25, high: 35, get: diodes(s40, surge)},
		{name: "small signal, forward voltage at 0.2 A", source: signal + "1.0 to 1.1 V", how: memory, low: 1.0, high: 1.1, get: diodes(tiny, forward(0.2))},
		{name: "small signal, average current", source: signal + "0.15 to 0.2 A", how: memory, low: 0.15, high: 0.2,
			get: diodes(tiny, func(out []classFigure, p *Diode) []classFigure { return append(out, classFigure{p.ID, nominal(p)}) })},
		{name: "small signal, surge", source: signal + "0.5 to 1 A", how: memory, low: 0.5, high: 1, get: diodes(tiny, surge)},
		{name: "small signal, recovery", source: signal + "4 ns", how: memory, low: 4e-9, high: 4e-9, get: diodes(tiny, recovery)},
	}
}

// inrushRows are limiters, and capacitors, whose charging they limit.
func inrushRows() []classRow {
	discs := func(take func(*Limiter) bool, get func([]classFigure, *Limiter) []classFigure) func(*Catalog) []classFigure {
		return classOf(func(c *Catalog) []Limiter { return c.Limiters }, take, get)
	}
	all := func(*Limiter) bool { return true }
	cold := func(p *Limiter) float64 { return float64(p.R25.Min.Value()+p.R25.Max.Value()) / 2 }
	five := func(p *Limiter) bool { return cold(p) == 5 && p.IMax.Value() > 4 }
	capacitors := func(take func(*Capacitor) bool, get func([]classFigure, *Capacitor) []classFigure) func(*Catalog) []classFigure {
		return classOf(func(c *Catalog) []Capacitor { return c.Capacitors }, take, get)
	}
	safety := func(p *Capacitor) bool { return p.SafetyClass == "X2" }
	film := func(p *Capacitor) bool { return p.Dielectric == "film" }
	can := func(p *Capacitor) bool { return p.Dielectric == "electrolytic" }
	return []classRow{
		{name: "limiter of 5 ohm, 15 mm", source: "class figure: 5 to 7 A", how: memory, low: 5, high: 7, get: discs(five, func(out []classFigure, p *Limiter) []classFigure { return si(out, p.ID, p.IMax) })},
		{name: "what is left of 5 ohm when hot", source: "class figure: 0.1 to 0.15 ohm", how: memory, low: 0.1, high: 0.15, get: discs(five, func(out []classFigure, p *Limiter) []classFigure { return si(out, p.ID, p.RHotMax) })},
		{name: "limiter's spread when cold", source: "class figure: 15 to 20 %", how: memory, low: 0.15, high: 0.2, factor: 1.01,
			get: discs(all, func(out []classFigure, p *Limiter) []classFigure {
				return append(out, classFigure{p.ID, float64(p.R25.Max.Value())/cold(p) - 1})
			})},
		{name: "limiter's cooling", source: "class figure: time constants of 30 s (9 mm) to 90 s (15 mm)", how: memory, low: 30, high: 90, get: discs(all, func(out []classFigure, p *Limiter) []classFigure { return si(out, p.ID, p.TCool) })},
		{name: "limiter's loss at full current", source: "class figures: 15 to 25 mW/K, 150 to 200 K over the air: 2.25 to 5 W", how: derived, low: 2.25, high: 5,
			get: discs(all, func(out []classFigure, p *Limiter) []classFigure {
				return append(out, classFigure{p.ID, math.Pow(float64(p.IMax.Value()), 2) * float64(p.RHotMax.Value())})
			})},
		{name: "class X2, voltage", source: "makers' ranges under IEC 60384-14: 275 to 310 V AC", how: memory, low: 275, high: 310, factor: 1, get: capacitors(safety, func(out []classFigure, p *Capacitor) []classFigure { return si(out, p.ID, p.VACMax) })},
		{name: "class X2, slope", source: "class figure: 100 to 500 V/us, less for more capacitance", how: memory, low: 100e6, high: 500e6, get: capacitors(safety, func(out []classFigure, p *Capacitor) []classFigure { return si(out, p.ID, p.DVDtMax) })},
		{name: "film, pulse current", source: "class figure: 10 to 80 A through 100 nF to 1 uF, C dV/dt", how: memory, low: 10, high: 80,
			get: capacitors(func(p *Capacitor) bool { return film(p) && p.C.Value() >= 100e-9 }, func(out []classFigure, p *Capacitor) []classFigure {
				return append(out, classFigure{p.ID, float64(p.C.Value()) * float64(p.DVDtMax.Value())})
			})},
		{name: "film, loss", source: "metallised polypropylene at 100 kHz: tan d 0.1 to 0.5 % and some 10 mohm of leads, a maximum far above: resistance x capacitance of 30 to 300 ns", how: memory, low: 30e-9, high: 300e-9,
			get: capacitors(film, func(out []classFigure, p *Capacitor) []classFigure {
				return append(out, classFigure{p.ID, float64(p.C.Value()) * float64(p.ESRMax.Value())})
			})},
		{name: "electrolytic, loss", source: "class figure: tan d 0.12 to 0.2 at 120 Hz would be 160 to 270 us of resistance x capacitance; at 100 kHz 30 to 110 us", how: memory, low: 30e-6, high: 110e-6,
			get: capacitors(can, func(out []classFigure, p *Capacitor) []classFigure {
				return append(out, classFigure{p.ID, float64(p.C.Value()) * float64(p.ESRMax.Value())})
			})},
	}
}

func clampRows() []classRow {
	za := "data sheet, 0.5 W Zeners 6.8 to 51 V, 5 %: at most "
	zb := "data sheet, 0.5 W Zeners 2.0 to 20 V: "
	p6 := "data sheets, 600 W suppressors: "
	z24 := "class figure, 24 V stand-off, 5 %: "
	all600 := tvsOf(600, 0)
	tvs24 := tvsOf(600, 24)
	return []classRow{
		{name: "Zener drift, 12 V", source: za + "0.077 %/K", how: read, low: 0.077e-2, high: 0.077e-2, get: zeners(holds(12), drift)},
		{name: "Zener drift, 15 V", source: za + "0.082 %/K", how: read, low: 0.082e-2, high: 0.082e-2, get: zeners(holds(15), drift)},
		{name: "Zener drift, 24 V", source: za + "0.088 %/K", how: read, low: 0.088e-2, high: 0.088e-2, get: zeners(holds(24), drift)},
		{name: "Zener drift, 33 V", source: za + "0.092 %/K", how: read, low: 0.092e-2, high: 0.092e-2, get: zeners(holds(33), drift)},
		{name: "Zener drift, 5.1 V", source: zb + "-0.02 to +0.02 %/K", how: read, low: 0.02e-2, high: 0.02e-2, get: zeners(holds(5.1), drift)},
		{name: "Zener window, 5.1 V, low", source: zb + "4.8 to 5.4 V", how: read, low: 4.8, high: 5.1, factor: 1, get: zeners(holds(5.1), zenerMin)},
		{name: "Zener window, 5.1 V, high", source: zb + "4.8 to 5.4 V", how: read, low: 5.1, high: 5.4, factor: 1, get: zeners(holds(5.1), zenerMax)},
		{name: "Zener window, 12 V, low", source: zb + "11.4 to 12.7 V", how: read, low: 11.4, high: 12, factor: 1, get: zeners(holds(12), zenerMin)},
		{name: "Zener window, 12 V, high", source: zb + "11.4 to 12.7 V", how: read, low: 12, high: 12.7, factor: 1, get: zeners(holds(12), zenerMax)},
		{name: "Zener window, 15 V, low", source: zb + "13.8 to 15.6 V", how: read, low: 13.8, high: 15, factor: 1, get: zeners(holds(15), zenerMin)},
		{name: "Zener window, 15 V, high", source: zb + "13.8 to 15.6 V", how: read, low: 15, high: 15.6, factor: 1, get: zeners(holds(15), zenerMax)},
		{name: "600 W suppressor, to lead", source: p6 + "20 K/W", how: read, low: 20, high: 20, get: tvss(all600, func(out []classFigure, p *TVS) []classFigure { return si(out, p.ID, p.RthJC) })},
		{name: "600 W suppressor, to air", source: p6 + "75 to 100 K/W", how: read, low: 75, high: 100, get: tvss(all600, func(out []classFigure, p *TVS) []classFigure { return si(out, p.ID, p.RthJA) })},
		{name: "suppressor, clamping over highest breakdown", source: p6 + "6.8 V types: 10.5/7.14 = 1.47, 10.8/7.48 = 1.44", how: derived, low: 1.44, high: 1.47,
			get: tvss(anyTVS, func(out []classFigure, p *TVS) []classFigure {
				return append(out, classFigure{p.ID, float64(p.VC.Max.Value()) / float64(p.VBR.Max.Value())})
			})},
		{name: "suppressor, clamping times current is the pulse power", source: p6 + "10.5 V at 57 A and 10.8 V at 56 A: 598 and 605 W", how: derived, low: 0.99, high: 1.01, factor: 1,
			get: tvss(anyTVS, func(out []classFigure, p *TVS) []classFigure {
				return append(out, classFigure{p.ID, float64(p.VC.Max.Value()) * float64(p.VC.I.Value()) / pulseAt(p, 1e-3)})
			})},
		{name: "24 V suppressor, breakdown from", source: z24 + "26.7 to 29.5 V", how: memory, low: 26.7, high: 26.7, factor: 1.02, get: tvss(tvs24, func(out []classFigure, p *TVS) []classFigure { return si(out, p.ID, p.VBR.Min) })},
		{name: "24 V suppressor, breakdown to", source: z24 + "26.7 to 29.5 V", how: memory, low: 29.5, high: 29.5, factor: 1.02, get: tvss(tvs24, func(out []classFigure, p *TVS) []classFigure { return si(out, p.ID, p.VBR.Max) })},
		{name: "24 V suppressor, clamping", source: z24 + "38.9 V at 15.4 A", how: memory, low: 38.9, high: 38.9, factor: 1.02, get: tvss(tvs24, func(out []classFigure, p *TVS) []classFigure { return si(out, p.ID, p.VC.Max) })},
		{name: "600 W suppressor at 0.1 ms", source: "slope of the rating curves, power over the root of time: 1.9 kW", how: derived, low: 1900, high: 1900,
			get: tvss(all600, func(out []classFigure, p *TVS) []classFigure { return append(out, classFigure{p.ID, pulseAt(p, 1e-4)}) })},
		{name: "600 W suppressor at 10 ms", source: "the same: 190 W", how: derived, low: 190, high: 190,
			get: tvss(all600, func(out []classFigure, p *TVS) []classFigure {
				return append(out, classFigure{p.ID, pulseAt(p, 10e-3)})
			})},
	}
}

// ---- what hangs together in every set ----

// TestHeadlineCurrents: no MOSFET promises a case or an ambient current that its
// own junction could not bear. The formula is I = sqrt((Tj - T)/(Rth * R hot)).
func TestHeadlineCurrents(t *testing.T) {
	for i := range embeddedCatalog(t).MOSFETs {
		p := &embeddedCatalog(t).MOSFETs[i]
		if h := headline(p); h > 1+1e-9 {
			t.Errorf("%s: i_d_case25_max is %.3f times what the junction allows", p.ID, h)
		}
		r := float64(p.RDSOn[len(p.RDSOn)-1].Max.Value() * q.Ohm(p.RDSOnHot.Factor.Value()))
		most := math.Sqrt(float64(p.TjMax.Value()-25) / (float64(p.RthJA.Value()) * r))
		if v, ok := p.IDAmbient25.Get(); ok && float64(v) > most*(1+1e-9) {
			t.Errorf("%s: i_d_ambient25_max %g A, the junction allows %.3g A", p.ID, float64(v), most)
		}
	}
}

// TestSafeAreasHoldTheJunction: no corner of a safe area asks more of the
// junction than (Tj max - 25 C)/Zth of the part's own Foster ladder, and none
// more current than the part's limits.
func TestSafeAreasHoldTheJunction(t *testing.T) {
	c := embeddedCatalog(t)
	check := func(id string, h *Heat, soa []SOACurve, iMax q.Opt[q.Amp], vMax q.Volt) {
		if len(soa) == 0 {
			t.Errorf("%s: no safe area", id)
			return
		}
		if !soa[len(soa)-1].T.DC {
			t.Errorf("%s: no dc curve", id)
		}
		for _, s := range soa {
			z := float64(h.RthJC.Value())
			if !s.T.DC {
				z *= pulseFraction(h, float64(s.T.T))
			}
			for _, p := range s.Points {
				rise := float64(p.V.Value()) * float64(p.I.Value()) * z
				if limit := float64(h.TjMax.Value() - 25); rise > limit*1.001 {
					t.Errorf("%s: %s at %g V: the junction rises by %.1f K, %.1f K allowed", id, s.T.String(), float64(p.V.Value()), rise, limit)
				}
				if float64(p.I.Value()) > float64(iMax.Value())*(1+1e-9) {
					t.Errorf("%s: %s: %g A is above the part's own limit", id, s.T.String(), float64(p.I.Value()))
				}
			}
			if last := s.Points[len(s.Points)-1].V.Value(); last != vMax {
				t.Errorf("%s: %s ends at %g V, not at the rated voltage", id, s.T.String(), float64(last))
			}
		}
	}
	for i := range c.MOSFETs {
		p := &c.MOSFETs[i]
		check(p.ID, &p.Heat, p.SOA, p.IDMMax, p.VDSMax.Value())
	}
	for i := range c.BJTs {
		p := &c.BJTs[i]
		check(p.ID, &p.Heat, p.SOA, p.ICMMax, p.VCEOMax.Value())
	}
}

// TestSecondBreakdown: at the rated voltage the dc limit of a power bipolar
// transistor is well under its power line (second breakdown; Bipolar Power
// Transistor Device Data, Motorola, safe-area text: READ).
func TestSecondBreakdown(t *testing.T) {
	c := embeddedCatalog(t)
	for i := range c.BJTs {
		p := &c.BJTs[i]
		if p.ICMax.Value() < 3 || p.VCEOMax.Value() < 60 {
			continue
		}
		dcCurve := p.SOA[len(p.SOA)-1].Points
		last := dcCurve[len(dcCurve)-1]
		power := float64(last.V.Value()) * float64(last.I.Value())
		if full := float64(p.TjMax.Value()-25) / float64(p.RthJC.Value()); power > 0.6*full {
			t.Errorf("%s: %.1f W at the rated voltage, power line %.1f W", p.ID, power, full)
		}
	}
}

// TestAvalancheHoldsTheJunction: a triangular pulse of the stated energy and
// current at 1.3 times the rated voltage (common practice, no source) heats the
// junction by about 0.7 P Z(t/2); that stays near the limit.
func TestAvalancheHoldsTheJunction(t *testing.T) {
	c := embeddedCatalog(t)
	for i := range c.MOSFETs {
		p := &c.MOSFETs[i]
		if p.Avalanche == nil {
			continue
		}
		peak := 1.3 * float64(p.VDSMax.Value()) * float64(p.Avalanche.IAS.Value())
		length := 2 * float64(p.Avalanche.EAS.Value()) / peak
		rise := 0.7 * peak * float64(p.RthJC.Value()) * pulseFraction(&p.Heat, length/2)
		if limit := 1.25 * float64(p.TjMax.Value()-25); rise > limit {
			t.Errorf("%s: %.0f K in a pulse of %.0f us, %.0f K allowed", p.ID, rise, length*1e6, limit)
		}
		if p.EARMax.Known() && float64(p.EARMax.Value()) > 0.1*float64(p.Avalanche.EAS.Value()) {
			t.Errorf("%s: repeated energy above a tenth of the single pulse", p.ID)
		}
	}
}

// TestCoilsInTheirOwnWindow: at every stated ambient the highest coil voltage
// keeps the coil under its limit, at the least resistance. Copper, from 23 C:
// R(T) = R (234.5 + T)/(234.5 + t) (Temperature Considerations for DC Relays,
// TE Connectivity: READ).
func TestCoilsInTheirOwnWindow(t *testing.T) {
	c := embeddedCatalog(t)
	for i := range c.Relays {
		p := &c.Relays[i]
		for _, m := range p.VCoilMax {
			got := coilTemperature(p, float64(m.Ta.Value()), float64(m.Max.Value()))
			if limit := float64(p.TCoilMax.Value()); !(got <= limit) {
				t.Errorf("%s: %.1f C at %g C and %.0f %%, limit %g C", p.ID, got, float64(m.Ta.Value()), 100*float64(m.Max.Value()), limit)
			}
		}
		if last := p.VCoilMax[len(p.VCoilMax)-1].Ta; last.Value() < p.Ambient.Max.Value() {
			t.Errorf("%s: no coil voltage is stated at the highest ambient", p.ID)
		}
	}
}

// TestCoilsPickUpHot: on a rail of +-5 %, less 0.2 V in the driver, every relay
// pulls in again hot at 40 C: a class whose typical member did not would be
// useless.
func TestCoilsPickUpHot(t *testing.T) {
	c := embeddedCatalog(t)
	for i := range c.Relays {
		p := &c.Relays[i]
		v := float64(p.VCoil.Value())
		hot := coilTemperature(p, 40, 1.05)
		need := float64(p.MustOperate.Value()) * v * (234.5 + hot) / (234.5 + float64(p.RCoil.T.Value()))
		if got := 0.95*v - 0.2; need > got {
			t.Errorf("%s: needs %.2f V at a coil of %.1f C, gets %.2f V", p.ID, need, hot, got)
		}
	}
}

// coilTemperature solves T = Ta + Rth V^2/R(T) by bisection, for the least coil
// resistance.
func coilTemperature(p *Relay, ta, ratio float64) float64 {
	v := ratio * float64(p.VCoil.Value())
	r := float64(p.RCoil.Nominal.Value()) * (1 - float64(p.RCoil.Tolerance.Value())) / (234.5 + float64(p.RCoil.T.Value()))
	low, high := ta, ta+1000
	for range 100 {
		mid := (low + high) / 2
		if ta+float64(p.RthCoil.Value())*v*v/(r*(234.5+mid)) > mid {
			low = mid
		} else {
			high = mid
		}
	}
	return high
}

// TestDiodesBearTheirAverage: at each stated ambient the average current on the
// stated mounting keeps the junction under its limit.
func TestDiodesBearTheirAverage(t *testing.T) {
	c := embeddedCatalog(t)
	for i := range c.Diodes {
		p := &c.Diodes[i]
		for _, a := range p.IFAV {
			vf := math.NaN()
			for _, f := range p.VF {
				if f.I.Value() >= a.I.Value() {
					vf = float64(f.Max.Value())
					break
				}
			}
			rise := float64(a.I.Value()) * vf * float64(p.RthJA.Value())
			if limit := float64(p.TjMax.Value() - a.Ta.Value()); !(rise <= limit*1.001) {
				t.Errorf("%s: %.1f K at %g C, %.1f K allowed", p.ID, rise, float64(a.Ta.Value()), limit)
			}
		}
		if last := p.VF[len(p.VF)-1].I.Value(); last <= p.IFAV[0].I.Value() {
			t.Errorf("%s: v_f ends at %g A, not above the average rating", p.ID, float64(last))
		}
	}
}

// TestClampsBearTheirAverage: p_max and p_av_max on the stated mounting, and
// every pulse of a Zener on its own Foster ladder, stay under the junction limit.
func TestClampsBearTheirAverage(t *testing.T) {
	c := embeddedCatalog(t)
	for i := range c.Zeners {
		p := &c.Zeners[i]
		limit := float64(p.TjMax.Value() - 25)
		if rise := float64(p.PMax.Value()) * float64(p.RthJA.Value()); rise > limit*1.001 {
			t.Errorf("%s: p_max heats by %.0f K", p.ID, rise)
		}
		for _, u := range p.Pulse {
			if rise := float64(u.P.Value()) * float64(p.RthJC.Value()) * pulseFraction(&p.Heat, float64(u.T.Value())); rise > limit*1.001 {
				t.Errorf("%s: a pulse of %g s heats by %.0f K", p.ID, float64(u.T.Value()), rise)
			}
		}
	}
	for i := range c.TVSs {
		p := &c.TVSs[i]
		if rise := float64(p.PAvMax.Value()) * float64(p.RthJA.Value()); rise > float64(p.TjMax.Value()-25)*1.001 {
			t.Errorf("%s: p_av_max heats by %.0f K", p.ID, rise)
		}
	}
}

// TestLeakageIsStatedHot: leakage is looked up by stairs, so it must be stated
// at the full voltage and at the highest junction temperature.
func TestLeakageIsStatedHot(t *testing.T) {
	c := embeddedCatalog(t)
	for i := range c.BJTs {
		p := &c.BJTs[i]
		ok := slices.ContainsFunc(p.ICEOMax, func(l LeakCE) bool { return l.VCE == p.VCEOMax && l.Tj == p.TjMax }) &&
			slices.ContainsFunc(p.ICBOMax, func(l LeakCB) bool { return l.VCB.Value() >= p.VCEOMax.Value() && l.Tj == p.TjMax })
		if !ok {
			t.Errorf("%s: leakage at the full voltage and t_j_max is not stated", p.ID)
		}
	}
	for i := range c.MOSFETs {
		p := &c.MOSFETs[i]
		if !slices.ContainsFunc(p.IDSSMax, func(l LeakDS) bool { return l.VDS == p.VDSMax && l.Tj == p.TjMax }) {
			t.Errorf("%s: leakage at the full voltage and t_j_max is not stated", p.ID)
		}
	}
	for i := range c.Diodes {
		p := &c.Diodes[i]
		if !slices.ContainsFunc(p.IRMax, func(l LeakR) bool { return l.V == p.VRRMMax && l.Tj == p.TjMax }) {
			t.Errorf("%s: leakage at the full voltage and t_j_max is not stated", p.ID)
		}
	}
}

// TestOnResistanceConditions: each on-resistance is stated at a current that the
// worst threshold still carries well inside the ohmic region, by the square law
// I = (VGS - Vth)/(2 R).
func TestOnResistanceConditions(t *testing.T) {
	c := embeddedCatalog(t)
	for i := range c.MOSFETs {
		p := &c.MOSFETs[i]
		for _, r := range p.RDSOn {
			most := float64(r.VGS.Value()-p.VGSTh.Max.Value()) / (2 * float64(r.Max.Value()))
			if float64(r.ID.Value()) > most {
				t.Errorf("%s at %g V: stated at %g A, the square law gives %.3g A", p.ID, float64(r.VGS.Value()), float64(r.ID.Value()), most)
			}
		}
	}
}

// TestCatalogueHasEnough: the least number of each class, so that a job finds a
// choice and not one lucky part.
func TestCatalogueHasEnough(t *testing.T) {
	c := embeddedCatalog(t)
	count := map[string]int{}
	for i := range c.BJTs {
		p := &c.BJTs[i]
		word := p.Polarity
		if darlington(p) {
			word += ", darlington"
		}
		count[word]++
		if lowSaturation(p) {
			count[word+", low saturation"]++
		}
	}
	for i := range c.MOSFETs {
		low := c.MOSFETs[i].RDSOn[0].VGS.Value()
		count[c.MOSFETs[i].Channel+"-mosfet"]++
		switch {
		case c.MOSFETs[i].Channel == "p":
			count[fmt.Sprintf("p on at %g V", float64(low))]++
		case low <= 2.5:
			count["on at 2.5 V"]++
			fallthrough
		case low <= 4.5:
			count["on at 4.5 V"]++
		case low == 10:
			count["on at 10 V"]++
		}
	}
	for i := range c.Relays {
		p := &c.Relays[i]
		count["relay"]++
		count[p.Package]++
		if p.Package == "relay-cube" {
			count[fmt.Sprintf("cube %g V", float64(p.VCoil.Value()))]++
		}
		if w := float64(p.VCoil.Value()) * float64(p.VCoil.Value()) / float64(p.RCoil.Nominal.Value()); w <= 0.2 {
			count["coil of 0.2 W or less"]++
		}
		if strings.HasPrefix(p.Package, "relay-auto") && len(makeAt("lamp", "dc")(nil, p)) == 0 {
			t.Errorf("%s: no lamp make figure", p.ID)
		}
	}
	for i := range c.Diodes {
		count[c.Diodes[i].Technology]++
	}
	count["diode"], count["zener"], count["tvs"] = len(c.Diodes), len(c.Zeners), len(c.TVSs)
	count["resistor"], count["heat sink"], count["insulator"] = len(c.Resistors), len(c.HeatSinks), len(c.Insulators)
	for _, w := range []struct {
		what  string
		least int
	}{
		{"pnp", 10}, {"pnp, low saturation", 3}, {"p-mosfet", 12}, {"p on at 1.8 V", 1}, {"p on at 2.5 V", 2}, {"p on at 4.5 V", 5}, {"p on at 10 V", 3},
		{"npn", 14}, {"npn, low saturation", 5}, {"n-mosfet", 26}, {"on at 4.5 V", 14}, {"on at 2.5 V", 4}, {"on at 10 V", 8},
		{"relay", 18}, {"relay-signal", 2}, {"relay-reed", 2}, {"relay-power", 2}, {"relay-auto-plug", 1}, {"cube 5 V", 1}, {"cube 12 V", 1}, {"cube 24 V", 1}, {"coil of 0.2 W or less", 3},
		{"diode", 16}, {"rectifier", 2}, {"fast", 2}, {"schottky", 2}, {"zener", 8}, {"tvs", 8}, {"resistor", 3}, {"heat sink", 8}, {"insulator", 3},
	} {
		if count[w.what] < w.least {
			t.Errorf("%s: %d, want %d at least", w.what, count[w.what], w.least)
		}
	}
}

// TestEveryPartHasAPrice: a design without a price sorts last.
func TestEveryPartHasAPrice(t *testing.T) {
	for _, p := range embeddedCatalog(t).Parts() {
		if b := p.Base(); b.Price == nil || b.Price.Amount <= 0 {
			t.Errorf("%s: no price", b.ID)
		}
	}
}
