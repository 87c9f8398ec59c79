package cli

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"filmfault/internal/book/redact"
	"filmfault/internal/casefile"
	"filmfault/internal/console"
	"filmfault/internal/report/render"
)

type bookRedactOptions struct {
	app     *app
	shelves *shelfFlags
	format  *choice
	name    string
	output  string
}

// redacted is a copy and what was done to it, as JSON has it.
type redacted struct {
	Schema   int            `json:"schema"`
	Case     string         `json:"case"`
	File     string         `json:"file"` // "" when the copy is here
	Copy     string         `json:"copy"` // the YAML; "" when it is in the file
	Taken    []string       `json:"left_out_of_job"`
	Replaced []redactedMark `json:"replaced"`
	LeftOut  []string       `json:"keys_left_out"`
	Look     []string       `json:"look_at"`
}

type redactedMark struct {
	Mark   string   `json:"mark"`
	Times  int      `json:"times"`
	Places []string `json:"places"`
}

// redactedSchema is the version of the JSON.
const redactedSchema = 1

func newBookRedact(a *app) *cobra.Command {
	o := &bookRedactOptions{app: a}
	cmd := &cobra.Command{
		Use:   "redact CASE",
		Short: "Copy a case without the customer, the address, the contact and the painter",
		Long: "Write a copy of a case that can be handed on. The customer, the address, the contact and the painter\n" +
			"are left out of the job, and their words wherever else they stand; e-mail addresses, phone numbers and\n" +
			"house numbers with a street are blacked out in titles, notes and captions. Comments, and keys that\n" +
			"filmfault does not know, are not copied. What was replaced, and what a person has to look at, goes to\n" +
			"standard error. The copy goes to standard output, or with -o into a new file: nothing is written over.",
		Example: "  filmfault casebook redact sign-114.yaml -o for-the-supplier.yaml\n" +
			"  filmfault casebook redact sign-114 --book cases | less",
		Args: takes(1, 1, "which case? Give a case file, or the id of a case (`filmfault casebook list`)"),
		RunE: func(_ *cobra.Command, args []string) error {
			o.name = args[0]
			return runBookRedact(o)
		},
	}
	o.shelves = newShelfFlags(cmd)
	o.format = textOrJSON(cmd, "the copy itself, or what was done with the copy in it")
	cmd.Flags().StringVarP(&o.output, "output", "o", "", "write the copy into a new `file`")
	return cmd
}

func runBookRedact(o *bookRedactOptions) error {
	c, _, err := o.app.find(o.shelves, o.name)
	if err != nil {
		return err
	}
	rules, err := o.app.base()
	if err != nil {
		return err
	}
	result := redact.Case(c.c, redact.TradeOf(rules))
	data, err := result.Case.Bytes()
	if err != nil {
		return fmt.Errorf("%s cannot be copied: %w", o.name, err)
	}
	leftOut := redact.LeftOut(c.data, data)
	if o.format.value != "json" || o.output != "" {
		if err := o.write(data); err != nil {
			return err
		}
	}
	if o.format.value == "json" {
		return render.JSON(o.app.console.Out(), o.document(redact.Name(c.c.Job, o.name, redact.TradeOf(rules)), result, leftOut, data))
	}
	for _, l := range result.Lines(leftOut) {
		fmt.Fprintln(o.app.talking(), console.Wrap(console.Printable(l), o.app.console.Width(), "", "  "))
	}
	return nil
}

func (o *bookRedactOptions) document(name string, r redact.Result, leftOut []string, data []byte) redacted {
	out := redacted{
		Schema: redactedSchema, Case: name, File: o.output, Taken: append([]string{}, r.Taken...), Replaced: []redactedMark{},
		LeftOut: append([]string{}, leftOut...), Look: lookAt(r),
	}
	for _, x := range r.Replaced {
		out.Replaced = append(out.Replaced, redactedMark{x.Mark, x.Times, x.Places})
	}
	if o.output == "" {
		out.Copy = string(data)
	}
	return out
}

// lookAt is what a person has to look at, files that lost their folders too.
func lookAt(r redact.Result) []string {
	out := append([]string{}, r.Look...)
	if len(r.Cut) > 0 {
		out = append(out, "paths were cut to the names of the files: in "+strings.Join(r.Cut, ", "))
	}
	return out
}

func (o *bookRedactOptions) write(data []byte) error {
	if o.output == "" {
		_, err := o.app.console.Out().Write(data)
		return err
	}
	err := casefile.CreateFile(o.output, data, 0)
	switch _, folder := os.Stat(filepath.Dir(o.output)); {
	case errors.Is(err, fs.ErrExist):
		return usagef("%s is there already, and a copy is written over nothing; give another name", o.output)
	case err != nil && errors.Is(folder, fs.ErrNotExist):
		return fmt.Errorf("there is no folder %s to write into", filepath.Dir(o.output))
	case err != nil:
		return fmt.Errorf("%s cannot be written: %w", o.output, reason(err))
	}
	fmt.Fprintf(o.app.talking(), "The copy is in %s.\n", o.output)
	return nil
}
