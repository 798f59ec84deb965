package topology

import (
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/device"
)

// marginMost is the share of its limit that a control is at most kept under it for
// the sake of what the part still takes there.
const marginMost = 0.75

// heldAt is the control voltage that is left in the worst off state, V, as the
// design's own stays-off check has it; not while the rail rises, which is short.
// Unknown where nothing proves it.
func heldAt(d *design.Design) design.Number {
	for i := range d.Checks {
		c := &d.Checks[i]
		if c.ID == design.StaysOff && c.Stage == design.StageSelf {
			if c.EasyStress.OK {
				return c.EasyStress
			}
			return c.Stress
		}
	}
	return design.Number{}
}

// withBelow is a leakage with what the part takes while it is held under its limit,
// A. Unknown where the voltage that holds it is.
func withBelow(leak, held design.Number, below func(v float64) float64) design.Number {
	if !leak.OK || !held.OK {
		return design.Number{}
	}
	return design.Known(leak.V + below(held.V))
}

// tolerated is what a load tolerates beside a leakage while off, A; 0 where that is
// not known.
func (s *stage) tolerated(leak design.Number) float64 {
	if !s.l.OffCurrent.Known || !leak.OK {
		return 0
	}
	return max(0, float64(s.l.OffCurrent.Value)-leak.V)
}

// offMargin is how far under its threshold of vth the gate is kept, V, so that the
// channel takes no more than the load tolerates.
func (m *mosfetStage) offMargin(vth, hot float64) float64 {
	room := m.tolerated(m.drainLeak()) / float64(m.side.parts())
	return min(device.ChannelMargin(m.p, room, hot), marginMost*vth)
}

// offMargin is how far under its on voltage the base is kept, V, so that the
// collector takes no more than the load tolerates.
func (n *npnStage) offMargin(hot float64) float64 {
	room := n.tolerated(device.CollectorLeakage(n.p, n.l.VMax, n.l.TMax))
	return min(device.BaseMargin(n.p, room, hot), marginMost*device.VBEOnMin(n.p, hot))
}

// drainLeak is what all parts leak with nothing on their gates, A.
func (m *mosfetStage) drainLeak() design.Number {
	i := device.DrainLeakage(m.p, m.l.VMax, m.l.TMax)
	i.V *= float64(m.side.parts())
	return i
}
