package main

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/source"
)

func (a *app) lintCommand() *cobra.Command {
	t := &task{app: a}
	c := &cobra.Command{
		ValidArgsFunction: tomlFiles,

		Use:   "lint FILE...",
		Short: "Check catalogue, job and policy files",
		Long: `lint reads catalogue, job and policy files (it sees which from what is in them)
and tells every error and warning with its line, column and key. Catalogue files
are checked together with the built-in parts unless --catalog-only.

Exit codes: 0 no error (warnings may be), 2 errors.`,
		Args: func(c *cobra.Command, args []string) error {
			if len(args) == 0 {
				return badf("found no file, expected FILE...; see %s --help", c.CommandPath())
			}
			return nil
		},
		RunE: func(_ *cobra.Command, args []string) error { return t.lint(args) },
	}
	c.Flags().BoolVar(&t.catalogOnly, "catalog-only", false, "leave the built-in parts out")
	return c
}

func (t *task) lint(files []string) error {
	var errs source.Errors
	var parts []catalog.Source
	var jobs []linted
	for _, name := range files {
		text, err := t.read(name)
		if err != nil {
			return err
		}
		shown := name
		if name == "-" {
			shown = "stdin"
		}
		switch kindOf(shown, text) {
		case jobFile:
			spec, _, more := job.Read(shown, text, topologyIDs()...)
			errs = append(errs, more...)
			jobs = append(jobs, linted{shown, text, spec})
		case policyFile:
			_, more := catalog.LoadPolicy(shown, text)
			errs = append(errs, more...)
		default:
			parts = append(parts, catalog.Source{Name: shown, Text: text})
		}
	}
	cat, more, err := t.lintParts(parts)
	if err != nil {
		return err
	}
	errs = append(errs, more...)
	for _, j := range jobs {
		errs = append(errs, unknownParts(j, cat)...)
	}
	errs.Sort()
	if errs.Fatal() {
		return errs
	}
	t.complain(errs)
	return t.print(lintSummary(len(files), len(errs)))
}

// linted is a job on its way through lint.
type linted struct {
	name string
	text []byte
	spec *job.Spec
}

// lintParts checks catalogue files with the built-in parts, and is the catalogue of all of
// them, nil where they are not one.
func (t *task) lintParts(parts []catalog.Source) (*catalog.Catalog, source.Errors, error) {
	if len(parts) == 0 {
		cat, err := catalog.Embedded()
		return cat, nil, err
	}
	all, err := t.catalogSources(nil)
	if err != nil {
		return nil, nil, err
	}
	all = append(all, parts...)
	cat, _ := catalog.Load(all)
	return cat, catalog.Lint(all), nil
}

// unknownParts warns of parts of stages as built that are neither built in nor in a
// catalogue file that is checked with the job: they may be in one that is given with
// --catalog later.
func unknownParts(j linted, cat *catalog.Catalog) (errs source.Errors) {
	if cat == nil || j.spec == nil || !slices.ContainsFunc(j.spec.Loads, func(l job.LoadSpec) bool { return l.Built != nil }) {
		return nil
	}
	doc, _ := source.Parse(j.name, j.text)
	if doc == nil {
		return nil
	}
	spec := j.spec
	for i := range spec.Loads {
		b := spec.Loads[i].Built
		if b == nil {
			continue
		}
		for _, said := range [...][2]string{{"part", b.Part}, {"clamp", b.Clamp}, {"heat_sink", b.HeatSink}, {"insulator", b.Insulator}, {"shifter", b.Shifter},
			{"gate_clamp", b.GateClamp}, {"driver", b.Driver}, {"snubber", b.Snubber}, {"fuse", b.Fuse}, {"limiter", b.Limiter}} {
			for _, id := range strings.Split(said[1], "+") {
				if id == "" || id == "none" || id == catalog.PinID {
					continue
				}
				if _, ok := cat.Part(id); !ok {
					errs = append(errs, doc.Warnf(fmt.Sprintf("load[%d].built.%s", i, said[0]), strconv.Quote(id), "a part that is built in, or the file that has it: named here too, and with --catalog later"))
				}
			}
		}
	}
	return errs
}

func lintSummary(files, warnings int) string {
	text := fmt.Sprintf("%d files", files)
	if files == 1 {
		text = "1 file"
	}
	switch warnings {
	case 0:
		return text + ", no errors, no warnings\n"
	case 1:
		return text + ", no errors, 1 warning\n"
	}
	return fmt.Sprintf("%s, no errors, %d warnings\n", text, warnings)
}

// fileKind is what a file holds.
type fileKind uint8

const (
	catalogFile fileKind = iota
	jobFile
	policyFile
)

// holdsParts reports whether a file has a table of parts.
func holdsParts(name string, text []byte) bool {
	doc, _ := source.Parse(name, text)
	return doc != nil && slices.ContainsFunc(append([]string{"package"}, partKinds...), doc.Has)
}

// kindOf tells a file by the keys that stand at its top. A text that cannot be
// read at all counts as a catalogue: its one error is the same.
func kindOf(name string, text []byte) fileKind {
	doc, _ := source.Parse(name, text)
	if doc == nil {
		return catalogFile
	}
	for _, key := range []string{"load", "pin", "rail", "environment", "policy"} {
		if doc.Has(key) {
			return jobFile
		}
	}
	for _, key := range []string{"overdrive", "v_gate", "i_contact"} {
		if doc.Has(key) {
			return policyFile
		}
	}
	return catalogFile
}
