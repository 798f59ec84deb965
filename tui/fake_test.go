package tui

import (
	"context"
	"fmt"
	"io/fs"
	"os"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/lipgloss"
	"github.com/muesli/termenv"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/job"
)

func TestMain(m *testing.M) {
	lipgloss.SetColorProfile(termenv.Ascii) // of the toolkit; ours is an option
	os.Exit(m.Run())
}

// fake answers with rows made by hand. It counts what it is asked and can hide
// rows, so that a design drops out.
type fake struct {
	assessed, detailed int
	gone               map[string]bool
	err                error
	last               *engine.Input
	cautions           []string // ids, in place of the usual ones
}

func fakeRow(part, topology string, v design.Verdict, headroom float64, limit design.CheckID, cost float64) engine.Row {
	r := engine.Row{Key: "vent latch/" + part + "/" + topology, Part: part, Title: "a generic set of figures", Topology: topology,
		Kind: catalog.KindMOSFET, Package: "TO-220", Mount: "tht", Side: "low", Stock: -1, Verdict: v, Limiting: &engine.Limit{ID: limit},
		Cost: design.Money{Amount: design.Known(cost), Currency: "EUR"}, Heat: design.Known(0.3), Parts: 5, TurnOff: design.Known(0.012)}
	if v != design.Unproven {
		r.Headroom = design.Known(headroom)
	}
	return r
}

func fakeRows() []engine.Row {
	rows := []engine.Row{
		fakeRow("n-55v-a", "n-mosfet-low", design.Fits, 1.05, design.JunctionTemperature, 0.38),
		fakeRow("n-60v-b", "n-mosfet-low", design.Fits, 1.31, design.JunctionTemperature, 0.42),
		fakeRow("npn-80v-4a", "npn-low", design.Tight, 0.91, design.BaseDrive, 0.36),
		fakeRow("n-100v-10vgate", "n-mosfet-low", design.Unproven, 0, design.GateDrive, 0.55),
		fakeRow("rl-5v-10a", "relay", design.Over, 0.22, design.ContactLife, 1.90),
	}
	rows[0].Frontier, rows[1].Frontier = true, true
	rows[2].Kind, rows[4].Kind = catalog.KindBJT, catalog.KindRelay
	rows[4].Isolated = true
	return rows
}

func (f *fake) Assess(ctx context.Context, in *engine.Input) (*engine.Result, error) {
	f.assessed++
	f.last = in
	if f.err != nil {
		return nil, f.err
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	res := &engine.Result{JobDigest: in.Job.Digest, Policy: in.Policy.Name}
	for i := range in.Job.Loads {
		l := engine.LoadResult{Name: in.Job.Loads[i].Name, Cautions: []job.Caution{
			{ID: design.CautionStored, Text: design.CautionText(design.CautionStored)},
			{ID: design.CautionReset, Text: design.CautionText(design.CautionReset)}},
			NotServed: []engine.NotServed{{Part: "rl-230vac", Topology: "relay", Why: "its coil is for AC"}}}
		if f.cautions != nil {
			l.Cautions = nil
		}
		for _, id := range f.cautions {
			l.Cautions = append(l.Cautions, job.Caution{ID: id, Text: design.CautionText(id)})
		}
		for _, r := range fakeRows() {
			if !f.gone[r.Part] {
				_, name, _ := strings.Cut(r.Key, "/")
				r.Key = l.Name + "/" + name
				l.Rows = append(l.Rows, r)
			}
		}
		res.Loads = append(res.Loads, l)
	}
	if len(res.Loads) > 1 {
		for i := range res.Loads {
			if len(res.Loads[i].Rows) > 0 {
				r := &res.Loads[i].Rows[0]
				res.Together.Pick = append(res.Together.Pick, r.Key)
				res.Together.Cost.Amount = design.Known(res.Together.Cost.Amount.V + r.Cost.Amount.V)
			}
		}
		total := design.Check{ID: design.RailCurrent, Stress: design.Known(1.6), Rating: design.Known(3), Unit: design.A, Because: "rail bench"}
		design.Judge(&total)
		res.Together.Checks = []design.Check{total}
	}
	return res, nil
}

func (f *fake) Own(ctx context.Context, in *engine.Input, load, part string) (*engine.Own, error) {
	return engine.AssessOwn(ctx, in, load, part)
}

func (f *fake) Arrange(rows []engine.Row, view engine.View) engine.Arranged {
	return engine.Arrange(rows, view)
}

// Detail makes a design of the row with two checks. The gate drive is a hand
// calculation: 4.75 V x 3861/(3861 + 40) = 4.7013 V against 4.5 V.
func (f *fake) Detail(_ context.Context, in *engine.Input, key string) (*engine.Detailed, error) {
	f.detailed++
	for _, r := range fakeRows() {
		load, name, _ := strings.Cut(key, "/")
		if r.Key != "vent latch/"+name {
			continue
		}
		r.Key = load + "/" + name
		d := &design.Design{Load: "vent latch", Part: r.Part, Topology: r.Topology, PartSource: "typical of its class, from memory"}
		gate := design.Check{ID: design.GateDrive, Stress: design.Known(4.5), Rating: design.Known(4.7013), Unit: design.V,
			Formula: "{V_supply} x {R_pulldown}/({R_pulldown} + {R_out}) = {rating}", Source: "typical of its class"}
		gate.SetArgs(design.Arg{Name: "V_supply", V: 4.75, Unit: design.V}, design.Arg{Name: "R_pulldown", V: 3861, Unit: design.Ohm},
			design.Arg{Name: "R_out", V: 40, Unit: design.Ohm})
		gate.SetCorner(design.CornerValue{Name: "pin_supply", V: 4.75})
		limit := design.Check{ID: r.Limiting.ID, Stress: design.Known(1), Rating: design.Known(r.Headroom.V), Unit: design.A}
		if r.Verdict == design.Tight {
			limit.K, limit.Rating = 0.8, design.Known(r.Headroom.V/0.8)
		}
		if r.Verdict == design.Unproven {
			limit.Rating = design.Number{}
			limit.Needs("r_ds_on at this drive")
		}
		d.Checks = []design.Check{gate, limit}
		if r.Limiting.ID == design.GateDrive {
			d.Checks = d.Checks[1:]
		}
		for i := range d.Checks {
			design.Judge(&d.Checks[i])
		}
		design.Conclude(d)
		d.Values = []design.Value{{Key: design.RGate, V: 270, Unit: design.Ohm}, {Key: design.RPulldown, V: 3900, Unit: design.Ohm}}
		d.Choice.AddResistor(design.ChosenResistor{Key: design.RGate, Ohms: 270, Tol: 0.05})
		d.Choice.AddResistor(design.ChosenResistor{Key: design.RPulldown, Ohms: 3900, Tol: 0.05})
		d.Elements = []design.Element{
			{Ref: "V1", Role: design.RoleRail, Kind: "rail", Value: 12, Unit: design.V, HasValue: true, Nodes: []string{"rail", "ground"}},
			{Ref: "PIN", Role: design.RolePin, Kind: "pin", Value: 5, Unit: design.V, HasValue: true, Nodes: []string{"pin", "ground"}},
			{Ref: "LOAD", Role: design.RoleLoad, Kind: "solenoid", Value: 0.8, Unit: design.A, HasValue: true, Nodes: []string{"rail", "switch"}},
			{Ref: "Q1", Role: design.RoleSwitch, Kind: "mosfet", Part: r.Part, Nodes: []string{"gate", "switch", "ground"}},
			{Ref: "R1", Role: design.RoleDriveResistor, Kind: "resistor", Value: 270, Unit: design.Ohm, HasValue: true, Nodes: []string{"pin", "gate"}},
			{Ref: "R2", Role: design.RolePullDown, Kind: "resistor", Value: 3900, Unit: design.Ohm, HasValue: true, Nodes: []string{"pin", "ground"}},
		}
		d.BOM = []design.BOMLine{{Ref: "Q1", Part: r.Part, Count: 1, UnitPrice: design.Known(r.Cost.Amount.V)}}
		d.Cost = r.Cost
		d.Cautions = []string{design.CautionHot}
		fixes := make([][]engine.Fix, len(d.Checks))
		if r.Verdict == design.Over {
			fixes[len(fixes)-1] = []engine.Fix{
				{Kind: engine.FixJob, Field: "load.current", From: "800 mA", To: "170 mA", Value: 0.17, Unit: design.A},
				{Kind: engine.FixJob, Field: "rail.voltage", From: "12 V", To: "9 V", Value: 9, Unit: design.V, ThenFails: []design.CheckID{design.GateDrive}},
				{Kind: engine.FixValue, Field: "r_base", From: "1 kohm", To: "470 ohm", Value: 470, Unit: design.Ohm}}
		}
		return &engine.Detailed{Row: r, Design: d, Fixes: fixes,
			Load: engine.LoadResult{Name: "vent latch", Assumed: in.Job.Loads[0].Assumed}}, nil
	}
	return nil, fmt.Errorf("no such design: %s", key)
}

// open makes a screen on the demo job at a size, with every answer there.
func open(t *testing.T, ask Asker, w, h int) *Model {
	t.Helper()
	return openOn(t, job.Demo(), ask, w, h)
}

func openOn(t *testing.T, spec *job.Spec, ask Asker, w, h int) *Model {
	t.Helper()
	m := New(Options{Spec: spec, Catalog: &catalog.Catalog{Currency: "EUR"}, Policies: catalog.Policies(), NoColor: true, Asker: ask, Store: &shelf{files: map[string]string{}}})
	m.later = func(int) tea.Cmd { return nil }
	run(m, m.Init())
	send(m, tea.WindowSizeMsg{Width: w, Height: h})
	return m
}

// run runs a command and gives its messages to the screen until none is left.
func run(m *Model, cmd tea.Cmd) {
	if cmd == nil {
		return
	}
	switch msg := cmd().(type) {
	case nil, tea.QuitMsg:
	case tea.BatchMsg:
		for _, c := range msg {
			run(m, c)
		}
	default:
		send(m, msg)
	}
}

func send(m *Model, msg tea.Msg) {
	_, cmd := m.Update(msg)
	run(m, cmd)
}

var named = map[string]tea.KeyType{"up": tea.KeyUp, "down": tea.KeyDown, "left": tea.KeyLeft, "right": tea.KeyRight, "enter": tea.KeyEnter,
	"tab": tea.KeyTab, "shift+tab": tea.KeyShiftTab, "esc": tea.KeyEscape, "f1": tea.KeyF1, "f2": tea.KeyF2, "f3": tea.KeyF3, "pgup": tea.KeyPgUp, "pgdown": tea.KeyPgDown,
	"home": tea.KeyHome, "end": tea.KeyEnd, "ctrl+u": tea.KeyCtrlU, "ctrl+r": tea.KeyCtrlR, "ctrl+b": tea.KeyCtrlB, "ctrl+c": tea.KeyCtrlC, "ctrl+z": tea.KeyCtrlZ, "ctrl+y": tea.KeyCtrlY, "ctrl+n": tea.KeyCtrlN, "ctrl+o": tea.KeyCtrlO, "ctrl+g": tea.KeyCtrlG, "ctrl+k": tea.KeyCtrlK, "ctrl+l": tea.KeyCtrlL, "ctrl+x": tea.KeyCtrlX,
	"ctrl+s": tea.KeyCtrlS, "ctrl+t": tea.KeyCtrlT, "f4": tea.KeyF4, "f5": tea.KeyF5, "f6": tea.KeyF6, "f7": tea.KeyF7, "f8": tea.KeyF8, "backspace": tea.KeyBackspace}

// press sends keys by name; any other word is sent as the keys of its letters.
func press(m *Model, keys ...string) {
	for _, k := range keys {
		if kind, ok := named[k]; ok {
			send(m, tea.KeyMsg{Type: kind})
			continue
		}
		for _, r := range k {
			send(m, runeKey(r))
		}
	}
}

func runeKey(r rune) tea.KeyMsg {
	if r == ' ' {
		return tea.KeyMsg{Type: tea.KeySpace, Runes: []rune{' '}}
	}
	return tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{r}}
}

// must fails unless the screen shows a text.
func must(t *testing.T, m *Model, texts ...string) {
	t.Helper()
	view := m.View()
	for _, text := range texts {
		if !strings.Contains(view, text) {
			t.Errorf("%q is not on the screen:\n%s", text, view)
		}
	}
}

func mustNot(t *testing.T, m *Model, texts ...string) {
	t.Helper()
	view := m.View()
	for _, text := range texts {
		if strings.Contains(view, text) {
			t.Errorf("%q is on the screen:\n%s", text, view)
		}
	}
}

// toField moves the cursor to a field of the form.
func toField(t *testing.T, m *Model, path string) {
	t.Helper()
	for i := range m.job.fields {
		if m.job.fields[i].path == path {
			for m.job.at != i {
				if m.job.at < i {
					press(m, "down")
				} else {
					press(m, "up")
				}
			}
			return
		}
	}
	t.Fatalf("no field %s", path)
}

// shelf is a store in memory.
type shelf struct {
	files map[string]string
	fails error
}

func (s *shelf) Read(name string) ([]byte, error) {
	text, ok := s.files[name]
	if !ok {
		return nil, fs.ErrNotExist
	}
	return []byte(text), nil
}

func (s *shelf) Write(name string, text []byte) error {
	if s.fails != nil {
		return s.fails
	}
	s.files[name] = string(text)
	return nil
}

func (s *shelf) Comments(text []byte) bool { return strings.Contains(string(text), "#") }
