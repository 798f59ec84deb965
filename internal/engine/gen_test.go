package engine_test

import (
	"context"
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

// pairsEnv asks for another number of random job and part pairs than plainPairs.
const (
	pairsEnv   = "PINHOIST_PROPERTY_N"
	plainPairs = 200
)

// pairCount is how many random pairs a property looks at.
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

func newGen(seed uint64) gen { return gen{rand.New(rand.NewPCG(seed, 0x70696e))} }

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

func makeStudies(t *testing.T) {
	t.Helper()
	n := pairCount(t)
	studies.seed = pairSeed(t)
	verdicts := map[design.Verdict]int{}
	refused, unserved := 0, 0
	draw := func(seed uint64, n int, spec func(gen) *job.Spec, wanted func(catalog.Kind) bool) {
		r, u := makePairs(t, newGen(seed), n, verdicts, spec, wanted)
		refused, unserved = refused+r, unserved+u
	}
	only := func(kind catalog.Kind) func(catalog.Kind) bool { return func(k catalog.Kind) bool { return k == kind } }
	// Each of the rest is drawn apart: the pairs of all others stay what they were.
	draw(studies.seed, n, gen.spec, func(k catalog.Kind) bool { return k != catalog.KindSSR })
	draw(studies.seed^0x737372, n/4, gen.ssrSpec, only(catalog.KindSSR))
	draw(studies.seed^0x72656c, n/8, gen.relaySpec, only(catalog.KindRelay))
	draw(studies.seed^0x627267, n/20, gen.bridgeSpec, only(catalog.KindMOSFET))
	draw(studies.seed^0x6d6f64, n/20, gen.spec, only(catalog.KindModule))
	studies.told = fmt.Sprintf("%d pairs (%d fit, %d tight, %d unproven, %d over), %d jobs refused, %d parts that do not serve", len(studies.made),
		verdicts[design.Fits], verdicts[design.Tight], verdicts[design.Unproven], verdicts[design.Over], refused, unserved)
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

// makePairs adds so many random designs of jobs from spec with parts of kinds that
// are wanted, and says how many jobs were refused and how many parts did not serve.
func makePairs(t *testing.T, g gen, n int, verdicts map[design.Verdict]int, spec func(gen) *job.Spec, wanted func(catalog.Kind) bool) (refused, unserved int) {
	t.Helper()
	cat := embedded(t)
	for n += len(studies.made); len(studies.made) < n; {
		if refused > 3*n+100 || unserved > 3*n+100 {
			t.Fatal("nearly every random job is refused, or nearly no random part serves")
		}
		spec := spec(g)
		j, errs := job.Resolve(spec)
		if errs.Fatal() {
			refused++
			continue
		}
		pol, err := catalog.PolicyByName(j.PolicyName)
		if err != nil {
			t.Fatal(err)
		}
		s := g.design(t, &engine.Input{Job: j, Spec: spec, Catalog: cat, Policy: pol}, wanted)
		if s == nil {
			unserved++
			continue
		}
		s.n = len(studies.made)
		studies.made = append(studies.made, s)
		verdicts[s.d.Verdict]++
	}
	return refused, unserved
}

// design makes a random design of a job with a part of a kind that is wanted, nil where
// the part does not serve.
func (g gen) design(t *testing.T, in *engine.Input, wanted func(catalog.Kind) bool) *study {
	t.Helper()
	part, topo := "", ""
	if g.chance(0.7) {
		part, topo = g.good(t, in, wanted)
	}
	switches := slices.DeleteFunc(append([]catalog.Part{topology.PinPart()}, in.Catalog.Switches()...), func(p catalog.Part) bool { return !wanted(p.Kind()) })
	if part == "" {
		part = oneOf(g, switches...).Base().ID
	}
	s := &study{in: in, env: engine.EnvFor(in, false), brief: engine.EnvFor(in, true)}
	s.m = s.env.Model(&in.Job.Loads[0])
	for _, sw := range switches {
		if sw.Base().ID != part {
			continue
		}
		for _, x := range topology.All() {
			if (topo == "" || x.ID() == topo) && s.t == nil && x.Serves(s.env, s.m, sw) == "" {
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

// good picks one of the designs that fit or are tight, "" where there is none.
func (g gen) good(t *testing.T, in *engine.Input, wanted func(catalog.Kind) bool) (part, topo string) {
	t.Helper()
	res, err := engine.Assess(context.Background(), in, engine.Options{})
	if err != nil {
		t.Fatal(err)
	}
	byTopology := map[string][]engine.Row{}
	var order []string
	for _, r := range res.Loads[0].Rows {
		if r.Verdict > design.Tight || !wanted(r.Kind) {
			continue
		}
		if byTopology[r.Topology] == nil {
			order = append(order, r.Topology)
		}
		byTopology[r.Topology] = append(byTopology[r.Topology], r)
	}
	if order == nil {
		return "", ""
	}
	r := oneOf(g, byTopology[oneOf(g, order...)]...)
	return r.Part, r.Topology
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
