package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/engine"
	"example.org/pinhoist/internal/sheet"
	"example.org/pinhoist/internal/source"
	"example.org/pinhoist/tui"
)

// ownParts is the file of a person's own parts by the rules of the desktop: under
// XDG_DATA_HOME where it is an absolute path, else under .local/share at home; "" where
// there is neither.
func ownParts() string {
	base := os.Getenv("XDG_DATA_HOME")
	if !filepath.IsAbs(base) {
		home, err := os.UserHomeDir()
		if err != nil || !filepath.IsAbs(home) {
			return ""
		}
		base = filepath.Join(home, ".local", "share")
	}
	return filepath.Join(base, "pinhoist", "parts.toml")
}

// ownFiles is where parts of one's own are kept: its folder is made where it is not
// there.
type ownFiles struct{ files }

// Write replaces the file as a whole.
func (f ownFiles) Write(name string, text []byte) error {
	if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
		var path *fs.PathError
		if errors.As(err, &path) {
			return path.Err
		}
		return err
	}
	return f.files.Write(name, text)
}

// withOwnParts adds the person's own parts to a catalogue. Where their file cannot be
// taken it says why, and the catalogue is as it was: a slip in it must not close the
// screen.
func (t *task) withOwnParts(cat *catalog.Catalog) (*catalog.Catalog, string) {
	name := ownParts()
	if name == "" || t.catalogOnly {
		return cat, ""
	}
	for _, given := range t.catalogs {
		if sameFile(given, name) {
			return cat, ""
		}
	}
	text, err := os.ReadFile(name)
	if errors.Is(err, fs.ErrNotExist) {
		return cat, ""
	}
	if err != nil {
		return cat, "your own parts are not there: " + err.Error()
	}
	more, errs := catalog.Extend(cat, catalog.Source{Name: name, Text: text})
	if more == nil {
		return cat, "your own parts are not there: " + firstOf(errs)
	}
	return more, ""
}

func firstOf(errs source.Errors) string {
	for _, e := range errs {
		if !e.Warning {
			return e.Error()
		}
	}
	return ""
}

// newPartFlags are the flags of parts new.
type newPartFlags struct {
	set           []string
	job           string
	save, replace bool
}

func (a *app) newPartCommand() *cobra.Command {
	t, f := &task{app: a}, &newPartFlags{}
	c := &cobra.Command{
		Use:   "new KIND",
		Short: "Write a part of your own from its data sheet",
		Long: `new writes a part of your own as commented TOML: what each figure is and where a
data sheet prints it, those a verdict needs first. At a terminal it asks for them
one by one; --set states them instead. What the part can do for a job, and which
missing figures leave that unproven, goes to the error stream.

--save puts it into your own catalogue, which the screen reads at its start; other
commands take that with --catalog. A part of its id is written over only with
--replace.`,
		Example: "  pinhoist parts new mosfet\n  pinhoist parts new mosfet --set id=drawer-60v --set v_ds_max='60 V' > mine.toml",
		Args: func(c *cobra.Command, args []string) error {
			if len(args) != 1 || catalog.NewDraft(catalog.Kind(args[0])) == nil {
				return badf("parts new: found %q, expected one KIND of %s", strings.Join(args, " "), strings.Join(partKinds, ", "))
			}
			return nil
		},
		ValidArgs: partKinds,
		RunE:      func(_ *cobra.Command, args []string) error { return t.newPart(catalog.Kind(args[0]), f) },
	}
	t.inputFlags(c)
	c.Flags().StringArrayVar(&f.set, "set", nil, "state one figure, `KEY=VALUE`; may be given again")
	c.Flags().StringVar(&f.job, "job", "", "judge it for the job in `FILE` instead of the built-in one")
	c.Flags().BoolVar(&f.save, "save", false, "put it into your own catalogue")
	c.Flags().BoolVar(&f.replace, "replace", false, "write over a part of its id")
	completePolicy(c)
	return c
}

func (t *task) newPart(k catalog.Kind, f *newPartFlags) error {
	d := catalog.NewDraft(k)
	if err := setFigures(d, f.set); err != nil {
		return err
	}
	if err := t.load(f.job); err != nil {
		return err
	}
	if t.terminal && len(f.set) == 0 {
		cat, note := t.withOwnParts(t.input.Catalog)
		return tui.NewPart(tui.Options{Spec: t.spec, Catalog: cat, Note: note, Topologies: topologyIDs(), OwnFile: ownParts(), OwnStore: ownFiles{}, In: t.in, Out: t.out}, d)
	}
	currency := t.input.Catalog.Currency
	if len(f.set) > 0 {
		if err := t.judgePart(d); err != nil {
			return err
		}
	}
	if !f.save {
		return t.print(string(d.File(currency)))
	}
	name := ownParts()
	if name == "" {
		return badf("parts new: there is no home to save in; print it without --save")
	}
	_, d.Replaces = t.input.Catalog.Part(d.ID())
	doubt, err := tui.PutPart(ownFiles{}, name, currency, d, f.replace)
	switch {
	case err != nil:
		return badf("%s: %w", name, err)
	case doubt != "":
		return badf("%s: %s; --replace writes over it", name, doubt)
	}
	t.note("saved in %s", name)
	return nil
}

// setFigures takes what was stated by flags.
func setFigures(d *catalog.Draft, set []string) error {
	for _, s := range set {
		key, value, ok := strings.Cut(s, "=")
		if !ok {
			return badf("--set: found %q, expected KEY=VALUE", s)
		}
		d.Texts[key] = value
	}
	first, more := d.Asks()
	known := map[string]bool{}
	for _, a := range append(first, more...) {
		known[a.Key] = true
	}
	for key := range d.Texts {
		if !known[key] {
			return badf("--set: found no key %s for this %s, expected one that pinhoist parts new %s prints; the first point of a list is written with [0], as in r_ds_on[0].max", key, d.Kind, d.Kind)
		}
	}
	return nil
}

// judgePart says on the error stream how a part does for each load of the job.
func (t *task) judgePart(d *catalog.Draft) error {
	beside := &catalog.Draft{Kind: d.Kind, Texts: d.Texts, Replaces: true} // saving asks about its id
	cat, errs := catalog.Extend(t.input.Catalog, catalog.Source{Name: "new part", Text: beside.File(t.input.Catalog.Currency)})
	if cat == nil {
		return errs
	}
	t.complain(errs)
	in := t.input
	in.Catalog = cat
	for i := range in.Job.Loads {
		own, err := engine.AssessOwn(context.Background(), &in, in.Job.Loads[i].Name, d.ID())
		if err != nil {
			return err
		}
		for _, text := range sheet.OwnVerdicts(own, d.ID()) {
			t.note("%s: %s", in.Job.Loads[i].Name, text)
		}
		for _, w := range sheet.WantedFigures(own.Best) {
			t.note("%s", strings.Join(strings.Fields(fmt.Sprintf("without %s (%s), %s stays unproven; %s would do", w.Figure, w.What, w.Leaves, w.Suffices)), " "))
		}
	}
	return nil
}
