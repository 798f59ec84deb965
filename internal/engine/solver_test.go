package engine_test

import (
	"fmt"
	"math"
	"slices"
	"sync/atomic"
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/load"
	q "example.org/pinhoist/internal/quantity"
	"example.org/pinhoist/internal/topology"
)

// An independent judge of designs that fit: a piecewise-linear DC solver that
// knows a circuit from its netlist alone (design.Element) and a part from its
// stated figures, and nothing of how the engine found either. It is meant to be
// plain: nodes, conductances, states tried until they agree.

// network is a set of branches between named nodes. Rails and ground are fixed.
type network struct {
	fixed map[string]float64
	names []string
	g     []link
}

// link carries (Va - Vb - e)/r from a to b; gain adds that many times its
// current from c to d (a transistor's collector).
type link struct {
	a, b, c, d string
	e, r, gain float64
}

func (n *network) add(a, b string, e, r float64) int {
	n.g = append(n.g, link{a: a, b: b, e: e, r: r})
	return len(n.g) - 1
}

// feed forces a current into a node, from ground: a source behind a very large
// resistance.
func (n *network) feed(node string, amps float64) {
	const big = 1e9
	n.add(node, "ground", amps*big, big)
}

// solve returns the node voltages by nodal analysis.
func (n *network) solve() (map[string]float64, error) {
	n.names = n.names[:0]
	seen := map[string]bool{}
	for _, b := range n.g {
		for _, x := range []string{b.a, b.b, b.c, b.d} {
			if _, known := n.fixed[x]; x != "" && !known && !seen[x] {
				seen[x] = true
				n.names = append(n.names, x)
			}
		}
	}
	k := len(n.names)
	m := make([][]float64, k)
	for i := range m {
		m[i] = make([]float64, k+1)
	}
	at := func(x string) int { return slices.Index(n.names, x) }
	inject := func(node string, b link, scale float64) { // scale*(Va - Vb - e)/r leaves node
		i := at(node)
		if i < 0 {
			return
		}
		g := scale / b.r
		for _, t := range []struct {
			x string
			s float64
		}{{b.a, 1}, {b.b, -1}} {
			if v, ok := n.fixed[t.x]; ok {
				m[i][k] -= g * t.s * v
			} else {
				m[i][at(t.x)] += g * t.s
			}
		}
		m[i][k] += g * b.e
	}
	for _, b := range n.g {
		inject(b.a, b, 1)
		inject(b.b, b, -1)
		if b.gain != 0 {
			inject(b.c, b, b.gain)
			inject(b.d, b, -b.gain)
		}
	}
	for i := range k { // Gauss with pivoting
		p := i
		for j := i + 1; j < k; j++ {
			if math.Abs(m[j][i]) > math.Abs(m[p][i]) {
				p = j
			}
		}
		m[i], m[p] = m[p], m[i]
		if math.Abs(m[i][i]) < 1e-15 {
			return nil, fmt.Errorf("node %s floats", n.names[i])
		}
		for j := range k {
			if j != i {
				f := m[j][i] / m[i][i]
				for c := i; c <= k; c++ {
					m[j][c] -= f * m[i][c]
				}
			}
		}
	}
	v := map[string]float64{}
	for x, y := range n.fixed {
		v[x] = y
	}
	for i, x := range n.names {
		v[x] = m[i][k] / m[i][i]
	}
	return v, nil
}

func (n *network) current(v map[string]float64, i int) float64 {
	b := n.g[i]
	return (v[b.a] - v[b.b] - b.e) / b.r
}

// how the pin stands
type pinStand struct {
	name           string
	volts, r, leak float64 // r +Inf: not driven
}

// answer is what the solver finds of one stage in one state.
type answer struct {
	v              map[string]float64
	pin, base, out float64 // A: from the pin, into the base, through the switch
	load           float64
	on, saturated  bool
	resistor       map[string]float64 // W
	power          float64            // W, in the switch
}

const nearly = 1e-3 // ohm, what a saturated junction has beside its voltage

// solveStage solves a transistor or direct stage. vbe is the base-emitter
// voltage when on, hFE and vSat the transistor's, ron a MOSFET's resistance for a
// gate voltage (NaN: not on), ohms and emf the load, leak what the switch leaks
// into its control node, inside the resistor that it has between base and emitter.
func solveStage(d *design.Design, ps pinStand, vRail float64, spread func(design.Element) float64, vbe, hFE, vSat float64, ron func(vgs float64) float64, ohms, emf, leak, inside float64) (*answer, error) {
	type state struct{ base, out bool }
	st := state{}
	for range 20 {
		n := &network{fixed: map[string]float64{"ground": 0, "rail": vRail}}
		if math.IsInf(ps.r, 1) {
			n.feed("pin", ps.leak)
			n.add("pin", "ground", 0, 1e12)
		} else {
			n.fixed["source"] = ps.volts
			n.add("source", "pin", 0, math.Max(ps.r, nearly))
		}
		pin := len(n.g) - 1
		loadB, baseB, outB := -1, -1, -1
		var sw design.Element
		res := map[string]int{}
		for _, e := range d.Elements {
			switch {
			case e.Kind == "resistor":
				res[e.Ref] = n.add(e.Nodes[0], e.Nodes[1], 0, math.Max(nearly, e.Value*spread(e)))
			case e.Role == design.RoleLimiter: // warm, it is next to nothing beside the load
				n.add(e.Nodes[0], e.Nodes[1], 0, nearly)
			case e.Role == design.RoleLoad:
				loadB = n.add(e.Nodes[0], e.Nodes[1], emf, ohms)
			case e.Kind == "bjt" && e.Role == design.RoleSwitch:
				sw = e
				if st.base {
					baseB = n.add(e.Nodes[0], e.Nodes[2], vbe, nearly)
					if !st.out { // active: the collector carries hFE times the base
						n.g[baseB].gain, n.g[baseB].c, n.g[baseB].d = hFE, e.Nodes[1], e.Nodes[2]
					}
				}
				if st.out {
					outB = n.add(e.Nodes[1], e.Nodes[2], vSat, nearly)
				}
				n.feed(e.Nodes[0], leak)
				if inside > 0 { // the part's own resistor
					n.add(e.Nodes[0], e.Nodes[2], 0, inside)
				}
				n.add(e.Nodes[1], "ground", 0, 1e12)
			case e.Kind == "array": // hFE is the current that the input takes, vbe where it is on
				sw = e
				n.feed(e.Nodes[0], leak-hFE)
				n.add(e.Nodes[0], "ground", 0, 1e12)
				if st.out {
					outB = n.add(e.Nodes[1], e.Nodes[2], vSat, nearly)
				}
				n.add(e.Nodes[1], "ground", 0, 1e12)
			case e.Kind == "mosfet" && e.Role == design.RoleSwitch:
				sw = e
				if st.out {
					outB = n.add(e.Nodes[1], e.Nodes[2], 0, math.Max(nearly/10, vSat)) // vSat holds the last resistance
				}
				n.feed(e.Nodes[0], leak)
				n.add(e.Nodes[0], "ground", 0, 1e12)
				n.add(e.Nodes[1], "ground", 0, 1e12)
			}
		}
		v, err := n.solve()
		if err != nil {
			return nil, err
		}
		next := st
		a := &answer{v: v, pin: n.current(v, pin), resistor: map[string]float64{}}
		switch sw.Kind {
		case "bjt":
			vb := v[sw.Nodes[0]] - v[sw.Nodes[2]]
			vc := v[sw.Nodes[1]] - v[sw.Nodes[2]]
			if baseB >= 0 {
				a.base = n.current(v, baseB)
				next.base = a.base > 0
			} else {
				next.base = vb > vbe
			}
			if outB >= 0 {
				a.out = n.current(v, outB)
				a.saturated = true
				if a.out > hFE*a.base {
					next.out = false
				}
			} else if st.base && vc < vSat {
				next.out = true
			}
			if !next.base {
				next.out = false
			}
			if outB < 0 && st.base {
				a.out = hFE * a.base
			}
			a.on = next.base
			a.power = a.out*vc + a.base*vb
		case "array":
			a.base = v[sw.Nodes[0]]
			next.out = a.base >= vbe*(1-1e-9)
			if outB >= 0 {
				a.out = n.current(v, outB)
			}
			a.on, a.saturated = next.out, next.out
			a.power = a.out*vSat + math.Max(0, a.base)*hFE
		case "mosfet":
			vgs := v[sw.Nodes[0]] - v[sw.Nodes[2]]
			a.base = vgs
			r := ron(vgs)
			next.out = !math.IsNaN(r)
			if next.out && vSat != r {
				vSat = r
				st.out = false // solve again with it
			}
			if outB >= 0 {
				a.out = n.current(v, outB)
			}
			a.on, a.saturated = next.out, next.out
			a.power = a.out * a.out * vSat
		}
		if loadB >= 0 {
			a.load = n.current(v, loadB)
		}
		for ref, i := range res {
			c := n.current(v, i)
			a.resistor[ref] = c * c * n.g[i].r
		}
		if next == st {
			return a, nil
		}
		st = next
	}
	return nil, fmt.Errorf("no state agrees with itself")
}

// theLoad is a load as a resistance and an opposing voltage at rail v: the
// greatest draw at the coldest winding (up) or the least (not up), from the
// job's own figures.
func theLoad(l *load.Model, v float64, up bool, t float64) (ohms, emf float64) {
	tol, vn, i := float64(l.Tolerance), float64(l.Rail.Nom), float64(l.Current)
	s := 1 + tol
	if !up {
		s = 1 - tol
	}
	switch l.Kind {
	case job.Solenoid, job.Coil:
		r := vn / i
		if x, ok := l.R.Get(); ok {
			r = float64(x)
		}
		k := 1 - tol
		if !up {
			k = 1 + tol
		}
		return r * k * (234.5 + t) / 254.5, 0
	case job.Resistive:
		k := 1 - tol
		if !up {
			k = 1 + tol
		}
		return vn / i * k, 0
	case job.LED:
		vf := float64(l.Vf)
		if l.VfDesigned {
			return nearly, vf * (1 - map[bool]float64{true: 0.1, false: -0.1}[up])
		}
		return (vn - vf) / (i * s), vf
	case job.Electronic:
		return v * v / (vn * i * s), 0
	case job.Lamp, job.ACLamp:
		return v / (i * math.Pow(v/vn, 0.55) * s), 0
	case job.Signal, job.LogicInput:
		return v / (i * s), 0
	}
	if i == 0 {
		return 1e9, 0
	}
	return vn / (i * s), 0
}

// TestNetlistAgrees is property 9: no element of a design that fits is above its
// rating at the worst ends, and the switch is off in each of the off states.
func TestNetlistAgrees(t *testing.T) {
	var designs atomic.Int64
	pairs(t, 9, func(t testing.TB, g gen, s *study) {
		if s.d.Verdict != design.Fits {
			return
		}
		designs.Add(1)
		defer func() {
			if t.Failed() {
				t.Error(s)
			}
		}()
		rl, isRelay := s.sw.(*catalog.Relay)
		mod, isModule := s.sw.(*catalog.Module)
		switch {
		case isModule && mod.MOSFET == nil:
			boardInput(failing(t, s), s.in, mod, s.d)
			if mod.Relay != nil {
				checkContacts(failing(t, s), s.m, mod.Relay, s.d)
			} else {
				ssrOutput(failing(t, s), s.in, s.m, mod.SSR, s.d)
			}
		case isModule:
			checkModule(t, s, mod)
		case isHighSide(s.d):
			checkHighSide(t, s.in, s.m, s.d)
		case s.t.ID() == "bridge":
			checkBridge(g, s.in, s.m, s.d, failing(t, s))
		case s.t.ID() == "n-mosfet-boosted":
			checkBoosted(g, s.in, s.m, s.d, failing(t, s))
		case s.t.ID() == "ssr":
			checkSSR(t, s.in, s.env, s.m, s.sw.(*catalog.SSR), s.d)
		case isRelay && s.d.Driver != nil:
			checkContacts(failing(t, s), s.m, rl, s.d)
			switch coil := coilOf(s.env, s.m, rl, s.d); {
			case coil == nil:
			case s.d.Driver.Topology == "bridge":
				checkBridge(g, s.in, coil, s.d.Driver, failing(t, s))
			default:
				checkStage(t, s.in, coil, s.d.Driver)
			}
		case s.d.Driver == nil:
			checkStage(t, s.in, s.m, s.d)
		}
	})
	if n := designs.Load(); n < int64(pairCount(t)/10) {
		t.Errorf("only %d designs that fit were looked at", n)
	}
}

// failing reports what is wrong with a study.
func failing(t testing.TB, s *study) func(string, ...any) {
	return func(format string, args ...any) {
		t.Helper()
		t.Errorf("%s (on %.3g V, air %.0f..%.0f C, pin %.2g V): %s", s.d.Key(), s.m.VNom, s.m.TMin, s.m.TMax, float64(s.in.Job.Pin.SupplyNom), fmt.Sprintf(format, args...))
	}
}

// boardInput works the input of a board that fits out again: on by the least that it
// gets, within what it takes, and off while the pin is open or pulled up.
func boardInput(fail func(string, ...any), in *engine.Input, m *catalog.Module, d *design.Design) {
	pin := in.Job.Pin
	lo, hi := float64(pin.SupplyMin), float64(pin.SupplyMax)
	if m.InputTo == "supply" && !m.SeparateCoil && d.Choice.CoilRail != "pin" {
		fail("an input to another supply than the pin's (%s) is on while the pin has none", d.Choice.CoilRail)
	}
	down := math.Inf(1)
	if r := valueOf(d, design.RPulldown); r > 0 {
		down = r
	}
	least := 1 / (1/float64(pin.ROutMax) + 1/(0.9*down)) // of the source, in sum with the input's own
	if on := (lo*least/float64(pin.ROutMax) - float64(m.VInDrop.Max.Value())) / (least + float64(m.RIn.Max.Value())); on < 0.99*float64(m.IInOn.Min.Value()) {
		fail("its input gets %g A", on)
	}
	if most := (hi - float64(m.VInDrop.Min.Value())) / (float64(pin.ROutMin) + float64(m.RIn.Min.Value())); most > float64(m.IInOn.Max.Value())*(1+1e-9) {
		fail("its input takes %g A", most)
	}
	if m.InputTo == "ground" && (pin.AtReset == "unknown" || pin.AtReset == "pull-up") {
		v := hi
		if !math.IsInf(down, 1) {
			v *= down / (down + float64(pin.ResetPullMin))
		}
		if i := (v - float64(m.VInDrop.Min.Value())) / (float64(pin.ResetPullMin) + float64(m.RIn.Min.Value())); i > float64(m.IInOffMax.Value()) {
			fail("a pulled-up pin gives its input %g A", i)
		}
	}
}

// coilOf is the relay's coil as the load of its driver, from the part's figures.
func coilOf(env *topology.Env, m *load.Model, rl *catalog.Relay, d *design.Design) *load.Model {
	for _, e := range d.Driver.Elements {
		if e.Kind != "rail" {
			continue
		}
		for _, rail := range env.Common {
			if math.Abs(float64(rail.Nom)-e.Value) < 1e-9 {
				c := *m
				c.Kind, c.Rail, c.Mode = job.Coil, rail, "on-off"
				c.Tolerance = rl.RCoil.Tolerance.Value()
				c.Current = 1
				c.R.SetSI(float64(rl.RCoil.Nominal.Value()) * 254.5 / (234.5 + float64(rl.RCoil.T.Value())))
				c.VMin, c.VNom, c.VMax = float64(rail.Min), float64(rail.Nom), float64(rail.Max)
				return &c
			}
		}
	}
	return nil
}

func checkStage(t testing.TB, in *engine.Input, m *load.Model, d *design.Design) {
	t.Helper()
	p := in.Job.Pin
	fail := func(format string, args ...any) {
		t.Helper()
		t.Errorf("%s (%s on %.3g V, air %.0f..%.0f C, pin %.2g V): %s", d.Key(), m.Kind, m.VNom, m.TMin, m.TMax, float64(p.SupplyNom), fmt.Sprintf(format, args...))
	}
	series := func(e design.Element) *catalog.ResistorSeries {
		for i := range in.Catalog.Resistors {
			if in.Catalog.Resistors[i].ID == e.Part {
				return &in.Catalog.Resistors[i]
			}
		}
		return nil
	}
	spread := func(sign float64) func(design.Element) float64 {
		return func(e design.Element) float64 {
			if s := series(e); s != nil {
				return 1 + sign*float64(s.Tolerance.Value())
			}
			return 1
		}
	}
	mixed := func(drive, bleed float64) func(design.Element) float64 {
		return func(e design.Element) float64 {
			if e.Role == design.RolePullDown {
				return spread(bleed)(e)
			}
			return spread(drive)(e)
		}
	}
	part, _ := in.Catalog.Part(d.Part)
	bjt, _ := part.(*catalog.BJT)
	mos, _ := part.(*catalog.MOSFET)
	arr, _ := part.(*catalog.Array)
	// The resistor inside the part takes the most from its base at the weakest drive, and
	// holds it the least in all others.
	takes, holds := 0.0, 0.0
	if bjt != nil {
		takes, holds = float64(bjt.RBEIntMin.Or(bjt.RBEInternal.Or(0))), float64(bjt.RBEIntMax.Or(0))
	}
	strong := pinStand{"on, high", float64(p.SupplyMax), float64(p.ROutMin), 0}
	weak := pinStand{"on, low", float64(p.SupplyMin), float64(p.ROutMax), 0}
	low := func(ps pinStand, v float64, up bool, tAir float64, sp func(design.Element) float64, vbe, hFE, vSat float64, ron func(float64) float64, leak float64) *answer {
		ohms, emf := theLoad(m, v, up, tAir)
		inside := holds
		if ps.name == weak.name {
			inside = takes
		}
		a, err := solveStage(d, ps, v, sp, vbe, hFE, vSat, ron, ohms, emf, leak, inside)
		if err != nil {
			fail("%s: %v", ps.name, err)
			return nil
		}
		return a
	}
	never := func(float64) float64 { return math.NaN() }
	tj, duty := m.TMax, 1.0
	if m.Mode == "pwm" && m.DutyEnforced {
		duty = float64(m.Duty)
	}

	switch {
	case arr != nil:
		checkChannels(fail, in, m, d, arr, low, weak, strong, mixed, series)
	case bjt != nil:
		junctions := 1.0 // between base and emitter, each 0.5 V and more, 2 mV/K less when hot
		if *bjt.Darlington {
			junctions = 2
		}
		v25, slope := float64(bjt.VBEOnMin.Or(q.Volt(0.5*junctions))), 2e-3*junctions
		// The weakest drive must still saturate it, coldest, with its least gain at
		// the next higher stated current.
		ohms, emf := theLoad(m, m.VMax, true, m.TMin)
		for _, e := range d.Elements { // a bare LED's resistor, at its least
			if e.Role == design.RoleSeriesResistor {
				ohms += e.Value * spread(-1)(e)
			}
		}
		ic := math.Max(0, (m.VMax-emf)/ohms)
		hFE, vbeMax := 0.0, 0.0
		hFE = gainAt(bjt, ic)
		for _, s := range bjt.VBESat {
			if s.Max.Known() && float64(s.IC.Value()) >= ic {
				vbeMax = float64(s.Max.Value()) + slope*(25-m.TMin)
				break
			}
		}
		if hFE == 0 || vbeMax == 0 {
			fail("fits at %.3g A, where no gain or base voltage is stated", ic)
			return
		}
		hFE *= math.Pow(1+0.005*math.Min(0, m.TMin-25), junctions)
		if a := low(weak, m.VMax, true, m.TMin, mixed(1, -1), vbeMax, hFE, 0.05, never, 0); a != nil && !a.saturated {
			fail("out of saturation: base %.3g A, load %.3g A, gain %.0f", a.base, a.load, hFE)
		}
		// The strongest drive: pin, base, heat. The on voltage is the design's own
		// claim; the heat is worked out from it here.
		vOn := valueOf(d, design.VOn)
		a := low(strong, m.VMax, true, m.TMax, mixed(-1, 1), v25-slope*(m.TMax-25), hFE, vOn, never, 0)
		if a == nil {
			return
		}
		if a.pin > float64(p.SourceMax)*1.001 && m.Kind != job.LogicInput {
			fail("pin gives %.4g A of %.4g A", a.pin, float64(p.SourceMax))
		}
		if ib, ok := bjt.IBMax.Get(); ok && a.base > float64(ib)*1.001 {
			fail("base gets %.3g A, bears %.3g A", a.base, float64(ib))
		}
		if a.out > float64(bjt.ICMax.Value())*1.001 {
			fail("collector carries %.3g A of %.3g A", a.out, float64(bjt.ICMax.Value()))
		}
		tj = m.TMax + rthOf(in, m, d, &bjt.Common, &bjt.Heat)*duty*(vOn*a.out+a.base*v25)
		if tj > float64(bjt.TjMax.Value()) {
			fail("junction at %.0f C", tj)
		}
		checkResistors(fail, d, series, a, m.TMax)
		leak := 0.0
		for _, x := range bjt.ICBOMax {
			if float64(x.Tj.Or(25)) >= tj && float64(x.VCB.Value()) >= m.VMax {
				leak = float64(x.Max.Value())
				break
			}
		}
		for _, ps := range offStatesOf(p) {
			if a := low(ps, m.VMax, true, m.TMax, mixed(-1, 1), 9, 0, 0, never, leak); a != nil && a.v["control"] > v25-slope*(tj-25)+1e-9 {
				fail("%s: base at %.3f V, conducts from %.3f V at %.0f C", ps.name, a.v["control"], v25-slope*(tj-25), tj)
			}
		}
	case mos != nil:
		hot := 1.0
		if h := mos.RDSOnHot; h != nil {
			hot = float64(h.Factor.Value())
		}
		ron := func(vgs float64) float64 {
			best := math.NaN()
			for _, x := range mos.RDSOn {
				if x.Max.Known() && float64(x.VGS.Value()) <= vgs*(1+1e-9) && !(float64(x.Max.Value())*hot >= best) {
					best = float64(x.Max.Value()) * hot
				}
			}
			return best
		}
		if a := low(weak, m.VMax, true, m.TMin, mixed(1, -1), 0, 0, 0, ron, 0); a != nil && !a.on {
			fail("gate at %.3f V, no on-resistance is stated there", a.base)
		}
		a := low(strong, m.VMax, true, m.TMin, mixed(-1, -1), 0, 0, 0, ron, 0)
		if a == nil {
			return
		}
		if a.pin > float64(p.SourceMax)*1.001 || a.base > float64(mos.VGSMax.Value()) || a.out > float64(mos.IDCase25.Value())*1.001 {
			fail("pin %.3g A, gate %.3g V, drain %.3g A", a.pin, a.base, a.out)
		}
		w := low(weak, m.VMax, true, m.TMax, mixed(1, -1), 0, 0, 0, ron, 0)
		if w == nil || !w.on {
			return
		}
		// The solver saw the hottest on-resistance: the real one goes with the junction.
		slope := (hot - 1) / (float64(mos.RDSOnHot.Tj.Value()) - 25)
		for range 60 {
			tj = m.TMax + rthOf(in, m, d, &mos.Common, &mos.Heat)*duty*w.power/hot*math.Max(1, 1+slope*(tj-25))
		}
		if tj > float64(mos.TjMax.Value())+0.5 {
			fail("junction at %.0f C", tj)
		}
		checkResistors(fail, d, series, a, m.TMax)
		vth := float64(mos.VGSTh.Min.Value()) - float64(mos.VGSThSlope.Or(7e-3))*math.Max(0, tj-25)
		for _, ps := range offStatesOf(p) {
			if a := low(ps, m.VMax, true, m.TMax, mixed(1, 1), 0, 0, 0, never, 0); a != nil && a.v["control"] > vth+1e-9 {
				fail("%s: gate at %.3f V, threshold from %.3f V at %.0f C", ps.name, a.v["control"], vth, tj)
			}
		}
	default: // the pin itself
		a := low(strong, m.VMax, true, m.TMin, spread(-1), 0, 0, 0, never, 0)
		if a != nil && m.Kind != job.LogicInput && math.Abs(a.load) > math.Max(float64(p.SourceMax), float64(p.SinkMax))*1.001 {
			fail("pin carries %.4g A", a.load)
		}
	}
}

// checkChannels looks at the channels of an array that serve a load.
func checkChannels(fail func(string, ...any), in *engine.Input, m *load.Model, d *design.Design, p *catalog.Array,
	low func(ps pinStand, v float64, up bool, tAir float64, sp func(design.Element) float64, vbe, hFE, vSat float64, ron func(float64) float64, leak float64) *answer,
	weak, strong pinStand, mixed func(drive, bleed float64) func(design.Element) float64, series func(design.Element) *catalog.ResistorSeries) {
	at := func(i float64, n int, point func(k int) (i, v float64)) float64 {
		for k := range n {
			if pi, pv := point(k); pi >= i*(1-1e-9) {
				return pv
			}
		}
		return math.NaN()
	}
	ohms, emf := theLoad(m, m.VMax, true, m.TMin)
	for _, e := range d.Elements {
		if e.Role == design.RoleSeriesResistor {
			ohms += e.Value * 0.95
		}
	}
	i := math.Max(0, (m.VMax-emf)/ohms)
	vOn := at(i, len(p.VOnMax), func(k int) (float64, float64) {
		return float64(p.VOnMax[k].IOut.Value()), float64(p.VOnMax[k].V.Value())
	})
	vIn := at(i, len(p.VInOn), func(k int) (float64, float64) {
		return float64(p.VInOn[k].IOut.Value()), float64(p.VInOn[k].Max.Value())
	})
	if math.IsNaN(vOn) || math.IsNaN(vIn) {
		fail("fits at %.3g A, where no on voltage or input voltage is stated", i)
		return
	}
	never := func(float64) float64 { return math.NaN() }
	// It is on where at one of the stated points the source gives what the input takes.
	on := false
	for k := range p.IInMax {
		point := &p.IInMax[k]
		a := low(weak, m.VMax, true, m.TMin, mixed(1, -1), vIn, float64(point.I.Value()), vOn, never, 0)
		on = on || a != nil && a.on && float64(point.VIn.Value()) >= vIn*(1-1e-9)
	}
	if !on {
		fail("the input does not get %.3g V", vIn)
	}
	most := 0.0
	for k := len(p.IInMax) - 1; k >= 0; k-- {
		if float64(p.IInMax[k].VIn.Value()) >= strong.volts*0.5 {
			most = float64(p.IInMax[k].I.Value())
		}
	}
	a := low(strong, m.VMax, true, m.TMin, mixed(-1, -1), vIn, most, vOn, never, 0)
	if a == nil {
		return
	}
	if a.pin > float64(in.Job.Pin.SourceMax)*1.001 {
		fail("pin gives %.4g A of %.4g A", a.pin, float64(in.Job.Pin.SourceMax))
	}
	n := min(max(1, m.Quantity), *p.Channels)
	if a.out > float64(p.IOutMax.Value())*1.001 {
		fail("a channel carries %.3g A of %.3g A", a.out, float64(p.IOutMax.Value()))
	}
	duty := 1.0
	if m.Mode == "pwm" && m.DutyEnforced {
		duty = float64(m.Duty)
	}
	if tj := m.TMax + rthOf(in, m, d, &p.Common, &p.Heat)*float64(n)*duty*vOn*a.out; tj > float64(p.TjMax.Value()) {
		fail("junction at %.0f C with %d channels on", tj, n)
	}
	checkResistors(fail, d, series, a, m.TMax)
	for _, ps := range offStatesOf(in.Job.Pin) {
		a := low(ps, m.VMax, true, m.TMax, mixed(-1, 1), 9, 0, 0, never, float64(p.ILeakMax.Value()))
		if a != nil && a.base > float64(p.VInOffMax.Value())+1e-9 {
			fail("%s: input at %.3f V, off up to %.3f V", ps.name, a.base, float64(p.VInOffMax.Value()))
		}
	}
}

// gainAt is the least current gain at a collector current: on the straight line of
// the logarithms between the two stated currents around it, under the first one
// such that its base current is kept. 0: nothing is stated.
func gainAt(p *catalog.BJT, ic float64) float64 {
	i0, h0 := 0.0, 0.0
	for _, x := range p.HFE {
		if !x.Min.Known() || x.Tj.Or(25) > 25 {
			continue
		}
		i1, h1 := float64(x.IC.Value()), float64(x.Min.Value())
		switch {
		case i1 < ic*(1-1e-12):
			i0, h0 = i1, h1
			continue
		case i0 == 0:
			return h1 * ic / i1
		}
		return math.Exp(math.Log(h0) + (math.Log(h1)-math.Log(h0))*(math.Log(ic)-math.Log(i0))/(math.Log(i1)-math.Log(i0)))
	}
	return 0
}

func valueOf(d *design.Design, k design.ValueKey) float64 {
	for _, v := range d.Values {
		if v.Key == k {
			return v.V
		}
	}
	return 0
}

// rthOf is junction to air from the part, or through the design's own sink.
func rthOf(in *engine.Input, m *load.Model, d *design.Design, c *catalog.Common, h *catalog.Heat) float64 {
	if s := valueOf(d, design.HeatsinkRth); s > 0 {
		return float64(h.RthJC.Value()) + s
	}
	for i := len(h.RthJACu) - 1; i >= 0; i-- { // the most copper that the job grants
		if h.RthJACu[i].Area.Value() <= m.CopperArea {
			return float64(h.RthJACu[i].Max.Value())
		}
	}
	if v, ok := h.RthJA.Get(); ok {
		return float64(v)
	}
	return float64(in.Catalog.PackageOf(c).RthJA.Value())
}

func checkResistors(fail func(string, ...any), d *design.Design, series func(design.Element) *catalog.ResistorSeries, a *answer, ta float64) {
	for _, e := range d.Elements {
		s := series(e)
		if e.Kind != "resistor" || s == nil {
			continue
		}
		full, zero := float64(s.Derate.Full.Value()), float64(s.Derate.Zero.Value())
		bears := float64(s.PMax.Value()) * math.Min(1, math.Max(0, (zero-ta)/(zero-full)))
		if a.resistor[e.Ref] > bears*1.001 {
			fail("%s takes %.3g W, bears %.3g W", e.Ref, a.resistor[e.Ref], bears)
		}
	}
}

// offStatesOf are the states in which the load must be off.
func offStatesOf(p job.Pin) []pinStand {
	leak := float64(p.LeakageMax)
	out := []pinStand{
		{name: "pin low", volts: 0, r: float64(p.ROutMax)},
		{name: "no supply", r: math.Inf(1), leak: leak},
	}
	if p.AtReset == "floating" || p.AtReset == "unknown" {
		out = append(out, pinStand{name: "floating", r: math.Inf(1), leak: leak})
	}
	if p.AtReset == "pull-up" || p.AtReset == "unknown" {
		out = append(out, pinStand{name: "pulled up", volts: float64(p.SupplyMax), r: float64(p.ResetPullMin)})
	}
	if p.AtReset == "high" {
		out = append(out, pinStand{name: "high", volts: float64(p.SupplyMax), r: float64(p.ROutMin)})
	}
	return out
}
