package tui

import (
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/sheet"
)

// The words of the place at hand come first, in the order in which they stand there.
func TestWordsOfTheScreenAtHand(t *testing.T) {
	for _, c := range []struct {
		keys  []string
		first string
		says  []string
	}{
		{[]string{"down", "down", "down", "down", "f5"}, "stored energy", []string{"1/2 L I^2"}}, // inductance
		{[]string{"tab", "end", "w"}, "contact-life", []string{"shorter life counts."}},
		{[]string{"tab", "down", "down", "down", "w"}, "gate-drive", []string{"A threshold below it proves nothing"}},
		{[]string{"tab", "down", "down", "down", "enter", "f5"}, "unproven", []string{"It is never a pass"}},
		{[]string{"tab", "end", "enter", "x", "w"}, "check", []string{"contact-life"}},
		{[]string{"tab", "f", "w"}, "junction-temperature", []string{"Tj = air"}},
		{[]string{"tab", "/", "mosfet", "f5"}, "junction-temperature", []string{"Tj = air"}},
	} {
		m := open(t, &fake{}, 80, 24)
		press(m, c.keys...)
		must(t, m, append(c.says, c.first, "Words that stand where you are")...)
		if got := m.page.items[2].label; got != c.first {
			t.Errorf("%v: the first word is %q, want %q", c.keys, got, c.first)
		}
		all := 0
		for _, it := range m.page.items {
			if _, ok := sheet.TermOf(it.label); ok && it.label != "" && it.label != " " {
				all++
			}
		}
		if all != len(sheet.Terms()) {
			t.Errorf("%v: %d words of %d", c.keys, all, len(sheet.Terms()))
		}
	}
}

// Closed, a page gives way to the one it lay over.
func TestWordsGiveWayToTheirPage(t *testing.T) {
	m := open(t, &fake{}, 80, 24)
	press(m, "tab", "end", "enter", "x", "down", "w")
	was := m.fixes.at
	press(m, "?")
	must(t, m, "Words: what they mean here")
	press(m, "esc", "esc")
	if m.page.kind != pageFixes || m.fixes.at != was {
		t.Errorf("page %d, fix %d", m.page.kind, m.fixes.at)
	}
	press(m, "esc")
	if m.page.kind != pageNone {
		t.Error("the fixes stayed")
	}
}

// Help is of the screen at hand, and names every key that means something there.
func TestHelpIsOfTheScreenAtHand(t *testing.T) {
	for _, c := range []struct {
		keys []string
		says string
	}{
		{[]string{"f1"}, "Job: what is switched"},
		{[]string{"tab", "?"}, "Parts: one row for every way"},
		{[]string{"tab", "enter", "?"}, "Design: the whole stage"},
		{[]string{"tab", "f", "?"}, "Filters: which rows are shown"},
		{[]string{"tab", "v", "?"}, "Cost against headroom: every design a point"},
		{[]string{"tab", "end", "enter", "x", "?"}, "Fixes: changes that were tried"},
		{[]string{"f8", "?"}, "Start from: another job"},
		{[]string{"f2", "?"}, "Cautions: what can hurt"},
		{[]string{"tab", "n", "?"}, "Not served: switches"},
	} {
		m := open(t, &fake{}, 80, 60)
		press(m, c.keys[:len(c.keys)-1]...)
		at := m.mode()
		press(m, c.keys[len(c.keys)-1])
		must(t, m, c.says)
		for _, b := range m.table {
			if b.mode == at && !strings.Contains(m.View(), " "+b.label+" ") {
				t.Errorf("%v: %s is not told", c.keys, b.label)
			}
		}
	}
}

func touring(t *testing.T, d *diary, w, h int) *Model {
	t.Helper()
	m := keeping(t, d, &shelf{files: map[string]string{}}, nil, &fake{})
	m.opt.Tour = true
	m.tour.on = true
	send(m, tea.WindowSizeMsg{Width: w, Height: h})
	return m
}

func TestTour(t *testing.T) {
	if len(tourSteps) > 5 {
		t.Errorf("%d steps", len(tourSteps))
	}
	d := &diary{}
	m := touring(t, d, 80, 24)
	must(t, m, "Tour, 1 of 5", "Say the job here", "Esc skip", "[Job]")
	press(m, "enter")
	must(t, m, "Tour, 2 of 5", "[Parts]")
	press(m, "backspace")
	must(t, m, "Tour, 1 of 5")
	press(m, "enter", "enter", "enter", "enter")
	must(t, m, "Tour, 5 of 5")
	if d.tours != 0 {
		t.Error("it counts as seen before its end")
	}
	press(m, "enter")
	if m.tour.on || m.at != placeJob || d.tours != 1 {
		t.Errorf("on %v, at %v, noted %d times", m.tour.on, m.at, d.tours)
	}
	press(m, "f1", "t")
	must(t, m, "Tour, 1 of 5")
	press(m, "esc")
	must(t, m, "the tour is over")
}

// Any key that is none of the tour's ends it and does what it always does.
func TestTourIsInNobodysWay(t *testing.T) {
	d := &diary{}
	m := touring(t, d, 80, 24)
	press(m, "m") // motor
	if m.tour.on || m.job.spec.Loads[0].Kind != "motor" || d.tours != 1 {
		t.Errorf("on %v, %s, noted %d times", m.tour.on, m.job.spec.Loads[0].Kind, d.tours)
	}
	m = touring(t, d, 80, 24)
	press(m, "tab")
	if m.tour.on || m.at != placeParts {
		t.Errorf("on %v, at %v", m.tour.on, m.at)
	}
}

// Every step is told whole wherever the screen can be used at all, under the cautions.
func TestTourFits(t *testing.T) {
	for _, size := range [][2]int{{200, 60}, {120, 40}, {80, 24}, {60, 20}, {40, 12}} {
		m := touring(t, &diary{}, size[0], size[1])
		for i := range tourSteps {
			checkSize(t, m, size[0], size[1], i)
			words := strings.Fields(tourSteps[i].text)
			must(t, m, words[len(words)-1], "F2: ")
			press(m, "enter")
		}
	}
}

// Every word of the table of parts and of the verdicts can be asked for.
func TestWordsOfTheTable(t *testing.T) {
	for _, word := range []string{"verdict", "room", "runs out", "cost", "heat", "used as"} {
		if _, ok := sheet.TermOf(word); !ok && word != "cost" && word != "verdict" {
			t.Errorf("no term for the column %q", word)
		}
	}
	for _, id := range design.CheckIDs() {
		if got := sheet.TermsIn(sheet.ShortCheck(id, 0)); len(got) == 0 || got[0].Name != id.String() {
			t.Errorf("%s leads nowhere", sheet.ShortCheck(id, 0))
		}
	}
}

// A caution counts as unread until it was told in full; one that a change of the job
// makes true is unread again, wherever the person is.
func TestCautionsAreUnreadUntilTold(t *testing.T) {
	ask := &fake{cautions: []string{design.CautionStored, design.CautionReset}}
	m := open(t, ask, 60, 20)
	must(t, m, "F2: 2 unread")
	press(m, "tab", "down", "f2")
	must(t, m, "Stored energy: the")
	press(m, "esc")
	must(t, m, "F2 cautions")
	ask.cautions = append(ask.cautions, design.CautionStuck)
	press(m, "esc", "m")
	must(t, m, "F2: 1 unread", "!3 ")
	press(m, "tab", "f", "f2")
	must(t, m, "Stuck on does harm")
	press(m, "esc")
	must(t, m, "F2 cautions", " > kind") // back in the filters
	press(m, "esc", "enter")
	must(t, m, "F2: 1 unread") // the design's own
	ask.cautions = []string{design.CautionHazard, design.CautionMoves, design.CautionReset, design.CautionStuck, design.CautionTerminals, design.CautionLimits}
	press(m, "esc", "esc", "s", "f2")
	must(t, m, "more below", "F2: 2 unread") // not those that were not on the screen
	press(m, "end")
	must(t, m, "F2 cautions")
}
