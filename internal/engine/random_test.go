package engine

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/load"
	q "example.org/pinhoist/internal/quantity"
	"example.org/pinhoist/internal/topology"
)

// For tests of the package's outside.
var (
	RandomInput = randomInput
	Trials      = trials
)

// shortTrials and plainTrials are how often a property is tried with -short and
// without.
const (
	shortTrials = 20
	plainTrials = 200
)

// trials is how many random jobs a property looks at, each with all or many of the
// catalogue's parts.
func trials() int {
	if n, err := strconv.Atoi(os.Getenv("PINHOIST_PROPERTY_JOBS")); err == nil && n > 0 {
		return n
	}
	if testing.Short() {
		return shortTrials
	}
	return plainTrials
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

// dice draws the figures of a job.
type dice struct{ *rand.Rand }

// between is a number spread evenly over the logarithm of lo to hi, to three
// digits, as people write them.
func (d dice) between(lo, hi float64) float64 {
	v := lo * math.Exp(d.Float64()*math.Log(hi/lo))
	v, _ = strconv.ParseFloat(strconv.FormatFloat(v, 'g', 3, 64), 64)
	return v
}

func (d dice) chance(p float64) bool { return d.Float64() < p }

func among[T any](d dice, of ...T) T { return of[d.IntN(len(of))] }

// maybe states a quantity with chance p.
func maybe[Q q.Quantity](d dice, p, lo, hi float64) q.Opt[Q] {
	v := d.between(lo, hi)
	if d.chance(p) {
		return q.Some(Q(v))
	}
	return q.None[Q]()
}

// randomInput is a random job on DC with one to three loads, over the embedded
// catalogue. It is false where the job is refused, as some are.
func randomInput(r *rand.Rand) (*Input, bool) {
	spec := dice{r}.spec()
	j, errs := job.Resolve(spec)
	if errs.Fatal() {
		return nil, false
	}
	pol, err := catalog.PolicyByName(j.PolicyName)
	if err != nil {
		return nil, false
	}
	cat, err := catalog.Embedded()
	if err != nil {
		return nil, false
	}
	return &Input{Job: j, Spec: spec, Catalog: cat, Policy: pol}, true
}

func (d dice) spec() *job.Spec {
	s := &job.Spec{Title: "random", Policy: job.PolicySpec{Name: among(d, "bench", "none")}}
	s.Pin = job.PinSpec{
		Supply: q.Some(among[q.Volt](d, 3.3, 5)), SupplyTolerance: maybe[q.Ratio](d, 0.7, 0.01, 0.1),
		SourceCurrentMax: maybe[q.Amp](d, 0.7, 2e-3, 40e-3), SinkCurrentMax: maybe[q.Amp](d, 0.5, 2e-3, 40e-3),
		ROutMax: maybe[q.Ohm](d, 0.3, 5, 150), AtReset: among(d, "", "unknown", "floating", "pull-up", "low", "high"),
		LeakageMax: maybe[q.Amp](d, 0.3, 1e-8, 2e-5),
	}
	s.Environment = job.EnvSpec{
		AmbientMin: q.Some(q.Celsius(-40 + 5*d.IntN(13))), AmbientMax: q.Some(q.Celsius(20 + 5*d.IntN(13))),
		EnclosureRise: maybe[q.Kelvin](d, 0.3, 1, 20),
	}
	for i := range 1 + d.IntN(2) {
		s.Rails = append(s.Rails, job.RailSpec{Name: "rail " + string(rune('a'+i)), Voltage: q.Some(among[q.Volt](d, 3, 3.3, 5, 6, 9, 12, 12, 15, 24, 24, 36, 48)),
			Tolerance: maybe[q.Ratio](d, 0.8, 0.01, 0.25), CurrentMax: maybe[q.Amp](d, 0.4, 0.2, 30)})
	}
	for i := range among(d, 1, 1, 2, 3) {
		s.Loads = append(s.Loads, d.load("load "+string(rune('a'+i)), &s.Rails[d.IntN(len(s.Rails))]))
	}
	return s
}

// dcKinds are the kinds of load on DC.
func dcKinds() (kinds []job.Kind) {
	for _, k := range job.Kinds() {
		if !k.AC {
			kinds = append(kinds, k.Kind)
		}
	}
	return kinds
}

func (d dice) load(name string, rail *job.RailSpec) job.LoadSpec {
	kind := among(d, dcKinds()...)
	v, _ := rail.Voltage.Get()
	amps := d.between(1e-3, 6)
	l := job.LoadSpec{Name: name, Kind: string(kind), Rail: rail.Name, Tolerance: maybe[q.Ratio](d, 0.5, 0.01, 0.25),
		Side: among(d, "", "", "low", "high", "any"), Unpowered: among(d, "", "off", "on", "any"),
		Isolation: among(d, "", "", "", "functional", "basic"), Life: maybe[q.Year](d, 0.2, 1, 20),
		WireLength: maybe[q.Metre](d, 0.2, 0.1, 10), StuckOn: among(d, "", "harmless", "harmful")}
	switch info, _ := job.Info(kind); {
	case kind == job.LogicInput:
		l.Rail = job.PinRail
	case kind == job.Capacitive:
		l.Current, l.Capacitance, l.ESR = q.Some(q.Amp(amps)), q.Some(q.Farad(d.between(1e-7, 2e-3))), maybe[q.Ohm](d, 0.8, 0.02, 10)
	case info.Ohmic && d.chance(0.4):
		l.Resistance = q.Some(q.Ohm(d.between(0.9, 1.1) * float64(v) / amps))
	default:
		l.Current = q.Some(q.Amp(amps))
	}
	d.winding(kind, &l, float64(v)/amps)
	d.start(kind, &l, amps, float64(v))
	switch {
	case d.chance(0.2):
		l.Mode, l.PWMFrequency, l.DutyMax = "pwm", q.Some(q.Hertz(d.between(10, 50e3))), maybe[q.Ratio](d, 0.5, 0.2, 1)
	case d.chance(0.15):
		l.Mode, l.Period = "cycle", q.Some(q.Second(d.between(0.5, 600)))
	default:
		l.SwitchingRate = maybe[q.Rate](d, 0.5, 1e-4, 2)
	}
	return l
}

// winding is what an inductive load has: a time constant of 0.3 to 30 ms.
func (d dice) winding(kind job.Kind, l *job.LoadSpec, ohms float64) {
	info, _ := job.Info(kind)
	if !info.Inductive {
		return
	}
	l.Inductance = maybe[q.Henry](d, 0.85, 3e-4*ohms, 3e-2*ohms)
	l.ToleranceL = maybe[q.Ratio](d, 0.3, 0.05, 0.3)
	l.ReleaseWithin = maybe[q.Second](d, 0.6, 1e-3, 0.2)
	l.MechRelease = maybe[q.Second](d, 0.6, 1e-4, 10e-3)
	if kind == job.Coil {
		l.MustOperate, l.RthCoil = maybe[q.Ratio](d, 0.6, 0.5, 0.8), maybe[q.KelvinPerWatt](d, 0.6, 10, 150)
	}
}

// start is how a load begins: its inrush.
func (d dice) start(kind job.Kind, l *job.LoadSpec, amps, volts float64) {
	switch kind {
	case job.Lamp:
		l.ColdRatio = maybe[q.Ratio](d, 0.4, 7, 18)
	case job.Motor:
		l.Reversing = d.chance(0.3)
		l.StallCurrent, l.StallTime = maybe[q.Amp](d, 0.7, 2*amps, 8*amps), maybe[q.Second](d, 0.6, 0.01, 3)
	case job.Electronic:
		if d.chance(0.5) {
			l.InrushFactor, l.InrushTime, l.InrushSource = q.Some(q.Ratio(d.between(1, 8))), q.Some(q.Second(d.between(1e-4, 0.1))), "measured"
		}
	case job.LED:
		if d.chance(0.5) {
			l.ForwardVoltage, l.Series = q.Some(q.Volt(d.between(0.4, 0.9)*volts)), among(d, "inside", "designed")
		}
	}
}

// The driver that the search finds for a relay's coil, passing over most
// switches, is that of trying every one.
func TestDriverSearchIsThatOfTryingAll(t *testing.T) {
	verdicts := map[design.Verdict]int{}
	for n := range max(trials()/10, 5) {
		in, ok := randomInput(rand.New(rand.NewPCG(uint64(n), 4)))
		if !ok {
			continue
		}
		r := newRun(in, true)
		dr := newDriver(r.env, r.topologies)
		r.env.Driver = func(coil *load.Model) *design.Design {
			found, best := dr.design(coil), tryAll(t, dr, coil)
			if best != nil && best.Verdict == design.Over && found != nil && found.Verdict == design.Over && topology.NewReach(dr.env, coil).Floor == design.Over {
				// Nothing can be better: the first stage will do.
			} else if (found == nil) != (best == nil) || found != nil && (found.Key() != best.Key() || found.Verdict != best.Verdict || found.Cost.Amount != best.Cost.Amount) {
				t.Errorf("job %d, coil at %g V: found %s, of all the best is %s", n, coil.VMax, inShort(found), inShort(best))
			}
			if best != nil {
				verdicts[best.Verdict]++
			}
			return found
		}
		m := r.env.Model(r.loads[0])
		var room scratch
		for _, sw := range r.switches {
			if sw.Kind() == catalog.KindRelay {
				r.assess(m, sw, &room)
			}
		}
	}
	if verdicts[design.Fits] == 0 || verdicts[design.Over] == 0 {
		t.Errorf("the drivers found are %v: the test shows little", verdicts)
	}
}

func inShort(d *design.Design) string {
	if d == nil {
		return "none"
	}
	return fmt.Sprintf("%s (%s, %v, %v)", d.Key(), d.Verdict, d.Cost, d.BOM)
}

// tryAll designs the stage of every switch there is, and holds each against the
// bounds that spare the search most of them.
func tryAll(t *testing.T, dr *driver, coil *load.Model) (best *design.Design) {
	reach := topology.NewReach(dr.env, coil)
	for _, sw := range append(slices.Clone(dr.singles), dr.arrays...) {
		for _, topo := range dr.topologies {
			if topo.Serves(dr.env, coil, sw.part) != "" {
				continue
			}
			d := new(design.Design)
			topo.Design(dr.env, coil, sw.part, &topology.Given{}, d)
			if least := reach.Verdict(sw.part); d.Verdict < least {
				t.Errorf("%s is %s, and cannot be better than %s by its bound", d.Key(), d.Verdict, least)
			}
			if least := reach.Cost(sw.part, sw.price); reach.Floor < design.Over && d.Verdict <= reach.Floor && d.Cost.Amount.OK && d.Cost.Amount.V*costSlack < least {
				t.Errorf("%s costs %v, and cannot cost less than %g by its bound", d.Key(), d.Cost, least)
			}
			if best == nil || better(d, best) {
				best = d
			}
		}
	}
	return best
}
