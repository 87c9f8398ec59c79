package cli

import (
	"fmt"

	"github.com/spf13/cobra"

	"filmfault/internal/rulebase"
	"filmfault/internal/source"
	"filmfault/rules"
)

// builtInRules is the embedded layer of rules.
func builtInRules() rulebase.Layer { return rulebase.Layer{Name: "rules", FS: rules.FS} }

func newRules(a *app) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "rules",
		Short: "Check, list and show the rules",
		Args:  cobra.NoArgs,
		RunE:  func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	cmd.AddCommand(newRulesCheck(a), newRulesList(a), newRulesShow(a))
	return cmd
}

func newRulesCheck(a *app) *cobra.Command {
	return &cobra.Command{
		Use:   "check [DIR]",
		Short: "Check the rules, your own over the built-in ones if a folder is given",
		Args:  cobra.MaximumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			return a.checkRules(append(a.rules, args...))
		},
	}
}

func (a *app) checkRules(dirs []string) error {
	loaded, err := loadRules(dirs)
	if err != nil {
		return err
	}
	if loaded.Base != nil {
		loaded.Diagnostics = append(loaded.Diagnostics, loaded.Base.Separation()...)
	}
	c := a.console
	opt := source.PrintOptions{Width: c.Width(), Max: 100, Color: c.Color()}
	if err := source.Print(c.Out(), loaded.Diagnostics, loaded.Sources, opt); err != nil {
		return err
	}
	if loaded.Diagnostics.HasErrors() {
		return errFound
	}
	b := loaded.Base
	_, err = fmt.Fprintf(c.Out(), "rules %s: %d facts, %d causes and conditions, %d gates and failures, %d findings and measurements\n",
		b.Digest, len(b.Facts), len(b.Events), len(b.Gates), len(b.Findings))
	return err
}
