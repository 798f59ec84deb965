package engine

import (
	"cmp"
	"context"
	"math"
	"slices"
	"strings"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/topology"
)

// Placement is where a clamp stands.
type Placement string

// The placements.
const (
	AcrossLoad   Placement = "load"
	AcrossSwitch Placement = "switch"
	NoClamp      Placement = "none"
)

// ClampRow is a design with another clamp, all else as it stands: what is gained
// and what is given for it.
type ClampRow struct {
	Stage     design.Stage // whose winding: the load's, or that of the coil that the driver switches
	Parts     []string     // from the switch on; none: nothing, or the switch breaks down
	Placement Placement
	RC        design.Number // ohm, of the resistor in series with a capacitor across a contact
	Chosen    bool          // it is what the design has

	Verdict  design.Verdict // of the design with it
	TurnOff  design.Verdict // of the checks that are about turning off alone
	Limiting *Limit
	Headroom design.Number

	VPeak    design.Number // V at the switch, ground-referred, estimated where it is not proven
	TDecay   design.Number // s until the current lets go
	TRelease design.Number // s, with what moves
	Energy   design.Number // J per opening
	Power    design.Number // W on average
	Cost     design.Money  // of its parts, for all stages of the load
	Whole    design.Money  // of the design with it
}

// Clamps tries every clamp of the catalogue in a design: every diode, Zener and
// suppressor across the load or across the switch, each breakdown part across
// the load with the first diode in series that its own checks let pass, and none.
// Rows stand in the order of their stage, then the best verdict, then the
// cheapest. A contact on DC is tried with a resistor and a capacitor across it too.
// There are none where nothing inductive is switched. A key that names
// no design is a *NoSuchDesign.
func Clamps(ctx context.Context, in *Input, key string) ([]ClampRow, error) {
	r := newRun(in, false)
	b, err := r.bench(ctx, key)
	if err != nil {
		return nil, err
	}
	b.brief(r)
	t := clampTrial{b: b}
	if b.m.Inductive && hasClampChecks(b.d, design.StageSelf) {
		t.all(design.StageSelf)
	}
	if b.d.Driver != nil {
		t.all(design.StageDriver)
	}
	slices.SortStableFunc(t.rows, func(a, b ClampRow) int {
		return cmp.Or(cmp.Compare(a.Stage, b.Stage), cmp.Compare(a.Verdict, b.Verdict), cmp.Compare(a.TurnOff, b.TurnOff),
			unknownLast(a.Cost.Amount, b.Cost.Amount), strings.Compare(string(a.Placement), string(b.Placement)), slices.Compare(a.Parts, b.Parts))
	})
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	return t.rows, nil
}

// turnOffChecks are the checks that another clamp can change by itself.
var turnOffChecks = [...]design.CheckID{design.BlockingVoltage, design.Avalanche, design.ClampVoltage, design.ClampStandoff, design.ClampCurrent,
	design.ClampEnergy, design.ClampPower, design.ReleaseTime}

func hasClampChecks(d *design.Design, st design.Stage) bool {
	return find(d, design.ClampCurrent, st) != nil || find(d, design.ClampEnergy, st) != nil || find(d, design.ClampStandoff, st) != nil ||
		find(d, design.BlockingVoltage, st) != nil || find(d, design.ContactVoltage, st) != nil
}

// clampTrial is a design whose clamps are tried.
type clampTrial struct {
	b    *bench
	rows []ClampRow
}

func (t *clampTrial) all(st design.Stage) {
	h := t.b.env.Clamps
	t.add(st, t.try(st, nil, NoClamp))
	if st == design.StageSelf && find(t.b.d, design.ContactVoltage, st) != nil {
		if c, ohms, ok := topology.ContactRC(t.b.env, t.b.m); ok {
			t.rc(st, c, ohms)
		}
	}
	for _, d := range h.Diodes {
		t.add(st, t.try(st, []catalog.Part{d}, AcrossLoad))
	}
	for _, z := range h.Zeners {
		t.breaker(st, z, false)
	}
	for _, s := range h.TVSs {
		t.breaker(st, s, s.Direction == "bi")
	}
	t.own(st)
}

// breaker tries a Zener or suppressor wherever it can stand.
func (t *clampTrial) breaker(st design.Stage, p catalog.Part, both bool) {
	t.add(st, t.try(st, []catalog.Part{p}, AcrossSwitch))
	if both {
		t.add(st, t.try(st, []catalog.Part{p}, AcrossLoad))
	}
	var best ClampRow
	bestDiode := design.Over + 1
	for _, d := range t.b.env.Clamps.Diodes {
		row := t.try(st, []catalog.Part{d, p}, AcrossLoad)
		v := design.Fits
		for _, id := range [...]design.CheckID{design.ClampVoltage, design.ClampCurrent} {
			if c := find(&t.b.trial, id, st); c != nil {
				v = max(v, c.Verdict)
			}
		}
		if v < bestDiode {
			best, bestDiode = row, v
		}
		if v == design.Fits {
			break
		}
	}
	if bestDiode <= design.Over {
		t.add(st, best)
	}
}

// own adds the clamp that the design has where none of the trials is it: one as
// built, the diodes inside an array.
func (t *clampTrial) own(st design.Stage) {
	if slices.ContainsFunc(t.rows, func(r ClampRow) bool { return r.Stage == st && r.Chosen }) {
		return
	}
	g := clampOf(t.b.frozen, st)
	var parts []catalog.Part
	for _, id := range g.Parts {
		p, ok := t.b.in.Catalog.Part(id)
		if !ok {
			return
		}
		parts = append(parts, p)
	}
	at := AcrossLoad
	if g.AtSwitch {
		at = AcrossSwitch
	}
	t.add(st, t.try(st, parts, at))
}

func (t *clampTrial) add(st design.Stage, row ClampRow) {
	g := clampOf(t.b.frozen, st)
	row.Chosen = slices.Equal(row.Parts, g.Parts) && (row.Placement == AcrossSwitch) == (g.AtSwitch && len(g.Parts) > 0)
	t.rows = append(t.rows, row)
}

func clampOf(g *topology.Given, st design.Stage) topology.GivenClamp {
	if st == design.StageDriver && g.Driver != nil {
		return g.Driver.Clamp
	}
	return g.Clamp
}

// rc tries a resistor and a capacitor across a contact, and nothing else.
func (t *clampTrial) rc(st design.Stage, c *catalog.Capacitor, ohms float64) {
	g := *t.b.frozen
	g.Clamp = topology.GivenClamp{Said: true}
	g.Snubber = topology.GivenPart{Said: true, ID: c.ID}
	g.RSnubber = topology.GivenResistor{Said: true, Ohms: ohms, Tol: rcTolerance}
	row := t.row(st, &g, []catalog.Part{c}, AcrossSwitch)
	row.RC = design.Known(ohms)
	t.rows = append(t.rows, row)
}

// rcTolerance is that of a resistor of the E12 series that nobody chose (IEC 60063).
const rcTolerance = 0.1

// try makes the design again with another clamp.
func (t *clampTrial) try(st design.Stage, parts []catalog.Part, at Placement) ClampRow {
	g := *t.b.frozen
	with := topology.GivenClamp{Said: true, Parts: idsOf(parts), AtSwitch: at == AcrossSwitch}
	if st == design.StageDriver {
		drv := *g.Driver
		drv.Clamp = with
		g.Driver = &drv
	} else {
		g.Clamp = with
	}
	return t.row(st, &g, parts, at)
}

func idsOf(parts []catalog.Part) []string {
	var ids []string
	for _, p := range parts {
		ids = append(ids, p.Base().ID)
	}
	return ids
}

// row is the design with what is given, told as a row.
func (t *clampTrial) row(st design.Stage, g *topology.Given, parts []catalog.Part, at Placement) ClampRow {
	row := ClampRow{Stage: st, Placement: at, Parts: idsOf(parts)}
	d := t.b.again(t.b.env, t.b.m, t.b.sw, g)
	row.Verdict, row.Headroom, row.Whole = d.Verdict, d.Headroom, d.Cost
	row.Whole.Missing = slices.Clone(d.Cost.Missing)
	if d.Limiting >= 0 {
		row.Limiting = &Limit{d.Checks[d.Limiting].ID, d.Checks[d.Limiting].Stage}
	}
	for _, id := range turnOffChecks {
		if c := find(d, id, st); c != nil {
			row.TurnOff = max(row.TurnOff, c.Verdict)
		}
	}
	row.Cost = priceOfParts(parts, max(1, t.b.l.Quantity), d.Cost.Currency)
	of := d
	if st == design.StageDriver && d.Driver != nil {
		of = d.Driver
	}
	row.VPeak, row.TDecay, row.TRelease = valueOf(of, design.VPeakOff), valueOf(of, design.TDecay), valueOf(of, design.TRelease)
	row.Energy, row.Power = valueOf(of, design.ETurnoff), valueOf(of, design.PClamp)
	if st == design.StageDriver { // the relay says when its contact has moved
		row.TRelease = valueOf(d, design.TRelease)
	}
	return row
}

func valueOf(d *design.Design, k design.ValueKey) design.Number {
	for _, v := range d.Values {
		if v.Key == k {
			return design.Known(v.V)
		}
	}
	return design.Number{}
}

// priceOfParts is the price of parts, n of each.
func priceOfParts(parts []catalog.Part, n int, currency string) design.Money {
	m := design.Money{Amount: design.Known(0), Currency: currency}
	for _, p := range parts {
		c := p.Base()
		if c.Price == nil || p.Kind() == catalog.KindArray { // the diodes inside an array come with it
			if p.Kind() != catalog.KindArray {
				m.Amount, m.Missing = design.Number{}, append(m.Missing, c.ID)
			}
			continue
		}
		if m.Amount.OK {
			m.Amount.V = math.Round((m.Amount.V+c.Price.Amount*float64(n))*costScale) / costScale
		}
	}
	return m
}
