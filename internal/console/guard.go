package console

import (
	"context"
	"io"
	"sync"

	"golang.org/x/term"
)

// showCursor makes the cursor visible again.
const showCursor = "\x1b[?25h"

// GuardTerminal remembers the settings of the keyboard's terminal and puts
// them back (echo, line editing, keys that signal, visible cursor) when restore
// is called or ctx ends, whichever is first, and again on restore if ctx ended
// first. With a context from Signals the terminal is so left usable when the
// program is told to end in the middle of a question.
//
// Without a terminal it does nothing. Restore may be called more than once.
func (c *Console) GuardTerminal(ctx context.Context) (restore func()) {
	if c.in.file == nil || !c.in.terminal {
		return func() {}
	}
	saved, err := term.GetState(int(c.in.file.Fd()))
	if err != nil {
		return func() {}
	}
	return onceOrDone(ctx, func() { c.putBack(saved) })
}

func (c *Console) putBack(saved *term.State) {
	// Nothing can be done about a terminal that is gone, so errors are dropped.
	_ = term.Restore(int(c.in.file.Fd()), saved)
	if c.err.terminal && c.env("TERM") != "dumb" {
		_, _ = io.WriteString(c.errWriter, showCursor)
	}
}

// onceOrDone runs f when ctx ends and once more when the returned function is
// first called. The two runs never overlap.
func onceOrDone(ctx context.Context, f func()) func() {
	finish, finished := make(chan struct{}), make(chan struct{})
	go func() {
		defer close(finished)
		select {
		case <-ctx.Done():
			f()
		case <-finish:
		}
	}()
	return sync.OnceFunc(func() {
		close(finish)
		<-finished
		f()
	})
}
