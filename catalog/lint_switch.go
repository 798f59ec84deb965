package catalog

import (
	"math"
	"slices"
	"strconv"
	"strings"

	q "example.org/pinhoist/internal/quantity"
)

// ---- bipolar transistors ----

func (c *checker) bjt(p *BJT) {
	c.heat(p, &p.Heat)
	c.atLeast("i_cm_max", &p.ICMMax, "i_c_max", &p.ICMax)
	c.below("i_b_max", &p.IBMax, "i_c_max", &p.ICMax)
	c.bracketLeast("v_ebo_max", &p.VEBOMax, float64(BracketVEBOMax))
	darlington := p.Darlington != nil && *p.Darlington
	c.bracketLeast("v_be_on_min", &p.VBEOnMin, float64(BracketVBEOnMinOf(darlington)))
	if p.ICMax.Known() {
		c.bracketLeast("i_b_max", &p.IBMax, float64(BracketIBMaxOf(darlington))*p.ICMax.SI())
	}
	c.insideBleed(p)
	c.power(p)
	c.gain(p)
	c.saturation("v_ce_sat", p.VCESat, &p.Heat)
	c.saturation("v_be_sat", p.VBESat, &p.Heat)
	c.forcedGains(p)
	ceo, cbo := p.ICEOMax, p.ICBOMax
	c.leak("i_ceo_max", "v_ce", len(ceo), func(i int) q.Textual { return &ceo[i].VCE },
		func(i int) q.Opt[q.Celsius] { return ceo[i].Tj }, func(i int) q.Textual { return &ceo[i].Max }, &p.Heat)
	c.leak("i_cbo_max", "v_cb", len(cbo), func(i int) q.Textual { return &cbo[i].VCB },
		func(i int) q.Opt[q.Celsius] { return cbo[i].Tj }, func(i int) q.Textual { return &cbo[i].Max }, &p.Heat)
	for i := range ceo {
		c.warnAbove(pathOf("i_ceo_max", i, "v_ce"), &ceo[i].VCE, "v_ceo_max", &p.VCEOMax)
	}
	c.safeArea(p.SOA, p.VCEOMax, "v_ceo_max")
}

// insideBleed crosses the figures of the resistor inside. The plain one says that it is
// there and guarantees nothing: a part of the program states both ends.
func (c *checker) insideBleed(p *BJT) {
	c.atMost("r_be_internal_min", &p.RBEIntMin, "r_be_internal", &p.RBEInternal)
	c.atMost("r_be_internal_min", &p.RBEIntMin, "r_be_internal_max", &p.RBEIntMax)
	c.atLeast("r_be_internal_max", &p.RBEIntMax, "r_be_internal", &p.RBEInternal)
	if !p.RBEInternal.Known() {
		return
	}
	c.bracketLeast("r_be_internal_min", &p.RBEIntMin, float64(BracketRBEInternalLeast)*p.RBEInternal.SI())
	if c.embedded && !both(&p.RBEIntMin, &p.RBEIntMax) {
		c.missing("r_be_internal_max", "r_be_internal is there, and needs both of its ends")
	}
}

// warnAbove warns of a condition beyond what the part bears.
func (c *checker) warnAbove(key string, v q.Textual, name string, bound q.Textual) {
	if both(v, bound) && over(v.SI(), bound.SI()) {
		c.warn(key, v.ExactText(), "at most "+name+", "+bound.ExactText())
	}
}

// powerTolerance is how far a stated power may be from what r_th_jc allows.
const powerTolerance = 0.25

// power crosses the stated power at a cold case with the thermal resistance.
func (c *checker) power(p *BJT) {
	if !both(&p.PTotCase25, &p.RthJC) || !p.TjMax.Known() {
		return
	}
	allowed := (p.TjMax.SI() - float64(DefaultTj)) / p.RthJC.SI()
	if over(math.Abs(p.PTotCase25.SI()-allowed), powerTolerance*allowed) {
		c.warn("p_tot_case25_max", p.PTotCase25.ExactText(), "about "+shown(allowed, &p.PTotCase25)+", (t_j_max - 25 C) / r_th_jc_max")
	}
}

// gain checks the points of current gain.
func (c *checker) gain(p *BJT) {
	h := p.HFE
	c.sorted(list{name: "h_fe", n: len(h), x: "i_c", at: func(i int) q.Textual { return &h[i].IC },
		like: func(i, j int) bool { return same(h[i].VCE, h[j].VCE) && sameTj(h[i].Tj, h[j].Tj) }})
	peak := p.ICMMax
	if !peak.Known() {
		peak = p.ICMax
	}
	for i := range h {
		key := func(k string) string { return pathOf("h_fe", i, k) }
		if !h[i].Min.Known() && !h[i].Typ.Known() && !h[i].Max.Known() {
			c.missing(key("min"), "a point needs min, typ or max")
		}
		if h[i].Min.Known() {
			c.bracketMost(key("max"), &h[i].Max, float64(BracketHFEMaxOfMin)*h[i].Min.SI())
		}
		c.warnAbove(key("i_c"), &h[i].IC, "the highest collector current", &peak)
		c.conditionTj(key("t_j"), h[i].Tj, &p.Heat)
	}
}

// saturation checks points of saturation voltage: more collector current with
// no more base current never lowers it.
func (c *checker) saturation(name string, s []SatPoint, h *Heat) {
	c.sorted(list{name: name, n: len(s), x: "i_c", at: func(i int) q.Textual { return &s[i].IC },
		like: func(i, j int) bool { return same(s[i].IB, s[j].IB) && sameTj(s[i].Tj, s[j].Tj) }})
	for i := range s {
		if !s[i].Max.Known() && !s[i].Typ.Known() {
			c.missing(pathOf(name, i, "max"), "a point needs max or typ")
		}
		c.below(pathOf(name, i, "i_b"), &s[i].IB, "i_c", &s[i].IC)
		c.conditionTj(pathOf(name, i, "t_j"), s[i].Tj, h)
		for j := range i {
			if !sameTj(s[i].Tj, s[j].Tj) || !both(&s[i].Max, &s[j].Max) || !both(&s[i].IB, &s[j].IB) || !both(&s[i].IC, &s[j].IC) {
				continue
			}
			if s[i].IB.SI() <= s[j].IB.SI() && s[i].IC.SI() > s[j].IC.SI() && name == "v_ce_sat" {
				c.step(name, i, "max", "i_c at no more i_b", &s[j].Max, &s[i].Max, &s[j].IC, true)
			}
			if s[i].IB.SI() >= s[j].IB.SI() && s[i].IC.SI() >= s[j].IC.SI() && name == "v_be_sat" {
				c.step(name, i, "max", "i_c and i_b", &s[j].Max, &s[i].Max, &s[j].IC, true)
			}
		}
	}
}

// forcedGains crosses what is stated in saturation with the gain that is guaranteed. No
// base current under ic over the least gain saturates the worst part, and one over it
// leaves no more than the voltage at which that gain is stated.
func (c *checker) forcedGains(p *BJT) {
	above := func(key string, ic, ib q.Textual) {
		if !both(ic, ib) || ib.SI() <= 0 {
			return
		}
		if h, _ := p.leastGain(ic.SI()); h > 0 && over(ic.SI()/ib.SI(), h) {
			o, least := q.Some(q.Ratio(ic.SI()/ib.SI())), q.Some(q.Ratio(h))
			c.warn(key, ib.ExactText()+" for "+ic.ExactText()+", a gain of "+shown(o.SI(), &o), "a gain of at most "+shown(h, &least)+", the least that h_fe guarantees there")
		}
	}
	for i := range p.VCESat {
		s := &p.VCESat[i]
		if !s.Max.Known() || !both(&s.IC, &s.IB) || s.Tj.Or(DefaultTj) > DefaultTj {
			continue
		}
		above(pathOf("v_ce_sat", i, "i_b"), &s.IC, &s.IB)
		if h, v := p.leastGain(s.IC.SI()); h > 0 && v > 0 && !over(s.IC.SI()/h, s.IB.SI()) && over(s.Max.SI(), v) {
			bound := q.Some(q.Volt(v))
			c.warn(pathOf("v_ce_sat", i, "max"), s.Max.ExactText(), "at most "+bound.ExactText()+", at which h_fe guarantees this current with no more in the base")
		}
	}
	if w := p.Switching; w != nil {
		above("switching_max.i_b1", &w.IC, &w.IB1)
	}
}

// leastGain is the least gain at 25 C that h_fe guarantees at a collector current of ic,
// A, log-log between its points, and the greater of the voltages at which they are
// stated, V; 0 beyond the last point, and under the first, whose base current serves there.
func (p *BJT) leastGain(ic float64) (h, vce float64) {
	var lo *HFEPoint
	for i := range p.HFE {
		pt := &p.HFE[i]
		if !pt.Min.Known() || !pt.IC.Known() || pt.Tj.Or(DefaultTj) > DefaultTj {
			continue
		}
		at := pt.IC.SI()
		switch {
		case !over(ic, at) && !over(at, ic):
			return pt.Min.SI(), float64(pt.VCE.Or(0))
		case at < ic:
			lo = pt
			continue
		case lo == nil:
			return 0, 0
		}
		share := math.Log(ic/lo.IC.SI()) / math.Log(at/lo.IC.SI())
		h = lo.Min.SI() * math.Pow(pt.Min.SI()/lo.Min.SI(), share)
		return h, math.Max(float64(lo.VCE.Or(0)), float64(pt.VCE.Or(0)))
	}
	return 0, 0
}

// ---- MOSFETs ----

func (c *checker) mosfet(p *MOSFET) {
	c.heat(p, &p.Heat)
	c.atLeast("i_dm_max", &p.IDMMax, "i_d_case25_max", &p.IDCase25)
	c.atMost("i_d_ambient25_max", &p.IDAmbient25, "i_d_case25_max", &p.IDCase25)
	c.bracketMost("v_gs_th_slope_max", &p.VGSThSlope, float64(BracketVGSThSlopeMax))
	c.bracketMost("i_gss_max", &p.IGSSMax, float64(BracketIGSSMax))
	c.bracketMost("r_gate_internal_max", &p.RGateInt, float64(BracketRGateInternalMax))
	c.onResistance(p)
	c.hotFactor(p)
	c.gateCharge(p)
	dss := p.IDSSMax
	c.leak("i_dss_max", "v_ds", len(dss), func(i int) q.Textual { return &dss[i].VDS },
		func(i int) q.Opt[q.Celsius] { return dss[i].Tj }, func(i int) q.Textual { return &dss[i].Max }, &p.Heat)
	for i := range dss {
		c.warnAbove(pathOf("i_dss_max", i, "v_ds"), &dss[i].VDS, "v_ds_max", &p.VDSMax)
	}
	if a := p.Avalanche; a != nil {
		c.warnAbove("avalanche_max.i_as", &a.IAS, "i_dm_max", &p.IDMMax)
		c.atMost("e_ar_max", &p.EARMax, "avalanche_max.e_as", &a.EAS)
	}
	c.safeArea(p.SOA, p.VDSMax, "v_ds_max")
}

// onResistance demands that on-resistance falls with gate voltage and rises
// with temperature, and that each gate voltage is above the threshold and below
// the limit.
func (c *checker) onResistance(p *MOSFET) {
	r := p.RDSOn
	l := list{name: "r_ds_on", n: len(r), x: "v_gs", yKey: "max",
		at: func(i int) q.Textual { return &r[i].VGS }, y: func(i int) q.Textual { return &r[i].Max },
		like: func(i, j int) bool { return same(r[i].ID, r[j].ID) && sameTj(r[i].Tj, r[j].Tj) }}
	c.sorted(l)
	stated := false
	for i := range r {
		stated = stated || r[i].Max.Known()
		key := func(k string) string { return pathOf("r_ds_on", i, k) }
		c.atMost(key("v_gs"), &r[i].VGS, "v_gs_max", &p.VGSMax)
		c.conditionTj(key("t_j"), r[i].Tj, &p.Heat)
		for j := range r {
			c.rdsPair(r, j, i)
		}
	}
	if len(r) > 0 && !stated {
		c.missing("r_ds_on[0].max", "one point at least must state a max")
	}
	if p.VGSTh != nil && len(r) > 0 {
		c.below("v_gs_th.max", &p.VGSTh.Max, "the lowest v_gs of r_ds_on", lowestVGS(r))
	}
}

func lowestVGS(r []RDSPoint) q.Textual {
	low := &r[0].VGS
	for i := range r {
		if v := &r[i].VGS; v.Known() && (!low.Known() || v.SI() < low.SI()) {
			low = v
		}
	}
	return low
}

// rdsPair compares point i with point j, of which i has the higher gate voltage
// or, at the same one, the higher temperature.
func (c *checker) rdsPair(r []RDSPoint, j, i int) {
	if i == j || !both(&r[i].VGS, &r[j].VGS) || !both(&r[i].Max, &r[j].Max) {
		return
	}
	vi, vj := r[i].VGS.SI(), r[j].VGS.SI()
	ti, tj := r[i].Tj.Or(DefaultTj), r[j].Tj.Or(DefaultTj)
	switch {
	case vi > vj && ti == tj:
		c.step("r_ds_on", i, "max", "v_gs", &r[j].Max, &r[i].Max, &r[j].VGS, false)
	case vi == vj && ti > tj && both(&r[i].ID, &r[j].ID) && r[i].ID.SI() >= r[j].ID.SI():
		at := q.Some(tj)
		c.step("r_ds_on", i, "max", "t_j", &r[j].Max, &r[i].Max, &at, true)
	}
}

// hotFactor compares the stated rise of on-resistance with its bracket, taken
// linearly to the stated temperature.
func (c *checker) hotFactor(p *MOSFET) {
	h := p.RDSOnHot
	if h == nil || !h.Factor.Known() || !h.Tj.Known() || !p.VDSMax.Known() {
		return
	}
	if h.Tj.Value() <= DefaultTj {
		c.bad("r_ds_on_hot_max.t_j", h.Tj.ExactText(), "a temperature above 25 C, where the factor is 1")
		return
	}
	if h.Factor.Value() < 1 {
		c.bad("r_ds_on_hot_max.factor", h.Factor.ExactText(), "at least 1: on-resistance rises with t_j")
		return
	}
	rise := float64(BracketRDSOnHotMax(p.VDSMax.Value())-1) / float64(BracketRDSOnHotTj-DefaultTj)
	c.bracketMost("r_ds_on_hot_max.factor", &h.Factor, 1+rise*float64(h.Tj.Value()-DefaultTj))
	c.conditionTj("r_ds_on_hot_max.t_j", h.Tj, &p.Heat)
}

// gateCharge checks that the parts of the gate charge are within the whole.
func (c *checker) gateCharge(p *MOSFET) {
	if p.QGMax == nil {
		return
	}
	c.warnAbove("q_gd_max", &p.QGDMax, "q_g_max.q", &p.QGMax.Q)
	c.warnAbove("q_gs_max", &p.QGSMax, "q_g_max.q", &p.QGMax.Q)
	c.atMost("q_g_max.v_gs", &p.QGMax.VGS, "v_gs_max", &p.VGSMax)
	if t := p.ChargeTyp; t != nil {
		c.atMost("charge_typ.q_g", &t.QG, "q_g_max.q", &p.QGMax.Q)
		c.atMost("charge_typ.q_gd", &t.QGD, "q_gd_max", &p.QGDMax)
		c.atMost("charge_typ.q_gs", &t.QGS, "q_gs_max", &p.QGSMax)
	}
}

// ---- relays ----

// HasNO reports whether a contact form closes when the coil is driven.
func HasNO(form string) bool { return form != "spst-nc" }

// HasNC reports whether a contact form is closed while the coil rests.
func HasNC(form string) bool { return form == "spst-nc" || form == "spdt" || form == "dpdt" }

// TwoPoles reports whether a contact form has two poles.
func TwoPoles(form string) bool { return form == "dpst-no" || form == "dpdt" }

func (c *checker) relay(p *Relay) {
	one := q.Some(q.Ratio(1))
	c.below("must_operate_max", &p.MustOperate, "the nominal voltage", &one)
	c.below("must_release_min", &p.MustRelease, "must_operate_max", &p.MustOperate)
	c.below("hold_min", &p.HoldMin, "must_operate_max", &p.MustOperate)
	c.below("must_release_min", &p.MustRelease, "hold_min", &p.HoldMin)
	c.bracketLeast("t_coil_max", &p.TCoilMax, float64(BracketTCoilMax))
	v := p.VCoilMax
	c.trend(list{name: "v_coil_max", n: len(v), x: "t_a", yKey: "max",
		at: func(i int) q.Textual { return &v[i].Ta }, y: func(i int) q.Textual { return &v[i].Max }}, false)
	for i := range v {
		c.bracketLeast(pathOf("v_coil_max", i, "max"), &v[i].Max, float64(BracketVCoilMax))
	}
	c.atMost("l_coil_typ", &p.LCoilTyp, "l_coil_max", &p.LCoilMax)
	c.coilPower(p)
	if r := p.RCoil; r != nil && r.Tolerance.Known() && r.Tolerance.Value() >= 1 {
		c.bad("r_coil.tolerance", r.Tolerance.ExactText(), "less than 100 %")
	}
	latches := p.Latching != "" && p.Latching != "none"
	if p.PulseMin.Known() && !latches {
		c.bad("pulse_min", p.PulseMin.ExactText(), "nothing: the relay does not latch, its coil is driven for as long as it is on")
	}
	if p.Latching == "one-coil" && p.CoilDiode {
		c.warn("coil_diode", "true", "false: it would short the current of one direction")
	}
	if c.embedded && latches && !p.PulseMin.Known() {
		c.missing("pulse_min", "the relay latches")
	}
	if p.TimeMax != nil && latches {
		c.atLeast("pulse_min", &p.PulseMin, "time_max.operate", &p.TimeMax.Operate)
	}
	if a := p.Ambient; a != nil {
		c.below("ambient.max", &a.Max, "t_coil_max", &p.TCoilMax)
	}
	c.isolation(p.Isolation)
	c.contacts(p)
}

// Plausible coil powers, W. Common practice, no source.
const (
	coilPowerLow  = 5e-3
	coilPowerHigh = 20.0
)

func (c *checker) coilPower(p *Relay) {
	if p.RCoil == nil || !both(&p.VCoil, &p.RCoil.Nominal) {
		return
	}
	w := p.VCoil.SI() * p.VCoil.SI() / p.RCoil.Nominal.SI()
	if w < coilPowerLow || w > coilPowerHigh {
		o := q.Some(q.Watt(w))
		c.warn("r_coil.nominal", p.RCoil.Nominal.ExactText()+", which is "+shown(w, &o)+" in the coil", "a coil of 5 mW to 20 W")
	}
}

// contacts demands the contact tables of the form. A part of one's own needs
// one figure of one contact.
func (c *checker) contacts(p *Relay) {
	if p.Form == "" {
		return
	}
	if p.NO != nil && !HasNO(p.Form) {
		c.bad("no", "a table", "none: "+p.Form+" has no normally open contact")
	}
	if p.NC != nil && !HasNC(p.Form) {
		c.bad("nc", "a table", "none: "+p.Form+" has no normally closed contact")
	}
	if p.Series != nil && !TwoPoles(p.Form) {
		c.bad("series", "a table", "none: "+p.Form+" has one pole")
	}
	if c.embedded {
		if p.NO == nil && HasNO(p.Form) {
			c.missing("no", "form "+p.Form+" has a normally open contact")
		}
		if p.NC == nil && HasNC(p.Form) {
			c.missing("nc", "form "+p.Form+" has a normally closed contact, whose figures are never guessed")
		}
	} else if !p.NO.states() && !p.NC.states() {
		key := "no"
		if !HasNO(p.Form) {
			key = "nc"
		}
		c.missing(key, "one contact figure at least: i_carry_max, ac or dc")
	}
	if p.NO != nil {
		c.inside("no", func() { c.contact(p.NO) })
	}
	if p.NC != nil {
		c.inside("nc", func() { c.contact(p.NC) })
	}
	if p.Series != nil {
		c.inside("series", func() { c.contact(p.Series) })
	}
}

// states reports whether a contact table says what it can switch or carry.
func (k *Contact) states() bool {
	return k != nil && (k.ICarry.Known() || len(k.AC) > 0 || len(k.DC) > 0)
}

var (
	acCategories = []string{"AC-1", "AC-3", "AC-5a", "AC-5b", "AC-15"}
	dcCategories = []string{"DC-1", "DC-3", "DC-5", "DC-6", "DC-13"}
)

func (c *checker) contact(k *Contact) {
	if c.embedded {
		c.voltages(k.VACMax, k.VDCMax)
	}
	c.contactPoints("ac", k.AC, acCategories, "v_ac_max", &k.VACMax, &k.ICarry)
	c.contactPoints("dc", k.DC, dcCategories, "v_dc_max", &k.VDCMax, &k.ICarry)
	c.bracketMost("r_contact_max", &k.RContact, float64(BracketRContactMax))
	c.bracketLeast("rate_max", &k.RateMax, float64(BracketContactRateMax))
	c.makes(k.Make)
	c.lives(k.Life)
}

func (c *checker) contactPoints(name string, p []ContactPoint, words []string, vKey string, vMax *q.Opt[q.Volt], carry *q.Opt[q.Amp]) {
	if len(p) > 0 && !vMax.Known() && c.embedded {
		c.missing(vKey, "the list "+name+" is there")
	}
	for i := range p {
		key := func(k string) string { return pathOf(name, i, k) }
		c.category(key("category"), p[i].Category, words)
		c.atMost(key("v"), &p[i].V, vKey, vMax)
		c.atMost(key("i"), &p[i].I, "i_carry_max", carry)
		c.loverr(key("l_over_r"), p[i].Category, p[i].LoverR)
	}
	run := func(i, j int) bool { return p[i].Category == p[j].Category && same(p[i].LoverR, p[j].LoverR) }
	c.trend(list{name: name, n: len(p), x: "v", yKey: "i", set: run,
		at: func(i int) q.Textual { return &p[i].V }, y: func(i int) q.Textual { return &p[i].I }}, false)
}

func (c *checker) category(key, word string, words []string) {
	if word != "" && !slices.Contains(words, word) {
		c.bad(key, strconv.Quote(word), "one of "+strings.Join(words, ", "))
	}
}

// loverr demands a time constant where the category has one, and nowhere else.
func (c *checker) loverr(key, category string, t q.Opt[q.Second]) {
	switch {
	case category == "DC-13" && !t.Known():
		c.missing(key, "a DC-13 figure serves up to its time constant")
	case t.Known() && strings.HasPrefix(category, "AC-"):
		c.bad(key, t.ExactText(), "nothing: an AC category has no time constant")
	}
}

// makes checks inrush points: sorted by time for each kind of load, supply and
// voltage, and falling.
func (c *checker) makes(p []MakePoint) {
	c.trend(list{name: "make", n: len(p), x: "t", yKey: "i",
		at: func(i int) q.Textual { return &p[i].T }, y: func(i int) q.Textual { return &p[i].I },
		set: func(i, j int) bool {
			return p[i].Load == p[j].Load && p[i].Supply == p[j].Supply && same(p[i].V, p[j].V)
		}}, false)
}

// lives checks points of electrical life: more current never lasts longer.
func (c *checker) lives(p []LifePoint) {
	run := func(i, j int) bool {
		return p[i].Category == p[j].Category && same(p[i].V, p[j].V) && same(p[i].LoverR, p[j].LoverR)
	}
	c.sorted(list{name: "life", n: len(p), x: "i", set: run, at: func(i int) q.Textual { return &p[i].I }})
	words := slices.Concat(acCategories, dcCategories)
	for i := range p {
		c.category(pathOf("life", i, "category"), p[i].Category, words)
		c.loverr(pathOf("life", i, "l_over_r"), p[i].Category, p[i].LoverR)
		for j := range p {
			if i == j || !run(i, j) || p[i].Operations == nil || p[j].Operations == nil || !both(&p[i].I, &p[j].I) {
				continue
			}
			if p[i].I.SI() > p[j].I.SI() && *p[i].Operations > *p[j].Operations {
				c.bad(pathOf("life", i, "operations"), plain(*p[i].Operations), "at most "+plain(*p[j].Operations)+
					", that at "+p[j].I.ExactText()+": it falls with i")
			}
		}
	}
}

func plain(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// isolation demands that what is claimed can be judged.
func (c *checker) isolation(s *Isolation) {
	if s == nil {
		return
	}
	claims := s.Insulation == "basic" || s.Insulation == "reinforced"
	if claims && !s.VDielectric.Known() && !s.VImpulse.Known() {
		c.missing("isolation.v_dielectric", s.Insulation+" insulation needs it or v_impulse")
	}
	c.below("isolation.v_working_max", &s.VWorking, "v_dielectric", &s.VDielectric)
	c.atLeast("isolation.creepage", &s.Creepage, "clearance", &s.Clearance)
}

// ---- solid-state relays, modules, arrays ----

func (c *checker) ssr(p *SSR) {
	c.heat(p, &p.Heat)
	thyristor := p.Output == "triac" || p.Output == "scr-pair"
	ac := thyristor || p.Output == "mosfet-ac"
	if thyristor && p.ZeroCross == nil {
		c.missing("zero_cross", "output "+p.Output+" switches at zero or at once")
	}
	if thyristor && !p.VOnMax.Known() {
		c.missing("v_on_max", "output "+p.Output+" has an on voltage")
	}
	if p.Output != "" && !thyristor && len(p.ROn) == 0 {
		c.missing("r_on", "output "+p.Output+" has an on-resistance")
	}
	if ac && p.FOut == nil {
		c.missing("f_out", "output "+p.Output+" is for AC")
	}
	c.ssrInput(p)
	if w := p.VOut; w != nil {
		c.blocking(w, ac)
	}
	c.ambientCurrents("i_out_max", p.IOutMax)
	k := p.IOutCase
	c.trend(list{name: "i_out_case_max", n: len(k), x: "t_c", yKey: "i",
		at: func(i int) q.Textual { return &k[i].Tc }, y: func(i int) q.Textual { return &k[i].I }}, false)
	if m := p.ILoadMin; m != nil {
		c.atLeast("i_load_min.latch", &m.Latch, "hold", &m.Hold)
		if m.Hold.Known() {
			c.bracketMost("i_load_min.latch", &m.Latch, float64(BracketLatchOfHold)*m.Hold.SI())
		}
	}
	c.ssrOutput(p)
	c.isolation(p.Isolation)
}

// blocking demands that an output blocks the peak of what it may switch.
func (c *checker) blocking(w *OutputWindow, ac bool) {
	if !ac {
		c.atLeast("v_out.blocking", &w.Blocking, "v_out.max", &w.Max)
		return
	}
	if both(&w.Blocking, &w.Max) && over(math.Sqrt2*w.Max.SI(), w.Blocking.SI()) {
		c.bad("v_out.blocking", w.Blocking.ExactText(), "at least "+shown(math.Sqrt2*w.Max.SI(), &w.Max)+", the peak of v_out.max")
	}
}

func (c *checker) ssrInput(p *SSR) {
	switch p.Input {
	case "voltage":
		if p.VIn == nil {
			c.missing("v_in", "the input is a voltage")
		}
		if len(p.IIn) == 0 {
			c.missing("i_in", "the input is a voltage")
		}
	case "led":
		for _, k := range []struct {
			key string
			v   q.Textual
		}{{"i_f_on_min", &p.IFOnMin}, {"i_f_max", &p.IFMax}, {"v_f_max", &p.VFMax}, {"v_f_min", &p.VFMin}} {
			if !k.v.Known() {
				c.missing(k.key, "the input is an LED")
			}
		}
	}
	if w := p.VIn; w != nil {
		c.below("v_in.off_max", &w.OffMax, "on_min", &w.OnMin)
		c.below("v_in.on_min", &w.OnMin, "max", &w.Max)
	}
	c.below("i_f_on_min", &p.IFOnMin, "i_f_max", &p.IFMax)
	c.atMost("v_f_min", &p.VFMin, "v_f_max", &p.VFMax)
	in := p.IIn
	c.trend(list{name: "i_in", n: len(in), x: "v", yKey: "max",
		at: func(i int) q.Textual { return &in[i].V }, y: func(i int) q.Textual { return &in[i].Max }}, true)
}

func (c *checker) ssrOutput(p *SSR) {
	r, leak, s := p.ROn, p.ILeakMax, p.Surge
	c.sorted(list{name: "r_on", n: len(r), x: "i_d", at: func(i int) q.Textual { return &r[i].ID },
		like: func(i, j int) bool { return sameTj(r[i].Tj, r[j].Tj) }})
	c.leak("i_leak_max", "v", len(leak), func(i int) q.Textual { return &leak[i].V },
		func(i int) q.Opt[q.Celsius] { return leak[i].Tj }, func(i int) q.Textual { return &leak[i].Max }, &p.Heat)
	c.surge("surge", s)
}

// surge demands peak currents that fall with time.
func (c *checker) surge(name string, s []SurgePoint) {
	c.trend(list{name: name, n: len(s), x: "t", yKey: "i",
		at: func(i int) q.Textual { return &s[i].T }, y: func(i int) q.Textual { return &s[i].I }}, false)
}

// ambientCurrents demands currents that fall with ambient temperature.
func (c *checker) ambientCurrents(name string, a []AmbientCurrent) {
	c.trend(list{name: name, n: len(a), x: "t_a", yKey: "i",
		at: func(i int) q.Textual { return &a[i].Ta }, y: func(i int) q.Textual { return &a[i].I }}, false)
}

func (c *checker) module(p *Module) {
	for _, t := range []struct {
		word, key string
		there     bool
	}{{"relay", "relay", p.Relay != nil}, {"n-mosfet", "n-mosfet", p.MOSFET != nil}, {"ssr", "ssr", p.SSR != nil}} {
		switch {
		case p.Switch == "":
		case t.word == p.Switch && !t.there:
			c.missing(t.key, "the switch is "+p.Switch)
		case t.word != p.Switch && t.there:
			c.bad(t.key, "a table", "none: the switch is "+p.Switch)
		}
	}
	if w := p.IInOn; w != nil {
		c.below("i_in_off_max", &p.IInOffMax, "i_in_on.min", &w.Min)
	}
	channels := 1
	if n := p.Channels; n != nil {
		channels = *n
	}
	if c.embedded && channels > 1 && len(p.Together) == 0 {
		c.missing("i_together_max", "the board has "+strconv.Itoa(channels)+" channels")
	}
	c.together(p.Together, channels, q.Opt[q.Amp]{})
	if p.Relay != nil {
		c.inside("relay", func() { c.rules(p.Relay) })
	}
	if p.MOSFET != nil {
		c.inside("n-mosfet", func() {
			c.rules(p.MOSFET)
			if p.MOSFET.Channel == "p" {
				c.bad("channel", `"p"`, `"n"`)
			}
		})
	}
	if p.SSR != nil {
		c.inside("ssr", func() { c.rules(p.SSR) })
	}
}

func (c *checker) array(p *Array) {
	c.heat(p, &p.Heat)
	in, ii, on := p.VInOn, p.IInMax, p.VOnMax
	channels := math.MaxInt
	if p.Channels != nil {
		channels = *p.Channels
	}
	c.together(p.Together, channels, p.IOutMax)
	if len(in) > 0 {
		c.below("v_in_off_max", &p.VInOffMax, pathOf("v_in_on", 0, "max"), &in[0].Max)
	}
	c.trend(list{name: "v_in_on", n: len(in), x: "i_out", yKey: "max",
		at: func(i int) q.Textual { return &in[i].IOut }, y: func(i int) q.Textual { return &in[i].Max }}, true)
	c.trend(list{name: "i_in_max", n: len(ii), x: "v_in", yKey: "i",
		at: func(i int) q.Textual { return &ii[i].VIn }, y: func(i int) q.Textual { return &ii[i].I }}, true)
	c.trend(list{name: "v_on_max", n: len(on), x: "i_out", yKey: "v",
		at: func(i int) q.Textual { return &on[i].IOut }, y: func(i int) q.Textual { return &on[i].V }}, true)
}

// together demands points of no more channels than there are, and of no more current
// than one alone carries.
func (c *checker) together(t []TogetherPoint, channels int, alone q.Opt[q.Amp]) {
	c.sortedInts(t)
	for i := range t {
		if t[i].On != nil && *t[i].On > channels {
			c.bad(pathOf("i_together_max", i, "on"), strconv.Itoa(*t[i].On), "at most channels, "+strconv.Itoa(channels))
		}
		c.atMost(pathOf("i_together_max", i, "i"), &t[i].I, "i_out_max", &alone)
		if d := t[i].Duty; d.Known() && d.Value() > 1 {
			c.bad(pathOf("i_together_max", i, "duty"), d.ExactText(), "at most 100 %")
		}
	}
}

// sortedInts demands that together points go by the number of channels, then
// by duty, and that the current falls with both.
func (c *checker) sortedInts(t []TogetherPoint) {
	for i := 1; i < len(t); i++ {
		a, b := &t[i-1], &t[i]
		if a.On == nil || b.On == nil || !both(&a.Duty, &b.Duty) {
			continue
		}
		switch {
		case *b.On < *a.On, *b.On == *a.On && b.Duty.SI() < a.Duty.SI():
			c.bad(pathOf("i_together_max", i, "on"), "a point out of order", "points sorted by on, then by duty, least first")
		case *b.On == *a.On && b.Duty.SI() == a.Duty.SI():
			c.bad(pathOf("i_together_max", i, "on"), strconv.Itoa(*b.On)+" again", "each condition once")
		}
		for j := range i {
			o := &t[j]
			if o.On != nil && *o.On <= *b.On && both(&o.Duty, &b.Duty) && o.Duty.SI() <= b.Duty.SI() && both(&o.I, &b.I) {
				at := o.Duty
				c.step("i_together_max", i, "i", "on and duty", &o.I, &b.I, &at, false)
			}
		}
	}
}
