package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.org/pinhoist/tui"
)

func TestLoadKeys(t *testing.T) {
	dir := t.TempDir()
	file := func(text string) string {
		name := filepath.Join(dir, "keys.toml")
		if err := os.WriteFile(name, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		return name
	}
	keys, err := loadKeys(file("[parts]\norder = [\"p\"]\n"))
	if err != nil || len(keys["parts"]["order"]) != 1 || keys["parts"]["order"][0] != "p" {
		t.Errorf("%v, %v", keys, err)
	}
	if keys, err := loadKeys(""); keys != nil || err != nil {
		t.Errorf("no file: %v, %v", keys, err)
	}
	for text, says := range map[string]string{
		"[parts]\norder = [\"f\"]\n": `keys.toml: parts: the key "f" means both order and filters`,
		"[parts]\norder = 5\n":       "keys.toml: ",
		"[parts\n":                   "keys.toml: ",
	} {
		if _, err := loadKeys(file(text)); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%q: said %v, want %q", text, err, says)
		}
	}
	if _, err := loadKeys(filepath.Join(dir, "none.toml")); err == nil {
		t.Error("a file that is not there is no error")
	}
}

// Colours and ground come from what a terminal says of itself, and are never asked for.
func TestColoursOfATerminal(t *testing.T) {
	for _, tt := range []struct {
		colorTerm, term string
		want            int
	}{{"truecolor", "xterm", 1 << 24}, {"24bit", "", 1 << 24}, {"", "xterm-256color", 256}, {"yes", "linux", 16}, {"", "", 16}} {
		if got := coloursOf(tt.colorTerm, tt.term); got != tt.want {
			t.Errorf("%+v: %d", tt, got)
		}
	}
	for _, tt := range []struct {
		said, fgbg string
		want       tui.Ground
	}{{"auto", "", tui.GroundUnknown}, {"auto", "15;0", tui.GroundDark}, {"auto", "0;15", tui.GroundLight}, {"auto", "0;default;7", tui.GroundLight},
		{"auto", "15;8", tui.GroundDark}, {"auto", "0;default", tui.GroundUnknown}, {"auto", "1;99", tui.GroundUnknown}, {"light", "15;0", tui.GroundLight}, {"dark", "", tui.GroundDark}} {
		if got := groundOf(tt.said, tt.fgbg); got != tt.want {
			t.Errorf("%+v: %v", tt, got)
		}
	}
}
