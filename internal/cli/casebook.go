package cli

import (
	"fmt"
	"os"
	"slices"

	"github.com/spf13/cobra"

	"filmfault/casebook"
	"filmfault/internal/book/export"
	"filmfault/internal/casefile"
	"filmfault/internal/report/render"
)

func newCasebook(a *app) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "casebook",
		Short: "Keep and settle your cases; list and show them and the built-in ones",
		Long: "Your book is a folder of case files, one a case, in your system's folder for data or where --book says.\n" +
			"Any command that takes a case finds it there by its id; a case of yours goes before a built-in one of\n" +
			"the same id. The built-in cases are invented, to learn on.",
		Example: "  filmfault casebook add sign-114.yaml\n  filmfault casebook settle sign-114 --confirmed thick-pass=groove-thickness",
		Args:    takes(0, 0, ""),
		RunE:    func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	cmd.AddCommand(
		newBookAdd(a), newBookList(a), newBookShow(a), newBookEdit(a), newBookSettle(a), newBookSimilar(a), newBookReview(a),
		newBookLearn(a), newBookReplay(a), newBookRedact(a), newBookExport(a),
	)
	return cmd
}

func newBookShow(a *app) *cobra.Command {
	var format *choice
	cmd := &cobra.Command{
		Use: "show ID", Short: "Print a case file, to read or to copy",
		Args: takes(1, 1, "which case? Give its id as `filmfault casebook list` prints it"),
		Example: "  filmfault casebook show harbour-cafe > my-copy.yaml\n" +
			"  filmfault casebook show sign-114 --book shop/cases",
		RunE: func(_ *cobra.Command, args []string) error { return a.showCase(args[0], format.value) },
		ValidArgsFunction: func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
			return a.caseIDs(), cobra.ShellCompDirectiveNoFileComp
		},
	}
	format = textOrJSON(cmd, "print the file as it is, or the names and values of `casebook export --private`")
	return cmd
}

func (a *app) showCase(id, format string) error {
	if err := a.namedBook(); err != nil {
		return err
	}
	own, ok, err := a.ownCase(id)
	if err != nil {
		return err
	}
	var data []byte
	name := "casebook/" + id + ".yaml"
	if ok {
		name = own.Path()
		data, err = os.ReadFile(name)
	} else if slices.Contains(bookIDs(), id) {
		data, err = casebook.FS.ReadFile(id + ".yaml")
	} else {
		return fmt.Errorf("the casebook has no case %q%s", id, nearest(id, a.caseIDs(), "see `filmfault casebook list`"))
	}
	if err != nil {
		return err
	}
	if format == "json" {
		return a.showRecord(id, name, data)
	}
	_, err = a.console.Out().Write(data)
	return err
}

// showRecord prints a case by the names of an export, with everything in it.
func (a *app) showRecord(id, name string, data []byte) error {
	c, diags, err := casefile.Parse(name, data)
	if err != nil {
		return err
	}
	if len(diags) > 0 {
		a.complain(diags, map[string][]byte{name: data})
	}
	if diags.HasErrors() {
		return errTold
	}
	return render.JSON(a.console.Out(), export.Whole(c, id))
}
