package engine_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/load"
	q "example.org/pinhoist/internal/quantity"
	"example.org/pinhoist/internal/topology"
)

// checkSSR judges a solid-state relay that fits again, from its netlist and its stated
// figures: its input by nodal analysis, its output by arithmetic of its own.
func checkSSR(t testing.TB, in *engine.Input, env *topology.Env, m *load.Model, p *catalog.SSR, d *design.Design) {
	t.Helper()
	fail := func(format string, args ...any) {
		t.Helper()
		t.Errorf("%s (%s on %.3g V, air %.0f..%.0f C, pin %.2g V): %s", d.Key(), m.Kind, m.VNom, m.TMin, m.TMax, float64(in.Job.Pin.SupplyNom), fmt.Sprintf(format, args...))
	}
	if d.Driver == nil {
		ssrInput(fail, in, m, p, d)
	} else if c := inputOf(env, m, d); c != nil {
		checkStage(t, in, c, d.Driver)
	}
	ssrOutput(fail, in, m, p, d)
}

// inputOf is the input as the load of its driver.
func inputOf(env *topology.Env, m *load.Model, d *design.Design) *load.Model {
	for _, rail := range env.Common {
		if rail.Name != d.Choice.CoilRail {
			continue
		}
		c := *m
		c.Kind, c.Rail, c.Mode, c.Tolerance = job.Signal, rail, "on-off", 0
		c.Current = q.Amp(valueOf(d.Driver, design.IOn))
		c.VMin, c.VNom, c.VMax = float64(rail.Min), float64(rail.Nom), float64(rail.Max)
		return &c
	}
	return nil
}

// ssrInput solves the input on the pin itself.
func ssrInput(fail func(string, ...any), in *engine.Input, m *load.Model, p *catalog.SSR, d *design.Design) {
	pin := in.Job.Pin
	var input design.Element
	for _, e := range d.Elements {
		if e.Kind == "ssr-input" {
			input = e
		}
	}
	tol := func(e design.Element, sign float64) float64 {
		i := slices.IndexFunc(in.Catalog.Resistors, func(r catalog.ResistorSeries) bool { return r.ID == e.Part })
		if i < 0 {
			return 1
		}
		return 1 + sign*float64(in.Catalog.Resistors[i].Tolerance.Value())
	}
	led := p.Input == "led"
	// What a voltage input takes is the figure of the next higher stated voltage.
	takes := func(v float64) float64 {
		for _, x := range p.IIn {
			if float64(x.V.Value()) >= v*(1-1e-9) {
				return float64(x.Max.Value())
			}
		}
		return math.NaN()
	}
	supply, sign := float64(pin.SupplyMax), 1.0
	solve := func(ps pinStand, vf, current, drive, across float64, on bool) (volts, amps, fromPin float64) {
		n := &network{fixed: map[string]float64{"ground": 0}}
		if math.IsInf(ps.r, 1) {
			n.feed("pin", sign*ps.leak)
			n.add("pin", "ground", 0, 1e12)
		} else {
			n.fixed["source"] = ps.volts
			n.add("source", "pin", 0, math.Max(ps.r, nearly))
		}
		source := len(n.g) - 1
		for _, e := range d.Elements {
			if e.Kind == "rail" && e.Nodes[0] == "logic" {
				n.fixed["logic"] = supply
			}
			if e.Kind != "resistor" || !slices.Contains(e.Nodes, "pin") && !slices.Contains(e.Nodes, "input") && !slices.Contains(e.Nodes, "logic") {
				continue
			}
			k := drive
			if e.Role == design.RolePullDown {
				k = across
			}
			n.add(e.Nodes[0], e.Nodes[1], 0, e.Value*tol(e, k))
		}
		through := -1
		if on && led {
			through = n.add(input.Nodes[0], input.Nodes[1], vf, nearly)
		} else if on {
			n.feed(input.Nodes[0], -current)
			n.feed(input.Nodes[1], current)
		}
		n.add(input.Nodes[0], "ground", 0, 1e12)
		v, err := n.solve()
		if err != nil {
			fail("%s: %v", ps.name, err)
			return 0, 0, 0
		}
		if through >= 0 {
			amps = n.current(v, through)
		}
		return v[input.Nodes[0]] - v[input.Nodes[1]], amps, math.Abs(n.current(v, source))
	}
	limit := float64(pin.SourceMax)
	weak := pinStand{"on, low", float64(pin.SupplyMin), float64(pin.ROutMax), 0}
	strong := pinStand{"on, high", float64(pin.SupplyMax), float64(pin.ROutMin), 0}
	off1 := offStatesOf(pin)
	if pin.OpenDrain { // the pin pulls the lower end down, and is open at other times
		limit, sign = float64(pin.SinkMax), -1
		weak.volts, strong.volts = 0, 0
		off1 = []pinStand{{name: "open", r: math.Inf(1), leak: float64(pin.LeakageMax)}}
	}
	off := 0.6 * float64(p.VFMin.Or(0)) // next to nothing flows through an LED there
	if led {
		up := float64(p.VFMax.Value()) + 2e-3*math.Max(0, 25-m.TMin)
		down := float64(p.VFMin.Value()) - 2e-3*math.Max(0, m.TMax-25)
		supply = float64(pin.SupplyMin)
		if _, i, _ := solve(weak, up, 0, 1, -1, true); i < float64(p.IFOnMin.Value())*(1-1e-3) {
			fail("its LED gets %.3g A, on from %.3g A", i, float64(p.IFOnMin.Value()))
		}
		supply = float64(pin.SupplyMax)
		if _, i, all := solve(strong, down, 0, -1, 1, true); i > float64(p.IFMax.Value()) || all > limit*1.001 {
			fail("its LED gets %.3g A, the pin gives %.3g A", i, all)
		}
	} else {
		i := takes(float64(pin.SupplyMax))
		supply = float64(pin.SupplyMin)
		if v, _, _ := solve(weak, 0, i, 1, -1, true); v < float64(p.VIn.OnMin.Value())*(1-1e-3) {
			fail("its input gets %.3g V, on from %.3g V", v, float64(p.VIn.OnMin.Value()))
		}
		supply = float64(pin.SupplyMax)
		if v, _, all := solve(strong, 0, i, -1, -1, true); v > float64(p.VIn.Max.Value()) || all > limit*1.001 {
			fail("its input gets %.3g V, the pin gives %.3g A", v, all)
		}
		off = float64(p.VIn.OffMax.Value())
	}
	for _, ps := range off1 {
		if v, _, _ := solve(ps, 0, 0, -1, 1, false); v > off*(1+1e-9) {
			fail("%s: %.3f V at its input, off up to %.3f V", ps.name, v, off)
		}
	}
}

// ssrOutput asks of the output what its stated figures say.
func ssrOutput(fail func(string, ...any), in *engine.Input, m *load.Model, p *catalog.SSR, d *design.Design) {
	ac := m.Rail.AC
	thyristor := p.Output == "triac" || p.Output == "scr-pair"
	if thyristor && !ac || p.Output == "mosfet-dc" && ac {
		fail("a %s on this supply never turns off", p.Output)
		return
	}
	root := 1.0
	if ac {
		root = math.Sqrt2
	}
	if crest := root * float64(m.Rail.Max); crest > float64(p.VOut.Blocking.Value()) {
		fail("crest %.3g V, blocks %.3g V", crest, float64(p.VOut.Blocking.Value()))
	}
	most1 := float64(p.VOut.Max.Value())
	if p.Output == "mosfet-ac" && !ac { // stated in RMS
		most1 *= math.Sqrt2
	}
	if v := float64(m.Rail.Nom); v > most1*(1+1e-9) || float64(m.Rail.Min) < float64(p.VOut.Min.Value())*(1-1e-9) {
		fail("%.3g V is outside of %.3g to %.3g V", v, float64(p.VOut.Min.Value()), float64(p.VOut.Max.Value()))
	}
	ohms, emf := theLoad(m, m.VMax, true, m.TMin)
	for _, e := range d.Elements { // a bare LED's resistor, at its least
		if e.Role == design.RoleSeriesResistor && slices.Contains(e.Nodes, "led") {
			ohms += e.Value * 0.95
		}
	}
	i := math.Max(0, (m.VMax-emf)/ohms)
	if m.Kind == job.ACSupply || m.Kind == job.Electronic {
		i = float64(m.Current) * m.VNom * (1 + float64(m.Tolerance)) / m.VMin
	}
	watts := 0.0
	if thyristor {
		watts = float64(p.VOnMax.Value()) * i
	} else {
		r := math.NaN()
		for _, x := range p.ROn {
			if float64(x.ID.Value()) >= i*(1-1e-9) {
				r = float64(x.Max.Value())
			}
		}
		if math.IsNaN(r) {
			fail("fits at %.3g A, where no on-resistance is stated", i)
			return
		}
		watts = r * i * i // cold: the least of its own heat
	}
	duty := 1.0
	if m.Mode != "on-off" && m.DutyEnforced {
		duty = float64(m.Duty)
	}
	rth := rthOf(in, m, d, &p.Common, &p.Heat)
	if tj := m.TMax + rth*watts*duty; tj > float64(p.TjMax.Value()) {
		fail("junction at %.0f C", tj)
	}
	table, at := p.IOutMax, m.TMax
	most := math.NaN()
	if d.Choice.HeatSink != "" {
		at = m.TMax + watts*(rth-float64(p.RthJC.Value()))
		for _, x := range p.IOutCase {
			if float64(x.Tc.Value()) >= at-1e-9 {
				most = float64(x.I.Value())
				break
			}
		}
	} else {
		for _, x := range table {
			if float64(x.Ta.Value()) >= at-1e-9 {
				most = float64(x.I.Value())
				break
			}
		}
	}
	if !(i <= most*1.001) {
		fail("carries %.3g A of %.3g A at %.0f C", i, most, at)
	}
	if thyristor {
		low, e := theLoad(m, m.VMin, false, m.TMax)
		if least := math.Sqrt2 * (m.VMin - e) / low; m.Kind != job.ACSupply && least < float64(p.ILoadMin.Hold.Value()) {
			fail("least crest %.3g A, held from %.3g A", least, float64(p.ILoadMin.Hold.Value()))
		}
	}
	// What passes while off: the least stated figure at no lower voltage, and the snubber.
	off := math.NaN()
	for _, x := range p.ILeakMax {
		if v := float64(x.V.Value()); v >= m.VNom && !(float64(x.Max.Value()) >= off) {
			off = float64(x.Max.Value())
		}
	}
	for _, e := range d.Elements {
		if e.Kind == "capacitor" && ac {
			off += 2 * math.Pi * float64(m.Rail.Frequency) * e.Value * m.VMax
		}
	}
	if m.OffCurrent.Known && !(off <= float64(m.OffCurrent.Value)*1.001) {
		fail("%.3g A while off, the load tolerates %.3g A", off, float64(m.OffCurrent.Value))
	}
}
