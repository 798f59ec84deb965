package drawing

import (
	"strings"

	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/quantity"
	"example.org/pinhoist/internal/source"
)

// Words tells the circuit of a design in sentences, one for each element: what it is, and
// which of its ends is joined to what. Where there are two circuits a line names each.
func Words(d *design.Design) []string {
	var out []string
	for _, s := range sidesOf(d) {
		if s.title != "" {
			out = append(out, s.title+":")
		}
		for i := range s.elems {
			out = append(out, sentence(&s.elems[i], s.load))
		}
	}
	return out
}

// ends are what the ends of a kind of element are called, in the order of its nodes.
var ends = map[string][]string{
	"bjt": {"base", "collector", "emitter"}, "mosfet": {"gate", "drain", "source"}, "array": {"input", "output", "ground"},
	"diode": {"anode", "cathode"}, "led": {"anode", "cathode"}, "zener": {"anode", "cathode"}, "rail": {"plus", "minus"},
}

func sentence(e *design.Element, load string) string {
	text := e.Ref + ", " + e.Told()
	if e.Role == design.RoleLoad {
		text += " " + source.Printable(load)
	}
	if e.Kind != string(e.Role) && e.Kind != "resistor" {
		text += ", " + e.Kind
	}
	if e.HasValue {
		text += " of " + quantity.Display(e.Value, string(e.Unit), 4, quantity.Nearest)
	}
	if e.Part != "" {
		text += ", " + e.Part
	}
	names := ends[e.Kind]
	switch n := len(e.Nodes); {
	case n == 0:
		return text + "."
	case n == len(names):
		joins := make([]string, n)
		for i := range names {
			joins[i] = names[i] + " to " + e.Nodes[i]
		}
		return text + ": " + strings.Join(joins, ", ") + "."
	case n == 2:
		return text + ": between " + e.Nodes[0] + " and " + e.Nodes[1] + "."
	}
	return text + ": joined to " + strings.Join(e.Nodes, ", ") + "."
}
