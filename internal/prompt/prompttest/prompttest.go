// Package prompttest is a Prompter for tests: it answers from a script.
//
// It refuses to be lenient. A question the script does not expect next, an
// answer the question does not allow, and an answer left over at the end of
// the test are all failures.
//
// It sits beside the other Prompters and is imported by tests only.
package prompttest

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"filmfault/internal/prompt"
)

// ErrScript is returned to the code under test when its question does not fit
// the script. The test has failed by then.
var ErrScript = errors.New("the question does not fit the script")

type kind string

const (
	ask     kind = "question"
	pick    kind = "list"
	line    kind = "line"
	confirm kind = "yes-or-no question"
)

// Step is one expected question with what is said to it. Make it with one of
// the functions of this package.
type Step struct {
	kind   kind
	id     string // id of the question, or part of the text of a Confirm
	reply  prompt.Reply
	states map[string]string
	text   string
	yes    bool
	err    error
}

// Choose answers question id with a choice.
func Choose(id, choice string) Step { return Say(id, prompt.Reply{Choice: choice}) }

// Type answers question id with a typed value.
func Type(id, value string) Step { return Say(id, prompt.Reply{Value: value}) }

// Command gives a command at question id.
func Command(id string, c prompt.Command) Step { return Say(id, prompt.Reply{Command: c}) }

// Say answers question id with a full reply.
func Say(id string, r prompt.Reply) Step { return Step{kind: ask, id: id, reply: r} }

// Set gives items of list id a state, item id to state id. Others keep the
// one they have.
func Set(id string, states map[string]string) Step { return Step{kind: pick, id: id, states: states} }

// Line types a text at line id.
func Line(id, text string) Step { return Step{kind: line, id: id, text: text} }

// Yes says yes to the Confirm whose question contains part.
func Yes(part string) Step { return Step{kind: confirm, id: part, yes: true} }

// No says no to the Confirm whose question contains part.
func No(part string) Step { return Step{kind: confirm, id: part} }

// Fails makes the question of step return err instead of an answer, such as
// prompt.ErrInterrupted.
func Fails(step Step, err error) Step {
	step.err = err
	return step
}

// Scripted is the Prompter that New makes.
type Scripted struct {
	t     testing.TB
	steps []Step
	said  []string
	asked []prompt.Ask
	picks []prompt.Pick
}

// New makes a Prompter that answers with the script, step by step. When the
// test ends it fails for steps that were not used.
func New(t testing.TB, script ...Step) *Scripted {
	s := &Scripted{t: t, steps: slices.Clone(script)}
	t.Cleanup(s.finish)
	return s
}

func (s *Scripted) finish() {
	s.t.Helper()
	for _, step := range s.steps {
		s.t.Errorf("script: the %s %q was never asked", step.kind, step.id)
	}
}

// Said is everything told with Say so far.
func (s *Scripted) Said() []string { return slices.Clone(s.said) }

// Asked is every question put with Ask so far.
func (s *Scripted) Asked() []prompt.Ask { return slices.Clone(s.asked) }

// Picked is every list put with Pick so far.
func (s *Scripted) Picked() []prompt.Pick { return slices.Clone(s.picks) }

// Left is how many steps are not used yet.
func (s *Scripted) Left() int { return len(s.steps) }

// Ask implements prompt.Prompter.
func (s *Scripted) Ask(ctx context.Context, a prompt.Ask) (prompt.Reply, error) {
	s.t.Helper()
	s.asked = append(s.asked, a)
	step, err := s.next(ctx, ask, a.ID)
	if err == nil {
		err = s.fits(a.ID, a.Check(), a.Accepts(step.reply))
	}
	if err != nil {
		return prompt.Reply{}, err
	}
	return step.reply, nil
}

// Pick implements prompt.Prompter.
func (s *Scripted) Pick(ctx context.Context, p prompt.Pick) ([]string, error) {
	s.t.Helper()
	s.picks = append(s.picks, p)
	step, err := s.next(ctx, pick, p.ID)
	if err != nil {
		states, _ := step.statesFor(p)
		tell(p, states) // broken off after these were set
		return nil, err
	}
	states, unknown := step.statesFor(p)
	if err := s.fits(p.ID, p.Check(), unknown, p.Accepts(states)); err != nil {
		return nil, err
	}
	tell(p, states)
	return states, nil
}

// tell reports the items whose state is no longer the one they started in.
func tell(p prompt.Pick, states []string) {
	for i, before := range p.Starting() {
		if states[i] != before {
			p.Set(states, i, states[i])
		}
	}
}

// statesFor lays the step's states out in the order of the items.
func (step Step) statesFor(p prompt.Pick) (states []string, unknown error) {
	states, used := p.Starting(), 0
	for i, item := range p.Items {
		if state, ok := step.states[item.ID]; ok {
			states[i] = state
			used++
		}
	}
	if used < len(step.states) {
		unknown = fmt.Errorf("%d of the items in %v are not on the list", len(step.states)-used, step.states)
	}
	return states, unknown
}

// Line implements prompt.Prompter.
func (s *Scripted) Line(ctx context.Context, l prompt.LineAsk) (string, error) {
	s.t.Helper()
	step, err := s.next(ctx, line, l.ID)
	if err != nil {
		return "", err
	}
	if err := s.fits(l.ID, l.Accepts(step.text)); err != nil {
		return "", err
	}
	return step.text, nil
}

// Confirm implements prompt.Prompter.
func (s *Scripted) Confirm(ctx context.Context, question string) (bool, error) {
	s.t.Helper()
	step, err := s.next(ctx, confirm, question)
	return step.yes && err == nil, err
}

// Say implements prompt.Prompter.
func (s *Scripted) Say(text string) { s.said = append(s.said, text) }

// next takes the next step if it expects this question.
func (s *Scripted) next(ctx context.Context, k kind, id string) (Step, error) {
	s.t.Helper()
	if ctx.Err() != nil {
		return Step{}, fmt.Errorf("%w: %w", prompt.ErrInterrupted, context.Cause(ctx))
	}
	if len(s.steps) == 0 {
		s.t.Errorf("script: the %s %q came after the last step", k, id)
		return Step{}, ErrScript
	}
	step := s.steps[0]
	if step.kind != k || !step.expects(id) {
		s.t.Errorf("script: the %s %q came, but the %s %q was expected", k, id, step.kind, step.id)
		return Step{}, ErrScript
	}
	s.steps = s.steps[1:]
	return step, step.err
}

func (step Step) expects(id string) bool {
	if step.kind == confirm {
		return strings.Contains(id, step.id)
	}
	return step.id == id
}

// fits fails the test for the first error.
func (s *Scripted) fits(id string, errs ...error) error {
	s.t.Helper()
	for _, err := range errs {
		if err != nil {
			s.t.Errorf("script: %q: %v", id, err)
			return ErrScript
		}
	}
	return nil
}
