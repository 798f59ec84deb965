package sheet

import (
	"strings"
	"testing"

	"example.org/pinhoist/internal/design"
)

// Every term has two sentences and its words are its own.
func TestTermsAreTwoSentences(t *testing.T) {
	whose := map[string]string{}
	for _, term := range Terms() {
		text := strings.TrimSuffix(term.Text, ".")
		if n := strings.Count(text, ". ") + 1; n != 2 || text == term.Text {
			t.Errorf("%s: %d sentences: %s", term.Name, n, term.Text)
		}
		for _, s := range []string{term.Text, term.Equation} {
			if strings.ContainsFunc(s, func(r rune) bool { return r < ' ' || r > '~' }) {
				t.Errorf("%s: not plain ASCII: %s", term.Name, s)
			}
		}
		for _, w := range term.words() {
			if other, twice := whose[w]; twice && other != term.Name {
				t.Errorf("%q stands for %s and for %s", w, other, term.Name)
			}
			whose[w] = term.Name
		}
	}
}

// What stands on screens and sheets has a term: every check, with its equation, every
// verdict, and every value of a design.
func TestTermsCoverWhatIsTold(t *testing.T) {
	for _, id := range design.CheckIDs() {
		for _, word := range []string{id.String(), checkWords[id][0]} {
			term, ok := TermOf(word)
			if !ok || term.Name != id.String() {
				t.Errorf("%q stands for %q", word, term.Name)
			}
			if term.Equation == "" && id != design.HeatSinkLive {
				t.Errorf("%s has no equation", id)
			}
		}
	}
	for v := design.Fits; v <= design.Over; v++ {
		if term, ok := TermOf(v.String()); !ok || term.Name != v.String() {
			t.Errorf("no term for %s", v)
		}
	}
	for _, v := range valueList {
		if _, ok := TermOf(string(v.key)); !ok {
			t.Errorf("no term for the value %s, %s", v.key, v.text)
		}
	}
	for figure := range figureWords { // what your own part must promise
		for _, f := range []string{figure, "nc." + figure} {
			if _, ok := TermOf(f); !ok {
				t.Errorf("no term for the figure %s, %s", f, FigureText(f))
			}
		}
	}
	for _, word := range []string{"threshold voltage", "forced beta", "must-operate voltage", "must_operate", "load factor", "promises", "frontier", "topology", "corner", "inrush_factor"} {
		if _, ok := TermOf(word); !ok {
			t.Errorf("no term for %q", word)
		}
	}
	if _, ok := TermOf("no such word"); ok {
		t.Error("there is a term for anything")
	}
}

func TestTermsInTheirOrder(t *testing.T) {
	var names []string
	for _, term := range TermsIn("  x over   Gate drive   0.22 #   |  4.5 V of 4.7 V\n forced_beta 12; nothing of cornering") {
		names = append(names, term.Name)
	}
	if got := strings.Join(names, ", "); got != "over, gate-drive, forced beta" {
		t.Errorf("found %s", got)
	}
}

// Asked for, the words of a sheet stand at its end, each once, and only those that are
// on it.
func TestSheetExplainsItsWords(t *testing.T) {
	plain := Sheet(handInput(t), handDetailed(), SheetOptions{}).Text(Width, nil)
	full := Sheet(handInput(t), handDetailed(), SheetOptions{Words: true})
	text := full.Text(Width, nil)
	if !strings.HasPrefix(text, plain) {
		t.Error("with its words the sheet is another one")
	}
	told := chapterOf(full, "Words")
	if len(told) < 10 {
		t.Fatalf("only %d words", len(told))
	}
	for _, name := range told {
		term, ok := TermOf(name)
		if !ok || len(TermsIn(plain)) != len(told) {
			t.Errorf("%q is no term, or %d terms stand there and %d are told", name, len(TermsIn(plain)), len(told))
		}
		if term.Name == "forced beta" {
			t.Error("a word of another kind of switch")
		}
	}
}

// chapterOf lists the labels of the facts of a chapter, equations apart.
func chapterOf(d *Doc, heading string) (labels []string) {
	in := false
	for _, b := range d.Blocks {
		if b.Heading != "" {
			in = b.Heading == heading
		}
		for _, f := range b.Facts {
			if in && f.Label != "equation" {
				labels = append(labels, f.Label)
			}
		}
	}
	return labels
}
