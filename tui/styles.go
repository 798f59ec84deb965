package tui

import (
	"io"

	"github.com/charmbracelet/lipgloss"
	"github.com/muesli/termenv"

	"example.org/pinhoist/internal/design"
)

// styles are the roles of text on the screen, made once. No role carries a
// meaning of its own: whatever a colour says, a sign or a word says too.
type styles struct {
	colour  bool // there is any styling at all
	profile termenv.Profile
	title   lipgloss.Style
	place   lipgloss.Style // the place at hand
	dim     lipgloss.Style
	head    lipgloss.Style // of a column or section
	key     lipgloss.Style
	caution lipgloss.Style
	cursor  lipgloss.Style // the row at the cursor
	typing  lipgloss.Style // the character at the cursor of a field
	verdict [design.Over + 1]lipgloss.Style
}

// Ground is what a terminal writes on.
type Ground uint8

// The grounds. It is never asked for: a terminal that does not answer would be waited
// for.
const (
	GroundUnknown Ground = iota
	GroundDark
	GroundLight
)

// inks are the colours of one ground, by role.
type inks struct{ fits, tight, unproven, over, head string }

// The sixteen are those that a terminal's own theme keeps legible, whatever it writes
// on. The others are of the cube of 256, so that a terminal of 256 shows the same as
// one of all, with a contrast of at least 4.5 on their ground (WCAG 2.1, 1.4.3).
var (
	sixteen   = inks{"2", "3", "6", "1", "4"}
	darkInks  = inks{"#5fd787", "#ffd700", "#5fd7ff", "#ff8787", "#afafff"}
	lightInks = inks{"#005f00", "#875f00", "#005faf", "#af0000", "#5f0087"}
)

// newStyles makes the styles for a terminal; there is no background fill.
func newStyles(p termenv.Profile, g Ground) *styles {
	c := sixteen
	if p == termenv.ANSI256 || p == termenv.TrueColor {
		switch g {
		case GroundDark:
			c = darkInks
		case GroundLight:
			c = lightInks
		}
	}
	r := lipgloss.NewRenderer(io.Discard)
	r.SetColorProfile(p)
	r.SetHasDarkBackground(true)
	ink := func(colour string) lipgloss.Style { return r.NewStyle().Foreground(lipgloss.Color(colour)) }
	s := &styles{
		colour:  p != termenv.Ascii,
		profile: p,
		title:   r.NewStyle().Bold(true),
		place:   r.NewStyle().Bold(true),
		dim:     r.NewStyle().Faint(true),
		head:    ink(c.head).Bold(true),
		key:     r.NewStyle().Bold(true),
		caution: ink(c.tight).Bold(true),
		cursor:  r.NewStyle().Bold(true),
		typing:  r.NewStyle().Reverse(true),
	}
	s.verdict[design.Fits] = ink(c.fits)
	s.verdict[design.Tight] = ink(c.tight)
	s.verdict[design.Unproven] = ink(c.unproven)
	s.verdict[design.Over] = ink(c.over)
	return s
}
