package tui

import (
	"math"
	"strconv"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/job"
)

// luminance is that of WCAG 2.1, of a colour "#rrggbb".
func luminance(hex string) float64 {
	sum := 0.0
	for i, w := range []float64{0.2126, 0.7152, 0.0722} {
		n, _ := strconv.ParseUint(hex[1+2*i:3+2*i], 16, 8)
		c := float64(n) / 255
		if c <= 0.03928 {
			c /= 12.92
		} else {
			c = math.Pow((c+0.055)/1.055, 2.4)
		}
		sum += w * c
	}
	return sum
}

func contrast(a, b string) float64 {
	x, y := luminance(a), luminance(b)
	return (max(x, y) + 0.05) / (min(x, y) + 0.05)
}

// Every colour can be read on its ground: 4.5 to 1 by WCAG 2.1, 1.4.3, on plain black
// and white and on the softer grounds of usual themes.
func TestInksAreLegible(t *testing.T) {
	if got := contrast("#000000", "#ffffff"); math.Abs(got-21) > 1e-9 { // WCAG 2.1: 21 at the most
		t.Fatalf("black on white is %g", got)
	}
	for _, tt := range []struct {
		inks    inks
		grounds []string
	}{{darkInks, []string{"#000000", "#1e1e1e", "#282c34"}}, {lightInks, []string{"#ffffff", "#fafafa", "#f2eede"}}} {
		for _, ink := range []string{tt.inks.fits, tt.inks.tight, tt.inks.unproven, tt.inks.over, tt.inks.head} {
			for _, g := range tt.grounds {
				if c := contrast(ink, g); c < 4.5 {
					t.Errorf("%s on %s has a contrast of %.2f", ink, g, c)
				}
			}
		}
	}
}

// Whatever a terminal has of colours, the text is the same, and no colour of another
// sort is sent to it.
func TestColoursChangeNoText(t *testing.T) {
	screen := func(o Options, w, h int) string {
		o.Spec, o.Catalog, o.Policies, o.Asker = job.Demo(), &catalog.Catalog{Currency: "EUR"}, catalog.Policies(), &fake{}
		m := New(o)
		m.later = func(int) tea.Cmd { return nil }
		run(m, m.Init())
		send(m, tea.WindowSizeMsg{Width: w, Height: h})
		press(m, "tab")
		return m.View()
	}
	for _, s := range [][2]int{{60, 20}, {80, 24}, {120, 40}, {200, 60}} {
		plain := screen(Options{NoColor: true}, s[0], s[1])
		if strings.Contains(plain, "\x1b") {
			t.Error("without colours something is styled")
		}
		seen := map[string]bool{}
		for _, o := range []Options{{}, {Colours: 256, Ground: GroundDark}, {Colours: 256, Ground: GroundLight}, {Colours: 1 << 24, Ground: GroundDark}, {Colours: 1 << 24, Ground: GroundLight}, {Colours: 256}} {
			got := screen(o, s[0], s[1])
			lines := strings.Split(ansi.Strip(got), "\n")
			for i := range lines {
				lines[i] = strings.TrimRight(lines[i], " ") // a styled one may end in some
			}
			if strings.Join(lines, "\n") != plain {
				t.Errorf("%+v: another text:\n%s", o, got)
			}
			if cube := strings.Contains(got, "38;5;"); cube != (o.Colours == 256 && o.Ground != GroundUnknown) {
				t.Errorf("%+v: colours of the cube: %v", o, cube)
			}
			if full := strings.Contains(got, "38;2;"); full != (o.Colours == 1<<24) {
				t.Errorf("%+v: colours of all: %v", o, full)
			}
			seen[got] = true
		}
		if len(seen) != 5 {
			t.Errorf("%d looks, want 5", len(seen))
		}
	}
}
