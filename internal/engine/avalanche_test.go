package engine_test

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/job"
	q "example.org/pinhoist/internal/quantity"
)

// breakdownEnergy steps a winding down against a drain that breaks down at vbr
// volts, L di/dt = vs - vbr - R i, and adds up what the drain takes, J.
func breakdownEnergy(l, r, vs, vbr, i float64) float64 {
	e, dt := 0.0, l*i/(vbr-vs)/20000
	for i > 0 {
		step := dt * (vbr - vs + r*i) / l
		mid := i - step/2
		e += vbr * math.Max(0, mid) * dt
		i -= step
	}
	return e
}

// TestNoClampFitsOnlyWithinItsAvalanche: wherever a design of a random solenoid
// fits without a clamp, a drain that breaks down anywhere from its stated voltage
// to a third above it, a rail at either end and any winding within its tolerances
// leave less energy than the part guarantees with its junction as hot as it gets,
// and no more current; and nothing fits so that opens more often than granted
// without a repeated figure.
func TestNoClampFitsOnlyWithinItsAvalanche(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 10))
	cat, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	pol, err := catalog.PolicyByName("bench")
	if err != nil {
		t.Fatal(err)
	}
	ctx := context.Background()
	single, repeated, clamped := 0, 0, 0
	for range max(10, engine.Trials()/5) {
		spec := job.Demo()
		l := &spec.Loads[0]
		between := func(lo, hi float64) float64 { return lo * math.Exp(r.Float64()*math.Log(hi/lo)) }
		l.Current, l.Inductance = q.Some(q.Amp(between(0.05, 3))), q.Some(q.Henry(between(1e-4, 0.3)))
		l.ReleaseWithin, l.MechRelease = q.None[q.Second](), q.None[q.Second]()
		events, ops := float64(1+r.IntN(30)), float64(1+r.IntN(4))
		l.AvalancheEvents, l.OperationsPerYear, l.Life = &events, &ops, q.Some(q.Year(1+r.IntN(15)))
		j, errs := job.Resolve(spec)
		if errs.Fatal() {
			t.Fatal(errs)
		}
		in := &engine.Input{Job: j, Spec: spec, Catalog: cat, Policy: pol}
		res, err := engine.Assess(ctx, in, engine.Options{})
		if err != nil {
			t.Fatal(err)
		}
		m := engine.EnvFor(in, true).Model(&j.Loads[0])
		rare := ops*float64(l.Life.Value()) <= events
		for i := range res.Loads[0].Rows {
			row := &res.Loads[0].Rows[i]
			part, _ := cat.Part(row.Part)
			p, ok := part.(*catalog.MOSFET)
			if !ok || row.Verdict != design.Fits || row.Topology != "n-mosfet-low" {
				continue
			}
			d := detailOf(t, in, row.Key).Design
			if len(d.Choice.Clamp) > 0 {
				clamped++
				continue
			}
			limit := design.Number{}
			if a := p.Avalanche; rare && a != nil {
				limit = design.Known(float64(a.EAS.Value()))
				single++
			} else if e, ok := p.EARMax.Get(); !rare && ok {
				limit = design.Known(float64(e))
				repeated++
			}
			hot := valueIn(d, design.TJunction)
			share := (float64(p.TjMax.Value()) - hot) / (float64(p.TjMax.Value()) - 25)
			if !limit.OK || p.Avalanche == nil || m.IMax > 0.7*share*float64(p.Avalanche.IAS.Value())*(1+1e-9) {
				t.Fatalf("%s fits without a clamp: limit %v, %g A", row.Key, limit, m.IMax)
			}
			for _, x := range [][4]float64{{m.LMax.V, m.RMin, m.VMax, 1}, {m.LMax.V, m.RMin, m.VMax, 1.33}, {m.LMax.V, m.RMax, m.VMax, 1}, {m.LMin.V, m.RMin, m.VMin, 1}, {m.LMax.V, m.RMin, m.VMin, 1.33}} {
				if e := breakdownEnergy(x[0], x[1], x[2], x[3]*float64(p.VDSMax.Value()), m.IMax); e > 0.7*share*limit.V*(1+1e-3) {
					t.Fatalf("%s: %g J, allowed %g J at %g C (%v)", row.Key, e, 0.7*share*limit.V, hot, x)
				}
			}
		}
	}
	if single < 10 || repeated < 5 || clamped < 10 {
		t.Errorf("%d designs rest on a single pulse, %d on a repeated one, %d have a clamp", single, repeated, clamped)
	}
}

func valueIn(d *design.Design, k design.ValueKey) float64 {
	for _, v := range d.Values {
		if v.Key == k {
			return v.V
		}
	}
	return math.NaN()
}
