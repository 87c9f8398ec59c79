package cli

import (
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"time"

	"filmfault/casebook"
	"filmfault/internal/implied"
	"filmfault/internal/rulebase"
)

// patience is how long a computation may take before the person is told of it.
const patience = time.Second

// fromLog works out what the log of a case implies, and complains about what is
// wrong in it: the diagnosis then goes on without it and says so. It is nil for
// a case without a log, and when logs are left out.
func (a *app) fromLog(ctx context.Context, b *rulebase.Base, o opened) (*implied.Log, error) {
	if a.withoutLog {
		return nil, nil
	}
	opt := implied.Ordinary()
	opt.Progress, opt.System = a.progress(o.name), a.units
	log, err := implied.Of(ctx, b, o.c, a.beside(o), opt)
	if err != nil || log == nil {
		return nil, err
	}
	if len(log.Problems) > 0 {
		log.Sources[fileOf(o)] = o.data
		a.complain(log.Problems, log.Sources)
	}
	if log.Problems.HasErrors() {
		fmt.Fprintf(a.talking(), "%s: the job log was left out for that; the ranking stands on the answers alone.\n", o.name)
	}
	return log, nil
}

// progress tells of a replay that takes longer than a moment, once.
func (a *app) progress(name string) func() {
	start, told := a.console.Now(), false
	return func() {
		if !told && a.console.Now().Sub(start) >= patience {
			told = true
			fmt.Fprintf(a.talking(), "%s: replaying its log ...\n", name)
		}
	}
}

// beside opens the files that a case names, as seen from its own folder.
func (a *app) beside(o opened) func(string) (io.ReadCloser, error) {
	return func(name string) (io.ReadCloser, error) {
		if o.store == nil {
			return casebook.FS.Open(strings.ReplaceAll(name, "\\", "/"))
		}
		if !filepath.IsAbs(name) {
			name = filepath.Join(filepath.Dir(o.store.Path), filepath.FromSlash(name))
		}
		return os.Open(name)
	}
}
