package cli

import (
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"filmfault/internal/report/render"
	"filmfault/internal/rulebase"
)

type bookAddOptions struct {
	app        *app
	as         string
	withPhotos bool
	format     *choice
	files      []string
}

// added is what came into the book, as JSON has it.
type added struct {
	Schema int         `json:"schema"`
	Added  []addedCase `json:"added"`
}

type addedCase struct {
	Case string   `json:"case"`
	File string   `json:"file"`
	With []string `json:"with"` // the files that came along, as named in the copy
}

// addedSchema is the version of the JSON.
const addedSchema = 1

func newBookAdd(a *app) *cobra.Command {
	o := &bookAddOptions{app: a}
	cmd := &cobra.Command{
		Use:   "add FILE...",
		Short: "Copy case files into your book, with the logger and shop files they name",
		Long: "Copy case files into the folder of your cases, each under its id: that of its line `case:`, or else the\n" +
			"name of the file. The files of loggers and shops that a case names come along, into the folders logs and\n" +
			"shops. With --with-photos the photographs come too, into photos; without, they stay where they are and\n" +
			"the copy names them there. The file that you add is not changed, and nothing in the book is written\n" +
			"over: where the id is taken, --as gives another. A case that cannot be read is refused with the place.",
		Example: "  filmfault casebook add sign-114.yaml sign-115.yaml --with-photos\n" +
			"  filmfault casebook add job/case.yaml --as harbour-sign --book shop/cases",
		Args: takes(1, -1, "which case files? Give their names"),
		RunE: func(_ *cobra.Command, args []string) error {
			o.files = args
			return runBookAdd(o)
		},
	}
	o.format = textOrJSON(cmd, "how to print what was added")
	cmd.Flags().StringVar(&o.as, "as", "", "the `id` under which to keep the case, when there is one file")
	cmd.Flags().BoolVar(&o.withPhotos, "with-photos", false, "copy the photographs too")
	return cmd
}

// runBookAdd adds file by file; one that is refused does not keep the others out.
func runBookAdd(o *bookAddOptions) error {
	if o.as != "" && len(o.files) > 1 {
		return usagef("--as gives one id; add one file at a time with it")
	}
	if o.as != "" {
		if err := fitID(o.as); err != nil {
			return usagef("--as cannot be %q: %w", o.as, err)
		}
	}
	dir, err := o.app.bookFolder()
	if err != nil {
		return err
	}
	b, err := o.app.base()
	if err != nil {
		return err
	}
	var failed error
	all := added{Schema: addedSchema, Added: []addedCase{}}
	for _, file := range o.files {
		one, err := o.add(b, dir, file)
		if err != nil {
			failed = keep(failed, err, o.app)
			continue
		}
		all.Added = append(all.Added, one)
	}
	if o.format.value == "json" {
		return errors.Join(failed, render.JSON(o.app.console.Out(), all))
	}
	return failed
}

func (o *bookAddOptions) add(b *rulebase.Base, dir, file string) (addedCase, error) {
	c, err := o.app.openFile(file, file)
	if errors.Is(err, fs.ErrNotExist) && slices.Contains(bookIDs(), file) {
		return addedCase{}, fmt.Errorf("%s is a built-in case and no file; `filmfault casebook edit %s` or `filmfault casebook settle %s` copies it into the book, with the files it names", file, file, file)
	}
	if errors.Is(err, fs.ErrNotExist) {
		return addedCase{}, fmt.Errorf("there is no case file %q; give the name of a file", file)
	}
	if err != nil {
		return addedCase{}, err
	}
	if _, err := o.app.resolve(b, c); err != nil {
		return addedCase{}, err
	}
	p := &parcel{app: o.app, opened: c, dir: dir, id: o.id(c), as: o.as, photos: o.withPhotos}
	err = p.deliver()
	return addedCase{p.id, p.path(), append([]string{}, p.with...)}, err
}

// id is that under which a case is kept.
func (o *bookAddOptions) id(c opened) string {
	switch {
	case o.as != "":
		return o.as
	case c.c.ID != "":
		return c.c.ID
	}
	base := filepath.Base(c.name)
	return strings.TrimSuffix(base, filepath.Ext(base))
}
