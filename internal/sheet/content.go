package sheet

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/drawing"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/quantity"
)

// SheetOptions are how a sheet is told. They never change what it says.
type SheetOptions struct {
	ASCII bool // the picture in plain ASCII
	Words bool // explain the terms that stand on the sheet
	Told  bool // the circuit in sentences, not as a picture
}

// Sheet tells one design in full.
func Sheet(in *engine.Input, det *engine.Detailed, o SheetOptions) *Doc {
	t := &teller{Doc: &Doc{}, in: in, det: det, d: det.Design, load: loadOf(in.Job, det.Design.Load)}
	t.head()
	t.job()
	t.assumed()
	t.circuit(&o)
	t.values()
	t.bill()
	t.meter()
	t.checks()
	t.notApplicable()
	t.loadFactor()
	t.promises()
	t.missing()
	t.cautions()
	t.failState()
	t.limits()
	if o.Words {
		t.words()
	}
	return t.Doc
}

type teller struct {
	*Doc
	in   *engine.Input
	det  *engine.Detailed
	d    *design.Design
	load *job.Load // nil: unknown
}

func loadOf(j *job.Job, name string) *job.Load {
	if j == nil {
		return nil
	}
	for i := range j.Loads {
		if j.Loads[i].Name == name {
			return &j.Loads[i]
		}
	}
	return nil
}

func (t *teller) policy() string {
	if t.in.Policy == nil {
		return ""
	}
	return t.in.Policy.Name
}

func (t *teller) head() {
	d := t.d
	t.Title = fmt.Sprintf("%s: %s as %s", d.Load, d.Part, d.Topology)
	if d.Variant != "" {
		t.Title += " (" + d.Variant + ")"
	}
	t.sub(verdictText(d.Verdict, t.policy())+": "+lowerFirst(t.summary()), markOf(d.Verdict))
	if n := len(t.cautionTexts()); n > 0 {
		t.para(fmt.Sprintf("! %s, in full below under Cautions.", count(n, "caution")))
	}
}

// summary says in a sentence what the verdict rests on.
func (t *teller) summary() string {
	d := t.d
	limit := ""
	if d.Limiting >= 0 {
		c := &d.Checks[d.Limiting]
		limit = checkTitle(c.ID, c.Stage)
	}
	switch {
	case d.Verdict == design.Fits && d.Headroom.OK:
		return fmt.Sprintf("Headroom %s; %s runs out first.", Headroom(d.Headroom), limit)
	case d.Verdict == design.Fits:
		return "Every check fits."
	case d.Verdict == design.Tight:
		return fmt.Sprintf("Inside the ratings, but short of the margin of policy %s: headroom %s; %s runs out first.", t.policy(), Headroom(d.Headroom), limit)
	case d.Verdict == design.Unproven:
		return "Nothing says that it fails, and not everything is guaranteed: " + t.namesOf(design.Unproven) + "."
	default:
		return "It would fail: " + t.namesOf(design.Over) + "."
	}
}

func lowerFirst(s string) string { return strings.ToLower(s[:1]) + s[1:] }

func (t *teller) namesOf(v design.Verdict) string {
	var names []string
	for _, i := range Ordered(t.d) {
		if c := &t.d.Checks[i]; c.Verdict == v {
			names = append(names, checkTitle(c.ID, c.Stage))
		}
	}
	return strings.Join(names, ", ")
}

func count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return strconv.Itoa(n) + " " + what + "s"
}

// Ordered lists the indexes of a design's checks: the limiting one first, then
// the worst verdict, the least headroom and the order of the id list.
func Ordered(d *design.Design) []int {
	order := make([]int, len(d.Checks))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return compareChecks(&d.Checks[a], &d.Checks[b], a == d.Limiting, b == d.Limiting)
	})
	return order
}

func compareChecks(a, b *design.Check, aFirst, bFirst bool) int {
	switch {
	case aFirst != bFirst:
		return sign(aFirst)
	case a.Verdict != b.Verdict:
		return int(b.Verdict) - int(a.Verdict)
	case a.Headroom.OK != b.Headroom.OK:
		return sign(a.Headroom.OK)
	case a.Headroom.OK && a.Headroom.V != b.Headroom.V:
		return sign(a.Headroom.V < b.Headroom.V)
	case a.ID != b.ID:
		return int(a.ID) - int(b.ID)
	}
	return int(a.Stage) - int(b.Stage)
}

func sign(first bool) int {
	if first {
		return -1
	}
	return 1
}

func (t *teller) job() {
	j := t.in.Job
	if j == nil {
		return
	}
	t.heading("Job")
	var facts []Fact
	add := func(label, text string) {
		if text != "" {
			facts = append(facts, Fact{Label: label, Text: text})
		}
	}
	add("job", j.Title)
	if t.load != nil {
		add("load", t.load.Name+": "+LoadText(t.load)+statedAs(t.in.Spec, t.load.Name))
		add("rail", RailText(&t.load.Rail))
		add("use", useText(t.load))
		add("also stated", alsoStated(t.in.Spec, t.load.Name))
	}
	add("pin", pinText(&j.Pin))
	add("air", fmt.Sprintf("%s to %s, %s at the parts",
		quantity.Show(j.Env.AmbientMin, digitsShown, quantity.Nearest),
		quantity.Show(j.Env.AmbientMax, digitsShown, quantity.Nearest),
		quantity.Show(j.Env.PartsMax, digitsShown, quantity.Nearest)))
	if p := t.in.Policy; p != nil {
		text := p.Name + ": " + p.Source
		add("policy", text+memoryText(p.FromMemory, p.LookUp, p.FromBench))
	}
	add("part", t.d.Part+": "+strings.TrimSpace(t.det.Row.Title))
	add("its figures", t.d.PartSource)
	t.facts(facts...)
}

func near[Q quantity.Quantity](v Q) string { return quantity.Show(v, digitsShown, quantity.Nearest) }

// LoadText tells a load in a line: kind, current, what it stores.
func LoadText(l *job.Load) string {
	words := []string{string(l.Kind), near(l.Current)}
	if v, ok := l.L.Get(); ok {
		words = append(words, near(v))
	} else if l.Inductive {
		words = append(words, "inductance not stated")
	}
	if v, ok := l.C.Get(); ok {
		words = append(words, near(v))
	}
	if l.Quantity > 1 {
		words = append(words, count(l.Quantity, "stage"))
	}
	return strings.Join(words, ", ")
}

// statedAs says by what a load was described where that is no current, so that a sheet
// shows what was measured or read from a label; empty where it is not known.
func statedAs(spec *job.Spec, load string) string {
	if spec == nil {
		return ""
	}
	for i := range spec.Loads {
		l := &spec.Loads[i]
		if l.Name != load || l.Current.Known() {
			continue
		}
		for _, key := range []string{"resistance", "power"} {
			if text, ok := job.Get(spec, fmt.Sprintf("load[%d].%s", i, key)); ok && text != "" {
				return "; " + key + " stated: " + text
			}
		}
	}
	return ""
}

// alsoStated are figures of a load that other lines do not tell and that decide what it
// takes: its start, its duty and its wires, as they were written.
func alsoStated(spec *job.Spec, load string) string {
	if spec == nil {
		return ""
	}
	i := slices.IndexFunc(spec.Loads, func(l job.LoadSpec) bool { return l.Name == load })
	var words []string
	for _, key := range []string{"winding_resistance", "stall_current", "stall_time", "inrush_current", "inrush_factor", "cold_ratio", "inrush_time",
		"duty", "duty_min", "duty_max", "tolerance", "mechanical_release_time", "voltage_min", "off_current_max", "wire_length", "wire_area"} {
		if text, ok := job.Get(spec, fmt.Sprintf("load[%d].%s", i, key)); ok && text != "" && i >= 0 {
			words = append(words, strings.ReplaceAll(key, "_", " ")+" "+text)
		}
	}
	return strings.Join(words, ", ")
}

// RailText tells a rail in a line.
func RailText(r *job.Rail) string {
	text := fmt.Sprintf("%s nominal, %s to %s", near(r.Nom), near(r.Min), near(r.Max))
	if r.Name != "" {
		text = r.Name + ", " + text
	}
	if r.AC {
		text += ", " + near(r.Frequency)
	}
	if r.Hazardous {
		text += ", hazardous"
	}
	if !r.CommonPin {
		text += ", not joined to the pin's ground"
	}
	return text
}

func useText(l *job.Load) string {
	words := []string{l.Mode}
	switch l.Mode {
	case "pwm":
		words = append(words, near(l.PWMFrequency))
	case "cycle":
		words = append(words, "period "+near(l.Period))
	default:
		words = append(words, quantity.Display(float64(l.Rate), l.Rate.Dimension().Unit(), digitsShown, quantity.Nearest))
	}
	if l.Side != "" && l.Side != "any" {
		words = append(words, l.Side+" side")
	}
	if l.Unpowered != "" {
		words = append(words, "unpowered logic: "+l.Unpowered)
	}
	if v, ok := l.ReleaseWithin.Get(); ok {
		words = append(words, "release within "+near(v))
	}
	if v, ok := l.Life.Get(); ok {
		words = append(words, "life "+near(v))
	}
	return strings.Join(words, ", ")
}

func pinText(p *job.Pin) string {
	kind := "push-pull"
	if p.OpenDrain {
		kind = "open drain"
	}
	return fmt.Sprintf("%s supply, %s to %s, %s, sources %s, sinks %s, at most %s inside, at reset %s",
		near(p.SupplyNom), near(p.SupplyMin), near(p.SupplyMax), kind, near(p.SourceMax), near(p.SinkMax), near(p.ROutMax), p.AtReset)
}

func (t *teller) assumed() {
	var rows [][]string
	if t.in.Job != nil {
		for _, a := range t.in.Job.Assumed {
			rows = append(rows, []string{a.Field, a.Value, a.Why})
		}
	}
	for _, a := range t.det.Load.Assumed {
		rows = append(rows, []string{a.Field, a.Value, a.Why})
	}
	if len(rows) == 0 {
		return
	}
	t.heading("Assumed")
	t.para("Not stated in the job and taken for this kind of load; state what you know.")
	t.table(&Table{Head: []string{"field", "value", "why"}, Rows: rows})
}

func (t *teller) circuit(o *SheetOptions) {
	if len(t.d.Elements) == 0 {
		return
	}
	t.heading("Circuit")
	if o.Told {
		t.items(drawing.Words(t.d)...)
	} else {
		t.add(Block{Pre: drawing.Text(t.d, o.ASCII)})
	}
	if t.d.Driver != nil && !t.d.Shifted() {
		if solid(t.d) {
			t.para("Input side and output side are two circuits: only the input's supply must share the pin's ground.")
			return
		}
		t.poles()
		t.para("Coil side and contact side are two circuits: only the coil's supply must share the pin's ground.")
		switch {
		case !slices.Contains(t.d.Cautions, design.CautionLatching):
		case halves(t.d.Driver):
			t.para("A pin for each direction: one sets the relay, the other resets it. The ends of the coil are not alike; its data sheet tells which way sets it.")
		default:
			t.para("The coil side is built twice, on a pin each: one coil sets the relay, the other resets it. The bill of materials has both.")
		}
		if slices.Contains(t.d.Cautions, design.CautionLatching) && !slices.ContainsFunc(t.d.Values, func(v design.Value) bool { return v.Key == design.TPulse }) {
			t.para("How long a pulse has to be nobody knows here: the relay states no time to operate. Too short a pulse leaves it where it was.")
		}
		return
	}
	if boarded(t.d) && !solid(t.d) {
		t.para("Input side and output side are two circuits: only the module's supply must share the pin's ground, and the load's must not where it is hazardous.")
		return
	}
	if solid(t.d) {
		t.para("Nothing but light passes between input and output: the load's supply need not share the pin's ground, and on the mains must not.")
		return
	}
	t.para("Every ground is the same one: join the minus of the load's supply to the ground of the pin's board.")
}

// poles says what is done with the poles of a relay that has two.
func (t *teller) poles() {
	switch t.d.Choice.Poles {
	case job.PolesSeries:
		t.para("The load's current passes both poles of the relay, one behind the other: wire them in series.")
	case job.PolesParallel:
		t.para("Both poles of the relay are side by side: the load finds one when the other fails to close. They share nothing, for one of them makes and breaks all, and is judged so.")
	}
}

// question is what a check asks; a solid-state relay and a module have an input where
// others have a gate.
func question(d *design.Design, c *design.Check) string {
	if c.Stage == design.StageSelf && (solid(d) || d.Topology == "module") {
		switch c.ID {
		case design.GateDrive:
			return "the input gets what turns it on for sure"
		case design.GateVoltage:
			if c.Unit == design.V && d.Topology == "module" {
				return "the supply of its driver is within what it works with"
			}
			return "the input gets no more than it bears"
		}
	}
	return CheckQuestion(c.ID)
}

func (t *teller) values() {
	var rows [][]string
	list := func(values []design.Value, prefix, note string) {
		for _, v := range inOrder(values) {
			text := ValueText(v.Key)
			rows = append(rows, []string{prefix + string(v.Key), ValueNumber(&v), strings.TrimSpace(text + note)})
		}
	}
	list(t.d.Values, "", "")
	list(t.d.Nominal, "", " (nominal, for comparison)")
	if t.d.Driver != nil && !t.d.Shifted() { // a level shifter's are among the stage's own
		list(t.d.Driver.Values, "driver.", "")
	}
	if len(rows) == 0 {
		return
	}
	t.heading("Values")
	t.table(&Table{Head: []string{"name", "value", "what"}, Rows: rows, Right: []bool{false, true, false}})
}

// inOrder sorts values as they are told.
func inOrder(values []design.Value) []design.Value {
	list := slices.Clone(values)
	slices.SortStableFunc(list, func(a, b design.Value) int {
		x, _ := valueAt(a.Key)
		y, _ := valueAt(b.Key)
		return x - y
	})
	return list
}

func (t *teller) bill() {
	if len(t.d.BOM) == 0 {
		return
	}
	t.heading("Bill of materials")
	tab := &Table{Head: []string{"ref", "value", "part", "count", "each", "line"}, Right: []bool{false, true, false, true, true, true}}
	for _, l := range t.d.BOM {
		line := design.Number{V: l.UnitPrice.V * float64(l.Count), OK: l.UnitPrice.OK}
		tab.Rows = append(tab.Rows, []string{l.Ref, t.valueOf(l.Ref), l.Part, strconv.Itoa(l.Count), amount(l.UnitPrice), amount(line)})
	}
	t.table(tab)
	if own := t.unbilled(); len(own) > 0 {
		t.para("Not in the bill, for they were stated without a part: " + strings.Join(own, ", ") + ".")
	}
	if t.d.Cost.Amount.OK {
		t.para("Together " + money(t.d.Cost.Amount, t.d.Cost.Currency) + ", without the load and the logic board.")
		return
	}
	t.para("The cost is unknown: no price for " + strings.Join(t.d.Cost.Missing, ", ") + ".")
}

// unbilled are the resistors of a stage as built that are of no series in the
// catalogue.
func (t *teller) unbilled() []string {
	if !t.det.Row.Built {
		return nil
	}
	var own []string
	for _, d := range []*design.Design{t.d, t.d.Driver} {
		if d == nil {
			continue
		}
		for i := range d.Elements {
			if e := &d.Elements[i]; e.Kind == "resistor" && e.Part == "" && e.HasValue {
				text := e.Ref + " " + drawing.Short(e.Value, e.Unit)
				if !slices.Contains(own, text) {
					own = append(own, text)
				}
			}
		}
	}
	return own
}

// valueOf is the value of the element with a reference, for the shopping list:
// a resistor is bought by it.
func (t *teller) valueOf(ref string) string {
	for _, d := range []*design.Design{t.d, t.d.Driver} {
		if d == nil {
			continue
		}
		for i := range d.Elements {
			if e := &d.Elements[i]; e.Ref == ref && e.HasValue && e.Kind == "resistor" {
				return drawing.Short(e.Value, e.Unit)
			}
		}
	}
	return ""
}

func (t *teller) checks() {
	t.heading("Checks")
	t.para("Each compares what the job demands (stress in a formula) with what is guaranteed (rating), in the worst corner: demands are rounded up, guarantees down. The one that runs out first stands first.")
	for _, i := range Ordered(t.d) {
		t.check(i)
	}
}

func (t *teller) check(i int) {
	c := &t.d.Checks[i]
	verdict := verdictText(c.Verdict, "")
	if typically(c) {
		verdict += ", even typically"
	}
	title := verdict + ": " + checkTitle(c.ID, c.Stage)
	if c.Headroom.OK {
		title += ", headroom " + Headroom(c.Headroom)
	}
	if i == t.d.Limiting {
		title += ", runs out first"
	}
	t.sub(title, markOf(c.Verdict))
	t.facts(t.checkFacts(c, i)...)
}

func (t *teller) checkFacts(c *design.Check, i int) []Fact {
	s := sidesOf(c)
	facts := []Fact{{Label: "asks", Text: question(t.d, c)}}
	demand := s.stress + " demanded, " + s.rating + " guaranteed"
	if c.Rating.OK && s.allowed != s.rating {
		demand += ", " + s.allowed + " allowed"
		if c.Temperature {
			demand += " (" + quantity.Display(c.Below, "K", digitsShown, quantity.Nearest) + " below)"
		} else if c.K != 0 && c.K != 1 {
			demand += " (x " + quantity.DisplayPlain(c.K, digitsShown, quantity.Down) + ")"
		}
	}
	facts = append(facts, Fact{Label: "numbers", Text: demand})
	if est := estimateText(c); est != "" {
		facts = append(facts, Fact{Label: "estimate", Text: est})
	}
	if c.Formula != "" {
		symbols, numbers := Formula(c)
		label := "formula"
		if len(c.Args()) > 0 {
			facts = append(facts, Fact{Label: label, Text: symbols, Code: true})
			label = ""
		}
		if (numbers != symbols || len(c.Args()) == 0) && !hollow(c) {
			facts = append(facts, Fact{Label: label, Text: numbers, Code: true})
		}
	}
	add := func(label, text string) {
		if text != "" {
			facts = append(facts, Fact{Label: label, Text: text})
		}
	}
	add("because", c.Because)
	add("corner", cornerText(c))
	add("source", c.Source)
	var figures []string
	for _, f := range c.Figures() {
		figures = append(figures, keyOf(f, &t.det.Load))
	}
	add(figuresLabel(c.Verdict), strings.Join(figures, ", "))
	if i < len(t.det.Fixes) {
		for _, f := range t.det.Fixes[i] {
			add("fix", FixText(&f))
		}
		if c.Verdict == design.Over && len(t.det.Fixes[i]) == 0 {
			add("fix", "none found by changing one thing")
		}
	}
	return facts
}

// figuresLabel says what the figures beside a check are: a pass does with what
// was assumed in their place, anything else waits for them to be stated.
func figuresLabel(v design.Verdict) string {
	if v == design.Fits || v == design.Tight {
		return "not stated"
	}
	return "to state"
}

// hollow reports whether a formula has no answer because a number in it is not
// known: it stands there as 0, which would be read as a value.
func hollow(c *design.Check) bool {
	answered := c.Stress.OK || c.StressEstimate.OK
	if strings.Contains(c.Formula, "{rating}") {
		answered = answered && (c.Rating.OK || c.RatingEstimate.OK)
	}
	return !answered && slices.ContainsFunc(c.Args(), func(a design.Arg) bool { return a.V == 0 && !a.Absent })
}

// estimateText says estimates that stand beside known sides.
func estimateText(c *design.Check) string {
	var words []string
	say := func(what string, x, est design.Number) {
		if est.OK && x.OK {
			words = append(words, what+" about "+number(est.V, c.Unit, quantity.Nearest))
		}
	}
	say("demanded", c.Stress, c.StressEstimate)
	say("given", c.Rating, c.RatingEstimate)
	return strings.Join(words, ", ")
}

// FixText tells a fix in a line.
func FixText(f *engine.Fix) string {
	text := ""
	switch {
	case f.Field == engine.FieldEconomy:
		text = f.Field + ": " + f.To
	case f.Kind == engine.FixJob && f.From == "" && strings.HasPrefix(f.Field, "rail["):
		text = "add a rail, for instance of " + f.To
	case f.From != "" && f.To != "":
		text = fmt.Sprintf("%s: %s instead of %s", f.Field, f.To, f.From)
	default:
		text = fmt.Sprintf("%s: %s", f.Field, f.To)
	}
	switch {
	case f.Field == engine.FieldEconomy: // parts to put in
	case f.Kind == engine.FixJob:
		text = "in the job, " + text
	case f.Kind == engine.FixPart:
		text = "another part, " + text
	case f.Kind == engine.FixValue:
		text = "another value, " + text
	}
	if len(f.ThenFails) > 0 {
		var ids []string
		for _, id := range f.ThenFails {
			ids = append(ids, id.String())
		}
		text += "; but then " + strings.Join(ids, ", ") + plainPlural(len(ids), " fails", " fail")
	}
	return text
}

func plainPlural(n int, one, more string) string {
	if n == 1 {
		return one
	}
	return more
}

func (t *teller) notApplicable() {
	var rows [][]string
	for _, n := range t.d.NA {
		rows = append(rows, []string{checkTitle(n.ID, n.Stage), n.Why})
	}
	if len(rows) == 0 {
		return
	}
	t.heading("Not applicable")
	t.table(&Table{Head: []string{"check", "why"}, Rows: rows})
}

func (t *teller) loadFactor() {
	f := t.det.Factor
	if f == nil {
		return
	}
	t.heading("Load factor")
	t.para(fmt.Sprintf("With every value as it is, this stage stops fitting at %s times the load's current; %s stops it.",
		factor(f.Value), checkTitle(f.Check, f.Stage)))
}

// factor rounds a load factor down.
func factor(v float64) string { return quantity.DisplayPlain(v, 3, quantity.Down) }

func (t *teller) promises() {
	if len(t.det.Promises) == 0 {
		return
	}
	t.heading("Your part must promise")
	t.para("The catalogue is generic and the part in your hand is not. " + promiseText(t.d.Verdict))
	tab := &Table{Head: []string{"figure", "must be", "here", "what it is; the check that asks"}}
	for i := range t.det.Promises {
		p := &t.det.Promises[i]
		bound := promiseBound(p)
		if p.Condition != "" {
			bound += ", " + p.Condition
		}
		here := ""
		if p.Here.OK {
			here = figureNumber(p.Figure, p.Here.V, p.Unit, quantity.Nearest)
		}
		tab.Rows = append(tab.Rows, []string{p.Figure, bound, here, strings.Trim(FigureText(p.Figure)+"; "+checkTitle(p.Check, p.Stage), "; ")})
	}
	t.table(tab)
	if len(t.d.BOM) > 1 {
		t.para("These are the switch's. Any other part of the bill may be replaced by one no worse in any figure: pinhoist parts with its id prints them.")
	}
}

// promiseText says how far the list may be trusted: each figure is moved alone.
func promiseText(v design.Verdict) string {
	if v == design.Fits {
		return "One no worse in any figure than the part told here keeps the verdict. Beyond that, each line is as far as its figure alone may go before the check named fails: where several of yours are worse than here, write your part in a file and ask again with --catalog."
	}
	return "Each line is what its figure alone would have to be for the stage to fit, all else as told here."
}

func promiseBound(p *engine.Promise) string {
	if p.AtMost {
		return "at most " + figureNumber(p.Figure, p.Value, p.Unit, quantity.Down)
	}
	return "at least " + figureNumber(p.Figure, p.Value, p.Unit, quantity.Up)
}

func (t *teller) missing() {
	if len(t.det.Missing) == 0 {
		return
	}
	t.heading("Missing figures")
	t.para("Look these up and state them; the most decisive first.")
	var rows [][]string
	for _, w := range wanted(t.det) {
		rows = append(rows, []string{w.figure, w.suffices, strings.TrimPrefix(FigureText(w.figure)+"; "+strings.Join(w.checks, ", "), "; ")})
	}
	t.table(&Table{Head: []string{"figure", "what would suffice", "what it is; the checks that wait"}, Rows: rows})
}

// want is a missing figure with all the checks that wait for it.
type want struct {
	figure, suffices string
	checks           []string
}

// wanted gathers what is missing by figure, in the order given. Where several
// checks say what would suffice, the hardest of it does.
func wanted(det *engine.Detailed) []want {
	var out []want
	var best []*engine.Missing
	for i := range det.Missing {
		m := &det.Missing[i]
		name := keyOf(m.Figure, &det.Load)
		k := slices.IndexFunc(out, func(w want) bool { return w.figure == name })
		if k < 0 {
			k = len(out)
			out, best = append(out, want{figure: name}), append(best, m)
		}
		if title := checkTitle(m.Check, m.Stage); !slices.Contains(out[k].checks, title) {
			out[k].checks = append(out[k].checks, title)
		}
		best[k] = harder(best[k], m)
		out[k].suffices = sufficeText(best[k])
	}
	return out
}

// keyOf is a figure as the key to state: one that was assumed for the load has
// its table in front, so that it is not looked for in the part.
func keyOf(figure string, l *engine.LoadResult) string {
	if slices.ContainsFunc(l.Assumed, func(a job.Assumed) bool { return a.Field == figure }) {
		return "load." + figure
	}
	return figure
}

// harder is the one of two demands on a figure that is harder to meet; a check
// that no value alone makes fit is the hardest.
func harder(a, b *engine.Missing) *engine.Missing {
	switch {
	case a.Op == "":
		return a
	case b.Op == "", a.Op == "<=" && b.Value < a.Value, a.Op == ">=" && b.Value > a.Value:
		return b
	}
	return a
}

// noneAlone stands for a value that would suffice where there is none.
const noneAlone = "no single value alone"

func sufficeText(m *engine.Missing) string {
	switch m.Op {
	case "<=":
		return "at most " + figureNumber(m.Figure, m.Value, m.Unit, quantity.Down)
	case ">=":
		return "at least " + figureNumber(m.Figure, m.Value, m.Unit, quantity.Up)
	}
	return noneAlone
}

// cautionTexts are the cautions of load and design, each once, in the order of
// their list.
func (t *teller) cautionTexts() []string {
	type caution struct {
		id, text string
	}
	var list []caution
	add := func(id, text string) {
		if !slices.ContainsFunc(list, func(c caution) bool { return c.id == id }) {
			list = append(list, caution{id, text})
		}
	}
	for _, c := range t.det.Load.Cautions {
		add(c.ID, c.Text)
	}
	for _, id := range t.d.Cautions {
		add(id, design.CautionText(id))
	}
	slices.SortStableFunc(list, func(a, b caution) int { return design.CautionOrder(a.id) - design.CautionOrder(b.id) })
	texts := make([]string, len(list))
	for i, c := range list {
		texts[i] = c.text
	}
	return texts
}

func (t *teller) cautions() {
	list := t.cautionTexts()
	if len(list) == 0 {
		return
	}
	t.heading("Cautions")
	for i := range list {
		list[i] = "! " + list[i]
	}
	t.items(list...)
}

func (t *teller) failState() {
	t.heading("If something fails")
	t.items(failState(t.d, t.load)...)
}

func (t *teller) limits() {
	t.heading("What this sheet cannot know")
	t.items(
		"The parts are generic sets of figures, not products: compare the data sheet of the part in your hand with what your part must promise, line by line.",
		"Judged are the checks above, at the corners given. Layout, interference, vibration, damp, bad joints and what the software does are not.",
		"Which leg is which: parts of one package differ, read your part's data sheet before soldering.",
		"Standards and local codes are not checked; where they apply, a qualified person decides.",
	)
}
