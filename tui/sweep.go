package tui

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/sheet"
)

// sweepView shows which verdict changes where while one quantity of the stage moves:
// a strip of signs for the design and one for each check that changes, with a cursor
// on a value. The places of change are the engine's.
type sweepView struct {
	got   *engine.Swept
	field string // that was asked for; "": the first
	span  int    // index into sweepSpans
	at    int    // point at the cursor
	strip int    // columns of the last strip
}

// sweepSpans are how far a quantity is moved, factors each way.
var sweepSpans = [...]float64{1.1, 1.25, 1.5, 2, 3, 5, 10, 30, 100}

const sweepSpanUsual = 3

// sweepLabel is the columns of a check's name before its strip; sweepRoom those of
// its room at the cursor behind it.
const (
	sweepLabel = 14
	sweepRoom  = 6
)

func (v *sweepView) reset() { *v = sweepView{span: sweepSpanUsual, field: v.field} }

func (v *sweepView) ask() engine.SweepAsk {
	return engine.SweepAsk{Field: v.field, Span: sweepSpans[v.span]}
}

// set takes an answer; the cursor goes to the value that the stage has.
func (v *sweepView) set(got *engine.Swept) {
	v.got, v.field = got, got.Of.Field
	v.at = v.nearest(got.Of.Now)
}

// nearest is the point nearest to a value.
func (v *sweepView) nearest(x float64) int {
	at := 0
	for i := range v.got.Points {
		if math.Abs(v.got.Points[i].X-x) < math.Abs(v.got.Points[at].X-x) {
			at = i
		}
	}
	return at
}

// Key takes one key and reports whether to ask anew.
func (v *sweepView) Key(act action) bool {
	if v.got == nil {
		return false
	}
	n := len(v.got.Points)
	switch act {
	case actLeft, actRight:
		v.step(act == actRight)
	case actUp, actDown:
		v.jump(act == actDown)
	case actTop:
		v.at = 0
	case actBottom:
		v.at = n - 1
	case actWider, actNarrower:
		to := v.span + 1
		if act == actNarrower {
			to = v.span - 1
		}
		if to < 0 || to >= len(sweepSpans) {
			return false
		}
		v.span = to
		return true
	case actNextPart, actPrevPart:
		return v.other(act == actNextPart)
	}
	return false
}

// other goes to another quantity of the design.
func (v *sweepView) other(next bool) bool {
	can := v.got.Can
	at := slices.IndexFunc(can, func(s engine.Sweepable) bool { return s.Field == v.got.Of.Field })
	step := 1
	if !next {
		step = len(can) - 1
	}
	v.field = can[(at+step)%len(can)].Field
	return len(can) > 1
}

// step goes to the next value that stands in another column.
func (v *sweepView) step(right bool) {
	x := v.column(v.got.Points[v.at].X, v.strip)
	by := 1
	if !right {
		by = -1
	}
	for i := v.at + by; i >= 0 && i < len(v.got.Points); i += by {
		v.at = i
		if v.column(v.got.Points[i].X, v.strip) != x {
			return
		}
	}
}

// jump goes to the next place of change: to its nearer side, then across it.
func (v *sweepView) jump(up bool) {
	here := v.got.Points[v.at].X
	best := -1
	for i := range v.got.Points {
		x := v.got.Points[i].X
		if !slices.ContainsFunc(v.got.Crossings, func(c engine.Crossing) bool { return c.Low == x || c.High == x }) {
			continue
		}
		if up && x > here && best < 0 || !up && x < here {
			best = i
		}
	}
	if best >= 0 {
		v.at = best
	}
}

// even reports whether equal steps, and not equal factors, are equally wide.
func (v *sweepView) even() bool {
	return v.got.Of.Unit == design.DegC || v.got.Of.Unit == design.One
}

// column is where a value stands in a strip of w columns.
func (v *sweepView) column(x float64, w int) int {
	low, high := v.got.Points[0].X, v.got.Points[len(v.got.Points)-1].X
	share := 0.0
	switch {
	case high <= low:
	case v.even():
		share = (x - low) / (high - low)
	default:
		share = math.Log(x/low) / math.Log(high/low)
	}
	return max(min(int(math.Round(share*float64(w-1))), w-1), 0)
}

// signs is a strip: the worst verdict of the points that stand in each column.
func (v *sweepView) signs(w int, of func(*engine.SweepPoint) design.Verdict) (string, []design.Verdict) {
	signs, verdicts := make([]byte, w), make([]design.Verdict, w)
	last := 0
	for i := range v.got.Points {
		p := &v.got.Points[i]
		x := v.column(p.X, w)
		verdict := of(p)
		sign := verdict.Sign()[0]
		if p.Out != "" {
			sign, verdict = '.', design.Over
		}
		for k := last + 1; k < x; k++ { // between two points it is as before
			signs[k], verdicts[k] = signs[last], verdicts[last]
		}
		if signs[x] == 0 || verdict > verdicts[x] {
			signs[x], verdicts[x] = sign, verdict
		}
		last = x
	}
	return string(signs), verdicts
}

// lanes are the checks that change, those of the changes nearest to the present value
// first.
func (v *sweepView) lanes() []engine.Limit {
	list := slices.Clone(v.got.Crossings)
	slices.SortStableFunc(list, func(a, b engine.Crossing) int {
		da, db := v.away(&a), v.away(&b)
		switch {
		case da < db:
			return -1
		case da > db:
			return 1
		}
		return 0
	})
	var out []engine.Limit
	for i := range list {
		k := engine.Limit{ID: list[i].ID, Stage: list[i].Stage}
		if !list[i].Ends && !slices.Contains(out, k) {
			out = append(out, k)
		}
	}
	return out
}

func (v *sweepView) away(c *engine.Crossing) float64 { return math.Abs(c.Low - v.got.Of.Now) }

// View draws it on w by h cells; nil before there is an answer.
func (v *sweepView) View(st *styles, w, h int) []string {
	g := v.got
	if g == nil || len(g.Points) == 0 {
		return nil
	}
	v.at = min(v.at, len(g.Points)-1)
	strip := max(w-sweepLabel-sweepRoom-2, 8)
	v.strip = strip
	p := &g.Points[v.at]
	say := func(x float64) string { return sheet.Solved(x, g.Of.Unit) }
	name := sheet.MovedName(&g.Of)
	out := []string{clip(fmt.Sprintf(" %s (%d of %d): now %s; every part stays as it is", name, 1+slices.IndexFunc(g.Can, func(s engine.Sweepable) bool { return s.Field == g.Of.Field }), len(g.Can), say(g.Of.Now)), w)}
	pad := blank(1 + sweepLabel)
	low, high := say(g.Points[0].X), say(g.Points[len(g.Points)-1].X)
	if h >= 9 {
		out = append(out, pad+low+blank(strip-width(low)-width(high))+high+st.dim.Render("  room"))
	}
	signs, verdicts := v.signs(strip, func(p *engine.SweepPoint) design.Verdict { return p.Verdict })
	out = append(out, " "+st.head.Render(fit("the stage", sweepLabel))+verdictRun(st, signs, verdicts)+fitRight(roomAt(p.Out, p.Headroom), sweepRoom))
	lanes := v.lanes()
	room := max(min(len(lanes), (h-7)/2), 0)
	for _, k := range lanes[:room] {
		signs, verdicts = v.signs(strip, func(p *engine.SweepPoint) design.Verdict { return p.Mark(k.ID, k.Stage).Verdict })
		out = append(out, " "+fit(sheet.ShortCheck(k.ID, k.Stage), sweepLabel)+verdictRun(st, signs, verdicts)+fitRight(roomAt(p.Out, p.Mark(k.ID, k.Stage).Headroom), sweepRoom))
	}
	out = append(out, pad+caret(v.column(p.X, strip), strip, say(p.X)))
	out = append(out, v.reading(st, p, say, w))
	if n := len(lanes) - room; n > 0 && h >= 12 {
		out = append(out, " "+st.dim.Render(clip(fmt.Sprintf("checks that change beside these: %d, in the list", n), w-1)))
	}
	list := v.changes(st, say, w, h-len(out))
	if spare := h - len(out) - len(list) - 1; spare >= sweepPlotLeast {
		out = append(out, v.plot(st, strip, min(spare, sweepPlotMost))...)
	}
	return append(out, list...)
}

// The fewest and the most lines of the plot of room, where they are to spare.
const (
	sweepPlotLeast = 6
	sweepPlotMost  = 21
)

// plot draws the room of the stage against the quantity, the limit as a line of its
// own: what fits stands above it. Where nothing is proven there is no room to draw.
func (v *sweepView) plot(st *styles, w, h int) []string {
	limit := h * 2 / 3
	most := 1.0
	for i := range v.got.Points {
		if p := &v.got.Points[i]; p.Out == "" && p.Headroom.OK {
			most = max(most, p.Headroom.V)
		}
	}
	top := min(max(math.Ceil(most*10)/10, 1.1), plotTopMost)
	cells := make([][]byte, h)
	paint := make([][]design.Verdict, h)
	for y := range cells {
		cells[y], paint[y] = []byte(blank(w)), make([]design.Verdict, w)
	}
	for i := range v.got.Points {
		p := &v.got.Points[i]
		if p.Out != "" || !p.Headroom.OK {
			continue
		}
		y := limit + 1 + int(math.Round((1-max(min(p.Headroom.V, 1), 0))*float64(h-limit-2)))
		if p.Headroom.V >= 1 {
			y = limit - 1 - int(math.Round(min((p.Headroom.V-1)/(top-1), 1)*float64(limit-1)))
		}
		x := v.column(p.X, w)
		cells[y][x], paint[y][x] = p.Verdict.Sign()[0], p.Verdict
	}
	out := make([]string, h)
	for y := range cells {
		label := ""
		switch y {
		case 0:
			label = fmt.Sprintf("room %.1f", top)
		case limit:
			label = "limit 1"
		case h - 1:
			label = "0"
		}
		line := verdictRun(st, string(cells[y]), paint[y])
		if y == limit {
			line = strings.Repeat("─", w)
		}
		out[y] = fitRight(label, sweepLabel) + " " + line
	}
	return out
}

func roomAt(out string, n design.Number) string {
	if out != "" {
		return ""
	}
	return sheet.Headroom(n)
}

// reading tells the stage at the cursor.
func (v *sweepView) reading(st *styles, p *engine.SweepPoint, say func(float64) string, w int) string {
	if p.Out != "" {
		return clip(" > "+say(p.X)+": no such stage: "+clean(p.Out), w)
	}
	text := st.verdict[p.Verdict].Render(verdictText(p.Verdict)) + ", room " + sheet.Headroom(p.Headroom)
	if p.Limiting != nil {
		text += ", " + sheet.ShortCheck(p.Limiting.ID, p.Limiting.Stage)
		if p.Verdict <= design.Tight {
			text += " runs out first"
		} else {
			text += " decides"
		}
	}
	return clip(" > at "+say(p.X)+": "+text, w)
}

// changes lists where verdicts change, around the cursor, on at most h lines.
func (v *sweepView) changes(st *styles, say func(float64) string, w, h int) []string {
	if h < 2 {
		return nil
	}
	g := v.got
	if len(g.Crossings) == 0 {
		return []string{" No verdict changes between these ends."}
	}
	head := " " + st.head.Render("verdicts that change, solved: the last value before and the first after")
	if w < 75 {
		head = " " + st.head.Render("what changes: last value before, first after")
	}
	here, at := g.Points[v.at].X, len(g.Crossings)-1
	for i := len(g.Crossings) - 1; i >= 0; i-- {
		if g.Crossings[i].High >= here {
			at = i
		}
	}
	lines := make([]string, 0, len(g.Crossings))
	for i := range g.Crossings {
		c := &g.Crossings[i]
		mark := "   "
		if c.Low == here || c.High == here {
			mark = " > "
		}
		lines = append(lines, clip(mark+v.change(st, c, say, w < 75), w))
	}
	out := []string{head}
	body := h - 1
	if body < 1 {
		return out
	}
	top := follow(at-body/2, at, len(lines), body)
	out = append(out, lines[top:min(top+body, len(lines))]...)
	if rest := len(lines) - top - body; rest > 0 {
		moreBelow(st, out, rest, w, at == top+body-1)
	}
	return out
}

func (v *sweepView) change(st *styles, c *engine.Crossing, say func(float64) string, narrow bool) string {
	paint := func(x design.Verdict) string {
		text := verdictText(x)
		if narrow {
			text = x.Sign()
		}
		return st.verdict[x].Render(text)
	}
	places := fit(say(c.Low), 9) + " " + fit(say(c.High), 9)
	if c.Ends {
		return places + "  no such stage beyond: " + clean(c.Out)
	}
	text := places + "  " + fit(sheet.ShortCheck(c.ID, c.Stage), sweepLabel) + paint(c.Before) + " to " + paint(c.After)
	switch {
	case !c.Changes():
	case c.DesignBefore == c.Before && c.DesignAfter == c.After:
		text += ", the stage too"
	default:
		text += ", the stage " + st.verdict[c.DesignBefore].Render(c.DesignBefore.Sign()) + " to " + st.verdict[c.DesignAfter].Render(c.DesignAfter.Sign())
	}
	return text
}
