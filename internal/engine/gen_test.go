package engine_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"runtime"
	"slices"
	"strconv"
	"sync"
	"sync/atomic"
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/load"
	q "example.org/pinhoist/internal/quantity"
	"example.org/pinhoist/internal/topology"
)

// pairsEnv asks for another number of random job and part pairs than plainPairs, pairEnv
// for a single one of them by its number, as a failure tells it.
const (
	pairsEnv   = "PINHOIST_PROPERTY_N"
	pairEnv    = "PINHOIST_PROPERTY_PAIR"
	plainPairs = 300
)

// pairCount is how many random pairs a property looks at, of all kinds together.
func pairCount(t testing.TB) int {
	t.Helper()
	s := os.Getenv(pairsEnv)
	if s == "" {
		return plainPairs
	}
	n, err := strconv.Atoi(s)
	if err != nil || n < 1 {
		t.Fatalf("%s=%q: expected a whole number above 0", pairsEnv, s)
	}
	return n
}

// gen is a seeded source of jobs and parts.
type gen struct{ *rand.Rand }

func newGen(seed uint64) gen { return newGenOf(seed, 0x70696e) }

func newGenOf(seed, stream uint64) gen { return gen{rand.New(rand.NewPCG(seed, stream))} }

// between is a number spread evenly over the logarithm of [lo, hi], lo above 0.
func (g gen) between(lo, hi float64) float64 {
	return lo * math.Exp(g.Float64()*math.Log(hi/lo))
}

func (g gen) flat(lo, hi float64) float64 { return lo + g.Float64()*(hi-lo) }

func (g gen) chance(p float64) bool { return g.Float64() < p }

func oneOf[T any](g gen, xs ...T) T { return xs[g.IntN(len(xs))] }

// some is a quantity stated with chance p.
func some[Q q.Quantity](g gen, p float64, v float64) q.Opt[Q] {
	if g.chance(p) {
		return q.Some(Q(v))
	}
	return q.Opt[Q]{}
}

// dcKinds are the kinds of load on DC.
var dcKinds = []job.Kind{job.Resistive, job.LED, job.Electronic, job.Lamp, job.Motor, job.Solenoid, job.Coil, job.Capacitive, job.Signal, job.LogicInput}

// spec is a random job with one load. Some are refused: a reader of jobs must
// bear all of them.
func (g gen) spec() *job.Spec {
	s := &job.Spec{Title: "random"}
	g.pin(&s.Pin)
	s.Environment = job.EnvSpec{
		AmbientMin:    some[q.Celsius](g, 0.5, math.Round(g.flat(-40, 25))),
		AmbientMax:    some[q.Celsius](g, 0.6, math.Round(g.flat(25, 75))),
		EnclosureRise: some[q.Kelvin](g, 0.3, math.Round(g.flat(0, 20))),
	}
	s.Policy.Name = oneOf(g, "bench", "bench", "none")
	volts := oneOf(g, 3.3, 5, 5, 6, 9, 12, 12, 12, 24, 24, 36, 48, g.between(2, 90))
	s.Rails = []job.RailSpec{{
		Name: "main", Voltage: q.Some(q.Volt(volts)),
		Tolerance:    some[q.Ratio](g, 0.7, g.flat(0, 0.2)),
		CurrentMax:   some[q.Amp](g, 0.3, g.between(0.1, 30)),
		FaultCurrent: some[q.Amp](g, 0.3, g.between(10, 300)),
		Common:       oneOf(g, "", "", "", "", "", "", "", "none"),
	}}
	if g.chance(0.6) {
		s.Rails = append(s.Rails, job.RailSpec{Name: "coils", Voltage: q.Some(q.Volt(oneOf(g, 5.0, 12, 12, 24))), Tolerance: some[q.Ratio](g, 0.5, g.flat(0, 0.1))})
	}
	s.Loads = []job.LoadSpec{g.load(volts)}
	cooling(&s.Loads[0])
	return s
}

// cooling gives most lamps and capacitors that are switched now and then the time that
// an inrush limiter takes to cool before each start, and some of them a greater inrush.
// It draws from a source of its own, so that all other jobs stay what they were.
func cooling(l *job.LoadSpec) {
	lamp, capacitor := l.Kind == string(job.Lamp), l.Kind == string(job.Capacitive)
	if l.Mode != "" || !lamp && !capacitor {
		return
	}
	g := newGen(math.Float64bits(float64(l.Current.Or(1))))
	if !g.chance(0.7) {
		return
	}
	l.SwitchingRate, l.DutyMax = q.Some(q.Rate(g.between(1e-5, 5e-3))), q.Some(q.Ratio(g.flat(0.05, 0.7)))
	if capacitor && g.chance(0.6) {
		l.Capacitance, l.ESR = q.Some(q.Farad(g.between(1e-4, 5e-3))), q.Some(q.Ohm(g.between(0.01, 0.2)))
	}
}

// acKinds are the kinds of load on AC.
var acKinds = []job.Kind{job.ACResistive, job.ACLamp, job.ACMotor, job.ACCoil, job.ACTransformer, job.ACSupply}

// ssrSpec is a random job for solid-state relays: on AC of 24 V, which bears no hazard,
// and of the mains, and on DC.
func (g gen) ssrSpec() *job.Spec {
	s := g.spec()
	if !g.chance(0.3) {
		g.alternate(s)
	}
	return s
}

// relaySpec is one for relays with contacts, mostly on AC, and more often than others for
// a load that is on without the logic: its contacts are those that open.
func (g gen) relaySpec() *job.Spec {
	s := g.spec()
	if !g.chance(0.2) {
		g.alternate(s)
	}
	s.Loads[0].Unpowered = oneOf(g, "", "off", "any", "on", "on")
	return s
}

// bridgeSpec is one for bridges: a motor that reverses.
func (g gen) bridgeSpec() *job.Spec {
	s := g.spec()
	volts, current := float64(s.Rails[0].Voltage.Value()), g.between(20e-3, 8)
	l := job.LoadSpec{Name: "it", Kind: string(job.Motor), Rail: "main", Current: q.Some(q.Amp(current)), Tolerance: some[q.Ratio](g, 0.4, g.flat(0, 0.25))}
	g.ofKind(job.Motor, &l, volts, current)
	g.rhythm(&l)
	l.Reversing = true
	s.Loads = []job.LoadSpec{l}
	return s
}

// alternate puts the load of a job on AC.
func (g gen) alternate(s *job.Spec) {
	volts := oneOf(g, 24.0, 24, 24, 12, 120, 230, g.between(8, 26))
	s.Rails[0] = job.RailSpec{Name: "main", Voltage: q.Some(q.Volt(volts)), Tolerance: some[q.Ratio](g, 0.8, g.flat(0, 0.15)),
		Frequency: q.Some(q.Hertz(oneOf(g, 50.0, 50, 60, 400))), CurrentMax: some[q.Amp](g, 0.3, g.between(0.5, 30))}
	kind := oneOf(g, acKinds...)
	l := job.LoadSpec{Name: "it", Kind: string(kind), Rail: "main", Current: q.Some(q.Amp(g.between(10e-3, 12)))}
	l.Tolerance = some[q.Ratio](g, 0.4, g.flat(0, 0.25))
	l.PowerFactor = some[q.Ratio](g, 0.4, g.flat(0.2, 1))
	l.OffCurrentMax = some[q.Amp](g, 0.2, float64(l.Current.Value())*g.between(1e-3, 0.4))
	l.VoltageMin = some[q.Volt](g, 0.4, volts*g.flat(0.5, 0.85))
	if g.chance(0.5) && kind != job.ACSupply {
		l.InrushFactor, l.InrushSource = q.Some(q.Ratio(g.flat(1, 12))), "measured"
		l.InrushTime = some[q.Second](g, 0.6, g.between(1e-3, 2))
	}
	if kind == job.ACMotor || kind == job.ACCoil {
		l.MechRelease, l.ReleaseWithin = some[q.Second](g, 0.5, g.between(1e-3, 30e-3)), some[q.Second](g, 0.4, g.between(5e-3, 0.1))
		l.Inductance = some[q.Henry](g, 0.2, g.between(1e-2, 2))
	}
	g.rhythm(&l)
	l.Isolation = oneOf(g, "", "", "basic", "reinforced")
	l.Side = oneOf(g, "", "", "low", "high")
	s.Loads = []job.LoadSpec{l}
}

func (g gen) pin(p *job.PinSpec) {
	supply := oneOf(g, 3.3, 3.3, 5, 5, 5, g.flat(1.8, 12))
	p.Supply = q.Some(q.Volt(supply))
	p.SupplyTolerance = some[q.Ratio](g, 0.6, g.flat(0, 0.12))
	p.SourceCurrentMax = some[q.Amp](g, 0.6, g.between(2e-3, 50e-3))
	p.SinkCurrentMax = some[q.Amp](g, 0.4, g.between(2e-3, 50e-3))
	p.PeakCurrentMax = some[q.Amp](g, 0.2, g.between(50e-3, 200e-3))
	if g.chance(0.5) {
		most := g.between(5, 150)
		p.ROutMax, p.ROutMin = q.Some(q.Ohm(most)), q.Some(q.Ohm(most*g.Float64()))
	}
	p.AtReset = oneOf(g, "", "unknown", "floating", "pull-up", "low", "low", "high")
	p.ResetPullMin = some[q.Ohm](g, 0.5, g.between(3e3, 100e3))
	p.LeakageMax = some[q.Amp](g, 0.4, g.between(1e-8, 2e-5))
	if g.chance(0.05) {
		p.Output = "open-drain"
	}
}

func (g gen) load(volts float64) job.LoadSpec {
	kind := oneOf(g, dcKinds...)
	l := job.LoadSpec{Name: "it", Kind: string(kind), Rail: "main"}
	if kind == job.LogicInput || g.chance(0.12) {
		l.Rail = "pin"
	}
	current := g.between(1e-3, 8)
	switch kind {
	case job.Signal, job.LogicInput:
		current = g.between(1e-4, 10e-3)
	case job.LED:
		current = g.between(2e-3, 3)
	case job.Coil:
		current = g.between(10e-3, 0.5)
	}
	switch {
	case kind == job.Signal || kind == job.LogicInput:
		l.Current = some[q.Amp](g, 0.5, current)
	case kind == job.Resistive && g.chance(0.3):
		l.Power = q.Some(q.Watt(volts * current))
	case g.chance(0.2) && kind != job.LED && kind != job.Capacitive:
		l.Resistance = q.Some(q.Ohm(volts / current))
	default:
		l.Current = q.Some(q.Amp(current))
	}
	g.ofKind(kind, &l, volts, current)
	l.Tolerance = some[q.Ratio](g, 0.4, g.flat(0, 0.25))
	l.OffCurrentMax = some[q.Amp](g, 0.15, current*g.between(1e-4, 0.4))
	l.VoltageMin = some[q.Volt](g, 0.15, volts*g.flat(0.5, 0.95))
	g.rhythm(&l)
	l.Side = oneOf(g, "", "", "", "", "any", "low", "high")
	if g.chance(0.04) {
		l.Ground = "chassis"
	}
	l.Unpowered = oneOf(g, "", "", "", "off", "any")
	l.Isolation = oneOf(g, "", "", "", "", "", "", "functional", "basic", "reinforced")
	l.Life = some[q.Year](g, 0.3, math.Round(g.between(1, 20)))
	if g.chance(0.2) {
		l.WireLength = q.Some(q.Metre(g.flat(0, 10)))
	}
	l.CopperArea = some[q.SquareMetre](g, 0.2, g.between(1e-4, 3e-3))
	if g.chance(0.1) {
		n := 1 + g.IntN(4)
		l.Quantity = &n
	}
	return l
}

func (g gen) ofKind(kind job.Kind, l *job.LoadSpec, volts, current float64) {
	inductive := func(p float64) {
		l.Inductance = some[q.Henry](g, p, g.between(1e-3, 0.2)*volts/current/30)
		l.ToleranceL = some[q.Ratio](g, 0.3, g.flat(0, 0.3))
		l.ReleaseWithin = some[q.Second](g, 0.4, g.between(1e-3, 0.2))
	}
	switch kind {
	case job.Resistive:
		if g.chance(0.15) {
			inductive(1)
		}
	case job.LED:
		if g.chance(0.4) {
			l.ForwardVoltage, l.Series = q.Some(q.Volt(volts*g.flat(0.2, 0.95))), oneOf(g, "inside", "designed")
		}
	case job.Lamp:
		l.ColdRatio = some[q.Ratio](g, 0.4, g.flat(6, 18))
	case job.Motor:
		l.Reversing = g.chance(0.3)
		inductive(0.5)
		l.StallCurrent = some[q.Amp](g, 0.6, current*g.flat(1.5, 10))
		l.StallTime = some[q.Second](g, 0.5, g.between(10e-3, 5))
		l.MechRelease = some[q.Second](g, 0.3, g.between(1e-3, 0.1))
	case job.Solenoid:
		inductive(0.8)
		l.MechRelease = some[q.Second](g, 0.5, g.between(1e-3, 20e-3))
		l.ReleaseCurrent = some[q.Amp](g, 0.2, current*g.flat(0.05, 0.6))
	case job.Coil:
		inductive(0.8)
		l.MechRelease = some[q.Second](g, 0.5, g.between(1e-3, 20e-3))
		l.MustOperate = some[q.Ratio](g, 0.5, g.flat(0.5, 0.85))
		l.MustRelease = some[q.Ratio](g, 0.4, g.flat(0.05, 0.3))
		l.RthCoil = some[q.KelvinPerWatt](g, 0.5, g.between(10, 150))
	case job.Capacitive:
		l.Capacitance = q.Some(q.Farad(g.between(1e-7, 2e-3)))
		l.ESR = some[q.Ohm](g, 0.7, g.between(0.02, 20))
	case job.Electronic:
		if g.chance(0.3) {
			l.InrushFactor, l.InrushSource = q.Some(q.Ratio(g.flat(1, 8))), oneOf(g, "", "measured", "data-sheet")
		}
	case job.LogicInput:
		l.InputHighMin = some[q.Volt](g, 0.4, 5*g.flat(0.3, 0.8))
	}
}

func (g gen) rhythm(l *job.LoadSpec) {
	switch {
	case g.chance(0.2):
		l.Mode, l.PWMFrequency = "pwm", q.Some(q.Hertz(g.between(5, 100e3)))
		l.DutyMax = some[q.Ratio](g, 0.4, g.flat(0.3, 1))
		l.DutyEnforced = oneOf(g, "", "", "hardware")
	case g.chance(0.12):
		l.Mode, l.Period = "cycle", q.Some(q.Second(g.between(0.2, 600)))
	default:
		l.SwitchingRate = some[q.Rate](g, 0.5, g.between(1e-4, 3))
	}
}

// embedded is the catalogue of the program.
func embedded(t testing.TB) *catalog.Catalog {
	t.Helper()
	c, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// study is one random design, made in full with every value chosen.
type study struct {
	n     int
	in    *engine.Input
	env   *topology.Env // in full
	brief *topology.Env
	m     *load.Model
	t     topology.Topology
	sw    catalog.Part
	d     *design.Design
	as    *topology.Given // the design as it is

	stated bool // its limiter is stated, not chosen
}

func (s *study) String() string {
	return fmt.Sprintf("pair %d, %s:\n%s", s.n, s.d.Key(), job.Encode(s.in.Spec))
}

// again makes the frozen stage once more, briefly.
func (s *study) again(sw catalog.Part) *design.Design {
	d := new(design.Design)
	s.t.Design(s.brief, s.m, sw, s.as, d)
	return d
}

// seedEnv asks for other random pairs; a failure prints its seed.
const seedEnv = "PINHOIST_PROPERTY_SEED"

func pairSeed(t testing.TB) uint64 {
	t.Helper()
	s := os.Getenv(seedEnv)
	if s == "" {
		return 1
	}
	n, err := strconv.ParseUint(s, 10, 64)
	if err != nil {
		t.Fatalf("%s=%q: expected a whole number", seedEnv, s)
	}
	return n
}

// studies are the random designs that all properties look at, made once.
var studies struct {
	sync.Once
	made     []*study
	seed     uint64
	told     string
	tooPlain bool
}

// pairs calls f with every random design, each of a random job and a random part
// of the catalogue, and with a random source of its own. More than half of the
// parts are taken from those that serve well, so that designs that fit are
// looked at as often as others. It tells how many jobs were refused and how many
// parts do not serve.
//
// f runs for several pairs at once: it may change what its study holds and
// nothing else, and reports to the t that it is given. Failures are told in the
// order of the pairs.
func pairs(t *testing.T, property uint64, f func(t testing.TB, g gen, s *study)) {
	t.Helper()
	studies.Do(func() { makeStudies(t) })
	t.Logf("seed %d: %s", studies.seed, studies.told)
	if studies.tooPlain {
		t.Error("the random designs are not varied enough to show anything")
	}
	reports := make([]report, len(studies.made))
	var next atomic.Int64
	var running sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		running.Go(func() {
			for i := next.Add(1) - 1; i < int64(len(studies.made)); i = next.Add(1) - 1 {
				s, r := studies.made[i], &reports[i]
				r.TB = t
				r.run(func() { f(r, newGen(studies.seed<<32|property<<24|uint64(s.n)), s) })
			}
		})
	}
	running.Wait()
	for i := range reports {
		for _, text := range reports[i].told {
			t.Error(text)
		}
	}
}

// report is the test of one pair, which runs beside others: it keeps what it has
// to say until all have run.
type report struct {
	testing.TB
	told []string
}

// run calls f in a goroutine of its own, which Fatal ends.
func (r *report) run(f func()) {
	var wait sync.WaitGroup
	wait.Go(f)
	wait.Wait()
}

func (r *report) Helper()                      {}
func (r *report) Failed() bool                 { return len(r.told) > 0 }
func (r *report) Error(args ...any)            { r.told = append(r.told, fmt.Sprint(args...)) }
func (r *report) Errorf(s string, args ...any) { r.told = append(r.told, fmt.Sprintf(s, args...)) }

func (r *report) Fatal(args ...any) {
	r.Error(args...)
	runtime.Goexit()
}

func (r *report) Fatalf(s string, args ...any) {
	r.Errorf(s, args...)
	runtime.Goexit()
}

// draw is a kind of pairs: of so many in twenty, with jobs of its own and parts of the
// kinds that are wanted.
type draw struct {
	share  int
	spec   func(gen) *job.Spec
	wanted func(catalog.Kind) bool
}

var draws = [...]draw{
	{13, gen.spec, func(k catalog.Kind) bool { return k != catalog.KindSSR }},
	{3, gen.ssrSpec, only(catalog.KindSSR)},
	{2, gen.relaySpec, only(catalog.KindRelay)},
	{1, gen.bridgeSpec, only(catalog.KindMOSFET)},
	{1, gen.spec, only(catalog.KindModule)},
}

func only(kind catalog.Kind) func(catalog.Kind) bool {
	return func(k catalog.Kind) bool { return k == kind }
}

// drawSize parts the numbers of pairs by their draw: pair 3000012 is the 12th of the
// bridges, whatever the number of pairs.
const drawSize = 1_000_000

// pairNumbers are the numbers of n pairs, or the one that is asked for.
func pairNumbers(t *testing.T, n int) (numbers []int) {
	t.Helper()
	if s := os.Getenv(pairEnv); s != "" {
		k, err := strconv.Atoi(s)
		if err != nil || k < 0 || k/drawSize >= len(draws) {
			t.Fatalf("%s=%q: expected the number of a pair", pairEnv, s)
		}
		return []int{k}
	}
	for k, d := range draws {
		for i := range (n*d.share + 10) / 20 {
			numbers = append(numbers, k*drawSize+i)
		}
	}
	return numbers
}

func makeStudies(t *testing.T) {
	t.Helper()
	n := pairCount(t)
	studies.seed = pairSeed(t)
	numbers := pairNumbers(t, n)
	studies.made = make([]*study, len(numbers))
	var next, refused, unserved atomic.Int64
	var running sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		running.Go(func() {
			for i := next.Add(1) - 1; i < int64(len(numbers)); i = next.Add(1) - 1 {
				studies.made[i] = makeStudy(t, studies.seed, numbers[i], &refused, &unserved)
			}
		})
	}
	running.Wait()
	verdicts := map[design.Verdict]int{}
	for i, s := range studies.made {
		if s == nil {
			t.Fatalf("seed %d, pair %d: nearly every random job is refused, or nearly no random part serves", studies.seed, numbers[i])
		}
		verdicts[s.d.Verdict]++
	}
	studies.told = fmt.Sprintf("%d pairs (%d fit, %d tight, %d unproven, %d over), %d jobs refused, %d parts that do not serve", len(studies.made),
		verdicts[design.Fits], verdicts[design.Tight], verdicts[design.Unproven], verdicts[design.Over], refused.Load(), unserved.Load())
	if len(numbers) < n*9/10 {
		return // one alone
	}
	if inrush, limited := limitedShare(); n >= plainPairs {
		t.Logf("%d of %d pairs of lamps and capacitors have an inrush limiter", limited, inrush)
		if limited*20 < inrush {
			t.Error("so few pairs with a limiter show nothing of it")
		}
	}
	studies.tooPlain = n >= plainPairs && (verdicts[design.Fits] < n/20 || verdicts[design.Over] < n/20)
}

// limitedShare is how many pairs are of a lamp or a capacitor, and how many of those
// have a limiter.
func limitedShare() (inrush, limited int) {
	for _, s := range studies.made {
		if s.m.Kind == job.Lamp || s.m.Kind == job.Capacitive {
			inrush++
			if s.d.Choice.Limiter != "" {
				limited++
			}
		}
	}
	return inrush, limited
}

// makeStudy is the random design of a number: jobs that are refused and parts that do not
// serve are drawn again, and counted. nil where none comes up.
func makeStudy(t *testing.T, seed uint64, number int, refused, unserved *atomic.Int64) *study {
	t.Helper()
	cat, d := embedded(t), &draws[number/drawSize]
	g := newGenOf(seed, uint64(number))
	for range 200 {
		spec := d.spec(g)
		j, errs := job.Resolve(spec)
		if errs.Fatal() {
			refused.Add(1)
			continue
		}
		pol, err := catalog.PolicyByName(j.PolicyName)
		if err != nil {
			t.Error(err)
			return nil
		}
		s := g.design(&engine.Input{Job: j, Spec: spec, Catalog: cat, Policy: pol}, d.wanted)
		if s != nil {
			s.n = number
			return s
		}
		unserved.Add(1)
	}
	return nil
}

// design makes a random design of a job with a part of a kind that is wanted, nil where
// the part does not serve.
func (g gen) design(in *engine.Input, wanted func(catalog.Kind) bool) *study {
	switches := slices.DeleteFunc(append([]catalog.Part{topology.PinPart()}, in.Catalog.Switches()...), func(p catalog.Part) bool { return !wanted(p.Kind()) })
	s := &study{in: in, env: engine.EnvFor(in, false), brief: engine.EnvFor(in, true)}
	s.m = s.env.Model(&in.Job.Loads[0])
	if g.chance(0.7) {
		s.t, s.sw = g.good(s.brief, &in.Job.Loads[0], switches)
	}
	if s.t == nil {
		sw := oneOf(g, switches...)
		for _, x := range topology.All() {
			if s.t == nil && x.Serves(s.env, s.m, sw) == "" {
				s.t, s.sw = x, sw
			}
		}
	}
	if s.t == nil {
		return nil
	}
	given := topology.Given{}
	if id := anyLimiter(in.Catalog, s.m); id != "" {
		given.Limiter, s.stated = topology.GivenPart{Said: true, ID: id}, true
	}
	s.d = new(design.Design)
	s.t.Design(s.env, s.m, s.sw, &given, s.d)
	s.as = topology.Freeze(s.d)
	return s
}

// goodTries is how many parts of a topology are tried for one that fits or is tight.
const goodTries = 12

// good picks a design that fits or is tight, of any topology alike, nil where a few tries
// at each bring up none.
func (g gen) good(env *topology.Env, l *job.Load, switches []catalog.Part) (topology.Topology, catalog.Part) {
	m := env.Model(l)
	for _, k := range g.Perm(len(topology.All())) {
		x := topology.All()[k]
		tries := goodTries
		for _, i := range g.Perm(len(switches)) {
			if x.Serves(env, m, switches[i]) != "" {
				continue
			}
			d := new(design.Design)
			if x.Design(env, m, switches[i], &topology.Given{}, d); d.Verdict <= design.Tight {
				return x, switches[i]
			}
			if tries--; tries == 0 {
				break
			}
		}
	}
	return nil, nil
}

// anyLimiter states one of the catalogue's limiters for a third of the loads that one
// may stand before: few stages choose one, of lamps hardly any. It draws from a source of
// its own, as cooling does.
func anyLimiter(cat *catalog.Catalog, m *load.Model) string {
	g := newGen(math.Float64bits(m.INom) + 1)
	if !m.Limitable() || !g.chance(0.35) {
		return ""
	}
	return cat.Limiters[g.IntN(len(cat.Limiters))].ID
}

// checkOf finds a check of a design, nil if it has none.
func checkOf(d *design.Design, id design.CheckID, st design.Stage) *design.Check {
	for i := range d.Checks {
		if d.Checks[i].ID == id && d.Checks[i].Stage == st {
			return &d.Checks[i]
		}
	}
	return nil
}

// told is a check in a line, for messages.
func toldCheck(c *design.Check) string {
	if c == nil {
		return "no such check"
	}
	return fmt.Sprintf("%s %s %s: stress %v~%v rating %v~%v allowed %v (%s) %s; %s", c.Stage, c.ID, c.Verdict, c.Stress, c.StressEstimate, c.Rating, c.RatingEstimate, c.Allowed, c.Unit, c.Because, c.Formula)
}
