package engine_test

import (
	"fmt"
	"strings"
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
)

// corner is one condition of a stage to simulate: every independent quantity at
// one end, and what to measure.
type corner struct {
	name string
	why  string

	pin   pinState
	vPin  float64 // its supply, V
	rOut  float64 // its resistance, or that of the pull-up at reset, ohm
	leak  float64 // A out of the pin while it floats
	drive end     // of the resistor between pin and switch
	bleed end     // of the one that keeps it off
	rail  float64 // V

	load  electrical
	clamp end
	iEnd  float64 // A, where the clamp's least voltage counts
	iPeak float64 // A, where its greatest counts

	card       string            // of the switch
	cards      map[string]string // of other transistors, and of some of several switches, by reference
	warm       *warm             // switches that heat themselves; nil: cards say how warm they are
	railRise   float64           // s, in which the rail rises from nothing; 0: it is there
	gateRail   float64           // V, of a gate's own rail
	lines      []string          // more of the circuit: leakage of what is off
	second     string            // of the second transistor of a Darlington
	channel    channel           // of an array
	cgs, cgd   float64           // F
	turning    *turning          // of a bridge
	opto       *opto             // of a module
	rGate      float64           // inside the part, ohm
	baseLeak   float64           // A from collector to base
	gateLeak   float64           // A into the gate
	stop, step float64           // s of a transient, and its greatest step; 0: an operating point

	started  float64 // A that a winding carries at the beginning: all else starts from nothing
	channels bool    // the channel's own current can be measured

	wants []want
}

// electrical is a load as the simulator sees it: a resistance and whatever of
// the others is not zero, in series.
type electrical struct{ r, l, c, v float64 }

// current is the simulator's name of the load's current.
func (e electrical) current() string {
	if e.l > 0 {
		return "i(lload)"
	}
	return "i(vload)"
}

// pinState is what the pin does.
type pinState uint8

const (
	driven   pinState = iota // high, steady
	falls                    // high, low from edgeAt on
	rises                    // low, high from edgeAt on
	pulled                   // at reset, through its pull-up
	floats                   // at reset, its leakage flowing out
	releases                 // high, open from edgeAt on
)

const (
	edgeAt = 20e-6 // s
	edge   = 1e-9  // s, of the pin
)

// want is one number to measure and what the engine says of it.
type want struct {
	name    string
	measure string // of the simulator: its commands, one a line
	engine  float64
	tol     float64 // relative
	bound   bool    // the engine's is a bound: never above it, and not under least of it
	least   float64
}

const (
	circuitTol = 0.03 // voltages, drives, peaks and times
	deviceTol  = 0.10 // where the law of a device counts
	boundTol   = 0.002
)

// fails says how a measured number disagrees, "" where it does not.
func (w *want) fails(got float64) string {
	switch {
	case w.bound && got > w.engine*(1+boundTol):
		return fmt.Sprintf("%s: the simulator has %.5g, the engine's bound is %.5g", w.name, got, w.engine)
	case w.bound && got < w.engine*w.least:
		return fmt.Sprintf("%s: the simulator has %.5g, less than %g of the engine's %.5g", w.name, got, w.least, w.engine)
	case !w.bound && !(got >= w.engine*(1-w.tol) && got <= w.engine*(1+w.tol)):
		return fmt.Sprintf("%s: the simulator has %.5g, the engine %.5g: beyond %g %%", w.name, got, w.engine, 100*w.tol)
	}
	return ""
}

// deck writes the stage of a design at a corner: the elements and their nodes are
// the design's own.
func deck(t *testing.T, cat *catalog.Catalog, d *design.Design, name string, c *corner) string {
	t.Helper()
	w := writer{t: t, cat: cat, d: d, c: c}
	w.line("* %s, %s: %s", name, c.name, c.why)
	w.line("* part %s as %s; written by internal/engine/spice_test.go from the design", d.Part, d.Topology)
	for i := range d.Elements {
		w.element(&d.Elements[i])
	}
	w.gateDriver()
	for _, l := range c.lines {
		w.line("%s", l)
	}
	for _, m := range w.models {
		w.line("%s", m)
	}
	w.control()
	return w.b.String()
}

type writer struct {
	t      *testing.T
	cat    *catalog.Catalog
	d      *design.Design
	c      *corner
	b      strings.Builder
	models []string
}

func (w *writer) line(f string, args ...any) { fmt.Fprintf(&w.b, f+"\n", args...) }

func (w *writer) model(name, card string) { w.models = append(w.models, ".model "+name+" "+card) }

func node(n string) string {
	if n == "ground" {
		return "0"
	}
	return strings.ReplaceAll(n, " ", "_")
}

func (w *writer) element(e *design.Element) {
	if w.bridgeElement(e) {
		return
	}
	n := make([]string, len(e.Nodes))
	for i := range e.Nodes {
		n[i] = node(e.Nodes[i])
	}
	switch e.Role {
	case design.RolePin:
		w.pin(n[0])
	case design.RoleRail:
		if e.Ref != "V1" && w.c.gateRail == 0 { // absent
			w.line("r%s %s %s 1g", e.Ref, n[0], n[1])
			return
		}
		if e.Ref != "V1" {
			w.line("v%s %s %s dc %s", e.Ref, n[0], n[1], num(w.c.gateRail))
			return
		}
		if w.c.railRise > 0 {
			w.line("vrail %s %s pwl(0 0 %s 0 %s %s)", n[0], n[1], num(edgeAt), num(edgeAt+w.c.railRise), num(w.c.rail))
			return
		}
		w.line("vrail %s %s dc %s", n[0], n[1], num(w.c.rail))
	case design.RoleLoad:
		w.load(n[0], n[1])
	case design.RoleSwitch:
		if w.sideBySide(e, n) {
			return
		}
		w.transistor(e, n)
	case design.RoleDriveResistor:
		w.line("r%s %s %s %s", e.Ref, n[0], n[1], num(w.resistor(e, w.c.drive)))
	case design.RolePullDown:
		w.line("r%s %s %s %s", e.Ref, n[0], n[1], num(w.resistor(e, w.c.bleed)))
	case design.RoleClamp:
		w.clamp(e, n)
	case design.RoleHeatSink, design.RoleInsulator:
	default:
		w.t.Fatalf("%s: no way to simulate a %s of role %s", w.d.Key(), e.Kind, e.Role)
	}
}

// resistor is an element's value at one end of its tolerance.
func (w *writer) resistor(e *design.Element, at end) float64 {
	for _, r := range w.d.Choice.Resistors {
		if r.Key != "" && r.Ohms == e.Value && r.Part == e.Part {
			return e.Value * at.of(1-r.Tol, 1+r.Tol)
		}
	}
	w.t.Fatalf("%s: %s was not chosen", w.d.Key(), e.Ref)
	return 0
}

func (w *writer) pin(n string) {
	c := w.c
	at, after := edgeAt, edgeAt+edge
	switch c.pin {
	case driven, pulled:
		w.line("vpin supply 0 dc %s", num(c.vPin))
	case falls:
		w.line("vpin supply 0 pwl(0 %s %s %s %s 0)", num(c.vPin), num(at), num(c.vPin), fmt.Sprint(after))
	case rises:
		w.line("vpin supply 0 pwl(0 0 %s 0 %s %s)", num(at), fmt.Sprint(after), num(c.vPin))
	case floats:
		w.line("ileak 0 %s dc %s", n, num(c.leak))
		return
	case releases:
		w.line("vpin supply 0 dc %s", num(c.vPin))
		w.line("vopen open 0 pwl(0 1 %s 1 %s 0)", num(at), fmt.Sprint(after))
		w.line("sout supply %s open 0 pinswitch", n)
		w.model("pinswitch", fmt.Sprintf("sw(vt=0.5 vh=0 ron=%s roff=1e9)", num(c.rOut)))
		return
	}
	w.line("rout supply %s %s", n, num(c.rOut))
}

func (w *writer) load(plus, minus string) {
	at := plus
	n := 0
	part := func(name string, v float64) {
		if v == 0 {
			return
		}
		n++
		next := fmt.Sprintf("load%d", n)
		if name == "lload" { // the last: an ammeter in series with it would not converge
			next = minus
		}
		w.line("%s %s %s %s", name, at, next, num(v))
		at = next
	}
	part("rload", w.c.load.r)
	if w.c.load.c > 0 { // empty before the edge: without it the operating point would charge it
		w.line("rempty %s load%d 1meg", at, n+1)
	}
	part("cload", w.c.load.c)
	part("vled", w.c.load.v)
	part("lload", w.c.load.l)
	if w.c.started > 0 {
		w.line("+ ic=%s", num(w.c.started))
	}
	if w.c.load.l == 0 {
		w.line("vload %s %s dc 0", at, minus) // measures the current
		return
	}
	// Every winding has some, and a voltage that jumps has no solution.
	w.line("cwinding %s %s 100p", plus, minus)
}

func (w *writer) transistor(e *design.Element, n []string) {
	c := w.c
	switch e.Kind {
	case "bjt":
		w.line("vbase %s base dc 0", n[0]) // measures the current
		emitter := n[2]
		if c.second != "" {
			emitter = "inner"
			w.line("q2 %s inner %s second", n[1], n[2])
			w.line("cinner inner %s 10p", n[2])
			w.model("second", c.second)
		}
		w.line("q1 %s base %s switched", n[1], emitter)
		w.inside(e.Part, n[0], emitter, n[2])
		if c.baseLeak > 0 {
			w.line("icbo %s %s dc %s", n[1], n[0], num(c.baseLeak))
		}
	case "mosfet":
		gate := n[0]
		if c.rGate > 0 {
			gate = "gate"
			w.line("rgate %s gate %s", n[0], num(c.rGate))
		}
		w.line("m1 %s %s %s %s switched w=1u l=1u", n[1], gate, n[2], n[2])
		if c.cgs > 0 {
			w.line("cgs %s %s %s", gate, n[2], num(c.cgs))
			w.line("cgd %s %s %s", gate, n[1], num(c.cgd))
		}
		if c.gateLeak > 0 {
			w.line("igss %s %s dc %s", n[1], gate, num(c.gateLeak))
		}
	case "array":
		w.array(n)
		return
	case "module":
		w.board(n)
		return
	default:
		w.t.Fatalf("%s: no card for a %s", w.d.Key(), e.Kind)
	}
	w.model("switched", c.card)
}

// inside writes the resistor that a part has between base and emitter: half of it on
// each side of the inner base of a Darlington. It stands at the end of its spread where
// the bleed beside it does.
func (w *writer) inside(id, base, inner, emitter string) {
	p, _ := w.cat.Part(id)
	b, ok := p.(*catalog.BJT)
	if !ok || !b.RBEIntMin.Known() {
		return
	}
	r := w.c.bleed.of(float64(b.RBEIntMin.Value()), float64(b.RBEIntMax.Value()))
	if inner == emitter {
		w.line("rinside %s %s %s", base, emitter, num(r))
		return
	}
	w.line("rinside1 %s %s %s", base, inner, num(r/2))
	w.line("rinside2 %s %s %s", inner, emitter, num(r/2))
}

// clamp writes a clamp's part. Parts that break down have their nodes anode,
// cathode like a diode.
func (w *writer) clamp(e *design.Element, n []string) {
	p, ok := w.cat.Part(e.Part)
	if !ok {
		w.t.Fatalf("no part %s", e.Part)
	}
	name := strings.ToLower(e.Ref)
	if name[0] != 'd' { // inside an array
		name = "dinside"
	}
	w.line("%s %s %s %s", name, n[0], n[1], "m"+name)
	i := w.c.clamp.of(w.c.iEnd, w.c.iPeak)
	switch p := p.(type) {
	case *catalog.Array:
		w.model("m"+name, insideCard(p, w.c.clamp, i))
	case *catalog.Diode:
		w.model("m"+name, diodeCard(p, w.c.clamp, i))
	case *catalog.Zener:
		w.model("m"+name, zenerCard(p, w.c.clamp, i, coldest))
	case *catalog.TVS:
		w.model("m"+name, suppressorCard(p, w.c.clamp, i))
	default:
		w.t.Fatalf("no card for the clamp %s", e.Part)
	}
}

// control runs the deck and prints every wanted number after the word results,
// as "name = value".
func (w *writer) control() {
	c := w.c
	w.line(".options reltol=1e-5 abstol=1e-12 method=gear")
	if c.stop > 0 {
		from := ""
		if c.started > 0 {
			from = " uic"
		}
		w.line(".tran %s %s 0 %s%s", num(c.step), num(c.stop), num(c.step), from)
	} else {
		w.line(".op")
	}
	w.line(".control")
	w.line("set numdgt=7")
	if c.channels {
		w.line("save all @m1[id]")
	}
	w.line("run")
	for _, m := range c.wants {
		w.line("%s", m.measure)
	}
	w.line("echo results")
	for _, m := range c.wants {
		w.line("print %s", m.name)
	}
	w.line("quit")
	w.line(".endc")
	w.line(".end")
}
