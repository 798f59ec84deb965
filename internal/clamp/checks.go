package clamp

import (
	"math"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
)

// check starts a check in the option's list.
func (b *bench) check(id design.CheckID, unit design.Unit) *design.Check {
	b.o.Checks = append(b.o.Checks, design.Check{ID: id, Unit: unit, K: 1, Brief: b.w.Brief})
	return &b.o.Checks[len(b.o.Checks)-1]
}

func (b *bench) na(id design.CheckID, why string) {
	b.o.NA = append(b.o.NA, design.NotApplicable{ID: id, Why: why})
}

func (b *bench) judge(c *design.Check) {
	design.Judge(c)
	b.o.Verdict = max(b.o.Verdict, c.Verdict)
	if c.ID != design.ReleaseTime {
		b.o.Unhurried = max(b.o.Unhurried, c.Verdict)
	}
}

func (b *bench) lName() string {
	if b.w.LName != "" {
		return b.w.LName
	}
	return "load.inductance"
}

// breaker is the part that takes the energy: the Zener or TVS, else the diode.
func (b *bench) breaker() catalog.Part {
	switch {
	case b.z != nil:
		return b.z
	case b.tvs != nil:
		return b.tvs
	}
	return b.diode
}

// figure names a figure of the part that takes the energy.
func (b *bench) figure(ofZener, ofTVS, ofDiode string) string {
	switch {
	case b.z != nil:
		return ofZener
	case b.tvs != nil:
		return ofTVS
	}
	return ofDiode
}

// clampVoltage: a diode across the load blocks the highest rail while it is on.
func (b *bench) clampVoltage() {
	switch {
	case b.diode == nil:
		b.na(design.ClampVoltage, "a clamp without a diode: its voltage is judged by blocking-voltage and clamp-standoff")
		return
	case b.o.AtSwitch:
		b.na(design.ClampVoltage, "across the switch the series diode blocks nothing")
		return
	}
	c := b.check(design.ClampVoltage, design.V)
	c.Stress, c.K = design.Known(b.w.VMax), b.pol.DiodeVoltage()
	c.Formula = "reverse voltage = highest rail = {v_s}"
	c.SetArgs(design.Arg{Name: "v_s", V: b.w.VMax, Unit: design.V})
	c.SetCorner(design.CornerValue{Name: "rail", V: b.w.VMax})
	c.Source = b.diode.Provenance
	if v, ok := b.diode.VRRMMax.Get(); ok {
		c.Rating = design.Known(float64(v))
	} else {
		c.Needs("diode.v_rrm_max")
	}
	b.judge(c)
}

// clampStandoff: what a Zener or TVS without a diode in its way must not conduct
// at. Across the switch that is the rail while it is off, across the load (a
// two-way TVS) the rail while it is on.
func (b *bench) clampStandoff() {
	if b.z == nil && b.tvs == nil {
		b.na(design.ClampStandoff, "a diode alone: clamp-voltage judges what it blocks")
		return
	}
	if b.diode != nil && !b.o.AtSwitch {
		b.na(design.ClampStandoff, "the series diode blocks while the load is on")
		return
	}
	c := b.check(design.ClampStandoff, design.V)
	c.Stress, c.K = design.Known(b.w.VMax), b.pol.V
	c.SetArgs(design.Arg{Name: "v_s", V: b.w.VMax, Unit: design.V})
	c.SetCorner(design.CornerValue{Name: "rail", V: b.w.VMax}, design.CornerValue{Name: "ambient", V: b.w.AmbientMin})
	c.Formula = "voltage across the clamp when it must not conduct = highest rail = {v_s}"
	c.Source = b.breaker().Base().Provenance
	if b.tvs != nil {
		b.suppressorStandoff(c)
	} else {
		b.zenerStandoff(c)
	}
	b.judge(c)
}

const conductsAlways = "the clamp conducts all the time: its voltage is under the rail"

func (b *bench) suppressorStandoff(c *design.Check) {
	if v, ok := b.tvs.VRWM.Get(); ok {
		c.Rating = design.Known(float64(v))
	} else {
		c.Needs("tvs.v_rwm")
	}
	if b.tvs.VBR == nil {
		return
	}
	if v, ok := b.tvs.VBR.Max.Get(); ok && design.AtMost(float64(v), b.w.VMax) {
		c.NoSolution, c.Because = true, conductsAlways
	}
}

func (b *bench) zenerStandoff(c *design.Check) {
	if !b.zv.ok {
		c.Needs("zener.v_z")
		return
	}
	// Off, the Zener has the temperature of the air; the sign of its coefficient
	// is not known, so the farther end counts.
	dt := max(math.Abs(statedAt-b.w.AmbientMin), math.Abs(b.w.AmbientMax-statedAt))
	c.Rating = design.Known(b.zv.low(dt))
	if !b.zv.stated {
		c.EasyRating = design.Known(b.zv.min)
		c.Needs("zener.tc_max")
	}
	if design.AtMost(b.zv.max, b.w.VMax) {
		c.NoSolution, c.Because = true, conductsAlways
	}
}

// ---- current ----

// clampCurrent judges the average and the peak of a diode's current and keeps
// the one with less headroom.
func (b *bench) clampCurrent() {
	if b.diode == nil {
		b.na(design.ClampCurrent, "a clamp without a diode: its power and energy are judged")
		return
	}
	if b.refused() {
		return
	}
	continuous := averageAt(b.diode, b.w.AmbientMax)
	average := b.averageCheck(continuous)
	peak := b.peakCheck(continuous)
	design.Judge(&average)
	design.Judge(&peak)
	keep := &average
	if worse(&peak, &average) {
		keep = &peak
	}
	if leak, owes := b.leakCheck(); owes {
		if design.Judge(&leak); leak.Verdict != design.Fits && worse(&leak, keep) {
			keep = &leak
		}
	}
	b.o.Checks = append(b.o.Checks, *keep)
	b.o.Verdict = max(b.o.Verdict, keep.Verdict)
}

// worse reports whether a is the worse of two judged checks.
func worse(a, b *design.Check) bool {
	if a.Verdict != b.Verdict {
		return a.Verdict > b.Verdict
	}
	return a.Headroom.OK && (!b.Headroom.OK || a.Headroom.V < b.Headroom.V)
}

// refused answers for a rectifier of unknown recovery in fast pwm.
func (b *bench) refused() bool {
	if !b.w.PWM || b.w.F <= slowRectifier || b.diode.Technology != "rectifier" || b.o.Recovery.OK {
		return false
	}
	c := b.check(design.ClampCurrent, design.A)
	c.NoSolution = true
	c.Formula = "no recovery time is stated"
	c.Because = "a rectifier without a stated recovery time is refused in pwm above 1 kHz"
	c.Needs("diode.t_rr_max")
	c.Stress = design.Known(b.peak())
	c.Source = b.diode.Provenance
	c.SetCorner(design.CornerValue{Name: "frequency", V: b.w.F})
	b.judge(c)
	return true
}

// averageCheck judges the average current against i_f_av at the hottest air. A
// diode alone across an on-off load must bear the worst steady current for ever;
// one that does not is judged by its real average, and then owes an energy.
func (b *bench) averageCheck(continuous design.Number) design.Check {
	w := b.w
	c := design.Check{ID: design.ClampCurrent, Unit: design.A, K: 1, Source: b.diode.Provenance, Rating: continuous, Brief: w.Brief}
	if !continuous.OK {
		c.Needs("diode.i_f_av_max")
	}
	alone := b.z == nil && b.tvs == nil
	switch {
	case w.PWM:
		c.K = b.pol.DiodeCurrent()
		c.Stress = design.Known(b.iAverage)
		b.averageText(&c)
		c.SetCorner(design.CornerValue{Name: "rail", V: w.VMax}, design.CornerValue{Name: "ambient", V: w.AmbientMax}, design.CornerValue{Name: "duty", V: b.duty})
		b.o.ContinuousDiode = alone && !b.o.AtSwitch && passes(c.Stress, continuous)
		return c
	case alone && !b.o.AtSwitch && passes(design.Known(b.steady()), continuous):
		c.Stress = design.Known(b.steady())
		c.Formula = "worst steady current, as if it flowed for ever = {i}"
		c.SetArgs(design.Arg{Name: "i", V: b.steady(), Unit: design.A})
		b.o.ContinuousDiode = true
	default:
		b.repeated(&c)
	}
	c.SetCorner(design.CornerValue{Name: "rail", V: w.VMax}, design.CornerValue{Name: "ambient", V: w.AmbientMax})
	return c
}

// leakCheck judges what a Schottky diode across the load leaks while the load is on: it
// grows with heat and heats the diode. One that starts in the hottest air stays under a
// temperature at which its leakage makes no more heat than its way to the air sheds
// there, beside its forward loss; such a one has to be among those that it states its
// leakage at. Other diodes leak too little to matter (common practice, no source).
func (b *bench) leakCheck() (c design.Check, owes bool) {
	d, w := b.diode, b.w
	if d.Technology != "schottky" || b.o.AtSwitch {
		return c, false
	}
	c = design.Check{ID: design.ClampCurrent, Unit: design.A, K: 1, Source: d.Provenance, Brief: w.Brief,
		Because: "a Schottky diode leaks the more the hotter it is, and is heated by it while the load is on"}
	c.Formula = "leakage at {v_s} and {T_j} = {i}; heat sheds {rating} of it there"
	c.SetCorner(design.CornerValue{Name: "rail", V: w.VMax}, design.CornerValue{Name: "ambient", V: w.AmbientMax})
	forward := 0.0 // W; single decays of unknown energy heat it for a moment only
	if b.o.PClamp.OK {
		forward = b.o.PClamp.V
	}
	r, stated := float64(d.RthJA.Or(0)), d.RthJA.Known()
	if !stated {
		r, c.Fallback = worstToAir, true
		c.Needs("diode.r_th_ja_max")
	}
	best := math.Inf(-1)
	for k := range d.IRMax {
		p := &d.IRMax[k]
		i, ok := p.Max.Get()
		t := float64(p.Tj.Or(statedAt))
		if !ok || !design.AtMost(w.VMax, float64(p.V.Or(0))) || t <= w.AmbientMax || d.TjMax.Known() && t > float64(d.TjMax.Value()) {
			continue
		}
		sheds := max(0, ((t-w.AmbientMax)/r-forward)/w.VMax)
		if room := sheds / max(float64(i), math.SmallestNonzeroFloat64); room > best {
			best, c.Stress, c.Rating = room, design.Known(float64(i)), design.Known(sheds)
			c.SetArgs(design.Arg{Name: "v_s", V: w.VMax, Unit: design.V}, design.Arg{Name: "T_j", V: t, Unit: design.DegC}, design.Arg{Name: "i", V: float64(i), Unit: design.A})
		}
	}
	switch {
	case math.IsInf(best, -1):
		c.Formula = "leakage at the highest rail and above the hottest air"
		c.Needs("diode.i_r_max")
	case !design.AtMost(c.Stress.V, c.Rating.V):
		// It may leak less than it promises, or stay under another temperature.
		c.Stress = design.Number{}
		c.Needs("diode.i_r_max")
	}
	return c, true
}

func (b *bench) averageText(c *design.Check) {
	i := b.iOf
	switch {
	case b.w.F < averageFrequency:
		c.Formula = "current that an average of slow pulses cannot relieve = {i}"
		c.SetArgs(design.Arg{Name: "i", V: i, Unit: design.A})
	case b.follows:
		c.Formula = "freewheel average at the worst duty = {d}*(1 - {d})*{i} = {i_av}"
		c.SetArgs(design.Arg{Name: "d", V: b.duty, Unit: design.One}, design.Arg{Name: "i", V: i, Unit: design.A}, design.Arg{Name: "i_av", V: b.iAverage, Unit: design.A})
	default:
		c.Formula = "freewheel average at the worst duty = (1 - {d})*{i} = {i_av}"
		c.SetArgs(design.Arg{Name: "d", V: b.duty, Unit: design.One}, design.Arg{Name: "i", V: i, Unit: design.A}, design.Arg{Name: "i_av", V: b.iAverage, Unit: design.A})
	}
}

// repeated is the average of single decays.
func (b *bench) repeated(c *design.Check) {
	if !b.charge.OK {
		c.Formula = "charge of one decay times openings"
		b.needsInductance(c)
		return
	}
	i := b.charge.V * b.w.Rate
	c.Stress = design.Known(i)
	c.Formula = "charge of one decay times openings = {q}*{rate} = {i}"
	c.SetArgs(design.Arg{Name: "q", V: b.charge.V, Unit: design.C}, design.Arg{Name: "rate", V: b.w.Rate, Unit: design.Hz}, design.Arg{Name: "i", V: i, Unit: design.A})
}

// peakCheck judges the peak against i_fsm for the time of the decay; what does
// not exceed the continuous current needs no surge figure.
func (b *bench) peakCheck(continuous design.Number) design.Check {
	w, i := b.w, b.peak()
	c := design.Check{ID: design.ClampCurrent, Unit: design.A, K: 1, Source: b.diode.Provenance, Stress: design.Known(i), Brief: w.Brief}
	surgeK := b.pol.DiodeSurge()
	if w.PWM {
		c.K = b.pol.DiodeCurrent()
		surgeK = min(c.K, surgeK)
	}
	c.Formula = "highest current at turn-off = {i}"
	c.SetArgs(design.Arg{Name: "i", V: i, Unit: design.A})
	c.SetCorner(design.CornerValue{Name: "rail", V: w.VMax}, design.CornerValue{Name: "ambient", V: w.AmbientMax})
	switch {
	case continuous.OK && design.AtMost(i, c.K*continuous.V):
		c.Rating = continuous
		if b.tZero.OK || b.o.ContinuousDiode && !w.LMax.OK { // a surge that is borne is room too
			if surge := surgeAt(b.diode, b.surgeTime(), continuous); surge.OK && surgeK*surge.V > c.K*continuous.V {
				c.Rating, c.K = surge, surgeK
			}
		}
	case len(b.diode.IFSM) == 0:
		c.Rating, c.Fallback = continuous, true
		c.Needs("diode.i_fsm_max")
	case !b.tZero.OK && (!b.o.ContinuousDiode || w.LMax.OK):
		b.needsInductance(&c)
	default:
		t := b.surgeTime()
		c.Rating, c.K = surgeAt(b.diode, t, continuous), surgeK
		if t.OK {
			c.Formula = "highest current at turn-off = {i}, against the surge current for {t}"
			c.SetArgs(design.Arg{Name: "i", V: i, Unit: design.A}, design.Arg{Name: "t", V: t.V, Unit: design.S})
		}
	}
	return c
}

// surgeTime is how long the diode carries the highest current: one decay, and
// under pwm, where it carries it again in every off time, as long as an inrush or
// a stall lasts.
func (b *bench) surgeTime() design.Number {
	t := b.tZero
	if s := b.w.StallTime; b.w.PWM && s.OK && b.w.IStall > b.steady() && (!t.OK || s.V > t.V) {
		return s
	}
	return t
}

// needsInductance names what keeps times and energies from being known.
func (b *bench) needsInductance(c *design.Check) {
	switch {
	case !b.w.LMax.OK:
		c.Needs(b.lName())
	case b.o.AtSwitch && b.vLow.OK && b.vLow.V <= b.w.VMax:
		c.NoSolution = !b.lowFallback
		c.Because = "nothing guarantees that the current ends: the clamp's least voltage does not clear the highest rail"
		for _, f := range b.lowNeeds {
			if f != "" {
				c.Needs(f)
			}
		}
	default:
		for _, f := range b.o.VPeakNeeds {
			c.Needs(f)
		}
	}
}

func passes(stress, rating design.Number) bool {
	return stress.OK && rating.OK && design.AtMost(stress.V, rating.V)
}

// ---- energy and power ----

const (
	ratedForAll  = "a diode across the load rated for its whole current"
	noDiodePulse = "the diode is not rated for the whole current, and a diode states no energy: take one that is"
)

// clampEnergy judges the energy of one opening.
//
// The length of the pulse is twice energy over peak power: the straight-line
// decay with the same peak and energy, which the real one, curved by the
// winding's resistance, does not outlast in heating. A Zener's pulse power is
// borne for its whole time, so power times time is the energy it bears: a
// falling pulse of the same energy and length heats a junction to 94 % of a
// square one (heat into a half-space). A suppressor's is the peak of a pulse that
// has fallen to half at the stated time, which heats less than a square one, so
// the peak of ours must not exceed it: half of power times time.
func (b *bench) clampEnergy() {
	if b.o.ContinuousDiode {
		b.na(design.ClampEnergy, ratedForAll)
		return
	}
	c := b.check(design.ClampEnergy, design.J)
	c.Stress, c.K = b.o.ETurnoff, b.pol.Energy
	c.Source = b.breaker().Base().Provenance
	b.energyText(c)
	if !c.Stress.OK {
		b.needsInductance(c)
	}
	switch {
	case b.z == nil && b.tvs == nil:
		c.Because = noDiodePulse
		c.Needs("diode.i_f_av_max")
	case c.Stress.OK:
		b.pulseRating(c)
	}
	b.judge(c)
}

func (b *bench) energyText(c *design.Check) {
	w := b.w
	c.SetCorner(design.CornerValue{Name: "rail", V: w.VMax}, design.CornerValue{Name: "load.r", V: w.RMin},
		design.CornerValue{Name: "load.l", V: w.LMax.V}, design.CornerValue{Name: "ambient", V: w.AmbientMax})
	if !c.Stress.OK {
		c.Formula = "energy of one opening, against what a pulse of its length may hold"
		return
	}
	v := b.vHigh.V
	c.Formula = "energy in the clamp = {v_c} times the charge of one decay from {i} = {e}"
	if b.o.AtSwitch {
		c.Formula = "energy in the clamp, the rail still feeding = {v_c} times the charge of one decay from {i} = {e}"
		v = c.Stress.V / max(b.charge.V, math.SmallestNonzeroFloat64)
	}
	c.SetArgs(design.Arg{Name: "v_c", V: v, Unit: design.V}, design.Arg{Name: "i", V: b.peak(), Unit: design.A}, design.Arg{Name: "e", V: c.Stress.V, Unit: design.J})
}

// pulseRating fills the rating of clampEnergy.
func (b *bench) pulseRating(c *design.Check) {
	if c.Stress.V == 0 {
		c.Rating = design.Known(0)
		return
	}
	if !b.vHigh.OK {
		c.Needs(b.figure("zener.v_z", "tvs.v_c", ""))
		return
	}
	t := 2 * c.Stress.V / (b.vHigh.V * b.peak())
	if b.o.AtSwitch {
		// The longest pulse that the least voltage gives: a longer one bears more
		// energy, so the shorter of the two bounds counts.
		t = min(t, b.tZero.V)
	}
	p, share := b.pulsePower(c, t)
	hot := b.hotShare(c)
	if p.OK && hot.OK {
		c.Rating = design.Known(p.V * t * share * hot.V)
	}
}

// pulsePower is the stated pulse power for t, and the share of power times time
// that counts as energy.
func (b *bench) pulsePower(c *design.Check, t float64) (p design.Number, share float64) {
	if b.tvs != nil {
		p = pulseAt(b.tvs.Pulse, t)
		if !p.OK {
			c.Needs("tvs.pulse")
		}
		return p, 0.5
	}
	p = pulseAt(b.z.Pulse, t)
	if !p.OK {
		c.Fallback = true
		c.Needs("zener.pulse")
		if v, ok := b.z.PMax.Get(); ok {
			p = design.Known(float64(v))
		}
	}
	return p, 1
}

// heat returns the heat figures of the part that takes the energy.
func (b *bench) heat() (h *catalog.Heat, pMax design.Number) {
	switch {
	case b.z != nil:
		if v, ok := b.z.PMax.Get(); ok {
			pMax = design.Known(float64(v))
		}
		return &b.z.Heat, pMax
	case b.tvs != nil:
		if v, ok := b.tvs.PAvMax.Get(); ok {
			pMax = design.Known(float64(v))
		}
		return &b.tvs.Heat, pMax
	}
	return &b.diode.Heat, design.Number{}
}

// hotShare is the part of a pulse figure, stated at 25 C, that is left at the
// junction before the pulse: linear to nothing at t_j_max. The average power has
// heated it through r_th_ja, or its bracket.
func (b *bench) hotShare(c *design.Check) design.Number {
	h, _ := b.heat()
	tj, ok := h.TjMax.Get()
	if !ok {
		c.Needs(b.figure("zener.t_j_max", "tvs.t_j_max", ""))
		return design.Number{}
	}
	if float64(tj) <= statedAt {
		return design.Known(0)
	}
	t := b.w.AmbientMax
	if b.o.PClamp.OK {
		t += b.o.PClamp.V * b.toAir(c)
	}
	return design.Known(clampShare((float64(tj) - t) / (float64(tj) - statedAt)))
}

// toAir is the resistance from junction to air of the part that takes the
// energy, K/W, or its bracket, which the check is then told.
func (b *bench) toAir(c *design.Check) float64 {
	h, _ := b.heat()
	if r, ok := h.RthJA.Get(); ok {
		return float64(r)
	}
	c.Fallback = true
	c.Needs(b.figure("zener.r_th_ja_max", "tvs.r_th_ja_max", ""))
	return worstToAir
}

func clampShare(x float64) float64 { return max(0, min(1, x)) }

// clampPower judges the average power against p_max derated to the hottest air,
// linear from 25 C to nothing at t_j_max, and to what r_th_ja lets out below it.
func (b *bench) clampPower() {
	if b.o.ContinuousDiode {
		b.na(design.ClampPower, ratedForAll)
		return
	}
	w := b.w
	c := b.check(design.ClampPower, design.W)
	c.Stress, c.K = b.o.PClamp, b.pol.P
	c.Source = b.breaker().Base().Provenance
	c.SetCorner(design.CornerValue{Name: "rail", V: w.VMax}, design.CornerValue{Name: "load.r", V: w.RMin},
		design.CornerValue{Name: "load.l", V: w.LMax.V}, design.CornerValue{Name: "ambient", V: w.AmbientMax})
	if c.Stress.OK {
		c.Formula = "average power in the clamp = {p}"
		c.SetArgs(design.Arg{Name: "p", V: c.Stress.V, Unit: design.W})
	} else {
		c.Formula = "energy of one opening times openings"
		b.needsInductance(c)
	}
	if b.z == nil && b.tvs == nil {
		c.Because = noDiodePulse
		c.Needs("diode.i_f_av_max")
	} else {
		b.powerRating(c)
	}
	b.judge(c)
}

func (b *bench) powerRating(c *design.Check) {
	h, pMax := b.heat()
	tj, okT := h.TjMax.Get()
	if !pMax.OK {
		c.Needs(b.figure("zener.p_max", "tvs.p_av_max", ""))
	}
	if !okT {
		c.Needs(b.figure("zener.t_j_max", "tvs.t_j_max", ""))
	}
	if !pMax.OK || !okT {
		return
	}
	rise := max(0, float64(tj)-b.w.AmbientMax)
	if rise == 0 {
		c.Rating = design.Known(0)
		return
	}
	derated := pMax.V * clampShare(rise/(float64(tj)-statedAt))
	c.Rating = design.Known(min(derated, rise/b.toAir(c)))
}

// ---- release ----

// releaseTime judges the time from opening to letting go, where one is asked.
func (b *bench) releaseTime() {
	w, o := b.w, b.o
	if !w.ReleaseWithin.OK {
		b.na(design.ReleaseTime, "no release time is asked")
		return
	}
	c := b.check(design.ReleaseTime, design.S)
	c.Rating = w.ReleaseWithin
	c.SetCorner(design.CornerValue{Name: "rail", V: w.VMax}, design.CornerValue{Name: "load.r", V: w.RMin},
		design.CornerValue{Name: "load.l", V: w.LMax.V}, design.CornerValue{Name: "clamp", V: b.vLow.V})
	c.Source = b.breaker().Base().Provenance
	c.Stress = o.TRelease
	c.Formula = "time for the current to fall, and for what moves to move"
	switch {
	case !w.Mech.OK:
		c.StressEstimate = o.TDecay // it cannot be shorter than the current's own decay
		c.Needs(b.mechName())
		if !o.TDecay.OK {
			b.needsInductance(c)
		}
	case !o.TDecay.OK:
		b.needsInductance(c)
	default:
		b.releaseText(c)
	}
	if b.lowFallback {
		b.easyRelease(c)
		for _, f := range b.lowNeeds {
			if f != "" {
				c.Needs(f)
			}
		}
	}
	b.judge(c)
}

// easyRelease fills what the time would be without the brackets in the clamp's
// least voltage: where that passes, the figures behind them decide.
func (b *bench) easyRelease(c *design.Check) {
	w := b.w
	if !w.LMax.OK || !w.Mech.OK {
		return
	}
	v := b.vLowEasy
	if b.o.AtSwitch {
		v -= w.VMax
	}
	c.EasyStress = known(w.Mech.V + DecayTime(w.LMax.V, w.RMin, v, b.peak(), b.end()))
}

func (b *bench) mechName() string {
	if b.w.MechName != "" {
		return b.w.MechName
	}
	return "load.mechanical_release_time"
}

func (b *bench) releaseText(c *design.Check) {
	w, o := b.w, b.o
	c.Formula = "{t_mech} + {l}/{r}*ln(({i}*{r} + {v_c})/({i_end}*{r} + {v_c})) = {t}"
	c.SetArgs(design.Arg{Name: "t_mech", V: w.Mech.V, Unit: design.S}, design.Arg{Name: "l", V: w.LMax.V, Unit: design.H},
		design.Arg{Name: "r", V: w.RMin, Unit: design.Ohm}, design.Arg{Name: "i", V: b.peak(), Unit: design.A},
		design.Arg{Name: "i_end", V: b.end(), Unit: design.A}, design.Arg{Name: "v_c", V: b.across().V, Unit: design.V},
		design.Arg{Name: "t", V: o.TRelease.V, Unit: design.S})
}
