package main

import (
	"context"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/sheet"
)

// choice is the flags of sheet beside those of every task.
type choice struct {
	load, part, topology, variant string
	clamps, words                 bool
	whatIf                        string
	span                          float64
}

func (a *app) sheetCommand() *cobra.Command {
	t, ch := &task{app: a}, &choice{}
	c := &cobra.Command{
		Use:   "sheet [JOB]",
		Short: "Tell one design in full: circuit, values, every check and why",
		Long: `sheet tells one design in full: the job, what was assumed, the circuit, values
and bill of materials, every check with its formula, numbers, corner and source,
what your own part must promise, cautions, and what happens if something fails.
Without --part it takes the stage as built, else the best design.

--clamps lists every clamp that the design could have instead, across the load
or across the switch: how fast the current ends, how high the voltage rises,
what the clamp takes, what it costs, and whether the design then fits.

--what-if moves one quantity and tells where which verdict changes, every part
of the stage staying as it is. JSON and CSV have the stage at every value tried,
both sides of each change among them.

--words explains at its end the terms that stand on the sheet, in two sentences
each with the equation; not with json.

Exit codes: 0 the design fits, 1 it does not, 2 bad input.`,
		Example: "  pinhoist sheet\n  pinhoist sheet bench.toml --load pump --part n-60v-logic-a\n  pinhoist sheet bench.toml --clamps\n  pinhoist sheet bench.toml --format markdown > bench.md",
		Args:    oneJob, ValidArgsFunction: tomlFiles,
		RunE: func(_ *cobra.Command, args []string) error { return t.sheet(ch, jobArg(args)) },
	}
	t.inputFlags(c)
	t.formatFlag(c, "text, markdown or json; with --clamps or --what-if csv too")
	t.colourFlag(c)
	f := c.Flags()
	f.StringVar(&ch.load, "load", "", "the `NAME` of the load; may be left out when there is one")
	f.StringVar(&ch.part, "part", "", "the `ID` of the switch (default: of the stage as built, else of the best design)")
	f.StringVar(&ch.whatIf, "what-if", "", "move one `QUANTITY`, such as pin.supply, current, ambient_max or r_gate")
	f.Float64Var(&ch.span, "span", 2, "how far --what-if moves it, a `FACTOR` each way")
	f.StringVar(&ch.topology, "topology", "", "the `WAY` the part is used, such as npn-low; may be left out when there is one way")
	f.StringVar(&ch.variant, "variant", "", "the `NAME` of a variant of the design, such as built")
	f.BoolVar(&ch.clamps, "clamps", false, "list every clamp that the design could have, with its trade-off (also as csv)")
	f.BoolVar(&ch.words, "words", false, "explain the terms that stand on the sheet")
	f.BoolVar(&t.ascii, "ascii", false, "draw the circuit in plain ASCII")
	complete(c, flagWords{"format", sheetForms}, flagWords{"color", colourWords}, flagWords{"topology", topologyIDs()})
	completePolicy(c)
	t.completeFromCatalog(c, "part", switchIDs)
	return c
}

func (t *task) sheet(ch *choice, name string) error {
	forms := sheetForms
	switch {
	case ch.clamps && ch.whatIf != "":
		return badf("--clamps and --what-if: one of them at a time")
	case ch.clamps, ch.whatIf != "":
		forms = rankForms
	}
	if !(ch.span > 1 && ch.span <= spanMost) {
		return badf("--span: found %v, expected more than 1, at most %v", ch.span, spanMost)
	}
	if err := oneOf("format", t.format, forms...); err != nil {
		return err
	}
	paint, err := t.paint()
	if err != nil {
		return err
	}
	if err := t.load(name); err != nil {
		return err
	}
	ctx := context.Background()
	res, err := engine.Assess(ctx, &t.input, engine.Options{})
	if err != nil {
		return err
	}
	load, err := findLoad(res, ch.load)
	if err != nil {
		return err
	}
	row, err := t.findRow(load, ch)
	if err != nil {
		return err
	}
	if ch.clamps {
		return t.clamps(ctx, res, load, ch, row)
	}
	if ch.whatIf != "" {
		return t.whatIf(ctx, res, load, ch, row)
	}
	det, err := engine.Detail(ctx, &t.input, row.Key)
	if err != nil {
		return err
	}
	det.Row.Frontier = row.Frontier
	t.code = verdictCode(det.Design.Verdict == design.Fits && !t.builtLeftOut(load, ch, row))
	text, err := t.tellSheet(res, load, det, ch, paint)
	if err != nil {
		return err
	}
	return t.print(text)
}

// clamps lists the clamps that a design could have.
func (t *task) clamps(ctx context.Context, res *engine.Result, load *engine.LoadResult, ch *choice, row *engine.Row) error {
	rows, err := engine.Clamps(ctx, &t.input, row.Key)
	if err != nil {
		return err
	}
	t.code = verdictCode(row.Verdict == design.Fits && !t.builtLeftOut(load, ch, row))
	return t.printAs(sheet.Clamps(res, row, rows),
		func() ([]byte, error) { return sheet.ClampsJSON(res, row.Key, rows) },
		func() (string, error) { return sheet.ClampsCSV(row.Key, rows) })
}

// spanMost is how far a quantity is moved at the most: further is another job.
const spanMost = 1000

// whatIf moves one quantity of a design. Its name may be the whole path of a key or
// its last word.
func (t *task) whatIf(ctx context.Context, res *engine.Result, load *engine.LoadResult, ch *choice, row *engine.Row) error {
	first, err := engine.Sweep(ctx, &t.input, row.Key, engine.SweepAsk{Points: 2})
	if err != nil {
		return badf("--what-if: %v", err)
	}
	field := ""
	var names []string
	for _, c := range first.Can {
		names = append(names, c.Field)
		if c.Field == ch.whatIf || field == "" && strings.HasSuffix(c.Field, "."+ch.whatIf) {
			field = c.Field
		}
	}
	if field == "" {
		return badf("--what-if: found %q, expected one of: %s", ch.whatIf, strings.Join(names, ", "))
	}
	s, err := engine.Sweep(ctx, &t.input, row.Key, engine.SweepAsk{Field: field, Span: ch.span})
	if err != nil {
		return err
	}
	t.code = verdictCode(row.Verdict == design.Fits && !t.builtLeftOut(load, ch, row))
	return t.printAs(sheet.Swept(res, row, s),
		func() ([]byte, error) { return sheet.SweptJSON(res, row.Key, s) },
		func() (string, error) { return sheet.SweptCSV(row.Key, s) })
}

// printAs prints one answer in the form that was asked for.
func (t *task) printAs(doc *sheet.Doc, asJSON func() ([]byte, error), asCSV func() (string, error)) error {
	var text string
	var err error
	switch t.format {
	case "json":
		var raw []byte
		raw, err = asJSON()
		text = string(raw)
	case "csv":
		text, err = asCSV()
	case "markdown":
		text = doc.Markdown()
	default:
		text = doc.Text(sheet.Width, nil)
	}
	if err != nil {
		return err
	}
	return t.print(text)
}

// builtLeftOut notes, where nobody asks for another design, that what is told is not
// the stage as built, of which no design is made: whether that fits is not known.
func (t *task) builtLeftOut(load *engine.LoadResult, ch *choice, row *engine.Row) bool {
	if !load.Built || row.Built || ch.part != "" || len(ch.ways()) > 0 {
		return false
	}
	why := ""
	for _, n := range load.NotServed {
		if strings.HasPrefix(n.Why, "as built: ") {
			why = ": " + n.Part + " " + n.Why
		}
	}
	t.note("the stage as built is not told, for no design is made of it%s", why)
	return true
}

func (t *task) tellSheet(res *engine.Result, load *engine.LoadResult, det *engine.Detailed, ch *choice, paint sheet.Paint) (string, error) {
	if t.format == "json" {
		one := *res
		one.Loads = []engine.LoadResult{*load}
		text, err := sheet.JSON(&one, sheet.Candidates{load.Name: {det}})
		return string(text), err
	}
	doc := sheet.Sheet(&t.input, det, sheet.SheetOptions{ASCII: t.ascii, Words: ch.words})
	if t.format == "markdown" {
		return doc.Markdown(), nil
	}
	return doc.Text(sheet.Width, paint), nil
}

// findLoad finds a load by its name; the only one needs none.
func findLoad(res *engine.Result, name string) (*engine.LoadResult, error) {
	var names []string
	for i := range res.Loads {
		names = append(names, res.Loads[i].Name)
		if res.Loads[i].Name == name {
			return &res.Loads[i], nil
		}
	}
	switch {
	case len(names) == 0:
		return nil, badf("the job has no load")
	case name == "" && len(names) == 1:
		return &res.Loads[0], nil
	case name == "":
		return nil, badf("--load: the job has %d loads, name one of: %s", len(names), strings.Join(names, ", "))
	}
	return nil, badf("--load: found %q, expected one of: %s", name, strings.Join(names, ", "))
}

// findRow finds the design that is asked for.
func (t *task) findRow(load *engine.LoadResult, ch *choice) (*engine.Row, error) {
	rows := engine.Arrange(load.Rows, engine.View{Order: engine.ByCost}).Rows
	if ch.part == "" {
		rows = slices.DeleteFunc(slices.Clone(rows), func(r *engine.Row) bool {
			return ch.topology != "" && r.Topology != ch.topology || ch.variant != "" && r.Variant != ch.variant
		})
		if len(rows) == 0 {
			return nil, noneOfThisKind(load, ch)
		}
		return rows[0], nil
	}
	var found []*engine.Row
	for _, r := range rows {
		if r.Part == ch.part && (ch.topology == "" || r.Topology == ch.topology) &&
			(ch.variant == "" || r.Variant == ch.variant) {
			found = append(found, r)
		}
	}
	return t.oneRow(load, ch, found)
}

func (t *task) oneRow(load *engine.LoadResult, ch *choice, found []*engine.Row) (*engine.Row, error) {
	if len(found) == 0 {
		return nil, t.notFound(load, ch)
	}
	best := found[0]
	for _, r := range found { // a stage as built only when it is asked for or is all there is
		if !r.Built {
			best = r
			break
		}
	}
	var others []string
	for _, r := range found {
		if r.Topology != best.Topology && !slices.Contains(others, r.Topology) {
			others = append(others, r.Topology)
		}
	}
	if len(others) > 0 {
		t.note("%s is told as %s, its best use here; --topology chooses another: %s", ch.part, best.Topology, strings.Join(others, ", "))
	}
	return best, nil
}

// notFound says why there is no design around a part.
func (t *task) notFound(load *engine.LoadResult, ch *choice) error {
	var why []string
	for _, n := range load.NotServed {
		if n.Part == ch.part && (ch.topology == "" || n.Topology == "" || n.Topology == ch.topology) {
			text := n.Why
			if n.Topology != "" {
				text = n.Topology + ": " + n.Why
			}
			why = append(why, text)
		}
	}
	if len(why) > 0 {
		return badf("no design around %s for %q: %s", ch.part, load.Name, strings.Join(why, "; "))
	}
	if ways := waysOf(load, ch.part); len(ways) > 0 {
		return badf("--part %s: found no design with %s, expected one of: %s", ch.part, strings.Join(ch.ways(), " "), strings.Join(ways, ", "))
	}
	if p, ok := t.input.Catalog.Part(ch.part); ok {
		return badf("--part: %q is a %s, not a switch; pinhoist parts %s prints it", ch.part, p.Kind(), ch.part)
	}
	if like := t.partsLike(ch.part); len(like) > 0 {
		return badf("--part: no switch %q in the catalogue; did you mean %s?", ch.part, strings.Join(like, ", "))
	}
	return badf("--part: no switch %q in the catalogue; pinhoist parts lists them", ch.part)
}

// ways are the flags that say how a part is to be used.
func (ch *choice) ways() []string {
	var ways []string
	if ch.topology != "" {
		ways = append(ways, "--topology "+ch.topology)
	}
	if ch.variant != "" {
		ways = append(ways, "--variant "+ch.variant)
	}
	return ways
}

// waysOf are the flags for each design around a part, or around any where part
// is "".
func waysOf(load *engine.LoadResult, part string) []string {
	var ways []string
	for i := range load.Rows {
		r := &load.Rows[i]
		if part != "" && r.Part != part {
			continue
		}
		w := "--topology " + r.Topology
		if r.Variant != "" {
			w += " --variant " + r.Variant
		}
		if !slices.Contains(ways, w) {
			ways = append(ways, w)
		}
	}
	return ways
}

func noneOfThisKind(load *engine.LoadResult, ch *choice) error {
	ways := waysOf(load, "")
	if len(ways) == 0 {
		why := "no part serves it"
		if len(load.NotServed) > 0 {
			why = load.NotServed[0].Why
		}
		return badf("no design could be tried for %q: %s", load.Name, why)
	}
	return badf("no design for %q with %s, expected one of: %s", load.Name, strings.Join(ch.ways(), " "), strings.Join(ways, ", "))
}

// mostLike is how many parts a misspelt one is answered with.
const mostLike = 4

// partsLike are switches whose ids begin like what was typed, then those that
// hold it.
func (t *task) partsLike(id string) []string {
	var first, then []string
	for _, p := range t.input.Catalog.Switches() {
		switch has := p.Base().ID; {
		case len(id) < 3:
		case strings.HasPrefix(has, id), strings.HasPrefix(id, has):
			first = append(first, has)
		case strings.Contains(has, id):
			then = append(then, has)
		}
	}
	like := append(first, then...)
	return like[:min(mostLike, len(like))]
}
