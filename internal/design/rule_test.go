package design

import (
	"math"
	"math/rand/v2"
	"testing"
)

// The rule of every verdict, row by row. Expected values are DERIVED: the rule is
// safe means stress <= rating, allowed = k*rating (temperatures: rating - below),
// the first row of the list that holds decides.

var none = Number{}

type ruleCase struct {
	name     string
	c        Check
	verdict  Verdict
	headroom Number
}

func kn(v float64) Number { return Known(v) }

func ruleCases() []ruleCase {
	inf, nan := math.Inf(1), math.NaN()
	less := math.Nextafter(1, 0)
	return []ruleCase{
		// Not a number: over, whatever else is known.
		{"stress is not a number", Check{Stress: kn(nan), Rating: kn(10)}, Over, kn(0)},
		{"rating is not a number", Check{Stress: kn(1), Rating: kn(nan)}, Over, kn(0)},
		{"rating is infinite", Check{Stress: kn(1), Rating: kn(inf)}, Over, kn(0)},
		{"stress is minus infinity", Check{Stress: kn(-inf), Rating: kn(1)}, Over, kn(0)},
		{"estimate of the stress is not a number", Check{Stress: kn(1), StressEstimate: kn(nan), Rating: kn(10)}, Over, kn(0)},
		{"estimate of the rating is not a number", Check{Stress: kn(1), RatingEstimate: kn(nan), Rating: kn(10)}, Over, kn(0)},
		{"easy stress is not a number", Check{Stress: kn(1), EasyStress: kn(nan), Rating: kn(10)}, Over, kn(0)},
		{"easy rating is not a number", Check{Stress: kn(1), EasyRating: kn(nan), Rating: kn(10)}, Over, kn(0)},
		{"policy factor is not a number", Check{Stress: kn(1), Rating: kn(10), K: nan}, Over, kn(0)},
		{"policy margin is not a number", Check{Stress: kn(1), Rating: kn(10), Below: nan, Temperature: true}, Over, kn(0)},
		{"ambient is not a number", Check{Stress: kn(50), Rating: kn(150), Ambient: kn(nan), Temperature: true}, Over, kn(0)},
		{"not a number comes before no solution", Check{Stress: kn(nan), NoSolution: true}, Over, kn(0)},
		{"an unknown number may hold anything", Check{Stress: kn(1), Rating: kn(2), RatingEstimate: Number{V: nan}}, Fits, kn(2)},

		// No solution: over, even where the numbers would pass.
		{"no solution", Check{Stress: kn(1), Rating: kn(10), NoSolution: true}, Over, kn(0)},
		{"no solution, nothing known", Check{NoSolution: true}, Over, kn(0)},
		{"no solution comes before a fallback", Check{Stress: kn(11), Rating: kn(10), NoSolution: true, Fallback: true}, Over, kn(0)},
		{"no solution comes before unknown", Check{Stress: kn(11), NoSolution: true}, Over, kn(0)},

		// Fits and tight.
		{"under the allowed value", Check{Stress: kn(4), Rating: kn(10), K: 0.8}, Fits, kn(2)},
		{"at the allowed value", Check{Stress: kn(8), Rating: kn(10), K: 0.8}, Fits, kn(1)},
		{"over the allowed value", Check{Stress: kn(9), Rating: kn(10), K: 0.8}, Tight, kn(8.0 / 9)},
		{"at the rating", Check{Stress: kn(10), Rating: kn(10), K: 0.8}, Tight, kn(0.8)},
		{"over the rating", Check{Stress: kn(12), Rating: kn(10), K: 0.8}, Over, kn(8.0 / 12)},
		{"without a factor at the rating", Check{Stress: kn(10), Rating: kn(10)}, Fits, kn(1)},
		{"without a factor over the rating", Check{Stress: kn(12.5), Rating: kn(10)}, Over, kn(0.8)},
		{"a failing estimate does not undo a proof", Check{Stress: kn(4), StressEstimate: kn(40), Rating: kn(10), RatingEstimate: kn(1)}, Fits, kn(2.5)},
		{"a fallback does not undo a pass", Check{Stress: kn(4), Rating: kn(10), Fallback: true}, Fits, kn(2.5)},

		// Twelve significant digits.
		{"13.2 is 12*(1 + 0.1)", Check{Stress: kn(12 * (1 + 0.1)), Rating: kn(13.2)}, Fits, kn(1)},
		{"equal to twelve digits", Check{Stress: kn(10 * (1 + 0.9e-12)), Rating: kn(10)}, Fits, kn(1)},
		{"not equal to twelve digits", Check{Stress: kn(10 * (1 + 3e-12)), Rating: kn(10)}, Over, kn(less)},
		{"tight equal to twelve digits", Check{Stress: kn(10 * (1 + 0.9e-12)), Rating: kn(10), K: 0.8}, Tight, kn(0.8)},
		{"just over the allowed value: under 1 all the same", Check{Stress: kn(8 * (1 + 3e-12)), Rating: kn(10), K: 0.8}, Tight, kn(less)},
		{"small numbers too", Check{Stress: kn(1e-9 * (1 + 3e-12)), Rating: kn(1e-9)}, Over, kn(less)},

		// A missing figure of a row that says over is a rating of nothing.
		{"a rating of nothing", Check{Stress: kn(1), Rating: kn(0)}, Over, kn(0)},
		{"nothing demanded of nothing", Check{Stress: kn(0), Rating: kn(0)}, Fits, none},

		// Unknown.
		{"nothing known", Check{}, Unproven, none},
		{"stress unknown", Check{Rating: kn(10)}, Unproven, none},
		{"rating unknown", Check{Stress: kn(1)}, Unproven, none},
		{"stress unknown, its estimate passes", Check{StressEstimate: kn(5), Rating: kn(10)}, Unproven, none},
		{"stress unknown, its estimate fails", Check{StressEstimate: kn(20), Rating: kn(10)}, Over, kn(0.5)},
		{"stress unknown, its estimate between allowed and rating", Check{StressEstimate: kn(9), Rating: kn(10), K: 0.8}, Unproven, none},
		{"rating unknown, its estimate passes", Check{Stress: kn(5), RatingEstimate: kn(10)}, Unproven, none},
		{"rating unknown, its estimate fails", Check{Stress: kn(20), RatingEstimate: kn(10)}, Over, kn(0.5)},
		{"both unknown, estimates pass", Check{StressEstimate: kn(5), RatingEstimate: kn(10)}, Unproven, none},
		{"both unknown, estimates fail", Check{StressEstimate: kn(20), RatingEstimate: kn(10)}, Over, kn(0.5)},
		{"both unknown, one estimate alone", Check{StressEstimate: kn(20)}, Unproven, none},
		{"an estimate never makes a pass", Check{StressEstimate: kn(1e-9), RatingEstimate: kn(1e9)}, Unproven, none},

		// A proven failure with an estimate that passes.
		{"fails by a bound, the estimate of the stress passes", Check{Stress: kn(20), StressEstimate: kn(5), Rating: kn(10)}, Unproven, none},
		{"fails by stairs, the estimate of the rating passes", Check{Stress: kn(5), Rating: kn(3), RatingEstimate: kn(7)}, Unproven, none},
		{"fails, and the estimate fails too", Check{Stress: kn(8), Rating: kn(3), RatingEstimate: kn(7)}, Over, kn(3.0 / 8)},

		// Assumed figures of the load at their easy end.
		{"would pass at the easy end", Check{Stress: kn(20), EasyStress: kn(5), Rating: kn(10)}, Unproven, none},
		{"fails at the easy end too", Check{Stress: kn(20), EasyStress: kn(15), Rating: kn(10)}, Over, kn(0.5)},
		{"easy rating", Check{Stress: kn(5), Rating: kn(3), EasyRating: kn(6)}, Unproven, none},
		{"easy rating that fails", Check{Stress: kn(7), Rating: kn(3), EasyRating: kn(6)}, Over, kn(3.0 / 7)},
		{"both at the easy end", Check{Stress: kn(20), EasyStress: kn(5), Rating: kn(3), EasyRating: kn(6)}, Unproven, none},
		{"only both together", Check{Stress: kn(20), EasyStress: kn(5), Rating: kn(3), EasyRating: kn(4)}, Over, kn(0.15)},
		{"an easy end does not make a fit", Check{EasyStress: kn(1), EasyRating: kn(10)}, Unproven, none},
		{"the estimate fails, the easy end passes", Check{Stress: kn(20), EasyStress: kn(5), RatingEstimate: kn(10)}, Unproven, none},

		// A bracket for a missing figure.
		{"fails by a bracket", Check{Stress: kn(20), Rating: kn(10), Fallback: true}, Unproven, none},
		{"fails by a bracket, and an estimate fails", Check{Stress: kn(20), StressEstimate: kn(15), Rating: kn(10), Fallback: true}, Over, kn(0.5)},
		{"tight by a bracket", Check{Stress: kn(9), Rating: kn(10), K: 0.8, Fallback: true}, Tight, kn(8.0 / 9)},

		// Temperatures: allowed = rating - below; headroom counts the rise above the air.
		{"junction", Check{Temperature: true, Stress: kn(82.5), Rating: kn(150), Below: 25, Ambient: kn(40)}, Fits, kn(2)},
		{"junction at the allowed value", Check{Temperature: true, Stress: kn(125), Rating: kn(150), Below: 25, Ambient: kn(40)}, Fits, kn(1)},
		{"junction between allowed and rating", Check{Temperature: true, Stress: kn(140), Rating: kn(150), Below: 25, Ambient: kn(40)}, Tight, kn(0.85)},
		{"junction over", Check{Temperature: true, Stress: kn(210), Rating: kn(150), Below: 25, Ambient: kn(40)}, Over, kn(0.5)},
		{"allowed at the air", Check{Temperature: true, Stress: kn(125), Rating: kn(150), Below: 25, Ambient: kn(125)}, Over, kn(0)},
		{"allowed under the air, stress not known", Check{Temperature: true, Rating: kn(150), Below: 25, Ambient: kn(130)}, Over, kn(0)},
		{"allowed under the air, saved by no bracket", Check{Temperature: true, Stress: kn(131), Rating: kn(150), Below: 25, Ambient: kn(130), Fallback: true}, Over, kn(0)},
		{"no rise", Check{Temperature: true, Stress: kn(40), Rating: kn(150), Below: 25, Ambient: kn(40)}, Fits, none},
		{"a factor does not scale a temperature", Check{Temperature: true, K: 0.5, Stress: kn(100), Rating: kn(150), Ambient: kn(0)}, Fits, kn(1.5)},
		{"frost", Check{Temperature: true, Stress: kn(-10), Rating: kn(150), Below: 25, Ambient: kn(-40)}, Fits, kn(5.5)},

		// The range of headroom.
		{"capped", Check{Stress: kn(1e-9), Rating: kn(1)}, Fits, kn(1000)},
		{"at the cap", Check{Stress: kn(1), Rating: kn(1000)}, Fits, kn(1000)},
		{"nothing demanded", Check{Stress: kn(0), Rating: kn(10)}, Fits, none},
		{"less than nothing demanded", Check{Stress: kn(-1), Rating: kn(10)}, Fits, none},
		{"rating under nothing", Check{Stress: kn(1), Rating: kn(-1)}, Over, kn(0)},
	}
}

func TestRule(t *testing.T) {
	for _, tc := range ruleCases() {
		c := tc.c
		Judge(&c)
		if c.Verdict != tc.verdict {
			t.Errorf("%s: %s, want %s", tc.name, c.Verdict, tc.verdict)
		}
		if c.Headroom.OK != tc.headroom.OK || c.Headroom.OK && math.Abs(c.Headroom.V-tc.headroom.V) > 1e-9*tc.headroom.V {
			t.Errorf("%s: headroom %+v, want %+v", tc.name, c.Headroom, tc.headroom)
		}
		if problem := inconsistent(&c); problem != "" {
			t.Errorf("%s: %s", tc.name, problem)
		}
	}
}

func TestRuleAllowed(t *testing.T) {
	for _, tc := range []struct {
		c    Check
		want Number
	}{
		{Check{Rating: kn(60), K: 0.8}, kn(48)},
		{Check{Rating: kn(60)}, kn(60)},
		{Check{Rating: kn(150), Below: 25, Temperature: true}, kn(125)},
		{Check{Rating: kn(-60), K: 0.8}, kn(-60)}, // never above the rating
		{Check{RatingEstimate: kn(60), K: 0.8}, none},
		{Check{Stress: kn(1)}, none},
	} {
		c := tc.c
		Judge(&c)
		if c.Allowed != tc.want {
			t.Errorf("%+v: allowed %+v, want %+v", tc.c, c.Allowed, tc.want)
		}
	}
}

func TestRuleNotANumberIsSaid(t *testing.T) {
	c := Check{Stress: kn(math.NaN()), Rating: kn(1), Because: "something else"}
	Judge(&c)
	if c.Because != NotANumber || c.Stress.OK || c.Rating.OK || c.Allowed.OK {
		t.Errorf("%+v", c)
	}
}

// Judging twice changes nothing, and nothing of an earlier judgement stays.
func TestRuleJudgedAgain(t *testing.T) {
	for _, tc := range ruleCases() {
		c := tc.c
		Judge(&c)
		first := [3]any{c.Verdict, c.Headroom, c.Allowed}
		if c.Because == NotANumber {
			continue
		}
		c.Verdict, c.Headroom, c.Allowed = Over, kn(77), kn(77)
		Judge(&c)
		if again := [3]any{c.Verdict, c.Headroom, c.Allowed}; again != first {
			t.Errorf("%s: %v, then %v", tc.name, first, again)
		}
	}
}

func TestAtMost(t *testing.T) {
	inf := math.Inf(1)
	for _, tc := range []struct {
		a, b float64
		want bool
	}{
		{1, 2, true}, {2, 1, false}, {1, 1, true}, {0, 0, true}, {-1, 0, true}, {0, -1, false},
		{1 + 9e-13, 1, true}, {1 + 2e-12, 1, false}, {1e6 * (1 + 9e-13), 1e6, true}, {1e-15, 0, false},
		{-1, -1 - 9e-13, true}, {-1, -1 - 2e-12, false},
		{1, inf, true}, {inf, 1, false}, {inf, inf, true}, {-inf, 1, true}, {math.NaN(), 1, false}, {1, math.NaN(), false},
	} {
		if got := AtMost(tc.a, tc.b); got != tc.want {
			t.Errorf("AtMost(%v, %v) = %v", tc.a, tc.b, got)
		}
	}
}

// inconsistent says what of a judged check contradicts itself.
func inconsistent(c *Check) string {
	h := c.Headroom
	switch {
	case h.OK && !(h.V >= 0 && h.V <= MaxHeadroom):
		return "headroom out of its range"
	case h.OK && c.Verdict == Fits && h.V < 1:
		return "fits with headroom under 1"
	case h.OK && c.Verdict != Fits && h.V >= 1:
		return "does not fit, with headroom of 1 or more"
	case h.OK && c.Verdict == Unproven:
		return "unproven with a headroom"
	case c.Verdict <= Tight && !(c.Stress.OK && c.Rating.OK):
		return "passes without a proof"
	}
	return ""
}

// randomCheck has values near each other, so that every row of the rule is met.
func randomCheck(r *rand.Rand) Check {
	number := func(known float64) Number {
		if r.Float64() >= known {
			return Number{}
		}
		if r.IntN(8) == 0 {
			return Known(float64(r.IntN(5)) * 25) // ends that meet exactly
		}
		return Known(r.Float64()*220 - 20)
	}
	c := Check{Stress: number(0.8), StressEstimate: number(0.4), Rating: number(0.8), RatingEstimate: number(0.4),
		EasyStress: number(0.2), EasyRating: number(0.2), Fallback: r.IntN(4) == 0, NoSolution: r.IntN(20) == 0}
	if r.IntN(3) == 0 {
		c.Temperature, c.Below, c.Ambient = true, float64(r.IntN(3))*20, number(0.8)
	} else {
		c.K = [...]float64{0, 0.5, 0.8, 1}[r.IntN(4)]
	}
	return c
}

// worseNeverBetter checks that a change that can only make things worse never makes
// the verdict better, in the order fits, tight, unproven, over.
func worseNeverBetter(t *testing.T, what string, change func(*rand.Rand, *Check)) {
	t.Helper()
	r := rand.New(rand.NewPCG(20, 26))
	seen := [4]int{}
	moved := 0
	for range 2000 {
		c := randomCheck(r)
		before, after := c, c
		change(r, &after)
		asked := after
		Judge(&before)
		Judge(&after)
		seen[before.Verdict]++
		if after.Verdict != before.Verdict {
			moved++
		}
		if after.Verdict < before.Verdict {
			t.Fatalf("%s: %s became %s\n%+v\n%+v", what, before.Verdict, after.Verdict, c, asked)
		}
		for _, j := range [...]*Check{&before, &after} {
			if problem := inconsistent(j); problem != "" {
				t.Fatalf("%s: %+v", problem, *j)
			}
		}
	}
	for v, n := range seen {
		if n < 50 {
			t.Errorf("%s: only %d of 2000 cases are %s", what, n, Verdict(v))
		}
	}
	if moved < 20 {
		t.Errorf("%s: only %d of 2000 verdicts moved", what, moved)
	}
}

func raise(r *rand.Rand, ns ...*Number) {
	up := r.Float64() * 100
	for _, n := range ns {
		if n.OK {
			n.V += up
		}
	}
}

func TestRuleRaisingStress(t *testing.T) {
	worseNeverBetter(t, "stress raised", func(r *rand.Rand, c *Check) { raise(r, &c.Stress) })
	worseNeverBetter(t, "every side of the stress raised", func(r *rand.Rand, c *Check) {
		raise(r, &c.Stress, &c.StressEstimate, &c.EasyStress)
	})
}

func TestRuleLoweringRating(t *testing.T) {
	worseNeverBetter(t, "every side of the rating lowered", func(r *rand.Rand, c *Check) {
		down := r.Float64() * 100
		for _, n := range [...]*Number{&c.Rating, &c.RatingEstimate, &c.EasyRating} {
			if n.OK {
				n.V -= down
			}
		}
	})
}

// A policy can only make a verdict worse.
func TestRulePolicyNeverHelps(t *testing.T) {
	worseNeverBetter(t, "a stricter policy", func(r *rand.Rand, c *Check) {
		if c.Temperature {
			c.Below += 40 * r.Float64()
			return
		}
		k := c.K
		if k == 0 {
			k = 1
		}
		c.K = k * (0.05 + 0.95*r.Float64())
	})
}

// What is no longer known never turns a stage that does not pass into one that does.
func TestRuleForgettingNeverPasses(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 3))
	for range 2000 {
		c := randomCheck(r)
		before, after := c, c
		for _, n := range [...]*Number{&after.Stress, &after.StressEstimate, &after.Rating, &after.RatingEstimate, &after.EasyStress, &after.EasyRating} {
			if r.IntN(3) == 0 {
				*n = Number{}
			}
		}
		Judge(&before)
		Judge(&after)
		if after.Verdict <= Tight && after.Verdict < before.Verdict {
			t.Fatalf("%s became %s\n%+v", before.Verdict, after.Verdict, c)
		}
	}
}

// of is a judged check.
func of(id CheckID, v Verdict, headroom float64) Check {
	c := Check{ID: id, Verdict: v}
	if headroom >= 0 {
		c.Headroom = Known(headroom)
	}
	return c
}

func TestConclude(t *testing.T) {
	const no = -1
	driver := of(OnCurrent, Fits, 1.5)
	driver.Stage = StageDriver
	for _, tc := range []struct {
		name     string
		checks   []Check
		verdict  Verdict
		headroom Number
		limiting int
	}{
		{"no checks", nil, Fits, none, -1},
		{"least margin", []Check{of(OnCurrent, Fits, 3), of(BlockingVoltage, Fits, 2), of(ClampPower, Fits, 4)}, Fits, kn(2), 1},
		{"sets and proofs do not count where all fits", []Check{of(PinCurrent, Fits, 1.01), of(StaysOff, Fits, 1.02), of(OnCurrent, Fits, 3)}, Fits, kn(3), 2},
		{"only proofs: no headroom", []Check{of(StaysOff, Fits, 1.5), of(GateDrive, Fits, 2)}, Fits, none, -1},
		{"a set that does not fit counts", []Check{of(OnCurrent, Fits, 3), of(PinCurrent, Tight, 0.9)}, Tight, kn(0.9), 1},
		{"margin that fits beside it does not limit", []Check{of(OnCurrent, Fits, 1.1), of(PinCurrent, Tight, 0.95), of(StaysOff, Tight, 0.9)}, Tight, kn(0.9), 2},
		{"unproven beats tight, null headroom", []Check{of(OnCurrent, Tight, 0.9), of(GateDrive, Unproven, no)}, Unproven, none, 1},
		{"over beats unproven", []Check{of(GateDrive, Unproven, no), of(OnCurrent, Over, 0.5), of(StaysOff, Fits, 2)}, Over, kn(0.5), 1},
		{"the least headroom among the worst", []Check{of(OnCurrent, Over, 0.5), of(StaysOff, Over, 0.3), of(PinCurrent, Tight, 0.1)}, Over, kn(0.1), 1},
		{"known headroom before none", []Check{of(PinCurrent, Over, no), of(OnCurrent, Over, 0.9)}, Over, kn(0.9), 1},
		{"equal headroom: the order of the ids", []Check{of(OnCurrent, Fits, 2), of(BlockingVoltage, Fits, 2)}, Fits, kn(2), 1},
		{"no headroom: the order of the ids", []Check{of(GateDrive, Unproven, no), of(StaysOff, Unproven, no)}, Unproven, none, 1},
		{"the design before its driver", []Check{driver, of(OnCurrent, Fits, 1.5)}, Fits, kn(1.5), 1},
		{"the driver decides too", []Check{of(ContactCurrent, Fits, 2), driver}, Fits, kn(1.5), 1},
		{"margins of which nothing is demanded", []Check{of(OnCurrent, Fits, no), of(ClampPower, Fits, no)}, Fits, none, 0},
	} {
		d := Design{Checks: tc.checks, Verdict: Over, Headroom: kn(5), Limiting: 9}
		Conclude(&d)
		if d.Verdict != tc.verdict || d.Headroom != tc.headroom || d.Limiting != tc.limiting {
			t.Errorf("%s: %s %+v limited by %d, want %s %+v %d", tc.name, d.Verdict, d.Headroom, d.Limiting, tc.verdict, tc.headroom, tc.limiting)
		}
	}
}

// Headroom of 1 and more and a design that fits go together, whatever the checks.
func TestConcludeAgrees(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 7))
	for range 2000 {
		d := Design{}
		for range 1 + r.IntN(5) {
			c := randomCheck(r)
			c.ID = CheckID(r.IntN(int(numChecks)))
			Judge(&c)
			d.Checks = append(d.Checks, c)
		}
		Conclude(&d)
		worst := Fits
		for i := range d.Checks {
			worst = max(worst, d.Checks[i].Verdict)
		}
		switch {
		case d.Verdict != worst:
			t.Fatalf("%s, the worst check is %s", d.Verdict, worst)
		case d.Verdict == Unproven && d.Headroom.OK:
			t.Fatal("an unproven design with a headroom")
		case d.Headroom.OK && (d.Verdict == Fits) != (d.Headroom.V >= 1):
			t.Fatalf("%s with headroom %g", d.Verdict, d.Headroom.V)
		case d.Verdict != Fits && (d.Limiting < 0 || d.Checks[d.Limiting].Verdict != d.Verdict):
			t.Fatalf("%s limited by %d", d.Verdict, d.Limiting)
		}
	}
}

func TestComplete(t *testing.T) {
	d := Design{
		Checks: []Check{of(OnCurrent, Fits, 2), {ID: StaysOff, Stage: StageDriver}},
		NA:     []NotApplicable{{ID: SafeArea}, {ID: PeakCurrent, Stage: StageDriver}},
	}
	owed := []CheckID{OnCurrent, SafeArea, StaysOff, PeakCurrent}
	Complete(&d, owed)
	Conclude(&d)
	got := map[CheckID]Verdict{}
	for _, c := range d.Checks[2:] {
		got[c.ID] = c.Verdict
		if c.Because == "" || c.Stage != StageSelf || c.Headroom.OK {
			t.Errorf("%+v", c)
		}
	}
	// What a driver made, or does not need, is not what the stage owes.
	if len(got) != 2 || got[StaysOff] != Unproven || got[PeakCurrent] != Unproven {
		t.Errorf("added %v", got)
	}
	if d.Verdict != Unproven || d.Headroom.OK {
		t.Errorf("%s %+v", d.Verdict, d.Headroom)
	}
	before := len(d.Checks)
	Complete(&d, owed)
	if len(d.Checks) != before {
		t.Error("a check that was added is added again")
	}
}

func TestCheckNames(t *testing.T) {
	seen := map[string]bool{}
	for i, id := range CheckIDs() {
		name := id.String()
		if name == "" || seen[name] || int(id) != i {
			t.Errorf("check %d is named %q", i, name)
		}
		seen[name] = true
		if back, ok := CheckByName(name); !ok || back != id {
			t.Errorf("%s is found as %v", name, back)
		}
	}
	if _, ok := CheckByName("no-such-check"); ok {
		t.Error("a check that does not exist is found")
	}
}

func TestNeeds(t *testing.T) {
	var c Check
	c.Needs("a")
	c.Needs("b")
	c.Needs("a")
	if f := c.Figures(); len(f) != 2 || f[0] != "a" || f[1] != "b" {
		t.Errorf("figures %v", f)
	}
	u := c
	u.Needs("c")
	v := c
	v.Needs("d")
	if f := u.Figures(); len(f) != 3 || f[2] != "c" || len(c.Figures()) != 2 {
		t.Errorf("a copy shares figures: %v, %v", f, c.Figures())
	}
	brief := Check{Brief: true}
	brief.Needs("a")
	brief.SetArgs(Arg{Name: "x"})
	brief.SetCorner(CornerValue{Name: "rail"})
	if len(brief.Figures()) != 0 || len(brief.Args()) != 0 || len(brief.Corner()) != 0 {
		t.Errorf("%+v", brief)
	}
}

func TestCautions(t *testing.T) {
	ids := []string{CautionHazard, CautionStored, CautionCharge, CautionMoves, CautionReset, CautionStuck, CautionFuse, CautionFuseWire, CautionFuseIdles,
		CautionNoMargin, CautionHot, CautionTabLive, CautionRailUnknown, CautionLimits}
	order := map[int]string{}
	for _, id := range ids {
		if CautionText(id) == "" {
			t.Errorf("%s has no text", id)
		}
		if other, ok := order[CautionOrder(id)]; ok {
			t.Errorf("%s and %s have one place", id, other)
		}
		order[CautionOrder(id)] = id
	}
	for _, id := range ids[1:] {
		if CautionOrder(id) < CautionOrder(CautionHazard) {
			t.Errorf("%s comes before the hazard of the rail", id)
		}
	}
	for _, id := range ids {
		if CautionOrder("no-such-caution") < CautionOrder(id) {
			t.Errorf("what nobody knows comes before %s", id)
		}
	}
}
