package tui

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"unicode/utf8"
)

// Keys are keys of a person's own: by place, then by action, the keys as the
// toolkit names them ("ctrl+s", "f5", "pgdown", "x").
type Keys map[string]map[string][]string

// modeNames are the places of Keys.
var modeNames = [numModes]string{"job", "parts", "design", "filters", "text", "page", "leave", "fixes", "plot", "name", "doubt", "start", "tour", "lose", "what-if", "drive", "broken", "compare", "margins", "own", "own-doubt"}

// actionNames are the actions of Keys.
var actionNames = map[action]string{
	actKill: "kill", actNext: "next", actBack: "back", actQuit: "quit", actHelp: "help", actWords: "words", actCautions: "cautions",
	actNextLoad: "next-load", actUp: "up", actDown: "down", actPageUp: "page-up", actPageDown: "page-down", actTop: "top", actBottom: "bottom",
	actLeft: "left", actRight: "right", actEnter: "enter", actClear: "clear", actRestore: "restore", actUndo: "undo", actRedo: "redo",
	actAddLoad: "add-load", actCopyLoad: "copy-load", actRemoveLoad: "remove-load", actAddRail: "add-supply", actRemoveRail: "remove-supply", actOpen: "open", actOrder: "order", actFilters: "filters",
	actText: "text", actNotServed: "not-served", actSection: "section", actSectionBack: "section-back", actExpand: "expand",
	actNextPart: "next-part", actPrevPart: "part-before", actClose: "close", actSave: "save", actFixes: "fixes", actTry: "try",
	actPlot: "plot", actTogether: "together", actCopy: "copy", actExport: "export", actStart: "start", actField: "field", actTour: "tour", actTourNext: "next-step", actTourBack: "step-before", actSaveAs: "save-as", actOwn: "own", actSaveOwn: "save-part", actYes: "yes", actNo: "no",
	actSweep: "what-if", actDrive: "drive", actBreaks: "break", actCompare: "compare", actMargins: "margins", actBands: "bands", actMark: "mark",
	actBuild: "as-built", actWider: "wider", actNarrower: "narrower",
}

// rebind is the key table with keys of a person's own in it. Whatever is wrong with
// them comes back at once, each in a line; then there is no table.
func rebind(own Keys) ([]binding, []string) {
	table := slices.Clone(bindings)
	var wrong []string
	for _, place := range slices.Sorted(maps.Keys(own)) {
		at := mode(slices.Index(modeNames[:], place))
		if !slices.Contains(modeNames[:], place) {
			wrong = append(wrong, fmt.Sprintf("[%s]: found no such place, expected one of %s", clean(place), strings.Join(modeNames[:], ", ")))
			continue
		}
		for _, name := range slices.Sorted(maps.Keys(own[place])) {
			wrong = append(wrong, rebindOne(table, at, name, own[place][name])...)
		}
	}
	wrong = append(wrong, clashes(table)...)
	if len(wrong) > 0 {
		return nil, wrong
	}
	return table, nil
}

// rebindOne gives one action other keys.
func rebindOne(table []binding, at mode, name string, keys []string) (wrong []string) {
	where := modeNames[at] + "." + clean(name)
	i := slices.IndexFunc(table, func(b binding) bool { return b.mode == at && actionNames[b.act] == name })
	switch {
	case i < 0:
		return []string{fmt.Sprintf("%s: found no such action, expected one of %s", where, strings.Join(actionsOf(table, at), ", "))}
	case table[i].act == actKill:
		return []string{where + ": Ctrl+C always leaves, and cannot be given away"}
	case len(keys) == 0:
		return []string{where + ": found no key, expected at least one"}
	}
	for _, k := range keys {
		switch {
		case k == "" || clean(k) != k:
			wrong = append(wrong, fmt.Sprintf("%s: found %q, expected the name of a key", where, k))
		case at.typing() && utf8.RuneCountInString(k) == 1:
			wrong = append(wrong, fmt.Sprintf("%s: found %q, which is text there; expected a key that types nothing", where, k))
		}
	}
	table[i].keys, table[i].label = keys, strings.Join(keys, " ")
	return wrong
}

func actionsOf(table []binding, at mode) []string {
	var names []string
	for _, b := range table {
		if b.mode == at && b.act != actKill {
			names = append(names, actionNames[b.act])
		}
	}
	return names
}

// clashes lists keys that mean two things in one place.
func clashes(table []binding) (wrong []string) {
	for at := range numModes {
		by := map[string]action{}
		for _, b := range table {
			if b.mode != at {
				continue
			}
			for _, k := range b.keys {
				if other, twice := by[k]; twice {
					wrong = append(wrong, fmt.Sprintf("%s: the key %q means both %s and %s; give one of them another", modeNames[at], clean(k), actionNames[other], actionNames[b.act]))
					continue
				}
				by[k] = b.act
			}
		}
	}
	return wrong
}

// CheckKeys returns what is wrong with keys of a person's own, a line each.
func CheckKeys(own Keys) []string {
	_, wrong := rebind(own)
	return wrong
}
