package topology

import (
	"slices"
	"strings"
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
)

// A load on a module of the built-in catalogue, the check in question, and its verdict
// worked by hand: the arithmetic stands in why (DERIVED). Traps are what the trade knows
// to go wrong; they must never fit.
type moduleVerdict struct {
	name, pin, load, part string
	check                 design.CheckID
	want                  design.Verdict
	trap                  bool
	why                   string
}

const (
	fiveRail   = "[[rail]]\nname = \"five\"\nvoltage = \"5 V\"\ncurrent_max = \"2 A\"\n"
	basically  = "isolation = \"basic\"\n"
	pin33      = "supply = \"3.3 V\"\n"
	pin24      = "supply = \"24 V\"\nsupply_tolerance = \"5 %\"\nat_reset = \"low\"\n"
	fourOfThem = "quantity = 4\n"
)

var moduleVerdicts = []moduleVerdict{
	// The input: opto-couplers between the module's supply and the pin.
	{"3.3 V pin on an input to 5 V", pin33, on24 + amps(acHeater, "2 A"), "mod-relay-5v-4ch-low", design.StaysOff, design.Over, true, "(5.25 - 0.8)/950 = 4.7 mA while the pin has no supply, (5.25 - 3.135 - 0.8)/950 = 1.4 mA while it is high, of 0.1 mA"},
	{"3.3 V pin lifted by an input to 5 V", pin33, on24 + amps(acHeater, "2 A"), "mod-relay-5v-4ch-low", design.PinVoltage, design.Over, true, "4.45 V on a pin without supply"},
	{"3.3 V pin, indicator in series", pin33, on24 + amps(acHeater, "2 A"), "mod-relay-5v-1ch-low", design.StaysOff, design.Over, true, "high it leaves (5.25 - 3.135 - 2.08)/950 = 37 uA, without supply 3.3 mA, of 50 uA"},
	{"3.3 V pin, coils on a supply of their own", pin33, on24 + amps(acHeater, "2 A"), "mod-relay-5v-2ch-low", design.StaysOff, design.Fits, false, "input and pin on one supply: 1 uA of 0.1 mA"},
	{"3.3 V pin, coils on a supply of their own", pin33, on24 + amps(acHeater, "2 A"), "mod-relay-5v-2ch-low", design.GateDrive, design.Fits, false, "(3.135 - 1.4)/(1050 + 40) = 1.592 mA over 1.5 mA"},
	{"3.3 V pin, coils on a supply of their own", pin33, on24 + amps(acHeater, "2 A"), "mod-relay-5v-2ch-low", design.CoilPickup, design.Fits, false, "4.75 V of a rail of 4.75 V; the hot coil wants 4.33 V"},
	{"3.0 V pin, coils on a supply of their own", "supply = \"3.0 V\"\n", on24 + amps(acHeater, "2 A"), "mod-relay-5v-2ch-low", design.GateDrive, design.Over, true, "(2.85 - 1.4)/1090 = 1.33 mA of 1.5 mA"},
	{"5 V pin and board on one supply", "", on24 + amps(acHeater, "2 A"), "mod-relay-5v-4ch-low", design.GateDrive, design.Fits, false, "(4.75 - 1.4)/(1050 + 40) = 3.07 mA over 2 mA"},
	{"5 V pin and board on one supply", "", on24 + amps(acHeater, "2 A"), "mod-relay-5v-4ch-low", design.StaysOff, design.Fits, false, "1 uA of 0.1 mA"},
	{"5 V pin and board on one supply", "", on24 + amps(acHeater, "2 A"), "mod-relay-5v-4ch-low", design.RailCurrent, design.Fits, false, "90 mA of the pin's 400 mA"},
	{"what the pin's supply spares", "rail_current_max = \"80 mA\"\n", on24 + amps(acHeater, "2 A"), "mod-relay-5v-4ch-low", design.RailCurrent, design.Over, true, "90 mA of 80 mA"},
	{"indicator in series at 5 V", "", on24 + amps(acHeater, "2 A"), "mod-relay-5v-1ch-low", design.GateDrive, design.Fits, false, "(4.75 - 3.6)/1090 = 1.055 mA over 0.8 mA"},
	{"pin low at reset", "at_reset = \"low\"\n", on24 + amps(acHeater, "2 A"), "mod-relay-5v-4ch-low", design.StaysOff, design.Over, true, "active-low: on until the program runs"},
	{"pin high at reset", "at_reset = \"high\"\n", on24 + amps(acHeater, "2 A"), "mod-relay-5v-1ch-high", design.StaysOff, design.Over, true, "active-high: on until the program runs"},
	{"pull-down at an active-low input", "", on24 + amps(acHeater, "2 A") + "[load.built]\ntopology = \"module\"\npart = \"mod-relay-5v-4ch-low\"\nr_pulldown = \"10k\"\n", "mod-relay-5v-4ch-low", design.StaysOff, design.Over, true, "(5.25 - 0.8)/(950 + 9500) = 0.43 mA of 0.1 mA while the pin floats"},
	{"3.3 V pin on a transistor input", pin33, on24 + amps(acHeater, "2 A"), "mod-relay-5v-1ch-high", design.GateDrive, design.Fits, false, "2.2k to ground: (3.135*0.982 - 0.9)/(39 + 1050) = 2 mA over 1 mA"},
	{"3.3 V pin on a transistor input", pin33, on24 + amps(acHeater, "2 A"), "mod-relay-5v-1ch-high", design.StaysOff, design.Fits, false, "3.465*2222/22222 = 0.346 V under 0.4 V: 1 uA of 20 uA"},
	{"1.8 V pin on a transistor input", "supply = \"1.8 V\"\n", on24 + amps(acHeater, "2 A"), "mod-relay-5v-1ch-high", design.GateDrive, design.Over, true, "(1.71 - 0.9)/1090 = 0.74 mA of 1 mA at the most"},
	{"5 V pin on inputs that hang on 12 V", "", on24 + amps(acHeater, "2 A"), "mod-relay-12v-4ch-low", design.StaysOff, design.Over, true, "(12.6 - 4.75 - 0.8)/2100 = 3.4 mA of 0.1 mA"},
	{"5 V pin on an input for 24 V", "", on24 + amps(acHeater, "2 A"), "mod-relay-24v-1ch-high", design.GateDrive, design.Over, true, "(4.75 - 3.6)/4740 = 0.24 mA of 2 mA"},
	{"24 V pin on its input", pin24, on24 + amps(acHeater, "2 A"), "mod-relay-24v-1ch-high", design.GateDrive, design.Fits, false, "(22.8 - 3.6)/4740 = 4.05 mA over 2 mA"},
	{"24 V pin on an input for 5 V", pin24 + "source_current_max = \"0.1 A\"\n", on24 + amps(acHeater, "2 A"), "mod-relay-12v-1ch-high", design.GateVoltage, design.Over, true, "(25.2 - 1)/575 = 42 mA into an opto-coupler of 8 mA"},

	// The supply of the coils.
	{"12 V board on 12 V", "", on24 + amps(acHeater, "2 A"), "mod-relay-12v-1ch-high", design.CoilPickup, design.Fits, false, "10.8 V of 11.4 V"},
	{"12 V board on a rail of 15 %", "sag", on24 + amps(acHeater, "2 A"), "mod-relay-12v-1ch-high", design.CoilPickup, design.Over, true, "10.8 V of 10.2 V"},
	{"12 V board in hot air", "hot", on24 + amps(acHeater, "2 A"), "mod-relay-12v-1ch-high", design.CoilTemperature, design.Over, true, "air of 75 C, made for 70 C"},

	// Contacts on the board are contacts.
	{"heater 5 A on the mains, reinforced by default", "", onMains + amps(acHeater, "5 A"), "mod-relay-5v-1ch-high", design.Isolation, design.Over, true, "basic insulation: 2.5 kV of 4, 2 mm of 3"},
	{"heater 5 A on the mains, basic", "", onMains + amps(acHeater, "5 A") + basically, "mod-relay-5v-1ch-high", design.Isolation, design.Fits, false, "1.5 mm of 2, 2.5 mm of 2.6"},
	{"heater 5 A on the mains, basic", "", onMains + amps(acHeater, "5 A") + basically, "mod-relay-5v-1ch-high", design.ContactCurrent, design.Fits, false, "6.11 A of 0.8*10 A"},
	{"heater 10 A on 10 A", "", onMains + amps(acHeater, "10 A") + basically, "mod-relay-5v-1ch-high", design.ContactCurrent, design.Over, true, "the headline current: 12.2 A of 10 A"},
	{"heater 5 A on the mains, reinforced board", pin24, onMains + amps(acHeater, "5 A"), "mod-relay-24v-1ch-high", design.Isolation, design.Fits, false, "4 kV of 8, 3 mm and 5 mm of 8"},
	{"AC figure used for DC", "", dc48 + amps(dcHeat, "5 A"), "mod-relay-5v-1ch-high", design.ContactCurrent, design.Over, true, "5.83 A; at 60 V 1 A, log-log at 48 V 2.1 A"},
	{"lamp that welds", "", dc24 + "kind = \"lamp\"\ncurrent = \"1 A\"\ncold_ratio = 30\ninrush_source = \"measured\"\n", "mod-relay-5v-1ch-high", design.ContactInrush, design.Over, true, "30*1.1*1.03 = 34 A of 20 A"},
	{"pwm on a contact", "", on24 + amps(acHeater, "2 A") + "mode = \"pwm\"\npwm_frequency = \"10 Hz\"\n", "mod-relay-5v-1ch-high", design.ContactRate, design.Over, true, "36000 /h of 1200"},
	{"heater 4 A, on without the logic", "", on24 + amps(acHeater, "4 A") + atRest, "mod-relay-5v-1ch-high", design.ContactCurrent, design.Fits, false, "4.89 A of 0.8*7 A"},
	{"heater 6 A, on without the logic", "", on24 + amps(acHeater, "6 A") + atRest, "mod-relay-5v-1ch-high", design.ContactCurrent, design.Over, true, "7.33 A of 7 A: 10 A is of the other contact"},
	{"release within 30 ms", "", on24 + amps(acHeater, "2 A") + "release_within = \"30 ms\"\n", "mod-relay-5v-1ch-high", design.ReleaseTime, design.Fits, false, "12 ms of the board and 10.6 ms of arc"},
	{"release within 20 ms", "", on24 + amps(acHeater, "2 A") + "release_within = \"20 ms\"\n", "mod-relay-5v-1ch-high", design.ReleaseTime, design.Over, true, "22.6 ms"},
	{"winding without a clamp", "", dc24 + "kind = \"solenoid\"\ncurrent = \"0.8 A\"\ninductance = \"60 mH\"\n[load.built]\ntopology = \"module\"\npart = \"mod-relay-5v-1ch-high\"\nclamp = \"none\"\n", "mod-relay-5v-1ch-high", design.ClampVoltage, design.Over, true, "nothing limits the voltage at the contact"},

	// Channels of one board.
	{"one of four at 6 A", "", on24 + amps(acHeater, "6 A"), "mod-relay-5v-4ch-low", design.ContactCarry, design.Fits, false, "7.33 A of 0.8*10 A"},
	{"four of four at 6 A", "", on24 + amps(acHeater, "6 A") + fourOfThem, "mod-relay-5v-4ch-low", design.ContactCarry, design.Over, true, "7.33 A of 7 A with four on"},
	{"four of four at 4 A", "", on24 + amps(acHeater, "4 A") + fourOfThem, "mod-relay-5v-4ch-low", design.ContactCarry, design.Fits, false, "4.89 A of 0.8*7 A with four on"},

	// Solid-state outputs on a board.
	{"24 V AC valve on a triac board", "", on24 + amps(acCoil, "0.25 A"), "mod-ssr-5v-2a-4ch-low", design.HoldingCurrent, design.Fits, false, "0.25*0.81*1.414 = 0.286 A over 60 mA"},
	{"DC on a triac board", "", dc24 + amps(dcHeat, "1 A"), "mod-ssr-5v-2a-4ch-low", design.Waveform, design.Over, true, "no zero of the current"},
	{"AC on a board for DC", "", on24 + amps(acHeater, "1 A"), "mod-ssr-dc-60v-3a-1ch-high", design.Waveform, design.Over, true, "its diode conducts"},
	{"DC heater 2 A", "", dc24 + amps(dcHeat, "2 A"), "mod-ssr-dc-60v-3a-1ch-high", design.OnCurrent, design.Fits, false, "2.33 A of 0.8*3 A"},
	{"one triac of four at 1 A", "", on24 + amps(acHeater, "1 A"), "mod-ssr-5v-2a-4ch-low", design.OnCurrent, design.Fits, false, "1.22 A of 0.8*2 A"},
	{"four triacs of four at 1 A", "", on24 + amps(acHeater, "1 A") + fourOfThem, "mod-ssr-5v-2a-4ch-low", design.OnCurrent, design.Over, true, "1.222 A of 1.2 A with four on"},
	{"four triacs of four at 0.6 A in air of 60 C", "warm", on24 + amps(acHeater, "0.6 A") + fourOfThem, "mod-ssr-5v-2a-4ch-low", design.OnCurrent, design.Tight, false, "0.733 A of 1.2*1.4/2 = 0.84 A, of which 0.67 A are allowed"},
	{"mains on a triac board, reinforced by default", "", onMains + amps(acHeater, "1 A"), "mod-ssr-5v-2a-1ch-high", design.Isolation, design.Over, true, "basic insulation, 4 kV and 3 mm by 4 mm: 5 mm of creepage are asked"},
	{"LED lamp of 5 W that glows", "", onMains + "kind = \"ac-supply\"\npower = \"5 W\"\n" + basically, "mod-ssr-5v-2a-1ch-high", design.Leakage, design.Unproven, true, "1.5 mA*1.1 of 1 mA assumed, under half of 22 mA"},
	{"3.3 V pin on a triac board on 5 V", pin33, on24 + amps(acHeater, "1 A"), "mod-ssr-5v-2a-4ch-low", design.StaysOff, design.Over, true, "1.4 mA high, 4.7 mA without supply, of 0.1 mA"},
}

// bench is the load of a row on its pin.
func (r *moduleVerdict) bench(t *testing.T, cat *catalog.Catalog) bench {
	t.Helper()
	text, rail := ssrRails, coil12
	switch pin := r.pin; pin {
	case "sag":
		rail = strings.Replace(rail, "5 %", "15 %", 1)
	case "warm":
		text = strings.Replace(text, "ambient_max = \"40 C\"", "ambient_max = \"60 C\"", 1)
	case "hot":
		text = strings.Replace(text, "ambient_max = \"40 C\"", "ambient_max = \"75 C\"", 1)
	default:
		if strings.HasPrefix(pin, "supply =") {
			text = strings.Replace(text, "supply = \"5 V\"\nsupply_tolerance = \"5 %\"\n", pin, 1)
		} else {
			text = strings.Replace(text, "[pin]\n", "[pin]\n"+pin, 1)
		}
	}
	if strings.HasPrefix(r.pin, "supply =") {
		rail += fiveRail
	}
	return benchOn(t, cat, text+rail+"[[load]]\nname = \"x\"\n"+r.load)
}

// design is the module's design for the row, nil where it does not serve.
func (r *moduleVerdict) design(t *testing.T, b *bench) (d *design.Design, why string) {
	t.Helper()
	return asked(t, module{}, b, partOf(t, b.env.Catalog, r.part), "")
}

func TestModuleVerdicts(t *testing.T) {
	cat, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	traps := 0
	for i := range moduleVerdicts {
		r := &moduleVerdicts[i]
		t.Run(r.name+" on "+r.part+", "+r.check.String(), func(t *testing.T) {
			b := r.bench(t, cat)
			d, why := r.design(t, &b)
			if d == nil {
				t.Fatal(why)
			}
			row := loadVerdict{check: r.check, want: r.want, trap: r.trap, why: r.why}
			row.holds(t, d, design.StageSelf)
			for _, id := range Of(module{}, partOf(t, cat, r.part)).Owes(b.m) {
				if find(d, id, design.StageSelf) == nil && !slices.ContainsFunc(d.NA, func(n design.NotApplicable) bool { return n.ID == id }) {
					t.Errorf("owes %s", id)
				}
			}
		})
		if r.trap {
			traps++
		}
	}
	if len(moduleVerdicts) < 40 || traps < 20 {
		t.Errorf("%d rows, %d of them traps", len(moduleVerdicts), traps)
	}
}

// Every board of the catalogue serves some load from some pin, so that none is there
// for nothing.
func TestEveryModuleFitsSomething(t *testing.T) {
	cat, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	for i := range cat.Modules {
		id, found := cat.Modules[i].ID, false
		for _, pin := range []string{"", pin33, pin24, "supply = \"12 V\"\n", "supply = \"5 V\"\nsupply_tolerance = \"2 %\"\nat_reset = \"low\"\n"} {
			for _, l := range []string{on24 + amps(acHeater, "0.5 A"), "rail = \"logic\"\n" + amps(dcHeat, "0.5 A"), dc24 + amps(dcHeat, "0.5 A")} {
				r := moduleVerdict{pin: pin, load: l, part: id}
				b := r.bench(t, cat)
				if d, _ := r.design(t, &b); d != nil && d.Verdict == design.Fits {
					found = true
				}
			}
		}
		if !found {
			t.Errorf("%s fits nothing", id)
		}
	}
}

// Loads that share a board of four: heaters on 24 V AC beside one another, with what each
// may carry then; and what must not stand side by side.
func TestSharedBoard(t *testing.T) {
	cat, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	share := func(load string) design.Share {
		r := moduleVerdict{load: load, part: "mod-relay-5v-4ch-low"}
		b := r.bench(t, cat)
		d, why := r.design(t, &b)
		if d == nil {
			t.Fatal(why)
		}
		return d.Share
	}
	pol, err := catalog.PolicyByName("bench")
	if err != nil {
		t.Fatal(err)
	}
	ask := func(uses ...design.Share) (worst design.Verdict, of design.CheckID) {
		for _, c := range PackageChecks(cat, pol, partOf(t, cat, "mod-relay-5v-4ch-low"), 40, uses) {
			if c.Verdict > worst {
				worst, of = c.Verdict, c.ID
			}
		}
		return worst, of
	}
	valve, heater := share(on24+amps(acHeater, "1 A")), share(on24+amps(acHeater, "5 A"))
	mains := share(onMains + amps(acHeater, "2 A") + basically)
	for _, c := range []struct {
		name string
		uses []design.Share
		want design.Verdict
		of   design.CheckID
	}{
		// Four are stated at 7 A each, of which 5.6 A are allowed: 5 A make 6.11 A.
		{"four valves", []design.Share{valve, valve, valve, valve}, design.Fits, 0},
		{"a heater of 5 A among them", []design.Share{valve, heater}, design.Tight, design.ContactCarry},
		{"five of four", []design.Share{valve, valve, valve, valve, valve}, design.Over, design.ContactCarry},
		{"two on the mains", []design.Share{mains, mains}, design.Fits, 0},
		{"the mains beside 24 V", []design.Share{valve, mains}, design.Over, design.Isolation},
	} {
		if got, of := ask(c.uses...); got != c.want || got != design.Fits && of != c.of {
			t.Errorf("%s: %s by %s", c.name, got, of)
		}
	}
	other := valve
	other.Feed = "another"
	if got, of := ask(valve, other); got != design.Over || of != design.GateVoltage {
		t.Errorf("two supplies: %s by %s", got, of)
	}
	if got, _ := ask(); got != design.Fits {
		t.Errorf("nothing: %s", got)
	}
}
