//go:build linux

package surveyprompt_test

import (
	"context"
	"errors"
	"os"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/creack/pty"
	"github.com/stretchr/testify/require"
	"golang.org/x/sys/unix"

	"filmfault/internal/console"
	"filmfault/internal/prompt"
	"filmfault/internal/prompt/surveyprompt"
)

// patience is how long a test waits for anything before it fails.
const patience = 20 * time.Second

const (
	up    = "\x1b[A"
	down  = "\x1b[B"
	enter = "\r"
	ctrlC = "\x03"
	ctrlD = "\x04"
)

// session is a person at a terminal.
type session struct {
	t        *testing.T
	keyboard *os.File // the person's end
	terminal *os.File // the program's end
	mu       sync.Mutex
	screen   *screen
}

func newSession(t *testing.T, width, height int) *session {
	t.Helper()
	keyboard, terminal, err := pty.Open()
	if err != nil {
		t.Skipf("no pseudo-terminal to be had here: %v", err)
	}
	require.NoError(t, pty.Setsize(keyboard, &pty.Winsize{Rows: uint16(height), Cols: uint16(width)}))
	s := &session{t: t, keyboard: withDeadlines(t, keyboard), terminal: terminal, screen: newScreen(width, height)}
	watched := make(chan struct{})
	go s.watch(watched)
	t.Cleanup(func() {
		_ = s.keyboard.SetDeadline(time.Now())
		<-watched
		_ = s.keyboard.Close()
		_ = terminal.Close()
	})
	return s
}

// withDeadlines makes of f a file that obeys deadlines. Asking a file for its
// descriptor, as the pty library does, switches them off for good, and without
// them a read that is waiting can never be given up.
func withDeadlines(t *testing.T, f *os.File) *os.File {
	t.Helper()
	fd, err := unix.Dup(int(f.Fd()))
	require.NoError(t, err)
	require.NoError(t, unix.SetNonblock(fd, true))
	require.NoError(t, f.Close())
	f = os.NewFile(uintptr(fd), "keyboard")
	require.NoError(t, f.SetDeadline(time.Time{}))
	return f
}

// watch shows on the screen what the program writes.
func (s *session) watch(done chan<- struct{}) {
	defer close(done)
	data := make([]byte, 4096)
	for {
		n, err := s.keyboard.Read(data)
		s.mu.Lock()
		s.screen.feed(string(data[:n]))
		s.mu.Unlock()
		if err != nil {
			return
		}
	}
}

func (s *session) console(opts ...console.Option) *console.Console {
	all := []console.Option{
		console.WithEnv("TERM", "xterm"), console.WithEnv("LANG", "C.UTF-8"),
		console.WithFiles(s.terminal, s.terminal, s.terminal),
	}
	c, _, _ := console.Test("", append(all, opts...)...)
	return c
}

// see is what the screen shows.
func (s *session) see() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.screen.String()
}

// received is everything the terminal ever got.
func (s *session) received() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.screen.raw
}

func (s *session) until(what string, f func() bool) {
	s.t.Helper()
	for end := time.Now().Add(patience); !f(); time.Sleep(time.Millisecond) {
		if time.Now().After(end) {
			s.t.Fatalf("waited in vain for %s; the screen shows:\n%s", what, s.see())
		}
	}
}

func (s *session) await(text string) {
	s.t.Helper()
	s.until(text, func() bool { return strings.Contains(s.see(), text) })
}

// awaitList waits for a list that shows text and listens to keys.
func (s *session) awaitList(text string) {
	s.t.Helper()
	s.until("a list with "+text, func() bool {
		return strings.Contains(s.see(), text) && s.flags()&unix.ICANON == 0
	})
}

// awaitLine waits for the plain-line prompt.
func (s *session) awaitLine(text string) {
	s.t.Helper()
	s.until("a line after "+text, func() bool {
		seen := s.see()
		return strings.Contains(seen, text) && strings.HasSuffix(seen, "\n>") && s.flags()&unix.ICANON != 0
	})
}

func (s *session) typed(keys ...string) {
	s.t.Helper()
	for _, k := range keys {
		require.NoError(s.t, s.keyboard.SetWriteDeadline(time.Now().Add(patience)))
		_, err := s.keyboard.WriteString(k)
		require.NoError(s.t, err)
	}
}

const usualFlags = unix.ECHO | unix.ICANON | unix.ISIG

// flags are the settings of the terminal a person notices.
func (s *session) flags() uint32 {
	s.t.Helper()
	state, err := unix.IoctlGetTermios(int(s.terminal.Fd()), unix.TCGETS)
	require.NoError(s.t, err)
	return state.Lflag & usualFlags
}

// requireUsable checks that the terminal is as a shell wants it.
func (s *session) requireUsable() {
	s.t.Helper()
	require.Equal(s.t, uint32(usualFlags), s.flags(), "echo, line editing and keys that signal are on")
	s.until("the cursor", func() bool {
		s.mu.Lock()
		defer s.mu.Unlock()
		return !s.screen.hidden
	})
	s.mu.Lock()
	defer s.mu.Unlock()
	require.Empty(s.t, s.screen.unknown, "codes no terminal was promised to understand, such as cursor queries")
}

// outcome is what a question returned.
type outcome[T any] struct {
	value T
	err   error
}

// start asks a question in the background.
func start[T any](s *session, question func(ctx context.Context) (T, error)) <-chan outcome[T] {
	ctx, cancel := context.WithTimeoutCause(s.t.Context(), patience, errors.New("the question took too long"))
	done := make(chan outcome[T], 1)
	go func() {
		defer cancel()
		v, err := question(ctx)
		done <- outcome[T]{v, err}
	}()
	return done
}

// finish waits for the outcome.
func finish[T any](s *session, done <-chan outcome[T]) (T, error) {
	s.t.Helper()
	select {
	case o := <-done:
		return o.value, o.err
	case <-time.After(patience):
		s.t.Fatalf("the question is still open; the screen shows:\n%s", s.see())
	}
	panic("not reached")
}

func (s *session) ask(a prompt.Ask) <-chan outcome[prompt.Reply] {
	p := surveyprompt.New(s.console())
	return start(s, func(ctx context.Context) (prompt.Reply, error) { return p.Ask(ctx, a) })
}
