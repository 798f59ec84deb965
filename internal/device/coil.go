package device

import (
	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/copper"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/job"
	q "example.org/pinhoist/internal/quantity"
)

// coilStated is the temperature that figures of a load are stated at.
const coilStated = 20.0

// CoilRef is the temperature, degrees Celsius, at which the coil's resistance
// and its operate and release voltages are stated.
func CoilRef(r *catalog.Relay) float64 {
	if r.RCoil == nil {
		return coilStated
	}
	return float64(r.RCoil.T.Or(coilStated))
}

// CoilResistance is the resistance, ohm, of the coil at t degrees Celsius: least,
// nominal and greatest. Copper: R*(234.5 + t)/(234.5 + t_ref). All are unknown
// where the part states no resistance, the ends also where it states no tolerance.
func CoilResistance(r *catalog.Relay, t float64) (least, nominal, greatest design.Number) {
	if r.RCoil == nil || !r.RCoil.Nominal.Known() {
		return
	}
	n := float64(r.RCoil.Nominal.Value()) * copper.Ratio(t, CoilRef(r))
	tol, ok := r.RCoil.Tolerance.Get()
	if !ok {
		return design.Number{}, design.Known(n), design.Number{}
	}
	return design.Known(n * (1 - float64(tol))), design.Known(n), design.Known(n * (1 + float64(tol)))
}

// PickUp is the voltage, V, that a coil at t degrees Celsius needs to operate:
// the pick-up current does not change, so the voltage rises with the
// resistance, must_operate*v_coil*(234.5 + t)/(234.5 + t_ref).
func PickUp(r *catalog.Relay, t float64) design.Number {
	ratio, ok := r.MustOperate.Get()
	if !ok || !r.VCoil.Known() {
		return design.Number{}
	}
	return design.Known(float64(ratio) * float64(r.VCoil.Value()) * copper.Ratio(t, CoilRef(r)))
}

// MustRelease is the voltage, V, at which a coil at its stated temperature is
// guaranteed to have let go.
func MustRelease(r *catalog.Relay) design.Number {
	ratio, ok := r.MustRelease.Get()
	if !ok || !r.VCoil.Known() {
		return design.Number{}
	}
	return design.Known(float64(ratio) * float64(r.VCoil.Value()))
}

// CoilVoltageMax is the highest voltage, V, that the coil bears in air at ta
// degrees Celsius, by stairs: the figure of the next higher stated ambient, none
// past the last. A part that states none gets 105 % of its nominal voltage
// (common practice), as a fallback.
func CoilVoltageMax(r *catalog.Relay, ta float64) (v design.Number, fallback bool) {
	nominal := float64(r.VCoil.Or(0))
	if len(r.VCoilMax) == 0 {
		return design.Known(nominal * float64(catalog.BracketVCoilMax)), true
	}
	for k := range r.VCoilMax {
		p := &r.VCoilMax[k]
		if !p.Max.Known() || !p.Ta.Known() || !design.AtMost(ta, float64(p.Ta.Value())) {
			continue
		}
		if x := nominal * float64(p.Max.Value()); !v.OK || x > v.V {
			v = design.Known(x)
		}
	}
	return v, false
}

// CoilTemperatureMax is the highest temperature of the winding, degrees Celsius;
// 105 C (common practice) where the part states none.
func CoilTemperatureMax(r *catalog.Relay) (t float64, fallback bool) {
	if v, ok := r.TCoilMax.Get(); ok {
		return float64(v), false
	}
	return float64(catalog.BracketTCoilMax), true
}

// CoilDemand is what the contact side leaves to the coil and its driver.
type CoilDemand struct {
	Rail          job.Rail
	ReleaseWithin design.Number // s, for coil and armature; unknown: not judged
}

// CoilLoad is the coil of a relay as a load of kind coil on a rail, so that a
// driver is designed for it as for any other. The job's load says how often and
// how it is switched. A load's figures hold at 20 C, so resistance and operate
// voltage are brought there from the part's own temperature; ratios are of the
// rail's nominal voltage. The armature is taken to have left when the current of
// the least coil has come down to its must-release voltage. Without a resistance
// or its tolerance the load has no resistance, and no driver can be designed.
func CoilLoad(r *catalog.Relay, of *job.Load, d CoilDemand) job.Load {
	rail := d.Rail
	vn := float64(rail.Nom)
	l := job.Load{
		Name: of.Name, Kind: job.Coil, Rail: rail, Inductive: true, ToleranceL: 0,
		Inrush: job.Figure[q.Ratio]{Value: 1, Known: true, Field: "load.inrush_factor"},
		Side:   "any", Mode: of.Mode, PWMFrequency: of.PWMFrequency, Period: of.Period,
		Rate: of.Rate, RateAssumed: of.RateAssumed, Duty: of.Duty, DutyMin: of.DutyMin, DutyMax: of.DutyMax, DutyEnforced: of.DutyEnforced,
		Unpowered: of.Unpowered, Quantity: max(1, of.Quantity), OperationsPerYear: of.OperationsPerYear, CopperArea: of.CopperArea,
		OvervoltageCategory: of.OvervoltageCategory, PollutionDegree: of.PollutionDegree, MaterialGroup: of.MaterialGroup,
		WireArea: of.WireArea,
	}
	least, nominal, _ := CoilResistance(r, coilStated)
	if least.OK && least.V > 0 {
		l.R, l.Current, l.Tolerance = q.Some(q.Ohm(nominal.V)), q.Amp(vn/nominal.V), r.RCoil.Tolerance.Value()
	}
	if h, ok := r.LCoilMax.Get(); ok {
		l.L = q.Some(h)
	}
	coilFigures(r, &l, vn)
	if w := d.ReleaseWithin; w.OK {
		l.ReleaseWithin = q.Some(q.Second(max(w.V, 0)))
	}
	if r.TimeMax != nil && r.TimeMax.Release.Known() {
		l.MechRelease = r.TimeMax.Release
	}
	return l
}

// coilFigures fills what the relay guarantees about operating and releasing.
func coilFigures(r *catalog.Relay, l *job.Load, vn float64) {
	at20 := copper.Ratio(coilStated, CoilRef(r))
	l.MustOperate.Field, l.MustRelease.Field, l.OffCurrent.Field, l.RthCoil.Field = "must_operate_max", "must_release_min", "must_release_min", "r_th_coil_max"
	if v := PickUp(r, coilStated); v.OK && vn > 0 {
		setFigure(&l.MustOperate, q.Ratio(v.V/vn))
	}
	if v := MustRelease(r); v.OK && vn > 0 {
		setFigure(&l.MustRelease, q.Ratio(v.V*at20/vn))
		least, _, greatest := CoilResistance(r, CoilRef(r))
		if least.OK && least.V > 0 {
			l.ReleaseCurrent = q.Some(q.Amp(v.V / least.V))
			setFigure(&l.OffCurrent, q.Amp(v.V/greatest.V))
		}
	}
	if th, ok := r.RthCoil.Get(); ok {
		setFigure(&l.RthCoil, th)
	}
}

// setFigure states a figure: it is the part's own, so nothing is easier.
func setFigure[Q q.Quantity](f *job.Figure[Q], v Q) { f.Value, f.Easy, f.Known = v, v, true }
