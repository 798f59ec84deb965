package topology

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/job"
	q "example.org/pinhoist/internal/quantity"
)

// sameStage compares a design with one that ought to be it.
func sameStage(t *testing.T, what string, d, again *design.Design) {
	t.Helper()
	if d.Verdict != again.Verdict || d.Headroom != again.Headroom || d.Cost.Amount != again.Cost.Amount || len(d.BOM) != len(again.BOM) || len(d.Checks) != len(again.Checks) {
		t.Errorf("%s, %s: %v %v %v, was %v %v %v\n%s\n%s", d.Key(), what, again.Verdict, again.Headroom, again.Cost.Amount, d.Verdict, d.Headroom, d.Cost.Amount, verdicts(d), verdicts(again))
		return
	}
	for i := range d.Checks {
		x, y := &d.Checks[i], &again.Checks[i]
		if x.ID != y.ID || x.Stage != y.Stage || x.Verdict != y.Verdict || x.Stress != y.Stress || x.Rating != y.Rating {
			t.Errorf("%s, %s: %s %s was %v of %v, is %v of %v", d.Key(), what, x.Stage, x.ID, x.Stress, x.Rating, y.Stress, y.Rating)
		}
	}
}

// strangeBench is the bench of a job of figures that nobody may have; ok is false for
// one that is refused.
func strangeBench(t *testing.T, cat *catalog.Catalog, text string) (b bench, ok bool) {
	t.Helper()
	spec, errs := job.Decode("strange.toml", []byte("schema = 1\n"+text))
	if errs.Fatal() {
		t.Fatal(errs)
	}
	if _, errs = job.Resolve(spec); errs.Fatal() {
		return b, false
	}
	return benchOn(t, cat, text), true
}

// allNumbers holds that a design has no number that is none.
func allNumbers(t *testing.T, d *design.Design, text string) {
	t.Helper()
	for i := range d.Checks {
		if c := &d.Checks[i]; c.Because == design.NotANumber {
			t.Errorf("%s %s %s is not a number\n%s", d.Key(), c.Stage, c.ID, text)
		}
	}
	for _, v := range d.Values {
		if math.IsNaN(v.V) || math.IsInf(v.V, 0) {
			t.Errorf("%s: %s = %g\n%s", d.Key(), v.Key, v.V, text)
		}
	}
}

// poorer are parts with a figure less.
var poorer = []func(*catalog.MOSFET){
	func(p *catalog.MOSFET) { p.QGDMax = q.Opt[q.Coulomb]{} },
	func(p *catalog.MOSFET) { p.QGMax = nil },
	func(p *catalog.MOSFET) { p.BodyDiode = nil },
	func(p *catalog.MOSFET) { p.VGSThSlope = q.Opt[q.VoltPerKelvin]{} },
	func(p *catalog.MOSFET) { p.SOA = nil },
	func(p *catalog.MOSFET) { p.IDMMax = q.Opt[q.Amp]{} },
	func(p *catalog.MOSFET) { p.IDSSMax = nil },
	func(p *catalog.MOSFET) { p.FosterJC = nil },
	func(p *catalog.MOSFET) { p.RthJC = q.Opt[q.KelvinPerWatt]{} },
}

// Figures far from what anybody builds give a verdict, never a number that is none;
// a stage made again as it is is the same; a row is its design in short; and no
// figure less makes it fit.
func TestStrangeBridgesAndModules(t *testing.T) {
	cat, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	r := rand.New(rand.NewPCG(4, 4))
	pick := func(of ...string) string { return of[r.IntN(len(of))] }
	decades := func(lo, hi float64) float64 { return lo * math.Pow(hi/lo, r.Float64()) }
	near := func() bool { return r.IntN(3) > 0 } // a job as somebody may have
	designs, fits, tries := 0, 0, 1200
	if testing.Short() {
		tries = 300
	}
	for range tries {
		pin, volts, amps := decades(0.9, 30), decades(0.5, 59), decades(1e-6, 1e3)
		if near() {
			pin, volts, amps = []float64{3.3, 5, 5, 24}[r.IntN(4)], []float64{5, 12, 12, 24, 36}[r.IntN(5)], decades(0.02, 1)
		}
		text := fmt.Sprintf("[pin]\nsupply = \"%g V\"\nsupply_tolerance = \"%s\"\nat_reset = \"%s\"\noutput = \"%s\"\n",
			pin, pick("0 %", "5 %", "5 %", "50 %"), pick("unknown", "floating", "pull-up", "low", "high"), pick("push-pull", "push-pull", "open-drain")) +
			fmt.Sprintf("[environment]\nambient_max = \"%d C\"\n", 30+r.IntN(50)) +
			fmt.Sprintf("[[rail]]\nname = \"b\"\nvoltage = \"%g V\"\ntolerance = \"%s\"\n", volts, pick("0 %", "10 %", "10 %", "100 %")) +
			fmt.Sprintf("[[load]]\nname = \"x\"\nkind = \"motor\"\nrail = \"b\"\ncurrent = \"%g A\"\n", amps)
		if r.IntN(3) > 0 {
			text += "reversing = true\n"
		}
		if r.IntN(3) > 0 {
			text += fmt.Sprintf("stall_current = \"%g A\"\n", amps*decades(1, 10))
		}
		if r.IntN(2) == 0 {
			text += fmt.Sprintf("stall_time = \"%g s\"\n", decades(1e-3, 10))
		}
		if r.IntN(2) == 0 {
			text += fmt.Sprintf("inductance = \"%g H\"\nrelease_within = \"%g s\"\nmechanical_release_time = \"1 ms\"\n", decades(1e-7, 10), decades(1e-4, 1))
		}
		if r.IntN(4) == 0 {
			text += fmt.Sprintf("mode = \"pwm\"\npwm_frequency = \"%g Hz\"\n", decades(0.01, 1e6))
		}
		b, ok := strangeBench(t, cat, text)
		if !ok {
			continue
		}
		brief := *b.env
		brief.Brief = true
		switches := cat.Switches()
		for range 12 {
			sw := switches[r.IntN(len(switches))]
			for _, top := range []Topology{bridge{}, module{}} {
				if top.Serves(b.env, b.m, sw) != "" {
					continue
				}
				designs++
				given := &Given{}
				if r.IntN(4) == 0 {
					given.RPulldown = GivenResistor{Said: true, None: r.IntN(3) == 0, Ohms: decades(1e-3, 1e9), Tol: 0.05}
					given.RGate = GivenResistor{Said: true, None: r.IntN(3) == 0, Ohms: decades(1e-3, 1e9), Tol: 0.2}
				}
				d, again := new(design.Design), new(design.Design)
				top.Design(b.env, b.m, sw, given, d)
				if d.Verdict == design.Fits {
					fits++
				}
				allNumbers(t, d, text)
				top.Design(&brief, b.m, sw, given, again)
				sameStage(t, "in short", d, again)
				if d.Verdict == design.Fits { // else what is chosen may be at the edge of nothing
					top.Design(b.env, b.m, sw, Freeze(d), again)
					sameStage(t, "made again", d, again)
				}
				less := catalog.Clone(sw)
				m, _ := less.(*catalog.MOSFET)
				if mod, ok := less.(*catalog.Module); ok {
					m = mod.MOSFET
				}
				if m == nil {
					continue
				}
				poorer[r.IntN(len(poorer))](m)
				top.Design(b.env, b.m, less, given, again)
				if again.Verdict < d.Verdict && again.Verdict == design.Fits {
					t.Errorf("%s fits with a figure less\n%s\n%s", d.Key(), verdicts(d), text)
				}
			}
		}
	}
	if designs < tries/4 || fits < tries/120 {
		t.Errorf("only %d designs, %d that fit", designs, fits)
	}
}
