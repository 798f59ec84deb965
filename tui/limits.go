package tui

import "time"

// Timings and sizes of the screen, each with its reason.
const (
	minWidth  = 40 // below this a row of the shortlist loses its verdict or its headroom
	minHeight = 10 // title, cautions, rule, four lines of content, keys

	twoPanes   = 120 // from here Job and Parts stand side by side
	threePanes = 200 // from here Design joins them

	jobColumns       = 44 // of the Job pane beside another: label, value and a note
	partsColumnsWide = 80 // of the Parts pane between two others: every column of its table

	// lastCell of the last line stays empty: the toolkit clears what is below a frame
	// that got lower from there on, and with it the cell that the cursor is in.
	lastCell = 1

	lowScreen = 16 // below this many lines the keys get one line, not two

	// slowAfter is how long an old shortlist may stand unmarked while a new one
	// is on its way: shorter than anyone reads, longer than an answer takes.
	slowAfter = 150 * time.Millisecond

	// keepAfter is how much of a session a crash may cost: less than anyone types
	// again with a sigh, more than a disk is busy with one file.
	keepAfter = time.Second

	fieldLimit = 80   // characters of a field, as many as a name may have
	textLimit  = 60   // characters of the text filter
	nameLimit  = 4096 // characters of a file name, as many as a system takes
	costLimit  = 12   // characters of the cost filter
)
