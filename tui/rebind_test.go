package tui

import (
	"slices"
	"strings"
	"testing"
)

func TestEveryActionHasAName(t *testing.T) {
	seen := map[string]action{}
	for _, b := range bindings {
		name := actionNames[b.act]
		if other, twice := seen[name]; name == "" || twice && other != b.act {
			t.Errorf("action %d is called %q, as %d", b.act, name, other)
		}
		seen[name] = b.act
	}
	for at := range numModes {
		names := actionsOf(bindings, at)
		slices.Sort(names)
		if len(slices.Compact(names)) != len(actionsOf(bindings, at)) {
			t.Errorf("%s: an action stands there twice, so its name means two", modeNames[at])
		}
	}
}

func TestOwnKeys(t *testing.T) {
	m := New(Options{Spec: open(t, &fake{}, 80, 24).job.spec, NoColor: true, Asker: &fake{}, Keys: Keys{"parts": {"order": {"p"}, "text": {"o", "f9"}}}})
	if m.note != "" {
		t.Fatal(m.note)
	}
	order, _ := bindingFor(m.table, modeParts, runeKey('p'))
	text, _ := bindingFor(m.table, modeParts, runeKey('o'))
	if order.act != actOrder || text.act != actText || order.label != "p" {
		t.Errorf("p means %v, o means %v", order.act, text.act)
	}
	if b, ok := bindingFor(m.table, modeParts, runeKey('/')); ok {
		t.Errorf("the old key still means %v", b.act)
	}
	if b, _ := bindingFor(bindings, modeParts, runeKey('o')); b.act != actOrder {
		t.Error("the table of the program was changed")
	}
}

func TestOwnKeysThatCannotBe(t *testing.T) {
	for _, c := range []struct {
		own  Keys
		says string
	}{
		{Keys{"parts": {"order": {"f"}}}, `parts: the key "f" means both order and filters`},
		{Keys{"parts": {"ordr": {"p"}}}, "parts.ordr: found no such action, expected one of up, down"},
		{Keys{"shop": {"order": {"p"}}}, "[shop]: found no such place, expected one of job, parts"},
		{Keys{"job": {"undo": {"u"}}}, "which is text there"},
		{Keys{"parts": {"kill": {"p"}}}, "Ctrl+C always leaves"},
		{Keys{"parts": {"order": {}}}, "found no key"},
		{Keys{"parts": {"order": {"ctrl+c"}}}, `the key "ctrl+c" means both`},
		{Keys{"parts": {"order": {"\x1b[2J"}}}, "expected the name of a key"},
	} {
		wrong := CheckKeys(c.own)
		if !strings.Contains(strings.Join(wrong, "\n"), c.says) {
			t.Errorf("%v: said %q, want %q", c.own, wrong, c.says)
		}
		if m := New(Options{Spec: open(t, &fake{}, 80, 24).job.spec, Asker: &fake{}, Keys: c.own}); m.table == nil || m.note == "" {
			t.Errorf("%v: no keys at all, or nothing said", c.own)
		}
	}
}
