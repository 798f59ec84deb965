package sheet

import (
	"math"
	"strconv"
	"strings"

	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/quantity"
)

// figureWords say what a guaranteed figure of a switch is, for one who does not
// know the symbol. Contact figures stand without the side in front.
var figureWords = map[string]string{
	"t_j_max":           "junction temperature it bears",
	"r_th_ja_max":       "heat resistance to the air",
	"r_th_jc_max":       "heat resistance to its case",
	"foster_jc.r":       "short-time heat resistance",
	"foster_jc.tau":     "short-time heat time constants",
	"soa.points.i":      "current of the safe area",
	"v_ceo_max":         "collector voltage it blocks",
	"v_ebo_max":         "reverse base voltage it bears",
	"i_c_max":           "collector current",
	"i_cm_max":          "collector current, peak",
	"i_b_max":           "base current it bears",
	"h_fe.min":          "current gain, least",
	"h_fe.max":          "current gain, most",
	"v_ce_sat.max":      "on voltage, saturated",
	"v_be_sat.max":      "base voltage, saturated",
	"v_be_on_min":       "base voltage at which it starts",
	"r_be_internal_min": "resistor inside at the base, least",
	"r_be_internal_max": "resistor inside at the base, most",
	"i_ceo_max.max":     "leakage, base open",
	"i_cbo_max.max":     "leakage of the collector junction",
	"v_ds_max":          "drain voltage it blocks",
	"v_gs_max":          "gate voltage it bears",
	"v_gs_th.min":       "gate threshold, least",
	"v_gs_th.max":       "gate threshold, most",
	"i_d_case25_max":    "drain current, cold case",
	"i_dm_max":          "drain current, peak",
	"r_ds_on.max":       "on-resistance",
	"i_dss_max.max":     "drain leakage",
	"i_gss_max":         "gate leakage",
	"q_g_max.q":         "gate charge",
	"q_gd_max":          "gate to drain charge",
	"q_gs_max":          "gate to source charge",
	"c_oss_max":         "output capacitance",
	"e_ar_max":          "avalanche energy, repeated",
	"v_out_max":         "output voltage it blocks",
	"i_out_max":         "current of one channel",
	"i_together_max.i":  "current of each channel, several on",
	"v_in_on.max":       "input voltage that turns a channel on",
	"i_in_max.i":        "input current of a channel",
	"v_on_max.v":        "on voltage of a channel",
	"i_leak_max":        "leakage of a channel",
	"v_in_off_max":      "input voltage up to which a channel is off",
	"clamp.v_f_max":     "voltage of the diode inside",
	"clamp.i_max":       "current of the diode inside",
	"must_operate_max":  "part of the coil's voltage that moves it", "must_release_min": "part of the coil's voltage that lets go",
	"hold_min":                "part of the coil's voltage that holds it",
	"v_in.on_min":             "input voltage that turns it on",
	"v_in.max":                "input voltage it bears",
	"v_in.off_max":            "input voltage up to which it is off",
	"i_in.max":                "input current",
	"i_f_on_min":              "current of its LED that turns it on",
	"i_f_max":                 "current its LED bears",
	"v_f_max":                 "voltage of its LED, most",
	"v_f_min":                 "voltage of its LED, least",
	"v_out.min":               "load supply, least",
	"v_out.max":               "load supply, most",
	"v_out.blocking":          "peak its output blocks",
	"f_out.min":               "frequency of the load supply, least",
	"f_out.max":               "frequency of the load supply, most",
	"i_out_max.i":             "output current without a sink",
	"i_out_case_max.i":        "output current on a sink",
	"i_load_min.hold":         "load current that holds it on",
	"i_load_min.latch":        "load current that latches it",
	"v_on_max":                "on voltage of its output",
	"r_on.max":                "on-resistance of its output",
	"i_leak_max.max":          "leakage of its output",
	"surge.i":                 "surge of its output, peak",
	"i2t_max":                 "surge of its output, I2t",
	"slope.dv_dt":             "slope of the voltage it bears",
	"slope.dv_dt_commutating": "slope it bears as its current ends",
	"slope.di_dt_commutating": "slope at which its current may end",
	"time_max.on":             "time to turn on",
	"time_max.off":            "time to turn off",
	"v_gs_th_slope_max":       "fall of the threshold with heat",
	"r_ds_on_hot_max.factor":  "on-resistance hot, times cold",
	"i_d_ambient25_max":       "drain current without a sink",
	"r_gate_internal_max":     "resistance inside the gate",
	"switching_max.t_d":       "delay",
	"switching_max.t_r":       "rise time",
	"switching_max.t_s":       "storage time",
	"switching_max.t_f":       "fall time",
	"avalanche_max.e_as":      "avalanche energy, once",
	"avalanche_max.i_as":      "avalanche current",
	"body_diode_max.v_sd":     "body diode voltage",
	"body_diode_max.t_rr":     "body diode recovery time",
	"body_diode_max.q_rr":     "body diode recovery charge",
	"r_coil.tolerance":        "tolerance of the coil's resistance",
	"v_coil_max.max":          "coil voltage it bears, of nominal",
	"t_coil_max":              "coil temperature it bears",
	"r_th_coil_max":           "heat resistance of the coil",
	"l_coil_max":              "inductance of the coil",
	"time_max.operate":        "time to operate",
	"time_max.release":        "time to release, no clamp",
	"time_max.bounce":         "bounce time",
	"ambient.min":             "coldest air it is made for",
	"ambient.max":             "hottest air it is made for",
	"life_mechanical_min":     "operations, unloaded",
	"rate_unloaded_max":       "operations an hour, unloaded",
	"isolation.v_dielectric":  "input to output, test voltage",
	"isolation.v_impulse":     "input to output, impulse",
	"isolation.v_working_max": "input to output, working voltage",
	"isolation.clearance":     "input to output, clearance",
	"isolation.creepage":      "input to output, creepage",
	"i_carry_max":             "contact current, closed",
	"v_ac_max":                "contact voltage, AC",
	"v_dc_max":                "contact voltage, DC",
	"ac.i":                    "contact current switched, AC",
	"dc.i":                    "contact current switched, DC",
	"make.i":                  "contact current, making",
	"wetting.v":               "least contact voltage",
	"wetting.i":               "least contact current",
	"life.operations":         "operations at load",
	"rate_max":                "operations an hour, at load",
	"r_contact_max":           "contact resistance",
	"v_open_max":              "voltage across the open contact",
	"r_th_ja_copper.max":      "heat resistance on copper",
	"pulse_min":               "pulse of a latching coil, shortest",
	"v_supply.min":            "supply that its driver works from",
	"v_supply.max":            "supply that its driver works up to",
	"i_supply_max":            "current of its driver",
	"i_in_on.min":             "input current that turns it on",
	"i_in_on.max":             "input current that it takes",
	"i_in_off_max":            "input current up to which it is off",
	"v_in_drop.min":           "voltage of its input, least",
	"v_in_drop.max":           "voltage of its input, most",
	"r_in.min":                "resistance of its input, least",
	"r_in.max":                "resistance of its input, most",

	// Whole tables, where none of their figures is stated.
	"soa":            "safe area",
	"r_ds_on":        "on-resistance",
	"i_dss_max":      "drain leakage",
	"i_cbo_max":      "leakage of the collector junction",
	"i_ceo_max":      "leakage, base open",
	"q_g_max":        "gate charge",
	"switching_max":  "switching times",
	"body_diode_max": "figures of the body diode",
	"avalanche_max":  "avalanche energy and current",
	"foster_jc":      "short-time heat resistance",
	"v_in_drop":      "voltage of its input",
	"v_supply":       "supply that its driver works from",
	"r_in":           "resistance of its input",
	"f_out":          "frequency of the load supply",
	"time_max":       "times to operate and release",
	"i_in_max":       "input current",
	"i_together_max": "current of each channel, several on",
	"i_load_min":     "least current of the load",
	"r_coil.nominal": "resistance of the coil",
}

// FigureText says what a guaranteed figure of a switch is, by its key in a
// catalogue file; empty where there is no word for it.
func FigureText(figure string) string {
	side := ""
	for _, table := range [...]string{"n-mosfet.", "relay.", "ssr."} {
		if rest, ok := strings.CutPrefix(figure, table); ok {
			figure, side = rest, " (on the board)"
		}
	}
	if rest, ok := strings.CutPrefix(figure, "no."); ok {
		figure = rest
	} else if rest, ok := strings.CutPrefix(figure, "nc."); ok {
		figure, side = rest, " (resting contact)"
	} else if rest, ok := strings.CutPrefix(figure, "series."); ok {
		if figure, side = rest, " (two poles in series)"; rest == "r_contact_max" {
			side = " (each of two poles)"
		}
	}
	figure = strings.TrimSuffix(figure, " at this drive")
	if w := figureWords[figure]; w != "" {
		return w + side
	}
	return ""
}

// percentFigures are the ratios that a file states in per cent.
var percentFigures = []string{"must_operate_max", "must_release_min", "hold_min", "r_coil.tolerance", "v_coil_max.max", "tolerance"}

// figureNumber prints the value of a part's figure in the unit that its data
// sheet has: ratios of a coil in per cent, temperatures to a tenth.
func figureNumber(figure string, v float64, unit design.Unit, dir quantity.Direction) string {
	if unit == design.DegC && !math.IsNaN(v) && !math.IsInf(v, 0) {
		return tenths(v, dir) + " C"
	}
	for _, f := range percentFigures {
		if strings.TrimPrefix(figure, "relay.") == f {
			return quantity.DisplayPercent(v, digitsShown, dir)
		}
	}
	return number(v, unit, dir)
}

// tenths prints to one place behind the point, rounded in the direction.
func tenths(v float64, dir quantity.Direction) string {
	x := v * 10
	switch dir {
	case quantity.Up:
		x = math.Ceil(x - 1e-9)
	case quantity.Down:
		x = math.Floor(x + 1e-9)
	default:
		x = math.Round(x)
	}
	return strings.TrimSuffix(strconv.FormatFloat(x/10+0, 'f', 1, 64), ".0")
}
