package device

import (
	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	q "example.org/pinhoist/internal/quantity"
)

// Condition is under what a missing figure would have to be stated.
type Condition struct {
	IMax, ISteady float64 // A
	IBase         float64 // A
	VDrive        float64 // V on the gate
	VMax, VPeak   float64 // V across the switch, off and at its peak
	T             float64 // degrees Celsius
}

// Supplied is a figure that can be stated on a part: To sets it. It is looked
// for between Low and High; AtMost says that less is better.
type Supplied struct {
	To        func(v float64)
	Low, High float64
	AtMost    bool
	Unit      design.Unit
}

// Supply finds how to state a missing figure on a part (a clone: it is
// changed), under the conditions that the design needs.
func Supply(p catalog.Part, figure string, at Condition) (Supplied, bool) {
	switch p := p.(type) {
	case *catalog.MOSFET:
		return supplyMOSFET(p, figure, at)
	case *catalog.BJT:
		return supplyBJT(p, figure, at)
	case *catalog.Relay:
		return supplyRelay(p, figure, at)
	case *catalog.SSR:
		return supplySSR(p, figure, at)
	}
	return Supplied{}, false
}

func supplyMOSFET(p *catalog.MOSFET, figure string, at Condition) (Supplied, bool) {
	switch figure {
	case "r_ds_on at this drive":
		n := len(p.RDSOn)
		base := p.RDSOn[:n:n]
		return atMost(design.Ohm, 1e-4, 100, func(v float64) {
			p.RDSOn = append([]catalog.RDSPoint{{VGS: q.Some(q.Volt(at.VDrive)), ID: q.Some(q.Amp(at.IMax)), Max: q.Some(q.Ohm(v))}}, base...)
		})
	case "i_dss_max":
		return atMost(design.A, 1e-9, 1, func(v float64) {
			p.IDSSMax = []catalog.LeakDS{{VDS: q.Some(q.Volt(at.VMax)), Tj: q.Some(q.Celsius(at.T)), Max: q.Some(q.Amp(v))}}
		})
	case "q_gd_max":
		return atMost(design.C, 1e-11, 1e-5, func(v float64) {
			p.QGDMax = q.Some(q.Coulomb(v))
			if !p.QGSMax.Known() && p.QGMax == nil {
				p.QGSMax = q.Some(q.Coulomb(v))
			}
		})
	case "v_gs_th_slope_max":
		return atMost(design.One, 1e-3, 1e-2, func(v float64) { p.VGSThSlope = q.Some(q.VoltPerKelvin(v)) })
	case "i_dm_max":
		return atLeast(design.A, 0.1, 1e4, func(v float64) { p.IDMMax = q.Some(q.Amp(v)) })
	case "soa":
		return atLeast(design.A, 1e-2, 1e4, func(v float64) { p.SOA = flatArea(v, at) })
	}
	return Supplied{}, false
}

func supplyBJT(p *catalog.BJT, figure string, at Condition) (Supplied, bool) {
	switch figure {
	case "v_ce_sat.max":
		base := p.VCESat[:len(p.VCESat):len(p.VCESat)]
		return atMost(design.V, 1e-2, 10, func(v float64) {
			p.VCESat = append(base, catalog.SatPoint{IC: q.Some(q.Amp(at.IMax)), IB: q.Some(q.Amp(at.IBase)), Max: q.Some(q.Volt(v))})
		})
	case "v_be_sat.max":
		return atMost(design.V, 0.5, 3, func(v float64) {
			p.VBESat = []catalog.SatPoint{{IC: q.Some(q.Amp(at.IMax)), IB: q.Some(q.Amp(max(at.IBase, 1e-3))), Max: q.Some(q.Volt(v))}}
		})
	case "h_fe.min":
		return atLeast(design.One, 5, 50000, func(v float64) {
			p.HFE = []catalog.HFEPoint{{IC: q.Some(q.Amp(at.IMax)), VCE: q.Some(q.Volt(1)), Min: q.Some(q.Ratio(v))}}
		})
	case "i_cbo_max":
		return atMost(design.A, 1e-9, 1e-1, func(v float64) {
			p.ICBOMax = []catalog.LeakCB{{VCB: q.Some(q.Volt(max(at.VMax, at.VPeak))), Tj: q.Some(q.Celsius(at.T)), Max: q.Some(q.Amp(v))}}
		})
	case "r_be_internal_max":
		return atMost(design.Ohm, 100, 1e6, func(v float64) { p.RBEIntMax = q.Some(q.Ohm(v)) })
	case "r_be_internal_min":
		return atLeast(design.Ohm, 100, 1e6, func(v float64) { p.RBEIntMin = q.Some(q.Ohm(v)) })
	case "i_cm_max":
		return atLeast(design.A, 0.01, 1e4, func(v float64) { p.ICMMax = q.Some(q.Amp(v)) })
	case "i_b_max":
		return atLeast(design.A, 1e-4, 100, func(v float64) { p.IBMax = q.Some(q.Amp(v)) })
	case "v_ebo_max":
		return atLeast(design.V, 0.3, 100, func(v float64) { p.VEBOMax = q.Some(q.Volt(v)) })
	case "soa":
		return atLeast(design.A, 1e-2, 1e4, func(v float64) { p.SOA = flatArea(v, at) })
	}
	return Supplied{}, false
}

// flatArea is a steady safe area of i up to the peak voltage.
func flatArea(i float64, at Condition) []catalog.SOACurve {
	v := max(at.VMax, at.VPeak, 1)
	return []catalog.SOACurve{{T: catalog.PulseTime{DC: true, Set: true}, Points: []catalog.SOAPoint{
		{V: q.Some(q.Volt(v / 10)), I: q.Some(q.Amp(i))}, {V: q.Some(q.Volt(v * 1.01)), I: q.Some(q.Amp(i))}}}}
}

func atMost(u design.Unit, low, high float64, to func(float64)) (Supplied, bool) {
	return Supplied{To: to, Low: low, High: high, AtMost: true, Unit: u}, true
}

func atLeast(u design.Unit, low, high float64, to func(float64)) (Supplied, bool) {
	return Supplied{To: to, Low: low, High: high, Unit: u}, true
}
