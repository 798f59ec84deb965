package drawing

import "example.org/pinhoist/internal/design"

// symbol is a picture of three rows. The wire enters and leaves in column wire;
// a control wire meets the left edge of the middle row.
type symbol struct {
	box, ascii []string
	wire       int
}

var (
	symResistor  = symbol{[]string{" ┌┴┐", " │ │", " └┬┘"}, []string{" .+.", " | |", " '+'"}, 2}
	symBox       = symbol{[]string{"┌─┴─┐", "│   │", "└─┬─┘"}, []string{".-+-.", "|   |", "'-+-'"}, 2}
	symCoil      = symbol{[]string{"┌─┴─┐", "│ ╱ │", "└─┬─┘"}, []string{".-+-.", "| / |", "'-+-'"}, 2}
	symFuse      = symbol{[]string{" ┌┴┐", " │││", " └┬┘"}, []string{" .+.", " |||", " '+'"}, 2}
	symCap       = symbol{[]string{" ─┴─", " ─┬─", "  │"}, []string{" -+-", " -+-", "  |"}, 2}
	symContactNC = symbol{[]string{"  o", "  │╲", "  o"}, []string{"  o", "  |\\", "  o"}, 2}
	symContact   = symbol{[]string{"  o", "   ╲", "  o"}, []string{"  o", "   \\", "  o"}, 2}
	symLED       = symbol{[]string{"┌─┴─┐", "│ ▼>│", "└─┬─┘"}, []string{".-+-.", "| v>|", "'-+-'"}, 2}
	symSolid     = symbol{[]string{"┌─┴─┐", "│ ▷ │", "└─┬─┘"}, []string{".-+-.", "| > |", "'-+-'"}, 2}
	symTVS       = symbol{[]string{"  ▼", " ┌┼┘", "  ▲"}, []string{"  v", " ,+'", "  ^"}, 2}
	symDiodeUp   = symbol{[]string{" ─┴─", "  ▲", "  │"}, []string{" -+-", "  ^", "  |"}, 2}
	symDiodeDn   = symbol{[]string{"  │", "  ▼", " ─┬─"}, []string{"  |", "  v", " -+-"}, 2}
	symZenerUp   = symbol{[]string{" ┌┴┘", "  ▲", "  │"}, []string{" ,+'", "  ^", "  |"}, 2}
	symZenerDn   = symbol{[]string{"  │", "  ▼", " ┌┬┘"}, []string{"  |", "  v", " ,+'"}, 2}
	// The transistors: N types have their collector or drain on top, P types
	// their emitter or source.
	symNPN = symbol{[]string{" ├─┘", "─┤", " ├>┐"}, []string{" |-+", "-|", " |>+"}, 3}
	symPNP = symbol{[]string{" ├<┘", "─┤", " ├─┐"}, []string{" |<+", "-|", " |-+"}, 3}
	symN   = symbol{[]string{"│├─┘", "┤├<┐", "│├─┤"}, []string{"||-+", "||<+", "||-+"}, 3}
	// A channel of an array, a module: what it does, not what is in it.
	symChannel = symbol{[]string{" ┌─┴┐", "─┤▷ │", " └─┬┘"}, []string{" .-+.", "-|> |", " '-+'"}, 3}
	symP       = symbol{[]string{"│├─┤", "┤├>┘", "│├─┐"}, []string{"||-+", "||>+", "||-+"}, 3}
)

const symbolRows = 3

// symbolOf picks the symbol of an element whose node top is the upper one.
func symbolOf(e *design.Element, top string) symbol {
	first := len(e.Nodes) > 0 && e.Nodes[0] == top
	if e.Role == design.RoleLoad && e.Kind != "relay-coil" && e.Kind != "ssr-input" {
		return symBox // whatever its kind
	}
	switch e.Kind {
	case "resistor":
		return symResistor
	case "relay-coil":
		return symCoil
	case "relay-contact":
		return symContact
	case "relay-contact-nc":
		return symContactNC
	case "fuse":
		return symFuse
	case "capacitor":
		return symCap
	case "tvs", "mov":
		return symTVS
	case "ssr-input":
		return symLED
	case "ssr-output":
		return symSolid
	case "diode", "led":
		return pick(first, symDiodeDn, symDiodeUp)
	case "zener":
		return pick(first, symZenerDn, symZenerUp)
	case "array", "module":
		return symChannel
	case "bjt":
		return pick(e.Nodes[1] == top, symNPN, symPNP)
	case "mosfet":
		return pick(e.Nodes[1] == top, symN, symP)
	}
	return symBox
}

func pick(first bool, a, b symbol) symbol {
	if first {
		return a
	}
	return b
}

// rows returns the symbol's picture.
func (s symbol) rows(ascii bool) []string {
	if ascii {
		return s.ascii
	}
	return s.box
}
