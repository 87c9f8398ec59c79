package interview

import (
	"context"
	"slices"

	"filmfault/internal/casefile"
	"filmfault/internal/prompt"
	"filmfault/internal/rulebase"
)

// notLooked is the state of a failure that nobody looked for.
const notLooked = "not-looked"

// askFailures asks what fails until something is marked seen. A list that was
// broken off is shown again, with what it holds.
func (v *visit) askFailures(ctx context.Context) (bool, error) {
	if !v.picked && v.listUnfinished() {
		return true, v.pickFailures(ctx)
	}
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

// listUnfinished reports whether the list was begun and not ended: a list that
// was ended leaves no failure without an entry. Once something was looked at,
// the list is not gone into again.
func (v *visit) listUnfinished() bool {
	return len(v.file.Failures) > 0 && len(v.file.Findings) == 0 &&
		slices.ContainsFunc(v.base.Failures(), func(g rulebase.Gate) bool { return v.entry(ref{aFailure, g.ID}) == nil })
}

// pickFailures goes through all failures in one list. Every change is saved as
// it is made.
func (v *visit) pickFailures(ctx context.Context) error {
	failures := v.base.Failures()
	k := prompt.Pick{
		ID: "failures", Title: "What fails, and what did you look for that is not there?",
		How:      "Look at the whole piece, back and edges too. What you leave alone counts as not looked for.",
		Progress: "what fails", Default: notLooked, Rest: rulebase.StateAbsent,
		States: []prompt.Choice{
			{ID: rulebase.StateSeen, Text: "Seen"},
			{ID: rulebase.StateAbsent, Text: "Looked for and not there"},
			{ID: notLooked, Text: "Not looked for"},
		},
		Changed: func(item int, state string) {
			v.mark(failures[item], state)
			v.keep()
		},
	}
	for _, g := range failures {
		k.Items = append(k.Items, prompt.Choice{ID: g.ID, Text: g.Title})
		k.Start = append(k.Start, v.stateOf(g))
	}
	states, err := v.prompter.Pick(ctx, k)
	if err != nil {
		return err
	}
	v.picked = true
	v.recordFailures(failures, states)
	return nil
}

// stateOf is the state of a failure so far.
func (v *visit) stateOf(g rulebase.Gate) string {
	e := v.entry(ref{aFailure, g.ID})
	if e == nil || e.Answer != rulebase.StateSeen && e.Answer != rulebase.StateAbsent {
		return notLooked
	}
	return e.Answer
}

// mark puts the state of a failure into the case, unless it is there already.
func (v *visit) mark(g rulebase.Gate, state string) {
	r := ref{aFailure, g.ID}
	switch {
	case v.entry(r) != nil && v.stateOf(g) == state:
	case state == notLooked:
		v.put(r, casefile.Entry{NotChecked: true})
	default:
		v.put(r, casefile.Entry{Answer: state, Asked: g.Title})
	}
}

func (v *visit) recordFailures(failures []rulebase.Gate, states []string) {
	for i, g := range failures {
		v.mark(g, states[i])
	}
	v.remember(ref{kind: theFailures})
	v.keep()
	for _, id := range v.seen() {
		if !v.madeSafe[id] {
			v.sayMakeSafe(id)
		}
	}
}
