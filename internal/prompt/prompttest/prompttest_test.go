package prompttest_test

import (
	"context"
	"errors"
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"filmfault/internal/prompt"
	"filmfault/internal/prompt/prompttest"
)

// judge stands in for a test that is expected to fail.
type judge struct {
	testing.TB
	failures []string
	cleanups []func()
}

func (j *judge) Helper()          {}
func (j *judge) Cleanup(f func()) { j.cleanups = append(j.cleanups, f) }
func (j *judge) Errorf(format string, args ...any) {
	j.failures = append(j.failures, fmt.Sprintf(format, args...))
}

func (j *judge) end() []string {
	for _, f := range j.cleanups {
		f()
	}
	return j.failures
}

func soft() prompt.Ask {
	return prompt.Ask{
		ID: "soft", Title: "Is the film soft?",
		Choices: []prompt.Choice{{ID: "yes", Text: "Yes"}, {ID: "no", Text: "No"}},
		Value:   &prompt.ValueAsk{Check: func(text string) error { return onlyThree(text) }},
		Allow:   prompt.Allow{Why: true},
	}
}

func onlyThree(text string) error {
	if text != "3" {
		return errors.New("only 3 will do")
	}
	return nil
}

func faults() prompt.Pick {
	return prompt.Pick{
		ID:      "faults",
		Items:   []prompt.Choice{{ID: "crack", Text: "Cracks"}, {ID: "chalk", Text: "Chalk"}},
		States:  []prompt.Choice{{ID: "unknown", Text: "not looked for"}, {ID: "seen", Text: "seen"}},
		Default: "unknown",
	}
}

func TestAScriptIsFollowed(t *testing.T) {
	j := &judge{}
	s := prompttest.New(j,
		prompttest.Choose("soft", "yes"),
		prompttest.Type("soft", "3"),
		prompttest.Command("soft", prompt.Why),
		prompttest.Set("faults", map[string]string{"chalk": "seen"}),
		prompttest.Line("name", "The Anchor"),
		prompttest.Yes("right"),
		prompttest.No("again"),
		prompttest.Fails(prompttest.Choose("soft", "no"), prompt.ErrInterrupted),
	)
	ctx := t.Context()
	for _, want := range []prompt.Reply{{Choice: "yes"}, {Value: "3"}, {Command: prompt.Why}} {
		r, err := s.Ask(ctx, soft())
		require.NoError(t, err)
		require.Equal(t, want, r)
	}
	states, err := s.Pick(ctx, faults())
	require.NoError(t, err)
	require.Equal(t, []string{"unknown", "seen"}, states)
	name, err := s.Line(ctx, prompt.LineAsk{ID: "name"})
	require.NoError(t, err)
	require.Equal(t, "The Anchor", name)
	yes, err := s.Confirm(ctx, "Is this right?")
	require.NoError(t, err)
	require.True(t, yes)
	yes, err = s.Confirm(ctx, "Once again?")
	require.NoError(t, err)
	require.False(t, yes)
	require.Equal(t, 1, s.Left())
	r, err := s.Ask(ctx, soft())
	require.ErrorIs(t, err, prompt.ErrInterrupted)
	require.Zero(t, r)
	s.Say("done")
	require.Equal(t, []string{"done"}, s.Said())
	require.Len(t, s.Asked(), 4)
	require.Len(t, s.Picked(), 1)
	require.Empty(t, j.end())
}

func TestWhatDoesNotFitTheScriptFails(t *testing.T) {
	ask := func(a prompt.Ask) func(*prompttest.Scripted) error {
		return func(s *prompttest.Scripted) error { _, err := s.Ask(context.Background(), a); return err }
	}
	pick := func(s *prompttest.Scripted) error { _, err := s.Pick(context.Background(), faults()); return err }
	line := func(s *prompttest.Scripted) error {
		_, err := s.Line(context.Background(), prompt.LineAsk{ID: "name"})
		return err
	}
	for _, row := range []struct {
		name string
		step prompttest.Step
		ask  func(*prompttest.Scripted) error
		says string
	}{
		{"another question", prompttest.Choose("hard", "yes"), ask(soft()), `the question "soft" came, but the question "hard" was expected`},
		{"another kind", prompttest.Yes("soft"), ask(soft()), `the question "soft" came, but the yes-or-no question "soft" was expected`},
		{"a choice there is not", prompttest.Choose("soft", "maybe"), ask(soft()), "none of the choices"},
		{"a value that does not pass", prompttest.Type("soft", "4"), ask(soft()), "only 3 will do"},
		{"a command that is not possible", prompttest.Command("soft", prompt.Stop), ask(soft()), `"stop" is not possible here`},
		{"an answer that is none", prompttest.Say("soft", prompt.Reply{}), ask(soft()), "one of choice, value and command"},
		{"a question without answers", prompttest.Choose("empty", "x"), ask(prompt.Ask{ID: "empty"}), "neither choices nor a value"},
		{"an item there is not", prompttest.Set("faults", map[string]string{"rust": "seen"}), pick, "not on the list"},
		{"a state there is not", prompttest.Set("faults", map[string]string{"crack": "maybe"}), pick, `"maybe" is no state`},
		{"another list", prompttest.Set("others", nil), pick, `the list "faults" came, but the list "others"`},
		{"an empty line", prompttest.Line("name", ""), line, "this is needed"},
		{"another line", prompttest.Line("shop", "x"), line, `the line "name" came, but the line "shop"`},
	} {
		t.Run(row.name, func(t *testing.T) {
			j := &judge{}
			require.ErrorIs(t, row.ask(prompttest.New(j, row.step)), prompttest.ErrScript)
			require.NotEmpty(t, j.failures)
			require.Contains(t, j.failures[0], row.says)
		})
	}
}

func TestUnusedStepsFail(t *testing.T) {
	j := &judge{}
	prompttest.New(j, prompttest.Choose("soft", "yes"), prompttest.Line("name", "x"))
	require.Equal(t, []string{
		`script: the question "soft" was never asked`, `script: the line "name" was never asked`,
	}, j.end())
}

func TestQuestionsPastTheEndFail(t *testing.T) {
	j := &judge{}
	_, err := prompttest.New(j).Confirm(t.Context(), "Sure?")
	require.ErrorIs(t, err, prompttest.ErrScript)
	require.Equal(t, []string{`script: the yes-or-no question "Sure?" came after the last step`}, j.end())
}

func TestAnEndedContextIsAnInterrupt(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	j := &judge{}
	s := prompttest.New(j, prompttest.Choose("soft", "yes"))
	_, err := s.Ask(ctx, soft())
	require.ErrorIs(t, err, prompt.ErrInterrupted)
	require.ErrorIs(t, err, context.Canceled)
	require.Equal(t, 1, s.Left(), "the step is still there for the next question")
}
