package interview

import (
	"context"
	"maps"
	"math"
	"slices"

	"filmfault/internal/diagnosis"
	"filmfault/internal/rulebase"
)

// mostAtStart is how many facts are asked before the first look, which is what
// the person came for.
const mostAtStart = 5

// How far some answer to a fact must move some cause for the fact to be worth a
// question: at the start and before the log, and between two questions.
const (
	swaying        = 0.02
	swayingBetween = 0.05
)

// looksFirst is how many findings are answered before a fact comes between.
const looksFirst = 2

// askStart asks the open fact of the start that moves the ranking most, until
// enough were asked or something was looked at.
func (v *visit) askStart(ctx context.Context) (bool, error) {
	asked := 0
	for _, f := range v.base.Facts {
		if f.Stage == rulebase.StageStart && v.entry(ref{aFact, f.ID}) != nil {
			asked++
		}
	}
	if asked >= mostAtStart || len(v.file.Findings) > 0 {
		return false, nil
	}
	return v.askRest(ctx, swaying)
}

// askRest asks the open fact of the start that moves the ranking most, if it
// moves it by more than least.
func (v *visit) askRest(ctx context.Context, least float64) (bool, error) {
	var best *rulebase.Fact
	for _, f := range v.base.Facts {
		if f.Stage != rulebase.StageStart || v.entry(ref{aFact, f.ID}) != nil {
			continue
		}
		if s := v.sways(f); s > least {
			best, least = &f, s+sameSway
		}
	}
	if best == nil {
		return false, nil
	}
	return true, v.ask(ctx, factQuestion(*best))
}

// sameSway is how much further a later fact must move the ranking to come first.
const sameSway = 1e-9

// askBefore asks a fact that has to come before a finding: one that the finding
// needs, or one that moves the ranking far, once something was looked at. Before
// the log every fact that is worth a question is asked.
func (v *visit) askBefore(ctx context.Context, f rulebase.Finding) (bool, error) {
	for _, is := range f.Needs {
		if fact, ok := v.base.Fact(is.ID); ok && fact.Stage == rulebase.StageStart && v.entry(ref{aFact, fact.ID}) == nil {
			return true, v.ask(ctx, factQuestion(fact))
		}
	}
	switch {
	case f.Stage == rulebase.StageLog && !isSister(f.ID):
		return v.askRest(ctx, swaying)
	case f.Stage == rulebase.StageCut || len(v.file.Findings) >= looksFirst:
		return v.askRest(ctx, swayingBetween)
	}
	return false, nil
}

// matters tells which facts of the log are worth asking: those that findings
// about what fails go by, and those that move the ranking.
func (v *visit) matters() func(rulebase.Fact) bool {
	findings := factsInFindings(v.base, v.seen())
	return func(f rulebase.Fact) bool { return findings[f.ID] || v.sways(f) > swaying }
}

// sways is the furthest the fact moves a cause: each row of a rate, or of a
// finding answered, that names it is tried with all that the row requires. Where
// that cannot be worked out it is as far as can be.
func (v *visit) sways(f rulebase.Fact) float64 {
	rows := v.rowsOn(f.ID)
	if len(rows) == 0 {
		return 0
	}
	now, err := v.evaluate()
	if err != nil {
		return 1
	}
	most, before := 0.0, now.Ranking()
	sheet := now.Sheet
	for _, row := range rows {
		sheet.Facts = maps.Clone(now.Sheet.Facts)
		for _, is := range row {
			if _, ok := v.base.Fact(is.ID); ok {
				sheet.Facts[is.ID] = is.Answers[0]
			}
		}
		then, err := v.rules.Evaluate(sheet)
		if err != nil {
			return 1
		}
		most = max(most, moved(before, then.Ranking()))
	}
	return most
}

// rowsOn lists what the rows of rates, and of findings answered, that name a
// fact require, where they speak about a failure seen and no requirement is
// known to fail.
func (v *visit) rowsOn(fact string) [][]rulebase.Is {
	r := newRelevance(v.base, v.seen())
	var out [][]rulebase.Is
	add := func(when []rulebase.Is) {
		names := slices.ContainsFunc(when, func(is rulebase.Is) bool { return is.ID == fact })
		if names && !v.failing(when) && !slices.ContainsFunc(out, func(old []rulebase.Is) bool { return sameNeeds(old, when) }) {
			out = append(out, when)
		}
	}
	for _, e := range v.base.Events {
		for _, row := range e.Rate {
			if r.below[e.ID] {
				add(row.When)
			}
		}
	}
	for _, f := range v.base.Findings {
		if e := v.entry(ref{aFinding, f.ID}); e == nil || e.NotChecked {
			continue
		}
		for _, row := range f.Rows {
			if len(row.If) == 0 || r.about(row) {
				add(row.When)
			}
		}
	}
	return out
}

func sameNeeds(a, b []rulebase.Is) bool {
	return slices.EqualFunc(a, b, func(x, y rulebase.Is) bool { return x.ID == y.ID && slices.Equal(x.Answers, y.Answers) })
}

// failing reports whether the case is known not to meet a requirement.
func (v *visit) failing(when []rulebase.Is) bool {
	for _, is := range when {
		if e := v.entry(ref{aFact, is.ID}); e != nil && e.Answer != "" && !slices.Contains(is.Answers, e.Answer) {
			return true
		}
	}
	return false
}

// moved is the largest change of any cause between two rankings.
func moved(before, after []diagnosis.Ranked) float64 {
	was := map[string]float64{}
	for _, r := range before {
		was[r.Cause.ID] = r.Contributed
	}
	most := 0.0
	for _, r := range after {
		most = max(most, math.Abs(r.Contributed-was[r.Cause.ID]))
	}
	return most
}
