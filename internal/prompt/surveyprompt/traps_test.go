//go:build linux

package surveyprompt_test

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"os/signal"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"filmfault/internal/console"
	"filmfault/internal/prompt"
	"filmfault/internal/prompt/surveyprompt"
)

// TestMain lets the test program stand in for the real one: tests that send
// signals start it again, on a terminal of its own.
func TestMain(m *testing.M) {
	if kind := os.Getenv("FILMFAULT_TEST_HELPER"); kind != "" {
		os.Exit(helper(kind))
	}
	os.Exit(m.Run())
}

// helper asks one question and tells how it ended.
func helper(kind string) int {
	c := console.System()
	ctx, stop := console.Signals(context.Background())
	defer stop()
	ctx, cancel := context.WithTimeout(ctx, patience)
	defer cancel()
	a := blister()
	if kind == "value" {
		a.Choices, a.Value = nil, &prompt.ValueAsk{}
	}
	r, err := surveyprompt.New(c).Ask(ctx, a)
	_, _ = fmt.Fprintf(c.Err(), "\nended: %+v, %v, terminated %t\n", r, err, errors.Is(err, console.ErrTerminated))
	return 7
}

// startHelper runs the helper on the session's terminal, as its own.
func (s *session) startHelper(kind string) (cmd *exec.Cmd, wait func()) {
	s.t.Helper()
	ctx, cancel := context.WithTimeout(s.t.Context(), patience)
	cmd = exec.CommandContext(ctx, os.Args[0])
	cmd.Env = []string{"FILMFAULT_TEST_HELPER=" + kind, "TERM=xterm", "LANG=C.UTF-8", "GOCOVERDIR=" + s.t.TempDir()}
	cmd.Stdin, cmd.Stdout, cmd.Stderr = s.terminal, s.terminal, s.terminal
	cmd.SysProcAttr = &syscall.SysProcAttr{Setsid: true, Setctty: true, Ctty: 0}
	require.NoError(s.t, cmd.Start())
	return cmd, func() {
		s.t.Helper()
		defer cancel()
		var exit *exec.ExitError
		require.ErrorAs(s.t, cmd.Wait(), &exit)
		require.Equal(s.t, 7, exit.ExitCode(), "it ended by itself; the screen shows:\n%s", s.see())
	}
}

func TestSignalsDuringAListLeaveTheTerminalUsable(t *testing.T) {
	for _, row := range []struct {
		sig  syscall.Signal
		says string
	}{
		{syscall.SIGTERM, "interrupted: terminated, terminated true"},
		{syscall.SIGHUP, "interrupted: terminated, terminated true"},
		{syscall.SIGINT, "interrupted, terminated false"},
	} {
		t.Run(row.sig.String(), func(t *testing.T) {
			if signal.Ignored(row.sig) { // as the hangup is under nohup
				t.Skipf("%s is ignored here", row.sig)
			}
			s := newSession(t, 120, 30)
			cmd, wait := s.startHelper("list")
			s.awaitList("> Skip: not looked at")
			require.Zero(t, s.flags(), "survey has switched the terminal; otherwise this test shows nothing")
			require.NoError(t, cmd.Process.Signal(row.sig))
			wait()
			s.requireUsable()
			s.await(row.says)
		})
	}
}

func TestCtrlCAtATypedQuestion(t *testing.T) {
	s := newSession(t, 120, 24)
	_, wait := s.startHelper("value")
	s.awaitLine("Cut a blister open")
	// This terminal never tells where its cursor is. A prompt that asks would
	// hang here, deaf to Ctrl-C.
	s.typed("half an answer", ctrlC)
	wait()
	s.requireUsable()
	s.await("interrupted, terminated false")
	require.NotContains(t, s.received(), "\x1b[6n")
}

func TestCtrlCAtAList(t *testing.T) {
	for name, keys := range map[string]string{
		"at once": ctrlC, "on an answer": down + ctrlC, "after letters": "pri" + ctrlC,
		"after Esc": "\x1b" + ctrlC, "after half a key": "\x1b[" + ctrlC,
	} {
		t.Run(name, func(t *testing.T) {
			s := newSession(t, 80, 24)
			done := s.ask(blister())
			s.awaitList("> Skip: not looked at")
			s.typed(keys)
			got, err := finish(s, done)
			require.ErrorIs(t, err, prompt.ErrInterrupted)
			require.Zero(t, got)
			s.requireUsable()
			require.NotContains(t, s.received(), "\x1b[6n")
		})
	}
}

func TestCtrlDIsNoAnswer(t *testing.T) {
	ask := func(s *session) error { _, err := finish(s, s.ask(blister())); return err }
	pick := func(s *session) error {
		p := surveyprompt.New(s.console())
		states, err := finish(s, start(s, func(ctx context.Context) ([]string, error) { return p.Pick(ctx, faults()) }))
		require.Nil(s.t, states)
		return err
	}
	confirm := func(s *session) error {
		p := surveyprompt.New(s.console())
		_, err := finish(s, start(s, func(ctx context.Context) (bool, error) { return p.Confirm(ctx, "Sure?") }))
		return err
	}
	for _, row := range []struct {
		name, keys string
		question   func(*session) error
	}{
		{"question", ctrlD, ask},
		{"question, the mark on an answer", down + ctrlD, ask},
		{"question, letters typed", "pri" + ctrlD, ask},
		{"list", down + enter + ctrlD, pick},
		{"yes or no", down + ctrlD, confirm},
	} {
		t.Run(row.name, func(t *testing.T) {
			s := newSession(t, 80, 24)
			typed := make(chan struct{})
			go func() {
				defer close(typed)
				s.awaitList("> ")
				s.typed(row.keys)
			}()
			require.ErrorIs(t, row.question(s), prompt.ErrEndOfInput)
			<-typed
			s.requireUsable()
		})
	}
}

func TestCtrlDAtATypedQuestionDropsTheHalfTypedText(t *testing.T) {
	s := newSession(t, 80, 24)
	a := blister()
	a.Choices, a.Value = nil, &prompt.ValueAsk{}
	done := s.ask(a)
	s.awaitLine("Cut a blister open")
	s.typed("half", ctrlD, ctrlD)
	got, err := finish(s, done)
	require.ErrorIs(t, err, prompt.ErrEndOfInput)
	require.Zero(t, got)
}

func TestAnEndedContextFreesAList(t *testing.T) {
	s := newSession(t, 80, 24)
	p := surveyprompt.New(s.console())
	ctx, cancel := context.WithCancelCause(t.Context())
	done := start(s, func(context.Context) (prompt.Reply, error) { return p.Ask(ctx, blister()) })
	s.awaitList("> Skip: not looked at")
	cancel(console.ErrTerminated)
	got, err := finish(s, done)
	require.ErrorIs(t, err, prompt.ErrInterrupted)
	require.ErrorIs(t, err, console.ErrTerminated)
	require.Zero(t, got)
	s.requireUsable()
}

// longChoices do not fit any of the widths they are tested at.
func longChoices() prompt.Ask {
	a := blister()
	a.Choices = nil
	for i, text := range []string{
		"Bare board, with the cells of the foam to be seen and no trace of the primer left in them anywhere",
		"Primer, still sitting tight on the board, while everything above it came away in one piece",
		"日本語の長い選択肢はここで二倍の幅を取りますので行の幅を超えてしまうことがあります",
		"Paint on both sides, so that it broke inside of one coat and not between two of them at all",
	} {
		a.Choices = append(a.Choices, prompt.Choice{ID: fmt.Sprintf("c%d", i), Text: text})
	}
	return a
}

func TestLongChoicesAreNotDoubled(t *testing.T) {
	for _, width := range []int{30, 31, 37, 50, 51, 52, 53, 80} {
		for _, height := range []int{10, 16, 60} {
			t.Run(fmt.Sprintf("%dx%d", width, height), func(t *testing.T) {
				s := newSession(t, width, height)
				done := s.ask(longChoices())
				s.awaitList("> Skip: not looked at")
				above := s.aboveList()
				for _, mark := range []string{"> 1. ", "> 2. ", "> 3. ", "> 4. ", "> Probably", "> Add a note", "> Why"} {
					s.typed(down)
					s.requireOneList(mark, above)
				}
				s.typed("zz")
				s.until("the letters", func() bool { return strings.Contains(s.see(), "zz") })
				s.typed("\x7f\x7f")
				for _, mark := range []string{"> Add a note", "> Probably", "> 4. ", "> 3. "} {
					s.typed(up)
					s.requireOneList(mark, above)
				}
				s.typed(enter)
				got, err := finish(s, done)
				require.NoError(t, err)
				require.Equal(t, prompt.Reply{Choice: "c2"}, got)
				s.await("Your answer: 3. ")
				require.NotContains(t, s.see(), "Use arrows", "the list is gone")
				require.Equal(t, above, s.aboveList(), "what stood above the list still does")
				s.requireUsable()
			})
		}
	}
}

// aboveList is the part of the screen over the list.
func (s *session) aboveList() string {
	seen := s.see()
	for _, mark := range []string{"? Your answer", "Your answer:"} {
		if i := strings.Index(seen, mark); i >= 0 {
			return seen[:i]
		}
	}
	return seen
}

// requireOneList waits for the mark and checks that a single list is shown,
// each option once and on one row.
func (s *session) requireOneList(mark, above string) {
	s.t.Helper()
	s.until(mark, func() bool {
		seen := s.see()
		return strings.Contains(seen, "\n"+mark) && strings.Count(seen, "? Your answer") == 1 &&
			strings.Count(seen, "\n> ") == 1 && s.aboveList() == above
	})
	rows := map[string]int{}
	for _, row := range strings.Split(strings.TrimPrefix(s.see(), above), "\n") {
		if strings.HasPrefix(row, "  ") {
			rows[row]++
			require.Equal(s.t, 1, rows[row], "%q is doubled in\n%s", row, s.see())
		}
	}
}

// A key that comes while the list is drawn must not be echoed: an echoed Enter
// moves the cursor, and the next redraw leaves the first line standing.
func TestKeysPressedWhileAListIsDrawn(t *testing.T) {
	for range 20 {
		s := newSession(t, 80, 40)
		done := s.ask(blister())
		s.await("Use a sharp")
		s.typed("zz")
		for range 30 {
			s.typed(enter)
		}
		s.typed("\x15", down, enter)
		got, err := finish(s, done)
		require.NoError(t, err)
		require.Equal(t, prompt.Reply{Choice: "bare"}, got)
		s.await("Your answer: Bare board")
		require.NotContains(t, s.see(), "Use arrows")
	}
}

func TestLongChoicesArePrintedInFull(t *testing.T) {
	s := newSession(t, 40, 60)
	done := s.ask(longChoices())
	s.awaitList("> Skip: not looked at")
	words := strings.Join(strings.Fields(s.aboveList()), " ")
	require.Contains(t, words, "1. Bare board, with the cells of the foam to be seen and no trace of the primer left in them anywhere 2. Primer")
	require.Contains(t, s.see(), "  1. Bare board, with the cells of th…\n", "cut in the list")
	s.typed("anywhere", enter) // a word that is cut away
	got, err := finish(s, done)
	require.NoError(t, err)
	require.Equal(t, prompt.Reply{Choice: "c0"}, got)
}

func TestChoicesWithTheSameTextAreToldApart(t *testing.T) {
	s := newSession(t, 80, 24)
	a := blister()
	a.Choices = []prompt.Choice{{ID: "one", Text: "The same"}, {ID: "two", Text: "The same"}}
	done := s.ask(a)
	s.awaitList("> Skip: not looked at")
	s.typed(down, down, enter)
	got, err := finish(s, done)
	require.NoError(t, err)
	require.Equal(t, prompt.Reply{Choice: "two"}, got)
}

func TestColours(t *testing.T) {
	for name, row := range map[string]struct {
		opts   []console.Option
		colour bool
	}{
		"usual":   {nil, true},
		"refused": {[]console.Option{console.WithEnv("NO_COLOR", "1")}, false},
	} {
		t.Run(name, func(t *testing.T) {
			s := newSession(t, 80, 24)
			p := surveyprompt.New(s.console(row.opts...))
			done := start(s, func(ctx context.Context) (prompt.Reply, error) { return p.Ask(ctx, blister()) })
			s.awaitList("> Skip: not looked at")
			s.typed(down, enter)
			_, err := finish(s, done)
			require.NoError(t, err)
			require.Equal(t, row.colour, strings.Contains(s.received(), "\x1b[1;35m"), "%q", s.received())
			require.NotRegexp(t, `\x1b\[(\d+;)*(9[0-9]|3[2367])m`, s.received(), "pale on one screen or the other")
		})
	}
}

func TestResultsStayClean(t *testing.T) {
	s := newSession(t, 80, 24)
	out, err := os.CreateTemp(t.TempDir(), "report")
	require.NoError(t, err)
	defer func() { require.NoError(t, out.Close()) }()
	p := surveyprompt.New(s.console(console.WithFiles(s.terminal, out, s.terminal)))
	done := start(s, func(ctx context.Context) (prompt.Reply, error) { return p.Ask(ctx, blister()) })
	s.awaitList("> Skip: not looked at")
	s.typed(down, enter)
	_, err = finish(s, done)
	require.NoError(t, err)
	info, err := out.Stat()
	require.NoError(t, err)
	require.Zero(t, info.Size(), "nothing of the question goes where the report goes")
}

func TestAVanishedTerminalEndsTheQuestion(t *testing.T) {
	s := newSession(t, 80, 24)
	done := s.ask(blister())
	s.awaitList("> Skip: not looked at")
	_ = s.keyboard.SetDeadline(time.Now())
	require.NoError(t, s.keyboard.Close())
	got, err := finish(s, done)
	require.Error(t, err)
	require.Zero(t, got)
}
