// Package termsetup keeps the screen toolkit from asking the terminal for its
// background colour before main begins: a terminal that does not answer would
// hold up even --help for seconds and get escape codes printed into it.
//
// It is imported for its side effect alone. Packages whose imports are ready
// are initialised in the order of their paths, so this path must sort before
// the toolkit's, and nothing but the style package may be imported here.
package termsetup

import "github.com/charmbracelet/lipgloss"

func init() {
	// Colours are chosen to read on both backgrounds, so the answer is not needed.
	lipgloss.SetHasDarkBackground(true)
}
