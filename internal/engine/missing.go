package engine

import (
	"cmp"
	"slices"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/device"
)

// missing lists the figures that the unproven checks want, the most decisive
// first, with the value that would suffice, found by stating it and running the
// design again.
func (b *bench) missing() []Missing {
	var out []Missing
	for i := range b.d.Checks {
		c := &b.d.Checks[i]
		if c.Verdict != design.Unproven {
			continue
		}
		for _, fig := range c.Figures() {
			m := Missing{Figure: fig, Check: c.ID, Stage: c.Stage}
			if c.Stage == design.StageSelf {
				b.suffices(c, &m)
			}
			out = append(out, m)
		}
	}
	// Most decisive: a figure that more checks wait for.
	weight := map[string]int{}
	for _, m := range out {
		weight[m.Figure]++
	}
	slices.SortStableFunc(out, func(x, y Missing) int { return cmp.Compare(weight[y.Figure], weight[x.Figure]) })
	return slices.CompactFunc(out, func(x, y Missing) bool { return x == y })
}

// suffices solves for the value of a part's figure at which the check fits.
func (b *bench) suffices(c *design.Check, m *Missing) {
	at := device.Condition{IMax: b.m.PeakCurrent(), ISteady: b.m.IMax, VMax: b.m.VMax, T: b.m.TMax}
	for _, v := range b.d.Values {
		switch v.Key {
		case design.VGateDrive:
			at.VDrive = v.V
		case design.IBase:
			at.IBase = v.V
		case design.TJunction:
			at.T = max(at.T, v.V)
		case design.VPeakOff: // to ground: across a high side it is what the rail adds to it
			at.VPeak = max(v.V, b.m.VMax-v.V)
		}
	}
	clone := catalog.Clone(b.sw)
	set, ok := device.Supply(clone, m.Figure, at)
	if !ok {
		return
	}
	fits := func(v float64) bool {
		set.To(v)
		k := find(b.again(b.env, b.m, clone, b.frozen), c.ID, c.Stage)
		return b.ctx.Err() == nil && (k == nil || k.Verdict == design.Fits)
	}
	// From the easiest figure to promise to the hardest, a decade at a time.
	from, to, step := set.Low, set.High, 10.0
	if set.AtMost {
		from, to, step = set.High, set.Low, 0.1
	}
	prev := from
	for v := from; set.AtMost == (v >= to*0.999) || v == from; v *= step {
		if fits(v) {
			m.Value = v
			if v != from {
				m.Value = bisect(prev, v, solveWidth, false, fits)
			}
			m.Op, m.Unit = ">=", set.Unit
			if set.AtMost {
				m.Op = "<="
			}
			return
		}
		prev = v
		if step > 1 && v*step > to*1.001 || step < 1 && v*step < to*0.999 {
			return
		}
	}
}
