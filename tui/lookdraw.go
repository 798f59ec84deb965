package tui

import (
	"strings"

	"example.org/pinhoist/internal/design"
)

// verdictRun draws one sign for each verdict, a colour for each run of them. A cell
// of none is a blank.
func verdictRun(st *styles, signs string, of []design.Verdict) string {
	var b strings.Builder
	for i := 0; i < len(signs); {
		j := i + 1
		for j < len(signs) && signs[j] == signs[i] {
			j++
		}
		if signs[i] == ' ' {
			b.WriteString(blank(j - i))
		} else {
			b.WriteString(st.verdict[of[i]].Render(signs[i:j]))
		}
		i = j
	}
	return b.String()
}

// verdictText is a verdict with its sign.
func verdictText(v design.Verdict) string { return v.Sign() + " " + v.String() }

// caret is a line that points at column x of w.
func caret(x, w int, text string) string {
	line := blank(x) + "^"
	switch {
	case text == "":
	case x+2+width(text) <= w:
		line += " " + text
	case x-1-width(text) >= 0:
		line = blank(x-1-width(text)) + text + " ^"
	}
	return clip(line, w)
}
