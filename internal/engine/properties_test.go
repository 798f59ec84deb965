package engine_test

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"math"
	"math/rand/v2"
	"reflect"
	"strconv"
	"strings"
	"sync/atomic"
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/sheet"
)

// jobs calls f with random jobs, as many as a property tries.
func jobs(t *testing.T, property uint64, f func(r *rand.Rand, in *engine.Input)) {
	t.Helper()
	seed, refused := pairSeed(t), 0
	for n := range engine.Trials() {
		r := rand.New(rand.NewPCG(seed<<32|property<<24, uint64(n)))
		in, ok := engine.RandomInput(r)
		if !ok {
			refused++
			continue
		}
		f(r, in)
		if t.Failed() {
			t.Fatalf("seed %d, job %d:\n%s", seed, n, job.Encode(in.Spec))
		}
	}
	if refused > engine.Trials()/2 {
		t.Errorf("%d of %d random jobs are refused: the test shows little", refused, engine.Trials())
	}
}

// assess answers a job with all that a result holds, and its bytes.
func assess(t *testing.T, in *engine.Input, n int) (*engine.Result, []byte) {
	t.Helper()
	res, err := engine.Assess(context.Background(), in, engine.Options{Workers: n})
	if err != nil {
		t.Fatal(err)
	}
	text, err := json.Marshal(res)
	if err != nil {
		t.Fatal(err)
	}
	return res, text
}

// workers are the numbers of workers that properties try.
var workers = []int{1, 2, 7}

func shuffled[T any](r *rand.Rand, of []T) []T {
	s := append([]T(nil), of...)
	r.Shuffle(len(s), func(i, j int) { s[i], s[j] = s[j], s[i] })
	return s
}

// shuffledCatalog is the catalogue with its parts in another order.
func shuffledCatalog(r *rand.Rand, c *catalog.Catalog) *catalog.Catalog {
	s := *c
	s.Packages = shuffled(r, c.Packages)
	s.BJTs, s.MOSFETs, s.Relays = shuffled(r, c.BJTs), shuffled(r, c.MOSFETs), shuffled(r, c.Relays)
	s.SSRs, s.Modules, s.Arrays = shuffled(r, c.SSRs), shuffled(r, c.Modules), shuffled(r, c.Arrays)
	s.Diodes, s.Zeners, s.TVSs, s.MOVs = shuffled(r, c.Diodes), shuffled(r, c.Zeners), shuffled(r, c.TVSs), shuffled(r, c.MOVs)
	s.Resistors, s.Capacitors, s.HeatSinks = shuffled(r, c.Resistors), shuffled(r, c.Capacitors), shuffled(r, c.HeatSinks)
	s.Insulators, s.Fuses, s.Limiters = shuffled(r, c.Insulators), shuffled(r, c.Fuses), shuffled(r, c.Limiters)
	return &s
}

// reordered is the same question with its parts and loads in another order.
func reordered(t *testing.T, r *rand.Rand, in *engine.Input) *engine.Input {
	t.Helper()
	spec := job.Clone(in.Spec)
	spec.Loads = shuffled(r, spec.Loads)
	j, errs := job.Resolve(spec)
	if errs.Fatal() {
		t.Fatalf("refused with its loads in another order: %v", errs)
	}
	return &engine.Input{Job: j, Spec: spec, Catalog: shuffledCatalog(r, in.Catalog), Policy: in.Policy}
}

// Property 8: neither the order of parts and loads nor the number of workers
// changes a byte of an answer.
func TestOrderAndWorkersChangeNothing(t *testing.T) {
	jobs(t, 8, func(r *rand.Rand, in *engine.Input) {
		res, want := assess(t, in, 1)
		n := workers[r.IntN(len(workers))]
		again, got := assess(t, reordered(t, r, in), n)
		if !bytes.Equal(got, want) {
			t.Errorf("with %d workers, parts and loads in another order: %s", n, difference(got, want))
		}
		first, err := sheet.JSON(res, nil)
		if err != nil {
			t.Fatal(err)
		}
		if printed, err := sheet.JSON(again, nil); err != nil || !bytes.Equal(printed, first) {
			t.Errorf("with %d workers the printed JSON differs: %v, %s", n, err, difference(printed, first))
		}
		for _, row := range randomRows(r, res, 1) {
			a, b := detail(t, in, row.Key), detail(t, reordered(t, r, in), row.Key)
			if !reflect.DeepEqual(a, b) {
				x, _ := json.Marshal(a)
				y, _ := json.Marshal(b)
				t.Errorf("%s in detail with parts and loads in another order: %s", row.Key, difference(y, x))
			}
		}
	})
}

// difference is where two texts first differ.
func difference(got, want []byte) string {
	i := 0
	for i < min(len(got), len(want)) && got[i] == want[i] {
		i++
	}
	cut := func(b []byte) string { return string(b[min(max(0, i-120), len(b)):min(i+120, len(b))]) }
	return "\n" + cut(got) + "\nwanted\n" + cut(want)
}

// randomRows are some rows of any load, none where no load has a row.
func randomRows(r *rand.Rand, res *engine.Result, n int) (some []engine.Row) {
	var all []engine.Row
	for i := range res.Loads {
		all = append(all, res.Loads[i].Rows...)
	}
	for range n {
		if len(all) > 0 {
			some = append(some, all[r.IntN(len(all))])
		}
	}
	return some
}

func detail(t *testing.T, in *engine.Input, key string) *engine.Detailed {
	t.Helper()
	det, err := engine.Detail(context.Background(), in, key)
	if err != nil {
		t.Fatalf("%s: %v", key, err)
	}
	return det
}

// errStopped is what the context of a stopped call says.
var errStopped = errors.New("stopped")

// countdown is a context that ends after it was asked a number of times.
type countdown struct {
	context.Context
	left atomic.Int64
}

func (c *countdown) Err() error {
	if c.left.Add(-1) < 0 {
		return errStopped
	}
	return nil
}

func stopAfter(n int64) *countdown {
	c := &countdown{Context: context.Background()}
	c.left.Store(n)
	return c
}

// Property 8: a call that is cancelled at any moment gives the context's error
// and no answer; one that is not gives the same answer as ever.
func TestCancelledAtAnyMoment(t *testing.T) {
	stopped, whole := 0, 0
	jobs(t, 18, func(r *rand.Rand, in *engine.Input) {
		res, want := assess(t, in, 1)
		w := workers[r.IntN(len(workers))]
		asks := stopAfter(math.MaxInt64)
		if _, err := engine.Assess(asks, in, engine.Options{Workers: w}); err != nil {
			t.Fatal(err)
		}
		n := 2 * (math.MaxInt64 - asks.left.Load()) // every other call gets to its end
		got, err := engine.Assess(stopAfter(r.Int64N(n)), in, engine.Options{Workers: w})
		switch {
		case errors.Is(err, errStopped) && got == nil:
			stopped++
		case err != nil || got == nil:
			t.Errorf("with %d workers: error %v, result %v", w, err, got != nil)
		default:
			whole++
			if text, err := json.Marshal(got); err != nil || !bytes.Equal(text, want) {
				t.Errorf("with %d workers: %s", w, difference(text, want))
			}
		}
		for _, row := range randomRows(r, res, 1) {
			det, err := engine.Detail(stopAfter(r.Int64N(10)), in, row.Key)
			if (err == nil) != (det != nil) || err != nil && !errors.Is(err, errStopped) {
				t.Errorf("%s in detail: error %v, design %v", row.Key, err, det != nil)
			}
		}
	})
	if stopped == 0 || whole == 0 {
		t.Errorf("%d calls were stopped, %d were not: the test shows nothing", stopped, whole)
	}
}

// Property 8: a row is the projection of its detail.
func TestRowIsItsDetailInShort(t *testing.T) {
	jobs(t, 28, func(r *rand.Rand, in *engine.Input) {
		res, _ := assess(t, in, 1)
		for _, row := range randomRows(r, res, 3) {
			det := detail(t, in, row.Key)
			row.Frontier = det.Row.Frontier // that of a row among others
			if !reflect.DeepEqual(det.Row, row) {
				t.Errorf("the row\n%+v\nand its detail\n%+v", row, det.Row)
			}
			d := det.Design
			if d.Verdict != row.Verdict || d.Headroom != row.Headroom || d.Key() != row.Key {
				t.Errorf("%s: the row says %s %v, the design %s %v", row.Key, row.Verdict, row.Headroom, d.Verdict, d.Headroom)
			}
			if row.Limiting == nil != (d.Limiting < 0) || row.Limiting != nil && row.Limiting.ID != d.Checks[d.Limiting].ID {
				t.Errorf("%s: the row is limited by %v, the design by %d", row.Key, row.Limiting, d.Limiting)
			}
			finiteAll(t, row.Key, reflect.ValueOf(det).Elem(), "detail")
		}
	})
}

// Property 10: a job that is written out and read back is the same job.
func TestJobTextRoundTrips(t *testing.T) {
	jobs(t, 10, func(r *rand.Rand, in *engine.Input) {
		text := job.Encode(in.Spec)
		spec, j, errs := job.Read("random.toml", text)
		if errs.Fatal() {
			t.Errorf("what was written is refused: %v", errs)
			return
		}
		if again := job.Encode(spec); !bytes.Equal(again, text) {
			t.Errorf("written again: %s", difference(again, text))
		}
		if job.Digest(spec) != job.Digest(in.Spec) {
			t.Error("the digest changed on the way")
		}
		j.Digest = in.Job.Digest
		if !reflect.DeepEqual(j, in.Job) {
			t.Errorf("the job read back\n%+v\nand before\n%+v", j, in.Job)
		}
	})
}

// packagesOnly are the embedded packages as a file, for parts read alone.
func packagesOnly(t *testing.T) catalog.Source {
	t.Helper()
	all, err := catalog.EmbeddedSources()
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range all {
		if strings.Contains(string(s.Text), "\n[[package]]") {
			return s
		}
	}
	t.Fatal("no file of packages")
	return catalog.Source{}
}

// Property 10: a part that is written out and read back is the same part, also
// with figures of any number of digits.
func TestPartTextRoundTrips(t *testing.T) {
	packages, read := packagesOnly(t), 0
	parts := embedded(t).Parts()
	for n := range engine.Trials() {
		r := rand.New(rand.NewPCG(pairSeed(t), uint64(n)))
		p := catalog.Clone(parts[r.IntN(len(parts))])
		p.Base().ID = "mine-" + strconv.Itoa(n)
		figs := catalog.Figures(p)
		for range 3 {
			if len(figs) > 0 {
				figs[r.IntN(len(figs))].Scale(1 + 0.05*r.Float64())
			}
		}
		text := catalog.Encode(p)
		c, errs := catalog.Load([]catalog.Source{packages, {Name: "mine.toml", Text: text}})
		if errs.Fatal() {
			continue // its figures contradict one another now
		}
		back, ok := c.Part(p.Base().ID)
		if !ok {
			t.Fatalf("lost:\n%s", text)
		}
		read++
		if again := catalog.Encode(back); !bytes.Equal(again, text) || !reflect.DeepEqual(back, p) {
			t.Errorf("%s read back: %s", p.Base().ID, difference(again, text))
		}
	}
	if read < engine.Trials()/4 {
		t.Errorf("only %d of %d parts could be read: the test shows little", read, engine.Trials())
	}
}

// Property 10: no printed headroom contradicts the verdict beside it, of a
// design, of its checks, and on a policy's edge.
func TestPrintedHeadroomSaysWhatTheVerdictSays(t *testing.T) {
	shown := map[design.Verdict]int{}
	jobs(t, 110, func(r *rand.Rand, in *engine.Input) {
		res, _ := assess(t, in, 1)
		for i := range res.Loads {
			for k := range res.Loads[i].Rows {
				row := &res.Loads[i].Rows[k]
				printedAgrees(t, row.Key, row.Verdict, row.Headroom)
				shown[row.Verdict]++
			}
		}
		for _, row := range randomRows(r, res, 1) {
			det := detail(t, in, row.Key)
			for i := range det.Design.Checks {
				nearTheEdge(t, row.Key, det.Design.Checks[i])
			}
		}
	})
	for _, v := range []design.Verdict{design.Fits, design.Tight, design.Unproven, design.Over} {
		if shown[v] == 0 {
			t.Errorf("no design was %s: the test shows little", v)
		}
	}
}

// nearTheEdge holds a check as it is, and with its stress brought close to what
// is allowed and to what is guaranteed.
func nearTheEdge(t *testing.T, key string, c design.Check) {
	t.Helper()
	printedAgrees(t, key+" "+toldCheck(&c), c.Verdict, c.Headroom)
	if !c.Rating.OK || !c.Stress.OK || !c.Allowed.OK {
		return
	}
	for _, at := range []float64{c.Allowed.V, c.Rating.V} {
		for _, near := range []float64{-1e-3, -1e-9, -1e-13, 0, 1e-13, 1e-9, 1e-3} {
			c.Stress.V = at * (1 + near)
			design.Judge(&c)
			printedAgrees(t, key+" "+toldCheck(&c), c.Verdict, c.Headroom)
		}
	}
}

func printedAgrees(t *testing.T, what string, v design.Verdict, h design.Number) {
	t.Helper()
	text := sheet.Headroom(h)
	if text == "--" {
		if h.OK {
			t.Errorf("%s is %s, its headroom %v prints nothing", what, v, h)
		}
		return
	}
	printed, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatalf("%s: headroom prints %q", what, text)
	}
	if (v == design.Fits) != (printed >= 1) || v == design.Unproven {
		t.Errorf("%s is %s and prints a headroom of %s", what, v, text)
	}
	if printed > h.V*(1+1e-12) {
		t.Errorf("%s: headroom %v prints more, %s", what, h.V, text)
	}
}
