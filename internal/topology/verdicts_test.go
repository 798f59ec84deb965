package topology

import (
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
)

// loadVerdict is a load on a part of the built-in catalogue, the check in question, and
// its verdict worked by hand: the arithmetic stands in why (DERIVED). Traps are what the
// trade knows to go wrong; they must never fit.
type loadVerdict struct {
	name, load, part string
	check            design.CheckID
	want             design.Verdict
	trap             bool
	why              string
}

// holds asks of a design that the check in question stands as it was worked.
func (r *loadVerdict) holds(t *testing.T, d *design.Design, stage design.Stage) {
	t.Helper()
	c := find(d, r.check, stage)
	if c == nil {
		t.Fatalf("%s was not made\n%s", r.check, show(d))
	}
	if c.Verdict != r.want {
		t.Errorf("%s, want %s (%s)\n%s", c.Verdict, r.want, r.why, show(d))
	}
	if r.trap && (r.want == design.Fits || d.Verdict <= design.Tight) {
		t.Errorf("a trap, and the design is %s", d.Verdict)
	}
}

// loadVerdicts asks each row of the catalogue's part in a topology, and that there are
// enough rows and traps.
func loadVerdicts(t *testing.T, top Topology, rails string, rows []loadVerdict, least, leastTraps int) {
	t.Helper()
	cat, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	traps := 0
	for i := range rows {
		r := &rows[i]
		t.Run(r.name+" on "+r.part+", "+r.check.String(), func(t *testing.T) {
			b := benchOn(t, cat, rails+"[[load]]\nname = \"x\"\n"+r.load)
			r.holds(t, servedOn(t, top, &b, r.part, ""), design.StageSelf)
		})
		if r.trap {
			traps++
		}
	}
	if len(rows) < least || traps < leastTraps {
		t.Errorf("%d rows, %d of them traps", len(rows), traps)
	}
}

// servedOn is a topology's design with a part of the bench's catalogue, as built where
// the job says so, with its coil on a rail if one is said.
func servedOn(t *testing.T, top Topology, b *bench, part, coilRail string) *design.Design {
	t.Helper()
	d, why := asked(t, top, b, partOf(t, b.env.Catalog, part), coilRail)
	if d == nil {
		t.Fatal(why)
	}
	return d
}

// asked is a topology's design with a part, nil with the reason where it does not serve.
func asked(t testing.TB, top Topology, b *bench, sw catalog.Part, coilRail string) (d *design.Design, why string) {
	t.Helper()
	if why := top.Serves(b.env, b.m, sw); why != "" {
		return nil, why
	}
	given := &Given{}
	if b.m.Built != nil {
		if why := Untaken(Of(top, sw), b.m.Built, b.m); why != "" {
			t.Fatal(why)
		}
		given = FromBuilt(b.m.Built)
	}
	given.CoilRail = coilRail
	d = new(design.Design)
	top.Design(b.env, b.m, sw, given, d)
	return d, ""
}
