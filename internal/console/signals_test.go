//go:build linux

package console_test

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"os/exec"
	"os/signal"
	"strconv"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"golang.org/x/sys/unix"
	"golang.org/x/term"

	"filmfault/internal/console"
)

const patience = 20 * time.Second

func waitFor(t *testing.T, done <-chan struct{}) {
	t.Helper()
	select {
	case <-done:
	case <-time.After(patience):
		t.Fatal("it did not happen in time")
	}
}

// skipIgnored skips a test by a signal that whoever started the tests has switched
// off, as nohup does with the hangup: the program is right to ignore it then.
func skipIgnored(t *testing.T, sig syscall.Signal) {
	t.Helper()
	if signal.Ignored(sig) {
		t.Skipf("%s is ignored here", sig)
	}
}

func TestSignalsTellTheCause(t *testing.T) {
	for sig, want := range map[syscall.Signal]error{
		syscall.SIGINT:  console.ErrInterrupted,
		syscall.SIGTERM: console.ErrTerminated,
		syscall.SIGHUP:  console.ErrTerminated,
	} {
		t.Run(sig.String(), func(t *testing.T) {
			skipIgnored(t, sig)
			ctx, stop := console.Signals(t.Context())
			defer stop()
			require.NoError(t, ctx.Err())
			require.NoError(t, syscall.Kill(os.Getpid(), sig))
			waitFor(t, ctx.Done())
			require.ErrorIs(t, context.Cause(ctx), want)
		})
	}
}

// TestHelper is no test: others run it as a program that was asked to end by a
// signal, goes on working, and gets the same signal again and again.
func TestHelper(t *testing.T) {
	sig, err := strconv.Atoi(os.Getenv("FILMFAULT_TEST_SIGNAL"))
	if err != nil {
		t.Skip("only runs for another test")
	}
	// Without stop: a signal on its way when it is called would kill.
	ctx, _ := console.Signals(context.Background())
	for range 50 {
		require.NoError(t, syscall.Kill(os.Getpid(), syscall.Signal(sig)))
		waitFor(t, ctx.Done())
		time.Sleep(2 * time.Millisecond)
	}
}

func runHelper(t *testing.T, sig syscall.Signal) error {
	t.Helper()
	ctx, cancel := context.WithTimeout(t.Context(), patience)
	defer cancel()
	cmd := exec.CommandContext(ctx, os.Args[0], "-test.run=^TestHelper$")
	cmd.Env = append(os.Environ(), fmt.Sprintf("FILMFAULT_TEST_SIGNAL=%d", sig))
	return cmd.Run()
}

func TestAFurtherRequestToEndDoesNotCutTheWorkOff(t *testing.T) {
	require.NoError(t, runHelper(t, syscall.SIGTERM))
	skipIgnored(t, syscall.SIGHUP)
	require.NoError(t, runHelper(t, syscall.SIGHUP))
}

func TestASecondInterruptEndsAStuckProgram(t *testing.T) {
	var exit *exec.ExitError
	require.ErrorAs(t, runHelper(t, syscall.SIGINT), &exit)
	status, ok := exit.Sys().(syscall.WaitStatus)
	require.True(t, ok)
	require.Equal(t, syscall.SIGINT, status.Signal(), "killed by the second one, not by the test's patience")
}

func TestSignalsStopEndsTheContext(t *testing.T) {
	ctx, stop := console.Signals(t.Context())
	stop()
	waitFor(t, ctx.Done())
	require.ErrorIs(t, context.Cause(ctx), context.Canceled)
	require.NotErrorIs(t, context.Cause(ctx), console.ErrInterrupted)
}

const usualFlags = unix.ECHO | unix.ICANON | unix.ISIG

func localFlags(t *testing.T, f *os.File) uint64 {
	t.Helper()
	state, err := getTermios(int(f.Fd()))
	require.NoError(t, err)
	return uint64(state.Lflag) & usualFlags
}

func TestGuardPutsTheTerminalBack(t *testing.T) {
	for name, end := range map[string]func(restore, cancel func()){
		"on restore":                 func(restore, _ func()) { restore() },
		"on the end of the context":  func(_, cancel func()) { cancel() },
		"on both, and restore again": func(restore, cancel func()) { cancel(); restore(); restore() },
	} {
		t.Run(name, func(t *testing.T) {
			keyboard, terminal := openPTY(t, 80, 24)
			c, _, _ := console.Test("", console.WithEnv("TERM", "xterm"), console.WithFiles(terminal, terminal, terminal))
			ctx, cancel := context.WithCancel(t.Context())
			defer cancel()
			restore := c.GuardCursor(ctx)
			_, err := term.MakeRaw(int(terminal.Fd()))
			require.NoError(t, err)
			require.Zero(t, localFlags(t, terminal), "the test's own raw mode")

			end(restore, cancel)
			require.Eventually(t, func() bool { return localFlags(t, terminal) == usualFlags }, patience, time.Millisecond)
			require.Equal(t, "\x1b[?25h", readSome(t, keyboard, 6)[:6], "the cursor is shown again")
			restore()
		})
	}
}

func TestGuardWritesNothingWhereNoCursorWasHidden(t *testing.T) {
	keyboard, terminal := openPTY(t, 80, 24)
	c, _, _ := console.Test("", console.WithEnv("TERM", "xterm"), console.WithFiles(terminal, terminal, terminal))
	restore := c.GuardTerminal(t.Context())
	_, err := term.MakeRaw(int(terminal.Fd()))
	require.NoError(t, err)
	restore()
	require.Equal(t, uint64(usualFlags), localFlags(t, terminal))
	_, err = terminal.WriteString("RESULT")
	require.NoError(t, err)
	require.Equal(t, "RESULT", readSome(t, keyboard, 6))
}

func readSome(t *testing.T, f *os.File, atLeast int) string {
	t.Helper()
	var got bytes.Buffer
	data := make([]byte, 256)
	for got.Len() < atLeast {
		require.NoError(t, f.SetReadDeadline(time.Now().Add(patience)))
		n, err := f.Read(data)
		require.NoError(t, err)
		got.Write(data[:n])
	}
	return got.String()
}

func TestGuardLeavesOtherStreamsAlone(t *testing.T) {
	c, out, err := console.Test("", console.WithTerminals())
	c.GuardTerminal(t.Context())()
	require.Empty(t, out.String()+err.String())
}
