package tui

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/quantity"
)

// field is one line of the form.
type field struct {
	group   string
	path    string // where it is in the job
	key     string // the last part of path
	label   string
	hint    string
	options []string // words to choose from; nil: typed
	unit    string   // as it is typed; "" where there is none
	text    string   // as typed
	err     string   // why the text is not taken
	hides   []string // keys that stand behind this line; nil: it is a field
}

func (f *field) choice() bool { return f.options != nil }

// The groups of the form.
const (
	groupLoad   = "load"
	groupRail   = "its supply"
	groupOther  = "another supply" // and its name
	groupPin    = "pin"
	groupPlace  = "where it lives"
	groupPolicy = "policy"
	groupBuilt  = "as built"
)

// fieldText is what a key is called in the form, and its hint.
var fieldText = []struct{ table, key, label, hint string }{
	{"load", "kind", "kind", "what is switched"},
	{"load", "name", "name", "what this load is called; each load has its own"},
	{"load", "current", "current", "at the nominal voltage and 20 C; or state one of the next lines"},
	{"load", "resistance", "or resistance", "cold, at 20 C; where more than one is stated the largest current counts"},
	{"load", "power", "or power", "as on the label, at the nominal voltage; it stands in place of a current"},
	{"load", "inductance", "inductance", "of the winding; without it release and stored energy may stay unproven"},
	{"load", "capacitance", "capacitance", "what is charged when it is switched on"},
	{"load", "esr", "series resistance", "of the capacitors; the inrush is judged by it"},
	{"load", "series", "resistor", "inside: a strip or module has its own; designed: a bare LED, it is chosen here"},
	{"load", "forward_voltage", "forward voltage", "of the LEDs in series"},
	{"load", "inrush_factor", "inrush factor", "peak over steady current; a figure below the usual one needs a source"},
	{"load", "inrush_time", "inrush lasts", "how long the inrush lasts"},
	{"load", "inrush_source", "inrush known", "measured, or from a data sheet; empty: the usual one is the least believed"},
	{"load", "off_current_max", "off current", "what it bears while off; the switch and its snubber leak"},
	{"load", "cold_ratio", "cold ratio", "hot over cold resistance of the filament, 10 to 15; gives its inrush"},
	{"load", "stall_current", "stall current", "what a motor takes that cannot turn, and at each start; empty: a guess, unproven"},
	{"load", "winding_resistance", "winding", "of the motor at rest, by an ohmmeter; gives the stall current"},
	{"load", "stall_time", "stall time", "how long until a fuse or the program ends a jam; empty: for ever"},
	{"load", "must_operate", "must operate at", "of the nominal voltage, cold"},
	{"load", "must_release", "must release at", "of the nominal voltage"},
	{"load", "r_th_coil", "coil to air", "how much the coil heats itself"},
	{"load", "input_high_min", "high level from", "least voltage that counts as high"},
	{"load", "power_factor", "power factor", "of the load on its AC supply"},
	{"load", "mode", "mode", "on-off, pwm, or cycle: on and off by a timer"},
	{"load", "pwm_frequency", "frequency", "how often a second it is on and off: 500 Hz to 2 kHz is easy for a pin and a motor, 20 kHz is silent and takes fast edges"},
	{"load", "period", "period", "of one cycle, on and off together"},
	{"load", "duty", "duty", "how much of the time it is on: 50 % is about half speed or half brightness"},
	{"load", "duty_max", "duty at most", "the most it may be set to; heat counts on 100 % unless hardware enforces it"},
	{"load", "switching_rate", "switching rate", "on and off are one operation"},
	{"load", "release_within", "release within", "from opening until the load has let go; empty: not judged"},
	{"load", "mechanical_release_time", "time to move", "of what moves, once the current is gone"},
	{"load", "unpowered", "logic unpowered", "what the load must do while the logic has no supply"},
	{"load", "isolation", "isolation", "asked between load and logic"},
	{"load", "tolerance", "tolerance", "of its current or resistance"},
	{"load", "tolerance_l", "of inductance", "tolerance of its inductance"},
	{"load", "voltage_min", "least voltage", "at which it still does its work"},
	{"load", "release_current", "lets go at", "the current at which the armature leaves; empty: a tenth of the nominal"},
	{"load", "inrush_current", "inrush current", "its peak, in place of a factor"},
	{"load", "side", "side", "low: the switch goes between load and ground; high: between supply and load"},
	{"load", "ground", "load's ground", "chassis: its return is tied to metal, so it is switched on the high side"},
	{"load", "duty_min", "duty at least", "the least the software may do"},
	{"load", "duty_enforced", "duty kept by", "hardware: heat believes the duty; software: it believes the most"},
	{"load", "overvoltage_category", "overvoltage", "category of where it is plugged in: II is a socket"},
	{"load", "pollution_degree", "pollution", "degree 1 to 3: 2 is dry indoor dust"},
	{"load", "material_group", "material group", "of the board between the sides; IIIa is the usual laminate"},
	{"load", "quantity", "stages alike", "as many, each on a pin of its own"},
	{"load", "pin_group", "pin group", "a label: pins of one group share a current limit"},
	{"load", "exclusive_with", "never with", "names of loads that are never on with it, with commas"},
	{"load", "life", "life asked", "for contacts that wear; empty: not judged"},
	{"load", "operations_per_year", "times a year", "operations in a year; empty: the switching rate all year"},
	{"load", "stuck_on", "stuck on is", "harmful asks for a second, independent way to switch it off"},
	{"load", "reversing", "turns both ways", "a motor that is reversed; on DC it needs a bridge"},
	{"load", "wire_length", "wires, one way", "from the stage to the load"},
	{"load", "wire_area", "wire area", "of the copper of one wire"},
	{"load", "copper_area", "copper area", "of the board under the switch, for its heat; 0 mm2: none is granted"},
	{"load", "avalanche_events", "avalanches", "openings over its life without a clamp that are granted; 0: always a clamp"},
	{"load", "rail", "fed from", "a supply of the job; pin is the pin's own; its own: no other load shares it"},
	{"load", "supply", "voltage", "nominal"},
	{"load", "supply_tolerance", "tolerance", "batteries and plain adaptors have a large one: state it"},
	{"load", "frequency", "frequency", "of an AC supply; empty: DC"},
	{"rail", "voltage", "voltage", "nominal; RMS where it alternates"},
	{"rail", "tolerance", "tolerance", "batteries and plain adaptors have a large one: state it"},
	{"rail", "frequency", "frequency", "of an AC supply; empty: DC"},
	{"rail", "name", "its name", "loads are fed from a supply by this name"},
	{"rail", "common", "its ground", "pin: joined to the pin's ground; none: kept apart from it"},
	{"rail", "current_max", "can give", "empty: unknown, and not judged"},
	{"rail", "fault_current", "into a short", "for the choice of fuses"},
	{"pin", "supply", "pin supply", "of the logic, nominal"},
	{"pin", "supply_tolerance", "tolerance", "of the logic's supply"},
	{"pin", "source_current_max", "pin gives", "continuous limit of one pin"},
	{"pin", "output", "output", "push-pull drives both ways; open-drain only pulls low"},
	{"pin", "open_drain_voltage_max", "bears up to", "voltage that an open-drain pin bears when it is off"},
	{"pin", "output_resistance_max", "output R, most", "how far its level falls with its current"},
	{"pin", "output_resistance_min", "output R, least", "how little limits a charging peak"},
	{"pin", "sink_current_max", "pin takes", "continuous limit of one pin that pulls low"},
	{"pin", "peak_current_max", "pin peak", "for charging a gate; empty: what it gives steadily"},
	{"pin", "reset_pull_min", "reset pull-up", "the strongest pull-up a pin may have at reset"},
	{"pin", "leakage_max", "leaks", "what flows out of a pin that floats"},
	{"pin", "injection_current_max", "into its clamps", "what it bears while it floats"},
	{"pin", "group_current_max", "pins of a group", "all pins of one group together"},
	{"pin", "total_current_max", "all pins", "all pins of the chip together"},
	{"pin", "rail_current_max", "supply spares", "what the pin's own supply can spare for stages"},
	{"pin", "at_reset", "at reset", "what the pin does before the program runs"},
	{"environment", "ambient_min", "coldest air", "relays and gain have their worst hour here"},
	{"environment", "ambient_max", "hottest air", "outside the enclosure"},
	{"environment", "enclosure_rise", "enclosure adds", "how much warmer it is inside"},
	{"built", "topology", "used as", "how the part is used, such as n-mosfet-low or relay; sheets name it"},
	{"built", "part", "the part", "id of the transistor, relay or module that is built in"},
	{"built", "r_base", "base resistor", "between pin and base; none: a link; empty: chosen"},
	{"built", "r_base_emitter", "base to emitter", "the resistor that holds a base off; none: there is none; empty: chosen"},
	{"built", "r_gate", "gate resistor", "between pin and gate; none: a link; empty: chosen"},
	{"built", "r_pulldown", "pull-down", "holds the stage off; none: there is none; empty: chosen"},
	{"built", "r_pullup", "pull-up", "holds a high side off; none: there is none; empty: chosen"},
	{"built", "r_series", "series resistor", "of a bare LED, or of a load on the pin itself"},
	{"built", "r_snubber", "snubber's R", "the resistor across the contact or the output"},
	{"built", "c_snubber", "snubber's value", "a value alone is not judged: name the capacitor of the catalogue below"},
	{"built", "snubber", "snubber's C", "id of its capacitor in the catalogue; none: there is none"},
	{"built", "resistor_tolerance", "of resistors", "tolerance of all of them; empty: 5 %"},
	{"built", "clamp", "clamp", "id of what limits the voltage, two with a + between; none: there is none"},
	{"built", "clamp_placement", "clamp across", "the load, or the switch"},
	{"built", "heat_sink", "heat sink", "id in the catalogue; none: there is none; empty: chosen"},
	{"built", "insulator", "insulator", "id of the pad under the switch; none: there is none"},
	{"built", "shifter", "level shifter", "id of the transistor that shifts the level; none: the pin itself"},
	{"built", "gate_clamp", "clamp of the gate", "id of a Zener from gate to source; none: there is none"},
	{"built", "driver", "driver", "id of what drives the coil, the gate or the input; pin: the pin itself"},
	{"built", "fuse", "fuse", "id in the catalogue; none: there is none; empty: chosen"},
	{"built", "limiter", "inrush limiter", "id of an NTC in the way of the load; empty: there is none"},
	{"built", "poles", "poles", "of a relay that has two: one, both in series, both parallel; empty: one"},
	{"policy", "name", "derating", "bench keeps margins; none judges the bare ratings"},
}

func describe(table, key string) (label, hint string) {
	for i := range fieldText {
		if fieldText[i].table == table && fieldText[i].key == key {
			return fieldText[i].label, fieldText[i].hint
		}
	}
	return strings.ReplaceAll(key, "_", " "), ""
}

// ofKind says for which kinds of load a key matters. Keys that are not here
// matter for all.
var ofKind = []struct {
	key   string
	kinds func(job.KindInfo) bool
}{
	{"resistance", ohmic},
	{"power", func(k job.KindInfo) bool { return !oneOf(k, job.Capacitive, job.Signal, job.LogicInput) }},
	{"inductance", func(k job.KindInfo) bool { return k.Inductive }},
	{"mechanical_release_time", moves},
	{"release_current", moves},
	{"capacitance", only(job.Capacitive)},
	{"esr", only(job.Capacitive)},
	{"series", only(job.LED)},
	{"forward_voltage", only(job.LED)},
	{"inrush_factor", rushes},
	{"inrush_time", func(k job.KindInfo) bool { return !oneOf(k, job.Motor) }}, // a jam outlasts a start
	{"voltage_min", func(k job.KindInfo) bool { return !oneOf(k, job.Coil, job.LogicInput) }},
	{"reversing", only(job.Motor, job.ACMotor)},
	{"cold_ratio", only(job.Lamp, job.ACLamp)},
	{"stall_current", only(job.Motor)},
	{"winding_resistance", only(job.Motor)},
	{"stall_time", only(job.Motor)},
	{"must_operate", only(job.Coil)},
	{"must_release", only(job.Coil)},
	{"r_th_coil", only(job.Coil)},
	{"input_high_min", only(job.LogicInput)},
	{"power_factor", func(k job.KindInfo) bool { return k.AC }},
}

func oneOf(k job.KindInfo, kinds ...job.Kind) bool { return slices.Contains(kinds, k.Kind) }

func only(kinds ...job.Kind) func(job.KindInfo) bool {
	return func(k job.KindInfo) bool { return oneOf(k, kinds...) }
}

func ohmic(k job.KindInfo) bool {
	return k.Ohmic || oneOf(k, job.LED, job.Lamp)
}

func moves(k job.KindInfo) bool {
	return oneOf(k, job.Solenoid, job.Coil, job.Motor, job.ACCoil, job.ACMotor)
}

// rushes: its inrush is a factor on its steady current, or of its supply.
func rushes(k job.KindInfo) bool {
	return k.Inrush == job.InrushFactor || k.Inrush == job.InrushSupply
}

// factored: its inrush is often known, so that its factor is asked for at once.
func factored(k job.KindInfo) bool {
	return oneOf(k, job.Electronic, job.ACSupply, job.ACMotor, job.ACCoil, job.ACTransformer)
}

// starts: on AC the length of an inrush decides as much as its height.
func starts(k job.KindInfo) bool {
	return oneOf(k, job.ACSupply, job.ACMotor, job.ACCoil, job.ACTransformer, job.ACLamp)
}

// matters reports whether a key of a load says anything for a kind of load.
func matters(key string, k job.KindInfo) bool {
	for i := range ofKind {
		if ofKind[i].key == key {
			return ofKind[i].kinds(k)
		}
	}
	return true
}

// loadOrder is the order of the keys of a load in the form.
var loadOrder = []string{"kind", "current", "resistance", "power", "inductance", "capacitance", "esr", "series",
	"forward_voltage", "inrush_factor", "inrush_time", "inrush_source", "off_current_max", "cold_ratio", "stall_current", "winding_resistance", "stall_time", "must_operate",
	"must_release", "r_th_coil", "input_high_min", "power_factor", "mode", "pwm_frequency", "period", "duty", "duty_max",
	"switching_rate", "release_within", "mechanical_release_time", "unpowered", "name"}

// fieldsOf lists the fields that matter for one load of a job, and whatever else
// the job states: nothing that is in force is out of sight.
// more says of which groups what stands behind their line is shown.
func fieldsOf(spec *job.Spec, load int, more map[string]bool) []field {
	b := builder{spec: spec, more: more}
	if load < len(spec.Loads) {
		b.load(load)
	}
	b.pinPreset()
	pin := []string{"supply", "supply_tolerance", "source_current_max", "at_reset", "output"}
	if spec.Pin.Output == "open-drain" {
		pin = append(pin, "open_drain_voltage_max")
	}
	b.table(groupPin, "pin", "pin", pin...)
	b.moreLine(groupPin, "pin", "pin", morePin(&spec.Pin))
	b.table(groupPlace, "environment", "environment", "ambient_min", "ambient_max", "enclosure_rise")
	b.add(groupPolicy, "policy", "policy", "name")
	return b.fields
}

// presetPath stands for the whole pin: choosing one replaces it.
const presetPath = "pin.preset"

// ownPin is the choice of a pin that is no preset; choosing it changes nothing.
const ownPin = "own"

func (b *builder) pinPreset() {
	f := field{group: groupPin, path: presetPath, key: "preset", label: "pin", hint: "a pin that is often met, by its voltage; what follows may be changed",
		options: append(job.PinPresets(), ownPin), text: job.PinPreset(b.spec)}
	if f.text == "" {
		f.text = ownPin
	}
	b.fields = append(b.fields, f)
}

type builder struct {
	spec   *job.Spec
	more   map[string]bool
	fields []field
}

func (b *builder) add(group, table, at, key string) {
	label, hint := describe(table, key)
	f := field{group: group, path: at + "." + key, key: key, label: label, hint: hint}
	for _, k := range job.Fields(table) {
		if k.Key == key {
			f.options, f.unit = k.Options, typedUnit(k.Unit)
		}
	}
	if len(f.options) == 0 {
		f.options = nil
	}
	f.text, _ = job.Get(b.spec, f.path)
	if key == "reversing" {
		f.options = []string{"no", "yes"}
		if f.text == "true" {
			f.text = "yes"
		}
	}
	b.fields = append(b.fields, f)
}

// typedUnit is a unit of machine output as people write it.
func typedUnit(unit string) string {
	switch unit {
	case "degC":
		return "C"
	case "/s":
		return "/h"
	case "1":
		return ""
	}
	return unit
}

// mended writes the unit at the end of a text in its own case: "12v" is 12 V.
// Prefixes keep theirs, for it tells milli from mega; behind a mega nothing is
// mended, because all of it may be a slip ("15 MS").
func mended(text, unit string) string {
	cut := len(text) - len(unit)
	if unit == "" || cut <= 0 || !strings.EqualFold(text[cut:], unit) || strings.HasSuffix(text[:cut], "M") {
		return text
	}
	return text[:cut] + unit
}

// withUnit is a number that was typed bare, or with a prefix alone, with its unit; "" for
// what is none.
func withUnit(text, unit string) string {
	switch {
	case text == "" || unit == "":
		return ""
	case unicode.IsDigit(rune(text[len(text)-1])):
		return text + " " + unit
	}
	return text + unit
}

func (b *builder) has(path string) bool {
	return slices.ContainsFunc(b.fields, func(f field) bool { return f.path == path })
}

// table adds keys of a table, then all others that are stated.
func (b *builder) table(group, table, at string, keys ...string) {
	for _, k := range keys {
		b.add(group, table, at, k)
	}
	b.stated(group, table, at, func(string) bool { return true })
}

func (b *builder) stated(group, table, at string, want func(key string) bool) {
	for _, k := range job.Fields(table) {
		path := at + "." + k.Key
		if text, ok := job.Get(b.spec, path); ok && text != "" && text != "false" && !b.has(path) && want(k.Key) {
			b.add(group, table, at, k.Key)
		}
	}
}

func (b *builder) load(i int) {
	l := &b.spec.Loads[i]
	at := fmt.Sprintf("load[%d]", i)
	info, known := job.Info(job.Kind(l.Kind))
	show := map[string]bool{"pwm_frequency": l.Mode == "pwm", "period": l.Mode == "cycle",
		"duty": l.Mode == "pwm" || l.Mode == "cycle", "duty_max": l.Mode == "pwm" || l.Mode == "cycle",
		"switching_rate": l.Mode != "pwm" && l.Mode != "cycle",
		// Of others they are shown where they are stated.
		"inrush_time": starts(info), "inrush_source": starts(info), "off_current_max": info.AC,
		"inrush_factor": factored(info), "release_within": moves(info), "power_factor": !info.Ohmic}
	for _, key := range loadOrder {
		if always, ok := show[key]; ok && !always || known && !matters(key, info) {
			continue
		}
		b.add(groupLoad, "load", at, key)
	}
	b.stated(groupLoad, "load", at, func(key string) bool {
		switch key {
		case "name", "rail", "supply", "supply_tolerance", "frequency":
			return false
		case "pwm_frequency":
			return l.Mode == "pwm" || l.Mode == ""
		case "period":
			return l.Mode == "cycle" || l.Mode == ""
		case "inductance":
			return true // makes any load inductive
		}
		return !known || matters(key, info)
	})
	b.moreLine(groupLoad, "load", at, b.moreKeys(l, info))
	if l.Built != nil {
		b.stated(groupBuilt, "built", at+".built", func(string) bool { return true })
		var rest []string // what is not stated there is chosen
		for _, k := range job.Fields("built") {
			rest = append(rest, k.Key)
		}
		b.moreLine(groupBuilt, "built", at+".built", rest)
	}
	b.rail(l, at, info)
}

func (b *builder) rail(l *job.LoadSpec, at string, info job.KindInfo) {
	b.add(groupRail, "load", at, "rail")
	f := &b.fields[len(b.fields)-1]
	for _, r := range b.spec.Rails {
		f.options = append(f.options, r.Name)
	}
	f.options = append(f.options, job.PinRail, ownSupply)
	defer b.others(l.Rail)
	if l.Rail == "" {
		f.text = ownSupply
		b.add(groupRail, "load", at, "supply")
		b.add(groupRail, "load", at, "supply_tolerance")
		if info.AC || l.Frequency.Known() {
			b.add(groupRail, "load", at, "frequency")
		}
		return
	}
	for i := range b.spec.Rails {
		if b.spec.Rails[i].Name != l.Rail {
			continue
		}
		rail := fmt.Sprintf("rail[%d]", i)
		b.add(groupRail, "rail", rail, "voltage")
		b.add(groupRail, "rail", rail, "tolerance")
		if info.AC {
			b.add(groupRail, "rail", rail, "frequency")
		}
		b.add(groupRail, "rail", rail, "current_max")
		b.stated(groupRail, "rail", rail, func(key string) bool { return key != "name" })
		b.moreLine(groupRail, "rail", rail, []string{"name", "fault_current", "common"})
		return
	}
}

// inForce says what is taken for a field that states nothing: a figure assumed
// for the kind of load, or a default. "" where there is none.
func inForce(f *field, j *job.Job, load int) string {
	if j == nil || load >= len(j.Loads) {
		return unresolved(f)
	}
	l := &j.Loads[load]
	key := f.key
	if f.group == groupRail {
		key = "rail." + key
	}
	if f.group == groupLoad || f.group == groupRail {
		for _, a := range l.Assumed {
			if a.Field == key {
				return a.Value + ", assumed"
			}
		}
	}
	if text := defaultOf(f, j, l); text != "" {
		return text + ", default"
	}
	return ""
}

// unresolved is inForce of a job that is not complete yet: what follows from nothing else
// in it.
func unresolved(f *field) string {
	switch text := job.Default(f.path); {
	case text == "", slices.Contains([]string{"isolation", "common", "duty"}, f.key):
		return "" // they follow from the supply, or from another field
	case f.key == "switching_rate":
		return text + ", assumed"
	default:
		return text + ", default"
	}
}

const digitsShown = 4

func near[Q quantity.Quantity](v Q) string { return quantity.Show(v, digitsShown, quantity.Nearest) }

func percent(v quantity.Ratio) string {
	return quantity.DisplayPercent(float64(v), digitsShown, quantity.Nearest)
}

// spread is a tolerance as it shows in the ends of a range.
func spread(nominal, highest quantity.Volt) string {
	if nominal == 0 {
		return ""
	}
	return quantity.DisplayPercent(float64((highest-nominal)/nominal), digitsShown, quantity.Nearest)
}

func defaultOf(f *field, j *job.Job, l *job.Load) string {
	switch f.group {
	case groupPin:
		return pinDefault(f.key, &j.Pin)
	case groupPlace:
		switch f.key {
		case "ambient_min":
			return near(j.Env.AmbientMin)
		case "ambient_max":
			return near(j.Env.AmbientMax)
		case "enclosure_rise":
			return near(quantity.Kelvin(j.Env.PartsMax - j.Env.AmbientMax))
		}
	case groupRail:
		switch f.key {
		case "tolerance", "supply_tolerance":
			return spread(l.Rail.Nom, l.Rail.Max)
		case "common":
			if l.Rail.Hazardous {
				return "none"
			}
		}
	case groupPolicy:
		return j.PolicyName
	case groupLoad:
		switch f.key {
		case "mode":
			return l.Mode
		case "unpowered":
			return l.Unpowered
		case "duty":
			return percent(l.Duty)
		case "duty_max":
			return percent(l.DutyMax)
		case "isolation":
			return l.Isolation.String()
		case "wire_area":
			return near(l.WireArea)
		case "copper_area":
			return near(l.CopperArea)
		}
	}
	return job.Default(f.path)
}

func pinDefault(key string, p *job.Pin) string {
	switch key {
	case "supply":
		return near(p.SupplyNom)
	case "supply_tolerance":
		return spread(p.SupplyNom, p.SupplyMax)
	case "source_current_max":
		return near(p.SourceMax)
	case "at_reset":
		return p.AtReset
	}
	return job.Default("pin." + key)
}
