package tui

import (
	"encoding/base64"
	"strings"
	"testing"
)

func TestCopying(t *testing.T) {
	var out strings.Builder
	m := open(t, &fake{}, 80, 24)
	m.opt.Out = &out
	press(m, "tab", "y")
	must(t, m, "copied, if the terminal allows it: n-55v-a")
	if want := "\x1b]52;c;" + base64.StdEncoding.EncodeToString([]byte("n-55v-a")) + "\a"; out.String() != want {
		t.Errorf("wrote %q, want %q", out.String(), want)
	}
	out.Reset()
	press(m, "enter", "y")
	must(t, m, "the sheet of n-55v-a, ")
	code := strings.TrimSuffix(strings.TrimPrefix(out.String(), "\x1b]52;c;"), "\a")
	text, err := base64.StdEncoding.DecodeString(code)
	if err != nil || string(text) != m.sheetText(false) || !strings.Contains(string(text), "270") {
		t.Errorf("%v: copied %q", err, text)
	}
}

func TestExport(t *testing.T) {
	s := &shelf{files: map[string]string{"a.md": "# mine"}}
	m := withShelf(t, s)
	press(m, "tab", "enter", "E", "ctrl+u", "b.txt", "enter")
	must(t, m, "the sheet is in b.txt")
	if s.files["b.txt"] != m.sheetText(false) || m.keep.file != "" {
		t.Error("the file is not the sheet, or was taken for the job's")
	}
	press(m, "E", "ctrl+u", "a.md", "enter")
	must(t, m, "it is there already")
	mustNot(t, m, "comments")
	press(m, "n")
	if s.files["a.md"] != "# mine" {
		t.Error("written over unasked")
	}
	press(m, "E", "ctrl+u", "a.md", "enter", "y")
	if !strings.HasPrefix(s.files["a.md"], "# ") || s.files["a.md"] != m.sheetText(true) {
		t.Error("a name that ends in .md did not get Markdown")
	}
}
