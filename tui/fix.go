package tui

import (
	"fmt"
	"slices"
	"strings"

	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/sheet"
)

// fixList is the page of what would make the design at hand fit. Each entry can be
// tried: the screen edits the job with it, and undo takes it back.
type fixList struct {
	load  int
	fixes []tryable
	at    int
	other string // another way to use the part that may do, "": none is told
}

// tryable is a fix and the field that it edits.
type tryable struct {
	check string
	fix   engine.Fix
	path  string // "": the job has no such field
	state string // what is to be stated there, in place of a fix; "": it is one
	other bool   // other designs fit with it, this one need not
}

// text says what the change is, in the words of the form.
func (t *tryable) text() string {
	switch {
	case t.other:
		return "add a supply of " + t.fix.To + " to the job, for the gates"
	case t.state != "":
		return t.state
	case t.path == "" || t.fix.From == "":
		return inWords(sheet.FixText(&t.fix))
	}
	text := labelOf(t.path) + ": " + t.fix.To + " instead of " + t.fix.From
	for i, id := range t.fix.ThenFails {
		if i == 0 {
			text += "; but then fails "
		} else {
			text += ", "
		}
		text += sheet.ShortCheck(id, design.StageSelf)
	}
	return text
}

// fixesOf lists the fixes of a design, those of the limiting check first. A rail with which
// other designs fit, where none does without, stands before them all.
func fixesOf(det *engine.Detailed, spec *job.Spec, load int, rail engine.Helping) fixList {
	l := fixList{load: load}
	for _, i := range sheet.Ordered(det.Design) {
		if i >= len(det.Fixes) {
			continue
		}
		c := &det.Design.Checks[i]
		for _, f := range det.Fixes[i] {
			t := tryable{check: c.Verdict.Sign() + " " + sheet.ShortCheck(c.ID, c.Stage), fix: f, path: fixPath(&f, spec, load)}
			l.fixes = append(l.fixes, t)
		}
	}
	if rail.Fits > 0 && !slices.ContainsFunc(l.fixes, func(t tryable) bool { return t.fix.Field == rail.Field }) {
		f := engine.Fix{Kind: engine.FixJob, Field: rail.Field, To: rail.To}
		l.fixes = slices.Insert(l.fixes, 0, tryable{check: sheet.HelpingCount(rail.Fits), fix: f, path: fixPath(&f, spec, load), other: true})
	}
	l.wanted(det, spec)
	l.other = otherWay(det.Design)
	if det.Design.Verdict == design.Unproven { // nothing is wrong, something is not known
		slices.SortStableFunc(l.fixes, func(a, b tryable) int { return a.rank() - b.rank() })
	}
	return l
}

// otherWay says how a gate that the pin drives too little may be driven otherwise.
func otherWay(d *design.Design) string {
	way := sheet.UsedAs("n-mosfet-boosted")
	for i := range d.Checks {
		c := &d.Checks[i]
		if c.ID == design.GateDrive && c.Stage == design.StageSelf && c.Verdict > design.Tight && strings.HasPrefix(d.Topology, "n-mosfet-") && sheet.UsedAs(d.Topology) != way {
			return "The pin drives its gate too little. Used as " + way + " it gets more: Esc twice, / and " + clean(d.Part) + ", and open that row; where the job lacks a rail for it, the fixes there add one."
		}
	}
	return ""
}

// rank puts what a person can state in the job before what would have to change.
func (t *tryable) rank() int {
	switch {
	case t.other:
		return 0
	case t.state != "" && t.path != "":
		return 1
	}
	return 2
}

// wanted adds the figures that would prove what is unproven, as far as a field of the job
// holds them, and the demand that it rests on where that can be left out.
func (l *fixList) wanted(det *engine.Detailed, spec *job.Spec) {
	sign := design.Unproven.Sign() + " "
	for _, f := range sheet.WantedFigures(det) {
		t := tryable{check: sign + "to state", state: wantedText("", &f)}
		if key, ok := strings.CutPrefix(f.Figure, "load."); ok {
			t.path = inSpec(spec, fmt.Sprintf("load[%d].%s", l.load, key))
		}
		l.fixes = append(l.fixes, t)
	}
	for i := range det.Design.Checks {
		c := &det.Design.Checks[i]
		path := fmt.Sprintf("load[%d].release_within", l.load)
		if c.ID == design.ReleaseTime && c.Verdict != design.Fits && inSpec(spec, path) != "" {
			l.fixes = append(l.fixes, tryable{check: c.Verdict.Sign() + " " + sheet.ShortCheck(c.ID, c.Stage), path: path,
				state: labelOf(path) + ", on Job: empty, where it does not matter how fast it lets go"})
		}
	}
}

// fixPath is where the job holds what a fix changes, "" where it does not.
func fixPath(f *engine.Fix, spec *job.Spec, load int) string {
	if load >= len(spec.Loads) || f.To == "" {
		return ""
	}
	l := &spec.Loads[load]
	if f.Kind != engine.FixJob { // of a stage as built
		// Where a clamp stands is a field of its own: two edits, not one.
		if l.Built == nil || f.Field == "clamp" && (l.Built.ClampPlacement != "" || strings.ContainsAny(f.To, " +")) {
			return ""
		}
		return inSpec(spec, fmt.Sprintf("load[%d].built.%s", load, f.Field))
	}
	table, key, ok := strings.Cut(f.Field, ".")
	switch {
	case !ok:
		return ""
	case table == "load":
		return inSpec(spec, fmt.Sprintf("load[%d].%s", load, key))
	case table == "rail":
		for i := range spec.Rails {
			if spec.Rails[i].Name == l.Rail {
				return inSpec(spec, fmt.Sprintf("rail[%d].%s", i, key))
			}
		}
		return ""
	case table == fmt.Sprintf("rail[%d]", len(spec.Rails)):
		return f.Field // setting it adds the rail
	}
	return inSpec(spec, f.Field)
}

func inSpec(spec *job.Spec, path string) string {
	if _, ok := job.Get(spec, path); !ok {
		return ""
	}
	return path
}

// Key takes one key and reports whether the fix at the cursor is to be tried.
func (l *fixList) Key(act action) bool {
	l.at = within(moved(l.at, len(l.fixes), act), len(l.fixes))
	return act == actTry && l.at < len(l.fixes)
}

// items tells the list as a page does.
func (l *fixList) items() []pageItem {
	if len(l.fixes) == 0 {
		items := []pageItem{{"", "No one change is known that would make this design fit. Other parts may: Esc, then the next row."}}
		if l.other != "" {
			items = append(items, pageItem{}, pageItem{"", l.other})
		}
		return items
	}
	items := []pageItem{{"", "Each change was tried: with it the check beside it fits. Enter puts it into the job, and undo takes it back."}, {}}
	tried := slices.ContainsFunc(l.fixes, func(t tryable) bool { return t.state == "" })
	switch {
	case l.fixes[0].other:
		items[0].text = "The first change was tried: with it other designs fit, where none does now. Of each below it the check beside it does. Enter puts it into the job, and undo takes it back."
	case tried && l.fixes[0].state != "":
		items[0].text = "What is not stated comes first: Enter goes to its field. Each change below was tried: with it the check beside it fits. Enter puts it into the job, and undo takes it back."
	case !tried:
		items[0].text = "No one change is known that would make this design fit; it lacks figures. Enter goes to the field where one is stated."
	}
	for i := range l.fixes {
		t := &l.fixes[i]
		label := "  "
		if i == l.at {
			label = "> "
		}
		text := inWords(clean(t.text()))
		switch {
		case t.path == "" && t.state != "":
			text += " (a figure of the part: enter your own part, with " + ownKey + ")"
		case t.path == "":
			text += " (not a field of the job: to be done by hand)"
		}
		items = append(items, pageItem{label + t.check, text})
	}
	if l.other != "" {
		items = append(items, pageItem{}, pageItem{"", l.other})
	}
	return items
}

// try puts a fix into the job, as an edit that can be undone.
func (p *jobPane) try(t *tryable) error {
	var err error
	p.edit(func() bool {
		spec := job.Clone(p.spec)
		if err = job.Set(spec, t.path, t.fix.To); err != nil {
			return false
		}
		p.spec = spec
		p.dropRaw(t.path)
		p.rebuild()
		p.reveal(t.path)
		return true
	})
	return err
}

// dropRaw forgets a text of a field that was not taken.
func (p *jobPane) dropRaw(path string) {
	for i := range p.fields {
		if p.fields[i].path == path {
			p.fields[i].err = ""
		}
	}
}
