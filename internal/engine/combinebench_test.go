package engine

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"example.org/pinhoist/internal/job"
)

// twentyLoads is a machine with twenty loads of all sorts on four rails, on a
// controller whose pins may give 200 mA together unless pins says other.
func twentyLoads(t testing.TB, pins string) *job.Spec {
	t.Helper()
	var b strings.Builder
	fmt.Fprintf(&b, "schema = 1\n[pin]\nrail_current_max = \"3 A\"\n%s\n", pins)
	for _, r := range []string{"five:5 V", "twelve:12 V", "fifteen:15 V", "twentyfour:24 V"} {
		name, volts, _ := strings.Cut(r, ":")
		fmt.Fprintf(&b, "[[rail]]\nname = %q\nvoltage = %q\ntolerance = \"5 %%\"\ncurrent_max = \"40 A\"\n", name, volts)
	}
	bodies := []string{
		"kind = \"solenoid\"\nrail = \"twelve\"\ncurrent = \"0.8 A\"\ninductance = \"60 mH\"\n",
		"kind = \"resistive\"\nrail = \"twelve\"\ncurrent = \"0.5 A\"\n",
		"kind = \"led\"\nrail = \"twentyfour\"\ncurrent = \"1.5 A\"\n",
		"kind = \"motor\"\nrail = \"twelve\"\ncurrent = \"0.6 A\"\nstall_current = \"2.5 A\"\nstall_time = \"1 s\"\ninductance = \"2 mH\"\n",
		"kind = \"coil\"\nrail = \"twentyfour\"\nresistance = \"1.1 kohm\"\ninductance = \"0.8 H\"\n",
		"kind = \"led\"\nrail = \"five\"\ncurrent = \"60 mA\"\n",
		"kind = \"resistive\"\nrail = \"twentyfour\"\ncurrent = \"2.2 A\"\n",
		"kind = \"lamp\"\nrail = \"twelve\"\ncurrent = \"0.2 A\"\n",
		"kind = \"solenoid\"\nrail = \"twentyfour\"\ncurrent = \"0.35 A\"\ninductance = \"0.2 H\"\n",
		"kind = \"electronic\"\nrail = \"twelve\"\npower = \"6 W\"\n",
		"kind = \"resistive\"\nrail = \"fifteen\"\ncurrent = \"0.15 A\"\n",
		"kind = \"motor\"\nrail = \"five\"\ncurrent = \"0.15 A\"\nstall_current = \"0.7 A\"\nstall_time = \"1 s\"\ninductance = \"3 mH\"\nmode = \"pwm\"\npwm_frequency = \"1 kHz\"\n",
		"kind = \"led\"\nrail = \"twelve\"\ncurrent = \"0.35 A\"\nmode = \"pwm\"\npwm_frequency = \"500 Hz\"\n",
		"kind = \"coil\"\nrail = \"five\"\nresistance = \"70 ohm\"\ninductance = \"0.3 H\"\nrelease_within = \"30 ms\"\nmechanical_release_time = \"5 ms\"\n",
		"kind = \"resistive\"\nrail = \"five\"\ncurrent = \"1 A\"\n",
		"kind = \"solenoid\"\nrail = \"twelve\"\ncurrent = \"1.6 A\"\ninductance = \"25 mH\"\nrelease_within = \"60 ms\"\nmechanical_release_time = \"5 ms\"\n",
		"kind = \"led\"\nrail = \"five\"\ncurrent = \"15 mA\"\n",
		"kind = \"signal\"\nrail = \"twentyfour\"\ncurrent = \"5 mA\"\n",
		"kind = \"resistive\"\nrail = \"twelve\"\ncurrent = \"3.5 A\"\n",
		"kind = \"led\"\nrail = \"twelve\"\ncurrent = \"90 mA\"\n",
	}
	for i, body := range bodies {
		fmt.Fprintf(&b, "[[load]]\nname = \"load %02d\"\n%s", i, body)
	}
	spec, errs := job.Decode("twenty.toml", []byte(b.String()))
	if errs.Fatal() {
		t.Fatal(errs)
	}
	return spec
}

// TestTwentyLoads: the whole catalogue, at most six types, is finished exactly,
// and so is everything around it.
func TestTwentyLoads(t *testing.T) {
	in := benchInput(t, twentyLoads(t, ""))
	ctx := context.Background()
	res, err := Assess(ctx, in, Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range res.Loads {
		n := 0
		for i := range l.Rows {
			if l.Rows[i].Verdict == 0 {
				n++
			}
		}
		if n < 3 {
			t.Errorf("%s: %d designs fit", l.Name, n)
		}
	}
	got, err := Combine(ctx, in, res, Wish{Types: 6})
	if err != nil {
		t.Fatal(err)
	}
	if !got.Proven || got.Unmet != nil || len(got.Types) > 6 || len(got.Trade) < 3 {
		t.Fatalf("proven %v, unmet %+v, types %v, table %+v", got.Proven, got.Unmet, got.Types, got.Trade)
	}
	last := got.Trade[0]
	for _, row := range got.Trade[1:] {
		if !row.Proven || row.Types <= last.Types || row.Cost.Amount.V >= last.Cost.Amount.V {
			t.Errorf("row %+v behind %+v", row, last)
		}
		last = row
	}
	for _, row := range got.Trade {
		t.Log(row.Types, row.Cost.Amount.V, row.Parts, row.Proven)
	}
	t.Log(got.Cost, got.Checks[0].Stress, got.Checks[0].Rating, len(res.Together.Types), res.Together.Cost, res.Together.Checks[0].Stress, res.Together.Proven)
}

// BenchmarkTogether is the pick of twenty loads with at most six types of
// switching part, with the table of types against cost; and the pick alone.
func BenchmarkTogether(b *testing.B) {
	for _, pins := range []string{"", "total_current_max = \"30 mA\"\ngroup_current_max = \"25 mA\"\n"} {
		b.Run(pins, func(b *testing.B) { benchTogether(b, benchInput(b, twentyLoads(b, pins))) })
	}
}

func benchTogether(b *testing.B, in *Input) {
	ctx := context.Background()
	res, err := Assess(ctx, in, Options{})
	if err != nil {
		b.Fatal(err)
	}
	for _, w := range []Wish{{Types: 6}, {Types: 6, Headroom: 1.5}, {Types: 4}, {}, {Types: 1}} {
		b.Run(fmt.Sprintf("types=%d,headroom=%g", w.Types, w.Headroom), func(b *testing.B) {
			for b.Loop() {
				p := newPicker(ctx, in, res.Loads, w, searchWork)
				p.solve(query{limit: p.types(), headroom: w.Headroom})
			}
		})
		b.Run(fmt.Sprintf("types=%d,headroom=%g,table", w.Types, w.Headroom), func(b *testing.B) {
			for b.Loop() {
				if _, err := Combine(ctx, in, res, w); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
	b.Run("brief", func(b *testing.B) {
		for b.Loop() {
			together(ctx, in, res.Loads)
		}
	})
	one := res.Loads[:1]
	b.Run("brief, one load", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			together(ctx, in, one)
		}
	})
}
