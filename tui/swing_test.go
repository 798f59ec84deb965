package tui

import "testing"

// A coil that reads 15 ohm with 12 V on its label; the figures are those worked out by
// hand in the engine's test.
func TestFromAMeasurement(t *testing.T) {
	m := open(t, &fake{}, 80, 24)
	toStart(t, m, "a measurement")
	press(m, "enter")
	must(t, m, "> or resistance", "such as 15 ohm")
	press(m, "15 ohm")
	mustNot(t, m, "it draws")
	toField(t, m, "load[0].supply")
	press(m, "12v")
	toField(t, m, measuredPath)
	must(t, m, "496 mA to 1.02 A, hot to cold", "it draws 800 mA; cold 1.02 A (12.6 V, 0 C), hot 496 mA (11.4 V, 120 C)")
	press(m, "backspace")
	must(t, m, "or resistance     [ 15 oh")
}

// What is told is of the load at hand and of the job as it stands.
func TestDrawsOfTheLoadAtHand(t *testing.T) {
	m := open(t, &fake{}, 80, 24)
	press(m, "ctrl+o")
	toField(t, m, "load[1].current")
	press(m, "ctrl+u", "0.4A")
	must(t, m, "it draws 400 mA;")
	press(m, "f3")
	toField(t, m, "load[0].current")
	must(t, m, "it draws 800 mA;")
}
