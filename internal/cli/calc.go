package cli

import (
	"fmt"

	"github.com/spf13/cobra"

	"filmfault/internal/quantity"
	"filmfault/internal/report"
	"filmfault/internal/report/render"
	"filmfault/internal/uncertain"
)

// draws is how many draws of the uncertain inputs stand behind a range: a power
// of two, so that each input's range is filled evenly.
const draws = 256

// drawsSeed starts the draws, so that the same inputs give the same range.
const drawsSeed = 1

func newCalc(a *app) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "calc",
		Short: "The calculators on their own: dew point, film build, drying, standing, sun, bow",
		Args:  takes(0, 0, ""),
	}
	cmd.AddCommand(newCalcDew(a), newCalcFilm(a), newCalcDry(a), newCalcStand(a), newCalcSun(a), newCalcBow(a))
	return cmd
}

// quantityFlag is a flag that takes a quantity in shop words. Without it
// the fallback counts as assumed.
type quantityFlag struct {
	kind    quantity.Kind
	unit    string
	value   quantity.Quantity
	given   bool
	needed  bool
	assumed string // the fallback, or ""
	because string // where the fallback comes from
}

func (f *quantityFlag) String() string {
	if f.given {
		return f.value.Typed
	}
	return f.assumed
}

func (f *quantityFlag) Type() string { return "quantity" }

func (f *quantityFlag) Set(s string) error {
	q, err := quantity.Parse(f.kind, s, f.unit)
	if err != nil {
		return err
	}
	f.value, f.given = q, true
	return nil
}

// input is the flag as an uncertain input.
func (f *quantityFlag) input(id string) (uncertain.Input, error) {
	q, source := f.value, "stated"
	if !f.given {
		var err error
		if q, err = quantity.Parse(f.kind, f.assumed, f.unit); err != nil {
			return uncertain.Input{}, err
		}
		source = f.because
	}
	return uncertain.Input{ID: id, Low: q.Low, High: q.High, Unit: f.kind.Base(), Assumed: !f.given, Source: source}, nil
}

// quantityFlags adds flags that take quantities to a command.
func quantityFlags(cmd *cobra.Command, flags map[string]*quantityFlag, usage map[string]string) {
	for name, f := range flags {
		cmd.Flags().Var(f, name, usage[name])
	}
}

func unitsFlag(cmd *cobra.Command) *choice {
	c := &choice{value: "us", known: []string{"us", "si"}}
	cmd.Flags().Var(c, "units", "units of the results")
	return c
}

func system(c *choice) quantity.System {
	if c.value == "si" {
		return quantity.SI
	}
	return quantity.US
}

// measured is a result with the kind of quantity it is.
type measured struct {
	result uncertain.Result
	kind   quantity.Kind
}

// printCalculation writes results, notes and the inputs they rest on.
func (a *app) printCalculation(title string, results []measured, notes []string, in []input, format, units *choice) error {
	c := report.Calculated{Schema: report.Schema, Title: title, Notes: notes}
	sys := system(units)
	for _, m := range results {
		c.Results = append(c.Results, report.Told(m.result, m.kind, sys))
	}
	for _, x := range in {
		c.Inputs = append(c.Inputs, report.Stated(x.in, x.kind, sys))
	}
	if format.value == "json" {
		return render.JSON(a.console.Out(), c)
	}
	return render.Calculated(a.console.Out(), c, min(a.console.Width(), 100))
}

// input is an input with the kind of quantity it is.
type input struct {
	in   uncertain.Input
	kind quantity.Kind
}

// read turns flags into inputs, in the order of ids.
func read(flags map[string]*quantityFlag, ids ...string) (map[string]uncertain.Input, []input, error) {
	by := map[string]uncertain.Input{}
	var list []input
	for _, id := range ids {
		f := flags[id]
		switch {
		case f.given || f.assumed != "":
		case f.needed:
			return nil, nil, usagef("--%s is missing; for example --%s \"%s\"", id, id, f.kind.Example())
		default:
			continue
		}
		in, err := f.input(id)
		if err != nil {
			return nil, nil, fmt.Errorf("%s: %w", id, err)
		}
		by[id] = in
		list = append(list, input{in, f.kind})
	}
	return by, list, nil
}
