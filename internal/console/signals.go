package console

import (
	"context"
	"errors"
	"os"
	"os/signal"
	"syscall"
)

// ErrInterrupted is the cause of a context that ended because the person
// pressed Ctrl-C.
var ErrInterrupted = errors.New("interrupted")

// ErrTerminated is the cause of a context that ended because the system asked
// the program to end, or because the terminal window was closed.
var ErrTerminated = errors.New("terminated")

// Signals returns a context that is cancelled, with ErrInterrupted or
// ErrTerminated as its cause, when a signal asks the program to end. The stop
// function gives the signals back; call it when the work is done.
//
// After the first signal a further Ctrl-C ends the program at once. Further
// requests to terminate do not: closing a window sends two in a row, and the
// second must not cut off the saving of the case.
func Signals(parent context.Context) (ctx context.Context, stop func()) {
	ctx, cancel := context.WithCancelCause(parent)
	interrupt := listen(os.Interrupt)
	terminate := listen(syscall.SIGTERM, syscall.SIGHUP)
	go func() {
		select {
		case <-interrupt:
			cancel(ErrInterrupted)
		case <-terminate:
			cancel(ErrTerminated)
		case <-ctx.Done():
		}
		signal.Stop(interrupt)
	}()
	return ctx, func() {
		signal.Stop(interrupt)
		signal.Stop(terminate)
		cancel(context.Canceled)
	}
}

// listen catches the signals, save those the program was started deaf to (as
// a command kept running after logout is).
func listen(sigs ...os.Signal) chan os.Signal {
	ch := make(chan os.Signal, 1)
	for _, s := range sigs {
		if !signal.Ignored(s) {
			signal.Notify(ch, s)
		}
	}
	return ch
}
