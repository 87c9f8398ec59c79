package prompt_test

import (
	"bytes"
	"context"
	"errors"
	"io"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"filmfault/internal/prompt"
)

const patience = 20 * time.Second

func width80() int { return 80 }

func newPlain(in string) (*prompt.Plain, *bytes.Buffer) {
	out := new(bytes.Buffer)
	return prompt.NewPlain(strings.NewReader(in), out, width80), out
}

func everything() prompt.Allow {
	return prompt.Allow{
		NotChecked: true, Probably: true, Note: true, Why: true, Back: true,
		Ranking: true, Add: true, Later: true, Stop: true,
	}
}

// blister is a question with choices that are easily confused.
func blister() prompt.Ask {
	return prompt.Ask{
		ID:    "blister-base",
		Title: "Cut a blister open: what is under it?",
		Choices: []prompt.Choice{
			{ID: "bare", Text: "Bare board"},
			{ID: "primer", Text: "Primer, still on the board"},
			{ID: "between", Text: "Paint on both sides"},
			{ID: "wet", Text: "Not dry: wet or sticky"},
		},
		Allow: everything(),
	}
}

// soft is a question with an answer No.
func soft() prompt.Ask {
	return prompt.Ask{ID: "soft", Title: "Is it soft?", Allow: everything(), Choices: []prompt.Choice{
		{ID: "soft", Text: "Yes, soft"}, {ID: "none", Text: "No, hard all over"}, {ID: "unsure", Text: "Not sure"},
	}}
}

// thickness is a question for a number, or a choice.
func thickness(choices ...prompt.Choice) prompt.Ask {
	return prompt.Ask{
		ID:      "film",
		Title:   "How thick is the film?",
		Choices: choices,
		Value: &prompt.ValueAsk{Example: "3.5 mil", Check: func(text string) error {
			_, err := strconv.ParseFloat(strings.TrimSuffix(text, " mil"), 64)
			if err != nil {
				return errors.New("a number of mil is wanted")
			}
			return nil
		}},
		Allow: everything(),
	}
}

// words is a question for free text.
func words(multiline bool) prompt.Ask {
	return prompt.Ask{
		ID:    "story",
		Title: "What happened?",
		Value: &prompt.ValueAsk{Multiline: multiline},
		Allow: everything(),
	}
}

func TestAskUnderstands(t *testing.T) {
	faint := prompt.Choice{ID: "faint", Text: "Too faint to read"}
	for _, row := range []struct {
		typed string
		ask   prompt.Ask
		want  prompt.Reply
	}{
		{"2", blister(), prompt.Reply{Choice: "primer"}},
		{" 2. ", blister(), prompt.Reply{Choice: "primer"}},
		{"2)", blister(), prompt.Reply{Choice: "primer"}},
		{"between", blister(), prompt.Reply{Choice: "between"}},
		{"BETWEEN", blister(), prompt.Reply{Choice: "between"}},
		{"bare board", blister(), prompt.Reply{Choice: "bare"}},
		{"Bare  board.", blister(), prompt.Reply{Choice: "bare"}},
		{"pai", blister(), prompt.Reply{Choice: "between"}},
		{"2?", blister(), prompt.Reply{Choice: "primer", Probably: true}},
		{"2 ?", blister(), prompt.Reply{Choice: "primer", Probably: true}},
		{"probably 2", blister(), prompt.Reply{Choice: "primer", Probably: true}},
		{"2 probably", blister(), prompt.Reply{Choice: "primer", Probably: true}},
		{"Probably, bare board", blister(), prompt.Reply{Choice: "bare", Probably: true}},
		{"paint on, probably", blister(), prompt.Reply{Choice: "between", Probably: true}},
		{"2 # seen at the north edge", blister(), prompt.Reply{Choice: "primer", Note: "seen at the north edge"}},
		{"2 note: north edge", blister(), prompt.Reply{Choice: "primer", Note: "north edge"}},
		{"2? # dim light", blister(), prompt.Reply{Choice: "primer", Probably: true, Note: "dim light"}},
		{"note north edge\n2", blister(), prompt.Reply{Choice: "primer", Note: "north edge"}},
		{"note: a\n# b\n2 # c", blister(), prompt.Reply{Choice: "primer", Note: "a; b; c"}},
		{"n", blister(), prompt.Reply{Command: prompt.NotChecked}},
		{"Not checked", blister(), prompt.Reply{Command: prompt.NotChecked}},
		{"n # too high up", blister(), prompt.Reply{Command: prompt.NotChecked, Note: "too high up"}},
		{"-", blister(), prompt.Reply{Command: prompt.NotChecked}},
		{"skip", blister(), prompt.Reply{Command: prompt.NotChecked}},
		{"- # too high up", blister(), prompt.Reply{Command: prompt.NotChecked, Note: "too high up"}},
		{"n", soft(), prompt.Reply{Choice: "none"}},
		{"N?", soft(), prompt.Reply{Choice: "none", Probably: true}},
		{"no", soft(), prompt.Reply{Choice: "none"}},
		{"-", soft(), prompt.Reply{Command: prompt.NotChecked}},
		{"not checked", soft(), prompt.Reply{Command: prompt.NotChecked}},
		{"why", blister(), prompt.Reply{Command: prompt.Why}},
		{"why?", blister(), prompt.Reply{Command: prompt.Why}},
		{"b", blister(), prompt.Reply{Command: prompt.Back}},
		{"back", blister(), prompt.Reply{Command: prompt.Back}},
		{"r", blister(), prompt.Reply{Command: prompt.Ranking}},
		{"ranking", blister(), prompt.Reply{Command: prompt.Ranking}},
		{"add", blister(), prompt.Reply{Command: prompt.Add}},
		{"later", blister(), prompt.Reply{Command: prompt.Later}},
		{"stop", blister(), prompt.Reply{Command: prompt.Stop}},

		{"2", thickness(faint), prompt.Reply{Value: "2"}},
		{"2 mil", thickness(faint), prompt.Reply{Value: "2 mil"}},
		{"p1", thickness(faint), prompt.Reply{Choice: "faint"}},
		{"pick 1", thickness(faint), prompt.Reply{Choice: "faint"}},
		{"too faint", thickness(faint), prompt.Reply{Choice: "faint"}},
		{"3.5 mil?", thickness(), prompt.Reply{Value: "3.5 mil", Probably: true}},
		{"probably 3.5 mil # gauge was old", thickness(), prompt.Reply{Value: "3.5 mil", Probably: true, Note: "gauge was old"}},

		{"is it #3, or not?", words(false), prompt.Reply{Value: "is it #3, or not?"}},
		{"back of the panel", words(false), prompt.Reply{Value: "back of the panel"}},
		{"It peeled.\n\nThen it rained.\n.", words(true), prompt.Reply{Value: "It peeled.\n\nThen it rained."}},
		{"later", words(true), prompt.Reply{Command: prompt.Later}},
	} {
		t.Run(row.typed, func(t *testing.T) {
			p, out := newPlain(row.typed + "\n")
			got, err := p.Ask(t.Context(), row.ask)
			require.NoError(t, err, out.String())
			require.Equal(t, row.want, got)
			require.NoError(t, row.ask.Accepts(got))
		})
	}
}

func TestAskDoesNotTakeForAnAnswer(t *testing.T) {
	bare := blister()
	bare.Allow = prompt.Allow{}
	yesOrUnsure := prompt.Ask{ID: "q", Title: "Soft?", Choices: []prompt.Choice{{ID: "yes", Text: "Yes"}, {ID: "unsure", Text: "Not sure"}, {ID: "soft", Text: "Soft at the edge"}}, Allow: everything()}
	for _, row := range []struct {
		name, typed string
		ask         prompt.Ask
		says        string
	}{
		{"an empty line", "", blister(), `Type "-" if you did not check`},
		{"an empty line where not checking is no way out", "", bare, "An empty line is no answer."},
		{"unknown words", "green", blister(), `"green" is none of the answers.`},
		{"a number past the end", "5", blister(), "There is no line 5; they go from 1 to 4."},
		{"nought", "0", blister(), "There is no line 0"},
		{"a negative number", "-1", blister(), `"-1" is none of the answers.`},
		{"two numbers", "1 2", blister(), `"1 2" is none of the answers.`},
		{"a number with a tail", "2x", blister(), `"2x" is none of the answers.`},
		{"a beginning of two", "p", blister(), `"p" could be 2 of the answers`},
		{"a beginning of an answer and of a command", "not", blister(), "too short to tell the answer from a command"},
		{"no, where no answer is No", "no", yesOrUnsure, `"no" is none of the answers.`},
		{"only probably", "probably", blister(), "The answer itself is missing."},
		{"only a note", "note", blister(), "Type the words of the note after it"},
		{"a note where there can be none", "2 # x", bare, "A note cannot be added here."},
		{"probably where it cannot be", "2?", bare, `"Probably" is not possible here.`},
		{"a command that is not possible", "n", bare, `"not checked" is not possible here.`},
		{"a command that is not possible", "stop", bare, `"stop" is not possible here.`},
		{"no number", "thick", thickness(), "Not taken: a number of mil is wanted."},
		{"a line past the end beside a value", "p3", thickness(prompt.Choice{ID: "x", Text: "Can't read it"}), "There is no line p3; they go from p1 to p1."},
		{"arrow keys", "\x1b[A", blister(), "keys in it that are not text"},
		{"a zero byte", "2\x00", blister(), "keys in it that are not text"},
		{"broken letters", "2\xff", blister(), "letters this program cannot read"},
		{"an empty text", ".", words(true), "An empty text is no answer."},
		{"an unreadable line in a text", "one\n\xff\ntwo\n.", words(true), "Nothing of the text was kept"},
		{"a text that is too long", strings.Repeat(strings.Repeat("x", 1<<15)+"\n", 3) + ".", words(true), "too long to keep"},
	} {
		t.Run(row.name, func(t *testing.T) {
			p, out := newPlain(row.typed + "\n")
			got, err := p.Ask(t.Context(), row.ask)
			require.ErrorIs(t, err, prompt.ErrEndOfInput)
			require.Zero(t, got)
			require.Contains(t, unwrapped(out.String()), row.says)
		})
	}
}

// unwrapped undoes the wrapping, for messages that may fall across a line end.
func unwrapped(s string) string { return strings.Join(strings.Fields(s), " ") }

func TestAskGoesOnAfterARefusedLine(t *testing.T) {
	for name, refused := range map[string]string{
		"unknown":      "green",
		"empty":        "",
		"broken":       "\xff\xfe",
		"help":         "?",
		"help, typed":  "help",
		"too long":     strings.Repeat("x", 70000),
		"far too long": strings.Repeat("2 ", 1<<20),
	} {
		t.Run(name, func(t *testing.T) {
			p, out := newPlain(refused + "\n3\n")
			got, err := p.Ask(t.Context(), blister())
			require.NoError(t, err)
			require.Equal(t, prompt.Reply{Choice: "between"}, got)
			require.Less(t, out.Len(), 4096, "a long line is not repeated to the person")
		})
	}
}

func TestALineOfTheGreatestLengthIsTaken(t *testing.T) {
	text := strings.Repeat("x", 64<<10)
	p, _ := newPlain(text + "\r\n")
	got, err := p.Ask(t.Context(), words(false))
	require.NoError(t, err)
	require.Len(t, got.Value, len(text))

	p, out := newPlain(text + "xx\n")
	_, err = p.Ask(t.Context(), words(false))
	require.ErrorIs(t, err, prompt.ErrEndOfInput)
	require.Contains(t, out.String(), "That line is too long")
}

func TestEndOfInputIsNeverAnAnswer(t *testing.T) {
	for name, in := range map[string]string{"at once": "", "after an empty line": "\n", "after a note": "note x\n"} {
		t.Run(name, func(t *testing.T) {
			p, _ := newPlain(in)
			got, err := p.Ask(t.Context(), blister())
			require.ErrorIs(t, err, prompt.ErrEndOfInput)
			require.Zero(t, got)
		})
	}
	p, _ := newPlain("one\ntwo")
	_, err := p.Ask(t.Context(), words(true))
	require.ErrorIs(t, err, prompt.ErrEndOfInput, "a text that was not ended")
	p, _ = newPlain("")
	_, err = p.Confirm(t.Context(), "Sure?")
	require.ErrorIs(t, err, prompt.ErrEndOfInput)
	_, err = p.Line(t.Context(), prompt.LineAsk{Title: "Name", Optional: true})
	require.ErrorIs(t, err, prompt.ErrEndOfInput, "not even where the line may be left out")
}

func TestLineEnds(t *testing.T) {
	for name, in := range map[string]string{
		"no end on the last line": "2",
		"Windows":                 "2\r\n",
		"Windows, unfinished":     "2\r",
		"byte order mark":         "\ufeff2\n",
	} {
		t.Run(name, func(t *testing.T) {
			p, _ := newPlain(in)
			got, err := p.Ask(t.Context(), blister())
			require.NoError(t, err)
			require.Equal(t, prompt.Reply{Choice: "primer"}, got)
		})
	}
}

func TestSeveralQuestionsReadOnFromOneStream(t *testing.T) {
	for name, wrap := range map[string]func(io.Reader) io.Reader{
		"all at once":  func(r io.Reader) io.Reader { return r },
		"byte by byte": func(r io.Reader) io.Reader { return oneByte{r} },
	} {
		t.Run(name, func(t *testing.T) {
			in := wrap(strings.NewReader("1\r\n4 mil\nThe Anchor\nyes\n2 sticky\ndone"))
			p := prompt.NewPlain(in, io.Discard, width80)
			r, err := p.Ask(t.Context(), blister())
			require.NoError(t, err)
			require.Equal(t, "bare", r.Choice)
			r, err = p.Ask(t.Context(), thickness())
			require.NoError(t, err)
			require.Equal(t, "4 mil", r.Value)
			name, err := p.Line(t.Context(), prompt.LineAsk{Title: "Which sign?"})
			require.NoError(t, err)
			require.Equal(t, "The Anchor", name)
			yes, err := p.Confirm(t.Context(), "Right?")
			require.NoError(t, err)
			require.True(t, yes)
			_, err = p.Confirm(t.Context(), "Right?")
			require.ErrorIs(t, err, prompt.ErrEndOfInput)
		})
	}
}

type oneByte struct{ r io.Reader }

func (o oneByte) Read(p []byte) (int, error) { return o.r.Read(p[:1]) }

// never is a keyboard nobody types on.
func never(t *testing.T) io.Reader {
	r, w := io.Pipe()
	t.Cleanup(func() { _ = w.Close() })
	return r
}

func TestAnEndedContextFreesAWaitingQuestion(t *testing.T) {
	cause := errors.New("the shop closed")
	for _, row := range []struct {
		name  string
		cause error
	}{{"Ctrl-C", prompt.ErrInterrupted}, {"another cause", cause}} {
		t.Run(row.name, func(t *testing.T) {
			p := prompt.NewPlain(never(t), io.Discard, width80)
			for name, question := range questions(p) {
				ctx, cancel := context.WithCancelCause(t.Context())
				done := make(chan error, 1)
				go func() { done <- question(ctx) }()
				time.AfterFunc(10*time.Millisecond, func() { cancel(row.cause) })
				select {
				case err := <-done:
					require.ErrorIs(t, err, prompt.ErrInterrupted, name)
					require.ErrorIs(t, err, row.cause, name)
				case <-time.After(patience):
					t.Fatalf("%s is still waiting", name)
				}
			}
		})
	}
}

func questions(p prompt.Prompter) map[string]func(context.Context) error {
	return map[string]func(context.Context) error{
		"ask":     func(ctx context.Context) error { _, err := p.Ask(ctx, blister()); return err },
		"text":    func(ctx context.Context) error { _, err := p.Ask(ctx, words(true)); return err },
		"pick":    func(ctx context.Context) error { _, err := p.Pick(ctx, faults()); return err },
		"line":    func(ctx context.Context) error { _, err := p.Line(ctx, prompt.LineAsk{Title: "Name"}); return err },
		"confirm": func(ctx context.Context) error { _, err := p.Confirm(ctx, "Sure?"); return err },
	}
}

func TestAnEndedContextAsksNothing(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	p, _ := newPlain("1\n1\n1\n1\n1\n") // even though answers are waiting
	for name, question := range questions(p) {
		require.ErrorIs(t, question(ctx), prompt.ErrInterrupted, name)
	}
}

func TestTextTypedDuringAnInterruptIsKept(t *testing.T) {
	in, keyboard := io.Pipe()
	p := prompt.NewPlain(in, io.Discard, width80)
	ctx, cancel := context.WithTimeout(t.Context(), 10*time.Millisecond)
	defer cancel()
	_, err := p.Ask(ctx, blister())
	require.ErrorIs(t, err, context.DeadlineExceeded)
	go func() { _, _ = io.WriteString(keyboard, "2\n") }()
	r, err := p.Ask(t.Context(), blister())
	require.NoError(t, err)
	require.Equal(t, "primer", r.Choice)
}

type broken struct{ err error }

func (b broken) Write([]byte) (int, error) { return 0, b.err }
func (b broken) Read([]byte) (int, error)  { return 0, b.err }

func TestAQuestionNobodySawIsNotAnswered(t *testing.T) {
	gone := errors.New("the screen is gone")
	p := prompt.NewPlain(strings.NewReader("2\n"), broken{gone}, width80)
	_, err := p.Ask(t.Context(), blister())
	require.ErrorIs(t, err, gone)
}

func TestReadErrorsAreToldApartFromTheEnd(t *testing.T) {
	gone := errors.New("the keyboard is gone")
	p := prompt.NewPlain(broken{gone}, io.Discard, width80)
	_, err := p.Ask(t.Context(), blister())
	require.ErrorIs(t, err, gone)
	require.NotErrorIs(t, err, prompt.ErrEndOfInput)

	p = prompt.NewPlain(broken{nil}, io.Discard, width80)
	_, err = p.Ask(t.Context(), blister())
	require.ErrorIs(t, err, io.ErrNoProgress)
}

func TestMistakesInAQuestionAreErrors(t *testing.T) {
	p, _ := newPlain("1\n1\n")
	_, err := p.Ask(t.Context(), prompt.Ask{ID: "empty", Title: "?"})
	require.ErrorContains(t, err, `"empty" has neither choices nor a value`)
	_, err = p.Ask(t.Context(), prompt.Ask{ID: "q", Title: "?", Choices: []prompt.Choice{{Text: "x"}}})
	require.ErrorContains(t, err, "without an id")
}
