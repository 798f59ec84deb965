package tui

import (
	"fmt"
	"strings"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"

	"example.org/pinhoist/internal/sheet"
)

// wordItems is the page of terms: first those that stand where the person is, in the
// order in which they do, then all others.
func wordItems(here []sheet.Term) []pageItem {
	var items []pageItem
	seen := map[string]bool{}
	tell := func(t sheet.Term) {
		seen[t.Name] = true
		items = append(items, pageItem{t.Name, t.Text})
		if t.Equation != "" {
			items = append(items, pageItem{" ", t.Equation})
		}
	}
	if len(here) > 0 {
		items = append(items, pageItem{"", "Words that stand where you are; all others follow below."}, pageItem{})
	}
	for _, t := range here {
		tell(t)
	}
	if len(here) > 0 {
		items = append(items, pageItem{}, pageItem{"", "All other words"}, pageItem{})
	}
	for _, t := range sheet.Terms() {
		if !seen[t.Name] {
			tell(t)
		}
	}
	return items
}

// termsHere lists the terms that stand where the person is: of the field at the cursor
// on Job, else of what is on the screen, the row at the cursor first.
func (m *Model) termsHere() []sheet.Term {
	if m.rects.TooSmall || m.width == 0 {
		return nil
	}
	if m.page.kind != pageNone {
		return sheet.TermsIn(ansi.Strip(strings.Join(m.body(), "\n")))
	}
	switch m.at {
	case placeJob:
		f := &m.job.fields[m.job.at]
		return sheet.TermsIn(f.key + "\n" + f.label + "\n" + strings.Join(f.hides, "\n") + "\n" + f.hint)
	case placeParts:
		text := ""
		if r := m.parts.row(); r != nil {
			text = runsOut(r) + "\n" + r.Verdict.String() + "\n"
		}
		return sheet.TermsIn(text + ansi.Strip(strings.Join(m.pane(placeParts, m.rects.Panes[placeParts]), "\n")))
	}
	return sheet.TermsIn(ansi.Strip(strings.Join(m.pane(placeDesign, m.rects.Panes[placeDesign]), "\n")))
}

// openWords shows the page of terms; closed, it gives way to what it lay over.
func (m *Model) openWords() {
	m.page.openOver(pageWords, wordItems(m.termsHere()))
}

// helpItems explains the screen at hand: what it is, and every key of the table that
// means something on it.
func (m *Model) helpItems() []pageItem {
	at := m.mode()
	items := []pageItem{{"", m.helpIntro()}, {}}
	for _, b := range m.table {
		if b.mode != at {
			continue
		}
		text := b.help
		if b.more != "" {
			text = b.more
		}
		if why := m.off(b.act); why != "" {
			text += " (not now: " + why + ")"
		}
		items = append(items, pageItem{b.label, text})
	}
	if m.page.kind == pageNone {
		items = append(items, pageItem{}, pageItem{"", "On this page t shows the tour again."})
	}
	return items
}

// helpIntro says what the screen at hand is.
func (m *Model) helpIntro() string {
	switch m.mode() {
	case modeFilter:
		return "Filters: which rows are shown. Behind each stands how many rows it hides; nothing else is hidden. A design at the cursor that drops out is named."
	case modePage, modeFixes, modePlot, modeStart, modeSweep, modeDrive, modeBreaks, modeCompare, modeMargins:
		if text := pageIntro[m.page.kind]; text != "" {
			return text
		}
	}
	return placeIntro[m.at]
}

var placeIntro = [numPlaces]string{
	placeJob:    "Job: what is switched, from what, where. Type figures with their unit: 12 V, 0.5 A, 60mH, 4k7, 500 Hz, 20 ms, 40 C, 10 %. Left and Right go through choices. The shortlist follows every change.",
	placeParts:  "Parts: one row for every way to use a part of the catalogue for this load, best verdict first. > is the cursor, * the frontier of cost and headroom, the bar crosses its | where it is safe.",
	placeDesign: "Design: the whole stage around the part at the cursor. The checks that decide stand in full; s goes from section to section.",
}

// pageIntro says what a page is; where it says nothing the place below it is told.
var pageIntro = map[pageKind]string{
	pageSweep:     "What if: one quantity is moved while every part of the stage stays as it is, and the load stays the same thing. Each strip is a check, with the sign of the worst verdict in each place; where one changes is solved, not read off the strip: the last value before and the first after, to four digits. Up and Down go from change to change, n to another quantity, + and - change how far.",
	pageDrive:     "Is the drive enough: what the gate (or base) gets from the pin, against what is stated of the part. Only a stated figure proves: the threshold is where it barely conducts. # is guaranteed, . an estimate; + is proven, ? unproven, x impossible.",
	pageBreaks:    "Broken on paper: one element left out or changed, all else as it stands, and what the checks then say. To judge the stage that you have built, Ctrl+B on Design puts it into the job, where each value can be typed.",
	pageCompare:   "Side by side: the rows that were marked with m on Parts, what differs first, then what is alike.",
	pageMargins:   "Margins: every check of the design as a bar against its limit. A bar that crosses | is safe; dots stand where nothing is proven.",
	pageBands:     "Resistor bands: the colours of each resistor that was chosen.",
	pageWords:     "Words: what they mean here, those of the screen you came from first, each with its equation.",
	pageCautions:  "Cautions: what can hurt people or things, true of this job and of the design on the screen. They stand in short under the title of every screen.",
	pageNotServed: "Not served: switches of the catalogue that no topology can use for this load, and why.",
	pageFixes:     "Fixes: changes that were tried, one at a time, each of which makes the check beside it fit. Enter puts one into the job.",
	pagePlot:      "Cost against headroom: every design a point. What fits is above the line and what does not below; * is the frontier.",
	pageTogether:  "All loads together: the pick of every load, and what pins, groups of pins and rails bear with all of them on.",
	pageStart:     "Start from: another job in place of this one. What is not saved is asked for first.",
	pageErrors:    "Not opened: what is wrong with the file, each with its line and column.",
}

// The tour: where each step stands, and what it says.
var tourSteps = [...]struct {
	at   place
	text string
}{
	{placeJob, "Say the job here: what is switched, from which supply, by which pin. Type figures with their unit, such as 12 V or 0.5 A; what stands in brackets is taken where you say nothing. This load is an example: F8 starts from a motor, a lamp, a valve or an empty form."},
	{placeParts, "Every part of the catalogue with a stage designed around it. + fits, ~ is tight, ? is not proven, x would fail; the bar that crosses its | has room to spare. Enter opens one."},
	{placeDesign, "The stage in full: each check with what is demanded and what is guaranteed, the circuit, the values, and what your own part must promise. x tells what would make it fit."},
	{placeParts, "The line under the title names what can hurt you or your parts: F2 tells it in full. It stands there on every screen, as long as the job makes it true."},
	{placeJob, "w, or F5 while you type, explains the words on the screen with their equations; ? or F1 explains the keys. Ctrl+Z takes edits back, Ctrl+S saves. Nothing you do here can break anything."},
}

// tour is how far it is.
type tour struct {
	on   bool
	step int
}

// tourRows is the most that a step takes of the screen: a rule, its text, its keys.
const tourRows = 7

// startTour begins it.
func (m *Model) startTour() tea.Cmd {
	m.page = page{}
	m.tour = tour{on: true}
	return m.goTo(tourSteps[0].at)
}

// tourKey takes one key of the tour. Any other key ends it, and means what it always does.
func (m *Model) tourKey(act action, k tea.KeyMsg) tea.Cmd {
	switch act {
	case actTourNext:
		m.tour.step++
	case actTourBack:
		m.tour.step = max(m.tour.step-1, 0)
	case actClose:
		return m.endTour()
	default:
		return tea.Batch(m.endTour(), m.key(k))
	}
	if m.tour.step == len(tourSteps) {
		return m.endTour()
	}
	return m.goTo(tourSteps[m.tour.step].at)
}

// endTour ends it, and notes that it was seen.
func (m *Model) endTour() tea.Cmd {
	m.tour = tour{}
	var cmd tea.Cmd
	if to := m.memory.to; to != nil && m.opt.Tour {
		cmd = func() tea.Msg { return keptMsg{err: to.TourDone(), tour: true} }
	}
	m.say("the tour is over; " + m.label(actHelp) + ", then t, shows it again")
	return tea.Batch(cmd, m.goTo(placeJob))
}

// tourLines is the step at hand, at most h lines.
func (m *Model) tourLines(w, h int) []string {
	title := fmt.Sprintf("Tour, %d of %d", m.tour.step+1, len(tourSteps))
	lines := []string{m.ruleOf(title, "", w, true)}
	for _, l := range wrap(tourSteps[m.tour.step].text, w-2) {
		lines = append(lines, " "+l)
	}
	if h < len(lines) {
		lines = lines[1:]
	}
	return window(lines, 0, min(len(lines), h))
}
