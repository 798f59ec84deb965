package job

import (
	_ "embed"
	"slices"
)

//go:embed demo.toml
var demoText []byte

// DemoText returns the built-in job as a file.
func DemoText() []byte { return slices.Clone(demoText) }

// Demo returns the built-in job: the latch of a greenhouse vent on a 12 V bench
// supply.
func Demo() *Spec {
	spec, errs := Decode("demo", demoText)
	if errs.Fatal() {
		panic("job: the built-in demo cannot be read: " + errs.Error())
	}
	return spec
}

// Clone returns a copy of the job that shares nothing with it.
func Clone(spec *Spec) *Spec {
	c := *spec
	c.Schema = clonePtr(spec.Schema)
	c.Rails = slices.Clone(spec.Rails)
	c.Loads = slices.Clone(spec.Loads)
	for i := range c.Loads {
		l := &c.Loads[i]
		l.Quantity = clonePtr(l.Quantity)
		l.OperationsPerYear = clonePtr(l.OperationsPerYear)
		l.AvalancheEvents = clonePtr(l.AvalancheEvents)
		l.PollutionDegree = clonePtr(l.PollutionDegree)
		l.ExclusiveWith = slices.Clone(l.ExclusiveWith)
		l.Built = clonePtr(l.Built)
	}
	return &c
}

func clonePtr[T any](p *T) *T {
	if p == nil {
		return nil
	}
	v := *p
	return &v
}
