package tui

import (
	"errors"
	"strings"
	"testing"

	"example.org/pinhoist/internal/job"
)

func withShelf(t *testing.T, s *shelf) *Model {
	t.Helper()
	m := open(t, &fake{}, 80, 24)
	m.keep.store = s
	return m
}

func TestSaving(t *testing.T) {
	s := &shelf{files: map[string]string{}}
	m := withShelf(t, s)
	press(m, "down", "ctrl+u", "0.5A", "ctrl+s")
	must(t, m, "save in file: |")
	press(m, "my qn.toml", "enter") // letters that are commands elsewhere
	must(t, m, "saved in my qn.toml")
	if m.edited {
		t.Error("a saved job counts as edited")
	}
	spec, errs := job.Decode("x", []byte(s.files["my qn.toml"]))
	if errs.Fatal() || job.Digest(spec) != job.Digest(m.job.spec) {
		t.Errorf("%v: the file is another job:\n%s", errs, s.files["my qn.toml"])
	}
	press(m, "ctrl+u", "0.4A", "ctrl+s")
	must(t, m, "saved in my qn.toml")
	if !strings.Contains(s.files["my qn.toml"], "400 mA") {
		t.Error("saved again, the file is the old one")
	}
	press(m, "ctrl+z", "ctrl+z")
	if !m.edited {
		t.Error("undone past what was saved, the job counts as saved")
	}
}

// What would be lost is said before anything is written, and no keeps it.
func TestSavingAsksBeforeALoss(t *testing.T) {
	for name, c := range map[string]struct {
		known, there, says string
	}{
		"another file":    {"", "title = 1", "it is there already"},
		"changed on disk": {"a = 1", "a = 2", "changed by someone else"},
		"comments":        {"a = 1 # why", "a = 1 # why", "its comments will be gone"},
	} {
		s := &shelf{files: map[string]string{"f.toml": c.there}}
		m := withShelf(t, s)
		if c.known != "" {
			m.keep.file, m.keep.disk = "f.toml", []byte(c.known)
		}
		press(m, "right", "ctrl+s")
		if c.known == "" {
			press(m, "f.toml", "enter")
		}
		must(t, m, c.says)
		press(m, "n")
		if s.files["f.toml"] != c.there || !m.edited {
			t.Errorf("%s: no, and it was written", name)
		}
		press(m, "ctrl+s")
		if c.known == "" {
			press(m, "enter")
		}
		press(m, "y")
		if s.files["f.toml"] == c.there || m.edited {
			t.Errorf("%s: yes, and it was not written", name)
		}
	}
}

func TestSavingFails(t *testing.T) {
	s := &shelf{files: map[string]string{}, fails: errors.New("no space left on device")}
	m := withShelf(t, s)
	press(m, "right", "ctrl+s", "a", "enter")
	must(t, m, "not saved in a: no space left", "Nothing is lost")
	if !m.edited {
		t.Error("a job that could not be saved counts as saved")
	}
	press(m, "esc")
	must(t, m, "is not saved. Leave?")
}

// A text that is not taken would not be in the file.
func TestUnreadTextIsNotDropped(t *testing.T) {
	s := &shelf{files: map[string]string{}}
	m := withShelf(t, s)
	press(m, "down", "x", "ctrl+s")
	must(t, m, "not saved: current cannot be read")
	press(m, "esc", "s")
	must(t, m, "not saved")
	if m.leaving || len(s.files) > 0 {
		t.Error("it was saved, or still asks")
	}
}
