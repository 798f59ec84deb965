package topology

import (
	"strings"
	"testing"

	"example.org/pinhoist/catalog"
)

// Parts of hand calculations are written as a class of figures and what differs from
// it: their figures are invented for the purpose.

const (
	// handFET are the figures of a MOSFET of 60 V and 30 mohm with a gate for 4.5 V.
	handFET = `
package = "TO-220"
price = "0.50 EUR"
t_j_max = "150 C"
r_th_ja_max = "62 K/W"
r_th_jc_max = "2 K/W"
foster_jc = [{ r = "0.5 K/W", tau = "1 ms" }, { r = "1.5 K/W", tau = "20 ms" }]
channel = "n"
v_ds_max = "60 V"
v_gs_max = "20 V"
v_gs_th = { i_d = "250 uA", min = "1 V", max = "2.5 V" }
v_gs_th_slope_max = "5 mV/K"
r_ds_on = [{ v_gs = "4.5 V", i_d = "15 A", t_j = "25 C", max = "30 mohm" }]
r_ds_on_hot_max = { t_j = "150 C", factor = 1.9 }
i_d_case25_max = "30 A"
i_dm_max = "100 A"
i_dss_max = [{ v_ds = "60 V", t_j = "150 C", max = "100 uA" }]
i_gss_max = "1 nA"
q_g_max = { v_gs = "5 V", q = "20 nC" }
q_gd_max = "6 nC"
q_gs_max = "5 nC"
r_gate_internal_max = "0 ohm"`
	// handTransistor are those of a bipolar transistor of 60 V and 2 A.
	handTransistor = `
package = "TO-220"
price = "0.40 EUR"
t_j_max = "150 C"
r_th_ja_max = "62 K/W"
r_th_jc_max = "5 K/W"
polarity = "npn"
darlington = false
v_ceo_max = "60 V"
v_ebo_max = "6 V"
i_c_max = "2 A"
i_b_max = "0.5 A"
h_fe = [{ i_c = "0.5 A", v_ce = "2 V", t_j = "25 C", min = 150 }, { i_c = "1 A", v_ce = "2 V", t_j = "25 C", min = 120 }]
v_ce_sat = [{ i_c = "1 A", i_b = "20 mA", t_j = "25 C", max = "0.35 V", typ = "0.2 V" }]
v_be_sat = [{ i_c = "1 A", i_b = "20 mA", t_j = "25 C", max = "1 V" }]
v_be_on_min = "0.5 V"
i_cbo_max = [{ v_cb = "60 V", t_j = "150 C", max = "1 nA" }]
i_ceo_max = [{ v_ce = "60 V", t_j = "150 C", max = "10 nA" }]
switching_max = { t_d = "50 ns", t_r = "0.1 us", t_s = "1 us", t_f = "0.2 us", i_c = "1 A", i_b1 = "20 mA", i_b2 = "1 mA" }
soa = [{ t = "10 ms", points = [{ v = "1 V", i = "2 A" }, { v = "20 V", i = "2 A" }, { v = "60 V", i = "0.5 A" }] }, { t = "dc", points = [{ v = "1 V", i = "2 A" }, { v = "12 V", i = "1.5 A" }, { v = "60 V", i = "0.2 A" }] }]`

	partsHead = "schema = 1\ncurrency = \"EUR\"\n"
)

// handPart is a part of a class with other figures: a line of change replaces the one
// with its key, or is a figure more; a key alone takes the figure away.
func handPart(kind, id, class string, change ...string) string {
	return "\n[[" + kind + "]]\nid = \"" + id + "\"\ntitle = \"" + kind + " " + id + " of the hand calculation\"\nprovenance = \"invented for a hand calculation\"" + figured(class, change...) + "\n"
}

// figured is a class with other figures.
func figured(class string, change ...string) string {
	lines := strings.Split(class, "\n")
	for _, c := range change {
		key, _, has := strings.Cut(c, " = ")
		at := -1
		for i, l := range lines {
			if strings.HasPrefix(l, key+" = ") {
				at = i
			}
		}
		switch {
		case !has && at >= 0:
			lines = append(lines[:at], lines[at+1:]...)
		case at >= 0:
			lines[at] = c
		default:
			lines = append(lines, c)
		}
	}
	return strings.Join(lines, "\n")
}

// loadWith is the embedded catalogue with more texts.
func loadWith(texts ...string) (*catalog.Catalog, error) {
	sources, err := catalog.EmbeddedSources()
	if err != nil {
		return nil, err
	}
	for i, text := range texts {
		sources = append(sources, catalog.Source{Name: "hand" + string(rune('a'+i)) + ".toml", Text: []byte(text)})
	}
	cat, errs := catalog.Load(sources)
	if errs.Fatal() {
		return nil, errs
	}
	return cat, nil
}

// catalogWith is loadWith, for one test.
func catalogWith(t testing.TB, texts ...string) *catalog.Catalog {
	t.Helper()
	cat, err := loadWith(texts...)
	if err != nil {
		t.Fatal(err)
	}
	return cat
}
