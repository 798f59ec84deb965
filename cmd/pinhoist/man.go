package main

import (
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/cobra/doc"
)

// manCommand prints the manual page of the program, or of one command of it.
func (a *app) manCommand() *cobra.Command {
	return &cobra.Command{
		Use:    "man [COMMAND]",
		Short:  "Print the manual page",
		Hidden: true,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) > 1 {
				return badf("man: found %d arguments, expected at most one command", len(args))
			}
			return nil
		},
		RunE: func(c *cobra.Command, args []string) error {
			target, _, err := c.Root().Find(args)
			if err != nil || target == c.Root() && len(args) > 0 {
				return badf("man: found %q, expected a command; see pinhoist --help", args[0])
			}
			target.DisableAutoGenTag = true
			epoch := time.Unix(0, 0).UTC() // the page says no date of its making
			return doc.GenMan(target, &doc.GenManHeader{Title: "PINHOIST", Section: "1", Source: "pinhoist", Manual: " ", Date: &epoch}, a.out)
		},
	}
}
