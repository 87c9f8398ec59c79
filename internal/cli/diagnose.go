package cli

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"runtime"

	"github.com/spf13/cobra"

	"filmfault/internal/diagnosis"
	"filmfault/internal/implied"
	"filmfault/internal/report"
	"filmfault/internal/report/render"
)

type diagnoseOptions struct {
	app         *app
	format      *choice
	rankingOnly bool
	withoutLog  bool
	chart       *chartOptions
	units       *choice
	cases       []string
}

func newDiagnose(a *app) *cobra.Command {
	o := &diagnoseOptions{app: a}
	cmd := &cobra.Command{
		Use:   "diagnose CASE...",
		Short: "Rank the causes of cases from their files, without questions",
		Long: "Rank the causes of one or more cases. A case is a file, or the id of a case of the built-in casebook.\n" +
			"The same cases and rules give the same bytes.",
		Example: "  filmfault diagnose harbour-cafe\n  filmfault diagnose --format json sign-114.yaml sign-115.yaml",
		Args:    takes(1, -1, "which case? Give a case file, or the id of a built-in case (`filmfault casebook list`)"),
		RunE: func(cmd *cobra.Command, args []string) error {
			o.cases = args
			o.app = o.app.inUnits(o.units)
			o.app.withoutLog = o.withoutLog
			return runDiagnose(cmd.Context(), o)
		},
	}
	o.format = formatFlag(cmd)
	cmd.Flags().BoolVar(&o.rankingOnly, "ranking-only", false, "leave out stories, weights and measurements, for many cases at once")
	cmd.Flags().BoolVar(&o.withoutLog, "without-log", false, "leave out what the job log implies, to see what it weighs")
	o.chart, o.units = newChartOptions(cmd), unitsFlag(cmd)
	return cmd
}

// outcome is one case's result, rendered, or why there is none.
type outcome struct {
	page []byte
	talk []byte // complaints about the case
	log  *implied.Log
	err  error
}

// runDiagnose works cases out side by side and prints them in the order given.
// One bad case does not keep the others from being printed.
func runDiagnose(ctx context.Context, o *diagnoseOptions) error {
	if o.chart.wanted() && len(o.cases) > 1 {
		return usagef("a picture is of one case; name one")
	}
	r, err := o.app.prepared()
	if err != nil {
		return err
	}
	out := &sequence{w: o.app.console.Out(), format: o.format.value, many: len(o.cases) > 1}
	if err := out.begin(); err != nil {
		return err
	}
	var failed error
	var log *implied.Log
	for result := range o.work(ctx, r) {
		if _, err := o.app.console.Err().Write(result.talk); err != nil {
			return err
		}
		if result.err != nil {
			failed = keep(failed, result.err, o.app)
			continue
		}
		log = result.log
		if err := out.add(result.page); err != nil {
			return err
		}
	}
	if err := out.end(); err != nil {
		return err
	}
	if ctx.Err() != nil {
		return context.Cause(ctx)
	}
	if o.chart.wanted() && failed == nil {
		return o.app.draw(ctx, o.chart, log, o.cases[0])
	}
	return failed
}

// keep tells of a case that failed; the command goes on and fails at the end.
func keep(before, err error, a *app) error {
	if before != nil && !errors.Is(before, errTold) {
		return before
	}
	tell(a.console, err)
	return errTold
}

// work evaluates the cases on all processors and yields results in order, a
// few ahead at most, so that memory stays flat over any number of cases.
func (o *diagnoseOptions) work(ctx context.Context, r *diagnosis.Rules) func(func(outcome) bool) {
	return func(yield func(outcome) bool) {
		ahead := make(chan chan outcome, runtime.NumCPU())
		stop := make(chan struct{})
		go func() {
			defer close(ahead)
			for _, name := range o.cases {
				slot := make(chan outcome, 1)
				select {
				case ahead <- slot:
				case <-stop:
					return
				case <-ctx.Done():
					return
				}
				go func() { slot <- o.one(ctx, r, name) }()
			}
		}()
		defer close(stop)
		for slot := range ahead {
			if !yield(<-slot) {
				return
			}
		}
	}
}

// one evaluates and renders one case. What there is to complain of is kept with
// the outcome, so that it comes in the order of the cases.
func (o *diagnoseOptions) one(ctx context.Context, r *diagnosis.Rules, name string) outcome {
	var talk bytes.Buffer
	mine := *o.app
	mine.talk = &talk
	out := o.render(ctx, &mine, r, name)
	out.talk = talk.Bytes()
	return out
}

func (o *diagnoseOptions) render(ctx context.Context, a *app, r *diagnosis.Rules, name string) outcome {
	c, err := a.open(name)
	if err != nil {
		return outcome{err: err}
	}
	e, err := a.evaluateCase(ctx, r, c)
	if err != nil {
		return outcome{err: err}
	}
	options := report.Everything()
	if o.rankingOnly {
		options = report.Options{}
	}
	d, err := document(e, c, options)
	if err != nil {
		return outcome{err: explainFailure(err, name)}
	}
	var b bytes.Buffer
	err = a.renderDocument(&b, d, o.format.value)
	return outcome{page: b.Bytes(), log: e.log, err: err}
}

// document builds a case's document with what only the case file knows.
func document(e evaluated, c opened, o report.Options) (*report.Document, error) {
	name := c.c.ID
	if name == "" {
		name = c.name
	}
	d, err := report.Build(e.Evaluation, e.log, name, o)
	if err != nil {
		return nil, err
	}
	d.Title, d.Invented = c.c.Title, c.c.Invented
	return d, nil
}

func (a *app) renderDocument(w io.Writer, d *report.Document, format string) error {
	switch format {
	case "json":
		return render.JSON(w, d)
	case "markdown":
		return render.Markdown(w, d)
	}
	return render.Text(w, d, min(a.console.Width(), 100))
}

// sequence prints several results as one: JSON as an array, text apart.
type sequence struct {
	w      io.Writer
	format string
	many   bool
	count  int
}

func (s *sequence) begin() error {
	if s.format == "json" && s.many {
		_, err := io.WriteString(s.w, "[\n")
		return err
	}
	return nil
}

func (s *sequence) add(page []byte) error {
	between := ""
	switch {
	case s.count == 0:
	case s.format == "json":
		between, page = ",\n", bytes.TrimRight(page, "\n")
	default:
		between = "\n----\n\n"
	}
	if s.format == "json" && s.many {
		page = bytes.TrimRight(page, "\n")
	}
	s.count++
	_, err := fmt.Fprintf(s.w, "%s%s", between, page)
	return err
}

func (s *sequence) end() error {
	if s.format == "json" && s.many {
		end := "\n]\n"
		if s.count == 0 {
			end = "]\n"
		}
		_, err := io.WriteString(s.w, end)
		return err
	}
	return nil
}
