package tui

import (
	"slices"

	tea "github.com/charmbracelet/bubbletea"
)

// mode is what the keys mean at the moment.
type mode uint8

const (
	modeJob      mode = iota // every printable key goes to the field
	modeParts                // letters are commands
	modeDesign               // letters are commands
	modeFilter               // the filter panel of Parts
	modeText                 // the text filter of Parts: every printable key goes to it
	modePage                 // help, words, cautions, parts that are not served
	modeLeave                // the question before leaving an edited job
	modeFixes                // the fixes of a design, one of them at the cursor
	modePlot                 // the shortlist as points
	modeName                 // the name of a file to save in
	modeDoubt                // the question before something in a file is lost
	modeStart                // what a job can start from
	modeTour                 // a step of the tour: any other key ends it
	modeLose                 // the question before an edited job gives way to another
	modeSweep                // one quantity moved
	modeDrive                // drive against what it gives
	modeBreaks               // elements changed on paper
	modeCompare              // designs side by side
	modeMargins              // checks as bars
	modeOwn                  // the form of a part of one's own
	modeOwnDoubt             // the question before a part takes the place of another
	numModes
)

// typing reports whether printable keys are text in this mode.
func (m mode) typing() bool { return m == modeJob || m == modeText || m == modeName || m == modeOwn }

// action is what a key asks for.
type action uint8

const (
	actNone action = iota
	actKill
	actNext
	actBack
	actQuit
	actHelp
	actWords
	actCautions
	actNextLoad
	actUp
	actDown
	actPageUp
	actPageDown
	actTop
	actBottom
	actLeft
	actRight
	actEnter
	actClear
	actRestore
	actUndo
	actRedo
	actAddLoad
	actCopyLoad
	actRemoveLoad
	actAddRail
	actRemoveRail
	actOpen
	actOrder
	actFilters
	actText
	actNotServed
	actSection
	actSectionBack
	actExpand
	actNextPart
	actPrevPart
	actClose
	actSave
	actFixes
	actPlot
	actCopy
	actExport
	actTogether
	actTry
	actStart
	actField
	actTour
	actTourNext
	actTourBack
	actSaveAs
	actOwn
	actSaveOwn
	actYes
	actNo
	actSweep
	actDrive
	actBreaks
	actCompare
	actMargins
	actBands
	actMark
	actBuild
	actWider
	actNarrower
)

// binding is one line of the key table.
type binding struct {
	mode  mode
	act   action
	keys  []string // as the toolkit names them
	label string   // how the keys are shown
	help  string   // what it does, in a word or two
	more  string   // what it does, in a sentence; "" where the word says it all
	last  bool     // has a place on the last lines of the screen
}

// bindings is the one table of keys: what a key does, the last lines and the help
// are all read from it. Keys of a typing mode are never printable.
var bindings = slices.Concat(
	[]binding{
		{modeJob, actUp, []string{"up"}, "Up", "field before", "", false},
		{modeJob, actDown, []string{"down"}, "Up/Down", "field", "to another field", true},
		{modeJob, actEnter, []string{"enter"}, "Enter", "next field", "", false},
		{modeJob, actLeft, []string{"left"}, "Left", "choose", "the choice before, or one character to the left", false},
		{modeJob, actRight, []string{"right"}, "Left/Right", "choose", "the next choice, or one character to the right", true},
		{modeJob, actPageUp, []string{"pgup"}, "PgUp", "up a page", "", false},
		{modeJob, actPageDown, []string{"pgdown"}, "PgDn", "down a page", "", false},
		{modeJob, actClear, []string{"ctrl+u"}, "Ctrl+U", "empty", "empty the field: its default or the usual figure is taken", true},
		{modeJob, actRestore, []string{"ctrl+r"}, "Ctrl+R", "restore", "the field as it was when the program began", true},
		{modeJob, actUndo, []string{"ctrl+z"}, "Ctrl+Z", "undo", "take the last edit back, and those before it", true},
		{modeJob, actRedo, []string{"ctrl+y"}, "Ctrl+Y", "redo", "do again what was taken back", false},
		{modeJob, actAddLoad, []string{"ctrl+n"}, "Ctrl+N", "new load", "add a load; its figures are to be stated", false},
		{modeJob, actCopyLoad, []string{"ctrl+o"}, "Ctrl+O", "copy load", "add a copy of this load", false},
		{modeJob, actRemoveLoad, []string{"ctrl+x"}, "Ctrl+X", "remove load", "take this load out of the job", false},
		{modeJob, actAddRail, []string{"ctrl+l"}, "Ctrl+L", "new supply", "add a supply and feed this load from it", false},
		{modeJob, actRemoveRail, []string{"ctrl+g"}, "Ctrl+G", "remove supply", "take the supply at the cursor out of the job; loads on it keep its voltage as their own", false},
		{modeJob, actNext, []string{"tab"}, "Tab", "parts", "on to Parts", true},
		{modeJob, actBack, []string{"shift+tab"}, "Shift+Tab", "back", "", false},
		{modeJob, actQuit, []string{"esc"}, "Esc", "leave", "leave the program", true},

		{modeParts, actUp, []string{"up", "k"}, "Up k", "one up", "", false},
		{modeParts, actDown, []string{"down", "j"}, "Up/Down", "row", "to another row", true},
		{modeParts, actPageUp, []string{"pgup", "b"}, "PgUp b", "up a page", "", false},
		{modeParts, actPageDown, []string{"pgdown", " "}, "PgDn Space", "down a page", "", false},
		{modeParts, actTop, []string{"home", "g"}, "Home g", "first row", "", false},
		{modeParts, actBottom, []string{"end", "G"}, "End G", "last row", "", false},
		{modeParts, actOpen, []string{"enter"}, "Enter", "open", "open the design at the cursor", true},
		{modeParts, actOrder, []string{"o"}, "o", "order", "next order: cost, headroom, heat, parts, turn-off", true},
		{modeParts, actFilters, []string{"f"}, "f", "filters", "kind, side, mount, package, isolation, stock, cost", true},
		{modeParts, actPlot, []string{"v"}, "v", "plot", "cost against headroom, every row a point", true},
		{modeParts, actText, []string{"/"}, "/", "text", "only rows with these words in part, title or use", true},
		{modeParts, actClear, []string{"c"}, "c", "clear filters", "", true},
		{modeParts, actNotServed, []string{"n"}, "n", "not served", "parts that no topology can use for this load, and why", true},
		{modeParts, actNext, []string{"tab"}, "Tab", "design", "on to Design", false},
		{modeParts, actBack, []string{"shift+tab", "esc"}, "Esc", "job", "back to Job", true},

		{modeDesign, actUp, []string{"up", "k"}, "Up k", "one line up", "", false},
		{modeDesign, actDown, []string{"down", "j"}, "Up/Down", "scroll", "one line", true},
		{modeDesign, actPageUp, []string{"pgup", "b"}, "PgUp b", "up a page", "", false},
		{modeDesign, actPageDown, []string{"pgdown", " "}, "Space", "page", "down a page", true},
		{modeDesign, actTop, []string{"home", "g"}, "Home g", "first line", "", false},
		{modeDesign, actBottom, []string{"end", "G"}, "End G", "last line", "", false},
		{modeDesign, actSection, []string{"s"}, "s", "section", "next section: checks, circuit, values, ...", true},
		{modeDesign, actSectionBack, []string{"S"}, "S", "section before", "", false},
		{modeDesign, actFixes, []string{"x"}, "x", "fixes", "what would make this design fit, to be tried", true},
		{modeDesign, actExport, []string{"E"}, "E", "export", "write the sheet to a file; one that ends in .md is Markdown", true},
		{modeDesign, actExpand, []string{"e"}, "e", "every check", "every check in full, or only those that decide", true},
		{modeDesign, actLeft, []string{"left", "h"}, "Left h", "section before", "section before; of a picture that is wider than the pane, its left part", false},
		{modeDesign, actRight, []string{"right", "l"}, "Right l", "next section", "next section; of a picture that is wider than the pane, its right part", false},
		{modeDesign, actNextPart, []string{"]"}, "]", "next part", "the design of the next row", true},
		{modeDesign, actPrevPart, []string{"["}, "[", "part before", "", false},
		{modeDesign, actNext, []string{"tab"}, "Tab", "job", "round again to Job", false},
		{modeDesign, actBack, []string{"shift+tab", "esc"}, "Esc", "parts", "back to Parts", true},

		{modeFilter, actUp, []string{"up", "k"}, "Up k", "filter before", "", false},
		{modeFilter, actDown, []string{"down", "j"}, "Up/Down", "filter", "to another filter", true},
		{modeFilter, actLeft, []string{"left", "h"}, "Left h", "choice before", "", false},
		{modeFilter, actRight, []string{"right", "l", " "}, "Left/Right", "change", "the next choice", true},
		{modeFilter, actClear, []string{"c"}, "c", "clear all", "", true},
		{modeFilter, actClose, []string{"enter", "esc", "f"}, "Enter", "close", "back to the rows", true},

		{modeText, actUp, []string{"up"}, "Up", "one up", "", false},
		{modeText, actDown, []string{"down"}, "Up/Down", "row", "to another row", true},
		{modeText, actEnter, []string{"enter"}, "Enter", "keep", "keep the text and go back to the rows", true},
		{modeText, actClose, []string{"esc"}, "Esc", "drop", "drop the text and go back to the rows", true},

		{modePlot, actUp, []string{"up", "k"}, "Up k", "more headroom", "the row with the next more headroom", false},
		{modePlot, actDown, []string{"down", "j"}, "Up/Down", "headroom", "the row with the next less headroom", true},
		{modePlot, actLeft, []string{"left", "h"}, "Left h", "cheaper", "the next cheaper row", false},
		{modePlot, actRight, []string{"right", "l"}, "Left/Right", "cost", "the next dearer row", true},
		{modePlot, actOpen, []string{"enter"}, "Enter", "open", "open the design at the cursor", true},
		{modePlot, actClose, []string{"esc", "v", "q"}, "Esc", "close", "back to the rows", true},

		{modeFixes, actUp, []string{"up", "k"}, "Up k", "one up", "", false},
		{modeFixes, actDown, []string{"down", "j"}, "Up/Down", "fix", "to another fix", true},
		{modeFixes, actTop, []string{"home", "g"}, "Home g", "first", "", false},
		{modeFixes, actBottom, []string{"end", "G"}, "End G", "last", "", false},
		{modeFixes, actTry, []string{"enter"}, "Enter", "try", "put the change into the job", true},
		{modeFixes, actField, []string{"tab"}, "Tab", "field", "go to the field on Job that it would change", true},
		{modeFixes, actClose, []string{"esc", "q"}, "Esc", "close", "", true},

		{modeStart, actUp, []string{"up", "k"}, "Up k", "one up", "", false},
		{modeStart, actDown, []string{"down", "j"}, "Up/Down", "choose", "to another line", true},
		{modeStart, actTop, []string{"home", "g"}, "Home g", "first", "", false},
		{modeStart, actBottom, []string{"end", "G"}, "End G", "last", "", false},
		{modeStart, actEnter, []string{"enter"}, "Enter", "open", "start from the line at the cursor", true},
		{modeStart, actClose, []string{"esc", "q"}, "Esc", "close", "keep the job as it is", true},

		{modeTour, actTourNext, []string{"enter"}, "Enter", "on", "the next step", true},
		{modeTour, actTourBack, []string{"backspace"}, "Backspace", "back", "the step before", true},
		{modeTour, actClose, []string{"esc"}, "Esc", "skip", "end the tour; it does not come again by itself", true},

		{modeLose, actSave, []string{"s"}, "s", "save", "save the job first, and open nothing yet", true},
		{modeLose, actYes, []string{"y"}, "y", "open", "open the other one; the edits are gone", true},
		{modeLose, actNo, []string{"n", "esc"}, "n", "stay", "", true},

		{modeSweep, actLeft, []string{"left", "h"}, "Left h", "less", "a value to the left", false},
		{modeSweep, actRight, []string{"right", "l"}, "Left/Right", "value", "another value", true},
		{modeSweep, actUp, []string{"up", "k"}, "Up k", "change before", "the place of change before", false},
		{modeSweep, actDown, []string{"down", "j"}, "Up/Down", "change", "to another place where a verdict changes", true},
		{modeSweep, actTop, []string{"home", "g"}, "Home g", "lower end", "", false},
		{modeSweep, actBottom, []string{"end", "G"}, "End G", "upper end", "", false},
		{modeSweep, actNextPart, []string{"n"}, "n", "next quantity", "move another quantity: supply, current, air, a resistor, ...", true},
		{modeSweep, actPrevPart, []string{"p"}, "p", "quantity before", "", false},
		{modeSweep, actWider, []string{"+"}, "+", "wider", "further each way", true},
		{modeSweep, actNarrower, []string{"-"}, "-", "narrower", "less far each way", true},
		{modeSweep, actClose, []string{"esc", "q"}, "Esc", "close", "", true},

		{modeDrive, actLeft, []string{"left", "h"}, "Left h", "less", "less drive", false},
		{modeDrive, actRight, []string{"right", "l"}, "Left/Right", "drive", "another drive", true},
		{modeDrive, actUp, []string{"up", "k"}, "Up k", "verdict before", "the place before where the verdict changes", false},
		{modeDrive, actDown, []string{"down", "j"}, "Up/Down", "verdict", "to another place where the verdict changes", true},
		{modeDrive, actPageUp, []string{"pgup", "b"}, "PgUp b", "much less", "", false},
		{modeDrive, actPageDown, []string{"pgdown", " "}, "PgDn Space", "much more", "", false},
		{modeDrive, actTop, []string{"home", "g"}, "Home g", "least", "", false},
		{modeDrive, actBottom, []string{"end", "G"}, "End G", "most", "", false},
		{modeDrive, actClose, []string{"esc", "q"}, "Esc", "close", "", true},

		{modeBreaks, actUp, []string{"up", "k"}, "Up k", "one up", "", false},
		{modeBreaks, actDown, []string{"down", "j"}, "Up/Down", "change", "to another change", true},
		{modeBreaks, actPageUp, []string{"pgup", "b"}, "PgUp b", "up a page", "", false},
		{modeBreaks, actPageDown, []string{"pgdown", " "}, "PgDn Space", "down a page", "", false},
		{modeBreaks, actTop, []string{"home", "g"}, "Home g", "first", "", false},
		{modeBreaks, actBottom, []string{"end", "G"}, "End G", "last", "", false},
		{modeBreaks, actTry, []string{"enter"}, "Enter", "build so", "put the stage with this change into the job, as built: edit it there, and judge it again", true},
		{modeBreaks, actClose, []string{"esc", "q"}, "Esc", "close", "", true},

		{modeCompare, actUp, []string{"up", "k"}, "Up k", "one up", "", false},
		{modeCompare, actDown, []string{"down", "j"}, "Up/Down", "scroll", "one line", true},
		{modeCompare, actPageUp, []string{"pgup", "b"}, "PgUp b", "up a page", "", false},
		{modeCompare, actPageDown, []string{"pgdown", " "}, "PgDn Space", "down a page", "", false},
		{modeCompare, actTop, []string{"home", "g"}, "Home g", "first", "", false},
		{modeCompare, actBottom, []string{"end", "G"}, "End G", "last", "", false},
		{modeCompare, actClose, []string{"esc", "q"}, "Esc", "close", "", true},

		{modeMargins, actUp, []string{"up", "k"}, "Up k", "one up", "", false},
		{modeMargins, actDown, []string{"down", "j"}, "Up/Down", "check", "to another check", true},
		{modeMargins, actPageUp, []string{"pgup", "b"}, "PgUp b", "up a page", "", false},
		{modeMargins, actPageDown, []string{"pgdown", " "}, "PgDn Space", "down a page", "", false},
		{modeMargins, actTop, []string{"home", "g"}, "Home g", "first", "", false},
		{modeMargins, actBottom, []string{"end", "G"}, "End G", "last", "", false},
		{modeMargins, actClose, []string{"esc", "q"}, "Esc", "close", "", true},

		{modePage, actUp, []string{"up", "k"}, "Up k", "one line up", "", false},
		{modePage, actDown, []string{"down", "j"}, "Up/Down", "scroll", "one line", true},
		{modePage, actPageUp, []string{"pgup", "b"}, "PgUp b", "up a page", "", false},
		{modePage, actPageDown, []string{"pgdown", " "}, "Space", "page", "down a page", true},
		{modePage, actTop, []string{"home", "g"}, "Home g", "first line", "", false},
		{modePage, actBottom, []string{"end", "G"}, "End G", "last line", "", false},
		{modePage, actClose, []string{"esc", "enter", "q"}, "Esc", "close", "", true},
		{modePage, actTour, []string{"t"}, "t", "tour", "the tour, from the page of keys", true},

		{modeLeave, actSave, []string{"s"}, "s", "save", "save the job, and stay", true},
		{modeLeave, actYes, []string{"y", "q"}, "y", "leave", "leave; the edits are gone", true},
		{modeLeave, actNo, []string{"n", "esc"}, "n", "stay", "", true},

		{modeOwn, actUp, []string{"up", "shift+tab"}, "Up", "field before", "", false},
		{modeOwn, actDown, []string{"down", "tab"}, "Up/Down", "field", "to another field", true},
		{modeOwn, actEnter, []string{"enter"}, "Enter", "next field", "", false},
		{modeOwn, actLeft, []string{"left"}, "Left", "choose", "the choice before, or one character to the left", false},
		{modeOwn, actRight, []string{"right"}, "Left/Right", "choose", "the next choice, or one character to the right", true},
		{modeOwn, actPageUp, []string{"pgup"}, "PgUp", "up a page", "", false},
		{modeOwn, actPageDown, []string{"pgdown"}, "PgDn", "down a page", "", false},
		{modeOwn, actClear, []string{"ctrl+u"}, "Ctrl+U", "empty", "empty the field; on the kind all of them", true},
		{modeOwn, actSaveOwn, []string{"ctrl+s"}, "Ctrl+S", "save", "save the part in your own catalogue, and see it in the shortlist", true},
		{modeOwn, actClose, []string{"esc"}, "Esc", "close", "back; what was typed stays until the program ends", true},

		{modeOwnDoubt, actYes, []string{"y"}, "y", "write", "write over it", true},
		{modeOwnDoubt, actNo, []string{"n", "esc"}, "n", "leave it", "leave it as it is", true},

		{modeName, actEnter, []string{"enter"}, "Enter", "save", "save in the file of this name", true},
		{modeName, actClear, []string{"ctrl+u"}, "Ctrl+U", "empty", "empty the name", true},
		{modeName, actClose, []string{"esc"}, "Esc", "do not save", "", true},

		{modeDoubt, actYes, []string{"y"}, "y", "write", "write over it", true},
		{modeDoubt, actNo, []string{"n", "esc"}, "n", "leave it", "leave the file as it is", true},
	},
	everywhere(binding{act: actSave, keys: []string{"ctrl+s"}, label: "Ctrl+S", help: "save", more: "save the job in its file, or under a name", last: true}, modeJob, modeParts, modeDesign),
	everywhere(binding{act: actStart, keys: []string{"f8"}, label: "F8", help: "open", more: "another job: a file, a built-in one, an empty one, one from a measurement", last: true}, modeJob),
	everywhere(binding{act: actStart, keys: []string{"f8"}, label: "F8", help: "open", more: "another job: a file, a built-in one, an empty one, one from a measurement"}, modeParts, modeDesign),
	everywhere(binding{act: actSaveAs, keys: []string{"f7"}, label: "F7", help: "save under", more: "save the job under another name"}, modeJob, modeParts, modeDesign),
	everywhere(binding{act: actNextLoad, keys: []string{"f3"}, label: "F3", help: "next load", more: "the job's next load", last: true}, modeJob, modeParts, modeDesign),
	everywhere(binding{act: actCopy, keys: []string{"y"}, label: "y", help: "copy", more: "copy to the clipboard: on Parts the part's id, on Design the sheet", last: false}, modeParts, modeDesign),
	everywhere(binding{act: actOwn, keys: []string{"a"}, label: "a", help: "own part", more: "a part of your own from its data sheet: judged at once, and saved", last: true}, modeParts),
	everywhere(binding{act: actOwn, keys: []string{"a"}, label: "a", help: "own part", more: "a part of your own from its data sheet: judged at once, and saved"}, modeDesign),
	everywhere(binding{act: actOwn, keys: []string{"f6"}, label: "F6", help: "own part", more: "a part of your own from its data sheet: judged at once, and saved", last: true}, modeJob),
	everywhere(binding{act: actTogether, keys: []string{"f4"}, label: "F4", help: "together", more: "the picks of all loads, with what pins and rails bear", last: true}, modeJob, modeParts, modeDesign),
	everywhere(binding{act: actCautions, keys: []string{"f2"}, label: "F2", help: "cautions", more: "every caution in full", last: true}, modeJob, modeParts, modeDesign, modeFilter, modeText, modePage, modeFixes, modePlot, modeOwn, modeStart, modeSweep, modeDrive, modeBreaks, modeCompare, modeMargins),
	everywhere(binding{act: actWords, keys: []string{"w", "f5"}, label: "w", help: "words", more: "what the words on this screen mean, and all others", last: true}, modeParts, modeDesign),
	everywhere(binding{act: actWords, keys: []string{"w", "f5"}, label: "w", help: "words", more: "what the words on this page mean", last: true}, modeFixes, modePlot, modePage, modeStart, modeSweep, modeDrive, modeBreaks, modeCompare, modeMargins),
	everywhere(binding{act: actWords, keys: []string{"w", "f5"}, label: "w", help: "words", more: "what the words on this screen mean"}, modeFilter),
	everywhere(binding{act: actWords, keys: []string{"f5"}, label: "F5", help: "words", more: "what the words on this screen mean"}, modeText),
	everywhere(binding{act: actWords, keys: []string{"f5"}, label: "F5", help: "words", more: "what the words of this field mean, with their equations", last: true}, modeJob),
	everywhere(binding{act: actHelp, keys: []string{"?", "f1"}, label: "?", help: "help", more: "what this screen is, and its keys", last: true}, modeParts, modeDesign, modeFilter, modePlot, modeFixes, modeStart, modePage, modeSweep, modeDrive, modeBreaks, modeCompare, modeMargins),
	everywhere(binding{act: actHelp, keys: []string{"f1"}, label: "F1", help: "help", more: "what this screen is, and its keys", last: true}, modeJob),
	everywhere(binding{act: actQuit, keys: []string{"q"}, label: "q", help: "quit", more: "leave the program", last: true}, modeParts, modeDesign),
	everywhere(binding{act: actSweep, keys: []string{"i"}, label: "i", help: "what if", more: "move one quantity and see which verdict changes where", last: true}, modeParts, modeDesign),
	everywhere(binding{act: actDrive, keys: []string{"d"}, label: "d", help: "drive", more: "is what the pin gives enough for the gate or base", last: true}, modeParts, modeDesign),
	everywhere(binding{act: actBreaks, keys: []string{"t"}, label: "t", help: "break it", more: "leave out or change one element on paper", last: true}, modeParts, modeDesign),
	everywhere(binding{act: actBuild, keys: []string{"ctrl+b"}, label: "Ctrl+B", help: "as built", more: "state the design at hand as built in the job, to enter your own values; again takes it out"}, modeJob, modeParts, modeDesign),
	[]binding{
		{modeParts, actMark, []string{"m"}, "m", "mark", "mark this row, or take its mark away: two to four stand side by side", true},
		{modeParts, actCompare, []string{"="}, "=", "compare", "the marked rows side by side, what differs first", true},
		{modeDesign, actMargins, []string{"m"}, "m", "margins", "every check as a bar against its limit", true},
		{modeDesign, actCompare, []string{"="}, "=", "compare", "the marked rows side by side, what differs first", false},
		{modeDesign, actBands, []string{"r"}, "r", "bands", "the colours of each resistor", false},
	},
	everywhere(binding{act: actKill, keys: []string{"ctrl+c"}, label: "Ctrl+C", help: "quit", more: "leave, whatever is open; asks once where edits are not saved"},
		modeJob, modeParts, modeDesign, modeFilter, modeText, modePage, modeFixes, modePlot, modeLeave, modeName, modeDoubt, modeStart, modeLose, modeTour, modeSweep, modeDrive, modeBreaks, modeCompare, modeMargins, modeOwn, modeOwnDoubt),
)

func everywhere(b binding, modes ...mode) []binding {
	out := make([]binding, len(modes))
	for i, m := range modes {
		b.mode = m
		out[i] = b
	}
	return out
}

// label is how the key of an action on Job is shown, "" where there is none.
func (m *Model) label(act action) string { return m.labelIn(modeJob, act) }

// labelIn is label for another mode; on Job where the mode has no such key.
func (m *Model) labelIn(at mode, act action) string {
	label := ""
	for _, b := range m.table {
		switch {
		case b.act != act:
		case b.mode == at:
			return b.label
		case b.mode == modeJob:
			label = b.label
		}
	}
	return label
}

// bindingFor finds what a key means in a mode.
func bindingFor(table []binding, m mode, k tea.KeyMsg) (binding, bool) {
	if k.Paste {
		return binding{}, false
	}
	name := k.String()
	for _, b := range table {
		if b.mode == m && slices.Contains(b.keys, name) {
			return b, true
		}
	}
	return binding{}, false
}

// glued splits keys that arrived as one into the keys that were pressed. What is
// typed into a field, and what was pasted, stays whole.
func glued(k tea.KeyMsg) []tea.KeyMsg {
	if k.Type != tea.KeyRunes || k.Paste || len(k.Runes) < 2 {
		return []tea.KeyMsg{k}
	}
	out := make([]tea.KeyMsg, len(k.Runes))
	for i, r := range k.Runes {
		out[i] = tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{r}, Alt: k.Alt}
		if r == ' ' {
			out[i].Type = tea.KeySpace
		}
	}
	return out
}

// keyLines lists the keys that work now, in at most n lines of w columns; the one that
// closes what is open, else the one for help, always has its room. off says why an action does not work, "" where it does.
func keyLines(table []binding, m mode, st *styles, w, n int, off func(action) string) []string {
	shown := func(b *binding) bool { return b.mode == m && b.last && off(b.act) == "" }
	keep, kept := actNone, 0 // columns that one still needs
	for i := range table {
		if b := &table[i]; shown(b) && (b.act == actClose || b.act == actHelp && keep == actNone) {
			keep, kept = b.act, 2+width(b.label)+1+width(b.help)
		}
	}
	var lines []string
	plain, line := "", ""
	for i := range table {
		b := &table[i]
		if !shown(b) {
			continue
		}
		if b.act == keep {
			kept = 0
		}
		item := b.label + " " + b.help
		last := len(lines) == n-1
		room := w - 1 - lastCell - width(plain) - width(item)
		if last {
			room -= kept
		}
		switch {
		case plain == "" && (room >= 0 || !last):
		case plain != "" && room >= 2:
			plain, line = plain+"  ", line+"  "
		case last:
			continue // a shorter one may still have room
		default:
			lines = append(lines, " "+line)
			plain, line = "", ""
		}
		plain += item
		line += st.key.Render(b.label) + " " + st.dim.Render(b.help)
	}
	return append(lines, " "+line)
}
