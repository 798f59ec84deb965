package tui

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"example.org/pinhoist/internal/job"
)

// formState is all that an edit can change, as plain data: the job, the texts that
// could not be taken into it, and where the cursor stood.
type formState struct {
	spec  *job.Spec
	load  int
	path  string // the field at the cursor
	raw   map[string]rawText
	aside map[string]string
}

// rawText is a text that is not taken, and why.
type rawText struct{ text, err string }

// history is what can be undone and done again. Neighbouring keystrokes in one
// field are one step.
type history struct {
	past, future []formState
	typing       string // path of the field whose keystrokes are gathered; "": none
}

// maxUndo is how many edits can be undone: more than anyone remembers, and at a
// few kilobytes each little to hold.
const maxUndo = 500

// note keeps the state before an edit. typed is the field that was typed into, ""
// for an edit that stands alone.
func (h *history) note(before formState, typed string) {
	h.future = nil
	if typed != "" && typed == h.typing {
		return
	}
	h.typing = typed
	h.past = append(h.past, before)
	if n := len(h.past) - maxUndo; n > 0 {
		h.past = slices.Delete(h.past, 0, n)
	}
}

// state is the form as it stands.
func (p *jobPane) state() formState {
	s := formState{spec: job.Clone(p.spec), load: p.load, raw: map[string]rawText{}, aside: maps.Clone(p.aside)}
	if p.at < len(p.fields) {
		s.path = p.fields[p.at].path
	}
	for i := range p.fields {
		if f := &p.fields[i]; f.err != "" {
			s.raw[f.path] = rawText{f.text, f.err}
		}
	}
	return s
}

// restore puts the form into a state that it was in.
func (p *jobPane) restore(s formState) {
	p.spec, p.load, p.aside = job.Clone(s.spec), s.load, maps.Clone(s.aside)
	p.fields = nil
	p.rebuild()
	at := 0
	for i := range p.fields {
		f := &p.fields[i]
		if r, ok := s.raw[f.path]; ok {
			f.text, f.err = r.text, r.err
		}
		if f.path == s.path {
			at = i
		}
	}
	p.focus(at)
}

// undo takes the last edit back and reports whether there was one.
func (p *jobPane) undo() bool { return p.step(&p.history.past, &p.history.future) }

// redo does again what was undone last.
func (p *jobPane) redo() bool { return p.step(&p.history.future, &p.history.past) }

func (p *jobPane) step(from, to *[]formState) bool {
	n := len(*from)
	if n == 0 {
		return false
	}
	last := (*from)[n-1]
	*to = append(*to, p.state())
	*from = (*from)[:n-1]
	p.history.typing = ""
	p.restore(last)
	return true
}

// edit does an edit that stands alone, so that it can be undone.
func (p *jobPane) edit(do func() bool) bool {
	before := p.state()
	if !do() {
		return false
	}
	p.history.note(before, "")
	return true
}

// addLoad puts a new load behind the one at hand, fed from where that one is. Its
// current is for the person to state.
func (p *jobPane) addLoad() bool {
	return p.edit(func() bool {
		l := job.LoadSpec{Kind: string(job.Resistive)}
		if p.load < len(p.spec.Loads) {
			was := &p.spec.Loads[p.load]
			l.Rail, l.Supply, l.SupplyTolerance = was.Rail, was.Supply, was.SupplyTolerance
		}
		l.Name = p.freeName("load")
		p.insert(l)
		return true
	})
}

// copyLoad puts a copy of the load at hand behind it.
func (p *jobPane) copyLoad() bool {
	return p.edit(func() bool {
		if p.load >= len(p.spec.Loads) {
			return false
		}
		l := job.Clone(p.spec).Loads[p.load]
		l.Name = p.freeName(l.Name)
		p.insert(l)
		return true
	})
}

func (p *jobPane) insert(l job.LoadSpec) {
	p.spec = job.Clone(p.spec)
	at := min(p.load+1, len(p.spec.Loads))
	p.spec.Loads = slices.Insert(p.spec.Loads, at, l)
	p.shiftAside(at, 1)
	p.setLoad(at)
}

// removeLoad takes the load at hand out of the job; the last one stays.
func (p *jobPane) removeLoad() bool {
	if len(p.spec.Loads) < 2 {
		return false
	}
	return p.edit(func() bool {
		p.spec = job.Clone(p.spec)
		name := p.spec.Loads[p.load].Name
		p.spec.Loads = slices.Delete(p.spec.Loads, p.load, p.load+1)
		p.renamed(name, "")
		p.shiftAside(p.load, -1)
		p.setLoad(min(p.load, len(p.spec.Loads)-1))
		return true
	})
}

// renamed keeps what other loads say of a load that has another name now, or is
// gone ("").
func (p *jobPane) renamed(from, to string) {
	for i := range p.spec.Loads {
		names := slices.Clone(p.spec.Loads[i].ExclusiveWith)
		for k := range names {
			if names[k] == from {
				names[k] = to
			}
		}
		p.spec.Loads[i].ExclusiveWith = slices.DeleteFunc(names, func(n string) bool { return n == "" })
	}
}

// shiftAside moves the figures set aside along with their loads: from load at on
// by one; those of a load that goes are dropped.
func (p *jobPane) shiftAside(at, by int) {
	old := p.aside
	p.aside = map[string]string{}
	for path, text := range old {
		var i int
		var key string
		if n, _ := fmt.Sscanf(path, "load[%d].%s", &i, &key); n == 2 {
			switch {
			case by < 0 && i == at:
				continue
			case i >= at:
				path = fmt.Sprintf("load[%d].%s", i+by, key)
			}
		}
		p.aside[path] = text
	}
}

// freeName is a name like the one given that no load of the job has.
func (p *jobPane) freeName(like string) string {
	// "load 2" is followed by "load 3", not "load 2 3".
	if at := strings.LastIndexByte(like, ' '); at > 0 {
		if _, err := strconv.Atoi(like[at+1:]); err == nil {
			like = like[:at]
		}
	}
	for n := len(p.spec.Loads) + 1; ; n++ {
		name := like + " " + strconv.Itoa(n)
		if !slices.ContainsFunc(p.spec.Loads, func(l job.LoadSpec) bool { return l.Name == name }) {
			return name
		}
	}
}
