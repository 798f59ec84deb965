package tui

import (
	"slices"
	"strconv"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/quantity"
	"example.org/pinhoist/internal/sheet"
)

// The views of a design, in lines: each asks the Model as a key of the screen does, and
// says what came of it.

// look opens a view of a row and reports whether it has an answer. Afterwards it is
// closed again, its answer kept.
func (p *plain) look(name string, kind pageKind, act action) bool {
	if p.open(name) == nil {
		return false
	}
	return p.asked(kind, act)
}

func (p *plain) asked(kind pageKind, act action) bool {
	if why := p.m.off(act); why != "" {
		p.say("Not now: %s.", why)
		return false
	}
	p.run(p.m.openLook(kind))
	p.m.page.kind = pageNone
	if p.m.look.failed != "" {
		p.say("! %s", p.m.look.failed)
		return false
	}
	return true
}

// bands tells the colours of the resistors of a stage.
func (p *plain) bands(name string) {
	if det := p.open(name); det != nil {
		p.items(bandItems(p.m.st, engine.Bands(p.m.opt.Catalog, det.Design)))
	}
}

// circuit tells each element of a stage with what it joins.
func (p *plain) circuit(name string) {
	if p.open(name) == nil {
		return
	}
	for _, c := range chapters(sheet.Sheet(p.m.design.input, p.m.design.det, sheet.SheetOptions{Told: true}).Blocks) {
		if c.heading == circuitHeading {
			p.write((&sheet.Doc{Blocks: c.blocks}).Linear(plainColumns))
		}
	}
}

// drive tells whether the drive is enough, and what any other would do.
func (p *plain) drive(name string) {
	if !p.look(name, pageDrive, actDrive) {
		return
	}
	v := &p.m.look.drive
	if v.got == nil || len(v.got.Curve) == 0 {
		p.say("There is nothing to tell of its drive.")
		return
	}
	g := v.got
	x, y := v.units()
	for _, text := range v.heading(p.m.st, farDown) {
		p.say("%s.", strings.TrimSpace(text))
	}
	if g.Gate && g.VthMin.OK && g.VthMax.OK {
		p.say("Its threshold is between %s and %s: there it barely conducts.", sheet.AtLeast(g.VthMin, x), sheet.AtMost(g.VthMax, x))
	}
	for _, s := range g.Stated {
		text := "Stated at " + sheet.Solved(s.X, x)
		if s.Max.OK {
			text += ": at most " + sheet.AtMost(s.Max, y)
		}
		if s.Typ.OK {
			text += ", typically " + sheet.AtMost(s.Typ, y)
		}
		if !s.Serves {
			text += "; not for this current"
		}
		p.say("%s.", text)
	}
	for _, e := range g.Edges {
		p.say("From %s on: %s.", sheet.Solved(e.High, x), e.After)
	}
	p.say("%s.", v.here(p.m.st))
	p.cursor("Another drive", string(x), func(want float64) string {
		v.at = 0
		for i := range g.Curve {
			if g.Curve[i].X <= want {
				v.at = i
			}
		}
		return v.here(p.m.st)
	})
}

// here is what stands at the cursor of a view of drive, in a sentence.
func (v *driveView) here(st *styles) string {
	return strings.TrimPrefix(strings.TrimSpace(v.reading(st, farDown)[0]), "> ")
}

// cursor asks for values, and says what is read off at each, until there is none more.
func (p *plain) cursor(what, unit string, read func(float64) string) {
	for {
		line, ok := p.ask(what + "? Enter ends: ")
		if !ok || line == "" {
			return
		}
		value, err := valueOf(line, unit)
		if err != nil {
			p.say("x %s", err)
			continue
		}
		p.say("%s.", read(value))
	}
}

// valueOf reads a quantity of a unit of the engine's answers, as SI.
func valueOf(text, unit string) (float64, error) {
	text = mended(text, typedUnit(unit))
	switch design.Unit(unit) {
	case design.V:
		return siOf[quantity.Volt](text)
	case design.A:
		return siOf[quantity.Amp](text)
	case design.Ohm:
		return siOf[quantity.Ohm](text)
	case design.DegC:
		return siOf[quantity.Celsius](text)
	case design.Hz:
		return siOf[quantity.Hertz](text)
	}
	return siOf[quantity.Ratio](text)
}

func siOf[Q quantity.Quantity](text string) (float64, error) {
	v, err := quantity.Parse[Q](text)
	return float64(v), err
}

// whatIf moves one quantity of the part at hand.
func (p *plain) whatIf(rest string) {
	v := &p.m.look.sweep
	v.field = ""
	if !p.look("", pageSweep, actSweep) || v.got == nil {
		return
	}
	can := v.got.Can
	if rest == "" {
		for i := range can {
			p.say("%d. %s, %s, now %s", i+1, can[i].Field, sheet.MovedName(&can[i]), sheet.Solved(can[i].Now, can[i].Unit))
		}
		line, ok := p.ask("Which quantity? Enter none: ")
		if rest = line; !ok || rest == "" {
			return
		}
	}
	name, factor, _ := strings.Cut(rest, " ")
	at := slices.IndexFunc(can, func(c engine.Sweepable) bool { return c.Field == name || strings.HasSuffix(c.Field, "."+name) })
	if n, err := strconv.Atoi(name); err == nil {
		at = n - 1
	}
	if at < 0 || at >= len(can) {
		p.say("There is no quantity %s; what-if alone lists them.", name)
		return
	}
	ask := engine.SweepAsk{Field: can[at].Field, Span: sweepSpans[sweepSpanUsual]}
	if factor = strings.TrimSpace(factor); factor != "" {
		f, err := strconv.ParseFloat(factor, 64)
		if most := sweepSpans[len(sweepSpans)-1]; err != nil || !(f > 1 && f <= most) {
			p.say("x found %s, expected a factor above 1, at most %g", factor, most)
			return
		}
		ask.Span = f
	}
	p.run(p.m.askSweepOf(ask))
	if p.m.look.failed != "" {
		p.say("! %s", p.m.look.failed)
		return
	}
	p.write(sheet.Swept(p.m.result, p.m.parts.row(), v.got).Linear(plainColumns))
	p.cursor("At which value", string(v.got.Of.Unit), func(want float64) string {
		v.at = v.nearest(want)
		say := func(x float64) string { return sheet.Solved(x, v.got.Of.Unit) }
		return "the nearest that was tried, " + strings.TrimPrefix(strings.TrimSpace(v.reading(p.m.st, &v.got.Points[v.at], say, farDown)), "> ")
	})
}

// breakIt lists what becomes of a stage with one element changed, tells one of them in
// full, and offers to state it as built.
func (p *plain) breakIt(name string) {
	if !p.look(name, pageBreaks, actBreaks) {
		return
	}
	v := &p.m.look.breaks
	if len(v.got) == 0 {
		p.say("This stage has no element that could be left out or changed.")
		return
	}
	for i := range v.got {
		b := &v.got[i]
		names := worse(b)
		if names == "" {
			names = noneWorse
		}
		p.say("%d. %s: %s; %s.", i+1, sheet.ChangeText(b), b.Design.Verdict, names)
	}
	for {
		line, ok := p.ask("Which one in full? Enter none: ")
		n, err := strconv.Atoi(line)
		if !ok || line == "" {
			return
		}
		if err != nil || n < 1 || n > len(v.got) {
			p.say("Say a number of 1 to %d.", len(v.got))
			continue
		}
		v.at = n - 1
		for _, text := range v.detail(p.m.st, farDown) {
			p.say("%s", strings.Join(strings.Fields(text), " "))
		}
		switch {
		case v.got[v.at].Built == nil:
			p.say("A job cannot state this change: it is on paper alone.")
		case p.yes("State it as built in the job?"):
			p.run(p.m.buildBreak())
			p.done()
			return
		}
	}
}

// build states a stage as built in the job, or takes it out.
func (p *plain) build(name string) {
	built := p.m.load < len(p.m.job.spec.Loads) && p.m.job.spec.Loads[p.m.load].Built != nil
	switch {
	case name == "none" && !built:
		p.say("Nothing is stated as built.")
		return
	case name != "none" && built:
		p.say("The stage as built is in the job: fields lists it. build none takes it out.")
		return
	case name != "none" && p.open(name) == nil:
		return
	}
	if why := p.m.off(actBuild); why != "" {
		p.say("Not now: %s.", why)
		return
	}
	p.run(p.m.build())
	p.done()
}

// done tells what an edit was, and how the shortlist stands then.
func (p *plain) done() {
	p.shown = 0
	p.said()
	p.state()
}

// compare sets two to four rows beside each other.
func (p *plain) compare(rest string) {
	rows := p.m.parts.shown.Rows
	var keys, names []string
	for _, word := range strings.Fields(rest) {
		n, err := strconv.Atoi(word)
		if err != nil || n < 1 || n > len(rows) {
			p.say("There is no row %s; list lists them.", word)
			return
		}
		if !slices.Contains(keys, rows[n-1].Key) {
			keys, names = append(keys, rows[n-1].Key), append(names, strconv.Itoa(n))
		}
	}
	if len(keys) < fewestCompared || len(keys) > mostCompared {
		p.say("Say the numbers of %d to %d rows: compare 1 3.", fewestCompared, mostCompared)
		return
	}
	p.m.parts.marked = keys
	if !p.asked(pageCompare, actCompare) {
		return
	}
	v := &p.m.look.compare
	for k, d := range v.got {
		p.say("%s is %s as %s.", names[k], d.Row.Part, usedAs(&d.Row))
	}
	p.say("What differs:")
	for i := range v.differ {
		r := &v.differ[i]
		var parts []string
		for k := range r.cells {
			parts = append(parts, r.said(k)+" for "+names[k])
		}
		p.say("%s: %s.", r.label, strings.Join(parts, "; "))
	}
	p.say("What is alike:")
	for i := range v.alike {
		p.say("%s: %s.", v.alike[i].label, v.alike[i].said(0))
	}
}

// said is a cell with its verdict in words.
func (r *comparedRow) said(k int) string {
	switch c := r.cells[k]; {
	case c == "":
		return "nothing"
	case r.paint:
		sign := r.of[k].Sign() + " "
		return strings.TrimSpace(r.of[k].String() + " " + strings.TrimPrefix(strings.TrimPrefix(c, sign), r.of[k].String()))
	default:
		return c
	}
}

// copy gives the id of a part, or a sheet, to the clipboard: the one thing here that
// writes a control sequence, and only where it is asked for.
func (p *plain) copy(name string) {
	rest, whole := strings.CutPrefix(name, "sheet")
	if !whole {
		rest = name
	}
	if p.open(strings.TrimSpace(rest)) == nil {
		return
	}
	p.m.at = placeParts
	if whole {
		p.m.at = placeDesign
	}
	if why := p.m.off(actCopy); why != "" {
		p.say("Not now: %s.", why)
	} else {
		p.run(p.m.copy())
		p.said()
	}
	p.m.at = placeJob
}

// filter sets one filter, or tells how all are set.
func (p *plain) filter(rest string) {
	parts := p.m.parts
	if parts.load == nil {
		p.state()
		return
	}
	f := &parts.filter
	f.open(parts)
	name, value, _ := strings.Cut(rest, " ")
	value = strings.TrimSpace(value)
	switch at := slices.IndexFunc(filterNames[:], func(n string) bool { return strings.HasPrefix(strings.TrimPrefix(n, "in "), name) }); {
	case rest == "":
		values := f.values(parts)
		for i, n := range filterNames {
			text := n + ": " + values[i]
			if h := f.hides(parts, i); h != "" {
				text += ", " + h
			}
			if words := f.choices(i); words != nil {
				text += "; one of " + strings.Join(words, ", ")
			}
			p.say("%s.", text)
		}
		return
	case strings.HasPrefix("none", name):
		parts.clear()
	case at < 0 || value == "":
		p.say("Say which filter and what: filter kind relay. filter alone lists them.")
		return
	case at == filterCost:
		value = strings.TrimSpace(strings.TrimPrefix(value, "at most"))
		if _, err := strconv.ParseFloat(value, 64); err != nil && value != "any" {
			p.say("x found %s, expected an amount such as 0.50, or any", value)
			return
		}
		f.setCost(parts, strings.TrimPrefix(value, "any"))
	default:
		words := f.choices(at)
		if !slices.ContainsFunc(words, func(w string) bool { return strings.HasPrefix(w, value) }) {
			p.say("x found %s, expected one of %s", value, strings.Join(words, ", "))
			return
		}
		f.at = at
		for range words { // round to the word
			if now := f.values(parts)[at]; now == value || strings.HasPrefix(now, value) && !slices.Contains(words, value) {
				break
			}
			f.change(parts, 1)
		}
	}
	p.list("")
}

// frontier lists what nothing beats in cost and headroom both.
func (p *plain) frontier(string) {
	n := 0
	for i, r := range p.m.parts.shown.Rows {
		if r.Frontier {
			n++
			p.say("%s", p.rowLine(i))
		}
	}
	if n == 0 {
		p.say("There is none: nothing that is listed fits.")
	}
}

// supply adds a supply, takes one out, or lists them.
func (p *plain) supply(rest string) {
	j := p.m.job
	word, name, _ := strings.Cut(rest, " ")
	switch {
	case word == "add":
		j.Key(actAddRail, tea.KeyMsg{})
	case word == "remove":
		at := -1
		for i := range j.fields {
			f := &j.fields[i]
			if k := j.railOf(f); k >= 0 && (name == "" && f.group == groupRail || name != "" && j.spec.Rails[k].Name == name) {
				at = i
				break
			}
		}
		if at < 0 {
			p.say("There is no such supply; supply lists them.")
			return
		}
		j.focus(at)
		j.Key(actRemoveRail, tea.KeyMsg{})
	case word == "":
		for i := range j.spec.Rails {
			r := &j.spec.Rails[i]
			p.say("%s: %s.", r.Name, r.Voltage.ExactText())
		}
		if len(j.spec.Rails) == 0 {
			p.say("The job has no supply of its own name; each load has one to itself.")
		}
		return
	default:
		p.say("Say supply add, supply remove and a name, or supply.")
		return
	}
	if j.said != "" {
		p.m.say(j.said)
		j.said = ""
	}
	p.run(p.m.question())
	p.done()
	if word == "add" {
		p.say("%s", p.fieldLine(j.at))
	}
}

// openJob opens another job in place of this one.
func (p *plain) openJob(rest string) {
	l := startPoints()
	if rest == "" {
		for i := range l.entries {
			p.say("%d. %s: %s", i+1, l.entries[i].label, l.entries[i].text)
		}
		line, ok := p.ask("Which one, or which file? Enter none: ")
		if rest = line; !ok || rest == "" {
			return
		}
	}
	at := slices.IndexFunc(l.entries, func(e startEntry) bool { return e.label == rest || strings.TrimPrefix(e.label, "a ") == rest })
	if n, err := strconv.Atoi(rest); err == nil && n >= 1 && n <= len(l.entries) {
		at = n - 1
	}
	was, file := p.m.job, rest
	if at >= 0 && l.entries[at].ask {
		line, ok := p.ask("open file: ")
		if file = line; !ok || file == "" {
			return
		}
		at = -1
	}
	switch {
	case at >= 0:
		p.run(p.m.wantOpen(l.entries[at].open))
	case p.m.keep.store == nil:
		p.say("There are no files to open.")
		return
	default:
		p.run(readJob(p.m.keep.store, file))
	}
	if p.m.wanted != nil {
		act := actNo
		if p.yes(p.m.unsaved() + " Open the other one all the same?") {
			act = actYes
		}
		p.run(p.m.loseKey(act))
	}
	if p.m.page.kind == pageErrors {
		p.items(p.m.page.items)
		p.m.page.kind = pageNone
		return
	}
	p.said()
	if p.m.job == was {
		return // it stays
	}
	p.warned, p.shown = "", 0
	p.where()
	p.state()
	if at >= 0 && l.entries[at].open.field != "" {
		p.measure(l.entries[at].open.field)
	}
}

// measure asks for what a meter read and what the label says, and tells what the coil
// draws, hot and cold.
func (p *plain) measure(path string) {
	for _, k := range []string{path, "load[0].supply"} {
		i := slices.IndexFunc(p.m.job.fields, func(f field) bool { return f.path == k })
		if i < 0 {
			return
		}
		for {
			line, ok := p.ask(p.m.job.fields[i].label + ": ")
			if !ok || line == "" {
				return
			}
			if p.put(i, line) {
				break
			}
		}
	}
	if text := p.m.job.drawsWhy(); text != "" {
		p.say("It draws %s.", text)
	}
	p.state()
}
