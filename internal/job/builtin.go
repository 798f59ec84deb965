package job

import "embed"

// BuiltIn is a job that comes with the program, to start from.
type BuiltIn struct {
	Name string // one word
	Text []byte // its file
	Spec *Spec
}

//go:embed builtin/*.toml
var builtinTexts embed.FS

// builtinNames are the built-in jobs beside the demo, in the order shown: easy ones
// first, the mains last.
var builtinNames = [...]string{"strip", "lamp", "valve", "pump", "relay", "input", "heater"}

// BuiltIns returns the jobs that come with the program, the demo first.
func BuiltIns() []BuiltIn {
	jobs := []BuiltIn{{"demo", DemoText(), Demo()}}
	for _, name := range builtinNames {
		text, err := builtinTexts.ReadFile("builtin/" + name + ".toml")
		if err != nil {
			panic("job: " + err.Error())
		}
		spec, errs := Decode(name, text)
		if errs.Fatal() {
			panic("job: built-in " + name + " cannot be read: " + errs.Error())
		}
		jobs = append(jobs, BuiltIn{name, text, spec})
	}
	return jobs
}

// Blank is a job of which nothing is said: a pin by default, and one load on a supply
// of its own whose figures are for the person to state.
func Blank() *Spec {
	return &Spec{Loads: []LoadSpec{{Name: "load", Kind: string(Resistive)}}}
}
