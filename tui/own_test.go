package tui

import (
	"errors"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/job"
)

// openOwnForm is the screen on the demo job with the real engine and catalogue.
func openOwnForm(t *testing.T, w, h int) (*Model, *shelf) {
	t.Helper()
	cat, err := catalog.Embedded()
	if cat == nil {
		t.Fatal(err)
	}
	store := &shelf{files: map[string]string{}}
	m := New(Options{Spec: job.Demo(), Catalog: cat, NoColor: true, Policies: catalog.Policies(), OwnFile: "parts.toml", OwnStore: store, Store: store})
	m.later = func(int) tea.Cmd { return nil }
	run(m, m.Init())
	send(m, tea.WindowSizeMsg{Width: w, Height: h})
	press(m, "tab")
	send(m, runeKey('a'))
	return m, store
}

// typeOwn puts a text into a field of the form.
func typeOwn(t *testing.T, m *Model, key, text string) {
	t.Helper()
	for i := range m.own.fields {
		if m.own.fields[i].Key == key {
			m.own.focus(i)
			if m.own.fields[i].options != nil {
				if m.own.put(text) {
					run(m, m.askOwn())
				}
				return
			}
			press(m, "ctrl+u", text)
			return
		}
	}
	t.Fatalf("no field %s", key)
}

var drawerFigures = [][2]string{{"id", "drawer-10v"}, {"channel", "n"}, {"v_ds_max", "60 V"}, {"v_gs_max", "20 V"}, {"i_d_case25_max", "30 A"},
	{"v_gs_th.min", "2 V"}, {"v_gs_th.max", "4 V"}, {"v_gs_th.i_d", "250 uA"}, {"r_ds_on[0].v_gs", "10 V"}, {"r_ds_on[0].i_d", "15 A"}, {"r_ds_on[0].max", "40 mohm"}}

// The part in the drawer: asked in order, judged at once, and never taken for proven
// where nothing is stated at the gate voltage of this pin.
func TestOwnPart(t *testing.T) {
	m, store := openOwnForm(t, 120, 40)
	must(t, m, "A part of your own", "Still needed:", "channel")
	for _, f := range drawerFigures {
		typeOwn(t, m, f[0], f[1])
	}
	mustNot(t, m, "Still needed")
	must(t, m, "as n-mosfet low", "Beside the others:", "> drawer-10v")
	low := ""
	for _, line := range strings.Split(m.View(), "\n") {
		if strings.Contains(line, "as n-mosfet low") {
			low = line
		}
	}
	if strings.Contains(low, "+ fits") {
		t.Errorf("stated at 10 V it is said to fit a pin of 5 V: %s", low)
	}
	typeOwn(t, m, "v_ds_max", "60")
	must(t, m, "x found", "Not judged")
	press(m, "ctrl+s")
	must(t, m, "not saved")
	typeOwn(t, m, "v_ds_max", "60 V")
	if len(store.files) > 0 {
		t.Fatal("saved unasked")
	}
	press(m, "ctrl+s")
	if m.at != placeParts || m.page.kind != pageNone || m.parts.row() == nil || m.parts.row().Part != "drawer-10v" {
		t.Errorf("saved, and the cursor is on %v", m.parts.row())
	}
	if !strings.Contains(store.files["parts.toml"], "drawer-10v") {
		t.Errorf("the file holds %q", store.files["parts.toml"])
	}
	if m.unsaved() != "" {
		t.Errorf("counts as %q", m.unsaved())
	}
	// Once more: its id is taken now, and that is asked.
	send(m, runeKey('a'))
	typeOwn(t, m, "v_gs_max", "16 V")
	if m.unsaved() == "" {
		t.Error("an edited part counts as saved")
	}
	before := store.files["parts.toml"]
	press(m, "ctrl+s")
	must(t, m, "there is a part of this id", "Write over it?")
	press(m, "n")
	if store.files["parts.toml"] != before {
		t.Error("n wrote")
	}
	press(m, "ctrl+s", "y")
	if now := store.files["parts.toml"]; !strings.Contains(now, "16 V") || strings.Count(now, `"drawer-10v"`) != 1 {
		t.Errorf("the file holds %s", now)
	}
}

// A part that comes with the program is not taken the place of unasked either.
func TestOwnPartOverAnother(t *testing.T) {
	m, store := openOwnForm(t, 80, 24)
	for _, f := range drawerFigures {
		typeOwn(t, m, f[0], f[1])
	}
	typeOwn(t, m, "id", "n-30v-logic-smd")
	press(m, "ctrl+s")
	must(t, m, "the catalogue has a part of this id")
	press(m, "n")
	store.fails = errors.New("no space left")
	typeOwn(t, m, "id", "drawer")
	press(m, "ctrl+s")
	must(t, m, "not saved", "no space left")
	if m.page.kind != pageOwn || m.unsaved() == "" {
		t.Error("what was typed is gone")
	}
}

// An answer to an older text is dropped, and no answer is lost.
func TestOwnPartLateAnswer(t *testing.T) {
	m, _ := openOwnForm(t, 120, 40)
	for _, f := range drawerFigures {
		typeOwn(t, m, f[0], f[1])
	}
	for i := range m.own.fields {
		if m.own.fields[i].Key == "v_ds_max" {
			m.own.focus(i)
		}
	}
	late := m.askOwn()
	press(m, "ctrl+u", "20 V")
	now := m.own.own
	run(m, late)
	if m.own.own != now || m.own.waiting {
		t.Error("a late answer was taken")
	}
}

// Saved before it is judged, it is saved once it is; typed on in between, it is not.
func TestOwnPartSavedAhead(t *testing.T) {
	m, store := openOwnForm(t, 120, 40)
	for _, f := range drawerFigures {
		typeOwn(t, m, f[0], f[1])
	}
	typeOwn(t, m, "v_ds_max", "60 ")
	_, late := m.Update(runeKey('V'))
	press(m, "ctrl+s")
	must(t, m, "it is saved as soon as it is judged")
	press(m, "down")
	run(m, late)
	if len(store.files) > 0 || m.page.kind != pageOwn {
		t.Error("another key did not take the wish back")
	}
	late = m.askOwn()
	press(m, "ctrl+s")
	run(m, late)
	if !strings.Contains(store.files["parts.toml"], "drawer-10v") || m.page.kind == pageOwn {
		t.Errorf("not saved once it was judged; the file holds %q", store.files["parts.toml"])
	}
}

// Every kind fits every screen, whatever is typed first.
func TestOwnFormSizes(t *testing.T) {
	m, _ := openOwnForm(t, 80, 24)
	for _, k := range ownKinds {
		m.own.begin(k)
		run(m, m.askOwn())
		for _, s := range [][2]int{{40, 10}, {60, 20}, {80, 24}, {120, 40}, {200, 60}, {1, 1}, {41, 11}} {
			send(m, tea.WindowSizeMsg{Width: s[0], Height: s[1]})
			for _, key := range []string{"down", "pgdown", "right", "x", "pgup", "left"} {
				press(m, key)
				checkSize(t, m, s[0], s[1], k)
			}
			if m.fault != nil {
				t.Fatal(m.fault)
			}
		}
	}
}

// On a small screen what is missing for a proof is told before a third way to use it, and
// what is still needed in the order of the form.
func TestOwnPartOnASmallScreen(t *testing.T) {
	m, _ := openOwnForm(t, 80, 24)
	must(t, m, "Still needed: channel; drain voltage; gate voltage; threshold,", "least; on at gate voltage.")
	for _, f := range drawerFigures {
		if f[0] == "r_ds_on[0].i_d" {
			must(t, m, "Still needed: on at gate voltage and drain current")
		}
		typeOwn(t, m, f[0], f[1])
	}
	must(t, m, "? unproven as boosted", "x over as n-mosfet low, headroom 0.00: gate drive, 10 V demanded", "and one more way", "Unproven without these", "more lines: a larger window")
}

// Left unsaved, the form says by which key it opens again there: on Job a types.
func TestOwnPartOpensAgainByItsKey(t *testing.T) {
	for key, place := range map[string]string{"f6": "F6 opens it again", "tab a": "a opens it again"} {
		m := open(t, &fake{}, 80, 24)
		press(m, strings.Fields(key)...)
		typeOwn(t, m, "r_ds_on[0].i_d", "3 A")
		press(m, "esc")
		must(t, m, "the part is kept until the program ends; "+place)
	}
}
