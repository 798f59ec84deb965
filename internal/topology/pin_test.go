package topology

import (
	"testing"

	"example.org/pinhoist/internal/design"
)

// onPin is a job whose load is on the default pin itself: 5 V +-5 %, 15 to 40 ohm.
func onPin(t *testing.T, name string) *design.Design {
	t.Helper()
	b := benchOn(t, handCatalog(t), workedJob(name))
	if why := (direct{}).Serves(b.env, b.m, PinPart()); why != "" {
		t.Fatal(why)
	}
	d := new(design.Design)
	direct{}.Design(b.env, b.m, PinPart(), &Given{}, d)
	return d
}

// What the default pin gives, by arithmetic on its own figures (DERIVED).
func TestPinByHand(t *testing.T) {
	// The high level under load: 4.75 V - 20 mA*40 ohm = 3.95 V, at 10 mA 4.35 V.
	for _, tc := range []struct {
		job   string
		least float64
	}{{"direct-signal-20ma", 3.95}, {"direct-signal-10ma", 4.35}} {
		d := onPin(t, tc.job)
		wantNear(t, tc.job, find(d, design.LoadVoltage, design.StageSelf).Rating, tc.least, 1e-3)
	}
	// 250 ohm take 5.25/250 = 21.0 mA without the pin's own resistance, and with it
	// 5.25/265 = 19.81 mA: within its 20 mA.
	d := onPin(t, "direct-250-ohm")
	c := find(d, design.PinCurrent, design.StageSelf)
	wantNear(t, "250 ohm", c.Stress, 19.81e-3, 1e-3)
	if c.Verdict != design.Fits {
		t.Errorf("250 ohm: %s", c.Verdict)
	}
	// 245 ohm take 5.25/260 = 20.19 mA: over.
	d = onPin(t, "direct-245-ohm")
	if c := find(d, design.PinCurrent, design.StageSelf); c.Verdict != design.Over {
		t.Errorf("245 ohm: %s", c.Verdict)
	}
	// A relay coil of 70 ohm less 10 % takes 83.3 mA by itself, 5.25/(63 + 15) =
	// 67.3 mA through the pin's resistance: over by far, a driver is needed (coil
	// resistance READ in data sheets of the class, DERIVED).
	d = onPin(t, "direct-relay-coil")
	c = find(d, design.PinCurrent, design.StageSelf)
	wantNear(t, "a coil of 70 ohm", c.Stress, 5.25/78, 1e-3)
	if c.Verdict != design.Over || d.Verdict != design.Over {
		t.Errorf("a coil of 70 ohm: %s in a stage that is %s", c.Verdict, d.Verdict)
	}
	// A load of constant power draws the more the less is left for it: 5 V*16.2 mA are 81 mW,
	// of 4.75 V 17.05 mA, and behind 40 ohm i*(4.75 V - i*40 ohm) = 81 mW, 20.65 mA.
	d = onPin(t, "direct-constant-power")
	c = find(d, design.PinCurrent, design.StageSelf)
	wantNear(t, "constant power", c.Stress, 20.645e-3, 1e-3)
	if c.Verdict != design.Over {
		t.Errorf("81 mW: %s", c.Verdict)
	}
}
