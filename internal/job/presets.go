package job

import (
	"fmt"
	"strings"
)

// pinPreset is a pin that is often met, by its voltage: what differs from the
// defaults, which are those of the 5 V pin.
type pinPreset struct {
	name string
	keys [][2]string
}

// pinPresets are the pins of logic of three voltages (their currents and
// resistances are common practice, no source) and the output of a 24 V
// controller, which sources: 19.2 V to 28.8 V, at most 3 V lost at 0.5 A, 0.5 mA
// when it is off (IEC 61131-2, from memory). What such an output sinks is not
// promised: 1 mA is what its own load takes.
var pinPresets = []pinPreset{
	{"1.8 V", [][2]string{{"supply", "1.8 V"}, {"source_current_max", "4 mA"}, {"sink_current_max", "4 mA"},
		{"output_resistance_max", "100 ohm"}, {"output_resistance_min", "20 ohm"}, {"group_current_max", "20 mA"}, {"total_current_max", "80 mA"}, {"rail_current_max", "200 mA"}}},
	{"3.3 V", [][2]string{{"supply", "3.3 V"}, {"source_current_max", "8 mA"}, {"sink_current_max", "8 mA"},
		{"output_resistance_max", "60 ohm"}, {"output_resistance_min", "15 ohm"}, {"group_current_max", "40 mA"}, {"total_current_max", "120 mA"}, {"rail_current_max", "300 mA"}}},
	{"5 V", nil},
	{"5 V open drain", [][2]string{{"output", "open-drain"}}},
	{"24 V", [][2]string{{"supply", "24 V"}, {"supply_tolerance", "20 %"}, {"source_current_max", "0.5 A"}, {"sink_current_max", "1 mA"},
		{"output_resistance_max", "6 ohm"}, {"output_resistance_min", "0.1 ohm"}, {"at_reset", "floating"},
		{"leakage_max", "0.5 mA"}, {"group_current_max", "2 A"}, {"total_current_max", "4 A"}, {"rail_current_max", "4 A"}}},
}

// PinPresets are the names of the pins that a job can start from.
func PinPresets() []string {
	var names []string
	for i := range pinPresets {
		names = append(names, pinPresets[i].name)
	}
	return names
}

// SetPinPreset replaces the whole pin of a job by a preset. The error of another
// name says which there are.
func SetPinPreset(spec *Spec, name string) error {
	for i := range pinPresets {
		p := &pinPresets[i]
		if p.name != name {
			continue
		}
		spec.Pin = PinSpec{}
		for _, k := range p.keys {
			if err := Set(spec, "pin."+k[0], k[1]); err != nil {
				return err
			}
		}
		return nil
	}
	return fmt.Errorf("pin: found %q, expected %s", name, strings.Join(PinPresets(), ", "))
}

// PinPreset is the name of the preset that the pin of a job is, "" where it is none.
func PinPreset(spec *Spec) string {
	for _, name := range PinPresets() {
		var preset Spec
		if SetPinPreset(&preset, name) == nil && samePin(spec, &preset) {
			return name
		}
	}
	return ""
}

// samePin reports whether two pins are the same, whether stated or by default.
func samePin(a, b *Spec) bool {
	inForce := func(s *Spec, field string) string {
		if text, ok := Get(s, field); ok && text != "" {
			return text
		}
		return Default(field)
	}
	for _, f := range Fields("pin") {
		if key := "pin." + f.Key; inForce(a, key) != inForce(b, key) {
			return false
		}
	}
	return true
}
