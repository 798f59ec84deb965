package tui

import (
	"context"

	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/job"
)

// Sweep answers with three points and one place of change, at twice the value.
func (f *fake) Sweep(ctx context.Context, _ *engine.Input, _ string, ask engine.SweepAsk) (*engine.Swept, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	can := []engine.Sweepable{{Field: "rail[0].voltage", Now: 12, Unit: design.V, Own: true}, {Field: "environment.ambient_max", Now: 40, Unit: design.DegC}, {Field: "r_gate", Now: 270, Unit: design.Ohm}}
	s := &engine.Swept{Can: can, Of: can[0], Span: ask.Span}
	for _, c := range can {
		if c.Field == ask.Field {
			s.Of = c
		}
	}
	now := s.Of.Now
	point := func(x float64, blocking, heat design.Verdict, room float64) engine.SweepPoint {
		p := engine.SweepPoint{X: x, Verdict: max(blocking, heat), Limiting: &engine.Limit{ID: design.BlockingVoltage},
			Marks: []engine.Mark{{ID: design.BlockingVoltage, Verdict: blocking, Headroom: design.Known(room)}, {ID: design.JunctionTemperature, Verdict: heat, Headroom: design.Known(room + 0.2)}}}
		p.Headroom = design.Known(room)
		return p
	}
	s.Here = point(now, design.Fits, design.Fits, 1.05)
	s.Points = []engine.SweepPoint{point(now/ask.Span, design.Fits, design.Fits, 1.9), point(now*0.9, design.Fits, design.Fits, 1.2), s.Here,
		point(now*1.04, design.Fits, design.Fits, 1), point(now*1.05, design.Tight, design.Fits, 0.99), point(now*1.06, design.Over, design.Fits, 0.8), point(now*1.07, design.Over, design.Tight, 0.7)}
	last := engine.SweepPoint{X: now * ask.Span, Out: "the rail is hazardous, and nothing isolates"}
	s.Points = append(s.Points, last)
	s.Crossings = []engine.Crossing{
		{ID: design.BlockingVoltage, Low: now * 1.04, High: now * 1.05, Before: design.Fits, After: design.Tight, DesignBefore: design.Fits, DesignAfter: design.Tight},
		{ID: design.BlockingVoltage, Low: now * 1.05, High: now * 1.06, Before: design.Tight, After: design.Over, DesignBefore: design.Tight, DesignAfter: design.Over},
		{ID: design.JunctionTemperature, Low: now * 1.06, High: now * 1.07, Before: design.Fits, After: design.Tight, DesignBefore: design.Over, DesignAfter: design.Over},
		{Ends: true, Low: now * 1.07, High: now * ask.Span, Out: last.Out},
	}
	return s, nil
}

// Drive answers with a MOSFET of 2 V threshold that is stated from 4.5 V on.
func (f *fake) Drive(ctx context.Context, _ *engine.Input, _ string) (*engine.Driven, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	gate := &design.Check{ID: design.GateDrive, Stress: design.Known(4.5), Rating: design.Known(4.7), Unit: design.V}
	design.Judge(gate)
	d := &engine.Driven{Part: "n-55v-a", Gate: true, Check: gate, I: 1.094, Given: design.Known(4.7), Most: design.Known(5.25), Limit: design.Known(20),
		VthMin: design.Known(1), VthMax: design.Known(2.5), Top: 11, Overdriven: 1,
		Stated: []engine.DrivePoint{{X: 4.5, At: 8, Max: design.Known(0.055), Serves: true}, {X: 10, At: 10, Max: design.Known(0.045), Typ: design.Known(0.03), Serves: true}}}
	for k := 1; k <= 110; k++ {
		s := engine.DriveSample{X: float64(k) / 10, Verdict: design.Over}
		switch x := s.X; {
		case x >= 10:
			s.Verdict, s.Y = design.Fits, design.Known(0.045)
		case x >= 4.5:
			s.Verdict, s.Y = design.Fits, design.Known(0.055)
		case x > 2.5:
			s.Estimate = design.Known(0.055 * 2 / (x - 2.5))
			if x >= 3 {
				s.Verdict = design.Unproven
			}
		}
		if s.X > 2.5 {
			s.Carries = design.Known(9 * (s.X - 2.5) * (s.X - 2.5) / 2)
		}
		d.Curve = append(d.Curve, s)
	}
	d.Edges = []engine.DriveEdge{{Low: 2.99, High: 3, Before: design.Over, After: design.Unproven}, {Low: 4.499, High: 4.5, Before: design.Unproven, After: design.Fits}}
	return d, nil
}

// Breaks answers with three changes: one that kills, one that is unproven, one that
// nothing minds.
func (f *fake) Breaks(ctx context.Context, in *engine.Input, key string) ([]engine.Break, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	det, err := f.Detail(ctx, in, key)
	if err != nil {
		return nil, err
	}
	made := func(c design.Check) *design.Design {
		d := *det.Design
		design.Judge(&c)
		d.Checks = append(append([]design.Check(nil), d.Checks...), c)
		design.Conclude(&d)
		return &d
	}
	n := len(det.Design.Checks)
	return []engine.Break{
		{Element: "clamp", Was: "d-1a-fast", Change: engine.LeftOut, Built: &job.Built{Topology: "n-mosfet-low", Part: "n-55v-a", Clamp: "none"}, Worse: []engine.Worse{{Check: n, Before: design.Fits}},
			Design: made(design.Check{ID: design.Avalanche, NoSolution: true, Unit: design.J, Because: "nothing limits the voltage"})},
		{Element: "clamp", Was: "d-1a-fast", Change: engine.Reversed, Worse: []engine.Worse{{Check: n, Before: design.Fits}},
			Design: made(design.Check{ID: design.ClampCurrent, NoSolution: true, Unit: design.A, Because: "the diode conducts from the rail through the switch whenever that is on: nothing limits the current"})},
		{Element: "r_pulldown", Was: "3.9 kohm", Change: engine.LeftOut, Worse: []engine.Worse{{Check: n, Before: design.Fits}},
			Design: made(design.Check{ID: design.StaysOff, Stress: design.Known(2.1), Rating: design.Known(0.9), Unit: design.V})},
		{Element: "r_gate", Was: "270 ohm", Change: engine.TenTimes, Design: made(design.Check{ID: design.StaysOff, Stress: design.Known(0.5), Rating: design.Known(0.9), Unit: design.V})},
	}, nil
}
