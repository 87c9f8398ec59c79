package cli

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"filmfault/internal/book"
	"filmfault/internal/book/learn"
	"filmfault/internal/console"
	"filmfault/internal/diagnosis"
	"filmfault/internal/report"
	"filmfault/internal/report/render"
)

type bookReplayOptions struct {
	app    *app
	format *choice
}

func newBookReplay(a *app) *cobra.Command {
	o := &bookReplayOptions{app: a}
	cmd := &cobra.Command{
		Use:   "replay",
		Short: "Rank settled cases again by the rules in force, and compare with how they stood",
		Long: "Rank the settled cases of your book again, with their facts, findings and logs as they are in their files\n" +
			"but for the readings that decided, by the rules in force, and compare with the rankings as they stood when the cases were settled: whose\n" +
			"first place changes, whether the confirmed cause stands further up or down, and how good the rankings\n" +
			"were and would be. Both are cut to as many places as the case kept. A case that was ranked by these same\n" +
			"rules is not counted: what moves there was put into the case later. Without cases of your own, the\n" +
			"built-in ones are taken, which are invented.",
		Example: "  filmfault casebook replay\n  filmfault --rules own-rules casebook replay --format markdown",
		Args:    takes(0, 0, ""),
		RunE:    func(cmd *cobra.Command, _ []string) error { return runBookReplay(cmd.Context(), o) },
	}
	o.format = formatFlag(cmd)
	return cmd
}

func runBookReplay(ctx context.Context, o *bookReplayOptions) error {
	r, err := o.app.prepared()
	if err != nil {
		return err
	}
	shelf, ok := o.app.ownShelf()
	switch {
	case !ok && o.app.ownBook != "":
		return o.app.noBook()
	case !ok:
		shelf = builtInShelf()
	}
	p, broken, err := o.app.replay(ctx, r, shelf)
	if err != nil {
		return err
	}
	if err := o.print(p); err != nil {
		return err
	}
	if broken {
		return errTold
	}
	return nil
}

// replayed is a book of settled cases ranked again.
type replayed struct {
	rules    report.Rules
	settled  int
	invented int
	without  []string // cases that keep no ranking
	same     int      // ranked by the rules in force then: nothing to compare
	later    []string // of those, the ones whose first place was changed by later answers
	cases    []replayedCase
	summary  learn.Summary
}

type replayedCase struct {
	learn.Compared
	sameRules bool
}

// rankedAgain is one case ranked again; not ranked when it is open, or when no
// failure is marked seen in it.
type rankedAgain struct {
	replayedCase
	ranked, invented, kept bool
	talk                   []byte
	err                    error
}

// replay ranks the settled cases of a shelf, side by side.
func (a *app) replay(ctx context.Context, r *diagnosis.Rules, shelf book.Shelf) (p replayed, broken bool, err error) {
	places, err := book.Book{Shelves: []book.Shelf{shelf}}.Places()
	if err != nil {
		return p, false, fmt.Errorf("the casebook cannot be read: %w", err)
	}
	p.rules = report.Rules{Digest: r.Base.Digest, Layers: r.Base.Layers}
	step := a.steadily("ranking settled cases again", len(places))
	err = book.InOrder(ctx, places, func(at book.Place) rankedAgain { return a.rankedAgain(ctx, r, at) }, func(x rankedAgain) error {
		step()
		broken = a.passOn(x.talk, x.err) || broken
		p.add(x)
		return nil
	})
	var list []learn.Compared
	for _, c := range p.cases {
		list = append(list, c.Compared)
	}
	p.summary = learn.Summarise(list)
	return p, broken, err
}

func (p *replayed) add(x rankedAgain) {
	if !x.ranked {
		return
	}
	p.settled++
	if x.invented {
		p.invented++
	}
	if !x.kept {
		p.without = append(p.without, x.Case)
		return
	}
	if x.sameRules {
		p.same++
		if x.FirstChanged() {
			p.later = append(p.later, x.Case)
		}
		return
	}
	p.cases = append(p.cases, x.replayedCase)
}

func (a *app) rankedAgain(ctx context.Context, r *diagnosis.Rules, at book.Place) rankedAgain {
	var talk bytes.Buffer
	mine := *a
	mine.talk = &talk
	x, err := mine.rankAgain(ctx, r, at)
	x.talk, x.err = talk.Bytes(), err
	return x
}

func (a *app) rankAgain(ctx context.Context, r *diagnosis.Rules, at book.Place) (rankedAgain, error) {
	o, err := a.openPlace(at)
	if err != nil || o.c.Verdict == nil {
		return rankedAgain{}, err
	}
	if sheet, err := a.sheetOf(r.Base, o); err != nil || len(sheet.Seen(r.Base)) == 0 {
		return rankedAgain{}, err
	}
	v := o.c.Verdict
	o.c = undecided(r.Base, o.c, v)
	e, err := a.evaluateCase(ctx, r, o)
	if err != nil {
		return rankedAgain{}, err
	}
	then := learn.Stood(r.Base, v)
	x := rankedAgain{ranked: true, invented: o.c.Invented, kept: len(then) > 0}
	x.Compared = learn.Compare(at.ID, learn.Judgements(r.Base, o.c), then, learn.RankingOf(e.Evaluation))
	x.sameRules = v.Rules == r.Base.Digest
	return x, nil
}

func (o *bookReplayOptions) print(p replayed) error {
	out := o.app.console.Out()
	switch o.format.value {
	case "json":
		return render.JSON(out, replayedJSON(p))
	case "markdown":
		return p.markdown(out)
	}
	return p.text(out, min(o.app.console.Width(), 100))
}

// head says what was compared, in sentences.
func (p replayed) head() []string {
	out := []string{fmt.Sprintf("%d settled cases ranked again by rules %s (%s).", p.settled, p.rules.Digest, strings.Join(p.rules.Layers, " + "))}
	if p.invented > 0 {
		out = append(out, fmt.Sprintf("Invented, and no measure of anything: %d.", p.invented))
	}
	if n := len(p.without); n > 0 {
		out = append(out, fmt.Sprintf("%d keep no ranking to compare with.", n))
	}
	if p.same > 0 {
		text := fmt.Sprintf("%d were ranked by these same rules then, so that there is nothing to compare", p.same)
		if len(p.later) > 0 {
			text += "; what was put in after settling changed the first place of " + strings.Join(p.later, ", ")
		}
		out = append(out, text+".")
	}
	if len(p.cases) > 0 {
		out = append(out, "Then and now without the readings that decided. Other answers that were put in after settling count now and did not then.")
	}
	return out
}

// told reports whether a case is worth a line: its first place changes, or its
// confirmed cause moves.
func (c replayedCase) told() bool {
	return c.FirstChanged() || c.Turn() == learn.Better || c.Turn() == learn.Worse
}

// line says what became of a case.
func (c replayedCase) line() string {
	out := fmt.Sprintf("first then %s, now %s", leading(c.Before), leading(c.After))
	if !c.FirstChanged() {
		out = "first then and now " + leading(c.After)
	}
	switch c.Turn() {
	case learn.NoCause:
		out += "; no listed cause was confirmed"
	default:
		out += fmt.Sprintf("; confirmed %s, %s then, %s now: %s", c.Confirmed, placeIn(c.PlaceBefore), placeIn(c.PlaceAfter), c.Turn())
	}
	return out
}

func leading(r learn.Ranking) string {
	if len(r) == 0 {
		return "none"
	}
	return fmt.Sprintf("%s (%s)", r[0].Cause, report.Percent(report.Number(r[0].Contributed)))
}

func placeIn(n int) string {
	if n == 0 {
		return "not among the places kept"
	}
	return fmt.Sprintf("place %d", n)
}

// sums are the lines of the summary: what, then, now.
func (p replayed) sums() [][3]string {
	s := p.summary
	of := func(n int) string { return fmt.Sprintf("%d of %d", n, s.Cases-s.NoCause) }
	rows := [][3]string{
		{"confirmed cause first", of(s.Before.First), of(s.After.First)},
		{"among the first three", of(s.Before.FirstThree), of(s.After.FirstThree)},
	}
	if s.Judged > 0 {
		rows = append(rows, [3]string{"Brier score", fmt.Sprintf("%.3f", s.Before.Brier), fmt.Sprintf("%.3f", s.After.Brier)})
	}
	return rows
}

func (p replayed) counts() string {
	s := p.summary
	return fmt.Sprintf("Of %d compared, the first place changes in %d. The confirmed cause stands further up in %d, further down in %d, where it stood in %d; in %d no listed cause was confirmed.",
		s.Cases, s.FirstChanged, s.Better, s.Worse, s.Same, s.NoCause)
}

// brier says how to read the score.
const brier = "The Brier score is the mean square between probability and outcome over the causes confirmed or ruled out: 0 at best, 1 at worst."

func (p replayed) text(w io.Writer, width int) error {
	var b strings.Builder
	say := func(text string) { b.WriteString(console.Wrap(console.Printable(text), width, "", "  ") + "\n") }
	for _, s := range p.head() {
		say(s)
	}
	if len(p.cases) > 0 {
		b.WriteByte('\n')
		for _, c := range p.cases {
			if c.told() {
				say(c.Case + ": " + c.line())
			}
		}
		say(p.counts())
		fmt.Fprintf(&b, "\n%-25s%-12s%s\n", "", "then", "now")
		for _, row := range p.sums() {
			fmt.Fprintf(&b, "%-25s%-12s%s\n", row[0], row[1], row[2])
		}
		say(brier)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func (p replayed) markdown(w io.Writer) error {
	var b strings.Builder
	fmt.Fprintf(&b, "# Settled cases ranked again\n\n%s\n", strings.Join(p.head(), " "))
	if len(p.cases) > 0 {
		b.WriteString("\n| case | first then | first now | confirmed | then | now | |\n|---|---|---|---|---|---|---|\n")
		for _, c := range p.cases {
			fmt.Fprintf(&b, "| %s | %s | %s | %s | %s | %s | %s |\n", cell(c.Case), cell(leading(c.Before)), leading(c.After),
				cell(c.Confirmed), placeIn(c.PlaceBefore), placeIn(c.PlaceAfter), c.Turn())
		}
		fmt.Fprintf(&b, "\n%s\n\n| | then | now |\n|---|---|---|\n", p.counts())
		for _, row := range p.sums() {
			fmt.Fprintf(&b, "| %s | %s | %s |\n", row[0], row[1], row[2])
		}
		fmt.Fprintf(&b, "\n%s\n", brier)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// cell keeps what was typed from ending a cell of a table, or from being markup.
func cell(text string) string {
	return strings.NewReplacer("|", `\|`, "<", "&lt;", "*", `\*`, "_", `\_`, "`", "\\`", "[", `\[`).Replace(console.Printable(text))
}

// replayedDocument is a replay as plain data. Its names stay.
type replayedDocument struct {
	Schema   int            `json:"schema"`
	Rules    report.Rules   `json:"rules"`
	Settled  int            `json:"settled"`
	Invented int            `json:"invented"`
	Without  []string       `json:"without_ranking"`
	SameThen int            `json:"same_rules"`
	Later    []string       `json:"changed_by_later_answers"` // of those with the same rules, by case
	Cases    []replayedLine `json:"cases"`
	Rankings rankedTwice    `json:"rankings"`
}

type replayedLine struct {
	Case        string `json:"case"`
	FirstBefore string `json:"first_before"`
	FirstAfter  string `json:"first_after"`
	Confirmed   string `json:"confirmed"`
	PlaceBefore int    `json:"place_before"` // 0 where the ranking does not name it
	PlaceAfter  int    `json:"place_after"`
	Turn        string `json:"turn"`
}

// rankedTwice is a summary of rankings before and after.
type rankedTwice struct {
	Cases        int         `json:"cases"`
	FirstChanged int         `json:"first_changed"`
	Better       int         `json:"better"`
	Worse        int         `json:"worse"`
	Same         int         `json:"same"`
	NoCause      int         `json:"no_cause"`
	Judged       int         `json:"judged"`
	Before       rankedScore `json:"before"`
	After        rankedScore `json:"after"`
}

type rankedScore struct {
	First      int            `json:"first"`
	FirstThree int            `json:"first_three"`
	Brier      *report.Number `json:"brier"` // null where no cause was judged
}

func rankedJSON(s learn.Summary) rankedTwice {
	score := func(x learn.Score) rankedScore {
		out := rankedScore{First: x.First, FirstThree: x.FirstThree}
		if s.Judged > 0 {
			n := report.Number(x.Brier)
			out.Brier = &n
		}
		return out
	}
	return rankedTwice{s.Cases, s.FirstChanged, s.Better, s.Worse, s.Same, s.NoCause, s.Judged, score(s.Before), score(s.After)}
}

func replayedJSON(p replayed) replayedDocument {
	d := replayedDocument{
		Schema: 1, Rules: p.rules, Settled: p.settled, Invented: p.invented, Without: []string{}, SameThen: p.same, Later: append([]string{}, p.later...),
		Cases: []replayedLine{}, Rankings: rankedJSON(p.summary),
	}
	d.Without = append(d.Without, p.without...)
	for _, c := range p.cases {
		d.Cases = append(d.Cases, replayedLine{c.Case, c.Before.First(), c.After.First(), c.Confirmed, c.PlaceBefore, c.PlaceAfter, string(c.Turn())})
	}
	return d
}
