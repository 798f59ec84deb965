package tui

import (
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
)

// sketch draws a layout at one cell for four columns and two lines.
func sketch(w, h int, r Rects) string {
	if r.TooSmall {
		return "too small"
	}
	rows := make([][]byte, h)
	for y := range rows {
		rows[y] = []byte(strings.Repeat(".", w))
	}
	fill := func(c Rect, ch byte) {
		for y := c.Y; y < c.Y+c.H; y++ {
			for x := c.X; x < c.X+c.W; x++ {
				if rows[y][x] != '.' {
					ch = '!' // two panes on one cell
				}
				rows[y][x] = ch
			}
		}
	}
	fill(r.Title, 't')
	fill(r.Cautions, 'c')
	fill(r.Rule, '-')
	fill(r.Panes[placeJob], 'J')
	fill(r.Panes[placeParts], 'P')
	fill(r.Panes[placeDesign], 'D')
	fill(r.Keys, 'k')
	var b strings.Builder
	for y := 0; y < h; y++ {
		line := ""
		for x := 0; x < w; x += 4 {
			line += string(rows[y][x])
		}
		if y == 0 || line != string(sampled(rows[y-1])) {
			b.WriteString(line + "\n")
		}
	}
	return b.String()
}

func sampled(row []byte) []byte {
	var out []byte
	for x := 0; x < len(row); x += 4 {
		out = append(out, row[x])
	}
	return out
}

func rep(s string, n int) string { return strings.Repeat(s, n) }

// Equal lines stand once. A separator is one column wide and may fall between
// the samples.
func TestLayout(t *testing.T) {
	head := func(n int) string { return rep("t", n) + "\n" + rep("c", n) + "\n" + rep("-", n) + "\n" }
	keys := func(n int) string { return rep("k", n) + "\n" }
	tests := []struct {
		name string
		w, h int
		at   place
		want string
	}{
		{"three panes", 200, 60, placeJob, head(50) + rep("J", 11) + "." + rep("P", 20) + rep("D", 18) + "\n" + keys(50)},
		{"two panes", 120, 40, placeJob, head(30) + rep("J", 11) + "." + rep("P", 18) + "\n" + keys(30)},
		{"two panes, the other has the keys", 120, 40, placeParts, head(30) + rep("J", 11) + "." + rep("P", 18) + "\n" + keys(30)},
		{"design alone", 120, 40, placeDesign, head(30) + rep("D", 30) + "\n" + keys(30)},
		{"job", 80, 24, placeJob, head(20) + rep("J", 20) + "\n" + keys(20)},
		{"parts", 80, 24, placeParts, head(20) + rep("P", 20) + "\n" + keys(20)},
		{"design", 80, 24, placeDesign, head(20) + rep("D", 20) + "\n" + keys(20)},
		{"small", 60, 20, placeParts, head(15) + rep("P", 15) + "\n" + keys(15)},
		{"least", minWidth, minHeight, placeJob, head(10) + rep("J", 10) + "\n" + keys(10)},
		{"too narrow", minWidth - 1, 24, placeJob, "too small"},
		{"too low", 80, minHeight - 1, placeJob, "too small"},
		{"nothing", 0, 0, placeJob, "too small"},
		{"negative", -5, -1, placeJob, "too small"},
	}
	for _, tt := range tests {
		if got := sketch(tt.w, tt.h, Layout(tt.w, tt.h, tt.at)); got != tt.want {
			t.Errorf("%s: got\n%s\nwant\n%s", tt.name, got, tt.want)
		}
	}
}

// Every cell belongs to one rectangle, separators apart, and none is outside.
func TestLayoutCovers(t *testing.T) {
	for w := minWidth; w <= 240; w += 7 {
		for h := minHeight; h <= 70; h += 3 {
			for at := range numPlaces {
				r := Layout(w, h, at)
				sum := 0
				for _, c := range []Rect{r.Title, r.Cautions, r.Rule, r.Keys, r.Panes[0], r.Panes[1], r.Panes[2]} {
					if c.W < 0 || c.H < 0 || c.X < 0 || c.Y < 0 || c.X+c.W > w || c.Y+c.H > h {
						t.Fatalf("%dx%d %v: %v is outside", w, h, at, c)
					}
					sum += c.W * c.H
				}
				body := r.Panes[at].H
				if sum+len(r.separators)*body != w*h {
					t.Fatalf("%dx%d %v: covers %d of %d cells", w, h, at, sum, w*h)
				}
			}
		}
	}
}

// The last cell of the last line stays empty at every size: the toolkit would clear it
// where the frame before was higher.
func TestLastCellStaysEmpty(t *testing.T) {
	for _, keys := range states {
		m := open(t, &fake{}, 80, 24)
		press(m, keys...)
		for w := minWidth; w <= 130; w += 3 {
			send(m, tea.WindowSizeMsg{Width: w, Height: 24})
			lines := strings.Split(m.View(), "\n")
			if last := lines[len(lines)-1]; width(last) > w-lastCell {
				t.Errorf("%v at %d columns: the last line is %q", keys, w, last)
			}
		}
	}
}

// What speaks against writing is told whole, whatever the name of the file.
func TestDoubtIsToldWhole(t *testing.T) {
	long := "/home/somebody/with/a/name/that/goes/on/and/on/pinhoist/parts.toml"
	for _, tt := range []struct {
		name string
		w    int
		want string
	}{
		{"a.toml", 79, "! a.toml: it is there already. Write over it?"},
		{long, 79, "! parts.toml: it is there already. Write over it?"},
		{long, 45, "! it is there already. Write over it?"},
	} {
		if got := doubtLine(tt.name, "it is there already", tt.w); got != tt.want {
			t.Errorf("%s on %d columns: %q", tt.name, tt.w, got)
		}
	}
}
