package interview

import (
	"fmt"
	"slices"

	"filmfault/internal/casefile"
	"filmfault/internal/rulebase"
)

// kind is which list of the case an answer belongs to.
type kind int

const (
	aFact kind = iota
	aFinding
	aFailure
	theFailures // all failures in one list
)

// ref names something that can be answered, under its present id.
type ref struct {
	kind kind
	id   string
}

func (v *visit) list(k kind) *[]casefile.Entry {
	switch k {
	case aFact:
		return &v.file.Facts
	case aFinding:
		return &v.file.Findings
	}
	return &v.file.Failures
}

// entry is what the case holds under an id, or under an older name of it.
func (v *visit) entry(r ref) *casefile.Entry {
	list := *v.list(r.kind)
	for i := range list {
		if v.base.Current(list[i].ID) == r.id {
			return &list[i]
		}
	}
	return nil
}

// record puts an answer into the case and saves it.
func (v *visit) record(r ref, e casefile.Entry) {
	v.put(r, e)
	v.remember(r)
	v.keep()
}

func (v *visit) put(r ref, e casefile.Entry) {
	e.ID = r.id
	if old := v.entry(r); old != nil {
		*old = e
	} else {
		list := v.list(r.kind)
		*list = append(*list, e)
	}
	v.ev = nil
}

// remember puts an answer into the history that "back" goes through.
func (v *visit) remember(r ref) {
	if !slices.Contains(v.history, r) {
		v.history = append(v.history, r)
	}
}

// note adds words to the notes of the case and saves them.
func (v *visit) note(text string) {
	if v.file.Notes != "" {
		v.file.Notes += "\n"
	}
	v.file.Notes += text
	v.keep()
}

// keep saves the case after an answer, with the rules it was worked with.
func (v *visit) keep() {
	v.file.Rules = casefile.RulesUsed{Digest: v.base.Digest, Layers: v.base.Layers}
	v.trySaving()
}

// trySaving saves the case. A save that fails is told once and tried again after
// the next answer; the answers stay in the case meanwhile.
func (v *visit) trySaving() {
	err := v.save()
	switch {
	case err != nil && v.unsaved == nil:
		v.prompter.Say(fmt.Sprintf("The case could not be saved: %v. Your answers are held. Go on; saving is tried again after every answer.", err))
	case err == nil && v.unsaved != nil:
		v.prompter.Say("The case is saved again, with all answers so far.")
	}
	v.unsaved = err
}

// known is the answer to a fact given for certain, "" otherwise.
func (v *visit) known(fact string) string {
	f, ok := v.base.Fact(fact)
	e := v.entry(ref{aFact, fact})
	if !ok || e == nil || e.NotChecked || e.Sure != "" {
		return ""
	}
	if _, ok := rulebase.AnswerIndex(f.Answers, e.Answer); !ok {
		return ""
	}
	return e.Answer
}
