package tui

import (
	"strings"

	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/sheet"
)

// breakView lists what becomes of the stage when one element is left out or changed
// on paper, and tells of the one at the cursor what the checks then say.
type breakView struct {
	got []engine.Break
	at  int
	has bool
}

func (v *breakView) set(got []engine.Break) { *v = breakView{got: got, has: true} }

// Key takes one key.
func (v *breakView) Key(act action) { v.at = within(moved(v.at, 5, act), len(v.got)) }

// View draws it on w by h cells; nil before there is an answer.
func (v *breakView) View(st *styles, w, h int) []string {
	switch {
	case !v.has:
		return nil
	case len(v.got) == 0:
		return []string{" This stage has no element that could be left out or changed."}
	}
	list := min(len(v.got), max((h-1)/2, 2))
	top := follow(v.at-list/2, v.at, len(v.got), list)
	var out []string
	name := 0
	for i := range v.got {
		name = max(name, width(sheet.ChangeText(&v.got[i])))
	}
	name = min(name, max(w/2-4, 12))
	for i := top; i < top+list; i++ {
		out = append(out, v.line(st, i, name, w))
	}
	if rest := len(v.got) - top - list; rest > 0 {
		moreBelow(st, out, rest, w, v.at == top+list-1)
	}
	return append(out, window(v.detail(st, w), 0, h-len(out))...)
}

func (v *breakView) line(st *styles, i, name, w int) string {
	b := &v.got[i]
	mark := "   "
	text := fit(sheet.ChangeText(b), name)
	if i == v.at {
		mark, text = " > ", st.cursor.Render(text)
	}
	line := mark + text + "  " + st.verdict[b.Design.Verdict].Render(fit(verdictText(b.Design.Verdict), 10)) + "  "
	if names := worse(b); names != "" {
		return clip(line+names, w)
	}
	return clip(line+st.dim.Render(noneWorse), w)
}

const noneWorse = "no check is worse"

// worse names the checks that a change makes worse, "" for none.
func worse(b *engine.Break) string {
	names := make([]string, len(b.Worse))
	for i, x := range b.Worse {
		c := &b.Design.Checks[x.Check]
		names[i] = sheet.ShortCheck(c.ID, c.Stage)
	}
	return strings.Join(names, ", ")
}

// detail tells the checks that another element changes, the worse ones first.
func (v *breakView) detail(st *styles, w int) []string {
	b := &v.got[v.at]
	was := "was " + clean(b.Was)
	out := []string{" " + st.head.Render(clip(sheet.ChangeText(b)+"; it "+was+". What the checks then say:", w-1))}
	tell := func(x engine.Worse) {
		c := &b.Design.Checks[x.Check]
		stress, rating, allowed := sheet.Sides(c)
		if allowed == "" {
			allowed = rating
		}
		numbers := stress + " of " + allowed
		if c.NoSolution {
			numbers = "nothing limits it"
		}
		text := fit(sheet.ShortCheck(c.ID, c.Stage), 14) + " " + st.verdict[x.Before].Render(verdictText(x.Before)) + " to " + st.verdict[c.Verdict].Render(verdictText(c.Verdict)) + ": " + numbers
		out = append(out, clip("   "+text, w))
		why := c.Because
		if why == "" {
			why = sheet.CheckQuestion(c.ID)
		}
		out = append(out, wrapAt("     ", clean(why), w)...)
	}
	for _, x := range b.Worse {
		tell(x)
	}
	for _, x := range b.Better {
		tell(x)
	}
	if len(b.Worse)+len(b.Better) == 0 {
		out = append(out, "   Every check has the verdict it had.")
		if b.Design.Verdict == design.Fits {
			out = append(out, wrapAt("   ", "What it is there for may be no check of this job: think before leaving it out.", w)...)
		}
	}
	return out
}
