package tui

import (
	"strings"
	"testing"

	"example.org/pinhoist/internal/job"
)

// toStart moves the cursor of the page of starts to a line.
func toStart(t *testing.T, m *Model, label string) {
	t.Helper()
	press(m, "f8")
	for i := range m.starts.entries {
		if m.starts.entries[i].label == label {
			for m.starts.at < i {
				press(m, "down")
			}
			return
		}
	}
	t.Fatalf("no start %q", label)
}

func TestStartsFromABuiltInJob(t *testing.T) {
	for _, b := range job.BuiltIns() {
		m := open(t, &fake{}, 80, 24)
		toStart(t, m, b.Name)
		press(m, "enter")
		if got := job.Digest(m.job.spec); got != job.Digest(b.Spec) || m.edited || m.keep.file != "" || m.at != placeJob {
			t.Errorf("%s: another job, edited %v, in file %q", b.Name, m.edited, m.keep.file)
		}
		if m.result == nil || m.blocked != "" {
			t.Errorf("%s: no answer, %s", b.Name, m.blocked)
		}
		must(t, m, "the built-in job "+b.Name, b.Spec.Title)
	}
}

func TestStartsFromNothing(t *testing.T) {
	m := open(t, &fake{}, 80, 24)
	toStart(t, m, "nothing")
	press(m, "enter")
	must(t, m, "no shortlist")
	if m.edited {
		t.Error("an empty job counts as edited")
	}
	toField(t, m, "load[0].current")
	press(m, "0.5A")
	toField(t, m, "load[0].supply")
	press(m, "12v")
	if m.blocked != "" || m.result == nil {
		t.Errorf("with current and supply there is no answer: %s\n%s", m.blocked, m.View())
	}
}

func TestStartsFromAFile(t *testing.T) {
	s := &shelf{files: map[string]string{"a.toml": string(job.BuiltIns()[1].Text), "bad.toml": "[[load]]\nname = \"x\"\nkind = \"led\"\ncurent = \"1 A\"\ncurrent = \"1 V\"\n",
		"half.toml": "[[load]]\nname = \"x\"\nkind = \"led\"\nsupply = \"12 V\"\n"}}
	m := withShelf(t, s)
	press(m, "f8", "enter", "a.toml", "enter")
	must(t, m, "opened a.toml", "Shelf light")
	if m.keep.file != "a.toml" || m.edited {
		t.Errorf("file %q, edited %v", m.keep.file, m.edited)
	}
	press(m, "f8", "enter", "ctrl+u", "none.toml", "enter")
	must(t, m, "not opened, none.toml: there is no such file")
	press(m, "f8", "enter", "ctrl+u", "bad.toml", "enter")
	must(t, m, "bad.toml:4:1", "bad.toml:5:", "curent", "was not opened") // every error at once
	press(m, "esc")
	must(t, m, "Shelf light") // still
	press(m, "f8", "enter", "ctrl+u", "half.toml", "enter")
	must(t, m, "opened half.toml", "no shortlist: current")
}

// Edits are asked for before another job takes their place.
func TestOpeningAsksBeforeALoss(t *testing.T) {
	s := &shelf{files: map[string]string{"a.toml": string(job.BuiltIns()[1].Text)}}
	for _, way := range [][]string{{"f8", "enter", "a.toml", "enter"}, {"f8", "down", "enter"}} {
		m := withShelf(t, s)
		press(m, "down", "ctrl+u", "0.5A")
		was := job.Digest(m.job.spec)
		press(m, way...)
		must(t, m, "is not saved. Open another")
		press(m, "n")
		if job.Digest(m.job.spec) != was {
			t.Fatal("no, and it is another job")
		}
		press(m, way...)
		press(m, "s")
		must(t, m, "save in file: ")
		press(m, "esc")
		press(m, way...)
		press(m, "y")
		if job.Digest(m.job.spec) == was || m.edited {
			t.Error("yes, and it is the job as it was")
		}
	}
}

// What changed on disk meanwhile can be opened anew.
func TestOpensAnew(t *testing.T) {
	s := &shelf{files: map[string]string{"a.toml": string(job.BuiltIns()[1].Text)}}
	m := withShelf(t, s)
	press(m, "f8", "enter", "a.toml", "enter")
	s.files["a.toml"] = strings.ReplaceAll(s.files["a.toml"], "Shelf light", "Lid light")
	press(m, "f8", "enter", "enter")
	must(t, m, "Lid light")
}

func TestSavesUnderAnotherName(t *testing.T) {
	s := &shelf{files: map[string]string{}}
	m := withShelf(t, s)
	press(m, "right", "ctrl+s", "a", "enter", "right", "f7")
	must(t, m, "save in file: a|")
	press(m, "b", "enter")
	must(t, m, "saved in ab")
	if m.keep.file != "ab" || s.files["a"] == s.files["ab"] {
		t.Errorf("file %q, %v", m.keep.file, s.files)
	}
}
