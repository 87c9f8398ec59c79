package cli

import (
	"errors"
	"fmt"

	"filmfault/internal/console"
)

// The exit codes, as the help topic states them.
const (
	exitDone        = 0
	exitFound       = 1 // the check found something
	exitUsage       = 2 // wrong use
	exitFailed      = 3 // could not be done
	exitInterrupted = 130
)

// usageError is wrong use: a flag, a word or an id that does not exist.
type usageError struct{ err error }

func (e usageError) Error() string { return e.err.Error() }
func (e usageError) Unwrap() error { return e.err }

func usagef(format string, args ...any) error { return usageError{fmt.Errorf(format, args...)} }

// errFound says that a check found something; it has been printed already.
var errFound = errors.New("the check found something")

// errTold says that what went wrong has been told already.
var errTold = errors.New("already told")

// exitCode turns the outcome of a command into the process's exit code.
func exitCode(err error) int {
	var usage usageError
	switch {
	case err == nil:
		return exitDone
	case errors.Is(err, console.ErrInterrupted), errors.Is(err, console.ErrTerminated):
		return exitInterrupted
	case errors.Is(err, errFound):
		return exitFound
	case errors.As(err, &usage):
		return exitUsage
	}
	return exitFailed
}
