package cli

import (
	"bytes"
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"filmfault/internal/implied"
	"filmfault/internal/plot"
	"filmfault/internal/report"
)

// chartOptions are the flags of a command that draws: under its result, into an
// SVG file, or both.
type chartOptions struct {
	text  *choice
	file  string
	force bool
}

func newChartOptions(cmd *cobra.Command) *chartOptions {
	o := &chartOptions{text: &choice{known: []string{"unicode", "ascii", "list"}}}
	cmd.Flags().Var(o.text, "plot", "draw water, temperature and dew point along the log under the result: unicode, ascii, or a list to read aloud")
	cmd.Flags().Lookup("plot").NoOptDefVal = "unicode"
	cmd.Flags().StringVarP(&o.file, "output", "o", "", "draw them into an SVG `file`")
	cmd.Flags().BoolVar(&o.force, "force", false, "write over the SVG file if it is there")
	return o
}

// inUnits is the command with its results in the units asked for.
func (a *app) inUnits(c *choice) *app {
	mine := *a
	mine.units = system(c)
	return &mine
}

// wanted reports whether a chart was asked for.
func (o *chartOptions) wanted() bool { return o.text.value != "" || o.file != "" }

// draw draws every face of a log that was followed.
func (a *app) draw(ctx context.Context, o *chartOptions, log *implied.Log, name string) error {
	if log == nil || log.Job == nil {
		return fmt.Errorf("%s holds no log that can be drawn: coats with their times, and the air", name)
	}
	for i, face := range log.Job.Faces() {
		c, err := report.Chart(ctx, log, face, name, a.units)
		if err != nil {
			return err
		}
		if err := a.drawText(o.text.value, c); err != nil {
			return err
		}
		if o.file == "" {
			continue
		}
		path := o.file
		if i > 0 { // the other face beside the first
			ext := filepath.Ext(path)
			path = path[:len(path)-len(ext)] + "-" + face.String() + ext
		}
		if err := a.drawFile(path, o.force, c); err != nil {
			return err
		}
	}
	return nil
}

// drawText draws on the console, as far as it can take.
func (a *app) drawText(how string, c plot.Chart) error {
	out := a.console.Out()
	switch {
	case how == "":
		return nil
	case how == "list" || a.plain:
		return plot.Table(out, c, 0)
	}
	fmt.Fprintln(out)
	return plot.Text(out, c, plot.TextOptions{Width: min(a.console.Width(), 100), Unicode: how == "unicode" && a.console.Unicode()})
}

// drawFile writes a chart whole or not at all, and over nothing without leave.
func (a *app) drawFile(path string, force bool, c plot.Chart) error {
	var b bytes.Buffer
	if err := plot.SVG(&b, c); err != nil {
		return err
	}
	if err := writeNew(path, b.Bytes(), force); err != nil {
		return err
	}
	fmt.Fprintf(a.talking(), "The picture is in %s.\n", path)
	return nil
}

// writeNew writes a file by way of another beside it, so that it is there whole
// or not at all. One that is there is written over with force alone, even if it
// came to be there only now.
func writeNew(path string, data []byte, force bool) error {
	if _, err := os.Lstat(path); err == nil && !force {
		return isThere(path)
	}
	f, err := besides(path)
	if errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("there is no folder %s to write into", filepath.Dir(path))
	}
	if err != nil {
		return fmt.Errorf("%s cannot be written: %w", path, reason(err))
	}
	_, err = f.Write(data)
	if err == nil {
		err = f.Sync() // or else a name could outlast a crash that its contents did not
	}
	err = errors.Join(err, f.Close())
	switch {
	case err != nil:
	case force:
		err = os.Rename(f.Name(), path)
	default:
		err = moveNew(f.Name(), path)
	}
	switch gone := os.Remove(f.Name()); {
	case errors.Is(err, fs.ErrExist) && !force:
		return isThere(path)
	case err != nil:
		return fmt.Errorf("%s cannot be written: %w", path, reason(err))
	case gone != nil && !errors.Is(gone, fs.ErrNotExist):
		return fmt.Errorf("%s is written, but %s beside it cannot be removed: %w", path, filepath.Base(f.Name()), reason(gone))
	}
	return nil
}

func isThere(path string) error {
	return usagef("%s is there already; give another name, or --force to write over it", path)
}

// besides makes a file beside another, with the rights that any new file gets.
func besides(path string) (*os.File, error) {
	name := filepath.Join(filepath.Dir(path), ".filmfault-"+rand.Text())
	return os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
}

// moveNew gives a file a name that no file has; fs.ErrExist when one has it. A
// renaming would write over that, a second name does not. Where the disk knows no
// second names, an empty file takes the name first.
func moveNew(from, to string) error {
	err := os.Link(from, to)
	if err == nil || errors.Is(err, fs.ErrExist) {
		return err
	}
	f, err := os.OpenFile(to, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return err
	}
	if err := f.Close(); err != nil {
		return errors.Join(err, os.Remove(to))
	}
	if err := os.Rename(from, to); err != nil {
		return errors.Join(err, os.Remove(to))
	}
	return nil
}

// reason is what went wrong without the name of the file beside the one that was
// asked for.
func reason(err error) error {
	var path *fs.PathError
	if errors.As(err, &path) {
		return path.Err
	}
	var link *os.LinkError // it names the file beside too
	if errors.As(err, &link) {
		return link.Err
	}
	return err
}
