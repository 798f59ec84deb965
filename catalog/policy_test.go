package catalog

import (
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
)

func TestPolicies(t *testing.T) {
	// The table of factors that the two policies promise.
	want := []Policy{
		{Name: "bench", V: 0.8, VGate: 0.8, I: 0.8, IPeak: 0.8, P: 0.8, TjBelow: 25, PResistor: 0.6, VResistor: 0.8,
			VCapacitor: 0.7, IContact: 0.8, InrushContact: 0.8, Life: 0.7, Energy: 0.7, Overdrive: 2, I2t: 0.2, IFuse: 0.75},
		{Name: "none", V: 1, VGate: 1, I: 1, IPeak: 1, P: 1, TjBelow: 0, PResistor: 1, VResistor: 1, VCapacitor: 1,
			IContact: 1, InrushContact: 1, Life: 1, Energy: 1, Overdrive: 1, I2t: 0.2, IFuse: 0.75},
	}
	got := Policies()
	if len(got) != len(want) {
		t.Fatalf("%d policies, want %d", len(got), len(want))
	}
	for i, w := range want {
		if got[i].Source == "" {
			t.Errorf("%s has no source", w.Name)
		}
		w.Source = got[i].Source
		if !reflect.DeepEqual(*got[i], w) {
			t.Errorf("got  %+v\nwant %+v", *got[i], w)
		}
		p, err := PolicyByName(w.Name)
		if err != nil || p != got[i] {
			t.Errorf("PolicyByName(%q) gives %v, %v", w.Name, p, err)
		}
	}
	_, err := PolicyByName("bold")
	if err == nil || err.Error() != `found policy "bold", expected bench or none, or a file of your own` {
		t.Errorf("error %v", err)
	}
}

// ownPolicy is a policy that is right; the cases below break it.
const ownPolicy = `name = "mine"
source = "my own"
v = 0.75
v_gate = "80 %"
i = 0.5
i_peak = 0.8
p = 0.5
t_j = "40 K"
p_resistor = 0.5
v_resistor = 0.8
v_capacitor = 0.5
i_contact = 0.5
inrush_contact = 0.5
life = 0.5
energy = 0.5
overdrive = 3
i2t = 0.1
i_fuse = 0.5
`

func TestLoadPolicy(t *testing.T) {
	p, errs := LoadPolicy("mine.toml", []byte(ownPolicy))
	if errs != nil {
		t.Fatal(errs)
	}
	if p.Name != "mine" || p.V != 0.75 || p.VGate != 0.8 || p.TjBelow != 40 || p.Overdrive != 3 || p.IFuse != 0.5 {
		t.Errorf("%+v", p)
	}
	for _, tc := range []struct{ name, old, new, want string }{
		{"missing class", "energy = 0.5\n", "",
			"mine.toml:1:1: energy: found nothing, expected a ratio, such as 10 %, or a bare number"},
		{"above one", "i = 0.5", "i = 1.25", "mine.toml:5:1: i: found 1.25, expected at most 1: a policy only tightens"},
		{"zero", "life = 0.5", "life = 0", "mine.toml:14:1: life: found 0, expected a value above zero"},
		{"negative", "p = 0.5", "p = -0.5", "mine.toml:7:1: p: found -0.5, expected a value above zero"},
		{"overdrive under one", "overdrive = 3", "overdrive = 0.9",
			"mine.toml:16:1: overdrive: found 90 %, expected at least 1: a base is never driven with less than it needs"},
		{"below zero kelvin", `t_j = "40 K"`, `t_j = "-1 K"`, "mine.toml:8:1: t_j: found -1 K, expected at least 0"},
		{"celsius", `t_j = "40 K"`, `t_j = "40 C"`, "mine.toml:8:1: t_j: found 40 C, expected a temperature difference, such as 10 K (degrees Celsius are for temperatures; a difference is in kelvin: 40 K)"},
		{"not a number", "v = 0.75", "v = nan", "mine.toml:3:1: v: found NaN, expected a finite number"},
		{"unknown class", "i2t = 0.1", "i2t = 0.1\nI_Fuse = 1", "mine.toml:18:1: I_Fuse: found an unknown key, expected a known one: did you mean i_fuse?"},
		{"schema", "v = 0.75", "schema = 2\nv = 0.75", "mine.toml:3:1: schema: found 2, expected 1, the newest that is understood"},
		{"no source", "source = \"my own\"\n", "", "mine.toml:1:1: source: found nothing, expected text in quotation marks"},
		{"syntax", "v = 0.75", "v = 0,75", "mine.toml:3:6: v: found ',', expected a top-level item to end with a newline, comment, or EOF (a decimal point, not a comma)"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			if !strings.Contains(ownPolicy, tc.old) {
				t.Fatal("the case breaks nothing")
			}
			p, errs := LoadPolicy("mine.toml", []byte(strings.Replace(ownPolicy, tc.old, tc.new, 1)))
			if p != nil || errs.Error() != tc.want {
				t.Errorf("policy %v\ngot  %v\nwant %v", p, errs, tc.want)
			}
		})
	}
}

// TestPolicyFilesAreNamed proves that every embedded policy file is offered.
func TestPolicyFilesAreNamed(t *testing.T) {
	files, err := filepath.Glob("policies/*.toml")
	if err != nil || len(files) != len(policyNames) {
		t.Fatalf("%d files, %d names, %v", len(files), len(policyNames), err)
	}
	for _, n := range policyNames {
		if _, err := os.Stat("policies/" + n + ".toml"); err != nil {
			t.Error(err)
		}
	}
}
