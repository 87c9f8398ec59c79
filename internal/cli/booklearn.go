package cli

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"

	"github.com/spf13/cobra"

	"filmfault/internal/book"
	"filmfault/internal/book/learn"
	"filmfault/internal/book/review"
	"filmfault/internal/casefile"
	"filmfault/internal/console"
	"filmfault/internal/diagnosis"
	"filmfault/internal/rulebase"
)

type bookLearnOptions struct {
	app      *app
	asked    learn.Options
	jobsSaid bool
	format   *choice
	file     string
	force    bool
}

func newBookLearn(a *app) *cobra.Command {
	o := &bookLearnOptions{app: a, format: &choice{value: "text", known: []string{"text", "json"}}}
	cmd := &cobra.Command{
		Use:   "learn",
		Short: "Learn rates of causes from your settled cases, as a layer of rules to look at",
		Long: "Learn from the settled cases of your book how often causes are there. With the number of jobs done in\n" +
			"the time of the cases, from --jobs or by month from " + book.Jobs + " in the book's folder, rates are learned.\n" +
			"Without it failures alone cannot tell how often a cause is there: then only the odds between the causes\n" +
			"of each failure are learned, and how frequent the failure is stays as written.\n\n" +
			"The rates come out as a rule file, on standard output or into the file of -o, and beside them what they\n" +
			"move: each rate before and after with its 90 % interval, and how the settled cases would rank. Nothing\n" +
			"is applied: to use the file, put it into a folder and name that folder with --rules.",
		Example: "  filmfault casebook learn --jobs 372 -o own-rules/rates.yaml\n" +
			"  filmfault --rules own-rules diagnose sign-114.yaml",
		Args: takes(0, 0, ""),
		RunE: func(cmd *cobra.Command, _ []string) error {
			o.jobsSaid = cmd.Flags().Changed("jobs")
			return runBookLearn(cmd.Context(), o)
		},
	}
	f := cmd.Flags()
	f.IntVar(&o.asked.Jobs, "jobs", 0, "how many jobs were done in the time of the cases, sound and failed, a `number`")
	f.Float64Var(&o.asked.Strength, "strength", learn.DefaultStrength, "how many `jobs` the written rates weigh")
	f.BoolVar(&o.asked.MeasuredOnly, "measured-only", false, "let only verdicts by a measurement teach")
	f.Var(o.format, "format", "how to print what the rates move; json leaves out the rule file unless -o names one")
	f.StringVarP(&o.file, "output", "o", "", "write the rates into a rule `file`")
	f.BoolVar(&o.force, "force", false, "write over the file if it is there")
	return cmd
}

// check refuses options that cannot be, before the book is read.
func (o *bookLearnOptions) check() error {
	switch {
	case o.jobsSaid && o.asked.Jobs < 1:
		return usagef("--jobs %d: how many jobs were done, at least 1; leave it out to learn the odds between causes alone", o.asked.Jobs)
	case !(o.asked.Strength > 0) || math.IsInf(o.asked.Strength, 0):
		return usagef("--strength %v: the written rates must weigh something; give a number of jobs such as %d", o.asked.Strength, learn.DefaultStrength)
	}
	if _, err := os.Lstat(o.file); o.file != "" && err == nil && !o.force {
		return usagef("%s is there already; give another name, or --force to write over it", o.file)
	}
	if folder := filepath.Dir(o.file); o.file != "" && noFolder(folder) {
		return fmt.Errorf("there is no folder %s to write into; make it first", folder)
	}
	return nil
}

func runBookLearn(ctx context.Context, o *bookLearnOptions) error {
	if err := o.check(); err != nil {
		return err
	}
	shelf, ok := o.app.ownShelf()
	if !ok {
		return o.app.noBook()
	}
	r, err := o.app.prepared()
	if err != nil {
		return err
	}
	if err := o.countJobs(r.Base, shelf); err != nil {
		return err
	}
	taught, broken, err := o.app.readTaught(ctx, r, shelf)
	if err != nil {
		return err
	}
	var cases []learn.Case
	for _, t := range taught {
		cases = append(cases, t.Case)
	}
	step := o.app.steadily("learning from the cases", len(cases))
	o.asked.Before = func() error {
		step()
		return context.Cause(ctx)
	}
	l, err := learn.From(r.Base, cases, o.asked)
	if err != nil {
		return err
	}
	compared, err := o.app.effects(ctx, l, taught)
	if err != nil {
		return err
	}
	if err := o.tell(r.Base, l, compared); err != nil {
		return err
	}
	if broken {
		return errTold
	}
	return nil
}

// noBook says that there are no cases of the shop's own.
func (a *app) noBook() error {
	dir, err := a.bookFolder()
	if err != nil {
		return err
	}
	return fmt.Errorf("there are no cases of yours in %s; add some with `filmfault casebook add`, or name their folder with --book DIR", dir)
}

// countJobs takes the jobs by month from the book, unless their number was given.
func (o *bookLearnOptions) countJobs(b *rulebase.Base, shelf book.Shelf) error {
	if o.jobsSaid {
		return nil
	}
	jobs, err := o.app.jobsDone(b, book.Book{Shelves: []book.Shelf{shelf}})
	if err == nil && len(jobs.Broken) > 0 {
		return fmt.Errorf("mend %s first, or give the number of jobs with --jobs: without it something else would be learned", book.Jobs)
	}
	if err != nil || !jobs.Given() {
		return err
	}
	o.asked.Months = map[string]int{}
	for _, line := range jobs.And(review.Jobs{}).Lines { // with a line for all jobs of each month
		if line.Split.ID == "" {
			o.asked.Months[line.Month.String()] += line.Done
		}
	}
	return nil
}

// taughtCase is a case with its ranking under the rules in force; no sheet for one
// that has none.
type taughtCase struct {
	learn.Case
	before learn.Ranking
	sheet  *diagnosis.Sheet
	talk   []byte
	err    error
}

// readTaught reads the cases of a shelf and ranks the settled ones. A case that
// cannot be read or ranked is told of, and the others go on.
func (a *app) readTaught(ctx context.Context, r *diagnosis.Rules, shelf book.Shelf) (out []taughtCase, broken bool, err error) {
	places, err := book.Book{Shelves: []book.Shelf{shelf}}.Places()
	if err != nil {
		return nil, false, fmt.Errorf("the casebook cannot be read: %w", err)
	}
	step := a.steadily("ranking settled cases", len(places))
	err = book.InOrder(ctx, places, func(p book.Place) taughtCase { return a.taught(ctx, r, p) }, func(t taughtCase) error {
		step()
		broken = a.passOn(t.talk, t.err) || broken
		if t.ID != "" {
			out = append(out, t)
		}
		return nil
	})
	return out, broken, err
}

// passOn prints what there was to say of a case and reports whether it failed.
func (a *app) passOn(talk []byte, err error) bool {
	_, _ = a.talking().Write(talk)               // there is nowhere to say that talk cannot be shown
	if !errors.Is(err, console.ErrInterrupted) { // the whole command is stopped, and says so once
		tell(a.console, err)
	}
	return err != nil
}

func (a *app) taught(ctx context.Context, r *diagnosis.Rules, p book.Place) taughtCase {
	var talk bytes.Buffer
	mine := *a
	mine.talk = &talk
	t := mine.teach(ctx, r, p)
	t.talk = talk.Bytes()
	return t
}

func (a *app) teach(ctx context.Context, r *diagnosis.Rules, p book.Place) taughtCase {
	o, err := a.openPlace(p)
	if err != nil {
		return taughtCase{err: err}
	}
	sheet, err := a.sheetOf(r.Base, o)
	if err != nil {
		return taughtCase{err: err}
	}
	t := taughtCase{Case: caseOf(r.Base, p, o, sheet)}
	if !t.Settled || t.Invented || len(t.Seen) == 0 {
		return t
	}
	o.c = undecided(r.Base, o.c, o.c.Verdict)
	e, err := a.evaluateCase(ctx, r, o)
	if err != nil {
		t.err = err
		return t
	}
	kept := e.Sheet // a copy: a pointer into the evaluation would keep its network
	t.before, t.sheet = learn.RankingOf(e.Evaluation), &kept
	return t
}

func caseOf(b *rulebase.Base, p book.Place, o opened, s diagnosis.Sheet) learn.Case {
	c := learn.Of(b, p.ID, o.c, s)
	if r := review.Take(b, book.Item{Place: p, Case: o.c}); r.Record != nil {
		c.Month = r.Record.Finished.Month().String()
	}
	return c
}

// sheetOf reads a case by the rules, and complains only of what is in error:
// warnings come with its evaluation.
func (a *app) sheetOf(b *rulebase.Base, o opened) (diagnosis.Sheet, error) {
	if s, err := a.quiet().resolve(b, o); err == nil {
		return s, nil
	}
	return a.resolve(b, o)
}

// openPlace reads a case of a book, and complains of what is wrong in it.
func (a *app) openPlace(p book.Place) (opened, error) {
	it := p.Read()
	if len(it.Problems) > 0 {
		a.complain(it.Problems, map[string][]byte{it.Shown(): it.Data})
	}
	if it.Err != nil {
		return opened{}, fmt.Errorf("%s cannot be read: %w", it.Shown(), reason(it.Err))
	}
	if it.Case == nil {
		return opened{}, errTold
	}
	if p.Path() == "" {
		return opened{nil, it.Case, p.ID, it.Data}, nil
	}
	return opened{&casefile.Store{Path: p.Path(), Case: it.Case}, it.Case, p.Path(), it.Data}, nil
}

// effects ranks the settled cases under the learned rates and compares.
func (a *app) effects(ctx context.Context, l *learn.Learned, taught []taughtCase) ([]learn.Compared, error) {
	after, err := diagnosis.Prepare(l.Base())
	if err != nil {
		return nil, err
	}
	type effect struct {
		learn.Compared
		err error
	}
	ranked := slices.DeleteFunc(slices.Clone(taught), func(t taughtCase) bool { return t.sheet == nil })
	step := a.steadily("ranking by the rates learned", len(ranked))
	var out []learn.Compared
	err = book.InOrder(ctx, ranked, func(t taughtCase) effect {
		e, err := after.Evaluate(*t.sheet)
		if err != nil {
			return effect{err: explainFailure(err, t.ID)}
		}
		return effect{Compared: learn.Compare(t.ID, t.Judged, t.before, learn.RankingOf(e))}
	}, func(x effect) error {
		step()
		out = append(out, x.Compared)
		return x.err
	})
	return out, err
}
