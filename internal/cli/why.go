package cli

import (
	"context"

	"github.com/spf13/cobra"

	"filmfault/internal/diagnosis"
	"filmfault/internal/report"
	"filmfault/internal/report/render"
	"filmfault/internal/source"
)

type whyOptions struct {
	app    *app
	format *choice
	name   string
	cause  string
}

func newWhy(a *app) *cobra.Command {
	o := &whyOptions{app: a}
	cmd := &cobra.Command{
		Use:     "why CASE [CAUSE]",
		Short:   "Show the weights behind a cause, and what would overturn the first place",
		Example: "  filmfault why harbour-cafe\n  filmfault why sign-114.yaml retaken-moisture",
		Args:    takes(1, 2, "which case? Give a case file, or the id of a built-in case (`filmfault casebook list`)"),
		RunE: func(cmd *cobra.Command, args []string) error {
			o.name = args[0]
			if len(args) > 1 {
				o.cause = args[1]
			}
			return runWhy(cmd.Context(), o)
		},
	}
	o.format = formatFlag(cmd)
	return cmd
}

func runWhy(ctx context.Context, o *whyOptions) error {
	e, c, err := o.app.evaluate(ctx, o.name)
	if err != nil {
		return err
	}
	cause := e.Leader().Cause.ID
	if o.cause != "" {
		if cause, err = rankedCause(e.Evaluation, o.cause); err != nil {
			return err
		}
	}
	w, err := report.Explain(e.Evaluation, cause)
	if err != nil {
		return explainFailure(err, o.name)
	}
	w.Case = o.name
	if c.c.ID != "" {
		w.Case = c.c.ID
	}
	if o.format.value == "json" {
		return render.JSON(o.app.console.Out(), w)
	}
	return render.Explanation(o.app.console.Out(), w, o.format.value, min(o.app.console.Width(), 100))
}

// rankedCause finds a cause of the ranking by its id.
func rankedCause(e *diagnosis.Evaluation, id string) (string, error) {
	id = e.Rules.Base.Current(id)
	var known []string
	for _, r := range e.Ranking() {
		if r.Cause.ID == id {
			return id, nil
		}
		known = append(known, r.Cause.ID)
	}
	ev, ok := e.Rules.Base.Event(id)
	switch {
	case ok && ev.Cause:
		return "", usagef("%s leads to none of the failures seen in this case", id)
	case ok:
		return "", usagef("%s is a condition, nobody's fault and never ranked; name a cause (`filmfault rules list causes`)", id)
	}
	return "", usagef("the rules have no cause %q%s", id, nearest(id, known, "see `filmfault rules list causes`"))
}

func nearest(id string, known []string, otherwise string) string {
	if near, ok := source.Nearest(id, known); ok {
		return "; did you mean " + near + "?"
	}
	return "; " + otherwise
}
