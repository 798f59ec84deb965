package sheet

import (
	"slices"

	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/job"
)

// failState says what the load does when something goes wrong. It is read from
// the roles and nodes of the circuit.
func failState(d *design.Design, l *job.Load) []string {
	list := []string{shortText(d)}
	if slices.Contains(d.Cautions, design.CautionLatching) {
		list = append(list, "If a wire to the load breaks, the load is off.", "If the wire from a pin breaks, that pulse does not come: the load stays as it was.",
			"While the logic has no supply, and when power returns, the load stays as it was last, until the program gives the first pulse.")
	} else {
		list = append(list, "If a wire to the load breaks, the load is off.", controlText(d), powerText(l))
	}
	if l != nil && l.StuckOnHarmful {
		list = append(list, "Stuck on is harmful here: a second, independent means of disconnection is needed, one that does not pass through this switch, this pin or this program.")
	} else {
		list = append(list, "If that would harm anyone or anything, a second, independent means of disconnection is needed.")
	}
	return append(list, "A transistor or a relay is not an emergency stop and not a safety function.")
}

// shortText is what a switch does that fails short, as most do.
func shortText(d *design.Design) string {
	kind := ""
	for i := range d.Elements {
		e := &d.Elements[i]
		if e.Role == design.RoleSwitch || e.Role == design.RoleContact {
			kind = e.Kind
		}
	}
	switch {
	case kind == "relay-contact-nc":
		return "If the contact welds, or the coil or its driver fails open, the load stays on whatever the pin says; a driver that fails short turns it off."
	case kind == "relay-contact" && d.Driver != nil && halves(d.Driver):
		return weldText(d) + " whatever the pins say. If a switch of the coil's bridge fails, it stays as it was; one that fails short shorts the coil's rail at the next change of direction: fuse that rail." + aloneText(d)
	case kind == "relay-contact" && slices.Contains(d.Cautions, design.CautionLatching):
		return weldText(d) + " whatever the pins say. If the driver of a coil fails short, it stays where that coil puts it." + aloneText(d)
	case kind == "relay-contact" && d.Choice.Poles == job.PolesSeries:
		return "If both contacts weld, or the coil's driver fails short, the load stays on whatever the pin says." + aloneText(d)
	case kind == "relay-contact" && d.Choice.Poles == job.PolesParallel:
		return "If either contact welds, or the coil's driver fails short, the load stays on whatever the pin says."
	case kind == "relay-contact":
		return "If the contact welds, or the coil's driver fails short, the load stays on whatever the pin says."
	case kind == "ssr-output":
		return "A solid-state relay fails short more often than open: the load then stays on whatever the pin says, and nothing on its case shows it. It leaks while it is off: disconnect before touching anything behind it."
	case halves(d):
		return "If a switch of the bridge fails short, as overloaded semiconductors mostly do, the next change of direction shorts the rail through the one above or below it, and the motor may be braked hard: fuse the rail."
	case kind == "":
		return "If the pin's output fails, the load stays on or off as it fails, whatever the program says."
	}
	return "If the switch fails short, as overloaded semiconductors mostly do, the load stays on whatever the pin says."
}

// weldText is what a contact that welds leaves, by how many have to.
func weldText(d *design.Design) string {
	which := map[string]string{job.PolesSeries: "both contacts weld", job.PolesParallel: "either contact welds"}[d.Choice.Poles]
	if which == "" {
		which = "the contact welds"
	}
	return "If " + which + ", the load stays on"
}

// aloneText says of two contacts in series what one that welds leaves.
func aloneText(d *design.Design) string {
	if d.Choice.Poles != job.PolesSeries {
		return ""
	}
	return " A contact that welds alone shows nothing, and leaves the other more than it bears: look for it."
}

// controlText is what a broken wire from the pin does.
func controlText(d *design.Design) string {
	stage := d
	if d.Driver != nil {
		stage = d.Driver
	}
	node := ""
	for i := range stage.Elements {
		if e := &stage.Elements[i]; three(e) {
			node = e.Nodes[0]
		}
	}
	for i := range d.Elements {
		if d.Elements[i].Kind == "relay-contact-nc" {
			return "If the wire from the pin breaks, the coil is off and the contact closed: the load is on."
		}
	}
	for i := range d.Elements {
		if e := &d.Elements[i]; e.Kind == "module" {
			return "If the wire from the pin breaks, no current flows in the module's input: the load is off."
		}
	}
	if node == "" {
		return "If the wire from the pin breaks, the load is off."
	}
	if reaches(stage, node) {
		return "If the wire from the pin breaks, the pull-down holds the stage off; if the pull-down itself breaks, the control floats and the load may be on, off or between."
	}
	return "If the wire from the pin breaks, nothing holds the control: the load may be on, off or between, and the switch may overheat."
}

func three(e *design.Element) bool {
	return (e.Kind == "bjt" || e.Kind == "mosfet" || e.Kind == "array" || e.Kind == "module") && len(e.Nodes) == 3
}

// reaches reports whether a pull-down still holds the control node when the pin
// is gone: from the node through the drive resistors to a pull-down.
func reaches(d *design.Design, node string) bool {
	at := map[string]bool{node: true}
	for range d.Elements {
		for i := range d.Elements {
			e := &d.Elements[i]
			if len(e.Nodes) != 2 || !at[e.Nodes[0]] && !at[e.Nodes[1]] {
				continue
			}
			switch e.Role {
			case design.RolePullDown:
				return true
			case design.RoleDriveResistor, design.RoleSeriesResistor:
				at[e.Nodes[0]], at[e.Nodes[1]] = true, true
			}
		}
	}
	return false
}

// powerText is what happens while the logic has no supply and when it returns.
func powerText(l *job.Load) string {
	if l == nil {
		return "When power returns the pin is at reset until the program runs."
	}
	switch l.Unpowered {
	case "on":
		return "While the logic has no supply the load is meant to be on; when power returns the pin is at reset until the program runs, then the load does what the program says, without warning."
	case "any":
		return "While the logic has no supply the load may be on or off; when power returns it does what the program says, without warning."
	}
	return "While the logic has no supply, and at reset when power returns, the stage is to hold the load off (stays-off judges it); then the load does what the program says, without warning."
}

// halves reports whether two switches stand in a row from rail to ground.
func halves(d *design.Design) bool {
	for i := range d.Elements {
		a := &d.Elements[i]
		if a.Role != design.RoleSwitch || !three(a) {
			continue
		}
		for k := range d.Elements {
			b := &d.Elements[k]
			if k != i && b.Role == design.RoleSwitch && three(b) && a.Nodes[1] == b.Nodes[1] && a.Nodes[2] != b.Nodes[2] {
				return true
			}
		}
	}
	return false
}

// solid reports whether a solid-state relay switches the load.
func solid(d *design.Design) bool {
	for i := range d.Elements {
		if d.Elements[i].Kind == "ssr-output" {
			return true
		}
	}
	return false
}

// boarded reports whether a module that separates its input from its output switches the
// load.
func boarded(d *design.Design) bool {
	for i := range d.Elements {
		if e := &d.Elements[i]; e.Kind == "module" && e.Role == design.RoleCoil {
			return true
		}
	}
	return false
}
