package tui

import (
	"slices"
	"testing"
	"unicode/utf8"
)

func TestNoTwoBindingsShareAKey(t *testing.T) {
	for m := range numModes {
		seen := map[string]string{}
		for _, b := range bindings {
			if b.mode != m {
				continue
			}
			for _, k := range b.keys {
				if other, twice := seen[k]; twice {
					t.Errorf("mode %d: %q means %q and %q", m, k, other, b.help)
				}
				seen[k] = b.help
			}
		}
		if len(seen) == 0 {
			t.Errorf("mode %d has no keys", m)
		}
		if _, ok := seen["ctrl+c"]; !ok {
			t.Errorf("mode %d cannot be left with Ctrl+C", m)
		}
	}
}

// Where text is typed no printable key may be a command.
func TestTypingModesHaveNoPrintableCommands(t *testing.T) {
	for _, b := range bindings {
		for _, k := range b.keys {
			if b.mode.typing() && utf8.RuneCountInString(k) == 1 {
				t.Errorf("mode %d: %q is a command", b.mode, k)
			}
		}
	}
}

// printables are all single characters that are a command anywhere.
func printables() []string {
	var out []string
	for _, b := range bindings {
		for _, k := range b.keys {
			if utf8.RuneCountInString(k) == 1 && !slices.Contains(out, k) {
				out = append(out, k)
			}
		}
	}
	return out
}

func TestEveryBoundLetterCanBeTyped(t *testing.T) {
	all := printables()
	if len(all) < 15 {
		t.Fatalf("only %d letters are bound: %q", len(all), all)
	}
	m := open(t, &fake{}, 80, 24)
	press(m, "down", "ctrl+u") // the current
	want := ""
	for _, k := range all {
		press(m, k)
		want += k
		if got := m.job.fields[m.job.at].text; got != want {
			t.Fatalf("after %q the field holds %q, want %q", k, got, want)
		}
	}
	if m.at != placeJob || m.leaving || m.page.kind != pageNone {
		t.Error("a letter was taken as a command")
	}

	m = open(t, &fake{}, 80, 24)
	press(m, "tab", "/")
	want = ""
	for _, k := range all {
		press(m, k)
		want += k
		if m.parts.view.Text != want {
			t.Fatalf("after %q the filter holds %q, want %q", k, m.parts.view.Text, want)
		}
	}
}
