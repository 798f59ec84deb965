package tui

import (
	"context"
	"fmt"
	"slices"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/job"
)

// many answers with a number of rows.
type many struct {
	fake
	rows []engine.Row
}

func (f *many) Assess(ctx context.Context, in *engine.Input) (*engine.Result, error) {
	res, err := f.fake.Assess(ctx, in)
	if err == nil {
		res.Loads[0].Rows = f.rows
	}
	return res, err
}

// One key with the frame after it, beside what the engine does meanwhile: a row down
// on Parts, and a character of a field on Job.
func BenchmarkKey(b *testing.B) {
	for _, n := range []int{1000, 10000} {
		ask := &many{}
		for i := range n {
			v := design.Verdict(i * 4 / n)
			ask.rows = append(ask.rows, fakeRow(fmt.Sprintf("part-%05d", i), "n-mosfet-low", v, 2-1.5*float64(i)/float64(n), design.OnCurrent, 0.1+float64(i)/100))
		}
		for name, keys := range map[string][]tea.KeyMsg{
			"row":    {{Type: tea.KeyDown}},
			"order":  {runeKey('o')},
			"typing": {runeKey('1'), {Type: tea.KeyBackspace}},
		} {
			b.Run(fmt.Sprintf("%s/%d", name, n), func(b *testing.B) {
				m := New(Options{Spec: job.Demo(), Catalog: &catalog.Catalog{Currency: "EUR"}, Policies: catalog.Policies(), Asker: ask})
				m.later = func(int) tea.Cmd { return nil }
				run(m, m.Init())
				send(m, tea.WindowSizeMsg{Width: 120, Height: 40})
				if name == "typing" {
					press(m, "down", "ctrl+u")
				} else {
					press(m, "tab")
				}
				var took []time.Duration
				b.ReportAllocs()
				i := 0
				for b.Loop() {
					start := time.Now()
					m.Update(keys[i%len(keys)])
					m.View()
					took = append(took, time.Since(start))
					i++
				}
				slices.Sort(took)
				b.ReportMetric(float64(took[len(took)*99/100].Microseconds())/1000, "p99-ms")
			})
		}
	}
}
