package design

// Caution ids, in the order they are told.
const (
	CautionHazard       = "hazardous-voltage"
	CautionHot          = "hot-surface"
	CautionStored       = "stored-energy"
	CautionCharge       = "stored-charge"
	CautionMoves        = "machinery"
	CautionReset        = "pin-floats"
	CautionStuck        = "stuck-on"
	CautionLimits       = "not-a-safety-function"
	CautionFuse         = "no-fuse"
	CautionFuseWire     = "fuse-for-wires"
	CautionFuseIdles    = "fuse-may-not-open"
	CautionTabLive      = "live-tab"
	CautionLife         = "short-contact-life"
	CautionRailUnknown  = "rail-current-unknown"
	CautionNoMargin     = "no-margin"
	CautionRegeneration = "regeneration"
	CautionCoasts       = "coasts"
	CautionFlicker      = "light-flickers"
	CautionRipple       = "current-ripples"
	CautionAudible      = "audible"
	CautionFarClamp     = "clamp-far-away"
	CautionInverted     = "on-at-reset"
	CautionClosed       = "closed-at-rest"
	CautionWires        = "wires-unclamped"
	CautionLimiter      = "limiter-cools"
	CautionTransients   = "mains-transients"
	CautionWiresUnsaid  = "wires-not-stated"
	CautionTerminals    = "ends-at-terminals"
	CautionMemory       = "factors-from-memory"
	CautionActiveLow    = "on-with-a-low-pin"
	CautionJumper       = "coil-supply-apart"
	CautionLatching     = "latching"
)

var cautions = []struct{ id, text string }{
	{CautionHazard, "Shock hazard: this rail is above 60 V DC, 30 V RMS or 42.4 V peak. Enclose it, fuse it, separate it from the logic side, and leave the work to a qualified person under the local code."},
	{CautionHot, "Hot surface: a part of this stage may be above 60 C on its outside, up to t_touch among its values. Bare metal of 70 C burns after about a second (EN 563), and plastic that is touched may have 77 C at the most (IEC 62368-1). Keep fingers, cables and anything that burns away from it."},
	{CautionStored, "Stored energy: the winding drives its current on when it is switched off. Never break the clamp or the load's wires while it is on."},
	{CautionCharge, "Stored charge: a capacitor in this load may stay charged after the supply is gone. Discharge and measure before touching."},
	{CautionMoves, "Moving parts: the load can start by itself when power returns or the pin floats. Keep clear and disconnect before reaching in."},
	{CautionReset, "The pin floats or is pulled up at reset and while the logic has no supply. Leave no control without its pull-down: the load may switch on by itself."},
	{CautionStuck, "Stuck on does harm here: a switch can fail short. Provide a second, independent means of disconnection."},
	{CautionLimits, "A transistor or relay is not an emergency stop and not a safety function."},
	{CautionFuse, "No fuse was chosen: the rail is not hazardous. Where it can give more than the wiring bears, fit one near the supply."},
	{CautionFuseWire, "The fuse keeps the wires from burning, not the switch from a short: that may fail closed before the fuse opens. Fit it at the supply's end of the run, of the stated rating and speed; after it has opened look for the cause."},
	{CautionFuseIdles, "A short on this rail may draw less than opens this fuse: it then protects nothing, and what the rail gives flows on. Use wires that bear all of that, and a switch that does, or a supply that turns itself off."},
	{CautionTabLive, "The metal tab is not at ground potential. Insulate it from other metal and do not touch it."},
	{CautionLife, "The contact wears out in less than a year at this rate."},
	{CautionRailUnknown, "What the rail can give was not stated: its current is not judged."},
	{CautionRegeneration, "What a winding holds when it is switched off goes back into the rail, and so does the energy of a motor that is reversed while it turns. Give the rail a capacitor, for the coil of a relay c_rail among the values, or a supply that bears it, and no diode in between: on the pin's own supply the logic would get it."},
	{CautionCoasts, "With both pins low, both high or without supply all switches are off and the motor coasts: nothing brakes it. Change the direction by the pins alone; never drive them in pulses shorter than the dead time."},
	{CautionNoMargin, "Policy none: a fit has no margin."},
	{CautionFlicker, "Below f_pwm_min this light may be seen to flicker, or tire the eyes: low risk of it begins there by IEEE Std 1789-2015, quoted from memory."},
	{CautionRipple, "Below f_pwm_min the current of this winding swings by more than a fifth of its steady value (common practice, no source): it gets hotter and louder than its mean current says."},
	{CautionAudible, "PWM between 20 Hz and 20 kHz can be heard: windings and cores hum or whistle at it."},
	{CautionFarClamp, "The wires to the load have an inductance of their own, which a clamp at the load does not hold. Place it where the wires leave the board, between the switch and the rail."},
	{CautionInverted, "One transistor drives this gate and turns its sense round: the load is on at reset, while the program does not run and while the logic has no supply, until the pin goes high. Take the driver of two transistors where that is not wanted."},
	{CautionClosed, "The contact is closed while the coil is not driven: the load is on without the logic's supply, at reset, and when the coil, its driver, its supply or the wire from the pin fails. Nothing but the driven coil turns it off."},
	{CautionWires, "The wires to the load have an inductance, and no clamp takes what they hold when it is switched off: the switch does. Where they are long, put a diode where they leave the board, between the switch and the rail."},
	{CautionLimiter, "The inrush limiter must cool between switching off and on again: started sooner it is still hot, does not limit, and nothing here is proven. It gets hot enough to burn."},
	{CautionTransients, "No varistor holds what comes along the mains: a transient beyond what the output blocks turns it on for half a cycle, or breaks it short. Where lightning or large motors are near, take an output that blocks more, with a varistor across it."},
	{CautionWiresUnsaid, "The wires of this load were not stated: whether they bear its current, and the fuse, is not judged. Use none that bear less than the rating of the fuse."},
	{CautionTerminals, "This is no wiring plan for a fixed installation: the stage ends at the terminals of its contact or output. What is beyond them, its protective earth and its means of isolation are for a qualified person under the local code."},
	{CautionActiveLow, "The module is on with the pin low: let the program set the pin high before it makes an output of it, or the load comes on for that moment. A pull-down at this input turns it on."},
	{CautionJumper, "The jumper between the supplies of inputs and coils is out: the inputs hang on the pin's own supply, the coils on the rail named here. With the jumper in, both hang on that rail, and nothing here is proven."},
	{CautionLatching, "A latching relay stays where it was: without the logic's supply, at reset, and when a wire breaks, the load is as it was last, and a knock may move it. Nobody knows where it stands until the first pulse: let the program begin with a reset pulse. Drive one direction at a time, for the pulse and no longer."},
	{CautionMemory, "The factors of this derating policy are from memory. Before anything depends on them, look them up:"},
}

// CautionText is the sentence of a caution.
func CautionText(id string) string {
	for _, c := range cautions {
		if c.id == id {
			return c.text
		}
	}
	return id
}

// CautionOrder is the place of a caution in the telling.
func CautionOrder(id string) int {
	for i, c := range cautions {
		if c.id == id {
			return i
		}
	}
	return len(cautions)
}
