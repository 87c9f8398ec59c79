package diagnosis_test

import (
	"slices"
	"testing"

	"filmfault/internal/diagnosis"
	"filmfault/internal/rulebase"
)

// A confirming measurement must tell: its answer is at least tells times as
// likely where the cause holds as where nothing in the rows does, and for one
// measurement of every cause confirms times.
const (
	tells    = 1.5
	confirms = 3
)

func TestEveryCauseHasAMeasurementThatConfirmsIt(t *testing.T) {
	b := shippedRules(t).Base
	for _, c := range b.Events {
		if !c.Cause {
			continue
		}
		best := 0.0
		for _, k := range c.Confirm {
			f, _ := b.Finding(k.Measurement)
			ratio := confirmingRatio(b, f, k.Answers, c.ID)
			best = max(best, ratio)
			if ratio < tells {
				t.Errorf("%s hardly speaks for %s: its answer is %.2f times likelier", k.Measurement, c.ID, ratio)
			}
		}
		if best < confirms {
			t.Errorf("nothing confirms %s: the best of its measurements is %.2f times likelier", c.ID, best)
		}
	}
}

// confirmingRatio is how much likelier the answers are by the row that holds in
// the cause's story than by the last row.
func confirmingRatio(b *rulebase.Base, f rulebase.Finding, answers []string, cause string) float64 {
	story := above(b, cause)
	held := slices.IndexFunc(f.Rows, func(r rulebase.Row) bool {
		return len(r.When) == 0 && !slices.ContainsFunc(r.If, func(x rulebase.Ref) bool { return !story[x.ID] })
	})
	return chanceOf(f, f.Rows[held], answers) / chanceOf(f, f.Rows[len(f.Rows)-1], answers)
}

func chanceOf(f rulebase.Finding, r rulebase.Row, answers []string) float64 {
	sum := 0.0
	for _, a := range answers {
		at, _ := rulebase.AnswerIndex(f.Answers, a)
		sum += r.Say[at]
	}
	return sum
}

// above is an event with every gate that it leads to.
func above(b *rulebase.Base, id string) map[string]bool {
	out := map[string]bool{id: true}
	for grown := true; grown; {
		grown = false
		for _, g := range b.Gates {
			if !out[g.ID] && slices.ContainsFunc(g.Inputs, func(in rulebase.Input) bool { return out[in.ID] }) {
				out[g.ID], grown = true, true
			}
		}
	}
	return out
}

// With one failure seen and nothing else known, a reading that confirms raises
// its cause, wherever the measurement can be made.
func TestConfirmingReadingRaisesItsCause(t *testing.T) {
	r := shippedRules(t)
	for _, c := range r.Base.Events {
		if !c.Cause {
			continue
		}
		for _, k := range c.Confirm {
			f, _ := r.Base.Finding(k.Measurement)
			made := false
			for _, failure := range r.Base.Trees(c.ID) {
				s := only(failure)
				for id, answer := range factFitting(f) {
					if _, isFact := r.Base.Fact(id); isFact {
						s.Facts[id] = answer
					}
				}
				if askable(r.Base, f, failure) {
					made = true
					raises(t, r, s, c, k, "with "+failure+" seen")
				}
			}
			if !made {
				t.Errorf("%s can never be made where %s is ranked", k.Measurement, c.ID)
			}
		}
	}
}

// In the cases of the casebook too, a measurement still open for one of the
// first three causes raises that cause when it confirms.
func TestConfirmingReadingRaisesItsCauseInTheCasebook(t *testing.T) {
	r := shippedRules(t)
	for _, c := range casesShipped(t) {
		s := resolve(t, r.Base, c)
		e := evaluate(t, r, s)
		for _, id := range leading(e, 3) {
			cause, _ := r.Base.Event(id)
			for _, k := range cause.Confirm {
				f, _ := r.Base.Finding(k.Measurement)
				if e.Askable(f) && !answersLike(r.Base, s, f) {
					raises(t, r, s, cause, k, "in "+c.ID)
				}
			}
		}
	}
}

// answersLike reports whether the finding, or one that is the same observation,
// is answered.
func answersLike(b *rulebase.Base, s diagnosis.Sheet, f rulebase.Finding) bool {
	return slices.ContainsFunc(s.Answers, func(a diagnosis.Answered) bool {
		other, _ := b.Finding(a.Finding)
		return a.Finding == f.ID || f.Group != "" && other.Group == f.Group
	})
}

// raises checks that the confirming answer lifts the cause's odds clearly, and
// over those that any other answer leaves.
func raises(t *testing.T, r *diagnosis.Rules, s diagnosis.Sheet, c rulebase.Event, k rulebase.Confirmation, where string) {
	t.Helper()
	f, _ := r.Base.Finding(k.Measurement)
	before := odds(contributed(evaluate(t, r, s), c.ID))
	for a := range f.Answers {
		if !slices.Contains(k.Answers, f.Answers[a].ID) {
			continue
		}
		if after := odds(contributed(evaluate(t, r, with(s, f, a)), c.ID)); after < tells*before {
			t.Errorf("%s, %s=%s raises %s only %.2f times", where, f.ID, f.Answers[a].ID, c.ID, after/before)
		}
	}
}

func odds(p float64) float64 { return p / (1 - p) }
