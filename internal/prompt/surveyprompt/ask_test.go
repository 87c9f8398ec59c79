//go:build linux

package surveyprompt_test

import (
	"context"
	"errors"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"filmfault/internal/console"
	"filmfault/internal/prompt"
	"filmfault/internal/prompt/surveyprompt"
)

func everything() prompt.Allow {
	return prompt.Allow{
		NotChecked: true, Probably: true, Note: true, Why: true, Back: true,
		Ranking: true, Add: true, Later: true, Stop: true,
	}
}

func blister() prompt.Ask {
	return prompt.Ask{
		ID:       "blister-base",
		Title:    "Cut a blister open: what is under it?",
		How:      "Use a sharp blade.",
		Caution:  "old paint may hold lead.",
		Progress: "looking, nothing touched",
		Choices: []prompt.Choice{
			{ID: "bare", Text: "Bare board"}, {ID: "primer", Text: "Primer"}, {ID: "between", Text: "Paint on both sides"},
		},
		Allow: everything(),
	}
}

func film() prompt.Ask {
	a := prompt.Ask{
		ID: "film", Title: "How thick is the film?",
		Choices: []prompt.Choice{{ID: "faint", Text: "Too faint to read"}},
		Value: &prompt.ValueAsk{Example: "3.5 mil", Check: func(text string) error {
			if !strings.HasSuffix(text, "mil") {
				return errors.New("the unit is missing")
			}
			return nil
		}},
		Allow: everything(),
	}
	return a
}

func TestArrowsPickTheRightAnswer(t *testing.T) {
	for name, row := range map[string]struct {
		keys string
		want prompt.Reply
	}{
		"the first line":     {enter, prompt.Reply{Command: prompt.NotChecked}},
		"one down":           {down + enter, prompt.Reply{Choice: "bare"}},
		"two down":           {down + down + enter, prompt.Reply{Choice: "primer"}},
		"down and up":        {down + down + down + up + enter, prompt.Reply{Choice: "primer"}},
		"arrows, other mode": {"\x1bOB\x1bOB" + enter, prompt.Reply{Choice: "primer"}},
		"tab":                {"\t" + enter, prompt.Reply{Choice: "bare"}},
		"round the end":      {up + enter, prompt.Reply{Command: prompt.Stop}},
		"letters":            {"both" + enter, prompt.Reply{Choice: "between"}},
		"letters, corrected": {"bx\x7f\x7fprimer" + enter, prompt.Reply{Choice: "primer"}},
		"letters that fit nothing, Enter, cleared": {"zzz" + enter + "\x15" + down + enter, prompt.Reply{Choice: "bare"}},
		"why":                             {"why" + enter, prompt.Reply{Command: prompt.Why}},
		"back":                            {"go back" + enter, prompt.Reply{Command: prompt.Back}},
		"ranking":                         {"ranking" + enter, prompt.Reply{Command: prompt.Ranking}},
		"add":                             {"something else" + enter, prompt.Reply{Command: prompt.Add}},
		"later":                           {"later" + enter, prompt.Reply{Command: prompt.Later}},
		"keys without a meaning":          {"\x1b" + "\x1b[1;5C\x1b[5~\x1b\x1b[H\x1a\x00\xff" + down + enter, prompt.Reply{Choice: "bare"}},
		"Alt with a letter is the letter": {"\x1bboth" + enter, prompt.Reply{Choice: "between"}},
	} {
		t.Run(name, func(t *testing.T) {
			s := newSession(t, 80, 24)
			done := s.ask(blister())
			s.awaitList("> Skip: not looked at")
			s.typed(row.keys)
			got, err := finish(s, done)
			require.NoError(t, err)
			require.Equal(t, row.want, got)
			require.NoError(t, blister().Accepts(got))
			s.requireUsable()
		})
	}
}

// What begins with the letters typed wins over what merely holds them, and over
// the line for not looked at.
func TestLettersFindTheAnswerThatBeginsWithThem(t *testing.T) {
	a := prompt.Ask{ID: "soft", Title: "Is it soft?", Allow: everything(), Choices: []prompt.Choice{
		{ID: "both", Text: "Yes, and no paint on it"}, {ID: "no", Text: "No, hard all over"},
	}}
	for typed, want := range map[string]prompt.Reply{
		"No": {Choice: "no"}, "n": {Choice: "no"}, "y": {Choice: "both"}, "paint": {Choice: "both"},
		"skip": {Command: prompt.NotChecked}, "not ch": {Command: prompt.NotChecked}, "not l": {Command: prompt.NotChecked},
	} {
		s := newSession(t, 80, 24)
		done := s.ask(a)
		s.awaitList("> Skip: not looked at")
		s.typed(typed + enter)
		got, err := finish(s, done)
		require.NoError(t, err)
		require.Equal(t, want, got, typed)
	}
}

func TestTheHintIsNotBrokenInAWord(t *testing.T) {
	for width, want := range map[int]string{
		80: "? Your answer  [Use arrows to move, type to filter]\n> Skip",
		50: "? Your answer\n[Use arrows to move, type to filter]\n> Skip",
		30: "? Your answer\n[arrows move, letters filter]\n> Skip",
	} {
		s := newSession(t, width, 30)
		done := s.ask(blister())
		s.awaitList("> Skip: not looked at")
		require.Contains(t, s.see(), want, width)
		s.typed("zq")
		s.await("[nothing fits, Ctrl-U clears]")
		s.typed(enter, "\x15")
		s.awaitList("> Skip: not looked at")
		require.Contains(t, s.see(), want, "redrawn at the same rows")
		require.Equal(t, 1, strings.Count(s.see(), "Your answer"), "one list, redrawn in place")
		s.typed(down, enter)
		got, err := finish(s, done)
		require.NoError(t, err)
		require.Equal(t, prompt.Reply{Choice: "bare"}, got)
	}
}

func TestWhatIsShown(t *testing.T) {
	s := newSession(t, 80, 24)
	done := s.ask(blister())
	s.awaitList("Stop and rank")
	require.Equal(t, `
(looking, nothing touched)
Caution: old paint may hold lead.
Cut a blister open: what is under it?
Use a sharp blade.
? Your answer  [Use arrows to move, type to filter]
> Skip: not looked at
  Bare board
  Primer
  Paint on both sides
  Probably ...
  Add a note to my answer
  Why is this asked?
  Go back
  Show the ranking so far
  Add something else I saw
  Leave this part for later
  Stop and rank`, s.see())
	s.typed(down, down, enter)
	_, err := finish(s, done)
	require.NoError(t, err)
	s.await("Your answer: Primer")
	require.Equal(t, `
(looking, nothing touched)
Caution: old paint may hold lead.
Cut a blister open: what is under it?
Use a sharp blade.
Your answer: Primer`, s.see(), "the list is gone, the answer stays")
}

func TestOnlyWhatIsPossibleIsListed(t *testing.T) {
	s := newSession(t, 80, 24)
	a := blister()
	a.Allow = prompt.Allow{}
	done := s.ask(a)
	s.awaitList("> (no answer yet)")
	require.Contains(t, s.see(), "> (no answer yet)\n  Bare board\n  Primer\n  Paint on both sides")
	for _, word := range []string{"Probably", "note", "Why", "back", "ranking", "Stop", "Skip"} {
		require.NotContains(t, s.see(), word)
	}
	s.typed(enter)
	s.await("Move to your answer")
	s.awaitList("> (no answer yet)")
	s.typed(down, enter)
	got, err := finish(s, done)
	require.NoError(t, err, "the first line was no answer, so the question stayed")
	require.Equal(t, prompt.Reply{Choice: "bare"}, got)
}

func TestProbably(t *testing.T) {
	s := newSession(t, 80, 24)
	done := s.ask(blister())
	s.awaitList("> Skip: not looked at")
	s.typed("Probably", enter)
	s.awaitList("> (back to the question)")
	s.typed(enter)
	s.awaitList("> Skip: not looked at")
	s.typed("Probably", enter)
	s.awaitList("> (back to the question)")
	s.typed(down, down, enter)
	got, err := finish(s, done)
	require.NoError(t, err)
	require.Equal(t, prompt.Reply{Choice: "primer", Probably: true}, got)
}

func TestNotes(t *testing.T) {
	s := newSession(t, 80, 40)
	done := s.ask(blister())
	for _, note := range []string{"north edge", "", "in shade"} {
		s.awaitList("> Skip: not looked at")
		s.typed("note", enter)
		s.awaitLine("Your note")
		s.typed(note, "\n")
	}
	s.until("both notes", func() bool { return strings.Count(s.see(), "Note kept.") == 2 })
	s.awaitList("> Skip: not looked at")
	s.typed(down, enter)
	got, err := finish(s, done)
	require.NoError(t, err)
	require.Equal(t, prompt.Reply{Choice: "bare", Note: "north edge; in shade"}, got)
	s.requireUsable()
}

func TestTypedAnswersBesideAList(t *testing.T) {
	for name, row := range map[string]struct {
		list, typed string
		want        prompt.Reply
	}{
		"typed":             {"Type", "3", prompt.Reply{Value: "3 mil"}},
		"typed with doubt":  {"Type", "3 mil? # old gauge", prompt.Reply{Value: "3 mil", Probably: true, Note: "old gauge"}},
		"picked":            {"faint", "", prompt.Reply{Choice: "faint"}},
		"typed as probable": {"Probably", "3 mil", prompt.Reply{Value: "3 mil", Probably: true}},
		"back to the list":  {"Type", "back", prompt.Reply{Choice: "faint"}},
	} {
		t.Run(name, func(t *testing.T) {
			s := newSession(t, 80, 40)
			done := s.ask(film())
			s.awaitList("> Skip: not looked at")
			s.typed(row.list, enter)
			if row.list == "Probably" {
				s.awaitList("> (back to the question)")
				s.typed("Type", enter)
			}
			if row.list != "faint" {
				s.awaitLine("The answer, typed")
				s.typed(row.typed, "\n")
			}
			switch row.typed {
			case "3":
				s.awaitLine("Not taken: the unit is missing.")
				s.typed("3 mil\n")
			case "back":
				s.awaitList("> Skip: not looked at")
				s.typed(down, enter)
			}
			got, err := finish(s, done)
			require.NoError(t, err)
			require.Equal(t, row.want, got)
			s.requireUsable()
		})
	}
}

func TestQuestionsWithoutChoicesAreTyped(t *testing.T) {
	s := newSession(t, 80, 24)
	a := film()
	a.Choices = nil
	done := s.ask(a)
	s.awaitLine("How thick is the film?")
	s.requireUsable()
	s.typed("3 mil\n")
	got, err := finish(s, done)
	require.NoError(t, err)
	require.Equal(t, prompt.Reply{Value: "3 mil"}, got)
	s.requireUsable()
}

func TestWhatIsTypedAheadIsKept(t *testing.T) {
	s := newSession(t, 80, 24)
	p := surveyprompt.New(s.console())
	first := start(s, func(ctx context.Context) (prompt.Reply, error) { return p.Ask(ctx, blister()) })
	s.awaitList("> Skip: not looked at")
	s.typed(down + enter + down + down + enter + "The Anchor\n")
	got, err := finish(s, first)
	require.NoError(t, err)
	require.Equal(t, prompt.Reply{Choice: "bare"}, got)
	got, err = finish(s, start(s, func(ctx context.Context) (prompt.Reply, error) { return p.Ask(ctx, blister()) }))
	require.NoError(t, err)
	require.Equal(t, prompt.Reply{Choice: "primer"}, got)
	name, err := finish(s, start(s, func(ctx context.Context) (string, error) {
		return p.Line(ctx, prompt.LineAsk{Title: "Which sign?"})
	}))
	require.NoError(t, err)
	require.Equal(t, "The Anchor", name)
}

func TestConfirmHasNoDefault(t *testing.T) {
	for keys, want := range map[string]bool{down + enter: true, down + down + enter: false, "no" + down + enter: false} {
		s := newSession(t, 80, 24)
		p := surveyprompt.New(s.console())
		done := start(s, func(ctx context.Context) (bool, error) { return p.Confirm(ctx, "Is this right?") })
		s.awaitList("> (no answer yet)")
		s.typed(enter)
		s.await("Move to Yes or No")
		s.awaitList("> (no answer yet)")
		s.typed(keys)
		got, err := finish(s, done)
		require.NoError(t, err)
		require.Equal(t, want, got)
	}
}

func TestMistakesInAQuestionAreErrors(t *testing.T) {
	s := newSession(t, 80, 24)
	_, err := finish(s, s.ask(prompt.Ask{ID: "empty"}))
	require.ErrorContains(t, err, "neither choices nor a value")
	p := surveyprompt.New(s.console())
	_, err = p.Pick(t.Context(), prompt.Pick{ID: "none"})
	require.ErrorContains(t, err, `list "none" is empty`)
}

func TestUsable(t *testing.T) {
	for _, row := range []struct {
		name          string
		width, height int
		opts          []console.Option
		want          bool
	}{
		{"a usual window", 80, 24, nil, true},
		{"a small one", 30, 10, nil, true},
		{"too narrow", 29, 24, nil, false},
		{"too low", 80, 9, nil, false},
		{"of unknown size", 0, 0, nil, false},
		{"asked for narrow text", 80, 24, []console.Option{console.WithEnv("COLUMNS", "25")}, false},
		{"asked for plain lines", 80, 24, []console.Option{console.WithEnv("ACCESSIBLE", "1")}, false},
		{"dumb", 80, 24, []console.Option{console.WithEnv("TERM", "dumb")}, false},
	} {
		t.Run(row.name, func(t *testing.T) {
			s := newSession(t, row.width, row.height)
			c := s.console(row.opts...)
			require.Equal(t, row.want, surveyprompt.Usable(c))
			_, plain := surveyprompt.New(c).(*prompt.Plain)
			require.Equal(t, !row.want, plain, "plain lines serve where lists cannot be shown")
		})
	}
	c, _, _ := console.Test("", console.WithTerminals(), console.WithEnv("TERM", "xterm"), console.WithSize(80, 24))
	require.False(t, surveyprompt.Usable(c), "no files to redraw on")
}
