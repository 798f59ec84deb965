// Package job holds what is asked: the pin, its rails, the loads, where they
// live and the policy. Spec is the job as written, every key optional; Resolve
// fills defaults, says which figures were assumed and refuses contradictions.
package job

import q "example.org/pinhoist/internal/quantity"

// Spec is a job file as written. The tags are explained in package source.
type Spec struct {
	Schema      *int       `key:"schema"`
	Title       string     `key:"title"`
	Pin         PinSpec    `key:"pin"`
	Environment EnvSpec    `key:"environment"`
	Policy      PolicySpec `key:"policy"`
	Rails       []RailSpec `key:"rail"`
	Loads       []LoadSpec `key:"load"`
}

// PinSpec is the logic pin.
type PinSpec struct {
	Supply           q.Opt[q.Volt]  `key:"supply" span:"1 V..30 V"`
	SupplyTolerance  q.Opt[q.Ratio] `key:"supply_tolerance" min:"0" span:"0..0.25"`
	SourceCurrentMax q.Opt[q.Amp]   `key:"source_current_max" min:"0" span:"0.1 mA..1 A"`
	SinkCurrentMax   q.Opt[q.Amp]   `key:"sink_current_max" min:"0" span:"0.1 mA..1 A"`
	PeakCurrentMax   q.Opt[q.Amp]   `key:"peak_current_max"`
	Output           string         `key:"output" of:"push-pull|open-drain"`
	OpenDrainVMax    q.Opt[q.Volt]  `key:"open_drain_voltage_max"`
	ROutMax          q.Opt[q.Ohm]   `key:"output_resistance_max" min:"0" span:"0..1 kohm"`
	ROutMin          q.Opt[q.Ohm]   `key:"output_resistance_min" min:"0"`
	AtReset          string         `key:"at_reset" of:"unknown|floating|pull-up|low|high"`
	ResetPullMin     q.Opt[q.Ohm]   `key:"reset_pull_min"`
	LeakageMax       q.Opt[q.Amp]   `key:"leakage_max" min:"0"`
	InjectionMax     q.Opt[q.Amp]   `key:"injection_current_max" min:"0"`
	GroupMax         q.Opt[q.Amp]   `key:"group_current_max"`
	TotalMax         q.Opt[q.Amp]   `key:"total_current_max"`
	RailMax          q.Opt[q.Amp]   `key:"rail_current_max"`
}

// EnvSpec is where the stage will live.
type EnvSpec struct {
	AmbientMin    q.Opt[q.Celsius] `key:"ambient_min" span:"-60 C..60 C"`
	AmbientMax    q.Opt[q.Celsius] `key:"ambient_max" span:"0 C..125 C"`
	EnclosureRise q.Opt[q.Kelvin]  `key:"enclosure_rise" min:"0" span:"0 K..60 K"`
}

// PolicySpec names the policy.
type PolicySpec struct {
	Name string `key:"name"`
}

// RailSpec is one supply rail.
type RailSpec struct {
	Name         string         `key:"name" need:"R"`
	Voltage      q.Opt[q.Volt]  `key:"voltage" need:"R" span:"1 V..700 V"`
	Tolerance    q.Opt[q.Ratio] `key:"tolerance" min:"0" span:"0..0.5"`
	Frequency    q.Opt[q.Hertz] `key:"frequency" span:"10 Hz..1 kHz"`
	CurrentMax   q.Opt[q.Amp]   `key:"current_max"`
	FaultCurrent q.Opt[q.Amp]   `key:"fault_current"`
	Common       string         `key:"common" of:"pin|none"`
}

// LoadSpec is one load as written.
type LoadSpec struct {
	Name                string                 `key:"name" need:"R"`
	Kind                string                 `key:"kind" need:"R"`
	Rail                string                 `key:"rail"`
	Supply              q.Opt[q.Volt]          `key:"supply"`
	SupplyTolerance     q.Opt[q.Ratio]         `key:"supply_tolerance" min:"0"`
	Frequency           q.Opt[q.Hertz]         `key:"frequency"`
	Current             q.Opt[q.Amp]           `key:"current" min:"0" span:"0 A..200 A"`
	Resistance          q.Opt[q.Ohm]           `key:"resistance" span:"10 mohm..1 Mohm"`
	Power               q.Opt[q.Watt]          `key:"power" span:"1 uW..20 kW"`
	Tolerance           q.Opt[q.Ratio]         `key:"tolerance" min:"0"`
	Inductance          q.Opt[q.Henry]         `key:"inductance" span:"1 nH..1 kH"`
	ToleranceL          q.Opt[q.Ratio]         `key:"tolerance_l" min:"0"`
	Capacitance         q.Opt[q.Farad]         `key:"capacitance" span:"1 pF..1 F"`
	ESR                 q.Opt[q.Ohm]           `key:"esr" min:"0"`
	ForwardVoltage      q.Opt[q.Volt]          `key:"forward_voltage"`
	Series              string                 `key:"series" of:"inside|designed"`
	ColdRatio           q.Opt[q.Ratio]         `key:"cold_ratio" span:"1..30"`
	InrushFactor        q.Opt[q.Ratio]         `key:"inrush_factor" span:"1..200"`
	InrushSource        string                 `key:"inrush_source" of:"measured|data-sheet"`
	InrushCurrent       q.Opt[q.Amp]           `key:"inrush_current"`
	InrushTime          q.Opt[q.Second]        `key:"inrush_time"`
	StallCurrent        q.Opt[q.Amp]           `key:"stall_current"`
	WindingR            q.Opt[q.Ohm]           `key:"winding_resistance"`
	StallTime           q.Opt[q.Second]        `key:"stall_time"`
	InputHighMin        q.Opt[q.Volt]          `key:"input_high_min"`
	PowerFactor         q.Opt[q.Ratio]         `key:"power_factor" span:"0.05..1"`
	Side                string                 `key:"side" of:"low|high|any"`
	Ground              string                 `key:"ground" of:"floating|chassis"`
	Mode                string                 `key:"mode" of:"on-off|pwm|cycle"`
	PWMFrequency        q.Opt[q.Hertz]         `key:"pwm_frequency" span:"0.1 Hz..1 MHz"`
	Period              q.Opt[q.Second]        `key:"period"`
	SwitchingRate       q.Opt[q.Rate]          `key:"switching_rate"`
	Duty                q.Opt[q.Ratio]         `key:"duty" min:"0" span:"0..1"`
	DutyMin             q.Opt[q.Ratio]         `key:"duty_min" min:"0"`
	DutyMax             q.Opt[q.Ratio]         `key:"duty_max" min:"0"`
	DutyEnforced        string                 `key:"duty_enforced" of:"hardware|software"`
	Unpowered           string                 `key:"unpowered" of:"off|on|any"`
	ReleaseWithin       q.Opt[q.Second]        `key:"release_within"`
	MechRelease         q.Opt[q.Second]        `key:"mechanical_release_time" min:"0"`
	ReleaseCurrent      q.Opt[q.Amp]           `key:"release_current"`
	OffCurrentMax       q.Opt[q.Amp]           `key:"off_current_max"`
	VoltageMin          q.Opt[q.Volt]          `key:"voltage_min"`
	MustOperate         q.Opt[q.Ratio]         `key:"must_operate" span:"0.3..0.95"`
	MustRelease         q.Opt[q.Ratio]         `key:"must_release"`
	RthCoil             q.Opt[q.KelvinPerWatt] `key:"r_th_coil"`
	Isolation           string                 `key:"isolation" of:"none|functional|basic|reinforced"`
	Quantity            *int                   `key:"quantity"`
	Life                q.Opt[q.Year]          `key:"life"`
	OperationsPerYear   *float64               `key:"operations_per_year"`
	ExclusiveWith       []string               `key:"exclusive_with"`
	PinGroup            string                 `key:"pin_group"`
	Reversing           bool                   `key:"reversing"`
	WireLength          q.Opt[q.Metre]         `key:"wire_length" min:"0"`
	WireArea            q.Opt[q.SquareMetre]   `key:"wire_area"`
	CopperArea          q.Opt[q.SquareMetre]   `key:"copper_area" min:"0"`
	StuckOn             string                 `key:"stuck_on" of:"harmless|harmful"`
	AvalancheEvents     *float64               `key:"avalanche_events" min:"0"`
	OvervoltageCategory string                 `key:"overvoltage_category" of:"I|II|III|IV"`
	PollutionDegree     *int                   `key:"pollution_degree"`
	MaterialGroup       string                 `key:"material_group" of:"I|II|IIIa|IIIb"`
	Built               *Built                 `key:"built"`
}

// Built is a stage as built: what is stated is taken, what is not is chosen.
// A resistance or part of "none" is absent (a series part a link).
type Built struct {
	Topology          string         `key:"topology" need:"R"`
	Part              string         `key:"part" need:"R"`
	RBase             Element        `key:"r_base"`
	RBaseEmitter      Element        `key:"r_base_emitter"`
	RGate             Element        `key:"r_gate"`
	RPulldown         Element        `key:"r_pulldown"`
	RPullup           Element        `key:"r_pullup"`
	RSeries           Element        `key:"r_series"`
	RSnubber          Element        `key:"r_snubber"`
	CSnubber          string         `key:"c_snubber"`
	ResistorTolerance q.Opt[q.Ratio] `key:"resistor_tolerance" min:"0"`
	Clamp             string         `key:"clamp"` // "none", a part id, or "diode-id+zener-id"
	ClampPlacement    string         `key:"clamp_placement" of:"load|switch"`
	HeatSink          string         `key:"heat_sink"`
	Insulator         string         `key:"insulator"`
	Shifter           string         `key:"shifter"`
	GateClamp         string         `key:"gate_clamp"`
	Driver            string         `key:"driver"` // of a relay: a part id, or "pin"
	Snubber           string         `key:"snubber"`
	Fuse              string         `key:"fuse"`
	Limiter           string         `key:"limiter"`                        // of the inrush, in the way of the load
	Poles             string         `key:"poles" of:"one|series|parallel"` // of a relay with two
}

// Element is a resistance as built: not said, "none", or a value.
type Element struct {
	Said bool
	None bool
	R    q.Ohm
}
