package tui

import (
	"reflect"
	"slices"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/sheet"
)

// A bare number, or one with a prefix alone, is answered with what to type.
func TestUnitOfABareNumberIsOffered(t *testing.T) {
	for text, want := range map[string]string{"2": "2 A", "20 m": "20 mA", "0.5": "0.5 A"} {
		m := open(t, &fake{}, 80, 24)
		toField(t, m, "load[0].current")
		press(m, "ctrl+u")
		press(m, strings.Split(text, "")...)
		if err := m.job.fields[m.job.at].err; !strings.HasSuffix(err, "its unit too: "+want) {
			t.Errorf("%q: %q", text, err)
		}
	}
}

// Why a key did nothing on Parts is told until the next key, and not of a job that is
// mended since.
func TestRefusalOnPartsIsToldOnce(t *testing.T) {
	m := open(t, &fake{}, 80, 24)
	toField(t, m, "load[0].current")
	press(m, "x", "tab", "enter")
	must(t, m, "mend the job first, current cannot be read")
	press(m, "esc", "backspace", "tab")
	mustNot(t, m, "mend the job first")
}

// s reaches every section, the last ones too, which cannot begin at the first line, and
// goes round; Enter on Parts opens a design at its beginning.
func TestSectionsGoRound(t *testing.T) {
	m := open(t, &fake{}, 80, 24)
	press(m, "tab", "enter")
	n := len(m.design.sections)
	if n < 4 {
		t.Fatalf("%d sections", n)
	}
	for i := 1; i <= n; i++ {
		press(m, "s")
		if at := m.design.here(); at != i%n {
			t.Fatalf("after %d: at section %d", i, at)
		}
	}
	press(m, "S")
	if at := m.design.here(); at != n-1 {
		t.Errorf("back from the first: at section %d of %d", at, n)
	}
	press(m, "esc", "enter")
	if m.design.top != 0 || m.design.here() != 0 {
		t.Errorf("opened at line %d, section %d", m.design.top, m.design.here())
	}
}

// What tells ids of one family apart stays on a narrow column.
func TestIdIsCutInItsMiddle(t *testing.T) {
	for _, c := range []struct {
		id   string
		w    int
		want string
	}{
		{"npn-30v-lowsat-5a-smd", 18, "npn-30v-..t-5a-smd"},
		{"n-30v-logic-smd", 18, "n-30v-logic-smd   "},
		{"n-30v-logic-smd", 6, "n-30.."},
	} {
		if got := fitMiddle(c.id, c.w); got != c.want || width(got) != c.w {
			t.Errorf("%s on %d: %q", c.id, c.w, got)
		}
	}
}

// From a shortlist that the job has none for, Esc leads to the field at fault.
func TestEscLeadsToTheFault(t *testing.T) {
	m := open(t, &fake{}, 80, 24)
	toField(t, m, "load[0].inductance")
	press(m, "x")
	toField(t, m, "load[0].kind")
	press(m, "tab")
	must(t, m, "inductance cannot be read (Esc goes there)")
	press(m, "esc")
	if got := m.job.fields[m.job.at].key; got != "inductance" {
		t.Errorf("at %s", got)
	}
}

// A word to choose is found by what is typed of it, hyphens and blanks aside; a letter
// that begins none is no blank that goes on to the next.
func TestChoiceByTyping(t *testing.T) {
	var typed typing
	words := []string{"TO-126", "TO-220", "TO-220F", "DO-41"}
	at := -1
	for _, c := range []struct {
		r    rune
		want string
	}{{'t', "TO-126"}, {'O', "TO-126"}, {'2', "TO-220"}, {'2', "TO-220"}, {'0', "TO-220"}, {'f', "TO-220F"}} {
		got, ok := typed.chosen(words, at, c.r)
		if !ok || got != c.want {
			t.Fatalf("after %q: %q", typed, got)
		}
		at = slices.Index(words, got)
	}
	if got, ok := new(typing).chosen(words, 0, 't'); !ok || got != "TO-220" {
		t.Errorf("a letter alone goes round: %q", got)
	}
	m := open(t, &fake{}, 80, 24)
	toField(t, m, "load[0].mode")
	press(m, "1", " ", "s")
	if got := m.job.spec.Loads[0].Mode; got != "" {
		t.Errorf("1 s in a choice chose %q", got)
	}
	press(m, "p", "w", "m")
	if got := m.job.spec.Loads[0].Mode; got != "pwm" {
		t.Errorf("pwm chose %q", got)
	}
}

// No text touches the right edge of its pane, beside which the next one begins.
func TestRightEdgeStaysFree(t *testing.T) {
	for _, size := range [][2]int{{80, 24}, {120, 40}} {
		m := open(t, &fake{}, size[0], size[1])
		for _, keys := range [][]string{{"tab"}, {"?"}, {"esc", "esc", "down"}} {
			press(m, keys...)
			for i, l := range strings.Split(m.View(), "\n") {
				if i > 2 && width(l) >= size[0] {
					t.Errorf("%v after %v, line %d: %q", size, keys, i+1, l)
				}
				if strings.Contains(l, "more│") || strings.Contains(l, "below│") {
					t.Errorf("%v after %v: %q", size, keys, l)
				}
			}
		}
	}
}

// Values and missing figures are told by what they are, not by their names in files.
func TestValuesAreToldInWords(t *testing.T) {
	m := open(t, &fake{}, 80, 24)
	press(m, "tab", "enter", "s", "s")
	must(t, m, "3.9 kohm  pull-down, keeps the stage off")
	mustNot(t, m, "r_pulldown", "name ")
	driver := []sheet.Block{{Table: &sheet.Table{Head: []string{"name", "value", "what"}, Right: []bool{false, true, false},
		Rows: [][]string{{"r_base", "1 kohm", "base resistor"}, {"driver.r_base", "2 kohm", "base resistor"}}}}}
	want := [][]string{{"1 kohm", "base resistor"}, {"2 kohm", "base resistor, of the driver"}}
	if got := withoutNames(driver)[0].Table.Rows; !reflect.DeepEqual(got, want) {
		t.Errorf("%q", got)
	}
}

// Left and Right go from section to section, as these stand on the screen; only a picture
// that is wider than the pane they shift.
func TestArrowsGoThroughSections(t *testing.T) {
	m := open(t, &fake{}, 80, 24)
	press(m, "tab", "enter", "right")
	must(t, m, "[circuit]")
	press(m, "left")
	must(t, m, "[checks]")
	narrow := open(t, &fake{}, 40, 20)
	press(narrow, "tab", "enter", "s")
	must(t, narrow, "[circuit]")
	press(narrow, "right")
	if narrow.design.shift == 0 {
		t.Error("a picture wider than the pane is not shifted")
	}
	press(narrow, "left")
	if narrow.design.shift != 0 {
		t.Errorf("shifted by %d", narrow.design.shift)
	}
}

// Where one text cannot be read, what is told of the other fields is true all the same.
func TestOtherFieldsAreToldWhileOneIsUnread(t *testing.T) {
	m := open(t, &fake{}, 80, 60)
	press(m, "f8", "down", "enter")
	must(t, m, "to be stated: a voltage")
	toField(t, m, "load[0].current")
	press(m, "2")
	toField(t, m, "load[0].supply")
	press(m, "2", "4", "V")
	mustNot(t, m, "to be stated: a voltage")
	must(t, m, "its unit too: 2 A", "24V")
}

// A sheet's file has a name offered, of what stands in it.
func TestSheetHasANameOffered(t *testing.T) {
	s := &shelf{files: map[string]string{}}
	m := withShelf(t, s)
	press(m, "tab", "enter", "E")
	must(t, m, "sheet into file: vent-latch-n-55v-a.txt|")
	press(m, "enter")
	must(t, m, "the sheet is in vent-latch-n-55v-a.txt")
	for _, c := range [][2]string{{"../a b/ü", "a-b-ü"}, {"..", "sheet"}, {strings.Repeat("x", 99), strings.Repeat("x", fileNameLimit)}} {
		if got := fileName(c[0]); got != c[1] {
			t.Errorf("%q: %q", c[0], got)
		}
	}
}

// Where nothing fits the shortlist says at what, and how to find what would help.
func TestNothingFitsIsExplained(t *testing.T) {
	gone := &fake{gone: map[string]bool{"n-55v-a": true, "n-60v-b": true, "npn-80v-4a": true}}
	m := open(t, gone, 80, 24)
	must(t, m, "+ 0 fit  ~ 0 tight  ? 1 unproven  x 1 over; most stop at ")
	press(m, "tab")
	must(t, m, "! nothing fits: 1 stop at gate drive, 1 at life; open one, then x")
	mustNot(t, open(t, &fake{}, 80, 24), "most stop at", "nothing fits")
}

// What a stage costs and heats stays on a narrow screen, whatever its part is called.
func TestLongTitleGivesWay(t *testing.T) {
	r := fakeRows()[0]
	r.Title = "a title that goes on and on about voltages, currents and inputs, panel"
	if got, want := titled(&r, []string{"heat 300 mW", "5 pieces"}, 50), "a title that goes on and .., heat 300 mW, 5 pieces"; got != want {
		t.Errorf("%q", got)
	}
	if got := titled(&r, []string{"heat 300 mW", "5 pieces"}, 20); width(got) > 20 {
		t.Errorf("%q", got)
	}
}

// How much more load a stage bears is never cut, and names what stops it where that is not
// what has least room now.
func TestRoomIsToldOnEveryWidth(t *testing.T) {
	for _, w := range []int{120, 80, 60} {
		m := open(t, &fake{}, w, 24)
		press(m, "tab", "enter")
		m.design.det.Factor = &engine.LoadFactor{Value: 1.31, Check: design.JunctionTemperature}
		must(t, m, "1.31 times the load")
		mustNot(t, m, "stops it", "(junction)")
		stop := "(pin amps)"
		if w == 120 {
			stop = "then pin amps stops it"
		}
		m.design.det.Factor = &engine.LoadFactor{Value: 1.31, Check: design.PinCurrent}
		must(t, m, "1.31 times the load", stop)
	}
}

// Names of values are words on the screen.
func TestNamesOfValuesAreWords(t *testing.T) {
	for text, want := range map[string]string{
		"another value, r_base: 470 ohm":   "another value, base resistor: 470 ohm",
		"up to t_touch among its values":   `up to "hottest surface" among its values`,
		"v_gs_max, r_th_ja_max and h_fe":   "v_gs_max, r_th_ja_max and h_fe",
		"V_rail_max + V_clamp, R_pulldown": "V_rail_max + V_clamp, R_pulldown",
	} {
		if got := inWords(text); got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}

// A check that is just met and yet is not what runs out first says why.
func TestCheckNearItsLimitSaysWhy(t *testing.T) {
	m := open(t, &fake{}, 80, 24)
	press(m, "tab", "enter")
	must(t, m, "gate drive        1.04 ####|#   4.5 V of 4.701 V; met is enough")
	mustNot(t, m, "runs out first; met is enough")
}

// A rail that would help where nothing fits is told on the shortlist, stands first among the
// fixes of any design, and Enter adds it.
func TestRailThatHelpsIsAdded(t *testing.T) {
	cat, err := catalog.Embedded()
	if cat == nil {
		t.Fatal(err)
	}
	spec, errs := job.Decode("m.toml", []byte("schema = 1\n[[rail]]\nname = \"v\"\nvoltage = \"24 V\"\n[[load]]\nname = \"m\"\nkind = \"motor\"\nrail = \"v\"\ncurrent = \"2 A\"\n"+
		"winding_resistance = \"1.5 ohm\"\ninductance = \"1 mH\"\nstall_time = \"2 s\"\nmode = \"pwm\"\npwm_frequency = \"1 kHz\"\n"))
	if errs.Fatal() {
		t.Fatal(errs)
	}
	m := New(Options{Spec: spec, Catalog: cat, NoColor: true, Policies: catalog.Policies(), Store: &shelf{files: map[string]string{}}})
	m.later = func(int) tea.Cmd { return nil }
	run(m, m.Init())
	send(m, tea.WindowSizeMsg{Width: 80, Height: 24})
	press(m, "tab")
	must(t, m, "! nothing fits; with a supply of 12 V added 2 designs fit: ")
	press(m, "enter", "x")
	must(t, m, "The first change was tried", "> 2 designs fit  add a supply of 12 V to the job, for the gates")
	press(m, "enter")
	must(t, m, "added a supply of 12 V to the job; Ctrl+Z on Job takes it back")
	if len(m.job.spec.Rails) != 2 || len(stopsOf(m.loadResult().Rows)) > 0 {
		t.Errorf("%d rails, %s", len(m.job.spec.Rails), stopsOf(m.loadResult().Rows))
	}
	press(m, "x")
	mustNot(t, m, "designs fit  ")
}
