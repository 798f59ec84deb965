package clamp

import (
	"math"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/waveform"
)

// Winding is one inductive load at the corners of its turn-off, SI.
type Winding struct {
	VMin, VNom, VMax float64 // rail, V
	// IMax is the highest turn-off current, A: highest rail, least resistance, cold.
	IMax float64
	INom float64
	// RMin and RMax are the winding's resistance at the corners, ohm; RMin goes
	// with IMax. 0 where it is not known: the current then lasts longest.
	RMin, RMax float64
	LMax, LMin design.Number // H, unknown where not stated
	// IRelease is the current, A, at which it lets go: release_current, 10 % of
	// the nominal, or a relay's must-release current.
	IRelease float64
	// IRelease10 is 10 % of the nominal; it counts where IRelease is 0.
	IRelease10    float64
	Mech          design.Number // mechanical release time, s
	ReleaseWithin design.Number // s; unknown: not judged
	Rate          float64       // openings per second
	PWM           bool
	F             float64 // Hz
	DutyMin       float64
	DutyMax       float64
	// IAvMax is the greatest steady current, A; 0: IMax.
	IAvMax float64
	// FollowsDuty says that under pwm the mean current is duty times IAvMax: a
	// winding on a voltage. A motor at constant torque is not.
	FollowsDuty bool
	AmbientMax  float64 // degC, of the air at the parts
	AmbientMin  float64
	// IStall is the current of a jammed motor, A; 0: none. StallForever says that
	// nothing ends it, so that it is a steady current under pwm.
	IStall       float64
	StallForever bool
	// StallTime is how long, s, that current lasts where something ends it: under
	// pwm the clamp carries it in every off time until then.
	StallTime design.Number
	// LName and MechName are the figures to name where LMax and Mech are
	// unknown; "" means load.inductance and load.mechanical_release_time.
	LName, MechName string
	// Brief leaves out of the checks what only a telling needs.
	Brief bool
}

// Option is one way to clamp a winding, worked out and judged.
type Option struct {
	Parts    []catalog.Part
	AtSwitch bool
	Cost     design.Number // unknown where a part has no price
	Currency string
	Checks   []design.Check
	NA       []design.NotApplicable

	// VPeak is the highest voltage at the switch, ground-referred, V, proven;
	// where it is not, VPeakEstimate may say what to expect. VPeakEasy is VPeak
	// without the brackets taken for the figures in VPeakNeeds (VPeakFallback).
	VPeak, VPeakEstimate, VPeakEasy design.Number
	VPeakFallback                   bool
	VPeakNeeds                      []string

	TDecay   design.Number // s, to IRelease
	TRelease design.Number // s, TDecay and what moves
	ETurnoff design.Number // J, what the clamp absorbs per opening
	PClamp   design.Number // W, average at the worst rate or duty
	Verdict  design.Verdict
	// Unhurried is Verdict without release-time.
	Unhurried design.Verdict
	// ContinuousDiode says that a diode across the load is rated for its whole
	// current, so that energy and power need no judging and no inductance.
	ContinuousDiode bool
	Recovery        design.Number // t_rr of the freewheel diode, s
}

// Evaluate works out one clamp, across the load or across the switch. parts is a
// diode; a diode and a Zener or TVS in series; a TVS; or a Zener. Any other
// arrangement is judged over or unproven and says why, never passed. No parts:
// every check is not applicable, since the switch then owes avalanche.
func Evaluate(w *Winding, pol *catalog.Policy, parts []catalog.Part, atSwitch bool) Option {
	o := Option{Parts: parts, AtSwitch: atSwitch}
	o.Checks, o.NA = make([]design.Check, 0, len(clampChecks)), make([]design.NotApplicable, 0, len(clampChecks))
	evaluate(w, pol, &o)
	return o
}

// Into is Evaluate with the checks, and what does not apply, appended to others.
func Into(w *Winding, pol *catalog.Policy, parts []catalog.Part, atSwitch bool, checks []design.Check, na []design.NotApplicable) ([]design.Check, []design.NotApplicable) {
	o := Option{Parts: parts, AtSwitch: atSwitch, Checks: checks, NA: na}
	evaluate(w, pol, &o)
	return o.Checks, o.NA
}

// Key names an option: "d-100v-1a", "d-100v-1a+z-24v-1w3", "tvs-24v-600w@switch".
func (o *Option) Key() string { return key(o.Parts, o.AtSwitch) }

func key(parts []catalog.Part, atSwitch bool) string {
	k := ""
	for i, p := range parts {
		if i > 0 {
			k += "+"
		}
		k += p.Base().ID
	}
	if atSwitch {
		k += "@switch"
	}
	return k
}

// bench is the state of one evaluation.
type bench struct {
	w     *Winding
	pol   *catalog.Policy
	o     *Option
	diode *catalog.Diode
	z     *catalog.Zener
	tvs   *catalog.TVS
	zv    zener

	vHigh, vHighEst, vHighEasy design.Number // of the whole clamp at the peak
	vLow                       design.Number // of the whole clamp at the end of decay
	vLowEasy                   float64       // vLow without its brackets
	lowFallback                bool
	lowNeeds                   [2]string

	tZero    design.Number // s, longest time to zero current
	charge   design.Number // C, greatest charge per opening
	iAverage float64       // A, bound of the average under pwm
	iOf      float64       // A, the current that it is the average of
	follows  bool          // whether that current follows the duty
	duty     float64       // where that stands
}

func evaluate(w *Winding, pol *catalog.Policy, o *Option) {
	b := bench{w: w, pol: pol, o: o}
	o.Cost, o.Currency = cost(o.Parts)
	if !b.sortParts() {
		return
	}
	if why, id := b.impossible(); why != "" {
		b.none(id, why)
		return
	}
	b.voltages()
	b.times()
	b.clampVoltage()
	b.clampStandoff()
	b.clampCurrent()
	b.clampEnergy()
	b.clampPower()
	b.releaseTime()
}

// cost sums the prices; unknown where one is missing.
func cost(parts []catalog.Part) (design.Number, string) {
	sum, currency, all := 0.0, "", true
	for _, p := range parts {
		price := p.Base().Price
		if price == nil {
			all = false
			continue
		}
		sum += price.Amount
		currency = price.Currency
	}
	if !all {
		return design.Number{}, currency
	}
	return design.Known(sum), currency
}

var clampChecks = [...]design.CheckID{design.ClampVoltage, design.ClampStandoff, design.ClampCurrent, design.ClampEnergy, design.ClampPower, design.ReleaseTime}

// sortParts finds which part is what. It answers for arrangements that this
// package does not work out, and then returns false.
func (b *bench) sortParts() bool {
	unknown := len(b.o.Parts) > 2
	for _, p := range b.o.Parts {
		switch p := p.(type) {
		case *catalog.Diode:
			unknown = unknown || b.diode != nil
			b.diode = p
		case *catalog.Zener:
			unknown = unknown || b.z != nil || b.tvs != nil
			b.z = p
		case *catalog.TVS:
			unknown = unknown || b.z != nil || b.tvs != nil
			b.tvs = p
		default:
			unknown = true
		}
	}
	switch {
	case len(b.o.Parts) == 0:
		for _, id := range clampChecks {
			b.na(id, "there is no clamp")
		}
		return false
	case unknown:
		for _, id := range clampChecks {
			c := b.check(id, design.One)
			c.Formula, c.Because = "not worked out", "a clamp of these parts is not worked out"
			b.judge(c)
		}
		return false
	}
	return true
}

// impossible says why an arrangement cannot clamp at all, and which check says so.
func (b *bench) impossible() (string, design.CheckID) {
	alone := b.diode == nil
	switch {
	case b.o.AtSwitch && b.z == nil && b.tvs == nil:
		return "a diode across the switch conducts in the wrong direction: nothing limits the voltage", design.ClampVoltage
	case !b.o.AtSwitch && alone && b.z != nil:
		return "a Zener alone across the load conducts while the load is on; a diode in series is missing", design.ClampStandoff
	case !b.o.AtSwitch && alone && b.tvs != nil && b.tvs.Direction != "bi":
		return "a one-way suppressor across the load conducts while the load is on; a diode in series is missing", design.ClampStandoff
	}
	return "", 0
}

// none answers for a clamp with no solution.
func (b *bench) none(id design.CheckID, why string) {
	for _, c := range clampChecks {
		if c == id {
			k := b.check(id, design.V)
			k.NoSolution, k.Because = true, why
			k.Formula = "no clamping at {rail}"
			k.SetArgs(design.Arg{Name: "rail", V: b.w.VMax, Unit: design.V})
			k.Stress = design.Known(b.w.VMax)
			b.judge(k)
			continue
		}
		b.na(c, "the clamp cannot work here")
	}
}

// ---- voltages and times ----

// end is the current at which the winding lets go.
func (b *bench) end() float64 {
	if b.w.IRelease > 0 {
		return b.w.IRelease
	}
	return b.w.IRelease10
}

// peak is the highest current that is ever switched off.
func (b *bench) peak() float64 { return max(b.w.IMax, b.w.IStall) }

// steady is the greatest steady current.
func (b *bench) steady() float64 {
	i := b.w.IAvMax
	if i == 0 {
		i = b.w.IMax
	}
	return i
}

// zenerSpread is the greatest distance of a Zener's junction from 25 C: its
// temperature coefficient has either sign, so both ends count.
func (b *bench) zenerSpread() float64 {
	hot, ok := b.z.TjMax.Get()
	if !ok {
		hot = hottestJunction
	}
	return max(float64(hot)-statedAt, statedAt-b.w.AmbientMin)
}

// voltages adds up what the parts of the clamp show at the peak and at the end.
func (b *bench) voltages() {
	b.vHigh, b.vHighEst, b.vHighEasy, b.vLow = design.Known(0), design.Known(0), design.Known(0), design.Known(0)
	if b.diode != nil {
		b.diodeVoltages()
	}
	if b.z != nil {
		b.zenerVoltages()
	}
	if b.tvs != nil {
		b.suppressorVoltages()
	}
	if b.vHigh.OK {
		b.vHighEst = design.Number{} // proven: no estimate stands beside it
	} else {
		b.vHighEasy = design.Number{}
	}
	b.setPeak()
}

// high adds a part's greatest voltage, or its estimate, with what of it is brackets.
func (b *bench) high(v, estimate design.Number, brackets float64) {
	b.vHigh = plus(b.vHigh, v)
	if !v.OK {
		b.vHighEst = plus(b.vHighEst, estimate)
		return
	}
	b.vHighEst = shift(b.vHighEst, v.V)
	b.vHighEasy = shift(b.vHighEasy, v.V-brackets)
}

// low adds a part's least voltage; easy is what it may be where that is a bracket.
func (b *bench) low(v design.Number, easy float64) {
	b.vLow = plus(b.vLow, v)
	b.vLowEasy += easy
}

func (b *bench) diodeVoltages() {
	v, e := forwardMax(b.diode, b.peak())
	if !v.OK {
		b.peakNeeds("diode.v_f.max")
	}
	b.high(v, e, 0)
	l, stated := forwardMin(b.diode, b.end())
	easy := l
	if !stated {
		b.lowFallback, b.lowNeeds[0] = true, "diode.v_f.min"
		easy = hopefulForward
	}
	b.low(design.Known(l), easy)
}

func (b *bench) zenerVoltages() {
	b.zv = newZener(b.z)
	if !b.zv.ok {
		b.peakNeeds("zener.v_z")
		b.high(design.Number{}, design.Number{}, 0)
		b.low(design.Number{}, 0)
		return
	}
	dt, brackets := b.zenerSpread(), 0.0
	if !b.z.TjMax.Known() {
		b.peakBracket("zener.t_j_max")
	}
	if !b.zv.zz.OK {
		brackets += b.zv.bracketRise(b.peak())
		b.peakBracket("zener.z_z_max")
	}
	low := b.zv.low(dt)
	easy := low
	if !b.zv.stated {
		brackets += b.zv.tc * dt
		b.peakBracket("zener.tc_max")
		b.lowFallback, b.lowNeeds[1] = true, "zener.tc_max"
		easy = b.zv.min
	}
	b.high(design.Known(b.zv.high(b.peak(), dt)), design.Number{}, brackets)
	b.low(design.Known(low), easy)
}

func (b *bench) suppressorVoltages() {
	v, e := suppressorMax(b.tvs, b.peak())
	if !v.OK {
		b.peakNeeds("tvs.v_c")
	}
	b.high(v, e, 0)
	l := suppressorMin(b.tvs, b.end())
	b.low(l, l.V)
}

// peakBracket records that a bracket stands for a figure in the peak.
func (b *bench) peakBracket(figure string) {
	b.o.VPeakFallback = true
	b.peakNeeds(figure)
}

func (b *bench) peakNeeds(figure string) { b.o.VPeakNeeds = append(b.o.VPeakNeeds, figure) }

// setPeak refers the clamp's voltage to ground.
func (b *bench) setPeak() {
	rail := b.w.VMax
	if b.o.AtSwitch {
		rail = 0
	}
	b.o.VPeak = shift(b.vHigh, rail)
	b.o.VPeakEstimate = shift(b.vHighEst, rail)
	b.o.VPeakEasy = shift(b.vHighEasy, rail)
}

func shift(n design.Number, by float64) design.Number {
	if n.OK {
		n.V += by
	}
	return n
}

func plus(a, b design.Number) design.Number {
	if !a.OK || !b.OK {
		return design.Number{}
	}
	return design.Known(a.V + b.V)
}

// across is the least voltage that drives the current down, V: the clamp's own,
// less the rail where the clamp stands across the switch.
func (b *bench) across() design.Number {
	if !b.vLow.OK {
		return b.vLow
	}
	v := b.vLow.V
	if b.o.AtSwitch {
		v -= b.w.VMax
		if v <= 0 {
			return design.Number{}
		}
	}
	return design.Known(v)
}

// times fills everything that needs the inductance, and the averages.
func (b *bench) times() {
	w, o := b.w, b.o
	if b.diode != nil {
		if t, ok := b.diode.TrrMax.Get(); ok {
			o.Recovery = design.Known(float64(t))
		}
	}
	b.average()
	v := b.across()
	if w.LMax.OK && v.OK {
		l, i := w.LMax.V, b.peak()
		if t := DecayTime(l, w.RMin, v.V, i, b.end()); !math.IsInf(t, 1) {
			o.TDecay = design.Known(t)
		}
		if t := DecayTime(l, w.RMin, v.V, i, 0); !math.IsInf(t, 1) {
			b.tZero = design.Known(t)
		}
		b.charge = known(ClampCharge(l, w.RMin, v.V, i))
		o.ETurnoff = b.energy(l, i, v.V)
	}
	if o.TDecay.OK && w.Mech.OK {
		o.TRelease = design.Known(o.TDecay.V + w.Mech.V)
	}
	b.power()
}

// known is a number where it is finite.
func known(v float64) design.Number {
	if math.IsInf(v, 0) {
		return design.Number{}
	}
	return design.Known(v)
}

// energy is the most that the clamp absorbs per opening. Across the load it
// rises with the clamp's voltage. Across the switch it falls with it while the
// winding's own drop is not above the rail, so the least voltage counts; for a
// higher current (a stall at a worse corner) the greatest voltage at the
// longest current bounds it.
func (b *bench) energy(l, i, vLow float64) design.Number {
	w := b.w
	if !b.o.AtSwitch {
		if !b.vHigh.OK {
			return design.Number{}
		}
		return known(ClampEnergy(l, w.RMin, b.vHigh.V, i))
	}
	if design.AtMost(i*w.RMin, w.VMax) {
		return known(SwitchClampEnergy(l, w.RMin, b.vLow.V, w.VMax, i))
	}
	if !b.vHigh.OK {
		return design.Number{}
	}
	return known(b.vHigh.V * ClampCharge(l, w.RMin, vLow, i))
}

// average bounds the clamp's average current under pwm.
func (b *bench) average() {
	w := b.w
	if !w.PWM {
		return
	}
	b.iOf, b.follows = b.steady(), w.FollowsDuty
	if w.F < averageFrequency {
		if w.StallForever {
			b.iOf = max(b.iOf, w.IStall)
		}
		b.iAverage, b.duty = b.iOf, w.DutyMin
		return
	}
	b.iAverage, b.duty = b.freewheel(b.iOf, b.follows)
	// A shaft that is held is a winding on a voltage: its mean current is duty
	// times that of the stall, whatever the running motor does.
	if w.StallForever {
		if i, d := b.freewheel(w.IStall, true); i > b.iAverage {
			b.iOf, b.follows, b.iAverage, b.duty = w.IStall, true, i, d
		}
	}
}

// freewheel is FreewheelAverage, and where the winding is on a voltage and its greatest
// inductance is known, what the two exponentials give with an ideal diode: the less
// inductance, the sooner the current has fallen, the less the diode carries.
func (b *bench) freewheel(i float64, follows bool) (amps, duty float64) {
	w := b.w
	amps, duty = FreewheelAverage(i, w.DutyMin, w.DutyMax, follows)
	if l := w.LMax; follows && l.OK && l.V > 0 && i > 0 {
		c := waveform.Chopped{V: w.VMax, R: w.VMax / i, L: l.V, F: w.F}
		if d, exact := c.WorstDiode(w.DutyMin, w.DutyMax); exact < amps {
			return exact, d
		}
	}
	return amps, duty
}

// power is the clamp's average power: energy times openings; under pwm also at
// most its voltage at the greatest average current.
func (b *bench) power() {
	w, o := b.w, b.o
	rate := w.Rate
	if w.PWM {
		rate = max(rate, w.F)
	}
	switch {
	case rate == 0:
		o.PClamp = design.Known(0)
	case o.ETurnoff.OK:
		o.PClamp = known(o.ETurnoff.V * rate)
	}
	if w.PWM && b.vHigh.OK {
		p := b.vHigh.V * b.iAverage
		if !o.PClamp.OK || p < o.PClamp.V {
			o.PClamp = design.Known(p)
		}
	}
}

// IDs lists the ids of the parts, from the switch on.
func (o *Option) IDs() []string {
	ids := make([]string, len(o.Parts))
	for i, p := range o.Parts {
		ids[i] = p.Base().ID
	}
	return ids
}
