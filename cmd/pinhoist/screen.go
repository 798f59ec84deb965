package main

import "example.org/pinhoist/tui"

// runScreen opens the terminal UI on what was loaded.
func runScreen(t *task) error {
	paint, err := t.paint()
	if err != nil {
		return err
	}
	opt := tui.Options{Spec: t.spec, Catalog: t.input.Catalog, Topologies: topologyIDs(), ASCII: t.ascii, NoColor: paint == nil,
		Store: files{}, In: t.in, Out: t.out}
	if t.jobName != "-" {
		opt.File, opt.Text = t.jobName, t.jobText
	}
	if t.policyName != "" {
		opt.Policy = t.input.Policy
	}
	return tui.Run(opt)
}
