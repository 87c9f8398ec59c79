package prompt_test

import (
	"errors"
	"testing"

	"github.com/stretchr/testify/require"

	"filmfault/internal/prompt"
)

func TestAccepts(t *testing.T) {
	strict := blister()
	strict.Allow = prompt.Allow{Why: true}
	for _, row := range []struct {
		name  string
		ask   prompt.Ask
		reply prompt.Reply
		says  string // empty: accepted
	}{
		{"a choice", blister(), prompt.Reply{Choice: "bare", Probably: true, Note: "x"}, ""},
		{"a value", thickness(), prompt.Reply{Value: "3 mil"}, ""},
		{"a command with a note", blister(), prompt.Reply{Command: prompt.NotChecked, Note: "x"}, ""},
		{"nothing", blister(), prompt.Reply{}, "one of choice, value and command"},
		{"a choice and a command", blister(), prompt.Reply{Choice: "bare", Command: prompt.Why}, "one of choice, value and command"},
		{"an unknown choice", blister(), prompt.Reply{Choice: "Bare board"}, "none of the choices"},
		{"a value where none is typed", blister(), prompt.Reply{Value: "3"}, "only picked"},
		{"a value that does not pass", thickness(), prompt.Reply{Value: "thick"}, "a number of mil"},
		{"a command that is not possible", strict, prompt.Reply{Command: prompt.Stop}, `"stop" is not possible`},
		{"probably a command", blister(), prompt.Reply{Command: prompt.Stop, Probably: true}, "probably is not possible"},
		{"probably, not possible", strict, prompt.Reply{Choice: "bare", Probably: true}, "probably is not possible"},
		{"a note, not possible", strict, prompt.Reply{Choice: "bare", Note: "x"}, "a note is not possible"},
	} {
		t.Run(row.name, func(t *testing.T) {
			err := row.ask.Accepts(row.reply)
			if row.says == "" {
				require.NoError(t, err)
				return
			}
			require.ErrorContains(t, err, row.says)
		})
	}
}

func TestLineAccepts(t *testing.T) {
	l := prompt.LineAsk{Check: func(string) error { return errors.New("no") }}
	require.EqualError(t, l.Accepts("x"), "no")
	require.Error(t, prompt.LineAsk{}.Accepts(""))
	require.NoError(t, prompt.LineAsk{Optional: true}.Accepts(""))
	require.NoError(t, prompt.LineAsk{}.Accepts("x"))
}
