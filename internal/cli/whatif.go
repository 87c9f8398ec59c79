package cli

import (
	"context"
	"strings"

	"github.com/spf13/cobra"

	"filmfault/internal/report"
	"filmfault/internal/report/render"
)

type whatifOptions struct {
	app     *app
	format  *choice
	name    string
	changes []string
}

func newWhatif(a *app) *cobra.Command {
	o := &whatifOptions{app: a}
	cmd := &cobra.Command{
		Use:   "whatif CASE FINDING=ANSWER...",
		Short: "Rank a case with other answers, beside the ranking as it stands",
		Long: "Rank a case with other answers, beside the ranking as it stands. The case file is not changed.\n" +
			"A finding, fact or failure may be given; `not-checked` takes an answer out.",
		Example: "  filmfault whatif harbour-cafe blister-content=water colour=light",
		Args:    takes(2, -1, "give a case and what to change in it, such as blister-content=water"),
		RunE: func(cmd *cobra.Command, args []string) error {
			o.name, o.changes = args[0], args[1:]
			return runWhatif(cmd.Context(), o)
		},
	}
	o.format = formatFlag(cmd)
	return cmd
}

func runWhatif(ctx context.Context, o *whatifOptions) error {
	c, err := o.app.open(o.name)
	if err != nil {
		return err
	}
	r, err := o.app.prepared()
	if err != nil {
		return err
	}
	before, err := o.app.evaluateCase(ctx, r, c)
	if err != nil {
		return err
	}
	for _, change := range o.changes {
		if err := applyChange(r.Base, c.c, change, ""); err != nil {
			return err
		}
	}
	after, err := o.app.quiet().evaluateCase(ctx, r, c)
	if err != nil {
		return err
	}
	return o.app.compare(report.Compare(before.Evaluation, after.Evaluation, o.name, strings.Join(o.changes, ", ")), o.format.value)
}

func (a *app) compare(cmp report.Comparison, format string) error {
	if format == "json" {
		return render.JSON(a.console.Out(), cmp)
	}
	return render.Compared(a.console.Out(), cmp, format, min(a.console.Width(), 100))
}
