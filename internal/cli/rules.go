package cli

import (
	"fmt"

	"github.com/spf13/cobra"

	"filmfault/internal/diagnosis"
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
		Args:  takes(0, 0, ""),
		RunE:  func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	cmd.AddCommand(newRulesCheck(a), newRulesList(a), newRulesShow(a))
	return cmd
}

func newRulesCheck(a *app) *cobra.Command {
	return &cobra.Command{
		Use:   "check [DIR]",
		Short: "Check the rules, your own over the built-in ones if a folder is given",
		Args:  takes(0, 1, ""),
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
		wide, err := a.width(loaded.Base)
		if err != nil {
			return err
		}
		loaded.Diagnostics = append(loaded.Diagnostics, wide...)
		loaded.Diagnostics.Sort()
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

// width is what makes the rules too wide to be solved exactly. It goes by nodes
// and not by the clock, so that the same rules give the same answer on a busy
// machine.
func (a *app) width(b *rulebase.Base) (source.List, error) {
	r, err := diagnosis.Prepare(b)
	if err != nil {
		return nil, err
	}
	return r.Width(diagnosis.WidthLimits{})
}
