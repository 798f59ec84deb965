package tui

// place is one of the three places, in the order of Tab.
type place uint8

const (
	placeJob place = iota
	placeParts
	placeDesign
	numPlaces
)

var placeNames = [numPlaces]string{"Job", "Parts", "Design"}

func (p place) String() string { return placeNames[p] }

// Rect is a part of the screen in cells.
type Rect struct{ X, Y, W, H int }

// Empty reports whether there is nothing to draw on.
func (r Rect) Empty() bool { return r.W <= 0 || r.H <= 0 }

// Rects is where everything stands. What is not shown is empty.
type Rects struct {
	TooSmall             bool
	Title, Cautions      Rect
	Rule                 Rect // above the panes, with their names
	Panes                [numPlaces]Rect
	Keys                 Rect
	separators, paneList []int
}

// Layout divides a screen of any size. It never gives a negative size, and what
// it gives does not overlap and stays on the screen.
func Layout(width, height int, at place) Rects {
	if width < minWidth || height < minHeight {
		return Rects{TooSmall: true}
	}
	keys := 2
	if height < lowScreen {
		keys = 1
	}
	r := Rects{
		Title:    Rect{0, 0, width, 1},
		Cautions: Rect{0, 1, width, 1},
		Rule:     Rect{0, 2, width, 1},
		Keys:     Rect{0, height - keys, width, keys},
	}
	top, h := 3, height-3-keys
	x := 0
	column := func(p place, w int) {
		if x > 0 {
			r.separators = append(r.separators, x)
			x++
		}
		r.Panes[p] = Rect{x, top, w, h}
		r.paneList = append(r.paneList, int(p))
		x += w
	}
	switch {
	case width >= threePanes:
		column(placeJob, jobColumns)
		column(placeParts, partsColumnsWide)
		column(placeDesign, width-x-1)
	case width >= twoPanes && at != placeDesign:
		column(placeJob, jobColumns)
		column(placeParts, width-x-1)
	default:
		column(at, width)
	}
	return r
}

// Shows reports whether a place is on the screen.
func (r *Rects) Shows(p place) bool { return !r.Panes[p].Empty() }
