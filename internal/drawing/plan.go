package drawing

import "example.org/pinhoist/internal/design"

// plan is who stands where: a trunk from a supply to ground through load and
// switch, side columns between nodes of the trunk, and the control line from
// the pin to the switch with its own columns. It knows roles, kinds and nodes.
type plan struct {
	elems  []design.Element
	placed []bool
	load   string // the name of the load

	top, bottom string   // nodes
	trunk       []link   // from top to bottom
	nodes       []string // trunk nodes: top, between, bottom
	sides       []column

	control string // node of the switch's base or gate, "" where there is none
	gateAt  int    // index into trunk of the switch that control belongs to
	line    []link // from pin to control
	lineAt  []string
	pulls   []pull
	pin     int // element, -1: none drawn

	corners *fourCorners // nil: a trunk

	under *plan // what pulls the start of the control line down: a trunk of one switch; nil: none
}

// holds reports whether every transistor has a place in the picture.
func (p *plan) holds() bool {
	for i := range p.elems {
		if three(&p.elems[i]) && !p.placed[i] {
			return false
		}
	}
	return true
}

// link is one element passed from its upper (or left) node to its lower one.
type link struct {
	elem     int
	from, to string
}

// column is a chain of elements beside the trunk, from its node i to its node j.
type column struct {
	i, j  int
	chain []link
}

// pull is a chain from a node of the control line down to the trunk's bottom,
// or up to a supply.
type pull struct {
	node  int // index into lineAt
	up    bool
	rail  int // element at the upper end
	chain []link
}

const maxTrunk = 8 // elements: a longer trunk is no drive stage

func makePlan(elems []design.Element) *plan {
	p := &plan{elems: elems, placed: make([]bool, len(elems)), pin: -1, gateAt: -1}
	if p.findCorners() || !p.findTrunk() {
		return p
	}
	p.findControl()
	p.findSides()
	p.findPulls()
	return p
}

// power returns the two nodes that an element's load current passes.
func power(e *design.Element) (a, b string, ok bool) {
	switch {
	case e.Role == design.RoleRail || e.Role == design.RolePin:
		return "", "", false
	case three(e):
		return e.Nodes[1], e.Nodes[2], true
	case len(e.Nodes) == 2:
		return e.Nodes[0], e.Nodes[1], e.Nodes[0] != e.Nodes[1]
	}
	return "", "", false
}

// three reports whether an element has a control terminal.
func three(e *design.Element) bool {
	return (e.Kind == "bjt" || e.Kind == "mosfet" || e.Kind == "array" || e.Kind == "module") && len(e.Nodes) == 3
}

// mayBeTrunk reports whether an element may stand in the trunk.
func mayBeTrunk(e *design.Element) bool {
	switch e.Role {
	case design.RoleLoad, design.RoleSwitch, design.RoleContact, design.RoleCoil,
		design.RoleFuse, design.RoleSeriesResistor, design.RoleLimiter, design.RoleIndicator:
		return true
	}
	return false
}

// findTrunk looks for the way of the load current: rail to ground, else pin to
// ground, else rail to pin.
func (p *plan) findTrunk() bool {
	rails, grounds, pins := p.ends()
	for _, pair := range [][2][]string{{rails, grounds}, {pins, grounds}, {rails, pins}} {
		for _, top := range pair[0] {
			for _, bottom := range pair[1] {
				if best := p.bestPath(top, bottom); best != nil {
					p.take(top, bottom, best)
					return true
				}
			}
		}
	}
	return false
}

func (p *plan) ends() (rails, grounds, pins []string) {
	for i := range p.elems {
		e := &p.elems[i]
		switch {
		case e.Role == design.RoleRail && len(e.Nodes) == 2:
			rails = appendNew(rails, e.Nodes[0])
			grounds = appendNew(grounds, e.Nodes[1])
		case e.Role == design.RolePin && len(e.Nodes) > 0:
			pins = appendNew(pins, e.Nodes[0])
		}
	}
	return rails, appendNew(grounds, "ground"), pins
}

func appendNew(list []string, s string) []string {
	for _, have := range list {
		if have == s {
			return list
		}
	}
	return append(list, s)
}

// bestPath returns the shortest way with a load in it, preferring one with a
// switch; the first found of equals.
func (p *plan) bestPath(top, bottom string) []link {
	var best []link
	bestScore := -1
	var path []link
	seen := map[string]bool{top: true}
	var walk func(node string)
	walk = func(node string) {
		if node == bottom {
			if s := p.score(path); s > bestScore {
				best, bestScore = append([]link(nil), path...), s
			}
			return
		}
		if len(path) == maxTrunk {
			return
		}
		for i := range p.elems {
			e := &p.elems[i]
			a, b, ok := power(e)
			if !ok || !mayBeTrunk(e) || (a != node && b != node) {
				continue
			}
			next := other(a, b, node)
			if seen[next] {
				continue
			}
			seen[next] = true
			path = append(path, link{i, node, next})
			walk(next)
			path = path[:len(path)-1]
			seen[next] = false
		}
	}
	walk(top)
	return best
}

// score is -1 for a path without a load.
func (p *plan) score(path []link) int {
	loads, switches := 0, 0
	for _, l := range path {
		switch p.elems[l.elem].Role {
		case design.RoleLoad, design.RoleCoil:
			loads = 1
		case design.RoleSwitch, design.RoleContact:
			switches = 1
		}
	}
	if loads == 0 {
		return -1
	}
	return 100*switches + maxTrunk - len(path)
}

func (p *plan) take(top, bottom string, path []link) {
	p.top, p.bottom, p.trunk = top, bottom, path
	p.nodes = []string{top}
	for i, l := range path {
		p.placed[l.elem] = true
		p.nodes = append(p.nodes, l.to)
		if e := &p.elems[l.elem]; three(e) && p.gateAt < 0 {
			p.control, p.gateAt = e.Nodes[0], i
		}
	}
	for i := range p.elems {
		e := &p.elems[i]
		end := len(e.Nodes) > 0 && (e.Nodes[0] == top || e.Nodes[0] == bottom)
		if end && (e.Role == design.RoleRail || e.Role == design.RolePin) && !p.placed[i] {
			p.placed[i] = true
		}
	}
}

func other(a, b, node string) string {
	if a == node {
		return b
	}
	return a
}

func (p *plan) trunkIndex(node string) int { return index(p.nodes, node) }

func index(list []string, s string) int {
	for i, have := range list {
		if have == s {
			return i
		}
	}
	return -1
}

// findControl looks for the shortest way from the pin to the control terminal
// through elements of two nodes.
func (p *plan) findControl() {
	if p.control == "" || p.trunkIndex(p.control) >= 0 {
		p.control, p.gateAt = "", -1
		return
	}
	p.lineAt = []string{p.control}
	for i := range p.elems {
		e := &p.elems[i]
		if e.Role != design.RolePin || len(e.Nodes) == 0 || p.placed[i] {
			continue
		}
		line, ok := p.shortest(e.Nodes[0], p.control)
		if !ok {
			continue
		}
		p.pin, p.placed[i], p.line = i, true, line
		p.lineAt = []string{e.Nodes[0]}
		for _, l := range line {
			p.placed[l.elem] = true
			p.lineAt = append(p.lineAt, l.to)
		}
		return
	}
	p.findUnder()
}

// findUnder looks for another switch that stands between the control line and
// ground, where no pin reaches the control terminal by itself: a level shifter.
// Its own control line starts at the pin, or under yet another one.
func (p *plan) findUnder() {
	for i := range p.elems {
		e := &p.elems[i]
		if p.placed[i] || !three(e) || e.Nodes[0] == p.control {
			continue
		}
		top := other(e.Nodes[1], e.Nodes[2], p.bottom)
		if (e.Nodes[1] != p.bottom && e.Nodes[2] != p.bottom) || p.trunkIndex(top) >= 0 {
			continue
		}
		line, ok := p.shortest(top, p.control)
		if !ok {
			continue
		}
		p.placed[i], p.line, p.lineAt = true, line, []string{top}
		for _, l := range line {
			p.placed[l.elem] = true
			p.lineAt = append(p.lineAt, l.to)
		}
		p.under = &plan{elems: p.elems, placed: p.placed, load: p.load, pin: -1, top: top, bottom: p.bottom,
			trunk: []link{{i, top, p.bottom}}, nodes: []string{top, p.bottom}, control: e.Nodes[0]}
		p.under.findControl()
		p.under.findPulls()
		return
	}
}

// shortest is a breadth-first search over unplaced elements of two nodes that
// stays off the trunk.
func (p *plan) shortest(from, to string) ([]link, bool) {
	if from == to {
		return nil, true
	}
	type state struct {
		node string
		path []link
	}
	queue := []state{{from, nil}}
	seen := []string{from}
	for len(queue) > 0 {
		s := queue[0]
		queue = queue[1:]
		for i := range p.elems {
			e := &p.elems[i]
			a, b, ok := power(e)
			if !ok || p.placed[i] || three(e) || (a != s.node && b != s.node) {
				continue
			}
			next := other(a, b, s.node)
			if index(seen, next) >= 0 || p.trunkIndex(next) >= 0 {
				continue
			}
			path := append(append([]link(nil), s.path...), link{i, s.node, next})
			if next == to {
				return path, true
			}
			seen = append(seen, next)
			queue = append(queue, state{next, path})
		}
	}
	return nil, false
}

// chain follows unplaced elements of two nodes from start through element first
// as long as nothing else joins, and returns the node where it ends.
func (p *plan) chain(start string, first int) ([]link, string) {
	var links []link
	node, e := start, first
	for {
		a, b, _ := power(&p.elems[e])
		next := other(a, b, node)
		links = append(links, link{e, node, next})
		node = next
		if p.trunkIndex(node) >= 0 || index(p.lineAt, node) >= 0 || len(links) == maxTrunk {
			return links, node
		}
		if e = p.onlyOther(node, links); e < 0 {
			return links, node
		}
	}
}

// onlyOther returns the one unplaced element of two nodes at a node beside the
// chain so far, -1 where there is none or something else meets there.
func (p *plan) onlyOther(node string, links []link) int {
	found := -1
	for i := range p.elems {
		e := &p.elems[i]
		if index(e.Nodes, node) < 0 || inChain(links, i) {
			continue
		}
		_, _, ok := power(e)
		if !ok || three(e) || p.placed[i] || found >= 0 {
			return -1
		}
		found = i
	}
	return found
}

func inChain(links []link, elem int) bool {
	for _, l := range links {
		if l.elem == elem {
			return true
		}
	}
	return false
}

func (p *plan) place(links []link) {
	for _, l := range links {
		p.placed[l.elem] = true
	}
}

// starts lists the unplaced elements of two nodes at a node.
func (p *plan) starts(node string) []int {
	var list []int
	for i := range p.elems {
		a, b, ok := power(&p.elems[i])
		if ok && !p.placed[i] && !three(&p.elems[i]) && (a == node || b == node) {
			list = append(list, i)
		}
	}
	return list
}

// findSides takes chains from one node of the trunk to a lower one.
func (p *plan) findSides() {
	for i, node := range p.nodes {
		for _, e := range p.starts(node) {
			if p.placed[e] {
				continue
			}
			links, end := p.chain(node, e)
			if j := p.trunkIndex(end); j > i {
				p.place(links)
				p.sides = append(p.sides, column{i, j, links})
			}
		}
	}
}

// findPulls takes chains from the control line to the trunk's bottom or up to a
// supply.
func (p *plan) findPulls() {
	for n, node := range p.lineAt {
		for _, e := range p.starts(node) {
			if p.placed[e] {
				continue
			}
			links, end := p.chain(node, e)
			if end == p.bottom {
				p.place(links)
				p.pulls = append(p.pulls, pull{node: n, rail: -1, chain: links})
			} else if r := p.railAt(end); r >= 0 {
				p.place(links)
				p.placed[r] = true
				p.pulls = append(p.pulls, pull{node: n, up: true, rail: r, chain: links})
			}
		}
	}
}

// railAt returns the rail whose upper node this is, -1: none.
func (p *plan) railAt(node string) int {
	for i := range p.elems {
		e := &p.elems[i]
		if e.Role == design.RoleRail && len(e.Nodes) == 2 && e.Nodes[0] == node {
			return i
		}
	}
	return -1
}
