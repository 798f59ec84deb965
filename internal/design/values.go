package design

// ValueKey is the contract name of a design's value.
type ValueKey string

// The values. One of a helper carries its role in front ("driver.r_base").
const (
	RBase          ValueKey = "r_base"
	RBaseEmitter   ValueKey = "r_base_emitter"
	RGate          ValueKey = "r_gate"
	RPulldown      ValueKey = "r_pulldown"
	RPullup        ValueKey = "r_pullup"
	RSeries        ValueKey = "r_series"
	RLock          ValueKey = "interlock.r_series"
	RLockGate      ValueKey = "interlock.r_gate"
	RSnubber       ValueKey = "r_snubber"
	CSnubber       ValueKey = "c_snubber"
	IPin           ValueKey = "i_pin"
	IBase          ValueKey = "i_base"
	IHold          ValueKey = "i_hold"
	ForcedBeta     ValueKey = "forced_beta"
	VGateDrive     ValueKey = "v_gate_drive"
	VOn            ValueKey = "v_on"
	ROn            ValueKey = "r_on"
	IOn            ValueKey = "i_on"
	IOff           ValueKey = "i_off"
	IPeak          ValueKey = "i_peak"
	IRipple        ValueKey = "i_ripple"
	POn            ValueKey = "p_on"
	PSwitching     ValueKey = "p_switching"
	PTotal         ValueKey = "p_total"
	TJunction      ValueKey = "t_junction"
	TStuckOn       ValueKey = "t_stuck_on"
	TTouch         ValueKey = "t_touch"
	TCoil          ValueKey = "t_coil"
	TPulse         ValueKey = "t_pulse"
	HeatsinkRth    ValueKey = "heatsink_rth"
	FPWMMax        ValueKey = "f_pwm_max"
	FPWMMin        ValueKey = "f_pwm_min" // nominal, told beside
	VPeakOff       ValueKey = "v_peak_off"
	VPinMax        ValueKey = "v_pin_max"
	VControlReset  ValueKey = "v_control_reset"
	TDecay         ValueKey = "t_decay"
	TRelease       ValueKey = "t_release"
	ETurnoff       ValueKey = "e_turnoff"
	CRail          ValueKey = "c_rail" // that takes e_turnoff where a bridge gives it back to the rail
	PClamp         ValueKey = "p_clamp"
	ContactLifeOps ValueKey = "contact_life"
	LifeYears      ValueKey = "life_years"
	VLoad          ValueKey = "v_load"
	IFuse          ValueKey = "i_fuse"    // rated
	IWire          ValueKey = "i_wire"    // that the stated wire may carry
	VWire          ValueKey = "v_wire"    // that the run of wires keeps
	AWire          ValueKey = "wire_area" // mm2
	WireGauge      ValueKey = "wire_awg"
	EnergyInrush   ValueKey = "energy_inrush"
	EOn            ValueKey = "e_on"      // nominal, told beside
	EOff           ValueKey = "e_off"     // likewise
	EWire          ValueKey = "e_wire"    // likewise
	TOwnOn         ValueKey = "t_on_own"  // likewise: of one part, where t_on bounds all
	TOwnOff        ValueKey = "t_off_own" // likewise
	TOn            ValueKey = "t_on"
	TOff           ValueKey = "t_off"
)
