package device

import (
	"math"
	"slices"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/job"
	q "example.org/pinhoist/internal/quantity"
)

// Factors on a contact's resistive figure that stand in for a figure of its own
// category. They are common practice, no source, but on DC where published tables
// say less: the safer of them is taken (the tests name them). None crosses from AC to
// DC, and none applies to a make figure or to life.
const (
	// ContactInductive is the factor for an inductive load, AC-15 from AC-1.
	ContactInductive = 0.3
	// ContactInductiveDC is the same up to LowDC, DC-13 from DC-1.
	ContactInductiveDC = 0.16
	// ContactHighDC is the factor for inductive loads and motors on DC above LowDC, V,
	// where arcs last.
	ContactHighDC = 0.1
	LowDC         = 48.0
	// ContactClamped is the factor for a DC winding that carries its own clamp:
	// the contact then opens the current at the rail plus the clamp's voltage.
	ContactClamped = 1.0
	// ContactLamp is the factor for a filament lamp.
	ContactLamp = 0.1
	// ContactMotor is the factor for a motor, on DC up to LowDC.
	ContactMotor = 0.2
	// MinimumCurrent, A, is the load current under which a contact needs a stated
	// minimum (common practice, no source; the intermediate level of military
	// relays ends at 100 mA).
	MinimumCurrent = 0.1
	// MinimumVoltage, V, is the same for the voltage over the open contact.
	MinimumVoltage = 5.0
)

// ContactDuty is what a load asks of the contact that switches it.
type ContactDuty struct {
	Kind      job.Kind
	AC        bool
	V         float64       // nominal rail, V (AC: RMS)
	Inductive bool          // by kind, or because an inductance is stated
	LoverR    design.Number // greatest L/R of the load, s; unknown where no inductance is stated
	Clamp     design.Number // highest voltage of the clamp across the load, V; unknown: it carries none
	OffMains  bool          // AC, and of no frequency that contacts are tried at
}

// Contacts are tried on AC between these frequencies, Hz (45 to 62 Hz in IEC 60947-1, from
// memory): an arc ends at a zero of the current, and slower it lasts longer.
const (
	mainsFrom = 45.0
	mainsTo   = 65.0
)

// OffMains reports whether a nominal frequency, Hz, is none that contacts are tried at.
func OffMains(f float64) bool { return !design.AtMost(mainsFrom, f) || !design.AtMost(f, mainsTo) }

// ContactFigure is what a contact promises for one duty.
type ContactFigure struct {
	Rating   design.Number // guaranteed
	Estimate design.Number // between stated points, or a bound that does not prove
	Easy     design.Number // with a factor of 1, where the rating rests on a factor
	Category string        // of the figure that was used, or is needed
	Because  string        // how it was found, where it is not the category's own figure
	Figure   string        // key of the contact to state, relative to it ("dc.i"); "" where none is missing
	LoadKey  string        // key of the load to state ("load.inductance"); "" where none is missing
	Fallback bool          // rests on what stands in for a missing figure
}

// The categories of use (IEC 60947-4-1 and -5-1), by what they switch.
const (
	catACResistive = "AC-1"
	catACMotor     = "AC-3"
	catACLamp      = "AC-5b"
	catACInductive = "AC-15"
	catDCResistive = "DC-1"
	catDCShunt     = "DC-3"
	catDCSeries    = "DC-5"
	catDCLamp      = "DC-6"
	catDCInductive = "DC-13"
)

// The keys that a missing contact figure is named by.
const (
	keyAC   = "ac.i"
	keyDC   = "dc.i"
	keyMake = "make.i"
	keyLife = "life.operations"
)

// use is what a load is to a contact.
type use uint8

const (
	useResistive use = iota
	useLamp
	useMotor
	useInductive
)

func (d *ContactDuty) use() use {
	switch d.Kind {
	case job.Lamp, job.ACLamp:
		return useLamp
	case job.Motor, job.ACMotor:
		return useMotor
	case job.Solenoid, job.Coil, job.ACCoil, job.ACTransformer:
		return useInductive
	}
	if d.Inductive {
		return useInductive
	}
	return useResistive
}

// Category is the category of use that a load needs: DC-1, DC-5, DC-6, DC-13,
// AC-1, AC-3, AC-5b or AC-15.
func (d ContactDuty) Category() string {
	if d.AC {
		return [...]string{catACResistive, catACLamp, catACMotor, catACInductive}[d.use()]
	}
	return [...]string{catDCResistive, catDCLamp, catDCSeries, catDCInductive}[d.use()]
}

func (d *ContactDuty) resistive() string {
	if d.AC {
		return catACResistive
	}
	return catDCResistive
}

func (d *ContactDuty) points(c *catalog.Contact) ([]catalog.ContactPoint, string) {
	if d.AC {
		return c.AC, keyAC
	}
	return c.DC, keyDC
}

// ContactVoltage is the highest voltage that a contact may switch on that
// supply, V. An AC figure never serves for DC, nor the other way round; unknown
// where that supply has none.
func ContactVoltage(c *catalog.Contact, ac bool) design.Number {
	v, ok := c.VDCMax.Get()
	if ac {
		v, ok = c.VACMax.Get()
	}
	if !ok {
		return design.Number{}
	}
	return design.Known(float64(v))
}

// SwitchingCurrent is the steady current, A, that a contact is guaranteed to
// switch for that duty: the figure of the load's own category at the next higher
// stated voltage; where the category has none, the resistive figure of the same
// supply times the factor of the category. Past the last stated voltage there is
// no rating. A DC-13 figure serves up to its own L/R; a winding that carries its
// clamp may also use the resistive figure at the rail plus the clamp's voltage.
// A load that is two things at once (a lamp with a stated inductance) gets the
// lesser.
// On AC of a frequency that contacts are not tried at, all of that is a bound and no
// guarantee.
func SwitchingCurrent(c *catalog.Contact, d ContactDuty) ContactFigure {
	f := switchingFor(c, &d, d.use())
	if u := d.use(); u == useLamp && d.Inductive {
		f = lesser(f, switchingFor(c, &d, useInductive))
	}
	if d.AC && d.OffMains {
		if f.Rating.OK && (!f.Estimate.OK || f.Estimate.V < f.Rating.V) {
			f.Estimate = f.Rating
		}
		f.Rating, f.Easy = design.Number{}, design.Number{}
		f.Because, f.LoadKey = "contacts are tried on AC of 45 to 65 Hz: a slower arc lasts longer, and nobody stated a faster one", "rail.frequency"
	}
	return f
}

func lesser(a, b ContactFigure) ContactFigure {
	switch {
	case !a.Rating.OK:
		return a
	case !b.Rating.OK || b.Rating.V < a.Rating.V:
		return b
	}
	return a
}

func switchingFor(c *catalog.Contact, d *ContactDuty, u use) ContactFigure {
	pts, key := d.points(c)
	switch u {
	case useLamp:
		own := catDCLamp
		if d.AC {
			own = catACLamp
		}
		return ownOrFactor(pts, d, key, ContactLamp, "lamp: a tenth of the resistive figure", own)
	case useMotor:
		const why = "motor: a fifth of the resistive figure"
		if d.AC {
			return ownOrFactor(pts, d, key, ContactMotor, why, catACMotor)
		}
		if d.V > LowDC {
			return ownOrFactor(pts, d, key, ContactHighDC, "motor above 48 V DC: a tenth of the resistive figure", catDCSeries, catDCShunt)
		}
		return ownOrFactor(pts, d, key, ContactMotor, why, catDCSeries, catDCShunt)
	case useInductive:
		if d.AC {
			return ownOrFactor(pts, d, key, ContactInductive, "inductive: 0.3 of the resistive figure", catACInductive)
		}
		return inductiveDC(pts, d)
	}
	own := stairsAt(pts, d.resistive(), d.V, design.Known(0))
	f := ContactFigure{Rating: own.rating, Estimate: own.estimate, Category: d.resistive()}
	if !f.Rating.OK {
		f.Figure = key
	}
	return f
}

// ownOrFactor takes the figure of the first category that has one at this
// voltage, else the resistive one times the factor. A figure of the category at
// a lower voltage caps the factor: no contact gets better at a higher one.
func ownOrFactor(pts []catalog.ContactPoint, d *ContactDuty, key string, factor float64, why string, cats ...string) ContactFigure {
	limit := math.Inf(1)
	for _, cat := range cats {
		own := stairsAt(pts, cat, d.V, design.Known(0))
		if own.rating.OK {
			return ContactFigure{Rating: own.rating, Estimate: own.estimate, Category: cat}
		}
		limit = min(limit, own.below)
	}
	f := byFactor(stairsAt(pts, d.resistive(), d.V, design.Known(0)), factor, limit)
	f.Category, f.Because, f.Figure = cats[0], why, key
	return f
}

func byFactor(base step, factor, limit float64) ContactFigure {
	f := ContactFigure{Easy: base.rating}
	if base.rating.OK {
		f.Rating = design.Known(min(limit, factor*base.rating.V))
	}
	if base.estimate.OK {
		f.Estimate = design.Known(min(limit, factor*base.estimate.V))
	}
	return f
}

// inductiveDC is the figure for a DC winding.
func inductiveDC(pts []catalog.ContactPoint, d *ContactDuty) ContactFigure {
	own := stairsAt(pts, catDCInductive, d.V, d.LoverR)
	f := ContactFigure{Rating: own.rating, Estimate: own.estimate, Category: catDCInductive}
	if d.Clamp.OK {
		at := stairsAt(pts, catDCResistive, d.V+max(0, d.Clamp.V), design.Known(0))
		if at.rating.OK && (!f.Rating.OK || ContactClamped*at.rating.V > f.Rating.V) {
			return ContactFigure{Rating: design.Known(ContactClamped * at.rating.V), Estimate: at.estimate, Category: catDCResistive,
				Because: "the winding carries its clamp: resistive figure at the rail plus the clamp's voltage"}
		}
	}
	if f.Rating.OK {
		return f
	}
	base := stairsAt(pts, catDCResistive, d.V, design.Known(0))
	if d.LoverR.OK && math.IsInf(own.short, 1) {
		// The factor serves where the part is silent about DC-13 at this voltage: a
		// figure for a shorter L/R says that the contact was not tried with this one.
		factor, why := ContactInductiveDC, "inductive: 0.16 of the resistive figure"
		if d.V > LowDC {
			factor, why = ContactHighDC, "inductive above 48 V DC: a tenth of the resistive figure"
		}
		f = byFactor(base, factor, own.below)
		f.Because = why
	} else {
		// Nothing proves it; the resistive figure is a bound above which it fails.
		f = ContactFigure{Estimate: base.rating, Because: "no inductive figure for an L/R this long"}
		if base.estimate.OK && base.estimate.V > base.rating.V {
			f.Estimate = base.estimate
		}
	}
	if !d.LoverR.OK {
		f.Because, f.LoadKey = "inductance not stated and no clamp across the load", "load.inductance"
	}
	f.Category, f.Figure = catDCInductive, keyDC
	return f
}

// MagnetTimeConstant is L/R, s, of the electromagnet of p watts (above 0) that category
// DC-13 stands for: 95 % of the current after 6 ms/W, 300 ms at the most (note to the
// categories of IEC 60947-5-1, from memory), a third of which is one time constant. A
// guide to what an unstated inductance may be, no bound.
func MagnetTimeConstant(p float64) float64 { return min(6e-3*p, 0.3) / 3 }

// step is one reading of a table of contact figures.
type step struct {
	rating   design.Number // of the next higher stated voltage
	estimate design.Number // log-log between the neighbours
	below    float64       // least figure of the category at a lower voltage; infinite: none
	short    float64       // least figure of the category at this voltage for a shorter L/R; infinite: none
}

// stairsAt reads a category at voltage v: the rating is the greatest figure
// stated at v or more (figures fall with voltage, so that is the nearest one),
// none past the last. The estimate runs log-log between the neighbours,
// I1*(V/V1)^(ln(I2/I1)/ln(V2/V1)). A point serves a load up to the L/R that it
// is stated for; lr unknown, or a point that states none where one is needed, serves nothing.
func stairsAt(pts []catalog.ContactPoint, cat string, v float64, lr design.Number) step {
	s := step{below: math.Inf(1), short: math.Inf(1)}
	var v0, i0, v1, i1 float64
	for k := range pts {
		p := &pts[k]
		if p.Category != cat || !p.V.Known() || !p.I.Known() {
			continue
		}
		pv, pi := float64(p.V.Value()), float64(p.I.Value())
		serves := lr.OK && (lr.V == 0 || p.LoverR.Known() && design.AtMost(lr.V, float64(p.LoverR.Value())))
		switch {
		case !design.AtMost(v, pv):
			s.below = min(s.below, pi)
			if serves && pv >= v0 {
				v0, i0 = pv, pi
			}
		case !serves:
			s.short = min(s.short, pi)
		default:
			if !s.rating.OK || pi > s.rating.V {
				s.rating = design.Known(pi)
			}
			if v1 == 0 || pv < v1 {
				v1, i1 = pv, pi
			}
		}
	}
	if s.rating.OK && v0 > 0 && v1 > v && i0 > i1 {
		s.estimate = LogLog(v0, i0, v1, i1, v)
	}
	return s
}

// LogLog reads a straight line in double logarithmic axes through (x0, y0) and
// (x1, y1) at x: y0*(x/x0)^(ln(y1/y0)/ln(x1/x0)). All must be above zero and x0
// differ from x1, else the result is unknown.
func LogLog(x0, y0, x1, y1, x float64) design.Number {
	if !(x0 > 0 && y0 > 0 && x1 > 0 && y1 > 0 && x > 0) || x0 == x1 {
		return design.Number{}
	}
	return design.Known(y0 * math.Pow(x/x0, math.Log(y1/y0)/math.Log(x1/x0)))
}

// MakeLoad is the kind of make figure that a load needs: lamp, capacitive,
// motor, inductive or resistive.
func (d ContactDuty) MakeLoad() string {
	switch d.Kind {
	case job.Capacitive, job.Electronic, job.LED, job.ACSupply:
		return "capacitive" // what charges behind a module's terminals is a capacitor
	}
	return [...]string{"resistive", "lamp", "motor", "inductive"}[d.use()]
}

// What a category of use includes of making, as multiples of its current, RMS, in normal
// duty: IEC 60947-5-1 for AC-15, IEC 60947-4-1 for AC-3. DC-13 and AC-1 include none.
const (
	makesAC15 = 10.0
	makesAC3  = 6.0
	// makesFor is how long an electromagnet on AC draws its inrush in those tests, s
	// (from memory), and startsFor how long a motor may take to start (common
	// practice, no source).
	makesFor  = 50e-3
	startsFor = 10.0
)

// categoryMake is the crest, A, that a contact with an AC-15 figure may make of the
// magnets, and one with an AC-3 figure of the motors, that the category is for.
func (d *ContactDuty) categoryMake(pts []catalog.ContactPoint, t float64) design.Number {
	var cat string
	var times float64
	switch {
	case d.Kind == job.ACCoil && design.AtMost(t, makesFor):
		cat, times = catACInductive, makesAC15
	case d.Kind == job.ACMotor && design.AtMost(t, startsFor):
		cat, times = catACMotor, makesAC3
	default:
		return design.Number{}
	}
	own := stairsAt(pts, cat, d.V, design.Known(0)).rating
	if own.OK {
		own.V *= times * math.Sqrt2
	}
	return own
}

// MakeCurrent is the inrush peak, A (on AC a crest, and the figures of a part are
// crests too), that a contact is guaranteed to close on
// for a pulse of length t seconds (infinite: without end, or of unknown length):
// the figure of that kind of load and supply, stated at no less voltage and no
// shorter time. Without one, the greatest steady resistive figure of that supply
// at the nominal rail proves what is under it, as a fallback. No figure of
// another kind or supply is ever used.
func MakeCurrent(c *catalog.Contact, d ContactDuty, t float64) ContactFigure {
	kind, supply := d.MakeLoad(), "dc"
	if d.AC {
		supply = "ac"
	}
	f := ContactFigure{Category: kind}
	var short design.Number
	for k := range c.Make {
		p := &c.Make[k]
		if p.Load != kind || p.Supply != supply || !p.I.Known() || !design.AtMost(d.V, float64(p.V.Or(0))) {
			continue
		}
		i := float64(p.I.Value())
		switch {
		case math.IsInf(t, 1) || !design.AtMost(t, float64(p.T.Or(0))):
			if !short.OK || i > short.V {
				short = design.Known(i)
			}
		case !f.Rating.OK || i > f.Rating.V:
			f.Rating = design.Known(i)
		}
	}
	if f.Rating.OK {
		return f
	}
	pts, _ := d.points(c)
	if own := d.categoryMake(pts, t); own.OK {
		f.Rating, f.Because = own, "the category of its switching figure includes making so much more than it breaks"
		if short.OK && short.V < own.V { // a stated make figure under it caps it
			f.Rating, f.Estimate, f.Figure = short, own, keyMake
		}
		return f
	}
	f.Rating = stairsAt(pts, d.resistive(), d.V, design.Known(0)).rating
	if d.AC && f.Rating.OK {
		f.Rating.V *= math.Sqrt2 // whatever the instant of closing, it meets the crest
	}
	f.Estimate, f.Figure, f.Fallback = short, keyMake, true
	f.Because = "no make figure of this kind: the steady resistive figure proves what is under it"
	if f.Rating.OK && f.Estimate.OK && f.Estimate.V < f.Rating.V {
		// A stated make figure under the steady one caps it.
		f.Rating = f.Estimate
	}
	return f
}

// InSeries is the contact that two closing poles in series are: what is stated for both,
// and where that is silent what is stated for one, which both do too. The figures for both
// go first, so that a promise names one figure and not the better of two. A relay has to
// state both.
func InSeries(r *catalog.Relay) *catalog.Contact {
	one, c := r.NO, *r.Series
	if one == nil {
		return &c
	}
	c.VACMax, c.VDCMax, c.VOpen = either(c.VACMax, one.VACMax), either(c.VDCMax, one.VDCMax), either(c.VOpen, one.VOpen)
	c.ICarry, c.RateMax, c.RContact = either(c.ICarry, one.ICarry), either(c.RateMax, one.RateMax), either(c.RContact, one.RContact)
	point := func(p *catalog.ContactPoint) string { return p.Category }
	c.AC, c.DC = beside(c.AC, one.AC, point), beside(c.DC, one.DC, point)
	c.Make = beside(c.Make, one.Make, func(p *catalog.MakePoint) string { return p.Supply + p.Load })
	c.Life = beside(c.Life, one.Life, func(p *catalog.LifePoint) string { return p.Category })
	if c.Wetting == nil {
		c.Wetting = one.Wetting
	}
	return &c
}

func either[T q.Quantity](a, b q.Opt[T]) q.Opt[T] {
	if a.Known() {
		return a
	}
	return b
}

// beside is a list, and of another what is of no kind that the first has.
func beside[T any](first, other []T, kind func(*T) string) []T {
	all := first[:len(first):len(first)]
	for i := range other {
		if !slices.ContainsFunc(first, func(p T) bool { return kind(&p) == kind(&other[i]) }) {
			all = append(all, other[i])
		}
	}
	return all
}

// Carry is the current, A, that a closed contact carries for ever.
func Carry(c *catalog.Contact) design.Number { return known(c.ICarry.Get()) }

func known[T ~float64](v T, ok bool) design.Number {
	if !ok {
		return design.Number{}
	}
	return design.Known(float64(v))
}

// MinimumLoad is the least voltage, V, and current, A, that keep a contact clean,
// where the part states them.
func MinimumLoad(c *catalog.Contact) (v, i design.Number) {
	if c.Wetting == nil {
		return v, i
	}
	return known(c.Wetting.V.Get()), known(c.Wetting.I.Get())
}

// ContactRate is how many operations an hour a contact may do under load: its
// own figure, 360 /h without one, never more than the relay's unloaded rate.
// The estimate is how fast the armature can follow at all: one operation in the
// sum of operate, release and bounce time.
func ContactRate(r *catalog.Relay, c *catalog.Contact) (rating, estimate design.Number, fallback bool) {
	rate, ok := c.RateMax.Get()
	if !ok {
		rate, fallback = catalog.BracketContactRateMax, true
	}
	v := float64(rate) * 3600
	if u, ok := r.RateUnloaded.Get(); ok {
		estimate = design.Known(float64(u) * 3600)
		v = min(v, estimate.V)
	}
	if t := r.TimeMax; t != nil {
		if sum := float64(t.Operate.Or(0) + t.Release.Or(0) + t.Bounce.Or(0)); sum > 0 {
			follow := 3600 / sum
			v = min(v, follow)
			if !estimate.OK || follow < estimate.V {
				estimate = design.Known(follow)
			}
		}
	}
	if !fallback {
		estimate = design.Number{} // a stated rate is a limit, not a reading between points
	}
	return design.Known(v), estimate, fallback
}

// ContactLife is how many operations a contact lasts at current i, A, for that
// duty: of the points of the load's own category at no less voltage (and L/R),
// the one of the next higher current. The estimate runs log-log between
// currents, N1*(I/I1)^(ln(N2/N1)/ln(I2/I1)). Category factors do not apply: the
// resistive life serves resistive loads only. Past the last current: none.
func ContactLife(c *catalog.Contact, d ContactDuty, i float64) ContactFigure {
	f := lifeOf(c.Life, d.Category(), &d, i)
	if !f.Rating.OK && d.Category() == catDCSeries {
		if g := lifeOf(c.Life, catDCShunt, &d, i); g.Rating.OK {
			f = g
		}
	}
	if !f.Rating.OK {
		f.Figure = keyLife
	}
	return f
}

func lifeOf(pts []catalog.LifePoint, cat string, d *ContactDuty, i float64) ContactFigure {
	f := ContactFigure{Category: cat}
	row := math.Inf(1) // the next higher stated voltage: the estimate keeps to it
	for k := range pts {
		if p := &pts[k]; lifeServes(p, cat, d) {
			row = min(row, float64(p.V.Or(0)))
		}
	}
	var i0, n0, i1, n1 float64
	for k := range pts {
		p := &pts[k]
		if !lifeServes(p, cat, d) {
			continue
		}
		pi, pn, inRow := float64(p.I.Value()), *p.Operations, float64(p.V.Or(0)) == row
		switch {
		case design.AtMost(i, pi):
			if !f.Rating.OK || pn > f.Rating.V {
				f.Rating = design.Known(pn)
			}
			if inRow && (i1 == 0 || pi < i1) {
				i1, n1 = pi, pn
			}
		case inRow && pi >= i0:
			i0, n0 = pi, pn
		}
	}
	// Life rises as current falls, so the estimate lies between the guarantee of
	// the next higher current and that of a lower one.
	if f.Rating.OK && i1 > i && i0 > 0 && n0 > n1 {
		f.Estimate = LogLog(i0, n0, i1, n1, i)
	}
	return f
}

// lifeServes reports whether a point is of that category, at no less voltage and,
// for a winding, no shorter L/R.
func lifeServes(p *catalog.LifePoint, cat string, d *ContactDuty) bool {
	if p.Category != cat || p.Operations == nil || !p.I.Known() || !design.AtMost(d.V, float64(p.V.Or(0))) {
		return false
	}
	return cat != catDCInductive || d.LoverR.OK && p.LoverR.Known() && design.AtMost(d.LoverR.V, float64(p.LoverR.Value()))
}

// ContactResistance is the greatest resistance of a closed contact, ohm; 100
// mohm (common practice) where the part states none.
func ContactResistance(c *catalog.Contact) (r float64, fallback bool) {
	if v, ok := c.RContact.Get(); ok {
		return float64(v), false
	}
	return float64(catalog.BracketRContactMax), true
}
