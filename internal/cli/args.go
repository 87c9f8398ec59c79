package cli

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"filmfault/internal/source"
)

// takes says how many words a command takes after its name; most below 0 means
// any number. missing says in words what is not there when there are too few.
func takes(least, most int, missing string) cobra.PositionalArgs {
	return func(_ *cobra.Command, args []string) error {
		switch {
		case len(args) < least:
			return errors.New(missing)
		case most >= 0 && len(args) > most:
			return fmt.Errorf("%q is a word too many", args[most])
		}
		return nil
	}
}

// oneOf is the one word a command may take, out of the known ones.
func oneOf(what string, known []string) cobra.PositionalArgs {
	few := takes(0, 1, "")
	return func(cmd *cobra.Command, args []string) error {
		if err := few(cmd, args); err != nil || len(args) == 0 || slices.Contains(known, args[0]) {
			return err
		}
		return fmt.Errorf("%q is no %s%s", args[0], what, nearest(args[0], known, "use one of: "+strings.Join(known, ", ")))
	}
}

// refuseUnknown makes wrong words at any command a wrong use: cobra by itself
// prints help and succeeds at a group, and its messages name no near command.
func refuseUnknown(cmd *cobra.Command) {
	if !cmd.Runnable() && cmd.HasSubCommands() {
		cmd.RunE = func(c *cobra.Command, _ []string) error { return c.Help() }
	}
	check := cmd.Args
	cmd.Args = func(c *cobra.Command, args []string) error {
		if c.HasSubCommands() && len(args) > 0 {
			return noCommand(c, args[0])
		}
		err := check(c, args)
		switch {
		case err == nil:
			return nil
		case strings.HasSuffix(err.Error(), "?"): // it says already what to write
			return usagef("%w", err)
		}
		return usagef("%w; see `%s --help`", err, c.CommandPath())
	}
	for _, sub := range cmd.Commands() {
		refuseUnknown(sub)
	}
}

// noCommand says that a group has no such command, and which is near.
func noCommand(group *cobra.Command, word string) error {
	var known []string
	for _, sub := range group.Commands() {
		known = append(known, sub.Name())
	}
	return usagef("there is no command %q%s", group.CommandPath()+" "+word,
		nearest(word, known, fmt.Sprintf("see `%s --help`", group.CommandPath())))
}

// inWords says what is wrong with a number without the words of its parser.
func inWords(wrong *pflag.InvalidValueError) error {
	var number *strconv.NumError
	switch {
	case !errors.As(wrong, &number):
		return wrong.Unwrap()
	case errors.Is(number, strconv.ErrRange):
		return errors.New("that is out of range")
	case strings.HasPrefix(wrong.GetFlag().Value.Type(), "float"):
		return errors.New("that is no number")
	}
	return errors.New("that is no whole number")
}

// wrongFlag is the complaint about a flag, with the nearest one there is.
func wrongFlag(cmd *cobra.Command, err error) error {
	var wrong *pflag.InvalidValueError
	if errors.As(err, &wrong) {
		return usagef("--%s cannot be %q: %w", wrong.GetFlag().Name, wrong.GetValue(), inWords(wrong))
	}
	var missing *pflag.NotExistError
	if !errors.As(err, &missing) {
		return usagef("%w; see `%s --help`", err, cmd.CommandPath())
	}
	var known []string
	cmd.Flags().VisitAll(func(f *pflag.Flag) { known = append(known, "--"+f.Name) })
	typed := "--" + missing.GetSpecifiedName()
	if missing.GetSpecifiedShortnames() != "" {
		typed = "-" + missing.GetSpecifiedName()
	}
	otherwise := fmt.Sprintf("see `%s --help`", cmd.CommandPath())
	if near, ok := source.Nearest(typed, known); ok {
		otherwise = "did you mean " + near + "?"
	}
	return usagef("there is no flag %s; %s", typed, otherwise)
}
