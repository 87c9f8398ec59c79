package cli

import (
	"bytes"
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"filmfault/internal/casefile"
	"filmfault/internal/console"
	"filmfault/internal/diagnosis"
	"filmfault/internal/prompt"
	"filmfault/internal/report/render"
	"filmfault/internal/rulebase"
)

func newBookEdit(a *app) *cobra.Command {
	var format *choice
	cmd := &cobra.Command{
		Use:   "edit ID",
		Short: "Change a case in your editor; it is replaced only when the result is sound",
		Long: "Open your editor (VISUAL, EDITOR, or else the one that every system has) on a copy of a case, check what\n" +
			"you wrote by the rules, and put it in the place of the case when nothing is wrong with it. Else what is\n" +
			"wrong is shown, and you can edit again, keep the copy aside, or drop it. A case that somebody else\n" +
			"changed meanwhile is left as it is and your copy is kept. A built-in case is first copied into the\n" +
			"folder of your cases. An editor with a window of its own must be told to wait until you close the file.",
		Example: "  filmfault casebook edit sign-114\n" +
			"  EDITOR=\"my-editor --wait\" filmfault casebook edit harbour-cafe --book shop/cases",
		Args: takes(1, 1, "which case? Give its id as `filmfault casebook list` prints it, or a case file"),
		RunE: func(cmd *cobra.Command, args []string) error { return a.editCase(cmd.Context(), args[0], format.value) },
		ValidArgsFunction: func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
			return a.caseIDs(), cobra.ShellCompDirectiveDefault
		},
	}
	format = textOrJSON(cmd, "how to print what came of it")
	return cmd
}

// edited is what came of an edit, as JSON has it.
type edited struct {
	Schema   int    `json:"schema"`
	Case     string `json:"case"`
	File     string `json:"file"`     // "" when a built-in case's copy was taken out again
	Replaced bool   `json:"replaced"` // the case is now what was written
	Copy     string `json:"copy"`     // what was written, where it is kept; "" when it is not
}

// editedSchema is the version of the JSON.
const editedSchema = 1

func (a *app) editCase(ctx context.Context, name, format string) error {
	path, builtIn, err := a.editable(name)
	if err != nil {
		return err
	}
	if !a.console.IsInTerminal() {
		return noEditor(path, name)
	}
	b, err := a.base()
	if err != nil {
		return err
	}
	var fresh *parcel
	if path == "" {
		if fresh, err = a.copyBuiltIn(builtIn); err != nil {
			return err
		}
		path = fresh.path()
	}
	text, err := os.ReadFile(path)
	if err != nil {
		return unreadable(path, err)
	}
	restore := a.console.GuardTerminal(ctx)
	defer restore()
	e := &editing{app: a, base: b, ask: a.prompter(), name: name, path: path, text: text, fresh: fresh}
	e.copy = filepath.Join(filepath.Dir(path), e.copyName(fmt.Sprintf("%x", sha256.Sum256(text))[:8]))
	err = e.run(ctx)
	e.unlessUsed()
	if format != "json" {
		return err
	}
	out := edited{Schema: editedSchema, Case: name, File: e.path, Replaced: e.replaced}
	if _, gone := os.Lstat(e.copy); gone == nil {
		out.Copy = e.copy
	}
	return errors.Join(err, render.JSON(a.console.Out(), out))
}

// noEditor says what to do where no editor can be opened; path is "" for a
// built-in case.
func noEditor(path, name string) error {
	file, at := path, path
	if path == "" {
		file, at = "a copy: filmfault casebook show "+name+" > "+name+".yaml", name
	}
	return fmt.Errorf("there is no terminal here to open an editor in; change the file itself (%s), or put answers in with `filmfault measure %s NAME=ANSWER`", file, inShell(at))
}

// editable is the file to edit: one that is named, or the shop's own case; or
// else no file and a built-in case, to be copied. A case that cannot be read is
// edited to mend it.
func (a *app) editable(name string) (string, opened, error) {
	if !noFile(name) {
		return name, opened{}, nil
	}
	own, ok, err := a.ownCase(name)
	if err != nil {
		return "", opened{}, err
	}
	if ok {
		return own.Path(), opened{}, nil
	}
	o, ok, err := a.builtInCase(name)
	if err == nil && !ok {
		err = fmt.Errorf("there is no case %q%s", name, a.nearCase(name))
	}
	return "", o, err
}

// editing is a case being changed by hand, in a copy beside it.
type editing struct {
	app        *app
	base       *rulebase.Base
	ask        prompt.Prompter
	name, path string
	text       []byte // the case as the copy was taken from it
	copy       string
	replaced   bool
	fresh      *parcel // a built-in case that came into the book for this, or nil
}

// unlessUsed takes a built-in case out of the book again, with what came along,
// when nothing came of editing it.
func (e *editing) unlessUsed() {
	if e.fresh == nil || e.replaced {
		return
	}
	if _, err := os.Lstat(e.copy); err == nil {
		return // it is gone on with later
	}
	if now, err := os.ReadFile(e.path); err != nil || !bytes.Equal(now, e.text) {
		return // somebody else works on it by now
	}
	e.fresh.takeBack()
	e.say("The copy of %s was taken out of the book again, with what came along.", e.name)
	e.path = ""
}

// copyName is the name of a copy of the case. It is hidden, so that it is no
// case of the book, and says by a digest which text it began from.
func (e *editing) copyName(digest string) string {
	base := filepath.Base(e.path)
	ext := filepath.Ext(base)
	return "." + strings.TrimSuffix(base, ext) + ".edit-" + digest + ext
}

func (e *editing) say(format string, args ...any) {
	e.ask.Say(fmt.Sprintf(format, args...))
}

func (e *editing) run(ctx context.Context) error {
	if stop, err := e.begin(ctx); stop || err != nil {
		return err
	}
	for {
		err := e.app.runEditor(e.copy)
		text, readErr := os.ReadFile(e.copy)
		switch {
		case readErr != nil:
			return errors.Join(err, fmt.Errorf("the copy that was edited, %s, cannot be read, so %s was left as it is: %w", e.copy, e.path, reason(readErr)))
		case bytes.Equal(text, e.text):
			_ = os.Remove(e.copy) // it says nothing that the case does not
			e.unlessFailed(err, "Nothing was changed.")
			return err
		case err != nil || ctx.Err() != nil:
			return e.stopped(ctx, err)
		case e.sound(text):
			return e.replace(text)
		}
		if again, err := e.whatNow(ctx); !again || err != nil {
			return err
		}
	}
}

func (e *editing) unlessFailed(err error, text string) {
	if err == nil {
		e.say("%s", text)
	}
}

// begin takes the copy, or goes on with one that was left.
func (e *editing) begin(ctx context.Context) (stop bool, err error) {
	e.tellOfOthers()
	err = casefile.CreateFile(e.copy, e.text, 0o600)
	if !errors.Is(err, fs.ErrExist) {
		if err != nil {
			err = fmt.Errorf("a copy to edit cannot be made beside the case: %w", err)
		}
		return false, err
	}
	left, err := os.ReadFile(e.copy)
	if err == nil && bytes.Equal(left, e.text) {
		return false, nil
	}
	choice, err := e.choose(ctx, fmt.Sprintf("A copy of %s that was edited before is still there: %s. Go on with it?", e.name, e.copy),
		prompt.Choice{ID: "on", Text: "Go on with that copy"},
		prompt.Choice{ID: "drop", Text: "Drop it and begin from the case"},
		prompt.Choice{ID: "stop", Text: "Leave both as they are"})
	if err != nil || choice != "drop" {
		return choice == "stop", err
	}
	if err := os.Remove(e.copy); err != nil {
		return false, err
	}
	return false, casefile.CreateFile(e.copy, e.text, 0o600)
}

// tellOfOthers names copies that began from an older text of the case: they are
// somebody's work and cannot simply take its place any more.
func (e *editing) tellOfOthers() {
	others, err := filepath.Glob(filepath.Join(filepath.Dir(e.path), e.copyName("*")))
	if err != nil {
		return
	}
	for _, other := range others {
		if other != e.copy {
			e.say("A copy that was edited before, from an older version of the case, is kept in %s.", other)
		}
	}
}

// sound checks what was written, and shows what is wrong with it.
func (e *editing) sound(text []byte) bool {
	files := map[string][]byte{e.copy: text}
	c, diags, err := casefile.Parse(e.copy, text)
	if err != nil {
		tell(e.app.console, err)
		return false
	}
	if !diags.HasErrors() {
		_, more := diagnosis.Resolve(e.base, c)
		diags = append(diags, more...)
	}
	if len(diags) > 0 {
		e.app.complain(diags, files)
	}
	return !diags.HasErrors()
}

// replace puts what was written in the place of the case, unless that was
// changed meanwhile.
func (e *editing) replace(text []byte) error {
	err := casefile.ReplaceFile(e.path, text, e.text)
	switch {
	case errors.Is(err, casefile.ErrChanged):
		return fmt.Errorf("%s was changed by another program while you edited it, and stands as that program left it. Your version is kept in %s: take over what you need with `filmfault casebook edit %s`, then remove it", e.path, e.copy, e.name)
	case err != nil:
		return fmt.Errorf("the case was not replaced: %w; your version is kept in %s", err, e.copy)
	}
	e.replaced = true
	_ = os.Remove(e.copy) // what it says is in the case now
	e.say("Saved in %s.", e.path)
	e.tellOfName(text)
	return nil
}

// tellOfName says by what name the book knows a case whose line `case:` was
// changed to another.
func (e *editing) tellOfName(text []byte) {
	if !noFile(e.name) {
		return // a file, perhaps of no book
	}
	file := strings.TrimSuffix(filepath.Base(e.path), filepath.Ext(e.path))
	c, _, err := casefile.Parse(e.path, text)
	if err != nil || c.ID == "" || c.ID == file {
		return
	}
	if old, _, err := casefile.Parse(e.path, e.text); err == nil && old.ID == c.ID {
		return
	}
	e.say("The line case: says %s now, but the book knows a case by the name of its file: it is still %s there.", c.ID, file)
}

// whatNow asks what to do with a copy that is not sound.
func (e *editing) whatNow(ctx context.Context) (again bool, err error) {
	choice, err := e.choose(ctx, "What you wrote is not sound as it stands, so the case was not replaced. What now?",
		prompt.Choice{ID: "again", Text: "Edit again"},
		prompt.Choice{ID: "keep", Text: "Keep the copy aside"},
		prompt.Choice{ID: "drop", Text: "Drop what was edited"})
	switch {
	case err != nil:
		return false, e.stopped(ctx, err)
	case choice == "keep":
		e.say("The case is as it was. Your copy is kept in %s; `filmfault casebook edit %s` goes on with it.", e.copy, e.name)
	case choice == "drop":
		if err := os.Remove(e.copy); err != nil {
			return false, err
		}
		e.say("Dropped. The case is as it was.")
	}
	return choice == "again", nil
}

func (e *editing) choose(ctx context.Context, title string, choices ...prompt.Choice) (string, error) {
	reply, err := e.ask.Ask(ctx, prompt.Ask{ID: "edit", Title: title, Choices: choices})
	return reply.Choice, err
}

// stopped keeps the copy of an edit that broke off.
func (e *editing) stopped(ctx context.Context, err error) error {
	fmt.Fprintf(e.app.console.Err(), "\n%s is as it was. Your copy is kept in %s; `filmfault casebook edit %s` goes on with it.\n", e.path, e.copy, e.name)
	if interrupted(ctx, err) {
		return errors.Join(console.ErrInterrupted, errTold)
	}
	return err
}

// runEditor opens the person's editor on a file and waits for it to end.
func (a *app) runEditor(file string) error {
	line := a.console.Editor()
	words := editorWords(line)
	if len(words) == 0 {
		return fmt.Errorf("VISUAL or EDITOR is set to %q, which names no editor", line)
	}
	cmd := exec.Command(words[0], append(words[1:], file)...)
	// Results may go to a file; the editor belongs on the screen where the talk is.
	cmd.Stdin, cmd.Stdout, cmd.Stderr = a.console.In(), a.console.Err(), a.console.Err()
	err := cmd.Run()
	var failed *exec.ExitError
	switch {
	case errors.As(err, &failed):
		return fmt.Errorf("the editor (%s) ended with an error: %w", line, err)
	case err != nil:
		return fmt.Errorf("the editor (%s) cannot be opened: %w; set VISUAL or EDITOR to one that is there", line, noProgram(err))
	}
	return nil
}

// noProgram is why a program cannot be run, without the words of the system's
// calls.
func noProgram(err error) error {
	var search *exec.Error
	switch {
	case errors.Is(err, exec.ErrNotFound), errors.Is(err, fs.ErrNotExist):
		return errors.New("there is no such program")
	case errors.Is(err, fs.ErrPermission):
		return errors.New("that is no program that may be run")
	case errors.As(err, &search):
		return search.Err
	}
	return reason(err)
}

// editorWords splits an editor's command line. A line that as a whole is a
// program, in a folder with blanks in its name, is one word; else blanks part
// words but within quotes.
func editorWords(line string) []string {
	if _, err := exec.LookPath(line); err == nil {
		return []string{line}
	}
	var words []string
	var word strings.Builder
	quote, begun := rune(0), false
	for _, r := range line {
		switch {
		case r == quote:
			quote = 0
		case quote == 0 && (r == '"' || r == '\''):
			quote, begun = r, true
		case quote == 0 && (r == ' ' || r == '\t'):
			if begun {
				words = append(words, word.String())
			}
			word.Reset()
			begun = false
		default:
			word.WriteRune(r)
			begun = true
		}
	}
	if begun {
		words = append(words, word.String())
	}
	return words
}
