package cli

import (
	"errors"

	"github.com/spf13/cobra"

	"filmfault/internal/physics/film"
	"filmfault/internal/physics/material"
	"filmfault/internal/quantity"
	"filmfault/internal/uncertain"
)

type filmOptions struct {
	app           *app
	flags         map[string]*quantityFlag
	material      string
	format, units *choice
}

func newCalcFilm(a *app) *cobra.Command {
	o := &filmOptions{app: a, flags: map[string]*quantityFlag{
		"wet":              {kind: quantity.Film, unit: "mil", needed: true},
		"solids":           {kind: quantity.Share, unit: "%"},
		"thinner-of-paint": {kind: quantity.Share, unit: "%"},
		"thinner-of-mix":   {kind: quantity.Share, unit: "%"},
		"target":           {kind: quantity.Film, unit: "mil"},
	}}
	cmd := &cobra.Command{
		Use:   "film",
		Short: "Dry film from wet film, coverage, and coats to a wanted build",
		Long: "Dry film from wet film, coverage, and the coats to a wanted build. Thinner is stated either as a share of the\n" +
			"paint (--thinner-of-paint: 10 % is one part of water to ten of paint) or of the mix (--thinner-of-mix).",
		Example: "  filmfault calc film --wet \"12 mil\" --thinner-of-paint 3%\n" +
			"  filmfault calc film --wet \"8-10 mil\" --solids 52% --target \"15 mil\"",
		Args: takes(0, 0, ""),
		RunE: func(*cobra.Command, []string) error { return runCalcFilm(o) },
	}
	quantityFlags(cmd, o.flags, map[string]string{
		"wet": "wet film of one coat", "solids": "volume solids; else those of the material",
		"thinner-of-paint": "thinner as a share of the paint", "thinner-of-mix": "thinner as a share of the mix",
		"target": "dry build, to count the coats",
	})
	cmd.Flags().StringVar(&o.material, "material", material.HighBuildPrimer, "the `material` whose solids are assumed when they are not stated")
	o.format, o.units = formatFlag(cmd), unitsFlag(cmd)
	return cmd
}

func runCalcFilm(o *filmOptions) error {
	by, list, err := read(o.flags, "wet", "solids", "thinner-of-paint", "thinner-of-mix", "target")
	if err != nil {
		return err
	}
	coat := film.Coat{Wet: by["wet"], Solids: by["solids"]}
	if coat.Solids.ID == "" {
		m, ok := material.Generic(o.material)
		if !ok {
			return usagef("no material %q%s", o.material, nearest(o.material, material.IDs(), "see `filmfault calc film --help`"))
		}
		coat.Solids = m.VolumeSolids
		list = append(list, input{coat.Solids, quantity.Share})
	}
	if by["thinner-of-paint"].ID != "" && by["thinner-of-mix"].ID != "" {
		return usagef("state the thinner once: as a share of the paint or as a share of the mix")
	}
	switch {
	case by["thinner-of-paint"].ID != "":
		coat.Thinning = film.PaintShare{Input: by["thinner-of-paint"]}
	case by["thinner-of-mix"].ID != "":
		coat.Thinning = film.MixShare{Input: by["thinner-of-mix"]}
	}
	results, notes, err := build(coat, by["target"])
	if err != nil {
		return err
	}
	return o.app.printCalculation("Film build", results, notes, list, o.format, o.units)
}

// build works out a coat's dry film, its coverage and the coats to a target.
func build(c film.Coat, target uncertain.Input) ([]measured, []string, error) {
	d := uncertain.NewDraws(draws, drawsSeed)
	dry, err := c.Dry(d)
	if err != nil {
		return nil, nil, err
	}
	cover, err := c.Coverage(d)
	if err != nil {
		return nil, nil, err
	}
	out := []measured{{dry, quantity.Film}, {squareFeet(cover), quantity.Number}}
	notes := []string{"A notch gauge reads between two teeth, and a rough or thirsty face takes more: the range does not cover that."}
	if target.ID == "" {
		return out, notes, nil
	}
	coats, err := c.CoatsFor(d, target.Mid())
	if errors.Is(err, film.ErrNoCoats) {
		return nil, nil, usagef("%w", err)
	}
	return append(out, measured{coats, quantity.Number}), notes, err
}

// squareFeet turns coverage from m2/m3 into the unit a shop buys by.
func squareFeet(r uncertain.Result) uncertain.Result {
	r.Name, r.Unit = "coverage of one coat, without loss", "ft2/gal"
	for _, x := range []*float64{&r.Value.Mid, &r.Value.Low, &r.Value.High} {
		*x = film.SquareFeetPerGallon(*x)
	}
	return r
}
