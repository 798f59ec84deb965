package drawing

import "strings"

// A line cell is made of the directions in which it is joined to its
// neighbours; two lines that meet in a cell make a junction by themselves.
const (
	up = 1 << iota
	down
	left
	right
)

// boxRunes is the box-drawing character of each set of directions.
var boxRunes = [16]rune{
	0: ' ', up: '│', down: '│', left: '─', right: '─',
	up | down: '│', left | right: '─',
	up | left: '┘', up | right: '└', down | left: '┐', down | right: '┌',
	up | down | left: '┤', up | down | right: '├',
	left | right | up: '┴', left | right | down: '┬',
	up | down | left | right: '┼',
}

// asciiRunes is the same in plain ASCII.
var asciiRunes = [16]rune{
	0: ' ', up: '|', down: '|', left: '-', right: '-',
	up | down: '|', left | right: '-',
	up | left: '+', up | right: '+', down | left: '+', down | right: '+',
	up | down | left: '+', up | down | right: '+',
	left | right | up: '+', left | right | down: '+',
	up | down | left | right: '+',
}

type cell struct {
	lines uint8
	text  rune // 0: none
}

// canvas is a grid of characters that grows to what is drawn on it.
type canvas struct {
	ascii bool
	rows  [][]cell
}

func (c *canvas) at(x, y int) *cell {
	for len(c.rows) <= y {
		c.rows = append(c.rows, nil)
	}
	for len(c.rows[y]) <= x {
		c.rows[y] = append(c.rows[y], cell{})
	}
	return &c.rows[y][x]
}

// text writes s from x to the right.
func (c *canvas) text(x, y int, s string) {
	for _, r := range s {
		c.at(x, y).text = r
		x++
	}
}

// vline joins (x, y0) with (x, y1), y0 <= y1.
func (c *canvas) vline(x, y0, y1 int) {
	for y := y0; y < y1; y++ {
		c.at(x, y).lines |= down
		c.at(x, y+1).lines |= up
	}
}

// hline joins (x0, y) with (x1, y), x0 <= x1. A vertical line in between that
// does not end on it is passed over, not joined.
func (c *canvas) hline(x0, x1, y int) {
	for x := x0; x < x1; x++ {
		if x > x0 && c.at(x, y).lines&(up|down) == up|down && !c.joined(x, y) {
			continue
		}
		c.at(x, y).lines |= right
		if x+1 == x1 || c.at(x+1, y).lines&(up|down) != up|down || c.joined(x+1, y) {
			c.at(x+1, y).lines |= left
		}
	}
}

// joined reports whether a horizontal line already meets this cell.
func (c *canvas) joined(x, y int) bool { return c.at(x, y).lines&(left|right) != 0 }

// stamp writes the rows of a symbol with its top left corner at (x, y); a space
// leaves the cell as it is.
func (c *canvas) stamp(x, y int, rows []string) {
	for dy, row := range rows {
		dx := 0
		for _, r := range row {
			if r != ' ' {
				c.at(x+dx, y+dy).text = r
			}
			dx++
		}
	}
}

// lay puts another picture on this one, its top left corner at (x, y).
func (c *canvas) lay(o *canvas, x, y int) {
	for dy, row := range o.rows {
		for dx, k := range row {
			if k.lines == 0 && k.text == 0 {
				continue
			}
			at := c.at(x+dx, y+dy)
			at.lines |= k.lines
			if k.text != 0 {
				at.text = k.text
			}
		}
	}
}

// String returns the picture, without blanks at the ends of lines.
func (c *canvas) String() string {
	runes := &boxRunes
	if c.ascii {
		runes = &asciiRunes
	}
	var b strings.Builder
	for _, row := range c.rows {
		var line strings.Builder
		for _, k := range row {
			switch {
			case k.text != 0:
				line.WriteRune(k.text)
			default:
				line.WriteRune(runes[k.lines])
			}
		}
		b.WriteString(strings.TrimRight(line.String(), " "))
		b.WriteByte('\n')
	}
	return b.String()
}
