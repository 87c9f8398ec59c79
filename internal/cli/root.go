// Package cli is the command line of filmfault: one file a command, each a
// constructor, a struct of options and a function that runs it.
//
// It reads files, calls the packages that know something, and prints what they
// return; it knows nothing of paint or probability itself. It is at the top:
// only cmd/filmfault imports it.
package cli

import (
	"context"
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"filmfault/internal/console"
)

// Main runs the command line and returns the exit code.
func Main(c *console.Console, args []string) int {
	ctx, stop := console.Signals(context.Background())
	defer stop()
	root := newRoot(&app{console: c})
	root.SetArgs(args)
	root.SetIn(c.In())
	root.SetOut(c.Out())
	root.SetErr(c.Err())
	err := root.ExecuteContext(ctx)
	tell(c, err)
	return exitCode(err)
}

// tell says on the talk stream what went wrong, once.
func tell(c *console.Console, err error) {
	if err == nil || errors.Is(err, errFound) || errors.Is(err, errTold) {
		return
	}
	if errors.Is(err, console.ErrInterrupted) || errors.Is(err, console.ErrTerminated) {
		fmt.Fprintln(c.Err(), "\nStopped.")
		return
	}
	fmt.Fprintln(c.Err(), console.Wrap("filmfault: "+console.Printable(err.Error()), c.Width(), "", "  "))
}

func newRoot(a *app) *cobra.Command {
	root := &cobra.Command{
		Use:   "filmfault",
		Short: "Find out why a painted sign finish failed",
		Long: "filmfault finds out why a painted finish on a sign of rigid closed-cell urethane board failed: " +
			"it asks, ranks the causes, and names the measurements that would confirm each.",
		Args:          takes(0, 0, ""),
		RunE:          func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
		SilenceUsage:  true,
		SilenceErrors: true,
	}
	root.SetFlagErrorFunc(wrongFlag)
	root.PersistentFlags().StringArrayVar(&a.rules, "rules", nil, "read the rule files of a `folder` over the built-in ones (may be repeated)")
	root.PersistentFlags().StringVar(&a.ownBook, "book", "", "keep and find your cases in this `folder` and not in the usual one")
	_ = root.MarkPersistentFlagDirname("book") // it fails only for a flag that does not exist
	root.PersistentFlags().BoolVar(&a.plain, "plain", false, "ask line by line, without moving the cursor")
	root.AddCommand(newInterview(a), newDiagnose(a), newWhy(a), newWhatif(a), newMeasure(a), newButfor(a), newCalc(a), newCasebook(a), newRules(a))
	addTopics(root)
	root.SetHelpCommand(newHelp())
	root.InitDefaultHelpCmd()
	root.InitDefaultCompletionCmd()
	refuseUnknown(root)
	return root
}
