package main

import (
	"strings"

	"github.com/spf13/cobra"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/sheet"
)

// partKinds are the kinds that a catalogue holds.
var partKinds = []string{"bjt", "mosfet", "relay", "ssr", "module", "array", "diode", "zener", "tvs", "mov",
	"resistor-series", "capacitor", "heat-sink", "insulator", "fuse", "limiter"}

func (a *app) partsCommand() *cobra.Command {
	t := &task{app: a}
	kind := ""
	c := &cobra.Command{
		Use:   "parts [ID...]",
		Short: "List the parts of the catalogue",
		Long: `parts lists the catalogue: generic sets of figures, not products. As JSON each
part has the keys of its file, with numbers in SI. With IDs it prints these
parts as a catalogue file: a start for a part of your own, under an id of its
own, which --catalog then adds.

The least that a part of your own must state (the rest makes it provable):

  schema = 1
  currency = "EUR"
  [[mosfet]]
  id = "my-fet"
  channel = "n"
  v_ds_max = "55 V"
  v_gs_max = "16 V"
  v_gs_th = { i_d = "250 uA", min = "1 V", max = "2 V" }
  r_ds_on = [{ v_gs = "4.5 V", i_d = "5 A", max = "40 mohm" }]`,
		Example: "  pinhoist parts --kind relay\n  pinhoist parts npn-60v-1a > mine.toml\n  pinhoist parts --format json",
		RunE: func(_ *cobra.Command, args []string) error {
			if len(args) > 0 {
				return t.partFiles(args, kind)
			}
			return t.parts(kind)
		},
	}
	t.catalogFlags(c)
	t.formatFlag(c, "text, json or csv")
	c.Flags().StringVar(&kind, "kind", "", "only parts of `KIND`: "+strings.Join(partKinds, ", "))
	complete(c, flagWords{"format", partsForms}, flagWords{"kind", partKinds})
	c.AddCommand(a.newPartCommand())
	c.ValidArgsFunction = func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		var ids []string
		if cat, _ := t.loadCatalog(); cat != nil {
			for _, p := range cat.Parts() {
				ids = append(ids, p.Base().ID)
			}
		}
		return ids, cobra.ShellCompDirectiveNoFileComp
	}
	return c
}

// partFiles prints parts as one catalogue file.
func (t *task) partFiles(ids []string, kind string) error {
	if kind != "" || t.format != "text" {
		return badf("parts: with IDs there is neither --kind nor --format: it prints TOML")
	}
	cat, err := t.loadCatalog()
	if cat == nil {
		return err
	}
	var b strings.Builder
	for i, id := range ids {
		p, ok := cat.Part(id)
		if !ok {
			return badf("parts: no part %q in the catalogue; pinhoist parts lists them", id)
		}
		text := string(catalog.Encode(p))
		if i > 0 { // one head serves all
			_, text, _ = strings.Cut(text, "\n[[")
			text = "\n[[" + text
		}
		b.WriteString(text)
	}
	return t.print(b.String())
}

func (t *task) parts(kind string) error {
	if err := oneOf("format", t.format, partsForms...); err != nil {
		return err
	}
	if err := optional("kind", kind, partKinds...); err != nil {
		return err
	}
	cat, err := t.loadCatalog()
	if cat == nil {
		return err
	}
	if err != nil { // warnings
		t.fail(err)
	}
	text, err := t.tellParts(cat, catalog.Kind(kind))
	if err != nil {
		return err
	}
	return t.print(text)
}

func (t *task) tellParts(cat *catalog.Catalog, kind catalog.Kind) (string, error) {
	switch t.format {
	case "json":
		text, err := sheet.PartsJSON(cat, kind)
		return string(text), err
	case "csv":
		return sheet.PartsCSV(sheet.PartsOf(cat, kind))
	}
	return sheet.PartsText(sheet.PartsOf(cat, kind), sheet.Width), nil
}
