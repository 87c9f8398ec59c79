package cli

import (
	"bufio"
	"bytes"
	"context"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"filmfault/internal/book"
	"filmfault/internal/book/export"
)

type bookExportOptions struct {
	app     *app
	shelves *shelfFlags
	format  *choice
	what    export.Options
	bom     bool
	output  string
	force   bool
}

func newBookExport(a *app) *cobra.Command {
	o := &bookExportOptions{app: a}
	cmd := &cobra.Command{
		Use:   "export",
		Short: "Write all cases as lines of JSON, or as a table for a spreadsheet",
		Long: "Write all your cases, or the built-in ones where you have none, as JSON Lines, one case a line, as one\n" +
			"JSON document, or as a CSV table, one row a case, with names that stay. The customer, the address, the contact and the painter\n" +
			"are left out, and their words blacked out in every text, unless --private is given. In CSV a cell that\n" +
			"a spreadsheet would take for a formula gets an apostrophe in front. A file that cannot be read is\n" +
			"named, and the others are still written; the exit code is then 3.",
		Example: "  filmfault casebook export --book cases -o cases.jsonl\n" +
			"  filmfault casebook export --format csv --bom --findings -o cases.csv",
		Args: takes(0, 0, ""),
		RunE: func(cmd *cobra.Command, _ []string) error { return runBookExport(cmd.Context(), o) },
	}
	o.shelves = newShelfFlags(cmd)
	f := cmd.Flags()
	o.format = formatOf(cmd, "how to write them", "jsonl", "json", "csv")
	f.BoolVar(&o.what.Private, "private", false, "with the customer, the address, the contact and the painter")
	f.BoolVar(&o.what.Findings, "findings", false, "CSV: a column for each finding of the rules, besides the one of all")
	f.BoolVar(&o.bom, "bom", false, "CSV: begin with a byte order mark, by which some spreadsheets know UTF-8")
	f.StringVarP(&o.output, "output", "o", "", "write into a `file`")
	f.BoolVar(&o.force, "force", false, "write over the file if it is there")
	return cmd
}

func runBookExport(ctx context.Context, o *bookExportOptions) error {
	if o.format.value != "csv" && (o.bom || o.what.Findings) {
		return usagef("--bom and --findings are for a table; add --format csv")
	}
	places, err := o.places()
	if err != nil {
		return err
	}
	rules, err := o.app.base()
	if err != nil {
		return err
	}
	read := bookReader{app: o.app}
	if err := o.write(func(w io.Writer) error { return o.all(ctx, w, export.New(rules, o.what), &read, places) }); err != nil {
		return err
	}
	if o.output != "" {
		fmt.Fprintf(o.app.talking(), "%d of %d cases are in %s.\n", read.read, len(places), o.output)
	}
	return read.failed()
}

// all writes case after case as they are read, so that memory stays flat.
func (o *bookExportOptions) all(ctx context.Context, w io.Writer, x *export.Exporter, read *bookReader, places []book.Place) error {
	out, one, between := bufio.NewWriter(w), lineOf, ""
	switch o.format.value {
	case "csv":
		one = rowOf
		if err := o.head(out, x); err != nil {
			return err
		}
	case "json":
		between = ","
		fmt.Fprintf(out, "{\"schema\": %d, \"cases\": [\n", export.Schema) // out keeps its first error until Flush
	}
	first := true
	err := eachCase(ctx, read, places, func(it book.Item) exported { return one(x, it) }, func(e exported) error {
		if len(e.data) == 0 {
			return e.err
		}
		if !first {
			_, _ = out.WriteString(between)
		}
		first = false
		_, err := out.Write(e.data)
		return errors.Join(e.err, err)
	})
	if o.format.value == "json" {
		_, _ = out.WriteString("]}\n")
	}
	return errors.Join(err, out.Flush())
}

// places lists the shop's own cases; the built-in ones where there is no folder
// of them, so that invented cases do not get among the shop's.
func (o *bookExportOptions) places() ([]book.Place, error) {
	own := shelfFlags{dirs: o.shelves.dirs, own: true}
	b, err := o.app.shelved(&own)
	if err != nil {
		return nil, err
	}
	own.own = len(b.Shelves) > 0
	return o.app.places(&own)
}

// exported is a case as it is written, nil when it is left out.
type exported struct {
	data []byte
	err  error
}

func lineOf(x *export.Exporter, it book.Item) exported {
	data, err := x.JSON(it)
	return exported{data, err}
}

func rowOf(x *export.Exporter, it book.Item) exported { return cells(x.Row(it)) }

// cells writes one row of a table.
func cells(row []string) exported {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	w.UseCRLF = true
	err := w.Write(row)
	w.Flush()
	return exported{b.Bytes(), errors.Join(err, w.Error())}
}

func (o *bookExportOptions) head(w io.Writer, x *export.Exporter) error {
	head := cells(x.Columns())
	if o.bom {
		head.data = append([]byte("\ufeff"), head.data...)
	}
	_, err := w.Write(head.data)
	return errors.Join(head.err, err)
}

// write streams to standard output, or into a file that is there whole or not at
// all.
func (o *bookExportOptions) write(all func(io.Writer) error) error {
	if o.output == "" {
		return all(o.app.console.Out())
	}
	if _, err := os.Lstat(o.output); err == nil && !o.force {
		return usagef("%s is there already; give another name, or --force to write over it", o.output)
	}
	f, err := os.CreateTemp(filepath.Dir(o.output), ".filmfault-*")
	if errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("there is no folder %s to write into", filepath.Dir(o.output))
	}
	if err != nil {
		return fmt.Errorf("%s cannot be written: %w", o.output, reason(err))
	}
	err = all(f)
	if closed := errors.Join(f.Chmod(0o644), f.Close()); err == nil {
		err = closed
	}
	if err == nil {
		err = os.Rename(f.Name(), o.output)
	}
	if err != nil {
		return errors.Join(err, os.Remove(f.Name()))
	}
	return nil
}
