package engine

import (
	"context"
	"fmt"
	"slices"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/device"
	q "example.org/pinhoist/internal/quantity"
	"example.org/pinhoist/internal/topology"
)

// Driven is whether what a pin gives is enough for a switch: what is stated, what is
// delivered, and what the drive check says at any drive. The drive is the gate
// voltage of a MOSFET, V, or the base current of a bipolar transistor, A.
type Driven struct {
	Part  string
	Gate  bool          // else a base
	Check *design.Check // as the design has it: gate-drive or base-drive

	I          float64       // A that the switch must carry, its peak
	Given      design.Number // the least that the stage delivers
	Most       design.Number // the most, at a gate
	Limit      design.Number // what a gate bears
	VthMin     design.Number // V where a gate barely conducts: least, at the hottest air
	VthMax     design.Number // greatest, at the coldest
	Stated     []DrivePoint
	Curve      []DriveSample // in the order of X
	Edges      []DriveEdge   // where the verdict changes, solved to four digits
	Top        float64       // upper end of the curve
	Overdriven float64       // 1/k of the base-drive check; 1 at a gate
}

// DrivePoint is a point of the part's own data: an on-resistance at a gate voltage,
// ohm, or a saturation voltage at the forced gain that the load then has, V.
type DrivePoint struct {
	X      float64
	At     float64       // A it is stated at
	Max    design.Number // guaranteed
	Typ    design.Number
	Serves bool // for the current of this load
}

// DriveSample is the switch at one drive.
type DriveSample struct {
	X        float64
	Verdict  design.Verdict // what the drive check would say; tight counts as proven
	Y        design.Number  // guaranteed on-resistance at 25 C, ohm, or on voltage, V
	Estimate design.Number  // of it, where nothing is guaranteed
	Carries  design.Number  // A by the square law of a worst part; A by the least gain
}

// DriveEdge is where the drive check changes: Before up to Low, After from High on.
type DriveEdge struct {
	Low, High     float64
	Before, After design.Verdict
}

// Drive tells of a design whether its switch is driven enough; of a relay, the
// transistor of its coil. An error says why there is no such curve: the switch has
// no gate or base of its own, or more than one that are driven in different ways. A
// key that names no design is a *NoSuchDesign.
func Drive(ctx context.Context, in *Input, key string) (*Driven, error) {
	b, err := newRun(in, false).bench(ctx, key)
	if err != nil {
		return nil, err
	}
	d, sw := b.d, b.sw
	if d.Driver != nil {
		d = d.Driver
		sw, _ = in.Catalog.Part(d.Part)
	}
	out := &Driven{Part: d.Part, Overdriven: 1}
	carries := func(id design.CheckID) float64 {
		if c := find(d, id, design.StageSelf); c != nil && c.Stress.OK {
			return c.Stress.V
		}
		return 0
	}
	out.I = max(carries(design.OnCurrent), carries(design.PeakCurrent))
	switch p := sw.(type) {
	case *catalog.MOSFET:
		out.Check = find(d, design.GateDrive, design.StageSelf)
		if d.Half != nil || out.Check == nil {
			return nil, fmt.Errorf("a bridge has gates that are driven in different ways: its sheet tells each")
		}
		out.gate(p, d, b.m.TMin, b.m.TMax)
	case *catalog.BJT:
		out.Check = find(d, design.BaseDrive, design.StageSelf)
		if out.Check == nil {
			return nil, fmt.Errorf("%s has no base that this stage drives", d.Part)
		}
		out.base(p, d, b.m.TMin, in.Policy.Overdrive)
	default:
		return nil, fmt.Errorf("%s has no gate or base that a curve could tell of", d.Part)
	}
	return out, ctx.Err()
}

// samples is how many points a curve has.
const samples = 160

// gate fills the curve of a MOSFET.
func (o *Driven) gate(p *catalog.MOSFET, d *design.Design, cold, hot float64) {
	o.Gate = true
	o.Given = valueOf(d, design.VGateDrive)
	if c := find(d, design.GateVoltage, design.StageSelf); c != nil {
		o.Most, o.Limit = c.Stress, c.Rating
	}
	o.VthMin, _, _ = device.Threshold(p, hot)
	_, o.VthMax, _ = device.Threshold(p, cold)
	o.Top = 1.2 * max(o.Given.V, max(o.Most.V, o.VthMax.V))
	for k := range p.RDSOn {
		r := &p.RDSOn[k]
		x := float64(r.VGS.Or(0))
		o.Stated = append(o.Stated, DrivePoint{X: x, At: float64(r.ID.Or(0)), Max: figure(r.Max), Typ: figure(r.Typ), Serves: r.Max.Known() && device.Carries(p, r, x, o.I)})
		o.Top = max(o.Top, 1.1*x)
	}
	slices.SortStableFunc(o.Stated, func(a, b DrivePoint) int {
		switch {
		case a.X < b.X:
			return -1
		case a.X > b.X:
			return 1
		}
		return 0
	})
	vth := design.Number{}
	if p.VGSTh != nil {
		vth = figure(p.VGSTh.Max)
	}
	judged := func(x float64) design.Verdict {
		c := design.Check{Unit: design.V, Rating: design.Known(x), EasyStress: o.Check.EasyStress}
		c.Stress, c.StressEstimate = topology.GateDemand(p, x, o.I, cold)
		if o.Check.Stress.OK || o.Check.StressEstimate.OK {
			design.Judge(&c)
			return c.Verdict
		}
		return o.Check.Verdict // nobody knows the current
	}
	o.sample(judged, func(s *DriveSample) {
		s.Y, s.Estimate, _ = device.OnResistance(p, s.X, o.I)
		if vth.OK {
			s.Carries = device.SquareLaw(p, s.X, vth.V)
		}
	})
}

// base fills the curve of a bipolar transistor.
func (o *Driven) base(p *catalog.BJT, d *design.Design, cold, overdrive float64) {
	o.Overdriven = overdrive
	o.Given = valueOf(d, design.IBase)
	gain := device.BaseCurrent(p, o.I, cold)
	o.Top = max(1.3*o.Given.V, 1.3*overdrive*gain.Base.V)
	typical := device.TypicalSaturation(p, o.I)
	device.SaturationPoints(p, o.I, func(pt device.SaturationPoint) {
		o.Stated = append(o.Stated, DrivePoint{X: pt.Need, At: o.I, Max: design.Known(pt.V), Serves: true})
		o.Top = max(o.Top, 1.1*pt.Need)
	})
	judged := func(x float64) design.Verdict {
		c := design.Check{Unit: design.A, K: 1 / overdrive, Rating: design.Known(x), Stress: gain.Base, StressEstimate: gain.Typical, EasyStress: o.Check.EasyStress}
		if o.Check.Stress.OK || o.Check.StressEstimate.OK || !gain.Base.OK {
			design.Judge(&c)
			return c.Verdict
		}
		return o.Check.Verdict
	}
	o.sample(judged, func(s *DriveSample) {
		for _, pt := range o.Stated {
			if pt.X <= s.X*(1+1e-12) && (!s.Y.OK || pt.Max.V < s.Y.V) {
				s.Y = pt.Max
			}
		}
		if !s.Y.OK && gain.Base.OK && gain.Base.V <= s.X && gain.VCE > 0 {
			s.Y = design.Known(gain.VCE)
		}
		if !s.Y.OK {
			s.Estimate = typical
		}
		if gain.HFE > 0 {
			s.Carries = design.Known(s.X * gain.HFE)
		}
	})
}

// sample fills curve and edges.
func (o *Driven) sample(judged func(x float64) design.Verdict, fill func(*DriveSample)) {
	if o.Top <= 0 {
		o.Top = 1
	}
	for k := 1; k <= samples; k++ {
		s := DriveSample{X: printable(o.Top * float64(k) / samples)}
		s.Verdict = judged(s.X)
		fill(&s)
		o.Curve = append(o.Curve, s)
	}
	var edge func(low, high float64)
	edge = func(low, high float64) {
		before, after := judged(low), judged(high)
		if before == after {
			return
		}
		mid := printable((low + high) / 2)
		if mid <= low || mid >= high {
			o.Edges = append(o.Edges, DriveEdge{low, high, before, after})
			return
		}
		edge(low, mid)
		edge(mid, high)
	}
	for k := 1; k < len(o.Curve); k++ {
		edge(o.Curve[k-1].X, o.Curve[k].X)
	}
}

// figure is a stated figure as a number that may be unknown.
func figure[Q q.Quantity](o q.Opt[Q]) design.Number {
	v, ok := o.Get()
	return design.Number{V: float64(v), OK: ok}
}
