package engine_test

import (
	"math"
	"reflect"
	"slices"
	"strings"
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

// finiteAll walks everything a value holds and fails on a number that is none.
func finiteAll(t testing.TB, what string, v reflect.Value, path string) {
	t.Helper()
	switch v.Kind() {
	case reflect.Float64:
		if f := v.Float(); math.IsNaN(f) || math.IsInf(f, 0) {
			t.Errorf("%s: %s is %v", what, path, f)
		}
	case reflect.Pointer, reflect.Interface:
		if !v.IsNil() {
			finiteAll(t, what, v.Elem(), path)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			finiteAll(t, what, v.Field(i), path+"."+v.Type().Field(i).Name)
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			finiteAll(t, what, v.Index(i), path)
		}
	}
}

func TestNoNumberOfADesignIsNone(t *testing.T) {
	pairs(t, 11, func(t testing.TB, g gen, s *study) {
		finiteAll(t, s.String(), reflect.ValueOf(s.d), "design")
		for i := range s.d.Checks {
			if c := &s.d.Checks[i]; c.Because == design.NotANumber {
				t.Errorf("%s: %s", s, toldCheck(c))
			}
		}
	})
}

// Property 1: with more stress and all else as it is, no check gets better.
func TestMoreStressNeverImprovesAVerdict(t *testing.T) {
	pairs(t, 1, func(t testing.TB, g gen, s *study) {
		for i := range s.d.Checks {
			before := s.d.Checks[i]
			for range 4 {
				c := before
				by := g.between(1e-6, 10)
				c.Stress.V += by * math.Abs(c.Stress.V)
				if g.chance(0.3) {
					c.StressEstimate.V += by * math.Abs(c.StressEstimate.V)
				}
				if g.chance(0.3) {
					c.EasyStress.V += by * math.Abs(c.EasyStress.V)
				}
				design.Judge(&c)
				if c.Verdict < before.Verdict {
					t.Errorf("%s\nstress up by %g improves it:\n%s\n%s", s, by, toldCheck(&before), toldCheck(&c))
				}
				if c.Headroom.OK && before.Headroom.OK && c.Headroom.V > before.Headroom.V*(1+1e-12) {
					t.Errorf("%s\nstress up by %g raises the headroom:\n%s\n%s", s, by, toldCheck(&before), toldCheck(&c))
				}
			}
		}
	})
}

// worse are the checks that are better in b than in a.
func better(a, b *design.Design) (names []string) {
	for i := range b.Checks {
		c := &b.Checks[i]
		if k := checkOf(a, c.ID, c.Stage); k != nil && c.Verdict < k.Verdict {
			names = append(names, "\n  "+toldCheck(k)+"\n  -> "+toldCheck(c))
		}
	}
	return names
}

// onTop are figures that few parts state and that say more than is owed: without
// the continuous current in still air the junction limits, without a stated
// minimum load the common practice of wetting holds, without a safe area a MOSFET is
// held to what its junction bears in a crossing, which is owed of every part, and without
// a make figure of its own a contact is held to what the test of its category has it make
// (IEC 60947: ten times AC-15, six times AC-3).
var onTop = []string{"i_d_ambient25_max", "no.wetting.v", "no.wetting.i", "soa.points.i", "no.make.i", "nc.make.i"}

// contradicts reports a part that no catalogue takes: its greatest threshold is
// not under the drive at which it states an on-resistance.
func contradicts(p catalog.Part) bool {
	m, ok := p.(*catalog.MOSFET)
	if !ok || m.VGSTh == nil {
		return false
	}
	return slices.ContainsFunc(m.RDSOn, func(r catalog.RDSPoint) bool { return r.VGS.Or(99) <= m.VGSTh.Max.Or(0) })
}

// Property 2: a worse guaranteed figure never improves the verdict of a stage
// as it stands; without the figure it is never brought to fits or tight.
func TestAWorseFigureNeverImprovesTheStage(t *testing.T) {
	var changed atomic.Int64
	pairs(t, 2, func(t testing.TB, g gen, s *study) {
		if s.sw.Kind() == catalog.KindPin {
			return
		}
		part := catalog.Clone(s.sw)
		was := s.again(part)
		if was.Verdict != s.d.Verdict {
			t.Errorf("%s\nfrozen it is %s, chosen it was %s", s, was.Verdict, s.d.Verdict)
		}
		for _, fig := range catalog.Figures(part) {
			by := 1 + g.between(1e-3, 3)
			if fig.Unit == "degC" {
				by = 1 + g.between(1e-3, 0.2)
			}
			if !fig.WorseMore {
				by = 1 / by
			}
			fig.Scale(by)
			if contradicts(part) {
				fig.Scale(1)
				continue
			}
			d := s.again(part)
			// The greatest collector current says how large a part is, too: under its on voltage
			// a smaller one takes less, which may leave it unproven.
			smaller := fig.Name == "i_c_max" && d.Verdict > design.Tight
			if d.Verdict < was.Verdict && !smaller {
				t.Errorf("%s\n%s times %g brings %s to %s:%v", s, fig.Name, by, was.Verdict, d.Verdict, better(was, d))
			}
			if d.Verdict != was.Verdict {
				changed.Add(1)
			}
			fig.Delete()
			d = s.again(part)
			if d.Verdict <= design.Tight && d.Verdict < was.Verdict && !slices.Contains(onTop, strings.TrimPrefix(fig.Name, "n-mosfet.")) {
				t.Errorf("%s\nwithout %s it is %s, with it %s:%v", s, fig.Name, d.Verdict, was.Verdict, better(was, d))
			}
			fig.Scale(1)
		}
	})
	if changed.Load() == 0 && len(studies.made) > 1 {
		t.Error("no worse figure ever changed a verdict: the test shows nothing")
	}
}

// Property 3: typical figures are shown and never carry a fit.
func TestTypicalFiguresCarryNoFit(t *testing.T) {
	pairs(t, 3, func(t testing.TB, g gen, s *study) {
		if s.sw.Kind() == catalog.KindPin {
			return
		}
		part := catalog.Clone(s.sw)
		figs := catalog.Typicals(part)
		was := s.again(part)
		for range 3 {
			by := g.between(0.1, 10)
			for _, fig := range figs {
				fig.Scale(by)
			}
			d := s.again(part)
			if (d.Verdict <= design.Tight || was.Verdict <= design.Tight) && d.Verdict != was.Verdict {
				t.Errorf("%s\ntypical figures times %g bring %s to %s", s, by, was.Verdict, d.Verdict)
			}
			for i := range d.Checks {
				c := &d.Checks[i]
				if k := checkOf(was, c.ID, c.Stage); k == nil || (k.Verdict <= design.Tight || c.Verdict <= design.Tight) && k.Verdict != c.Verdict {
					t.Errorf("%s\ntypical figures times %g:\n%s\n%s", s, by, toldCheck(k), toldCheck(c))
				}
			}
		}
		for _, fig := range figs {
			fig.Scale(1)
		}
	})
}

// Property 4: no point inside the spread of every independent quantity is worse
// than the corner that a check reports.
func TestNoInteriorPointIsWorseThanTheCorner(t *testing.T) {
	pairs(t, 4, func(t testing.TB, g gen, s *study) {
		points := 10
		if s.n%20 == 0 {
			points = 1000
		}
		if s.as.Driver == nil && s.t.ID() == "relay" {
			return // over: nothing drives its coil, and its rail is chosen anew
		}
		worst, d := new(design.Design), new(design.Design)
		s.t.Design(s.env, s.env.BareModel(&s.in.Job.Loads[0]), s.sw, s.as, worst)
		known := s.knowsPeak(s.env.BareModel(&s.in.Job.Loads[0]))
		for range points {
			j, as := g.inside(s)
			env, _ := s.env.With(j)
			if s.t.Serves(env, env.BareModel(&j.Loads[0]), s.sw) != "" {
				continue
			}
			m := env.BareModel(&j.Loads[0])
			s.t.Design(env, m, s.sw, as, d)
			if s.knowsPeak(m) && !known {
				continue // an inrush that nobody knows over the whole spread has no corner
			}
			for i := range d.Checks {
				c := &d.Checks[i]
				if lowerAndLonger(m, checkOf(worst, c.ID, c.Stage), c) {
					continue
				}
				if why := beats(worst.Verdict, s.t.ID() == "bridge", checkOf(worst, c.ID, c.Stage), c); why != "" {
					t.Errorf("%s\n%s\nreported: %s\ninside:   %s\npin %+v\nair %+v\nload %+v\n", s, why, toldCheck(checkOf(worst, c.ID, c.Stage)), toldCheck(c), j.Pin, j.Env, j.Loads[0])
					return
				}
			}
		}
	})
}

// knowsPeak reports whether the inrush of a load is known in a stage as it is: a limiter
// that is cold at each start may make it so, one that may be warm does not.
func (s *study) knowsPeak(m *load.Model) bool {
	if p, ok := s.in.Catalog.Part(s.as.Limiter.ID); ok && m.Limitable() {
		return m.Limited(p.(*catalog.Limiter)).PeakKnown
	}
	return m.PeakKnown
}

// lowerAndLonger reports whether a crossing of the safe area is that of a capacitor
// through more resistance than the reported one: lower and longer, which heats no more at
// any moment, though the stairs in time of a safe area may give it the next curve.
func lowerAndLonger(m *load.Model, reported, inside *design.Check) bool {
	return inside.ID == design.SafeArea && m.Kind == job.Capacitive && reported != nil && reported.Stress.OK && inside.Stress.V < reported.Stress.V
}

// sinkBound is how far, K, two bounds of one junction may differ: a sink's rise is
// stated at a few powers, and a bound from them is not smooth in the power.
const sinkBound = 0.05

// beats says how a check at an interior point is worse than the reported one.
func beats(worst design.Verdict, bridge bool, reported, inside *design.Check) string {
	const close = 1e-9
	switch {
	case reported == nil:
		if inside.Verdict == design.Fits || worst > design.Tight {
			return ""
		}
		return "not reported, and does not fit inside"
	case reported.Verdict <= design.Tight && inside.Verdict > reported.Verdict:
		return "a worse verdict inside"
	case inside.ID == design.Saturation || inside.ID == design.ClampCurrent ||
		inside.Rating != reported.Rating && (inside.ID == design.ResistorPower || inside.ID == design.ResistorVoltage) || inside.Formula != reported.Formula || inside.Because != reported.Because:
		// Shown by another route (a bare LED's resistor: in another body), which may be
		// the narrower one: the verdict decides.
		return ""
	case inside.Unit != reported.Unit || !inside.Stress.OK || !reported.Stress.OK || !inside.Rating.OK || !reported.Rating.OK:
		return ""
	case reported.Verdict == design.Over && inside.ID == design.PWMFrequency:
		// Where heat ends a frequency is the best of a few bounds, none above the truth: of
		// two that are over either may be the looser.
		return ""
	case reported.Verdict == design.Over && inside.ID == design.SafeArea && bridge:
		// The worse of two parts in one check: the one that is worse inside may lack a
		// figure at the corner, such as an on-resistance at the lowest drive, and be unproven
		// there beside the other that is over.
		return ""
	case inside.Temperature:
		// Far above its limit a winding's copper counts for more than the air: what is
		// over is over, wherever it is worst.
		if reported.Verdict <= design.Tight && inside.Stress.V > reported.Stress.V+sinkBound {
			return "hotter inside"
		}
		return ""
	case inside.Headroom.OK && reported.Headroom.OK && inside.Headroom.V < reported.Headroom.V*(1-close):
		return "less headroom inside"
	}
	return ""
}

// inside is a random point of a study's job: every quantity has one value within
// its spread and no tolerance, and so have the resistors of the stage as it is.
func (g gen) inside(s *study) (*job.Job, *topology.Given) {
	at := func(lo, hi float64) float64 {
		switch g.IntN(6) {
		case 0:
			return lo
		case 1:
			return hi
		}
		return g.flat(lo, hi)
	}
	j := *s.in.Job
	p := &j.Pin
	p.SupplyMin = q.Volt(at(float64(p.SupplyMin), float64(p.SupplyMax)))
	p.SupplyMax = p.SupplyMin
	p.ROutMin = q.Ohm(at(float64(p.ROutMin), float64(p.ROutMax)))
	p.ROutMax = p.ROutMin
	air := q.Celsius(at(float64(j.Env.AmbientMin), float64(j.Env.PartsMax)))
	j.Env = job.Environment{AmbientMin: air, AmbientMax: air, PartsMax: air}
	l := s.in.Job.Loads[0]
	j.Rails = append([]job.Rail(nil), j.Rails...)
	for i := range j.Rails {
		r := &j.Rails[i]
		mine := r.Name == l.Rail.Name && !l.Rail.IsPin
		r.Min = q.Volt(at(float64(r.Min), float64(r.Max)))
		r.Max = r.Min
		if mine {
			l.Rail = *r
		}
	}
	if l.Rail.IsPin {
		l.Rail = p.Rail()
	}
	g.insideLoad(&l, at)
	j.Loads = []job.Load{l}
	return &j, insideStage(s.as, at)
}

func (g gen) insideLoad(l *job.Load, at func(lo, hi float64) float64) {
	tol, tolL, nominal := float64(l.Tolerance), float64(l.ToleranceL), l.Current
	spread := func() float64 { return at(1-tol, 1+tol) }
	l.Tolerance, l.ToleranceL = 0, 0
	scaleOhm := func(o *q.Opt[q.Ohm]) {
		if v, ok := o.Get(); ok {
			*o = q.Some(v * q.Ohm(spread()))
		}
	}
	switch info, _ := job.Info(l.Kind); {
	case info.Ohmic:
		scaleOhm(&l.R)
	case !l.VfDesigned:
		l.Current *= q.Amp(spread())
	}
	scaleOhm(&l.WindingR)
	scaleOhm(&l.ESR)
	if v, ok := l.StallCurrent.Get(); ok {
		l.StallCurrent = q.Some(v * q.Amp(spread()))
	}
	if v, ok := l.C.Get(); ok {
		l.C = q.Some(v * q.Farad(spread()))
	}
	if v, ok := l.L.Get(); ok {
		l.L = q.Some(v * q.Henry(at(1-tolL, 1+tolL)))
	}
	if !l.ReleaseCurrent.Known() && l.Kind != job.Coil {
		l.ReleaseCurrent = q.Some(nominal / 10) // of the nominal current, whatever it is here
	}
	duty := q.Ratio(at(float64(l.DutyMin), float64(l.DutyMax)))
	l.DutyMin, l.DutyMax = duty, duty
	if !l.DutyEnforced {
		l.Duty = duty
	}
}

// insideStage is a stage with every resistor at one value within its tolerance.
func insideStage(as *topology.Given, at func(lo, hi float64) float64) *topology.Given {
	g := *as
	for _, r := range []*topology.GivenResistor{&g.RBase, &g.RBaseEmitter, &g.RGate, &g.RPulldown, &g.RPullup, &g.RSeries, &g.RLock, &g.RLockGate} {
		if r.Said && !r.None {
			r.Ohms, r.Tol = r.Ohms*at(1-r.Tol, 1+r.Tol), 0
		}
	}
	for _, part := range []**topology.Given{&g.Driver, &g.Half} {
		if *part != nil {
			*part = insideStage(*part, at)
		}
	}
	return &g
}

// owes is who owes which check: o always, - never, i inductive loads, f loads
// with an inrush or inductive ones, coil only that kind, !coil all others,
// asked, life and pwm where the job says so, fuse where one is asked for or stated, sink and
// snubber where the stage has one.
var owes = []struct {
	checks, direct, npn, mosfet, relay string
}{
	{"pin-current pin-voltage stays-off", "o", "o", "o", "-"},
	{"base-drive saturation base-reverse", "-", "o", "-", "-"},
	{"gate-drive gate-voltage", "-", "-", "o", "-"},
	{"blocking-voltage on-current junction-temperature", "-", "o", "o", "-"},
	{"peak-current", "-", "f", "f", "-"},
	{"safe-area", "-", "o", "o", "-"},
	{"avalanche", "-", "i", "i", "-"},
	{"clamp-voltage clamp-current clamp-standoff clamp-energy clamp-power", "i", "i", "i", "i"},
	{"release-time", "i", "i", "i", "o"},
	{"leakage", "o", "o", "o", "snubber"},
	{"capacitor-voltage", "-", "-", "-", "snubber"},
	{"coil-pickup", "coil", "coil", "coil", "coil"},
	{"coil-overvoltage coil-temperature", "-", "-", "-", "o"},
	{"contact-voltage contact-current contact-carry contact-inrush contact-minimum contact-rate", "-", "-", "-", "o"},
	{"contact-life", "-", "-", "-", "life"},
	{"load-voltage", "!coil", "!coil", "!coil", "!coil"},
	{"resistor-power resistor-voltage rail-current", "o", "o", "o", "o"},
	{"isolation", "asked", "asked", "asked", "asked"},
	{"pwm-frequency", "pwm", "pwm", "pwm", "-"},
	{"heat-sink-live", "-", "sink", "sink", "-"},
	{"fuse-current fuse-start fuse-breaking", "fuse", "fuse", "fuse", "fuse"},
}

// owesSSR is the same of a solid-state relay.
var owesSSR = []struct{ checks, when string }{
	{"pin-current pin-voltage stays-off gate-drive gate-voltage blocking-voltage on-current junction-temperature holding-current waveform leakage", "o"},
	{"peak-current", "f"}, {"surge-energy", "f or fuse"},
	{"commutation clamp-voltage clamp-current clamp-energy clamp-power release-time", "i"},
	{"clamp-standoff", "i or varistor"},
	{"coil-pickup", "coil"}, {"load-voltage", "!coil"},
	{"resistor-power resistor-voltage rail-current", "o"},
	{"isolation", "asked"}, {"pwm-frequency", "pwm"}, {"heat-sink-live", "sink"}, {"capacitor-voltage", "snubber"},
	{"fuse-current fuse-start fuse-breaking", "fuse"},
}

// owedBy is what the table says of a topology, a load and a stage.
func owedBy(t testing.TB, topo string, l *load.Model, d *design.Design) map[design.CheckID]bool {
	t.Helper()
	yes := map[string]bool{
		"o": true, "-": false, "i": l.Inductive, "f": l.HasInrush || l.Inductive, "coil": l.Kind == job.Coil, "!coil": l.Kind != job.Coil,
		"asked": l.IsolationAsked, "life": l.Life.Known(), "pwm": l.Mode == "pwm", "fuse": l.FuseAsked || d.Choice.Fuse != "", "sink": d.Choice.HeatSink != "" || d.Half != nil && d.Half.Choice.HeatSink != "",
		"snubber": d.Choice.Snubber != "", "i or varistor": l.Inductive || l.Rail.AC && len(d.Choice.Clamp) > 0, "f or fuse": l.HasInrush || l.Inductive || l.FuseAsked || d.Choice.Fuse != "",
	}
	owed := map[design.CheckID]bool{}
	if topo == "ssr" || topo == "module ssr" {
		for _, row := range owesSSR {
			for _, name := range strings.Fields(row.checks) {
				id, ok := design.CheckByName(name)
				if !ok {
					t.Fatalf("no check %s", name)
				}
				owed[id] = yes[row.when]
			}
		}
		for id, is := range owed {
			if !is {
				delete(owed, id)
			}
		}
		return owed
	}
	for _, row := range owes {
		column, ok := map[string]string{"direct": row.direct, "npn-low": row.npn, "darlington-low": row.npn, "n-mosfet-low": row.mosfet, "n-mosfet-boosted": row.mosfet, "n-mosfet-parallel": row.mosfet, "pnp-high": row.npn, "p-mosfet-high": row.mosfet, "bridge": row.mosfet, "module": row.mosfet, "relay": row.relay, "module relay": row.relay, "relay latching": row.relay}[topo]
		if !ok {
			t.Fatalf("no column for %s", topo)
		}
		for _, name := range strings.Fields(row.checks) {
			id, ok := design.CheckByName(name)
			if !ok {
				t.Fatalf("no check %s", name)
			}
			if yes[column] {
				owed[id] = true
			}
		}
	}
	if topo == "relay latching" { // which no driver of its coils keeps off
		owed[design.StaysOff] = true
	}
	if topo == "module relay" { // an input in place of a driver, and a coil behind it
		for _, id := range [...]design.CheckID{design.PinCurrent, design.PinVoltage, design.StaysOff, design.GateDrive, design.GateVoltage, design.CoilPickup} {
			owed[id] = true
		}
	}
	if topo == "bridge" { // two sides that must not conduct at once, kept apart by a capacitor
		owed[design.ShootThrough], owed[design.CapacitorVoltage] = true, true
	}
	return owed
}

// Property 5: a design carries exactly the checks that its topology owes, made
// or said not to apply, and one that is knocked out is unproven by itself.
func TestEveryDesignCarriesWhatItOwes(t *testing.T) {
	pairs(t, 5, func(t testing.TB, g gen, s *study) {
		column := s.t.ID()
		if m, ok := s.sw.(*catalog.Module); ok && m.Switch != "n-mosfet" {
			column += " " + m.Switch
		}
		if topology.Of(s.t, s.sw) != s.t && s.sw.Kind() == catalog.KindRelay {
			column += " latching"
		}
		carries(t, s, column, s.m, s.d, owedBy(t, column, s.m, s.d))
		owed := topology.Of(s.t, s.sw).Owes(s.m)
		table := owedBy(t, column, s.m, s.d)
		for _, id := range owed {
			if !table[id] {
				t.Errorf("%s\nthe topology owes %s, the table does not say so", s, id)
			}
			delete(table, id)
		}
		for id := range table {
			late := id == design.HeatSinkLive || id == design.CapacitorVoltage || id == design.Leakage && s.t.ID() == "relay" ||
				id == design.ClampStandoff && s.m.Rail.AC
			if !late { // made with the sink, snubber or varistor, which is chosen late
				t.Errorf("%s\nthe table says %s, the topology does not owe it", s, id)
			}
		}
		out := oneOf(g, owed...)
		d := *s.d
		d.Checks = slices.DeleteFunc(slices.Clone(d.Checks), func(c design.Check) bool { return c.ID == out && c.Stage == design.StageSelf })
		d.NA = slices.DeleteFunc(slices.Clone(d.NA), func(c design.NotApplicable) bool { return c.ID == out && c.Stage == design.StageSelf })
		design.Complete(&d, owed)
		design.Conclude(&d)
		if c := checkOf(&d, out, design.StageSelf); c == nil || c.Verdict != design.Unproven || d.Verdict < design.Unproven {
			t.Errorf("%s\n%s knocked out: the design is %s, the check %s", s, out, d.Verdict, toldCheck(c))
		}
	})
}

func carries(t testing.TB, s *study, topo string, l *load.Model, d *design.Design, owed map[design.CheckID]bool) {
	t.Helper()
	made, na := map[design.CheckID]int{}, map[design.CheckID]int{}
	for i := range d.Checks {
		if d.Checks[i].Stage == design.StageSelf {
			made[d.Checks[i].ID]++
		}
	}
	for _, n := range d.NA {
		if n.Stage == design.StageSelf {
			na[n.ID]++
			if n.Why == "" {
				t.Errorf("%s\n%s does not apply, and nothing says why", s, n.ID)
			}
		}
	}
	for _, id := range design.CheckIDs() {
		switch {
		case made[id] > 1 || na[id] > 1 || made[id]+na[id] > 1:
			t.Errorf("%s\n%s: made %d times, said not to apply %d times", s, id, made[id], na[id])
		case owed[id] && made[id]+na[id] == 0:
			t.Errorf("%s\n%s owes %s and does not carry it", s, topo, id)
		case !owed[id] && made[id] > 0:
			t.Errorf("%s\n%s makes %s and does not owe it", s, topo, id)
		}
	}
	if d.Driver == nil {
		return
	}
	// The driver's own column: that of a relay for its coil, any other for the
	// resistance that it pulls down.
	driven := coilModel(l)
	if topo == "ssr" {
		driven.Kind, driven.Inductive = job.Signal, false
	} else if !strings.HasPrefix(topo, "relay") {
		driven.Kind, driven.Inductive, driven.Mode = job.Resistive, false, l.Mode
	}
	for id := range owedBy(t, d.Driver.Topology, driven, d.Driver) {
		c := checkOf(d, id, design.StageDriver)
		if c == nil && !slices.ContainsFunc(d.NA, func(n design.NotApplicable) bool { return n.ID == id && n.Stage == design.StageDriver }) {
			t.Errorf("%s\nthe driver %s owes %s and %s does not carry it", s, d.Driver.Topology, id, topo)
		}
	}
}

// coilModel is a coil as far as owing goes.
func coilModel(of *load.Model) *load.Model {
	m := &load.Model{}
	m.Kind, m.Inductive, m.Mode = job.Coil, true, "on-off"
	return m
}

// stricter is a policy that tightens p at random.
func (g gen) stricter(p *catalog.Policy) *catalog.Policy {
	s := *p
	s.Name = "stricter"
	for _, k := range []*float64{&s.V, &s.VGate, &s.I, &s.IPeak, &s.P, &s.PResistor, &s.VResistor, &s.VCapacitor, &s.IContact, &s.InrushContact, &s.Life, &s.Energy, &s.I2t, &s.IFuse,
		&s.VFET, &s.VDiode, &s.IDiode, &s.ISurgeDiode} {
		if g.chance(0.5) {
			*k *= g.flat(0.3, 1)
		}
	}
	if g.chance(0.5) {
		s.TjBelow += g.flat(0, 40)
	}
	if g.chance(0.5) {
		s.Overdrive *= g.flat(1, 3)
	}
	return &s
}

// Property 6: a policy only tightens.
func TestAPolicyOnlyTightens(t *testing.T) {
	none, err := catalog.PolicyByName("none")
	if err != nil {
		t.Fatal(err)
	}
	var mu sync.Mutex
	worse := map[string]int{}
	pairs(t, 6, func(t testing.TB, g gen, s *study) {
		under := func(p *catalog.Policy) *design.Design {
			in := *s.in
			in.Policy = p
			env := engine.EnvFor(&in, true)
			d := new(design.Design)
			s.t.Design(env, env.BareModel(&in.Job.Loads[0]), s.sw, s.as, d)
			return d
		}
		bare := under(none)
		was, wasName := bare, "none"
		var tries []*catalog.Policy
		for _, p := range catalog.Policies() {
			if p != none {
				tries = append(tries, p, g.stricter(p))
			}
		}
		for i, p := range tries {
			if i%2 == 0 { // each policy against the bare limits, its stricter one against it
				was, wasName = bare, "none"
			}
			d := under(p)
			if d.Verdict < was.Verdict {
				t.Errorf("%s\npolicy %s says %s, %s says %s:%v\n%+v", s, wasName, was.Verdict, p.Name, d.Verdict, better(was, d), p)
			}
			for i := range d.Checks {
				c := &d.Checks[i]
				if k := checkOf(was, c.ID, c.Stage); k != nil && c.Verdict < k.Verdict {
					t.Errorf("%s\npolicy %s: %s\npolicy %s: %s", s, wasName, toldCheck(k), p.Name, toldCheck(c))
				}
			}
			if d.Verdict > was.Verdict {
				mu.Lock()
				worse[p.Name]++
				mu.Unlock()
			}
			was, wasName = d, p.Name
		}
	})
	for _, p := range catalog.Policies() {
		if p != none && worse[p.Name] == 0 && !testing.Short() {
			t.Errorf("policy %s never changed a verdict: the test shows nothing of it", p.Name)
		}
	}
}
