package interview

import (
	"context"
	"maps"
	"math"
	"slices"
	"strings"

	"filmfault/internal/casefile"
	"filmfault/internal/diagnosis"
	"filmfault/internal/prompt"
	"filmfault/internal/rulebase"
)

// askPlace asks where the person stands, which is not kept in the case.
func (v *visit) askPlace(ctx context.Context) (bool, error) {
	if v.where != "" {
		return false, nil
	}
	reply, err := v.prompter.Ask(ctx, prompt.Ask{
		ID: "where", Title: "Where are you now?", How: "Only what can be answered there is asked.",
		Choices: []prompt.Choice{
			{ID: rulebase.AtSign, Text: "At the sign"},
			{ID: rulebase.AtDesk, Text: "At the desk or the bench, in the shop"},
			{ID: rulebase.ByPhone, Text: "On the phone with someone who can see it"},
		},
	})
	if err == nil {
		v.where = reply.Choice
	}
	return true, err
}

// askTitle asks a name for a case that holds nothing yet.
func (v *visit) askTitle(ctx context.Context) (bool, error) {
	fresh := len(v.file.Facts)+len(v.file.Failures)+len(v.file.Findings) == 0
	if v.file.Title != "" || !fresh || v.titleAsked {
		return false, nil
	}
	text, err := v.prompter.Line(ctx, prompt.LineAsk{
		ID: "title", Title: "What is this sign called?", Example: "Bakery hanging sign, job 1180", Optional: true,
	})
	if err != nil {
		return true, err
	}
	v.titleAsked = true
	if text != "" {
		v.file.Title = text
		v.keep()
	}
	return true, nil
}

// askSafety asks the first open question of the safety look, leave to cut among
// them.
func (v *visit) askSafety(ctx context.Context) (bool, error) {
	return v.askFact(ctx, rulebase.StageSafety, func(rulebase.Fact) bool { return true })
}

// askStart asks the first open fact of the start that matters for what fails.
func (v *visit) askStart(ctx context.Context) (bool, error) {
	return v.askFact(ctx, rulebase.StageStart, v.matters())
}

// matters tells which facts are worth asking before the first look: those that
// findings about what fails go by, and those that move the ranking. The first
// look is what the person came for.
func (v *visit) matters() func(rulebase.Fact) bool {
	rates, findings := factsInRates(v.base, v.seen()), factsInFindings(v.base, v.seen())
	return func(f rulebase.Fact) bool { return findings[f.ID] || rates[f.ID] && v.sways(f) }
}

// swaying is how far some answer to a fact must move some cause for the fact to
// be worth a question.
const swaying = 0.02

// sways reports whether the fact moves a cause: each row of a rate that names it
// is tried with all that the row requires. Where that cannot be worked out the
// fact is asked.
func (v *visit) sways(f rulebase.Fact) bool {
	sheet, diags := diagnosis.Resolve(v.base, v.file)
	if diags.HasErrors() {
		return true
	}
	now, err := v.rules.Evaluate(sheet)
	if err != nil {
		return true
	}
	known := sheet.Facts
	for _, row := range v.rowsOn(f.ID) {
		sheet.Facts = maps.Clone(known)
		for _, is := range row {
			sheet.Facts[is.ID] = is.Answers[0]
		}
		then, err := v.rules.Evaluate(sheet)
		if err != nil || moved(now.Ranking(), then.Ranking()) > swaying {
			return true
		}
	}
	return false
}

// rowsOn lists what the rows of rates that name a fact require, where an event
// leads to a failure seen and no requirement is known to fail.
func (v *visit) rowsOn(fact string) [][]rulebase.Is {
	below := under(v.base, v.seen())
	var out [][]rulebase.Is
	for _, e := range v.base.Events {
		for _, row := range e.Rate {
			names := slices.ContainsFunc(row.When, func(is rulebase.Is) bool { return is.ID == fact })
			if below[e.ID] && names && !v.failing(row.When) {
				out = append(out, row.When)
			}
		}
	}
	return out
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

// askFact asks the first fact of a stage that the case does not hold.
func (v *visit) askFact(ctx context.Context, s rulebase.Stage, wanted func(rulebase.Fact) bool) (bool, error) {
	for _, f := range v.base.Facts {
		if f.Stage == s && wanted(f) && v.entry(ref{aFact, f.ID}) == nil {
			return true, v.ask(ctx, factQuestion(f))
		}
	}
	return false, nil
}

// tellPhotographs says once which photographs to take.
func (v *visit) tellPhotographs(context.Context) (bool, error) {
	if v.photographsTold || len(v.file.Failures) > 0 {
		return false, nil
	}
	v.photographsTold = true
	v.prompter.Say(photographs(v.where))
	return false, nil
}

func photographs(where string) string {
	first := "Photographs first, before anything is touched: "
	switch where {
	case rulebase.ByPhone:
		first = "Ask for photographs, taken before anything is touched: "
	case rulebase.AtDesk:
		first = "Have these photographs at hand, or take them before anything is touched: "
	}
	return first + "the whole sign with its surroundings and the sun; each face and the back; edges and fixings; " +
		"the failure at arm's length, and close with a rule; the labels of the cans. Later, where something is opened, " +
		"the spot and the chip side by side."
}

// notLooked is the state of a failure that nobody looked for.
const notLooked = "not-looked"

// askFailures asks what fails until something is marked seen.
func (v *visit) askFailures(ctx context.Context) (bool, error) {
	if len(v.seen()) > 0 {
		return false, nil
	}
	if !v.picked {
		return true, v.pickFailures(ctx)
	}
	v.prompter.Say("Nothing is marked as seen, so there is nothing to explain yet.")
	again, err := v.prompter.Confirm(ctx, "Go through the list once more?")
	if err != nil {
		return true, err
	}
	if !again {
		v.stopped = true
		v.stop("No failure is marked as seen, so there is nothing to explain yet.")
		return true, nil
	}
	return true, v.pickFailures(ctx)
}

// pickFailures goes through all failures in one list. What is left alone stays
// as it was.
func (v *visit) pickFailures(ctx context.Context) error {
	failures := v.base.Failures()
	k := prompt.Pick{
		ID: "failures", Title: "What fails, and what did you look for that is not there?",
		How:      strings.TrimSpace(v.markedSoFar() + " Look at the whole piece, back and edges too. What you leave alone counts as not looked for."),
		Progress: "what fails", Default: notLooked,
		States: []prompt.Choice{
			{ID: rulebase.StateSeen, Text: "Seen"},
			{ID: rulebase.StateAbsent, Text: "Looked for and not there"},
			{ID: notLooked, Text: "Not looked for"},
		},
	}
	for _, g := range failures {
		k.Items = append(k.Items, prompt.Choice{ID: g.ID, Text: g.Title})
	}
	states, err := v.prompter.Pick(ctx, k)
	if err != nil {
		return err
	}
	v.picked = true
	v.recordFailures(failures, states)
	return nil
}

func (v *visit) recordFailures(failures []rulebase.Gate, states []string) {
	var news []string
	for i, g := range failures {
		r := ref{aFailure, g.ID}
		before := v.entry(r)
		switch {
		case states[i] != notLooked:
			if states[i] == rulebase.StateSeen && (before == nil || before.Answer != rulebase.StateSeen) {
				news = append(news, g.ID)
			}
			v.put(r, casefile.Entry{Answer: states[i], Asked: g.Title})
		case before == nil:
			v.put(r, casefile.Entry{NotChecked: true})
		}
	}
	v.remember(ref{kind: theFailures})
	v.keep()
	for _, id := range news {
		v.sayMakeSafe(id)
	}
}

// markedSoFar says in words what the list held before.
func (v *visit) markedSoFar() string {
	var seen, absent []string
	for _, g := range v.base.Failures() {
		switch e := v.entry(ref{aFailure, g.ID}); {
		case e == nil:
		case e.Answer == rulebase.StateSeen:
			seen = append(seen, g.Title)
		case e.Answer == rulebase.StateAbsent:
			absent = append(absent, g.Title)
		}
	}
	if len(seen)+len(absent) == 0 {
		return ""
	}
	text := "Marked so far, and kept unless you mark it anew:"
	if len(seen) > 0 {
		text += " seen: " + strings.Join(seen, "; ") + "."
	}
	if len(absent) > 0 {
		text += " looked for and not there: " + strings.Join(absent, "; ") + "."
	}
	return text
}
