package interview

import (
	"fmt"
	"strconv"
	"strings"

	"filmfault/internal/prompt"
	"filmfault/internal/rulebase"
)

// question is a fact, finding or failure about to be asked.
type question struct {
	ref
	stage    rulebase.Stage
	title    string
	how      string
	answers  []rulebase.Answer
	value    *rulebase.Value
	cautions []string
	progress string
	added    bool // the person asked for it with "add"
}

func factQuestion(f rulebase.Fact) question {
	return question{
		ref: ref{aFact, f.ID}, stage: f.Stage, title: f.Question, how: f.How,
		answers: f.Answers, value: f.Value, progress: factProgress(f.Stage),
	}
}

func factProgress(s rulebase.Stage) string {
	switch s {
	case rulebase.StageSafety:
		return "first, what is safe"
	case rulebase.StageLog:
		return "the log"
	}
	return "about the job"
}

func findingQuestion(f rulebase.Finding) question {
	return question{
		ref: ref{aFinding, f.ID}, stage: f.Stage, title: f.Question, how: howTo(f),
		answers: f.Answers, value: f.Value, cautions: f.Cautions, progress: findingProgress(f),
	}
}

func findingProgress(f rulebase.Finding) string {
	switch {
	case isSister(f.ID):
		return "what held"
	case f.Stage == rulebase.StageTouch:
		return "touching"
	case f.Stage == rulebase.StageCut:
		return "cutting"
	case f.Stage == rulebase.StageLog:
		return "the log"
	}
	return "looking, nothing touched"
}

func failureQuestion(g rulebase.Gate) question {
	return question{
		ref: ref{aFailure, g.ID}, title: g.Failure.Question, how: g.Failure.How, progress: "what fails",
		answers: []rulebase.Answer{
			{ID: rulebase.StateSeen, Text: "Seen"},
			{ID: rulebase.StateAbsent, Text: "Looked for and not there"},
		},
	}
}

// questionFor makes the question for anything in the rules.
func (v *visit) questionFor(r ref) (question, bool) {
	switch r.kind {
	case aFact:
		f, ok := v.base.Fact(r.id)
		return factQuestion(f), ok
	case aFinding:
		f, ok := v.base.Finding(r.id)
		return findingQuestion(f), ok
	}
	g, ok := v.base.Gate(r.id)
	if !ok || g.Failure == nil {
		return question{}, false
	}
	return failureQuestion(g), true
}

// howTo says how to look, with what, how long it takes and what it leaves
// behind.
func howTo(f rulebase.Finding) string {
	parts := []string{f.How}
	if len(f.Tools) > 0 {
		parts = append(parts, "Take: "+strings.Join(f.Tools, ", ")+".")
	}
	if m := f.Measurement; m != nil {
		parts = append(parts, "Method: "+strings.TrimRight(m.Method, ".")+".")
	}
	if f.Measurement != nil || len(f.Tools) > 0 {
		parts = append(parts, "It takes about "+minutes(f.Minutes)+".")
	}
	parts = append(parts, leaves(f.Damage))
	return strings.TrimSpace(strings.Join(parts, " "))
}

func minutes(m float64) string {
	if m == 1 {
		return "a minute"
	}
	return strconv.FormatFloat(m, 'f', -1, 64) + " minutes"
}

// leaves says what a damage leaves behind.
func leaves(damage string) string {
	switch damage {
	case "mark":
		return "It leaves a mark."
	case "pin-hole":
		return "It leaves a pin hole."
	case "coin":
		return "It leaves a coin-sized spot to touch up."
	case "cut":
		return "It cuts a piece out."
	}
	return ""
}

// leave is the choice that changes nothing.
const leave = "(leave)"

// shape makes the question as it is shown now.
func (v *visit) shape(q question) prompt.Ask {
	a := prompt.Ask{
		ID: q.id, Title: q.title, How: q.how, Caution: v.cautionsFor(q.cautions), Progress: q.progress,
		Allow: v.allow(q),
	}
	for _, x := range q.answers {
		a.Choices = append(a.Choices, prompt.Choice{ID: x.ID, Text: x.Text})
	}
	if q.value != nil {
		a.Value = &prompt.ValueAsk{
			Example: example(*q.value, q.answers), Check: q.checkValue, Reading: q.reading, Doubt: q.doubt,
		}
	}
	if f, ok := v.base.Finding(q.id); ok && q.added && !harmless(f) && !v.mayCut() {
		a.How = "Answer only what is known already: there is no leave to cut or mark the piece."
	}
	if before := v.before(q.ref); before != "" {
		a.How = strings.TrimSpace(fmt.Sprintf("Your answer so far: %s. %s", before, a.How))
		a.Choices = append(a.Choices, prompt.Choice{ID: leave, Text: "Leave my answer as it is"})
	} else if q.added {
		a.Choices = append(a.Choices, prompt.Choice{ID: leave, Text: "Leave this out after all"})
	}
	return a
}

func (v *visit) allow(q question) prompt.Allow {
	a := prompt.Allow{NotChecked: true, Probably: q.kind != aFailure, Note: true, Why: true}
	if q.added {
		return a
	}
	a.Back = v.placeInHistory(q.ref) > 0
	a.Ranking = v.rank != nil && len(v.seen()) > 0
	a.Add, a.Stop = true, true
	a.Later = q.stage == rulebase.StageLog && v.logOpen && !v.logLater
	return a
}

// before is the answer given earlier, in words; "" when there is none.
func (v *visit) before(r ref) string {
	e := v.entry(r)
	if e == nil {
		return ""
	}
	words := e.Value
	if e.NotChecked {
		words = "not checked"
	}
	q, ok := v.questionFor(r)
	if at, found := rulebase.AnswerIndex(q.answers, e.Answer); ok && found {
		words = strings.TrimRight(q.answers[at].Text, ".")
	}
	if e.Sure != "" {
		words = "probably " + words
	}
	return words
}
