package catalog

import "strings"

// Ask is one figure of a part of one's own as a form asks for it: one text of its
// file. A list is asked for by its first points.
type Ask struct {
	Key   string // "v_ds_max", "r_ds_on[0].v_gs", "no.dc[0].i"
	Label string // a few words
	What  string // what it is, in a sentence
	Where string // where a data sheet prints it; "": it is of the part in the hand
	When  string // asked only then; "": always. "input=led", "output=triac|scr-pair", "form!=spst-nc", with & between
}

// Places of a data sheet.
const (
	inAbsolute  = "the absolute maximum ratings"
	inElectric  = "the electrical characteristics"
	inThermal   = "the thermal characteristics"
	inGraph     = "a graph among the typical curves"
	inFront     = "the front page"
	inOrdering  = "the ordering table"
	inDrawing   = "the mechanical drawing"
	inCoil      = "the coil data"
	inContact   = "the contact data"
	inInsulate  = "the insulation data"
	inSwitching = "the switching characteristics"
	inInput     = "the input data"
	inOutput    = "the output data"
	transient   = inGraph + " (transient thermal impedance)"
)

// Asks lists what a form asks for a part of a kind: first the few figures that a
// verdict needs, then what may be missing for a proof. It is nil for a kind that a
// file does not hold. Every key is one of the kind's file.
func Asks(k Kind) (first, more []Ask) {
	a, ok := asks[k]
	if !ok {
		return nil, nil
	}
	id := Ask{"id", "id", "A name of your own for it, in small letters, by which it is listed.", "", ""}
	housing := Ask{"package", "package", "Its housing, which sheds the heat, such as TO-220; without it the one that sheds least is taken.", inDrawing, ""}
	first, more = []Ask{id}, append(more, a.more...)
	switch k { // those that heat themselves
	case KindBJT, KindMOSFET, KindSSR, KindArray, KindDiode, KindZener, KindTVS:
		first = append(first, housing)
	default:
		more = append(more, housing)
	}
	first = append(first, a.first...)
	more = append(more,
		Ask{"title", "title", "What it is in a few words, for lists and sheets.", inFront, ""},
		Ask{"price", "price", "What one of them costs; without it its stages have no cost and rank behind.", "", ""},
		Ask{"stocked", "in the drawer", "Whether you have it, so that the filter for what is there keeps it.", "", ""})
	return first, more
}

var heatAsks = []Ask{
	{"t_j_max", "hottest junction", "The junction temperature that it bears; without it no heat is proven.", inAbsolute, ""},
	{"r_th_ja_max", "junction to air", "How many kelvin the junction is above the air for each watt, on a board without a sink.", inThermal, ""},
	{"r_th_jc_max", "junction to case", "The same from the junction to the case; a sink and every pulse count by it.", inThermal, ""},
	{"foster_jc[0].r", "pulse step 1", "The resistance of one step of the maker's model of short pulses; the steps add up to junction to case.", transient, ""},
	{"foster_jc[0].tau", "its time", "The time constant of that step: what is shorter heats less.", transient, ""},
	{"foster_jc[1].r", "pulse step 2", "The resistance of the second step, where the model has more than one.", transient, ""},
	{"foster_jc[1].tau", "its time", "The time constant of that step.", transient, ""},
	{"foster_jc[2].r", "pulse step 3", "The resistance of the third step.", transient, ""},
	{"foster_jc[2].tau", "its time", "The time constant of that step.", transient, ""},
	{"foster_jc[3].r", "pulse step 4", "The resistance of the fourth step.", transient, ""},
	{"foster_jc[3].tau", "its time", "The time constant of that step.", transient, ""},
}

var areaAsks = []Ask{
	{"soa[0].t", "safe area, pulse", "The length of the pulse of one line of the safe area, or dc.", inGraph + " (safe operating area)", ""},
	{"soa[0].points[0].v", "safe area, low V", "The lower voltage of that line.", inGraph + " (safe operating area)", ""},
	{"soa[0].points[0].i", "current there", "The current that the line allows there.", inGraph + " (safe operating area)", ""},
	{"soa[0].points[1].v", "safe area, high V", "The highest voltage of that line.", inGraph + " (safe operating area)", ""},
	{"soa[0].points[1].i", "current there", "The current that the line allows there.", inGraph + " (safe operating area)", ""},
}

var isolationAsks = []Ask{
	{"isolation.insulation", "insulation", "What the maker says that its insulation is: functional, basic or reinforced.", inInsulate, ""},
	{"isolation.v_dielectric", "test voltage", "What its insulation is tested with for a minute.", inInsulate, ""},
	{"isolation.v_working_max", "working voltage", "What its insulation bears for ever.", inInsulate, ""},
	{"isolation.v_impulse", "impulse voltage", "What its insulation bears in a surge.", inInsulate, ""},
	{"isolation.clearance", "clearance", "The way through the air from one side to the other.", inInsulate, ""},
	{"isolation.creepage", "creepage", "The way along the surface from one side to the other.", inInsulate, ""},
}

// mosfetFirst and mosfetMore serve the part and the one on a module. Where the threshold is met and
// where the part is on are two lines of a data sheet; the second one counts.
var mosfetFirst = []Ask{
	{"channel", "channel", "n switches to ground, p switches from the supply.", inFront, ""},
	{"v_ds_max", "drain voltage", "What it blocks from drain to source.", inAbsolute + ", VDS or VDSS", ""},
	{"v_gs_max", "gate voltage", "What its gate bears, either way.", inAbsolute + ", VGS", ""},
	{"i_d_case25_max", "drain current", "The steady current with the case held at 25 C: a limit, no promise for your board.", inAbsolute + ", ID at TC = 25 C", ""},
	{"v_gs_th.min", "threshold, least", "The gate voltage below which it is off; above the most it only begins to conduct.", inElectric + ", VGS(th), the min column", ""},
	{"v_gs_th.max", "threshold, most", "The gate voltage at which the worst one begins to conduct: it is not on there.", inElectric + ", VGS(th), the max column", ""},
	{"v_gs_th.i_d", "threshold, at", "The small drain current at which the threshold is stated, often 250 uA or 1 mA.", inElectric + ", the test condition of VGS(th)", ""},
	{"r_ds_on[0].v_gs", "on at gate voltage", "The gate voltage at which the on-resistance is guaranteed: your pin must reach it.", inElectric + ", the test condition of RDS(on)", ""},
	{"r_ds_on[0].i_d", "and drain current", "The drain current of that line.", inElectric + ", the test condition of RDS(on)", ""},
	{"r_ds_on[0].max", "on-resistance, most", "The most it is there: the max column, never the typical one.", inElectric + ", RDS(on), the max column", ""},
	{"r_ds_on[1].v_gs", "2nd line: gate at", "A further line of the same table, where there is one at another gate voltage.", inElectric + ", RDS(on)", ""},
	{"r_ds_on[1].i_d", "and drain current", "The drain current of that line.", inElectric + ", RDS(on)", ""},
	{"r_ds_on[1].max", "on-resistance, most", "The most it is there.", inElectric + ", RDS(on), the max column", ""},
}

var mosfetMore = append(append([]Ask{
	{"q_gd_max", "gate-drain charge", "The charge that an edge moves; it decides how long an edge lasts and whether a fast supply turns it on.", inElectric + ", Qgd, the max column", ""},
	{"q_g_max.q", "gate charge", "All that the pin must give to turn it on once.", inElectric + ", Qg, the max column", ""},
	{"q_g_max.v_gs", "at gate voltage", "The gate voltage of that charge.", inElectric + ", the test condition of Qg", ""},
	{"i_dss_max[0].v_ds", "leakage, at drain", "The drain voltage of the leakage below.", inElectric + ", the test condition of IDSS", ""},
	{"i_dss_max[0].t_j", "and junction", "The junction temperature of it: the hot line counts.", inElectric + ", the test condition of IDSS", ""},
	{"i_dss_max[0].max", "leakage, most", "What still flows while it is off.", inElectric + ", IDSS, the max column", ""},
	{"r_ds_on_hot_max.t_j", "hot factor, at", "The junction temperature of the factor below.", inGraph + " (on-resistance against temperature)", ""},
	{"r_ds_on_hot_max.factor", "hot factor", "How many times its resistance at 25 C it has there; without it the worst of its class is taken.", inGraph + " (on-resistance against temperature)", ""},
	{"i_dm_max", "drain peak", "The pulsed drain current: inrush and stall are judged by it.", inAbsolute + ", IDM", ""},
	{"v_gs_th_slope_max", "threshold falls", "How far the threshold falls for each kelvin.", inGraph + " (threshold against temperature)", ""},
	{"c_oss_max", "output capacitance", "What an edge charges at its drain.", inElectric + ", Coss, the max column", ""},
	{"r_gate_internal_max", "resistor in gate", "What stands before the gate inside.", inElectric + ", RG", ""},
	{"avalanche_max.e_as", "avalanche energy", "What it bears once when nothing else clamps a winding.", inAbsolute + ", EAS", ""},
	{"avalanche_max.i_as", "avalanche current", "The current of that.", inAbsolute + ", IAS", ""},
	{"e_ar_max", "avalanche, repeated", "What it bears again and again; without it every clamp is yours to add.", inAbsolute + ", EAR", ""},
	{"body_diode_max.v_sd", "body diode voltage", "What drops across its inner diode.", inElectric + ", VSD, the max column", ""},
	{"body_diode_max.t_rr", "and recovery", "How long that diode conducts the wrong way.", inElectric + ", trr, the max column", ""},
}, heatAsks...), areaAsks...)

var relayFirst = append([]Ask{
	{"form", "contact form", "spst-no closes, spst-nc opens, spdt does both; dpst-no and dpdt have two poles.", inOrdering, ""},
	{"v_coil", "coil voltage", "The nominal voltage of its coil.", inCoil, ""},
	{"r_coil.nominal", "coil resistance", "What the cold coil measures; the current follows from it.", inCoil, ""},
	{"r_coil.tolerance", "and tolerance", "How far that may be off.", inCoil + ", often in a note below the table", ""},
	{"r_coil.t", "at", "The temperature of it: 20 C or 23 C.", inCoil + ", often above the table", ""},
	{"must_operate_max", "must operate at", "The part of its nominal voltage at which a cold one surely picks up.", inCoil + ", pick-up or must-operate voltage", ""},
	{"must_release_min", "must release at", "The part of its nominal voltage below which it surely lets go.", inCoil + ", drop-out or must-release voltage", ""},
	{"hold_min", "holds from", "The part of its nominal voltage that surely holds a cold one once it has picked up.", inCoil + ", holding voltage, if it is there at all", ""},
	{"ambient.min", "coldest air", "The coldest air that it is made for.", inFront + " or the general data", ""},
	{"ambient.max", "hottest air", "The hottest air that it is made for.", inFront + " or the general data", ""},
}, append(contactFirst("no", "form!=spst-nc"), contactFirst("nc", "form=spst-nc")...)...)

var relayMore = append(append([]Ask{
	{"style", "style", "armature for an ordinary one, reed for contacts in glass.", inFront, ""},
	{"coil_diode", "diode inside", "Whether a diode across the coil is in it already.", "the wiring diagram", ""},
	{"v_coil_max[0].t_a", "coil limit, in air", "The air temperature of the limit below.", inCoil + ", or a curve of voltage against ambient", ""},
	{"v_coil_max[0].max", "coil voltage, most", "The part of its nominal voltage that the coil bears there.", inCoil + ", or a curve of voltage against ambient", ""},
	{"t_coil_max", "hottest coil", "The temperature that the coil's wire bears.", inCoil + ", or its insulation class", ""},
	{"r_th_coil_max", "coil to air", "How many kelvin the coil is above the air for each watt.", inCoil + ", or a curve of temperature rise", ""},
	{"l_coil_max", "coil inductance", "What keeps the coil's current going; your driver's clamp takes it.", inCoil + ", seldom printed: ask or measure", ""},
	{"latching", "latching", "none; one-coil where current sets it in one direction and resets it in the other; two-coil where each does one.", inFront, ""},
	{"pulse_min", "shortest pulse", "How long a pulse has to be that surely sets or resets it.", inCoil + ", pulse width", "latching=one-coil|two-coil"},
	{"time_max.operate", "time to operate", "From its voltage to a closed contact, at the longest.", inContact + " or the general data", ""},
	{"time_max.release", "time to release", "From no voltage to an open contact, without a diode.", inContact + " or the general data", ""},
	{"life_mechanical_min", "operations, no load", "How often it moves at the least.", inFront + ", mechanical life", ""},
	{"rate_unloaded_max", "rate, no load", "How often an hour it may move.", "the general data", ""},
}, isolationAsks...), append(append(contactMore("no", "form!=spst-nc"), contactFirst("nc", "form=spdt|dpdt")...), append(contactMore("nc", "form!=spst-no&form!=dpst-no"), contactFirst("series", "form=dpst-no|dpdt")...)...)...)

// contactFirst are the asks of one contact: "no" closes, "nc" opens, "series" is two that close.
func contactFirst(side, when string) []Ask {
	return ofContact(side, []Ask{
		{side + ".i_carry_max", "contact carries", "The current that the closed contact carries.", inContact, when},
		{side + ".v_dc_max", "switches DC up to", "The highest DC voltage that it may switch.", inContact, when},
		{side + ".dc[0].v", "DC: at voltage", "The DC voltage of one switching rating.", inContact + ", max. switching current or the load limit curve", when},
		{side + ".dc[0].i", "it switches", "The current that it may switch there.", inContact + ", max. switching current or the load limit curve", when},
		{side + ".dc[0].category", "of a load", "DC-1 for a resistance, DC-13 for a magnet, DC-5 for a motor.", inContact, when},
		{side + ".v_ac_max", "switches AC up to", "The highest AC voltage that it may switch.", inContact, when},
		{side + ".ac[0].v", "AC: at voltage", "The AC voltage of one switching rating.", inContact, when},
		{side + ".ac[0].i", "it switches", "The current that it may switch there.", inContact, when},
		{side + ".ac[0].category", "of a load", "AC-1 for a resistance, AC-15 for a magnet, AC-3 for a motor.", inContact, when},
	})
}

func contactMore(side, when string) []Ask {
	return ofContact(side, []Ask{
		{side + ".life[0].operations", "ops, at load", "How often the contact switches the load below at the least.", inContact + ", electrical life", when},
		{side + ".life[0].v", "at voltage", "The voltage of that load.", inContact + ", electrical life", when},
		{side + ".life[0].i", "and current", "The current of that load.", inContact + ", electrical life", when},
		{side + ".life[0].category", "and kind", "The category of that load, such as DC-1.", inContact + ", electrical life", when},
		{side + ".rate_max", "rate, at load", "How often an hour the contact may switch its load.", inContact, when},
		{side + ".make[0].load", "makes onto", "The kind of load of an inrush rating: lamp, capacitive, motor, inductive, resistive.", inContact, when},
		{side + ".make[0].supply", "on", "ac or dc.", inContact, when},
		{side + ".make[0].v", "at", "The voltage of the inrush rating.", inContact, when},
		{side + ".make[0].i", "inrush", "The current that the contact may close on.", inContact + ", max. inrush current", when},
		{side + ".make[0].t", "for", "How long that inrush lasts.", inContact + ", max. inrush current", when},
		{side + ".wetting.v", "least voltage", "The least voltage that keeps the contact clean.", inContact + ", minimum load", when},
		{side + ".wetting.i", "least current", "The least current that keeps the contact clean.", inContact + ", minimum load", when},
		{side + ".r_contact_max", "resistance", "What the closed contact has at the most.", inContact, when},
	})
}

// ofContact says of the contact that rests closed that it is that one, and of two poles
// that both are meant.
func ofContact(side string, list []Ask) []Ask {
	switch side {
	case "nc":
		for i := range list {
			list[i].Label = "nc " + list[i].Label
		}
	case "series":
		for i := range list {
			list[i].Label, list[i].What = "2x "+list[i].Label, list[i].What+" Of both poles in series, as stated for them."
		}
	}
	return list
}

var ssrFirst = []Ask{
	{"output", "output", "triac or scr-pair for AC, mosfet-ac for both ways, mosfet-dc for DC.", inFront, ""},
	{"input", "input", "voltage: fed straight with a voltage; led: a bare LED that needs a resistor.", inInput, ""},
	{"zero_cross", "at the zero", "Whether it turns on only near the mains' zero; false turns on at once.", inFront, "output=triac|scr-pair"},
	{"v_in.on_min", "on from", "The input voltage from which it is surely on.", inInput + ", must turn-on voltage", "input=voltage"},
	{"v_in.max", "bears up to", "The input voltage that it bears.", inInput, "input=voltage"},
	{"v_in.off_max", "off up to", "The input voltage up to which it is surely off.", inInput + ", must turn-off voltage", "input=voltage"},
	{"i_in[0].v", "input current at", "An input voltage at which its current is stated.", inInput, "input=voltage"},
	{"i_in[0].max", "it takes", "The most that its input takes there.", inInput, "input=voltage"},
	{"i_f_on_min", "LED current, on", "The current of its LED at which the worst one is on.", inInput + ", trigger or operate LED current, the max column", "input=led"},
	{"i_f_max", "LED bears", "The current that its LED bears.", inAbsolute + ", IF", "input=led"},
	{"v_f_max", "LED voltage, most", "The most that drops across its LED.", inInput + ", VF, the max column", "input=led"},
	{"v_f_min", "LED voltage, least", "The least that drops across its LED.", inInput + ", VF, the min column", "input=led"},
	{"v_out.min", "load from", "The least voltage of the load's supply; 0 V for MOSFETs.", inOutput, ""},
	{"v_out.max", "load up to", "The highest nominal voltage of the load's supply.", inOutput, ""},
	{"v_out.blocking", "blocks", "The peak that its output blocks.", inAbsolute, ""},
	{"f_out.min", "frequency from", "The least frequency of the load's supply.", inOutput, "output=triac|scr-pair|mosfet-ac"},
	{"f_out.max", "up to", "The highest frequency of the load's supply.", inOutput, "output=triac|scr-pair|mosfet-ac"},
	{"i_out_max[0].t_a", "current, in air of", "The air temperature of the current below.", inOutput + ", or the derating curve without a sink", ""},
	{"i_out_max[0].i", "it carries", "The load current without a sink there.", inOutput + ", or the derating curve without a sink", ""},
	{"v_on_max", "on voltage", "What drops across its output while on.", inOutput + ", the max column", "output=triac|scr-pair"},
	{"r_on[0].i_d", "on-resistance at", "The load current of the resistance below.", inOutput, "output=mosfet-ac|mosfet-dc"},
	{"r_on[0].max", "on-resistance", "The most that its output has while on.", inOutput + ", the max column", "output=mosfet-ac|mosfet-dc"},
}

var ssrMore = append(append([]Ask{
	{"i_out_case_max[0].t_c", "on a sink, case at", "The case temperature of the current below.", "the derating curve with a sink", ""},
	{"i_out_case_max[0].i", "it carries", "The load current with the case at that temperature.", "the derating curve with a sink", ""},
	{"i_load_min.hold", "least load current", "The load current below which it turns itself off.", inOutput + ", holding or minimum load current", ""},
	{"i_load_min.latch", "latching current", "The load current at which it stays on by itself.", inOutput + ", latching current", ""},
	{"i_leak_max[0].v", "leakage, at", "The voltage of the leakage below.", inOutput, ""},
	{"i_leak_max[0].t_j", "and junction", "The junction temperature of it.", inOutput, ""},
	{"i_leak_max[0].max", "leakage, most", "What flows through the load while it is off.", inOutput + ", off-state leakage", ""},
	{"surge[0].t", "surge for", "The length of the surge below; one half cycle is 10 ms.", inAbsolute + ", ITSM", ""},
	{"surge[0].i", "surge, peak", "What it bears once for that long.", inAbsolute + ", ITSM", ""},
	{"i2t_max", "surge, I2t", "What it bears in less than a half cycle; a fuse must let less pass.", inAbsolute + ", I2t", ""},
	{"slope.dv_dt", "slope it bears", "How fast the voltage may rise without turning it on.", inOutput + ", dv/dt", ""},
	{"slope.dv_dt_commutating", "slope, turning off", "The same as its current ends.", inOutput + ", commutating dv/dt", ""},
	{"slope.di_dt_commutating", "current slope", "How fast its current may end.", inOutput + ", commutating di/dt", ""},
	{"time_max.on", "time to turn on", "From its input to its output, at the longest.", inSwitching, ""},
	{"time_max.off", "time to turn off", "From its input to its output, at the longest.", inSwitching, ""},
}, heatAsks...), isolationAsks...)

var moduleFirst = append(append(append([]Ask{
	{"switch", "switch on it", "What switches the load on the board: relay, n-mosfet or ssr.", inFront, ""},
	{"active", "active", "high: on while the input is high; low: on while it is low.", inInput, ""},
	{"v_supply.min", "supply from", "The least supply that its driver works with.", inFront, ""},
	{"v_supply.max", "supply up to", "The highest supply that its driver bears.", inFront, ""},
	{"i_supply_max", "it takes", "What one channel takes from its supply while on.", inFront, ""},
	{"input_to", "input goes to", "Where its input's LED or resistor ends: supply or ground.", "the circuit of the board", ""},
	{"i_in_on.min", "input on from", "The input current at which it is surely on.", inInput, ""},
	{"i_in_on.max", "input takes", "The input current that it takes at the most.", inInput, ""},
	{"i_in_off_max", "input off up to", "The input current up to which it is surely off.", inInput, ""},
	{"v_in_drop.min", "input drop, least", "What drops across LED and transistor of its input, without its resistor.", "the circuit of the board", ""},
	{"v_in_drop.max", "input drop, most", "The most of that.", "the circuit of the board", ""},
	{"r_in.min", "input resistor from", "The resistor of its input, at the least.", "the circuit of the board, or measure it", ""},
	{"r_in.max", "up to", "The resistor of its input, at the most.", "the circuit of the board, or measure it", ""},
}, onBoard("relay", relayFirst)...), onBoard("n-mosfet", mosfetFirst)...), onBoard("ssr", ssrFirst)...)

var moduleMore = append(append(append([]Ask{
	{"channels", "channels", "How many switches are on the board.", inFront, ""},
	{"i_together_max[0].on", "several on", "How many channels are on together for the current below.", inFront + " or a note on the load of the whole board", ""},
	{"i_together_max[0].duty", "at duty", "The duty of that line; 100 % is steady.", inFront + " or a note on the load of the whole board", ""},
	{"i_together_max[0].i", "each carries", "What each of them then carries.", inFront + " or a note on the load of the whole board", ""},
	{"separate_coil_supply", "coil fed apart", "Whether the coil has a supply input of its own.", "the circuit of the board", ""},
	{"off_unsupplied", "off unsupplied", "Whether it is off while its driver has no supply.", "the circuit of the board", ""},
}, onBoard("relay", relayMore)...), onBoard("n-mosfet", mosfetMore)...), onBoard("ssr", ssrMore)...)

// onBoard are the asks of the switch on a module.
func onBoard(table string, list []Ask) []Ask {
	out := make([]Ask, len(list))
	for i, a := range list {
		a.Key = table + "." + a.Key
		when := "switch=" + table
		if a.When != "" {
			for _, c := range strings.Split(a.When, "&") {
				when += "&" + table + "." + c
			}
		}
		a.When = when
		out[i] = a
	}
	return out
}

// asks are the figures of each kind, in the order in which a person finds them.
var asks = map[Kind]struct{ first, more []Ask }{
	KindMOSFET: {mosfetFirst, mosfetMore},
	KindBJT: {[]Ask{
		{"polarity", "polarity", "npn switches to ground, pnp switches from the supply.", inFront, ""},
		{"darlington", "Darlington", "Whether two transistors are one inside: a high gain, and a volt lost.", inFront, ""},
		{"v_ceo_max", "collector voltage", "What it blocks from collector to emitter with the base open.", inAbsolute + ", VCEO", ""},
		{"i_c_max", "collector current", "The steady collector current.", inAbsolute + ", IC", ""},
		{"h_fe[0].i_c", "gain at current", "The collector current of the gain below; take the line nearest above your load.", inElectric + ", the test condition of hFE", ""},
		{"h_fe[0].v_ce", "and voltage", "The collector voltage of that line.", inElectric + ", the test condition of hFE", ""},
		{"h_fe[0].min", "gain, least", "The gain that the worst one has there.", inElectric + ", hFE, the min column", ""},
		{"v_ce_sat[0].i_c", "on voltage at", "The collector current of the on voltage below.", inElectric + ", the test condition of VCE(sat)", ""},
		{"v_ce_sat[0].i_b", "with base current", "The base current of that line: your pin must give as large a part of the load's.", inElectric + ", the test condition of VCE(sat)", ""},
		{"v_ce_sat[0].max", "on voltage, most", "What drops across it there.", inElectric + ", VCE(sat), the max column", ""},
	}, append(append([]Ask{
		{"v_be_sat[0].i_c", "base voltage at", "The collector current of the base voltage below.", inElectric + ", the test condition of VBE(sat)", ""},
		{"v_be_sat[0].i_b", "and base current", "The base current of that line.", inElectric + ", the test condition of VBE(sat)", ""},
		{"v_be_sat[0].max", "base voltage, most", "What the base takes of the pin's voltage there.", inElectric + ", VBE(sat), the max column", ""},
		{"v_ebo_max", "reverse base", "What the base bears in the wrong direction.", inAbsolute + ", VEBO", ""},
		{"i_b_max", "base current", "The current that the base bears.", inAbsolute + ", IB", ""},
		{"i_cm_max", "collector peak", "The pulsed collector current: inrush and stall are judged by it.", inAbsolute + ", ICM", ""},
		{"i_ceo_max[0].v_ce", "leakage, at", "The collector voltage of the leakage below.", inElectric + ", the test condition of ICEO", ""},
		{"i_ceo_max[0].t_j", "and junction", "The junction temperature of it.", inElectric + ", the test condition of ICEO", ""},
		{"i_ceo_max[0].max", "leakage, most", "What still flows with the base open.", inElectric + ", ICEO, the max column", ""},
		{"switching_max.t_d", "delay", "From the base's edge until the current begins to rise.", inSwitching + ", td", ""},
		{"switching_max.t_r", "rise time", "How long the current rises.", inSwitching + ", tr", ""},
		{"switching_max.t_s", "storage time", "How long it stays on after the base is off.", inSwitching + ", ts", ""},
		{"switching_max.t_f", "fall time", "How long the current falls.", inSwitching + ", tf", ""},
		{"switching_max.i_c", "times, at", "The collector current of those times.", inSwitching + ", the test condition", ""},
		{"switching_max.i_b1", "with base on", "The base current that turned it on.", inSwitching + ", the test condition, IB1", ""},
		{"switching_max.i_b2", "and off", "The base current that turned it off.", inSwitching + ", the test condition, IB2", ""},
	}, heatAsks...), areaAsks...)},
	KindRelay:  {relayFirst, relayMore},
	KindSSR:    {ssrFirst, ssrMore},
	KindModule: {moduleFirst, moduleMore},
	KindArray: {[]Ask{
		{"channels", "channels", "How many switches are in it.", inFront, ""},
		{"output", "output", "darlington or n-mosfet.", inFront, ""},
		{"v_out_max", "output voltage", "What an output blocks.", inAbsolute, ""},
		{"i_out_max", "output current", "The steady current of one output, the others off.", inAbsolute, ""},
		{"t_j_max", "hottest junction", "The junction temperature that it bears.", inAbsolute, ""},
		{"v_in_on[0].i_out", "on, for output of", "The output current of the input voltage below.", inElectric + ", VI(on)", ""},
		{"v_in_on[0].max", "input on from", "The input voltage from which a channel surely sinks that.", inElectric + ", VI(on), the max column", ""},
		{"i_in_max[0].v_in", "input current at", "The input voltage of the current below.", inElectric + ", II(on)", ""},
		{"i_in_max[0].i", "it takes", "What the input takes of the pin there.", inElectric + ", II(on), the max column", ""},
		{"v_on_max[0].i_out", "on voltage at", "The output current of the on voltage below.", inElectric + ", VCE(sat) or RDS(on)", ""},
		{"v_on_max[0].v", "on voltage, most", "What drops across an output there.", inElectric + ", VCE(sat), the max column", ""},
	}, append([]Ask{
		{"v_in_off_max", "input off up to", "The input voltage up to which a channel is surely off.", inElectric + ", VI(off)", ""},
		{"i_leak_max", "leakage", "What still flows through an output that is off.", inElectric + ", ICEX, the max column", ""},
		{"i_together_max[0].on", "several on", "How many channels are on together for the current below.", inGraph + " (output current against duty)", ""},
		{"i_together_max[0].duty", "at duty", "The duty of that line; 100 % is steady.", inGraph + " (output current against duty)", ""},
		{"i_together_max[0].i", "each carries", "What each of them then carries.", inGraph + " (output current against duty)", ""},
		{"clamp.v_f_max", "diode inside", "What drops across the diode from an output to the common pin.", inElectric + ", VF, the max column", ""},
		{"clamp.i_max", "it carries", "The current which that diode carries.", inAbsolute, ""},
	}, heatAsks[1:]...)},
	KindDiode: {[]Ask{
		{"technology", "technology", "rectifier is slow, fast and schottky are for PWM.", inFront, ""},
		{"v_rrm_max", "reverse voltage", "What it blocks.", inAbsolute + ", VRRM", ""},
		{"i_f_av_max[0].t_a", "current, at", "The temperature of the current below.", inAbsolute + ", or the derating curve", ""},
		{"i_f_av_max[0].i", "it carries", "The average forward current there.", inAbsolute + ", IF(AV)", ""},
		{"v_f[0].i", "voltage at", "The current of the forward voltage below.", inElectric + ", the test condition of VF", ""},
		{"v_f[0].max", "voltage, most", "What drops across it there.", inElectric + ", VF, the max column", ""},
	}, append([]Ask{
		{"v_f[0].min", "voltage, least", "The least that drops there: a release is slowest by it.", inElectric + ", VF, the min column", ""},
		{"i_fsm_max[0].t", "surge for", "The length of the surge below.", inAbsolute + ", IFSM", ""},
		{"i_fsm_max[0].i", "surge", "What it bears once for that long: a winding's current is judged by it.", inAbsolute + ", IFSM", ""},
		{"t_rr_max", "recovery", "How long it conducts the wrong way: PWM heats the switch by it.", inElectric + ", trr, the max column", ""},
		{"i_r_max[0].v", "leakage, at", "The reverse voltage of the leakage below.", inElectric + ", the test condition of IR", ""},
		{"i_r_max[0].t_j", "and junction", "The junction temperature of it.", inElectric + ", the test condition of IR", ""},
		{"i_r_max[0].max", "leakage, most", "What leaks the wrong way.", inElectric + ", IR, the max column", ""},
	}, heatAsks...)},
	KindZener: {[]Ask{
		{"v_z.min", "voltage, least", "What it holds at its test current, at the least: below it must not conduct.", inElectric + ", VZ, the min column", ""},
		{"v_z.max", "voltage, most", "The most of it: the switch must block the supply and this.", inElectric + ", VZ, the max column", ""},
		{"v_z.i", "at", "The test current.", inElectric + ", IZT", ""},
		{"p_max", "power", "The steady power that it bears.", inAbsolute + ", Ptot", ""},
	}, append([]Ask{
		{"z_z_max", "impedance", "How far its voltage rises with more current.", inElectric + ", ZZT, the max column", ""},
		{"tc_max", "drift", "How far its voltage moves for each kelvin.", inElectric + ", the temperature coefficient", ""},
		{"pulse[0].t", "pulse of", "The length of the pulse below.", inGraph + " (pulse power)", ""},
		{"pulse[0].p", "power in it", "The power that it bears for that long.", inGraph + " (pulse power)", ""},
	}, heatAsks...)},
	KindTVS: {[]Ask{
		{"direction", "direction", "uni clamps one way and is a diode the other; bi clamps both.", inOrdering, ""},
		{"v_rwm", "stand-off", "The voltage up to which it does not conduct.", inElectric + ", VRWM", ""},
		{"v_br.min", "breakdown, least", "Where it begins to conduct, at the least.", inElectric + ", VBR, the min column", ""},
		{"v_br.max", "breakdown, most", "And at the most.", inElectric + ", VBR, the max column", ""},
		{"v_br.i", "at", "The test current of it.", inElectric + ", IT", ""},
		{"v_c.i", "clamps at", "The surge current of the voltage below.", inElectric + ", IPP", ""},
		{"v_c.max", "clamp voltage", "The most that it shows there: the switch must block it.", inElectric + ", VC, the max column", ""},
		{"pulse[0].t", "pulse of", "The length of the pulse below, mostly 1 ms.", inAbsolute + ", PPPM", ""},
		{"pulse[0].p", "power in it", "The power that it bears for that long.", inAbsolute + ", PPPM", ""},
		{"p_av_max", "steady power", "The power that it bears for ever.", inAbsolute + ", PM(AV)", ""},
	}, heatAsks},
	KindMOV: {[]Ask{
		{"v_ac_max", "AC voltage", "The RMS voltage that it may stand at for ever.", inAbsolute, ""},
		{"v_dc_max", "DC voltage", "The DC voltage that it may stand at for ever.", inAbsolute, ""},
		{"v_1ma.min", "at 1 mA, least", "Where it begins to conduct, at the least.", inElectric + ", varistor voltage, the min column", ""},
		{"v_1ma.max", "at 1 mA, most", "And at the most.", inElectric + ", varistor voltage, the max column", ""},
		{"v_c.i", "clamps at", "The surge current of the voltage below.", inElectric + ", clamping voltage", ""},
		{"v_c.max", "clamp voltage", "The most that it shows there.", inElectric + ", clamping voltage", ""},
		{"e_max", "energy", "The energy of one surge that it bears.", inAbsolute, ""},
	}, []Ask{
		{"i_surge_max", "surge current", "The current of one surge that it bears.", inAbsolute, ""},
		{"p_av_max", "steady power", "The power that it bears for ever.", inAbsolute, ""},
	}},
	KindResistorSeries: {[]Ask{
		{"series", "series", "Which values you have: E12, E24 or E96.", inOrdering, ""},
		{"range.min", "values from", "The least value.", inOrdering, ""},
		{"range.max", "values up to", "The greatest value.", inOrdering, ""},
		{"tolerance", "tolerance", "How far a value may be off.", inOrdering, ""},
		{"p_max", "power", "The steady power of one.", inAbsolute, ""},
		{"derate.full", "full power up to", "The air temperature up to which it bears all of that.", "the derating curve", ""},
		{"derate.zero", "none from", "The temperature at which it bears none.", "the derating curve", ""},
		{"v_max", "voltage", "The voltage that it bears, whatever its value.", inAbsolute, ""},
	}, []Ask{
		{"pulse[0].t", "pulse of", "The length of the pulse below.", inGraph + " (pulse power)", ""},
		{"pulse[0].p", "power in it", "The power that it bears for that long.", inGraph + " (pulse power)", ""},
	}},
	KindCapacitor: {[]Ask{
		{"dielectric", "dielectric", "film, ceramic or electrolytic.", inFront, ""},
		{"c", "capacitance", "Its nominal value.", inOrdering, ""},
		{"tolerance", "tolerance", "How far that may be off.", inOrdering, ""},
		{"v_dc_max", "DC voltage", "The DC voltage that it bears.", inOrdering, ""},
		{"v_ac_max", "AC voltage", "The RMS voltage that it bears.", inOrdering, ""},
	}, []Ask{
		{"safety_class", "safety class", "X1, X2, Y1 or Y2, where it may stand across the mains.", "its body, and " + inFront, ""},
		{"dv_dt_max", "slope", "How fast its voltage may change.", inElectric + ", dv/dt", ""},
		{"esr_max", "series resistance", "What it has in series inside.", inElectric + ", ESR", ""},
	}},
	KindHeatSink: {[]Ask{
		{"fits", "fits", "The packages that it fits, with commas between them.", inDrawing, ""},
		{"r_th_sa_max[0].p", "rise at power", "The power of the resistance below.", "the curve of temperature rise against power", ""},
		{"r_th_sa_max[0].max", "sink to air", "How many kelvin it is above still air for each watt there.", "the curve of temperature rise against power", ""},
	}, nil},
	KindInsulator: {[]Ask{
		{"fits", "fits", "The packages that it fits, with commas between them.", inDrawing, ""},
		{"r_th_cs_max", "case to sink", "How many kelvin the case is above the sink for each watt.", inThermal, ""},
		{"v_dielectric", "test voltage", "What it is tested with.", inElectric + ", dielectric strength", ""},
	}, nil},
	KindFuse: {[]Ask{
		{"i_rated", "rated current", "What it carries in air of 25 C.", inFront, ""},
		{"speed", "speed", "fast, slow, semiconductor, or resettable.", inFront, ""},
		{"v_dc_max", "DC voltage", "The DC voltage that it breaks.", inFront, ""},
		{"v_ac_max", "AC voltage", "The AC voltage that it breaks.", inFront, ""},
		{"i_break.dc", "breaks on DC", "The short-circuit current that it breaks on DC.", "the breaking capacity", ""},
		{"i_break.ac", "breaks on AC", "The short-circuit current that it breaks on AC.", "the breaking capacity", ""},
	}, []Ask{
		{"derate[0].t_a", "hot air of", "The air temperature of the factor below.", "the derating curve", "speed=fast|slow|semiconductor"},
		{"derate[0].factor", "carries times", "What part of its rated current it carries there.", "the derating curve", "speed=fast|slow|semiconductor"},
		{"i2t.melt_min", "melts from", "The square of the current times time at which it melts, at the least.", inElectric + ", melting I2t", "speed=fast|slow|semiconductor"},
		{"i2t.clear_max", "clears by", "What it lets pass until it has cleared.", inElectric + ", clearing I2t", "speed=fast|slow|semiconductor"},
		{"i_hold[0].t_a", "holds in air of", "The air temperature of the current below.", inElectric + ", the derating table", "speed=resettable"},
		{"i_hold[0].i", "holds", "The current that it surely carries there.", inElectric + ", Ihold", "speed=resettable"},
		{"i_trip[0].t_a", "trips in air of", "The air temperature of the current below.", inElectric + ", the derating table", "speed=resettable"},
		{"i_trip[0].i", "trips", "The current at which it surely opens there.", inElectric + ", Itrip", "speed=resettable"},
		{"r_cold_max", "resistance", "What it has before it opens.", inElectric, ""},
	}},
	KindLimiter: {[]Ask{
		{"type", "type", "ntc: hot it has little; ptc: hot it has much.", inFront, ""},
		{"r_25.min", "cold, least", "Its resistance at 25 C, at the least.", inElectric + ", R25 and its tolerance", ""},
		{"r_25.max", "cold, most", "And at the most.", inElectric + ", R25 and its tolerance", ""},
		{"r_hot_max", "hot, most", "What it still has at its rated current.", inElectric, ""},
		{"i_max", "current", "The steady current that it bears.", inAbsolute, ""},
		{"e_max", "energy", "The energy of one inrush that it bears.", inAbsolute, ""},
	}, []Ask{
		{"t_cool", "cools in", "How long it must rest before the next start.", "the text, or four of its thermal time constants", ""},
	}},
}
