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
		Args:   cobra.MaximumNArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			target, _, err := c.Root().Find(args)
			if err != nil {
				return badf("%w", err)
			}
			target.DisableAutoGenTag = true
			epoch := time.Unix(0, 0).UTC() // the page says no date of its making
			return doc.GenMan(target, &doc.GenManHeader{Title: "PINHOIST", Section: "1", Source: "pinhoist", Manual: " ", Date: &epoch}, a.out)
		},
	}
}
