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

// newStyles makes the styles for a terminal. Colours are of the sixteen that the
// terminal's own theme keeps legible; there is no background fill.
func newStyles(p termenv.Profile) *styles {
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
		head:    ink("4").Bold(true),
		key:     r.NewStyle().Bold(true),
		caution: ink("3").Bold(true),
		cursor:  r.NewStyle().Bold(true),
		typing:  r.NewStyle().Reverse(true),
	}
	s.verdict[design.Fits] = ink("2")
	s.verdict[design.Tight] = ink("3")
	s.verdict[design.Unproven] = ink("6")
	s.verdict[design.Over] = ink("1")
	return s
}
