package sheet

import (
	"cmp"
	"slices"
	"strings"

	"example.org/pinhoist/internal/design"
)

// Term is a word of the trade as this program uses it: what it means in two sentences,
// and its equation. This is the one place of these texts.
type Term struct {
	Name     string
	Equation string   // "" where there is none to write down
	Text     string   // two sentences
	Also     []string // other words for it that stand on screens, on sheets and in files
}

// Terms lists every term, by name.
func Terms() []Term {
	list := slices.Concat(verdictTerms, ideaTerms, figureTerms, checkTerms)
	slices.SortFunc(list, func(a, b Term) int { return strings.Compare(a.Name, b.Name) })
	return list
}

// TermOf finds the term that a word stands for: its name, another word for it, the id or
// the short name of a check, a key of a job, a part or a value.
func TermOf(word string) (Term, bool) {
	// A figure of a part may have its side or its place in a list before and behind it.
	for _, side := range []string{"no.", "nc.", "series.", "n-mosfet."} {
		word = strings.TrimPrefix(word, side)
	}
	if t, ok := termOf(plainWord(word)); ok {
		return t, true
	}
	base, _, _ := strings.Cut(word, ".")
	return termOf(plainWord(base))
}

func termOf(word string) (Term, bool) {
	for _, t := range Terms() {
		if slices.ContainsFunc(t.words(), func(w string) bool { return w == word }) {
			return t, true
		}
	}
	return Term{}, false
}

// TermsIn lists the terms that stand in a text, in the order in which they do.
func TermsIn(text string) []Term {
	text = " " + plainWord(text) + " "
	type found struct {
		term     Term
		at, long int
	}
	var list []found
	for _, t := range Terms() {
		at, long := -1, 0
		for _, w := range t.words() {
			if i := wordAt(text, w); i >= 0 && (at < 0 || i < at || i == at && len(w) > long) {
				at, long = i, len(w)
			}
		}
		if at >= 0 {
			list = append(list, found{t, at, long})
		}
	}
	slices.SortStableFunc(list, func(a, b found) int { // "pwm speed" before "pwm"
		return cmp.Or(a.at-b.at, b.long-a.long)
	})
	terms := make([]Term, len(list))
	for i := range list {
		terms[i] = list[i].term
	}
	return terms
}

// words explains the terms that stand on the sheet so far.
func (t *teller) words() {
	terms := TermsIn(t.Text(Width, nil))
	slices.SortFunc(terms, func(a, b Term) int { return strings.Compare(a.Name, b.Name) })
	var facts []Fact
	for _, term := range terms {
		facts = append(facts, Fact{Label: term.Name, Text: term.Text})
		if term.Equation != "" {
			facts = append(facts, Fact{Label: "equation", Text: term.Equation, Code: true})
		}
	}
	t.Blocks = append(t.Blocks, Block{Heading: "Words"}, Block{Facts: facts})
}

func (t *Term) words() []string {
	words := []string{plainWord(t.Name)}
	for _, w := range t.Also {
		words = append(words, plainWord(w))
	}
	if id, ok := design.CheckByName(t.Name); ok {
		words = append(words, plainWord(checkWords[id][0]))
	}
	return words
}

// plainWord is a text in lower case with a blank for whatever stands between words, so
// that gate-drive, "Gate drive" and gate_drive are one.
func plainWord(s string) string {
	return strings.Join(strings.FieldsFunc(strings.ToLower(s), func(r rune) bool {
		return (r < 'a' || r > 'z') && (r < '0' || r > '9') && r < 0x80
	}), " ")
}

// wordAt is where a word begins in a plain text, -1 where it does not stand by itself.
func wordAt(text, word string) int {
	return strings.Index(text, " "+word+" ")
}

// The four verdicts.
var verdictTerms = []Term{
	{"fits", "stress <= k x rating, guaranteed", "What the job demands at its worst stays within what is allowed of the rating. Every figure in it is guaranteed or on the safe side.", nil},
	{"tight", "k x rating < stress <= rating", "It stays inside the bare ratings and lacks the margin that the policy asks. It will work today and age badly.", nil},
	{"unproven", "", "Nothing says that it fails, but a figure that would prove it is not guaranteed: the design names the one to look up. It is never a pass.", nil},
	{"over", "stress > rating", "It would fail at its worst corner, or a figure that has to be stated is not. Where even typical figures fail, no luckier part of its kind helps.", nil},
}

// What verdicts and designs are made of.
var ideaTerms = []Term{
	{"headroom", "headroom = allowed / stress; of temperatures (allowed - air) / (T - air)", "How much is to spare: 1.30 is 30 %. A design has the least of its checks; the bar crosses its | where it is safe, and dots stand where nothing is proven.", []string{"room"}},
	{"check", "stress <= allowed", "One comparison of what is demanded with what is guaranteed: a current with a rating, a junction with its limit. A design fits when all of its checks do.", []string{"checks"}},
	{"stress", "", "What the job demands of a part, at the corner that is worst for that check. It is rounded up where it is shown.", []string{"demanded"}},
	{"rating", "", "What the data sheet guarantees that the part bears or gives, under the conditions of this job. A typical figure is none.", []string{"guaranteed", "rated"}},
	{"allowed", "allowed = k x rating, 0 < k <= 1", "The rating less the margin of the policy. Of a temperature it is the rating less some kelvin.", nil},
	{"policy", "", "A named set of margins, one factor for each kind of rating. With none the bare ratings are judged, and a fit has no margin.", []string{"derating"}},
	{"corner", "", "The worst combination of all that may vary: supply high or low, air hot or cold, each resistance at an end of its tolerance. Every check takes its own.", nil},
	{"runs out", "", "The check with the least headroom: what stops this design first. Mending anything else gains nothing.", []string{"runs out first", "limiting"}},
	{"load factor", "factor = current at which a check stops fitting / current of the load", "How many times the load's current this stage bears as it stands. It is solved, with the check that ends it.", nil},
	{"promise", "", "A figure that your own part must guarantee for the verdict to hold, with the value at which it would change. The catalogue is generic, the part in your hand is not.", []string{"promises", "your part must promise"}},
	{"frontier", "", "The designs, marked *, that no other one beats in both cost and headroom. Whatever is not on it can be had cheaper or safer.", nil},
	{"estimate", "", "A figure that is typical, or lies between two guaranteed ones. It can make a failure certain and never makes a pass.", []string{"typically", "even typically"}},
	{"assumed", "", "A figure that you did not state and that is usual for this kind of load. It counts, it is listed, and yours is better.", nil},
	{"missing figure", "", "A figure that would prove a check and that the part does not state. Beside it stands the value that would do, the most decisive first.", []string{"missing", "missing figures", "not stated"}},
	{"as built", "", "A stage that exists already: what is stated of it is taken, what is not is chosen. Its fixes say what to change on the board.", []string{"built"}},
	{"side", "", "Where the switch stands: low is between load and ground, high between supply and load. A load whose return is tied to a chassis needs the high side.", []string{"low side", "high side"}},
	{"topology", "", "How a part is used: straight from the pin, as low-side transistor, as relay with its driver. The same part may serve in several.", []string{"used as"}},
	{"level shifter", "", "A small transistor that turns the pin's level into one that a switch on a higher supply understands. It inverts, unless there are two.", []string{"shifter"}},
	{"all loads together", "sum over all loads <= what pin, group and rail give", "One design picked for each load, judged with all loads on at once. Loads that exclude one another are not added.", nil},
	{"mode", "rate = f x 3600 (pwm), 3600 / period (cycle)", "on-off switches now and then, pwm all the time at a frequency, cycle on and off by a timer. It decides what heats and what wears.", []string{"pwm", "cycle", "on off"}},
	{"duty", "duty = time on / period", "The part of the time that the load is on. Heat is judged by the most that software may do, unless hardware keeps the duty.", []string{"duty_max", "duty_min", "duty at most"}},
	{"inrush", "peak = factor x steady current; x 1.41 on AC", "What a load takes at first: a cold filament 15 times its steady current, a motor its stall. It decides the switch more often than the steady current does.", []string{"inrush_factor", "inrush_time", "inrush_current", "inrush factor", "i_peak", "cold_ratio"}},
	{"stall", "stall current = V / winding resistance", "What a motor takes that does not turn, which is also what it takes at the first moment. It lasts until stall_time or a fuse ends it, else for ever.", []string{"stall_current", "winding_resistance", "stall_time", "stall current", "jam"}},
	{"clamp", "", "What takes over the current of a winding when the switch opens: a diode, a diode and a Zener, a suppressor. The higher its voltage, the sooner the current is gone, and the more the switch has to block.", []string{"clamp_placement"}},
	{"stored energy", "E = 1/2 L I^2; of a capacitor 1/2 C V^2", "What a winding or a capacitor holds when the switch opens. It goes into the clamp, or into whatever breaks first.", []string{"e_turnoff", "c_rail", "inductance", "e_wire", "l_coil_max"}},
	{"snubber", "", "A resistor and a capacitor across a switch that slow the voltage down while a current ends. On AC it leaks a little.", []string{"r_snubber", "c_snubber"}},
	{"fuse", "rating >= steady current; i2t >= inrush", "It keeps wires from burning. It does not save the switch from a short, which is quicker.", []string{"i_fuse"}},
	{"heat sink", "R sink <= (Tj allowed - air) / P - R junction to case", "Metal that takes heat from the case to the air. Its own metal may be at the potential of the supply.", []string{"heatsink_rth", "sink", "heatsink"}},
	{"wires", "R = 0.0172 ohm mm2/m x 2 x length / area", "The run to the load and back. Its resistance lowers the load's voltage, its inductance adds to what the clamp takes, and its copper bears so much.", []string{"wire_length", "wire_area", "a_wire", "i_wire", "v_wire", "wire gauge", "wire", "wire_awg"}},
	{"isolation grade", "", "What keeps apart the two sides of a stage: functional works, basic protects while nothing fails, reinforced protects after one failure. A hazardous supply asks for reinforced.", []string{"reinforced", "basic", "functional"}},
	{"hazardous", "above 60 V DC, 30 V RMS or 42.4 V peak, at the highest", "A supply that can hurt whoever touches it. Only stages that keep it apart from the pin serve, with a fuse, and the work is for a qualified person under the local code.", []string{"mains"}},
	{"fail state", "", "What the load does when the switch fails short, a wire breaks, or power returns. Where that does harm, a second, independent way to switch off is needed.", []string{"if it fails", "if something fails", "stuck on", "stuck_on"}},
	{"power factor", "P = V x I x power factor", "The part of an AC current that does work. A winding has a low one, and its current is late: it ends when the voltage is high.", []string{"power_factor"}},
	{"ambient", "air at the parts = ambient_max + enclosure_rise", "The air around the stage, coldest and hottest. A relay has its worst hour in the heat, a transistor's gain in the cold.", []string{"ambient_min", "ambient_max", "enclosure_rise", "hottest air", "coldest air"}},
	{"tolerance", "V = nominal x (1 +- tolerance)", "How far a value may be from what is printed on it. Batteries and plain adaptors have a large one.", nil},
	{"exclusive", "", "Loads that are never on at the same time, by the program or by wiring. Their currents are not added.", []string{"exclusive_with", "never with"}},
}

// Figures of data sheets, and values of designs.
var figureTerms = []Term{
	{"threshold voltage", "I = 1/2 K (Vgs - Vth)^2 at the most", "The gate voltage at which a MOSFET barely begins to conduct, a quarter of a milliampere or so. It is not the voltage at which it is on: that is where an on-resistance is guaranteed.", []string{"threshold", "v_gs_th", "gate threshold", "v_gs_th_slope_max"}},
	{"on-resistance", "P = I^2 x R x hot factor", "Of a MOSFET that is on, guaranteed at a stated gate voltage only, at 25 C. Hot it is up to twice as much, which is counted.", []string{"r_ds_on", "r_on", "on resistance", "r_ds_on_hot_max"}},
	{"gate charge", "t = Q / I gate", "What has to flow into a gate before the MOSFET is on. With the pin's current it gives the time of an edge, and so the heat of switching.", []string{"q_g_max", "q_gd_max", "t_on", "t_off", "t_on_own", "t_off_own", "q_gs_max"}},
	{"current gain", "I collector = h_fe x I base, at the most", "Collector current over base current, guaranteed at one current and 25 C. It falls by half a per cent a kelvin in the cold, and near the limits.", []string{"h_fe", "hfe", "gain"}},
	{"forced beta", "forced beta = I collector / I base", "Load current over the base current that is really driven. A transistor is saturated, and cool, only while it stays small: about ten.", []string{"forced_beta", "forced gain"}},
	{"saturation voltage", "P = V_ce(sat) x I", "What a bipolar transistor keeps for itself when it is fully on, guaranteed at a stated pair of currents. Without enough base current it keeps far more, and gets hot.", []string{"v_ce_sat", "saturated"}},
	{"on voltage", "V on = I x R on, or V_ce(sat)", "What a switch keeps for itself while it is on. The load gets so much less, and the switch turns it into heat.", []string{"v_on", "v_on_max"}},
	{"body diode", "P = V sd x I + Q rr x V x f", "The diode that every MOSFET has from source to drain. In a bridge it takes a winding's current, drops more than a Schottky diode, and needs a moment before it blocks again.", []string{"body_diode_max"}},
	{"output capacitance", "P = 1/2 C V^2 f", "What a MOSFET's output holds while it is off, and turns into heat each time it is on again. It counts at high voltage and frequency.", []string{"c_oss_max"}},
	{"switching times", "E = 1/2 V I (t_r + t_f)", "How long a part takes from the moment it is told until its current has changed: a delay, then an edge. Each edge heats; the storage time of a bipolar transistor also limits pwm.", []string{"switching_max", "time_max"}},
	{"input window", "on_min <= input <= max, and off: input <= off_max", "A solid-state relay, an array or a module is on above one input, off below another, and broken above a third. Between on and off nobody promises anything.", []string{"v_in", "v_in_on", "v_in_off_max", "i_in", "i_in_max", "i_in_on", "i_in_off_max", "v_in_drop", "r_in", "i_f_on_min", "i_f_max", "v_f_max", "v_f_min"}},
	{"driver's own supply", "v_supply.min <= supply <= v_supply.max", "A module brings its driver, which works within a window of supply and takes a current for itself. Where it hangs on another supply than the load, it has to be off without that.", []string{"v_supply", "i_supply_max"}},
	{"clamp inside", "", "The diodes that an array has across its outputs, from each to a common pin. They count where they are stated, for loads on the one supply that the common pin is tied to.", []string{"clamp.v_f_max", "clamp.i_max"}},
	{"colour bands", "R = digits x 10^n, +- the last ring", "The rings that tell a resistor's value: two or three digits, a power of ten, a tolerance (IEC 60062). The words beside the colours say the same.", []string{"bands", "resistor bands"}},
	{"must-operate voltage", "V = must_operate x nominal x R hot / R cold", "The part of its nominal voltage at which a cold relay is sure to pull in, about 75 %. A hot coil needs more, for copper's resistance rises by 0.39 % a kelvin.", []string{"must_operate", "must operate at", "pick-up", "must operate", "must_operate_max"}},
	{"latching pulse", "pulse >= pulse_min", "A latching relay stays where its last pulse put it, with no current and with no supply. So it does not let go when the logic fails: each direction has a pin of its own, and the program has to give the pulse.", []string{"t_pulse", "pulse_min", "latching"}},
	{"must-release voltage", "V off < must_release x nominal", "The part of its nominal voltage below which a relay is sure to let go, about 5 to 10 %. What leaks through the switch has to stay below it.", []string{"must_release", "must release at", "must release", "must_release_min"}},
	{"holding voltage", "V hold = hold x nominal", "The part of its nominal voltage that surely holds a relay once it has picked up, less than it picks up from. A resistor before the coil with a capacitor across it may then let the coil stay cooler.", []string{"hold_min", "holds from", "coil economy"}},
	{"coil to air", "T = air + R th x V^2 / R", "How much a coil heats itself for each watt. A hot coil has more resistance, and pulls less.", []string{"r_th_coil", "t_coil", "r_th_coil_max", "r_coil"}},
	{"thermal resistance", "dT = P x R th", "How many kelvin each watt costs on the way from the junction to the air or to the case. The headline current of a part is at a cold case; without a sink far less is left.", []string{"r_th_ja_max", "r_th_jc_max", "heat resistance", "foster_jc", "r_th_ja_copper"}},
	{"heat", "P = I^2 R + V I t f / 2 + ...", "What the switch turns into warmth at its worst: while on, and at each edge. All of it has to reach the air.", []string{"p_total", "p_on", "p_switching", "watt", "e_on", "e_off"}},
	{"leakage current", "", "What flows through a switch that is off, most when it is hot. A sensitive load may stay on by it, or an LED glow.", []string{"i_off", "i_dss_max", "i_ceo_max", "off current", "off_current_max", "i_cbo_max", "i_gss_max", "i_leak_max"}},
	{"pull-down", "R <= V off / I leakage", "The resistor that keeps the stage off while the pin floats: at reset, or without its supply. Leave it out and the load may start by itself.", []string{"r_pulldown", "pull down", "r_pullup", "pull-up"}},
	{"base resistor", "R = (V pin - V be) / I base", "It sets the base current: small enough a value to saturate the transistor, large enough for the pin. Both ends of its tolerance are checked.", []string{"r_base", "i_base", "r_base_emitter", "v_be_sat", "r_be_internal_min", "r_be_internal_max"}},
	{"gate resistor", "R >= V pin / I peak", "It keeps the charging peak of a gate within what the pin may give. It also slows the edge.", []string{"r_gate", "r_gate_internal_max"}},
	{"series resistor", "R = (V - V f) / I", "It sets the current of an LED. At the highest supply and the lowest forward voltage it is most.", []string{"r_series", "forward_voltage", "forward voltage"}},
	{"i2t", "I^2 t = integral of i^2 over the time", "What melts a fuse, or a bond wire, in a short time. The fuse's has to be less than the switch's for it to protect it.", []string{"i2t_max", "energy_inrush"}},
	{"turn-off peak", "V = supply(max) + clamp(max)", "The highest voltage across the switch, at the moment it opens. The wires add to it.", []string{"v_peak_off", "v_out_max", "v_ds_max", "v_ceo_max"}},
	{"ripple", "", "How far a winding's current swings under pwm. Below a frequency it falls to nothing between pulses, and a motor growls.", []string{"i_ripple"}},
	{"voltage at the load", "V = supply(min) - V on - I R wires", "What is left for the load at the lowest supply. A motor is slow with less, a relay does not pull.", []string{"v_load", "voltage_min", "least voltage"}},
}

// The checks, each by its id.
var checkTerms = []Term{
	{"pin-current", "I pin = (V high - V be) / R base, or V / R pull-down; <= limit of the pin", "The pin gives no more current than it may, steadily and while a gate charges. A pin that gives more sags, or dies.", []string{"i_pin", "source_current_max", "pin gives"}},
	{"pin-voltage", "V at the pin <= its supply + 0.3 V", "Nothing drives the pin beyond its rails. A gate that is pulled to 12 V, or a clamp that lets a peak through, would.", []string{"v_pin_max"}},
	{"stays-off", "V control = I leakage x R pull-down; < V th(min), V be(min) or must-release", "With the pin low, floating at reset or without supply, the load stays off. It is judged at the hottest steady junction, where the threshold is least.", []string{"v_control_reset", "v_be_on_min"}},
	{"base-drive", "I base(min) >= overdrive x I load / h_fe(min)", "The pin drives enough base current at the worst gain, which is that of the cold. The policy asks for twice as much.", []string{"i_b_max"}},
	{"saturation", "I / I base <= the forced gain at which V_ce(sat) is stated", "The base current is one at which the data sheet guarantees a voltage. Otherwise the heat of the transistor is anybody's guess.", nil},
	{"base-reverse", "V eb <= v_ebo_max", "The base is never driven too far below the emitter. Five volts or so break it, and its gain goes first.", []string{"v_ebo_max"}},
	{"gate-drive", "Vgs at which R ds(on) is stated <= Vgs that the pin gives", "Is logic-level drive enough: an on-resistance is guaranteed at or below the gate voltage the pin really gives. A threshold below it proves nothing.", []string{"v_gate_drive"}},
	{"gate-voltage", "Vgs <= v_gs_max", "The gate never sees more than its oxide bears, for once through it stays broken. On a high supply a Zener holds it.", []string{"v_gs_max"}},
	{"blocking-voltage", "supply(max) + clamp(max) <= k x V rated", "The switch blocks the highest supply and what the clamp adds when it opens. A winding without a clamp has no highest voltage.", nil},
	{"on-current", "I <= k x I rated", "The switch is rated for the steady current, at this temperature and mounting. The first page of a data sheet tells it at a cold case.", []string{"i_on", "i_c_max", "i_d_case25_max", "i_d_ambient25_max", "i_out_max", "i_out_case_max", "i_together_max"}},
	{"peak-current", "I inrush <= k x I pulse", "The switch bears the inrush or the stall for as long as it lasts. Past the stated pulse less is allowed, with the square root of the time.", []string{"i_cm_max", "i_dm_max", "surge.i"}},
	{"junction-temperature", "Tj = air + P x R th <= Tj max - margin", "The junction stays cool enough at the hottest air, also with the pin stuck on. Where heat raises the resistance faster than it leaves, no temperature is steady.", []string{"t_junction", "t_stuck_on", "t_touch", "t_j_max", "tj"}},
	{"safe-area", "I(V, t) <= area stated for that voltage and time", "Voltage and current at the same time, as at every edge and inrush, stay inside the safe operating area. Each alone may be fine and both together not.", []string{"soa"}},
	{"avalanche", "1/2 L I^2 x V / (V - supply) <= E rated", "Energy left in the load is borne by a part that guarantees it, or is clamped. Only openings that the job grants may use it.", []string{"avalanche_max", "e_ar_max"}},
	{"pwm-frequency", "f <= 0.1 / (t_on + t_off)", "The edges are short against the period. Slow ones heat the switch, which then is mostly half on.", []string{"f_pwm_max", "f_pwm_min"}},
	{"clamp-voltage", "v_rrm >= supply(max)", "The clamp blocks while the load is on. One that conducts then is a short across the supply.", nil},
	{"clamp-standoff", "stand-off >= supply(max)", "A suppressor or Zener does not conduct when it must not. Its stand-off voltage, not its clamping voltage, says so.", nil},
	{"clamp-current", "I load(max) <= I rated", "The clamp bears the load's current, which flows on in it when the switch opens. Under pwm it does so all the time.", nil},
	{"clamp-energy", "1/2 L I^2 (and what the supply adds) <= E rated", "The clamp bears the energy of one opening, at its own temperature. A longer pulse may hold more energy and less power.", nil},
	{"clamp-power", "P = E x openings a second <= P rated", "The clamp bears its average heat. It counts where a winding is switched many times a second.", []string{"p_clamp"}},
	{"release-time", "t = (L/R) ln((I R + V) / (I1 R + V)) + time to move <= release_within", "From opening the switch until the load has let go: the current falls from I to I1 against the clamp voltage V, then the armature moves. A plain diode holds it for long; a Zener with it lets it fall faster.", []string{"t_release", "t_decay", "release within", "release_within", "turn-off", "mechanical_release_time", "time to move"}},
	{"coil-pickup", "V hot coil needs <= V it gets at the lowest supply", "The coil still pulls in when it is hot from having been on, at the lowest supply, less what the switch keeps. Copper has 0.39 % more resistance for each kelvin.", nil},
	{"coil-overvoltage", "V(max) <= the most at this air", "The coil bears the highest supply at the hottest air. Data sheets draw a line that falls with temperature.", []string{"v_coil_max"}},
	{"coil-temperature", "T = air + R th x P", "The coil and the relay stay within their temperatures. The coil heats itself, and the contact heats the coil.", []string{"t_coil_max"}},
	{"contact-voltage", "supply <= contact rated", "The contact is rated for this supply, of this kind: AC never serves for DC. An arc on DC has no zero to end at.", []string{"v_ac_max", "v_dc_max", "v_open_max"}},
	{"contact-current", "I <= rating for this kind of load", "The contact switches this kind of load at this current. Lamps, motors and windings get a fraction of the resistive figure.", []string{"ac.i", "dc.i"}},
	{"contact-carry", "I <= i_carry_max", "The closed contact carries the current without getting too hot. It may carry more than it may switch.", []string{"i_carry_max", "r_contact_max"}},
	{"contact-inrush", "I peak <= making rating", "The contact bears closing on the inrush, while it still bounces. It welds otherwise.", []string{"make.i"}},
	{"contact-minimum", "V and I >= wetting figures", "The load is large enough to burn the film off the contact each time. A signal through a power relay fails after months.", []string{"wetting"}},
	{"contact-rate", "operations an hour <= rated", "The contact may operate this often. It has to cool from one arc to the next.", []string{"rate_max", "rate_unloaded_max"}},
	{"contact-life", "operations a year x years <= life at this load", "The contact lasts as long as asked, at this current and kind of load: years are operations over operations a year. Between two stated points the shorter life counts.", []string{"contact_life", "life_years", "life asked", "life_mechanical_min", "life.operations"}},
	{"holding-current", "I load(min) >= I hold", "The load's current keeps a thyristor output on to the end of each half wave. A small load lets it drop out.", []string{"i_hold", "i_load_min"}},
	{"commutation", "dv/dt after the zero <= stated", "The output turns off at the current's zero though the voltage of an inductive load jumps there. A snubber slows that jump.", []string{"slope"}},
	{"waveform", "supply inside the output's window, AC or DC as made for", "The output is made for this supply: a thyristor does not turn off on DC. Its voltage window has two ends.", []string{"f_out", "v_out"}},
	{"surge-energy", "I^2 t of the inrush <= i2t_max x share", "The output bears the inrush's energy at every start, not once in its life. So only a part of the stated surge counts.", nil},
	{"leakage", "I off <= off_current_max of the load", "What leaks while off does not keep the load on. Solid-state relays with a snubber leak milliamperes.", nil},
	{"isolation", "clearance, creepage and test voltage >= what the grade asks", "Load and logic are separated as asked, by distance and by test voltage. On the mains a board alone is no proof: the layout has to keep the distances.", nil},
	{"load-voltage", "supply(min) - V on - I R wires >= least voltage", "Enough voltage is left for the load to do its work. What the switch and the wires keep is lost to it.", nil},
	{"resistor-power", "V^2 / R <= k x P rated", "Every resistor bears its power, with the pin stuck on too. Small ones sit on hot boards.", nil},
	{"resistor-voltage", "V <= V rated", "Every resistor bears its voltage. A small one bears less than its power would let one think.", nil},
	{"capacitor-voltage", "V <= k x V rated", "Every capacitor bears its voltage, peaks included. Across the mains it has to be of a safety class.", nil},
	{"fuse-current", "I steady <= k x I fuse", "The fuse carries the steady current for ever in the hottest air. Fuses age by heat.", nil},
	{"fuse-start", "I^2 t of the inrush <= k x I^2 t of melting", "The fuse survives every start. A slow one bears more.", nil},
	{"fuse-breaking", "breaking capacity >= current of a short", "The fuse breaks what the supply gives into a short. A small glass one on a strong supply becomes an arc.", nil},
	{"heat-sink-live", "", "No live metal can be touched: the tab of many parts is at the potential of their output. An insulating pad keeps voltage away, and is no protection on the mains.", nil},
	{"rail-current", "sum of currents <= current_max", "The supply can spare what the load and its stage take. What it can give has to be stated to be judged.", nil},
	{"pin-total", "sum of pin currents <= total_current_max", "All pins of the chip together stay within its limit. It is in the same table as the limit of one pin.", nil},
	{"group-total", "sum of pin currents of a group <= group_current_max", "The pins that share a supply inside the chip stay within its limit. Spread heavy ones over groups.", nil},
	{"shoot-through", "dead time > t off(max) - t on(min)", "The two switches of a bridge's side are never on together, by hardware. Both on are a short across the supply, and software is no rating.", nil},
}
