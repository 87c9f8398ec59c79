package cli

import (
	"context"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"filmfault/internal/diagnosis"
	"filmfault/internal/report"
	"filmfault/internal/report/render"
	"filmfault/internal/rulebase"
)

type measureOptions struct {
	app      *app
	format   *choice
	name     string
	readings []string
}

func newMeasure(a *app) *cobra.Command {
	o := &measureOptions{app: a}
	cmd := &cobra.Command{
		Use:   "measure CASE [NAME=READING...]",
		Short: "Name the next measurements by worth, or record a reading and rank again",
		Long: "Without a reading: the measurements still open, by what they tell for the time they take, with the\n" +
			"figure that decides and the ranking on either side of it.\n" +
			"With readings: record them in the case file, rank again and say what moved.",
		Example: "  filmfault measure harbour-cafe\n  filmfault measure sign-114.yaml \"groove-thickness=18 mil\"",
		Args:    takes(1, -1, "which case? Give a case file, or the id of a built-in case (`filmfault casebook list`)"),
		RunE: func(cmd *cobra.Command, args []string) error {
			o.name, o.readings = args[0], args[1:]
			if len(o.readings) > 0 {
				return runRecord(cmd.Context(), o)
			}
			return runMeasure(cmd.Context(), o)
		},
	}
	o.format = formatFlag(cmd)
	return cmd
}

func runMeasure(ctx context.Context, o *measureOptions) error {
	e, c, err := o.app.evaluate(ctx, o.name)
	if err != nil {
		return err
	}
	prices, err := e.Price(func(f rulebase.Finding) bool { return f.Measurement != nil })
	if err != nil {
		return explainFailure(err, o.name)
	}
	name := o.name
	if c.c.ID != "" {
		name = c.c.ID
	}
	m := report.Measurements(e.Evaluation, prices, name)
	if o.format.value == "json" {
		return render.JSON(o.app.console.Out(), m)
	}
	return render.Measurements(o.app.console.Out(), m, min(o.app.console.Width(), 100))
}

// runRecord writes readings into the case, ranks before and after, and says
// what moved.
func runRecord(ctx context.Context, o *measureOptions) error {
	c, err := o.app.open(o.name)
	if err != nil {
		return err
	}
	if c.store == nil {
		return usagef("%s is a case of the built-in casebook and cannot be written to; copy it first: filmfault casebook show %s > %s.yaml", o.name, o.name, o.name)
	}
	r, err := o.app.prepared()
	if err != nil {
		return err
	}
	before, err := o.app.evaluateCase(ctx, r, c)
	if err != nil {
		return err
	}
	for _, reading := range o.readings {
		if err := applyChange(r.Base, c.c, reading, "measured"); err != nil {
			return err
		}
	}
	c.c.Rules.Digest, c.c.Rules.Layers = r.Base.Digest, slices.Clone(r.Base.Layers)
	after, err := o.app.quiet().evaluateCase(ctx, r, c)
	if err != nil {
		return err
	}
	if err := c.store.Save(); err != nil {
		return fmt.Errorf("the reading was not recorded: %w", err)
	}
	fmt.Fprintf(o.app.console.Err(), "Recorded in %s.\n", c.store.Path)
	return o.app.compare(report.Compare(before.Evaluation, after.Evaluation, o.name, strings.Join(o.readings, ", ")), o.format.value)
}

// rankSoFar is the ranking in a few lines, for the interview.
func rankSoFar(w io.Writer, e *diagnosis.Evaluation, width int) error {
	d, err := report.Build(e, nil, "", report.Options{})
	if err != nil {
		return err
	}
	return render.Ranking(w, d, width)
}
