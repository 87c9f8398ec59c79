package cli

import (
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"filmfault/internal/console"
	"filmfault/internal/rulebase"
)

type rulesListOptions struct {
	app  *app
	what string
}

func newRulesList(a *app) *cobra.Command {
	o := &rulesListOptions{app: a}
	kinds := []string{"causes", "conditions", "gates", "failures", "findings", "measurements", "facts", "calculations", "cautions"}
	return &cobra.Command{
		Use:       "list [KIND]",
		Short:     "List the rules in force: " + strings.Join(kinds, ", "),
		Args:      oneOf("kind of rule", kinds),
		ValidArgs: kinds,
		RunE: func(_ *cobra.Command, args []string) error {
			if len(args) > 0 {
				o.what = args[0]
			}
			return runRulesList(o)
		},
	}
}

func runRulesList(o *rulesListOptions) error {
	b, err := o.app.base()
	if err != nil {
		return err
	}
	w := o.app.console.Out()
	for _, section := range listing(b) {
		if o.what != "" && o.what != section.kind {
			continue
		}
		if o.what == "" {
			fmt.Fprintf(w, "%s\n", strings.ToUpper(section.kind))
		}
		for _, l := range section.lines {
			if _, err := fmt.Fprintln(w, console.Wrap(l, o.app.console.Width(), "", "    ")); err != nil {
				return err
			}
		}
	}
	_, err = fmt.Fprintf(w, "rules %s: %s\n", b.Digest, strings.Join(b.Layers, " + "))
	return err
}

type listed struct {
	kind  string
	lines []string
}

// listing is every entry of the base, one line each.
func listing(b *rulebase.Base) []listed {
	by := map[string]*listed{}
	var order []*listed
	add := func(kind, id, text string, layer string) {
		if by[kind] == nil {
			by[kind] = &listed{kind: kind}
			order = append(order, by[kind])
		}
		by[kind].lines = append(by[kind].lines, fmt.Sprintf("%s: %s [%s]", id, text, layer))
	}
	for _, e := range b.Events {
		kind := "conditions"
		if e.Cause {
			kind = "causes"
		}
		add(kind, e.ID, e.Title, e.Span.File)
	}
	for _, g := range b.Gates {
		kind := "gates"
		if g.Failure != nil {
			kind = "failures"
		}
		add(kind, g.ID, g.Title, g.Span.File)
	}
	for _, f := range b.Findings {
		kind := "findings"
		if f.Measurement != nil {
			kind = "measurements"
		}
		add(kind, f.ID, f.Question, f.Span.File)
	}
	for _, f := range b.Facts {
		add("facts", f.ID, f.Question, f.Span.File)
	}
	for _, c := range b.Calculations {
		add("calculations", c.ID, c.Title, c.Span.File)
	}
	for _, c := range b.Cautions {
		add("cautions", c.ID, c.Short, c.Span.File)
	}
	out := make([]listed, len(order))
	for i, l := range order {
		out[i] = *l
	}
	return out
}

func newRulesShow(a *app) *cobra.Command {
	return &cobra.Command{
		Use:     "show ID",
		Short:   "Show one rule: what it says, where it stands, what hangs on it",
		Example: "  filmfault rules show retaken-moisture",
		Args:    takes(1, 1, "which rule? Give its id as `filmfault rules list` prints it"),
		RunE: func(_ *cobra.Command, args []string) error {
			b, err := a.base()
			if err != nil {
				return err
			}
			return showRule(a.console.Out(), b, args[0], a.console.Width())
		},
	}
}

func showRule(w io.Writer, b *rulebase.Base, id string, width int) error {
	lines, ok := b.Describe(b.Current(id))
	if !ok {
		return usagef("the rules have no %q%s", id, nearest(id, b.IDs(), "see `filmfault rules list`"))
	}
	for _, l := range lines {
		if _, err := fmt.Fprintln(w, console.Wrap(l, width, "", "    ")); err != nil {
			return err
		}
	}
	return nil
}
