package console

import (
	"context"
	"io"
	"sync"

	"golang.org/x/term"
)

// cursorOn makes the cursor visible again.
const cursorOn = "\x1b[?25h"

// GuardTerminal remembers the settings of the keyboard's terminal and puts
// them back (echo, line editing, keys that signal) when restore is called or ctx ends, whichever is first, and again on restore if ctx ended
// first. With a context from Signals the terminal is so left usable when the
// program is told to end in the middle of a question.
//
// It writes nothing to the screen; GuardCursor is for code that hides the
// cursor. Without a terminal it does nothing. Restore may be called more than
// once.
func (c *Console) GuardTerminal(ctx context.Context) (restore func()) {
	return c.guard(ctx, func() {})
}

// GuardCursor is GuardTerminal for code that hides the cursor: it shows it again
// as well.
func (c *Console) GuardCursor(ctx context.Context) (restore func()) {
	return c.guard(ctx, c.showCursor)
}

func (c *Console) guard(ctx context.Context, more func()) (restore func()) {
	if c.in.file == nil || !c.in.terminal {
		return func() {}
	}
	saved, err := term.GetState(int(c.in.file.Fd()))
	if err != nil {
		return func() {}
	}
	return onceOrDone(ctx, func() {
		// Nothing can be done about a terminal that is gone, so errors are dropped.
		_ = term.Restore(int(c.in.file.Fd()), saved)
		more()
	})
}

func (c *Console) showCursor() {
	if c.err.terminal && c.env("TERM") != "dumb" {
		_, _ = io.WriteString(c.errWriter, cursorOn)
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
