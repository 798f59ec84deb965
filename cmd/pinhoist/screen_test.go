package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
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
