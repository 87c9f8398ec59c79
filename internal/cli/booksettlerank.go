package cli

import (
	"context"
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"strings"

	"filmfault/internal/book/review"
	"filmfault/internal/casefile"
	"filmfault/internal/console"
	"filmfault/internal/diagnosis"
	"filmfault/internal/rulebase"
)

// Places of the ranking that are kept: so many, and on to the last cause that the
// verdict is about, since how improbable a cause was that proved wrong is half of
// how good the ranking was.
const (
	placesKept     = 8
	mostPlacesKept = 30
)

// undecided is a case without the readings that its verdict rests on: a ranking
// that has seen them says what was found, and not what was expected.
func undecided(b *rulebase.Base, c *casefile.Case, v *casefile.Verdict) *casefile.Case {
	out := *c
	out.Findings = slices.DeleteFunc(slices.Clone(c.Findings), func(e casefile.Entry) bool {
		return slices.ContainsFunc(v.Causes, func(x casefile.Finding) bool { return x.By != "" && b.Current(x.By) == b.Current(e.ID) })
	})
	return &out
}

// rank keeps the ranking as it stood before the readings that decided, unless one
// was kept before.
func (s *settling) rank(ctx context.Context, c opened) error {
	b := s.rules.Base
	sheet, diags := diagnosis.Resolve(b, c.c)
	s.sheet, s.kept = sheet, len(s.v.Ranking) > 0
	if s.kept {
		_, err := s.o.app.resolve(b, c)
		return err
	}
	if s.v.NoFault && !diags.HasErrors() && len(sheet.Seen(b)) == 0 {
		s.warnings = append(s.warnings, "No failure is marked seen in the case, so there is no ranking to keep.")
		return nil
	}
	c.c = undecided(b, c.c, s.v)
	e, err := s.o.app.evaluateCase(ctx, s.rules, c)
	if err != nil {
		return err
	}
	for _, x := range s.places(e.Ranking()) {
		s.v.Ranking = append(s.v.Ranking, casefile.Standing{Cause: x.Cause.ID, Contributed: math.Round(x.Contributed*1e4) / 1e4})
	}
	s.v.Rules = b.Digest
	return nil
}

// places are those that are kept.
func (s *settling) places(all []diagnosis.Ranked) []diagnosis.Ranked {
	n := placesKept
	for i, x := range all {
		if slices.ContainsFunc(s.v.Causes, func(c casefile.Finding) bool { return c.Cause == x.Cause.ID && c.State != casefile.NotExamined }) {
			n = max(n, i+1)
		}
	}
	return all[:min(n, mostPlacesKept, len(all))]
}

// warn says what is weak in a verdict.
func (s *settling) warn(c opened) {
	for _, x := range s.v.Causes {
		s.warnings = append(s.warnings, s.weaknesses(c, x)...)
	}
	if text := early(s.v.Settled, c.c.Job); text != "" {
		s.warnings = append(s.warnings, text)
	}
	if s.old != nil && len(s.old.Ranking) == 0 && len(s.v.Ranking) > 0 {
		s.warnings = append(s.warnings, "The earlier verdict had kept no ranking; the one kept now is of today.")
	}
	for _, text := range s.warnings {
		fmt.Fprintln(s.o.app.console.Err(), console.Wrap("warning: "+console.Printable(text), s.o.app.console.Width(), "", "  "))
	}
}

// early says that a case was settled before there was anything to settle.
func early(settled string, j casefile.Job) string {
	at, err := review.ParseDay(settled)
	if err != nil {
		return ""
	}
	for _, x := range []struct{ what, text string }{{"the job was finished", j.Finished}, {"the failure was seen", j.Seen}} {
		if day, err := review.ParseDay(x.text); err == nil && at < day {
			return fmt.Sprintf("The day it was settled, %s, is before %s (%s). Look at both; --again --date DAY gives another.", settled, x.what, day)
		}
	}
	return ""
}

// weaknesses is what is weak in the verdict on one cause.
func (s *settling) weaknesses(c opened, x casefile.Finding) []string {
	b := s.rules.Base
	switch {
	case x.State == casefile.NotExamined:
		return nil
	case x.By == "" && x.State == casefile.Confirmed:
		return []string{fmt.Sprintf("%s is confirmed, but no measurement is named: a ranking is no proof. Name it with --again --confirmed %s=MEASUREMENT.", x.Cause, x.Cause)}
	case x.By == "":
		return []string{fmt.Sprintf("%s is ruled out, but no measurement is named. Name it with --again --ruled-out %s=MEASUREMENT.", x.Cause, x.Cause)}
	}
	var out []string
	f, _ := b.Finding(b.Current(x.By))
	if f.Measurement == nil && x.State == casefile.Confirmed {
		out = append(out, fmt.Sprintf("%s is confirmed by %s, which is an observation and no measurement.", x.Cause, x.By))
	}
	e := casefile.Find(c.c.Findings, asWritten(b, c.c.Findings, b.Current(x.By)))
	if e == nil || e.NotChecked {
		out = append(out, fmt.Sprintf("%s is %s by %s, but the case holds no reading of it, so that it counts as opinion until that is put in: `filmfault measure %s %s=READING`.",
			x.Cause, stateWord(x.State), x.By, s.where(c), x.By))
	}
	return append(out, s.byTheRules(x)...)
}

// where is the case as `measure` finds it, which knows no --book.
func (s *settling) where(c opened) string {
	switch dir, err := s.o.app.bookFolder(); {
	case s.o.app.ownBook == "" || !noFile(s.o.name) || err != nil:
		return inShell(s.o.name)
	case c.store != nil:
		return inShell(c.store.Path)
	default: // a built-in case, about to be copied
		return inShell(filepath.Join(dir, c.name+".yaml"))
	}
}

// inShell is a word of a command that is to be typed.
func inShell(word string) string {
	if !strings.ContainsAny(word, " ()&;'") {
		return word
	}
	return `"` + word + `"`
}

// byTheRules says that a measurement does not decide a cause by the rules, or
// that its reading is not the one that confirms it, where they name any.
func (s *settling) byTheRules(x casefile.Finding) []string {
	b := s.rules.Base
	ev, _ := b.Event(b.Current(x.Cause))
	if x.State != casefile.Confirmed || len(ev.Confirm) == 0 {
		return nil
	}
	at := slices.IndexFunc(ev.Confirm, func(k rulebase.Confirmation) bool { return k.Measurement == b.Current(x.By) })
	if at < 0 {
		var by []string
		for _, k := range ev.Confirm {
			by = append(by, k.Measurement)
		}
		return []string{fmt.Sprintf("By the rules %s does not decide %s. What does: %s.", x.By, x.Cause, strings.Join(by, ", "))}
	}
	read := slices.IndexFunc(s.sheet.Answers, func(a diagnosis.Answered) bool { return a.Finding == b.Current(x.By) })
	if read < 0 || slices.Contains(ev.Confirm[at].Answers, s.sheet.Answers[read].Answer) {
		return nil
	}
	return []string{fmt.Sprintf("%s is confirmed by %s, but that read %s, and by the rules it takes %s.", x.Cause, x.By,
		s.sheet.Answers[read].Answer, strings.Join(ev.Confirm[at].Answers, " or "))}
}
