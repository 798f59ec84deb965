package topology

import (
	"strings"
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
)

const (
	coil12 = "[[rail]]\nname = \"logic\"\nvoltage = \"12 V\"\ntolerance = \"5 %\"\ncurrent_max = \"2 A\"\n"
	coil24 = "[[rail]]\nname = \"logic\"\nvoltage = \"24 V\"\ntolerance = \"5 %\"\ncurrent_max = \"2 A\"\n"
	acCoil = "kind = \"ac-coil\"\ncurrent = \"@i\"\ninrush_factor = 10\ninrush_time = \"50 ms\"\ninrush_source = \"data-sheet\"\n"
	dcHeat = "kind = \"resistive\"\ncurrent = \"@i\"\n"
	dc48   = "supply = \"48 V\"\nsupply_tolerance = \"5 %\"\n"
	dc110  = "supply = \"110 V\"\nsupply_tolerance = \"5 %\"\n"
	built  = "[load.built]\ntopology = \"relay\"\npart = \"rl-12v-16a\"\n"
	atRest = "unpowered = \"on\"\n"
)

var relayVerdicts = []loadVerdict{
	// Heaters on AC: 10 % of resistance, 10 % of rail: 1.2222 times at the most. Four fifths
	// of a contact's figure are allowed.
	{"heater 10 A", onMains + amps(acHeater, "10 A"), "rl-12v-16a", design.ContactCurrent, design.Fits, false, "12.22 A of 0.8*16 A"},
	{"heater 10 A", onMains + amps(acHeater, "10 A"), "rl-12v-16a", design.ContactVoltage, design.Fits, false, "230 V of 250 V"},
	{"heater 10 A", onMains + amps(acHeater, "10 A"), "rl-12v-16a", design.ContactCarry, design.Fits, false, "12.22 A of 0.8*16 A"},
	{"heater 10 A", onMains + amps(acHeater, "10 A"), "rl-12v-16a", design.Isolation, design.Fits, false, "2.5 kV, a step up 4 kV of 8; 3 mm and 5 mm of 8"},
	{"heater 13 A", onMains + amps(acHeater, "13 A"), "rl-12v-16a", design.ContactCurrent, design.Tight, false, "15.89 A of 16 A"},
	{"heater 16 A on 16 A", onMains + amps(acHeater, "16 A"), "rl-12v-16a", design.ContactCurrent, design.Over, true, "the headline current: 19.6 A of 16 A"},
	{"heater 5 A on basic insulation", onMains + amps(acHeater, "5 A"), "rl-12v-10a", design.Isolation, design.Over, true, "2.5 kV of 4, 2 mm of 3"},
	{"overvoltage category IV", onMains + amps(acHeater, "5 A") + "overvoltage_category = \"IV\"\n", "rl-12v-16a", design.Isolation, design.Fits, false, "6 kV, a step up 8 kV of 8; 8 mm of 8"},
	{"24 V AC heater 10 A", on24 + amps(acHeater, "10 A"), "rl-12v-16a", design.ContactCurrent, design.Fits, false, "the figure of 250 V serves lower: 12.22 A of 12.8"},
	{"24 V AC heater 50 mA on a reed", on24 + amps(acHeater, "50 mA"), "rl-5v-reed", design.ContactCurrent, design.Fits, false, "61.1 mA of 0.8*80 mA"},
	{"24 V AC heater 0.1 A on a reed", on24 + amps(acHeater, "0.1 A"), "rl-5v-reed", design.ContactCurrent, design.Over, true, "its DC figure is 0.4 A, its AC one 80 mA: 122 mA"},
	{"heater on a slow cycle", onMains + amps(acHeater, "5 A") + "mode = \"cycle\"\nperiod = \"5 min\"\n", "rl-12v-16a", design.ContactRate, design.Fits, false, "12 /h of 900"},
	{"heater on a fast cycle", onMains + amps(acHeater, "5 A") + "mode = \"cycle\"\nperiod = \"1 s\"\n", "rl-12v-16a", design.ContactRate, design.Over, true, "3600 /h of 900"},
	{"pwm on a contact", onMains + amps(acHeater, "5 A") + "mode = \"pwm\"\npwm_frequency = \"10 Hz\"\n", "rl-12v-16a", design.ContactRate, design.Over, true, "36000 /h of 900"},
	{"life of a heater of 5 A", onMains + amps(acHeater, "5 A") + "life = \"1 years\"\noperations_per_year = 60000\n", "rl-12v-16a", design.ContactLife, design.Fits, false, "6.11 A: next higher 10 A, 60000 of 0.7*100000"},
	{"life of a heater of 10 A", onMains + amps(acHeater, "10 A") + "life = \"1 years\"\noperations_per_year = 60000\n", "rl-12v-16a", design.ContactLife, design.Unproven, true, "12.2 A: next higher 16 A, 60000 of 50000; 74400 log-log is no guarantee"},
	{"life of a motor from a resistive figure", onMains + amps(acMotor6, "1 A") + "life = \"1 years\"\noperations_per_year = 100\n", "rl-12v-16a", design.ContactLife, design.Unproven, true, "no AC-3 life is stated"},

	// Supplies that the contact is not made for.
	{"railway, 16.7 Hz", "supply = \"230 V\"\nsupply_tolerance = \"10 %\"\nfrequency = \"16.7 Hz\"\n" + amps(acHeater, "1 A"), "rl-12v-16a", design.ContactCurrent, design.Unproven, true, "16 A is of 50 Hz: an arc lasts three times as long"},
	{"aircraft, 400 Hz", "supply = \"115 V\"\nsupply_tolerance = \"5 %\"\nfrequency = \"400 Hz\"\n" + amps(acHeater, "1 A"), "rl-12v-16a", design.ContactCurrent, design.Unproven, true, "no contact figure is of 400 Hz"},
	{"next to DC, 1 Hz", "supply = \"110 V\"\nsupply_tolerance = \"5 %\"\nfrequency = \"1 Hz\"\n" + amps(acHeater, "3 A"), "rl-12v-16a", design.ContactCurrent, design.Unproven, true, "half a second of arc: 0.4 A is its figure of 110 V DC"},
	{"60 Hz", "supply = \"120 V\"\nsupply_tolerance = \"5 %\"\nfrequency = \"60 Hz\"\n" + amps(acHeater, "5 A"), "rl-12v-16a", design.ContactCurrent, design.Fits, false, "6 A of 0.8*16 A"},
	{"varistor worn by its valve", on24 + "kind = \"ac-coil\"\ncurrent = \"1 A\"\npower_factor = 0.3\ninrush_factor = 1\ninrush_source = \"measured\"\n" + built + "clamp = \"mov-30v-10mm\"\n", "rl-12v-16a", design.ClampEnergy, design.Unproven, true, "more than 0.7*0.44 J at every opening; 4.4 J are borne once"},
	{"mains on an automotive relay", onMains + amps(acHeater, "1 A"), "rl-12v-auto-20a", design.ContactVoltage, design.Over, true, "no AC figure; that of 30 V DC never serves"},
	{"24 V AC on an automotive relay", on24 + amps(acHeater, "1 A"), "rl-12v-auto-20a", design.ContactVoltage, design.Over, true, "no AC figure"},
	{"230 V on 125 V", onMains + amps(acHeater, "0.1 A"), "rl-5v-2a", design.ContactVoltage, design.Over, true, "230 V of 125 V"},
	{"230 V on a reed", onMains + amps(acHeater, "10 mA"), "rl-5v-reed", design.ContactVoltage, design.Over, true, "230 V of 125 V"},
	{"400 V on 250 V", "supply = \"400 V\"\nsupply_tolerance = \"10 %\"\nfrequency = \"50 Hz\"\n" + amps(acHeater, "1 A"), "rl-12v-16a", design.ContactVoltage, design.Over, true, "400 V of 250 V"},
	{"48 V DC on a 30 V DC contact", dc48 + amps(dcHeat, "1 A"), "rl-12v-auto-20a", design.ContactVoltage, design.Over, true, "48 V of 30 V"},
	{"AC figure used for DC", dc48 + amps(dcHeat, "10 A"), "rl-12v-16a", design.ContactCurrent, design.Over, true, "16 A is of 250 V AC: at 60 V DC 1.4 A, log-log at 48 V 3.07 A, and 11.7 A asked"},
	{"48 V DC, 2 A", dc48 + amps(dcHeat, "2 A"), "rl-12v-16a", design.ContactCurrent, design.Unproven, true, "2.33 A between 1.4 A (60 V) and 3.07 A log-log at 48 V"},
	{"48 V DC, 0.9 A", dc48 + amps(dcHeat, "0.9 A"), "rl-12v-16a", design.ContactCurrent, design.Fits, false, "1.05 A of 0.8*1.4 A"},
	{"110 V DC, 0.25 A", dc110 + amps(dcHeat, "0.25 A"), "rl-12v-16a", design.ContactCurrent, design.Fits, false, "0.292 A of 0.8*0.4 A (125 V)"},
	{"110 V DC, 0.5 A on 16 A", dc110 + amps(dcHeat, "0.5 A"), "rl-12v-16a", design.ContactCurrent, design.Over, true, "0.583 A of 0.4, log-log 0.4975 A at 110 V"},
	{"110 V DC, 0.6 A through two poles", dc110 + amps(dcHeat, "0.6 A"), "rl-12v-8a-2c", design.ContactCurrent, design.Fits, false, "0.7 A of 0.8*1 A, stated for both at 120 V; one switches 0.3 A"},
	{"110 V DC, 1.5 A through two poles", dc110 + amps(dcHeat, "1.5 A"), "rl-12v-8a-2c", design.ContactCurrent, design.Over, true, "1.75 A of 1 A, log-log 1.3 A"},
	{"110 V DC, two poles without a figure for both", dc110 + amps(dcHeat, "0.6 A"), "rl-12v-10a-plug", design.ContactCurrent, design.Over, true, "two poles do not open together: nothing says that they switch more than one's 0.3 A"},
	{"110 V DC, 1 A on 30 A", dc110 + amps(dcHeat, "1 A"), "rl-12v-30a", design.ContactCurrent, design.Over, true, "1.167 A of 0.6 A at 110 V"},
	{"220 V DC", "supply = \"220 V\"\nsupply_tolerance = \"5 %\"\n" + amps(dcHeat, "0.1 A"), "rl-12v-16a", design.ContactVoltage, design.Over, true, "220 V of 125 V"},

	// Magnets on AC: 1.21 times at the most (10 % of rail and 10 % of load).
	{"24 V AC valve", on24 + amps(acCoil, "0.25 A"), "rl-12v-16a", design.ContactCurrent, design.Fits, false, "0.3025 A of 0.8*5 A, AC-15"},
	{"24 V AC valve", on24 + amps(acCoil, "0.25 A"), "rl-12v-16a", design.ContactInrush, design.Fits, false, "4.28 A and 0.4 A of a snubber, of 0.8*40 A"},
	{"24 V AC valve", on24 + amps(acCoil, "0.25 A"), "rl-12v-16a", design.ContactMinimum, design.Fits, false, "0.25*0.81 = 0.2 A over 0.1 A"},
	{"contactor coil 3.5 A", onMains + amps(acCoil, "3.5 A"), "rl-12v-16a", design.ContactCurrent, design.Tight, false, "4.235 A of 5 A, over 0.8 of it"},
	{"contactor coil 3.5 A", onMains + amps(acCoil, "3.5 A"), "rl-12v-16a", design.ContactInrush, design.Over, true, "10*1.414*4.235 = 59.9 A of 40 A: the make figure holds, not 10 times AC-15"},
	{"contactor coil 6 A on 16 A", onMains + amps(acCoil, "6 A"), "rl-12v-16a", design.ContactCurrent, design.Over, true, "7.26 A of 5 A, AC-15"},
	{"coil of 20 mA on a power contact", onMains + amps(acCoil, "20 mA"), "rl-12v-16a", design.ContactMinimum, design.Unproven, true, "16.2 mA of 0.1 A recommended"},
	{"24 V AC coil of 0.1 A on a small contact", on24 + amps(acCoil, "0.1 A"), "rl-5v-2a", design.ContactCurrent, design.Fits, false, "0.121 A of 0.8*0.2 A, AC-15"},
	{"24 V AC coil of 0.1 A on a small contact", on24 + amps(acCoil, "0.1 A"), "rl-5v-2a", design.ContactInrush, design.Fits, false, "1.71 A, of 0.8 times 10*0.2*1.414 = 2.83 A: AC-15 makes ten times"},
	{"24 V AC coil of 0.25 A on a reed", on24 + amps(acCoil, "0.25 A"), "rl-5v-reed", design.ContactCurrent, design.Over, true, "0.3025 A of 0.3*80 mA, and of all 80 mA"},
	{"release within 5 ms", on24 + amps(acCoil, "0.25 A") + "release_within = \"5 ms\"\nmechanical_release_time = \"1 ms\"\n", "rl-12v-16a", design.ReleaseTime, design.Over, true, "6 ms of armature and 10.6 ms of arc"},
	{"release within 0.1 s", on24 + amps(acCoil, "0.25 A") + "release_within = \"100 ms\"\nmechanical_release_time = \"1 ms\"\n", "rl-12v-16a", design.ReleaseTime, design.Fits, false, "some 31 + 10.6 + 1 ms"},
	{"release, what moves not stated", on24 + amps(acCoil, "0.25 A") + "release_within = \"100 ms\"\n", "rl-12v-16a", design.ReleaseTime, design.Unproven, true, "mechanical_release_time"},

	// Motors, transformers, lamps and supplies on AC.
	{"motor 1 A", onMains + amps(acMotor6, "1 A"), "rl-12v-16a", design.ContactCurrent, design.Fits, false, "1.21 A of 0.8*3 A, AC-3"},
	{"motor 1 A", onMains + amps(acMotor6, "1 A"), "rl-12v-16a", design.ContactInrush, design.Fits, false, "10.3 A and a snubber's 3.6 A, of 0.8*25.5 A: AC-3 makes six times"},
	{"motor 3 A on 16 A", onMains + amps(acMotor6, "3 A"), "rl-12v-16a", design.ContactCurrent, design.Over, true, "3.63 A of 3 A, AC-3"},
	{"motor 3 A on 16 A", onMains + amps(acMotor6, "3 A"), "rl-12v-16a", design.ContactInrush, design.Over, true, "6*1.414*3.63 = 30.8 A for 1 s; AC-3 makes 25.5 A"},
	{"transformer 200 VA, 40 times", onMains + "kind = \"ac-transformer\"\ncurrent = \"0.87 A\"\ninrush_factor = 40\ninrush_source = \"measured\"\n", "rl-12v-16a", design.ContactInrush, design.Over, true, "59.5 A of 40 A"},
	{"transformer 200 VA, nobody measured", onMains + "kind = \"ac-transformer\"\ncurrent = \"0.87 A\"\n", "rl-12v-16a", design.ContactInrush, design.Unproven, true, "44.7 A assumed of 40 A"},
	{"transformer 50 VA, 40 times", onMains + "kind = \"ac-transformer\"\ncurrent = \"0.22 A\"\ninrush_factor = 40\ninrush_source = \"measured\"\n", "rl-12v-16a", design.ContactInrush, design.Fits, false, "15.1 A of 0.8*40 A"},
	{"lamp 100 W", onMains + "kind = \"ac-lamp\"\npower = \"100 W\"\n", "rl-12v-16a", design.ContactCurrent, design.Fits, false, "0.504 A of 0.8*2.5 A, AC-5b"},
	{"lamp 100 W", onMains + "kind = \"ac-lamp\"\npower = \"100 W\"\n", "rl-12v-16a", design.ContactInrush, design.Fits, false, "15*1.414*0.504 = 10.7 A of 0.8*22.6 A, the crest of AC-1: 80 A is for 20 ms only"},
	{"lamp 500 W that welds", onMains + "kind = \"ac-lamp\"\npower = \"500 W\"\n", "rl-12v-16a", design.ContactInrush, design.Unproven, true, "53.5 A for 100 ms of 22.6 A; 80 A for 20 ms does not prove it"},
	{"lamp 500 W, 20 ms, 14 times", onMains + "kind = \"ac-lamp\"\npower = \"500 W\"\ncold_ratio = 14\ninrush_time = \"20 ms\"\n", "rl-12v-16a", design.ContactInrush, design.Fits, false, "14*1.414*2.52 = 49.9 A of 0.8*80 A"},
	{"lamp 600 W on 16 A", onMains + "kind = \"ac-lamp\"\npower = \"600 W\"\n", "rl-12v-16a", design.ContactCurrent, design.Over, true, "3.02 A of 2.5 A, AC-5b"},
	{"LED lamp of 5 W, nobody measured", onMains + "kind = \"ac-supply\"\npower = \"5 W\"\n", "rl-12v-16a", design.ContactInrush, design.Unproven, true, "358/5 = 71.6 A for 1 ms of 22.6 A; 120 A is for 0.5 ms"},
	{"supply, 40 A measured", onMains + "kind = \"ac-supply\"\npower = \"30 W\"\ninrush_current = \"40 A\"\ninrush_time = \"0.4 ms\"\ninrush_source = \"measured\"\n", "rl-12v-16a", design.ContactInrush, design.Fits, false, "40 A of 0.8*120 A"},
	{"supply, 150 A measured", onMains + "kind = \"ac-supply\"\npower = \"30 W\"\ninrush_current = \"150 A\"\ninrush_time = \"0.4 ms\"\n", "rl-12v-16a", design.ContactInrush, design.Over, true, "150 A of 120 A: it welds"},
	{"LED lamp of 5 W", onMains + "kind = \"ac-supply\"\npower = \"5 W\"\n", "rl-12v-16a", design.ContactMinimum, design.Unproven, true, "17.8 mA of 0.1 A recommended"},

	// What stands across the contact.
	{"ordinary capacitor on the mains", onMains + amps(acMotor6, "1 A") + built + "r_snubber = \"100 ohm\"\nsnubber = \"c-film-100n-250v\"\n", "rl-12v-16a", design.CapacitorVoltage, design.Over, true, "no class X"},
	{"snubber that holds a coil", onMains + amps(acCoil, "20 mA") + "off_current_max = \"2 mA\"\n" + built + "r_snubber = \"100 ohm\"\nsnubber = \"c-x2-100n\"\n", "rl-12v-16a", design.Leakage, design.Over, true, "2*pi*52*0.11 uF*253 V = 9.1 mA and more of 2 mA"},
	{"winding in resonance with its snubber", onMains + amps(acCoil, "50 mA") + "inductance = \"20 H\"\noff_current_max = \"30 mA\"\n" + built + "r_snubber = \"100 ohm\"\nsnubber = \"c-x2-100n\"\n", "rl-12v-16a", design.CapacitorVoltage, design.Over, true, "253 V/(1 - (2*pi*52 Hz)^2*24 H*0.11 uF) = 352 V of 305 V"},
	{"capacitor straight across a contact", onMains + amps(acMotor6, "1 A") + built + "r_snubber = \"none\"\nsnubber = \"c-x2-100n\"\n", "rl-12v-16a", design.ContactInrush, design.Over, true, "nothing limits the discharge of 358 V"},
	{"diode across a load on AC", on24 + amps(acCoil, "0.25 A") + built + "clamp = \"d-75v-200ma\"\n", "rl-12v-16a", design.ClampStandoff, design.Over, true, "it shorts every other half cycle"},

	// DC loads.
	{"DC solenoid and its diode", dc24 + "kind = \"solenoid\"\ncurrent = \"0.8 A\"\ninductance = \"60 mH\"\n", "rl-12v-16a", design.ContactCurrent, design.Fits, false, "it carries its clamp: 0.98 A of 0.8*16 A at 24 V and a diode"},
	{"DC lamp that welds", dc24 + "kind = \"lamp\"\ncurrent = \"4 A\"\ncold_ratio = 14\ninrush_source = \"measured\"\n", "rl-12v-16a", design.ContactInrush, design.Over, true, "14*4*1.03*1.1 = 63 A of 40 A"},
	{"DC lamp 4 A on 16 A", dc24 + "kind = \"lamp\"\ncurrent = \"4 A\"\ncold_ratio = 14\ninrush_source = \"measured\"\n", "rl-12v-16a", design.ContactCurrent, design.Over, true, "4.5 A of 3 A, DC-6"},
	{"capacitor that welds", dc24 + "kind = \"capacitive\"\ncurrent = \"0.2 A\"\ncapacitance = \"1 mF\"\nesr = \"50 mohm\"\n", "rl-12v-16a", design.ContactInrush, design.Over, true, "25.2 V over 50 mohm: 500 A of 60 A"},
	{"jammed DC motor", dc24 + "kind = \"motor\"\ncurrent = \"3 A\"\nstall_current = \"20 A\"\n", "rl-12v-16a", design.ContactCarry, design.Over, true, "20*1.05 A for ever of 16 A"},
	{"signal on a power contact", dc24 + "kind = \"signal\"\ncurrent = \"5 mA\"\n", "rl-12v-16a", design.ContactMinimum, design.Unproven, true, "4.5 mA of 0.1 A recommended"},
	{"signal on a signal contact", dc24 + "kind = \"signal\"\ncurrent = \"5 mA\"\n", "rl-5v-2a", design.ContactMinimum, design.Fits, false, "4.5 mA over 1 mA, 22.8 V over 5 V"},
	{"reed with an inrush", dc24 + "kind = \"electronic\"\ncurrent = \"0.1 A\"\ninrush_current = \"3 A\"\ninrush_time = \"1 ms\"\n", "rl-5v-reed", design.ContactInrush, design.Over, true, "3 A of 0.4 A"},

	// A resistor and a capacitor across a contact on DC, no clamp: 0.4 A become 0.506 A at the most (a cold winding of 10 % less on the highest rail), 60 mH 72 mH, the
	// rail 25.2 V, the capacitor nine tenths.
	{"RC across a DC contact", rcOn("0.4 A", "47 ohm", "c-film-1u-250v"), "rl-12v-16a", design.ClampEnergy, design.Fits, false, "9.24 + 0.29 mJ of 34 mJ, half of 0.9 uF times the square of 274.8 V"},
	{"RC across a DC contact", rcOn("0.4 A", "47 ohm", "c-film-1u-250v"), "rl-12v-16a", design.CapacitorVoltage, design.Fits, false, "25.2 V and the root of 2*9.52 mJ/0.9 uF, 145 V: 171 of 0.8*250 V"},
	{"RC across a DC contact", rcOn("0.4 A", "47 ohm", "c-film-1u-250v"), "rl-12v-16a", design.ContactInrush, design.Fits, false, "25.2 V over 44.7 ohm of its discharge, 0.56 A, and the load"},
	{"RC too small for its coil", rcOn("0.4 A", "47 ohm", "c-film-100n-250v"), "rl-12v-16a", design.ClampEnergy, design.Over, true, "9.26 mJ of 3.4 mJ, half of 90 nF times the square of 274.8 V"},
	{"RC too small for its coil", rcOn("0.4 A", "47 ohm", "c-film-100n-250v"), "rl-12v-16a", design.CapacitorVoltage, design.Over, true, "25.2 and 454 V of 250 V"},
	{"RC, inductance not stated", strings.Replace(rcOn("0.4 A", "47 ohm", "c-film-1u-250v"), "inductance = \"60 mH\"\n", "", 1), "rl-12v-16a", design.ClampEnergy, design.Unproven, true, "nobody knows what swings"},
	{"electrolytic across a contact", rcOn("0.4 A", "47 ohm", "c-100u-35v"), "rl-12v-16a", design.CapacitorVoltage, design.Over, true, "what swings changes its sign"},
	{"capacitor straight across a DC contact", rcOn("0.4 A", "none", "c-film-1u-250v"), "rl-12v-16a", design.CapacitorVoltage, design.Over, true, "nothing limits the slope of its discharge"},
	{"RC across a contact for 30 V", strings.Replace(rcOn("0.1 A", "47 ohm", "c-film-470n-250v"), "rl-12v-16a", "rl-12v-auto-20a", 1), "rl-12v-auto-20a", design.ClampEnergy, design.Over, true, "0.577 + 0.134 mJ of 4.9 uJ, half of 0.423 uF times the square of the 4.8 V that are left to its 30 V; 300 V would do"},
	{"an RC is no clamp", rcOn("5 A", "47 ohm", "c-film-1u-250v"), "rl-12v-16a", design.ContactCurrent, design.Unproven, true, "6.33 A: DC-13 of 4 A is of a shorter L/R, and only a clamp lets the resistive figure, 16 A, serve"},

	// Contacts made for it.
	{"LED lamp of 5 W", onMains + "kind = \"ac-supply\"\npower = \"5 W\"\n", "rl-12v-16a-inrush", design.ContactInrush, design.Fits, false, "71.6 A for 1 ms of 0.8*165 A for 20 ms"},
	{"110 V DC, 1 A, blow-out magnets", dc110 + amps(dcHeat, "1 A"), "rl-12v-10a-blowout", design.ContactCurrent, design.Fits, false, "1.17 A of 0.8*8 A"},
	{"mains on 30 A, reinforced", onMains + amps(acHeater, "5 A"), "rl-12v-30a-reinf", design.Isolation, design.Fits, false, "4 kV of 6; 3 mm of 6, 5 mm of 8"},
	{"one pole of two", onMains + amps(acHeater, "3 A"), "rl-12v-5a-2no", design.ContactCurrent, design.Fits, false, "3.67 A of 0.8*5 A"},
	{"two poles do not share", onMains + amps(acHeater, "6 A"), "rl-12v-5a-2no", design.ContactCurrent, design.Over, true, "7.33 A of 5 A"},
	{"opening contact alone", onMains + amps(acHeater, "6 A") + atRest, "rl-12v-10a-nc", design.ContactCurrent, design.Fits, false, "7.33 A of 0.8*9.6 A"},

	// Closed at rest: the contact's own figures.
	{"heater 6 A, on without the logic", onMains + amps(acHeater, "6 A") + atRest, "rl-12v-16a", design.ContactCurrent, design.Fits, false, "7.33 A of 0.8*9.6 A"},
	{"heater 8 A, on without the logic", onMains + amps(acHeater, "8 A") + atRest, "rl-12v-16a", design.ContactCurrent, design.Over, true, "9.78 A of 9.6 A: 16 A is of the other contact"},
	{"24 V AC valve, on without the logic", on24 + amps(acCoil, "2.2 A") + atRest, "rl-12v-16a", design.ContactCurrent, design.Tight, false, "2.66 A of 3 A, AC-15"},
	{"opens when the coil is driven", on24 + amps(acHeater, "2 A") + atRest + "release_within = \"60 ms\"\n", "rl-12v-16a", design.ReleaseTime, design.Fits, false, "12 ms, more for a hot coil on a low rail, and 10.6 ms of arc"},
	{"opens when the coil is driven, too late", on24 + amps(acHeater, "2 A") + atRest + "release_within = \"12 ms\"\n", "rl-12v-16a", design.ReleaseTime, design.Over, true, "12 ms are of the armature alone"},
}

// coilVerdicts are of the coil's side, with the rail that feeds it.
var coilVerdicts = []struct {
	name, rails, part string
	check             design.CheckID
	stage             design.Stage
	want              design.Verdict
	why               string
}{
	{"12 V automotive relay on 24 V", coil24, "rl-12v-auto-20a", design.CoilOvervoltage, design.StageSelf, design.Over, "25.2 V of 1.35*12 V"},
	{"12 V coil on 24 V", coil24, "rl-12v-16a", design.CoilOvervoltage, design.StageSelf, design.Over, "25.2 V of 18 V"},
	{"24 V coil on 12 V", coil12, "rl-24v-16a", design.CoilPickup, design.StageDriver, design.Over, "0.7*24 V = 16.8 V and more of 11.4 V"},
	{"12 V coil on 12 V", coil12, "rl-12v-16a", design.CoilPickup, design.StageDriver, design.Fits, "63.3 C: 8.4*(234.5 + 63.3)/257.5 = 9.71 V of 11.4 V less a drop"},
	{"24 V automotive relay on 24 V", coil24, "rl-24v-auto-20a", design.CoilOvervoltage, design.StageSelf, design.Fits, "25.2 V under 1.3 times 24 V"},
	{"lorry's rail of 32 V", "[[rail]]\nname = \"logic\"\nvoltage = \"28 V\"\ntolerance = \"30 %\"\ncurrent_max = \"2 A\"\n", "rl-24v-auto-20a", design.CoilOvervoltage, design.StageSelf, design.Over, "36.4 V of 1.35*24 V at the most"},
	{"rail that sags under the coil", "[[rail]]\nname = \"logic\"\nvoltage = \"12 V\"\ntolerance = \"25 %\"\ncurrent_max = \"2 A\"\n", "rl-12v-16a", design.CoilPickup, design.StageDriver, design.Over, "9 V of the 10 V that a coil heated at 15 V wants"},
	{"rail that cannot feed the coil", "[[rail]]\nname = \"logic\"\nvoltage = \"12 V\"\ntolerance = \"5 %\"\ncurrent_max = \"30 mA\"\n", "rl-12v-16a", design.RailCurrent, design.StageDriver, design.Over, "39 mA and more of 30 mA"},
}

func TestRelayLoadVerdicts(t *testing.T) {
	loadVerdicts(t, relay{}, ssrRails+coil12, relayVerdicts, 60, 30)
}

func TestCoilVerdicts(t *testing.T) {
	cat, err := catalog.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range coilVerdicts {
		t.Run(r.name+", "+r.check.String(), func(t *testing.T) {
			b := benchOn(t, cat, ssrRails+r.rails+"[[load]]\nname = \"x\"\n"+on24+amps(acHeater, "2 A"))
			d := servedOn(t, relay{}, &b, r.part, "logic")
			row := loadVerdict{check: r.check, want: r.want, why: r.why}
			row.holds(t, d, r.stage)
			if r.want == design.Over && d.Verdict != design.Over {
				t.Errorf("the design is %s", d.Verdict)
			}
		})
	}
}

// rcOn is a magnet on 24 V DC whose contact has a resistor and a capacitor across it.
func rcOn(amps, ohms, part string) string {
	return dc24 + "kind = \"solenoid\"\ncurrent = \"" + amps + "\"\ninductance = \"60 mH\"\n" + built + "clamp = \"none\"\nr_snubber = \"" + ohms + "\"\nsnubber = \"" + part + "\"\n"
}
