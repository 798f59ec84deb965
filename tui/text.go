package tui

import (
	"fmt"
	"strings"

	"github.com/charmbracelet/x/ansi"

	"example.org/pinhoist/internal/sheet"
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

// fitMiddle is fit for an id: what is cut is cut out of its middle, for ids of one
// family begin alike, and end with what tells them apart.
func fitMiddle(s string, w int) string {
	if width(s) <= w || w < 8 {
		return fit(s, w)
	}
	room := w - len(cutMark)
	tail := room / 2
	return ansi.Truncate(s, room-tail, "") + cutMark + ansi.TruncateLeft(s, width(s)-tail, "")
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

// noted is a line with a note at the right end of w columns; "" where the line leaves no
// room for it. The last column stays free, as beside every other text.
func noted(st *styles, line, note string, w int) string {
	room := w - 1 - width(note)
	if width(strings.TrimRight(ansi.Strip(line), " ")) > room {
		return ""
	}
	line = ansi.Truncate(line, room, "")
	return line + blank(room-width(line)) + st.dim.Render(note)
}

// moreBelow says on the last of the lines in view how many are below them. Where that
// line leaves no room, what it says is not cut: the note takes its place and counts it,
// or gives way where the line is to stay.
func moreBelow(st *styles, out []string, rest, w int, stay bool) {
	last := &out[len(out)-1]
	if text := noted(st, *last, fmt.Sprintf("  %d more below", rest), w); text != "" {
		*last = text
	} else if !stay {
		*last = st.dim.Render(fitRight(fmt.Sprintf("%d more below", rest+1), w-1))
	}
}

// wrap breaks a text at blanks into lines of at most w columns; a longer word is
// broken where it must be. An empty text is one empty line.
func wrap(s string, w int) []string {
	w = max(w, 1)
	var lines []string
	line := ""
	for _, word := range sheet.Words(s, w) {
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

// moved is where line at goes by a key, a page being so many lines; which lines there are
// is for the caller to mind.
func moved(at, page int, act action) int {
	switch act {
	case actUp:
		return at - 1
	case actDown:
		return at + 1
	case actPageUp:
		return at - max(page, 1)
	case actPageDown:
		return at + max(page, 1)
	case actTop:
		return 0
	case actBottom:
		return farDown
	}
	return at
}

// farDown is below the last line of anything, unbroken the width of a line that is wrapped
// only later.
const (
	farDown  = 1 << 20
	unbroken = 1 << 20
)

// within keeps a cursor on one of n lines.
func within(at, n int) int { return max(min(at, n-1), 0) }

// typing is what was typed of a word to choose, since the cursor came to its field.
type typing string

// chosen is the word that begins with what was typed so far and the letter, from word at
// on, blanks and hyphens aside: "to220" is TO-220. Where none does, it is the next one
// after word at that begins with the letter.
func (t *typing) chosen(words []string, at int, letter rune) (string, bool) {
	*t += typing(letter)
	if len(*t) > fieldLimit {
		*t = ""
	}
	for _, from := range []struct {
		at    int
		typed string
	}{{at, string(*t)}, {at + 1, string(letter)}} {
		if from.typed == string(letter) {
			from.at = at + 1 // a letter alone goes round
		}
		for i := range words {
			w := words[(max(from.at, 0)+i)%len(words)]
			if p := bare(from.typed); p != "" && strings.HasPrefix(bare(w), p) {
				return w, true
			}
		}
	}
	return "", false
}

// bare is a word without case, blanks and hyphens.
func bare(s string) string {
	return strings.NewReplacer(" ", "", "-", "").Replace(strings.ToLower(s))
}

// beside is the word a step before or after word at of a choice, round and round; at is
// -1 where none of them is chosen yet.
func beside(words []string, at, step int) string {
	if at < 0 && step < 0 {
		at = 0
	}
	n := len(words)
	return words[(at+step+n)%n]
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
