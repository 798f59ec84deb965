// Package topology designs drive stages: one file a topology, and the list.
package topology

import (
	"slices"
	"strings"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/load"
)

// Topology is one way to use a switch. A topology is one file and one line in
// the list; nothing else names it.
type Topology interface {
	// ID is the contract name, "npn-low".
	ID() string
	// Side is where the switch stands: "low", "high" or "any".
	Side() string
	// Owes lists the checks that a design for this load must carry, as made or
	// as not applicable with a reason.
	Owes(l *load.Model) []design.CheckID
	// Serves returns "" where this topology can use the switch for the load,
	// else the reason why it cannot.
	Serves(env *Env, l *load.Model, sw catalog.Part) string
	// Design fills d with a complete stage. It is total: no solution is a check
	// that is over, never an error.
	Design(env *Env, l *load.Model, sw catalog.Part, given *Given, d *design.Design)
}

// All is the list of topologies, in the order of the contract.
func All() []Topology {
	return []Topology{direct{}, npnLow{}, darlingtonLow{}, nMOSFETLow{}, nMOSFETBoosted{}, nMOSFETParallel{}, pnpHigh{}, pMOSFETHigh{}, bridge{}, relay{}, ssr{}, module{}}
}

// Of is the topology as it is for a switch: one that serves switches of several kinds
// says with Of(switch) which checks it owes and which elements it takes for each.
func Of(t Topology, sw catalog.Part) Topology {
	if k, ok := t.(interface{ Of(catalog.Part) Topology }); ok {
		return k.Of(sw)
	}
	return t
}

// WrongPart is why a topology passes a part over: it is of another kind. It is
// not worth telling.
const WrongPart = "not a part of this topology"

// Given holds values taken as stated instead of chosen: a stage as built, a fix
// on trial, an element left out on paper. The zero Given chooses everything.
type Given struct {
	// Stated says that this is a stage as somebody built it, not one frozen or on trial.
	Stated bool

	RBase, RBaseEmitter, RGate, RPulldown, RSeries GivenResistor
	RPullup                                        GivenResistor
	Shifter, GateClamp                             GivenPart // of a high side; none: the pin itself, no clamp
	Shifted                                        shiftedBy // of a P-channel high side; 0 chooses
	Clamp                                          GivenClamp
	HeatSink                                       GivenPart
	Insulator, Fuse                                GivenPart
	Limiter                                        GivenPart // of the inrush
	RSnubber                                       GivenResistor
	Snubber                                        GivenPart // the capacitor of a snubber; none: there is none
	DriverTopology, DriverPart                     string    // "" chooses
	CoilRail                                       string    // of a relay: the rail of its coil; of a module: that of its driver; "" chooses
	Economy                                        float64   // of a relay on trial: the share of its rail that its coil gets once it has pulled in; 0: all
	Poles                                          string    // of a relay: "" chooses
	Driver                                         *Given
	Variant                                        string
	Parallel                                       int // switches side by side; 0 chooses

	HalfPart         string        // of a bridge: the part of its high side; "" chooses
	Half             *Given        // of a bridge: its high side
	Capacitor        GivenPart     // at the drive of a bridge
	RLock, RLockGate GivenResistor // of a bridge's interlock: in its drain, at its gate
}

// GivenResistor is a resistor as stated: not said, none, or a value with its
// tolerance and, where it comes from the catalogue, its series.
type GivenResistor struct {
	Said, None bool
	Ohms, Tol  float64
	Series     string
}

// GivenPart is a helper as stated: not said, none, or an id.
type GivenPart struct {
	Said bool
	ID   string // "" with Said: none
}

// GivenClamp is a clamp as stated.
type GivenClamp struct {
	Said     bool
	Parts    []string // empty with Said: none
	AtSwitch bool
}

// Resistor is the place of a resistor in a Given, nil for an unknown key.
func (g *Given) Resistor(key design.ValueKey) *GivenResistor {
	switch key {
	case design.RBase:
		return &g.RBase
	case design.RBaseEmitter:
		return &g.RBaseEmitter
	case design.RGate:
		return &g.RGate
	case design.RPulldown:
		return &g.RPulldown
	case design.RPullup:
		return &g.RPullup
	case design.RSeries:
		return &g.RSeries
	case design.RLock:
		return &g.RLock
	case design.RLockGate:
		return &g.RLockGate
	case design.RSnubber:
		return &g.RSnubber
	}
	return nil
}

// Freeze is the Given that builds a design again as it is.
func Freeze(d *design.Design) *Given {
	g := &Given{Variant: d.Variant, Parallel: d.Choice.Parallel, CoilRail: d.Choice.CoilRail, Poles: d.Choice.Poles}
	for _, r := range d.Choice.Resistors {
		if to := g.Resistor(r.Key); to != nil {
			*to = GivenResistor{Said: true, None: r.Absent, Ohms: r.Ohms, Tol: r.Tol, Series: r.Part}
		}
	}
	g.Clamp = GivenClamp{Said: true, Parts: d.Choice.Clamp, AtSwitch: d.Choice.AtSwitch}
	g.HeatSink = GivenPart{Said: true, ID: d.Choice.HeatSink}
	g.Insulator = GivenPart{Said: true, ID: d.Choice.Insulator}
	g.Shifter, g.GateClamp = GivenPart{Said: true, ID: d.Choice.Shifter}, GivenPart{Said: true, ID: d.Choice.GateClamp}
	g.Limiter = GivenPart{Said: true, ID: d.Choice.Limiter}
	g.Fuse = GivenPart{Said: true, ID: d.Choice.Fuse}
	g.Snubber = GivenPart{Said: true, ID: d.Choice.Snubber}
	switch {
	case d.Choice.Pulsed:
		g.Shifted = byPulse
	case d.Choice.Shifter != "":
		g.Shifted = bySteady
	}
	if d.Choice.Capacitor != "" {
		g.Capacitor = GivenPart{Said: true, ID: d.Choice.Capacitor}
	}
	if d.Half != nil {
		g.HalfPart, g.Half = d.Half.Part, Freeze(d.Half)
	}
	if d.Driver != nil {
		g.DriverTopology, g.DriverPart, g.Driver = d.Driver.Topology, d.Driver.Part, Freeze(d.Driver)
	}
	return g
}

// resistors are the keys of the resistors that are said to be there.
func (g *Given) resistors() (keys []string) {
	for _, r := range [...]struct {
		key string
		r   *GivenResistor
	}{{"r_base", &g.RBase}, {"r_base_emitter", &g.RBaseEmitter}, {"r_gate", &g.RGate}, {"r_pulldown", &g.RPulldown}, {"r_pullup", &g.RPullup}, {"r_series", &g.RSeries}} {
		if r.r.Said && !r.r.None {
			keys = append(keys, r.key)
		}
	}
	return keys
}

// BuiltVariant is the variant of a stage as built.
const BuiltVariant = "built"

// FromBuilt is the Given of a stage as built: what is stated is taken, what is
// not is chosen.
func FromBuilt(b *job.Built) *Given {
	tol := float64(b.Tolerance())
	g := &Given{Variant: BuiltVariant, Stated: true}
	for _, e := range []struct {
		to   *GivenResistor
		from job.Element
	}{{&g.RBase, b.RBase}, {&g.RBaseEmitter, b.RBaseEmitter}, {&g.RGate, b.RGate}, {&g.RPulldown, b.RPulldown}, {&g.RPullup, b.RPullup}, {&g.RSeries, b.RSeries}, {&g.RSnubber, b.RSnubber}} {
		if e.from.Said {
			*e.to = GivenResistor{Said: true, None: e.from.None, Ohms: float64(e.from.R), Tol: tol}
		}
	}
	if b.Clamp != "" {
		g.Clamp = GivenClamp{Said: true, AtSwitch: b.ClampPlacement == "switch"}
		if b.Clamp != "none" {
			g.Clamp.Parts = strings.Split(b.Clamp, "+")
		}
	}
	g.HeatSink, g.Insulator, g.Fuse = givenPart(b.HeatSink), givenPart(b.Insulator), givenPart(b.Fuse)
	g.Shifter, g.GateClamp = givenPart(b.Shifter), givenPart(b.GateClamp)
	g.Limiter, g.Snubber = givenPart(b.Limiter), givenPart(b.Snubber)
	g.Limiter.Said = true // a stage as built has none unless it says so
	if b.Driver != "" {
		g.DriverPart = b.Driver
	}
	if g.Poles = b.Poles; g.Poles == "" { // nobody said that both are used
		g.Poles = job.PolesOne
	}
	return g
}

// Untaken says which element of a stage as built its topology does not take, or
// "": an element passed over in silence would be a verdict on another circuit.
// What is stated as "none" is as good as not there. A topology that does not say
// what it takes takes everything.
func Untaken(t Topology, b *job.Built, l *load.Model) string {
	says, ok := t.(interface{ Takes(*load.Model) []string })
	if !ok {
		return ""
	}
	if l.VfDesigned && b.RSeries.Said && overdriven(l, float64(b.RSeries.R)) {
		return "the stated resistor gives the bare LED more than 1.2 times the current that the load states"
	}
	if b.Limiter != "" && b.Limiter != "none" && !l.Limitable() {
		return "a limiter is stated, and the load has no inrush that one would limit"
	}
	if t.ID() == (bridge{}).ID() && b.ClampPlacement == "load" && b.Clamp != "none" {
		return "built.clamp_placement puts the clamp across a motor that is reversed, where it shorts one of its directions: \"switch\" says a Schottky diode across each switch"
	}
	takes := says.Takes(l)
	stated := func(id string) bool { return id != "" && id != "none" }
	resistor := func(e job.Element) bool { return e.Said && !e.None }
	for _, e := range [...]struct {
		key    string
		stated bool
	}{
		{"r_base", resistor(b.RBase)}, {"r_base_emitter", resistor(b.RBaseEmitter)}, {"r_gate", resistor(b.RGate)},
		{"r_pulldown", resistor(b.RPulldown)}, {"r_pullup", resistor(b.RPullup)}, {"r_series", resistor(b.RSeries)},
		{"r_snubber", resistor(b.RSnubber)}, {"c_snubber", stated(b.CSnubber)}, {"clamp", stated(b.Clamp)},
		{"heat_sink", stated(b.HeatSink)}, {"insulator", stated(b.Insulator)}, {"shifter", stated(b.Shifter)},
		{"gate_clamp", stated(b.GateClamp)}, {"driver", stated(b.Driver)}, {"snubber", stated(b.Snubber)}, {"fuse", stated(b.Fuse)}, {"limiter", stated(b.Limiter)},
		{"poles", b.Poles != "" && b.Poles != job.PolesOne},
	} {
		if e.stated && !slices.Contains(takes, e.key) {
			if e.key == "clamp" {
				return "a clamp is stated, and the load is not inductive: state its inductance to have the clamp judged"
			}
			if e.key == "c_snubber" {
				return "built.c_snubber is a value alone, with no voltage, class or slope to judge: name the capacitor of the catalogue in built.snubber"
			}
			return "built." + e.key + " is stated, and this version works no such element out in " + t.ID() + " for this load"
		}
	}
	return ""
}

// Unheld says which part of a stage as built the catalogue does not hold, or holds as
// another thing than it is stated to be, or "". A part that nobody knows would otherwise
// count as none: what stands across a gate and is no Zener as if nothing stood there.
// Switches and clamps of the load are judged by their own checks.
func Unheld(b *job.Built, cat *catalog.Catalog) string {
	for _, e := range [...]struct {
		key, ids string
		kind     catalog.Kind
		is       string
	}{
		{"clamp", b.Clamp, "", ""}, {"shifter", b.Shifter, "", ""}, {"driver", b.Driver, "", ""}, {"limiter", b.Limiter, "", ""},
		{"heat_sink", b.HeatSink, catalog.KindHeatSink, "heat sink"}, {"insulator", b.Insulator, catalog.KindInsulator, "insulator"},
		{"gate_clamp", b.GateClamp, catalog.KindZener, "Zener"}, {"snubber", b.Snubber, catalog.KindCapacitor, "capacitor"},
		{"fuse", b.Fuse, catalog.KindFuse, "fuse"},
	} {
		if e.ids == "" || e.ids == "none" {
			continue
		}
		for _, id := range strings.Split(e.ids, "+") {
			p, ok := cat.Part(id)
			if !ok && id != catalog.PinID {
				return "built." + e.key + " names " + id + ", which the catalogue does not hold"
			}
			if e.kind != "" && (!ok || p.Kind() != e.kind) {
				return "built." + e.key + " names " + id + ", which is no " + e.is
			}
		}
	}
	if p, ok := cat.Part(b.Part); ok && b.Poles != "" && b.Poles != job.PolesOne {
		if r, is := p.(*catalog.Relay); is && !catalog.TwoPoles(r.Form) {
			return "built.poles puts two poles in " + b.Poles + ", and " + b.Part + " has one"
		}
	}
	if p, ok := cat.Part(b.Limiter); ok && b.Limiter != "" {
		if l, ok := p.(*catalog.Limiter); !ok || l.Type != "ntc" {
			return "built.limiter names " + b.Limiter + ", which is no limiter that falls with heat (type ntc)"
		}
	}
	return ""
}

// overdriven reports whether a bare LED gets more than its stated current from a
// resistor: the two must agree within 20 %, as any two figures of a load must.
func overdriven(l *load.Model, ohms float64) bool {
	return !design.AtMost(l.VNom-float64(l.Vf), 1.2*l.INom*ohms)
}

// takes adds what depends on the load: its clamp where it is inductive, and
// the resistor of a bare LED.
func takes(l *load.Model, keys ...string) []string {
	if l.Inductive {
		keys = append(keys, "clamp")
	}
	if l.VfDesigned {
		keys = append(keys, "r_series")
	}
	return append(keys, "fuse")
}

func givenPart(id string) GivenPart {
	switch id {
	case "":
		return GivenPart{}
	case "none":
		return GivenPart{Said: true}
	}
	return GivenPart{Said: true, ID: id}
}
