package cli

import (
	"strings"

	"filmfault/internal/casefile"
	"filmfault/internal/diagnosis"
	"filmfault/internal/rulebase"
)

// applyChange puts NAME=ANSWER into a case: a finding, fact or failure, with an
// answer's id, a figure, or not-checked. It checks the answer first, so that a
// wrong one is told in the words of the command line.
func applyChange(b *rulebase.Base, c *casefile.Case, change, from string) error {
	id, answer, ok := strings.Cut(change, "=")
	if !ok || strings.TrimSpace(id) == "" || strings.TrimSpace(answer) == "" {
		return usagef("%q is no NAME=ANSWER, such as blister-content=water", change)
	}
	id, answer = b.Current(strings.TrimSpace(id)), strings.TrimSpace(answer)
	e := casefile.Entry{ID: id, Answer: answer, Source: from}
	if answer == "not-checked" {
		e = casefile.Entry{ID: id, NotChecked: true}
	}
	if sure, ok := strings.CutPrefix(e.Answer, "probably "); ok {
		e.Answer, e.Sure = strings.TrimSpace(sure), "probably"
	}
	if f, ok := b.Finding(id); ok {
		e.ID = asWritten(b, c.Findings, id)
		return put(&c.Findings, e, f.Answers, f.Value)
	}
	if f, ok := b.Fact(id); ok {
		e.ID = asWritten(b, c.Facts, id)
		return put(&c.Facts, e, f.Answers, f.Value)
	}
	if g, ok := b.Gate(id); ok && g.Failure != nil {
		if !e.NotChecked && e.Answer != rulebase.StateSeen && e.Answer != rulebase.StateAbsent {
			return usagef("%s is a failure: %s=seen, %s=absent or %s=not-checked", id, id, id, id)
		}
		e.ID = asWritten(b, c.Failures, id)
		c.Failures = casefile.Put(c.Failures, e)
		return nil
	}
	return usagef("the rules have no finding, fact or failure %q%s", id, nearest(id, answerable(b), "see `filmfault rules list`"))
}

// asWritten is the id under which a case has an answer already: an old case may
// use a name that was changed since.
func asWritten(b *rulebase.Base, list []casefile.Entry, id string) string {
	for _, e := range list {
		if b.Current(e.ID) == id {
			return e.ID
		}
	}
	return id
}

// put takes the text for an answer's id where it is one, else for a figure.
func put(list *[]casefile.Entry, e casefile.Entry, answers []rulebase.Answer, v *rulebase.Value) error {
	if _, isAnswer := rulebase.AnswerIndex(answers, e.Answer); !isAnswer && v != nil && !e.NotChecked {
		e.Value, e.Answer = e.Answer, ""
	}
	if !e.NotChecked {
		if _, bad := diagnosis.Weights(e, answers, v); bad != nil {
			return usagef("%s: %s; write %s", e.ID, bad.Summary, bad.Remedy)
		}
	}
	if old := casefile.Find(*list, e.ID); old != nil {
		e.Note, e.Asked = old.Note, old.Asked
	}
	*list = casefile.Put(*list, e)
	return nil
}

func answerable(b *rulebase.Base) []string {
	var out []string
	for _, f := range b.Findings {
		out = append(out, f.ID)
	}
	for _, f := range b.Facts {
		out = append(out, f.ID)
	}
	for _, g := range b.Failures() {
		out = append(out, g.ID)
	}
	return out
}
