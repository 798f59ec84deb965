package tui

import (
	"fmt"
	"slices"
	"strings"

	"example.org/pinhoist/internal/job"
)

// Figures of a group that most jobs leave at their defaults stand behind one line
// of the form, which shows and hides them. It is no edit of the job.

const (
	morePath   = "more." // and the group
	moreShown  = "shown"
	moreHidden = "hidden"
)

// moreLine is the line that shows and hides the keys of a group, "" for a group that
// has none.
func (b *builder) moreLine(group, table, at string, keys []string) {
	var rest []string
	for _, k := range keys {
		if !b.has(at + "." + k) {
			rest = append(rest, k)
		}
	}
	if len(rest) == 0 {
		return
	}
	f := field{group: group, path: morePath + group, key: "more", label: "more figures", options: []string{moreHidden, moreShown}, text: moreHidden}
	for _, k := range rest {
		label, _ := describe(table, k)
		f.hides = append(f.hides, k)
		f.hint += ", " + label
	}
	f.hint = strings.TrimPrefix(f.hint, ", ")
	if b.more[group] {
		f.text = moreShown
	}
	b.fields = append(b.fields, f)
	if b.more[group] {
		for _, k := range rest {
			b.add(group, table, at, k)
		}
	}
}

// showMore shows or hides the figures behind a line.
func (p *jobPane) showMore(f *field, text string) {
	p.more[f.group] = text == moreShown
	p.rebuild()
}

// reveal moves the cursor to a field, out of those behind a line where it stands there,
// and reports whether there is such a field.
func (p *jobPane) reveal(path string) bool {
	for range 2 {
		for i := range p.fields {
			f := &p.fields[i]
			if f.path == path {
				p.focus(i)
				return true
			}
		}
		for i := range p.fields {
			f := &p.fields[i]
			_, key, _ := strings.Cut(path, ".")
			if slices.Contains(f.hides, key) && p.groupOf(path) == f.group {
				p.showMore(f, moreShown)
				break
			}
		}
	}
	return false
}

// groupOf is the group of the form that a path of the job belongs to.
func (p *jobPane) groupOf(path string) string {
	switch table, _, _ := strings.Cut(path, "."); {
	case table == "pin":
		return groupPin
	case strings.HasPrefix(table, "rail["):
		return groupRail
	}
	return groupLoad
}

// moreText says how much stands behind the line, and how much of it is assumed.
func (p *jobPane) moreText(f *field) string {
	if f.text == moreShown {
		return moreShown
	}
	text := fmt.Sprintf("%d hidden", len(f.hides))
	assumed := 0
	for _, k := range f.hides {
		if p.assumed(f.group, k) != "" {
			assumed++
		}
	}
	if assumed > 0 {
		text += fmt.Sprintf(", %d assumed", assumed)
	}
	return text
}

// assumed says why a figure is assumed for a key, "" where none is.
func (p *jobPane) assumed(group, key string) string {
	if p.taken == nil || p.load >= len(p.taken.Loads) {
		return ""
	}
	if group == groupRail {
		key = "rail." + key
	} else if group != groupLoad {
		return ""
	}
	for _, a := range p.taken.Loads[p.load].Assumed {
		if a.Field == key {
			return a.Why
		}
	}
	return ""
}

// whyHere says where what is in force for the field at the cursor comes from, "" where
// the person stated it.
func (p *jobPane) whyHere() string {
	f := &p.fields[p.at]
	switch text := p.drawsWhy(); {
	case f.err != "":
		return ""
	case ofCurrent(f) && text != "":
		return "it draws " + text
	case f.text != "":
		return ""
	}
	if why := p.assumed(f.group, f.key); why != "" {
		return "assumed: " + why
	}
	if inForce(f, p.taken, p.load) != "" {
		return "the default is taken: state it where yours differs"
	}
	return ""
}

// moreKeys are the keys of a load that stand behind its line, where they say
// something for this load.
func (b *builder) moreKeys(l *job.LoadSpec, info job.KindInfo) []string {
	cyclic := l.Mode == "pwm" || l.Mode == "cycle"
	winding := info.Inductive || l.Inductance.Known()
	separated := info.AC || l.Isolation != "" && l.Isolation != "none"
	switched := info.Kind != job.LogicInput
	var keys []string
	for _, k := range []struct {
		key  string
		want bool
	}{
		{"tolerance", true},
		{"tolerance_l", winding},
		{"voltage_min", true},
		{"off_current_max", switched},
		{"release_within", switched},
		{"release_current", true},
		{"inrush_factor", true},
		{"inrush_current", info.Inrush == job.InrushFactor || info.Inrush == job.InrushSupply},
		{"inrush_time", true},
		{"inrush_source", info.Inrush == job.InrushFactor || info.Inrush == job.InrushSupply},
		{"side", switched && !info.AC},
		{"ground", switched && !info.AC},
		{"duty_min", cyclic},
		{"duty_enforced", cyclic},
		{"isolation", true},
		{"overvoltage_category", separated},
		{"pollution_degree", separated},
		{"material_group", separated},
		{"quantity", true},
		{"pin_group", true},
		{"exclusive_with", len(b.spec.Loads) > 1},
		{"life", switched},
		{"operations_per_year", l.Life.Known()},
		{"stuck_on", switched},
		{"reversing", true},
		{"wire_length", true},
		{"wire_area", true},
		{"copper_area", switched},
		{"avalanche_events", winding && !info.AC},
	} {
		if k.want && matters(k.key, info) {
			keys = append(keys, k.key)
		}
	}
	return keys
}

// morePin are the keys of a pin that stand behind its line.
func morePin(p *job.PinSpec) []string {
	keys := []string{"output_resistance_max", "output_resistance_min", "sink_current_max", "peak_current_max", "leakage_max", "injection_current_max",
		"group_current_max", "total_current_max", "rail_current_max"}
	if p.AtReset == "" || p.AtReset == "unknown" || p.AtReset == "pull-up" {
		keys = slices.Insert(keys, 0, "reset_pull_min")
	}
	return keys
}

// ownSupply is the choice of a supply that no other load shares.
const ownSupply = "its own"

// feed changes what a load is fed from: a named supply, or one of its own with the
// voltage that it has.
func (p *jobPane) feed(name string) {
	l := &p.spec.Loads[p.load]
	if name != ownSupply && name != "" {
		l.Rail = name
		l.Supply, l.SupplyTolerance, l.Frequency = job.LoadSpec{}.Supply, job.LoadSpec{}.SupplyTolerance, job.LoadSpec{}.Frequency
		return
	}
	for i := range p.spec.Rails {
		if r := &p.spec.Rails[i]; r.Name == l.Rail {
			feedAlone(l, r)
		}
	}
	l.Rail = ""
}

// feedAlone gives a load a supply of its own, with the voltage of one of the job.
func feedAlone(l *job.LoadSpec, r *job.RailSpec) {
	l.Rail, l.Supply, l.SupplyTolerance, l.Frequency = "", r.Voltage, r.Tolerance, r.Frequency
}

// placed puts a complaint where it can be mended: a load that has a supply of its own
// lacks that supply's voltage, not the name of another one.
func (p *jobPane) placed(b problem) problem {
	if table, ok := strings.CutSuffix(b.path, ".rail"); ok && !b.warning {
		if rail, ok := job.Get(p.spec, b.path); ok && rail == "" {
			return problem{path: table + ".supply", text: "to be stated: a voltage, or another supply that feeds it"}
		}
	}
	return b
}

// noName says why a text is no name for a load or a supply, "" where it is one. What
// others say of it would be lost on the way to another name.
func (p *jobPane) noName(path, name string) string {
	rail := strings.HasPrefix(path, "rail[")
	taken := rail && name == job.PinRail
	for i := range p.spec.Rails {
		taken = taken || rail && p.spec.Rails[i].Name == name && path != fmt.Sprintf("rail[%d].name", i)
	}
	for i := range p.spec.Loads {
		taken = taken || !rail && p.spec.Loads[i].Name == name && path != fmt.Sprintf("load[%d].name", i)
	}
	switch {
	case name == "":
		return "to be stated: a name"
	case taken:
		return fmt.Sprintf("found %q, expected a name of its own", name)
	}
	return ""
}

// railRenamed keeps the loads on a supply that has another name now.
func (p *jobPane) railRenamed(from, to string) {
	for i := range p.spec.Loads {
		if p.spec.Loads[i].Rail == from {
			p.spec.Loads[i].Rail = to
		}
	}
}

// addRail adds a supply and feeds the load at hand from it: its own one where it has
// one, else a copy of the one it is on.
func (p *jobPane) addRail() bool {
	return p.edit(func() bool {
		if p.load >= len(p.spec.Loads) {
			return false
		}
		p.spec = job.Clone(p.spec)
		l := &p.spec.Loads[p.load]
		was := l.Rail
		p.feed(ownSupply)
		r := job.RailSpec{Name: p.freeRail(), Voltage: l.Supply, Tolerance: l.SupplyTolerance, Frequency: l.Frequency}
		for i := range p.spec.Rails {
			if p.spec.Rails[i].Name == was {
				name := r.Name
				r = p.spec.Rails[i]
				r.Name = name
			}
		}
		p.spec.Rails = append(p.spec.Rails, r)
		p.feed(r.Name)
		p.more[groupRail] = true // its name is there
		p.rebuild()
		p.focusPath(fmt.Sprintf("rail[%d].name", len(p.spec.Rails)-1))
		return true
	})
}

// railHere is the supply of the job that the field at the cursor belongs to, -1 for none.
func (p *jobPane) railHere() int { return p.railOf(&p.fields[p.at]) }

// railOf is railHere of any field.
func (p *jobPane) railOf(f *field) int {
	var i int
	switch n, _ := fmt.Sscanf(f.path, "rail[%d].", &i); {
	case n == 1:
		return i
	case f.group == groupRail && p.load < len(p.spec.Loads):
		return slices.IndexFunc(p.spec.Rails, func(r job.RailSpec) bool { return r.Name == p.spec.Loads[p.load].Rail })
	}
	return -1
}

// removeRail takes the supply at the cursor out of the job. Loads that hang on it keep
// its voltage as their own; what such a supply cannot state is said to be gone.
func (p *jobPane) removeRail() bool {
	at := p.railHere()
	if at < 0 {
		return false
	}
	return p.edit(func() bool {
		p.spec = job.Clone(p.spec)
		r := p.spec.Rails[at]
		var fed, lost []string
		for i := range p.spec.Loads {
			if l := &p.spec.Loads[i]; l.Rail == r.Name {
				feedAlone(l, &r)
				fed = append(fed, l.Name)
			}
		}
		for _, k := range job.Fields("rail") {
			text, _ := job.Get(p.spec, fmt.Sprintf("rail[%d].%s", at, k.Key))
			if label, _ := describe("rail", k.Key); text != "" && slices.Contains([]string{"current_max", "fault_current", "common"}, k.Key) {
				lost = append(lost, label+" "+text)
			}
		}
		p.spec.Rails = slices.Delete(p.spec.Rails, at, at+1)
		p.said = removed(r.Name, fed, lost)
		path := fmt.Sprintf("load[%d].rail", p.load)
		for i := range p.fields {
			if strings.HasPrefix(p.fields[i].path, "rail[") {
				p.fields[i].err = "" // another supply has its place now
			}
		}
		p.rebuild()
		p.focusPath(path)
		return true
	})
}

// removed says what became of a supply and of the loads that it fed.
func removed(rail string, fed, lost []string) string {
	text := clean(rail) + " is taken out"
	if len(fed) > 0 {
		text += "; its voltage is the own supply of " + clean(strings.Join(fed, ", "))
		if len(lost) > 0 {
			text += ", without " + clean(strings.Join(lost, ", "))
		}
	}
	return text + "; undo takes it back"
}

// freeRail is a name that no supply of the job has.
func (p *jobPane) freeRail() string {
	for n := len(p.spec.Rails) + 1; ; n++ {
		name := fmt.Sprintf("supply %d", n)
		if !slices.ContainsFunc(p.spec.Rails, func(r job.RailSpec) bool { return r.Name == name }) {
			return name
		}
	}
}

// others lists the supplies of the job that the load at hand does not hang on: coils,
// gates and level shifters may be fed from them.
func (b *builder) others(fed string) {
	for i := range b.spec.Rails {
		r := &b.spec.Rails[i]
		if r.Name == fed {
			continue
		}
		at := fmt.Sprintf("rail[%d]", i)
		b.table(groupOther+": "+r.Name, "rail", at, "voltage", "tolerance", "current_max")
	}
}
