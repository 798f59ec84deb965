package sheet

import (
	"strings"

	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/quantity"
)

// checkWords is what a check is called in a narrow column, and what it asks.
var checkWords = map[design.CheckID][2]string{
	design.PinCurrent:          {"pin amps", "the pin gives no more current than it may, steady and while charging"},
	design.PinVoltage:          {"pin volts", "nothing drives the pin beyond its rails"},
	design.StaysOff:            {"stays off", "pin low, at reset or unpowered, the load stays off"},
	design.BaseDrive:           {"base drive", "the pin gives enough base current at the worst gain"},
	design.Saturation:          {"saturation", "the base current is one at which an on voltage is guaranteed"},
	design.BaseReverse:         {"base rev", "the base is never driven too far negative"},
	design.GateDrive:           {"gate drive", "an on-resistance is guaranteed at the gate voltage the pin gives"},
	design.GateVoltage:         {"gate volts", "the gate never sees more than it bears"},
	design.BlockingVoltage:     {"blocking", "the switch blocks the supply and what the clamp adds"},
	design.OnCurrent:           {"on current", "the switch is rated for the steady current"},
	design.PeakCurrent:         {"peak amps", "the switch bears inrush or stall"},
	design.JunctionTemperature: {"junction", "the junction stays cool enough, stuck on too"},
	design.SafeArea:            {"safe area", "voltage and current together stay inside the safe area"},
	design.Avalanche:           {"avalanche", "energy left in the load is borne or clamped"},
	design.PWMFrequency:        {"pwm speed", "the edges are short enough for the frequency"},
	design.ClampVoltage:        {"clamp V", "the clamp blocks while the load is on"},
	design.ClampStandoff:       {"clamp idle", "the clamp does not conduct when it must not"},
	design.ClampCurrent:        {"clamp A", "the clamp bears the load's current"},
	design.ClampEnergy:         {"clamp J", "the clamp bears the energy of one opening"},
	design.ClampPower:          {"clamp heat", "the clamp bears its average power"},
	design.ReleaseTime:         {"release", "the load lets go in time"},
	design.CoilPickup:          {"pickup", "the hot coil still picks up at the lowest rail"},
	design.CoilOvervoltage:     {"coil volts", "the coil bears the highest voltage at this ambient"},
	design.CoilTemperature:     {"coil heat", "the coil and the relay stay within their temperatures"},
	design.ContactVoltage:      {"contact V", "the contact is rated for this supply"},
	design.ContactCurrent:      {"contact A", "the contact switches this kind of load at this current"},
	design.ContactCarry:        {"carry", "the closed contact carries the current"},
	design.ContactInrush:       {"make", "the contact bears closing on the inrush"},
	design.ContactMinimum:      {"wetting", "the load is large enough to keep the contact clean"},
	design.ContactRate:         {"rate", "the contact is allowed to operate this often"},
	design.ContactLife:         {"life", "the contact lasts as long as asked"},
	design.HoldingCurrent:      {"holding", "the load's current keeps the output on"},
	design.Commutation:         {"commutate", "the output turns off at the current's zero"},
	design.Waveform:            {"waveform", "the output is made for this supply"},
	design.SurgeEnergy:         {"surge", "the output bears the inrush's energy"},
	design.Leakage:             {"leakage", "what leaks while off does not keep the load on"},
	design.Isolation:           {"isolation", "load and logic are separated as asked"},
	design.LoadVoltage:         {"load volts", "enough voltage is left for the load"},
	design.ResistorPower:       {"R power", "every resistor bears its power"},
	design.ResistorVoltage:     {"R voltage", "every resistor bears its voltage"},
	design.CapacitorVoltage:    {"C voltage", "every capacitor bears its voltage"},
	design.FuseCurrent:         {"fuse amps", "the fuse carries the steady current"},
	design.FuseStart:           {"fuse start", "the fuse survives the inrush"},
	design.FuseBreaking:        {"fuse break", "the fuse breaks the rail's short-circuit current"},
	design.HeatSinkLive:        {"live tab", "no live metal can be touched"},
	design.RailCurrent:         {"rail amps", "the supply can spare the current"},
	design.PinTotal:            {"pin total", "all pins together stay within the limit"},
	design.GroupTotal:          {"pin group", "the pins of a group stay within its limit"},
	design.ShootThrough:        {"shoot-thru", "the two sides of a bridge are never on together"},
}

// ShortCheck is a check's name for a narrow column, at most 10 characters;
// "drv" in front of one of a relay's coil driver.
func ShortCheck(id design.CheckID, stage design.Stage) string {
	w := checkWords[id][0]
	if stage == design.StageDriver {
		return "drv " + w
	}
	return w
}

// CheckQuestion says in a few words what a check asks for.
func CheckQuestion(id design.CheckID) string { return checkWords[id][1] }

// checkTitle is a check's id with its stage, as in files.
func checkTitle(id design.CheckID, stage design.Stage) string {
	if stage == design.StageDriver {
		return "driver: " + id.String()
	}
	return id.String()
}

// UsedAs is a topology for a narrow column: "n-mosfet low"; "boosted" for the
// longest names, whose beginning the part's own tells.
func UsedAs(topology string) string {
	if base, ok := strings.CutSuffix(topology, "-low"); ok {
		return base + " low"
	}
	if base, ok := strings.CutSuffix(topology, "-high"); ok {
		return base + " high"
	}
	if strings.Count(topology, "-") > 1 {
		return topology[strings.LastIndexByte(topology, '-')+1:]
	}
	return topology
}

// usedHow says how each topology works, in a line.
var usedHow = [...]struct{ topology, text string }{
	{"direct", "the load hangs on the pin itself, no switch"},
	{"npn-low", "between load and ground, the pin drives its base"},
	{"darlington-low", "between load and ground, two transistors in one: little drive, more heat"},
	{"n-mosfet-low", "between load and ground, the pin drives its gate"},
	{"n-mosfet-parallel", "several alike share the current, the pin drives all gates"},
	{"n-mosfet-boosted", "two small transistors drive its gate with more volts than the pin has"},
	{"pnp-high", "between supply and load, a small transistor drives its base"},
	{"p-mosfet-high", "between supply and load, its gate pulled down to switch on"},
	{"relay", "its contact switches, small transistors drive its coil"},
	{"ssr", "a relay without a contact, light inside keeps the sides apart"},
	{"module", "a ready board with a driver of its own"},
	{"bridge", "four switches that turn the current both ways"},
}

// UsedHow says in a line how a topology works, "" for one that nobody described.
func UsedHow(topology string) string {
	for i := range usedHow {
		if usedHow[i].topology == topology {
			return usedHow[i].text
		}
	}
	return ""
}

// valueWord says what a value of a design is, and how it is rounded so that it
// never looks better than it is.
type valueWord struct {
	text string
	dir  quantity.Direction
}

// valueList holds the values in the order in which they are told: what is
// chosen first.
var valueList = []struct {
	key design.ValueKey
	valueWord
}{
	{design.RBase, valueWord{"base resistor", quantity.Nearest}},
	{design.RBaseEmitter, valueWord{"base to emitter resistor", quantity.Nearest}},
	{design.RGate, valueWord{"gate resistor", quantity.Nearest}},
	{design.RPulldown, valueWord{"pull-down, keeps the stage off", quantity.Nearest}},
	{design.RPullup, valueWord{"pull-up", quantity.Nearest}},
	{design.RSeries, valueWord{"series resistor", quantity.Nearest}},
	{design.RSnubber, valueWord{"snubber resistor", quantity.Nearest}},
	{design.CSnubber, valueWord{"snubber capacitor", quantity.Nearest}},
	{design.IPin, valueWord{"pin current, most", quantity.Up}},
	{design.IBase, valueWord{"base current, least", quantity.Down}},
	{design.IHold, valueWord{"current that keeps it on", quantity.Up}},
	{design.ForcedBeta, valueWord{"load current over base current", quantity.Up}},
	{design.VGateDrive, valueWord{"gate voltage, least", quantity.Down}},
	{design.VOn, valueWord{"voltage kept from the load on the lowest rail, most", quantity.Up}},
	{design.ROn, valueWord{"on-resistance, hot, most", quantity.Up}},
	{design.IOn, valueWord{"load current, most", quantity.Up}},
	{design.IOff, valueWord{"current while off, most", quantity.Up}},
	{design.IPeak, valueWord{"peak current, most", quantity.Up}},
	{design.IRipple, valueWord{"ripple current", quantity.Up}},
	{design.POn, valueWord{"heat while on", quantity.Up}},
	{design.PSwitching, valueWord{"heat of switching", quantity.Up}},
	{design.PTotal, valueWord{"heat, all", quantity.Up}},
	{design.TJunction, valueWord{"junction temperature, hottest", quantity.Up}},
	{design.TStuckOn, valueWord{"junction with the pin stuck on", quantity.Up}},
	{design.TTouch, valueWord{"hottest surface, at most", quantity.Up}},
	{design.TCoil, valueWord{"coil temperature, hottest", quantity.Up}},
	{design.TPulse, valueWord{"pulse of a coil, at least", quantity.Up}},
	{design.HeatsinkRth, valueWord{"heat sink to air", quantity.Up}},
	{design.FPWMMax, valueWord{"highest switching frequency", quantity.Down}},
	{design.FPWMMin, valueWord{"lowest that the load likes", quantity.Up}},
	{design.VPeakOff, valueWord{"switch node to ground at turn-off, at its peak", quantity.Up}},
	{design.VPinMax, valueWord{"most the pin ever sees", quantity.Up}},
	{design.VControlReset, valueWord{"control voltage at reset", quantity.Up}},
	{design.TDecay, valueWord{"current decays in, longest", quantity.Up}},
	{design.TRelease, valueWord{"load lets go in, longest", quantity.Up}},
	{design.ETurnoff, valueWord{"energy that each opening frees", quantity.Up}},
	{design.CRail, valueWord{"on the rail that takes it back: capacitor, least", quantity.Up}},
	{design.PClamp, valueWord{"average power in the clamp", quantity.Up}},
	{design.ContactLifeOps, valueWord{"contact life", quantity.Down}},
	{design.LifeYears, valueWord{"life at this rate", quantity.Down}},
	{design.VLoad, valueWord{"voltage at the load, least", quantity.Down}},
	{design.IFuse, valueWord{"fuse, rated", quantity.Nearest}},
	{design.AWire, valueWord{"wire, area", quantity.Nearest}},
	{design.WireGauge, valueWord{"wire, American gauge", quantity.Nearest}},
	{design.IWire, valueWord{"the wire may carry", quantity.Down}},
	{design.VWire, valueWord{"the run of wires keeps, most", quantity.Up}},
	{design.EOn, valueWord{"energy of turning on, in the switch", quantity.Up}},
	{design.EOff, valueWord{"energy of turning off, in the switch", quantity.Up}},
	{design.TOwnOn, valueWord{"turn-on time of a part at its worst", quantity.Up}},
	{design.TOwnOff, valueWord{"turn-off time of a part at its worst", quantity.Up}},
	{design.EWire, valueWord{"energy that the wires to the load hold", quantity.Up}},
	{design.EnergyInrush, valueWord{"energy of one inrush in the switch", quantity.Up}},
	{design.TOn, valueWord{"turn-on time, longest", quantity.Up}},
	{design.TOff, valueWord{"turn-off time, longest", quantity.Up}},
}

// valueAt finds a value in the list, under its contract name with a helper's
// role in front or without; the list's length where it is not there.
func valueAt(key design.ValueKey) (place int, word valueWord) {
	if _, base, ok := strings.Cut(string(key), "."); ok {
		key = design.ValueKey(base)
	}
	for i, v := range valueList {
		if v.key == key {
			return i, v.valueWord
		}
	}
	return len(valueList), valueWord{}
}

// ValueText says what a value is, under its contract name with a helper's role
// in front or without.
func ValueText(key design.ValueKey) string {
	_, w := valueAt(key)
	if role, _, ok := strings.Cut(string(key), "."); ok && w.text != "" {
		return role + ": " + w.text
	}
	return w.text
}

// ValueNumber is a value as it is told: never better than it is.
func ValueNumber(v *design.Value) string {
	_, w := valueAt(v.Key)
	return number(v.V, v.Unit, w.dir)
}

// verdictText is a verdict with its sign: "+ fits". Under a policy without
// margins a fit says so.
func verdictText(v design.Verdict, policy string) string {
	s := v.Sign() + " " + v.String()
	if v == design.Fits && policy == noMargin {
		s += ", no margin"
	}
	return s
}

// noMargin is the policy whose factors are all 1.
const noMargin = "none"

// typically reports whether a check fails by an estimate too, so that a better
// part of the same kind is no hope.
func typically(c *design.Check) bool {
	if c.Verdict != design.Over {
		return false
	}
	return c.StressEstimate.OK && c.Rating.OK && !design.AtMost(c.StressEstimate.V, c.Rating.V) ||
		c.RatingEstimate.OK && c.Stress.OK && !design.AtMost(c.Stress.V, c.RatingEstimate.V)
}

// Paint colours a text by its verdict; nil leaves it plain.
type Paint func(v design.Verdict, s string) string

func (p Paint) do(v design.Verdict, s string) string {
	if p == nil {
		return s
	}
	return p(v, s)
}

func (p Paint) line(m Mark, s string) string {
	if m == NoMark {
		return s
	}
	return p.do(design.Verdict(m-1), s)
}

func markOf(v design.Verdict) Mark { return Mark(v) + 1 }

// barBelow and barAbove are the places of a headroom bar before and behind the
// limit.
const (
	barBelow = 4
	barAbove = 2
)

// Bar is a headroom as a bar with its limit as a fixed "|": one that crosses it
// is safe. An unproven design shows dots.
func Bar(v design.Verdict, h design.Number) string {
	switch {
	case v == design.Unproven:
		return "....|  "
	case !h.OK:
		return "    |  "
	case v != design.Fits || h.V < 1:
		n := min(max(int(h.V*barBelow), 0), barBelow-1)
		if n == 0 && h.V > 0 {
			n = 1
		}
		return strings.Repeat("#", n) + strings.Repeat(" ", barBelow-n) + "|" + strings.Repeat(" ", barAbove)
	}
	n := 1
	if h.V >= 1.25 {
		n = 2
	}
	return "####|" + strings.Repeat("#", n) + strings.Repeat(" ", barAbove-n)
}
