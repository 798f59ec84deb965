package job

import (
	"math"
	"strconv"
	"strings"

	q "example.org/pinhoist/internal/quantity"
)

// Why a figure stands that nobody stated.
const (
	whyKind   = "not stated; common practice for this kind of load"
	whyRate   = "not stated; common practice"
	whySeries = "not stated; a strip or module that holds its own resistors"
	whyFault  = "not stated for this rail; common practice"
	whyPower  = "not stated; common practice for a supply without power-factor correction"
)

// How single assumed figures are told.
var (
	tellPWM         = `what is faster wants mode = "pwm" with its pwm_frequency`
	tellRate        = text(defaults.Loads[0].SwitchingRate.Value())
	tellForward     = text(ledForward) + " of the rail"
	tellMustOperate = text(coilMustOperate)
	tellMustRelease = text(coilMustRelease)
	tellRthCoil     = text(coilRth)
	tellSettle      = "0.22 s for a lamp of 1 A, with current^(2/3), until it is within 10 % of its steady current"
	tellFaultAC     = text(mainsFault)
	tellFaultDC     = plain(dcFaultFactor) + " times current_max"
)

// byDefault is what stands where a load is silent, whatever its kind.
var byDefault = &defaults.Loads[0]

func (l *Load) assume(field, value, why string) {
	l.Assumed = append(l.Assumed, Assumed{field, value, why})
}

func (r *resolver) load(spec *Spec, i int, j *Job, l *Load) {
	s := &spec.Loads[i]
	l.Name = s.Name
	l.Assumed = make([]Assumed, 0, 8)
	r.loadName(spec.Loads[:i], s.Name)
	k := r.kind(s.Kind)
	railOK := r.loadRail(spec, i, j, l)
	r.figures(s)
	l.Tolerance = r.spread("tolerance", s.Tolerance, byDefault.Tolerance)
	l.ToleranceL = r.spread("tolerance_l", s.ToleranceL, byDefault.ToleranceL)
	l.L, l.C, l.ESR = s.Inductance, s.Capacitance, s.ESR
	if k != nil {
		r.ofKind(k, s, l, railOK)
		r.shortGives(spec.Rails, s.Rail, l)
	}
	r.placement(s, l)
	r.rhythm(s, l)
	r.duty(s, l)
	r.isolation(s, l)
	r.life(s, l)
	r.wires(s, l)
	r.built(s, l)
}

// ofKind fills what depends on the kind of load.
func (r *resolver) ofKind(k *KindInfo, s *LoadSpec, l *Load, railOK bool) {
	l.Kind = k.Kind
	l.Inductive = k.Inductive || s.Inductance.Known()
	r.powerFactor(k, s, l)
	if railOK {
		r.railSuits(k, s, l)
		r.forward(k, s, l)
		r.current(k, s, l)
		r.inrush(k, s, l)
		r.needs(k, s, l)
	}
	r.coil(k, s, l)
	if k.Kind == Capacitive && !s.Capacitance.Known() {
		r.fail("capacitance", nothing, "the capacitance that is charged")
	}
	l.Reversing = s.Reversing
	if s.Reversing && k.Kind != Motor && k.Kind != ACMotor {
		r.fail("reversing", "true", "a motor: no other kind turns the other way")
	}
	r.unused(k, s)
}

// doubtful reports whether one of the keys was complained of already, so that
// what follows from it is not worth telling.
func (r *resolver) doubtful(keys ...string) bool {
	if r.bad == nil {
		return false
	}
	for _, k := range keys {
		if r.bad[r.path(k)] {
			return true
		}
	}
	return false
}

func (r *resolver) loadName(before []LoadSpec, name string) {
	switch {
	case name == "":
		r.fail("name", nothing, "a name")
		return
	case !r.printable("name", name):
		return
	case strings.Contains(name, "/"):
		r.fail("name", quote(name), `a name without "/"`)
		return
	case strings.TrimSpace(name) != name:
		r.fail("name", quote(name), "a name without spaces at its ends")
		return
	}
	for i := range before {
		if before[i].Name == name {
			r.fail("name", quote(name), "a name of its own: load["+strconv.Itoa(i)+"] has it too")
			return
		}
	}
}

// kind finds the kind; nil where there is no such kind, which is an error.
func (r *resolver) kind(word string) *KindInfo {
	if k := kindInfo(Kind(word)); k != nil {
		return k
	}
	found := quote(word)
	if word == "" {
		found = nothing
	}
	names := make([]string, len(kinds))
	for i := range kinds {
		names[i] = string(kinds[i].Kind)
	}
	r.fail("kind", found, "one of "+strings.Join(names, ", "))
	return nil
}

// loadRail finds or makes the load's rail.
func (r *resolver) loadRail(spec *Spec, i int, j *Job, l *Load) bool {
	s := &spec.Loads[i]
	positive(r, "supply", s.Supply, maxVolt)
	tol := r.spread("supply_tolerance", s.SupplyTolerance, byDefault.SupplyTolerance)
	positive(r, "frequency", s.Frequency, maxHertz)
	switch {
	case s.Rail != "" && s.Supply.Known():
		r.fail("supply", text(s.Supply.Value()), "rail or supply, not both")
		return false
	case s.Rail == "" && !s.Supply.Known():
		r.fail("rail", nothing, "the name of a rail, or supply with a voltage", "supply")
		return false
	case s.Rail != "":
		if s.SupplyTolerance.Known() {
			r.fail("supply_tolerance", text(s.SupplyTolerance.Value()), "nothing: the rail has a tolerance of its own")
		}
		if s.Frequency.Known() {
			r.fail("frequency", text(s.Frequency.Value()), "nothing: the rail has a frequency of its own")
		}
		return r.namedRail(spec, s.Rail, j, l)
	}
	l.Rail = makeRail("", s.Supply.Value(), tol, s.Frequency)
	l.Rail.CommonPin = !l.Rail.Hazardous
	l.Rail.fault()
	if !l.Rail.AC && l.Rail.Nom == j.Pin.SupplyNom {
		r.warn("supply", text(l.Rail.Nom), `rail = "pin" if the load hangs on the pin's own supply: this is taken as another supply of the same voltage`)
	}
	j.Rails = append(j.Rails, l.Rail)
	r.faultAssumed(l)
	return l.Rail.Nom >= tiny && l.Rail.Nom <= maxVolt
}

func (r *resolver) namedRail(spec *Spec, name string, j *Job, l *Load) bool {
	if name == PinRail {
		l.Rail = j.Pin.Rail()
		return l.Rail.Nom >= tiny && l.Rail.Nom <= touchDC
	}
	for i := range spec.Rails {
		if spec.Rails[i].Name != name {
			continue
		}
		l.Rail = j.Rails[i]
		r.faultAssumed(l)
		return l.Rail.Nom >= tiny && l.Rail.Nom <= maxVolt
	}
	r.fail("rail", quote(name), `the name of a [[rail]], or "pin"`, "rail")
	return false
}

// shortGives refuses a stated fault current under what a load takes all the time: what a
// rail gives to a load it gives to a short, and starts are believed to be limited by it.
func (r *resolver) shortGives(rails []RailSpec, rail string, l *Load) {
	fault, ok := l.Rail.FaultCurrent.Get()
	if !ok || l.Rail.FaultAssumed || !above(l.Current, fault) {
		return
	}
	table, index := r.table, r.index
	for i := range rails {
		if rails[i].Name == rail {
			r.table, r.index = "rail", i
			r.fail("fault_current", text(fault), "at least what load "+quote(l.Name)+" takes, "+text(l.Current)+": a short draws no less")
		}
	}
	r.table, r.index = table, index
}

// faultAssumed tells of a fault current that was taken: fuses, which hazardous
// rails owe, are judged by it.
func (r *resolver) faultAssumed(l *Load) {
	if !l.Rail.FaultAssumed || !l.Rail.Hazardous {
		return
	}
	value := tellFaultDC
	if l.Rail.AC {
		value = tellFaultAC
	}
	l.assume("rail.fault_current", value, whyFault)
}

func (r *resolver) railSuits(k *KindInfo, s *LoadSpec, l *Load) {
	switch {
	case k.AC && !l.Rail.AC:
		r.fail("kind", quote(s.Kind), "a kind for a DC rail, or a rail with a frequency", "frequency")
	case !k.AC && l.Rail.AC && s.Kind != "":
		r.fail("kind", quote(s.Kind), "a kind for an AC rail (ac-...), or a rail without a frequency")
	}
}

// figures checks the ranges of what is stated alone.
func (r *resolver) figures(s *LoadSpec) {
	positive(r, "resistance", s.Resistance, maxOhm)
	positive(r, "power", s.Power, maxWatt)
	positive(r, "inductance", s.Inductance, maxHenry)
	positive(r, "capacitance", s.Capacitance, maxFarad)
	notNegative(r, "esr", s.ESR, maxOhm)
	positive(r, "forward_voltage", s.ForwardVoltage, maxVolt)
	positive(r, "inrush_current", s.InrushCurrent, maxAmp)
	positive(r, "inrush_time", s.InrushTime, maxSecond)
	positive(r, "stall_current", s.StallCurrent, maxAmp)
	positive(r, "winding_resistance", s.WindingR, maxOhm)
	positive(r, "stall_time", s.StallTime, maxSecond)
	positive(r, "input_high_min", s.InputHighMin, maxVolt)
	positive(r, "release_within", s.ReleaseWithin, maxSecond)
	notNegative(r, "mechanical_release_time", s.MechRelease, maxSecond)
	positive(r, "release_current", s.ReleaseCurrent, maxAmp)
	positive(r, "off_current_max", s.OffCurrentMax, maxAmp)
	positive(r, "voltage_min", s.VoltageMin, maxVolt)
	positive(r, "r_th_coil", s.RthCoil, maxRth)
	r.share("must_operate", s.MustOperate)
	r.share("must_release", s.MustRelease)
	r.share("power_factor", s.PowerFactor)
	r.factor("cold_ratio", s.ColdRatio)
	r.factor("inrush_factor", s.InrushFactor)
	r.oneOf("inrush_source", s.InrushSource, "", "measured", "data-sheet")
	r.oneOf("series", s.Series, "", "inside", "designed")
}

// factor checks a multiple of the steady current: 1 or more.
func (r *resolver) factor(key string, o q.Opt[q.Ratio]) {
	if v, ok := o.Get(); ok && v < 1 && v > 0 {
		r.fail(key, plain(v), "1 or more")
		return
	}
	positive(r, key, o, maxRatio)
}

func (r *resolver) powerFactor(k *KindInfo, s *LoadSpec, l *Load) {
	l.PowerFactor = Figure[q.Ratio]{Value: k.PowerFactor, Known: true, Assumed: k.PFAssumed, Easy: 1, Field: "power_factor"}
	if v, ok := s.PowerFactor.Get(); ok && k.AC {
		l.PowerFactor = Figure[q.Ratio]{Value: v, Known: true, Easy: v, Field: "power_factor"}
		return
	}
	if k.Kind == ACSupply && s.Power.Known() {
		l.PowerFactor = Figure[q.Ratio]{Value: supplyPF, Known: true, Assumed: true, Easy: 1, Field: "power_factor"}
		l.assume("power_factor", tellSupplyPF, whyPower)
		return
	}
	if k.PFAssumed {
		l.assume("power_factor", k.tellPF, whyKind)
	}
}

// supplyPF turns the power of an AC supply into its current where no power
// factor is stated (rectifier and capacitor; common practice, no source).
const supplyPF q.Ratio = 0.5

var tellSupplyPF = plain(supplyPF)

// forward fills the forward voltage of an LED.
func (r *resolver) forward(k *KindInfo, s *LoadSpec, l *Load) {
	if k.Kind != LED {
		return
	}
	vf, stated := s.ForwardVoltage.Get()
	l.VfDesigned = s.Series == "designed"
	switch {
	case !stated && l.VfDesigned:
		r.fail("forward_voltage", nothing, "the forward voltage of the bare LED, for which a resistor is chosen", "forward_voltage")
	case stated && s.Series == "":
		r.fail("series", nothing, `"designed" for a bare LED, whose resistor is chosen here, or "inside" for a strip or module that holds its own`, "series")
	case stated && vf >= l.Rail.Nom:
		r.fail("forward_voltage", text(vf), "less than the rail, "+text(l.Rail.Nom), "supply", "rail")
	}
	if !stated {
		vf = l.Rail.Nom * q.Volt(ledForward)
		if !l.VfDesigned {
			l.VfAssumed = true
			l.assume("forward_voltage", tellForward, whyKind)
		}
	}
	if s.Series == "" {
		l.assume("series", "inside", whySeries)
	}
	l.Vf = vf
}

// current fills the nominal current from current, resistance or power: one of
// them; several must agree within 20 %, and the highest current is used.
func (r *resolver) current(k *KindInfo, s *LoadSpec, l *Load) {
	if r.doubtful("current", "resistance", "power", "power_factor", "forward_voltage") {
		return
	}
	if l.VfDesigned && !s.ForwardVoltage.Known() {
		return
	}
	given := [3]struct {
		key string
		i   q.Amp
		ok  bool
	}{{key: "current"}, {key: "resistance"}, {key: "power"}}
	given[0].i, given[0].ok = s.Current.Get()
	if v, ok := s.Resistance.Get(); ok {
		given[1].i, given[1].ok = q.Amp(q.Ohm(l.Rail.Nom-l.Vf)/v), true
		switch {
		case l.VfDesigned:
			r.fail("resistance", text(v), "nothing: the resistor of a bare LED is chosen here; state its current")
			return
		case l.VfAssumed:
			r.fail("forward_voltage", nothing, "the forward voltage, without which a resistance gives no current")
			return
		}
	}
	if v, ok := s.Power.Get(); ok {
		over := l.Rail.Nom
		if l.VfDesigned {
			over = l.Vf
		}
		given[2].i, given[2].ok = q.Amp(float64(v)/(float64(over)*float64(l.PowerFactor.Value))), true
	}
	lowest, known := q.Amp(math.Inf(1)), ""
	for _, g := range given {
		if !g.ok {
			continue
		}
		if !r.believable(k, s, g.key, g.i) {
			return
		}
		if known != "" && above(max(l.Current, g.i)-min(lowest, g.i), 0.2*max(l.Current, g.i)) {
			r.fail(g.key, r.stated(s, g.key)+" ("+text(g.i)+")", "within 20 % of "+known+", "+text(l.Current))
			return
		}
		l.Current, lowest, known = max(l.Current, g.i), min(lowest, g.i), g.key
	}
	switch {
	case known != "":
	case k.Current > 0:
		l.Current, l.CurrentAssumed = k.Current, true
		l.assume("current", k.tellCurrent, whyKind)
	case k.Kind == Capacitive:
		r.fail("current", nothing, `the steady current ("0 A" where it only charges)`, "resistance", "power")
	default:
		r.fail("current", nothing, "current, resistance or power", "resistance", "power")
	}
	if k.Ohmic && l.Current > 0 {
		l.R = q.Some(q.Ohm(float64(l.Rail.Nom) / float64(l.Current)))
	}
}

// stated is the text of one of the figures that give a current.
func (r *resolver) stated(s *LoadSpec, key string) string {
	switch key {
	case "resistance":
		return text(s.Resistance.Value())
	case "power":
		return text(s.Power.Value())
	}
	return text(s.Current.Value())
}

// believable checks a nominal current: above 0 but for a capacitive load, and
// finite however it was found.
func (r *resolver) believable(k *KindInfo, s *LoadSpec, key string, i q.Amp) bool {
	switch {
	case !finite(i):
		r.fail(key, "not a finite current", "a finite current")
	case i == 0 && key == "current" && k.Kind == Capacitive:
		return true
	case i < 0:
		r.fail(key, r.stated(s, key), "0 or more")
	case i == 0 && key == "current":
		r.fail(key, r.stated(s, key), "more than 0 (only a capacitive load may take no steady current)")
	case i < tiny:
		r.fail(key, r.stated(s, key)+" ("+text(i)+")", "a current of at least "+text(q.Amp(tiny)))
	case i > maxAmp:
		r.fail(key, r.stated(s, key)+" ("+text(i)+")", "a current of at most "+text(q.Amp(maxAmp)))
	default:
		return true
	}
	return false
}

// inrush fills what flows at first.
func (r *resolver) inrush(k *KindInfo, s *LoadSpec, l *Load) {
	l.Inrush = Figure[q.Ratio]{Value: 1, Known: true, Easy: easyInrush, Field: "inrush_factor"}
	l.InrushTime, l.InrushCurrent = s.InrushTime, s.InrushCurrent
	l.StallTime = s.StallTime
	if s.InrushFactor.Known() && s.InrushCurrent.Known() {
		r.fail("inrush_current", text(s.InrushCurrent.Value()), "inrush_factor or inrush_current, not both")
	}
	if s.InrushFactor.Known() && s.ColdRatio.Known() {
		r.fail("cold_ratio", text(s.ColdRatio.Value()), "inrush_factor or cold_ratio, not both")
	}
	usual := r.usualInrush(k, l)
	stalls := k.Kind == Motor && r.stall(s, l)
	switch {
	case s.InrushFactor.Known() && (k.Inrush == InrushFactor || k.Inrush == InrushSupply):
		l.Inrush.Value = max(l.Inrush.Value, s.InrushFactor.Value())
		l.InrushShort = s.InrushSource == "" && !stalls && l.Inrush.Value < usual
	case s.InrushCurrent.Known() && l.Current > 0:
		r.inrushCurrent(k, s, l, usual)
	case s.ColdRatio.Known() && (k.Kind == Lamp || k.Kind == ACLamp):
		l.Inrush.Value = s.ColdRatio.Value()
		l.InrushShort = s.InrushSource == "" && l.Inrush.Value < coldFilament
	case stalls:
	case k.Inrush == InrushFactor || k.Inrush == InrushSupply:
		l.Inrush.Value, l.Inrush.Assumed = usual, true
		if k.Inrush == InrushSupply {
			l.InrushCurrent = q.Some(r.supplyPeak(l))
		}
		l.assume("inrush_factor", k.tellInrush, whyKind)
	}
	if i, ok := l.StallCurrent.Get(); ok {
		l.StartMore = above(l.Current*q.Amp(l.Inrush.Value), i)
	}
	switch {
	case l.InrushTime.Known():
	case k.InrushTime > 0:
		l.InrushTime, l.InrushTimeAssumed = q.Some(k.InrushTime), true
	case k.Kind == Lamp:
		l.assume("inrush_time", tellSettle, whyKind)
	}
}

// coldFilament is the least cold ratio that is believed without a source: tungsten
// at its working temperature has ten times and more of its cold resistance
// (common practice, no source).
const coldFilament q.Ratio = 5

// supplyPeak is the inrush peak of an AC supply: the crest of the highest rail
// over 5 ohm (common practice, no source).
func (r *resolver) supplyPeak(l *Load) q.Amp {
	return q.Amp(math.Sqrt2 * float64(l.Rail.Max) / float64(supplyLoop))
}

// usualInrush is the factor taken where nothing is stated.
func (r *resolver) usualInrush(k *KindInfo, l *Load) q.Ratio {
	switch {
	case k.Inrush == InrushFactor:
		return k.Factor
	case k.Inrush == InrushSupply && l.Current > 0:
		return max(1, q.Ratio(float64(r.supplyPeak(l))/(math.Sqrt2*float64(l.Current))))
	}
	return 1
}

// inrushCurrent takes a stated peak as a factor on the nominal current; on AC the
// factor is of RMS.
func (r *resolver) inrushCurrent(k *KindInfo, s *LoadSpec, l *Load, usual q.Ratio) {
	steady := l.Current
	if k.AC {
		steady *= math.Sqrt2
	}
	peak := s.InrushCurrent.Value()
	if above(steady, peak) {
		r.fail("inrush_current", text(peak), "at least the steady current, "+text(steady))
		return
	}
	l.Inrush.Value = max(l.Inrush.Value, q.Ratio(peak/steady))
	l.InrushShort = s.InrushSource == "" && !l.StallCurrent.Known() && above(usual, l.Inrush.Value)
}

// stall fills the current of a stalled motor, at the nominal rail and 20 C, and
// reports whether it is stated. A jam draws it whatever is said of a start, so
// that no other figure brings the factor below it.
func (r *resolver) stall(s *LoadSpec, l *Load) bool {
	if r.doubtful("stall_current", "winding_resistance") {
		return true
	}
	i, byCurrent := s.StallCurrent.Get()
	w, byWinding := s.WindingR.Get()
	if !byCurrent && !byWinding {
		return false
	}
	key := "stall_current"
	if byWinding {
		fromWinding := q.Amp(float64(l.Rail.Nom) / float64(w))
		if byCurrent && above(max(i, fromWinding)-min(i, fromWinding), 0.2*max(i, fromWinding)) {
			r.fail("winding_resistance", text(w)+" ("+text(fromWinding)+")", "within 20 % of stall_current, "+text(i))
			return true
		}
		if !byCurrent {
			key = "winding_resistance"
		}
		i = max(i, fromWinding)
		l.WindingR = q.Some(q.Ohm(float64(l.Rail.Nom) / float64(i)))
	}
	if l.Current > 0 && above(l.Current, i) {
		r.fail(key, text(i), "at least the running current, "+text(l.Current), "current", "power", "resistance")
		return true
	}
	if i > maxAmp {
		r.fail(key, text(i), "at most "+text(q.Amp(maxAmp)))
		return true
	}
	l.StallCurrent = q.Some(i)
	if l.Current > 0 {
		l.Inrush.Value = q.Ratio(float64(i) / float64(l.Current))
	}
	return true
}

// needs fills what the load tolerates when off and needs when on.
func (r *resolver) needs(k *KindInfo, s *LoadSpec, l *Load) {
	r.offCurrent(k, s, l)
	v, stated := s.VoltageMin.Get()
	if stated && above(v, l.Rail.Nom) {
		r.fail("voltage_min", text(v), "at most the rail, "+text(l.Rail.Nom))
	}
	if v, ok := s.InputHighMin.Get(); ok && k.Kind == LogicInput && above(v, l.Rail.Max) {
		r.fail("input_high_min", text(v), "at most the highest of its rail, "+text(l.Rail.Max))
	}
	l.VoltageMin.Field, l.CurrentMin.Field, l.InputHighMin.Field = "voltage_min", "voltage_min", "input_high_min"
	easy := l.Rail.Nom * q.Volt(easyLeast)
	switch k.Least {
	case LeastCurrent:
		r.leastCurrent(k, s, l)
		return
	case LeastInputHigh:
		v, stated = s.InputHighMin.Get()
		l.InputHighMin.set(v, stated, l.Rail.Max*q.Volt(k.LeastRatio), easy)
		if !stated {
			l.assume("input_high_min", k.tellLeast, whyKind)
		}
		return
	}
	if stated && k.Kind != Coil {
		l.VoltageMin.set(v, true, 0, 0)
		return
	}
	var least q.Volt
	switch k.Least {
	case LeastOfLowestRail:
		least = l.Rail.Min * q.Volt(k.LeastRatio)
	case LeastOfNominalRail:
		least = l.Rail.Nom * q.Volt(k.LeastRatio)
	case LeastOfSolenoid:
		least = min(l.Rail.Nom*q.Volt(k.LeastRatio), l.Rail.Min*q.Volt(solenoidLowest))
	default:
		return
	}
	l.VoltageMin.set(0, false, least, min(easy, least))
	l.assume("voltage_min", k.tellLeast, whyKind)
}

// set fills a figure: as stated, else as assumed with its easy end.
func (f *Figure[Q]) set(v Q, stated bool, assumed, easy Q) {
	f.Known = true
	if stated {
		f.Value, f.Easy = v, v
		return
	}
	f.Value, f.Easy, f.Assumed = assumed, easy, true
}

func (r *resolver) offCurrent(k *KindInfo, s *LoadSpec, l *Load) {
	l.OffCurrent.Field = "off_current_max"
	if v, ok := s.OffCurrentMax.Get(); ok {
		l.OffCurrent.set(v, true, 0, 0)
		return
	}
	if !k.hasOff() {
		return
	}
	value, easy := k.off(l.Current)
	l.offShare = k.OffRatio
	switch {
	case k.Kind == Solenoid && s.ReleaseCurrent.Known():
		l.OffCurrent.set(s.ReleaseCurrent.Value(), true, 0, 0)
		l.offShare = 0
		return
	case k.Kind == Coil && s.MustRelease.Known():
		l.offShare = s.MustRelease.Value()
		l.OffCurrent.set(l.Current*q.Amp(l.offShare), true, 0, 0)
		return
	}
	l.OffCurrent.set(0, false, value, easy)
	if k.Kind == Coil {
		l.OffCurrent.Field = "must_release" // and told so
		return
	}
	l.assume("off_current_max", k.tellOff, whyKind)
}

// leastCurrent fills the least current of an LED; a stated least voltage of a
// strip or module gives it by the law of the kind.
func (r *resolver) leastCurrent(k *KindInfo, s *LoadSpec, l *Load) {
	v, stated := s.VoltageMin.Get()
	if !stated || l.VfDesigned {
		least := l.Current * q.Amp(k.LeastRatio)
		l.CurrentMin.set(0, false, least, least)
		if l.VfDesigned {
			l.CurrentMin.Field = "current"
		}
		l.assume(l.CurrentMin.Field, k.tellLeast, whyKind)
		return
	}
	share := (float64(v) - float64(l.Vf)) / (float64(l.Rail.Nom) - float64(l.Vf))
	if !(share > 0) || math.IsInf(share, 0) {
		r.fail("voltage_min", text(v), "more than the forward voltage, "+text(l.Vf), "forward_voltage")
		return
	}
	l.CurrentMin.set(q.Amp(float64(l.Current)*share), true, 0, 0)
	l.VoltageMin.set(v, true, 0, 0)
}

func (r *resolver) coil(k *KindInfo, s *LoadSpec, l *Load) {
	l.MustOperate.Field, l.MustRelease.Field, l.RthCoil.Field = "must_operate", "must_release", "r_th_coil"
	if k.Kind != Coil {
		return
	}
	v, stated := s.MustOperate.Get()
	l.MustOperate.set(v, stated, coilMustOperate, easyMustOperate)
	if !stated {
		l.assume("must_operate", tellMustOperate, whyKind)
	}
	v, stated = s.MustRelease.Get()
	l.MustRelease.set(v, stated, coilMustRelease, easyOff)
	if !stated {
		l.assume("must_release", tellMustRelease, whyKind)
	}
	if l.MustRelease.Value >= l.MustOperate.Value {
		r.fail("must_release", text(l.MustRelease.Value), "less than must_operate, "+text(l.MustOperate.Value), "must_operate")
	}
	rth, stated := s.RthCoil.Get()
	l.RthCoil.set(rth, stated, coilRth, easyRthCoil)
	if !stated {
		l.assume("r_th_coil", tellRthCoil, whyKind)
	}
}

func (r *resolver) placement(s *LoadSpec, l *Load) {
	l.Side = r.oneOf("side", s.Side, byDefault.Side, "low", "high", "any")
	l.Chassis = r.oneOf("ground", s.Ground, byDefault.Ground, "floating", "chassis") == "chassis"
	if l.Chassis && l.Side == "low" {
		r.fail("side", quote(s.Side), `high or any: ground = "chassis" ties the load's return`, "ground")
	}
	l.Unpowered = r.oneOf("unpowered", s.Unpowered, byDefault.Unpowered, "off", "on", "any")
	l.StuckOnHarmful = r.oneOf("stuck_on", s.StuckOn, byDefault.StuckOn, "harmless", "harmful") == "harmful"
	if r.printable("pin_group", s.PinGroup) {
		l.PinGroup = s.PinGroup
	}
	l.Quantity = *byDefault.Quantity
	if s.Quantity != nil {
		l.Quantity = *s.Quantity
	}
	if l.Quantity < 1 || l.Quantity > maxStages {
		r.fail("quantity", strconv.Itoa(l.Quantity), "a whole number from 1 to "+strconv.Itoa(maxStages))
	}
}

// rhythm fills mode and switching rate.
func (r *resolver) rhythm(s *LoadSpec, l *Load) {
	positive(r, "pwm_frequency", s.PWMFrequency, maxHertz)
	positive(r, "period", s.Period, maxSecond)
	positive(r, "switching_rate", s.SwitchingRate, maxRate)
	l.Mode = r.oneOf("mode", s.Mode, byDefault.Mode, "on-off", "pwm", "cycle")
	if s.PWMFrequency.Known() {
		r.belongs("pwm_frequency", text(s.PWMFrequency.Value()), "pwm", s.Mode)
	}
	if s.Period.Known() {
		r.belongs("period", text(s.Period.Value()), "cycle", s.Mode)
	}
	stated := s.SwitchingRate.Known()
	l.Rate = or(s.SwitchingRate, byDefault.SwitchingRate)
	if l.Mode != "pwm" && l.Rate > mostOnOff {
		r.fail("switching_rate", text(l.Rate), "at most "+text(q.Rate(mostOnOff))+": "+tellPWM, "mode")
	}
	switch l.Mode {
	case "pwm":
		if !s.PWMFrequency.Known() {
			r.fail("pwm_frequency", nothing, `a frequency: mode = "pwm" needs one`)
			return
		}
		l.PWMFrequency = s.PWMFrequency.Value()
		l.Rate = q.Rate(l.PWMFrequency)
	case "cycle":
		if !s.Period.Known() {
			r.fail("period", nothing, `a time: mode = "cycle" needs one`)
			return
		}
		l.Period = s.Period.Value()
		l.Rate = q.Rate(1 / float64(l.Period))
		if l.Rate > mostOnOff {
			r.fail("period", text(l.Period), "at least "+text(q.Second(1.0/mostOnOff))+": "+tellPWM, "mode")
		}
	default:
		if !stated {
			l.RateAssumed = true
			l.assume("switching_rate", tellRate, whyRate)
		}
		return
	}
	// What is stated beside a PWM or a cycle can only make more operations.
	if stated {
		l.Rate = max(l.Rate, s.SwitchingRate.Value())
	}
}

// belongs complains of a key that another mode needs: an error where the mode is
// not said, for it was meant; a warning where it is.
func (r *resolver) belongs(key, found, mode, said string) {
	switch said {
	case mode:
	case "":
		r.fail(key, found, `mode = "`+mode+`" with it`, "mode")
	default:
		r.warn(key, found, `nothing in mode `+quote(said)+`: it is not used`)
	}
}

func (r *resolver) duty(s *LoadSpec, l *Load) {
	l.DutyMin, l.DutyMax = or(s.DutyMin, byDefault.DutyMin), or(s.DutyMax, byDefault.DutyMax)
	ok := r.ratio("duty_min", s.DutyMin) && r.ratio("duty_max", s.DutyMax)
	ok = r.ratio("duty", s.Duty) && ok
	l.DutyEnforced = r.oneOf("duty_enforced", s.DutyEnforced, byDefault.DutyEnforced, "hardware", "software") == "hardware"
	l.Duty = s.Duty.Or(min(byDefault.Duty.Value(), l.DutyMax))
	if !ok {
		return
	}
	switch {
	case l.DutyMin > l.DutyMax:
		r.fail("duty_min", text(l.DutyMin), "at most duty_max, "+text(l.DutyMax), "duty_max")
	case l.Duty < l.DutyMin:
		r.fail("duty", text(l.Duty), "at least duty_min, "+text(l.DutyMin), "duty_min")
	case l.Duty > l.DutyMax:
		r.fail("duty", text(l.Duty), "at most duty_max, "+text(l.DutyMax), "duty_max")
	case s.DutyMax.Known() && l.DutyMax == 0:
		r.fail("duty_max", text(l.DutyMax), "more than 0 %: a load that is never on needs no switch")
	}
}

// ratio checks a fraction from 0 to 1.
func (r *resolver) ratio(key string, o q.Opt[q.Ratio]) bool {
	v, ok := o.Get()
	switch {
	case !ok || v == 0 || (v >= tiny && v <= 1):
		return true
	case finite(v):
		r.fail(key, percent(v), "from 0 % to 100 %")
	default:
		r.fail(key, "not a finite number", "from 0 % to 100 %")
	}
	return false
}

var insulationNames = [...]string{"none", "functional", "basic", "reinforced"}

// String returns the grade's word.
func (g Insulation) String() string {
	if int(g) < len(insulationNames) {
		return insulationNames[g]
	}
	return "unknown"
}

func (r *resolver) isolation(s *LoadSpec, l *Load) {
	word := r.oneOf("isolation", s.Isolation, "", insulationNames[:]...)
	for g, name := range insulationNames {
		if name == word {
			l.Isolation = Insulation(g)
		}
	}
	if l.Rail.Hazardous {
		switch {
		case word == "":
			l.Isolation = InsulationReinforced
		case l.Isolation < InsulationBasic:
			r.fail("isolation", quote(word), "basic or reinforced: the rail is above the touch limits at its highest")
		}
	}
	l.IsolationAsked = l.Isolation != InsulationNone
	if l.IsolationAsked && l.Rail.CommonPin {
		r.warn("isolation", quote(word), `a rail with common = "none": this one shares the pin's ground, which bridges the insulation`)
	}
}

func (r *resolver) life(s *LoadSpec, l *Load) {
	positive(r, "life", s.Life, maxYear)
	l.Life = s.Life
	l.OperationsPerYear = float64(l.Rate) * 3600 * 8760
	if n := s.OperationsPerYear; n != nil {
		l.OperationsPerYear = *n
		r.count("operations_per_year", *n, tiny)
	}
	l.AvalancheEvents = *byDefault.AvalancheEvents
	if n := s.AvalancheEvents; n != nil {
		l.AvalancheEvents = *n
		r.count("avalanche_events", *n, 0)
	}
	l.ReleaseWithin, l.MechRelease, l.ReleaseCurrent = s.ReleaseWithin, s.MechRelease, s.ReleaseCurrent
	if v, ok := s.ReleaseCurrent.Get(); ok && l.Current > 0 && v >= l.Current {
		r.fail("release_current", text(v), "less than the current, "+text(l.Current), "current", "resistance", "power")
	}
	v, ok := s.OffCurrentMax.Get()
	if ok && l.Current > 0 && v >= l.Current {
		r.fail("off_current_max", text(v), "less than the current, "+text(l.Current), "current", "resistance", "power")
	}
	if leaves, known := s.ReleaseCurrent.Get(); ok && known && v > leaves && l.Kind == Solenoid {
		r.fail("off_current_max", text(v), "at most release_current, "+text(leaves), "release_current")
	}
}

func (r *resolver) count(key string, n, least float64) {
	if n >= least && n <= maxCount {
		return
	}
	expected := "0 or more, at most 1e15"
	if least > 0 {
		expected = "more than 0, at most 1e15"
	}
	r.fail(key, strconv.FormatFloat(n, 'g', -1, 64), expected)
}

func (r *resolver) wires(s *LoadSpec, l *Load) {
	notNegative(r, "wire_length", s.WireLength, maxMetre)
	positive(r, "wire_area", s.WireArea, maxMetre)
	notNegative(r, "copper_area", s.CopperArea, maxMetre)
	l.WireLength, l.WireArea = or(s.WireLength, byDefault.WireLength), or(s.WireArea, byDefault.WireArea)
	l.CopperArea = or(s.CopperArea, byDefault.CopperArea)
	l.OvervoltageCategory = r.oneOf("overvoltage_category", s.OvervoltageCategory, byDefault.OvervoltageCategory, "I", "II", "III", "IV")
	l.MaterialGroup = r.oneOf("material_group", s.MaterialGroup, byDefault.MaterialGroup, "I", "II", "IIIa", "IIIb")
	l.PollutionDegree = *byDefault.PollutionDegree
	if s.PollutionDegree != nil {
		l.PollutionDegree = *s.PollutionDegree
	}
	if l.PollutionDegree < 1 || l.PollutionDegree > 3 {
		r.fail("pollution_degree", strconv.Itoa(l.PollutionDegree), "1, 2 or 3")
	}
}

// unused warns of keys that say nothing for this kind of load. They are no error:
// a form keeps them while the kind is changed.
func (r *resolver) unused(k *KindInfo, s *LoadSpec) {
	motor, led, coil, lamp := k.Kind == Motor, k.Kind == LED, k.Kind == Coil, k.Kind == Lamp || k.Kind == ACLamp
	moves := k.Inductive && k.Kind != ACTransformer
	warn := func(applies, stated bool, key string) {
		if stated && !applies {
			r.warn(key, "a figure of another kind of load", "none for kind "+quote(string(k.Kind))+": it is not used")
		}
	}
	warn(k.Kind == Capacitive, s.Capacitance.Known(), "capacitance")
	warn(k.Kind == Capacitive, s.ESR.Known(), "esr")
	warn(led, s.ForwardVoltage.Known(), "forward_voltage")
	warn(led, s.Series != "", "series")
	warn(lamp, s.ColdRatio.Known(), "cold_ratio")
	warn(k.Inrush == InrushFactor || k.Inrush == InrushSupply, s.InrushFactor.Known(), "inrush_factor")
	warn(!motor, s.InrushTime.Known(), "inrush_time") // a jam outlasts a start: stall_time ends it
	warn(motor, s.StallCurrent.Known(), "stall_current")
	warn(motor, s.WindingR.Known(), "winding_resistance")
	warn(motor, s.StallTime.Known(), "stall_time")
	warn(k.Kind == LogicInput, s.InputHighMin.Known(), "input_high_min")
	warn(k.AC, s.PowerFactor.Known(), "power_factor")
	warn(!coil && k.Kind != LogicInput && !(led && s.Series == "designed"), s.VoltageMin.Known(), "voltage_min")
	warn(coil, s.MustOperate.Known(), "must_operate")
	warn(coil, s.MustRelease.Known(), "must_release")
	warn(coil, s.RthCoil.Known(), "r_th_coil")
	warn(moves, s.MechRelease.Known(), "mechanical_release_time")
	warn(moves, s.ReleaseCurrent.Known(), "release_current")
}

// Scaled returns the load with f times its current: currents are multiplied,
// resistances divided, a capacitive load's capacitance multiplied; inductance,
// voltages and limits stated in amperes stay. f is finite and above 0.
func (l *Load) Scaled(f float64) Load {
	s := *l
	amp := func(o q.Opt[q.Amp]) q.Opt[q.Amp] {
		if v, ok := o.Get(); ok {
			return q.Some(v * q.Amp(f))
		}
		return o
	}
	ohm := func(o q.Opt[q.Ohm]) q.Opt[q.Ohm] {
		if v, ok := o.Get(); ok {
			return q.Some(v / q.Ohm(f))
		}
		return o
	}
	s.Current *= q.Amp(f)
	s.R, s.WindingR, s.ESR = ohm(l.R), ohm(l.WindingR), ohm(l.ESR)
	s.StallCurrent, s.InrushCurrent = amp(l.StallCurrent), amp(l.InrushCurrent)
	if c, ok := l.C.Get(); ok && l.Kind == Capacitive {
		s.C = q.Some(c * q.Farad(f))
	}
	switch k := kindInfo(l.Kind); {
	case l.offShare > 0:
		s.OffCurrent.Value *= q.Amp(f)
		s.OffCurrent.Easy *= q.Amp(f)
	case l.OffCurrent.Assumed && k != nil:
		s.OffCurrent.Value, s.OffCurrent.Easy = k.off(s.Current)
	}
	s.CurrentMin.Value *= q.Amp(f)
	s.CurrentMin.Easy *= q.Amp(f)
	return s
}
