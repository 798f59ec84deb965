package tui

import (
	"fmt"
	"math"
	"strings"

	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/sheet"
)

// driveView shows whether what the pin gives is enough: on-resistance against gate
// voltage, or on voltage against base current, with the points that are stated; what
// is proven, unproven and impossible; and a cursor that reads every value.
type driveView struct {
	got *engine.Driven
	at  int // sample at the cursor
}

// set takes an answer; the cursor goes to the drive that the stage gives.
func (v *driveView) set(got *engine.Driven) {
	v.got, v.at = got, 0
	for i := range got.Curve {
		if got.Given.OK && got.Curve[i].X <= got.Given.V*(1+1e-12) {
			v.at = i
		}
	}
}

// driveUnit is the unit of the drive, and of what a curve shows.
func (v *driveView) units() (x, y design.Unit) {
	if v.got.Gate {
		return design.V, design.Ohm
	}
	return design.A, design.V
}

// Key takes one key.
func (v *driveView) Key(act action) {
	if v.got == nil {
		return
	}
	n := len(v.got.Curve)
	switch act {
	case actLeft:
		v.at--
	case actRight:
		v.at++
	case actPageUp:
		v.at -= n / 10
	case actPageDown:
		v.at += n / 10
	case actTop:
		v.at = 0
	case actBottom:
		v.at = n - 1
	case actUp, actDown:
		v.jump(act == actDown)
	}
	v.at = max(min(v.at, n-1), 0)
}

// jump goes to the next sample whose verdict is another one.
func (v *driveView) jump(up bool) {
	c := v.got.Curve
	if up {
		for i := v.at + 1; i < len(c); i++ {
			if c[i].Verdict != c[i-1].Verdict {
				v.at = i
				return
			}
		}
		return
	}
	for i := v.at - 1; i > 0; i-- {
		if c[i].Verdict != c[i-1].Verdict {
			v.at = i
			return
		}
	}
	v.at = 0
}

// driveFrame is the columns left of the grid.
const driveFrame = 11

// View draws it on w by h cells; nil before there is an answer.
func (v *driveView) View(st *styles, w, h int) []string {
	g := v.got
	if g == nil || len(g.Curve) == 0 {
		return nil
	}
	v.at = max(min(v.at, len(g.Curve)-1), 0)
	foot := v.reading(st, w)
	head := v.heading(st, w)
	gw := max(w-driveFrame-2, 8)
	bands := v.bands(st, gw)
	rows := h - len(head) - len(bands) - len(foot)
	if rows < 4 {
		head, rows = head[:1], h-1-len(bands)-len(foot)
	}
	out := head
	if rows >= 3 {
		out = append(out, v.plot(st, gw, rows)...)
	}
	out = append(out, bands...)
	return window(append(out, foot...), 0, h)
}

func (v *driveView) heading(st *styles, w int) []string {
	g := v.got
	x, _ := v.units()
	what := "base current"
	if g.Gate {
		what = "gate voltage"
	}
	verdict := st.verdict[g.Check.Verdict].Render(verdictText(g.Check.Verdict))
	first := fmt.Sprintf(" %s: the %s of %s for %s", verdict, what, clean(g.Part), sheet.AtMost(design.Known(g.I), design.A))
	second := " it gets at least " + sheet.AtLeast(g.Given, x)
	if g.Gate && g.Most.OK {
		second += ", at most " + sheet.AtMost(g.Most, x)
		if g.Limit.OK {
			second += "; it bears " + sheet.AtLeast(g.Limit, x)
		}
	}
	if !g.Gate && g.Overdriven > 1 {
		second += fmt.Sprintf("; proven at %.3g times the need of the least gain", g.Overdriven)
	}
	return []string{clip(first, w), clip(second, w)}
}

// column is where a drive stands on w columns, from 0 on.
func (v *driveView) column(x float64, w int) int {
	return max(min(int(math.Round(x/v.got.Top*float64(w-1))), w-1), 0)
}

// sampleAt is the sample that stands in a column.
func (v *driveView) sampleAt(col, w int) *engine.DriveSample {
	n := len(v.got.Curve)
	return &v.got.Curve[max(min(int(math.Round(float64(col)/float64(max(w-1, 1))*float64(n)))-1, n-1), 0)]
}

// span is the least and the greatest value that the plot shows.
func (v *driveView) span() (low, high float64) {
	low, high = math.Inf(1), 0
	take := func(n design.Number) {
		if n.OK && n.V > 0 {
			low, high = math.Min(low, n.V), math.Max(high, n.V)
		}
	}
	for i := range v.got.Curve {
		take(v.got.Curve[i].Y)
	}
	for _, p := range v.got.Stated {
		take(p.Max)
		take(p.Typ)
	}
	if high == 0 {
		for i := range v.got.Curve {
			take(v.got.Curve[i].Estimate)
		}
	}
	if high == 0 {
		return 0, 0
	}
	// Estimates run away towards the threshold: three times the greatest that is stated.
	return low / 1.3, high * 3
}

func (v *driveView) plot(st *styles, w, h int) []string {
	low, high := v.span()
	if high <= low {
		return []string{" Nothing is stated that could be drawn."}
	}
	row := func(y float64) int {
		return int(math.Round(math.Log(high/y) / math.Log(high/low) * float64(h-1)))
	}
	cells := make([][]byte, h)
	for y := range cells {
		cells[y] = []byte(strings.Repeat(" ", w))
	}
	put := func(x int, y float64, sign byte) {
		if r := row(y); y > 0 && r >= 0 && r < h && x >= 0 && x < w {
			cells[r][x] = sign
		}
	}
	for x := range w {
		s := v.sampleAt(x, w)
		switch {
		case s.Y.OK:
			put(x, s.Y.V, '#')
		case s.Estimate.OK:
			put(x, s.Estimate.V, '.')
		}
	}
	for _, p := range v.got.Stated {
		x := v.column(p.X, w)
		if p.Typ.OK {
			put(x, p.Typ.V, 't')
		}
		if p.Max.OK && p.Serves {
			put(x, p.Max.V, 'O')
		} else if p.Max.OK {
			put(x, p.Max.V, 'o')
		}
	}
	_, unit := v.units()
	out := make([]string, h)
	for y := range cells {
		label := ""
		switch y {
		case 0:
			label = sheet.Solved(round2(high), unit)
		case h - 1:
			label = sheet.Solved(round2(low), unit)
		}
		line := string(cells[y])
		if at := v.column(v.got.Curve[v.at].X, w); cells[y][at] == ' ' {
			line = line[:at] + ":" + line[at+1:]
		}
		out[y] = fitRight(label, driveFrame-1) + " " + line
	}
	return out
}

func round2(x float64) float64 {
	p := math.Pow(10, 1-math.Floor(math.Log10(x)))
	return math.Round(x*p) / p
}

// bands are the lines below the plot: what is proven, the threshold, what is given.
func (v *driveView) bands(st *styles, w int) []string {
	g := v.got
	signs, verdicts := make([]byte, w), make([]design.Verdict, w)
	for x := range w {
		s := v.sampleAt(x, w)
		signs[x], verdicts[x] = s.Verdict.Sign()[0], s.Verdict
	}
	label := func(s string) string { return fitRight(s, driveFrame-1) + " " }
	out := []string{label("verdict") + verdictRun(st, string(signs), verdicts)}
	if g.Gate && g.VthMin.OK && g.VthMax.OK {
		out = append(out, label("threshold")+v.bar(g.VthMin.V, g.VthMax.V, w))
	}
	if g.Given.OK {
		most := g.Given.V
		if g.Most.OK {
			most = g.Most.V
		}
		out = append(out, label("given")+v.bar(g.Given.V, most, w))
	}
	x, _ := v.units()
	top := sheet.Solved(round2(g.Top), x)
	return append(out, blank(driveFrame)+"0"+blank(w-1-width(top))+top)
}

func (v *driveView) bar(from, to float64, w int) string {
	a, b := v.column(from, w), v.column(to, w)
	if a == b {
		return blank(a) + "|"
	}
	return blank(a) + "[" + strings.Repeat("=", b-a-1) + "]"
}

// reading tells everything at the cursor.
func (v *driveView) reading(st *styles, w int) []string {
	g := v.got
	s := &g.Curve[v.at]
	x, y := v.units()
	word := map[design.Verdict]string{design.Fits: "proven", design.Tight: "enough, short of the overdrive asked", design.Unproven: "unproven", design.Over: "impossible, by the figures there are"}[s.Verdict]
	text := "> " + sheet.Solved(s.X, x) + ": " + s.Verdict.Sign() + " " + word
	what := "on-resistance"
	if !g.Gate {
		what = "on voltage"
	}
	switch {
	case s.Y.OK:
		text += ", " + what + " at most " + sheet.AtMost(s.Y, y)
	case s.Estimate.OK:
		text += ", " + what + " about " + sheet.AtMost(s.Estimate, y) + ", not guaranteed"
	case s.Verdict <= design.Tight: // the gain alone says nothing of the voltage
		text += ", " + what + " not stated"
	}
	if s.Carries.OK {
		if g.Gate {
			text += ", a worst part carries " + sheet.AtLeast(s.Carries, design.A) + " by the square law"
		} else {
			text += ", the least gain carries " + sheet.AtLeast(s.Carries, design.A)
		}
	}
	out := wrapAt(" ", text, w)
	plain := s.Verdict.Sign() + " " + word
	out[0] = strings.Replace(out[0], plain, st.verdict[s.Verdict].Render(plain), 1)
	if len(g.Edges) > 0 {
		var parts []string
		for _, e := range g.Edges {
			parts = append(parts, verdictText(e.After)+" from "+sheet.Solved(e.High, x)+" on")
		}
		out = append(out, clip(" "+strings.Join(parts, "; "), w))
	}
	key := "# guaranteed  . estimate  O stated  o stated for less current  t typical"
	if !g.Gate {
		key = "# guaranteed  . typical  O stated saturation, at this current"
	}
	return append(out, " "+st.dim.Render(clip(key, w-1)))
}
