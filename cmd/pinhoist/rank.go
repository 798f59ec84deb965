package main

import (
	"context"
	"fmt"
	"runtime"
	"strconv"
	"strings"
	"sync"

	"github.com/spf13/cobra"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/quantity"
	"example.org/pinhoist/internal/sheet"
)

// shortEnough is the rows of a load that fit a screen of a person who reads them;
// other programs get all.
const shortEnough = 20

// mostTypes is as many types of part as a pick may be asked to keep to.
const mostTypes = 1000

// ranking is the flags of rank beside those of every task.
type ranking struct {
	all, isolated, inStock bool
	order, kind, side      string
	pkg, mount             string
	maxCost, words         string
	wish                   engine.Wish
}

func (a *app) rankCommand() *cobra.Command {
	t, r := &task{app: a}, &ranking{}
	c := &cobra.Command{
		Use:   "rank [JOB]",
		Short: "List the designs for a job, best first",
		Long: `rank designs a stage around every part that could serve each load of JOB, checks
it in its worst case and lists what fits, best first. JOB is a file, - for
standard input, or nothing for the built-in job. The first 20 are listed and
what would fail is counted; --all lists everything. Where nothing fits, the list
says what stands in the way.

With several loads the cheapest pick for all of them follows, one design each,
such that pins, groups of pins and rails bear all at once, with a table of what
fewer types of switching part cost. --types, --stocked and --headroom ask more
of that pick; where nothing keeps them, what breaks it is told and the least
that would do. The lists above it stay as they are.

A job in short (pinhoist demo prints a longer one):

  schema = 1
  [pin]                     # optional; a 5 V pin of 20 mA unless said
  supply = "3.3 V"
  [[load]]
  name = "valve"
  kind = "solenoid"         # resistive, led, lamp, motor, coil, ...
  supply = "24 V"
  power = "6 W"             # or current, or resistance

Exit codes: 0 every load has a design that fits (a stage as built: its own),
1 not so, 2 bad input.`,
		Example: "  pinhoist rank\n  pinhoist rank bench.toml --order headroom\n  pinhoist rank bench.toml --kind mosfet --max-cost 0.50 --format csv\n  pinhoist rank machine.toml --types 3 --headroom 1.5",
		Args:    oneJob, ValidArgsFunction: tomlFiles,
		RunE: func(_ *cobra.Command, args []string) error { return t.rankWith(r, jobArg(args)) },
	}
	t.inputFlags(c)
	t.formatFlag(c, "text, json, csv or markdown")
	t.colourFlag(c)
	f := c.Flags()
	f.BoolVar(&r.all, "all", false, "list everything, designs that are over too")
	f.StringVar(&r.order, "order", "cost", "rank by `WHAT`: cost, headroom, heat, parts or turn-off")
	f.StringVar(&r.kind, "kind", "", "only switches of `KIND`: bjt, mosfet, relay, ssr, module, array or pin")
	f.StringVar(&r.side, "side", "", "only designs on the `SIDE`: low or high")
	f.BoolVar(&r.isolated, "isolated", false, "only designs that separate load and logic")
	f.StringVar(&r.pkg, "package", "", "only switches in this `PACKAGE`")
	f.StringVar(&r.mount, "mount", "", "only switches for this `MOUNT`: through-hole, surface, panel or socket")
	f.BoolVar(&r.inStock, "in-stock", false, "only switches in stock or in the drawer")
	f.StringVar(&r.maxCost, "max-cost", "", "only designs of at most this `AMOUNT`, such as 0.50")
	f.StringVar(&r.words, "text", "", "only designs with these `WORDS` in part, title or topology")
	f.IntVar(&r.wish.Types, "types", 0, "together: pick at most `N` types of switching part for all loads")
	f.BoolVar(&r.wish.Stocked, "stocked", false, "together: pick only stages whose parts are all in stock or in the drawer")
	f.Float64Var(&r.wish.Headroom, "headroom", 0, "together: pick only stages with a headroom of at least `X`")
	complete(c, flagWords{"format", rankForms}, flagWords{"color", colourWords}, flagWords{"order", orderWords}, flagWords{"kind", kindWords},
		flagWords{"side", sideWords}, flagWords{"mount", mountWords})
	completePolicy(c)
	t.completeFromCatalog(c, "package", packageNames)
	return c
}

// view turns the flags into the engine's view.
func (r *ranking) view(currency string) (engine.View, error) {
	v := engine.View{Order: engine.Order(r.order), Kind: catalog.Kind(r.kind), Side: r.side, Package: r.pkg, Mount: r.mount,
		Isolated: r.isolated, InStock: r.inStock, Text: r.words, HideOver: !r.all}
	if err := oneOf("order", r.order, orderWords...); err != nil {
		return v, err
	}
	if err := optional("kind", r.kind, kindWords...); err != nil {
		return v, err
	}
	if err := optional("side", r.side, sideWords...); err != nil {
		return v, err
	}
	if err := optional("mount", r.mount, mountWords...); err != nil {
		return v, err
	}
	if r.maxCost == "" {
		return v, nil
	}
	amount, err := parseCost(r.maxCost, currency)
	v.MaxCost = design.Known(amount)
	return v, err
}

// parseCost reads "0.50" or "0.50 EUR"; the currency must be the catalogue's.
func parseCost(text, currency string) (float64, error) {
	if v, err := strconv.ParseFloat(text, 64); err == nil && v >= 0 && v <= 1e12 {
		return v, nil
	}
	m, err := quantity.ParseMoney(text)
	if err != nil || m.Currency != currency {
		return 0, badf("--max-cost: found %q, expected an amount such as 0.50 or %q", text, strings.TrimSpace("0.50 "+currency))
	}
	return m.Amount, nil
}

// rank lists the designs for a job with no flags of rank.
func (t *task) rank(name string) error {
	t.format = "text"
	return t.rankWith(&ranking{order: "cost"}, name)
}

func (t *task) rankWith(r *ranking, name string) error {
	if err := oneOf("format", t.format, rankForms...); err != nil {
		return err
	}
	paint, err := t.paint()
	if err != nil {
		return err
	}
	if r.wish.Types < 0 || r.wish.Types > mostTypes {
		return badf("--types: found %d, expected 1 to %d", r.wish.Types, mostTypes)
	}
	if !(r.wish.Headroom >= 0 && r.wish.Headroom <= design.MaxHeadroom) {
		return badf("--headroom: found %g, expected 1 to %g", r.wish.Headroom, design.MaxHeadroom)
	}
	if _, err := r.view(""); err != nil && r.maxCost == "" {
		return err
	}
	if err := t.load(name); err != nil {
		return err
	}
	view, err := r.view(t.input.Catalog.Currency)
	if err != nil {
		return err
	}
	ctx := context.Background()
	res, err := engine.Assess(ctx, &t.input, engine.Options{})
	if err != nil {
		return err
	}
	if res.Together, err = engine.Combine(ctx, &t.input, res, r.wish); err != nil {
		return err
	}
	t.code = verdictCode(res.AllFit())
	opt := sheet.ListOptions{Paint: paint, View: view, Hint: t.hint(), Detail: func(key string) *engine.Detailed {
		det, err := engine.Detail(ctx, &t.input, key)
		if err != nil {
			return nil // the list stands without the advice
		}
		return det
	}}
	if t.format == "text" || t.format == "markdown" {
		if !r.all {
			opt.Max = shortEnough
		}
		if opt.Refused, err = engine.Refused(ctx, &t.input, res); err != nil {
			return err
		}
	}
	text, err := t.tellRanking(ctx, res, opt)
	if err != nil {
		return err
	}
	return t.print(text)
}

func (t *task) tellRanking(ctx context.Context, res *engine.Result, opt sheet.ListOptions) (string, error) {
	switch t.format {
	case "json":
		full, err := t.details(ctx, res, opt.View)
		if err != nil {
			return "", err
		}
		text, err := sheet.JSON(res, full)
		return string(text), err
	case "csv":
		return sheet.CSV(&t.input, res, opt)
	case "markdown":
		return sheet.ShortlistMarkdown(&t.input, res, opt), nil
	}
	return sheet.Shortlist(&t.input, res, opt), nil
}

// details asks the engine for every design that the view keeps, on all cores;
// the order is the view's.
func (t *task) details(ctx context.Context, res *engine.Result, view engine.View) (sheet.Candidates, error) {
	type place struct {
		load  string
		index int
		row   *engine.Row
	}
	full := sheet.Candidates{}
	var places []place
	for i := range res.Loads {
		rows := engine.Arrange(res.Loads[i].Rows, view).Rows
		full[res.Loads[i].Name] = make([]*engine.Detailed, len(rows))
		for k := range rows {
			places = append(places, place{res.Loads[i].Name, k, rows[k]})
		}
	}
	return full, parallel(len(places), func(i int) error {
		p := places[i]
		det, err := engine.Detail(ctx, &t.input, p.row.Key)
		if err != nil {
			return err
		}
		det.Row.Frontier = p.row.Frontier
		full[p.load][p.index] = det
		return nil
	})
}

// parallel calls do for 0 to n-1 on all cores and returns the first error by
// index. A panic becomes an error, so that it is told in one line.
func parallel(n int, do func(i int) error) error {
	errs := make([]error, n)
	next := make(chan int)
	var wg sync.WaitGroup
	for range min(n, runtime.GOMAXPROCS(0)) {
		wg.Go(func() {
			for i := range next {
				errs[i] = guarded(func() error { return do(i) })
			}
		})
	}
	for i := range n {
		next <- i
	}
	close(next)
	wg.Wait()
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

func guarded(do func() error) (err error) {
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("internal fault, please report it: %v", p)
		}
	}()
	return do()
}
