package cli

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"filmfault/internal/book/review"
	"filmfault/internal/casefile"
	"filmfault/internal/diagnosis"
	"filmfault/internal/rulebase"
)

type bookSettleOptions struct {
	app                              *app
	name                             string
	confirmed, ruledOut, notExamined []string
	unlisted, noFault, again         bool
	date, by, pays, changed, note    string
	costs                            []string
	format                           *choice
}

func newBookSettle(a *app) *cobra.Command {
	o := &bookSettleOptions{app: a}
	cmd := &cobra.Command{
		Use:   "settle CASE",
		Short: "Record the verdict on a case: what was confirmed, by which measurement, and what it cost",
		Long: "Record the verdict on a case, a file or a case of the book; a built-in case is first copied into the\n" +
			"folder of your cases. A verdict says at least one of: which cause was confirmed, that it was something\n" +
			"the rules do not list, that there was no fault. The ranking as it stood before the readings that\n" +
			"decided is kept with it, so that hindsight cannot better it. A case that is settled is settled again with --again only: what you give\n" +
			"then takes the place of what stood there; what you do not give stays, the day and the first ranking too.",
		Example: "  filmfault casebook settle sign-114 --confirmed thick-pass=groove-thickness --ruled-out dust-left=dust-tape\n" +
			"  filmfault casebook settle sign-115 --unlisted --by \"the shop\" --cost \"lift rental=180\" --cost repaint=420 --pays \"the shop\"",
		Args: takes(1, 1, "which case? Give its id as `filmfault casebook list` prints it, or a case file"),
		RunE: func(cmd *cobra.Command, args []string) error {
			o.name = args[0]
			return runBookSettle(cmd.Context(), o)
		},
		ValidArgsFunction: func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
			return a.caseIDs(), cobra.ShellCompDirectiveDefault
		},
	}
	o.flags(cmd)
	return cmd
}

func (o *bookSettleOptions) flags(cmd *cobra.Command) {
	f := cmd.Flags()
	f.StringArrayVar(&o.confirmed, "confirmed", nil, "a cause that a measurement confirmed, `CAUSE=MEASUREMENT` (may be repeated)")
	f.StringArrayVar(&o.ruledOut, "ruled-out", nil, "a cause that a measurement ruled out, `CAUSE=MEASUREMENT` (may be repeated)")
	f.StringArrayVar(&o.notExamined, "not-examined", nil, "a `CAUSE` that nobody examined (may be repeated)")
	f.BoolVar(&o.unlisted, "unlisted", false, "it was something that the rules do not list")
	f.BoolVar(&o.noFault, "no-fault", false, "there was no fault")
	f.StringVar(&o.date, "date", "", "the `day` it was settled, such as 2026-04-17; when not given, today, or with --again the day that stands")
	f.StringVar(&o.by, "by", "", "`who` settled it")
	f.StringVar(&o.pays, "pays", "", "`who` pays")
	f.StringArrayVar(&o.costs, "cost", nil, "what something cost, `WHAT=AMOUNT` (may be repeated)")
	f.StringVar(&o.changed, "changed", "", "`what` was changed in the shop for it")
	f.StringVar(&o.note, "note", "", "anything else, in `words`")
	f.BoolVar(&o.again, "again", false, "change the verdict of a case that is settled")
	o.format = textOrJSON(cmd, "how to print what was recorded")
}

// runBookSettle begins again when somebody else changed the case meanwhile: what
// is to be recorded is all at hand.
func runBookSettle(ctx context.Context, o *bookSettleOptions) error {
	r, err := o.app.prepared()
	if err != nil {
		return err
	}
	given, err := o.read(r.Base)
	if err != nil {
		return err
	}
	const attempts = 5
	for range attempts {
		if err = o.settle(ctx, r, given); !errors.Is(err, casefile.ErrChanged) {
			return err
		}
	}
	return err
}

// read is the verdict as given on the command line, checked by the rules.
func (o *bookSettleOptions) read(b *rulebase.Base) (*casefile.Verdict, error) {
	v := &casefile.Verdict{By: o.by, Unlisted: o.unlisted, NoFault: o.noFault, Note: o.note}
	v.Pays, v.Changed = o.pays, o.changed
	var err error
	if v.Settled, err = o.day(); err != nil {
		return nil, err
	}
	for _, list := range []struct {
		flag, state string
		given       []string
	}{
		{"--confirmed", casefile.Confirmed, o.confirmed},
		{"--ruled-out", casefile.RuledOut, o.ruledOut},
		{"--not-examined", casefile.NotExamined, o.notExamined},
	} {
		for _, text := range list.given {
			x, err := ruled(b, list.flag, list.state, text)
			if err != nil {
				return nil, err
			}
			if i := ofCause(v.Causes, x.Cause); i >= 0 {
				return nil, usagef("%s is named twice, %s and %s; say one thing of each cause", x.Cause, v.Causes[i].State, x.State)
			}
			v.Causes = append(v.Causes, x)
		}
	}
	for _, text := range o.costs {
		x, err := costOf(text)
		if err != nil {
			return nil, err
		}
		v.Costs = append(v.Costs, x)
	}
	return v, contradictory(v)
}

// day is the date that was given, if any.
func (o *bookSettleOptions) day() (string, error) {
	if o.date == "" {
		return "", nil
	}
	today := o.app.console.Now()
	at, err := time.Parse(time.DateOnly, o.date)
	switch {
	case err != nil:
		return "", usagef("--date cannot be %q: write year, month and day, such as %s", o.date, today.Format(time.DateOnly))
	case at.Format(time.DateOnly) > today.Format(time.DateOnly):
		return "", usagef("--date cannot be %s: that day has not come yet", o.date)
	}
	return o.date, nil
}

// ruled reads CAUSE or CAUSE=MEASUREMENT.
func ruled(b *rulebase.Base, flag, state, text string) (casefile.Finding, error) {
	cause, by, with := strings.Cut(text, "=")
	x := casefile.Finding{Cause: b.Current(strings.TrimSpace(cause)), State: state, By: b.Current(strings.TrimSpace(by))}
	switch {
	case with && state == casefile.NotExamined:
		return x, usagef("%s %s: a cause that was not examined has no measurement; write %s %s", flag, text, flag, x.Cause)
	case with && x.By == "":
		return x, usagef("%s %s: name the measurement behind the =, such as thick-pass=groove-thickness", flag, text)
	}
	ev, ok := b.Event(x.Cause)
	if !ok {
		return x, usagef("the rules have no cause %q%s", x.Cause, nearest(x.Cause, causeIDs(b), "see `filmfault rules list causes`"))
	}
	if !ev.Cause {
		return x, usagef("%s is a condition, nobody's fault; name a cause (`filmfault rules list causes`)", x.Cause)
	}
	if _, ok := b.Finding(x.By); x.By != "" && !ok {
		return x, usagef("the rules have no measurement %q%s", x.By, nearest(x.By, measurementIDs(b), "see `filmfault rules list measurements`"))
	}
	return x, nil
}

func causeIDs(b *rulebase.Base) []string {
	var out []string
	for _, e := range b.Events {
		if e.Cause {
			out = append(out, e.ID)
		}
	}
	return out
}

func measurementIDs(b *rulebase.Base) []string {
	var out []string
	for _, f := range b.Findings {
		if f.Measurement != nil {
			out = append(out, f.ID)
		}
	}
	return out
}

func ofCause(list []casefile.Finding, cause string) int {
	return slices.IndexFunc(list, func(x casefile.Finding) bool { return x.Cause == cause })
}

// costOf reads WHAT=AMOUNT; the amount stays as it was typed.
func costOf(text string) (casefile.Cost, error) {
	at := strings.LastIndex(text, "=")
	if at < 0 {
		return casefile.Cost{}, usagef("--cost %q: write what it was for and what it cost, such as \"lift rental=180\"", text)
	}
	x := casefile.Cost{What: strings.TrimSpace(text[:at]), Amount: strings.TrimSpace(text[at+1:])}
	if x.What == "" {
		return x, usagef("--cost %q: say what it was for before the =, such as \"lift rental=180\"", text)
	}
	if _, err := review.ParseMoney(x.Amount); err != nil {
		return x, usagef("--cost %q: %w; write an amount such as 180, $180 or 180.50 EUR behind the =", text, err)
	}
	return x, nil
}

// contradictory refuses a verdict that says two things.
func contradictory(v *casefile.Verdict) error {
	if !v.NoFault {
		return nil
	}
	if i := slices.IndexFunc(v.Causes, func(x casefile.Finding) bool { return x.State == casefile.Confirmed }); i >= 0 {
		return usagef("--no-fault and --confirmed %s contradict each other: what has a cause is a fault; leave one of them out", v.Causes[i].Cause)
	}
	if v.Unlisted {
		return usagef("--no-fault and --unlisted contradict each other: what has a cause is a fault; leave one of them out")
	}
	return nil
}

// settles reports whether a verdict says what the cause was, or that there is
// none.
func settles(v *casefile.Verdict) bool {
	return v.Unlisted || v.NoFault || slices.ContainsFunc(v.Causes, func(x casefile.Finding) bool { return x.State == casefile.Confirmed })
}

// settle puts the verdict into the case and saves it.
func (o *bookSettleOptions) settle(ctx context.Context, r *diagnosis.Rules, given *casefile.Verdict) error {
	c, err := o.app.open(o.name)
	if err != nil {
		return err
	}
	s := &settling{o: o, rules: r, old: c.c.Verdict}
	if s.old != nil && !o.again {
		return usagef("%s is settled already%s; add --again to change the verdict, the ranking kept with it stays", o.name, settledWhen(s.old))
	}
	if s.old != nil && reflect.DeepEqual(given, &casefile.Verdict{}) {
		return usagef("--again changes the verdict of %s, but nothing to change was given; add what is to be another, such as --date or --cost", o.name)
	}
	s.v = merged(s.old, *given)
	s.v.Settled = cmp.Or(s.v.Settled, o.app.console.Now().Format(time.DateOnly))
	if !settles(s.v) {
		return usagef("a verdict says what it was: --confirmed CAUSE=MEASUREMENT, --unlisted (something the rules do not list) or --no-fault")
	}
	if err := s.rank(ctx, c); err != nil {
		return err
	}
	s.warn(c)
	if c.store == nil {
		p, err := o.app.copyBuiltIn(c)
		if err != nil {
			return err
		}
		if c, err = o.app.quiet().openFile(p.path(), o.name); err != nil {
			return err
		}
	}
	c.c.Verdict = s.v
	if err := c.store.Save(); err != nil {
		return fmt.Errorf("the verdict was not recorded: %w", err)
	}
	return s.tell(c)
}

func settledWhen(v *casefile.Verdict) string {
	if v.Settled == "" {
		return ""
	}
	return " (" + v.Settled + ")"
}

// merged is a verdict over an earlier one. What settles is given anew as a whole
// or not at all; of each other cause the last word counts; what is not given
// stays.
func merged(old *casefile.Verdict, given casefile.Verdict) *casefile.Verdict {
	if old == nil {
		return &given
	}
	v := given
	v.Causes = nil
	anew := settles(&given)
	if !anew {
		v.Unlisted, v.NoFault = old.Unlisted, old.NoFault
	}
	for _, x := range old.Causes {
		if ofCause(given.Causes, x.Cause) < 0 && !(anew && x.State == casefile.Confirmed) {
			v.Causes = append(v.Causes, x)
		}
	}
	v.Causes = append(slices.Clone(given.Causes), v.Causes...)
	for _, text := range []struct {
		to   *string
		from string
	}{{&v.By, old.By}, {&v.Pays, old.Pays}, {&v.Changed, old.Changed}, {&v.Note, old.Note}, {&v.Settled, old.Settled}} {
		if *text.to == "" {
			*text.to = text.from
		}
	}
	if len(v.Costs) == 0 {
		v.Costs = old.Costs
	}
	v.Ranking, v.Rules = old.Ranking, old.Rules
	return &v
}

// settling is one verdict being recorded.
type settling struct {
	o        *bookSettleOptions
	rules    *diagnosis.Rules
	old, v   *casefile.Verdict
	sheet    diagnosis.Sheet
	kept     bool // the ranking is that of an earlier settlement
	warnings []string
}
