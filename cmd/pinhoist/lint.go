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
			strange, err := t.unknownParts(shown, text, spec)
			if err != nil {
				return err
			}
			errs = append(errs, strange...)
		case policyFile:
			_, more := catalog.LoadPolicy(shown, text)
			errs = append(errs, more...)
		default:
			parts = append(parts, catalog.Source{Name: shown, Text: text})
		}
	}
	if len(parts) > 0 {
		builtin, err := t.catalogSources(nil)
		if err != nil {
			return err
		}
		errs = append(errs, catalog.Lint(append(builtin, parts...))...)
	}
	errs.Sort()
	if errs.Fatal() {
		return errs
	}
	t.complain(errs)
	return t.print(lintSummary(len(files), len(errs)))
}

// unknownParts warns of parts of stages as built that are not built in: they may be in a
// file that is given with --catalog later.
func (t *task) unknownParts(name string, text []byte, spec *job.Spec) (errs source.Errors, err error) {
	if spec == nil || !slices.ContainsFunc(spec.Loads, func(l job.LoadSpec) bool { return l.Built != nil }) {
		return nil, nil
	}
	cat, err := catalog.Embedded()
	if err != nil {
		return nil, err
	}
	doc, _ := source.Parse(name, text)
	if doc == nil {
		return nil, nil
	}
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
					errs = append(errs, doc.Warnf(fmt.Sprintf("load[%d].built.%s", i, said[0]), strconv.Quote(id), "a part that is built in, or --catalog with the file that has it"))
				}
			}
		}
	}
	return errs, nil
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
