package topology

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/load"
	q "example.org/pinhoist/internal/quantity"
)

// TestSearchForAShifterIsExact holds the search for a level shifter, and the one for
// what lifts a gate, against the design of a stage around every transistor there is:
// the best verdict and its least cost. Prices are drawn anew, so that the cheap are
// not always the small; some parts state none.
func TestSearchForAShifterIsExact(t *testing.T) {
	embedded, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	r := rand.New(rand.NewPCG(7, 11))
	verdicts := map[design.Verdict]int{}
	for n := range 500 {
		cat := repriced(r, embedded)
		b := benchOn(t, cat, fmt.Sprintf(shifterJob, pick(r, 3.3, 5, 12, 24, 48), pick(r, 1.8, 3.3, 5), pick(r, 2, 8, 20), pick(r, 30, 60)))
		env := b.env
		env.Brief = true
		w := shiftDemand{
			ohms: math.Exp(math.Log(30) + r.Float64()*math.Log(1e5)), tol: 0.01 * float64(r.IntN(6)),
			drop: shiftSteps[r.IntN(len(shiftSteps))], leak: leakUnder(math.Pow(10, -8+r.Float64()*5)),
		}
		if r.IntN(3) == 0 {
			w.peak, w.length = math.Pow(10, -2+2*r.Float64()), math.Pow(10, -8+3*r.Float64())
		}
		l := shiftLoad(&b.m.Load, &b.m.Rail, w)
		parts, among := env.transistors, shifting[:]
		if high := r.IntN(3) == 0; high {
			l.Side = "high"
			i := r.IntN(len(lifting))
			parts, among = env.uppers, lifting[i:i+1]
		}
		m := load.New(&l, env.Air, env.ledResistor)
		if w.peak > 0 && l.Side == "low" {
			m.Memo = gateCharge{}
		}
		got, want := env.designAmong(parts, among, m, "", "", nil), cheapestOfAll(env, parts, among, m)
		switch {
		case got == nil && want == nil:
		case got == nil || want == nil:
			t.Errorf("%d: found %v, all of them %v", n, got != nil, want != nil)
		case got.Verdict != want.Verdict || got.Cost.Amount.OK != want.Cost.Amount.OK || math.Abs(got.Cost.Amount.V-want.Cost.Amount.V) > 1e-12:
			t.Errorf("%d: %s %s at %v, of all %s %s at %v; %+v", n, got.Part, got.Verdict, got.Cost.Amount, want.Part, want.Verdict, want.Cost.Amount, w)
		default:
			verdicts[got.Verdict]++
		}
	}
	if verdicts[design.Fits] < 60 || len(verdicts) < 2 {
		t.Errorf("the demands are too alike: %v", verdicts)
	}
}

// shifterJob is what the level shifter's stage switches.
const shifterJob = `
[[rail]]
name = "bench"
voltage = "%g V"
tolerance = "10 %%"
[pin]
supply = "%g V"
source_current_max = "%g mA"
[environment]
ambient_max = "%g C"
[[load]]
name = "lamp"
kind = "resistive"
rail = "bench"
current = "0.2 A"
`

func pick(r *rand.Rand, of ...float64) float64 { return of[r.IntN(len(of))] }

// cheapestOfAll designs a stage around every part.
func cheapestOfAll(e *Env, parts []catalog.Part, among []Topology, m *load.Model) *design.Design {
	var best *design.Design
	for _, sw := range parts {
		for _, s := range among {
			if s.Serves(e, m, sw) != "" {
				continue
			}
			var d design.Design
			s.Design(e, m, sw, &Given{}, &d)
			if best == nil || d.Verdict < best.Verdict || d.Verdict == best.Verdict && cheaper(d.Cost.Amount, best.Cost.Amount) {
				best = &d
			}
		}
	}
	return best
}

// repriced is a catalogue in which every transistor and resistor costs otherwise.
func repriced(r *rand.Rand, c *catalog.Catalog) *catalog.Catalog {
	own := *c
	own.BJTs, own.MOSFETs, own.Resistors = nil, nil, nil
	price := func(of *catalog.Common) {
		switch r.IntN(12) {
		case 0:
			of.Price = nil
		default:
			of.Price = &q.Money{Amount: 0.01 * float64(1+r.IntN(8)), Currency: "EUR"}
		}
	}
	for i := range c.BJTs {
		p := c.BJTs[i]
		price(&p.Common)
		own.BJTs = append(own.BJTs, p)
	}
	for i := range c.MOSFETs {
		p := c.MOSFETs[i]
		price(&p.Common)
		own.MOSFETs = append(own.MOSFETs, p)
	}
	one := &q.Money{Amount: 0.01 * float64(1+r.IntN(8)), Currency: "EUR"}
	for i := range c.Resistors { // all at one price: then the bound is reached
		p := c.Resistors[i]
		p.Price = one
		own.Resistors = append(own.Resistors, p)
	}
	return &own
}
