package cli

import (
	"fmt"
	"os"

	"github.com/spf13/cobra"

	"filmfault/internal/book/redact"
	"filmfault/internal/console"
)

type bookRedactOptions struct {
	app     *app
	shelves *shelfFlags
	name    string
	output  string
}

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
	if err := o.write(data); err != nil {
		return err
	}
	for _, l := range result.Lines(redact.LeftOut(c.data, data)) {
		fmt.Fprintln(o.app.talking(), console.Wrap(console.Printable(l), o.app.console.Width(), "", "  "))
	}
	return nil
}

func (o *bookRedactOptions) write(data []byte) error {
	if o.output == "" {
		_, err := o.app.console.Out().Write(data)
		return err
	}
	if _, err := os.Lstat(o.output); err == nil {
		return usagef("%s is there already, and a copy is written over nothing; give another name", o.output)
	}
	if err := writeNew(o.output, data, false); err != nil {
		return err
	}
	fmt.Fprintf(o.app.talking(), "The copy is in %s.\n", o.output)
	return nil
}
