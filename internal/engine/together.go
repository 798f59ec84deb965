package engine

import (
	"slices"

	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/job"
)

// pinsInGroup is how many pins share a group limit.
const pinsInGroup = 5

// maxExclusive bounds the exact search for what may be on at once; with more
// loads that exclude one another all count as on, which is never too little.
const maxExclusive = 20

// together picks the stage as built, else the cheapest that fits, for every
// load, and adds up what they ask of the pins, the groups and the rails.
func together(j *job.Job, loads []LoadResult) Together {
	var t Together
	var picked []demandOf
	for i := range loads {
		row := pick(&loads[i])
		if row == nil {
			t.Pick = append(t.Pick, "")
			continue
		}
		t.Pick = append(t.Pick, row.Key)
		k := slices.IndexFunc(j.Loads, func(l job.Load) bool { return l.Name == loads[i].Name })
		picked = append(picked, demandOf{row, &j.Loads[k], k})
	}
	if len(picked) > 0 {
		t.pins(j, picked)
		t.rails(j, picked)
	}
	for i := range t.Checks {
		t.Verdict = max(t.Verdict, t.Checks[i].Verdict)
	}
	return t
}

// demandOf is a picked row with its load and the load's place in the job.
type demandOf struct {
	row   *Row
	load  *job.Load
	place int
}

func (d *demandOf) stages() float64 { return float64(max(1, d.load.Quantity)) }

func pick(l *LoadResult) *Row {
	for i := range l.Rows {
		if l.Rows[i].Built || l.Rows[i].Verdict == design.Fits {
			return &l.Rows[i]
		}
	}
	return nil
}

func (t *Together) judge(id design.CheckID, stress, rating float64, because string) {
	c := design.Check{ID: id, Unit: design.A, Stress: design.Known(stress), Rating: design.Known(rating), Because: because, Source: "the job",
		Formula: "sum of what is on at once {stress}, the limit is {rating}"}
	design.Judge(&c)
	t.Checks = append(t.Checks, c)
}

// pins: the total, and the group with the most. Pins fill groups of five in the
// order of the loads' names, so that the order of the file does not matter,
// unless a load names its group.
func (t *Together) pins(j *job.Job, picked []demandOf) {
	current := func(d *demandOf) float64 { return max(d.row.PinSource, d.row.PinSink) }
	t.judge(design.PinTotal, most(picked, func(d *demandOf) float64 { return current(d) * d.stages() }), float64(j.Pin.TotalMax), "")
	type group struct {
		name string
		n    []float64 // pins of each picked load in it
	}
	var groups []group
	at := func(name string) *group {
		for i := range groups {
			if groups[i].name == name {
				return &groups[i]
			}
		}
		groups = append(groups, group{name, make([]float64, len(picked))})
		return &groups[len(groups)-1]
	}
	pin := 0
	for i := range picked {
		for range max(1, picked[i].load.Quantity) {
			name := picked[i].load.PinGroup
			if name == "" {
				name = string(rune('A' + pin/pinsInGroup%26))
				name = "pins " + name
				pin++
			}
			at(name).n[i]++
		}
	}
	worst, where := -1.0, ""
	for _, g := range groups {
		sum := most(picked, func(d *demandOf) float64 {
			i := slices.IndexFunc(picked, func(x demandOf) bool { return x.place == d.place })
			return current(d) * g.n[i]
		})
		if sum > worst {
			worst, where = sum, g.name
		}
	}
	t.judge(design.GroupTotal, worst, float64(j.Pin.GroupMax), where)
}

// rails: what each rail with a stated limit must give.
func (t *Together) rails(j *job.Job, picked []demandOf) {
	for _, r := range append([]job.Rail{j.Pin.Rail()}, j.Rails...) {
		limit, ok := r.CurrentMax.Get()
		if !ok {
			continue
		}
		sum := most(picked, func(d *demandOf) float64 {
			i := 0.0
			for _, x := range d.row.Draws {
				if x.Rail == r.Name {
					i += x.A
				}
			}
			if r.IsPin {
				i += d.row.PinSource
			}
			return i * d.stages()
		})
		t.judge(design.RailCurrent, sum, float64(limit), "rail "+r.Name)
	}
}

// most is the greatest sum of what may be on at once: all loads, but of those
// that exclude one another only a set that may be on together.
func most(picked []demandOf, of func(*demandOf) float64) float64 {
	free := 0.0
	var bound []*demandOf
	for i := range picked {
		if len(picked[i].load.ExclusiveWith) == 0 {
			free += of(&picked[i])
		} else {
			bound = append(bound, &picked[i])
		}
	}
	if len(bound) > maxExclusive {
		for _, d := range bound {
			free += of(d)
		}
		return free
	}
	return free + exclusiveMost(bound, nil, of)
}

func exclusiveMost(rest, on []*demandOf, of func(*demandOf) float64) float64 {
	if len(rest) == 0 {
		return 0
	}
	d := rest[0]
	best := exclusiveMost(rest[1:], on, of)
	for _, o := range on {
		if slices.Contains(o.load.ExclusiveWith, d.load.Name) {
			return best
		}
	}
	return max(best, of(d)+exclusiveMost(rest[1:], append(on[:len(on):len(on)], d), of))
}
