package drawing

import (
	"strings"

	"example.org/pinhoist/internal/design"
)

// fourCorners is a load between two switches up and two switches down.
type fourCorners struct {
	load           int
	left, right    string // nodes of the load
	highs, lows    [2]int // elements, left and right
	supply, ground string
}

// findCorners looks for a load each of whose ends has a switch to a supply and one
// to ground, the same for both.
func (p *plan) findCorners() bool {
	rails, grounds, _ := p.ends()
	for i := range p.elems {
		e := &p.elems[i]
		if e.Role != design.RoleLoad || len(e.Nodes) != 2 {
			continue
		}
		for _, top := range rails {
			for _, bottom := range grounds {
				c := fourCorners{load: i, left: e.Nodes[0], right: e.Nodes[1], supply: top, ground: bottom}
				if p.corner(c.left, top, &c.highs[0]) && p.corner(c.right, top, &c.highs[1]) &&
					p.corner(c.left, bottom, &c.lows[0]) && p.corner(c.right, bottom, &c.lows[1]) {
					p.corners = &c
					for _, k := range [...]int{i, c.highs[0], c.highs[1], c.lows[0], c.lows[1]} {
						p.placed[k] = true
					}
					if r := p.railAt(top); r >= 0 {
						p.placed[r] = true
					}
					return true
				}
			}
		}
	}
	return false
}

// corner finds the switch between two nodes.
func (p *plan) corner(a, b string, at *int) bool {
	for i := range p.elems {
		e := &p.elems[i]
		if e.Role != design.RoleSwitch || !three(e) {
			continue
		}
		if x, y, _ := power(e); x == a && y == b || x == b && y == a {
			*at = i
			return true
		}
	}
	return false
}

// drawCorners draws supply, four switches with the names of their controls, the load
// between them, and ground.
func (d *pen) drawCorners() {
	c := d.corners
	control := 0
	for _, k := range [...]int{c.highs[0], c.lows[0], c.highs[1], c.lows[1]} {
		control = max(control, len([]rune(d.elems[k].Nodes[0])))
	}
	body := func(at int) int { return labelGap + width(d.label(&d.elems[at], d.compact)) }
	motor := strings.Join(d.label(&d.elems[c.load], d.compact), " ")
	left := control + 5
	between := max(body(c.highs[0]), body(c.lows[0])) + columnGap + control + 5
	between = max(between, len([]rune(motor))+8)
	right := left + between

	const top, high, middle, low, bottom = 2, 4, 8, 10, 14
	for i, x := range [...]int{left, right} {
		d.vline(x, top, bottom)
		d.switchAt(x, high, c.highs[i], c.supply)
		d.switchAt(x, low, c.lows[i], [2]string{c.left, c.right}[i])
	}
	centre := left + between/2
	d.hline(left, right, top)
	d.hline(left, right, middle)
	d.hline(left, right, bottom)
	d.vline(centre, top-1, top)
	d.vline(centre, bottom, bottom+1)
	d.at(centre, top-1).lines = 0
	d.x = centre
	d.end(c.supply, top-1)
	d.end(c.ground, bottom+1)
	text := "┤ " + motor + " ├"
	if d.ascii {
		text = "[ " + motor + " ]"
	}
	d.text(centre-len([]rune(text))/2, middle, text)
}

// switchAt draws one of the four with its control's name to the left.
func (d *pen) switchAt(x, y, at int, from string) {
	d.symbolAt(x, y, link{elem: at, from: from})
	name := d.elems[at].Nodes[0]
	d.text(x-4-len([]rune(name)), y+1, name)
}
