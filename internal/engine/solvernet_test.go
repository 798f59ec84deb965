package engine_test

import (
	"maps"
	"math"
	"slices"
	"strings"
	"sync"
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/load"
)

// The independent judge of stages with several transistors: bridges, and gates that
// a driver lifts. It solves the whole netlist at once, every transistor by its own
// stated figures, and every resistor at a random end of its tolerance.

// circuit is a whole stage.
type circuit struct {
	in    *engine.Input
	m     *load.Model
	elems []design.Element
	drop  map[string]float64 // V between collector and emitter, as the design claims it
	fail  func(string, ...any)
}

// conditions are one way in which a circuit stands.
type conditions struct {
	name   string
	pins   map[string]pinStand
	rails  map[string]float64
	air    float64
	weak   bool // transistors at their weakest: they turn on late and drop much
	spread func(design.Element) float64
}

// standing is what the solver finds.
type standing struct {
	v        map[string]float64
	state    map[string]float64 // by reference: ohm of a MOSFET that is on, 1 of another part that is, 0: off
	control  map[string]float64 // V from source to gate, or emitter to base, turned to the positive
	base     map[string]float64 // A
	out      map[string]float64 // A of drain or collector
	resistor map[string]float64 // W
	pin      map[string]float64 // A out of each pin
	load     float64            // A from the first node of the load to the second
}

// wholeCircuit is a stage with its driver. What stands in both netlists counts once.
func wholeCircuit(in *engine.Input, m *load.Model, d *design.Design, fail func(string, ...any)) *circuit {
	c := &circuit{in: in, m: m, fail: fail, drop: map[string]float64{}}
	seen := map[string]bool{}
	for x := d; x != nil; x = x.Driver {
		for _, e := range x.Elements {
			drawn := e.Role == design.RoleLoad && x != d // a resistor that has its place
			if drawn || seen[e.Ref] {
				continue
			}
			seen[e.Ref] = true
			c.elems = append(c.elems, e)
			if e.Kind == "bjt" && x != d && e.Part == x.Part {
				c.drop[e.Ref] = valueOf(x, design.VOn)
			}
		}
		if x != d {
			break // its own level shifter is drawn with it
		}
	}
	return c
}

func (c *circuit) part(e design.Element) catalog.Part {
	p, _ := c.in.Catalog.Part(e.Part)
	return p
}

func (c *circuit) tolerance(e design.Element) float64 {
	for i := range c.in.Catalog.Resistors {
		if s := &c.in.Catalog.Resistors[i]; s.ID == e.Part {
			return float64(s.Tolerance.Value())
		}
	}
	return 0
}

// ends is a random end of its tolerance for every resistor.
func (c *circuit) ends(g gen) func(design.Element) float64 {
	at := map[string]float64{}
	for _, e := range c.elems {
		if e.Kind == "resistor" {
			at[e.Ref] = 1 + oneOf(g, -1.0, 1)*c.tolerance(e)
		}
	}
	return func(e design.Element) float64 { return at[e.Ref] }
}

// polarity is 1 for a transistor that a positive control turns on, else -1.
func polarity(p catalog.Part) float64 {
	switch p := p.(type) {
	case *catalog.MOSFET:
		if p.Channel == "p" {
			return -1
		}
	case *catalog.BJT:
		if p.Polarity == "pnp" {
			return -1
		}
	}
	return 1
}

// statedOn is the on-resistance that is stated at a gate voltage, ohm, NaN: none is.
func statedOn(p *catalog.MOSFET, vgs float64, weak bool) float64 {
	best := math.NaN()
	for _, x := range p.RDSOn {
		if x.Max.Known() && float64(x.VGS.Value()) <= vgs*(1+1e-9) && !(float64(x.Max.Value()) >= best) {
			best = float64(x.Max.Value())
		}
	}
	if weak && p.RDSOnHot != nil {
		best *= float64(p.RDSOnHot.Factor.Value())
	}
	return best
}

// statedLeak is the least leakage that is stated at a voltage and a junction, A, NaN:
// none is.
func statedLeak(p *catalog.MOSFET, v, hot float64) float64 {
	most := math.NaN()
	for _, x := range p.IDSSMax {
		if float64(x.VDS.Value()) >= v && float64(x.Tj.Or(25)) >= hot && !(float64(x.Max.Value()) >= most) {
			most = float64(x.Max.Value())
		}
	}
	return most
}

// onVoltage is where a base conducts, V: at the most in the cold, or at the least in
// the heat.
func onVoltage(p *catalog.BJT, c *conditions) float64 {
	if !c.weak {
		return float64(p.VBEOnMin.Or(0.5)) - 2e-3*math.Max(0, c.air-25)
	}
	most := 0.0
	for _, s := range p.VBESat {
		if s.Max.Known() && most == 0 {
			most = float64(s.Max.Value()) + 2e-3*math.Max(0, 25-c.air)
		}
	}
	return most
}

// zenerVolts is the least or the most that a gate clamp leaves, V.
func zenerVolts(p *catalog.Zener, weak bool) float64 {
	if weak {
		return float64(p.VZ.Min.Value())
	}
	return float64(p.VZ.Max.Value()) + float64(p.TCMax.Or(0))*(float64(p.TjMax.Value())-25)
}

// stand solves the circuit: transistors and gate clamps are tried on and off until all
// agree.
func (c *circuit) stand(w conditions) *standing {
	state := map[string]float64{}
	for range 40 {
		s, next := c.once(&w, state)
		if s == nil || maps.Equal(next, state) {
			return s
		}
		state = next
	}
	c.fail("%s: no state agrees with itself", w.name)
	return nil
}

// once solves the circuit in a state, and says which state that makes.
func (c *circuit) once(w *conditions, state map[string]float64) (*standing, map[string]float64) {
	n := &network{fixed: map[string]float64{"ground": 0}}
	maps.Copy(n.fixed, w.rails)
	links := map[string]int{}
	for _, node := range slices.Sorted(maps.Keys(w.pins)) {
		ps := w.pins[node]
		if math.IsInf(ps.r, 1) {
			n.feed(node, ps.leak)
			continue
		}
		n.fixed["source of "+node] = ps.volts
		links[node] = n.add("source of "+node, node, 0, math.Max(ps.r, nearly))
	}
	for _, e := range c.elems {
		c.branches(n, links, w, e, state[e.Ref])
		for _, x := range e.Nodes {
			if _, fixed := n.fixed[x]; !fixed {
				n.add(x, "ground", 0, 1e12)
			}
		}
	}
	v, err := n.solve()
	if err != nil {
		c.fail("%s: %v", w.name, err)
		return nil, nil
	}
	s := &standing{v: v, state: state, control: map[string]float64{}, base: map[string]float64{}, out: map[string]float64{}, resistor: map[string]float64{}, pin: map[string]float64{}}
	next := map[string]float64{}
	for _, e := range c.elems {
		if now := c.read(s, n, links, w, e); now != 0 {
			next[e.Ref] = now
		}
	}
	for node := range w.pins {
		if i, ok := links[node]; ok {
			s.pin[node] = n.current(v, i)
		}
	}
	return s, next
}

// branches adds an element in its state to the network.
func (c *circuit) branches(n *network, links map[string]int, w *conditions, e design.Element, state float64) {
	switch p := c.part(e).(type) {
	case *catalog.MOSFET:
		gate := float64(p.IGSSMax.Or(1e-6)) // towards off at the weakest, else towards on
		if w.weak {
			gate = -gate
		}
		n.feed(e.Nodes[0], polarity(p)*gate)
		if state > 0 {
			links[e.Ref] = n.add(e.Nodes[1], e.Nodes[2], 0, math.Max(nearly/10, state))
		} else if strings.HasPrefix(e.Nodes[1], "hold") && !w.weak {
			return // an interlock holds a drive down and never up: it need not leak
		} else if leak := statedLeak(p, w.rails["rail"], w.air); e.Role == design.RoleShifter && !math.IsNaN(leak) {
			n.feed(e.Nodes[1], -polarity(p)*leak)
			n.feed(e.Nodes[2], polarity(p)*leak)
		}
	case *catalog.BJT:
		if state == 0 {
			return
		}
		base, emitter, collector := e.Nodes[0], e.Nodes[2], e.Nodes[1]
		drop := 0.05
		if d, ok := c.drop[e.Ref]; ok && w.weak {
			drop = d
		}
		if polarity(p) > 0 {
			links["base of "+e.Ref] = n.add(base, emitter, onVoltage(p, w), nearly)
			links[e.Ref] = n.add(collector, emitter, drop, nearly)
		} else {
			links["base of "+e.Ref] = n.add(emitter, base, onVoltage(p, w), nearly)
			links[e.Ref] = n.add(emitter, collector, drop, nearly)
		}
	case *catalog.Zener:
		if state > 0 { // from the rail to the gate below it
			links[e.Ref] = n.add(e.Nodes[1], e.Nodes[0], zenerVolts(p, w.weak), nearly)
		}
	case *catalog.ResistorSeries:
		links[e.Ref] = n.add(e.Nodes[0], e.Nodes[1], 0, math.Max(nearly, e.Value*w.spread(e)))
	}
	if e.Role == design.RoleLimiter { // warm, it is next to nothing beside the load
		n.add(e.Nodes[0], e.Nodes[1], 0, nearly)
	}
	if e.Role == design.RoleLoad {
		ohms, emf := theLoad(c.m, w.rails["rail"], true, w.air)
		links[e.Ref] = n.add(e.Nodes[0], e.Nodes[1], emf, ohms)
	}
}

// read takes an element's figures from the solved network, and its next state.
func (c *circuit) read(s *standing, n *network, links map[string]int, w *conditions, e design.Element) float64 {
	i, linked := links[e.Ref]
	current := 0.0
	if linked {
		current = n.current(s.v, i)
	}
	if e.Role == design.RoleLoad {
		s.load = current
		return 0
	}
	on := false
	switch p := c.part(e).(type) {
	case *catalog.MOSFET:
		s.control[e.Ref], s.out[e.Ref] = polarity(p)*(s.v[e.Nodes[0]]-s.v[e.Nodes[2]]), math.Abs(current)
		if ron := statedOn(p, s.control[e.Ref], w.weak); !math.IsNaN(ron) {
			return ron
		}
	case *catalog.BJT:
		s.control[e.Ref], s.out[e.Ref] = polarity(p)*(s.v[e.Nodes[0]]-s.v[e.Nodes[2]]), math.Abs(current)
		if b, ok := links["base of "+e.Ref]; ok {
			s.base[e.Ref] = n.current(s.v, b)
			on = s.base[e.Ref] > 0
		} else {
			on = s.control[e.Ref] > onVoltage(p, w)
		}
	case *catalog.Zener:
		on = linked && current > 0 || !linked && s.v[e.Nodes[1]]-s.v[e.Nodes[0]] > zenerVolts(p, w.weak)
	case *catalog.ResistorSeries:
		s.resistor[e.Ref] = current * current * n.g[i].r
	}
	if on {
		return 1
	}
	return 0
}

// pinAt is a pin at one of its levels, at the weak or the strong end.
func pinAt(p *job.Pin, high, weak bool) pinStand {
	switch {
	case high && weak:
		return pinStand{"high", float64(p.SupplyMin), float64(p.ROutMax), 0}
	case high:
		return pinStand{"high", float64(p.SupplyMax), float64(p.ROutMin), 0}
	}
	return pinStand{"low", 0, float64(p.ROutMax), 0}
}

// corners is how many random ends of all resistors each state is solved at.
const corners = 12

// bears holds every part of the circuit against what it is stated to bear.
func (c *circuit) bears(w *conditions, s *standing) {
	for _, e := range c.elems {
		switch p := c.part(e).(type) {
		case *catalog.MOSFET:
			if vgs := math.Abs(s.control[e.Ref]); vgs > float64(p.VGSMax.Value())*(1+1e-9) || s.out[e.Ref] > float64(p.IDCase25.Value())*1.001 {
				c.fail("%s: %s gets %.3g V at its gate and carries %.3g A", w.name, e.Ref, vgs, s.out[e.Ref])
			}
		case *catalog.BJT:
			if ib, ok := p.IBMax.Get(); s.out[e.Ref] > float64(p.ICMax.Value())*1.001 || ok && s.base[e.Ref] > float64(ib)*1.001 {
				c.fail("%s: %s carries %.3g A with %.3g A in its base", w.name, e.Ref, s.out[e.Ref], s.base[e.Ref])
			}
		case *catalog.ResistorSeries:
			full, zero := float64(p.Derate.Full.Value()), float64(p.Derate.Zero.Value())
			if bears := float64(p.PMax.Value()) * math.Min(1, math.Max(0, (zero-c.m.TMax)/(zero-full))); s.resistor[e.Ref] > bears*1.001 {
				c.fail("%s: %s takes %.3g W, bears %.3g W", w.name, e.Ref, s.resistor[e.Ref], bears)
			}
		}
	}
	for node, i := range s.pin {
		if p := &c.in.Job.Pin; i > float64(p.SourceMax)*1.001 || -i > float64(p.SinkMax)*1.001 && p.SinkMax > 0 {
			c.fail("%s: %s gives %.4g A of %.4g A", w.name, node, i, float64(p.SourceMax))
		}
	}
}

// offAt holds a transistor off: nothing flows yet at its control voltage, with its
// junction at hot degrees Celsius.
func (c *circuit) offAt(w *conditions, s *standing, e design.Element, hot float64) {
	least := 0.0
	switch p := c.part(e).(type) {
	case *catalog.MOSFET:
		least = float64(p.VGSTh.Min.Value()) - float64(p.VGSThSlope.Or(7e-3))*math.Max(0, hot-25)
	case *catalog.BJT:
		least = float64(p.VBEOnMin.Or(0.5)) - 2e-3*math.Max(0, hot-25)
	}
	if s.control[e.Ref] > least+1e-9 {
		c.fail("%s: %s has %.3f V at its control and may conduct from %.3f V on, at %.0f C", w.name, e.Ref, s.control[e.Ref], least, hot)
	}
}

// warmed is the steady junction of a MOSFET that carries a current, degrees Celsius:
// ron is at the hottest that is stated.
func warmed(p *catalog.MOSFET, air, rth, ron, i float64) float64 {
	hot := 1.0
	if p.RDSOnHot != nil {
		hot = float64(p.RDSOnHot.Factor.Value())
	}
	slope, tj := (hot-1)/(float64(p.RDSOnHot.Tj.Value())-25), air
	for range 60 {
		tj = air + rth*i*i*ron/hot*math.Max(1, 1+slope*(tj-25))
	}
	return tj
}

// checkBridge looks at a bridge in every state of its two pins.
func checkBridge(g gen, in *engine.Input, m *load.Model, d *design.Design, fail func(string, ...any)) {
	pin := &in.Job.Pin
	c := wholeCircuit(in, m, d, fail)
	var switches []design.Element
	motor := design.Element{}
	for _, e := range c.elems {
		switch e.Role {
		case design.RoleSwitch:
			switches = append(switches, e)
		case design.RoleLoad:
			motor = e
		}
	}
	if len(switches) != 4 {
		c.fail("%d switches", len(switches))
		return
	}
	hottest := map[string]float64{}
	for _, e := range switches {
		hottest[e.Ref] = m.TMax
	}
	// A diagonal is on: the motor gets its current, in one direction or the other.
	for _, on := range []string{"pin A", "pin B"} {
		for k := range 2 * corners {
			weak := k%2 == 0
			w := conditions{name: on + " high", weak: weak, air: m.TMin, spread: c.ends(g), rails: map[string]float64{"rail": oneOf(g, m.VMin, m.VMax)},
				pins: map[string]pinStand{"pin A": pinAt(pin, on == "pin A", weak), "pin B": pinAt(pin, on == "pin B", weak)}}
			if weak {
				w.air = m.TMax
			}
			s := c.stand(w)
			if s == nil {
				return
			}
			c.bears(&w, s)
			want := 1.0 // from out A to out B
			if motor.Nodes[0] != "out A" {
				want = -1
			}
			if on == "pin B" {
				want = -want
			}
			if ohms, _ := theLoad(m, w.rails["rail"], true, w.air); s.load*want < 0.5*w.rails["rail"]/ohms {
				c.fail("%s: the motor gets %.3g A of %.3g A", w.name, s.load, w.rails["rail"]/ohms)
				return
			}
			closed := 0
			for _, e := range switches {
				if s.state[e.Ref] == 0 {
					continue
				}
				closed++
				if p := c.part(e).(*catalog.MOSFET); weak {
					half := d
					if p.ID == d.Half.Part {
						half = d.Half
					}
					tj := warmed(p, m.TMax, rthOf(in, m, half, &p.Common, &p.Heat), s.state[e.Ref], s.out[e.Ref])
					if hottest[e.Ref] = math.Max(hottest[e.Ref], tj); tj > float64(p.TjMax.Value())+0.5 {
						c.fail("%s: junction of %s at %.0f C", w.name, e.Ref, tj)
					}
				}
			}
			if closed != 2 {
				c.fail("%s: %d switches are on", w.name, closed)
			}
		}
	}
	c.bridgeOff(g, switches, hottest)
}

// knockedOut are elements without which a stage is none, by their reference, and the
// pair of nodes that a wire joins instead, if any.
var knockedOut = map[string][]struct{ ref, from, to string }{
	"bridge":           {{"R2", "", ""}, {"R5", "", ""}, {"R6", "", ""}, {"R10", "", ""}, {"R1", "pin A", "drive B"}, {"Q5", "drive A", "drive B"}},
	"n-mosfet-boosted": {{"R1", "", ""}, {"Q1", "control", "rail"}},
}

// The judge of whole netlists sees what is not there, or stands in the wrong place.
func TestNetlistJudgeSeesAFault(t *testing.T) {
	var mu sync.Mutex
	seen := map[string]int{} // under mu; by topology
	pairs(t, 19, func(t testing.TB, g gen, s *study) {
		if s.d.Verdict != design.Fits {
			return
		}
		for _, k := range knockedOut[s.t.ID()] {
			d, found := *s.d, false
			d.Elements = nil
			for _, e := range s.d.Elements {
				if e.Ref == k.ref {
					found = true
					if k.from == "" {
						continue
					}
					e.Nodes = slices.Clone(e.Nodes)
					for i, x := range e.Nodes {
						if x == k.from {
							e.Nodes[i] = k.to
						}
					}
				}
				d.Elements = append(d.Elements, e)
			}
			if !found {
				continue
			}
			faults := 0
			fail := func(string, ...any) { faults++ }
			if s.t.ID() == "bridge" {
				checkBridge(g, s.in, s.m, &d, fail)
			} else {
				checkBoosted(g, s.in, s.m, &d, fail)
			}
			mu.Lock()
			seen[s.t.ID()]++
			mu.Unlock()
			if faults == 0 {
				t.Errorf("%s\nnothing is wrong with %s as %+v", s, s.d.Key(), k)
			}
		}
	})
	t.Logf("%v", seen)
}

// bridgeOff looks at every state in which a bridge or a part of it must be off.
func (c *circuit) bridgeOff(g gen, switches []design.Element, hottest map[string]float64) {
	pin := &c.in.Job.Pin
	off := func(name string, a, b pinStand, sides string) {
		for range corners {
			w := conditions{name: name, air: c.m.TMax, spread: c.ends(g), rails: map[string]float64{"rail": c.m.VMax}, pins: map[string]pinStand{"pin A": a, "pin B": b}}
			s := c.stand(w)
			if s == nil {
				return
			}
			c.bears(&w, s)
			for _, e := range switches {
				if strings.Contains(sides, e.Nodes[0]) {
					c.offAt(&w, s, e, hottest[e.Ref])
				}
			}
		}
	}
	const all = "drive A, gate A, drive B, gate B"
	high, low := pinAt(pin, true, false), pinAt(pin, false, false)
	weak := pinAt(pin, true, true)
	off("both pins high", high, high, all)
	off("both pins weakly high", weak, weak, all)
	off("pin A high", high, low, "drive B, gate B")
	off("pin B high", low, high, "drive A, gate A")
	for _, ps := range offStatesOf(*pin) {
		off(ps.name, ps, ps, all)
	}
}

// checkBoosted looks at a gate that its driver lifts to a rail of its own.
func checkBoosted(g gen, in *engine.Input, m *load.Model, d *design.Design, fail func(string, ...any)) {
	pin := &in.Job.Pin
	c := wholeCircuit(in, m, d, fail)
	var sw design.Element
	for _, e := range c.elems {
		if e.Role == design.RoleSwitch {
			sw = e
		}
	}
	p := c.part(sw).(*catalog.MOSFET)
	rails := func(high bool) map[string]float64 {
		v := map[string]float64{"rail": m.VMin}
		if high {
			v["rail"] = m.VMax
		}
		for _, e := range c.elems {
			if e.Role == design.RoleRail && e.Nodes[0] != "rail" {
				end, ok := v["rail"], e.Ref == "V1" // the load's own, before its fuse
				if !ok {
					end, ok = railEnd(in, m, d, e.Value, high)
				}
				if !ok {
					c.fail("%s is a rail of %g V that nothing draws from", e.Ref, e.Value)
				}
				v[e.Nodes[0]] = end
			}
		}
		return v
	}
	// What the pin does when the switch is to be on, the netlist tells.
	at := func(high, weak bool) *standing {
		w := conditions{name: "on", weak: weak, air: m.TMin, spread: c.ends(g), rails: rails(!weak), pins: map[string]pinStand{"pin": pinAt(pin, high, weak)}}
		s := c.stand(w)
		if s != nil {
			c.bears(&w, s)
			c.saturates(&w, s)
		}
		return s
	}
	up := at(true, true)
	if up == nil {
		return
	}
	on, hot := up.state[sw.Ref] > 0, m.TMax
	for k := range 2 * corners {
		weak := k%2 == 0
		s := at(on, weak)
		if s == nil {
			return
		}
		if s.state[sw.Ref] == 0 {
			c.fail("gate at %.3f V, no on-resistance is stated there", s.control[sw.Ref])
			return
		}
		if weak {
			duty := 1.0
			if m.Mode == "pwm" && m.DutyEnforced {
				duty = float64(m.Duty)
			}
			hot = math.Max(hot, warmed(p, m.TMax, duty*rthOf(in, m, d, &p.Common, &p.Heat), s.state[sw.Ref], s.out[sw.Ref]))
		}
	}
	if hot > float64(p.TjMax.Value())+0.5 {
		c.fail("junction at %.0f C", hot)
	}
	states := []pinStand{pinAt(pin, true, true)} // an inverting one is off with its pin high
	if on {
		states = offStatesOf(*pin)
	}
	for _, ps := range states {
		for range corners {
			w := conditions{name: ps.name, weak: !on, air: m.TMax, spread: c.ends(g), rails: rails(true), pins: map[string]pinStand{"pin": ps}}
			if s := c.stand(w); s != nil {
				c.offAt(&w, s, sw, hot)
			}
		}
	}
}

// saturates holds every bipolar transistor that is on against its least gain.
func (c *circuit) saturates(w *conditions, s *standing) {
	for _, e := range c.elems {
		p, ok := c.part(e).(*catalog.BJT)
		if !ok || !w.weak || s.state[e.Ref] == 0 {
			continue
		}
		if gain := gainAt(p, s.out[e.Ref]) * (1 + 0.005*math.Min(0, w.air-25)); s.out[e.Ref] > gain*s.base[e.Ref]*(1+1e-6) {
			c.fail("%s: %s out of saturation: base %.3g A, collector %.3g A, gain %.0f", w.name, e.Ref, s.base[e.Ref], s.out[e.Ref], gain)
		}
	}
}

// railEnd is an end of the rail that a design draws from beside the load's own, of that
// nominal voltage: two rails may have the same. ok is false where there is none.
func railEnd(in *engine.Input, m *load.Model, d *design.Design, nominal float64, high bool) (v float64, ok bool) {
	for _, r := range append([]job.Rail{in.Job.Pin.Rail()}, in.Job.Rails...) {
		draws := slices.ContainsFunc(d.Draws, func(x design.Draw) bool { return x.Rail == r.Name })
		if draws && r.Name != m.Rail.Name && math.Abs(float64(r.Nom)-nominal) < 1e-9 {
			if high {
				return float64(r.Max), true
			}
			return float64(r.Min), true
		}
	}
	return 0, false
}
