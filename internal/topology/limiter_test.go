package topology

import (
	"math"
	"strings"
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/thermal"
)

const chargedJob = "[[rail]]\nname = \"r\"\nvoltage = \"24 V\"\ntolerance = \"10 %\"\n[[load]]\nname = \"x\"\nrail = \"r\"\nkind = \"capacitive\"\ncurrent = \"0.2 A\"\ncapacitance = \"2.2 mF\"\nesr = \"30 mohm\"\n"

const rests = "switching_rate = \"6 /h\"\nduty_max = \"50 %\"\n"

// designOf is a design of a part of the embedded catalogue, and its bench.
func designOf(t *testing.T, text string, top Topology, id string, given *Given) (*design.Design, bench) {
	t.Helper()
	cat, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	b := benchOn(t, cat, text)
	p, ok := cat.Part(id)
	if !ok {
		t.Fatalf("no part %s", id)
	}
	d := new(design.Design)
	top.Design(b.env, b.m, p, given, d)
	return d, b
}

func limiterIn(d *design.Design) (e design.Element) {
	for _, x := range d.Elements {
		if x.Role == design.RoleLimiter {
			e = x
		}
	}
	return e
}

// A capacitor of 2.2 mF + 10 % on 26.4 V, 0.242 A beside it, 27 mohm of its own, through
// a limiter of 8 to 12 ohm, 0.3 ohm hot, 25 J.
//
//	in air of 40 C it has 8*0.5608 = 4.4866 ohm, and bears 25*0.85 = 21.25 J
//	energy   0.00242*26.4^2/2 + 0.242*12*0.00242*26.4 = 0.8433 + 0.1855 = 1.0289 J
//	at the start, once the first step of exp(-0.05) is in: 0.8433*(1 - exp(-0.1)) + 0.1855
//	= 0.2658 J, twice of 21.25 is a share of 0.02502: 4.4866*(0.15/4.4866)^0.02502 = 4.1210 ohm
//	peak     26.4/4.1480 + 0.242 = 6.607 A (without the limiter 26.4/0.027 + 0.242 = 978 A)
func TestLimiterOfACapacitor(t *testing.T) {
	for _, x := range []struct {
		top           Topology
		part, limiter string
		price         float64
	}{{nMOSFETLow{}, "n-60v-logic-so8", "ntc-10r-3a", 0.30}, {pMOSFETHigh{}, "p-60v-logic-sot223", "ntc-22r-2a", 0.32}} {
		d, b := designOf(t, chargedJob+rests, x.top, x.part, &Given{})
		if d.Verdict != design.Fits {
			t.Fatalf("%s is %v: %+v", x.part, d.Verdict, d.Checks[d.Limiting])
		}
		e := limiterIn(d)
		if e.Part != x.limiter || d.Choice.Limiter != e.Part || e.Nodes[1] != "limited" {
			t.Fatalf("%s: limiter %+v", x.part, e)
		}
		for _, other := range d.Elements {
			if other.Ref == "LOAD" && other.Nodes[0] != "limited" {
				t.Errorf("%s: the load hangs on %v", x.part, other.Nodes)
			}
		}
		if x.limiter == "ntc-10r-3a" {
			near(t, "peak", valueIn(d, design.IPeak).V, 6.607, 1e-3)
		}
		bought := false
		for _, line := range d.BOM {
			bought = bought || line.Part == x.limiter && line.UnitPrice.V == x.price
		}
		if !bought {
			t.Errorf("%s: the limiter is not in %+v", x.part, d.BOM)
		}
		m := b.m.Limited(mustPart[*catalog.Limiter](t, b, "ntc-10r-3a"))
		near(t, "energy", m.Limiter.Energy, 1.0289, 1e-3)
		near(t, "what it bears", m.Limiter.EMax, 21.25, 1e-9)
		again := new(design.Design)
		sw, _ := b.env.Catalog.Part(x.part)
		x.top.Design(b.env, b.m, sw, Freeze(d), again)
		if again.Verdict != d.Verdict || again.Headroom != d.Headroom || again.Choice.Limiter != d.Choice.Limiter || again.Cost.Amount != d.Cost.Amount {
			t.Errorf("%s built again: %v %v %q %v, was %v %v %q %v", x.part, again.Verdict, again.Headroom, again.Choice.Limiter, again.Cost.Amount, d.Verdict, d.Headroom, d.Choice.Limiter, d.Cost.Amount)
		}
	}
}

func near(t *testing.T, what string, got, want, rel float64) {
	t.Helper()
	if d := got - want; d > rel*want || -d > rel*want {
		t.Errorf("%s = %g, by hand %g", what, got, want)
	}
}

func mustPart[P catalog.Part](t *testing.T, b bench, id string) P {
	t.Helper()
	p, ok := b.env.Catalog.Part(id)
	if !ok {
		t.Fatalf("no part %s", id)
	}
	return p.(P)
}

// A limiter that may be warm is no help: with the rate that is assumed, 600 /h, or with a
// duty that software may take to 100 %, or with 25 s off where it wants 60 s, and the quickest of all 50 s; 60 s do.
func TestLimiterMustCool(t *testing.T) {
	for _, x := range []struct {
		rests string
		helps bool
	}{
		{"", false},
		{"switching_rate = \"6 /h\"\n", false},
		{"switching_rate = \"72 /h\"\nduty_max = \"50 %\"\n", false}, // 50 s, half of them off
		{"switching_rate = \"30 /h\"\nduty_max = \"50 %\"\n", true},  // 120 s
		{"mode = \"cycle\"\nperiod = \"120 s\"\nduty_max = \"50 %\"\n", true},
		{"mode = \"cycle\"\nperiod = \"98 s\"\nduty_max = \"50 %\"\n", false},
	} {
		d, _ := designOf(t, chargedJob+x.rests, nMOSFETLow{}, "n-60v-logic-so8", &Given{})
		if got := d.Choice.Limiter != ""; got != x.helps || got != (d.Verdict == design.Fits) {
			t.Errorf("%q: limiter %q, %v", x.rests, d.Choice.Limiter, d.Verdict)
		}
		c := find(d, design.PeakCurrent, design.StageSelf)
		if told := strings.Contains(c.Because, "leave it time to cool"); told == x.helps {
			t.Errorf("%q: peak-current says %q", x.rests, c.Because)
		}
	}
}

// As built, nothing is put in that is not stated; what is stated counts, hot where it has
// no time to cool: the peak is then that without it, 26.4/0.027 + 0.242 = 978 A.
func TestLimiterAsBuilt(t *testing.T) {
	built := func(rests string, b job.Built) *design.Design {
		b.Topology, b.Part = "n-mosfet-low", "n-60v-logic-so8"
		d, bn := designOf(t, chargedJob+rests, nMOSFETLow{}, b.Part, FromBuilt(&b))
		if why := Untaken(nMOSFETLow{}, &b, bn.m); why != "" {
			t.Errorf("%+v is not taken: %s", b, why)
		}
		if why := Unheld(&b, bn.env.Catalog); why != "" {
			t.Errorf("%+v: %s", b, why)
		}
		return d
	}
	if d := built(rests, job.Built{}); d.Choice.Limiter != "" || d.Verdict != design.Over {
		t.Errorf("nothing stated: limiter %q, %v", d.Choice.Limiter, d.Verdict)
	}
	if d := built(rests, job.Built{Limiter: "ntc-10r-3a"}); d.Choice.Limiter != "ntc-10r-3a" || d.Verdict != design.Fits {
		t.Errorf("stated: limiter %q, %v", d.Choice.Limiter, d.Verdict)
	}
	d := built("", job.Built{Limiter: "ntc-10r-3a"})
	c := find(d, design.PeakCurrent, design.StageSelf)
	if d.Verdict != design.Over || !strings.Contains(c.Because, "still hot") {
		t.Errorf("started hot it is %v: %s", d.Verdict, c.Because)
	}
	near(t, "peak of a hot start", c.Stress.V, 978.0, 1e-3)

	_, b := designOf(t, "[[rail]]\nname = \"r\"\nvoltage = \"24 V\"\n[[load]]\nname = \"x\"\nrail = \"r\"\nkind = \"resistive\"\ncurrent = \"1 A\"\n", nMOSFETLow{}, "n-60v-logic-so8", &Given{})
	if why := Untaken(nMOSFETLow{}, &job.Built{Topology: "n-mosfet-low", Part: "n-60v-logic-so8", Limiter: "ntc-10r-3a"}, b.m); why == "" {
		t.Error("a limiter before a resistive load was taken in silence")
	}
	for _, id := range []string{"ntc-none-such", "n-60v-logic-so8"} {
		if why := Unheld(&job.Built{Limiter: id}, b.env.Catalog); why == "" {
			t.Errorf("%s was taken for a limiter", id)
		}
	}
}

// A limiter of which a figure is missing helps in nothing, and lets no load through: what
// it leaves of the voltage is that of a cold one, and of an unknown one nothing.
func TestLimiterWithoutAFigure(t *testing.T) {
	text := "[[rail]]\nname = \"r\"\nvoltage = \"24 V\"\ntolerance = \"10 %\"\n[[load]]\nname = \"x\"\nrail = \"r\"\nkind = \"lamp\"\ncurrent = \"0.1 A\"\n" + rests
	d, b := designOf(t, text, nMOSFETLow{}, "n-100v-logic-d2pak", &Given{Limiter: GivenPart{Said: true}})
	if d.Verdict != design.Fits {
		t.Fatalf("without a limiter: %v", d.Verdict)
	}
	whole := *mustPart[*catalog.Limiter](t, b, "ntc-22r-2a")
	for what, leave := range map[string]func(*catalog.Limiter){
		"r_25":      func(p *catalog.Limiter) { p.R25 = nil },
		"r_hot_max": func(p *catalog.Limiter) { p.RHotMax = catalog.Limiter{}.RHotMax },
		"i_max":     func(p *catalog.Limiter) { p.IMax = catalog.Limiter{}.IMax },
		"e_max":     func(p *catalog.Limiter) { p.EMax = catalog.Limiter{}.EMax },
		"t_cool":    func(p *catalog.Limiter) { p.TCool = catalog.Limiter{}.TCool },
	} {
		p := whole
		leave(&p)
		m := b.m.Limited(&p)
		// Without i_max it limits all the same: what it carries is judged by itself.
		if m.Limiter.Helps != (what == "i_max") {
			t.Errorf("without %s it helps: %v", what, m.Limiter.Helps)
		}
		s := stage{env: b.env, l: m, pol: b.env.Policy}
		if kept := s.limiterKeeps(); what == "r_25" && kept < 0.9*m.VMin || what == "i_max" && kept < 5 {
			t.Errorf("without %s it keeps %g V", what, kept)
		}
		if c := s.limiterCurrent(); what == "i_max" && c.Verdict != design.Unproven {
			t.Errorf("without %s its current is %v", what, c.Verdict)
		}
		if c := s.limiterEnergy(); (what == "e_max" || what == "r_25") && c.Verdict != design.Unproven {
			t.Errorf("without %s its energy is %v", what, c.Verdict)
		}
	}
}

// What a limiter itself cannot bear it is refused for: 3.3 A + 10 % + 10 % = 4 A through
// one of 3 A, and 50 mF of 24 V, 0.055*26.4^2/2 + 0.242*12*0.055*26.4 = 19.17 + 4.22 =
// 23.4 J into one that bears 0.7*21.25 by its policy.
func TestLimiterBearsTheLoad(t *testing.T) {
	text := strings.Replace(chargedJob, "0.2 A", "3.3 A", 1) + rests
	d, _ := designOf(t, text, nMOSFETLow{}, "n-60v-logic-so8", &Given{Limiter: GivenPart{Said: true, ID: "ntc-10r-3a"}})
	c := find(d, design.OnCurrent, design.StageSelf)
	if c.Verdict != design.Over || c.Rating.V != 3 {
		t.Errorf("4 A through a limiter of 3 A: %+v", c)
	}
	near(t, "its current", c.Stress.V, 3.3*1.1*1.1, 1e-9)
	text = strings.Replace(chargedJob, "2.2 mF", "50 mF", 1) + rests
	d, _ = designOf(t, text, nMOSFETLow{}, "n-60v-logic-so8", &Given{Limiter: GivenPart{Said: true, ID: "ntc-10r-3a"}})
	c = find(d, design.PeakCurrent, design.StageSelf)
	if c.Verdict != design.Over {
		t.Errorf("23 J into a limiter of 25 J: %+v", c)
	}
	if free, _ := designOf(t, text, nMOSFETLow{}, "n-60v-logic-so8", &Given{}); free.Choice.Limiter == "ntc-10r-3a" {
		t.Error("it was chosen all the same")
	}
}

// A lamp of 3 A on 24 V starts with 15 times its current. A limiter that lets it start
// more softly keeps some of its voltage; where nothing of this is needed, none is taken.
func TestLimiterOfALamp(t *testing.T) {
	lamp := func(amps string) string {
		return "[[rail]]\nname = \"r\"\nvoltage = \"24 V\"\ntolerance = \"10 %\"\n[[load]]\nname = \"x\"\nrail = \"r\"\nkind = \"lamp\"\ncurrent = \"" + amps + "\"\n" + rests
	}
	bare, soft := 0, 0
	cat, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	for _, amps := range []string{"0.1 A", "0.5 A", "1 A", "3 A"} {
		b := benchOn(t, cat, lamp(amps))
		for i := range cat.MOSFETs {
			p := &cat.MOSFETs[i]
			if (nMOSFETLow{}).Serves(b.env, b.m, p) != "" {
				continue
			}
			var d, none design.Design
			nMOSFETLow{}.Design(b.env, b.m, p, &Given{}, &d)
			nMOSFETLow{}.Design(b.env, b.m, p, &Given{Limiter: GivenPart{Said: true}}, &none)
			switch {
			case d.Choice.Limiter == "":
				bare++
				if d.Verdict != none.Verdict {
					t.Errorf("%s, %s: %v with nothing, %v", amps, p.ID, none.Verdict, d.Verdict)
				}
			case none.Verdict <= design.Tight:
				t.Errorf("%s, %s is %v without a limiter, and got %s", amps, p.ID, none.Verdict, d.Choice.Limiter)
			default:
				soft++
				if d.Verdict > design.Tight || !(valueIn(&d, design.IPeak).V < valueIn(&none, design.IPeak).V) || !(valueIn(&d, design.VLoad).V < valueIn(&none, design.VLoad).V) {
					t.Errorf("%s, %s with %s: %v, peak %v of %v, %v of %v V", amps, p.ID, d.Choice.Limiter, d.Verdict, valueIn(&d, design.IPeak), valueIn(&none, design.IPeak), valueIn(&d, design.VLoad), valueIn(&none, design.VLoad))
				}
			}
		}
	}
	if bare == 0 || soft == 0 {
		t.Errorf("%d stages without, %d with a limiter", bare, soft)
	}
}

// Where nobody states a capacitor's own resistance its peak is unknown, and a limiter makes
// it known: 26.4/4.1210 + 0.242 = 6.648 A with none of it.
func TestLimiterKnowsThePeak(t *testing.T) {
	text := strings.Replace(chargedJob, "esr = \"30 mohm\"\n", "", 1) + rests
	bare, _ := designOf(t, text, nMOSFETLow{}, "n-60v-logic-so8", &Given{Limiter: GivenPart{Said: true}})
	if bare.Verdict != design.Unproven {
		t.Errorf("without a limiter it is %v", bare.Verdict)
	}
	d, _ := designOf(t, text, nMOSFETLow{}, "n-60v-logic-so8", &Given{})
	if d.Verdict != design.Fits || d.Choice.Limiter != "ntc-10r-3a" {
		t.Fatalf("with %q it is %v", d.Choice.Limiter, d.Verdict)
	}
	near(t, "peak", valueIn(d, design.IPeak).V, 6.648, 1e-3)
}

// lampOn is a lamp on 12 V with a stated limiter, off long enough or not.
func lampOn(amps, rests string) string {
	return "[[rail]]\nname = \"r\"\nvoltage = \"12 V\"\ntolerance = \"5 %\"\n[[load]]\nname = \"x\"\nrail = \"r\"\nkind = \"lamp\"\ncurrent = \"" + amps + "\"\n" + rests
}

// A lamp whose inrush a limiter bears starts softly and for longer, a greater one, or one
// that starts while the limiter is warm, as if there were none. What is counted of its
// heat is not less for the worse of them.
func TestLimiterThatCountsIsNoHotter(t *testing.T) {
	for _, id := range []string{"n-40v-logic-dpak", "n-60v-logic-so8"} {
		smaller, helped, not := map[string]float64{}, 0, 0
		for _, amps := range []string{"0.2 A", "0.5 A", "1 A", "1.5 A", "2 A", "2.5 A", "3 A", "3.5 A", "4 A"} {
			cooler := 0.0
			for _, rests := range []string{rests, ""} {
				d, b := designOf(t, lampOn(amps, rests), nMOSFETLow{}, id, &Given{Limiter: GivenPart{Said: true, ID: "ntc-1r-9a"}})
				hot := find(d, design.JunctionTemperature, design.StageSelf).Stress
				if !hot.OK {
					continue
				}
				if b.m.Limited(mustPart[*catalog.Limiter](t, b, "ntc-1r-9a")).Limiter.Helps {
					helped++
				} else {
					not++
				}
				if least := math.Max(cooler, smaller[rests]); hot.V < least {
					t.Errorf("%s, lamp of %s, %q: %.1f degC, a smaller one or one that starts cool %.1f", id, amps, rests, hot.V, least)
				}
				cooler, smaller[rests] = hot.V, hot.V
			}
		}
		if helped == 0 || not == 0 {
			t.Errorf("%s: the limiter counts %d times, %d not", id, helped, not)
		}
	}
}

// What a filament's inrush heats in a resistance when something limits it, solved in small
// steps for limits of every kind, against the bound by the inrush without a limit.
func TestLimitedFilamentHeatsNoMore(t *testing.T) {
	cat, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	b := benchOn(t, cat, lampOn("3 A", rests))
	m := b.m.Limited(mustPart[*catalog.Limiter](t, b, "ntc-1r-9a"))
	h := &mustPart[*catalog.MOSFET](t, b, "n-40v-logic-dpak").Heat
	rungs := thermal.AppendRungs(nil, h)
	const r, rth = 12e-3, 80.0
	way := pathOf(h, rth, onSink{}, rungs, &m.PulseHot, new(path))
	bound := way.fallsFreely(rungs, level{}, r)
	all := append(append([]thermal.Rung(nil), rungs...), thermal.Rung{R: way.rigidAir, Tau: thermal.CaseTau})
	f, v, lit := m.Filament, m.VMax, m.IMax
	closest := 0.0
	for name, source := range map[string]func(s, ohms float64) float64{
		"no limit":      func(_, ohms float64) float64 { return v / ohms },
		"1 ohm":         func(_, ohms float64) float64 { return v / (ohms + 1) },
		"0.1 ohm":       func(_, ohms float64) float64 { return v / (ohms + 0.1) },
		"twice the lit": func(_, ohms float64) float64 { return math.Min(2*lit, v/ohms) },
		"a hair above":  func(_, ohms float64) float64 { return math.Min(1.05*lit, v/ohms) },
		"gives way":     func(s, ohms float64) float64 { return v / (ohms + 2*math.Exp(-s/20e-3)) },
		"gives way at once after 50 ms": func(s, ohms float64) float64 {
			if s < 50e-3 {
				return v / (ohms + 3)
			}
			return v / ohms
		},
	} {
		u, most := math.Pow(f.Ratio, -1/1.2), 0.0
		rise := make([]float64, len(all))
		const dt = 2e-6
		for s := 0.0; s < 1.5; s += dt {
			ohms := f.R * math.Pow(u, 1.2)
			i := source(s, ohms)
			u += (i*i*ohms/(v*v/f.R) - math.Pow(u, 4)) / f.Tau * dt
			sum := 0.0
			for k, g := range all {
				rise[k] += (r*(i*i-lit*lit)*g.R - rise[k]) * dt / g.Tau
				sum += rise[k]
			}
			most = math.Max(most, sum)
		}
		if closest = math.Max(closest, most); most > bound {
			t.Errorf("%s heats by %g K, at most %g were said", name, most, bound)
		}
	}
	if closest < 0.7*bound {
		t.Errorf("the bound of %g K is far above %g", bound, closest)
	}
}

// 10 m of wires to a small capacitor: their inductance alone may keep the peak under what a
// limiter leaves, and a limiter never raises it.
func TestLimiterNeverRaisesACharge(t *testing.T) {
	text := "[[rail]]\nname = \"r\"\nvoltage = \"5 V\"\ntolerance = \"5 %\"\n[[load]]\nname = \"x\"\nrail = \"r\"\nkind = \"capacitive\"\ncurrent = \"0.1 A\"\ncapacitance = \"150 nF\"\nesr = \"0.5 ohm\"\nwire_length = \"10 m\"\n" + rests
	cat, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	b, lower, same := benchOn(t, cat, text), 0, 0
	for i := range cat.Limiters {
		p := &cat.Limiters[i]
		m := b.m.Limited(p)
		if !m.Limiter.Helps {
			continue
		}
		switch {
		case m.PeakCurrent() > b.m.PeakCurrent():
			t.Errorf("%s: %g A, without it %g", p.ID, m.PeakCurrent(), b.m.PeakCurrent())
		case m.PeakCurrent() < b.m.PeakCurrent():
			lower++
		default:
			same++
		}
	}
	if lower == 0 || same == 0 {
		t.Errorf("%d limiters keep the peak lower, %d do not", lower, same)
	}
}
