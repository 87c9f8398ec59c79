package cli

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"filmfault/internal/plot"
)

// courseChart adds the flags that say where the chart of a film's water goes.
func courseChart(cmd *cobra.Command) *chartOptions {
	o := newChartOptions(cmd)
	cmd.Flags().Lookup("plot").Usage = "draw the water, the temperatures and the humidity under the result: unicode, ascii, or a list to read aloud"
	cmd.Flags().Lookup("output").Usage = "draw them into an SVG `file`, such as drying.svg"
	return o
}

// check refuses, before anything is computed, a chart that cannot be delivered.
func (o *chartOptions) check(format *choice) error {
	switch {
	case o.text.value != "" && format.value == "json":
		return usagef("--plot draws under a text; leave out --format json, or draw into a file with -o drying.svg")
	case o.force && o.file == "":
		return usagef("--force writes over a file; name it with -o")
	case o.file == "":
		return nil
	case !strings.EqualFold(filepath.Ext(o.file), ".svg"):
		return usagef("-o %q: the chart is drawn as SVG; write a name that ends in .svg, such as -o drying.svg", o.file)
	}
	if folder, err := os.Stat(filepath.Dir(o.file)); err != nil || !folder.IsDir() {
		return fmt.Errorf("there is no folder %s to write the chart into", filepath.Dir(o.file))
	}
	info, err := os.Stat(o.file)
	switch {
	case err == nil && info.IsDir():
		return fmt.Errorf("%s is a folder; name a file in it", o.file)
	case err == nil && !o.force:
		return usagef("%s is there already; give another name, or --force to write over it", o.file)
	case err == nil && info.Mode().Perm()&0o222 == 0:
		return fmt.Errorf("%s is write-protected; give another name", o.file)
	case err != nil && !errors.Is(err, fs.ErrNotExist):
		return fmt.Errorf("the chart cannot be written: %w", err)
	}
	return nil
}

// deliver draws a chart wherever it was asked for. One to be read aloud has no
// panel that shows a part of another.
func (o *chartOptions) deliver(a *app, chart func(aloud bool) plot.Chart) error {
	if how := o.text.value; how != "" {
		if err := a.drawText(how, chart(how == "list" || a.plain)); err != nil {
			return err
		}
	}
	if o.file == "" {
		return nil
	}
	return a.drawFile(o.file, o.force, chart(false))
}
