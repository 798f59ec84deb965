package engine

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/load"
	"example.org/pinhoist/internal/topology"
)

// benchInput is a question about the embedded catalogue under the usual policy.
func benchInput(b testing.TB, spec *job.Spec) *Input {
	b.Helper()
	j, errs := job.Resolve(spec)
	if errs.Fatal() {
		b.Fatal(errs)
	}
	pol, err := catalog.PolicyByName("bench")
	if err != nil {
		b.Fatal(err)
	}
	return &Input{Job: j, Spec: spec, Catalog: embedded(b), Policy: pol}
}

// benchJob is a job of one load below its rails.
func benchJob(b testing.TB, body string) *job.Spec {
	b.Helper()
	spec, errs := job.Decode("bench.toml", []byte("schema = 1\n[[rail]]\nname = \"main\"\nvoltage = \"12 V\"\ntolerance = \"10 %\"\n"+
		"[[rail]]\nname = \"coils\"\nvoltage = \"24 V\"\n[[load]]\nname = \"it\"\n"+body))
	if errs.Fatal() {
		b.Fatal(errs)
	}
	return spec
}

// benchLoads are what rows are timed for.
func benchLoads(b testing.TB) []struct {
	name string
	spec *job.Spec
} {
	return []struct {
		name string
		spec *job.Spec
	}{
		{"latch", job.Demo()},
		{"heater", benchJob(b, "kind = \"resistive\"\nrail = \"main\"\ncurrent = \"0.5 A\"\n")},
		{"lamp", benchJob(b, "kind = \"lamp\"\nrail = \"main\"\ncurrent = \"0.5 A\"\n")},
		{"capacitor", benchJob(b, "kind = \"capacitive\"\nrail = \"main\"\ncurrent = \"0.2 A\"\ncapacitance = \"220 uF\"\nesr = \"1 ohm\"\n")},
		{"motor-pwm", benchJob(b, "kind = \"motor\"\nrail = \"main\"\ncurrent = \"0.5 A\"\nstall_current = \"2 A\"\nstall_time = \"1 s\"\ninductance = \"2 mH\"\nmode = \"pwm\"\npwm_frequency = \"1 kHz\"\n")},
		{"motor-reversing", benchJob(b, "kind = \"motor\"\nrail = \"main\"\ncurrent = \"0.5 A\"\nreversing = true\nstall_current = \"2 A\"\nstall_time = \"0.2 s\"\ninductance = \"2 mH\"\n")},
		{"ac-motor", benchJob(b, "kind = \"ac-motor\"\nsupply = \"230 V\"\nsupply_tolerance = \"10 %\"\nfrequency = \"50 Hz\"\ncurrent = \"1 A\"\n")},
		{"ac-coil", benchJob(b, "kind = \"ac-coil\"\nsupply = \"24 V\"\nsupply_tolerance = \"10 %\"\nfrequency = \"50 Hz\"\ncurrent = \"0.25 A\"\n")},
		{"electronic", benchJob(b, "kind = \"electronic\"\nrail = \"main\"\ncurrent = \"0.5 A\"\n")},
		{"motor-reversing-bare", benchJob(b, "kind = \"motor\"\nrail = \"main\"\ncurrent = \"0.5 A\"\nreversing = true\nstall_current = \"2 A\"\nstall_time = \"0.2 s\"\n")},
	}
}

// usedBy are the switches of a topology that serve a load.
func usedBy(r *run, t topology.Topology, m *load.Model) (parts []catalog.Part) {
	for _, sw := range r.switches {
		if t.Serves(r.env, m, sw) == "" {
			parts = append(parts, sw)
		}
	}
	return parts
}

func median(d []time.Duration) time.Duration {
	slices.Sort(d)
	return d[len(d)/2]
}

// BenchmarkRow is a row of one part at all its corners, with what depends on the
// load alone worked out before: the median over the parts of the embedded
// catalogue.
func BenchmarkRow(b *testing.B) {
	for _, t := range topology.All() {
		for _, l := range benchLoads(b) {
			b.Run(t.ID()+"/"+l.name, func(b *testing.B) { benchRow(b, t, benchInput(b, l.spec)) })
		}
	}
}

func benchRow(b *testing.B, t topology.Topology, in *Input) {
	r := newRun(in, true)
	m := r.env.Model(r.loads[0])
	parts := usedBy(r, t, m)
	if len(parts) == 0 {
		b.Skip("the topology serves no part for this load")
	}
	var d design.Design
	var row Row
	make1 := func(sw catalog.Part) {
		t.Design(r.env, m, sw, &topology.Given{}, &d)
		row = r.row(&d, t, sw)
	}
	for _, sw := range parts {
		make1(sw) // coils and menus are worked out once
	}
	var took []time.Duration
	least := slices.Repeat([]time.Duration{math.MaxInt64}, len(parts)) // of each part: what a machine without other work needs
	b.ReportAllocs()
	for b.Loop() {
		for i, sw := range parts {
			from := time.Now()
			make1(sw)
			t := time.Since(from)
			took, least[i] = append(took, t), min(least[i], t)
		}
	}
	micros := func(d time.Duration) float64 { return float64(d.Nanoseconds()) / 1e3 }
	b.ReportMetric(micros(median(took)), "us/row-median")
	b.ReportMetric(micros(took[len(took)*9/10]), "us/row-p90")
	b.ReportMetric(micros(median(least)), "us/row-least-median")
	b.ReportMetric(float64(len(parts)), "rows")
	runtime.KeepAlive(row)
}

// BenchmarkRelayRowCold is a relay's row where nothing is remembered of any
// coil: its driver is searched first.
func BenchmarkRelayRowCold(b *testing.B) {
	in := benchInput(b, job.Demo())
	t, all := relayTopology(b), []time.Duration(nil)
	parts := usedBy(newRun(in, true), t, newRun(in, true).env.BareModel(&in.Job.Loads[0]))
	for b.Loop() {
		for _, sw := range parts {
			r := newRun(in, true)
			m := r.env.Model(r.loads[0])
			var d design.Design
			from := time.Now()
			t.Design(r.env, m, sw, &topology.Given{}, &d)
			all = append(all, time.Since(from))
		}
	}
	b.ReportMetric(float64(median(all).Nanoseconds())/1e3, "us/row-median")
}

func relayTopology(b testing.TB) topology.Topology {
	b.Helper()
	all := topology.All()
	i := slices.IndexFunc(all, func(t topology.Topology) bool { return t.ID() == "relay" })
	if i < 0 {
		b.Fatal("no topology relay")
	}
	return all[i]
}

// BenchmarkDetail is one design in full: checks, fixes, load factor, missing
// figures and promises. For each topology the first design that fits and the
// first that is over.
func BenchmarkDetail(b *testing.B) {
	loads := append(benchLoads(b), struct {
		name string
		spec *job.Spec
	}{"led-on-pin", benchJob(b, "kind = \"led\"\nrail = \"pin\"\ncurrent = \"5 mA\"\n")})
	for _, l := range loads {
		in := benchInput(b, l.spec)
		res, err := Assess(context.Background(), in, Options{})
		if err != nil {
			b.Fatal(err)
		}
		for _, t := range topology.All() {
			for _, v := range []design.Verdict{design.Fits, design.Over} {
				i := slices.IndexFunc(res.Loads[0].Rows, func(r Row) bool { return r.Topology == t.ID() && r.Verdict == v })
				if i < 0 {
					continue
				}
				key := res.Loads[0].Rows[i].Key
				b.Run(fmt.Sprintf("%s/%s/%s", t.ID(), l.name, v), func(b *testing.B) {
					b.ReportAllocs()
					for b.Loop() {
						if _, err := Detail(context.Background(), in, key); err != nil {
							b.Fatal(err)
						}
					}
				})
			}
		}
	}
}

// BenchmarkAssess is every row of a job over the embedded catalogue.
func BenchmarkAssess(b *testing.B) {
	for _, l := range benchLoads(b) {
		in := benchInput(b, l.spec)
		b.Run(l.name, func(b *testing.B) { benchAssess(b, in) })
	}
}

// benchAssess tells beside the time of the clock the least of it, and that of the
// processors, which other work on the same machine lengthens less.
func benchAssess(b *testing.B, in *Input) {
	b.ReportAllocs()
	cpu, least := time.Duration(math.MaxInt64), time.Duration(math.MaxInt64)
	for b.Loop() {
		from, spent := time.Now(), processorTime(b)
		if _, err := Assess(context.Background(), in, Options{}); err != nil {
			b.Fatal(err)
		}
		least, cpu = min(least, time.Since(from)), min(cpu, processorTime(b)-spent)
	}
	b.ReportMetric(least.Seconds()*1e3, "least-ms")
	b.ReportMetric(cpu.Seconds()*1e3, "least-cpu-ms")
}

func processorTime(b *testing.B) time.Duration {
	b.Helper()
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		b.Fatal(err)
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// manyParts is how many parts a large catalogue has.
const manyParts = 10000

// generated is the text of a catalogue of manyParts parts: those parts of the
// embedded one that are wanted, again and again, each with an id and a price of
// its own and some figures a little off, such that the lint has no objection.
func generated(b *testing.B, wanted []catalog.Part) []byte {
	b.Helper()
	r := rand.New(rand.NewPCG(1, 2))
	var text bytes.Buffer
	fmt.Fprintf(&text, "schema = 1\ncurrency = %q\n", embedded(b).Currency)
	packages := strings.Split(string(packageText(b)), "[[package]]")
	for n := 0; n < manyParts; {
		p := vary(r, catalog.Clone(wanted[n%len(wanted)]), n)
		one := catalog.Encode(p)
		itsOwn := "schema = 1\n"
		if i := slices.IndexFunc(packages, func(s string) bool { return strings.Contains(s, fmt.Sprintf("name = %q\n", p.Base().Package)) }); i >= 0 {
			itsOwn += "[[package]]" + packages[i]
		}
		if _, errs := catalog.Load([]catalog.Source{{Name: "a.toml", Text: []byte(itsOwn)}, {Name: "b.toml", Text: one}}); errs.Fatal() {
			continue
		}
		_, body, _ := strings.Cut(string(one), "\n\n")
		text.WriteString("\n" + body)
		n++
	}
	return text.Bytes()
}

// packageText is the file of the embedded packages.
func packageText(b testing.TB) []byte {
	b.Helper()
	sources, err := catalog.EmbeddedSources()
	if err != nil {
		b.Fatal(err)
	}
	i := slices.IndexFunc(sources, func(s catalog.Source) bool { return bytes.Contains(s.Text, []byte("\n[[package]]")) })
	if i < 0 {
		b.Fatal("no file of packages")
	}
	return sources[i].Text
}

// vary gives a part an id, a price and some figures of its own.
func vary(r *rand.Rand, p catalog.Part, n int) catalog.Part {
	c := p.Base()
	c.ID = fmt.Sprintf("%s-%d", c.ID, n)
	if c.Price != nil {
		c.Price.Amount = float64(int(c.Price.Amount*(0.5+1.5*r.Float64())*1e4)) / 1e4
	}
	figs := catalog.Figures(p)
	for range min(3, len(figs)) {
		figs[r.IntN(len(figs))].Scale(0.9 + 0.2*r.Float64())
	}
	return p
}

// BenchmarkManyParts is the demo load over 10,000 parts that are decoded already:
// of the switches alone, beside the embedded helpers, and of every kind of part.
// It tells the heap that a result holds for each row, and the catalogue for each
// part.
func BenchmarkManyParts(b *testing.B) {
	sources, err := catalog.EmbeddedSources()
	if err != nil {
		b.Fatal(err)
	}
	text := generated(b, embedded(b).Switches())
	benchMany(b, append(slices.Clone(sources), catalog.Source{Name: "many.toml", Text: text}))
}

func benchMany(b *testing.B, sources []catalog.Source) {
	before := heap()
	cat, errs := catalog.Load(sources)
	if errs.Fatal() {
		b.Fatal(errs)
	}
	errs = nil
	perPart := float64(heap()-before) / float64(cat.Len())
	runtime.KeepAlive(sources) // the text stood on the heap before too
	in := benchInput(b, job.Demo())
	in.Catalog = cat
	before = heap()
	res, err := Assess(context.Background(), in, Options{})
	if err != nil {
		b.Fatal(err)
	}
	rows := len(res.Loads[0].Rows)
	perRow := float64(heap()-before) / float64(rows)
	runtime.KeepAlive(res)
	res = nil
	b.ResetTimer()
	benchAssess(b, in)
	b.ReportMetric(float64(cat.Len()), "parts")
	b.ReportMetric(float64(rows), "rows")
	b.ReportMetric(perPart, "B/part")
	b.ReportMetric(perRow, "B/row")
}

// heap is what is alive on it, in bytes.
func heap() int64 {
	runtime.GC()
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return int64(m.HeapAlloc)
}
