package cli

import (
	"fmt"

	"github.com/spf13/cobra"

	"filmfault/internal/physics/moistair"
	"filmfault/internal/quantity"
	"filmfault/internal/uncertain"
)

func newCalcDew(a *app) *cobra.Command {
	flags := map[string]*quantityFlag{
		"air":      {kind: quantity.Temperature, unit: "F", needed: true},
		"humidity": {kind: quantity.Humidity, unit: "%", needed: true},
		"surface":  {kind: quantity.Temperature, unit: "F"},
		"pressure": {kind: quantity.Pressure, unit: "kPa", assumed: "101.325 kPa", because: "standard atmosphere at sea level"},
	}
	cmd := &cobra.Command{
		Use:     "dew",
		Short:   "Dew point, wet bulb, and how far the surface lies over the dew point",
		Example: "  filmfault calc dew --air 70F --humidity 85% --surface 66F",
		Args:    takes(0, 0, ""),
	}
	quantityFlags(cmd, flags, map[string]string{
		"air": "temperature of the air", "humidity": "relative humidity", "pressure": "air pressure",
		"surface": "temperature of the face",
	})
	format, units := formatFlag(cmd), unitsFlag(cmd)
	cmd.RunE = func(*cobra.Command, []string) error {
		by, list, err := read(flags, "air", "humidity", "surface", "pressure")
		if err != nil {
			return err
		}
		r := moistair.Reading{Temperature: by["air"], Humidity: by["humidity"], Pressure: by["pressure"], Surface: by["surface"]}
		results, notes, err := dew(r)
		if err != nil {
			return err
		}
		return a.printCalculation("Air and dew point", results, notes, list, format, units)
	}
	return cmd
}

// dew works out what a reading of the air implies.
func dew(r moistair.Reading) ([]measured, []string, error) {
	d := uncertain.NewDraws(draws, drawsSeed)
	list, err := r.Results(d)
	if err != nil {
		return nil, nil, err
	}
	kinds := map[string]quantity.Kind{"vapour pressure": quantity.Pressure, "dew point": quantity.Temperature, "wet bulb": quantity.Temperature}
	var out []measured
	for _, x := range list {
		kind, ok := kinds[x.Name]
		switch {
		case ok:
		case x.Unit == "K":
			kind = quantity.TemperatureDifference
		default:
			kind = quantity.Number
		}
		out = append(out, measured{x, kind})
	}
	notes := []string{"Below freezing the humidity is taken over water, as electronic sensors read; over ice it would read up to a tenth higher at 14 F."}
	if r.Surface.ID == "" {
		return out, notes, nil
	}
	checks, err := r.Checks(d)
	if err != nil {
		return nil, nil, err
	}
	for _, c := range checks {
		notes = append(notes, fmt.Sprintf("Rule of %s: %s.", c.Rule.Name, met(c.Met)))
	}
	return out, append(notes, "Both rules guard against dew, not against slow drying."), nil
}

// met says how much of what was stated keeps a rule.
func met(share float64) string {
	switch share {
	case 0:
		return "not met"
	case 1:
		return "met"
	}
	return fmt.Sprintf("met over %.0f %% of the range stated", 100*share)
}
