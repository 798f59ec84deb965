package tui

import (
	"strings"

	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/quantity"
)

// swings is what the load at hand draws, worked out by the engine once for each job.
type swings struct {
	of    *job.Job
	load  int
	known bool
	s     engine.Swing
}

func (p *jobPane) swing() *engine.Swing {
	if w := &p.swings; w.of != p.taken || w.load != p.load {
		*w = swings{of: p.taken, load: p.load}
		w.s, w.known = engine.SwingOf(p.taken, p.load)
	}
	if !p.swings.known {
		return nil
	}
	return &p.swings.s
}

func amps(v float64, dir quantity.Direction) string {
	return quantity.Display(v, "A", 3, dir)
}

// draws tells below the fields of a load's current what follows from them, "" where
// nothing does. It is no field: nothing can be typed there.
func (p *jobPane) draws(w int) string {
	s := p.swing()
	if s == nil {
		return ""
	}
	text := amps(s.Least, quantity.Down) + " to " + amps(s.Most, quantity.Up)
	if s.R.OK {
		text += ", hot to cold"
	}
	if s.Start.OK {
		text += ", " + amps(s.Start.V, quantity.Up) + " at its start"
	}
	room := max(w-3-labelColumns-2, 1)
	if width(text) > room {
		text, _, _ = strings.Cut(text, ",")
	}
	return "   " + p.st.dim.Render(fit("it draws", labelColumns)+"  "+clip(text, room))
}

// drawsWhy tells it in a sentence.
func (p *jobPane) drawsWhy() string {
	s := p.swing()
	if s == nil {
		return ""
	}
	at := func(v float64) string { return quantity.Display(v, "V", 3, quantity.Nearest) }
	text := amps(s.Nominal, quantity.Nearest)
	if !s.R.OK {
		text += "; " + amps(s.Most, quantity.Up) + " on " + at(s.VMost) + ", " + amps(s.Least, quantity.Down) + " on " + at(s.VLeast)
		if s.Start.OK {
			text += "; " + amps(s.Start.V, quantity.Up) + " at its start"
		}
		return text
	}
	degrees := func(t float64) string { return quantity.Display(t, "C", 3, quantity.Nearest) }
	return text + "; cold " + amps(s.Most, quantity.Up) + " (" + at(s.VMost) + ", " + degrees(s.TCold) + "), hot " +
		amps(s.Least, quantity.Down) + " (" + at(s.VLeast) + ", " + degrees(s.THot) + ")"
}

// ofCurrent are the fields that say what a load draws.
func ofCurrent(f *field) bool {
	return f.group == groupLoad && (f.key == "current" || f.key == "resistance" || f.key == "power")
}
