package job

import (
	"slices"
	"strconv"

	q "example.org/pinhoist/internal/quantity"
)

// LeastRule says which voltage a kind of load needs to do its work, where the
// job does not state it.
type LeastRule uint8

// The rules of least voltage.
const (
	LeastNone          LeastRule = iota // no such check, or another one instead
	LeastOfLowestRail                   // a fraction of the lowest rail
	LeastOfNominalRail                  // a fraction of the nominal rail
	LeastOfSolenoid                     // the lower of a fraction of nominal and 95 % of the lowest rail
	LeastCurrent                        // led: a fraction of the nominal current
	LeastInputHigh                      // logic-input: a fraction of its rail, as its high level
)

// InrushRule says how the inrush of a kind of load is known.
type InrushRule uint8

// The rules of inrush.
const (
	InrushFactor InrushRule = iota // a factor on the steady current
	InrushNone                     // does not apply
	InrushLoop                     // capacitive: the voltage over the loop
	InrushSupply                   // ac-supply: the crest of the highest rail over 5 ohm
)

// KindInfo is what is known of a kind of load before anything is stated of one:
// whether its rail alternates, and the figures taken where the job is silent.
// They are common practice without a source unless a test names one.
type KindInfo struct {
	Kind      Kind
	Text      string // what it is, in a few words
	AC        bool   // needs an AC rail; the others a DC rail
	Inductive bool   // by kind: owes a clamp whether an inductance is stated or not
	Ohmic     bool   // its current is the voltage over a resistance

	Current q.Amp // taken where nothing is stated; 0: must be stated

	Inrush     InrushRule
	Factor     q.Ratio  // of InrushFactor
	InrushTime q.Second // 0: for ever, or the law of the kind

	OffRatio q.Ratio // off current tolerated, of the nominal current
	OffAmp   q.Amp   // or an absolute one; neither: does not apply

	Least      LeastRule
	LeastRatio q.Ratio

	PowerFactor q.Ratio // 1 on DC
	PFAssumed   bool

	// How the assumed figures are told, put together once.
	tellCurrent, tellInrush, tellOff, tellLeast, tellPF string
}

// kinds is the one table of the kinds of load, in the order shown to people.
var kinds = told([]KindInfo{
	{Kind: Resistive, Text: "heater or resistor", Ohmic: true, Factor: 1, OffRatio: 0.10, Least: LeastOfLowestRail, LeastRatio: 0.80, PowerFactor: 1},
	{Kind: LED, Text: "LED strip, module or bare LED", Factor: 1, OffAmp: 1e-3, Least: LeastCurrent, LeastRatio: 0.50, PowerFactor: 1},
	{Kind: Electronic, Text: "electronic module, constant power", Factor: 5, InrushTime: 1e-3, OffAmp: 1e-3, Least: LeastOfNominalRail, LeastRatio: 0.85, PowerFactor: 1},
	{Kind: Lamp, Text: "filament lamp", Factor: 15, OffRatio: 0.10, Least: LeastOfLowestRail, LeastRatio: 0.80, PowerFactor: 1},
	{Kind: Motor, Text: "DC motor, pump or fan", Inductive: true, Factor: 8, OffRatio: 0.10, Least: LeastOfLowestRail, LeastRatio: 0.80, PowerFactor: 1},
	{Kind: Solenoid, Text: "solenoid, latch or valve", Inductive: true, Ohmic: true, Factor: 1, OffRatio: 0.05, Least: LeastOfSolenoid, LeastRatio: 0.85, PowerFactor: 1},
	{Kind: Coil, Text: "coil of a relay or contactor", Inductive: true, Ohmic: true, Factor: 1, OffRatio: 0.05, PowerFactor: 1},
	{Kind: Capacitive, Text: "input capacitors of a module", Inrush: InrushLoop, PowerFactor: 1},
	{Kind: Signal, Text: "level or dry contact that someone reads", Current: 1e-3, Inrush: InrushNone, OffAmp: 10e-6, Least: LeastOfLowestRail, LeastRatio: 0.95, PowerFactor: 1},
	{Kind: LogicInput, Text: "logic input: servo, control wire of a fan", Current: 1e-3, Inrush: InrushNone, Least: LeastInputHigh, LeastRatio: 0.70, PowerFactor: 1},
	{Kind: ACResistive, Text: "heater on AC", AC: true, Ohmic: true, Factor: 1, OffRatio: 0.10, Least: LeastOfLowestRail, LeastRatio: 0.80, PowerFactor: 1},
	{Kind: ACLamp, Text: "filament lamp on AC", AC: true, Factor: 15, InrushTime: 0.1, OffRatio: 0.10, Least: LeastOfLowestRail, LeastRatio: 0.80, PowerFactor: 1},
	{Kind: ACMotor, Text: "AC motor", AC: true, Inductive: true, Factor: 7, InrushTime: 1, OffRatio: 0.05, Least: LeastOfLowestRail, LeastRatio: 0.80, PowerFactor: 0.6, PFAssumed: true},
	{Kind: ACCoil, Text: "AC coil: valve or contactor", AC: true, Inductive: true, Factor: 10, InrushTime: 0.05, OffRatio: 0.05, Least: LeastOfNominalRail, LeastRatio: 0.85, PowerFactor: 0.5, PFAssumed: true},
	{Kind: ACTransformer, Text: "transformer", AC: true, Inductive: true, Factor: 30, InrushTime: 0.01, OffRatio: 0.05, Least: LeastOfLowestRail, LeastRatio: 0.80, PowerFactor: 0.8, PFAssumed: true},
	{Kind: ACSupply, Text: "power supply on AC, constant power", AC: true, Inrush: InrushSupply, InrushTime: 1e-3, OffAmp: 1e-3, Least: LeastOfLowestRail, LeastRatio: 0.80, PowerFactor: 1},
})

// Easy ends: what fails with the assumed figure but not at its easy end is
// unproven, and names the figure to state.
const (
	easyInrush      q.Ratio         = 1
	easyLeast       q.Ratio         = 0.60 // of the nominal rail
	easyMustOperate q.Ratio         = 0.60
	easyRthCoil     q.KelvinPerWatt = 20
	easyOff         q.Ratio         = 0.50 // of the nominal current
)

// Figures of kinds that are not in the table of kinds because one kind has them.
const (
	solenoidLowest  q.Ratio         = 0.95 // least voltage of a solenoid: of the lowest rail
	ledForward      q.Ratio         = 0.75 // forward voltage of a strip or module: of the rail
	supplyLoop      q.Ohm           = 5    // what limits the inrush of an AC supply
	coilMustOperate q.Ratio         = 0.75
	coilMustRelease q.Ratio         = 0.05
	coilRth         q.KelvinPerWatt = 60
)

// Kinds returns every kind of load, in the order shown to people.
func Kinds() []KindInfo { return slices.Clone(kinds) }

// Info returns what is known of a kind of load, and whether there is such a kind.
func Info(k Kind) (KindInfo, bool) {
	if i := kindInfo(k); i != nil {
		return *i, true
	}
	return KindInfo{}, false
}

func kindInfo(k Kind) *KindInfo {
	for i := range kinds {
		if kinds[i].Kind == k {
			return &kinds[i]
		}
	}
	return nil
}

// off returns the off current that a load of this kind and nominal current
// bears: never more than half of what it takes when on, and its easy end.
func (k *KindInfo) off(nominal q.Amp) (value, easy q.Amp) {
	easy = nominal * q.Amp(easyOff)
	value = nominal * q.Amp(k.OffRatio)
	if k.OffAmp > 0 {
		value = min(k.OffAmp, easy)
	}
	return value, easy
}

// hasOff reports whether an off current is tolerated or judged at all.
func (k *KindInfo) hasOff() bool { return k.OffRatio > 0 || k.OffAmp > 0 }

// told puts together how the assumed figures of each kind are told.
func told(kinds []KindInfo) []KindInfo {
	for i := range kinds {
		k := &kinds[i]
		k.tellCurrent = text(k.Current)
		k.tellPF = plain(k.PowerFactor)
		k.tellInrush = tellInrush(k)
		k.tellOff = text(k.OffRatio) + " of the nominal current"
		if k.OffAmp > 0 {
			k.tellOff = text(k.OffAmp) + ", at most half of the nominal current"
		}
		k.tellLeast = tellLeast(k)
	}
	return kinds
}

func tellInrush(k *KindInfo) string {
	switch {
	case k.Inrush == InrushSupply:
		return "the crest of the highest rail over " + text(supplyLoop) + ", for " + text(k.InrushTime)
	case k.Factor == 1:
		return "1 (none)"
	}
	t := plain(k.Factor) + " times the steady current"
	switch {
	case k.InrushTime > 0:
		t += " for " + text(k.InrushTime)
	case k.Kind == Motor:
		t += " (stalled)"
	}
	return t
}

func tellLeast(k *KindInfo) string {
	share := text(k.LeastRatio)
	switch k.Least {
	case LeastOfLowestRail:
		return share + " of the lowest rail"
	case LeastOfNominalRail:
		return share + " of the nominal rail"
	case LeastOfSolenoid:
		return share + " of the nominal rail or " + text(solenoidLowest) + " of the lowest, the lower"
	case LeastCurrent:
		return share + " of the nominal current, at least"
	case LeastInputHigh:
		return share + " of its rail"
	}
	return ""
}

// plain writes a ratio as a bare number.
func plain(v q.Ratio) string { return strconv.FormatFloat(float64(v), 'g', -1, 64) }
