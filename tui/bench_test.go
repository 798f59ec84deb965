package tui

import (
	"context"
	"fmt"
	"runtime"
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

// One message with the frame after it, beside what the engine does meanwhile: a row down
// on Parts, another order, a character of a field on Job, one of the text filter, and an
// answer that arrives. Of each the 99th percentile is told beside the mean: by the clock,
// in time of the processor alone, which other work on the machine disturbs less, and in
// kilobytes that were allocated.
func BenchmarkKey(b *testing.B) {
	for _, n := range []int{1000, 10000} {
		ask := &many{}
		for i := range n {
			v := design.Verdict(i * 4 / n)
			ask.rows = append(ask.rows, fakeRow(fmt.Sprintf("part-%05d", i), "n-mosfet-low", v, 2-1.5*float64(i)/float64(n), design.OnCurrent, 0.1+float64(i)/100))
		}
		backspace := tea.KeyMsg{Type: tea.KeyBackspace}
		for _, c := range []struct {
			name string
			open []string
			keys []tea.Msg
		}{
			{"row", []string{"tab"}, []tea.Msg{tea.KeyMsg{Type: tea.KeyDown}}},
			{"order", []string{"tab"}, []tea.Msg{runeKey('o')}},
			{"typing", []string{"down", "ctrl+u"}, []tea.Msg{runeKey('1'), backspace}},
			{"text", []string{"tab", "/", "pa"}, []tea.Msg{runeKey('r'), backspace}},
			{"answer", nil, nil},
		} {
			b.Run(fmt.Sprintf("%s/%d", c.name, n), func(b *testing.B) {
				m := New(Options{Spec: job.Demo(), Catalog: &catalog.Catalog{Currency: "EUR"}, Policies: catalog.Policies(), Asker: ask})
				m.later = func(int) tea.Cmd { return nil }
				run(m, m.Init())
				send(m, tea.WindowSizeMsg{Width: 120, Height: 40})
				press(m, c.open...)
				if c.keys == nil {
					c.keys = []tea.Msg{assessedMsg{seq: m.seq, result: m.result}}
				}
				runtime.LockOSThread() // whose time is read
				defer runtime.UnlockOSThread()
				var clock, cpu, bytes []float64
				b.ReportAllocs()
				for b.Loop() {
					key := c.keys[len(clock)%len(c.keys)]
					had, worked, start := allocated(), threadTime(), time.Now()
					m.Update(key)
					m.View()
					took, work := time.Since(start), threadTime()-worked
					bytes = append(bytes, allocated()-had)
					clock, cpu = append(clock, took.Seconds()), append(cpu, work.Seconds())
				}
				p99 := func(list []float64) float64 {
					slices.Sort(list)
					return list[len(list)*99/100]
				}
				b.ReportMetric(p99(clock)*1e3, "p99-ms")
				b.ReportMetric(p99(cpu)*1e3, "p99-cpu-ms")
				b.ReportMetric(p99(bytes)/1e3, "p99-kB")
			})
		}
	}
}

// allocated is what the program has allocated so far, bytes.
func allocated() float64 {
	var s runtime.MemStats
	runtime.ReadMemStats(&s)
	return float64(s.TotalAlloc)
}
