package main

import (
	"bytes"
	"testing"
)

// The terminal is told to report its mouse where that was asked for, and never else: text
// can then be selected as ever.
func TestStoryMouseIsOffUntilAskedFor(t *testing.T) {
	for name, args := range map[string][]string{"off": nil, "on": {"--mouse"}} {
		t.Run(name, func(t *testing.T) {
			s := aStory(t, 80, 24)
			s.start(args...)
			s.see("Greenhouse bench")
			if on := bytes.Contains(s.written(), []byte("\x1b[?1002h")); on != (name == "on") {
				t.Errorf("the mouse is reported: %v", on)
			}
			s.press("esc")
			s.leaves()
			if raw := s.written(); bytes.LastIndex(raw, []byte("\x1b[?1002h")) > bytes.LastIndex(raw, []byte("\x1b[?1002l")) {
				t.Error("it is still reported after the program")
			}
		})
	}
}
