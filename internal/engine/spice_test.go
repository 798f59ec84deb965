package engine_test

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/topology"
)

// A general circuit simulator as an independent reference (ngspice 39, SIMULATED).
// Every design below is simulated at the corners that the engine says are the
// worst; the decks, and what the simulator printed for them, stand in
// testdata/spice, so that these tests need no simulator. A design that changes
// makes its decks stale, and the test says so: PINHOIST_UPDATE_SPICE=1 writes the
// decks anew and, where ngspice is installed, runs them. The continuous
// integration runs every deck again and compares what is printed.

const (
	spiceDir    = "../../testdata/spice"
	updateSpice = "PINHOIST_UPDATE_SPICE"
	// coldest and hottest air of the jobs below, C
	coldest, hottest = 0.0, 40.0
	// noDrop is a pin with next to no resistance, ohm
	noDrop = 1e-3
)

// spiceCase is one design to simulate.
type spiceCase struct {
	name   string
	load   string // the load's table, without its name
	part   string
	topo   string
	built  string // what is stated of the stage as built; "": all is chosen
	driver bool   // the stage is the driver of the relay's coil
}

var spiceCases = []spiceCase{
	{name: "npn-solenoid-diode", part: "npn-60v-1a", topo: "npn-low", built: `clamp = "d-100v-1a"`,
		load: "kind = 'solenoid'\nrail = 'bench'\ncurrent = '0.12 A'\ninductance = '90 mH'"},
	{name: "npn-solenoid-diode-zener", part: "npn-80v-1a-smd", topo: "npn-low", built: `clamp = "d-100v-1a+z-24v-1w3"`,
		load: "kind = 'solenoid'\nrail = 'bench'\ncurrent = '0.1 A'\ninductance = '120 mH'"},
	{name: "npn-lowsat-solenoid-diode", part: "npn-60v-lowsat-3a-smd", topo: "npn-low", built: `clamp = "d-100v-1a"`,
		load: "kind = 'solenoid'\nrail = 'bench'\ncurrent = '0.6 A'\ninductance = '50 mH'"},
	{name: "darlington-solenoid-diode", part: "npn-100v-darl-10a", topo: "darlington-low", built: `clamp = "d-100v-3a"`,
		load: "kind = 'solenoid'\nrail = 'field'\ncurrent = '1.5 A'\ninductance = '40 mH'"},
	{name: "darlington-solenoid-diode-zener", part: "npn-100v-darl-5a", topo: "darlington-low", built: `clamp = "d-100v-1a+z-24v-1w3"`,
		load: "kind = 'solenoid'\nrail = 'field'\ncurrent = '0.6 A'\ninductance = '70 mH'"},
	{name: "array-coils", part: "array-7x-darlington", topo: "darlington-low",
		load: "kind = 'coil'\nrail = 'bench'\nresistance = '360 ohm'\ninductance = '0.5 H'\nmust_operate = '70 %'\nr_th_coil = '20 K/W'\nquantity = 7"},
	{name: "array-mosfet-coils", part: "array-8x-mosfet", topo: "n-mosfet-low",
		load: "kind = 'coil'\nrail = 'field'\nresistance = '1.2 kohm'\ninductance = '1 H'\nmust_operate = '75 %'\nr_th_coil = '20 K/W'\nquantity = 8"},
	{name: "npn-indicator", part: "npn-40v-small", topo: "npn-low",
		load: "kind = 'led'\nrail = 'bench'\nseries = 'inside'\nforward_voltage = '8 V'\ncurrent = '20 mA'"},
	{name: "mosfet-solenoid-diode", part: "n-60v-logic-so8", topo: "n-mosfet-low", built: `clamp = "d-100v-3a"`,
		load: "kind = 'solenoid'\nrail = 'bench'\ncurrent = '0.8 A'\ninductance = '60 mH'"},
	{name: "mosfet-solenoid-diode-zener", part: "n-100v-logic-a", topo: "n-mosfet-low", built: `clamp = "d-100v-3a+z-24v-5w"`,
		load: "kind = 'solenoid'\nrail = 'field'\ncurrent = '1 A'\ninductance = '80 mH'"},
	{name: "mosfet-solenoid-tvs", part: "n-100v-logic-a", topo: "n-mosfet-low", built: "clamp = \"tvs-33v-600w\"\nclamp_placement = \"switch\"",
		load: "kind = 'solenoid'\nrail = 'field'\ncurrent = '0.5 A'\ninductance = '70 mH'"},
	{name: "mosfet-solenoid-pwm", part: "n-60v-logic-dpak", topo: "n-mosfet-low", built: `clamp = "d-100v-3a"`,
		load: "kind = 'solenoid'\nrail = 'bench'\ncurrent = '1 A'\ninductance = '60 mH'\nmode = 'pwm'\npwm_frequency = '400 Hz'"},
	{name: "mosfet-heater", part: "n-30v-logic-dpak", topo: "n-mosfet-low",
		load: "kind = 'resistive'\nrail = 'bench'\ncurrent = '2 A'"},
	{name: "mosfet-led-strip", part: "n-30v-logic-smd", topo: "n-mosfet-low",
		load: "kind = 'led'\nrail = 'bench'\nseries = 'inside'\nforward_voltage = '9.6 V'\ncurrent = '1 A'"},
	{name: "mosfet-lamp-inrush", part: "n-55v-logic-a", topo: "n-mosfet-low",
		load: "kind = 'lamp'\nrail = 'bench'\ncurrent = '0.4 A'"},
	{name: "mosfet-capacitor-inrush", part: "n-60v-logic-c", topo: "n-mosfet-low",
		load: "kind = 'capacitive'\nrail = 'bench'\ncurrent = '0 A'\ncapacitance = '470 uF'\nesr = '1 ohm'"},
	{name: "parallel-heater", part: "n-60v-logic-b", topo: "n-mosfet-parallel", built: `heat_sink = "none"`,
		load: "kind = 'resistive'\nrail = 'bench'\ncurrent = '9 A'"},
	{name: "parallel-solenoid-diode", part: "n-100v-logic-dpak", topo: "n-mosfet-parallel", built: `clamp = "d-100v-3a"`,
		load: "kind = 'solenoid'\nrail = 'field'\ncurrent = '2 A'\ninductance = '30 mH'"},
	{name: "boosted-heater", part: "n-60v-10vgate-dpak", topo: "n-mosfet-boosted", built: "driver = \"pnp-60v-600ma\"\nshifter = \"npn-40v-small\"",
		load: "kind = 'resistive'\nrail = 'field'\ncurrent = '2 A'"},
	{name: "boosted-solenoid-diode", part: "n-100v-10vgate", topo: "n-mosfet-boosted", built: "driver = \"pnp-60v-600ma\"\nshifter = \"npn-40v-small\"\nclamp = \"d-100v-3a\"",
		load: "kind = 'solenoid'\nrail = 'bench'\ncurrent = '2 A'\ninductance = '30 mH'"},
	{name: "boosted-inverting-heater", part: "n-60v-10vgate-dpak", topo: "n-mosfet-boosted", built: "shifter = \"npn-40v-small\"",
		load: "kind = 'resistive'\nrail = 'field'\ncurrent = '2 A'\nunpowered = 'any'"},
	{name: "pnp-high-solenoid-diode", part: "pnp-60v-lowsat-3a-smd", topo: "pnp-high", built: "shifter = \"npn-40v-small\"\nclamp = \"d-100v-1a\"",
		load: "kind = 'solenoid'\nrail = 'bench'\ncurrent = '0.4 A'\ninductance = '50 mH'"},
	{name: "pnp-high-heater", part: "pnp-30v-lowsat-5a-smd", topo: "pnp-high", built: "shifter = \"n-60v-small\"",
		load: "kind = 'resistive'\nrail = 'bench'\ncurrent = '0.5 A'"},
	{name: "p-mosfet-high-heater", part: "p-40v-logic-dpak", topo: "p-mosfet-high", built: "shifter = \"npn-45v-100ma\"",
		load: "kind = 'resistive'\nrail = 'field'\ncurrent = '1 A'"},
	{name: "p-mosfet-high-solenoid-diode", part: "p-60v-logic-sot223", topo: "p-mosfet-high", built: "shifter = \"n-60v-small\"\nclamp = \"d-100v-1a\"",
		load: "kind = 'solenoid'\nrail = 'bench'\ncurrent = '0.5 A'\ninductance = '50 mH'"},
	{name: "p-mosfet-high-direct", part: "p-30v-2v5-smd", topo: "p-mosfet-high", built: "shifter = \"none\"",
		load: "kind = 'resistive'\nrail = 'pin'\ncurrent = '0.2 A'"},
	{name: "bridge-motor", part: "n-60v-logic-b", topo: "bridge",
		load: "kind = 'motor'\nrail = 'bench'\ncurrent = '0.3 A'\nreversing = true\nstall_current = '1.2 A'\nstall_time = '0.2 s'\ninductance = '2 mH'"},
	{name: "bridge-motor-field", part: "n-100v-logic-a", topo: "bridge",
		load: "kind = 'motor'\nrail = 'field'\ncurrent = '0.2 A'\nreversing = true\nstall_current = '0.8 A'\nstall_time = '0.2 s'\ninductance = '5 mH'"},
	{name: "module-heater", part: "mod-mosfet-3v3-30v", topo: "module",
		load: "kind = 'resistive'\nrail = 'bench'\ncurrent = '2 A'"},
	{name: "module-low-heater", part: "mod-mosfet-5v-low", topo: "module",
		load: "kind = 'resistive'\nrail = 'bench'\ncurrent = '1 A'"},
	{name: "module-solenoid-diode", part: "mod-mosfet-3v3-60v", topo: "module", built: `clamp = "d-100v-1a"`,
		load: "kind = 'solenoid'\nrail = 'field'\ncurrent = '0.5 A'\ninductance = '60 mH'"},
	{name: "relay-driver-npn", part: "rl-12v-10a", topo: "relay", built: `driver = "npn-45v-100ma"`, driver: true,
		load: "kind = 'resistive'\nrail = 'bench'\ncurrent = '3 A'"},
	{name: "relay-driver-mosfet", part: "rl-24v-16a", topo: "relay", built: `driver = "n-60v-small"`, driver: true,
		load: "kind = 'resistive'\nrail = 'field'\ncurrent = '2 A'"},
	{name: "direct-reed-schottky", part: "pin", topo: "direct", built: `clamp = "d-40v-1a-schottky"`,
		load: "kind = 'coil'\nrail = 'pin'\nresistance = '500 ohm'\ninductance = '0.3 H'\nmust_operate = '70 %'\nr_th_coil = '60 K/W'"},
}

// spiceJob is the job of a case: the pin is the default one.
func (c *spiceCase) spiceJob() string {
	var b strings.Builder
	fmt.Fprintf(&b, "schema = 1\n[environment]\nambient_min = \"%g C\"\nambient_max = \"%g C\"\n", coldest, hottest)
	b.WriteString("[[rail]]\nname = \"bench\"\nvoltage = \"12 V\"\ntolerance = \"5 %\"\ncurrent_max = \"20 A\"\n")
	b.WriteString("[[rail]]\nname = \"field\"\nvoltage = \"24 V\"\ntolerance = \"10 %\"\ncurrent_max = \"20 A\"\n")
	fmt.Fprintf(&b, "[[load]]\nname = \"x\"\n%s\n", strings.ReplaceAll(c.load, "'", `"`))
	if c.built != "" {
		fmt.Fprintf(&b, "[load.built]\ntopology = %q\npart = %q\n%s\n", c.topo, c.part, c.built)
	}
	return b.String()
}

// subject is a stage to simulate: a design and the corners of its load.
type subject struct {
	*testing.T
	cat        *catalog.Catalog
	pin        job.Pin
	d          *design.Design
	railMin    float64
	railMax    float64
	kind       job.Kind
	cold       electrical // least resistance, coldest, greatest inductance
	iEnd       float64    // A, at which a winding lets go
	inductive  bool
	leastLoad  electrical // of an LED: least current
	inrush     electrical // 0: none
	iCold      float64    // A: highest rail, cold
	resistance float64    // that goes with it, as the engine reports it
	motor      *job.Load  // of a bridge
}

func (c *spiceCase) subject(t *testing.T) *subject {
	t.Helper()
	cat, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	var ids []string
	for _, x := range topology.All() {
		ids = append(ids, x.ID())
	}
	spec, j, errs := job.Read(c.name, []byte(c.spiceJob()), ids...)
	if errs.Fatal() {
		t.Fatal(errs)
	}
	pol, err := catalog.PolicyByName(j.PolicyName)
	if err != nil {
		t.Fatal(err)
	}
	key := "x/" + c.part + "/" + c.topo
	if c.built != "" {
		key += "/built"
	}
	det, err := engine.Detail(context.Background(), &engine.Input{Job: j, Spec: spec, Catalog: cat, Policy: pol}, key)
	if err != nil {
		t.Fatal(err)
	}
	s := &subject{T: t, cat: cat, pin: j.Pin, d: det.Design}
	l := &j.Loads[0]
	if c.driver {
		s.relayCoil(c.part, j)
		return s
	}
	s.railMin, s.railMax, s.kind = float64(l.Rail.Min), float64(l.Rail.Max), l.Kind
	s.jobLoad(l)
	return s
}

// jobLoad works out the corners of the job's load anew, by the laws of the kinds.
func (s *subject) jobLoad(l *job.Load) {
	vn, i, tol := float64(l.Rail.Nom), float64(l.Current), float64(l.Tolerance)
	r := vn / i
	switch l.Kind {
	case job.Solenoid, job.Coil:
		s.winding(r*(1-tol)*copper(coldest, 20), float64(l.L.Or(0))*(1+float64(l.ToleranceL)))
		s.iEnd = 0.1 * i
		if l.Kind == job.Coil {
			s.iEnd = float64(l.MustRelease.Value) * vn / (r * (1 + tol))
		}
	case job.Resistive:
		s.cold = electrical{r: r * (1 - tol)}
	case job.LED: // what is above the forward voltage falls across a resistance
		vf := float64(l.Vf)
		s.cold = electrical{r: (vn - vf) / (i * (1 + tol)), v: vf}
		s.leastLoad = electrical{r: (vn - vf) / (i * (1 - tol)), v: vf}
	case job.Lamp: // I ~ V^0.55, as a resistance at the highest rail; 15 times that cold
		s.cold = electrical{r: s.railMax / (i * math.Pow(s.railMax/vn, 0.55) * (1 + tol))}
		s.inrush = electrical{r: s.cold.r / 15}
	case job.Capacitive:
		s.inrush = electrical{r: float64(l.ESR.Or(0)) * (1 - tol), c: float64(l.C.Or(0)) * (1 + tol)}
	case job.Motor: // jammed
		s.motor = l
		s.winding(vn/float64(l.StallCurrent.Or(0))/(1+tol)*copper(coldest, 20), float64(l.L.Or(0))*(1+float64(l.ToleranceL)))
		s.iEnd = 0.1 * i
	default:
		s.Fatalf("no law for %s", l.Kind)
	}
	s.steady()
}

func (s *subject) winding(r, l float64) {
	s.inductive, s.cold = true, electrical{r: r, l: l}
	s.steady()
}

func (s *subject) steady() {
	if s.cold.r > 0 {
		s.iCold, s.resistance = (s.railMax-s.cold.v)/s.cold.r, s.cold.r
	}
}

// relayCoil makes the relay's coil the load and its driver the stage.
func (s *subject) relayCoil(part string, j *job.Job) {
	p, _ := s.cat.Part(part)
	r, ok := p.(*catalog.Relay)
	if !ok || s.d.Driver == nil {
		s.Fatalf("%s: no relay with a driver", part)
	}
	rail := s.d.Choice.CoilRail
	s.d, s.kind = s.d.Driver, job.Coil
	all := append([]job.Rail{j.Pin.Rail()}, j.Rails...)
	for i := range all {
		if all[i].Name == rail {
			s.railMin, s.railMax = float64(all[i].Min), float64(all[i].Max)
		}
	}
	ref := float64(r.RCoil.T.Or(20))
	nominal, tol := float64(r.RCoil.Nominal.Or(0)), float64(r.RCoil.Tolerance.Or(0))
	s.winding(nominal*(1-tol)*copper(coldest, ref), float64(r.LCoilMax.Or(0)))
	// It lets go at the current of its must-release voltage in the greatest coil.
	s.iEnd = float64(r.MustRelease.Or(0)) * float64(r.VCoil.Or(0)) / (nominal * (1 + tol))
}

// ---- what the engine says ----

func (s *subject) value(key design.ValueKey) float64 {
	s.Helper()
	for _, v := range s.d.Values {
		if v.Key == key {
			return v.V
		}
	}
	s.Fatalf("%s: no value %s", s.d.Key(), key)
	return 0
}

func (s *subject) check(id design.CheckID) *design.Check {
	s.Helper()
	for i := range s.d.Checks {
		if s.d.Checks[i].ID == id {
			return &s.d.Checks[i]
		}
	}
	s.Fatalf("%s: no check %s", s.d.Key(), id)
	return nil
}

// at demands that a check's reported corner holds what is simulated.
func (s *subject) at(id design.CheckID, name string, want float64) {
	s.Helper()
	for _, c := range s.check(id).Corner() {
		if c.Name == name {
			if math.Abs(c.V-want) > 1e-3*math.Abs(want) {
				s.Errorf("%s: the engine's corner of %s has %s = %.6g, simulated is %.6g", s.d.Key(), id, name, c.V, want)
			}
			return
		}
	}
	s.Errorf("%s: the corner of %s does not say %s", s.d.Key(), id, name)
}

func (s *subject) cornerOf(id design.CheckID, name string) float64 {
	s.Helper()
	for _, c := range s.check(id).Corner() {
		if c.Name == name {
			return c.V
		}
	}
	s.Fatalf("%s: the corner of %s does not say %s", s.d.Key(), id, name)
	return 0
}

func (s *subject) arg(id design.CheckID, name string) float64 {
	s.Helper()
	for _, a := range s.check(id).Args() {
		if a.Name == name {
			return a.V
		}
	}
	s.Fatalf("%s: %s has no %s", s.d.Key(), id, name)
	return 0
}

// ---- the corners ----

func (s *subject) corners() []corner {
	if p, _ := s.cat.Part(s.d.Part); p != nil && p.Kind() == catalog.KindArray {
		return s.channels(p.(*catalog.Array))
	}
	switch s.d.Topology {
	case "npn-low", "darlington-low":
		p, _ := s.cat.Part(s.d.Part)
		return s.bipolar(p.(*catalog.BJT))
	case "n-mosfet-low":
		p, _ := s.cat.Part(s.d.Part)
		return s.mosfet(p.(*catalog.MOSFET))
	case "n-mosfet-parallel":
		p, _ := s.cat.Part(s.d.Part)
		return s.parallel(p.(*catalog.MOSFET))
	case "n-mosfet-boosted":
		p, _ := s.cat.Part(s.d.Part)
		return s.boosted(p.(*catalog.MOSFET))
	case "pnp-high", "p-mosfet-high":
		return s.highSide()
	case "direct":
		return s.direct()
	case "bridge":
		return s.bridge()
	case "module":
		p, _ := s.cat.Part(s.d.Part)
		return s.onBoard(p.(*catalog.Module))
	}
	s.Fatalf("no corners for %s", s.d.Topology)
	return nil
}

func find(name, vector string) string { return "let " + name + " = " + vector }

// start is a corner with the pin at one end of its supply and resistance.
func (s *subject) start(name, why string, pin end) corner {
	return corner{name: name, why: why, rail: s.railMax, load: s.cold,
		clamp: greatest, iPeak: s.iCold, iEnd: s.iEnd,
		vPin: pin.of(float64(s.pin.SupplyMin), float64(s.pin.SupplyMax)),
		rOut: pin.of(float64(s.pin.ROutMax), float64(s.pin.ROutMin))}
}

func (s *subject) bipolar(p *catalog.BJT) []corner {
	hfe := s.cornerOf(design.BaseDrive, "part.h_fe")
	tj := s.arg(design.StaysOff, "T_j")
	vce, need := saturation(p, s.iCold, s.value(design.IBase))
	if math.IsInf(vce, 1) {
		s.Fatalf("%s: not driven into a stated saturation: take another part", s.d.Key())
	}
	s.at(design.OnCurrent, "rail", s.railMax)
	if s.resistance > 0 && s.kind != job.LED {
		s.at(design.OnCurrent, "load.r", s.resistance)
	}

	on := s.start("drive", "lowest pin, weakest part, cold, highest load", least)
	on.drive, on.bleed = greatest, least
	on.card = bipolarCard(s.iCold, need, vce, vbeOn(p, s.iCold, coldest), hfe)
	if *p.Darlington {
		on.card, on.second = darlingtonCards(s.iCold, need, vce, vbeOn(p, s.iCold, coldest), hfe)
	}
	on.wants = []want{
		{name: "i_base", measure: find("i_base", "i(vbase)"), engine: s.value(design.IBase), tol: circuitTol},
		{name: "v_on", measure: find("v_on", "v(switch)"), engine: s.value(design.VOn), bound: true, least: 1 - deviceTol},
		{name: "i_on", measure: find("i_on", s.cold.current()), engine: s.value(design.IOn) * s.afterDrop(), tol: circuitTol},
	}

	pin := s.start("pin", "highest pin, least resistors, junction hot", greatest)
	pin.drive, pin.bleed = least, greatest
	pin.card = bipolarCard(s.iCold, need, vce, vbeOff(p, tj), hfe)
	pin.wants = []want{{name: "i_pin", measure: find("i_pin", "(-i(vpin))"), engine: s.value(design.IPin), tol: circuitTol}}

	off := s.reset()
	off.drive, off.bleed = least, greatest
	off.card = bipolarOffCard(s.iCold, vbeOff(p, tj), hfe)
	off.baseLeak = baseLeak(p, s.railMax, tj)

	cs := []corner{on, pin, off}
	return append(cs, s.turnOff(func(c *corner) {
		c.drive, c.bleed = greatest, greatest
		c.card, c.second = on.card, on.second
	}, nil)...)
}

// reset is the worst state of an undriven pin, as the engine names it.
func (s *subject) reset() corner {
	c := s.start("reset", "pin not driven, junction hot: "+s.check(design.StaysOff).Because, greatest)
	c.wants = []want{{name: "v_control", measure: find("v_control", "v(control)"), engine: s.value(design.VControlReset), tol: circuitTol}}
	if strings.Contains(s.check(design.StaysOff).Because, "pulled up") {
		c.pin, c.rOut = pulled, float64(s.pin.ResetPullMin)
		return c
	}
	c.pin, c.leak = floats, float64(s.pin.LeakageMax)
	return c
}

func (s *subject) mosfet(p *catalog.MOSFET) []corner {
	tj := s.arg(design.StaysOff, "T_j")
	vth := float64(p.VGSTh.Max.Or(0))
	vthOff := float64(p.VGSTh.Min.Or(0)) - float64(p.VGSThSlope.Or(0.007))*(tj-25)
	vgs, id, r := onPoint(p, s.value(design.VGateDrive))
	if math.IsInf(r, 1) {
		s.Fatalf("%s: no on-resistance at its drive: take another part", s.d.Key())
	}
	s.at(design.OnCurrent, "rail", s.railMax)
	if s.kind == job.Resistive || s.inductive {
		s.at(design.OnCurrent, "load.r", s.resistance)
	}

	// What is promised at the stated gate voltage is all that is promised at the
	// one delivered: the weakest part shows it there. The card at the stated point
	// has less there, by the square law.
	hot := r * hotFactor(p, tj)
	stated := mosfetCard(vgs, id, hot, vth)
	var cs []corner
	if s.iCold > 0 {
		weakest := mosfetCard(s.value(design.VGateDrive), s.iCold*s.railMin/s.railMax, hot, vth)
		cs = append(cs, s.mosfetOn(weakest, stated)...)
	}
	charge := s.start("pin", "highest pin, least resistors: the charging peak", greatest)
	charge.pin, charge.drive, charge.bleed = rises, least, least
	if charge.load.r == 0 {
		charge.load = s.inrush
	}
	charge.load.c = 0
	// The drain's share of the charge flows between 0 V and the rail, the gate's up
	// to the least threshold.
	charge.cgs, charge.cgd = float64(p.QGSMax.Or(0))/vthOff, float64(p.QGDMax.Or(0))/s.railMax
	charge.card = stated
	charge.stop, charge.step = edgeAt+2e-6, 1e-9
	charge.wants = []want{{name: "i_pin", measure: "let i_source = -i(vpin)\nmeas tran i_pin max i_source", engine: s.value(design.IPin), tol: circuitTol}}

	off := s.reset()
	off.bleed = greatest
	off.card = mosfetCard(vgs, id, r, vthOff)
	if off.pin == floats {
		off.gateLeak = float64(p.IGSSMax.Or(0))
	}
	if strings.Contains(s.check(design.StaysOff).Because, "the rail rises") {
		s.rising(&off, p)
		off.drive = greatest
		off.wants[0].measure = "meas tran v_control max v(gate)"
	}
	cs = append(cs, charge, off)
	if s.inrush.r > 0 {
		cs = append(cs, s.inrushCorner(p, charge, mosfetCard(vgs, id, r, vth)))
	}
	cs = append(cs, s.energies(p, tj)...)
	return append(cs, s.turnOff(func(c *corner) {
		c.drive, c.bleed = greatest, greatest
		c.card = mosfetCard(vgs, id, r, vthOff)
		c.rGate = float64(p.RGateInt.Or(10))
		v := s.value(design.VPeakOff)
		c.cgs, c.cgd = float64(p.QGSMax.Or(0))/vthOff, float64(p.QGDMax.Or(0))/v
	}, func(c *corner) want {
		// Charge over current is a bound of the edge: it counts the gate's own share
		// of the charge and the least plateau for all of it.
		return want{name: "t_edge", engine: s.value(design.TOff), bound: true, least: 0.2,
			measure: fmt.Sprintf("meas tran t_edge trig v(switch) val=%s rise=1 targ v(switch) val=%s rise=1", num(0.1*s.value(design.VPeakOff)), num(0.9*s.value(design.VPeakOff)))}
	})...)
}

// afterDrop is what the switch's own voltage leaves of the current, which the
// engine takes with no drop, a bound.
func (s *subject) afterDrop() float64 {
	return 1 - s.value(design.VOn)/(s.railMax-s.cold.v)
}

// mosfetOn are the corners of a steady load.
func (s *subject) mosfetOn(card, stated string) []corner {
	on := s.start("drive", "lowest pin, weakest part, hot, lowest rail, highest load", least)
	on.drive, on.bleed, on.rail, on.card = greatest, least, s.railMin, card
	on.wants = []want{
		{name: "v_gate", measure: find("v_gate", "v(control)"), engine: s.value(design.VGateDrive), tol: circuitTol},
		{name: "v_on", measure: find("v_on", "v(switch)"), engine: s.value(design.VOn), bound: true, least: 1 - deviceTol},
		{name: "r_on", measure: "let r_on = v(switch)/" + s.cold.current(), engine: s.value(design.ROn), bound: true, least: 1 - deviceTol},
	}
	switch {
	case s.kind == job.LED || s.kind == job.Coil:
	case s.kind == job.Lamp: // its law is not a resistance: the same current is
		on.load.r = s.railMin / (s.iCold * math.Pow(s.railMin/s.railMax, 0.55))
		fallthrough
	default:
		on.wants = append(on.wants, want{name: "v_load", measure: find("v_load", "(v(rail)-v(switch))"), engine: s.value(design.VLoad), tol: circuitTol})
	}
	most := s.start("most", "highest rail, highest load", greatest)
	most.card = card
	most.wants = []want{{name: "i_on", measure: find("i_on", s.cold.current()), engine: s.value(design.IOn) * s.afterDrop(), tol: circuitTol}}
	at := on
	at.name, at.why, at.card = "stated", "as drive, a part at the stated point of its square law", stated
	at.wants = []want{{name: "r_on", measure: "let r_on = v(switch)/" + s.cold.current(), engine: s.value(design.ROn), bound: true, least: 0.7}}
	cs := []corner{on, at, most}
	if s.leastLoad.r > 0 {
		low := s.start("least", "lowest rail, least load", least)
		low.drive, low.bleed, low.rail, low.card, low.load = greatest, least, s.railMin, card, s.leastLoad
		low.wants = []want{{name: "i_least", measure: find("i_least", "i(vload)"), engine: s.check(design.LoadVoltage).Rating.V, tol: circuitTol}}
		cs = append(cs, low)
	}
	return cs
}

// inrushCorner turns on into the inrush.
func (s *subject) inrushCorner(p *catalog.MOSFET, like corner, card string) corner {
	c := like
	c.name, c.why = "inrush", "turns on into the greatest inrush"
	c.load, c.card = s.inrush, card
	c.stop, c.step = edgeAt+50e-6, 20e-9
	c.wants = []want{{name: "i_peak", measure: "meas tran i_peak max i(vload)", engine: s.value(design.IPeak), bound: true, least: 1 - circuitTol}}
	return c
}

// turnOff are the corners of a winding that is switched off; edge adds what the
// switch's own edge is compared with.
func (s *subject) turnOff(stage func(*corner), edge func(*corner) want) []corner {
	if !s.inductive {
		return nil
	}
	s.at(design.BlockingVoltage, "rail", s.railMax)
	peak := s.start("peak", "highest rail, coldest winding, greatest clamp", greatest)
	peak.rOut = float64(s.pin.ROutMax)
	peak.pin = falls
	peak.stop, peak.step = edgeAt+60e-6, 20e-9
	stage(&peak)
	peak.wants = []want{{name: "v_peak", measure: fmt.Sprintf("meas tran v_peak max v(switch) from=%g", edgeAt), engine: s.value(design.VPeakOff), bound: true, least: 1 - circuitTol}}
	if edge != nil {
		peak.wants = append(peak.wants, edge(&peak))
	}
	return []corner{peak, s.decay(peak)}
}

func (s *subject) decay(peak corner) corner {
	c := peak
	c.name, c.why = "decay", "highest rail, coldest winding, greatest inductance, least clamp"
	c.clamp = least
	t := s.value(design.TDecay)
	// It begins where the winding's voltage turns round: the switch's own edge is
	// no part of it.
	switchNode, level := "switch", s.railMax
	if s.d.Topology == "direct" {
		switchNode, level = "pin", 0
	}
	c.stop, c.step = edgeAt+1.2*t, t/4000
	c.wants = []want{{name: "t_decay", engine: t, bound: true, least: (1 - circuitTol) * s.fullCurrent(),
		measure: fmt.Sprintf("meas tran t_decay trig v(%s) val=%s cross=1 targ i(lload) val=%s fall=1", switchNode, num(level), num(s.iEnd))}}
	return c
}

func (s *subject) direct() []corner {
	on := s.start("most", "highest pin, least resistance, cold", greatest)
	on.wants = []want{{name: "i_pin", measure: find("i_pin", "(-i(vpin))"), engine: s.value(design.IPin), tol: circuitTol}}

	low := s.start("least", "lowest pin, greatest resistance, highest load", least)
	low.wants = []want{{name: "v_load", measure: find("v_load", "v(pin)"), engine: s.check(design.CoilPickup).Rating.V, tol: circuitTol}}

	off := s.start("reset", "pulled up at reset", greatest)
	off.pin, off.rOut = pulled, float64(s.pin.ResetPullMin)
	off.wants = []want{{name: "i_reset", measure: find("i_reset", s.cold.current()), engine: s.check(design.StaysOff).Stress.V, tol: circuitTol}}

	// A reset while the coil is on leaves the pin open: the voltage across the
	// switch is the rail and what the coil pulls the pin under ground.
	peak := s.start("peak", "the pin opens while the coil is on, greatest clamp", greatest)
	peak.pin = releases
	peak.stop, peak.step = edgeAt+60e-6, 20e-9
	peak.wants = []want{{name: "v_peak", measure: fmt.Sprintf("let v_across = v(rail)-v(pin)\nmeas tran v_peak max v_across from=%g", edgeAt), engine: s.value(design.VPeakOff), bound: true, least: 1 - circuitTol}}
	// The engine takes the current of a turn-off with no drop in the stage.
	peak.rOut = noDrop
	return []corner{on, low, off, peak, s.decay(peak)}
}

// ---- the tests ----

// TestSpice compares every design with what the simulator printed for it.
func TestSpice(t *testing.T) {
	seen, left := map[string]bool{}, map[string]bool{} // left: cases that this run leaves out
	update := os.Getenv(updateSpice) != ""
	for i := range spiceCases {
		c := &spiceCases[i]
		left[c.name] = true
		t.Run(c.name, func(t *testing.T) {
			left[c.name] = false
			s := c.subject(t)
			for _, k := range s.corners() {
				name := c.name + "." + k.name
				seen[name+".cir"], seen[name+".out"] = true, true
				text := deck(t, s.cat, s.d, c.name, &k)
				if update {
					simulate(t, name, text)
				}
				compare(t, name, text, k.wants)
			}
		})
	}
	entries, err := os.ReadDir(spiceDir)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		if of, _, _ := strings.Cut(e.Name(), "."); seen[e.Name()] || left[of] {
			continue
		}
		if update {
			if err := os.Remove(filepath.Join(spiceDir, e.Name())); err != nil {
				t.Error(err)
			}
			continue
		}
		t.Errorf("%s belongs to no design here", e.Name())
	}
}

// compare holds the stored deck against the one just made, and the stored
// numbers against the engine's.
func compare(t *testing.T, name, text string, wants []want) {
	t.Helper()
	stored, err := os.ReadFile(filepath.Join(spiceDir, name+".cir"))
	if err != nil {
		t.Errorf("%v: make it with %s=1", err, updateSpice)
		return
	}
	if !bytes.Equal(stored, []byte(text)) {
		t.Errorf("%s.cir is stale: the design has changed. Make it anew with %s=1, with ngspice installed.\nnow:\n%s", name, updateSpice, text)
		return
	}
	out, err := os.ReadFile(filepath.Join(spiceDir, name+".out"))
	if err != nil {
		t.Error(err)
		return
	}
	got := printed(string(out))
	if len(got) != len(wants) {
		t.Errorf("%s.out has %d numbers, want %d", name, len(got), len(wants))
	}
	for i := range wants {
		v, ok := got[wants[i].name]
		if !ok {
			t.Errorf("%s.out does not give %s", name, wants[i].name)
			continue
		}
		if why := wants[i].fails(v); why != "" {
			t.Errorf("%s: %s", name, why)
		} else {
			t.Logf("%s %s: simulator %.5g, engine %.5g, %+.2f %%", name, wants[i].name, v, wants[i].engine, 100*(v/wants[i].engine-1))
		}
	}
}

// printed reads the lines "name = value"; a line that starts with * is a comment.
func printed(text string) map[string]float64 {
	got := map[string]float64{}
	for line := range strings.Lines(text) {
		name, value, ok := strings.Cut(line, "=")
		if !ok || strings.HasPrefix(line, "*") {
			continue
		}
		if v, err := strconv.ParseFloat(strings.TrimSpace(value), 64); err == nil {
			got[strings.TrimSpace(name)] = v
		}
	}
	return got
}

// simulate writes a deck and, where there is a simulator, what it prints.
func simulate(t *testing.T, name, text string) {
	t.Helper()
	path := filepath.Join(spiceDir, name+".cir")
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	tool, err := exec.LookPath("ngspice")
	if err != nil {
		t.Logf("no ngspice: %s.out is as it was", name)
		return
	}
	out, err := exec.Command(tool, "-b", path).CombinedOutput()
	if err != nil {
		t.Fatalf("%s: %v\n%s", name, err, out)
	}
	_, results, ok := strings.Cut(string(out), "\nresults\n")
	if !ok || strings.Contains(string(out), "aborted") || strings.Contains(string(out), "failed") {
		t.Fatalf("%s: no results\n%s", name, out)
	}
	var b strings.Builder
	fmt.Fprintf(&b, "* What %s printed for %s.cir (Debian package ngspice; ngspice -b DECK,\n* the lines after \"results\").\n", version(t, tool), name)
	for line := range strings.Lines(results) {
		if _, _, ok := strings.Cut(line, " = "); ok {
			b.WriteString(line)
		}
	}
	if n := strings.Count(b.String(), " = "); n != strings.Count(text, "\nprint ") {
		t.Fatalf("%s: %d numbers\n%s", name, n, out)
	}
	if err := os.WriteFile(filepath.Join(spiceDir, name+".out"), []byte(b.String()), 0o644); err != nil {
		t.Fatal(err)
	}
}

func version(t *testing.T, tool string) string {
	t.Helper()
	out, err := exec.Command(tool, "--version").Output()
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range strings.Fields(string(out)) {
		if strings.HasPrefix(f, "ngspice-") {
			return f
		}
	}
	t.Fatalf("no version in %s", out)
	return ""
}

// TestSpiceBites: a number beyond its tolerance, or over its bound, is told.
func TestSpiceBites(t *testing.T) {
	exact := want{name: "x", engine: 10, tol: circuitTol}
	bound := want{name: "x", engine: 10, bound: true, least: 0.9}
	for _, c := range []struct {
		w     want
		got   float64
		fails bool
	}{
		{exact, 10.29, false}, {exact, 9.71, false}, {exact, 10.31, true}, {exact, 9.69, true}, {exact, math.NaN(), true},
		{bound, 10.01, false}, {bound, 9.01, false}, {bound, 10.03, true}, {bound, 8.99, true},
	} {
		if why := c.w.fails(c.got); (why != "") != c.fails {
			t.Errorf("%g against %+v: %q", c.got, c.w, why)
		}
	}
	if len(spiceCases) < 24 {
		t.Errorf("%d designs are simulated, at least 24 are wanted", len(spiceCases))
	}
	of := map[string]int{}
	for i := range spiceCases {
		of[spiceCases[i].topo]++
	}
	for _, topo := range []string{"npn-low", "darlington-low", "n-mosfet-low", "n-mosfet-boosted", "n-mosfet-parallel", "pnp-high", "p-mosfet-high", "bridge", "module"} {
		if of[topo] < 2 {
			t.Errorf("%d designs of %s are simulated, at least 2 are wanted", of[topo], topo)
		}
	}
}
