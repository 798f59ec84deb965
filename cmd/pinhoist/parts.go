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
		Use:     "parts",
		Short:   "List the parts of the catalogue",
		Long:    "parts lists the catalogue: generic sets of figures, not products. As JSON each part\nhas the keys of its file, with numbers in SI.",
		Example: "  pinhoist parts --kind relay\n  pinhoist parts --format json",
		Args:    noArgs,
		RunE:    func(*cobra.Command, []string) error { return t.parts(kind) },
	}
	t.catalogFlags(c)
	t.formatFlag(c, "text, json or csv")
	c.Flags().StringVar(&kind, "kind", "", "only parts of `KIND`: "+strings.Join(partKinds, ", "))
	complete(c, flagWords{"format", partsForms}, flagWords{"kind", partKinds})
	return c
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
