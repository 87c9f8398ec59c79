package cli

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path"
	"runtime/debug"

	"github.com/spf13/cobra"

	"filmfault/internal/book"
	"filmfault/internal/book/review"
	"filmfault/internal/book/review/page"
	"filmfault/internal/casefile"
	"filmfault/internal/rulebase"
	"filmfault/internal/source"
)

type bookReviewOptions struct {
	app     *app
	shelves *shelfFlags
	asked   review.Asked
	format  *choice
	file    string
	force   bool
}

func newBookReview(a *app) *cobra.Command {
	o := &bookReviewOptions{app: a}
	cmd := &cobra.Command{
		Use:   "review",
		Short: "Look back over the casebook: causes, costs, rates, repeats, and how good the rankings were",
		Long: "Look back over a casebook as its owner does: what failed and what it cost, by cause and by season, lot,\n" +
			"tool and the rest; which causes came back within " + fmt.Sprint(review.RepeatDays) + " days; which other jobs share a bad lot; which\n" +
			"practice would have avoided how much; and how good the rankings were.\n\n" +
			"Your own cases are reviewed, without the built-in demonstrations; these only where there are no others. A\n" +
			"file " + book.Jobs + " in the folder of your cases says how many jobs were done; failures are then told for a\n" +
			"hundred jobs:\n\n" +
			"  schema: 1\n" +
			"  jobs:\n" +
			"    - {month: 2026-04, done: 31}\n" +
			"    - {month: 2026-04, done: 12, tool: spray}   # of them, by any fact or line of a job\n\n" +
			"A case file that cannot be read is named and left out; the exit code is then 3.",
		Example: "  filmfault casebook review --book cases --from 2026-01\n" +
			"  filmfault casebook review --book cases --where tool=spray --format html -o review.html",
		Args: takes(0, 0, ""),
		RunE: func(cmd *cobra.Command, _ []string) error { return runBookReview(cmd.Context(), o) },
	}
	o.shelves, o.format = newShelfFlags(cmd), formatFlag(cmd)
	o.format.known = append(o.format.known, "html")
	o.filterFlags(cmd)
	cmd.Flags().StringVarP(&o.file, "output", "o", "", "write the review into a `file`")
	cmd.Flags().BoolVar(&o.force, "force", false, "write over the file if it is there")
	return cmd
}

func (o *bookReviewOptions) filterFlags(cmd *cobra.Command) {
	f := cmd.Flags()
	f.StringVar(&o.asked.From, "from", "", "only cases from this `date` on, a day such as 2026-04-17 or a month such as 2026-04")
	f.StringVar(&o.asked.To, "to", "", "only cases up to this `date`, which is counted in")
	f.StringVar(&o.asked.Failure, "failure", "", "only cases with this `failure` seen")
	f.StringVar(&o.asked.Cause, "cause", "", "only cases with this `cause` confirmed")
	f.StringArrayVar(&o.asked.Where, "where", nil, "only cases with this `fact=answer`, such as colour=dark or primer-lot=P-118 (may be repeated)")
	f.BoolVar(&o.asked.Settled, "settled", false, "only settled cases")
	f.BoolVar(&o.asked.Open, "open", false, "only open cases")
}

func runBookReview(ctx context.Context, o *bookReviewOptions) error {
	b, err := o.app.base()
	if err != nil {
		return err
	}
	filter, err := review.ParseFilter(b, o.asked)
	if err != nil {
		return usagef("%w", err)
	}
	shelves, err := o.reviewed()
	if err != nil {
		return err
	}
	in, err := o.app.readBook(ctx, b, shelves)
	if err != nil {
		return err
	}
	// The review is made all the same; the exit code tells of what it lacks.
	var lacking error
	if len(in.Left) > 0 {
		lacking = errTold
	}
	d := review.Build(b, in, filter)
	if o.file == "" {
		return errors.Join(o.print(o.app.console.Out(), d), lacking)
	}
	var out bytes.Buffer
	if err := o.print(&out, d); err != nil {
		return err
	}
	if err := writeNew(o.file, out.Bytes(), o.force); err != nil {
		return err
	}
	fmt.Fprintf(o.app.talking(), "The review is in %s.\n", o.file)
	return lacking
}

func (o *bookReviewOptions) print(w io.Writer, d *review.Document) error {
	switch o.format.value {
	case "json":
		return page.JSON(w, d)
	case "markdown":
		return page.Markdown(w, d)
	case "html":
		return page.HTML(w, d)
	}
	return page.Text(w, d, min(o.app.console.Width(), 100))
}

// reviewed is the shop's own folders, or the built-in cases where there are none:
// invented cases must not count among the shop's.
func (o *bookReviewOptions) reviewed() (book.Book, error) {
	b, err := o.app.shelved(o.shelves)
	if err != nil {
		return b, err
	}
	own := book.Book{}
	for _, s := range b.Shelves {
		if s.Dir != "" {
			own.Shelves = append(own.Shelves, s)
		}
	}
	if len(own.Shelves) == 0 {
		return b, nil
	}
	return own, nil
}

// readBook reads the cases and the jobs done, and warns of what it leaves out.
func (a *app) readBook(ctx context.Context, b *rulebase.Base, shelves book.Book) (review.Input, error) {
	in := review.Input{}
	for _, s := range shelves.Shelves {
		in.Books = append(in.Books, s.Name)
	}
	places, err := shelves.Places()
	if err != nil {
		return in, fmt.Errorf("the casebook cannot be read: %w", err)
	}
	if in.Jobs, err = a.jobsDone(b, shelves); err != nil {
		return in, err
	}
	defer collectSeldom()()
	told, step := warned{sources: map[string][]byte{}}, a.steadily("reading the casebook", len(places))
	err = book.InOrder(ctx, places, func(p book.Place) review.Reading { return review.Take(b, p.Read()) }, func(r review.Reading) error {
		step()
		told.add(r)
		if r.Record == nil {
			in.Left = append(in.Left, r.LeftOut())
			return nil
		}
		in.Records = append(in.Records, *r.Record)
		return nil
	})
	if err != nil {
		return in, err
	}
	a.warn(told)
	return in, nil
}

// plenty is how much memory the reading of a book may take before the garbage of
// its parsing is collected however often that must be.
const plenty = 400 << 20

// collectSeldom lets garbage pile up for a while, since parsing makes much that
// dies at once and collecting it while it grows takes a third of the time. What
// it gives back ends that.
func collectSeldom() (restore func()) {
	percent, limit := debug.SetGCPercent(400), debug.SetMemoryLimit(-1)
	debug.SetMemoryLimit(min(limit, plenty))
	return func() {
		debug.SetGCPercent(percent)
		debug.SetMemoryLimit(limit)
	}
}

// jobsDone reads the jobs done of each folder. A file with errors is left out and
// the review goes on without it.
func (a *app) jobsDone(b *rulebase.Base, shelves book.Book) (review.Jobs, error) {
	var jobs review.Jobs
	for _, s := range shelves.Shelves {
		name := path.Join(s.Name, book.Jobs)
		f, err := s.FS.Open(book.Jobs)
		if errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if err != nil {
			return jobs, fmt.Errorf("%s cannot be read: %w", name, reason(err))
		}
		here, data, diags, err := review.ReadJobs(b, f, name, review.DayOf(a.console.Now()))
		if err := errors.Join(err, f.Close()); err != nil {
			return jobs, fmt.Errorf("%s cannot be read: %w", name, reason(err))
		}
		a.complain(diags, map[string][]byte{name: data})
		if diags.HasErrors() {
			fmt.Fprintf(a.talking(), "%s: the jobs done were left out for that.\n", name)
			jobs.Broken = append(jobs.Broken, firstError(diags))
			continue
		}
		jobs = jobs.And(here)
	}
	return jobs, nil
}

// firstError is where the first error is.
func firstError(list source.List) string {
	for _, d := range list {
		if d.Severity == source.Error {
			return d.Span.String()
		}
	}
	return ""
}

// warned gathers what is wrong in the files of a book.
type warned struct {
	problems source.List
	failed   []error // what is no place in a file
	sources  map[string][]byte
}

// quoted is the number of files of which lines are shown with their problems.
const quoted = 20

func (w *warned) add(r review.Reading) {
	var newer *casefile.NewerError
	switch {
	case errors.As(r.Err, &newer):
		w.failed = append(w.failed, fmt.Errorf("warning: %w; it is left out", r.Err))
	case r.Err != nil:
		w.failed = append(w.failed, fmt.Errorf("warning: %s cannot be read and is left out: %w", r.File, reason(r.Err)))
	}
	told := false
	for _, d := range r.Problems {
		if r.Record != nil {
			if d.Severity == source.Warning {
				w.problems = append(w.problems, d)
			}
			continue
		}
		// The first error says why; one broken file has no need of more.
		if d.Severity == source.Error && !told {
			told = true
			d.Severity, d.Summary = source.Warning, d.Summary+"; the file is left out"
			w.problems = append(w.problems, d)
		}
	}
	if len(r.Problems) > 0 && len(w.sources) < quoted {
		w.sources[r.File] = r.Data
	}
}

// warn prints all of it: a file that is left out is named, however many are.
func (a *app) warn(w warned) {
	opt := source.PrintOptions{Width: a.console.Width(), Color: a.console.TalkColor()}
	// An error here means that talk cannot be shown; there is nowhere to say so.
	_ = source.Print(a.talking(), w.problems, w.sources, opt)
	for _, err := range w.failed {
		tell(a.console, err)
	}
}

// again is how long it takes until a person is told anew of work that goes on.
const again = 5 * patience

// steadily counts steps of work and tells of them when it takes longer than a
// moment, and every few moments after.
func (a *app) steadily(what string, of int) func() {
	next := a.console.Now().Add(patience)
	done := 0
	return func() {
		done++
		if done == of || a.console.Now().Before(next) {
			return
		}
		next = a.console.Now().Add(again)
		fmt.Fprintf(a.talking(), "%s, %d of %d done ...\n", what, done, of)
	}
}
