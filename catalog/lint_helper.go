package catalog

import (
	"math"
	"slices"

	q "example.org/pinhoist/internal/quantity"
)

// ---- clamps ----

func (c *checker) diode(p *Diode) {
	c.heat(p, &p.Heat)
	c.ambientCurrents("i_f_av_max", p.IFAV)
	c.surge("i_fsm_max", p.IFSM)
	if len(p.IFAV) > 0 {
		for i := range p.IFSM {
			c.atLeast(pathOf("i_fsm_max", i, "i"), &p.IFSM[i].I, "i_f_av_max", &p.IFAV[0].I)
		}
	}
	f, r := p.VF, p.IRMax
	l := list{name: "v_f", n: len(f), x: "i", yKey: "max",
		at: func(i int) q.Textual { return &f[i].I }, y: func(i int) q.Textual { return &f[i].Max },
		like: func(i, j int) bool { return sameTj(f[i].Tj, f[j].Tj) }}
	c.trend(l, true)
	stated := false
	for i := range f {
		stated = stated || f[i].Max.Known()
		if f[i].I.Known() && f[i].I.Value() >= p.ratedShare() && sameTj(f[i].Tj, q.None[q.Celsius]()) {
			c.bracketLeast(pathOf("v_f", i, "min"), &f[i].Min, float64(BracketDiodeVFMin))
		}
		c.conditionTj(pathOf("v_f", i, "t_j"), f[i].Tj, &p.Heat)
	}
	if len(f) > 0 && !stated {
		c.missing("v_f[0].max", "one point at least must state a max")
	}
	c.leak("i_r_max", "v", len(r), func(i int) q.Textual { return &r[i].V },
		func(i int) q.Opt[q.Celsius] { return r[i].Tj }, func(i int) q.Textual { return &r[i].Max }, &p.Heat)
	for i := range r {
		c.warnAbove(pathOf("i_r_max", i, "v"), &r[i].V, "v_rrm_max", &p.VRRMMax)
	}
}

// ratedShare is the current from which the forward-voltage bracket holds.
func (p *Diode) ratedShare() q.Amp {
	if len(p.IFAV) == 0 {
		return 0
	}
	return q.Amp(BracketDiodeVFShare) * p.IFAV[0].I.Or(0)
}

func (c *checker) zener(p *Zener) {
	c.heat(p, &p.Heat)
	c.pulses(p.Pulse, &p.PMax, "p_max", true)
	v := p.VZ
	if v == nil || !v.Max.Known() {
		return
	}
	c.bracketMost("tc_max", &p.TCMax, float64(BracketZenerTC)*v.Max.SI())
	if v.I.Known() {
		c.bracketMost("z_z_max", &p.ZZMax, float64(BracketZenerRise)*v.Max.SI()/v.I.SI())
	}
}

// pulses demands powers that fall with time, and energies that rise with it.
func (c *checker) pulses(p []PulsePower, steady q.Textual, key string, least bool) {
	c.trend(list{name: "pulse", n: len(p), x: "t", yKey: "p",
		at: func(i int) q.Textual { return &p[i].T }, y: func(i int) q.Textual { return &p[i].P }}, false)
	for i := range p {
		if least {
			c.atLeast(pathOf("pulse", i, "p"), &p[i].P, key, steady)
		}
		if i == 0 || !both(&p[i].T, &p[i-1].T) || !both(&p[i].P, &p[i-1].P) {
			continue
		}
		if e0, e1 := p[i-1].T.SI()*p[i-1].P.SI(), p[i].T.SI()*p[i].P.SI(); over(e0, e1) {
			c.bad(pathOf("pulse", i, "p"), p[i].P.ExactText(), "at least the energy of the shorter pulse before it")
		}
	}
}

func (c *checker) tvs(p *TVS) {
	c.heat(p, &p.Heat)
	if p.VBR != nil {
		c.above("v_br.min", &p.VBR.Min, "v_rwm", &p.VRWM)
		if p.VC != nil {
			c.above("v_c.max", &p.VC.Max, "v_br.max", &p.VBR.Max)
			c.above("v_c.i", &p.VC.I, "v_br.i", &p.VBR.I)
		}
	}
	c.pulses(p.Pulse, &p.PAvMax, "p_av_max", true)
}

func (c *checker) mov(p *MOV) {
	c.voltages(p.VACMax, p.VDCMax)
	if p.V1mA == nil {
		return
	}
	c.above("v_1ma.min", &p.V1mA.Min, "v_dc_max", &p.VDCMax)
	if both(&p.VACMax, &p.V1mA.Min) {
		peak := q.Some(q.Volt(math.Sqrt2 * p.VACMax.SI()))
		if over(peak.SI(), p.V1mA.Min.SI()) {
			c.bad("v_1ma.min", p.V1mA.Min.ExactText(), "at least "+shown(peak.SI(), &peak)+", the peak of v_ac_max")
		}
	}
	if p.VC != nil {
		c.above("v_c.max", &p.VC.Max, "v_1ma.max", &p.V1mA.Max)
	}
}

// ---- passive parts ----

func (c *checker) resistor(p *ResistorSeries) {
	if d := p.Derate; d != nil {
		c.below("derate.full", &d.Full, "derate.zero", &d.Zero)
	}
	if t := p.Tolerance; t.Known() && t.Value() >= 1 {
		c.bad("tolerance", t.ExactText(), "less than 100 %")
	}
	c.pulses(p.Pulse, &p.PMax, "p_max", true)
}

func (c *checker) capacitor(p *Capacitor) {
	c.voltages(p.VACMax, p.VDCMax)
	if p.SafetyClass != "" && !p.VACMax.Known() {
		c.missing("v_ac_max", "class "+p.SafetyClass+" is for AC")
	}
	if t := p.Tolerance; t.Known() && t.Value() >= 1 {
		c.bad("tolerance", t.ExactText(), "less than 100 %")
	}
}

func (c *checker) heatSink(p *HeatSink) {
	c.fits(p.Fits)
	r := p.RSA
	c.trend(list{name: "r_th_sa_max", n: len(r), x: "p", yKey: "max",
		at: func(i int) q.Textual { return &r[i].P }, y: func(i int) q.Textual { return &r[i].Max }}, false)
}

func (c *checker) fuse(p *Fuse) {
	c.voltages(p.VACMax, p.VDCMax)
	if b := p.IBreak; b != nil {
		if p.VACMax.Known() && !b.AC.Known() {
			c.missing("i_break.ac", "v_ac_max is there")
		}
		if p.VDCMax.Known() && !b.DC.Known() {
			c.missing("i_break.dc", "v_dc_max is there")
		}
	}
	c.fuseSpeed(p)
	if p.I2t != nil {
		c.atLeast("i2t.clear_max", &p.I2t.ClearMax, "melt_min", &p.I2t.MeltMin)
	}
	d := p.Derate
	c.trend(list{name: "derate", n: len(d), x: "t_a", yKey: "factor",
		at: func(i int) q.Textual { return &d[i].Ta }, y: func(i int) q.Textual { return &d[i].Factor }}, false)
	c.ambientCurrents("i_hold", p.IHold)
	trip := p.ITrip
	c.trend(list{name: "i_trip", n: len(trip), x: "t_a", yKey: "i",
		at: func(i int) q.Textual { return &trip[i].Ta }, y: func(i int) q.Textual { return &trip[i].I }}, false)
	for i := range p.ITrip {
		j := slices.IndexFunc(p.IHold, func(h AmbientCurrent) bool { return same(h.Ta, p.ITrip[i].Ta) })
		if j >= 0 {
			c.above(pathOf("i_trip", i, "i"), &p.ITrip[i].I, "i_hold at that ambient", &p.IHold[j].I)
		}
	}
}

// fuseSpeed demands what tells when the fuse opens.
func (c *checker) fuseSpeed(p *Fuse) {
	switch {
	case p.Speed == "":
	case p.Speed != "resettable":
		if p.I2t == nil {
			c.missing("i2t", "speed "+p.Speed+" melts")
		}
	default:
		if len(p.IHold) == 0 {
			c.missing("i_hold", "a resettable fuse holds a current")
		}
		if len(p.ITrip) == 0 {
			c.missing("i_trip", "a resettable fuse trips at a current")
		}
		if p.I2t != nil {
			c.bad("i2t", "a table", "none: a resettable fuse does not melt")
		}
	}
}

func (c *checker) limiter(p *Limiter) {
	if p.R25 != nil && p.Type == "ntc" {
		c.below("r_hot_max", &p.RHotMax, "r_25.min", &p.R25.Min)
	}
}
