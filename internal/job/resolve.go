package job

import (
	"math"
	"sort"
	"strconv"
	"strings"
	"unicode/utf8"

	q "example.org/pinhoist/internal/quantity"
	"example.org/pinhoist/internal/source"
)

// Schema is the newest form of a job file that is understood.
const Schema = 1

// PinRail is the reserved name of the pin's own supply.
const PinRail = "pin"

// Limits of what is believed at all. They are far outside anything a bench has:
// their purpose is that no accepted figure can overflow inside the engine.
const (
	tiny      = 1e-15 // least positive figure of any quantity, in its unit
	maxVolt   = 1e5
	maxAmp    = 1e5
	maxOhm    = 1e12
	maxWatt   = 1e9
	maxSecond = 1e9
	maxHenry  = 1e9
	maxFarad  = 1e6
	maxHertz  = 1e9
	maxRate   = 1e9
	maxRatio  = 1e6
	maxRth    = 1e6
	maxMetre  = 1e6
	maxYear   = 1e4
	maxCount  = 1e15
	maxLoads  = 1000
	maxRails  = 1000
	maxStages = 1000 // of one load
	maxErrors = 1000 // told, and as many warnings
	maxText   = 80   // characters of a name or title
)

// mostOnOff is how many operations a second are no PWM yet: more often the share of the
// edges counts, which pwm-frequency judges (common practice, no source).
const mostOnOff = 10

// Limits of touch: a rail above one of them at its highest is hazardous
// (IEC 62368-1, class ES1: 60 V DC, 30 V RMS, 42.4 V peak).
const (
	touchDC   q.Volt = 60
	touchRMS  q.Volt = 30
	touchPeak q.Volt = 42.4
)

// Resolve fills the defaults of a job and refuses contradictions. Every error is
// returned, with the path of its key ("load[1].duty_min"); warnings are among
// them and do not stop the job. The job is nil where an error is fatal. Given
// topology ids, a stage as built must name one of them. The spec is not changed.
func Resolve(spec *Spec, topologies ...string) (*Job, source.Errors) {
	return resolve(nil, spec, nil, topologies)
}

// ResolveAt is Resolve with the places of the keys in the file they came from.
func ResolveAt(doc *source.Document, spec *Spec, topologies ...string) (*Job, source.Errors) {
	return resolve(doc, spec, nil, topologies)
}

func resolve(doc *source.Document, spec *Spec, bad map[string]bool, topologies []string) (*Job, source.Errors) {
	r := resolver{doc: doc, bad: bad, topologies: topologies, index: -1}
	j := &Job{Title: spec.Title, PolicyName: defaults.Policy.Name}
	if spec.Policy.Name != "" {
		j.PolicyName = spec.Policy.Name
	}
	if spec.Schema != nil && *spec.Schema != Schema {
		r.fail("schema", strconv.Itoa(*spec.Schema), "1, the newest that is understood")
	}
	r.printable("title", spec.Title)
	r.table = "policy"
	r.printable("name", spec.Policy.Name)
	r.pin(&spec.Pin, &j.Pin)
	r.environment(&spec.Environment, &j.Env)
	r.rails(spec, j)
	r.loads(spec, j)
	if r.errs.Fatal() {
		return nil, r.errs
	}
	j.warn(r.errs)
	return j, r.errs
}

// warn keeps the warnings of a job, without places.
func (j *Job) warn(errs source.Errors) {
	for _, e := range errs {
		if e.Warning {
			j.Warnings = append(j.Warnings, source.Printable(e.Key+": found "+e.Found+", expected "+e.Expected))
		}
	}
}

// resolver collects what is wrong while a job is filled in. Paths are built only
// where something is: filling a job is on the engine's hot path.
type resolver struct {
	doc        *source.Document
	bad        map[string]bool // paths that decoding has complained of
	topologies []string
	errs       source.Errors
	counts     [2]int // of errors and warnings
	table      string
	index      int // -1: not an array
}

func (r *resolver) path(key string) string {
	switch {
	case r.table == "":
		return key
	case key == "":
		return r.table + "[" + strconv.Itoa(r.index) + "]"
	case r.index < 0:
		return r.table + "." + key
	}
	return r.table + "[" + strconv.Itoa(r.index) + "]." + key
}

// fail records an error at a key. It is kept quiet where the key, or another one
// that the complaint rests on, could not be decoded: that has been said already.
func (r *resolver) fail(key, found, expected string, restsOn ...string) {
	r.add(false, key, found, expected, restsOn)
}

func (r *resolver) warn(key, found, expected string) { r.add(true, key, found, expected, nil) }

func (r *resolver) add(warning bool, key, found, expected string, restsOn []string) {
	n := &r.counts[0]
	if warning {
		n = &r.counts[1]
	}
	if *n == maxErrors {
		return // of either sort: no one reads on, and no error is lost for warnings
	}
	path := r.path(key)
	if r.bad[path] {
		return
	}
	for i := range r.errs {
		if r.errs[i].Key == path && r.errs[i].Warning == warning {
			return // one complaint of a kind for a key: the first explains the rest
		}
	}
	for _, k := range restsOn {
		if r.bad[r.path(k)] || r.bad[k] {
			return
		}
	}
	e := source.Error{File: "job", Key: path, Found: found, Expected: expected}
	if r.doc != nil {
		e = r.doc.Errorf(path, found, expected)
	}
	e.Warning = warning
	*n++
	r.errs = append(r.errs, e)
}

const nothing = "nothing"

// quote shows a text of the job in a message, cut where it is long.
func quote(s string) string {
	const most = 40
	if len(s) > most {
		if r := []rune(s); len(r) > most {
			s = string(r[:most]) + "..."
		}
	}
	return strconv.Quote(s)
}

// percent writes a ratio in per cent, above 100 % too.
func percent(v q.Ratio) string { return strconv.FormatFloat(float64(v)*100, 'g', 12, 64) + " %" }

func text[Q q.Quantity](v Q) string {
	o := q.Some(v)
	return o.ExactText()
}

func finite[Q q.Quantity](v Q) bool { return !math.IsNaN(float64(v)) && !math.IsInf(float64(v), 0) }

// above compares at 12 significant digits, so that 12 V + 10 % is not above 13.2 V.
func above[Q q.Quantity](a, b Q) bool { return a > b+Q(math.Abs(float64(b))*1e-12) }

// positive checks that a figure, where stated, is above 0 and believable.
func positive[Q q.Quantity](r *resolver, key string, o q.Opt[Q], most Q) {
	v, ok := o.Get()
	switch {
	case !ok || (v >= tiny && v <= most):
	case v > most && finite(v):
		r.fail(key, text(v), "at most "+text(most))
	case v > 0 && finite(v):
		r.fail(key, text(v), "at least "+text(Q(tiny)))
	case finite(v):
		r.fail(key, text(v), "more than 0")
	default:
		r.fail(key, "not a finite number", "a finite number")
	}
}

// notNegative checks that a figure, where stated, is 0 or positive.
func notNegative[Q q.Quantity](r *resolver, key string, o q.Opt[Q], most Q) {
	if v, ok := o.Get(); ok && v == 0 {
		return
	}
	v, ok := o.Get()
	if ok && v < 0 && finite(v) {
		r.fail(key, text(v), "0 or more")
		return
	}
	positive(r, key, o, most)
}

// spread checks a tolerance: 0 or more, below 100 %.
func (r *resolver) spread(key string, o, byDefault q.Opt[q.Ratio]) q.Ratio {
	def := byDefault.Value()
	v, ok := o.Get()
	if !ok {
		return def
	}
	switch {
	case v >= 0 && v < 1:
		return v
	case !finite(v):
		r.fail(key, "not a finite number", "0 % or more, below 100 %")
	default:
		r.fail(key, percent(v), "0 % or more, below 100 %")
	}
	return def
}

// share checks a fraction above 0 and at most 1.
func (r *resolver) share(key string, o q.Opt[q.Ratio]) {
	if v, ok := o.Get(); ok && !(v >= tiny && v <= 1) {
		found := "not a finite number"
		if finite(v) {
			found = percent(v)
		}
		r.fail(key, found, "more than 0 %, at most 100 %")
	}
}

// oneOf checks a word against those allowed; an empty one is the default.
func (r *resolver) oneOf(key, word, def string, words ...string) string {
	if word == "" {
		return def
	}
	for _, w := range words {
		if w == word {
			return word
		}
	}
	r.fail(key, quote(word), "one of "+strings.Join(words, ", "))
	return def
}

// printable checks text that will be shown: no control characters, not too long.
func (r *resolver) printable(key, s string) bool {
	if strings.ContainsFunc(s, source.Unprintable) {
		r.fail(key, quote(s), "printable characters only")
		return false
	}
	if len(s) > maxText {
		if n := utf8.RuneCountInString(s); n > maxText {
			r.fail(key, strconv.Itoa(n)+" characters", "at most "+strconv.Itoa(maxText))
			return false
		}
	}
	return true
}

func (r *resolver) pin(s *PinSpec, p *Pin) {
	def := &defaults.Pin
	r.table = "pin"
	positive(r, "supply", s.Supply, q.Volt(touchDC))
	positive(r, "source_current_max", s.SourceCurrentMax, maxAmp)
	positive(r, "sink_current_max", s.SinkCurrentMax, maxAmp)
	positive(r, "peak_current_max", s.PeakCurrentMax, maxAmp)
	positive(r, "open_drain_voltage_max", s.OpenDrainVMax, maxVolt)
	notNegative(r, "output_resistance_max", s.ROutMax, maxOhm)
	notNegative(r, "output_resistance_min", s.ROutMin, maxOhm)
	positive(r, "reset_pull_min", s.ResetPullMin, maxOhm)
	notNegative(r, "leakage_max", s.LeakageMax, maxAmp)
	notNegative(r, "injection_current_max", s.InjectionMax, maxAmp)
	positive(r, "group_current_max", s.GroupMax, maxAmp)
	positive(r, "total_current_max", s.TotalMax, maxAmp)
	positive(r, "rail_current_max", s.RailMax, maxAmp)

	tol := q.Volt(r.spread("supply_tolerance", s.SupplyTolerance, def.SupplyTolerance))
	p.SupplyNom = or(s.Supply, def.Supply)
	p.SupplyMin, p.SupplyMax = p.SupplyNom*(1-tol), p.SupplyNom*(1+tol)
	if s.Supply.Known() && p.SupplyNom <= touchDC && above(p.SupplyMax, touchDC) {
		r.fail("supply_tolerance", text(q.Ratio(tol)), "a supply of at most 60 V at its highest")
	}
	p.SourceMax, p.SinkMax = or(s.SourceCurrentMax, def.SourceCurrentMax), or(s.SinkCurrentMax, def.SinkCurrentMax)
	p.PeakMax, p.SinkPeakMax = s.PeakCurrentMax.Or(p.SourceMax), s.PeakCurrentMax.Or(p.SinkMax)
	if least := max(p.SourceMax, p.SinkMax); p.PeakMax < least && s.PeakCurrentMax.Known() {
		r.fail("peak_current_max", text(p.PeakMax), "at least the continuous limit of "+text(least),
			"source_current_max", "sink_current_max")
	}
	p.OpenDrain = r.oneOf("output", s.Output, def.Output, "push-pull", "open-drain") == "open-drain"
	p.OpenDrainVMax = s.OpenDrainVMax.Or(p.SupplyMin + 0.3)
	r.outputResistance(s, p)
	p.AtReset = r.oneOf("at_reset", s.AtReset, def.AtReset, "unknown", "floating", "pull-up", "low", "high")
	p.ResetPullMin = or(s.ResetPullMin, def.ResetPullMin)
	p.LeakageMax, p.InjectionMax = or(s.LeakageMax, def.LeakageMax), or(s.InjectionMax, def.InjectionMax)
	p.GroupMax, p.TotalMax, p.RailMax = or(s.GroupMax, def.GroupMax), or(s.TotalMax, def.TotalMax), or(s.RailMax, def.RailMax)
}

// outputResistance fills both ends. A stated maximum below the usual minimum
// brings the minimum down with it; a stated minimum above the maximum is refused.
func (r *resolver) outputResistance(s *PinSpec, p *Pin) {
	p.ROutMax = or(s.ROutMax, defaults.Pin.ROutMax)
	p.ROutMin = s.ROutMin.Or(min(defaults.Pin.ROutMin.Value(), p.ROutMax))
	if p.ROutMin <= p.ROutMax {
		return
	}
	expected := "at most output_resistance_max, " + text(p.ROutMax)
	if !s.ROutMax.Known() {
		expected += " unless said"
	}
	r.fail("output_resistance_min", text(p.ROutMin), expected, "output_resistance_max")
}

const (
	coldest q.Celsius = -100
	hottest q.Celsius = 200
)

func (r *resolver) environment(s *EnvSpec, e *Environment) {
	r.table = "environment"
	r.ambient("ambient_min", s.AmbientMin)
	r.ambient("ambient_max", s.AmbientMax)
	notNegative(r, "enclosure_rise", s.EnclosureRise, 300)
	def := &defaults.Environment
	e.AmbientMin, e.AmbientMax = or(s.AmbientMin, def.AmbientMin), or(s.AmbientMax, def.AmbientMax)
	e.PartsMax = e.AmbientMax + q.Celsius(or(s.EnclosureRise, def.EnclosureRise))
	if e.AmbientMin <= e.AmbientMax {
		return
	}
	if s.AmbientMin.Known() {
		r.fail("ambient_min", text(e.AmbientMin), "at most ambient_max, "+text(e.AmbientMax), "ambient_max")
		return
	}
	r.fail("ambient_max", text(e.AmbientMax), "at least ambient_min, "+text(e.AmbientMin)+" unless said", "ambient_min")
}

func (r *resolver) ambient(key string, o q.Opt[q.Celsius]) {
	v, ok := o.Get()
	switch {
	case !ok || (v >= coldest && v <= hottest):
	case finite(v):
		r.fail(key, text(v), "from "+text(coldest)+" to "+text(hottest))
	default:
		r.fail(key, "not a finite number", "a temperature in C")
	}
}

func (r *resolver) rails(spec *Spec, j *Job) {
	if len(spec.Rails) > maxRails {
		r.table = ""
		r.fail("rail", strconv.Itoa(len(spec.Rails))+" rails", "at most "+strconv.Itoa(maxRails))
		return
	}
	j.Rails = make([]Rail, 0, len(spec.Rails)+len(spec.Loads))
	for i := range spec.Rails {
		s := &spec.Rails[i]
		r.table, r.index = "rail", i
		r.railName(spec.Rails[:i], s.Name)
		if !s.Voltage.Known() {
			r.fail("voltage", nothing, `a voltage, such as "12 V"`)
		}
		j.Rails = append(j.Rails, r.rail(s))
	}
	r.index = -1
}

func (r *resolver) railName(before []RailSpec, name string) {
	switch {
	case name == "":
		r.fail("name", nothing, "a name")
		return
	case name == PinRail:
		r.fail("name", quote(name), `another name: "pin" is the pin's own supply`)
		return
	case !r.printable("name", name):
		return
	case strings.TrimSpace(name) != name:
		r.fail("name", quote(name), "a name without spaces at its ends")
		return
	}
	for i := range before {
		if before[i].Name == name {
			r.fail("name", quote(name), "a name of its own: rail["+strconv.Itoa(i)+"] has it too")
			return
		}
	}
}

func (r *resolver) rail(s *RailSpec) Rail {
	positive(r, "voltage", s.Voltage, maxVolt)
	positive(r, "frequency", s.Frequency, maxHertz)
	positive(r, "current_max", s.CurrentMax, maxAmp)
	positive(r, "fault_current", s.FaultCurrent, 10*maxAmp)
	a := makeRail(s.Name, s.Voltage.Or(0), r.spread("tolerance", s.Tolerance, defaults.Rails[0].Tolerance), s.Frequency)
	a.CurrentMax, a.FaultCurrent = s.CurrentMax, s.FaultCurrent
	common := r.oneOf("common", s.Common, defaults.Rails[0].Common, "pin", "none")
	if s.Common == "pin" && a.Hazardous {
		r.fail("common", quote(s.Common), "none: this rail is above the touch limits at its highest and must be separated from the pin",
			"voltage", "tolerance", "frequency")
	}
	a.CommonPin = !a.Hazardous && common == "pin"
	a.fault()
	return a
}

// makeRail fills what follows from voltage, tolerance and frequency.
func makeRail(name string, nominal q.Volt, tol q.Ratio, f q.Opt[q.Hertz]) Rail {
	a := Rail{Name: name, Nom: nominal, Min: nominal * q.Volt(1-tol), Max: nominal * q.Volt(1+tol)}
	a.Frequency, a.AC = f.Get()
	if a.AC {
		a.Hazardous = above(a.Max, touchRMS) || above(a.Max*math.Sqrt2, touchPeak)
	} else {
		a.Hazardous = above(a.Max, touchDC)
	}
	return a
}

// Fault currents that are taken (common practice, no source).
const (
	mainsFault    q.Amp   = 1500
	dcFaultFactor q.Ratio = 10 // times what the rail can give
)

// fault fills the current of a short where it is not stated: 1.5 kA on AC mains,
// ten times what the rail can give on DC (common practice, no source).
func (a *Rail) fault() {
	if a.FaultCurrent.Known() {
		return
	}
	limit, ok := a.CurrentMax.Get()
	switch {
	case a.AC && a.Hazardous:
		a.FaultCurrent, a.FaultAssumed = q.Some(mainsFault), true
	case !a.AC && ok:
		a.FaultCurrent, a.FaultAssumed = q.Some(limit*q.Amp(dcFaultFactor)), true
	}
}

// Rail is the pin's own supply as a rail for loads.
func (p *Pin) Rail() Rail {
	a := Rail{Name: PinRail, Nom: p.SupplyNom, Min: p.SupplyMin, Max: p.SupplyMax,
		CurrentMax: q.Some(p.RailMax), CommonPin: true, IsPin: true}
	a.fault()
	return a
}

func (r *resolver) loads(spec *Spec, j *Job) {
	r.table, r.index = "", -1
	switch n := len(spec.Loads); {
	case n == 0:
		r.fail("load", nothing, "at least one [[load]]")
		return
	case n > maxLoads:
		r.fail("load", strconv.Itoa(n)+" loads", "at most "+strconv.Itoa(maxLoads))
		return
	}
	j.Loads = make([]Load, len(spec.Loads))
	for i := range spec.Loads {
		r.table, r.index = "load", i
		r.load(spec, i, j, &j.Loads[i])
	}
	r.exclusive(spec, j)
	r.index = -1
}

// exclusive makes exclusive_with symmetric, sorted and free of doubles.
func (r *resolver) exclusive(spec *Spec, j *Job) {
	for i := range spec.Loads {
		r.index = i
		if n := len(spec.Loads[i].ExclusiveWith); n > maxLoads {
			r.fail("exclusive_with", strconv.Itoa(n)+" names", "at most "+strconv.Itoa(maxLoads))
			continue
		}
		for n, name := range spec.Loads[i].ExclusiveWith {
			other := loadIndex(spec, name)
			switch {
			case other < 0:
				r.fail("exclusive_with["+strconv.Itoa(n)+"]", quote(name), "the name of another load")
			case other == i:
				r.fail("exclusive_with["+strconv.Itoa(n)+"]", quote(name), "the name of another load, not its own")
			default:
				a, b := &j.Loads[i], &j.Loads[other]
				a.ExclusiveWith = insert(a.ExclusiveWith, name)
				b.ExclusiveWith = insert(b.ExclusiveWith, spec.Loads[i].Name)
			}
		}
	}
}

func insert(names []string, name string) []string {
	at := sort.SearchStrings(names, name)
	if at < len(names) && names[at] == name {
		return names
	}
	names = append(names, "")
	copy(names[at+1:], names[at:])
	names[at] = name
	return names
}

func loadIndex(spec *Spec, name string) int {
	for i := range spec.Loads {
		if spec.Loads[i].Name == name {
			return i
		}
	}
	return -1
}
