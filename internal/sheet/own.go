package sheet

import (
	"fmt"
	"slices"
	"strings"

	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
)

// OwnVerdicts tells in lines how a part does for a load: each way to use it with its
// verdict, the best first, and where it stands among all parts; or why there is none.
func OwnVerdicts(own *engine.Own, part string) []string {
	var lines []string
	for i, r := range own.Rows {
		line := fmt.Sprintf("%s as %s", verdictText(r.Verdict, ""), UsedAs(r.Topology))
		if r.Headroom.OK {
			line += ", headroom " + Headroom(r.Headroom)
		}
		switch {
		case r.Verdict == design.Over && i < len(own.Designs):
			line += ": " + failures(own.Designs[i])
		case r.Verdict == design.Unproven && i < len(own.Designs):
			line += ", not guaranteed: " + notProven(own.Designs[i])
		case r.Limiting != nil && r.Verdict != design.Unproven:
			line += ", runs out first: " + ShortCheck(r.Limiting.ID, r.Limiting.Stage)
		}
		if i == 0 {
			line += fmt.Sprintf("; place %d of %d by verdict and cost", own.Place, len(own.Load.Rows))
		}
		lines = append(lines, oneLine(line))
	}
	for _, n := range own.NotServed {
		if n.Topology == "" || len(own.Rows) == 0 {
			lines = append(lines, oneLine("not served: "+n.Why))
		}
	}
	switch {
	case own.UsedIn > 0:
		lines = append(lines, fmt.Sprintf("a helper in %d of %d stages", own.UsedIn, len(own.Load.Rows)))
	case len(lines) == 0:
		lines = append(lines, "no stage takes "+oneLine(part)+": others do it for less, or nothing needs one")
	}
	return lines
}

// provenNames is how many checks that are not proven are named.
const provenNames = 3

// notProven tells checks that are not proven; a gate that may not be driven stands first,
// with its numbers, for it is why others are not.
func notProven(d *design.Design) string {
	var names []string
	for _, i := range Ordered(d) {
		c := &d.Checks[i]
		switch {
		case c.Verdict != design.Unproven:
		case c.ID == design.GateDrive && c.Stage == design.StageSelf:
			stress, rating, _ := Sides(c)
			names = slices.Insert(names, 0, fmt.Sprintf("%s (%s demanded, %s given)", ShortCheck(c.ID, c.Stage), stress, rating))
		default:
			names = append(names, ShortCheck(c.ID, c.Stage))
		}
	}
	if n := len(names) - provenNames; n > 0 {
		names = append(names[:provenNames], fmt.Sprintf("%d more", n))
	}
	return strings.Join(names, ", ")
}

// failures tells the checks that are over, those first that pass or do not: a gate that
// is not driven is why the others fail.
func failures(d *design.Design) string {
	var first, then []string
	for _, i := range Ordered(d) {
		c := &d.Checks[i]
		if c.Verdict != design.Over {
			continue
		}
		stress, rating, _ := Sides(c)
		text := ShortCheck(c.ID, c.Stage)
		if c.Stress.OK || c.Rating.OK {
			text += fmt.Sprintf(", %s demanded, %s guaranteed", stress, rating)
		}
		if c.ID.Sort() == design.Proof {
			first = append(first, text)
		} else {
			then = append(then, text)
		}
	}
	return strings.Join(append(first, then...), "; ")
}

// Wanted is one figure that a data sheet must still give.
type Wanted struct {
	Figure   string // its key
	What     string // what it is, "" where the key says it
	Suffices string // "at most 6 nC", or that no value alone does
	Leaves   string // what stays unproven without it
	Alone    bool   // Suffices is a value
}

// WantedFigures are those that a design waits for, the most decisive first.
func WantedFigures(det *engine.Detailed) []Wanted {
	if det == nil {
		return nil
	}
	var out []Wanted
	for _, w := range wanted(det) {
		out = append(out, Wanted{Figure: w.figure, What: FigureText(w.figure), Suffices: w.suffices, Leaves: strings.Join(w.checks, ", "), Alone: w.suffices != noneAlone})
	}
	return out
}
