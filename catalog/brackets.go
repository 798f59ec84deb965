package catalog

import q "example.org/pinhoist/internal/quantity"

// Brackets: the figure that stands in for one that a part does not state. Each
// is the worst of its class, so that a fallback is always on the safe side;
// lint refuses an embedded part that states something worse, because then the
// bracket is wrong. They are common practice, no source, unless a line says
// otherwise. This is the one place where they are written down.
const (
	// BracketVEBOMax is the reverse base-emitter voltage that every silicon
	// transistor of the trade bears.
	BracketVEBOMax q.Volt = 4
	// BracketVBEOnMin is the least base-emitter voltage, at 25 C, at which a
	// bipolar transistor may begin to conduct. A Darlington has twice of it.
	BracketVBEOnMin q.Volt = 0.5
	// BracketVBESlope is how far VBE falls per kelvin, a constant of silicon.
	BracketVBESlope q.VoltPerKelvin = 2e-3
	// BracketIBMaxOfIC is the base current that a transistor bears, as a part of
	// its i_c_max.
	BracketIBMaxOfIC q.Ratio = 0.1
	// BracketIBMaxOfICDarlington is that of a Darlington, whose first transistor is
	// small.
	BracketIBMaxOfICDarlington q.Ratio = 0.01
	// BracketRBEInternalLeast is how little of its plain figure the resistor inside a
	// transistor from base to emitter has, which is made with the base and held to
	// 30 %. What it has at the most is never guessed: without r_be_internal_max
	// nothing inside holds a base.
	BracketRBEInternalLeast q.Ratio = 0.7
	// BracketHFEMaxOfMin is the highest current gain, as a multiple of the least.
	BracketHFEMaxOfMin q.Ratio = 10

	// BracketRDSOnHotTj is the junction temperature of the hot factors below.
	BracketRDSOnHotTj q.Celsius = 150
	// BracketRDSOnHotLowMax is the hot factor up to BracketRDSOnHotKnee.
	BracketRDSOnHotLowMax q.Ratio = 2.5
	// BracketRDSOnHotHighMax is the hot factor of parts above that voltage.
	BracketRDSOnHotHighMax q.Ratio = 3.0
	// BracketRDSOnHotKnee is the drain voltage that parts the two.
	BracketRDSOnHotKnee q.Volt = 150
	// BracketVGSThSlopeMax is how far a threshold falls per kelvin.
	BracketVGSThSlopeMax q.VoltPerKelvin = 7e-3
	// BracketIGSSMax is the leakage of a gate.
	BracketIGSSMax q.Amp = 1e-6
	// BracketRGateInternalMax is the resistance inside a gate; the smallest dies
	// have the most.
	BracketRGateInternalMax q.Ohm = 50

	// BracketDiodeVFMin is the least forward voltage, at 25 C, of any diode at the
	// current at which a decay ends, Schottky diodes included. It holds from
	// BracketDiodeVFShare of the rated current up.
	BracketDiodeVFMin q.Volt = 0.2
	// BracketDiodeVFShare is that share: a decay is followed down to a tenth.
	BracketDiodeVFShare q.Ratio = 0.1
	// BracketZenerRise is how far a Zener voltage rises by its test current, and in
	// proportion with more: its greatest impedance there.
	BracketZenerRise q.Ratio = 0.10
	// BracketZenerTC is the change of a Zener voltage per kelvin, as a part of
	// the voltage, with the adverse sign.
	BracketZenerTC q.Ratio = 1e-3

	// BracketContactRateMax is the switching rate of a contact under load,
	// operations per second (360 /h).
	BracketContactRateMax q.Rate = 360.0 / 3600
	// BracketRContactMax is the resistance of a closed contact.
	BracketRContactMax q.Ohm = 0.1
	// BracketLatchOfHold is what latches a thyristor output, as a multiple of what holds it.
	BracketLatchOfHold q.Ratio = 2
	// BracketTCoilMax is the highest coil temperature.
	BracketTCoilMax q.Celsius = 105
	// BracketVCoilMax is the highest coil voltage, as a ratio of the nominal.
	BracketVCoilMax q.Ratio = 1.05

	// BracketRCSGreased is the thermal resistance of a bare joint with grease.
	BracketRCSGreased q.KelvinPerWatt = 0.5
	// BracketRCSDry is the thermal resistance of a bare joint without grease.
	BracketRCSDry q.KelvinPerWatt = 1.5

	// BracketTab is what the metal of a package counts as where the part does
	// not say: live, at the potential of the switched node.
	BracketTab = "live"
)

// BracketRDSOnHotMax is the hot factor at BracketRDSOnHotTj of a MOSFET of that
// drain voltage which states none.
func BracketRDSOnHotMax(vDSMax q.Volt) q.Ratio {
	if vDSMax > BracketRDSOnHotKnee {
		return BracketRDSOnHotHighMax
	}
	return BracketRDSOnHotLowMax
}

// BracketVBEOnMinOf is the least base-emitter voltage at 25 C of a transistor
// which states none; a Darlington has two junctions in series.
func BracketVBEOnMinOf(darlington bool) q.Volt {
	if darlington {
		return 2 * BracketVBEOnMin
	}
	return BracketVBEOnMin
}

// BracketIBMaxOf is the base current that a transistor which states none bears, as
// a part of its i_c_max.
func BracketIBMaxOf(darlington bool) q.Ratio {
	if darlington {
		return BracketIBMaxOfICDarlington
	}
	return BracketIBMaxOfIC
}

// DefaultTj is the temperature of a figure that states none.
const DefaultTj q.Celsius = 25

// Limits of a catalogue.
const (
	// Schema is the newest schema of a catalogue file that is understood.
	Schema = 1
	// MaxParts is the number of parts that one run may hold.
	MaxParts = 20000
	// MaxTitle is the length of a title in characters.
	MaxTitle = 80
	// MaxPoints is the length of a point list.
	MaxPoints = 64
)
