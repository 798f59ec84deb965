package catalog

import (
	"embed"
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"sync"

	q "example.org/pinhoist/internal/quantity"
	"example.org/pinhoist/internal/source"
)

//go:embed policies
var policyFiles embed.FS

// policyNames are the policies that come with the program, in the order shown.
var policyNames = []string{"bench", "none", "eee-inst-002", "ecss"}

// policyFile is a policy as written: every class, a name and a source.
type policyFile struct {
	Schema        *int            `key:"schema"`
	Name          string          `key:"name" need:"R"`
	Source        string          `key:"source" need:"R"`
	FromMemory    bool            `key:"from_memory"`
	LookUp        string          `key:"look_up"`
	FromBench     []string        `key:"from_bench"`
	V             q.Opt[q.Ratio]  `key:"v" need:"R"`
	VGate         q.Opt[q.Ratio]  `key:"v_gate" need:"R"`
	I             q.Opt[q.Ratio]  `key:"i" need:"R"`
	IPeak         q.Opt[q.Ratio]  `key:"i_peak" need:"R"`
	P             q.Opt[q.Ratio]  `key:"p" need:"R"`
	Tj            q.Opt[q.Kelvin] `key:"t_j" need:"R" min:"0"`
	PResistor     q.Opt[q.Ratio]  `key:"p_resistor" need:"R"`
	VResistor     q.Opt[q.Ratio]  `key:"v_resistor" need:"R"`
	VCapacitor    q.Opt[q.Ratio]  `key:"v_capacitor" need:"R"`
	IContact      q.Opt[q.Ratio]  `key:"i_contact" need:"R"`
	InrushContact q.Opt[q.Ratio]  `key:"inrush_contact" need:"R"`
	Life          q.Opt[q.Ratio]  `key:"life" need:"R"`
	Energy        q.Opt[q.Ratio]  `key:"energy" need:"R"`
	Overdrive     q.Opt[q.Ratio]  `key:"overdrive" need:"R"`
	I2t           q.Opt[q.Ratio]  `key:"i2t" need:"R"`
	IFuse         q.Opt[q.Ratio]  `key:"i_fuse" need:"R"`
	// What a table sets apart from its class.
	VFET        q.Opt[q.Ratio]   `key:"v_fet"`
	VDiode      q.Opt[q.Ratio]   `key:"v_diode"`
	IDiode      q.Opt[q.Ratio]   `key:"i_diode"`
	ISurgeDiode q.Opt[q.Ratio]   `key:"i_surge_diode"`
	TjLimit     q.Opt[q.Celsius] `key:"t_j_limit" span:"50 C..250 C"`
}

var policies = sync.OnceValues(func() ([]*Policy, error) {
	var out []*Policy
	for _, n := range policyNames {
		text, err := policyFiles.ReadFile("policies/" + n + ".toml")
		if err != nil {
			return nil, err
		}
		p, errs := LoadPolicy("policies/"+n+".toml", text)
		if len(errs) > 0 {
			return nil, errs
		}
		out = append(out, p)
	}
	return out, nil
})

// Policies are the policies that come with the program, in the order in which
// they are shown. They must not be changed.
func Policies() []*Policy {
	ps, err := policies()
	if err != nil {
		panic("catalog: the embedded policies: " + err.Error()) // a test reads them all
	}
	return slices.Clone(ps)
}

// PolicyByName finds one of Policies.
func PolicyByName(name string) (*Policy, error) {
	if _, err := policies(); err != nil {
		return nil, err
	}
	for _, p := range Policies() {
		if p.Name == name {
			return p, nil
		}
	}
	return nil, fmt.Errorf("found policy %q, expected %s, or a file of your own", name, listed(policyNames))
}

// listed is "a, b or c".
func listed(words []string) string {
	n := len(words) - 1
	return strings.Join(words[:n], ", ") + " or " + words[n]
}

// LoadPolicy decodes a policy of one's own: TOML with every class, a name and a
// source. A factor is above 0 and at most 1, so that a policy only ever
// tightens; overdrive is at least 1 and t_j, in kelvin below the maximum, at
// least 0. Optional keys set apart what a published table does: v_fet, v_diode,
// i_diode and i_surge_diode take the place of v and i for MOSFETs and diodes, and
// no junction may be hotter than t_j_limit; look_up names the table of factors that
// are from memory, from_bench the classes that the source does not have.
func LoadPolicy(name string, text []byte) (*Policy, source.Errors) {
	doc, errs := source.Parse(name, text)
	if doc == nil {
		return nil, errs
	}
	var f policyFile
	errs = append(errs, source.Decode(doc, &f, source.Options{RequireAll: true})...)
	if f.Schema != nil && *f.Schema != Schema {
		errs = append(errs, doc.Errorf("schema", strconv.Itoa(*f.Schema), "1, the newest that is understood"))
	}
	errs = append(errs, factorRanges(doc, &f)...)
	errs = append(errs, knownClasses(doc, &f)...)
	errs.Sort()
	if errs.Fatal() {
		return nil, errs
	}
	return f.policy(), errs
}

// factorRanges checks what the decoder does not: the upper end of each factor
// and the lower end of overdrive.
func factorRanges(doc *source.Document, f *policyFile) source.Errors {
	var errs source.Errors
	v := reflect.ValueOf(f).Elem()
	for i := range v.NumField() {
		o, ok := v.Field(i).Addr().Interface().(*q.Opt[q.Ratio])
		if !ok || !o.Known() || o.Value() <= 0 {
			continue
		}
		key := v.Type().Field(i).Tag.Get("key")
		switch {
		case key == "overdrive" && o.Value() < 1:
			errs = append(errs, doc.Errorf(key, o.ExactText(), "at least 1: a base is never driven with less than it needs"))
		case key != "overdrive" && o.Value() > 1:
			errs = append(errs, doc.Errorf(key, o.ExactText(), "at most 1: a policy only tightens"))
		}
	}
	return errs
}

// knownClasses checks that what is said to be bench's is a class.
func knownClasses(doc *source.Document, f *policyFile) source.Errors {
	var keys []string
	t := reflect.TypeOf(*f)
	for i := range t.NumField() {
		if _, ok := reflect.New(t.Field(i).Type).Interface().(*q.Opt[q.Ratio]); ok || t.Field(i).Name == "Tj" {
			keys = append(keys, t.Field(i).Tag.Get("key"))
		}
	}
	var errs source.Errors
	for i, k := range f.FromBench {
		if !slices.Contains(keys, k) {
			errs = append(errs, doc.Errorf("from_bench["+strconv.Itoa(i)+"]", strconv.Quote(k), "a class of factors: "+strings.Join(keys, ", ")))
		}
	}
	return errs
}

func (f *policyFile) policy() *Policy {
	r := func(o q.Opt[q.Ratio]) float64 { return float64(o.Value()) }
	own := func(o q.Opt[q.Ratio]) float64 { return float64(o.Or(0)) }
	return &Policy{
		LookUp: f.LookUp, FromBench: f.FromBench,
		VFET: own(f.VFET), VDiode: own(f.VDiode), IDiode: own(f.IDiode), ISurgeDiode: own(f.ISurgeDiode), TjLimit: f.TjLimit,
		Name: f.Name, Source: f.Source, FromMemory: f.FromMemory,
		V: r(f.V), VGate: r(f.VGate), I: r(f.I), IPeak: r(f.IPeak), P: r(f.P),
		TjBelow:   float64(f.Tj.Value()),
		PResistor: r(f.PResistor), VResistor: r(f.VResistor), VCapacitor: r(f.VCapacitor),
		IContact: r(f.IContact), InrushContact: r(f.InrushContact), Life: r(f.Life), Energy: r(f.Energy),
		Overdrive: r(f.Overdrive), I2t: r(f.I2t), IFuse: r(f.IFuse),
	}
}
