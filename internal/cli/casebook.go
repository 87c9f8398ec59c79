package cli

import (
	"fmt"

	"github.com/spf13/cobra"

	"filmfault/casebook"
	"filmfault/internal/casefile"
	"filmfault/internal/console"
)

func newCasebook(a *app) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "casebook",
		Short: "List and show the built-in demonstration cases",
		Args:  takes(0, 0, ""),
		RunE:  func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	list := &cobra.Command{
		Use: "list", Short: "List the cases", Args: takes(0, 0, ""),
		RunE: func(*cobra.Command, []string) error { return a.listCases() },
	}
	show := &cobra.Command{
		Use: "show ID", Short: "Print a case file, to read or to copy",
		Args:    takes(1, 1, "which case? Give its id as `filmfault casebook list` prints it"),
		Example: "  filmfault casebook show harbour-cafe > my-copy.yaml",
		RunE:    func(_ *cobra.Command, args []string) error { return a.showCase(args[0]) },
		ValidArgsFunction: func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
			return bookIDs(), cobra.ShellCompDirectiveNoFileComp
		},
	}
	cmd.AddCommand(list, show)
	return cmd
}

func (a *app) listCases() error {
	for _, id := range bookIDs() {
		o, _, err := a.builtInCase(id)
		if err != nil {
			return err
		}
		line := fmt.Sprintf("%s: %s%s", id, o.c.Title, settledAs(o.c))
		if _, err := fmt.Fprintln(a.console.Out(), console.Wrap(line, a.console.Width(), "", "    ")); err != nil {
			return err
		}
	}
	return nil
}

// settledAs says the verdict of a case in a few words.
func settledAs(c *casefile.Case) string {
	v := c.Verdict
	switch {
	case v == nil:
		return " (open)"
	case v.NoFault:
		return " (settled: no fault)"
	case v.Unlisted:
		return " (settled: something the rules do not list)"
	}
	for _, x := range v.Causes {
		if x.State == casefile.Confirmed {
			return " (settled: " + x.Cause + ")"
		}
	}
	return " (settled)"
}

func (a *app) showCase(id string) error {
	data, err := casebook.FS.ReadFile(id + ".yaml")
	if err != nil {
		return usagef("the casebook has no case %q%s", id, nearest(id, bookIDs(), "see `filmfault casebook list`"))
	}
	_, err = a.console.Out().Write(data)
	return err
}
