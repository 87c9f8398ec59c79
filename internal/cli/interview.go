package cli

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"filmfault/internal/casefile"
	"filmfault/internal/console"
	"filmfault/internal/diagnosis"
	"filmfault/internal/interview"
	"filmfault/internal/prompt"
	"filmfault/internal/prompt/surveyprompt"
	"filmfault/internal/report"
)

type interviewOptions struct {
	app   *app
	path  string
	where *choice
}

func newInterview(a *app) *cobra.Command {
	o := &interviewOptions{app: a, where: &choice{known: []string{"sign", "desk", "phone"}}}
	cmd := &cobra.Command{
		Use:   "interview [CASE]",
		Short: "Ask about a failed finish, rank the causes, name the measurements, save the case",
		Long: "Ask about a failed finish, rank the causes and name the measurements that would confirm them.\n" +
			"The case is saved after every answer; the same command with the case's file goes on where it was left.",
		Example: "  filmfault interview\n  filmfault interview sign-114.yaml --at desk",
		Args:    takes(0, 1, ""),
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) > 0 {
				o.path = args[0]
			}
			return runInterview(cmd.Context(), o)
		},
	}
	cmd.Flags().Var(o.where, "at", "where you stand: sign, desk or phone")
	return cmd
}

func runInterview(ctx context.Context, o *interviewOptions) error {
	r, err := o.app.prepared()
	if err != nil {
		return err
	}
	keeper, err := o.app.keeper(o.path, r)
	if err != nil {
		return err
	}
	restore := o.app.console.GuardTerminal(ctx)
	defer restore()
	talk := interview.New(r, keeper.store.Case, o.app.prompter(), keeper.save, o.app.ranking)
	out, err := talk.Run(ctx, interview.Options{Where: o.where.value})
	restore()
	keeper.lastResort(out.Unsaved)
	if interrupted(ctx, err) {
		fmt.Fprintf(o.app.console.Err(), "\nStopped. %s Go on with: filmfault interview %s\n", keeper.kept(), keeper.store.Path)
		return errors.Join(console.ErrInterrupted, errTold)
	}
	if err != nil && !errors.Is(err, prompt.ErrEndOfInput) {
		return err
	}
	if err != nil {
		fmt.Fprintf(o.app.console.Err(), "\nThe input ended. %s\n", keeper.kept())
	}
	return o.app.conclude(ctx, r, keeper, out)
}

func interrupted(ctx context.Context, err error) bool {
	return errors.Is(err, prompt.ErrInterrupted) || ctx.Err() != nil
}

// prompter chooses how to ask: lists where the terminal can, else plain lines.
func (a *app) prompter() prompt.Prompter {
	if !a.plain && surveyprompt.Usable(a.console) {
		return surveyprompt.New(a.console)
	}
	return prompt.NewPlain(a.console.In(), a.console.Err(), a.console.Width)
}

// ranking is the ranking so far, for the interview to show.
func (a *app) ranking(e *diagnosis.Evaluation) string {
	var b strings.Builder
	if err := rankSoFar(&b, e, a.console.Width()); err != nil {
		return "The ranking cannot be shown: " + err.Error()
	}
	return b.String()
}

// keeper writes the case of an interview after every answer.
type keeper struct {
	app    *app
	store  *casefile.Store
	rules  *diagnosis.Rules
	failed bool // the last save failed
}

// keeper opens the case at path, or begins one: with no path under a free name
// in the current folder. It writes at once, so that a folder that takes no file
// is found out before anything is typed.
func (a *app) keeper(path string, r *diagnosis.Rules) (*keeper, error) {
	k := &keeper{app: a, rules: r}
	if path != "" {
		o, err := a.open(path)
		if err == nil && o.store == nil {
			return nil, usagef("%s is a case of the built-in casebook and cannot be written to; copy it first: filmfault casebook show %s > %s.yaml", path, path, path)
		}
		if err == nil {
			k.store = o.store
			_, err := a.resolve(r.Base, o)
			return k, err
		}
		if _, statErr := os.Lstat(path); !errors.Is(statErr, fs.ErrNotExist) {
			return nil, err
		}
	}
	if path == "" {
		path = freeName(a.console.Now())
	}
	if filepath.Ext(path) == "" {
		path += ".yaml"
	}
	c := &casefile.Case{ID: strings.TrimSuffix(filepath.Base(path), filepath.Ext(path)), Started: a.console.Now().Format(time.RFC3339)}
	k.mark(c)
	store, err := casefile.Create(path, c)
	if err != nil {
		return nil, fmt.Errorf("the case cannot be kept here, so nothing was asked: %w; give a file in a folder you may write to: filmfault interview FOLDER/NAME.yaml", err)
	}
	k.store = store
	fmt.Fprintf(a.console.Err(), "The case is kept in %s and saved after every answer.\n", path)
	return k, nil
}

// freeName is a name for a new case that no file has.
func freeName(now time.Time) string {
	day := "case-" + now.Format("2006-01-02")
	name := day + ".yaml"
	for i := 2; ; i++ {
		if _, err := os.Lstat(name); errors.Is(err, fs.ErrNotExist) {
			return name
		}
		name = fmt.Sprintf("%s-%d.yaml", day, i)
	}
}

// mark notes the rules in the case.
func (k *keeper) mark(c *casefile.Case) {
	c.Rules = casefile.RulesUsed{Digest: k.rules.Base.Digest, Layers: slices.Clone(k.rules.Base.Layers)}
}

// save writes the case; where another program wrote to the file meanwhile, the
// case goes under a name beside it and both are kept.
func (k *keeper) save() error {
	k.mark(k.store.Case)
	err := k.store.Save()
	if errors.Is(err, casefile.ErrChanged) {
		old := k.store.Path
		if err = k.store.Aside(filepath.Dir(old)); err == nil {
			fmt.Fprintf(k.app.console.Err(), "%s was changed by another program; this interview goes on in %s.\n", old, k.store.Path)
		}
	}
	k.failed = err != nil
	return err
}

// lastResort keeps answers that could not be saved where they belong: in the
// system's folder for temporary files, or at worst on the screen.
func (k *keeper) lastResort(unsaved error) {
	if unsaved == nil && !k.failed {
		return
	}
	if err := k.store.Aside(os.TempDir()); err == nil {
		k.failed = false
		fmt.Fprintf(k.app.console.Err(), "The case could not be saved where it was; it is now in %s. Move it to a safe place.\n", k.store.Path)
		return
	}
	if data, err := k.store.Case.Bytes(); err == nil {
		fmt.Fprintf(k.app.console.Err(), "The case could not be saved anywhere. These are its answers; copy them:\n%s", data)
	}
}

func (k *keeper) kept() string {
	if k.failed {
		return "The last answers could not be saved."
	}
	return "Everything answered is saved in " + k.store.Path + "."
}

// conclude prints the ranking at the end of an interview.
func (a *app) conclude(ctx context.Context, r *diagnosis.Rules, k *keeper, out interview.Outcome) error {
	o := opened{store: k.store, c: k.store.Case, name: k.store.Path}
	sheet, err := a.resolve(r.Base, o)
	if err != nil {
		return err
	}
	if len(sheet.Seen(r.Base)) == 0 {
		fmt.Fprintf(a.console.Err(), "No failure is marked as seen yet, so there is nothing to rank. Go on with: filmfault interview %s\n", k.store.Path)
		return nil
	}
	e, err := a.evaluateCase(ctx, r, o)
	if err != nil {
		return err
	}
	d, err := document(e, o, report.Everything())
	if err != nil {
		return explainFailure(err, o.name)
	}
	d.Why, d.SavedAt = out.Reason, k.store.Path
	if err := a.renderDocument(a.console.Out(), d, "text"); err != nil {
		return err
	}
	if out.LogLeft {
		fmt.Fprintf(a.console.Err(), "The log is still to come. At the desk: filmfault interview %s --at desk\n", k.store.Path)
	}
	return nil
}
