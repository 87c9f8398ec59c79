package cli

import (
	"context"
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"filmfault/internal/diagnosis"
	"filmfault/internal/implied"
	"filmfault/internal/report"
	"filmfault/internal/report/render"
)

type butforOptions struct {
	app    *app
	format *choice
	chart  *chartOptions
	units  *choice
	name   string
}

func newButfor(a *app) *cobra.Command {
	o := &butforOptions{app: a}
	cmd := &cobra.Command{
		Use:   "butfor CASE",
		Short: "What alone would have kept the finish sound, by the job log",
		Long: "Undo each departure of the job log from the shop's standard (time, film, air, fan, thinning, equal coats,\n" +
			"shade), the rest as logged, and say which of them alone, and which two together, would have kept the\n" +
			"finish sound, and how the blame falls on them.",
		Example: "  filmfault butfor quay-office\n  filmfault butfor sign-114.yaml --plot\n  filmfault butfor sign-114.yaml -o sign-114.svg",
		Args:    takes(1, 1, "which case? Give a case file, or the id of a built-in case (`filmfault casebook list`)"),
		RunE: func(cmd *cobra.Command, args []string) error {
			o.name, o.app = args[0], o.app.inUnits(o.units)
			return runButfor(cmd.Context(), o)
		},
	}
	o.format, o.chart, o.units = formatFlag(cmd), newChartOptions(cmd), unitsFlag(cmd)
	return cmd
}

// butforDraws is how many draws stand behind each replay.
const butforDraws = 64

func runButfor(ctx context.Context, o *butforOptions) error {
	c, err := o.app.open(o.name)
	if err != nil {
		return err
	}
	r, err := o.app.prepared()
	if err != nil {
		return err
	}
	e, log, err := o.app.withOrWithoutFailure(ctx, r, c)
	if err != nil {
		return err
	}
	if log != nil && log.Problems.HasErrors() {
		return fmt.Errorf("%s: its log cannot be replayed before that is put right", o.name)
	}
	if log == nil || log.Job == nil {
		return fmt.Errorf("%s holds no log to replay: coats with their times, and the air; `filmfault interview %s --at desk` asks for them", o.name, o.name)
	}
	events, err := log.ButFor(ctx, butforDraws)
	if err != nil {
		return err
	}
	name := o.name
	if c.c.ID != "" {
		name = c.c.ID
	}
	b := report.ButForOf(e, log, events, name, report.Rules{Digest: r.Base.Digest, Layers: r.Base.Layers}, butforDraws)
	if o.format.value == "json" {
		err = render.JSON(o.app.console.Out(), b)
	} else {
		err = render.ButFor(o.app.console.Out(), b, o.format.value, min(o.app.console.Width(), 100))
	}
	if err == nil && o.chart.wanted() {
		err = o.app.draw(ctx, o.chart, log, name)
	}
	return err
}

// withOrWithoutFailure evaluates a case; the evaluation is nil when no failure is
// seen, since a log can be replayed all the same.
func (a *app) withOrWithoutFailure(ctx context.Context, r *diagnosis.Rules, c opened) (*diagnosis.Evaluation, *implied.Log, error) {
	sheet, err := a.resolve(r.Base, c)
	if err != nil {
		return nil, nil, err
	}
	log, err := a.fromLog(ctx, r.Base, c)
	if err != nil || log == nil {
		return nil, nil, err
	}
	e, err := r.Evaluate(sheet.WithComputed(log.Computed))
	if errors.Is(err, diagnosis.ErrNothingSeen) {
		return nil, log, nil
	}
	return e, log, explainFailure(err, c.name)
}
