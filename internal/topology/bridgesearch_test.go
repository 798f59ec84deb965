package topology

import (
	"fmt"
	"slices"
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
)

// reversed is a job with one motor that is reversed.
func reversed(volts, amps, stall, stallTime string) string {
	text := fmt.Sprintf("[[rail]]\nname = \"r\"\nvoltage = %q\ntolerance = \"5 %%\"\n[[load]]\nname = \"m\"\nkind = \"motor\"\nrail = \"r\"\nreversing = true\ncurrent = %q\nstall_current = %q\ninductance = \"1 mH\"\n", volts, amps, stall)
	if stallTime != "" {
		text += fmt.Sprintf("stall_time = %q\n", stallTime)
	}
	return text
}

// serves lists the low sides out of the embedded catalogue that a bridge may have.
func servedBy(b bench, cat *catalog.Catalog) (list []catalog.Part) {
	for _, sw := range cat.Switches() {
		if (bridge{}).Serves(b.env, b.m, sw) == "" {
			list = append(list, sw)
		}
	}
	return list
}

func bridgeOf(b bench, sw catalog.Part, given *Given) *design.Design {
	d := new(design.Design)
	bridge{}.Design(b.env, b.m, sw, given, d)
	return d
}

// No high side that one could name by hand makes a bridge fit, or tight, that is worse
// without: every one of the catalogue is tried in its place.
func TestBridgeFindsItsHelpers(t *testing.T) {
	cat, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	better := 0
	for _, text := range []string{
		reversed("12 V", "2 A", "6 A", "100 ms"), reversed("12 V", "2 A", "3 A", "1 s"),
		reversed("24 V", "0.5 A", "2 A", "5 s"), reversed("12 V", "0.5 A", "4 A", "10 ms"),
	} {
		b := benchOn(t, cat, text)
		for _, sw := range servedBy(b, cat) {
			d := bridgeOf(b, sw, &Given{})
			if d.Verdict == design.Fits {
				if d.Half.Part != b.env.bridgeHalves(b.env.plugging(b.m), &Given{}, nil)[0].p.ID {
					better++
				}
				continue
			}
			for _, up := range b.env.uppers {
				if _, ok := up.(*catalog.MOSFET); !ok {
					continue
				}
				if by := bridgeOf(b, sw, &Given{HalfPart: up.Base().ID}); by.Verdict < d.Verdict && by.Verdict <= design.Tight {
					t.Errorf("%s is %s with %s, and %s with %s\n%s", sw.Base().ID, d.Verdict, d.Half.Part, by.Verdict, by.Half.Part, text)
				}
			}
		}
	}
	if better == 0 {
		t.Error("no bridge took another high side than the first: nothing was tried")
	}
}

// A longer jam never makes a bridge better. Those that are unproven or over at every
// length are left out: of them the cheapest helpers are told, which may differ.
func TestBridgeWorsensWithTheJam(t *testing.T) {
	cat, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	times := []string{"10 ms", "100 ms", "1 s", "5 s", "100 s"}
	for _, motor := range [][3]string{{"24 V", "2 A", "3 A"}, {"12 V", "2 A", "6 A"}, {"24 V", "0.5 A", "1 A"}, {"12 V", "0.5 A", "2 A"}} {
		last := map[string]design.Verdict{}
		best := []design.Verdict{}
		for _, time := range times {
			b := benchOn(t, cat, reversed(motor[0], motor[1], motor[2], time))
			least := design.Over
			for _, sw := range servedBy(b, cat) {
				d := bridgeOf(b, sw, &Given{})
				id := sw.Base().ID
				before, seen := last[id]
				switch least = min(least, d.Verdict); {
				case !seen, d.Verdict >= before, d.Verdict == design.Unproven:
				default:
					t.Errorf("%v: %s is %s with a jam of %q, and was %s with a shorter one", motor, id, d.Verdict, time, before)
				}
				last[id] = d.Verdict
			}
			best = append(best, least)
		}
		if !slices.Contains(best, design.Fits) && motor[1] != "2 A" {
			t.Errorf("%v: nothing fits: %v", motor, best)
		}
	}
}
