package catalog

import q "example.org/pinhoist/internal/quantity"

// Diode is a rectifier, fast or Schottky diode.
type Diode struct {
	Common
	Heat
	Technology string           `key:"technology" need:"R" of:"rectifier|fast|schottky"`
	VRRMMax    q.Opt[q.Volt]    `key:"v_rrm_max" need:"R" worse:"less" span:"5 V..5 kV"`
	IFAV       []AmbientCurrent `key:"i_f_av_max" need:"R"`
	IFSM       []SurgePoint     `key:"i_fsm_max" need:"r"`
	VF         []ForwardPoint   `key:"v_f" need:"R"`
	TrrMax     q.Opt[q.Second]  `key:"t_rr_max" need:"r" worse:"more" span:"0.1 ns..100 us"`
	IRMax      []LeakR          `key:"i_r_max" need:"r"`
}

// ForwardPoint is a forward voltage at a current.
type ForwardPoint struct {
	I   q.Opt[q.Amp]     `key:"i" need:"R" span:"1 uA..1 kA"`
	Tj  q.Opt[q.Celsius] `key:"t_j"`
	Min q.Opt[q.Volt]    `key:"min" worse:"less" span:"20 mV..5 V"`
	Max q.Opt[q.Volt]    `key:"max" worse:"more" span:"50 mV..5 V"`
}

// LeakR is reverse leakage at a voltage and junction temperature.
type LeakR struct {
	V   q.Opt[q.Volt]    `key:"v" need:"R"`
	Tj  q.Opt[q.Celsius] `key:"t_j"`
	Max q.Opt[q.Amp]     `key:"max" need:"R" worse:"more" span:"1 pA..1 A"`
}

// Zener is a voltage-reference diode used as a clamp.
type Zener struct {
	Common
	Heat
	VZ    *ZenerVoltage          `key:"v_z" need:"R"`
	ZZMax q.Opt[q.Ohm]           `key:"z_z_max" need:"r" worse:"more" span:"10 mohm..5 kohm"`
	TCMax q.Opt[q.VoltPerKelvin] `key:"tc_max" min:"0" worse:"more" span:"0..0.5 V/K"`
	PMax  q.Opt[q.Watt]          `key:"p_max" need:"R" worse:"less" span:"50 mW..100 W"`
	Pulse []PulsePower           `key:"pulse" need:"r"`
}

// ZenerVoltage is the Zener voltage window at its test current.
type ZenerVoltage struct {
	I   q.Opt[q.Amp]  `key:"i" need:"R" span:"1 uA..1 A"`
	Min q.Opt[q.Volt] `key:"min" need:"R" worse:"less" span:"1 V..1 kV"`
	Max q.Opt[q.Volt] `key:"max" need:"R" worse:"more" span:"1 V..1 kV"`
}

// PulsePower is the power borne for a length of time.
type PulsePower struct {
	T q.Opt[q.Second] `key:"t" need:"R" span:"100 ns..100 s"`
	P q.Opt[q.Watt]   `key:"p" need:"R" worse:"less" span:"10 mW..1 MW"`
}

// TVS is an avalanche suppressor.
type TVS struct {
	Common
	Heat
	Direction string        `key:"direction" need:"R" of:"uni|bi"`
	VRWM      q.Opt[q.Volt] `key:"v_rwm" need:"R" worse:"less" span:"2 V..1 kV"`
	VBR       *ZenerVoltage `key:"v_br" need:"R"`
	VC        *ClampVoltage `key:"v_c" need:"R"`
	Pulse     []PulsePower  `key:"pulse" need:"R"`
	PAvMax    q.Opt[q.Watt] `key:"p_av_max" need:"R" worse:"less" span:"50 mW..100 W"`
}

// ClampVoltage is the most a clamp shows at a current.
type ClampVoltage struct {
	I   q.Opt[q.Amp]  `key:"i" need:"R" span:"1 mA..100 kA"`
	Max q.Opt[q.Volt] `key:"max" need:"R" worse:"more" span:"2 V..5 kV"`
}

// MOV is a metal-oxide varistor.
type MOV struct {
	Common
	VACMax    q.Opt[q.Volt]  `key:"v_ac_max" worse:"less" span:"2 V..2 kV"`
	VDCMax    q.Opt[q.Volt]  `key:"v_dc_max" worse:"less" span:"2 V..3 kV"`
	V1mA      *VoltWindow    `key:"v_1ma" need:"R"`
	VC        *ClampVoltage  `key:"v_c" need:"R"`
	EMax      q.Opt[q.Joule] `key:"e_max" need:"R" worse:"less" span:"10 mJ..10 kJ"`
	ISurgeMax q.Opt[q.Amp]   `key:"i_surge_max" need:"r" worse:"less" span:"1 A..100 kA"`
	PAvMax    q.Opt[q.Watt]  `key:"p_av_max" need:"r" worse:"less" span:"1 mW..10 W"`
}

// ResistorSeries is every value of a preferred series in one body.
type ResistorSeries struct {
	Common
	Series    string         `key:"series" need:"R" of:"E12|E24|E96"`
	Range     *OhmWindow     `key:"range" need:"R"`
	Tolerance q.Opt[q.Ratio] `key:"tolerance" need:"R" worse:"more" span:"0.01 %..20 %"`
	PMax      q.Opt[q.Watt]  `key:"p_max" need:"R" worse:"less" span:"10 mW..100 W"`
	Derate    *Derate        `key:"derate" need:"R"`
	VMax      q.Opt[q.Volt]  `key:"v_max" need:"R" worse:"less" span:"10 V..10 kV"`
	Pulse     []PulsePower   `key:"pulse" need:"r"`
}

// Derate is full power up to one ambient, none at another, linear between.
type Derate struct {
	Full q.Opt[q.Celsius] `key:"full" need:"R" worse:"less" span:"25 C..150 C"`
	Zero q.Opt[q.Celsius] `key:"zero" need:"R" worse:"less" span:"70 C..400 C"`
}

// Capacitor is one capacitor.
type Capacitor struct {
	Common
	Dielectric  string                 `key:"dielectric" need:"R" of:"film|ceramic|electrolytic"`
	SafetyClass string                 `key:"safety_class" of:"X1|X2|Y1|Y2"`
	C           q.Opt[q.Farad]         `key:"c" need:"R" span:"0.1 pF..1 F"`
	Tolerance   q.Opt[q.Ratio]         `key:"tolerance" need:"R" worse:"more" span:"0.1 %..80 %"`
	VACMax      q.Opt[q.Volt]          `key:"v_ac_max" worse:"less" span:"5 V..2 kV"`
	VDCMax      q.Opt[q.Volt]          `key:"v_dc_max" worse:"less" span:"2 V..10 kV"`
	DVDtMax     q.Opt[q.VoltPerSecond] `key:"dv_dt_max" need:"r" worse:"less"`
	ESRMax      q.Opt[q.Ohm]           `key:"esr_max" worse:"more" span:"0.1 mohm..1 kohm"`
}

// HeatSink is a heat sink in still air.
type HeatSink struct {
	Common
	Fits []string    `key:"fits" need:"R"`
	RSA  []SinkPoint `key:"r_th_sa_max" need:"R"`
}

// SinkPoint is a sink's thermal resistance at a power.
type SinkPoint struct {
	P   q.Opt[q.Watt]          `key:"p" need:"R" span:"0.1 W..1 kW"`
	Max q.Opt[q.KelvinPerWatt] `key:"max" need:"R" worse:"more" span:"0.05 K/W..150 K/W"`
}

// Insulator is what goes between a live tab and a sink.
type Insulator struct {
	Common
	Fits        []string               `key:"fits" need:"R"`
	RCS         q.Opt[q.KelvinPerWatt] `key:"r_th_cs_max" need:"R" worse:"more" span:"0.01 K/W..20 K/W"`
	VDielectric q.Opt[q.Volt]          `key:"v_dielectric" need:"R" worse:"less" span:"50 V..20 kV"`
}

// Fuse is one fuse.
type Fuse struct {
	Common
	IRated q.Opt[q.Amp]     `key:"i_rated" need:"R" span:"1 mA..1 kA"`
	Speed  string           `key:"speed" need:"R" of:"fast|slow|semiconductor|resettable"`
	VACMax q.Opt[q.Volt]    `key:"v_ac_max" worse:"less" span:"5 V..2 kV"`
	VDCMax q.Opt[q.Volt]    `key:"v_dc_max" worse:"less" span:"5 V..2 kV"`
	IBreak *Breaking        `key:"i_break" need:"R"`
	I2t    *FuseEnergy      `key:"i2t"`
	Derate []DerateFactor   `key:"derate" need:"r"`
	IHold  []AmbientCurrent `key:"i_hold"`
	ITrip  []TripCurrent    `key:"i_trip"`
	RCold  q.Opt[q.Ohm]     `key:"r_cold_max" worse:"more" span:"10 uohm..100 ohm"`
}

// TripCurrent is a current at which a resettable fuse surely opens, at an ambient.
type TripCurrent struct {
	Ta q.Opt[q.Celsius] `key:"t_a" need:"R" at:"or less"`
	I  q.Opt[q.Amp]     `key:"i" need:"R" worse:"more"`
}

// Breaking is a fuse's breaking capacity.
type Breaking struct {
	AC q.Opt[q.Amp] `key:"ac" worse:"less" span:"1 A..1 MA"`
	DC q.Opt[q.Amp] `key:"dc" worse:"less" span:"1 A..1 MA"`
}

// FuseEnergy is a fuse's melting and clearing integral.
type FuseEnergy struct {
	MeltMin  q.Opt[q.AmpSquaredSec] `key:"melt_min" need:"R" worse:"less" span:"1e-6 A2s..1e7 A2s"`
	ClearMax q.Opt[q.AmpSquaredSec] `key:"clear_max" worse:"more" span:"1e-6 A2s..1e7 A2s"`
}

// DerateFactor is a fuse's factor at an ambient.
type DerateFactor struct {
	Ta     q.Opt[q.Celsius] `key:"t_a" need:"R"`
	Factor q.Opt[q.Ratio]   `key:"factor" need:"R" worse:"less" span:"0.01..1.5"`
}

// Limiter is an inrush limiter.
type Limiter struct {
	Common
	Type    string          `key:"type" need:"R" of:"ntc|ptc"`
	R25     *OhmSpread      `key:"r_25" need:"R"`
	RHotMax q.Opt[q.Ohm]    `key:"r_hot_max" need:"R" worse:"more" span:"1 mohm..1 kohm"`
	IMax    q.Opt[q.Amp]    `key:"i_max" need:"R" worse:"less" span:"1 mA..1 kA"`
	EMax    q.Opt[q.Joule]  `key:"e_max" need:"R" worse:"less" span:"10 mJ..10 kJ"`
	TCool   q.Opt[q.Second] `key:"t_cool" need:"r"`
}
