package job

import (
	"math"
	"slices"
	"testing"
)

func TestPinPresets(t *testing.T) {
	for _, name := range PinPresets() {
		spec := Demo()
		if err := SetPinPreset(spec, name); err != nil {
			t.Fatal(err)
		}
		if got := PinPreset(spec); got != name {
			t.Errorf("%s is taken for %q", name, got)
		}
		j, errs := Resolve(spec)
		if j == nil || len(errs) > 0 {
			t.Errorf("%s: %v", name, errs)
		}
	}
	spec := Demo()
	if got := PinPreset(spec); got != "5 V" {
		t.Errorf("the pin of the built-in job is %q", got)
	}
	if err := Set(spec, "pin.leakage_max", "3 uA"); err != nil {
		t.Fatal(err)
	}
	if got := PinPreset(spec); got != "" {
		t.Errorf("a pin of its own is taken for %q", got)
	}
	if err := SetPinPreset(spec, "12 V"); err == nil || !slices.Contains(PinPresets(), "24 V") {
		t.Errorf("12 V: %v", err)
	}
	if text, _ := Get(spec, "pin.leakage_max"); text != "3 uA" {
		t.Errorf("a preset that is none changed the pin: leakage %q", text)
	}
}

// IEC 61131-2 (from memory): a 24 V DC output of 0.5 A has a supply of 19.2 V to
// 30 V, loses at most 3 V and leaks at most 0.5 mA.
func TestControllerOutput(t *testing.T) {
	spec := Demo()
	if err := SetPinPreset(spec, "24 V"); err != nil {
		t.Fatal(err)
	}
	j, _ := Resolve(spec)
	p := j.Pin
	if math.Abs(float64(p.SupplyMin)-19.2) > 1e-9 || p.SupplyMax > 30 || float64(p.ROutMax*0.5) > 3 || p.LeakageMax != 0.5e-3 || p.SourceMax != 0.5 {
		t.Errorf("%+v", p)
	}
}
