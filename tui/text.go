package tui

import (
	"strings"

	"github.com/charmbracelet/x/ansi"

	"example.org/pinhoist/internal/source"
)

// width is the columns a text takes on the screen: the one way to count them.
func width(s string) int { return ansi.StringWidth(s) }

// clean makes a text that came out of a file fit for one line of a terminal.
func clean(s string) string { return source.Printable(s) }

const cutMark = ".."

// clip cuts a text, styled or not, to w columns.
func clip(s string, w int) string {
	if w <= 0 {
		return ""
	}
	if width(s) <= w {
		return s
	}
	if w <= len(cutMark) {
		return ansi.Truncate(s, w, "")
	}
	return ansi.Truncate(s, w, cutMark)
}

// fit cuts or pads a text to exactly w columns.
func fit(s string, w int) string {
	s = clip(s, w)
	return s + blank(w-width(s))
}

// fitRight is fit with the text at the right end.
func fitRight(s string, w int) string {
	s = clip(s, w)
	return blank(w-width(s)) + s
}

func blank(n int) string { return strings.Repeat(" ", max(n, 0)) }

// ends puts one text at the left and one at the right end of w columns; where
// both have no room the left one gives way.
func ends(left, right string, w int) string {
	room := w - width(right)
	if right == "" || room < 8 {
		return clip(left, w)
	}
	return fit(left, room-1) + " " + right
}

// wrap breaks a text at blanks into lines of at most w columns; a longer word is
// broken where it must be. An empty text is one empty line.
func wrap(s string, w int) []string {
	w = max(w, 1)
	var lines []string
	line := ""
	for _, word := range strings.Fields(s) {
		if line != "" && width(line)+1+width(word) <= w {
			line += " " + word
			continue
		}
		if line != "" {
			lines = append(lines, line)
		}
		for width(word) > w {
			head := ansi.Truncate(word, w, "")
			if head == "" { // one character is wider than the line
				return append(lines, "")
			}
			lines = append(lines, head)
			word = word[len(head):]
		}
		line = word
	}
	return append(lines, line)
}

// window returns the lines from top, exactly h of them.
func window(lines []string, top, h int) []string {
	out := make([]string, h)
	for i := range out {
		if at := top + i; at >= 0 && at < len(lines) {
			out[i] = lines[at]
		}
	}
	return out
}

// scrolled keeps the first visible line inside what there is.
func scrolled(top, n, h int) int { return max(min(top, n-h), 0) }

// follow moves the first visible line so that line at is seen.
func follow(top, at, n, h int) int {
	if at < top {
		top = at
	}
	if at >= top+h {
		top = at - h + 1
	}
	return scrolled(top, n, h)
}
