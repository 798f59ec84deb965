// Package drawing draws the circuit of a design in text. It places elements by
// role, kind and node; it knows no topology and no physics. What finds no place
// in the picture is listed below it with its nodes.
package drawing

import (
	"slices"
	"strings"

	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/source"
)

// maxWidth is how wide a picture may be, in characters.
const maxWidth = 78

// Text draws the circuit of a design: supply on top, load with its clamp beside
// it, switch below, drive resistor and pull-down to the left, ground below; the
// driver of a relay's coil, or of a solid-state relay's input, beside it. With ascii no character is outside ASCII.
// Every element appears with its reference and its value.
func Text(d *design.Design, ascii bool) string {
	s := sidesOf(d)
	pictures := make([]string, len(s))
	for i := range s {
		pictures[i] = circuit(s[i].withPin(), s[i].load, ascii)
	}
	if len(s) == 1 {
		return pictures[0]
	}
	return beside(s[0].title, pictures[0], s[1].title, pictures[1])
}

// side is a circuit that stands by itself.
type side struct {
	title string // "" where it is the only one
	load  string
	elems []design.Element
	from  string // node that the circuit before drives, as a pin would; "": none
}

// withPin are the elements with a pin where the circuit before drives them.
func (s *side) withPin() []design.Element {
	if s.from == "" {
		return s.elems
	}
	return append(s.elems, design.Element{Ref: s.from, Role: design.RolePin, Kind: "pin", Nodes: []string{s.from, "ground"}})
}

// sidesOf are the circuits of a design: one, or two that do not touch.
func sidesOf(d *design.Design) []side {
	own := printable(d.Elements)
	if d.Driver == nil {
		if in, out := apart(own); in != nil {
			return []side{{title: "input side", load: d.Load, elems: in}, {title: "output side", load: d.Load, elems: out}}
		}
		return []side{{title: "", load: d.Load, elems: own}}
	}
	driver := printable(d.Driver.Elements)
	if d.Shifted() {
		one := append(slices.Clip(own), withoutShared(withoutLoad(driver), own)...)
		if makePlan(one).holds() {
			return []side{{title: "", load: d.Load, elems: one}}
		}
		driver = driveOf(driver, own)
		own = withoutShared(own, driver)
		return []side{{title: "gate drive", load: d.Load, elems: driver}, {title: "load side", load: d.Load, elems: own, from: joint(own, driver)}}
	}
	first, second := side{title: "coil side", load: d.Driver.Load, elems: driver}, side{title: "contact side", load: d.Load, elems: withoutShared(own, driver)}
	for i := range own {
		if own[i].Kind == "ssr-output" {
			first.title, second.title = "input side", "output side"
		}
	}
	return []side{first, second}
}

// apart splits a circuit into that of an input on the pin and that of the output which
// it turns on without touching it; in is nil where it is one circuit.
func apart(elems []design.Element) (in, out []design.Element) {
	split := false
	for i := range elems {
		e := &elems[i]
		split = split || e.Kind == "ssr-input" || e.Kind == "module" && e.Role == design.RoleCoil
		if e.Role == design.RolePin || e.Role == design.RoleCoil || index(e.Nodes, "pin") >= 0 || index(e.Nodes, "input") >= 0 || index(e.Nodes, "logic") >= 0 {
			in = append(in, *e)
		} else {
			out = append(out, *e)
		}
	}
	if !split {
		return nil, elems
	}
	return in, out
}

// driveOf is a gate's drive as a circuit by itself: the resistor that the stage has for the
// driver's load is its load, and the transistor at that its switch.
func driveOf(driver, own []design.Element) []design.Element {
	list := slices.Clone(driver)
	var at []string
	for i := range list {
		e := &list[i]
		if k := slices.IndexFunc(own, func(o design.Element) bool { return o.Ref == e.Ref && o.Role != design.RoleLoad }); e.Role == design.RoleLoad && k >= 0 {
			*e = own[k]
			e.Role, at = design.RoleLoad, e.Nodes
		}
	}
	for i := range list {
		if e := &list[i]; three(e) && slices.ContainsFunc(e.Nodes[1:], func(n string) bool { return n != "ground" && index(at, n) >= 0 }) {
			e.Role = design.RoleSwitch
		}
	}
	return list
}

// joint is the node beside supplies and grounds where a circuit hangs on another, "" where
// there is none.
func joint(elems, other []design.Element) string {
	of := func(list []design.Element) (nodes []string) {
		var ends []string
		for i := range list {
			if list[i].Role == design.RoleRail {
				ends = append(ends, list[i].Nodes...)
			}
		}
		for i := range list {
			for _, n := range list[i].Nodes {
				if index(ends, n) < 0 {
					nodes = appendNew(nodes, n)
				}
			}
		}
		return nodes
	}
	there := of(other)
	for _, n := range of(elems) {
		if index(there, n) >= 0 {
			return n
		}
	}
	return ""
}

// withoutLoad drops what stands for the stage in the circuit of its driver, and
// the supply, which the stage has too.
func withoutLoad(elems []design.Element) []design.Element {
	var list []design.Element
	for i := range elems {
		if r := elems[i].Role; r != design.RoleLoad && r != design.RoleRail {
			list = append(list, elems[i])
		}
	}
	return list
}

// printable is a copy of the elements whose texts hold no control characters: a
// load's name comes from a file.
func printable(elems []design.Element) []design.Element {
	list := append([]design.Element(nil), elems...)
	for i := range list {
		e := &list[i]
		e.Ref, e.Part, e.Kind = source.Printable(e.Ref), source.Printable(e.Part), source.Printable(e.Kind)
		nodes := make([]string, len(e.Nodes))
		for k, n := range e.Nodes {
			nodes[k] = source.Printable(n)
		}
		e.Nodes = nodes
	}
	return list
}

// withoutShared drops elements that the driver's picture shows already, such as
// the coil.
func withoutShared(elems, shown []design.Element) []design.Element {
	var list []design.Element
	for i := range elems {
		if !shows(shown, &elems[i]) {
			list = append(list, elems[i])
		}
	}
	return list
}

func shows(list []design.Element, e *design.Element) bool {
	for i := range list {
		s := &list[i]
		if s.Ref == e.Ref && s.Kind == e.Kind && s.Part == e.Part && value(s) == value(e) && e.Role != design.RoleRail {
			return true
		}
	}
	return false
}

// beside sets two pictures side by side where they fit, else one below the other.
func beside(titleA, a, titleB, b string) string {
	la := append([]string{titleA + ":", ""}, lines(a)...)
	lb := append([]string{titleB + ":", ""}, lines(b)...)
	wa, wb := width(la), width(lb)
	const gap = 4
	if wa+gap+wb > maxWidth {
		return strings.Join(la, "\n") + "\n\n" + strings.Join(lb, "\n") + "\n"
	}
	var out strings.Builder
	for i := range max(len(la), len(lb)) {
		l, r := "", ""
		if i < len(la) {
			l = la[i]
		}
		if i < len(lb) {
			r = lb[i]
		}
		out.WriteString(strings.TrimRight(l+strings.Repeat(" ", wa+gap-len([]rune(l)))+r, " ") + "\n")
	}
	return out.String()
}

func lines(s string) []string { return strings.Split(strings.TrimRight(s, "\n"), "\n") }

// circuit draws one circuit, with short labels and a legend where full ones
// would be too wide.
func circuit(elems []design.Element, load string, ascii bool) string {
	p := makePlan(elems)
	p.load = source.Printable(load)
	picture := p.draw(ascii, false)
	if width(lines(picture)) <= maxWidth {
		return picture + p.netList(false)
	}
	return p.draw(ascii, true) + p.netList(true)
}

// netList lists what is not in the picture; with all, everything.
func (p *plan) netList(all bool) string {
	var b strings.Builder
	for i := range p.elems {
		e := &p.elems[i]
		if p.placed[i] && !all {
			continue
		}
		b.WriteString(netLine(e) + "\n")
	}
	if b.Len() == 0 {
		return ""
	}
	return "\n" + b.String()
}

func netLine(e *design.Element) string {
	words := []string{name(e)}
	if e.Part != "" && e.Part != e.Ref {
		words = append(words, e.Part)
	}
	if len(e.Nodes) > 0 {
		words = append(words, strings.Join(e.Nodes, " - "))
	} else {
		words = append(words, strings.ReplaceAll(e.Kind, "-", " "))
	}
	return strings.Join(words, "  ")
}

// pen is a plan on its way to a canvas.
type pen struct {
	*plan
	*canvas
	compact bool
	x       int   // of the trunk
	nodeY   []int // rows of the trunk's nodes
	lineY   int   // row of the control line
	below   *pen  // of what pulls the start of the control line down, nil: nothing
	hung    bool  // it is such a one: nothing stands above its trunk
}

func (p *plan) draw(ascii, compact bool) string {
	if p.corners != nil {
		d := p.pen(ascii, compact)
		d.drawCorners()
		return d.String()
	}
	if len(p.trunk) == 0 {
		return ""
	}
	d := p.pen(ascii, compact)
	d.layRows()
	d.x = d.controlWidth()
	d.drawAll()
	return d.String()
}

func (p *plan) pen(ascii, compact bool) *pen {
	d := &pen{plan: p, canvas: &canvas{ascii: ascii}, compact: compact}
	if p.under != nil {
		d.below = p.under.pen(ascii, compact)
		d.below.hung = true
	}
	return d
}

func (d *pen) drawAll() {
	d.drawTrunk()
	d.drawSides()
	d.drawControl()
	if d.below != nil {
		d.below.drawAll()
		d.lay(d.below.canvas, 0, d.lineY-topRow)
	}
}

const (
	topRow    = 1 // the top node; its name stands above
	linkRows  = symbolRows + 1
	pullStart = 2 // rows from the control line to the first symbol of a pull
)

// layRows finds the row of every node of the trunk: each band is as high as
// what stands in it.
func (d *pen) layRows() {
	up := d.pullHeight(true)
	d.nodeY = make([]int, len(d.nodes))
	d.nodeY[0] = topRow
	for i := range d.trunk {
		y := d.nodeY[i] + linkRows
		for _, c := range d.sides {
			if c.j == i+1 {
				y = max(y, d.nodeY[c.i]+linkRows*len(c.chain))
			}
		}
		if i == d.gateAt && up > 0 {
			y = max(y, up-1+linkRows) // room above the control line
		}
		d.nodeY[i+1] = y
	}
	if d.gateAt < 0 {
		return
	}
	d.lineY = d.nodeY[d.gateAt+1] - linkRows + symbolRows - 1
	last := len(d.nodeY) - 1
	if low := d.pullHeight(false); low > 0 {
		d.nodeY[last] = max(d.nodeY[last], d.lineY+low)
	}
	if d.below != nil {
		d.below.layRows()
		d.below.x = d.below.controlWidth()
		d.nodeY[last] = max(d.nodeY[last], d.lineY+d.below.bottomRow()-topRow)
		d.below.stretch(d.nodeY[last] - d.lineY + topRow)
	}
}

func (d *pen) bottomRow() int { return d.nodeY[len(d.nodeY)-1] }

// stretch lets the trunk end further down, and what hangs below with it.
func (d *pen) stretch(bottom int) {
	d.nodeY[len(d.nodeY)-1] = bottom
	if d.below != nil {
		d.below.stretch(bottom - d.lineY + topRow)
	}
}

// pullHeight is the rows that the tallest pull in a direction takes.
func (d *pen) pullHeight(up bool) int {
	h := 0
	for _, q := range d.pulls {
		if q.up == up {
			h = max(h, pullStart+linkRows*len(q.chain))
		}
	}
	return h
}

// symbolY is the row where the symbol of trunk element i starts: at the foot of
// its band when it is the control line's switch, else at the top.
func (d *pen) symbolY(i int) int {
	if i == d.gateAt {
		return d.lineY - 1
	}
	return d.nodeY[i] + 1
}

func (d *pen) drawTrunk() {
	if !d.hung {
		d.end(d.top, 0)
		d.vline(d.x, 0, topRow)
		d.at(d.x, 0).lines = 0
	}
	for i, l := range d.trunk {
		y := d.symbolY(i)
		d.vline(d.x, d.nodeY[i], y)
		d.vline(d.x, y+symbolRows-1, d.nodeY[i+1])
		d.symbolAt(d.x, y, l)
	}
	last := d.nodeY[len(d.nodeY)-1]
	d.vline(d.x, last, last+1)
	d.end(d.bottom, last+1)
}

// end writes what stands at an end of the trunk: a supply's or the pin's name,
// or ground.
func (d *pen) end(node string, y int) {
	var names []string
	for i := range d.elems {
		e := &d.elems[i]
		if (e.Role == design.RoleRail || e.Role == design.RolePin) && len(e.Nodes) > 0 && e.Nodes[0] == node {
			names = append(names, name(e))
		}
	}
	if len(names) > 0 {
		d.text(d.x, y, "o "+strings.Join(names, ", "))
		return
	}
	bar := "─┴─ "
	if d.ascii {
		bar = "-+- "
	}
	d.text(d.x-1, y, bar+node)
}

// symbolAt draws one element's symbol with its wire in column x and its label
// to the right.
func (d *pen) symbolAt(x, y int, l link) {
	e := &d.elems[l.elem]
	s := symbolOf(e, l.from)
	rows := s.rows(d.ascii)
	for dy := range rows {
		d.at(x, y+dy).lines = 0
	}
	d.stamp(x-s.wire, y, rows)
	lab := d.label(e, d.compact)
	first := y
	if len(lab) == 1 {
		first = y + 1
	}
	for i, t := range lab {
		d.text(x+labelGap, first+i, t)
	}
}

const (
	labelGap  = 4 // from a wire to the label beside it
	columnGap = 3 // from a label to what comes next
)

// columnWidth is how far a chain with its labels reaches to the right of its wire.
func (d *pen) columnWidth(chain []link) int {
	w := 0
	for _, l := range chain {
		w = max(w, width(d.label(&d.elems[l.elem], d.compact)))
	}
	return labelGap + w
}

// drawSides sets the columns on tracks to the right of the trunk: short ones
// nearest, two share a track where they are not side by side.
func (d *pen) drawSides() {
	order := make([]int, 0, len(d.sides))
	for span := 1; span < len(d.nodes); span++ {
		for i, c := range d.sides {
			if c.j-c.i == span {
				order = append(order, i)
			}
		}
	}
	var tracks [][]int
	for _, i := range order {
		tracks = d.putOnTrack(tracks, i)
	}
	x := d.x + d.columnWidth(d.trunk) + columnGap
	at := make([]int, len(d.sides))
	for _, track := range tracks {
		w := 0
		for _, i := range track {
			at[i] = x
			w = max(w, d.columnWidth(d.sides[i].chain))
		}
		x += w + columnGap
	}
	for i, c := range d.sides {
		d.drawColumn(at[i], d.nodeY[c.i], d.nodeY[c.j], c.chain)
	}
	for i, c := range d.sides {
		d.hline(d.x, at[i], d.nodeY[c.i])
		d.hline(d.x, at[i], d.nodeY[c.j])
	}
}

func (d *pen) putOnTrack(tracks [][]int, i int) [][]int {
	c := d.sides[i]
	for t, track := range tracks {
		free := true
		for _, k := range track {
			o := d.sides[k]
			free = free && (c.j <= o.i || o.j <= c.i)
		}
		if free {
			tracks[t] = append(track, i)
			return tracks
		}
	}
	return append(tracks, []int{i})
}

// drawColumn draws a chain from row y0 down to row y1.
func (d *pen) drawColumn(x, y0, y1 int, chain []link) {
	d.vline(x, y0, y1)
	y := y0 + 1
	for _, l := range chain {
		d.symbolAt(x, y, l)
		y += linkRows
	}
}

// leftEdge is what the pin's name takes.
func (d *pen) pinText() string {
	if d.pin < 0 {
		return ""
	}
	return name(&d.elems[d.pin]) + " o"
}

// controlPlace is where everything on the control line stands.
type controlPlace struct {
	start  int   // first column of the line
	pulls  []int // column of each pull's wire
	series []int // first column of each series element's text
	end    int   // column of the trunk
}

// controlLayout sets the pulls of each node and the series elements from left
// to right. A pull's label may stand under the series element after it, not
// under the next pull of the same direction, nor under the trunk.
func (d *pen) controlLayout() controlPlace {
	pl := controlPlace{pulls: make([]int, len(d.pulls))}
	x := len([]rune(d.pinText()))
	pl.start = max(x-1, 0)
	if d.below != nil {
		x = d.below.x
		pl.start = x
	}
	x++
	var free [2]int // next free column below and above the line
	for n := range d.lineAt {
		for i, q := range d.pulls {
			if q.node != n {
				continue
			}
			dir := 0
			if q.up {
				dir = 1
			}
			x = max(x+1, free[dir]+2)
			pl.pulls[i] = x
			free[dir] = x + d.columnWidth(q.chain) + 1
			if q.up {
				free[dir] = max(free[dir], x+2+len([]rune(name(&d.elems[q.rail])))+1)
			}
			x += 2
		}
		if n < len(d.line) {
			pl.series = append(pl.series, x+1)
			x += 1 + len([]rune(d.inlineText(n))) + 1
		}
	}
	pl.end = max(x+5, free[0]+2, free[1]+4, 4)
	if d.below != nil {
		pl.end = max(pl.end, d.below.x+d.below.columnWidth(d.below.trunk)+columnGap)
	}
	return pl
}

func (d *pen) inlineText(n int) string {
	t := inline(&d.elems[d.line[n].elem], d.compact)
	if d.ascii {
		return "[ " + t + " ]"
	}
	return "┤ " + t + " ├"
}

// controlWidth is the column of the trunk.
func (d *pen) controlWidth() int {
	if d.gateAt < 0 {
		return 4
	}
	return d.controlLayout().end
}

func (d *pen) drawControl() {
	if d.gateAt < 0 {
		return
	}
	pl := d.controlLayout()
	bottom := d.nodeY[len(d.nodeY)-1]
	d.hline(pl.start, d.x-4, d.lineY)
	if d.pin < 0 && d.below == nil {
		d.text(0, d.lineY, d.control)
	}
	d.text(0, d.lineY, d.pinText())
	for n, x := range pl.series {
		d.text(x, d.lineY, d.inlineText(n))
	}
	for i, q := range d.pulls {
		x := pl.pulls[i]
		if q.up {
			d.drawPullUp(x, q)
			continue
		}
		d.vline(x, d.lineY, bottom)
		y := d.lineY + pullStart
		for _, l := range q.chain {
			d.symbolAt(x, y, l)
			y += linkRows
		}
		d.hline(x, d.x, bottom)
	}
	d.at(d.x-4, d.lineY).lines |= right
}

// drawPullUp draws a chain up from the control line to its supply.
func (d *pen) drawPullUp(x int, q pull) {
	n := len(q.chain)
	top := d.lineY - pullStart + 1 - linkRows*n
	d.vline(x, top, d.lineY)
	y := top + 1
	for i := n - 1; i >= 0; i-- {
		l := q.chain[i]
		d.symbolAt(x, y, link{l.elem, l.to, l.from})
		y += linkRows
	}
	d.at(x, top).lines = 0
	d.text(x, top, "o "+name(&d.elems[q.rail]))
}
