package waveform

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// The laws of this package against a circuit simulator (Debian package ngspice; SIMULATED):
// decks and what they printed are stored, and made anew with PINHOIST_UPDATE_SPICE=1.
const (
	spiceDir    = "testdata/spice"
	updateSpice = "PINHOIST_UPDATE_SPICE"
)

// number is one printed number and what the law says: within tol of it, or, where the
// law is a bound, not above it and not under least of it.
type number struct {
	name       string
	law        float64
	tol, least float64
}

// lawDecks are the decks: a circuit that needs none of our code.
func lawDecks() []struct {
	name, deck string
	want       []number
} {
	// A lamp of 1 A on 12 V, 15 times less cold, settled in 0.22 s; 0.3 ohm in the loop.
	f := NewFilament(12, 15, 0.22)
	e := f.Envelope(12, 0.3)
	steady := e.Steady()
	_, square := e.Above(steady)
	// 1 mF on 12 V through 0.1 ohm and 10 uH.
	ring := Charging{V: 12, R: 0.1, L: 10e-6, C: 1e-3}
	peak, when := ring.Peak()
	// 12 ohm and 2 mH on 12 V at 2 kHz and 40 %: the current never stops; at 200 Hz it does.
	fast := Chopped{V: 12, R: 12, L: 2e-3, VD: 0.7, F: 2e3}.At(0.4)
	slow := Chopped{V: 12, R: 12, L: 2e-3, VD: 0.7, F: 200}.At(0.4)
	// 4.7 mF on 24 V through 50 mohm and a limiter of 8 ohm, 0.3 ohm hot, 25 J. The thing: B =
	// 3000 K, 0.15 ohm at 1/(1/298.15 + ln(0.15/8)/3000) = 492.98 K, 25 J/194.83 K.
	disc := Limiter{Cold: 8, Start: 8, Hot: 0.3, EMax: 25}
	soft := Charging{V: 24, R: 0.05, C: 4.7e-3}.Through(disc, 0, 0)
	_, softly := soft.Above(0)
	// The lamp through 1 ohm of limiter, 0.06 ohm hot, 60 J: 0.03 ohm at 1/(1/298.15 +
	// ln(0.03)/3000) = 457.6 K, 60 J/159.45 K.
	gentle := Filament{R: f.R, Ratio: f.Ratio, Tau: f.Tau}.Through(12, 0.3, Limiter{Cold: 1, Start: 1, Hot: 0.06, EMax: 60})
	chop := func(hz float64) string {
		period := 1 / hz
		return fmt.Sprintf(`* a winding under pwm
vrail rail 0 dc 12
sup rail n ctl 0 swx
vctl ctl 0 pulse(0 1 0 10n 10n %g %g)
lw n m 2m
rw m 0 12
* a diode of 0.7 V
vd 0 a dc 0.7
sd a2 n ctl2 0 swd
vdm a a2 dc 0
bctl ctl2 0 v = v(a) - v(n)
.model swx sw vt=0.5 vh=0.01 ron=1u roff=1meg
.model swd sw vt=0 vh=1u ron=1m roff=1meg
.options reltol=1e-5
.control
set numdgt=8
tran %g %g %g %g uic
meas tran i_max max i(lw)
meas tran i_min min i(lw)
meas tran i_diode avg i(vdm)
echo results
print i_max i_min i_diode
quit
.endc
.end
`, 0.4*period-10e-9, period, period/2000, 40*period, 30*period, period/4000)
	}
	return append(acDecks(), []struct {
		name, deck string
		want       []number
	}{
		{"filament", fmt.Sprintf(`* a filament: r as u^1.2, heat as u, radiation as u^4; u is a voltage
vrail rail 0 dc 12
rloop rail lamp 0.3
blamp lamp 0 i = v(lamp)/(12*max(v(u),0.01)^1.2)
cu u 0 %g ic=%g
bu 0 u i = v(lamp)*v(lamp)/(12*max(v(u),0.01)^1.2)/12 - v(u)^4
bsq 0 sq i = i(vrail)*i(vrail) - %g
csq sq 0 1 ic=0
.options reltol=1e-6
.control
set numdgt=8
tran 20u 1 0 20u uic
let i_lamp = -i(vrail)
meas tran i_peak max i_lamp
meas tran i_5ms find i_lamp at=5m
meas tran i_50ms find i_lamp at=50m
meas tran square max v(sq)
echo results
print i_peak i_5ms i_50ms square
quit
.endc
.end
`, f.Tau, math.Pow(15, -1/1.2), steady*steady), []number{
			{"i_peak", e.Peak(), 0, 0.97}, {"i_5ms", e.At(5e-3), 0, 0.8}, {"i_50ms", e.At(50e-3), 0, 0.8}, {"square", square, 0, 0.85}}},
		{"capacitor", `* a capacitor switched to a rail through resistance and inductance
vrail rail 0 dc 12
rloop rail a 0.1
lloop a b 10u ic=0
cload b 0 1m ic=0
bsq 0 sq i = i(vrail)*i(vrail)
csq sq 0 1 ic=0
.options reltol=1e-6
.control
set numdgt=8
tran 0.2u 4m 0 0.2u uic
let i_in = -i(vrail)
meas tran i_peak max i_in
meas tran t_peak max_at i_in
meas tran v_top max v(b)
meas tran square max v(sq)
echo results
print i_peak t_peak v_top square
quit
.endc
.end
`, []number{{"i_peak", peak, 3e-3, 0}, {"t_peak", when, 2e-2, 0}, {"square", ring.Square(), 5e-3, 0}}},
		{"limiter-capacitor", `* a capacitor charged through a thermistor; v(hot) is kelvin above 25 C
vrail rail 0 dc 24
rloop rail a 0.05
bntc a b i = v(a,b)/(8*exp(3000*(1/(298.15+v(hot))-1/298.15)))
cload b 0 4.7m ic=0
bheat 0 hot i = v(a,b)*v(a,b)/(8*exp(3000*(1/(298.15+v(hot))-1/298.15)))
cheat hot 0 0.12832 ic=0
rheat hot 0 1meg
bsq 0 sq i = i(vrail)*i(vrail)
csq sq 0 1 ic=0
rsq sq 0 1g
.options reltol=1e-6
.control
set numdgt=8
tran 20u 400m 0 20u uic
let i_in = -i(vrail)
meas tran i_peak max i_in
meas tran square max v(sq)
echo results
print i_peak square
quit
.endc
.end
`, []number{{"i_peak", soft.Peak(), 0, 0.9}, {"square", softly, 0, 0.9}}},
		{"limiter-filament", fmt.Sprintf(`* a filament started through a thermistor; v(hot) is kelvin above 25 C
vrail rail 0 dc 12
rloop rail a 0.3
bntc a lamp i = v(a,lamp)/(exp(3000*(1/(298.15+v(hot))-1/298.15)))
bheat 0 hot i = v(a,lamp)*v(a,lamp)/(exp(3000*(1/(298.15+v(hot))-1/298.15)))
cheat hot 0 0.37629 ic=0
rheat hot 0 1meg
blamp lamp 0 i = v(lamp)/(12*max(v(u),0.01)^1.2)
cu u 0 %g ic=%g
bu 0 u i = v(lamp)*v(lamp)/(12*max(v(u),0.01)^1.2)/12 - v(u)^4
.options reltol=1e-6
.control
set numdgt=8
tran 20u 1 0 20u uic
let i_lamp = -i(vrail)
meas tran i_peak max i_lamp
echo results
print i_peak
quit
.endc
.end
`, f.Tau, math.Pow(15, -1/1.2)), []number{{"i_peak", gentle, 0, 0.9}}},
		{"pwm-on", chop(2e3), []number{{"i_max", fast.Max, 1e-2, 0}, {"i_min", fast.Min, 1e-2, 0}, {"i_diode", fast.Diode, 1e-2, 0}}},
		{"pwm-gaps", chop(200), []number{{"i_max", slow.Max, 1e-2, 0}, {"i_diode", slow.Diode, 2e-2, 0}}},
		// A drain that rises by 12 V in 0.1 ms through 1 nF, a gate with 4 kohm and 5 nF to
		// ground: 12 nC.
		{"boot", `* a rising rail lifts a gate through its gate-drain capacitance
vdrain d 0 pwl(0 0 100u 12 200u 12)
cgd d g 1n
cgs g 0 5n
rpd g 0 4k
.options reltol=1e-6
.control
set numdgt=8
tran 0.1u 150u 0 0.1u uic
meas tran v_gate max v(g)
echo results
print v_gate
quit
.endc
.end
`, []number{{"v_gate", Coupled(12e-9, 100e-6, 4e3, 6e-9), 3e-3, 0}}},
	}...)
}

func TestSpiceLaws(t *testing.T) {
	for _, d := range lawDecks() {
		path := filepath.Join(spiceDir, d.name)
		if os.Getenv(updateSpice) != "" {
			simulateLaw(t, path, d.deck)
		}
		stored, err := os.ReadFile(path + ".cir")
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(stored, []byte(d.deck)) {
			t.Errorf("%s.cir is stale: make it anew with %s=1", d.name, updateSpice)
			continue
		}
		out, err := os.ReadFile(path + ".out")
		if err != nil {
			t.Fatal(err)
		}
		got := map[string]float64{}
		for line := range strings.Lines(string(out)) {
			name, value, ok := strings.Cut(line, "=")
			if v, err := strconv.ParseFloat(strings.TrimSpace(value), 64); ok && err == nil {
				got[strings.TrimSpace(name)] = v
			}
		}
		for _, w := range d.want {
			v, ok := got[w.name]
			switch {
			case !ok:
				t.Errorf("%s.out has no %s", d.name, w.name)
			case w.tol > 0 && math.Abs(v-w.law) > w.tol*math.Abs(w.law):
				t.Errorf("%s %s: simulator %g, law %g", d.name, w.name, v, w.law)
			case w.least > 0 && (v > w.law*(1+1e-3) || v < w.least*w.law):
				t.Errorf("%s %s: simulator %g, bound %g", d.name, w.name, v, w.law)
			default:
				t.Logf("%s %s: simulator %.5g, law %.5g", d.name, w.name, v, w.law)
			}
		}
	}
}

func simulateLaw(t *testing.T, path, deck string) {
	t.Helper()
	if err := os.WriteFile(path+".cir", []byte(deck), 0o644); err != nil {
		t.Fatal(err)
	}
	tool, err := exec.LookPath("ngspice")
	if err != nil {
		t.Logf("no ngspice: %s.out is as it was", path)
		return
	}
	out, err := exec.Command(tool, "-b", path+".cir").CombinedOutput()
	_, results, ok := strings.Cut(string(out), "\nresults\n")
	if err != nil || !ok {
		t.Fatalf("%s: %v\n%s", path, err, out)
	}
	var b strings.Builder
	fmt.Fprintf(&b, "* What ngspice -b printed for %s.cir, the lines after \"results\".\n", filepath.Base(path))
	for line := range strings.Lines(results) {
		if strings.Contains(line, " = ") {
			b.WriteString(line)
		}
	}
	if err := os.WriteFile(path+".out", []byte(b.String()), 0o644); err != nil {
		t.Fatal(err)
	}
}
