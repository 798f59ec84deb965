package job

import (
	"strings"

	q "example.org/pinhoist/internal/quantity"
)

// none is the word for an element that a stage as built does without.
const none = "none"

// What a stage as built does with the poles of a relay that has two: the load goes through
// one, through both in turn, or through both side by side.
const (
	PolesOne      = "one"
	PolesSeries   = "series"
	PolesParallel = "parallel"
)

// UnmarshalText reads "none" or a resistance, "10k".
func (e *Element) UnmarshalText(b []byte) error {
	if string(b) == none {
		*e = Element{Said: true, None: true}
		return nil
	}
	r, err := q.Parse[q.Ohm](string(b))
	if err != nil {
		return err
	}
	*e = Element{Said: true, R: r}
	return nil
}

// MarshalText is the exact text, "" where nothing is said.
func (e Element) MarshalText() ([]byte, error) { return []byte(e.Text()), nil }

// Text is the exact text: "none", a resistance, or "" where nothing is said.
func (e Element) Text() string {
	switch {
	case !e.Said:
		return ""
	case e.None:
		return none
	}
	return q.Exact(e.R)
}

// Resistor is the resistor of a key, nil where a stage as built has none of it.
func (b *Built) Resistor(key string) *Element {
	switch key {
	case "r_base":
		return &b.RBase
	case "r_base_emitter":
		return &b.RBaseEmitter
	case "r_gate":
		return &b.RGate
	case "r_pulldown":
		return &b.RPulldown
	case "r_pullup":
		return &b.RPullup
	case "r_series":
		return &b.RSeries
	case "r_snubber":
		return &b.RSnubber
	}
	return nil
}

// Resistor is an element of a resistance in ohms.
func Resistor(r q.Ohm) Element { return Element{Said: true, R: r} }

func (r *resolver) built(s *LoadSpec, l *Load) {
	b := s.Built
	if b == nil {
		return
	}
	l.Built = b
	r.topology(b.Topology)
	if b.Part == "" {
		r.fail("built.part", nothing, "the id of the part that is built in")
	}
	for _, e := range [...]struct {
		key string
		e   *Element
	}{
		{"built.r_base", &b.RBase}, {"built.r_base_emitter", &b.RBaseEmitter}, {"built.r_gate", &b.RGate},
		{"built.r_pulldown", &b.RPulldown}, {"built.r_pullup", &b.RPullup}, {"built.r_series", &b.RSeries},
		{"built.r_snubber", &b.RSnubber},
	} {
		if e.e.Said && !e.e.None {
			positive(r, e.key, q.Some(e.e.R), maxOhm)
		}
	}
	r.spread("built.resistor_tolerance", b.ResistorTolerance, byDefault.Built.ResistorTolerance)
	placed := r.oneOf("built.clamp_placement", b.ClampPlacement, "", "load", "switch")
	if placed != "" && b.Clamp == none {
		r.fail("built.clamp_placement", quote(placed), `nothing: clamp = "none"`, "built.clamp")
	}
	r.oneOf("built.poles", b.Poles, "", PolesOne, PolesSeries, PolesParallel)
	for _, t := range [...]struct{ key, id string }{
		{"built.part", b.Part}, {"built.c_snubber", b.CSnubber}, {"built.clamp", b.Clamp},
		{"built.heat_sink", b.HeatSink}, {"built.insulator", b.Insulator}, {"built.shifter", b.Shifter},
		{"built.gate_clamp", b.GateClamp}, {"built.driver", b.Driver}, {"built.snubber", b.Snubber},
		{"built.fuse", b.Fuse}, {"built.limiter", b.Limiter},
	} {
		r.printable(t.key, t.id)
	}
}

// topology checks the id against the list, where there is one.
func (r *resolver) topology(id string) {
	const key = "built.topology"
	switch {
	case id == "":
		r.fail(key, nothing, "the topology that is built")
		return
	case len(r.topologies) == 0:
		r.printable(key, id)
		return
	}
	for _, t := range r.topologies {
		if t == id {
			return
		}
	}
	r.fail(key, quote(id), "one of "+strings.Join(r.topologies, ", "))
}

// Tolerance returns the tolerance of the resistors as built: 5 % unless said.
func (b *Built) Tolerance() q.Ratio {
	return or(b.ResistorTolerance, byDefault.Built.ResistorTolerance)
}
