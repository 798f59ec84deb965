package main

import (
	"os"
	"strconv"
	"strings"

	"github.com/BurntSushi/toml"

	"example.org/pinhoist/tui"
)

// loadKeys reads keys of a person's own: tables by place, in them lists of keys by
// action. Everything wrong with them is told at once.
func loadKeys(name string) (tui.Keys, error) {
	if name == "" {
		return nil, nil
	}
	text, err := readFile(name)
	if err != nil {
		return nil, err
	}
	var keys tui.Keys
	if _, err := toml.Decode(string(text), &keys); err != nil {
		return nil, badf("%s: %w", name, err)
	}
	if wrong := tui.CheckKeys(keys); len(wrong) > 0 {
		return nil, badf("%s: %s", name, strings.Join(wrong, "; "))
	}
	return keys, nil
}

// coloursOf is how many colours a terminal says that it has, from the variables that
// terminals set. It is not asked: one that does not answer would be waited for.
func coloursOf(colorTerm, term string) int {
	switch {
	case colorTerm == "truecolor" || colorTerm == "24bit":
		return 1 << 24
	case strings.Contains(term, "256color"):
		return 256
	}
	return 16
}

// groundOf is what the terminal writes on: as said, else by COLORFGBG, whose last number
// is the ground as one of the sixteen colours. Where neither says it, colours that are
// legible on both are taken.
func groundOf(said, fgbg string) tui.Ground {
	switch said {
	case "dark":
		return tui.GroundDark
	case "light":
		return tui.GroundLight
	}
	switch n, err := strconv.Atoi(fgbg[strings.LastIndexByte(fgbg, ';')+1:]); {
	case err != nil || n < 0 || n > 15:
		return tui.GroundUnknown
	case n == 7 || n > 8:
		return tui.GroundLight
	}
	return tui.GroundDark
}

// runScreen opens the terminal UI on what was loaded.
func runScreen(t *task) error {
	paint, err := t.paint()
	if err != nil {
		return err
	}
	if err := oneOf("ground", t.ground, groundWords...); err != nil {
		return err
	}
	cat, note := t.withOwnParts(t.input.Catalog)
	opt := tui.Options{Spec: t.spec, Catalog: cat, Note: note, OwnFile: ownParts(), OwnStore: ownFiles{}, Topologies: topologyIDs(), ASCII: t.ascii, Mouse: t.mouse, NoColor: paint == nil,
		Colours: coloursOf(os.Getenv("COLORTERM"), os.Getenv("TERM")), Ground: groundOf(t.ground, os.Getenv("COLORFGBG")),
		Store: files{}, In: t.in, Out: t.out}
	if t.jobName != "-" {
		opt.File, opt.Text = t.jobName, t.jobText
	}
	if t.policyName != "" {
		opt.Policy = t.input.Policy
	}
	if opt.Keys, err = loadKeys(t.keysName); err != nil {
		return err
	}
	if t.plain {
		return tui.Plain(opt)
	}
	kept := openState()
	if kept == nil {
		_, err = tui.Run(opt)
		return err
	}
	opt.Memory = kept
	opt.Tour = !kept.tourSeen()
	if t.pin == "" && t.jobName != "-" {
		var left string
		if opt.Session, left = kept.left(t.jobName); left != "" {
			opt.Note = left
		}
	}
	left, err := tui.Run(opt)
	if left {
		kept.end()
	}
	return err
}
