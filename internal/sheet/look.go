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

// Swept tells a sweep: what is moved, what the stage is where it stands, and each
// place where a verdict changes.
func Swept(res *engine.Result, row *engine.Row, s *engine.Swept) *Doc {
	say := func(x float64) string { return Solved(x, s.Of.Unit) }
	d := &Doc{Title: "What if: " + s.Of.Field + " of " + row.Key + ", policy " + res.Policy}
	if text := policyText(res); text != "" {
		d.para(text)
	}
	d.para(MovedName(&s.Of) + ", from " + say(s.Points[0].X) + " to " + say(s.Points[len(s.Points)-1].X) + "; now it is " + say(s.Of.Now) + ", and the stage " +
		verdictText(s.Here.Verdict, res.Policy) + ". Every part stays as it is, and the load stays the same thing.")
	if len(s.Crossings) == 0 {
		d.para("No verdict changes between these ends.")
		return d
	}
	t := &Table{Head: []string{"last", "first", "check", "its verdict", "the stage"}, Right: []bool{true, true, false, false, false}}
	change := func(a, b design.Verdict) string {
		return a.Sign() + " " + a.String() + " to " + b.Sign() + " " + b.String()
	}
	for i := range s.Crossings {
		c := &s.Crossings[i]
		cells := []string{say(c.Low), say(c.High), checkTitle(c.ID, c.Stage), change(c.Before, c.After), ""}
		switch {
		case c.Ends:
			cells[2], cells[3] = "", "no such stage on one side: "+c.Out
		case c.Changes():
			cells[4] = c.DesignBefore.Sign() + " to " + c.DesignAfter.Sign()
		}
		t.Rows = append(t.Rows, cells)
	}
	d.table(t)
	d.para("Each line is solved: the last value that prints in full before the change and the first after it, the stage made at both.")
	return d
}
