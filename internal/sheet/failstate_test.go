package sheet

import (
	"strings"
	"testing"

	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/job"
)

// What welds and what fails short is told of each arrangement of poles and coils: two
// contacts in series have both to weld, whatever drives the coil, and a latching relay
// stays where its coil puts it and not always on.
func TestWhatAWeldedContactLeaves(t *testing.T) {
	half := &design.Design{Elements: []design.Element{
		{Ref: "Q1", Role: design.RoleSwitch, Kind: "mosfet", Nodes: []string{"drive A", "out B", "ground"}},
		{Ref: "Q3", Role: design.RoleSwitch, Kind: "mosfet", Nodes: []string{"gate B", "out B", "rail"}}}}
	latching := []string{design.CautionLatching}
	for _, r := range []struct {
		name     string
		poles    string
		driver   *design.Design
		cautions []string
		has, not string
	}{
		{"one", job.PolesOne, &design.Design{}, nil, "If the contact welds, or the coil's driver fails short, the load stays on", "alone"},
		{"series", job.PolesSeries, &design.Design{}, nil, "A contact that welds alone shows nothing", "the contact welds"},
		{"parallel", job.PolesParallel, &design.Design{}, nil, "If either contact welds", "alone"},
		{"one coil", job.PolesOne, half, latching, "If a switch of the coil's bridge fails, it stays as it was", "the coil's driver"},
		{"one coil, series", job.PolesSeries, half, latching, "If both contacts weld, the load stays on", "the contact welds"},
		{"two coils", job.PolesOne, &design.Design{}, latching, "stays where that coil puts it", "or the coil's driver"},
		{"two coils, series", job.PolesSeries, &design.Design{}, latching, "A contact that welds alone shows nothing", "or the coil's driver"},
	} {
		d := &design.Design{Topology: "relay", Driver: r.driver, Cautions: r.cautions, Choice: design.Choice{Poles: r.poles},
			Elements: []design.Element{{Role: design.RoleSwitch, Kind: "relay-contact"}}}
		if got := shortText(d); !strings.Contains(got, r.has) || strings.Contains(got, r.not) {
			t.Errorf("%s: %s", r.name, got)
		}
	}
}
