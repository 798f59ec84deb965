package topology

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	q "example.org/pinhoist/internal/quantity"
)

// absences are all the ways in which a part of a file may state less: every key that a
// part of one's own may leave out, every list and table, every point of a list. Each is
// taken away, try is called with its name, and it is put back.
func absences(p catalog.Part, try func(name string)) {
	v := reflect.ValueOf(p).Elem()
	lessOf(v, "", ofOnesOwn(p), try)
}

// ofOnesOwn tells the kinds of which a part of one's own may leave out what the embedded
// ones must say.
func ofOnesOwn(p any) bool {
	switch p.(type) {
	case *catalog.BJT, *catalog.MOSFET, *catalog.Relay:
		return true
	}
	return false
}

func lessOf(v reflect.Value, prefix string, top bool, try func(string)) {
	t := v.Type()
	without := func(f reflect.Value, name string) {
		saved := reflect.New(f.Type()).Elem()
		saved.Set(f)
		f.SetZero()
		try(name)
		f.Set(saved)
	}
	for i := range t.NumField() {
		sf, f := t.Field(i), v.Field(i)
		if sf.Anonymous {
			if sf.Type != reflect.TypeFor[catalog.Common]() {
				lessOf(f, prefix, top, try)
			}
			continue
		}
		key := sf.Tag.Get("key")
		if key == "" || f.IsZero() {
			continue
		}
		name := prefix + key
		may := top || sf.Tag.Get("need") != "R"
		switch f.Kind() {
		case reflect.Struct: // a quantity
			if _, ok := f.Addr().Interface().(q.Textual); ok && may {
				without(f, name)
			}
		case reflect.Pointer:
			if f.Type().Elem().Kind() != reflect.Struct {
				continue // a word or a count
			}
			inner := f.Interface()
			if _, part := inner.(catalog.Part); may && !part { // a module states its switch
				without(f, name)
			}
			lessOf(f.Elem(), name+".", ofOnesOwn(inner), try)
		case reflect.Slice:
			if f.Type().Elem().Kind() != reflect.Struct {
				continue
			}
			if may {
				without(f, name)
			}
			whole := f.Interface()
			for k := range f.Len() {
				lessOf(f.Index(k), name+".", false, try)
			}
			for k := range f.Len() {
				if f.Len() == 1 {
					break
				}
				rest := reflect.MakeSlice(f.Type(), 0, f.Len()-1)
				rest = reflect.AppendSlice(rest, f.Slice(0, k))
				rest = reflect.AppendSlice(rest, f.Slice(k+1, f.Len()))
				f.Set(rest)
				try(name + "[]")
				f.Set(reflect.ValueOf(whole))
			}
		}
	}
}

// lessJobs are loads whose checks ask for all kinds of figures.
var lessJobs = []string{
	"kind = \"resistive\"\ncurrent = \"0.3 A\"\n",
	"kind = \"solenoid\"\ncurrent = \"0.3 A\"\ninductance = \"50 mH\"\nrelease_within = \"60 ms\"\nmechanical_release_time = \"2 ms\"\n",
	"kind = \"motor\"\ncurrent = \"0.2 A\"\nstall_current = \"0.8 A\"\nstall_time = \"1 s\"\ninductance = \"3 mH\"\nmode = \"pwm\"\npwm_frequency = \"500 Hz\"\n",
	"kind = \"lamp\"\ncurrent = \"0.1 A\"\n",
	"kind = \"solenoid\"\ncurrent = \"0.2 A\"\ninductance = \"5 mH\"\navalanche_events = 1000000\nlife = \"1 years\"\n",
}

// lessNotOwed are figures that no part owes, judged where they are stated; and points of
// what is a line, which is another line without them.
var lessNotOwed = map[string]bool{
	"i_d_ambient25_max": true, // beside the junction, which every part has
	"i_together_max[]":  true, // i_out_max is what one channel carries
	"c_oss_max":         true, // owed from 20 kHz and 60 V on
	"soa[]":             true, // not owed where the power alone is borne
	"no.dc[]":           true, // of another category its factor counts
	"foster_jc[]":       true, // whose sum is r_th_jc_max
	"soa.points[]":      true,
	"h_fe[]":            true,
}

// owed reports whether a figure is, of a part or of one inside a module.
func owed(name string) bool { return !lessNotOwed[strings.TrimPrefix(name, "n-mosfet.")] }

// better says how a stage with less stated came out better, or "", and one of its checks
// where those are asked for. A sink sheds a greater loss through less, so that beside one
// only verdicts are compared.
func better(as, less *design.Design, checks bool) string {
	if less.Verdict <= design.Tight && (less.Verdict < as.Verdict || as.Choice.HeatSink == "" && as.Headroom.OK && less.Headroom.OK && less.Headroom.V > as.Headroom.V*(1+1e-9)) {
		return fmt.Sprintf("is %s with %.6g, was %s with %.6g", less.Verdict, less.Headroom.V, as.Verdict, as.Headroom.V)
	}
	for i := range less.Checks {
		after := &less.Checks[i]
		if before := find(as, after.ID, after.Stage); checks && before != nil && after.Verdict <= design.Tight && after.Verdict < before.Verdict {
			return fmt.Sprintf("%s is %s, was %s", after.ID, after.Verdict, before.Verdict)
		}
	}
	return ""
}

// What a part does not state never makes the stage as it stands pass, a check of it, or
// leaves more room: whatever is put in place of a missing figure is worse. For the first
// part that fits, what goes away goes in pairs.
func TestLessStatedIsNeverBetter(t *testing.T) {
	cat, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	checked := 0
	seen := map[string]bool{}
	for _, text := range lessJobs {
		b := benchOn(t, cat, rail12+"[[load]]\nname = \"x\"\nrail = \"bench\"\n"+text)
		for _, top := range All() {
			pairs := true
			for _, sw := range cat.Switches() {
				if top.Serves(b.env, b.m, sw) != "" {
					continue
				}
				d := new(design.Design)
				if top.Design(b.env, b.m, sw, &Given{}, d); d.Verdict > design.Unproven {
					continue
				}
				given, clone := Freeze(d), catalog.Clone(sw)
				run := func() *design.Design {
					d := new(design.Design)
					top.Design(b.env, b.m, clone, given, d)
					checked++
					return d
				}
				as := run()
				tell := func(name, how string) {
					if key := top.ID() + name; how != "" && !seen[key] {
						seen[key] = true
						t.Errorf("%s without %s: %s (%s, %s)", as.Key(), name, how, b.m.Kind, b.m.Mode)
					}
				}
				both := pairs && as.Verdict == design.Fits && !testing.Short()
				absences(clone, func(name string) {
					if !owed(name) {
						return
					}
					less := run()
					tell(name, better(as, less, true))
					if !both {
						return
					}
					pairs = false
					absences(clone, func(other string) {
						if owed(other) {
							tell(name+" and "+other, better(less, run(), false))
						}
					})
				})
			}
		}
	}
	if checked < 10000 {
		t.Errorf("%d tried", checked)
	}
}

// An array that does not say what its outputs leak is never held off by a resistor that
// is chosen as if they leaked nothing.
func TestArrayWithoutItsLeakage(t *testing.T) {
	for _, id := range []string{"hand-array", "hand-array-mos"} {
		top := Topology(darlingtonLow{})
		if id == "hand-array-mos" {
			top = nMOSFETLow{}
		}
		text := "[pin]\nat_reset = \"floating\"\n" + rail12 + "[[load]]\nname = \"x\"\nkind = \"resistive\"\nrail = \"bench\"\ncurrent = \"0.05 A\"\n"
		d, _ := darlingtonStage(t, top, text, id, nil, func(p catalog.Part) { p.(*catalog.Array).ILeakMax = q.Opt[q.Amp]{} })
		for _, check := range []design.CheckID{design.StaysOff, design.Leakage, design.PinVoltage} {
			c := find(d, check, design.StageSelf)
			if c == nil || c.Verdict < design.Unproven || !slices.Contains(c.Figures(), "i_leak_max") {
				t.Errorf("%s\n%s", check, show(d))
			}
		}
	}
}

// What a level shifter's output takes while the rail rises lifts the gate that it
// drives: where that is not stated, nothing proves that the gate stays off.
func TestShifterWithoutItsCapacitance(t *testing.T) {
	for _, stated := range []bool{true, false} {
		parts := handParts
		if !stated {
			parts = strings.Replace(parts, "c_oss_max = \"1 pF\"", "", 1)
		}
		cat, err := loadWith(parts, highParts)
		if err != nil {
			t.Fatal(err)
		}
		b := benchOn(t, cat, heaterP12)
		sw, _ := cat.Part("hand-p")
		d := new(design.Design)
		pMOSFETHigh{}.Design(b.env, b.m, sw, byHandN(Given{RPullup: body(4700), RGate: body(1000)}), d)
		c := find(d, design.StaysOff, design.StageSelf)
		if fits := c.Verdict == design.Fits; fits != stated || stated == slices.Contains(c.Figures(), "c_oss_max of the level shifter") {
			t.Errorf("stated %v: %s", stated, show(d))
		}
	}
}

// The same of what stands beside the switch: each clamp that may be taken, by all of its
// forms.
func TestClampWithLessStatedIsNeverBetter(t *testing.T) {
	cat := catalogWith(t)
	var clamps []catalog.Part
	for i := range cat.Diodes {
		clamps = append(clamps, &cat.Diodes[i])
	}
	for i := range cat.Zeners {
		clamps = append(clamps, &cat.Zeners[i])
	}
	for i := range cat.TVSs {
		clamps = append(clamps, &cat.TVSs[i])
	}
	checked := 0
	for _, text := range lessJobs[1:3] {
		b := benchOn(t, cat, rail12+"[[load]]\nname = \"x\"\nrail = \"bench\"\n"+text)
		for _, id := range []string{"n-60v-logic-b", "npn-80v-4a"} {
			sw := partOf(t, cat, id)
			top := Topology(nMOSFETLow{})
			if id == "npn-80v-4a" {
				top = npnLow{}
			}
			for _, c := range clamps {
				for _, parts := range [][]string{{c.Base().ID}, {"d-100v-3a", c.Base().ID}} {
					for _, atSwitch := range []bool{false, true} {
						run := func() *design.Design {
							checked++
							d := new(design.Design)
							m := b.env.Model(&b.m.Load) // whose clamps are worked out with it
							top.Design(b.env, m, sw, &Given{Clamp: GivenClamp{Said: true, Parts: parts, AtSwitch: atSwitch}}, d)
							return d
						}
						d := run()
						given := Freeze(d)
						again := func() *design.Design {
							checked++
							d := new(design.Design)
							top.Design(b.env, b.env.Model(&b.m.Load), sw, given, d)
							return d
						}
						as := again()
						absences(c, func(name string) {
							less := again()
							if name == "pulse[]" || as.Limiting >= 0 && as.Checks[as.Limiting].ID == design.ClampEnergy {
								// Past a point the law goes on from it; and a pulse that a higher
								// voltage makes shorter may be on a better stair, as it truly is.
								return
							}
							if how := better(as, less, false); how != "" {
								t.Errorf("%s with %v, at the switch %v, without %s of %s: %s", d.Key(), parts, atSwitch, name, c.Base().ID, how)
							}
						})
					}
				}
			}
		}
	}
	if checked < 1000 {
		t.Errorf("%d tried", checked)
	}
}

func partOf(t testing.TB, cat *catalog.Catalog, id string) catalog.Part {
	t.Helper()
	p, ok := cat.Part(id)
	if !ok {
		t.Fatalf("no part %s", id)
	}
	return p
}

// A part that does not say how long its edges take heats in a way that nobody knows: under
// pwm its threshold and leakage are those of the greatest junction, not of one that is
// solved without the loss of the edges.
func TestUnknownLossHasNoJunction(t *testing.T) {
	b := benchOn(t, bridgeCatalog(t), turnMotor+"mode = \"pwm\"\npwm_frequency = \"200 Hz\"\n")
	sw, _ := b.env.Catalog.Part("turn-n")
	for _, stated := range []bool{true, false} {
		p := catalog.Clone(sw).(*catalog.MOSFET)
		if !stated {
			p.QGDMax, p.QGMax = q.Opt[q.Coulomb]{}, nil
		}
		m := mosfetStage{stage: begin(b.env, b.m, &Given{}, new(design.Design), "n-mosfet-low", p.Base()), p: p, src: pinSource(&b.env.Pin, 1), rg: resistor{nom: 100}, rpd: resistor{nom: math.Inf(1), absent: true}}
		m.solve()
		hot, known := m.t.hottest(&p.Heat)
		if known != stated || !stated && hot != 150 {
			t.Errorf("edges stated %v: %g C, known %v", stated, hot, known)
		}
	}
}
