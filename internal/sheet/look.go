package sheet

import (
	"strings"

	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/quantity"
)

// MovedName is a quantity that a sweep moves, in words: "supply of the load".
func MovedName(of *engine.Sweepable) string {
	field, key := of.Field, of.Field
	if i := strings.LastIndexByte(field, '.'); i >= 0 {
		key = field[i+1:]
	}
	switch {
	case of.Own:
		return "supply of the load"
	case field == "pin.supply":
		return "voltage of the pin"
	case strings.HasPrefix(field, "rail["):
		return "another rail of the stage"
	}
	switch key {
	case "current":
		return "current of the load"
	case "ambient_max":
		return "hottest air"
	case "pwm_frequency":
		return "PWM frequency"
	case "duty":
		return "duty"
	case "duty_max":
		return "duty at the most"
	}
	return ElementName(field)
}

// ElementName is an element of a stage as built, in words: "gate resistor".
func ElementName(element string) string {
	name, driver := strings.CutPrefix(element, "driver.")
	words := map[string]string{
		"r_base": "base resistor", "r_base_emitter": "base-emitter resistor", "r_gate": "gate resistor", "r_pulldown": "pull-down",
		"r_pullup": "pull-up", "r_series": "series resistor", "r_snubber": "resistor of the snubber", "r_lock": "resistor of the interlock",
		"r_lock_gate": "gate resistor of the interlock", "clamp": "clamp", "gate_clamp": "clamp of the gate", "snubber": "snubber",
		"insulator": "insulator", "heat_sink": "heat sink", "fuse": "fuse", "limiter": "inrush limiter",
	}[name]
	if words == "" {
		words = strings.ReplaceAll(name, "_", " ")
	}
	if driver {
		return words + " of the coil's driver"
	}
	return words
}

// ChangeText says what is done to an element: "no gate resistor", "pull-down ten
// times: 47 kohm".
func ChangeText(b *engine.Break) string {
	name := ElementName(b.Element)
	switch b.Change {
	case engine.LeftOut:
		return "no " + name
	case engine.Reversed:
		return "diode reversed"
	}
	return name + " " + string(b.Change)
}

// Solved is a value that was solved to the digits it is printed with.
func Solved(v float64, unit design.Unit) string {
	if unit == design.One {
		return quantity.DisplayPercent(v, digitsShown, quantity.Nearest)
	}
	return quantity.Display(v, string(unit), digitsShown, quantity.Nearest)
}

// AtMost and AtLeast are a number rounded up and down; a dash where it is unknown.
func AtMost(n design.Number, unit design.Unit) string { return rounded(n, unit, quantity.Up) }

// AtLeast is a number rounded down.
func AtLeast(n design.Number, unit design.Unit) string { return rounded(n, unit, quantity.Down) }

func rounded(n design.Number, unit design.Unit, dir quantity.Direction) string {
	if !n.OK {
		return "--"
	}
	return number(n.V, unit, dir)
}
