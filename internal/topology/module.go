package topology

import (
	"math"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/device"
	"example.org/pinhoist/internal/load"
	q "example.org/pinhoist/internal/quantity"
)

// module is a switch bought with its driver on it, its input on the pin, its driver fed
// by a rail. What stands inside is judged by its own figures, as a switch of that kind by
// itself; what its driver does by those of the module.
type module struct{}

func (module) ID() string   { return "module" }
func (module) Side() string { return "any" }

// Of is the topology of a module with this switch on it: each kind owes its own checks.
func (module) Of(sw catalog.Part) Topology {
	if m, ok := sw.(*catalog.Module); ok {
		switch {
		case m.Switch == "relay" && m.Relay != nil:
			return moduleRelay{}
		case m.Switch == "ssr" && m.SSR != nil:
			return moduleSSR{}
		}
	}
	return moduleMOSFET{}
}

// Owes is what a module with a MOSFET owes; see Of.
func (module) Owes(l *load.Model) []design.CheckID { return moduleMOSFET{}.Owes(l) }

func (t module) Serves(env *Env, l *load.Model, sw catalog.Part) string {
	m, ok := sw.(*catalog.Module)
	if !ok {
		return WrongPart
	}
	if m.Relay == nil && m.MOSFET == nil && m.SSR == nil {
		return "what switch stands on it is not stated"
	}
	if why := t.Of(sw).Serves(env, l, sw); why != "" {
		return why
	}
	return serveInput(env, m)
}

func (t module) Design(env *Env, l *load.Model, sw catalog.Part, given *Given, d *design.Design) {
	t.Of(sw).Design(env, l, sw, given, d)
}

// moduleMOSFET is a module with a MOSFET between load and ground.
type moduleMOSFET struct{ module }

func (moduleMOSFET) Side() string { return "low" }

func (moduleMOSFET) Owes(l *load.Model) []design.CheckID { return nMOSFETLow{}.Owes(l) }

// Takes lists the elements of a stage as built that are worked out.
func (moduleMOSFET) Takes(l *load.Model) []string { return takes(l, "r_pulldown", "limiter") }

func (moduleMOSFET) Serves(_ *Env, l *load.Model, _ catalog.Part) string { return serveLowSide(l) }

// moduleStage is one stage while it is worked out.
type moduleStage struct {
	mosfetStage
	b      board
	inside catalog.MOSFET
}

func (t moduleMOSFET) Design(env *Env, l *load.Model, sw catalog.Part, given *Given, d *design.Design) {
	env.limited(l, given, d, nil, func(l *load.Model, d *design.Design) { t.unlimited(env, l, sw, given, d) })
}

// unlimited is Design for a load as it is, with the limiter that stands in its way.
func (t moduleMOSFET) unlimited(env *Env, l *load.Model, sw catalog.Part, given *Given, d *design.Design) {
	m := moduleStage{mosfetStage: mosfetStage{stage: begin(env, l, given, d, t.ID(), sw.Base())}}
	m.b = onBoard(&m.stage, sw.(*catalog.Module))
	m.open()
	m.alpha, m.hotBracket = device.HotSlope(m.p)
	m.clamp = m.suppress(known(m.p.VDSMax), env.Policy.FETVoltage(), nil)
	m.solve()
	m.otherClamp()
	m.b.inputChecks(m.ron.OK, m.b.window)
	m.partChecks()
	m.b.shared(design.OnCurrent, m.pol.I)
	m.untimed()
	m.b.ownRail()
	m.b.inputParts()
	m.seriesLED(nodeRail)
	m.drawModule()
	m.finish(t.Owes(l))
	d.Share = m.b.share()
}

// open takes the MOSFET out of its module: its own driver gives at least the lowest
// gate voltage at which an on-resistance is stated. How quickly it does so nobody
// states: charges that would time it are put away.
func (m *moduleStage) open() {
	m.inside = *m.b.mod.MOSFET
	m.p = &m.inside
	m.inside.Common = m.b.mod.Common
	m.inside.QGDMax, m.inside.QGMax = q.Opt[q.Coulomb]{}, nil
	low := math.Inf(1)
	for i := range m.inside.RDSOn {
		if pt := &m.inside.RDSOn[i]; pt.Max.Known() {
			low = min(low, float64(pt.VGS.Or(0)))
		}
	}
	m.src = gateSource{lo: finiteOr(low, 0), hi: finiteOr(low, 0)}
	m.rpd = resistor{nom: math.Inf(1), absent: true}
}

// untimed says of checks that wait for times that no key of a module states.
func (m *moduleStage) untimed() {
	for i := range m.d.Checks {
		c := &m.d.Checks[i]
		if c.Verdict == design.Unproven && (c.ID == design.SafeArea || c.ID == design.PWMFrequency) {
			c.Because = "how long the module takes to switch is not stated"
		}
	}
}

func (m *moduleStage) drawModule() {
	m.element("U1", design.RoleSwitch, string(catalog.KindModule), m.b.mod.ID, nodePin, nodeSwitch, nodeGround)
	if !m.env.Brief && m.b.rail.Name != m.l.Rail.Name {
		m.d.Elements = append(m.d.Elements, design.Element{Ref: "V2", Role: design.RoleRail, Kind: "rail", Value: float64(m.b.rail.Nom), Unit: design.V, HasValue: true, Nodes: []string{"module supply", nodeGround}})
	}
	m.loadElements()
	m.clampElements(m.clamp, nodeSwitch, nodeRail, nodeGround)
}
