package sheet

import (
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/quantity"
)

// meter tells what a meter reads where the stage holds.
func (t *teller) meter() {
	facts := readings(t.in.Job, t.det)
	if len(facts) == 0 {
		return
	}
	t.heading("What a meter should read")
	t.facts(facts...)
	t.para("Bounds of the worst case: what reads outside them is wired otherwise, or another part.")
}

// readings says what a meter reads at a stage that holds in its worst case: bounds of the
// design's own values and of what the load draws, none of them a typical figure. There are
// none where a bound is not proven, on AC, and on a rail that hurts to touch.
func readings(j *job.Job, det *engine.Detailed) []Fact {
	if j == nil || det == nil || det.Design.Verdict > design.Tight {
		return nil
	}
	at := -1
	for i := range j.Loads {
		if j.Loads[i].Name == det.Design.Load {
			at = i
		}
	}
	if at < 0 || j.Loads[at].Rail.AC || j.Loads[at].Rail.Hazardous {
		return nil
	}
	l := &j.Loads[at]
	value := func(key design.ValueKey, dir quantity.Direction) string {
		for _, v := range det.Design.Values {
			if v.Key == key {
				return number(v.V, v.Unit, dir)
			}
		}
		return ""
	}
	volts := func(v float64) string { return number(v, design.V, quantity.Nearest) }
	var out []Fact
	say := func(where, text string) { out = append(out, Fact{Label: where, Text: text}) }
	say("the supply", volts(float64(l.Rail.Min))+" to "+volts(float64(l.Rail.Max)))
	if s, ok := engine.SwingOf(j, at); ok {
		text := number(s.Least, design.A, quantity.Down) + " to " + number(s.Most, design.A, quantity.Up) + " once it is steady"
		if l.Mode != "" && l.Mode != "on-off" {
			text += "; less is shown where a meter averages pulses"
		}
		say("load on, through it", text)
	}
	if v := value(design.VGateDrive, quantity.Down); v != "" {
		say("load on, gate to source", "at least "+v)
	}
	if v := value(design.VOn, quantity.Up); v != "" {
		say("load on, across switch and wires", "at most "+v+", on a supply of "+volts(float64(l.Rail.Min)))
	}
	if v := value(design.IPin, quantity.Up); v != "" {
		say("out of the pin", "at most "+v)
	}
	if v := value(design.IOff, quantity.Up); v != "" {
		say("load off, through it", "at most "+v)
	}
	return out
}
