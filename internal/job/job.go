package job

import q "example.org/pinhoist/internal/quantity"

// Kind is a kind of load.
type Kind string

// The kinds of load.
const (
	Resistive     Kind = "resistive"
	LED           Kind = "led"
	Electronic    Kind = "electronic"
	Lamp          Kind = "lamp"
	Motor         Kind = "motor"
	Solenoid      Kind = "solenoid"
	Coil          Kind = "coil"
	Capacitive    Kind = "capacitive"
	Signal        Kind = "signal"
	LogicInput    Kind = "logic-input"
	ACResistive   Kind = "ac-resistive"
	ACLamp        Kind = "ac-lamp"
	ACMotor       Kind = "ac-motor"
	ACCoil        Kind = "ac-coil"
	ACTransformer Kind = "ac-transformer"
	ACSupply      Kind = "ac-supply"
)

// Insulation is a grade of insulation, in rising order.
type Insulation uint8

// The grades.
const (
	InsulationNone Insulation = iota
	InsulationFunctional
	InsulationBasic
	InsulationReinforced
)

// Assumed is a figure that was not stated but taken for its kind.
type Assumed struct{ Field, Value, Why string }

// Caution is a warning to a person, by id; the text is fixed.
type Caution struct{ ID, Text string }

// Figure is a figure that may have been assumed for a kind of load. Easy is its
// easy end, the most favourable value that is plausible: what fails only with the assumed figure is unproven.
type Figure[Q q.Quantity] struct {
	Value   Q
	Known   bool
	Assumed bool
	Easy    Q
	Field   string // the key to state, for messages
}

// Job is a resolved job: every default filled.
type Job struct {
	Title      string
	Pin        Pin
	Env        Environment
	PolicyName string
	Rails      []Rail // those of the file in order, then unnamed rails of loads; never the pin's
	Loads      []Load
	Assumed    []Assumed // always empty: defaults of pin, rails and environment count as given
	Warnings   []string  // "key: found X, expected Y"
	Digest     string    // of the spec; "" but from Read, for it costs more than Resolve
}

// Pin is the logic pin with its defaults filled.
type Pin struct {
	SupplyNom, SupplyMin, SupplyMax q.Volt
	SourceMax, SinkMax, PeakMax     q.Amp // PeakMax is SourceMax unless stated
	SinkPeakMax                     q.Amp
	OpenDrain                       bool
	OpenDrainVMax                   q.Volt
	ROutMax, ROutMin                q.Ohm
	AtReset                         string // unknown, floating, pull-up, low, high
	ResetPullMin                    q.Ohm
	LeakageMax, InjectionMax        q.Amp
	GroupMax, TotalMax, RailMax     q.Amp
}

// Environment is the air around the stage.
type Environment struct {
	AmbientMin q.Celsius
	AmbientMax q.Celsius // without the enclosure
	PartsMax   q.Celsius // ambient_max + enclosure_rise, what parts see
}

// Rail is one supply.
type Rail struct {
	Name          string
	Nom, Min, Max q.Volt // AC: RMS
	Frequency     q.Hertz
	AC            bool
	CurrentMax    q.Opt[q.Amp]
	FaultCurrent  q.Opt[q.Amp]
	FaultAssumed  bool // the fault current was taken, not stated
	CommonPin     bool // shares the pin's common
	IsPin         bool // the pin's own supply
	Hazardous     bool // above 60 V DC, 30 V RMS or 42.4 V peak at its highest
}

// Load is one load with its defaults filled. Quantities are at 20 C and the
// nominal rail unless said otherwise.
type Load struct {
	Name              string
	Kind              Kind
	Rail              Rail
	Current           q.Amp        // nominal steady current (signal, logic-input: assumed 1 mA)
	CurrentAssumed    bool         // signal, logic-input: nobody stated it
	R                 q.Opt[q.Ohm] // nominal resistance at 20 C of V/R kinds
	Tolerance         q.Ratio
	Inductive         bool // by kind, or because an inductance is stated
	L                 q.Opt[q.Henry]
	ToleranceL        q.Ratio
	C                 q.Opt[q.Farad]
	ESR               q.Opt[q.Ohm]
	Vf                q.Volt          // led: nominal forward voltage
	VfAssumed         bool            // led: 75 % of the rail was taken
	VfDesigned        bool            // led: bare, the resistor is ours
	Inrush            Figure[q.Ratio] // factor on the worst steady current; 1: none
	StartMore         bool            // inrush states more than the stall current beside it
	InrushShort       bool            // the factor is below the table's and has no source: peak checks unproven
	InrushCurrent     q.Opt[q.Amp]    // peak, stated, or of an ac-supply
	InrushTime        q.Opt[q.Second] // absent: for ever (a stalled motor), or the kind's law
	InrushTimeAssumed bool            // it is the kind's
	StallCurrent      q.Opt[q.Amp]
	WindingR          q.Opt[q.Ohm]
	StallTime         q.Opt[q.Second]
	InputHighMin      Figure[q.Volt]
	PowerFactor       Figure[q.Ratio]

	Side                   string // low, high, any
	Chassis                bool
	Mode                   string   // on-off, pwm, cycle
	PWMFrequency           q.Hertz  // pwm only
	Period                 q.Second // cycle only
	Rate                   q.Rate   // operations per second
	RateAssumed            bool
	Duty, DutyMin, DutyMax q.Ratio
	DutyEnforced           bool
	Unpowered              string // off, on, any

	ReleaseWithin  q.Opt[q.Second]
	MechRelease    q.Opt[q.Second]
	ReleaseCurrent q.Opt[q.Amp] // stated only; else 10 % of nominal
	OffCurrent     Figure[q.Amp]
	VoltageMin     Figure[q.Volt]
	CurrentMin     Figure[q.Amp]   // led only
	MustOperate    Figure[q.Ratio] // coil only
	MustRelease    Figure[q.Ratio]
	RthCoil        Figure[q.KelvinPerWatt]

	Isolation           Insulation
	IsolationAsked      bool // stated other than none, or the rail is hazardous
	Quantity            int
	Life                q.Opt[q.Year]
	OperationsPerYear   float64
	ExclusiveWith       []string
	PinGroup            string
	Reversing           bool
	WireLength          q.Metre
	WireArea            q.SquareMetre
	CopperArea          q.SquareMetre
	StuckOnHarmful      bool
	offShare            q.Ratio // the off current is this share of the current; 0: it is not a share
	AvalancheEvents     float64
	OvervoltageCategory string
	PollutionDegree     int
	MaterialGroup       string
	Built               *Built
	Assumed             []Assumed
}
