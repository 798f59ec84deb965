package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/sheet"
	"example.org/pinhoist/internal/source"
)

// The exit codes.
const (
	exitFits     = 0 // every load has a design that fits
	exitNoFit    = 1
	exitBadInput = 2
	exitInternal = 3
)

// app is the program with all that reaches it from outside.
type app struct {
	in       io.Reader
	out, err io.Writer
	terminal bool // a person sits at both ends
	colour   bool // the output is a terminal that shows colours
	noColour bool // the person asked for none
	screen   func(*task) error

	code int // of a command that ran to its end
}

// badInput is an error that the person can mend.
type badInput struct{ error }

func (b badInput) Unwrap() error { return b.error }

func badf(format string, args ...any) error { return badInput{fmt.Errorf(format, args...)} }

// run runs one command and returns the exit code. Nothing it meets, a panic of
// our own neither, prints a trace.
func (a *app) run(args []string) (code int) {
	defer func() {
		if p := recover(); p != nil {
			fmt.Fprintln(a.err, "pinhoist: internal fault, please report it:", source.Printable(fmt.Sprint(p)))
			code = exitInternal
		}
	}()
	root := a.command()
	root.SetArgs(args)
	err := root.Execute()
	if err == nil {
		return a.code
	}
	return a.fail(err)
}

// fail tells an error on the error stream and gives its exit code. What is wrong
// with files is told in their own form, one a line.
func (a *app) fail(err error) int {
	var files source.Errors
	if errors.As(err, &files) {
		a.complain(files)
		return exitBadInput
	}
	fmt.Fprintln(a.err, "pinhoist:", source.Printable(err.Error()))
	var bad badInput
	if errors.As(err, &bad) {
		return exitBadInput
	}
	return exitInternal
}

// complain prints what is wrong with files, warnings too.
func (a *app) complain(errs source.Errors) {
	for _, e := range errs {
		fmt.Fprintln(a.err, e.Error())
	}
}

// note says on the error stream what somebody may want to know beside the answer.
func (a *app) note(format string, args ...any) {
	fmt.Fprintf(a.err, "note: "+format+"\n", args...)
}

// print writes a command's whole output at once.
func (a *app) print(text string) error {
	_, err := io.Copy(a.out, bytes.NewBufferString(text))
	return err
}

// command builds the tree of commands.
func (a *app) command() *cobra.Command {
	root := a.rootCommand()
	root.SetIn(a.in)
	root.SetOut(a.out)
	root.SetErr(a.err)
	root.SilenceErrors, root.SilenceUsage = true, true
	root.SetFlagErrorFunc(func(c *cobra.Command, err error) error {
		return badf("%w; see %s --help", err, c.CommandPath())
	})
	root.SetUsageTemplate(narrowUsage(root.UsageTemplate()))
	root.AddCommand(a.rankCommand(), a.sheetCommand(), a.lintCommand(), a.partsCommand(), a.demoCommand(), a.manCommand())
	return root
}

func (a *app) rootCommand() *cobra.Command {
	t, name := &task{app: a}, ""
	c := &cobra.Command{
		Use:   "pinhoist",
		Short: "Which generic part can safely switch this load from this pin",
		Long: `A logic pin is small; the loads people want to switch are not. pinhoist takes a
job (a pin, its supplies, one or more loads), designs a drive stage around every
part of a catalogue that could serve, checks each in its worst case, ranks them
and says why.

Without a command it opens the screen on a built-in job; where there is no
terminal it prints that job's shortlist.

Exit codes: 0 every load has a design that fits (a stage as built: its own),
1 not so, 2 bad input, 3 internal fault.`,
		Args: noArgs,
		RunE: func(*cobra.Command, []string) error {
			if !a.terminal && !t.plain {
				return t.rank(name)
			}
			if err := t.load(name); err != nil {
				return err
			}
			return a.screen(t)
		},
	}
	t.inputFlags(c)
	t.colourFlag(c)
	c.Flags().StringVar(&name, "job", "", "open on the job in `FILE` instead of the built-in one")
	c.Flags().BoolVar(&t.ascii, "ascii", false, "use no character outside ASCII")
	c.Flags().StringVar(&t.ground, "ground", "auto", "what the terminal writes on: `GROUND` auto, dark or light")
	c.Flags().BoolVar(&t.mouse, "mouse", false, "listen to the mouse, too; most terminals then select text with Shift held")
	c.Flags().BoolVar(&t.plain, "plain", false, "ask and answer in lines, for a screen reader or a script")
	c.Flags().StringVar(&t.keysName, "keys", "", "take keys of your own from `FILE`")
	complete(c, flagWords{"color", colourWords}, flagWords{"ground", groundWords}, flagWords{"policy", policyWords})
	return c
}

// narrowUsage makes the flags of a usage text wrap at the width of a sheet.
func narrowUsage(template string) string {
	return strings.ReplaceAll(template, "Flags.FlagUsages ", fmt.Sprintf("Flags.FlagUsagesWrapped %d ", sheet.Width))
}

// demoCommand prints the built-in job, for a file of one's own.
func (a *app) demoCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "demo",
		Short: "Print the built-in job as a file to start from",
		Long: `demo prints the built-in job as a TOML file. Change it into a job of your own:
a misspelt key or word is answered with those that are known.`,
		Example: "  pinhoist demo > bench.toml\n  pinhoist rank bench.toml",
		Args:    noArgs,
		RunE:    func(*cobra.Command, []string) error { return a.print(string(job.DemoText())) },
	}
}

func noArgs(c *cobra.Command, args []string) error {
	if len(args) > 0 {
		if c.HasParent() {
			return badf("%s: found %q, expected no argument; see %s --help", c.Name(), args[0], c.CommandPath())
		}
		return badf("unknown command %q; see pinhoist --help", args[0])
	}
	return nil
}

// oneJob allows one argument, the job.
func oneJob(c *cobra.Command, args []string) error {
	if len(args) > 1 {
		return badf("found %d arguments, expected at most one job file; see %s --help", len(args), c.CommandPath())
	}
	return nil
}

func jobArg(args []string) string {
	if len(args) == 0 {
		return ""
	}
	return args[0]
}
