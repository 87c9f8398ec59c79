package cli

import (
	"context"
	"errors"
	"slices"

	"github.com/spf13/cobra"

	"filmfault/internal/book"
	"filmfault/internal/book/similar"
	"filmfault/internal/report/render"
)

type bookSimilarOptions struct {
	app     *app
	shelves *shelfFlags
	name    string
	most    int
	settled bool
	format  *choice
}

func newBookSimilar(a *app) *cobra.Command {
	o := &bookSimilarOptions{app: a}
	cmd := &cobra.Command{
		Use:   "similar CASE",
		Short: "Find the past cases nearest to a case, and why they are near",
		Long: "Find the past cases that are nearest to a case: a file, or the id of a case of the casebook. They must\n" +
			"have a failure in common; then they are near by the weight of what is alike, less the weight of what\n" +
			"differs. An answer weighs as much as it tells the causes of these failures apart by the rules, so\n" +
			"that a dozen idle answers in common count for nothing. A similar case is no proof.",
		Example: "  filmfault casebook similar harbour-cafe\n" +
			"  filmfault casebook similar sign-114.yaml --book cases --settled --most 3 --format json",
		Args: takes(1, 1, "which case? Give a case file, or the id of a case (`filmfault casebook list`)"),
		RunE: func(cmd *cobra.Command, args []string) error {
			o.name = args[0]
			return runBookSimilar(cmd.Context(), o)
		},
	}
	o.shelves, o.format = newShelfFlags(cmd), formatFlag(cmd)
	o.shelves.ownFlag(cmd)
	cmd.Flags().IntVar(&o.most, "most", 5, "how many cases to show at most, a `number`")
	cmd.Flags().BoolVar(&o.settled, "settled", false, "only settled cases")
	return cmd
}

func runBookSimilar(ctx context.Context, o *bookSimilarOptions) error {
	if o.most < 1 {
		return usagef("--most %d: show at least one case", o.most)
	}
	c, places, err := o.app.find(o.shelves, o.name)
	if err != nil {
		return err
	}
	asked, err := o.prepare(ctx, c)
	if err != nil {
		return err
	}
	// A case is nearest to itself, which tells nobody anything.
	places = slices.DeleteFunc(places, func(p book.Place) bool { return same(p, c.place) })
	finder := similar.NewFinder(asked, c.printable(), o.most)
	read := bookReader{app: o.app, spare: func(data []byte) bool { return !asked.Mentions(data) }}
	err = eachCase(ctx, &read, places, func(it book.Item) *similar.Candidate {
		if o.settled && it.Case.Verdict == nil {
			return nil
		}
		found := finder.Compare(it)
		return &found
	}, func(found *similar.Candidate) error {
		if found != nil {
			finder.Add(*found)
		}
		return nil
	})
	if err != nil {
		return err
	}
	return errors.Join(o.print(finder.Document(read.spared, read.broken)), read.failed())
}

// prepare weighs the answers of the case asked about.
func (o *bookSimilarOptions) prepare(ctx context.Context, c found) (*similar.Asked, error) {
	rules, err := o.app.prepared()
	if err != nil {
		return nil, err
	}
	sheet, err := o.app.resolve(rules.Base, c.opened)
	if err != nil {
		return nil, err
	}
	asked, err := similar.Prepare(ctx, rules, sheet, func(of int) func() { return o.app.steadily("weighing the answers", of) })
	if errors.Is(err, context.Canceled) {
		return nil, err
	}
	return asked, explainFailure(err, o.name)
}

func (o *bookSimilarOptions) print(d *similar.Document) error {
	out := o.app.console.Out()
	switch o.format.value {
	case "json":
		return render.JSON(out, d)
	case "markdown":
		return similar.Markdown(out, d)
	}
	return similar.Text(out, d, min(o.app.console.Width(), 100))
}
