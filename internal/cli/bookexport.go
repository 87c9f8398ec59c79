package cli

import (
	"bufio"
	"bytes"
	"context"
	"crypto/rand"
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
	read, look := bookReader{app: o.app}, 0
	err = o.write(func(w io.Writer) (err error) {
		look, err = o.all(ctx, w, export.New(rules, o.what), &read, places)
		return err
	})
	if err != nil {
		return err
	}
	if o.output != "" {
		fmt.Fprintf(o.app.talking(), "%d of %d cases are in %s.\n", read.read, len(places), o.output)
	}
	if !o.what.Private {
		o.tellLook(look)
	}
	return read.failed()
}

// tellLook says how much is left for a person to do before the cases go out.
func (o *bookExportOptions) tellLook(n int) {
	what := fmt.Sprintf("%d texts and files", n)
	switch n {
	case 0:
		fmt.Fprintln(o.app.talking(), "Nothing in particular to look at; a name that stands in none of a job's lines is not found.")
		return
	case 1:
		what = "1 text or file"
	}
	fmt.Fprintf(o.app.talking(), "A person should look at %s of these cases; `filmfault casebook redact CASE` names them.\n", what)
}

// all writes case after case as they are read, so that memory stays flat, and
// counts what a person has to look at.
func (o *bookExportOptions) all(ctx context.Context, w io.Writer, x *export.Exporter, read *bookReader, places []book.Place) (look int, err error) {
	out, one, between := bufio.NewWriter(w), lineOf, ""
	switch o.format.value {
	case "csv":
		one = rowOf
		if err := o.head(out, x); err != nil {
			return 0, err
		}
	case "json":
		between = ","
		fmt.Fprintf(out, "{\"schema\": %d, \"cases\": [\n", export.Schema) // out keeps its first error until Flush
	}
	first := true
	var ids export.IDs
	err = eachCase(ctx, read, places, func(it book.Item) exported { return one(x, x.Open(it)) }, func(e exported) error {
		if id := ids.Next(e.of.ID); !o.what.Private && id != e.of.ID {
			e.of.ID = id
			e = one(x, e.of)
		}
		if len(e.data) == 0 {
			return e.err
		}
		if !first {
			_, _ = out.WriteString(between)
		}
		first = false
		look += e.of.Look
		_, err := out.Write(e.data)
		return errors.Join(e.err, err)
	})
	if o.format.value == "json" {
		_, _ = out.WriteString("]}\n")
	}
	return look, errors.Join(err, out.Flush())
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

// exported is a case as it is written.
type exported struct {
	of   export.Opened
	data []byte
	err  error
}

func lineOf(x *export.Exporter, of export.Opened) exported {
	data, err := x.JSON(of)
	return exported{of, data, err}
}

func rowOf(x *export.Exporter, of export.Opened) exported {
	data, err := cells(x.Row(of))
	return exported{of, data, err}
}

// cells writes one row of a table.
func cells(row []string) ([]byte, error) {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	w.UseCRLF = true
	err := w.Write(row)
	w.Flush()
	return b.Bytes(), errors.Join(err, w.Error())
}

func (o *bookExportOptions) head(w io.Writer, x *export.Exporter) error {
	head, err := cells(x.Columns())
	if o.bom {
		head = append([]byte("\ufeff"), head...)
	}
	_, failed := w.Write(head)
	return errors.Join(err, failed)
}

// write streams to standard output, or into a file that is there whole or not at
// all.
func (o *bookExportOptions) write(all func(io.Writer) error) error {
	if o.output == "" {
		return all(o.app.console.Out())
	}
	if _, err := os.Lstat(o.output); err == nil && !o.force {
		return o.taken()
	}
	mode := fs.FileMode(0o644) // less what the user's umask takes
	if o.what.Private {
		mode = 0o600
	}
	dir := filepath.Dir(o.output)
	f, err := os.OpenFile(filepath.Join(dir, ".filmfault-"+rand.Text()+".new"), os.O_CREATE|os.O_EXCL|os.O_WRONLY, mode)
	if errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("there is no folder %s to write into", dir)
	}
	if err != nil {
		return fmt.Errorf("%s cannot be written: %w", o.output, reason(err))
	}
	err = all(f)
	if err == nil {
		err = f.Sync()
	}
	if closed := f.Close(); err == nil {
		err = closed
	}
	if err == nil {
		err = o.put(f.Name())
	}
	if gone := os.Remove(f.Name()); !errors.Is(gone, fs.ErrNotExist) {
		err = errors.Join(err, gone)
	}
	return err
}

func (o *bookExportOptions) taken() error {
	return usagef("%s is there already; give another name, or --force to write over it", o.output)
}

// put gives the finished file its name. A link fails when the name was taken
// meanwhile, which a rename would not; some folders know no links.
func (o *bookExportOptions) put(fresh string) error {
	if !o.force {
		err := os.Link(fresh, o.output)
		if err == nil {
			return nil
		}
		if _, there := os.Lstat(o.output); there == nil || errors.Is(err, fs.ErrExist) {
			return o.taken()
		}
	}
	return os.Rename(fresh, o.output)
}
