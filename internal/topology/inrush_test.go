package topology

import (
	"math"
	"strings"
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/device"
	"example.org/pinhoist/internal/load"
	"example.org/pinhoist/internal/thermal"
)

const inrushRail = "[environment]\nambient_min = \"0 C\"\nambient_max = \"40 C\"\n[[rail]]\nname = \"r\"\nvoltage = \"12 V\"\ntolerance = \"10 %\"\n"

// truth integrates a switch that turns a load on through its own on-resistance, warm
// from its steady load: filament or capacitor, Foster network, case to air, in small
// steps. It returns the junction at its hottest, degrees Celsius.
func truth(l *load.Model, p *catalog.MOSFET, ron, alpha, rth, start float64, step func(t, dt, r float64) float64, until float64) float64 {
	rungs := thermal.AppendRungs(nil, &p.Heat)
	ca := rth
	if len(rungs) > 0 {
		ca -= float64(p.RthJC.Or(0))
	}
	rungs = append(rungs, thermal.Rung{R: ca, Tau: 5 * thermal.CaseTau}) // no case is as quick as is assumed
	over := make([]float64, len(rungs))
	steadyP := (start - l.TMax) / rth
	for k, r := range rungs {
		over[k] = steadyP * r.R
	}
	top, tj := start, start
	dt := 1e-7
	for t := 0.0; t < until; t += dt {
		dt = math.Min(2e-5, 1e-7+t/500)
		r := ron * thermal.OnFactor(tj, alpha)
		i := step(t, dt, r)
		tj = l.TMax
		for k, u := range rungs {
			over[k] += (r*i*i*u.R - over[k]) * -math.Expm1(-dt/math.Max(u.Tau, 1e-9))
			tj += over[k]
		}
		top = math.Max(top, tj)
	}
	return top
}

// What the engine says of a junction in an inrush is not under what the circuit does,
// whose on-resistance it gives no credit: lamps of every size and capacitors, on every
// MOSFET of the catalogue that has a network.
func TestInrushHeatBoundsTheCircuit(t *testing.T) {
	cat, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	tried, limited := 0, 0
	for _, text := range []string{
		"kind = \"lamp\"\ncurrent = \"1.75 A\"\n" + rests + "# ntc-1r-9a\n",
		"kind = \"lamp\"\ncurrent = \"0.5 A\"\n" + rests + "# ntc-5r-6a\n",
		"kind = \"capacitive\"\ncurrent = \"0.2 A\"\ncapacitance = \"10 mF\"\nesr = \"20 mohm\"\n" + rests + "# ntc-2r5-8a\n",
		"kind = \"capacitive\"\ncurrent = \"0 A\"\ncapacitance = \"47 mF\"\nesr = \"20 mohm\"\n" + rests + "# ntc-1r-9a\n",
		"kind = \"lamp\"\ncurrent = \"0.2 A\"\n",
		"kind = \"lamp\"\ncurrent = \"1.75 A\"\n",
		"kind = \"lamp\"\ncurrent = \"5 A\"\ninrush_time = \"0.3 s\"\nwire_length = \"2 m\"\n",
		"kind = \"capacitive\"\ncurrent = \"0.5 A\"\ncapacitance = \"1 mF\"\nesr = \"0.3 ohm\"\n",
		"kind = \"capacitive\"\ncurrent = \"0 A\"\ncapacitance = \"10 mF\"\nesr = \"1 ohm\"\n",
	} {
		b := benchOn(t, cat, inrushRail+"[[load]]\nname = \"x\"\nrail = \"r\"\n"+text)
		l, given := b.m, &Given{HeatSink: GivenPart{Said: true}, Limiter: GivenPart{Said: true}}
		thermistor := func(float64, float64) float64 { return 0 }
		if _, id, ok := strings.Cut(strings.TrimSpace(text), "# "); ok {
			x := mustPart[*catalog.Limiter](t, b, id)
			given.Limiter.ID, l = id, b.m.Limited(x)
			if !l.Limiter.Helps {
				t.Fatalf("%s does not help %q", id, text)
			}
			thermistor = thing(x, l.TMax)
		}
		for k := range cat.MOSFETs {
			p := &cat.MOSFETs[k]
			top := nMOSFETLow{}
			if len(p.FosterJC) == 0 || k%4 != 0 || top.Serves(b.env, l, p) != "" {
				continue
			}
			d := new(design.Design)
			top.Design(b.env, b.m, p, given, d)
			c := find(d, design.JunctionTemperature, design.StageSelf)
			drive := valueIn(d, design.VGateDrive)
			if !c.Stress.OK || !drive.OK {
				continue
			}
			ron, _, point := device.OnResistance(p, drive.V, l.PeakCurrent())
			if point == nil {
				continue
			}
			alpha, _ := device.HotSlope(p)
			rth, _ := thermal.JunctionToAir(&p.Heat, cat.PackageOf(&p.Common), 0)
			start, ok := thermal.FixedPoint(l.TMax, rth, ron.V*l.IHot*l.IHot, alpha, 25, 0)
			if !ok {
				continue
			}
			var run func(t, dt, r float64) float64
			until := 0.2
			if f := l.Filament; f.R > 0 {
				u := math.Pow(f.Ratio, -1/1.2)
				last := 0.0
				run = func(t, dt, r float64) float64 {
					rf := f.R * math.Pow(u, 1.2)
					i := l.VMax / (rf + r + l.RWireMin + thermistor(t, last*last*dt))
					last = i
					u += (i*i*rf/(l.VMax*l.VMax/f.R) - math.Pow(u, 4)) * dt / f.Tau
					return i
				}
				until = 4 * f.Tau
			} else {
				farad, vc, last := float64(l.C.Or(0))*1.1, 0.0, 0.0
				until = math.Max(until, 8*farad*l.VMax/math.Max(l.Pulse.Peak, 1e-3))
				run = func(t, dt, r float64) float64 {
					loop := r + float64(l.ESR.Or(0))*0.9 + thermistor(t, last*last*dt)
					i := (l.VMax - vc) / loop
					last = i + l.IMax
					vc += (l.VMax - vc) * -math.Expm1(-dt/loop/farad)
					return i + l.IMax
				}
			}
			got := truth(l, p, ron.V, alpha, rth, start, run, until)
			tried++
			if given.Limiter.ID != "" {
				limited++
			}
			// What a Foster step of a thousandth leaves open.
			if rise := got - start; c.Stress.V-start < rise*(1-2e-3) {
				t.Errorf("%s on %s: %g C, the circuit reaches %g C (from %g C)", text, p.ID, c.Stress.V, got, start)
			}
		}
	}
	if tried < 20 || limited < 8 {
		t.Errorf("only %d stages tried, %d of them with a limiter", tried, limited)
	}
}

// thing is a thermistor of the least resistance that the part may have, with B = 3000 K and
// the heat capacity that takes e_max from 25 C to half of its hot resistance. It starts in
// air of t degrees Celsius; told the A2s since it was last asked, it tells its ohms.
func thing(p *catalog.Limiter, t float64) func(now, square float64) float64 {
	const b, room = 3000, 298.15
	cold := float64(p.R25.Min.Or(0))
	end := 1 / (1/room + math.Log(float64(p.RHotMax.Or(0))/2/cold)/b)
	capacity := float64(p.EMax.Or(0)) / (end - room)
	at := t + 273.15
	r := func() float64 { return cold * math.Exp(b*(1/at-1/room)) }
	return func(now, square float64) float64 {
		if now == 0 {
			at = t + 273.15
		}
		at += square * r() / capacity
		return r()
	}
}

// The rectangle of an inrush's peak and energy, and its stairs: both are bounds, and the
// stairs are nowhere far above the rectangle, so that the lesser of both is never far from
// either.
func TestInrushBoundsAgree(t *testing.T) {
	cat, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	for _, text := range []string{
		"kind = \"lamp\"\ncurrent = \"0.1 A\"\n", "kind = \"lamp\"\ncurrent = \"10 A\"\n",
		"kind = \"capacitive\"\ncurrent = \"1 A\"\ncapacitance = \"100 uF\"\nesr = \"0.1 ohm\"\n",
	} {
		b := benchOn(t, cat, inrushRail+"[[load]]\nname = \"x\"\nrail = \"r\"\n"+text)
		p := b.m.PulseHot
		for k := range cat.MOSFETs {
			h := &cat.MOSFETs[k].Heat
			rungs := thermal.AppendRungs(nil, h)
			if len(rungs) == 0 {
				continue
			}
			w := pathOf(h, 60, onSink{}, rungs, &p, new(path))
			bound := w.step * (p.Peak*p.Peak - p.Steady*p.Steady)
			stairs := w.falls(rungs, level{}, 1, 0)
			if stairs > bound*1.1 || stairs < bound/8 {
				t.Errorf("%s %s: stairs %g K/ohm, rectangle %g", text, cat.MOSFETs[k].ID, stairs, bound)
			}
			bound, stairs = w.step*(p.Peak-p.Steady), w.falls(rungs, level{}, 0, 1)
			if stairs > bound*1.1 {
				t.Errorf("%s %s: stairs %g K/V, rectangle %g", text, cat.MOSFETs[k].ID, stairs, bound)
			}
		}
	}
}

// What one inrush costs the switch. A stated one of 5 A for 2 ms is 25*0.002 = 0.05 A2s;
// at 150 C the 36 mohm that are stated at 4.5 V are 1.9 times that, 68.4 mohm: 3.42 mJ.
// A bipolar of 0.4 V takes that times the charge above the steady 0.05*1.1*1.1 = 0.0605 A:
// of an inrush of 0.2 A 0.1395 A, for as long as 110 uF take at 0.2 A to 13.2 V, 7.26 ms and not
// the 2 ms that are said: 1.01277 mC. A motor that nobody stops has no such figure, and a lamp
// under pwm none of its own.
func TestEnergyOfOneInrush(t *testing.T) {
	text := func(load string) string { return inrushRail + "[[load]]\nname = \"x\"\nrail = \"r\"\n" + load }
	timed := text("kind = \"capacitive\"\ncapacitance = \"100 uF\"\ncurrent = \"0.2 A\"\ninrush_current = \"5 A\"\ninrush_time = \"2 ms\"\n")
	d, _ := designOf(t, timed, nMOSFETLow{}, "n-60v-logic-so8", &Given{})
	near(t, "energy in a MOSFET", valueIn(d, design.EnergyInrush).V, 3.42e-3, 1e-9)
	d, _ = designOf(t, strings.Replace(strings.Replace(timed, "5 A", "0.2 A", 1), "\"0.2 A\"", "\"0.05 A\"", 1), npnLow{}, "npn-60v-1a", &Given{})
	near(t, "energy in a bipolar", valueIn(d, design.EnergyInrush).V, 0.4*1.01277e-3, 1e-9)
	for _, none := range []string{"kind = \"motor\"\ncurrent = \"0.5 A\"\n", "kind = \"resistive\"\ncurrent = \"0.5 A\"\n"} {
		if d, _ := designOf(t, text(none), nMOSFETLow{}, "n-60v-logic-so8", &Given{}); valueIn(d, design.EnergyInrush).OK {
			t.Errorf("%q has an energy of inrush of %v", none, valueIn(d, design.EnergyInrush))
		}
	}
}

// All heat is told, that of repeated inrushes too. 11 uF from 13.2 V through 0.45 ohm bring
// 11 uF*(13.2 V)^2/(2*0.45 ohm) = 2.1296 mA2s ten times a second, beside 0.1 A*1.1*1.1 that
// flows on: 2*0.121 A*11 uF*13.2 V = 35.1 uA2s more. In r ohm of the switch at its hottest
// that is 21.65 mW an ohm.
func TestHeatTellsInrushes(t *testing.T) {
	h := hostile{load: "kind = \"capacitive\"\ncurrent = \"0.1 A\"\ncapacitance = \"10 uF\"\nesr = \"0.5 ohm\"\nswitching_rate = \"36000 /h\"", topology: mos, part: "n-40v-logic-dpak"}
	d, why := h.design(t)
	if d == nil {
		t.Fatal(why)
	}
	cat, _ := catalog.Embedded()
	p, _ := cat.Part(h.part)
	alpha, _ := device.HotSlope(p.(*catalog.MOSFET))
	ron, _, _ := device.OnResistance(p.(*catalog.MOSFET), valueIn(d, design.VGateDrive).V, valueIn(d, design.IPeak).V)
	rest := valueIn(d, design.PTotal).V - valueIn(d, design.POn).V - valueIn(d, design.PSwitching).V
	conduct := ron.V * (1 + alpha*125) * 21.65e-3
	// Straight slopes of voltage and current, one after the other, ten times a second.
	edges := 13.2 * 29.33 / 2 * (valueIn(d, design.TOn).V + valueIn(d, design.TOff).V) * 10
	if rest < conduct || rest > 1.01*(conduct+edges) {
		t.Errorf("%g W beside what is steady: by hand %g to %g W", rest, conduct, conduct+edges)
	}
}
