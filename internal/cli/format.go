package cli

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"filmfault/internal/source"
)

// choice is a flag that takes one of a few words.
type choice struct {
	value string
	known []string
}

func (c *choice) String() string { return c.value }
func (c *choice) Type() string   { return strings.Join(c.known, "|") }

func (c *choice) Set(s string) error {
	if slices.Contains(c.known, s) {
		c.value = s
		return nil
	}
	if near, ok := source.Nearest(s, c.known); ok {
		return fmt.Errorf("did you mean %s?", near)
	}
	return fmt.Errorf("use one of: %s", strings.Join(c.known, ", "))
}

// formatFlag adds --format to a command that prints a result.
func formatFlag(cmd *cobra.Command) *choice {
	return formatOf(cmd, "how to print the result", "text", "json", "markdown")
}

// textOrJSON adds --format to a command that has no page to print.
func textOrJSON(cmd *cobra.Command, usage string) *choice {
	return formatOf(cmd, usage, "text", "json")
}

// formatOf adds --format; the first of the formats is taken when none is named.
func formatOf(cmd *cobra.Command, usage string, known ...string) *choice {
	c := &choice{value: known[0], known: known}
	cmd.Flags().Var(c, "format", usage)
	complete := func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		return c.known, cobra.ShellCompDirectiveNoFileComp
	}
	// It fails only for a flag that does not exist.
	_ = cmd.RegisterFlagCompletionFunc("format", complete)
	return c
}
