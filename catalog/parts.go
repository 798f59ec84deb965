package catalog

import (
	"errors"
	"fmt"

	q "example.org/pinhoist/internal/quantity"
)

// Tags of the part types, one place for every fact about a key:
//
//	key    its name in a file
//	need   R required, r required for a proof, o optional (default o)
//	worse  for guaranteed figures: "less" or "more", the direction in which the
//	       part gets worse; figures without it are conditions, texts or typical
//	span   plausible values "low..high": outside is a warning
//	min    "0" allows zero; without it a quantity must be above zero
//	of     a fixed set of words, "a|b|c"
//	at     for the condition that decides a figure: the side of it that serves
//	       as well ("or less", "or more"), as a buyer reads it

// Common is what every kind of part states.
type Common struct {
	ID         string   `key:"id" need:"R"`
	Title      string   `key:"title" need:"R"`
	Provenance string   `key:"provenance" need:"R"`
	Package    string   `key:"package" need:"R"`
	Price      *q.Money `key:"price"`
	Stock      *int     `key:"stock" min:"0"`
	Stocked    bool     `key:"stocked"`
	Replaces   bool     `key:"replaces"`
	Note       string   `key:"note"`
}

// Package is a housing: mounting and its worst thermal resistance to air.
type Package struct {
	Name  string                 `key:"name" need:"R"`
	Mount string                 `key:"mount" need:"R" of:"through-hole|surface|panel|socket"`
	RthJA q.Opt[q.KelvinPerWatt] `key:"r_th_ja_max" need:"R" worse:"more" span:"1 K/W..600 K/W"`
	Leads *int                   `key:"leads"`
	Tab   bool                   `key:"tab"`
}

// Heat is the thermal side of every semiconductor.
type Heat struct {
	TjMax    q.Opt[q.Celsius]       `key:"t_j_max" need:"R" worse:"less" span:"85 C..250 C"`
	RthJA    q.Opt[q.KelvinPerWatt] `key:"r_th_ja_max" need:"r" worse:"more" span:"1 K/W..600 K/W"`
	RthJACu  []CopperPoint          `key:"r_th_ja_copper"`
	RthJC    q.Opt[q.KelvinPerWatt] `key:"r_th_jc_max" need:"r" worse:"more" span:"0.05 K/W..200 K/W"`
	FosterJC []FosterRung           `key:"foster_jc" need:"r"`
	TabIs    string                 `key:"tab_is" of:"collector|emitter|drain|source|cathode|anode|terminal|isolated|live"`
}

// CopperPoint is r_th_ja with so much copper on the board.
type CopperPoint struct {
	Area q.Opt[q.SquareMetre]   `key:"area" need:"R" span:"1 mm2..1 m2"`
	Max  q.Opt[q.KelvinPerWatt] `key:"max" need:"R" worse:"more" span:"1 K/W..600 K/W"`
}

// FosterRung is one R-tau pair of a Foster network, junction to case.
type FosterRung struct {
	R   q.Opt[q.KelvinPerWatt] `key:"r" need:"R" worse:"more"`
	Tau q.Opt[q.Second]        `key:"tau" need:"R" worse:"less" span:"100 ns..10000 s"`
}

// SOACurve is a safe-area limit for one pulse length.
type SOACurve struct {
	T      PulseTime  `key:"t" need:"R"`
	Points []SOAPoint `key:"points" need:"R"`
}

// SOAPoint is one corner of a safe-area limit.
type SOAPoint struct {
	V q.Opt[q.Volt] `key:"v" need:"R"`
	I q.Opt[q.Amp]  `key:"i" need:"R" worse:"less"`
}

// PulseTime is a pulse length, or "dc".
type PulseTime struct {
	T   q.Second // meaningless when DC
	DC  bool
	Set bool
}

// UnmarshalText reads a pulse length above zero, or "dc".
func (t *PulseTime) UnmarshalText(text []byte) error {
	if string(text) == "dc" {
		*t = PulseTime{DC: true, Set: true}
		return nil
	}
	var o q.Opt[q.Second]
	if err := o.SetText(string(text)); err != nil {
		return fmt.Errorf("%w, or dc", err)
	}
	if o.Value() <= 0 {
		return errors.New("a length above zero, or dc")
	}
	*t = PulseTime{T: o.Value(), Set: true}
	return nil
}

// MarshalText is the exact text; empty when nothing was stated.
func (t *PulseTime) MarshalText() ([]byte, error) { return []byte(t.String()), nil }

// String is the exact text; empty when nothing was stated.
func (t *PulseTime) String() string {
	switch {
	case !t.Set:
		return ""
	case t.DC:
		return "dc"
	}
	o := q.Some(t.T)
	return o.ExactText()
}

// ---- bjt ----

// BJT is a bipolar transistor; PNP figures are magnitudes.
type BJT struct {
	Common
	Heat
	Polarity    string           `key:"polarity" need:"R" of:"npn|pnp"`
	Darlington  *bool            `key:"darlington" need:"R"`
	VCEOMax     q.Opt[q.Volt]    `key:"v_ceo_max" need:"R" worse:"less" span:"5 V..2 kV"`
	VEBOMax     q.Opt[q.Volt]    `key:"v_ebo_max" need:"r" worse:"less" span:"3 V..30 V"`
	ICMax       q.Opt[q.Amp]     `key:"i_c_max" need:"R" worse:"less" span:"10 mA..200 A"`
	ICMMax      q.Opt[q.Amp]     `key:"i_cm_max" worse:"less" span:"10 mA..400 A"`
	IBMax       q.Opt[q.Amp]     `key:"i_b_max" need:"r" worse:"less" span:"0.5 mA..50 A"`
	PTotCase25  q.Opt[q.Watt]    `key:"p_tot_case25_max" span:"50 mW..2 kW"`
	HFE         []HFEPoint       `key:"h_fe" need:"r"`
	VCESat      []SatPoint       `key:"v_ce_sat" need:"r"`
	VBESat      []SatPoint       `key:"v_be_sat" need:"r"`
	VBEOnMin    q.Opt[q.Volt]    `key:"v_be_on_min" worse:"less" span:"0.2 V..2 V"`
	ICEOMax     []LeakCE         `key:"i_ceo_max" need:"r"`
	ICBOMax     []LeakCB         `key:"i_cbo_max"`
	Switching   *BJTSwitching    `key:"switching_max" need:"r"`
	SwitchTyp   *BJTSwitchingTyp `key:"switching_typ"`
	RBInternal  q.Opt[q.Ohm]     `key:"r_base_internal" min:"0" worse:"more" span:"0..100 kohm"`
	RBEInternal q.Opt[q.Ohm]     `key:"r_be_internal" span:"100 ohm..1 Mohm"`
	RBEIntMin   q.Opt[q.Ohm]     `key:"r_be_internal_min" worse:"less" span:"70 ohm..1 Mohm"`
	RBEIntMax   q.Opt[q.Ohm]     `key:"r_be_internal_max" worse:"more" span:"100 ohm..2 Mohm"`
	SOA         []SOACurve       `key:"soa" need:"r"`
}

// HFEPoint is current gain at one collector current.
type HFEPoint struct {
	IC  q.Opt[q.Amp]     `key:"i_c" need:"R" span:"0.1 uA..200 A"`
	VCE q.Opt[q.Volt]    `key:"v_ce" need:"R" span:"0.1 V..100 V"`
	Tj  q.Opt[q.Celsius] `key:"t_j"`
	Min q.Opt[q.Ratio]   `key:"min" worse:"less" span:"5..50000"`
	Typ q.Opt[q.Ratio]   `key:"typ" span:"5..50000"`
	Max q.Opt[q.Ratio]   `key:"max" worse:"more" span:"5..50000"`
}

// SatPoint is a saturation voltage at one collector and base current.
type SatPoint struct {
	IC  q.Opt[q.Amp]     `key:"i_c" need:"R" span:"0.1 mA..200 A"`
	IB  q.Opt[q.Amp]     `key:"i_b" need:"R" span:"1 uA..50 A"`
	Tj  q.Opt[q.Celsius] `key:"t_j"`
	Max q.Opt[q.Volt]    `key:"max" worse:"more" span:"10 mV..5 V"`
	Typ q.Opt[q.Volt]    `key:"typ" span:"5 mV..5 V"`
}

// LeakCE is collector-emitter leakage with the base open.
type LeakCE struct {
	VCE q.Opt[q.Volt]    `key:"v_ce" need:"R"`
	Tj  q.Opt[q.Celsius] `key:"t_j"`
	Max q.Opt[q.Amp]     `key:"max" need:"R" worse:"more" span:"1 pA..1 A"`
}

// LeakCB is collector-base leakage.
type LeakCB struct {
	VCB q.Opt[q.Volt]    `key:"v_cb" need:"R"`
	Tj  q.Opt[q.Celsius] `key:"t_j"`
	Max q.Opt[q.Amp]     `key:"max" need:"R" worse:"more" span:"1 pA..1 A"`
}

// BJTSwitching is the guaranteed switching times and their test condition.
type BJTSwitching struct {
	Td  q.Opt[q.Second] `key:"t_d" need:"R" worse:"more" span:"1 ns..100 us"`
	Tr  q.Opt[q.Second] `key:"t_r" need:"R" worse:"more" span:"1 ns..100 us"`
	Ts  q.Opt[q.Second] `key:"t_s" need:"R" worse:"more" span:"1 ns..100 us"`
	Tf  q.Opt[q.Second] `key:"t_f" need:"R" worse:"more" span:"1 ns..100 us"`
	IC  q.Opt[q.Amp]    `key:"i_c" need:"R"`
	IB1 q.Opt[q.Amp]    `key:"i_b1" need:"R"`
	IB2 q.Opt[q.Amp]    `key:"i_b2" need:"R"`
}

// BJTSwitchingTyp is typical switching times, shown only.
type BJTSwitchingTyp struct {
	Td q.Opt[q.Second] `key:"t_d"`
	Tr q.Opt[q.Second] `key:"t_r"`
	Ts q.Opt[q.Second] `key:"t_s"`
	Tf q.Opt[q.Second] `key:"t_f"`
}

// ---- mosfet ----

// MOSFET is an enhancement MOSFET; P-channel figures are magnitudes.
type MOSFET struct {
	Common
	Heat
	Channel     string                 `key:"channel" need:"R" of:"n|p"`
	VDSMax      q.Opt[q.Volt]          `key:"v_ds_max" need:"R" worse:"less" span:"8 V..2 kV"`
	VGSMax      q.Opt[q.Volt]          `key:"v_gs_max" need:"R" worse:"less" span:"5 V..40 V"`
	VGSTh       *Threshold             `key:"v_gs_th" need:"R"`
	VGSThSlope  q.Opt[q.VoltPerKelvin] `key:"v_gs_th_slope_max" need:"r" min:"0" worse:"more" span:"0..20 mV/K"`
	RDSOn       []RDSPoint             `key:"r_ds_on" need:"R"`
	RDSOnHot    *HotFactor             `key:"r_ds_on_hot_max" need:"r"`
	IDCase25    q.Opt[q.Amp]           `key:"i_d_case25_max" need:"R" worse:"less" span:"10 mA..1 kA"`
	IDAmbient25 q.Opt[q.Amp]           `key:"i_d_ambient25_max" worse:"less" span:"10 mA..200 A"`
	IDMMax      q.Opt[q.Amp]           `key:"i_dm_max" worse:"less" span:"10 mA..4 kA"`
	IDSSMax     []LeakDS               `key:"i_dss_max" need:"r"`
	IGSSMax     q.Opt[q.Amp]           `key:"i_gss_max" worse:"more" span:"1 pA..1 mA"`
	QGMax       *GateCharge            `key:"q_g_max" need:"r"`
	QGDMax      q.Opt[q.Coulomb]       `key:"q_gd_max" need:"r" worse:"more" span:"1 pC..1 uC"`
	QGSMax      q.Opt[q.Coulomb]       `key:"q_gs_max" worse:"more" span:"1 pC..1 uC"`
	ChargeTyp   *ChargeTyp             `key:"charge_typ"`
	COSSMax     q.Opt[q.Farad]         `key:"c_oss_max" need:"r" worse:"more" span:"1 pF..100 nF"`
	CapTyp      *CapacitanceTyp        `key:"capacitance_typ"`
	RGateInt    q.Opt[q.Ohm]           `key:"r_gate_internal_max" need:"r" min:"0" worse:"more" span:"0..1 kohm"`
	BodyDiode   *BodyDiode             `key:"body_diode_max" need:"r"`
	Avalanche   *Avalanche             `key:"avalanche_max" need:"r"`
	EARMax      q.Opt[q.Joule]         `key:"e_ar_max" worse:"less" span:"1 uJ..1 J"`
	SOA         []SOACurve             `key:"soa" need:"r"`
}

// Threshold is the gate voltage at which a MOSFET barely conducts.
type Threshold struct {
	ID  q.Opt[q.Amp]     `key:"i_d" need:"R" span:"1 uA..100 mA"`
	Min q.Opt[q.Volt]    `key:"min" need:"R" worse:"less" span:"0.3 V..6 V"`
	Typ q.Opt[q.Volt]    `key:"typ"`
	Max q.Opt[q.Volt]    `key:"max" need:"R" worse:"more" span:"0.3 V..6 V"`
	Tj  q.Opt[q.Celsius] `key:"t_j"`
}

// RDSPoint is on-resistance at one gate voltage.
type RDSPoint struct {
	VGS q.Opt[q.Volt]    `key:"v_gs" need:"R" at:"or less" span:"1 V..30 V"`
	ID  q.Opt[q.Amp]     `key:"i_d" need:"R" span:"1 mA..1 kA"`
	Tj  q.Opt[q.Celsius] `key:"t_j"`
	Max q.Opt[q.Ohm]     `key:"max" worse:"more" span:"0.2 mohm..50 ohm"`
	Typ q.Opt[q.Ohm]     `key:"typ" span:"0.1 mohm..50 ohm"`
}

// HotFactor is on-resistance at t_j over that at 25 C.
type HotFactor struct {
	Tj     q.Opt[q.Celsius] `key:"t_j" need:"R"`
	Factor q.Opt[q.Ratio]   `key:"factor" need:"R" worse:"more" span:"1.2..4"`
}

// LeakDS is drain leakage with the gate at zero.
type LeakDS struct {
	VDS q.Opt[q.Volt]    `key:"v_ds" need:"R" at:"or more"`
	Tj  q.Opt[q.Celsius] `key:"t_j"`
	Max q.Opt[q.Amp]     `key:"max" need:"R" worse:"more" span:"1 pA..1 A"`
}

// GateCharge is total gate charge at a gate voltage.
type GateCharge struct {
	VGS q.Opt[q.Volt]    `key:"v_gs" need:"R" at:"or more"`
	Q   q.Opt[q.Coulomb] `key:"q" need:"R" worse:"more" span:"1 pC..10 uC"`
}

// ChargeTyp is typical charges, shown only.
type ChargeTyp struct {
	QG       q.Opt[q.Coulomb] `key:"q_g"`
	QGD      q.Opt[q.Coulomb] `key:"q_gd"`
	QGS      q.Opt[q.Coulomb] `key:"q_gs"`
	VPlateau q.Opt[q.Volt]    `key:"v_plateau"`
}

// CapacitanceTyp is typical capacitances, shown only.
type CapacitanceTyp struct {
	CISS q.Opt[q.Farad] `key:"c_iss"`
	COSS q.Opt[q.Farad] `key:"c_oss"`
	CRSS q.Opt[q.Farad] `key:"c_rss"`
}

// BodyDiode is the drain-source diode.
type BodyDiode struct {
	VSD q.Opt[q.Volt]    `key:"v_sd" need:"R" worse:"more" span:"0.2 V..5 V"`
	Trr q.Opt[q.Second]  `key:"t_rr" worse:"more" span:"0.1 ns..10 us"`
	Qrr q.Opt[q.Coulomb] `key:"q_rr" worse:"more"`
}

// Avalanche is the single-pulse avalanche rating.
type Avalanche struct {
	EAS q.Opt[q.Joule]   `key:"e_as" need:"R" worse:"less" span:"10 uJ..50 J"`
	IAS q.Opt[q.Amp]     `key:"i_as" need:"R" worse:"less" span:"10 mA..500 A"`
	Tj  q.Opt[q.Celsius] `key:"t_j"`
}

// ---- relay ----

// Relay is an electromechanical relay of any style.
type Relay struct {
	Common
	Form          string                 `key:"form" need:"R" of:"spst-no|spst-nc|spdt|dpst-no|dpdt"`
	Style         string                 `key:"style" need:"R" of:"armature|reed"`
	Latching      string                 `key:"latching" of:"none|one-coil|two-coil"`
	VCoil         q.Opt[q.Volt]          `key:"v_coil" need:"R" span:"1 V..400 V"`
	CoilFrequency q.Opt[q.Hertz]         `key:"coil_frequency" min:"0" span:"0 Hz..400 Hz"`
	RCoil         *CoilResistance        `key:"r_coil" need:"R"`
	MustOperate   q.Opt[q.Ratio]         `key:"must_operate_max" need:"R" worse:"more" span:"0.3..0.95"`
	MustRelease   q.Opt[q.Ratio]         `key:"must_release_min" need:"R" worse:"less" span:"0.02..0.6"`
	HoldMin       q.Opt[q.Ratio]         `key:"hold_min" worse:"more" span:"0.05..0.95"` // once pulled in
	VCoilMax      []CoilMaxPoint         `key:"v_coil_max" need:"r"`
	TCoilMax      q.Opt[q.Celsius]       `key:"t_coil_max" need:"r" worse:"less" span:"60 C..250 C"`
	RthCoil       q.Opt[q.KelvinPerWatt] `key:"r_th_coil_max" need:"r" worse:"more" span:"1 K/W..500 K/W"`
	LCoilMax      q.Opt[q.Henry]         `key:"l_coil_max" need:"r" worse:"more" span:"0.1 mH..100 H"`
	LCoilTyp      q.Opt[q.Henry]         `key:"l_coil_typ" span:"0.1 mH..100 H"`
	CoilDiode     bool                   `key:"coil_diode"`
	TimeMax       *RelayTimes            `key:"time_max" need:"r"`
	PulseMin      q.Opt[q.Second]        `key:"pulse_min" worse:"more" span:"1 ms..10 s"` // of a latching one
	Ambient       *AmbientWindow         `key:"ambient" need:"R"`
	LifeMech      *float64               `key:"life_mechanical_min" need:"r" worse:"less" span:"1000..1e10"`
	RateUnloaded  q.Opt[q.Rate]          `key:"rate_unloaded_max" need:"r" worse:"less" span:"1 /h..1e6 /h"`
	Isolation     *Isolation             `key:"isolation" need:"r"`
	NO            *Contact               `key:"no"`
	NC            *Contact               `key:"nc"`
	Series        *Contact               `key:"series"` // two closing poles, one behind the other, as stated for both; r_contact_max is of each
}

// CoilResistance is a coil's resistance at a temperature, with its spread.
type CoilResistance struct {
	T         q.Opt[q.Celsius] `key:"t" need:"R" span:"0 C..60 C"`
	Nominal   q.Opt[q.Ohm]     `key:"nominal" need:"R" span:"5 ohm..50 kohm"`
	Tolerance q.Opt[q.Ratio]   `key:"tolerance" need:"R" worse:"more" span:"0.5 %..30 %"`
}

// CoilMaxPoint is the highest coil voltage, as a ratio of v_coil, at an ambient.
type CoilMaxPoint struct {
	Ta  q.Opt[q.Celsius] `key:"t_a" need:"R" at:"or more" span:"-40 C..125 C"`
	Max q.Opt[q.Ratio]   `key:"max" need:"R" worse:"less" span:"0.8..4"`
}

// RelayTimes are the longest operate, release and bounce times, no clamp on the coil.
type RelayTimes struct {
	Operate q.Opt[q.Second] `key:"operate" need:"R" worse:"more" span:"10 us..1 s"`
	Release q.Opt[q.Second] `key:"release" need:"R" worse:"more" span:"10 us..1 s"`
	Bounce  q.Opt[q.Second] `key:"bounce" worse:"more" span:"10 us..1 s"`
}

// AmbientWindow is the ambient that a part is made for.
type AmbientWindow struct {
	Min q.Opt[q.Celsius] `key:"min" need:"R" worse:"more" span:"-65 C..25 C"`
	Max q.Opt[q.Celsius] `key:"max" need:"R" worse:"less" span:"30 C..150 C"`
}

// Isolation is what separates coil from contact, or input from output.
type Isolation struct {
	Insulation  string         `key:"insulation" need:"R" of:"none|functional|basic|reinforced"`
	VDielectric q.Opt[q.Volt]  `key:"v_dielectric" worse:"less" span:"100 V..20 kV"`
	VImpulse    q.Opt[q.Volt]  `key:"v_impulse" worse:"less" span:"100 V..20 kV"`
	VWorking    q.Opt[q.Volt]  `key:"v_working_max" worse:"less" span:"10 V..5 kV"`
	Clearance   q.Opt[q.Metre] `key:"clearance" worse:"less" span:"0.1 mm..50 mm"`
	Creepage    q.Opt[q.Metre] `key:"creepage" worse:"less" span:"0.1 mm..50 mm"`
}

// Contact is what one contact set guarantees.
type Contact struct {
	ICarry   q.Opt[q.Amp]   `key:"i_carry_max" need:"R" worse:"less" span:"10 mA..1 kA"`
	VACMax   q.Opt[q.Volt]  `key:"v_ac_max" worse:"less" span:"5 V..1 kV"`
	VDCMax   q.Opt[q.Volt]  `key:"v_dc_max" worse:"less" span:"5 V..10 kV"`
	AC       []ContactPoint `key:"ac" need:"r"`
	DC       []ContactPoint `key:"dc" need:"r"`
	Make     []MakePoint    `key:"make" need:"r"`
	Wetting  *Wetting       `key:"wetting" need:"r"`
	Life     []LifePoint    `key:"life" need:"r"`
	RateMax  q.Opt[q.Rate]  `key:"rate_max" need:"r" worse:"less" span:"1 /h..1e6 /h"`
	RContact q.Opt[q.Ohm]   `key:"r_contact_max" worse:"more" span:"0.1 mohm..10 ohm"`
	VOpen    q.Opt[q.Volt]  `key:"v_open_max" worse:"less" span:"100 V..20 kV"`
}

// ContactPoint is a switching figure of one utilisation category.
type ContactPoint struct {
	V        q.Opt[q.Volt]   `key:"v" need:"R" span:"1 V..10 kV"`
	I        q.Opt[q.Amp]    `key:"i" need:"R" worse:"less" span:"1 mA..1 kA"`
	Category string          `key:"category" need:"R"`
	LoverR   q.Opt[q.Second] `key:"l_over_r" span:"0.1 ms..1 s"`
}

// MakePoint is the inrush that a contact may close on.
type MakePoint struct {
	Load   string          `key:"load" need:"R" of:"lamp|capacitive|motor|inductive|resistive"`
	Supply string          `key:"supply" need:"R" of:"ac|dc"`
	V      q.Opt[q.Volt]   `key:"v" need:"R"`
	I      q.Opt[q.Amp]    `key:"i" need:"R" worse:"less" span:"10 mA..10 kA"`
	T      q.Opt[q.Second] `key:"t" need:"R" span:"1 us..100 s"`
}

// Wetting is the least load that keeps a contact clean.
type Wetting struct {
	V q.Opt[q.Volt] `key:"v" need:"R" worse:"more" span:"1 mV..100 V"`
	I q.Opt[q.Amp]  `key:"i" need:"R" worse:"more" span:"1 nA..10 A"`
}

// LifePoint is electrical life at one load.
type LifePoint struct {
	V          q.Opt[q.Volt]   `key:"v" need:"R"`
	I          q.Opt[q.Amp]    `key:"i" need:"R"`
	Category   string          `key:"category" need:"R"`
	LoverR     q.Opt[q.Second] `key:"l_over_r"`
	Operations *float64        `key:"operations" need:"R" worse:"less" span:"100..1e10"`
}

// ---- ssr, module, array ----

// SSR is a solid-state relay.
type SSR struct {
	Common
	Heat
	Output    string                 `key:"output" need:"R" of:"triac|scr-pair|mosfet-ac|mosfet-dc"`
	ZeroCross *bool                  `key:"zero_cross"`
	Input     string                 `key:"input" need:"R" of:"voltage|led"`
	VIn       *InputWindow           `key:"v_in"`
	IIn       []InputCurrent         `key:"i_in"`
	IFOnMin   q.Opt[q.Amp]           `key:"i_f_on_min" worse:"more" span:"10 uA..100 mA"`
	IFMax     q.Opt[q.Amp]           `key:"i_f_max" worse:"less" span:"100 uA..1 A"`
	VFMax     q.Opt[q.Volt]          `key:"v_f_max" worse:"more" span:"0.5 V..5 V"`
	VFMin     q.Opt[q.Volt]          `key:"v_f_min" worse:"less" span:"0.5 V..5 V"`
	VOut      *OutputWindow          `key:"v_out" need:"R"`
	FOut      *FrequencyWindow       `key:"f_out"`
	IOutMax   []AmbientCurrent       `key:"i_out_max" need:"R"`
	IOutCase  []CaseCurrent          `key:"i_out_case_max" need:"r"`
	ILoadMin  *LoadMinimum           `key:"i_load_min" need:"r"`
	VOnMax    q.Opt[q.Volt]          `key:"v_on_max" worse:"more" span:"0.1 V..5 V"`
	ROn       []OnResistance         `key:"r_on"`
	ILeakMax  []SSRLeak              `key:"i_leak_max" need:"r"`
	Surge     []SurgePoint           `key:"surge" need:"r"`
	I2tMax    q.Opt[q.AmpSquaredSec] `key:"i2t_max" need:"r" worse:"less" span:"1e-5 A2s..1e6 A2s"`
	Slope     *Slopes                `key:"slope" need:"r"`
	TimeMax   *SSRTimes              `key:"time_max" need:"r"`
	Isolation *Isolation             `key:"isolation" need:"r"`
}

// InputWindow is a voltage input's thresholds.
type InputWindow struct {
	OnMin  q.Opt[q.Volt] `key:"on_min" need:"R" worse:"more"`
	Max    q.Opt[q.Volt] `key:"max" need:"R" worse:"less"`
	OffMax q.Opt[q.Volt] `key:"off_max" need:"R" worse:"less"`
}

// InputCurrent is an input's current at a voltage.
type InputCurrent struct {
	V   q.Opt[q.Volt] `key:"v" need:"R"`
	Max q.Opt[q.Amp]  `key:"max" need:"R" worse:"more"`
}

// OutputWindow is the supply that an output may switch.
type OutputWindow struct {
	Min      q.Opt[q.Volt] `key:"min" need:"R" min:"0" worse:"more"`
	Max      q.Opt[q.Volt] `key:"max" need:"R" worse:"less"`
	Blocking q.Opt[q.Volt] `key:"blocking" need:"R" worse:"less"`
}

// FrequencyWindow is the supply frequencies that an output may switch.
type FrequencyWindow struct {
	Min q.Opt[q.Hertz] `key:"min" need:"R" worse:"more"`
	Max q.Opt[q.Hertz] `key:"max" need:"R" worse:"less"`
}

// AmbientCurrent is an output current at an ambient.
type AmbientCurrent struct {
	Ta q.Opt[q.Celsius] `key:"t_a" need:"R" at:"or more"`
	I  q.Opt[q.Amp]     `key:"i" need:"R" worse:"less"`
}

// CaseCurrent is an output current at a case temperature.
type CaseCurrent struct {
	Tc q.Opt[q.Celsius] `key:"t_c" need:"R" at:"or more"`
	I  q.Opt[q.Amp]     `key:"i" need:"R" worse:"less"`
}

// LoadMinimum is the least load current of a thyristor output.
type LoadMinimum struct {
	Hold  q.Opt[q.Amp] `key:"hold" need:"R" worse:"more" span:"10 uA..5 A"`
	Latch q.Opt[q.Amp] `key:"latch" worse:"more"`
}

// OnResistance is an output's on-resistance.
type OnResistance struct {
	ID  q.Opt[q.Amp]     `key:"i_d" need:"R"`
	Tj  q.Opt[q.Celsius] `key:"t_j"`
	Max q.Opt[q.Ohm]     `key:"max" worse:"more" span:"0.2 mohm..200 ohm"`
	Typ q.Opt[q.Ohm]     `key:"typ"`
}

// SSRLeak is off-state output leakage.
type SSRLeak struct {
	V   q.Opt[q.Volt]    `key:"v" need:"R"`
	Tj  q.Opt[q.Celsius] `key:"t_j"`
	Max q.Opt[q.Amp]     `key:"max" need:"R" worse:"more" span:"1 pA..1 A"`
}

// SurgePoint is a surge current for a length of time.
type SurgePoint struct {
	T q.Opt[q.Second] `key:"t" need:"R" at:"or longer" span:"100 ns..10000 s"`
	I q.Opt[q.Amp]    `key:"i" need:"R" worse:"less"`
}

// Slopes are the rates of rise that a thyristor output bears.
type Slopes struct {
	DVDt  q.Opt[q.VoltPerSecond] `key:"dv_dt" worse:"less"`
	DVDtC q.Opt[q.VoltPerSecond] `key:"dv_dt_commutating" worse:"less"`
	DIDtC q.Opt[q.AmpPerSecond]  `key:"di_dt_commutating" worse:"less"`
}

// SSRTimes are the longest turn-on and turn-off times.
type SSRTimes struct {
	On  q.Opt[q.Second] `key:"on" need:"R" worse:"more" span:"100 ns..1 s"`
	Off q.Opt[q.Second] `key:"off" need:"R" worse:"more" span:"100 ns..1 s"`
}

// Module is a switch bought with its driver on it. Only the tables of its kind
// of switch count; they are spelled as in that kind.
type Module struct {
	Common
	Switch       string          `key:"switch" need:"R" of:"relay|n-mosfet|ssr"`
	Active       string          `key:"active" need:"R" of:"low|high"`
	Channels     *int            `key:"channels"`
	Together     []TogetherPoint `key:"i_together_max" need:"r"` // each channel's, with n on
	VSupply      *SupplyWindow   `key:"v_supply" need:"R"`
	ISupplyMax   q.Opt[q.Amp]    `key:"i_supply_max" need:"R" worse:"more" span:"10 uA..10 A"`
	InputTo      string          `key:"input_to" need:"R" of:"supply|ground"`
	IInOn        *AmpWindow      `key:"i_in_on" need:"R"`
	IInOffMax    q.Opt[q.Amp]    `key:"i_in_off_max" need:"R" worse:"less" span:"10 nA..100 mA"`
	VInDrop      *VoltWindow     `key:"v_in_drop" need:"R"`
	RIn          *OhmSpread      `key:"r_in" need:"R"`
	SeparateCoil bool            `key:"separate_coil_supply"`
	OffUnfed     bool            `key:"off_unsupplied"` // off while the supply of its driver is absent
	Relay        *Relay          `key:"relay"`
	MOSFET       *MOSFET         `key:"n-mosfet"`
	SSR          *SSR            `key:"ssr"`
}

// VoltWindow is the spread of a voltage: it gets worse by widening.
type VoltWindow struct {
	Min q.Opt[q.Volt] `key:"min" need:"R" worse:"less"`
	Max q.Opt[q.Volt] `key:"max" need:"R" worse:"more"`
}

// SupplyWindow is the supply that a part works with: it gets worse by narrowing.
type SupplyWindow struct {
	Min q.Opt[q.Volt] `key:"min" need:"R" worse:"more"`
	Max q.Opt[q.Volt] `key:"max" need:"R" worse:"less"`
}

// AmpWindow is the current of an input: what it needs to be on, and what it takes
// then at the most. More needed is worse. More taken asks more of the pin, and less
// bears less from another pin: neither way is worse.
type AmpWindow struct {
	Min q.Opt[q.Amp] `key:"min" need:"R" worse:"more"`
	Max q.Opt[q.Amp] `key:"max" need:"R"`
}

// OhmWindow is a choice of resistances: no figure of a part, but what there is.
type OhmWindow struct {
	Min q.Opt[q.Ohm] `key:"min" need:"R"`
	Max q.Opt[q.Ohm] `key:"max" need:"R"`
}

// OhmSpread is the spread of a resistance: it gets worse by widening.
type OhmSpread struct {
	Min q.Opt[q.Ohm] `key:"min" need:"R" worse:"less"`
	Max q.Opt[q.Ohm] `key:"max" need:"R" worse:"more"`
}

// Array is several low-side channels in one package.
type Array struct {
	Common
	Heat
	Channels  *int                `key:"channels" need:"R"`
	Output    string              `key:"output" need:"R" of:"darlington|n-mosfet"`
	VOutMax   q.Opt[q.Volt]       `key:"v_out_max" need:"R" worse:"less" span:"5 V..500 V"`
	IOutMax   q.Opt[q.Amp]        `key:"i_out_max" need:"R" worse:"less" span:"1 mA..20 A"`
	Together  []TogetherPoint     `key:"i_together_max" need:"r"`
	VInOn     []ArrayInput        `key:"v_in_on" need:"R"`
	IInMax    []ArrayInputCurrent `key:"i_in_max" need:"R"`
	VOnMax    []ArrayOn           `key:"v_on_max" need:"R"`
	ILeakMax  q.Opt[q.Amp]        `key:"i_leak_max" need:"r" worse:"more" span:"1 nA..10 mA"`
	VInOffMax q.Opt[q.Volt]       `key:"v_in_off_max" need:"r" worse:"less"`
	Clamp     *ArrayClamp         `key:"clamp"`
}

// TogetherPoint is the current each channel may carry with so many on.
type TogetherPoint struct {
	On   *int           `key:"on" need:"R"`
	Duty q.Opt[q.Ratio] `key:"duty" need:"R"`
	I    q.Opt[q.Amp]   `key:"i" need:"R" worse:"less"`
}

// ArrayInput is the input voltage that turns a channel on.
type ArrayInput struct {
	IOut q.Opt[q.Amp]  `key:"i_out" need:"R"`
	Max  q.Opt[q.Volt] `key:"max" need:"R" worse:"more"`
}

// ArrayInputCurrent is a channel's input current.
type ArrayInputCurrent struct {
	VIn q.Opt[q.Volt] `key:"v_in" need:"R"`
	I   q.Opt[q.Amp]  `key:"i" need:"R" worse:"more"`
}

// ArrayOn is a channel's on voltage.
type ArrayOn struct {
	IOut q.Opt[q.Amp]  `key:"i_out" need:"R"`
	V    q.Opt[q.Volt] `key:"v" need:"R" worse:"more"`
}

// ArrayClamp is the built-in diodes to a common pin.
type ArrayClamp struct {
	VFMax q.Opt[q.Volt] `key:"v_f_max" need:"R" worse:"more"`
	IMax  q.Opt[q.Amp]  `key:"i_max" need:"R" worse:"less"`
}
