package interview

import (
	"context"

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
		Allow: prompt.Allow{Stop: true}, Why: "It heads the report, so that you know the sign again. It changes nothing else.",
	})
	if c, ok := instead(err); ok && c == prompt.Stop {
		v.stopNow()
		return true, nil
	}
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
