package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"strconv"
	"strings"
	"testing"

	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/tui"
)

func aSession(file string) tui.Session {
	return tui.Session{Job: "[[load]]\nname = \"x\"\n", File: file, Disk: []byte("# as read\n"), Digest: "d", Raw: map[string]string{"load[0].current": "1 x"},
		Aside: map[string]string{"load[0].inductance": "60 mH"}, Place: 1, Load: 0, Field: "load[0].current", Row: "x/a/b", Chosen: true,
		View: engine.View{Order: engine.ByHeat, MaxCost: design.Known(1.5), Text: "logic"}, Cost: "1.5"}
}

// gone is the number of a process that has ended.
func gone(t *testing.T) string {
	t.Helper()
	c := exec.Command("true")
	if err := c.Run(); err != nil {
		t.Fatal(err)
	}
	return sessionName + strconv.Itoa(c.Process.Pid) + ".json"
}

// leave puts a session into a state directory as a program that is gone left it.
func leave(t *testing.T, s *state, text string) {
	t.Helper()
	if err := os.MkdirAll(s.dir, 0o700); err != nil {
		t.Fatal(err)
	}
	if text == "" {
		if err := s.Keep(aSession("")); err != nil {
			t.Fatal(err)
		}
		if err := os.Rename(s.own(), filepath.Join(s.dir, gone(t))); err != nil {
			t.Fatal(err)
		}
		return
	}
	if err := os.WriteFile(filepath.Join(s.dir, gone(t)), []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
}

func TestASessionComesBackOnce(t *testing.T) {
	s := &state{dir: filepath.Join(t.TempDir(), "pinhoist")}
	if got, note := s.left(""); got != nil || note != "" {
		t.Errorf("of no directory: %v, %q", got, note)
	}
	leave(t, s, "")
	got, note := s.left("")
	if want := aSession(""); got == nil || !reflect.DeepEqual(*got, want) || note != "" {
		t.Fatalf("came back as %+v, want %+v; %q", got, want, note)
	}
	if info, err := os.Stat(s.own()); err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("it is not this program's own, or others may read it: %v", err)
	}
	s.end()
	if got, _ := s.left(""); got != nil {
		t.Error("ended in order, it came back")
	}
	if err := s.Keep(aSession("")); err != nil {
		t.Error(err)
	}
	if got, _ := s.left(""); got != nil {
		t.Error("what was still under way as the program ended was kept")
	}
}

// A session that ends the program as it is taken up ends no other one.
func TestASessionIsTriedOnce(t *testing.T) {
	s := &state{dir: t.TempDir()}
	leave(t, s, "")
	if got, _ := s.left(""); got == nil {
		t.Fatal("none came back")
	}
	if err := os.Rename(s.own(), filepath.Join(s.dir, gone(t))); err != nil { // the program is gone without a word
		t.Fatal(err)
	}
	got, note := s.left("")
	if got != nil || !strings.Contains(note, "it ended the program before") {
		t.Errorf("came back, %q", note)
	}
	if got, note := s.left(""); got != nil || note != "" {
		t.Errorf("told twice: %q", note)
	}
}

func TestBrokenStateIsPutAside(t *testing.T) {
	for name, text := range map[string]string{"no JSON": "{\"Schema\": 1, \"Ses", "a newer form": `{"Schema": 99}`, "other types": `{"Schema": 1, "Session": {"Load": "x"}}`, "empty": " ", "zeros": "\x00\x00\x00"} {
		s := &state{dir: t.TempDir()}
		leave(t, s, text)
		got, note := s.left("")
		if got != nil || !strings.Contains(note, "cannot be taken up") {
			t.Errorf("%s: %v, %q", name, got, note)
		}
		if left, _ := filepath.Glob(filepath.Join(s.dir, brokenName+"*")); len(left) != 1 {
			t.Errorf("%s: %d files put aside", name, len(left))
		}
		if got, note := s.left(""); got != nil || note != "" {
			t.Errorf("%s: told twice: %q", name, note)
		}
	}
}

// The session of another file waits, and that of a program that runs is its own.
func TestSessionsOfOthers(t *testing.T) {
	s := &state{dir: t.TempDir()}
	leave(t, s, "")
	if got, note := s.left("other.toml"); got != nil || !strings.Contains(note, "wait") {
		t.Errorf("%v, %q", got, note)
	}
	if got, _ := s.left(""); got == nil {
		t.Error("it did not wait")
	}
	s = &state{dir: t.TempDir()}
	if err := s.Keep(aSession("")); err != nil {
		t.Fatal(err)
	}
	if runs(0) || runs(-1) || !runs(os.Getpid()) {
		t.Error("this process does not run, or none does")
	}
	s = &state{dir: t.TempDir()}
	if err := s.Keep(aSession("a.toml")); err != nil {
		t.Fatal(err)
	}
	if err := os.Rename(s.own(), filepath.Join(s.dir, gone(t))); err != nil {
		t.Fatal(err)
	}
	got, _ := s.left("./a.toml")
	if got == nil || !filepath.IsAbs(got.File) {
		t.Errorf("of the same file: %v", got)
	}
}

func TestStateDirectory(t *testing.T) {
	t.Setenv("HOME", "/home/x")
	for set, want := range map[string]string{"": "/home/x/.local/state/pinhoist", "/var/s": "/var/s/pinhoist", "rel": "/home/x/.local/state/pinhoist"} {
		t.Setenv("XDG_STATE_HOME", set)
		if s := openState(); s == nil || s.dir != want {
			t.Errorf("%q: %v, want %s", set, s, want)
		}
	}
	t.Setenv("XDG_STATE_HOME", "")
	t.Setenv("HOME", "")
	if s := openState(); s != nil {
		t.Errorf("without a home: %s", s.dir)
	}
}

func TestTourIsSeenOnce(t *testing.T) {
	s := &state{dir: filepath.Join(t.TempDir(), "a", "b")}
	if s.tourSeen() {
		t.Error("seen before the first start")
	}
	if err := s.TourDone(); err != nil || !s.tourSeen() {
		t.Errorf("not seen after it: %v", err)
	}
	if err := os.WriteFile(filepath.Join(s.dir, seenName), []byte("{"), 0o600); err != nil || s.tourSeen() {
		t.Errorf("a broken file: %v, seen %v", err, s.tourSeen())
	}
}
