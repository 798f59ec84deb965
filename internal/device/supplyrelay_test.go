package device

import (
	"strings"
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/job"
)

// A figure stated by Supply must be read by the law that misses it, and more of
// it must never be worse.
func TestSupplyContact(t *testing.T) {
	at := Condition{IMax: 12, ISteady: 2, VMax: 26, VPeak: 40, T: 40}
	for _, tc := range []struct {
		figure string
		read   func(c *catalog.Contact) design.Number
		value  float64
		want   float64
	}{
		{"no.dc.i", func(c *catalog.Contact) design.Number {
			return SwitchingCurrent(c, ContactDuty{Kind: job.Lamp, V: 24}).Rating
		}, 7, 7},
		{"no.dc.i", func(c *catalog.Contact) design.Number {
			return SwitchingCurrent(c, ContactDuty{Kind: job.Solenoid, V: 24, Inductive: true, LoverR: design.Known(0.1)}).Rating
		}, 7, 7},
		{"no.make.i", func(c *catalog.Contact) design.Number {
			return MakeCurrent(c, ContactDuty{Kind: job.Capacitive, V: 24}, 5).Rating
		}, 55, 55},
		{"no.life.operations", func(c *catalog.Contact) design.Number {
			return ContactLife(c, ContactDuty{Kind: job.Motor, V: 24, Inductive: true}, 2).Rating
		}, 3e4, 3e4},
		{"no.wetting.i", func(c *catalog.Contact) design.Number { _, i := MinimumLoad(c); return i }, 1e-3, 1e-3},
		{"no.wetting.v", func(c *catalog.Contact) design.Number { v, _ := MinimumLoad(c); return v }, 2, 2},
		{"no.i_carry_max", func(c *catalog.Contact) design.Number { return Carry(c) }, 6, 6},
		{"no.v_dc_max", func(c *catalog.Contact) design.Number { return ContactVoltage(c, false) }, 60, 60},
		{"no.rate_max", func(c *catalog.Contact) design.Number {
			r, _, _ := ContactRate(&catalog.Relay{}, c)
			return r
		}, 900, 900},
	} {
		r := &catalog.Relay{NO: &catalog.Contact{}}
		if !strings.HasPrefix(tc.figure, "no.wetting") && tc.figure != "no.rate_max" && tc.read(r.NO).OK {
			t.Errorf("%s is there before it is stated", tc.figure)
		}
		s, ok := Supply(r, tc.figure, at)
		if !ok || s.Low >= s.High {
			t.Errorf("%s: %v, %g to %g", tc.figure, ok, s.Low, s.High)
			continue
		}
		s.To(tc.value / 2)
		s.To(tc.value)
		wantNumber(t, tc.figure, tc.read(r.NO), tc.want, 1e-12)
	}
	if _, ok := Supply(&catalog.Relay{}, "no.dc.i", at); ok {
		t.Error("a figure of a contact that is not there")
	}
	if _, ok := Supply(&catalog.Relay{}, "isolation.clearance", at); ok {
		t.Error("a distance of an insulation without a grade")
	}
}
