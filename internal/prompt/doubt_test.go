package prompt_test

import (
	"errors"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"filmfault/internal/prompt"
)

// density is a figure question with bands.
func density() prompt.Ask {
	return prompt.Ask{
		ID: "density", Title: "How dense is the board?", Allow: everything(),
		Choices: []prompt.Choice{{ID: "low", Text: "under 13"}, {ID: "mid", Text: "13 to 17"}, {ID: "high", Text: "17 or more"}},
		Value: &prompt.ValueAsk{
			Reading: func(text string) string { return text + " lb/ft3 (under 13)" },
			Doubt: func(text string) string {
				if strings.HasPrefix(text, "900") {
					return "900 is very much"
				}
				return ""
			},
			Check: func(text string) error {
				if strings.ContainsAny(text, "?#") || strings.HasPrefix(text, "probably") {
					return errors.New("a figure is wanted")
				}
				return nil
			},
		},
	}
}

func TestAFigureThatMightBeALineIsAskedAboutOnce(t *testing.T) {
	for _, row := range []struct {
		typed string
		want  prompt.Reply
		asked int
	}{
		{"3\nyes", prompt.Reply{Value: "3"}, 1},
		{"3\n3", prompt.Reply{Value: "3"}, 1},
		{"3\np3", prompt.Reply{Choice: "high"}, 1},
		{"3\nline 3", prompt.Reply{Choice: "high"}, 1},
		{"probably 3 # by feel\nfigure", prompt.Reply{Value: "3", Probably: true, Note: "by feel"}, 1},
		{"3\n2", prompt.Reply{Value: "2"}, 1},
		{"3\n-", prompt.Reply{Command: prompt.NotChecked}, 1},
		{"3 lb/ft3", prompt.Reply{Value: "3 lb/ft3"}, 0},
		{"14", prompt.Reply{Value: "14"}, 0},
		{"p3", prompt.Reply{Choice: "high"}, 0},
	} {
		t.Run(row.typed, func(t *testing.T) {
			p, out := newPlain(row.typed + "\n")
			got, err := p.Ask(t.Context(), density())
			require.NoError(t, err)
			require.Equal(t, row.want, got)
			require.Equal(t, row.asked, strings.Count(unwrapped(out.String()), "3 lb/ft3 (under 13) as a figure, or line 3?"))
		})
	}
}

func TestAFigureHardToBelieveIsAskedAboutOnce(t *testing.T) {
	for typed, want := range map[string]string{"900\ny": "900", "900\n90": "90", "900\n9000": "9000"} {
		p, out := newPlain(typed + "\n")
		got, err := p.Ask(t.Context(), density())
		require.NoError(t, err)
		require.Equal(t, want, got.Value)
		require.Equal(t, 1, strings.Count(out.String(), "Is that right? 900 is very much."))
		require.Contains(t, out.String(), "Taken: "+want+" lb/ft3 (under 13)")
	}
	p, _ := newPlain("900\n")
	got, err := p.Ask(t.Context(), density())
	require.ErrorIs(t, err, prompt.ErrEndOfInput)
	require.Zero(t, got, "what is doubted is not recorded at the end of the input")
}

func TestCommandsAtALine(t *testing.T) {
	l := prompt.LineAsk{
		Title: "Which face?", Example: "front", Optional: true, Why: "Faces dry apart.",
		Allow: prompt.Allow{Back: true, Later: true, Stop: true, Done: true},
		Doubt: func(text string) string {
			if text == "roof" {
				return `"roof" is no face`
			}
			return ""
		},
	}
	for typed, want := range map[string]prompt.Command{
		"b": prompt.Back, "Back": prompt.Back, "stop": prompt.Stop, "later": prompt.Later, "done": prompt.Done,
	} {
		p, _ := newPlain("?\nwhy\n" + typed + "\n")
		got, err := p.Line(t.Context(), l)
		require.Empty(t, got)
		require.Equal(t, prompt.Instead{Command: want}, err, typed)
	}
	p, out := newPlain("?\nwhy?\nroof\nyes\n")
	got, err := p.Line(t.Context(), l)
	require.NoError(t, err)
	require.Equal(t, "roof", got)
	for _, want := range []string{"Faces dry apart.", `Is that right? "roof" is no face.`, "done: that is all here."} {
		require.Contains(t, unwrapped(out.String()), want)
	}
	p, _ = newPlain("roof\nback side\n")
	got, err = p.Line(t.Context(), l)
	require.NoError(t, err)
	require.Equal(t, "back side", got)
	p, _ = newPlain("stop\n")
	got, err = p.Line(t.Context(), prompt.LineAsk{Title: "What is the sign called?"})
	require.NoError(t, err)
	require.Equal(t, "stop", got, "where no command makes sense, the word is text")
}

func TestConfirmTakesNumbersAndExplainsCommands(t *testing.T) {
	for typed, want := range map[string]bool{"1": true, "1.": true, "2": false, "stop\nb\nr\ny": true} {
		p, out := newPlain(typed + "\n")
		got, err := p.Confirm(t.Context(), "Is this right?")
		require.NoError(t, err)
		require.Equal(t, want, got, typed)
		require.Equal(t, strings.Contains(typed, "stop"), strings.Contains(unwrapped(out.String()), `"stop" is for the questions with answers`))
	}
}
