package tui

import (
	"fmt"
	"strings"

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
}

// tryable is a fix and the field that it edits.
type tryable struct {
	check string
	fix   engine.Fix
	path  string // "": the job has no such field
}

// fixesOf lists the fixes of a design, those of the limiting check first.
func fixesOf(det *engine.Detailed, spec *job.Spec, load int) fixList {
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
	return l
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
		return []pageItem{{"", "Nothing is known that would make this design fit by one change; or it fits already."}}
	}
	items := []pageItem{{"", "Each change was tried: with it the check beside it fits. Enter puts it into the job, and undo takes it back."}, {}}
	for i := range l.fixes {
		t := &l.fixes[i]
		label := "  "
		if i == l.at {
			label = "> "
		}
		text := clean(sheet.FixText(&t.fix))
		if t.path == "" {
			text += " (not a field of the job: to be done by hand)"
		}
		items = append(items, pageItem{label + t.check, text})
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
