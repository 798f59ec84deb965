package engine_test

import (
	"fmt"
	"math"
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/load"
	q "example.org/pinhoist/internal/quantity"
)

// The independent judge of high sides: seen from the rail downwards, a high side
// is a low side. Rail and ground change places, every voltage is the rail less
// itself, and what pulls the control down is a pin that drives it up.

func isHighSide(d *design.Design) bool {
	return d.Topology == "pnp-high" || d.Topology == "p-mosfet-high"
}

// mirrored is a high side seen from its rail. The output of its level shifter is
// the pin.
func mirrored(d *design.Design) *design.Design {
	c := *d
	c.Elements = nil
	for _, e := range d.Elements {
		nodes := make([]string, len(e.Nodes))
		for i, n := range e.Nodes {
			switch n {
			case "rail":
				n = "ground"
			case "ground":
				n = "rail"
			case "shift":
				n = "pin"
			}
			nodes[i] = n
		}
		if e.Role == design.RoleLoad {
			nodes[0], nodes[1] = nodes[1], nodes[0]
		}
		e.Nodes = nodes
		c.Elements = append(c.Elements, e)
	}
	return &c
}

// lowSideOf is a level shifter as the low side that it is, and its load.
func lowSideOf(m *load.Model, d *design.Design, catalogue *catalog.Catalog) (*design.Design, *load.Model) {
	c := *d
	c.Elements = nil
	ohms := 0.0
	for _, e := range d.Elements {
		nodes := make([]string, len(e.Nodes))
		for i, n := range e.Nodes {
			nodes[i] = map[string]string{"shift": "switch", "shift-control": "control"}[n]
			if nodes[i] == "" {
				nodes[i] = n
			}
		}
		e.Nodes = nodes
		switch e.Role {
		case design.RoleShifter:
			e.Role = design.RoleSwitch
		case design.RoleLoad:
			ohms = e.Value
			e.Kind = "resistive"
		}
		c.Elements = append(c.Elements, e)
	}
	l := *m
	l.Kind, l.Mode, l.Tolerance = job.Resistive, m.Mode, 0.05 // no series of the catalogue has more
	l.Current = q.Amp(float64(m.Rail.Nom) / ohms)
	return &c, &l
}

func checkHighSide(t testing.TB, in *engine.Input, m *load.Model, d *design.Design) {
	t.Helper()
	fail := func(format string, args ...any) {
		t.Helper()
		t.Errorf("%s (%s on %.3g V, air %.0f..%.0f C): %s", d.Key(), m.Kind, m.VNom, m.TMin, m.TMax, fmt.Sprintf(format, args...))
	}
	if d.Driver != nil {
		stage, l := lowSideOf(m, d.Driver, in.Catalog)
		checkStage(t, in, l, stage)
	}
	h := highCheck{in: in, m: m, d: mirrored(d), fail: fail, direct: d.Driver == nil}
	if d.Driver != nil {
		h.drop = valueOf(d.Driver, design.VOn)
	}
	part, _ := in.Catalog.Part(d.Part)
	switch p := part.(type) {
	case *catalog.BJT:
		h.bipolar(p)
	case *catalog.MOSFET:
		h.mosfet(p)
	}
}

type highCheck struct {
	in     *engine.Input
	m      *load.Model
	d      *design.Design
	fail   func(string, ...any)
	direct bool
	drop   float64 // of the level shifter, V
}

// on is what pulls the control down with the rail at v: at its weakest, or at its
// strongest.
func (h *highCheck) on(v float64, weak bool) pinStand {
	pin := h.in.Job.Pin
	switch {
	case h.direct && weak:
		return pinStand{"on, low", v, float64(pin.ROutMax), 0}
	case h.direct:
		return pinStand{"on, high", v, float64(pin.ROutMin), 0}
	case weak:
		return pinStand{"on, low", v - h.drop*math.Max(1, v/h.m.VMin), 0, 0}
	}
	return pinStand{"on, high", v, 0, 0}
}

// off are the ways in which nothing pulls: a level shifter that leaks, a pin that
// floats.
func (h *highCheck) off(leak float64) pinStand {
	if h.direct {
		return pinStand{"floating", 0, math.Inf(1), float64(h.in.Job.Pin.LeakageMax)}
	}
	return pinStand{"level shifter off", 0, math.Inf(1), leak}
}

func (h *highCheck) spread(drive, bleed float64) func(design.Element) float64 {
	return func(e design.Element) float64 {
		tol := 0.0
		for i := range h.in.Catalog.Resistors {
			if s := &h.in.Catalog.Resistors[i]; s.ID == e.Part {
				tol = float64(s.Tolerance.Value())
			}
		}
		if e.Role == design.RolePullDown {
			return 1 + bleed*tol
		}
		return 1 + drive*tol
	}
}

func (h *highCheck) solve(ps pinStand, v, tAir float64, sp func(design.Element) float64, vbe, hFE, vSat float64, ron func(float64) float64, leak, inside float64) *answer {
	ohms, emf := theLoad(h.m, v, true, tAir)
	a, err := solveStage(h.d, ps, v, sp, vbe, hFE, vSat, ron, ohms, emf, leak, inside)
	if err != nil {
		h.fail("%s at %.3g V: %v", ps.name, v, err)
		return nil
	}
	return a
}

// shifterLeak is what the level shifter leaks at the hottest junction it may have.
func (h *highCheck) shifterLeak() float64 {
	if h.direct {
		return 0
	}
	part, _ := h.in.Catalog.Part(h.d.Driver.Part)
	hot, most := valueOf(h.d.Driver, design.TJunction), math.Inf(1)
	take := func(v, t, i float64) {
		if v >= h.m.VMax && t >= hot {
			most = math.Min(most, i)
		}
	}
	switch p := part.(type) {
	case *catalog.BJT:
		for _, x := range p.ICBOMax {
			take(float64(x.VCB.Value()), float64(x.Tj.Or(25)), float64(x.Max.Value()))
		}
		for _, x := range p.ICEOMax {
			take(float64(x.VCE.Value()), float64(x.Tj.Or(25)), float64(x.Max.Value()))
		}
	case *catalog.MOSFET:
		for _, x := range p.IDSSMax {
			take(float64(x.VDS.Value()), float64(x.Tj.Or(25)), float64(x.Max.Value()))
		}
	}
	return most
}

func (h *highCheck) never(float64) float64 { return math.NaN() }

func (h *highCheck) bipolar(p *catalog.BJT) {
	takes, inside := float64(p.RBEIntMin.Or(p.RBEInternal.Or(0))), float64(p.RBEIntMax.Or(0))
	v25 := float64(p.VBEOnMin.Or(0.5))
	for _, v := range []float64{h.m.VMin, h.m.VMax} {
		ohms, emf := theLoad(h.m, v, true, h.m.TMin)
		for _, e := range h.d.Elements {
			if e.Role == design.RoleSeriesResistor {
				ohms += e.Value * h.spread(-1, -1)(e)
			}
		}
		ic := math.Max(0, (v-emf)/ohms)
		hFE, vbeMax := gainAt(p, ic)*(1+0.005*math.Min(0, h.m.TMin-25)), 0.0
		for _, s := range p.VBESat {
			if s.Max.Known() && float64(s.IC.Value()) >= ic {
				vbeMax = float64(s.Max.Value()) + 2e-3*(25-h.m.TMin)
				break
			}
		}
		if hFE == 0 || vbeMax == 0 {
			h.fail("fits at %.3g A, where no gain or base voltage is stated", ic)
			return
		}
		if a := h.solve(h.on(v, true), v, h.m.TMin, h.spread(1, -1), vbeMax, hFE, 0.05, h.never, 0, takes); a != nil && !a.saturated {
			h.fail("out of saturation at %.3g V: base %.3g A, load %.3g A, gain %.0f", v, a.base, a.load, hFE)
		}
	}
	vOn := valueOf(h.d, design.VOn)
	a := h.solve(h.on(h.m.VMax, false), h.m.VMax, h.m.TMax, h.spread(-1, 1), v25-2e-3*(h.m.TMax-25), 1e4, vOn, h.never, 0, inside)
	if a == nil {
		return
	}
	if sink := float64(h.in.Job.Pin.SinkMax); h.direct && a.pin > sink*1.001 {
		h.fail("the pin sinks %.4g A of %.4g A", a.pin, sink)
	}
	if ib, ok := p.IBMax.Get(); ok && a.base > float64(ib)*1.001 {
		h.fail("base gets %.3g A, bears %.3g A", a.base, float64(ib))
	}
	if a.out > float64(p.ICMax.Value())*1.001 {
		h.fail("collector carries %.3g A of %.3g A", a.out, float64(p.ICMax.Value()))
	}
	tj := h.m.TMax + rthOf(h.in, h.m, h.d, &p.Common, &p.Heat)*h.duty()*(vOn*a.out+a.base*v25)
	if tj > float64(p.TjMax.Value()) {
		h.fail("junction at %.0f C", tj)
	}
	checkResistors(h.fail, h.d, h.series, a, h.m.TMax)
	leak := 0.0
	for _, x := range p.ICBOMax {
		if float64(x.Tj.Or(25)) >= tj && float64(x.VCB.Value()) >= h.m.VMax {
			leak = float64(x.Max.Value())
			break
		}
	}
	ps := h.off(h.shifterLeak())
	if a := h.solve(ps, h.m.VMax, h.m.TMax, h.spread(1, 1), 9, 0, 0, h.never, leak, inside); a != nil && a.v["control"] > v25-2e-3*(tj-25)+1e-9 {
		h.fail("%s: base at %.3f V, conducts from %.3f V at %.0f C", ps.name, a.v["control"], v25-2e-3*(tj-25), tj)
	}
}

func (h *highCheck) duty() float64 {
	if h.m.Mode == "pwm" && h.m.DutyEnforced {
		return float64(h.m.Duty)
	}
	return 1
}

func (h *highCheck) series(e design.Element) *catalog.ResistorSeries {
	for i := range h.in.Catalog.Resistors {
		if h.in.Catalog.Resistors[i].ID == e.Part {
			return &h.in.Catalog.Resistors[i]
		}
	}
	return nil
}

// zener is the most and the least that a gate clamp makes of a gate voltage.
func (h *highCheck) zener() (low, high float64) {
	low, high = math.Inf(1), math.Inf(1)
	if h.d.Choice.GateClamp == "" {
		return low, high
	}
	p, _ := h.in.Catalog.Part(h.d.Choice.GateClamp)
	z := p.(*catalog.Zener)
	drift := float64(z.TCMax.Or(0)) * (float64(z.TjMax.Value()) - 25)
	return float64(z.VZ.Min.Value()), float64(z.VZ.Max.Value()) + drift
}

func (h *highCheck) mosfet(p *catalog.MOSFET) {
	hot := float64(p.RDSOnHot.Factor.Value())
	ron := func(vgs float64) float64 {
		best := math.NaN()
		for _, x := range p.RDSOn {
			if x.Max.Known() && float64(x.VGS.Value()) <= vgs*(1+1e-9) && !(float64(x.Max.Value())*hot >= best) {
				best = float64(x.Max.Value()) * hot
			}
		}
		return best
	}
	zLow, zHigh := h.zener()
	clamped := func(vgs float64) float64 { return ron(math.Min(vgs, zLow)) }
	hottest := h.m.TMax
	rth := rthOf(h.in, h.m, h.d, &p.Common, &p.Heat)
	for _, v := range []float64{h.m.VMin, h.m.VMax} {
		w := h.solve(h.on(v, true), v, h.m.TMax, h.spread(1, -1), 0, 0, 0, clamped, 0, 0)
		if w == nil {
			continue
		}
		if !w.on {
			h.fail("gate at %.3f V with the rail at %.3g V: no on-resistance is stated there", w.base, v)
			continue
		}
		slope := (hot - 1) / (float64(p.RDSOnHot.Tj.Value()) - 25)
		tj := h.m.TMax
		for range 60 {
			tj = h.m.TMax + rth*h.duty()*w.power/hot*math.Max(1, 1+slope*(tj-25))
		}
		hottest = math.Max(hottest, tj)
	}
	if hottest > float64(p.TjMax.Value())+0.5 {
		h.fail("junction at %.0f C", hottest)
	}
	a := h.solve(h.on(h.m.VMax, false), h.m.VMax, h.m.TMin, h.spread(-1, 1), 0, 0, 0, ron, 0, 0)
	if a == nil {
		return
	}
	if vgs := math.Min(a.base, zHigh); vgs > float64(p.VGSMax.Value()) || a.out > float64(p.IDCase25.Value())*1.001 {
		h.fail("gate %.3g V, drain %.3g A", vgs, a.out)
	}
	if sink := float64(h.in.Job.Pin.SinkMax); h.direct && a.pin > sink*1.001 {
		h.fail("the pin sinks %.4g A of %.4g A", a.pin, sink)
	}
	checkResistors(h.fail, h.d, h.series, a, h.m.TMax)
	vth := float64(p.VGSTh.Min.Value()) - float64(p.VGSThSlope.Or(7e-3))*math.Max(0, hottest-25)
	ps := h.off(h.shifterLeak())
	if a := h.solve(ps, h.m.VMax, h.m.TMax, h.spread(1, 1), 0, 0, 0, h.never, float64(p.IGSSMax.Or(1e-6)), 0); a != nil && a.v["control"] > vth+1e-9 {
		h.fail("%s: gate at %.3f V, threshold from %.3f V at %.0f C", ps.name, a.v["control"], vth, hottest)
	}
}
