package tui

import (
	"fmt"
	"io"
	"strings"

	"github.com/charmbracelet/lipgloss"
	"github.com/muesli/termenv"

	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/sheet"
)

// bandItems tells the colour code of each resistor of a design, in words; where there
// are colours, in those too.
func bandItems(st *styles, list []engine.Banded) []pageItem {
	if len(list) == 0 {
		return []pageItem{{"", "This stage has no resistor."}}
	}
	items := []pageItem{{"", "The colours of each resistor (IEC 60062), from the end that is read first: the digits, the power of ten, the tolerance. Those made for a circuit board bear digits, or nothing: measure."}, {}}
	for i := range list {
		b := &list[i]
		label := fmt.Sprintf("%s  %s", b.Ref, sheet.Solved(b.Ohms, design.Ohm))
		text := strings.NewReplacer("pull-", "pull-", "-", " ").Replace(string(b.Role)) // "drive resistor", but "pull-down"
		if b.Tol > 0 {
			text = "+-" + sheet.Solved(b.Tol, design.One) + ", " + text
		}
		if len(b.Bands) == 0 {
			items = append(items, pageItem{label, text + ": this value and tolerance have no colour code"})
			continue
		}
		words := make([]string, len(b.Bands))
		for k, c := range b.Bands {
			words[k] = st.band(string(c)) + string(c)
		}
		items = append(items, pageItem{label, strings.Join(words, "  ")}, pageItem{" ", text}) // under its colours
	}
	return items
}

// bandInks are the colours of the code as a terminal shows them, each nearest to what
// is printed on a resistor and still told from its neighbours.
var bandInks = map[string]string{
	"black": "#303030", "brown": "#8b4513", "red": "#e00000", "orange": "#ff8c00", "yellow": "#e6d800", "green": "#00a000", "blue": "#2060ff",
	"violet": "#a040e0", "grey": "#909090", "white": "#ffffff", "gold": "#c9a227", "silver": "#c0c0c0", "pink": "#ff9ec0",
}

// bandInks16 are those that a terminal of sixteen colours has: brown and orange are
// none of them, and one that is wrong is worse than none.
var bandInks16 = map[string]string{"black": "0", "red": "1", "green": "2", "yellow": "11", "blue": "4", "violet": "5", "grey": "8", "white": "15"}

// band is a mark in a colour of the code, before its word; nothing where the terminal
// has no such colour.
func (s *styles) band(colour string) string {
	if !s.colour {
		return ""
	}
	inks := bandInks
	if s.profile == termenv.ANSI {
		inks = bandInks16
	}
	ink, ok := inks[colour]
	if !ok {
		return ""
	}
	r := lipgloss.NewRenderer(io.Discard)
	r.SetColorProfile(s.profile)
	return r.NewStyle().Background(lipgloss.Color(ink)).Foreground(lipgloss.Color(ink)).Render("##")
}
