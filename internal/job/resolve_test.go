package job

import (
	"math"
	"reflect"
	"strings"
	"testing"

	q "example.org/pinhoist/internal/quantity"
	"example.org/pinhoist/internal/source"
)

// near compares at nine digits: the numbers beside it are worked by hand.
func near[Q ~float64](got Q, want float64) bool {
	return math.Abs(float64(got)-want) <= 1e-9*math.Abs(want)
}

// with resolves a job of one 12 V rail with 10 % and one load, given by lines of
// its table, and of any text before it.
func with(t *testing.T, before, load string) *Job {
	t.Helper()
	_, j, errs := Read("t", []byte(oneLoad(before, load)), topologies...)
	if errs.Fatal() {
		t.Fatalf("refused: %v", errs)
	}
	return j
}

func oneLoad(before, load string) string {
	text := before + "\n[[rail]]\nname = \"bench\"\nvoltage = \"12 V\"\ntolerance = \"10 %\"\n" +
		"[[rail]]\nname = \"mains\"\nvoltage = \"230 V\"\ntolerance = \"10 %\"\nfrequency = \"50 Hz\"\n" +
		"[[load]]\nname = \"x\"\n"
	if !strings.Contains(load, "rail =") && !strings.Contains(load, "supply =") {
		text += "rail = \"bench\"\n"
	}
	return text + load + "\n"
}

// TestDemoExplicit states every default of the job's pin, environment and load
// beside the demo: stated or not, the job is the same.
func TestDemoExplicit(t *testing.T) {
	const explicit = `
schema = 1
title  = "Greenhouse bench"
[pin]
supply = "5 V"
supply_tolerance = "5 %"
source_current_max = "20 mA"
sink_current_max = "20 mA"
output = "push-pull"
output_resistance_max = "40 ohm"
output_resistance_min = "15 ohm"
at_reset = "unknown"
reset_pull_min = "20 kohm"
leakage_max = "1 uA"
injection_current_max = "1 mA"
group_current_max = "100 mA"
total_current_max = "200 mA"
rail_current_max = "400 mA"
[environment]
ambient_min = "0 C"
ambient_max = "40 C"
enclosure_rise = "0 K"
[policy]
name = "bench"
[[rail]]
name = "bench"
voltage = "12 V"
tolerance = "10 %"
current_max = "3 A"
fault_current = "30 A"
common = "pin"
[[load]]
name = "vent latch"
kind = "solenoid"
rail = "bench"
current = "0.8 A"
inductance = "60 mH"
side = "any"
mode = "on-off"
switching_rate = "600 /h"
duty = "30 %"
duty_min = "0 %"
duty_max = "100 %"
unpowered = "off"
release_within = "20 ms"
mechanical_release_time = "2 ms"
isolation = "none"
quantity = 1
tolerance = "10 %"
tolerance_l = "20 %"
wire_length = "0 m"
wire_area = "0.25 mm2"
copper_area = "0 mm2"
ground = "floating"
stuck_on = "harmless"
avalanche_events = 0
overvoltage_category = "II"
pollution_degree = 2
material_group = "IIIa"
duty_enforced = "software"
`
	_, want, errs := Read("explicit", []byte(explicit))
	if len(errs) > 0 {
		t.Fatal(errs)
	}
	got, errs := Resolve(Demo())
	if len(errs) > 0 {
		t.Fatal(errs)
	}
	// What is stated is not assumed, and the text is another.
	want.Digest, want.Loads[0].RateAssumed = got.Digest, true
	want.Loads[0].Assumed = got.Loads[0].Assumed
	if !reflect.DeepEqual(got, want) {
		t.Errorf("got  %+v\nwant %+v", got, want)
	}
}

// TestDemoFigures holds the demo's own figures, worked by hand: 12 V/0.8 A; 12 V
// less and plus 10 %; least voltage the lower of 85 % of 12 V and 95 % of 10.8 V.
func TestDemoFigures(t *testing.T) {
	j, _ := Resolve(Demo())
	l := &j.Loads[0]
	for _, tt := range []struct {
		name      string
		got, want float64
	}{
		{"resistance", float64(l.R.Value()), 15},
		{"rail least", float64(l.Rail.Min), 10.8},
		{"rail most", float64(l.Rail.Max), 13.2},
		{"least voltage", float64(l.VoltageMin.Value), 10.2},
		{"its easy end", float64(l.VoltageMin.Easy), 7.2},
		{"off current", float64(l.OffCurrent.Value), 0.04},
		{"its easy end", float64(l.OffCurrent.Easy), 0.4},
		{"supply least", float64(j.Pin.SupplyMin), 4.75},
		{"supply most", float64(j.Pin.SupplyMax), 5.25},
		{"operations per hour", float64(l.Rate) * 3600, 600},
		{"operations per year", l.OperationsPerYear, 5_256_000},
		{"inductance", float64(l.L.Value()), 0.06},
	} {
		if !near(tt.got, tt.want) {
			t.Errorf("%s: got %v, want %v", tt.name, tt.got, tt.want)
		}
	}
	fields := []string{}
	for _, a := range l.Assumed {
		fields = append(fields, a.Field)
	}
	if want := []string{"inrush_factor", "off_current_max", "voltage_min", "switching_rate"}; !reflect.DeepEqual(fields, want) {
		t.Errorf("assumed %v, want %v", fields, want)
	}
}

// TestKinds holds the figures taken for each kind of load. Source: common
// practice, no source; the factors stand within the ranges published for their
// loads (lamps 10 to 15, motors 5 to 10, transformers 5 to 40 times).
func TestKinds(t *testing.T) {
	const dash = -1
	for _, tt := range []struct {
		kind, more             string
		factor, time           float64 // inrush
		off, least, leastAmp   float64
		inductive, assumedCurr bool
	}{
		{"resistive", "", 1, dash, 0.2, 8.64, dash, false, false},
		{"led", "", 1, dash, 1e-3, dash, 1, false, false},
		{"electronic", "", 5, 1e-3, 1e-3, 10.2, dash, false, false},
		{"lamp", "", 15, dash, 0.2, 8.64, dash, false, false},
		{"motor", "", 8, dash, 0.2, 8.64, dash, true, false},
		{"solenoid", "", 1, dash, 0.1, 10.2, dash, true, false},
		{"coil", "", 1, dash, 0.1, dash, dash, true, false},
		{"capacitive", "capacitance = \"1 mF\"", 1, dash, dash, dash, dash, false, false},
		{"signal", "", 1, dash, 1e-5, 10.26, dash, false, true},
		{"logic-input", "", 1, dash, dash, dash, dash, false, true},
		{"ac-resistive", "", 1, dash, 0.2, 165.6, dash, false, false},
		{"ac-lamp", "", 15, 0.1, 0.2, 165.6, dash, false, false},
		{"ac-motor", "", 7, 1, 0.1, 165.6, dash, true, false},
		{"ac-coil", "", 10, 0.05, 0.1, 195.5, dash, true, false},
		{"ac-transformer", "", 30, 0.01, 0.1, 165.6, dash, true, false},
		{"ac-supply", "", 25.3, 1e-3, 1e-3, 165.6, dash, false, false}, // 253 V/5 ohm over 2 A
	} {
		t.Run(tt.kind, func(t *testing.T) {
			rail := "rail = \"bench\"\n"
			if strings.HasPrefix(tt.kind, "ac-") {
				rail = "rail = \"mains\"\n"
			}
			l := &with(t, "", rail+"current = \"2 A\"\nkind = \""+tt.kind+"\"\n"+tt.more).Loads[0]
			value := func(known bool, v float64) float64 {
				if !known {
					return dash
				}
				return v
			}
			time, ok := l.InrushTime.Get()
			for _, c := range []struct {
				name      string
				got, want float64
			}{
				{"inrush", float64(l.Inrush.Value), tt.factor},
				{"inrush time", value(ok, float64(time)), tt.time},
				{"off current", value(l.OffCurrent.Known, float64(l.OffCurrent.Value)), tt.off},
				{"least voltage", value(l.VoltageMin.Known, float64(l.VoltageMin.Value)), tt.least},
				{"least current", value(l.CurrentMin.Known, float64(l.CurrentMin.Value)), tt.leastAmp},
			} {
				if !near(c.got, c.want) {
					t.Errorf("%s: got %v, want %v", c.name, c.got, c.want)
				}
			}
			if l.Inductive != tt.inductive {
				t.Errorf("inductive: %v", l.Inductive)
			}
			if l.Inrush.Easy != 1 || (l.VoltageMin.Known && l.VoltageMin.Easy > l.VoltageMin.Value) ||
				(l.OffCurrent.Known && l.OffCurrent.Easy < l.OffCurrent.Value) {
				t.Errorf("an easy end is harder than the figure: %+v %+v %+v", l.Inrush, l.VoltageMin, l.OffCurrent)
			}
			info, ok := Info(Kind(tt.kind))
			if !ok || info.Text == "" || (info.Current > 0) != tt.assumedCurr {
				t.Errorf("info %+v", info)
			}
		})
	}
	if n := len(Kinds()); n != 16 {
		t.Errorf("%d kinds", n)
	}
}

// TestFigures holds single figures that follow from what is stated, by hand.
func TestFigures(t *testing.T) {
	for _, tt := range []struct {
		name, before, load string
		figure             func(*Load) float64
		want               float64
	}{
		{"current by resistance", "", "kind = \"resistive\"\nresistance = \"24 ohm\"", current, 0.5},
		{"current by power", "", "kind = \"lamp\"\npower = \"6 W\"", current, 0.5},
		{"the worse of two", "", "kind = \"resistive\"\ncurrent = \"1 A\"\nresistance = \"15 ohm\"", current, 1},
		{"resistance of the worse", "", "kind = \"resistive\"\ncurrent = \"0.7 A\"\nresistance = \"15 ohm\"", func(l *Load) float64 { return float64(l.R.Value()) }, 15},
		{"20 % apart", "", "kind = \"resistive\"\ncurrent = \"1 A\"\npower = \"9.6 W\"", current, 1},
		{"AC power with its factor", "", "rail = \"mains\"\nkind = \"ac-motor\"\npower = \"138 W\"", current, 1},
		{"AC power with a stated factor", "", "rail = \"mains\"\nkind = \"ac-motor\"\npower = \"184 W\"\npower_factor = 0.8", current, 1},
		{"AC supply of unknown factor", "", "rail = \"mains\"\nkind = \"ac-supply\"\npower = \"115 W\"", current, 1},
		{"AC supply of stated factor", "", "rail = \"mains\"\nkind = \"ac-supply\"\npower = \"115 W\"\npower_factor = \"100 %\"", current, 0.5},
		{"bare LED by its power", "", "kind = \"led\"\nseries = \"designed\"\nforward_voltage = \"2 V\"\npower = \"40 mW\"", current, 0.02},
		{"strip by its resistance", "", "kind = \"led\"\nseries = \"inside\"\nforward_voltage = \"9 V\"\nresistance = \"6 ohm\"", current, 0.5},
		{"strip of unknown forward voltage", "", "kind = \"led\"\ncurrent = \"1 A\"", func(l *Load) float64 { return float64(l.Vf) }, 9},
		{"strip's least current by a voltage", "", "kind = \"led\"\ncurrent = \"1 A\"\nvoltage_min = \"10 V\"", func(l *Load) float64 { return float64(l.CurrentMin.Value) }, 1. / 3},
		{"capacitor alone", "", "kind = \"capacitive\"\ncurrent = \"0 A\"\ncapacitance = \"1 mF\"", current, 0},
		{"signal", "", "kind = \"signal\"", current, 1e-3},
		{"least voltage of a wide rail", "", "supply = \"12 V\"\nsupply_tolerance = \"20 %\"\nkind = \"solenoid\"\ncurrent = \"1 A\"", least, 9.12},
		{"stated least voltage", "", "kind = \"solenoid\"\ncurrent = \"1 A\"\nvoltage_min = \"9 V\"", least, 9},
		{"release current as off current", "", "kind = \"solenoid\"\ncurrent = \"1 A\"\nrelease_current = \"70 mA\"", off, 0.07},
		{"stated off current", "", "kind = \"solenoid\"\ncurrent = \"1 A\"\nrelease_current = \"70 mA\"\noff_current_max = \"20 mA\"", off, 0.02},
		{"must-release as off current", "", "kind = \"coil\"\ncurrent = \"50 mA\"\nmust_release = \"10 %\"", off, 5e-3},
		{"off current of a tiny LED", "", "kind = \"led\"\ncurrent = \"1 mA\"", off, 0.5e-3},
		{"high level of an input", "", "kind = \"logic-input\"\nsupply = \"6 V\"", func(l *Load) float64 { return float64(l.InputHighMin.Value) }, 4.41},
		{"stall current", "", "kind = \"motor\"\ncurrent = \"2 A\"\nstall_current = \"9 A\"", inrush, 4.5},
		{"winding resistance", "", "kind = \"motor\"\ncurrent = \"2 A\"\nwinding_resistance = \"1.2 ohm\"", inrush, 5},
		{"stall by both, the worse", "", "kind = \"motor\"\ncurrent = \"2 A\"\nwinding_resistance = \"1.2 ohm\"\nstall_current = \"9 A\"", func(l *Load) float64 { return float64(l.StallCurrent.Value()) }, 10},
		{"a measured start does not hide the stall", "", "kind = \"motor\"\ncurrent = \"2 A\"\nstall_current = \"9 A\"\ninrush_factor = 2\ninrush_source = \"measured\"", inrush, 4.5},
		{"nor does a start current", "", "kind = \"motor\"\ncurrent = \"2 A\"\nstall_current = \"9 A\"\ninrush_current = \"4 A\"", inrush, 4.5},
		{"a start above the stall", "", "kind = \"motor\"\ncurrent = \"2 A\"\nstall_current = \"9 A\"\ninrush_factor = 6", inrush, 6},
		{"which is told apart", "", "kind = \"motor\"\ncurrent = \"2 A\"\nstall_current = \"9 A\"\ninrush_factor = 6", func(l *Load) float64 { return truth(l.StartMore) }, 1},
		{"from a stall alone", "", "kind = \"motor\"\ncurrent = \"3 A\"\nstall_current = \"10 A\"", func(l *Load) float64 { return truth(l.StartMore) }, 0},
		{"and a start below it", "", "kind = \"motor\"\ncurrent = \"2 A\"\nstall_current = \"9 A\"\ninrush_current = \"4 A\"", func(l *Load) float64 { return truth(l.StartMore) }, 0},
		{"a start of a signal", "", "kind = \"signal\"\ninrush_factor = 6", inrush, 1},
		{"cold ratio", "", "kind = \"lamp\"\ncurrent = \"2 A\"\ncold_ratio = 12", inrush, 12},
		{"inrush current", "", "kind = \"electronic\"\ncurrent = \"2 A\"\ninrush_current = \"24 A\"", inrush, 12},
		{"inrush current on AC", "", "rail = \"mains\"\nkind = \"ac-lamp\"\ncurrent = \"1 A\"\ninrush_current = \"14.142135623731 A\"", inrush, 10},
		{"operations of a PWM", "", "kind = \"resistive\"\ncurrent = \"1 A\"\nmode = \"pwm\"\npwm_frequency = \"500 Hz\"", year, 1.5768e10},
		{"operations of the fastest cycle", "", "kind = \"resistive\"\ncurrent = \"1 A\"\nmode = \"cycle\"\nperiod = \"0.1 s\"", year, 3.1536e8},
		{"the fastest on and off", "", "kind = \"resistive\"\ncurrent = \"1 A\"\nswitching_rate = \"36000 /h\"", year, 3.1536e8},
		{"operations of a cycle", "", "kind = \"resistive\"\ncurrent = \"1 A\"\nmode = \"cycle\"\nperiod = \"20 s\"", year, 1_576_800},
		{"operations as stated", "", "kind = \"resistive\"\ncurrent = \"1 A\"\noperations_per_year = 730", year, 730},
		{"a rate beside a slow cycle", "", "kind = \"resistive\"\ncurrent = \"1 A\"\nmode = \"cycle\"\nperiod = \"1 h\"\nswitching_rate = \"60 /h\"", year, 525_600},
		{"duty bounded from above", "", "kind = \"resistive\"\ncurrent = \"1 A\"\nduty_max = \"40 %\"", func(l *Load) float64 { return float64(l.Duty) }, 0.4},
		{"fault current of AC mains", "", "rail = \"mains\"\nkind = \"ac-resistive\"\ncurrent = \"1 A\"", func(l *Load) float64 { return float64(l.Rail.FaultCurrent.Value()) }, 1500},
		{"the pin's own rail", "", "rail = \"pin\"\nkind = \"resistive\"\nresistance = \"500 ohm\"", current, 0.01},
		{"the pin's own rail, its fault", "", "rail = \"pin\"\nkind = \"resistive\"\nresistance = \"500 ohm\"", func(l *Load) float64 { return float64(l.Rail.FaultCurrent.Value()) }, 4},
	} {
		t.Run(tt.name, func(t *testing.T) {
			if got := tt.figure(&with(t, tt.before, tt.load).Loads[0]); !near(got, tt.want) {
				t.Errorf("got %v, want %v", got, tt.want)
			}
		})
	}
}

func current(l *Load) float64 { return float64(l.Current) }
func least(l *Load) float64   { return float64(l.VoltageMin.Value) }
func off(l *Load) float64     { return float64(l.OffCurrent.Value) }
func inrush(l *Load) float64  { return float64(l.Inrush.Value) }
func year(l *Load) float64    { return l.OperationsPerYear }

// TestInrushSource: a factor below what is usual for the kind proves nothing
// until its source is said.
func TestInrushSource(t *testing.T) {
	for _, tt := range []struct {
		load  string
		short bool
	}{
		{"kind = \"lamp\"\ninrush_factor = 10", true},
		{"kind = \"lamp\"\ninrush_factor = 10\ninrush_source = \"measured\"", false},
		{"kind = \"lamp\"\ninrush_factor = 15", false},
		{"kind = \"lamp\"\ninrush_factor = 20", false},
		{"kind = \"lamp\"\ncold_ratio = 10", false},
		{"kind = \"lamp\"\ninrush_current = \"20 A\"", true},
		{"kind = \"lamp\"\ninrush_current = \"20 A\"\ninrush_source = \"data-sheet\"", false},
		{"kind = \"motor\"\ninrush_factor = 4", true},
		{"kind = \"motor\"\nstall_current = \"8 A\"", false},
		{"kind = \"lamp\"", false},
		{"rail = \"mains\"\nkind = \"ac-supply\"\ninrush_factor = 20", true},
	} {
		if got := with(t, "", "current = \"2 A\"\n"+tt.load).Loads[0].InrushShort; got != tt.short {
			t.Errorf("%q: short %v, want %v", tt.load, got, tt.short)
		}
	}
}

// TestHazard holds the limits of touch: IEC 62368-1, class ES1, 60 V DC, 30 V RMS,
// 42.4 V peak (from memory). 42.4 V peak is 29.98 V RMS.
func TestHazard(t *testing.T) {
	for _, tt := range []struct {
		volts     float64
		tol       float64
		ac        bool
		hazardous bool
	}{
		{60, 0, false, false},
		{48, 0.25, false, false}, // 60 V exactly
		{57.2, 0.05, false, true},
		{60.01, 0, false, true},
		{29.9, 0, true, false},
		{30, 0, true, true}, // 42.43 V peak
		{24, 0.15, true, false},
		{24, 0.25, true, true},
		{230, 0.1, true, true},
		{12, 0.1, true, false},
	} {
		f := q.None[q.Hertz]()
		if tt.ac {
			f = q.Some(q.Hertz(50))
		}
		if got := makeRail("r", q.Volt(tt.volts), q.Ratio(tt.tol), f).Hazardous; got != tt.hazardous {
			t.Errorf("%v V + %v, AC %v: hazardous %v, want %v", tt.volts, tt.tol, tt.ac, got, tt.hazardous)
		}
	}
}

func TestIsolation(t *testing.T) {
	for _, tt := range []struct {
		load  string
		grade Insulation
		asked bool
	}{
		{"kind = \"resistive\"", InsulationNone, false},
		{"kind = \"resistive\"\nisolation = \"functional\"", InsulationFunctional, true},
		{"rail = \"mains\"\nkind = \"ac-resistive\"", InsulationReinforced, true},
		{"rail = \"mains\"\nkind = \"ac-resistive\"\nisolation = \"basic\"", InsulationBasic, true},
	} {
		j := with(t, "", "current = \"1 A\"\n"+tt.load)
		l := &j.Loads[0]
		if l.Isolation != tt.grade || l.IsolationAsked != tt.asked {
			t.Errorf("%q: %v, asked %v", tt.load, l.Isolation, l.IsolationAsked)
		}
		if l.Rail.Hazardous && l.Rail.CommonPin {
			t.Errorf("%q: a hazardous rail shares the pin's ground", tt.load)
		}
	}
}

// TestExclusive: one side says it, both have it, in order and once.
func TestExclusive(t *testing.T) {
	spec := Demo()
	for _, name := range []string{"c", "a", "b"} {
		l := spec.Loads[0]
		l.Name, l.ExclusiveWith = name, nil
		spec.Loads = append(spec.Loads, l)
	}
	spec.Loads[0].ExclusiveWith = []string{"c", "a", "c"}
	spec.Loads[2].ExclusiveWith = []string{"vent latch"}
	j, errs := Resolve(spec)
	if errs.Fatal() {
		t.Fatal(errs)
	}
	want := [][]string{{"a", "c"}, {"vent latch"}, {"vent latch"}, nil}
	for i := range want {
		if got := j.Loads[i].ExclusiveWith; !reflect.DeepEqual(got, want[i]) {
			t.Errorf("%s: %v, want %v", j.Loads[i].Name, got, want[i])
		}
	}
}

// TestPinEnds: what is stated at one end alone brings the other with it.
func TestPinEnds(t *testing.T) {
	j := with(t, "[pin]\nsupply = \"3.3 V\"\noutput_resistance_max = \"10 ohm\"\npeak_current_max = \"50 mA\"\noutput = \"open-drain\"\n[environment]\nenclosure_rise = \"15 K\"",
		"kind = \"resistive\"\ncurrent = \"1 A\"")
	p := j.Pin
	if p.ROutMin != 10 || p.PeakMax != 0.05 || p.SinkPeakMax != 0.05 || !p.OpenDrain || !near(p.OpenDrainVMax, 3.435) {
		t.Errorf("pin %+v", p)
	}
	if j.Env.PartsMax != 55 || j.Env.AmbientMax != 40 {
		t.Errorf("environment %+v", j.Env)
	}
}

// TestScaled: twice the current is half the resistance; inductance, voltages and
// stated limits stay.
func TestScaled(t *testing.T) {
	for _, tt := range []struct {
		name, load string
		figure     func(*Load) float64
		want       float64 // at twice the current
	}{
		{"current", "kind = \"solenoid\"\ncurrent = \"1 A\"", current, 2},
		{"resistance", "kind = \"solenoid\"\ncurrent = \"1 A\"", func(l *Load) float64 { return float64(l.R.Value()) }, 6},
		{"inductance", "kind = \"solenoid\"\ncurrent = \"1 A\"\ninductance = \"60 mH\"", func(l *Load) float64 { return float64(l.L.Value()) }, 0.06},
		{"off current by share", "kind = \"solenoid\"\ncurrent = \"1 A\"", off, 0.1},
		{"off current as stated", "kind = \"solenoid\"\ncurrent = \"1 A\"\noff_current_max = \"20 mA\"", off, 0.02},
		{"off current of a coil", "kind = \"coil\"\ncurrent = \"50 mA\"\nmust_release = \"10 %\"", off, 0.01},
		{"off current of a tiny LED", "kind = \"led\"\ncurrent = \"1.5 mA\"", off, 1e-3},
		{"stall", "kind = \"motor\"\ncurrent = \"1 A\"\nstall_current = \"6 A\"", func(l *Load) float64 { return float64(l.StallCurrent.Value()) }, 12},
		{"winding", "kind = \"motor\"\ncurrent = \"1 A\"\nwinding_resistance = \"2 ohm\"", func(l *Load) float64 { return float64(l.WindingR.Value()) }, 1},
		{"inrush factor", "kind = \"motor\"\ncurrent = \"1 A\"\nstall_current = \"6 A\"", inrush, 6},
		{"inrush current", "kind = \"electronic\"\ncurrent = \"1 A\"\ninrush_current = \"6 A\"", func(l *Load) float64 { return float64(l.InrushCurrent.Value()) }, 12},
		{"capacitance", "kind = \"capacitive\"\ncurrent = \"0 A\"\ncapacitance = \"1 mF\"\nesr = \"0.1 ohm\"", func(l *Load) float64 { return float64(l.C.Value()) }, 2e-3},
		{"esr", "kind = \"capacitive\"\ncurrent = \"0 A\"\ncapacitance = \"1 mF\"\nesr = \"0.1 ohm\"", func(l *Load) float64 { return float64(l.ESR.Value()) }, 0.05},
		{"least current", "kind = \"led\"\ncurrent = \"1 A\"", func(l *Load) float64 { return float64(l.CurrentMin.Value) }, 1},
		{"least voltage", "kind = \"solenoid\"\ncurrent = \"1 A\"", least, 10.2},
	} {
		l := &with(t, "", tt.load).Loads[0]
		before := *l
		s := l.Scaled(2)
		if got := tt.figure(&s); !near(got, tt.want) {
			t.Errorf("%s: got %v, want %v", tt.name, got, tt.want)
		}
		if !reflect.DeepEqual(*l, before) {
			t.Errorf("%s: the load itself changed", tt.name)
		}
	}
}

// TestRefused holds contradictions and limits beside those of the files, each
// with the key that is complained of.
func TestRefused(t *testing.T) {
	for _, tt := range []struct{ key, before, load string }{
		{"load[0].resistance", "", "kind = \"led\"\nseries = \"designed\"\nforward_voltage = \"2 V\"\nresistance = \"500 ohm\""},
		{"load[0].off_current_max", "", "kind = \"solenoid\"\ncurrent = \"1 A\"\nrelease_current = \"20 mA\"\noff_current_max = \"30 mA\""},
		{"load[0].forward_voltage", "", "kind = \"led\"\nresistance = \"100 ohm\""},
		{"load[0].exclusive_with[0]", "", "kind = \"resistive\"\ncurrent = \"1 A\"\nexclusive_with = [\"" + strings.Repeat("l", 100) + "\"]"},
		{"title", "title = \"" + strings.Repeat("t", 81) + "\"", "kind = \"resistive\"\ncurrent = \"1 A\""},
		{"load[0].power", "", "kind = \"resistive\"\npower = \"1e9 W\""},
		{"load[0].current", "", "kind = \"resistive\"\ncurrent = \"1e-20 A\""},
		{"load[0].voltage_min", "", "kind = \"led\"\ncurrent = \"1 A\"\nvoltage_min = \"8 V\""},
		{"load[0].input_high_min", "", "kind = \"logic-input\"\ninput_high_min = \"14 V\""},
		{"load[0].must_operate", "", "kind = \"coil\"\ncurrent = \"50 mA\"\nmust_operate = \"110 %\""},
		{"load[0].power_factor", "", "rail = \"mains\"\nkind = \"ac-motor\"\npower = \"100 W\"\npower_factor = 1.5"},
		{"load[0].duty_max", "", "kind = \"resistive\"\ncurrent = \"1 A\"\nduty_max = \"0 %\""},
		{"load[0].duty", "", "kind = \"resistive\"\ncurrent = \"1 A\"\nduty_min = \"50 %\"\nduty = \"40 %\""},
		{"load[0].frequency", "", "kind = \"resistive\"\ncurrent = \"1 A\"\nfrequency = \"50 Hz\""},
		{"load[0].quantity", "", "kind = \"resistive\"\ncurrent = \"1 A\"\nquantity = 5000"},
		{"load[0].switching_rate", "", "kind = \"resistive\"\ncurrent = \"1 A\"\nswitching_rate = \"36001 /h\""},
		{"load[0].switching_rate", "", "kind = \"resistive\"\ncurrent = \"1 A\"\nmode = \"cycle\"\nperiod = \"1 s\"\nswitching_rate = \"36001 /h\""},
		{"load[0].period", "", "kind = \"resistive\"\ncurrent = \"1 A\"\nmode = \"cycle\"\nperiod = \"99 ms\""},
		{"load[0].isolation", "", "rail = \"mains\"\nkind = \"ac-resistive\"\ncurrent = \"1 A\"\nisolation = \"none\""},
		{"load[0].winding_resistance", "", "kind = \"motor\"\ncurrent = \"2 A\"\nwinding_resistance = \"10 ohm\""},
		{"load[0].built.resistor_tolerance", "", "kind = \"resistive\"\ncurrent = \"1 A\"\nbuilt = { topology = \"npn-low\", part = \"x\", resistor_tolerance = \"100 %\" }"},
		{"pin.supply", "[pin]\nsupply = \"70 V\"", "kind = \"resistive\"\ncurrent = \"1 A\""},
		{"pin.supply_tolerance", "[pin]\nsupply = \"58 V\"\nsupply_tolerance = \"10 %\"", "kind = \"resistive\"\ncurrent = \"1 A\""},
		{"environment.ambient_min", "[environment]\nambient_min = \"45 C\"", "kind = \"resistive\"\ncurrent = \"1 A\""},
		{"pin.output_resistance_min", "[pin]\noutput_resistance_min = \"30 ohm\"\noutput_resistance_max = \"20 ohm\"", "kind = \"resistive\"\ncurrent = \"1 A\""},
	} {
		_, j, errs := Read("t", []byte(oneLoad(tt.before, tt.load)), topologies...)
		keys := []string{}
		for _, e := range errs {
			if !e.Warning {
				keys = append(keys, e.Key)
			}
		}
		if j != nil || !reflect.DeepEqual(keys, []string{tt.key}) {
			t.Errorf("%q: complained of %v, want %s alone", tt.before+tt.load, errs, tt.key)
		}
	}
}

// TestWarned holds what is odd and stands all the same.
func TestWarned(t *testing.T) {
	for _, tt := range []struct{ key, load string }{
		{"load[0].stall_current", "kind = \"solenoid\"\ncurrent = \"1 A\"\nstall_current = \"8 A\""},
		{"load[0].power_factor", "kind = \"solenoid\"\ncurrent = \"1 A\"\npower_factor = 0.5"},
		{"load[0].voltage_min", "kind = \"coil\"\ncurrent = \"50 mA\"\nvoltage_min = \"9 V\""},
		{"load[0].pwm_frequency", "kind = \"resistive\"\ncurrent = \"1 A\"\nmode = \"on-off\"\npwm_frequency = \"1 kHz\""},
		{"load[0].isolation", "kind = \"resistive\"\ncurrent = \"1 A\"\nisolation = \"basic\""},
		{"load[0].supply", "kind = \"resistive\"\ncurrent = \"1 A\"\nsupply = \"5 V\""},
		{"load[0].forward_voltage", "kind = \"resistive\"\ncurrent = \"1 A\"\nforward_voltage = \"2 V\""},
	} {
		_, j, errs := Read("t", []byte(oneLoad("", tt.load)), topologies...)
		if j == nil || len(errs) != 1 || errs[0].Key != tt.key || !errs[0].Warning || len(j.Warnings) != 1 {
			t.Errorf("%q: got %v, want one warning at %s", tt.load, errs, tt.key)
		}
	}
}

// TestNotANumber puts NaN and infinity into every quantity past the decoder, as
// a caller could: nothing that is not finite comes out of Resolve.
func TestNotANumber(t *testing.T) {
	kinds := []string{"resistive", "led", "lamp", "motor", "coil", "capacitive", "logic-input", "electronic"}
	for _, bad := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), 1e300, -1e300, 1e-300} {
		for _, kind := range kinds {
			base := Demo()
			base.Loads[0].Kind = kind
			base.Loads[0].MechRelease.Clear()
			base.Loads[0].Capacitance = q.Some(q.Farad(1e-3))
			source.Walk(base, func(f source.Field) {
				spec := Clone(base)
				if !poison(spec, f.Path, bad) {
					return
				}
				j, errs := Resolve(spec)
				if j == nil {
					if !errs.Fatal() {
						t.Errorf("%s = %v: no job and no error", f.Path, bad)
					}
					return
				}
				if at := notFinite(reflect.ValueOf(j).Elem(), "job"); at != "" {
					t.Errorf("kind %s, %s = %v: %s is not finite", kind, f.Path, bad, at)
				}
			})
		}
	}
}

// poison writes a number into the quantity at a path without any check.
func poison(spec *Spec, path string, v float64) bool {
	f, _, _, err := locate(spec, path)
	if err != nil || !f.IsValid() {
		return false
	}
	switch x := f.Addr().Interface().(type) {
	case *q.Opt[q.Volt]:
		*x = q.Some(q.Volt(v))
	case *q.Opt[q.Amp]:
		*x = q.Some(q.Amp(v))
	case *q.Opt[q.Ohm]:
		*x = q.Some(q.Ohm(v))
	case *q.Opt[q.Watt]:
		*x = q.Some(q.Watt(v))
	case *q.Opt[q.Second]:
		*x = q.Some(q.Second(v))
	case *q.Opt[q.Henry]:
		*x = q.Some(q.Henry(v))
	case *q.Opt[q.Farad]:
		*x = q.Some(q.Farad(v))
	case *q.Opt[q.Celsius]:
		*x = q.Some(q.Celsius(v))
	case *q.Opt[q.Kelvin]:
		*x = q.Some(q.Kelvin(v))
	case *q.Opt[q.KelvinPerWatt]:
		*x = q.Some(q.KelvinPerWatt(v))
	case *q.Opt[q.Hertz]:
		*x = q.Some(q.Hertz(v))
	case *q.Opt[q.Rate]:
		*x = q.Some(q.Rate(v))
	case *q.Opt[q.Ratio]:
		*x = q.Some(q.Ratio(v))
	case *q.Opt[q.Metre]:
		*x = q.Some(q.Metre(v))
	case *q.Opt[q.SquareMetre]:
		*x = q.Some(q.SquareMetre(v))
	case *q.Opt[q.Year]:
		*x = q.Some(q.Year(v))
	case **float64:
		*x = &v
	default:
		return false
	}
	return true
}

// TestWords: the words of the tags and the words of Resolve are the same.
func TestWords(t *testing.T) {
	for _, table := range []string{"pin", "rail[0]", "load[0]", "load[0].built"} {
		name, _, _ := strings.Cut(table, "[")
		if strings.HasSuffix(table, "built") {
			name = "built"
		}
		for _, f := range Fields(name) {
			if f.Options == nil {
				continue
			}
			path := table + "." + f.Key
			for _, word := range append([]string{"nonsense"}, f.Options...) {
				spec := Demo()
				spec.Loads[0].Built = &Built{Topology: "npn-low", Part: "x"}
				v, _, _, err := locate(spec, path)
				if err != nil {
					t.Fatal(err)
				}
				v.SetString(word)
				_, errs := Resolve(spec)
				refused := false
				for _, e := range errs {
					refused = refused || (e.Key == path && strings.HasPrefix(e.Expected, "one of "))
				}
				if refused != (word == "nonsense") {
					t.Errorf("%s = %q: refused %v", path, word, refused)
				}
			}
		}
	}
}

// TestResolveAt gives the place of a contradiction in the file.
func TestResolveAt(t *testing.T) {
	text := strings.Replace(string(DemoText()), `duty = "30 %"`, "duty = \"30 %\"\nduty_min = \"50 %\"", 1)
	doc, errs := source.Parse("bench.toml", []byte(text))
	spec := &Spec{}
	if errs = append(errs, source.Decode(doc, spec)...); len(errs) > 0 {
		t.Fatal(errs)
	}
	_, errs = ResolveAt(doc, spec)
	const want = `bench.toml:23:1: load[0].duty: found 30 %, expected at least duty_min, 50 %`
	if errs.Error() != want {
		t.Errorf("got %v, want %s", errs, want)
	}
	_, errs = Resolve(spec)
	const bare = `job: load[0].duty: found 30 %, expected at least duty_min, 50 %`
	if errs.Error() != bare {
		t.Errorf("got %v, want %s", errs, bare)
	}
}

// TestManyErrors: warnings never crowd out the error that refuses a job, and
// their number is bounded.
func TestManyErrors(t *testing.T) {
	spec := Demo()
	l := spec.Loads[0]
	l.Kind, l.VoltageMin, l.PowerFactor = "coil", q.Some(q.Volt(9)), q.Some(q.Ratio(0.5))
	l.ReleaseWithin.Clear()
	spec.Loads = nil
	for i := range maxLoads {
		l.Name = "l" + string(rune('0'+i%10)) + strings.Repeat("x", i/10%40) + strings.Repeat("y", i/400)
		spec.Loads = append(spec.Loads, l)
	}
	if j, errs := Resolve(spec); j == nil || len(errs) != maxErrors {
		t.Fatalf("%d complaints, job is nil: %v", len(errs), j == nil)
	}
	spec.Loads[maxLoads-1].Kind = "nonsense"
	if j, errs := Resolve(spec); j != nil || len(errs) != maxErrors+1 {
		t.Errorf("%d complaints, job is nil: %v", len(errs), j == nil)
	}
	for i := range spec.Loads {
		spec.Loads[i].Duty = q.Some(q.Ratio(2))
		spec.Loads[i].ExclusiveWith = make([]string, maxLoads+1)
	}
	if j, errs := Resolve(spec); j != nil || len(errs) != 2*maxErrors {
		t.Errorf("%d complaints, job is nil: %v", len(errs), j == nil)
	}
}

func TestBuilt(t *testing.T) {
	j := with(t, "", "kind = \"solenoid\"\ncurrent = \"1 A\"\n[load.built]\ntopology = \"npn-low\"\npart = \"npn-40v-small\"\nr_base = \"4k7\"\nr_base_emitter = \"none\"\nclamp = \"none\"")
	b := j.Loads[0].Built
	if b == nil || b.RBase != Resistor(4700) || b.RBaseEmitter != (Element{Said: true, None: true}) || b.RGate.Said {
		t.Fatalf("built %+v", b)
	}
	if b.Tolerance() != 0.05 {
		t.Errorf("tolerance %v, want 5 %% unless said", b.Tolerance())
	}
	b.ResistorTolerance = q.Some(q.Ratio(0.01))
	if b.Tolerance() != 0.01 {
		t.Errorf("tolerance %v, want 1 %%", b.Tolerance())
	}
	if got := InsulationReinforced.String() + " " + InsulationNone.String() + " " + Insulation(9).String(); got != "reinforced none unknown" {
		t.Errorf("grades %q", got)
	}
}

// BenchmarkResolve is what the engine pays for each job it tries.
func BenchmarkResolve(b *testing.B) {
	spec := Demo()
	b.ReportAllocs()
	for b.Loop() {
		Resolve(spec)
	}
}

// truth is a condition as a number of the tables.
func truth(is bool) float64 {
	if is {
		return 1
	}
	return 0
}
