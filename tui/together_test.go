package tui

import (
	"context"
	"strings"
	"testing"

	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/job"
)

// pairAsker is the fake with an answer for all loads together.
type pairAsker struct {
	fake
	short bool // one load has no design
}

func (p *pairAsker) Assess(ctx context.Context, in *engine.Input) (*engine.Result, error) {
	res, err := p.fake.Assess(ctx, in)
	if err == nil {
		res.Together = engine.Together{Verdict: design.Over, Checks: []design.Check{{ID: design.RailCurrent}},
			Cost: design.Money{Amount: design.Known(0.76), Currency: "EUR"}, Pick: []string{"one", "two"}}
		if p.short {
			res.Together.Pick[1] = ""
		}
	}
	return res, err
}

// The title of a wide screen says what the picks of all loads come to; that of a
// job of one load, or a narrow one, does not.
func TestTogetherInTheTitle(t *testing.T) {
	spec := job.Demo()
	spec.Loads = append(spec.Loads, spec.Loads[0])
	spec.Loads[1].Name = "second latch"
	for _, tc := range []struct {
		spec *job.Spec
		w    int
		want bool
	}{{spec, 140, true}, {spec, 80, false}, {job.Demo(), 140, false}} {
		m := openOn(t, tc.spec, &pairAsker{}, tc.w, 40)
		line := m.draw()[0]
		if got := strings.Contains(line, "together: x over, 0.76 EUR"); got != tc.want {
			t.Errorf("%d loads at %d columns: %q", len(tc.spec.Loads), tc.w, line)
		}
		if width(line) > tc.w {
			t.Errorf("the title is %d wide of %d", width(line), tc.w)
		}
	}
	if line := openOn(t, spec, &pairAsker{short: true}, 140, 40).draw()[0]; !strings.Contains(line, "together: x, 1 of 2 loads served") {
		t.Errorf("with a load that nothing serves: %q", line)
	}
}
