package main

import (
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/hinshun/vt10x"
)

// A motor is described from nothing, in words and units as people type them; what is
// wrong is said below its field, what is assumed is shown as assumed, and the file has
// what was said.
func TestStorySayTheJob(t *testing.T) {
	s := aStory(t, 80, 24)
	s.start()
	s.press("f8")
	s.see("Start from")
	s.to("down", "nothing")
	s.press("enter")
	s.see("an empty job")
	s.choose("resistive")
	s.field("current")
	s.write("0.5A")
	s.field("voltage")
	s.write("24v")
	s.see("+", "fit", "cheapest")

	s.to("up", "> kind")
	s.choose("motor")
	s.line("current", "500 mA") // what still makes sense stays
	s.line("switching rate", "assumed")
	s.field("stall current")
	s.write("2 V")
	s.see("x found \"2 V\", expected a current")
	s.see("no shortlist")
	s.fill("2A")
	s.gone("no shortlist")
	s.field("stall time")
	s.write("0.5s")
	s.to("up", "> inductance")
	s.write("2mH")
	s.field("mode")
	s.choose("pwm")
	s.field("frequency")
	s.write("500 Hz")
	s.field("duty")
	s.write("50 %")
	s.field("name")
	s.fill("drill")
	s.see("load 1 of 1: drill")

	s.press("ctrl+o") // a second one alike
	s.see("load 2 of 2")
	s.see("cheapest")
	s.press("f4")
	s.see("All loads together", "pin total")
	s.press("esc")
	s.press("ctrl+x")
	s.see("load 1 of 1: drill")

	s.press("ctrl+s")
	s.see("save in file:")
	s.write("drill.toml")
	s.press("enter")
	s.see("saved in drill.toml")
	s.holds("drill.toml", `kind = "motor"`, `current = "500 mA"`, `stall_current = "2 A"`, `supply = "24 V"`, `mode = "pwm"`, `pwm_frequency = "500 Hz"`, `duty = "50 %"`, `name = "drill"`)
	s.press("tab")
	s.match(`^>.*[+~] (fits|tight)`)
	s.press("q")
	s.leaves()
}

// A meter reads 15 ohm on a coil whose label says 12 V. By hand: 13.5 ohm (10 % less)
// at 20 C are 12.44 ohm at 0 C, (234.5 + 0)/(234.5 + 20) of it, and take 1.013 A
// of 12.6 V, which is told away from safety.
func TestStoryMeasurement(t *testing.T) {
	s := aStory(t, 80, 24)
	s.start()
	s.press("f8")
	s.see("Start from")
	s.to("down", "a measurement")
	s.press("enter")
	s.see("type what the meter read")
	s.write("15 ohm")
	s.field("voltage")
	s.write("12v")
	s.to("up", "> or resistance")
	s.see("it draws 800 mA; cold 1.02 A (12.6 V, 0 C), hot")
	s.press("tab")
	s.line(">", "+ fits")
}

// The shortlist follows the job, in the order and with the filters that were chosen;
// what is hidden is counted, and a part at the cursor that drops out is named.
func TestStoryShortlist(t *testing.T) {
	s := aStory(t, 80, 24)
	s.start()
	s.see("cheapest")
	s.press("tab")
	s.see("by verdict, then cost", "* frontier")
	s.line(">*", "+ fits") // nothing is cheaper and better
	s.press("j", "j", "j")
	s.match(`━━ 4 of`)
	s.press("g")
	s.match(`━━ 1 of`)
	s.to("j", "npn-30v-lowsat")
	s.press("o")
	s.see("by headroom, most first")
	s.line(">", "npn-30v-lowsat-5a-smd", "npn") // the same part, elsewhere
	s.press(times(4, "o")...)
	s.see("by verdict, then cost")

	s.press("f", "right")
	s.see("hides", "hidden")
	s.see("npn-30v-lowsat-5a-smd/npn-low is not listed now")
	s.choose("relay")
	s.press("enter")
	s.see("Hidden:", "by kind")
	s.line(">", "rl-", "relay")
	s.press("/")
	s.write("5V")
	s.press("enter")
	s.see("by kind", "by text")
	s.press("c")
	s.gone("Hidden:")

	s.press("esc")
	s.field("current")
	s.fill("3 A")
	s.see("it draws 3 A")
	s.press("tab")
	s.press("g")
	s.gone("n-30v-logic-smd n-mosfet + fits") // a part of 1.65 A by its sheet
	s.press("ctrl+c")
	s.see("not saved. Leave?")
	s.press("y")
	s.leaves()
}

// Why a part fits and why another does not, with the equation and its numbers, and the
// change that would mend it, tried at once.
func TestStoryWhy(t *testing.T) {
	s := aStory(t, 80, 24)
	s.start()
	s.see("cheapest")
	s.press("tab", "enter")
	// The first check is the one that runs out first: 13.2 V and the clamp's own.
	s.see("blocking runs out first")
	s.see("V_rail_max + V_clamp = stress", "13.2 V + 10.204 V = 23.41 V", "corner rail 13.2 V", "source")
	s.press("e", "s")
	s.see("[circuit]", "Circuit")
	s.press("s", "s", "s")
	s.see("[meter]", "What a meter should read")
	s.press("s")
	s.see("[load factor]", "this stage stops fitting at")
	s.press("s")
	s.see("Your part must promise", "v_ds_max")
	s.press("esc")

	s.press("/")
	s.write("ssr-din-20a-zc")
	s.press("enter", "enter")
	s.see("it would fail: waveform", "a thyristor lets go at a zero of its current only")
	s.press("esc", "c", "n")
	s.see("Not served", "pin as direct", "the load is not on the pin's own supply")
	s.press("esc")

	// A design short of its margin, and what would mend that.
	s.press("/")
	s.write("p-20v-2v5")
	s.press("enter")
	s.line(">", "p-20v-2v5-smd", "~ tight")
	s.press("enter")
	s.see("[checks]", "~ tight")
	s.press("x")
	s.see("Fixes", "Each change was tried")
	s.press("tab")
	s.see("here the fix is")
	s.press("tab", "enter", "x")
	s.see("Each change was tried", "> ~ safe area", "current")
	s.press("enter")
	s.see("Ctrl+Z on Job takes it back")
	s.match(`^ p-20v-2v5-smd as p-mosfet high +\+ fits`)
	s.press("tab", "ctrl+z")
	s.gone("Greenhouse bench *")
	s.press("esc")
	s.leaves()
}

// Each picture, and what is read off it at the cursor.
func TestStoryLook(t *testing.T) {
	s := aStory(t, 80, 24)
	s.start()
	s.see("cheapest")
	s.press("tab")

	s.press("d")
	s.see("Is the drive enough", "threshold", "given", "t", "+ proven")
	s.press("home")
	s.line("> ", "V: x impossible")
	s.press("down")
	s.see("? unproven")
	s.press("esc")

	s.press("i")
	s.see("supply of the load", "now 12 V", "> at 12 V: + fits")
	s.press("down")
	s.see("> at 12.38 V: + fits", "+ fits to ~ tight") // solved, not a point of the grid
	s.press("down")
	s.see("> at 12.39 V: ~ tight")
	s.press("n")
	s.see("voltage of the pin", "now 5 V")
	s.press("esc")

	s.press("v")
	s.see("Cost against headroom", "limit 1", "@ the cursor")
	s.to("right", "n-20v-1v8-smd as n-mosfet low")
	s.see("n-20v-1v8-smd as n-mosfet low: + fits, headroom 1.06 (safe area), cost 0.32")
	s.press("esc")

	s.press("g", "m", "down", "m", "=")
	s.see("Side by side", "n-30v-logic-smd", "n-20v-1v8-smd", "differs")
	s.press("esc")

	s.press("g", "t")
	s.see("Broken on paper", "> no clamp", "x over", "nothing limits the voltage")
	s.to("down", "gate resistor ten times")
	s.see("gate resistor ten times; it was")
	s.press("esc")

	s.press("enter")
	s.see("blocking runs out first")
	s.press("m")
	s.see("Margins", "> blocking")
	s.line("blocking", "##############|#")
	s.press("down")
	s.see("> pin amps")
	s.press("esc")
	s.press("r")
	s.see("Resistor bands", "IEC 60062", "##orange ##yellow ##black ##black ##brown")
	s.press("esc")
	s.press("s")
	s.see("[circuit]", "│") // with box drawing
	s.press("q")
	s.leaves()

	s.start("--ascii")
	s.see("cheapest")
	s.press("tab", "enter")
	s.see("[checks]")
	s.press("s")
	s.see("[circuit]", "load")
	for _, r := range s.frame() {
		if r > '~' {
			s.fail("%q is drawn on a terminal of plain ASCII", r)
		}
	}
	s.press("q")
	s.leaves()
}

// "Is my circuit all right?": the stage as somebody built it is judged, and its values
// are changed where they stand.
func TestStoryAsBuilt(t *testing.T) {
	s := aStory(t, 80, 24)
	s.start()
	s.see("cheapest")
	s.press("tab", "enter")
	s.see("n-30v-logic-smd as n-mosfet low + fits")
	s.press("ctrl+b")
	s.see("as built: n-30v-logic-smd")
	s.press("tab")
	s.field("pull-down")
	s.fill("1M")
	s.press("tab")
	s.match("b n-30v-logic-smd.*x over.*stays off")
	s.press("g")
	s.match("^> *b *n-30v-logic-smd.*x over.*stays off")
	s.press("enter")
	s.see("n-30v-logic-smd as n-mosfet low", "it would fail: stays off")
	s.press("ctrl+s")
	s.write("mine.toml")
	s.press("enter")
	s.see("saved in mine.toml")
	s.holds("mine.toml", "[load.built]", `topology = "n-mosfet-low"`, `part = "n-30v-logic-smd"`, `r_pulldown = "1 Mohm"`)
	s.press("q")
	s.leaves()
}

// The part in the drawer: its few figures, what is missing for a proof, kept in the
// person's own catalogue, never over another one unasked.
func TestStoryDrawer(t *testing.T) {
	s := aStory(t, 80, 24)
	s.start()
	s.see("cheapest")
	s.press("tab", "a")
	s.see("A part of your own", "Still needed")
	s.field("id")
	s.fill("drawer-60v")
	s.field("package")
	s.choose("TO-220")
	s.field("channel")
	s.choose("n")
	for _, f := range [][2]string{{"drain voltage", "60V"}, {"gate voltage", "20V"}, {"drain current", "20A"}, {"threshold, least", "2 V"}, {"threshold, most", "4 V"},
		{"threshold, at", "250uA"}, {"on at gate voltage", "10 V"}, {"and drain current", "10A"}} {
		s.field(f[0])
		s.write(f[1])
	}
	s.see("Still needed: on-resistance, most")
	s.field("on-resistance, most")
	s.see("Look for:") // where a data sheet prints it
	s.write("45 mohm")
	// Stated at 10 V, it is no part for a pin of 5 V as it stands, and this is said.
	s.see("x over as n-mosfet low", "gate drive,")
	s.see("? unproven as boosted", "Unproven without these, the most decisive first:", "gate-drain charge")
	s.press("ctrl+s")
	s.see("drawer-60v is saved in")
	s.line(">", "drawer-60v", "unproven")
	s.holds("data/pinhoist/parts.toml", "# ", `id = "drawer-60v"`, `v_ds_max = "60V"`, `max = "45 mohm"`)
	first := s.read("data/pinhoist/parts.toml")

	s.press("a")
	s.see("A part of your own")
	s.to("up", "> drain voltage")
	s.fill("55V")
	s.see("x over as n-mosfet low")
	s.press("ctrl+s")
	s.see("parts.toml: there is a part of this id in it. Write over it?")
	s.press("n")
	s.see("not saved")
	if now := s.read("data/pinhoist/parts.toml"); now != first {
		s.fail("the file was changed unasked:\n%s", now)
	}
	s.press("ctrl+s")
	s.see("Write over it?")
	s.press("y")
	s.see("drawer-60v is saved in")
	s.holds("data/pinhoist/parts.toml", `v_ds_max = "55V"`)
	s.press("q")
	s.leaves()

	s.start() // it is there at the next start, beside the others
	s.see("cheapest")
	s.press("tab", "/")
	s.write("drawer")
	s.press("enter", "enter")
	s.see("drawer-60v as boosted", "unproven")
	s.press("q")
	s.leaves()
}

const commented = `# The latch of the north house.
schema = 1
title = "North house"

[[load]]
name = "latch" # under the ridge
kind = "solenoid"
supply = "12 V"
current = "0.5 A"
inductance = "40 mH"
release_within = "30 ms"
mechanical_release_time = "2 ms"
`

// Edits are undone and done again; comments that a file would lose are told before it
// is written; the sheet goes to a file and to the clipboard; leaving asks.
func TestStoryKeepAndShare(t *testing.T) {
	s := aStory(t, 80, 24)
	s.file("north.toml", commented)
	s.start("--job", "north.toml")
	s.see("North house", "cheapest")
	s.press("right")
	s.see("North house *")
	s.field("name")
	s.fill("ridge")
	s.see("load 1 of 1: ridge")
	s.press(times(30, "ctrl+z")...)
	s.gone("North house *")
	s.see("< solenoid >", "load 1 of 1: latch")
	s.press(times(30, "ctrl+y")...)
	s.see("load 1 of 1: ridge", "North house *")

	s.press("ctrl+s")
	s.see("its comments will be gone")
	s.press("n")
	s.see("not saved")
	if s.read("north.toml") != commented {
		s.fail("the file was written all the same")
	}
	s.press("f7")
	s.see("save in file: north.toml")
	s.fill("ridge.toml")
	s.press("enter")
	s.see("saved in ridge.toml")
	s.gone("North house *")
	s.holds("ridge.toml", `title = "North house"`, `name = "ridge"`, `inductance = "40 mH"`)

	s.press("f8", "enter")
	s.see("open file:")
	s.fill("north.toml")
	s.press("enter")
	s.see("opened north.toml", "load 1 of 1: latch", "cheapest")

	s.press("tab")
	s.line(">", "fits")
	s.press("y")
	s.see("copied, if the terminal allows it: n-")
	part := s.clipboard()
	s.line(">", part)
	s.press("enter")
	s.see(part+" as", "[checks]")
	s.press("y")
	s.see("the sheet of "+part, "lines")
	if text := s.clipboard(); !strings.Contains(text, "North house") || !strings.Contains(text, part) {
		s.fail("copied %q", text)
	}
	s.press("E", "ctrl+u")
	s.write("latch.md")
	s.press("enter")
	s.see("the sheet is in latch.md")
	s.holds("latch.md", "# ", part, "North house")

	s.press("esc", "esc")
	s.press("right", "esc")
	s.see("not saved. Leave?")
	s.press("n")
	s.gone("Leave?")
	s.press("esc", "y")
	s.leaves()
	if s.read("north.toml") != commented {
		t.Error("left without saving, and the file was changed")
	}
}

// The machine stops in the middle of a field: the next start is where this one was. One
// that ended in order leaves nothing to come back to.
func TestStoryCrash(t *testing.T) {
	s := aStory(t, 80, 24)
	s.file("north.toml", commented)
	s.start("--job", "north.toml")
	s.see("cheapest")
	s.press("tab", "o")
	s.see("by headroom")
	s.press("esc")
	s.field("current")
	s.fill("0.7 A")
	s.see("it draws 700 mA")
	s.field("inductance")
	s.fill("45 mX")
	s.see("x found \"45 mX\"")
	s.kept(`700 mA`, `45 mX`)
	s.end(syscall.SIGKILL)
	if s.read("north.toml") != commented {
		t.Error("the crash changed the file")
	}

	s.start("--job", "north.toml")
	s.see("back where", "was left")
	s.see("North house *")
	s.line("current", "700 mA")
	s.line("> inductance", "45 mX")
	s.see("x found \"45 mX\"")
	s.fill("45 mH")
	s.gone("45 mX")
	s.press("tab")
	s.see("by headroom")
	s.press("esc", "ctrl+s")
	s.see("its comments will be gone")
	s.press("y")
	s.see("saved in")
	s.holds("north.toml", `current = "700 mA"`, `inductance = "45 mH"`)
	s.press("esc")
	s.leaves()

	s.start("--job", "north.toml")
	s.see("cheapest")
	s.gone("was left", "North house *")
}

// The window is closed, or the machine goes down in order: what was typed a moment ago
// comes back at the next start.
func TestStoryWindowCloses(t *testing.T) {
	s := aStory(t, 80, 24)
	s.start()
	s.see("cheapest")
	s.field("current")
	s.fill("0.7 A")
	s.end(syscall.SIGHUP)
	s.start()
	s.see("back where the job was left", "Greenhouse bench *")
	s.line("> current", "700 mA")
	s.fill("0.6 A")
	s.end(syscall.SIGTERM)
	s.start()
	s.see("back where the job was left", "Greenhouse bench *")
	s.line("> current", "600 mA")
}

// The first start shows a tour, once; help explains the screen, and words the terms
// that stand on it, each with its equation.
func TestStoryLearn(t *testing.T) {
	s := aStory(t, 80, 24)
	if err := os.RemoveAll(s.state()); err != nil {
		t.Fatal(err)
	}
	s.start()
	s.see("Tour, 1 of 5", "Say the job here")
	s.press("enter")
	s.see("Tour, 2 of 5")
	s.press("backspace")
	s.see("Tour, 1 of 5")
	s.press("esc")
	s.gone("Tour,")
	s.see("the tour is over")
	s.eventually("it is noted that the tour was seen", func() bool { return (&state{dir: filepath.Join(s.state(), "pinhoist")}).tourSeen() })
	s.press("esc")
	s.leaves()

	s.start()
	s.see("cheapest")
	s.gone("Tour,")
	s.field("inductance")
	s.press("f5")
	s.see("Words that stand where you are", "stored energy", "E = 1/2 L I^2")
	s.press("esc")
	s.press("tab", "?")
	s.see("Parts: one row for every way", "frontier", "next order")
	s.press("t")
	s.see("Tour, 1 of 5") // when asked
	s.press("esc")
	s.press("tab", "enter")
	s.see("blocking runs out first")
	s.press("w")
	s.see("Words that stand where you are", "blocking-voltage", "supply(max) + clamp(max) <= k x V rated")
	s.press("esc", "q")
	s.leaves()
}

// What can hurt stands under the title of every screen as long as the job makes it
// true, and is not scrolled away; colour is not needed to see it.
func TestStoryDanger(t *testing.T) {
	s := aStory(t, 80, 24)
	s.env = append(s.env, "NO_COLOR=1")
	s.start()
	s.see("stored energy")
	s.gone("hazardous")
	s.press("f8")
	s.see("Start from")
	s.to("down", "heater")
	s.press("enter")
	s.line("!", "hazardous voltage", "F2:", "unread")
	s.see("cheapest")
	for _, on := range []struct {
		screen string
		keys   []string
	}{{"> derating", times(4, "pgdown")}, {"━━ Parts ━━", []string{"tab"}}, {"━━ Design ━━", []string{"G", "enter", "G"}},
		{"━━ Not served ━━", []string{"esc", "n", "G"}}, {"━━ Words ━━", []string{"w", "G"}}} {
		s.press(on.keys...)
		s.see(on.screen)
		s.line("!", "hazardous voltage", "F2:")
	}
	s.resize(40, 10)
	s.match("^ !.*hazardous.* F2: [0-9]+ unread$")
	s.resize(80, 24)
	s.press("f2")
	s.see("━━ Cautions ━━", "qualified")
	s.press("G")
	s.press("esc", "esc", "esc", "esc")
	s.line("!", "hazardous voltage")
	s.gone("unread")
	if strings.Contains(string(s.written()), "\x1b[3") {
		s.fail("colours in spite of NO_COLOR")
	}
}

// Colours are the terminal's own sixteen, and a word stands beside each.
func TestStoryColours(t *testing.T) {
	s := aStory(t, 80, 24)
	s.env = append(s.env, "TERM=xterm")
	s.start()
	s.see("cheapest")
	s.press("tab")
	if c := s.colour("+ fits"); c != vt10x.Green {
		s.fail("fits in colour %d", c)
	}
	s.press("G")
	if c := s.colour("x over"); c != vt10x.Red {
		s.fail("over in colour %d", c)
	}
}

// Its corner is dragged about while it works, down to nothing and up again: nothing
// breaks, nothing is left over, and in the end the screen is what it was.
func TestStoryResizeStorm(t *testing.T) {
	s := aStory(t, 80, 24)
	s.start()
	s.see("cheapest")
	s.press("tab", "j", "j")
	s.match(`━━ 3 of`)
	s.see("30 V N, on at 2.5 V", "cost in EUR")
	before := s.frame()
	sizes := [][2]int{{40, 10}, {200, 60}, {1, 1}, {120, 40}, {39, 9}, {60, 20}, {3, 50}, {250, 2}, {199, 24}, {80, 1}, {20, 5}, {120, 12}, {41, 11}}
	for i := range 60 {
		size := sizes[i%len(sizes)]
		s.resize(size[0], size[1])
		if i%4 == 0 {
			s.press("j", "k") // somebody is reading meanwhile
		}
	}
	s.resize(80, 24)
	s.see("* frontier cost in EUR", "w words ? help q quit")
	s.press("g", "j", "j")
	s.until("the screen is as it was", func() bool { return strings.Join(s.lines(), "\n") == before })

	for _, size := range [][2]int{{60, 20}, {40, 10}, {120, 40}, {200, 60}, {80, 24}} {
		s.resize(size[0], size[1])
		s.match(`^ ?Greenhouse benc`) // the title is not pushed out
		s.line(">", "n-30v-2v5-smd")
		s.line("? help") // to its end
	}
	s.resize(20, 5)
	s.see("pinhoist needs 40 by 10 cells")
	s.resize(80, 24)
	s.press("q")
	s.leaves()
}

// What is pasted is text, wherever it lands: a field takes it as one line without what
// would move the cursor, and where letters are commands it commands nothing.
func TestStoryPaste(t *testing.T) {
	s := aStory(t, 80, 24)
	s.start()
	s.see("cheapest")
	s.press("tab")
	s.see("then cost")
	s.paste("qoG")
	s.paste("y\n")
	s.press("j")
	s.match(`━━ 2 of`)
	s.see("then cost")
	s.press("/")
	s.paste("relay\n")
	s.see("text: relay|")
	s.press("enter")
	s.see("Hidden:", "by text")
	s.press("esc")
	s.field("name")
	s.press("ctrl+u")
	s.paste("ridge\nvent\x1b[2J\x07 no. 2")
	s.see("> name", "no. 2", "field 1") // the cursor is still there
	s.line("> name", "ridge", "vent", "no. 2")
	s.press("ctrl+u")
	s.paste("qqq Ω µ ") // letters that are commands elsewhere
	s.line("> name", "qqq Ω µ")
	s.fill("latch")
	s.see("load 1 of 1: latch")
	s.to("up", "> current")
	s.press("ctrl+u")
	s.paste("500 mA\n")
	s.see("it draws 500 mA")
}

// Somebody else writes the file that is on the screen: it is told, saving asks, and the
// file can be opened anew.
func TestStoryFileChanges(t *testing.T) {
	s := aStory(t, 80, 24)
	plain := strings.NewReplacer("# The latch of the north house.\n", "", " # under the ridge", "").Replace(commented)
	s.file("north.toml", plain)
	s.start("--job", "north.toml")
	s.see("North house", "cheapest")
	other := strings.Replace(plain, "0.5 A", "0.6 A", 1)
	s.file("north.toml", other)
	s.field("current")
	s.see("north.toml was changed on the disk by someone else")
	s.fill("0.7 A")
	s.see("it draws 700 mA")
	s.press("ctrl+s")
	s.see("it was changed by someone else meanwhile")
	s.press("n")
	s.see("not saved")
	if s.read("north.toml") != other {
		s.fail("it was written over")
	}
	s.press("f8", "enter")
	s.see("open file: north.toml")
	s.press("enter")
	s.see("not saved") // the edit would be lost
	s.press("y")
	s.see("opened north.toml anew")
	s.line("current", "600 mA")
	s.gone("North house *")

	s.file("north.toml", "[[load]]\nname = \"latch\"\ncurent = \"1 A\"\n") // half written
	s.press("f8", "enter", "enter")
	s.see("was not opened", "curent")
	s.press("esc")
	s.line("current", "600 mA")

	if err := os.Remove(filepath.Join(s.home, "north.toml")); err != nil {
		t.Fatal(err)
	}
	s.field("current")
	s.fill("0.8 A")
	s.press("ctrl+s")
	s.see("saved in north.toml")
	s.holds("north.toml", `current = "800 mA"`)
	s.press("esc")
	s.leaves()
}

// The disk takes no more: it is said in words, the file is as it was, the edit stays and
// is still marked as not saved, and it can be saved elsewhere.
func TestStoryFullDisk(t *testing.T) {
	s := aStory(t, 80, 24)
	s.as = smallDisk
	s.file("north.toml", commented)
	s.start("--job", "north.toml")
	s.see("cheapest")
	s.field("current")
	s.fill("0.7 A")
	s.see("it draws 700 mA")
	s.see("the session cannot be kept", "A crash would lose what is not saved")
	s.press("ctrl+s")
	s.see("its comments will be gone")
	s.press("y")
	s.see("not saved in north.toml: the disk takes no file of that size", "Nothing is lost; F7 saves it elsewhere")
	s.see("North house *")
	s.line("> current", "0.7 A")
	if s.read("north.toml") != commented {
		s.fail("the file is not as it was")
	}
	s.only(".", "north.toml", "state")
	s.press("f7")
	s.fill("new.toml")
	s.press("enter")
	s.see("not saved in new.toml")
	s.only(".", "north.toml", "state")

	s.press("tab", "enter")
	s.see("[checks]")
	s.press("E", "ctrl+u")
	s.write("sheet.txt")
	s.press("enter")
	s.see("not saved in sheet.txt: the disk takes no file of that size")
	s.press("q")
	s.see("not saved. Leave?")
	s.press("s")
	s.see("its comments will be gone")
	s.press("y")
	s.see("not saved in") // and so it does not leave
	s.press("q", "y")
	s.leaves()
}

// A folder in which nobody may write.
func TestStoryReadOnlyFolder(t *testing.T) {
	s := aStory(t, 80, 24)
	s.as = noOverride
	shelf := filepath.Join(s.home, "shelf")
	if err := os.Mkdir(shelf, 0o755); err != nil {
		t.Fatal(err)
	}
	s.file("shelf/north.toml", commented)
	if err := os.Chmod(shelf, 0o555); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = os.Chmod(shelf, 0o755) })
	s.start("--job", "shelf/north.toml")
	s.see("cheapest")
	s.field("current")
	s.fill("0.7 A")
	s.see("it draws 700 mA")
	s.press("ctrl+s")
	s.see("its comments will be gone")
	s.press("y")
	s.see("not saved in shelf/north.toml: you may not write there", "Nothing is lost; F7 saves it elsewhere")
	s.see("North house *")
	if s.read("shelf/north.toml") != commented {
		s.fail("the file is not as it was")
	}
	s.only("shelf", "north.toml")
	s.press("f7")
	s.fill("nowhere/north.toml")
	s.press("enter")
	s.see("not saved in nowhere/north.toml: there is no such file or folder")
	s.press("f7")
	s.fill("shelf/north.toml/x.toml") // a file in the place of a folder
	s.press("enter")
	s.see("not saved in shelf/north.toml/x.toml: not a directory")
	s.press("f7")
	s.fill("north.toml")
	s.press("enter")
	s.see("saved in north.toml")
	s.gone("North house *")
	s.holds("north.toml", `current = "700 mA"`)
	s.press("esc")
	s.leaves()
}

// Nothing waits for a terminal that answers nothing: the first screen is there in a
// fraction of the five seconds that the toolkit would wait for an answer, and nothing
// is asked.
func TestStoryMuteTerminal(t *testing.T) {
	s := aStory(t, 80, 24)
	best := patience
	for range 3 { // a machine that is busy with other things may be slow once
		from := time.Now()
		s.start()
		s.see("Greenhouse bench")
		best = min(best, time.Since(from))
		if asked := questions.Find(s.written()); asked != nil {
			s.fail("the terminal was asked %q", asked)
		}
		s.press("ctrl+c")
		s.leaves()
	}
	t.Logf("first screen after %v", best)
	if best > hang {
		t.Errorf("the first screen took %v", best)
	}
}
