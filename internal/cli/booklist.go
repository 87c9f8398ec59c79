package cli

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime/debug"
	"strings"

	"github.com/spf13/cobra"

	"filmfault/internal/book"
	caselist "filmfault/internal/book/listing"
	"filmfault/internal/book/review"
	"filmfault/internal/casefile"
	"filmfault/internal/console"
	"filmfault/internal/report/render"
	"filmfault/internal/source"
)

type bookListOptions struct {
	app     *app
	shelves *shelfFlags
	asked   review.Asked
	season  string
	sort    *choice
	format  *choice
}

func newBookList(a *app) *cobra.Command {
	o := &bookListOptions{app: a, sort: &choice{value: caselist.ByID, known: caselist.Orders()}}
	cmd := &cobra.Command{
		Use:   "list",
		Short: "List the cases, by what failed, the cause, the date, or any fact",
		Long: "List the cases of the casebook, one a line. Filters add up: a case must meet them all. The date of a\n" +
			"case is the day its job was finished, or else the first that is known of when the failure was seen,\n" +
			"when the case was settled, and when the interview began. A file that cannot be read is named with\n" +
			"line and column, and the others are still listed; the exit code is then 3.",
		Example: "  filmfault casebook list --failure blistering --settled --sort cost\n" +
			"  filmfault casebook list --from 2025-10 --season autumn --where colour=dark --format markdown",
		Args: takes(0, 0, ""),
		RunE: func(cmd *cobra.Command, _ []string) error { return runBookList(cmd.Context(), o) },
	}
	o.shelves, o.format = newShelfFlags(cmd), formatFlag(cmd)
	o.shelves.ownFlag(cmd)
	f := cmd.Flags()
	f.StringVar(&o.asked.Failure, "failure", "", "only cases with this `failure` seen")
	f.StringVar(&o.asked.Cause, "cause", "", "only cases with this `cause` confirmed")
	f.StringVar(&o.asked.From, "from", "", "only cases from this `date` on, a day such as 2026-04-17 or a month such as 2026-04")
	f.StringVar(&o.asked.To, "to", "", "only cases up to this `date`, which is counted in")
	f.StringVar(&o.season, "season", "", "only cases painted in this `season`")
	f.StringArrayVar(&o.asked.Where, "where", nil, "only cases with this `fact=answer`, such as colour=dark (may be repeated)")
	f.BoolVar(&o.asked.Settled, "settled", false, "only settled cases")
	f.BoolVar(&o.asked.Open, "open", false, "only open cases")
	f.Var(o.sort, "sort", "the order of the list")
	return cmd
}

func runBookList(ctx context.Context, o *bookListOptions) error {
	places, err := o.app.places(o.shelves)
	if err != nil {
		return err
	}
	rules, err := o.app.base()
	if err != nil {
		return err
	}
	asked := o.asked
	if o.season != "" {
		asked.Where = append([]string{"season=" + o.season}, asked.Where...)
	}
	filter, err := review.ParseFilter(rules, asked)
	if err != nil {
		return usagef("%w", err)
	}
	rows, read := []caselist.Row{}, bookReader{app: o.app}
	err = eachCase(ctx, &read, places, func(it book.Item) caselist.Row { return caselist.Pick(rules, it, filter) }, func(row caselist.Row) error {
		rows = append(rows, row)
		return nil
	})
	if err != nil {
		return err
	}
	list, err := caselist.New(rows, o.sort.value, read.read, read.broken)
	if err != nil {
		return err
	}
	o.app.tellNamesakes(places)
	return errors.Join(o.print(list), read.failed())
}

// tellNamesakes tells which files go by longer ids since others have their name.
func (a *app) tellNamesakes(places []book.Place) {
	for _, same := range book.Namesakes(places) {
		ids := make([]string, len(same))
		for i, p := range same {
			ids[i] = p.ID
		}
		last := len(ids) - 1
		fmt.Fprintf(a.talking(), "%d files are named %s; they go by %s and %s.\n", len(ids), same[0].Plain(), strings.Join(ids[:last], ", "), ids[last])
	}
}

func (o *bookListOptions) print(l *caselist.List) error {
	out := o.app.console.Out()
	switch o.format.value {
	case "json":
		return render.JSON(out, l)
	case "markdown":
		return caselist.Markdown(out, l)
	}
	return caselist.Text(out, l, o.app.console.Width())
}

// shelfFlags say which folders of cases are read: here several may be named, and
// where none is it is the shop's own.
type shelfFlags struct {
	dirs []string
	own  bool // without the built-in cases
}

func newShelfFlags(cmd *cobra.Command) *shelfFlags {
	f := &shelfFlags{}
	cmd.Flags().StringArrayVar(&f.dirs, "book", nil, "read the cases of this `folder` and not of the usual one (may be repeated)")
	return f
}

// ownFlag adds --own to a command that reads the built-in cases besides.
func (f *shelfFlags) ownFlag(cmd *cobra.Command) {
	cmd.Flags().BoolVar(&f.own, "own", false, "only your own cases, without the built-in ones")
}

// shelved is the built-in cases and the folders over them.
func (a *app) shelved(f *shelfFlags) (book.Book, error) {
	var b book.Book
	if !f.own {
		b.Shelves = append(b.Shelves, builtInShelf())
	}
	if own, ok := a.ownShelf(); ok && len(f.dirs) == 0 {
		b.Shelves = append(b.Shelves, own)
	}
	for _, dir := range f.dirs {
		if noFolder(dir) {
			return b, fmt.Errorf("--book: there is no folder %q; name the folder that your cases are kept in", dir)
		}
		b.Shelves = append(b.Shelves, book.Shelf{Name: filepath.ToSlash(dir), FS: os.DirFS(dir), Dir: dir})
	}
	return b, nil
}

func (a *app) places(f *shelfFlags) ([]book.Place, error) {
	b, err := a.shelved(f)
	if err != nil {
		return nil, err
	}
	places, err := b.Places()
	if err != nil {
		return nil, fmt.Errorf("the casebook cannot be read: %w", err)
	}
	return places, nil
}

// bookReader counts the cases of a book as they are read, and tells of the files
// that cannot be.
type bookReader struct {
	app          *app
	read, broken int
	spared       int // files that were not read further
	// spare says of which files it is enough to know that they are there.
	spare func(data []byte) bool
}

// open reads a case; spared for one that need not be.
func (r *bookReader) open(p book.Place) (it book.Item, spared bool) {
	if r.spare != nil {
		data, err := fs.ReadFile(p.Shelf.FS, p.Name)
		if err == nil && r.spare(data) {
			return book.Item{Place: p}, true
		}
	}
	return p.Read(), false
}

// failed is the error of a command that went on without files it could not read.
func (r *bookReader) failed() error {
	if r.broken > 0 {
		return errTold
	}
	return nil
}

// tell names what is wrong with a file, with line and column. What is only to be
// warned of is for the commands that work on that case.
func (r *bookReader) tell(it book.Item) {
	r.broken++
	var newer *casefile.NewerError
	switch {
	case errors.As(it.Err, &newer):
		tell(r.app.console, it.Err)
	case it.Err != nil:
		tell(r.app.console, fmt.Errorf("%s cannot be read: %w", it.Shown(), reason(it.Err)))
	default:
		var errs source.List
		for _, d := range it.Problems {
			if d.Severity == source.Error {
				errs = append(errs, d)
			}
		}
		r.app.complain(errs, map[string][]byte{it.Shown(): it.Data})
	}
}

// eachCase reads the places side by side, works each case out with work, and
// gives the results to use in their order. Files that cannot be read are told.
func eachCase[T any](ctx context.Context, r *bookReader, places []book.Place, work func(book.Item) T, use func(T) error) error {
	type outcome struct {
		broken *book.Item
		out    T
		spared bool
	}
	// Reading makes much short-lived garbage, and little is kept.
	defer debug.SetGCPercent(debug.SetGCPercent(400))
	step := r.app.steadily("reading the casebook", len(places))
	return book.InOrder(ctx, places, func(p book.Place) outcome {
		it, spared := r.open(p)
		switch {
		case spared:
			return outcome{spared: true}
		case it.Case == nil:
			return outcome{broken: &it}
		}
		return outcome{out: work(it)}
	}, func(o outcome) error {
		step()
		if o.broken != nil {
			r.tell(*o.broken)
			return nil
		}
		if o.spared {
			r.spared++
			return nil
		}
		r.read++
		return use(o.out)
	})
}

// found is a case that a command works on, and its place if it stands in the book.
type found struct {
	opened
	place book.Place
}

// find opens a case: a file, or the id of a case of the book or a built-in one.
func (a *app) find(f *shelfFlags, name string) (found, []book.Place, error) {
	places, err := a.places(f)
	if err != nil {
		return found{}, nil, err
	}
	if !noFile(name) {
		o, err := a.open(name)
		return found{opened: o, place: placeOf(places, name)}, places, err
	}
	var ids []string
	for _, p := range places {
		switch {
		case p.Broken(): // no case, whatever its name
		case p.ID != name:
			ids = append(ids, p.ID)
		case p.Path() == "":
			o, _, err := a.builtInCase(name)
			return found{o, p}, places, err
		default:
			o, err := a.open(p.Path())
			o.name = name
			return found{o, p}, places, err
		}
	}
	if o, ok, err := a.builtInCase(name); ok { // asked about with --own: it is what the others are laid beside
		return found{opened: o}, places, err
	}
	return found{}, nil, fmt.Errorf("there is no case file %q and no such case in the casebook%s", name,
		nearest(strings.TrimSuffix(filepath.Base(name), filepath.Ext(name)), ids, "`filmfault casebook list` names them"))
}

// same reports whether two places are one.
func same(p, q book.Place) bool { return p.ID == q.ID && p.Shown() == q.Shown() }

// placeOf is the place of the book that a file lies at, if any.
func placeOf(places []book.Place, file string) book.Place {
	info, err := os.Stat(file)
	if err != nil {
		return book.Place{}
	}
	for _, p := range places {
		if p.Path() == "" || filepath.Base(p.Name) != filepath.Base(file) {
			continue
		}
		if other, err := os.Stat(p.Path()); err == nil && os.SameFile(info, other) {
			return p
		}
	}
	return book.Place{}
}

// printable is a case's own id, or the name it was asked for by.
func (f found) printable() string {
	if f.c.ID != "" {
		return console.Printable(f.c.ID)
	}
	return f.name
}
