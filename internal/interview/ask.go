package interview

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"filmfault/internal/casefile"
	"filmfault/internal/diagnosis"
	"filmfault/internal/prompt"
	"filmfault/internal/rulebase"
)

// ask puts a question until it is answered or the person turns elsewhere.
func (v *visit) ask(ctx context.Context, q question) error {
	if q.kind == aFinding {
		v.asked++
	}
	for {
		reply, err := v.prompter.Ask(ctx, v.shape(q))
		if err != nil {
			return err
		}
		v.markTold(q.cautions)
		if done, err := v.take(ctx, q, reply); done || err != nil {
			return err
		}
	}
}

// take deals with one reply and says whether the question is done with.
func (v *visit) take(ctx context.Context, q question, r prompt.Reply) (done bool, err error) {
	answered := r.Command == prompt.None || r.Command == prompt.NotChecked
	if r.Note != "" && (!answered || r.Choice == leave) {
		v.note(q.title + " " + r.Note)
	}
	switch r.Command {
	case prompt.Why:
		v.explain(q)
		return false, nil
	case prompt.Ranking:
		v.showRanking()
		return false, nil
	case prompt.Back:
		return true, v.back(ctx, q.ref)
	case prompt.Add:
		return true, v.add(ctx)
	case prompt.Later:
		v.leaveLog()
	case prompt.Stop:
		v.stopNow()
	default:
		v.answer(q, r)
	}
	return true, nil
}

func (v *visit) stopNow() {
	v.stopped = true
	v.stop("You stopped the questions.")
}

// instead is the command that was typed at a line in place of a text.
func instead(err error) (prompt.Command, bool) {
	var i prompt.Instead
	ok := errors.As(err, &i)
	return i.Command, ok
}

// answer records a reply that is an answer and says what it calls for.
func (v *visit) answer(q question, r prompt.Reply) {
	if r.Choice == leave {
		return
	}
	e := casefile.Entry{
		Answer: r.Choice, Value: r.Value, NotChecked: r.Command == prompt.NotChecked, Note: r.Note, Asked: q.title,
	}
	if r.Probably {
		e.Sure = "probably"
	}
	v.record(q.ref, e)
	v.sayCautions(v.calledFor(q, e))
	v.saySteps(q, e)
}

// calledFor lists the cautions that an answer calls for. Where safety was not
// looked at, they are those of the worst answer.
func (v *visit) calledFor(q question, e casefile.Entry) []string {
	if e.NotChecked && q.stage == rulebase.StageSafety {
		return allCautions(q.answers)
	}
	if at, ok := rulebase.AnswerIndex(q.answers, e.Answer); ok {
		return q.answers[at].Cautions
	}
	return nil
}

func allCautions(answers []rulebase.Answer) []string {
	var out []string
	for _, a := range answers {
		for _, c := range a.Cautions {
			if !slices.Contains(out, c) {
				out = append(out, c)
			}
		}
	}
	return out
}

// saySteps says what must be done now that something was said.
func (v *visit) saySteps(q question, e casefile.Entry) {
	switch {
	case q.kind == aFailure && e.Answer == rulebase.StateSeen:
		v.sayMakeSafe(q.id)
	case q.ref == ref{aFact, factMayCut} && e.Answer == mayCutYes && e.Sure != "":
		v.prompter.Say("Then nothing is cut until leave to cut is certain. Ask for it, and answer again with \"add\".")
	}
}

// sayMakeSafe says what to do now about a failure, and what never to do.
func (v *visit) sayMakeSafe(failure string) {
	g, ok := v.base.Gate(failure)
	if !ok || g.Failure == nil {
		return
	}
	v.madeSafe[failure] = true
	if text := strings.TrimSpace(g.Failure.MakeSafe + " " + g.Failure.Never); text != "" {
		v.prompter.Say(g.Title + ". " + text)
	}
}

// placeInHistory is where a question stands among those answered in this run;
// a new one stands after the last.
func (v *visit) placeInHistory(r ref) int {
	if at := slices.Index(v.history, r); at >= 0 {
		return at
	}
	return len(v.history)
}

// back asks the question before again. Its answer stays until it is given anew.
func (v *visit) back(ctx context.Context, from ref) error {
	at := v.placeInHistory(from)
	if at == 0 {
		return nil
	}
	before := v.history[at-1]
	if before.kind == theFailures {
		return v.pickFailures(ctx)
	}
	q, ok := v.questionFor(before)
	if !ok {
		return nil
	}
	return v.ask(ctx, q)
}

func (v *visit) showRanking() {
	ev, err := v.evaluate()
	switch {
	case err != nil:
		v.prompter.Say(fmt.Sprintf("There is no ranking yet: %v.", err))
	case v.rank != nil:
		v.prompter.Say(v.rank(ev))
	}
}

// settleContradiction lets the person look again at answers that cannot all be
// true.
func (v *visit) settleContradiction(ctx context.Context, c *diagnosis.ContradictionError) error {
	a := prompt.Ask{
		ID: "contradiction", Title: "These answers cannot all be true. Which of them shall we look at again?",
		Allow: prompt.Allow{Stop: true},
	}
	questions := map[string]question{}
	for _, name := range c.Findings {
		id, _, _ := strings.Cut(name, " ")
		for _, k := range []kind{aFinding, aFailure} {
			if q, ok := v.questionFor(ref{k, id}); ok {
				questions[id] = q
				a.Choices = append(a.Choices, prompt.Choice{ID: id, Text: fmt.Sprintf("%s (%s)", q.title, v.before(q.ref))})
			}
		}
	}
	if len(a.Choices) == 0 {
		return c
	}
	reply, err := v.prompter.Ask(ctx, a)
	switch {
	case err != nil:
		return err
	case reply.Command == prompt.Stop:
		v.stopped = true
		v.stop("Some of the answers cannot all be true, so there is no ranking yet.")
		return nil
	}
	return v.ask(ctx, questions[reply.Choice])
}

// contradicted reports whether an error says that answers contradict.
func contradicted(err error) (*diagnosis.ContradictionError, bool) {
	var c *diagnosis.ContradictionError
	return c, errors.As(err, &c)
}
