package tui

import (
	"regexp"
	"strings"

	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/sheet"
)

// labelOf is what the form calls a field of the job, by its path: "load[0].current" is
// "current", "rail[1].voltage" "voltage of its supply".
func labelOf(path string) string {
	at := strings.LastIndexByte(path, '.')
	if at < 0 {
		return path
	}
	table, key := path[:at], path[at+1:]
	if i := strings.IndexAny(table, "[."); i >= 0 {
		table = table[:i]
	}
	if strings.HasSuffix(path[:at], ".built") {
		return strings.ReplaceAll(key, "_", " ") + " as built"
	}
	label, _ := describe(table, key)
	label = strings.TrimPrefix(label, "or ")
	if table == "rail" {
		label += " of its supply"
	}
	return label
}

// asKeys finds what a sheet calls by its key in files: fields of a job, and checks.
var asKeys = regexp.MustCompile(`\b(?:load|rail|pin|environment)(?:\[\d+\])?\.[a-z_]+\b|\b[a-z]+(?:-[a-z]+)+\b`)

var checkNames = func() map[string]string {
	names := map[string]string{}
	for _, id := range design.CheckIDs() {
		names[id.String()] = sheet.ShortCheck(id, design.StageSelf)
	}
	return names
}()

// asValues finds values of a stage by their names in files and machine output.
var asValues = regexp.MustCompile(`\b[a-z]_[a-z_]+\b`)

// valueInWords is what a value is, for its name; a name that is no value's stays.
func valueInWords(name string) string {
	words, _, _ := strings.Cut(sheet.ValueText(design.ValueKey(name)), ",")
	switch {
	case words == "":
		return name
	case strings.HasPrefix(name, "r_"): // an element
		return words
	}
	return `"` + words + `"`
}

// inWords is a text of a sheet in the words of the screen.
func inWords(text string) string {
	text = asValues.ReplaceAllStringFunc(text, valueInWords)
	text = asKeys.ReplaceAllStringFunc(text, func(key string) string {
		if short, ok := checkNames[key]; ok {
			return short
		}
		if strings.Contains(key, ".") {
			return labelOf(key)
		}
		return key
	})
	return strings.Replace(text, "write your part in a file and ask again with --catalog", "enter your part, with "+ownKey+", and it is judged", 1)
}

const ownKey = "a on Parts"
