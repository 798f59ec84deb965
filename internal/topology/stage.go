package topology

import (
	"math"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/load"
	"example.org/pinhoist/internal/thermal"
)

// stage is a design while it is made.
type stage struct {
	env   *Env
	l     *load.Model
	pol   *catalog.Policy
	given *Given
	d     *design.Design

	worstR struct { // resistors of the stage, for resistor-power and -voltage
		power, voltage       design.Check
		hasPower, hasVoltage bool
	}
	vPeak    design.Number // highest voltage at the switch
	vPeakEst design.Number
	clamped  bool
	noClamp  bool
	broken   breakdown       // instead of a clamp
	letGo    bool            // its longest edge of turning off is that of a pin which lets go
	sourced  bool            // the pin itself feeds the load
	fuse     *catalog.Fuse   // of the load's rail
	pads     bool            // an isolated face gets a pad on its sink where one fits
	beside   float64         // what else the stage takes from the load's rail, A
	off      [3]resetState   // room for offStates
	highs    [2]highState    // room for highOffStates
	shifted  shiftedBefore   // the last level shifter that was asked for
	rungs    [8]thermal.Rung // room for a thermal network
	touch    design.Number   // the hottest surface so far, degrees Celsius, at most
	more     []thermal.Rung  // a larger one
	ways     [2]path         // of heat, worked out already

	ends, endsCalm design.Number // frequency of pwm that heat ends, Hz, and without inrush
	low            *load.Model   // on the lowest rail, which a high side works out too; else nil
}

func begin(env *Env, l *load.Model, given *Given, d *design.Design, topology string, part *catalog.Common) stage {
	*d = design.Design{Checks: d.Checks[:0], NA: d.NA[:0], Values: d.Values[:0], Nominal: d.Nominal[:0],
		Elements: d.Elements[:0], BOM: d.BOM[:0], Cautions: d.Cautions[:0], Draws: d.Draws[:0],
		Load: l.Name, Topology: topology, Limiting: -1, Variant: given.Variant}
	if part != nil {
		d.Part, d.PartSource = part.ID, part.Provenance
	}
	if given.RSeries.Said && l.VfDesigned {
		l = env.withSeries(l, given.RSeries)
	}
	return stage{env: env, l: l, pol: env.Policy, given: given, d: d}
}

// check starts a check of the design; judge ends it. The pointer is good until
// the next check.
func (s *stage) check(id design.CheckID, unit design.Unit) *design.Check {
	s.d.Checks = append(s.d.Checks, design.Check{ID: id, Unit: unit, Source: s.d.PartSource, Brief: s.env.Brief})
	return &s.d.Checks[len(s.d.Checks)-1]
}

func judge(c *design.Check) { design.Judge(c) }

func (s *stage) na(id design.CheckID, why string) {
	s.d.NA = append(s.d.NA, design.NotApplicable{ID: id, Why: why})
}

func (s *stage) value(k design.ValueKey, v float64, u design.Unit) {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return
	}
	s.d.Values = append(s.d.Values, design.Value{Key: k, V: v, Unit: u})
}

func (s *stage) valueOf(k design.ValueKey, n design.Number, u design.Unit) {
	if n.OK {
		s.value(k, n.V, u)
	}
}

func (s *stage) caution(id string) {
	for _, c := range s.d.Cautions {
		if c == id {
			return
		}
	}
	s.d.Cautions = append(s.d.Cautions, id)
}

// element records an element of the circuit; nodes are not kept in a brief run.
func (s *stage) element(ref string, role design.Role, kind, part string, nodes ...string) {
	if s.env.Brief {
		return
	}
	s.d.Elements = append(s.d.Elements, design.Element{Ref: ref, Role: role, Kind: kind, Part: part, Nodes: append([]string(nil), nodes...)})
}

// resistorElement buys a resistor, records the choice under its value's name and
// draws it.
func (s *stage) resistorElement(ref string, key design.ValueKey, role design.Role, r resistor, a, b string) {
	if key != "" {
		s.d.Choice.AddResistor(chosen(key, r))
	}
	if r.absent && r.nom > 0 { // a parallel one that is not there
		return
	}
	id := ""
	switch {
	case r.series != nil:
		id = r.series.ID
		s.buy(ref, r.series)
	case !r.absent:
		// As stated: what it costs was not said, so the stage has no cost.
		s.d.BOM = append(s.d.BOM, design.BOMLine{Ref: ref, Part: "resistor", Count: max(1, s.l.Quantity)})
	}
	if s.env.Brief {
		return
	}
	s.d.Elements = append(s.d.Elements, design.Element{Ref: ref, Role: role, Kind: "resistor", Part: id, Value: r.nom, Unit: design.Ohm, HasValue: true, Nodes: []string{a, b}})
}

// chosen is a resistor as a design keeps it.
func chosen(key design.ValueKey, r resistor) design.ChosenResistor {
	c := design.ChosenResistor{Key: key, Ohms: r.nom, Tol: r.tol, Absent: r.absent}
	if r.series != nil {
		c.Part = r.series.ID
	}
	if r.absent { // and no number, where it stands for an open circuit
		c.Ohms = 0
	}
	return c
}

// buy adds a part to the bill of materials.
func (s *stage) buy(ref string, p catalog.Part) {
	c := p.Base()
	line := design.BOMLine{Ref: ref, Part: c.ID, Count: max(1, s.l.Quantity)}
	if c.Price != nil {
		line.UnitPrice = design.Known(c.Price.Amount)
	}
	s.d.BOM = append(s.d.BOM, line)
}

// load records a resistor's worst power and voltage; the worse of all is the
// stage's resistor-power and resistor-voltage check.
func (s *stage) load(what, law string, r resistor, power, volts float64) {
	s.loadOf(what, law, r, design.Known(power), volts, "")
}

// loadOf is load with a power that nobody may know, for want of a figure.
func (s *stage) loadOf(what, law string, r resistor, power design.Number, volts float64, figure string) {
	if r.absent {
		return
	}
	p := design.Check{ID: design.ResistorPower, Unit: design.W, K: s.pol.PResistor, Stress: power, Brief: s.env.Brief}
	if !power.OK {
		p.Needs(figure)
	}
	v := design.Check{ID: design.ResistorVoltage, Unit: design.V, K: s.pol.VResistor, Stress: design.Known(volts), Brief: s.env.Brief}
	if r.series != nil {
		p.Rating, p.Source = resistorPower(r.series, s.l.TMax), r.series.Provenance
		if power.OK {
			s.touched(resistorSurface(r.series, s.l.TMax, power.V))
		}
		if x, ok := r.series.VMax.Get(); ok {
			v.Rating, v.Source = design.Known(float64(x)), r.series.Provenance
		}
	} else {
		// A resistor as built has no stated body: that of the smallest series in
		// the catalogue is believed.
		p.Rating, v.Rating = s.smallestResistor()
		p.Because = "a resistor as stated: the smallest body of the catalogue is assumed"
	}
	if !s.env.Brief { // no row shows them
		p.Formula = what + ": " + law + " = {stress}, it bears {rating}"
		v.Formula = what + ": {stress} across it, it bears {rating}"
	}
	judge(&p)
	judge(&v)
	keepWorse(&s.worstR.power, p, &s.worstR.hasPower)
	keepWorse(&s.worstR.voltage, v, &s.worstR.hasVoltage)
}

func keepWorse(kept *design.Check, c design.Check, has *bool) {
	if !*has || c.Verdict > kept.Verdict || c.Verdict == kept.Verdict && c.Headroom.OK && (!kept.Headroom.OK || c.Headroom.V < kept.Headroom.V) {
		*kept, *has = c, true
	}
}

// touched keeps the hottest of the surfaces that fingers find.
func (s *stage) touched(t design.Number) {
	if t.OK && !(s.touch.OK && s.touch.V >= t.V) {
		s.touch = t
	}
}

// touchable tells the hottest surface.
func (s *stage) touchable() {
	s.valueOf(design.TTouch, s.touch, design.DegC)
	if s.touch.OK && s.touch.V > hotToTouch {
		s.caution(design.CautionHot)
	}
}

// resistorSurface is how hot a resistor gets that bears its rated power in air of one
// temperature and nothing in air of another, degrees Celsius: a straight line between.
func resistorSurface(r *catalog.ResistorSeries, ta, watts float64) (t design.Number) {
	p, ok := r.PMax.Get()
	if !ok || p <= 0 || r.Derate == nil {
		return t
	}
	return design.Known(ta + watts/float64(p)*float64(r.Derate.Zero.Or(0)-r.Derate.Full.Or(0)))
}

func resistorPower(r *catalog.ResistorSeries, ta float64) design.Number {
	p, ok := r.PMax.Get()
	if !ok || r.Derate == nil {
		return design.Number{}
	}
	full, zero := float64(r.Derate.Full.Or(0)), float64(r.Derate.Zero.Or(0))
	if zero <= full {
		return design.Number{}
	}
	return design.Known(float64(p) * min(1, max(0, (zero-ta)/(zero-full))))
}

func (s *stage) smallestResistor() (p, v design.Number) {
	for _, r := range s.env.Resistors {
		if x := resistorPower(r, s.l.TMax); x.OK && (!p.OK || x.V < p.V) {
			p = x
			if m, ok := r.VMax.Get(); ok {
				v = design.Known(float64(m))
			}
		}
	}
	return p, v
}

func (s *stage) resistorChecks() {
	if s.worstR.hasPower {
		s.d.Checks = append(s.d.Checks, s.worstR.power)
	} else {
		s.na(design.ResistorPower, "no resistor in this stage")
	}
	if s.worstR.hasVoltage {
		s.d.Checks = append(s.d.Checks, s.worstR.voltage)
	} else {
		s.na(design.ResistorVoltage, "no resistor in this stage")
	}
}

// ---- checks that every topology owes in the same way ----

// loadVoltage judges what is left for the load at the lowest rail. drop is the
// guaranteed on voltage at load current i, dropEst the estimate of it.
func (s *stage) loadVoltage(drop, dropEst design.Number) {
	l := s.l
	if l.Kind == job.Coil {
		s.coilPickup(drop, dropEst)
		return
	}
	if l.Kind == job.LED {
		s.ledCurrent(drop, dropEst)
		return
	}
	if !l.VoltageMin.Known {
		s.na(design.LoadVoltage, "no least voltage applies to this kind of load")
		return
	}
	wire, limiter := l.ILow*l.RWire, s.limiterKeeps()
	c := s.check(design.LoadVoltage, design.V)
	c.Stress = design.Known(float64(l.VoltageMin.Value))
	if l.VoltageMin.Assumed {
		c.EasyStress = design.Known(float64(l.VoltageMin.Easy))
		c.Needs(l.VoltageMin.Field)
	}
	if drop.OK {
		c.Rating = design.Known(l.VMin - drop.V - wire - limiter)
	} else {
		c.Needs("on voltage")
	}
	if dropEst.OK {
		c.RatingEstimate = design.Known(l.VMin - dropEst.V - wire - limiter)
	}
	c.Formula = "{V_rail_min} - {V_on} - {V_wire} = {rating}, at least {stress} is needed"
	if limiter > 0 {
		if !dropEst.OK && drop.OK { // that of the limiter is a bound
			c.RatingEstimate = design.Known(l.VMin - drop.V - wire - min(limiter, l.Limiter.UsualKept(l.ILow)))
		}
		c.Formula = "{V_rail_min} - {V_on} - {V_wire} - {V_limiter} = {rating}, at least {stress} is needed"
	}
	c.SetArgs(design.Arg{Name: "V_rail_min", V: l.VMin, Unit: design.V}, design.Arg{Name: "V_on", V: firstOf(drop, dropEst), Unit: design.V}, design.Arg{Name: "V_wire", V: wire, Unit: design.V}, design.Arg{Name: "V_limiter", V: limiter, Unit: design.V})
	c.SetCorner(design.CornerValue{Name: "rail", V: l.VMin}, design.CornerValue{Name: "ambient", V: l.TMax})
	judge(c)
	if drop.OK {
		s.value(design.VLoad, l.VMin-drop.V-wire-limiter, design.V)
	}
}

func firstOf(ns ...design.Number) float64 {
	for _, n := range ns {
		if n.OK {
			return n.V
		}
	}
	return 0
}

func (s *stage) ledCurrent(drop, dropEst design.Number) {
	l := s.l
	c := s.check(design.LoadVoltage, design.A)
	c.Stress = design.Known(float64(l.CurrentMin.Value))
	if l.CurrentMin.Assumed {
		c.EasyStress = design.Known(float64(l.CurrentMin.Easy))
	}
	if drop.OK {
		c.Rating = design.Known(l.LeastCurrent(drop.V))
	} else {
		c.Needs("on voltage")
	}
	if dropEst.OK {
		c.RatingEstimate = design.Known(l.LeastCurrent(dropEst.V))
	}
	c.Formula = "least current at {V_rail_min} less {V_on} = {rating}, at least {stress} is wanted"
	c.SetArgs(design.Arg{Name: "V_rail_min", V: l.VMin, Unit: design.V}, design.Arg{Name: "V_on", V: firstOf(drop, dropEst), Unit: design.V})
	c.SetCorner(design.CornerValue{Name: "rail", V: l.VMin})
	judge(c)
}

func (s *stage) railCurrent() {
	defer s.wireCurrent()
	l := s.l
	if !s.sourced { // what the pin itself sources counts as the pin's current
		s.d.Draws = append(s.d.Draws, design.Draw{Rail: l.Rail.Name, A: l.IMax})
	}
	limit, ok := l.Rail.CurrentMax.Get()
	if !ok {
		s.na(design.RailCurrent, "what the rail can give was not stated")
		s.caution(design.CautionRailUnknown)
		return
	}
	c := s.check(design.RailCurrent, design.A)
	c.Stress, c.Rating = design.Known(l.IMax+s.beside), design.Known(float64(limit))
	c.Source = "the job"
	c.Formula = "steady {stress} of what the rail gives, {rating}"
	c.SetCorner(design.CornerValue{Name: "rail", V: l.VMax}, design.CornerValue{Name: "ambient", V: l.TMin})
	judge(c)
}

// wireCurrent is rail-current where a stated run of wires bears less than the load draws
// for ever, whatever the rail gives: a fuse keeps them from burning in a short, and on a
// rail whose short-circuit current nobody knows there is none.
func (s *stage) wireCurrent() {
	l := s.l
	if l.WireLength <= 0 || l.Rail.IsPin {
		return
	}
	amps := l.IMax
	if l.HasInrush && l.PeakKnown && l.Pulse.Shape == load.ForEver {
		amps = max(amps, l.InrushRMS())
	}
	c := design.Check{ID: design.RailCurrent, Unit: design.A, Brief: s.env.Brief, Source: "the job, and tables of wires",
		Stress: design.Known(amps), Rating: design.Known(l.WireAmps), Because: tooThin(l, "the run of wires to the load is too thin"),
		Formula: "steady {stress} through the run of wires, which bears {rating}"}
	c.SetCorner(design.CornerValue{Name: "rail", V: l.VMax}, design.CornerValue{Name: "ambient", V: l.TMin})
	if judge(&c); c.Verdict == design.Fits {
		return
	}
	s.worseCheck(&c)
}

// avalancheCheck: with a clamp that keeps the voltage under the rating it does not
// apply; without one nothing limits it, whatever why says of a proof.
func (s *stage) avalancheCheck(why string) {
	if !s.l.Inductive {
		return
	}
	if !s.noClamp {
		s.na(design.Avalanche, "the clamp limits the voltage")
		return
	}
	c := s.check(design.Avalanche, design.J)
	c.K, c.NoSolution, c.Because = s.pol.Energy, true, nothingLimits
	c.Formula = why
	judge(c)
}

// edgesEnd is the frequency of pwm, Hz, that edges of so many seconds bear; infinite where
// they are not known.
func edgesEnd(on, off design.Number) float64 {
	if !on.OK || !off.OK {
		return math.Inf(1)
	}
	return 0.1 / (on.V + off.V)
}

// pwmCheck judges the frequency of pwm against the longest edges, s. Where they
// are not known, missing is the figure that would say them, or one is endless; where the
// junction t is not, junction is the figure that would say that.
func (s *stage) pwmCheck(tOn, tOff design.Number, t *temperatures, missing, junction string, endless bool) {
	if s.l.Mode != "pwm" {
		return
	}
	c := s.check(design.PWMFrequency, design.Hz)
	c.Stress = design.Known(s.l.Frequency)
	switch {
	case tOn.OK && tOff.OK:
		edges := edgesEnd(tOn, tOff)
		c.Rating = design.Known(edges)
		if s.ends.OK && s.ends.V < edges {
			c.Rating, c.Because = s.ends, "the junction gets to its greatest temperature at this frequency"
			if s.endsCalm.OK && (s.l.PeakAssumed || s.l.TimeAssumed) {
				c.EasyRating = design.Known(min(edges, s.endsCalm.V))
				c.Needs(s.l.InrushField())
			}
		}
		s.value(design.FPWMMax, c.Rating.V, design.Hz)
		if !t.worst.OK { // where heat ends it is not known: the edges alone prove nothing
			c.Rating, c.RatingEstimate, c.Because = design.Number{}, c.Rating, "how hot the junction gets is not known, so that only its edges tell what it bears"
			switch {
			case t.timeless:
				c.Needs("load.inrush_time")
			case !t.runaway:
				c.Needs(junction)
			}
		}
	case endless:
		c.Needs(missing)
		c.Rating, c.Because = design.Known(0), "an edge has no end: the plateau is not under the drive, the hot threshold not above zero, or the least gain too little to bound the storage"
	default:
		c.Needs(missing)
	}
	c.Formula = "0.1/({t_on} + {t_off}), or where heat ends it: {rating}"
	c.SetArgs(design.Arg{Name: "t_on", V: tOn.V, Unit: design.S}, design.Arg{Name: "t_off", V: tOff.V, Unit: design.S})
	c.SetCorner(design.CornerValue{Name: "frequency", V: s.l.Frequency})
	judge(c)
}

// noIsolation is the isolation check of a stage that has no galvanic separation.
func (s *stage) noIsolation() {
	if !s.l.IsolationAsked {
		s.na(design.Isolation, "no isolation was asked")
		return
	}
	c := s.check(design.Isolation, design.V)
	c.Stress, c.Rating = design.Known(s.l.VNom), design.Known(0)
	c.Because = "a transistor or a pin separates nothing: no isolation is stated"
	c.Formula = "working voltage {stress} across an isolation of {rating}"
	judge(c)
}

// finish orders and judges the design as a whole and adds up its cost.
func (s *stage) finish(owed []design.CheckID) {
	s.resistorChecks()
	s.limiter()
	s.touchable()
	s.drawFuse()
	s.tellWire()
	design.Complete(s.d, owed)
	design.Conclude(s.d)
	s.cost()
	if !s.env.Brief {
		s.band()
		s.farClamp()
		s.loadCautions()
	}
}

func (s *stage) cost() {
	m := design.Money{Amount: design.Known(0), Currency: s.env.Catalog.Currency}
	for i := range s.d.BOM {
		line := &s.d.BOM[i]
		if !line.UnitPrice.OK {
			m.Missing = append(m.Missing, line.Part)
			m.Amount = design.Number{}
			continue
		}
		if m.Amount.OK {
			m.Amount.V += line.UnitPrice.V * float64(line.Count)
		}
	}
	s.d.Cost = m
}

func (s *stage) loadCautions() {
	for _, id := range LoadCautions(s.env, s.l) {
		s.caution(id)
	}
}

// LoadCautions are the cautions that a load makes true whatever switches it.
func LoadCautions(env *Env, l *load.Model) []string {
	var ids []string
	if l.Rail.Hazardous {
		ids = append(ids, design.CautionHazard)
	}
	if l.Inductive {
		ids = append(ids, design.CautionStored)
	}
	if l.Kind == job.Capacitive {
		ids = append(ids, design.CautionCharge)
	}
	if l.Kind == job.Motor || l.Kind == job.ACMotor || l.Kind == job.Solenoid {
		ids = append(ids, design.CautionMoves)
	}
	if env.Pin.AtReset != "low" {
		ids = append(ids, design.CautionReset)
	}
	if l.StuckOnHarmful {
		ids = append(ids, design.CautionStuck)
	}
	if l.Rail.Hazardous {
		ids = append(ids, design.CautionTerminals)
		if l.WireLength <= 0 {
			ids = append(ids, design.CautionWiresUnsaid)
		}
	}
	if !l.FuseAsked {
		ids = append(ids, design.CautionFuse)
	}
	if env.Policy.Name == "none" {
		ids = append(ids, design.CautionNoMargin)
	}
	if env.Policy.FromMemory {
		ids = append(ids, design.CautionMemory)
	}
	return append(ids, design.CautionLimits)
}

// worseCheck keeps the worse of a check and the one that is there.
func (s *stage) worseCheck(c *design.Check) {
	for i := range s.d.Checks {
		if k := &s.d.Checks[i]; k.ID == c.ID && k.Stage == c.Stage {
			has := true
			keepWorse(k, *c, &has)
			return
		}
	}
	for i := range s.d.NA {
		if n := &s.d.NA[i]; n.ID == c.ID && n.Stage == c.Stage {
			s.d.NA = append(s.d.NA[:i], s.d.NA[i+1:]...)
			break
		}
	}
	s.d.Checks = append(s.d.Checks, *c)
}
