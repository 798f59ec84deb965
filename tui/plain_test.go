package tui

import (
	"errors"
	"math/rand/v2"
	"regexp"
	"slices"
	"strings"
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/job"
)

// Whatever a key of the screen does can be said, too.
func TestLinesDoTheSameJob(t *testing.T) {
	var words []string
	for _, c := range plainCommands() {
		if slices.Contains(words, c.word) {
			t.Errorf("%s is there twice", c.word)
		}
		words = append(words, c.word)
	}
	for i := range bindings {
		b := &bindings[i]
		word, ok := inLines[b.act]
		if !ok || word != "" && !slices.Contains(words, word) {
			t.Errorf("%s of %s cannot be said: %q", actionNames[b.act], modeNames[b.mode], word)
		}
	}
}

// converse says some lines and gives what was answered.
func converse(t *testing.T, ask Asker, lines ...string) (*plain, string) {
	t.Helper()
	var out strings.Builder
	m := open(t, ask, 80, 24) // for its options
	opt := m.opt
	opt.In, opt.Out, opt.Spec = strings.NewReader(strings.Join(lines, "\n")+"\n"), &out, job.Demo()
	p := newPlain(opt)
	p.run(p.m.Init())
	for !p.over {
		line, ok := p.ask("> ")
		if !ok {
			break
		}
		p.command(line)
	}
	if p.m.fault != nil {
		t.Fatal(p.m.fault)
	}
	return p, out.String()
}

// What the Model says names no key where there are none.
func TestLinesNameNoKeys(t *testing.T) {
	m := open(t, &fake{}, 80, 24)
	m.opt.Store = &shelf{files: map[string]string{}, fails: errors.New("the disk is full")}
	var out strings.Builder
	opt := m.opt
	opt.In, opt.Out = strings.NewReader("set current 0.4 A\nsave a.toml\nhelp\n"), &out
	if err := Plain(opt); err != nil {
		t.Fatal(err)
	}
	if said := out.String(); !strings.Contains(said, "Nothing is lost; save saves it elsewhere") || strings.Contains(said, "Ctrl+") || regexp.MustCompile(`\bF[1-9]\b`).MatchString(said) {
		t.Errorf("%s", said)
	}
}

// What is put into the job from a view is one edit, undone as one; a design that is told
// is always of the job as it stands.
func TestLinesEditAsTheScreenDoes(t *testing.T) {
	ask := &fake{}
	p, said := converse(t, ask, "break 1", "1", "y", "why 1", "set current 0.5 A", "why 1", "undo", "undo", "redo", "undo")
	if job.Digest(p.m.job.spec) != p.m.first {
		t.Errorf("undone, and another job:\n%s", said)
	}
	if p.m.design.input != p.m.input && p.m.design.det != nil {
		t.Error("the design is of another job")
	}
	p, _ = converse(t, ask, "break 1", "1", "y", "open nothing", "y", "set resistance 15 ohm", "set supply 12 V", "why 1")
	if p.m.job.spec.Loads[0].Built != nil || p.m.design.input != p.m.input {
		t.Error("another job was opened, and the design told is of the one before")
	}
	p, said = converse(t, ask, "set wire_length 2 m", "filter kind bjt", "filter side low", "filter isolated only", "filter none", "filter cost 0.4")
	if l := p.m.job.spec.Loads[0]; l.WireLength.ExactText() != "2 m" || p.m.parts.view.MaxCost.V != 0.4 || p.m.parts.view.Kind != "" {
		t.Errorf("wires %q, %+v:\n%s", l.WireLength.ExactText(), p.m.parts.view, said)
	}
	if !strings.Contains(said, "4 are hidden by kind") && !strings.Contains(said, "3 are hidden by kind") {
		t.Errorf("nothing is said to be hidden:\n%s", said)
	}
}

// copied is what copy writes, for the terminal alone.
var copied = regexp.MustCompile("\x1b]52;c;[A-Za-z0-9+/=]*\a")

// Whatever is said, it is answered in lines: no fault, nothing drawn, and all undone is the
// job as it was.
func TestRandomLines(t *testing.T) {
	words := []string{"", "1", "2", "3", "99", "-1", "y", "n", "none", "x", "0.5 A", "12 V", "3.3 V", "kind relay", "cost 0.5", "add", "remove", "copy", "sheet", "current 0.4 A",
		"wire_length 2 m", "kind motor", "rail pin", "nothing", "a.toml", ".", "-", "cost", "pin.supply 3", "current", "1 2", "1 2 3 4 5", "mosfet", "tolerance 5 %", "headroom", "µ"}
	for seed := range uint64(30) {
		r := rand.New(rand.NewPCG(seed, 13))
		var lines []string
		for range 120 {
			line := words[r.IntN(len(words))]
			if c := plainCommands()[r.IntN(len(plainCommands()))]; r.IntN(3) > 0 && c.word != "quit" {
				line = c.word + " " + line
			}
			lines = append(lines, line)
		}
		p, said := converse(t, &fake{}, lines...)
		said = copied.ReplaceAllString(said, "")
		if i := strings.IndexFunc(said, func(c rune) bool { return c < ' ' && c != '\n' || c >= '─' && c <= '▼' }); i >= 0 {
			t.Errorf("seed %d: %q was written", seed, said[max(i-40, 0):min(i+40, len(said))])
		}
		start := p.m.job.start
		for p.m.job.undo() {
		}
		if job.Digest(p.m.job.spec) != job.Digest(start) {
			t.Errorf("seed %d: all undone is another job", seed)
		}
	}
}

// What is to be stated, in place of a change, is told as that; and a field named without
// set is answered with how it is changed.
func TestLinesTellWhatIsToBeStated(t *testing.T) {
	lines := []string{"set kind motor", "fixes 1", "4", "current 2 A"}
	cat, err := catalog.Embedded()
	if cat == nil {
		t.Fatal(err)
	}
	var out strings.Builder
	m := open(t, &fake{}, 80, 24)
	opt := m.opt
	opt.Asker, opt.Catalog, opt.Spec = nil, cat, job.Demo()
	opt.In, opt.Out = strings.NewReader(strings.Join(lines, "\n")+"\n"), &out
	p := newPlain(opt)
	p.run(p.m.Init())
	for !p.over {
		line, ok := p.ask("> ")
		if !ok {
			break
		}
		p.command(line)
	}
	told := out.String()
	for _, want := range []string{"? to state: clamp voltage; unproven without it: blocking", "A field is changed with set: set current 2 A."} {
		if !strings.Contains(told, want) {
			t.Errorf("%q is not told:\n%s", want, told)
		}
	}
	if strings.Contains(told, ", instead of .") {
		t.Errorf("an empty change is told:\n%s", told)
	}
}
