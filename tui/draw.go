package tui

import (
	"fmt"
	"path/filepath"
	"strings"

	"example.org/pinhoist/internal/design"
)

func cautionText(id string) string { return design.CautionText(id) }

func cautionOrder(id string) int { return design.CautionOrder(id) }

// draw puts the screen together from the panes.
func (m *Model) draw() []string {
	r := &m.rects
	if r.TooSmall {
		return window(wrap(fmt.Sprintf("pinhoist needs %d by %d cells; here are %d by %d. Ctrl+C leaves.", minWidth, minHeight, m.width, m.height), m.width), 0, m.height)
	}
	body := m.body() // first: what it tells of cautions counts at once
	lines := []string{m.titleLine(r.Title.W), m.cautionLine(r.Cautions.W), m.ruleLine()}
	lines = append(lines, body...)
	return append(lines, m.keyArea(r.Keys.W, r.Keys.H)...)
}

// titleLine says which job and load, and where one is.
func (m *Model) titleLine(w int) string {
	places := ""
	for p := range numPlaces {
		name := " " + p.String() + " "
		if p == m.at {
			name = m.st.place.Render("[" + p.String() + "]")
		}
		places += name
	}
	title := clean(m.job.spec.Title)
	if title == "" {
		title = "pinhoist"
	}
	if m.edited {
		title += " *"
	}
	if w < 70 { // the load has no room beside the places
		return " " + ends(m.st.title.Render(title), places+" ", w-1)
	}
	load := ""
	if n := len(m.job.spec.Loads); m.load < n {
		load = fmt.Sprintf("   load %d of %d: %s", m.load+1, n, clean(m.job.spec.Loads[m.load].Name))
		if w >= wideTitle {
			load += m.together()
		}
	}
	return " " + ends(m.st.title.Render(title)+load, places+" ", w-1)
}

// wideTitle is from where the title has room for the picks of all loads.
const wideTitle = 100

// together says what the cheapest picks of all loads come to, and whether pins and
// rails bear them at once; "" where one load alone is asked for.
func (m *Model) together() string {
	if m.result == nil || m.blocked != "" || len(m.result.Loads) < 2 {
		return ""
	}
	t := &m.result.Together
	if len(t.Checks) == 0 {
		return ""
	}
	if n := t.Served(); n < len(m.result.Loads) { // totals without the others say nothing
		return fmt.Sprintf("   together: %s, %d of %d loads served", design.Over.Sign(), n, len(m.result.Loads))
	}
	text := "   together: " + t.Verdict.Sign() + " " + t.Verdict.String()
	if t.Cost.Amount.OK {
		text += fmt.Sprintf(", %.2f %s", t.Cost.Amount.V, clean(t.Cost.Currency))
	}
	return text
}

// cautionLine names the cautions, the gravest first; it is always there.
func (m *Model) cautionLine(w int) string {
	list := m.cautions()
	if len(list) == 0 {
		text := "no answer yet"
		if m.result != nil {
			text = "nothing in this job calls for a caution"
		}
		return " " + m.st.dim.Render(clip(text, w-1))
	}
	unread := 0
	for _, c := range list {
		if !m.told[c.ID] {
			unread++
		}
	}
	tail, paint := m.labelIn(m.mode(), actCautions)+" cautions ", m.st.dim
	if unread > 0 {
		tail, paint = fmt.Sprintf("%s: %d unread ", strings.TrimSuffix(tail, " cautions "), unread), m.st.caution
	}
	line := fmt.Sprintf("!%d ", len(list))
	if m.blocked != "" {
		line += "before the last edit: "
	}
	room := w - 1 - len(tail) - 2
	for i, c := range list {
		name := cautionName(c.ID)
		more := ""
		if i > 0 {
			name = "; " + name
		}
		if i < len(list)-1 {
			more = fmt.Sprintf("; and %d more", len(list)-i-1)
		}
		if i == 0 && width(line+name+more) > room && width(line+name) <= room {
			line += name // how many there are stands before it
			break
		}
		if i > 0 && width(line+name+more) > room {
			line += fmt.Sprintf("; and %d more", len(list)-i)
			break
		}
		line += name
	}
	return " " + ends(m.st.caution.Render(clip(line, room)), paint.Render(tail), w-1)
}

// tellCautions notes which cautions of the page were on the screen to their end.
func (m *Model) tellCautions() {
	if m.page.kind != pageCautions {
		return
	}
	for i, it := range m.page.items {
		for _, c := range m.cautions() {
			if it.label == "! "+cautionName(c.ID) && m.page.seen(i) {
				m.told[c.ID] = true
			}
		}
	}
}

// ruleLine parts the head from the panes and says where in each one is. The pane
// that has the keys has the heavier line.
func (m *Model) ruleLine() string {
	if m.page.kind != pageNone {
		return m.ruleOf(pageNames[m.page.kind]+m.look.titleOf(m.page.kind), "", m.width, true)
	}
	var b strings.Builder
	for i, p := range m.rects.paneList {
		if i > 0 {
			b.WriteString(m.st.dim.Render("─"))
		}
		at := place(p)
		b.WriteString(m.ruleOf(m.paneTitle(at), m.panePosition(at), m.rects.Panes[p].W, at == m.at))
	}
	return b.String()
}

func (m *Model) ruleOf(title, position string, w int, here bool) string {
	stroke, style := "─", m.st.dim
	if here {
		stroke, style = "━", m.st.place
	}
	line := stroke + stroke
	if title != "" {
		line += " " + title + " "
	}
	if position != "" {
		position = " " + position + " " + stroke + stroke
	}
	line = clip(line, w)
	if width(line)+width(position) > w {
		position = ""
	}
	return style.Render(line + strings.Repeat(stroke, max(w-width(line)-width(position), 0)) + position)
}

func (m *Model) paneTitle(p place) string {
	if p == placeParts && m.slow {
		return p.String() + ": asking again"
	}
	return p.String()
}

func (m *Model) panePosition(p place) string {
	switch p {
	case placeParts:
		return m.parts.position()
	case placeDesign:
		return m.design.position()
	}
	return fmt.Sprintf("field %d of %d", m.job.at+1, len(m.job.fields))
}

// body draws the panes side by side, or the page that lies over them.
func (m *Model) body() []string {
	r := &m.rects
	h := r.Panes[r.paneList[0]].H
	if m.page.kind == pagePlot {
		return m.parts.plot(m.width, h, m.stateOfParts())
	}
	if m.page.kind == pageOwn {
		return m.own.View(m.width, h, m.blocked)
	}
	if _, looking := m.page.kind.isLook(); looking {
		return m.lookView(m.width, h)
	}
	if m.page.kind != pageNone {
		lines := m.page.View(m.st, m.width, h)
		m.tellCautions()
		return lines
	}
	if m.tour.on {
		box := m.tourLines(m.width, min(h, tourRows))
		return append(m.panesOf(h-len(box)), box...)
	}
	return m.panesOf(h)
}

// panesOf draws the panes side by side, h lines of them.
func (m *Model) panesOf(h int) []string {
	r := &m.rects
	panes := make([][]string, len(r.paneList))
	for i, p := range r.paneList {
		at := r.Panes[p]
		at.H = h
		panes[i] = m.pane(place(p), at)
	}
	if len(panes) == 1 {
		return panes[0]
	}
	bar := m.st.dim.Render("│")
	out := make([]string, h)
	for y := range out {
		for i, p := range r.paneList {
			if i > 0 {
				out[y] += bar
			}
			cell := panes[i][y]
			if i < len(panes)-1 {
				cell = fit(cell, r.Panes[p].W)
			}
			out[y] += cell
		}
	}
	return out
}

func (m *Model) pane(p place, r Rect) []string {
	switch p {
	case placeParts:
		return m.parts.View(r.W, r.H, m.stateOfParts())
	case placeDesign:
		return m.design.View(r.W, r.H, m.stateOfDesign())
	}
	return m.job.View(r.W, r.H, m.at == placeJob, m.answer(r.W))
}

// answer tells on Job how the shortlist stands, where it is not on the screen.
func (m *Model) answer(w int) string {
	s := m.stateOfParts()
	switch {
	case m.rects.Shows(placeParts):
		return ""
	case s.failed != "":
		return m.st.caution.Render(clip("! "+s.failed, w-2))
	case s.why != "":
		text := "! no shortlist: " + s.why
		if width(text) > w-2 { // all of it stands at the field
			field, _, _ := strings.Cut(s.why, ": ")
			text = "! no shortlist: see the field " + field
		}
		return m.st.caution.Render(clip(text, w-2))
	case m.parts.load == nil || m.slow:
		return "asking ..."
	}
	return clip(m.parts.tally(), w-2)
}

// keyArea lists the keys that work now.
func (m *Model) keyArea(w, h int) []string {
	var lines []string
	if m.leaving {
		lines = append(lines, " "+m.st.caution.Render(clip("! "+m.unsaved()+" Leave?", w-1)))
		if h == 1 {
			lines = []string{" " + m.st.caution.Render(clip("! Not saved. s save  y leave  n stay", w-1))}
		}
	}
	switch at := m.mode(); {
	case at == modeLose && h == 1:
		lines = []string{" " + m.st.caution.Render(clip("! Not saved. s save  y open  n stay", w-1))}
	case at == modeLose:
		lines = append(lines, " "+m.st.caution.Render(clip("! The job was edited and is not saved. Open another in its place?", w-1)))
	case at == modeName:
		lines = append(lines, " "+tailOf(m.keep.prompt()+m.keep.name+"|", w-1))
	case at == modeDoubt:
		lines = append(lines, " "+m.st.caution.Render(doubtLine(m.keep.asked.name, m.keep.doubt, w-1)))
		if h == 1 {
			lines = []string{" " + m.st.caution.Render(clip("! y/n: "+m.keep.doubt, w-1))}
		}
	case at == modeOwnDoubt:
		lines = append(lines, " "+m.st.caution.Render(doubtLine(m.opt.OwnFile, m.own.doubt, w-1)))
		if h == 1 {
			lines = []string{" " + m.st.caution.Render(clip("! y/n: "+m.own.doubt, w-1))}
		}
	case m.note != "": // told whole, even where the keys give way
		text, style := "! "+m.note, m.st.caution
		if m.noteGood {
			text, style = m.note, m.st.title
		}
		told := wrap(text, w-2)
		if len(told) > h {
			told = append(told[:h-1], strings.Join(told[h-1:], " "))
		}
		for _, l := range told {
			lines = append(lines, " "+style.Render(clip(l, w-2)))
		}
	}
	lines = append(lines, keyLines(m.table, m.mode(), m.st, w, max(h-len(lines), 1), m.off)...)
	return window(lines, 0, h)
}

// doubtLine asks whether a file is written all the same. What speaks against it is told
// whole; the folders of a long name give way to that, then the name.
func doubtLine(name, doubt string, w int) string {
	ask := doubt + ". Write over it?"
	for _, name := range []string{name, filepath.Base(name)} {
		if line := "! " + clean(name) + ": " + ask; width(line) <= w {
			return line
		}
	}
	return clip("! "+ask, w)
}

// tailOf cuts a text at its left end, where what is typed is at its right.
func tailOf(s string, w int) string {
	runes := []rune(s)
	for width(string(runes)) > max(w, 0) {
		runes = runes[1:]
	}
	return string(runes)
}
