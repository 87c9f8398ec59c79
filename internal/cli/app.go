package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime/debug"
	"slices"

	"filmfault/casebook"
	"filmfault/internal/bdd"
	"filmfault/internal/book"
	"filmfault/internal/casefile"
	"filmfault/internal/console"
	"filmfault/internal/diagnosis"
	"filmfault/internal/implied"
	"filmfault/internal/quantity"
	"filmfault/internal/rulebase"
	"filmfault/internal/source"
	"filmfault/rules"
)

// app is what every command shows and reads with; flags fill it before a
// command runs, after that it does not change.
type app struct {
	console *console.Console
	rules   []string // folders over the built-in rules
	ownBook string   // folder of the shop's own cases; "" for the usual one
	plain   bool
	// withoutLog leaves out what job logs imply.
	withoutLog bool
	units      quantity.System // of what is printed
	talk       io.Writer       // where complaints go; nil for the console's talk
}

// talking is where complaints go.
func (a *app) talking() io.Writer {
	if a.talk != nil {
		return a.talk
	}
	return a.console.Err()
}

// complain prints what is wrong in a user's files.
func (a *app) complain(d source.List, sources map[string][]byte) {
	opt := source.PrintOptions{Width: a.console.Width(), Max: 20, Color: a.console.TalkColor()}
	// An error here means that talk cannot be shown; there is nowhere to say so.
	_ = source.Print(a.talking(), d, sources, opt)
}

// prepared loads the rules in force and makes them ready.
func (a *app) prepared() (*diagnosis.Rules, error) {
	b, err := a.base()
	if err != nil {
		return nil, err
	}
	return diagnosis.Prepare(b)
}

// base loads the rules in force; what is wrong in them is told. The built-in
// rules alone are read in their compiled form where it is theirs.
func (a *app) base() (*rulebase.Base, error) {
	if len(a.rules) == 0 {
		if data, err := rules.FS.ReadFile(rules.Compiled); err == nil {
			if b, ok := rulebase.LoadCompiled(builtInRules(), data); ok {
				return b, nil
			}
		}
	}
	loaded, err := loadRules(a.rules)
	if err != nil {
		return nil, err
	}
	if loaded.Base == nil {
		a.complain(loaded.Diagnostics, loaded.Sources)
		return nil, errTold
	}
	return loaded.Base, nil
}

// opened is a case read from a file or from the casebook.
type opened struct {
	store *casefile.Store // nil for a built-in case: it cannot be written
	c     *casefile.Case
	name  string // path or id, as the user gave it
	data  []byte
}

// open finds a case: a file, or the id of one of the shop's own cases, or of a
// built-in one.
func (a *app) open(name string) (opened, error) {
	if !noFile(name) {
		return a.openFile(name, name)
	}
	own, ok, err := a.ownCase(name)
	if ok {
		return a.openFile(own.Path(), name)
	}
	if o, ok, err := a.builtInCase(name); ok {
		return o, err
	}
	if err != nil {
		return opened{}, err
	}
	o, err := a.openFile(name, name)
	if errors.Is(err, fs.ErrNotExist) {
		return opened{}, fmt.Errorf("there is no case file %q%s", name, a.nearCase(name))
	}
	return o, err
}

// openFile reads a case file; name is what the user calls it.
func (a *app) openFile(path, name string) (opened, error) {
	store, diags, data, err := casefile.OpenFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		return opened{}, err
	}
	if err != nil {
		return opened{}, unreadable(path, err)
	}
	if len(diags) > 0 {
		a.complain(diags, map[string][]byte{path: data})
	}
	if diags.HasErrors() {
		return opened{}, errTold
	}
	return opened{store, store.Case, name, data}, nil
}

// unreadable says why a case file cannot be read, and what to do.
func unreadable(name string, err error) error {
	info, statErr := os.Stat(name)
	switch {
	case statErr == nil && info.IsDir():
		return fmt.Errorf("%s is a folder; name a case file in it", name)
	case errors.Is(err, fs.ErrPermission):
		return fmt.Errorf("%s may not be read by you; ask for leave to read it, or for a copy", name)
	}
	return err
}

// builtInCase reads a case of the casebook by its id.
func (a *app) builtInCase(id string) (opened, bool, error) {
	if !slices.Contains(bookIDs(), id) {
		return opened{}, false, nil
	}
	data, err := casebook.FS.ReadFile(id + ".yaml")
	if err != nil {
		return opened{}, true, err
	}
	name := "casebook/" + id + ".yaml"
	c, diags, err := casefile.Parse(name, data)
	if err != nil {
		return opened{}, true, err
	}
	if diags.HasErrors() {
		a.complain(diags, map[string][]byte{name: data})
		return opened{}, true, errTold
	}
	return opened{nil, c, id, data}, true, nil
}

// nearCase suggests a file or a case of the casebook with a like name.
func (a *app) nearCase(name string) string {
	var known []string
	if files, err := filepath.Glob(filepath.Join(filepath.Dir(name), "*.yaml")); err == nil {
		known = append(known, files...)
	}
	known = append(known, a.caseIDs()...)
	if near, ok := source.Nearest(name, known); ok {
		return "; did you mean " + near + "?"
	}
	return "; `filmfault casebook list` names the built-in cases"
}

// bookIDs lists the ids of the built-in cases in name order.
func bookIDs() []string {
	places, err := book.Book{Shelves: []book.Shelf{builtInShelf()}}.Places()
	if err != nil {
		return nil
	}
	var ids []string
	for _, p := range places {
		ids = append(ids, p.ID)
	}
	return ids
}

// resolve reads a case by the rules and complains about what does not fit.
func (a *app) resolve(b *rulebase.Base, o opened) (diagnosis.Sheet, error) {
	sheet, diags := diagnosis.Resolve(b, o.c)
	if len(diags) > 0 {
		a.complain(diags, map[string][]byte{fileOf(o): o.data})
	}
	if diags.HasErrors() {
		return sheet, errTold
	}
	return sheet, nil
}

func fileOf(o opened) string {
	if o.store == nil {
		return "casebook/" + o.name + ".yaml"
	}
	return o.store.Path
}

// evaluate is the way from a case to an evaluation, for commands on one case.
func (a *app) evaluate(ctx context.Context, name string) (evaluated, opened, error) {
	o, err := a.open(name)
	if err != nil {
		return evaluated{}, o, err
	}
	r, err := a.prepared()
	if err != nil {
		return evaluated{}, opened{}, err
	}
	e, err := a.evaluateCase(ctx, r, o)
	return e, o, err
}

// evaluated is a case worked out, with what its job log implies, if anything.
type evaluated struct {
	*diagnosis.Evaluation
	log *implied.Log
}

func (a *app) evaluateCase(ctx context.Context, r *diagnosis.Rules, o opened) (evaluated, error) {
	log, err := a.fromLog(ctx, r.Base, o)
	if err != nil {
		return evaluated{}, err
	}
	if log != nil {
		o.c = log.Answered()
	}
	sheet, err := a.resolve(r.Base, o)
	if err != nil {
		return evaluated{}, err
	}
	if log != nil {
		sheet = sheet.WithComputed(log.Computed)
	}
	e, err := r.Evaluate(sheet)
	return evaluated{e, log}, explainFailure(err, o.name)
}

// quiet is the command without its complaints, for a second look at a case that
// has been complained about.
func (a *app) quiet() *app {
	mine := *a
	mine.talk = io.Discard
	return &mine
}

// explainFailure says in a user's words why a case cannot be worked out.
func explainFailure(err error, name string) error {
	var contradiction *diagnosis.ContradictionError
	switch {
	case errors.As(err, &contradiction):
		return fmt.Errorf("%s: %w; look at them again and take one out, or mark it `sure: probably`", name, err)
	case errors.Is(err, diagnosis.ErrNothingSeen):
		return fmt.Errorf("%s: no failure is marked seen, so there is nothing to explain; write for instance `blistering: seen` under `failures:`", name)
	case errors.Is(err, bdd.ErrTooWide):
		return fmt.Errorf("%s: the answers tie too many causes together to be solved exactly (%w); leave some failures as not looked for, or some answers out", name, err)
	case err != nil:
		return fmt.Errorf("%s: %w", name, err)
	}
	return nil
}

// loadRules reads the built-in rules and, over them, those of the folders.
//
// Parsing makes much short-lived garbage; collecting it while it grows would
// cost a third of the start.
func loadRules(dirs []string) (rulebase.Loaded, error) {
	defer debug.SetGCPercent(debug.SetGCPercent(400))
	layers := []rulebase.Layer{builtInRules()}
	for _, dir := range dirs {
		info, err := os.Stat(dir)
		if errors.Is(err, fs.ErrNotExist) {
			return rulebase.Loaded{}, fmt.Errorf("there is no folder %q with rules", dir)
		}
		if err != nil {
			return rulebase.Loaded{}, fmt.Errorf("rules: %w", err)
		}
		if !info.IsDir() {
			return rulebase.Loaded{}, usagef("%s is no folder of rule files", dir)
		}
		layers = append(layers, rulebase.Layer{Name: filepath.ToSlash(dir), FS: os.DirFS(dir)})
	}
	return rulebase.Load(layers...)
}
