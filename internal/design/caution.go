package design

// Caution ids, in the order they are told.
const (
	CautionHazard      = "hazardous-voltage"
	CautionHot         = "hot-surface"
	CautionStored      = "stored-energy"
	CautionCharge      = "stored-charge"
	CautionMoves       = "machinery"
	CautionReset       = "pin-floats"
	CautionStuck       = "stuck-on"
	CautionLimits      = "not-a-safety-function"
	CautionFuse        = "no-fuse"
	CautionTabLive     = "live-tab"
	CautionLife        = "short-contact-life"
	CautionRailUnknown = "rail-current-unknown"
	CautionNoMargin    = "no-margin"
)

var cautions = []struct{ id, text string }{
	{CautionHazard, "Shock hazard: this rail is above 60 V DC, 30 V RMS or 42.4 V peak. Enclose it, fuse it, separate it from the logic side, and leave the work to a qualified person under the local code."},
	{CautionHot, "Hot surface: a part of this stage runs above 60 C. Keep fingers, cables and anything that burns away from it."},
	{CautionStored, "Stored energy: the winding drives its current on when it is switched off. Never break the clamp or the load's wires while it is on."},
	{CautionCharge, "Stored charge: a capacitor in this load may stay charged after the supply is gone. Discharge and measure before touching."},
	{CautionMoves, "Moving parts: the load can start by itself when power returns or the pin floats. Keep clear and disconnect before reaching in."},
	{CautionReset, "The pin floats or is pulled up at reset and while the logic has no supply. Keep the pull-down; without it the load may switch on by itself."},
	{CautionStuck, "Stuck on does harm here: a switch can fail short. Provide a second, independent means of disconnection."},
	{CautionLimits, "A transistor or relay is not an emergency stop and not a safety function."},
	{CautionFuse, "No fuse was chosen: the rail is not hazardous. Where it can give more than the wiring bears, fit one near the supply."},
	{CautionTabLive, "The metal tab is not at ground potential. Insulate it from other metal and do not touch it."},
	{CautionLife, "The contact wears out in less than a year at this rate."},
	{CautionRailUnknown, "What the rail can give was not stated: its current is not judged."},
	{CautionNoMargin, "Policy none: a fit has no margin."},
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
