package main

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"slices"
	"strings"

	"github.com/charmbracelet/lipgloss"
	"github.com/muesli/termenv"
	"github.com/spf13/cobra"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/design"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/sheet"
	"example.org/pinhoist/internal/source"
	"example.org/pinhoist/internal/topology"
)

// task is one command's flags and what they load.
type task struct {
	*app
	catalogs    []string
	catalogOnly bool
	policyName  string
	pin         string
	format      string
	color       string
	ascii       bool
	plain       bool
	mouse       bool
	ground      string
	keysName    string

	jobName string
	jobText []byte
	spec    *job.Spec
	input   engine.Input
}

// inputFlags are those of every command that asks the engine.
func (t *task) inputFlags(c *cobra.Command) {
	t.catalogFlags(c)
	c.Flags().StringVar(&t.policyName, "policy", "", "derating policy: bench, none, eee-inst-002, ecss or a `FILE` (default: the job's)")
	c.Flags().StringVar(&t.pin, "pin", "", "take this `PIN` instead of the job's: "+strings.Join(job.PinPresets(), ", "))
}

func (t *task) catalogFlags(c *cobra.Command) {
	c.Flags().StringArrayVar(&t.catalogs, "catalog", nil, "add parts from `FILE`; may be given again")
	c.Flags().BoolVar(&t.catalogOnly, "catalog-only", false, "leave the built-in parts out")
}

func (t *task) formatFlag(c *cobra.Command, formats string) {
	c.Flags().StringVar(&t.format, "format", "text", "output `FORM`: "+formats)
}

func (t *task) colourFlag(c *cobra.Command) {
	c.Flags().StringVar(&t.color, "color", "auto", "colours `WHEN`: auto, always or never")
}

// The words of flags.
var (
	policyWords = []string{"bench", "none", "eee-inst-002", "ecss"}
	colourWords = []string{"auto", "always", "never"}
	groundWords = []string{"auto", "dark", "light"}
	rankForms   = []string{"text", "json", "csv", "markdown"}
	sheetForms  = []string{"text", "markdown", "json"}
	partsForms  = []string{"text", "json", "csv"}
	orderWords  = []string{"cost", "headroom", "heat", "parts", "turn-off"}
	kindWords   = []string{"bjt", "mosfet", "relay", "ssr", "module", "array", "pin"}
	sideWords   = []string{"low", "high"}
	mountWords  = []string{"through-hole", "surface", "panel", "socket"}
)

// oneOf refuses a flag's word that is not in a list.
func oneOf(flag, word string, list ...string) error {
	for _, w := range list {
		if w == word {
			return nil
		}
	}
	return badf("--%s: found %q, expected %s", flag, word, strings.Join(list, ", "))
}

// flagWords are the words that a flag may have.
type flagWords struct {
	flag string
	list []string
}

// complete offers the words of flags to the shell.
func complete(c *cobra.Command, flags ...flagWords) {
	for _, f := range flags {
		if err := c.RegisterFlagCompletionFunc(f.flag, cobra.FixedCompletions(f.list, cobra.ShellCompDirectiveNoFileComp)); err != nil {
			panic(err) // no such flag
		}
	}
}

// completePolicy offers the policies and files, and the pins.
func completePolicy(c *cobra.Command) {
	complete(c, flagWords{"policy", policyWords}, flagWords{"pin", job.PinPresets()})
}

// completeFromCatalog offers what the catalogue holds, with the files given.
func (t *task) completeFromCatalog(c *cobra.Command, flag string, words func(*catalog.Catalog) []string) {
	err := c.RegisterFlagCompletionFunc(flag, func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		cat, _ := t.loadCatalog()
		if cat == nil {
			return nil, cobra.ShellCompDirectiveNoFileComp
		}
		return words(cat), cobra.ShellCompDirectiveNoFileComp
	})
	if err != nil {
		panic(err) // no such flag
	}
}

func switchIDs(c *catalog.Catalog) []string {
	var ids []string
	for _, p := range c.Switches() {
		ids = append(ids, p.Base().ID)
	}
	return ids
}

func packageNames(c *catalog.Catalog) []string {
	var names []string
	for _, p := range c.Switches() {
		if name := p.Base().Package; !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	return names
}

// tomlFiles completes an argument with TOML files.
func tomlFiles(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
	return []string{"toml"}, cobra.ShellCompDirectiveFilterFileExt
}

// optional is oneOf for a flag that may be left out.
func optional(flag, word string, list ...string) error {
	if word == "" {
		return nil
	}
	return oneOf(flag, word, list...)
}

// load reads the catalogue, the job ("" is the built-in one, "-" standard input)
// and the policy. Everything wrong with the files is told at once.
func (t *task) load(name string) error {
	var errs source.Errors
	cat, err := t.loadCatalog()
	if err := gather(&errs, err); err != nil {
		return err
	}
	j, err := t.loadJob(name)
	if err := gather(&errs, err); err != nil {
		return err
	}
	policy := t.policyName
	if policy == "" && j != nil {
		policy = j.PolicyName
	}
	p, err := loadPolicy(policy)
	if err := gather(&errs, err); err != nil {
		return err
	}
	if errs.Fatal() {
		return errs
	}
	t.complain(errs)
	t.input = engine.Input{Job: j, Spec: t.spec, Catalog: cat, Policy: p}
	return nil
}

// gather collects what is wrong with files and passes any other error on.
func gather(errs *source.Errors, err error) error {
	var more source.Errors
	if err == nil || errors.As(err, &more) {
		*errs = append(*errs, more...)
		return nil
	}
	return err
}

// loadCatalog returns a catalogue beside its warnings, which are an error too.
func (t *task) loadCatalog() (*catalog.Catalog, error) {
	if t.catalogOnly && len(t.catalogs) == 0 {
		return nil, badf("--catalog-only leaves no parts; add --catalog FILE")
	}
	if len(t.catalogs) == 0 {
		return catalog.Embedded()
	}
	sources, err := t.catalogSources(t.catalogs)
	if err != nil {
		return nil, err
	}
	cat, errs := catalog.Load(sources)
	return cat, orNil(errs)
}

// orNil is errs as an error, nil when there are none.
func orNil(errs source.Errors) error {
	if len(errs) == 0 {
		return nil
	}
	return errs
}

func (t *task) catalogSources(files []string) ([]catalog.Source, error) {
	var sources []catalog.Source
	if !t.catalogOnly {
		embedded, err := catalog.EmbeddedSources()
		if err != nil {
			return nil, err
		}
		sources = embedded
	}
	for _, name := range files {
		text, err := t.read(name)
		if err != nil {
			return nil, err
		}
		if kindOf(name, text) == jobFile {
			return nil, badf("%s: found a job, expected a catalogue of parts; a job is given without a flag", name)
		}
		sources = append(sources, catalog.Source{Name: name, Text: text})
	}
	return sources, nil
}

func (t *task) loadJob(name string) (*job.Job, error) {
	t.jobName = name
	text := job.DemoText()
	shown := "demo"
	if name != "" {
		var err error
		if text, err = t.read(name); err != nil {
			return nil, err
		}
		t.jobText = text
		shown = name
		if name == "-" {
			shown = "stdin"
		}
	}
	if kindOf(shown, text) == catalogFile && holdsParts(shown, text) {
		return nil, badf("%s: found a catalogue of parts, expected a job; parts are given with --catalog", shown)
	}
	spec, j, errs := job.Read(shown, text, topologyIDs()...)
	if t.pin != "" && spec != nil && !errs.Fatal() {
		if err := job.SetPinPreset(spec, t.pin); err != nil {
			return nil, badf("--%v", err)
		}
		j, errs = job.Resolve(spec)
	}
	t.spec = spec
	return j, orNil(errs)
}

func topologyIDs() []string {
	var ids []string
	for _, t := range topology.All() {
		ids = append(ids, t.ID())
	}
	return ids
}

// loadPolicy finds a policy by its name, else in a file.
func loadPolicy(name string) (*catalog.Policy, error) {
	if name == "" {
		name = "bench"
	}
	p, err := catalog.PolicyByName(name)
	if err == nil {
		return p, nil
	}
	text, ferr := readFile(name)
	if ferr != nil {
		if !strings.ContainsAny(name, "./\\") {
			return nil, badInput{err} // it was meant as a name
		}
		return nil, ferr
	}
	p, errs := catalog.LoadPolicy(name, text)
	return p, orNil(errs)
}

// read reads a file, or standard input for "-".
func (t *task) read(name string) ([]byte, error) {
	if name == "-" {
		text, err := readAll(t.in)
		if err != nil {
			return nil, badf("standard input: %w", err)
		}
		return text, nil
	}
	return readFile(name)
}

func readFile(name string) ([]byte, error) {
	f, err := os.Open(name)
	if err != nil {
		return nil, fileError(name, err)
	}
	defer f.Close()
	text, err := readAll(f)
	if err != nil {
		return nil, fileError(name, err)
	}
	return text, nil
}

func fileError(name string, err error) error {
	var path *fs.PathError
	if errors.As(err, &path) {
		err = path.Err
	}
	return badf("%s: %w", name, err)
}

// readAll reads one byte more than any file may have, so that one that is too
// large is seen to be.
func readAll(r io.Reader) ([]byte, error) { return io.ReadAll(io.LimitReader(r, source.MaxBytes+1)) }

// paint returns the colours of verdicts, nil for none.
func (t *task) paint() (sheet.Paint, error) {
	if err := oneOf("color", t.color, colourWords...); err != nil {
		return nil, err
	}
	if t.color == "never" || t.color == "auto" && (t.noColour || !t.colour) {
		return nil, nil
	}
	r := lipgloss.NewRenderer(t.out)
	r.SetColorProfile(termenv.ANSI)
	var styles [design.Over + 1]lipgloss.Style
	for v, colour := range [...]string{design.Fits: "2", design.Tight: "3", design.Unproven: "6", design.Over: "1"} {
		styles[v] = r.NewStyle().Foreground(lipgloss.Color(colour))
	}
	return func(v design.Verdict, s string) string { return styles[v].Render(s) }, nil
}

// hint is the command that tells a design in full.
func (t *task) hint() string {
	words := []string{"pinhoist", "sheet"}
	switch t.jobName {
	case "":
	case "-": // standard input has been read: a file is needed now
		words = append(words, "JOB")
	default:
		words = append(words, sheet.Quote(t.jobName))
	}
	for _, c := range t.catalogs {
		words = append(words, "--catalog "+sheet.Quote(c))
	}
	if t.catalogOnly {
		words = append(words, "--catalog-only")
	}
	if t.policyName != "" {
		words = append(words, "--policy "+sheet.Quote(t.policyName))
	}
	if t.pin != "" {
		words = append(words, "--pin "+sheet.Quote(t.pin))
	}
	return strings.Join(words, " ")
}

// verdictCode is 0 where all fits.
func verdictCode(fits bool) int {
	if fits {
		return exitFits
	}
	return exitNoFit
}
