// Command pinhoist says which generic transistor, MOSFET or relay can safely
// switch a load from a logic pin, and what else the stage needs.
package main

import (
	"os"
	"runtime/debug"

	"github.com/charmbracelet/x/term"

	_ "example.org/pinhoist/internal/termsetup" // before the screen toolkit
)

// collectAt lets the heap grow to five times what is in use before it is
// collected: a command lives for a moment, and its catalogue stays to the end.
const collectAt = 400

func main() {
	debug.SetGCPercent(collectAt)
	a := &app{
		in: os.Stdin, out: os.Stdout, err: os.Stderr,
		terminal: term.IsTerminal(os.Stdout.Fd()) && term.IsTerminal(os.Stdin.Fd()),
		colour:   term.IsTerminal(os.Stdout.Fd()) && os.Getenv("TERM") != "dumb",
		noColour: os.Getenv("NO_COLOR") != "",
		screen:   runScreen,
	}
	os.Exit(a.run(os.Args[1:]))
}
