package topology

import (
	"math"
	"slices"
	"testing"

	"example.org/pinhoist/internal/design"
)

// nominalIn is a value told beside.
func nominalIn(d *design.Design, key design.ValueKey) float64 {
	for _, v := range d.Nominal {
		if v.Key == key {
			return v.V
		}
	}
	return 0
}

// What edges cost, by hand. 13.2 V and 1.2222 A in a resistance, the gate behind 100 ohm and
// the pin's 40; K = 1/(32 mohm*(4.5 - 2.5) V) = 15.625 A/V2, so that 1.2222 A take 0.39553 V;
// 10.99 nC to the plateau and 0.01 nC over it.
//
//	drive    4.75*10/10.04 = 4.73108 V; threshold at 0 C 2.625 V, plateau 3.02053 V, 3.63843 nF
//	on       509.38 ns*ln(2.10608/1.71055) = 105.96 ns, and 1.4/1.71055 = 0.818 ns:
//	         16.1333 W*(2*105.96/15 + 0.818/6) ns = 230.1 nJ
//	off      junction 40 + 62*0.0541 = 43.35 C, threshold 0.90823 V, plateau 1.30376 V, 8.42947 nF:
//	         1180.1 ns*ln(1.30376/0.90823) = 426.6 ns, and 1.074 ns: 920.6 nJ
//
// The wires of a run of 5 m of 0.25 mm2 have 4e-7*5*(ln(20) + 0.25) = 6.4915 uH.
func TestEdgeEnergiesAreTold(t *testing.T) {
	of := func(text string) *design.Design {
		given := &Given{RGate: GivenResistor{Said: true, Ohms: 100}, RPulldown: GivenResistor{Said: true, Ohms: 10e3}}
		d, _ := handStage(t, handCatalog(t), text, "n-mosfet-low", "hand-n", given)
		return d
	}
	tell := func(load string) *design.Design {
		return of(strongPin + "[[load]]\nname = \"l\"\nrail = \"r\"\n" + load)
	}
	ohmic := of(workedJob("n-mosfet-low-edges"))
	winding := tell("kind = \"solenoid\"\ncurrent = \"1 A\"\ninductance = \"60 mH\"\n")
	chopped := tell("kind = \"solenoid\"\ncurrent = \"1 A\"\ninductance = \"60 mH\"\nmode = \"pwm\"\npwm_frequency = \"1 kHz\"\n")
	far := tell("kind = \"resistive\"\ncurrent = \"1 A\"\nwire_length = \"5 m\"\n")
	wantNear(t, "turning on a resistance", design.Known(nominalIn(ohmic, design.EOn)), 230.1e-9, 2e-3)
	wantNear(t, "turning it off", design.Known(nominalIn(ohmic, design.EOff)), 920.6e-9, 2e-3)
	if e := nominalIn(winding, design.EOn); e != 0 {
		t.Errorf("a winding that starts from nothing costs %g J", e)
	}
	// A chopped one is hotter, so that its threshold is lower.
	if least := nominalIn(winding, design.EOff); nominalIn(chopped, design.EOn) <= 0 || nominalIn(chopped, design.EOff) < least || nominalIn(chopped, design.EOff) > 1.1*least {
		t.Errorf("a chopped winding: %g and %g J, at a switching off %g", nominalIn(chopped, design.EOn), nominalIn(chopped, design.EOff), nominalIn(winding, design.EOff))
	}
	i := valueIn(far, design.IOn).V
	wantNear(t, "energy of the wires", design.Known(nominalIn(far, design.EWire)), 6.4914e-6*i*i/2, 1e-3)
	if !slices.Contains(far.Cautions, design.CautionWires) || slices.Contains(ohmic.Cautions, design.CautionWires) {
		t.Errorf("cautions %v with wires, %v without", far.Cautions, ohmic.Cautions)
	}
	if math.Abs(nominalIn(ohmic, design.EWire)) > 0 {
		t.Error("no wires hold energy")
	}
}

// Slow edges warm at any rate: 13.2 V and 1.2222 A lose 8.0667 W on average in each, 3000
// of both an hour 8.0667*5/6 W for every second of them. Through 105 kohm, and 40 ohm, they
// last 105.04 kohm*(10 nC + 1 nC)/(4.6 V - 3.02 V) and more.
func TestSlowEdgesWarmAtAnyRate(t *testing.T) {
	tell := func(rate string) *design.Design {
		given := &Given{RGate: GivenResistor{Said: true, Ohms: 100e3, Tol: 0.05}, RPulldown: GivenResistor{Said: true, Ohms: 10e3}}
		d, _ := handStage(t, handCatalog(t), strongPin+"[[load]]\nname = \"l\"\nrail = \"r\"\nkind = \"resistive\"\ncurrent = \"1 A\"\nswitching_rate = \""+rate+"\"\n", "n-mosfet-low", "hand-n", given)
		return d
	}
	often, seldom := tell("3000 /h"), tell("1 /h")
	edges := valueIn(often, design.TOn).V + valueIn(often, design.TOff).V
	if edges < 0.5e-3 {
		t.Fatalf("edges of %g s are not slow", edges)
	}
	p, calm := valueIn(often, design.PTotal).V, valueIn(seldom, design.PTotal).V
	// The warmer one conducts a little worse.
	if more := 0.5 * 13.2 * 1.2222 * edges * 3000 / 3600; p < calm+0.999*more || p > 1.05*calm+1.001*more {
		t.Errorf("%g W, and %g W where it seldom switches; the edges make %g W", p, calm, more)
	}
	if hot, cool := valueIn(often, design.TJunction).V, valueIn(seldom, design.TJunction).V; hot <= cool {
		t.Errorf("%g C, and %g C where it seldom switches", hot, cool)
	}
}

// Twenty metres of 2.5 mm2 that nothing clamps: 0.4 uH/m*20 m*(ln 20 + 1/4) = 25.97 uH hold
// 25.97 uH*(5 A*1.05/0.9)^2/2 = 441.8 uJ, and a drain that bears 60 V takes 60/(60 - 25.2) of
// it: 761.8 uJ, 3.809 W at 5 kHz. The stage is hotter than it may be, so that its edges are
// those of the same junction. At 1 A it is 17.67 uJ, of which a bipolar of 80 V
// takes 80/(80 - 25.2): 0.129 W; on its sink its edges hardly depend on the junction.
func TestWiresHeatTheSwitch(t *testing.T) {
	for _, c := range []struct {
		topology, part, current, built string
		want                           float64
	}{{mos, "n-60v-logic-b", "5 A", `heat_sink = "none"`, 3.809}, {darl, "npn-80v-darl-4a", "1 A", "r_base = \"220 ohm\"\nr_base_emitter = \"1 kohm\"\nheat_sink = \"hs-4\"", 0.129}} {
		lost := func(length string) float64 {
			h := hostile{rail: "24 V ± 5 %", load: "kind = \"resistive\"\nmode = \"pwm\"\npwm_frequency = \"5 kHz\"\ncurrent = \"" + c.current + "\"\nwire_length = \"" + length + "\"\nwire_area = \"2.5 mm2\"", topology: c.topology, part: c.part, built: c.built}
			d, why := h.design(t)
			if d == nil {
				t.Fatal(why)
			}
			return valueIn(d, design.PSwitching).V
		}
		near(t, c.part+" and its wires, W", lost("20 m")-lost("0 m"), c.want, 0.02)
	}
}

// Eight amperes of an inrush that software may cut in the midst of it: 25.97 uH*(8 A)^2/2 =
// 831 uJ, of which a drain that bears 60 V takes 60/(60 - 25.2): 1.4328 mJ, 0.7164 W five
// hundred times a second. The warmer part conducts a little worse, and its edges are slower.
func TestWiresOfAnInrushHeatTheSwitch(t *testing.T) {
	told := func(length string) float64 {
		h := hostile{rail: "24 V ± 5 %", load: "kind = \"resistive\"\nmode = \"pwm\"\npwm_frequency = \"500 Hz\"\ncurrent = \"1 A\"\ninrush_current = \"8 A\"\ninrush_time = \"10 us\"\nwire_length = \"" +
			length + "\"\nwire_area = \"2.5 mm2\"", topology: mos, part: "n-60v-logic-b", built: `heat_sink = "none"`}
		d, why := h.design(t)
		if d == nil {
			t.Fatal(why)
		}
		return valueIn(d, design.PTotal).V
	}
	if got := told("20 m") - told("0 m"); got < 0.999*0.7164 || got > 1.2*0.7164 {
		t.Errorf("an inrush and its wires: %g W, by hand 0.7164 W", got)
	}
}
