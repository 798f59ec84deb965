package topology

import (
	"strings"
	"testing"

	"example.org/pinhoist/internal/design"
)

// ssrLoads are loads by a short name; @rail, @i and so on are what a row replaces.
const (
	acHeater = "kind = \"ac-resistive\"\ncurrent = \"@i\"\n"
	acMotor6 = "kind = \"ac-motor\"\ncurrent = \"@i\"\npower_factor = 0.7\ninrush_factor = 6\ninrush_time = \"1 s\"\ninrush_source = \"measured\"\n"
)

// rectifier is a supply of which nobody says that it draws a sine.
const rectifier = "kind = \"ac-supply\"\npower = \"60 W\"\n"

func amps(load, i string) string { return strings.Replace(load, "@i", i, 1) }

const (
	on24    = "rail = \"valves\"\n"
	onMains = "rail = \"mains\"\n"
	dc24    = "supply = \"24 V\"\nsupply_tolerance = \"5 %\"\n"
)

var ssrVerdicts = []loadVerdict{
	// Heaters: 10 % of resistance, 10 % of rail: 1.2222 times at the most, 0.81818 at the least.
	{"heater 2 A", onMains + amps(acHeater, "2 A"), "ssr-panel-25a-zc", design.OnCurrent, design.Fits, false, "2.444 A of 0.8*5 A bare"},
	{"heater 2 A", onMains + amps(acHeater, "2 A"), "ssr-panel-25a-zc", design.Waveform, design.Fits, false, "230 V in 24 to 280 V, 47 to 52 Hz in 47 to 63"},
	{"heater 2 A", onMains + amps(acHeater, "2 A"), "ssr-panel-25a-zc", design.Leakage, design.Fits, false, "10 mA*1.1 of 200 mA"},
	{"heater 2 A", onMains + amps(acHeater, "2 A"), "ssr-panel-25a-zc", design.BlockingVoltage, design.Fits, false, "357.8 V of 0.8*600 V"},
	{"heater 2 A", onMains + amps(acHeater, "2 A"), "ssr-panel-25a-zc", design.HoldingCurrent, design.Fits, false, "2*0.81818*1.414 A over 150 mA"},
	{"heater 15 A on a sink", onMains + amps(acHeater, "15 A"), "ssr-panel-25a-zc", design.OnCurrent, design.Fits, false, "18.33 A, 29.3 W, case 40 + 29.3*0.9 = 66 C: 0.8*25 A"},
	{"heater 15 A on a sink", onMains + amps(acHeater, "15 A"), "ssr-panel-25a-zc", design.JunctionTemperature, design.Fits, false, "40 + 29.3*1.92 = 96 C of 100 C"},
	{"heater 20 A on 25 A", onMains + amps(acHeater, "20 A"), "ssr-panel-25a-zc", design.OnCurrent, design.Tight, false, "24.4 A of 25 A, on the largest sink"},
	{"heater 20 A on 25 A", onMains + amps(acHeater, "20 A"), "ssr-panel-25a-zc", design.JunctionTemperature, design.Tight, false, "40 + 39.1*(1.02 + 0.2 + 0.7) = 115 C of 125 C"},
	{"heater 25 A on 25 A", onMains + amps(acHeater, "25 A"), "ssr-panel-25a-zc", design.OnCurrent, design.Over, true, "the headline current: 30.6 A of 25 A"},
	{"heater 10 A and no sink", onMains + amps(acHeater, "10 A") + "[load.built]\ntopology = \"ssr\"\npart = \"ssr-panel-25a-zc\"\nheat_sink = \"none\"\n", "ssr-panel-25a-zc", design.OnCurrent, design.Over, true, "12.2 A of 5 A bare"},
	{"heater 10 A and no sink", onMains + amps(acHeater, "10 A") + "[load.built]\ntopology = \"ssr\"\npart = \"ssr-panel-25a-zc\"\nheat_sink = \"none\"\n", "ssr-panel-25a-zc", design.JunctionTemperature, design.Over, true, "40 + 19.6 W*10 K/W"},
	{"heater 20 A on its own sink", onMains + amps(acHeater, "20 A"), "ssr-din-20a-zc", design.OnCurrent, design.Over, true, "24.4 A of 20 A at 40 C"},
	{"heater in a cycle", onMains + amps(acHeater, "6 A") + "mode = \"cycle\"\nperiod = \"5 min\"\n", "ssr-panel-25a-zc", design.JunctionTemperature, design.Fits, false, "on for as long as steady: 7.33 A, 11.7 W on a sink"},
	{"small heater", on24 + amps(acHeater, "50 mA"), "ssr-dip8-0a6-r", design.HoldingCurrent, design.Fits, false, "50*0.81818*1.414 = 57.9 mA over 25 mA"},
	{"indicator of 20 mA", on24 + amps(acHeater, "20 mA"), "ssr-panel-25a-zc", design.HoldingCurrent, design.Over, true, "23.1 mA at its crest never latches 150 mA"},
	{"load of 50 mA on a relay that holds from 0.15 A", onMains + amps(acHeater, "50 mA"), "ssr-panel-25a-zc", design.HoldingCurrent, design.Over, true, "57.9 mA; a maker's note has 0.1 A of load as the least (READ)"},
	{"the same leaks a fifth", onMains + amps(acHeater, "50 mA"), "ssr-panel-25a-zc", design.Leakage, design.Unproven, true, "11 mA of 5 mA assumed, under half of 50 mA: a maker's note says 20 % and it may not reset (READ)"},

	// Supplies that the output cannot turn off.
	{"triac on DC", dc24 + "kind = \"resistive\"\ncurrent = \"1 A\"\n", "ssr-sip4-3a-r", design.Waveform, design.Over, true, "no zero of the current"},
	{"thyristor pair on a DC solenoid", dc24 + "kind = \"solenoid\"\ncurrent = \"0.8 A\"\ninductance = \"60 mH\"\n", "ssr-panel-25a-r", design.Waveform, design.Over, true, "no zero of the current"},
	{"MOSFET for DC on a 24 V AC valve", on24 + "kind = \"ac-coil\"\ncurrent = \"0.25 A\"\n", "ssr-dc-60v-3a-5v", design.Waveform, design.Over, true, "its diode conducts"},
	{"24 V AC under its least voltage", on24 + amps(acHeater, "1 A"), "ssr-panel-25a-zc", design.Waveform, design.Over, true, "21.6 V of 24 V"},
	{"24 V AC on an output for 48 V and more", on24 + amps(acHeater, "1 A"), "ssr-panel-25a-zc-480v", design.Waveform, design.Over, true, "21.6 V of 48 V"},
	{"24 V AC", on24 + amps(acHeater, "1 A"), "ssr-sip4-3a-r", design.Waveform, design.Fits, false, "21.6 V over 12 V"},
	{"400 Hz", "supply = \"115 V\"\nsupply_tolerance = \"5 %\"\nfrequency = \"400 Hz\"\n" + amps(acHeater, "1 A"), "ssr-sip4-3a-r", design.Waveform, design.Over, true, "416 Hz of 63 Hz"},
	{"16.7 Hz", "supply = \"230 V\"\nsupply_tolerance = \"5 %\"\nfrequency = \"16.7 Hz\"\n" + amps(acHeater, "1 A"), "ssr-sip4-3a-r", design.Waveform, design.Over, true, "15.7 Hz under 47 Hz"},
	{"60 Hz", "supply = \"120 V\"\nsupply_tolerance = \"10 %\"\nfrequency = \"60 Hz\"\n" + amps(acHeater, "1 A"), "ssr-sip4-3a-r", design.Waveform, design.Fits, false, "56.4 to 62.4 Hz"},
	{"400 V on 280 V", "supply = \"400 V\"\nsupply_tolerance = \"10 %\"\nfrequency = \"50 Hz\"\n" + amps(acHeater, "1 A"), "ssr-panel-10a-zc", design.Waveform, design.Over, true, "400 V of 280 V"},
	{"400 V on 600 V", "supply = \"400 V\"\nsupply_tolerance = \"10 %\"\nfrequency = \"50 Hz\"\n" + amps(acHeater, "1 A"), "ssr-panel-10a-zc", design.BlockingVoltage, design.Over, true, "crest 622 V of 600 V"},
	{"400 V on 1200 V", "supply = \"400 V\"\nsupply_tolerance = \"10 %\"\nfrequency = \"50 Hz\"\n" + amps(acHeater, "1 A"), "ssr-panel-25a-zc-480v", design.BlockingVoltage, design.Fits, false, "622 V of 960 V"},
	{"230 V on 350 V of MOSFETs", onMains + amps(acHeater, "50 mA"), "ssr-pm-350v-0a1", design.BlockingVoltage, design.Over, true, "crest 357.8 V"},
	{"48 V DC at its highest", "supply = \"48 V\"\nsupply_tolerance = \"5 %\"\nkind = \"resistive\"\ncurrent = \"1 A\"\n", "ssr-dc-60v-3a-5v", design.Waveform, design.Over, true, "50.4 V of 48 V"},
	{"48 V DC on MOSFETs for 42 V AC", "supply = \"48 V\"\nsupply_tolerance = \"5 %\"\nkind = \"resistive\"\ncurrent = \"1 A\"\n", "ssr-pm-60v-2a", design.Waveform, design.Fits, false, "50.4 V of 42*1.414 V"},
	{"48 V DC on MOSFETs of 60 V", "supply = \"48 V\"\nsupply_tolerance = \"5 %\"\nkind = \"resistive\"\ncurrent = \"1 A\"\n", "ssr-pm-60v-2a", design.BlockingVoltage, design.Tight, false, "50.4 V of 60, and of 48 V with the margin"},
	{"110 V DC", "supply = \"110 V\"\nsupply_tolerance = \"5 %\"\nkind = \"resistive\"\ncurrent = \"1 A\"\n", "ssr-dc-200v-10a-panel", design.Waveform, design.Fits, false, "115.5 V of 150 V"},

	// Leakage.
	{"LED lamp", onMains + "kind = \"ac-supply\"\npower = \"5 W\"\n", "ssr-sip4-2a-zc-5v", design.Leakage, design.Unproven, true, "1.65 mA of 1 mA assumed: it may glow"},
	{"LED lamp that glows at 0.5 mA", onMains + "kind = \"ac-supply\"\npower = \"5 W\"\noff_current_max = \"0.5 mA\"\n", "ssr-sip4-2a-zc-5v", design.Leakage, design.Over, true, "1.65 mA of 0.5 mA"},
	{"LED lamp without a snubber inside", onMains + "kind = \"ac-supply\"\npower = \"5 W\"\n", "ssr-dip8-0a6-r", design.Leakage, design.Fits, false, "0.11 mA of 1 mA"},
	{"contactor coil held by a snubber", onMains + "kind = \"ac-coil\"\ncurrent = \"20 mA\"\npower_factor = 0.3\n", "ssr-panel-25a-zc", design.Leakage, design.Over, true, "11 mA and the snubber's of 1 mA, and of 10 mA too"},
	{"contactor coil, no snubber inside", onMains + "kind = \"ac-coil\"\ncurrent = \"20 mA\"\npower_factor = 0.3\n", "ssr-panel-25a-zc-480v", design.Leakage, design.Unproven, true, "1.1 + 0.91 mA of 1 mA assumed"},
	{"contactor coil of 0.1 A", onMains + "kind = \"ac-coil\"\ncurrent = \"0.1 A\"\npower_factor = 0.3\n", "ssr-panel-25a-zc-480v", design.Leakage, design.Fits, false, "1.1 + 0.91 mA of 5 mA"},
	{"24 V AC relay coil", on24 + "kind = \"ac-coil\"\ncurrent = \"20 mA\"\n", "ssr-panel-10a-zc", design.Leakage, design.Unproven, true, "3.3 mA of 1 mA assumed, under half of 20 mA"},
	{"heater on MOSFETs", on24 + amps(acHeater, "1 A"), "ssr-pm-60v-2a", design.Leakage, design.Fits, false, "10 uA at the most"},

	// A rectifier draws nothing about the zero of the voltage, where alone a zero-cross
	// output fires.
	{"rectifier on zero-cross", onMains + rectifier, "ssr-panel-25a-zc", design.HoldingCurrent, design.Unproven, true, "60 W*0.9/253 V*1.414 = 0.3 A over 0.15 A, but not where it fires"},
	{"rectifier on random turn-on", onMains + rectifier, "ssr-panel-25a-r", design.HoldingCurrent, design.Fits, false, "0.3 A over 0.15 A, and its gate is driven at the crest too"},
	{"supply that draws a sine, on zero-cross", onMains + rectifier + "power_factor = 0.97\n", "ssr-panel-25a-zc", design.HoldingCurrent, design.Fits, false, "0.3 A over 0.15 A"},
	{"small rectifier on zero-cross", onMains + "kind = \"ac-supply\"\npower = \"10 W\"\n", "ssr-panel-25a-zc", design.HoldingCurrent, design.Over, true, "10 W*0.9/253 V*1.414 = 50 mA of 0.15 A wherever it fires"},

	// Inrush.
	{"motor 1 A", onMains + amps(acMotor6, "1 A"), "ssr-panel-25a-zc", design.PeakCurrent, design.Fits, false, "6*1.414*1.21 = 10.3 A of 0.8*0.5*70 A at 1 s"},
	{"motor 5 A on 25 A", onMains + amps(acMotor6, "5 A"), "ssr-panel-25a-zc", design.PeakCurrent, design.Over, true, "51.3 A of 35 A; makers rate such a part for 3 to 18 A of motor (READ)"},
	{"lamp 100 W, nobody measured", onMains + "kind = \"ac-lamp\"\npower = \"100 W\"\n", "ssr-dip8-0a6-r", design.PeakCurrent, design.Unproven, true, "15*1.414*0.504 = 10.7 A of 2 A"},
	{"lamp 100 W, 14 times", onMains + "kind = \"ac-lamp\"\npower = \"100 W\"\ncold_ratio = 14\n", "ssr-dip8-0a6-r", design.PeakCurrent, design.Over, true, "9.98 A of 2 A at 100 ms"},
	{"lamp 100 W, 14 times", onMains + "kind = \"ac-lamp\"\npower = \"100 W\"\ncold_ratio = 14\n", "ssr-panel-25a-zc", design.PeakCurrent, design.Fits, false, "9.98 A of 0.8*65 A"},
	{"transformer 200 VA, 40 times, zero-cross", onMains + "kind = \"ac-transformer\"\ncurrent = \"0.87 A\"\ninrush_factor = 40\ninrush_source = \"measured\"\n", "ssr-panel-10a-zc", design.PeakCurrent, design.Over, true, "59.5 A of 55 A: closed at a zero of the voltage every time"},
	{"transformer 200 VA, 40 times", onMains + "kind = \"ac-transformer\"\ncurrent = \"0.87 A\"\ninrush_factor = 40\ninrush_source = \"measured\"\n", "ssr-panel-25a-zc", design.PeakCurrent, design.Fits, false, "59.5 A of 0.8*119.5 A"},
	{"transformer 200 VA, 40 times", onMains + "kind = \"ac-transformer\"\ncurrent = \"0.87 A\"\ninrush_factor = 40\ninrush_source = \"measured\"\n", "ssr-panel-25a-zc", design.SurgeEnergy, design.Fits, false, "59.5^2/2*10.6 ms = 18.8 of 0.7*64.75 A2s; 10 ms of it 17.7"},
	{"transformer 1 kVA, 40 times", onMains + "kind = \"ac-transformer\"\ncurrent = \"4.35 A\"\ninrush_factor = 40\ninrush_source = \"measured\"\n", "ssr-panel-25a-zc", design.PeakCurrent, design.Over, true, "298 A of 119.5 A"},
	{"transformer 1 kVA, 40 times", onMains + "kind = \"ac-transformer\"\ncurrent = \"4.35 A\"\ninrush_factor = 40\ninrush_source = \"measured\"\n", "ssr-panel-25a-zc", design.SurgeEnergy, design.Over, true, "298^2/2*10 ms = 443 of 64.75 A2s"},
	{"supply of 12 W on MOSFETs", onMains + "kind = \"ac-supply\"\npower = \"5 W\"\n", "ssr-pm-600v-0a07", design.PeakCurrent, design.Unproven, true, "71.6 A assumed of 0.2 A"},
	{"filament of 24 V DC", dc24 + "kind = \"lamp\"\ncurrent = \"2 A\"\ncold_ratio = 14\ninrush_source = \"measured\"\n", "ssr-dc-60v-3a-5v", design.PeakCurrent, design.Over, true, "28 A and more of 10 A"},
	{"capacitor", dc24 + "kind = \"capacitive\"\ncurrent = \"0.1 A\"\ncapacitance = \"1 mF\"\nesr = \"0.1 ohm\"\n", "ssr-dc-60v-3a-5v", design.PeakCurrent, design.Over, true, "25.2/0.09 = 280 A of 10 A"},
	{"jammed motor", dc24 + "kind = \"motor\"\ncurrent = \"1 A\"\nstall_current = \"8 A\"\n", "ssr-dc-60v-3a-5v", design.JunctionTemperature, design.Over, true, "8^2*90 mohm and more on 40 K/W"},

	// Commutation and what comes back.
	{"motor 1 A", onMains + amps(acMotor6, "1 A"), "ssr-panel-25a-zc", design.Commutation, design.Fits, false, "a pair of thyristors bears 500 V/us"},
	{"motor 1 A on a small triac", onMains + amps(acMotor6, "1 A"), "ssr-dip8-1a2-r", design.Commutation, design.Fits, false, "358 V*sqrt(1/(0.48 H*9 nF)) = 5.4 V/us of 0.8*8"},
	{"motor whose current ends too fast", onMains + amps(acMotor6, "3 A"), "ssr-dip8-1a2-r", design.Commutation, design.Tight, true, "3*1.21*1.414*2*pi*52 = 1677 A/s of 0.8*2000"},
	{"heater with a stated inductance", onMains + amps(acHeater, "1 A") + "inductance = \"1 H\"\n[load.built]\ntopology = \"ssr\"\npart = \"ssr-dip8-1a2-r\"\nsnubber = \"none\"\n", "ssr-dip8-1a2-r", design.Commutation, design.Over, true, "207 ohm and 326 ohm: it lags, whatever its kind"},
	{"motor without a snubber", onMains + amps(acMotor6, "1 A") + "[load.built]\ntopology = \"ssr\"\npart = \"ssr-dip8-1a2-r\"\nsnubber = \"none\"\n", "ssr-dip8-1a2-r", design.Commutation, design.Over, true, "nothing limits the slope"},
	{"ordinary capacitor on the mains", onMains + amps(acMotor6, "1 A") + "[load.built]\ntopology = \"ssr\"\npart = \"ssr-dip8-1a2-r\"\nr_snubber = \"100 ohm\"\nsnubber = \"c-film-100n-250v\"\n", "ssr-dip8-1a2-r", design.CapacitorVoltage, design.Over, true, "no class X"},
	{"ceramic capacitor of no AC voltage", on24 + "kind = \"ac-coil\"\ncurrent = \"0.2 A\"\npower_factor = 0.5\ninrush_factor = 3\ninrush_source = \"measured\"\noff_current_max = \"20 mA\"\n[load.built]\ntopology = \"ssr\"\npart = \"ssr-dip8-0a6-r\"\nsnubber = \"c-100n-50v-smd\"\nr_snubber = \"100 ohm\"\n", "ssr-dip8-0a6-r", design.CapacitorVoltage, design.Over, true, "26.4 V AC of none stated"},
	{"varistor for 30 V on the mains", onMains + amps(acHeater, "1 A") + "[load.built]\ntopology = \"ssr\"\npart = \"ssr-panel-25a-zc\"\nclamp = \"mov-30v-10mm\"\n", "ssr-panel-25a-zc", design.ClampStandoff, design.Over, true, "253 V of 30 V: it burns"},
	{"varistor for 30 V on a motor's", onMains + amps(acMotor6, "0.5 A") + "[load.built]\ntopology = \"ssr\"\npart = \"ssr-panel-25a-zc-480v\"\nclamp = \"mov-30v-10mm\"\n", "ssr-panel-25a-zc-480v", design.ClampStandoff, design.Over, true, "253 V of 30 V"},
	{"valve on MOSFETs of 60 V", on24 + "kind = \"ac-coil\"\ncurrent = \"0.25 A\"\ninrush_factor = 3\ninrush_source = \"measured\"\n", "ssr-pm-60v-2a", design.BlockingVoltage, design.Over, true, "a varistor for 24 V holds 93 V at 5 A"},
	{"valve on MOSFETs, no varistor", on24 + "kind = \"ac-coil\"\ncurrent = \"0.05 A\"\n[load.built]\ntopology = \"ssr\"\npart = \"ssr-pm-350v-0a1\"\nclamp = \"none\"\n", "ssr-pm-350v-0a1", design.BlockingVoltage, design.Over, true, "nothing limits the voltage"},
	{"a diode across a valve on AC", on24 + "kind = \"ac-coil\"\ncurrent = \"0.25 A\"\n[load.built]\ntopology = \"ssr\"\npart = \"ssr-sip4-3a-r\"\nclamp = \"d-100v-3a\"\n", "ssr-sip4-3a-r", design.Waveform, design.Over, true, "every other half cycle is a short"},
	{"valve on MOSFETs of 350 V", on24 + "kind = \"ac-coil\"\ncurrent = \"0.05 A\"\n", "ssr-pm-350v-0a1", design.BlockingVoltage, design.Fits, false, "93 V of 280 V"},
	{"DC solenoid and its diode", dc24 + "kind = \"solenoid\"\ncurrent = \"0.8 A\"\ninductance = \"60 mH\"\n", "ssr-dc-60v-3a-5v", design.BlockingVoltage, design.Fits, false, "25.2 V and a diode of 48 V"},

	// Time.
	{"pwm on zero-cross", on24 + amps(acHeater, "1 A") + "mode = \"pwm\"\npwm_frequency = \"100 Hz\"\n", "ssr-sip4-2a-zc-5v", design.PWMFrequency, design.Over, true, "0.1/21.4 ms = 4.7 Hz"},
	{"pwm on random", on24 + amps(acHeater, "1 A") + "mode = \"pwm\"\npwm_frequency = \"100 Hz\"\n", "ssr-sip4-3a-r", design.PWMFrequency, design.Over, true, "0.1/10.8 ms = 9.3 Hz: it opens at a zero too"},
	{"pwm of 1 Hz", on24 + amps(acHeater, "1 A") + "mode = \"pwm\"\npwm_frequency = \"1 Hz\"\n", "ssr-sip4-2a-zc-5v", design.PWMFrequency, design.Fits, false, "of 4.7 Hz"},
	{"release within 5 ms", on24 + "kind = \"ac-coil\"\ncurrent = \"0.25 A\"\nrelease_within = \"5 ms\"\nmechanical_release_time = \"1 ms\"\n", "ssr-sip4-3a-r", design.ReleaseTime, design.Over, true, "half a cycle, 10.7 ms"},

	// Insulation and input.
	{"mains on basic insulation", onMains + amps(acHeater, "1 A"), "ssr-pm-60v-2a", design.Isolation, design.Over, true, "reinforced is owed"},
	{"mains", onMains + amps(acHeater, "1 A"), "ssr-panel-25a-zc", design.Isolation, design.Fits, false, "4 kV of 6, 3 mm and 5 mm of 8"},
	{"overvoltage category IV", onMains + amps(acHeater, "1 A") + "overvoltage_category = \"IV\"\n", "ssr-sip4-3a-r", design.Isolation, design.Over, true, "8 kV of 6"},
	{"input of 24 V on 5 V", on24 + amps(acHeater, "1 A"), "ssr-slim-2a-zc-24v", design.GateDrive, design.Over, true, "5 V never turns it on"},
	{"input of 5 V", on24 + amps(acHeater, "1 A"), "ssr-sip4-2a-zc-5v", design.GateDrive, design.Fits, false, "4.75 - 40*17.4 mA = 4.05 V over 4 V"},
}

// What the load misses is judged where the part is tried: a fuse is another matter.
func TestSSRVerdicts(t *testing.T) { loadVerdicts(t, ssr{}, ssrRails, ssrVerdicts, 60, 20) }
