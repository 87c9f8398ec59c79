package review

import (
	"fmt"
	"slices"
	"strings"

	"filmfault/internal/casefile"
	"filmfault/internal/quantity"
	"filmfault/internal/rulebase"
	"filmfault/internal/source"
)

// assumed marks an answer that nobody knows; it sorts no case.
const assumed = "assumed"

// NotKnown stands for cases in which a trait is not known.
const NotKnown = "not-known"

// answer is the id of the one of these answers that an entry gives. A figure
// gives the band it lies in, none when it spans two.
func answer(answers []rulebase.Answer, v *rulebase.Value, e casefile.Entry) (string, bool) {
	if e.NotChecked || e.Source == assumed {
		return "", false
	}
	if i, ok := rulebase.AnswerIndex(answers, e.Answer); ok {
		return answers[i].ID, true
	}
	if v == nil || e.Value == "" {
		return "", false
	}
	q, err := quantity.Parse(v.Kind, e.Value, v.Unit)
	if err != nil {
		return "", false
	}
	low, ok := rulebase.Band(answers, q.Low)
	high, ok2 := rulebase.Band(answers, q.High)
	if !ok || !ok2 || low != high {
		return "", false
	}
	return answers[low].ID, true
}

// trait checks a trait and an answer to it and gives both as records hold them.
func trait(b *rulebase.Base, id, said string) (Trait, error) {
	if slices.Contains(jobTraits(), id) {
		return Trait{id, folded(said)}, nil
	}
	if slices.Contains(private(), id) {
		return Trait{}, fmt.Errorf("the %s is private and is not counted", id)
	}
	f, ok := b.Fact(b.Current(id))
	if !ok {
		return Trait{}, fmt.Errorf("%q is no fact of the rules and no line of a job%s", id, near(id, traitIDs(b), "such as tool, season or primer-lot"))
	}
	if said == NotKnown {
		return Trait{f.ID, said}, nil
	}
	if _, ok := rulebase.AnswerIndex(f.Answers, said); !ok {
		known := answerIDs(f)
		return Trait{}, fmt.Errorf("%s has no answer %q%s", f.ID, said, near(said, known, "it is one of "+strings.Join(known, ", ")))
	}
	return Trait{f.ID, said}, nil
}

// private are the lines of a job about persons. Counting failures by painter or
// customer would make a review a file on them.
func private() []string { return []string{"painter", "customer", "address", "contact"} }

func traitIDs(b *rulebase.Base) []string {
	out := jobTraits()
	for _, f := range b.Facts {
		out = append(out, f.ID)
	}
	return out
}

func answerIDs(f rulebase.Fact) []string {
	var out []string
	for _, a := range f.Answers {
		out = append(out, a.ID)
	}
	return out
}

// near suggests the known name that a wrong one most likely stands for.
func near(name string, known []string, otherwise string) string {
	if n, ok := source.Nearest(name, known); ok {
		return "; did you mean " + n + "?"
	}
	return "; " + otherwise
}
