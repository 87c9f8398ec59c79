package cli

import (
	"testing"

	"github.com/spf13/cobra"
	"github.com/stretchr/testify/require"

	"filmfault/internal/console"
)

// walk visits every command of the program, those that cobra adds included.
func walk(t *testing.T, visit func(*cobra.Command)) {
	t.Helper()
	c, _, _ := console.Test("")
	var down func(*cobra.Command)
	down = func(cmd *cobra.Command) {
		visit(cmd)
		for _, sub := range cmd.Commands() {
			down(sub)
		}
	}
	down(newRoot(&app{console: c}))
}

func TestEveryCommandStatesItsArgs(t *testing.T) {
	seen := 0
	walk(t, func(cmd *cobra.Command) {
		seen++
		require.NotNil(t, cmd.Args, cmd.CommandPath())
		require.NotEmpty(t, cmd.Short, cmd.CommandPath())
	})
	require.Greater(t, seen, 15)
}

// TestGroupsRefuseUnknownChildren calls every group with a word it does not
// have, and every other command with more words than it takes.
func TestGroupsRefuseUnknownChildren(t *testing.T) {
	walk(t, func(cmd *cobra.Command) {
		if !cmd.HasSubCommands() {
			return
		}
		err := cmd.Args(cmd, []string{"frobnicate"})
		require.Error(t, err, cmd.CommandPath())
		require.Equal(t, exitUsage, exitCode(err), cmd.CommandPath())
		require.True(t, cmd.Runnable(), "%s prints nothing when called bare", cmd.CommandPath())
	})
}

// TestEveryResultTakesAFormat wants --format at each command that prints a
// result for others to read on.
func TestEveryResultTakesAFormat(t *testing.T) {
	want := map[string]bool{"diagnose": true, "why": true, "whatif": true, "measure": true}
	walk(t, func(cmd *cobra.Command) {
		if want[cmd.Name()] {
			require.NotNil(t, cmd.Flags().Lookup("format"), cmd.CommandPath())
			delete(want, cmd.Name())
		}
	})
	require.Empty(t, want)
}

func TestExitCodes(t *testing.T) {
	require.Equal(t, 0, exitCode(nil))
	require.Equal(t, 1, exitCode(errFound))
	require.Equal(t, 2, exitCode(usagef("no")))
	require.Equal(t, 3, exitCode(errTold))
	require.Equal(t, 130, exitCode(console.ErrInterrupted))
	require.Equal(t, 130, exitCode(console.ErrTerminated))
}

func TestTopicsNameTheExitCodes(t *testing.T) {
	for _, topic := range topics() {
		if topic.name != "exit-codes" {
			continue
		}
		for _, code := range []string{"0 ", "1 ", "2 ", "3 ", "130 "} {
			require.Regexp(t, "(?m)^"+code, topic.text)
		}
	}
}
