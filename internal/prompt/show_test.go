package prompt_test

import (
	"bytes"
	"strings"
	"testing"
	"unicode"

	"github.com/stretchr/testify/require"

	"filmfault/internal/prompt"
)

func TestWhatIsShown(t *testing.T) {
	a := blister()
	a.Progress = "looking, nothing touched"
	a.Caution = "paint may hold lead."
	a.How = "Use a sharp blade."
	p, out := newPlain("2\n")
	_, err := p.Ask(t.Context(), a)
	require.NoError(t, err)
	require.Equal(t, `
(looking, nothing touched)
Caution: paint may hold lead.
Cut a blister open: what is under it?
Use a sharp blade.
  1. Bare board
  2. Primer, still on the board
  3. Paint on both sides
  4. Not dry: wet or sticky
Type a number, or the first words of an answer. Or: - (not checked), why, b
(back), r (ranking), add, later, stop. "?" explains.
> Taken: Primer, still on the board
`, out.String())
}

func TestWhatIsShownForAValue(t *testing.T) {
	a := thickness(prompt.Choice{ID: "faint", Text: "Too faint to read"})
	a.Allow = prompt.Allow{}
	p, out := newPlain("p1\n")
	_, err := p.Ask(t.Context(), a)
	require.NoError(t, err)
	require.Equal(t, `
How thick is the film?
  p1. Too faint to read
Type your answer, for example: 3.5 mil. Or pick a line with p1, p2 and so on.
"?" explains.
> Taken: Too faint to read
`, out.String())
}

func TestNotCheckedIsSaid(t *testing.T) {
	for _, typed := range []string{"-", "skip", "not checked"} {
		p, out := newPlain(typed + "\n")
		_, err := p.Ask(t.Context(), soft())
		require.NoError(t, err)
		require.Contains(t, out.String(), "Taken: not checked\n", typed)
	}
}

func TestHelpNamesOnlyWhatIsPossible(t *testing.T) {
	p, out := newPlain("?\n1\n")
	_, err := p.Ask(t.Context(), blister())
	require.NoError(t, err)
	for _, word := range []string{"probably", "note", "- (not checked): you", "why: hear", "b (back)", "r (ranking)", "add:", "later:", "stop:"} {
		require.Contains(t, out.String(), word)
	}
	a := blister()
	a.Allow = prompt.Allow{Why: true}
	p, out = newPlain("?\n1\n")
	_, err = p.Ask(t.Context(), a)
	require.NoError(t, err)
	require.Contains(t, out.String(), "why: hear")
	for _, word := range []string{"robably", "note", "not checked", "back", "ranking", "stop"} {
		require.NotContains(t, out.String(), word)
	}
}

func TestTheHintIsGivenOnce(t *testing.T) {
	p, out := newPlain("green\nblue\nred\n1\n")
	_, err := p.Ask(t.Context(), blister())
	require.NoError(t, err)
	require.Equal(t, 2, strings.Count(out.String(), "Type a number"), "with the question and with the first slip")
	require.Equal(t, 3, strings.Count(out.String(), "is none of the answers"))
	require.Equal(t, 1, strings.Count(out.String(), "Cut a blister"), "the question is not read out again")
}

func TestPlainLinesHoldNothingButText(t *testing.T) {
	a := blister()
	a.Title = "A sign called \x1b[2J\x07evil\u009b1m?"
	a.Choices[0].Text = "Bare\x1b]0;x\x07 board"
	p, out := newPlain("\x1b[31m\n1\n")
	_, err := p.Ask(t.Context(), a)
	require.NoError(t, err)
	p.Say("more \x1b[1mtext")
	for _, r := range out.String() {
		require.False(t, unicode.IsControl(r) && r != '\n', "%q in %q", r, out.String())
		require.Less(t, r, '\u2500', "no box drawing")
	}
}

func TestTextIsWrapped(t *testing.T) {
	out := new(bytes.Buffer)
	p := prompt.NewPlain(strings.NewReader("?\ngreen\n1\n"), out, func() int { return 30 })
	a := blister()
	a.Choices[0].Text = strings.Repeat("bare board ", 10)
	_, err := p.Ask(t.Context(), a)
	require.NoError(t, err)
	for line := range strings.SplitSeq(out.String(), "\n") {
		require.LessOrEqual(t, len(strings.TrimPrefix(line, "> ")), 30, line)
	}
	require.Contains(t, out.String(), "\n     bare board", "a long answer hangs under its number")
}

func TestLine(t *testing.T) {
	check := func(text string) error {
		if strings.ContainsAny(text, "/") {
			return errSlash
		}
		return nil
	}
	p, out := newPlain("\na/b\n  The Anchor \n\n")
	got, err := p.Line(t.Context(), prompt.LineAsk{Title: "Which sign?", How: "As on the job sheet.", Example: "The Anchor, front", Check: check})
	require.NoError(t, err)
	require.Equal(t, "The Anchor", got)
	require.Contains(t, out.String(), "Not taken: this is needed.")
	require.Contains(t, out.String(), "Not taken: no slashes.")
	require.Contains(t, out.String(), "For example: The Anchor, front.")
	require.Contains(t, out.String(), "As on the job sheet.")

	got, err = p.Line(t.Context(), prompt.LineAsk{Title: "A note?", Optional: true})
	require.NoError(t, err)
	require.Empty(t, got)
	require.Contains(t, out.String(), "An empty line leaves it out.")
}

type constError string

func (e constError) Error() string { return string(e) }

const errSlash = constError("no slashes")

func TestConfirm(t *testing.T) {
	for typed, want := range map[string]bool{"yes": true, "Y": true, "no": false, "n": false, "maybe\n\n?\nyes": true} {
		t.Run(typed, func(t *testing.T) {
			p, out := newPlain(typed + "\n")
			got, err := p.Confirm(t.Context(), "Is this right?")
			require.NoError(t, err)
			require.Equal(t, want, got)
			require.Contains(t, out.String(), "Type yes or no")
		})
	}
}

func TestCommandsHaveWords(t *testing.T) {
	for c, want := range map[prompt.Command]string{
		prompt.None: "none", prompt.NotChecked: "not checked", prompt.Why: "why", prompt.Back: "back",
		prompt.Ranking: "ranking", prompt.Add: "add", prompt.Later: "later", prompt.Stop: "stop", prompt.Done: "done",
	} {
		require.Equal(t, want, c.String())
		require.Equal(t, c != prompt.None, everything().Permits(c) || c == prompt.Done, want)
		require.False(t, prompt.Allow{}.Permits(c), want)
	}
}
